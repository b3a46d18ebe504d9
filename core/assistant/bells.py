"""A bell that comes due: what it says and which buttons it carries; and the end of a silent run."""

from __future__ import annotations

from datetime import datetime, timedelta

from core import commands as say
from core import forecasts
from core.assistant import bottles
from core.assistant.card import say_run
from core.assistant.cautions import step_cautions
from core.assistant.injecting import final_shot, priming_shot
from core.assistant.looking import look_buttons, spawn_buttons
from core.assistant.stepping import step_fact
from core.assistant.talk import Decision, Desk, Knowledge, Talk
from core.assistant.windows import WATER_FRESH, strip_view
from core.errors import NoFigure
from core.records import BOOK, Cancelled, Closed, Reminder, Run, StepKey
from core.replies import Button, Reply
from core.runs import LOOKS, look_step, looks_open

DAY = timedelta(days=1)


def ring(
    reminder: Reminder,
    attempt: int,
    coming: datetime | None,
    tried: tuple[str, ...],
    desk: Desk,
    knowledge: Knowledge,
) -> Decision:
    """The message of a bell's attempt. `coming` is the run's next bell, for the evening line; `tried` are
    those whom it rang before in vain."""
    talk = Talk(desk, knowledge)
    bell = reminder.bell
    if bell.run == BOOK:
        minutes = int((desk.now - (reminder.next_at or bell.due_at)).total_seconds() // 60)
        fact = bottles.bell_fact(talk, reminder, attempt, max(minutes, 0), tried)
        talk.say(fact, *bottles.bell_buttons(bell.key))
        return talk.decision()
    run = talk.run(bell.run)
    late = int((desk.now - (reminder.next_at or bell.due_at)).total_seconds() // 60)
    unanswered: tuple[str, ...] = ()
    if bell.key.step == "all-well":
        today = [each for each in desk.ringing if desk.now - (each.last_rung_at or desk.now) < DAY]
        open_bells = [each.bell.key.step for each in today]
        held = [] if not _on_hold(talk, run) else ["check-water"]
        untold = [look_step(run.way)] if _untold(talk, run) else []
        waits = dict.fromkeys(held + untold + open_bells)
        unanswered = tuple(step for step in waits if step != "all-well")
    fact = step_fact(
        talk,
        run,
        bell.key,
        bell.due_at,
        attempt=attempt,
        late_minutes=max(late, 0),
        next_at=coming,
        unanswered=unanswered,
        tried=tried,
    )
    asks = "" if _untold(talk, run) else _asks(run, bell.key, attempt, desk.now)
    cautions = step_cautions(talk, run, bell.key.step)
    talk.replies.append(Reply(fact, _buttons(talk, run, bell.key), asks, cautions))
    return talk.decision()


def end_silent(number: int, desk: Desk, knowledge: Knowledge) -> Decision:
    """A run that was silent long enough ends: forgotten as a draft, closed, or not reported."""
    talk = Talk(desk, knowledge)
    run = talk.run(number)
    if run.state == "draft":
        talk.tell(number, Cancelled())
    elif run.state == "open":
        talk.tell(number, Closed(reported=any(batch.hatched for batch in run.batches)))
        say_run(talk, talk.run(number))
    return talk.decision()


def _on_hold(talk: Talk, run: Run) -> bool:
    try:
        return any(
            forecasts.strip(run, group, talk.card(run)).held for group in run.groups if looks_open(run, group)
        )
    except NoFigure:
        return False


def _untold(talk: Talk, run: Run) -> bool:
    """Whether the last look at a group is past, and nobody told what was seen."""
    return any(
        (view := strip_view(talk, run, group)) is not None and talk.desk.now > view.give_up_at
        for group in run.groups
        if looks_open(run, group)
    )


def _asks(run: Run, key: StepKey, attempt: int, now: datetime) -> str:
    if key.step == "check-fertilised":
        return "count-sample"
    if key.step == "check-hatch":
        return "how-many-hatched"
    unread = key.step in LOOKS and attempt == 1 and not run.water and not run.no_thermometer
    lately = any(now - each.at < WATER_FRESH for each in run.water)
    waiting = any(looks_open(run, group) for group in run.groups)
    bedtime = key.step == "all-well" and waiting and not lately and not run.no_thermometer
    if key.step == "check-water" or unread or bedtime:
        return "water"
    return ""


def _other_shot(run: Run, key: StepKey) -> tuple[Button, ...]:
    """How many priming shots there are is decided as it goes: the final one already, or one more."""
    primed = [group for group in run.groups if group.final_at is None]
    if not primed:
        return ()
    other = final_shot if key.step == "prime" else priming_shot
    return (other(run, say.Injection(), key.group),)


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
        return (
            Button("done", say.Finished(key=key, run_number=number), "injected"),
            *_other_shot(run, key),
            later,
            Button("cancel", say.Cancel(run_number=number), "cancel"),
        )
    if key.step == "strip":
        return (Button("stripping-now", say.StrippingNow(number, key.group), "stripping-now"), later)
    if key.step == "disinfect" and talk.farm.bath_habit == "unknown":
        return (
            Button("done", say.SetBathHabit("after-swelling", number, key.batch), "bath-in"),
            Button("answer:own-order", say.SetBathHabit("own-order", number, key.batch), "bath-own-order"),
            Button("answer:never", say.SetBathHabit("never", number, key.batch), "bath-never"),
            skip,
        )
    if key.step in ("check-hatch", "collect-eggs", "remove-substrate"):
        counted = () if key.step == "check-hatch" else (done,)  # a count is told, not tapped
        return (*counted, Button("not-yet", say.NotYetSaid(key, number), "not-yet"), skip)
    if key.step == "check-water":
        return (Button("answer:none", say.Temperature(unknown=True), "no-thermometer"),)
    if key.step == "all-well":
        return ()
    if key.step == "trial":
        return (done,)
    return (done, later, skip)
