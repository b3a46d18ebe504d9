"""What came in is on disk before anybody is told so, and an update seen twice has one effect."""

from __future__ import annotations

import json
import sqlite3
from dataclasses import dataclass
from datetime import datetime
from typing import Any, cast

from bot.messages import Incoming
from bot.store import Store, as_json, moment, stamp
from core.plain import from_plain, to_plain


@dataclass(frozen=True, slots=True)
class InboxRow:
    """One thing that came in, as it was written; `tries` counts the failed attempts to answer it."""

    id: int
    key: str
    chat: str
    received_at: datetime
    tries: int
    body: dict[str, Any]


def receive(store: Store, incoming: Incoming) -> int | None:
    """Keep a message and give its row's id; `None` when its key was seen before."""
    body = to_plain(incoming)
    return keep(store, incoming.key, incoming.chat, incoming.user, incoming.at, body)


def keep(store: Store, key: str, chat: str, user: str, at: datetime, body: dict[str, Any]) -> int | None:
    """Keep what came in as the messenger wrote it; `None` when its key was seen before."""
    written = store.file.rows(
        "INSERT INTO inbox (key, chat, user, received_at, body) VALUES (?, ?, ?, ?, ?)"
        " ON CONFLICT (key) DO NOTHING RETURNING id",
        *(key, chat, user, stamp(at), as_json(body)),
    )
    return written[0]["id"] if written else None


def reading(row: InboxRow) -> Incoming:
    """The message in a row that `receive` wrote."""
    return cast("Incoming", from_plain(Incoming, row.body))


def waiting(store: Store, limit: int = 100) -> tuple[InboxRow, ...]:
    """What is not dealt with yet, in the order it came."""
    rows = store.file.rows("SELECT * FROM inbox WHERE state = 'waiting' ORDER BY id LIMIT ?", limit)
    return tuple(map(_row, rows))


def find(store: Store, key: str) -> InboxRow | None:
    """The row with this key, dealt with or not."""
    row = store.file.row("SELECT * FROM inbox WHERE key = ?", key)
    return _row(row) if row else None


def author(store: Store, row: int) -> str:
    """Who said it, as the messenger calls them."""
    return cast("str", store.file.value("SELECT user FROM inbox WHERE id = ?", row))


def spoken(store: Store, user: str, since: datetime, key: str) -> int:
    """How many messages of this person came since then, up to that with this key: those behind it, that came
    in one answer with it, do not count against it."""
    found = store.file.value(
        "SELECT count(*) FROM inbox WHERE user = ?1 AND received_at > ?2"
        " AND id <= coalesce((SELECT id FROM inbox WHERE key = ?3), id)",
        *(user, stamp(since), key),
    )
    return cast("int", found)


def prune(store: Store, before: datetime) -> int:
    """What was dealt with or set aside before then goes; how many rows."""
    return store.file.change("DELETE FROM inbox WHERE state <> 'waiting' AND received_at < ?", stamp(before))


def count(store: Store) -> int:
    """How many rows there ever were, those cleared away since included."""
    seen = store.file.value("SELECT coalesce(max(seq), 0) FROM sqlite_sequence WHERE name = 'inbox'")
    return cast("int", seen)


def done(store: Store, row: int) -> None:
    """The row has had its effect; to be written in one transaction with it."""
    store.file.change("UPDATE inbox SET state = 'done' WHERE id = ?", row)


def set_aside(store: Store, row: int) -> None:
    """The row cannot be dealt with; nobody tries again."""
    store.file.change("UPDATE inbox SET state = 'aside' WHERE id = ?", row)


def tried(store: Store, row: int) -> int:
    """One more attempt at the row failed; how many did so far."""
    tries = store.file.rows("UPDATE inbox SET tries = tries + 1 WHERE id = ? RETURNING tries", row)
    return tries[0]["tries"] if tries else 0


def _row(row: sqlite3.Row) -> InboxRow:
    return InboxRow(
        id=row["id"],
        key=row["key"],
        chat=row["chat"],
        received_at=moment(row["received_at"]),
        tries=row["tries"],
        body=json.loads(row["body"]),
    )
