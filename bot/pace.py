"""How fast the messenger lets us speak: over all, to one person, into one group."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

LONGEST_PAUSE = 60.0
SILENT = 600.0
"""Seconds after which a chat's bucket is surely full and need not be kept."""


def backoff(faults: int) -> float:
    """Seconds to wait after so many faults in a row, from 0 on: 1, 2, 4 ... 60."""
    return min(2.0 ** min(faults, 6), LONGEST_PAUSE)


@dataclass
class Bucket:
    """So many a second, at most `burst` at once. Times are seconds of any clock that never goes back."""

    rate: float
    burst: float
    level: float = field(init=False)
    at: float = field(init=False, default=0.0)

    def __post_init__(self) -> None:
        self.level = self.burst

    def wait(self, now: float) -> float:
        """Seconds until one may be taken."""
        return max(0.0, (1 - self._filled(now)) / self.rate)

    def take(self, now: float) -> None:
        """One is taken, whether or not it might."""
        self.level, self.at = self._filled(now) - 1, now

    def _filled(self, now: float) -> float:
        return min(self.burst, self.level + max(0.0, now - self.at) * self.rate)


def _person() -> Bucket:
    return Bucket(1.0, 3.0)


def _group() -> Bucket:
    return Bucket(18 / 60, 3.0)


@dataclass
class Pace:
    """The limits as the messenger states them, a little below: 25 a second, 1 a chat, 18 a minute a group."""

    overall: Bucket = field(default_factory=lambda: Bucket(25.0, 25.0))
    person: Callable[[], Bucket] = _person
    group: Callable[[], Bucket] = _group
    chats: dict[str, Bucket] = field(default_factory=dict)

    def wait(self, chat: str, now: float) -> float:
        """Seconds until something may be said in this chat."""
        return max(self.overall.wait(now), self._chat(chat).wait(now))

    def take(self, chat: str, now: float) -> None:
        """Something is said there now."""
        self.overall.take(now)
        self._chat(chat).take(now)

    def slow(self, now: float) -> dict[str, float]:
        """The chats that had their share for now, and how long each waits. Forgets those long silent."""
        self.chats = {chat: bucket for chat, bucket in self.chats.items() if now - bucket.at < SILENT}
        waits = {chat: bucket.wait(now) for chat, bucket in self.chats.items()}
        return {chat: wait for chat, wait in waits.items() if wait > 0}

    def _chat(self, chat: str) -> Bucket:
        if chat not in self.chats:
            self.chats[chat] = (self.group if chat.startswith("-") else self.person)()
        return self.chats[chat]


def unbounded() -> Pace:
    """No limit at all: for benches, and for tests that are in a hurry."""
    return Pace(_endless(), _endless, _endless)


def _endless() -> Bucket:
    return Bucket(1e9, 1e9)
