"""What to draw for each fish: active substance per kg, through the bottle's strength, to syringe marks.

A card's dose is active substance for each kg of body, summed over all shots. Its volume means nothing without
the strength on the label. What a syringe can show of it is `drawing`'s. Whatever hangs on the preparation
stands in `PREPARATIONS`.
"""

from __future__ import annotations

import functools
import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import timedelta
from typing import Any

from core import drawing
from core.drawing import Making
from core.errors import HatchError, NoFigure
from core.records import FishWeight, Mark, OwnDose, Preparation, Run, Sex, Shot, Strength, Syringe
from core.species import Card, DoseRule, Figure, weakest
from core.units import chain, positive, round_to

# The strength printed for a widely used premix (common label, from memory): shown as assumed until a
# label is told.
COMMON_STRENGTH = Strength(20.0, 10.0)
COMMON_STRENGTH_SOURCE = "common-label"
COMMON_STRENGTH_MARK: Mark = "from memory"

CALCULATED_STEP = {
    "ug": 0.001,
    "mg": 0.001,
    "IU": 1.0,
    "mL": 0.001,
}  # active substance, to what a scale or label can tell
RATIO_TOLERANCE = 0.02
DISSOLVED_LASTS = timedelta(hours=24)  # hCG, cool and dark: a practice article, a weak source
DISSOLVED_SOURCE = "hcg-dissolved"
OWN_SOURCE = "farm"
OWN_MARK: Mark = "the farm's own"
HALF_OF_HERS = 0.5
TWICE = 2.0  # times the top of the range: from here on a dose is signed for, or refused. A rule of our own
LABEL_UNUSUAL = 10.0  # times more or less than the common strength
LABEL_SWAPPED = 1.25  # how near to the common ratio, turned upside down, counts as swapped


# Preparations ---------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Substance:
    """How one preparation is dosed, and what its label tells.

    `figure` is the field of a rule that it is dosed by, `unit` that of a shot. `label` names the parts of a
    `Strength` that its label must tell, `volume` the one that says how many mL the first of them is dissolved
    in, where it is not told for one mL. `common` is what is assumed of an untold label. `by_label` alone: no
    dose without one. `own_blocker`: the second substance has a vial of its own. `dissolved`: it comes dry,
    and we say in how much. `untold` is the warning while no mL can be told, `unnamed` that of a figure whose
    card says nothing of what exactly was weighed.
    """

    figure: str
    unit: str
    label: tuple[str, ...] = ()
    volume: str = ""
    common: Strength | None = None
    by_label: bool = False
    own_blocker: bool = False
    dissolved: bool = False
    untold: str = ""
    unnamed: str = ""


PREPARATIONS: Mapping[Preparation, Substance] = {
    "premix": Substance(
        "ug_per_kg", "ug", label=("ug_per_ml", "mg_per_ml"), common=COMMON_STRENGTH, by_label=True
    ),
    "pituitary": Substance("gland_mg_per_kg", "mg", dissolved=True, unnamed="gland-unknown"),
    "hcg": Substance("iu_per_kg", "IU", label=("iu_per_vial",), volume="diluent_ml", untold="vial-not-told"),
    "lhrha": Substance("ug_per_kg", "ug", own_blocker=True, dissolved=True),
    "own": Substance("ml_per_kg", "mL"),
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


@functools.lru_cache(maxsize=256)
def held(preparation: Preparation, strength: Strength | None) -> float | None:
    """What one mL holds of that by which the preparation is dosed, in its unit; `None` where the label was
    not told. Raises `HatchError("not-positive", value, unit)`."""
    of = PREPARATIONS[preparation]
    if of.unit == "mL":
        return 1.0
    if strength is None or not of.label:
        return None
    amount, volume = getattr(strength, of.label[0]), getattr(strength, of.volume) if of.volume else 1.0
    if amount is None or volume is None:
        return None
    return chain(f"{of.unit}/mL", [(amount, of.unit)], per=[(volume, "mL")])


def active(preparation: Preparation, ml: float, strength: Strength | None) -> float | None:
    """What `ml` of the bottle hold, in the unit of the preparation; `None` where the label was not told."""
    per_ml = held(preparation, strength)
    return None if per_ml is None else ml * per_ml


def amount_of(run: Run, shot: Shot) -> float | None:
    """Active substance of one injection as planned: as told; else by the sheet, less where less went in; else
    by the label. `None` where mL were told and nobody knows what one holds."""
    whole = shot.sheet_amount if shot.amount is None else shot.amount
    if whole is not None and (shot.amount is not None or shot.share is not None):
        return whole * (shot.share or 1.0)
    if shot.sheet_amount is not None and (shot.ml is None or shot.sheet_ml):
        return shot.sheet_amount * (1.0 if shot.ml is None or not shot.sheet_ml else shot.ml / shot.sheet_ml)
    return None if shot.ml is None else active(run.preparation, shot.ml, run.strength)


def went_in(run: Run, shot: Shot) -> float | None:
    """Active substance that went in: what the mL of the syringe hold by the label, a little more or less than
    was worked out; else as `amount_of`."""
    told = shot.ml if shot.amount is None else None
    held = None if told is None else active(run.preparation, told, run.strength)
    return amount_of(run, shot) if held is None else held


@dataclass(frozen=True, slots=True)
class DoseShot:
    """`ml` to inject at the n-th shot, to 0.01 (finer where that is more than 5 % off), and `drawn_ml` at a
    mark of a syringe holding `syringe_ml`.

    `role` is `only`, `priming` or `resolving`; `amount` is the active substance in `unit` (`ug`, `IU`, `mg`
    of gland). `blocker_mg` is the second substance where it comes from a vial of its own. Without a strength
    there is an amount and no `ml`. `liquid_ml` is what to draw of a bottle that was thinned, or of what was
    dissolved; `drawn_ml` is then what of the bottle is in it. A large volume is shared between `places`.
    `off` is the share by which what is drawn differs from what was reckoned.
    """

    n: int
    role: str
    ml: float | None
    amount: float | None
    unit: str
    drawn_ml: float | None = None
    syringe_ml: float | None = None
    blocker_mg: float | None = None
    liquid_ml: float | None = None
    places: int = 1
    off: float = 0.0


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

    `total_ml` is the sum of what is drawn of the bottle, `draw_ml` that with waste, up to the next mark;
    where no strength is known these are `None`, and `total` and `make` are the same in `unit`; `vials` of the
    label hold that. `makings` are mixed first. `syringe_ml` and `graduation_ml` are of the coarsest syringe
    used. `warnings` are codes of the wording room, in the order they should be said.
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
    makings: tuple[Making, ...] = ()
    vials: int | None = None


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

    @property
    def parts(self) -> tuple[float, ...]:
        """What share of the whole each shot is."""
        whole = math.fsum(self.shares)
        return tuple(share / whole for share in self.shares)


def doses(
    fish: Sequence[FishWeight],
    card: Card,
    preparation: Preparation,
    strength: Strength | None,
    *,
    male_dose: bool | None = None,
    primings: int | None = None,
    strength_assumed: bool = False,
    syringes: Sequence[Syringe] = (),
    own: OwnDose | None = None,
) -> Doses:
    """The dose of each fish from the card's usual figure and the label's strength, never from a guess.

    `male_dose`: `False` is "no dose for him"; `None` leaves an optional dose in and warns `male-optional`.
    `primings` is how many priming shots there are after all, where the scheme has any. `syringes` are those
    at hand, the usual ones where none were told. `own` is the farm's own dose, in the place of the card's.
    Raises `NoFigure("no-dose-figure", species, preparation, missing)`, where `missing` is the card's `rule`,
    its `usual` figure or the label's `strength`; `HatchError("not-positive", value, unit)` for a weight or
    strength that is none.
    """
    female_rule = rule_for(card, preparation, "f", strength, own)
    female = _scheme(card, female_rule, strength, primings)
    male_rule = None if male_dose is False else _male_rule(card, preparation, strength, own)
    male = _scheme(card, male_rule, strength, None) if male_rule else None
    at_hand = tuple(syringes) or drawing.USUAL_SYRINGES
    plain = tuple(_line(one, _scheme_for(one, female, male), at_hand) for one in fish)
    lines, makings = _made(plain, female, male, at_hand, preparation)
    total_ml, total = _total_ml(lines), _total(lines)
    coarsest = _coarsest(lines, at_hand)
    make = None if total is None else round_to(drawing.with_waste(total), CALCULATED_STEP[female.unit])
    used = [rule for rule in (female_rule, male_rule) if rule]
    warnings = (
        *_herd_warnings(fish, card, male_dose, male_rule),
        *(["strength-assumed"] if strength_assumed else []),
        *_label_warnings(female_rule, female),
        *_course_warnings(female_rule, female),
        *_draw_warnings(lines, at_hand),
    )
    basis, mark = _basis(used, strength_assumed, dissolved=bool(makings) and total_ml is None)
    return Doses(
        lines=lines,
        total_ml=total_ml,
        draw_ml=None if total_ml is None else _draw(lines, makings, at_hand),
        total=total,
        make=make,
        ml_per_kg=female.ml_per_kg,
        per_kg=female.per_kg,
        unit=female.unit,
        mg_per_kg=female.mg_per_kg,
        syringe_ml=coarsest.ml,
        graduation_ml=coarsest.mark_ml,
        warnings=tuple(dict.fromkeys(warnings)),
        basis=basis,
        mark=mark if own is None else OWN_MARK,
        makings=makings,
        vials=_vials(preparation, make, strength),
    )


def _no_figure(card: Card, preparation: Preparation, missing: str) -> NoFigure:
    return NoFigure("no-dose-figure", species=card.slug, preparation=preparation, missing=missing)


def rule_for(
    card: Card, preparation: Preparation, sex: Sex, strength: Strength | None, own: OwnDose | None
) -> DoseRule:
    """The card's rule, with the farm's own dose in the place of its usual figure where there is one.

    A male gets of it what he gets of the card's, and half where no card says. Raises `NoFigure`, and
    `HatchError("wrong-dose-unit", unit, preparation)` for a dose in what the preparation is not dosed by.
    """
    of, told = PREPARATIONS[preparation], _rule(card, preparation, sex)
    if own is None:
        if told is None:
            raise _no_figure(card, preparation, "rule")
        return told
    unit = of.unit
    per_kg = own.per_kg
    if own.unit == "mL" and unit != "mL":
        per_ml = held(preparation, strength)
        if per_ml is None:
            raise _no_figure(card, preparation, "strength")
        per_kg *= per_ml
    elif own.unit != unit:
        raise HatchError("wrong-dose-unit", unit=own.unit, preparation=preparation)
    known = told or DoseRule(preparation, sex, (1.0,))
    set_by = Figure(per_kg, per_kg, per_kg, f"{unit}/kg", (OWN_SOURCE,), OWN_MARK)
    figure, _ = dosed_by(known)
    if sex == "m":
        set_by = replace(set_by, usual=per_kg * _of_the_females(card, preparation, figure))
    if figure is not None:
        set_by = replace(set_by, low=figure.low, high=figure.high)
    changed: dict[str, Any] = {of.figure: set_by}
    second = known.mg_per_kg
    if second is not None and second.usual is not None and figure is not None and figure.usual:
        times = (set_by.usual or 0.0) / figure.usual
        changed["mg_per_kg"] = replace(second, usual=second.usual * times)
    return replace(known, **changed)


def _of_the_females(card: Card, preparation: Preparation, figure: Figure | None) -> float:
    """What share of a female's dose a male gets. Common practice where the card does not say: half."""
    female = _rule(card, preparation, "f")
    hers = dosed_by(female)[0] if female is not None else None
    if figure is None or figure.usual is None or hers is None or not hers.usual:
        return HALF_OF_HERS
    return figure.usual / hers.usual


def _male_rule(
    card: Card, preparation: Preparation, strength: Strength | None, own: OwnDose | None
) -> DoseRule | None:
    try:
        return rule_for(card, preparation, "m", strength, own)
    except NoFigure:
        return None


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


def _line(fish: FishWeight, scheme: _Scheme | None, at_hand: Sequence[Syringe]) -> DoseLine:
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
        drawn_ml=None if scheme.ml_per_kg is None else _sum_ml(shot.drawn_ml for shot in shots),
        shots=shots,
        syringe_ml=shots[-1].syringe_ml,
    )


def _shots(kg: float, scheme: _Scheme, at_hand: Sequence[Syringe]) -> Iterator[DoseShot]:
    """All shots of a fish, in turn."""
    drawn = _in_turn(kg, scheme, at_hand)
    for n, (part, to) in enumerate(zip(scheme.parts, drawn, strict=True), start=1):
        role = "only" if len(scheme.shares) == 1 else "resolving" if n == len(scheme.shares) else "priming"
        amount = chain(scheme.unit, [(scheme.per_kg * part, f"{scheme.unit}/kg"), (kg, "kg")])
        shot = DoseShot(n, role, None, round_to(amount, CALCULATED_STEP[scheme.unit]), scheme.unit)
        if scheme.blocker and scheme.mg_per_kg is not None:
            blocker = chain("mg", [(scheme.mg_per_kg * part, "mg/kg"), (kg, "kg")])
            shot = replace(shot, blocker_mg=round_to(blocker, CALCULATED_STEP["mg"]))
        yield shot if to is None else replace(_drawn(shot, to), ml=to.ml, drawn_ml=to.drawn_ml)


def _in_turn(kg: float, scheme: _Scheme, at_hand: Sequence[Syringe]) -> list[drawing.Drawn] | list[None]:
    if scheme.ml_per_kg is None:
        return [None for _ in scheme.parts]
    return list(drawing.in_turn([(part * scheme.ml_per_kg * kg, 1) for part in scheme.parts], at_hand))


def _drawn(shot: DoseShot, to: drawing.Drawn) -> DoseShot:
    return replace(shot, syringe_ml=to.syringe.ml, places=to.places, off=to.off)


def _sum_ml(parts: Iterable[float | None]) -> float:
    return round_to(math.fsum(part or 0.0 for part in parts), drawing.CALCULATED_STEP_ML)


def _total_ml(lines: Iterable[DoseLine]) -> float | None:
    drawn = [line.drawn_ml for line in lines if line.drawn_ml is not None]
    return _sum_ml(drawn) if drawn else None


def _total(lines: Iterable[DoseLine]) -> float | None:
    """The active substance of all fish and shots together."""
    known = summed(shot for line in lines for shot in line.shots)
    return None if known is None else round_to(known[0], CALCULATED_STEP[known[1]])


def _draw(lines: Iterable[DoseLine], makings: Iterable[Making], at_hand: Sequence[Syringe]) -> float:
    """What to take from the bottle: what is drawn from it straight, waste included, and what is thinned."""
    shots = [shot for line in lines for shot in line.shots if shot.liquid_ml is None]
    straight = math.fsum(shot.drawn_ml or 0.0 for shot in shots)
    thinned = math.fsum(each.amount for each in makings)
    return _sum_ml([drawing.to_draw(straight, at_hand) if straight else 0.0, thinned])


def _coarsest(lines: Iterable[DoseLine], at_hand: Sequence[Syringe]) -> Syringe:
    """The syringe with the widest marks of those that are used; the finest at hand where none is."""
    used = [drawing.best(shot.ml, at_hand) for line in lines for shot in line.shots if shot.ml is not None]
    finest = min(at_hand, key=lambda each: (each.mark_ml, each.ml))
    return max(used, key=lambda each: (each.ml, each.mark_ml), default=finest)


def _vials(preparation: Preparation, make: float | None, strength: Strength | None) -> int | None:
    """How many vials of the label hold what is needed, where it comes in vials and the label was told."""
    of = PREPARATIONS[preparation]
    holds = getattr(strength, of.label[0], None) if of.volume and strength is not None else None
    return None if make is None or not holds else math.ceil(round(make / holds, 6))


def _basis(
    rules: Iterable[DoseRule], strength_assumed: bool, *, dissolved: bool
) -> tuple[tuple[str, ...], Mark]:
    """Ids of all sources, each once, and the weakest of their marks."""
    figures = [figure for rule in rules for figure in (dosed_by(rule)[0], rule.mg_per_kg) if figure]
    sources = [source for figure in figures for source in figure.sources]
    marks = [figure.mark for figure in figures]
    if strength_assumed:
        sources.append(COMMON_STRENGTH_SOURCE)
        marks.append(COMMON_STRENGTH_MARK)
    if dissolved:
        sources.append(drawing.CARRIER_SOURCE)
        marks.append(drawing.CARRIER_MARK)
    return tuple(dict.fromkeys(sources)), weakest(marks)


# What is mixed first --------------------------------------------------------------------------------------


def _made(
    lines: tuple[DoseLine, ...],
    female: _Scheme,
    male: _Scheme | None,
    at_hand: Sequence[Syringe],
    preparation: Preparation,
) -> tuple[tuple[DoseLine, ...], tuple[Making, ...]]:
    """The lines with what each fish gets of the mixture, and what is mixed: a bottle thinned where its doses
    are too small for the syringes, or a dry preparation dissolved, shot by shot. Nothing where neither is
    due."""
    if female.ml_per_kg is not None:
        return _thinned(lines, female, male, at_hand)
    if PREPARATIONS[preparation].dissolved:
        return _dissolved(lines, female, at_hand)
    return lines, ()


def _thinned(
    lines: tuple[DoseLine, ...], female: _Scheme, male: _Scheme | None, at_hand: Sequence[Syringe]
) -> tuple[tuple[DoseLine, ...], tuple[Making, ...]]:
    """Only what is too little for the syringes comes out of the thinned part."""
    exact = {line.tag: _exact_ml(line, scheme) for line in lines if (scheme := _of(line, female, male))}
    small = [
        (ml, line.kg)
        for line in lines
        for ml in exact.get(line.tag, ())
        if ml > 0 and drawing.is_small(ml, at_hand)
    ]
    times = drawing.times_thinner(small, at_hand)
    if times == 1:
        return lines, ()
    mixed = tuple(_thinner(line, exact.get(line.tag, []), times, at_hand) for line in lines)
    taken = [shot for line in mixed for shot in line.shots if shot.liquid_ml is not None]
    if all(shot.off > drawing.TOO_COARSE for shot in taken):
        return lines, ()
    return mixed, (drawing.thinned(math.fsum(shot.liquid_ml or 0.0 for shot in taken), times, at_hand),)


def _thinner(line: DoseLine, exact: Sequence[float], times: int, at_hand: Sequence[Syringe]) -> DoseLine:
    """The line with each small shot out of the bottle that was made so many times thinner."""
    parts = [(ml, times if drawing.is_small(ml, at_hand) else 1) for ml in exact]
    shots = []
    for shot, (_, thin), to in zip(line.shots, parts, drawing.in_turn(parts, at_hand), strict=True):
        liquid = to.drawn_ml if thin > 1 else None
        of_bottle = round_to(to.drawn_ml / thin, 0.001)
        shots.append(replace(_drawn(shot, to), liquid_ml=liquid, drawn_ml=of_bottle))
    if not shots:
        return line
    drawn = round_to(math.fsum(shot.drawn_ml or 0.0 for shot in shots), 0.001)
    return replace(line, shots=tuple(shots), drawn_ml=drawn, syringe_ml=shots[-1].syringe_ml)


def _dissolved(
    lines: tuple[DoseLine, ...], female: _Scheme, at_hand: Sequence[Syringe]
) -> tuple[tuple[DoseLine, ...], tuple[Making, ...]]:
    """Every shot of the females is dissolved in as much for each kg; a male takes of their last one."""
    treated = [line for line in lines if line.shots]
    if not treated:
        return lines, ()
    carrier = drawing.carrier_ml_per_kg(min(line.kg for line in treated), at_hand)
    makings: list[Making] = []
    liquid: dict[str, list[drawing.Drawn]] = {line.tag: [] for line in treated}
    for back, part in reversed(list(enumerate(reversed(female.parts), start=1))):
        shots = [(line, line.shots[-back]) for line in treated if len(line.shots) >= back]
        if not shots or not part:
            continue
        per_ml = chain(
            f"{female.unit}/mL", [(female.per_kg * part, f"{female.unit}/kg")], per=[(carrier, "mL/kg")]
        )
        for line, shot in shots:
            liquid[line.tag].append(drawing.drawn((shot.amount or 0.0) / per_ml, at_hand))
        amount = math.fsum(shot.amount or 0.0 for _, shot in shots)
        blockers = [shot.blocker_mg for _, shot in shots if shot.blocker_mg is not None]
        role = next((shot.role for line, shot in shots if line.sex == "f"), shots[0][1].role)
        blocker = math.fsum(blockers) if blockers else None
        step = CALCULATED_STEP[female.unit]
        makings.append(drawing.dissolved(role, amount, female.unit, per_ml, step, blocker))
    mixed = tuple(
        replace(
            line,
            shots=tuple(
                replace(_drawn(shot, to), liquid_ml=to.drawn_ml)
                for shot, to in zip(line.shots, liquid.get(line.tag, ()), strict=True)
            ),
        )
        for line in lines
    )
    return mixed, tuple(dict.fromkeys(makings))


def _exact_ml(line: DoseLine, scheme: _Scheme) -> list[float]:
    """What each shot of the fish would be, unrounded."""
    return [part * (scheme.ml_per_kg or 0.0) * line.kg for part in scheme.parts]


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


def over_twice(
    card: Card, preparation: Preparation, strength: Strength | None, own: OwnDose
) -> Course | None:
    """The course of a farm's own dose that is more than twice the top of the card's range, else `None`: also
    where the card has no range. Raises as `rule_for`."""
    rule = rule_for(card, preparation, "f", strength, own)
    known, (figure, unit) = _rule(card, preparation, "f"), dosed_by(rule)
    if known is None or dosed_by(known)[0] is None or figure is None or figure.usual is None:
        return None
    found = course(known, chain(f"{unit}/kg", [(figure.usual, figure.unit)]))
    return found if found.per_kg > TWICE * found.high * (1 + RATIO_TOLERANCE) else None


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


def _draw_warnings(lines: Sequence[DoseLine], at_hand: Sequence[Syringe]) -> Iterator[str]:
    """How well what is drawn can be measured, of the bottle or of what is mixed."""
    shots = [(line, shot) for line in lines for shot in line.shots]
    told = [(line, shot.drawn_ml if shot.liquid_ml is None else shot.liquid_ml) for line, shot in shots]
    drawn = [(line, ml) for line, ml in told if ml is not None]
    if any(drawing.is_small(ml, at_hand) for _, ml in drawn):
        yield "too-small"
    if any(drawing.is_big(ml, line.kg) for line, ml in drawn):
        yield "big-volume"
    if any(shot.off > drawing.ROUNDING_SHOWN for _, shot in shots):
        yield "rounding"


def _of(line: DoseLine, female: _Scheme, male: _Scheme | None) -> _Scheme | None:
    return (female if line.sex == "f" else male) if line.shots else None
