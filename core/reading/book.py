"""What goes into the books: zones, iodine, troubles."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, cast

from core.commands import Basis, Reading, Trouble, Unclear, Zone
from core.reading import times
from core.reading.items import Item
from core.reading.message import Message
from core.reading.moments import hour
from core.records import IodineBasis

ZONE_NAME = re.compile(r"[A-Za-z]{3,20}/[A-Za-z_+\-0-9]{2,30}(?:/[A-Za-z_]{2,30})?")
LONGEST_PLACE = 40
Alarm = Literal["power", "aerator", "water_off", "cold", "smell", "fungus"]


@dataclass(frozen=True, slots=True)
class Peril:
    """Living things or water, and what is wrong with them: an alarm, or `sure` of none."""

    what: Alarm
    things: frozenset[str]
    fault: str
    sure: bool = True


FISH = frozenset({"noun.fish", "noun.larvae", "hint.fish", "sex.f", "sex.m", "pronoun.f"})
PERILS = (
    Peril("smell", frozenset({"noun.water"}), "fault_of.water"),
    Peril("smell", frozenset({"name.place"}), "fault_of.water", sure=False),
    Peril("aerator", FISH, "fault_of.air"),
    Peril("smell", frozenset({"noun.larvae"}), "fault_of.larvae"),
    Peril("smell", FISH, "fault_of.fish"),
    Peril("aerator", FISH, "fault_of.unwell", sure=False),
)


FAULTS = frozenset(peril.fault for peril in PERILS)


def trouble(message: Message) -> Reading | None:
    """An alarm: power, air, water, cold, smell, fungus."""
    for clause in _breaths(message):
        found = _told_or_broken(clause)
        peril, bad = (None, found) if found else _perilous(clause)
        if bad:
            alarm = Trouble(peril.what) if peril is not None else _alarm_in(found)
            others = [item for item in clause.items if item not in bad and not item.has("ask.mark")]
            denied = any(item.has(*_denying(alarm)) for item in others)
            asked = clause.items[0].has("may.ask")
            sure = peril is None or (peril.sure and not (peril.what == "smell" and _of_eggs(clause)))
            return alarm if sure and not denied and not asked else Unclear("ambiguous_intent", (alarm,))
    what = message.any_of("device")
    if what is not None and all(_device_alone(item) for item in message.items):
        sure = message.any_of("trouble_alone") is not None and not message.has("ask.mark")
        return _alarm(what) if sure else Unclear("ambiguous_intent", (_alarm(what),))
    return Trouble("water_off") if _dry(message) else None


def _denying(alarm: Trouble) -> tuple[str, ...]:
    """What says that there is none of it: of a smell or of fungus, that it is gone as well."""
    gone = ("fault.down", "zero.no") if alarm.what in {"smell", "fungus"} else ()
    return ("deny.word", "deny.before", *gone)


def _dry(message: Message) -> bool:
    """ "The water is gone": water and a word that it stopped, and nothing else."""
    told = message.has("noun.water") and message.has("fault.down")
    return told and all(item.has("noun.water", "fault.down") or _small(item) for item in message.items)


def _of_eggs(message: Message) -> bool:
    return message.has("noun.eggs") or bool(message.tags)


def _perilous(message: Message) -> tuple[Peril | None, list[Item]]:
    """What is wrong with the water, the larvae or the fish: "cloudy water", "females are dying"."""
    if not message.has(*FAULTS):
        return None, []
    for peril in PERILS:
        if not message.has(peril.fault) or _counted(message, peril) or (message.numbers and not peril.sure):
            continue
        for at, item in enumerate(message.items):
            if _concerns(peril, item):
                fault = _fault_near(message.items, at, peril)
                if fault is not None:
                    return peril, [item, fault]
    return None, []


def _concerns(peril: Peril, item: Item) -> bool:
    fish = peril.things is FISH and item.kind in {"tag", "coded"}
    return fish or item.has(*peril.things) or ("name.place" in peril.things and item.kind == "place")


def _counted(message: Message, peril: Peril) -> bool:
    """Whether dead larvae are figures of a count: "hatched 200 larvae 40 dead"."""
    if "noun.larvae" not in peril.things:
        return False
    return len(message.numbers) > 1 or message.has("cue.hatched", "cue.fertilised", "join.of")


def _fault_near(items: Sequence[Item], at: int, peril: Peril) -> Item | None:
    """The fault behind a thing, else before it, nothing but small words between."""
    for step in (1, -1):
        near = at + step
        while 0 <= near < len(items):
            item = items[near]
            if item.has(peril.fault):
                beside = [*items[max(near - 1, 0) : near], *items[near + 1 : near + 2]]
                counts = item.has("count.bad") and not item.has("cue.died") and any(i.whole for i in beside)
                return None if counts and not (step == 1 and near == at + 2) else item
            reading = step == 1 and near == at + 1 and item.kind == "num"
            if not (_small(item) or item.has("join.of") or reading):
                break
            near += step
    return None


def _alarm_in(found: Sequence[Item]) -> Trouble:
    return _alarm(next(what for item in found if (what := _troubled(item)) is not None))


def _troubled(item: Item) -> str | None:
    return item.one_of("trouble") or item.one_of("device")


def _device_alone(item: Item) -> bool:
    return item.one_of("device") is not None or item.has("filler.article") or item.kind == "sign"


def _alarm(what: str) -> Trouble:
    return Trouble(cast(Alarm, what))


def trouble_items(message: Message) -> list[Item]:
    """What of a message belongs to an alarm; water that is measured as well is not the alarm's alone."""
    found = _told_or_broken(message)
    if found:
        return found
    for clause in _breaths(message):
        _, bad = _perilous(clause)
        if bad:
            return [item for item in bad if not (item.has("cue.water") and _measured(clause, item))]
    return []


def _breaths(message: Message) -> list[Message]:
    """The clauses, each with the faults told right behind it: "water 27, cloudy"."""
    found: list[Message] = []
    if not message.has(*FAULTS):
        return message.clauses()
    for clause in message.clauses():
        if found and all(item.one_of("fault_of") or _small(item) for item in clause.items):
            found[-1] = message.part([*found[-1].items, *clause.items])
        else:
            found.append(clause)
    return found


def _measured(message: Message, water: Item) -> bool:
    """Whether a number stands right behind the water."""
    at = next(at for at, item in enumerate(message.items) if item is water)
    return any(item.kind == "num" for item in message.items[at + 1 : at + 2])


def _told_or_broken(message: Message) -> list[Item]:
    return [item for item in message.items if item.one_of("trouble") is not None] or _broken(message)


def _broken(message: Message) -> list[Item]:
    """A device and its fault, nothing but small words between: "pump in tank 2 is dead", "no oxygen"."""
    items = message.items
    for at, item in enumerate(items):
        if item.one_of("device") is None:
            continue
        if at and items[at - 1].has("fault.down"):
            return list(items[at - 1 : at + 1])
        end = at + 1
        while end < len(items) and (_small(items[end]) or (end == at + 1 and items[end].whole)):
            if items[end].has("fault.down"):
                break
            end += 1
        if end < len(items) and items[end].has("fault.down"):
            return [item, items[end]]
    return []


def _small(item: Item) -> bool:
    named = item.kind == "place" or any(item.one_of(table) is not None for table in ("filler", "device"))
    return named or item.has("cue.is", "deny.word", "deny.before", "name.place", "small.word")


def zone(message: Message) -> Reading | None:
    """Where the farm is, or what its clock says."""
    named = ZONE_NAME.fullmatch(message.text.strip())
    if named and not message.has("noun.larvae", "noun.spawn", "noun.eggs"):
        return Zone(place=named.group())
    awaited = message.context.awaiting == "zone"
    if message.has("cue.here") or awaited:
        plain = awaited and all(map(_of_an_hour, message.items))
        clock = next(iter(message.kinds("clock")), None) or (hour(message) if plain else None)
        if clock is not None:
            return _by_clock(clock, spelt=bool(message.kinds("clock")))
    if not awaited or message.numbers:
        return None
    place = _place(message)
    return Zone(place=place) if 0 < len(place) <= LONGEST_PLACE else None


NO_PLACE = ("cue.unknown", "ask.mark")


def _place(message: Message) -> str:
    """The name of the place, without what leads to it or ends it: "I live in Mwanza"; empty where the message
    tells something else."""
    items = list(message.items)
    while items and _leads(items[0]):
        items.pop(0)
    while items and (items[-1].has("zone.tail") or items[-1].kind == "sign"):
        items.pop()
    rest = message.part(items)
    told = any(rest.any_of(table) is not None for table in ("say", "ask"))
    if not items or told or message.has(*NO_PLACE):
        return ""
    if len(items) == len(message.items):
        return message.text.strip()
    typed = "".join(" " * (not item.glued) + item.raw for item in items).strip()
    start, end = message.text.find(items[0].raw), message.text.rfind(items[-1].raw)
    return message.text[start : end + len(items[-1].raw)] if 0 <= start <= end else typed


def _leads(item: Item) -> bool:
    return item.has("zone.lead", "say.greeting") or item.kind == "sign"


def _by_clock(clock: Item, *, spelt: bool) -> Reading:
    """A bare hour may be that of the morning or of the evening: nobody knows where the farm is."""
    if clock.sure or spelt or clock.value >= times.HALF_DAY:
        return Zone(clock=times.said(clock.value))
    halves = (clock.value, clock.value + times.HALF_DAY)
    return Unclear("ambiguous_intent", tuple(Zone(clock=times.said(minutes)) for minutes in halves))


def _of_an_hour(item: Item) -> bool:
    """What an hour is told with, and nothing of fish."""
    words = any(item.one_of(table) is not None for table in ("filler", "part", "time", "assent"))
    return item.kind in {"num", "sign", "clock"} or words or item.has("cue.is", "cue.here", "time.at")


def clock_items(message: Message) -> list[Item]:
    """What of a message belongs to the clock here: "it's 21:40 here"."""
    here = [clause for clause in message.clauses() if clause.has("cue.here")] or [message]
    return [item for clause in here for item in clause.items if item.kind == "clock" or item.has("cue.here")]


DENYING = ("deny.word", "mend.not", "mend.no")


def basis(message: Message) -> Reading | None:
    """What the iodine's figure is of."""
    items = message.items
    denied = [
        item
        for at, item in enumerate(items)
        if any(near.has(*DENYING) for near in items[max(at - 2, 0) : at])
    ]
    named = [item for item in items if item.one_of("basis")]
    told = {item.one_of("basis") for item in named if not any(item is one for one in denied)}
    if message.context.awaiting != "iodine_basis" or len(told) != 1:
        return None
    return Basis(cast(IodineBasis, told.pop()))
