"""Bottles of hormone in the talk: told, drawn from, asked after, rung for; the ledger of the real store."""

from __future__ import annotations

import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.bot.playing import Night, bells, newest, of_kind, played
from tests.core.test_stock import Plain

A3 = "bottle 10 ml lot A3 exp 2027-05"
ASKED = "enough hormone for tomorrow?"


def shelved() -> Night:
    return Night()("08:00", "bottle 20 ug + 10 mg")("08:01", A3)


def made_ready(night: Night, clock: str = "17:00", words: str = "african catfish f 2.4 m 1.9") -> Night:
    return night(clock, words)


def bottle(said: Sequence[dict[str, Any]]) -> dict[str, Any]:
    found: dict[str, Any] = newest(list(said), "bottle")
    return found


# Told -----------------------------------------------------------------------------------------------------


def test_a_bottle_comes_in_with_all_that_its_label_says(tmp_path: Path) -> None:
    night = Night()("08:00", "bottle 20 ug/ml + 10 mg/ml 10 ml lot A3 exp 2027-05")
    told = bottle(played(night.lines, tmp_path))
    shown = told["bottle"]
    assert (told["what"], shown["name"], shown["left"], shown["unit"]) == ("in", "A3", 10, "mL")
    assert (shown["good_until"], shown["ends"], shown["preparation"]) == ("2027-05-31", "label", "premix")
    assert (shown["strength"]["ug_per_ml"], shown["strength"]["mg_per_ml"]) == (20, 10)


@pytest.mark.parametrize(
    ("words", "unit", "left"),
    [
        ("new bottle 10 ml lot A3", "mL", 10),
        ("2 bottles of 10 ml lot A3 exp 2027-05", "mL", 20),
        ("3 vials hcg lot A3 exp 2027-03", "IU", 15_000),
        ("50 glands lot A3", "mg", 150),
        ("pituitary bottle 500 mg lot A3", "mg", 500),
        ("bottle lot A3 exp 2027-05", "mL", None),
    ],
)
def test_what_a_bottle_holds_is_counted_in_what_is_drawn_of_it(
    words: str, unit: str, left: float | None, tmp_path: Path
) -> None:
    night = Night()("08:00", "hcg vial 5000 IU in 5 ml")("08:01", "one gland is 3 mg")("08:02", words)
    shown = bottle(played(night.lines, tmp_path))["bottle"]
    assert (shown["unit"], shown["left"]) == (unit, left)


def test_a_day_no_calendar_has_is_asked(tmp_path: Path) -> None:
    *_, last = played(Night()("08:00", "bottle 10 ml lot A3 exp 31/02/2027").lines, tmp_path)
    assert (last["kind"], last["facts"]["about"], last["facts"]["why"]) == ("ask", "bottle", "not-a-day")


def test_an_opened_bottle_is_good_as_long_as_its_label_says_and_asked_once(tmp_path: Path) -> None:
    night = shelved()("09:00", "opened bottle A3")("09:01", "28 days")
    opened, kept = of_kind(played(night.lines, tmp_path), "bottle")[1:]
    assert (opened["usual_days"], opened["bottle"]["ends"]) == (28, "label")  # nobody told: never invented
    assert (kept["bottle"]["good_until"], kept["bottle"]["ends"]) == ("2026-06-29", "opened")


@pytest.mark.parametrize("answer", ["05/2027", "2027-05", "may 2027"])
def test_a_bare_day_is_the_expiry_that_was_asked_for(answer: str, tmp_path: Path) -> None:
    night = Night()("08:00", "new bottle 10 ml lot A3")("08:01", answer)
    (came, told) = of_kind(played(night.lines, tmp_path), "bottle")
    assert (came["usual_years"], came["bottle"]["good_until"]) == (3, None)
    assert (told["bottle"]["bottle"], told["bottle"]["good_until"]) == (1, "2027-05-31")


def test_bare_millilitres_are_what_was_asked_for(tmp_path: Path) -> None:
    night = Night()("08:00", "bottle lot A3 exp 2027-05")("08:01", "10 ml")
    assert bottle(played(night.lines, tmp_path))["bottle"]["left"] == 10


def test_weights_after_a_question_about_a_bottle_are_weights(tmp_path: Path) -> None:
    night = Night()("08:00", "new bottle 10 ml lot A3")("08:01", "catfish f 2.4 m 1.9")
    assert newest(played(night.lines, tmp_path), "dose-sheet")["fish"][0]["kg"] == 2.4


def test_a_label_told_later_is_that_of_the_bottle_that_has_none(tmp_path: Path) -> None:
    night = Night()("08:00", A3)("08:01", "bottle 20 ug + 10 mg")("08:02", "what is on the shelf?")
    (shown,) = newest(played(night.lines, tmp_path), "shelf")["bottles"]
    assert shown["strength"]["ug_per_ml"] == 20


def test_the_days_of_a_bottle_that_a_needle_opened_are_asked_with_the_shelf(tmp_path: Path) -> None:
    night = made_ready(shelved())("20:00", "injected")("2 10:00", "what is on the shelf?")("2 10:01", "28")
    told = bottle(played(night.lines, tmp_path))
    assert (told["what"], told["bottle"]["good_until"]) == ("keeps", "2026-06-29")


def test_more_of_a_label_goes_to_the_bottle_of_that_lot(tmp_path: Path) -> None:
    night = Night()("08:00", "new bottle 10 ml lot A3")("08:01", "bottle A3 exp 2027-05")
    said = of_kind(played(night.lines, tmp_path), "bottle")
    assert [each["bottle"]["bottle"] for each in said] == [1, 1]
    assert said[-1]["bottle"]["good_until"] == "2027-05-31"


def test_the_same_lot_again_is_asked_about(tmp_path: Path) -> None:
    night = shelved()("08:05", A3).tap("08:06", "yes")("08:07", "what is on the shelf?")
    said = played(night.lines, tmp_path)
    assert newest(said, "ask")["why"] == "same-lot"
    assert [each["left"] for each in newest(said, "shelf")["bottles"]] == [10, 10]


def test_what_a_bottle_held_can_be_told_anew(tmp_path: Path) -> None:
    night = shelved()("08:05", "bottle A3 is 20 ml").tap("08:06", "pick:1")("08:07", "ledger")
    (line,) = newest(played(night.lines, tmp_path), "ledger")["lines"]
    assert (line["came"], line["closing"]) == (20, 20)


@pytest.mark.parametrize("words", ["when does the hormone expire?", "which bottle expires first?"])
def test_when_a_bottle_expires_is_told_with_the_shelf(words: str, tmp_path: Path) -> None:
    (shown,) = newest(played(shelved()("08:05", words).lines, tmp_path), "shelf")["bottles"]
    assert shown["good_until"] == "2027-05-31"


@pytest.mark.parametrize(
    ("words", "what", "left", "line"),
    [
        ("spilled 2 ml from bottle A3", "wasted", 8, (0, 2, 0)),
        ("bottle A3 is broken", "broken", 0, (0, 10, 0)),
        ("threw away bottle A3", "thrown-away", 0, (0, 10, 0)),
        ("bottle A3 is empty", "empty", 0, (0, 0, 10)),
        ("7.5 ml left in bottle A3", "counted", 7.5, (0, 0, 2.5)),
        ("12 ml left in bottle A3", "counted", 12, (2, 0, 0)),
    ],
)
def test_what_becomes_of_a_bottle_stands_in_the_ledger(
    words: str, what: str, left: float, line: tuple[float, float, float], tmp_path: Path
) -> None:
    said = played(shelved()("09:00", words)("09:01", "ledger").lines, tmp_path)
    assert (bottle(said)["what"], bottle(said)["bottle"]["left"]) == (what, left)
    (shown,) = newest(said, "ledger")["lines"]
    assert (shown["found"], shown["wasted"], shown["missing"]) == line


def test_how_much_was_spilled_is_asked_and_a_bare_figure_is_it(tmp_path: Path) -> None:
    said = played(shelved()("09:00", "spilled some hormone from bottle A3")("09:01", "2 ml").lines, tmp_path)
    assert newest(said, "ask")["why"] == "how-much"
    assert (bottle(said)["what"], bottle(said)["bottle"]["left"]) == ("wasted", 8)


def test_which_of_several_bottles_is_asked_with_buttons(tmp_path: Path) -> None:
    night = shelved()("08:02", "new bottle 10 ml lot B1 exp 2027-06")("09:00", "spilled 1 ml of hormone")
    said = played(night.tap("09:01", "pick:2").lines, tmp_path)
    assert newest(said, "ask")["why"] == "several"
    assert (bottle(said)["bottle"]["name"], bottle(said)["bottle"]["left"]) == ("B1", 9)


@pytest.mark.parametrize("words", ["bottle A3 is empty", "6 ml left in bottle A3", "from bottle A3"])
def test_of_a_bottle_that_nobody_told_it_is_asked(words: str, tmp_path: Path) -> None:
    *_, last = played(Night()("08:00", words).lines, tmp_path)
    assert (last["facts"]["about"], last["facts"]["why"]) == ("bottle", "none-told")


def test_an_edited_bottle_keeps_its_number_and_what_was_drawn_from_it(tmp_path: Path) -> None:
    night = made_ready(Night()("08:00", "bottle 10 ml lot A3 exp 2027-05"))("20:00", "injected 1 ml")
    night = night.edit("20:30", 1, "bottle 20 ml lot A3 exp 2027-05")("20:31", "ledger")
    said = played(night.lines, tmp_path)
    (line,) = newest(said, "ledger")["lines"]
    assert (line["came"], line["used"], line["closing"]) == (20, 2, 18)


def test_a_message_edited_twice_keeps_the_hour_it_was_first_said(tmp_path: Path) -> None:
    """Once a second edit counted from the hour of the first one: a count fell behind what was drawn later."""
    night = shelved()("09:00", "8 ml left in bottle A3")
    night = made_ready(night)("20:00", "injected").edit("21:00", 3, "7 ml left in bottle A3")
    night = night.edit("22:00", 3, "6 ml left in bottle A3")("22:05", "ledger")
    (line,) = newest(played(night.lines, tmp_path), "ledger")["lines"]
    assert (line["missing"], line["used"], line["closing"]) == (4, 1.68, 4.32)


# Drawn from -----------------------------------------------------------------------------------------------


def test_a_run_is_drawn_from_the_only_bottle(tmp_path: Path) -> None:
    said = played(made_ready(shelved())("20:00", "injected").lines, tmp_path)
    told = bottle(said)
    assert (told["what"], told["run"], told["bottle"]["left"]) == ("drawn", 1, 8.32)  # 1.2 + 0.48 mL
    assert told["bottle"]["opened_at"] == newest(said, "strip-forecast")["final_injection_at"]


def test_a_farm_without_bottles_is_never_asked_for_one(tmp_path: Path) -> None:
    said = played(made_ready(Night())("20:00", "injected").lines, tmp_path)
    assert not of_kind(said, "bottle")
    assert not [fact for fact in of_kind(said, "ask") if fact["about"] == "bottle"]


def test_of_several_bottles_it_is_asked_and_the_injection_stands(tmp_path: Path) -> None:
    night = shelved()("08:02", "new bottle 10 ml lot B1 exp 2027-06")
    night = made_ready(night)("20:00", "injected")("20:01", "ledger").tap("20:02", "pick:2")
    said = played(night("20:03", "ledger").lines, tmp_path)
    before, after = of_kind(said, "ledger")
    assert newest(said, "ask")["why"] == "which-drawn"
    assert (before["from_none"]["used"], before["runs_of_none"]) == (1.68, 1)  # its own line till then
    assert [line["used"] for line in after["lines"]] == [0, 1.68]
    assert after["from_none"] is None


def test_none_of_these_is_an_answer(tmp_path: Path) -> None:
    night = shelved()("08:02", "new bottle 10 ml lot B1 exp 2027-06")
    night = made_ready(night)("20:00", "injected").tap("20:02", "answer:none")("20:03", "ledger")
    ledger = newest(played(night.lines, tmp_path), "ledger")
    assert (ledger["whole"]["used"], ledger["from_none"]["used"]) == (0, 1.68)


def test_a_bottle_of_another_strength_is_not_drawn_from(tmp_path: Path) -> None:
    night = Night()("08:00", "bottle 10 ug + 10 mg")("08:01", A3)("08:02", "bottle 20 ug + 10 mg")
    said = played(made_ready(night)("17:01", ASKED)("20:00", "injected")("20:01", "ledger").lines, tmp_path)
    assert (newest(said, "enough")["verdict"], newest(said, "enough")["others"]) == ("no-bottle", ["A3"])
    assert newest(said, "ledger")["runs_of_none"] == 1


def test_what_went_in_after_all_is_what_was_used(tmp_path: Path) -> None:
    night = made_ready(shelved())("20:00", "injected")("20:05", "only 0.7 ml went into f1")("20:06", "ledger")
    (line,) = newest(played(night.lines, tmp_path), "ledger")["lines"]
    assert line["used"] == 1.18


def test_an_injection_taken_back_gives_the_bottle_back_what_it_took(tmp_path: Path) -> None:
    night = made_ready(shelved())("20:00", "injected").tap("20:01", "undo")("20:06", "ledger")
    (line,) = newest(played(night.lines, tmp_path), "ledger")["lines"]
    assert (line["used"], line["closing"]) == (0, 10)


def test_more_than_the_bottle_held_is_said(tmp_path: Path) -> None:
    night = made_ready(Night()("08:00", "bottle 20 ug + 10 mg")("08:01", "bottle 1 ml lot A3 exp 2027-05"))
    said = played(night("20:00", "injected").lines, tmp_path)
    assert (bottle(said)["bottle"]["left"], bottle(said)["bottle"]["over"]) == (-0.68, 0.68)
    assert "More was drawn than the bottle held" in said[-1]["text"]
    sheet = next(line for line in said if line["kind"] == "dose-sheet")
    assert "There is less in the bottle than this takes." in sheet["text"]


def test_an_expired_bottle_is_said_at_the_sheet_and_at_the_needle_and_blocks_nothing(tmp_path: Path) -> None:
    night = Night()("08:00", "bottle 20 ug + 10 mg")("08:01", "bottle 10 ml lot A3 exp 2026-05-20")
    said = played(made_ready(night)("20:00", "injected").lines, tmp_path)
    sheet = next(line for line in said if line["kind"] == "dose-sheet")
    assert "The bottle for this is past its day" in sheet["text"]
    assert newest(said, "strip-forecast")
    assert bottle(said)["bottle"]["expired"]
    assert "Its last day was May 20" in said[-1]["text"]


# Enough for tomorrow --------------------------------------------------------------------------------------


def season(runs: int) -> Night:
    """A farm with so many runs, each cancelled after its needle."""
    night = Night()("08:00", "bottle 20 ug + 10 mg")("08:01", "bottle 1000 ml lot A3 exp 2030-05")
    for day in range(2, runs + 2):
        night = night(f"{day} 17:00", "african catfish f 2.4 m 1.9")(f"{day} 20:00", "injected")
        night = night(f"{day} 20:10", "cancel")
    return night


@pytest.mark.parametrize(
    ("runs", "verdict", "left", "need", "of", "lately"),
    [
        (0, "no-need", 1000, None, "", 0),
        (1, "yes", 998.32, 1.68, "usual", 1),
        (100, "yes", 832, 1.68, "usual", 5),
    ],
)
def test_enough_for_tomorrow_is_true_and_short(
    runs: int, verdict: str, left: float, need: float | None, of: str, lately: int, tmp_path: Path
) -> None:
    said = played(season(runs)(f"{runs + 2} 10:00", ASKED).lines, tmp_path)
    fact = newest(said, "enough")
    told = (fact["verdict"], fact["left"], fact["need"], fact["of"], fact["runs"])
    assert told == (verdict, left, need, of, lately)
    assert len(said[-1]["text"].split()) <= 25


def test_without_a_bottle_it_says_what_to_type(tmp_path: Path) -> None:
    said = played(Night()("08:00", ASKED).lines, tmp_path)
    assert newest(said, "enough")["verdict"] == "no-bottle"
    assert len(said[-1]["text"].split()) <= 25


def test_what_the_sheets_need_comes_before_what_is_usual(tmp_path: Path) -> None:
    night = made_ready(shelved(), words="african catfish f 9 9 9 m 1.9")("17:01", ASKED)
    said = played(night.lines, tmp_path)
    fact, sheet = newest(said, "enough"), newest(said, "dose-sheet")
    assert (fact["verdict"], fact["of"], fact["runs"]) == ("no", "planned", 1)
    assert fact["need"] == sheet["draw_ml"]
    assert fact["short"] == pytest.approx(sheet["draw_ml"] - 10)


def test_once_injected_the_sheet_needs_no_more(tmp_path: Path) -> None:
    night = made_ready(shelved())("20:00", "injected")("20:05", ASKED)
    fact = newest(played(night.lines, tmp_path), "enough")
    assert (fact["of"], fact["need"]) == ("usual", 1.68)


def test_a_bottle_of_unknown_content_is_not_told_and_no_zero(tmp_path: Path) -> None:
    night = Night()("08:00", "bottle 20 ug + 10 mg")("08:01", "bottle lot A3 exp 2027-05")
    fact = newest(played(made_ready(night)("17:01", ASKED).lines, tmp_path), "enough")
    assert (fact["verdict"], fact["unknown"]) == ("not-told", ["A3"])


def test_what_is_past_its_day_is_not_counted_on(tmp_path: Path) -> None:
    night = Night()("08:00", "bottle 20 ug + 10 mg")("08:01", "bottle 10 ml lot A3 exp 2026-05-20")
    fact = newest(played(made_ready(night)("17:01", ASKED).lines, tmp_path), "enough")
    assert (fact["verdict"], fact["left"], fact["expired"]) == ("no", 0, 10)


# Bells ----------------------------------------------------------------------------------------------------


def rung(said: Sequence[dict[str, Any]]) -> list[tuple[str, str]]:
    """The bells of the shelf: the step and the hour, the first attempts."""
    return [
        (line["reminder"]["step"], line["at"][:16])
        for line in said
        if line["reminder"] and line["reminder"]["run"] == 0 and line["reminder"]["attempt"] == 1
    ]


def test_two_weeks_before_the_label_ends(tmp_path: Path) -> None:
    night = Night()("08:00", "bottle 10 ml lot A3 exp 2026-06-20").until("20 12:00")
    assert rung(played(night.lines, tmp_path)) == [("bottle-expires", "2026-06-06T09:00")]


def test_the_day_before_an_opened_bottle_ends(tmp_path: Path) -> None:
    night = shelved()("09:00", "opened bottle A3")("09:01", "28").until("30 12:00")
    assert rung(played(night.lines, tmp_path)) == [("bottle-expires", "2026-06-28T09:00")]


def test_a_bottle_told_of_too_late_for_its_bell_is_said_at_once_and_not_rung(tmp_path: Path) -> None:
    said = played(Night()("08:00", "bottle 10 ml lot A3 exp 2026-06-10").until("12 12:00").lines, tmp_path)
    assert rung(said) == []
    assert bottle(said)["bottle"]["good_until"] == "2026-06-10"


@pytest.mark.parametrize("words", ["undo", "bottle A3 is empty", "threw away bottle A3"])
def test_a_bottle_that_is_gone_rings_no_more(words: str, tmp_path: Path) -> None:
    night = Night()("08:00", "bottle 10 ml lot A3 exp 2026-06-20")("08:05", words).until("20 12:00")
    assert rung(played(night.lines, tmp_path)) == []


def test_the_bells_of_the_shelf_follow_the_farms_clocks(tmp_path: Path) -> None:
    """Told at UTC+6; then the farm is said to be in Jakarta, at UTC+7: nine o'clock there."""
    night = Night()("08:00", "bottle 10 ml lot A3 exp 2026-06-20")("08:05", "Asia/Jakarta")
    said = played(night.until("20 12:00").lines, tmp_path)
    assert [line["reminder"]["due"] for line in bells(said)][:1] == ["2026-06-06T09:00:00+07:00"]


def test_the_morning_after_a_needle_that_left_too_little(tmp_path: Path) -> None:
    night = Night()("08:00", "bottle 20 ug + 10 mg")("08:01", "bottle 3 ml lot A3 exp 2027-05")
    night = made_ready(night)("20:00", "injected")("20:10", "cancel").until("3 12:00")
    said = played(night.lines, tmp_path)
    assert rung(said) == [("bottle-low", "2026-06-02T09:00")]
    low = next(line for line in said if line["reminder"] and line["reminder"]["step"] == "bottle-low")
    assert (low["facts"]["bottle"]["left"], low["facts"]["need"]) == (1.32, 1.68)


def test_a_new_bottle_ends_the_bell_for_little_hormone(tmp_path: Path) -> None:
    night = Night()("08:00", "bottle 20 ug + 10 mg")("08:01", "bottle 3 ml lot A3 exp 2027-05")
    night = made_ready(night)("20:00", "injected")("20:10", "cancel")
    night = night("2 07:00", "new bottle 10 ml lot B1 exp 2027-06").until("3 12:00")
    assert rung(played(night.lines, tmp_path)) == []


@pytest.mark.parametrize(
    ("action", "again"),
    [("done", []), ("later", [("bottle-expires", "2026-06-07T09:00")]), ("answer:thrown-away", [])],
)
def test_how_a_bell_of_the_shelf_is_answered(
    action: str, again: list[tuple[str, str]], tmp_path: Path
) -> None:
    night = Night()("08:00", "bottle 10 ml lot A3 exp 2026-06-20").until("6 09:01").tap("6 09:05", action)
    said = played(night.until("20 12:00").lines, tmp_path)
    assert rung(said) == [("bottle-expires", "2026-06-06T09:00"), *again]
    assert [line["at"][:16] for line in bells(said)][:2] != ["2026-06-06T09:00", "2026-06-06T09:30"]


def test_done_in_words_answers_the_only_bell_that_rings(tmp_path: Path) -> None:
    night = Night()("08:00", "bottle 10 ml lot A3 exp 2026-06-20").until("6 09:01")("6 09:05", "done")
    said = played(night.until("20 12:00").lines, tmp_path)
    assert newest(said, "noted")["what"] == "shelf-seen"
    assert len(bells(said)) == 1


def test_done_beside_a_planned_needle_is_never_of_a_bottle(tmp_path: Path) -> None:
    """A bottle rings at nine, the needle is planned for half past: whether it was done is asked."""
    night = Night()("08:00", "bottle 10 ml lot A3 exp 2026-06-15")("08:05", "catfish f 2.4 m 1.9")
    night = night.tap("08:06", "start")("08:07", "inject at 9:30")("09:05", "done")
    said = played(night.lines, tmp_path)
    assert ("bottle-expires", "2026-06-01T09:00") in rung(said)
    assert "shelf-seen" not in [fact["what"] for fact in of_kind(said, "noted")]


def test_all_is_well_answers_no_bottle(tmp_path: Path) -> None:
    night = Night()("08:00", "bottle 10 ml lot A3 exp 2026-06-15")("09:05", "all is well")
    assert "shelf-seen" not in [fact["what"] for fact in of_kind(played(night.lines, tmp_path), "noted")]


@pytest.mark.parametrize(
    ("label", "words", "needle", "unit", "came", "used"),
    [
        ("hcg vial 5000 IU in 5 ml", "3 vials hcg lot H1 exp 2027-03", "injected 1.5 ml", "IU", 15_000, 1500),
        ("one gland is 3 mg", "100 glands lot P1", "injected 4 mg per kg", "mg", 300, 9.6),
    ],
)
def test_what_comes_dry_is_drawn_by_its_substance(
    label: str, words: str, needle: str, unit: str, came: float, used: float, tmp_path: Path
) -> None:
    """1.5 mL of 1000 IU a mL; 4 mg for each of 2.4 kg."""
    preparation = "hcg" if unit == "IU" else "pituitary"
    night = Night()("08:00", label)("08:01", words)("17:00", f"catfish {preparation} f 2.4")
    ledger = newest(played(night("20:00", needle)("20:01", "ledger").lines, tmp_path), "ledger")
    (line,) = ledger["lines"]
    assert (ledger["unit"], line["came"], line["used"]) == (unit, came, used)


def test_a_bell_of_the_shelf_takes_no_answer_from_a_run(tmp_path: Path) -> None:
    """Eggs are looked at while a bottle rings: "not yet" is of the females."""
    night = made_ready(Night()("08:00", "bottle 10 ml lot A3 exp 2026-06-16"), "1 23:00")(
        "1 23:30", "injected"
    )
    said = played(night("2 09:05", "not yet").lines, tmp_path)
    assert ("bottle-expires", "2026-06-02T09:00") in rung(said)
    assert newest(said, "noted")["what"] == "not-yet"


# The ledger of the real store adds up ---------------------------------------------------------------------


@dataclass(frozen=True)
class Told:
    """A message about one of two bottles, in hundredths of a mL."""

    what: str
    bottle: int
    amount: int


MESSAGES = {
    "in": "new bottle {ml} ml lot A{n} exp 2027-05",
    "wasted": "spilled {ml} ml from bottle A{n}",
    "counted": "{ml} ml left in bottle A{n}",
    "gone": "bottle A{n} is broken",
}
TOLD = st.builds(
    Told,
    what=st.sampled_from(
        (
            "used",
            "used",
            "less",
            "wasted",
            "wasted",
            "counted",
            "counted",
            "gone",
            "edit",
            "edit",
            "undo",
            "undo",
        )
    ),
    bottle=st.integers(1, 2),
    amount=st.integers(10, 200),
)


@dataclass
class Line:
    """A line of a page: thousandths of a mL of a bottle. `message` of the script told it, 0 where it is not
    edited here."""

    bottle: int
    message: int
    hour: int
    what: str
    thousandths: int


class Script:
    """A farm of two bottles told of message by message, and its ledger kept with a pencil beside it."""

    def __init__(self) -> None:
        self.night, self.messages, self.day = Night(), 0, 1
        self.lines: list[Line] = []
        self.newest: Line | None = None
        for n in (1, 2):
            self.tell(f"08:0{n}", MESSAGES["in"].format(ml=10 * n, n=n))

    def tell(self, clock: str, words: str) -> None:
        self.night(clock, words)
        self.messages += 1

    def act(self, act: Told) -> None:
        self.day += 1
        if act.what in MESSAGES:
            self.tell(f"{self.day} 10:00", MESSAGES[act.what].format(ml=act.amount / 100, n=act.bottle))
            self.newest = Line(act.bottle, self.messages, self.day, act.what, act.amount * 10)
            self.lines.append(self.newest)
        else:
            {"used": self.used, "less": self.less, "undo": self.undo, "edit": self.edit}[act.what](act)
            self.newest = None

    def used(self, act: Told) -> None:
        """A run of one female, so many mL out of that bottle; then it is over."""
        self._run(act, f"injected {act.amount / 100} ml")
        self.lines.append(Line(act.bottle, 0, self.day, "used", act.amount * 10))

    def less(self, act: Told) -> None:
        """A needle of which less went in after all."""
        self._run(act, "injected 1.5 ml", f"only {act.amount / 200} ml went into f1")
        self.lines.append(Line(act.bottle, 0, self.day, "used", act.amount * 5))

    def _run(self, act: Told, *needle: str) -> None:
        told = ("african catfish f 2.4", *needle, f"from bottle A{act.bottle}", "cancel")
        for minute, words in enumerate(told):
            self.tell(f"{self.day} 10:0{minute}", words)

    def undo(self, act: Told) -> None:
        if self.newest is not None:
            self.night.tap(f"{self.day} 10:00", "undo")
            self.lines.remove(self.newest)

    def edit(self, act: Told) -> None:
        """One of the messages that told of a bottle says another amount now."""
        told = [line for line in self.lines if line.message]
        if told:
            line = told[act.amount % len(told)]
            words = MESSAGES[line.what].format(ml=act.amount / 100, n=line.bottle)
            self.night.edit(f"{self.day} 10:00", line.message, words)
            line.thousandths = act.amount * 10

    def page(self, bottle: int) -> Plain:
        rest = [
            (line.hour, line.what != "used", place, line.what, line.thousandths)
            for place, line in enumerate(self.lines)
            if line.bottle == bottle
        ]
        return Plain(10_000 * bottle, [(0, 0, 0, "in", 10_000 * bottle), *rest])


@settings(max_examples=25, deadline=None)
@given(st.lists(TOLD, max_size=8))
def test_the_ledger_of_the_real_store_adds_up(acts: list[Told]) -> None:
    """Opening + in - used - wasted (and what counts found) = closing, whatever was told, edited, undone."""
    script = Script()
    for act in acts:
        script.act(act)
    night = script.night(f"{script.day + 1} 12:00", "ledger")
    with tempfile.TemporaryDirectory() as folder:
        ledger = newest(played(night.lines, Path(folder)), "ledger")
    for line in ledger["lines"]:
        page = script.page(int(line["name"].removeprefix("A")))
        opening, came, used, wasted, counted, closing = page.sums(0, 10_000)
        names = ("opening", "came", "used", "wasted", "closing")
        assert [Decimal(str(line[name])) * 1000 for name in names] == [opening, came, used, wasted, closing]
        assert Decimal(str(line["found"])) - Decimal(str(line["missing"])) == Decimal(counted) / 1000
