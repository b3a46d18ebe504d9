"""Water that gives no hours: before the injection, while it is on hold, and once it is back."""

from __future__ import annotations

from pathlib import Path

from tests.bot.playing import Night, at, bells, minutes_between, newest, of_kind, played

HOURS = ("strip_at", "first_look_at", "most_from_at", "most_to_at")


def cold_sheet() -> Night:
    return Night()("17:00", "catfish f 2.4 m 1.9")("17:01", "water 14")


def test_a_plan_in_cold_water_promises_no_hour_and_says_why(tmp_path: Path) -> None:
    plan = newest(played(cold_sheet().tap("17:02", "start").lines, tmp_path), "inject-plan")
    assert [plan[name] for name in HOURS] == [None] * len(HOURS)
    assert (plan["outside"]["why"], plan["outside"]["celsius"]) == ("too-cold", 14)
    assert plan["outside"]["resume_when"][0] > 14


def test_the_bell_of_the_needle_warns_of_cold_water(tmp_path: Path) -> None:
    night = cold_sheet().tap("17:02", "start").tap("17:03", "yes").until("18:01")
    *_, bell = bells(played(night.lines, tmp_path), "inject")
    assert bell["facts"]["outside"]["why"] == "too-cold"
    assert "14 C is too cold" in bell["text"]


def test_no_hour_to_strip_is_taken_while_the_water_gives_none(tmp_path: Path) -> None:
    said = played(cold_sheet()("17:02", "strip at 10").lines, tmp_path)
    hold = newest(said, "hold")
    assert (hold["why"], hold["ask_again_at"], hold["before"]) == ("too-cold", None, True)
    assert of_kind(said, "inject-plan") == []


def test_a_plan_is_told_anew_when_the_water_leaves_the_range_or_is_back(tmp_path: Path) -> None:
    night = Night()("17:00", "catfish f 2.4 m 1.9").tap("17:02", "start").tap("17:03", "yes")
    said = played(night("17:30", "water 14")("17:40", "water 26.8")("17:50", "water 27").lines, tmp_path)
    plans = of_kind(said, "inject-plan")
    assert [plan["first_look_at"] is None for plan in plans] == [False, True, False]


def test_an_hour_to_strip_is_reckoned_with_the_coolest_tank(tmp_path: Path) -> None:
    night = Night()("17:00", "catfish tank 1 f 2.4 m 1.9")("17:01", "tank 2 f 2.6")
    said = played(night("17:02", "tank 1 29, tank 2 25")("17:03", "strip at 16:00 tomorrow").lines, tmp_path)
    assert abs(minutes_between(newest(said, "inject-plan")["strip_at"], at("2 16:00"))) <= 15
