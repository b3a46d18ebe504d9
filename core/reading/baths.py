"""Baths: what is in them, how strong, how much water, for whom."""

from __future__ import annotations

from typing import Literal, cast

from core.commands import Bath, Reading, Unclear
from core.reading.message import Message

Purpose = Literal["iodine", "anaesthetic", "salt"]


def bath(message: Message) -> Reading:
    """A bath that is to be mixed."""
    volume = message.measured("volume")
    strength = message.measured("concentration", "share")
    units = message.lexicon.units
    if any(not units[item.unit].factor for item in volume):
        return Unclear("ambiguous_unit")
    if len(volume) > 1 or len(strength) > 1 or any(item.high is not None for item in [*volume, *strength]):
        return Unclear("ambiguous_intent")
    bare = message.bare()
    litres = volume[0].value * units[volume[0].unit].factor if volume else None
    if bare and (litres is not None or message.context.awaiting != "bath" or len(bare) > 1):
        return Unclear("ambiguous_unit")
    if message.measured("mass"):
        return Unclear("ambiguous_unit")
    if litres is None and bare:
        litres = bare[0].value
    if litres is not None and litres <= 0:
        return Unclear("implausible")
    agent = message.any_of("agent")
    agent = agent.replace("_", "-") if agent else None
    ppm = round(strength[0].value * units[strength[0].unit].factor, 6) if strength else None
    on = message.any_of("on")
    return Bath(
        purpose=_purpose(message, agent),
        litres=litres,
        ppm=ppm,
        agent=agent,
        on=cast(Literal["eggs", "fish", "tools"] | None, on),
    )


def _purpose(message: Message, agent: str | None) -> Purpose | None:
    named = message.lexicon.purposes.get(agent or "") or message.any_of("purpose")
    return cast(Purpose | None, named if named in {"iodine", "anaesthetic", "salt"} else None)
