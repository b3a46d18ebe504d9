"""Eggs collected by volume, from a hapa into jars: how many, and what comes next."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from datetime import datetime
from typing import NamedTuple

from core import commands as say
from core import eggs, forecasts
from core.assistant import own_counts
from core.assistant.choosing import batch_for, pending, run_for, waited
from core.assistant.talk import AskFirst, Talk
from core.assistant.windows import next_bell, say_hatch_forecast
from core.records import Batch, Collected, Event, Lot, Mark, Retracted, Run, StepDone, StepKey
from core.replies import Ask, Button, EggsInPlace, EggsTaken, HatchForecast, Reply
from core.runs import batch_of, females, next_bowl, standing
from core.species import Card

BEYOND = 1.25
"""Of the most eggs the females can carry by the card: more is asked about. A rule of our own."""


def collected(talk: Talk, said: say.Collect) -> None:
    """Swollen eggs by volume; more of them add up. Several jars told in one breath hold one lot."""
    if said.eggs_per_ml is not None and own_counts.in_ml(talk, said):
        return
    said = _with_what_waited(talk, said)
    run = run_for(talk, said, lambda each: bool(each.fish), words=said.run, likely=_is_hapa)
    group = _group_of(run, said.place)
    told = [each.what.batch for each in talk.events if isinstance(each.what, Collected)]
    name = (
        _first_of(run, group)
        or ("" if group else next(iter(told), ""))
        or batch_for(talk, run, said, lambda each: not each.lots, place=said.place, step="collect-eggs")
    )
    batch = batch_of(run, name)
    if said.litres is None:
        _without_litres(talk, run, name, said)
        return
    place = None if group else said.place  # the hapa they came from is no jar
    if not talk.sure:
        _check_litres(talk, run, batch, said, place)
    what = Collected(name, said.litres, said.eggs_per_ml, place, group)
    talk.tell(run.number, what, talk.moment(said.at, said.minutes_ago))
    say_collected(talk, talk.run(run.number), name)


def _is_hapa(run: Run) -> bool:
    return run.way == "hapa" and bool(run.groups or run.batches)


def _with_what_waited(talk: Talk, said: say.Collect) -> say.Collect:
    """A count of eggs in a millilitre that was told before its litres."""
    before = waited(talk, say.Collect, "collected") if said.eggs_per_ml is None else None
    return said if before is None else dataclasses.replace(said, eggs_per_ml=before.eggs_per_ml)


def _group_of(run: Run, place: str | None) -> str:
    """The group that stands in that place; the only one where no place tells."""
    groups = [group for group in run.groups if place and group.place.casefold() == place.casefold()]
    if groups:
        return groups[0].name
    return run.groups[0].name if len(run.groups) == 1 and not place else ""


def _first_of(run: Run, group: str) -> str:
    """The lot of a group of which nothing was told yet: its name, while another group's is known."""
    mine = any(batch.group in ("", group) for batch in run.batches)
    return "" if mine or not group or not run.batches else next_bowl(run)


def _without_litres(talk: Talk, run: Run, name: str, said: say.Collect) -> None:
    """A count in a millilitre is of what was collected before it; without litres these are asked for."""
    told = _newest(talk, run, name)
    if said.eggs_per_ml is not None and told is not None and isinstance(told.what, Collected):
        talk.tell_anew(told, dataclasses.replace(told.what, eggs_per_ml=said.eggs_per_ml))
        say_collected(talk, talk.run(run.number), name)
        return
    fact = Ask("collected", "count-wanted", run.number, talk.batch_called(run, name))
    if said.eggs_per_ml is not None:
        talk.awaiting = pending(talk, "collected", said)
    else:
        talk.expect("collected", run.number, name)
    talk.say(fact)


def _newest(talk: Talk, run: Run, name: str) -> Event | None:
    told = [
        event
        for event in standing(talk.events_of(run.number))
        if isinstance(event.what, Collected) and event.what.batch == name
    ]
    return told[-1] if told else None


def _check_litres(talk: Talk, run: Run, batch: Batch | None, said: say.Collect, place: str | None) -> None:
    """More than the females can carry, or the very same again, is asked about first."""
    assert said.litres is not None
    called = talk.called(run)
    yes = say.Pick(said, run.number, batch=batch.name if batch else "", sure=True)
    if _is_beyond(talk, run, batch, said):
        fact = Ask("litres-so-many", "implausible-litres", run.number, called, number=said.litres)
        keep = Button("yes", yes, "litres", (("number", said.litres),))
        raise AskFirst(Reply(fact, (keep, Button("no", say.AskAgain("collected", run.number), "no-change"))))
    if batch and any((lot.litres, lot.place) == (said.litres, place or "") for lot in batch.lots):
        fact = Ask("eggs-again", "litres-told", run.number, called, number=said.litres)
        more = Button("yes", yes, "more-eggs")
        raise AskFirst(Reply(fact, (more, Button("no", say.Nothing("collected"), "same-eggs"))))


def _is_beyond(talk: Talk, run: Run, batch: Batch | None, said: say.Collect) -> bool:
    """Whether all that was collected is more than the females can carry; a point may be lost."""
    card, litres = talk.card(run), (said.litres or 0) + ((batch.litres or 0) if batch else 0)
    per_ml = said.eggs_per_ml or eggs_in_ml(talk, card, batch.lots if batch else ()).usual
    kilos = sum(fish.kg for fish in females(run, batch.group if batch and batch.group else None))
    if card.eggs_per_kg is None or per_ml is None or not kilos or not litres:
        return False
    return eggs.eggs_from_litres(litres, per_ml) > BEYOND * kilos * card.eggs_per_kg.high


def say_collected(talk: Talk, run: Run, name: str) -> None:
    """The eggs so far and the loading; asks when they were spawned, or how many lie in a millilitre."""
    batch = batch_of(run, name)
    if batch is None:
        return
    key, due = next_bell(talk, run)
    fact = dataclasses.replace(volume_fact(talk, run, batch), next_step=key.step if key else "", next_at=due)
    asks = ""
    if batch.begun_at is None:
        asks = "spawned-when"
        talk.expect("spawned", run.number, name)
    elif fact.eggs_per_ml is None:
        asks = "eggs-per-ml"
        talk.expect("eggs_per_ml", run.number, name)
    told = [one.id for one in talk.events if one.run == run.number and isinstance(one.what, _TOLD)]
    talk.replies = [each for each in talk.replies if not _is_of(each, fact)]
    reckoned = batch.begun_at is None and forecasts.start(run, batch, talk.card(run)) is not None
    talk.say(fact, Button("undo", say.Undo(tuple(told)), "undo"), asks=asks)
    if reckoned:
        say_hatch_forecast(talk, run, batch)


_TOLD = (Collected, Retracted)


def _is_of(reply: Reply, fact: EggsTaken) -> bool:
    """Whether it tells of the same eggs: several jars told in one message are answered once."""
    told = reply.fact
    return isinstance(told, EggsTaken | HatchForecast) and (told.run, told.batch) == (fact.run, fact.batch)


def volume_fact(talk: Talk, run: Run, batch: Batch) -> EggsTaken:
    """The eggs of a batch by litres: how many by the farm's own count, where one was told, or the card."""
    count = eggs_in_ml(talk, talk.card(run), batch.lots)
    usual = count.usual
    lots = _by_place(batch.lots, usual)
    return EggsTaken(
        run=run.number,
        called=talk.batch_called(run, batch.name),
        batch=batch.name,
        fish=(),
        total_grams=None,
        total_eggs=sum(lot.eggs or 0 for lot in lots) if usual else None,
        eggs_per_gram=None,
        eggs_per_gram_low=None,
        eggs_per_gram_high=None,
        milt_ml=None,
        at=batch.lots[-1].at,
        basis=count.basis,
        mark=count.mark,
        litres=batch.litres,
        lots=lots,
        eggs_per_ml=usual,
        eggs_per_ml_low=count.low,
        eggs_per_ml_high=count.high,
    )


class InMl(NamedTuple):
    """Eggs in a millilitre of swollen ones, between what and what, and where that comes from."""

    usual: float | None = None
    low: float | None = None
    high: float | None = None
    basis: tuple[str, ...] = ()
    mark: Mark = "from memory"


def eggs_in_ml(talk: Talk, card: Card, lots: Sequence[Lot]) -> InMl:
    """The farm's own count beats the card; the newest stands for jars without one: of these eggs, else the
    one it keeps for the species."""
    own = [lot.eggs_per_ml for lot in lots if lot.eggs_per_ml]
    at = max((lot.at for lot in lots), default=talk.said_at)
    kept = eggs.own_count(talk.farm.counts, card.slug, "ml", at)
    if kept is not None and not own:
        own = [kept]
    if own:
        return InMl(own[-1], min(own), max(own), ("farm",), "the farm's own")
    figure = card.eggs_per_ml
    if figure is None:
        return InMl()
    return InMl(figure.usual_or_middle, figure.low, figure.high, figure.sources, figure.mark)


def _by_place(lots: Sequence[Lot], usual: float | None) -> tuple[EggsInPlace, ...]:
    """What lies in each jar; a jar filled twice is named once."""
    found: dict[str, list[Lot]] = {}
    for lot in lots:
        found.setdefault(lot.place, []).append(lot)
    return tuple(
        EggsInPlace(place, round(sum(lot.litres for lot in those), 3), _eggs_in(those, usual))
        for place, those in found.items()
    )


def _eggs_in(lots: Sequence[Lot], usual: float | None) -> int | None:
    counts = [(lot.litres, lot.eggs_per_ml or usual) for lot in lots]
    known = [eggs.eggs_from_litres(litres, per_ml) for litres, per_ml in counts if per_ml]
    return sum(known) if len(known) == len(counts) else None


def collected_without_litres(talk: Talk, run: Run, key: StepKey, at: datetime) -> None:
    """ "Done" under the bell: kept at its hour, and the litres are asked for."""
    event = talk.tell(run.number, StepDone(StepKey(key.step, batch=key.batch)), at)
    talk.expect("collected", run.number, key.batch)
    fact = Ask("collected", "eggs-collected", run.number, talk.batch_called(run, key.batch), at=at)
    talk.say(fact, Button("undo", say.Undo((event.id,)), "undo"))
