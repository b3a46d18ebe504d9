"""Whoever only reads along: asks whatever they like, changes nothing."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from tests.bot.village import Village


@pytest.fixture
def village(tmp_path: Path) -> Iterator[Village]:
    """Ada's farm with an open run, and ben who reads along."""
    with closing(Village(tmp_path / "village.db")) as found:
        found.says("ada", "catfish f 2.4 m 1.9")
        found.says("ada", "injected")
        found.says("ada", "invite a reader")
        found.opens("ben", found.links[-1].code)
        yield found


def kept(village: Village) -> list[object]:
    """All that is written down of a farm beside what is said."""
    tables = ("events", "runs", "advice", "photos", "farms")
    return [tuple(row) for table in tables for row in village.store.file.rows(f"SELECT * FROM {table}")]


ASKED = (
    "what next?",
    "last hatch rate?",
    "when do we strip?",
    "why?",
    "crew",
    "how many males for 12 females?",
)
TOLD = ("f 2.2 m 1.1", "eggs run", "F1 210 g", "water 27", "injected", "not yet", "undo", "cancel", "done")


@pytest.mark.parametrize("words", ASKED)
def test_a_question_is_answered_and_changes_nothing(village: Village, words: str) -> None:
    before = kept(village)
    assert "refused" not in village.says("ben", words).kinds()
    assert kept(village) == before


@pytest.mark.parametrize("words", TOLD)
def test_what_is_told_is_refused_and_changes_nothing(village: Village, words: str) -> None:
    before = kept(village)
    (said,) = village.says("ben", words).rows
    assert (said.kind, said.facts["why"]) == ("refused", "reader")
    assert kept(village) == before


def test_trouble_is_answered_before_all_else(village: Village) -> None:
    before = kept(village)
    assert village.says("ben", "power cut").kinds() == ["trouble"]
    assert kept(village) == before


def test_a_caution_that_a_reader_saw_is_still_to_be_given(village: Village) -> None:
    asked = "how many rohu larvae for a 200 m2 pond?"
    (first,) = village.says("ben", asked).rows
    cautions = first.facts.get("cautions")
    (second,) = village.says("ada", asked).rows
    assert cautions
    assert second.facts.get("cautions") == cautions


def test_the_owner_makes_a_hand_of_a_reader(village: Village) -> None:
    (refused,) = village.says("ada", "Ben has the night").rows
    assert refused.facts["why"] == "reader-no-night"
    (crew,) = village.says("ada", "crew").rows
    (button,) = crew.buttons
    village.presses("ada", button.action)
    assert village.says("ben", "water 27").kinds() != ["refused"]
    assert [button.action for row in village.says("ben", "crew").rows for button in row.buttons] == []
