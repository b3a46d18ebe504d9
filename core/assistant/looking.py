"""Looks at the females and at the nest: not yet, eggs run, spawned, died, stop looking."""

from __future__ import annotations

import dataclasses
from datetime import datetime, timedelta

from core import commands as say
from core import forecasts, reminders
from core.assistant import broodbook
from core.assistant.cautions import step_cautions
from core.assistant.choosing import group_for, run_for, which_fish
from core.assistant.settling import check_after_needle
from core.assistant.stepping import step_fact
from core.assistant.talk import AskFirst, Talk
from core.assistant.windows import say_hatch_forecast
from core.records import Died, EggsRun, LooksStopped, NotYet, Run, SpawnSeen, StepDone, StepKey
from core.replies import Ask, Button, Noted, Reply
from core.runs import batch_of, fish_named, group_of, is_unsettled_female, look_step, looks_open, next_bowl

SINCE_SAID = timedelta(minutes=2)


def say_next_look(
    talk: Talk, run: Run, group: str, what: str = "not-yet", tags: tuple[str, ...] = ()
) -> None:
    """Kept, and when the next look is."""
    found = group_of(run, group)
    view_at = None
    if found is not None and looks_open(run, found):
        view = forecasts.strip(run, found, talk.card(run))
        coming = [at for at in reminders.look_hours(view, found) if at > talk.desk.now]
        view_at = min(coming, default=None)
    name = look_step(run.way)
    called = talk.group_called(run, found) if found else talk.called(run)
    talk.say(Noted(what, run.number, called, tags=tags, next_step=name if view_at else "", next_at=view_at))


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


def eggs_run(talk: Talk, said: say.EggsRunning) -> None:
    """Eggs run at a touch: strip now, and everything until the water in one message before hands are wet."""
    run = run_for(
        talk,
        said,
        lambda each: bool(each.fish),
        words=said.run,
        tags=said.tags,
        number=said.run_number or 0,
        likely=lambda each: any(looks_open(each, group) for group in each.groups),
    )
    group = said.group or group_for(talk, run, said, place=said.place, tags=said.tags)
    at = talk.moment(said.at, said.minutes_ago)
    tags = tuple(fish.tag for fish in fish_named(run, said.tags))
    check_after_needle(talk, run, at, group=group, tags=tags)
    if run.way != "stripped":
        seen = say.Spawned("yes", group, at=said.at, minutes_ago=said.minutes_ago, run_number=run.number)
        spawned(talk, seen)
        return
    talk.tell(run.number, EggsRun(group, tags), at)
    if tags and not any(is_unsettled_female(fish) for fish in fish_named(run, tags)):
        talk.say(Noted("settled-already", run.number, talk.called(run), at=at, tags=tags))
        return
    say_strip(talk, talk.run(run.number), group, tags, at)


def say_strip(talk: Talk, run: Run, group: str, tags: tuple[str, ...], at: datetime) -> None:
    """Strip now; then the fertilising steps, so that they are read before hands are wet."""
    now = talk.desk.now
    strip = step_fact(talk, run, StepKey("strip", group=group), now)
    since = at if now - at > SINCE_SAID else None
    strip = dataclasses.replace(strip, tags=strip.tags or tags, since=since)
    talk.expect("stripped", run.number)
    talk.say(strip, Button("stripping-now", say.StrippingNow(run.number, group, strip.tags), "stripping-now"))
    cautions = step_cautions(talk, run, "strip") + step_cautions(talk, run, "fertilise")
    if talk.card(run).male_cut and any(fish.sex == "m" and fish.shots for fish in run.fish):
        cautions += talk.once(run.number, "treated-fish")
    talk.say(step_fact(talk, run, StepKey("fertilise", group=group), now), cautions=cautions)


def stop_looking(talk: Talk, said: say.StopLooking) -> None:
    """The farmer stops looking: her night is over without eggs known."""
    run = talk.run(said.run_number)
    talk.tell(run.number, LooksStopped(said.group))
    talk.say(
        Noted("looks-stopped", run.number, talk.called(run)), cautions=talk.once(run.number, "no-second-dose")
    )


def stripping_now(talk: Talk, said: say.StrippingNow) -> None:
    """Hands are wet: the strip bell is silent, the grams come later."""
    run = talk.run(said.run_number)
    talk.tell(run.number, StepDone(StepKey("strip", group=said.group)))
    talk.expect("stripped", run.number)
    talk.say(Noted("stripping", run.number, talk.called(run), at=talk.desk.said_at), asks="grams")


def run_of_eggs_seen(talk: Talk, said: say.Spawned) -> Run:
    """The run that eggs were seen in: of those that spawn by themselves before such as are stripped."""
    return run_for(
        talk,
        said,
        lambda each: bool(each.fish),
        words=said.run,
        number=said.run_number or 0,
        likely=lambda each: each.way != "stripped" and bool(each.groups),
    )


def spawned(talk: Talk, said: say.Spawned) -> None:
    """In a nest or hapa: eggs seen, a few, or none. Where fish are stripped, eggs seen are eggs that run."""
    run = run_of_eggs_seen(talk, said)
    group = said.group or (said.key.group if said.key else group_for(talk, run, said, place=said.place))
    at = talk.moment(said.at, said.minutes_ago)
    check_after_needle(talk, run, at, group=group)
    if run.way == "stripped":
        _eggs_seen_where_stripped(talk, run, group, said.answer, at)
        return
    batch = next((each.name for each in run.batches if each.group in ("", group)), next_bowl(run))
    talk.tell(run.number, SpawnSeen(group, batch, said.answer), at)
    now = talk.run(run.number)
    if said.answer == "no":
        say_next_look(talk, now, group)
        return
    planned = reminders.plan(now, talk.card(now), talk.farm, talk.zone, talk.desk.now)
    found = batch_of(now, batch)
    out = planned.get(StepKey("remove-brood", batch=batch))
    talk.say(
        Noted(
            "spawned",
            now.number,
            talk.part_called(now, StepKey("check-nest", group=group)),
            at=at,
            word="late" if found is not None and found.lots else said.answer,
            next_step="remove-brood",
            next_at=out.bells[0].due_at if out and out.bells else None,
        )
    )
    if found is not None:
        say_hatch_forecast(talk, now, found)


def _eggs_seen_where_stripped(talk: Talk, run: Run, group: str, answer: str, at: datetime) -> None:
    if answer == "no":
        talk.tell(run.number, NotYet(group), at)
        say_next_look(talk, talk.run(run.number), group)
    else:
        talk.tell(run.number, EggsRun(group, ()), at)
        say_strip(talk, talk.run(run.number), group, (), at)


def died(talk: Talk, said: say.Death) -> None:
    """A fish died: kept; eggs only if they already run freely, in a bowl of their own."""
    if broodbook.of_the_book(talk, said.tags):
        broodbook.lost(talk, say.LoseFish(said.tags, "died"))
        return
    run = run_for(talk, said, lambda each: bool(each.fish), words=said.run, tags=said.tags)
    tags = tuple(fish.tag for fish in fish_named(run, said.tags))
    if not tags:
        alive = [fish for fish in run.fish if fish.state != "died"]
        if len(alive) != 1:
            raise which_fish(talk, run, say.Death(), alive)
        tags = (alive[0].tag,)
    dead = fish_named(run, tags)
    running = any(fish.state == "running" for fish in dead)
    died = talk.tell(run.number, Died(tags))
    cautions = talk.once(run.number, "treated-fish") if any(fish.shots for fish in dead) else ()
    talk.say(
        Noted("died-running" if running else "died", run.number, talk.called(run), at=died.at, tags=tags),
        Button("undo", say.Undo((died.id,)), "undo"),
        cautions=cautions,
    )


def male_cut(talk: Talk, said: say.MaleCut) -> None:
    """A male was cut for his milt: he is dead, and where he had a needle a treated fish all the same."""
    if broodbook.of_the_book(talk, said.tags):
        broodbook.lost(talk, say.LoseFish(said.tags, "cut", said.at, said.minutes_ago))
        return
    run = run_for(
        talk, said, lambda each: any(f.sex == "m" for f in each.fish), words=said.run, tags=said.tags
    )
    males = [fish for fish in run.fish if fish.sex == "m" and fish.state != "died"]
    meant = fish_named(run, said.tags) or males
    if len(meant) != 1 and not said.tags:
        raise which_fish(talk, run, said, meant)
    if any(fish.sex == "f" for fish in meant):
        raise AskFirst(Reply(Ask("which-fish", "not-a-male", run.number, talk.called(run), tags=said.tags)))
    tags = tuple(fish.tag for fish in meant)
    cut = talk.tell(run.number, Died(tags, cut=True), talk.moment(said.at, said.minutes_ago))
    cautions: tuple[str, ...] = ("cut-treated",) if any(fish.shots for fish in meant) else ()
    if not run.batches and not any(fish.state == "running" for fish in run.fish):
        cautions += talk.once(run.number, "no-eggs-yet")
    talk.say(
        Noted("male-cut", run.number, talk.called(run), at=cut.at, tags=tags),
        Button("undo", say.Undo((cut.id,)), "undo"),
        cautions=cautions,
    )
