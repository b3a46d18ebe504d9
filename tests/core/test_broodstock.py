"""Brood fish by their numbers, against printed examples; ids are of the sources."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.broodstock import (
    ADVISED_NUMBER,
    MOST_PERCENT,
    effective_number,
    inbreeding,
    males_for,
    males_to_reach,
    over_generations,
    rate_of_inbreeding,
)
from core.errors import HatchError
from core.species import Figure

fish = st.integers(1, 100_000)
number = st.floats(1, 1e6)


def figure(low: float, usual: float | None, high: float) -> Figure:
    return Figure(low, high, usual, "male/female", ("icar-67103",), "published")


# Effective number -----------------------------------------------------------------------------------------


@given(fish, fish)
def test_it_lies_between_nothing_and_the_fish_counted(females: int, males: int) -> None:
    assert 0 < effective_number(females, males) <= (females + males) * (1 + 1e-12)


@given(fish, fish)
def test_it_is_the_same_whichever_sex_is_the_rare_one(females: int, males: int) -> None:
    assert effective_number(females, males) == effective_number(males, females)


@given(st.integers(2, 2000), st.data())
def test_of_as_many_fish_equal_sexes_have_the_most(total: int, data: st.DataObject) -> None:
    females = data.draw(st.integers(1, total - 1))
    assert effective_number(females, total - females) <= effective_number(total / 2, total / 2) + 1e-9


@given(fish, fish)
def test_one_more_fish_never_makes_it_less(females: int, males: int) -> None:
    assert effective_number(females, males + 1) > effective_number(females, males)


@pytest.mark.parametrize(("females", "males"), [(0, 5), (5, 0), (-1, 5), (float("nan"), 5)])
def test_no_fish_have_no_number(females: float, males: float) -> None:
    with pytest.raises(HatchError, match="not-positive"):
        effective_number(females, males)


# Inbreeding -----------------------------------------------------------------------------------------------


@given(st.lists(number, min_size=1, max_size=20), number)
def test_inbreeding_never_falls_from_one_generation_to_the_next(before: list[float], then: float) -> None:
    assert 0 <= inbreeding(before) <= inbreeding([*before, then]) <= 1


@given(st.lists(number, min_size=1, max_size=20))
def test_it_is_never_more_than_the_rates_added_up(effectives: list[float]) -> None:
    assert inbreeding(effectives) <= sum(map(rate_of_inbreeding, effectives)) + 1e-12


@given(st.lists(number, min_size=1, max_size=20))
def test_generations_together_lie_between_the_worst_and_the_best(effectives: list[float]) -> None:
    together = over_generations(effectives)
    assert min(effectives) * (1 - 1e-12) <= together <= max(effectives) * (1 + 1e-12)
    assert together <= sum(effectives) / len(effectives) * (1 + 1e-12)


def test_of_no_generations_nothing_is_known() -> None:
    with pytest.raises(ValueError, match="no generations"):
        over_generations([])


def test_the_number_advised_is_that_of_the_rate_advised() -> None:
    assert 100 * rate_of_inbreeding(ADVISED_NUMBER) == pytest.approx(MOST_PERCENT)


# Males ----------------------------------------------------------------------------------------------------


@given(st.integers(1, 500), st.integers(1, 500))
def test_the_fewest_males_that_reach_a_number(females: int, wanted: int) -> None:
    males = males_to_reach(females, wanted)
    if males is None:
        assert effective_number(females, 10**9) < wanted + 1e-6
        return
    assert effective_number(females, males) >= wanted * (1 - 1e-9)
    assert males == 1 or effective_number(females, males - 1) < wanted


@given(st.integers(1, 1000), st.floats(0.05, 2), st.floats(0, 2), st.floats(0, 2))
def test_males_are_whole_and_in_order(females: int, low: float, more: float, most: float) -> None:
    found = males_for(females, figure(low, low + more, low + more + most))
    assert found.usual is not None
    assert 1 <= found.low <= found.usual <= found.high
    assert found.usual >= females * (low + more) - 1e-6


def test_a_span_without_a_usual_number_names_none() -> None:
    assert males_for(4, figure(0.5, None, 1)).usual is None
