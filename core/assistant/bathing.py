"""Baths: what to mix, what must first be told, and when fish must come out."""

from __future__ import annotations

import dataclasses
from datetime import timedelta

from core import baths, forecasts
from core import commands as say
from core.assistant import scoops
from core.assistant.choosing import pending, waited, word_fits
from core.assistant.talk import Talk
from core.errors import NoFigure
from core.records import Batch, IodineBasis, Run
from core.replies import BathKept, BathMix, Button, Noted, Refused

NO_CARD = "other"
"""Stands for a fish that there is no card of."""
OF_SEVERAL_USES = ("urea", "saline", "tannin")
WAITS = timedelta(hours=1)
STILL_TO_TELL = ("litres-not-told", "ppm-not-told", "strength-not-told", "bottle-not-told")


def basis(talk: Talk, said: say.Basis) -> None:
    """What the farm's "ppm of iodine" counts: remembered with the bottle."""
    talk.change_farm(dataclasses.replace(talk.farm, iodine_basis=said.basis))
    before = waited(talk, say.Bath, "iodine_basis")
    if before is not None:
        bath(talk, before)
        return
    talk.say(Noted("iodine-basis", word=said.basis))


def bath(talk: Talk, said: say.Bath) -> None:
    """What to mix. On eggs there are no millilitres of iodine before the basis was tapped."""
    said = scoops.put_in(talk, _with_what_waited(talk, said))
    if said.agent == "malachite-green":
        talk.say(Refused("malachite-green"))
        return
    mix = baths.mix(_asked(talk, said), talk.knowledge.shelf)
    if (mix.agent, mix.on) == ("iodine", "eggs") and _about_to_hatch(talk, said):
        mix = baths.not_now(mix)
    asks, buttons = _question(talk, said, mix)
    measured = tuple((each.stuff, each.grams, each.ml) for each in mix.parts)
    fact = dataclasses.replace(fact_of(mix, said), in_scoops=scoops.in_scoops(talk, measured))
    talk.say(fact, *buttons, asks=asks)


def set_scoop(talk: Talk, said: say.SetScoop) -> None:
    """What one of the farm's own measures holds; the bath that waited for it goes on."""
    kept = scoops.keep(talk, said)
    talk.say(BathKept(kept.of, kept.stuff, kept.grams, kept.ml))
    before = waited(talk, say.Bath, "scoop") or waited(talk, say.Bath, "drops")
    if before is not None:
        bath(talk, before)


def _about_to_hatch(talk: Talk, said: say.Bath) -> bool:
    """Whether all eggs there are may hatch by now, or did."""
    fitting = _species(talk, said)
    runs = [run for run in talk.live() if not said.species or run.species in fitting]
    batches = [(run, batch) for run in runs for batch in run.batches]
    return bool(batches) and all(_hatches(talk, run, batch) for run, batch in batches)


def _hatches(talk: Talk, run: Run, batch: Batch) -> bool:
    if batch.hatched is not None:
        return True
    try:
        return forecasts.hatch(run, batch, talk.card(run)).window.earliest <= talk.desk.said_at
    except NoFigure:
        return False


def fact_of(mix: baths.Mix, said: say.Bath) -> BathMix:
    """A mix as the reply tells it, with what was put in."""
    values = {field.name: getattr(mix, field.name) for field in dataclasses.fields(mix)}
    return dataclasses.replace(
        BathMix(**values),
        species=None if mix.species == NO_CARD else mix.species,
        shown=baths.shown(mix),
        told_grams=said.grams,
        told_ml=said.ml,
        told_minutes=said.minutes,
        told_scoops=said.scoops,
        scoop=said.scoop,
    )


def _with_what_waited(talk: Talk, said: say.Bath) -> say.Bath:
    """The rest of a bath that was asked for: its litres, its strength, its bottle, or for whom."""
    before = waited(talk, say.Bath, "bath")
    if before is None or _stands_alone(said, before):
        return said
    told = {field.name: getattr(said, field.name) for field in dataclasses.fields(said)}
    if said.percent is not None and before.agent is not None:
        scoops.keep_bottle(talk, before.agent, said.percent)
    return dataclasses.replace(before, **{name: value for name, value in told.items() if value})


def _stands_alone(said: say.Bath, before: say.Bath) -> bool:
    """Whether it is another bath, and no answer to what was asked of the one before."""
    another = said.agent is not None and before.agent not in (None, said.agent)
    if another and said.agent not in baths.FAMILIES.get(before.agent or "", ()):
        return True
    if said.use is not None and (before.use or said.use) != said.use:
        return True
    if said.use is not None and before.agent not in OF_SEVERAL_USES:
        return True
    if said.purpose not in (None, before.purpose) and before.agent is not None:
        return True
    named = (said.agent or said.use or said.purpose) is not None
    return named and any(each is not None for each in (said.litres, said.ppm, said.grams, said.ml))


def _asked(talk: Talk, said: say.Bath) -> baths.Asked:
    return baths.Asked(
        purpose=said.purpose,
        agent=said.agent,
        on=said.on,
        litres=said.litres,
        ppm=said.ppm,
        use=said.use,
        species=_species(talk, said),
        percent=said.percent if said.percent is not None else scoops.percent_of(talk, said.agent),
        minutes=said.minutes,
        grams=said.grams,
        ml=said.ml,
        inside=said.inside,
        limp=said.limp,
        basis=talk.farm.iodine_basis,
    )


def _species(talk: Talk, said: say.Bath) -> tuple[str, ...]:
    """All that the words can mean, or the one of them that is being spawned; where none was named, the one
    species of the open runs."""
    live = {run.species for run in talk.live()}
    if said.species:
        return (said.species,)
    if said.species_word:
        fitting = word_fits(talk, said.species_word) or (NO_CARD,)
        own = tuple(slug for slug in fitting if slug in live)
        return own if len(own) == 1 else fitting
    return tuple(live) if len(live) == 1 else ()


def _question(talk: Talk, said: say.Bath, mix: baths.Mix) -> tuple[str, tuple[Button, ...]]:
    """What is still to be told before there are amounts, and the buttons for it."""
    if "eggs-or-tools" in mix.warnings:
        _wait(talk, said)
        pair = [dataclasses.replace(said, on="eggs"), dataclasses.replace(said, on="tools")]
        return "eggs-or-tools", tuple(
            Button(f"pick:{n}", say.Pick(one), f"on-{one.on}") for n, one in enumerate(pair, 1)
        )
    if "basis-not-told" in mix.warnings:
        talk.awaiting = pending(talk, "iodine_basis", said)
        kinds: tuple[IodineBasis, ...] = ("available", "substance", "liquid")
        return "iodine-basis", tuple(
            Button(f"answer:{kind}", say.Basis(kind), f"basis-{kind}") for kind in kinds
        )
    if mix.choices and mix.verdict == "ask":
        _wait(talk, said)
        return "which-liquid", tuple(
            Button(f"pick:{n}", say.Pick(_as_chosen(said, each)), f"liquid-{each.liquid}")
            for n, each in enumerate(mix.choices, 1)
        )
    if mix.verdict == "mix" and any(code in mix.warnings for code in STILL_TO_TELL):
        _wait(talk, said)
    return "", ()


def _wait(talk: Talk, said: say.Bath) -> None:
    """What is told next may be the rest of this bath."""
    talk.awaiting = dataclasses.replace(pending(talk, "bath", said), until=talk.desk.now + WAITS)


def _as_chosen(said: say.Bath, choice: baths.Choice) -> say.Bath:
    return dataclasses.replace(said, agent=choice.agent, use=choice.use, on=choice.on or said.on)
