"""The alarm clock: APScheduler wakes us, the rows of the store decide what is due."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from datetime import UTC, datetime

from apscheduler.schedulers.asyncio import AsyncIOScheduler

TICK, HOUR = 5.0, 3600
NEVER_DROP = {"misfire_grace_time": None, "coalesce": True, "max_instances": 1}


class Alarm:
    """Calls `ring` at the next due time, and every `tick` seconds whatever the clock did; `tidy` every hour.

    `ring` rings what is due and says when the next bell is. Both are plain functions that never wait;
    they run on the loop's own thread, as its coroutines do, since the file belongs to that thread. The tick
    is the loop's and not the library's, which sleeps on for hours after the clock was set back.
    """

    def __init__(
        self, ring: Callable[[], datetime | None], tidy: Callable[[], None], tick: float = TICK
    ) -> None:
        self._ring, self._tidy, self._tick = ring, tidy, tick
        self._due: datetime | None = None
        self._scheduler = AsyncIOScheduler(timezone=UTC, job_defaults=NEVER_DROP)
        self._scheduler.add_job(self._clean, "interval", seconds=HOUR, id="tidy")

    async def run(self) -> None:
        """For ever, until cancelled; what is due already rings at once. Raises what `ring` raises."""
        if not self._scheduler.running:
            self._scheduler.start()
        while True:
            await self._wake()
            await asyncio.sleep(self._tick)

    def stop(self) -> None:
        """No more wakings."""
        if self._scheduler.running:
            self._scheduler.shutdown(wait=False)

    def ring(self) -> None:
        """Ring what is due, and set the clock to what comes next."""
        self.set(self._ring())

    async def _wake(self) -> None:
        self._due = None
        self.ring()

    async def _clean(self) -> None:
        self._tidy()

    def set(self, due: datetime | None) -> None:
        """Wake at this time."""
        if due == self._due:
            return
        self._due = due
        if due is not None:
            self._scheduler.add_job(self._wake, "date", run_date=due, id="bell", replace_existing=True)
        elif self._scheduler.get_job("bell") is not None:
            self._scheduler.remove_job("bell")
