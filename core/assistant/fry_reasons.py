"""Why a number of larvae is what it is, and how many must be counted."""

from __future__ import annotations

from core.assistant.reasons import Reason, Values, joined, leaning, ours, reason, told
from core.larvae import SPAWN_SOURCE
from core.replies import Ask, CountNeeded, LarvaeInWater, Measure


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
