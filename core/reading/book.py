"""What goes into the books: labels, zones, iodine, sales, costs, bottles, troubles."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, cast

from core.commands import Basis, Bottle, Label, Reading, Trouble, Unclear, Zone
from core.reading import times
from core.reading.items import Item
from core.reading.message import Message
from core.reading.moments import hour
from core.records import IodineBasis

ZONE_NAME = re.compile(r"[A-Za-z]{3,20}/[A-Za-z_+\-0-9]{2,30}(?:/[A-Za-z_]{2,30})?")
LONGEST_PLACE = 40
STRONGEST = 1000.0
STRENGTHS = {"little", "strength", "activity"}
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
            denied = any(item.has("deny.word", "deny.before") for item in others)
            asked = clause.items[0].has("may.ask")
            sure = peril is None or (peril.sure and not (peril.what == "smell" and _of_eggs(clause)))
            return alarm if sure and not denied and not asked else Unclear("ambiguous_intent", (alarm,))
    what = message.any_of("device")
    if what is not None and all(_device_alone(item) for item in message.items):
        sure = message.any_of("trouble_alone") is not None and not message.has("ask.mark")
        return _alarm(what) if sure else Unclear("ambiguous_intent", (_alarm(what),))
    return None


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


def label_items(message: Message) -> list[Item]:
    """What of a message belongs to a label: strengths, and "20+10" behind the bottle."""
    found: list[Item] = []
    units = message.lexicon.units
    vial = any(item.unit == "iu" for item in message.numbers)
    items = message.items
    for at, item in enumerate(items):
        strong = bool(item.unit) and units[item.unit].measures in STRENGTHS
        if strong or item.has("noun.bottle") or (vial and item.unit == "ml"):
            found.append(item)
        elif item.raw == "+" and 0 < at < len(items) - 1 and _summed(items[at - 1], items[at + 1]):
            found.extend(items[at - 1 : at + 2])
    return found


def _summed(before: Item, after: Item) -> bool:
    return before.kind == after.kind == "num" and not before.unit and not after.unit and after.glued


def bottle_items(item: Item) -> bool:
    """What of a message belongs to a bottle."""
    return item.unit == "ml" or item.has("noun.bottle", "cue.opened") or item.one_of("day") is not None


def label(message: Message) -> Reading | None:
    """What the bottle's label says; of a thinned bottle, that it must be told anew."""
    if message.has("cue.diluted") and message.has("noun.bottle", "topic.hormone"):
        return Unclear("no_number", (Label(),))
    units = [item.unit for item in message.numbers if item.unit]
    named = {item.unit: item.value for item in message.numbers if item.unit}
    ug = named.get("ug_per_ml", named.get("ug"))
    mg = named.get("mg_per_ml", named.get("mg"))
    vial = named.get("iu")
    bare = message.bare()
    needle = message.has("cue.injected", "cue.gave") or message.any_of("which") is not None
    if needle and not message.has("noun.bottle") and not _awaited(message):
        ug, mg, vial = named.get("ug_per_ml"), named.get("mg_per_ml"), None
    if len(units) > len(named) and named.keys() & {"ug", "mg", "ug_per_ml", "mg_per_ml", "iu"}:
        return Unclear("ambiguous_unit")
    if vial is not None:
        return Label(iu_per_vial=vial, diluent_ml=named.get("ml"))
    if ug is not None or (mg is not None and (message.has("noun.bottle") or _awaited(message))):
        strong = any(value is not None and not 0 < value <= STRONGEST for value in (ug, mg))
        if strong or bare:
            return Unclear("implausible" if strong else "ambiguous_unit")
        return Label(ug, mg)
    if len(bare) == 2 and len(message.numbers) == 2 and (_awaited(message) or _plus(message)):
        return Label(bare[0].value, bare[1].value)
    plain = message.has("noun.bottle") and all(map(_on_a_label, message.items))
    if plain and len(bare) == 2 == len(message.numbers):
        return Unclear("ambiguous_unit", (Label(bare[0].value, bare[1].value),))
    if len(bare) > 2 and _plus(message) and any(item.raw == "+" for item in label_items(message)):
        return Unclear("ambiguous_unit")
    return None


def _awaited(message: Message) -> bool:
    return message.context.awaiting == "label"


def _on_a_label(item: Item) -> bool:
    """What "bottle 20 10" is made of, and nothing else."""
    return item.kind in {"num", "sign"} or item.has("noun.bottle") or item.one_of("filler") is not None


def _plus(message: Message) -> bool:
    return message.has("noun.bottle") and any(item.raw == "+" for item in message.items)


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
    place = message.text.strip().strip(".!")
    if awaited and not message.numbers and 0 < len(place) <= LONGEST_PLACE and message.any_of("say") is None:
        return Zone(place=place)
    return None


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


def basis(message: Message) -> Reading | None:
    """What the iodine's figure is of."""
    told = {key for item in message.items if (key := item.one_of("basis"))}
    if message.context.awaiting != "iodine_basis" or len(told) != 1:
        return None
    return Basis(cast(IodineBasis, told.pop()))


def bottle(message: Message) -> Reading | None:
    """A bottle opened."""
    ml = next((item.value for item in message.numbers if item.unit == "ml"), None)
    if not (message.has("noun.bottle") and message.has("cue.opened")):
        return None
    opened = next((key for item in message.items if (key := item.one_of("day"))), None)
    return Bottle(ml=ml, opened=opened)
