"""What to draw for each fish: active substance per kg, through the bottle's strength, to syringe marks.

A card's dose is active substance for each kg of body, summed over all shots. Its volume means nothing
without the strength on the label. What is calculated stands to 0.01 mL; what is drawn stands on a mark of
the smallest syringe that holds it. Sources are ids of the reference: M... doses and times, E... eggs.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from core.errors import HatchError, NoFigure
from core.records import FishWeight, Mark, Preparation, Sex, Strength
from core.species import Card, DoseRule, Figure, weakest
from core.units import chain, positive, round_to, round_up

# The strength printed for a widely used premix (common label, from memory): shown as assumed until a
# label is told.
COMMON_STRENGTH = Strength(20.0, 10.0)
COMMON_STRENGTH_SOURCE = "common-label"
COMMON_STRENGTH_MARK: Mark = "from memory"

# mL a syringe holds -> mL between its marks. 2 mL: IASRI course on injecting brooders, published. The
# others are common practice: 0.3 and
# 0.5 mL are insulin syringes of 100 units per mL; some 5 mL ones have 0.1, some 10 mL ones 0.2 between marks.
GRADUATIONS = {0.3: 0.01, 0.5: 0.01, 1.0: 0.01, 2.0: 0.1, 5.0: 0.2, 10.0: 0.5}
# What a farm is taken to have where it named none: the insulin syringes show no finer than the 1 mL.
USUAL_SYRINGES = (1.0, 2.0, 5.0, 10.0)

CALCULATED_STEP_ML = 0.01
# left in needles and vials; +10 % is published for pituitary (FAO Training Series 8), common practice
# here
WASTE = 0.10
TOO_SMALL_ML = 0.05  # common practice: five marks of the finest syringe
BIG_ML_PER_KG = (
    1.0  # no published limit (no published limit): both are a rule of our own, "unusual" and not "wrong"
)
BIG_ML_PER_SITE = 2.0
ROUNDING_SHOWN = 0.05
RATIO_TOLERANCE = 0.02
LABEL_UNUSUAL = 10.0  # times more or less than the common strength
LABEL_SWAPPED = 1.25  # how near to the common ratio, turned upside down, counts as swapped


@dataclass(frozen=True, slots=True)
class DoseShot:
    """`ml` to inject at the n-th shot, to 0.01, and `drawn_ml` at a mark of a syringe holding `syringe_ml`.

    `role` is `only`, `priming` or `resolving`; `amount` is the active substance in `unit` (`ug`, `mg`, `IU`).
    """

    n: int
    role: str
    ml: float | None
    amount: float | None
    unit: str
    drawn_ml: float | None = None
    syringe_ml: float | None = None


@dataclass(frozen=True, slots=True)
class DoseLine:
    """One fish of a sheet. `*_ml` are calculated to 0.01, `drawn_ml` is what the syringe can show.

    With several shots `priming_ml` is the first and `final_ml` the last, `drawn_ml` the sum as drawn.
    `syringe_ml` is the syringe of the final shot. All are `None` for a fish that gets nothing.
    """

    tag: str
    sex: Sex | None
    kg: float
    priming_ml: float | None
    final_ml: float | None
    drawn_ml: float | None
    shots: tuple[DoseShot, ...] = ()
    syringe_ml: float | None = None


@dataclass(frozen=True, slots=True)
class Doses:
    """The doses of some fish. `*_per_kg` are the females' figures; `mg_per_kg` is what the bottle brings.

    `total_ml` is the sum of what is drawn, `draw_ml` that with waste, up to the next mark. `syringe_ml` and
    `graduation_ml` are of the coarsest syringe used. `warnings` are codes of the wording room, in the order
    they should be said.
    """

    lines: tuple[DoseLine, ...]
    total_ml: float | None
    draw_ml: float | None
    ml_per_kg: float
    ug_per_kg: float
    mg_per_kg: float | None
    syringe_ml: float
    graduation_ml: float
    warnings: tuple[str, ...]
    basis: tuple[str, ...]
    mark: Mark


# Syringes -------------------------------------------------------------------------------------------------


def graduation(syringe_ml: float) -> float:
    """mL between two marks of a syringe; raises `HatchError("unknown-syringe", ml, known)`."""
    if syringe_ml not in GRADUATIONS:
        raise HatchError("unknown-syringe", ml=syringe_ml, known=tuple(GRADUATIONS))
    return GRADUATIONS[syringe_ml]


def best_syringe(ml: float, at_hand: Sequence[float] = USUAL_SYRINGES) -> float:
    """The smallest syringe `at_hand` (mL) that holds `ml`; the largest where it takes several fills."""
    return min((size for size in at_hand if size >= ml), default=max(at_hand))


# Labels ---------------------------------------------------------------------------------------------------


def plausible_label(strength: Strength, usual: Strength = COMMON_STRENGTH) -> str | None:
    """A code where the label should be asked again, else `None`.

    `label-swapped`: ug and mg stand the wrong way round (10 ug + 20 mg for 20 ug + 10 mg, whatever the
    strength). `label-unusual`: a part is not above zero, or more than tenfold off what is usual.
    """
    pairs = [(strength.ug_per_ml, usual.ug_per_ml), (strength.mg_per_ml, usual.mg_per_ml)]
    told = [(part, common) for part, common in pairs if part is not None and common]
    if any(not (math.isfinite(part) and part > 0) for part, _ in told):
        return "label-unusual"
    if len(told) == len(pairs):
        (ug, usual_ug), (mg, usual_mg) = told
        upside_down = (ug / mg) * (usual_ug / usual_mg)
        if ug < mg and 1 / LABEL_SWAPPED <= upside_down <= LABEL_SWAPPED:
            return "label-swapped"
    if any(not 1 / LABEL_UNUSUAL <= part / common <= LABEL_UNUSUAL for part, common in told):
        return "label-unusual"
    return None


def active_ug(ml: float, strength: Strength) -> float | None:
    """ug of the analogue in `ml` of the bottle; `None` where the label was not told."""
    if strength.ug_per_ml is None:
        return None
    return chain("ug", [(ml, "mL"), (strength.ug_per_ml, "ug/mL")])


# Shots ----------------------------------------------------------------------------------------------------


def split(total: float, shares: Sequence[float]) -> tuple[float, ...]:
    """`total` (any unit) shared out over the shots, as 3.0 mg/kg by (0.1, 0.9) is 0.3 and 2.7 (Brzuska)."""
    return tuple(total * share for share in shares)


def summed(shots: Iterable[DoseShot]) -> tuple[float, str] | None:
    """Active substance over all `shots`, with its unit; `None` where one is not told or there is none.

    Raises `HatchError("mixed-units", units)`: different substances are never added up.
    """
    amounts = [(shot.amount, shot.unit) for shot in shots]
    units = {unit for _, unit in amounts}
    if len(units) > 1:
        raise HatchError("mixed-units", units=tuple(sorted(units)))
    known = [amount for amount, _ in amounts if amount is not None]
    if not amounts or len(known) < len(amounts):
        return None
    return math.fsum(known), units.pop()


def with_waste(amount: float, share: float = WASTE) -> float:
    """`amount` (any unit) with what stays in needles and vials on top (FAO Training Series 8: 10 % more
    of everything).
    """
    return amount * (1 + share)


# The sheet ------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Scheme:
    """One sex's rule through this bottle: for each kg, summed over its shots; mg as the bottle brings it."""

    ug_per_kg: float
    ml_per_kg: float
    mg_per_kg: float | None
    shares: tuple[float, ...]


def doses(
    fish: Sequence[FishWeight],
    card: Card,
    preparation: Preparation,
    strength: Strength | None,
    *,
    male_dose: bool | None = None,
    shots: int | None = None,
    syringe_ml: float | None = None,
    strength_assumed: bool = False,
) -> Doses:
    """The dose of each fish from the card's usual figure and the label's strength, never from a guess.

    `male_dose`: `False` is "no dose for him"; `None` leaves an optional dose in and warns `male-optional`.
    `shots` chooses among the card's schemes (`None`: its first); `syringe_ml` is the one the farm named.
    Raises `NoFigure("no-dose-figure", species, preparation, missing)`, where `missing` is the card's `rule`,
    its `usual` figure or the label's `strength`; `HatchError("not-positive", value, unit)` for a weight or
    strength that is none; `HatchError("unknown-syringe", ml, known)`.
    """
    at_hand = USUAL_SYRINGES if syringe_ml is None else (syringe_ml,)
    for size in at_hand:
        graduation(size)
    female_rule = _rule(card, preparation, "f", shots)
    if female_rule is None:
        raise _no_figure(card, preparation, "rule")
    female = _scheme(card, female_rule, strength)
    male_rule = None if male_dose is False else _rule(card, preparation, "m", None)
    male = _scheme(card, male_rule, strength) if male_rule else None
    lines = tuple(_line(one, _scheme_for(one, female, male), at_hand) for one in fish)
    total = _total(lines)
    coarsest = max(_syringes(lines), default=at_hand[0])
    used = [rule for rule in (female_rule, male_rule) if rule]
    warnings = (
        *_herd_warnings(fish, card, male_dose, male_rule),
        *(["strength-assumed"] if strength_assumed else []),
        *_label_warnings(female_rule, female),
        *_draw_warnings(lines, female, male),
    )
    basis, mark = _basis(used, strength_assumed)
    return Doses(
        lines=lines,
        total_ml=total,
        draw_ml=None if total is None else _draw(total, at_hand),
        ml_per_kg=female.ml_per_kg,
        ug_per_kg=female.ug_per_kg,
        mg_per_kg=female.mg_per_kg,
        syringe_ml=coarsest,
        graduation_ml=graduation(coarsest),
        warnings=warnings,
        basis=basis,
        mark=mark,
    )


def _no_figure(card: Card, preparation: Preparation, missing: str) -> NoFigure:
    return NoFigure("no-dose-figure", species=card.slug, preparation=preparation, missing=missing)


def _rule(card: Card, preparation: Preparation, sex: Sex, shots: int | None) -> DoseRule | None:
    rules = [rule for rule in card.doses if rule.preparation == preparation and rule.sex == sex]
    return next((rule for rule in rules if shots is None or len(rule.shares) == shots), None)


def _scheme(card: Card, rule: DoseRule, strength: Strength | None) -> _Scheme:
    """Goes by the analogue where the label's two parts do not stand as the card's do."""
    figure = rule.ug_per_kg
    if figure is None or figure.usual is None:
        raise _no_figure(card, rule.preparation, "usual")
    if strength is None or strength.ug_per_ml is None:
        raise _no_figure(card, rule.preparation, "strength")
    ug = chain("ug/kg", [(figure.usual, figure.unit)])
    ml = chain("mL/kg", [(ug, "ug/kg")], per=[(strength.ug_per_ml, "ug/mL")])
    mg = (
        None if strength.mg_per_ml is None else chain("mg/kg", [(ml, "mL/kg"), (strength.mg_per_ml, "mg/mL")])
    )
    return _Scheme(ug_per_kg=ug, ml_per_kg=ml, mg_per_kg=mg, shares=rule.shares)


def _scheme_for(fish: FishWeight, female: _Scheme, male: _Scheme | None) -> _Scheme | None:
    """Nothing for a fish of unknown sex: it must be asked."""
    return {"f": female, "m": male}[fish.sex] if fish.sex else None


def _line(fish: FishWeight, scheme: _Scheme | None, at_hand: Sequence[float]) -> DoseLine:
    positive(fish.kg, "kg")
    if scheme is None:
        return DoseLine(fish.tag, fish.sex, fish.kg, None, None, None)
    shots = tuple(_shots(fish.kg, scheme, at_hand))
    return DoseLine(
        tag=fish.tag,
        sex=fish.sex,
        kg=fish.kg,
        priming_ml=shots[0].ml if len(shots) > 1 else None,
        final_ml=shots[-1].ml,
        drawn_ml=_sum_ml(shot.drawn_ml for shot in shots),
        shots=shots,
        syringe_ml=shots[-1].syringe_ml,
    )


def _shots(kg: float, scheme: _Scheme, at_hand: Sequence[float]) -> Iterator[DoseShot]:
    """What rounding took from one shot goes into the next, so that the sum stays within half a mark."""
    ug = chain("ug", [(scheme.ug_per_kg, "ug/kg"), (kg, "kg")])
    whole = chain("mL", [(scheme.ml_per_kg, "mL/kg"), (kg, "kg")])
    owed = 0.0
    for n, (amount, exact) in enumerate(
        zip(split(ug, scheme.shares), split(whole, scheme.shares), strict=True), start=1
    ):
        ml = round_to(exact, CALCULATED_STEP_ML)
        syringe = best_syringe(ml, at_hand)
        drawn = round_to(max(exact + owed, 0.0), graduation(syringe))
        owed += exact - drawn
        role = "only" if len(scheme.shares) == 1 else "resolving" if n == len(scheme.shares) else "priming"
        yield DoseShot(n, role, ml, round_to(amount, 0.001), "ug", drawn, syringe)


def _sum_ml(parts: Iterable[float | None]) -> float:
    return round_to(math.fsum(part or 0.0 for part in parts), CALCULATED_STEP_ML)


def _total(lines: Iterable[DoseLine]) -> float | None:
    drawn = [line.drawn_ml for line in lines if line.drawn_ml is not None]
    return _sum_ml(drawn) if drawn else None


def _draw(total_ml: float, at_hand: Sequence[float]) -> float:
    wanted = with_waste(total_ml)
    return round_up(wanted, graduation(best_syringe(wanted, at_hand)))


def _syringes(lines: Iterable[DoseLine]) -> Iterator[float]:
    return (shot.syringe_ml for line in lines for shot in line.shots if shot.syringe_ml is not None)


def _basis(rules: Iterable[DoseRule], strength_assumed: bool) -> tuple[tuple[str, ...], Mark]:
    """Ids of all sources, each once, and the weakest of their marks."""
    figures = [figure for rule in rules for figure in (rule.ug_per_kg, rule.mg_per_kg) if figure]
    sources = [source for figure in figures for source in figure.sources]
    marks = [figure.mark for figure in figures]
    if strength_assumed:
        sources.append(COMMON_STRENGTH_SOURCE)
        marks.append(COMMON_STRENGTH_MARK)
    return tuple(dict.fromkeys(sources)), weakest(marks)


# What to say with the sheet -------------------------------------------------------------------------------


def _herd_warnings(
    fish: Sequence[FishWeight], card: Card, male_dose: bool | None, male_rule: DoseRule | None
) -> Iterator[str]:
    """Which fish there are. While a sex is unknown, nothing is said about how many of each."""
    sexes = [one.sex for one in fish]
    males = sexes.count("m")
    if None in sexes:
        yield "sex-unknown"
    elif not males:
        yield "no-male"
    elif males == 1:
        yield "one-male"
    if None not in sexes and "f" not in sexes:
        yield "no-female"
    if males and male_dose is None and card.male_optional:
        yield "male-optional"
    if males and male_dose is not False and male_rule is None:
        yield "no-male-figure"


def _label_warnings(rule: DoseRule, female: _Scheme) -> Iterator[str]:
    """What the label makes of the card's figure: the second substance is compared with its own range."""
    figure, brought = rule.mg_per_kg, female.mg_per_kg
    if figure is None or brought is None:
        return
    if figure.usual is not None and abs(brought / _mg(figure.usual, figure) - 1) > RATIO_TOLERANCE:
        yield "ratio-differs"
    if brought < _mg(figure.low, figure) * (1 - RATIO_TOLERANCE):
        yield "under-range"
    elif brought > _mg(figure.high, figure) * (1 + RATIO_TOLERANCE):
        yield "over-range"


def _mg(value: float, figure: Figure) -> float:
    return chain("mg/kg", [(value, figure.unit)])


def _draw_warnings(lines: Sequence[DoseLine], female: _Scheme, male: _Scheme | None) -> Iterator[str]:
    shots = [(line, shot) for line in lines for shot in line.shots]
    if any((shot.ml or 0.0) < TOO_SMALL_ML or not shot.drawn_ml for _, shot in shots):
        yield "too-small"
    if any(_is_big(shot.ml or 0.0, line.kg) for line, shot in shots):
        yield "big-volume"
    if any(_is_rounded(line, scheme) for line in lines if (scheme := _of(line, female, male))):
        yield "rounding"


def _is_big(ml: float, kg: float) -> bool:
    return ml > BIG_ML_PER_SITE or ml > BIG_ML_PER_KG * kg + CALCULATED_STEP_ML / 2


def _of(line: DoseLine, female: _Scheme, male: _Scheme | None) -> _Scheme | None:
    return (female if line.sex == "f" else male) if line.shots else None


def _is_rounded(line: DoseLine, scheme: _Scheme) -> bool:
    """Whether what is drawn differs from the unrounded dose by more than the share that is shown."""
    exact = [share * scheme.ml_per_kg * line.kg for share in scheme.shares]
    parts = [(shot.drawn_ml or 0.0, ml) for shot, ml in zip(line.shots, exact, strict=True)]
    return any(abs(drawn - ml) > ROUNDING_SHOWN * ml for drawn, ml in parts)
