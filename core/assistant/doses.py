"""Weights, dose sheets, the proposed hour and the plan of the night."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from datetime import datetime, timedelta

from core import commands as say
from core import dosing, forecasts, reminders, timing
from core.assistant import shelf
from core.assistant.cautions import step_cautions
from core.assistant.choosing import (
    known_fish,
    paper_button,
    pending,
    places,
    run_for,
    species_for,
    waited,
    word_fits,
)
from core.assistant.talk import AskFirst, Talk
from core.assistant.windows import ALARM_BEFORE
from core.drawing import Making
from core.errors import HatchError, NoFigure
from core.records import (
    OWN_MASS,
    FishLeftOut,
    FishWeighed,
    FishWeight,
    Opened,
    OwnDose,
    Planned,
    Preparation,
    Retagged,
    Run,
    SetUp,
    Sex,
    Strength,
    Which,
)
from core.replies import (
    Ask,
    Button,
    DoseSheet,
    Hold,
    InjectPlan,
    NightPlan,
    Noted,
    OwnWeight,
    PlanTime,
    Refused,
    Reply,
    WaterOutside,
)
from core.runs import LOOKS, NO_BELLS, fish_of, free_tag, group_of, look_step, plain_tag
from core.species import Card

FRESH = timedelta(hours=12)
AWAKE_FROM, AWAKE_TO = 4.5, 20.0
SLEEP_BEGINS, SLEEP_ENDS = 22.0, AWAKE_FROM
STEP_OF: Mapping[Which, str] = {"priming": "prime", "resolving": "inject", "only": "inject"}


# Weighing -------------------------------------------------------------------------------------------------


def weigh(talk: Talk, said: say.Weigh) -> None:
    """Fish on the scale: into the run that is being made ready, else into a new one."""
    run = _being_made_ready(talk, said)
    if not said.fish:
        _species_alone(talk, said, run)
        return
    if not talk.sure:
        _check_again(talk, said, run)
    species, others = (run.species, ()) if run else _species(talk, said)
    check_weights(talk, said.fish, species)
    number = run.number if run else _opened(talk, species, _preparation_told(talk, said))
    if run and said.preparation not in (None, run.preparation):
        talk.tell(number, set_up_for(talk, run.species, said.preparation or run.preparation))
    taken = [fish.tag for fish in run.fish] if run else []
    fish = tuple(_named(said, taken))
    talk.tell(number, FishWeighed(fish, said.place))
    say_sheet(talk, talk.run(number), others, ("read-as-grams",) if said.grams else ())


def _species_alone(talk: Talk, said: say.Weigh, run: Run | None) -> None:
    """Only a species was named: the run being made ready is of that species, else its weights are asked."""
    slug = said.species or next(iter(word_fits(talk, said.species_word)), None)
    ready = run or ready_run(talk)
    others = [each for each in talk.live() if each != ready and each.species in species_meant(talk, said)]
    if slug and ready and ready.species != slug and others:
        change_it = say.ChangeRun(ready.number, species=slug)
        buttons = (
            Button("yes", change_it, "change-sheet", (("species", slug),)),
            Button("no", say.Nothing("species"), "no-change"),
        )
        fact = Ask("change-sheet", "run-of-it", ready.number, words=slug)
        raise AskFirst(Reply(fact, buttons))
    if slug and ready:
        change(talk, say.ChangeRun(ready.number, species=slug))
        return
    if said.species_word and not slug:
        raise HatchError("unknown-species", species=said.species_word)
    raise AskFirst(Reply(Ask("weights", "asked", words=slug or "")), pending(talk, "weigh", said))


def _check_again(talk: Talk, said: say.Weigh, run: Run | None) -> None:
    """The same weights twice may be a repeat; weights of injected fish by name may be a correction."""
    if run is not None and len(said.fish) > 1 and not any(fish.tag for fish in said.fish):
        _check_same_fish(talk, said, run)
    for injected in (each for each in talk.live() if each.groups and run is None):
        tags = [fish.tag for fish in said.fish]
        if all(tag and fish_of(injected, tag) for tag in tags):
            buttons = (
                Button("pick:1", say.Pick(say.Correction(said), injected.number), "mend-weight"),
                Button("pick:2", say.Pick(said, sure=True), "new-run"),
            )
            fact = Ask("new-run", "already-injected", injected.number, at=injected.groups[0].first_at)
            raise AskFirst(Reply(fact, buttons))


def _check_same_fish(talk: Talk, said: say.Weigh, run: Run) -> None:
    """The same line again, or with a weight mended, is most often no more fish."""
    known = [(fish.sex, fish.kg) for fish in run.fish]
    same = sum((fish.sex, fish.kg) in known for fish in said.fish)
    more = Button("yes", say.Pick(said, run.number, sure=True), "more-fish")
    if same == len(said.fish):
        buttons = (more, Button("no", say.Nothing("weights"), "same-fish"))
        raise AskFirst(Reply(Ask("more-fish", "same-again", run.number, talk.called(run)), buttons))
    alike = sorted(str(fish.sex) for fish in said.fish) == sorted(str(fish.sex) for fish in run.fish)
    if alike and same and 2 * same >= len(said.fish):
        buttons = (Button("pick:1", say.Reweigh(said, run.number), "instead"), more)
        raise AskFirst(Reply(Ask("instead", "almost-the-same", run.number, talk.called(run)), buttons))


def reweigh(talk: Talk, said: say.Reweigh) -> None:
    """These weights in the place of those told before."""
    run = _not_injected(talk, said.run_number)
    check_weights(talk, said.said.fish, run.species)
    talk.tell(run.number, FishLeftOut(tuple(fish.tag for fish in run.fish)))
    talk.tell(run.number, FishWeighed(tuple(_named(said.said, [])), said.said.place))
    say_sheet(talk, talk.run(run.number))


def _being_made_ready(talk: Talk, said: say.Weigh) -> Run | None:
    """The run these fish belong to: the newest one that is not injected and was spoken of today."""
    ready = [
        run
        for run in talk.live()
        if not run.groups
        and not run.batches
        and _may_be_of(talk, said, run)
        and talk.desk.said_at - run.last_word_at <= FRESH
    ]
    return ready[-1] if ready else None


def _may_be_of(talk: Talk, said: say.Weigh, run: Run) -> bool:
    """Whether the species named, if any, is that of the run."""
    return not (said.species or said.species_word) or run.species in species_meant(talk, said)


def _opened(talk: Talk, slug: str, preparation: Preparation | None) -> int:
    card = talk.card_of(slug)
    chosen = preparation or card.usual_preparation
    number = talk.new_run()
    talk.tell(number, Opened(slug, card.ways[0], chosen, *dosing.bottle(chosen, talk.farm.strength)))
    own = own_dose_of(talk, slug, chosen)
    if own is not None:
        talk.tell(number, SetUp(dose=own))
    return number


def own_dose_of(talk: Talk, slug: str, preparation: Preparation) -> OwnDose | None:
    """The farm's own dose of a preparation for a species."""
    told = [each for each in talk.farm.doses if (each.species, each.preparation) == (slug, preparation)]
    return told[-1].dose if told else None


def set_up_for(talk: Talk, slug: str, preparation: Preparation) -> SetUp:
    """A run with that preparation, from the farm's own bottle and by its own dose where these were told."""
    strength, assumed = dosing.bottle(preparation, talk.farm.strength)
    own = own_dose_of(talk, slug, preparation)
    return SetUp(preparation=preparation, strength=strength, strength_assumed=assumed, dose=own)


def _preparation_told(talk: Talk, said: say.Weigh) -> Preparation | None:
    """What is injected, told with the weights or before them."""
    waiting = talk.desk.awaiting.pending if talk.desk.awaiting else ()
    before = [one.preparation for one in waiting if isinstance(one, say.Weigh)]
    return said.preparation or next(filter(None, before), None)


def prepare(talk: Talk, said: say.Prepared) -> None:
    """What is injected: the sheet that is being made ready follows, else the weights are asked."""
    ready = ready_run(talk)
    if ready is None:
        waits = pending(talk, "weigh", say.Weigh(preparation=said.preparation))
        raise AskFirst(Reply(Ask("weights", "asked")), waits)
    change(talk, say.ChangeRun(ready.number, preparation=said.preparation))


def _species(talk: Talk, said: say.Weigh) -> tuple[str, tuple[str, ...]]:
    """The species of these fish, named now or before them, and what else it may be. Asks a stranger."""
    before = None if said.species_word else waited(talk, say.Weigh, "weigh")
    named = before or said
    return species_for(talk, said, named.species, named.species_word, lambda slug: _fits(talk, said, slug))


def _fits(talk: Talk, said: say.Weigh, slug: str) -> bool:
    return not any(_implausible(talk, said.fish, slug))


def species_meant(talk: Talk, said: say.Weigh) -> tuple[str, ...]:
    """The species named outright, or those its word fits: "the catfish"."""
    return (said.species,) if said.species else word_fits(talk, said.species_word)


def run_meant(talk: Talk, said: say.Weigh) -> int:
    """The run that a species or place alone names; 0 where there is none."""
    fitting, place = species_meant(talk, said), (said.place or "").lower()
    named = [
        run.number
        for run in talk.live()
        if run.species in fitting or place in [each.lower() for each in places(run)]
    ]
    return named[0] if len(named) == 1 else 0


def check_weights(talk: Talk, told: Iterable[say.Weighed], slug: str) -> None:
    """A weight no brood fish of the species has is asked about: a lost decimal point is never mended here."""
    for kg in _implausible(talk, told, slug):
        raise AskFirst(Reply(Ask("weights", "implausible", number=kg, words=slug)))


def _implausible(talk: Talk, told: Iterable[say.Weighed], slug: str) -> Iterator[float]:
    """The weights that no brood fish of the species has."""
    card = talk.card_of(slug)
    for fish in told:
        figure = card.male_kg if fish.sex == "m" else card.female_kg
        if fish.kg is not None and not figure.low <= fish.kg <= figure.high:
            yield fish.kg


def _named(said: say.Weigh, taken: list[str]) -> list[FishWeight]:
    """The fish with their tags: the farm's own, else F1, F2, M1, X1 in order of mention."""
    names = [*taken, *(fish.tag for fish in said.fish if fish.tag)]
    named: list[FishWeight] = []
    for fish in said.fish:
        if fish.kg is None:
            continue
        if fish.tag is None:
            tag = free_tag(fish.sex, names)
            names.append(tag)
        else:
            tag = next((each for each in taken if plain_tag(each) == plain_tag(fish.tag)), fish.tag)
        named.append(FishWeight(tag, fish.sex, fish.kg))
    return named


def leave_out(talk: Talk, said: say.LeftOut) -> None:
    """Fish that take no part after all; one that was injected stays what it is."""
    run = run_for(talk, said, lambda each: bool(each.fish), words=said.run, tags=said.tags)
    fish = [known_fish(talk, run, tag) for tag in said.tags]
    given = [shot.at for each in fish for shot in each.shots]
    if given:
        raise AskFirst(Reply(Refused("already-injected", at=max(given))))
    tags = tuple(each.tag for each in fish)
    event = talk.tell(run.number, FishLeftOut(tags))
    undo = Button("undo", say.Undo((event.id,)), "undo")
    talk.say(Noted("left-out", run.number, talk.called(run), tags=tags), undo)
    now = talk.run(run.number)
    if now.fish and not now.groups:
        say_sheet(talk, now)


def tell_sex(talk: Talk, said: say.TellSex) -> None:
    """The sex of a fish that was weighed without one; its tag follows where it was ours."""
    run = talk.run(said.run_number)
    fish = fish_of(run, said.tag)
    if fish is None:
        talk.say(Refused("no-such-fish", words=said.tag))
        return
    ours = fish.tag.startswith("X")
    new_tag = free_tag(said.sex, [each.tag for each in run.fish]) if ours else None
    talk.tell(run.number, Retagged(fish.tag, new_tag, said.sex))
    say_sheet(talk, talk.run(run.number))


# The sheet ------------------------------------------------------------------------------------------------


def doses_of(talk: Talk, run: Run) -> dosing.Doses:
    """The doses of the run's fish. Raises `NoFigure` where the card or label gives none."""
    fish = [FishWeight(each.tag, each.sex, each.kg) for each in run.fish]
    card = talk.card(run)
    given = forecasts.primings_given(run, (each.tag for each in run.fish))
    return dosing.doses(
        fish,
        card,
        run.preparation,
        run.strength,
        male_dose=run.male_dose,
        primings=max(given, forecasts.primings_planned(run, card)),
        strength_assumed=run.strength_assumed,
        syringes=talk.farm.syringes,
        own=run.dose,
    )


def lines_by_tag(talk: Talk, run: Run) -> dict[str, dosing.DoseLine]:
    """Each fish's line of the sheet; none where nobody published a dose or the label gives none."""
    try:
        return {line.tag: line for line in doses_of(talk, run).lines}
    except NoFigure:
        return {}


def makings_of(talk: Talk, run: Run, priming: bool) -> tuple[Making, ...]:
    """What is mixed before this injection; nothing where there is no dose."""
    try:
        made = doses_of(talk, run).makings
    except NoFigure:
        return ()
    return tuple(each for each in made if each.role == "" or (each.role == "priming") is priming)


def sheet(talk: Talk, run: Run) -> DoseSheet:
    """The dose sheet of a run as it stands; without doses where nobody published one."""
    try:
        worked = doses_of(talk, run)
    except NoFigure:
        return _sheet_without(talk, run)
    return DoseSheet(
        run=run.number,
        called=talk.called(run),
        species=run.species,
        way=run.way,
        preparation=run.preparation,
        strength=run.strength,
        strength_assumed=run.strength_assumed,
        ml_per_kg=worked.ml_per_kg,
        per_kg=worked.per_kg,
        unit=worked.unit,
        fish=worked.lines,
        total_ml=worked.total_ml,
        draw_ml=worked.draw_ml,
        total=worked.total,
        make=worked.make,
        syringe_ml=worked.syringe_ml,
        graduation_ml=worked.graduation_ml,
        warnings=(*(code for code in worked.warnings if code != "one-male"), *_vial_warnings(talk, run)),
        basis=worked.basis,
        mark=worked.mark,
        makings=worked.makings,
        vials=worked.vials,
        glands=_glands(talk, run, worked),
        own=run.dose,
        weights=_own_weights(talk, run),
    )


def _own_weights(talk: Talk, run: Run) -> tuple[OwnWeight, ...]:
    """The weights as the farm's scale shows them, where it shows no kg."""
    if talk.farm.unit_system not in OWN_MASS:
        return ()
    unit, kg = OWN_MASS[talk.farm.unit_system]
    return tuple(OwnWeight(fish.tag, round(fish.kg / kg, 2), unit) for fish in run.fish)


def _vial_warnings(talk: Talk, run: Run) -> Iterator[str]:
    """Whether a dissolved vial is too old for this run."""
    since = talk.farm.vial_dissolved_at
    of_vial = bool(dosing.PREPARATIONS[run.preparation].volume)
    if of_vial and since is not None and talk.desk.now - since > dosing.DISSOLVED_LASTS:
        yield "vial-old"


def _glands(talk: Talk, run: Run, worked: dosing.Doses) -> int | None:
    """How many of the farm's own glands weigh what is needed."""
    if run.preparation != "pituitary" or talk.farm.gland_mg is None or worked.make is None:
        return None
    return math.ceil(round(worked.make / talk.farm.gland_mg, 6))


def _sheet_without(talk: Talk, run: Run) -> DoseSheet:
    """The weights alone: nobody published a dose of this preparation."""
    return DoseSheet(
        run=run.number,
        called=talk.called(run),
        species=run.species,
        way=run.way,
        preparation=run.preparation,
        strength=run.strength,
        strength_assumed=run.strength_assumed,
        ml_per_kg=None,
        fish=tuple(dosing.DoseLine(each.tag, each.sex, each.kg, None, None, None) for each in run.fish),
        total_ml=None,
        draw_ml=None,
        syringe_ml=None,
        graduation_ml=None,
        warnings=("no-dose-figure",),
        weights=_own_weights(talk, run),
    )


def say_sheet(
    talk: Talk, run: Run, alternatives: tuple[str, ...] = (), cautions: tuple[str, ...] = ()
) -> None:
    """The sheet with its buttons: Start names species and strength, other species and bottle beside it."""
    fact = sheet(talk, run)
    cautions += talk.once(0, "gloves") + step_cautions(talk, run, "weigh")
    if sum(fish.sex == "m" for fish in run.fish) == 1:
        cautions += talk.once(run.number, "one-male")
    unsexed = [fish.tag for fish in run.fish if fish.sex is None]
    if any(fish.sex == "m" for fish in run.fish) and run.way == "stripped" and talk.card(run).male_cut:
        cautions += talk.once(run.number, "cut-after-eggs")
    cautions += shelf.cautions(talk, run, fact.make if fact.draw_ml is None else fact.draw_ml)
    talk.say(
        fact, *_sheet_buttons(talk, run, fact, alternatives), asks="sex" if unsexed else "", cautions=cautions
    )


def _sheet_buttons(talk: Talk, run: Run, fact: DoseSheet, alternatives: tuple[str, ...]) -> list[Button]:
    unsexed = [fish.tag for fish in run.fish if fish.sex is None]
    if unsexed:
        sexes: tuple[Sex, ...] = ("f", "m")
        return [
            Button(
                f"answer:{sex}",
                say.TellSex(run.number, unsexed[0], sex),
                f"sex-{sex}",
                (("tag", unsexed[0]),),
            )
            for sex in sexes
        ]
    if run.groups:
        return []
    buttons: list[Button] = []
    if run.planned is None:
        buttons.append(_start_button(run))
    buttons += [
        Button(
            f"pick:{place}", say.ChangeRun(run.number, species=slug), "other-species", (("species", slug),)
        )
        for place, slug in enumerate(alternatives[:3], 1)
    ]
    others = dict.fromkeys(rule.preparation for rule in talk.card(run).doses if rule.sex == "f")
    buttons += [
        Button(
            f"change:{other}", say.ChangeRun(run.number, preparation=other), "with", (("preparation", other),)
        )
        for other in others
        if other != run.preparation
    ]
    other_ways = [way for way in talk.card(run).ways if way != run.way]
    buttons += [
        Button(f"change:{way}", say.ChangeRun(run.number, way=way), f"way-{way}") for way in other_ways
    ]
    if "male-optional" in fact.warnings:
        buttons.append(
            Button("change:no-male-dose", say.ChangeRun(run.number, male_dose=False), "no-male-dose")
        )
    if run.dose is not None:
        buttons.append(Button("change:usual-dose", say.UsualDose(run.number), "usual-dose"))
    if dosing.PREPARATIONS[run.preparation].label:
        buttons.append(Button("change", say.AskAgain("label", run.number), "other-bottle"))
    buttons.append(Button("cancel", say.Cancel(run_number=run.number), "cancel"))
    return buttons


def _start_button(run: Run) -> Button:
    """Species and bottle stand on it; where no label is known, the preparation."""
    args: tuple[tuple[str, str | float], ...] = (("species", run.species),)
    told = run.strength
    if told is None:
        return Button(
            "start", say.StartRun(run.number), "start-with", (*args, ("preparation", run.preparation))
        )
    return Button("start", say.StartRun(run.number), "start", (*args, *told.told.items()))


def change(talk: Talk, said: say.ChangeRun) -> None:
    """Another species, way, preparation, bottle or no dose for the male, before the injection."""
    run = _not_injected(talk, said.run_number)
    way, preparation = said.way, said.preparation
    if said.species and said.species != run.species:
        card = talk.card_of(said.species)
        way = card.ways[0]
        check_weights(talk, (say.Weighed(fish.sex, fish.kg, fish.tag) for fish in run.fish), said.species)
        if all(rule.preparation != run.preparation for rule in card.doses):
            preparation = preparation or card.usual_preparation
    talk.tell(run.number, SetUp(said.species, way, said.strength, said.male_dose))
    if preparation is not None:
        talk.tell(run.number, set_up_for(talk, said.species or run.species, preparation))
    now = talk.run(run.number)
    say_sheet(talk, now, (run.species,) if said.species else ())
    if now.planned is not None and (said.species or said.way or preparation):
        propose(talk, now)


def label(talk: Talk, said: say.Label) -> None:
    """What the bottle's label says: kept for the farm, and the sheet that is being made ready follows."""
    strength = Strength(said.ug_per_ml, said.mg_per_ml, said.iu_per_vial, said.diluent_ml)
    fault = dosing.plausible_label(strength)
    if fault:
        talk.expect("label")
        talk.say(
            Ask("label", fault, number=said.ug_per_ml, words=f"{said.mg_per_ml or 0:g}"),
            *(
                [Button("yes", say.ChangeRun(ready.number, strength=strength), "label-yes")]
                if (ready := ready_run(talk)) and fault == "label-unusual"
                else []
            ),
        )
        return
    known = dataclasses.replace(talk.farm.strength or Strength(), **strength.told)
    talk.change_farm(dataclasses.replace(talk.farm, strength=known))
    shelf.label_told(talk)
    ready = ready_run(talk)
    of_it = dosing.label_for(ready.preparation, strength) if ready else None
    if ready is None or of_it is None:
        talk.say(Noted("label", strength=strength))
        return
    talk.tell(ready.number, SetUp(strength=of_it))
    say_sheet(talk, talk.run(ready.number))


def _not_injected(talk: Talk, number: int) -> Run:
    """The run, while it can still be set up otherwise: after the injection that is refused."""
    run = talk.run(number)
    if run.groups:
        raise AskFirst(Reply(Refused("already-injected", at=run.groups[0].first_at)))
    return run


def ready_run(talk: Talk) -> Run | None:
    """The newest run that is not injected."""
    waiting = [run for run in talk.live() if not run.groups]
    return waiting[-1] if waiting else None


# The plan of the night ------------------------------------------------------------------------------------


def start(talk: Talk, said: say.StartRun) -> None:
    """Start on a sheet: one proposal for the hour of the injection."""
    talk.need_clock(said)
    run = _not_injected(talk, said.run_number)
    if run.strength_assumed and run.strength is not None:
        talk.tell(run.number, SetUp(strength=run.strength))
    if run.planned is not None and run.planned.final_at > talk.desk.now:
        say_plan(talk, run)
    else:
        propose(talk, run)


def propose(talk: Talk, run: Run, minutes: int = 0) -> None:
    """An hour at which eggs should run while people are awake, or the one before moved by `minutes`."""
    before = run.planned.final_at if run.planned else None
    if not (minutes and before):
        talk.tell(run.number, Planned(_good_hour(talk, run), agreed=False))
        say_plan(talk, talk.run(run.number))
        return
    soonest = forecasts.later_quarter(talk.desk.now + forecasts.lead(talk.card(run), run.preparation))
    wanted = before + timedelta(minutes=minutes)
    talk.tell(run.number, Planned(max(wanted, soonest), agreed=False))
    say_plan(talk, talk.run(run.number), no_earlier=wanted < soonest)


def _good_hour(talk: Talk, run: Run) -> datetime:
    """The first hour, by halves of the next day, at which looks and eggs fall where people are awake and no
    needle of several into sleep; where there is none, the first with the least of that."""
    first = forecasts.first_final(talk.card(run), run.preparation, talk.desk.now)
    best, least = first, _trouble(talk, run, first)
    for halves in range(1, 48):
        if not least:
            break
        at = first + halves * forecasts.HALF_HOUR
        if (trouble := _trouble(talk, run, at)) < least:
            best, least = at, trouble
    return best


def _trouble(talk: Talk, run: Run, final_at: datetime) -> int:
    """How much of a night falls into sleep: eggs weigh more than a needle."""
    try:
        window = _window(talk, run, final_at)
    except NoFigure:
        window = None
    asleep = window is not None and not awake(talk, window)
    return 2 * asleep + _shots_at_night(talk, run, final_at)


def _window(talk: Talk, run: Run, final_at: datetime) -> timing.Window | None:
    """When eggs should run, were the fish injected then; `None` in water that gives no hours.

    Raises `NoFigure` where nobody published any.
    """
    card = talk.card(run)
    return None if forecasts.held_before(run, card) else forecasts.if_injected(run, card, final_at)


def water_outside(talk: Talk, run: Run, place: str | None = None) -> WaterOutside | None:
    """The water of fish to be injected, where it gives no hours: of `place`, by default of any."""
    try:
        held = forecasts.held_before(run, talk.card(run), place)
    except NoFigure:
        return None
    return WaterOutside(held.why, held.celsius, held.resume_when) if held else None


def awake(talk: Talk, window: timing.Window) -> bool:
    """Whether looks and eggs fall where people are awake."""
    return AWAKE_FROM <= talk.hour(window.earliest) <= talk.hour(window.most_to) <= AWAKE_TO


def say_plan(talk: Talk, run: Run, *, no_earlier: bool = False) -> None:
    """The proposal: inject at, first look at; yes, earlier, later, or injected now. `no_earlier`: an earlier
    hour was asked for than there is."""
    if run.planned is None:
        return
    final_at = run.planned.final_at
    try:
        window = _window(talk, run, final_at)
    except NoFigure:
        talk.say(Refused("no-figure", words="strip"))
        return
    shots = forecasts.planned_shots(talk.card(run), run.preparation, final_at)
    primings = tuple(shot.at for shot in shots if shot.role == "priming")
    fact = InjectPlan(
        run=run.number,
        called=talk.called(run),
        way=run.way,
        strip_at=window.likely if window else None,
        priming_at=min(primings, default=None),
        final_at=final_at,
        first_look_at=window.earliest if window else None,
        most_from_at=window.most_from if window else None,
        most_to_at=window.most_to if window else None,
        primings=primings,
        awake=tuple(_in_the_night(talk, run, final_at, window)),
        outside=water_outside(talk, run),
        no_earlier=no_earlier,
    )
    talk.expect("plan", run.number)
    talk.say(
        fact,
        Button("yes", say.AgreePlan(run.number, final_at), "plan-yes"),
        Button("earlier", say.MovePlan(run.number, final_at, -30), "earlier"),
        Button("later", say.MovePlan(run.number, final_at, 30), "later"),
        Button("inject-now", say.InjectNow(run.number), "inject-now"),
    )


def is_night(talk: Talk, at: datetime) -> bool:
    """Whether people sleep at that hour."""
    return not SLEEP_ENDS <= talk.hour(at) <= SLEEP_BEGINS


def _shots_at_night(talk: Talk, run: Run, final_at: datetime) -> bool:
    """Whether a needle of several would fall into the hours of sleep; a single one is given at any hour."""
    shots = forecasts.planned_shots(talk.card(run), run.preparation, final_at)
    return len(shots) > 1 and any(is_night(talk, shot.at) for shot in shots)


def _in_the_night(
    talk: Talk, run: Run, final_at: datetime, window: timing.Window | None
) -> Iterator[PlanTime]:
    """What somebody must be awake for: each shot, and the looks while eggs may come."""
    look = look_step(run.way)
    shots = forecasts.planned_shots(talk.card(run), run.preparation, final_at)
    needles = [(STEP_OF[shot.role], shot.at) for shot in shots]
    looks = [(look, window.earliest), (look, window.most_to)] if window else []
    for step, at in (*needles, *looks):
        if is_night(talk, at) or (step != look and _wakes(talk, at)):
            yield PlanTime(step, at, about=step == look)


def agree(talk: Talk, said: say.AgreePlan) -> None:
    """Yes to the proposed hour: the plan of the whole night."""
    run = _not_injected(talk, said.run_number)
    if said.final_at <= talk.desk.now:
        propose(talk, run)
        return
    talk.tell(run.number, Planned(said.final_at, agreed=True))
    say_night(talk, talk.run(run.number))


def move(talk: Talk, said: say.MovePlan) -> None:
    """Earlier or later than proposed."""
    run = _not_injected(talk, said.run_number)
    propose(talk, run, said.minutes)


def plan_at(talk: Talk, said: say.Plan) -> None:
    """The farmer's own hour, of the injection or of the stripping."""
    given = [run.groups[0].first_at for run in talk.live() if run.groups]
    if given and all(run.groups for run in talk.live()):
        raise AskFirst(Reply(Refused("already-injected", at=given[-1])))
    run = run_for(talk, said, lambda each: not each.groups, words=said.run)
    if said.at is None:
        talk.expect("strip_hour", run.number)
        talk.say(Ask("strip-hour", "no-hour", run.number, talk.called(run)))
        return
    at = _coming(talk, said.at, said.day)
    if said.what == "strip":
        curve, _ = talk.card(run).strip_curve(run.preparation)
        if held := water_outside(talk, run):
            known = (held.why, held.celsius, held.resume_when)
            talk.say(Hold(run.number, talk.called(run), *known, ask_again_at=None, before=True))
            return
        water = forecasts.water_for_plan(run, talk.card(run))
        at = timing.start_for(curve, at, water).replace(second=0, microsecond=0)
        soonest = talk.desk.now + forecasts.lead(talk.card(run), run.preparation)
        if at < soonest:
            earliest = forecasts.if_injected(run, talk.card(run), soonest).likely
            talk.say(Refused("too-late-for-hour", at=forecasts.later_quarter(earliest)))
            return
    else:  # the needle that is spoken of is the first one
        at += forecasts.lead(talk.card(run), run.preparation)
    talk.tell(run.number, Planned(at, agreed=False))
    say_plan(talk, talk.run(run.number))


def _coming(talk: Talk, clock: str, day: str | None) -> datetime:
    """When that clock time comes next, or tomorrow where it was said so."""
    today = talk.clock(clock, talk.desk.said_at)
    if day != "tomorrow" and today > talk.desk.said_at:
        return today
    return talk.clock(clock, talk.desk.said_at + timedelta(days=1))


def say_night(talk: Talk, run: Run) -> None:
    """Every coming time of the run, to copy on the wall, with the phone alarms that belong to it."""
    fact = night_fact(talk, run)
    if fact is None:
        return
    cautions = talk.once(0, "phone-alarm")
    offer = [Button("answer:trial", say.TrialBell(run.number), "trial")] if cautions else []
    talk.say(fact, *offer, paper_button(run.number), cautions=cautions)


def night_fact(talk: Talk, run: Run) -> NightPlan | None:
    """Every coming time of the run, and its phone alarms; `None` where nothing is to come."""
    times = _times(talk, run)
    if not times:
        return None
    alarms = tuple(_alarms(talk, times))
    return NightPlan(run.number, talk.called(run), tuple(times), alarms[0], alarms)


def _alarms(talk: Talk, times: Sequence[PlanTime]) -> list[datetime]:
    """When phone alarms should ring: before each needle that falls into sleep, and before the first look."""
    needles = [each.at for each in times if each.step in STEP_OF.values() and _wakes(talk, each.at)]
    looks = [each.at for each in times if each.step in LOOKS]
    woken = {*needles, min(looks, default=times[0].at)} if looks or not needles else set(needles)
    return sorted(at - ALARM_BEFORE for at in woken)


def _wakes(talk: Talk, at: datetime) -> bool:
    """Whether most people still sleep, or sleep already, at that hour."""
    return is_night(talk, at) or talk.hour(at) < reminders.MORNING.hour


def _times(talk: Talk, run: Run) -> list[PlanTime]:
    """The first bell of each planned step, and about when the others would come, were it a usual night."""
    planned = reminders.plan(run, talk.card(run), talk.farm, talk.zone, talk.desk.now)
    times: list[PlanTime] = []
    for key, series in planned.items():
        if key.step not in NO_BELLS and series.bells:
            group = group_of(run, key.group)
            part = talk.part(run, group) if group else ""
            times.append(PlanTime(key.step, series.bells[0].due_at, called=part))
    told = {(each.step, each.called) for each in times}
    times += _more_needles(talk, run)
    times += [each for each in _usual_night(talk, run) if (each.step, each.called) not in told]
    return sorted(times, key=lambda each: each.at)


def _more_needles(talk: Talk, run: Run) -> Iterator[PlanTime]:
    """The shots after the next one, as the usual scheme goes on."""
    card = talk.card(run)
    if run.planned is not None and not run.groups:
        primings = forecasts.planned_shots(card, run.preparation, run.planned.final_at)[1:-1]
        yield from (PlanTime(STEP_OF[shot.role], shot.at) for shot in primings)
    for group in run.groups:
        for shot in forecasts.coming_shots(run, group, card)[1:]:
            yield PlanTime(STEP_OF[shot.role], shot.at, about=True, called=talk.part(run, group))


def _usual_night(talk: Talk, run: Run) -> Iterator[PlanTime]:
    """Look, eggs, count, larvae and food at their likely hours, while no eggs are told."""
    card = talk.card(run)
    if run.batches:
        return
    with suppress(NoFigure):
        for group in run.groups:
            if group.final_at is not None:
                window = forecasts.strip(run, group, card).window
                yield from _from_window(run, card, window, group.place, talk.part(run, group))
            elif coming := forecasts.coming_shots(run, group, card):
                window = forecasts.if_injected(run, card, coming[-1].at)
                yield from _from_window(run, card, window, group.place, talk.part(run, group))
        if run.planned is not None and not run.groups:
            yield from _from_window(run, card, forecasts.if_injected(run, card, run.planned.final_at))


def _from_window(
    run: Run, card: Card, window: timing.Window, place: str = "", called: str = ""
) -> Iterator[PlanTime]:
    look, eggs = look_step(run.way), "strip" if run.way == "stripped" else "remove-brood"
    coming = forecasts.if_eggs(run, card, window.likely, place)
    if run.way == "hapa":
        coming = (("collect-eggs", window.likely + reminders.eggs_firm_after(card)), *coming)
    for name, at in ((look, window.earliest), (eggs, window.likely), *coming):
        yield PlanTime(name, at, about=True, called=called)
