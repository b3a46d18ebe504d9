"""How densely larvae and fry are stocked or packed: a published density times water, area or bags."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from core.errors import HatchError
from core.species import Card, Per, StockedIn, Stocking, Young
from core.units import positive

M2_OF_WATER: dict[Per, str] = {"m2": "m2", "litre": "L", "bag": "bag"}


@dataclass(frozen=True, slots=True)
class Stocked:
    """A density and what it comes to: `low`..`high` larvae, `usual` where a source prefers a number; or
    `fewest`..`most` bags for a number that was told."""

    rule: Stocking
    low: int | None = None
    usual: int | None = None
    high: int | None = None
    fewest: int | None = None
    most: int | None = None


def fitting(
    card: Card, place: StockedIn | None = None, young: Young | None = None, per: Per | None = None
) -> tuple[Stocking, ...]:
    """The densities of a card that were asked for; larvae alone where nobody said fry."""
    told = [rule for rule in card.stocking if _fits(rule, place, per)]
    return tuple(rule for rule in told if rule.young == (young or "larvae"))


def _fits(rule: Stocking, place: StockedIn | None, per: Per | None) -> bool:
    """A bag is never meant where it was not named."""
    packed = rule.place == "bag" and place is None and per is None
    return place in (None, rule.place) and per in (None, rule.per) and not packed


def stocked(rule: Stocking, amount: float | None) -> Stocked:
    """What a density comes to in `amount` of square metres, litres or bags.

    Raises `HatchError("not-positive", value, unit)`.
    """
    if amount is None:
        return Stocked(rule)
    many = positive(amount, M2_OF_WATER[rule.per])
    figure = rule.density
    usual = None if figure.usual is None else round(many * figure.usual)
    return Stocked(rule, round(many * figure.low), usual, round(many * figure.high))


def bags(rule: Stocking, larvae: float) -> Stocked:
    """How many bags, or litres or square metres, so many larvae want.

    Raises `HatchError("not-positive", value, unit)`.
    """
    number = positive(larvae, "larva")
    if rule.density.low <= 0:
        raise HatchError("not-positive", value=rule.density.low, unit=rule.density.unit)
    fewest, most = (math.ceil(number / each) for each in (rule.density.high, rule.density.low))
    return Stocked(rule, fewest=fewest, most=most)


def sources_of(rules: Iterable[Stocking]) -> tuple[str, ...]:
    """The ids of all their sources, each once."""
    return tuple(dict.fromkeys(name for rule in rules for name in rule.density.sources))
