"""What answers to "why?" are made of: codes of sentences, the values in them, sources, the mark."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime

from core import dosing, forecasts
from core.assistant.talk import Talk
from core.errors import NoFigure
from core.records import Batch, Group, Mark, Preparation, Run, Strength
from core.replies import Because
from core.species import Card, Curve, Figure, Hatching, Report, weakest
from core.timing import HOUR, Window

OWN: Mark = "the farm's own"
FARM = "farm"
"""The id of what the farm told, beside the ids of sources."""
APART = 1.1
"""Reports whose hours differ by more than this are named as disagreeing."""

Value = float | datetime | str
Values = dict[str, tuple[Value, str]]
"""Values of a sentence by their names there, each with its unit."""


@dataclass(frozen=True, slots=True)
class Reason:
    """How one figure came about. `rule`: a rule of this bot's own has a part in it, which no source has."""

    about: str
    codes: tuple[str, ...]
    values: tuple[Because, ...] = ()
    basis: tuple[str, ...] = ()
    mark: Mark | None = None
    rule: bool = False


def reason(about: str, code: str, *known: Figure | Curve | None, **values: tuple[Value, str]) -> Reason:
    """A sentence with its values, each with its unit, and the figures of a card it leans on."""
    leaned = [each for each in known if each is not None]
    return Reason(
        about,
        (code,),
        tuple(Because(name, value, unit) for name, (value, unit) in values.items()),
        tuple(dict.fromkeys(source for each in leaned for source in each.sources)),
        weakest(each.mark for each in leaned) if leaned else None,
    )


def ours(found: Reason) -> Reason:
    """The same, in which a rule of this bot's own has a part."""
    return replace(found, rule=True)


def joined(first: Reason, *others: Reason | None) -> Reason:
    """Several reasons of one figure: as weak as the weakest of them."""
    parts = (first, *(each for each in others if each is not None))
    marks = [each.mark for each in parts if each.mark is not None]
    return Reason(
        first.about,
        tuple(dict.fromkeys(code for each in parts for code in each.codes)),
        tuple(dict.fromkeys(value for each in parts for value in each.values)),
        tuple(dict.fromkeys(source for each in parts for source in each.basis)),
        weakest(marks) if marks else None,
        any(each.rule for each in parts),
    )


def told(about: str, code: str = "told", **values: tuple[Value, str]) -> Reason:
    """What the farm said itself."""
    found = reason(about, code, **values)
    return Reason(about, found.codes, found.values, (FARM,), OWN)


def leaning(about: str, basis: tuple[str, ...], mark: Mark | None) -> Reason:
    """Sources alone, to be joined to a sentence."""
    return Reason(about, (), (), basis, mark)


def spread(figure: Figure, unit: str) -> Reason | None:
    """From where to where the sources go, in `unit`; `None` where they tell one number."""
    if figure.low >= figure.high:
        return None
    return reason("range", "range", low=(figure.low, unit), high=(figure.high, unit))


# Curves ---------------------------------------------------------------------------------------------------


def by_curve(
    about: str,
    curve: Curve,
    celsius: float,
    hours: tuple[float, float, float],
    since: str,
) -> Reason:
    """Hours of a window (earliest, likely, latest) from its step `since`, through the card's curve."""
    low, likely, high = hours
    told_hours: Values = {
        "hours": (likely, "h"),
        "low": (low, "h"),
        "high": (high, "h"),
        "since": (since, ""),
    }
    if curve.flat_hours is not None:
        return reason(about, "curve-flat", curve, **told_hours)
    told_hours |= {
        "degree_hours": (curve.degree_hours, "degree-hours"),
        "zero": (curve.zero_celsius, "C"),
        "celsius": (celsius, "C"),
    }
    if curve.likely == 1:
        return reason(about, "curve-bare", curve, **told_hours)
    return reason(about, "curve", curve, factor=(curve.likely, ""), **told_hours)


def disagreeing(
    talk: Talk, card: Card, curve: Curve, event: Hatching, preparation: Preparation | None = None
) -> Reason | None:
    """Who told the shortest and who the longest hours, each in its own water; `None` where they agree."""
    fitting = [each for each in card.reports if _is_of(each, curve, event, preparation)]
    by_source: dict[str, list[float]] = {}
    for each in fitting:
        by_source.setdefault(each.source, []).append(_against(each, curve))
    if len(by_source) < 2:
        return None
    means = {source: sum(found) / len(found) for source, found in by_source.items()}
    short, long = min(means, key=means.__getitem__), max(means, key=means.__getitem__)
    if means[long] < APART * means[short]:
        return None
    return reason("range", "apart", short=(brief(talk, short), ""), long=(brief(talk, long), ""))


def _is_of(report: Report, curve: Curve, event: Hatching, preparation: Preparation | None) -> bool:
    told_water = report.low_celsius is not None and report.high_celsius is not None
    same = report.event == event and report.preparation in (None, preparation)
    return same and told_water and not report.outside and report.source in curve.sources


def _against(report: Report, curve: Curve) -> float:
    """The hours of a report over those of the bare curve in its water."""
    celsius = ((report.low_celsius or 0.0) + (report.high_celsius or 0.0)) / 2
    return (report.low_hours + report.high_hours) / 2 / curve.hours(celsius)


def brief(talk: Talk, source: str) -> str:
    """The short name of a source."""
    cited = talk.knowledge.sources.get(source)
    return cited.brief if cited else source


def of_group(talk: Talk, run: Run, group: Group, about: str = "strip") -> Reason:
    """When the eggs of an injected group should run. Raises `NoFigure`."""
    card = talk.card(run)
    view = forecasts.strip(run, group, card)
    curve, borrowed = forecasts.group_curve(run, group, card)
    hours = hours_of(view.window)
    found = by_curve(about, curve, view.window.celsius, hours, "inject")
    return joined(found, *_besides(talk, run, curve, borrowed, view.window.wide))


def of_plan(talk: Talk, run: Run, final_at: datetime, about: str = "plan") -> Reason:
    """When the eggs of fish should run that are to be injected then. Raises `NoFigure`."""
    card = talk.card(run)
    window = forecasts.if_injected(run, card, final_at)
    curve, borrowed = card.strip_curve(run.preparation)
    found = by_curve(about, curve, window.celsius, hours_of(window), "inject")
    return joined(found, *_besides(talk, run, curve, borrowed, window.wide))


def _besides(talk: Talk, run: Run, curve: Curve, borrowed: bool, wide: bool) -> list[Reason | None]:
    """What makes a window wider, or its sources differ."""
    if borrowed:
        return [reason("strip", "borrowed")]
    if wide:
        return [reason("strip", "widened")]
    return [disagreeing(talk, talk.card(run), curve, "strip", run.preparation)]


def of_hatch(talk: Talk, run: Run, batch: Batch) -> Reason:
    """When the larvae of a batch should hatch. Raises `NoFigure`."""
    card = talk.card(run)
    view = forecasts.hatch(run, batch, card)
    curve = card.hatch
    assert curve is not None
    found = by_curve("hatch", curve, view.window.celsius, hours_of(view.window), view.from_step)
    if view.window.wide:
        return joined(found, reason("hatch", "widened"))
    return joined(found, disagreeing(talk, card, curve, "hatch"))


def hours_of(window: Window) -> tuple[float, float, float]:
    """Earliest, likely and latest, in hours from the start."""
    earliest, likely, latest = (
        (at - window.start) / HOUR for at in (window.earliest, window.likely, window.latest)
    )
    return earliest, likely, latest


# Doses ----------------------------------------------------------------------------------------------------


def by_dose(
    card: Card,
    preparation: Preparation,
    strength: Strength | None,
    lines: Iterable[dosing.DoseLine],
    leaned: Reason,
) -> Reason:
    """The first dose of a sheet, reckoned out: per kg, times the weight, through the strength."""
    dosed = [line for line in lines if line.shots and None not in (shot.amount for shot in line.shots)]
    if not dosed:
        return joined(reason("dose", "dose-none"), leaned)
    line = min(dosed, key=lambda each: each.sex != "f")
    amount, unit = sum(shot.amount or 0.0 for shot in line.shots), line.shots[0].unit
    values: Values = {
        "tag": (line.tag, ""),
        "per_kg": (amount / line.kg, unit),
        "kg": (line.kg, "kg"),
        "unit": (unit, "unit"),
        "amount": (amount, unit),
    }
    held, ml = dosing.held(preparation, strength), sum(shot.ml or 0.0 for shot in line.shots)
    if held is not None and ml:
        values |= {"held": (held, unit), "ml": (ml, "mL")}
    several = None
    if len(line.shots) > 1:
        several = reason("dose", "shots", shots=(float(len(line.shots)), ""))
    bare = reason("dose", "dose-ml" if "ml" in values else "dose-amount", **values)
    spans = _dose_range(card, preparation, line.sex or "f", unit)
    return joined(bare, several, _mixed(line), spans, leaned)


def _mixed(line: dosing.DoseLine) -> Reason | None:
    """Why a bottle is thinned, or in how much something is dissolved."""
    mixed = next((shot for shot in line.shots if shot.liquid_ml is not None), None)
    if mixed is None or mixed.liquid_ml is None:
        return None
    if mixed.ml is None:
        return ours(reason("dose", "dose-carrier", carrier=(mixed.liquid_ml / line.kg, "mL")))
    return ours(reason("dose", "dose-thinned"))


def _dose_range(card: Card, preparation: Preparation, sex: str, unit: str) -> Reason | None:
    try:
        figure, _ = dosing.dosed_by(card.dose_rule(preparation, "m" if sex == "m" else "f"))
    except NoFigure:
        return None
    return None if figure is None else spread(figure, unit)


# Where there is nothing to reckon with --------------------------------------------------------------------


def unknown(about: str, *known: Curve | None, **values: tuple[Value, str]) -> Reason:
    """Nobody published a figure; with values, what was published instead."""
    return reason(about, "no-figure-there" if values else "no-figure", *known, **values)


def run_of(talk: Talk, number: int) -> Run | None:
    """The run of that number, if it is still on the desk."""
    return talk.run(number) if number and talk.events_of(number) else None
