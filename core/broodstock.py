"""Brood fish as parents: the effective number, and how fast their offspring grow related.

Wright's formulas, as every textbook of breeding gives them: random mating, and families that differ in size
by chance alone. All numbers are of fish that breed, not of fish kept.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from core.species import Figure
from core.units import positive

FORMULA_SOURCES = ("us-broodstock-handbook", "genetics-course")
"""The effective number of unequal sexes, and what inbreeding it makes."""
ADVICE_SOURCES = ("animal-breeding-textbook", "broodstock-genetics-guidance")

MOST_PERCENT, BETTER_PERCENT = 1.0, 0.5
"""Of inbreeding a generation: what FAO advises at most, and preferably (as told in the textbook)."""
ADVISED_NUMBER = 50
"""The effective number that makes that 1 %; 25 pairs, all different fish."""


def effective_number(females: float, males: float) -> float:
    """4 x Nm x Nf / (Nm + Nf): as many fish as equally many of both sexes that drift as fast.

    Raises `HatchError("not-positive", value, unit)`.
    """
    f, m = positive(females, "female"), positive(males, "male")
    return 4 * f * m / (f + m)


def rate_of_inbreeding(effective: float) -> float:
    """1 / (2 Ne): by what share of what is left the fish grow inbred in one generation, 0..1."""
    return min(1 / (2 * positive(effective, "fish")), 1.0)


def over_generations(effectives: Sequence[float]) -> float:
    """The effective number of several generations together: their harmonic mean, so that the worst counts
    most. Raises `HatchError("not-positive", value, unit)`; of none at all `ValueError`."""
    if not effectives:
        raise ValueError("no generations")
    return len(effectives) / sum(1 / positive(each, "fish") for each in effectives)


def inbreeding(effectives: Sequence[float]) -> float:
    """F after these generations of fish not related at first: 1 - the product of (1 - rate), 0..1."""
    return 1 - math.prod(1 - rate_of_inbreeding(each) for each in effectives)


def males_to_reach(females: float, effective: float) -> int | None:
    """The fewest males with which these females reach that effective number; `None` where no number does,
    since four times the females is never reached."""
    f, wanted = positive(females, "female"), positive(effective, "fish")
    if 4 * f <= wanted:
        return None
    return max(math.ceil(round(wanted * f / (4 * f - wanted), 9)), 1)


@dataclass(frozen=True, slots=True)
class Males:
    """Males for so many females by a card: the usual number, at the least and at the most."""

    usual: int | None
    low: int
    high: int


def males_for(females: float, per_female: Figure) -> Males:
    """Whole males, never less than one; raises `HatchError("not-positive", value, unit)`."""
    number = positive(females, "female")

    def whole(share: float) -> int:
        return max(math.ceil(round(number * share, 9)), 1)

    usual = None if per_female.usual is None else whole(per_female.usual)
    return Males(usual, whole(per_female.low), whole(per_female.high))
