"""Tells the service manager that we are up, that we are well, or in words why not.

The manager is systemd, or whatever else listens on `$NOTIFY_SOCKET`: datagrams of `NAME=value` lines, as in
sd_notify(3). Where nobody listens the same is looked at and logged.

We are up once the file is open and the messenger has answered its first question. Until then each try asks
the manager for more time: a start without a network waits, and one that hangs is ended.

We are well while three things are fresh, none by a clock that can be set:

- **The question for messages came back**: with an answer, with an error of the server, or because the network
  was away. A network that is away for a day ends each question in its time, so it never ends us: a new start
  would not bring it back. A question that never ends is not well, and neither is one that our own pool of
  connections refused. A pause that the server asked for counts until it is over.
- **The oldest due bell moves on** into the outbox. Its age is how long it was the oldest that we looked at,
  not how long ago its hour was: after two days without power, or a step of the clock, all bells are old and
  nothing is wrong. Whether it was sent is not asked: the network may be away. Where bells wait on purpose,
  by a clock that is not believed or a file that is full or held, they do not age.
- **A row was committed**: our pulse. A disk without room and a file that another program holds are waited out
  by `bot.patience`, and a new start would only forget what was sent meanwhile: they are said and count
  against nobody. A file that cannot be written for any other reason is not well.

Not well means only silence: the manager ends us once its patience is over, and starts us again.
"""

from __future__ import annotations

import asyncio
import logging
import os
import socket
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import datetime

from bot import knowledge
from bot.clock import FAR
from bot.house import House
from bot.patience import PASSES
from bot.store import StoreFault

QUESTION, BELL, WRITE = 180.0, 300.0, 180.0
"""Seconds. A question takes at most 50, and the pause behind it 60."""
AWAY = 120.0
"""Seconds of nothing but faults after which somebody should look: it is said, and counts against nobody."""
BEAT = 30.0
MORE_TIME = 300
_log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Manager:
    """Who watches over us: where it listens ("": nobody), and its patience in seconds (0: without end)."""

    address: str = ""
    patience: float = 0.0

    @classmethod
    def of(cls, environment: Mapping[str, str]) -> Manager:
        """As systemd tells it. A patience that is meant for another process is none of ours."""
        address = environment.get("NOTIFY_SOCKET", "")
        if not address.startswith(("/", "@")):
            return cls()
        told, whose = environment.get("WATCHDOG_USEC", ""), environment.get("WATCHDOG_PID", "")
        ours = told.isdecimal() and whose in ("", str(os.getpid()))
        return cls(address, int(told) / 1e6 if ours else 0.0)

    @property
    def every(self) -> float:
        """Seconds between two looks: several within the manager's patience."""
        return min(BEAT, self.patience / 4) if self.patience else BEAT

    def say(self, **told: str | int) -> None:
        """One datagram. A manager that does not listen is no reason to end."""
        if not self.address:
            return
        lines = "\n".join(f"{name}={' '.join(str(value).split())}" for name, value in told.items())
        place = "\0" + self.address[1:] if self.address.startswith("@") else self.address
        try:
            with socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM | socket.SOCK_CLOEXEC) as line:
                line.setblocking(False)
                line.sendto(lines.encode(), place)
        except OSError as fault:
            _log.warning("the service manager does not listen: %s", fault.strerror)

    def waits(self) -> None:
        """Still starting: the messenger has not answered yet."""
        self.say(STATUS=_words("waits"), EXTEND_TIMEOUT_USEC=MORE_TIME * 1_000_000)


NOBODY = Manager()


@dataclass
class Watch:
    """Looks at what must go on for ever. `seconds` is a clock that never goes back."""

    house: House
    manager: Manager
    seconds: Callable[[], float]
    troubles: tuple[str, ...] = field(default=(), init=False)
    _waits_for: str = field(default="", init=False)

    def __post_init__(self) -> None:
        self._asked = self._answered = self._written = self._moved = self.seconds()
        self._oldest: tuple[int, int, datetime | None] | None = None

    def asked(self, pause: float, well: bool) -> None:
        """The question for messages came back, well or with a fault; the next follows in so many seconds."""
        self._asked = self.seconds() + pause
        if well:
            self._answered = self._asked

    async def run(self) -> None:
        """For ever, from the moment that we are up."""
        self.manager.say(READY=1, STATUS=_words("up"))
        while True:
            self.beat()
            await asyncio.sleep(self.manager.every)

    def beat(self) -> bool:
        """Look, and tell the manager; whether all is well."""
        self._write()
        self._look_at_bells()
        self._let_wait()
        now = self.seconds()
        ages = {"question": now - self._asked, "bell": now - self._moved, "write": now - self._written}
        limits = {"question": QUESTION, "bell": BELL, "write": WRITE}
        troubles = tuple(name for name, age in ages.items() if age > limits[name])
        if troubles != self.troubles:
            _log.warning("watch: %s", ", ".join(troubles) or "well again")
        self.troubles = troubles
        words = " ".join(_words(name, ages[name]) for name in troubles) or self._passing(now)
        self.manager.say(**({} if troubles else {"WATCHDOG": 1}), STATUS=words)
        return not troubles

    def _write(self) -> None:
        try:
            store, now = self.house.store, self.house.clock.now()
            with store.transaction():
                store.pulse("watch", (store.last_pulse("watch") or now) if self._clock_is_wrong else now)
        except StoreFault as fault:
            _log.warning("watch: no row was written: %s", fault.code)
            self._waits_for = fault.code if fault.code in PASSES else ""
        else:
            self._waits_for = ""
            self._written = self.seconds()

    def _look_at_bells(self) -> None:
        """The oldest due bell: another one than at the last look, or none, has moved on."""
        try:
            due = self.house.store.due(self.house.clock.now(), 1)
        except StoreFault as fault:
            _log.warning("watch: no bell was read: %s", fault.code)
            return
        oldest = (due[0].farm, due[0].id, due[0].next_at) if due else None
        if oldest is None or oldest != self._oldest:
            self._moved = self.seconds()
        self._oldest = oldest

    def _let_wait(self) -> None:
        """What waits on purpose does not age."""
        if self._waits_for:
            self._written = self._moved = self.seconds()
        if self._clock_is_wrong:
            self._moved = self.seconds()

    @property
    def _clock_is_wrong(self) -> bool:
        return self.house.dial is not None and abs(self.house.dial.off(None)) >= FAR

    def _passing(self, now: float) -> str:
        """Well, or what passes without a new start."""
        silent = now - self._answered
        if self._waits_for:
            return _words(self._waits_for)
        if self._clock_is_wrong:
            return _words("clock")
        return _words("away", silent) if silent > AWAY else _words("well")


def _words(code: str, seconds: float = 0.0) -> str:
    return knowledge.wording().vital(code, seconds / 60, "en")
