"""From larvae to fry, as a farmer texts it: cups, swim-up, how many to count."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.bot.playing import Night, newest, of_kind, played_on

CUPS = "5 cups of 50 ml from 300 litres: 12 15 11 14 13"


def begun() -> Night:
    night = Night()("17:00", "african catfish f 2.4 m 1.9").tap("17:01", "start").tap("17:02", "yes")
    return night("20:30", "injected")("20:31", "27")("2 06:10", "f1 240 g")("2 06:12", "milt on")


def larvae(night: Night, folder: Path) -> dict[str, Any]:
    return newest(played_on(night.lines, folder), "larvae-count")


# Cups ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("words", [CUPS, "5 cups 50ml 300l 12,15,11,14,13", "12 15 11 14 13, 5x50 ml, 300 l"])
def test_cups_are_a_sum_where_no_run_is_open(words: str, tmp_path: Path) -> None:
    told = larvae(Night()("10:00", words), tmp_path)
    assert (told["larvae"], told["low"], told["high"]) == (78_000, 60_000, 100_000)
    assert (told["kept"], told["run"], told["uneven"]) == (False, 0, False)


def test_one_cup_gives_wide_doubt_and_says_so(tmp_path: Path) -> None:
    said = played_on(Night()("10:00", "1 cup 50 ml 13 larvae, 300 l").lines, tmp_path)
    told = newest(said, "larvae-count")
    assert told["high"] - told["low"] > told["larvae"]
    assert "One cup is a wide guess" in said[-1]["text"]


def test_cups_that_scatter_are_to_be_counted_again(tmp_path: Path) -> None:
    said = played_on(Night()("10:00", "4 cups of 50 ml from 100 l: 10 30 12 8").lines, tmp_path)
    assert newest(said, "larvae-count")["uneven"]
    assert "stir and count again" in said[-1]["text"]


def test_what_is_missing_is_asked_and_then_known(tmp_path: Path) -> None:
    night = Night()("10:00", "5 cups: 12 15 11 14 13")("10:01", "50")("10:02", "300 litres")
    said = played_on(night.lines, tmp_path)
    assert [line["facts"].get("about") for line in said] == ["cup-ml", "cup-litres", None]
    assert newest(said, "larvae-count")["larvae"] == 78_000


def test_cups_that_hold_more_than_the_tank_are_asked_about(tmp_path: Path) -> None:
    night = Night()("10:00", "5 cups 50 ml 0.1 l: 12 15 11 14 13")("10:01", "300 l")
    said = played_on(night.lines, tmp_path)
    assert (said[0]["facts"]["about"], said[0]["facts"]["why"]) == ("cup-litres", "cups-over-water")
    assert newest(said, "larvae-count")["larvae"] == 78_000


def test_more_counts_than_cups_are_asked_about(tmp_path: Path) -> None:
    said = played_on(Night()("10:00", "4 cups 50 ml 100 l 12 15 11 14 13").lines, tmp_path)
    assert said[-1]["kind"] == "ask"


# With a run -----------------------------------------------------------------------------------------------


def test_cups_are_kept_with_the_run_and_turned_with_a_tap(tmp_path: Path) -> None:
    night = begun()("3 09:00", CUPS)
    told = larvae(night, tmp_path)
    assert (told["kept"], told["run"], told["stage"], told["eggs"]) == (True, 1, "hatched", None)


def test_a_tap_says_that_they_swim(tmp_path: Path) -> None:
    night = begun()("3 09:00", CUPS).tap("3 09:01", "answer:swim-up")("3 09:02", "how many larvae?")
    said = played_on(night.lines, tmp_path)
    assert newest(said, "larvae-count")["stage"] == "swim-up"
    assert newest(said, "result")["larvae"] is None
    assert newest(said, "result")["swim_up"] == 78_000


def test_hatch_swim_up_and_sold_are_three_numbers(tmp_path: Path) -> None:
    night = begun()("3 09:00", CUPS)("4 08:00", "swim up: 5 cups 50ml 300l 10 13 9 12 11")
    night("4 09:00", "sold 20000 larvae")("4 09:01", "how many larvae?")
    result = newest(played_on(night.lines, tmp_path), "result")
    assert (result["larvae"], result["swim_up"], result["sold"]) == (78_000, 66_000, 20_000)


def test_a_second_count_without_its_stage_is_asked_about(tmp_path: Path) -> None:
    said = played_on(begun()("3 09:00", CUPS)("4 08:00", CUPS).lines, tmp_path)
    assert (said[-1]["facts"]["about"], said[-1]["facts"]["why"]) == ("larvae-stage", "larvae-told")


def test_larvae_of_a_closed_run_still_count_as_swimming(tmp_path: Path) -> None:
    night = begun()("3 09:00", CUPS)("5 09:00", "fed")("5 10:00", CUPS)("5 10:01", "how many larvae?")
    result = newest(played_on(night.lines, tmp_path), "result")
    assert (result["state"], result["larvae"], result["swim_up"]) == ("closed", 78_000, 78_000)


def test_undo_takes_a_count_at_swim_up_back(tmp_path: Path) -> None:
    night = begun()("3 09:00", CUPS)("4 08:00", "swim-up 40000").tap("4 08:01", "undo")
    result = newest(played_on(night("4 08:02", "how many larvae?").lines, tmp_path), "result")
    assert (result["larvae"], result["swim_up"]) == (78_000, None)


def test_more_larvae_than_eggs_is_said(tmp_path: Path) -> None:
    told = larvae(begun()("3 09:00", CUPS.replace("300", "1500")), tmp_path)
    assert told["eggs"] is not None
    assert told["eggs"] < told["low"]


def test_tanks_add_up(tmp_path: Path) -> None:
    night = begun()("4 08:00", "tank 1 swim up 30000")("4 08:01", "tank 2 swim up 25000")
    assert larvae(night, tmp_path)["whole"] == 55_000


def test_larvae_long_before_any_can_hatch_are_asked_about(tmp_path: Path) -> None:
    said = played_on(begun()("2 08:00", CUPS).lines, tmp_path)
    asked = of_kind(said, "ask")[-1]
    assert asked["about"] == "hatched-early"


# How many -------------------------------------------------------------------------------------------------


def test_how_many_to_count(tmp_path: Path) -> None:
    told = newest(
        played_on(Night()("10:00", "how many must I count for 10 percent?").lines, tmp_path), "sample-size"
    )
    assert (told["larvae"], told["eggs"], told["assumed"]) == (384, 96, False)


def test_how_many_cups_by_the_last_ones(tmp_path: Path) -> None:
    night = Night()("10:00", CUPS)("10:01", "how many larvae must i count?")
    told = newest(played_on(night.lines, tmp_path), "sample-size")
    assert (told["cups"], told["eggs"], told["assumed"]) == (30, None, True)


# The farm's own measures ----------------------------------------------------------------------------------


def test_no_figure_is_used_before_the_farm_counted_its_own(tmp_path: Path) -> None:
    """World Aquaculture, March 2023, p. 63: 370-1000 spawn in a mL between hatcheries."""
    said = played_on(
        Night()("10:00", "60 ml of spawn")("10:01", "420")("10:02", "60 ml of spawn").lines, tmp_path
    )
    asked = said[0]["facts"]
    assert (asked["about"], asked["number"], asked["limit"]) == ("larvae-per-ml", 370, 1000)
    assert [each["larvae"] for each in of_kind(said, "larvae-count")] == [25_200, 25_200]


def test_a_count_far_from_others_is_to_be_repeated(tmp_path: Path) -> None:
    told = newest(played_on(Night()("10:00", "1 ml of spawn is 120").lines, tmp_path), "measure")
    assert (told["of"], told["larvae"], told["odd"]) == ("ml", 120, True)


def test_cups_sold_are_as_many_as_the_farms_own_cup_holds(tmp_path: Path) -> None:
    night = begun()("3 09:00", CUPS)("4 09:00", "our cup is 650 fry")("4 09:01", "sold 40 cups")
    said = played_on(night("4 09:02", "how many larvae?").lines, tmp_path)
    assert newest(said, "result")["sold"] == 26_000


def test_cups_sold_wait_for_what_a_cup_holds(tmp_path: Path) -> None:
    night = begun()("3 09:00", CUPS)("4 09:01", "sold 40 cups")("4 09:02", "650")
    assert newest(played_on(night("4 09:03", "how many larvae?").lines, tmp_path), "result")["sold"] == 26_000


def test_cups_of_a_bare_thousand_are_asked_about(tmp_path: Path) -> None:
    night = Night()("10:00", "40 cups of 1000").tap("10:01", "pick:1")
    said = played_on(night.lines, tmp_path)
    assert said[0]["kind"] == "ask"
    assert newest(said, "larvae-count")["larvae"] == 40_000


@pytest.mark.parametrize(
    ("words", "larvae"),
    [("2 lakh larvae", 200_000), ("1.5 lac larvae", 150_000), ("2 lakh 50 thousand larvae", 250_000)],
)
def test_local_counts(words: str, larvae: int, tmp_path: Path) -> None:
    said = played_on(begun()("3 09:00", words).lines, tmp_path)
    assert newest(said, "hatched")["larvae"] == larvae


# What it came to ------------------------------------------------------------------------------------------


def chained() -> Night:
    night = begun()("2 18:30", "164 of 200 good")("3 09:00", CUPS)
    return night("4 08:00", "swim up: 5 cups 50ml 300l 10 13 9 12 11")("4 09:00", "sold 20000 larvae")


def test_survival_from_eggs_to_sold(tmp_path: Path) -> None:
    told = newest(played_on(chained()("4 09:01", "survival?").lines, tmp_path), "survival")
    shares = {link["stage"]: (link["of"], link["percent"]) for link in told["links"]}
    assert shares["fertilised"] == ("eggs", 82.0)
    assert shares["swim-up"] == ("hatched", 84.6)
    assert shares["sold"] == ("swim-up", 30.3)
    assert (told["missing"], told["first"], told["last"]) == ([], "eggs", "sold")
    product = 1.0
    for link in told["links"]:
        product *= link["percent"] / 100
    assert told["whole_percent"] == pytest.approx(100 * product, abs=0.1)


def test_what_nobody_told_is_named(tmp_path: Path) -> None:
    said = played_on(begun()("2 18:30", "164 of 200 good")("2 18:31", "survival?").lines, tmp_path)
    assert newest(said, "survival")["missing"] == ["hatched", "swim-up", "sold"]
    assert "Not told: hatched, at swim-up, sold or stocked." in said[-1]["text"]


def test_more_sold_than_swam_is_said(tmp_path: Path) -> None:
    night = chained()("4 10:00", "sold 90000 larvae").tap("4 10:01", "yes")("4 10:02", "survival?")
    said = played_on(night.lines, tmp_path)
    assert [link["at_odds"] for link in newest(said, "survival")["links"]] == [False, False, False, True]
    assert newest(said, "survival")["whole_percent"] is None
    assert "More sold than swam" in said[-1]["text"]


def test_survival_is_known_after_the_run_is_closed(tmp_path: Path) -> None:
    night = chained()("5 09:00", "fed")("5 09:01", "survival?")
    assert len(newest(played_on(night.lines, tmp_path), "survival")["links"]) == 4


def test_without_a_run_there_is_no_survival(tmp_path: Path) -> None:
    said = played_on(Night()("10:00", "survival?")("10:01", "fry per kg?").lines, tmp_path)
    assert [line["facts"]["why"] for line in said] == ["no-eggs-told"] * 2


def test_fry_per_kg_of_the_females(tmp_path: Path) -> None:
    told = newest(played_on(chained()("4 09:01", "fry per kg?").lines, tmp_path), "per-kg")
    assert (told["kg"], told["hatched"], told["swim_up"], told["sold"]) == (2.4, 32_500, 27_500, 8_333)


# Stocking -------------------------------------------------------------------------------------------------


def test_a_pond_is_stocked_by_published_densities(tmp_path: Path) -> None:
    told = newest(
        played_on(Night()("10:00", "stock 200 m2 pond with rohu spawn").lines, tmp_path), "stocking"
    )
    (figure,) = told["figures"]
    assert (figure["place"], figure["low_larvae"], figure["high_larvae"]) == ("pond", 20_000, 100_000)
    assert told["mark"] == "published"


def test_a_species_nobody_told_of_has_no_figure(tmp_path: Path) -> None:
    said = played_on(Night()("10:00", "how many silver barb larvae per litre?").lines, tmp_path)
    assert newest(said, "stocking")["figures"] == []
    assert "No figure known" in said[-1]["text"]


def test_the_species_is_that_of_the_farm_or_asked(tmp_path: Path) -> None:
    night = Night()("10:00", "how many bags for 20000 spawn?")("10:01", "rohu")
    said = played_on(night.lines, tmp_path)
    assert said[0]["facts"]["about"] == "species"
    assert newest(said, "stocking")["figures"][0]["most"] == 10
    own_folder = tmp_path / "own"
    own_folder.mkdir()
    own = played_on(begun()("3 09:00", "how many larvae per litre?").lines, own_folder)
    assert newest(own, "stocking")["species"] == "african-catfish"


def test_larvae_of_one_lot_are_no_share_of_two(tmp_path: Path) -> None:
    night = Night()("19:00", "catfish f 2.4 3.1 m 1.9")("20:30", "injected")("20:31", "27")
    night = night("2 05:30", "f1 210 g")("2 05:32", "milt on")("2 05:50", "f2 280 g")("2 05:52", "milt on f2")
    night = night("3 08:00", CUPS).tap("3 08:01", "pick:1")("3 08:02", "survival?")("3 08:03", "fry per kg?")
    said = played_on(night.lines, tmp_path)
    chain, each = newest(said, "survival"), newest(said, "per-kg")
    assert [link["percent"] for link in chain["links"]] == []
    assert (chain["uncounted"], each["uncounted"]) == (["F2"], ["F2"])
    assert each["hatched"] is None


def test_so_many_of_so_many_with_her_tag_is_a_count(tmp_path: Path) -> None:
    night = Night()("19:00", "catfish f 2.4 3.1 m 1.9")("20:30", "injected")("20:31", "27")
    night = night("2 05:30", "f1 210 g")("2 05:32", "milt on")("2 05:50", "f2 280 g")("2 05:52", "milt on f2")
    said = played_on(night("2 20:00", "f1 170 of 200").lines, tmp_path)
    told = newest(said, "fertilised")
    assert (told["good"], told["total"], told["percent"]) == (170, 200, 85)
