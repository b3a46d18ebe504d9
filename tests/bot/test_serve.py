"""`hatchbell serve` as a process: real HTTP, real file, and kills. Few starts, and each does all it can."""

from __future__ import annotations

import asyncio
import json
import os
import random
import re
import shutil
import signal
import sqlite3
import sys
from collections import Counter
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager, closing
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any, TypeVar

import pytest

from bot.alone import alone
from bot.clock import SystemClock
from bot.store import StoreFault
from tests.bot.botapi import TOKEN, BotApi, place
from tests.bot.playing import NIGHTS, ROOT, played, played_until_fault, script_of
from tests.counting import Count

PATIENCE = 60.0
GLANCE = 0.01
Running = TypeVar("Running", bound="Served")
IN_A_HURRY = (
    "import os, sys; from pathlib import Path; from bot import config, logs, serve;"
    " from bot.doors import Doors; from bot.pace import unbounded; os.umask(0o077); logs.set_up('DEBUG');"
    " serve.serve(config.settings(os.environ), pace=unbounded(), doors=Doors(None, 10**6, 10**6, 99, 99))"
)


def now() -> datetime:
    return SystemClock().now()


@dataclass
class Served:
    """A running `serve`, its file and its server; `args` for python, `more` environment."""

    api: BotApi
    db: Path
    process: asyncio.subprocess.Process | None = None
    starts: int = 0
    said: bytes = b""
    args: tuple[str, ...] = ("-c", IN_A_HURRY)
    more: dict[str, str] = field(default_factory=dict)

    async def start(self) -> None:
        """Begin, with the sender's buckets open: by an argument that nobody can give from outside."""
        env = {
            **os.environ,
            "HATCHBELL_TOKEN": TOKEN,
            "HATCHBELL_DB": str(self.db),
            "HATCHBELL_API_URL": self.api.url,
            **self.more,
        }
        self.process = await asyncio.create_subprocess_exec(
            *(sys.executable, *self.args), env=env, cwd=ROOT, stderr=asyncio.subprocess.PIPE
        )
        self.starts += 1

    async def kill(self, how: int = signal.SIGKILL) -> int:
        """End it, at once or politely; its exit status."""
        assert self.process is not None
        self.process.send_signal(how)
        _, err = await asyncio.wait_for(self.process.communicate(), PATIENCE)
        self.said += err
        return self.process.returncode or 0

    def rows(self, sql: str) -> list[sqlite3.Row]:
        """What the file holds, read from outside."""
        with closing(sqlite3.connect(f"file:{self.db}?mode=ro", uri=True, timeout=10)) as file:
            file.row_factory = sqlite3.Row
            return file.execute(sql).fetchall()

    def is_idle(self) -> bool:
        """Whether everything that came in was answered, and everything that goes out has gone."""
        (left,) = self.rows(
            "SELECT (SELECT count(*) FROM inbox WHERE state = 'waiting')"
            " + (SELECT count(*) FROM outbox WHERE state = 'unsent') AS n"
        )
        return bool(left["n"] == 0 and not self.api.updates)

    async def until(self, true: Callable[[], bool]) -> None:
        """Look again and again until it holds: another process does it, no clock of ours."""
        async with asyncio.timeout(PATIENCE):
            while not true():
                await asyncio.sleep(GLANCE)


@asynccontextmanager
async def served(db: Path, kind: type[Running] = Served) -> AsyncIterator[Running]:  # type: ignore[assignment]
    async with BotApi(now=now, checks=False) as api:  # requests of this form are checked in test_wire
        serving = kind(api, db)
        try:
            yield serving
        finally:
            if serving.process is not None and serving.process.returncode is None:
                await serving.kill()
        assert api.breaches == []
        assert TOKEN.encode() not in serving.said


# The same talk as in a script -----------------------------------------------------------------------------

ANSWERS = ("dose-sheet", "ask", "corrected", "refused", "inject-plan", "given", "noted", "help", "bath")
CLOCKS = re.compile(r"\b(?:\w{3} )?\d{1,2}:\d\d\b|\b[A-Z][a-z]{2} \d{1,2}\b")
TIMES = re.compile(r"\d{4}-\d\d-\d\d(T[\d:.+-]+)?")


def timeless(value: Any) -> Any:
    """Without hours and dates: those of another night differ."""
    if isinstance(value, dict):
        return {key: timeless(each) for key, each in value.items() if key != "farm"}
    if isinstance(value, list):
        return [timeless(each) for each in value]
    return TIMES.sub("T", CLOCKS.sub("HH:MM", value)) if isinstance(value, str) else value


def talk_of(name: str, first: int) -> list[dict[str, Any]]:
    """The words and presses of a script, all said in one minute, by people with numbers for names."""
    script = [line for line in script_of(NIGHTS / f"{name}.jsonl") if {"text", "tap"} & line.keys()]
    names = list(dict.fromkeys(line["user"] for line in script))
    numbers = {who: str(first + place) for place, who in enumerate(names)}
    groups = dict.fromkeys(line["chat"] for line in script if line.get("chat", line["user"]) not in names)
    numbers |= {chat: f"-{first + place}" for place, chat in enumerate(groups)}
    return [
        {
            "user": numbers[line["user"]],
            "chat": numbers[line.get("chat", line["user"])],
            **{key: line[key] for key in ("text", "tap", "edit") if key in line},
        }
        for line in script
    ]


SCRIPTS = ("catfish-stripped", "corrections", "group")
MORE_SCRIPTS = ("carp-nest", "questions", "odd-session", "dead-none-watery")


def hello_of(line: dict[str, Any], at: datetime) -> dict[str, Any]:
    """The first words of a chat, from which it has its clock."""
    return {"at": at.isoformat(), "user": line["user"], "chat": line["chat"], "text": "help"}


def play_at_once(lines: list[dict[str, Any]], folder: Path, at: datetime) -> list[dict[str, Any]]:
    """What a script answers to all of it, said at one moment. Presses on bells that did not ring fall out."""
    while True:
        folder.mkdir()
        said = [hello_of(lines[0], at), *({"at": at.isoformat(), **line} for line in lines)]
        said = [{**line, "edit": line["edit"] + 1} if "edit" in line else line for line in said]
        (hello, *shown), fault = played_until_fault(said, folder)
        shutil.rmtree(folder)
        assert hello["kind"] == "help"
        if fault is None:
            return shown
        assert fault.params["fault"] == "no-such-button"
        del lines[fault.params["line"] - 2]


async def said_over_the_wire(serving: Served, line: dict[str, Any], told: dict[str, list[int]]) -> None:
    """One line of a script, and all that follows from it."""
    api, user, chat = serving.api, int(line["user"]), int(line["chat"])
    if "tap" in line:
        _tap(serving, user, chat, line["tap"])
    elif "edit" in line:
        api.edit(user, told[line["user"]][line["edit"] - 1], line["text"], chat)
    else:
        told.setdefault(line["user"], []).append(api.say(user, line["text"], chat))
    await serving.until(serving.is_idle)


def _tap(serving: Served, user: int, chat: int, action: str) -> None:
    """The newest message that had this action, spent or not."""
    rows = serving.rows(f"SELECT id, buttons, message_id FROM outbox WHERE chat = '{chat}' ORDER BY id DESC")
    for row in rows:
        actions = [button["action"] for button in json.loads(row["buttons"])]
        if action in actions:
            shown = {"message_id": int(row["message_id"] or 1), "chat": place(chat)}
            shown["date"] = int(now().timestamp())
            serving.api.press_data(user, shown, f"{row['id']}.{actions.index(action)}")
            return
    raise AssertionError(action)


@pytest.mark.parametrize(
    "scripts", [SCRIPTS, pytest.param(MORE_SCRIPTS, marks=pytest.mark.long)], ids=("few", "more")
)
async def test_the_wire_says_what_a_script_says(scripts: tuple[str, ...], tmp_path: Path) -> None:
    """Sheets, questions, corrections and refusals of the nights: kinds, facts and texts, hours aside."""
    at = now().replace(microsecond=0)
    db = tmp_path / "farm.db"
    wanted: dict[str, list[Any]] = {}
    talks = {name: talk_of(name, 1000 * number) for number, name in enumerate(scripts, 1)}
    for name, lines in talks.items():
        shown = play_at_once(lines, tmp_path / name, at)
        wanted[name] = [timeless([line["kind"], line["facts"], line["text"]]) for line in shown]
    (tmp_path / "hello").mkdir()
    played([hello_of(lines[0], at) for lines in talks.values()], tmp_path / "hello")
    (tmp_path / "hello" / "store.db").rename(db)
    async with served(db) as serving:
        await serving.start()
        for name, lines in talks.items():
            told: dict[str, list[int]] = {}
            begun = serving.rows("SELECT coalesce(max(id), 0) AS n FROM outbox")[0]["n"]
            for line in lines:
                await said_over_the_wire(serving, line, told)
            rows = serving.rows(f"SELECT * FROM outbox WHERE id > {begun} ORDER BY id")
            got = [timeless([row["kind"], json.loads(row["facts"]), row["text"]]) for row in rows]
            answers = [each for each in got if each[0] in ANSWERS]
            assert answers == [each for each in wanted[name] if each[0] in ANSWERS], name
            assert len(answers) > 3, name
        assert await serving.kill(signal.SIGTERM) == 0


def test_one_process_serves_a_database(tmp_path: Path) -> None:
    """The second one is told so; the lock is gone with its holder, however that ended."""
    with alone(tmp_path / "farm.db"):
        with pytest.raises(StoreFault) as fault, alone(tmp_path / "farm.db"):
            pass
        assert fault.value.code == "locked"
    with alone(tmp_path / "farm.db"):
        pass


# Kills ----------------------------------------------------------------------------------------------------

MESSAGES, BELLS = 300, 40


@dataclass
class Tally:
    """What a killed night came to."""

    kills: int = 0
    doubled: int = 0
    lost: list[str] = field(default_factory=list)


def store_with_bells(folder: Path, bells: int, ahead: timedelta = timedelta(0)) -> Path:
    """A store in which so many farms have a bell that is due now, or later, written by a script."""
    begun = now() - timedelta(hours=3)
    at, soon = begun.isoformat(), (now() + ahead + timedelta(minutes=30)).strftime("%H:%M")
    lines: list[dict[str, Any]] = []
    for farm in range(bells):
        who = {"at": at, "user": str(50_000 + farm), "chat": str(50_000 + farm)}
        lines += [
            {**who, "text": "catfish f 2.4 m 1.9"},
            {**who, "text": f"inject at {soon}"},
            {**who, "tap": "yes"},
        ]
    folder.mkdir()
    played(lines, folder)
    return folder / "store.db"


async def killed_night(folder: Path, kills: int, seed: int, messages: int = MESSAGES) -> Tally:
    """Messages and bells pass while the process is killed again and again, half the time inside a request."""
    chance = random.Random(seed)
    tally = Tally()
    async with served(store_with_bells(folder, BELLS)) as serving:
        api = serving.api
        said: dict[int, list[str]] = {}
        for number in range(messages):
            user = 70_000 + number % 60
            kg = f"{1 + number / 100:.2f}"
            said.setdefault(user, []).append(kg)
            api.say(user, f"catfish f {kg}")
        await serving.start()
        for turn in range(kills):
            goal = len(api.log) + chance.randint(5, 25)
            if turn % 2:
                api.hold("sendMessage")
                await api.until(lambda: len(api.calls("sendMessage")) > 0 and len(api.sent()) >= 0, PATIENCE)
                sent = len(api.sent())
                await serving.until(lambda sent=sent: len(api.sent()) > sent or serving.is_idle())  # type: ignore[misc]
            else:
                await serving.until(lambda goal=goal: len(api.log) >= goal or serving.is_idle())  # type: ignore[misc]
            await serving.kill()
            api.release()
            tally.kills += 1
            await serving.start()
        await serving.until(serving.is_idle)
        await serving.kill(signal.SIGTERM)
        _judge(serving, said, tally)
    return tally


def _judge(serving: Served, said: dict[int, list[str]], tally: Tally) -> None:
    """By the server's log and the file alone."""
    api = serving.api
    for user, weights in said.items():
        texts = "\n".join(str(each["text"]) for each in api.sent(user))
        tally.lost += [f"{user}: {kg}" for kg in weights if f" {float(kg):g} kg" not in texts]
    rung = serving.rows("SELECT chat, count(*) AS n FROM outbox WHERE reminder IS NOT NULL GROUP BY chat")
    heard = Counter(str(each["chat"]["id"]) for each in api.sent() if "Get ready:" in str(each["text"]))
    tally.lost += [f"bell of {farm}" for farm in range(50_000, 50_000 + BELLS) if heard[str(farm)] < 1]
    assert len(rung) == BELLS
    rows = serving.rows("SELECT state, count(*) AS n FROM inbox WHERE key GLOB 'm:*' GROUP BY state")
    assert {row["state"]: row["n"] for row in rows} == {"done": sum(map(len, said.values()))}
    sent = serving.rows("SELECT count(*) AS n FROM outbox WHERE state = 'sent' AND message_id IS NOT NULL")[
        0
    ]["n"]
    tally.doubled = len(api.sent()) - sent


async def test_a_kill_loses_nothing(tmp_path: Path) -> None:
    tally = await killed_night(tmp_path / "night", 1, 20261125, messages=60)
    assert tally.lost == []
    assert tally.doubled <= 8 * tally.kills  # as many as can be in the air at once


@pytest.mark.long
async def test_twenty_kills_lose_nothing(tmp_path: Path, counted: Count) -> None:
    seed = 20261126
    tally = await killed_night(tmp_path / "night", 20, seed)
    lost, doubled = len(tally.lost), tally.doubled
    counted(kills=tally.kills, messages_in=MESSAGES, bells_due=BELLS, lost=lost, doubled=doubled, seed=seed)
    assert tally.lost == []
    assert tally.doubled <= 8 * tally.kills
