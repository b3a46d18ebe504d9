"""Presses that the messenger still wants an answer to: until it has one, the button under a finger spins."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from bot.store import Store, moment, stamp


@dataclass(frozen=True, slots=True)
class Press:
    """One press, by the messenger's own name of it."""

    id: int
    query: str
    at: datetime
    tries: int


def put(store: Store, query: str, at: datetime) -> None:
    """A press to be answered."""
    store.file.change("INSERT INTO presses (query, at) VALUES (?, ?)", query, stamp(at))


def waiting(store: Store, now: datetime, limit: int = 20) -> tuple[Press, ...]:
    """What may be answered now, in order."""
    rows = store.file.rows(
        "SELECT * FROM presses WHERE not_before <= ? ORDER BY id LIMIT ?", stamp(now), limit
    )
    return tuple(Press(row["id"], row["query"], moment(row["at"]), row["tries"]) for row in rows)


def done(store: Store, press: int) -> None:
    """Answered, or not worth another try."""
    store.file.change("DELETE FROM presses WHERE id = ?", press)


def put_off(store: Store, press: int, until: datetime) -> None:
    """Not now."""
    store.file.change(
        "UPDATE presses SET tries = tries + 1, not_before = ? WHERE id = ?", stamp(until), press
    )
