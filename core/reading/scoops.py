"""The farm's own spoons, cups and drops of something: weighed or measured once, and used from then on."""

from __future__ import annotations

from typing import cast

from core.commands import Bath, Reading, SetBottle, SetScoop, Unclear
from core.reading.items import Item
from core.reading.message import Message
from core.reading.stuffs import BOTTLED, stuff_named
from core.records import ScoopOf

MOST_GRAMS: dict[ScoopOf, float] = {"spoon": 60.0, "cup": 1000.0, "cap": 60.0, "drop": 0.2}
"""The most that one holds, in g or mL."""
LEAST_GRAMS: dict[ScoopOf, float] = {"spoon": 0.5, "cup": 20.0, "cap": 0.5, "drop": 0.01}
OF_BATHS = "cue.bath", "cue.mix", "ask.mark", "ask.how_much", "ask.how_many"


def scoop_of(message: Message, item: Item) -> ScoopOf | None:
    """Which of the farm's measures a unit is: its word tells."""
    words = (item.said or item.raw).casefold().split()
    alone = message.view.starts(words[-1]).alone if words else None
    senses = alone.senses if alone is not None else frozenset()
    found = next((sense.partition(".")[2] for sense in sorted(senses) if sense.startswith("scoop.")), None)
    return cast(ScoopOf | None, found)


def named(message: Message) -> ScoopOf | None:
    """The measure that is spoken of, with a number or without."""
    counted = (scoop_of(message, item) for item in message.measured("volume"))
    first = next((each for each in counted if each is not None), None)
    return first or cast(ScoopOf | None, message.any_of("scoop"))


def counted(message: Message) -> list[Item]:
    """The numbers that count the farm's own measures."""
    return [item for item in message.measured("volume") if scoop_of(message, item) is not None]


def scoop(message: Message) -> Reading | None:
    """ "A spoon of our salt is 12 g", "ten spoons weigh 120 g", "20 drops of clove oil are 1 ml"."""
    of = named(message)
    stuff = stuff_named(message)
    if of is None or message.has(*OF_BATHS):
        return None
    awaited = message.context.awaiting == "scoop"
    if stuff is None and not awaited:
        return None
    many = counted(message)
    held = [*message.measured("mass", "little"), *_millilitres(message)]
    dense = [item for item in message.numbers if item.unit == "per_ml"]
    if of == "drop" and len(dense) == 1 and len(message.numbers) == 1:
        return _checked(of, stuff, None, 1 / dense[0].value if dense[0].value else 0.0)
    if len(held) != 1 or len(many) > 1 or len(message.numbers) != 1 + len(many):
        return None
    if (
        not message.has("cue.is", "cue.holds", "cue.scale", "filler.article", "scoop_holds.word")
        and not awaited
    ):
        return None
    share = many[0].value if many else 1.0
    if share <= 0:
        return Unclear("implausible")
    unit = message.lexicon.units[held[0].unit]
    value = held[0].value * unit.factor / share
    if unit.measures == "volume":
        return _checked(of, stuff, None, value * 1000)
    return _checked(of, stuff, value * (1000 if unit.measures == "mass" else 0.001), None)


def awaited(message: Message) -> Reading | None:
    """What one holds, where that was asked: "12 g", "10 of them are 120 g"."""
    told = scoop(message)
    if told is not None:
        return told
    held = [*message.measured("mass", "little"), *_millilitres(message)]
    if len(held) != 1 or len(message.numbers) != 1:
        return Unclear("ambiguous_unit") if message.bare() else None
    unit = message.lexicon.units[held[0].unit]
    value = held[0].value * unit.factor
    if value <= 0:
        return Unclear("implausible")
    if unit.measures == "volume":
        return SetScoop(None, None, ml=value * 1000)
    return SetScoop(None, None, grams=value * (1000 if unit.measures == "mass" else 0.001))


def drops(message: Message) -> Reading | None:
    """How many drops make one mL, where that was asked: "20"."""
    bare = [item for item in message.numbers if not item.unit or scoop_of(message, item) == "drop"]
    if len(bare) != 1 or len(message.numbers) > 2 or bare[0].value <= 0:
        return scoop(message)
    return _checked("drop", stuff_named(message), None, 1 / bare[0].value)


def _millilitres(message: Message) -> list[Item]:
    return [item for item in message.measured("volume") if item.unit == "ml"]


def _checked(of: ScoopOf, stuff: str | None, grams: float | None, ml: float | None) -> Reading:
    value = grams if grams is not None else ml or 0.0
    if not LEAST_GRAMS[of] <= value <= MOST_GRAMS[of]:
        return Unclear("implausible")
    rounded = float(f"{value:.4g}")
    return SetScoop(of, stuff, rounded if grams is not None else None, rounded if grams is None else None)


def bottle(told: Bath) -> Bath | SetBottle:
    """ "Our peroxide is 35 %": a label alone, with no bath beside it, is kept with the farm."""
    figures = (told.litres, told.ppm, told.grams, told.ml, told.minutes, told.scoops)
    others = told.on is not None or told.use is not None or told.scoop is not None
    if (
        told.agent in BOTTLED
        and told.percent is not None
        and not others
        and figures == (None,) * len(figures)
    ):
        return SetBottle(told.agent, told.percent)
    return told
