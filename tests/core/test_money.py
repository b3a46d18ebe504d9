"""Money by currency, and what a thousand larvae cost; sums by hand stand beside."""

from __future__ import annotations

import dataclasses
from typing import Any

from core.money import PerThousand, Sum, cost_per_thousand, price_per_thousand, sums
from core.records import Money, RunRow
from tests.core.events import HOUR, T0


def paid(amount: float, currency: str | None = "INR", what: str = "", hours: float = 0, **more: Any) -> Money:
    return Money(T0 + hours * HOUR, amount, currency, what, **more)


ROW = RunRow(1, "rohu", T0, None, "closed", larvae=60_000.0, swim_up=50_000.0, sold=40_000.0)


def row(*spent: Money, **fields: Any) -> RunRow:
    return dataclasses.replace(ROW, spent=spent, **fields)


def test_each_currency_has_its_own_sum_and_untold_money_is_one_of_them() -> None:
    told = [paid(100), paid(20, "USD"), paid(50.5), paid(7, None)]
    assert sums(told) == (Sum(150.5, "INR", 2, (), 2), Sum(20.0, "USD", 1, (), 1), Sum(7.0, None, 1, (), 1))
    assert sums([]) == ()


def test_what_it_was_for_is_named_once_and_the_rest_is_counted() -> None:
    told = [paid(100, what="feed"), paid(20, what="Feed"), paid(5), paid(3, what="salt")]
    assert sums(told) == (Sum(128.0, "INR", 4, ("Feed", "salt"), 1),)


def test_a_thousand_larvae_of_those_that_hatched_else_swam_else_were_sold() -> None:
    spent = (paid(1200, what="feed"), paid(600))
    # 1800 / 60 thousand, / 50 thousand, / 40 thousand
    assert cost_per_thousand(row(*spent), whole=True) == PerThousand(30.0, "INR", 60_000, "hatched")
    assert cost_per_thousand(row(*spent), whole=False) == PerThousand(36.0, "INR", 50_000, "swim-up")
    bare = row(*spent, larvae=None, swim_up=None)
    assert cost_per_thousand(bare, whole=True) == PerThousand(45.0, "INR", 40_000, "sold")


def test_no_cost_is_worked_out_of_two_currencies_of_nothing_told_or_of_no_larvae() -> None:
    assert cost_per_thousand(row(paid(10), paid(5, "USD")), whole=True) is None
    assert cost_per_thousand(row(paid(10), paid(5, None)), whole=True) is None
    assert cost_per_thousand(row(), whole=True) is None
    assert cost_per_thousand(row(paid(10), larvae=None, swim_up=None, sold=None), whole=True) is None
    assert cost_per_thousand(row(paid(10), larvae=0.0, swim_up=None, sold=None), whole=True) is None


def test_the_price_of_a_thousand_is_over_what_was_sold_at_a_price() -> None:
    earned = (paid(3000, larvae=20_000.0), paid(1500, larvae=5_000.0))
    assert price_per_thousand(earned) == PerThousand(180.0, "INR", 25_000, "sold")  # 4500 / 25 thousand
    assert price_per_thousand((paid(3000, larvae=20_000.0), paid(1, "USD", larvae=10.0))) is None
    assert price_per_thousand(()) is None
