"""Counts of good eggs and of larvae: N of M, so many per cent, whites taken off."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise

from core.commands import Act, Death, Fertilised, Hatched, NotYetSaid, Reading, Unclear, UnclearWhy
from core.reading import shares
from core.reading.items import Item, count_of
from core.reading.message import Message, breaks

FEWEST_LARVAE = 50
"""So few, with words nobody knows, are most often no whole hatch. A rule of our own."""


@dataclass(frozen=True, slots=True)
class Tally:
    """The figures of a count, before it is known of what."""

    good: float | None = None
    total: float | None = None
    percent: float | None = None
    larvae: float | None = None
    deformed: float | None = None
    fault: UnclearWhy | None = None


MOST_OF_A_SAMPLE = 5000
FEWEST_COUNTED = 20
"""Eggs of which a share is told: "2 of 3" may be anything. A rule of our own."""


STAGES = ("cue.fertilised", "cue.hatched")


def counted(message: Message) -> list[Reading]:
    """The counts told: "fert 81% hatch 72%" are two."""
    parts = _by_stage(message) or _by_female(message)
    return [count(part) for part in parts] if parts is not None else [count(message)]


def _by_female(message: Message) -> list[Message] | None:
    """ "F1 hatched 80%, F2 hatched 70%": each with a figure and a word of her own."""
    pieces: list[list[Item]] = []
    for item in message.items:
        if item.kind in {"tag", "coded"}:
            pieces.append([])
        if not pieces:
            return None
        pieces[-1].append(item)
    parts = [message.part(piece) for piece in pieces]
    return parts if len(parts) > 1 and all(_whole(part) and part.has(*STAGES) for part in parts) else None


def _by_stage(message: Message) -> tuple[Message, Message] | None:
    """What is told of fertilisation and what of hatching, where each has a figure of its own."""
    items = message.items
    words = [(at, sense) for at, item in enumerate(items) for sense in STAGES if item.has(sense)]
    if {sense for _, sense in words} != set(STAGES):
        return None
    opens, second = words[0][1], next(at for at, sense in words if sense != words[0][1])
    last = max(at for at, sense in words if sense == opens and at < second)
    if any(sense == opens and at > second for at, sense in words):
        return None
    word_first = not any(item.kind == "num" for item in items[: words[0][0]])
    cut = second if word_first else last + 1
    first, other = message.part(items[:cut]), message.part(items[cut:])
    if not (_whole(first) and _whole(other)) or _opens_with_a_total(first) or _of_one_total(first, other):
        return None
    return _in_percent(first, other), _in_percent(other, first)


def _opens_with_a_total(part: Message) -> bool:
    """ "Of the 170 fertilised 150 hatched"."""
    return len(part.numbers) == 1 and _total_first(part, part.numbers)


def _of_one_total(first: Message, other: Message) -> bool:
    """ "Of 200 eggs 170 fertilised and 150 hatched": of which total are the 150?"""
    if len(first.bare()) != 2 or len(other.numbers) != 1 or other.numbers[0].unit:
        return False
    return count_of(other.numbers[0]) <= max(map(count_of, first.bare())) and not other.has("noun.larvae")


def _whole(part: Message) -> bool:
    """A percentage, one number, or so many of so many."""
    numbers = [item for item in part.amounts if item.unit in {"", "percent"}]
    if len(numbers) == 1:
        return True
    return len(numbers) == 2 and (_total_first(part, numbers) or _said_of(part, numbers))


def _in_percent(part: Message, other: Message) -> Message:
    """ "Fert 81 percent, hatched 72": the unit carries over."""
    percents = [item for item in other.numbers if item.unit == "percent"] or other.has("cue.rate")
    if not percents or len(part.numbers) != 1 or part.numbers[0].unit or count_of(part.numbers[0]) > 100:
        return part
    return part.part([item._replace(unit="percent") if item.kind == "num" else item for item in part.items])


def count(message: Message) -> Reading:
    """A count of fertilised or of hatched; asked where the message does not say which."""
    if none_hatched(message):
        return NotYetSaid() if message.has("deny.yet") else Hatched(larvae=0, place=message.place)
    if _none_among(message):
        return Unclear("ambiguous_intent", (Hatched(larvae=0, place=message.place),))
    if (share := shares.in_words(message)) is not None:
        return _roughly(message, round(100 * share, 1))
    tally = _tally(message)
    if isinstance(tally, Unclear):
        return replace(tally, candidates=tally.candidates or _bare(message, tally))
    stage = _stage(message, tally)
    ways = [
        told(message, tally)
        for name, told in (("fertilised", _fertilised), ("hatched", _hatched))
        if stage in {name, None}
    ]
    if tally.fault is not None:
        return Unclear(tally.fault, tuple(ways))
    return ways[0] if len(ways) == 1 else Unclear("ambiguous_intent", tuple(ways))


def _roughly(message: Message, percent: float) -> Unclear:
    """ "Half hatched" is no count: it is shown as per cent before it is kept."""
    lost = message.has("cue.lost", "cue.died", "count.bad")
    hatched, good = Hatched(percent=percent, place=message.place), Fertilised(percent=percent)
    ways: tuple[Act, ...] = (hatched,) if stage_of(message) == "hatched" else (good,)
    return Unclear("ambiguous_intent", () if lost else ways)


def none_hatched(message: Message) -> bool:
    """ "None hatched", "no larvae", and nothing else."""
    if not message.has("cue.hatched", "noun.larvae") or message.has("cue.rate", "ask.mark"):
        return False
    zero = message.has("zero.told") or any(
        item.has("zero.no") and after.has("noun.larvae") for item, after in pairwise(message.items)
    )
    return zero and all(
        item.kind in {"sign", "place"}
        or item.has("cue.hatched", "noun.larvae", "noun.eggs", "cue.is", "deny.yet", "small.word")
        or item.one_of("zero") is not None
        or item.one_of("filler") is not None
        for item in message.items
    )


def _none_among(message: Message) -> bool:
    """ "None of 200", "none hatched, 200 white": the number is none of larvae."""
    pairs = list(pairwise(message.items))
    return any(
        (one.has("zero.told") and two.has("join.of", "cue.hatched"))
        or (one.has("cue.hatched") and two.has("zero.told"))
        for one, two in pairs
    )


def _bare(message: Message, doubt: Unclear) -> tuple[Act, ...]:
    """The act whose figure is missing."""
    if doubt.why != "no_number":
        return ()
    return (Hatched(place=message.place),) if stage_of(message) == "hatched" else (Fertilised(),)


def _stage(message: Message, tally: Tally) -> str | None:
    """Which count it is. While a run is open, good and white ones of a sample are those of fertilisation."""
    stage = stage_of(message)
    sample = tally.total is not None or tally.percent is not None
    words = message.has("count.good") or any(
        item.has("count.bad") and not item.has("cue.died") for item in message.items
    )
    return "fertilised" if stage is None and sample and words and message.context.open_run else stage


def stage_of(message: Message) -> str | None:
    """Which count it is, by its words, else by what was asked for."""
    if message.has("cue.hatched") or message.has("noun.larvae"):
        return "hatched"
    if message.has("cue.fertilised"):
        return "fertilised"
    awaited = message.context.awaiting
    return awaited if awaited in {"fertilised", "hatched"} else None


def _fertilised(message: Message, tally: Tally) -> Act:
    return Fertilised(tally.good, tally.total, tally.percent, place=message.place, tags=message.tags)


def _hatched(message: Message, tally: Tally) -> Act:
    of_good = message.has("cue.of_good", "cue.fertilised")
    return Hatched(
        tally.good,
        tally.total,
        tally.percent,
        tally.larvae,
        of="fertilised" if of_good else "all" if message.has("cue.of_all") else None,
        deformed=tally.deformed,
        place=message.place,
        tags=message.tags,
    )


def _tally(message: Message) -> Tally | Unclear:
    numbers = [item for item in message.amounts if item.unit in {"", "percent"}]
    deformed = _beside(message, numbers, "cue.deformed")
    numbers = [item for item in numbers if item is not deformed]
    off = count_of(deformed) if deformed is not None else None
    percents = [item for item in numbers if item.unit == "percent"]
    if any(item.high is not None for item in numbers) or len(percents) > 1:
        return Unclear("ambiguous_intent")
    if percents:
        return _percent(message, percents[0], off)
    if len(numbers) == 2:
        return _pair(message, numbers, off)
    if len(numbers) == 1:
        return _single(message, numbers[0], off)
    return Unclear("ambiguous_intent" if numbers else "no_number")


def _percent(message: Message, item: Item, deformed: float | None) -> Tally | Unclear:
    value = item.value
    if value > 100:
        return Unclear("implausible")
    if message.has("count.bad") and not message.has("count.good"):
        value = 100 - value
    return Tally(percent=value, deformed=deformed)


def _pair(message: Message, numbers: list[Item], deformed: float | None) -> Tally | Unclear:
    """N of M; the whites among them taken off."""
    bad = _beside(message, numbers, "count.bad")
    if bad is numbers[1] and _said_of(message, numbers):  # "12 of 150 white"
        bad = numbers[0]
    whole = [item for item in numbers if item is not bad]
    first, second = (count_of(item) for item in numbers)
    if first != int(first) or second != int(second):
        return Unclear("ambiguous_intent")
    if bad is not None:
        total, white = count_of(whole[0]), count_of(bad)
        good_word = _beside(message, whole, "count.good") or _followed(message, whole)
        if good_word is not None and not _said_of(message, numbers):
            good, total = total, total + white
        else:
            good = total - white
    elif _total_first(message, numbers) or _said_of(message, numbers):
        good, total = (second, first) if _total_first(message, numbers) else (first, second)
        if good > total > 0:
            return Tally(total, good, deformed=deformed, fault="implausible")
    else:
        good, total = min(first, second), max(first, second)
        if total > MOST_OF_A_SAMPLE:  # "1 million 2 larvae"
            return Unclear("ambiguous_intent")
        if stage_of(message) is None and not message.has("count.good"):
            return Unclear("ambiguous_intent")
    if not 0 <= good <= total or total <= 0:
        return Unclear("implausible")
    return Tally(good, total, deformed=deformed)


def is_pair(message: Message) -> bool:
    """ "170 of 200", of whatever female: so many of so many, and never grams."""
    numbers = message.numbers
    if len(numbers) != 2 or numbers != message.bare() or not all(item.whole for item in numbers):
        return False
    good, total = map(count_of, numbers)
    if _total_first(message, numbers):
        good, total = total, good
        return good <= total >= FEWEST_COUNTED
    return good <= total >= FEWEST_COUNTED and _said_of(message, numbers)


def _followed(message: Message, numbers: list[Item]) -> Item | None:
    """ "170 fertilised": the word right behind the number says that they are good."""
    for item, after in pairwise(message.items):
        if after.has("cue.fertilised", "cue.hatched") and any(item is number for number in numbers):
            return item
    return None


def _said_of(message: Message, numbers: list[Item]) -> bool:
    """Whether "of", "out of" or a slash stands between the two."""
    places = _places(message, numbers)
    between = message.items[places[0] : places[-1]]
    return any(item.has("join.of") or item.raw == "/" for item in between)


def _places(message: Message, numbers: list[Item]) -> list[int]:
    return [at for at, item in enumerate(message.items) if any(item is number for number in numbers)]


def _total_first(message: Message, numbers: list[Item]) -> bool:
    """ "200 among which 156", "of 200 eggs 156": the whole is told before the part."""
    items, places = message.items, _places(message, numbers)
    first, last = places[0], places[-1]
    if any(item.has("join.among") for item in items[first:last]):
        return True
    opens = any(item.has("join.of", "join.among") for item in items[max(first - 2, 0) : first])
    return opens and not any(item.has("join.of") or item.raw == "/" for item in items[first:last])


def _beside(message: Message, numbers: list[Item], sense: str) -> Item | None:
    """The number in the same breath as a word: the nearer of the two sides. Where it is as near on both,
    the one before it, but the one behind where words come first, "good 180 bad 20", where "is" stands
    between, and where there are fewer of all than of these: "100 white 14"."""
    items = message.items
    for at, item in enumerate(items):
        if not item.has(sense):
            continue
        before, behind = (_reached(message, numbers, at, step) for step in (-1, 1))
        if before is not None and behind is not None:
            return items[behind if _behind_first(message, numbers, before, at, behind) else before]
        near = behind if before is None else before
        if near is not None:
            return items[near]
    return None


def _reached(message: Message, numbers: list[Item], at: int, step: int) -> int | None:
    """Where the next of the numbers stands on that side of a word, with nothing but words between."""
    items, near = message.items, at + step
    while 0 <= near < len(items) and items[near].kind in {"junk", "word"} and not _parts(items[near]):
        near += step
    found = 0 <= near < len(items) and any(items[near] is number for number in numbers)
    return near if found else None


def _parts(item: Item) -> bool:
    return breaks(item) or item.has("join.of", "join.among")


def _behind_first(message: Message, numbers: list[Item], before: int, at: int, behind: int) -> bool:
    items = message.items
    if at - before != behind - at and not items[at + 1].has("cue.is"):
        return behind - at < at - before
    words_first = any(item.has("count.good", "count.bad") for item in items[: _places(message, numbers)[0]])
    of_fewer = sum(map(count_of, numbers)) < 2 * count_of(items[before])
    return words_first or items[at + 1].has("cue.is") or of_fewer


def _single(message: Message, item: Item, deformed: float | None) -> Tally | Unclear:
    value = count_of(item)
    if value == 0 and not item.unit and stage_of(message) == "hatched":
        return Tally(larvae=0, deformed=deformed)
    larvae = message.has("noun.larvae") or (stage_of(message) == "hatched" and value > 100)
    if larvae and not message.has("cue.rate"):
        strange = bool(message.kinds("junk")) or message.has("cue.reached")
        if value < FEWEST_LARVAE and strange and not message.has("cue.hatched"):
            return Unclear("ambiguous_intent", (Hatched(larvae=value),))  # "took 3 larvae to look at them"
        return Tally(larvae=value, deformed=deformed)
    if message.has("cue.rate") or message.context.awaiting in {"fertilised", "hatched"}:
        if value <= 100:
            return Tally(percent=value, deformed=deformed)
        return Unclear("implausible")
    if message.has("count.bad") and message.has("noun.eggs") and stage_of(message) is None:
        return Unclear("no_number", (Fertilised(),))
    if message.has("count.bad") and stage_of(message) is None:
        return Unclear("ambiguous_intent", (Death(count=int(min(value, 9999))),))
    if stage_of(message) == "hatched":
        return Unclear("ambiguous_intent", (Hatched(larvae=value), Hatched(percent=value)))
    return Unclear("ambiguous_intent", (Fertilised(percent=value),) if value <= 100 else ())
