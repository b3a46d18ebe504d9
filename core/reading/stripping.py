"""Eggs taken from females: their grams and looks, who is not ready, who gave none, one bowl for all."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from core.commands import EggsTold, Injection, Reading, Strip, Unclear
from core.reading.items import Item, count_of
from core.reading.message import Message, breaks
from core.reading.moments import moment_of
from core.records import Quality

EGGS_FROM, MOST_GRAMS = 5, 6000.0
BOTH = 2
FEWEST_OF_A_BOWL = 100  # grams
QUALITIES: tuple[Quality, ...] = ("blood", "watery", "whitish", "clumped", "even")  # the worst first
STATES = ("cue.not_ready", "cue.none", "zero.told")
YES = ("assent.yes", "well.said", "say.done")
OTHER_STATES = ("topic.ready", "topic.ripe", "cue.runs", "cue.run", "cue.eggs_run", "count.good", *YES)
"""What is said of a female and tells of no eggs in the bowl, and of none missing."""
ONE_MORE = ("pronoun_one.that", "which.priming", "which.resolving", "nth.third", "nth.fourth", "filler.more")
"""Words by which one untagged female follows another: "first one 150 g, second 200 g"."""


def stripped(message: Message) -> Reading:
    """Eggs of females, those not ready, those that gave none. No female who is named is passed over."""
    if message.has("cue.water") and message.bare():
        return Unclear("ambiguous_intent")
    pooled = message.has("cue.pooled")
    pieces = [message] if pooled else _by_fish(message)
    parts = [_of_clause(piece, pooled) for piece in pieces] if pieces else [Unclear("ambiguous_intent")]
    told = [part for part in parts if isinstance(part, Strip)]
    eggs = tuple(one for part in told for one in part.eggs)
    not_ready = tuple(tag for part in told for tag in part.not_ready)
    none = tuple(tag for part in told for tag in part.none)
    doubt = next((part for part in parts if isinstance(part, Unclear)), None)
    if doubt is not None:
        return doubt
    if len(pieces) > 1 and any(_says_something_else(piece) or _of_nobody(piece, message) for piece in pieces):
        sure = Strip(tuple(one for one in eggs if one.grams is not None), not_ready, _named(none))
        return Unclear("ambiguous_intent", (sure,) if sure != Strip() else ())
    if _is_a_weight(message.place):
        return Unclear("ambiguous_intent")
    told_of = {*(one.tag for one in eggs), *not_ready, *none}
    if told_of - {None} and not set(message.tags) <= told_of:
        return Unclear("ambiguous_intent")
    if not told_of and _may_be_a_needle(message):
        return _needle_or_eggs(message)
    unsaid = () if told_of else tuple(EggsTold(tag, None) for tag in message.tags or (None,))
    at, ago, _ = moment_of(message)
    return Strip(
        eggs + unsaid,
        not_ready,
        none,
        pooled or None,
        at=at,
        minutes_ago=ago,
        place=message.place,
        perhaps_not_yet=any(part.perhaps_not_yet for part in told) and not message.has("cue.none_final"),
        dry=_were_dry(message),
    )


def _says_something_else(piece: Message) -> bool:
    """ "F1 soft, F2 hard": of one female something unknown is said, which is not what is said of the next."""
    known = (*STATES, "cue.stripped", "cue.partial", "cue.pooled")
    plain = piece.amounts or piece.has(*known) or piece.any_of("quality") is not None
    return bool(piece.tags) and not plain and any(map(_is_another_state, piece.items))


def _of_nobody(piece: Message, message: Message) -> bool:
    """ "None, F2 150 g": who gave none?"""
    return bool(message.tags) and piece.has("cue.none") and not any(map(_owns, piece.items))


def _named(tags: tuple[str | None, ...]) -> tuple[str | None, ...]:
    return tuple(tag for tag in tags if tag is not None)


def _is_another_state(item: Item) -> bool:
    said = item.has(*OTHER_STATES) and item.one_of("filler") is None
    return item.kind == "junk" or said


def _is_a_weight(place: str | None) -> bool:
    """ "Eggs with bowl 450, bowl 210": no bowl has such a number."""
    number = (place or "").rpartition(" ")[2]
    return number.isdigit() and int(number) >= FEWEST_OF_A_BOWL


def _were_dry(message: Message) -> bool | None:
    """Whether the grams were told to be of dry eggs, or of eggs after water."""
    told = {dry for sense, dry in (("weighed.dry", True), ("weighed.wet", False)) if message.has(sense)}
    return told.pop() if len(told) == 1 else None


def _of_clause(clause: Message, pooled: bool) -> Strip | Unclear:
    """What is said of one female, or of those named together."""
    whose: tuple[str | None, ...] = clause.tags or (None,)
    if (each := _one_each(clause, pooled)) is not None:
        return each
    told = _grams(clause, pooled)
    if isinstance(told, Unclear):
        return told
    if clause.has("cue.none") or (
        clause.tags and clause.has("zero.told") and not clause.has("cue.not_ready")
    ):
        doubtful = Unclear("ambiguous_intent", (Strip((EggsTold(whose[0], told),)),))
        perhaps = not clause.has("cue.none_final")
        return Strip(none=whose, perhaps_not_yet=perhaps) if told is None else doubtful
    if clause.has("cue.not_ready") and told is None:
        return Strip(not_ready=whose)
    partial, look = clause.has("cue.partial"), quality_of(clause)
    if told is None and not look and not partial:
        unsaid = tuple(EggsTold(tag, None) for tag in clause.tags)
        return Strip(unsaid if clause.has("cue.stripped") else ())
    if len(whose) > 1 and not pooled and told is not None:
        return Unclear("ambiguous_intent")
    if clause.has("count.bad") and not look:
        seen: tuple[Quality, ...] = ("watery", "blood", "whitish")
        return Unclear("ambiguous_intent", tuple(Strip((EggsTold(whose[0], told, each),)) for each in seen))
    owners = (None,) if pooled else whose
    return Strip(tuple(EggsTold(tag, told, look, partial or None) for tag in owners))


def _one_each(clause: Message, pooled: bool) -> Strip | None:
    """ "F1 and F2 gave 180 and 220 g", "two females 180 and 220 g": each female with her own grams."""
    amounts = _weighed(clause)
    plain = all(item.high is None for item in amounts) and not clause.has("join.or", "cue.none")
    if (
        len(amounts) < 2
        or pooled
        or not plain
        or quality_of(clause)
        or clause.has("cue.not_ready", "cue.total")
    ):
        return None
    counts = [item.value for item in clause.counted]
    many = len(amounts) in counts or (clause.has("cue.every") and len(amounts) == BOTH)
    whose = (clause.tags if _apart(clause) else ()) or ((None,) * len(amounts) if many else ())
    if len(whose) != len(amounts) or not all(
        EGGS_FROM <= grams(clause, item) <= MOST_GRAMS for item in amounts
    ):
        return None
    return Strip(tuple(EggsTold(tag, grams(clause, item)) for tag, item in zip(whose, amounts, strict=True)))


def _apart(clause: Message) -> bool:
    """Whether all females are named before all that they gave."""
    kinds = [item.kind for item in clause.items if item.kind in {"num", "tag", "coded"}]
    first = kinds.index("num") if "num" in kinds else 0
    return "num" not in kinds[:first] and all(kind == "num" for kind in kinds[first:])


def _weighed(clause: Message) -> list[Item]:
    """The numbers that may be grams: by their unit, else those without one that count no fish."""
    units, counted = clause.lexicon.units, clause.counted
    mass = [item for item in clause.amounts if item.unit and units[item.unit].measures == "mass"]
    bare = [item for item in clause.amounts if not item.unit and not any(item is one for one in counted)]
    return [item for item in clause.amounts if item in mass or item in bare]


def _may_be_a_needle(message: Message) -> bool:
    """ "Gave female at four": her eggs, or the hormone? Where her eggs are waited for, those."""
    waited = message.context.looking or message.context.awaiting == "stripped"
    return not waited and not message.has("noun.eggs", "cue.pooled") and "gave" in message.words


def _needle_or_eggs(message: Message) -> Unclear:
    at, ago, _ = moment_of(message, loose=True)
    eggs = Strip((EggsTold(next(iter(message.tags), None), None),), at=at, minutes_ago=ago)
    return Unclear("ambiguous_intent", (eggs, Injection(at=at, minutes_ago=ago, tags=message.tags)))


def eggs_with_a_point_lost(message: Message) -> Unclear:
    """ "F3 2450 g" where grams of eggs were asked for."""
    owner = next(iter(message.tags), None)
    ways = tuple(Strip((EggsTold(owner, grams(message, item) / 10),)) for item in message.amounts[:1])
    return Unclear("implausible", ways)


@dataclass(slots=True)
class _Cut:
    """The pieces of a telling, one a female, as they are found."""

    pieces: list[list[Item]] = field(default_factory=lambda: [[]])
    owned: bool = False
    told: bool = False
    opened: bool = False  # "stripped F1 and F2": what was done stands before the females

    def begin(self) -> None:
        self.pieces.append([])
        self.owned = self.told = self.opened = False

    def take(self, item: Item) -> None:
        self.owned = self.owned or _owns(item)
        self.told = self.told or _tells(item, owned=self.owned)
        self.opened = self.opened or (item.has("cue.stripped") and not self.owned)
        self.pieces[-1].append(item)


def _by_fish(message: Message) -> list[Message]:
    """One piece a female, or none where it is not plain of whom something is said: a new tag, or "the rest",
    begins one; where amounts come first, one a clause."""
    kinds = [item.kind for item in message.items if item.kind in {"num", "tag", "coded"}]
    if len(message.tags) > 1 and kinds[0] == "num":
        return message.clauses()
    cut = _Cut()
    for at, item in enumerate(message.items):
        last = cut.pieces[-1][-1:]
        if _owns(item) and cut.told and (cut.owned or (last and breaks(last[0]))):
            cut.begin()
        elif _owns(item) and cut.opened and cut.owned:
            parted = _another_state(message.items, at)
            if parted is None:
                return []
            if parted:
                cut.begin()
        cut.take(item)
    return [message.part(piece) for piece in cut.pieces if piece]


def _owns(item: Item) -> bool:
    return item.kind in {"tag", "coded"} or item.has("cue.rest", *ONE_MORE)


def _tells(item: Item, *, owned: bool) -> bool:
    """Whether something is said of a female, so that the next one named is another."""
    of_her = owned and (item.has("cue.stripped") or _is_another_state(item))
    return item.kind == "num" or item.has(*STATES) or bool(item.one_of("quality")) or of_her


def _another_state(items: Sequence[Item], at: int) -> bool | None:
    """ "Stripped F1 and F2, F3 none": whether with this female begins what is said of others. None where
    that is not plain: "stripped F1, F2 and F3 none"."""
    rest = items[at:]
    end = next((n for n, item in enumerate(rest) if _tells(item, owned=True)), len(rest))
    joint = _joint(items[:at])
    if end < len(rest) and _is_another_state(rest[end]) and _comma(joint):
        return None
    if end == len(rest) or not rest[end].has(*STATES) or (end and _comma(_joint(rest[:end]))):
        return False
    behind = [item for item in rest[:end] if breaks(item)]
    begun = max(n for n, item in enumerate(items[:at]) if item.has("cue.stripped"))
    before = [item for item in items[begun:at] if breaks(item)]
    commas = sum(map(_comma, before + behind))
    if commas != 1:
        return None
    return None if _comma(joint) and behind else _comma(joint)


def _joint(before: Sequence[Item]) -> Item:
    """What stands before a female, but for articles: ", la H3"."""
    return next(item for item in reversed(before) if breaks(item) or item.one_of("filler") is None)


def _comma(item: Item) -> bool:
    return breaks(item) and not item.has("join.and")


def _grams(message: Message, pooled: bool) -> float | Unclear | None:
    """The grams of one female, or of all in a bowl; None where nothing was weighed."""
    numbers = [item for item in message.amounts if item not in message.counted]
    mass = message.measured("mass")
    chosen = [item for item in mass if item in numbers] or [item for item in numbers if not item.unit]
    if not chosen:
        return None if not numbers else Unclear("ambiguous_unit")
    tag = next(iter(message.tags), None)
    beside = [item for item in numbers if not item.unit and item not in chosen]
    both = any(item.has("cue.every") and item.one_of("filler") is None for item in message.items)
    several = (any(item.value > 1 for item in message.counted) or (both and not tag)) and not pooled
    if several and len(chosen) == 1:
        return Unclear(
            "ambiguous_intent", (Strip((EggsTold(None, grams(message, chosen[0])),), pooled=True),)
        )
    if len(chosen) > 1 or beside or chosen[0].high is not None or message.has("join.or"):
        ways = tuple(Strip((EggsTold(tag, grams(message, item)),)) for item in chosen[:3])
        return Unclear("ambiguous_intent", ways)
    value = grams(message, chosen[0])
    if not 0 < value <= MOST_GRAMS:
        return Unclear("implausible")
    if not chosen[0].unit and value < EGGS_FROM:
        return Unclear("ambiguous_unit", (Strip((EggsTold(tag, value * 1000),)),))
    return value


def grams(message: Message, item: Item) -> float:
    """Grams of eggs a number stands for."""
    unit = message.lexicon.units.get(item.unit)
    if unit is None or item.unit == "g":
        return count_of(item)
    return round(item.value * unit.factor * 1000, 3)


def quality_of(message: Message) -> Quality | None:
    """The look of eggs that is told, the worst of several."""
    return next((quality for quality in QUALITIES if message.has(f"quality.{quality}")), None)
