"""Readings of the water, guesses, or no thermometer: the windows follow."""

from __future__ import annotations

import dataclasses
from datetime import datetime

from core import commands as say
from core import forecasts
from core.assistant.choosing import picks, places, run_for
from core.assistant.doses import say_plan, water_outside
from core.assistant.talk import AskFirst, Talk
from core.assistant.windows import say_forecast, say_hatch_forecast, strip_view, water_asked_at
from core.records import Group, Run, WaterRead
from core.replies import Ask, Button, Noted, Reply
from core.runs import group_of, looks_open

FAR = 8.0  # C beyond what the species bears: a slip of the finger rather than a night. A rule of our own.


def temperature(talk: Talk, said: say.Temperature) -> None:
    """A reading of the water, a guess, or no thermometer: the windows follow."""
    run = _run_for_water(talk, said)
    if said.unknown or said.celsius is None:
        talk.tell(run.number, WaterRead(None, "assumed"))
        celsius, source = forecasts.celsius_now(run, "", talk.card(run))
        what = "no-thermometer" if source == "assumed" else "water-kept"
        talk.say(Noted(what, run.number, talk.called(run), celsius=celsius))
        return
    if not talk.sure:
        _check_plausible(talk, run, said)
    place = _place_of_water(talk, run, said)
    at = talk.moment(said.at)
    was_outside, held = water_outside(talk, run), _holds(talk, run)
    talk.tell(run.number, WaterRead(said.celsius, "guessed" if said.guessed else "measured", place), at)
    now = talk.run(run.number)
    waiting = [
        g for g in now.groups if looks_open(now, g) and (place is None or g.place.lower() == place.lower())
    ]
    for group in waiting:
        why = held.get(group.name)
        if why and _holds(talk, now).get(group.name) == why:  # told with the first such reading
            _say_still_held(talk, now, group, at)
        else:
            say_forecast(talk, now, group)
    if waiting:
        return
    coming = [batch for batch in now.batches if batch.hatched is None]
    for batch in coming:
        say_hatch_forecast(talk, now, batch)
    if not coming:
        called = talk.called(now, place or "")
        talk.say(Noted("water", now.number, called, at=at, celsius=said.celsius, word=place or ""))
    if now.planned is not None and not now.groups and water_outside(talk, now) != was_outside:
        say_plan(talk, now)


def _holds(talk: Talk, run: Run) -> dict[str, str]:
    """Why groups are on hold, by their names."""
    views = [(group, strip_view(talk, run, group)) for group in run.groups]
    return {group.name: view.held.why for group, view in views if view and view.held}


def _say_still_held(talk: Talk, run: Run, group: Group, at: datetime) -> None:
    """The reading is kept, and when the water is asked again."""
    celsius, _ = forecasts.celsius_now(run, group.place, talk.card(run))
    asked = water_asked_at(talk, run)
    step = "check-water" if asked else ""
    called = talk.group_called(run, group)
    talk.say(Noted("water", run.number, called, at=at, celsius=celsius, next_step=step, next_at=asked))
    talk.expect("temperature", run.number)


def _check_plausible(talk: Talk, run: Run, said: say.Temperature) -> None:
    """Water far from what the species bears is asked about before it moves a night."""
    bears = talk.card(run).tolerated_celsius
    celsius = said.celsius or 0.0
    if not bears.low - FAR <= celsius <= bears.high + FAR:
        fact = Ask("water", "implausible", run.number, talk.called(run), number=celsius)
        yes = Button("yes", say.Pick(said, run.number, sure=True), "celsius", (("number", celsius),))
        raise AskFirst(Reply(fact, (yes,)))


def _run_for_water(talk: Talk, said: say.Temperature) -> Run:
    number = talk.desk.awaiting.run if talk.desk.awaiting and talk.desk.awaiting.about == "temperature" else 0
    live = {run.number for run in talk.live()}
    named = said.place or said.run
    if named is None and number in live:
        return talk.run(number)
    with_place = [
        run for run in talk.live() if named and named.lower() in (place.lower() for place in places(run))
    ]
    if len(with_place) == 1:
        return with_place[0]
    return run_for(talk, said, words=said.run, named_only=bool(said.place))


def _place_of_water(talk: Talk, run: Run, said: say.Temperature) -> str | None:
    """The place the reading is of; asked where fish stand in several and none was named."""
    names = places(run)
    if said.place:
        return next((name for name in names if name.lower() == said.place.lower()), said.place)
    if len(names) < 2 or talk.sure:
        return None
    rung = talk.desk.bell.bell.key.group if talk.desk.bell and talk.desk.bell.bell.run == run.number else ""
    group = group_of(run, rung)
    if group is not None and group.place:
        return group.place
    choices = ((say.Pick(dataclasses.replace(said, place=name), run.number), name) for name in names)
    fact = Ask("which-place", "several-places", run.number, talk.called(run), number=said.celsius)
    everywhere = Button("answer:all", say.Pick(said, run.number, sure=True), "all-places")
    raise AskFirst(Reply(fact, (*picks("place", choices), everywhere)))
