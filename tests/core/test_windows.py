"""What must hold for every curve of every card, in any water its sources have seen."""

import math
from datetime import datetime, timedelta
from typing import get_args

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.errors import NoFigure
from core.records import Preparation
from core.species import Card, Curve, Hatching
from core.timing import Forecast, Window, forecast, progress, start_for, window
from tests.core.cards import curves, folder
from tests.core.waters import MINUTE, T0, after, hours, inside, steady

CARDS = folder().cards
CURVES = {f"{slug}-{name}": curve for slug, card in CARDS.items() for name, curve in curves(card).items()}
every_curve = pytest.mark.parametrize("curve", CURVES.values(), ids=CURVES.keys())
fixed = settings()  # as many as tests/conftest.py says: there are many curves

SHARES = st.floats(0, 1)
STEPS = st.floats(0.1, 9.0)
LOGS = st.lists(st.tuples(STEPS, SHARES), min_size=1, max_size=12)
WARMED = st.lists(
    st.tuples(STEPS, SHARES, SHARES), min_size=1, max_size=12
)  # (hours, share, how much of the rest)
SLACK = timedelta(milliseconds=1)
UNKNOWN = {"no-strip-figure", "no-hatch-figure", "no-first-feed-figure", "outside-source"}


def times_of(found: Window) -> tuple[datetime, ...]:
    return found.earliest, found.most_from, found.likely, found.most_to, found.latest


def test_every_card_has_a_curve() -> None:
    assert {slug for slug, card in CARDS.items() if not curves(card)} == set()


@every_curve
def test_the_factors_rise(curve: Curve) -> None:
    factors = curve.earliest, curve.most_from, curve.likely, curve.most_to, curve.latest
    assert all(map(math.isfinite, factors))
    assert 0 < curve.earliest < curve.most_from <= curve.likely <= curve.most_to < curve.latest


@every_curve
@fixed
@given(LOGS, st.floats(-1000, 1000))
def test_times_rise_from_the_start(curve: Curve, steps: list[tuple[float, float]], began: float) -> None:
    found = window(curve, after(began), inside(curve, steps))
    earliest, most_from, likely, most_to, latest = times_of(found)
    assert after(began) < earliest < most_from <= likely <= most_to < latest
    assert curve.min_celsius <= found.celsius <= curve.max_celsius
    fastest, slowest = curve.hours(curve.max_celsius), curve.hours(curve.min_celsius)
    assert fastest * curve.likely - 0.01 <= hours(likely) - began <= slowest * curve.likely + 0.01


@every_curve
@fixed
@given(LOGS, st.floats(-100, 400))
def test_the_inverse_comes_back_within_a_minute(
    curve: Curve, steps: list[tuple[float, float]], wanted: float
) -> None:
    water = inside(curve, steps)
    began = start_for(curve, after(wanted), water)
    assert abs(window(curve, began, water).likely - after(wanted)) <= MINUTE
    assert began < after(wanted)


@every_curve
@fixed
@given(WARMED, st.floats(-20, 60))
def test_water_that_is_warmer_at_every_hour_never_lengthens(
    curve: Curve, steps: list[tuple[float, float, float]], began: float
) -> None:
    cold = inside(curve, [(step, share) for step, share, _ in steps])
    warm = inside(curve, [(step, share + (1 - share) * more) for step, share, more in steps])
    assert all(warm.at(after(began + hour)) >= cold.at(after(began + hour)) - 1e-9 for hour in range(48))
    first, second = (times_of(window(curve, after(began), water)) for water in (cold, warm))
    for colder, warmer in zip(first, second, strict=True):
        assert warmer <= colder + SLACK


@every_curve
def test_the_warm_end_of_the_source_is_sooner_than_the_cold_one(curve: Curve) -> None:
    """Unless the curve says that warmth makes no difference."""
    cold, warm = (
        times_of(window(curve, T0, steady(celsius))) for celsius in (curve.min_celsius, curve.max_celsius)
    )
    if curve.flat_hours is not None:
        assert warm == cold
    elif curve.min_celsius < curve.max_celsius:
        assert all(sooner < later for sooner, later in zip(warm, cold, strict=True))


@every_curve
@fixed
@given(LOGS, st.floats(0, 60), st.floats(0.1, 60))
def test_the_sum_is_the_sum_of_its_parts(
    curve: Curve, steps: list[tuple[float, float]], one: float, other: float
) -> None:
    water = inside(curve, steps)
    middle, end = after(one), after(one + other)
    whole = progress(curve, T0, end, water)
    assert whole == pytest.approx(progress(curve, T0, middle, water) + progress(curve, middle, end, water))
    likely = window(curve, T0, water).likely
    assert progress(curve, T0, likely, water) == pytest.approx(curve.likely, abs=1e-6)


def asked(card: Card, what: Hatching, preparation: Preparation | None) -> Forecast | str:
    """The forecast for the middle of the card's best water, or the code of why there is none."""
    try:
        return forecast(card, what, steady(card.assumed_celsius), T0, preparation=preparation)
    except NoFigure as refused:
        return refused.code


@pytest.mark.parametrize("what", get_args(Hatching))
@pytest.mark.parametrize("card", CARDS.values(), ids=CARDS.keys())
def test_the_best_water_is_answered_or_refused_with_a_code(card: Card, what: Hatching) -> None:
    for preparation in (None, *get_args(Preparation)) if what == "strip" else (None,):
        found = asked(card, what, preparation)
        if isinstance(found, str):
            assert found in UNKNOWN
        else:
            assert 0 < found.earliest_hours < found.likely_hours < found.latest_hours < math.inf
