"""What is the farm's own: its syringes, the weight of its glands, its doses."""

from __future__ import annotations

import dataclasses

from core import commands as say
from core import dosing, drawing
from core.assistant.choosing import pending, waited
from core.assistant.doses import ready_run, say_sheet, set_up_for
from core.assistant.talk import AskFirst, Talk
from core.errors import HatchError, NoFigure
from core.records import FarmDose, OwnDose, Preparation, Run, SetUp, Syringe
from core.replies import Ask, Button, Noted, Reply

MOST_WORDS = 120


def syringes(talk: Talk, said: say.Syringes) -> None:
    """The syringes at hand, in the place of those told before: a sheet that is being made ready follows."""
    told = tuple(dict.fromkeys(_syringe(ml, mark) for ml, mark in said.told))
    talk.change_farm(dataclasses.replace(talk.farm, syringes=told))
    talk.say(Noted("syringes", syringes=told))
    _say_sheet_of_ready(talk)


def _syringe(ml: float, mark_ml: float | None) -> Syringe:
    try:
        return drawing.syringe(ml, mark_ml)
    except HatchError:
        raise AskFirst(Reply(Ask("syringes", "unknown-syringe", number=ml))) from None


def units(talk: Talk, said: say.Units) -> None:
    """What bare weights are in from now on, or which gallon is meant."""
    if said.system is not None:
        talk.change_farm(dataclasses.replace(talk.farm, unit_system=said.system))
    if said.gallon is not None:
        talk.change_farm(dataclasses.replace(talk.farm, gallon=said.gallon))
    talk.say(Noted("units", word=said.system or f"gallon-{said.gallon}"))


def gland_weight(talk: Talk, said: say.GlandWeight) -> None:
    """What one of the farm's glands weighs: a sheet that is being made ready follows."""
    if said.mg is None:
        raise AskFirst(Reply(Ask("gland-weight", "no-number")))
    talk.change_farm(dataclasses.replace(talk.farm, gland_mg=said.mg))
    talk.say(Noted("gland-weight", number=said.mg))
    _say_sheet_of_ready(talk)


def _say_sheet_of_ready(talk: Talk) -> None:
    ready = ready_run(talk)
    if ready is not None and ready.fish:
        say_sheet(talk, ready)


def dissolved(talk: Talk, said: say.VialDissolved) -> None:
    """A vial was dissolved: it is used within a day."""
    at = talk.moment(said.at, said.minutes_ago)
    talk.change_farm(dataclasses.replace(talk.farm, vial_dissolved_at=at))
    talk.say(Noted("vial-dissolved", at=at, next_at=at + dosing.DISSOLVED_LASTS))


def set_dose(talk: Talk, said: say.SetDose) -> None:
    """The farm's own dose, for the sheet that is being made ready and the ones after it. More than twice what
    is usual only with a reason."""
    if said.per_kg is None or said.unit is None:
        raise AskFirst(Reply(Ask("own-dose", "no-number")))
    ready = ready_run(talk)
    if ready is None or not ready.fish:
        raise AskFirst(Reply(Ask("weights", "no-sheet")))
    own = OwnDose(said.per_kg, said.unit)
    ready = _prepared(talk, ready, said)
    card, label = talk.card(ready), ready.strength
    try:
        over = dosing.over_twice(card, ready.preparation, label, own)
        dosing.rule_for(card, ready.preparation, "f", label, own)
    except NoFigure:
        raise AskFirst(Reply(Ask("label", "label-for-dose"))) from None
    except HatchError:
        fact = Ask("own-dose", "wrong-dose-unit", number=own.per_kg, words=ready.preparation)
        raise AskFirst(Reply(fact)) from None
    if over is not None:
        fact = Ask(
            "dose-reason", "over-twice", ready.number, number=over.per_kg, words=over.unit, limit=over.high
        )
        no = Button("no", say.Nothing("dose"), "no-change")
        raise AskFirst(Reply(fact, (no,)), pending(talk, "dose_reason", said))
    talk.tell(ready.number, SetUp(dose=own))
    kept = [each for each in talk.farm.doses if (each.species, each.preparation) != _of(ready)]
    talk.change_farm(dataclasses.replace(talk.farm, doses=(*kept, FarmDose(*_of(ready), own))))
    say_sheet(talk, talk.run(ready.number))


def _prepared(talk: Talk, run: Run, said: say.SetDose) -> Run:
    if said.preparation in (None, run.preparation):
        return run
    talk.tell(run.number, set_up_for(talk, run.species, said.preparation or run.preparation))
    return talk.run(run.number)


def _of(run: Run) -> tuple[str, Preparation]:
    return run.species, run.preparation


def dose_reason(talk: Talk, said: say.DoseReason) -> None:
    """A dose of more than twice what is usual, signed with its reason: it stays with this run alone."""
    wanted, ready = waited(talk, say.SetDose, "dose_reason"), ready_run(talk)
    if wanted is None or wanted.per_kg is None or wanted.unit is None or ready is None:
        raise AskFirst(Reply(Ask("not-understood", "")))
    own = OwnDose(wanted.per_kg, wanted.unit, said.words[:MOST_WORDS])
    talk.tell(ready.number, SetUp(dose=own))
    say_sheet(talk, talk.run(ready.number))


def usual_dose(talk: Talk, said: say.UsualDose) -> None:
    """The card's dose again."""
    run = talk.run(said.run_number)
    kept = tuple(each for each in talk.farm.doses if (each.species, each.preparation) != _of(run))
    talk.change_farm(dataclasses.replace(talk.farm, doses=kept))
    talk.tell(run.number, set_up_for(talk, run.species, run.preparation))
    say_sheet(talk, talk.run(run.number))
