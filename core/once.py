"""A fold of long lists, remembered by the very things that are in them.

Most messages ask the same of the same rows: these are read once a process (`bot.store`), so that two lists
with the same objects in them are the same list.
"""

from __future__ import annotations

import functools
from collections import OrderedDict
from collections.abc import Callable, Iterable
from typing import TypeVar

A = TypeVar("A")
B = TypeVar("B")
Made = TypeVar("Made")
KEPT = 32
"""So many results of each fold are kept: those of the farms that talk just now."""


def by_identity(
    fold: Callable[[Iterable[A], Iterable[B]], Made],
) -> Callable[[Iterable[A], Iterable[B]], Made]:
    """The same function of two lists, which does the same work once. What it gives is only looked at."""
    kept: OrderedDict[tuple[int, ...], tuple[tuple[A, ...], tuple[B, ...], Made]] = OrderedDict()

    @functools.wraps(fold)
    def remembered(first: Iterable[A], second: Iterable[B]) -> Made:
        one, other = tuple(first), tuple(second)
        key = (*map(id, one), 0, *map(id, other))
        if key in kept:
            kept.move_to_end(key)
            return kept[key][2]
        made = fold(one, other)
        kept[key] = (one, other, made)  # holding them, so that no number is another's meanwhile
        if len(kept) > KEPT:
            kept.popitem(last=False)
        return made

    return remembered
