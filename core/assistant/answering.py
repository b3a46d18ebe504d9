"""Answers to bells: done, not yet, later, skip; steps told by their own word; acts told at a wrong hour."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from datetime import datetime, timedelta

from core import commands as say
from core import forecasts
from core.assistant.choosing import (
    ECHO,
    asking_after_well,
    batch_for,
    bell_for,
    belled,
    check_run_named,
    group_for,
    is_named,
    latest_of_series,
    run_for,
)
from core.assistant.collecting import collected_without_litres
from core.assistant.injecting import echo_buttons, injected
from core.assistant.looking import (
    look_buttons,
    run_of_eggs_seen,
    say_next_look,
    spawn_buttons,
    spawned,
    stripping_now,
)
from core.assistant.repeats import answered_lately, step_told_lately
from core.assistant.settling import check_step_order
from core.assistant.talk import AskFirst, Pin, Talk
from core.assistant.windows import say_coming, say_hatch_forecast, say_next
from core.records import Fish, NotYet, Postponed, Run, StepDone, StepKey, StepSkipped
from core.replies import Ask, Button, Noted, Refused, Reply
from core.runs import (
    LOOKS,
    answer_key,
    batch_of,
    females,
    fish_named,
    is_unsettled_female,
    look_step,
    looks_open,
    step,
)

NEEDLE_EARLY = timedelta(minutes=20)
"""A bare "done" so long before the planned needle is asked about. A rule of our own."""


def ok(talk: Talk, said: say.Finished) -> None:
    """ "OK" or a raised thumb: done, of a plain step; of a needle it is asked. Without any bell it is a
    courtesy."""
    check_run_named(talk, said)
    bells = [each for each in belled(talk) if is_named(talk, talk.run(each.bell.run), said.run)]
    if said.key is None and not bells:
        say_coming(talk)
        return
    run, key = bell_for(talk, said.key, said.run_number, said)
    sure = dataclasses.replace(said, only_ok=False, key=key, run_number=run.number)
    if key.step not in ("inject", "prime"):
        done(talk, sure)
        return
    fact = Ask("injected-yet", "asked", run.number, talk.called(run))
    yes, later = Button("answer:injected", sure, "injected"), say.Snooze(say.USUAL_SNOOZE, key, run.number)
    raise AskFirst(Reply(fact, (yes, Button("later-30", later, "later-30"))))


def done(talk: Talk, said: say.Finished) -> None:
    """A bell's step is done; which one is asked where two ring. Without any, a planned injection may be
    meant.
    """
    if said.only_ok:
        ok(talk, said)
        return
    check_run_named(talk, said)
    if said.well and said.key is None and not asking_after_well(talk):
        _well(talk)
        return
    at = talk.moment(said.at, said.minutes_ago)
    if said.key is None and not belled(talk) and _without_a_bell(talk, said, at):
        return
    run, key = bell_for(talk, said.key, said.run_number, said)
    if key.step in ("inject", "prime"):
        talk.pinned = Pin(run.number, key.group)
        injected(talk, say.Injection("priming" if key.step == "prime" else None, said.at, said.minutes_ago))
    elif key.step == "check-nest":
        raise AskFirst(
            Reply(Ask("spawned", "nest-looked", run.number, talk.called(run)), spawn_buttons(run, key))
        )
    elif key.step in LOOKS:
        raise AskFirst(
            Reply(Ask("eggs", "females-looked", run.number, talk.called(run)), look_buttons(run, key))
        )
    elif key.step in ("check-fertilised", "check-hatch"):
        about = "fertilised" if key.step == "check-fertilised" else "hatched"
        talk.expect(about, run.number, key.batch)
        talk.say(Ask(about, "count-wanted", run.number, talk.called(run)))
    else:
        _finished(talk, run, key, at)


def _without_a_bell(talk: Talk, said: say.Finished, at: datetime) -> bool:
    """ "Done", and nothing rings: told a moment before, or the injection that was planned for about now."""
    named = _of_that_name(talk, said)
    if answered_lately(talk, named):
        return True
    planned = [run for run in named if run.planned is not None and not run.groups]
    near = [run for run in planned if run.planned and abs(at - run.planned.final_at) <= ECHO]
    if len(near) != 1:
        return False
    run, needle = near[0], say.Injection(at=said.at, minutes_ago=said.minutes_ago)
    if run.planned and at < run.planned.final_at - NEEDLE_EARLY:
        yes = Button("answer:injected", say.Pick(needle, run.number), "injected")
        raise AskFirst(Reply(Ask("injected-yet", "asked", run.number, talk.called(run)), (yes,)))
    talk.pinned = Pin(run.number)
    injected(talk, needle)
    return True


def _finished(talk: Talk, run: Run, key: StepKey, at: datetime) -> None:
    """Its bell answered or its own word told, a step is done: of eggs the amount is asked."""
    if key.step == "collect-eggs":
        collected_without_litres(talk, run, key, at)
    elif key.step == "strip":
        stripping_now(talk, say.StrippingNow(run.number, key.group))
    else:
        step_done(talk, run, key, at)


def _well(talk: Talk) -> None:
    """ "All fine", and no bell asked after it: the one that rings is no nearer its end, and is named."""
    waiting = [each.bell.key.step for each in latest_of_series(belled(talk)) if each.next_at is not None]
    if waiting:
        talk.say(Noted("well", step=waiting[-1]))
    else:
        say_coming(talk)


def _of_that_name(talk: Talk, said: say.Finished | say.NotYetSaid) -> list[Run]:
    return [run for run in talk.live() if is_named(talk, run, said.run)]


def not_yet(talk: Talk, said: say.NotYetSaid) -> None:
    """No eggs yet, or not yet done: the bell comes again."""
    check_run_named(talk, said)
    if said.about == "injected":
        _check_not_injected(talk, said)
    run, key = _look_or_bell(talk, said)
    if key.step in LOOKS:
        talk.tell(run.number, NotYet(key.group))
        say_next_look(talk, talk.run(run.number), key.group)
    elif key.step == "check-hatch":
        talk.tell(run.number, StepDone(answer_key(run.way, key)))
        say_next(talk, talk.run(run.number), "not-hatched", key=key)
    else:
        postpone(talk, run, key, AGAIN_IN.get(key.step, say.USUAL_SNOOZE))


AGAIN_IN = {"remove-substrate": 6 * 60.0, "collect-eggs": 60.0}
"""Minutes until a step that was not yet to be done is asked for again. Rules of our own."""


def _check_not_injected(talk: Talk, said: say.NotYetSaid) -> None:
    """ "Not injected" of fish that count as injected: whether that is to be taken back."""
    named = [run for run in _of_that_name(talk, said) if is_named(talk, run, said.place)]
    given = [run for run in named or talk.live() if any(fish.shots for fish in _spoken_of(run, said))]
    if not given:
        return
    run = run_for(talk, said, lambda each: each in given, tags=said.of_fish)
    fish = [each for each in _spoken_of(run, said) if each.shots]
    tags, at = tuple(each.tag for each in fish), max(shot.at for each in fish for shot in each.shots)
    fact = Ask("not-injected", "injected-told", run.number, talk.called(run), tags=tags, at=at)
    yes = Button("yes", say.NotGiven(run.number, tags), "undo-yes")
    raise AskFirst(Reply(fact, (yes, Button("no", say.Nothing("injected"), "no-change"))))


def _spoken_of(run: Run, said: say.NotYetSaid) -> Sequence[Fish]:
    return fish_named(run, said.of_fish) if said.of_fish else run.fish


def _look_or_bell(talk: Talk, said: say.NotYetSaid) -> tuple[Run, StepKey]:
    """Without any bell ringing, "not yet" speaks of the females that are waited for; so it does with their
    place."""
    silent = not talk.desk.bell and not any(each.next_at for each in belled(talk))
    if said.key is None and (silent or said.place):
        looked = [
            (run, group)
            for run in _of_that_name(talk, said)
            for group in run.groups
            if looks_open(run, group)
        ]
        if said.place:
            looked = [pair for pair in looked if pair[1].place.lower() == said.place.lower()]
        if len(looked) == 1:
            run, group = looked[0]
            return run, StepKey(look_step(run.way), group=group.name)
    return bell_for(talk, said.key, said.run_number, said)


def step_said(talk: Talk, said: say.StepSaid) -> None:
    """A step told by its own word ("milt in", "rinsed", "brood fish out")."""
    if talk.live() and not any(step(each.way, said.step) for each in talk.live()):
        raise AskFirst(Reply(Refused("step-unknown")))
    run = run_for(
        talk,
        said,
        lambda each: step(each.way, said.step) is not None,
        words=said.run,
        likely=lambda each: _is_near(each, said.step),
    )
    if said.perhaps and not _is_near(run, said.step):
        sure = dataclasses.replace(said, perhaps=False)
        button = Button("pick:1", say.Pick(sure, run.number), "candidate")
        raise AskFirst(Reply(Ask("candidate", "ambiguous-intent", candidates=(sure,)), (button,)))
    each = step(run.way, said.step)
    at = talk.moment(said.at, said.minutes_ago)
    if each is None:
        raise AskFirst(Reply(Refused("step-unknown")))
    group = batch = ""
    if each.scope == "batch":
        batch = batch_for(
            talk,
            run,
            said,
            lambda one: not _was_done(run, each.name, one.name),
            place=said.place,
            step=said.step,
        )
    elif each.scope == "group":
        group = group_for(talk, run, said, place=said.place)
    key = StepKey(said.step, group, batch)
    untimed = said.at is None and said.minutes_ago is None
    if not (untimed and step_told_lately(talk, run, key)):
        _finished(talk, run, key, at)


def eggs_seen(talk: Talk, said: say.Spawned) -> None:
    """Eggs seen where they lie. Where all were stripped before they are spread."""
    run = run_of_eggs_seen(talk, said)
    waiting = any(is_unsettled_female(fish) for fish in females(run))
    if run.way == "stripped" and run.batches and said.answer != "no" and said.key is None and not waiting:
        talk.pinned = Pin(run.number)
        step_said(talk, say.StepSaid("spread", said.at, said.minutes_ago, said.place))
    else:
        spawned(talk, said)


def _is_near(run: Run, name: str) -> bool:
    """Whether that step of the run may well come now: its eggs are there, or its fish injected."""
    each = step(run.way, name)
    if each is None:
        return False
    if each.scope == "batch" and run.batches:
        return any(not _was_done(run, name, batch.name) for batch in run.batches)
    return bool(run.groups) or each.scope == "run"


def _was_done(run: Run, name: str, batch: str) -> bool:
    return any(key.step == name and key.batch == batch for key, _ in run.answered)


def step_done(talk: Talk, run: Run, key: StepKey, at: datetime) -> None:
    """Kept at its hour, and what comes next."""
    check_step_order(talk, run, key.step, key.batch, at)
    event = talk.tell(run.number, StepDone(answer_key(run.way, key)), at)
    now = talk.run(run.number)
    if key.step == "fertilise":
        say_after_milt(talk, now, key.batch, event.id)
        return
    early = () if key.step != "remove-substrate" else _cautions_of_early(talk, now, key.batch, at)
    say_next(talk, now, "done", key=key, at=at, events=(event.id,), cautions=early)


def _cautions_of_early(talk: Talk, run: Run, batch: str, at: datetime) -> tuple[str, ...]:
    """The material was lifted before the hour at which larvae swim free: they may still hang on it."""
    found = batch_of(run, batch)
    free = forecasts.swim_free_at(run, found, talk.card(run)) if found else None
    return ("larvae-on-material",) if free is not None and at < free else ()


def say_after_milt(talk: Talk, run: Run, batch: str, event: int | None = None) -> None:
    """Milt and water are on the eggs: the echo of the hour, and when larvae should hatch."""
    found = batch_of(run, batch)
    buttons = echo_buttons(run, (event,)) if event is not None else ()
    at = found.fertilised_at if found else None
    called = talk.batch_called(run, batch)
    talk.say(Noted("fertilised", run.number, called, at=at, step="fertilise", echo=True), *buttons)
    if found is not None:
        say_hatch_forecast(talk, run, found)


def skip(talk: Talk, said: say.SkipStep) -> None:
    """Not done, and not asked again."""
    run = talk.run(said.run_number)
    event = talk.tell(run.number, StepSkipped(answer_key(run.way, said.key)))
    say_next(talk, talk.run(run.number), "skipped", key=said.key, events=(event.id,))


def snooze(talk: Talk, said: say.Snooze) -> None:
    """The bell comes again in so many minutes."""
    run, key = bell_for(talk, said.key, said.run_number, said)
    postpone(talk, run, key, said.minutes)


def postpone(talk: Talk, run: Run, key: StepKey, minutes: float) -> None:
    """The bell of `key` comes again `minutes` from when it was said."""
    until = talk.desk.said_at + timedelta(minutes=minutes)
    if until <= talk.desk.now:  # the words came late
        until = talk.desk.now + timedelta(minutes=minutes)
    plain = dataclasses.replace(key, look=0)
    talk.tell(run.number, Postponed(plain, until))
    talk.say(Noted("postponed", run.number, talk.called(run), at=until, step=key.step))
