"""The farm's own spoons, cups, caps and drops, and the bottles that baths are mixed from."""

from __future__ import annotations

import dataclasses

from core import commands as say
from core.assistant.choosing import pending, waited
from core.assistant.talk import AskFirst, Talk
from core.records import BottleLabel, Scoop, ScoopOf
from core.replies import Ask, BathKept, InScoops, Reply

OF_STUFF = {"saline": "salt"}
"""What stands in the spoon, where a liquid is called by another name."""


def set_bottle(talk: Talk, said: say.SetBottle) -> None:
    """The per cent on a bottle: it counts for every bath of that stuff until another is told."""
    keep_bottle(talk, said.agent, said.percent)
    talk.say(BathKept("bottle", said.agent, percent=said.percent))


def keep_bottle(talk: Talk, agent: str, percent: float) -> None:
    others = tuple(each for each in talk.farm.bottles if each.agent != agent)
    talk.change_farm(dataclasses.replace(talk.farm, bottles=(*others, BottleLabel(agent, percent))))


def percent_of(talk: Talk, agent: str | None) -> float | None:
    """The per cent on the farm's bottle of a stuff, where it was told."""
    return next((each.percent for each in talk.farm.bottles if each.agent == agent), None)


def stuff_of(agent: str | None) -> str | None:
    return OF_STUFF.get(agent or "", agent)


def keep(talk: Talk, said: say.SetScoop) -> Scoop:
    """A measure is kept with the farm; what its words leave open, the bath that waits for it tells."""
    before = waited(talk, say.Bath, "scoop") or waited(talk, say.Bath, "drops")
    of = said.of or (before.scoop if before else None)
    stuff = said.stuff or stuff_of(before.agent if before else None)
    if of is None or stuff is None:
        raise AskFirst(Reply(Ask("scoop", "no-number", words=of or "spoon")))
    kept = Scoop(of, stuff, said.grams, said.ml)
    others = tuple(each for each in talk.farm.scoops if (each.of, each.stuff) != (of, stuff))
    talk.change_farm(dataclasses.replace(talk.farm, scoops=(*others, kept)))
    return kept


def put_in(talk: Talk, said: say.Bath) -> say.Bath:
    """So many spoons as grams or mL. Raises `AskFirst` where nobody told what one holds."""
    if said.scoop is None:
        return said
    stuff = stuff_of(said.agent)
    known = None if stuff is None else find(talk, said.scoop, stuff)
    if known is None:
        about = "drops" if said.scoop == "drop" else "scoop"
        raise AskFirst(Reply(Ask(about, "not-weighed", words=said.scoop)), pending(talk, about, said))
    if said.scoops is None:
        return said
    if known.grams is not None:
        return dataclasses.replace(said, grams=float(f"{said.scoops * known.grams:.6g}"))
    return dataclasses.replace(said, ml=float(f"{said.scoops * (known.ml or 0.0):.6g}"))


def find(talk: Talk, of: ScoopOf, stuff: str) -> Scoop | None:
    """What one of that measure holds of that stuff."""
    return next((each for each in talk.farm.scoops if (each.of, each.stuff) == (of, stuff)), None)


def in_scoops(
    talk: Talk, amounts: tuple[tuple[str, float | None, float | None], ...]
) -> tuple[InScoops, ...]:
    """Grams and mL of each stuff in the farm's own measures of it."""
    found = []
    for stuff, grams, ml in amounts:
        for each in (one for one in talk.farm.scoops if one.stuff == stuff):
            count = _count(each, grams, ml)
            if count is not None:
                found.append(InScoops(stuff, each.of, count))
    return tuple(found)


def _count(scoop: Scoop, grams: float | None, ml: float | None) -> float | None:
    """How many of it, to a tenth; of a drop the whole number."""
    if scoop.grams and grams is not None:
        many = grams / scoop.grams
    elif scoop.ml and ml is not None:
        many = ml / scoop.ml
    else:
        return None
    return float(round(many)) if scoop.of == "drop" else round(many, 1)
