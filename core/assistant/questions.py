"""What a person may ask at any time; where figures come from tells `why`."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Callable, Sequence
from datetime import datetime, timedelta

from core import commands as say
from core import forecasts, results
from core.assistant import (
    bottles,
    broodbook,
    comparisons,
    costs,
    measures,
    papers,
    pictures,
    yields,
)
from core.assistant.bowls import eggs_fact
from core.assistant.card import say_result
from core.assistant.choosing import card_asked, pending, places, run_for, word_fits
from core.assistant.counts import book, hatched_fact, no_hatch_yet
from core.assistant.doses import say_plan, say_sheet
from core.assistant.injecting import given_shot
from core.assistant.periods import span_of
from core.assistant.stepping import step_fact
from core.assistant.talk import AskFirst, Talk
from core.assistant.why import why
from core.assistant.windows import next_bell, say_forecast, say_hatch_forecast
from core.comparing import over_period
from core.errors import HatchError
from core.records import Run, RunRow
from core.replies import (
    Ask,
    Button,
    Given,
    Noted,
    Refused,
    Reply,
    RestTime,
    RipeSigns,
    Status,
    StatusLine,
    Summary,
)
from core.runs import females, fish_named, is_unsettled_female
from core.species import Figure

FORGOTTEN = timedelta(minutes=15)


def question(talk: Talk, said: say.Question) -> None:
    """Any question that the reader knows."""
    TOPICS[said.topic](talk, said)


def _hatch_rate(talk: Talk, said: say.Question) -> None:
    if said.tags:
        comparisons.female(talk, said)
        return
    rows = book(talk)
    if said.period:
        _period(talk, rows, said)
        return
    found = results.newest_hatch(rows, said.species)
    if found is None:
        raise no_hatch_yet(talk)
    say_result(talk, found.row, whole=said.whole, newer=found.newer_without)


def _period(talk: Talk, rows: Sequence[RunRow], said: say.Question) -> None:
    since, until = span_of(talk, said.period or "season")
    found = over_period(rows, since, until, said.species)
    talk.say(
        Summary(
            period=said.period or "season",
            species=said.species,
            runs=found.runs,
            counted=found.counted,
            left_out=tuple(talk.day(row.begun_at) for row in found.left_out),
            hatched_mean_percent=found.mean,
            hatched_low_percent=found.low,
            hatched_high_percent=found.high,
            larvae=found.larvae,
            sold=found.sold,
            hatched_of=found.of,
            other_eggs=tuple(
                talk.day(row.begun_at) for row in found.left_out if row.hatched_percent is not None
            ),
            no_eggs=tuple(
                talk.day(row.begun_at) for row in found.left_out if not row.had_eggs and row.state == "closed"
            ),
        ),
        *((Button("pick:1", say.Question("season_table"), "season-table"),) if rows else ()),
        *pictures.season_button(said.species, said.period, found.counted),
    )


def _strip_time(talk: Talk, said: say.Question) -> None:
    run = run_for(talk, said, lambda each: bool(each.groups) or bool(each.planned), words=said.run)
    if not run.groups and run.planned is not None:
        say_coming_needle(talk, run)
        return
    if not [fish for fish in females(run) if is_unsettled_female(fish)] and run.batches:
        for batch in run.batches:
            talk.say(eggs_fact(talk, run, batch))
        return
    groups = [group for group in run.groups if group.final_at]
    if not groups:
        raise AskFirst(Reply(Ask("injected-time", "not-injected", run.number, talk.called(run))))
    for group in groups:
        say_forecast(talk, run, group)


def _hatch_time(talk: Talk, said: say.Question) -> None:
    run = run_for(talk, said, lambda each: bool(each.batches), words=said.run)
    for batch in run.batches:
        if batch.hatched is None:
            say_hatch_forecast(talk, run, batch)
        else:
            talk.say(hatched_fact(talk, run, batch, batch.hatched))


def _is_past(talk: Talk, run: Run) -> bool:
    """Whether its needle was planned for an hour that went by without a word."""
    return run.planned is not None and run.planned.final_at + FORGOTTEN < talk.desk.now


def say_coming_needle(talk: Talk, run: Run) -> None:
    """The proposed hour; where it is past and nobody told of it, whether and when it was done."""
    if run.planned is None or run.planned.final_at > talk.desk.now:
        say_plan(talk, run)
        return
    final_at = run.planned.final_at
    told = say.Injection(at=final_at.astimezone(talk.zone).strftime("%H:%M"))
    talk.expect("injected", run.number)
    talk.say(
        Ask("injected-time", "plan-past", run.number, talk.called(run), at=final_at),
        Button("yes", say.Pick(told, run.number), "injected-at", (("at", final_at),)),
        Button("inject-now", say.InjectNow(run.number), "inject-now"),
        Button("not-yet", say.MovePlan(run.number, final_at, 0), "not-yet"),
    )


def _may_inject(talk: Talk, said: say.Question) -> None:
    """Whether to inject: by the plan, and never again once it was done."""
    run = run_for(talk, said, lambda each: bool(each.fish), words=said.run, tags=said.tags)
    asked = fish_named(run, said.tags) or list(run.fish)
    given = [shot.at for fish in asked for shot in fish.shots if shot.which != "priming"]
    if run.batches and not given:
        talk.say(Refused("after-eggs"))
    elif given:
        talk.say(Refused("no-second-dose", words=", ".join(said.tags), at=max(given)))
    elif run.planned is not None:
        say_coming_needle(talk, run)
    else:
        say_sheet(talk, run)


def _shots(talk: Talk, said: say.Question) -> None:
    """Into how many shots a dose is split by the card; none is invented where nobody told."""
    run = run_for(talk, said, lambda each: bool(each.fish), words=said.run)
    if any(fish.shots and fish.shots[-1].which != "priming" for fish in run.fish):
        _may_inject(talk, said)
        return
    many = talk.card(run).usual_shots(run.preparation)
    what = "one-shot" if many == 1 else "shots"
    talk.say(Noted(what, run.number, talk.called(run), word=run.preparation, number=float(many)))


def _dose(talk: Talk, said: say.Question) -> None:
    if said.species and said.species not in talk.knowledge.cards:
        talk.say(Refused("unknown-species", words=said.species))
        return
    fitting = word_fits(talk, said.species_word)
    if said.species_word and not fitting:
        raise HatchError("unknown-species", species=said.species_word)
    wanted = (said.species,) if said.species else fitting
    ready = [run for run in talk.live() if (not wanted or run.species in wanted) and run.fish]
    if not ready:
        weighing = say.Weigh(
            species=said.species, species_word=said.species_word, preparation=said.preparation
        )
        waits = pending(talk, "weigh", weighing)
        raise AskFirst(Reply(Ask("weights", "no-run", words=said.species or "")), waits)
    say_sheet(talk, ready[-1])


def _next_step(talk: Talk, said: say.Question) -> None:
    live = [run for run in talk.live() if run.state == "open"]
    forgotten = [run for run in live if not (run.groups or run.batches) and _is_past(talk, run)]
    if forgotten:
        say_coming_needle(talk, forgotten[0])
        return
    coming = [(due, key, run) for run in live for key, due in [next_bell(talk, run)] if key and due]
    if not coming:
        _status(talk, said)
        return
    due, key, run = min(coming, key=lambda each: each[0])
    talk.say(step_fact(talk, run, key, due))


def _status(talk: Talk, said: say.Question) -> None:
    talk.say(Status(tuple(_status_line(talk, run) for run in talk.live())))


def _status_line(talk: Talk, run: Run) -> StatusLine:
    key, due = next_bell(talk, run)
    given = [fish for fish in females(run) if fish.shots]
    return StatusLine(
        run=run.number,
        called=talk.called(run),
        species=run.species,
        state=run.state,
        injected_at=min((group.first_at for group in run.groups), default=None),
        next_step=key.step if key else "",
        next_at=due,
        females=len(given),
        settled=sum(1 for fish in given if not is_unsettled_female(fish)),
    )


def _given(talk: Talk, said: say.Question) -> None:
    run = run_for(
        talk,
        said,
        lambda each: bool(each.fish),
        words=said.run,
        tags=said.tags,
        likely=lambda each: any(fish.shots for fish in each.fish),
        ended=True,
    )
    asked = fish_named(run, said.tags) or list(run.fish)
    shots = [given_shot(talk, run, fish, shot) for fish in asked for shot in fish.shots]
    if not shots:
        talk.say(Refused("not-injected", words=", ".join(said.tags)))
        return
    total = None
    if len(asked) == 1 and all(shot.amount is not None for shot in shots):
        total = round(sum(shot.amount or 0 for shot in shots) / asked[0].kg, 1)
    talk.say(Given(run.number, talk.called(run), tuple(shots), total, f"{shots[0].unit}/kg"))


def _water(talk: Talk, said: say.Question) -> None:
    run = run_for(talk, said, words=said.run)
    for place in places(run) or ("",):
        celsius, source = forecasts.celsius_now(run, place, talk.card(run))
        told = forecasts.readings(run, place)
        at = max((each.at for each in told), default=None)
        what = "water-now" if source != "assumed" else "no-thermometer"
        talk.say(Noted(what, run.number, talk.called(run, place), at=at, celsius=celsius, word=source))


def _larvae(talk: Talk, said: say.Question) -> None:
    if said.period:
        _period(talk, book(talk), said)
        return
    counted = [row for row in book(talk) if row.larvae is not None or row.swim_up is not None]
    if not counted:
        raise no_hatch_yet(talk)
    say_result(talk, max(counted, key=lambda row: row.age))


def _eggs(talk: Talk, said: say.Question) -> None:
    run = run_for(talk, said, lambda each: any(b.eggs or b.lots for b in each.batches), words=said.run)
    for batch in run.batches:
        talk.say(eggs_fact(talk, run, batch))


def _ripe_signs(talk: Talk, said: say.Question) -> None:
    """How a ripe fish is known."""
    card = card_asked(talk, said, said.species)
    talk.say(RipeSigns(card.slug, card.signs))


def _rest(talk: Talk, said: say.Question) -> None:
    """How long a female rests before she is spawned again; what is left for one whose eggs were told."""
    gave = _gave_eggs(talk, said)
    card = talk.card(gave[0]) if gave else card_asked(talk, said, said.species)
    days = card.rest_days
    if days is None:
        talk.say(RestTime(card.slug, None, None, None))
        return
    fact = RestTime(card.slug, days.low, days.usual, days.high, days.sources, days.mark)
    talk.say(_rest_left(talk, fact, gave[1], gave[2], days) if gave else fact)


def _gave_eggs(talk: Talk, said: say.Question) -> tuple[Run, str, datetime] | None:
    """The run in which the female asked about gave eggs last, her tag, and when. Without a tag the only one
    of the newest run that gave any."""
    for number in sorted({*talk.desk.runs, *(run.number for run in talk.live())}, reverse=True):
        run = talk.run(number)
        gave = {
            one.tag: batch.begun_at
            for batch in run.batches
            for one in batch.eggs
            if one.tag and batch.begun_at is not None
        }
        if not gave or said.species not in (None, run.species):
            continue
        named = [fish.tag for fish in fish_named(run, said.tags) if fish.tag in gave]
        if not said.tags and len(gave) == 1:
            named = [*gave]
        if len(named) == 1:
            return run, named[0], gave[named[0]]
    return None


def _rest_left(talk: Talk, fact: RestTime, tag: str, gave_at: datetime, days: Figure) -> RestTime:
    rested = gave_at + timedelta(days=days.usual_or_low)
    left = max((rested - talk.desk.now) / timedelta(days=1), 0.0)
    return dataclasses.replace(
        fact,
        tag=tag,
        gave_at=gave_at,
        rested_at=rested,
        rested_by=gave_at + timedelta(days=days.high),
        left_days=math.ceil(left),
    )


def _doubling(talk: Talk, said: say.Question) -> None:
    talk.say(Refused("no-doubling"))


def _first_aid(talk: Talk, said: say.Question) -> None:
    talk.say(Noted("first-aid"))


def _keep_away(talk: Talk, said: say.Question) -> None:
    talk.say(Noted("keep-away"))


def _season_picture(talk: Talk, said: say.Question) -> None:
    pictures.season(talk, said, *span_of(talk, said.period or "season"))


def _source(talk: Talk, said: say.Question) -> None:
    why(talk, say.Why())


TOPICS: dict[str, Callable[[Talk, say.Question], None]] = {
    "hatch_rate": _hatch_rate,
    "strip_time": _strip_time,
    "hatch_time": _hatch_time,
    "dose": _dose,
    "next_step": _next_step,
    "run_status": _status,
    "given": _given,
    "may_inject": _may_inject,
    "shots": _shots,
    "water": _water,
    "larvae": _larvae,
    "best_run": comparisons.best_run,
    "worst_run": comparisons.worst_run,
    "by_species": comparisons.by_species,
    "by_female": comparisons.by_female,
    "by_dose": comparisons.by_dose,
    "by_water": comparisons.by_water,
    "by_season": comparisons.by_season,
    "why_low": comparisons.why_low,
    "why_so_low": comparisons.why_so_low,
    "cost": costs.cost,
    "earned": costs.earned,
    "survival": yields.survival,
    "fry_per_kg": yields.fry_per_kg,
    "spawn_per_ml": measures.per_ml,
    "larvae_per_cup": measures.per_cup,
    "egg_count": _eggs,
    "source": _source,
    "ripe_signs": _ripe_signs,
    "rest": _rest,
    "eating": broodbook.eating,
    "ready_fish": broodbook.ready,
    "fish_card": broodbook.card,
    "mates": broodbook.mates,
    "brood_season": broodbook.season,
    "treated_fish": broodbook.treated,
    "first_aid": _first_aid,
    "keep_away": _keep_away,
    "doubling": _doubling,
    "season_table": papers.season_table,
    "season_csv": papers.season_csv,
    "run_sheet": papers.run_sheet,
    "notebook": papers.notebook,
    "night_picture": pictures.night,
    "season_picture": _season_picture,
    "hormone_left": bottles.enough,
    "shelf": bottles.what_is_there,
    "ledger": bottles.ledger,
}
