"""From the bowl to the jar: jars and water for the eggs, milt for the grams, the male that was cut."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.bot.playing import Night, newest, of_kind, played

Played = dict[str, Any]


def answer(words: str, kind: str, folder: Path) -> Played:
    """What a stranger is told who names the species in the question."""
    return newest(played(Night()("17:00", words).lines, folder), kind)


@pytest.mark.parametrize(
    ("words", "count", "flow"),
    [
        # 100 000 swollen eggs and 600-800 mL a minute in a jar of 10 L: icar-66877
        ("how many jars for 200000 rohu eggs?", 2, (0.6, 0.8)),
        ("how many jars for 200001 catla eggs?", 3, (0.6, 0.8)),
        ("how many jars for 250000 silver carp eggs?", 3, (0.8, 1.0)),
        # 500 000-600 000 in a Weiss jar of 8 L: weiss-jar-textbook; 2-4 L a minute: ichthyology-incubators
        ("how many jars for 1000000 common carp eggs?", 2, (2.0, 4.0)),
        # within 1000 eggs and 200-250 mL a minute in a tub: cifa-magur-hatchery
        ("how many tubs for 4000 walking catfish eggs?", 4, (0.2, 0.25)),
        # 10 000-30 000 eggs and 985 mL a minute in a jar of 2 L: catfish-jars-2005
        ("how many jars for 90000 african catfish eggs?", 9, (0.985, 0.985)),
    ],
)
def test_jars_by_published_loads(words: str, count: int, flow: tuple[float, float], tmp_path: Path) -> None:
    (vessel,) = answer(words, "jars", tmp_path)["vessels"]
    assert (vessel["count"], (vessel["flow_low"], vessel["flow_high"])) == (count, flow)


def test_litres_go_through_the_farms_own_count(tmp_path: Path) -> None:
    night = Night()("17:00", "rohu: 1 ml is 40 eggs")("17:01", "how many jars for 3 litres of rohu eggs?")
    fact = newest(played(night.lines, tmp_path), "jars")
    assert (fact["eggs_per_ml"], fact["eggs"], fact["vessels"][0]["count"]) == (40, 120_000, 2)


def test_grams_go_through_the_farms_own_count(tmp_path: Path) -> None:
    night = Night()("17:00", "how many jars for 800 g of common carp eggs?")
    night = night("17:01", "common carp 800 eggs per gram")
    night = night("17:02", "how many jars for 800 g of common carp eggs?")
    told = of_kind(played(night.lines, tmp_path), "jars")
    assert [fact["eggs"] for fact in told] == [800 * 700, 800 * 800]  # 700 a gram: iasri-common-carp
    assert told[1]["mark"] == "published"  # that of the jar


def test_the_water_of_so_many_jars(tmp_path: Path) -> None:
    fact = answer("what flow for 4 jars of rohu?", "jars", tmp_path)
    (vessel,) = fact["vessels"]
    assert (fact["eggs"], vessel["count"]) == (None, 4)
    assert (vessel["all_low"], vessel["all_high"]) == (2.4, 3.2)


def test_the_eggs_of_the_run_are_meant_where_none_are_told(tmp_path: Path) -> None:
    night = Night()("17:00", "rohu f 2.4 m 1.9 2.0")("18:00", "injected")("2 02:00", "eggs in the hapa")
    night = night("2 09:00", "collected 5 litres")("2 09:01", "how many jars?")
    said = played(night.lines, tmp_path)
    fact = newest(said, "jars")
    assert fact["eggs"] == newest(said, "eggs")["total_eggs"]
    assert fact["vessels"][0]["count"] * fact["vessels"][0]["each"] >= fact["eggs"]


@pytest.mark.parametrize("words", ["how many eggs on a tray?", "how many eggs fit on a mat?"])
def test_nobody_told_how_many_eggs_lie_on_a_net(words: str, tmp_path: Path) -> None:
    said = played(Night()("17:00", words).lines, tmp_path)
    fact = newest(said, "jars")
    assert (fact["vessels"], fact["basis"], fact["mark"]) == ([], [], None)
    assert "No figure known" in said[-1]["text"]


def test_a_species_nobody_told_of_has_no_jars(tmp_path: Path) -> None:
    fact = answer("how many jars for 90000 silver barb eggs?", "jars", tmp_path)
    assert (fact["vessels"], fact["mark"]) == ([], None)


@pytest.mark.parametrize(
    ("words", "ml", "span"),
    [
        # 10 mL for a kg of dry eggs: fao-training-8; with a diluent a tenth of it: billard-1995
        ("how much milt for 300 g of common carp eggs?", 3.0, (0.3, 3.0)),
        # 10 uL for 5-10 g of eggs: tan-fermin-1999-milt
        ("how much milt for 500 g of bighead catfish eggs?", None, (0.5, 1.0)),
        ("how much milt for 500 g of african catfish eggs?", None, (None, None)),
    ],
)
def test_milt(words: str, ml: float | None, span: tuple[float | None, ...], tmp_path: Path) -> None:
    fact = answer(words, "milt", tmp_path)
    assert (fact["ml"], (fact["low_ml"], fact["high_ml"])) == (ml, span)


def test_milt_is_thinned_as_it_did_best(tmp_path: Path) -> None:
    """1:10 in saline of 9 g/L, of 1:0, 1:10, 1:50 and 1:100: catfish-milt-dilution."""
    fact = answer("how do I thin the milt of african catfish?", "milt", tmp_path)
    assert (fact["parts"], fact["saline_g_per_l"], fact["male_cut"]) == (10, 9, True)


def test_the_milt_of_the_run_is_for_its_grams(tmp_path: Path) -> None:
    night = Night()("17:01", "common carp f 4.2 m 3.0 2.8")("18:00", "injected")
    night = night("2 05:30", "stripped F1 400 g").tap("2 05:31", "yes")("2 05:32", "how much milt?")
    said = played(night.lines, tmp_path)
    fact = newest(said, "milt")
    assert (fact["grams"], fact["ml"]) == (400, newest(said, "eggs")["milt_ml"])


def test_a_male_that_was_cut_is_a_treated_fish(tmp_path: Path) -> None:
    night = Night()("18:00", "catfish f 2.4 m 1.9 2.0")("20:30", "injected")
    night = night("2 05:30", "F1 240 g")("2 05:31", "M1 cut")
    said = played(night.lines, tmp_path)
    assert newest(said, "noted")["what"] == "male-cut"
    assert "treated fish though dead" in said[-1]["text"]
    assert "cut no other male" not in said[-1]["text"]


def test_a_male_without_a_needle_is_no_treated_fish(tmp_path: Path) -> None:
    night = Night()("18:00", "catfish f 2.4 m 1.9 2.0")("20:30", "injected F1 only")("20:31", "M2 cut")
    text = played(night.lines, tmp_path)[-1]["text"]
    assert "treated" not in text and "cut no other male" in text


def test_which_male_is_asked_of_two(tmp_path: Path) -> None:
    night = Night()("18:00", "catfish f 2.4 m 1.9 2.0")("20:30", "injected")("2 05:30", "F1 240 g")
    said = played(night("2 05:31", "cut the male").tap("2 05:32", "fish:M2").lines, tmp_path)
    assert of_kind(said, "ask")[-1]["about"] == "which-fish"
    assert newest(said, "noted")["tags"] == ["M2"]
