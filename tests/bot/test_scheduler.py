"""The alarm clock on a real loop: it calls in time, late, and on the loop's own thread."""

from __future__ import annotations

import asyncio
import threading
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, suppress
from datetime import datetime, timedelta

from bot.clock import Clock, HandClock, SystemClock
from bot.scheduler import Alarm

PATIENCE = 10.0


class Bells:
    """Bells at given times; keeps which thread rang."""

    def __init__(self, *due: datetime, clock: Clock | None = None) -> None:
        self.due, self.clock = sorted(due), clock or SystemClock()
        self.rung: list[int] = []
        self.heard = asyncio.Event()

    def ring(self) -> datetime | None:
        now = self.clock.now()
        while self.due and self.due[0] <= now:
            self.due.pop(0)
            self.rung.append(threading.get_ident())
            self.heard.set()
        return self.due[0] if self.due else None


@asynccontextmanager
async def running(alarm: Alarm) -> AsyncIterator[None]:
    """The alarm runs meanwhile; it has ticked once."""
    task = asyncio.ensure_future(alarm.run())
    await asyncio.sleep(0)
    yield
    task.cancel()
    alarm.stop()


async def test_a_bell_rings_at_its_time_on_our_own_thread() -> None:
    """The library would run a plain function in a thread of its own, which may not touch the file."""
    due = SystemClock().now() + timedelta(milliseconds=50)
    bells = Bells(due)
    async with running(Alarm(bells.ring, lambda: None, tick=PATIENCE)):
        await asyncio.wait_for(bells.heard.wait(), PATIENCE)
    assert bells.rung == [threading.get_ident()]
    assert SystemClock().now() - due < timedelta(seconds=1)


async def test_a_bell_missed_long_ago_rings_at_the_start() -> None:
    bells = Bells(SystemClock().now() - timedelta(days=2))
    async with running(Alarm(bells.ring, lambda: None)):
        assert len(bells.rung) == 1


async def test_an_earlier_bell_takes_the_place_of_a_later_one() -> None:
    now = SystemClock().now()
    bells = Bells(now + timedelta(hours=1))
    alarm = Alarm(bells.ring, lambda: None, tick=PATIENCE)
    async with running(alarm):
        bells.due.insert(0, now + timedelta(milliseconds=50))
        alarm.set(bells.due[0])
        await asyncio.wait_for(bells.heard.wait(), PATIENCE)
    assert len(bells.rung) == 1


async def test_the_tick_goes_on_while_the_library_sleeps() -> None:
    """After the clock was set back three hours the library wakes no sooner than three hours later."""
    bells = Bells()
    alarm = Alarm(bells.ring, lambda: None, tick=0.01)
    async with running(alarm):
        alarm._scheduler.pause()
        bells.due.append(SystemClock().now())
        await asyncio.wait_for(bells.heard.wait(), PATIENCE)
    assert len(bells.rung) == 1


async def test_a_wake_up_that_comes_late_is_not_dropped() -> None:
    """The loop may be busy for seconds; the library would drop what is more than one late."""
    bells = Bells()
    alarm = Alarm(bells.ring, lambda: None, tick=3600)
    async with running(alarm):
        bells.due = [SystemClock().now() - timedelta(seconds=30)]
        alarm.set(bells.due[0])
        assert await heard(bells, 2)


async def test_a_clock_set_forward_is_seen_at_the_next_tick() -> None:
    """The bell is hours away when the alarm is set; then the computer's clock is put right."""
    clock = HandClock(SystemClock().now())
    bells = Bells(clock.now() + timedelta(hours=6), clock=clock)
    async with running(Alarm(bells.ring, lambda: None, tick=0.05)):
        clock.move_to(clock.now() + timedelta(hours=6))
        assert await heard(bells, 2)


async def heard(bells: Bells, seconds: float) -> bool:
    """Whether a bell rings within so many seconds."""
    with suppress(TimeoutError):
        await asyncio.wait_for(bells.heard.wait(), seconds)
    return bells.heard.is_set()
