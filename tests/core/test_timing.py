"""Windows against published hours, and what must hold for any water."""

import dataclasses
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from core.errors import NoFigure
from core.species import Curve, Hatching
from core.timing import Water, forecast, hold, progress, start_for, window
from tests.core.cards import folder
from tests.core.waters import MINUTE, T0, after, hours, log, steady

CARDS = folder().cards
CATFISH, CARP = CARDS["african-catfish"], CARDS["common-carp"]
PREMIX, _ = CATFISH.strip_curve("premix", 1)
GLAND, _ = CATFISH.strip_curve("pituitary", 1)
NEST, _ = CARP.strip_curve("premix", 1)


# Published and known hours ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("celsius", "strip", "hatch"),
    # Hogendoorn & Vismans 1980, as tabulated in FAO FTP 362, from memory
    [
        (20, 21, 57), (21, 18, 46), (22, 15.5, 38), (23, 13.5, 33), (24, 12, 29), (25, 11, 27), (26, 10, 25),
        (27, 9, 23), (28, 8, 22), (29, 7.5, 21), (30, 7, 20),
    ],
)  # fmt: skip
def test_the_african_catfish_tables(celsius: float, strip: float, hatch: float) -> None:
    assert CATFISH.hatch is not None
    assert PREMIX.hours(celsius) == pytest.approx(strip, rel=0.03)
    assert CATFISH.hatch.hours(celsius) == pytest.approx(hatch, rel=0.07)
    for curve, seen in ((PREMIX, strip), (GLAND, strip), (CATFISH.hatch, hatch)):
        found = window(curve, T0, steady(celsius))
        assert hours(found.earliest) < seen < hours(found.latest)


def test_the_words_of_the_model() -> None:
    """First look 04:45, most 05:30-08:00, after 10:30 unlikely: a premix at 20:30 in water nobody told."""
    found = window(PREMIX, T0, steady(CATFISH.assumed_celsius))
    quarter = timedelta(minutes=15)
    assert timedelta() <= found.earliest - datetime(2025, 3, 2, 4, 45, tzinfo=UTC) < quarter
    assert timedelta() <= found.most_from - datetime(2025, 3, 2, 5, 30, tzinfo=UTC) < quarter
    assert timedelta() <= datetime(2025, 3, 2, 8, 0, tzinfo=UTC) - found.most_to < quarter
    assert timedelta() <= datetime(2025, 3, 2, 10, 30, tzinfo=UTC) - found.latest < quarter
    assert found.most_from < found.likely < found.most_to
    assert not found.wide and found.celsius == CATFISH.assumed_celsius and found.mark == "from memory"


@pytest.mark.parametrize(
    ("curve", "celsius", "seen"),
    [
        (PREMIX, 26.6, 9), (PREMIX, 26.6, 12),  # Sharaf 2012, water untold
        (PREMIX, 27, 9),  # trade: 8-10 h near 26-28 C; its ends stand in outside_checks.py
        (CATFISH.hatch, 26, 24), (CATFISH.hatch, 27, 24),  # trade: about 24 h near 26-27 C
        (NEST, 24, 12), (NEST, 25.5, 10), (NEST, 25.5, 12), (NEST, 27, 10),  # trade: 10-12 h, 24-27 C
        (CARP.hatch, 20, 84), (CARP.hatch, 22, 72),  # FAO 201
        (CARP.hatch, 20, 100), (CARP.hatch, 18, 144),  # Nepal lesson, weak: the ends of 100-144 h, 18-20 C
    ],
)  # fmt: skip
def test_independent_hours_lie_inside(curve: Curve, celsius: float, seen: float) -> None:
    found = window(curve, T0, steady(celsius))
    assert hours(found.earliest) < seen < hours(found.latest)


def test_carp_on_the_nest_is_likely_after_ten_to_twelve_hours() -> None:
    assert 10 < hours(window(NEST, T0, steady(25.5)).likely) < 12  # trade, middle of 24-27 C
    assert 36 < NEST.hours(16) < 40  # Kashmir: 38 h in cool water, if that was 16 C


def test_carp_gland_degree_hours() -> None:
    gland, _ = CARP.strip_curve("pituitary", 2)
    for celsius in (20, 22, 24):  # Horvath et al. 2002: 240-260 degree-hours after the resolving injection
        assert 240 <= celsius * hours(window(gland, T0, steady(celsius)).likely) <= 260


# Water -----------------------------------------------------------------------------------------------------


def test_water_of_a_log() -> None:
    water = log((0, 24.0), (6, 27.0), (30, 25.0))
    for when, celsius in {
        -5: 24.0,  # as the first
        2: 25.0,
        6: 27.0,
        18: 26.0,
        30: 25.0,
        31: 27.0 - 1 / 12,  # as 7 h
        54: 25.0,  # as 30 h
        54.001: 27.0,  # as 6.001 h
        66: 26.0,  # as 42 h, which is as 18 h
    }.items():
        assert water.at(after(when)) == pytest.approx(celsius, abs=1e-3)


def test_hours_that_the_log_does_not_cover_are_held() -> None:
    water = log((0, 24.0), (6, 28.0))
    assert water.at(after(20)) == 28.0  # nothing was read 24 h before
    assert water.at(after(27)) == pytest.approx(26.0)  # as 3 h
    assert water.at(after(40)) == 28.0
    assert log((0, 24.0)).at(after(100)) == 24.0
    assert Water((), 26.6).at(T0) == 26.6


def test_readings_must_rise() -> None:
    with pytest.raises(ValueError, match="ascending"):
        log((1, 25.0), (0, 26.0))
    with pytest.raises(ValueError, match="ascending"):
        log((1, 25.0), (1, 26.0))


PLAIN = Curve(100.0, 15.0, 20.0, 30.0, 0.8, 0.9, 1.0, 1.2, 1.5, ("x",), "published")


def test_by_hand_over_a_change() -> None:
    """100 degree-hours above 15: 4 h at 25 are 0.4; the rest at 30 takes 4 h."""
    water = log((0, 25.0), (4, 25.0), (4.0001, 30.0), (40, 30.0))
    assert hours(window(PLAIN, T0, water).likely) == pytest.approx(8, abs=0.01)


def test_by_hand_over_a_slope() -> None:
    """From 20 to 30 in 20 h: 5t + t*t/4 degree-hours above 15 reach 100 after 12.36 h."""
    found = window(PLAIN, T0, log((0, 20.0), (20, 30.0), (60, 30.0)))
    assert hours(found.likely) == pytest.approx(-10 + 500**0.5, abs=1e-6)
    assert found.celsius == pytest.approx(20 + hours(found.likely) / 4)


def test_a_day_carried_forward() -> None:
    """A swing of 24 h: 25 by day, 21 by night; the second night comes without being logged."""
    water = log((0, 25), (11, 25), (12, 21), (23, 21), (24, 25))
    slow = dataclasses.replace(PLAIN, degree_hours=300.0)
    # degree-hours above 15: a day gives 10*11 + 8*1 + 6*11 + 8*1 = 192, then 108 more at 10 an hour
    assert hours(window(slow, T0, water).likely) == pytest.approx(24 + 10.8, abs=1e-6)


def test_hours_far_outside_the_source_add_nothing() -> None:
    water = log((0, 25), (5, 25), (5.001, 17), (15, 17), (15.001, 25), (50, 25))
    found = window(PLAIN, T0, water)
    assert hours(found.likely) == pytest.approx(20, abs=0.01)
    assert found.wide  # some of the water was outside


def test_within_two_degrees_the_window_is_wider() -> None:
    inside, outside = window(PLAIN, T0, steady(30)), window(PLAIN, T0, steady(31))
    assert not inside.wide and outside.wide
    spread = hours(outside.latest) / hours(outside.earliest)
    assert spread == pytest.approx(1.5 * 1.1 / (0.8 * 0.9), abs=1e-6)
    assert hours(outside.likely) == pytest.approx(100 / 16, abs=1e-6)
    with pytest.raises(NoFigure):
        window(PLAIN, T0, steady(32.01))


def test_water_that_stays_cold_is_never_reached() -> None:
    water = log((0, 25), (3, 25), (4, 16), (30, 16))
    with pytest.raises(NoFigure) as refused:
        window(PLAIN, T0, water)
    assert refused.value.code == "not-reached"


def test_water_a_hair_above_the_zero_point_is_given_up() -> None:
    with pytest.raises(NoFigure) as refused:
        window(dataclasses.replace(PLAIN, zero_celsius=19.0), T0, steady(19.000001))  # 100 million hours
    assert refused.value.code == "not-reached"


def test_slow_water_is_not_given_up() -> None:
    """Carp eggs at 17 C take 144 h: longer than 72 h after the one reading, and still known."""
    assert CARP.hatch is not None
    assert hours(window(CARP.hatch, T0, log((0, 17.0))).likely) == pytest.approx(144 * 1.02)


@pytest.mark.parametrize(
    ("celsius", "why"),
    [(18.8, "too-cold"), (33.3, "too-warm"), (32.5, "outside-source"), (32, None), (18.9, None), (26, None)],
)
def test_hold(celsius: float, why: str | None) -> None:
    """Tolerated 18.9-33.2 (Prokesova et al. 2015), source 20-30."""
    assert hold(PREMIX, CATFISH.tolerated_celsius, celsius) == why


# forecast --------------------------------------------------------------------------------------------------


def test_forecast_of_the_usual_preparation() -> None:
    found = forecast(CATFISH, "strip", steady(26), T0)
    assert (found.preparation, found.shots, found.celsius) == ("premix", 1, 26)
    assert found.earliest_hours < 613 / 60 < found.latest_hours  # Okere et al. 2015
    assert found.give_up_hours == pytest.approx(found.latest_hours + 2, abs=0.011)
    assert found.likely_hours == round(found.likely_hours, 2) == round(hours(found.likely_at), 2)
    assert (found.source_celsius, found.mark, found.note) == ((20, 30), "from memory", ())
    assert "hogendoorn-vismans-1980" in found.basis


def test_forecast_of_a_preparation_without_a_curve() -> None:
    found = forecast(CATFISH, "strip", steady(26), T0, preparation="hcg")
    assert "borrowed-curve" in found.note
    assert found.latest_hours / found.earliest_hours >= 2.0


def test_forecast_of_hatching_and_first_feed() -> None:
    hatch = forecast(CATFISH, "hatch", steady(26.5), T0)
    assert hatch.earliest_hours < 24 < hatch.latest_hours and hatch.give_up_hours is None
    feed = forecast(CATFISH, "first-feed", steady(27), T0)
    # FAO FTP 362: 2.5-3 days at 26-28 C; Behmene et al. 2022: most on the fourth day
    assert (feed.earliest_hours, feed.likely_hours, feed.latest_hours) == (60, 72, 96)
    assert feed.note == ("flat",) and feed.source_celsius == (26, 28)
    # FAO Training Series 8: 3-4 days at 20-24 C
    assert forecast(CARP, "first-feed", steady(22), T0).earliest_hours == 72


@pytest.mark.parametrize("celsius", [17.99, 32.01])
def test_forecast_refuses_what_lies_further_out(celsius: float) -> None:
    with pytest.raises(NoFigure) as refused:
        forecast(CATFISH, "strip", steady(celsius), T0)
    assert refused.value.code == "outside-source"
    assert refused.value.params["source_celsius"] == (20, 30)


def test_forecast_near_the_edge_says_so() -> None:
    assert forecast(CATFISH, "strip", steady(18.5), T0).note == ("widened",)


@pytest.mark.parametrize(
    ("what", "code"),
    [("strip", "no-strip-figure"), ("hatch", "no-hatch-figure"), ("first-feed", "no-first-feed-figure")],
)
def test_forecast_without_a_figure(what: Hatching, code: str) -> None:
    bare = dataclasses.replace(CATFISH, strip=(), hatch=None, first_feed_hours=None)
    with pytest.raises(NoFigure) as refused:
        forecast(bare, what, steady(26), T0)
    assert refused.value.code == code


def test_forecast_over_a_log_moves_with_a_cold_night() -> None:
    warm = forecast(CATFISH, "strip", log((0, 27), (12, 27)), T0)
    cold = forecast(CATFISH, "strip", log((0, 27), (4, 23), (12, 23)), T0)
    assert warm.likely_hours < cold.likely_hours and 23 < cold.celsius < 27
    assert cold.likely_at == pytest.approx(after(cold.likely_hours), abs=MINUTE)


def test_forecast_is_given_up_72_hours_after_the_log() -> None:
    assert forecast(CARP, "hatch", log((0, 20), (30, 20)), T0).likely_hours == pytest.approx(91.8)
    with pytest.raises(NoFigure) as refused:
        forecast(CARP, "hatch", log((0, 20), (10, 20)), T0)  # 91.8 h: 81.8 h after the last reading
    assert refused.value.code == "not-reached"


# Any water ----------------------------------------------------------------------------------------------


def test_no_start_for_an_hour_in_cold_water() -> None:
    water = log((0, 25), (20, 25), (21, 15), (40, 15))
    assert abs(window(PLAIN, start_for(PLAIN, after(18), water), water).likely - after(18)) <= MINUTE
    for hour in (35, 3000):
        with pytest.raises(NoFigure) as refused:
            start_for(PLAIN, after(hour), water)
        assert refused.value.code == "no-start"


@settings(max_examples=40, deadline=None)
@given(st.lists(st.tuples(st.floats(0.2, 9.0), st.floats(10, 38)), min_size=1, max_size=10))
def test_the_sum_against_small_steps_through_the_log(steps: list[tuple[float, float]]) -> None:
    """Water that also leaves the source: 40 h in steps of a minute, read with `Water.at`."""
    at, readings = 0.0, []
    for step, celsius in steps:
        at += step
        readings.append((at, celsius))
    water = log(*readings)
    total = 0.0
    for minute in range(40 * 60):
        celsius = water.at(after((minute + 0.5) / 60))
        if 18 <= celsius <= 32:
            total += (celsius - 15) / 100 / 60
    assert progress(PLAIN, T0, after(40), water) == pytest.approx(total, abs=0.02)


@given(st.floats(20, 30), st.floats(20, 30))
def test_a_curve_that_is_flat(one: float, other: float) -> None:
    assume(one != other)
    flat = dataclasses.replace(PLAIN, flat_hours=10.0)
    assert window(flat, T0, steady(one)).latest == window(flat, T0, steady(other)).latest == after(15)
