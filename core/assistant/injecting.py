"""The needle: who got an injection, when, and what follows from it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from core import commands as say
from core import dosing, forecasts
from core.assistant.bottles import after_needle
from core.assistant.choosing import known_fish, no_run, run_for
from core.assistant.doses import lines_by_tag, prepare, say_night, set_up_for
from core.assistant.talk import CLOCK_WAITS, NIGHT, AskFirst, Pin, Talk
from core.assistant.windows import say_forecast
from core.errors import NoFigure
from core.records import Drawn, Event, Fish, Group, Injected, Preparation, Run, Shot, Which
from core.replies import Ask, Button, Course, CourseDoubt, Given, GivenShot, Noted, Reply
from core.runs import fish_named, fish_of, group_of, looks_open, plain_tag, standing, uninjected

SAME_GO = timedelta(minutes=15)
ANSWERED_WITHIN = timedelta(minutes=30)
SAME_ML = 0.005


def injected(talk: Talk, said: say.Injection) -> None:
    """An injection was given: the clock starts from the true time, and the reply echoes it."""
    run = _of_preparation(talk, run_for_needle(talk, said), said)
    if said.per_kg is not None and said.which is None and all_injected(run, said):
        _given_per_kg(talk, run, said)
        return
    at = talk.moment(said.at, said.minutes_ago, "injected")
    if talk.said_at - at > NIGHT and not talk.sure:
        yes = Button("yes", say.Pick(said, run.number, sure=True), "at", (("at", at),))
        fact = Ask("time", "long-ago", run.number, talk.called(run), at=at)
        raise AskFirst(Reply(fact, (yes,)), say.Awaiting("injected", until=talk.desk.now + ANSWERED_WITHIN))
    fish = _fish_for_shot(talk, run, said, at)
    which = _which(talk, run, said, fish)
    _check_final(talk, run, said, fish, which)
    before = {group.name for group in run.groups}
    told: list[Event] = []
    for place in dict.fromkeys(each.place for each in fish):
        here = [each for each in fish if each.place == place]
        tags = tuple(each.tag for each in here)
        name = here[0].group or _same_go(run, place, at) or _free_name(run, told)
        drawn = _drawn(talk, run, here, which)
        what = Injected(name, tags, which, said.place or place or None, said.ml, drawn)
        told += [talk.tell(run.number, one, at) for one in _with_dose(run, what, said)]
    now = talk.run(run.number)
    ids = [event.id for event in told]
    if not talk.farm.clock_told:
        _say_without_clock(talk, now, ids)
        after_needle(talk, run.number)
        return
    say_injected(talk, now, ids, first=not before)
    _say_off_sheet(talk, now, ids)
    after_needle(talk, run.number)


def _with_dose(run: Run, what: Injected, said: say.Injection) -> list[Injected]:
    """The injection with the amount for each kg that was told of it. A male who was not named himself most
    often gets less, and nobody told how much."""
    if said.per_kg is None:
        return [what]
    named = bool(said.tags) or said.sex == "m"
    males = () if named else tuple(fish.tag for fish in fish_named(run, what.tags) if fish.sex == "m")
    others = tuple(tag for tag in what.tags if tag not in males)
    dosed = replace(what, tags=others, per_kg=said.per_kg, unit=said.unit)
    return [dosed, *([replace(what, tags=males, drawn=())] if males else [])]


def _say_without_clock(talk: Talk, run: Run, events: Sequence[int]) -> None:
    """The injection stands; its hours are told once the farm's clock is known."""
    undo = Button("undo", say.Undo(tuple(events)), "undo")
    cautions = talk.once(run.number, "no-second-dose")
    talk.say(Noted("injected", run.number, talk.called(run)), undo, asks="zone-clock", cautions=cautions)
    pending = (say.Question("strip_time"),)
    talk.awaiting = say.Awaiting("zone", run.number, pending=pending, until=talk.desk.now + CLOCK_WAITS)


def _say_off_sheet(talk: Talk, run: Run, events: Sequence[int]) -> None:
    """What was told to have gone in, beside the sheet, where the two differ."""
    shots = [
        given_shot(talk, run, fish, shot) for fish in run.fish for shot in fish.shots if shot.event in events
    ]
    if any(shot.sheet_ml is not None for shot in shots):
        say_given(talk, run, shots)


def given_shot(talk: Talk, run: Run, fish: Fish, shot: Shot) -> GivenShot:
    """What a fish got at one injection, and what the sheet said where that was something else."""
    amount = dosing.went_in(run, shot)
    off = shot.ml is not None and shot.sheet_ml is not None and abs(shot.ml - shot.sheet_ml) > SAME_ML
    return GivenShot(
        tag=fish.tag,
        n=shot.n,
        at=shot.at,
        ml=shot.ml,
        amount=None if amount is None else round(amount, 1),
        unit=shot.unit or dosing.PREPARATIONS[run.preparation].unit or "ug",
        by=talk.desk.name_of(shot.by),
        sheet_ml=shot.sheet_ml if off else None,
        share_percent=None if shot.share is None else round(shot.share * 100, 1),
        hour_told=shot.hour_told,
    )


def keep_the_others(talk: Talk, tags: Sequence[str], old: Event, told: Injected) -> None:
    """Only some fish of an injection are spoken of: it stays as it was for the rest."""
    named = {plain_tag(tag) for tag in tags}
    rest = tuple(tag for tag in told.tags if plain_tag(tag) not in named)
    if rest:
        drawn = tuple(each for each in told.drawn if each.tag in rest)
        talk.tell(old.run, replace(told, tags=rest, drawn=drawn), old.at)


def run_for_needle(talk: Talk, said: say.Injection) -> Run:
    """A run with fish that still want an injection comes before one where all have it."""
    return run_for(
        talk,
        said,
        lambda each: bool(each.fish),
        words=said.run,
        tags=said.tags,
        likely=lambda each: any(_wants_shot(fish) for fish in each.fish),
    )


def all_injected(run: Run, said: say.Injection) -> bool:
    named = [fish_of(run, tag) for tag in said.tags] or list(run.fish)
    given = [fish for fish in named if fish is not None and fish.shots]
    spoken_of = named if said.tags else given
    settled = all(fish is not None and not _wants_shot(fish) for fish in spoken_of)
    return said.which is None and bool(spoken_of) and settled


def _given_per_kg(talk: Talk, run: Run, said: say.Injection) -> None:
    """An amount for each kg, of fish that had theirs, is what that was, never a second dose."""
    given = [fish for fish in run.fish if fish.shots and said.sex in (None, fish.sex)]
    meant = fish_named(run, said.tags) or given
    newest = {fish.shots[-1].event for fish in meant}
    for old in [event for event in talk.events_of(run.number) if event.id in newest]:
        assert isinstance(old.what, Injected)
        tags = tuple(fish.tag for fish in meant if fish.tag in old.what.tags)
        first, *more = _with_dose(run, replace(old.what, tags=tags), said)
        talk.tell_anew(old, first)
        for one in more:
            talk.tell(run.number, one, old.at)
        keep_the_others(talk, tags, old, old.what)
    now = talk.run(run.number)
    named = fish_named(now, [fish.tag for fish in meant])
    say_given(talk, now, [given_shot(talk, now, fish, fish.shots[-1]) for fish in named])
    for group in now.groups:
        if any(fish.group == group.name for fish in named):
            say_course(talk, now, group)


def say_given(talk: Talk, run: Run, shots: Sequence[GivenShot], total: float | None = None) -> None:
    """What each fish got; `total` for each kg where it was asked of one fish."""
    talk.say(Given(run.number, talk.called(run), tuple(shots), total, f"{shots[0].unit}/kg"))


# What was in the syringe ----------------------------------------------------------------------------------


def _of_preparation(talk: Talk, run: Run, said: say.Injection) -> Run:
    """The run, prepared as the needle tells. Raises `AskFirst` where the unit told is that of another
    preparation, or an earlier shot was of another."""
    told = said.preparation
    if told is not None and told != run.preparation:
        if any(fish.shots for fish in run.fish) and not talk.sure:
            fact = Ask("prepared", "other-before", run.number, talk.called(run), words=run.preparation)
            both = enumerate((told, run.preparation), 1)
            raise AskFirst(Reply(fact, tuple(_with_it(run, said, n, each) for n, each in both)))
        _set_up_anew(talk, run, told)
        run = talk.run(run.number)
    if said.unit is not None and said.unit != dosing.PREPARATIONS[run.preparation].unit:
        rules = dict.fromkeys(rule.preparation for rule in talk.card(run).doses if rule.sex == "f")
        fitting = [each for each in rules if dosing.PREPARATIONS[each].unit == said.unit]
        words = f"{said.per_kg:g} {said.unit}/kg"
        fact = Ask("prepared", "unit-of-another", run.number, talk.called(run), words=words)
        raise AskFirst(Reply(fact, tuple(_with_it(run, said, n, each) for n, each in enumerate(fitting, 1))))
    return run


def _with_it(run: Run, said: say.Injection, place: int, preparation: Preparation) -> Button:
    again = say.Pick(replace(said, preparation=preparation), run.number, sure=True)
    return Button(f"pick:{place}", again, "with", (("preparation", preparation),))


def prepared(talk: Talk, said: say.Prepared) -> None:
    """What is injected, or was: of the run being made ready, else of the one whose fish had theirs."""
    given = [run for run in talk.live() if run.groups]
    ready = [run for run in talk.live() if not run.groups]
    if given and not ready:
        run = run_for(
            talk, said, lambda each: each in given, words=said.run, likely=lambda each: not each.batches
        )
        if run.preparation == said.preparation:
            talk.say(Noted("prepared-known", run.number, talk.called(run), word=said.preparation))
        else:
            _prepared_after_all(talk, run, said.preparation)
        return
    prepare(talk, said)


def _prepared_after_all(talk: Talk, run: Run, preparation: Preparation) -> None:
    """ "It was pituitary", after the needle: the hours follow."""
    _set_up_anew(talk, run, preparation)
    now = talk.run(run.number)
    unknown = any(shot.amount is None for fish in now.fish for shot in fish.shots)
    what = "prepared" if unknown else "prepared-known"
    talk.say(Noted(what, run.number, talk.called(now), word=preparation))
    for group in now.groups:
        if group.final_at is not None and looks_open(now, group):
            say_forecast(talk, now, group)


def _set_up_anew(talk: Talk, run: Run, preparation: Preparation) -> None:
    """The run with another preparation. What the sheet said of shots that were given was of the one before:
    how much they were is unknown until it is told."""
    given = {shot.event for fish in run.fish for shot in fish.shots}
    for old in [event for event in standing(talk.events_of(run.number)) if event.id in given]:
        assert isinstance(old.what, Injected)
        fits = old.what.unit == dosing.PREPARATIONS[preparation].unit
        per_kg, unit = (old.what.per_kg, old.what.unit) if fits else (None, None)
        talk.tell_anew(old, replace(old.what, drawn=(), ml=None, per_kg=per_kg, unit=unit))
    talk.tell(run.number, set_up_for(talk, run.species, preparation))


def _wants_shot(fish: Fish) -> bool:
    return fish.state == "waiting" and all(shot.which == "priming" for shot in fish.shots)


def inject_now(talk: Talk, said: say.InjectNow) -> None:
    """The button "I inject now"."""
    talk.pinned = Pin(said.run_number)
    injected(talk, say.Injection(minutes_ago=0, tags=said.tags))


def _fish_for_shot(talk: Talk, run: Run, said: say.Injection, at: datetime) -> list[Fish]:
    if said.tags:
        named = [known_fish(talk, run, tag) for tag in said.tags]
        if not talk.sure and not any(_wants_shot(fish) for fish in named):
            raise _already(talk, run, said, at)
        return named
    sexed = [fish for fish in run.fish if said.sex in (None, fish.sex)]
    place = said.place or _place_pinned(talk, run)
    here = [fish for fish in sexed if not place or fish.place.lower() == place.lower()] or sexed
    primed = [fish for fish in here if _is_primed(fish)]
    waiting = _waiting_for_dose(talk, run)
    fresh = [fish for fish in here if fish in waiting]
    once = _with_one_shot(talk, run)
    due = _which(talk, run, said, primed or fresh)
    if primed and due == "priming":
        fresh = []
    elif primed:  # who gets a single dose gets it beside the final one
        fresh = [fish for fish in fresh if fish.tag in once]
    elif due == "priming" and len(once) < len(run.fish):
        fresh = [fish for fish in fresh if fish.tag not in once]
    if not primed + fresh:
        raise _already(talk, run, said, at)
    return primed + fresh


def _is_primed(fish: Fish) -> bool:
    return bool(fish.shots) and all(shot.which == "priming" for shot in fish.shots)


def _check_final(talk: Talk, run: Run, said: say.Injection, fish: Sequence[Fish], which: Which) -> None:
    """A final shot before the usual priming shots were given may be a slip: "the second" of three is none."""
    given = forecasts.primings_given(run, (each.tag for each in fish))
    if talk.sure or which != "resolving" or not 0 < given < forecasts.primings_planned(run, talk.card(run)):
        return
    fact = Ask("which-shot", "fewer-primings", run.number, talk.called(run), number=given)
    raise AskFirst(Reply(fact, (final_shot(run, said), priming_shot(run, said))))


def final_shot(run: Run, said: say.Injection, group: str = "") -> Button:
    """This injection was the final one."""
    told = replace(said, which="resolving")
    return Button("answer:final", say.Pick(told, run.number, group, sure=True), "final-shot")


def priming_shot(run: Run, said: say.Injection, group: str = "") -> Button:
    """This injection was another priming shot."""
    told = replace(said, which="priming")
    return Button("answer:priming", say.Pick(told, run.number, group, sure=True), "priming-shot")


def _place_pinned(talk: Talk, run: Run) -> str:
    """Where the fish are of which a bell spoke."""
    group = group_of(run, talk.pinned.group)
    return group.place if group else ""


def _with_one_shot(talk: Talk, run: Run) -> set[str]:
    """The fish whose line of the sheet has a single dose: males most often."""
    return {tag for tag, line in lines_by_tag(talk, run).items() if len(line.shots) < 2}


def _drawn(talk: Talk, run: Run, fish: Sequence[Fish], which: Which) -> tuple[Drawn, ...]:
    """What the sheet of this hour says for each fish, to be kept whatever is mended later."""
    lines = lines_by_tag(talk, run)
    shots = [(each.tag, shot_of(lines[each.tag], each, which)) for each in fish if each.tag in lines]
    return tuple(Drawn(tag, shot.drawn_ml, shot.amount, shot.unit) for tag, shot in shots if shot)


def shot_of(line: dosing.DoseLine, fish: Fish, which: Which) -> dosing.DoseShot | None:
    """The shot of the sheet that is given now; a priming shot more is as large as the last of them."""
    if which != "priming":
        return line.shots[-1] if line.shots else None
    primings = [shot for shot in line.shots if shot.role == "priming"]
    return primings[min(len(fish.shots), len(primings) - 1)] if primings else None


def _waiting_for_dose(talk: Talk, run: Run) -> list[Fish]:
    """Fish that got nothing yet and are to get something: all but those whose line says no dose."""
    lines = lines_by_tag(talk, run)
    return [
        fish for fish in uninjected(run) if fish.sex is None or fish.tag not in lines or lines[fish.tag].shots
    ]


def _already(talk: Talk, run: Run, said: say.Injection, at: datetime) -> AskFirst:
    """All fish have their injection: a second telling is either its true time, or a second dose."""
    asked = fish_named(run, said.tags) or list(run.fish)
    shots = [(shot, fish.tag) for fish in asked for shot in fish.shots]
    if not shots:
        return no_run("weights")
    newest = max(shots, key=lambda pair: pair[0].at)[0]
    events = tuple(dict.fromkeys(shot.event for shot, _ in shots if shot.at == newest.at))
    minutes = round((newest.at - at).total_seconds() / 60)
    buttons = (
        Button("yes", say.ShiftTime(run.number, events, minutes), "same-injection", (("at", at),)),
        Button("no", say.Nothing("injected"), "no-change"),
    )
    fact = Ask("injected-time", "already-injected", run.number, talk.called(run), at=newest.at)
    return AskFirst(Reply(fact, buttons, cautions=talk.once(run.number, "no-second-dose")))


def _which(talk: Talk, run: Run, said: say.Injection, fish: Sequence[Fish]) -> Which:
    """The shot that was told, else the one that is next by the card's scheme."""
    if said.which:
        return said.which
    planned = forecasts.primings_planned(run, talk.card(run))
    given = max((len(each.shots) for each in fish), default=0)
    if not planned and not given:
        return "only"
    return "priming" if given < planned else "resolving"


def _same_go(run: Run, place: str, at: datetime) -> str:
    """The group that was injected in the same place shortly before: one go, one clock."""
    for group in run.groups:
        if group.final_at is not None and group.place == place and abs(at - group.final_at) <= SAME_GO:
            return group.name
    return ""


def _free_name(run: Run, told: Sequence[object]) -> str:
    taken = {group.name for group in run.groups}
    number = len(taken) + len(told) + 1
    while str(number) in taken:
        number += 1
    return str(number)


def say_injected(talk: Talk, run: Run, events: list[int], first: bool) -> None:
    groups = [
        group
        for group in run.groups
        if any(shot.event in events for fish in run.fish for shot in fish.shots if fish.group == group.name)
    ]
    cautions = talk.once(run.number, "no-second-dose")
    if run.way == "stripped" and talk.card(run).male_cut and any(f.sex == "m" and f.shots for f in run.fish):
        cautions += talk.once(run.number, "treated-fish")
    rest = tuple(fish.tag for fish in _waiting_for_dose(talk, run))
    for place, group in enumerate(groups):
        echo = echo_buttons(run, events) if place == 0 else ()
        females_here = any(fish.sex != "m" for fish in run.fish if fish.tag in group.tags)
        if group.final_at is None or not females_here:
            what = "injected" if group.final_at else _primed(talk, run, group)
            word = run.preparation if what == "priming-alone" else ""
            fact = Noted(what, run.number, talk.called(run), at=group.last_at, tags=group.tags, word=word)
            talk.say(replace(fact, echo=True), *echo)
        else:
            once = {"cautions": cautions, "rest": rest} if place == 0 else {}
            say_forecast(talk, run, group, echo=True, buttons=echo, **once)
        say_course(talk, run, group)
    if groups and (first or all(group.final_at for group in groups)):
        say_night(talk, run)


def _primed(talk: Talk, run: Run, group: Group) -> str:
    """Whether an hour of the final shot is known by the card."""
    known = run.batches or forecasts.coming_shots(run, group, talk.card(run))
    return "priming" if known else "priming-alone"


def say_course(talk: Talk, run: Run, group: Group, of: Sequence[str] = ()) -> None:
    """All shots of a female taken together, beside the card's range; only where there are several, or less
    went in. Of the group's females, or of these alone."""
    card = talk.card(run)
    mothers = [fish for fish in fish_named(run, of or group.tags) if fish.sex == "f" and fish.shots]
    told = any(shot.amount is not None or shot.share is not None for fish in mothers for shot in fish.shots)
    single = not mothers or max(len(mothers[0].shots) - 1, forecasts.primings_planned(run, card)) < 1
    unfinished = group.final_at is None and not forecasts.coming_shots(run, group, card)
    if not mothers or unfinished or (single and not told):
        return
    try:
        rule = card.dose_rule(run.preparation, "f")
        courses = [(fish, _per_kg(run, fish), _coming_per_kg(talk, run, group, fish)) for fish in mothers]
        judged = [
            (fish, given, coming, dosing.course(rule, given + coming))
            for fish, given, coming in courses
            if given is not None
        ]
    except NoFigure:
        return
    if not judged:
        return
    fish, given, coming, course = next((each for each in judged if each[3].code), judged[0])
    shot = next(iter(forecasts.coming_shots(run, group, card)), None)
    figure, _ = dosing.dosed_by(rule)
    talk.say(
        Course(
            run=run.number,
            called=talk.group_called(run, group),
            tags=(fish.tag,) if course.code and len(judged) > 1 else (),
            given=round(given or 0.0, 3),
            coming=round(coming, 3),
            total_per_kg=round(course.per_kg, 3),
            unit=course.unit,
            low=course.low,
            high=course.high,
            code=course.code,
            next_step="" if shot is None else "prime" if shot.role == "priming" else "inject",
            next_at=shot.at if shot else None,
            basis=figure.sources if figure else (),
            mark=figure.mark if figure else "from memory",
        )
    )


def doubts_of(talk: Talk, run: Run, lines: Iterable[dosing.DoseLine], which: Which) -> Iterator[CourseDoubt]:
    """Females whose shots, with the one of these lines, do not stand in the card's range. A sum is too small
    only once the final shot is in it."""
    try:
        rule = talk.card(run).dose_rule(run.preparation, "f")
        empty = dosing.course(rule, 0.0)
    except NoFigure:
        return
    for line in lines:
        fish = fish_of(run, line.tag)
        if fish is None or fish.sex != "f" or not fish.shots:
            continue
        given, shot = _per_kg(run, fish), line.shots[-1].amount
        doubt = CourseDoubt(fish.tag, "unknown", empty.unit, empty.low, empty.high)
        if given is None or shot is None:
            yield doubt
            continue
        course = dosing.course(rule, given + shot / fish.kg)
        if course.code == "over-range" or (course.code and which != "priming"):
            yield replace(doubt, code=course.code, given=given, total=course.per_kg)


def _per_kg(run: Run, fish: Fish) -> float | None:
    """Active substance for each kg of her so far; `None` where one shot's is not known."""
    amounts = [dosing.amount_of(run, shot) for shot in fish.shots]
    return None if None in amounts else math.fsum(filter(None, amounts)) / fish.kg


def _coming_per_kg(talk: Talk, run: Run, group: Group, fish: Fish) -> float:
    """What the sheet still has for her, for each kg."""
    if group.final_at is not None:
        return 0.0
    line = lines_by_tag(talk, run).get(fish.tag)
    left = line.shots[len(fish.shots) :] if line else ()
    return math.fsum(shot.amount or 0.0 for shot in left) / fish.kg


def echo_buttons(run: Run, events: Sequence[int]) -> tuple[Button, ...]:
    """Under the echo of an act's time: ten or thirty minutes earlier, another time, or not at all."""
    told = tuple(events)
    return (
        Button("answer:-10", say.ShiftTime(run.number, told, 10), "minutes-earlier", (("minutes", 10.0),)),
        Button("answer:-30", say.ShiftTime(run.number, told, 30), "minutes-earlier", (("minutes", 30.0),)),
        Button("answer:other", say.AskAgain("act-time", run.number, told), "other-time"),
        Button("undo", say.Undo(told), "undo"),
    )
