"""How many larvae or fry go into a pond, a tank, a hapa or a bag: questions alone."""

from __future__ import annotations

from typing import cast

from core.commands import Reading, Stock, Unclear
from core.reading.items import Item, count_of
from core.reading.measures import LARVAE
from core.reading.message import Message
from core.reading.plausible import named_species
from core.species import Per, StockedIn, Young

OTHERS = (
    "cue.bath",
    "cue.injected",
    "cue.collected",
    "cue.sold",
    "cue.order",
    "cue.hatched",
    "noun.bottle",
    "sex.f",
    "sex.m",
    "topic.dose",
)
ASKS = ("ask.how_many", "ask.how_much", "ask.what", "ask.mark", "ask.how", "may.ask")


def stock(message: Message) -> Reading | None:
    """ "How many larvae per litre?", "stock 200 m2 pond", "how many bags for 20000 spawn?"."""
    if message.has(*OTHERS) or message.tags or message.measured("mass") or message.any_of("agent"):
        return None
    area = message.measured("area")
    water = [item for item in message.measured("volume") if _factor(message, item)]
    per = _per(message)
    asks = message.has(*ASKS)
    densely = message.has("cue.stock") and (asks or area or water or message.has(*LARVAE))
    young = asks and message.has(*LARVAE) and bool(area or (water and not message.bare()) or per)
    packed = asks and message.has("where.bag")
    if not (densely or young or packed):
        return None
    if len(area) > 1 or len(water) > 1 or any(item.high is not None for item in message.numbers):
        return Unclear("ambiguous_intent")
    species, word, _ = named_species(message)
    return Stock(
        place=_where(message),
        young=_young(message),
        per=per,
        m2=_amount(message, area),
        litres=_amount(message, water),
        bags=_bags(message),
        larvae=_larvae(message),
        species=species,
        species_word=word,
    )


def _factor(message: Message, item: Item) -> float:
    return message.lexicon.units[item.unit].factor


def _amount(message: Message, told: list[Item]) -> float | None:
    """Square metres or litres; "1,000" are a thousand."""
    if not told:
        return None
    value = count_of(told[0]) if "," in told[0].text else told[0].value
    return round(value * _factor(message, told[0]), 3)


def _where(message: Message) -> StockedIn | None:
    return cast(StockedIn | None, message.any_of("where"))


def _young(message: Message) -> Young | None:
    if message.has("young.fry"):
        return "fry"
    return "larvae" if message.has(*LARVAE) else None


def _per(message: Message) -> Per | None:
    return cast(Per | None, message.any_of("per"))


def _bags(message: Message) -> float | None:
    """So many bags: a whole number right before the word."""
    items = message.items
    for at, item in enumerate(items[1:], 1):
        if item.has("where.bag") and items[at - 1].whole:
            return items[at - 1].value
    return None


def _larvae(message: Message) -> float | None:
    bags = _bags(message)
    counts = [item for item in message.bare() if item.value != bags]
    return count_of(counts[0]) if len(counts) == 1 else None
