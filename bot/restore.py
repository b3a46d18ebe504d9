"""`hatchbell restore`: a copy takes the place of the database, which is kept aside.

At every moment there is one whole database under its name: the copy is made, looked through and brought up
beside it, and comes in by one rename.
"""

from __future__ import annotations

import os
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from bot import inbox, migrations
from bot.alone import alone
from bot.backup import sync
from bot.store import SqliteFile, Store, StoreFault, faults_of

PULSE = "restored"
"""Up to when the restored copy knows: `serve` tells the farms once, and takes it off."""
FAR = 1_000_000
"""Numbers of messages that are left out: buttons of those said after the copy was made must press nothing."""
LOGS = ("-wal", "-journal")


@dataclass(frozen=True, slots=True)
class Restored:
    """What is different now. `known_to`: up to when the copy knows; `aside`: where the old file is, if there
    was one; `lost`: messages that came in since and are in that file alone, `None` where it is unreadable."""

    path: Path
    known_to: datetime | None
    runs: int
    overdue: int
    unsent: int
    aside: Path | None
    lost: int | None
    brought_up: bool


def differences(told: Restored, now: datetime) -> Iterator[tuple[str, dict[str, object]]]:
    """What is different afterwards, a code and its values a line."""
    if told.known_to is None:
        yield "restored-empty", {"path": told.path}
    else:
        at = told.known_to.astimezone()
        yield "restored", {"path": told.path, "known_to": at, "age": now - at, "runs": told.runs}
    if told.brought_up:
        yield "restored-brought-up", {}
    if told.lost is None:
        yield "restored-lost-unknown", {}
    elif told.lost:
        yield "restored-lost", {"lost": told.lost}
    if told.known_to is not None:
        yield "restored-told", {}
        yield "restored-undone", {}
    yield "restored-gone", {}
    if told.overdue:
        yield "restored-overdue", {"overdue": told.overdue}
    if told.unsent:
        yield "restored-unsent", {"unsent": told.unsent}
    if told.aside is not None:
        yield "restored-aside", {"path": told.aside}
    yield "restored-start", {}


def restore(copy: Path, db: Path, now: datetime) -> Restored:
    """`copy` becomes `db`. Raises `StoreFault`, and then `db` is as it was."""
    with alone(db), _beside(db) as fresh:
        if db.exists() and copy.exists() and copy.samefile(db):
            raise StoreFault("same-file", path=str(db))
        version = _copied(copy, fresh)
        with closing(Store(SqliteFile(fresh, must_exist=True))) as store:
            told = _set_going(store, now)
            received = inbox.count(store)
            store.file.alone()
        lost = _lost(db, received)
        if lost is not None and db.exists():
            _let_stand_alone(db)
        aside = _changed_places(fresh, db, now)
    return Restored(db, *told, aside, lost, version < len(migrations.STEPS))


@contextmanager
def _beside(db: Path) -> Iterator[Path]:
    """A place in the same folder, empty before and after."""
    fresh = db.with_name(f".{db.name}.restoring")
    places = [fresh.with_name(fresh.name + end) for end in ("", "-wal", "-shm", "-journal")]
    for path in places:
        path.unlink(missing_ok=True)
    try:
        yield fresh
    finally:
        for path in places:
            path.unlink(missing_ok=True)


def _copied(copy: Path, fresh: Path) -> int:
    """The copy's form, once it was found to be whole and stands where it can be changed."""
    with closing(SqliteFile(copy, read_only=True, older=True)) as source:
        with source.moment_kept():
            source.refuse_unsound()
            source.copy_to(fresh)
        return source.version


def _set_going(store: Store, now: datetime) -> tuple[datetime | None, int, int, int]:
    """The copy as it goes on: up to when it knows, its runs, bells overdue, messages unsent."""
    times = [at for at in (store.newest_time(), store.last_pulse("poll")) if at is not None]
    known_to = max(times, default=None)
    with store.transaction():
        if known_to is not None:
            store.pulse(PULSE, known_to)
        store.file.change("UPDATE sqlite_sequence SET seq = seq + ? WHERE name = 'outbox'", FAR)
    runs = store.file.value("SELECT count(*) FROM runs")
    unsent = store.file.value("SELECT count(*) FROM outbox WHERE state = 'unsent'")
    return known_to, runs, store.overdue(now), unsent


def _lost(db: Path, received: int) -> int | None:
    """How many messages the old file has that came in after the copy was made; `None` where it is damaged."""
    if not db.exists():
        return 0
    with (
        suppress(StoreFault, sqlite3.Error),
        closing(SqliteFile(db, read_only=True, older=True)) as file,
    ):
        file.refuse_unsound()
        return max(0, inbox.count(Store(file)) - received)
    return None


def _changed_places(fresh: Path, db: Path, now: datetime) -> Path | None:
    """The old file stands under another name too before the new one takes its own."""
    with faults_of(db, "not-written"):
        sync(fresh)
        aside = _aside(db, now) if db.exists() else None
        for end in (*LOGS, "-shm"):
            db.with_name(db.name + end).unlink(missing_ok=True)  # another file's log would spoil the new one
        fresh.replace(db)
        sync(db.absolute().parent)
    return aside


def _aside(db: Path, now: datetime) -> Path:
    aside = db.with_name(f"{db.stem}-before-restore-{now.astimezone(UTC):%Y%m%dT%H%M%SZ}{db.suffix}")
    for end in ("", *LOGS):
        old = db.with_name(db.name + end)
        if old.exists():
            _also_named(old, aside.with_name(aside.name + end))
    sync(db.absolute().parent)
    return aside


def _let_stand_alone(db: Path) -> None:
    """The log of the old file goes into it (one that is damaged is left as it is, with its log). Raises
    `StoreFault("locked")` while another program has it open."""
    with faults_of(db), closing(sqlite3.connect(db, isolation_level=None, timeout=0)) as old:
        old.execute("PRAGMA journal_mode = DELETE").fetchone()


def _also_named(old: Path, new: Path) -> None:
    """A second name, or a copy where the disk knows no second names."""
    with suppress(OSError):
        os.link(old, new)
        return
    shutil.copy2(old, new)
    sync(new)
