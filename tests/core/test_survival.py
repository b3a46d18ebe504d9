"""From eggs to fry: what must hold of any chain; published ones stand in `outside_checks`."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.errors import HatchError
from core.survival import Reckoned, Stage, Told, chain, exact, over, per_kg, product, whole_percents


def numbers(**told: float) -> dict[Stage, Told]:
    names: dict[str, Stage] = {"swim_up": "swim-up", "eggs": "eggs", "sold": "sold", "hatched": "hatched"}
    return {names[name]: Told(exact(number)) for name, number in told.items()}


def test_larvae_per_kg() -> None:
    assert per_kg(282_000, 6.0) == 47_000
    with pytest.raises(HatchError, match="not-positive"):
        per_kg(1000, 0)


# What was not told ------------------------------------------------------------------------------------------


def test_missing_is_named_and_never_none() -> None:
    found = chain(numbers(eggs=100_000, swim_up=40_000))
    (link,) = found.links
    assert (link.of, link.stage) == ("eggs", "swim-up")
    assert link.share == exact(0.4)
    assert found.missing == ("fertilised", "hatched", "sold")


def test_none_that_was_told_is_none() -> None:
    found = chain(numbers(eggs=100_000, hatched=0))
    assert found.links[0].share is not None
    assert found.links[0].share.value == 0
    assert chain(numbers(hatched=0, swim_up=10)).links[-1].share is None


def test_without_eggs_numbers_stand_alone() -> None:
    found = chain(numbers(hatched=78_000, swim_up=39_000))
    assert [link.share for link in found.links] == [None, exact(0.5)]
    assert found.whole is None
    assert "eggs" in found.missing


def test_nothing_told() -> None:
    found = chain({})
    assert (found.links, found.whole) == ((), None)


def test_more_than_before_is_at_odds_only_where_it_is_sure() -> None:
    eggs = Told(exact(100_000))
    sure = chain({"eggs": eggs, "hatched": Told(Reckoned(150_000, 120_000, 190_000))})
    doubtful = chain({"eggs": eggs, "hatched": Told(Reckoned(110_000, 80_000, 150_000))})
    assert sure.links[0].at_odds
    assert not doubtful.links[0].at_odds


def test_numbers_that_cannot_be() -> None:
    with pytest.raises(HatchError, match="bad-count"):
        chain(numbers(eggs=-1))
    with pytest.raises(HatchError, match="bad-count"):
        chain(numbers(eggs=math.nan))


# What must hold ---------------------------------------------------------------------------------------------

some = st.integers(1, 10**7).map(float)
spread = st.tuples(some, st.floats(0.1, 1), st.floats(1, 10)).map(
    lambda each: Reckoned(each[0], each[0] * each[1], each[0] * each[2])
)


@given(st.dictionaries(st.sampled_from(["eggs", "hatched", "swim-up", "sold"]), spread, min_size=2))
def test_the_shares_multiply_to_the_whole(told: dict[Stage, Reckoned]) -> None:
    found = chain({"eggs": Told(exact(1e6)), **{stage: Told(number) for stage, number in told.items()}})
    shares = [link.share for link in found.links]
    assert found.whole is not None
    assert found.whole.value == pytest.approx(math.prod(share.value for share in shares if share))
    last = told[found.last].value if found.last in told else 1e6
    first = told["eggs"].value if "eggs" in told else 1e6
    assert found.whole.value == pytest.approx(last / first)


@given(one=spread, other=spread)
def test_the_doubt_holds_the_share_and_is_no_less_than_that_of_either(one: Reckoned, other: Reckoned) -> None:
    found = over(one, other)
    assert found is not None
    for each in (found, product(one, other)):
        assert each.low <= each.value * (1 + 1e-9)
        assert each.high >= each.value * (1 - 1e-9)
    assert found.value / found.low >= one.value / one.low * (1 - 1e-9)
    low, high = whole_percents(found)
    assert low <= 100 * found.value + 1e-6
    assert high >= 100 * found.value - 1e-6


def test_the_ratio_of_two_counts_as_others_reckon_it() -> None:
    """65 against 55 counted in cups: exactly, given their sum, it is a share of 120 (Przyborowski, Wilenski
    1940), by Clopper and Pearson in scipy."""
    from scipy.stats import binomtest

    from core.larvae import poisson_interval

    one, other = (Reckoned(n, *poisson_interval(n)) for n in (65.0, 55.0))
    found = over(one, other)
    exact_share = binomtest(65, 120).proportion_ci(0.95)
    assert found is not None
    assert found.low == pytest.approx(exact_share.low / (1 - exact_share.low), rel=0.03)
    assert found.high == pytest.approx(exact_share.high / (1 - exact_share.high), rel=0.03)
