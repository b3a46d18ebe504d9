"""Six nights that the windows are trusted with; what each must show is said by its test.

The scripts stand in tests/nights and are read aloud with `hatchbell play SCRIPT --pretty`.
"""

from __future__ import annotations

import json
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


@pytest.mark.parametrize("name", ["first-timer", "twelve-females"])
def test_what_takes_minutes_is_told_at_once_and_not_rung(name: str) -> None:
    """A bell for milt comes only where a quarter of an hour went by without a word of it."""
    said = night(name)
    for line in bells(said):
        if line["reminder"]["step"] in WITHIN_MINUTES:
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
