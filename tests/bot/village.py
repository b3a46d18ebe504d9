"""Several farms and people on one store, played step by step through the real inbox, worker and outbox.

A step is one message, press, link or span of time. The state before and after it says who was what; what no
step may break stands in `tests/bot/invariants.py`.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from itertools import count
from pathlib import Path
from typing import Any

from bot import inbox, outbox, ringing, service
from bot.clock import HandClock
from bot.house import House
from bot.messages import Incoming, Outgoing
from bot.serve import INBOX_KEPT
from bot.store import Store
from bot.worker import work
from core.records import Event, Farm
from core.runs import standing

MEMBERS = ("owner", "hand", "reader")
START = datetime(2026, 6, 1, 12, 0, tzinfo=UTC)
MINUTE, DAY = timedelta(minutes=1), timedelta(days=1)
OFFSET = 360
CODE = re.compile(r"[A-Za-z0-9_-]{16,}$")
STEPS_KEPT = 30
KEPT = ("events", "members", "runs", "reminders", "farms", "links", "photos")
"""The tables that a refused act leaves as they are."""


@dataclass(frozen=True)
class State:
    """What stands between two steps: roles as {(farm, person): role}, chats as {key: (farm, private)}, the
    last event of each farm and the last message of all."""

    members: Mapping[tuple[int, int], str]
    farms: Mapping[int, Farm]
    chats: Mapping[str, tuple[int, bool]]
    events: Mapping[int, int]
    last_row: int

    def role(self, farm: int, person: int) -> str | None:
        return self.members.get((farm, person))

    def owner(self, farm: int) -> int:
        return next(person for (of, person), role in self.members.items() if (of, role) == (farm, "owner"))

    def farms_of(self, person: int) -> set[int]:
        """The farms that somebody belongs to."""
        return {farm for (farm, of), role in self.members.items() if of == person and role in MEMBERS}

    def rooms(self, farm: int) -> set[str]:
        return {key for key, (of, private) in self.chats.items() if of == farm and not private}

    def is_deleted(self, farm: int) -> bool:
        return farm in self.farms and self.farms[farm].goes_at is not None


@dataclass(frozen=True)
class Step:
    """What one step did. `actor`: who spoke or pressed, 0 where time passed."""

    actor: int
    incoming: Incoming | None
    before: State
    after: State
    rows: Sequence[Outgoing]
    events: Sequence[Event]

    def role_then(self, farm: int, person: int) -> str | None:
        """What somebody was on the farm when the step began; on one that it founded, when it ended."""
        return (self.before if farm in self.before.farms else self.after).role(farm, person)

    def kinds(self, chat: str | None = None) -> list[str]:
        """The kinds of what was said, in one chat or in all."""
        return [row.kind for row in self.rows if chat in (None, row.chat)]

    def __str__(self) -> str:
        said = self.incoming and (self.incoming.user, self.incoming.chat, self.incoming.what)
        told = self.incoming and (self.incoming.text or self.incoming.action or self.incoming.message)
        return f"{said or 'time'} {told or ''} -> {[(row.chat, row.kind, row.text) for row in self.rows]}"


@dataclass
class Link:
    """A link that was shown. `spent`: it was opened, or revoked."""

    code: str
    farm: int
    until: datetime
    spent: bool = False


@dataclass
class Village:
    """The house, and what people said and were shown. `markers`: what only messages of that farm may hold;
    `online`: what is said goes out at once."""

    path: Path
    markers: dict[int, tuple[str, ...]] = field(default_factory=dict)
    online: bool = True
    shown: list[Outgoing] = field(default_factory=list)
    said: list[tuple[str, str]] = field(default_factory=list)
    """Who said it, and its key."""
    links: list[Link] = field(default_factory=list)
    steps: list[Step] = field(default_factory=list)
    goodbyes: set[int] = field(default_factory=set)
    """Messages to somebody who had just belonged to the farm."""
    revoked: dict[int, int] = field(default_factory=dict)
    """The message that said a farm's links open no more."""

    def __post_init__(self) -> None:
        self.store = Store.open(self.path)
        self.store.file.change("PRAGMA synchronous = OFF")  # nobody pulls the plug here
        self.clock = HandClock(max(START, self.store.newest_time() or START))
        self.house = House(self.store, self.clock)
        self.number = count(inbox.count(self.store) + 1)
        self.state = self.look()

    def close(self) -> None:
        self.store.close()

    # What happens.

    def says(self, user: str, text: str, chat: str = "", **more: Any) -> Step:
        step = self._comes(user, chat, what="text", text=text, **more)
        assert step.incoming is not None
        self.said.append((user, step.incoming.key))
        return step

    def presses(self, user: str, action: str, chat: str = "") -> Step:
        """Press the newest button of that action which this chat was shown."""
        shown = [row for row in self.shown if row.chat == (chat or user)]
        row = [row for row in shown if any(button.action == action for button in row.buttons)][-1]
        return self.taps(user, row.id, action, chat)

    def taps(self, user: str, message: int, action: str, chat: str = "", button: int = -1) -> Step:
        return self._comes(user, chat, what="tap", message=message, action=action, button=button)

    def edits(self, user: str, key: str, text: str, chat: str = "") -> Step:
        return self._comes(user, chat, what="edit", edits=key, text=text)

    def opens(self, user: str, code: str) -> Step:
        return self._comes(user, user, what="open", text=code)

    def blocks(self, user: str) -> Step:
        """Nothing reaches their chat any more."""
        return self._comes(user, user, what="left")

    def invites(self, owner: str, chat: str = "") -> Link:
        """The link that "invite" brings."""
        before = len(self.links)
        step = self.says(owner, "invite", chat)
        assert len(self.links) > before, f"no link: {step}"
        return self.links[-1]

    def passes(self, span: timedelta) -> Step:
        """So much later; each bell at its own time, and the house kept as `serve` does once a day."""
        return self._step(0, None, lambda: self._pass_time(self.clock.now() + span))

    def goes_online(self) -> None:
        """What was held back goes out."""
        self.online = True
        self._began = self.state
        self._deliver()

    def _pass_time(self, until: datetime) -> None:
        while (due := ringing.next_due(self.house)) is not None and due <= until:
            self.clock.move_to(max(due, self.clock.now()))
            ringing.ring_due(self.house, 1)
            self._deliver()
        self.clock.move_to(until)
        with self.store.transaction():
            service.tidy(self.house)
            inbox.prune(self.store, until - INBOX_KEPT)

    def _comes(self, user: str, chat: str = "", **act: Any) -> Step:
        place = chat or user
        told: dict[str, Any] = {
            "key": f"v{next(self.number)}",
            "chat": place,
            "private": place == user,
            "user": user,
            "lang": "en",
            "at": self.clock.now(),
            "offset_minutes": OFFSET,
            "name": user.capitalize(),
        }
        incoming = Incoming(**{**told, **act})

        def come() -> None:
            with self.store.transaction():
                inbox.receive(self.store, incoming)
            work(self.house)
            self._deliver()

        known = self.store.person(user)
        return self._step(known.id if known else -1, incoming, come)

    def _step(self, actor: int, incoming: Incoming | None, act: Callable[[], None]) -> Step:
        before = self._began = self.state
        act()
        after = self.state = self.look()
        if actor < 0 and incoming is not None:  # somebody new
            person = self.store.person(incoming.user)
            actor = person.id if person else -1
        ids = self.store.file.rows("SELECT id FROM outbox WHERE id > ? ORDER BY id", before.last_row)
        rows = [row for each in ids if (row := row_of(self.store, each["id"])) is not None]
        events = [
            event
            for farm, last in after.events.items()
            for event in reversed(self.store.latest_events(farm, last - before.events.get(farm, 0)))
        ]
        step = Step(actor, incoming, before, after, rows, events)
        self.steps = [*self.steps[-STEPS_KEPT:], step]
        for row in rows:
            if row.facts.get("what") == "links-revoked":
                self._revoke(row)
        return step

    # What is shown.

    def _deliver(self) -> None:
        if self.online:
            outbox.deliver(self.store, self.clock, self._show)

    def _show(self, message: Outgoing) -> None:
        """What reaches a private chat is of a farm its person belongs to, or that says goodbye."""
        self.shown.append(message)
        if message.kind == "join-link":
            self._note_link(message)
        person = self.store.person(message.chat)
        if not message.farm or person is None:
            return
        now, then = self.store.role(message.farm, person.id), self._began.role(message.farm, person.id)
        goodbye = message.id in self.goodbyes or (message.id > self._began.last_row and then in MEMBERS)
        assert now in MEMBERS or goodbye, f"sent to somebody who is no member: {message}"

    def _note_link(self, message: Outgoing) -> None:
        code = CODE.search(str(message.facts["link"]))
        assert code, message.facts
        until = datetime.fromisoformat(message.facts["until"])
        revoked = message.id < self.revoked.get(message.farm, 0)
        self.links.append(Link(code[0], message.farm, until, spent=revoked))

    def _revoke(self, said: Outgoing) -> None:
        self.revoked[said.farm] = said.id
        for link in self.links:
            link.spent |= link.farm == said.farm

    # What stands.

    def look(self) -> State:
        file = self.store.file
        members, chats = file.rows("SELECT * FROM members"), file.rows("SELECT key, farm, private FROM chats")
        events = file.rows("SELECT farm, max(id) AS last FROM events GROUP BY farm")
        return State(
            members={(row["farm"], row["person"]): row["role"] for row in members},
            farms={row["id"]: self.store.farm(row["id"]) for row in file.rows("SELECT id FROM farms")},
            chats={row["key"]: (row["farm"], bool(row["private"])) for row in chats},
            events={row["farm"]: row["last"] for row in events},
            last_row=file.value("SELECT coalesce(max(id), 0) FROM outbox"),
        )

    def person(self, user: str) -> int:
        found = self.store.person(user)
        assert found is not None, user
        return found.id

    def key_of(self, person: int) -> str:
        """The messenger's name of a person, which is that of their chat."""
        return str(self.store.file.value("SELECT key FROM people WHERE id = ?", person))

    def stands(self) -> list[tuple[Any, ...]]:
        """Everything that a refused act must leave as it is."""
        return [
            (name, *row)
            for name in KEPT
            for row in self.store.file.rows(f"SELECT * FROM {name} ORDER BY 1, 2")
        ]

    def told_by(self, key: str) -> dict[int, set[int]]:
        """The ids of what that message told and what stands of it, by farm."""
        stand: dict[int, set[int]] = {}
        for farm in self.state.farms:
            told = self.store.events_from(farm, key)
            runs = {event.run for event in told}
            stands = {event.id for run in runs for event in standing(self.store.events(farm, run))}
            stand[farm] = stands & {event.id for event in told}
        return stand

    def everything(self) -> list[tuple[str, dict[str, Any]]]:
        """Every row of every table."""
        file = self.store.file
        tables = [row["name"] for row in file.rows("SELECT name FROM sqlite_master WHERE type = 'table'")]
        return [(table, dict(row)) for table in tables for row in file.rows(f"SELECT * FROM {table}")]

    def bytes(self) -> bytes:
        """Every byte of the store, its log written back."""
        self.store.file.change("PRAGMA wal_checkpoint(TRUNCATE)")
        return b"".join(path.read_bytes() for path in self.path.parent.glob(f"{self.path.name}*"))

    def is_rightful(self, user: str, message: int, chat: str) -> bool:
        """Whether a press on that message may change anything: it hangs in this chat, unspent, and is of a
        farm that whoever presses it belongs to."""
        row, person = row_of(self.store, message), self.store.person(user)
        if row is None or person is None:
            return False
        return row.chat == chat and row.spent_at is None and self.state.role(row.farm, person.id) in MEMBERS


def row_of(store: Store, message: int) -> Outgoing | None:
    """The message of that id, whosever it is."""
    if not 0 < message < 2**60:
        return None
    found = store.file.row("SELECT farm FROM outbox WHERE id = ?", message)
    return outbox.row(store, found["farm"] or 0, message) if found else None


def command_of(store: Store, incoming: Incoming) -> Mapping[str, Any]:
    """The command under the button that was pressed, as data; empty where there is none."""
    row = row_of(store, incoming.message) if incoming.what == "tap" else None
    buttons = row.buttons if row else ()
    return next((each.command for each in buttons if each.action == incoming.action), {})
