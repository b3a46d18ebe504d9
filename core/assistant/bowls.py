"""Eggs in bowls: whose, how many, sound or not, and who gave none."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Literal

from core import commands as say
from core import eggs
from core.assistant.choosing import group_for, known_fish, run_for
from core.assistant.collecting import volume_fact
from core.assistant.looking import say_next_look, spawned
from core.assistant.settling import check_after_needle, is_early
from core.assistant.talk import AskFirst, Talk
from core.assistant.windows import strip_view
from core.records import (
    Batch,
    EggsOf,
    EggsWeighed,
    Event,
    Fish,
    NoEggs,
    NotYet,
    Retracted,
    Run,
    SetUp,
    StepKey,
    Stripped,
)
from core.replies import Ask, Button, EggsOfFish, EggsTaken, Noted, Refused, Reply
from core.runs import (
    batch_of,
    fish_named,
    fish_of,
    is_unsettled_female,
    looks_open,
    next_bowl,
    standing,
    unsettled,
)

SAME_BOWL = timedelta(minutes=90)
TOO_MUCH = 0.5
"""Of her weight: no female gives that much. A rule of our own."""
DOUBTFUL = ("watery", "blood", "whitish")


def stripped(talk: Talk, said: say.Strip) -> None:
    """Eggs taken, females not ready, females that gave none: each by name, or who is waited for."""
    tags = [one.tag for one in said.eggs] + list(said.not_ready) + list(said.none)
    run = run_for(
        talk,
        said,
        lambda each: bool(each.fish),
        words=said.run,
        tags=tags,
        likely=lambda each: each.way == "stripped" and bool(each.groups),
    )
    for tag in filter(None, tags):
        known_fish(talk, run, tag)
    at = talk.moment(said.at, said.minutes_ago)
    if run.way != "stripped" and (said.not_ready or said.none or _only_seen(said)):
        answer: Literal["yes", "no"] = "yes" if said.eggs else "no"
        spawned(
            talk,
            say.Spawned(
                answer,
                said.group,
                said.place,
                said.at,
                said.minutes_ago,
                run_number=run.number,
            ),
        )
        return
    if run.way != "stripped":
        run = _stripped_after_all(talk, run, said)
    said = _looks_of_told_eggs(talk, run, said)
    if not (said.eggs or said.none or said.not_ready):
        return
    if not talk.sure:
        run = _checked(talk, run, said, at, [tag for tag in tags if tag])
    late = _none(talk, run, said, at) if said.none else []
    if said.eggs:
        _take_eggs(talk, said, talk.run(run.number), at)
    talk.replies += late
    if said.not_ready:
        _not_ready(talk, said, talk.run(run.number))


def _checked(talk: Talk, run: Run, said: say.Strip, at: datetime, tags: Sequence[str]) -> Run:
    """The run the eggs belong to, once nothing told speaks against them.

    Raises:
        AskFirst: something does.
    """
    _check_place(talk, run, said)
    check_after_needle(talk, run, at, tags=tags)
    if said.eggs:
        _check_eggs(talk, run, said)
        run = _named_at_last(talk, run, said)
        _check_twice(talk, run, said)
    return run


def _none(talk: Talk, run: Run, said: say.Strip, at: datetime) -> list[Reply]:
    """Keeps who gave none; what to say of it. Eggs of others are taken, whatever has to be asked of her."""
    none = _females_meant(run, said.none)
    try:
        _check_none_early(talk, run, said)
        _check_none(talk, run, none)
    except AskFirst as asked:
        if not said.eggs:
            raise
        return [asked.reply]
    talk.tell(run.number, NoEggs(none), at)
    now = talk.run(run.number)
    cautions = talk.once(run.number, "no-second-dose")
    return [Reply(Noted("none", now.number, talk.called(now), at=at, tags=none), cautions=cautions)]


def _only_seen(said: say.Strip) -> bool:
    """Eggs without grams: where fish spawn by themselves nobody took them, they were seen."""
    return bool(said.eggs) and all(one.grams is None for one in said.eggs)


def _stripped_after_all(talk: Talk, run: Run, said: say.Strip) -> Run:
    """Grams where fish spawn by themselves: litres meant, or stripped by hand? It is asked first."""
    if not talk.sure:
        grams = next((one.grams for one in said.eggs if one.grams), None)
        fact = Ask("stripped-after-all", f"grams-in-{run.way}", run.number, talk.called(run), number=grams)
        buttons = [Button("yes", say.Pick(said, run.number, sure=True), "eggs-yes")]
        if run.way == "hapa":
            buttons.append(Button("answer:litres", say.AskAgain("collected", run.number), "tell-litres"))
        raise AskFirst(Reply(fact, (*buttons, Button("no", say.Nothing("stripped"), "no-change"))))
    talk.tell(run.number, SetUp(way="stripped"))
    return talk.run(run.number)


def _looks_of_told_eggs(talk: Talk, run: Run, said: say.Strip) -> say.Strip:
    """A look at eggs that were told before is no more eggs. Doubtful ones leave the bowl, while that has no
    milt. Gives what else was said."""
    rest: list[say.EggsTold] = []
    for one in said.eggs:
        fish = fish_of(run, one.tag) if one.tag and one.grams is None and one.quality else None
        told = _eggs_event(talk, run, fish.tag) if fish else None
        if fish is None or told is None:
            rest.append(one)
        else:
            _see_anew(talk, run, told, fish.tag, one)
    return dataclasses.replace(said, eggs=tuple(rest))


def _eggs_event(talk: Talk, run: Run, tag: str) -> Event | None:
    told = [
        event
        for event in standing(talk.events_of(run.number))
        if isinstance(event.what, Stripped) and any(one.tag == tag for one in event.what.eggs)
    ]
    return told[-1] if told else None


def _see_anew(talk: Talk, run: Run, old: Event, tag: str, one: say.EggsTold) -> None:
    assert isinstance(old.what, Stripped)
    seen = [dataclasses.replace(each, quality=one.quality) for each in old.what.eggs if each.tag == tag]
    others = [each for each in old.what.eggs if each.tag != tag]
    bowl = batch_of(run, old.what.batch)
    pooled = len(bowl.eggs) > 1 if bowl else False
    if one.quality not in DOUBTFUL or (bowl and bowl.fertilised_at) or not pooled:
        test_lot = old.what.test_lot or (not pooled and one.quality in DOUBTFUL)
        event = talk.tell_anew(old, dataclasses.replace(old.what, eggs=(*others, *seen), test_lot=test_lot))
        _say_eggs(talk, talk.run(run.number), old.what.batch, event.id)
        return
    talk.tell(run.number, Retracted((old.id,)))
    if others:
        talk.tell(run.number, dataclasses.replace(old.what, eggs=tuple(others)), old.at)
    name = next_bowl(run)
    event = talk.tell(run.number, Stripped(name, tuple(seen), test_lot=True, place=old.what.place), old.at)
    _say_eggs(talk, talk.run(run.number), name, event.id)


def _check_place(talk: Talk, run: Run, said: say.Strip) -> None:
    """A female named in another tank than she stands in: one of the two is wrong."""
    stands = {fish.place.lower() for fish in run.fish if fish.place}
    if not said.place or said.place.lower() not in stands:
        return
    named = fish_named(run, filter(None, (*(one.tag for one in said.eggs), *said.not_ready, *said.none)))
    strange = tuple(fish.tag for fish in named if fish.place.lower() != said.place.lower())
    if strange:
        fact = Ask("eggs-of", "other-place", run.number, talk.called(run), tags=strange, words=said.place)
        yes = Button(
            "yes", say.Pick(dataclasses.replace(said, place=None), run.number, sure=True), "eggs-yes"
        )
        raise AskFirst(Reply(fact, (yes, Button("no", say.Nothing("stripped"), "no-change"))))


def _check_eggs(talk: Talk, run: Run, said: say.Strip) -> None:
    """Eggs hours before anybody strips, or heavier than half the fish, are asked about first."""
    yes = Button("yes", say.Pick(said, run.number, sure=True), "eggs-yes")
    for one in said.eggs:
        fish = fish_of(run, one.tag) if one.tag else None
        kilos = fish.kg if fish else sum(each.kg for each in run.fish if each.sex == "f")
        if one.grams is not None and one.grams > 1000 * kilos * TOO_MUCH:
            raise AskFirst(Reply(Ask("grams", "implausible", run.number, talk.called(run), number=one.grams)))
    waited = [group for group in run.groups if looks_open(run, group)]
    if waited and all(is_early(talk, run, group) for group in waited):
        grams = next((one.grams for one in said.eggs if one.grams), None)
        fact = Ask("eggs-early", "long-before-look", run.number, talk.called(run), number=grams)
        raise AskFirst(Reply(fact, (yes, Button("no", say.Nothing("stripped"), "no-change"))))


def _check_none_early(talk: Talk, run: Run, said: say.Strip) -> None:
    """ "No eggs" of all of them, or by a word that says "not yet" as well, while eggs may still come: it
    is asked. Where another's eggs are told with it, she was pressed beside her; these are taken already, so
    the answer is of her alone."""
    named = {fish.group for fish in fish_named(run, filter(None, said.none))}
    meant = [group for group in run.groups if None in said.none or group.name in named]
    open_groups = [group for group in meant if looks_open(run, group)]
    if talk.sure or (None not in said.none and not said.perhaps_not_yet):
        return
    views = [strip_view(talk, run, group) for group in open_groups]
    latest = max((view.window.latest for view in views if view), default=None)
    if latest is not None and None not in views and talk.said_at < latest:
        alone = dataclasses.replace(said, eggs=(), not_ready=(), pooled=None) if said.eggs else said
        none = Button("yes", say.Pick(alone, run.number, sure=True), "none-yes")
        not_yet = Button("not-yet", say.Strip(not_ready=(*said.none, *said.not_ready)), "not-yet")
        tags = tuple(filter(None, said.none))
        fact = Ask("none-early", "eggs-may-come", run.number, talk.called(run), tags=tags, at=latest)
        raise AskFirst(Reply(fact, (not_yet, none)))


def _named_at_last(talk: Talk, run: Run, said: say.Strip) -> Run:
    """ "Whose eggs?" may be answered by telling the same grams with a name: then they are not more eggs."""
    named = [one for one in said.eggs if one.tag]
    for event in talk.events_of(run.number):
        if not isinstance(event.what, Stripped) or not event.what.shared:
            continue
        bowl = batch_of(run, event.what.batch)
        grams = sum(one.grams or 0 for one in event.what.eggs)
        if (
            bowl
            and bowl.shared
            and len(named) == len(said.eggs)
            and grams == sum(one.grams or 0 for one in named)
        ):
            talk.tell(run.number, Retracted((event.id,)))
            return talk.run(run.number)
    return run


def _check_twice(talk: Talk, run: Run, said: say.Strip) -> None:
    """The same grams of the same fish again, or a name after grams of all: told twice, or more eggs?"""
    told = {(one.tag, one.grams) for b in run.batches if not b.fertilised_at for one in b.eggs}
    for one in said.eggs:
        fish = fish_of(run, one.tag) if one.tag else None
        twice = ((fish.tag if fish else ""), one.grams) in told
        named_late = fish is not None and any(
            fish.tag in batch.shared and not batch.fertilised_at for batch in run.batches
        )
        if one.grams and not one.partial and (twice or named_late):
            yes = Button("yes", say.Pick(said, run.number, sure=True), "more-eggs")
            fact = Ask(
                "eggs-again",
                "eggs-told",
                run.number,
                talk.called(run),
                number=one.grams,
                tags=(one.tag or "",),
            )
            raise AskFirst(Reply(fact, (yes, Button("no", say.Nothing("stripped"), "same-eggs"))))


def _check_none(talk: Talk, run: Run, tags: Sequence[str]) -> None:
    """A female whose eggs were told gave none? One of the two is wrong."""
    gave = [one.tag for batch in run.batches for one in batch.eggs if one.tag in tags]
    if gave and not talk.sure:
        told = [
            e.id
            for e in talk.events_of(run.number)
            if isinstance(e.what, Stripped) and {o.tag for o in e.what.eggs} & set(gave)
        ]
        undo = Button("undo", say.Undo(tuple(told)), "undo-eggs")
        keep = Button("no", say.Nothing("stripped"), "no-change")
        fact = Ask("eggs-or-none", "eggs-told", run.number, talk.called(run), tags=tuple(gave))
        raise AskFirst(Reply(fact, (undo, keep)))


def _females_meant(run: Run, tags: Sequence[str | None]) -> tuple[str, ...]:
    """The females named; `None` stands for all that are not settled."""
    named = [fish.tag for fish in fish_named(run, filter(None, tags))]
    if None in tags:
        named += [fish.tag for fish in run.fish if is_unsettled_female(fish) and fish.tag not in named]
    return tuple(named)


def _not_ready(talk: Talk, said: say.Strip, run: Run) -> None:
    tags = _females_meant(run, said.not_ready)
    meant = fish_named(run, tags)
    names = dict.fromkeys(fish.group for fish in meant if fish.group)
    for name in names:
        talk.tell(run.number, NotYet(name, tuple(fish.tag for fish in meant if fish.group == name)))
    if not said.eggs:
        for name in names or ("",):
            say_next_look(talk, talk.run(run.number), name, tags=tags)


def _take_eggs(talk: Talk, said: say.Strip, run: Run, at: datetime) -> None:
    """Sound eggs of one hour and one group go into one bowl; watery, bloody or whitish ones, and a dead
    female's, apart."""
    open_females = _may_have_given(talk, run, said)
    named = [_owned(one, open_females, run) for one in said.eggs]
    doubtful = [one for one in named if one.quality in DOUBTFUL or _is_dead(run, one.tag)]
    sound: dict[str, list[EggsOf]] = {}
    for one in named:
        if one not in doubtful:
            sound.setdefault(_group_of_eggs(run, one, open_females), []).append(one)
    told: list[tuple[str, int]] = []
    for group, those in sound.items():
        name = _bowl(run, at, group) or next_bowl(run, [name for name, _ in told])
        shared = () if those[0].tag else tuple(fish.tag for fish in open_females)
        what = Stripped(name, tuple(those), shared, place=said.place, dry=said.dry)
        event = talk.tell(run.number, what, at)
        told.append((name, event.id))
    for one in doubtful:
        name = next_bowl(run, [name for name, _ in told])
        what = Stripped(name, (one,), test_lot=True, place=said.place, dry=said.dry)
        told.append((name, talk.tell(run.number, what, at).id))
    now = talk.run(run.number)
    for name, event_id in told:
        _say_eggs(talk, now, name, event_id)


def _group_of_eggs(run: Run, one: EggsOf, open_females: Sequence[Fish]) -> str:
    fish = fish_of(run, one.tag) if one.tag else next(iter(open_females), None)
    return fish.group if fish else ""


def _may_have_given(talk: Talk, run: Run, said: say.Strip) -> list[Fish]:
    """Whose unnamed eggs can be: of females that run where any does, else of all that are not settled. Of
    several groups it is the one named by its place, the one that runs, or it is asked."""
    waiting = [fish for fish in run.fish if is_unsettled_female(fish) and (fish.group or not run.groups)]
    if any(one.tag is None for one in said.eggs) and len({fish.group for fish in waiting}) > 1:
        running = [group.name for group in run.groups if group.running_at and unsettled(run, group.name)]
        alone = len(running) == 1 and not said.place
        name = running[0] if alone else group_for(talk, run, said, place=said.place)
        waiting = [fish for fish in waiting if fish.group == name]
    return [fish for fish in waiting if fish.state == "running"] or waiting


def _owned(one: say.EggsTold, open_females: Sequence[Fish], run: Run) -> EggsOf:
    tag = one.tag or (open_females[0].tag if len(open_females) == 1 else "")
    if not tag and len(females_all := [fish for fish in run.fish if fish.sex == "f"]) == 1:
        tag = females_all[0].tag
    found = fish_of(run, tag) if tag else None
    return EggsOf(found.tag if found else "", one.grams, one.quality, bool(one.partial))


def _is_dead(run: Run, tag: str) -> bool:
    fish = fish_of(run, tag) if tag else None
    return fish is not None and fish.state == "died"


def _bowl(run: Run, at: datetime, group: str) -> str | None:
    """The bowl that is still being filled: sound eggs of the same group and hour without milt."""
    fitting = [
        batch
        for batch in run.batches
        if not batch.test_lot
        and group in ("", batch.group or group)
        and (batch.begun_at is None or (not batch.fertilised_at and abs(at - batch.begun_at) <= SAME_BOWL))
    ]
    return fitting[-1].name if fitting else None


def eggs_fact(talk: Talk, run: Run, batch: Batch) -> EggsTaken:
    """The eggs of a batch: grams, how many by the farm's own count or the card, the milt they want.

    What was collected by volume is told in litres.
    """
    if batch.lots:
        return volume_fact(talk, run, batch)
    card = talk.card(run)
    taken = batch.begun_at or batch.told_at
    own = run.eggs_per_gram or eggs.own_count(talk.farm.counts, run.species, "gram", taken)
    figure = card.eggs_per_gram
    usual = own or (None if figure is None else float(round(figure.usual_or_middle)))
    grams = [one.grams for one in batch.eggs if one.grams]
    known = len(grams) == len(batch.eggs)
    dry = batch.dry is not False
    total = round(sum(grams), 1) if grams and known else None
    counts = [
        eggs.eggs_from_grams(one.grams, usual) if one.grams and usual and dry else None for one in batch.eggs
    ]
    waiting = (
        tuple(fish.tag for fish in unsettled(run, batch.group) if fish.state != "running")
        if batch.group
        else ()
    )
    return EggsTaken(
        run=run.number,
        called=talk.batch_called(run, batch.name),
        batch=batch.name,
        fish=tuple(
            EggsOfFish(one.tag, one.grams, count, one.quality, one.partial)
            for one, count in zip(batch.eggs, counts, strict=True)
        ),
        total_grams=total,
        total_eggs=sum(c for c in counts if c) if all(counts) and counts else None,
        eggs_per_gram=usual if dry else None,
        eggs_per_gram_low=own or (figure.low if figure else None),
        eggs_per_gram_high=own or (figure.high if figure else None),
        milt_ml=eggs.milt_ml(total, card) if total and dry else None,
        at=batch.begun_at or batch.told_at,
        test_lot=batch.test_lot,
        waiting=waiting,
        basis=("farm",) if own else figure.sources if figure else (),
        mark="the farm's own" if own else figure.mark if figure else "from memory",
        wet=not dry,
    )


def _say_eggs(talk: Talk, run: Run, name: str, event: int) -> None:
    batch = batch_of(run, name)
    if batch is None:
        return
    buttons: list[Button] = [Button("done", _milt_done(run, name), "milt-on")]
    asks = ""
    if len(batch.shared) > 1:
        asks = "whose-eggs"
        buttons += [
            Button(
                f"fish:{tag}", say.WhoseEggs(run.number, name, (tag,), event), "only-fish", (("tag", tag),)
            )
            for tag in batch.shared[:4]
        ]
        buttons.append(Button("fish:all", say.WhoseEggs(run.number, name, batch.shared, event), "all-fish"))
    elif _too_heavy(run, batch) and batch.dry is None:
        asks = "grams-dry"
        buttons += [
            Button("answer:dry", say.EggsWere(run.number, name, True), "eggs-dry"),
            Button("answer:wet", say.EggsWere(run.number, name, False), "eggs-wet"),
        ]
    buttons.append(Button("undo", say.Undo((event,)), "undo"))
    cautions = talk.once(run.number, "test-lot") if batch.test_lot else ()
    talk.say(eggs_fact(talk, run, batch), *buttons, asks=asks, cautions=cautions)


def _milt_done(run: Run, batch: str) -> say.Finished:
    return say.Finished(key=StepKey("fertilise", batch=batch), run_number=run.number)


def _too_heavy(run: Run, batch: Batch) -> bool:
    owners = {one.tag for one in batch.eggs if one.tag} or set(batch.shared)
    kilos = sum(fish.kg for fish in run.fish if fish.tag in owners)
    grams = sum(one.grams or 0 for one in batch.eggs)
    return bool(kilos) and bool(grams) and eggs.grams_suspicious(grams, kilos)


def whose_eggs(talk: Talk, said: say.WhoseEggs) -> None:
    """Whose the eggs were: told again with the name, or as eggs that all of them gave."""
    run = talk.run(said.run_number)
    old = talk.event(run.number, said.event)
    if old is None or not isinstance(old.what, Stripped):
        talk.say(Refused("nothing-to-undo"))
        return
    if len(said.tags) != 1:
        talk.tell_anew(old, dataclasses.replace(old.what, all_gave=True))
        talk.say(Noted("eggs-of", run.number, talk.called(run), tags=said.tags))
        return
    mended = tuple(dataclasses.replace(one, tag=one.tag or said.tags[0]) for one in old.what.eggs)
    event = talk.tell_anew(old, dataclasses.replace(old.what, eggs=mended, shared=()))
    _say_eggs(talk, talk.run(run.number), said.batch, event.id)


def eggs_were(talk: Talk, said: say.EggsWere) -> None:
    """Dry, or after water: eggs per gram of the card are of dry eggs only."""
    run = talk.run(said.run_number)
    talk.tell(run.number, EggsWeighed(said.batch, said.dry))
    now = talk.run(run.number)
    batch = batch_of(now, said.batch)
    if batch is not None:
        talk.say(eggs_fact(talk, now, batch))
