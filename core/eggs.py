"""How many eggs, how many of them good, and with what doubt."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from core.errors import HatchError
from core.records import CountedIn, CountOf, OwnCount, Vessel
from core.species import Card, Holding
from core.units import positive, round_to

Z_95 = 1.959963984540054  # standard normal, two-sided 95 %
# Common practice. A trial stripped 13.97 % of a female's weight (Salman et al. 2023); up to 14.3 % is
# published (de Graaf et al. 1995).
SUSPICIOUS_SHARE = 0.2

SHARE_SOURCE = "wilson-1927"

ML_PER_LITRE = 1000
FLOW_STEP = 0.01


@dataclass(frozen=True, slots=True)
class Share:
    """A counted share: `percent` to 0.1 and the whole percents it lies between, 19 times in 20."""

    percent: float
    low: int
    high: int


@dataclass(frozen=True, slots=True)
class Hatched:
    """A hatch count. `percent_as_told` is of what `of` says; the other two are `None` where not known.

    `good` and `larvae` are without the `deformed`; `low_percent`..`high_percent` go with the percent as told.
    `at_odds`: more larvae than fertilised eggs, so that one of the two counts is wrong.
    """

    of: CountOf
    good: float | None
    total: float | None
    larvae: int | None
    deformed: int | None
    percent_as_told: float | None
    percent_of_fertilised: float | None
    percent_of_eggs: float | None
    low_percent: int | None
    high_percent: int | None
    at_odds: bool


def eggs_from_grams(grams: float, eggs_per_gram: float) -> int:
    """How many eggs `grams` of dry, unswollen eggs are; raises `HatchError("not-positive", value, unit)`."""
    return round(positive(grams, "g") * positive(eggs_per_gram, "egg/g"))


def eggs_from_litres(litres: float, eggs_per_ml: float) -> int:
    """How many eggs `litres` of swollen eggs are; raises `HatchError("not-positive", value, unit)`."""
    return round(positive(litres, "L") * ML_PER_LITRE * positive(eggs_per_ml, "egg/mL"))


def own_count(counts: Iterable[OwnCount], species: str, counted_in: CountedIn, at: datetime) -> float | None:
    """The farm's own count of a species that held at `at`, the newest told until then; `None` without one."""
    held = [
        (count.at, place, count.eggs)
        for place, count in enumerate(counts)
        if (count.species, count.counted_in) == (species, counted_in) and count.at <= at
    ]
    return max(held)[2] if held else None


def share(good: float, total: float) -> Share:
    """`good` of `total`, with Wilson's 95 % interval (Wilson 1927): fit for small samples and for none or
    all.

    Raises `HatchError("bad-count", good, total)` unless 0 <= good <= total and total > 0.
    """
    p = _proportion(good, total)
    z2 = Z_95**2
    middle = p + z2 / (2 * total)
    half = Z_95 * math.sqrt(p * (1 - p) / total + z2 / (4 * total**2))
    low, high = ((middle + side * half) / (1 + z2 / total) for side in (-1, 1))
    percent = round_to(100 * p, 0.1)
    return Share(
        percent=percent,
        low=min(_whole(low), math.floor(percent)),
        high=max(_whole(high), math.ceil(percent)),
    )


def _proportion(good: float, total: float) -> float:
    if not (math.isfinite(total) and total > 0 and 0 <= good <= total):
        raise HatchError("bad-count", good=good, total=total)
    return good / total


def _whole(proportion: float) -> int:
    return math.floor(100 * proportion + 0.5)


def hatched(
    *,
    of: CountOf,
    good: float | None = None,
    total: float | None = None,
    percent: float | None = None,
    larvae: float | None = None,
    deformed: float | None = None,
    fertilised_percent: float | None = None,
) -> Hatched:
    """A hatch count as told, and as a percent of fertilised and of all eggs where these can be known.

    `deformed` larvae are taken off `good` and `larvae` (they are counted among them); a bare percent stays
    as told. Percents are 0..100, to 0.1. Raises `HatchError("bad-count", good, total)` for counts that
    cannot be, `HatchError("bad-percent", percent)` outside 0..100.
    """
    for told in (percent, fertilised_percent):
        _check_percent(told)
    well = _without(good, deformed)
    counted = share(well, total) if well is not None and total is not None else None
    as_told = counted.percent if counted else _to_tenth(percent)
    of_fertilised, of_eggs = _both_ways(as_told, of, fertilised_percent)
    at_odds = of_fertilised is not None and of_fertilised > 100
    swimming = _without(larvae, deformed)
    return Hatched(
        of=of,
        good=well,
        total=total,
        larvae=None if swimming is None else round(swimming),
        deformed=None if deformed is None else round(deformed),
        percent_as_told=as_told,
        percent_of_fertilised=None if at_odds else of_fertilised,
        percent_of_eggs=of_eggs,
        low_percent=counted.low if counted else None,
        high_percent=counted.high if counted else None,
        at_odds=at_odds,
    )


def _check_percent(percent: float | None) -> None:
    if percent is not None and not 0 <= percent <= 100:
        raise HatchError("bad-percent", percent=percent)


def _without(counted: float | None, deformed: float | None) -> float | None:
    if counted is None:
        return None
    if not 0 <= (deformed or 0.0) <= counted:
        raise HatchError("bad-count", good=counted, total=deformed)
    return counted - (deformed or 0.0)


def _to_tenth(percent: float | None) -> float | None:
    return None if percent is None else round_to(percent, 0.1)


def _both_ways(
    percent: float | None, of: CountOf, fertilised_percent: float | None
) -> tuple[float | None, float | None]:
    """Percent of fertilised and of all eggs: the first is the second over the fertilised share (Hokkaido
    University course).
    """
    if percent is None or of == "unknown":
        return None, None
    if of == "fertilised":
        return percent, None if fertilised_percent is None else _to_tenth(percent * fertilised_percent / 100)
    return (_to_tenth(100 * percent / fertilised_percent) if fertilised_percent else None), percent


def larvae_of(eggs: float, percent_of_eggs: float) -> int:
    """How many larvae a share of *all* eggs comes to; raises `HatchError("bad-percent", percent)`."""
    _check_percent(percent_of_eggs)
    return round(positive(eggs, "egg") * percent_of_eggs / 100)


def milt_ml(grams: float, card: Card) -> float | None:
    """mL of milt for `grams` of dry eggs, to 0.1, by the card (carp: 10 mL per kg, FAO Training Series
    8), else `None`.
    """
    figure = card.milt_ml_per_kg_eggs
    if figure is None or figure.usual is None:
        return None
    return round_to(figure.usual * positive(grams, "g") / 1000, 0.1)


def grams_suspicious(grams: float, female_kg: float) -> bool:
    """Whether eggs weigh more than a fifth of her: then ask once if they were dry or weighed after water."""
    return positive(grams, "g") > SUSPICIOUS_SHARE * 1000 * positive(female_kg, "kg")


@dataclass(frozen=True, slots=True)
class InVessels:
    """Swollen eggs in jars or tubs of `litres`: `low`..`high` in each, `each` what is reckoned with; `count`
    vessels where it is known how many eggs there are. The flow is in litres a minute, through each and
    through all of them."""

    vessel: Vessel
    litres: float
    each: int
    low: int
    high: int
    count: int | None
    flow_low: float | None
    flow_high: float | None
    all_low: float | None = None
    all_high: float | None = None


def in_vessels(holding: Holding, eggs: float | None, count: int | None = None) -> InVessels:
    """How many vessels `eggs` take, full ones never over what the card knows; by the low end where that has
    a span without a usual number, so that they are surely enough. `count` where it was told how many there
    are."""
    each = math.floor(holding.eggs.usual_or_low)
    if eggs is not None:
        count = math.ceil(positive(eggs, "egg") / each)
    low, high = (holding.flow.low, holding.flow.high) if holding.flow else (None, None)
    return InVessels(
        vessel=holding.vessel,
        litres=holding.litres,
        each=each,
        low=round(holding.eggs.low),
        high=round(holding.eggs.high),
        count=count,
        flow_low=low,
        flow_high=high,
        all_low=None if low is None or count is None else round_to(low * count, FLOW_STEP),
        all_high=None if high is None or count is None else round_to(high * count, FLOW_STEP),
    )
