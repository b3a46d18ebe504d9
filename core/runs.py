"""A run is the fold of its events; the three ways to spawn are tables of steps.

Folding has two passes. The frame (species, fish, weights, places) is taken in the order in which it was
said, so that the newest word counts. What happened (injections, looks, eggs, counts) is taken in order of
happening, so that a late message falls into its own hour. Retracted events take part in neither.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, Literal

from core.errors import BadRecord
from core.records import (
    Batch,
    Cancelled,
    Closed,
    Collected,
    Count,
    Counted,
    Died,
    Drawn,
    DrawsFrom,
    EggsCounted,
    EggsRun,
    EggsWeighed,
    Event,
    Fish,
    FishLeftOut,
    FishWeighed,
    Group,
    Injected,
    LarvaeSold,
    LooksStopped,
    Lot,
    Money,
    NoEggs,
    NotYet,
    Opened,
    OwnDose,
    Placed,
    Planned,
    Postponed,
    Retagged,
    Retracted,
    Run,
    RunState,
    SetUp,
    Sex,
    Shot,
    SpawnSeen,
    Spent,
    StepDone,
    StepKey,
    StepSkipped,
    Stripped,
    SwimUpCounted,
    Told,
    TrialAsked,
    WaterRead,
    WaterReading,
    Way,
    WentIn,
)

# The ways, as tables --------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Step:
    """One step of a way.

    `due` names the rule of `core.reminders` that says when its bell rings, "" for none. `stops` says what
    ends its bells: a report of this or a `later` step of the same part, its `own` answer alone, or its
    `rule`. A step that `repeats` is answered bell by bell. A `brief` one is not worth a bell once its hour
    is past; a bell of one that rings `once` is not repeated.
    """

    name: str
    scope: Literal["run", "group", "batch"]
    due: str = ""
    wakes: bool = False
    stops: Literal["later", "own", "rule"] = "later"
    repeats: bool = False
    brief: bool = False
    once: bool = False


_BEFORE = (
    Step("get-ready", "run", "before-injection", brief=True),
    Step("prime", "run", "priming", wakes=True, stops="rule"),
    Step("inject", "run", "injection", wakes=True, stops="rule"),
)
_UNTIL_FEEDING = (
    Step("care", "batch", "care", stops="rule", repeats=True, brief=True),
    Step("check-fertilised", "batch", "count"),
    Step("check-hatch", "batch", "hatch", repeats=True),
)
_FEEDING = (
    Step("set-live-food", "batch", "live-food", stops="own"),
    Step("first-feed", "batch", "first-feed"),
)

WAYS: dict[Way, tuple[Step, ...]] = {
    "stripped": (
        *_BEFORE,
        Step("check-females", "group", "looks", wakes=True, stops="rule", repeats=True),
        Step("strip", "group", "egg-clock", stops="rule", brief=True),
        Step("fertilise", "batch", "after-eggs"),
        Step("spread", "batch"),
        Step("destick", "batch", "after-milt", brief=True),
        Step("swell", "batch"),
        Step("load", "batch", "after-swelling", brief=True),
        Step("disinfect", "batch", "egg-bath", brief=True),
        Step("rinse", "batch", "bath-end", wakes=True),
        Step("check-brood", "batch", "spent-females", stops="rule", repeats=True, brief=True),
        *_UNTIL_FEEDING,
        *_FEEDING,
    ),
    "nest": (
        *_BEFORE,
        Step("check-nest", "group", "looks", wakes=True, stops="rule", repeats=True),
        Step("remove-brood", "batch", "brood-out"),
        *_UNTIL_FEEDING,
        Step("remove-substrate", "batch", "swim-free"),
        *_FEEDING,
    ),
    "hapa": (
        *_BEFORE,
        Step("check-nest", "group", "looks", wakes=True, stops="rule", repeats=True),
        Step("remove-brood", "batch", "brood-out"),
        Step("collect-eggs", "batch", "eggs-firm"),
        Step("load", "batch", "after-collecting", brief=True),
        *_UNTIL_FEEDING,
        *_FEEDING,
    ),
}
ALWAYS: tuple[Step, ...] = (
    Step("check-water", "run", "water-again", stops="rule", repeats=True),
    Step("all-well", "run", "evening", stops="rule", repeats=True, once=True),
    Step("trial", "run", "trial", stops="rule", repeats=True, once=True),
)
NO_BELLS = ("close", "all-well", "trial")
"""What rings without being a bell of the night."""
LOOKS = ("check-females", "check-nest")


def look_step(way: Way) -> str:
    """How eggs are looked for: at the females, or from outside into nest and hapa."""
    return "check-females" if way == "stripped" else "check-nest"


def steps(way: Way) -> tuple[Step, ...]:
    """The steps of a way, in order, and those every run has."""
    return WAYS[way] + ALWAYS


def step(way: Way, name: str) -> Step | None:
    """The named step of a way, or `None` where that way has no such step."""
    return next((each for each in steps(way) if each.name == name), None)


def answer_key(way: Way, key: StepKey) -> StepKey:
    """The key under which an answer to a bell is kept: only repeating steps keep the number of the look."""
    each = step(way, key.step)
    return key if each is not None and each.repeats else StepKey(key.step, key.group, key.batch, key.fish)


def stopped(run: Run, each: Step, group: str = "", batch: str = "", since: datetime | None = None) -> bool:
    """Whether the step's bells are over: it, or a later step of the same part, was reported.

    Reports before `since` were of an earlier going.
    """
    if each.stops == "rule":
        return False
    order = [one.name for one in WAYS[run.way]]
    later = [each.name]
    if each.stops == "later":
        rest = WAYS[run.way][order.index(each.name) + 1 :]
        later += [one.name for one in rest if one.stops == "later" and one.scope == each.scope]
    return any(
        key.step in later
        and (key.group, key.batch) == (group, batch)
        and not (key.step == each.name and each.repeats and key.look)
        and not (key.step != each.name and key in run.skipped)
        and (since is None or at >= since)
        for key, at in run.answered
    )


# Folding --------------------------------------------------------------------------------------------------


@dataclass
class _Folding:
    """The run while it is being folded; frozen at the end."""

    opened: Opened | None = None
    opened_at: datetime | None = None
    fish: dict[str, Fish] = field(default_factory=dict)
    renamed: list[tuple[int, str, str]] = field(default_factory=list)
    groups: dict[str, Group] = field(default_factory=dict)
    batches: dict[str, Batch] = field(default_factory=dict)
    water: list[WaterReading] = field(default_factory=list)
    no_thermometer: bool = False
    planned: Planned | None = None
    planned_told_at: datetime | None = None
    answered: list[tuple[StepKey, datetime]] = field(default_factory=list)
    skipped: list[StepKey] = field(default_factory=list)
    postponed: list[tuple[StepKey, datetime, datetime]] = field(default_factory=list)
    male_dose: bool | None = None
    dose: OwnDose | None = None
    eggs_per_gram: float | None = None
    end: RunState | None = None
    ended_at: datetime | None = None
    notes: list[str] = field(default_factory=list)
    trials: list[datetime] = field(default_factory=list)
    sold: float | None = None
    swim_up: dict[str, SwimUpCounted] = field(default_factory=dict)
    bottle: int | None = None
    spent: list[Money] = field(default_factory=list)
    earned: list[Money] = field(default_factory=list)

    def change(self, tag: str, **fields: Any) -> None:
        if tag in self.fish:
            self.fish[tag] = dataclasses.replace(self.fish[tag], **fields)

    def change_group(self, name: str, **fields: Any) -> None:
        if name in self.groups:
            self.groups[name] = dataclasses.replace(self.groups[name], **fields)

    def change_batch(self, name: str, event: Event, **fields: Any) -> None:
        """A batch that only something later was told of begins without an hour."""
        known = self.batches.get(name) or Batch(name, (), None, event.said_at)
        self.batches[name] = dataclasses.replace(known, **fields)

    def unsettled(self, group: str) -> tuple[str, ...]:
        members = self.groups[group].tags if group in self.groups else ()
        return tuple(tag for tag in members if is_unsettled_female(self.fish[tag]))


def is_unsettled_female(fish: Fish) -> bool:
    """A female, or a fish whose sex nobody told, of whom it is not yet known how her night ended."""
    return fish.sex != "m" and fish.state in ("waiting", "running")


def unretracted(events: Iterable[Event]) -> tuple[Event, ...]:
    """The events that nobody took back, retractions among them, in order of telling."""
    gone: set[int] = set()
    kept: list[Event] = []
    for event in sorted(events, key=lambda each: each.id, reverse=True):
        if event.id in gone:
            continue
        kept.append(event)
        if isinstance(event.what, Retracted):
            gone.update(one for one in event.what.events if one < event.id)
    return tuple(reversed(kept))


def standing(events: Iterable[Event]) -> tuple[Event, ...]:
    """What still counts as told: the events that nobody took back, without the retractions themselves."""
    return tuple(event for event in unretracted(events) if not isinstance(event.what, Retracted))


def fold(events: Sequence[Event]) -> Run:
    """The run that these events tell of. Any order of the same events gives the same run.

    Raises `BadRecord` where there is no event at all, or events of several runs.
    """
    if len({(event.farm, event.run) for event in events}) != 1:
        raise BadRecord("not-one-run", runs=sorted({event.run for event in events}))
    told = standing(events)
    folding = _framed(told)
    for event in sorted(told, key=lambda each: (each.at, each.id)):
        if doing := _DOINGS.get(type(event.what)):
            doing(folding, event, _by_present_names(folding, event))
    return _frozen(folding, events)


def as_called_now(events: Sequence[Event]) -> tuple[Event, ...]:
    """What still counts as told of a run, in order of happening, each fish called as it is called now."""
    told = standing(events)
    folding = _framed(told)
    named = (dataclasses.replace(each, what=_by_present_names(folding, each)) for each in told)
    return tuple(sorted(named, key=lambda each: (each.at, each.id)))


def _framed(told: Sequence[Event]) -> _Folding:
    folding = _Folding()
    for event in told:
        if frame := _FRAME.get(type(event.what)):
            frame(folding, event, event.what)
    return folding


def _frozen(folding: _Folding, events: Sequence[Event]) -> Run:
    first = min(events, key=lambda each: each.id)
    opened = folding.opened or Opened("", "stripped", "premix", None)
    begun = bool(folding.planned or folding.groups or folding.batches)
    state: RunState = "cancelled" if folding.opened is None else folding.end or ("open" if begun else "draft")
    ended = folding.ended_at if folding.opened else max(each.said_at for each in events)
    return Run(
        number=first.run,
        farm=first.farm,
        species=opened.species,
        way=opened.way,
        preparation=opened.preparation,
        strength=opened.strength,
        strength_assumed=opened.strength_assumed,
        preparation_assumed=opened.preparation_assumed,
        state=state,
        opened_at=folding.opened_at or first.at,
        last_word_at=max(each.said_at for each in events),
        male_dose=folding.male_dose,
        dose=folding.dose,
        fish=tuple(folding.fish.values()),
        groups=tuple(folding.groups.values()),
        batches=tuple(folding.batches.values()),
        water=tuple(folding.water),
        no_thermometer=folding.no_thermometer,
        planned=folding.planned,
        planned_told_at=folding.planned_told_at,
        answered=tuple(folding.answered),
        skipped=tuple(folding.skipped),
        postponed=tuple(folding.postponed),
        eggs_per_gram=folding.eggs_per_gram,
        ended_at=ended,
        notes=tuple(folding.notes),
        trials=tuple(folding.trials),
        sold=folding.sold,
        swim_up=tuple(folding.swim_up.values()),
        bottle=folding.bottle,
        spent=tuple(folding.spent),
        earned=tuple(folding.earned),
    )


# The frame, in order of telling ---------------------------------------------------------------------------


def _opened(now: _Folding, event: Event, what: Opened) -> None:
    if now.opened is None:
        now.opened, now.opened_at = what, event.at


def _set_up(now: _Folding, event: Event, what: SetUp) -> None:
    if now.opened is None:
        return
    told: dict[str, Any] = {}
    if what.species is not None:
        told["species"] = what.species
    if what.way is not None:
        told["way"] = what.way
    if what.preparation is not None:
        told.update(preparation=what.preparation, preparation_assumed=False)
    if what.preparation is not None or what.strength is not None:
        told.update(strength=what.strength, strength_assumed=what.strength_assumed)
    if what.dose is not None or what.preparation is not None or what.species is not None:
        now.dose = what.dose
    if what.male_dose is not None:
        now.male_dose = what.male_dose
    now.opened = dataclasses.replace(now.opened, **told)


def _weighed(now: _Folding, event: Event, what: FishWeighed) -> None:
    for each in what.fish:
        known = now.fish.get(each.tag) or Fish(each.tag, each.sex, each.kg)
        place = what.place or known.place
        now.fish[each.tag] = dataclasses.replace(known, sex=each.sex or known.sex, kg=each.kg, place=place)


def _placed(now: _Folding, event: Event, what: Placed) -> None:
    for tag in what.tags:
        now.change(tag, place=what.place)


def _retagged(now: _Folding, event: Event, what: Retagged) -> None:
    if what.tag not in now.fish:
        return
    new_tag = what.new_tag or what.tag
    if new_tag != what.tag:
        now.renamed.append((event.id, what.tag, new_tag))
    before = now.fish[what.tag]
    tagged = before.tagged or new_tag != what.tag
    fish = dataclasses.replace(before, tag=new_tag, sex=what.sex or before.sex, tagged=tagged)
    now.fish = {
        new_tag if tag == what.tag else tag: fish if tag == what.tag else one for tag, one in now.fish.items()
    }


def _left_out(now: _Folding, event: Event, what: FishLeftOut) -> None:
    for tag in what.tags:
        now.fish.pop(tag, None)


def _draws_from(now: _Folding, event: Event, what: DrawsFrom) -> None:
    now.bottle = what.bottle or None


# What happened, in order of happening ---------------------------------------------------------------------


_TAGGED: dict[type[Any], tuple[str, ...]] = {
    Stripped: ("eggs",),
    Injected: ("drawn",),
    FishWeighed: ("fish",),
}
"""What holds records of fish, each with its tag."""


def _by_present_names(now: _Folding, event: Event) -> Any:
    """What was told, each fish called as it is called now: a fish keeps what was done under its old name."""

    def present(tag: str) -> str:
        for renaming, old, new in now.renamed:
            if tag == old and (event.id < renaming or tag not in now.fish):
                tag = new
        return tag

    what: Any = event.what
    named: dict[str, Any] = {}
    if now.renamed:
        for each in ("tags", "shared"):
            if tags := getattr(what, each, ()):
                named[each] = tuple(map(present, tags))
        for each in _TAGGED.get(type(what), ()):
            named[each] = tuple(dataclasses.replace(one, tag=present(one.tag)) for one in getattr(what, each))
    return dataclasses.replace(what, **named) if named else what


def _planned(now: _Folding, event: Event, what: Planned) -> None:
    now.planned, now.planned_told_at = what, event.said_at


def _injected(now: _Folding, event: Event, what: Injected) -> None:
    tags = tuple(tag for tag in what.tags if tag in now.fish)
    if not tags:
        return
    drawn = {each.tag: each for each in what.drawn}
    for tag in tags:
        fish, sheet = now.fish[tag], drawn.get(tag, Drawn(tag, None))
        amount = None if what.per_kg is None else what.per_kg * fish.kg
        ml = what.ml if what.ml is not None else sheet.ml if amount is None else None
        shot = Shot(
            *(len(fish.shots) + 1, what.which, event.at, ml, event.by, event.id),
            *(sheet.ml, sheet.amount, what.unit or sheet.unit, amount),
            hour_told=what.hour_told,
        )
        now.change(tag, shots=(*fish.shots, shot), group=what.group)
    final = None if what.which == "priming" or not what.hour_told else event.at
    known = now.groups.get(what.group)
    if known is None:
        place = what.place or now.fish[tags[0]].place
        now.groups[what.group] = Group(what.group, tags, place, event.at, final, event.said_at, event.at)
    else:
        joined = tuple(tag for tag in tags if tag not in known.tags)
        if joined == tags and known.final_at is not None:
            final = known.final_at  # more fish in the same go: the first needle keeps the clock
        now.change_group(
            what.group,
            tags=known.tags + joined,
            last_at=event.at,
            final_at=final or known.final_at,
            told_at=event.said_at,
        )
    step_name = "prime" if what.which == "priming" else "inject"
    now.answered.append((StepKey(step_name), event.at))


def _went_in(now: _Folding, event: Event, what: WentIn) -> None:
    for tag in what.tags:
        if tag in now.fish and now.fish[tag].shots:
            *before, last = now.fish[tag].shots
            whole, ml = last.whole_ml, what.ml
            if what.share is not None:
                ml = None if whole is None else round(whole * what.share, 4)
            now.change(tag, shots=(*before, dataclasses.replace(last, ml=ml, share=what.share)))


def _water(now: _Folding, event: Event, what: WaterRead) -> None:
    if what.celsius is None:
        now.no_thermometer = True
        return
    now.no_thermometer = now.no_thermometer and what.source != "measured"
    now.water.append(WaterReading(event.at, what.celsius, what.source, what.place or ""))


def _looked(now: _Folding, group: str, tags: Iterable[str], said_at: datetime) -> None:
    """Any word about females answers the looks that were due until it was said."""
    if group in now.groups:
        before = now.groups[group].last_look_at or said_at
        now.change_group(group, last_look_at=max(before, said_at))
    for tag in tags:
        now.change(tag, last_look_at=said_at)


def _not_yet(now: _Folding, event: Event, what: NotYet) -> None:
    for tag in what.tags:
        if tag in now.fish and now.fish[tag].state == "none":  # she is looked at again
            now.change(tag, state="waiting", settled_at=None)
    _looked(now, what.group, what.tags or now.unsettled(what.group), event.said_at)


def _eggs_run(now: _Folding, event: Event, what: EggsRun) -> None:
    open_tags = now.unsettled(what.group)
    tags = what.tags or (open_tags if len(open_tags) == 1 else ())
    _looked(now, what.group, tags, event.said_at)
    if what.group in now.groups and now.groups[what.group].running_at is None:
        now.change_group(what.group, running_at=event.at, running_told_at=event.said_at)
    for tag in tags:
        if tag in now.fish and is_unsettled_female(now.fish[tag]):
            now.change(tag, state="running", running_at=now.fish[tag].running_at or event.at)


def _settle(now: _Folding, tags: Iterable[str], state: str, event: Event) -> None:
    for tag in tags:
        if tag in now.fish:
            now.change(tag, state=state, settled_at=event.at)
            _looked(now, now.fish[tag].group, (tag,), event.said_at)


def _stripped(now: _Folding, event: Event, what: Stripped) -> None:
    known = now.batches.get(what.batch)
    if known is None or known.begun_at is None:
        owners = [one.tag for one in what.eggs if one.tag in now.fish] or list(what.shared)
        group = now.fish[owners[0]].group if owners and owners[0] in now.fish else ""
        place = now.groups[group].place if group in now.groups else ""
        begun = event.at if what.hour_told else None
        began = {"begun_at": begun, "told_at": event.said_at, "group": group, "place": place}
        now.change_batch(what.batch, event, test_lot=what.test_lot, **began)
    known = now.batches[what.batch]
    now.batches[what.batch] = dataclasses.replace(
        known,
        eggs=known.eggs + what.eggs,
        shared=known.shared + what.shared,
        all_gave=what.all_gave,
        place=what.place or known.place,
        dry=known.dry if what.dry is None else what.dry and known.dry is not False,
    )
    alive = {tag for tag, fish in now.fish.items() if fish.state != "died"}
    for one in what.eggs:
        if one.tag in alive and one.partial:
            now.change(one.tag, state="running", running_at=now.fish[one.tag].running_at or event.at)
            _looked(now, now.fish[one.tag].group, (one.tag,), event.said_at)
        elif one.tag in alive:
            _settle(now, (one.tag,), "stripped", event)
    _settle(now, (tag for tag in what.shared if tag in alive), "stripped", event)
    group = now.batches[what.batch].group
    if not any(now.fish[tag].state == "running" for tag in now.unsettled(group)):
        now.answered.append((StepKey("strip", group=group), event.at))


def _no_eggs(now: _Folding, event: Event, what: NoEggs) -> None:
    _settle(now, what.tags, "none", event)


def _died(now: _Folding, event: Event, what: Died) -> None:
    _settle(now, what.tags, "died", event)
    for tag in what.tags:
        if tag in now.fish:
            now.change(tag, cut=what.cut)


def _looks_stopped(now: _Folding, event: Event, what: LooksStopped) -> None:
    _settle(now, now.unsettled(what.group), "stopped", event)
    now.change_group(what.group, looks_stopped_at=event.at)


def _spawn_seen(now: _Folding, event: Event, what: SpawnSeen) -> None:
    _looked(now, what.group, (), event.said_at)
    if what.answer == "no":
        return
    if what.group in now.groups and now.groups[what.group].spawn_seen_at is None:
        now.change_group(what.group, spawn_seen_at=event.at)
    if what.batch not in now.batches or now.batches[what.batch].begun_at is None:
        place = now.groups[what.group].place if what.group in now.groups else ""
        began = {"begun_at": event.at, "told_at": event.said_at, "group": what.group, "place": place}
        now.change_batch(what.batch, event, **began)


def _collected(now: _Folding, event: Event, what: Collected) -> None:
    """More of the same eggs add up. In one jar they have its water, in several any that is told."""
    known = now.batches.get(what.batch)
    lot = Lot(what.litres, what.eggs_per_ml, what.place or "", event.at, event.id)
    lots = (*known.lots, lot) if known else (lot,)
    now.change_batch(what.batch, event, lots=lots, group=what.group or (known.group if known else ""))
    if jars := now.batches[what.batch].places:
        now.change_batch(what.batch, event, place=jars[0] if len(jars) == 1 else "")
    now.answered.append((StepKey("collect-eggs", batch=what.batch), event.at))


def _eggs_counted(now: _Folding, event: Event, what: EggsCounted) -> None:
    now.eggs_per_gram = what.eggs_per_gram


def _eggs_weighed(now: _Folding, event: Event, what: EggsWeighed) -> None:
    now.change_batch(what.batch, event, dry=what.dry)


def _done(now: _Folding, event: Event, what: StepDone) -> None:
    now.answered.append((what.key, event.at))
    if what.key.step == "fertilise":
        now.change_batch(what.key.batch, event, fertilised_at=event.at, fertilised_told_at=event.said_at)
    if what.key.step in LOOKS:
        _looked(now, what.key.group, now.unsettled(what.key.group), event.said_at)


def _skipped(now: _Folding, event: Event, what: StepSkipped) -> None:
    now.answered.append((what.key, event.at))
    now.skipped.append(what.key)


def _postponed(now: _Folding, event: Event, what: Postponed) -> None:
    now.postponed.append((what.key, what.until, event.at))


def _counted(now: _Folding, event: Event, what: Counted) -> None:
    """A share and a number of larvae, told one after the other, stand together.

    A count of one place stands beside those of the others; one of the whole takes the place of all.
    """
    known = now.batches.get(what.batch)
    counts = known.counts if known else ()
    before = next((one for one in counts if (one.stage, one.place) == (what.stage, what.place)), None)
    told = {name: getattr(what, name) for name in (*_SHARE, "larvae", "deformed", "of")}
    if before is not None and all(told[name] is None for name in _SHARE):
        told |= {name: getattr(before, name) for name in _SHARE}
        told["of"] = before.of if what.of == "unknown" else what.of
    told["sample"] = what.sample
    if before is not None and what.larvae is None:
        told |= {"larvae": before.larvae, "sample": before.sample}
    count = Count(what.stage, event.at, event.said_at, event=event.id, place=what.place, **told)
    gone = [one for one in counts if one.stage == what.stage and not (what.place and one.place)]
    kept = [one for one in counts if one not in gone and one is not before]
    now.change_batch(what.batch, event, counts=(*kept, count))
    of_stage = [*(one for one in kept if one.stage == what.stage), count]
    whole = _together(of_stage, now.batches[what.batch].lots)
    step_name = "check-fertilised" if what.stage == "fertilised" else "check-hatch"
    now.change_batch(what.batch, event, **{what.stage: whole})
    now.answered.append((StepKey(step_name, batch=what.batch), event.at))


_SHARE = ("good", "total", "percent")


def _together(counts: Sequence[Count], lots: Sequence[Lot]) -> Count:
    """The counts of several places as one: shares by the litres of their places where all were told, else
    each counts the same; larvae added up."""
    if len(counts) == 1:
        return counts[0]
    shares = [count.share for count in counts]
    weights: list[float] = [sum(lot.litres for lot in lots if lot.place == count.place) for count in counts]
    if not all(weights):
        weights = [1.0 for _ in counts]
    percent = None
    if None not in shares:
        percent = round(sum(w * (s or 0) for w, s in zip(weights, shares, strict=True)) / sum(weights), 1)
    kinds = {count.of for count in counts}
    return dataclasses.replace(
        counts[-1],
        at=min(count.at for count in counts),
        good=None,
        total=None,
        percent=percent,
        of=kinds.pop() if len(kinds) == 1 else "unknown",
        larvae=_added(count.larvae for count in counts),
        deformed=_added(count.deformed for count in counts),
        place="",
        sample=None,
    )


def _added(numbers: Iterable[float | None]) -> float | None:
    """Those that were told, added up; `None` where none was."""
    told = [number for number in numbers if number is not None]
    return sum(told) if told else None


def _told(now: _Folding, event: Event, what: Told) -> None:
    now.notes.append(what.text or what.what)


def _sold(now: _Folding, event: Event, what: LarvaeSold) -> None:
    now.sold = (now.sold or 0.0) + what.larvae
    if what.price is not None:
        now.earned.append(Money(event.at, what.price, what.currency, larvae=what.larvae))


def _spent(now: _Folding, event: Event, what: Spent) -> None:
    now.spent.append(paid(event.at, what))


def paid(at: datetime, what: Spent) -> Money:
    """An expense with its hour."""
    return Money(at, what.amount, what.currency, what.what)


def _swim_up(now: _Folding, event: Event, what: SwimUpCounted) -> None:
    """Tanks add up; a count of one place stands for that place, one of the whole for all. Who swims has
    hatched."""
    if not what.place:
        now.swim_up.clear()
    now.swim_up.pop("", None)
    now.swim_up[what.place] = what
    now.answered += [(StepKey("check-hatch", batch=name), event.at) for name in now.batches]


def _trial_asked(now: _Folding, event: Event, what: TrialAsked) -> None:
    now.trials.append(event.said_at)


def _ended(now: _Folding, event: Event, what: Cancelled | Closed) -> None:
    if isinstance(what, Cancelled):
        now.end = "cancelled"
    elif now.end is None:
        now.end = "closed" if what.reported else "not-reported"
    now.ended_at = event.at


_FRAME: dict[type[Any], Callable[[_Folding, Event, Any], None]] = {
    Opened: _opened,
    SetUp: _set_up,
    FishWeighed: _weighed,
    Placed: _placed,
    Retagged: _retagged,
    FishLeftOut: _left_out,
    DrawsFrom: _draws_from,
}
_DOINGS: dict[type[Any], Callable[[_Folding, Event, Any], None]] = {
    Planned: _planned,
    Injected: _injected,
    WentIn: _went_in,
    WaterRead: _water,
    NotYet: _not_yet,
    EggsRun: _eggs_run,
    Stripped: _stripped,
    NoEggs: _no_eggs,
    Died: _died,
    LooksStopped: _looks_stopped,
    SpawnSeen: _spawn_seen,
    Collected: _collected,
    EggsCounted: _eggs_counted,
    EggsWeighed: _eggs_weighed,
    StepDone: _done,
    StepSkipped: _skipped,
    Postponed: _postponed,
    Counted: _counted,
    TrialAsked: _trial_asked,
    Told: _told,
    LarvaeSold: _sold,
    Spent: _spent,
    SwimUpCounted: _swim_up,
    Cancelled: _ended,
    Closed: _ended,
}

# Reading a folded run -------------------------------------------------------------------------------------


def fish_of(run: Run, tag: str) -> Fish | None:
    """The fish with that tag, whatever its case, "#" or "no"."""
    wanted = plain_tag(tag)
    return next((fish for fish in run.fish if plain_tag(fish.tag) == wanted), None)


def fish_named(run: Run, tags: Iterable[str]) -> list[Fish]:
    """The fish with those tags, in that order; tags of no fish are passed over."""
    return [fish for tag in tags if (fish := fish_of(run, tag))]


def plain_tag(tag: str) -> str:
    """A tag as it is compared: without case, "#" and "no"."""
    low = tag.strip().lower().lstrip("#").strip()
    return low.removeprefix("no.").removeprefix("no ").strip() if low.startswith(("no.", "no ")) else low


def group_of(run: Run, name: str) -> Group | None:
    return next((group for group in run.groups if group.name == name), None)


def mothers(batch: Batch) -> tuple[str, ...]:
    """The females whose eggs are in a batch, or may be."""
    return tuple(dict.fromkeys([*(one.tag for one in batch.eggs if one.tag), *batch.shared]))


def batch_of(run: Run, name: str) -> Batch | None:
    return next((batch for batch in run.batches if batch.name == name), None)


def females(run: Run, group: str | None = None) -> tuple[Fish, ...]:
    """The females, of one group or of all."""
    return tuple(fish for fish in run.fish if fish.sex == "f" and (group is None or fish.group == group))


def unsettled(run: Run, group: str | None = None) -> tuple[Fish, ...]:
    """The injected females whose night is not over yet, of one group or of all."""
    groups = [each.name for each in run.groups]
    return tuple(
        fish
        for fish in run.fish
        if fish.group in ([group] if group else groups) and is_unsettled_female(fish)
    )


def looks_open(run: Run, group: Group) -> bool:
    """Whether the females (or the nest) of this group are still looked at."""
    if group.final_at is None or group.looks_stopped_at is not None:
        return False
    if run.way == "stripped":
        return bool(unsettled(run, group.name))
    if all(fish.sex == "m" for fish in run.fish if fish.tag in group.tags):
        return False
    seen = any(batch.group in ("", group.name) for batch in run.batches)
    return group.spawn_seen_at is None and not seen


def uninjected(run: Run) -> tuple[Fish, ...]:
    """Fish that got nothing yet."""
    return tuple(fish for fish in run.fish if not fish.shots and fish.state == "waiting")


def is_live(run: Run) -> bool:
    """Whether the run can still take part in the talk."""
    return run.state in ("draft", "open")


def start_of(batch: Batch) -> datetime | None:
    """What its clock counts from: fertilising, else stripping or eggs seen; `None` where neither was told."""
    return batch.fertilised_at or batch.begun_at


def free_tag(sex: Sex | None, taken: Iterable[str]) -> str:
    """The next free name of a fish that has none: F1, M1, or X1 where the sex is not known."""
    names = {plain_tag(tag) for tag in taken}
    letter = {"f": "F", "m": "M"}.get(sex or "", "X")
    return next(f"{letter}{n}" for n in range(1, 10_000) if plain_tag(f"{letter}{n}") not in names)


def next_bowl(run: Run, taken: Sequence[str] = ()) -> str:
    """The name of a batch that begins now; `taken` are names given in the same breath."""
    names = {batch.name for batch in run.batches} | set(taken)
    return next(str(n) for n in range(1, 10_000) if str(n) not in names)
