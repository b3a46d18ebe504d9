"""One process serves a database: a lock beside it, gone with its holder however that ends."""

from __future__ import annotations

import fcntl
import os
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from bot.store import StoreFault, faults_of

TURNS = 200
"""So often is it tried: somebody who only looks (`is_served`) has it for an instant."""


@contextmanager
def alone(db: Path) -> Iterator[None]:
    """Nobody else serves this database meanwhile. Raises `StoreFault("locked")`."""
    path = _beside(db)
    with faults_of(path):
        held = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
    try:
        if not _taken(held):
            raise StoreFault("locked", path=str(db), detail="another hatchbell serves it")
        yield
    finally:
        os.close(held)


def _taken(held: int) -> bool:
    for _ in range(TURNS):
        with suppress(BlockingIOError):
            fcntl.flock(held, fcntl.LOCK_EX | fcntl.LOCK_NB)
            return True
        os.sched_yield()
    return False


def is_served(db: Path) -> bool:
    """Whether a living process serves this database."""
    try:
        held = os.open(_beside(db), os.O_RDONLY)
    except OSError:
        return False
    try:
        fcntl.flock(held, fcntl.LOCK_SH | fcntl.LOCK_NB)
    except BlockingIOError:
        return True
    finally:
        os.close(held)
    return False


def _beside(db: Path) -> Path:
    return db.with_name(db.name + ".lock")
