"""A season of forty runs on one farm: every card, answer, picture and paper against a script that knows
nothing of core (`tests/year/reckoned.py`), and the same questions of a farm with no run, one and forty.
"""

from __future__ import annotations

import atexit
import csv
import functools
import io
import shutil
import tempfile
from datetime import timedelta
from pathlib import Path
from typing import Any

import openpyxl
import pypdf
import pytest

from bot import exports
from bot.messages import Outgoing
from tests.bot.contract import breaches
from tests.bot.playing import STORE, Transcript, of_kind, played
from tests.year import reckoned, told

ASKED = (
    "what was the last hatch rate?",
    "best run?",
    "hatch rate last month?",
    "hatch rate this season?",
    "hatch by species",
    "hatch by female",
    "hatch by dose",
    "hatch by water",
    "why was it low?",
    "how did A22 do?",
    "what did we spend this season?",
    "which females are ready?",
    "enough hormone for tomorrow?",
    "show the season",
    "picture of the night",
    "run sheet",
    "season as a table",
    "hormone used this season",
    "effective number this season?",
    "treated fish list",
)
SHORT = 700
"""Signs at most in an answer that somebody reads on a cheap telephone; a rule of our own."""


@functools.cache
def folder_of(runs: int) -> Path:
    """Where that season's store is; gone with the process."""
    folder = Path(tempfile.mkdtemp())
    atexit.register(shutil.rmtree, folder)
    return folder


@functools.cache
def year(runs: int) -> tuple[told.Season, Transcript]:
    """The season played once, then each question an hour after the last word."""
    season = told.season(runs)
    last = max((told.moment(line) for line in season.lines), default=told.BEGIN)
    for number, question in enumerate(ASKED, 1):
        season.says(last + timedelta(hours=1, minutes=number), question)
    return season, played(season.lines, folder_of(runs))


def answer(question: str, runs: int = 40) -> list[dict[str, Any]]:
    """All that came back at once."""
    season, said = year(runs)
    at = next(line["at"] for line in season.lines if line.get("text") == question)
    return [line for line in said if line["at"] == at]


def cards() -> dict[int, dict[str, Any]]:
    """The newest card of each run that closed."""
    return {fact["run"]: fact for fact in of_kind(year(40)[1], "result") if fact["closing"]}


# The cards ------------------------------------------------------------------------------------------------

SAME = (
    *("state", "species", "injected", "ovulated", "fertilised_percent", "hatched_percent"),
    *("hatched_of", "larvae", "swim_up", "hours_to_strip", "egg_grams", "body_percent", "eggs"),
    *("eggs_per_kg", "percent_of_fertilised", "larvae_per_kg", "swim_up_per_kg"),
)


@pytest.mark.parametrize("number", range(1, 41))
def test_a_card_tells_what_the_other_script_reckons(number: int) -> None:
    run = year(40)[0].runs[number - 1]
    wanted, card = reckoned.of_run(run), cards()[number]
    assert {name: card[name] for name in SAME if name in wanted} == {
        name: wanted[name] for name in SAME if name in wanted
    }
    hormone = card["hormone"] or {"ml": None}
    assert hormone["ml"] == wanted["used_ml"]
    assert {each["currency"]: each["amount"] for each in card["spent"]} == wanted["spent"]


# The questions --------------------------------------------------------------------------------------------


def facts(question: str, runs: int = 40) -> dict[str, Any]:
    """What the first answer says."""
    return answer(question, runs)[0]["facts"]


def groups(question: str) -> dict[str, tuple[int, float | None, float, float]]:
    """Each group by its name: runs, mean, ends."""
    return {
        each["name"] or f"{each['span_low']:g}": (each["runs"], each["mean"], each["low"], each["high"])
        for each in facts(question)["groups"]
    }


def test_the_last_and_the_best() -> None:
    """The newest run with a figure; of all, the highest, and those without by their dates."""
    runs = year(40)[0].runs
    known = [run for run in runs if run.hatched]
    assert (
        facts("what was the last hatch rate?")["date"],
        facts("what was the last hatch rate?")["run"],
    ) == (
        known[-1].day,
        known[-1].number,
    )
    best = facts("best run?")
    rates = {run.number: reckoned.rate(run.hatched) for run in known}
    assert rates[best["run"]] == best["percent"] == max(rates.values())
    assert (best["counted"], best["low_percent"]) == (len(known), min(rates.values()))
    left = sorted(day for each in best["left_out"] for day in each["dates"])
    assert left == [run.day for run in runs if not run.hatched and run.state != "cancelled"]


@pytest.mark.parametrize(
    ("question", "days"), [("hatch rate last month?", None), ("hatch rate this season?", 182)]
)
def test_a_period(question: str, days: int | None) -> None:
    """Last month is the calendar's before this one; a season the half year until now."""
    runs, said = year(40)[0].runs, facts(question)
    asked = told.moment(next(line for line in year(40)[0].lines if line.get("text") == question))
    first = asked - timedelta(days=days) if days else asked.replace(month=asked.month - 1, day=1, hour=0)
    last = asked if days else asked.replace(day=1, hour=0, minute=0)
    chosen = [run for run in runs if run.injected_at and first <= run.injected_at < last]
    wanted = reckoned.of_several(chosen)
    assert (said["runs"], said["counted"]) == (wanted["runs"], wanted["counted"])
    assert said["hatched_mean_percent"] == wanted["mean"]
    assert (said["hatched_low_percent"], said["hatched_high_percent"]) == (wanted["low"], wanted["high"])
    assert sorted(said["left_out"]) == sorted(wanted["left_out"])
    assert (said["larvae"] or 0, said["sold"] or 0) == (wanted["larvae"], wanted["sold"])


def test_by_species() -> None:
    runs = year(40)[0].runs
    wanted = {
        species: reckoned.group(run for run in runs if run.species == species) for species in told.CALLED
    }
    assert groups("hatch by species") == wanted


def test_by_female_and_one_female() -> None:
    """By lots of hers alone; of one, every run in which she gave."""
    runs = year(40)[0].runs
    found = reckoned.by_female(runs)
    assert groups("hatch by female") == {
        tag: (len(rates), reckoned.mean(rates) if len(rates) > 2 else None, min(rates), max(rates))
        for tag, rates in found.items()
    }
    left = {each["why"]: each["dates"] for each in facts("hatch by female")["left_out"]}
    assert left["no-name"] == [run.day for run in runs if run.hatched and not run.grams]
    assert left["pooled"] == [run.day for run in runs if run.hatched and len(run.grams) > 1]
    gave = [run for run in reversed(runs) if "A22" in run.grams]
    her = facts("how did A22 do?")
    assert [each["run"] for each in her["runs"]] == [run.number for run in gave][: len(her["runs"])]
    assert len(her["runs"]) + her["earlier"] == sum("A22" in run.females for run in runs if run.injected_at)
    assert [each["grams"] for each in her["runs"]] == [run.grams["A22"] for run in gave][: len(her["runs"])]


def test_by_water_and_by_dose() -> None:
    """Water that was told, in steps of two degrees; every dose of this farm is the card's."""
    catfish = [run for run in year(40)[0].runs if run.species == "african-catfish"]
    spans = {(run.celsius // 2) * 2 for run in catfish if run.hatched and run.celsius}
    assert groups("hatch by water") == {
        f"{low:g}": reckoned.group(run for run in catfish if run.celsius and (run.celsius // 2) * 2 == low)
        for low in sorted(spans)
    }
    assert groups("hatch by dose") == {"premix": reckoned.group(catfish)}


def test_money() -> None:
    """All of one currency; what the season brought in for each thousand larvae sold."""
    season, said = year(40)[0], facts("what did we spend this season?")
    asked = told.moment(season.lines[-1])
    chosen = [run for run in season.runs if run.injected_at and asked - run.injected_at < timedelta(days=182)]
    spent = sum(amount for run in chosen for _, amount in run.spent)
    earned = sum(price for run in chosen for _, price in run.sold)
    assert [(each["currency"], each["amount"]) for each in said["spent"]] == [("BDT", spent)]
    assert [(each["currency"], each["amount"]) for each in said["earned"]] == [("BDT", earned)]


def test_why_it_was_low_names_what_differed_and_no_cause() -> None:
    said = facts("why was it low?")
    rates = [reckoned.rate(run.hatched) for run in year(40)[0].runs if run.species == "african-catfish"]
    others = [rate for rate in rates[:-1] if rate is not None]
    assert (said["low_percent"], said["high_percent"]) == (min(others), max(others))
    assert answer("why was it low?")[0]["text"].endswith("These are differences, not causes.")


# The shelf, the book, pictures ----------------------------------------------------------------------------


def test_the_ledger_of_the_season() -> None:
    """opening + came - used - wasted = closing, of each bottle and of all; needles by the card's dose."""
    season, ledger = year(40)[0], facts("hormone used this season")
    asked = told.moment(season.lines[-1])
    since = asked - timedelta(days=182)
    wanted = reckoned.shelf(season.runs, since)
    assert {line["name"]: line for line in ledger["lines"]}.keys() == wanted.keys()
    for line in (*ledger["lines"], ledger["whole"]):
        ends = (
            line["opening"] + line["came"] - line["used"] - line["wasted"] + line["found"] - line["missing"]
        )
        assert line["closing"] == pytest.approx(ends, abs=1e-6)
    for line in ledger["lines"]:
        assert {key: line[key] for key in ("opening", "came", "used", "wasted", "closing")} == pytest.approx(
            wanted[line["name"]], abs=1e-6
        )
    assert ledger["whole"]["used"] == pytest.approx(sum(each["used"] for each in wanted.values()), abs=1e-6)


def test_enough_for_tomorrow() -> None:
    """What the open bottle holds, beside what the last five runs took."""
    runs, said = year(40)[0].runs, facts("enough hormone for tomorrow?")
    took = [reckoned.used_ml(run) or 0.0 for run in runs if run.injected_at]
    assert said["left"] == pytest.approx(told.BOTTLE_ML - sum(took[-1 - (len(runs) % 2 == 0) :]), abs=1e-6)
    assert (said["verdict"], said["runs"]) == ("yes", 5)
    assert said["need"] == pytest.approx(sum(took[-5:]) / 5, abs=0.05)


def test_ready_females() -> None:
    """Rested by the card's days since she gave, or may have given, eggs."""
    season, said = year(40)[0], facts("which females are ready?")
    asked = told.moment(season.lines[-1])
    rested, known = reckoned.ready(season.runs, asked)
    assert (said["rested"], said["females"]) == (len(rested), len(known))
    assert {each["tag"] for each in said["ready"]} == rested
    assert {each["tag"] for each in said["resting"]} <= known - rested


def test_the_effective_number_of_the_season() -> None:
    """4 Nm Nf / (Nm + Nf) of the fish whose runs gave larvae."""
    season, said = year(40)[0], facts("effective number this season?")
    asked = told.moment(season.lines[-1])
    wanted = reckoned.breeders(season.runs, asked - timedelta(days=182))
    females, males = map(len, wanted[said["species"]])
    assert (said["females"], said["males"]) == (females, males)
    assert said["effective"] == pytest.approx(4 * females * males / (females + males), abs=0.05)
    assert said["percent"] == pytest.approx(100 / (2 * said["effective"]), abs=0.06)


def test_the_pictures_draw_the_same_numbers() -> None:
    """The season: each run's rate; the night: what was done, at its hour."""
    season, said = year(40)[0], facts("show the season")
    drawn = {each["run"]: each["percent"] for each in said["shown"]}
    assert drawn == {number: reckoned.rate(season.runs[number - 1].hatched) for number in drawn}
    assert said["counted"] == sum(rate is not None for rate in drawn.values()) > 10
    night, last = facts("picture of the night"), season.runs[-1]
    assert night["run"] == last.number


# Papers ---------------------------------------------------------------------------------------------------


def made(document: str) -> bytes:
    """The document as it goes out."""
    at = told.moment(year(40)[0].lines[-1])
    row = Outgoing(1, "ines", at, "season-table", "", {}, document=document)
    found = exports.made(folder_of(40) / STORE, row)
    assert found is not None
    return found.content


COLUMNS = {
    "fertilised_percent": "fertilised_percent",
    "larvae": "larvae",
    "swim_up_larvae": "swim_up",
    "sold_larvae": "sold",
    "eggs": "eggs",
    "eggs_per_kg": "eggs_per_kg",
    "hormone_ml": "used_ml",
    "hatched_of_all_percent": "hatched_percent",
    "hatched_of_good_percent": "percent_of_fertilised",
    "larvae_per_kg": "larvae_per_kg",
}
"""A column of the season's table, and what it is to the other script."""


def test_the_seasons_table_and_workbook_agree_with_the_other_script() -> None:
    text = made("season.csv").decode("utf-8-sig")
    table = list(csv.DictReader(io.StringIO(text)))
    book = openpyxl.load_workbook(io.BytesIO(made("season.xlsx")), read_only=True)
    head, *rows = book["runs"].iter_rows(values_only=True)
    sheet = [dict(zip(head, row, strict=True)) for row in rows]
    assert len(table) == len(sheet) == 40
    for run in year(40)[0].runs:
        (written,) = [row for row in table if row["run"] == str(run.number)]
        (shown,) = [row for row in sheet if row["run"] == run.number]
        wanted = reckoned.of_run(run)
        for column, name in COLUMNS.items():
            told_number = None if written[column] == "" else float(written[column])
            assert told_number == wanted[name], (run.number, column)
            assert shown[column] == wanted[name], (run.number, column)


def test_the_paper_of_a_run_holds_its_card() -> None:
    """Its text comes out again, with the numbers of the last run."""
    last = year(40)[0].runs[-1]
    text = pypdf.PdfReader(io.BytesIO(made(f"run-sheet/{last.number}"))).pages[0].extract_text()
    words = " ".join(text.split())
    wanted = reckoned.of_run(last)
    for number in (f"{wanted['hatched_percent']:g} %", f"{wanted['larvae']:,}", f"{wanted['egg_grams']:g} g"):
        assert number in words


# No run, one, a hundred -----------------------------------------------------------------------------------

THREE = ("what was the last hatch rate?", "which females are ready?", "enough hormone for tomorrow?")


@pytest.mark.parametrize("runs", [0, 1, 40])
@pytest.mark.parametrize("question", THREE)
def test_an_answer_is_true_and_short_whatever_the_farm_has(question: str, runs: int) -> None:
    (line,) = answer(question, runs)
    assert len(line["text"]) < SHORT
    assert breaches(line) == []
    if runs == 0:
        assert not any(sign.isdigit() for sign in line["text"].split("exp")[0]), line["text"]
