"""Messages that say a figure and nothing of what it is: what was asked for decides, else it is asked."""

from __future__ import annotations

from collections.abc import Callable
from typing import get_args

from core.commands import (
    Act,
    Basis,
    Bath,
    Collect,
    Correction,
    EggCount,
    EggsTold,
    Fertilised,
    Hatched,
    Injection,
    Order,
    Plan,
    Reading,
    Snooze,
    Strip,
    Temperature,
    Unclear,
    Weigh,
)
from core.reading import (
    acts,
    baths,
    counts,
    eggs,
    fry,
    measures,
    moments,
    needle,
    orders,
    scoops,
    shares,
    stripping,
    times,
    topics,
    water,
    weights,
)
from core.reading.items import Item, count_of
from core.reading.message import Message
from core.records import IodineBasis

MOST_EGGS_OF_ONE = 3000
FEWEST_GRAMS, MOST_GRAMS = 5, 1000
A_SMALL_UNIT = 0.1  # kg
"""Of a figure without a word, for eggs to come before a fish."""
OF_HOURS = {"plan", "strip_hour"}
BASES = tuple(Basis(kind) for kind in get_args(IodineBasis))


def answer(message: Message) -> Reading | None:
    """The figure as that which was asked for; None where it cannot be one."""
    reader = READERS.get(message.context.awaiting or "")
    if reader is None or not (_figures(message) or message.context.awaiting == "order_day"):
        return None
    if message.context.awaiting in OF_HOURS and not all(map(_of_a_wanted_hour, message.items)):
        return None
    told = reader(message)
    if told is None or isinstance(told, Correction | Unclear):
        return told
    return Unclear("ambiguous_intent", (told,)) if _asks(message) or _is_lost_in_chatter(message) else told


def _asks(message: Message) -> bool:
    """ "How many eggs is 420 g?" tells nothing; a wanted hour may be asked for."""
    return message.context.awaiting not in OF_HOURS and message.has("ask.how_many", "ask.how_much")


def _is_lost_in_chatter(message: Message) -> bool:
    """One bare number among words that nobody knows: perhaps the answer, perhaps not."""
    return len(message.numbers) == len(message.bare()) == 1 and bool(message.kinds("junk"))


def _figures(message: Message) -> bool:
    coming = message.context.awaiting in OF_HOURS and message.has("time.hence", "day.tomorrow")
    placed = message.context.awaiting == "temperature" and bool(message.kinds("place"))
    return coming or placed or bool(message.kinds("num", "clock", "ago", "coded"))


def _of_a_wanted_hour(item: Item) -> bool:
    """What a wanted hour is told with: nothing of fish, places or water."""
    told = item.kind in {"num", "clock", "span", "ago", "sign", "junk"}
    tables = ("filler", "part", "time", "assent", "day", "clock", "join", "ask", "weekday", "when", "may")
    wanted = item.has("cue.inject_plan", "cue.strip_plan", "cue.is", "cue.will", "cue.guess", "topic.still")
    return told or wanted or any(item.one_of(table) is not None for table in tables)


def _injected(message: Message) -> Reading | None:
    """The needle that was asked for, unless it is denied or still to come. Where nobody spoke of one, a
    number that is no hour is something else."""
    told = topics.BY_NAME["injected"].read(message)
    if len(told) != 1:
        return Unclear("ambiguous_intent", tuple(one for one in told if isinstance(one, Injection)))
    spoken = message.has("cue.injected", "cue.leaked")
    if isinstance(told[0], Unclear) and told[0].why != "no_number":
        coming = any(isinstance(way, Plan) for way in told[0].candidates)
        hour = coming or moments.other_clock(message) is not None
        return told[0] if spoken or hour or message.has(*acts.NO_NEEDLE) else None
    if isinstance(told[0], Injection) and not spoken:
        timed = told[0].at is not None or told[0].minutes_ago is not None
        return told[0] if timed or told[0].ml is not None else None
    return told[0]


def _went_in(message: Message) -> Reading | None:
    """mL, or a share: "1.2", "half", "about a third"."""
    share = shares.alone(message)
    if share is not None:
        return Injection(share=share)
    amounts = message.amounts
    if len(amounts) != 1 or amounts[0].unit not in {"", "ml"} or amounts[0].high is not None:
        return None
    fits = 0 < amounts[0].value <= needle.MOST_ML
    return Injection(ml=amounts[0].value) if fits else Unclear("implausible", (Injection(),))


def _temperature(message: Message) -> Reading | None:
    if not message.numbers:
        return water.beside_a_place(message)
    told = water.temperature(message)
    return told[0] if len(told) == 1 else Unclear("ambiguous_intent")


def _order(message: Message) -> Reading | None:
    bare = message.bare()
    return Order(count_of(bare[0])) if len(bare) == 1 else None


def _collected(message: Message) -> Reading | None:
    """Litres, where nothing else was said of them."""
    amounts = message.amounts
    if len(amounts) == 1 and not amounts[0].unit and amounts[0].high is None:
        at, ago, _ = moments.moment_of(message)
        return Collect(amounts[0].value, place=message.place, at=at, minutes_ago=ago)
    told = eggs.collected(message)
    return told[0] if len(told) == 1 else None


def _per_ml(message: Message) -> Reading | None:
    bare = message.bare()
    if len(message.numbers) == len(bare) == 1 and bare[0].high is None:
        return Collect(None, count_of(bare[0]))
    told = eggs.collected(message)
    return told[0] if len(told) == 1 else None


READERS: dict[str, Callable[[Message], Reading | None]] = {
    "weigh": weights.weigh,
    "temperature": _temperature,
    "injected": _injected,
    "went_in": _went_in,
    "stripped": stripping.stripped,
    "egg_count": eggs.egg_count,
    "fertilised": counts.count,
    "hatched": counts.count,
    "bath": baths.bath,
    "scoop": scoops.awaited,
    "drops": scoops.drops,
    "collected": _collected,
    "eggs_per_ml": _per_ml,
    "spawned": eggs.spawned_then,
    "larvae_per_ml": measures.awaited,
    "larvae_per_cup": measures.awaited,
    "cup_ml": fry.part,
    "cup_litres": fry.part,
    "order": _order,
    "order_day": orders.day_alone,
    "iodine_basis": lambda _: Unclear("ambiguous_intent", BASES),
    "strip_hour": lambda message: acts.planned(message, "strip"),
    "plan": lambda message: acts.planned(message, "inject"),
}


def alone(message: Message) -> Reading | None:
    """A figure with nothing asked for: read where only one thing can be meant."""
    numbers = message.amounts
    clocks = message.kinds("clock", "ago") or [item for item in message.numbers if item.has("time.at")]
    if message.kinds("junk") or message.any_of("device") is not None or message.has("cue.no_signal"):
        return None
    spans = message.kinds("span")
    if len(spans) == 1 == len(message.kinds("num", "clock", "ago", "coded", "span")):
        minutes = spans[0].value
        gone = () if spans[0].has("time.hence") else (Injection(minutes_ago=minutes),)
        return Unclear("ambiguous_intent", (Snooze(minutes), *gone))
    if message.kinds("coded") and not numbers and not clocks:
        told = weights.weigh(message)
        return Unclear("ambiguous_intent", (told,)) if isinstance(told, Weigh) else told
    if not (numbers or clocks):
        return None
    if clocks and not numbers:
        at, ago, _ = moments.moment_of(message)
        return Unclear("ambiguous_intent", (Injection(at=at, minutes_ago=ago, tags=message.tags),))
    if all(item.unit == "percent" for item in numbers) and len(numbers) == 1:
        value = numbers[0].value
        ways: tuple[Act, ...] = (Hatched(percent=value), Fertilised(percent=value))
        return Unclear("ambiguous_intent" if value <= 100 else "implausible", ways if value <= 100 else ())
    if len(numbers) == 2 and any(item.has("join.of") or item.raw == "/" for item in message.items):
        return counts.count(message)
    return _volume(message) if message.measured("volume") else _bare(message)


def _volume(message: Message) -> Unclear:
    """Litres of a bath, or of eggs; "how much" of something is a bath."""
    volume = message.measured("volume")[0]
    factor = message.lexicon.units[volume.unit].factor
    if not factor:
        return Unclear("ambiguous_unit")
    litres = volume.value * factor
    if message.has("ask.how_much"):
        return Unclear("no_number", (Bath(None, litres),))
    return Unclear("ambiguous_intent", (Bath(None, litres), Collect(litres)))


def _bare(message: Message) -> Reading | None:
    mass = message.measured("mass")
    if any(item.unit and item not in mass for item in message.numbers):
        return None
    told = weights.weigh(message)
    ways: list[Act] = [told] if isinstance(told, Weigh) else []
    if len(message.amounts) == 1:
        ways.extend(_others(message))
    elif _few_grams(message):
        each = (EggsTold(None, stripping.grams(message, item)) for item in message.amounts)
        ways.append(Strip(tuple(each)))
    if message.context.open_run or _few_grams(message):
        ways.sort(key=lambda way: not isinstance(way, Strip))
    more = mass and len(message.kinds("num", "clock", "ago")) > 1
    if message.context.open_run and more and ways and isinstance(ways[0], Strip):
        return ways[0]
    if mass and len(ways) == 1 and isinstance(told, Weigh):
        return told
    if isinstance(told, Unclear) and mass and not ways:
        return told
    return Unclear("ambiguous_intent" if ways else "not_ours", tuple(ways))


def _few_grams(message: Message) -> bool:
    """ "180 g", "first one 150 g, second 200 g", and nothing else: more often eggs than a fish."""
    figures, units = message.kinds("num", "clock", "ago"), message.lexicon.units
    weighed = bool(figures) and figures[0].unit != "" and figures == message.amounts
    return weighed and all(
        (not item.unit or (units[item.unit].measures == "mass" and units[item.unit].factor <= A_SMALL_UNIT))
        and FEWEST_GRAMS <= stripping.grams(message, item) < MOST_GRAMS
        for item in figures
    )


def _others(message: Message) -> list[Act]:
    """What else one bare number may be."""
    item = message.amounts[0]
    ways: list[Act] = []
    heavy = stripping.grams(message, item) if item.unit else count_of(item)
    if (item.unit and heavy < MOST_EGGS_OF_ONE / 2) or (not item.unit and 10 <= heavy <= MOST_EGGS_OF_ONE):
        at, ago, _ = moments.moment_of(message)
        ways.append(Strip((EggsTold(None, heavy),), at=at, minutes_ago=ago))
    if not item.unit:
        fahrenheit = message.context.unit_system == "imperial"
        degrees = water.celsius(item.value, fahrenheit)
        if 10 <= degrees <= 40:
            ways.insert(0, Temperature(degrees))
        if 300 <= item.value <= 3000:
            ways.append(EggCount(item.value))
        clock = times.as_clock(item)
        if clock is not None and "." in item.text:
            ways.append(Injection(at=times.past(clock, message.context.now)))
    return ways
