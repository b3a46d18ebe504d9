"""Whatever the reader knows as a question has its answer."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import core
from core.assistant.questions import TOPICS
from core.reading.questions import PATTERNS
from tests.bot.playing import Night, newest, played

TOLD_OUTRIGHT = ("questions", "measures", "broodbook")


def topics() -> set[str]:
    """Every topic that the reader can write: those of the patterns, and those told outright."""
    folder = Path(core.__file__).parent / "reading"
    source = "".join((folder / f"{name}.py").read_text(encoding="utf-8") for name in TOLD_OUTRIGHT)
    return {topic.name for topic in PATTERNS} | set(re.findall(r"asked\(message, \"(\w+)\"\)", source))


def test_every_question_has_a_handler() -> None:
    assert topics() == set(TOPICS)


# Rest -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("species", "days"),
    [
        ("african catfish", (42, None, 56)),
        ("common carp", (30, 90, 365)),
        ("silver barb", (None, None, None)),  # nobody told
    ],
)
def test_how_long_a_female_rests(species: str, days: tuple[float | None, ...], tmp_path: Path) -> None:
    said = played(Night()("17:00", f"how long must {species} rest?").lines, tmp_path)
    rest = newest(said, "rest")
    assert (rest["low_days"], rest["days"], rest["high_days"]) == days
    assert bool(rest["basis"]) == (days[0] is not None)
    assert ("no figure known" in said[-1]["text"]) == (days[0] is None)


def test_whose_rest_is_meant_is_that_of_the_run_or_asked(tmp_path: Path) -> None:
    told = newest(
        played(Night()("17:00", "rohu f 2 m 2")("17:01", "when can i spawn her again?").lines, tmp_path),
        "rest",
    )
    assert told["species"] == "rohu"


def test_a_stranger_is_asked_which_fish_rest(tmp_path: Path) -> None:
    said = played(Night()("17:00", "how long must she rest?")("17:01", "rohu").lines, tmp_path)
    assert [line["kind"] for line in said] == ["ask", "rest"]
