"""The only clock. Everything else takes `now` as an argument, or a `Clock` to ask."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Protocol


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


def _in_utc(when: datetime) -> datetime:
    if when.tzinfo is None:
        raise ValueError(f"a time without a zone: {when.isoformat()}")
    return when.astimezone(UTC)
