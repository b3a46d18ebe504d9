"""Water that gives no hours: before the injection, while it is on hold, and once it is back."""

from __future__ import annotations

from pathlib import Path

from tests.bot.playing import Night, Transcript, at, bells, minutes_between, newest, of_kind, played

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


# On hold --------------------------------------------------------------------------------------------------


def injected() -> Night:
    return Night()("17:00", "catfish f 2.4 m 1.9")("18:00", "injected")("18:01", "water 27")


def looks(said: Transcript) -> list[str]:
    return [line["at"] for line in bells(said, "check-females") if line["reminder"]["attempt"] == 1]


def test_the_cold_is_said_once_and_each_later_reading_is_kept(tmp_path: Path) -> None:
    night = injected()("23:00", "water 14")("23:30", "water 13.5")("23:40", "water 27")("23:50", "water 13")
    said = played(night("23:55", "what next").lines, tmp_path)
    assert [hold["celsius"] for hold in of_kind(said, "hold")] == [14, 13]
    kept = newest(said, "noted")
    assert (kept["celsius"], kept["next_step"], kept["next_at"]) == (13.5, "check-water", at("2 03:30"))


def test_the_water_is_promised_to_be_asked_only_while_it_is(tmp_path: Path) -> None:
    """Six askings, four hours apart; the group is still on hold after that."""
    night = injected()("19:00", "water 14").until("2 20:30")("2 20:40", "what time to strip?")
    said = played(night.lines, tmp_path)
    asked = [line for line in bells(said, "check-water") if line["reminder"]["attempt"] == 1]
    assert len(asked) == 6
    assert [hold["ask_again_at"] for hold in of_kind(said, "hold")] == [at("23:00"), None]


def test_looks_that_had_begun_on_hold_go_on_when_the_water_is_back(tmp_path: Path) -> None:
    night = injected()("23:00", "water 14").until("2 04:10")("2 04:30", "water 27").until("2 07:30")
    said = played(night.lines, tmp_path)
    view = newest(said, "strip-forecast")
    assert view["next_look_at"] == at("2 05:00") < view["first_look_at"]
    assert [each for each in looks(said) if each > at("2 04:30")] == [
        at(f"2 0{hour}:00") for hour in (5, 6, 7)
    ]


def test_looks_that_had_not_begun_wait_for_the_new_window(tmp_path: Path) -> None:
    night = injected()("19:00", "water 14")("22:00", "water 27").until("2 10:00")
    said = played(night.lines, tmp_path)
    view = newest(said, "strip-forecast")
    assert view["next_look_at"] is None
    assert looks(said)[0] == view["first_look_at"]


def test_water_that_was_mended_is_taken_to_stay_so(tmp_path: Path) -> None:
    """A whole day in the cold: the next one is not taken to be as cold at every hour."""
    night = injected()("19:00", "water 14").until("2 20:30")("2 21:00", "water 27")
    view = newest(played(night.lines, tmp_path), "strip-forecast")
    assert minutes_between(at("2 21:00"), view["likely_at"]) < 10 * 60


def test_of_two_readings_of_one_hour_the_one_told_last_counts(tmp_path: Path) -> None:
    said = played(injected()("20:00", "water 14")("20:00", "no, water 26").lines, tmp_path)
    assert newest(said, "strip-forecast")["celsius"] == 26
    said = played(cold_sheet()("17:01", "water 27").tap("17:02", "start").lines, _new(tmp_path))
    assert newest(said, "inject-plan")["outside"] is None


def _new(folder: Path) -> Path:
    """An empty folder beside what was played before."""
    found = folder / "again"
    found.mkdir()
    return found
