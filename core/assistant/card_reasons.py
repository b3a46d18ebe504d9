"""Why the numbers of a run's card are what they are: told, or worked out from what was told."""

from __future__ import annotations

from datetime import datetime

from core.assistant.reasons import OWN, Reason, joined, leaning, ours, reason, told
from core.comparing import ENOUGH
from core.eggs import SHARE_SOURCE
from core.replies import BestRun, Comparison, FemaleRuns, Result, WhyLow
from core.survival import RATIO_SOURCE


def of_result(fact: Result, hatched_at: datetime | None) -> Reason:
    """What was told, and on which figures of a card the rest leans."""
    worked_out = (_derived(fact), _eggs(fact), _window(fact)) if fact.whole else ()
    besides = [each for each in worked_out if each is not None]
    hour = {} if hatched_at is None else {"at": (hatched_at, "")}
    if not besides:
        return told("result", "result-told" if hour else "result", **hour)
    return joined(told("result", "result-counted-at" if hour else "result-counted", **hour), *besides)


def of_several(fact: BestRun | Comparison | FemaleRuns | WhyLow) -> Reason:
    """Runs side by side; from how many on there is a mean is a rule of ours."""
    match fact:
        case BestRun():
            return told("comparison", "best-run")
        case Comparison():
            return ours(told("comparison", "comparison", enough=(float(fact.enough), "")))
        case FemaleRuns():
            return ours(told("comparison", "female", enough=(float(ENOUGH), "")))
        case WhyLow():
            found = joined(told("differences", "differences"), leaning("differences", fact.basis, fact.mark))
            return ours(found)


def _derived(fact: Result) -> Reason | None:
    """One hatch rate from the other."""
    if not fact.derived:
        return None
    found = reason("result", f"result-{fact.derived}-from-other")
    if fact.derived_low is None:
        return found
    return joined(found, leaning("result", (SHARE_SOURCE, RATIO_SOURCE), "from memory"))


def _eggs(fact: Result) -> Reason | None:
    """Eggs of grams or litres, by whose count."""
    if fact.eggs is None:
        return None
    own = fact.mark == OWN
    found = reason("result", "result-eggs-own" if own else "result-eggs")
    return joined(found, leaning("result", fact.basis, fact.mark))


def _window(fact: Result) -> Reason | None:
    """The window by the run's own water."""
    if fact.window is None or fact.against_window is None:
        return None
    found = reason("result", "result-window-assumed" if fact.window.assumed else "result-window")
    return joined(found, leaning("result", fact.window.basis, fact.window.mark))
