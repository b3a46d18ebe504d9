"""The store on real files: what comes back, what a fault is called, and that no farm sees another."""

from __future__ import annotations

import inspect
import os
import sqlite3
import stat
import tempfile
from collections.abc import Callable, Iterator
from contextlib import closing, suppress
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot import inbox, migrations, outbox
from bot.messages import Incoming, Outgoing
from bot.store import ChatRow, Store, StoreFault, moment, stamp
from core.commands import Awaiting
from core.crew import Member
from core.records import (
    BOOK,
    Bell,
    EggsOf,
    Event,
    Farm,
    FishWeighed,
    FishWeight,
    Opened,
    Person,
    Planned,
    Reminder,
    RunRow,
    StepKey,
    Strength,
    Stripped,
    WaterRead,
)

NOW = datetime(2026, 3, 1, 14, 30, 0, 123456, tzinfo=UTC)
HOUR = timedelta(hours=1)
LOOK = Bell(1, StepKey("check-females", group="A", look=1), NOW + HOUR, wakes=True)
FEED = Bell(1, StepKey("first-feed", batch="B1"), NOW + 90 * HOUR, once=True)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "farm.db"


@pytest.fixture
def store(path: Path) -> Iterator[Store]:
    with closing(Store.open(path)) as opened:
        yield opened


def founded(store: Store, name: str) -> Farm:
    """A farm with an owner of its own, called like it."""
    person = store.add_person(name, name.title(), "en")
    return store.add_farm(name, 330, person.id)


def weighed(farm: int, number: int, run: int = 1, source: str | None = None) -> Event:
    body = FishWeighed((FishWeight("F1", "f", 2.4), FishWeight("F2", None, 3.1)), place="tank 2")
    return Event(number, farm, run, NOW, NOW - HOUR, body, by=1, source=source)


def row(run: int, state: str = "open") -> RunRow:
    return RunRow(run, "african-catfish", NOW, None, state)  # type: ignore[arg-type]


def dump(path: Path) -> list[tuple[object, ...]]:
    """Every row of every table, as another reader sees the file."""
    with closing(sqlite3.connect(path)) as file:
        names = [name for (name,) in file.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
        return [(name, *found) for name in sorted(names) for found in file.execute(f"SELECT * FROM {name}")]


# What comes back is what went in -------------------------------------------------------------------------


@given(st.datetimes(), st.integers(-720, 840))
def test_a_time_comes_back_to_the_microsecond(at: datetime, offset: int) -> None:
    when = at.replace(tzinfo=timezone(timedelta(minutes=offset)))
    assert moment(stamp(when)) == when
    assert moment(stamp(when)).tzinfo is UTC


def test_a_time_without_a_zone_is_never_written() -> None:
    with pytest.raises(TypeError):
        stamp(datetime(2026, 3, 1))  # noqa: DTZ001


def test_people_farms_and_chats(store: Store) -> None:
    ada = store.add_person("4711", "Ada", "bn")
    assert store.person("4711") == ada == Person(ada.id, "Ada", "bn")
    assert store.person("0815") is None
    store.set_language(ada.id, "hi")
    assert store.person("4711") == Person(ada.id, "Ada", "hi")

    farm = store.add_farm("Pond", 345, ada.id)
    assert farm == Farm(farm.id, "Pond", offset_minutes=345)
    assert store.role(farm.id, ada.id) == "owner"
    habits = replace(farm, name="Big pond", zone="Asia/Kolkata", strength=Strength(20.0, 10.0))
    store.save_farm(habits)
    assert store.farm(farm.id) == habits
    with pytest.raises(KeyError):
        store.farm(99)

    ben = store.add_person("12", "Ben", "en")
    store.set_role(farm.id, ben.id, "asked")
    store.set_role(farm.id, ben.id, "hand")
    assert store.crew(farm.id) == (
        Member(ada.id, "Ada", "owner", private_bells=True),
        Member(ben.id, "Ben", "hand"),
    )
    assert store.farms_of(ben.id) == (farm.id,)

    own = store.add_chat(farm.id, "4711", True, 345)
    group = store.add_chat(farm.id, "-100", False)
    assert store.chats(farm.id) == (own, group)
    assert store.crew(farm.id)[0].rung_alone
    assert store.chat("4711") == own == ChatRow("4711", True, farm.id, None, 345)
    assert store.chat("0815") is None
    awaiting = Awaiting("label", run=3, batch="B1", until=NOW)
    store.set_awaiting(farm.id, "-100", awaiting)
    assert store.chat("-100") == replace(group, awaiting=awaiting)
    store.set_awaiting(farm.id, "-100", None)
    assert store.chat("-100") == group
    assert store.newest_private_chat() == "4711"


def test_an_identity_and_a_chat_exist_once(store: Store) -> None:
    farm = founded(store, "ada")
    with pytest.raises(sqlite3.IntegrityError):
        store.add_person("ada", "Another", "en")
    store.add_chat(farm.id, "ada", True)
    with pytest.raises(sqlite3.IntegrityError):
        store.add_chat(farm.id, "ada", True)
    with pytest.raises(sqlite3.IntegrityError):
        store.add_chat(99, "zoe", True)


def test_events_and_runs(store: Store) -> None:
    farm = founded(store, "ada").id
    assert (store.next_run(farm), store.next_event(farm), store.newest_time()) == (1, 1, None)
    opened = Opened("african-catfish", "stripped", "premix", Strength(20.0, 10.0))
    events = (
        Event(1, farm, 1, NOW, NOW, opened, by=1, source="m1"),
        weighed(farm, 2, source="m1"),
        Event(3, farm, 1, NOW + HOUR, NOW, WaterRead(None, "guessed")),
        Event(4, farm, 2, NOW, NOW, Planned(NOW + 3 * HOUR, agreed=False)),
        Event(5, farm, 1, NOW, NOW, Stripped("B1", (EggsOf("F1", 320.0, "even"), EggsOf("F2")))),
    )
    store.add_events(farm, events)
    assert store.events(farm, 1) == (*events[:3], events[4])
    assert store.events_from(farm, "m1") == events[:2]
    assert store.latest_events(farm, 2) == (events[4], events[3])
    assert (store.next_run(farm), store.next_event(farm)) == (3, 6)
    assert store.newest_time() == NOW + HOUR

    rows = [row(1, "closed"), row(2, "draft"), replace(row(3), hatched_percent=71.5, hatched_of="all")]
    for line in rows:
        store.save_run(farm, line, 1)
    assert store.results(farm) == (rows[2], rows[0])
    assert store.active_runs(farm) == (2, 3)
    store.save_run(farm, replace(rows[1], state="cancelled"), 1)
    assert store.active_runs(farm) == (3,)
    assert store.run_row(farm, 3) == rows[2]
    assert store.run_row(farm, 9) is None

    store.add_advice(farm, 1, ["gills", "gloves"])
    store.add_advice(farm, 1, ["gills"])
    assert store.advised(farm, 1) == {"gills", "gloves"}
    assert store.advised(farm, 0) == frozenset()


def test_a_bell_from_set_to_answered(store: Store) -> None:
    farm = founded(store, "ada").id
    store.add_bells(farm, [FEED, LOOK])
    look, feed = store.reminders(farm, 1)
    assert look == Reminder(look.id, farm, LOOK, next_at=LOOK.due_at)
    assert feed == Reminder(feed.id, farm, FEED, next_at=FEED.due_at)
    assert store.next_due() == LOOK.due_at
    assert store.due(LOOK.due_at - timedelta(microseconds=1)) == ()
    assert store.due(LOOK.due_at) == (look,)

    again = LOOK.due_at + timedelta(minutes=2)
    store.mark_rung(farm, look.id, 1, LOOK.due_at, again, "ringing")
    rung = replace(look, state="ringing", attempts=1, next_at=again, last_rung_at=LOOK.due_at)
    assert store.ringing(farm) == (rung,)
    assert store.next_due() == again
    store.move_bell(farm, look.id, replace(LOOK, due_at=NOW + 5 * HOUR))
    assert store.ringing(farm) == (rung,), "a bell that rang is never moved"

    store.end_bells(farm, [look.id], "answered")
    answered = replace(rung, state="answered", next_at=None)
    assert store.reminders(farm, 1) == (answered, feed)
    store.add_bells(farm, [replace(LOOK, due_at=NOW + 5 * HOUR)])
    assert store.reminders(farm, 1) == (answered, feed), "an answered bell is not set again"
    assert store.next_due() == FEED.due_at


def test_a_waiting_bell_is_moved_withdrawn_and_set_again(store: Store) -> None:
    farm = founded(store, "ada").id
    store.add_bells(farm, [LOOK])
    (look,) = store.reminders(farm, 1)
    later = replace(LOOK, key=replace(LOOK.key, look=2), due_at=NOW + 2 * HOUR, wakes=False)
    store.move_bell(farm, look.id, later)
    assert store.reminders(farm, 1) == (replace(look, bell=later, next_at=later.due_at),)
    store.end_bells(farm, [look.id], "withdrawn")
    assert store.next_due() is None
    store.add_bells(farm, [replace(later, due_at=NOW + 3 * HOUR)])
    (back,) = store.reminders(farm, 1)
    assert (back.id, back.state, back.next_at) == (look.id, "waiting", NOW + 3 * HOUR)
    store.add_bells(farm, [later])
    assert store.reminders(farm, 1) == (back,), "a waiting bell is moved by move_bell alone"


def test_due_bells_come_by_time_farm_and_id(store: Store) -> None:
    one, two = founded(store, "ada").id, founded(store, "ben").id
    at = [
        replace(LOOK, key=StepKey("care", batch=name), due_at=NOW + n * HOUR) for n, name in enumerate("ab")
    ]
    store.add_bells(two, [at[1], at[0]])
    store.add_bells(one, [at[1], at[0]])
    found = [(due.farm, due.bell.key.batch) for due in store.due(NOW + HOUR)]
    assert found == [(one, "a"), (two, "a"), (one, "b"), (two, "b")]
    assert len(store.due(NOW + HOUR, limit=3)) == 3


# One transaction or none -----------------------------------------------------------------------------------


def test_an_exception_leaves_nothing_behind(store: Store, path: Path) -> None:
    farm = founded(store, "ada")
    before = dump(path)
    with pytest.raises(ZeroDivisionError), store.transaction():
        store.add_person("ben", "Ben", "en")
        store.save_farm(replace(farm, name="other"))
        store.set_role(farm.id, 1, "hand")
        store.add_events(farm.id, [weighed(farm.id, 1)])
        store.add_bells(farm.id, [LOOK])
        outbox.put(store, farm.id, Outgoing(farm.id, "ada", NOW, "noted", "Noted.", {}))
        inbox.receive(store, Incoming("m1", "ada", True, "ada", "en", "text", NOW))
        assert dump(path) == before, "nobody sees it before it is committed"
        _ = 1 / 0
    assert dump(path) == before
    with store.transaction():
        store.add_bells(farm.id, [LOOK])
    assert len(dump(path)) > len(before)


def test_several_rows_of_one_call_are_all_or_none(store: Store) -> None:
    farm = founded(store, "ada").id
    with pytest.raises(sqlite3.IntegrityError):
        store.add_events(farm, [weighed(farm, 1), weighed(farm, 2), weighed(farm, 1)])
    assert store.latest_events(farm, 9) == ()
    with pytest.raises(sqlite3.IntegrityError):
        store.add_farm("of nobody", 0, 99)
    assert store.crew(farm + 1) == ()


def test_a_transaction_inside_a_transaction_is_a_mistake(store: Store) -> None:
    with store.transaction():
        with pytest.raises(RuntimeError, match="inside"), store.transaction():
            pass
        store.add_person("ada", "Ada", "en")
    assert store.person("ada")


def test_what_was_committed_is_there_after_reopening(store: Store, path: Path) -> None:
    farm = founded(store, "ada")
    with store.transaction():
        store.add_bells(farm.id, [LOOK])
    with closing(Store.open(path, must_exist=True)) as again:
        assert again.farm(farm.id) == farm
        assert again.reminders(farm.id, 1) == store.reminders(farm.id, 1)


# The file ---------------------------------------------------------------------------------------------------


def fault(path: Path, **how: bool) -> StoreFault:
    """Why this file cannot be opened."""
    with pytest.raises(StoreFault) as caught:
        Store.open(path, **how)  # type: ignore[arg-type]
    assert caught.value.params["path"] == str(path)
    return caught.value


def test_a_new_file_is_for_its_owner_only_and_safe(store: Store, path: Path) -> None:
    founded(store, "ada")
    for file in path.parent.iterdir():
        assert stat.S_IMODE(file.stat().st_mode) == 0o600, file.name
    wanted = {
        "journal_mode": "wal",
        "synchronous": 2,
        "foreign_keys": 1,
        "busy_timeout": 5000,
        "trusted_schema": 0,
        "cell_size_check": 1,
        "user_version": len(migrations.STEPS),
    }
    assert {name: store.file.value(f"PRAGMA {name}") for name in wanted} == wanted


def test_every_table_is_strict_and_whole(store: Store) -> None:
    ours = "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE '%sqlite_%'"
    names = [found["name"] for found in store.file.rows(ours)]
    strict = {found["name"] for found in store.file.rows("SELECT name FROM pragma_table_list WHERE strict")}
    assert set(names) <= strict
    assert len(names) == 15
    assert store.file.rows("PRAGMA foreign_key_check") == []


NOT_GOING = "farm NOT IN (SELECT id FROM farms WHERE goes_at IS NOT NULL)"


def test_the_hot_questions_have_an_index_of_their_own(store: Store) -> None:
    hot = {
        f"SELECT next_at FROM reminders WHERE next_at IS NOT NULL AND {NOT_GOING}"
        " ORDER BY next_at, farm, id LIMIT 1": "reminders_due",
        f"SELECT * FROM reminders WHERE next_at <= 1 AND {NOT_GOING}"
        " ORDER BY next_at, farm, id LIMIT 9": "reminders_due",
        "SELECT id FROM farms WHERE goes_at <= 1": "farms_going",
        "SELECT * FROM outbox WHERE state = 'unsent' ORDER BY alarm DESC, id LIMIT 9": "outbox_unsent",
        "SELECT * FROM inbox WHERE state = 'waiting' ORDER BY id LIMIT 9": "inbox_waiting",
        "SELECT count(*) FROM inbox WHERE user = 'ada' AND received_at > 1": "inbox_by_user",
        "SELECT * FROM outbox WHERE keyboard = 1 AND spent_at IS NOT NULL ORDER BY id": "outbox_spent",
        "SELECT id, file_id FROM photos WHERE file_id <> '' ORDER BY id LIMIT 9": "photos_to_fetch",
    }
    for question, index in hot.items():
        plan = " ".join(found["detail"] for found in store.file.rows(f"EXPLAIN QUERY PLAN {question}"))
        assert index in plan
        assert "TEMP B-TREE" not in plan


def test_deleting_a_farm_takes_all_of_it_and_nothing_else(store: Store, path: Path) -> None:
    farm = furnished(store, "ada")
    before = dump(path)
    other = furnished(store, "ben")
    store.file.change("DELETE FROM farms WHERE id = ?", other)
    kept = [found for found in dump(path) if found[0] not in ("people", "inbox", "sqlite_sequence")]
    assert kept == [found for found in before if found[0] not in ("people", "inbox", "sqlite_sequence")]
    assert store.farm(farm)


def test_migration_goes_from_nothing_and_only_once(path: Path) -> None:
    path.touch()
    for _ in range(2):
        with closing(Store.open(path)) as store:
            steps = store.file.rows("SELECT name FROM _sqlite_migrations ORDER BY id")
            assert tuple(step["name"] for step in steps) == migrations.STEPS
    assert tuple(step.name for step in migrations.MIGRATIONS._migrations) == migrations.STEPS


def test_a_migration_that_fails_leaves_an_empty_file(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(migrations, "_FIRST", (*migrations._FIRST, "CREATE TABLE people (id)"))
    with pytest.raises(sqlite3.OperationalError, match="already exists"):
        Store.open(path)
    assert dump(path) == []
    monkeypatch.undo()
    Store.open(path).close()


def test_a_newer_file_is_refused_and_left_alone(store: Store, path: Path) -> None:
    store.file.change(f"PRAGMA user_version = {len(migrations.STEPS) + 1}")
    store.close()
    before = path.read_bytes()
    refused = fault(path)
    assert (refused.code, refused.params["found"], refused.params["known"]) == (
        "newer-schema",
        len(migrations.STEPS) + 1,
        len(migrations.STEPS),
    )
    assert path.read_bytes() == before


def test_a_file_of_somebody_else_is_refused_and_left_alone(path: Path) -> None:
    for version in (0, 1):
        path.unlink(missing_ok=True)
        with closing(sqlite3.connect(path)) as other:
            other.execute("CREATE TABLE notes (text)")
            other.execute(f"PRAGMA user_version = {version}")
        assert fault(path).code == "torn"
        with closing(sqlite3.connect(path)) as other:
            assert [name for (name,) in other.execute("SELECT name FROM sqlite_master")] == ["notes"]


def test_no_database_at_all(path: Path) -> None:
    path.write_text("at,celsius\n" * 500, encoding="utf-8")
    assert fault(path).code == "torn"
    assert path.read_text(encoding="utf-8") == "at,celsius\n" * 500


def test_a_file_cut_short_is_torn(store: Store, path: Path) -> None:
    farm = founded(store, "ada").id
    store.add_events(farm, [weighed(farm, n) for n in range(1, 200)])
    store.close()
    whole = path.read_bytes()
    path.write_bytes(whole[: len(whole) // 2])
    assert fault(path).code == "torn"
    pages = bytearray(whole)
    pages[len(whole) // 2 : len(whole) // 2 + 4096] = b"\xff" * 4096
    path.write_bytes(pages)
    assert fault(path).code == "torn"


def test_places_where_no_file_can_be(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    assert fault(tmp_path / "missing" / "farm.db").code == "unreadable"
    assert fault(tmp_path / "file" / "farm.db").code == "unreadable"
    assert fault(tmp_path).code == "unreadable"


def test_a_file_that_must_exist_is_not_made(path: Path) -> None:
    assert fault(path, must_exist=True).code == "unreadable"
    assert not path.exists()


@pytest.fixture
def folder_of_a_plain_user() -> Iterator[Path]:
    """A folder of a user without special rights: root may write anywhere."""
    was_root = os.geteuid() == 0
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        if was_root:
            os.chown(folder, 65534, 65534)
            os.seteuid(65534)
        yield folder
        if was_root:
            os.seteuid(0)
        folder.chmod(0o700)


def test_a_folder_and_a_file_without_leave_to_write(folder_of_a_plain_user: Path) -> None:
    path = folder_of_a_plain_user / "farm.db"
    Store.open(path).close()
    path.chmod(0o400)
    assert fault(path).code == "unreadable"
    path.chmod(0o600)
    folder_of_a_plain_user.chmod(0o500)
    assert fault(path).code == "unreadable"
    assert fault(folder_of_a_plain_user / "new.db").code == "unreadable"
    folder_of_a_plain_user.chmod(0o700)
    Store.open(path).close()


def test_another_writer_is_locked_after_the_wait(store: Store, path: Path) -> None:
    with closing(Store.open(path, busy_ms=20)) as second:
        with store.transaction():
            with pytest.raises(StoreFault) as caught, second.transaction():
                second.add_person("never", "Never", "en")
            assert caught.value.code == "locked"
            with pytest.raises(StoreFault) as caught:
                second.add_person("never", "Never", "en")
            assert caught.value.code == "locked"
        with second.transaction():
            second.add_person("ben", "Ben", "en")
    assert store.person("ben")
    assert store.person("never") is None


def test_a_full_disk_takes_all_back_and_the_store_lives_on(store: Store, path: Path) -> None:
    farm = founded(store, "ada")
    before = dump(path)
    pages = store.file.value("PRAGMA page_count")
    store.file.rows(f"PRAGMA max_page_count = {pages + 2}")
    with pytest.raises(StoreFault) as caught, store.transaction():
        store.save_farm(replace(farm, name="half"))
        for number in range(1, 500):
            store.add_events(farm.id, [weighed(farm.id, number)])
    assert caught.value.code == "full"
    with pytest.raises(StoreFault) as caught, store.transaction():
        store.add_person("long", "x" * 40_000, "en")
    assert caught.value.code == "full"
    assert dump(path) == before
    store.file.rows("PRAGMA max_page_count = 1000000")
    with store.transaction():
        store.add_events(farm.id, [weighed(farm.id, 1)])
    assert store.latest_events(farm.id, 9) == (weighed(farm.id, 1),)


# No farm sees another ------------------------------------------------------------------------------------


def furnished(store: Store, name: str) -> int:
    """A farm with one of everything, its counters the same as every other's; the farm's id."""
    farm = founded(store, name).id
    store.add_chat(farm, name, True)
    store.set_awaiting(farm, name, Awaiting("label"))
    store.save_run(farm, row(1), 1)
    store.add_events(farm, [weighed(farm, 1, source=f"from-{name}")])
    store.add_bells(farm, [LOOK, FEED])
    look, _ = store.reminders(farm, 1)
    store.mark_rung(farm, look.id, 1, NOW, NOW + HOUR, "ringing")
    store.add_advice(farm, 1, [f"advice-{name}"])
    outbox.put(store, farm, Outgoing(farm, name, NOW, "step", "Look.", {}, reminder_id=look.id, unique="k"))
    return farm


Ids = dict[str, int]
# Each call on a farm's data, made by farm `b` with the ids and names of farm `a`, and what it must answer.
# Reads of a whole farm are made by an empty farm `c`.
FARM_CALLS: dict[str, tuple[Callable[[Store, Ids], object], object]] = {
    "role": (lambda s, i: s.role(i["b"], i["person"]), None),
    "crew": (lambda s, i: [m.name for m in s.crew(i["c"])], ["Cyd"]),
    "has_room": (lambda s, i: s.has_room(i["c"]), False),
    "set_private_bells": (lambda s, i: s.set_private_bells(i["b"], i["person"], False), None),
    "remove_member": (lambda s, i: s.remove_member(i["b"], i["person"]), None),
    "remove_farm": (lambda s, i: s.remove_farm(i["b"]), None),
    "settle": (lambda s, i: s.settle(i["b"], "ada", NOW), None),
    "owner": (lambda s, i: s.owner(i["c"]).name, "Cyd"),
    "chats": (lambda s, i: s.chats(i["c"]), ()),
    "set_awaiting": (lambda s, i: s.set_awaiting(i["b"], "ada", None), None),
    "next_run": (lambda s, i: s.next_run(i["c"]), 1),
    "next_event": (lambda s, i: s.next_event(i["c"]), 1),
    "add_events": (lambda s, i: s.add_events(i["b"], [weighed(i["a"], 7)]), ValueError),
    "events": (lambda s, i: s.events(i["c"], 1), ()),
    "events_from": (lambda s, i: s.events_from(i["b"], "from-ada"), ()),
    "latest_events": (lambda s, i: s.latest_events(i["c"], 9), ()),
    "active_runs": (lambda s, i: s.active_runs(i["c"]), ()),
    "run_row": (lambda s, i: s.run_row(i["c"], 1), None),
    "save_run": (lambda s, i: s.save_run(i["b"], row(1, "cancelled"), 1), None),
    "results": (lambda s, i: s.results(i["c"]), ()),
    "book": (lambda s, i: s.book(i["c"]), ()),
    "add_photo": (lambda s, i: s.add_photo(i["b"], 1, "x", "x.jpg", b"x") and None, None),
    "photo_rows": (lambda s, i: s.photo_rows(i["c"]), ()),
    "photo": (lambda s, i: s.photo(i["b"], s.add_photo(i["a"], 1, "x", "x.jpg", b"x")), b""),
    "photos": (lambda s, i: s.photos(i["c"], 1), ()),
    "advised": (lambda s, i: s.advised(i["c"], 1), frozenset()),
    "add_advice": (lambda s, i: s.add_advice(i["b"], 1, ["other"]), None),
    "reminders": (lambda s, i: s.reminders(i["c"], 1), ()),
    "add_bells": (lambda s, i: s.add_bells(i["b"], [replace(LOOK, due_at=NOW)]), None),
    "move_bell": (lambda s, i: s.move_bell(i["b"], i["feed"], replace(FEED, due_at=NOW)), None),
    "end_bells": (lambda s, i: s.end_bells(i["b"], [i["look"], i["feed"]], "withdrawn"), None),
    "ringing": (lambda s, i: s.ringing(i["c"]), ()),
    "pending": (lambda s, i: s.pending(i["c"], 1), ()),
    "mark_rung": (lambda s, i: s.mark_rung(i["b"], i["feed"], 2, NOW, None, "rung-out"), None),
    "set_role": (lambda s, i: s.set_role(i["b"], i["person"], "reader"), None),
    "add_chat": (lambda s, i: s.add_chat(i["b"], "ada", True), sqlite3.IntegrityError),
    "farm": (lambda s, i: s.farm(i["b"]).name, "ben"),
    "save_farm": (lambda s, i: s.save_farm(Farm(i["b"], "renamed")), None),
}
# What is no farm's own, or is asked over all farms by the alarm clock alone.
OTHER_CALLS = {
    *("open", "close", "transaction"),
    *("person", "add_person", "set_language", "farms_of", "owned_by", "chat", "newest_private_chat"),
    "add_farm",
    *("reach", "private_chat", "farms_here", "going"),
    *("older_rows", "next_due", "due", "newest_time", "last_written", "living_farms", "part"),
    *("farms_called", "photo_sent"),
    *("rename_chat", "photos_to_fetch", "fetched", "pulse", "last_pulse", "no_pulse", "overdue"),
}


def public_methods() -> set[str]:
    return {name for name, _ in inspect.getmembers(Store, callable) if not name.startswith("_")}


def test_every_method_is_walked_with_a_foreign_farm() -> None:
    assert FARM_CALLS.keys() | OTHER_CALLS == public_methods()
    assert not FARM_CALLS.keys() & OTHER_CALLS
    for name in FARM_CALLS:
        first = list(inspect.signature(getattr(Store, name)).parameters)[1]
        assert first == "farm", f"{name} must take the farm first"


@pytest.mark.parametrize("name", FARM_CALLS)
def test_a_foreign_farm_sees_and_changes_nothing(name: str, tmp_path: Path) -> None:
    path = tmp_path / "farm.db"
    with closing(Store.open(path)) as store:
        ids = {"a": furnished(store, "ada")}
        look, feed = store.reminders(ids["a"], 1)
        owner = store.person("ada")
        assert owner
        ids |= {"look": look.id, "feed": feed.id, "person": owner.id}
        before = [found for found in dump(path) if found[0] != "sqlite_sequence"]
        ids |= {"b": furnished(store, "ben"), "c": founded(store, "cyd").id}
        call, wanted = FARM_CALLS[name]
        if isinstance(wanted, type):
            with pytest.raises(wanted):
                call(store, ids)
        else:
            assert call(store, ids) == wanted
        after = dump(path)
        assert all(found in after for found in before), "farm a is as it was"
        assert {found[1] for found in after if found[0] == "members" and found[2] == owner.id} <= {
            ids["a"],
            *([ids["b"]] if name == "set_role" else []),
        }


@pytest.mark.parametrize("write", ["person", "farm", "chat", "role"])
def test_a_full_disk_is_said_by_every_kind_of_write(tmp_path: Path, write: str) -> None:
    """A library's insert once let SQLITE_FULL pass in silence: each write of ours must raise it."""
    store = Store.open(tmp_path / "full.db")
    ada = store.add_person("ada", "ada", "en")
    farm = store.add_farm("ada", 0, ada.id).id
    store.file.value("PRAGMA max_page_count = 1")

    def once(number: int) -> None:
        name = f"{number}-" + "x" * 400
        if write == "person":
            store.add_person(name, name, "en")
        elif write == "farm":
            store.add_farm(name, 0, ada.id)
        elif write == "chat":
            store.add_chat(farm, name, True)
        else:
            store.set_role(farm, people[number].id, "hand")

    people: list[Person] = []
    if write == "role":
        store.file.value("PRAGMA max_page_count = 10000")
        people = [store.add_person(str(number), "x", "en") for number in range(3000)]
        store.file.value("PRAGMA max_page_count = 1")
    with pytest.raises(StoreFault) as fault:
        for number in range(3000):
            once(number)
    assert fault.value.code == "full"
    store.close()


def test_what_is_looked_up_once_is_never_what_was_taken_back(tmp_path: Path) -> None:
    """Told, taken back, told by another program: the book and the results book are what the file says."""
    with closing(Store.open(tmp_path / "a.db")) as store, closing(Store.open(tmp_path / "a.db")) as other:
        farm = store.add_farm("a", 0, store.add_person("ada", "Ada", "en").id).id
        assert (store.book(farm), store.results(farm)) == ((), ())
        first, second = (replace(weighed(farm, 1), run=BOOK, id=number) for number in (1, 2))
        with suppress(RuntimeError), store.transaction():
            store.add_events(farm, [first])
            store.save_run(farm, row(1, "closed"), 1)
            assert (store.book(farm), store.results(farm)) == ((first,), (row(1, "closed"),))
            raise RuntimeError
        assert (store.book(farm), store.results(farm)) == ((), ())
        with store.transaction():
            store.add_events(farm, [first])
            with suppress(RuntimeError), store.part():
                store.add_events(farm, [second])
                assert store.book(farm) == (first, second)
                raise RuntimeError
            assert store.book(farm) == (first,)
        other.add_events(farm, [second])
        other.save_run(farm, row(1, "cancelled"), 1)
        assert (store.book(farm), store.results(farm)) == ((first, second), (row(1, "cancelled"),))


def test_a_head_that_names_no_form_of_a_file_is_torn(tmp_path: Path) -> None:
    """Bytes 44 to 47 of a database are the number of its form, 1 to 4 (sqlite.org/fileformat.html, 1.3.9)."""
    path = tmp_path / "a.db"
    Store.open(path).close()
    torn = bytearray(path.read_bytes())
    torn[44:48] = (9).to_bytes(4, "big")
    path.write_bytes(torn)
    with pytest.raises(StoreFault, match="torn"):
        Store.open(path)
