"""Big stores of real shapes: one night is played, and its rows are written again for other farms and runs."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing, contextmanager
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from bot.store import SqliteFile, Store
from tests.bot.playing import STORE, played

FIRST = 1_000_000
"""The number of the person whose night is played; the others have those behind it."""
TABLES = {
    "people": {"id": "id + k * {people}", "key": "CAST(CAST(key AS INTEGER) + k AS TEXT)"},
    "farms": {"id": "id + k"},
    "members": {"farm": "farm + k", "person": "person + k * {people}"},
    "chats": {"id": "id + k", "key": "CAST(CAST(key AS INTEGER) + k AS TEXT)", "farm": "farm + k"},
    "runs": {"farm": "farm + k"},
    "events": {"farm": "farm + k", "by": "by + k * {people}"},
    "reminders": {"id": "id + k * {reminders}", "farm": "farm + k"},
    "inbox": {
        "id": "id + k * {inbox}",
        "key": "key || '-' || k",
        "user": "CAST(CAST(user AS INTEGER) + k AS TEXT)",
    },
    "outbox": {
        "id": "id + k * {outbox}",
        "farm": "farm + k",
        "chat": "CAST(CAST(chat AS INTEGER) + k AS TEXT)",
        "reminder_id": "reminder_id + k * {reminders}",
    },
    "advice": {"farm": "farm + k"},
}  # fmt: skip
"""What of a row is another one on the k-th farm after the first."""
NUMBERS = "WITH RECURSIVE n(k) AS (SELECT {first} UNION ALL SELECT k + 1 FROM n WHERE k + 1 < {end}) "


def night(folder: Path, at: datetime, whole: bool) -> Path:
    """A store with one farm: its night played to the next afternoon, or as far as the injection."""
    who = {"user": str(FIRST), "chat": str(FIRST)}

    def line(minutes: int, **act: Any) -> dict[str, Any]:
        return {"at": (at + timedelta(minutes=minutes)).isoformat(), **who, **act}

    lines = [
        line(0, text="catfish f 2.4 3.1 m 1.9"),
        line(1, tap="start"),
        line(2, tap="yes"),
        line(90, text="injected"),
        line(95, text="water 27"),
    ]
    if whole:
        lines += [
            line(630, text="F1 eggs run"),
            line(640, text="F1 210 g"),
            line(650, text="F2 310 g"),
            line(655, text="milt on"),
            line(670, text="done"),
            line(1390, text="164 of 200 fertilised"),
            line(2220, text="150 of 164 hatched"),
            line(8000, text="fed"),
        ]
    folder.mkdir()
    played(lines, folder)
    return folder / STORE


@contextmanager
def building(path: Path) -> Iterator[SqliteFile]:
    """The file for a moment, written as fast as it goes."""
    with closing(Store.open(path)) as store:
        store.file.change("PRAGMA synchronous = OFF")
        with store.transaction():
            store.file.change("UPDATE outbox SET state = 'sent', sent_at = at WHERE state = 'unsent'")
            yield store.file


def more_farms(file: SqliteFile, end: int, but: tuple[str, ...] = ()) -> None:
    """The first farm's rows once more for each farm up to `end`, once a file; not of the tables in `but`."""
    sizes = {table: file.value(f"SELECT max(rowid) FROM {table}") for table in TABLES}
    for table in TABLES:
        if table not in but:
            _again(file, table, sizes, end)


def _again(file: SqliteFile, table: str, sizes: dict[str, Any], end: int) -> None:
    columns = [row["name"] for row in file.rows(f"PRAGMA table_info({table})")]
    told = {name: expression.format(**sizes) for name, expression in TABLES[table].items()}
    values = ", ".join(told.get(name, name) for name in columns)
    mine = "farm = 1" if "farm" in columns else "id <= 1" if table in ("farms", "people") else "1"
    file.change(
        NUMBERS.format(first=1, end=end)
        + f"INSERT INTO {table} ({', '.join(columns)}) SELECT {values} FROM {table}, n WHERE {mine}"
    )


def more_runs(file: SqliteFile, end: int) -> None:
    """The first farm's run once more, closed long ago, for each number up to `end`; its newest comes last."""
    most = file.value("SELECT max(id) FROM events WHERE farm = 1")
    (closed,) = file.rows("SELECT * FROM runs WHERE farm = 1 AND number = 1")
    file.change("UPDATE events SET id = id + ?1, run = run + ?2 WHERE farm = 1", most * end, end)
    file.change(
        NUMBERS.format(first=0, end=end)
        + "INSERT INTO events SELECT farm, id - ?1 + k * ?2, k + 1, said_at, at, by, source, kind, body"
        " FROM events, n WHERE farm = 1 AND run = ?3",
        *(most * end, most, end + 1),
    )
    file.change("DELETE FROM runs WHERE farm = 1")
    file.change(
        NUMBERS.format(first=0, end=end + 1)
        + "INSERT INTO runs SELECT 1, k + 1, ?1, json_set(?2, '$.run', k + 1) FROM n",
        *(closed["state"], closed["body"]),
    )
    for table in ("reminders", "advice", "outbox"):
        file.change(f"UPDATE {table} SET run = run + ? WHERE farm = 1 AND run > 0", end)
