"""Brood fish by their numbers, asked in the chat: never volunteered, never a weight."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from bot import knowledge
from tests.bot.playing import Night, newest, of_kind, played


def answer(words: str, folder: Path) -> dict[str, Any]:
    return newest(played(Night()("17:00", words).lines, folder), "brood-numbers")


@pytest.mark.parametrize(
    ("words", "effective"),
    [
        ("effective number of 99 females 1 male", 4.0),  # 3.96: us-broodstock-handbook
        ("effective number of 2 females and 2 males", 4.0),  # us-broodstock-handbook
        ("effective number of 10 f 10 m", 20.0),  # genetics-course
        ("ne of 100 males and 100000 females", 399.6),  # "about 400": genetics-course
    ],
)
def test_the_effective_number(words: str, effective: float, tmp_path: Path) -> None:
    assert answer(words, tmp_path)["effective"] == pytest.approx(effective, abs=0.05)


def test_inbreeding_over_generations(tmp_path: Path) -> None:
    """1 - (1 - 1/40)^5 = 11.9 %: Falconer and Mackay 1996, equation 3.12 (from memory)."""
    fact = answer("inbreeding after 5 generations 10 f 10 m", tmp_path)
    assert (fact["percent"], fact["generations"], fact["total_percent"]) == (2.5, 5, 11.9)


def test_several_generations_told_are_taken_together(tmp_path: Path) -> None:
    fact = answer("inbreeding over 3 generations with 20 10 50", tmp_path)
    assert (fact["effective"], fact["effectives"]) == (17.6, [20, 10, 50])


def test_how_many_more_males_bring_the_number_advised(tmp_path: Path) -> None:
    night = Night()("17:00", "effective number of 20 females 5 males")
    night = night("17:01", "effective number of 10 females 5 males")
    told = of_kind(played(night.lines, tmp_path), "brood-numbers")
    assert [fact["wanted_males"] for fact in told] == [34, None]


@pytest.mark.parametrize(
    ("words", "males", "enough"),
    [
        # two males to a female: icar-67103
        ("how many males for 12 rohu females?", 24, ""),
        ("are 30 males enough for 12 rohu females?", 24, "enough"),
        ("are 15 males enough for 12 rohu females?", 24, "few"),
        ("is 3 males enough for 12 rohu females?", 24, "too-few"),
        # 0.34 of a male: bui-2010
        ("how many males for 12 striped catfish females?", 5, ""),
    ],
)
def test_males_by_the_card(words: str, males: int, enough: str, tmp_path: Path) -> None:
    fact = answer(words, tmp_path)
    assert (fact["usual_males"], fact["enough"]) == (males, enough)


def test_the_fish_of_the_run_are_meant_where_none_are_told(tmp_path: Path) -> None:
    night = Night()("17:00", "catfish f 2.4 2.5 2.6 m 1.9")
    said = played(night("17:01", "is 1 male enough?")("17:02", "effective number?").lines, tmp_path)
    first, second = of_kind(said, "brood-numbers")
    assert (first["females"], first["enough"]) == (3, "few")
    assert (second["females"], second["males"], second["effective"]) == (3, 1, 3.0)
    assert len(of_kind(said, "dose-sheet")) == 1


@pytest.mark.parametrize("words", ["effective number?", "inbreeding after 5 generations"])
def test_without_numbers_they_are_asked(words: str, tmp_path: Path) -> None:
    assert newest(played(Night()("17:00", words).lines, tmp_path), "ask")["about"] == "brood-numbers"


@pytest.mark.parametrize("numbers", ["10 females 10 males", "10 f 10 m", "10 females and 10 males"])
def test_numbers_that_were_asked_for_are_of_the_question(numbers: str, tmp_path: Path) -> None:
    night = Night()("17:00", "inbreeding after 5 generations")("17:01", numbers)
    fact = newest(played(night.lines, tmp_path), "brood-numbers")
    assert (fact["about"], fact["generations"], fact["total_percent"]) == ("inbreeding", 5, 11.9)


@pytest.mark.parametrize(
    ("words", "about"),
    [
        ("inbreeding after 500 generations 10 f 10 m", "generations"),
        ("inbreeding over 4 generations with 20 10 50", "generations"),
    ],
)
def test_generations_that_cannot_be_are_asked(words: str, about: str, tmp_path: Path) -> None:
    assert newest(played(Night()("17:00", words).lines, tmp_path), "ask")["about"] == about


def test_nobody_hears_of_it_who_did_not_ask(tmp_path: Path) -> None:
    night = Night()("18:00", "catfish f 2.4 m 1.9")("20:30", "injected")("2 05:30", "F1 240 g")
    assert of_kind(played(night.until("3 09:00").lines, tmp_path), "brood-numbers") == []


def test_the_rest_that_is_left_of_a_fish(tmp_path: Path) -> None:
    days = knowledge.cards()["african-catfish"].rest_days
    night = Night()("18:00", "catfish f 2.4 2.6 m 1.9 2.0")("20:30", "injected")("2 05:30", "F1 240 g")
    night = night("2 05:31", "can i use F1 again?")("5 05:31", "can i use F2 again?")
    first, other = of_kind(played(night.lines, tmp_path), "rest")
    assert days is not None
    assert (first["tag"], first["left_days"]) == ("F1", days.low)
    assert (other["tag"], other["left_days"]) == ("", None)  # she gave none
