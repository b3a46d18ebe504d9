"""The table of checks against the world outside: every row holds, and there are enough of them."""

from __future__ import annotations

from collections import Counter

import pytest

from tests.core.cards import folder
from tests.core.outside_checks import BESIDE, CHECKS, Check

WORDS = ("common practice", "from memory")
AT_LEAST = 60
MOST = {"units": 10, "statistics": 10}


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: f"{check.id} {check.source}")
def test_the_answer_agrees_with_who_told_it(check: Check) -> None:
    assert check.low <= check.told() <= check.high, check.what


def test_every_row_names_a_source_that_is_known() -> None:
    known = {*folder().sources, *BESIDE, *WORDS}
    assert [check.id for check in CHECKS if check.source not in known] == []
    assert set(BESIDE) == {check.source for check in CHECKS} & set(BESIDE)


def test_there_are_enough_rows_and_not_of_one_kind() -> None:
    fields = Counter(check.field for check in CHECKS)
    assert all(fields[field] <= most for field, most in MOST.items())
    assert len(CHECKS) >= AT_LEAST
    assert len({check.id for check in CHECKS}) == len(CHECKS)
    assert len({(check.source, check.what) for check in CHECKS}) == len(CHECKS)


def test_no_row_holds_by_being_wide() -> None:
    """A printed number is met within a tenth; a span is no wider than its source told."""
    wide = [
        c.id for c in CHECKS if c.field not in ("timing", "statistics") and c.high > 2.5 * max(c.low, 1e-9)
    ]
    assert set(wide) <= {"E08", "L06", "S04"}  # none at all; a span of the card; a share near nothing


def test_some_had_no_part_in_the_cards() -> None:
    """So many sources no card, or not this curve, leans on."""
    assert sum(check.apart for check in CHECKS) >= 15
