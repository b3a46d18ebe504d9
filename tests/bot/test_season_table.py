"""The season as a table and as a workbook: what stands there is what a second script counts."""

from __future__ import annotations

import csv
import io
from contextlib import closing
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from bot import exports
from bot.exports import tables, workbook
from bot.messages import Outgoing
from bot.play import play
from bot.store import Store
from core.records import FishWeighed, FishWeight, Injected, Opened, Told, WaterRead
from tests.bot import recount
from tests.bot.playing import NIGHTS, STORE, newest, of_kind, played, script_of
from tests.bot.test_exports import EVIL, founded, told

NOW = datetime(2026, 6, 10, 6, 10, 30, tzinfo=UTC)
WHOLE = (
    *("catfish-stripped", "striped-several-shots", "two-tanks", "twelve-females", "corrections"),
    *("dead-none-watery", "carp-nest", "rohu-hapas", "hapa-jars", "fry", "cancelled"),
)


def document(path: Path, name: str, farm: int = 1) -> bytes:
    out = Outgoing(farm, "ada", NOW, "season-table", "", {}, document=name)
    made = exports.made(path, out)
    assert made is not None and made.name == f"hatchbell-season-2026-06-10.{name.rpartition('.')[2]}"
    return made.content


def rows_of(path: Path, farm: int = 1) -> list[dict[str, str]]:
    text = document(path, "season.csv", farm).decode("utf-8-sig")
    return list(csv.DictReader(io.StringIO(text, newline="")))


def sheet_of(content: bytes, name: str) -> list[dict[str, Any]]:
    book = openpyxl.load_workbook(io.BytesIO(content))
    head, *lines = book[name].iter_rows(values_only=True)
    return [dict(zip(map(str, head), line, strict=True)) for line in lines]


def as_cell(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, datetime):
        return value.isoformat()
    return value.isoformat() if isinstance(value, date) else f"{value:.10g}"


@pytest.mark.parametrize("night", WHOLE)
def test_every_number_is_that_of_a_second_script(night: str, tmp_path: Path) -> None:
    played(script_of(NIGHTS / f"{night}.jsonl"), tmp_path)
    counted = recount.season(tmp_path / STORE)
    table = rows_of(tmp_path / STORE)
    in_book = sheet_of(document(tmp_path / STORE, "season.xlsx"), "runs")
    assert [int(row["run"]) for row in table] == [row["run"] for row in in_book] == sorted(counted)
    for row, cells in zip(table, in_book, strict=True):
        if row["state"] == "cancelled":
            continue
        for column, value in counted[int(row["run"])].items():
            told = row[column]
            assert (f"{float(told):.10g}" if isinstance(value, int | float) else told) == as_cell(value), (
                column
            )
            in_sheet = cells[column]
            if isinstance(value, datetime):
                assert in_sheet == value.replace(tzinfo=None), column
            elif isinstance(value, date):
                assert in_sheet.date() == value, column
            else:
                assert in_sheet == pytest.approx(value), column


def test_each_sheet_says_the_same_as_its_table(tmp_path: Path) -> None:
    played(script_of(NIGHTS / "striped-several-shots.jsonl"), tmp_path)
    content = document(tmp_path / STORE, "season.xlsx")
    book = openpyxl.load_workbook(io.BytesIO(content))
    assert book.sheetnames == ["runs", "columns", "fish", "injections", "eggs", "counts", "water"]
    with closing(Store.open(tmp_path / STORE, read_only=True)) as store:
        texts = tables.written(exports.Source(store, 1), tuple(workbook.SHEETS.values()))
    columns = sheet_of(content, "columns")
    explained = {(row["sheet"], row["column"]): row["what it is, with its unit"] for row in columns}
    for name, table in workbook.SHEETS.items():
        expected = list(csv.DictReader(io.StringIO(texts[table][1:], newline="")))
        found = sheet_of(content, name)
        assert len(found) == len(expected)
        for row, cells in zip(expected, found, strict=True):
            for column, text in row.items():
                assert explained[name, column]
                assert same(text, cells[column]), (name, column)
    assert found


def same(text: str, cell: Any) -> bool:
    """Whether a cell of the workbook says what the table says."""
    match cell:
        case None:
            return text == ""
        case datetime() if len(text) == len("2026-06-01"):
            return cell.date().isoformat() == text
        case datetime():
            return datetime.fromisoformat(text).replace(tzinfo=None) == cell
        case int() | float():
            return float(text) == pytest.approx(cell)
    return str(cell) == text


@pytest.mark.parametrize("text", EVIL)
def test_no_text_is_a_formula_in_the_workbook(text: str, tmp_path: Path) -> None:
    path = tmp_path / "farm.db"
    with closing(Store.open(path)) as store:
        farm = founded(store, "ada", text)
        told(
            store,
            farm,
            Opened("african-catfish", "stripped", "premix", None),
            FishWeighed((FishWeight(text, "f", 2.4),), place=text),
            Injected("1", (text,), "only", ml=1.2),
            Told("note", text),
        )
    book = openpyxl.load_workbook(io.BytesIO(document(path, "season.xlsx", farm)))
    cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row]
    assert not [cell for cell in cells if cell.data_type == "f"]
    assert book["runs"]["B2"].value.date() == date(2026, 6, 10)
    said = [cell.value for cell in cells if isinstance(cell.value, str) and cell.value.startswith("'")]
    assert len(said) >= 4


def test_what_nobody_told_is_an_empty_cell(tmp_path: Path) -> None:
    path = tmp_path / "farm.db"
    with closing(Store.open(path)) as store:
        farm = founded(store, "ada", "Ada")
        told(store, farm, Opened("rohu", "hapa", "premix", None), WaterRead(26.5, "guessed"))
    (row,) = sheet_of(document(path, "season.xlsx", farm), "runs")
    assert {column for column, cell in row.items() if cell is not None} == {
        *("run", "date", "species", "way", "preparation", "state"),
    }


def test_the_same_store_gives_the_same_bytes(tmp_path: Path) -> None:
    played(script_of(NIGHTS / "catfish-stripped.jsonl"), tmp_path)
    assert document(tmp_path / STORE, "season.xlsx") == document(tmp_path / STORE, "season.xlsx")


@pytest.mark.parametrize("form", ["csv", "xlsx"])
def test_a_script_writes_it(form: str, tmp_path: Path) -> None:
    lines: list[str] = []
    play(NIGHTS / "season-table.jsonl", tmp_path / "farm.db", lines.append, papers=tmp_path / "papers")
    assert sorted(path.suffix for path in (tmp_path / "papers").iterdir()) == [".csv", ".xlsx"]
    assert [path for path in (tmp_path / "papers").iterdir() if path.suffix == f".{form}"]


def test_it_is_asked_for_in_words(tmp_path: Path) -> None:
    said = played(script_of(NIGHTS / "season-table.jsonl"), tmp_path)
    assert newest(said, "refused")["why"] == "no-season"
    assert [fact["form"] for fact in of_kind(said, "season-table")] == ["csv", "xlsx"]
    assert newest(said, "season-table")["first"] == "2026-06-01"


@pytest.mark.parametrize("runs", [200])
def test_a_long_season_is_made_in_a_moment(runs: int, tmp_path: Path) -> None:
    """Two hundred runs: the time is printed by tests/bench, here only that it is whole."""
    path = tmp_path / "farm.db"
    with closing(Store.open(path)) as store:
        farm = founded(store, "ada", "Ada")
        for run in range(1, runs + 1):
            at = NOW - timedelta(days=run)
            told(
                store,
                farm,
                Opened("rohu", "hapa", "premix", None),
                FishWeighed((FishWeight("F1", "f", 2.4 + at.day / 100),)),
                run=run,
            )
    assert len(sheet_of(document(path, "season.xlsx", farm), "fish")) == runs
