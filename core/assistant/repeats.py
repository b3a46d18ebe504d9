"""What somebody told a moment before: a second answer is told who was first, and changes nothing."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import timedelta

from core.assistant.talk import Talk
from core.records import Event, Happening, Injected, Run, StepDone, StepKey, StepSkipped
from core.replies import Answered
from core.runs import answer_key, standing

LATELY = timedelta(minutes=10)
"""So soon after an answer the same answer is its repetition. A rule of our own."""


def answered_lately(talk: Talk, runs: Iterable[Run]) -> bool:
    """Says who was first where a step of these runs was told just before."""
    return _say_first(talk, runs, lambda what: isinstance(what, StepDone | StepSkipped | Injected))


def step_told_lately(talk: Talk, run: Run, key: StepKey) -> bool:
    """Says who was first where just that step was told just before."""
    same = answer_key(run.way, key)
    return _say_first(talk, [run], lambda what: isinstance(what, StepDone) and what.key == same)


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
    return "inject" if isinstance(event.what, Injected) else ""
