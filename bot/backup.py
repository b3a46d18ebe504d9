"""`hatchbell backup`: a copy made while `serve` writes, looked through before it counts; old ones go.

Nothing is written into the database itself, which has one writer. When the newest copy was made stands in a
file beside it, for `hatchbell check`.
"""

from __future__ import annotations

import json
import os
import re
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from bot.store import SqliteFile, Store, StoreFault, as_json, faults_of

NAME = "hatchbell-%Y%m%dT%H%M%SZ.db"
_OURS = re.compile(r"hatchbell-\d{8}T\d{6}Z\.db")
_HALF = re.compile(r"hatchbell-\d{8}T\d{6}Z\.db\.\d+\.half(?:-journal)?")
HALF_FOR = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Kept:
    """A copy that was looked through: its size in bytes, what is in it, how many older ones went."""

    path: Path
    size: int
    runs: int
    newest: datetime | None
    thrown_away: int


@dataclass(frozen=True, slots=True)
class Noted:
    """What stands beside the database of its newest copy."""

    at: datetime
    path: Path


def folder_of(db: Path) -> Path:
    """Where copies go if nobody says otherwise."""
    return db.absolute().parent / "backups"


def backup(db: Path, to: Path, keep: int, now: datetime, step: Callable[[], None] | None = None) -> Kept:
    """Copy `db` into the folder `to`, where the newest `keep` copies stay. Raises `StoreFault`, and then no
    half copy is left. `step` is called while the copy is made."""
    target = to / now.astimezone(UTC).strftime(NAME)
    half = target.with_name(f"{target.name}.{os.getpid()}.half")
    with closing(SqliteFile(db, read_only=True, older=True)) as source:
        with faults_of(to, "not-written"):
            to.mkdir(mode=0o700, parents=True, exist_ok=True)
        try:
            with source.moment_kept():
                wanted = source.rows_of_tables()
                source.copy_to(half, step)
            runs, newest = _looked_through(half, wanted, db)
            with faults_of(target, "not-written"):
                sync(half)
                half.replace(target)
                sync(to)
        finally:
            _clear(half)
    gone = _rotated(to, target, keep, now)
    _note(db, Noted(now, target.absolute()))
    return Kept(target, target.stat().st_size, runs, newest, gone)


def _looked_through(copy: Path, wanted: dict[str, int], db: Path) -> tuple[int, datetime | None]:
    """The runs and the newest message of a copy that is whole, row for row."""
    try:
        with closing(SqliteFile(copy, read_only=True, older=True)) as file:
            file.refuse_unsound()
            if file.rows_of_tables() != wanted:
                raise StoreFault("torn", path=str(copy), detail="rows are missing")
            return wanted["runs"], Store(file).newest_time()
    except StoreFault as fault:
        raise StoreFault("copy-torn", path=str(db), detail=fault.params.get("detail", "")) from fault


def sync(path: Path) -> None:
    """What was written into this file or folder is on the disk."""
    opened = os.open(path, os.O_RDONLY)
    try:
        os.fsync(opened)
    finally:
        os.close(opened)


def _clear(half: Path) -> None:
    for path in (half, half.with_name(half.name + "-journal")):
        path.unlink(missing_ok=True)


def _rotated(to: Path, made: Path, keep: int, now: datetime) -> int:
    """The oldest go, never the one just made, whatever the clock says; so do halves of copies that were cut
    off long ago. How many whole ones went."""
    with faults_of(to, "not-written"):
        others = sorted(
            (p for p in to.iterdir() if _OURS.fullmatch(p.name) and p.name != made.name), reverse=True
        )
        for path in others[max(keep, 1) - 1 :]:
            path.unlink(missing_ok=True)
        for path in to.iterdir():
            if (
                _HALF.fullmatch(path.name)
                and now.timestamp() - path.stat().st_mtime > HALF_FOR.total_seconds()
            ):
                path.unlink(missing_ok=True)
    return len(others[max(keep, 1) - 1 :])


# What is noted beside the database ------------------------------------------------------------------------


def _beside(db: Path) -> Path:
    return db.with_name(db.name + ".backup")


def _note(db: Path, noted: Noted) -> None:
    path = _beside(db)
    new = path.with_name(path.name + ".new")
    with faults_of(path, "not-written"):
        try:
            new.write_text(as_json({"at": noted.at.isoformat(), "path": str(noted.path)}), encoding="utf-8")
            new.chmod(0o600)
            new.replace(path)
        finally:
            new.unlink(missing_ok=True)


def noted(db: Path) -> Noted | None:
    """The newest copy of this database, as far as anybody noted it."""
    try:
        told = json.loads(_beside(db).read_text(encoding="utf-8"))
        return Noted(datetime.fromisoformat(told["at"]), Path(told["path"]))
    except (OSError, ValueError, KeyError, TypeError):
        return None
