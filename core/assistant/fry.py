"""From larvae to fry: counted in cups, counted at swim-up; how many must be counted."""

from __future__ import annotations

import dataclasses
import math
from datetime import timedelta

from core import commands as say
from core import larvae
from core.assistant.bowls import eggs_fact
from core.assistant.choosing import batch_for, pending, run_for, waited
from core.assistant.counts import book, check_hour, place_in
from core.assistant.talk import AskFirst, Talk
from core.errors import HatchError
from core.records import Counted, CupSample, Event, Run, SwimUpCounted
from core.replies import Ask, Button, CountNeeded, LarvaeInWater, Refused, Reply
from core.runs import batch_of

AFTER_CLOSE = timedelta(days=14)
"""So long after its begin larvae still belong to a run that is over. A rule of our own."""
STAGE: dict[say.LarvaeStage, str] = {"hatched": "hatched", "swim_up": "swim-up"}


def larvae_count(talk: Talk, said: say.LarvaeCount) -> None:
    """Larvae by cups, or at swim-up: kept with the run where there is one, else a sum alone."""
    told = _with_what_waited(talk, said)
    sample = _sample(talk, told)
    estimate = _estimate(talk, told, sample)
    number = float(estimate.larvae) if estimate else told.larvae
    if number is None:
        raise AskFirst(Reply(Ask("cup-counts", "no-number")))
    run, over = _run_of(talk, told)
    if run is None and over is None:
        fact = _fact(number, estimate, sample, told.measured)
        talk.say(dataclasses.replace(fact, stage=STAGE[told.stage] if told.stage else "", kept=False))
        return
    stage = told.stage or _stage(talk, run, told)
    if run is not None and stage == "hatched":
        event = _hatched(talk, run, told, number, sample)
    else:
        what = SwimUpCounted(number, told.place or "", sample)
        event = talk.tell(run.number if run else over or 0, what)
    _say_kept(talk, event, told, estimate, stage)


def _with_what_waited(talk: Talk, said: say.LarvaeCount) -> say.LarvaeCount:
    """What a cup holds, or the litres, told after the counts."""
    if said.counts or said.larvae is not None:
        return said
    about = talk.desk.awaiting.about if talk.desk.awaiting else ""
    before = waited(talk, say.LarvaeCount, about) if about in ("cup_ml", "cup_litres") else None
    if before is None:
        return said
    return dataclasses.replace(
        before, cup_ml=said.cup_ml or before.cup_ml, litres=said.litres or before.litres
    )


def _sample(talk: Talk, told: say.LarvaeCount) -> CupSample | None:
    """The cups with all that is known of them. Asks for what is missing."""
    if not told.counts:
        return None
    if told.cup_ml is None:
        raise AskFirst(Reply(Ask("cup-ml", "not-told")), pending(talk, "cup_ml", told))
    if told.litres is None:
        raise AskFirst(Reply(Ask("cup-litres", "not-told")), pending(talk, "cup_litres", told))
    return CupSample(told.counts, told.cup_ml, told.litres)


def _estimate(talk: Talk, told: say.LarvaeCount, sample: CupSample | None) -> larvae.Estimate | None:
    if sample is None:
        return None
    try:
        return larvae.from_cups(sample.counts, sample.cup_ml, sample.litres)
    except HatchError as fault:
        if fault.code != "cups-over-water":
            raise AskFirst(Reply(Ask("cup-counts", fault.code))) from None
        fact = Ask("cup-litres", fault.code, number=sample.litres)
        waits = pending(talk, "cup_litres", dataclasses.replace(told, litres=None))
        raise AskFirst(Reply(fact), waits) from None


def _run_of(talk: Talk, told: say.LarvaeCount) -> tuple[Run | None, int | None]:
    """The run whose larvae they are; else the number of one that is over since a short time."""
    if talk.pinned.run and talk.events_of(talk.pinned.run):
        return talk.run(talk.pinned.run), None
    if any(run.batches for run in talk.live()):
        return run_for(talk, told, lambda each: bool(each.batches), words=told.run), None
    lately = [
        row
        for row in book(talk)
        if row.had_eggs
        and row.state in ("closed", "not-reported")
        and talk.said_at - row.begun_at <= AFTER_CLOSE
    ]
    return None, lately[-1].run if lately else None


def _stage(talk: Talk, run: Run | None, told: say.LarvaeCount) -> say.LarvaeStage:
    """Larvae of a run that is over swim; the first count of an open one is that of hatching. A further one
    may be either: asked."""
    if run is None:
        return "swim_up"
    if all(batch.hatched is None or batch.hatched.larvae is None for batch in run.batches):
        return "hatched"
    stages: tuple[say.LarvaeStage, ...] = ("swim_up", "hatched")
    buttons = tuple(
        Button(f"answer:{STAGE[each]}", say.Pick(dataclasses.replace(told, stage=each), run.number), each)
        for each in stages
    )
    raise AskFirst(Reply(Ask("larvae-stage", "larvae-told", run.number, talk.called(run)), buttons))


def _hatched(talk: Talk, run: Run, told: say.LarvaeCount, number: float, sample: CupSample | None) -> Event:
    """Larvae at hatch, with the batch they are of."""
    name = batch_for(
        talk,
        run,
        told,
        lambda each: each.hatched is None or each.hatched.larvae is None,
        place=told.place,
        step="check-hatch",
    )
    if not talk.sure:
        check_hour(talk, run, name, told)
    place = place_in(run, batch_of(run, name), told.place)
    return talk.tell(run.number, Counted(name, "hatched", larvae=number, place=place, sample=sample))


def _say_kept(
    talk: Talk,
    event: Event,
    told: say.LarvaeCount,
    estimate: larvae.Estimate | None,
    stage: say.LarvaeStage,
) -> None:
    what = event.what
    assert isinstance(what, Counted | SwimUpCounted)
    live = bool(talk.desk.runs.get(event.run))
    run = talk.run(event.run) if live else None
    number = what.larvae or 0.0
    fact = dataclasses.replace(
        _fact(number, estimate, what.sample, told.measured),
        run=event.run,
        called=talk.called(run) if run else "",
        stage=STAGE[stage],
        place=what.place,
        eggs=_fewer_eggs(talk, run, estimate.low if estimate else number) if run else None,
        whole=_whole(run, stage, what.place) if run else None,
    )
    others: tuple[say.LarvaeStage, ...] = ("hatched", "swim_up")
    turned = [
        Button(f"answer:{STAGE[each]}", say.LarvaeWere(event.run, event.id, each), each)
        for each in others
        if told.stage is None and live and each != stage
    ]
    talk.say(fact, *turned, Button("undo", say.Undo((event.id,)), "undo"))


def _fact(
    number: float,
    estimate: larvae.Estimate | None,
    sample: CupSample | None,
    measured: say.ByMeasure | None,
) -> LarvaeInWater:
    return LarvaeInWater(
        run=0,
        called="",
        stage="",
        larvae=round(number),
        low=estimate.low if estimate else None,
        high=estimate.high if estimate else None,
        cups=len(sample.counts) if sample else 0,
        counted=estimate.counted if estimate else None,
        mean=round(estimate.mean, 1) if estimate else None,
        cup_ml=sample.cup_ml if sample else None,
        litres=sample.litres if sample else None,
        uneven=bool(estimate and estimate.uneven),
        basis=larvae.CUP_SOURCES if estimate else ("farm",),
        mark="from memory" if estimate else "the farm's own",
        amount=measured.amount if measured else None,
        measure=measured.of if measured else "",
        each=measured.each if measured else None,
    )


def _fewer_eggs(talk: Talk, run: Run, least: float) -> int | None:
    """The eggs of the run where they are fewer than its larvae; `None` where all is well, or nobody knows."""
    told = [eggs_fact(talk, run, batch).total_eggs for batch in run.batches]
    known = [each for each in told if each is not None]
    return sum(known) if known and len(known) == len(told) and sum(known) < least else None


def _whole(run: Run, stage: say.LarvaeStage, place: str) -> int | None:
    """Over all tanks, where this was of one of several."""
    if stage == "swim_up":
        counted = [each.larvae for each in run.swim_up]
    else:
        counted = [each.larvae for b in run.batches for each in b.counts if each.larvae is not None]
    return round(sum(counted)) if place and len(counted) > 1 else None


def larvae_were(talk: Talk, said: say.LarvaeWere) -> None:
    """A count is told again as that of the other stage."""
    old = talk.event(said.run_number, said.event)
    if old is None or not isinstance(old.what, Counted | SwimUpCounted):
        talk.say(Refused("nothing-to-undo"))
        return
    number, sample, place = old.what.larvae or 0.0, old.what.sample, old.what.place
    told = say.LarvaeCount(larvae=number, stage=said.stage, place=place or None)
    if said.stage == "swim_up":
        event = talk.tell_anew(old, SwimUpCounted(number, place, sample))
    else:
        run = talk.run(old.run)
        name = batch_for(talk, run, told, place=place or None, step="check-hatch")
        event = talk.tell_anew(old, Counted(name, "hatched", larvae=number, place=place, sample=sample))
    _say_kept(talk, event, told, _estimate(talk, told, sample), said.stage)


def sample_size(talk: Talk, said: say.SampleSize) -> None:
    """How many eggs or larvae to count."""
    percent = said.percent or larvae.USUAL_PERCENT
    near = next(
        (batch.fertilised.share for run in talk.live() for batch in run.batches if batch.fertilised), None
    )
    before = talk.desk.figure.fact if talk.desk.figure else None
    mean = before.mean if isinstance(before, LarvaeInWater) and before.mean else None
    of_larvae = said.of != "share"
    of_share = said.of != "larvae"
    count = larvae.larvae_to_count(percent)
    talk.say(
        CountNeeded(
            percent=percent,
            assumed=said.percent is None,
            eggs=larvae.eggs_to_count(percent) if of_share else None,
            eggs_near=larvae.eggs_to_count(percent, near) if of_share and near is not None else None,
            near_percent=near if of_share else None,
            larvae=count if of_larvae else None,
            cups=max(math.ceil(count / mean), larvae.FEWEST_CUPS) if of_larvae and mean else None,
            mean=mean if of_larvae else None,
            fewest_cups=larvae.FEWEST_CUPS if of_larvae else None,
            basis=(larvae.SIZE_SOURCE,),
        )
    )
