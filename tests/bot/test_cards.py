"""The card of a run: every number against a sum by hand, and nothing on it that nobody told."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.bot.playing import Night, newest, of_kind, played


def injected() -> Night:
    night = Night()("17:00", "catfish f 2.4 3.1 m 1.9").tap("17:01", "start").tap("17:02", "yes")
    return night("20:30", "injected")("20:31", "27")


def whole() -> Night:
    night = injected()("2 05:30", "f1 300 g, f2 250 g")("2 05:35", "milt on")
    night("2 18:00", "164 of 200 good")("3 06:00", "150 of 200 hatched of all eggs")
    night("3 06:10", "66000 larvae hatched")("5 08:00", "60000 swim up")("5 09:00", "sold 55000 larvae")
    return night("6 06:10", "fed")


@pytest.fixture(scope="module")
def card(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    """The facts of the closing card of a night of which all was told."""
    said = played(whole().lines, tmp_path_factory.mktemp("card"))
    told = newest(said, "result")
    told["text"] = [line["text"] for line in said if line["kind"] == "result"][-1]
    return told


def test_the_card_closes_the_run(card: dict[str, Any]) -> None:
    assert (card["closing"], card["state"], card["date"]) == (True, "closed", "2026-06-01")
    assert (card["ovulated"], card["injected"]) == (2, 2)


def test_eggs_by_the_cards_count(card: dict[str, Any]) -> None:
    """550 g of 5.5 kg of females is 10 %; the card's 650 in a gram (435 to 1176) make 357,500 eggs, 239,250
    to 646,800; a kilo of female gave 65,000."""
    assert (card["egg_grams"], card["body_percent"]) == (550.0, 10.0)
    assert (card["eggs"], card["eggs_low"], card["eggs_high"]) == (357_500, 239_250, 646_800)
    assert card["eggs_per_kg"] == 65_000
    assert card["basis"][0] == "farm" and len(card["basis"]) > 1
    assert card["mark"] != "the farm's own"


def test_both_hatch_rates_and_which_was_worked_out(card: dict[str, Any]) -> None:
    """150 of 200 is 75 % of all; 164 of 200 is 82 % fertilised; 75 / 82 = 91.5 % of the good ones."""
    assert (card["hatched_percent"], card["hatched_of"]) == (75.0, "all")
    assert (card["percent_of_eggs"], card["percent_of_fertilised"]) == (75.0, 91.5)
    assert card["derived"] == "fertilised"
    assert card["derived_low"] < 91 < card["derived_high"] == 100


def test_larvae_and_larvae_per_kg_at_three_stages(card: dict[str, Any]) -> None:
    """Over 5.5 kg of injected females 66,000 are 12,000 each, 60,000 are 10,909, 55,000 are 10,000."""
    assert (card["larvae"], card["swim_up"], card["sold"]) == (66_000, 60_000, 55_000)
    told = (card["larvae_per_kg"], card["swim_up_per_kg"], card["sold_per_kg"])
    assert told == (12_000, 10_909, 10_000)


def test_hours_against_the_window_of_its_own_water(card: dict[str, Any]) -> None:
    """27 C all night: 106.6 / 11.95 = 8.92 h; from 0.98 to 1.24 of it, 8.74 to 11.06 h, from 20:30 outward to
    the quarter 05:00 (8.5 h) and 07:45 (11.25 h)."""
    assert card["hours_to_strip"] == 9.0
    assert (card["window"]["most_from"], card["window"]["most_to"]) == (8.5, 11.25)
    assert (card["against_window"], card["window"]["assumed"]) == ("most", False)
    assert card["water"] == {"mean": 27.0, "low": 27.0, "high": 27.0, "readings": 1, "guessed": False}


def test_the_hormone_that_went_in(card: dict[str, Any]) -> None:
    """0.5 mL a kilo of a bottle with 20 ug in each, half for the male, at the marks of a syringe: 1.2 + 1.6
    + 0.48 mL, and 20 ug in each of these."""
    used = card["hormone"]
    assert (used["preparation"], used["fish"], used["unit"]) == ("premix", 3, "ug")
    assert (used["ml"], used["amount"]) == (3.28, 65.6)


def test_the_card_is_short_lines_with_the_number_first(card: dict[str, Any]) -> None:
    lines = card["text"].splitlines()
    assert lines[1].startswith("75 % of all eggs hatched")
    assert len(lines) <= 14
    assert max(len(line.split()) for line in lines) <= 18


def test_what_nobody_told_is_not_on_the_card(tmp_path: Path) -> None:
    night = Night()("17:00", "catfish f 2.4 m 1.9")("20:30", "injected")("2 06:00", "stripped f1")
    told = newest(played(night("2 06:10", "cancel").lines, tmp_path), "result")
    untold = "larvae swim_up sold egg_grams body_percent eggs eggs_per_kg larvae_per_kg water percent_of_eggs"
    assert [told[key] for key in untold.split()] == [None] * 10
    assert (told["derived"], told["mark"], told["basis"]) == ("", None, [])
    assert told["window"]["assumed"]


def test_the_farms_own_count_beats_the_card(tmp_path: Path) -> None:
    night = injected()("2 05:30", "f1 300 g, f2 250 g")("2 05:31", "700 eggs per gram")
    told = newest(
        played(
            night("3 06:00", "40 % hatched")
            .tap("3 06:01", "answer:all")("3 06:02", "last hatch rate?")
            .lines,
            tmp_path,
        ),
        "result",
    )
    assert (told["eggs"], told["eggs_low"], told["eggs_high"]) == (385_000, 385_000, 385_000)  # 550 * 700
    assert (told["basis"], told["mark"]) == (["farm"], "the farm's own")


def test_a_hatch_of_the_good_eggs_becomes_one_of_all(tmp_path: Path) -> None:
    night = injected()("2 05:30", "f1 300 g, f2 250 g")("2 18:00", "80 % fertilised")
    night("3 06:00", "60 % of the good ones hatched")("3 06:02", "last hatch rate?")
    told = newest(played(night.lines, tmp_path), "result")
    assert (told["percent_of_eggs"], told["derived"]) == (48.0, "all")  # 60 * 0.8
    assert told["derived_low"] is None  # two bare percents: nobody knows their doubt


def test_a_hatch_of_nobody_knows_what_is_worked_out_to_nothing(tmp_path: Path) -> None:
    night = injected()("2 05:30", "f1 300 g")("2 18:00", "80 % fertilised")("3 06:00", "60 % hatched")
    told = newest(played(night("3 06:02", "last hatch rate?").lines, tmp_path), "result")
    assert (told["hatched_of"], told["percent_of_eggs"], told["percent_of_fertilised"]) == (
        "unknown",
        None,
        None,
    )


def test_each_lot_with_its_own_grams(tmp_path: Path) -> None:
    night = injected()("2 05:30", "f1 300 g")("2 07:45", "f2 250 g")
    night("3 06:00", "F1 150 of 200 hatched of all eggs")("3 06:01", "F2 100 of 200 hatched of all eggs")
    told = newest(played(night("3 06:02", "last hatch rate?").lines, tmp_path), "result")
    assert [(lot["called"], lot["hatched_percent"], lot["grams"]) for lot in told["batches"]] == [
        ("F1", 75.0, 300.0),
        ("F2", 50.0, 250.0),
    ]
    assert told["hatched_percent"] == 63.6  # (300 * 75 + 250 * 50) / 550


def test_swollen_eggs_go_by_the_litre(tmp_path: Path) -> None:
    night = Night()("17:00", "rohu f 2 m 2").tap("17:02", "start").tap("17:03", "yes")("17:31", "injected")
    night("2 00:30", "eggs in the hapa")("2 06:00", "4 litres, 1 ml has 38 eggs")("2 20:00", "30 % hatched")
    told = newest(played(night("2 20:02", "last hatch rate?").lines, tmp_path), "result")
    assert (told["egg_litres"], told["eggs"], told["mark"]) == (4.0, 152_000, "the farm's own")  # 4000 * 38
    assert told["eggs_per_kg"] == 76_000  # over 2 kg injected
    assert (told["egg_grams"], told["body_percent"]) == (None, None)


def test_the_season_does_not_change_what_a_closed_card_said(tmp_path: Path) -> None:
    """The same card again when it is asked for: the row holds all of it."""
    said = played(whole()("9 08:00", "show me last run").lines, tmp_path)
    closing, asked = of_kind(said, "result")[-2:]
    assert closing | {"closing": False} == asked


def test_asked_for_its_hatch_alone_the_answer_is_short(tmp_path: Path) -> None:
    said = played(whole()("9 08:00", "last hatch rate?").lines, tmp_path)
    assert not newest(said, "result")["whole"]
    assert len(said[-1]["text"].splitlines()) == 6
