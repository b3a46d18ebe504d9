"""Windows of a run: from its injections and its own water to the hours when something should happen.

Times shown to people are set to the quarter of an hour, outward: a forecast is a window, never a minute.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from typing import Literal

from core import timing
from core.errors import NoFigure
from core.records import Batch, Group, Preparation, Run, WaterReading, WaterSource, Which
from core.runs import fish_named, start_of, unsettled
from core.species import Card, Curve, Figure
from core.timing import BEYOND, HOUR, LAST_LOOKS, MINUTE

QUARTER = 15 * MINUTE
DAY = 24 * HOUR
HALF_HOUR = 2 * QUARTER
RUNNING_LOOKS = HALF_HOUR
_QUARTER_SECONDS = QUARTER.total_seconds()
_ANY_HOUR = datetime(2000, 1, 1, tzinfo=UTC)


LookRule = Literal["hourly", "egg-life", "running"]
"""Why looks lie so far apart: an hour, half the life of her eggs, or closer since some run already."""


@dataclass(frozen=True, slots=True)
class Held:
    """The water left what the card knows: `why` it is on hold, at which water, and what would resume it."""

    why: str
    celsius: float
    resume_when: tuple[float, float]
    since: datetime


@dataclass(frozen=True, slots=True)
class StripView:
    """When eggs should run in a group, and how it is looked at: each `look_every`, by the rule `looks`.

    `held` keeps the looks but no promise. Looks are `looks_from` the earliest hour on; where the group was on
    hold and they had begun, from when they began.
    """

    window: timing.Window
    looks_from: datetime
    look_every: timedelta
    looks: LookRule
    give_up_at: datetime
    celsius: float
    celsius_source: WaterSource
    held: Held | None


@dataclass(frozen=True, slots=True)
class HatchView:
    """When larvae should hatch in a batch, counted from `from_step`; `reckoned`: nobody told that hour."""

    window: timing.Window
    from_step: str
    reckoned: bool
    celsius: float
    celsius_source: WaterSource


def earlier_quarter(when: datetime) -> datetime:
    """The quarter of an hour at or before."""
    return when - timedelta(seconds=when.timestamp() % _QUARTER_SECONDS)


def later_quarter(when: datetime) -> datetime:
    """The quarter of an hour at or after."""
    return when + timedelta(seconds=-when.timestamp() % _QUARTER_SECONDS)


def readings(run: Run, place: str) -> tuple[WaterReading, ...]:
    """The readings that count for a place: its own, and those told without a place."""
    return tuple(each for each in run.water if each.place in ("", place) or not place)


def water_of(run: Run, place: str, card: Card) -> timing.Water:
    """The water of a place as it was told; untold water is the middle of the card's best range."""
    samples: dict[datetime, float] = {each.at: each.celsius for each in readings(run, place)}
    told = tuple(timing.Sample(at, celsius) for at, celsius in sorted(samples.items()))
    return timing.Water(told, card.assumed_celsius)


def celsius_now(run: Run, place: str, card: Card) -> tuple[float, WaterSource]:
    """The newest water of a place and how it is known."""
    told = readings(run, place)
    if not told:
        return card.assumed_celsius, "assumed"
    newest = max(reversed(told), key=lambda each: each.at)  # of one hour, the one told last
    return newest.celsius, newest.source


# Several shots --------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class ComingShot:
    """An injection to come, `priming` or `resolving`, as the card's usual scheme goes on."""

    role: Which
    at: datetime


def primings_planned(run: Run, card: Card) -> int:
    """How many priming shots the card's usual scheme has for a female; 0 where nobody told a scheme."""
    return card.usual_shots(run.preparation) - 1


def primings_given(run: Run, tags: Iterable[str]) -> int:
    """The most priming shots that one of these fish got."""
    counts = (sum(shot.which == "priming" for shot in fish.shots) for fish in fish_named(run, tags))
    return max(counts, default=0)


def waits(card: Card, preparation: Preparation) -> tuple[Figure, Figure] | None:
    """Hours between two shots, and before the last one; `None` where nobody told."""
    try:
        rule = card.dose_rule(preparation, "f")
    except NoFigure:
        return None
    between = rule.interval_hours
    return None if between is None else (between, rule.last_interval_hours or between)


def _spans(card: Card, preparation: Preparation) -> tuple[timedelta, timedelta] | None:
    """`waits` as they are reckoned with."""
    told = waits(card, preparation)
    return None if told is None else (told[0].usual_or_low * HOUR, told[1].usual_or_low * HOUR)


def planned_shots(card: Card, preparation: Preparation, final_at: datetime) -> tuple[ComingShot, ...]:
    """The whole usual scheme, counted back from its final shot."""
    primings, spans = card.usual_shots(preparation) - 1, _spans(card, preparation)
    if spans is None:
        return (ComingShot("resolving", final_at),)
    between, last = spans
    times = [final_at - last - n * between for n in range(primings - 1, -1, -1)]
    return (*(ComingShot("priming", at) for at in times), ComingShot("resolving", final_at))


def coming_shots(run: Run, group: Group, card: Card) -> tuple[ComingShot, ...]:
    """What a primed group still wants; nothing where it had its final shot or nobody told the wait."""
    spans = _spans(card, run.preparation)
    if group.final_at is not None or group.last_at is None or spans is None:
        return ()
    between, last = spans
    left = max(primings_planned(run, card) - primings_given(run, group.tags), 0)
    primings = [ComingShot("priming", group.last_at + n * between) for n in range(1, left + 1)]
    before = primings[-1].at if primings else group.last_at
    return (*primings, ComingShot("resolving", before + last))


def lead(card: Card, preparation: Preparation) -> timedelta:
    """From the first injection of the usual scheme to the final one."""
    scheme = planned_shots(card, preparation, _ANY_HOUR)
    return scheme[-1].at - scheme[0].at


def half_before(at: datetime) -> datetime:
    """The half hour at or before."""
    return at - timedelta(seconds=at.timestamp() % HALF_HOUR.total_seconds())


def first_final(card: Card, preparation: Preparation, now: datetime) -> datetime:
    """The first half hour at which a final injection can be: the usual scheme begins half an hour from now,
    which is for getting ready."""
    at = now + HALF_HOUR + lead(card, preparation)
    return at if at == half_before(at) else half_before(at) + HALF_HOUR


# Windows --------------------------------------------------------------------------------------------------


def group_curve(run: Run, group: Group, card: Card) -> tuple[Curve, bool]:
    """The curve of a group by the shots its females got, and whether it was borrowed. Raises `NoFigure`."""
    shots = max((len(fish.shots) for fish in fish_named(run, group.tags) if fish.sex == "f"), default=1)
    return card.strip_curve(run.preparation, shots)


def strip(run: Run, group: Group, card: Card) -> StripView:
    """The window of a group whose final injection is known. Raises `NoFigure`."""
    if group.final_at is None:
        raise NoFigure("no-final-injection", group=group.name)
    curve, _ = group_curve(run, group, card)
    water = water_of(run, group.place, card)
    celsius, source = celsius_now(run, group.place, card)
    held = _held(run, group.place, card, curve)
    known = _known(card, curve)
    on_hold = timing.window(curve, group.final_at, _inside(water, known)) if held else None
    window = _quarters(on_hold or timing.window(curve, group.final_at, _staying(water, known)))
    looks_from = window.earliest
    back = None if held else _back_at(water, known)
    if back is not None and back > group.final_at:
        begun = earlier_quarter(timing.window(curve, group.final_at, _inside(water, known)).earliest)
        looks_from = min(looks_from, begun) if begun <= back else looks_from
    every, looks = _looks(run, group, card)
    give_up = window.latest + LAST_LOOKS
    return StripView(window, looks_from, every, looks, give_up, celsius, source, held)


def _looks(run: Run, group: Group, card: Card) -> tuple[timedelta, LookRule]:
    """How far apart the looks of a group lie: the closest of the rules that apply, of equals the first."""
    rules: list[tuple[timedelta, LookRule]] = []
    if run.way == "stripped" and card.egg_life_minutes is not None:  # elsewhere nobody takes her eggs
        rules.append((int(card.egg_life_minutes.usual_or_low / 2) * MINUTE, "egg-life"))
    if group.running_at is not None and unsettled(run, group.name):
        rules.append((RUNNING_LOOKS, "running"))
    rules.append((HOUR, "hourly"))
    return min(rules, key=lambda rule: rule[0])


Span = tuple[float, float]
"""From which degrees to which."""


def _known(card: Card, curve: Curve) -> Span:
    """The water in which there are hours, as `timing.hold` has it."""
    low = max(card.tolerated_celsius.low, curve.min_celsius - BEYOND)
    return low, min(card.tolerated_celsius.high, curve.max_celsius + BEYOND)


def _is_in(celsius: float, known: Span) -> bool:
    return known[0] <= celsius <= known[1]


def _inside(water: timing.Water, known: Span) -> timing.Water:
    """The water without what lies outside: the looks of a group on hold go on by the clock they had."""
    return timing.Water(tuple(each for each in water.readings if _is_in(each.celsius, known)), water.assumed)


def _back_at(water: timing.Water, known: Span) -> datetime | None:
    """When the water came back from outside; `None` where it never was there, or still is."""
    back = None
    for before, after in pairwise(water.readings):
        if not _is_in(before.celsius, known):
            back = after.at if _is_in(after.celsius, known) else None
    return back


def _staying(water: timing.Water, known: Span) -> timing.Water:
    """A day with water outside is no picture of the next one: after it the water stays as it is now."""
    if not water.readings:
        return water
    last = water.readings[-1]
    day = [each for each in water.readings if last.at - each.at < DAY]
    if all(_is_in(each.celsius, known) for each in day):
        return water
    return timing.Water((*water.readings, timing.Sample(last.at + DAY, last.celsius)), water.assumed)


def if_injected(run: Run, card: Card, final_at: datetime) -> timing.Window:
    """The window, were the fish injected at `final_at`; the coolest place counts.

    Raises `NoFigure`, as `outside-source` where the water is such that no hour can be told.
    """
    curve, _ = card.strip_curve(run.preparation)
    held = held_before(run, card)
    if held is not None:
        known = {"celsius": held.celsius, "source_celsius": held.resume_when}
        raise NoFigure("outside-source", species=card.slug, **known)
    return _quarters(timing.window(curve, final_at, water_for_plan(run, card)))


def water_for_plan(run: Run, card: Card) -> timing.Water:
    """The water that an injection to come is reckoned with: of the coolest place with fish. Raises `NoFigure`
    where the card has no hours at all."""
    curve, _ = card.strip_curve(run.preparation)
    return _staying(water_of(run, _places(run, card)[0], card), _known(card, curve))


def held_before(run: Run, card: Card, place: str | None = None) -> Held | None:
    """Why the water of `place`, of any place by default, gives no hour to fish that are to be injected.

    Raises `NoFigure` where the card has no hours at all.
    """
    curve, _ = card.strip_curve(run.preparation)
    places = _places(run, card) if place is None else (place,)
    return next((held for each in places if (held := _held(run, each, card, curve))), None)


def _places(run: Run, card: Card) -> Sequence[str]:
    """Where the fish are, the coolest first."""
    places = dict.fromkeys(fish.place for fish in run.fish) or {"": None}
    return sorted(places, key=lambda each: celsius_now(run, each, card)[0])


def _held(run: Run, place: str, card: Card, curve: Curve) -> Held | None:
    celsius, _ = celsius_now(run, place, card)
    why = timing.hold(curve, card.tolerated_celsius, celsius)
    if why is None:
        return None
    return Held(why, celsius, _known(card, curve), _since(run, place))


def _since(run: Run, place: str) -> datetime:
    return max((each.at for each in readings(run, place)), default=run.opened_at)


def _quarters(window: timing.Window) -> timing.Window:
    return replace(
        window,
        earliest=earlier_quarter(window.earliest),
        most_from=earlier_quarter(window.most_from),
        likely=earlier_quarter(window.likely),
        most_to=later_quarter(window.most_to),
        latest=later_quarter(window.latest),
    )


def first_step(run: Run, batch: Batch) -> str:
    """The step that the hours of a batch count from."""
    if batch.fertilised_at:
        return "fertilise"
    return "strip" if run.way == "stripped" else "check-nest"


def start(run: Run, batch: Batch, card: Card) -> datetime | None:
    """What the clock of a batch counts from, as told; where fish spawn by themselves and nobody saw it, the
    likely hour of their window, after the last look that found none and not later than their eggs were first
    told of. `None`: not known."""
    told = start_of(batch)
    eggs = [lot.at for lot in batch.lots] + [count.at for count in batch.counts]
    groups = [group for group in run.groups if batch.group in ("", group.name)]
    if told is not None or run.way == "stripped" or not eggs or len(groups) != 1:
        return told
    try:
        likely = strip(run, groups[0], card).window.likely
    except NoFigure:
        return None
    return min(max(likely, groups[0].last_look_at or likely), *eggs)


def hatch(run: Run, batch: Batch, card: Card) -> HatchView:
    """When the larvae of a batch should hatch: from fertilising, else from the stripping or the spawning.

    Raises `NoFigure` where nobody published it or the water lies outside the source.
    """
    if card.hatch is None:
        raise NoFigure("no-hatch-figure", species=card.slug)
    begun = start(run, batch, card)
    if begun is None:
        raise NoFigure("eggs-not-told", batch=batch.name)
    water = water_of(run, batch.place, card)
    celsius, source = celsius_now(run, batch.place, card)
    window = _quarters(timing.window(card.hatch, begun, water))
    reckoned = start_of(batch) is None
    return HatchView(window, first_step(run, batch), reckoned, celsius, source)


def if_eggs(run: Run, card: Card, at: datetime, place: str = "") -> tuple[tuple[str, datetime], ...]:
    """The steps that would follow, were the eggs there at `at`: count, look for larvae, food."""
    times: list[tuple[str, datetime]] = []
    count = card.count_hours
    if count is not None:
        times.append(("check-fertilised", at + count.usual_or_low * HOUR))
    if card.hatch is None:
        return tuple(times)
    window = _quarters(timing.window(card.hatch, at, water_of(run, place, card)))
    times.append(("check-hatch", window.earliest))
    feed = card.first_feed_hours
    if feed is not None:
        times.append(("first-feed", window.likely + feed.usual_or_low * HOUR))
    return tuple(times)


def first_feed_at(run: Run, batch: Batch, card: Card) -> datetime | None:
    """When larvae first want food: from the hatching told, else from the likely hour; `None`: no figure."""
    return _after_hatch(run, batch, card, card.first_feed_hours)


def swim_free_at(run: Run, batch: Batch, card: Card) -> datetime | None:
    """When larvae swim free, as `first_feed_at`."""
    return _after_hatch(run, batch, card, card.swim_free_hours)


def _after_hatch(run: Run, batch: Batch, card: Card, figure: Figure | None) -> datetime | None:
    if figure is None:
        return None
    hours = figure.usual_or_low
    if batch.hatched is not None:
        none_hatched = 0 in (batch.hatched.percent, batch.hatched.larvae, batch.hatched.good)
        return None if none_hatched else batch.hatched.at + hours * HOUR
    try:
        return hatch(run, batch, card).window.likely + hours * HOUR
    except NoFigure:
        return None
