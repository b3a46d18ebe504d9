"""Counting: eggs in a gram, what was fertilised, what hatched; and how a run ends."""

from __future__ import annotations

import dataclasses
from datetime import datetime, timedelta

from core import commands as say
from core import eggs, forecasts, results
from core.assistant import own_counts
from core.assistant.bowls import eggs_fact
from core.assistant.card import say_run
from core.assistant.choosing import are_of, batch_for, is_named, names_of, no_run, run_for
from core.assistant.settling import EARLY_SHARE
from core.assistant.talk import AskFirst, Talk
from core.assistant.windows import hatch_view
from core.errors import HatchError
from core.records import (
    BOOK,
    Batch,
    Closed,
    Count,
    Counted,
    CountOf,
    EggsCounted,
    LarvaeSold,
    Run,
    RunRow,
)
from core.replies import (
    Ask,
    Button,
    FertilisedShare,
    HatchedShare,
    Noted,
    Refused,
    Reply,
)
from core.runs import batch_of, females, unsettled
from core.survival import Reckoned, worked_out

COUNTED_BY = {"fertilised": "check-fertilised", "hatched": "check-hatch"}
MOST_PER_GRAM = 10_000


def egg_count(talk: Talk, said: say.EggCount) -> None:
    """The farm's own eggs per gram: for the newest run of the species that has eggs, and for the next ones.

    What runs before it were reckoned with stays.
    """
    if not 0 < said.eggs_per_gram < MOST_PER_GRAM:
        raise AskFirst(Reply(Ask("egg-count", "implausible", number=said.eggs_per_gram)))
    named = [run for run in talk.live() if is_named(talk, run, said.run)]
    weighed = [run for run in named if any(batch.eggs for batch in run.batches)]
    if talk.pinned.run:
        weighed = [talk.run(talk.pinned.run)]
    species = own_counts.species_of(talk, said, weighed)
    fact = own_counts.keep(talk, species, "gram", said.eggs_per_gram)
    of_species = [run for run in weighed if run.species == species]
    if not of_species:
        talk.say(fact)
        return
    run = of_species[-1]
    talk.tell(run.number, EggsCounted(said.eggs_per_gram))
    now = talk.run(run.number)
    batch = next((each for each in reversed(now.batches) if each.eggs), None)
    if batch is None:
        talk.say(fact)
        return
    cautions = ("count-far",) if fact.far else ()
    talk.say(dataclasses.replace(eggs_fact(talk, now, batch), kept_for=species), cautions=cautions)


def fertilised(talk: Talk, said: say.Fertilised) -> None:
    """A count of fertilised eggs."""
    run, batch = _counted_batch(talk, said, "fertilised")
    if not talk.sure:
        _check_counted_early(talk, run, batch, said)
    place = place_in(run, batch_of(run, batch), said.place)
    told = Counted(batch, "fertilised", said.good, said.total, said.percent, place=place)
    share = _share(said.good, said.total, said.percent)
    event = talk.tell(run.number, told)
    now = talk.run(run.number)
    percent, low, high = share
    talk.say(
        FertilisedShare(
            run=run.number,
            called=_called(talk, now, batch_of(now, batch), batch, place),
            batch=batch,
            good=None if said.good is None else round(said.good),
            total=None if said.total is None else round(said.total),
            percent=percent,
            low_percent=low,
            high_percent=high,
            whole_percent=_of_the_whole(batch_of(now, batch), "fertilised"),
        ),
        Button("undo", say.Undo((event.id,)), "undo"),
        cautions=talk.once(run.number, "take-whites-out"),
    )


def _check_counted_early(talk: Talk, run: Run, name: str, said: say.Fertilised) -> None:
    """Long before the count hour good eggs cannot be told from others: it is asked."""
    batch = batch_of(run, name)
    hours = talk.card(run).count_hours
    start = forecasts.start(run, batch, talk.card(run)) if batch else None
    if batch is None or hours is None or start is None:
        return
    due = start + timedelta(hours=hours.low)
    if talk.said_at < start + (due - start) * EARLY_SHARE:
        raise _long_before(talk, run, name, said, "counted", due)


def _long_before(
    talk: Talk,
    run: Run,
    name: str,
    said: say.Fertilised | say.Hatched | say.LarvaeCount,
    what: str,
    at: datetime,
) -> AskFirst:
    """Told long before anybody could see it: is it so? `what` is `counted` or `hatched`."""
    buttons = (
        Button("yes", say.Pick(said, run.number, batch=name, sure=True), f"{what}-yes"),
        Button("no", say.Nothing(said.kind), "no-change"),
    )
    why = {"counted": "long-before-count", "hatched": "long-before-larvae"}[what]
    return AskFirst(
        Reply(Ask(f"{what}-early", why, run.number, talk.batch_called(run, name), at=at), buttons)
    )


def _share(
    good: float | None, total: float | None, percent: float | None
) -> tuple[float, float | None, float | None]:
    """Percent with its range; a percent without counts has none. Raises `AskFirst` for what cannot be."""
    if good is not None and total is not None:
        try:
            found = eggs.share(good, total)
        except HatchError:
            raise AskFirst(Reply(Ask("count", "implausible", number=good))) from None
        return found.percent, found.low, found.high
    if percent is not None and 0 <= percent <= 100:
        return percent, None, None
    raise AskFirst(
        Reply(Ask("count", "implausible" if percent is not None else "no-total", number=percent or good))
    )


def _counted_batch(talk: Talk, said: say.Fertilised | say.Hatched, stage: str) -> tuple[Run, str]:
    awaited = talk.desk.awaiting
    if awaited and awaited.about == stage and awaited.run in {run.number for run in talk.live()}:
        run = talk.run(awaited.run)
        batch = batch_of(run, awaited.batch)
        others = said.place or not is_named(talk, run, said.run)
        if batch is not None and not others and are_of(batch, said.tags):
            return run, awaited.batch
    run = run_for(talk, said, lambda each: bool(each.fish), words=said.run, tags=said.tags)
    name = batch_for(
        talk,
        run,
        said,
        lambda each: getattr(each, stage) is None,
        place=said.place,
        tags=said.tags,
        step=COUNTED_BY[stage],
    )
    return run, name


# Hatching -------------------------------------------------------------------------------------------------


def hatched(talk: Talk, said: say.Hatched) -> None:
    """A hatch count: of all eggs or of the good ones, known or asked, and shown."""
    run, batch = _counted_batch(talk, said, "hatched")
    if said.good is None and said.percent is None and said.larvae is None:
        talk.expect("hatched", run.number, batch)
        talk.say(Ask("hatched", "count-wanted", run.number, talk.batch_called(run, batch)))
        return
    _check_counts(said)
    if not talk.sure:
        check_hour(talk, run, batch, said)
    told = Counted(
        batch,
        "hatched",
        said.good,
        said.total,
        said.percent,
        said.larvae,
        said.of or "unknown",
        said.deformed,
        place_in(run, batch_of(run, batch), said.place),
    )
    event = talk.tell(run.number, told)
    say_hatched(talk, talk.run(run.number), batch, event.id)


def check_hour(talk: Talk, run: Run, name: str, said: say.Hatched | say.LarvaeCount) -> None:
    """Larvae long before anybody saw any are asked about first."""
    batch = batch_of(run, name)
    start = forecasts.start(run, batch, talk.card(run)) if batch else None
    if batch is None or start is None:
        return
    view = hatch_view(talk, run, batch)
    if view is None:
        return
    first = view.window.earliest
    if talk.said_at < start + (first - start) * EARLY_SHARE:
        raise _long_before(talk, run, name, said, "hatched", first)


def _check_counts(said: say.Hatched) -> None:
    """Raises `AskFirst` for a count that cannot be."""
    if said.percent is not None or said.good is not None:
        _share(said.good, said.total, said.percent)
    if said.deformed is not None and said.larvae is not None and said.deformed > said.larvae:
        raise AskFirst(Reply(Ask("count", "implausible", number=said.deformed)))


def say_hatched(talk: Talk, run: Run, name: str, event: int) -> None:
    """The hatch figure of a batch, with the question of what it was of."""
    batch = batch_of(run, name)
    if batch is None or batch.hatched is None:
        return
    count = next((each for each in batch.counts if each.event == event), batch.hatched)
    fact = hatched_fact(talk, run, batch, count)
    buttons = []
    rate_told = fact.percent_as_told is not None
    asks = "count-of" if rate_told and count.of == "unknown" else ""
    if asks:
        kinds: tuple[CountOf, ...] = ("all", "fertilised")
        buttons = [
            Button(f"answer:{of}", say.CountWasOf(run.number, name, of, event), f"of-{of}") for of in kinds
        ]
    talk.say(
        fact,
        *buttons,
        Button("undo", say.Undo((event,)), "undo"),
        asks=asks,
        cautions=talk.once(run.number, "never-bath-larvae"),
    )


def hatched_fact(talk: Talk, run: Run, batch: Batch, count: Count) -> HatchedShare:
    """The facts of a batch's hatching, or of that in one of its places."""
    others = [each for each in batch.counts if (each.stage, each.place) == ("fertilised", count.place)]
    good_of = others[-1] if others else batch.fertilised
    worked = eggs.hatched(
        of=count.of,
        good=count.good,
        total=count.total,
        percent=count.percent,
        larvae=count.larvae,
        deformed=count.deformed,
        fertilised_percent=results.percent_of(good_of),
    )
    also_low, also_high = _worked_out(count.of, worked, good_of)
    return HatchedShare(
        run=run.number,
        called=_called(talk, run, batch, batch.name, count.place),
        batch=batch.name,
        larvae=worked.larvae,
        percent_as_told=worked.percent_as_told,
        percent_of_fertilised=worked.percent_of_fertilised,
        percent_of_eggs=worked.percent_of_eggs,
        low_percent=worked.low_percent,
        high_percent=worked.high_percent,
        of=count.of,
        deformed=worked.deformed,
        first_feed_at=forecasts.first_feed_at(run, batch, talk.card(run)),
        swim_up_at=forecasts.swim_free_at(run, batch, talk.card(run)) if run.way == "nest" else None,
        whole_percent=_of_the_whole(batch, "hatched") if count.place else None,
        also_low=also_low,
        also_high=also_high,
    )


def _worked_out(of: CountOf, told: eggs.Hatched, good_of: Count | None) -> tuple[int | None, int | None]:
    """The doubt of the share that was not told but worked out from it and that of fertilised eggs."""
    if of == "unknown" or told.low_percent is None or told.high_percent is None:
        return None, None
    if told.percent_as_told is None:
        return None, None
    if good_of is None or good_of.good is None or not good_of.total or good_of.percent is not None:
        return None, None
    good = eggs.share(good_of.good, good_of.total)
    hatched = Reckoned(told.percent_as_told, told.low_percent, told.high_percent).times(0.01)
    fertilised = Reckoned(good.percent, good.low, good.high).times(0.01)
    return worked_out(of, hatched, fertilised)


def place_in(run: Run, batch: Batch | None, place: str | None) -> str:
    """The jar or tray of a count, as it was first called; "" for the whole: no place told, or where the fish
    are."""
    if not place:
        return ""
    known = [*batch.places, *(count.place for count in batch.counts)] if batch else []
    for each in known:
        if each.casefold() == place.casefold():
            return each
    return "" if batch is not None and place.lower() in names_of(run, batch) else place


def _called(talk: Talk, run: Run, batch: Batch | None, name: str, place: str) -> str:
    """A jar is named where there are several."""
    jars = {*batch.places, *(count.place for count in batch.counts)} - {""} if batch else set()
    return place if place and len(jars) > 1 else talk.batch_called(run, name)


def _of_the_whole(batch: Batch | None, stage: str) -> float | None:
    """The share over all places of the batch, where more than one was counted."""
    counted = [each for each in batch.counts if each.stage == stage] if batch else []
    return results.percent_of(getattr(batch, stage)) if len(counted) > 1 else None


def count_was_of(talk: Talk, said: say.CountWasOf) -> None:
    """Of all eggs, or of the good ones: the count is told again with what it was of."""
    run = talk.run(said.run_number)
    old = talk.event(run.number, said.event)
    if old is None or not isinstance(old.what, Counted):
        talk.say(Refused("nothing-to-undo"))
        return
    event = talk.tell_anew(old, dataclasses.replace(old.what, of=said.of))
    say_hatched(talk, talk.run(run.number), said.batch, event.id)


# How a run ends -------------------------------------------------------------------------------------------


def close_if_over(talk: Talk) -> None:
    """A run closes by itself once larvae were fed, or once no female gave eggs and all are settled."""
    touched = dict.fromkeys(event.run for event in talk.events if event.run != BOOK)
    for number in touched:
        run = talk.run(number)
        if run.state == "open" and _is_over(run):
            talk.tell(number, Closed(reported=True))
            say_run(talk, talk.run(number))


def _is_over(run: Run) -> bool:
    fed = {key.batch for key, _ in run.answered if key.step == "first-feed" and key not in run.skipped}
    if run.batches:
        lots = [batch for batch in run.batches if not batch.test_lot] or list(run.batches)
        return all(batch.name in fed for batch in lots)
    if fed:
        return True
    given = females(run)
    return (
        run.way == "stripped"
        and bool(given)
        and all(fish.shots or fish.state != "waiting" for fish in given)
        and not unsettled(run)
        and any(fish.state in ("none", "died") for fish in given)
    )


def book(talk: Talk) -> tuple[RunRow, ...]:
    """The results book, with open runs as they stand now."""
    return talk.rows_now()


def sold(talk: Talk, said: say.Sold) -> None:
    """Larvae sold: a number of its own beside hatched and swim-up, often told after the run closed."""
    if said.larvae is None:
        raise AskFirst(Reply(Ask("sold", "no-number")))
    row = _row_sold_from(talk, said)
    if row is None:
        raise no_run()
    before, hatched = row.sold or 0.0, row.larvae
    if hatched is not None and before + said.larvae > hatched and not talk.sure:
        yes = Button("yes", say.Pick(said, row.run, sure=True), "sold-yes")
        fact = Ask("sold", "more-than-hatched", row.run, number=before + said.larvae)
        raise AskFirst(Reply(fact, (yes, Button("no", say.Nothing("sold"), "no-change"))))
    what = LarvaeSold(said.larvae, said.age_days, said.price, said.currency)
    event = talk.tell(row.run, what)
    noted = Noted("sold", row.run, number=said.larvae, total=before + said.larvae, whole=hatched)
    talk.say(noted, Button("undo", say.Undo((event.id,)), "undo"))


def _row_sold_from(talk: Talk, said: say.Sold) -> RunRow | None:
    """The run whose larvae are of that age, else the newest with larvae, else the newest with eggs."""
    rows = [row for row in book(talk) if row.had_eggs and row.state != "cancelled"]
    if talk.pinned.run:
        return next((row for row in rows if row.run == talk.pinned.run), None)
    rows.sort(key=lambda row: (row.hatched_at is not None or row.larvae is not None, row.begun_at, row.run))
    born = None if said.age_days is None else talk.said_at - timedelta(days=said.age_days)
    hatched = [row for row in rows if row.hatched_at is not None]
    if born is not None and hatched:
        return min(reversed(hatched), key=lambda row: abs((row.hatched_at or born) - born))
    return rows[-1] if rows else None


def no_hatch_yet(talk: Talk) -> AskFirst:
    """No run of the farm has a hatch figure."""
    if any(run.state == "open" for run in talk.live()) or talk.desk.rows:
        return AskFirst(Reply(Ask("no-run", "no-hatch-yet")))
    return no_run()
