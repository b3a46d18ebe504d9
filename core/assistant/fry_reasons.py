"""Why a number of larvae is what it is, and how many must be counted."""

from __future__ import annotations

from core.assistant.reasons import Reason, Values, joined, leaning, ours, reason, told, unknown
from core.eggs import SHARE_SOURCE
from core.larvae import CUP_SOURCES, SPAWN_SOURCE
from core.replies import Ask, CountNeeded, LarvaeInWater, Measure, PerKg, StockPlan, Survival
from core.survival import RATIO_SOURCE


def of_cups(fact: LarvaeInWater) -> Reason:
    """The mean of the cups, times how often a cup goes into the water; the doubt is that of chance."""
    if fact.amount is not None and fact.each is not None:
        return told("larvae", "larvae-by", amount=(fact.amount, ""), each=(fact.each, ""))
    if fact.mean is None or fact.counted is None or not fact.litres or not fact.cup_ml:
        return told("larvae", "count-told")
    values: Values = {
        "mean": (fact.mean, ""),
        "times": (1000 * fact.litres / fact.cup_ml, ""),
        "counted": (fact.counted, ""),
    }
    found = joined(reason("larvae", "larvae-cups", **values), leaning("larvae", fact.basis, fact.mark))
    return ours(joined(found, reason("larvae", "larvae-wider"))) if fact.uneven else found


def of_survival(fact: Survival) -> Reason:
    """Each number over the one told before it; their doubts are put together."""
    found = told("survival", "survival")
    if fact.eggs is not None and len(fact.basis) > 1:
        found = joined(found, reason("survival", "survival-eggs"), leaning("survival", fact.basis, fact.mark))
    if any(link.low is not None for link in fact.links):
        return joined(found, reason("survival", "survival-doubt"), _doubts())
    return found


def _doubts() -> Reason:
    return leaning("survival", (SHARE_SOURCE, *CUP_SOURCES[:1], RATIO_SOURCE), "from memory")


def of_stocking(fact: StockPlan) -> Reason:
    """What was published, times what was told."""
    if not fact.figures:
        return unknown("stocking")
    return joined(leaning("stocking", fact.basis, fact.mark), reason("stocking", "stocking"))


def of_kg(fact: PerKg) -> Reason:
    """What was told, over the kilos of all that were injected."""
    return told("per-kg", "per-kg", kg=(fact.kg, "kg"))


def of_measure(fact: Measure) -> Reason:
    """The farm's own count; where others lie, a survey tells."""
    return joined(told("measure", "measure"), _surveyed(fact.low, fact.high))


def uncounted(fact: Ask) -> Reason:
    """Why a measure is not reckoned with before it was counted."""
    found = _surveyed(fact.number, fact.limit)
    return (
        joined(found, reason("measure", "measure-apart"))
        if found
        else ours(reason("measure", "measure-apart"))
    )


def _surveyed(low: float | None, high: float | None) -> Reason | None:
    if low is None or high is None:
        return None
    values: Values = {"low": (low, ""), "high": (high, "")}
    found = reason("measure", "measure-surveyed", **values)
    return joined(found, leaning("measure", (SPAWN_SOURCE,), "published"))


def of_sample(fact: CountNeeded) -> Reason:
    """By chance a count varies by its own root; a share varies most where half is good."""
    found = leaning("sample", fact.basis, fact.mark)
    if fact.larvae is not None:
        values: Values = {"larvae": (float(fact.larvae), ""), "percent": (fact.percent, "%")}
        found = joined(found, reason("sample", "sample-larvae", **values))
    if fact.eggs is not None:
        found = joined(found, reason("sample", "sample-eggs"))
    return found
