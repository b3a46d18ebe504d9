"""Bottles of hormone: what their labels say, and new ones with their lot and the day they expire."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import Literal, cast

from core.commands import (
    Bottle,
    BottleDays,
    BottleGone,
    BottleLeft,
    FromBottle,
    Label,
    Reading,
    Unclear,
    Understood,
)
from core.reading.items import Item
from core.reading.message import Message
from core.reading.orders import MONTHS
from core.records import Preparation

STRONGEST = 1000.0
STRENGTHS = {"little", "strength", "activity"}
BUDDHIST, BUDDHIST_FROM = 543, 2400
CENTURY = 2000
DAY = 24 * 60
YEAR_FIRST = re.compile(r"(\d{4})[-/.](\d{1,2})(?:[-/.](\d{1,2}))?")
DAY_FIRST = re.compile(r"(?:(\d{1,2})[-/. ]+)?(\d{1,2})[-/. ]+(\d{4}|\d{2})")
MOST_MONTHS = 12
ON_LABELS = ("noun.bottle", "cue.diluted", "in.ug", "in.mg", "in.ug_per_ml", "in.mg_per_ml", "in.iu")


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


def bottle_items(message: Message) -> list[Item]:
    """What of a message belongs to a bottle."""
    told = [*_behind(message, "bottle.lot"), *_behind(message, "bottle.expiry")]
    return [item for item in message.items if _of_a_bottle(item) or any(item is one for one in told)]


def _of_a_bottle(item: Item) -> bool:
    named = item.has("noun.bottle", "cue.opened", "bottle.lot", "bottle.expiry")
    return item.unit == "ml" or named or item.one_of("day") is not None


def label(message: Message) -> Reading | None:
    """What the bottle's label says; of a thinned bottle, that it must be told anew."""
    message = _without_lot(message)
    vial_in_ml = {"iu", "ml"} <= {item.unit for item in message.numbers}
    if message.has("cue.diluted") and message.has("noun.bottle", "topic.hormone") and not vial_in_ml:
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
        return _of_so_many_ml(named) or Label(ug, mg)
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


def _of_so_many_ml(named: dict[str, float]) -> Unclear | None:
    """ "10 ml has 200 ug and 100 mg": of the whole bottle, or of each mL? Nobody knows."""
    ml = named.get("ml", 1.0)
    if ml in {0.0, 1.0} or named.keys() & {"ug_per_ml", "mg_per_ml"}:
        return None
    ug, mg = named.get("ug"), named.get("mg")
    divided = Label(None if ug is None else round(ug / ml, 6), None if mg is None else round(mg / ml, 6))
    return Unclear("ambiguous_unit", (divided, Label(ug, mg)))


def _without_lot(message: Message) -> Message:
    """The message without the figures of a lot and of a day."""
    return message.without([*_behind(message, "bottle.lot"), *_behind(message, "bottle.expiry")])


def bottle(message: Message) -> Reading | None:
    """A bottle opened or new: how much is in it, its lot, the day it expires."""
    lot = _lot(_behind(message, "bottle.lot"))
    expiry = _expiry(_behind(message, "bottle.expiry"))
    glands = message.has("noun.gland") and (lot or expiry)
    plain = _holds_so_much(message)
    if not (message.has("noun.bottle") or glands) or not (
        message.has("cue.opened") or lot or expiry or plain
    ):
        return None
    told = message.part([item for item in message.items if not _is_in(item, _behind(message, "bottle.lot"))])
    told = told.part([item for item in told.items if not _is_in(item, _behind(message, "bottle.expiry"))])
    opened = next((key for item in message.items if (key := item.one_of("day"))), None)
    return Bottle(
        ml=_measured(told, "ml", 1.0),
        opened=opened,
        lot=lot or named(message),
        expiry=expiry,
        count=_counted(told, "noun.bottle"),
        preparation=cast("Preparation | None", message.any_of("preparation")),
        mg=_measured(told, "mg", 1.0) or _measured(told, "g", 1000.0),
        glands=_counted(told, "noun.gland"),
    )


def _holds_so_much(message: Message) -> bool:
    """ "Bottle A3 20 ml", "bottle A3 is 20 ml", and nothing else."""
    volumes = message.measured("volume")
    told = named(message) is not None and len(volumes) == 1 and volumes[0].unit == "ml"
    return told and all(
        item.kind in {"num", "coded", "tag", "sign"} or item.has("noun.bottle", "cue.is", "filler.any")
        for item in message.items
    )


def dry(message: Message) -> Reading | None:
    """A bottle of what comes dry, by its weight: "pituitary bottle 500 mg lot P2"."""
    told = bottle(message) if message.has("preparation.pituitary", "preparation.lhrha") else None
    return told if isinstance(told, Bottle) and told.mg is not None else None


def with_label(message: Message) -> Understood | None:
    """A new bottle with all that its label says: the strength first, then the bottle."""
    told = bottle(message)
    if not isinstance(told, Bottle) or told.ml is None or not message.has("in.ug_per_ml", "in.mg_per_ml"):
        return None
    strength = label(message.part([item for item in message.items if item.unit != "ml"]))
    return Understood(strength, (told,)) if isinstance(strength, Label) else None


def _is_in(item: Item, others: Sequence[Item]) -> bool:
    return any(item is one for one in others)


def _measured(message: Message, unit: str, times: float) -> float | None:
    value = next((item.value for item in message.numbers if item.unit == unit), None)
    return None if value is None else value * times


def _counted(message: Message, sense: str) -> float | None:
    """How many bottles or glands: the number before their word, "3 vials"."""
    for before, item in pairwise(message.items):
        if item.has(sense) and before.whole and before.value > 0:
            return before.value
    return None


def named(message: Message) -> str | None:
    """The code right behind the bottle: "bottle A3", "bottle 2", but not "bottle 20 ug"."""
    for at, item in enumerate(message.items[:-1]):
        after = message.items[at + 1]
        if not item.has(*NOUN):
            continue
        if after.kind in {"tag", "coded"}:
            return after.text if after.kind == "tag" else after.raw
        if after.whole and len(message.numbers) <= 1 + len(message.measured("volume")):
            return after.text or after.raw
    return None


# What becomes of a bottle ---------------------------------------------------------------------------------

GONE: Mapping[str, Literal["wasted", "broken", "thrown-away", "empty"]] = {
    "bottle.thrown": "thrown-away",
    "bottle.broken": "broken",
    "bottle.empty": "empty",
    "bottle.wasted": "wasted",
}
NOUN = ("noun.bottle", "basis.liquid")
"""A bottle, and "of the bottle"."""
ASKED = tuple(f"awaiting.bottle_{what}" for what in ("days", "expiry", "amount", "wasted"))
OF_BOTTLES = ("bottle", "cue.leaked", "topic.left", "basis.liquid", *ASKED)
CALENDAR = re.compile(r"\d{4}-\d{2}(?:-\d{2})?")
LONGEST_KEPT = 400


def fate(message: Message) -> Reading | None:
    """What became of a bottle: spilled, broken, empty, so much left, so many days good, drawn from."""
    if (answer := _asked_for(message)) is not None:
        return answer
    if message.any_of("ask") is not None or message.has("deny.word", "deny.before", "sex.f", "sex.m"):
        return None
    if message.has("bottle.keeps") and (days := _days(message)) is not None:
        return BottleDays(days, _which(message))
    if not message.has(*NOUN, "topic.hormone"):
        return None
    return _gone(message) or _left(message) or _drawn_from(message)


def _asked_for(message: Message) -> Reading | None:
    """The days, the day or the millilitres that were asked for of a bottle, and nothing else."""
    match message.context.awaiting:
        case "bottle_days" if (days := _days(message)) is not None:
            return BottleDays(days)
        case "bottle_expiry" if all(map(_of_a_day, message.items)):
            day = _expiry(message.items)
            return Bottle(expiry=day) if day and CALENDAR.fullmatch(day) else None
        case "bottle_amount" if (ml := _ml_alone(message)) is not None:
            return Bottle(ml=ml)
        case "bottle_wasted" if (ml := _ml_alone(message)) is not None:
            return BottleGone("wasted", ml)
    return None


def _ml_alone(message: Message) -> float | None:
    """ "2 ml", "2", and nothing else."""
    if len(message.items) != 1 or len(message.numbers) != 1:
        return None
    (one,) = message.numbers
    return one.value if one.unit in {"", "ml"} and one.high is None else None


def _which(message: Message) -> str | None:
    return _lot(_behind(message, "bottle.lot")) or named(message)


def _days(message: Message) -> float | None:
    """ "28 days", or a bare number where days were asked for."""
    spans = [item.value / DAY for item in message.kinds("span") if item.value % DAY == 0]
    days = [item.value for item in message.numbers if item.unit == "day"]
    asked = message.context.awaiting == "bottle_days"
    bare = [item.value for item in message.bare()] if asked else []
    found = spans or days or bare
    plain = len(found) == 1 and not message.measured("mass", "volume")
    return found[0] if plain and 0 < found[0] <= LONGEST_KEPT else None


def _gone(message: Message) -> Reading | None:
    what = next((word for sense, word in GONE.items() if message.has(sense)), None)
    if what is None and message.has("cue.leaked") and message.has(*NOUN):
        what = "wasted"
    if what is None or message.measured("mass"):
        return None
    ml = _measured(message, "ml", 1.0)
    if ml is not None and what != "wasted":
        what = "wasted"
    return BottleGone(what, ml, _which(message))


def _left(message: Message) -> Reading | None:
    ml = _measured(message, "ml", 1.0)
    if not message.has("topic.left") or ml is None or len(message.measured("volume")) != 1:
        return None
    return BottleLeft(ml, _which(message))


def _drawn_from(message: Message) -> Reading | None:
    """ "From bottle A3", "we used bottle A3": nothing else is told."""
    lot = _which(message)
    told = message.has("bottle.drawn", "basis.liquid") and message.has(*NOUN) and lot is not None
    return FromBottle(lot) if told and not message.measured("mass", "volume") else None


def _behind(message: Message, sense: str) -> list[Item]:
    """What stands behind the word for a lot or for a day: the first thing that is no small word, and what is
    glued to it; of a day, figures, signs and months as long as they go on."""
    items = message.items
    at = next((at for at, item in enumerate(items) if item.has(sense)), None)
    if at is None:
        return []
    at += 1
    while at < len(items) and _between(items[at]):
        at += 1
    end = at
    while end < len(items) and (
        _of_a_day(items[end]) if sense == "bottle.expiry" else _of_a_lot(items, at, end)
    ):
        end += 1
    return list(items[at:end])


def _between(item: Item) -> bool:
    small = item.has(
        "name.tag", "name.number", "cue.is", "filler.any", "filler.article", "time.at", "noun.bottle"
    )
    return item.raw in {":", ".", "-", "="} or (item.kind == "word" and small)


def _of_a_day(item: Item) -> bool:
    figure = item.kind == "num" and (not item.unit or item.unit == "day")
    joined = item.raw in {"/", "-", "."} or item.has("digits.odd", "date.word", "date.ending")
    return figure or joined or item.one_of("month") is not None


def _of_a_lot(items: Sequence[Item], start: int, at: int) -> bool:
    if at == start:
        return items[at].kind != "sign"
    return items[at].glued and items[at].raw not in {",", ";"}


def _lot(items: Sequence[Item]) -> str | None:
    """ "A334", "A-334"."""
    if len(items) == 1 and items[0].kind == "tag":
        return items[0].text
    written = "".join((" " if n and not item.glued else "") + item.raw for n, item in enumerate(items))
    return written if any(sign.isdigit() for sign in written) else None


def _expiry(items: Sequence[Item]) -> str | None:
    """A day or a month as "2027-05-31" or "2027-05"; as it was typed where no calendar has it."""
    if not items:
        return None
    month = next((key for item in items if (key := item.one_of("month"))), None)
    typed = "".join((" " if n and not item.glued else "") + item.raw for n, item in enumerate(items))
    if month is not None:
        numbers = [int(item.value) for item in items if item.kind == "num"]
        days = [number for number in numbers[:-1] if number <= 31]
        return _dated(numbers[-1], MONTHS.index(month) + 1, days[0] if days else None) if numbers else None
    if (found := YEAR_FIRST.fullmatch(typed)) is not None:
        year, number, day = found.groups()
        return _dated(int(year), int(number), int(day) if day else None) or typed
    if (found := DAY_FIRST.fullmatch(typed)) is None:
        return None
    first, second, year = found.groups()
    day, number = (int(first) if first else None), int(second)
    if day is not None and day <= MOST_MONTHS < number:
        day, number = number, day
    return _dated(int(year), number, day) or typed


def _dated(year: int, month: int, day: int | None) -> str | None:
    year = year + CENTURY if year < 100 else year - BUDDHIST if year > BUDDHIST_FROM else year
    if not 1 <= month <= MOST_MONTHS or not (day is None or 1 <= day <= 31):
        return None
    return f"{year:04d}-{month:02d}" + (f"-{day:02d}" if day is not None else "")
