"""Corrections in words: the newest telling of that kind is put right, and what changed is shown."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Sequence
from typing import Any

from core import commands as say
from core.assistant.bowls import eggs_fact
from core.assistant.choosing import known_fish, run_for
from core.assistant.doses import check_weights, lines_by_tag, say_sheet
from core.assistant.hours import check_eggs_after, correct_hour
from core.assistant.injecting import keep_the_others
from core.assistant.talk import AskFirst, Pin, Talk
from core.records import (
    Collected,
    Counted,
    EggsCounted,
    EggsOf,
    Event,
    Fish,
    FishWeighed,
    FishWeight,
    Happening,
    Injected,
    Planned,
    Retagged,
    Retracted,
    Run,
    SetUp,
    Stripped,
    WaterRead,
)
from core.replies import Ask, Button, Corrected, EggsInPlace, Mended, Noted, Reply
from core.runs import batch_of, fish_of, plain_tag, standing


def correct(talk: Talk, said: say.Correction, answer: Callable[[Talk, say.Command], None]) -> None:
    """ "No, F1 is 2.6": what was said of it before is taken back, and told again as it should have been."""
    what = said.what
    if isinstance(what, say.Weigh):
        _correct_weight(talk, what)
        return
    if said.hour_alone and isinstance(what, say.Injection):
        if not correct_hour(talk, what):
            answer(talk, say.Unclear("ambiguous_intent", (what,)))
        return
    old = _newest(talk, what)
    if old is None:
        answer(talk, what)
    elif isinstance(what, say.Strip) and isinstance(old.what, Stripped):
        _correct_eggs(talk, what, old, old.what)
    else:
        _tell_again(talk, what, old, answer)


def _newest(talk: Talk, what: say.Act) -> Event | None:
    """The newest telling that the correction can be of: of that kind, that count, that fish."""
    fits = TOLD_BY.get(type(what))
    told = [event for number in talk.desk.runs for event in standing(talk.desk.runs[number])]
    fitting = [event for event in told if fits is not None and fits(event.what, what)]
    return max(fitting, key=lambda event: event.id, default=None)


def _tags_of(what: Happening) -> set[str]:
    if isinstance(what, Injected):
        return {plain_tag(tag) for tag in what.tags}
    return {plain_tag(one.tag) for one in what.eggs} if isinstance(what, Stripped) else set()


def _same_fish(old: Happening, tags: Sequence[str | None]) -> bool:
    named = {plain_tag(tag) for tag in tags if tag}
    return not named or bool(named & _tags_of(old))


def _same_place(old: Collected, new: say.Collect) -> bool:
    return not new.place or new.place.casefold() == (old.place or "").casefold()


TOLD_BY: dict[type[Any], Callable[[Happening, Any], bool]] = {
    say.Temperature: lambda old, new: isinstance(old, WaterRead),
    say.Injection: lambda old, new: isinstance(old, Injected) and _same_fish(old, new.tags),
    say.Strip: lambda old, new: isinstance(old, Stripped) and _same_fish(old, [one.tag for one in new.eggs]),
    say.Fertilised: lambda old, new: isinstance(old, Counted) and old.stage == "fertilised",
    say.Hatched: lambda old, new: isinstance(old, Counted) and old.stage == "hatched",
    say.EggCount: lambda old, new: isinstance(old, EggsCounted),
    say.Collect: lambda old, new: isinstance(old, Collected) and _same_place(old, new),
    say.Plan: lambda old, new: isinstance(old, Planned),
}


def _tell_again(talk: Talk, what: say.Act, old: Event, answer: Callable[[Talk, say.Command], None]) -> None:
    before = talk.run(old.run)
    talk.tell(old.run, Retracted((old.id,)))
    if isinstance(what, say.Injection) and isinstance(old.what, Injected) and what.tags:
        keep_the_others(talk, what.tags, old, old.what)
    talk.pinned = Pin(old.run, batch=old.what.batch if isinstance(old.what, Counted | Collected) else "")
    answer(talk, _completed(talk, what, old))
    if isinstance(old.what, Injected):
        sure = say.Pick(say.Correction(what), old.run, sure=True)
        check_eggs_after(talk, before, talk.run(old.run), old.what.group, [Button("yes", sure, "yes")])
    talk.replies.insert(0, Reply(change(talk, before, talk.run(old.run), old.what.kind)))


def _completed(talk: Talk, what: say.Act, old: Event) -> say.Command:
    """The corrected telling at its own hour: what was not mended stays as it was told."""
    local = old.at.astimezone(talk.zone).strftime("%H:%M")
    if isinstance(what, say.Temperature) and isinstance(old.what, WaterRead):
        return dataclasses.replace(what, at=what.at or local, place=what.place or old.what.place)
    if isinstance(what, say.Injection) and isinstance(old.what, Injected):
        told = what.at or (local if what.minutes_ago is None else None)
        return dataclasses.replace(
            what, tags=what.tags or old.what.tags, which=what.which or old.what.which, at=told
        )
    if isinstance(what, say.Collect) and isinstance(old.what, Collected):
        return dataclasses.replace(
            what,
            litres=what.litres if what.litres is not None else old.what.litres,
            eggs_per_ml=what.eggs_per_ml or old.what.eggs_per_ml,
            place=what.place or old.what.place,
            at=what.at or local,
        )
    return what


def _correct_eggs(talk: Talk, what: say.Strip, old: Event, told: Stripped) -> None:
    """Other grams, looks or names in the same bowl, at the same hour."""
    before = talk.run(old.run)
    mended = {plain_tag(one.tag or ""): one for one in what.eggs}
    only = what.eggs[0] if len(what.eggs) == len(told.eggs) == 1 else None
    eggs = tuple(_mended(one, only or mended.get(plain_tag(one.tag))) for one in told.eggs)
    at = talk.moment(what.at, what.minutes_ago) if what.at or what.minutes_ago is not None else old.at
    talk.tell_anew(old, dataclasses.replace(told, eggs=eggs), at)
    after = talk.run(old.run)
    talk.say(change(talk, before, after, "stripped"))
    batch = batch_of(after, told.batch)
    if batch is not None:
        talk.say(eggs_fact(talk, after, batch))


def _mended(one: EggsOf, said: say.EggsTold | None) -> EggsOf:
    if said is None:
        return one
    return EggsOf(one.tag, said.grams or one.grams, said.quality or one.quality, bool(said.partial))


def _correct_weight(talk: Talk, what: say.Weigh) -> None:
    run = run_for(talk, what, lambda each: bool(each.fish), words=what.run, tags=[f.tag for f in what.fish])
    if what.species and what.species != run.species and not what.fish:
        talk.tell(run.number, SetUp(species=what.species))
        say_sheet(talk, talk.run(run.number))
        return
    before = run
    for fish in what.fish:
        known = _fish_meant(talk, run, fish)
        if fish.sex and fish.sex != known.sex:
            talk.tell(run.number, Retagged(known.tag, None, fish.sex))
        if fish.kg is not None:
            check_weights(talk, (fish,), run.species)
            talk.tell(run.number, FishWeighed((FishWeight(known.tag, fish.sex or known.sex, fish.kg),)))
    after = talk.run(run.number)
    told_sex = [fish for fish in what.fish if fish.sex and fish.kg is None]
    if told_sex and len(told_sex) == len(what.fish):
        tags = tuple(_fish_meant(talk, run, fish).tag for fish in told_sex)
        talk.say(Noted("sex", run.number, talk.called(run), tags=tags, word=told_sex[0].sex or ""))
    else:
        talk.say(change(talk, before, after, "weighed"))
    if not after.groups:
        say_sheet(talk, after)


def _fish_meant(talk: Talk, run: Run, fish: say.Weighed) -> Fish:
    if fish.tag:
        return known_fish(talk, run, fish.tag)
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


def change(talk: Talk, before: Run, after: Run, of: str) -> Corrected:
    """Old and new as the farmer would write them; fish that had their dose by the old weight are named."""
    changed = [(old, new) for old in before.fish if (new := fish_of(after, old.tag)) and old.kg != new.kg]
    injected = tuple(new.tag for _, new in changed if new.shots)
    doses: tuple[float | None, float | None] = (None, None)
    if len(injected) == 1:
        doses = (_went_in(after, injected[0]), _final_ml(talk, after, injected[0]))
    return Corrected(
        run=after.number,
        called=talk.called(after),
        of=of,
        before=_shown(before, of, [old for old, _ in changed]),
        after=_shown(after, of, [new for _, new in changed]),
        already_injected=injected,
        dose_before_ml=doses[0],
        dose_after_ml=doses[1],
    )


def _went_in(run: Run, tag: str) -> float | None:
    fish = fish_of(run, tag)
    return fish.shots[-1].ml if fish and fish.shots else None


def _final_ml(talk: Talk, run: Run, tag: str) -> float | None:
    line = lines_by_tag(talk, run).get(tag)
    return line.final_ml if line else None


def _shown(run: Run, of: str, fish: Sequence[Fish]) -> Mended:
    """What was mended, as values: weights, the water, the hours of injection, the eggs."""
    if of == "weighed":
        return tuple(FishWeight(each.tag, each.sex, each.kg) for each in fish or run.fish)
    if of == "water" and run.water:
        return max(run.water, key=lambda each: each.at).celsius
    if of == "injected":
        return tuple(group.final_at or group.first_at for group in run.groups)
    if of == "collected":
        return tuple(EggsInPlace(lot.place, lot.litres, None) for batch in run.batches for lot in batch.lots)
    if of == "stripped":
        return tuple(one for batch in run.batches for one in batch.eggs)
    return None
