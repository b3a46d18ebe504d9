"""What goes out is a row until the network, the terminal or the transcript has taken it.

Every call on a farm's messages takes the farm (0: what we say to somebody without one). The others belong to
whoever carries messages, whatever they say, or stands in for the telephone they are shown on.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable, Collection, Sequence
from datetime import datetime, timedelta

from bot.clock import Clock
from bot.messages import ButtonRow, Outgoing
from bot.store import Store, as_json, moment, stamp

WINDOW = 64
LONGEST_PUT_OFF = timedelta(hours=1)
"""Nothing is put off for longer: what seems to be was put off by a clock that was ahead."""
_COLUMNS = (
    "farm, chat, addressee, at, kind, text, facts, buttons, reminder, reminder_id, unique_key, alarm, run,"
    " picture, document, spent_at, spent_by, answers"
)


def put(store: Store, farm: int, outgoing: Outgoing) -> int | None:
    """Write a message to be sent and give its id; `None` when the farm's `unique` key is there already."""
    if outgoing.farm != farm:
        raise ValueError(f"a message of farm {outgoing.farm}, not of {farm}")
    written = store.file.rows(
        f"INSERT INTO outbox ({_COLUMNS}) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"
        " ON CONFLICT (farm, unique_key) DO NOTHING RETURNING id",
        *_values(outgoing),
    )
    return written[0]["id"] if written else None


def row(store: Store, farm: int, message: int) -> Outgoing | None:
    """The message with this id, if it is one of this farm."""
    found = store.file.row("SELECT * FROM outbox WHERE id = ? AND farm IS ?", message, farm or None)
    return _outgoing(found) if found else None


def spend(store: Store, farm: int, message: int, by: str, at: datetime) -> bool:
    """The buttons of this message have been used; false if they had been before."""
    return bool(
        store.file.change(
            "UPDATE outbox SET spent_at = ?, spent_by = ? WHERE id = ? AND farm IS ? AND spent_at IS NULL",
            *(stamp(at), by, message, farm or None),
        )
    )


def spend_bell(store: Store, farm: int, reminder: int, by: str, at: datetime) -> int:
    """The buttons of every message of this bell have been used; how many had not been before."""
    return store.file.change(
        "UPDATE outbox SET spent_at = ?, spent_by = ?"
        " WHERE farm = ? AND reminder_id = ? AND spent_at IS NULL",
        *(stamp(at), by, farm, reminder),
    )


def chats_of_bell(store: Store, farm: int, reminder: int) -> tuple[str, ...]:
    """The chats where this bell rang."""
    rows = store.file.rows(
        "SELECT DISTINCT chat FROM outbox WHERE farm = ? AND reminder_id = ? ORDER BY chat", farm, reminder
    )
    return tuple(found["chat"] for found in rows)


def others_rang(store: Store, farm: int, chat: str, since: datetime) -> bool:
    """Whether a bell of another farm rang in this chat since then."""
    found = store.file.value(
        "SELECT EXISTS (SELECT 1 FROM outbox WHERE chat = ? AND at > ? AND farm <> ?"
        " AND reminder_id IS NOT NULL)",
        *(chat, stamp(since), farm),
    )
    return bool(found)


def rings_in(store: Store, farm: int, chat: str) -> bool:
    """Whether a bell of the farm rang in this chat and waits for an answer."""
    found = store.file.value(
        "SELECT EXISTS (SELECT 1 FROM outbox JOIN reminders ON reminders.id = reminder_id"
        " WHERE outbox.farm = ? AND chat = ? AND reminders.state = 'ringing')",
        *(farm, chat),
    )
    return bool(found)


def in_chat(store: Store, chat: str, message: int) -> Outgoing | None:
    """The message with this id, of whatever farm, if it was said in this chat."""
    found = store.file.row("SELECT * FROM outbox WHERE id = ? AND chat = ?", message, chat)
    return _outgoing(found) if found else None


def called_in_chat(store: Store, chat: str, message_id: str) -> Outgoing | None:
    """The message of whatever farm in this chat that the messenger calls so."""
    found = store.file.row(
        "SELECT * FROM outbox WHERE chat = ? AND message_id = ? ORDER BY id DESC LIMIT 1", chat, message_id
    )
    return _outgoing(found) if found else None


def newest_with(store: Store, chat: str, action: str) -> Outgoing | None:
    """The newest message shown in this chat with a button of this very action, spent or not."""
    found = store.file.row(
        "SELECT * FROM outbox WHERE chat = ? AND EXISTS"
        " (SELECT 1 FROM json_each(buttons) WHERE json_extract(value, '$.action') = ?)"
        " ORDER BY id DESC LIMIT 1",
        *(chat, action),
    )
    return _outgoing(found) if found else None


BUSY_NIGHT = 200
"""So many of a chat's newest messages are looked through for open buttons."""


def open_buttons(store: Store, farm: int, chat: str, since: datetime, limit: int = 5) -> tuple[Outgoing, ...]:
    """The farm's newest messages in this chat whose buttons nobody used yet, newest first; nothing is looked
    for behind what a busy night brings."""
    rows = store.file.rows(
        "SELECT * FROM outbox WHERE chat = ?1 AND id >= (SELECT min(id) FROM"
        " (SELECT id FROM outbox WHERE chat = ?1 ORDER BY id DESC LIMIT ?2)) AND farm IS ?3 AND at >= ?4"
        " AND spent_at IS NULL AND buttons != '[]' ORDER BY id DESC LIMIT ?5",
        *(chat, BUSY_NIGHT, farm or None, stamp(since), limit),
    )
    return tuple(map(_outgoing, rows))


def newest_of(
    store: Store, farm: int, chat: str, kinds: Sequence[str], limit: int = 1
) -> tuple[Outgoing, ...]:
    """The farm's newest messages in this chat that are of these kinds, newest first."""
    marks = ", ".join("?" for _ in kinds)
    rows = store.file.rows(
        f"SELECT * FROM outbox WHERE farm IS ? AND chat = ? AND kind IN ({marks}) ORDER BY id DESC LIMIT ?",
        *(farm or None, chat, *kinds, limit),
    )
    return tuple(map(_outgoing, rows))


def unsent(store: Store, limit: int = 100) -> tuple[Outgoing, ...]:
    """What nobody has taken yet: alarms first, else in the order it was written."""
    rows = store.file.rows(
        "SELECT * FROM outbox WHERE state = 'unsent' ORDER BY alarm DESC, id LIMIT ?", limit
    )
    return tuple(map(_outgoing, rows))


def next_of_each(
    store: Store, now: datetime, but: Collection[str] = (), limit: int = 50
) -> tuple[Outgoing, ...]:
    """What may go out now: the first of each chat, but of those named; alarms overtake, others keep their
    order, so that one that was put off holds back those behind it."""
    chosen: dict[str, int] = {}
    passed = set(but)
    soonest, latest = stamp(now), stamp(now + LONGEST_PUT_OFF)
    while len(chosen) < limit:
        rows = store.file.rows(
            "SELECT id, chat, alarm, not_before FROM outbox WHERE state = 'unsent'"
            " AND chat NOT IN (SELECT value FROM json_each(?)) ORDER BY alarm DESC, id LIMIT ?",
            *(as_json(sorted(passed)), WINDOW),
        )
        for found in rows:
            if found["chat"] not in passed and not soonest < found["not_before"] <= latest:
                chosen[found["chat"]] = found["id"]
            if found["chat"] in chosen or not found["alarm"]:
                passed.add(found["chat"])
        if len(rows) < WINDOW:
            break
    ids = list(chosen.values())[:limit]
    found_rows = store.file.rows(
        "SELECT * FROM outbox WHERE id IN (SELECT value FROM json_each(?)) ORDER BY alarm DESC, id",
        as_json(ids),
    )
    return tuple(map(_outgoing, found_rows))


def next_attempt(store: Store, now: datetime) -> datetime | None:
    """When the first of those that were put off may be tried again."""
    found = store.file.value(
        "SELECT min(not_before) FROM outbox WHERE state = 'unsent' AND not_before > ?", stamp(now)
    )
    return None if found is None else moment(found)


def deliver(store: Store, clock: Clock, show: Callable[[Outgoing], None], chat: str | None = None) -> None:
    """Show what nobody has taken yet, in the order it was written: of one chat, or of all."""
    rows = store.file.rows(
        "SELECT * FROM outbox WHERE state = 'unsent' AND (chat = ?1 OR ?1 IS NULL) ORDER BY id", chat
    )
    for message in map(_outgoing, rows):
        show(message)
        with store.transaction():
            mark_sent(store, message.id, clock.now())


def mark_sent(store: Store, message: int, at: datetime, message_id: str | None = None) -> None:
    """The message was taken; `message_id` is what the messenger calls it. A link in it is not kept."""
    store.file.change(
        "UPDATE outbox SET state = 'sent', sent_at = ?1, message_id = ?2,"
        " keyboard = (?2 IS NOT NULL AND buttons <> '[]'),"
        " text = iif(kind = 'join-link', replace(text, json_extract(facts, '$.link'), ''), text),"
        " facts = iif(kind = 'join-link', json_set(facts, '$.link', ''), facts) WHERE id = ?3",
        *(stamp(at), message_id, message),
    )


def put_off(store: Store, message: int, until: datetime, *, maybe_sent: bool = False) -> None:
    """It could not be sent now; `maybe_sent` where it may have arrived nevertheless."""
    store.file.change(
        "UPDATE outbox SET tries = tries + 1, not_before = ?, maybe_sent = max(maybe_sent, ?) WHERE id = ?",
        *(stamp(until), maybe_sent, message),
    )


def give_up(store: Store, message: int) -> None:
    """Nobody can take this message; it is not tried again."""
    store.file.change("UPDATE outbox SET state = 'dead' WHERE id = ? AND state = 'unsent'", message)


def spent_keyboards(store: Store, limit: int = 20) -> tuple[Outgoing, ...]:
    """Messages whose buttons were used and still hang under them."""
    rows = store.file.rows(
        "SELECT * FROM outbox WHERE keyboard = 1 AND spent_at IS NOT NULL ORDER BY id LIMIT ?", limit
    )
    return tuple(map(_outgoing, rows))


def keyboard_gone(store: Store, message: int) -> None:
    """The buttons are off the message, or nobody can take them off."""
    store.file.change("UPDATE outbox SET keyboard = 0 WHERE id = ?", message)


def prune(store: Store, before: datetime) -> int:
    """What was sent before then goes; how many messages."""
    return store.file.change("DELETE FROM outbox WHERE sent_at < ?", stamp(before))


def _values(out: Outgoing) -> tuple[object, ...]:
    buttons = [{"action": b.action, "label": b.label, "command": b.command} for b in out.buttons]
    return (
        out.farm or None,
        out.chat,
        out.to,
        stamp(out.at),
        out.kind,
        out.text,
        as_json(out.facts),
        as_json(buttons),
        None if out.reminder is None else as_json(out.reminder),
        out.reminder_id or None,
        out.unique,
        out.alarm,
        out.run,
        out.picture,
        out.document,
        None if out.spent_at is None else stamp(out.spent_at),
        out.spent_by,
        out.answers,
    )


def _outgoing(found: sqlite3.Row) -> Outgoing:
    return Outgoing(
        farm=found["farm"] or 0,
        chat=found["chat"],
        at=moment(found["at"]),
        kind=found["kind"],
        text=found["text"],
        facts=json.loads(found["facts"]),
        buttons=tuple(ButtonRow(**button) for button in json.loads(found["buttons"])),
        to=found["addressee"],
        reminder=None if found["reminder"] is None else json.loads(found["reminder"]),
        reminder_id=found["reminder_id"] or 0,
        unique=found["unique_key"],
        alarm=bool(found["alarm"]),
        run=found["run"],
        picture=found["picture"],
        document=found["document"],
        id=found["id"],
        spent_at=None if found["spent_at"] is None else moment(found["spent_at"]),
        spent_by=found["spent_by"],
        answers=found["answers"],
        message_id=found["message_id"] or "",
        tries=found["tries"],
        maybe_sent=bool(found["maybe_sent"]),
    )
