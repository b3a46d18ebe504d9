"""A fold of long lists, remembered by the very things that are in them.

Most messages ask the same of the same rows: these are read once a process (`bot.store`), so that two lists
with the same objects in them are the same list.
"""

from __future__ import annotations

import functools
from collections.abc import Callable, Iterable
from typing import Any, TypeVar

A = TypeVar("A")
B = TypeVar("B")
Made = TypeVar("Made")
KEPT = 32
"""So many results of each fold are kept: those of the farms that talk just now."""


class _TheSame:
    """Two lists, the same as others that hold the same objects."""

    __slots__ = ("_key", "first", "second")

    def __init__(self, first: tuple[Any, ...], second: tuple[Any, ...]) -> None:
        self.first, self.second = first, second  # held, so that no other object has a number of theirs
        self._key = (*map(id, first), 0, *map(id, second))

    def __hash__(self) -> int:
        return hash(self._key)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _TheSame) and self._key == other._key


def by_identity(
    fold: Callable[[Iterable[A], Iterable[B]], Made],
) -> Callable[[Iterable[A], Iterable[B]], Made]:
    """The same function of two lists, which does the same work once. What it gives is only looked at."""

    @functools.lru_cache(maxsize=KEPT)
    def made(lists: _TheSame) -> Made:
        return fold(lists.first, lists.second)

    @functools.wraps(fold)
    def remembered(first: Iterable[A], second: Iterable[B]) -> Made:
        return made(_TheSame(tuple(first), tuple(second)))

    return remembered
