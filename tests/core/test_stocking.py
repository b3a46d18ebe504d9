"""What densities come to; against what their sources print they stand in `outside_checks`."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.errors import HatchError
from core.species import Per, StockedIn, Stocking, Young
from core.stocking import bags, fitting, sources_of, stocked
from tests.core.cards import folder

CARDS = folder().cards
RULES = [rule for card in CARDS.values() for rule in card.stocking]


def rule_of(species: str, place: StockedIn, young: Young, per: Per) -> Stocking:
    (rule,) = fitting(CARDS[species], place, young, per)
    return rule


def test_a_pond_takes_its_density_times_its_area() -> None:
    found = stocked(rule_of("rohu", "pond", "larvae", "m2"), 200)
    assert (found.low, found.usual, found.high) == (20_000, None, 100_000)


def test_bags_for_a_number() -> None:
    found = bags(rule_of("rohu", "bag", "larvae", "bag"), 20_000)
    assert (found.fewest, found.most) == (2, 10)


def test_a_bag_is_never_meant_unless_named() -> None:
    assert {rule.place for rule in fitting(CARDS["rohu"])} == {"pond", "tank"}
    assert fitting(CARDS["rohu"], "hapa") == ()
    assert fitting(CARDS["silver-barb"]) == ()


def test_sources_are_named_once() -> None:
    rules = fitting(CARDS["rohu"], young="larvae")
    assert sources_of(rules) == ("icar-81271", "icar-86163", "pillay-kutty-nursing")


@given(rule=st.sampled_from(RULES), amount=st.floats(1, 1e5), times=st.integers(2, 20))
def test_more_water_takes_as_many_more(rule: Stocking, amount: float, times: int) -> None:
    one, more = stocked(rule, amount), stocked(rule, amount * times)
    assert one.low is not None and one.high is not None and more.low is not None and more.high is not None
    assert one.low <= one.high
    assert more.low == pytest.approx(times * one.low, abs=times)
    assert more.high == pytest.approx(times * one.high, abs=times)
    assert one.usual is None or one.low <= one.usual <= one.high


@given(rule=st.sampled_from(RULES), larvae=st.integers(1, 10**8))
def test_so_many_bags_hold_them(rule: Stocking, larvae: int) -> None:
    found = bags(rule, larvae)
    assert found.fewest is not None and found.most is not None
    assert 1 <= found.fewest <= found.most
    assert found.fewest * rule.density.high >= larvae * (1 - 1e-9)


@pytest.mark.parametrize("amount", [0, -1, float("nan")])
def test_no_water_at_all(amount: float) -> None:
    with pytest.raises(HatchError, match="not-positive"):
        stocked(RULES[0], amount)
    with pytest.raises(HatchError, match="not-positive"):
        bags(RULES[0], amount)
