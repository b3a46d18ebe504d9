""" "Why?" of a bath: the sum, what is reported, what killed, and who says so."""

from __future__ import annotations

from core.assistant.reasons import FARM, OWN, Reason, Value, Values, joined, leaning, reason, unknown
from core.replies import BathMix, Refused
from core.species import Citation

FORBIDDEN = {"malachite-green": "malachite-rules"}
"""What is refused whatever the strength, and the source of that."""


def holds_figure(fact: BathMix) -> bool:
    """Whether a bath tells a number, or that none is known."""
    told = (fact.target_mg_per_l, fact.reported_high, fact.limit_mg_per_l)
    return "no-figure" in fact.warnings or any(each is not None for each in told)


def of_bath(fact: BathMix) -> Reason:
    """The sum first, then from where to where the sources go, then what died."""
    told = [each for each in (_sum(fact), _reported(fact), _killed(fact)) if each is not None]
    if "no-figure" in fact.warnings or not told:
        return unknown("bath")
    sources = fact.basis or (FARM,)
    mark = fact.mark if fact.basis or fact.mark == OWN else OWN
    return joined(told[0], *told[1:], leaning("bath", sources, mark))


def _sum(fact: BathMix) -> Reason | None:
    """mg/L, times litres, through what a mL of the stock holds."""
    if fact.target_mg_per_l is None or fact.verdict not in ("mix", "ask"):
        return None
    values: Values = {"target": (fact.target_mg_per_l, "mg")}
    if fact.litres is not None and fact.stock_ml is not None and fact.stock_mg_per_ml is not None:
        more: Values = {
            "litres": (fact.litres, "L"),
            "held": (fact.stock_mg_per_ml, "mg"),
            "ml": (fact.stock_ml, "mL"),
        }
        return reason("bath", "bath-ml", **values, **more)
    if fact.litres is not None and fact.powder_g is not None:
        return reason(
            "bath", "bath-grams", **_target(fact), litres=(fact.litres, "L"), grams=(fact.powder_g, "g")
        )
    return reason("bath", "bath-strength", **_target(fact))


def _target(fact: BathMix) -> Values:
    return {"target": _shown(fact, "target", fact.target_mg_per_l), "unit": (_unit(fact), "")}


def _reported(fact: BathMix) -> Reason | None:
    if fact.reported_low is None or fact.reported_high is None:
        return None
    values: Values = {
        "low": _shown(fact, "low", fact.reported_low),
        "high": _shown(fact, "high", fact.reported_high),
        "unit": (_unit(fact), ""),
    }
    same = fact.reported_low == fact.reported_high
    return reason("bath", "bath-reported-one" if same else "bath-reported", **values)


def _killed(fact: BathMix) -> Reason | None:
    if fact.limit_mg_per_l is None:
        return None
    values: Values = {"limit": _shown(fact, "limit", fact.limit_mg_per_l), "unit": (_unit(fact), "")}
    return reason("bath", f"bath-{fact.limit}", **values)


def _unit(fact: BathMix) -> str:
    return fact.shown.unit if fact.shown is not None else "mg"


def _shown(fact: BathMix, name: str, mg_per_l: float | None) -> tuple[Value, str]:
    told = getattr(fact.shown, name) if fact.shown is not None else None
    return (told if told is not None else mg_per_l or 0.0), _unit(fact)


def of_forbidden(fact: Refused, source: Citation) -> Reason:
    """What the law forbids, and where that is written."""
    return joined(reason("refused", fact.why), leaning("refused", (source.id,), source.mark))
