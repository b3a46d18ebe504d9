"""The facts of the pictures: what of a night or a season is drawn. How it looks is for whoever draws it."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Sequence
from datetime import datetime
from itertools import groupby
from statistics import fmean
from typing import Literal

from core import commands as say
from core.assistant.choosing import run_for
from core.assistant.counts import book, no_hatch_yet
from core.assistant.talk import AskFirst, Talk
from core.assistant.windows import hatch_view, strip_view
from core.records import (
    Collected,
    Counted,
    Died,
    EggsRun,
    Event,
    Injected,
    NoEggs,
    Run,
    RunRow,
    SpawnSeen,
    StepDone,
    Stripped,
)
from core.replies import (
    Ask,
    Button,
    DoneShown,
    NightPicture,
    Reply,
    RunShown,
    SeasonPicture,
    WaterShown,
    WindowShown,
)
from core.runs import LOOKS, as_called_now, batch_of, group_of, mothers, start_of
from core.timing import Window

MOST_DONE = 8
"""So many lines stand under the picture of a night."""
MOST_WINDOWS = 4
MOST_RUNS = 40
"""So many runs stand side by side in the picture of a season."""
MOST_OTHERS = 3
SIDE_STEPS = (
    *LOOKS,
    *("get-ready", "care", "check-brood", "check-water", "all-well", "trial", "check-hatch"),
    *("set-live-food", "first-feed", "remove-substrate"),
)
"""Steps that are no deed of the night, told by their count, or days later."""
WEIGHTIEST = ("injected", "stripped", "spawned", "collected", "none", "died", "eggs-run", "priming")
SUMS = ("stripped", "collected", "larvae")
MOST_TAGS = 4
COUNTS = ("fertilised", "hatched", "larvae")


# The night ------------------------------------------------------------------------------------------------


def night(talk: Talk, said: say.Question) -> None:
    """The picture of a run's night: its water, its windows and what was done."""
    run = run_for(talk, said, lambda each: bool(each.groups or each.batches), words=said.run, ended=True)
    show_night(talk, run)


def show_night(talk: Talk, run: Run) -> None:
    """The picture of this run. Raises `AskFirst` where nothing of it was told yet."""
    fact = night_fact(talk, run)
    if fact is None:
        raise AskFirst(Reply(Ask("injected-time", "not-injected", run.number, talk.called(run))))
    talk.replies.append(Reply(fact, picture=f"night/{run.number}"))


def night_fact(talk: Talk, run: Run) -> NightPicture | None:
    """All that is drawn of a run; `None` where nothing can be."""
    done = _done(talk, run)
    windows, on_hold = _windows(talk, run)
    if not done:
        return None
    readings = sorted(run.water, key=lambda each: each.at)
    water = tuple(WaterShown(each.at, each.celsius, each.source, each.place) for each in readings)
    kept = _weightiest(done)
    hours = [each.at for each in water] + [each.at for each in kept]
    hours += [at for each in windows for at in (each.earliest_at, each.latest_at)]
    now = talk.desk.now if run.state == "open" else None
    return NightPicture(
        run=run.number,
        called=talk.called(run),
        species=run.species,
        date=talk.day(min((group.first_at for group in run.groups), default=done[0].at)),
        since=min(hours),
        until=max(hours),
        water=water,
        assumed_celsius=None if water else talk.card(run).assumed_celsius,
        windows=windows,
        on_hold=on_hold,
        done=kept,
        more=len(done) - len(kept),
        now_at=now if now is not None and min(hours) <= now <= max(hours) else None,
    )


def _windows(talk: Talk, run: Run) -> tuple[tuple[WindowShown, ...], bool]:
    """The windows of the eggs and of the larvae, those that are alike as one, and whether the hours of any
    eggs are on hold."""
    found: list[WindowShown] = []
    on_hold = False
    for group in run.groups:
        view = strip_view(talk, run, group)
        if view is not None and view.held is None:
            found.append(_window("eggs", talk.part(run, group), view.window))
        on_hold = on_hold or (view is not None and view.held is not None)
    for batch in run.batches:
        hatch = hatch_view(talk, run, batch)
        if hatch is not None and start_of(batch) is not None:
            found.append(_window("hatch", _part(talk, run, batch=batch.name), hatch.window))
    together: dict[WindowShown, list[str]] = {}
    for each in found:
        together.setdefault(dataclasses.replace(each, called=""), []).append(each.called)
    windows = [
        dataclasses.replace(each, called=", ".join(filter(None, dict.fromkeys(names))))
        for each, names in together.items()
    ]
    return tuple(windows[:MOST_WINDOWS]), on_hold


def _window(of: Literal["eggs", "hatch"], called: str, window: Window) -> WindowShown:
    return WindowShown(
        of=of,
        called=called,
        earliest_at=window.earliest,
        likely_at=window.likely,
        latest_at=window.latest,
        most_from_at=window.most_from,
        most_to_at=window.most_to,
    )


def _part(talk: Talk, run: Run, *, group: str = "", batch: str = "") -> str:
    """Which of several groups or batches, by its fish or its place; "" where it is the only one."""
    eggs = batch_of(run, batch) if batch and len(run.batches) > 1 else None
    if eggs is not None:
        tags = mothers(eggs)
        place = eggs.place or next((each.place for each in run.groups if each.name == eggs.group), "")
        return ", ".join(tags) if tags and (len(tags) <= MOST_TAGS or not place) else place or eggs.name
    fish = group_of(run, group) if group else None
    return talk.part(run, fish) if fish is not None else ""


def _done(talk: Talk, run: Run) -> list[DoneShown]:
    """What was done, in order of happening; the same done to several fish in one breath is one line."""
    single = [told for event in as_called_now(talk.events_of(run.number)) for told in _told(talk, run, event)]
    lines = []
    for (at, what, called), alike in groupby(single, key=lambda each: (each.at, each.what, each.called)):
        same = list(alike)
        numbers = [each.number for each in same if each.number is not None]
        tags = tuple(dict.fromkeys(tag for each in same for tag in each.tags))
        if len(same) > 1 and numbers and what not in SUMS:
            lines += same
            continue
        total = round(sum(numbers), 3) if numbers and len(numbers) == len(same) else None
        lines.append(DoneShown(at, what, tags, total, called))
    return lines


def _told(talk: Talk, run: Run, event: Event) -> Iterator[DoneShown]:
    """The lines that an event makes: none where it tells of no deed."""
    match event.what:
        case Injected() as given:
            yield DoneShown(
                event.at, "priming" if given.which == "priming" else "injected", _named(given.tags)
            )
        case NoEggs() as none:
            yield DoneShown(event.at, "none", _named(none.tags))
        case Died() as dead:
            yield DoneShown(event.at, "died", _named(dead.tags))
        case EggsRun() as running:
            part = "" if running.tags else _part(talk, run, group=running.group)
            yield DoneShown(event.at, "eggs-run", _named(running.tags), called=part)
        case SpawnSeen() as seen if seen.answer != "no":
            yield DoneShown(event.at, "spawned", called=_part(talk, run, group=seen.group))
        case StepDone() as done if done.key.step not in SIDE_STEPS:
            part = _part(talk, run, group=done.key.group, batch=done.key.batch)
            yield DoneShown(event.at, done.key.step, called=part)
        case _:
            yield from _eggs(talk, run, event)


def _eggs(talk: Talk, run: Run, event: Event) -> Iterator[DoneShown]:
    """Eggs taken, and what was counted of them."""
    match event.what:
        case Stripped() as eggs:
            grams = [each.grams for each in eggs.eggs]
            known = [each for each in grams if each is not None]
            total = sum(known) if known and len(known) == len(grams) else None
            yield DoneShown(
                event.at, "stripped", _named([*(each.tag for each in eggs.eggs), *eggs.shared]), total
            )
        case Collected() as lot:
            yield DoneShown(event.at, "collected", number=lot.litres, called=lot.place or "")
        case Counted() as count:
            part = count.place or _part(talk, run, batch=count.batch)
            share = count.percent
            if share is None and count.good is not None and count.total:
                share = round(100 * count.good / count.total, 1)
            if share is not None:
                yield DoneShown(event.at, count.stage, number=share, called=part)
            if count.larvae is not None and count.stage == "hatched":
                yield DoneShown(
                    event.at, "larvae", number=count.larvae - (count.deformed or 0.0), called=part
                )


def _named(tags: Sequence[str]) -> tuple[str, ...]:
    return tuple(tag for tag in dict.fromkeys(tags) if tag)


def _weightiest(done: Sequence[DoneShown]) -> tuple[DoneShown, ...]:
    """As many as there is room for, in their order: counts and what happened to the fish before steps."""
    ranks = {name: rank for rank, name in enumerate((*COUNTS, *WEIGHTIEST))}
    order = sorted(range(len(done)), key=lambda n: (ranks.get(done[n].what, len(ranks)), n))
    return tuple(done[n] for n in sorted(order[:MOST_DONE]))


# The season -----------------------------------------------------------------------------------------------


def season(talk: Talk, said: say.Question, since: datetime, until: datetime) -> None:
    """The picture of the hatch rates of a period, of one species: the one named, else that of most runs."""
    period = said.period or "season"
    rows = [row for row in book(talk) if since <= row.begun_at < until and row.took_place]
    rows.sort(key=lambda row: row.age)
    kinds = [row.species for row in rows]
    most = sorted(dict.fromkeys(kinds), key=kinds.count, reverse=True)
    species = said.species or next(iter(most), None)
    chosen = [row for row in rows if row.species == species]
    if species is None or all(row.hatched_percent is None for row in chosen):
        raise no_hatch_yet(talk)
    fact = season_fact(talk, chosen, species, period)
    others = [slug for slug in most if slug != species][:MOST_OTHERS]
    buttons = [
        Button(
            f"species:{slug}",
            say.Question("season_picture", species=slug, period=said.period),
            "species",
            (("species", slug),),
        )
        for slug in others
    ]
    talk.replies.append(Reply(fact, tuple(buttons), picture="season"))


def season_fact(talk: Talk, rows: Sequence[RunRow], species: str, period: str) -> SeasonPicture:
    """All that is drawn of the runs of a season. An average only where all were told of the same eggs."""
    counted = [row for row in rows if row.hatched_percent is not None]
    kinds = {row.hatched_of for row in counted}
    shares = [row.hatched_percent for row in counted if row.hatched_percent is not None]
    return SeasonPicture(
        period=period,
        species=species,
        runs=len(rows),
        counted=len(counted),
        shown=tuple(_run_shown(talk, row) for row in rows[-MOST_RUNS:]),
        mean_percent=round(fmean(shares), 1) if len(shares) > 1 and len(kinds) == 1 else None,
    )


def _run_shown(talk: Talk, row: RunRow) -> RunShown:
    why = ""
    if row.hatched_percent is None:
        settled = row.state == "closed" and not row.had_eggs
        why = "no-eggs" if settled else "open" if row.state == "open" else "no-figure"
    span = row.hatched_span if row.hatched_percent is not None else None
    return RunShown(
        run=row.run,
        date=talk.day(row.begun_at),
        percent=row.hatched_percent,
        low=None if span is None else span.low,
        high=None if span is None else span.high,
        of=row.hatched_of,
        why=why,
    )


# Offered --------------------------------------------------------------------------------------------------


def season_button(species: str | None, period: str | None, counted: int) -> tuple[Button, ...]:
    """Under figures of a season that has some to compare."""
    asked = say.Question("season_picture", species=species, period=period)  # type: ignore[arg-type]
    return (Button("picture", asked, "picture"),) if counted > 1 else ()
