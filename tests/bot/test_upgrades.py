"""A file of every earlier release goes on with today's code.

tests/bot/schemas/README.md tells where they come from.
"""

from __future__ import annotations

import json
import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from bot.migrations import STEPS
from bot.recording import opened
from bot.store import Store
from core.results import ROW_VERSION, row_of
from core.runs import fold
from tests.bot.playing import STORE, Transcript, played

SCHEMAS = Path(__file__).parent / "schemas"
TOLD = 6
NIGHT = [json.loads(line) for line in (SCHEMAS / "night.jsonl").read_text(encoding="utf-8").splitlines()]
RELEASES = range(1, len(STEPS) + 1)
Rows = dict[str, list[tuple[Any, ...]]]


def written(step: int, folder: Path) -> Path:
    """The file as that release left it."""
    path = folder / STORE
    with closing(sqlite3.connect(path)) as file:
        file.executescript((SCHEMAS / f"step-{step}.sql").read_text(encoding="utf-8"))
    path.chmod(0o600)
    return path


def columns(path: Path) -> dict[str, list[str]]:
    """The columns of every table of ours that no step writes anew."""
    with closing(sqlite3.connect(path)) as file:
        tables = file.execute(
            "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT GLOB '*sqlite*'"
        )
        found = {
            table: [row[1] for row in file.execute(f"PRAGMA table_info({table})")] for (table,) in tables
        }
    return {**found, "runs": [name for name in found["runs"] if name != "body"]}


def rows(path: Path, wanted: dict[str, list[str]]) -> Rows:
    """All that stands in those columns."""
    with closing(sqlite3.connect(path)) as file:
        return {
            table: sorted(file.execute(f"SELECT {', '.join(names)} FROM {table}"), key=repr)
            for table, names in wanted.items()
        }


@pytest.mark.parametrize("step", RELEASES)
def test_opening_keeps_every_row_of_an_earlier_release(step: int, tmp_path: Path) -> None:
    path = written(step, tmp_path)
    known = columns(path)
    before = rows(path, known)
    Store.open(path).close()
    assert rows(path, known) == before
    assert len(before["events"]) == 8 and len(before["reminders"]) == 14
    with closing(sqlite3.connect(path)) as file:
        assert file.execute("PRAGMA user_version").fetchone() == (len(STEPS),)


@pytest.mark.parametrize("step", RELEASES)
def test_the_night_goes_on_from_an_earlier_release(step: int, tmp_path: Path) -> None:
    """As if it had been begun today: the same bells and answers, and what was told before is still there."""
    path = written(step, tmp_path)
    known = columns(path)
    before = rows(path, known)
    (tmp_path / "today").mkdir()
    played(NIGHT[:TOLD], tmp_path / "today")
    assert told(played(NIGHT[TOLD:], tmp_path)) == told(played(NIGHT[TOLD:], tmp_path / "today"))
    after = rows(path, known)
    assert set(before["events"]) <= set(after["events"])
    assert {row[0] for row in before["outbox"]} <= {row[0] for row in after["outbox"]}


@pytest.mark.parametrize("step", RELEASES)
def test_the_results_book_of_an_earlier_release_is_made_anew(step: int, tmp_path: Path) -> None:
    """It tells what today's code makes of the same events."""
    with closing(Store.open(written(step, tmp_path))) as store:
        assert store.older_rows(ROW_VERSION) == ((1, 1),)
    with closing(opened(tmp_path / STORE)) as store:
        row = store.run_row(1, 1)
        assert row == row_of(fold(store.events(1, 1)))
        assert row is not None and [fish.tag for fish in row.fish] == ["F1", "F2", "M1"]
        assert store.older_rows(ROW_VERSION) == ()


def told(sent: Transcript) -> list[tuple[str, str]]:
    return [(each["at"], each["kind"]) for each in sent]


def test_every_release_has_its_file() -> None:
    """A new step wants the file of the release before it: tests/bot/schemas/README.md."""
    assert sorted(path.name for path in SCHEMAS.glob("*.sql")) == [f"step-{step}.sql" for step in RELEASES]
