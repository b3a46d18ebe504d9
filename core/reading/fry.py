"""Larvae counted in cups out of a stirred tank, larvae that swim up, and how many to count."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Literal

from core.commands import LarvaeCount, LarvaeStage, Reading, SampleSize, Unclear
from core.reading.items import Item, count_of
from core.reading.message import Message

MOST_IN_A_CUP_ML = 1000.0
FEWEST_SWIMMING = 100
MOST_PERCENT = 50
PARTS = re.compile(r"[.,]")
OTHERS = (
    "cue.bath",
    "cue.injected",
    "cue.collected",
    "cue.sold",
    "cue.order",
    "noun.bottle",
    "noun.syringe",
    "sex.f",
    "sex.m",
    "cue.per_gram",
    "step_noun.fertilise",
)


def cups(message: Message) -> Reading | None:
    """ "5 cups of 50 ml from 100 litres: 12 15 11 14 13": larvae in each of several cups."""
    dipped = message.has("unit.cup", "in.cup")
    if not (dipped or message.measured("volume")) or message.has(*OTHERS):
        return None
    if message.tags or message.any_of("agent") or message.measured("mass"):
        return None
    cup, water = _volumes(message)
    told, number = _counts(message)
    several = cup is not None and water is not None and len(told) > 1
    if not (dipped or several or (message.has("noun.larvae") and cup is not None)):
        return None
    one = len(told) == 1 and number in (None, 1) and message.has("noun.larvae", "noun.spawn")
    if not told or (cup is None and water is None and len(told) < 2 and not one):
        return None
    together = number if message.has("cue.total") and len(told) == 1 and number else 1
    found = LarvaeCount(
        tuple(told),
        None if cup is None else round(together * _millilitres(message, cup), 3),
        None if water is None else round(_litres(message, water), 3),
        stage=stage_of(message),
        place=message.place,
    )
    ranged = any(item.high is not None for item in message.numbers) and number is None
    if ranged or number not in (None, together * len(told)):
        return Unclear("ambiguous_intent", (found,))
    first, *others = told
    if number is None and others and first == len(others):  # "5 pots 50 ml: 12 15 11 14 13"
        return Unclear("ambiguous_intent", (replace(found, counts=tuple(others)), found))
    return found


def _volumes(message: Message) -> tuple[Item | None, Item | None]:
    """What a cup holds, and the water it was dipped out of: the small and the large of two volumes; a single
    one is a cup's where it is small."""
    told = [item for item in message.measured("volume") if item.unit != "cup"]
    known = sorted((item for item in told if _litres(message, item) > 0), key=lambda i: _litres(message, i))
    if len(known) == 2:
        return known[0], known[1]
    if len(known) != 1:
        return None, None
    small = known[0].unit == "ml" and _millilitres(message, known[0]) <= MOST_IN_A_CUP_ML
    return (known[0], None) if small else (None, known[0])


def _litres(message: Message, item: Item) -> float:
    """Litres a number stands for; "1,000" are a thousand of them."""
    value = count_of(item) if "," in item.text else item.value
    return value * message.lexicon.units[item.unit].factor


def _millilitres(message: Message, item: Item) -> float:
    return round(1000 * _litres(message, item), 3)


def _counts(message: Message) -> tuple[list[float], int | None]:
    """Larvae in each cup, and how many cups were said; "12,15,11" are three."""
    number = next((item for item in message.numbers if item.unit == "cup"), None)
    rest = [item for item in message.items if item is not number and _is_a_count(item)]
    times = next((item for item in rest if _times(message, item)), None)
    if number is None and times is not None and len(rest) > 1:
        number, rest = times, [item for item in rest if item is not times]
    said = int(number.value) if number is not None and number.value == int(number.value) else None
    told = [each for item in rest for each in _parted(item, said, len(rest))]
    return told, said


def _is_a_count(item: Item) -> bool:
    bare = item.kind == "num" and not item.unit and not item.has("time.at")
    return bare or item.has("digits.odd")


def _times(message: Message, number: Item) -> bool:
    """Whether "x" stands beside the number: "5 x 50 ml", "50 ml x 5"."""
    at = next(at for at, item in enumerate(message.items) if item is number)
    return any(item.has("op.times") for item in message.items[max(at - 1, 0) : at + 2])


def _parted(item: Item, said: int | None, numbers: int) -> list[float]:
    """The numbers in what was typed without blanks; a decimal is two counts, since larvae are whole."""
    if item.high is not None:
        return [item.value, item.high]
    pieces = PARTS.split(item.raw)
    plain = len(pieces) > 1 and all(piece.isdigit() for piece in pieces)
    thousands = plain and all(len(piece) == 3 for piece in pieces[1:]) and said in (None, numbers)
    if plain and not thousands:
        return [float(piece) for piece in pieces]
    return [] if item.kind == "junk" else [count_of(item)]


def stage_of(message: Message) -> LarvaeStage | None:
    """Which larvae are told of, where it is said."""
    if message.has("cue.swim_up"):
        return "swim_up"
    return "hatched" if message.has("cue.hatched") else None


def swim_up(message: Message) -> Reading | None:
    """ "18000 at swim up": larvae counted when they swim."""
    numbers = message.numbers
    if not message.has("cue.swim_up") or message.has(*OTHERS) or len(numbers) != 1:
        return None
    thousands = numbers[0].unit == "kg" and numbers[0].said.casefold() == "k"
    if (numbers[0].unit and not thousands) or message.has("ask.how_many", "deny.word"):
        return None
    if numbers[0].high is not None:
        return None
    many = 1000 * numbers[0].value if thousands else count_of(numbers[0])
    if many < FEWEST_SWIMMING or message.kinds("clock", "ago") or message.tags:
        return None
    return LarvaeCount(larvae=many, stage="swim_up", place=message.place)


def part(message: Message) -> LarvaeCount | None:
    """What a cup holds, or the litres of the tank, where the one or the other was asked for."""
    if len(message.numbers) != 1 or message.numbers[0].high is not None:
        return None
    (item,) = message.numbers
    if not item.unit:
        amount = count_of(item)
        of_cup = message.context.awaiting == "cup_ml"
        return LarvaeCount(cup_ml=amount) if of_cup else LarvaeCount(litres=amount)
    cup, water = _volumes(message)
    if cup is None and water is None:
        return None
    if message.context.awaiting == "cup_ml":
        return LarvaeCount(cup_ml=_millilitres(message, item))
    return LarvaeCount(litres=round(_litres(message, item), 3))


# How many to count ----------------------------------------------------------------------------------------


def sample_size(message: Message) -> Reading | None:
    """ "How many must I count for 10 percent?"."""
    if not (message.has("ask.how_many") and message.has("topic.to_count")) or message.kinds("clock", "ago"):
        return None
    numbers = message.numbers
    if any(item.unit not in {"", "percent"} for item in numbers) or len(numbers) > 1:
        return None
    if numbers and not 0 < numbers[0].value <= MOST_PERCENT:
        return Unclear("implausible")
    return SampleSize(numbers[0].value if numbers else None, _of_what(message))


def _of_what(message: Message) -> Literal["share", "larvae"] | None:
    if message.has("noun.larvae", "unit.cup"):
        return "larvae"
    return "share" if message.has("noun.eggs", "cue.fertilised", "cue.hatched", "count.good") else None
