"""Six nights that the windows are trusted with; what each must show is said by its test.

The scripts stand in tests/nights and are read aloud with `hatchbell play SCRIPT --pretty`.
"""

from __future__ import annotations

import json
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from bot import knowledge
from tests.bot.playing import Transcript, bells, minutes_between, newest, night, of_kind

NIGHTS = Path(__file__).resolve().parents[1] / "nights"
WITHIN_MINUTES = {"fertilise", "spread", "swell"}
"""Milt, stir, water, spread: told in one message before hands are wet, never rung for as they come."""


def said_by_farmer(name: str) -> list[dict[str, Any]]:
    return [json.loads(line) for line in (NIGHTS / f"{name}.jsonl").read_text("utf-8").splitlines()]


def rung(transcript: Transcript, step: str) -> list[str]:
    """When the bells of a step came, each at its first attempt."""
    return [line["at"] for line in bells(transcript, step) if line["reminder"]["attempt"] == 1]


def asked_for_water(transcript: Transcript) -> list[str]:
    return [line["at"] for line in transcript if line["facts"].get("asks") == "water"]


# A first-timer without thermometer ------------------------------------------------------------------------


def test_without_a_thermometer_the_water_is_asked_once() -> None:
    said = night("first-timer")
    (asked,) = asked_for_water(said)
    answered = next(line["at"] for line in said_by_farmer("first-timer") if line.get("tap") == "answer:none")
    assert asked < answered
    assert newest(said, "strip-forecast")["celsius_source"] == "assumed"


def test_what_takes_minutes_rings_only_where_a_quarter_of_an_hour_went_by_in_silence() -> None:
    said = night("twelve-females")
    rung_late = [line for line in bells(said) if line["reminder"]["step"] in WITHIN_MINUTES]
    assert rung_late
    for line in rung_late:
        eggs = next(each for each in reversed(said[: said.index(line)]) if each["kind"] == "eggs")
        assert minutes_between(eggs["at"], line["at"]) >= 15


def test_milt_stir_and_water_come_in_one_message_before_hands_are_wet() -> None:
    said = night("first-timer")
    told = [line for line in said if line["kind"] == "step" and line["facts"]["step"] in WITHIN_MINUTES]
    assert [(line["facts"]["step"], line["reminder"]) for line in told] == [("fertilise", None)]
    assert told[0]["at"] < next(line["at"] for line in said if line["kind"] == "eggs")


# Twelve females, two tanks, one shared phone --------------------------------------------------------------


def test_two_tanks_keep_two_clocks() -> None:
    said = night("twelve-females")
    warm, cool = of_kind(said, "strip-forecast")
    assert (warm["place"], warm["celsius"], cool["place"], cool["celsius"]) == (
        "tank 1",
        27.5,
        "tank 2",
        24.5,
    )
    assert minutes_between(warm["first_look_at"], cool["first_look_at"]) > 120
    looks = {line["facts"]["place"]: [] for line in bells(said, "check-females")}
    for line in bells(said, "check-females"):
        looks[line["facts"]["place"]].append(line["reminder"]["due"])
    assert min(looks["tank 1"]) == warm["first_look_at"] and min(looks["tank 2"]) == cool["first_look_at"]


def test_the_hatch_rate_is_told_by_batch_and_every_total_recomputes() -> None:
    said = night("twelve-females")
    grams = {"1": [230, 260, 310, 280], "2": [190], "3": [200, 250, 300, 240, 210]}  # as in the script
    eggs = {fact["batch"]: fact for fact in of_kind(said, "eggs")}
    for batch, weighed in grams.items():
        assert eggs[batch]["total_grams"] == sum(weighed)
        assert eggs[batch]["total_eggs"] == sum(weighed) * eggs[batch]["eggs_per_gram"]
    result = newest(said, "result")
    by_lot = {lot["called"]: lot["hatched_percent"] for lot in result["batches"]}
    assert by_lot == {"F1, F2, F4, F5": 70, "F6": None, "F7, F8, F9, F10, F11": 60, "F12": None}
    mean = (70 * sum(grams["1"]) + 60 * sum(grams["3"])) / (sum(grams["1"]) + sum(grams["3"]))
    assert result["hatched_percent"] == round(mean, 1)
    assert (result["ovulated"], result["injected"]) == (11, 12)
    sheet = newest(said, "dose-sheet")
    assert sheet["total_ml"] == pytest.approx(sum(fish["drawn_ml"] for fish in sheet["fish"]))


# A farm that sells day-3 larvae ---------------------------------------------------------------------------


def test_a_season_of_sold_larvae_adds_up_and_a_run_without_eggs_is_no_zero() -> None:
    said = night("day-three-larvae")
    summary = newest(said, "summary")
    assert (summary["runs"], summary["counted"], summary["hatched_mean_percent"]) == (3, 1, 60)
    assert summary["no_eggs"] == ["2026-06-10"] and set(summary["left_out"]) == {"2026-06-01", "2026-06-10"}
    assert (summary["larvae"], summary["sold"]) == (210_000 + 150_000, 120_000 + 60_000)
    without = next(fact for fact in of_kind(said, "result") if fact["date"] == "2026-06-10")
    assert (without["hatched_percent"], without["had_eggs"], without["ovulated"]) == (None, False, 0)
    sold = [fact for fact in of_kind(said, "noted") if fact["what"] == "sold"]
    assert [(fact["number"], fact["total"], fact["whole"]) for fact in sold] == [
        (120_000, 120_000, 210_000),
        (60_000, 180_000, 210_000),
    ]


def test_food_is_set_a_day_before_the_first_feed() -> None:
    said = night("day-three-larvae")
    lead = knowledge.cards()["african-catfish"].live_food_lead_hours
    assert lead is not None and lead.usual is not None
    hatched = of_kind(said, "hatched")[0]
    ahead = minutes_between(rung(said, "set-live-food")[0], hatched["first_feed_at"])
    assert ahead == lead.usual * 60


# Carp in a cistern with a cold front ----------------------------------------------------------------------


def test_the_hold_is_shown_while_the_water_is_outside_and_ends_with_it() -> None:
    said = night("cold-front")
    holds = of_kind(said, "hold")
    assert [fact["celsius"] for fact in holds] == [17, 14.5, 14.5, 16]
    assert {fact["why"] for fact in holds} == {"outside-source", "too-cold"}
    planned = [line for line in said if line["kind"] == "strip-forecast"]
    assert all(not "2026-04-21T00:30" <= line["at"] < "2026-04-21T14:15" for line in planned)
    assert planned[-1]["facts"]["celsius"] == 20
    # colder hours before it are gone: eggs come later than they would have in the water of the evening
    assert planned[-1]["facts"]["likely_at"] > planned[0]["facts"]["latest_at"]


def test_on_hold_the_water_is_asked_every_four_hours_and_looks_go_on() -> None:
    said = night("cold-front")
    asked = rung(said, "check-water")
    told = ["2026-04-21T00:30:00+02:00", "2026-04-21T06:00:00+02:00", "2026-04-21T10:10:00+02:00"]
    assert [minutes_between(before, at) for before, at in zip(told, asked, strict=True)] == [240, 240, 240]
    during = [at for at in rung(said, "check-nest") if told[0] < at < "2026-04-21T14:15"]
    assert during and {minutes_between(a, b) for a, b in pairwise(during)} == {60}


def test_the_mat_is_not_lifted_before_larvae_swim_free() -> None:
    said = night("cold-front")
    (hatched,) = of_kind(said, "hatched")
    lift = rung(said, "remove-substrate")
    assert lift == [hatched["swim_up_at"]]
    assert not any(line["reminder"]["step"] == "strip" for line in bells(said))


# Rohu with pituitary twice, hapas and jars ----------------------------------------------------------------


def test_pituitary_is_given_twice_and_the_males_once() -> None:
    said = night("rohu-hapas")
    assert rung(said, "prime") == ["2026-06-01T17:00:00+05:30"]
    assert rung(said, "inject") == ["2026-06-01T23:05:00+05:30"]  # six hours after the first at 17:05
    sheet = newest(said, "dose-sheet")
    shots = {fish["tag"]: [shot["amount"] for shot in fish["shots"]] for fish in sheet["fish"]}
    assert shots["F1"] == pytest.approx([9 * 0.28 * 2.1, 9 * 0.72 * 2.1], abs=0.001)  # 9 mg/kg, 28 : 72
    assert shots["M1"] == pytest.approx([2.5 * 1.7], abs=0.001)
    assert sheet["total"] == pytest.approx(sum(map(sum, shots.values())), abs=0.001)
    assert sheet["make"] == pytest.approx(sheet["total"] * 1.1, abs=0.001)


def test_in_a_hapa_no_grams_are_asked_and_nobody_is_stripped() -> None:
    said = night("rohu-hapas")
    assert {line["reminder"]["step"] for line in bells(said)}.isdisjoint(
        {"strip", "fertilise", "check-females", "destick", "remove-substrate"}
    )
    assert all(line["facts"].get("asks") != "grams" for line in said)
    assert all(fact["total_grams"] is None for fact in of_kind(said, "eggs"))


def test_two_hapas_keep_two_clocks_and_their_jars_their_counts() -> None:
    said = night("rohu-hapas")
    out = {line["facts"]["place"]: line["reminder"]["due"] for line in bells(said, "remove-brood")}
    assert out == {"hapa 1": "2026-06-02T04:20:00+05:30", "hapa 2": "2026-06-02T04:50:00+05:30"}
    eggs = {fact["batch"]: fact for fact in of_kind(said, "eggs")}
    assert [(fact["litres"], fact["total_eggs"]) for fact in eggs.values()] == [
        (4.5, 4500 * eggs["1"]["eggs_per_ml"]),
        (3, 3000 * 28),
    ]
    result = newest(said, "result")
    assert {lot["called"]: lot["hatched_percent"] for lot in result["batches"]} == {"hapa 1": 80, "jar 3": 75}
    assert result["hatched_percent"] == round((80 * 4.5 + 75 * 3) / 7.5, 1)


def test_an_answer_with_its_place_is_for_that_place() -> None:
    """Both hapas ring at 02:00; "hapa 1 not yet" leaves the other ringing."""
    said = night("rohu-hapas")
    two = "2026-06-02T02:15:00+05:30"
    (noted,) = [line["facts"] for line in said if line["at"] == two and line["kind"] == "noted"]
    assert (noted["what"], noted["called"]) == ("not-yet", "hapa 1")


# Striped catfish with several shots over two days ---------------------------------------------------------


def test_the_range_is_judged_on_the_sum_of_all_shots() -> None:
    said = night("striped-several-shots")
    courses = of_kind(said, "course")
    rule = knowledge.cards()["striped-catfish"].dose_rule("hcg", "f")
    assert rule.iu_per_kg is not None and rule.iu_per_kg.usual is not None
    priming, final = (share * rule.iu_per_kg.usual for share in (rule.shares[-2], rule.shares[-1]))
    planned = rule.iu_per_kg.usual
    assert [round(fact["total_per_kg"]) for fact in courses] == [
        round(planned), round(planned), round(planned), round(planned + priming), round(planned + priming)
    ]  # fmt: skip
    assert courses[-1]["total_per_kg"] == pytest.approx(courses[-2]["given"] + final, abs=1)
    assert [fact["code"] for fact in courses] == ["", "", "", "over-range", "over-range"]
    assert {(fact["low"], fact["high"], fact["unit"]) for fact in courses} == {(2500, 6000, "IU/kg")}
    given = newest(said, "given")
    f1 = [shot for shot in given["given"] if shot["tag"] == "F1"]
    assert given["total_per_kg"] == pytest.approx(sum(shot["amount"] for shot in f1) / 4.2, abs=0.1)


def test_its_looks_come_every_half_hour() -> None:
    """Half of the egg life of the card, an hour: shorter than the usual hour."""
    said = night("striped-several-shots")
    forecast = newest(said, "strip-forecast")
    assert (forecast["egg_life_minutes"], forecast["look_every_minutes"]) == (60, 30)
    looks = rung(said, "check-females")
    assert minutes_between(looks[0], looks[1]) == 30 and looks[0] == forecast["first_look_at"]
