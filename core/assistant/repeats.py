"""What somebody told a moment before: a second answer is told who was first, and changes nothing."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import timedelta

from core.assistant.talk import Talk
from core.commands import Command, EggsRunning, Finished, NotYetSaid, SkipStep
from core.records import EggsRun, Event, Happening, Injected, NotYet, Run, StepDone, StepKey, StepSkipped
from core.replies import Answered
from core.runs import answer_key, standing

BARE = (Finished, NotYetSaid, EggsRunning, SkipStep)
SURELY_TOLD = ("at", "minutes_ago", "tags", "of_fish", "place", "run")
ANSWERS = (StepDone, StepSkipped, Injected, NotYet, EggsRun)
AT_ONCE = timedelta(minutes=1)
"""So close upon another's answer a bare one is to the same bell. A rule of our own."""
LATELY = timedelta(minutes=10)
"""So soon after an answer the same answer is its repetition. A rule of our own."""


def answered_lately(talk: Talk, runs: Iterable[Run]) -> bool:
    """Says who was first where a step of these runs was told just before."""
    return _say_first(talk, runs, lambda what: isinstance(what, StepDone | StepSkipped | Injected))


def step_told_lately(talk: Talk, run: Run, key: StepKey) -> bool:
    """Says who was first where just that step was told just before."""
    same = answer_key(run.way, key)
    return _say_first(talk, [run], lambda what: isinstance(what, StepDone) and what.key == same)


def crossed(talk: Talk, said: Command) -> bool:
    """Says who was first where somebody else answered the same bell in the same moment: a bare answer that
    crossed with theirs, when nothing rings any more, is none."""
    bare = isinstance(said, BARE) and not any(getattr(said, name, None) for name in SURELY_TOLD)
    if not bare or talk.desk.bell is not None or talk.desk.ringing or talk.sure:
        return False
    told = [
        event
        for run in talk.live()
        for event in standing(talk.events_of(run.number))
        if isinstance(event.what, ANSWERS) and timedelta() <= talk.desk.said_at - event.said_at <= AT_ONCE
    ]
    newest = max(told, key=lambda event: event.id, default=None)
    if newest is None or newest.by in (None, talk.desk.person.id) or newest.source == talk.source:
        return False
    talk.say(Answered(talk.desk.name_of(newest.by), newest.said_at, _step(newest)))
    return True


def _say_first(talk: Talk, runs: Iterable[Run], fits: Callable[[Happening], bool]) -> bool:
    told = [
        event
        for run in runs
        for event in standing(talk.events_of(run.number))
        if fits(event.what) and timedelta() <= talk.desk.said_at - event.said_at <= LATELY
    ]
    if not told or talk.sure:
        return False
    first = max(told, key=lambda event: event.id)
    talk.say(Answered(talk.desk.name_of(first.by), first.said_at, _step(first)))
    return True


def _step(event: Event) -> str:
    if isinstance(event.what, StepDone | StepSkipped):
        return event.what.key.step
    if isinstance(event.what, Injected):
        return "inject"
    return "check-females" if isinstance(event.what, NotYet | EggsRun) else ""
