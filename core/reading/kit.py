"""What is the farm's own: its syringes, what one of its glands weighs, its dose and the reason for it."""

from __future__ import annotations

from typing import Literal, cast

from core.commands import DoseReason, GlandWeight, Reading, SetDose, Syringes, Unclear, Units, VialDissolved
from core.reading.items import Item
from core.reading.message import Message
from core.reading.moments import moment_of
from core.reading.needle import dose_alone
from core.records import OwnUnit, UnitSystem

MOST_ML = 20.0
MOST_GLAND_MG = 20.0


def syringes(message: Message) -> Reading | None:
    """The syringes at hand: "1 ml and 5 ml syringes", "5 ml syringe, marks every 0.2"."""
    if not message.has("noun.syringe") or message.has("cue.injected", "ask.mark", "ask.what", "topic.dose"):
        return None
    sizes = [item for item in message.numbers if item.unit in {"", "ml"} and not _counts(message, item)]
    if not sizes or len(sizes) < len([item for item in message.numbers if not _counts(message, item)]):
        return None
    if any(not 0 < item.value <= MOST_ML for item in sizes):
        return Unclear("implausible")
    marked = [item for item in sizes if _is_a_mark(message, item)]
    plain = [item.value for item in sizes if item not in marked]
    if marked and (len(marked), len(plain)) != (1, 1):
        return Unclear("ambiguous_intent")
    return Syringes(tuple((ml, marked[0].value if marked else None) for ml in plain))


def _is_a_mark(message: Message, number: Item) -> bool:
    """A number beside the word for the marks: "marks 0.2", "0.2 marks"."""
    at = next(at for at, item in enumerate(message.items) if item is number)
    near = message.items[max(at - 2, 0) : at + 2]
    return any(item.has("noun.marks") for item in near)


def _counts(message: Message, number: Item) -> bool:
    """How many syringes there are: "2 syringes of 5 ml"."""
    at = next(at for at, item in enumerate(message.items) if item is number)
    behind = message.items[at + 1 : at + 2]
    measured = any(item.unit == "ml" for item in message.numbers)
    return measured and not number.unit and any(item.has("noun.syringe") for item in behind)


def gland(message: Message) -> Reading | None:
    """What one gland weighs: "one gland is 3 mg", "glands of 3 mg each"."""
    if not message.has("noun.gland") or message.has("cue.injected", "ask.mark", "noun.bottle"):
        return None
    weights = [item for item in message.numbers if item.unit == "mg"]
    others = [item for item in message.numbers if item not in weights and item.value != 1]
    if len(weights) != 1 or others:
        return None
    return GlandWeight(weights[0].value) if 0 < weights[0].value <= MOST_GLAND_MG else Unclear("implausible")


PER_KG = {"ug_per_kg": "ug", "iu_per_kg": "IU", "mg_per_kg": "mg", "ml_per_kg": "mL"}  # the first told counts


def own_dose(message: Message) -> Reading | None:
    """A dose the farm sets: "use 12 ug per kg", "our dose is 0.6 ml/kg". Given or only set, where no word
    tells: asked."""
    told = {item.unit: item for item in message.numbers if item.unit in PER_KG}
    if not told or message.has("ask.mark", "ask.what", "noun.bottle") or message.tags:
        return None
    given = any(item.has("cue.injected", "cue.given") and not _noun(item) for item in message.items)
    if given or message.kinds("clock", "ago") or message.any_of("which") is not None:
        return None
    if len(told) < len(message.numbers) or any(item.high is not None for item in told.values()):
        return None
    unit = next(unit for unit in PER_KG if unit in told)
    set_by = SetDose(told[unit].value, cast(OwnUnit, PER_KG[unit]))
    if message.has("cue.own_dose", "cue.injected_noun", "topic.dose", "preparation.own"):
        return set_by
    if message.context.open_run and not message.context.waiting:
        return None  # every fish had its needle
    others = dose_alone(message)
    return Unclear("ambiguous_intent", (set_by, *(others.candidates if others else ())))


def _noun(item: Item) -> bool:
    return item.has("cue.injected_noun")


def reason(message: Message) -> Reading | None:
    """Why a dose is to be so large, where that was asked for: whatever else was not understood."""
    if message.context.awaiting != "dose_reason" or message.numbers or not message.words:
        return None
    return DoseReason(message.text.strip())


SYSTEMS: dict[str, UnitSystem] = {
    "unit.kg": "metric",
    "unit.g": "metric",
    "unit.lb": "imperial",
    "unit.oz": "imperial",
    "unit.kati": "kati",
    "unit.viss": "viss",
}
GALLONS: dict[str, Literal["us", "imperial"]] = {"unit.gal_us": "us", "unit.gal_imp": "imperial"}


def of_the_farm(item: Item, gallon: str) -> Item:
    """A bare gallon is the one of the farm."""
    if item.unit != "gallon":
        return item
    return item._replace(unit="gal_us" if gallon == "us" else "gal_imp")


def units(message: Message) -> Reading | None:
    """What the farm weighs or measures in: "we weigh in pounds", "our gallons are US gallons"."""
    if message.numbers or not message.has("cue.units") or message.has("ask.mark", "ask.what"):
        return None
    systems = {system for sense, system in SYSTEMS.items() if message.has(sense)}
    gallons = {kind for sense, kind in GALLONS.items() if message.has(sense)}
    if len(systems) + len(gallons) != 1:
        return None
    return Units(next(iter(systems), None), next(iter(gallons), None))


def dissolved(message: Message) -> Reading | None:
    """A vial was dissolved: "dissolved the hCG at 18:00"."""
    of_vial = message.has("noun.bottle", "preparation.hcg", "topic.hormone")
    if not (message.has("cue.dissolved") and of_vial) or message.has("ask.mark", "deny.word"):
        return None
    at, ago, left = moment_of(message)
    return None if left or any(item.unit for item in message.numbers) else VialDissolved(at, ago)
