"""Several farms and people on one store, played step by step, and what no step may ever break.

The tests of the crew talk to the real service through inbox and worker; what is checked is read off the
tables and the messages alone. A step is one message, press, link or span of time; the state before and after
it says who was what, so that each change must have somebody who might bring it about.
"""

from __future__ import annotations

import json
import re
from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
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
TELLERS = ("owner", "hand")
START = datetime(2026, 6, 1, 12, 0, tzinfo=UTC)
MINUTE, DAY = timedelta(minutes=1), timedelta(days=1)
OFFSET = 360
ATTEMPTS = 6
QUIET_KINDS = {"noted", "refused", "answered", "cancelled", "ask"}
"""What a deleted farm may still say: that it is deleted, and how to take that back."""
OF_NO_FARM = ("link-unknown", "not-member")
"""Refusals that no farm says: they tell the same whichever was meant."""
LINK = re.compile(r"[A-Za-z0-9_-]{16,}$")


@dataclass(frozen=True)
class State:
    """What stands between two steps. Members as {(farm, person): role}."""

    members: Mapping[tuple[int, int], str]
    farms: Mapping[int, Farm]
    chats: Mapping[str, tuple[int, bool]]
    events: Mapping[int, int]
    last_row: int

    def role(self, farm: int, person: int) -> str | None:
        return self.members.get((farm, person))

    def owner(self, farm: int) -> int:
        return next(person for (of, person), role in self.members.items() if (of, role) == (farm, "owner"))

    def several(self, person: int) -> bool:
        """Whether this person belongs to more than one farm."""
        return sum(of == person and role in MEMBERS for (_, of), role in self.members.items()) > 1

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
    """A link that was shown: its code, and what is known to have become of it."""

    code: str
    farm: int
    until: datetime
    spent: bool = False
    unsure: bool = False
    """It may have been revoked, or its farm deleted, since."""


@dataclass
class Village:
    """The house, the people's names and what they were shown. `online`: what is said goes out at once."""

    path: Path
    markers: dict[int, tuple[str, ...]] = field(default_factory=dict)
    online: bool = True
    shown: list[Outgoing] = field(default_factory=list)
    said: list[tuple[str, str, str]] = field(default_factory=list)
    links: list[Link] = field(default_factory=list)
    steps: list[Step] = field(default_factory=list)
    farewells: set[int] = field(default_factory=set)

    def __post_init__(self) -> None:
        self.store = Store.open(self.path)
        self.store.file.change("PRAGMA synchronous = OFF")  # nobody pulls the plug here
        self.clock = HandClock(max(START, self.store.newest_time() or START))
        self.house = House(self.store, self.clock)
        self.number = count(inbox.count(self.store) + 1)
        self.state = self.look()
        self.checked_bells: dict[int, int] = {}

    def close(self) -> None:
        self.store.close()

    # What happens.

    def says(self, user: str, text: str, chat: str = "", **more: Any) -> Step:
        step = self._comes(user, chat, what="text", text=text, **more)
        assert step.incoming is not None
        self.said.append((user, step.incoming.chat, step.incoming.key))
        return step

    def presses(self, user: str, action: str, chat: str = "") -> Step:
        """Press the newest button of that action which this chat was shown."""
        place = chat or user
        row = next(
            row
            for row in reversed(self.shown)
            if row.chat == place and any(each.action == action for each in row.buttons)
        )
        return self.taps(user, row.id, action, chat)

    def taps(self, user: str, message: int, action: str, chat: str = "", button: int = -1) -> Step:
        return self._comes(user, chat, what="tap", message=message, action=action, button=button)

    def edits(self, user: str, key: str, text: str, chat: str = "") -> Step:
        return self._comes(user, chat, what="edit", edits=key, text=text)

    def opens(self, user: str, code: str) -> Step:
        return self._comes(user, user, what="open", text=code)

    def leaves(self, user: str) -> Step:
        """Somebody blocked us: nothing reaches their chat."""
        return self._comes(user, user, what="left")

    def invites(self, owner: str, chat: str = "") -> Link:
        """The link that "invite" brings."""
        before = len(self.links)
        step = self.says(owner, "invite", chat)
        assert len(self.links) > before, f"no link: {step}"
        return self.links[-1]

    def passes(self, span: timedelta) -> Step:
        """So much later; each bell at its own time."""
        return self._step(0, None, lambda: self._pass_time(self.clock.now() + span))

    def goes_online(self) -> None:
        """What was held back goes out."""
        self.online = True
        self._deliver()

    def _pass_time(self, until: datetime) -> None:
        while (due := ringing.next_due(self.house)) is not None and due <= until:
            self.clock.move_to(max(due, self.clock.now()))
            ringing.ring_due(self.house, 1)
            self._deliver()
        self.clock.move_to(until)
        keep_house(self.house)

    def _comes(self, user: str, chat: str = "", **act: Any) -> Step:
        place = chat or user
        incoming = Incoming(
            **{
                "key": f"v{next(self.number)}",
                "chat": place,
                "private": place == user,
                "user": user,
                "lang": "en",
                "at": self.clock.now(),
                "offset_minutes": OFFSET,
                "name": user.capitalize(),
                **act,
            }
        )

        def come() -> None:
            with self.store.transaction():
                inbox.receive(self.store, incoming)
            work(self.house)
            self._deliver()

        known = self.store.person(user)
        step = self._step(known.id if known else -1, incoming, come)
        return step

    def _step(self, actor: int, incoming: Incoming | None, act: Callable[[], None]) -> Step:
        before, told = self.state, len(self.shown)
        events_before = dict(before.events)
        self.pending_farewells(before)
        self.step_began = before
        act()
        after = self.look()
        if actor < 0 and incoming is not None:
            person = self.store.person(incoming.user)
            actor = person.id if person else -1
        rows = rows_after(self.store, before.last_row)
        del told
        events = [
            event
            for farm, last in after.events.items()
            for event in reversed(self.store.latest_events(farm, last - events_before.get(farm, 0)))
            if last > events_before.get(farm, 0)
        ]
        step = Step(actor, incoming, before, after, rows, events)
        self.state = after
        self.steps = [*self.steps[-30:], step]
        self._note_links(step)
        return step

    def pending_farewells(self, before: State) -> None:
        self.before_delivery = before

    def _deliver(self) -> None:
        if self.online:
            outbox.deliver(self.store, self.clock, self._show)

    def _show(self, message: Outgoing) -> None:
        """What reaches a private chat is of a farm its person belongs to, or that said goodbye just now."""
        self.shown.append(message)
        if message.kind == "join-link":
            self._note_link(message)
        if not message.farm:
            return
        person = self.store.person(message.chat)
        if person is None:
            return
        now, then = (
            self.store.role(message.farm, person.id),
            self.before_delivery.role(message.farm, person.id),
        )
        fresh = message.id > self.before_delivery.last_row
        assert now in MEMBERS or (fresh and then in MEMBERS) or message.id in self.farewells, (
            f"sent to somebody who is no member: {message.chat} {message.text!r}"
        )

    def _note_link(self, message: Outgoing) -> None:
        code = LINK.search(str(message.facts["link"]))
        assert code, message.facts
        until = datetime.fromisoformat(message.facts["until"])
        self.links.append(Link(code[0], message.farm, until))

    def _note_links(self, step: Step) -> None:
        """A link may be revoked by a press or by words, and falls with its farm."""
        if step.incoming is None:
            return
        pressed = self.command_of(step.incoming) or {}
        words = step.incoming.text.lower()
        if pressed.get("kind") in ("revoke_links", "surely-delete") or "revoke" in words or "link" in words:
            farm = self.farm_of(step.incoming)
            for link in self.links:
                link.unsure |= link.farm == farm or farm is None

    def command_of(self, incoming: Incoming) -> Mapping[str, Any] | None:
        """The command under the button that was pressed."""
        if incoming.what != "tap":
            return None
        row = row_of(self.store, incoming.message)
        return (
            next((each.command for each in row.buttons if each.action == incoming.action), None)
            if row
            else None
        )

    def farm_of(self, incoming: Incoming) -> int | None:
        row = row_of(self.store, incoming.message) if incoming.what == "tap" else None
        if row is not None:
            return row.farm
        return self.state.chats[incoming.chat][0] if incoming.chat in self.state.chats else None

    # What stands.

    def look(self) -> State:
        file = self.store.file
        members = {(r["farm"], r["person"]): r["role"] for r in file.rows("SELECT * FROM members")}
        farms = {r["id"]: self.store.farm(r["id"]) for r in file.rows("SELECT id FROM farms")}
        chats = {
            r["key"]: (r["farm"], bool(r["private"]))
            for r in file.rows("SELECT key, farm, private FROM chats")
        }
        events = {
            r["farm"]: r["last"] for r in file.rows("SELECT farm, max(id) last FROM events GROUP BY farm")
        }
        last = file.value("SELECT coalesce(max(id), 0) FROM outbox")
        return State(members, farms, chats, events, last)

    def person(self, user: str) -> int:
        found = self.store.person(user)
        assert found is not None, user
        return found.id

    def key_of(self, person: int) -> str:
        """The messenger's name of a person, which is that of their chat."""
        return str(self.store.file.value("SELECT key FROM people WHERE id = ?", person))

    def stands(self) -> list[tuple[Any, ...]]:
        """Everything that a refused act must leave as it is."""
        tables = ("events", "members", "runs", "reminders", "farms", "links", "photos")
        present = {
            row[0] for row in self.store.file.rows("SELECT name FROM sqlite_master WHERE type = 'table'")
        }
        return [
            (name, *row)
            for name in tables
            if name in present
            for row in self.store.file.rows(f"SELECT * FROM {name} ORDER BY 1, 2")
        ]


def rows_after(store: Store, last: int) -> list[Outgoing]:
    """The messages written since the one of that id, in order."""
    ids = store.file.rows("SELECT id FROM outbox WHERE id > ? ORDER BY id", last)
    return [row for each in ids if (row := row_of(store, each["id"])) is not None]


def row_of(store: Store, message: int) -> Outgoing | None:
    """The message of that id, whosever it is."""
    if not 0 < message < 2**60:
        return None
    farm = store.file.row("SELECT farm FROM outbox WHERE id = ?", message)
    return outbox.row(store, farm["farm"] or 0, message) if farm else None


def keep_house(house: House) -> None:
    """What `serve` does once a day."""
    with house.store.transaction():
        service.tidy(house)
        inbox.prune(house.store, house.clock.now() - INBOX_KEPT)


# What no step may break ------------------------------------------------------------------------------------


def check(village: Village, step: Step) -> None:
    """All invariants after one step."""
    for name in (messages_stay_at_home, acts_have_an_actor, roles_have_a_giver, one_owner, farms_are_quiet):
        faults = list(name(village, step))
        assert not faults, f"{name.__name__}: {faults[0]}\n{step}"
    broken = village.store.file.rows("SELECT body FROM inbox WHERE state = 'aside' OR tries > 0")
    assert not broken, f"failed inside: {[row['body'] for row in broken]}"
    faults = list(bells_reach_everybody(village, step))
    assert not faults, f"bells_reach_everybody: {faults[0]}"


def messages_stay_at_home(village: Village, step: Step) -> Iterator[object]:
    """A farm speaks to its members and in its rooms, names itself to whoever has several, and tells nothing
    of another farm."""
    people = {row["key"]: row["id"] for row in village.store.file.rows("SELECT key, id FROM people")}
    for row in step.rows:
        yield from _foreign_markers(village, row)
        if not row.farm:
            continue
        person = people.get(row.chat)
        if person is None:
            homes = {
                state.chats[row.chat][0] for state in (step.before, step.after) if row.chat in state.chats
            }
            if row.farm not in homes:
                yield "a room that is not the farm's", row
            continue
        roles = step.before.role(row.farm, person), step.after.role(row.farm, person)
        if roles[1] not in MEMBERS:
            if roles[0] not in MEMBERS:
                yield "no member of the farm", row
            village.farewells.add(row.id)
            if _has_marker(village, row, row.farm):
                yield "a goodbye that tells of the farm", row
        elif (
            not row.text.startswith(step.after.farms[row.farm].name)
            and row.facts.get("why") not in OF_NO_FARM
        ):
            if step.before.several(person) and step.after.several(person) and not _any_deleted(step, person):
                yield "does not name its farm", row
        if "farm" not in row.facts:
            yield "no farm in the facts", row


def _any_deleted(step: Step, person: int) -> bool:
    return any(of == person and step.after.is_deleted(farm) for farm, of in step.after.members)


def _foreign_markers(village: Village, row: Outgoing) -> Iterator[object]:
    for farm in village.markers:
        if farm != row.farm and _has_marker(village, row, farm):
            yield f"tells of farm {farm}", row


def _has_marker(village: Village, row: Outgoing, farm: int) -> bool:
    buttons = [(button.label, button.command) for button in row.buttons]
    told = json.dumps([row.text, row.facts, buttons, row.reminder], default=str)
    return any(marker in told for marker in village.markers.get(farm, ()))


def acts_have_an_actor(village: Village, step: Step) -> Iterator[object]:
    """What is recorded is recorded by an owner or hand of then; a reader, a stranger and time record nothing."""
    for event in step.events:
        role = step.role_then(event.farm, event.by) if event.by else None
        if event.by and role not in TELLERS:
            yield f"told by {role}", event
        if step.actor and event.by not in (step.actor, 0, None):
            yield "told by somebody who was silent", event
    for farm, now in step.after.farms.items():
        was = step.before.farms.get(farm)
        if was is not None and was != now and step.actor:
            role = step.before.role(farm, step.actor)
            if role not in TELLERS:
                yield f"the farm was changed by {role}", (was, now)
            if was.goes_at != now.goes_at and role != "owner":
                yield f"deleted or restored by {role}", now
    for row in step.rows:
        if row.kind in ("join-link", "export") and step.role_then(row.farm, step.actor) != "owner":
            yield f"{row.kind} for somebody who is not the owner", row


def roles_have_a_giver(village: Village, step: Step) -> Iterator[object]:
    """Nobody becomes more than they were by themselves, and only the owner changes others."""
    farms = step.after.farms
    pressed = village.command_of(step.incoming) if step.incoming else None
    took = bool(pressed and pressed["kind"] == "take-farm")
    for key in {*step.before.members, *step.after.members}:
        was, now, (farm, person) = step.before.members.get(key), step.after.members.get(key), key
        if was == now or farm not in farms:
            continue
        founding = farm not in step.before.farms and now == "owner"
        offered = (
            took
            and now in TELLERS
            and "owner" in (was, now)
            and step.before.role(farm, step.actor) in MEMBERS
        )
        opened = (
            step.incoming is not None and step.incoming.what == "open" and now in ("reader", "asked", "hand")
        )
        self_made = person == step.actor and (
            (was, now) == (None, "asked") or (now not in MEMBERS and was != "owner")
        )
        given = step.before.role(farm, step.actor) == "owner" and "owner" not in (was, now)
        if not (founding or offered or (opened and person == step.actor) or self_made or given):
            yield f"farm {farm}, person {person}: {was} became {now} by {step.actor}", step.incoming


def one_owner(village: Village, step: Step) -> Iterator[object]:
    for farm in step.after.farms:
        owners = [key for key, role in step.after.members.items() if key[0] == farm and role == "owner"]
        if len(owners) != 1:
            yield f"farm {farm} has {len(owners)} owners", owners


def farms_are_quiet(village: Village, step: Step) -> Iterator[object]:
    """A deleted farm rings no bell and tells nothing of its fish; nothing is left of one that went."""
    for row in step.rows:
        if row.farm and step.before.is_deleted(row.farm) and step.after.is_deleted(row.farm):
            if row.reminder or row.kind not in QUIET_KINDS or _has_marker(village, row, row.farm):
                yield "a deleted farm speaks", row
    for event in step.events:
        if step.before.is_deleted(event.farm) and step.after.is_deleted(event.farm):
            yield "a deleted farm records", event
    for farm in set(step.before.farms) - set(step.after.farms):
        goes_at = step.before.farms[farm].goes_at
        if goes_at is None or village.clock.now() < goes_at:
            yield "gone before its time", farm
        yield from left_of(village, farm)
    if step.actor == 0:
        for farm, kept in step.after.farms.items():
            if kept.goes_at is not None and village.clock.now() >= kept.goes_at + 2 * DAY:
                yield "not gone in time", farm


def left_of(village: Village, farm: int) -> Iterator[object]:
    """Whatever a table still holds of a farm that is gone: by its number, and by its markers."""
    file = village.store.file
    for table in file.rows("SELECT name FROM sqlite_master WHERE type = 'table'"):
        for row in file.rows(f"SELECT * FROM {table['name']}"):
            values = dict(row)
            if table["name"] != "farms" and values.get("farm") == farm:
                yield "left", (table["name"], values)
            if any(
                marker in str(value) for value in values.values() for marker in village.markers.get(farm, ())
            ):
                yield "its fish are left", (table["name"], values)


# Bells -----------------------------------------------------------------------------------------------------


def bells_reach_everybody(village: Village, step: Step) -> Iterator[object]:
    """Each attempt goes to whom it is for; a waking bell that is silent was answered, withdrawn, replaced by
    its next look, or tried six times.

    Who is rung: everybody who may be where nobody has the night; else they, from the third attempt one more,
    from the fifth the owner and the rooms too.
    """
    rung: dict[tuple[int, int], list[Outgoing]] = defaultdict(list)
    for row in step.rows:
        if row.reminder_id and row.reminder:
            rung[row.reminder_id, row.reminder["attempt"]].append(row)
    for (bell, attempt), rows in rung.items():
        yield from _of_an_attempt(village, step, bell, attempt, rows)
    ended = village.store.file.rows(
        "SELECT * FROM reminders WHERE wakes = 1 AND next_at IS NULL AND attempts > 0"
        " AND state NOT IN ('answered', 'withdrawn') AND attempts < ?",
        ATTEMPTS,
    )
    for bell in ended:
        later = village.store.file.value(
            "SELECT count(*) FROM reminders WHERE farm = ? AND run = ? AND grp = ? AND batch = ? AND step = ?"
            " AND (look > ? OR due_at > ?) AND attempts > 0",
            *(
                bell["farm"],
                bell["run"],
                bell["grp"],
                bell["batch"],
                bell["step"],
                bell["look"],
                bell["due_at"],
            ),
        )
        if not later:
            yield "fell silent", dict(bell)


def _of_an_attempt(
    village: Village, step: Step, bell: int, attempt: int, rows: Sequence[Outgoing]
) -> Iterator[object]:
    farm, at = rows[0].farm, rows[0].at
    chats = {row.chat for row in rows}
    if len({row.unique for row in rows}) != len(rows):
        yield "rung twice in a chat", rows
    able = people_with_bells(village, farm)
    rooms = {key for key, (of, private) in step.after.chats.items() if of == farm and not private}
    wakes = village.store.file.value("SELECT wakes FROM reminders WHERE id = ?", bell)
    duty = step.after.farms[farm].duty
    roles = {person: role for (of, person), role in step.after.members.items() if of == farm}
    on = [
        person for person in (duty.people if duty and at < duty.until else ()) if roles.get(person) in TELLERS
    ]
    everybody = not on or not wakes
    privates = set(able.values())
    told = {person for person, chat in able.items() if chat in chats}
    if not chats <= privates | rooms:
        yield "rings somebody who is not to be rung", (chats, privates | rooms)
    if everybody:
        if not privates | rooms <= chats:
            yield f"attempt {attempt} is not for everybody", (privates | rooms, chats)
        return
    reachable = [person for person in on if person in able]
    if not set(reachable) <= told:
        yield f"attempt {attempt} is not for who has the night", (on, chats)
    if not reachable and attempt <= 2 and not rooms <= chats:
        yield f"attempt {attempt} reaches nobody", chats
    if reachable and attempt <= 2 and len(told) > len(reachable):
        yield f"attempt {attempt} wakes others", (on, chats)
    others = [person for person in roles if roles[person] in TELLERS and person not in on]
    if attempt in (3, 4) and others and len(told) == len(reachable) and not rooms & chats:
        if any(person in able for person in others):
            yield f"attempt {attempt} calls nobody else", (on, chats)
    if attempt >= 5:
        owner = next(person for person, role in roles.items() if role == "owner")
        if owner in able and able[owner] not in chats:
            yield f"attempt {attempt} does not wake the owner", chats
        if not rooms <= chats:
            yield f"attempt {attempt} is not in the rooms", (rooms, chats)


def people_with_bells(village: Village, farm: int) -> dict[int, str]:
    """Those who may be rung in their own chat, and that chat."""
    rows = village.store.file.rows(
        "SELECT members.person, people.key FROM members JOIN people ON people.id = members.person"
        " JOIN chats ON chats.key = people.key"
        " WHERE members.farm = ? AND role IN ('owner', 'hand') AND members.private_bells = 1"
        " AND chats.unreachable_at IS NULL",
        farm,
    )
    return {row["person"]: row["key"] for row in rows}


# One act, once ---------------------------------------------------------------------------------------------


def is_rightful(village: Village, user: str, message: int, chat: str) -> bool:
    """Whether a press on that message may change anything: it hangs in this chat, unspent, and is of a farm
    whose owner or hand presses it."""
    row, person = row_of(village.store, message), village.store.person(user)
    if row is None or person is None:
        return False
    role = village.state.role(row.farm, person.id)
    return row.chat == chat and row.spent_at is None and role in MEMBERS


def stand_still(village: Village, farm: int, key: str) -> set[int]:
    """The ids of what that message told and stands."""
    told = village.store.events_from(farm, key)
    runs = {event.run for event in told}
    stands = {event.id for run in runs for event in standing(village.store.events(farm, run))}
    return stands & {event.id for event in told}
