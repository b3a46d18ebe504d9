"""What a run lived through, as it was told: its water, its hours against the window, how long eggs waited.

All of it is past: nothing here is proposed or promised. What was not told is `None`, never a usual value.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta

from core import forecasts, timing
from core.errors import NoFigure
from core.records import Batch, Group, LookRow, Run, WaterRow, WindowRow
from core.runs import group_of
from core.species import Card
from core.timing import HOUR, MINUTE

STILL_TELLS = timedelta(hours=24)
"""A reading so long before a stretch of hours still tells of it: the forecasts take the same hour of the day
before."""


def first_eggs(run: Run) -> tuple[Batch, Group] | None:
    """The batch whose eggs came soonest after the final injection of their group; `None`: not told."""
    told = [
        (batch.begun_at - group.final_at, n, batch, group)
        for n, batch in enumerate(run.batches)
        if batch.begun_at and (group := group_of(run, batch.group)) and group.final_at
    ]
    if not told:
        return None
    _, _, batch, group = min(told, key=lambda each: each[:2])
    return batch, group


def hours_to_strip(run: Run) -> float | None:
    """From the final injection to the first eggs, in hours."""
    found = first_eggs(run)
    if found is None:
        return None
    batch, group = found
    assert batch.begun_at is not None
    assert group.final_at is not None
    return round((batch.begun_at - group.final_at) / HOUR, 1)


def water_until_eggs(run: Run) -> WaterRow | None:
    """The water from the final injection to the first eggs, in the place of their fish."""
    found = first_eggs(run)
    if found is None:
        return None
    batch, group = found
    return water_between(run, group.place, group.final_at, batch.begun_at)


def water_until_hatch(run: Run) -> WaterRow | None:
    """The water from the first eggs of those batches that hatched to their last hatching told."""
    hatched = [batch for batch in run.batches if batch.begun_at and batch.hatched]
    if not hatched:
        return None
    begun = min(batch.begun_at for batch in hatched if batch.begun_at)
    ended = max(batch.hatched.at for batch in hatched if batch.hatched)
    places = {batch.place for batch in hatched}
    return water_between(run, places.pop() if len(places) == 1 else "", begun, ended)


def water_between(run: Run, place: str, begun: datetime | None, ended: datetime | None) -> WaterRow | None:
    """The water of a place between two times, by the readings in them and the day before; `None` where there
    are none, since assumed water is nobody's."""
    if begun is None or ended is None or ended <= begun:
        return None
    told = [each for each in forecasts.readings(run, place) if begun - STILL_TELLS <= each.at <= ended]
    if not told:
        return None
    samples = {each.at: each.celsius for each in told}
    water = timing.Water(tuple(timing.Sample(at, celsius) for at, celsius in sorted(samples.items())), 0.0)
    mean, low, high = timing.warmth(water, begun, ended)
    guessed = any(each.source != "measured" for each in told)
    return WaterRow(round(mean, 1), round(low, 1), round(high, 1), len(samples), guessed)


def window_of(run: Run, card: Card | None) -> WindowRow | None:
    """When the first eggs should have come by the run's own water, or by the assumed one where nobody told
    it; `None` where nobody published it."""
    found = first_eggs(run)
    if card is None or found is None:
        return None
    _, group = found
    try:
        window = forecasts.strip(run, group, card).window
    except NoFigure:
        return None

    def hours(at: datetime) -> float:
        return round((at - window.start) / HOUR, 2)

    return WindowRow(
        earliest=hours(window.earliest),
        most_from=hours(window.most_from),
        most_to=hours(window.most_to),
        latest=hours(window.latest),
        basis=window.basis,
        mark=window.mark,
        assumed=water_until_eggs(run) is None,
    )


def ran_minutes(run: Run) -> float | None:
    """The longest that eggs ran before they were taken; `None` where nobody told that they ran."""
    waits = [
        fish.settled_at - fish.running_at
        for fish in run.fish
        if fish.state == "stripped" and fish.running_at and fish.settled_at
    ]
    if not waits:
        waits = [
            batch.begun_at - group.running_at
            for batch in run.batches
            if batch.begun_at and (group := group_of(run, batch.group)) and group.running_at
        ]
    return _longest(waits)


def milt_minutes(run: Run) -> float | None:
    """The longest that eggs lay before the milt; `None` where nobody told of the milt."""
    return _longest(
        batch.fertilised_at - batch.begun_at
        for batch in run.batches
        if batch.fertilised_at and batch.begun_at
    )


def _longest(waits: Iterable[timedelta]) -> float | None:
    """The longest in minutes of those that are none of a clock that went back."""
    told = [wait / MINUTE for wait in waits if wait >= timedelta(0)]
    return round(max(told)) if told else None


def looks(run: Run) -> tuple[LookRow, ...]:
    """How the eggs of each female looked, where it was told."""
    found = [LookRow(one.tag, one.quality) for b in run.batches for one in b.eggs if one.quality is not None]
    return tuple(dict.fromkeys(found))
