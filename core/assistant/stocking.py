"""How densely to stock or pack: what was published for the species, times the farm's own pond or bags."""

from __future__ import annotations

import dataclasses

from core import commands as say
from core import stocking
from core.assistant.choosing import species_for
from core.assistant.talk import Talk
from core.replies import Button, StockFigure, StockPlan
from core.species import Per, Stocking, weakest

MOST_OTHERS = 3


def stock(talk: Talk, said: say.Stock) -> None:
    """The densities that fit what was asked; where nobody published one, that is said."""
    species, others = species_for(talk, said, said.species, said.species_word, lambda slug: True)
    card = talk.card_of(species)
    wanted = _per(said)
    rules = stocking.fitting(card, said.place, said.young, wanted)
    figures = tuple(_figure(said, rule) for rule in rules)
    buttons = [
        Button(
            f"pick:{n}",
            say.Pick(dataclasses.replace(said, species=slug, species_word=None)),
            "other-species",
            (("species", slug),),
        )
        for n, slug in enumerate(others[:MOST_OTHERS] if said.species_word else (), 1)
    ]
    talk.say(
        StockPlan(
            species=species,
            place=said.place or "",
            young=said.young or "larvae",
            figures=figures,
            m2=said.m2,
            litres=said.litres,
            bags=said.bags,
            larvae=said.larvae,
            basis=stocking.sources_of(rules),
            mark=weakest(rule.density.mark for rule in rules) if rules else "from memory",
        ),
        *buttons,
        cautions=talk.once(0, "stock-slowly") if figures else (),
    )


def _per(said: say.Stock) -> Per | None:
    """What a density must be counted by, to be of use."""
    if said.per is not None:
        return said.per
    if said.place == "bag":
        return "bag"
    return "m2" if said.m2 is not None else "litre" if said.litres is not None else None


def _figure(said: say.Stock, rule: Stocking) -> StockFigure:
    amounts: dict[Per, float | None] = {"m2": said.m2, "litre": said.litres, "bag": said.bags}
    amount = amounts[rule.per]
    if amount is None and said.larvae is not None:
        found = stocking.bags(rule, said.larvae)
    else:
        found = stocking.stocked(rule, amount)
    return StockFigure(
        place=rule.place,
        per=rule.per,
        low=rule.density.low,
        usual=rule.density.usual,
        high=rule.density.high,
        low_larvae=found.low,
        usual_larvae=found.usual,
        high_larvae=found.high,
        fewest=found.fewest,
        most=found.most,
        note=rule.density.note,
        bag_litres=rule.bag_litres,
    )
