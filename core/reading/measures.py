"""What goes into a mL or a cup of the farm's own: counted once, and used as a measure from then on."""

from __future__ import annotations

from typing import Literal

from core.commands import ByMeasure, LarvaeCount, Reading, SetMeasure, Sold, Unclear
from core.reading.fry import OTHERS, stage_of
from core.reading.items import Item, count_of
from core.reading.message import Message
from core.reading.questions import asked

MOST_IN: dict[str, float] = {"ml": 20_000, "cup": 1_000_000}
FEWEST = 10
FEWEST_IN_A_MEASURE = 100
MOST_SAMPLE_ML = 10.0
LARVAE = ("noun.larvae", "noun.spawn")
NOT_OURS = tuple(each for each in OTHERS if each not in ("noun.bottle", "cue.sold"))
Of = Literal["ml", "cup"]


def measure(message: Message) -> Reading | None:
    """ "1 ml of spawn is 420", "we count 500 spawn per ml", "our cup is 650 fry"."""
    if not _may_be(message) or message.has("cue.sold", "ask.mark") or message.any_of("ask"):
        return None
    told = _per_ml(message) or _per_cup(message)
    if told is None or told.larvae is None:
        return None
    return told if FEWEST <= told.larvae <= MOST_IN[told.of] else Unclear("implausible", (told,))


def _may_be(message: Message) -> bool:
    """Whether larvae can be meant, and nothing of fish, eggs, or baths."""
    eggs = any(item.has("noun.eggs") and not item.has("noun.spawn") for item in message.items)
    others = message.has(*NOT_OURS) or message.measured("mass") or message.tags or message.any_of("agent")
    return not (eggs or others or message.kinds("clock", "ago")) and not _of_eggs(message)


def _of_eggs(message: Message) -> bool:
    return message.context.awaiting == "eggs_per_ml"


def _per_ml(message: Message) -> SetMeasure | None:
    """So many in a mL, or in the few that were counted."""
    if not message.has(*LARVAE):
        return None
    dense = [item for item in message.numbers if item.unit == "per_ml"]
    bare, volume = message.bare(), message.measured("volume")
    if len(dense) == 1 == len(message.numbers):
        return SetMeasure("ml", count_of(dense[0]))
    if message.has("unit.per_ml") and len(bare) == 1 == len(message.numbers):
        return SetMeasure("ml", count_of(bare[0]))
    if len(bare) == 1 == len(volume) and len(message.numbers) == 2 and volume[0].unit == "ml":
        ml = volume[0].value
        return SetMeasure("ml", round(count_of(bare[0]) / ml, 1)) if 0 < ml <= MOST_SAMPLE_ML else None
    return None


def _per_cup(message: Message) -> SetMeasure | None:
    """So many in the farm's cup: it is spoken of as one, and nothing else is measured."""
    cups = [item for item in message.numbers if item.unit == "cup"]
    bare = message.bare()
    one = (not cups and message.has("unit.cup")) or [item.value for item in cups] == [1]
    if not one or len(bare) != 1 or len(message.numbers) != 1 + len(cups):
        return None
    told = message.has("cue.is", "cue.holds", "filler.article") or any(i.raw == "=" for i in message.items)
    told = told or (message.has(*LARVAE) and count_of(bare[0]) >= FEWEST_IN_A_MEASURE)
    return SetMeasure("cup", count_of(bare[0])) if told else None


def by_measure(message: Message) -> Reading | None:
    """ "40 cups of fry", "60 ml of spawn": as many larvae as the farm's own measure makes them."""
    if not _may_be(message) or message.has("cue.sold") or message.any_of("ask"):
        return None
    amount = amount_of(message)
    if amount is None:
        return None
    told = LarvaeCount(measured=amount, stage=stage_of(message), place=message.place)
    if message.has("cue.gave"):
        return Unclear("ambiguous_intent", (Sold(measured=amount), told))
    return told if message.has(*LARVAE) else Unclear("ambiguous_intent", (told,))


def amount_of(message: Message) -> ByMeasure | None:
    """So many cups, or mL of spawn, and how many are said to be in each."""
    cups = [item for item in message.numbers if item.unit == "cup"]
    spawn = [item for item in message.numbers if item.unit == "ml" and message.has(*LARVAE)]
    if len(cups) + len(spawn) != 1:
        return None
    (item,) = cups or spawn
    of: Of = "cup" if cups else "ml"
    each = _each(message, item)
    others = [one for one in message.bare() if one is not each]
    if others and not message.has("cue.sold"):
        return None
    if item.high is not None or item.value <= 0:
        return None
    return ByMeasure(item.value, of, count_of(each) if each is not None else None)


def _each(message: Message, measured: Item) -> Item | None:
    """The bare number behind "cups of"."""
    at = next(at for at, item in enumerate(message.items) if item is measured)
    near = message.items[at + 1 : at + 3]
    joined = [item for item in near if item.kind == "num" and not item.unit]
    return joined[0] if len(near) == 2 and joined and near[0].has("join.of", "op.times") else None


def question(message: Message) -> Reading | None:
    """ "How many spawn in a ml?", "how many fry in a cup?"."""
    if not message.has("ask.how_many", "ask.what") or not message.has(*LARVAE) or message.bare():
        return None
    units = {item.unit for item in message.numbers}
    if message.has("unit.per_ml", "unit.ml") or units & {"ml", "per_ml"}:
        return asked(message, "spawn_per_ml")
    return asked(message, "larvae_per_cup") if message.has("unit.cup") or "cup" in units else None


def awaited(message: Message) -> SetMeasure | None:
    """How many are in one of them, where that was asked for."""
    bare = message.bare()
    of: Of = "cup" if message.context.awaiting == "larvae_per_cup" else "ml"
    if len(bare) == 1 == len(message.numbers) and bare[0].high is None:
        return SetMeasure(of, count_of(bare[0]))
    return _per_ml(message) or _per_cup(message)
