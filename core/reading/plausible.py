"""Kilograms of what was said, and whether a brood fish can weigh that."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from core.commands import Unclear, UnclearWhy, Weigh, Weighed
from core.reading.fishes import GRAMS_FROM, TWO_DIGITS, Entry
from core.reading.items import Item, count_of
from core.reading.message import Message

ANY_FISH = (0.02, 60.0)
LARGE_SHARE = 0.7
"""From this share of the heaviest on, two digits without a point are asked about. A rule of our own."""
BARE_UNIT = {"imperial": "lb", "kati": "kati", "viss": "viss"}


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
        if item.one_of("species_word") is not None:
            return None, _as_typed(message, item.text), message.view.kin.get(item.text, ())
    return None, None, ()


def _as_typed(message: Message, name: str) -> str:
    """The name with its hyphens, where it was typed so."""
    joined = name.replace(" ", "-")
    return joined if joined in message.text.casefold() else name


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
            factor = unit.within.get(self.message.context.unit_system, unit.factor)
            if unit.measures != "mass" or factor == 0:
                return None
            value = item.value if factor >= 0.1 else count_of(item)
            return round(value * factor, 6)
        return count_of(item) / 1000 if item.value >= GRAMS_FROM else item.value

    def ways(self, item: Item) -> tuple[float, ...]:
        """The weights a number in a local unit may stand for, best first."""
        unit = self.message.lexicon.units.get(item.unit or self.unit)
        return tuple(round(item.value * way, 6) for way in unit.ways) if unit is not None else ()

    def fits(self, kg: float) -> bool:
        return self.low <= kg <= self.high


def _scale(message: Message) -> _Scale:
    told = {item.unit for item in message.measured("mass")}
    unit = (
        told.pop() if len(told) == 1 else BARE_UNIT.get(message.context.unit_system, "") if not told else ""
    )
    species, word, kin = named_species(message)
    own = species or (message.context.species if word is None else None)
    low, high = span(message, own, kin)
    return _Scale(message, unit, low, high, own is not None)


def settle(message: Message, entries: Sequence[Entry]) -> Weigh | Unclear:
    """Kilograms for every fish, or why not."""
    scale = _scale(message)
    fish: list[Weighed] = []
    mended: list[list[Weighed]] = [[]]
    why: UnclearWhy | None = None
    for entry in entries:
        number = entry.number
        kg = scale.kg(number) if number is not None else None
        if number is None or kg is None:
            return Unclear("ambiguous_unit", _by_local_units(scale, entries))
        fish.append(Weighed(entry.sex, kg, entry.tag))
        reason, others = _fault(scale, entry, number, kg)
        why = why or reason
        mended = [[*way, other] for way in mended for other in others][:3]
    if why is not None:
        return Unclear(
            why, tuple(weighing(message, way) for way in mended if way and all(_ok(scale, f) for f in way))
        )
    bare = [entry.number.value for entry in entries if entry.number and not entry.number.unit]
    return replace(weighing(message, fish), grams=not scale.unit and any(n >= GRAMS_FROM for n in bare))


def _by_local_units(scale: _Scale, entries: Sequence[Entry]) -> tuple[Weigh, ...]:
    """The weighings there may be where nobody knows how much a unit is."""
    found: list[Weigh] = []
    ways = [[] if each.number is None else list(scale.ways(each.number)) for each in entries]
    for at in range(max(map(len, ways), default=0)):
        kgs = [
            way[at] if at < len(way) else scale.kg(each.number) if each.number is not None else None
            for way, each in zip(ways, entries, strict=True)
        ]
        fish = [Weighed(each.sex, kg, each.tag) for each, kg in zip(entries, kgs, strict=True)]
        if all(_ok(scale, one) for one in fish):
            found.append(weighing(scale.message, fish))
    return tuple(found)


def _ok(scale: _Scale, fish: Weighed) -> bool:
    return fish.kg is not None and scale.fits(fish.kg)


def weighing(message: Message, fish: Sequence[Weighed] = ()) -> Weigh:
    """A weighing of these fish, with the species and the place named."""
    species, word, _ = named_species(message)
    return Weigh(tuple(fish), species=species, species_word=word, place=message.place)


def _fault(scale: _Scale, entry: Entry, item: Item, kg: float) -> tuple[UnclearWhy | None, list[Weighed]]:
    """What is wrong with one weight, and the fish it may be instead, best first."""
    bare = not item.unit
    pointless = bare and item.whole and not scale.unit and int(item.value) in TWO_DIGITS
    suspicious = pointless and (not scale.certain or kg >= scale.high * LARGE_SHARE)
    if scale.fits(kg) and not suspicious:
        return None, [Weighed(entry.sex, kg, entry.tag)]
    if bare:
        other = kg / 1000 if kg == item.value and not scale.unit else item.value
        if scale.fits(other) and (not suspicious or (scale.certain and not scale.fits(kg))):
            return "ambiguous_unit", [Weighed(entry.sex, round(other, 6), entry.tag)]
    return "implausible", _instead(scale, entry, item, kg)


def _instead(scale: _Scale, entry: Entry, item: Item, kg: float) -> list[Weighed]:
    ways = [Weighed(entry.sex, round(kg / by, 6), entry.tag) for by in (10, 100, 1000)]
    if entry.tag is None and entry.sex and item.glued and len(item.text) == 2 and item.text.isdigit():
        ways.append(Weighed(entry.sex, float(item.text[1]), entry.sex.upper() + item.text[0]))
    found = [way for way in ways[:1] + ways[3:] if _ok(scale, way)] or [
        way for way in ways if _ok(scale, way)
    ]
    if scale.fits(kg):
        found.append(Weighed(entry.sex, kg, entry.tag))
    return found or [Weighed(entry.sex, None, entry.tag)]
