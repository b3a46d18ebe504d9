"""What truly went in, told as a share: kept as that of the plan, warned of, and never made up for."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.bot.playing import Night, answers, at, newest, of_kind, played


def injected() -> Night:
    night = Night()("17:00", "catfish f 2.4 f 3.1 m 1.9")("17:01", "17:01")
    return night("20:30", "injected")("20:31", "27")


@pytest.mark.parametrize(
    ("words", "percent", "ml"),
    [
        ("F1 got only half", 50, 0.6),
        ("half leaked out of F1", 50, 0.6),
        ("F1 about a third leaked", 66.7, 0.8),
        ("F1 lost a quarter of it", 75, 0.9),
        ("F1 30% leaked", 70, 0.84),
        ("only two thirds went in F1", 66.7, 0.8),
    ],
)
def test_a_share_is_that_of_the_sheet(words: str, percent: float, ml: float, tmp_path: Path) -> None:
    """Her sheet says 0.5 mL for each of 2.4 kg: 1.2 mL."""
    said = played(injected()("20:40", words).lines, tmp_path)
    (shot,) = newest(said, "given")["given"]
    assert (shot["tag"], shot["share_percent"], shot["sheet_ml"]) == ("F1", percent, 1.2)
    assert shot["ml"] == pytest.approx(ml, abs=0.001)
    assert len(of_kind(said, "strip-forecast")) <= 2  # of the injection and the water, none of a second one


def test_under_the_usual_range_is_said_of_that_fish(tmp_path: Path) -> None:
    """Half of 10 ug per kg is under the usual 6 to 12 of the card."""
    said = played(injected()("20:40", "F1 got only half").lines, tmp_path)
    course = newest(said, "course")
    assert (course["code"], course["total_per_kg"]) == ("under-range", 5)
    said = played(Night()("20:45", "F2 a third leaked").lines, tmp_path)
    assert newest(said, "course")["code"] == ""


def test_the_share_told_twice_is_told_once(tmp_path: Path) -> None:
    said = played(injected()("20:40", "F1 got only half")("20:41", "F1 got only half").lines, tmp_path)
    assert newest(said, "given")["given"][0]["ml"] == pytest.approx(0.6)


def test_of_several_fish_it_is_asked_which(tmp_path: Path) -> None:
    night = injected()("20:40", "half leaked out").tap("20:41", "fish:F2")
    said = played(night.lines, tmp_path)
    assert newest(said, "ask")["about"] == "which-fish"
    assert [shot["tag"] for shot in newest(said, "given")["given"]] == ["F2"]


def test_without_a_share_it_is_asked_and_a_share_answers(tmp_path: Path) -> None:
    said = played(injected()("20:40", "F2 spat some out")("20:41", "about half").lines, tmp_path)
    assert newest(said, "ask")["about"] == "dose"
    assert [(shot["tag"], shot["share_percent"]) for shot in newest(said, "given")["given"]] == [("F2", 50)]


def test_the_injection_and_its_leak_in_one_message(tmp_path: Path) -> None:
    night = Night()("17:00", "catfish f 2.4 m 1.9")("17:01", "17:01")
    said = played(night("20:30", "F1 injected 20:10 but half leaked").lines, tmp_path)
    assert newest(said, "strip-forecast")["final_injection_at"] == at("20:10")
    assert newest(said, "given")["given"][0]["share_percent"] == 50


def test_without_a_plan_in_ml_the_amount_is_asked(tmp_path: Path) -> None:
    night = Night()("17:00", "catfish f 2.4 m 1.9, own mix")("17:01", "17:01")("20:30", "F1 injected")
    lines = night("20:40", "F1 got only half").lines
    said = answers(played(lines, tmp_path), at("20:40"))
    assert [line["kind"] for line in said] == ["ask"]
    assert said[0]["facts"]["why"] == "unknown-plan"


@pytest.mark.parametrize(
    "words", ["half of them got the injection", "half the water leaked out", "lost half the larvae"]
)
def test_a_half_of_something_else_is_no_dose(words: str, tmp_path: Path) -> None:
    said = played(injected()("20:40", words).lines, tmp_path)
    assert not of_kind(said, "given")


def test_injected_and_leaked_without_an_hour_is_now(tmp_path: Path) -> None:
    night = Night()("17:00", "catfish f 2.4 m 1.9")("17:01", "17:01")("20:30", "injected F1 and half leaked")
    said = played(night.lines, tmp_path)
    assert newest(said, "strip-forecast")["final_injection_at"] == at("20:30")
    assert newest(said, "given")["given"][0]["share_percent"] == 50


def test_the_hour_that_was_asked_for_keeps_the_share(tmp_path: Path) -> None:
    night = Night()("17:00", "catfish f 2.4 m 1.9")("17:01", "17:01")("20:30", "F1 got only half")
    said = played(night("20:31", "20:10").lines, tmp_path)
    assert newest(said, "ask")["about"] == "injected-time"
    assert newest(said, "strip-forecast")["final_injection_at"] == at("20:10")
    assert newest(said, "given")["given"][0]["share_percent"] == 50


@pytest.mark.parametrize(
    "words", ["all injected 8:30 pm, m1 got only half", "injected f1 f2 m1 20:30, m1 got half"]
)
def test_what_all_got_and_what_went_into_one_in_one_message(words: str, tmp_path: Path) -> None:
    """The sheet says 0.48 mL for him: half of it went in, and all of hers."""
    night = Night()("17:00", "catfish f 2.4 f 3.1 m 1.9")("17:01", "17:01")("20:40", words)
    said = played(night("20:41", "what was given?").lines, tmp_path)
    shots = {shot["tag"]: (shot["ml"], shot["share_percent"]) for shot in newest(said, "given")["given"]}
    assert shots == {"F1": (1.2, None), "F2": (1.6, None), "M1": (0.24, 50)}
