"""What comes in and what goes out, as rows: once, in order, and each farm's own."""

from __future__ import annotations

import inspect
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from types import ModuleType

import pytest

from bot import inbox, outbox
from bot.messages import ButtonRow, Incoming, Outgoing
from bot.store import Store
from core.records import Bell, StepKey

NOW = datetime(2026, 3, 1, 14, 30, 0, 250, tzinfo=UTC)
MINUTE = timedelta(minutes=1)
SAID = Incoming(
    "tg:1", "4711", True, "4711", "bn", "text", NOW, 330, NOW - MINUTE, "মাগুর f 2,4 m 1,9", name="Ada"
)
OK = ButtonRow("ok", "OK ✓", {"kind": "agree", "run": 1, "at": NOW.isoformat(), "tags": ["F1"]})
LATER = ButtonRow("answer:-10", "10 min ago", {"kind": "act", "minutes": -10})


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    """A store with two farms, 1 and 2, a bell each."""
    with closing(Store.open(tmp_path / "farm.db")) as opened:
        for name in ("ada", "ben"):
            farm = opened.add_farm(name, 0, opened.add_person(name, name, "en").id).id
            opened.add_bells(farm, [Bell(1, StepKey("inject"), NOW, wakes=True)])
        yield opened


def said(number: int) -> Incoming:
    return replace(SAID, key=f"tg:{number}", text=str(number), at=NOW + number * MINUTE)


def message(farm: int = 1, **other: object) -> Outgoing:
    return replace(Outgoing(farm, "4711", NOW, "noted", "Noted.", {"text": "ok"}), **other)  # type: ignore[arg-type]


def kept(store: Store, farm: int, outgoing: Outgoing) -> int:
    """Put a message that must be new; its id."""
    written = outbox.put(store, farm, outgoing)
    assert written
    return written


# Inbox ------------------------------------------------------------------------------------------------------


def test_a_message_comes_back_as_it_was(store: Store) -> None:
    first = inbox.receive(store, SAID)
    (row,) = inbox.waiting(store)
    assert (row.id, row.key, row.chat, row.received_at, row.tries) == (first, "tg:1", "4711", NOW, 0)
    assert inbox.reading(row) == SAID
    assert store.newest_time() == NOW


def test_a_key_seen_twice_has_one_effect(store: Store) -> None:
    first = inbox.receive(store, SAID)
    assert first
    assert inbox.receive(store, replace(SAID, text="other")) is None
    inbox.done(store, first)
    assert inbox.receive(store, SAID) is None
    assert inbox.waiting(store) == ()
    found = inbox.find(store, "tg:1")
    assert found
    assert inbox.reading(found) == SAID
    assert inbox.find(store, "tg:2") is None


def test_rows_wait_in_order_until_done_or_set_aside(store: Store) -> None:
    one, two, three = (inbox.receive(store, said(n)) or 0 for n in (3, 1, 2))
    assert [row.key for row in inbox.waiting(store)] == ["tg:3", "tg:1", "tg:2"]
    assert [row.key for row in inbox.waiting(store, limit=1)] == ["tg:3"]
    inbox.done(store, one)
    assert (inbox.tried(store, two), inbox.tried(store, two), inbox.tried(store, 99)) == (1, 2, 0)
    assert [(row.id, row.tries) for row in inbox.waiting(store)] == [(two, 2), (three, 0)]
    inbox.set_aside(store, two)
    assert [row.id for row in inbox.waiting(store)] == [three]
    assert inbox.count(store) == 3


def test_a_number_is_never_used_again(store: Store) -> None:
    assert inbox.count(store) == 0
    inbox.receive(store, said(1))
    last = inbox.receive(store, said(2))
    assert last
    store.file.change("DELETE FROM inbox")
    assert inbox.count(store) == 2
    assert inbox.receive(store, said(3)) == last + 1


def test_a_message_and_its_effects_are_one(store: Store) -> None:
    row = inbox.receive(store, SAID)
    assert row
    with pytest.raises(ZeroDivisionError), store.transaction():
        outbox.put(store, 1, message())
        inbox.done(store, row)
        _ = 1 / 0
    assert [waiting.id for waiting in inbox.waiting(store)] == [row]
    assert outbox.unsent(store) == ()


# Outbox -----------------------------------------------------------------------------------------------------


def test_an_outgoing_comes_back_as_it_was(store: Store) -> None:
    (bell,) = store.reminders(1, 1)
    whole = message(
        text="Stich um 04:45 – ✓",
        facts={"ml": 1.25, "fish": [{"tag": "F1", "kg": None}], "at": "2026-03-01T20:00:00+05:30"},
        buttons=(OK, LATER),
        to="Ada",
        reminder={"step": "inject", "attempt": 1},
        reminder_id=bell.id,
        unique="1:inject:1:4711",
        alarm=True,
        run=1,
        picture="a.png",
        document="b.csv",
    )
    number = kept(store, 1, whole)
    assert outbox.row(store, 1, number) == replace(whole, id=number)
    assert outbox.unsent(store) == (replace(whole, id=number),)
    plain = kept(store, 1, message())
    assert outbox.row(store, 1, plain) == message(id=plain)


def test_a_unique_key_is_written_once_a_farm(store: Store) -> None:
    assert outbox.put(store, 1, message(unique="inject:1"))
    assert outbox.put(store, 1, message(unique="inject:1", text="again")) is None
    assert outbox.put(store, 2, message(2, unique="inject:1")), "run 1 of another farm, in the same chat"
    assert outbox.put(store, 1, message())
    assert outbox.put(store, 1, message()), "messages without a key are never twins"


def test_alarms_go_first_then_in_order(store: Store) -> None:
    order = [kept(store, 1, message(alarm=alarm)) for alarm in (False, True, False, True)]
    assert [out.id for out in outbox.unsent(store)] == [order[1], order[3], order[0], order[2]]
    assert [out.id for out in outbox.unsent(store, limit=1)] == [order[1]]
    outbox.mark_sent(store, order[1], NOW, "55")
    outbox.mark_sent(store, order[0], NOW)
    assert [out.id for out in outbox.unsent(store)] == [order[3], order[2]]


def test_what_was_put_off_by_a_clock_that_was_ahead_goes_out(store: Store) -> None:
    number = kept(store, 1, message())
    for ahead, goes in ((MINUTE, False), (timedelta(hours=6), True), (timedelta(0), True)):
        outbox.put_off(store, number, NOW + ahead)
        assert [out.id for out in outbox.next_of_each(store, NOW)] == ([number] if goes else [])


def test_buttons_are_spent_once(store: Store) -> None:
    number = kept(store, 1, message(buttons=(OK,)))
    assert outbox.spend(store, 1, number, "Ada", NOW)
    assert not outbox.spend(store, 1, number, "Ben", NOW + MINUTE)
    found = outbox.row(store, 1, number)
    assert found
    assert (found.spent_by, found.spent_at) == ("Ada", NOW)


def test_one_answer_spends_every_message_of_a_bell(store: Store) -> None:
    (bell,) = store.reminders(1, 1)
    first, second = (kept(store, 1, message(reminder_id=bell.id, buttons=(OK,))) for _ in range(2))
    other = kept(store, 1, message(buttons=(OK,)))
    outbox.spend(store, 1, first, "Ada", NOW)
    assert outbox.spend_bell(store, 1, bell.id, "Ben", NOW + MINUTE) == 1
    assert outbox.spend_bell(store, 1, bell.id, "Ben", NOW + MINUTE) == 0
    rows = [outbox.row(store, 1, number) for number in (first, second, other)]
    assert [row and row.spent_by for row in rows] == ["Ada", "Ben", None]


def test_the_newest_message_with_an_action_spent_or_not(store: Store) -> None:
    first = kept(store, 1, message(buttons=(OK, LATER)))
    second = kept(store, 1, message(buttons=(OK,)))
    kept(store, 1, message())
    outbox.spend(store, 1, second, "Ada", NOW)
    newest = [outbox.newest_with(store, "4711", action) for action in ("ok", "answer:-10", "answer:-1", "o%")]
    assert [found and found.id for found in newest] == [second, first, None, None]
    assert outbox.newest_with(store, "another", "ok") is None


def test_the_newest_messages_of_some_kinds_are_found(store: Store) -> None:
    first = kept(store, 1, message(kind="eggs"))
    second = kept(store, 1, message(kind="plan"))
    kept(store, 1, message())
    assert [each.id for each in outbox.newest_of(store, 1, "4711", ("eggs", "plan"))] == [second]
    both = outbox.newest_of(store, 1, "4711", ("eggs", "plan"), limit=5)
    assert [each.id for each in both] == [second, first]
    assert outbox.newest_of(store, 1, "another", ("eggs", "plan")) == ()


def test_open_buttons_are_the_newest_first_and_nobody_used_them(store: Store) -> None:
    old = kept(store, 1, message(buttons=(OK,), at=NOW - timedelta(hours=4)))
    first, spent, newest = (kept(store, 1, message(buttons=(OK,))) for _ in range(3))
    kept(store, 1, message())
    outbox.spend(store, 1, spent, "Ada", NOW)
    found = outbox.open_buttons(store, 1, "4711", NOW - timedelta(hours=3))
    assert [each.id for each in found] == [newest, first]
    wider = outbox.open_buttons(store, 1, "4711", NOW - timedelta(hours=5), limit=3)
    assert [each.id for each in wider] == [newest, first, old]


def test_somebody_without_a_farm_is_answered_too(store: Store) -> None:
    number = kept(store, 0, message(0, buttons=(OK,)))
    assert outbox.row(store, 0, number) == message(0, buttons=(OK,), id=number)
    assert outbox.row(store, 1, number) is None
    assert not outbox.spend(store, 1, number, "Ada", NOW)
    assert outbox.spend(store, 0, number, "Ada", NOW)


@pytest.mark.parametrize("fact", [float("nan"), float("inf")])
def test_what_is_no_json_is_never_written(store: Store, fact: float) -> None:
    with pytest.raises(ValueError, match="JSON"):
        outbox.put(store, 1, message(facts={"ml": fact}))


# No farm sees another ------------------------------------------------------------------------------------

# Each call on a farm's messages, made by farm 2 with row `n` and bell `bell` of farm 1, and the answer.
FARM_CALLS: dict[str, tuple[Callable[[Store, int, int], object], object]] = {
    "put": (lambda s, n, bell: outbox.put(s, 2, message()), ValueError),
    "row": (lambda s, n, bell: outbox.row(s, 2, n), None),
    "newest_of": (lambda s, n, bell: outbox.newest_of(s, 2, "4711", ("noted",), 9), ()),
    "open_buttons": (lambda s, n, bell: outbox.open_buttons(s, 2, "4711", NOW - timedelta(days=9)), ()),
    "rings_in": (lambda s, n, bell: outbox.rings_in(s, 2, "4711"), False),
    "chats_of_bell": (lambda s, n, bell: outbox.chats_of_bell(s, 2, bell), ()),
    "spend": (lambda s, n, bell: outbox.spend(s, 2, n, "Ben", NOW), False),
    "spend_bell": (lambda s, n, bell: outbox.spend_bell(s, 2, bell, "Ben", NOW), 0),
}
# For whoever carries messages whatever they say, or stands in for the telephone. The inbox knows no farms.
OTHER_CALLS = {
    *("newest_with", "unsent", "mark_sent", "deliver", "next_of_each", "next_attempt", "put_off", "give_up"),
    *("spent_keyboards", "keyboard_gone", "prune"),
    *("in_chat", "called_in_chat", "others_rang"),
}
INBOX_CALLS = {
    *(
        "receive",
        "keep",
        "author",
        "reading",
        "waiting",
        "find",
        "count",
        "spoken",
        "prune",
        "done",
        "set_aside",
        "tried",
    ),
}


def own_functions(module: ModuleType) -> set[str]:
    found = inspect.getmembers(module, inspect.isfunction)
    return {name for name, made in found if made.__module__ == module.__name__ and not name.startswith("_")}


def test_every_call_is_walked_with_a_foreign_farm() -> None:
    assert own_functions(outbox) == FARM_CALLS.keys() | OTHER_CALLS
    assert own_functions(inbox) == INBOX_CALLS
    for name in FARM_CALLS:
        assert list(inspect.signature(getattr(outbox, name)).parameters)[1] == "farm"


@pytest.mark.parametrize("name", FARM_CALLS)
def test_a_foreign_farm_sees_and_changes_nothing(name: str, store: Store) -> None:
    (bell,) = store.reminders(1, 1)
    number = kept(store, 1, message(reminder_id=bell.id, buttons=(OK,), unique="k"))
    before = [tuple(row) for row in store.file.rows("SELECT * FROM outbox")]
    call, wanted = FARM_CALLS[name]
    if isinstance(wanted, type):
        with pytest.raises(wanted):
            call(store, number, bell.id)
    else:
        assert call(store, number, bell.id) == wanted
    assert [tuple(row) for row in store.file.rows("SELECT * FROM outbox")] == before


def test_a_message_cannot_hang_on_a_foreign_bell(store: Store) -> None:
    (foreign,) = store.reminders(1, 1)
    with pytest.raises(sqlite3.IntegrityError):
        outbox.put(store, 2, message(2, reminder_id=foreign.id))
