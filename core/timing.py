"""When eggs run, hatch and larvae feed: a rate integrated over the water's readings, and its inverse.

Times are aware and in UTC, water in degrees Celsius. The rate is 1 / hours of a card's curve (Kamler 2002);
between two readings it is a straight line, so its sum is exact, without steps.
"""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise
from typing import assert_never

from core.errors import NoFigure
from core.records import Mark, Preparation
from core.species import Card, Curve, Figure, Hatching

BEYOND = 2.0  # so many degrees outside its source a curve is still used, widened; further out nothing adds
WIDER_EARLIEST, WIDER_LATEST = 0.9, 1.1  # how it is widened there: our own caution, no source
PATIENCE = timedelta(hours=72)  # of the contract: after the last reading
LAST_LOOKS = timedelta(hours=2)  # two more looks, an hour apart, past the latest time
_DAY = timedelta(hours=24)
HOUR = timedelta(hours=1)
_LONGEST = timedelta(days=60)  # no event of a hatchery takes so long
MINUTE = timedelta(minutes=1)


@dataclass(frozen=True, slots=True)
class Sample:
    """A reading of one place's water."""

    at: datetime
    celsius: float


@dataclass(frozen=True, slots=True)
class Water:
    """The water of one place: readings in ascending order, and what is assumed where there are none.

    Linear between readings; before the first, as the first; after the last the same hour of the day before,
    where the log covers it, else as the last.
    """

    readings: tuple[Sample, ...]
    assumed: float

    def __post_init__(self) -> None:
        times = [sample.at for sample in self.readings]
        if any(later <= earlier for earlier, later in pairwise(times)):
            raise ValueError("readings must be in ascending order, one for each time")

    def at(self, when: datetime) -> float:
        """Degrees at `when`."""
        if not self.readings:
            return self.assumed
        first, last = self.readings[0], self.readings[-1]
        if when > last.at:
            when -= math.ceil((when - last.at) / _DAY) * _DAY
            if when < first.at:
                return last.celsius
        if when <= first.at:
            return first.celsius
        n = bisect_left(self.readings, when, key=lambda sample: sample.at)
        before, after = self.readings[n - 1], self.readings[n]
        share = (when - before.at) / (after.at - before.at)
        return before.celsius + share * (after.celsius - before.celsius)


@dataclass(frozen=True, slots=True)
class Window:
    """Five times of an event that began at `start`. `celsius` is the mean from there to `likely`; `wide`:
    some of the water up to `latest` was outside the curve's source, so `earliest` and `latest` were moved
    apart."""

    start: datetime
    earliest: datetime
    most_from: datetime
    likely: datetime
    most_to: datetime
    latest: datetime
    celsius: float
    basis: tuple[str, ...]
    mark: Mark
    wide: bool


@dataclass(frozen=True, slots=True)
class Forecast:
    """The answer of `hatchbell forecast`: hours from the start, to 0.01; `note` holds codes.

    `give_up_hours` is there for `strip` alone. `source_celsius` is where the card's source was.
    """

    species: str
    what: Hatching
    preparation: Preparation | None
    shots: int | None
    celsius: float
    earliest_hours: float
    likely_hours: float
    latest_hours: float
    give_up_hours: float | None
    basis: tuple[str, ...]
    mark: Mark
    source_celsius: tuple[float, float]
    note: tuple[str, ...]
    earliest_at: datetime
    likely_at: datetime
    latest_at: datetime


# The water as straight pieces -----------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Piece:
    """Water going straight from `first` to `last` degrees within `hours` from `start`."""

    start: datetime
    hours: float
    first: float
    last: float

    def celsius(self, hours: float) -> float:
        return self.first + (self.last - self.first) * hours / self.hours


def _piece(start: datetime, end: datetime, first: float, last: float) -> _Piece:
    return _Piece(start, (end - start) / HOUR, first, last)


def _pieces(water: Water, start: datetime) -> Iterator[_Piece]:
    """The water from `start` on, without end."""
    for piece in _all_pieces(water, start):
        end = piece.start + timedelta(hours=piece.hours)
        if end <= start:
            continue
        if piece.start < start:
            yield _piece(start, end, piece.celsius((start - piece.start) / HOUR), piece.last)
        else:
            yield piece


def _all_pieces(water: Water, start: datetime) -> Iterator[_Piece]:
    """Pieces of which the first reaches to `start` or lies before it: logged ones, then the days after."""
    readings = water.readings
    if not readings:
        yield from _steady(start, water.assumed)
        return
    if start < readings[0].at:
        yield _piece(start, readings[0].at, readings[0].celsius, readings[0].celsius)
    n = max(bisect_right(readings, start, key=lambda sample: sample.at) - 1, 0)
    for before, after in pairwise(readings[n:]):
        yield _piece(before.at, after.at, before.celsius, after.celsius)
    last = readings[-1].at
    days = max(math.floor((start - last) / _DAY), 0)
    day = _last_day(water)
    while True:
        days += 1
        for piece in day:
            yield _Piece(piece.start + days * _DAY, piece.hours, piece.first, piece.last)


def _steady(start: datetime, celsius: float) -> Iterator[_Piece]:
    while True:
        yield _Piece(start, _DAY / HOUR, celsius, celsius)
        start += _DAY


def _last_day(water: Water) -> tuple[_Piece, ...]:
    """The 24 h before the last reading; hours before the first are as the last (nothing to carry forward)."""
    first, last = water.readings[0], water.readings[-1]
    begin = last.at - _DAY
    pieces = []
    if first.at > begin:
        pieces.append(_piece(begin, first.at, last.celsius, last.celsius))
        begin = first.at
    inside = [sample for sample in water.readings if sample.at > begin]
    for after in inside:
        pieces.append(_piece(begin, after.at, water.at(begin), after.celsius))
        begin = after.at
    return tuple(pieces)


# The sum --------------------------------------------------------------------------------------------------


def _limits(curve: Curve) -> tuple[float, float]:
    """Between which degrees an hour adds anything."""
    low, high = curve.min_celsius - BEYOND, curve.max_celsius + BEYOND
    return (low if curve.flat_hours is not None else max(low, curve.zero_celsius)), high


def _rates(curve: Curve, piece: _Piece) -> Iterator[tuple[float, float, float, float]]:
    """The stretches of a piece that add something: hours from its start, length, rate at both ends."""
    low, high = _limits(curve)
    cuts = {0.0, piece.hours}
    if piece.first != piece.last:
        for limit in (low, high):
            cut = (limit - piece.first) / (piece.last - piece.first) * piece.hours
            if 0 < cut < piece.hours:
                cuts.add(cut)
    ordered = sorted(cuts)
    for begin, end in pairwise(ordered):
        if low <= piece.celsius((begin + end) / 2) <= high:
            before, after = 1 / curve.hours(piece.celsius(begin)), 1 / curve.hours(piece.celsius(end))
            yield begin, end - begin, before, after


def progress(curve: Curve, start: datetime, end: datetime, water: Water) -> float:
    """How much of the bare curve (1: its `hours` are over) is done between two times. Never below 0."""
    done = 0.0
    for piece in _pieces(water, start):
        left = (end - piece.start) / HOUR
        if left <= 0:
            break
        if left < piece.hours:
            piece = _Piece(piece.start, left, piece.first, piece.celsius(left))
        done += sum((before + after) / 2 * hours for _, hours, before, after in _rates(curve, piece))
    return done


def _reached(curve: Curve, start: datetime, water: Water, factors: tuple[float, ...]) -> list[datetime]:
    """When the sum reaches each of the rising `factors`. Raises `NoFigure("not-reached")` once nothing was
    added for 72 h after the last reading (or the start), since the water repeats itself then."""
    times: list[datetime] = []
    done = 0.0
    moved = max([start, *(sample.at for sample in water.readings[-1:])])
    for piece in _pieces(water, start):
        for begin, hours, before, after in _rates(curve, piece):
            gain = (before + after) / 2 * hours
            while len(times) < len(factors) and done + gain >= factors[len(times)]:
                need = factors[len(times)] - done
                root = math.sqrt(max(before**2 + 2 * (after - before) / hours * need, 0.0))
                times.append(piece.start + timedelta(hours=begin + 2 * need / (before + root)))
            done += gain
            moved = max(moved, piece.start + timedelta(hours=begin + hours))
        if len(times) == len(factors):
            return times
        if piece.start - moved >= PATIENCE or piece.start - start > _LONGEST:
            break
    raise NoFigure("not-reached", start=start, hours=(moved - start) / HOUR, done=round(done, 3))


def warmth(water: Water, start: datetime, end: datetime) -> tuple[float, float, float]:
    """Mean, lowest and highest degrees between two times, the first before the second."""
    total, low, high = 0.0, math.inf, -math.inf
    for piece in _pieces(water, start):
        left = (end - piece.start) / HOUR
        if left <= 0:
            break
        hours = min(left, piece.hours)
        last = piece.celsius(hours)
        total += (piece.first + last) / 2 * hours
        low, high = min(low, piece.first, last), max(high, piece.first, last)
    return min(max(total * HOUR / (end - start), low), high), low, high


# What others ask ------------------------------------------------------------------------------------------


def window(curve: Curve, start: datetime, water: Water) -> Window:
    """The window of an event that began at `start`: each time is when the sum reaches the curve's factor.

    Hours further than 2 degrees outside the curve's source add nothing. Where water up to `latest` is outside
    the source, `earliest` takes 0.9 and `latest` 1.1 of its factor.
    Raises `NoFigure("not-reached", start, hours, done)`.
    """
    inner = (curve.most_from, curve.likely, curve.most_to)
    times = _reached(curve, start, water, (curve.earliest, *inner, curve.latest))
    _, low, high = warmth(water, start, times[-1])
    wide = low < curve.min_celsius or high > curve.max_celsius
    if wide:
        outer = curve.earliest * WIDER_EARLIEST, *inner, curve.latest * WIDER_LATEST
        times = _reached(curve, start, water, outer)
    mean, _, _ = warmth(water, start, times[2])
    earliest, most_from, likely, most_to, latest = times
    return Window(start, earliest, most_from, likely, most_to, latest, mean, curve.sources, curve.mark, wide)


def hold(curve: Curve, tolerated: Figure, celsius: float) -> str | None:
    """Why this water gives no forecast: `too-cold`, `too-warm`, `outside-source`; `None` where it does."""
    if celsius < tolerated.low:
        return "too-cold"
    if celsius > tolerated.high:
        return "too-warm"
    inside = curve.min_celsius - BEYOND <= celsius <= curve.max_celsius + BEYOND
    return None if inside else "outside-source"


def start_for(curve: Curve, likely_at: datetime, water: Water) -> datetime:
    """When to begin so that `window(...).likely` is `likely_at`, to the minute: the inverse, by bisection.

    Raises `NoFigure("no-start", likely_at)` where no beginning of the 60 days before would do, or the water
    of that very hour adds nothing.
    """
    late, early = likely_at, likely_at - _DAY
    while progress(curve, early, likely_at, water) < curve.likely:
        late, early = early, likely_at - 2 * (likely_at - early)
        if likely_at - early > _LONGEST:
            raise NoFigure("no-start", likely_at=likely_at)
    while late - early > MINUTE / 60:
        middle = early + (late - early) / 2
        if progress(curve, middle, likely_at, water) < curve.likely:
            late = middle
        else:
            early = middle
    (found,) = _reached(curve, early, water, (curve.likely,))
    if abs(found - likely_at) > MINUTE:
        raise NoFigure("no-start", likely_at=likely_at)
    return early


def forecast(
    card: Card,
    what: Hatching,
    water: Water,
    start: datetime,
    preparation: Preparation | None = None,
    shots: int | None = None,
) -> Forecast:
    """The window of `what` in hours from `start`: final injection, fertilisation or hatching.

    Raises `NoFigure`: `no-strip-figure`, `no-hatch-figure`, `no-first-feed-figure`; `outside-source` for
    steady water more than 2 degrees outside the source; `not-reached` where the log's water never gets there,
    or `likely` lies more than 72 h after the last reading.
    """
    if what == "strip":
        preparation = preparation or card.usual_preparation
        shots = card.usual_shots(preparation) if shots is None else shots
    else:
        preparation = shots = None
    curve, borrowed = _curve_for(card, what, preparation, shots)
    if not water.readings:
        _refuse_outside(card, curve, water.assumed)
    found = window(curve, start, water)
    if water.readings and found.likely - max(start, water.readings[-1].at) > PATIENCE:
        raise NoFigure("not-reached", start=start, hours=(found.likely - start) / HOUR)
    reasons = {
        "borrowed-curve": borrowed,
        "widened": found.wide,
        "flat": curve.flat_hours is not None,
        curve.note: bool(curve.note),
    }
    return Forecast(
        species=card.slug,
        what=what,
        preparation=preparation,
        shots=shots,
        celsius=round(found.celsius, 2),
        earliest_hours=_hours(found.earliest - start),
        likely_hours=_hours(found.likely - start),
        latest_hours=_hours(found.latest - start),
        give_up_hours=_hours(found.latest - start + LAST_LOOKS) if what == "strip" else None,
        basis=found.basis,
        mark=found.mark,
        source_celsius=(curve.min_celsius, curve.max_celsius),
        note=tuple(code for code, holds in reasons.items() if holds),
        earliest_at=found.earliest,
        likely_at=found.likely,
        latest_at=found.latest,
    )


def _hours(span: timedelta) -> float:
    return round(span / HOUR, 2)


def _refuse_outside(card: Card, curve: Curve, celsius: float) -> None:
    if not curve.min_celsius - BEYOND <= celsius <= curve.max_celsius + BEYOND:
        source = (curve.min_celsius, curve.max_celsius)
        raise NoFigure("outside-source", species=card.slug, celsius=celsius, source_celsius=source)


def _curve_for(
    card: Card, what: Hatching, preparation: Preparation | None, shots: int | None
) -> tuple[Curve, bool]:
    match what:
        case "strip":
            return card.strip_curve(preparation or card.usual_preparation, shots)
        case "hatch":
            if card.hatch is None:
                raise NoFigure("no-hatch-figure", species=card.slug)
            return card.hatch, False
        case "first-feed":
            return first_feed_curve(card), False
        case _:
            assert_never(what)


def first_feed_curve(card: Card) -> Curve:
    """From hatching to first feed: the card's figure as it stands, whatever the water where it was taken
    (the card's best range where none was told). Raises `NoFigure("no-first-feed-figure")`."""
    figure = card.first_feed_hours
    if figure is None:
        raise NoFigure("no-first-feed-figure", species=card.slug)
    likely = figure.usual_or_middle
    low, high = figure.celsius or (card.best_celsius.low, card.best_celsius.high)
    earliest, latest = figure.low / likely, figure.high / likely
    return Curve(
        degree_hours=0.0,
        zero_celsius=0.0,
        min_celsius=low,
        max_celsius=high,
        earliest=earliest,
        most_from=(earliest + 1) / 2,
        likely=1.0,
        most_to=(1 + latest) / 2,
        latest=latest,
        sources=figure.sources,
        mark=figure.mark,
        flat_hours=likely,
    )
