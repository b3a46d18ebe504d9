"""Orders worked back, every figure by hand from the card's; and what must hold of any order."""

from __future__ import annotations

import dataclasses
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core import orders
from core.errors import HatchError, NoFigure
from core.orders import Course, Females, Night, Own, OwnMean
from core.records import Strength
from tests.core.cards import folder

CARDS = folder().cards
CATFISH, CARP = CARDS["african-catfish"], CARDS["common-carp"]
NOTHING_OWN = Own()
MONDAY = datetime(2026, 6, 1, 4, 0, tzinfo=UTC)
HOUR = timedelta(hours=1)
FEEDING, HATCHED = (Course(CATFISH, "premix", 26.6, stage) for stage in ("feeding", "hatched"))


def calm(night: Night) -> int:
    """A house where somebody is always up."""
    return 0


def females_of(need: orders.Need) -> Females:
    assert need.females is not None
    return need.females


def origins(need: orders.Need) -> dict[str, tuple[float, str]]:
    return {each.what: (each.value, each.origin) for each in need.assumed}


# Eggs and females -----------------------------------------------------------------------------------------


def test_feeding_larvae_of_catfish_by_the_card() -> None:
    need = orders.need(CATFISH, 50_000, NOTHING_OWN, "feeding")
    # middles: hatch sqrt(28.4 x 83.5) = 48.7 %, eggs sqrt(8,700 x 95,700) = 28,900 a kg, a female
    # sqrt(0.3 x 10) = 1.73 kg; rules: 75 % give, 80 % live
    assert origins(need) == {
        "eggs-per-kg": (28_900, "card"),
        "gave-eggs": (75, "rule"),
        "hatched": (48.7, "card"),
        "reared": (80, "rule"),
        "female-kg": (1.73, "rule"),
        "eggs-per-gram": (650, "card"),
    }
    # 50,000 / 0.487 / 0.8 = 128,337 eggs, to three digits upward; / 650 = 197.4 g
    assert (need.eggs, need.grams) == (129_000, 197)
    # 128,337 / 28,900 / 0.75 = 5.92 kg; / 95,700 = 1.34 where all give; / 8,700 / 0.75 = 19.67
    # 5.92 / 1.73 = 3.4, so 4 females; half as many males
    assert females_of(need) == Females(4, 1.73, 5.92, 1.34, 19.67, 2, 1.73)
    assert {"de-graaf-1995", "okere-2015", orders.RULE_SOURCE} <= set(need.basis)
    assert need.mark == "from memory"


def test_larvae_that_go_before_they_feed_need_fewer_eggs() -> None:
    need = orders.need(CATFISH, 50_000, NOTHING_OWN, "hatched")
    assert need.eggs == 103_000  # 50,000 / 0.487 = 102,669
    assert "reared" not in origins(need)


def test_carp_takes_the_usual_figure_where_the_card_has_one() -> None:
    need = orders.need(CARP, 200_000, NOTHING_OWN, "feeding")
    known = origins(need)
    assert known["eggs-per-kg"] == (150_000, "card")
    # Kashmir: sqrt(55.5 x 88.8) = 70.2 % gave eggs, sqrt(56.3 x 71.1) = 63.3 % hatched
    assert (known["gave-eggs"], known["hatched"]) == ((70.2, "card"), (63.3, "card"))
    # 200,000 / 0.633 / 0.8 = 394,945 eggs; / 150,000 / 0.702 = 3.75 kg;
    # sqrt(0.5 x 15) = 2.74 kg each, so 2; two males to each
    assert (need.eggs, females_of(need).kg, females_of(need).number, females_of(need).males) == (
        395_000,
        3.75,
        2,
        4,
    )


def test_the_farms_own_runs_go_before_the_card() -> None:
    own = Own(
        hatched_percent=OwnMean(40, 30, 50, 3),
        gave_percent=OwnMean(90, 80, 100, 3),
        grams_per_kg=OwnMean(100, 80, 125, 2),
        female_kg=OwnMean(2, 1.8, 2.2, 3),
        eggs_per_gram=700,
    )
    need = orders.need(CATFISH, 50_000, own, "hatched")
    assert {whose for _, whose in origins(need).values()} == {"own"}
    # 50,000 / 0.4 = 125,000 eggs; / 700 = 178.6 g; 100 g x 700 = 70,000 a kg
    assert (need.eggs, need.grams) == (125_000, 179)
    # 125,000 / 70,000 / 0.9 = 1.98 kg: one female of 2 kg; / 87,500 = 1.43; / 56,000 / 0.9 = 2.48
    assert females_of(need) == Females(1, 2, 1.98, 1.43, 2.48, 1, 1.73)
    assert need.mark == "the farm's own"
    assert [each.runs for each in need.assumed] == [2, 3, 3, 3, 0]


def test_own_grams_go_through_the_cards_eggs_per_gram_where_nobody_counted() -> None:
    need = orders.need(CATFISH, 50_000, Own(grams_per_kg=OwnMean(100, 100, 100, 1)), "hatched")
    assert origins(need)["eggs-per-kg"] == (65_000, "own")
    assert "fao-ftp-362" in need.basis  # whose eggs per gram they are


def test_runs_that_gave_nothing_are_no_share_to_plan_by() -> None:
    nothing = OwnMean(0, 0, 0, 2)
    need = orders.need(CATFISH, 50_000, Own(nothing, nothing, nothing), "hatched")
    assert need == orders.need(CATFISH, 50_000, NOTHING_OWN, "hatched")


def test_without_eggs_per_kg_there_are_eggs_and_no_females() -> None:
    need = orders.need(CARDS["walking-catfish"], 50_000, NOTHING_OWN, "feeding")
    assert need.females is None
    assert need.eggs == 157_000  # 50,000 / 0.4 / 0.8 = 156,250, both rules of ours
    assert {"eggs-per-kg", "gave-eggs", "female-kg"}.isdisjoint(origins(need))


def test_what_the_farm_weighed_gives_females_where_nobody_published_any() -> None:
    own = Own(grams_per_kg=OwnMean(50, 50, 50, 1), eggs_per_gram=800)
    need = orders.need(CARDS["walking-catfish"], 30_000, own, "hatched")
    assert females_of(need).kg == 2.5  # 30,000 / 0.4 = 75,000 eggs; / (50 x 800) / 0.75


def test_no_larvae_are_no_order() -> None:
    with pytest.raises(HatchError, match="not-positive"):
        orders.need(CATFISH, 0, NOTHING_OWN, "feeding")


LARVAE = st.floats(1, 1e9)


@given(st.sampled_from(sorted(CARDS)), LARVAE, LARVAE, st.sampled_from(["hatched", "feeding"]))
def test_more_larvae_never_need_fewer_kilos(slug: str, one: float, other: float, stage: orders.Stage) -> None:
    few, many = (orders.need(CARDS[slug], larvae, NOTHING_OWN, stage) for larvae in sorted((one, other)))
    assert few.eggs <= many.eggs
    if few.females is None or many.females is None:
        assert few.females is many.females
        return
    fewer, more = dataclasses.astuple(few.females), dataclasses.astuple(many.females)
    assert all(a is None or a <= b for a, b in zip(fewer, more, strict=True))
    assert many.females.low_kg <= many.females.kg <= many.females.high_kg
    assert many.females.number * many.females.each_kg >= many.females.kg - 0.01 * many.females.number


# Hormone --------------------------------------------------------------------------------------------------

FOUR = Females(4, 1.73, 5.92, 1.34, 19.67, 2, 1.73)


def test_hormone_without_a_label_is_substance_alone() -> None:
    found = orders.hormone(CATFISH, FOUR, "premix", None)
    assert found is not None
    # 6.92 kg x 10 ug + 3.46 kg x 5 ug = 86.5 ug, and a tenth for waste
    assert (found.amount, found.unit, found.ml) == (95.15, "ug", None)


def test_hormone_through_the_farms_label() -> None:
    found = orders.hormone(CATFISH, FOUR, "premix", Strength(20.0, 10.0))
    assert found is not None
    assert found.ml == 4.8  # 6.92 x 0.5 = 3.46, 3.46 x 0.25 = 0.87; 4.33 x 1.1 = 4.76, up to a tenth


def test_a_label_of_another_substance_gives_no_millilitres() -> None:
    found = orders.hormone(CATFISH, FOUR, "premix", Strength(iu_per_vial=5000, diluent_ml=5))
    assert found is not None
    assert found.ml is None


def test_no_published_dose_is_no_hormone() -> None:
    assert orders.hormone(CATFISH, FOUR, "own", None) is None


# The night ------------------------------------------------------------------------------------------------

# At 26.6 C, from the needle: eggs 106.6 / (26.6 - 15.05) = 9.23 h, likely x 1.10 = 10.15, most by x 1.24 =
# 11.44. From there larvae 288 / (26.6 - 14.63) = 24.06 h, likely x 1.04 = 25.02, most by x 1.22 = 29.35; food
# after 72 h, 96 at most.


def test_what_follows_a_needle() -> None:
    night = orders.night_at(FEEDING, MONDAY)
    # 10.15 h; + 25.02 = 35.17 h; + 72 = 107.17 h; each back to the quarter
    assert night.eggs_at == MONDAY + 10 * HOUR
    assert night.hatch_at == MONDAY + 35 * HOUR
    assert night.feed_at == MONDAY + 107 * HOUR
    assert night.ready_at == MONDAY + 137 * HOUR  # 11.44 + 29.35 + 96 = 136.80 h, on to the quarter


def test_hatched_larvae_do_not_wait_for_food() -> None:
    night = orders.night_at(HATCHED, MONDAY)
    assert (night.feed_at, night.ready_at) == (None, MONDAY + 41 * HOUR)  # 11.44 + 29.35 = 40.80 h


def test_counted_back_from_the_wanted_hour() -> None:
    night = orders.last_night(FEEDING, MONDAY + 164 * HOUR, MONDAY, calm)
    assert night is not None
    assert night.final_at == MONDAY + 27 * HOUR  # 164 - 137


def test_of_the_day_before_the_hour_with_the_least_trouble() -> None:
    def only_at_ten(night: Night) -> int:
        return night.final_at.hour != 22

    night = orders.last_night(FEEDING, MONDAY + 164 * HOUR, MONDAY, only_at_ten)
    assert night is not None
    assert night.final_at == datetime(
        2026, 6, 1, 22, 30, tzinfo=UTC
    )  # the later of the two halves of that hour


def test_too_late_and_what_is_earliest() -> None:
    # half an hour to get ready, then 137 h
    ready = MONDAY + 137.5 * HOUR
    assert orders.earliest_ready(FEEDING, MONDAY) == ready
    assert orders.last_night(FEEDING, ready - timedelta(minutes=1), MONDAY, calm) is None
    night = orders.last_night(FEEDING, ready, MONDAY, calm)
    assert night is not None
    assert night.final_at == MONDAY + 0.5 * HOUR


def test_a_first_shot_lies_before_the_final_one() -> None:
    pituitary = Course(CARP, "pituitary", 23.0, "hatched")
    night = orders.night_at(pituitary, MONDAY)
    shots = [(shot.role, shot.at) for shot in night.shots]
    assert shots == [("priming", MONDAY - 10 * HOUR), ("resolving", MONDAY)]  # two shots, 10 h apart
    # so the final one cannot be sooner than half an hour and ten from now
    assert orders.earliest_ready(pituitary, MONDAY) - MONDAY > 10.5 * HOUR


def test_every_shot_of_a_scheme_is_a_shot_of_the_night() -> None:
    """Striped catfish by hCG: three primings, 23, 23 and 10 h apart."""
    night = orders.night_at(Course(CARDS["striped-catfish"], "hcg", 29.0, "hatched"), MONDAY)
    assert [shot.at for shot in night.shots] == [MONDAY - hours * HOUR for hours in (56, 33, 10, 0)]
    assert [shot.role for shot in night.shots] == ["priming"] * 3 + ["resolving"]


def test_water_that_nobody_reported_gives_no_night() -> None:
    for celsius, why in ((17.0, "too-cold"), (34.0, "too-warm"), (33.0, "outside-source")):
        with pytest.raises(NoFigure, match=why):
            orders.night_at(dataclasses.replace(FEEDING, celsius=celsius), MONDAY)


def test_without_hours_to_hatching_there_is_no_night() -> None:
    card = dataclasses.replace(CATFISH, hatch=None)
    with pytest.raises(NoFigure, match="no-hatch-figure"):
        orders.night_at(dataclasses.replace(FEEDING, card=card), MONDAY)


@given(st.sampled_from(sorted(CARDS)), st.floats(0, 400), st.floats(0, 23.99))
def test_whatever_the_hour_the_larvae_are_ready_in_time(slug: str, ahead: float, hour: float) -> None:
    card, now = CARDS[slug], MONDAY + hour * HOUR
    course = Course(card, card.usual_preparation, card.assumed_celsius, "feeding")
    wanted = now + ahead * HOUR
    night = orders.last_night(course, wanted, now, lambda each: each.final_at.hour)
    if night is None:
        assert orders.earliest_ready(course, now) > wanted
        return
    assert night.shots[0].at >= now + timedelta(minutes=30)
    assert night.final_at < night.eggs_at < night.hatch_at < night.ready_at <= wanted
