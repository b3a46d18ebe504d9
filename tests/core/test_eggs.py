"""Counts against scipy and published examples; ids are of the reference."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.eggs import (
    Share,
    eggs_from_grams,
    eggs_from_litres,
    grams_suspicious,
    hatched,
    in_vessels,
    larvae_of,
    milt_ml,
    own_count,
    share,
)
from core.errors import HatchError
from core.records import CountOf, OwnCount
from core.species import Card, Figure, Holding
from tests.core.cards import bare_carp


def figure(usual: float | None, unit: str) -> Figure:
    return Figure(low=5, high=30, usual=usual, unit=unit, sources=("fao-training-8",), mark="published")


def carp(milt: Figure | None) -> Card:
    """A card with nothing but the milt figure."""
    return bare_carp(figure(23, "degC"), figure(5, "kg"), milt_ml_per_kg_eggs=milt)


# Shares ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("good", "total", "low", "high"),
    [
        # Newcombe 1998: at 80 %, samples of 100, 200 and 400 eggs
        (80, 100, 71, 87),
        (160, 200, 74, 85),
        (320, 400, 76, 84),
        # Newcombe 1998, Stat. Med. 17:857-872, method 3 (from memory): 15/148 0.0624-0.1605, 1/29 to 0.1718;
        # three more rows of it stand in outside_checks.py
        (15, 148, 6, 16),
        (1, 29, 1, 17),
    ],
)
def test_published_intervals(good: int, total: int, low: int, high: int) -> None:
    counted = share(good, total)
    assert (counted.low, counted.high) == (low, high)


@pytest.fixture(scope="module")
def proportion() -> Callable[[int, int], Any]:
    """scipy's Wilson interval. scipy takes seconds to load, so it is loaded here."""
    from scipy.stats import binomtest

    return lambda good, total: binomtest(good, total).proportion_ci(0.95, method="wilson")


@given(count=st.integers(1, 20000).flatmap(lambda total: st.tuples(st.integers(0, total), st.just(total))))
def test_wilson_as_scipy_has_it(proportion: Callable[[int, int], Any], count: tuple[int, int]) -> None:
    good, total = count
    counted = share(good, total)
    outside = proportion(good, total)
    assert counted.percent == pytest.approx(100 * good / total, abs=0.05 + 1e-9)
    assert 0 <= counted.low <= counted.percent <= counted.high <= 100
    for ours, theirs in ((counted.low, outside.low), (counted.high, outside.high)):
        off = abs(ours - 100 * theirs)
        assert off <= 0.5 + 1e-6 or (off < 1 and abs(ours - counted.percent) < 1)


def test_the_words_of_the_model() -> None:
    """82 of 100: "82 %, roughly 73-88" (the model's own example)."""
    assert share(82, 100) == Share(82.0, 73, 88)


def test_the_interval_holds_the_percent_of_a_very_large_sample() -> None:
    """Wilson gives 80.3-80.5 for 804 000 of a million: whole percents on both sides of it."""
    assert share(804_000, 1_000_000) == Share(80.4, 80, 81)
    assert share(796_000, 1_000_000) == Share(79.6, 79, 80)


@pytest.mark.parametrize(
    ("good", "total"),
    [(5, 4), (-1, 4), (0, 0), (1, -1), (float("nan"), 4), (1, float("nan")), (1, float("inf"))],
)
def test_counts_that_cannot_be(good: float, total: float) -> None:
    with pytest.raises(HatchError, match="bad-count"):
        share(good, total)


# Hatching -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("of", "percent", "of_fertilised", "of_eggs"),
    [
        # Hokkaido University course: (A) larvae / fertilised, (B) larvae / all; A = B / fertilisation.
        # Gomina Ozohu 2011: 93.5 % fertilised,
        # 90.1 % hatched of these, so 84.2 % of all.
        ("fertilised", 90.1, 90.1, 84.2),
        ("all", 84.2, 90.1, 84.2),
        ("unknown", 84.2, None, None),
    ],
)
def test_of_fertilised_and_of_all(
    of: CountOf, percent: float, of_fertilised: float | None, of_eggs: float | None
) -> None:
    told = hatched(of=of, percent=percent, fertilised_percent=93.5)
    assert told.percent_as_told == percent
    assert (told.percent_of_fertilised, told.percent_of_eggs) == (of_fertilised, of_eggs)
    assert (told.low_percent, told.high_percent) == (None, None)


def test_without_a_fertilised_share_only_what_was_told() -> None:
    of_all, of_good = hatched(of="all", percent=60), hatched(of="fertilised", percent=60)
    assert (of_all.percent_of_fertilised, of_all.percent_of_eggs) == (None, 60.0)
    assert (of_good.percent_of_fertilised, of_good.percent_of_eggs) == (60.0, None)
    assert hatched(of="all", percent=0, fertilised_percent=0).percent_of_fertilised is None


def test_a_count_brings_its_interval() -> None:
    told = hatched(of="all", good=160, total=200)
    assert (told.percent_as_told, told.low_percent, told.high_percent) == (80.0, 74, 85)


def test_deformed_larvae_are_not_hatch() -> None:
    told = hatched(of="all", good=150, total=200, deformed=10, larvae=3000)
    assert (told.good, told.percent_as_told, told.larvae, told.deformed) == (140, 70.0, 2990, 10)


def test_counts_at_odds_are_said_and_not_bent() -> None:
    told = hatched(of="all", percent=90, fertilised_percent=70)
    assert told.at_odds
    assert (told.percent_of_fertilised, told.percent_of_eggs) == (None, 90)
    assert not hatched(of="all", percent=70, fertilised_percent=70).at_odds


def test_nothing_but_larvae() -> None:
    told = hatched(of="unknown", larvae=45000)
    assert (told.larvae, told.percent_as_told) == (45000, None)


def test_hatch_counts_that_cannot_be() -> None:
    for good, total, deformed in ((201, 200, None), (5, 200, 6), (-1, 200, None), (5, 200, -1)):
        with pytest.raises(HatchError, match="bad-count"):
            hatched(of="all", good=good, total=total, deformed=deformed)
    for percent, fertilised in ((101, None), (-1, None), (50, 101), (float("nan"), None)):
        with pytest.raises(HatchError, match="bad-percent"):
            hatched(of="all", percent=percent, fertilised_percent=fertilised)


@given(st.floats(1, 100), st.floats(0, 100))
def test_there_and_back(fertilised: float, of_good: float) -> None:
    of_all = hatched(of="fertilised", percent=of_good, fertilised_percent=fertilised).percent_of_eggs
    assert of_all is not None
    assert of_all <= fertilised + 0.05
    assert of_all == pytest.approx(of_good * fertilised / 100, abs=0.11)


# Grams, milt, larvae --------------------------------------------------------------------------------------


def test_eggs_from_grams() -> None:
    """Salman et al. 2023: 139.7 g of eggs per kg; the eggs per gram are any card's."""
    assert eggs_from_grams(139.7, 700) == 97790
    with pytest.raises(HatchError, match="not-positive"):
        eggs_from_grams(0, 700)


def test_litres_of_swollen_eggs() -> None:
    # 3.5 L at 25 a millilitre: 3500 mL x 25
    assert eggs_from_litres(3.5, 25) == 87_500
    for litres, per_ml in ((0, 25), (-1, 25), (1, 0)):
        with pytest.raises(HatchError, match="not-positive"):
            eggs_from_litres(litres, per_ml)


def test_no_milt_figure_no_millilitres() -> None:
    assert milt_ml(250, carp(None)) is None
    assert milt_ml(250, carp(figure(None, "mL/kg_eggs"))) is None


@pytest.mark.parametrize(
    ("grams", "kg", "asked"),
    [
        (139.7, 1.0, False),  # Salman et al. 2023: 139.7 g for each kg of grass carp
        (143.0, 1.0, False),  # de Graaf et al. 1995: up to 14.3 % of an African catfish
        # Salman et al.: 1100-1500 g from grass carp of 4.5-6.75 kg: real ones are asked as well
        (1500, 6.75, True),
        (201, 1.0, True),
        (200, 1.0, False),
        (900, 3.1, True),
    ],
)
def test_grams_above_a_fifth_of_her_are_asked(grams: float, kg: float, asked: bool) -> None:
    assert grams_suspicious(grams, kg) is asked


def test_larvae_of_all_eggs() -> None:
    assert larvae_of(100000, 84.2) == 84200
    with pytest.raises(HatchError, match="bad-percent"):
        larvae_of(100000, 101)


# The farm's own counts ------------------------------------------------------------------------------------

BEGIN = datetime(2026, 1, 1, tzinfo=UTC)


@given(
    st.lists(st.tuples(st.sampled_from(["rohu", "catla"]), st.floats(1, 2000), st.integers(0, 50))),
    st.integers(-5, 60),
)
def test_of_own_counts_the_newest_told_until_then_holds(told: list[tuple[str, float, int]], day: int) -> None:
    counts = [OwnCount(slug, "gram", eggs, BEGIN + timedelta(days=on)) for slug, eggs, on in told]
    before = [
        (on, place, eggs) for place, (slug, eggs, on) in enumerate(told) if slug == "rohu" and on <= day
    ]
    at = BEGIN + timedelta(days=day)
    assert own_count(counts, "rohu", "gram", at) == (max(before)[2] if before else None)
    assert own_count(counts, "rohu", "ml", at) is None


# Jars -----------------------------------------------------------------------------------------------------


@given(st.integers(1, 10**9), st.integers(1, 10**6), st.integers(0, 10**6))
def test_jars_hold_all_eggs_and_none_more_than_told(eggs: int, low: int, more: int) -> None:
    load = Figure(low, low + more, None, "egg", ("icar-66877",), "published")
    told = in_vessels(Holding("jar", 10, load, None), eggs)
    assert told.count is not None
    assert told.count * told.each >= eggs > (told.count - 1) * told.each
    assert told.low <= told.each <= told.high


def test_the_water_through_all_jars_is_that_through_each_times_their_number() -> None:
    load, flow = figure(30, "egg"), Figure(0.6, 0.8, None, "L/min", ("icar-66877",), "published")
    told = in_vessels(Holding("jar", 10, load, flow), 90)
    assert (told.count, told.all_low, told.all_high) == (3, 1.8, 2.4)
    assert in_vessels(Holding("jar", 10, load, flow), None).all_low is None
