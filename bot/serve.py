"""`hatchbell serve`: the real parts joined. One process, one loop, one connection to the file."""

from __future__ import annotations

import asyncio
import logging
import os
import signal
import warnings
from collections.abc import Callable, Coroutine
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from email.utils import parsedate_to_datetime
from typing import TYPE_CHECKING, Any

from telegram import Bot, BotCommand, User
from telegram.error import InvalidToken, TelegramError
from telegram.warnings import PTBUserWarning

from bot import inbox, knowledge, outbox, restore, ringing, service
from bot.alone import alone
from bot.answers import Answers
from bot.clock import Dial, SystemClock
from bot.config import Settings, TokenFault
from bot.doors import Doors
from bot.hours import believed
from bot.house import House
from bot.pace import Pace, backoff
from bot.patience import Patience
from bot.recording import opened
from bot.scheduler import Alarm
from bot.sender import Sender
from bot.telegram_app import Poller, fetch_photos, reader
from bot.watchdog import NOBODY, Manager, Watch
from bot.worker import Read, work_some
from core.reading.talk import COMMANDS

if TYPE_CHECKING:
    import httpx

INBOX_KEPT, SENT_KEPT = timedelta(days=3), timedelta(days=30)
LONG_AWAY = timedelta(hours=20)
GRACE = 20.0
_log = logging.getLogger(__name__)


def serve(
    settings: Settings,
    *,
    manager: Manager = NOBODY,
    pace: Pace | None = None,
    doors: Doors | None = None,
) -> None:
    """Serve until a signal ends it. Raises `TokenFault`, `StoreFault`. `pace` and `doors` are for tests."""
    with alone(settings.db):
        store = opened(settings.db)
        try:
            house = House(store, SystemClock(), doors or Doors(settings.allow), settings.operator or "")
            asyncio.run(_run(house, settings, manager, pace or Pace()))
        finally:
            store.close()


def bot_of(settings: Settings, heard: Callable[[datetime], None] = lambda said: None) -> Bot:
    """The messenger's own library: one pool to ask with, one to speak with. `heard` is told the hour that an
    answer carries."""

    async def note(answer: httpx.Response) -> None:
        with suppress(KeyError, ValueError):
            heard(parsedate_to_datetime(answer.headers["date"]))

    more = {"event_hooks": {"response": [note]}}
    os.environ.setdefault("PTB_TIMEDELTA", "1")  # spans as spans, as the library will give them
    warnings.filterwarnings("ignore", "Please use 'Bot.getUpdates'", PTBUserWarning)  # we want them raw
    return Bot(
        settings.token,
        base_url=f"{settings.api_url}/bot",
        base_file_url=f"{settings.api_url}/file/bot",
        request=Answers(16, read_timeout=15, connect_timeout=10, httpx_kwargs=more),
        get_updates_request=Answers(4, connect_timeout=10, httpx_kwargs=more),
    )


async def _run(house: House, settings: Settings, manager: Manager, pace: Pace) -> None:
    loop, ended = asyncio.get_running_loop(), asyncio.Event()
    for name in (signal.SIGTERM, signal.SIGINT):
        loop.add_signal_handler(name, ended.set)
    dial = Dial(house.clock)
    bot = bot_of(settings, dial.heard)
    me = await first_word(bot, manager, ended)
    if me is not None:
        await Parts(replace(known_as(house, me), dial=dial), bot, reader(me), pace, manager).run(ended)
    manager.say(STOPPING=1)


def known_as(house: House, me: User) -> House:
    """The house of a bot that the messenger knows by this name: links to join by lead to it."""
    return replace(house, link=f"https://t.me/{me.username}?start=")


async def first_word(bot: Bot, manager: Manager, ended: asyncio.Event) -> User | None:
    """Who we are; `None` where we are ended before anybody said so. A network that is away is waited for; a
    token that is refused ends the start."""
    faults = 0
    while not ended.is_set():
        try:
            await bot.initialize()
            return bot.bot
        except InvalidToken as fault:
            raise TokenFault("token-refused") from fault
        except TelegramError as fault:
            _log.warning("getMe: %s", type(fault).__name__)
        manager.waits()
        with suppress(TimeoutError):
            await asyncio.wait_for(ended.wait(), backoff(faults))
        faults += 1
    return None


@dataclass
class Parts:
    """Poller, worker, sender and alarm of one house, and how they wake each other."""

    house: House
    bot: Bot
    read: Read
    pace: Pace
    manager: Manager = NOBODY

    def __post_init__(self) -> None:
        self._arrived = asyncio.Event()
        seconds = asyncio.get_running_loop().time
        self.sender = Sender(self.house, self.bot, self.pace, seconds)
        self.watch = Watch(self.house, self.manager, seconds)
        self.poller = Poller(self.house, self.bot, self._arrived.set, self.watch.asked)
        self.alarm = Alarm(self._ring, self._tidy)
        self.patience = Patience(self.house, self.sender.say_past_the_file)

    async def run(self, ended: asyncio.Event) -> None:
        """Until `ended`, or until a part fails; then what is in hand is finished. Raises what failed."""
        self._greet()
        self._arrived.set()
        polling = self._begin(self.poller.run)
        tasks = [self._begin(self.sender.run), self._begin(self._work)]
        await asyncio.sleep(0)  # asked for first: what follows reads words and cards
        ticking = self._begin(self.alarm.run)
        watching = asyncio.ensure_future(self.watch.run())
        await _menu(self.bot)
        waiting = asyncio.ensure_future(ended.wait())
        parts = (watching, polling, ticking, *tasks)
        await asyncio.wait({waiting, *parts}, return_when=asyncio.FIRST_COMPLETED)
        failed = [each.exception() for each in parts if each.done()]
        waiting.cancel()
        watching.cancel()
        _log.info("ending")
        self.poller.stopping = self.sender.stopping = True
        polling.cancel()
        ticking.cancel()
        self.alarm.stop()
        self.patience.stop()
        self.sender.wake()
        self._arrived.set()
        with suppress(asyncio.CancelledError, TimeoutError):
            await asyncio.wait_for(asyncio.gather(*tasks, return_exceptions=True), GRACE)
        for fault in filter(None, failed):
            raise fault

    def _begin(self, part: Callable[[], Coroutine[Any, Any, None]]) -> asyncio.Task[None]:
        return asyncio.ensure_future(self.patience.through(part))

    async def _work(self) -> None:
        """Answers what arrived, a handful at a time, so that bells and sending come in between."""
        while not self.poller.stopping:
            self._arrived.clear()
            while believed(self.house) and work_some(self.house, self.read):
                self.alarm.set(ringing.next_due(self.house))
                self.sender.wake()
                await asyncio.sleep(0)
            await fetch_photos(self.house, self.bot)
            self.sender.wake()
            await self._arrived.wait()

    def _ring(self) -> datetime | None:
        """Rings what is due, and looks whether anything waits; by a clock that is wrong there is no hour to
        wake at."""
        if not believed(self.house):
            self.sender.wake()
            return None
        if inbox.waiting(self.house.store, 1):
            self._arrived.set()
        if ringing.ring_due(self.house):
            self.sender.wake()
        return ringing.next_due(self.house)

    def _tidy(self) -> None:
        """What was dealt with is not kept for ever."""
        if not believed(self.house):
            return
        store, now = self.house.store, self.house.clock.now()
        with store.transaction():
            service.tidy(self.house)
            inbox.prune(store, now - INBOX_KEPT)
            outbox.prune(store, now - SENT_KEPT)

    def _greet(self) -> None:
        """After a long absence farms hear of it: the messenger keeps nothing for more than a day. After a
        restore they hear from when on they must tell it all again. Nothing is said by a process that cannot
        write down that it was."""
        if not believed(self.house):
            return
        store, now = self.house.store, self.house.clock.now()
        last, told = store.last_pulse("poll"), store.last_pulse("absence")
        with store.transaction():
            store.pulse("start", now)
            restored = store.last_pulse(restore.PULSE)
            if restored is not None:
                service.tell_absence(self.house, restored, "restored")
                store.no_pulse(restore.PULSE)
            elif last is not None and now - last > LONG_AWAY and (told is None or told < last):
                service.tell_absence(self.house, last)
                store.pulse("absence", now)


async def _menu(bot: Bot) -> None:
    """The messenger's list of commands; a fault leaves the old one."""
    words = knowledge.wording()
    listed = [name.removeprefix("/") for name in COMMANDS]
    try:
        await bot.set_my_commands([BotCommand(name, words.command(name, "en")) for name in listed])
    except TelegramError as fault:
        _log.warning("setMyCommands: %s", type(fault).__name__)
