"""Larvae in cups, against scipy, printed tables and worked examples."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from core.errors import HatchError
from core.larvae import (
    chi_square_95,
    dispersion,
    eggs_to_count,
    from_cups,
    is_uneven,
    larvae_to_count,
    poisson_interval,
)

CUPS = [12.0, 15.0, 11.0, 14.0, 13.0]


def test_the_mean_times_how_often_a_cup_goes_into_the_water() -> None:
    """Reference E098 (standard sampling theory): N = mean count x (V/v)."""
    found = from_cups(CUPS, 50, 100)
    assert (found.larvae, found.mean, found.counted, found.uneven) == (26_000, 13.0, 65.0, False)
    assert (found.low, found.high) == (20_000, 34_000)


def test_no_sample_is_better_than_chance() -> None:
    """Reference E098: at best the coefficient of variation is 1 / sqrt(total counted), here 12.4 %."""
    found = from_cups(CUPS, 50, 100)
    assert found.low < 26_000 * (1 - 1.96 / 65**0.5) * 1.03
    assert found.high > 26_000 * (1 + 1.96 / 65**0.5)


# Statistics, against others ---------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def chi_square() -> Callable[[float, float], Any]:
    """scipy's chi-square quantile; loaded here since scipy takes seconds."""
    from scipy.stats import chi2

    return lambda share, degrees: chi2.ppf(share, degrees)


@pytest.mark.parametrize("counted", [5, 13, 65, 400, 2000])
def test_byar_near_the_exact_limits(chi_square: Callable[[float, float], Any], counted: int) -> None:
    """Garwood's limits (reference E097) by scipy: half the chi-square of 2k and of 2k + 2 degrees."""
    low, high = poisson_interval(counted)
    assert low == pytest.approx(chi_square(0.025, 2 * counted) / 2, rel=0.01)
    assert high == pytest.approx(chi_square(0.975, 2 * counted + 2) / 2, rel=0.001)


def test_none_counted_may_be_a_few() -> None:
    """Exact upper limit of none: 3.689, as the manual of R's epitools prints it (pois.exact)."""
    low, high = poisson_interval(0)
    assert low == 0.0
    assert high == pytest.approx(3.689, abs=0.03)


@pytest.mark.parametrize(
    ("degrees", "printed"),
    # Upper 5 % points of chi-square, NIST/SEMATECH e-Handbook of Statistical Methods, table 1.3.6.7.4
    [(1, 3.841), (2, 5.991), (4, 9.488), (9, 16.919), (19, 30.144), (30, 43.773)],
)
def test_when_cups_differ_more_than_chance(degrees: int, printed: float) -> None:
    assert chi_square_95(degrees) == pytest.approx(printed, rel=0.025)


@pytest.mark.parametrize(
    ("percent", "larvae"),
    [(20, 96), (10, 384), (5, 1537)],  # reference E099: (1.96 / e) squared
)
def test_how_many_larvae_to_count(percent: float, larvae: int) -> None:
    assert larvae_to_count(percent) == larvae


def test_how_many_eggs_to_count() -> None:
    """Cochran 1977, 4.4: with t = 2, half of them and 5 points, n = 400 (from memory); 1.96 for 2 makes that
    384, the largest sample in the table of Krejcie and Morgan 1970."""
    assert eggs_to_count(5) == 384
    assert eggs_to_count(5) == pytest.approx(400 * 1.96**2 / 4, abs=0.5)
    assert eggs_to_count(10, 80) == 61


# What must hold --------------------------------------------------------------------------------------------

counts = st.lists(st.integers(0, 400).map(float), min_size=1, max_size=12)
volumes = st.floats(1, 1000).map(lambda ml: round(ml, 1))
litres = st.floats(20, 100_000).map(lambda each: round(each, 1))


@given(counts=counts, cup_ml=volumes, water=litres)
def test_the_interval_holds_the_estimate(counts: list[float], cup_ml: float, water: float) -> None:
    assume(cup_ml * len(counts) < 1000 * water)
    found = from_cups(counts, cup_ml, water)
    assert 0 <= found.low <= found.larvae <= found.high


@given(counts=counts, cup_ml=volumes, water=litres, times=st.integers(2, 50))
def test_ten_times_the_water_holds_ten_times_the_larvae(
    counts: list[float], cup_ml: float, water: float, times: int
) -> None:
    assume(cup_ml * len(counts) < 1000 * water)
    one, more = from_cups(counts, cup_ml, water), from_cups(counts, cup_ml, water * times)
    assert more.larvae == pytest.approx(times * one.larvae, abs=times)


@given(counts=counts, times=st.integers(2, 6))
def test_more_cups_of_the_same_mean_never_widen_it(counts: list[float], times: int) -> None:
    few, many = from_cups(counts, 50, 1000), from_cups(counts * times, 50, 1000)
    assert many.larvae == few.larvae
    rounding = 0.2 * (few.high - few.low)
    assert many.high - many.low <= few.high - few.low + rounding


@given(counts=st.lists(st.integers(0, 400).map(float), min_size=2, max_size=12))
def test_the_order_of_cups_does_not_matter(counts: list[float]) -> None:
    assert from_cups(counts, 50, 1000) == from_cups(counts[::-1], 50, 1000)


def test_stir_and_count_again() -> None:
    assert not is_uneven(CUPS)
    assert is_uneven([10.0, 30.0, 12.0, 8.0])
    assert not is_uneven([13.0])
    assert dispersion([0.0, 0.0]) == 0.0
    even, uneven = from_cups([15.0] * 4, 50, 100), from_cups([10.0, 30.0, 12.0, 8.0], 50, 100)
    assert even.larvae == uneven.larvae
    assert uneven.low < even.low
    assert uneven.high > even.high


def test_uneven_is_said_of_stirred_water_once_in_twenty_times() -> None:
    """numpy's Poisson cups, as outside larvae that swim at random: of 4000 samples of five about 200."""
    import numpy

    cups = numpy.random.default_rng(20).poisson(13.0, (4000, 5))
    said = sum(is_uneven([float(each) for each in row]) for row in cups)
    assert 140 <= said <= 260


@pytest.mark.parametrize(
    ("counts", "cup_ml", "water", "code"),
    [
        ([], 50, 100, "no-cups"),
        ([1.0, -1.0], 50, 100, "bad-count"),
        ([float("nan")], 50, 100, "bad-count"),
        (CUPS, 50, 0.2, "cups-over-water"),
        (CUPS, 0, 100, "not-positive"),
        (CUPS, 50, 0, "not-positive"),
    ],
)
def test_what_cannot_be(counts: list[float], cup_ml: float, water: float, code: str) -> None:
    with pytest.raises(HatchError) as fault:
        from_cups(counts, cup_ml, water)
    assert fault.value.code in (code, "cups-over-water" if water == 0 else code)


@pytest.mark.parametrize("percent", [0, -1, 100, float("nan")])
def test_how_close_cannot_be(percent: float) -> None:
    for how_many in (larvae_to_count, eggs_to_count):
        with pytest.raises(HatchError, match="bad-percent"):
            how_many(percent)
