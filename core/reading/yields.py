"""Words that a scale and a female share: "la hembra dio 2,9 kg" is a weight, "la H2 dio 180 g" her eggs."""

from __future__ import annotations

from collections.abc import Sequence

from core.reading.fishes import sex_of
from core.reading.items import Item
from core.reading.message import Message, breaks
from core.reading.plausible import named_species

EGGS = (0.01, 1.0)
"""Kilograms of eggs that one female may give. A rule of our own."""
NEAR = 3
EGGS_SAID = frozenset({"cue.stripped"})
WEIGHT_SAID = frozenset({"cue.is"})
OF_EGGS = frozenset({"noun.eggs", "cue.stripped"})


def settled(message: Message) -> Message:
    """The message with each such word told apart by the figure behind it and the fish before it."""
    if not message.has("cue.came_to"):
        return message
    items = [_said(message, at) if item.has("cue.came_to") else item for at, item in enumerate(message.items)]
    return message.part(items)


def _said(message: Message, at: int) -> Item:
    item = message.items[at]
    number = _number_behind(message.items, at) or _number_before(message.items, at)
    if number is None:
        return item
    before = next(n for n, each in enumerate(message.items) if each is number)
    if _are_eggs(message, number) and _may_be_hers(message.items[: min(at, before)]):
        return item._replace(senses=(item.senses - WEIGHT_SAID) | EGGS_SAID)
    return item._replace(senses=(item.senses - OF_EGGS) | WEIGHT_SAID) if number.unit == "kg" else item


def _number_behind(items: Sequence[Item], at: int) -> Item | None:
    for item in items[at + 1 : at + 1 + NEAR]:
        if item.kind == "num":
            return item
        if breaks(item) or item.kind in {"tag", "coded"} or sex_of(item) is not None:
            return None
    return None


def _number_before(items: Sequence[Item], at: int) -> Item | None:
    """Where the verb comes last: "F2 ne 180 gram diya"."""
    near = items[at - 1] if at else None
    return near if near is not None and near.kind == "num" else None


def _are_eggs(message: Message, number: Item) -> bool:
    """Grams that a female gives, and no fish of the species weighs."""
    unit = message.lexicon.units.get(number.unit or "g")
    if unit is None or unit.measures != "mass" or unit.factor >= 1 or number.high is not None:
        return False
    kg = number.value * unit.factor
    species, _, _ = named_species(message)
    low, high = message.limits.get(species or message.context.species or "", (0.0, 0.0))
    return EGGS[0] <= kg <= EGGS[1] and not low <= kg <= high and (bool(number.unit) or number.whole)


def _may_be_hers(before: Sequence[Item]) -> bool:
    """Whether the fish named last before it is a female, or known by a tag."""
    for item in reversed(before):
        if item.kind in {"tag", "coded"}:
            return item.sex != "m"
        if (sex := sex_of(item)) is not None:
            return sex == "f"
    return False
