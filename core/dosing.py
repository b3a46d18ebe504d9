"""What to draw for each fish: active substance per kg, through the bottle's strength, to syringe marks.

A card's dose is active substance for each kg of body, summed over all shots. Its volume means nothing
without the strength on the label. What is calculated stands to 0.01 mL; what is drawn stands on a mark of
the smallest syringe that holds it. Whatever hangs on the preparation stands in `PREPARATIONS`.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

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
# others are common practice: some 5 mL ones have 0.1, some 10 mL ones 0.2 between marks.
GRADUATIONS = {1.0: 0.01, 2.0: 0.1, 5.0: 0.2, 10.0: 0.5}

CALCULATED_STEP_ML = 0.01
MOST_OFF = 0.05  # so much may rounding change what is calculated: a rule of our own
CALCULATED_STEP = {"ug": 0.001, "mg": 0.001, "IU": 1.0}  # active substance, to what a scale or label can tell
# Left in needles and vials; +10 % is published for pituitary (FAO Training Series 8), common practice here.
WASTE = 0.10
TOO_SMALL_ML = 0.05  # common practice: five marks of the finest syringe
# No published limit: both are a rule of our own, "unusual" and not "wrong".
BIG_ML_PER_KG = 1.0
BIG_ML_PER_SITE = 2.0
ROUNDING_SHOWN = 0.05
RATIO_TOLERANCE = 0.02
LABEL_UNUSUAL = 10.0  # times more or less than the common strength
LABEL_SWAPPED = 1.25  # how near to the common ratio, turned upside down, counts as swapped


# Preparations ---------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Substance:
    """How one preparation is dosed, and what its label tells.

    `figure` is the field of a card's rule that it is dosed by, `unit` that of a shot; both are empty where
    nobody can dose it. `label` names the parts of a `Strength` that its label must tell, `volume` the one
    that says how many mL the first of them is dissolved in, where it is not told for one mL. `common` is what
    is assumed of an untold label. `by_label` alone: no dose without one. `own_blocker`: the second substance
    has a vial of its own. `untold` is the warning while no mL can be told, `unnamed` that of a figure whose
    card says nothing of what exactly was weighed.
    """

    figure: str
    unit: str
    label: tuple[str, ...] = ()
    volume: str = ""
    common: Strength | None = None
    by_label: bool = False
    own_blocker: bool = False
    untold: str = ""
    unnamed: str = ""


PREPARATIONS: Mapping[Preparation, Substance] = {
    "premix": Substance(
        "ug_per_kg", "ug", label=("ug_per_ml", "mg_per_ml"), common=COMMON_STRENGTH, by_label=True
    ),
    "pituitary": Substance("gland_mg_per_kg", "mg", unnamed="gland-unknown"),
    "hcg": Substance("iu_per_kg", "IU", label=("iu_per_vial",), volume="diluent_ml", untold="vial-not-told"),
    "lhrha": Substance("ug_per_kg", "ug", own_blocker=True),
    "own": Substance("", ""),
}


def label_for(preparation: Preparation, told: Strength | None) -> Strength | None:
    """What of the farm's labels is of this preparation; `None` where nothing was told of it."""
    of = PREPARATIONS[preparation]
    if told is None or not of.label or getattr(told, of.label[0]) is None:
        return None
    return Strength(**{part: getattr(told, part) for part in (*of.label, of.volume) if part})


def bottle(preparation: Preparation, told: Strength | None) -> tuple[Strength | None, bool]:
    """What is in the bottle by the farm's own label, and whether the common label had to be assumed."""
    label, common = label_for(preparation, told), PREPARATIONS[preparation].common
    return (common, True) if label is None and common is not None else (label, False)


def held(preparation: Preparation, strength: Strength | None) -> float | None:
    """What one mL holds of that by which the preparation is dosed, in its unit; `None` where the label was
    not told. Raises `HatchError("not-positive", value, unit)`."""
    of = PREPARATIONS[preparation]
    if strength is None or not of.label:
        return None
    amount, volume = getattr(strength, of.label[0]), getattr(strength, of.volume) if of.volume else 1.0
    if amount is None or volume is None:
        return None
    return chain(f"{of.unit}/mL", [(amount, of.unit)], per=[(volume, "mL")])


def active(preparation: Preparation, ml: float, strength: Strength | None) -> float | None:
    """What `ml` of the bottle hold, in the unit of the preparation; `None` where the label was not told."""
    per_ml, unit = held(preparation, strength), PREPARATIONS[preparation].unit
    return None if per_ml is None else chain(unit, [(ml, "mL"), (per_ml, f"{unit}/mL")])


@dataclass(frozen=True, slots=True)
class DoseShot:
    """`ml` to inject at the n-th shot, to 0.01 (finer where that is more than 5 % off), and `drawn_ml` at a
    mark of a syringe holding `syringe_ml`.

    `role` is `only`, `priming` or `resolving`; `amount` is the active substance in `unit` (`ug`, `IU`, `mg`
    of gland). `blocker_mg` is the second substance where it comes from a vial of its own. Without a strength
    there is an amount and no `ml`.
    """

    n: int
    role: str
    ml: float | None
    amount: float | None
    unit: str
    drawn_ml: float | None = None
    syringe_ml: float | None = None
    blocker_mg: float | None = None


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
    """The doses of some fish. `*per_kg` are the females' figures over all shots, `per_kg` in `unit`;
    `mg_per_kg` is the second substance, as the bottle brings it.

    `total_ml` is the sum of what is drawn, `draw_ml` that with waste, up to the next mark; where no strength
    is known these are `None`, and `total` and `make` are the same in `unit`. `syringe_ml` and
    `graduation_ml` are of the coarsest syringe used. `warnings` are codes of the wording room, in the order
    they should be said.
    """

    lines: tuple[DoseLine, ...]
    total_ml: float | None
    draw_ml: float | None
    total: float | None
    make: float | None
    ml_per_kg: float | None
    per_kg: float
    unit: str
    mg_per_kg: float | None
    syringe_ml: float
    graduation_ml: float
    warnings: tuple[str, ...]
    basis: tuple[str, ...]
    mark: Mark


# Syringes -------------------------------------------------------------------------------------------------


def best_syringe(ml: float) -> float:
    """The smallest syringe (mL) that holds `ml`; the largest where it takes several fills."""
    return min((size for size in GRADUATIONS if size >= ml), default=max(GRADUATIONS))


# Labels ---------------------------------------------------------------------------------------------------


def plausible_label(strength: Strength) -> str | None:
    """A code where the label should be asked again, else `None`.

    `half-label`: what was told is the whole label of no preparation. `label-swapped`: ug and mg stand the
    wrong way round (10 ug + 20 mg for 20 ug + 10 mg, whatever the strength). `label-unusual`: a part is not
    above zero, or more than tenfold off what is usual.
    """
    if not any(_whole(strength, of.label) for of in PREPARATIONS.values()):
        return "half-label"
    usual = COMMON_STRENGTH
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


def _whole(strength: Strength, label: tuple[str, ...]) -> bool:
    return bool(label) and all(getattr(strength, part) is not None for part in label)


# Shots ----------------------------------------------------------------------------------------------------


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


def with_waste(amount: float) -> float:
    """`amount` (any unit) with what stays in needles and vials on top (FAO Training Series 8: 10 % more
    of everything).
    """
    return amount * (1 + WASTE)


# The sheet ------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Scheme:
    """One sex's rule through this bottle: for each kg, summed over its shots. `ml_per_kg` is `None` where the
    strength is not known; `blocker` where the second substance has a vial of its own."""

    per_kg: float
    unit: str
    ml_per_kg: float | None
    mg_per_kg: float | None
    shares: tuple[float, ...]
    blocker: bool


def doses(
    fish: Sequence[FishWeight],
    card: Card,
    preparation: Preparation,
    strength: Strength | None,
    *,
    male_dose: bool | None = None,
    primings: int | None = None,
    strength_assumed: bool = False,
) -> Doses:
    """The dose of each fish from the card's usual figure and the label's strength, never from a guess.

    `male_dose`: `False` is "no dose for him"; `None` leaves an optional dose in and warns `male-optional`.
    `primings` is how many priming shots there are after all, where the scheme has any.
    Raises `NoFigure("no-dose-figure", species, preparation, missing)`, where `missing` is the card's `rule`,
    its `usual` figure or the label's `strength`; `HatchError("not-positive", value, unit)` for a weight or
    strength that is none.
    """
    female_rule = _rule(card, preparation, "f")
    if female_rule is None:
        raise _no_figure(card, preparation, "rule")
    female = _scheme(card, female_rule, strength, primings)
    male_rule = None if male_dose is False else _rule(card, preparation, "m")
    male = _scheme(card, male_rule, strength, None) if male_rule else None
    lines = tuple(_line(one, _scheme_for(one, female, male)) for one in fish)
    total_ml, total = _total_ml(lines), _total(lines)
    coarsest = max(_syringes(lines), default=min(GRADUATIONS))
    used = [rule for rule in (female_rule, male_rule) if rule]
    warnings = (
        *_herd_warnings(fish, card, male_dose, male_rule),
        *(["strength-assumed"] if strength_assumed else []),
        *_label_warnings(female_rule, female),
        *_course_warnings(female_rule, female),
        *_draw_warnings(lines, female, male),
    )
    basis, mark = _basis(used, strength_assumed)
    return Doses(
        lines=lines,
        total_ml=total_ml,
        draw_ml=None if total_ml is None else _draw(total_ml),
        total=total,
        make=None if total is None else round_to(with_waste(total), CALCULATED_STEP[female.unit]),
        ml_per_kg=female.ml_per_kg,
        per_kg=female.per_kg,
        unit=female.unit,
        mg_per_kg=female.mg_per_kg,
        syringe_ml=coarsest,
        graduation_ml=GRADUATIONS[coarsest],
        warnings=warnings,
        basis=basis,
        mark=mark,
    )


def _no_figure(card: Card, preparation: Preparation, missing: str) -> NoFigure:
    return NoFigure("no-dose-figure", species=card.slug, preparation=preparation, missing=missing)


def _rule(card: Card, preparation: Preparation, sex: Sex) -> DoseRule | None:
    try:
        return card.dose_rule(preparation, sex)
    except NoFigure:
        return None


def dosed_by(rule: DoseRule) -> tuple[Figure | None, str]:
    """The figure that a rule is dosed by, over all shots, and the unit of what is given: "ug", "IU", "mg"."""
    of = PREPARATIONS[rule.preparation]
    return (getattr(rule, of.figure) if of.figure else None), of.unit


def _scheme(card: Card, rule: DoseRule, strength: Strength | None, primings: int | None) -> _Scheme:
    """Goes by the analogue where the label's two parts do not stand as the card's do."""
    figure, unit = dosed_by(rule)
    if figure is None or figure.usual is None:
        raise _no_figure(card, rule.preparation, "usual")
    shares = _shares(rule, primings)
    per_kg = chain(f"{unit}/kg", [(figure.usual * math.fsum(shares), figure.unit)])
    per_ml = held(rule.preparation, strength)
    if per_ml is None and PREPARATIONS[rule.preparation].by_label:
        raise _no_figure(card, rule.preparation, "strength")
    ml = None if per_ml is None else chain("mL/kg", [(per_kg, f"{unit}/kg")], per=[(per_ml, f"{unit}/mL")])
    own_vial = PREPARATIONS[rule.preparation].own_blocker and rule.mg_per_kg is not None
    mg = _blocker(rule) if own_vial else _brought(ml, strength)
    return _Scheme(per_kg, unit, ml, mg, shares, blocker=own_vial and mg is not None)


def _shares(rule: DoseRule, primings: int | None) -> tuple[float, ...]:
    """How the usual dose is split; a priming shot more is as large as the one before it."""
    *first, final = rule.shares
    if primings is None or not first:
        return rule.shares
    return (*(first[min(n, len(first) - 1)] for n in range(primings)), final)


def _brought(ml_per_kg: float | None, strength: Strength | None) -> float | None:
    if ml_per_kg is None or strength is None or strength.mg_per_ml is None:
        return None
    return chain("mg/kg", [(ml_per_kg, "mL/kg"), (strength.mg_per_ml, "mg/mL")])


def _blocker(rule: DoseRule) -> float | None:
    figure = rule.mg_per_kg
    return None if figure is None or figure.usual is None else _mg(figure.usual, figure)


def _scheme_for(fish: FishWeight, female: _Scheme, male: _Scheme | None) -> _Scheme | None:
    """Nothing for a fish of unknown sex: it must be asked."""
    return {"f": female, "m": male}[fish.sex] if fish.sex else None


def _line(fish: FishWeight, scheme: _Scheme | None) -> DoseLine:
    positive(fish.kg, "kg")
    if scheme is None:
        return DoseLine(fish.tag, fish.sex, fish.kg, None, None, None)
    shots = tuple(_shots(fish.kg, scheme))
    return DoseLine(
        tag=fish.tag,
        sex=fish.sex,
        kg=fish.kg,
        priming_ml=shots[0].ml if len(shots) > 1 else None,
        final_ml=shots[-1].ml,
        drawn_ml=None if scheme.ml_per_kg is None else _sum_ml(shot.drawn_ml for shot in shots),
        shots=shots,
        syringe_ml=shots[-1].syringe_ml,
    )


def _shots(kg: float, scheme: _Scheme) -> Iterator[DoseShot]:
    """What rounding took from one shot goes into the next, so that the sum stays within half a mark."""
    whole = math.fsum(scheme.shares)
    owed = 0.0
    for n, share in enumerate(scheme.shares, start=1):
        part = share / whole
        role = "only" if len(scheme.shares) == 1 else "resolving" if n == len(scheme.shares) else "priming"
        amount = chain(scheme.unit, [(scheme.per_kg * part, f"{scheme.unit}/kg"), (kg, "kg")])
        shot = DoseShot(n, role, None, round_to(amount, CALCULATED_STEP[scheme.unit]), scheme.unit)
        if scheme.blocker and scheme.mg_per_kg is not None:
            blocker = chain("mg", [(scheme.mg_per_kg * part, "mg/kg"), (kg, "kg")])
            shot = replace(shot, blocker_mg=round_to(blocker, CALCULATED_STEP["mg"]))
        if scheme.ml_per_kg is not None:
            exact = chain("mL", [(scheme.ml_per_kg * part, "mL/kg"), (kg, "kg")])
            ml = _calculated(exact)
            syringe = best_syringe(ml)
            drawn = round_to(max(exact + owed, 0.0), GRADUATIONS[syringe])
            owed += exact - drawn
            shot = replace(shot, ml=ml, drawn_ml=drawn, syringe_ml=syringe)
        yield shot


def _calculated(exact: float) -> float:
    """mL as calculated: to 0.01, and finer where that would be more than 5 % off."""
    step = CALCULATED_STEP_ML
    while exact and abs(round_to(exact, step) - exact) > MOST_OFF * exact:
        step /= 10
    return round_to(exact, step)


def _sum_ml(parts: Iterable[float | None]) -> float:
    return round_to(math.fsum(part or 0.0 for part in parts), CALCULATED_STEP_ML)


def _total_ml(lines: Iterable[DoseLine]) -> float | None:
    drawn = [line.drawn_ml for line in lines if line.drawn_ml is not None]
    return _sum_ml(drawn) if drawn else None


def _total(lines: Iterable[DoseLine]) -> float | None:
    """The active substance of all fish and shots together."""
    known = summed(shot for line in lines for shot in line.shots)
    return None if known is None else round_to(known[0], CALCULATED_STEP[known[1]])


def _draw(total_ml: float) -> float:
    wanted = with_waste(total_ml)
    return round_up(wanted, GRADUATIONS[best_syringe(wanted)])


def _syringes(lines: Iterable[DoseLine]) -> Iterator[float]:
    return (shot.syringe_ml for line in lines for shot in line.shots if shot.syringe_ml is not None)


def _basis(rules: Iterable[DoseRule], strength_assumed: bool) -> tuple[tuple[str, ...], Mark]:
    """Ids of all sources, each once, and the weakest of their marks."""
    figures = [figure for rule in rules for figure in (dosed_by(rule)[0], rule.mg_per_kg) if figure]
    sources = [source for figure in figures for source in figure.sources]
    marks = [figure.mark for figure in figures]
    if strength_assumed:
        sources.append(COMMON_STRENGTH_SOURCE)
        marks.append(COMMON_STRENGTH_MARK)
    return tuple(dict.fromkeys(sources)), weakest(marks)


# The whole course -----------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Course:
    """Active substance for each kg, over all shots of a fish, beside its range. `code`: `under-range`,
    `over-range` or empty."""

    per_kg: float
    unit: str
    low: float
    high: float
    code: str


def course(rule: DoseRule, per_kg: float) -> Course:
    """How a total stands in the range of its rule. Raises `NoFigure` where the rule has none."""
    figure, unit = dosed_by(rule)
    if figure is None:
        raise NoFigure("no-dose-figure", preparation=rule.preparation, missing="usual")
    low, high = (chain(f"{unit}/kg", [(end, figure.unit)]) for end in (figure.low, figure.high))
    return Course(per_kg, f"{unit}/kg", low, high, _out_of(per_kg, low, high))


def _out_of(value: float, low: float, high: float) -> str:
    if value < low * (1 - RATIO_TOLERANCE):
        return "under-range"
    return "over-range" if value > high * (1 + RATIO_TOLERANCE) else ""


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
    of, (figure, _) = PREPARATIONS[rule.preparation], dosed_by(rule)
    blocker = rule.mg_per_kg if of.own_blocker else None
    yield from (each.note for each in (figure, blocker) if each is not None and each.note)
    if of.unnamed and figure is not None and not figure.note:
        yield of.unnamed
    if of.untold and female.ml_per_kg is None:
        yield of.untold
    second, brought = rule.mg_per_kg, female.mg_per_kg
    if second is None or brought is None or female.blocker:
        return
    if second.usual is not None and abs(brought / _mg(second.usual, second) - 1) > RATIO_TOLERANCE:
        yield "ratio-differs"
    if code := _out_of(brought, _mg(second.low, second), _mg(second.high, second)):
        yield code


def _course_warnings(rule: DoseRule, female: _Scheme) -> Iterator[str]:
    """Whether more or fewer priming shots took the sum out of the card's range."""
    if code := course(rule, female.per_kg).code:
        yield code


def _mg(value: float, figure: Figure) -> float:
    return chain("mg/kg", [(value, figure.unit)])


def _draw_warnings(lines: Sequence[DoseLine], female: _Scheme, male: _Scheme | None) -> Iterator[str]:
    shots = [(line, shot) for line in lines for shot in line.shots if shot.ml is not None]
    if any(
        round_to(shot.ml or 0.0, CALCULATED_STEP_ML) < TOO_SMALL_ML or not shot.drawn_ml for _, shot in shots
    ):
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
    if scheme.ml_per_kg is None:
        return False
    whole = math.fsum(scheme.shares)
    exact = [share / whole * scheme.ml_per_kg * line.kg for share in scheme.shares]
    parts = [(shot.drawn_ml or 0.0, ml) for shot, ml in zip(line.shots, exact, strict=True)]
    return any(abs(drawn - ml) > ROUNDING_SHOWN * ml for drawn, ml in parts)
