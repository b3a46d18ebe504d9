"""What the service manager is told, on a socket of our own and by a clock moved by hand."""

from __future__ import annotations

import asyncio
import os
import socket
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from telegram.error import NetworkError, TelegramError, TimedOut

from bot import watchdog
from bot.clock import Dial
from bot.config import Settings
from bot.pace import unbounded
from bot.serve import Parts, bot_of, first_word
from bot.store import SqliteFile, Store, StoreFault
from bot.telegram_app import reader
from bot.watchdog import BELL, QUESTION, WRITE, Manager, Watch
from core.records import Bell, StepKey
from tests.bot.botapi import TOKEN
from tests.bot.wired import NOW, Wire, wired

DAY = 24 * 3600
MINUTE = 60.0


class Listener:
    """The other end: what was told, each datagram as a table."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.socket = socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM)
        self.socket.bind(str(path))
        self.socket.setblocking(False)

    def manager(self, patience: float = 120.0) -> Manager:
        return Manager(str(self.path), patience)

    def heard(self) -> list[dict[str, str]]:
        told = []
        with suppress(BlockingIOError):
            while True:
                lines = self.socket.recv(4096).decode().splitlines()
                told.append(dict(line.split("=", 1) for line in lines))
        return told


@pytest.fixture
def listener(tmp_path: Path) -> Iterator[Listener]:
    listening = Listener(tmp_path / "notify")
    yield listening
    listening.socket.close()


class Failing:
    """A bot whose every question ends so."""

    def __init__(self, fault: TelegramError) -> None:
        self.fault = fault

    async def do_api_request(self, *_: object, **__: object) -> object:
        raise self.fault


def watch_of(wire: Wire, listener: Listener) -> Watch:
    """A watch over that house, told of each question of its poller."""
    watch = Watch(wire.house, listener.manager(), wire.seconds)
    wire.poller.asked = watch.asked
    return watch


def hang_a_bell(store: Store, due: timedelta = timedelta()) -> int:
    """A farm of one person with one bell, due so long from the beginning; the farm."""
    ada = store.add_person("1", "ada", "en")
    farm = store.add_farm("ada", 0, ada.id).id
    store.add_bells(farm, [Bell(1, StepKey("temp", "A"), NOW + due)])
    return farm


# Well -----------------------------------------------------------------------------------------------------


async def test_all_three_fresh_is_well(tmp_path: Path, listener: Listener) -> None:
    async with wired(tmp_path) as wire:
        watch = watch_of(wire, listener)
        await wire.poller.ask(0)
        assert watch.beat()
        assert listener.heard() == [{"WATCHDOG": "1", "STATUS": "Well."}]
        assert wire.house.store.last_pulse("watch") == NOW


async def test_a_day_without_a_network_is_no_reason_to_end(tmp_path: Path, listener: Listener) -> None:
    async with wired(tmp_path) as wire:
        watch = watch_of(wire, listener)
        wire.api.lose("getUpdates", "before")
        await wire.poller.ask(0)
        wire.poller.bot = Failing(NetworkError("httpx.ConnectError"))  # type: ignore[assignment]
        for _ in range(DAY // 300):
            wire.pass_time(150)
            await wire.poller.ask(0)
            wire.pass_time(150)
            assert watch.beat()
            (heard,) = listener.heard()
            assert heard["WATCHDOG"] == "1"
    assert heard["STATUS"].startswith("No messages could be fetched for 1,440 min")


@pytest.mark.parametrize("status", [500, 502, 401, 404, 409, 429])
async def test_an_error_of_the_server_is_an_answer(tmp_path: Path, listener: Listener, status: int) -> None:
    async with wired(tmp_path) as wire:
        watch = watch_of(wire, listener)
        wire.pass_time(QUESTION + 1)
        wire.api.fail("getUpdates", status)
        await wire.poller.ask(0)
        assert watch.beat()


async def test_a_long_pause_that_the_server_asked_for_is_well(tmp_path: Path, listener: Listener) -> None:
    async with wired(tmp_path) as wire:
        watch = watch_of(wire, listener)
        watch.asked(3600.0, False)
        wire.pass_time(3600 + QUESTION)
        assert watch.beat()
        wire.pass_time(1)
        assert not watch.beat()


# Stuck ----------------------------------------------------------------------------------------------------


async def test_a_question_that_never_ends_is_not_well(tmp_path: Path, listener: Listener) -> None:
    async with wired(tmp_path) as wire:
        watch = watch_of(wire, listener)
        await wire.poller.ask(0)
        wire.pass_time(QUESTION)
        assert watch.beat()
        wire.pass_time(MINUTE)
        assert not watch.beat()
        well, stuck = listener.heard()
    assert "WATCHDOG" in well
    assert stuck == {"STATUS": "Stuck: the question for new messages has not come back for 4 min."}


async def test_a_question_that_never_went_out_is_not_well(tmp_path: Path, listener: Listener) -> None:
    async with wired(tmp_path) as wire:
        watch = watch_of(wire, listener)
        # telegram/request/_httpxrequest.py of python-telegram-bot 22 says it so
        wedged = TimedOut("Pool timeout: All connections in the connection pool are occupied.")
        wire.poller.bot = Failing(wedged)  # type: ignore[assignment]
        for _ in range(4):
            wire.pass_time(MINUTE)
            await wire.poller.ask(0)
        assert not watch.beat()


async def test_a_bell_that_nobody_rings_is_not_well(tmp_path: Path, listener: Listener) -> None:
    async with wired(tmp_path) as wire:
        watch = watch_of(wire, listener)
        hang_a_bell(wire.house.store)
        watch.beat()
        wire.pass_time(BELL)
        watch.asked(0, True)
        assert watch.beat()
        wire.pass_time(MINUTE)
        assert not watch.beat()
        assert listener.heard()[-1]["STATUS"].startswith("Stuck: the oldest bell has been due for 6 min")
        assert wire.ring() == 1
        assert watch.beat()


async def test_bells_of_two_days_ago_are_well_while_they_move_on(tmp_path: Path, listener: Listener) -> None:
    async with wired(tmp_path) as wire:
        store = wire.house.store
        farm = hang_a_bell(store, -timedelta(days=2))
        more = [Bell(1, StepKey("temp", "A", look=look), NOW - timedelta(days=1)) for look in range(1, 9)]
        store.add_bells(farm, more)
        watch = watch_of(wire, listener)
        for _ in range(4):
            assert watch.beat()
            store.end_bells(farm, [store.due(wire.clock.now(), 1)[0].id], "rung-out")
            wire.pass_time(BELL - 1)
            watch.asked(0, True)


async def test_a_step_of_the_clock_makes_nothing_old(tmp_path: Path, listener: Listener) -> None:
    async with wired(tmp_path) as wire:
        hang_a_bell(wire.house.store, timedelta(hours=3))
        watch = watch_of(wire, listener)
        for hours in (5, -9, 30):
            wire.clock.move_to(NOW + timedelta(hours=hours))
            assert watch.beat()


async def test_a_clock_that_is_not_believed_holds_bells_back_on_purpose(
    tmp_path: Path, listener: Listener
) -> None:
    async with wired(tmp_path) as wire:
        hang_a_bell(wire.house.store)
        dial = Dial(wire.clock, wire.seconds)
        dial.heard(NOW - timedelta(hours=2))
        wire.house = replace(wire.house, dial=dial)
        watch = watch_of(wire, listener)
        for _ in range(10):
            wire.pass_time(MINUTE)
            watch.asked(0, True)
            assert watch.beat()
        assert listener.heard()[-1]["STATUS"].startswith("The clock of this computer is wrong.")
        assert wire.house.store.last_pulse("watch") == NOW + timedelta(minutes=1), "no hour of such a clock"
        dial.heard(wire.clock.now())
        wire.pass_time(BELL + 1)
        watch.asked(0, True)
        assert not watch.beat()


class _Ill(SqliteFile):
    """A file that takes no pulse any more, and why."""

    why = ""

    def change(self, sql: str, *values: object) -> int:
        if self.why and "vitals" in sql:
            raise StoreFault(self.why, path=str(self.path), detail="")
        return super().change(sql, *values)


def ill_file(wire: Wire, folder: Path) -> _Ill:
    """The house on another file that can be made ill."""
    file = _Ill(folder / "ill.db")
    wire.house.store.file.close()
    wire.house.store.file = file
    return file


@pytest.mark.parametrize("why", ["full", "locked"])
async def test_what_is_waited_out_is_no_reason_to_end(tmp_path: Path, listener: Listener, why: str) -> None:
    """A new start would forget what was sent and could not be marked: twins for nothing."""
    async with wired(tmp_path) as wire:
        file = ill_file(wire, tmp_path)
        hang_a_bell(wire.house.store)
        watch = watch_of(wire, listener)
        file.why = why
        for _ in range(10):
            wire.pass_time(MINUTE)
            watch.asked(0, True)
            assert watch.beat()
        assert "I wait" in listener.heard()[-1]["STATUS"]


async def test_a_file_that_takes_nothing_is_not_well(tmp_path: Path, listener: Listener) -> None:
    async with wired(tmp_path) as wire:
        file = ill_file(wire, tmp_path)
        watch = watch_of(wire, listener)
        watch.beat()
        file.why = "unreadable"
        wire.pass_time(WRITE)
        watch.asked(0, True)
        assert watch.beat()
        wire.pass_time(MINUTE)
        assert not watch.beat()
        assert listener.heard()[-1]["STATUS"].startswith("The database has taken nothing for 4 min")
        file.why = ""
        assert watch.beat()


# Up, and how it is told ------------------------------------------------------------------------------------


async def test_up_is_told_once_the_messenger_answered_and_stopping_at_the_end(
    tmp_path: Path, listener: Listener
) -> None:
    async with wired(tmp_path) as wire:
        ended = asyncio.Event()
        parts = Parts(wire.house, wire.bot, reader(wire.me), unbounded(), listener.manager())
        running = asyncio.ensure_future(parts.run(ended))
        while not wire.api.calls("setMyCommands"):
            await asyncio.sleep(0)
        ended.set()
        await running
        first, second, *_ = listener.heard()
    assert first == {"READY": "1", "STATUS": "Up."}
    assert second == {"WATCHDOG": "1", "STATUS": "Well."}


async def test_a_start_without_a_network_asks_for_more_time(tmp_path: Path, listener: Listener) -> None:
    async with wired(tmp_path) as wire:
        ended = asyncio.Event()
        wire.api.fail("getMe", 502)
        bot = bot_of(Settings(TOKEN, tmp_path / "farm.db", None, None, wire.api.url))
        waiting = asyncio.ensure_future(first_word(bot, listener.manager(), ended))
        while not (heard := listener.heard()):
            await asyncio.sleep(0)
        ended.set()
        assert await waiting is None
        await bot.shutdown()
    (told,) = heard
    assert told["EXTEND_TIMEOUT_USEC"] == "300000000"
    assert "READY" not in told


def test_the_manager_as_systemd_tells_of_it() -> None:
    told = {"NOTIFY_SOCKET": "/run/systemd/notify", "WATCHDOG_USEC": "120000000"}
    assert Manager.of(told) == Manager("/run/systemd/notify", 120.0)
    assert Manager.of({**told, "WATCHDOG_PID": str(os.getpid())}).patience == 120.0
    assert Manager.of({**told, "WATCHDOG_PID": "1"}).patience == 0.0
    assert Manager.of({}) == Manager()
    assert Manager.of({"NOTIFY_SOCKET": "vsock:2:1234"}) == Manager()


def test_a_look_comes_several_times_within_its_patience() -> None:
    assert Manager("/x", 120.0).every == 30.0
    assert Manager("/x", 8.0).every == 2.0
    assert Manager().every == watchdog.BEAT


def test_an_abstract_socket_is_told_too(tmp_path: Path) -> None:
    name = f"hatchbell-test-{os.getpid()}"
    with socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM) as listening:
        listening.bind(f"\0{name}")
        Manager(f"@{name}").say(STATUS="two\nlines")
        assert listening.recv(100) == b"STATUS=two lines"


def test_a_manager_that_is_gone_is_no_reason_to_end(tmp_path: Path) -> None:
    Manager(str(tmp_path / "nobody")).say(WATCHDOG=1)
