"""Why the shelf says what it says: how a ledger adds up, what tomorrow takes, when its bells ring."""

from __future__ import annotations

from core import reminders, stock
from core.assistant.reasons import Reason, joined, leaning, ours, reason, told
from core.replies import BottleNow, HormoneEnough

TRADE = ("trade",)


def holds_figure(fact: BottleNow | HormoneEnough) -> bool:
    """Whether "why?" is about it: not what a needle left, for its hours were told a moment before."""
    if isinstance(fact, BottleNow):
        return fact.what != "drawn"
    return fact.verdict != "no-bottle" or fact.need is not None


def of_ledger() -> Reason:
    """What came in, less what went into fish and what was told as wasted."""
    return told("shelf", "ledger")


def of_bottle(fact: BottleNow) -> Reason:
    """The ledger of one bottle; how long some labels give an opened one, or a closed one keeps."""
    found = told("shelf", "ledger")
    if fact.bottle.reckoned:
        found = joined(found, told("shelf", "ledger-reckoned"))
    if fact.usual_days is not None or fact.usual_years is not None:
        found = joined(found, reason("shelf", "bottle-keeps"), leaning("shelf", TRADE, stock.USUAL_MARK))
    return found


def of_enough(fact: HormoneEnough) -> Reason:
    """What is left by the ledger, and what is to be drawn: by the sheets, else as the newest runs took."""
    found = told("shelf", "ledger")
    if fact.need is None:
        return found
    return joined(found, told("shelf", f"need-{fact.of}", runs=(float(fact.runs), "")))


def of_bell(step: str) -> Reason:
    """Why a bell of the shelf rings at its hour: a rule of our own, on what the label and the ledger say."""
    if step == "bottle-low":
        return ours(told("shelf", "bottle-low", runs=(float(stock.LATELY), "")))
    before = reminders.EXPIRES_BEFORE.days, reminders.ENDS_BEFORE.days
    return ours(told("shelf", "bottle-expires", days=(float(before[0]), ""), opened=(float(before[1]), "")))
