"""The only clock. Everything else takes `now` as an argument, or a `Clock` to ask."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Protocol

FAR = timedelta(minutes=30)
"""So far from the messenger's hour a clock is not believed. A rule of our own: a bell that is wrong by more
is worth little."""


class Clock(Protocol):
    """Whatever can say what time it is: an aware `datetime` in UTC."""

    def now(self) -> datetime:
        """The present moment, in UTC."""
        ...


class SystemClock:
    """The computer's own clock."""

    def now(self) -> datetime:
        """The present moment, in UTC."""
        return datetime.now(UTC)


class HandClock:
    """A clock that stands still until it is moved: simulated time of `play`, `chat` and the tests."""

    def __init__(self, at: datetime) -> None:
        self._at = _in_utc(at)

    def now(self) -> datetime:
        """The moment it was last moved to, in UTC."""
        return self._at

    def move_to(self, when: datetime) -> None:
        """Set the clock to `when`, forward or back."""
        self._at = _in_utc(when)


def pause(seconds: float) -> None:
    """Nothing for so long: for a command that looks again. Whoever serves never sleeps."""
    time.sleep(seconds)


def since_boot() -> float:
    """Seconds of a clock that nobody sets; it goes on while the computer sleeps, where one does."""
    return time.clock_gettime(time.CLOCK_BOOTTIME) if hasattr(time, "CLOCK_BOOTTIME") else time.monotonic()


@dataclass
class Dial:
    """The hour that the messenger's answers carry, beside which ours is held. `told`: a clock that is wrong
    was said to be so."""

    clock: Clock
    seconds: Callable[[], float] = since_boot
    told: bool = False
    _heard: tuple[datetime, float] | None = field(default=None, init=False)

    def heard(self, said: datetime) -> None:
        """An answer was given at that hour, by the messenger's clock."""
        self._heard = (said, self.seconds())

    def off(self, newest: datetime | None) -> timedelta:
        """By how much our clock is behind (below 0: ahead): of the messenger's, however long ago it spoke;
        before its first word, of `newest`, the time of the last thing written, behind which it cannot be."""
        now = self.clock.now()
        if self._heard is not None:
            said, at = self._heard
            return said + timedelta(seconds=self.seconds() - at) - now
        return max(newest - now, timedelta(0)) if newest else timedelta(0)


def _in_utc(when: datetime) -> datetime:
    if when.tzinfo is None:
        raise ValueError(f"a time without a zone: {when.isoformat()}")
    return when.astimezone(UTC)
