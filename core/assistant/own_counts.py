"""The farm's own counts of eggs, in a gram or a millilitre: kept by species, and they beat the card."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

from core import commands as say
from core import eggs
from core.assistant.choosing import farms_own, pending, species_buttons, species_for
from core.assistant.talk import AskFirst, Talk
from core.records import CountedIn, OwnCount, Run
from core.replies import Ask, OwnCounted, Reply
from core.species import Card, Figure

FAR = 1.5
"""A count so many times beyond what the card knows is put in doubt. A rule of our own."""


def in_ml(talk: Talk, said: say.Collect) -> bool:
    """Keeps the farm's own eggs per mL for the species; whether that was all there is to say.

    It is not, where eggs are collected by volume: then it is a count of those too.
    """
    assert said.eggs_per_ml is not None
    collecting = [run for run in talk.live() if run.way == "hapa" or any(batch.lots for batch in run.batches)]
    if talk.pinned.run:
        collecting = [talk.run(talk.pinned.run)]
    if said.litres is not None and not collecting:
        return False
    species = species_of(talk, said, collecting)
    fact = keep(talk, species, "ml", said.eggs_per_ml)
    if any(run.species == species for run in collecting):
        return False
    talk.say(fact)
    return True


def keep(talk: Talk, species: str, counted_in: CountedIn, count: float) -> OwnCounted:
    """The count is the farm's from now on; what it had before, and what the card knows, stand beside it."""
    at = talk.said_at
    before = eggs.own_count(talk.farm.counts, species, counted_in, at)
    figure = _of_card(talk.card_of(species), counted_in)
    told = OwnCount(species, counted_in, count, at)
    talk.change_farm(dataclasses.replace(talk.farm, counts=(*talk.farm.counts, told)))
    return OwnCounted(
        species=species,
        counted_in=counted_in,
        eggs=count,
        before=None if before == count else before,
        low=figure.low if figure else None,
        high=figure.high if figure else None,
        far=figure is not None and not figure.low / FAR <= count <= figure.high * FAR,
        at=at,
        basis=("farm",),
    )


def _of_card(card: Card, counted_in: CountedIn) -> Figure | None:
    return card.eggs_per_gram if counted_in == "gram" else card.eggs_per_ml


def species_of(talk: Talk, said: say.EggCount | say.Collect, likely: Sequence[Run]) -> str:
    """The species named, else that of the runs it may be of, else the farm's only one. Asks of several."""
    if said.species or said.species_word:
        return species_for(talk, said, said.species, said.species_word, lambda slug: True)[0]
    for known in ({run.species for run in likely}, {run.species for run in talk.live()}, {*farms_own(talk)}):
        if len(known) == 1:
            return known.pop()
    raise AskFirst(Reply(Ask("species", "not-told"), species_buttons(talk)), pending(talk, "species", said))
