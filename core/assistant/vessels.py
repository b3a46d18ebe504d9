"""Eggs on their way from the bowl: jars for so many, water through them, milt for the grams."""

from __future__ import annotations

from typing import NamedTuple

from core import commands as say
from core import eggs
from core.assistant.bowls import eggs_fact
from core.assistant.choosing import card_asked
from core.assistant.collecting import eggs_in_ml
from core.assistant.talk import Talk
from core.records import Mark, Run
from core.replies import EggsTaken, MiltNeed, VesselPlan
from core.species import Card, Figure, weakest

GRAMS_OF_A_KG = 1000.0


def vessels(talk: Talk, said: say.AskVessels) -> None:
    """How many jars, and how much water: for the eggs told, else for those of the run."""
    if said.what == "spread":
        talk.say(VesselPlan(0, "", None, "spread", None, None, None, ""))
        return
    card = card_asked(talk, said, said.species, said.species_word, _has_eggs)
    run = _run_of(talk, card)
    told = _eggs_told(talk, said, card, run)
    leaned = [told.leaned] if told.leaned and card.holdings else []
    for holding in card.holdings:
        figures = [holding.flow] if said.what == "flow" else [holding.eggs, holding.flow]
        leaned += [(figure.sources, figure.mark) for figure in figures if figure]
    jars = None if said.jars is None else int(said.jars)
    talk.say(
        VesselPlan(
            run=run.number if run else 0,
            called=talk.called(run) if run else "",
            species=card.slug,
            about=said.what,
            eggs=told.eggs,
            litres=said.litres,
            eggs_per_ml=told.per if said.litres is not None else None,
            sticky="" if card.sticky == "free" else card.sticky,
            vessels=tuple(eggs.in_vessels(holding, told.eggs, jars) for holding in card.holdings),
            grams=said.grams,
            eggs_per_gram=told.per if said.grams is not None else None,
            basis=tuple(dict.fromkeys(name for basis, _ in leaned for name in basis)),
            mark=weakest(mark for _, mark in leaned) if leaned else None,
        )
    )


class _Told(NamedTuple):
    """How many eggs there are, where anybody knows: by how many in a mL or gram, and where that is from."""

    eggs: int | None = None
    per: float | None = None
    leaned: tuple[tuple[str, ...], Mark] | None = None


def _eggs_told(talk: Talk, said: say.AskVessels, card: Card, run: Run | None) -> _Told:
    """The eggs told, in litres, grams or by their number; else those of the run, unless jars were counted."""
    if said.litres is not None:
        found = eggs_in_ml(talk, card, ())
        if found.usual is None:
            return _Told()
        count = eggs.eggs_from_litres(said.litres, found.usual)
        return _Told(count, found.usual, (found.basis, found.mark))
    if said.grams is not None:
        return _of_grams(talk, card, said.grams)
    if said.eggs is not None:
        return _Told(round(said.eggs))
    fact = _newest_eggs(talk, run) if run is not None and said.jars is None else None
    return _Told(fact.total_eggs, None, (fact.basis, fact.mark)) if fact and fact.total_eggs else _Told()


def _of_grams(talk: Talk, card: Card, grams: float) -> _Told:
    own = eggs.own_count(talk.farm.counts, card.slug, "gram", talk.said_at)
    if own is not None:
        return _Told(eggs.eggs_from_grams(grams, own), own, (("farm",), "the farm's own"))
    figure = card.eggs_per_gram
    if figure is None:
        return _Told()
    per = float(round(figure.usual_or_middle))
    return _Told(eggs.eggs_from_grams(grams, per), per, (figure.sources, figure.mark))


def milt(talk: Talk, said: say.AskMilt) -> None:
    """How much milt the grams take by the card, and how it is thinned where that was tried."""
    card = card_asked(talk, said, said.species, said.species_word, _has_eggs)
    run = _run_of(talk, card)
    grams = said.grams
    if grams is None and run is not None and (fact := _newest_eggs(talk, run)):
        grams = fact.total_grams
    figure = card.milt_ml_per_kg_eggs
    share = (grams or GRAMS_OF_A_KG) / GRAMS_OF_A_KG
    known = [each for each in (figure, card.milt_parts, card.saline_g_per_l) if each]
    talk.say(
        MiltNeed(
            run=run.number if run else 0,
            called=talk.called(run) if run else "",
            species=card.slug,
            grams=grams,
            ml=eggs.milt_ml(share * GRAMS_OF_A_KG, card),
            low_ml=_tenth(figure.low * share) if figure else None,
            high_ml=_tenth(figure.high * share) if figure else None,
            parts=_usual(card.milt_parts),
            saline_g_per_l=_usual(card.saline_g_per_l),
            male_cut=card.male_cut,
            thinned=said.thinned,
            basis=tuple(dict.fromkeys(name for each in known for name in each.sources)),
            mark=weakest(each.mark for each in known) if known else None,
        )
    )


def _usual(figure: Figure | None) -> float | None:
    return None if figure is None else figure.usual_or_middle


def _tenth(ml: float) -> float:
    return round(ml, 1)


def _has_eggs(run: Run) -> bool:
    return any(batch.eggs or batch.lots for batch in run.batches)


def _run_of(talk: Talk, card: Card) -> Run | None:
    """The newest open run of that species, one with eggs before others."""
    mine = [run for run in talk.live() if run.species == card.slug]
    return next(reversed([run for run in mine if _has_eggs(run)] or mine), None)


def _newest_eggs(talk: Talk, run: Run) -> EggsTaken | None:
    batches = [batch for batch in run.batches if batch.eggs or batch.lots]
    return eggs_fact(talk, run, batches[-1]) if batches else None
