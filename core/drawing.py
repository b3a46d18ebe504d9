"""What a syringe can show: its marks, what is too little for them and how to thin it, what is dissolved in
how much, and over how many places a large volume is shared.

Volumes are mL. What is calculated stands to 0.01 mL; what is drawn stands on a mark of the smallest syringe
at hand that holds it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from core.errors import HatchError
from core.records import Mark, Syringe
from core.units import chain, positive, round_to, round_up

# mL a syringe holds -> mL between its marks. 2 mL: IASRI course on injecting brooders, published. The others
# are common practice: 0.3 and 0.5 mL are insulin syringes of 100 units to the mL; some 5 mL ones have 0.1,
# some 10 mL ones 0.2 between marks, and a farm may say so.
GRADUATIONS = {0.3: 0.01, 0.5: 0.01, 1.0: 0.01, 2.0: 0.1, 2.5: 0.1, 3.0: 0.1, 5.0: 0.2, 10.0: 0.5, 20.0: 1.0}
# What a farm is taken to have that named none: the insulin syringes show no finer than the 1 mL.
USUAL_SYRINGES = tuple(Syringe(ml, GRADUATIONS[ml]) for ml in (1.0, 2.0, 5.0, 10.0))

CALCULATED_STEP_ML = 0.01
ROUNDING_SHOWN = 0.05  # of a dose: what a mark takes or adds is said from here on. A rule of our own
TOO_COARSE = 0.2  # of a dose: from here on a syringe cannot draw it at all. A rule of our own
TOO_FEW_MARKS = 5  # common practice: fewer marks are not measured well
# Left in needles and vials; +10 % is published for pituitary (FAO Training Series 8), common practice here.
WASTE = 0.10
# No published limit: both are a rule of our own, "unusual" and not "wrong". A label of a GnRH analogue that
# is thinned to suit the fish has 0.1 to 1.0 mL per kg.
BIG_ML_PER_KG = 1.0
BIG_ML_PER_SITE = 2.0
# What pituitary is dissolved in: 0.2 mL per kg of carp (course on pituitary extract, published), up to the 1
# mL above where less cannot be measured; for other fish and powders common practice.
CARRIER_ML_PER_KG = 0.2
CARRIER_SOURCE = "icar-67100"
CARRIER_MARK: Mark = "common practice"  # the course is on carps and pituitary alone


@dataclass(frozen=True, slots=True)
class Drawn:
    """`ml` as calculated, and `drawn_ml` at a mark of `syringe`, which is `off` by that share of what it
    should be. `places` is over how many it is shared."""

    ml: float
    drawn_ml: float
    syringe: Syringe
    places: int
    off: float


@dataclass(frozen=True, slots=True)
class Making:
    """What is mixed before the injection: `amount` of the bottle ("mL"), or of a powder or glands in `unit`,
    with `diluent_ml` of saline. `role` is the shot it is for, "" for all. `blocker_mg` goes in with it."""

    role: str
    amount: float
    unit: str
    diluent_ml: float
    blocker_mg: float | None = None


def syringe(ml: float, mark_ml: float | None = None) -> Syringe:
    """The syringe that holds `ml`, with the marks it usually has or those the farm told.

    Raises `HatchError("unknown-syringe", ml, known)`; a mark that does not divide it is none.
    """
    if ml not in GRADUATIONS:
        raise HatchError("unknown-syringe", ml=ml, known=tuple(GRADUATIONS))
    mark = GRADUATIONS[ml] if mark_ml is None else positive(mark_ml, "mL")
    if mark > ml / 5 or abs(ml / mark - round(ml / mark)) > 1e-6:
        raise HatchError("unknown-syringe", ml=ml, known=tuple(GRADUATIONS))
    return Syringe(ml, mark)


def best(ml: float, at_hand: Sequence[Syringe]) -> Syringe:
    """The smallest syringe `at_hand` that holds `ml`, the finer of two; the largest where it takes several
    fills."""
    holding = [each for each in at_hand if each.ml >= ml]
    if holding:
        return min(holding, key=lambda each: (each.ml, each.mark_ml))
    return max(at_hand, key=lambda each: (each.ml, -each.mark_ml))


def drawn(exact_ml: float, at_hand: Sequence[Syringe], owed_ml: float = 0.0) -> Drawn:
    """What to draw for `exact_ml`; `owed_ml` is what rounding took from the shot before."""
    ml = round_to(exact_ml, CALCULATED_STEP_ML)
    used = best(ml, at_hand)
    at_mark = round_to(max(exact_ml + owed_ml, 0.0), used.mark_ml)
    off = abs(at_mark - exact_ml) / exact_ml if exact_ml > 0 else 0.0
    return Drawn(ml, at_mark, used, places(at_mark), off)


def in_turn(parts: Iterable[tuple[float, int]], at_hand: Sequence[Syringe]) -> Iterator[Drawn]:
    """What to draw for one fish's shots: mL of the bottle each, and how many times thinner it is taken.

    What rounding took from one goes into the next, so that the sum stays within half a mark.
    """
    owed = 0.0
    for ml, times in parts:
        to = drawn(ml * times, at_hand, owed * times)
        owed += ml - to.drawn_ml / times
        yield to


def with_waste(amount: float) -> float:
    """`amount` (any unit) with what stays in needles and vials on top (FAO Training Series 8: 10 % more
    of everything).
    """
    return amount * (1 + WASTE)


def to_draw(total_ml: float, at_hand: Sequence[Syringe]) -> float:
    """What to take from the bottle for all fish together, waste included, up to the next mark."""
    wanted = with_waste(total_ml)
    return round_up(wanted, best(wanted, at_hand).mark_ml)


def places(ml: float) -> int:
    """Over how many places a volume is shared, so that none takes more than is usual."""
    return max(1, math.ceil(round(ml / BIG_ML_PER_SITE, 6)))


def is_big(ml: float, kg: float) -> bool:
    """Whether a volume is unusual: for one place, or for a fish of `kg`."""
    return ml > BIG_ML_PER_SITE or ml > BIG_ML_PER_KG * kg + CALCULATED_STEP_ML / 2


def is_small(ml: float, at_hand: Sequence[Syringe]) -> bool:
    """Whether it is too little for the finest syringe at hand."""
    return ml < TOO_FEW_MARKS * best(ml, at_hand).mark_ml


# Thinning and dissolving ----------------------------------------------------------------------------------


def times_thinner(doses: Iterable[tuple[float, float]], at_hand: Sequence[Syringe]) -> int:
    """How many times thinner the bottle must be for these `(mL, kg)` to be measured: 1 where they can be.

    Enough for no mark to change the smallest dose by more than is shown, but not so much that a fish takes
    more than `BIG_ML_PER_KG`; where that leaves nothing between, 1.
    """
    told = [(positive(ml, "mL"), positive(kg, "kg")) for ml, kg in doses]
    if not told:
        return 1
    smallest = min(ml for ml, _ in told)
    if not is_small(smallest, at_hand):
        return 1
    finest = min(each.mark_ml for each in at_hand)
    wanted = math.ceil(round(finest / 2 / ROUNDING_SHOWN / smallest, 6))
    bearable = min(math.floor(round(BIG_ML_PER_KG * kg / ml, 6)) for ml, kg in told)
    return max(1, min(wanted, bearable))


def thinned(liquid_ml: float, times: int, at_hand: Sequence[Syringe]) -> Making:
    """What to mix so that there are `liquid_ml` of the bottle, `times` thinner, and the waste.

    The part from the bottle is large enough to be measured itself.
    """
    part = to_draw(liquid_ml / times, at_hand)
    if is_small(part, at_hand):
        part = TOO_FEW_MARKS * best(part, at_hand).mark_ml
    return Making("", part, "mL", round_to((times - 1) * part, CALCULATED_STEP_ML))


def carrier_ml_per_kg(smallest_kg: float, at_hand: Sequence[Syringe]) -> float:
    """mL of saline for each kg that glands or a powder are dissolved in: 0.2, or as much more as the smallest
    fish needs for its dose to be measured, up to 1."""
    finest = min(each.mark_ml for each in at_hand)
    needed = finest / 2 / ROUNDING_SHOWN / positive(smallest_kg, "kg")
    return min(max(CARRIER_ML_PER_KG, round_up(needed, 0.1)), BIG_ML_PER_KG)


def dissolved(
    role: str, amount: float, unit: str, per_ml: float, step: float, blocker_mg: float | None = None
) -> Making:
    """What to dissolve for all fish at one shot, waste included: `amount` in `unit` at `per_ml` of it in a
    mL."""
    ml = chain("mL", [(with_waste(amount), unit)], per=[(per_ml, f"{unit}/mL")])
    blocker = None if blocker_mg is None else round_to(with_waste(blocker_mg), 0.001)
    return Making(role, round_to(with_waste(amount), step), unit, round_to(ml, CALCULATED_STEP_ML), blocker)
