"""Telephone numbers in a message: figures that tell nothing."""

from __future__ import annotations

from collections.abc import Sequence

from core.reading.items import Item

LONG = 9  # digits of a figure without a unit that nobody weighs or counts
GROUPED = 7  # digits of a telephone number in groups, the first of them with its zero
MANY = 4  # groups behind a "number", which may name a fish as well
ZERO_FROM = 4  # digits that begin with a zero and are no hour
JOINTS = {"-", "+", "/", "(", ")", "."}


def without_phones(found: Sequence[Item]) -> list[Item]:
    """The items, each telephone number of them a stranger: "0712 345 678", "01000000000"."""
    kept: list[Item] = []
    at = 0
    while at < len(found):
        end = _run(found, at)
        if end > at and _is_a_phone(found[at:end]):
            kept.append(Item("junk", "".join(item.raw for item in found[at:end])))
            at = end
        else:
            kept.append(found[at])
            at += 1
    return kept


def _run(found: Sequence[Item], at: int) -> int:
    """Where the bare figures end that begin there, with joints between."""
    if not (_bare(found[at]) or found[at].raw == "+"):
        return at
    end = at
    while end < len(found) and (_bare(found[end]) or found[end].raw in JOINTS):
        end += 1
    while end > at and not _bare(found[end - 1]):
        end -= 1
    return end


def _bare(item: Item) -> bool:
    zero = item.kind == "tag" and item.text.startswith("0")
    plain = item.kind == "num" and not item.unit and not item.has("time.at")
    return (zero or plain) and item.text.isdigit()


def _is_a_phone(run: Sequence[Item]) -> bool:
    groups = [item.text for item in run if item.kind in {"num", "tag"}]
    if not groups or not groups[0]:
        return False
    digits = sum(map(len, groups))
    opens = run[0].raw == "+" or (groups[0].startswith("0") and len(groups[0]) > 1)
    if run[0].kind == "tag":
        return len(groups) >= MANY and digits > GROUPED
    alone = len(groups) == 1 and digits >= LONG
    zero = len(groups[0]) > ZERO_FROM and groups[0].startswith("0")
    return alone or zero or (opens and digits >= GROUPED)
