"""A bell that comes due: what it says and which buttons it carries; and the end of a silent run."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from core import commands as say
from core import eggs, forecasts, reminders, results
from core.assistant.counts import say_result
from core.assistant.doses import doses_of
from core.assistant.night import look_buttons, spawn_buttons
from core.assistant.talk import Decision, Desk, Knowledge, Talk
from core.dosing import DoseLine
from core.errors import NoFigure
from core.records import Cancelled, Closed, Reminder, Run, StepKey
from core.replies import Button, Reply, StepDue
from core.runs import LOOKS, batch_of, group_of, unsettled


def ring(reminder: Reminder, attempt: int, coming: datetime | None, desk: Desk, knowledge: Knowledge) -> Decision:
    """The message of a bell's attempt. `coming` is the run's next bell, for the evening line."""
    talk = Talk(desk, knowledge)
    bell = reminder.bell
    run = talk.run(bell.run)
    late = int((desk.now - (reminder.next_at or bell.due_at)).total_seconds() // 60)
    fact = _fact(talk, run, bell.key, bell.due_at, attempt, max(late, 0), coming)
    asks = _asks(talk, run, bell.key)
    talk.replies.append(Reply(fact, _buttons(talk, run, bell.key), asks, _cautions(talk, run, bell.key)))
    return talk.decision()


def end_silent(number: int, desk: Desk, knowledge: Knowledge) -> Decision:
    """A run that was silent long enough ends: forgotten as a draft, closed with its figure, or not reported."""
    talk = Talk(desk, knowledge)
    run = talk.run(number)
    if run.state == "draft":
        talk.tell(number, Cancelled())
    elif run.state == "open":
        talk.tell(number, Closed(reported=any(batch.hatched for batch in run.batches)))
        say_result(talk, results.row_of(talk.run(number)), closing=True)
    return talk.decision()


def _fact(
    talk: Talk, run: Run, key: StepKey, due: datetime, attempt: int, late: int, coming: datetime | None
) -> StepDue:
    card = talk.card(run)
    group, batch = group_of(run, key.group), batch_of(run, key.batch)
    place = (batch.place if batch else "") or (group.place if group else "")
    called = talk.batch_called(run, key.batch) if key.batch else talk.group_called(run, group) if group else talk.called(run)
    extra: dict[str, Any] = {}
    if key.step in LOOKS and group is not None:
        extra["tags"] = tuple(fish.tag for fish in unsettled(run, group.name)) if run.way == "stripped" else group.tags
        extra["last"] = _is_last(talk, run, key, due)
    if key.step in ("inject", "prime"):
        extra["doses"] = _doses(talk, run)
    if key.step == "fertilise" and batch is not None:
        grams = sum(one.grams or 0 for one in batch.eggs)
        extra["milt_ml"] = eggs.milt_ml(grams, card) if grams else None
    if key.step == "disinfect":
        extra["minutes"] = reminders.BATH_MINUTES
        extra["bath_order"] = talk.farm.bath_habit
    if key.step == "check-water":
        extra["celsius"] = forecasts.celsius_now(run, place, card)[0]
    if key.step == "strip":
        extra["tags"] = tuple(fish.tag for fish in unsettled(run, key.group) if fish.state == "running")
    return StepDue(
        step=key.step,
        due_at=due,
        run=run.number,
        called=called,
        species=run.species,
        way=run.way,
        group=key.group,
        batch=key.batch,
        place=place,
        late_minutes=late,
        look=key.look,
        attempt=attempt,
        bell=True,
        next_at=coming,
        stickiness=card.sticky,
        male_cut=card.male_cut,
        **extra,
    )


def _is_last(talk: Talk, run: Run, key: StepKey, due: datetime) -> bool:
    group = group_of(run, key.group)
    if group is None:
        return False
    try:
        view = forecasts.strip(run, group, talk.card(run))
    except NoFigure:
        return False
    return due >= view.give_up_at


def _doses(talk: Talk, run: Run) -> tuple[DoseLine, ...]:
    try:
        return tuple(line for line in doses_of(talk, run).lines if line.shots)
    except NoFigure:
        return ()


def _asks(talk: Talk, run: Run, key: StepKey) -> str:
    if key.step == "check-fertilised":
        return "count-sample"
    if key.step == "check-hatch":
        return "how-many-hatched"
    if key.step in ("check-water",) or (key.step in LOOKS and not run.water and not run.no_thermometer):
        return "water"
    return ""


def _cautions(talk: Talk, run: Run, key: StepKey) -> tuple[str, ...]:
    codes = {"disinfect": ("egg-bath",), "inject": ("vet",)}.get(key.step, ())
    return talk.once(run.number, *codes)


def _buttons(talk: Talk, run: Run, key: StepKey) -> tuple[Button, ...]:
    number = run.number
    done = Button("done", say.Finished(key=key, run_number=number), "done")
    later = Button("later-30", say.Snooze(30, key, number), "later-30")
    skip = Button("skip", say.SkipStep(number, key), "skip")
    if key.step == "check-females":
        return look_buttons(run, key)
    if key.step == "check-nest":
        return spawn_buttons(run, key)
    if key.step in ("inject", "prime"):
        return (Button("done", say.Finished(key=key, run_number=number), "injected"), later, Button("cancel", say.Cancel(run_number=number), "cancel"))
    if key.step == "strip":
        return (Button("stripping-now", say.StrippingNow(number, key.group), "stripping-now"), later)
    if key.step == "disinfect" and talk.farm.bath_habit == "unknown":
        return (
            done,
            Button("answer:own-order", say.SetBathHabit("own-order", number, key.batch), "bath-own-order"),
            Button("answer:never", say.SetBathHabit("never", number, key.batch), "bath-never"),
            skip,
        )
    if key.step == "check-hatch":
        return (Button("not-yet", say.NotYetSaid(key, number), "not-yet"), skip)
    if key.step == "check-water":
        return (Button("answer:none", say.Temperature(unknown=True), "no-thermometer"),)
    if key.step == "all-well":
        return ()
    return (done, later, skip)
