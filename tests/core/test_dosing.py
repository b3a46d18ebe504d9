"""Doses against published splits, label practice and the facts of the trade."""

from dataclasses import fields, replace
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.dosing import (
    COMMON_STRENGTH,
    PREPARATIONS,
    Doses,
    DoseShot,
    active,
    amount_of,
    doses,
    over_twice,
    plausible_label,
    summed,
    went_in,
)
from core.drawing import GRADUATIONS, TOO_COARSE, with_waste
from core.errors import HatchError, NoFigure
from core.records import Event, FishWeighed, FishWeight, Opened, OwnDose, Preparation, Sex, Shot, Strength
from core.runs import fold
from core.species import Card, DoseRule, Figure
from tests.core.cards import bare_carp
from tests.core.events import T0


def figure(low: float, usual: float | None, high: float, unit: str) -> Figure:
    return Figure(low=low, high=high, usual=usual, unit=unit, sources=("gomina-2011",), mark="published")


def rule(sex: Sex, ug: float | None, mg: float, shares: tuple[float, ...] = (1.0,)) -> DoseRule:
    """A premix rule around one usual dose."""
    return DoseRule(
        preparation="premix",
        sex=sex,
        shares=shares,
        ug_per_kg=figure(5.0, ug, 16.0, "ug/kg"),
        mg_per_kg=figure(mg / 2, mg, mg * 1.6, "mg/kg"),
    )


def carp(*rules: DoseRule, male_optional: bool = False) -> Card:
    """A card with nothing but doses; without `rules` the common carp's 10 ug + 5 mg, half for males."""
    return bare_carp(
        figure(20, 23, 25, "degC"),
        figure(1, 3, 20, "kg"),
        male_cut=male_optional,
        male_optional=male_optional,
        doses=rules or (rule("f", 10, 5), rule("m", 5, 2.5)),
    )


def female(kg: float, tag: str = "F1") -> FishWeight:
    return FishWeight(tag, "f", kg)


def male(kg: float, tag: str = "M1") -> FishWeight:
    return FishWeight(tag, "m", kg)


PAIR = (female(2.4), female(3.1, "F2"), male(1.9), male(2.0, "M2"))


def sheet(*fish: FishWeight, card: Card | None = None, strength: Strength = COMMON_STRENGTH) -> Doses:
    return doses(fish or PAIR, card or carp(), "premix", strength)


# Outside checks -------------------------------------------------------------------------------------------


def test_half_a_millilitre_per_kg_of_common_strength() -> None:
    """Common practice (reference README): 0.5 mL/kg for female common carp, half of that for males.

    Its trap 1: 0.5 mL/kg of 20 ug + 10 mg per mL is 10 ug/kg + 5 mg/kg. Gomina Ozohu 2011: best of 0.4,
    0.5, 0.6 mL/kg.
    """
    told = sheet(female(1.0), male(1.0))
    assert (told.ml_per_kg, told.per_kg, told.mg_per_kg) == (0.5, 10.0, 5.0)
    assert [line.final_ml for line in told.lines] == [0.5, 0.25]


def test_african_catfish_as_published() -> None:
    """teaching note 0.5 mL/kg for the female, teaching note 0.25 mL/kg for the male, both published for
    African catfish.
    """
    told = doses(PAIR, carp(male_optional=True), "premix", COMMON_STRENGTH)
    assert [line.final_ml for line in told.lines] == [1.2, 1.55, 0.48, 0.5]
    assert "male-optional" in told.warnings


def shot(n: int, amount: float | None, unit: str) -> DoseShot:
    return DoseShot(n, "priming", 1.0, amount, unit)


def test_published_sums_of_shots() -> None:
    """Pangasius krempfi hormone trial: 4 x 500 + 1500 + 6000 IU/kg are 9500; crucian carp pituitary trial
    2015: 1.0 + 5.0 mg/kg are 6.0; Brzuska: 0.3 + 2.7 are 3.0.
    """
    hcg = [shot(n, iu, "IU") for n, iu in enumerate([500, 500, 500, 500, 1500, 6000], start=1)]
    assert summed(hcg) == (9500, "IU")
    assert summed([shot(1, 1.0, "mg"), shot(2, 5.0, "mg")]) == (6.0, "mg")
    assert summed([shot(1, 0.3, "mg"), shot(2, 2.7, "mg")]) == (pytest.approx(3.0), "mg")


def test_published_losses() -> None:
    """FAO Training Series 8: 10 % more hormone and liquid than the fish need."""
    assert with_waste(12.0) == pytest.approx(13.2)
    told = sheet(female(10.0))
    assert (told.total_ml, told.draw_ml) == (5.0, 5.5)


def test_a_published_syringe() -> None:
    """IASRI course on injecting brooders: "2 mL syringe graduated 0.1 mL"."""
    assert GRADUATIONS[2.0] == 0.1


def test_common_strength_is_the_printed_one() -> None:
    """common label, from memory: 20 ug of analogue with 10 mg of the blocker in a millilitre."""
    assert Strength(20.0, 10.0) == COMMON_STRENGTH
    told = doses(PAIR, carp(), "premix", COMMON_STRENGTH, strength_assumed=True)
    assert "strength-assumed" in told.warnings
    assert "common-label" in told.basis
    assert told.mark == "from memory"
    assert sheet().mark == "published"


# The sheet ------------------------------------------------------------------------------------------------


def test_line_by_line() -> None:
    told = sheet()
    assert [(line.tag, line.final_ml, line.drawn_ml, line.syringe_ml) for line in told.lines] == [
        ("F1", 1.2, 1.2, 2.0),
        ("F2", 1.55, 1.6, 2.0),
        ("M1", 0.48, 0.48, 1.0),
        ("M2", 0.5, 0.5, 1.0),
    ]
    assert [line.priming_ml for line in told.lines] == [None] * 4
    assert told.lines[0].shots == (DoseShot(1, "only", 1.2, 24.0, "ug", 1.2, 2.0),)
    assert (told.total_ml, told.draw_ml) == (3.78, 4.2)  # 4.158 with waste, up to a mark of the 5 mL syringe
    assert (told.syringe_ml, told.graduation_ml) == (2.0, 0.1)
    assert told.warnings == ()


def test_two_shots() -> None:
    """A tenth first (FAO FTP 201): 2.4 + 21.6 ug; what rounding took from the first is in the second."""
    card = carp(rule("f", 10, 5, (0.1, 0.9)), rule("m", 5, 2.5))
    first, second = sheet(female(2.4), male(2.0), card=card).lines
    assert (first.priming_ml, first.final_ml, first.drawn_ml) == (0.12, 1.08, 1.22)
    assert [(s.n, s.role, s.amount, s.drawn_ml) for s in first.shots] == [
        (1, "priming", 2.4, 0.12),
        (2, "resolving", 21.6, 1.1),
    ]
    assert summed(first.shots) == (pytest.approx(24.0), "ug")
    assert (second.priming_ml, second.final_ml) == (None, 0.5)


def test_no_dose_for_the_male() -> None:
    told = doses(PAIR, carp(male_optional=True), "premix", COMMON_STRENGTH, male_dose=False)
    assert [line.final_ml for line in told.lines] == [1.2, 1.55, None, None]
    assert told.lines[2].drawn_ml is None
    assert told.lines[2].shots == ()
    assert told.total_ml == 2.8
    assert "male-optional" not in told.warnings


def test_a_wanted_dose_for_the_male_is_not_called_optional() -> None:
    told = doses(PAIR, carp(male_optional=True), "premix", COMMON_STRENGTH, male_dose=True)
    assert told.lines[2].final_ml == 0.48
    assert "male-optional" not in told.warnings


def test_unknown_sex_gets_nothing_and_is_asked() -> None:
    told = sheet(female(2.4), FishWeight("X1", None, 2.0))
    assert (told.lines[1].final_ml, told.lines[1].drawn_ml, told.lines[1].shots) == (None, None, ())
    assert told.warnings == ("sex-unknown",)
    assert told.total_ml == 1.2


def test_a_sheet_of_nobody_to_inject_has_no_total() -> None:
    told = sheet(FishWeight("X1", None, 2.0))
    assert (told.total_ml, told.draw_ml) == (None, None)


@pytest.mark.parametrize(
    ("fish", "codes"),
    [
        ([female(2), male(2)], ("one-male",)),
        ([female(2)], ("no-male",)),
        ([male(2), male(2, "M2")], ("no-female",)),
        ([male(2)], ("one-male", "no-female")),
        # 0.01 mL, twice as thin 0.02: still too little to measure
        ([female(0.02), male(2), male(2, "M2")], ("too-small",)),
        ([female(0.08), male(2), male(2, "M2")], ()),  # 0.04, thinned to 0.08
        ([female(0.11), male(2), male(2, "M2")], ("rounding",)),  # 0.055 is drawn as 0.06
        # 2.1 mL at one site: no published limit, a rule of our own
        ([female(4.4), male(2), male(2, "M2")], ("big-volume",)),
        ([female(0.09), male(2), male(2, "M2")], ()),  # 0.045, thinned to 0.09
        ([female(2.09), male(2), male(2, "M2")], ()),  # 1.045 is drawn as 1.0, not by way of 1.05 as 1.1
        ([female(4.0), male(2), male(2, "M2")], ()),
    ],
)
def test_warnings(fish: list[FishWeight], codes: tuple[str, ...]) -> None:
    assert sheet(*fish).warnings == codes


def test_a_weak_bottle_makes_big_volumes() -> None:
    """no published limit, a rule of our own: more than 1 mL for each kg is unusual."""
    weak, exactly_one = Strength(8.0, 4.0), Strength(10.0, 5.0)
    assert "big-volume" in sheet(female(1.0), strength=weak).warnings
    assert "big-volume" not in sheet(female(1.0), strength=exactly_one).warnings


def test_a_dose_below_the_first_mark_is_too_small() -> None:
    told = sheet(female(0.008), strength=Strength(20.0, 10.0))
    assert told.lines[0].shots[0].off > TOO_COARSE  # 0.004 mL, thinned to 0.008: no syringe shows it
    assert {"too-small", "rounding"} <= set(told.warnings)


@pytest.mark.parametrize(
    ("strength", "codes"),
    [
        (Strength(20.0, 10.0), set()),
        (Strength(40.0, 20.0), set()),
        (Strength(20.0, None), set()),
        (Strength(20.0, 12.0), {"ratio-differs"}),
        (Strength(20.0, 4.0), {"ratio-differs", "under-range"}),  # 2 mg/kg, card 2.5 to 8
        (Strength(20.0, 20.0), {"ratio-differs", "over-range"}),  # 10 mg/kg
    ],
)
def test_the_second_substance_is_compared_with_its_own_range(strength: Strength, codes: set[str]) -> None:
    told = sheet(strength=strength)
    assert set(told.warnings) == codes
    assert told.lines[0].final_ml == (0.6 if strength.ug_per_ml == 40 else 1.2)  # by the analogue


def test_the_unit_of_the_card_is_heeded() -> None:
    in_mg = replace(rule("f", 10, 5), ug_per_kg=figure(0.005, 0.01, 0.016, "mg/kg"))
    assert sheet(female(2.4), card=carp(in_mg, rule("m", 5, 2.5))).lines[0].final_ml == 1.2


# No figure, no dose ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("card", "preparation", "strength", "missing"),
    [
        (carp(), "hcg", COMMON_STRENGTH, "rule"),
        (carp(rule("m", 5, 2.5)), "premix", COMMON_STRENGTH, "rule"),
        (carp(rule("f", None, 5)), "premix", COMMON_STRENGTH, "usual"),
        (carp(replace(rule("f", 10, 5), ug_per_kg=None)), "premix", COMMON_STRENGTH, "usual"),
        (carp(), "premix", None, "strength"),
        (carp(), "premix", Strength(None, 10.0), "strength"),
    ],
)
def test_never_a_dose_without_a_figure(
    card: Card, preparation: str, strength: Strength | None, missing: str
) -> None:
    with pytest.raises(NoFigure) as refused:
        doses(PAIR, card, preparation, strength)  # type: ignore[arg-type]
    assert refused.value.code == "no-dose-figure"
    assert refused.value.params == {"species": "common-carp", "preparation": preparation, "missing": missing}


def test_no_figure_for_males_leaves_the_females_their_doses() -> None:
    told = sheet(female(2.4), male(2), card=carp(rule("f", 10, 5)))
    assert [line.final_ml for line in told.lines] == [1.2, None]
    assert "no-male-figure" in told.warnings


@pytest.mark.parametrize("kg", [0.0, -1.0, float("nan"), float("inf")])
def test_a_weight_that_is_none(kg: float) -> None:
    for one in (female(kg), FishWeight("X1", None, kg)):
        with pytest.raises(HatchError, match="not-positive"):
            sheet(one)


def test_a_strength_that_is_none() -> None:
    with pytest.raises(HatchError, match="not-positive"):
        sheet(strength=Strength(0.0, 10.0))


# Labels, shots, syringes ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("strength", "code"),
    [
        (Strength(20, 10), None),
        (Strength(40, 20), None),
        (Strength(10, 10), None),
        (Strength(20, 30), None),  # more mg than ug, but not the common ratio upside down
        (Strength(20, None), "half-label"),
        (Strength(None, 10), "half-label"),
        (Strength(diluent_ml=5), "half-label"),
        (Strength(iu_per_vial=5000), None),
        (Strength(10, 20), "label-swapped"),
        (Strength(20, 40), "label-swapped"),
        (Strength(5, 10), "label-swapped"),
        (Strength(0.02, 10), "label-unusual"),  # 20 ug written as 0.02 mg
        (Strength(20000, 10), "label-unusual"),
        (Strength(20, 0.5), "label-unusual"),
        (Strength(0, 10), "label-unusual"),
        (Strength(20, -1), "label-unusual"),
        (Strength(float("nan"), 10), "label-unusual"),
    ],
)
def test_labels(strength: Strength, code: str | None) -> None:
    assert plausible_label(strength) == code


def test_active_substance_of_what_went_in() -> None:
    assert active("premix", 1.2, COMMON_STRENGTH) == 24.0
    assert active("premix", 1.2, Strength()) is None
    assert active("hcg", 1.2, Strength(iu_per_vial=5000, diluent_ml=5)) == 1200.0
    assert active("hcg", 1.2, COMMON_STRENGTH) is None


def test_every_preparation_has_its_row_and_its_parts() -> None:
    assert set(PREPARATIONS) == set(get_args(Preparation))
    figures = {field.name for field in fields(DoseRule)}
    parts = {field.name for field in fields(Strength)}
    for of in PREPARATIONS.values():
        assert of.figure in figures or of == PREPARATIONS["own"]
        assert {*of.label, *filter(None, [of.volume])} <= parts


def test_a_sum_is_known_only_where_every_shot_is() -> None:
    assert summed([]) is None
    assert summed([shot(1, 1.0, "mg"), shot(2, None, "mg")]) is None
    with pytest.raises(HatchError, match="mixed-units"):
        summed([shot(1, 1.0, "mg"), shot(2, 5.0, "IU")])


# Properties -----------------------------------------------------------------------------------------------

weights = st.floats(0.02, 40).map(lambda kg: round(kg, 3))
strengths = st.floats(2, 200).map(lambda ug: Strength(round(ug, 1), round(ug, 1) / 2))
schemes = st.sampled_from([(1.0,), (0.1, 0.9), (0.2, 0.3, 0.5)])


@given(weights, weights, strengths)
def test_doses_rise_with_weight(one: float, other: float, strength: Strength) -> None:
    light, heavy = sheet(*(female(kg) for kg in sorted((one, other))), strength=strength).lines
    assert (light.final_ml or 0) <= (heavy.final_ml or 0)
    assert (light.drawn_ml or 0) <= (heavy.drawn_ml or 0)
    if heavy.kg > light.kg * 1.01:
        assert (light.shots[0].amount or 0) < (heavy.shots[0].amount or 0)


@given(weights, strengths, schemes)
def test_drawn_is_within_half_a_mark(kg: float, strength: Strength, shares: tuple[float, ...]) -> None:
    card = carp(rule("f", 10, 5, shares))
    (line,) = doses([female(kg)], card, "premix", strength).lines
    assert line.drawn_ml is not None
    assert line.syringe_ml is not None
    assert strength.ug_per_ml
    last_mark = GRADUATIONS[line.syringe_ml]
    assert abs(line.drawn_ml - kg * 10 / strength.ug_per_ml) <= last_mark / 2 + 0.0005 + 1e-6
    for one in line.shots:
        drawn = one.drawn_ml if one.liquid_ml is None else one.liquid_ml
        marks = (drawn or 0) / GRADUATIONS[one.syringe_ml or 0]
        assert marks == pytest.approx(round(marks), abs=1e-6)


@given(weights, strengths)
def test_double_strength_halves_the_volume_and_keeps_the_dose(kg: float, strength: Strength) -> None:
    assert strength.ug_per_ml
    assert strength.mg_per_ml
    once = sheet(female(kg), strength=strength)
    twice = sheet(female(kg), strength=Strength(strength.ug_per_ml * 2, strength.mg_per_ml * 2))
    assert twice.ml_per_kg == pytest.approx(once.ml_per_kg / 2)
    assert twice.lines[0].final_ml == pytest.approx((once.lines[0].final_ml or 0) / 2, abs=0.0076)
    assert twice.lines[0].shots[0].amount == once.lines[0].shots[0].amount
    assert (twice.per_kg, twice.mg_per_kg) == (once.per_kg, pytest.approx(once.mg_per_kg))


@given(st.lists(weights, min_size=1, max_size=6))
def test_what_is_drawn_from_the_bottle_is_enough_and_on_a_mark(kilos: list[float]) -> None:
    told = sheet(*(female(kg, f"F{n}") for n, kg in enumerate(kilos, start=1)))
    assert told.total_ml == pytest.approx(sum(line.drawn_ml or 0 for line in told.lines), abs=0.0051)
    assert told.total_ml is not None
    assert told.draw_ml is not None
    assert told.draw_ml >= told.total_ml * 1.1 - 1e-6
    # a mark of the 10 mL syringe, and five of the finest one where a part is thinned
    assert told.draw_ml <= told.total_ml * 1.1 + 0.5 + 0.05


# Other preparations and several shots ----------------------------------------------------------------------


def hcg(*shares: float, usual: float = 2500.0) -> Card:
    """Striped catfish by hCG, from memory: 2500-4500 IU/kg in all, 500 once or more, then the rest."""
    total = figure(2500, usual, 4500, "IU/kg")
    return carp(DoseRule("hcg", "f", shares, iu_per_kg=total))


def test_iu_through_a_vial() -> None:
    """2500 IU/kg x 4 kg are 10,000 IU; 5000 IU in 5 mL are 1000 IU per mL: 10 mL."""
    told = doses([female(4)], hcg(1.0), "hcg", Strength(iu_per_vial=5000, diluent_ml=5))
    (line,) = told.lines
    assert (told.per_kg, told.unit, told.ml_per_kg, line.final_ml) == (2500, "IU", 2.5, 10.0)
    assert line.shots[0].amount == 10_000 and "vial-not-told" not in told.warnings


def test_without_a_vial_there_are_iu_and_no_millilitres() -> None:
    told = doses([female(4)], hcg(0.2, 0.8), "hcg", None)
    (line,) = told.lines
    assert [(shot.role, shot.amount, shot.ml) for shot in line.shots] == [
        ("priming", 2000, None),
        ("resolving", 8000, None),
    ]
    assert (told.total, told.make, told.total_ml, line.drawn_ml) == (10_000, 11_000, None, None)
    assert "vial-not-told" in told.warnings and "too-small" not in told.warnings


@pytest.mark.parametrize(
    ("primings", "total", "code"), [(1, 2500, ""), (2, 3000, ""), (5, 4500, ""), (6, 5000, "over-range")]
)
def test_a_priming_shot_more_is_judged_on_the_sum(primings: int, total: float, code: str) -> None:
    """500 IU/kg each time, then 2000: what counts is IU/kg over all shots, beside 2500-4500."""
    told = doses([female(1)], hcg(0.2, 0.8), "hcg", None, primings=primings)
    assert (told.per_kg, len(told.lines[0].shots)) == (pytest.approx(total), primings + 1)
    assert [each for each in told.warnings if each.endswith("-range")] == [code] * bool(code)


def test_a_scheme_of_one_shot_has_no_priming() -> None:
    told = doses([female(1)], hcg(1.0), "hcg", None, primings=3)
    assert [shot.role for shot in told.lines[0].shots] == ["only"] and told.per_kg == 2500


def test_fewer_priming_shots_may_be_too_little() -> None:
    told = doses([female(1)], hcg(0.5, 0.5, usual=2600), "hcg", None, primings=0)
    assert told.per_kg == 1300 and "under-range" in told.warnings


def test_glands_are_weighed_in_milligrams_of_gland() -> None:
    """Brzuska, published: 0.3 + 2.7 mg/kg, so 1.2 + 10.8 mg for 4 kg."""
    gland = DoseRule("pituitary", "f", (0.1, 0.9), gland_mg_per_kg=figure(3, 3, 6, "mg/kg"))
    told = doses([female(4)], carp(gland), "pituitary", None)
    assert [shot.amount for shot in told.lines[0].shots] == [1.2, 10.8] and told.unit == "mg"
    assert "gland-unknown" in told.warnings


def test_two_vials_show_both_parts() -> None:
    """Tan-Fermin 1997, published: 50 ug of the analogue and 1 mg of the blocker per kg."""
    both = DoseRule(
        "lhrha", "f", (1.0,), ug_per_kg=figure(20, 50, 50, "ug/kg"), mg_per_kg=figure(1, 1, 10, "mg/kg")
    )
    (shot,) = doses([female(0.2)], carp(both), "lhrha", None).lines[0].shots
    assert (shot.amount, shot.unit, shot.blocker_mg) == (10, "ug", 0.2)


# The farm's own dose --------------------------------------------------------------------------------------


def test_an_own_dose_stands_in_the_place_of_the_cards() -> None:
    """0.8 mL/kg of the common 20 ug/mL are 16 ug/kg; a male gets half, as of the card's."""
    told = doses(PAIR, carp(), "premix", COMMON_STRENGTH, own=OwnDose(0.8, "mL"))
    assert (told.per_kg, told.mark, told.basis[0]) == (16.0, "the farm's own", "farm")
    assert [shot.amount for line in told.lines for shot in line.shots] == pytest.approx(
        [16 * line.kg * (1 if line.sex == "f" else 0.5) for line in told.lines]
    )


@pytest.mark.parametrize(("ug", "code"), [(4.0, "under-range"), (10.0, ""), (20.0, "over-range")])
def test_an_own_dose_is_held_against_the_cards_range(ug: float, code: str) -> None:
    told = doses([female(2.0)], carp(), "premix", COMMON_STRENGTH, own=OwnDose(ug, "ug"))
    assert (code in told.warnings) if code else not {"under-range", "over-range"} & set(told.warnings)


@given(strengths, st.floats(0.1, 3.0))
def test_over_twice_is_judged_in_active_substance(strength: Strength, ml: float) -> None:
    over = over_twice(carp(), "premix", strength, OwnDose(ml, "mL"))
    ug = ml * (strength.ug_per_ml or 0)
    assert (over is not None) == (ug > 2 * 16.0 * 1.02)  # the card's range goes up to 16 ug/kg


def test_a_dose_in_what_it_is_not_dosed_by_is_refused() -> None:
    with pytest.raises(HatchError, match="wrong-dose-unit"):
        doses([female(2.0)], carp(), "premix", COMMON_STRENGTH, own=OwnDose(5.0, "mg"))
    with pytest.raises(NoFigure):
        doses([female(2.0)], carp(), "hcg", None, own=OwnDose(0.5, "mL"))  # no vial told


def test_an_own_preparation_goes_by_its_own_dose_alone() -> None:
    told = doses(PAIR, carp(), "own", None, own=OwnDose(0.4, "mL"))
    assert [line.final_ml for line in told.lines] == [0.96, 1.24, 0.38, 0.4]
    with pytest.raises(NoFigure):
        doses(PAIR, carp(), "own", None)


def test_what_went_in_is_what_the_syringe_could_show() -> None:
    """1.6 mL at 20 ug are 32 ug, where 31 were worked out; what was told as substance, and what no label
    tells of, stays as it was."""
    run = fold(
        [
            Event(1, 1, 1, T0, T0, Opened("african-catfish", "stripped", "premix", Strength(20.0, 10.0))),
            Event(2, 1, 1, T0, T0, FishWeighed((FishWeight("F2", "f", 3.1),))),
        ]
    )
    drawn = Shot(1, "only", T0, 1.6, 1, 3, sheet_ml=1.6, sheet_amount=31.0, unit="ug")
    assert (went_in(run, drawn), amount_of(run, drawn)) == (32.0, 31.0)
    assert went_in(run, replace(drawn, ml=0.8, share=0.5)) == 16.0
    assert went_in(run, replace(drawn, ml=None, amount=30.0)) == 30.0
    assert went_in(replace(run, strength=None), drawn) == 31.0
