"""What truly went in, told as a share of the dose: "F1 got only half", "about a third leaked"."""

from __future__ import annotations

from collections.abc import Callable

from core.commands import Injection, Reading, Unclear
from core.reading.items import Item
from core.reading.message import Message

PARTS = {"thirds": 3, "quarters": 4}
THINGS = ("noun.eggs", "noun.larvae", "noun.water", "noun.fish", "noun.bottle")
OF_OTHERS = (*THINGS, "number_of.many", "cue.every", "on.fish", "on.eggs")
COUNTED = ("cue.fertilised", "cue.hatched", "step_noun.fertilise")


def of_a_dose(message: Message) -> bool:
    """Whether a share of what was injected is told, lost or gone in."""
    if message.has("pronoun_all.them", *OF_OTHERS, *COUNTED) or not _shares(message):
        return False
    needle = message.has("cue.injected")
    fish = bool(message.tags) or message.has("sex.f", "sex.m", "pronoun.f", "pronoun.m")
    went_in = message.has("cue.reached") and (needle or fish)
    return (
        message.has("cue.leaked") or went_in or (message.has("cue.lost") and (needle or bool(message.tags)))
    )


def went_in(message: Message, told: Injection, rest: Callable[[Message], Reading]) -> Reading:
    """The injection with the share that went in; `rest` reads what is no share beside it."""
    inside = alone(message)
    if inside is None:
        return Unclear("no_number", (told,))
    if any(item.unit not in {"", "percent"} for item in message.numbers) or message.has("filler.more"):
        return rest(message)
    which = None if told.which == "only" else told.which
    return Injection(
        which, told.at, told.minutes_ago, told.tags, sex=told.sex, place=told.place, share=inside
    )


def alone(message: Message) -> float | None:
    """The one share that went in, where that was asked for: "half", "only 30 %", "half leaked"."""
    shares = _shares(message)
    if len(shares) != 1 or not 0 < shares[0] < 1:
        return None
    return round(1 - shares[0] if message.has("cue.leaked", "cue.lost") else shares[0], 4)


def in_words(message: Message) -> float | None:
    """The one share said in words, "half", "two thirds", and no other figure."""
    shares = _shares(message)
    plain = not any(item.unit for item in message.numbers) and len(message.numbers) <= 1
    return shares[0] if len(shares) == 1 and plain and 0 < shares[0] < 1 else None


def _shares(message: Message) -> list[float]:
    """Every share it tells, from 0 to 1: "half", "30 %", "two thirds", "a third"."""
    found = []
    for at, item in enumerate(message.items):
        before = message.items[at - 1] if at else None
        after = message.items[at + 1] if at + 1 < len(message.items) else None
        if item.kind == "num" and item.unit == "percent":
            found.append(item.value / 100)
        elif item.kind == "num" and not item.unit and item.value < 1 and (item.spoken or not item.text):
            found.append(item.value)
        elif item.has("nth.third") and _is_one(before) and not _is_shot(after):
            found.append(1 / 3)
        elif (part := item.one_of("part_of")) in PARTS and before is not None and before.kind == "num":
            found.append(before.value / PARTS[part])
    return found


def _is_one(item: Item | None) -> bool:
    return item is not None and (item.has("filler.article") or (item.kind == "num" and item.value == 1))


def _is_shot(item: Item | None) -> bool:
    return item is not None and item.has("cue.injected", "cue.injected_noun", "which.priming")
