"""Three hundred kills over a night of messages and bells, at places of the process's own choosing.

The process counts its own steps and ends itself by SIGKILL at the one it was told: any statement of the file,
one of a bell that rings, the moment before an update is committed, the moment after the messenger has taken a
message. What came of it is judged from outside, by the server's log and the file.
"""

from __future__ import annotations

import asyncio
import json
import os
import random
import signal
import sqlite3
import sys
from asyncio.subprocess import PIPE
from collections import Counter
from contextlib import closing
from dataclasses import dataclass, field
from datetime import timedelta
from pathlib import Path

import pytest

from bot.store import stamp
from tests.bot.botapi import TOKEN
from tests.bot.playing import ROOT
from tests.bot.test_serve import PATIENCE, Served, now, served, store_with_bells
from tests.counting import Count

PLACES = ("any statement", "in a bell", "fetched, not committed", "sent, not marked")
MOST = {"any statement": 70, "in a bell": 25, "fetched, not committed": 1, "sent, not marked": 3}
DYING = """
import json, os, signal, sys
from bot import config, knowledge, logs, ringing, serve
from bot.doors import Doors
from bot.pace import unbounded
from bot.sender import Sender
from bot.store import SqliteFile
from bot.telegram_app import Poller
place, left, depth = "", 0, 0
def step(where):
    global left
    if where == place:
        left -= 1
        if left == 0:
            os.kill(os.getpid(), signal.SIGKILL)
def counted(name):
    inner = getattr(SqliteFile, name)
    def outer(*args, **more):
        step("any statement")
        if depth:
            step("in a bell")
        return inner(*args, **more)
    setattr(SqliteFile, name, outer)
ring, keep, sent = ringing._ring, Poller._keep, Sender._sent
def in_bell(*args):
    global depth
    depth += 1
    try:
        return ring(*args)
    finally:
        depth -= 1
def before_commit(self, updates):
    if updates:
        step("fetched, not committed")
    return keep(self, updates)
async def after_sent(self, out):
    found = await sent(self, out)
    step("sent, not marked")
    return found
ringing._ring, Poller._keep, Sender._sent = in_bell, before_commit, after_sent
counted("change")
counted("rows")
os.umask(0o077)
logs.set_up("DEBUG")
knowledge.lexicon(), knowledge.cards(), knowledge.wording()
for line in sys.stdin:
    child = os.fork()
    if child == 0:
        place, left = json.loads(line)
        serve.serve(config.settings(os.environ), pace=unbounded(), doors=Doors(None, 10**6, 10**6, 99, 99))
        os._exit(0)
    print(child, flush=True)
    print(os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]), flush=True)
"""
"""A process that has read words and cards forks one that serves for each line: a start takes no second."""


@dataclass
class Forked(Served):
    """`serve` in a process of its own, forked off one that is warm."""

    pid: int = 0

    async def warm(self) -> None:
        """The process that forks the others."""
        env = {
            **os.environ,
            "HATCHBELL_TOKEN": TOKEN,
            "HATCHBELL_DB": str(self.db),
            "HATCHBELL_API_URL": self.api.url,
        }
        with self.db.with_name("log").open("wb") as log:
            self.process = await asyncio.create_subprocess_exec(
                *(sys.executable, "-c", DYING), env=env, cwd=ROOT, stdin=PIPE, stdout=PIPE, stderr=log
            )

    async def start(self) -> None:
        """One that never ends itself."""
        await self.start_to_die("nowhere", 1)

    async def start_to_die(self, place: str, step: int) -> None:
        """One that ends itself at so many steps of that place."""
        assert self.process is not None and self.process.stdin is not None
        self.process.stdin.write(json.dumps([place, step]).encode() + b"\n")
        self.pid = await self._line()
        self.starts += 1

    async def ended(self) -> int:
        """Its exit status."""
        return await self._line()

    async def kill(self, how: int = signal.SIGKILL) -> int:
        if self.pid:
            os.kill(self.pid, how)
            self.pid = 0
            return await self.ended()
        assert self.process is not None
        self.process.kill()
        return await self.process.wait()

    async def _line(self) -> int:
        assert self.process is not None and self.process.stdout is not None
        return int(await asyncio.wait_for(self.process.stdout.readline(), PATIENCE))


@dataclass
class Killed:
    """What a killed night came to."""

    kills: Counter[str] = field(default_factory=Counter)
    messages: int = 0
    bells: int = 0
    rung: int = 0
    doubled: int = 0
    wrong: list[str] = field(default_factory=list)


class Night:
    """People who go on writing while the process dies again and again."""

    def __init__(self, serving: Forked, die: random.Random, bells: int) -> None:
        self.serving, self.die, self.bells = serving, die, bells
        self.passed = 0
        self.told: dict[int, list[str]] = {}
        self.known: set[int] = set()
        self.came = Killed(bells=bells)

    def say(self, many: int) -> None:
        """Some people tell a weight of their own."""
        for _ in range(many):
            number = self.came.messages
            user, kg = 70_000 + number % 60, f"{1 + number // 60 / 100:.2f}"
            self.told.setdefault(user, []).append(kg)
            self.serving.api.say(user, f"catfish f {kg}")
            self.came.messages += 1

    def pass_time(self, many: int) -> None:
        """So many farms' bells are due now: the process is not there, and time stands for what it was."""
        self.passed = min(self.passed + many, self.bells)
        with closing(sqlite3.connect(self.serving.db, isolation_level=None)) as file:
            file.execute(
                "UPDATE reminders SET due_at = ?1, next_at = ?1 WHERE state = 'waiting' AND farm <= ?2"
                " AND step = 'get-ready' AND next_at > ?1",
                (stamp(now()), self.passed),
            )

    async def once(self) -> None:
        """A start, some talk, and the end of the process where it was told to end, or when it is idle."""
        place = self.die.choice(PLACES)
        self.say(self.die.randint(1, 6))
        self.pass_time(self.die.choice((0, 1, 1, 1)) if place != "in a bell" else 1)
        await self.serving.start_to_die(place, self.die.randint(1, MOST[place]))
        begun = len(self.serving.api.log)
        dead = asyncio.ensure_future(self.serving.ended())
        async with asyncio.timeout(PATIENCE):
            while not dead.done() and not (len(self.serving.api.log) > begun and self._is_quiet()):
                await asyncio.wait({dead}, timeout=0.02)
        await asyncio.wait({dead}, timeout=0.05)
        if not dead.done():
            place = "idle"
            os.kill(self.serving.pid, signal.SIGKILL)
        assert await dead == -signal.SIGKILL
        self.serving.pid = 0
        self.came.kills[place] += 1
        self._look()

    def _is_quiet(self) -> bool:
        return not self.serving.api.updates and self.serving.is_idle()

    def _look(self) -> None:
        """Messages that people have and the file does not know: by this kill at most one a chat."""
        marked = {int(row["message_id"]) for row in self._marks()}
        loose = {m["message_id"]: m["chat"]["id"] for m in self.serving.api.sent()}
        new = {number: chat for number, chat in loose.items() if number not in marked | self.known}
        twice = [chat for chat, times in Counter(new.values()).items() if times > 1]
        if twice:
            self.came.wrong.append(f"twice in chat {twice} by one kill")
        self.known |= set(new)

    def _marks(self) -> list[dict[str, str]]:
        return self.serving.rows("SELECT message_id FROM outbox WHERE message_id IS NOT NULL")  # type: ignore[return-value]

    def has_rung(self) -> bool:
        """Whether every bell is a message by now."""
        (row,) = self.serving.rows("SELECT count(DISTINCT chat) AS n FROM outbox WHERE reminder IS NOT NULL")
        return bool(row["n"] == self.bells)

    def judge(self) -> Killed:
        """By the server's log and the file alone."""
        api, came, before = self.serving.api, self.came, len(self.known)
        self._look()
        if len(self.known) > before:
            came.wrong.append(f"{len(self.known) - before} doubled without a kill")
        came.doubled = len(self.known)
        for user, weights in self.told.items():
            texts = "\n".join(str(each["text"]) for each in api.sent(user))
            came.wrong += [f"{user}: {kg} lost" for kg in weights if f" {float(kg):g} kg" not in texts]
        heard = Counter(each["chat"]["id"] for each in api.sent() if "Get ready:" in str(each["text"]))
        came.wrong += [f"bell of {50_000 + n} lost" for n in range(self.bells) if not heard[50_000 + n]]
        came.rung = len(heard)
        keys = self.serving.rows(
            "SELECT count(*) AS n FROM outbox WHERE unique_key IS NOT NULL GROUP BY farm, unique_key"
            " HAVING n > 1"
        )
        came.wrong += [f"a bell written {row['n']} times" for row in keys]
        rows = self.serving.rows(
            "SELECT state, count(*) AS n FROM inbox WHERE key GLOB 'm:7*' GROUP BY state"
        )
        if {row["state"]: row["n"] for row in rows} != {"done": came.messages}:
            came.wrong.append(f"inbox: {[tuple(row) for row in rows]}")
        return came


async def killed_night(folder: Path, kills: int, bells: int, seed: int) -> Killed:
    """So many kills, then one start that ends politely."""
    db = store_with_bells(folder, bells, timedelta(hours=11))
    async with served(db, Forked) as serving:
        await serving.warm()
        night = Night(serving, random.Random(seed), bells)
        for _ in range(kills):
            await night.once()
        night.pass_time(bells)
        await serving.start()
        await serving.until(lambda: serving.is_idle() and night.has_rung())
        assert await serving.kill(signal.SIGTERM) == 0
        assert TOKEN not in db.with_name("log").read_text("utf-8")
        return night.judge()


@pytest.mark.long
async def test_three_hundred_kills_lose_nothing(tmp_path: Path, counted: Count) -> None:
    seed, kills = 20261203, int(os.environ.get("KILLS", "300"))
    came = await killed_night(tmp_path / "night", kills, max(kills // 2, 10), seed)
    places = ", ".join(f"{place} {came.kills[place]}" for place in (*PLACES, "idle"))
    counted(
        f"{places}; doubled each by a kill, one a chat",
        kills=sum(came.kills.values()),
        messages_in=came.messages,
        bells_due=came.bells,
        rung=came.rung,
        lost=len(came.wrong),
        doubled=came.doubled,
        seed=seed,
    )
    assert came.wrong == []
    assert min(came.kills[place] for place in PLACES) > kills // 20
