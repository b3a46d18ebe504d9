"""What truly went in: less than planned, in mL or as a share. Never a second dose."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from datetime import timedelta

from core import commands as say
from core import dosing
from core.assistant.choosing import known_fish, run_for, which_fish
from core.assistant.injecting import (
    all_injected,
    given_shot,
    injected,
    run_for_needle,
    say_course,
    say_given,
)
from core.assistant.talk import AskFirst, Talk
from core.records import Fish, Run, WentIn
from core.replies import Ask, Button, Noted, Reply
from core.runs import fish_named

ASKED_FOR = timedelta(hours=3)


def needle(talk: Talk, said: say.Injection) -> None:
    """An injection, or what went in of one that was told before."""
    said = _of_whom_it_was_asked(talk, said)
    if said.share is not None:
        _share(talk, said, said.share)
        return
    run = run_for_needle(talk, said)
    if said.ml is not None and said.tags and all_injected(run, said):
        _less(talk, run, said.tags, said.ml)
    else:
        injected(talk, said)


def ask_how_much(talk: Talk, said: say.Injection, why: str, run: Run | None = None) -> AskFirst:
    """How much went in, in mL or as a share; a bare figure is then that of these fish."""
    number, called = (run.number, talk.called(run)) if run else (0, "")
    waits = say.Awaiting("went_in", number, pending=(said,), until=talk.desk.now + ASKED_FOR)
    return AskFirst(Reply(Ask("dose", why, number, called, tags=said.tags)), waits)


def _of_whom_it_was_asked(talk: Talk, said: say.Injection) -> say.Injection:
    """The figure, or the hour, that was asked for of an injection told before."""
    asked = talk.desk.awaiting
    first = next(iter(asked.pending), None) if asked else None
    if asked is None or said.tags or not isinstance(first, say.Injection):
        return said
    if asked.about == "went_in" and (said.ml is not None or said.share is not None):
        return dataclasses.replace(first, ml=said.ml, share=said.share)
    if asked.about == "injected" and first.share is not None and said.share is None:
        ago = 0.0 if said.at is None and said.minutes_ago is None else said.minutes_ago
        return dataclasses.replace(first, at=said.at, minutes_ago=ago)
    return said


def _less(talk: Talk, run: Run, tags: Sequence[str], ml: float) -> None:
    """An amount for fish that had theirs is what truly went in, never a second dose."""
    names = tuple(fish.tag for fish in fish_named(run, tags))
    event = talk.tell(run.number, WentIn(names, ml))
    fact = Noted("less-given", run.number, talk.called(run), tags=names, number=ml)
    undo = Button("undo", say.Undo((event.id,)), "undo")
    talk.say(fact, undo, cautions=talk.once(run.number, "no-second-dose"))


def _share(talk: Talk, said: say.Injection, share: float) -> None:
    """Half of what was planned went in, or a third leaked: of the newest injection of the fish."""
    run = run_for(
        talk,
        said,
        lambda each: bool(each.fish),
        words=said.run,
        tags=said.tags,
        likely=lambda each: any(fish.shots for fish in each.fish),
    )
    fish = _meant(talk, run, said)
    new = said.at is not None or said.minutes_ago is not None or said.which is not None
    if new and not all_injected(run, said):
        injected(talk, dataclasses.replace(said, share=None))
        run = talk.run(run.number)
        fish = [each for each in _meant(talk, run, said) if each.shots]
    elif not any(each.shots for each in fish):
        asked = Ask("injected-time", "not-injected", run.number, talk.called(run), tags=said.tags)
        until = talk.desk.now + ASKED_FOR
        raise AskFirst(Reply(asked), say.Awaiting("injected", run.number, pending=(said,), until=until))
    elif not said.tags and len(fish) > 1:
        raise which_fish(talk, run, said, fish)
    _tell(talk, run, said, [each.tag for each in fish], share)


def _meant(talk: Talk, run: Run, said: say.Injection) -> list[Fish]:
    if said.tags:
        return [known_fish(talk, run, tag) for tag in said.tags]
    given = [fish for fish in run.fish if fish.shots and said.sex in (None, fish.sex)]
    return given or [fish for fish in run.fish if said.sex in (None, fish.sex)]


def _tell(talk: Talk, run: Run, said: say.Injection, tags: Sequence[str], share: float) -> None:
    shots = [fish.shots[-1] for fish in fish_named(run, tags)]
    if any(shot.whole_ml is None and dosing.amount_of(run, shot) is None for shot in shots):
        raise ask_how_much(talk, dataclasses.replace(said, tags=tuple(tags), share=None), "unknown-plan", run)
    event = talk.tell(run.number, WentIn(tuple(tags), None, share))
    now = talk.run(run.number)
    named = fish_named(now, tags)
    say_given(talk, now, [given_shot(talk, now, fish, fish.shots[-1]) for fish in named])
    talk.replies[-1] = dataclasses.replace(
        talk.replies[-1],
        buttons=(Button("undo", say.Undo((event.id,)), "undo"),),
        cautions=talk.once(run.number, "no-second-dose"),
    )
    for group in now.groups:
        of = [fish.tag for fish in named if fish.group == group.name]
        if of:
            say_course(talk, now, group, of)
