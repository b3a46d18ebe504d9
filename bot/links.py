"""Links that open a farm once. Of the code only its hash is kept: who reads the file cannot join by it."""

from __future__ import annotations

import hashlib
import secrets
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import cast

from bot.store import Store, stamp
from core.crew import Invited

CODE_BYTES = 16
"""128 bits: nobody guesses one."""
WRONG_A_DAY = 5
"""After so many wrong ones nobody looks at what a person opens that day."""


@dataclass(frozen=True, slots=True)
class Opened:
    """What a link opened: the farm, and what its owner meant somebody to be there."""

    farm: int
    role: Invited


def code() -> str:
    """A new code, of letters, digits, "-" and "_" as a messenger's link carries them."""
    return secrets.token_urlsafe(CODE_BYTES)


def add(store: Store, farm: int, made: str, role: Invited, until: datetime) -> None:
    """The farm can be joined by this code, once, until then."""
    row = {"farm": farm, "hash": _hash(made), "role": role, "until": stamp(until)}
    store.file.insert("links", row)


def count(store: Store) -> int:
    """How many links there ever were."""
    found = store.file.value("SELECT coalesce(max(seq), 0) FROM sqlite_sequence WHERE name = 'links'")
    return cast("int", found)


def revoke(store: Store, farm: int) -> int:
    """None of the farm's links opens any more; how many would have."""
    return store.file.change("UPDATE links SET state = 'revoked' WHERE farm = ? AND state = 'open'", farm)


def opened(store: Store, person: int, tried: str, now: datetime) -> Opened | None:
    """What this code opens for a person, who spends it. `None` for one that is wrong, spent, revoked or too
    old, whose farm is deleted or theirs already, and for whoever tried too many wrong ones."""
    since = stamp(now - timedelta(days=1))
    wrong = store.file.value("SELECT count(*) FROM wrong_links WHERE person = ? AND at > ?", person, since)
    found = wrong < WRONG_A_DAY and store.file.rows(
        "UPDATE links SET state = 'spent' WHERE hash = ?1 AND state = 'open' AND until > ?2"
        " AND farm NOT IN (SELECT id FROM farms WHERE goes_at IS NOT NULL)"
        " AND farm NOT IN (SELECT farm FROM members"
        " WHERE person = ?3 AND role IN ('owner', 'hand', 'reader'))"
        " RETURNING farm, role",
        *(_hash(tried), stamp(now), person),
    )
    if found:
        return Opened(found[0]["farm"], found[0]["role"])
    store.file.change("INSERT INTO wrong_links (person, at) VALUES (?, ?)", person, stamp(now))
    return None


def prune(store: Store, before: datetime) -> None:
    """Links and wrong ones that nobody needs to remember go."""
    store.file.change("DELETE FROM links WHERE until < ?", stamp(before))
    store.file.change("DELETE FROM wrong_links WHERE at < ?", stamp(before))


def _hash(made: str) -> str:
    return hashlib.sha256(made.encode()).hexdigest()
