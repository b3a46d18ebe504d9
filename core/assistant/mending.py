"""Taking back: undo, edited messages, cancelling."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import datetime, timedelta

from core import commands as say
from core.assistant.card import say_run
from core.assistant.choosing import run_for
from core.assistant.collecting import volume_fact
from core.assistant.correcting import change
from core.assistant.doses import say_plan, say_sheet
from core.assistant.importing import ask_undo
from core.assistant.injecting import keep_the_others
from core.assistant.talk import AskFirst, Pin, Talk
from core.assistant.windows import say_forecast, say_hatch_forecast
from core.records import (
    BOOK,
    Cancelled,
    Closed,
    Collected,
    Counted,
    Died,
    Event,
    Fish,
    FishWeighed,
    FishWeight,
    Happening,
    Injected,
    NoEggs,
    Opened,
    Retracted,
    Run,
    SetUp,
    SpawnSeen,
    Stripped,
    WaterRead,
)
from core.replies import Ask, Button, Noted, Refused, Reply, RunCancelled
from core.runs import fish_named, fish_of, free_tag, looks_open, plain_tag, unretracted

UNDO_AT_ONCE = timedelta(minutes=15)
WEIGHTY = (Injected, Stripped, NoEggs, Died, SpawnSeen, Counted)

# Undo -----------------------------------------------------------------------------------------------------


def undo(talk: Talk, said: say.Undo) -> None:
    """Takes back what a message told: by its button, or the newest telling. A weighty one is asked."""
    if not said.events and (whole := ask_undo(talk)) is not None:
        raise whole
    events = _meant(talk, said)
    if not events:
        talk.say(Refused("nothing-to-undo"))
        return
    number = events[0].run
    first = next(event for event in events if not isinstance(event.what, Retracted))
    if not said.events and _is_weighty(talk, first):
        raise _which_undo(talk, events, first)
    talk.tell(number, Retracted(tuple(event.id for event in events)))
    mended = any(isinstance(event.what, Retracted) for event in events)
    talk.say(Noted("undone", number, _called(talk, number), word="change" if mended else first.what.kind))
    if number != BOOK:
        say_where_it_stands(talk, talk.run(number), first.what)


def _called(talk: Talk, number: int) -> str:
    return "" if number == BOOK else talk.called(talk.run(number))


def _is_weighty(talk: Talk, event: Event) -> bool:
    """What a night hangs on is never taken back by one word, nor what was told a while ago."""
    return isinstance(event.what, WEIGHTY) or talk.desk.said_at - event.said_at > UNDO_AT_ONCE


def _which_undo(talk: Talk, events: Sequence[Event], first: Event) -> AskFirst:
    """What is to be taken back, by name: of something mended, the mending alone or the whole."""
    mended = any(isinstance(event.what, Retracted) for event in events)
    told = tuple(event.id for event in events if not isinstance(event.what, Retracted))
    buttons = [
        Button("yes", say.Undo(tuple(event.id for event in events)), "undo-change" if mended else "undo-yes")
    ]
    if mended:
        buttons.append(Button("pick:1", say.Undo(told), "undo-whole"))
    buttons.append(Button("no", say.Nothing("undo"), "no-change"))
    fact = Ask("undo", first.what.kind, first.run, _called(talk, first.run), at=first.at)
    return AskFirst(Reply(fact, tuple(buttons)))


def not_given(talk: Talk, said: say.NotGiven) -> None:
    """Those fish were not injected: for the others of the same go it stands."""
    run = talk.run(said.run_number)
    told = {shot.event for fish in fish_named(run, said.tags) for shot in fish.shots}
    for old in [event for event in talk.events_of(run.number) if event.id in told]:
        talk.tell(run.number, Retracted((old.id,)))
        if isinstance(old.what, Injected):
            keep_the_others(talk, said.tags, old, old.what)
    now = talk.run(run.number)
    talk.say(Noted("not-given", now.number, talk.called(now), tags=said.tags))
    if now.planned is not None and not now.groups and now.planned.final_at > talk.desk.now:
        say_plan(talk, now)
    elif now.state == "draft":
        say_sheet(talk, now)


def _meant(talk: Talk, said: say.Undo) -> list[Event]:
    """All of the message's events that stand, what it took back itself among them."""
    told = [event for _, events in talk.told() for event in unretracted(events)]
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
    for batch in run.batches:
        if isinstance(gone, Collected) and batch.name == gone.batch and batch.lots:
            talk.say(volume_fact(talk, run, batch))
        if isinstance(gone, WaterRead | Cancelled) and batch.hatched is None and run.state == "open":
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
    say_run(talk, talk.run(run.number))


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
    if number == BOOK:
        _told_again(talk, said.main, old, answer)
        return
    before = talk.run(number)
    talk.tell(number, Retracted(tuple(event.id for event in old)))
    talk.said_at = _first_said(talk, old)
    main = said.main
    if isinstance(main, say.Weigh):
        _weighed_again(talk, before, main, old, opened is not None)
    else:
        talk.pinned = Pin(number)
        answer(talk, main)
    after = talk.run(number)
    talk.replies.insert(0, Reply(change(talk, before, after, _of(old))))


def _first_said(talk: Talk, old: Sequence[Event]) -> datetime:
    """When a message was said that is edited now, however often it was edited before."""
    message = _message(old[0])
    told = [event for event in talk.events_of(old[0].run) if message and _message(event) == message]
    return min(event.said_at for event in (*told, *old))


def _message(event: Event) -> str:
    """The message an event came from, or of which it came by an edit ("key#edit")."""
    return (event.source or "").partition("#")[0]


def _told_again(
    talk: Talk, said: say.Reading, old: Sequence[Event], answer: Callable[[Talk, say.Command], None]
) -> None:
    """Of the farm itself: the new words in the place of the old ones."""
    talk.tell(BOOK, Retracted(tuple(event.id for event in old)))
    talk.said_at = _first_said(talk, old)
    answer(talk, said)


def _weighed_again(talk: Talk, before: Run, said: say.Weigh, old: Sequence[Event], opening: bool) -> None:
    """Weights in the place of the old ones."""
    number = before.number
    left = talk.run(number)
    gone = [fish for fish in before.fish if fish_of(left, fish.tag) is None]
    place = next((event.what.place for event in old if isinstance(event.what, FishWeighed)), None)
    if opening and said.species and said.species != left.species:
        talk.tell(number, SetUp(species=said.species))
    fish = tuple(_named_again(said.fish, gone, [each.tag for each in left.fish]))
    if before.groups and {each.tag for each in fish} != {each.tag for each in gone}:
        raise AskFirst(Reply(Refused("edit-after-injection", at=before.groups[0].first_at)))
    talk.tell(number, FishWeighed(fish, said.place or place), old[0].at)
    if not before.groups:
        say_sheet(talk, talk.run(number))


def _named_again(
    told: Sequence[say.Weighed], gone: Sequence[Fish], taken: Sequence[str]
) -> Iterator[FishWeight]:
    """The fish of an edited weighing: each takes the next old name of its sex, new ones a free name."""
    waiting, names = (
        list(gone),
        [*taken, *(fish.tag for fish in gone), *(fish.tag for fish in told if fish.tag)],
    )
    for each in told:
        if each.kg is None:
            continue
        old = next((fish for fish in waiting if _may_be(fish, each)), None)
        if old is not None:
            waiting.remove(old)
        tag = each.tag or (old.tag if old else free_tag(each.sex, names))
        names.append(tag)
        yield FishWeight(tag, each.sex or (old.sex if old else None), each.kg)


def _may_be(fish: Fish, told: say.Weighed) -> bool:
    if told.tag is not None:
        return plain_tag(told.tag) == plain_tag(fish.tag)
    return told.sex in (None, fish.sex)


def _of(old: Sequence[Event]) -> str:
    return next((event.what.kind for event in old), "")
