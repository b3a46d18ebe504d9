"""What one machine carries: `python -m tests.bench.load` measures it and writes deploy/CAPACITY.md.

`--small` measures a hundredth and only prints the figures. Progress goes to standard error. The words around
the figures stand in capacity.md beside this file. Never part of a check.
"""

from __future__ import annotations

import asyncio
import os
import platform
import random
import re
import sqlite3
import statistics
import sys
import tempfile
from collections.abc import Callable
from contextlib import closing
from datetime import datetime, timedelta
from pathlib import Path
from string import Template
from time import perf_counter

import telegram

from bot import inbox, outbox, ringing
from bot.clock import HandClock, SystemClock
from bot.house import House
from bot.messages import Incoming
from bot.store import Store, stamp
from bot.worker import work
from tests.bench import echo, stores
from tests.bot.botapi import TOKEN, BotApi
from tests.bot.test_seasons import Farmer

ROOT = Path(__file__).parents[2]
TEMPLATE, WRITTEN = Path(__file__).with_name("capacity.md"), ROOT / "deploy" / "CAPACITY.md"
RESIDENT = re.compile(r"VmRSS:\s+(\d+) kB")
MESSENGER = 30
"""Messages a second that a bot may send in all (core.telegram.org/bots/faq)."""
TALK = (
    "catfish f 2.4 m 1.9",
    "what next?",
    "dose?",
    "what was the last hatch rate?",
    "results",
    "F1 is 2.6",
    "why?",
    "injected",
    "water 26",
    "undo",
    "cancel",
)
Figures = dict[str, str]
now = SystemClock().now


def say(word: str) -> None:
    """Progress, for whoever waits."""
    print(f"{now():%H:%M:%S} {word}", file=sys.stderr, flush=True)


def whole(number: float) -> str:
    """A figure with its thousands apart."""
    return f"{number:,.0f}"


# Pending bells --------------------------------------------------------------------------------------------


async def pending(folder: Path, scale: int) -> Figures:
    """A file of very many bells under the real process: its start, its memory, when the first ones come."""
    farms, first = 10_000 // scale, 1000 // scale
    path = stores.night(folder / "pending", now() - timedelta(hours=2), whole=False)
    with stores.building(path) as file:
        file.change("UPDATE reminders SET due_at = due_at + ?1, next_at = next_at + ?1", 86_400_000_000)
        stores.more_farms(file, farms)
        (bells,) = file.rows("SELECT count(*) AS n FROM reminders WHERE next_at IS NOT NULL")
    async with BotApi(now=now, checks=False) as api:
        empty = await _resident(api, folder / "empty.db")
        due = now() + timedelta(seconds=25)
        with stores.building(path) as file:
            file.change(
                "UPDATE reminders SET due_at = ?1, next_at = ?1 WHERE id IN (SELECT min(id) FROM reminders"
                " WHERE step = 'check-females' AND farm <= ?2 GROUP BY farm)",
                *(stamp(due), first),
            )
        api.log.clear()
        api.messages.clear()
        loop = asyncio.get_running_loop()
        begun = loop.time()
        process = await _serve(api, path)
        try:
            await api.until(lambda: bool(api.calls("getUpdates")), 60)
            start = api.calls("getUpdates")[0].at - begun
            due_at = loop.time() + (due - now()).total_seconds()
            written = await _written(path, first, due_at)
            await api.until(lambda: len(api.calls("sendMessage")) >= first, 180)
            sent = [each.at - due_at for each in api.calls("sendMessage")[:first]]
            resident = _memory(process.pid)
        finally:
            process.kill()
            await process.wait()
    return {
        "bells": whole(bells["n"]),
        "farms": whole(farms),
        "file_mb": whole(path.stat().st_size / 1e6),
        "start_s": f"{start:.1f}",
        "first": whole(first),
        "written_s": f"{written:.1f}",
        "earliest_s": f"{min(sent):.2f}",
        "sent_s": f"{max(sent):.0f}",
        "a_second": f"{first / max(sent):.0f}",
        "resident_mb": f"{resident:.0f}",
        "empty_mb": f"{empty:.0f}",
    }


async def _serve(api: BotApi, db: Path) -> asyncio.subprocess.Process:
    env = {**os.environ, "HATCHBELL_TOKEN": TOKEN, "HATCHBELL_API_URL": api.url, "HATCHBELL_DB": str(db)}
    args = (sys.executable, "-m", "bot", "serve")
    return await asyncio.create_subprocess_exec(*args, env=env, cwd=ROOT, stderr=asyncio.subprocess.DEVNULL)


async def _resident(api: BotApi, db: Path) -> float:
    """What the process takes with an empty file, after its first words."""
    process = await _serve(api, db)
    try:
        api.say(9, "catfish f 2.4 m 1.9")
        await api.until(lambda: len(api.sent(9)) > 0, 60)
        return _memory(process.pid)
    finally:
        process.kill()
        await process.wait()


def _memory(pid: int) -> float:
    found = RESIDENT.search(Path(f"/proc/{pid}/status").read_text("ascii"))
    assert found is not None
    return int(found[1]) / 1024


async def _written(path: Path, first: int, due_at: float) -> float:
    """Seconds after they were due until all of the first bells are messages in the file."""
    with closing(sqlite3.connect(f"file:{path}?mode=ro", uri=True)) as file:
        async with asyncio.timeout(180):
            while True:
                (rung,) = file.execute("SELECT count(*) FROM reminders WHERE attempts = 1").fetchone()
                if rung >= first:
                    return asyncio.get_running_loop().time() - due_at
                await asyncio.sleep(0.05)


# Past events ----------------------------------------------------------------------------------------------


def past(folder: Path, scale: int) -> Figures:
    """The same talk on a file with few and with very many past events, of its own farm and of others."""
    few = _past_store(folder / "few", 20, 60)
    many = _past_store(folder / "many", 4_000 // scale, 60_000 // scale)
    rounds: dict[Path, list[float]] = {few: [], many: []}
    for turn in range(6):
        for path in (few, many):
            rounds[path].append(_talk(path, turn))
    less, more = (statistics.median(rounds[path][1:]) for path in (few, many))
    with closing(Store.open(many)) as store:
        events = store.file.value("SELECT count(*) FROM events")
        own = store.file.value("SELECT count(*) FROM events WHERE farm = 1")
    with closing(Store.open(few)) as store:
        small = store.file.value("SELECT count(*) FROM events")
    return {
        "events": whole(events),
        "own_events": whole(own),
        "few_events": whole(small),
        "events_mb": whole(many.stat().st_size / 1e6),
        "few_ms": f"{less:.1f}",
        "many_ms": f"{more:.1f}",
        "ratio": f"{more / less:.2f}",
        "goal": "reached" if more / less <= 1.3 else "MISSED",
    }


def _past_store(folder: Path, own_runs: int, farms: int) -> Path:
    path = stores.night(folder, datetime(2026, 3, 1, 12, tzinfo=now().tzinfo), whole=True)
    with stores.building(path) as file:
        stores.more_farms(file, max(farms - own_runs, 2), but=("outbox",))
        stores.more_runs(file, own_runs)
    with closing(Store.open(path)) as store:
        store.file.change("PRAGMA wal_checkpoint(TRUNCATE)")
    return path


def _talk(path: Path, turn: int) -> float:
    """Milliseconds to an answer, the middle of some talk of the first farm."""
    with closing(Store.open(path)) as store:
        clock = HandClock(datetime(2026, 6, 1, 12, tzinfo=now().tzinfo) + timedelta(hours=turn))
        house, taken = House(store, clock), []
        for number, text in enumerate(TALK):
            clock.move_to(clock.now() + timedelta(minutes=1))
            begun = perf_counter()
            _hear(house, f"b{turn}-{number}", text)
            taken.append((perf_counter() - begun) * 1000)
        return statistics.median(taken)


def _hear(house: House, key: str, text: str) -> None:
    who = str(stores.FIRST)
    incoming = Incoming(
        key=key, what="text", chat=who, private=True, user=who, lang="en", at=house.clock.now(),
        offset_minutes=0, name=who, text=text,
    )  # fmt: skip
    with house.store.transaction():
        inbox.receive(house.store, incoming)
    work(house)


# Commits, seasons, echo -----------------------------------------------------------------------------------


def commits(folder: Path, seconds: float = 4.0) -> Figures:
    """Durable commits a second, each one message taken in."""
    with closing(Store.open(folder / "commits.db")) as store:
        taken, begun = [0.0], perf_counter()
        while perf_counter() - begun < seconds:
            start = perf_counter()
            with store.transaction():
                inbox.keep(store, f"m:1:{len(taken)}", "1", "1", now(), {"text": "x" * 200})
            taken.append(perf_counter() - start)
    rate = (len(taken) - 1) / seconds
    return {
        "commits": whole(rate),
        "commit_ms": f"{statistics.median(taken) * 1000:.2f}",
        "commit_most_ms": f"{max(taken) * 1000:.0f}",
        "times": whole(rate / MESSENGER),
        "messenger": str(MESSENGER),
    }


def season(folder: Path, scale: int) -> Figures:
    """Farmers who answer, forget, cancel and take back, for a minute: simulated time."""
    wanted, rung, runs, spent, begun = 24_000 // scale, 0, 0, timedelta(0), perf_counter()
    while rung < wanted and perf_counter() - begun < 60:
        path = folder / f"season-{runs}.db"
        farmer = Farmer(path, random.Random(20_000 + runs), 90)
        first = farmer.house.clock.now()
        with closing(farmer.store):
            played = farmer.play()
        spent += farmer.house.clock.now() - first
        rung += sum(1 for message in played.sent if message.reminder is not None)
        runs += 1
        for each in folder.glob(f"{path.name}*"):
            each.unlink()
    took = perf_counter() - begun
    return {
        "season_bells": whole(rung),
        "season_runs": whole(runs),
        "season_days": whole(spent.days),
        "season_s": whole(took),
        "season_rate": whole(rung / took),
    }


def unanswered(folder: Path, scale: int) -> Figures:
    """A season's number of bells that nobody answers, rung one after the other on one file."""
    wanted = 24_000 // scale
    path = stores.night(folder / "silent", datetime(2026, 3, 1, 12, tzinfo=now().tzinfo), whole=False)
    with stores.building(path) as file:
        stores.more_farms(file, max(wanted // 24, 3))
    with closing(Store.open(path)) as store:
        house, rung, begun = (
            House(store, HandClock(datetime(2026, 3, 1, tzinfo=now().tzinfo))),
            0,
            perf_counter(),
        )
        while rung < wanted and (due := ringing.next_due(house)) is not None:
            house.clock.move_to(max(due, house.clock.now()))  # type: ignore[attr-defined]
            rung += ringing.ring_due(house)
            with store.transaction():
                for out in outbox.unsent(store, 1000):
                    outbox.mark_sent(store, out.id, house.clock.now())
    took = perf_counter() - begun
    return {"ring_bells": whole(rung), "ring_s": whole(took), "ring_rate": whole(rung / took)}


def echoed() -> Figures:
    """Ours beside a bare echo bot."""
    found = asyncio.run(echo.ratio(3))
    return {
        "ours_rate": whole(found.ours.a_second),
        "bare_rate": whole(found.bare.a_second),
        "rate_ratio": f"{found.ours.a_second / found.bare.a_second:.2f}",
        "ours_ms": f"{found.ours.reply_ms:.1f}",
        "bare_ms": f"{found.bare.reply_ms:.1f}",
    }


# The page -------------------------------------------------------------------------------------------------


def machine() -> Figures:
    """Where and when this was measured."""
    info = Path("/proc/cpuinfo")
    models = re.findall(r"model name\s*: (.*)", info.read_text("utf-8")) if info.exists() else []
    memory = os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES") / 2**30
    return {
        "date": f"{now():%Y-%m-%d}",
        "cores": str(os.cpu_count()),
        "processor": models[0] if models else platform.machine(),
        "memory_gb": f"{memory:.0f}",
        "system": platform.system() + " " + platform.release().split("-")[0],
        "python": platform.python_version(),
        "sqlite": sqlite3.sqlite_version,
        "library": telegram.__version__,
    }


def measured(folder: Path, scale: int) -> Figures:
    """All figures, one stage after the other."""
    figures = {**machine(), "load_before": f"{os.getloadavg()[0]:.1f}"}
    stages: tuple[tuple[str, Callable[[], Figures]], ...] = (
        ("commits", lambda: commits(folder)),
        ("past events", lambda: past(folder, scale)),
        ("pending bells", lambda: asyncio.run(pending(folder, scale))),
        ("bells rung", lambda: unanswered(folder, scale)),
        ("season", lambda: season(folder, scale)),
        ("echo", echoed),
    )
    begun, loads = perf_counter(), [os.getloadavg()[0]]
    for name, stage in stages:
        say(name)
        found = stage()
        say("  " + ", ".join(f"{key} {value}" for key, value in found.items()))
        figures |= found
        loads.append(os.getloadavg()[0])
    return {
        **figures,
        "load_after": f"{loads[-1]:.1f}",
        "load_most": f"{max(loads):.1f}",
        "minutes": f"{(perf_counter() - begun) / 60:.0f}",
    }


def main() -> None:
    small = "--small" in sys.argv
    with tempfile.TemporaryDirectory() as folder:
        figures = measured(Path(folder), 100 if small else 1)
    page = Template(TEMPLATE.read_text("utf-8")).substitute(figures)
    if not small:
        WRITTEN.write_text(page, "utf-8")
    print(page)


if __name__ == "__main__":
    main()
