"""Which day a larvae order means, and what else it says."""

from __future__ import annotations

import pytest

from core.commands import Order, Reading
from core.reading import Context, read
from tests.core.reading.scoring import LIMITS, words

LEXICON = words()


def main(text: str, awaiting: str | None = None) -> Reading:
    return read(text, Context(awaiting=awaiting), LEXICON, LIMITS).main


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("need 50000 larvae by saturday", "sat"),
        ("need 50000 larvae by tomorrow", "tomorrow"),
        ("need 50000 larvae in 5 days", "+5"),
        ("need 50000 larvae by 12 june", "06-12"),
        ("need 50000 larvae by June 12", "06-12"),
        ("I have an order for 50000 larvae by the 12th of june", "06-12"),
        ("need 50000 larvae by next week", "next_week"),
        ("need 50000 larvae", None),
    ],
)
def test_the_day(text: str, day: str | None) -> None:
    told = main(text)
    assert isinstance(told, Order)
    assert (told.larvae, told.day) == (50_000, day)


def test_the_species_and_how_old_they_are() -> None:
    assert main("order 50000 common carp hatchlings") == Order(50_000, stage="hatched", species="common-carp")
    assert main("order 50000 catfish fry") == Order(50_000, stage="feeding", species_word="catfish")
    assert main("order 50000 larvae") == Order(50_000)


def test_a_day_alone_where_it_was_asked_for() -> None:
    assert main("by saturday please", "order_day") == Order(by="saturday", day="sat")
    assert not isinstance(main("saturday"), Order)
    assert not isinstance(main("saturday the pump broke", "order_day"), Order)
    assert not isinstance(main("injected 5.40", "order_day"), Order)


def test_larvae_that_hatched_or_were_sold_are_no_order() -> None:
    assert main("50000 larvae hatched by friday").kind == "hatched"
    assert main("sold 50000 fry by friday").kind == "sold"
