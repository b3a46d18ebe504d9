"""The farm's own counts of eggs: which runs they hold for, and that they beat the card."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest

from bot import knowledge
from tests.bot.playing import Night, newest, of_kind, played

CATFISH = knowledge.cards()["african-catfish"].eggs_per_gram


def stripped(grams: str = "F1 240 g") -> Night:
    """A catfish injected at 20:30 and stripped at 05:30."""
    return Night()("18:00", "catfish f 2.4 m 1.9 2.0")("20:30", "injected")("2 05:30", grams)


def test_a_count_told_of_a_run_is_reckoned_with_there_and_in_the_next_one(tmp_path: Path) -> None:
    night = stripped()("2 05:31", "1 gram is 750 eggs")("2 06:00", "cancel")
    night = night("5 18:00", "catfish f 2.0 m 1.8 1.9")("5 20:30", "injected")("6 05:30", "F1 100 g")
    totals = [fact["total_eggs"] for fact in of_kind(played(night.lines, tmp_path), "eggs")]
    assert CATFISH is not None
    assert totals == [240 * round(CATFISH.usual_or_middle), 240 * 750, 100 * 750]


def test_it_is_kept_for_its_own_species_alone(tmp_path: Path) -> None:
    night = Night()("17:00", "african catfish 750 eggs per gram")
    night = night("18:00", "common carp f 4.2 m 3.0 2.8")("19:00", "injected")
    night = night("2 06:00", "stripped F1 400 g").tap("2 06:01", "yes")
    fact = newest(played(night.lines, tmp_path), "eggs")
    assert (fact["eggs_per_gram"], fact["mark"]) != (750, "the farm's own")


def test_an_earlier_run_keeps_its_own_figure(tmp_path: Path) -> None:
    """Two runs of one species: the count told after the second one's eggs is not that of the first."""
    night = stripped()("2 18:00", "tank 2 catfish f 2.1 m 1.8 1.7")
    night = night("2 20:30", "injected tank 2")("3 05:30", "tank 2 F1 200 g")("3 05:31", "1 gram is 800 eggs")
    night = night("3 05:32", "how many eggs?")
    told = of_kind(played(night.lines, tmp_path), "eggs")
    assert CATFISH is not None
    assert [(fact["run"], fact["eggs_per_gram"]) for fact in told[-2:]] == [
        (2, 800),
        (1, round(CATFISH.usual_or_middle)),
    ]


def test_a_stranger_is_asked_which_fish_and_the_answer_keeps_the_count(tmp_path: Path) -> None:
    said = played(Night()("17:00", "820 eggs per gram")("17:01", "mrigal").lines, tmp_path)
    assert newest(said, "ask")["about"] == "species"
    kept = newest(said, "own-count")
    assert (kept["species"], kept["counted_in"], kept["eggs"]) == ("mrigal", "gram", 820)


def test_own_eggs_in_a_millilitre_are_reckoned_with_in_the_next_hapa(tmp_path: Path) -> None:
    night = Night()("16:00", "rohu: 1 ml is 31 eggs")("17:00", "rohu f 2.4 m 1.9 2.0")("18:00", "injected")
    night = night("2 02:00", "eggs in the hapa")("2 09:00", "collected 3 litres")
    fact = newest(played(night.lines, tmp_path), "eggs")
    assert (fact["total_eggs"], fact["mark"]) == (93_000, "the farm's own")


@pytest.mark.parametrize(("told", "far"), [("650", False), ("300", False), ("250", True), ("2500", True)])
def test_a_count_far_from_what_is_reported_is_put_in_doubt(told: str, far: bool, tmp_path: Path) -> None:
    """435-1176 eggs per gram are reported (Dadebo 2000): half as much again on either side is not far."""
    said = played(Night()("17:00", f"african catfish {told} eggs per gram").lines, tmp_path)
    assert newest(said, "own-count")["far"] is far


def test_the_newest_count_holds_and_the_one_before_is_named(tmp_path: Path) -> None:
    counts = (700, 750, 720)
    night = Night()
    for minute, count in enumerate(counts):
        night = night(f"17:0{minute}", f"african catfish {count} eggs per gram")
    kept = of_kind(played(night.lines, tmp_path), "own-count")
    assert [(a["eggs"], b["before"]) for a, b in pairwise(kept)] == [(700, 700), (750, 750)]


@pytest.mark.parametrize(("words", "wet"), [("F1 300 g after water", True), ("F1 300 g dry", False)])
def test_grams_that_were_told_dry_or_wet_are_not_asked_about(words: str, wet: bool, tmp_path: Path) -> None:
    said = played(stripped(words)("2 05:31", "1 gram is 750 eggs").lines, tmp_path)
    fact = newest(said, "eggs")
    assert (fact["wet"], fact["total_eggs"]) == (wet, None if wet else 225_000)
    assert "before any water?" not in said[-1]["text"]


@pytest.mark.parametrize(("words", "asked"), [("F1 600 g", True), ("F1 600 g dry", False)])
def test_more_than_a_fifth_of_her_is_asked_unless_told_dry(words: str, asked: bool, tmp_path: Path) -> None:
    text = played(stripped(words).lines, tmp_path)[-1]["text"]
    assert ("before any water?" in text) is asked


def test_wet_grams_want_no_milt_by_the_gram(tmp_path: Path) -> None:
    night = Night()("17:01", "common carp f 4.2 m 3.0 2.8")("18:00", "injected")
    night = night("2 05:30", "stripped F1 400 g after water").tap("2 05:31", "yes")
    fact = newest(played(night.lines, tmp_path), "eggs")
    assert (fact["wet"], fact["milt_ml"], fact["total_eggs"]) == (True, None, None)


def test_an_order_is_worked_back_by_the_farms_own_count(tmp_path: Path) -> None:
    """100 g of eggs for each kg of her, at 750 a gram."""
    night = stripped()("2 05:31", "1 gram is 750 eggs")("3 09:00", "150 of 200 hatched, of all eggs")
    fact = newest(played(night("3 10:00", "need 50000 catfish larvae").lines, tmp_path), "order-plan")
    per_kg = [each for each in fact["need"]["assumed"] if each["what"] == "eggs-per-kg"]
    assert [(each["value"], each["origin"]) for each in per_kg] == [(75_000, "own")]
