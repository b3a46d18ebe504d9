"""What is said of a run's windows: when eggs should run, when larvae hatch, which bell comes next."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from datetime import datetime, timedelta

from core import commands as say
from core import forecasts, reminders
from core.assistant.talk import Talk
from core.errors import NoFigure
from core.records import Batch, Group, Run, StepKey
from core.replies import Button, HatchForecast, Hold, Noted, Refused, StripForecast
from core.runs import NO_BELLS, group_of

WATER_FRESH = timedelta(hours=6)
ALARM_BEFORE = timedelta(minutes=5)  # of a phone alarm, before what it wakes for: a rule of our own


def say_forecast(
    talk: Talk,
    run: Run,
    group: Group,
    *,
    echo: bool = False,
    buttons: Sequence[Button] = (),
    cautions: tuple[str, ...] = (),
    rest: tuple[str, ...] = (),
) -> None:
    """The group's window, or that it is on hold; asks the water where nobody told it lately."""
    view = strip_view(talk, run, group)
    if view is None:
        talk.say(
            Noted("injected", run.number, talk.called(run), at=group.final_at, tags=group.tags, echo=echo),
            *buttons,
        )
        return
    if view.held is not None:
        talk.say(hold_fact(talk, run, group, view), *buttons, cautions=cautions)
        talk.expect("temperature", run.number)
        return
    asks = "water" if _wants_water(talk, run, group) else ""
    if asks:
        talk.expect("temperature", run.number)
        buttons = (*buttons, Button("answer:none", say.Temperature(unknown=True), "no-thermometer"))
    alarm_at = None if echo else _alarm_moved(talk, run, group, view.window.earliest)  # its plan names it
    fact = forecast_fact(talk, run, group, view)
    fact = dataclasses.replace(fact, echo=echo, rest=rest, alarm_at=alarm_at)
    talk.say(fact, *buttons, asks=asks, cautions=cautions)


def strip_view(talk: Talk, run: Run, group: Group) -> forecasts.StripView | None:
    """The group's window; `None` where nobody published one or its final injection is not told."""
    try:
        return forecasts.strip(run, group, talk.card(run))
    except NoFigure:
        return None


def hatch_view(talk: Talk, run: Run, batch: Batch) -> forecasts.HatchView | None:
    """The batch's window; `None` where nobody published one for its water or its eggs are not told."""
    try:
        return forecasts.hatch(run, batch, talk.card(run))
    except NoFigure:
        return None


def forecast_fact(talk: Talk, run: Run, group: Group, view: forecasts.StripView) -> StripForecast:
    """The facts of a group's window."""
    window = view.window
    assert group.final_at is not None
    life = talk.card(run).egg_life_minutes
    return StripForecast(
        run=run.number,
        called=talk.group_called(run, group),
        way=run.way,
        group=group.name,
        place=group.place,
        preparation=run.preparation,
        tags=group.tags,
        final_injection_at=group.final_at,
        first_look_at=window.earliest,
        earliest_at=window.earliest,
        most_from_at=window.most_from,
        likely_at=window.likely,
        most_to_at=window.most_to,
        latest_at=window.latest,
        look_every_minutes=round(view.look_every.total_seconds() / 60),
        give_up_at=view.give_up_at,
        egg_life_minutes=None if life is None else round(life.usual_or_low),
        celsius=view.celsius,
        celsius_source=view.celsius_source,
        basis=window.basis,
        mark=window.mark,
        wide=window.wide,
        next_look_at=_next_look(talk, group, view) if view.looks_from < window.earliest else None,
    )


def _alarm_moved(talk: Talk, run: Run, group: Group, first_look: datetime) -> datetime | None:
    """When the phone should ring instead, where this message moved a first look that is still to come."""
    old = talk.before(run.number)
    known = group_of(old, group.name) if old else None
    if old is None or known is None or first_look - ALARM_BEFORE <= talk.desk.now:
        return None
    view = strip_view(talk, old, known)
    told = view.window.earliest if view and view.held is None else None
    return None if told == first_look else first_look - ALARM_BEFORE


def _next_look(talk: Talk, group: Group, view: forecasts.StripView) -> datetime | None:
    return min((at for at in reminders.look_hours(view, group) if at > talk.desk.now), default=None)


def hold_fact(talk: Talk, run: Run, group: Group, view: forecasts.StripView) -> Hold:
    """Why there is no promise, at what water there will be, and when the water is asked again."""
    held = view.held
    assert held is not None
    lethal = talk.card(run).lethal_celsius
    deadly = {} if lethal is None else {"too-cold": lethal.low, "too-warm": lethal.high}
    return Hold(
        run=run.number,
        called=talk.group_called(run, group),
        why=held.why,
        celsius=held.celsius,
        resume_when=held.resume_when,
        ask_again_at=water_asked_at(talk, run),
        group=group.name,
        lethal_celsius=deadly.get(held.why),
    )


def water_asked_at(talk: Talk, run: Run) -> datetime | None:
    """When the bot next asks the water of a run on hold; `None` where it asks no more."""
    series = _planned(talk, run).get(StepKey("check-water"))
    coming = [bell.due_at for bell in series.bells] if series else []
    return min((at for at in coming if at > talk.desk.now), default=None)


def _planned(talk: Talk, run: Run) -> reminders.Plan:
    return reminders.plan(run, talk.card(run), talk.farm, talk.zone, talk.desk.now)


def _wants_water(talk: Talk, run: Run, group: Group) -> bool:
    fresh = [
        each for each in forecasts.readings(run, group.place) if talk.desk.said_at - each.at < WATER_FRESH
    ]
    return not fresh and not run.no_thermometer


def say_hatch_forecast(talk: Talk, run: Run, batch: Batch) -> None:
    """The hatch window of a batch, or that nobody published one for its water."""
    view = hatch_view(talk, run, batch)
    if view is None:
        celsius, _ = forecasts.celsius_now(run, batch.place, talk.card(run))
        talk.say(Refused("no-hatch-hours", number=celsius))
        return
    talk.say(
        HatchForecast(
            run=run.number,
            called=talk.batch_called(run, batch.name),
            batch=batch.name,
            from_step=view.from_step,
            from_at=view.window.start,
            reckoned=view.reckoned,
            earliest_at=view.window.earliest,
            likely_at=view.window.likely,
            latest_at=view.window.latest,
            celsius=view.celsius,
            celsius_source=view.celsius_source,
            basis=view.window.basis,
            mark=view.window.mark,
            count_at=_count_at(talk, run, batch),
        )
    )


def _count_at(talk: Talk, run: Run, batch: Batch) -> datetime | None:
    """When the eggs are to be counted, where that is still to come."""
    card = talk.card(run)
    figure, start = card.count_hours, forecasts.start(run, batch, card)
    if figure is None or start is None or batch.fertilised is not None:
        return None
    due = start + timedelta(hours=figure.usual_or_low)
    return due if due >= talk.desk.now else None


def say_next(
    talk: Talk,
    run: Run,
    what: str,
    *,
    key: StepKey,
    at: datetime | None = None,
    events: Sequence[int] = (),
    cautions: tuple[str, ...] = (),
) -> None:
    """Kept, of which part, and which bell comes next, named where it is another part's."""
    coming, due = next_bell(talk, run)
    called = talk.part_called(run, key)
    next_called = talk.part_called(run, coming) if coming else ""
    fact = Noted(
        what,
        run.number,
        called,
        at=at,
        step="" if what == "not-hatched" else key.step,
        next_step=coming.step if coming else "",
        next_at=due,
        next_called="" if next_called == called else next_called,
        echo=at is not None,
    )
    undo = [Button("undo", say.Undo(tuple(events)), "undo")] if events else []
    talk.say(fact, *undo, cautions=cautions)


def say_coming(talk: Talk) -> None:
    """I am here, and the next bell of whatever run is open."""
    live = [run for run in talk.live() if run.state == "open"]
    coming = [(due, key.step) for run in live for key, due in [next_bell(talk, run)] if key and due]
    due, step = min(coming, default=(None, ""))
    talk.say(Noted("greeting", next_step=step, next_at=due))


def next_bell(talk: Talk, run: Run) -> tuple[StepKey | None, datetime | None]:
    """The run's next bell; the evening line and the closing are no bells here."""
    coming = [
        (bell.due_at, key)
        for key, series in _planned(talk, run).items()
        if key.step not in NO_BELLS
        for bell in series.bells
        if bell.due_at >= talk.desk.now
    ]
    if not coming:
        return None, None
    due, key = min(coming, key=lambda pair: pair[0])
    return key, due
