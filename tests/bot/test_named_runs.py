"""What is told of a run by its name goes to that run, or is asked about; never to another."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.bot.playing import Night, answers, newest, of_kind, played_on


def two_runs() -> Night:
    night = Night()("17:00", "rohu f 2.4 m 1.9")("17:05", "catfish f 2.1 m 1.4")("17:06", "17:06")
    return night("17:10", "catfish injected 17:05")("17:12", "rohu injected 17:07")


def replies(night: Night, at: str, words: str, folder: Path) -> list[dict[str, Any]]:
    lines = night(at, words).lines
    return answers(played_on(lines, folder), lines[-1]["at"])


RUNS = {"rohu": 1, "catfish": 2}


@pytest.mark.parametrize(("words", "kind"), [("catfish eggs run", "step"), ("rohu not yet", "noted")])
def test_a_named_run_is_not_asked_for(words: str, kind: str, tmp_path: Path) -> None:
    told = replies(two_runs(), "2 01:30", words, tmp_path)
    assert not of_kind(told, "ask")
    assert newest(told, kind)["run"] == RUNS[words.split()[0]]


def test_each_run_named_in_one_message_gets_its_own(tmp_path: Path) -> None:
    told = replies(two_runs(), "2 01:30", "catfish eggs run, rohu eggs in the hapa", tmp_path)
    assert not of_kind(told, "ask")
    assert {line["facts"]["run"] for line in told} == {1, 2}


@pytest.mark.parametrize(
    "words",
    [
        "grass carp eggs run",
        "catla injected",
        "tilapia eggs run",
        "catla done",
        "mrigal not yet",
        "striped catfish 200 g stripped",
        "catla hatched",
    ],
)
def test_a_name_that_no_open_run_has_is_asked_about(words: str, tmp_path: Path) -> None:
    told = replies(two_runs(), "2 01:30", words, tmp_path)
    assert [line["kind"] for line in told] == ["ask"]
    assert told[0]["facts"]["why"] == "none-of-that"


def test_so_it_is_with_one_run_open(tmp_path: Path) -> None:
    night = Night()("17:00", "catfish f 2.1 m 1.4")("17:05", "injected 17:05")
    told = replies(night, "2 01:30", "rohu eggs run", tmp_path)
    assert told[0]["facts"]["why"] == "none-of-that"
    assert [button["label"] for button in told[0]["buttons"]] == ["African catfish"]


def test_a_step_that_the_named_run_has_not_is_asked_about(tmp_path: Path) -> None:
    told = replies(two_runs(), "2 03:30", "rohu milt is on", tmp_path)
    assert [line["facts"]["why"] for line in told] == ["not-of-that"]


def test_a_word_of_two_open_species_is_asked_about(tmp_path: Path) -> None:
    night = Night()("17:00", "rohu f 2.4 m 1.9")("17:05", "common carp f 3 m 2.5")("17:06", "17:06")
    night = night("17:10", "rohu injected 17:05")("17:12", "common carp injected 17:07")
    told = replies(night, "2 01:30", "the carp eggs run", tmp_path)
    assert newest(told, "ask")["about"] == "which-run"


def test_the_count_that_is_missing_is_asked_of_the_named_run(tmp_path: Path) -> None:
    night = two_runs()("2 01:30", "rohu eggs in the hapa")("2 20:00", "rohu hatched")
    told = replies(night, "2 20:01", "rohu 150 of 200", tmp_path)
    assert newest(told, "hatched")["run"] == 1


@pytest.mark.parametrize("words", ["tank 3 eggs run", "tank 3 injected 17:20"])
def test_fish_in_a_place_where_none_stand_are_asked_about(words: str, tmp_path: Path) -> None:
    night = Night()("17:00", "catfish tank 1 f 2.4 m 1.9")("17:01", "catfish tank 2 f 3 m 2.1")
    night = night("17:02", "17:02")("17:10", "tank 1 injected 17:05")
    told = replies(night, "2 02:00", words, tmp_path)
    assert [line["facts"]["why"] for line in told] == ["no-fish-there"]
