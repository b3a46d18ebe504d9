"""An old notebook on every road into the record: what becomes of it, once, and out again as a whole."""

from __future__ import annotations

import csv
import io
from contextlib import closing
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from hypothesis import given, settings
from hypothesis import strategies as st

from bot import exports, importing
from bot.cli import cli
from bot.clock import HandClock
from bot.messages import Outgoing
from bot.store import Store
from tests.bot import recount
from tests.bot.botapi import BotApi
from tests.bot.playing import NIGHTS, STORE, Transcript, newest, of_kind, played, script_of
from tests.bot.test_exports import founded
from tests.bot.test_season_table import rows_of
from tests.bot.wired import wired

NOW = datetime(2026, 6, 10, 6, 10, 30, tzinfo=UTC)
KEPT = (
    *("date", "species", "way", "preparation", "ug_per_ml", "mg_per_ml", "females", "female_kg"),
    *("weights_kg", "females_injected", "injected_at", "dose_ml", "water_c", "stripped_at"),
    *("females_gave_eggs", "eggs_g", "eggs_l", "fertilised_percent", "fertilised_good", "fertilised_total"),
    *("hatched_percent", "hatched_good", "hatched_total", "hatched_of", "larvae", "swim_up_larvae"),
    *("sold_larvae", "note"),
)
Cells = dict[str, str]


@pytest.fixture
def db(tmp_path: Path) -> Path:
    path = tmp_path / "farm.db"
    with closing(Store.open(path)) as store:
        founded(store, "ada", "Ada")
    return path


def take(db: Path, text: str, name: str = "old.csv", farm: str = "Ada's farm") -> str:
    file = db.parent / name
    file.write_text(text, encoding="utf-8")
    return importing.take(file, db, farm, None, HandClock(NOW))


# In, once, and out ----------------------------------------------------------------------------------------


def test_what_is_understood_stands_as_runs_of_the_past(tmp_path: Path) -> None:
    script = list(script_of(NIGHTS / "notebook.jsonl"))[:2]
    said = newest(played(script, tmp_path), "imported")
    assert (said["rows"], said["taken"], said["left"], said["order"]) == (7, 4, 3, "day-first")
    assert (said["first"], said["last"]) == ("2025-03-12", "2025-04-06")
    faults = {each["why"]: (each["lines"], each["taken"]) for each in said["faults"]}
    assert faults == {
        "no-day": ([6], False),
        "no-species": ([4], False),
        "no-brood-fish": ([7], False),
        "unknown-column": ([], True),
    }
    first, *_ = rows_of(tmp_path / STORE)
    told = {name: first[name] for name in ("female_kg", "dose_ml", "water_c", "eggs_g", "hatched_of", "note")}
    assert list(told.values()) == ["5.5", "2.8", "27", "520", "fertilised", "first of the year"]
    assert first["injected_at"] == "2025-03-12T20:30:00+06:00"
    assert first["stripped_at"] == "2025-03-13T07:10:00+06:00"
    assert (first["preparation"], first["state"], first["hours_to_strip"]) == ("", "closed", "10.7")


@pytest.fixture(scope="module")
def night(tmp_path_factory: pytest.TempPathFactory) -> Transcript:
    folder = tmp_path_factory.mktemp("notebook")
    return played(script_of(NIGHTS / "notebook.jsonl"), folder)


def test_the_same_file_twice_adds_nothing(night: Transcript) -> None:
    first, second, _ = of_kind(night, "imported")
    assert (second["taken"], second["known"]) == (0, [2, 3, 5, 8])
    assert len(second["known"]) == first["taken"]


def test_no_bell_rings_for_the_past(night: Transcript) -> None:
    assert not [line for line in night if line["reminder"]]


def test_one_undo_takes_all_of_it_back(night: Transcript) -> None:
    undone = next(fact for fact in of_kind(night, "noted") if fact["what"] == "import-undone")
    assert undone["number"] == 4
    assert [fact["rows"] for fact in of_kind(night, "imported")] == [7, 7, 2], "and it can be taken anew"


def test_which_is_the_month_is_asked(night: Transcript) -> None:
    asked = next(fact for fact in of_kind(night, "ask") if fact["about"] == "day-or-month")
    assert asked["words"] == "3/4/2025"
    assert (newest(night, "imported")["first"], newest(night, "imported")["last"]) == (
        *("2025-04-03", "2025-04-05"),
    )


def test_which_species_a_word_means_is_asked(tmp_path: Path) -> None:
    (tmp_path / "old.csv").write_text("date,species,larvae\n2025-03-04,catfish,5000\n2025-03-05,rohu,6000\n")
    clock = "2026-06-01T19:0{}:00+06:00"
    lines: list[dict[str, Any]] = [
        {"at": clock.format(0), "user": "ada", "file": "old.csv"},
        {"at": clock.format(1), "user": "ada", "tap": "pick:2"},
    ]
    said = played(lines, tmp_path)
    asked = newest(said, "ask")
    assert (asked["about"], asked["words"]) == ("notebook-species", "catfish")
    assert newest(said, "imported")["taken"] == 2
    second = said[0]["buttons"][1]["label"].lower().replace(" ", "-")
    assert [row["species"] for row in rows_of(tmp_path / STORE)] == [second, "rohu"]


@pytest.mark.parametrize(
    ("heads", "cells", "why"),
    [
        ("females,weights", "1,24", "no-brood-fish"),
        ("water", "4", "no-such-water"),
        ("females,weights,eggs", "1,2.4,500", "too-many-eggs"),
    ],
)
def test_what_no_fish_of_the_species_is_is_not_taken(
    heads: str, cells: str, why: str, tmp_path: Path
) -> None:
    text = f"date,species,{heads}\n2025-03-04,african catfish,{cells}\n"
    (tmp_path / "old.csv").write_text(text)
    said = played([{"at": "2026-06-01T19:00:00+06:00", "user": "ada", "file": "old.csv"}], tmp_path)
    assert [each["why"] for each in newest(said, "imported")["faults"]] == [why]


def test_an_hour_that_nobody_told_is_shown_nowhere(tmp_path: Path) -> None:
    (tmp_path / "old.csv").write_text(
        "date,species,females,weights,dose ml,stripped,eggs\n2025-03-04,rohu,1,2.4,1.2,2025-03-05,200\n"
    )
    clock = "2026-06-01T19:0{}:00+06:00"
    lines: list[dict[str, Any]] = [
        {"at": clock.format(0), "user": "ada", "file": "old.csv"},
        {"at": clock.format(1), "user": "ada", "text": "what did F1 get?"},
    ]
    said = played(lines, tmp_path)
    assert newest(said, "given")["given"][0]["hour_told"] is False
    assert "12:00" not in said[-1]["text"] and "Mar 4" in said[-1]["text"]
    (row,) = rows_of(tmp_path / STORE)
    assert (row["injected_at"], row["stripped_at"], row["hours_to_strip"], row["eggs_g"]) == (
        *("", "", "", "200"),
    )


def test_the_button_takes_back_its_own_file_alone(tmp_path: Path) -> None:
    (tmp_path / "one.csv").write_text("date,species,larvae\n2025-03-04,rohu,5000\n")
    (tmp_path / "two.csv").write_text("date,species,larvae\n2025-03-05,rohu,6000\n")
    lines: list[dict[str, Any]] = [
        {"at": "2026-06-01T19:00:00+06:00", "user": "ada", "file": "one.csv"},
        {"at": "2026-06-01T19:01:00+06:00", "user": "ada", "tap": "undo"},
        {"at": "2026-06-01T19:02:00+06:00", "user": "ada", "file": "one.csv"},
        {"at": "2026-06-01T19:03:00+06:00", "user": "ada", "file": "two.csv"},
        {"at": "2026-06-01T19:04:00+06:00", "user": "ada", "tap": "undo"},
    ]
    played(lines, tmp_path)
    standing = [row for row in rows_of(tmp_path / STORE) if row["state"] != "cancelled"]
    assert [row["larvae"] for row in standing] == ["5000"]


def test_a_run_told_by_chat_is_not_taken_twice(tmp_path: Path) -> None:
    night = script_of(NIGHTS / "catfish-stripped.jsonl")
    (tmp_path / "old.csv").write_text(
        "date,species,females,female kg,eggs g,fertilised\n2026-06-01,african catfish,2,5.5,520,82\n"
        "2026-06-01,african catfish,2,5.5,400,82\n"
    )
    end = max(line["at"] for line in night)
    lines = [*night, {"at": end, "user": "ada", "chat": "ada", "file": "old.csv"}]
    said = newest(played(lines, tmp_path), "imported")
    assert (said["known"], said["taken"]) == ([2], 1), "the other one has other figures"


def test_runs_of_the_past_answer_questions(night: Transcript) -> None:
    result = newest(night, "result")
    assert (result["date"], result["hatched_percent"], result["larvae"]) == ("2025-03-25", 60, 31000)


# Round trips ----------------------------------------------------------------------------------------------

numbers = st.integers(1, 400).map(lambda n: f"{n / 10:g}")


@st.composite
def notebook_rows(draw: st.DrawFn) -> Cells:
    """A row as an export writes it, told in part."""

    def maybe(strategy: st.SearchStrategy[Any]) -> str:
        return str(draw(st.one_of(st.just(""), strategy)))

    day = draw(st.dates(date(2020, 1, 1), date(2026, 5, 1)))
    row = dict.fromkeys(KEPT, "") | {"date": day.isoformat()}
    row["species"] = draw(st.sampled_from(["african-catfish", "rohu", "common-carp"]))
    row["preparation"] = maybe(st.sampled_from(["premix", "pituitary", "hcg"]))
    row["water_c"] = maybe(st.integers(200, 300).map(lambda n: f"{n / 10:g}"))
    row["larvae"], row["sold_larvae"] = maybe(st.integers(0, 10**6)), maybe(st.integers(0, 10**6))
    row["note"] = maybe(st.sampled_from(["moon, full", '=1+1 "so"', "two\nlines", "গাঢ় রঙ", "-5", "'quoted"]))
    kilos = draw(st.lists(st.integers(15, 40).map(lambda n: n / 10), max_size=4))
    needle = bool(kilos) and draw(st.booleans())
    if kilos:
        row |= {"females": str(len(kilos)), "female_kg": f"{sum(kilos):.10g}"}
        if len(kilos) == 1 or draw(st.booleans()):
            row["weights_kg"] = " ".join(f"{kg:g}" for kg in kilos)
    if needle:
        hour = draw(st.times(time(1), time(22)).map(lambda at: at.replace(second=0, microsecond=0)))
        at = datetime.combine(day, hour, UTC)
        row |= {"females_injected": str(len(kilos)), "dose_ml": maybe(numbers)}
        if draw(st.booleans()):
            row["injected_at"] = local(at)
            if draw(st.booleans()):
                row["stripped_at"] = local(at + timedelta(minutes=draw(st.integers(1, 3000))))
    if draw(st.booleans()):
        row["eggs_g"] = str(draw(st.integers(1, int(sum(kilos) * 200) if kilos else 5000)))
    if (row["eggs_g"] or row["stripped_at"]) and kilos:
        row["females_gave_eggs"] = draw(st.sampled_from(["", str(len(kilos))])) if needle else ""
    for stage in ("fertilised", "hatched"):
        row |= share(draw, stage)
    row["hatched_of"] = draw(st.sampled_from(["all", "fertilised"])) if row["hatched_percent"] else ""
    return row


def share(draw: st.DrawFn, stage: str) -> Cells:
    way = draw(st.sampled_from(["none", "percent", "sample"]))
    if way == "percent":
        return {f"{stage}_percent": f"{draw(st.integers(0, 1000)) / 10:g}"}
    if way == "sample":
        total = draw(st.integers(1, 500))
        good = draw(st.integers(0, total))
        percent = f"{round(100 * good / total, 1):g}"
        return {f"{stage}_percent": percent, f"{stage}_good": str(good), f"{stage}_total": str(total)}
    return {}


def local(at: datetime) -> str:
    return at.replace(tzinfo=UTC).isoformat().replace("+00:00", "+06:00")


def as_csv(rows: list[Cells]) -> str:
    out = io.StringIO(newline="")
    writer = csv.DictWriter(out, KEPT)
    writer.writeheader()
    writer.writerows(rows)
    return out.getvalue()


def told_by(rows: list[Cells]) -> list[list[tuple[str, str]]]:
    """What each row tells, in an order of its own; what an import adds by itself is left out."""
    named = [
        [(name, row[name]) for name in KEPT if row[name] and name not in ("way", "females_gave_eggs")]
        for row in rows
    ]
    return sorted(named)


@settings(max_examples=40)
@given(st.lists(notebook_rows(), min_size=1, max_size=6))
def test_imported_rows_export_to_the_same_rows(
    tmp_path_factory: pytest.TempPathFactory, rows: list[Cells]
) -> None:
    folder = tmp_path_factory.mktemp("trip")
    path = folder / "farm.db"
    with closing(Store.open(path)) as store:
        founded(store, "ada", "Ada")
        founded(store, "ben", "Ben")
    said = take(path, as_csv(rows))
    assert f"{len(rows)} of {len(rows)} rows" in said, said
    assert "Taken, but" not in said, said
    written = rows_of(path)
    assert told_by(written) == told_by([as_exported(row) for row in rows])
    assert "None of" in take(path, as_csv(rows)), "the same file twice"
    assert rows_of(path) == written
    assert "None of" in take(path, document(path)), "what was exported is there already"
    take(path, document(path), farm="Ben's farm")
    again = rows_of(path, 2)
    assert [{**row, "run": ""} for row in again] == [{**row, "run": ""} for row in written]
    for number, numbers_again in recount.season(path).items():
        row = next(each for each in written if each["run"] == str(number))
        for column in ("female_kg", "dose_ml", "eggs_g", "fertilised_percent", "hatched_percent", "larvae"):
            value = numbers_again[column]
            assert (float(row[column]) if row[column] else None) == pytest.approx(value), column


def as_exported(row: Cells) -> Cells:
    """As an export writes it: a formula made harmless."""
    return {**row, "note": f"'{row['note']}" if row["note"].startswith(tuple("=+-@")) else row["note"]}


def document(path: Path) -> str:
    out = Outgoing(1, "ada", NOW, "season-table", "", {}, document="season.csv")
    made = exports.made(path, out)
    assert made is not None
    return made.content.decode("utf-8")


# Roads ----------------------------------------------------------------------------------------------------


def test_the_command_line(db: Path) -> None:
    db.with_name("a.csv").write_text("date,species\n3/4/2025,rohu\n")
    ask = CliRunner().invoke(
        cli, ["import", str(db.with_name("a.csv")), "--db", str(db), "--farm", "ada's FARM"]
    )
    assert (ask.exit_code, "--days" in ask.stderr, ask.stdout) == (2, True, "")
    named = ["import", str(db.with_name("a.csv")), "--db", str(db), "--farm", "Ada's farm"]
    db.with_name("b.csv").write_text("date,species\n2025-04-03,catfish\n")
    ask = CliRunner().invoke(cli, ["import", str(db.with_name("b.csv")), *named[2:]])
    assert (ask.exit_code, "african-catfish" in ask.stderr) == (2, True)
    told = CliRunner().invoke(cli, [*named, "--days", "day-first"])
    assert told.exit_code == 0 and told.stdout.startswith("1 of 1 rows"), told.output
    assert rows_of(db)[0]["date"] == "2025-04-03"
    for wrong in (["--farm", "Nobody"], ["--db", str(db.with_name("none.db"))]):
        assert CliRunner().invoke(cli, [*named, *wrong]).exit_code in (2, 4)
    gone = ["import", "none.csv", "--db", str(db), "--farm", "Ada's farm"]
    assert CliRunner().invoke(cli, gone).exit_code == 2


def send(api: BotApi, user: int, name: str, content: bytes) -> None:
    """Somebody sends a paper."""
    number = f"file{len(api.files)}"
    api.files[number] = content
    paper = {"file_id": number, "file_unique_id": number, "file_name": name, "file_size": len(content)}
    api.raw({"message": api._message(user, None, document=paper)})


async def test_a_table_sent_over_the_wire_is_read_once_it_is_here(tmp_path: Path) -> None:
    async with wired(tmp_path) as wire:
        await wire.says(1, "hello")
        send(wire.api, 1, "old book.CSV", b"date,species,larvae\n2025-03-25,rohu,5000\n")
        await wire.turn()
        (answer,) = [each["text"] for each in wire.api.sent(1) if "rows" in each.get("text", "")]
        assert answer.startswith("1 of 1 rows are runs now")
        assert rows_of(tmp_path / "farm.db")[0]["larvae"] == "5000"
        await wire.says(1, "season as a table")
        await wire.presses(1, "As CSV")
        sent = [call.params["document"] for call in wire.api.calls("sendDocument")]
        assert [each.name.rpartition(".")[2] for each in sent] == ["xlsx", "csv"]
        assert sent[0].content.startswith(b"PK") and b"5000" in sent[1].content
        assert (await wire.presses(1, "Undo"))[-1].startswith("Taken back: all 1 runs")


async def test_a_table_too_large_or_lost_is_said(tmp_path: Path) -> None:
    async with wired(tmp_path) as wire:
        await wire.says(1, "hello")
        send(wire.api, 1, "old.csv", b"x" * 1_200_000)
        await wire.turn()
        assert wire.api.sent(1)[-1]["text"].startswith("I could not read that file")
        send(wire.api, 1, "old.csv", b"date,species\n2025-03-25,rohu\n")
        wire.api.files.clear()
        await wire.turn()
        assert wire.api.sent(1)[-1]["text"].startswith("I could not read that file")


def test_who_only_reads_imports_nothing(tmp_path: Path) -> None:
    (tmp_path / "old.csv").write_text("date,species\n2025-03-25,rohu\n")
    at = "2026-06-01T19:0{}:00+06:00"
    lines: list[dict[str, Any]] = [
        {"at": at.format(0), "user": "ada", "text": "invite a reader"},
        {"at": at.format(1), "user": "ben", "open": "ada"},
        {"at": at.format(2), "user": "ben", "file": "old.csv"},
    ]
    assert newest(played(lines, tmp_path), "refused")["why"] == "reader"
    assert rows_of(tmp_path / STORE) == []


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_letters_of_any_spreadsheet(encoding: str, db: Path) -> None:
    file = db.with_name("old.csv")
    file.write_bytes("fecha;especie;éclosion;notas\n25/03/2025;rohu;82,5;pez pequeño\n".encode(encoding))
    importing.take(file, db, "Ada's farm", None, HandClock(NOW))
    (row,) = rows_of(db)
    assert (row["hatched_percent"], row["note"]) == ("82.5", "pez pequeño")


def test_five_hundred_rows_are_taken_in_a_moment(db: Path) -> None:
    heads = "date,species,females,female kg,injected,dose ml,stripped,eggs g,fertilised,hatched,larvae\n"
    day = date(2024, 1, 1)
    rows = [
        f"{day + timedelta(days=n)},african catfish,2,5.5,20:30,2.8,07:10,520,82,150/200,{1000 + n}"
        for n in range(500)
    ]
    assert take(db, heads + "\n".join(rows)).startswith("500 of 500 rows")
    assert len(rows_of(db)) == 500
