"""Trouble of the file that passes: a disk without room, a database that another program holds for a while.

Nothing is lost meanwhile: what came in is not confirmed, what is due stays due, what went out is marked
later. Whoever runs the bot hears of it at once, past the file, and again when it is over.
"""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Awaitable, Callable
from dataclasses import dataclass, field

from bot import saying
from bot.house import House
from bot.store import StoreFault

PASSES = ("full", "locked")
AGAIN = 5.0
_log = logging.getLogger(__name__)


@dataclass
class Patience:
    """Runs parts through such trouble. `tell` says a word to the operator without writing it down."""

    house: House
    tell: Callable[[str], Awaitable[None]]
    again: float = AGAIN
    trouble: str = ""
    _watch: asyncio.Task[None] | None = field(default=None, repr=False)

    async def through(self, part: Callable[[], Awaitable[None]]) -> None:
        """Run a part to its end; where the file is in trouble, wait and run it anew. Raises all else."""
        while True:
            try:
                await part()
                return
            except StoreFault as fault:
                if fault.code not in PASSES:
                    raise
                self._begins(fault)
                await asyncio.sleep(self.again)

    def _begins(self, fault: StoreFault) -> None:
        if not self.trouble:
            self.trouble = fault.code
            _log.error("the store is %s (%s): waiting", fault.code, fault.params.get("detail", ""))
            self._watch = asyncio.ensure_future(self._until_over())

    async def _until_over(self) -> None:
        await self.tell(self.trouble)
        while self.trouble:
            await asyncio.sleep(self.again)
            try:
                with self.house.store.transaction():
                    saying.write_to_operator(self.house, f"{self.trouble}-over")
                    self.house.store.pulse("trouble", self.house.clock.now())
            except StoreFault as fault:
                if fault.code not in PASSES:
                    return  # whoever writes next says so
            else:
                saying.log_for_operator(f"{self.trouble}-over")
                self.trouble = ""

    def stop(self) -> None:
        """No more watching."""
        if self._watch is not None:
            self._watch.cancel()
