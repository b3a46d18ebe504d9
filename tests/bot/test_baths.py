"""Baths in the chat: what is mixed, what is asked first, what is refused, and who is got out."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.bot.playing import Night, actions, newest, played_on

SIGNS_A_LINE = 210


def said(night: Night, folder: Path) -> dict[str, Any]:
    """The last answer."""
    return played_on(night.lines, folder)[-1]


def bath(text: str, folder: Path, *more: str) -> dict[str, Any]:
    """The facts of the bath that the last of these messages brings."""
    night = Night()("17:00", text)
    for n, each in enumerate(more, 1):
        tap = each.startswith("/")
        night = night.tap(f"17:{n:02d}", each[1:]) if tap else night(f"17:{n:02d}", each)
    return newest(played_on(night.lines, folder), "bath")


def amounts(facts: dict[str, Any]) -> dict[str, float]:
    return {each["stuff"]: each["ml"] if each["grams"] is None else each["grams"] for each in facts["parts"]}


# Iodine -------------------------------------------------------------------------------------------------


def test_eggs_or_tools_is_asked_with_the_label_line_and_tools_get_200_ml(tmp_path: Path) -> None:
    """Common practice (reference README): 10 mL of a nominal 1 % stock in a litre for 100 ppm."""
    asked = said(Night()("17:00", "100 ppm iodine 20 litres"), tmp_path)
    assert asked["facts"]["stock_ml"] is None
    assert "label-line" in asked["facts"]["warnings"]
    assert actions(asked) == ["pick:1", "pick:2"]
    (tmp_path / "tools").mkdir()
    assert bath("100 ppm iodine 20 litres", tmp_path / "tools", "/pick:2")["stock_ml"] == 200.0


@pytest.mark.parametrize("answer", ["tools", "for tools", "nets"])
def test_for_whom_may_be_typed(answer: str, tmp_path: Path) -> None:
    assert bath("100 ppm iodine 20 litres", tmp_path, answer)["stock_ml"] == 200.0


def test_eggs_wait_for_the_basis_and_the_farm_remembers_it(tmp_path: Path) -> None:
    first = bath("iodine 100 ppm 20 litres for eggs", tmp_path)
    assert (first["stock_ml"], first["stock_basis"]) == (None, None)
    tapped = Night()("17:00", "iodine 100 ppm 20 litres for eggs").tap("17:01", "answer:available")
    (tmp_path / "then").mkdir()
    later = tapped("19:00", "iodine 50 ppm 10 litres for eggs")
    assert newest(played_on(later.lines, tmp_path / "then"), "bath")["stock_ml"] == 50.0


# Anaesthetics -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "words",
    [
        "10 min in 75 mg/L clove oil",
        "fish have been 10 min in clove oil 75 mg/l",
        "they were in 75 ppm clove oil for 10 minutes",
        "clove oil 75 mg/l since 10 min, are in it still",
        "fish wont wake up from the clove oil",
        "clove oil overdose",
        "fish not breathing in the tricaine bath",
        "she has been 25 minutes in clove oil 40 mg/l",
        "fish still sleeping after 20 min",
        "F1 not waking up",
    ],
)
def test_too_much_anaesthetic_is_an_emergency(words: str, tmp_path: Path) -> None:
    """Velisek 2005: 10-min LC50 of clove oil for common carp 74.3 mg/L."""
    answer = said(Night()("17:00", words), tmp_path)
    assert answer["facts"]["verdict"] == "out-now"
    first = answer["text"].split("\n")[0]
    assert first.startswith("OUT now: clean water")
    assert "air" in first and "One person watches the gills" in first


def test_clove_oil_says_who_watches_and_hangs_on_no_bell(tmp_path: Path) -> None:
    night = Night()("17:00", "clove oil 20 l common carp").until("17:40")
    lines = played_on(night.lines, tmp_path)
    assert [line["reminder"] for line in lines] == [None]
    assert "One person watches the gills all the time" in lines[0]["text"]
    assert lines[0]["facts"]["stock_ml"] == 0.76


@pytest.mark.parametrize(
    ("words", "agent", "verdict"),
    [
        ("clove 40 mg/l 30 l", "clove-oil", "mix"),
        ("clove 3 g/l 20 l", "clove", "ask"),
        ("clove 20 litres", "clove", "ask"),
        ("clove seed extract 3 g/l 20 l", "clove-extract", "mix"),
        ("clove powder 3 g/l 20 l", "clove-extract", "mix"),
        ("clove oil 3 g/l 20 l", "clove-oil", "kills"),
        ("5 ml clove oil in 20 litres", "clove-oil", "kills"),
        ("0.8 ml of clove oil in 20 litres", "clove-oil", "mix"),
        ("eugenol 40 ppm in 100 litres", "clove-oil", "mix"),
    ],
)
def test_oil_and_seed_extract_are_never_mixed_up(
    words: str, agent: str, verdict: str, tmp_path: Path
) -> None:
    facts = bath(words, tmp_path)
    assert (facts["agent"], facts["verdict"]) == (agent, verdict)


@pytest.mark.parametrize(
    "words", ["ms222 bath 20 l", "ms-222 20 litres", "tricaine for 20 l", "how much tricaine 20 l"]
)
def test_tricaine_comes_with_baking_soda(words: str, tmp_path: Path) -> None:
    assert amounts(bath(words, tmp_path)) == {"tricaine": 2.0, "baking-soda": 2.0}


def test_an_anaesthetic_without_its_name_is_asked(tmp_path: Path) -> None:
    answer = said(Night()("17:00", "anaesthetic bath 20 litres"), tmp_path)
    assert actions(answer) == ["pick:1", "pick:2", "pick:3"]
    assert answer["facts"]["parts"] == []


# Carp eggs ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "words",
    [
        "fertilising liquid 10 l",
        "fertilizing solution 10 litres carp",
        "mix 10 l fertilising solution",
        "how much urea for 10 l fertilising liquid",
        "urea and salt for fertilising, 10 litres",
        "urea 3 g/l 10 litres",
    ],
)
def test_the_fertilising_liquid(words: str, tmp_path: Path) -> None:
    """FAO Training Series 8: 30 g of urea and 40 g of salt in 10 L."""
    facts = bath(words, tmp_path)
    assert (facts["liquid"], amounts(facts)) == ("carp-fertilising", {"urea": 30.0, "salt": 40.0})


@pytest.mark.parametrize(
    "words",
    [
        "mix destick 10 l",
        "de-sticking liquid 10 litres",
        "urea 20 g/l 10 l",
        "10 l of solution to take the glue off",
    ],
)
def test_the_de_sticking_liquid(words: str, tmp_path: Path) -> None:
    """Billard 1995: 20 g/L of urea and 4 g/L of salt."""
    facts = bath(words, tmp_path)
    assert (facts["liquid"], amounts(facts)) == ("carp-de-sticking", {"urea": 200.0, "salt": 40.0})


def test_urea_alone_asks_which_jar(tmp_path: Path) -> None:
    answer = said(Night()("17:00", "urea 10 litres"), tmp_path)
    assert [each["label"] for each in answer["buttons"]] == ["FERTILISING liquid", "DE-STICKING liquid"]
    (tmp_path / "then").mkdir()
    assert amounts(bath("urea 10 litres", tmp_path / "then", "/pick:2")) == {"urea": 200.0, "salt": 40.0}


@pytest.mark.parametrize("words", ["fertilising liquid 10 l, 20 g/l urea", "destick 10 l urea 3 g/l"])
def test_a_swap_is_stopped(words: str, tmp_path: Path) -> None:
    answer = said(Night()("17:00", words), tmp_path)
    assert answer["facts"]["verdict"] == "wrong-jar"
    assert answer["text"].startswith("STOP")


def test_what_spawns_decides_what_takes_the_glue_off(tmp_path: Path) -> None:
    """striped catfish, Revista MVZ Cordoba e2220: 0.5 g/L of tannin for 5 min."""
    facts = bath("striped catfish f 4 m 3", tmp_path, "/start", "mix destick 5 l")
    assert (facts["liquid"], amounts(facts), facts["minutes"]) == (
        "striped-catfish-tannin",
        {"tannin": 2.5},
        5,
    )


# Peroxide, formalin, malachite green ----------------------------------------------------------------------


def test_formalin_that_kills_is_answered_with_the_evidence(tmp_path: Path) -> None:
    """J. Appl. Sci. Environ. Manage. 14(4): 0 % hatch at 500-1 000 mg/L, African catfish."""
    answer = said(Night()("17:00", "formalin 1000 ppm catfish eggs"), tmp_path)
    assert (answer["facts"]["verdict"], answer["facts"]["stock_ml"]) == ("kills", None)
    assert "In African catfish, 500 mg/L and more killed all eggs" in answer["text"]
    assert "for others I know no figure" in answer["text"]


def test_the_bottle_of_peroxide_is_asked_and_then_counts(tmp_path: Path) -> None:
    facts = bath("peroxide 250 ppm african catfish eggs 20 l", tmp_path, "3 %")
    assert (facts["stock_percent"], facts["stock_ml"]) == (3.0, 166.7)


@pytest.mark.parametrize("percent", ["0 %", "110 %"])
@pytest.mark.parametrize("agent", ["peroxide", "iodine", "formalin"])
def test_a_label_that_cannot_be_is_refused(agent: str, percent: str, tmp_path: Path) -> None:
    answer = said(Night()("17:00", f"{agent} bottle {percent} 20 litres for tools"), tmp_path)
    assert (answer["kind"], answer["facts"].get("why")) == ("ask", "implausible")


@pytest.mark.parametrize(
    "words", ["malachite green 20 l", "how much malachite green for the eggs", "malakite green 5 l"]
)
def test_malachite_green_is_refused_with_the_reason(words: str, tmp_path: Path) -> None:
    answer = said(Night()("17:00", words), tmp_path)
    assert (answer["kind"], answer["facts"]["why"]) == ("refused", "malachite-green")
    assert "harms who eats it" in answer["text"]


# Salt and saline ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("words", "grams"),
    [
        ("how much salt for 50 l at 3 g/l", 150.0),
        ("salt bath 50 litres 0.3 %", 150.0),
        ("salt 3 ppt in 50 liters", 150.0),
        ("salt 3 g per litre, 50 l", 150.0),
        ("need salt for 50 l, 3000 ppm", 150.0),
    ],
)
def test_salt_for_the_strength_told(words: str, grams: float, tmp_path: Path) -> None:
    assert bath(words, tmp_path)["powder_g"] == grams


def test_litres_and_strength_may_come_later(tmp_path: Path) -> None:
    assert bath("salt bath", tmp_path, "50 l", "3 g/l")["powder_g"] == 150.0


@pytest.mark.parametrize(
    ("words", "grams"),
    [
        ("saline 500 ml for glands", 3.25),  # FAO Training Series 8: 6.5 g/L
        ("saline for milt 500 ml", 4.5),  # AJOL 235365: 9 g/L
        ("0.9 % saline 1 litre for milt", 9.0),
        ("physiological saline for the pituitary, 200 ml", 1.3),
    ],
)
def test_saline(words: str, grams: float, tmp_path: Path) -> None:
    assert bath(words, tmp_path)["powder_g"] == grams


# Spoons, drops, bottles -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "words",
    [
        "2 spoons of salt in 10 litres",
        "how many spoons of salt for 50 l at 3 g/l",
        "15 drops of clove oil in 20 litres",
        "3 caps of formalin in 100 l for fish",
        "urea 4 spoons, 10 litres, fertilising",
    ],
)
def test_a_spoon_is_asked_before_it_counts(words: str, tmp_path: Path) -> None:
    (answer,) = played_on(Night()("17:00", words).lines, tmp_path)
    assert answer["kind"] == "ask"
    assert answer["facts"]["why"] == "not-weighed"


@pytest.mark.parametrize("told", ["12 g", "a spoon of salt is 12 g", "ten spoons of salt weigh 120 g"])
def test_a_spoon_that_was_weighed_is_remembered(told: str, tmp_path: Path) -> None:
    facts = bath("2 spoons of salt in 10 litres", tmp_path, told)
    assert (facts["powder_g"], facts["target_mg_per_l"]) == (24.0, 2400.0)
    (tmp_path / "then").mkdir()
    night = Night()("17:00", "a spoon of our salt is 12 g")("19:00", "salt 3 g/l 50 l")
    later = newest(played_on(night.lines, tmp_path / "then"), "bath")
    assert later["in_scoops"] == [{"stuff": "salt", "of": "spoon", "count": 12.5}]


def test_a_spoon_of_salt_is_no_spoon_of_urea(tmp_path: Path) -> None:
    night = Night()("17:00", "a spoon of our salt is 12 g")("17:01", "4 spoons of urea in 10 l, fertilising")
    assert said(night, tmp_path)["facts"]["why"] == "not-weighed"


def test_drops_are_counted_in_a_millilitre(tmp_path: Path) -> None:
    facts = bath("15 drops of clove oil in 20 litres", tmp_path, "20")
    assert (facts["stock_ml"], facts["verdict"]) == (0.75, "mix")
    (tmp_path / "many").mkdir()
    assert bath("60 drops of clove oil in 20 litres", tmp_path / "many", "20")["verdict"] == "kills"


@pytest.mark.parametrize(
    "words", ["a spoon of salt is 12 kg", "a drop of clove oil is 5 ml", "a cup of salt is 3 g"]
)
def test_a_measure_that_cannot_be_is_asked_again(words: str, tmp_path: Path) -> None:
    answer = said(Night()("17:00", words), tmp_path)
    assert (answer["kind"], answer["facts"]["why"]) == ("ask", "implausible")


@pytest.mark.parametrize(
    ("label", "then", "ml"),
    [
        ("our peroxide is 35 %", "peroxide 250 mg/l african catfish eggs 100 l", 63.1),  # 21 CFR 529.1150
        ("iodine bottle 7.5 %", "iodine 100 ppm 20 litres for nets", 266.7),
        ("the peroxide bottle says 3 %", "peroxide 250 mg/l african catfish eggs 20 l", 166.7),
    ],
)
def test_a_bottle_that_was_told_is_remembered(label: str, then: str, ml: float, tmp_path: Path) -> None:
    assert bath(label, tmp_path, then)["stock_ml"] == ml


def test_a_told_bottle_is_no_basis_for_eggs(tmp_path: Path) -> None:
    facts = bath("iodine bottle 10 %", tmp_path, "iodine 100 ppm 20 litres for eggs")
    assert (facts["stock_ml"], facts["stock_basis"]) == (None, None)


# So much in every litre -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("words", "target", "amount"),
    [
        ("5 g salt per litre, 20 l", 5000.0, 100.0),
        ("salt 5 g in each litre, 20 litres", 5000.0, 100.0),
        ("10 ml iodine per litre for nets, 20 l", 100.0, 200.0),
        ("iodine 1:100 for nets 20 l", 100.0, 200.0),  # muskellunge iodophor paper: 1:100 gives 100 mg/L
        ("formalin 0.1 ml/l 20 l african catfish eggs", 100.0, 2.0),
    ],
)
def test_so_much_in_every_litre(words: str, target: float, amount: float, tmp_path: Path) -> None:
    facts = bath(words, tmp_path)
    assert facts["target_mg_per_l"] == target
    assert amount in (facts["stock_ml"], facts["powder_g"])


def test_half_a_millilitre_of_formalin_in_a_litre_kills(tmp_path: Path) -> None:
    """J. Appl. Sci. Environ. Manage. 14(4): 0 % hatch at 500 mg/L."""
    assert bath("0.5 ml per litre formalin african catfish eggs", tmp_path)["verdict"] == "kills"


@pytest.mark.parametrize("stuff", ["potassium permanganate", "methylene blue", "copper sulphate", "bleach"])
def test_stuff_without_a_figure_says_so(stuff: str, tmp_path: Path) -> None:
    facts = bath(f"{stuff} 10 l", tmp_path)
    assert (facts["verdict"], facts["stock_ml"], facts["powder_g"]) == ("no-figure", None, None)


# Egg baths ------------------------------------------------------------------------------------------------


def test_eggs_about_to_hatch_get_no_iodine(tmp_path: Path) -> None:
    night = Night()("17:00", "african catfish f 2.4 m 1.9").tap("17:01", "start").tap("17:02", "yes")
    night = night("20:30", "injected")("20:31", "27")("2 05:30", "f1 300 g")("2 05:35", "milt on")
    early = night("2 06:00", "iodine 10 l for eggs").tap("2 06:01", "answer:available")
    assert newest(played_on(early.lines, tmp_path), "bath")["stock_ml"] == 100.0
    (tmp_path / "late").mkdir()
    late = early("3 06:00", "iodine 10 l for eggs")
    facts = newest(played_on(late.lines, tmp_path / "late"), "bath")
    assert (facts["verdict"], facts["stock_ml"]) == ("not-now", None)


def test_what_is_known_of_the_egg_bath_is_said_with_it(tmp_path: Path) -> None:
    """Opute 2021; WOAH 2010: pH 6-8."""
    night = Night()("17:00", "iodine 100 ppm 20 l catfish eggs").tap("17:01", "answer:available")
    text = said(night, tmp_path)["text"]
    for words in (
        "36.7 % hatched",
        "test lot first",
        "pH 6-8",
        "Brown works",
        "about to hatch",
        "85-120 mg/L",
    ):
        assert words in text


# One bath after another -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("first", "then", "liquid"),
    [
        ("salt bath for catfish fry", "how do i make the destick", "carp-de-sticking"),
        ("how do i make the destick", "fertilising liquid", "carp-fertilising"),
        ("peroxide african catfish eggs 20 l", "anaesthetic", ""),
        ("formalin african catfish eggs", "clove oil bath", "clove-oil"),
        ("urea 10 l", "fertilising", "carp-fertilising"),
        ("clove 20 l", "clove oil", "clove-oil"),
        ("anaesthetic 20 l", "tricaine", "tricaine"),
    ],
)
def test_another_bath_is_not_taken_for_the_rest_of_the_last(
    first: str, then: str, liquid: str, tmp_path: Path
) -> None:
    facts = bath(first, tmp_path, then)
    assert facts["liquid"] == liquid
    assert facts["verdict"] == ("mix" if liquid else "ask")


# Length ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "words",
    ["clove oil 20 l", "ms222 20 l", "urea 10 l", "mix destick 10 l", "formalin 1000 ppm catfish eggs"],
)
def test_the_amount_or_the_refusal_stands_in_the_first_line(words: str, tmp_path: Path) -> None:
    first, *others = said(Night()("17:00", words), tmp_path)["text"].split("\n")
    assert any(sign.isdigit() for sign in first) or first.startswith(("NO ", "No amount"))
    assert all(len(line) <= SIGNS_A_LINE for line in [first, *others])


def test_a_fish_named_afterwards_is_whom_the_bath_is_for(tmp_path: Path) -> None:
    facts = bath("formalin 100 ppm eggs", tmp_path, "rohu")
    assert (facts["verdict"], facts["species"]) == ("other-species", "rohu")
