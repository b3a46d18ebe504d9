"""Which number belongs to which fish: sexes, tags, counts, "each", in the order people type them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import islice, pairwise, product

from core.commands import UnclearWhy
from core.reading.items import MOST_FISH, Item
from core.reading.message import COMMA, Message, breaks, tag_of
from core.records import Sex

COUNT_OF_NEXT = frozenset({"counter.fish", "count.next"})
GRAMS_FROM = 100
GRAMS_OF_A_KILO = 1000
OUNCES = 16  # of a pound
MOST_WAYS = 4
TWO_DIGITS = range(10, 100)
FIGURES = {"num", "coded", "clock", "ago", "span"}
OF_OTHERS = {"length", "age", "days"}
SHORTEST_FISH = 10  # cm


@dataclass(frozen=True, slots=True)
class Entry:
    """One fish before its unit is settled."""

    sex: Sex | None
    number: Item | None
    tag: str | None = None


@dataclass(frozen=True, slots=True)
class Doubt:
    """Why the fish cannot be read, and the ways they might be meant."""

    why: UnclearWhy
    ways: tuple[tuple[Entry, ...], ...] = ()


UNWEIGHED = Doubt("no_number", ((),))
"""A fish that is named beside weighed ones, and has no weight of its own."""


def sex_of(item: Item) -> Sex | None:
    key = item.senses and (item.one_of("sex") or item.one_of("pronoun"))
    return "f" if key == "f" else "m" if key == "m" else None


def entries_of(message: Message) -> tuple[Entry, ...] | Doubt:
    """The fish of a message, chunk by chunk: each chunk has a sex or tag of its own."""
    kept, doubtful = _figures(message)
    items = _as_tags_or_weights(_one_more(kept), {tag.casefold() for tag in message.context.tags})
    if isinstance(items, Doubt):
        return items
    if any(item.has("digits.odd") for item in items):
        return Doubt("ambiguous_intent")
    entries = _plain(_told_apart(items))
    if isinstance(entries, Doubt):
        return () if entries == UNWEIGHED and not doubtful else entries
    if len(entries) > MOST_FISH:
        return Doubt("ambiguous_intent")
    if doubtful or (entries and _without_weight(items, entries)):
        return Doubt("ambiguous_intent", (entries,) if entries else ())
    return entries


def _figures(message: Message) -> tuple[list[Item], bool]:
    """The items that tell of fish, and whether a figure that is left out may be a weight. Every number of a
    weighing is a fish's, or is named here as something else's."""
    kept: list[Item] = []
    doubtful = owner = False
    for item in message.items:
        other = _other_figure(message, item)
        if other is None:
            kept.append(item)
            half = item.spoken and not item.unit and 0 < item.value < 1
            doubtful = doubtful or half or item.one_of("currency") is not None or item.has("digits.spaced")
        elif other and owner and item.kind == "num" and not item.unit:
            kept.append(item)
            doubtful = doubtful or not item.has("time.loose")
        elif other:
            doubtful = doubtful or (owner and _may_be_a_weight(item)) or item.has("time.loose")
        else:
            doubtful = True
        if item.kind in FIGURES or item.kind == "tag" or sex_of(item) is not None:
            owner = item.kind in {"tag", "coded"} or sex_of(item) is not None
    return [item for item in kept if item.kind != "junk" or item.has("digits.odd")], doubtful


def _told_apart(items: Sequence[Item]) -> list[Item]:
    """The items with each number marked that counts the fish named behind it, and is no weight of those
    before: "f 2.4, 2.6, 3 males 1.8 each"."""
    found = list(items)
    for at, item in enumerate(items):
        if item.kind != "word" or sex_of(item) is None:
            continue
        number = _before(items, at)
        earlier = _before(items, number) if number is not None else None
        if number is None or earlier is None or not _small(items[number]) or items[earlier].kind != "num":
            continue
        if items[number].has("counter.fish") or _counts(items[number], items[earlier], items[at:]):
            found[number] = items[number]._replace(senses=items[number].senses | COUNT_OF_NEXT)
    return found


def _before(items: Sequence[Item], at: int) -> int | None:
    """Where the last number or name before a place is, in the same clause; "each" is passed."""
    for place in range(at - 1, -1, -1):
        if breaks(items[place]):
            return None
        if _matters(items[place]) and not items[place].has("op.each"):
            return place
    return None


def _counts(number: Item, earlier: Item, named: Sequence[Item]) -> bool:
    """Whether a small number before a sex counts its fish, by what is told of them: as many weights, a
    plural, "each"; or by how it differs from the weight before it."""
    owner, *behind = named
    of_them = behind[: next((at for at, item in enumerate(behind) if _owner(item)), len(behind))]
    weights = [item for item in of_them if item.kind == "num"]
    less = bool(weights) and len(of_them) < len(behind) and _small(weights[-1])
    each = any(item.has("op.each") for item in of_them)
    as_many = number.value in {len(weights), len(weights) - less}
    kilos = earlier.unit == "kg" and earlier.value == int(earlier.value)
    other = not earlier.whole and not kilos
    spelt_out = len(owner.raw) > 1 and (owner.has("number_of.many") or other)
    return bool(weights) and (each or as_many or spelt_out)


def _one_more(items: Sequence[Item]) -> list[Item]:
    """ "A female 2.9, another 3.1": the word for one more stands for the sex named before it."""
    found: list[Item] = []
    named: Item | None = None
    weighed = False
    for at, item in enumerate(items):
        if item.has("filler.more") and named is not None and weighed and _is_weighed(items[at + 1 :]):
            found.extend((COMMA, named._replace(senses=frozenset({f"sex.{sex_of(named)}"}))))
            continue
        found.append(item)
        weighed = item.kind == "num" or (weighed and not _owner(item))
        if _owner(item) or item.kind == "coded":
            named = item if item.kind == "word" else None
    return found


def _is_weighed(after: Sequence[Item]) -> bool:
    """Whether a weight comes next, and no count of other fish."""
    rest = [item for item in after if not item.one_of("filler")]
    counts = len(rest) > 1 and rest[0].whole and _owner(rest[1])
    return bool(rest) and rest[0].kind == "num" and not rest[0].has("counter.fish") and not counts


def _other_figure(message: Message, item: Item) -> bool | None:
    """Whether a figure is something else's than a weight; None: it is no such figure, False: who knows."""
    if item.kind == "num":
        measures = message.lexicon.units[item.unit].measures if item.unit else "mass"
        if item.has("time.at") and not item.unit:
            return True
        return None if measures == "mass" else measures in OF_OTHERS and _spelt_out(item)
    if item.kind == "span":
        return _spelt_out(item) and item.value == int(item.value)
    return True if item.kind in {"clock", "ago"} else None


def _spelt_out(item: Item) -> bool:
    return len(item.said) > 1 and (item.unit != "cm" or item.value >= SHORTEST_FISH)


def _may_be_a_weight(item: Item) -> bool:
    """Right behind a sex or a tag: "f 3 am". Lengths, ages and "18:20" are none."""
    return item.kind == "span" or (item.kind == "clock" and ":" not in item.raw)


def _without_weight(items: Sequence[Item], entries: Sequence[Entry]) -> bool:
    """Whether a sex or a tag is named and no fish of it is weighed."""
    sexes = {sex for item in items if (sex := sex_of(item)) is not None}
    tags = {tag_of(item) for item in items if item.kind == "tag"}
    return not (sexes <= {entry.sex for entry in entries} and tags <= {entry.tag for entry in entries})


def _as_tags_or_weights(items: Sequence[Item], known: set[str]) -> list[Item] | Doubt:
    """Letters with whole digits: tags if each is followed by a weight, or is a `known` one with a weight
    behind it, weights if none is."""
    found: list[Item] = []
    tagged, weights, pointed = 0, 0, 0
    for at, item in enumerate(items):
        if item.kind == "coded":
            named = item.raw.casefold() in known and any(each.kind == "num" for each in items[at + 1 :])
            is_tag = item.sex is None or named or _weight_follows(items, at) or _is_said_of(items, at)
            tagged, weights = tagged + is_tag, weights + (not is_tag)
            found.extend([_tag(item)] if is_tag else _split(item))
        else:
            pointed += item.kind == "num" and item.glued and _lettered(items, at)
            found.append(item)
    if tagged and (weights or pointed) and any(item.kind == "coded" and item.sex for item in items):
        ways = [list(_each(items, as_tag)) for as_tag in (True, False)]
        read = [_plain(_told_apart(way)) for way in ways]
        return Doubt("ambiguous_intent", tuple(way for way in read if not isinstance(way, Doubt)))
    return found


def _is_said_of(items: Sequence[Item], at: int) -> bool:
    """ "The female F2", "M2 is female": whatever weight stands behind, it is a name."""
    before = next((item for item in reversed(items[:at]) if not item.one_of("filler")), None)
    behind = [item for item in items[at + 1 : at + 4] if item.has("cue.is") or not item.one_of("filler")]
    return _is_a_sex(before) or (len(behind) > 1 and behind[0].has("cue.is") and _is_a_sex(behind[1]))


def _is_a_sex(item: Item | None) -> bool:
    return item is not None and item.kind == "word" and len(item.raw) > 1 and sex_of(item) is not None


def _each(items: Sequence[Item], as_tag: bool) -> list[Item]:
    found: list[Item] = []
    for at, item in enumerate(items):
        tag = as_tag and _weight_follows(items, at)
        found.extend([item] if item.kind != "coded" else [_tag(item)] if tag else _split(item))
    return found


def _plain(items: Sequence[Item]) -> tuple[Entry, ...] | Doubt:
    chunks = _chunks(items)
    read = [_chunk(chunk) for chunk in chunks]
    behind = [sum(item.kind == "num" for item in chunk) for chunk in chunks if _is_named_behind(chunk)]
    mixed = len(behind) < len(chunks) and max(behind, default=0) > 1
    if mixed or any(_is_between_weights(chunk) for chunk in chunks):
        read.append(Doubt("ambiguous_intent", ((),)))
    return _together(read)


def _is_between_weights(chunk: Sequence[Item]) -> bool:
    """Two names of a sex behind a weight, of the fish before and of those behind: "4 kg male males 3.3"."""
    return any(
        number.kind == "num" and not number.has("counter.fish") and _is_a_sex(one) and _is_a_sex(other)
        for number, one, other in zip(chunk, chunk[1:], chunk[2:], strict=False)
    )


def _is_named_behind(chunk: Sequence[Item]) -> bool:
    """Whether the fish of a chunk are named behind their weights: "2.4 kg female"."""
    return chunk[0].kind == "num" and _owner(chunk[-1])


def _together(pieces: Sequence[tuple[Entry, ...] | Doubt]) -> tuple[Entry, ...] | Doubt:
    """The fish of all pieces; where some are in doubt, every way of all of them."""
    doubt = next((piece for piece in pieces if isinstance(piece, Doubt) and piece is not UNWEIGHED), None)
    entries = [entry for piece in pieces if not isinstance(piece, Doubt) for entry in piece]
    if doubt is None and UNWEIGHED not in pieces:
        return tuple(entries)
    if doubt is None and not entries:
        return UNWEIGHED
    ways = [piece.ways if isinstance(piece, Doubt) else (piece,) for piece in pieces]
    joined = islice(product(*ways), MOST_WAYS)
    why = doubt.why if doubt is not None else "ambiguous_intent"
    return Doubt(why, tuple(tuple(entry for way in one for entry in way) for one in joined))


def _lettered(items: Sequence[Item], at: int) -> bool:
    """Whether a number is glued to a sex letter: f2.4."""
    return at > 0 and items[at - 1].has("sex.f", "sex.m") and len(items[at - 1].raw) == 1


def _weight_follows(items: Sequence[Item], at: int) -> bool:
    """Whether a weight comes next, with "is", "weighs", "=" or a sex word between."""
    for item in items[at + 1 : at + 6]:
        if item.kind == "num":
            return not item.glued or items[at + 1] is not item or item.unit != ""
        if not (
            item.has("cue.is", "cue.scale", "cue.guess", "filler.any", "filler.article", "sex.f", "sex.m")
            or item.one_of("when") is not None
            or item.raw in {":", "=", "-"}
        ):
            return False
    return False


def _tag(item: Item) -> Item:
    return item._replace(kind="tag", text=item.raw)


def _split(item: Item) -> list[Item]:
    letter = Item("word", item.raw[: -len(item.text)], frozenset({f"sex.{item.sex}"}), glued=item.glued)
    return [letter, Item("num", item.text, text=item.text, value=item.value, glued=True)]


def _chunks(items: Sequence[Item]) -> list[list[Item]]:
    """Clauses, each with a sex or a tag; clauses of bare weights join the one before, else the next."""
    pieces: list[list[Item]] = [[]]
    for item in items:
        if breaks(item) or item.has("join.or") or item.raw == "/":
            pieces.append([])
        elif _matters(item):
            pieces[-1].append(item)
    chunks: list[list[Item]] = []
    waiting: list[Item] = []
    for piece in pieces:
        ahead = _leading(piece) if chunks and any(_owner(item) for item in chunks[-1]) else 0
        if ahead:
            chunks[-1].extend(piece[:ahead])
            piece = piece[ahead:]
        if not piece:
            continue
        if not waiting and chunks and _is_of_the_fish(piece, chunks[-1]):
            chunks[-1].extend(piece)
        elif any(_owner(item) for item in piece):
            chunks.append(waiting + piece)
            waiting = []
        elif chunks:
            chunks[-1].extend(piece)
        else:
            waiting = waiting + piece
    return [*chunks, waiting] if waiting else chunks


def _is_of_the_fish(piece: Sequence[Item], before: Sequence[Item]) -> bool:
    """ "Fish no 31, female, 3.45 kg": a clause that adds the sex or the tag to a fish without weight yet."""
    if any(item.kind == "num" for item in before):
        return False
    owners, named = ([item for item in each if _owner(item)] for each in (piece, before))
    return len(owners) == len(named) == 1 and (owners[0].kind == "tag") != (named[0].kind == "tag")


def _leading(piece: Sequence[Item]) -> int:
    """How many weights at the head of a clause go on from the one before: "f 2.4, 3.1 m 1.9"."""
    first = next((at for at, item in enumerate(piece) if _owner(item)), 0)
    if first > 1 and _is_count(piece[:first], piece[first + 1 :]):
        first -= 1
    head = piece[:first]
    plain = all(item.kind == "num" for item in head) and any(item.kind == "num" for item in piece[first:])
    return first if plain and head and not all(item.whole for item in head) else 0


def _owner(item: Item) -> bool:
    return sex_of(item) is not None or item.kind == "tag"


def _matters(item: Item) -> bool:
    """What the fish grammar looks at. Clock times, spans and places are none of a weighing's numbers."""
    if item.kind == "num":
        return True
    said = item.has("op.times", "op.each", "op.of_each", "cue.is", "cue.scale")
    return _owner(item) or said or item.raw in {"x", "*", "@", "=", ":"}


@dataclass(frozen=True, slots=True)
class Fishes:
    """A stretch of a chunk with one owner: `count` fish said, `numbers` told, `each` of them."""

    sex: Sex | None
    tag: str | None
    plural: bool
    letter: str
    count: Item | None
    numbers: tuple[Item, ...]
    each: bool
    named: bool
    heads: bool
    both: bool = False


def _chunk(chunk: Sequence[Item]) -> tuple[Entry, ...] | Doubt:
    owners = [at for at, item in enumerate(chunk) if _owner(item)]
    if not owners:
        return _ownerless(chunk)
    first = owners[0]
    numbers_before = [item for item in chunk[:first] if item.kind == "num"]
    counted = (
        len(numbers_before) == 1
        and numbers_before[0].whole
        and any(item.kind == "num" for item in chunk[first:])
        and not _times_between(chunk[:first])
    )
    if not numbers_before or counted:
        return _read_all(_prefixed(chunk))
    if chunk[-1].kind == "num" or _leftover(chunk, owners):
        return Doubt("ambiguous_intent")
    return _read_all(_suffixed(chunk))


def _times_between(items: Sequence[Item]) -> bool:
    return any(_is_times(item) for item in items)


def _is_times(item: Item) -> bool:
    return item.has("op.times") or item.raw in {"x", "*", "@"}


def _leftover(chunk: Sequence[Item], owners: Sequence[int]) -> bool:
    return any(item.kind == "num" for item in chunk[owners[-1] :])


def _ownerless(chunk: Sequence[Item]) -> tuple[Entry, ...] | Doubt:
    numbers = tuple(item for item in chunk if item.kind == "num")
    each = any(_is_times(item) or item.has("op.each") for item in chunk)
    return _read(Fishes(None, None, False, "", None, numbers, each, False, False))


def _read_all(stretches: Sequence[Sequence[Item]]) -> tuple[Entry, ...] | Doubt:
    return _together([_read(_fishes(stretch)) for stretch in stretches])


def _prefixed(chunk: Sequence[Item]) -> list[list[Item]]:
    """Stretches that begin with their owner; a whole number right before an owner is its count."""
    stretches: list[list[Item]] = []
    for at, item in enumerate(chunk):
        new = _owner(item) and not (stretches and _same_fish(stretches[-1]))
        if new or not stretches:
            taken: list[Item] = []
            if stretches and _is_count(stretches[-1], chunk[at + 1 :]):
                taken = [stretches[-1].pop()]
            elif not stretches and not _owner(item):
                stretches.append([item])
                continue
            stretches.append([*taken, item])
        else:
            stretches[-1].append(item)
    if len(stretches) > 1 and _is_a_tag_behind(*stretches[-2:]):
        last = stretches.pop()
        stretches[-1].extend(last)
    if len(stretches) > 1 and not any(_owner(item) for item in stretches[0]):
        stretches[1] = stretches[0] + stretches[1]
        del stretches[0]
    return stretches


def _is_a_tag_behind(fish: Sequence[Item], last: Sequence[Item]) -> bool:
    """ "Female 2.75 kg tag 31": the tag closes what is told of one fish."""
    weighed = any(item.kind == "num" and not item.whole for item in fish)
    return (
        weighed and len(last) == 1 and last[0].kind == "tag" and not any(item.kind == "tag" for item in fish)
    )


def _same_fish(stretch: Sequence[Item]) -> bool:
    """Whether an owner may still join: "tag 8 female", "female tag 7"."""
    return not any(item.kind == "num" for item in stretch) and any(_owner(item) for item in stretch)


def _is_count(stretch: Sequence[Item], after: Sequence[Item]) -> bool:
    """Whether the last number of a stretch counts the fish that follow, not its own weight."""
    if stretch and stretch[-1].has("count.next"):
        return True
    own = [item for item in stretch if item.kind == "num"]
    times = len(stretch) > 1 and _is_times(stretch[-2])
    return (
        not times
        and bool(stretch)
        and stretch[-1].kind == "num"
        and stretch[-1].whole
        and len(own) > 1
        and stretch[-1].value < TWO_DIGITS.start
        and bool(after)
        and after[0].kind == "num"
        and sum(item.kind == "num" for item in after) == int(stretch[-1].value)
    )


def _suffixed(chunk: Sequence[Item]) -> list[list[Item]]:
    stretches: list[list[Item]] = [[]]
    for item in chunk:
        stretches[-1].append(item)
        if _owner(item):
            stretches.append([])
    return [stretch for stretch in stretches if any(item.kind == "num" for item in stretch)]


def _fishes(stretch: Sequence[Item]) -> Fishes:
    owner_at = next((at for at, item in enumerate(stretch) if _owner(item)), len(stretch))
    tag = next((item for item in stretch if item.kind == "tag"), None)
    sexes = [said for item in stretch if (said := sex_of(item)) is not None]
    sex: Sex | None = sexes[0] if sexes else tag.sex if tag is not None else None
    word = next((item for item in stretch if sex_of(item)), None)
    heads = [item for item in stretch if item.has("counter.fish") and item.whole]
    before = [item for item in stretch[:owner_at] if item.kind == "num" and item not in heads]
    after = [item for item in stretch[owner_at:] if item.kind == "num" and item not in heads]
    count = heads[0] if len(heads) == 1 else None
    if not heads and len(before) == 1 and after and before[0].whole:
        count, before = before[0], []
    elif not heads and not after and (counted := _counted_behind(before)) is not None:
        count = counted
        before = [item for item in before if item is not counted]
    numbers = before + after
    letter = word.raw.upper() if word is not None and len(word.raw) == 1 else ""
    return Fishes(
        sex=sex,
        tag=tag_of(tag) if tag is not None else None,
        plural=word is not None and word.has("number_of.many"),
        letter=letter,
        count=count,
        numbers=tuple(numbers),
        each=any(item.has("op.each") for item in stretch) or _multiplied(stretch) or _of_each(stretch),
        named=_says_is(stretch, owner_at),
        heads=word is not None
        and len(word.raw) > 1
        and len(before) == 1
        and not after
        and before[0].value < TWO_DIGITS.start
        and not _times_between(stretch),
        both=len({*sexes, *([tag.sex] if tag is not None and tag.sex and sexes else [])}) > 1,
    )


def _multiplied(stretch: Sequence[Item]) -> bool:
    """Whether a sign of so many times stands between two numbers."""
    numbers = [at for at, item in enumerate(stretch) if item.kind == "num"]
    return bool(numbers) and any(_is_times(item) for item in stretch[numbers[0] : numbers[-1]])


def _of_each(stretch: Sequence[Item]) -> bool:
    """ "2.4 kilo wali 3 mada": fish of so much each."""
    return any(
        weight.kind == "num" and weight.unit and item.has("op.of_each") for weight, item in pairwise(stretch)
    )


def _counted_behind(before: Sequence[Item]) -> Item | None:
    """The count among the numbers before a sex: "2.4 kg 3 females", "three 2 kg females"."""
    if len(before) > 1 and _small(before[-1]) and any(item.unit or not item.whole for item in before[:-1]):
        return before[-1]
    return before[0] if len(before) == 2 and _small(before[0]) and before[1].unit else None


def _small(item: Item) -> bool:
    return item.whole and item.value < TWO_DIGITS.start


def _says_is(stretch: Sequence[Item], owner_at: int) -> bool:
    """ "female 12 is 2.9": the number before "is" names the fish."""
    after = list(stretch[owner_at + 1 :])
    if len(after) < 3 or after[0].spoken or after[0].glued or after[0].has("counter.fish"):
        return False
    return after[0].whole and after[1].has("cue.is", "cue.scale") and after[2].kind == "num"


def _read(fishes: Fishes) -> tuple[Entry, ...] | Doubt:
    numbers = fishes.numbers
    if not numbers:
        return () if fishes.count is not None else UNWEIGHED
    if fishes.both or (fishes.count is not None and (fishes.tag is not None or fishes.named)):
        return Doubt("ambiguous_intent")
    tail = _tail(numbers)
    if tail is not None:
        return Doubt("ambiguous_intent", ((Entry(fishes.sex, tail, fishes.tag),),))
    if fishes.heads and all(item.whole for item in numbers):
        return Doubt("no_number")
    if fishes.tag is not None:
        return (
            (Entry(fishes.sex, numbers[0], fishes.tag),) if len(numbers) == 1 else Doubt("ambiguous_intent")
        )
    if fishes.named and len(numbers) == 2:
        return (Entry(fishes.sex, numbers[1], numbers[0].text or numbers[0].raw),)
    if fishes.each:
        return _expanded(fishes)
    if fishes.count is not None:
        return _counted(fishes)
    return _several(fishes) if fishes.plural and not fishes.letter else _listed(fishes)


def _several(fishes: Fishes) -> tuple[Entry, ...] | Doubt:
    """Numbers behind a plural: a small whole one at their head counts the fish. "Females 3: 2.1 2.4"."""
    first, *rest = fishes.numbers
    if not _small(first) or (rest and all(_small(item) for item in rest)):
        return _listed(fishes)
    if not rest:
        return Doubt("ambiguous_intent", ((Entry(fishes.sex, first),),))
    return _counted(replace(fishes, count=first, numbers=tuple(rest)))


def _tail(numbers: Sequence[Item]) -> Item | None:
    """The number that "1 kg 9", "2 kg y 1/2" or "2 kg and 300 g" may be: whole kilos and what may be a part
    of one behind them."""
    for first, then in pairwise(numbers):
        part = _part_of_a_kilo(then)
        if first.unit == "lb" and then.whole and then.value < OUNCES:
            return first._replace(value=round(first.value + then.value / OUNCES, 6), text="")
        if first.unit == "kg" and first.value == int(first.value) and "." not in first.text and part:
            return first._replace(value=round(first.value + part, 6), text="")
    return None


def _part_of_a_kilo(item: Item) -> float:
    """What a number behind whole kilos may add to them; 0: it is a weight of its own."""
    if item.unit == "g" and item.value < GRAMS_OF_A_KILO:
        return item.value / GRAMS_OF_A_KILO
    if item.unit or item.high is not None:
        return 0.0
    return float(f"0.{int(item.value)}"[:5]) if item.whole else item.value if item.value < 1 else 0.0


def _expanded(fishes: Fishes) -> tuple[Entry, ...] | Doubt:
    """N x W, W x N, N @ W, N ... W each."""
    pair = (fishes.count, *fishes.numbers) if fishes.count is not None else fishes.numbers
    if len(pair) == 1:
        return Doubt("ambiguous_intent", ((Entry(fishes.sex, pair[0]),),))
    if len(pair) != 2:
        return Doubt("ambiguous_intent")
    first, second = pair
    if fishes.count is None and first.value != second.value and all(_small(item) for item in pair):
        ways = ((first, second), (second, first))
        each = tuple(tuple(Entry(fishes.sex, kg) for _ in range(int(many.value))) for many, kg in ways)
        return Doubt("ambiguous_intent", each)
    whole = [item for item in pair if item.whole and 0 < item.value < MOST_FISH]
    if fishes.count is first or (len(whole) == 2 and first.value <= second.value) or whole == [first]:
        many, kg = first, second
    elif whole == [second]:
        many, kg = second, first
    else:
        return Doubt("ambiguous_intent")
    if not 0 < many.value < MOST_FISH:
        return Doubt("ambiguous_intent")
    return tuple(Entry(fishes.sex, kg) for _ in range(int(many.value)))


def _counted(fishes: Fishes) -> tuple[Entry, ...] | Doubt:
    count = fishes.count
    if count is not None and int(count.value) == len(fishes.numbers):
        return tuple(Entry(fishes.sex, item) for item in fishes.numbers)
    if count is not None and len(fishes.numbers) == 1 and 1 < count.value < MOST_FISH:
        each = tuple(Entry(fishes.sex, fishes.numbers[0]) for _ in range(int(count.value)))
        return Doubt("ambiguous_intent", (each,))
    return Doubt("ambiguous_intent", (tuple(Entry(fishes.sex, item) for item in fishes.numbers),))


def _listed(fishes: Fishes) -> tuple[Entry, ...] | Doubt:
    """Weights after a sex word; a first whole number may be their count, or the tag."""
    first, *rest = fishes.numbers
    all_of = tuple(Entry(fishes.sex, item) for item in fishes.numbers)
    if first.whole and rest and int(min(first.value, MOST_FISH)) == len(rest):
        if len(rest) == 1 and (fishes.letter or _small(rest[0])):
            return Doubt("ambiguous_intent", (all_of, all_of[1:]))
        return all_of[1:]
    if first.whole and rest and first.value < GRAMS_FROM and not all(item.whole for item in rest):
        name = fishes.letter + first.raw
        tagged = (Entry(fishes.sex, rest[0], name),) if len(rest) == 1 else ()
        return Doubt("ambiguous_intent", tuple(way for way in (all_of, tagged) if way))
    if not rest and fishes.plural and first.unit in {"kg", "g", "lb"} and not fishes.letter:
        return Doubt("ambiguous_intent")
    return all_of
