"""Taking back and putting right: undo, edited messages, corrections in words, cancelling."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Sequence
from datetime import timedelta
from typing import Any

from core import commands as say
from core import results
from core.assistant.choosing import run_for
from core.assistant.counts import say_result
from core.assistant.doses import doses_of, say_sheet
from core.assistant.talk import AskFirst, Pin, Talk
from core.assistant.windows import say_forecast, say_hatch_forecast
from core.errors import NoFigure
from core.records import (
    Cancelled,
    Closed,
    Counted,
    EggsCounted,
    Event,
    FishWeighed,
    FishWeight,
    Happening,
    Injected,
    Opened,
    Planned,
    Retagged,
    Retracted,
    Run,
    SetUp,
    Stripped,
    WaterRead,
)
from core.replies import Ask, Button, Corrected, Noted, Refused, Reply, RunCancelled
from core.runs import fish_of, looks_open, standing, unretracted

UNDO_AT_ONCE = timedelta(minutes=15)

# Undo -----------------------------------------------------------------------------------------------------


def undo(talk: Talk, said: say.Undo) -> None:
    """Takes back what a message told: by its button, or the newest telling. A weighty one is asked."""
    events = _meant(talk, said)
    if not events:
        talk.say(Refused("nothing-to-undo"))
        return
    number = events[0].run
    first = next(event for event in events if not isinstance(event.what, Retracted))
    if not said.events and _is_weighty(talk, first):
        yes = Button("yes", say.Undo(tuple(event.id for event in events)), "undo-yes")
        fact = Ask("undo", first.what.kind, number, talk.called(talk.run(number)), at=first.at)
        raise AskFirst(Reply(fact, (yes, Button("no", say.Nothing("undo"), "no-change"))))
    talk.tell(number, Retracted(tuple(event.id for event in events)))
    run = talk.run(number)
    talk.say(Noted("undone", number, talk.called(run), word=first.what.kind))
    say_where_it_stands(talk, run, first.what)


def _is_weighty(talk: Talk, event: Event) -> bool:
    """An injection is never taken back by one word, nor what was told a while ago."""
    return isinstance(event.what, Injected) or talk.desk.said_at - event.said_at > UNDO_AT_ONCE


def _meant(talk: Talk, said: say.Undo) -> list[Event]:
    """All of the message's events that stand, what it took back itself among them."""
    told = [event for number in talk.desk.runs for event in unretracted(talk.desk.runs[number])]
    if said.events:
        wanted = [event for event in told if event.id in said.events]
        return wanted if any(not isinstance(event.what, Retracted) for event in wanted) else []
    tellings = [event for event in told if not isinstance(event.what, Retracted | Closed)]
    newest = max(tellings, key=lambda event: event.id, default=None)
    if newest is None:
        return []
    same = [event for event in told if event.source == newest.source and event.run == newest.run]
    return same if newest.source else [newest]


def say_where_it_stands(talk: Talk, run: Run, gone: Happening) -> None:
    """After something was taken back: what hung on it, as it is now."""
    if run.state == "draft" and run.fish:
        say_sheet(talk, run)
    if isinstance(gone, Injected | WaterRead | Cancelled):
        for group in run.groups:
            if looks_open(run, group):
                say_forecast(talk, run, group)
    if isinstance(gone, WaterRead | Cancelled):
        for batch in run.batches:
            if batch.hatched is None and run.state == "open":
                say_hatch_forecast(talk, run, batch)


# Cancel ---------------------------------------------------------------------------------------------------


def cancel(talk: Talk, said: say.Cancel) -> None:
    """The run is over by the farmer's word: nothing of it rings any more."""
    if not said.run_number and not talk.live():
        talk.say(Refused("no-run"))
        return
    run = run_for(talk, said, words=said.run, number=said.run_number or 0, named_only=True)
    if run.state not in ("draft", "open"):
        talk.say(Refused("run-closed", at=run.ended_at))
        return
    event = talk.tell(run.number, Cancelled())
    treated = tuple(fish.tag for fish in run.fish if fish.shots)
    called = talk.called(run)
    fact = RunCancelled(run.number, called, run.species, treated)
    talk.say(fact, Button("undo", say.Undo((event.id,)), "undo"))
    say_result(talk, results.row_of(talk.run(run.number)), closing=True)


# An edited message ----------------------------------------------------------------------------------------


def edited(talk: Talk, said: say.Understood, answer: Callable[[Talk, say.Command], None]) -> None:
    """The message now says something else: what it told is taken back, and it is told anew.

    `answer` decides the new words; the opening of the run itself is kept, so that what was told since stays.
    """
    old = [event for event in talk.desk.edited or () if not isinstance(event.what, Opened)]
    opened = next((event for event in talk.desk.edited or () if isinstance(event.what, Opened)), None)
    if isinstance(said.main, say.Unclear):
        answer(talk, said.main)
        return
    if not old:
        answer(talk, said.main)
        return
    number = old[0].run
    before = talk.run(number)
    talk.tell(number, Retracted(tuple(event.id for event in old)))
    talk.said_at = min(event.said_at for event in old)
    main = said.main
    if isinstance(main, say.Weigh):
        _weighed_again(talk, before, main, old, opened is not None)
    else:
        talk.pinned = Pin(number)
        answer(talk, main)
    after = talk.run(number)
    talk.replies.insert(0, Reply(_change(talk, before, after, _of(old))))


def _weighed_again(talk: Talk, before: Run, said: say.Weigh, old: Sequence[Event], opening: bool) -> None:
    """Weights in the place of the old ones: a fish keeps its name and sex where their number is the same."""
    number = before.number
    left = talk.run(number)
    gone = [fish for fish in before.fish if fish_of(left, fish.tag) is None]
    place = next((event.what.place for event in old if isinstance(event.what, FishWeighed)), None)
    if opening and said.species and said.species != left.species:
        talk.tell(number, SetUp(species=said.species))
    kept = gone if len(gone) == len(said.fish) else []
    fish = tuple(
        FishWeight(
            each.tag or (kept[n].tag if kept and each.sex in (None, kept[n].sex) else _new_tag(each, n)),
            each.sex or (kept[n].sex if kept else None),
            each.kg,
        )
        for n, each in enumerate(said.fish)
        if each.kg is not None
    )
    talk.tell(number, FishWeighed(fish, said.place or place), old[0].at)
    if not before.groups:
        say_sheet(talk, talk.run(number))


def _new_tag(fish: say.Weighed, n: int) -> str:
    letter = {"f": "F", "m": "M"}.get(fish.sex or "", "X")
    return f"{letter}{n + 1}"


def _of(old: Sequence[Event]) -> str:
    return next((event.what.kind for event in old), "")


# A correction in words ------------------------------------------------------------------------------------


def correct(talk: Talk, said: say.Correction, answer: Callable[[Talk, say.Command], None]) -> None:
    """ "No, F1 is 2.6": the newest telling of that kind is put right, and the reply shows what changed."""
    what = said.what
    if isinstance(what, say.Weigh):
        _correct_weight(talk, what)
        return
    kind = TOLD_BY.get(type(what))
    old = _newest(talk, kind) if kind else None
    if old is None:
        answer(talk, what)
        return
    before = talk.run(old.run)
    talk.tell(old.run, Retracted((old.id,)))
    talk.pinned = Pin(old.run)
    answer(talk, _completed(talk, what, old))
    talk.replies.insert(0, Reply(_change(talk, before, talk.run(old.run), old.what.kind)))


def _newest(talk: Talk, kind: type[Any]) -> Event | None:
    told = [
        e for number in talk.desk.runs for e in standing(talk.desk.runs[number]) if isinstance(e.what, kind)
    ]
    return max(told, key=lambda event: event.id, default=None)


def _completed(talk: Talk, what: say.Act, old: Event) -> say.Command:
    """The corrected telling at its own hour: what was not mended stays as it was told."""
    local = old.at.astimezone(talk.zone).strftime("%H:%M")
    if isinstance(what, say.Temperature) and isinstance(old.what, WaterRead):
        return dataclasses.replace(what, at=what.at or local, place=what.place or old.what.place)
    if isinstance(what, say.Injection) and isinstance(old.what, Injected):
        tags = what.tags or old.what.tags
        which = what.which or old.what.which
        return dataclasses.replace(what, tags=tags, which=which, at=what.at if _timed(what) else local)
    if isinstance(what, say.Strip):
        return dataclasses.replace(what, at=what.at if _timed(what) else local)
    return what


def _timed(what: say.Injection | say.Strip) -> str | None:
    return what.at or (None if what.minutes_ago is None else "")


TOLD_BY: dict[type[Any], type[Any]] = {
    say.Temperature: WaterRead,
    say.Injection: Injected,
    say.Strip: Stripped,
    say.Fertilised: Counted,
    say.Hatched: Counted,
    say.EggCount: EggsCounted,
    say.Plan: Planned,
}


def _correct_weight(talk: Talk, what: say.Weigh) -> None:
    run = run_for(talk, what, lambda each: bool(each.fish), words=what.run, tags=[f.tag for f in what.fish])
    if what.species and what.species != run.species and not what.fish:
        talk.tell(run.number, SetUp(species=what.species))
        say_sheet(talk, talk.run(run.number))
        return
    before = run
    for fish in what.fish:
        known = _fish_meant(talk, run, what, fish)
        if fish.sex and fish.sex != known.sex:
            talk.tell(run.number, Retagged(known.tag, None, fish.sex))
        if fish.kg is not None:
            _check_weight(talk, run, fish)
            talk.tell(run.number, FishWeighed((FishWeight(known.tag, fish.sex or known.sex, fish.kg),)))
    after = talk.run(run.number)
    talk.say(_change(talk, before, after, "weighed"))
    if not after.groups:
        say_sheet(talk, after)


def _check_weight(talk: Talk, run: Run, fish: say.Weighed) -> None:
    card = talk.card(run)
    figure = card.male_kg if fish.sex == "m" else card.female_kg
    if fish.kg is not None and not figure.low <= fish.kg <= figure.high:
        raise AskFirst(Reply(Ask("weights", "implausible", number=fish.kg, words=run.species)))


def _fish_meant(talk: Talk, run: Run, what: say.Weigh, fish: say.Weighed) -> Any:
    if fish.tag:
        known = fish_of(run, fish.tag)
        if known is None:
            raise AskFirst(
                Reply(Ask("which-fish", "unknown-tag", run.number, talk.called(run), words=fish.tag))
            )
        return known
    fitting = [each for each in run.fish if fish.sex in (None, each.sex)] or list(run.fish)
    if len(fitting) == 1:
        return fitting[0]
    buttons = tuple(
        Button(
            f"fish:{each.tag}",
            say.Pick(say.Correction(say.Weigh((dataclasses.replace(fish, tag=each.tag),))), run.number),
            "fish",
            (("tag", each.tag),),
        )
        for each in fitting[:8]
    )
    fact = Ask("which-fish", "not-named", run.number, talk.called(run), number=fish.kg)
    raise AskFirst(Reply(fact, buttons))


# What changed ---------------------------------------------------------------------------------------------


def _change(talk: Talk, before: Run, after: Run, of: str) -> Corrected:
    """Old and new as the farmer would write them; fish that had their dose by the old weight are named."""
    changed = [(old, new) for old in before.fish if (new := fish_of(after, old.tag)) and old.kg != new.kg]
    injected = tuple(new.tag for _, new in changed if new.shots)
    doses: tuple[float | None, float | None] = (None, None)
    if len(injected) == 1:
        doses = (_final_ml(talk, before, injected[0]), _final_ml(talk, after, injected[0]))
    return Corrected(
        run=after.number,
        called=talk.called(after),
        of=of,
        before=_shown(talk, before, of, [old for old, _ in changed]),
        after=_shown(talk, after, of, [new for _, new in changed]),
        already_injected=injected,
        dose_before_ml=doses[0],
        dose_after_ml=doses[1],
    )


def _final_ml(talk: Talk, run: Run, tag: str) -> float | None:
    try:
        return next((line.final_ml for line in doses_of(talk, run).lines if line.tag == tag), None)
    except NoFigure:
        return None


def _shown(talk: Talk, run: Run, of: str, fish: Sequence[Any]) -> str:
    if of == "weighed":
        return ", ".join(f"{each.tag} {each.kg:g} kg" for each in fish or run.fish)
    if of == "water" and run.water:
        return f"{max(run.water, key=lambda each: each.at).celsius:g} °C"
    if of == "injected":
        times = [group.final_at or group.first_at for group in run.groups]
        return ", ".join(at.astimezone(talk.zone).strftime("%H:%M") for at in times)
    if of == "stripped":
        return ", ".join(
            f"{one.tag} {one.grams:g} g".strip() for b in run.batches for one in b.eggs if one.grams
        )
    return ""
