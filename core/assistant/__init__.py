"""The front door: a command and what lies on the desk -> what to say and what to write down.

`decide` is pure. A message is read by `core.reading` before, a press carries its command already; bells that
come due and runs that end are decided here too. Handlers live beside this file by theme; `choosing` finds
which run, group, batch or bell is meant.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from typing import Any

from core import commands as say
from core import crew
from core.assistant import (
    answering,
    bathing,
    bells,
    bottles,
    bowls,
    brood,
    broodbook,
    collecting,
    correcting,
    costs,
    counts,
    doses,
    fry,
    habits,
    hours,
    importing,
    injecting,
    kit,
    looking,
    measures,
    mending,
    ordering,
    papers,
    people,
    questions,
    repeats,
    scoops,
    stocking,
    vessels,
    water,
    wentin,
    why,
)
from core.assistant.card import result_fact
from core.assistant.choosing import check_run_named, is_named, pending
from core.assistant.importing import OF_IMPORT
from core.assistant.people import which_farm
from core.assistant.settling import possible, settled
from core.assistant.talk import (
    AskFirst,
    Decision,
    Desk,
    Figured,
    Knowledge,
    Notice,
    Paper,
    Pin,
    Talk,
    local_zone,
)
from core.errors import HatchError, NoFigure
from core.records import Farm, Person, RunRow
from core.replies import Ask, Button, Noted, Refused, Reply, Result, RunPaper

__all__ = [
    "OF_IMPORT",
    "Decision",
    "Desk",
    "Figured",
    "Knowledge",
    "Notice",
    "Paper",
    "bells",
    "card_of",
    "decide",
    "decide_edit",
    "greet_newcomer",
    "join",
    "keep",
    "local_zone",
    "run_paper",
    "which_farm",
    "why",
]

HANDLERS: dict[type[Any], Callable[[Talk, Any], None]] = {
    say.Weigh: doses.weigh,
    say.Prepared: injecting.prepared,
    say.Temperature: water.temperature,
    say.Injection: hours.injection,
    say.Strip: bowls.stripped,
    say.EggCount: counts.egg_count,
    say.Fertilised: counts.fertilised,
    say.Hatched: counts.hatched,
    say.LarvaeCount: measures.larvae_count,
    say.SetMeasure: measures.set_measure,
    say.LarvaeWere: fry.larvae_were,
    say.SampleSize: fry.sample_size,
    say.Bath: bathing.bath,
    say.SetScoop: bathing.set_scoop,
    say.SetBottle: scoops.set_bottle,
    say.Stock: stocking.stock,
    say.Question: questions.question,
    say.Finished: answering.done,
    say.NotYetSaid: answering.not_yet,
    say.Cancel: mending.cancel,
    say.Help: habits.help_text,
    say.Begin: habits.help_text,
    say.Greeting: habits.greeting,
    say.Snooze: answering.snooze,
    say.Plan: doses.plan_at,
    say.Death: looking.died,
    say.Spawned: answering.eggs_seen,
    say.Collect: collecting.collected,
    say.AskVessels: vessels.vessels,
    say.AskMilt: vessels.milt,
    say.AskBrood: brood.brood,
    say.MaleCut: looking.male_cut,
    say.TellFish: broodbook.told,
    say.LoseFish: broodbook.lost,
    say.GiveTag: broodbook.give_tag,
    say.Label: doses.label,
    say.Zone: habits.zone,
    say.Basis: bathing.basis,
    say.Syringes: kit.syringes,
    say.GlandWeight: kit.gland_weight,
    say.Units: kit.units,
    say.VialDissolved: kit.dissolved,
    say.SetDose: kit.set_dose,
    say.DoseReason: kit.dose_reason,
    say.UsualDose: kit.usual_dose,
    say.Order: ordering.order,
    say.Trouble: habits.trouble,
    say.Sold: measures.sold,
    say.Expense: costs.expense,
    say.SpentOn: costs.spent_on,
    say.Bottle: bottles.bottle,
    say.BottleGone: bottles.gone,
    say.BottleLeft: bottles.left,
    say.BottleDays: bottles.days,
    say.FromBottle: bottles.from_bottle,
    say.OfBottle: bottles.of_bottle,
    say.AnotherBottle: bottles.another,
    say.DrawFrom: bottles.draw_from,
    say.BookBell: bottles.book_bell,
    say.Undo: mending.undo,
    say.Why: why.why,
    say.EggsRunning: looking.eggs_run,
    say.StepSaid: answering.step_said,
    say.StartRun: doses.start,
    say.ChangeRun: doses.change,
    say.AskAgain: habits.ask_again,
    say.AgreePlan: doses.agree,
    say.MovePlan: doses.move,
    say.InjectNow: injecting.inject_now,
    say.NotGiven: mending.not_given,
    say.LeftOut: doses.leave_out,
    say.Reweigh: doses.reweigh,
    say.ShiftTime: hours.shift,
    say.StopLooking: looking.stop_looking,
    say.StrippingNow: looking.stripping_now,
    say.SkipStep: answering.skip,
    say.SetBathHabit: habits.bath_habit,
    say.CountWasOf: counts.count_was_of,
    say.TellSex: doses.tell_sex,
    say.WhoseEggs: bowls.whose_eggs,
    say.EggsWere: bowls.eggs_were,
    say.Nothing: habits.nothing,
    crew.Invite: people.invite,
    crew.RevokeLinks: people.revoke,
    crew.Leave: people.leave,
    crew.Remove: people.remove,
    crew.HandOver: people.hand_over,
    crew.OnDuty: people.on_duty,
    crew.AskCrew: people.who,
    crew.PrivateBells: people.private_bells,
    crew.Export: people.export,
    crew.DeleteFarm: people.delete,
    crew.SwitchFarm: people.switch_farm,
    crew.Admit: people.admit,
    crew.SendAway: people.send_away,
    crew.OfferFarm: people.offer,
    crew.TakeFarm: people.take,
    crew.SetDuty: people.set_duty,
    crew.SurelyDelete: people.surely_delete,
    crew.RestoreFarm: people.restore,
    say.TrialBell: habits.trial,
    say.ImportNotebook: importing.import_notebook,
    say.UndoImport: importing.undo_import,
}


NAMING_A_SPECIES = (
    say.Order,
    say.Stock,
    say.Bath,
    say.EggCount,
    say.Collect,
    say.AskVessels,
    say.AskMilt,
    say.AskBrood,
)


def decide(command: say.Command | say.Understood, desk: Desk, knowledge: Knowledge) -> Decision:
    """What to answer to a command, and what to write down. Never raises for what a person may say."""
    talk = Talk(desk, knowledge)
    if isinstance(command, say.Understood):
        parts: tuple[say.Command, ...] = (command.main, *command.also)
    else:
        parts = (command,)
    for part in _water_first(parts):
        mark = talk.mark()
        _guarded(talk, part)
        people.hold_reader(talk, mark, part)
    counts.close_if_over(talk)
    if not talk.replies:
        talk.say(Noted("kept"))
    return talk.decision()


def _water_first(parts: tuple[say.Command, ...]) -> list[say.Command]:
    """The water told beside an injection counts for its window, and is not asked for."""
    injected = any(isinstance(part, say.Injection) for part in parts)
    return sorted(parts, key=lambda part: injected and not isinstance(part, say.Temperature))


def decide_edit(said: say.Understood, desk: Desk, knowledge: Knowledge) -> Decision:
    """What to do about a message that was edited: its old telling is replaced by the new one."""
    talk = Talk(desk, knowledge)
    if people.stopped(talk, said.main):
        return talk.decision()
    mark = talk.mark()
    _try(talk, lambda: mending.edited(talk, said, _answer))
    for part in said.also:
        _guarded(talk, part)
    people.hold_reader(talk, mark, said.main)
    counts.close_if_over(talk)
    return talk.decision()


def greet_newcomer(person: int, name: str, desk: Desk, knowledge: Knowledge) -> Decision:
    """Somebody who does not belong to the group's farm spoke: the founder is asked."""
    talk = Talk(desk, knowledge)
    people.put_to_founder(talk, person, name)
    return talk.decision()


def join(role: crew.Invited, desk: Desk, knowledge: Knowledge) -> Decision:
    """Whoever speaks opened a link of the farm."""
    talk = Talk(desk, knowledge)
    people.joined(talk, role)
    return talk.decision()


def card_of(row: RunRow, farm: Farm, knowledge: Knowledge) -> Result:
    """A run's card, worked out of its row by what the farm and the cards know; nobody asks."""
    at = row.begun_at
    desk = Desk(farm, Person(0, ""), said_at=at, now=at, source="", next_event=1, next_run=1)
    return result_fact(Talk(desk, knowledge), row)


def run_paper(number: int, desk: Desk, knowledge: Knowledge) -> RunPaper:
    """What stands on the page of a run. Raises `HatchError`."""
    return papers.run_paper(Talk(desk, knowledge), number)


def keep(what: str, text: str, desk: Desk, knowledge: Knowledge) -> Decision:
    """A photo or paper is kept with the open run."""
    talk = Talk(desk, knowledge)
    mark = talk.mark()
    if not people.stopped(talk, say.Finished()):
        habits.kept_with_run(talk, what, text)
    people.hold_reader(talk, mark, say.Finished())
    return talk.decision()


def _guarded(talk: Talk, command: say.Command) -> None:
    _try(talk, lambda: _answer(talk, command))


def _try(talk: Talk, act: Callable[[], None]) -> None:
    """A handler that must ask first, or has no figure, says so; what it decided until then is taken back."""
    mark = talk.mark()
    try:
        act()
    except AskFirst as asked:
        talk.return_to(mark)
        talk.replies.append(asked.reply)
        talk.awaiting = asked.awaiting or talk.awaiting
    except NoFigure as fault:  # what was told is true whatever nobody published
        talk.say(Refused("no-figure", words=fault.code))
    except HatchError as fault:
        talk.return_to(mark)
        known = tuple(talk.knowledge.cards) if fault.code == "unknown-species" else ()
        talk.say(Refused(fault.code, words=", ".join(map(str, fault.params.values())), known=known))


def _answer(talk: Talk, command: say.Command) -> None:
    if people.stopped(talk, command) or repeats.crossed(talk, command) or bottles.answers_bell(talk, command):
        return
    if isinstance(getattr(command, "at", None), str):
        talk.need_clock(command)
    match command:
        case say.Undo() if talk.farm.goes_at is not None:
            people.restore(talk, command)
        case say.Unclear():
            _unclear(talk, command)
        case say.Correction():
            correcting.correct(talk, command, _answer)
        case say.Pick():
            talk.pinned = Pin(command.run_number, command.group, command.batch)
            talk.sure = command.sure
            _answer(talk, command.said)
        case say.Weigh() if not command.fish and talk.desk.awaiting and talk.desk.awaiting.pending:
            _go_on(talk, command, talk.desk.awaiting)
        case say.Zone():
            habits.zone(talk, command)
            _go_on_by_the_clock(talk)
        case say.Begin() if any(run.state == "draft" for run in talk.live()):
            doses.start(talk, say.StartRun(next(r for r in talk.live() if r.state == "draft").number))
        case _:
            HANDLERS[type(command)](talk, command)


def _go_on_by_the_clock(talk: Talk) -> None:
    """The farm's clock is known now: what waited for it goes on."""
    waited = talk.desk.awaiting
    if waited is None or waited.about != "zone" or not talk.farm.clock_told:
        return
    talk.source = waited.source or talk.source
    for told in waited.pending:
        _answer(talk, told)


def _go_on(talk: Talk, named: say.Weigh, waited: say.Awaiting) -> None:
    """A species was named that something waited for: weights, an order, a question, or the run it is of."""
    first, *rest = waited.pending
    talk.source = waited.source or talk.source
    if (isinstance(first, say.Weigh) and first.fish) or isinstance(first, NAMING_A_SPECIES):
        first = dataclasses.replace(first, species=named.species, species_word=named.species_word)
    elif isinstance(first, say.Question):
        first = dataclasses.replace(first, species=next(iter(doses.species_meant(talk, named)), None))
    else:
        talk.pinned = Pin(doses.run_meant(talk, named))
    _answer(talk, first)
    talk.source = talk.desk.source
    for told in rest:
        _answer(talk, told)


def _lacks_its_figure(act: say.Act) -> bool:
    """Eggs in buckets: what is meant is plain, and how much it is nobody knows."""
    return isinstance(act, say.Collect) and act.litres is None and act.eggs_per_ml is None


MOST_CANDIDATES = 4
FIGURE_ASKED = {
    "weigh": "weights",
    "temperature": "water",
    "injected": "injected-time",
    "stripped": "grams",
    "fertilised": "fertilised",
    "hatched": "hatched",
    "label": "label",
    "bath": "bath-for",
    "collected": "collected",
}


def _ask_figure(talk: Talk, act: say.Act) -> None:
    """What is meant is plain, and only the figure is missing: it is asked, and a bare number is it."""
    if isinstance(act, say.Weigh) and (act.species or act.species_word):
        _answer(talk, act)
        return
    if isinstance(act, say.Injection) and (act.tags or act.sex):
        raise wentin.ask_how_much(talk, act, "no-number")
    about = FIGURE_ASKED.get(act.kind, "not-understood")
    if about == "grams" and talk.live() and all(run.way != "stripped" for run in talk.live()):
        talk.say(Ask("spawned", "nest-looked"))
        return
    check_run_named(talk, act)
    words = getattr(act, "run", None)
    named = [run for run in talk.live() if words and is_named(talk, run, words)]
    run, called = (named[0].number, talk.called(named[0])) if len(named) == 1 else (0, "")
    if about != "not-understood":
        talk.expect(act.kind, run)
    why = "ambiguous-unit" if _lacks_its_figure(act) else "no-number"
    talk.say(Ask(about, why, run, called))


def _unclear(talk: Talk, said: say.Unclear) -> None:
    """What the state of the run settles, else one short question with a button for each candidate."""
    if said.candidates == (say.Finished(only_ok=True),):
        answering.ok(talk, said.candidates[0])
        return
    if (one := people.plainly_of_the_crew(talk, said) or settled(talk, said)) is not None:
        _answer(talk, one)
        return
    if said.candidates and (said.why == "no_number" or _lacks_its_figure(said.candidates[0])):
        _ask_figure(talk, said.candidates[0])
        return
    ways = possible(talk, said)[:MOST_CANDIDATES] if talk.live() else said.candidates[:MOST_CANDIDATES]
    about = ways[0].kind.replace("_", "-") if ways else "not-understood"
    buttons = tuple(Button(f"pick:{n}", say.Pick(one), "candidate") for n, one in enumerate(ways, 1))
    talk.replies.append(Reply(Ask(about, said.why.replace("_", "-"), candidates=ways), buttons))
    if len(ways) == 1 and isinstance(ways[0], say.Weigh) and ways[0].fish and not ways[0].species:
        talk.awaiting = pending(talk, "species", ways[0])  # naming it says yes: the sheet shows them
