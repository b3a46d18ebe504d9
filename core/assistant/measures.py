"""The farm's own measures of larvae: what is in a mL or a cup of it, counted once and kept."""

from __future__ import annotations

import dataclasses
from typing import TypeVar

from core import commands as say
from core.assistant import counts, fry
from core.assistant.choosing import pending, waited
from core.assistant.talk import AskFirst, Talk
from core.larvae import SPAWN_PER_ML, SPAWN_SOURCE
from core.replies import Ask, Measure, Reply

Told = TypeVar("Told", say.LarvaeCount, say.Sold)
ABOUT = {"ml": "larvae_per_ml", "cup": "larvae_per_cup"}


def set_measure(talk: Talk, said: say.SetMeasure) -> None:
    """How many larvae are in the farm's own mL or cup; what waited for it goes on."""
    if said.larvae is None or said.larvae <= 0:
        raise AskFirst(Reply(Ask(_about(said.of), "no-number")))
    if said.of == "ml":
        talk.change_farm(dataclasses.replace(talk.farm, spawn_per_ml=said.larvae))
    else:
        talk.change_farm(dataclasses.replace(talk.farm, larvae_per_cup=said.larvae))
    told = waited(talk, say.LarvaeCount, ABOUT[said.of])
    sold = waited(talk, say.Sold, ABOUT[said.of])
    talk.say(_fact(said.of, said.larvae))
    if told is not None:
        fry.larvae_count(talk, counted(talk, told))
    if sold is not None:
        counts.sold(talk, counted(talk, sold))


def _fact(of: str, larvae: float) -> Measure:
    low, high = SPAWN_PER_ML if of == "ml" else (None, None)
    odd = low is not None and high is not None and not low <= larvae <= high
    return Measure(of, larvae, low, high, odd, ("farm", *([SPAWN_SOURCE] if low else [])), "the farm's own")


def per_ml(talk: Talk, said: say.Question) -> None:
    """What the farm counted in a mL; it is asked to where it did not."""
    _known(talk, "ml", talk.farm.spawn_per_ml)


def per_cup(talk: Talk, said: say.Question) -> None:
    """What the farm counted in its cup."""
    _known(talk, "cup", talk.farm.larvae_per_cup)


def _known(talk: Talk, of: str, larvae: float | None) -> None:
    if larvae is None:
        raise _uncounted(talk, of, None)
    talk.say(_fact(of, larvae))


def larvae_count(talk: Talk, said: say.LarvaeCount) -> None:
    """Larvae by cups, by a measure of the farm's own, or as told."""
    fry.larvae_count(talk, counted(talk, said))


def sold(talk: Talk, said: say.Sold) -> None:
    """Larvae sold, by number or by a measure of the farm's own."""
    counts.sold(talk, counted(talk, said))


def counted(talk: Talk, said: Told) -> Told:
    """The same with its larvae worked out from its measure. Asks where the farm has not counted that."""
    measured = said.measured
    if measured is None or said.larvae is not None:
        return said
    own = talk.farm.spawn_per_ml if measured.of == "ml" else talk.farm.larvae_per_cup
    each = measured.each or own
    if each is None:
        raise _uncounted(talk, measured.of, said)
    told = dataclasses.replace(measured, each=each)
    return dataclasses.replace(said, larvae=round(each * measured.amount), measured=told)


def _uncounted(talk: Talk, of: str, said: say.LarvaeCount | say.Sold | None) -> AskFirst:
    """No figure is used before the farm has counted its own."""
    low, high = SPAWN_PER_ML if of == "ml" else (None, None)
    reply = Reply(Ask(_about(of), "not-calibrated", number=low, limit=high))
    waits = pending(talk, ABOUT[of], said) if said is not None else pending(talk, ABOUT[of])
    return AskFirst(reply, waits)


def _about(of: str) -> str:
    return ABOUT[of].replace("_", "-")
