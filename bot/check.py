"""`hatchbell check`: what is wrong with a database, its machine and its backups. It changes nothing."""

from __future__ import annotations

import os
import shutil
import stat
from collections.abc import Iterator, Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path

from bot import backup, config, migrations
from bot.alone import is_served
from bot.store import SqliteFile, Store, StoreFault, moment, stamp

ROOM, MOST_OF_LOG = 100_000_000, 64_000_000
"""Bytes: what must be free beside room for the file once more; a log that should have been emptied."""
PATIENCE_MS = 2000
AHEAD = timedelta(minutes=5)
SILENT = timedelta(minutes=5)
OVERDUE = timedelta(minutes=2)
UNSENT = timedelta(minutes=10)
OLD_BACKUP = timedelta(days=2)
GOING = timedelta(hours=2)
"""What is deleted goes in the hour it is due."""


@dataclass(frozen=True, slots=True)
class Finding:
    """Something that is wrong; `unusable`: nobody can go on with this file. Sizes are in MB."""

    code: str
    values: Mapping[str, object] = field(default_factory=dict)
    unusable: bool = False


def check(db: Path, environment: Mapping[str, str], now: datetime) -> tuple[Finding, ...]:
    """All that is wrong, what cannot be used first."""
    if not db.exists():
        return (Finding("missing", {"path": db}, unusable=True), *_token(environment))
    found = [*_inside(db, now), *_around(db), *_backups(db, now), *_token(environment)]
    return tuple(sorted(found, key=lambda each: not each.unusable))


def told(found: Sequence[Finding], said: Sequence[str], status: int) -> dict[str, object]:
    """The findings as one JSON object; spans are seconds, times ISO."""
    findings = [
        {"code": each.code, "unusable": each.unusable, "text": text, **_plain(each.values)}
        for each, text in zip(found, said, strict=True)
    ]
    return {"status": status, "findings": findings}


def _plain(values: Mapping[str, object]) -> dict[str, object]:
    return {name: _plain_value(value) for name, value in values.items()}


def _plain_value(value: object) -> object:
    match value:
        case timedelta():
            return round(value.total_seconds())
        case datetime():
            return value.isoformat()
        case Path():
            return str(value)
        case _:
            return value


def _inside(db: Path, now: datetime) -> Iterator[Finding]:
    try:
        with closing(SqliteFile(db, read_only=True, older=True, busy_ms=PATIENCE_MS)) as file:
            file.refuse_damaged()
            yield from _clock(Store(file), now)
            if file.version < len(migrations.STEPS):
                yield Finding("older-schema", {"path": db})
            else:
                yield from _going_on(Store(file), db, now)
    except StoreFault as fault:
        yield _unusable(fault)


def _unusable(fault: StoreFault) -> Finding:
    return Finding(fault.code, fault.params, unusable=True)


def _clock(store: Store, now: datetime) -> Iterator[Finding]:
    newest = store.newest_time()
    if newest is not None and newest - now > AHEAD:
        yield Finding("clock-behind", {"now": now, "newest": newest, "by": newest - now})


def _going_on(store: Store, db: Path, now: datetime) -> Iterator[Finding]:
    """What a running `serve` should have done by now."""
    yield from _serving(store, db, now)
    due = store.next_due()
    if due is not None and now - due > OVERDUE:
        yield Finding("bell-overdue", {"bells": store.overdue(now), "age": now - due})
    yield from _oldest(
        store, "unsent", "SELECT count(*) AS n, min(at) AS at FROM outbox WHERE state = 'unsent'", now
    )
    waiting = "SELECT count(*) AS n, min(received_at) AS at FROM inbox WHERE state = 'waiting'"
    yield from _oldest(store, "unanswered", waiting, now)
    aside = store.file.value("SELECT count(*) FROM inbox WHERE state = 'aside'")
    if aside:
        yield Finding("set-aside", {"rows": aside})
    going = store.file.value("SELECT count(*) FROM farms WHERE goes_at < ?", stamp(now - GOING))
    if going:
        yield Finding("farm-still-there", {"farms": going})


def _serving(store: Store, db: Path, now: datetime) -> Iterator[Finding]:
    polled = store.last_pulse("poll")
    if not is_served(db):
        yield Finding("not-served", {"path": db})
    elif polled is None:
        yield Finding("never-polled")
    elif now - polled > SILENT:
        yield Finding("silent", {"age": now - polled})


def _oldest(store: Store, code: str, sql: str, now: datetime) -> Iterator[Finding]:
    row = store.file.row(sql)
    if row is not None and row["n"] and now - moment(row["at"]) > UNSENT:
        yield Finding(code, {"rows": row["n"], "age": now - moment(row["at"])})


# Around the file ------------------------------------------------------------------------------------------


def _around(db: Path) -> Iterator[Finding]:
    room = shutil.disk_usage(db.absolute().parent).free
    if room < ROOM + db.stat().st_size:
        yield Finding("disk-low", {"free": room / 1e6, "folder": db.absolute().parent})
    log = db.with_name(db.name + "-wal")
    if log.exists() and log.stat().st_size > MOST_OF_LOG:
        yield Finding("log-large", {"size": log.stat().st_size / 1e6})
    for path in (db, log):
        if path.exists() and path.stat().st_mode & (stat.S_IRWXG | stat.S_IRWXO):
            yield Finding("open-to-others", {"path": path})


def _backups(db: Path, now: datetime) -> Iterator[Finding]:
    noted = backup.noted(db)
    if noted is None:
        yield Finding("no-backup", {"path": db})
    elif not noted.path.exists():
        yield Finding("backup-gone", {"path": noted.path})
    elif now - noted.at > OLD_BACKUP:
        yield Finding("backup-old", {"path": noted.path, "age": now - noted.at})


def _token(environment: Mapping[str, str]) -> Iterator[Finding]:
    told = environment.get("HATCHBELL_TOKEN_FILE")
    if not told:
        return
    path = Path(told)
    if not os.access(path, os.R_OK):
        yield Finding("token-unreadable", {"path": path})
    elif path.stat().st_mode & config.OTHERS_READ:
        yield Finding("token-open", {"path": path})
