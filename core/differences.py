"""What differed in one run from the farm's other runs and the card of its species: a list, never a cause.

Each thing is looked at by itself. It differed, did not, was not told, or there is nothing to hold it against.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import timedelta
from typing import Literal

from core import dosing
from core.broodbook import BroodFish, gave_before, in_runs
from core.comparing import ENOUGH, dose_of, measured
from core.errors import NoFigure
from core.records import CountOf, Mark, Preparation, RunRow, WaterRow
from core.results import against_window
from core.runs import plain_tag
from core.species import Card, DoseRule, Figure

DAY = timedelta(days=1)

Thing = Literal[
    "fertilised", "looks", "hours", "ran", "milt", "males", "water", "hatch-water", "dose", "rest"
]
Verdict = Literal["differs", "same", "not-told", "no-measure"]


@dataclass(frozen=True, slots=True)
class Difference:
    """One thing of a run. `code` says how it differed, `value` (or the lowest of `value`..`most`) what it
    was; `low`..`high` what that is held against: `others` runs of the farm, or (0) the card, by `basis`."""

    thing: Thing
    verdict: Verdict
    code: str = ""
    value: float | None = None
    most: float | None = None
    low: float | None = None
    high: float | None = None
    unit: str = ""
    others: int = 0
    tags: tuple[str, ...] = ()
    words: tuple[str, ...] = ()
    basis: tuple[str, ...] = ()
    mark: Mark | None = None


@dataclass(frozen=True, slots=True)
class Others:
    """The hatch of a run, and of the farm's other runs of the same species."""

    of: CountOf
    percent: float | None
    runs: int
    low: float | None
    high: float | None


def others_of(row: RunRow, rows: Iterable[RunRow]) -> Others:
    """Over those that are of the same kind of eggs as this one."""
    same = [each for each in rows if each.species == row.species]
    found = measured(same)
    values = [value for run, value in found.figures.items() if run != row.run]
    percent = found.figures.get(row.run)
    if percent is None:
        return Others(row.hatched_of, row.hatched_percent, 0, None, None)
    return Others(found.of, percent, len(values), min(values, default=None), max(values, default=None))


def differences(
    row: RunRow, rows: Sequence[RunRow], card: Card | None, book: Iterable[BroodFish]
) -> tuple[Difference, ...]:
    """Every thing that is looked at, in the order of a night; `book` is the brood book of all rows."""
    others = [
        each for each in rows if each.run != row.run and each.species == row.species and each.took_place
    ]
    return (
        _rest(row, card, book),
        _dose(row, card),
        _water("water", row.water, card, [each.water for each in others]),
        _hours(row),
        _lasting(row, "ran", row.ran_minutes, card),
        _looks(row),
        _males(row, card, others),
        _lasting(row, "milt", row.milt_minutes, card),
        _fertilised(row, others),
        _water("hatch-water", row.hatch_water, card, [each.hatch_water for each in others]),
    )


def _looks(row: RunRow) -> Difference:
    """How the eggs looked: clumped, watery, with blood or whitish ones differ."""
    if not row.looks:
        return Difference("looks", "not-told")
    odd = [each for each in row.looks if each.quality != "even"]
    if not odd:
        return Difference("looks", "same")
    words = tuple(dict.fromkeys(each.quality for each in odd))
    tags = tuple(dict.fromkeys(each.tag for each in odd if each.tag))
    return Difference("looks", "differs", "odd", tags=tags, words=words)


def _hours(row: RunRow) -> Difference:
    """Hours to the eggs against the window of the run's own water."""
    against = against_window(row)
    if row.hours_to_strip is None:
        return Difference("hours", "not-told")
    if against is None or row.window is None:
        return Difference("hours", "no-measure", value=row.hours_to_strip, unit="h")
    window, off = row.window, against in ("before", "late", "after")
    return Difference(
        "hours",
        "differs" if off else "same",
        against if off else "",
        value=row.hours_to_strip,
        low=window.most_from,
        high=window.most_to,
        unit="h",
        basis=window.basis,
        mark=window.mark,
    )


def _lasting(row: RunRow, thing: Thing, minutes: float | None, card: Card | None) -> Difference:
    """How long eggs that were taken by hand waited for something, against how long they last."""
    life = card.egg_life_minutes if card else None
    if row.way != "stripped":
        return Difference(thing, "no-measure")
    if minutes is None:
        return Difference(thing, "not-told")
    if life is None:
        return Difference(thing, "no-measure", value=minutes, unit="min")
    return _against(thing, life, minutes, minutes > life.low, "long", unit="min")


def _males(row: RunRow, card: Card | None, others: Sequence[RunRow]) -> Difference:
    """How many males, and for each female that gave eggs; one alone differs, unless it was always one."""
    number = _number_of_males(row)
    if not number:
        return Difference("males", "not-told")
    if number == 1:
        before = [many for each in others if (many := _number_of_males(each))]
        if len(before) >= ENOUGH and max(before) == 1:
            return Difference("males", "same", value=1.0)
        return Difference("males", "differs", "one", value=1.0)
    females = [fish for fish in row.fish if fish.sex == "f" and fish.gave_at is not None]
    figure = card.males_per_female if card else None
    if not females or figure is None:
        return Difference("males", "no-measure", value=float(number))
    each = number / len(females)
    return _against("males", figure, round(each, 2), each < figure.low, "few", unit="each")


def _number_of_males(row: RunRow) -> int:
    return sum(1 for fish in row.fish if fish.sex == "m")


def _water(
    thing: Thing, water: WaterRow | None, card: Card | None, others: Sequence[WaterRow | None]
) -> Difference:
    """The water against the best range of the card; its mean against that of the other runs where they are
    enough."""
    if water is None:
        return Difference(thing, "not-told")
    if card is not None:
        best = card.best_celsius
        code = "cold" if water.low < best.low else "warm" if water.high > best.high else ""
        if code:
            return _against(thing, best, water.low, True, code, most=water.high, unit="C")
    means = [each.mean for each in others if each is not None]
    if len(means) >= ENOUGH and not min(means) <= water.mean <= max(means):
        code = "colder" if water.mean < min(means) else "warmer"
        low, high = min(means), max(means)
        return Difference(thing, "differs", code, water.mean, low=low, high=high, unit="C", others=len(means))
    if card is not None:
        return _against(thing, card.best_celsius, water.mean, False, "", unit="C")
    verdict: Verdict = "same" if len(means) >= ENOUGH else "no-measure"
    return Difference(thing, verdict, value=water.mean, unit="C")


def _dose(row: RunRow, card: Card | None) -> Difference:
    """What the females got for each kg, against the range of the card."""
    dose = dose_of(row)
    if dose is None:
        return Difference("dose", "not-told")
    value, unit = round(dose.per_kg, 3), f"{dose.unit}/kg"
    rule = _rule(card, dose.preparation)
    if rule is None:
        return Difference("dose", "no-measure", value=value, unit=unit)
    found, (figure, _) = dosing.course(rule, dose.per_kg), dosing.dosed_by(rule)
    return Difference(
        "dose",
        "differs" if found.code else "same",
        {"under-range": "under", "over-range": "over"}.get(found.code, ""),
        value=value,
        low=found.low,
        high=found.high,
        unit=unit,
        basis=figure.sources if figure else (),
        mark=figure.mark if figure else None,
    )


def _rule(card: Card | None, preparation: Preparation) -> DoseRule | None:
    """The card's dose of a female with a range, if it has one."""
    if card is None:
        return None
    try:
        rule = card.dose_rule(preparation, "f")
    except NoFigure:
        return None
    return rule if dosing.dosed_by(rule)[0] is not None else None


def _rest(row: RunRow, card: Card | None, book: Iterable[BroodFish]) -> Difference:
    """Days since a female gave eggs before, against what the card says of her rest; the shortest of all. Only
    of females with a tag of the farm's own can that be known."""
    who = in_runs(book)
    since = {
        fish.tag: (row.begun_at - gave) / DAY
        for fish in row.fish
        if fish.sex == "f" and (gave := gave_before(who[row.run, plain_tag(fish.tag)], row)) is not None
    }
    if not since:
        return Difference("rest", "not-told")
    tag = min(since, key=since.__getitem__)
    days, figure = round(since[tag], 1), card.rest_days if card else None
    if figure is None:
        return Difference("rest", "no-measure", value=days, unit="day", tags=(tag,))
    return _against("rest", figure, days, days < figure.low, "short", unit="day", tags=(tag,))


def _fertilised(row: RunRow, others: Sequence[RunRow]) -> Difference:
    """The fertilised share against that of the other runs, where they are enough."""
    if row.fertilised_percent is None:
        return Difference("fertilised", "not-told")
    known = [each.fertilised_percent for each in others if each.fertilised_percent is not None]
    if len(known) < ENOUGH:
        return Difference("fertilised", "no-measure", value=row.fertilised_percent, unit="%")
    low, high = min(known), max(known)
    code = "lower" if row.fertilised_percent < low else ""
    verdict: Verdict = "differs" if code else "same"
    return Difference(
        "fertilised", verdict, code, row.fertilised_percent, low=low, high=high, unit="%", others=len(known)
    )


def _against(
    thing: Thing,
    figure: Figure,
    value: float,
    off: bool,
    code: str,
    *,
    unit: str,
    most: float | None = None,
    tags: tuple[str, ...] = (),
) -> Difference:
    """Held against a figure of the card."""
    return Difference(
        thing,
        "differs" if off else "same",
        code if off else "",
        value=value,
        most=most,
        low=figure.low,
        high=figure.high,
        unit=unit,
        tags=tags,
        basis=figure.sources,
        mark=figure.mark,
    )
