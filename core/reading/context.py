"""What the reader is told besides the words: where the talk stands and how heavy a brood fish may be."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TypeAlias

Limits: TypeAlias = Mapping[str, tuple[float, float]]
"""Least and greatest kg of a brood fish, by species slug."""


@dataclass(frozen=True, slots=True)
class Context:
    """Where the talk stands. It fills in what the words leave open and is never trusted over them.

    `looking`: a look at the females rings and waits for its answer. `by_volume`: eggs of an open run are
    taken by the litre, from a hapa. `gallon`: which one the farm's is, `us` or `imperial`. `tags` are the
    fish of open runs, `waiting` those of them that had no needle yet.
    """

    species: str | None = None
    awaiting: str | None = None
    unit_system: str = "metric"
    gallon: str | None = None
    now: str | None = None
    last: str | None = None
    lang: str = "en"
    tags: tuple[str, ...] = ()
    waiting: tuple[str, ...] = ()
    open_run: bool = False
    looking: bool = False
    by_volume: bool = False
