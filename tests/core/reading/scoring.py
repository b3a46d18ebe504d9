"""Readings compared with what a line says they should be."""

from __future__ import annotations

import functools
import json
from collections import Counter
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from bot import knowledge
from core.reading import Context, Lexicon, Limits, read, to_contract

WORDS = Path(__file__).resolve().parents[3] / "core" / "reading" / "words"
LIMITS: Limits = {
    "common-carp": (0.3, 20),
    "african-catfish": (0.2, 10),
    "walking-catfish": (0.05, 1.5),
    "rohu": (0.3, 12),
    "catla": (0.8, 20),
    "mrigal": (0.4, 8),
    "grass-carp": (1, 25),
    "silver-carp": (1, 25),
    "bighead-carp": (1.5, 40),
    "striped-catfish": (1, 15),
    "silver-barb": (0.05, 2),
    "stinging-catfish": (0.02, 0.3),
}
# The fields of the contract's table: not named in a line, they must be absent.
FIELDS = {
    "weigh": ("fish", "species"),
    "temperature": ("celsius", "at"),
    "injected": ("which", "at", "minutes_ago", "tags", "ml"),
    "stripped": ("eggs", "not_ready", "none"),
    "egg_count": ("eggs_per_gram",),
    "fertilised": ("good", "total", "percent"),
    "hatched": ("good", "total", "percent", "larvae"),
    "bath": ("purpose", "litres", "ppm"),
    "question": ("topic", "species", "which_run"),
    "snooze": ("minutes",),
    "plan": ("what", "at", "day"),
    "died": ("tags", "count", "when"),
    "spawned": ("answer",),
    "collected": ("litres",),
    "label": ("ug_per_ml", "mg_per_ml", "iu_per_vial", "diluent_ml"),
    "order": ("larvae", "by"),
    "sold": ("larvae", "price", "currency", "age_days"),
    "expense": ("what", "amount", "currency"),
    "eggs_run": ("tags",),
    "invite": ("role",),
    "remove": ("name",),
    "hand_over": ("name",),
    "on_duty": ("names", "me", "everybody"),
    "private_bells": ("wanted",),
    "switch_farm": ("name",),
    "correction": (
        "fish",
        "celsius",
        "at",
        "minutes_ago",
        "which",
        "tags",
        "eggs",
        "good",
        "total",
        "percent",
    ),
}
PARTS = ("sex", "kg", "tag", "grams")
DOSE_BEARING = {"weigh", "injected", "bath", "temperature", "stripped", "correction", "label", "eggs_run"}

Json = dict[str, Any]


@functools.cache
def words() -> Lexicon:
    """The words as the bot knows them: read once for all tests of a process."""
    return knowledge.lexicon()


def context(line: Json) -> Context:
    """The context of a line; unknown keys are left out."""
    told = line.get("context") or {}
    known = {key: told[key] for key in ("species", "awaiting", "unit_system", "now", "last") if key in told}
    tags, running = tuple(told.get("tags", ())), bool(told.get("open_run"))
    return Context(lang=line.get("lang", "en"), tags=tags, open_run=running, **known)


@dataclass(frozen=True, slots=True)
class Mark:
    """How one line went: `exact`, `needless` (asked without need), `dangerous` or `missed`."""

    verdict: str
    line: Json
    got: Json


def mark(line: Json, lexicon: Lexicon) -> Mark:
    """Reads a line and judges it."""
    got = to_contract(read(line["text"], context(line), lexicon, LIMITS))
    reading, gold = got["reading"], line["gold"]
    assert isinstance(reading, dict)
    also, wanted = got["also"], line.get("also", [])
    assert isinstance(also, list)
    beside = len(also) == len(wanted) and all(map(same_reading, wanted, also))
    if same_reading(gold, reading) and beside:
        return Mark("exact", line, got)
    if reading["intent"] == "unclear" and gold["intent"] != "unclear":
        return Mark("needless", line, got)
    accepted = {reading["intent"], *(other["intent"] for other in also)}
    return Mark("dangerous" if accepted & DOSE_BEARING else "missed", line, got)


def same_reading(gold: Json, got: Json) -> bool:
    """Whether a reading says what it should; candidates named must lead the list."""
    if gold["intent"] != got["intent"]:
        return False
    keys = {*gold, *FIELDS.get(gold["intent"], ())} - {"candidates"}
    for key in keys:
        counts_given = key == "percent" and gold.get("good") is not None
        if not counts_given and not same(gold.get(key), got.get(key), key):
            return False
    wanted, offered = gold.get("candidates", []), got.get("candidates", [])
    return len(wanted) <= len(offered) and all(
        same_reading(one, other) for one, other in zip(wanted, offered, strict=False)
    )


def same(one: Any, other: Any, key: str = "") -> bool:
    """Equality of values: nothing is nothing, numbers to a thousandth, tags without case."""
    if one in (None, []) or other in (None, []):
        return one in (None, [], "current" if key == "which_run" else None) and other in (None, [], "current")
    if isinstance(one, list) and isinstance(other, list):
        return len(one) == len(other) and all(same(a, b) for a, b in zip(one, other, strict=True))
    if isinstance(one, dict) and isinstance(other, dict):
        return all(same(one.get(part), other.get(part)) for part in {*one, *PARTS})
    if isinstance(one, int | float) and isinstance(other, int | float):
        return abs(one - other) <= 1e-3 * max(abs(one), 1e-9)
    return str(one).casefold() == str(other).casefold()


def scores(path: Path, lexicon: Lexicon) -> dict[str, int]:
    """How many lines of a file went how."""
    found = Counter(mark(json.loads(text), lexicon).verdict for text in path.read_text("utf-8").splitlines())
    return {verdict: found[verdict] for verdict in ("exact", "needless", "dangerous", "missed")}


if __name__ == "__main__":
    known = words()
    for path in sorted(Path(__file__).parent.rglob("lines_*.jsonl")):
        print(path.stem, *(f"{verdict} {number}" for verdict, number in scores(path, known).items()))
