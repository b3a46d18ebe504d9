"""From the needle to the eggs in water: injections, water, looks, eggs, steps done."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from datetime import datetime, timedelta

from core import eggs, forecasts, reminders
from core import commands as say
from core.assistant.choosing import batch_for, bell_for, group_for, no_run, places, run_for
from core.assistant.doses import doses_of, say_night
from core.assistant.talk import AskFirst, Talk
from core.errors import NoFigure
from core.records import (
    Awaiting,
    Batch,
    Died,
    EggsOf,
    EggsRun,
    EggsWeighed,
    Fish,
    Group,
    Injected,
    LooksStopped,
    NoEggs,
    NotYet,
    Postponed,
    Retracted,
    Run,
    SpawnSeen,
    StepDone,
    StepKey,
    StepSkipped,
    Stripped,
    WaterRead,
    Which,
)
from core.replies import (
    Ask,
    Button,
    EggsOfFish,
    EggsTaken,
    HatchForecast,
    Hold,
    Noted,
    Refused,
    Reply,
    StepDue,
    StripForecast,
)
from core.runs import (
    LOOKS,
    answer_key,
    batch_of,
    fish_of,
    group_of,
    is_unsettled_female,
    looks_open,
    step,
    uninjected,
    unsettled,
)

WATER_FRESH = timedelta(hours=6)
SAME_BOWL = timedelta(minutes=90)
DOUBTFUL = ("watery", "blood", "whitish")
SNOOZE = 30


# Injections ----------------------------------------------------------------------------------------------


def injected(talk: Talk, said: say.Injection) -> None:
    """An injection was given: the clock starts from the true time, and the reply echoes it."""
    awaited = talk.desk.awaiting
    if awaited is not None and awaited.events:
        _shift_to(talk, awaited, talk.moment(said.at, said.minutes_ago))
        return
    run = run_for(talk, said, lambda each: bool(each.fish), words=said.run, tags=said.tags)
    at = talk.moment(said.at, said.minutes_ago)
    fish = _fish_for_shot(talk, run, said, at)
    which = _which(talk, run, said, fish)
    before = {group.name for group in run.groups}
    told = []
    for place in dict.fromkeys(each.place for each in fish):
        tags = tuple(each.tag for each in fish if each.place == place)
        name = fish_of(run, tags[0]).group if fish_of(run, tags[0]) else ""  # type: ignore[union-attr]
        name = name or _free_name(run, told)
        event = talk.tell(run.number, Injected(name, tags, which, said.place or place or None, said.ml), at)
        told.append(event)
    _say_injected(talk, talk.run(run.number), [event.id for event in told], first=not before)


def inject_now(talk: Talk, said: say.InjectNow) -> None:
    """The button "I inject now"."""
    talk.pinned = said.run_number
    injected(talk, say.Injection(minutes_ago=0, tags=said.tags))


def _fish_for_shot(talk: Talk, run: Run, said: say.Injection, at: datetime) -> list[Fish]:
    if said.tags:
        missing = [tag for tag in said.tags if fish_of(run, tag) is None]
        if missing:
            raise AskFirst(Reply(Ask("which-fish", "unknown-tag", run.number, talk.called(run), words=missing[0])))
        return [fish for tag in said.tags if (fish := fish_of(run, tag))]
    here = [fish for fish in run.fish if not said.place or fish.place.lower() == said.place.lower()] or list(run.fish)
    primed = [fish for fish in here if fish.shots and all(shot.which == "priming" for shot in fish.shots)]
    if primed and said.which != "priming":
        return primed
    fresh = [fish for fish in here if fish in uninjected(run) and _gets_dose(talk, run, fish)]
    if not fresh:
        raise _already(talk, run, said, at)
    return fresh


def _gets_dose(talk: Talk, run: Run, fish: Fish) -> bool:
    try:
        line = next(line for line in doses_of(talk, run).lines if line.tag == fish.tag)
    except NoFigure:
        return True
    return bool(line.shots) or fish.sex is None


def _already(talk: Talk, run: Run, said: say.Injection, at: datetime) -> AskFirst:
    """All fish have their injection: a second telling is either its true time, or a second dose."""
    shots = [(shot, fish.tag) for fish in run.fish for shot in fish.shots]
    if not shots:
        return no_run("weights")
    newest = max(shots, key=lambda pair: pair[0].at)[0]
    events = tuple(dict.fromkeys(shot.event for shot, _ in shots if shot.at == newest.at))
    minutes = round((newest.at - at).total_seconds() / 60)
    buttons = (
        Button("yes", say.ShiftTime(run.number, events, minutes), "same-injection", (("at", at),)),
        Button("no", say.Nothing("injected"), "no-change"),
    )
    fact = Ask("injected-time", "already-injected", run.number, talk.called(run), at=newest.at)
    return AskFirst(Reply(fact, buttons, cautions=talk.once(run.number, "no-second-dose")))


def _which(talk: Talk, run: Run, said: say.Injection, fish: Sequence[Fish]) -> Which:
    if said.which:
        return said.which
    shares = 1
    try:
        shares = len(talk.card(run).dose_rule(run.preparation, "f").shares)
    except NoFigure:
        return "only"
    given = max((len(each.shots) for each in fish), default=0)
    if shares == 1:
        return "only"
    return "resolving" if given + 1 >= shares else "priming"


def _free_name(run: Run, told: Sequence[object]) -> str:
    taken = {group.name for group in run.groups}
    number = len(taken) + len(told) + 1
    while str(number) in taken:
        number += 1
    return str(number)


def _say_injected(talk: Talk, run: Run, events: list[int], first: bool) -> None:
    groups = [group for group in run.groups if any(shot.event in events for fish in run.fish for shot in fish.shots if fish.group == group.name)]
    cautions = talk.once(run.number, "no-second-dose")
    if run.way == "stripped" and talk.card(run).male_cut and any(f.sex == "m" and f.shots for f in run.fish):
        cautions += talk.once(run.number, "treated-fish")
    for place, group in enumerate(groups):
        echo = echo_buttons(run, events) if place == 0 else ()
        if group.final_at is None:
            talk.say(Noted("priming", run.number, talk.called(run), at=group.first_at, tags=group.tags, echo=True), *echo)
        else:
            say_forecast(talk, run, group, echo=True, buttons=echo, cautions=cautions if place == 0 else ())
    if first and any(group.final_at for group in groups):
        say_night(talk, run)


def echo_buttons(run: Run, events: Sequence[int]) -> tuple[Button, ...]:
    """Under the echo of an act's time: ten or thirty minutes earlier, another time, or not at all."""
    told = tuple(events)
    return (
        Button("answer:-10", say.ShiftTime(run.number, told, 10), "minutes-earlier", (("minutes", 10.0),)),
        Button("answer:-30", say.ShiftTime(run.number, told, 30), "minutes-earlier", (("minutes", 30.0),)),
        Button("answer:other", say.AskAgain("act-time", run.number, told), "other-time"),
        Button("undo", say.Undo(told), "undo"),
    )


def _shift_to(talk: Talk, awaited: Awaiting, at: datetime) -> None:
    """The hour that was asked for under the echo of an act."""
    told = [event for event in talk.events_of(awaited.run) if event.id in awaited.events]
    minutes = round((told[0].at - at).total_seconds() / 60) if told else 0
    shift(talk, say.ShiftTime(awaited.run, awaited.events, minutes))


def shift(talk: Talk, said: say.ShiftTime) -> None:
    """The act happened earlier (or later) than was thought: told again at its true time."""
    events = {event.id: event for event in talk.events_of(said.run_number)}
    moved = [events[number] for number in said.events if number in events]
    if not moved:
        talk.say(Refused("nothing-to-undo"))
        return
    at = min(moved[0].at - timedelta(minutes=said.minutes), talk.desk.said_at)
    talk.tell(said.run_number, Retracted(tuple(event.id for event in moved)))
    again = [talk.tell(said.run_number, event.what, at) for event in moved]
    run = talk.run(said.run_number)
    told = [event.id for event in again]
    if any(isinstance(event.what, Injected) for event in moved):
        _say_injected(talk, run, told, first=False)
    elif any(isinstance(event.what, StepDone) and event.what.key.step == "fertilise" for event in moved):
        say_after_milt(talk, run, moved[0].what.key.batch)  # type: ignore[union-attr]
    else:
        talk.say(Noted("time-shifted", run.number, talk.called(run), at=at))


def say_forecast(
    talk: Talk,
    run: Run,
    group: Group,
    *,
    echo: bool = False,
    buttons: Sequence[Button] = (),
    cautions: tuple[str, ...] = (),
) -> None:
    """The group's window, or that it is on hold; asks the water where nobody told it lately."""
    try:
        view = forecasts.strip(run, group, talk.card(run))
    except NoFigure:
        talk.say(Noted("injected", run.number, talk.called(run), at=group.final_at, tags=group.tags, echo=echo), *buttons)
        return
    if view.held is not None:
        talk.say(hold_fact(talk, run, group, view), *buttons, cautions=cautions)
        talk.expect("temperature", run.number)
        return
    asks = "water" if _wants_water(talk, run, group) else ""
    if asks:
        talk.expect("temperature", run.number)
        buttons = (*buttons, Button("answer:none", say.Temperature(unknown=True), "no-thermometer"))
    talk.say(forecast_fact(talk, run, group, view, echo), *buttons, asks=asks, cautions=cautions)


def forecast_fact(talk: Talk, run: Run, group: Group, view: forecasts.StripView, echo: bool = False) -> StripForecast:
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
        egg_life_minutes=None if life is None else round(life.usual or life.low),
        celsius=view.celsius,
        celsius_source=view.celsius_source,
        basis=window.basis,
        mark=window.mark,
        echo=echo,
        wide=window.wide,
    )


def hold_fact(talk: Talk, run: Run, group: Group, view: forecasts.StripView) -> Hold:
    """Why there is no promise, at what water there will be, and when the water is asked again."""
    held = view.held
    assert held is not None
    ask_again = held.since + reminders.WATER_AGAIN
    while ask_again <= talk.desk.now:
        ask_again += reminders.WATER_AGAIN
    return Hold(run.number, talk.group_called(run, group), held.why, held.celsius, held.resume_when, ask_again)


def _wants_water(talk: Talk, run: Run, group: Group) -> bool:
    fresh = [each for each in forecasts.readings(run, group.place) if talk.desk.said_at - each.at < WATER_FRESH]
    return not fresh and not run.no_thermometer


# Water -------------------------------------------------------------------------------------------------------


def temperature(talk: Talk, said: say.Temperature) -> None:
    """A reading of the water, a guess, or no thermometer: the windows follow."""
    run = _run_for_water(talk, said)
    if said.unknown or said.celsius is None:
        talk.tell(run.number, WaterRead(None, "assumed"))
        card = talk.card(run)
        talk.say(Noted("no-thermometer", run.number, talk.called(run), celsius=card.assumed_celsius))
        return
    place = _place_of_water(talk, run, said)
    at = talk.moment(said.at)
    talk.tell(run.number, WaterRead(said.celsius, "guessed" if said.guessed else "measured", place), at)
    now = talk.run(run.number)
    waiting = [g for g in now.groups if looks_open(now, g) and (place is None or g.place.lower() == place.lower())]
    for group in waiting:
        say_forecast(talk, now, group)
    if waiting:
        return
    coming = [batch for batch in now.batches if batch.hatched is None]
    for batch in coming:
        say_hatch_forecast(talk, now, batch)
    if not coming:
        talk.say(Noted("water", now.number, talk.called(now), at=at, celsius=said.celsius, word=place or ""))


def _run_for_water(talk: Talk, said: say.Temperature) -> Run:
    number = talk.desk.awaiting.run if talk.desk.awaiting and talk.desk.awaiting.about == "temperature" else 0
    live = {run.number for run in talk.live()}
    named = said.place or said.run
    if named is None and number in live:
        return talk.run(number)
    with_place = [run for run in talk.live() if named and named.lower() in (place.lower() for place in places(run))]
    if len(with_place) == 1:
        return with_place[0]
    return run_for(talk, said, words=said.run)


def _place_of_water(talk: Talk, run: Run, said: say.Temperature) -> str | None:
    """The place the reading is of; asked where fish stand in several and none was named."""
    names = places(run)
    if said.place:
        return next((name for name in names if name.lower() == said.place.lower()), said.place)
    if len(names) < 2:
        return None
    rung = talk.desk.bell.bell.key.group if talk.desk.bell and talk.desk.bell.bell.run == run.number else ""
    group = group_of(run, rung)
    if group is not None and group.place:
        return group.place
    buttons = tuple(
        Button(f"pick:{n}", say.Pick(dataclasses.replace(said, place=name), run.number), "place", (("called", name),))
        for n, name in enumerate(names, 1)
    )
    fact = Ask("which-place", "several-places", run.number, talk.called(run), number=said.celsius)
    raise AskFirst(Reply(fact, buttons))


# Looks --------------------------------------------------------------------------------------------------------


def not_yet(talk: Talk, said: say.NotYetSaid) -> None:
    """No eggs yet, or not yet done: the bell comes again."""
    run, key = _look_or_bell(talk, said)
    if key.step in LOOKS:
        talk.tell(run.number, NotYet(key.group))
        say_next_look(talk, talk.run(run.number), key.group)
    elif key.step == "check-hatch":
        talk.tell(run.number, StepDone(answer_key(run.way, key)))
        say_next(talk, talk.run(run.number), "not-hatched")
    else:
        postpone(talk, run, key, SNOOZE)


def _look_or_bell(talk: Talk, said: say.NotYetSaid) -> tuple[Run, StepKey]:
    """Without any bell ringing, "not yet" speaks of the females that are waited for."""
    if said.key is None and not talk.desk.bell and not talk.desk.ringing:
        looked = [(run, group) for run in talk.live() for group in run.groups if looks_open(run, group)]
        if len(looked) == 1:
            run, group = looked[0]
            return run, StepKey("check-females" if run.way == "stripped" else "check-nest", group=group.name)
    return bell_for(talk, said.key, said.run_number, said)


def say_next_look(talk: Talk, run: Run, group: str, what: str = "not-yet", tags: tuple[str, ...] = ()) -> None:
    """Kept, and when the next look is."""
    found = group_of(run, group)
    view_at = None
    if found is not None and looks_open(run, found):
        view = forecasts.strip(run, found, talk.card(run))
        coming = [at for at in reminders.look_hours(view, found) if at > talk.desk.now]
        view_at = min(coming, default=None)
    name = "check-females" if run.way == "stripped" else "check-nest"
    called = talk.group_called(run, found) if found else talk.called(run)
    talk.say(Noted(what, run.number, called, tags=tags, next_step=name if view_at else "", next_at=view_at))


def eggs_run(talk: Talk, said: say.EggsRunning) -> None:
    """Eggs run at a touch: strip now, and everything until the water in one message before hands are wet."""
    number = said.run_number or 0
    run = run_for(talk, say.EggsRunning(), _waits_for_eggs, words=said.run, tags=said.tags, number=number)
    group = group_of(run, said.group or "") or group_for(talk, run, said, tags=said.tags)
    at = talk.moment(said.at, said.minutes_ago)
    tags = tuple(fish.tag for tag in said.tags if (fish := fish_of(run, tag)))
    if run.way != "stripped":
        spawned(talk, say.Spawned("yes", key=StepKey("check-nest", group=group.name), run_number=run.number))
        return
    talk.tell(run.number, EggsRun(group.name, tags), at)
    say_strip(talk, talk.run(run.number), group.name, tags)


def _waits_for_eggs(run: Run) -> bool:
    return any(looks_open(run, group) for group in run.groups) or any(group.final_at for group in run.groups)


def say_strip(talk: Talk, run: Run, group: str, tags: tuple[str, ...]) -> None:
    """Strip now; then the fertilising steps, so that they are read before hands are wet."""
    found = group_of(run, group)
    place = found.place if found else ""
    called = talk.group_called(run, found) if found else talk.called(run)
    running = tuple(fish.tag for fish in unsettled(run, group) if fish.state == "running") or tags
    base = dict(run=run.number, called=called, species=run.species, way=run.way, group=group, place=place, bell=False)
    card = talk.card(run)
    now = talk.desk.said_at
    talk.say(
        StepDue("strip", now, batch="", tags=running, **base),  # type: ignore[arg-type]
        Button("stripping-now", say.StrippingNow(run.number, group, running), "stripping-now"),
    )
    cautions = talk.once(run.number, "never-chill")
    treated = any(fish.sex == "m" and fish.shots for fish in run.fish)
    if card.male_cut and treated:
        cautions += talk.once(run.number, "treated-fish")
    talk.say(
        StepDue(  # type: ignore[misc]
            "fertilise",
            now,
            batch="",
            stickiness=card.sticky,
            male_cut=card.male_cut,
            bath_order=talk.farm.bath_habit,
            **base,  # type: ignore[arg-type]
        ),
        cautions=cautions,
    )


def stop_looking(talk: Talk, said: say.StopLooking) -> None:
    """The farmer stops looking: her night is over without eggs known."""
    run = talk.run(said.run_number)
    talk.tell(run.number, LooksStopped(said.group))
    talk.say(Noted("looks-stopped", run.number, talk.called(run)), cautions=talk.once(run.number, "no-second-dose"))


def stripping_now(talk: Talk, said: say.StrippingNow) -> None:
    """Hands are wet: the strip bell is silent, the grams come later."""
    run = talk.run(said.run_number)
    talk.tell(run.number, StepDone(StepKey("strip", group=said.group)))
    talk.expect("stripped", run.number)
    talk.say(Noted("stripping", run.number, talk.called(run), at=talk.desk.said_at), asks="grams")


# Eggs ---------------------------------------------------------------------------------------------------------


def stripped(talk: Talk, said: say.Strip) -> None:
    """Eggs taken, females not ready, females that gave none: each by name, or who is waited for."""
    tags = [one.tag for one in said.eggs] + list(said.not_ready) + list(said.none)
    run = run_for(talk, say.Strip(), lambda each: bool(each.groups), words=said.run, tags=tags)
    _check_known(talk, run, tags)
    at = talk.moment(said.at, said.minutes_ago)
    if said.none:
        none = _females_meant(run, said.none)
        talk.tell(run.number, NoEggs(none), at)
        if not said.eggs:
            talk.say(Noted("none", talk.run(run.number).number, talk.called(run), tags=none), cautions=talk.once(run.number, "no-second-dose"))
    if said.eggs:
        _take_eggs(talk, said, talk.run(run.number), at)
    if said.not_ready:
        _not_ready(talk, said, talk.run(run.number))


def _check_known(talk: Talk, run: Run, tags: Sequence[str | None]) -> None:
    for tag in tags:
        if tag and fish_of(run, tag) is None:
            fact = Ask("which-fish", "unknown-tag", run.number, talk.called(run), words=tag)
            raise AskFirst(Reply(fact))


def _females_meant(run: Run, tags: Sequence[str | None]) -> tuple[str, ...]:
    """The females named; `None` stands for all that are not settled."""
    named = [fish.tag for tag in tags if tag and (fish := fish_of(run, tag))]
    if None in tags:
        named += [fish.tag for fish in run.fish if is_unsettled_female(fish) and fish.tag not in named]
    return tuple(named)


def _not_ready(talk: Talk, said: say.Strip, run: Run) -> None:
    tags = _females_meant(run, said.not_ready)
    names = dict.fromkeys(fish.group for tag in tags if (fish := fish_of(run, tag)) and fish.group)
    for name in names:
        talk.tell(run.number, NotYet(name, tuple(t for t in tags if (f := fish_of(run, t)) and f.group == name)))
    if not said.eggs:
        for name in names:
            say_next_look(talk, talk.run(run.number), name, tags=tags)


def _take_eggs(talk: Talk, said: say.Strip, run: Run, at: datetime) -> None:
    """Sound eggs of one hour go into one bowl; watery, bloody or whitish ones, and a dead female's, apart."""
    open_females = [fish for fish in run.fish if is_unsettled_female(fish) and fish.group]
    named = [_owned(one, open_females, run) for one in said.eggs]
    doubtful = [one for one in named if one.quality in DOUBTFUL or _is_dead(run, one.tag)]
    sound = [one for one in named if one not in doubtful]
    told: list[tuple[str, int]] = []
    if sound:
        name = _bowl(run, at) or _next_bowl(run, told)
        shared = () if sound[0].tag else tuple(fish.tag for fish in open_females)
        told.append((name, talk.tell(run.number, Stripped(name, tuple(sound), shared, place=said.place), at).id))
    for one in doubtful:
        name = _next_bowl(run, told)
        told.append((name, talk.tell(run.number, Stripped(name, (one,), test_lot=True, place=said.place), at).id))
    now = talk.run(run.number)
    for name, event in told:
        _say_eggs(talk, now, name, event)


def _owned(one: say.EggsTold, open_females: Sequence[Fish], run: Run) -> EggsOf:
    tag = one.tag or (open_females[0].tag if len(open_females) == 1 else "")
    if not tag and len(females_all := [fish for fish in run.fish if fish.sex == "f"]) == 1:
        tag = females_all[0].tag
    found = fish_of(run, tag) if tag else None
    return EggsOf(found.tag if found else "", one.grams, one.quality, bool(one.partial))


def _is_dead(run: Run, tag: str) -> bool:
    fish = fish_of(run, tag) if tag else None
    return fish is not None and fish.state == "died"


def _bowl(run: Run, at: datetime) -> str | None:
    """The bowl that is still being filled: sound eggs of the same hour without milt."""
    fitting = [b for b in run.batches if not b.test_lot and not b.fertilised_at and abs(at - b.begun_at) <= SAME_BOWL]
    return fitting[-1].name if fitting else None


def _next_bowl(run: Run, told: Sequence[tuple[str, int]]) -> str:
    taken = {batch.name for batch in run.batches} | {name for name, _ in told}
    return next(str(n) for n in range(1, 10_000) if str(n) not in taken)


def eggs_fact(talk: Talk, run: Run, batch: Batch) -> EggsTaken:
    """The eggs of a batch: grams, how many by the farm's own count or the card, the milt they want."""
    card = talk.card(run)
    own = run.eggs_per_gram or talk.farm.eggs_per_gram
    figure = card.eggs_per_gram
    usual = own or (None if figure is None else figure.usual or round((figure.low + figure.high) / 2))
    grams = [one.grams for one in batch.eggs if one.grams]
    known = len(grams) == len(batch.eggs)
    dry = batch.dry is not False
    total = round(sum(grams), 1) if grams and known else None
    counts = [eggs.eggs_from_grams(one.grams, usual) if one.grams and usual and dry else None for one in batch.eggs]
    waiting = tuple(fish.tag for fish in unsettled(run, batch.group) if fish.state != "running") if batch.group else ()
    return EggsTaken(
        run=run.number,
        called=talk.batch_called(run, batch.name),
        batch=batch.name,
        fish=tuple(
            EggsOfFish(one.tag, one.grams, count, one.quality, one.partial)
            for one, count in zip(batch.eggs, counts, strict=True)
        ),
        total_grams=total,
        total_eggs=sum(c for c in counts if c) if all(counts) and counts else None,
        eggs_per_gram=usual if dry else None,
        eggs_per_gram_low=own or (figure.low if figure else None),
        eggs_per_gram_high=own or (figure.high if figure else None),
        milt_ml=eggs.milt_ml(total, card) if total else None,
        at=batch.begun_at,
        test_lot=batch.test_lot,
        waiting=waiting,
        basis=("farm",) if own else figure.sources if figure else (),
        mark="the farm's own" if own else figure.mark if figure else "from memory",
    )


def _say_eggs(talk: Talk, run: Run, name: str, event: int) -> None:
    batch = batch_of(run, name)
    if batch is None:
        return
    buttons: list[Button] = [Button("done", _milt_done(run, name), "milt-on")]
    asks = ""
    if len(batch.shared) > 1:
        asks = "whose-eggs"
        buttons += [
            Button(f"fish:{tag}", say.WhoseEggs(run.number, name, (tag,), event), "only-fish", (("tag", tag),))
            for tag in batch.shared[:4]
        ]
        buttons.append(Button("fish:all", say.WhoseEggs(run.number, name, batch.shared, event), "all-fish"))
    elif _too_heavy(run, batch) and batch.dry is None:
        asks = "grams-dry"
        buttons += [
            Button("answer:dry", say.EggsWere(run.number, name, True), "eggs-dry"),
            Button("answer:wet", say.EggsWere(run.number, name, False), "eggs-wet"),
        ]
    buttons.append(Button("undo", say.Undo((event,)), "undo"))
    cautions = talk.once(run.number, "test-lot") if batch.test_lot else ()
    talk.say(eggs_fact(talk, run, batch), *buttons, asks=asks, cautions=cautions)


def _milt_done(run: Run, batch: str) -> say.Finished:
    return say.Finished(key=StepKey("fertilise", batch=batch), run_number=run.number)


def _too_heavy(run: Run, batch: Batch) -> bool:
    owners = {one.tag for one in batch.eggs if one.tag} or set(batch.shared)
    kilos = sum(fish.kg for fish in run.fish if fish.tag in owners)
    grams = sum(one.grams or 0 for one in batch.eggs)
    return bool(kilos) and bool(grams) and eggs.grams_suspicious(grams, kilos)


def whose_eggs(talk: Talk, said: say.WhoseEggs) -> None:
    """Whose the eggs were: told again with the name, or as eggs that all of them gave."""
    run = talk.run(said.run_number)
    old = next((event for event in talk.events_of(run.number) if event.id == said.event), None)
    if old is None or not isinstance(old.what, Stripped):
        talk.say(Refused("nothing-to-undo"))
        return
    if len(said.tags) != 1:
        talk.say(Noted("eggs-of", run.number, talk.called(run), tags=said.tags))
        return
    mended = tuple(dataclasses.replace(one, tag=one.tag or said.tags[0]) for one in old.what.eggs)
    talk.tell(run.number, Retracted((old.id,)))
    event = talk.tell(run.number, dataclasses.replace(old.what, eggs=mended, shared=()), old.at)
    _say_eggs(talk, talk.run(run.number), said.batch, event.id)


def eggs_were(talk: Talk, said: say.EggsWere) -> None:
    """Dry, or after water: eggs per gram of the card are of dry eggs only."""
    run = talk.run(said.run_number)
    talk.tell(run.number, EggsWeighed(said.batch, said.dry))
    now = talk.run(run.number)
    batch = batch_of(now, said.batch)
    if batch is not None:
        talk.say(eggs_fact(talk, now, batch))


def died(talk: Talk, said: say.Death) -> None:
    """A fish died: kept; eggs only if they already run freely, in a bowl of their own."""
    run = run_for(talk, said, lambda each: bool(each.fish), words=said.run, tags=said.tags)
    tags = tuple(fish.tag for tag in said.tags if (fish := fish_of(run, tag)))
    if not tags:
        alive = [fish for fish in run.fish if fish.state != "died"]
        if len(alive) != 1:
            raise _which_fish(talk, run, alive)
        tags = (alive[0].tag,)
    running = any((fish := fish_of(run, tag)) and fish.state == "running" for tag in tags)
    talk.tell(run.number, Died(tags))
    treated = any((fish := fish_of(run, tag)) and fish.shots for tag in tags)
    cautions = talk.once(run.number, "treated-fish") if treated else ()
    talk.say(Noted("died-running" if running else "died", run.number, talk.called(run), tags=tags), cautions=cautions)


def _which_fish(talk: Talk, run: Run, fish: Sequence[Fish]) -> AskFirst:
    buttons = tuple(
        Button(f"fish:{each.tag}", say.Pick(say.Death((each.tag,)), run.number), "fish", (("tag", each.tag),))
        for each in fish[:8]
    )
    return AskFirst(Reply(Ask("which-fish", "not-named", run.number, talk.called(run)), buttons))


def spawned(talk: Talk, said: say.Spawned) -> None:
    """In a nest or hapa: eggs seen, a few, or none. Where fish are stripped, eggs on the floor are eggs that run."""
    number = said.run_number or 0
    run = run_for(talk, say.Spawned(said.answer), lambda each: bool(each.groups), words=said.run, number=number)
    name = said.key.group if said.key else ""
    group = group_of(run, said.group or name) or group_for(talk, run, said, place=said.place)
    if run.way == "stripped":
        if said.answer == "no":
            talk.tell(run.number, NotYet(group.name))
            say_next_look(talk, talk.run(run.number), group.name)
        else:
            talk.tell(run.number, EggsRun(group.name, ()))
            say_strip(talk, talk.run(run.number), group.name, ())
        return
    at = talk.moment(said.at, said.minutes_ago)
    batch = next((each.name for each in run.batches if each.group == group.name), _next_bowl(run, ()))
    talk.tell(run.number, SpawnSeen(group.name, batch, said.answer), at)
    now = talk.run(run.number)
    if said.answer == "no":
        say_next_look(talk, now, group.name)
        return
    bell = reminders.plan(now, talk.card(now), talk.farm, talk.zone, talk.desk.now).get(StepKey("remove-brood", batch=batch))
    due = bell.bells[0].due_at if bell and bell.bells else None
    talk.say(Noted("spawned", now.number, talk.group_called(now, group), at=at, word=said.answer, next_step="remove-brood", next_at=due))
    found = batch_of(now, batch)
    if found is not None:
        say_hatch_forecast(talk, now, found)


# Steps ----------------------------------------------------------------------------------------------------------


def done(talk: Talk, said: say.Finished) -> None:
    """A bell's step is done; which one is asked where two ring."""
    run, key = bell_for(talk, said.key, said.run_number, said)
    at = talk.moment(said.at, said.minutes_ago)
    if key.step in ("inject", "prime"):
        talk.pinned = run.number
        injected(talk, say.Injection("priming" if key.step == "prime" else None, said.at, said.minutes_ago))
    elif key.step == "check-nest":
        raise AskFirst(Reply(Ask("spawned", "nest-looked", run.number, talk.called(run)), spawn_buttons(run, key)))
    elif key.step in LOOKS:
        raise AskFirst(Reply(Ask("eggs", "females-looked", run.number, talk.called(run)), look_buttons(run, key)))
    elif key.step in ("check-fertilised", "check-hatch"):
        about = "fertilised" if key.step == "check-fertilised" else "hatched"
        talk.expect(about, run.number, key.batch)
        talk.say(Ask(about, "count-wanted", run.number, talk.called(run)))
    elif key.step == "strip":
        stripping_now(talk, say.StrippingNow(run.number, key.group))
    else:
        step_done(talk, run, key, at)


def look_buttons(run: Run, key: StepKey) -> tuple[Button, ...]:
    """Under a look at the females."""
    return (
        Button("eggs-run", say.EggsRunning(run.number, key.group), "eggs-run"),
        Button("not-yet", say.NotYetSaid(key, run.number), "not-yet"),
        Button("stop-looking", say.StopLooking(run.number, key.group), "stop-looking"),
    )


def spawn_buttons(run: Run, key: StepKey) -> tuple[Button, ...]:
    """Under a look at a nest or hapa from outside."""
    return (
        Button("yes", say.Spawned("yes", key=key, run_number=run.number), "spawned-yes"),
        Button("not-yet", say.NotYetSaid(key, run.number), "not-yet"),
        Button("stop-looking", say.StopLooking(run.number, key.group), "stop-looking"),
    )


def step_said(talk: Talk, said: say.StepSaid) -> None:
    """A step told by its own word ("milt in", "rinsed", "brood fish out")."""
    run = run_for(talk, said, lambda each: step(each.way, said.step) is not None and each.state == "open")
    each = step(run.way, said.step)
    at = talk.moment(said.at, said.minutes_ago)
    if each is None:
        raise no_run()
    group = batch = ""
    if each.scope == "batch":
        batch = batch_for(talk, run, said, lambda one: not _was_done(run, each.name, one.name), place=said.place).name
    elif each.scope == "group":
        group = group_for(talk, run, said, place=said.place).name
    if said.step == "strip":
        stripping_now(talk, say.StrippingNow(run.number, group))
        return
    step_done(talk, run, StepKey(said.step, group, batch), at)


def _was_done(run: Run, name: str, batch: str) -> bool:
    return any(key.step == name and key.batch == batch for key, _ in run.answered)


def step_done(talk: Talk, run: Run, key: StepKey, at: datetime) -> None:
    """Kept at its hour, and what comes next."""
    event = talk.tell(run.number, StepDone(answer_key(run.way, key)), at)
    now = talk.run(run.number)
    if key.step == "fertilise":
        say_after_milt(talk, now, key.batch, event.id)
        return
    say_next(talk, now, "done", step_name=key.step, at=at, events=(event.id,))


def say_after_milt(talk: Talk, run: Run, batch: str, event: int | None = None) -> None:
    """Milt and water are on the eggs: the echo of the hour, and when larvae should hatch."""
    found = batch_of(run, batch)
    buttons = echo_buttons(run, (event,)) if event is not None else ()
    at = found.fertilised_at if found else None
    called = talk.batch_called(run, batch)
    talk.say(Noted("fertilised", run.number, called, at=at, step="fertilise", echo=True), *buttons)
    if found is not None:
        say_hatch_forecast(talk, run, found)


def say_hatch_forecast(talk: Talk, run: Run, batch: Batch) -> None:
    """The hatch window of a batch; silent where nobody published one."""
    try:
        view = forecasts.hatch(run, batch, talk.card(run))
    except NoFigure:
        talk.say(Refused("no-figure", words="hatch"))
        return
    figure = talk.card(run).count_hours
    start = batch.fertilised_at or batch.begun_at
    hours = None if figure is None else figure.low if figure.usual is None else figure.usual
    talk.say(
        HatchForecast(
            run=run.number,
            called=talk.batch_called(run, batch.name),
            batch=batch.name,
            from_step=view.from_step,
            earliest_at=view.window.earliest,
            likely_at=view.window.likely,
            latest_at=view.window.latest,
            celsius=view.celsius,
            celsius_source=view.celsius_source,
            basis=view.window.basis,
            mark=view.window.mark,
            count_at=None if hours is None or batch.fertilised else start + timedelta(hours=hours),
        )
    )


def say_next(
    talk: Talk,
    run: Run,
    what: str,
    *,
    step_name: str = "",
    at: datetime | None = None,
    events: Sequence[int] = (),
    number: float | None = None,
) -> None:
    """Kept, and which bell comes next."""
    key, due = next_bell(talk, run)
    called = talk.batch_called(run, key.batch) if key and key.batch else talk.called(run)
    fact = Noted(
        what,
        run.number,
        called,
        at=at,
        step=step_name,
        next_step=key.step if key else "",
        next_at=due,
        number=number,
        echo=at is not None,
    )
    talk.say(fact, *([Button("undo", say.Undo(tuple(events)), "undo")] if events else []))


def next_bell(talk: Talk, run: Run) -> tuple[StepKey | None, datetime | None]:
    """The run's next bell; the evening line and the closing are no bells here."""
    planned = reminders.plan(run, talk.card(run), talk.farm, talk.zone, talk.desk.now)
    coming = [
        (bell.due_at, key)
        for key, series in planned.items()
        if key.step not in ("close", "all-well")
        for bell in series.bells
        if bell.due_at >= talk.desk.now
    ]
    if not coming:
        return None, None
    due, key = min(coming, key=lambda pair: pair[0])
    return key, due


def skip(talk: Talk, said: say.SkipStep) -> None:
    """Not done, and not asked again."""
    run = talk.run(said.run_number)
    event = talk.tell(run.number, StepSkipped(answer_key(run.way, said.key)))
    say_next(talk, talk.run(run.number), "skipped", step_name=said.key.step, events=(event.id,))


def snooze(talk: Talk, said: say.Snooze) -> None:
    """The bell comes again in so many minutes."""
    run, key = bell_for(talk, said.key, said.run_number, said)
    postpone(talk, run, key, said.minutes)


def postpone(talk: Talk, run: Run, key: StepKey, minutes: float) -> None:
    """The bell of `key` comes again `minutes` from when it was said."""
    until = talk.desk.said_at + timedelta(minutes=minutes)
    plain = dataclasses.replace(key, look=0)
    talk.tell(run.number, Postponed(plain, until))
    talk.say(Noted("postponed", run.number, talk.called(run), at=until, step=key.step))
