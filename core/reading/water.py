"""Readings of water."""

from __future__ import annotations

from dataclasses import replace

from core.commands import Act, Reading, Temperature, Unclear
from core.reading import times
from core.reading.items import Item
from core.reading.message import Message

COLDEST, WARMEST = 4.0, 43.0
WIDEST = 2.0
LEAST_OF_PONDS = 12.0
"""A smaller number behind "tank" is most often its name. Own judgement."""
DIGITS_LOST = (10, 100)


def temperature(message: Message) -> list[Reading]:
    """The temperatures told: one, or one a place."""
    places = message.kinds("place")
    clauses = message.clauses()
    timed = [clause for clause in clauses if len(clause.numbers) == 1 == len(clause.kinds("clock"))]
    if len(timed) == len(clauses) > 1 and len(places) < 2:
        return [_one_reading(clause) for clause in clauses]
    if len(places) < 2:
        return [_one_reading(message)]
    pieces = _by_place(message)
    if any(len(piece.kinds("place")) > 1 for piece in pieces):
        return [Unclear("ambiguous_intent")]
    return [_one_reading(piece) for piece in pieces]


def _one_reading(message: Message) -> Reading:
    if message.has("cue.no_thermometer") or (message.has("cue.unknown") and not message.numbers):
        return Temperature(unknown=True, place=message.place)
    several = message.has("sex.f", "sex.m") and len(message.amounts) > 1
    if several or message.measured("mass") or message.kinds("coded", "tag"):
        return Unclear("ambiguous_intent")
    numbers = [item for item in message.amounts if _degrees(message, item)]
    numbers = numbers or [item for item in message.numbers if _degrees(message, item)]
    if not numbers:
        return Unclear("no_number", (Temperature(place=message.place),))
    number = _one(message, numbers)
    if number is None:
        return Unclear("ambiguous_intent", tuple(_told(message, item, item.value) for item in numbers[:3]))
    if number.high is None:
        return _checked(message, number, number.value)
    return _range(message, number, number.value, number.high)


def beside_a_place(message: Message) -> Reading | None:
    """ "Cistern 23", where the water was asked for: a reading rather than the name of a place."""
    named = [item.text.rpartition(" ")[2] for item in message.kinds("place")]
    degrees = float(named[0]) if len(named) == 1 and named[0].isdigit() else 0.0
    return Temperature(degrees) if LEAST_OF_PONDS <= degrees <= WARMEST else None


def _range(message: Message, number: Item, low: float, high: float) -> Reading:
    """A change is read at its end, a narrow range at its middle."""
    if message.has("cue.from", "cue.rose"):
        return _checked(message, number, high)
    if abs(high - low) <= WIDEST * (1.8 if _fahrenheit(message, number) else 1):
        return _checked(message, number, (low + high) / 2)
    return Unclear("ambiguous_intent", tuple(_told(message, number, value) for value in (low, high)))


def _by_place(message: Message) -> list[Message]:
    pieces: list[list[Item]] = [[]]
    figures = [item.kind for item in message.items if item.kind in {"place", "num"}]
    after = figures[0] == "num"
    for item in message.items:
        again = any(other.kind == "place" for other in pieces[-1])
        if again and item.kind == ("num" if after else "place"):
            pieces.append([])
        pieces[-1].append(item)
    return [message.part(piece) for piece in pieces]


def _degrees(message: Message, item: Item) -> bool:
    return not item.unit or message.lexicon.units[item.unit].measures == "temperature"


def _one(message: Message, numbers: list[Item]) -> Item | None:
    """The number meant: the only one, or the last of a change."""
    if len(numbers) == 1:
        return numbers[0]
    return numbers[-1] if message.has("cue.rose", "cue.from") else None


def _fahrenheit(message: Message, item: Item) -> bool:
    return item.unit == "f" or (item.unit in {"", "deg"} and message.context.unit_system == "imperial")


def celsius(value: float, fahrenheit: bool) -> float:
    """Degrees Celsius to a thousandth."""
    return round((value - 32) / 1.8, 3) if fahrenheit else value


def _told(message: Message, item: Item, value: float) -> Temperature:
    return Temperature(celsius(value, _fahrenheit(message, item)), place=message.place)


def _checked(message: Message, item: Item, value: float) -> Reading:
    told = _told(message, item, value)
    clock = next(iter(message.kinds("clock")), None) or _hour(message, item)
    if clock is not None:
        told = replace(told, at=times.past(clock, message.context.now))
    if message.has("cue.guess"):
        told = replace(told, guessed=True)
    if _can_be(told.celsius):
        return told
    bare = item.unit in {"", "deg"}
    other = replace(told, celsius=celsius(value, not _fahrenheit(message, item)))
    if bare and _can_be(other.celsius):
        return Unclear("ambiguous_unit", (other,))
    less: tuple[Act, ...] = tuple(
        replace(told, celsius=value / by) for by in DIGITS_LOST if _can_be(value / by)
    )
    return Unclear("implausible", less)


def _hour(message: Message, read: Item) -> Item | None:
    """A bare number said as a time beside the one that was read."""
    return next(
        (times.as_clock(one) for one in message.numbers if one.has("time.at") and one is not read), None
    )


def _can_be(degrees: float | None) -> bool:
    return degrees is not None and COLDEST <= degrees <= WARMEST
