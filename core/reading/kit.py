"""What the farm works with: its syringes, and what one of its glands weighs."""

from __future__ import annotations

from core.commands import GlandWeight, Reading, Syringes, Unclear
from core.reading.items import Item
from core.reading.message import Message

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
