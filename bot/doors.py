"""Who may come in, and how often: a bot on a public network is open to all, and to nobody for too much."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from bot import inbox
from bot.messages import Incoming
from bot.store import Store

MINUTE, DAY = timedelta(minutes=1), timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Doors:
    """The limits of an open bot. `allow` holds the people of a private one, `None`: everybody.

    A person says at most `a_minute`, and `a_day` while no farm of theirs has begun a run; founds at most
    `farms`, and has at most `runs` open at once on the farms they founded.
    """

    allow: frozenset[str] | None = None
    a_minute: int = 20
    a_day: int = 200
    farms: int = 5
    runs: int = 30


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why somebody is not let in now; `said`: whether they are told, which happens once a spell."""

    why: str
    said: bool


def refusal(doors: Doors, store: Store, incoming: Incoming, now: datetime) -> Refusal | None:
    """Whether this message is turned away. Its inbox row is there already, and counts."""
    if doors.allow is not None and incoming.user not in doors.allow:
        return Refusal("private", said=inbox.spoken(store, incoming.user, now - DAY, incoming.key) <= 1)
    lately = inbox.spoken(store, incoming.user, now - MINUTE, incoming.key)
    if lately > doors.a_minute:
        return Refusal("too-fast", said=lately == doors.a_minute + 1)
    today = inbox.spoken(store, incoming.user, now - DAY, incoming.key)
    person = store.person(incoming.user)
    founded = store.owned_by(person.id) if person else ()
    if today > doors.a_day and not any(store.results(farm) for farm in founded):
        return Refusal("too-many-today", said=today == doors.a_day + 1)
    if store.chat(incoming.chat) is None and len(founded) >= doors.farms:
        return Refusal("too-many-farms", said=True)
    return None


def is_full(doors: Doors, store: Store, farm: int) -> bool:
    """Whether whoever founded this farm has as many runs open as one may."""
    open_runs = sum(len(store.active_runs(each)) for each in store.owned_by(store.owner(farm).id))
    return open_runs >= doors.runs
