"""What the long tests counted, shown at the end of a run: a line a test, then all of them added up."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import Any

Count = Callable[..., None]
"""`counted("some words", kills=3, seed=7)`: of one test, by name."""

ADDED = (
    *("kills", "faults", "clock_steps", "messages_in", "bells_due", "rung", "lost", "doubled"),
    *("mutants", "killed"),
)
"""What is added up over all tests, in this order."""
PROPERTY = "counted"


def lines(told: Iterable[tuple[str, tuple[str, dict[str, Any]]]]) -> Iterator[str]:
    """The lines of the end: of each test its name and what it counted; then the sums, and all seeds."""
    sums: dict[str, int] = {}
    seeds: list[int] = []
    for name, (words, figures) in told:
        shown = [f"{key.replace('_', ' ')} {figure}" for key, figure in figures.items()]
        yield f"{name}: {', '.join([*shown, *([words] if words else [])])}"
        for key in ADDED:
            if key in figures:
                sums[key] = sums.get(key, 0) + figures[key]
        seeds += [figures["seed"]] if "seed" in figures else []
    if sums:
        added = ", ".join(f"{key.replace('_', ' ')} {sums[key]}" for key in ADDED if key in sums)
        yield f"in all: {added}, seeds {' '.join(map(str, sorted(seeds)))}"
