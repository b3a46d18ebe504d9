"""The bells a run should have, and what must change in the bells it has.

`plan` looks only at the folded run: undo, late messages and restarts need nothing of their own. Each step
of the run's way names a rule here; a rule gives the hours at which its bell is due. `differ` compares that
with the stored bells. A bell that rang stays where it rang: only later hours ring again.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, time, timedelta, tzinfo

from core import forecasts, stock
from core.errors import NoFigure
from core.records import (
    BOOK,
    Batch,
    Bell,
    BellState,
    Event,
    Farm,
    Group,
    Postponed,
    Reminder,
    Run,
    RunRow,
    StepDone,
    StepKey,
    StepSkipped,
    Which,
)
from core.runs import NO_BELLS, Step, females, looks_open, steps, stopped, uninjected, unsettled
from core.species import Card
from core.timing import HOUR, LAST_LOOKS, MINUTE

WAKING_ATTEMPTS = 6
WAKING_EVERY = 2 * MINUTE
CALM_ATTEMPTS = 2
CALM_EVERY = 30 * MINUTE

GET_READY_BEFORE = HOUR
STRIP_WITHIN = 30 * MINUTE
MILT_WITHIN = 15 * MINUTE
LOAD_WITHIN = 15 * MINUTE
DESTICK_AFTER = 5 * MINUTE
BATH_MINUTES = 10
BROOD_OUT_AFTER = HOUR
EGGS_FIRM_AFTER = 6 * HOUR
SPENT_LOOK_AFTER = 2 * HOUR
MORNING = time(7, 0)
EVENING = time(20, 0)
WATER_AGAIN = 4 * HOUR
CLOSE_AFTER_FIGURE = 24 * HOUR
CLOSE_AFTER_SILENCE = timedelta(days=5)
DRAFT_FORGOTTEN = timedelta(days=1)
TRIAL_AFTER = timedelta(minutes=1)


@dataclass(frozen=True, slots=True)
class Scene:
    """What a rule may look at. `zone` is the farm's local time."""

    run: Run
    card: Card
    farm: Farm
    zone: tzinfo
    now: datetime


@dataclass(frozen=True, slots=True)
class Due:
    """Hours at which a step's bell is due; `told` is when that became known, `group`/`batch` whose it is.

    What was reported before `since` was of an earlier going, and ends no bell of this one.
    """

    hours: tuple[datetime, ...]
    told: datetime
    group: str = ""
    batch: str = ""
    since: datetime | None = None


@dataclass(frozen=True, slots=True)
class Series:
    """The bells of one step of one part, in order; what lies at or before `floor` was answered.

    Hours counted from now leave the past out: a bell that was due by `late` and did not ring yet still does.
    """

    bells: tuple[Bell, ...]
    floor: datetime | None = None
    late: datetime | None = None


Plan = Mapping[StepKey, Series]


@dataclass(frozen=True, slots=True)
class Changes:
    """What to add to, move in and end among the stored bells."""

    add: tuple[Bell, ...] = ()
    move: tuple[tuple[int, Bell], ...] = ()
    end: tuple[tuple[int, BellState], ...] = ()


# Rules: one for each `due` word of the tables of steps ----------------------------------------------------


def _before_injection(scene: Scene) -> Iterable[Due]:
    run = scene.run
    if run.planned is not None and run.planned_told_at is not None and _needle_to_come(run):
        first = run.planned.final_at - forecasts.lead(scene.card, run.preparation)
        yield Due((first - GET_READY_BEFORE,), run.planned_told_at)


def _needle_to_come(run: Run) -> bool:
    """Whether nothing was injected yet: where eggs are there, it was, though nobody told."""
    return not run.groups and not run.batches


def _priming(scene: Scene) -> Iterable[Due]:
    run = scene.run
    lead = forecasts.lead(scene.card, run.preparation)
    if run.planned is not None and run.planned_told_at is not None and _needle_to_come(run) and lead:
        yield Due((run.planned.final_at - lead,), run.planned_told_at)
    yield from _next_shots(scene, "priming")


def _inject(scene: Scene) -> Iterable[Due]:
    run = scene.run
    if run.planned is not None and _needle_to_come(run) and uninjected(run):
        yield Due((run.planned.final_at,), run.planned_told_at or run.planned.final_at)
    yield from _next_shots(scene, "resolving")


def _next_shots(scene: Scene, role: Which) -> Iterable[Due]:
    """The next shot of the primed groups: one bell for those of one hour, and named where others wait."""
    primed = [group for group in scene.run.groups if group.final_at is None]
    due: dict[datetime, list[Group]] = {}
    for group in primed:
        coming = forecasts.coming_shots(scene.run, group, scene.card)
        if coming and coming[0].role == role:
            due.setdefault(coming[0].at, []).append(group)
    for at, groups in due.items():
        names = [""] if len(groups) == len(primed) else [group.name for group in groups]
        for name in names:
            yield Due((at,), max(group.told_at for group in groups), group=name)


def _looks(scene: Scene) -> Iterable[Due]:
    run = scene.run
    for group in run.groups:
        if looks_open(run, group):
            view = forecasts.strip(run, group, scene.card)
            told = max(group.told_at, group.running_told_at or group.told_at)
            yield Due(look_hours(view, group), told, group=group.name)


def look_hours(view: forecasts.StripView, group: Group) -> tuple[datetime, ...]:
    """The looks of a group: from the earliest hour on, two more after the latest, closer once eggs run. Those
    that had begun on hold go on until then."""
    hours: list[datetime] = []
    at = view.looks_from
    while at + view.look_every / 2 < view.window.earliest:
        hours.append(at)
        at += view.look_every
    at = view.window.earliest
    while at <= view.window.latest:
        hours.append(at)
        at += view.look_every
    hours += [view.window.latest + HOUR, view.give_up_at]
    if group.running_at is not None:
        since = max(group.running_at, group.last_look_at or group.running_at)
        close = [since + step * view.look_every for step in range(1, 200)]
        hours = [at for at in close if at <= max(view.give_up_at, since + LAST_LOOKS)]
    return tuple(sorted(set(hours)))


def _egg_clock(scene: Scene) -> Iterable[Due]:
    run = scene.run
    for group in run.groups:
        waiting = [fish for fish in unsettled(run, group.name) if fish.state == "running"]
        taken = any(batch.group == group.name for batch in run.batches)
        if group.running_at is None or not (waiting or (not taken and unsettled(run, group.name))):
            continue
        since = min((fish.running_at for fish in waiting if fish.running_at), default=group.running_at)
        yield Due((since + STRIP_WITHIN,), group.running_told_at or since, group=group.name)


def _after_eggs(scene: Scene) -> Iterable[Due]:
    for batch in scene.run.batches:
        if batch.fertilised_at is None and batch.begun_at is not None:
            yield Due((batch.told_at + MILT_WITHIN,), batch.told_at, batch=batch.name)


def _fertilised(scene: Scene, after: timedelta) -> Iterable[Due]:
    for batch in scene.run.batches:
        if batch.fertilised_at is not None and batch.fertilised_told_at is not None:
            yield Due((batch.fertilised_at + after,), batch.fertilised_told_at, batch=batch.name)


def _swelling(scene: Scene) -> timedelta:
    figure = scene.card.swell_minutes
    return timedelta(0) if figure is None else figure.usual_or_low * MINUTE


def _after_milt(scene: Scene) -> Iterable[Due]:
    return _fertilised(scene, DESTICK_AFTER) if scene.card.sticky == "de-stick" else ()


def _after_swelling(scene: Scene) -> Iterable[Due]:
    return () if scene.card.sticky == "spread" else _fertilised(scene, _swelling(scene))


def _egg_bath(scene: Scene) -> Iterable[Due]:
    if scene.farm.bath_habit not in ("unknown", "after-swelling"):
        return ()
    return _fertilised(scene, _swelling(scene))


def _bath_end(scene: Scene) -> Iterable[Due]:
    for key, at in scene.run.answered:
        if key.step == "disinfect" and key not in scene.run.skipped:
            yield Due((at + BATH_MINUTES * MINUTE,), at, batch=key.batch)


def _spent_females(scene: Scene) -> Iterable[Due]:
    for batch in scene.run.batches:
        given = any(fish.state == "stripped" for fish in females(scene.run, batch.group))
        if batch.eggs and batch.begun_at is not None and given:
            morning = _next_at(scene, batch.begun_at + SPENT_LOOK_AFTER, MORNING)
            yield Due((batch.begun_at + SPENT_LOOK_AFTER, morning), batch.told_at, batch=batch.name)


def _care(scene: Scene) -> Iterable[Due]:
    figure = scene.card.care_hours
    if figure is None:
        return
    every = figure.usual_or_low * HOUR
    for batch in scene.run.batches:
        start = forecasts.start(scene.run, batch, scene.card)
        if batch.hatched is None and start is not None:
            until = forecasts.hatch(scene.run, batch, scene.card).window.earliest
            hours = tuple(start + step * every for step in range(1, 100) if start + step * every < until)
            yield Due(hours, batch.fertilised_told_at or batch.told_at, batch=batch.name)


def _count(scene: Scene) -> Iterable[Due]:
    figure = scene.card.count_hours
    if figure is None:
        return
    hours = figure.usual_or_low * HOUR
    for batch in scene.run.batches:
        start = forecasts.start(scene.run, batch, scene.card)
        if start is not None:
            yield Due((start + hours,), batch.fertilised_told_at or batch.told_at, batch=batch.name)


def _hatch(scene: Scene) -> Iterable[Due]:
    for batch in scene.run.batches:
        if forecasts.start(scene.run, batch, scene.card) is None:
            continue
        window = forecasts.hatch(scene.run, batch, scene.card).window
        told = batch.fertilised_told_at or batch.told_at
        yield Due((window.earliest, window.likely, window.latest), told, batch=batch.name)


def _hatch_told(batch: Batch) -> datetime:
    return batch.hatched.told_at if batch.hatched else batch.fertilised_told_at or batch.told_at


def _live_food(scene: Scene) -> Iterable[Due]:
    lead = scene.card.live_food_lead_hours
    for batch in scene.run.batches:
        feed = forecasts.first_feed_at(scene.run, batch, scene.card)
        fed = any(key.step == "first-feed" and key.batch == batch.name for key, _ in scene.run.answered)
        if feed is not None and lead is not None and not fed:
            yield Due((feed - lead.usual_or_high * HOUR,), _hatch_told(batch), batch=batch.name)


def _first_feed(scene: Scene) -> Iterable[Due]:
    for batch in scene.run.batches:
        feed = forecasts.first_feed_at(scene.run, batch, scene.card)
        if feed is not None:
            yield Due((feed,), _hatch_told(batch), batch=batch.name)


def _swim_free(scene: Scene) -> Iterable[Due]:
    for batch in scene.run.batches:
        free = forecasts.swim_free_at(scene.run, batch, scene.card)
        if free is not None:
            yield Due((free,), _hatch_told(batch), batch=batch.name)


def _after_spawning(scene: Scene, after: timedelta) -> Iterable[Due]:
    for batch in scene.run.batches:
        if batch.begun_at is not None:
            yield Due((batch.begun_at + after,), batch.told_at, batch=batch.name)


def _brood_out(scene: Scene) -> Iterable[Due]:
    return _after_spawning(scene, BROOD_OUT_AFTER)


def eggs_firm_after(card: Card) -> timedelta:
    """How long after spawning eggs may be collected: the card's hours, else a rule of our own."""
    figure = card.firm_hours
    return EGGS_FIRM_AFTER if figure is None else figure.usual_or_low * HOUR


def _eggs_firm(scene: Scene) -> Iterable[Due]:
    return _after_spawning(scene, eggs_firm_after(scene.card))


def _after_collecting(scene: Scene) -> Iterable[Due]:
    """What was collected last wants loading, whatever was loaded before."""
    told: dict[str, datetime] = {}
    for key, at in scene.run.answered:
        if key.step == "collect-eggs" and key not in scene.run.skipped:
            told[key.batch] = max(at, told.get(key.batch, at))
    for batch, newest in told.items():
        yield Due((newest + LOAD_WITHIN,), newest, batch=batch, since=newest)


def _water_again(scene: Scene) -> Iterable[Due]:
    run = scene.run
    for group in run.groups:
        held = forecasts.strip(run, group, scene.card).held if looks_open(run, group) else None
        if held is not None:
            yield Due(tuple(held.since + step * WATER_AGAIN for step in range(1, 7)), held.since)
            return


def _evening(scene: Scene) -> Iterable[Due]:
    """This evening's line, also at its very hour, and the next one's."""
    first = _next_at(scene, scene.now - timedelta(microseconds=1), EVENING)
    yield Due((first, _next_at(scene, first, EVENING)), scene.now)


def _trial(scene: Scene) -> Iterable[Due]:
    if scene.run.trials:
        yield Due(tuple(at + TRIAL_AFTER for at in scene.run.trials), max(scene.run.trials))


def _next_at(scene: Scene, after: datetime, clock: time) -> datetime:
    return next_clock(after, clock, scene.zone)


def next_clock(after: datetime, clock: time, zone: tzinfo) -> datetime:
    """The next time the clocks of a zone show that hour, strictly after."""
    local = after.astimezone(zone)
    day = local.date() if local.time().replace(tzinfo=None) < clock else local.date() + timedelta(days=1)
    return datetime.combine(day, clock, zone).astimezone(after.tzinfo)


RULES: Mapping[str, Callable[[Scene], Iterable[Due]]] = {
    "before-injection": _before_injection,
    "priming": _priming,
    "injection": _inject,
    "looks": _looks,
    "egg-clock": _egg_clock,
    "after-eggs": _after_eggs,
    "after-milt": _after_milt,
    "after-swelling": _after_swelling,
    "egg-bath": _egg_bath,
    "bath-end": _bath_end,
    "spent-females": _spent_females,
    "care": _care,
    "count": _count,
    "hatch": _hatch,
    "live-food": _live_food,
    "first-feed": _first_feed,
    "swim-free": _swim_free,
    "brood-out": _brood_out,
    "eggs-firm": _eggs_firm,
    "after-collecting": _after_collecting,
    "water-again": _water_again,
    "evening": _evening,
    "trial": _trial,
}

# The plan -------------------------------------------------------------------------------------------------


def plan(run: Run, card: Card, farm: Farm, zone: tzinfo, now: datetime) -> Plan:
    """The bells the run should have. An ended run has none; a draft only its own forgetting."""
    if run.state in ("closed", "not-reported", "cancelled"):
        return {}
    scene = Scene(run, card, farm, zone, now)
    if run.state == "draft":
        return _closing(scene, run.last_word_at + DRAFT_FORGOTTEN)
    planned: dict[StepKey, Series] = {}
    for step in steps(run.way):
        for due in _due(step, scene):
            series = _series(step, due, scene)
            if series.bells:
                planned[StepKey(step.name, due.group, due.batch)] = series
    return {**planned, **_closing(scene, _closing_time(run, planned))}


def _due(step: Step, scene: Scene) -> Iterable[Due]:
    """The rule's hours; a figure nobody published means no bell, never an invented one."""
    rule = RULES.get(step.due)
    if rule is None:
        return ()
    try:
        return tuple(rule(scene))
    except NoFigure:
        return ()


def _series(step: Step, due: Due, scene: Scene) -> Series:
    run = scene.run
    if stopped(run, step, due.group, due.batch, due.since):
        return Series(())
    put_off = [(until, at) for key, until, at in run.postponed if _same_part(key, step, due)]
    floor = _floor(step, due, run, [at for _, at in put_off])
    hours = due.hours
    if put_off:
        again = max(until for until, _ in put_off)
        hours = (again, *(at for at in hours if at > again))
    hours = _not_before_told(step, [at for at in hours if floor is None or at > floor], due.told)
    bells = tuple(
        Bell(
            run.number,
            StepKey(step.name, due.group, due.batch, look=look),
            at,
            step.wakes,
            step.once,
        )
        for look, at in enumerate(sorted(hours), 1)
    )
    return Series(bells, floor, scene.now if step.due == "evening" else None)


def _same_part(key: StepKey, step: Step, due: Due) -> bool:
    return (key.step, key.group, key.batch) == (step.name, due.group, due.batch)


def _floor(step: Step, due: Due, run: Run, put_off: Iterable[datetime]) -> datetime | None:
    """Until when the series was answered: a look told, one of several checks answered, a bell put off."""
    times = [at for key, at in run.answered if _same_part(key, step, due)]
    if step.due in ("priming", "injection"):
        times += [group.told_at for group in run.groups]
    if step.due == "looks":
        times += [
            group.last_look_at for group in run.groups if group.name == due.group and group.last_look_at
        ]
    return max([*times, *put_off], default=None)


def _not_before_told(step: Step, hours: Sequence[datetime], told: datetime) -> tuple[datetime, ...]:
    """Hours that had passed when they became known: the last one rings at once, brief steps not at all."""
    coming = tuple(at for at in hours if at >= told)
    if step.brief or len(coming) == len(hours) or (coming and step.repeats and step.due != "looks"):
        return coming
    return (told, *coming)


def _closing_time(run: Run, planned: Mapping[StepKey, Series]) -> datetime:
    rings = [
        last_ring(bell)
        for key, series in planned.items()
        if key.step not in NO_BELLS
        for bell in series.bells
    ]
    has_figure = any(batch.hatched for batch in run.batches)
    return max([*rings, run.last_word_at]) + (CLOSE_AFTER_FIGURE if has_figure else CLOSE_AFTER_SILENCE)


def _closing(scene: Scene, at: datetime) -> Plan:
    key = StepKey("close")
    return {key: Series((Bell(scene.run.number, dataclasses.replace(key, look=1), at, once=True),))}


# The bells of the farm's book: its shelf ------------------------------------------------------------------

SHELF_HOUR = time(9, 0)
EXPIRES_BEFORE = timedelta(days=14)
ENDS_BEFORE = timedelta(days=1)
BOOK_STEPS = ("bottle-expires", "bottle-low")
"""What rings for the farm itself, whatever run is open: calmly, and answered bell by bell."""


def plan_book(
    all_of_it: stock.Shelf, rows: Sequence[RunRow], book: Sequence[Event], zone: tzinfo, now: datetime
) -> Plan:
    """The bells the shelf should have; `book` are the standing events of the farm, with what was answered."""
    planned: dict[StepKey, Series] = {}
    for bottle in all_of_it.bottles:
        if bottle.gone or (bottle.left is not None and bottle.left <= 0):
            continue
        due = _expires(bottle, zone)
        if due is not None:
            key = StepKey("bottle-expires", batch=str(bottle.number))
            planned[key] = _book_series(key, due, book)
    for bottle, due in _low(all_of_it, rows, zone, now):
        key = StepKey("bottle-low", batch=str(bottle.number))
        planned[key] = _book_series(key, due, book)
    return {key: series for key, series in planned.items() if series.bells or series.floor}


def _expires(bottle: stock.Bottle, zone: tzinfo) -> datetime | None:
    """The morning two weeks before the label's day, or the one before an opened bottle ends; none where that
    was past when its day was told: it was said then."""
    end = stock.good_until(bottle, zone)
    if end is None:
        return None
    before = ENDS_BEFORE if end[1] == "opened" else EXPIRES_BEFORE
    due = datetime.combine(end[0] - before, SHELF_HOUR, zone).astimezone(bottle.told_at.tzinfo)
    told = bottle.opened_told_at if end[1] == "opened" and bottle.opened_told_at else bottle.told_at
    return due if due >= told else None


def _low(
    all_of_it: stock.Shelf, rows: Sequence[RunRow], zone: tzinfo, now: datetime
) -> Iterator[tuple[stock.Bottle, datetime]]:
    """The bottle that was drawn from last, of each preparation of which there is less than a run usually
    takes: the morning after its last needle."""
    for preparation in stock.UNITS:
        drawn = [
            (entry.at, bottle)
            for bottle in all_of_it.bottles
            for entry in bottle.entries
            if bottle.preparation == preparation and entry.what == "used"
        ]
        usual = stock.usual(rows, preparation)
        if not drawn or usual is None:
            continue
        at, bottle = max(drawn, key=lambda each: (each[0], each[1].number))
        left = left_beside(all_of_it, bottle, zone, now)
        if not left.unknown and left.amount < usual.mean:
            yield bottle, next_clock(max(at, bottle.told_at), SHELF_HOUR, zone)


def left_beside(all_of_it: stock.Shelf, bottle: stock.Bottle, zone: tzinfo, at: datetime) -> stock.Left:
    """What is left of the kind of a bottle, in it and in all others that fit in its place."""
    return stock.left_in(stock.holding(all_of_it, bottle.preparation, bottle.strength), zone, at)


def _book_series(key: StepKey, due: datetime, book: Sequence[Event]) -> Series:
    """One bell; what was answered stays so, what was put off comes then."""
    answered = [
        event.at
        for event in book
        if isinstance(event.what, StepDone | StepSkipped) and series_of(event.what.key) == key
    ]
    put_off = [
        (event.what.until, event.at)
        for event in book
        if isinstance(event.what, Postponed) and series_of(event.what.key) == key
    ]
    floor = max([*answered, *(at for _, at in put_off)], default=None)
    hours = [due]
    if put_off:
        again = max(until for until, _ in put_off)
        hours = [again, *(at for at in hours if at > again)]
    coming = [at for at in hours if floor is None or at > floor]
    bells = (Bell(BOOK, dataclasses.replace(key, look=look), at) for look, at in enumerate(coming, 1))
    return Series(tuple(bells), floor)


def attempts(bell: Bell) -> tuple[int, timedelta]:
    """How often a bell rings while nobody answers, and how long apart."""
    if bell.once:
        return 1, timedelta(0)
    return (WAKING_ATTEMPTS, WAKING_EVERY) if bell.wakes else (CALM_ATTEMPTS, CALM_EVERY)


def last_ring(bell: Bell) -> datetime:
    """When the last attempt of a bell is due, where nobody answers."""
    times, apart = attempts(bell)
    return bell.due_at + (times - 1) * apart


# The difference -------------------------------------------------------------------------------------------


def differ(stored: Sequence[Reminder], planned: Plan) -> Changes:
    """What to change so that the stored bells of a run are the planned ones.

    A bell that has rung keeps its hour. Of each series, planned hours after the last one rung get the next
    look numbers; waiting bells are moved there, added or withdrawn. A ringing bell whose part is answered,
    or whose series is over, ends as answered.
    """
    add: list[Bell] = []
    move: list[tuple[int, Bell]] = []
    end: list[tuple[int, BellState]] = []
    by_series: dict[StepKey, list[Reminder]] = {key: [] for key in planned}
    for reminder in stored:
        by_series.setdefault(series_of(reminder.bell.key), []).append(reminder)
    for key, rows in by_series.items():
        series = planned.get(key, Series(()))
        rung = [row for row in rows if row.attempts or row.state == "rung-out"]
        end += [(row.id, "answered") for row in rung if _is_over(row, series, key in planned)]
        waiting = sorted((row for row in rows if row.state == "waiting"), key=lambda row: row.bell.key.look)
        after = max((row.bell.due_at for row in rung), default=None)
        look = max((row.bell.key.look for row in rung), default=0)
        coming = [*_late(waiting, series), *(b for b in series.bells if after is None or b.due_at > after)]
        wanted = [_numbered(bell, look + n) for n, bell in enumerate(coming, 1)]
        for row, bell in zip(waiting, wanted, strict=False):
            if row.bell != bell:
                move.append((row.id, bell))
        add += wanted[len(waiting) :]
        end += [(row.id, "withdrawn") for row in waiting[len(wanted) :]]
    return Changes(tuple(add), tuple(move), tuple(end))


def series_of(key: StepKey) -> StepKey:
    """The series a bell belongs to: its step and part, without the number of the look."""
    return StepKey(key.step, key.group, key.batch, key.fish)


def _is_over(row: Reminder, series: Series, wanted: bool) -> bool:
    if row.state not in ("ringing", "rung-out"):
        return False
    return not wanted or (series.floor is not None and row.bell.due_at <= series.floor)


def _late(waiting: Sequence[Reminder], series: Series) -> list[Bell]:
    """The newest bell that is due and has not rung, where the series no longer tells of its hour."""
    if series.late is None or not series.bells:
        return []
    first = series.bells[0].due_at
    return [row.bell for row in waiting if row.bell.due_at <= series.late and row.bell.due_at < first][-1:]


def _numbered(bell: Bell, look: int) -> Bell:
    return dataclasses.replace(bell, key=dataclasses.replace(bell.key, look=look))
