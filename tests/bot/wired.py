"""What the tests of the wire share: a house with the real bot library, talking to our own Bot API server."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, closing
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path

from telegram import Bot, User

from bot import inbox, ringing
from bot.clock import HandClock
from bot.config import Settings
from bot.doors import Doors
from bot.house import House
from bot.pace import Pace, unbounded
from bot.sender import Sender
from bot.serve import bot_of, known_as
from bot.store import Store
from bot.telegram_app import Poller, fetch_photos, reader
from bot.worker import work_some
from tests.bot.botapi import TOKEN, BotApi
from tests.tries import is_long

NOW = datetime(2026, 6, 1, 12, 0, tzinfo=UTC)


@dataclass
class Seconds:
    """A clock that never goes back, moved by hand."""

    at: float = 1000.0

    def __call__(self) -> float:
        return self.at


@dataclass
class Wire:
    """The parts of `serve`, each moved by hand: no time passes by itself."""

    api: BotApi
    house: House
    bot: Bot
    me: User
    sender: Sender
    poller: Poller
    clock: HandClock
    seconds: Seconds
    arrived: list[int] = field(default_factory=list)

    async def turn(self) -> None:
        """All that was said comes in, is answered and goes out."""
        await self.poller.ask(0)
        while work_some(self.house, reader(self.me)):
            pass
        await fetch_photos(self.house, self.bot)
        await self.send()

    async def send(self) -> None:
        """What may go out now has gone."""
        while True:
            before = len(self.api.log)
            self.sender.start()
            await self.sender.settle()
            if len(self.api.log) == before:
                return

    def ring(self) -> int:
        """Every bell that is due rings."""
        return ringing.ring_due(self.house)

    def pass_time(self, seconds: float) -> None:
        """So much later, by both clocks."""
        self.seconds.at += seconds
        self.clock.move_to(self.clock.now() + timedelta(seconds=seconds))

    async def says(self, user: int, text: str, chat: int | None = None) -> list[str]:
        """Somebody writes; what their chat is answered."""
        place = chat or user
        before = len(self.api.sent(place))
        self.api.say(user, text, chat)
        await self.turn()
        return [words(each) for each in self.api.sent(place)[before:]]

    async def presses(self, user: int, label: str, chat: int | None = None) -> list[str]:
        """Somebody presses that button on the newest message that has it."""
        place = chat or user
        before = len(self.api.sent(place))
        shown = [each for each in self.api.sent(place) if label in labels(each)]
        self.api.press(user, shown[-1], label)
        await self.turn()
        return [words(each) for each in self.api.sent(place)[before:]]

    def left(self) -> int:
        """How much of the inbox waits."""
        return len(inbox.waiting(self.house.store))


def words(message: dict[str, object]) -> str:
    """What a message says, or what stands under its file."""
    return str(message.get("text", message.get("caption")))


def labels(message: dict[str, object]) -> list[str]:
    """What stands on the buttons of a message."""
    markup = message.get("reply_markup")
    rows = markup["inline_keyboard"] if isinstance(markup, dict) else []
    return [button["text"] for row in rows for button in row]


@asynccontextmanager
async def wired(
    folder: Path,
    *,
    pace: Pace | None = None,
    doors: Doors | None = None,
    operator: str = "",
    at: datetime = NOW,
) -> AsyncIterator[Wire]:
    """A house on a file in that folder, at one moment, with the door open."""
    clock, seconds = HandClock(at), Seconds()
    async with BotApi(now=clock.now, checks=is_long()) as api:  # the models take seconds to load
        with closing(Store.open(folder / "farm.db")) as store:
            house = House(store, clock, doors, operator)
            bot = bot_of(Settings(TOKEN, folder / "farm.db", operator or None, None, api.url))
            async with bot:
                house = known_as(house, bot.bot)
                sender = Sender(house, bot, pace or unbounded(), seconds)
                arrived: list[int] = []
                poller = Poller(house, bot, lambda: arrived.append(1))
                yield Wire(api, house, bot, bot.bot, sender, poller, clock, seconds, arrived)
                await sender.settle()
            assert api.breaches == []
