"""What makes a weighing doubtful before its fish are read: strange words, brackets, goods."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from core.reading.fishes import sex_of
from core.reading.items import Item
from core.reading.message import Message

INNOCENT = (
    "assent",
    "cue",
    "day",
    "filler",
    "hint",
    "join",
    "noun",
    "on",
    "op",
    "part",
    "pronoun",
    "reckon",
    "say",
    "sex",
    "species",
    "species_word",
    "time",
    "topic",
    "unit",
    "when",
)
"""Tables whose words may stand before a weight and name no other fish."""
LIMITS = frozenset("<>≤≥")
JOINING = frozenset(
    {"/", "-", "–", "—", "~", "*", "@", "×", ":", "=", ";", ",", "+", "(", ")", "&", "|", "\n"}
)
BEHIND = ("mend.not_after",)
BOUGHT = ("cue.spent", "cue.order", "cue.sold", "cue.fed", "noun.feed")


def is_of_goods(message: Message) -> bool:
    """Whether what is weighed is no brood fish: feed, or fish that are bought and sold by the kilo."""
    of_fish = message.has("sex.f", "sex.m", "cue.scale") or message.kinds("tag", "coded")
    return not of_fish and bool(message.measured("mass")) and message.has(*BOUGHT)


def any_of(message: Message) -> bool:
    """Whether something of a weighing may mean what was not read."""
    return any(suspected(message) for suspected in SUSPECTED)


def may_be_another(message: Message) -> bool:
    """Whether a weight behind another has a word before it that may name the other sex: "fem 2.4 mal 1.8"."""
    weighed = any(map(_owns, message.items)) and not message.has("cue.scale")
    for at, item in enumerate(message.items):
        if _owns(item):
            weighed = False
        elif item.kind == "num":
            if weighed and at and _is_strange(message.items[at - 1]):
                return True
            weighed = True
    return False


def has_lost_a_number(message: Message) -> bool:
    """Whether a figure stands in a phrase, or a unit behind a word that is no number: "stri at kg"."""
    items = message.items
    if any(item.kind == "word" and (item.has("topic.per_kg") or _has_digits(item)) for item in items):
        return True
    return any(
        item.kind == "word" and item.has("unit.kg", "unit.g") and _is_no_talk(items[at - 1])
        for at, item in enumerate(items)
        if at and sex_of(item) is None
    )


def _has_digits(item: Item) -> bool:
    return any(sign.isdigit() for sign in item.raw) and _is_strange(item)


def _is_no_talk(item: Item) -> bool:
    return item.kind == "junk" or item.has("time.at")


def is_beside_in_brackets(message: Message) -> bool:
    """Whether a weight stands in brackets behind one without: "2.4 (bowl 0.2)"."""
    weighed = inside = False
    for item in message.items:
        if item.raw in {"(", ")"}:
            inside = item.raw == "("
        elif _owns(item):
            weighed = False
        elif item.kind == "num":
            if weighed and inside:
                return True
            weighed = not inside
    return False


def _owns(item: Item) -> bool:
    return item.kind in {"tag", "coded"} or sex_of(item) is not None


def _is_strange(item: Item) -> bool:
    if item.kind == "junk":
        return not item.has("digits.odd")
    return item.kind == "word" and not any(sense.partition(".")[0] in INNOCENT for sense in item.senses)


def without_taken_back(message: Message) -> Message | None:
    """The message without a figure that "not" stands beside, where another is told: "not 2.4 but 2.6"."""
    items = message.items
    taken = [
        at
        for at, item in enumerate(items)
        if item.kind == "num"
        and ((at and items[at - 1].has("mend.not")) or _is_taken_back(items[at + 1 : at + 3]))
    ]
    if not taken or len(taken) == len(message.numbers):
        return None
    return message.part([item for at, item in enumerate(items) if at not in taken])


def _is_taken_back(behind: Sequence[Item]) -> bool:
    """ "145 nahi", "2.4 no 2.6"."""
    if not behind:
        return False
    instead = len(behind) > 1 and behind[1].kind == "num" and behind[0].has("mend.no")
    return instead or behind[0].has(*BEHIND)


def is_bounded(message: Message) -> bool:
    """Whether a weight is a limit, a mean, or less so much: "over 2 kg", "minus 2.4"."""
    items = message.items
    minus = any(item.has("time.minus") and after.kind == "num" for item, after in pairwise(items))
    more = any(
        sex_of(first) is not None and item.has("filler.more") and after.kind == "num"
        for first, item, after in zip(items, items[1:], items[2:], strict=False)
    )
    return minus or more or message.has("cue.bound") or any(item.raw in LIMITS for item in items)


def has_parted_digits(message: Message) -> bool:
    """Whether a sign we do not know joins two numbers: "2·4", "2'4"."""
    items = message.items
    return any(
        first.kind == then.kind == "num"
        and sign.kind == "sign"
        and sign.glued
        and then.glued
        and sign.raw not in JOINING
        for first, sign, then in zip(items, items[1:], items[2:], strict=False)
    )


def is_before_no_weight(message: Message) -> bool:
    """Whether "F2", a name or a weight, stands before a figure that is no weight: "F2 days 2.4"."""
    units = message.lexicon.units
    return any(
        item.kind == "coded" and after.kind == "num" and after.unit and units[after.unit].measures != "mass"
        for item, after in pairwise(message.items)
    )


def is_of_days_besides(message: Message) -> bool:
    """Whether days are told beside weights: "f 3 kg days 2". Of what, a weighing does not say."""
    return any(item.unit == "day" for item in message.numbers)


SUSPECTED = (
    *(may_be_another, is_beside_in_brackets, has_lost_a_number, is_bounded, has_parted_digits),
    is_before_no_weight,
    is_of_days_besides,
)


def choices(message: Message) -> list[Message]:
    """The messages that are meant where a range of weights, or one or another, is told."""
    for at, item in enumerate(message.items):
        if item.kind == "num" and item.high is not None:
            ends = (_of_value(item, item.value), _of_value(item, item.high))
            return [_with(message, at, at, [end]) for end in ends]
        if item.has("join.or") and (sides := _sides(message.items, at)):
            before, after = sides
            unit = message.items[after].unit
            first = _in_unit(message.items[before], unit)
            return [_with(message, before, after, [first]), _with(message, before, after - 1, [])]
    return []


def _sides(items: Sequence[Item], at: int) -> tuple[int, int] | None:
    """Where the numbers stand right before and right behind a place."""
    if not 0 < at < len(items) - 1:
        return None
    both = all(items[side].kind == "num" for side in (at - 1, at + 1))
    return (at - 1, at + 1) if both else None


def _with(message: Message, first: int, last: int, instead: Sequence[Item]) -> Message:
    return message.part([*message.items[:first], *instead, *message.items[last + 1 :]])


def _of_value(item: Item, value: float) -> Item:
    return Item("num", f"{value:g}", item.senses, f"{value:g}" if not item.spoken else "", value, item.unit)


def _in_unit(item: Item, unit: str) -> Item:
    return item if item.unit else Item("num", item.raw, item.senses, item.text, item.value, unit)
