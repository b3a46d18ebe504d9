"""Larvae counted in cups out of a stirred tank: how many there are, with what doubt; how many to count."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from core.eggs import ML_PER_LITRE, Z_95
from core.errors import HatchError
from core.units import positive

CUP_SOURCES = ("breslow-day-1987", "elliott-1977", "wilson-hilferty-1931")
"""The interval of a count; cups that differ more than chance; that limit in closed form."""
SIZE_SOURCE = "cochran-1977"
SPAWN_SOURCE = "world-aquaculture-2023"
SPAWN_PER_ML = (370.0, 1000.0)
"""Between what and what some fifty hatcheries count a mL of spawn: too far apart to reckon with."""
ONE_SIDED_95 = 1.6448536269514722
FEWEST_CUPS = 5
"""Cups that are advised: fewer cannot show whether the tank was stirred. A rule of our own."""
USUAL_PERCENT = 10.0
"""How close a count is meant to be where nobody said. A rule of our own."""


@dataclass(frozen=True, slots=True)
class Estimate:
    """`larvae` in all the water, `low`..`high` 19 times in 20 (rounded outward), from `counted` larvae,
    `mean` a cup. `uneven`: the cups differ by more than chance makes them."""

    larvae: int
    low: int
    high: int
    counted: float
    mean: float
    uneven: bool


def from_cups(counts: Sequence[float], cup_ml: float, litres: float) -> Estimate:
    """Larvae in `litres` of stirred water, by those in each of several cups of `cup_ml`: the mean times how
    often a cup goes into the water.

    Larvae that swim at random are caught by chance alone (Poisson): the interval is Byar's of their sum
    (Breslow, Day 1987), and never narrower than that however well the cups agree. Where they scatter more,
    it is widened, as a ratio, by the root of the index of dispersion over its degrees of freedom.

    Raises `HatchError`: `no-cups`, `bad-count` for a number of larvae that cannot be, `not-positive`,
    `cups-over-water` where the cups hold more than the water they came out of.
    """
    if not counts:
        raise HatchError("no-cups")
    for each in counts:
        if not (math.isfinite(each) and each >= 0):
            raise HatchError("bad-count", good=each, total=each)
    cups = len(counts)
    dipped = positive(cup_ml, "mL") * cups / ML_PER_LITRE
    if dipped > positive(litres, "L"):
        raise HatchError("cups-over-water", dipped=dipped, litres=litres)
    counted = math.fsum(counts)
    times = litres / dipped
    low, high = _interval(counted, _wider(counts))
    width = times * (high - low)
    return Estimate(
        larvae=round(counted * times),
        low=_outward(low * times, width, math.floor),
        high=_outward(high * times, width, math.ceil),
        counted=counted,
        mean=counted / cups,
        uneven=is_uneven(counts),
    )


def _interval(counted: float, wider: float) -> tuple[float, float]:
    """Byar's limits of a Poisson count, their distances to it raised by the ratio `wider`."""
    low, high = poisson_interval(counted)
    if wider <= 1 or not counted:
        return low, high
    return counted * (low / counted) ** wider, counted * (high / counted) ** wider


def poisson_interval(counted: float) -> tuple[float, float]:
    """Between what and what a count may lie, 19 times in 20: Byar's approximation of the exact limits
    (Breslow, Day 1987, Statistical methods in cancer research II, p. 69)."""
    more = counted + 1
    high = more * (1 - 1 / (9 * more) + Z_95 / (3 * math.sqrt(more))) ** 3
    if not counted:
        return 0.0, high
    return counted * max(1 - 1 / (9 * counted) - Z_95 / (3 * math.sqrt(counted)), 0.0) ** 3, high


def dispersion(counts: Sequence[float]) -> float:
    """The index of dispersion of cups of one size, sum of squares over the mean (Fisher; Elliott 1977): by
    chance alone it is chi-square with a degree of freedom less than there are cups."""
    mean = math.fsum(counts) / len(counts)
    return math.fsum((each - mean) ** 2 for each in counts) / mean if mean else 0.0


def is_uneven(counts: Sequence[float]) -> bool:
    """Whether cups of one size differ by more than chance makes them once in 20 times."""
    return len(counts) > 1 and dispersion(counts) > chi_square_95(len(counts) - 1)


def chi_square_95(degrees: int) -> float:
    """What chi-square stays under 19 times in 20 (Wilson, Hilferty 1931)."""
    ninth = 2 / (9 * degrees)
    return float(degrees * (1 - ninth + ONE_SIDED_95 * math.sqrt(ninth)) ** 3)


def _wider(counts: Sequence[float]) -> float:
    if len(counts) < 2:
        return 1.0
    return math.sqrt(max(dispersion(counts) / (len(counts) - 1), 1.0))


def _outward(end: float, width: float, to: Callable[[float], int]) -> int:
    """An end of an interval of that width, with two figures of the width or, where finer, of its own."""
    least = min(width, end) if end > 0 else width
    step = max(int(10 ** (math.floor(math.log10(least)) - 1)), 1) if least > 0 else 1
    return to(end / step) * step


# How many to count ----------------------------------------------------------------------------------------


def larvae_to_count(percent: float) -> int:
    """Larvae to count in cups, all together, so that the number is sure to `percent` either way, 19 times in
    20: (1.96 / e) squared, since a count by chance varies by its own root (Cochran 1977; Elliott 1977).

    Raises `HatchError("bad-percent", percent)` unless 0 < percent < 100.
    """
    return _rounded((Z_95 / _part(percent)) ** 2)


def eggs_to_count(percent: float, share: float = 50.0) -> int:
    """Eggs to count so that a share of them is sure to so many points of `percent` either way, 19 times in
    20: z2 p q / d2 (Cochran 1977, section 4.4). At half of them good the most are needed.

    Raises `HatchError("bad-percent", percent)` unless 0 < percent < 100 and 0 <= share <= 100.
    """
    if not 0 <= share <= 100:
        raise HatchError("bad-percent", percent=share)
    good = share / 100
    return max(_rounded(Z_95**2 * good * (1 - good) / _part(percent) ** 2), 1)


def _part(percent: float) -> float:
    if not 0 < percent < 100:
        raise HatchError("bad-percent", percent=percent)
    return percent / 100


def _rounded(number: float) -> int:
    return math.floor(number + 0.5)
