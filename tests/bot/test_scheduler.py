"""The alarm clock on a real loop: it calls in time, late, and on the loop's own thread."""

from __future__ import annotations

import asyncio
import threading
from datetime import datetime, timedelta

from bot.clock import SystemClock
from bot.scheduler import Alarm

PATIENCE = 10.0


class Bells:
    """Bells at given times; keeps which thread rang."""

    def __init__(self, *due: datetime) -> None:
        self.due = sorted(due)
        self.rung: list[int] = []
        self.heard = asyncio.Event()

    def ring(self) -> datetime | None:
        now = SystemClock().now()
        while self.due and self.due[0] <= now:
            self.due.pop(0)
            self.rung.append(threading.get_ident())
            self.heard.set()
        return self.due[0] if self.due else None


async def test_a_bell_rings_at_its_time_on_our_own_thread() -> None:
    """The library would run a plain function in a thread of its own, which may not touch the file."""
    due = SystemClock().now() + timedelta(milliseconds=50)
    bells = Bells(due)
    alarm = Alarm(bells.ring, lambda: None)
    alarm.start()
    await asyncio.wait_for(bells.heard.wait(), PATIENCE)
    alarm.stop()
    assert bells.rung == [threading.get_ident()]
    assert SystemClock().now() - due < timedelta(seconds=1)


async def test_a_bell_missed_long_ago_rings_at_the_start() -> None:
    bells = Bells(SystemClock().now() - timedelta(days=2))
    alarm = Alarm(bells.ring, lambda: None)
    alarm.start()
    assert len(bells.rung) == 1
    alarm.stop()


async def test_an_earlier_bell_takes_the_place_of_a_later_one() -> None:
    now = SystemClock().now()
    bells = Bells(now + timedelta(hours=1))
    alarm = Alarm(bells.ring, lambda: None)
    alarm.start()
    bells.due.insert(0, now + timedelta(milliseconds=50))
    alarm.set(bells.due[0])
    await asyncio.wait_for(bells.heard.wait(), PATIENCE)
    alarm.stop()
    assert len(bells.rung) == 1
