"""The hour of an act told before: mended by a button, or by nothing but an hour ("no, that was 23:50")."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from core import commands as say
from core.assistant.answering import say_after_milt
from core.assistant.injecting import say_injected
from core.assistant.settling import BEFORE_THE_NEEDLE, EARLY_SHARE, check_after_needle
from core.assistant.talk import AskFirst, Talk
from core.assistant.wentin import needle
from core.assistant.windows import say_hatch_forecast, strip_view
from core.commands import Awaiting
from core.records import (
    Collected,
    Counted,
    Died,
    EggsRun,
    Event,
    Group,
    Happening,
    Injected,
    NoEggs,
    Retracted,
    Run,
    SpawnSeen,
    StepDone,
    Stripped,
)
from core.replies import Ask, Button, Corrected, Refused, Reply
from core.runs import batch_of, group_of, standing, start_of

OF_AN_HOUR = (Injected, EggsRun, Stripped, NoEggs, Died, SpawnSeen, Collected, Counted, StepDone)
"""What has an hour that a night hangs on."""


def injection(talk: Talk, said: say.Injection) -> None:
    """An injection told; where the hour of an earlier act was asked for, that hour."""
    awaited = talk.desk.awaiting
    if awaited is not None and awaited.events:
        _shift_asked(talk, awaited, talk.moment(said.at, said.minutes_ago))
    else:
        needle(talk, said)


def _shift_asked(talk: Talk, awaited: Awaiting, at: datetime) -> None:
    """The hour that was asked for under the echo of an act."""
    moved = _still_told(talk, awaited.run, awaited.events)
    if moved:
        shift_to(talk, moved, at)


def shift(talk: Talk, said: say.ShiftTime) -> None:
    """The act happened earlier (or later) than was thought. An hour still to come is asked about."""
    moved = _still_told(talk, said.run_number, said.events)
    if not moved:
        return
    at = moved[0].at - timedelta(minutes=said.minutes)
    if at > talk.desk.said_at:
        raise AskFirst(Reply(Ask("time", "not-come-yet", said.run_number, at=at)))
    shift_to(talk, moved, at)


def _still_told(talk: Talk, run: int, events: Sequence[int]) -> list[Event]:
    """Those of the events that nobody took back or mended; says so where there is none."""
    told = [event for event in standing(talk.events_of(run)) if event.id in events]
    if not told:
        talk.say(Refused("nothing-to-undo"))
    return told


def correct_hour(talk: Talk, said: say.Injection) -> bool:
    """The newest act whose hour this can be, the speaker's own first, is told again at it; whether there was
    one. Raises `AskFirst` where the hour fits none of them."""
    at = talk.moment(said.at, said.minutes_ago)
    doubt: AskFirst | None = None
    for act in _acts(talk):
        mark = talk.mark()
        try:
            shift_to(talk, act, at, by_word=True)
        except AskFirst as asked:
            talk.return_to(mark)
            doubt = doubt or asked
        else:
            return True
    if doubt is not None:
        raise doubt
    return False


def _acts(talk: Talk) -> list[list[Event]]:
    """The acts with an hour of all open runs: what one message told of one kind at one time is one act."""
    acts: dict[tuple[object, ...], list[Event]] = {}
    for run in talk.live():
        for event in standing(talk.events_of(run.number)):
            if isinstance(event.what, OF_AN_HOUR) and not _is_none_seen(event.what):
                told_by = event.source or event.id
                acts.setdefault((run.number, told_by, event.at, event.what.kind), []).append(event)
    mine = talk.desk.person.id
    return sorted(acts.values(), key=lambda act: (act[0].by == mine, act[-1].id), reverse=True)


def _is_none_seen(what: Happening) -> bool:
    return isinstance(what, SpawnSeen) and what.answer == "no"


def shift_to(talk: Talk, moved: Sequence[Event], at: datetime, *, by_word: bool = False) -> None:
    """One act, told as these events, at another hour, and what follows from it; `by_word`: which act was not
    said, and is named. Raises `AskFirst` for an hour that cannot be."""
    what, number = moved[0].what, moved[0].run
    before = talk.run(number)
    talk.tell(number, Retracted(tuple(event.id for event in moved)))
    again = [talk.tell(number, event.what, at) for event in moved]
    run = talk.run(number)
    for event in again:
        _check_order(talk, before, run, event)
    echoed = isinstance(what, Injected) or _is_milt(what)
    if by_word or not echoed:
        talk.say(Corrected(number, talk.called(run), _named(what), _hours(before, moved), _hours(run, again)))
    if isinstance(what, Injected):
        say_injected(talk, run, [event.id for event in again], first=False)
    elif isinstance(what, StepDone) and _is_milt(what):
        say_after_milt(talk, run, what.key.batch)
    elif isinstance(what, Stripped | SpawnSeen):
        batch = batch_of(run, what.batch)
        if batch is not None and start_of(batch) == at:
            say_hatch_forecast(talk, run, batch)


def _is_milt(what: Happening) -> bool:
    return isinstance(what, StepDone) and what.key.step == "fertilise"


def _named(what: Happening) -> str:
    """What was mended: a step by its name, an injection as in any correction, the hour of anything else."""
    if isinstance(what, StepDone):
        return what.key.step
    return what.kind if isinstance(what, Injected) else f"{what.kind}-at"


def _hours(run: Run, moved: Sequence[Event]) -> tuple[datetime, ...]:
    """The hour of an act; of an injection those of all groups of the run."""
    if isinstance(moved[0].what, Injected):
        return tuple(group.final_at or group.first_at for group in run.groups)
    return (moved[0].at,)


# What cannot be -------------------------------------------------------------------------------------------


def _check_order(talk: Talk, before: Run, run: Run, event: Event) -> None:
    """No eggs come before their injection, nor milt before the eggs."""
    what = event.what
    match what:
        case Injected():
            check_eggs_after(talk, before, run, what.group)
        case StepDone(key=key) if key.step in BEFORE_THE_NEEDLE:
            pass
        case Stripped():
            tags = [one.tag for one in what.eggs if one.tag] or what.shared
            check_after_needle(talk, run, event.at, tags=tuple(tags))
        case EggsRun() | SpawnSeen() | Collected():
            check_after_needle(talk, run, event.at, group=what.group)
        case _:
            check_after_needle(talk, run, event.at)
    for batch in run.batches:
        if batch.fertilised_at and batch.begun_at and batch.fertilised_at < batch.begun_at:
            asked = Ask("time", "milt-before-eggs", run.number, talk.called(run), at=batch.fertilised_at)
            raise AskFirst(Reply(asked))


def check_eggs_after(talk: Talk, before: Run, run: Run, name: str, yes: Sequence[Button] = ()) -> None:
    """The eggs of a group do not come before its injection; long before its window they are asked about.

    `before` is the run with that injection at its old hour, `run` as it is now. Raises `AskFirst`, with the
    buttons `yes` where it may be so after all.
    """
    group, old = group_of(run, name), group_of(before, name)
    eggs_at = _first_eggs(before, old) if old else None
    if group is None or eggs_at is None:
        return
    number, called = run.number, talk.called(run)
    if eggs_at < (group.last_at or group.first_at):
        raise AskFirst(Reply(Ask("time", "after-eggs", number, called, at=eggs_at)))
    view = strip_view(talk, run, group)
    if view is None or group.final_at is None or talk.sure:
        return
    first = view.window.earliest
    if eggs_at < group.final_at + (first - group.final_at) * EARLY_SHARE:
        raise AskFirst(Reply(Ask("time", "soon-before-eggs", number, called, at=eggs_at), tuple(yes)))


def _first_eggs(run: Run, group: Group) -> datetime | None:
    """When eggs of the group were first told of."""
    hours = [group.running_at, group.spawn_seen_at]
    for batch in run.batches:
        if batch.group == group.name:
            hours += [batch.begun_at, *(lot.at for lot in batch.lots)]
    return min((at for at in hours if at is not None), default=None)
