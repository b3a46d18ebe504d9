"""Weights of fish: which number belongs to which fish, in what unit, and whether it can be true."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from core.commands import Act, Unclear, UnclearWhy, Weigh, Weighed
from core.reading.items import Item, count_of
from core.reading.message import Message, breaks, tag_of
from core.records import Sex

GRAMS_FROM = 100
MOST_FISH = 60
LOST_POINT = range(10, 100)
ANY_FISH = (0.02, 60.0)
BARE_UNIT = {"imperial": "lb", "kati": "kati", "viss": "viss"}


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


def weigh(message: Message) -> Weigh | Unclear:
    """The weighing told in these items."""
    tare, rest = _tare(message)
    doubt = _said_doubt(rest)
    found = doubt or _entries(rest)
    if isinstance(found, Doubt):
        return _unclear(rest, found)
    if not found:
        return Unclear("no_number")
    settled = _settle(rest, found)
    if isinstance(settled, Unclear) or tare is None:
        return settled
    return replace(settled, tare_kg=tare)


def by_place(message: Message) -> list[Weigh | Unclear]:
    """The weighing, or one a place where several are named."""
    places = {item.text.casefold() for item in message.kinds("place")}
    clauses = message.clauses()
    if len(places) < 2:
        return [weigh(message)]
    if len(places) == len(clauses) and all(clause.place for clause in clauses):
        return [weigh(clause) for clause in clauses]
    return [Unclear("ambiguous_intent")]


def joined(weighings: Sequence[Weigh]) -> list[Weigh]:
    """Weighings of one message at one place as one."""
    found: list[Weigh] = []
    for one in weighings:
        same = next((at for at, other in enumerate(found) if other.place == one.place), None)
        if same is None:
            found.append(one)
        else:
            other = found[same]
            found[same] = replace(
                other, fish=other.fish + one.fish,
                species=other.species or one.species, species_word=other.species_word or one.species_word,
            )
    return found


def _unclear(message: Message, doubt: Doubt) -> Unclear:
    meant: list[Act] = []
    for way in doubt.ways:
        settled = _settle(message, way)
        if isinstance(settled, Weigh) and settled not in meant:
            meant.append(settled)
    return Unclear(doubt.why, tuple(meant))


def _tare(message: Message) -> tuple[float | None, Message]:
    """The weight of the bowl or net, and the message without it."""
    for at, item in enumerate(message.items):
        if item.has("cue.tare"):
            for ahead in range(at + 1, min(at + 4, len(message.items))):
                number = message.items[ahead]
                if number.kind == "num" and number.unit in {"kg", "g", "lb"}:
                    kg = number.value * message.lexicon.units[number.unit].factor
                    return kg, message.part([*message.items[:at], *message.items[ahead + 1 :]])
    return None, message


# what is said to be doubtful ------------------------------------------------------------------------------


def _said_doubt(message: Message) -> Doubt | None:
    """Sums, choices and ranges: there is a number, but not one a fish."""
    if message.has("cue.total"):
        return Doubt("ambiguous_intent")
    if any(item.high is not None for item in message.numbers):
        return Doubt("ambiguous_intent")
    if message.has("join.or", "join.between"):
        one = [item for item in message.numbers if not item.has("time.at")]
        sexes: list[Sex | None] = [_sex(item) for item in message.items if _sex(item)]
        sex = sexes[0] if len(set(sexes)) == 1 else None
        return Doubt("ambiguous_intent", tuple((Entry(sex, item),) for item in one[:3]))
    return None


# which number is whose --------------------------------------------------------------------------------------


def _sex(item: Item) -> Sex | None:
    key = item.one_of("sex") or item.one_of("pronoun")
    return "f" if key == "f" else "m" if key == "m" else None


def _entries(message: Message) -> tuple[Entry, ...] | Doubt:
    """The fish of a message, chunk by chunk: each chunk has a sex or tag of its own."""
    items = _as_tags_or_weights(message)
    if isinstance(items, Doubt):
        return items
    if any(item.has("digits.odd") for item in items):
        return Doubt("ambiguous_intent")
    entries = _plain(items)
    return Doubt("ambiguous_intent") if isinstance(entries, tuple) and len(entries) > MOST_FISH else entries


def _as_tags_or_weights(message: Message) -> list[Item] | Doubt:
    """Letters with whole digits: tags if each is followed by a weight, weights if none is."""
    units = message.lexicon.units
    items = [
        item
        for item in message.items
        if (item.kind != "junk" or item.has("digits.odd")) and (not item.unit or units[item.unit].measures == "mass")
    ]
    found: list[Item] = []
    tagged, weights, pointed = 0, 0, 0
    for at, item in enumerate(items):
        if item.kind == "coded":
            is_tag = item.sex is None or _weight_follows(items, at)
            tagged, weights = tagged + is_tag, weights + (not is_tag)
            found.extend([_tag(item)] if is_tag else _split(item))
        else:
            pointed += item.kind == "num" and item.glued and _lettered(items, at)
            found.append(item)
    if tagged and (weights or pointed) and any(item.kind == "coded" and item.sex for item in items):
        ways = [list(_each(items, as_tag)) for as_tag in (True, False)]
        read = [_plain(way) for way in ways]
        return Doubt("ambiguous_intent", tuple(way for way in read if not isinstance(way, Doubt)))
    return found


def _each(items: Sequence[Item], as_tag: bool) -> list[Item]:
    found: list[Item] = []
    for at, item in enumerate(items):
        tag = as_tag and _weight_follows(items, at)
        found.extend([item] if item.kind != "coded" else [_tag(item)] if tag else _split(item))
    return found


def _plain(items: Sequence[Item]) -> tuple[Entry, ...] | Doubt:
    entries: list[Entry] = []
    for chunk in _chunks(items):
        found = _chunk(chunk)
        if isinstance(found, Doubt):
            return found
        entries.extend(found)
    return tuple(entries)


def _lettered(items: Sequence[Item], at: int) -> bool:
    """Whether a number is glued to a sex letter: f2.4."""
    return at > 0 and items[at - 1].has("sex.f", "sex.m") and len(items[at - 1].raw) == 1


def _weight_follows(items: Sequence[Item], at: int) -> bool:
    """Whether a weight comes next, with "is", "weighs", "=" or a sex word between."""
    for item in items[at + 1 : at + 5]:
        if item.kind == "num":
            return not item.glued or items[at + 1] is not item or item.unit != ""
        if not (item.has("cue.is", "cue.scale", "filler.any", "filler.article", "sex.f", "sex.m")
                or item.raw in {":", "=", "-"}):
            return False
    return False


def _tag(item: Item) -> Item:
    return replace(item, kind="tag", text=item.raw)


def _split(item: Item) -> list[Item]:
    letter = Item("word", item.raw[: -len(item.text)], frozenset({f"sex.{item.sex}"}), glued=item.glued)
    return [letter, Item("num", item.text, text=item.text, value=item.value, glued=True)]


def _chunks(items: Sequence[Item]) -> list[list[Item]]:
    """Clauses, each with a sex or a tag; clauses of bare weights join the one before, else the next."""
    pieces: list[list[Item]] = [[]]
    for item in items:
        if breaks(item) or item.has("join.or"):
            pieces.append([])
        elif _matters(item):
            pieces[-1].append(item)
    chunks: list[list[Item]] = []
    waiting: list[Item] = []
    for piece in pieces:
        ahead = _leading(piece) if chunks and _owner(chunks[-1][0]) else 0
        if ahead:
            chunks[-1].extend(piece[:ahead])
            piece = piece[ahead:]
        if not piece:
            continue
        if any(_owner(item) for item in piece):
            chunks.append(waiting + piece)
            waiting = []
        elif chunks:
            chunks[-1].extend(piece)
        else:
            waiting = waiting + piece
    return [*chunks, waiting] if waiting else chunks


def _leading(piece: Sequence[Item]) -> int:
    """How many weights at the head of a clause go on from the one before: "f 2.4, 3.1 m 1.9"."""
    first = next((at for at, item in enumerate(piece) if _owner(item)), 0)
    head = piece[:first]
    plain = all(item.kind == "num" for item in head) and any(item.kind == "num" for item in piece[first:])
    return first if plain and head and not all(item.whole for item in head) else 0


def _owner(item: Item) -> bool:
    return _sex(item) is not None or item.kind == "tag"


def _matters(item: Item) -> bool:
    """What the fish grammar looks at. Clock times, spans and places are none of a weighing's numbers."""
    if item.kind == "num":
        return True
    return _owner(item) or item.has("op.times", "op.each", "cue.is") or item.raw in {"x", "*", "@", "=", ":"}


@dataclass(frozen=True, slots=True)
class Fishes:
    """A stretch of a chunk with one owner: `count` fish said, `numbers` told, `each` of them."""

    sex: Sex | None
    tag: str | None
    plural: bool
    letter: bool
    count: Item | None
    numbers: tuple[Item, ...]
    each: bool
    named: bool
    heads: bool


def _chunk(chunk: Sequence[Item]) -> tuple[Entry, ...] | Doubt:
    owners = [at for at, item in enumerate(chunk) if _owner(item)]
    if not owners:
        return _ownerless(chunk)
    first = owners[0]
    numbers_before = [item for item in chunk[:first] if item.kind == "num"]
    counted = len(numbers_before) == 1 and numbers_before[0].whole and any(
        item.kind == "num" for item in chunk[first:]
    ) and not _times_between(chunk[:first])
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
    return _read(Fishes(None, None, False, False, None, numbers, each, False, False))


def _read_all(stretches: Sequence[Sequence[Item]]) -> tuple[Entry, ...] | Doubt:
    entries: list[Entry] = []
    for stretch in stretches:
        found = _read(_fishes(stretch))
        if isinstance(found, Doubt):
            return found
        entries.extend(found)
    return tuple(entries)


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
    if len(stretches) > 1 and not any(_owner(item) for item in stretches[0]):
        stretches[1] = stretches[0] + stretches[1]
        del stretches[0]
    return stretches


def _same_fish(stretch: Sequence[Item]) -> bool:
    """Whether an owner may still join: "tag 8 female", "female tag 7"."""
    return not any(item.kind == "num" for item in stretch) and any(_owner(item) for item in stretch)


def _is_count(stretch: Sequence[Item], after: Sequence[Item]) -> bool:
    """Whether the last number of a stretch counts the fish that follow, not its own weight."""
    own = [item for item in stretch if item.kind == "num"]
    times = len(stretch) > 1 and _is_times(stretch[-2])
    return not times and bool(stretch) and stretch[-1].kind == "num" and stretch[-1].whole and len(own) > 1 \
        and stretch[-1].value < LOST_POINT.start and bool(after) and after[0].kind == "num" \
        and sum(item.kind == "num" for item in after) == int(stretch[-1].value)


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
    sexes = [sex for item in stretch if (sex := _sex(item)) is not None]
    sex: Sex | None = sexes[0] if sexes else tag.sex if tag is not None else None
    word = next((item for item in stretch if _sex(item)), None)
    before = [item for item in stretch[:owner_at] if item.kind == "num"]
    after = [item for item in stretch[owner_at:] if item.kind == "num"]
    count = before[0] if len(before) == 1 and after and before[0].whole else None
    numbers = after if count is not None else before + after
    return Fishes(
        sex=sex,
        tag=tag_of(tag) if tag is not None else None,
        plural=word is not None and word.has("number_of.many"),
        letter=word is not None and len(word.raw) == 1,
        count=count,
        numbers=tuple(numbers),
        each=any(_is_times(item) or item.has("op.each") for item in stretch),
        named=_says_is(stretch, owner_at),
        heads=word is not None and len(word.raw) > 1 and len(before) == 1 and not after
        and before[0].value < LOST_POINT.start and not _times_between(stretch),
    )


def _says_is(stretch: Sequence[Item], owner_at: int) -> bool:
    """ "female 12 is 2.9": the number before "is" names the fish."""
    after = list(stretch[owner_at + 1 :])
    return len(after) >= 3 and after[0].whole and after[1].has("cue.is", "cue.scale") and after[2].kind == "num"


def _read(fishes: Fishes) -> tuple[Entry, ...] | Doubt:
    numbers = fishes.numbers
    if not numbers:
        return ()
    tail = _tail(numbers)
    if tail is not None:
        return Doubt("ambiguous_intent", ((Entry(fishes.sex, tail, fishes.tag),),))
    if fishes.heads and all(item.whole for item in numbers):
        return Doubt("no_number")
    if fishes.tag is not None:
        return (Entry(fishes.sex, numbers[0], fishes.tag),) if len(numbers) == 1 else Doubt("ambiguous_intent")
    if fishes.named and len(numbers) == 2:
        return (Entry(fishes.sex, numbers[1], numbers[0].text or numbers[0].raw),)
    if fishes.each:
        return _expanded(fishes)
    if fishes.count is not None:
        return _counted(fishes)
    return _listed(fishes)


def _tail(numbers: Sequence[Item]) -> Item | None:
    """The number that "1 kg 9" may be: a whole kilo and a bare number behind it."""
    for first, then in pairwise(numbers):
        if first.unit == "kg" and first.text.isdigit() and then.whole and then.text.isdigit():
            return replace(first, value=first.value + float(f"0.{then.text[:3]}"), text="")
    return None


def _expanded(fishes: Fishes) -> tuple[Entry, ...] | Doubt:
    """N x W, W x N, N @ W, N ... W each."""
    pair = (fishes.count, *fishes.numbers) if fishes.count is not None else fishes.numbers
    if len(pair) == 1:
        return (Entry(fishes.sex, pair[0]),) if not fishes.plural else Doubt("ambiguous_intent")
    if len(pair) != 2:
        return Doubt("ambiguous_intent")
    first, second = pair
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
    return Doubt("ambiguous_intent")


def _listed(fishes: Fishes) -> tuple[Entry, ...] | Doubt:
    """Weights after a sex word; a first whole number may be their count, or the tag."""
    first, *rest = fishes.numbers
    all_of = tuple(Entry(fishes.sex, item) for item in fishes.numbers)
    if first.whole and rest and int(min(first.value, MOST_FISH)) == len(rest):
        if fishes.letter and len(rest) == 1:
            return Doubt("ambiguous_intent", (all_of, all_of[1:]))
        return all_of[1:]
    if first.whole and rest and first.value < GRAMS_FROM and not all(item.whole for item in rest):
        name = f"{fishes.sex or ''}".upper() + first.raw
        tagged = (Entry(fishes.sex, rest[0], name),) if len(rest) == 1 else ()
        return Doubt("ambiguous_intent", tuple(way for way in (all_of, tagged) if way))
    if not rest and fishes.plural and first.unit in {"kg", "g", "lb"} and not fishes.letter:
        return Doubt("ambiguous_intent")
    return all_of


# units and what can be true ---------------------------------------------------------------------------------


def span(message: Message, species: str | None, kin: Sequence[str]) -> tuple[float, float]:
    """Least and greatest kg of the species, of all it may be, or of any."""
    limits = message.limits
    slugs = [species] if species else [slug for slug in kin if slug in limits] or list(limits)
    known = [limits[slug] for slug in slugs if slug in limits] or list(limits.values()) or [ANY_FISH]
    return min(low for low, _ in known), max(high for _, high in known)


def named_species(message: Message) -> tuple[str | None, str | None, tuple[str, ...]]:
    """The species named, else the word that fits several and those it fits."""
    if message.species is not None:
        return message.species, None, ()
    for item in message.items:
        if item.has("species_word.kin"):
            word = item.raw.casefold()
            return None, word, message.view.kin.get(word, ())
    return None, None, ()


@dataclass(frozen=True, slots=True)
class _Scale:
    """How the bare numbers of a message are to be weighed."""

    message: Message
    unit: str
    low: float
    high: float
    certain: bool

    def kg(self, item: Item) -> float | None:
        """The weight a number stands for; None for an unknown local unit."""
        unit = self.message.lexicon.units.get(item.unit or self.unit)
        if unit is not None:
            if unit.measures != "mass" or unit.factor == 0:
                return None
            value = item.value if unit.factor >= 0.1 else _grams(item)
            return round(value * unit.factor, 6)
        return _grams(item) / 1000 if item.value >= GRAMS_FROM else item.value

    def fits(self, kg: float) -> bool:
        return self.low <= kg <= self.high


def _grams(item: Item) -> float:
    return count_of(item)


def _scale(message: Message) -> _Scale:
    told = {item.unit for item in message.measured("mass")}
    unit = told.pop() if len(told) == 1 else BARE_UNIT.get(message.context.unit_system, "") if not told else ""
    species, _, kin = named_species(message)
    own = species or (message.context.species if not kin else None)
    low, high = span(message, own, kin)
    return _Scale(message, unit, low, high, own is not None)


def _settle(message: Message, entries: Sequence[Entry]) -> Weigh | Unclear:
    """Kilograms for every fish, or why not."""
    scale = _scale(message)
    fish: list[Weighed] = []
    mended: list[list[Weighed]] = [[]]
    why: UnclearWhy | None = None
    for entry in entries:
        number = entry.number
        kg = scale.kg(number) if number is not None else None
        if number is None or kg is None:
            return Unclear("ambiguous_unit")
        fish.append(Weighed(entry.sex, kg, entry.tag))
        reason, others = _fault(scale, entry, number, kg)
        why = why or reason
        mended = [[*way, other] for way in mended for other in others][:3]
    if why is not None:
        return Unclear(why, tuple(_weigh(message, way) for way in mended if way and all(_ok(scale, f) for f in way)))
    return _weigh(message, fish)


def _ok(scale: _Scale, fish: Weighed) -> bool:
    return fish.kg is not None and scale.fits(fish.kg)


def _weigh(message: Message, fish: Sequence[Weighed]) -> Weigh:
    species, word, _ = named_species(message)
    return Weigh(tuple(fish), species=species, species_word=word, place=message.place)


def _fault(scale: _Scale, entry: Entry, item: Item, kg: float) -> tuple[UnclearWhy | None, list[Weighed]]:
    """What is wrong with one weight, and the fish it may be instead, best first."""
    bare = not item.unit
    suspicious = bare and item.whole and not scale.unit and not scale.certain and int(item.value) in LOST_POINT
    if scale.fits(kg) and not suspicious:
        return None, [Weighed(entry.sex, kg, entry.tag)]
    if bare:
        other = kg / 1000 if kg == item.value and not scale.unit else item.value
        if scale.fits(other) and not suspicious:
            return "ambiguous_unit", [Weighed(entry.sex, round(other, 6), entry.tag)]
    return "implausible", _instead(scale, entry, item, kg)


def _instead(scale: _Scale, entry: Entry, item: Item, kg: float) -> list[Weighed]:
    ways = [Weighed(entry.sex, round(kg / by, 6), entry.tag) for by in (10, 100, 1000)]
    if entry.tag is None and entry.sex and item.glued and len(item.text) == 2 and item.text.isdigit():
        ways.append(Weighed(entry.sex, float(item.text[1]), entry.sex.upper() + item.text[0]))
    found = [way for way in ways[:1] + ways[3:] if _ok(scale, way)] or [way for way in ways if _ok(scale, way)]
    if scale.fits(kg):
        found.append(Weighed(entry.sex, kg, entry.tag))
    return found or [Weighed(entry.sex, None, entry.tag)]
