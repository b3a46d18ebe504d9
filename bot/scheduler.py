"""The alarm clock: APScheduler wakes us, the rows of the store decide what is due."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime

from apscheduler.schedulers.asyncio import AsyncIOScheduler

TICK, HOUR = 5, 3600
NEVER_DROP = {"misfire_grace_time": None, "coalesce": True, "max_instances": 1}


class Alarm:
    """Calls `ring` at the next due time, and every few seconds whatever the clock did; `tidy` every hour.

    `ring` rings what is due and says when the next bell is. Both are plain functions that never wait;
    they run on the loop's own thread, as its coroutines do, since the file belongs to that thread.
    """

    def __init__(self, ring: Callable[[], datetime | None], tidy: Callable[[], None]) -> None:
        self._ring, self._tidy = ring, tidy
        self._due: datetime | None = None
        self._scheduler = AsyncIOScheduler(timezone=UTC, job_defaults=NEVER_DROP)
        self._scheduler.add_job(self._wake, "interval", seconds=TICK, id="tick")
        self._scheduler.add_job(self._clean, "interval", seconds=HOUR, id="tidy")

    def start(self) -> None:
        """Begin, inside a running loop; what is due already rings at once."""
        self._scheduler.start()
        self.ring()

    def stop(self) -> None:
        """No more wakings."""
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
