"""Whole nights, from scripts under tests/nights: what the bot made of them, by facts and never by text.

Hours of windows are worked out by hand beside the assertion, from the species card's figures: degree-hours
over (water - zero point), times the factor; first hours are set back to the quarter, last ones forward.
"""

from __future__ import annotations

import json
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from bot import inbox, outbox
from bot.clock import HandClock
from bot.house import House
from bot.inbox import InboxRow
from bot.messages import Incoming
from bot.play import play
from bot.store import Store
from bot.worker import work
from core.assistant import bells as bells_of
from core.records import Reminder
from tests.bot.playing import (
    Night,
    Script,
    Transcript,
    actions,
    answers,
    at,
    bells,
    newest,
    night,
    of_kind,
    played,
    played_until_fault,
    script_of,
    scripts,
    shown,
    since,
    time_of,
    transcript_of,
    with_restarts,
)

SIX = [1, 2, 3, 4, 5, 6]


def attempts(transcript: Transcript, step: str) -> dict[str, list[int]]:
    """How often each bell of a step rang, by its due time."""
    rung: dict[str, list[int]] = {}
    for line in bells(transcript, step):
        rung.setdefault(line["reminder"]["due"], []).append(line["reminder"]["attempt"])
    return rung


def due(transcript: Transcript, step: str) -> list[str]:
    """When the bells of a step were due, once each."""
    return list(attempts(transcript, step))


def steps_rung(transcript: Transcript) -> set[str]:
    return {line["reminder"]["step"] for line in bells(transcript)}


def closing(transcript: Transcript) -> list[dict[str, Any]]:
    """The lines with which runs were closed."""
    return [line for line in transcript if line["kind"] == "result" and line["facts"]["closing"]]


def dose(sheet: dict[str, Any], tag: str) -> dict[str, Any]:
    found: dict[str, Any] = next(fish for fish in sheet["fish"] if fish["tag"] == tag)
    return found


# A stripped catfish night ---------------------------------------------------------------------------------


def test_catfish_the_first_words_are_answered_with_doses_and_a_start_button() -> None:
    first = night("catfish-stripped")[0]
    sheet = first["facts"]
    assert first["kind"] == "dose-sheet"
    assert (sheet["species"], sheet["preparation"]) == ("african-catfish", "premix")
    assert {"start", "change", "cancel"} <= set(actions(first))
    assert (sheet["strength"]["ug_per_ml"], sheet["strength"]["mg_per_ml"]) == (20.0, 10.0)
    # 0.5 mL per kg, half of it for the male; a 2 mL syringe shows tenths, a 1 mL one hundredths
    assert [(fish["tag"], fish["final_ml"], fish["drawn_ml"]) for fish in sheet["fish"]] == [
        ("F1", 1.2, 1.2),
        ("F2", 1.55, 1.6),
        ("M1", 0.48, 0.48),
    ]
    assert {"male-optional", "strength-assumed"} <= set(sheet["warnings"])
    assert {"gloves", "one-male"} <= set(sheet["cautions"])


def test_catfish_one_proposal_then_the_whole_plan() -> None:
    (proposed,) = of_kind(night("catfish-stripped"), "inject-plan")
    plan = of_kind(night("catfish-stripped"), "plan")[0]
    told = {each["step"]: each["at"] for each in plan["times"]}
    assert told["inject"] == proposed["final_at"] == at("20:30")
    assert told["check-females"] == proposed["first_look_at"]
    assert {"get-ready", "inject", "check-females", "strip", "check-hatch", "first-feed"} <= set(told)
    assert time_of(plan["alarm_at"]) < time_of(told["check-females"])


def test_catfish_the_clock_starts_from_the_hour_that_was_told() -> None:
    first, then = of_kind(night("catfish-stripped"), "strip-forecast")[:2]
    assert (first["final_injection_at"], first["echo"]) == (at("20:30"), True)
    assert (first["celsius_source"], then["celsius_source"]) == ("assumed", "measured")
    # 106.6 / (27 - 15.05) = 8.92 h: x 0.90 = 8.03 h, x 1.10 = 9.81 h, x 1.515 = 13.51 h after 20:30
    assert (then["earliest_at"], then["likely_at"], then["latest_at"]) == (
        at("2 04:30"),
        at("2 06:15"),
        at("2 10:15"),
    )
    assert then["give_up_at"] == at("2 12:15")


def test_catfish_the_injection_told_silences_its_bell() -> None:
    assert attempts(night("catfish-stripped"), "inject") == {at("20:30"): [1, 2]}


def test_catfish_each_look_rings_until_it_is_answered() -> None:
    assert attempts(night("catfish-stripped"), "check-females") == {at("2 04:30"): [1, 2], at("2 05:30"): [1]}


def test_catfish_eggs_of_one_hour_go_into_one_bowl() -> None:
    eggs = newest(night("catfish-stripped"), "eggs")
    assert [(one["tag"], one["grams"]) for one in eggs["fish"]] == [("F1", 210.0), ("F2", 310.0)]
    assert (eggs["batch"], eggs["total_grams"], eggs["total_eggs"]) == ("1", 520.0, 338_000)  # 650 a gram


def test_catfish_the_fertilising_steps_come_in_one_message_and_eggs_are_not_de_stuck() -> None:
    lines = answers(night("catfish-stripped"), at("2 05:31"))
    assert [line["facts"]["step"] for line in lines] == ["strip", "fertilise"]
    assert lines[1]["buttons"] == []
    assert not {"destick", "load", "spread"} & steps_rung(night("catfish-stripped"))


def test_eggs_that_ran_earlier_are_told_with_their_hour(tmp_path: Path) -> None:
    night = Night()("17:00", "catfish f 2.4 m 1.9")("20:30", "injected")("2 05:30", "eggs run at 05:00")
    step = next(line for line in played(night.lines, tmp_path) if line["facts"].get("step") == "strip")
    assert step["facts"]["since"] == at("2 05:00")
    assert "Eggs run since 05:00." in step["text"]


def test_catfish_the_egg_bath_has_its_two_bells() -> None:
    assert attempts(night("catfish-stripped"), "disinfect") == {at("2 06:13"): [1]}
    assert attempts(night("catfish-stripped"), "rinse") == {at("2 06:24"): [1]}


def test_catfish_count_hatch_and_first_feed() -> None:
    transcript = night("catfish-stripped")
    fertilised = newest(transcript, "fertilised")
    assert (fertilised["percent"], fertilised["low_percent"], fertilised["high_percent"]) == (82.0, 76, 87)
    # 288 / (27 - 14.63) = 23.28 h: x 0.82 = 19.09 h after 05:58
    assert newest(transcript, "hatch-forecast")["earliest_at"] == at("3 01:00")
    assert due(transcript, "check-hatch") == [at("3 01:00"), at("3 06:00")]
    hatched = newest(transcript, "hatched")
    assert hatched["of"] == "fertilised"
    assert (hatched["percent_of_fertilised"], hatched["percent_of_eggs"]) == (91.5, 75.0)
    assert due(transcript, "set-live-food") == [at("5 08:00")]
    assert due(transcript, "first-feed") == [at("6 08:00")]


def test_catfish_the_last_hatch_rate_is_known_while_the_run_is_open_and_after() -> None:
    asked = [facts for facts in of_kind(night("catfish-stripped"), "result") if not facts["closing"]]
    for facts, state in zip(asked, ("open", "closed"), strict=True):
        assert facts["state"] == state
        assert (facts["date"], facts["species"]) == ("2026-06-01", "african-catfish")
        assert (facts["fertilised_percent"], facts["hatched_percent"]) == (82.0, 91.5)
        assert facts["hatched_of"] == "fertilised"
        assert (facts["ovulated"], facts["injected"], facts["hours_to_strip"]) == (2, 2, 9.2)


def test_catfish_first_feed_answered_closes_the_run_once_and_for_all() -> None:
    (closed,) = closing(night("catfish-stripped"))
    assert (closed["at"], closed["facts"]["state"]) == (at("6 09:05"), "closed")
    assert bells(since(night("catfish-stripped"), closed["at"])) == []


def test_the_evening_line_comes_each_evening_of_an_open_run() -> None:
    assert due(night("catfish-stripped"), "all-well") == [at(f"{day} 20:00") for day in range(1, 6)]


# A carp nest night ----------------------------------------------------------------------------------------


def test_nest_eggs_are_looked_for_from_outside_and_no_female_is_pressed() -> None:
    transcript = night("carp-nest")
    # 148.5 / (22 - 12) = 14.85 h: x 0.85 = 12.62 h after 19:00
    assert newest(transcript, "strip-forecast")["earliest_at"] == at("2 07:30")
    assert due(transcript, "check-nest") == [at("2 07:30"), at("2 08:30")]
    assert not {"check-females", "strip", "fertilise", "disinfect"} & steps_rung(transcript)


def test_nest_eggs_seen_start_the_clock_and_send_the_brood_fish_out() -> None:
    transcript = night("carp-nest")
    hatch = newest(transcript, "hatch-forecast")
    assert hatch["from_step"] == "check-nest"
    # 720 / (22 - 12) = 72 h: x 0.8 = 57.6 h, x 1.02 = 73.4 h after 09:20
    assert (hatch["earliest_at"], hatch["likely_at"]) == (at("4 18:45"), at("5 10:45"))
    assert attempts(transcript, "remove-brood") == {at("2 10:20"): [1]}


def test_nest_the_material_stays_until_larvae_swim_free() -> None:
    transcript = night("carp-nest")
    hatched_at = time_of(at("5 08:00"))
    (lifted,) = due(transcript, "remove-substrate")
    assert time_of(lifted) - hatched_at == timedelta(days=3)  # the card's usual figure
    assert newest(transcript, "hatched")["swim_up_at"] == lifted
    (fed,) = due(transcript, "first-feed")
    assert time_of(fed) - hatched_at == timedelta(days=3.5)
    assert time_of(lifted) < time_of(fed)


def test_nest_result() -> None:
    transcript = night("carp-nest")
    (closed,) = closing(transcript)
    assert (closed["at"], closed["facts"]["state"]) == (at("8 20:05"), "closed")
    facts = newest(transcript, "result")
    assert (facts["fertilised_percent"], facts["hatched_percent"]) == (90.0, 83.3)
    assert (facts["ovulated"], facts["injected"]) == (None, 1)


# Five messages --------------------------------------------------------------------------------------------


def test_five_messages_make_a_true_stripped_run() -> None:
    transcript = night("five-messages-catfish")
    assert newest(transcript, "eggs")["total_grams"] == 520.0
    facts = newest(transcript, "result")
    assert (facts["species"], facts["date"]) == ("african-catfish", "2026-06-01")
    assert (facts["fertilised_percent"], facts["hatched_percent"]) == (82.0, 75.0)
    assert (facts["hatched_of"], facts["larvae"]) == ("unknown", None)
    assert (facts["injected"], facts["ovulated"]) == (2, None)  # whose eggs they were was never told
    assert facts["hours_to_strip"] == 9.3
    assert facts["state"] == "closed"


def test_five_messages_make_a_true_nest_run() -> None:
    facts = newest(night("five-messages-nest"), "result")
    assert (facts["species"], facts["state"]) == ("common-carp", "closed")
    assert (facts["fertilised_percent"], facts["hatched_percent"]) == (82.0, 75.0)
    assert (facts["ovulated"], facts["injected"]) == (None, 1)


@pytest.mark.parametrize("name", ["five-messages-catfish", "five-messages-nest"])
def test_five_messages_no_figure_is_invented(name: str) -> None:
    hatched = newest(night(name), "hatched")
    assert hatched["of"] == "unknown"
    assert hatched["percent_of_fertilised"] is None
    assert hatched["percent_of_eggs"] is None
    forecasts = of_kind(night(name), "strip-forecast") + of_kind(night(name), "hatch-forecast")
    assert {facts["celsius_source"] for facts in forecasts} == {"assumed"}


@pytest.mark.parametrize("name", ["five-messages-catfish", "five-messages-nest"])
def test_five_messages_a_run_with_a_figure_closes_a_day_after_its_last_bell(name: str) -> None:
    transcript = night(name)
    last = max(time_of(line["at"]) for line in bells(transcript) if line["reminder"]["step"] != "all-well")
    (closed,) = closing(transcript)
    assert time_of(closed["at"]) - last == timedelta(hours=24)


def test_a_hatch_count_alone_is_taken_where_all_between_was_skipped(tmp_path: Path) -> None:
    said = Night()("19:00", "catfish f 2.4 3.1 m 1.9")("20:30", "injected")("3 08:00", "150 of 200 hatched")
    facts = newest(played(said("3 08:01", "last hatch rate?").lines, tmp_path), "result")
    assert facts["hatched_percent"] == 75.0
    assert (facts["fertilised_percent"], facts["hours_to_strip"], facts["ovulated"]) == (None, None, None)


# Answered with nothing ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "step", "hours"),
    [
        ("unanswered-start", "inject", ["20:30"]),
        (
            "unanswered-injected",
            "check-females",
            ["2 04:45", "2 05:45", "2 06:45", "2 07:45", "2 08:45", "2 09:45", "2 11:30", "2 12:30"],
        ),
    ],
)
def test_unanswered_every_waking_bell_rings_six_times(name: str, step: str, hours: list[str]) -> None:
    assert attempts(night(name), step) == {at(hour): SIX for hour in hours}


def test_unanswered_the_looks_end_two_hours_after_the_latest_hour() -> None:
    forecast = newest(night("unanswered-injected"), "strip-forecast")
    looks = due(night("unanswered-injected"), "check-females")
    assert looks[0] == forecast["first_look_at"]
    assert looks[-1] == forecast["give_up_at"]
    last = [line["facts"]["last"] for line in bells(night("unanswered-injected"), "check-females")]
    assert last[-6:] == [True] * 6
    assert not any(last[:-6])


@pytest.mark.parametrize("name", ["unanswered-start", "unanswered-injected"])
def test_unanswered_a_silent_run_closes_as_not_reported_and_never_as_nothing_hatched(name: str) -> None:
    transcript = night(name)
    last = max(time_of(line["at"]) for line in bells(transcript) if line["reminder"]["step"] != "all-well")
    (closed,) = closing(transcript)
    assert time_of(closed["at"]) - last == timedelta(days=5)
    facts = closed["facts"]
    assert facts["state"] == "not-reported"
    unknown = ("fertilised_percent", "hatched_percent", "larvae", "hours_to_strip", "ovulated")
    assert {key: facts[key] for key in unknown} == dict.fromkeys(unknown)
    assert bells(since(transcript, closed["at"])) == []


@pytest.mark.parametrize("name", ["unanswered-start", "unanswered-injected"])
def test_unanswered_there_is_no_last_hatch_rate(name: str) -> None:
    assert newest(night(name), "ask")["about"] == "no-run"
    assert len(of_kind(night(name), "result")) == 1


def test_unanswered_a_run_not_reported_is_in_no_average() -> None:
    season = newest(night("unanswered-injected"), "summary")
    assert (season["runs"], season["counted"], season["left_out"]) == (1, 0, ["2026-06-01"])
    assert season["hatched_mean_percent"] is None


def test_a_newer_run_without_a_figure_is_said_beside_the_last_hatch_rate(tmp_path: Path) -> None:
    first = script_of(Path(__file__).parents[1] / "nights" / "five-messages-catfish.jsonl")
    then = Night()("20 19:00", "catfish f 2.4 m 1.9")("20 20:30", "injected")("21 19:00", "last hatch rate?")
    facts = newest(played([*first, *then.lines], tmp_path), "result")
    assert (facts["run"], facts["hatched_percent"]) == (1, 75.0)
    assert facts["newer_without"] == ["2026-06-20"]


# Two tanks ------------------------------------------------------------------------------------------------


def test_two_tanks_one_injection_starts_two_clocks() -> None:
    first, second = of_kind(night("two-tanks"), "strip-forecast")
    assert (first["place"], first["celsius"]) == ("tank 1", 27.0)
    assert (second["place"], second["celsius"]) == ("tank 2", 24.5)
    assert first["group"] != second["group"]
    assert first["final_injection_at"] == second["final_injection_at"] == at("20:30")
    # 106.6 / (27 - 15.05) x 0.90 = 8.03 h; 106.6 / (24.5 - 15.05) x 0.90 = 10.15 h
    assert (first["earliest_at"], second["earliest_at"]) == (at("2 04:30"), at("2 06:30"))


def test_two_tanks_the_plan_names_the_looks_of_both() -> None:
    times = newest(night("two-tanks"), "plan")["times"]
    assert [each["at"] for each in times if each["step"] == "check-females"] == [at("2 04:30"), at("2 06:30")]


def test_two_tanks_each_has_its_own_looks() -> None:
    looks = {(line["reminder"]["group"], line["at"]) for line in bells(night("two-tanks"), "check-females")}
    by_group = {group: sorted(hour for of, hour in looks if of == group) for group in ("1", "2")}
    assert by_group["1"] == [at("2 04:30"), at("2 04:32"), at("2 04:34"), at("2 05:30")]
    assert by_group["2"] == [*(at(f"2 06:{30 + 2 * n}") for n in range(6)), at("2 07:30"), at("2 07:32")]


def test_two_tanks_eggs_two_hours_apart_are_two_batches_in_their_own_water() -> None:
    first, second = of_kind(night("two-tanks"), "hatch-forecast")
    assert (first["batch"], second["batch"]) == ("1", "2")
    assert (first["celsius"], second["celsius"]) == (27.0, 24.5)
    # 288 / (27 - 14.63) x 0.82 = 19.09 h after 05:45; 288 / (24.5 - 14.63) x 0.82 = 23.93 h after 07:45
    assert (first["earliest_at"], second["earliest_at"]) == (at("3 00:45"), at("3 07:30"))


def test_two_tanks_counts_and_hatches_by_batch() -> None:
    counted = [(each["batch"], each["percent"]) for each in of_kind(night("two-tanks"), "fertilised")]
    assert counted == [("1", 75.0), ("2", 80.0)]
    hatched = [each for each in of_kind(night("two-tanks"), "hatched") if each["of"] == "fertilised"]
    assert [(each["batch"], each["percent_of_eggs"]) for each in hatched] == [("1", 60.0), ("2", 60.0)]
    # 80 % of 240 g and 75 % of 300 g
    assert newest(night("two-tanks"), "result")["hatched_percent"] == 77.2


# One died, one gave none, one was watery ------------------------------------------------------------------


def test_trouble_a_settled_female_is_looked_at_no_more() -> None:
    waited = [line["facts"]["tags"] for line in bells(night("dead-none-watery"), "check-females")]
    assert waited[0] == ["F1", "F2", "F3", "F4"]
    assert waited[-1] == ["F2", "F3", "F4"]
    assert bells(since(night("dead-none-watery"), at("2 05:38")), "check-females") == []


def test_trouble_watery_eggs_have_their_own_bowl() -> None:
    sound, watery = of_kind(night("dead-none-watery"), "eggs")
    assert [one["tag"] for one in sound["fish"]] == ["F3"]
    assert [(one["tag"], one["quality"]) for one in watery["fish"]] == [("F4", "watery")]
    assert sound["batch"] != watery["batch"]
    assert (sound["test_lot"], watery["test_lot"]) == (False, True)
    assert sound["total_grams"] == 250.0


def test_trouble_the_result_counts_who_gave_and_only_the_sound_batch() -> None:
    facts = newest(night("dead-none-watery"), "result")
    assert (facts["ovulated"], facts["injected"]) == (2, 4)
    assert (facts["fertilised_percent"], facts["hatched_percent"]) == (75.0, 80.0)


def test_trouble_watery_eggs_told_first_are_not_joined_by_sound_ones(tmp_path: Path) -> None:
    said = Night()("19:00", "catfish f 2.4 3.1 m 1.9")("20:30", "injected")
    said("2 05:40", "F1 180 g watery")("2 05:45", "F2 250 g")
    watery, sound = of_kind(played(said.lines, tmp_path), "eggs")
    assert [one["tag"] for one in watery["fish"]] == ["F1"]
    assert [one["tag"] for one in sound["fish"]] == ["F2"]
    assert sound["test_lot"] is False


def test_no_eggs_at_all_closes_the_run_at_once() -> None:
    transcript = night("no-eggs")
    (closed,) = closing(transcript)
    assert (closed["at"], closed["facts"]["state"]) == (at("2 05:33"), "closed")
    assert (closed["facts"]["ovulated"], closed["facts"]["injected"]) == (0, 2)
    assert closed["facts"]["hatched_percent"] is None
    assert bells(since(transcript, closed["at"])) == []
    assert newest(transcript, "ask")["about"] == "no-run"


# Corrections ----------------------------------------------------------------------------------------------


def test_corrections_before_the_injection_the_sheet_follows() -> None:
    sheets = [dose(sheet, "F1")["final_ml"] for sheet in of_kind(night("corrections"), "dose-sheet")[:2]]
    assert sheets == [1.2, 1.3]
    edit, words = of_kind(night("corrections"), "corrected")[:2]
    assert (edit["of"], edit["already_injected"]) == ("weighed", [])
    assert [fish["kg"] for fish in (*edit["before"], *edit["after"])] == [2.4, 2.6]
    assert {fish["tag"] for fish in (*edit["before"], *edit["after"])} == {"F1"}
    assert [fish["kg"] for fish in (*words["before"], *words["after"])] == [3.1, 3.3]


def test_corrections_undo_takes_the_newest_word_back_alone() -> None:
    sheets = of_kind(night("corrections"), "dose-sheet")
    assert [dose(sheet, "F2")["kg"] for sheet in sheets[:4]] == [3.1, 3.1, 3.3, 3.1]
    assert dose(sheets[3], "F1")["kg"] == 2.6


def test_corrections_a_spent_button_is_answered_and_changes_nothing() -> None:
    (line,) = answers(night("corrections"), at("20:34"))
    assert line["kind"] == "answered"
    assert (line["facts"]["by"], line["facts"]["at"]) == ("ada", at("19:10"))


def test_corrections_after_the_injection_it_says_what_that_means() -> None:
    late = of_kind(night("corrections"), "corrected")[2]
    assert [fish["kg"] for fish in (*late["before"], *late["after"])] == [2.6, 2.8]
    assert late["already_injected"] == ["F1"]
    assert (late["dose_before_ml"], late["dose_after_ml"]) == (1.3, 1.4)


def test_corrections_what_went_in_stays_what_went_in() -> None:
    (shot,) = newest(night("corrections"), "given")["given"]
    assert (shot["tag"], shot["ml"], shot["at"]) == ("F1", 1.3, at("20:30"))
    assert newest(night("corrections"), "given")["total_per_kg"] == 9.3  # 26 ug in 2.8 kg


def test_corrections_a_corrected_hour_moves_the_window() -> None:
    moved = of_kind(night("corrections"), "strip-forecast")[1]
    assert moved["final_injection_at"] == at("20:10")
    corrected = of_kind(night("corrections"), "corrected")[3]
    assert (corrected["of"], corrected["before"], corrected["after"]) == (
        "injected",
        [at("20:30")],
        [at("20:10")],
    )
    assert due(night("corrections"), "check-females")[0] == at("2 04:00")


def test_corrections_a_late_message_counts_at_its_own_hour() -> None:
    eggs = of_kind(night("corrections"), "eggs")[0]
    assert eggs["at"] == at("2 05:10")


def test_corrections_after_an_undo_she_is_waited_for_again() -> None:
    assert newest(night("corrections"), "refused")["why"] == "nothing-to-undo"
    again = bells(since(night("corrections"), at("2 06:08")), "check-females")
    assert again != []
    assert {tag for line in again for tag in line["facts"]["tags"]} == {"F2"}


def test_ago_and_clock_times_count_from_the_messengers_own_date(tmp_path: Path) -> None:
    said = Night()("19:00", "catfish f 2.4 m 1.9")
    said.add("23:00", text="injected 20 min ago", sent_at=at("20:50"))
    said.add("23:05", text="no, injected 20.25", sent_at=at("20:55"))
    forecasts = of_kind(played(said.lines, tmp_path), "strip-forecast")
    assert [each["final_injection_at"] for each in forecasts] == [at("20:30"), at("20:25")]


@pytest.mark.parametrize("words", ["210 g at 5.40", "F1 210 g at 5.40"])
def test_grams_with_their_hour_are_taken_while_a_look_rings(words: str, tmp_path: Path) -> None:
    said = Night()("19:00", "catfish f 2.4 m 1.9")("20:30", "injected")("2 05:50", words)
    (eggs,) = of_kind(played(said.lines, tmp_path), "eggs")
    assert (eggs["total_grams"], eggs["at"]) == (210.0, at("2 05:40"))


@pytest.mark.parametrize(
    "words", ["150 of 164 hatched, of the good ones", "hatched 150 of 164 fertilised eggs"]
)
def test_what_a_hatch_count_was_of_is_not_asked_where_it_was_told(words: str, tmp_path: Path) -> None:
    said = Night()("19:00", "catfish f 2.4 m 1.9")("20:30", "injected")("2 05:50", "F1 210 g")
    assert newest(played(said("3 08:00", words).lines, tmp_path), "hatched")["of"] == "fertilised"


# Cancelled ------------------------------------------------------------------------------------------------


def test_cancel_nothing_rings_any_more_and_the_run_says_so_once() -> None:
    transcript = night("cancelled")
    after = since(transcript, at("20:35"))
    assert [line["kind"] for line in after] == ["cancelled", "result", "ask"]
    assert after[0]["facts"]["treated"] == ["F1", "F2", "M1"]
    assert (after[1]["facts"]["state"], after[1]["facts"]["hatched_percent"]) == ("cancelled", None)
    assert after[2]["facts"]["about"] == "no-run"


def test_cancel_taken_back_the_bells_are_there_again(tmp_path: Path) -> None:
    said = Night()("19:00", "catfish f 2.4 m 1.9")("20:30", "injected")("20:36", "cancel")
    transcript = played(said.tap("20:40", "undo").until("2 05:00").lines, tmp_path)
    assert attempts(transcript, "check-females") == {at("2 04:45"): SIX}


# In a group -----------------------------------------------------------------------------------------------


def test_group_chatter_is_met_with_silence() -> None:
    for clock in ("19:01", "19:02", "19:04"):
        assert answers(night("group"), at(clock)) == []


def test_group_a_newcomer_is_put_to_the_founder_once() -> None:
    (asked,) = answers(night("group"), at("19:03"))
    assert (asked["chat"], asked["kind"], asked["facts"]["about"]) == ("pondside", "ask", "member")
    assert actions(asked) == ["yes", "no"]
    assert len([facts for facts in of_kind(night("group"), "ask") if facts["words"] == "ben"]) == 1


def test_group_a_stranger_cannot_press_and_is_told_so_alone() -> None:
    for clock in ("19:05", "19:06"):
        (line,) = answers(night("group"), at(clock))
        assert (line["chat"], line["kind"]) == ("ben", "refused")
    assert of_kind(night("group"), "inject-plan") == []


def test_group_whoever_was_let_in_is_heard_and_who_was_not_is_not() -> None:
    assert answers(night("group"), at("20:30"))[0]["kind"] == "strip-forecast"
    assert answers(night("group"), at("20:33")) == []
    assert of_kind(night("group"), "cancelled") == []
    assert {line["chat"] for line in bells(night("group"))} == {"pondside"}
    assert attempts(night("group"), "check-females") == {at("2 04:45"): SIX}


# Several runs and farms -----------------------------------------------------------------------------------


def _two_runs() -> Night:
    said = Night()("19:00", "catfish f 2.4 m 1.9")("19:05", "injected")
    return said("19:30", "common carp f 4.2 m 3.0")("19:35", "injected")


def test_two_runs_have_one_evening_line(tmp_path: Path) -> None:
    transcript = played(_two_runs().until("2 21:00").lines, tmp_path)
    assert [line["at"] for line in bells(transcript, "all-well")] == [at("20:00"), at("2 20:00")]


@pytest.mark.parametrize(
    ("words", "species"), [("eggs on the mat", "common-carp"), ("210 g", "african-catfish")]
)
def test_two_runs_words_that_fit_one_way_alone_are_not_asked_about(
    words: str, species: str, tmp_path: Path
) -> None:
    transcript = played(_two_runs()("2 06:00", "eggs run")("2 06:10", words).lines, tmp_path)
    called = {line["facts"].get("called") for line in answers(transcript, at("2 06:10"))}
    assert called == {species}


def test_whoever_belongs_to_two_farms_sees_the_farms_name_first_in_each_text(tmp_path: Path) -> None:
    group = Night(chat="pondside")("18:00", "catfish f 2.4 m 1.9")
    own = Night()("19:00", "catfish f 3.1 m 1.9")("19:05", "injected").until("2 04:00")
    transcript = since(played([*group.lines, *own.lines], tmp_path), at("18:00"))
    assert bells(transcript) != []
    assert {line["facts"]["farm"] for line in transcript} == {"ada"}
    assert [line["text"] for line in transcript if not line["text"].startswith("ada:")] == []


# The phone alarm -------------------------------------------------------------------------------------------


def alarms_of(said: Transcript) -> list[str | None]:
    return [line["facts"]["alarm_at"] for line in said if line["kind"] == "strip-forecast"]


def test_a_first_look_that_moves_takes_its_phone_alarm_along(tmp_path: Path) -> None:
    night = Night()("19:00", "catfish f 2.4 m 1.9")("20:30", "injected")("20:35", "water 29")
    night = night("20:40", "when do they strip?")("23:00", "24 C")("23:10", "no, injected 20:10")
    said = played(night.lines, tmp_path)
    looks = [line["facts"]["first_look_at"] for line in said if line["kind"] == "strip-forecast"]
    before = [(time_of(look) - timedelta(minutes=5)).isoformat() for look in looks]
    assert alarms_of(said) == [None, before[1], None, before[3], None]
    plans = [line["facts"]["alarm_at"] for line in said if line["kind"] == "plan"]
    assert plans == [before[0], before[4]]  # an injection's own forecast has the plan behind it


def test_a_first_look_that_is_past_needs_no_alarm(tmp_path: Path) -> None:
    said = played(
        Night()("19:00", "catfish f 2.4 m 1.9")("20:30", "injected")("2 06:30", "26 C").lines, tmp_path
    )
    assert alarms_of(said)[1:] == [None]


# Restarts and downtime ------------------------------------------------------------------------------------


SHORT_ONES = {"night", "carp-nest", "five-messages-hapa", "group", "two-tanks"}
RESTARTED = [
    pytest.param(path, id=path.stem, marks=[] if path.stem in SHORT_ONES else [pytest.mark.long])
    for path in scripts()
]


@pytest.mark.parametrize("path", RESTARTED)
def test_a_restart_after_every_line_changes_nothing(path: Path, tmp_path: Path) -> None:
    assert shown(played(with_restarts(script_of(path)), tmp_path)) == shown(transcript_of(path))


def test_bells_due_while_the_process_was_down_come_at_its_start_and_say_how_late(tmp_path: Path) -> None:
    said = Night()("19:00", "catfish f 2.4 m 1.9")("20:30", "injected")
    down = {"at": at("2 06:00"), "restart": 120}
    rung = bells(played([*said.lines, down], tmp_path))
    assert [line["at"] for line in rung] == [at("2 06:00"), at("2 06:00")]
    late = [(line["reminder"]["due"], line["facts"]["late_minutes"]) for line in rung]
    assert late == [(at("2 04:45"), 75), (at("2 05:45"), 15)]


def test_a_message_that_fails_inside_is_answered_and_stops_nothing(tmp_path: Path) -> None:
    told = time_of(at("19:00"))
    store = Store.open(tmp_path / "store.db")
    with store.transaction():
        inbox.receive(store, Incoming("k1", "ada", True, "ada", "en", "text", told, 360, text="hello"))

    def failing(row: InboxRow) -> Incoming:
        raise RuntimeError(row.key)

    work(House(store, HandClock(told)), failing)
    assert [message.kind for message in outbox.unsent(store)] == ["refused"]
    assert not inbox.waiting(store, 1)
    store.close()


# Bad lines ------------------------------------------------------------------------------------------------

GOOD = Night()("19:00", "catfish f 2.4 m 1.9")("20:30", "injected").lines
BAD_LINES = [
    ("not-json", "{at: now}"),
    ("not-an-object", "[1, 2]"),
    ("unknown-key", {"at": at("20:40"), "user": "ada", "chat": "ada", "txt": "water 27"}),
    ("time-going-back", {"at": at("20:20"), "user": "ada", "chat": "ada", "text": "water 27"}),
    ("no-such-button", {"at": at("20:40"), "user": "ada", "chat": "ada", "tap": "eggs-run"}),
    ("no-such-message", {"at": at("20:40"), "user": "ada", "chat": "ada", "edit": 3, "text": "f 2.5"}),
    ("no-such-photo", {"at": at("20:40"), "user": "ada", "chat": "ada", "photo": "none.jpg"}),
    ("bad-restart", {"at": at("20:40"), "restart": "soon"}),
    ("bad-restart", {"at": at("20:40"), "restart": -5}),
    ("bad-restart", {"at": at("20:40"), "restart": False}),
    ("one-act-wanted", {"at": at("20:40"), "user": "ada", "chat": "ada"}),
    ("one-act-wanted", {"at": at("20:40"), "user": "ada", "chat": "ada", "text": "water 27", "tap": "undo"}),
    ("missing-key", {"at": at("20:40"), "chat": "ada", "text": "water 27"}),
    ("bad-time", {"at": "soon", "user": "ada", "chat": "ada", "text": "water 27"}),
    ("no-offset", {"at": "2026-06-01T20:40:00", "user": "ada", "chat": "ada", "text": "water 27"}),
]


@pytest.mark.parametrize(("fault", "bad"), BAD_LINES, ids=[fault for fault, _ in BAD_LINES])
def test_a_bad_line_is_named_and_the_lines_before_it_are_played_and_kept(
    fault: str, bad: Any, tmp_path: Path
) -> None:
    after = {"at": at("20:50"), "user": "ada", "chat": "ada", "text": "cancel"}
    sent, found = played_until_fault([*GOOD, bad, after], tmp_path)
    assert found is not None
    assert (found.params["line"], found.params["fault"]) == (3, fault)
    assert [line["kind"] for line in sent] == ["dose-sheet", "strip-forecast", "plan"]
    again = played(Night()("21:00", "what did I give F1?").lines, tmp_path)
    assert [line["kind"] for line in again] == ["given"]


def test_a_bad_line_counts_empty_lines_as_an_editor_does(tmp_path: Path) -> None:
    _, found = played_until_fault([json.dumps(GOOD[0]), "", "nonsense"], tmp_path)
    assert found is not None
    assert found.params["line"] == 3


def test_a_later_play_goes_on_where_the_first_one_stopped(tmp_path: Path) -> None:
    whole = Night()("19:00", "catfish f 2.4 m 1.9")("20:30", "injected")("2 05:00", "not yet")
    whole.until("2 07:00")
    (tmp_path / "one").mkdir()
    (tmp_path / "two").mkdir()
    in_one = played(whole.lines, tmp_path / "one")
    parts: list[Script] = [whole.lines[:2], whole.lines[2:]]
    assert shown([line for part in parts for line in played(part, tmp_path / "two")]) == shown(in_one)


def test_a_play_that_begins_before_the_stores_last_time_is_refused(tmp_path: Path) -> None:
    played(GOOD, tmp_path)
    sent, found = played_until_fault(Night()("20:29", "cancel").lines, tmp_path)
    assert found is not None
    assert (found.params["line"], sent) == (1, [])


def test_a_play_that_begins_before_a_bell_that_rang_is_refused(tmp_path: Path) -> None:
    played([*GOOD, {"at": at("2 05:00"), "until": True}], tmp_path)
    _, found = played_until_fault([{"at": at("2 04:40"), "until": True}], tmp_path)
    assert found is not None
    assert found.params["line"] == 1


def test_times_keep_the_offset_of_the_chats_first_line(tmp_path: Path) -> None:
    then = {"at": "2026-06-01T14:35:00+00:00", "user": "ada", "chat": "ada", "text": "water 27"}
    line = played([*GOOD, then], tmp_path)[-1]
    assert (line["at"], line["facts"]["final_injection_at"]) == (at("20:35"), at("20:30"))
    assert datetime.fromisoformat(line["at"]).utcoffset() == timedelta(hours=6)


def test_the_clock_on_the_wall_sets_the_farms_time_and_moves_no_bell(tmp_path: Path) -> None:
    """17:08 at +03:00 is 14:08 UTC: a wall that shows 20:08 stands at +06:00."""
    lines = Night()("17:00", "catfish f 2.4 m 1.9")("17:05", "injected")("17:08", "it is 20:08 here")
    *_, zone = played(
        [dict(line, at=line["at"].replace("+06:00", "+03:00")) for line in lines.lines], tmp_path
    )
    assert zone["kind"] == "noted"
    assert zone["at"].endswith("T20:08:00+06:00")
    assert "20:08" in zone["text"]


def test_a_species_said_first_waits_for_its_weights(tmp_path: Path) -> None:
    said = Night()("17:00", "catfish")("17:01", "f 2.4 m 1.9")
    asked, sheet = played(said.lines, tmp_path)
    assert (asked["kind"], asked["facts"]["about"]) == ("ask", "weights")
    assert sheet["facts"]["species"] == "african-catfish"


def test_weights_without_a_species_wait_for_it_and_so_does_the_injection(tmp_path: Path) -> None:
    said = Night()("17:00", "f 2.4 m 1.9")("20:30", "injected")("20:40", "catfish")
    transcript = played(said.lines, tmp_path)
    assert newest(transcript, "dose-sheet")["species"] == "african-catfish"
    assert newest(transcript, "strip-forecast")["final_injection_at"].endswith("T20:30:00+06:00")


@pytest.mark.parametrize(("words", "why"), [("270", "implausible"), ("12", None)])
def test_water_far_from_what_the_fish_bears_is_asked_about(
    tmp_path: Path, words: str, why: str | None
) -> None:
    said = Night()("17:00", "catfish f 2.4 m 1.9")("20:30", "injected")("20:31", words)
    last = played(said.lines, tmp_path)[-1]
    assert last["kind"] == ("ask" if why else "hold")
    assert last["facts"].get("why") in (why, "too-cold")


def test_eggs_hours_before_the_first_look_are_asked_about(tmp_path: Path) -> None:
    said = Night()("17:00", "catfish f 2.4 m 1.9")("20:30", "injected")("20:45", "F1 210 g")
    transcript = played(said.lines, tmp_path)
    assert transcript[-1]["facts"]["about"] == "eggs-early"
    assert of_kind(transcript, "eggs") == []


def test_one_word_never_takes_an_injection_back(tmp_path: Path) -> None:
    said = Night()("17:00", "catfish f 2.4 m 1.9")("20:30", "injected")("20:31", "undo")(
        "20:32", "what did I give F1?"
    )
    transcript = played(said.lines, tmp_path)
    assert [line["facts"].get("about") for line in transcript if line["kind"] == "ask"] == ["undo"]
    assert newest(transcript, "given")["given"][0]["ml"] == 1.2


def test_what_went_in_is_no_second_dose(tmp_path: Path) -> None:
    said = Night()("17:00", "catfish f 2.4 m 1.9")("20:30", "injected")("20:31", "f1 got only 0.8 ml")
    transcript = played(said("20:32", "what did I give F1?").lines, tmp_path)
    assert [(shot["n"], shot["ml"]) for shot in newest(transcript, "given")["given"]] == [(1, 0.8)]


def test_undo_of_an_edit_brings_the_first_words_back(tmp_path: Path) -> None:
    said = Night()("17:00", "catfish f 2.4 m 1.9")("20:30", "injected").edit(
        "20:40", 1, "catfish f 3.4 m 1.9"
    )
    transcript = played(said("20:41", "undo")("20:42", "dose?").lines, tmp_path)
    assert newest(transcript, "dose-sheet")["fish"][0]["kg"] == 2.4
    assert newest(transcript, "dose-sheet")["run"] == 1


def test_a_photo_is_kept_in_the_file_and_its_caption_is_read(tmp_path: Path) -> None:
    (tmp_path / "belly.jpg").write_bytes(b"a picture of a belly")
    night = Night()("17:00", "catfish f 2.4 m 1.9")("20:30", "injected")
    night.add("2 05:40", photo="belly.jpg", caption="F1 eggs run")
    script = tmp_path / "night.jsonl"
    script.write_text("\n".join(map(json.dumps, night.lines)))
    printed: list[str] = []
    play(script, tmp_path / "farm.db", printed.append)
    kinds = [json.loads(line)["kind"] for line in printed if json.loads(line)["reminder"] is None]
    assert kinds[-3:] == ["noted", "step", "step"]
    store = Store.open(tmp_path / "farm.db", must_exist=True)
    assert store.photos(1, 1) == (("belly.jpg", b"a picture of a belly"),)
    store.close()


# What a strict reader of the code found, each in its shortest form ------------------------------------------


def test_the_same_fish_injected_again_is_asked_about(tmp_path: Path) -> None:
    night = Night()("19:00", "catfish f 2.4 3.1 m 1.9")("20:30", "injected")("22:00", "injected F1")
    transcript = played(night("22:05", "what did I give F1?").lines, tmp_path)
    assert [line["facts"]["why"] for line in transcript if line["kind"] == "ask"] == ["already-injected"]
    assert len(newest(transcript, "given")["given"]) == 1


def test_unnamed_grams_are_of_the_female_that_runs(tmp_path: Path) -> None:
    night = Night()("19:00", "catfish f 2.4 3.1 m 1.9")("20:30", "injected")
    night = night("2 05:00", "F1 eggs run")("2 05:20", "240 g").until("2 07:00")
    transcript = played(night.lines, tmp_path)
    assert [fish["tag"] for fish in newest(transcript, "eggs")["fish"]] == ["F1"]
    later = [line["facts"]["tags"] for line in bells(since(transcript, at("2 05:20")), "check-females")]
    assert later and all(tags == ["F2"] for tags in later)


def test_fish_of_unknown_sex_are_looked_at_as_females(tmp_path: Path) -> None:
    night = Night()("19:00", "catfish 2.4 3.1")("20:30", "injected").until("2 06:00")
    assert bells(played(night.lines, tmp_path), "check-females")


def test_an_edit_touches_no_other_fish(tmp_path: Path) -> None:
    night = Night()("19:00", "catfish f 2.4")("19:01", "f 3.1").edit("19:02", 2, "f 3.1 2.8")
    fish = newest(played(night.lines, tmp_path), "dose-sheet")["fish"]
    assert [(each["tag"], each["kg"]) for each in fish] == [("F1", 2.4), ("F2", 3.1), ("F3", 2.8)]


def test_a_correction_takes_back_only_what_it_speaks_of(tmp_path: Path) -> None:
    night = Night()("19:00", "catfish f 2.4 3.1 m 1.9")("20:30", "injected")
    night = night("2 05:30", "F1 210 g, F2 180 g")("2 05:31", "no, F1 gave 250 g")
    eggs = newest(played(night.lines, tmp_path), "eggs")["fish"]
    assert [(each["tag"], each["grams"]) for each in eggs] == [("F1", 250.0), ("F2", 180.0)]


def test_a_mended_count_of_eggs_leaves_the_larvae_alone(tmp_path: Path) -> None:
    night = Night()("19:00", "catfish f 2.4 m 1.9")("20:30", "injected")("2 05:30", "F1 210 g")
    night = night("2 18:00", "164 of 200 fertilised")("3 09:00", "150 of 200 hatched, of all eggs")
    night = night("3 09:05", "no, 160 of 200 fertilised")("3 09:10", "last hatch rate?")
    result = newest(played(night.lines, tmp_path), "result")
    assert (result["fertilised_percent"], result["hatched_percent"]) == (80.0, 75.0)


def test_a_mended_hour_of_one_fish_keeps_the_others_injected(tmp_path: Path) -> None:
    night = Night()("19:00", "catfish f 2.4 3.1 m 1.9")("20:30", "injected")
    night = night("21:00", "no, injected F1 at 20:10")("21:05", "what did I give?")
    given = newest(played(night.lines, tmp_path), "given")["given"]
    assert {shot["tag"] for shot in given} == {"F1", "F2", "M1"}


def test_an_injection_far_back_is_asked_about(tmp_path: Path) -> None:
    night = Night()("19:00", "catfish f 2.4 m 1.9")("23:30", "injected 07:30")
    *_, asked = played(night.lines, tmp_path)
    assert (asked["kind"], asked["facts"]["why"]) == ("ask", "long-ago")


def test_a_male_injected_later_has_no_window_of_eggs(tmp_path: Path) -> None:
    night = Night()("19:00", "catfish f 2.4 m 1.9")("20:30", "injected F1")("22:30", "injected M1")
    forecasts = of_kind(played(night.lines, tmp_path), "strip-forecast")
    assert [each["tags"] for each in forecasts] == [["F1"]]


def test_all_of_them_is_kept(tmp_path: Path) -> None:
    night = Night()("19:00", "catfish f 2.4 3.1 m 1.9")("20:30", "injected")("2 05:30", "520 g")
    night = night.add("2 05:31", tap="fish:all")("2 18:00", "164 of 200")("3 09:00", "150 of 200 hatched")
    assert newest(played(night("3 09:10", "last hatch rate?").lines, tmp_path), "result")["ovulated"] == 2


def test_a_zone_is_known_however_it_is_written(tmp_path: Path) -> None:
    night = Night()("19:00", "Africa/Dar_es_Salaam")
    assert played(night.lines, tmp_path)[-1]["at"].endswith("+03:00")


def test_a_failing_bell_does_not_stop_the_others(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A fault inside a bell is set back, and everything else goes on."""
    rung = bells_of.ring

    def sometimes(reminder: Reminder, *rest: Any) -> Any:
        if reminder.bell.key.step == "get-ready":
            raise ZeroDivisionError("planted")
        return rung(reminder, *rest)

    monkeypatch.setattr(bells_of, "ring", sometimes)
    night = Night()("18:00", "catfish f 2.4 m 1.9").add("18:01", tap="start").until("20:40")
    assert bells(played(night.lines, tmp_path), "inject")


@pytest.mark.parametrize("words", ["double dose please", "the dose is too big", "skip the male dose"])
def test_a_dose_spoken_of_is_not_an_injection(words: str, tmp_path: Path) -> None:
    night = Night()("18:00", "catfish f 2.4 m 1.9").add("18:01", tap="start")("18:10", words)
    lines = played(night.until("19:00").lines, tmp_path)
    assert "injected" not in [line["kind"] for line in lines if line.get("kind")]
    assert not any("18:10, right" in str(line.get("text", "")) for line in lines)


def test_no_eggs_while_they_may_still_come_is_asked(tmp_path: Path) -> None:
    night = Night()("19:00", "catfish f 2.4 m 1.9")("20:30", "injected")("2 04:47", "no eggs")
    said = played(night.lines, tmp_path)[-1]
    assert "or not yet?" in str(said)


def test_the_clock_told_beside_an_injection_loses_no_injection(tmp_path: Path) -> None:
    night = Night()("18:00", "catfish f 2.4 m 1.9")("21:45", "it's 21:40 here, all injected")
    said = played(night.lines, tmp_path)
    assert newest(said, "strip-forecast")["final_injection_at"].endswith("T21:45:00+06:00")
    assert newest(said, "noted")["what"] == "zone"


def test_done_hours_after_the_last_ring_is_no_injection(tmp_path: Path) -> None:
    night = Night()("17:00", "catfish f 2.4 m 1.9").add("17:01", tap="start")("17:02", "ok")
    said = played(night("2 02:32", "done").lines, tmp_path)
    assert bells(said, "inject")
    assert said[-1]["kind"] == "ask"
    assert newest(said, "ask")["why"] == "no-bell"
    assert "strip-forecast" not in {line["kind"] for line in said}


def test_which_run_is_answered_by_the_name_of_its_fish(tmp_path: Path) -> None:
    night = Night()("17:00", "catfish f 2.4 m 1.9").add("17:01", tap="start")
    night = night("17:05", "common carp f 4 m 3").add("17:06", tap="start")("17:10", "injected")
    said = played(night("17:11", "the carp").lines, tmp_path)
    assert newest(said, "ask")["about"] == "which-run"
    assert newest(said, "strip-forecast")["called"] == "common-carp"


def test_a_fish_without_a_card_gets_no_dose(tmp_path: Path) -> None:
    said = played(Night()("18:00", "wels f 6 m 5").lines, tmp_path)
    assert [line["kind"] for line in said] == ["refused"]
