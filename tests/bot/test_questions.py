"""Whatever the reader knows as a question has its answer, or stands here as one that has none yet."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import core
from core.assistant.questions import TOPICS
from core.reading.questions import PATTERNS
from tests.bot.playing import Night, newest, played

NOT_BUILT = {
    "cost": "what did this run cost?",
}

TOLD_OUTRIGHT = ("questions", "measures", "broodbook")


def topics() -> set[str]:
    """Every topic that the reader can write: those of the patterns, and those told outright."""
    folder = Path(core.__file__).parent / "reading"
    source = "".join((folder / f"{name}.py").read_text(encoding="utf-8") for name in TOLD_OUTRIGHT)
    return {topic.name for topic in PATTERNS} | set(re.findall(r"asked\(message, \"(\w+)\"\)", source))


def test_every_question_has_a_handler_or_is_known_to_have_none() -> None:
    assert topics() == set(TOPICS) | set(NOT_BUILT)
    assert not set(TOPICS) & set(NOT_BUILT)


@pytest.mark.parametrize("topic", NOT_BUILT)
def test_what_is_not_built_says_so(topic: str, tmp_path: Path) -> None:
    night = Night()("17:00", "catfish f 2.4 m 1.9")("17:01", NOT_BUILT[topic])
    refused = newest(played(night.lines, tmp_path), "refused")
    assert (refused["why"], refused["words"]) == ("not-built", topic)


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
