"""Two numbers that stand for one: "26-27", "3 to 3.5", "2-2 kilo" (each)."""

from __future__ import annotations

from collections.abc import Sequence

from core.reading.items import Item

EACH = frozenset({"op.each"})
DASHES = frozenset({"-", "–", "—", "~"})


def fold(found: Sequence[Item]) -> list[Item]:
    """The items with ranges of numbers put together; the unit is that of the second."""
    folded: list[Item] = []
    for item in found:
        if item.kind == "num" and _between(folded) and _open(folded[-2], item):
            low = folded[-2]
            folded[-3:] = [low._replace(high=item.value, unit=item.unit, raw=f"{low.raw}-{item.raw}")]
        elif item.kind == "num" and (said := _twice(folded, item)):
            folded[-said:] = [item._replace(senses=item.senses | EACH)]
        elif item.kind == "num" and len(folded) > 1 and _dash(folded[-1]) and _open(folded[-2], item):
            low = folded[-2]
            folded[-2:] = [low._replace(high=item.value, unit=item.unit, raw=f"{low.raw}-{item.raw}")]
        else:
            folded.append(item)
    return folded


def _twice(folded: Sequence[Item], item: Item) -> int:
    """How many items before say the same number: "do do kilo", "2-2 kilo" are so much each; 0 if none."""
    if not item.unit or item.high is not None:
        return 0
    if folded and folded[-1].spoken and item.spoken and _same(folded[-1], item):
        return 1
    dash = len(folded) > 1 and folded[-1].raw in DASHES and folded[-1].glued and (item.glued or item.spoken)
    return 2 if dash and _same(folded[-2], item) else 0


def _same(one: Item, other: Item) -> bool:
    return one.kind == "num" and one.unit in {"", other.unit} and one.value == other.value


def _dash(item: Item) -> bool:
    return item.raw in DASHES or item.has("join.to")


def _between(folded: Sequence[Item]) -> bool:
    return len(folded) > 2 and folded[-1].has("join.and") and folded[-3].has("join.between")


def _open(low: Item, high: Item) -> bool:
    return low.kind == "num" and low.high is None and low.unit in {"", high.unit}
