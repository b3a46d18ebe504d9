"""Expenses and sales by chat: with which run they are kept, what a run and a season cost and brought in."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.bot.playing import Night, newest, night, of_kind, played


def injected() -> Night:
    begun = Night()("17:00", "catfish f 2.4 3.1 m 1.9").tap("17:01", "start").tap("17:02", "yes")
    return begun("20:30", "injected")("20:31", "27")


def kept(said: Night, folder: Path) -> dict[str, Any]:
    return newest(played(said.lines, folder), "spent")


def sums(told: list[dict[str, Any]]) -> list[tuple[float, str | None]]:
    return [(each["amount"], each["currency"]) for each in told]


# Where it is kept -----------------------------------------------------------------------------------------


def test_an_expense_is_of_the_only_open_run_else_of_the_farm(tmp_path: Path) -> None:
    told = kept(Night()("16:00", "bought diesel 800 rupees"), tmp_path)
    assert (told["of"], told["run"], told["goods"]) == ("farm", 0, "diesel")
    assert (told["amount"], told["currency"]) == (800.0, "INR")
    told = kept(injected()("20:40", "bought diesel 800 rupees"), _new(tmp_path))
    assert (told["of"], told["run"]) == ("run", 1)


def test_of_two_open_runs_it_is_the_farms_until_it_is_tapped(tmp_path: Path) -> None:
    two = (
        injected()("20:35", "rohu f 2 m 2")
        .tap("20:36", "start")
        .tap("20:37", "yes")("20:50", "rohu injected")
    )
    two("21:00", "bought diesel 800 rupees")
    assert kept(two, tmp_path)["of"] == "farm"
    moved = played(two.tap("21:01", "pick:2").lines, _new(tmp_path))
    assert (newest(moved, "spent")["of"], newest(moved, "spent")["run"]) == ("run", 2)


def test_what_is_moved_counts_once(tmp_path: Path) -> None:
    said = injected()("20:40", "bought feed 100 rupees").tap("20:41", "answer:farm")
    asked = newest(played(said("20:42", "what did this season cost?").lines, tmp_path), "money")
    assert sums(asked["spent"]) == [(100.0, "INR")]
    run = newest(played(said("20:43", "what did this run cost?").lines, _new(tmp_path)), "money")
    assert (run["about"], run["spent"]) == ("run", [])


@pytest.mark.parametrize("where", ["farm", "run"])
def test_an_expense_taken_back_is_gone(where: str, tmp_path: Path) -> None:
    said = (Night() if where == "farm" else injected())("20:40", "bought feed 100 rupees").tap(
        "20:41", "undo"
    )
    asked = newest(played(said("20:42", "what did this season cost?").lines, tmp_path), "money")
    assert asked["spent"] == []


def test_an_edited_expense_counts_as_it_was_mended(tmp_path: Path) -> None:
    said = Night()("20:40", "bought feed 100 rupees").edit("20:41", 1, "bought feed 120 rupees")
    asked = newest(played(said("20:42", "what did this season cost?").lines, tmp_path), "money")
    assert sums(asked["spent"]) == [(120.0, "INR")]


def test_a_reader_keeps_no_money_and_may_ask(tmp_path: Path) -> None:
    said = Night()("16:00", "bought diesel 800 rupees")("16:01", "invite a reader")
    said.lines.append({"at": "2026-06-01T16:02:00+06:00", "user": "ben", "chat": "ben", "open": "ada"})
    for minute, text in ((3, "bought feed 100 rupees"), (4, "what did this season cost?")):
        at = f"2026-06-01T16:0{minute}:00+06:00"
        said.lines.append({"at": at, "user": "ben", "chat": "ben", "text": text})
    lines = [line for line in played(said.lines, tmp_path) if line["chat"] == "ben"]
    assert [line["kind"] for line in lines][-2:] == ["refused", "money"]
    assert sums(lines[-1]["facts"]["spent"]) == [(800.0, "INR")]


# What it comes to -----------------------------------------------------------------------------------------


def test_what_a_run_cost(tmp_path: Path) -> None:
    """600 + 1200 rupees over 66 thousand larvae are 27.27 a thousand; 60 thousand sold for 9000 are 150 each;
    the nets are the farm's."""
    asked = [told for told in of_kind(night("money"), "money") if told["about"] == "run"]
    assert sums(asked[-1]["spent"]) == [(1800.0, "INR")]
    assert asked[-1]["spent"][0]["goods"] == ["hormone", "artemia"]
    assert sums(asked[-1]["earned"]) == [(9000.0, "INR")]
    assert asked[-1]["cost"] == {"amount": 27.2727, "currency": "INR", "larvae": 66_000, "of": "hatched"}
    assert (asked[-1]["price"]["amount"], asked[-1]["price"]["larvae"]) == (150.0, 60_000)
    assert asked[-1]["sold"] == 60_000


def test_the_card_tells_the_same(tmp_path: Path) -> None:
    told = newest(night("money"), "result")
    assert sums(told["spent"]) == [(1800.0, "INR")]
    assert told["cost"]["amount"] == 27.2727
    assert sums(told["earned"]) == [(9000.0, "INR")]


def test_a_season_is_summed_by_currency_and_never_mixed(tmp_path: Path) -> None:
    """800 of diesel, 600 + 1200 of the run, 900 of nets; and 35 dollars beside them."""
    asked = [told for told in of_kind(night("money"), "money") if told["about"] == "season"]
    assert sums(asked[-2]["spent"]) == [(3500.0, "INR"), (35.0, "USD")]
    assert sums(asked[-1]["earned"]) == [(9000.0, "INR")]
    assert (asked[-2]["asked"], asked[-1]["asked"]) == ("spent", "earned")


def test_last_month_is_that_of_the_calendar(tmp_path: Path) -> None:
    said = Night()("20:40", "bought feed 100 rupees")("31 10:00", "bought salt 40 rupees")
    said("32 10:00", "what did we spend last month?")
    asked = newest(played(said.lines, tmp_path), "money")
    assert (asked["about"], sums(asked["spent"])) == ("last-month", [(100.0, "INR")])


def test_what_a_cancelled_run_cost_is_spent_all_the_same(tmp_path: Path) -> None:
    said = injected()("20:40", "bought feed 100 rupees")("20:50", "cancel")
    asked = newest(played(said("21:00", "what did this season cost?").lines, tmp_path), "money")
    assert sums(asked["spent"]) == [(100.0, "INR")]


def test_money_nobody_named_is_a_sum_of_its_own(tmp_path: Path) -> None:
    said = Night()("16:00", "bought feed 1200")("16:01", "bought feed 100 rupees")
    asked = newest(played(said("16:02", "what did this season cost?").lines, tmp_path), "money")
    assert sums(asked["spent"]) == [(1200.0, None), (100.0, "INR")]


def test_nothing_told_is_said_and_no_nought(tmp_path: Path) -> None:
    said = played(Night()("16:02", "what did this season cost?").lines, tmp_path)
    assert newest(said, "money")["spent"] == []
    assert "0" not in said[-1]["text"]


def test_a_sum_that_is_not_told_is_asked(tmp_path: Path) -> None:
    said = played(Night()("16:00", "bought feed").lines, tmp_path)
    assert said[-1]["kind"] in ("ask", "help")


def test_why_a_sum_is_what_it_is(tmp_path: Path) -> None:
    said = Night()("16:00", "bought feed 1200")("16:02", "what did this season cost?")("16:03", "why?")
    told = newest(played(said.lines, tmp_path), "source")
    assert (told["reasons"], told["basis"]) == (["money"], ["farm"])


def _new(folder: Path) -> Path:
    fresh = folder / "new"
    fresh.mkdir()
    return fresh
