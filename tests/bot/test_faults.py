"""Faults in combination: the messenger's, the clock's, the disk's. Seeds and counts are printed."""

from __future__ import annotations

import asyncio
import random
import shutil
import signal
import sqlite3
import sys
from collections import Counter
from contextlib import closing
from datetime import timedelta
from pathlib import Path

import pytest

from bot import ringing
from bot.sender import TRIES
from bot.store import Store, StoreFault, stamp
from bot.telegram_app import reader
from bot.worker import work_some
from tests.bot.test_serve import Served, now, served, store_with_bells
from tests.bot.test_wire import SHEET
from tests.bot.wired import NOW, Wire, wired
from tests.counting import Count

pytestmark = pytest.mark.long
FARMS = 12


async def farms_with_a_night(wire: Wire, first: int = 1) -> None:
    """Farms that are to inject at an hour of their own."""
    for user in range(first, first + FARMS):
        await wire.says(user, SHEET)
        await wire.says(user, f"inject at {18 + user % 5}:{user % 6}0")
        await wire.says(user, "12:00")
        await wire.says(user, "ok")


# The messenger --------------------------------------------------------------------------------------------


def order(wire: Wire, die: random.Random, counts: Counter[str]) -> None:
    """One fault at a method, whatever else was ordered already."""
    method = die.choice(("getUpdates", "sendMessage", "sendMessage", "answerCallbackQuery"))
    kinds = ("429", "500", "html", "lost", "reset", "401", "404", "409", "slow", "page")
    kind = die.choice(kinds)
    counts[kind] += 1
    match kind:
        case "429":
            wire.api.fail(method, 429, retry_after=die.randint(1, 9))
        case "500":
            wire.api.fail(method, die.choice((500, 502, 503)))
        case "html":
            wire.api.fail(method, 502, html=True)
        case "page":
            wire.api.fail(method, 200, html=True)
        case "lost":
            wire.api.lose(method, "after")
        case "reset":
            wire.api.lose(method, "before")
        case "slow":
            wire.api.delay(method, 0.02)
        case _:
            wire.api.fail(method, int(kind))


async def test_faults_of_the_messenger_in_combination(tmp_path: Path, counted: Count) -> None:
    """A night of talk and bells in which most requests meet a fault."""
    seed, wanted = 20261204, 1200
    die, counts, told = random.Random(seed), Counter[str](), dict[int, list[str]]()
    async with wired(tmp_path) as wire:
        await farms_with_a_night(wire)
        before = len(wire.api.sent())
        while sum(counts.values()) < wanted:
            for _ in range(die.randint(1, 6)):
                order(wire, die, counts)
            user, kg = 100 + die.randrange(30), f"{1 + sum(map(len, told.values())) / 100:.2f}"
            told.setdefault(user, []).append(kg)
            wire.api.say(user, f"catfish f {kg}")
            pause = await wire.poller.ask(0)
            while work_some(wire.house, reader(wire.me)):
                pass
            wire.ring()
            await wire.send()
            wire.pass_time(max(pause, die.choice((1, 60, 300, 900))))
        for faults in wire.api.faults.values():
            faults.clear()
        for _ in range(40):
            await wire.turn()
            wire.ring()
            wire.pass_time(61)
        await wire.send()
        lost = [
            f"{user}: {kg}"
            for user, weights in told.items()
            for kg in weights
            if f" {float(kg):g} kg" not in "\n".join(str(each["text"]) for each in wire.api.sent(user))
        ]
        store = wire.house.store
        bells = store.file.value("SELECT count(*) FROM outbox WHERE reminder IS NOT NULL")
        unsent = store.file.value("SELECT count(*) FROM outbox WHERE state = 'unsent'")
        given_up = store.file.rows("SELECT alarm, tries, kind FROM outbox WHERE state = 'dead'")
        marked = store.file.value("SELECT count(*) FROM outbox WHERE message_id IS NOT NULL")
        doubled = len(wire.api.sent()) - marked
        answers_lost = sum(1 for each in wire.api.calls("sendMessage") if each.status == 0)
        counted(
            f"{', '.join(f'{kind} {times}' for kind, times in sorted(counts.items()))}; doubled each by one"
            f" of {answers_lost} broken answers; {len(given_up)} replies given up after {TRIES} tries",
            faults=sum(counts.values()),
            messages_in=sum(map(len, told.values())),
            rung=bells,
            lost=len(lost) + unsent,
            doubled=doubled,
            seed=seed,
        )
        assert lost == []
        assert unsent == 0
        assert all(not row["alarm"] and row["tries"] + 1 >= TRIES for row in given_up), [
            *map(tuple, given_up)
        ]
        assert bells > 50
        assert before > FARMS
        assert doubled <= counts["lost"]


# The clock ------------------------------------------------------------------------------------------------


async def test_a_clock_that_steps_by_hours_loses_and_doubles_no_bell(tmp_path: Path, counted: Count) -> None:
    """Nobody answers; the clock goes on by minutes, and now and then steps back or on by hours."""
    seed, die, steps = 20261205, random.Random(20261205), 0
    async with wired(tmp_path) as wire:
        await farms_with_a_night(wire)
        store, early = wire.house.store, 0
        while wire.clock.now() < NOW + timedelta(days=3):
            step = timedelta(minutes=die.randint(1, 20))
            if die.random() < 0.04:
                step, steps = timedelta(hours=die.choice((-5, -3, -1, 1, 3, 5))), steps + 1
            wire.clock.move_to(wire.clock.now() + step)
            due = {each.id for each in store.due(wire.clock.now(), 1000)}
            newest = store.file.value("SELECT coalesce(max(id), 0) FROM outbox")
            wire.ring()
            rows = store.file.rows("SELECT reminder_id FROM outbox WHERE id > ? AND reminder_id > 0", newest)
            early += sum(1 for row in rows if row["reminder_id"] not in due)
            wire.seconds.at += 3
            await wire.send()
        left = store.file.value(
            "SELECT count(*) FROM reminders WHERE next_at <= ?", stamp(wire.clock.now() - timedelta(hours=1))
        )
        rows = store.file.rows(
            "SELECT r.attempts, count(DISTINCT o.unique_key) AS rung, r.step, r.state FROM reminders r"
            " LEFT JOIN outbox o ON o.reminder_id = r.id AND o.unique_key NOT LIKE '%/part-%'"
            " WHERE r.attempts > 0 AND r.step NOT IN ('close', 'all-well') GROUP BY r.id"
        )
        wrong = [tuple(row) for row in rows if row["rung"] != row["attempts"]]
        sent = len(wire.api.sent()) - store.file.value(
            "SELECT count(*) FROM outbox WHERE message_id IS NOT NULL"
        )
        counted(
            clock_steps=steps,
            bells_due=len(rows),
            rung=sum(1 for row in rows if row["rung"]),
            attempts=sum(row["rung"] for row in rows),
            early=early,
            lost=left + len(wrong),
            doubled=sent,
            seed=seed,
        )
        assert (early, left, wrong, sent) == (0, 0, [], 0)
        assert steps > 10
        assert len(rows) > FARMS


async def test_two_days_down_bells_come_late_and_looks_once(tmp_path: Path, counted: Count) -> None:
    """The process was away over the night and the day after it."""
    async with wired(tmp_path) as wire:
        await wire.says(1, SHEET)
        await wire.says(1, "injected")
        await wire.says(1, "12:00")
        wire.pass_time(2 * 24 * 3600)
        before = len(wire.api.sent(1))
        rung = 0
        while ringing.ring_due(wire.house, 1):
            rung += 1
        await wire.send()
        said = [str(each["text"]) for each in wire.api.sent(1)[before:]]
        steps = wire.house.store.file.rows(
            "SELECT json_extract(reminder, '$.step') AS step FROM outbox WHERE reminder IS NOT NULL"
            " AND at >= ?",
            stamp(wire.clock.now()),
        )
        times = Counter(row["step"] for row in steps)
        late = sum(text.startswith("LATE") for text in said)
        counted(days_down=2, missed=rung, said=len(said), late=late, looks=times["check-females"])
        assert times["check-females"] == 1
        assert late == len(steps)


# The disk -------------------------------------------------------------------------------------------------


def test_torn_files_are_refused_or_whole(tmp_path: Path, counted: Count) -> None:
    """Bytes flipped in copies: a file is refused as torn, or its tables can be read to the end."""
    seed, die, counts = 20261206, random.Random(20261206), Counter[str]()
    good = store_with_bells(tmp_path / "good", 40)
    with closing(sqlite3.connect(good)) as file:
        file.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    whole = good.read_bytes()
    for number in range(300):
        bytes_, path = bytearray(whole), tmp_path / f"torn-{number}.db"
        at = die.randrange(len(bytes_))
        for place in range(at, min(at + die.choice((1, 16, 4096)), len(bytes_))):
            bytes_[place] ^= die.randint(1, 255)
        path.write_bytes(bytes_)
        try:
            with closing(Store.open(path)) as store:
                store.next_due(), store.due(now(), 10), store.events(1, 1)
            counts["opened"] += 1
        except StoreFault as fault:
            counts[fault.code] += 1
        except ValueError:
            counts["a text of it is no text any more"] += 1
        path.unlink()
    said = ", ".join(f"{what} {times}" for what, times in sorted(counts.items()))
    counted(said, torn_copies=300, seed=seed)
    assert counts["torn"] > 30
    assert set(counts) <= {"opened", "torn", "newer-schema", "a text of it is no text any more"}


async def test_a_torn_file_is_refused_and_a_good_copy_serves(tmp_path: Path, counted: Count) -> None:
    db = store_with_bells(tmp_path / "night", 3)
    good = tmp_path / "good.db"
    with closing(sqlite3.connect(db)) as file:
        file.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    shutil.copyfile(db, good)
    torn = bytearray(db.read_bytes())
    torn[4096 * 3 : 4096 * 9] = bytes(4096 * 6)
    db.write_bytes(torn)
    async with served(db) as serving:
        serving.args = ("-m", "bot", "serve")
        await serving.start()
        assert serving.process is not None
        _, said = await asyncio.wait_for(serving.process.communicate(), 60)
        lines = [line for line in said.decode().splitlines() if " bot." not in line]
        assert serving.process.returncode == 4
        assert len(lines) == 1, lines
        shutil.copyfile(good, db)
        for name in ("-wal", "-shm"):
            db.with_name(db.name + name).unlink(missing_ok=True)
        await serving.start()
        await serving.api.until(lambda: len(serving.api.sent()) == 3, 60)
        assert await serving.kill(signal.SIGTERM) == 0
    counted("a good copy put back", exit_of_the_torn_file=4, bells_due=3, rung=3, lost=0)


HOLDING = """
import sqlite3, sys, time
file = sqlite3.connect(sys.argv[1], isolation_level=None, timeout=30)
file.execute("BEGIN IMMEDIATE")
print("held", flush=True)
time.sleep(float(sys.argv[2]))
file.execute("ROLLBACK")
"""


async def test_a_database_held_by_another_program_is_waited_for(tmp_path: Path, counted: Count) -> None:
    """Twelve seconds: longer than a statement waits. Then a copy is made while messages come."""
    messages = 60
    async with served(store_with_bells(tmp_path / "night", 3)) as serving:
        api = serving.api
        serving.more["HATCHBELL_OPERATOR"] = "77"
        await serving.start()
        await api.until(lambda: len(api.sent()) == 3, 60)
        holder = await asyncio.create_subprocess_exec(
            *(sys.executable, "-c", HOLDING, str(serving.db), "12"), stdout=asyncio.subprocess.PIPE
        )
        assert holder.stdout is not None
        await holder.stdout.readline()
        _weights(serving, 0, messages // 2)
        await api.until(lambda: bool(api.sent(77)), 30)
        assert str(api.sent(77)[0]["text"]).startswith("Another program holds the database.")
        await holder.wait()
        await api.until(lambda: len(api.sent(77)) == 2, 30)
        _weights(serving, messages // 2, messages)
        with (
            closing(sqlite3.connect(serving.db)) as file,
            closing(sqlite3.connect(tmp_path / "copy")) as copy,
        ):
            file.backup(copy, pages=8, sleep=0.01)
        await serving.until(serving.is_idle)
        assert await serving.kill(signal.SIGTERM) == 0
        _check_weights(serving, messages)
    counted("held 12 s, operator told twice", messages_in=messages, lost=0, doubled=0)


async def test_a_full_disk_is_waited_out(tmp_path: Path, counted: Count) -> None:
    """A small file system of its own, filled by another file; then there is room again."""
    disk, messages = tmp_path / "disk", 80
    disk.mkdir()
    made = await asyncio.create_subprocess_exec("mount", "-t", "tmpfs", "-o", "size=6m", "tmpfs", str(disk))
    if await made.wait():
        pytest.skip("no right to mount a small file system here")
    try:
        shutil.move(store_with_bells(tmp_path / "night", 3), disk / "farm.db")
        async with served(disk / "farm.db") as serving:
            serving.more["HATCHBELL_OPERATOR"] = "77"
            await serving.start()
            await serving.api.until(lambda: len(serving.api.sent()) == 3, 60)
            filler = disk / "filler"
            with filler.open("wb", buffering=0) as file:
                try:
                    while True:
                        file.write(bytes(4096))
                except OSError:
                    pass
            for _ in range(200):
                serving.api.say(9, "x" * 4000)
            await serving.api.until(lambda: bool(serving.api.sent(77)), 60)
            assert str(serving.api.sent(77)[0]["text"]).startswith("The disk is full.")
            _weights(serving, 0, messages)
            await asyncio.sleep(6)
            filler.unlink()
            await serving.until(lambda: serving.is_idle() and len(serving.api.sent(77)) == 2)
            assert await serving.kill(signal.SIGTERM) == 0
            _check_weights(serving, messages)
            (row,) = serving.rows("SELECT count(*) AS n FROM inbox WHERE state = 'done' AND chat = '9'")
            assert row["n"] == 200
        counted("disk full, operator told twice", messages_in=200 + messages, lost=0, doubled=0)
    finally:
        await (await asyncio.create_subprocess_exec("umount", "-l", str(disk))).wait()


def _weights(serving: Served, first: int, end: int) -> None:
    for number in range(first, end):
        serving.api.say(300 + number, f"catfish f {1 + number / 100:.2f}")


def _check_weights(serving: Served, many: int) -> None:
    """Each was answered, once."""
    for number in range(many):
        texts = [str(each["text"]) for each in serving.api.sent(300 + number)]
        assert sum(f" {1 + number / 100:g} kg" in text for text in texts) == 1, texts


# Too many messages ----------------------------------------------------------------------------------------


async def test_a_thousand_messages_of_one_delay_no_bell_of_another(tmp_path: Path, counted: Count) -> None:
    """The real command with its own limits: each message on disk, one civil word, the bell in time."""
    async with served(store_with_bells(tmp_path / "night", 1, timedelta(hours=3))) as serving:
        due = now() + timedelta(seconds=12)
        with closing(sqlite3.connect(serving.db, isolation_level=None)) as file:
            file.execute(
                "UPDATE reminders SET due_at = ?1, next_at = ?1 WHERE step = 'get-ready'", (stamp(due),)
            )
        serving.args = ("-m", "bot", "serve")
        await serving.start()
        await serving.api.until(lambda: bool(serving.api.calls("getUpdates")), 60)
        for number in range(1000):
            serving.api.say(9, f"catfish f 2.4 m {1 + number / 500:.2f}")
        loop = asyncio.get_running_loop()
        left = loop.time() + (due - now()).total_seconds()
        await serving.api.until(lambda: bool(serving.api.sent(50_000)), 60)
        late = loop.time() - left
        await serving.until(serving.is_idle)
        rows = serving.rows("SELECT state, count(*) AS n FROM inbox WHERE chat = '9' GROUP BY state")
        kept = {row["state"]: row["n"] for row in rows}
        texts = [str(each["text"]) for each in serving.api.sent(9)]
        refused = sum(text.startswith("Too many messages at once.") for text in texts)
        assert await serving.kill(signal.SIGTERM) == 0
    counted(
        f"the bell of another farm {late:.1f} s after its time",
        messages_in=1000,
        on_disk=kept.get("done", 0),
        answers=len(texts),
        refusals=refused,
        lost=1000 - kept.get("done", 0),
    )
    assert kept == {"done": 1000}
    assert refused == 1
    assert len(texts) <= 22
    assert -0.5 < late < 5
