"""Eggs on their way from the bowl: jars for so many, water through them, milt for the grams."""

from __future__ import annotations

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
    litres = said.litres
    count = said.eggs
    per_ml = None
    leaned: list[tuple[tuple[str, ...], Mark]] = []
    if litres is not None:
        found = eggs_in_ml(talk, card, ())
        if found.usual is not None:
            per_ml = found.usual
            count = eggs.eggs_from_litres(litres, per_ml)
            leaned.append((found.basis, found.mark))
    elif count is None and run is not None:
        fact = _newest_eggs(talk, run)
        count = fact.total_eggs if fact else None
        if fact and count:
            leaned.append((fact.basis, fact.mark))
    for holding in card.holdings:
        figures = [holding.flow] if said.what == "flow" else [holding.eggs, holding.flow]
        leaned += [(figure.sources, figure.mark) for figure in figures if figure]
    talk.say(
        VesselPlan(
            run=run.number if run else 0,
            called=talk.called(run) if run else "",
            species=card.slug,
            about=said.what,
            eggs=None if count is None else round(count),
            litres=litres,
            eggs_per_ml=per_ml,
            sticky="" if card.sticky == "free" else card.sticky,
            vessels=tuple(eggs.in_vessels(holding, count) for holding in card.holdings),
            basis=tuple(dict.fromkeys(name for basis, _ in leaned for name in basis))
            if card.holdings
            else (),
            mark=weakest(mark for _, mark in leaned) if card.holdings and leaned else None,
        )
    )


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
