"""A run's indicators, and questions over several runs. Missing is never 0 and never averaged in."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from statistics import fmean
from typing import Literal, TypeVar

from core import conditions
from core.conditions import hours_to_strip
from core.dosing import PREPARATIONS, held, went_in
from core.eggs import hatched as both_shares
from core.eggs import share
from core.larvae import from_cups
from core.records import (
    Batch,
    BatchRow,
    Count,
    CountOf,
    CupSample,
    Fish,
    FishRow,
    NeedleRow,
    Run,
    RunRow,
    Shot,
    Span,
)
from core.runs import females, group_of, mothers
from core.species import Card
from core.stock import UNITS

T = TypeVar("T")
ROW_VERSION = 5
"""Goes up with whatever changes what `row_of` makes of the same run: rows of before are then made anew."""


@dataclass(frozen=True, slots=True)
class Rate:
    """A run's rate in percent of `of`, over its batches; `at` is the newest count it rests on."""

    percent: float
    of: CountOf
    at: datetime


def percent_of(count: Count | None) -> float | None:
    """The percent a count tells; `None` where none was told."""
    return None if count is None else count.share


def _weights(batches: Sequence[Batch]) -> list[float] | None:
    """Grams of eggs of each batch where all were weighed, litres where all were measured, else `None`."""
    grams = [[one.grams for one in batch.eggs] for batch in batches]
    if all(of and all(of) for of in grams):
        return [sum(one for one in of if one) for of in grams]
    litres = [batch.litres for batch in batches]
    return [one or 0.0 for one in litres] if all(litres) else None


def _over(batches: Sequence[Batch], stage: str) -> Rate | None:
    """Over batches by the eggs in them where all were weighed, or all measured; else each counts the same.

    Batches counted of different wholes are not mixed: those of the commonest kind are taken.
    """
    same = _of_one_kind(batches, stage)
    if not same:
        return None
    shares = [percent_of(count) or 0.0 for _, count in same]
    mean = fmean(shares, weights=_weights([batch for batch, _ in same]))
    return Rate(round(mean, 1), same[0][1].of, max(count.at for _, count in same))


def _of_one_kind(batches: Sequence[Batch], stage: str) -> list[tuple[Batch, Count]]:
    """The batches with a share, and their counts; of what most of them were counted."""
    counts = [
        (batch, count)
        for batch in batches
        if (count := getattr(batch, stage)) and percent_of(count) is not None
    ]
    of = commonest([count.of for _, count in counts], "unknown")
    return [(batch, count) for batch, count in counts if count.of == of]


def commonest(kinds: Sequence[T], without: T) -> T:
    """The kind there is most of, of equals the first; `without` where there is none."""
    return max(dict.fromkeys(kinds), key=kinds.count, default=without)


def fertilised(run: Run) -> Rate | None:
    """The fertilised share of the run."""
    return _over(run.batches, "fertilised")


def hatched(run: Run) -> Rate | None:
    """The hatch rate of the run, of what it was told of."""
    return _over(run.batches, "hatched")


@dataclass(frozen=True, slots=True)
class Hatch:
    """The hatch of a run in percent of all eggs and of the good ones, told or worked out; `None` where it is
    not known."""

    of_all: float | None
    of_fertilised: float | None


def hatched_both(run: Run) -> Hatch:
    """The hatch of all eggs and of the good ones, where batch by batch both are known; over the batches that
    `hatched` is over."""
    same = _of_one_kind(run.batches, "hatched")
    weights = _weights([batch for batch, _ in same])
    both = [
        both_shares(of=count.of, percent=percent_of(count), fertilised_percent=percent_of(batch.fertilised))
        for batch, count in same
    ]
    return Hatch(
        of_all=_mean([each.percent_of_eggs for each in both], weights),
        of_fertilised=_mean([each.percent_of_fertilised for each in both], weights),
    )


def _mean(shares: Sequence[float | None], weights: list[float] | None) -> float | None:
    known = [each for each in shares if each is not None]
    return round(fmean(known, weights=weights), 1) if known and len(known) == len(shares) else None


def larvae(run: Run) -> int | None:
    """Larvae told, over all batches; deformed ones are no hatch."""
    told = [found for batch in run.batches if (found := _larvae(batch.hatched)) is not None]
    return round(sum(told)) if told else None


def _larvae(count: Count | None) -> float | None:
    return None if count is None or count.larvae is None else count.larvae - (count.deformed or 0)


def swim_up(run: Run) -> float | None:
    """Larvae counted at swim-up, over all tanks; `None` where none were."""
    return sum(each.larvae for each in run.swim_up) if run.swim_up else None


def larvae_span(run: Run) -> Span | None:
    """The doubt of larvae counted in cups at hatch; `None` where any of them were told without."""
    counts = [each for b in run.batches for each in b.counts if each.stage == "hatched"]
    told = [each for each in counts if each.larvae is not None]
    return _added_spans([(each.larvae or 0.0, each.sample) for each in told])


def swim_up_span(run: Run) -> Span | None:
    """The doubt of larvae counted in cups at swim-up."""
    return _added_spans([(each.larvae, each.sample) for each in run.swim_up])


def _added_spans(told: Sequence[tuple[float, CupSample | None]]) -> Span | None:
    """The doubts of several tanks put together, as a root of squares."""
    found = []
    for number, sample in told:
        if sample is None:
            return None
        one = from_cups(sample.counts, sample.cup_ml, sample.litres)
        found.append((number, one.low, one.high))
    if not found:
        return None
    whole = sum(number for number, _, _ in found)
    down = math.hypot(*(number - low for number, low, _ in found))
    up = math.hypot(*(high - number for number, _, high in found))
    return Span(max(whole - down, 0.0), whole + up)


def share_span(run: Run, stage: str) -> Span | None:
    """The doubt of a counted share, in percent, where it rests on one count."""
    counts = [count for batch in run.batches if (count := getattr(batch, stage)) is not None]
    if len(counts) != 1 or counts[0].good is None or not counts[0].total or counts[0].percent is not None:
        return None
    found = share(counts[0].good - (counts[0].deformed or 0.0), counts[0].total)
    return Span(found.low, found.high)


def _litres(run: Run) -> tuple[float | None, float | None]:
    """Litres of swollen eggs, all told, and how many the farm counted in a mL of them."""
    lots = [lot for batch in run.batches for lot in batch.lots]
    own = [lot.eggs_per_ml for lot in lots if lot.eggs_per_ml]
    return (round(sum(lot.litres for lot in lots), 3) if lots else None), own[-1] if own else None


def ovulated(run: Run) -> int | None:
    """How many injected females gave eggs; `None` where eggs came without the female's name."""
    if (
        run.way != "stripped"
        or not run.groups
        or any(len(batch.shared) > 1 and not batch.all_gave for batch in run.batches)
    ):
        return None
    females_given = [fish for fish in females(run) if fish.shots or run.batches]
    if not any(fish.state in ("stripped", "none", "died") or fish.running_at for fish in females_given):
        return None
    asked = [fish for fish in females(run) if fish.shots] or list(females(run))
    gave = {one.tag for batch in run.batches for one in batch.eggs} | {
        t for b in run.batches for t in b.shared
    }
    return sum(1 for fish in asked if fish.tag in gave)


def injected(run: Run) -> int | None:
    """How many females were injected."""
    number = sum(1 for fish in females(run) if fish.shots)
    return number or None


def injected_kg(run: Run) -> float | None:
    """Kilos of females injected."""
    given = [fish.kg for fish in females(run) if fish.shots]
    return round(sum(given), 3) if given else None


def eggs_by_weight(run: Run) -> tuple[float, float] | None:
    """Grams of dry eggs and kilos of the females that gave them; `None` where not all of either is sure."""
    sure = all(batch.dry is not False and (len(batch.shared) < 2 or batch.all_gave) for batch in run.batches)
    grams = [one.grams for batch in run.batches for one in batch.eggs]
    gave = {tag for batch in run.batches for tag in mothers(batch)}
    kg = sum(fish.kg for fish in females(run) if fish.tag in gave)
    if not (sure and grams and all(grams) and kg):
        return None
    return round(sum(each for each in grams if each), 1), round(kg, 3)


def used_ml(run: Run) -> float | None:
    """Millilitres that went into all fish; `None` where that is not known of every shot."""
    return _added(shot.ml for fish in run.fish for shot in fish.shots)


def _added(told: Iterable[float | None]) -> float | None:
    """All of them together; `None` where there is none, or one was not told."""
    numbers = list(told)
    known = [number for number in numbers if number is not None]
    return round(sum(known), 4) if known and len(known) == len(numbers) else None


def substance(given: Sequence[FishRow]) -> tuple[float, str] | None:
    """The active substance these fish got together, and its unit; `None` where it is not known of each."""
    units = {fish.unit for fish in given}
    amounts = [fish.amount for fish in given if fish.amount is not None]
    return (sum(amounts), units.pop()) if len(units) == 1 and len(amounts) == len(given) else None


def _fish_row(run: Run, fish: Fish) -> FishRow:
    amounts = [went_in(run, shot) for shot in fish.shots]
    units = {shot.unit or PREPARATIONS[run.preparation].unit for shot in fish.shots}
    unit = units.pop() if len(units) == 1 else ""
    hers = [(batch, one) for batch in run.batches for one in batch.eggs if one.tag == fish.tag]
    shared = [batch for batch in run.batches if fish.tag in batch.shared and batch.all_gave]
    settled = fish.settled_at if fish.state == "stripped" else None  # of which only the day may be known
    begun = [batch.begun_at or settled or batch.told_at for batch in (*(of for of, _ in hers), *shared)]
    dry = all(batch.dry is not False for batch, _ in hers)
    return FishRow(
        tag=fish.tag,
        sex=fish.sex,
        kg=fish.kg,
        first_at=fish.shots[0].at if fish.shots else None,
        ml=_added(shot.ml for shot in fish.shots),
        amount=_added(amounts) if unit else None,
        unit=unit,
        state=fish.state,
        gave_at=min(begun, default=None),
        egg_grams=_added(one.grams for _, one in hers) if dry and not shared else None,
        died_at=fish.settled_at if fish.state == "died" else None,
        cut=fish.cut,
        tagged=fish.tagged,
    )


def needles(run: Run) -> tuple[NeedleRow, ...]:
    """What each going with the needle took, in what the bottles of the run's preparation are counted in."""
    by_hour: dict[datetime, list[float | None]] = {}
    for fish in run.fish:
        for shot in fish.shots:
            by_hour.setdefault(shot.at, []).append(_of_the_bottle(run, shot))
    return tuple(_needle(at, took) for at, took in sorted(by_hour.items()))


def _needle(at: datetime, took: Sequence[float | None]) -> NeedleRow:
    told = [amount for amount in took if amount is not None]
    return NeedleRow(at, round(math.fsum(told), 4) if told else None, len(took) - len(told))


def _of_the_bottle(run: Run, shot: Shot) -> float | None:
    """What one injection took of the bottle; `None` where nobody told."""
    amount = went_in(run, shot)
    if UNITS[run.preparation] != "mL":
        return amount
    per_ml = held(run.preparation, run.strength)
    return shot.ml if shot.ml is not None or amount is None or not per_ml else amount / per_ml


def row_of(run: Run, card: Card | None = None) -> RunRow:
    """The run as one row of the results book; without the card of its species it has no window. What it holds
    changes with ROW_VERSION alone."""
    hatch, fert, both = hatched(run), fertilised(run), hatched_both(run)
    weighed = eggs_by_weight(run)
    litres, per_ml = _litres(run)
    rows = tuple(row for batch in run.batches for row in _batch_rows(run, batch))
    first = min((group.first_at for group in run.groups), default=run.opened_at)
    return RunRow(
        run=run.number,
        species=run.species,
        begun_at=first,
        ended_at=run.ended_at,
        state=run.state,
        fertilised_percent=fert.percent if fert else None,
        hatched_percent=hatch.percent if hatch else None,
        hatched_of=hatch.of if hatch else "unknown",
        hatched_at=hatch.at if hatch else None,
        larvae=larvae(run),
        hours_to_strip=hours_to_strip(run),
        ovulated=ovulated(run),
        injected=injected(run),
        had_eggs=bool(run.batches),
        way=run.way,
        batches=rows if len(rows) > 1 else (),
        sold=run.sold,
        injected_kg=injected_kg(run),
        gave_kg=weighed[1] if weighed else None,
        egg_grams=weighed[0] if weighed else None,
        swim_up=swim_up(run),
        larvae_span=larvae_span(run),
        swim_up_span=swim_up_span(run),
        fertilised_span=share_span(run, "fertilised"),
        hatched_span=share_span(run, "hatched"),
        eggs_per_gram=run.eggs_per_gram,
        egg_litres=litres,
        eggs_per_ml=per_ml,
        fish=tuple(_fish_row(run, fish) for fish in run.fish),
        preparation=None if run.preparation_assumed else run.preparation,
        strength=run.strength,
        used_ml=used_ml(run),
        bottle=run.bottle,
        needles=needles(run),
        of_all_percent=both.of_all,
        of_fertilised_percent=both.of_fertilised,
        water=conditions.water_until_eggs(run),
        hatch_water=conditions.water_until_hatch(run),
        window=conditions.window_of(run, card),
        ran_minutes=conditions.ran_minutes(run),
        milt_minutes=conditions.milt_minutes(run),
        looks=conditions.looks(run),
        spent=run.spent,
        earned=run.earned,
    )


def _batch_rows(run: Run, batch: Batch) -> Iterator[BatchRow]:
    """A row for a batch, or one for each of its jars where several were counted."""
    jars = list(dict.fromkeys(count.place for count in batch.counts if count.place))
    if len(jars) < 2:
        group = group_of(run, batch.group)
        place = batch.place or (group.place if group else "")
        yield _batch_row(batch, place, batch.fertilised, batch.hatched, batch.litres, _grams(batch))
        return
    for jar in jars:
        told = {count.stage: count for count in batch.counts if count.place == jar}
        litres = sum(lot.litres for lot in batch.lots if lot.place == jar) or None
        yield _batch_row(batch, jar, told.get("fertilised"), told.get("hatched"), litres)


def _grams(batch: Batch) -> float | None:
    """Grams of the dry eggs of a batch, where all were weighed."""
    grams = [one.grams for one in batch.eggs]
    sure = batch.dry is not False and grams and all(grams)
    return round(sum(each for each in grams if each), 1) if sure else None


def _batch_row(
    batch: Batch,
    place: str,
    fertilised: Count | None,
    hatched: Count | None,
    litres: float | None,
    grams: float | None = None,
) -> BatchRow:
    share = percent_of(hatched)
    return BatchRow(
        name=batch.name,
        tags=mothers(batch),
        place=place,
        fertilised_percent=percent_of(fertilised),
        hatched_percent=share,
        hatched_of=hatched.of if hatched and share is not None else "unknown",
        larvae=_larvae(hatched),
        grams=grams,
        litres=litres,
    )


@dataclass(frozen=True, slots=True)
class Newest:
    """The newest run with a hatch figure, and the newer ones that have none."""

    row: RunRow
    newer_without: tuple[RunRow, ...]


def newest_hatch(rows: Sequence[RunRow], species: str | None = None) -> Newest | None:
    """The newest run of the farm with a hatch figure; cancelled runs and drafts are not looked at."""
    told = [row for row in rows if row.took_place and species in (None, row.species)]
    told.sort(key=lambda row: row.age, reverse=True)
    for place, row in enumerate(told):
        if row.hatched_percent is not None:
            return Newest(row, tuple(told[:place]))
    return None


Against = Literal["before", "early", "most", "late", "after"]
"""Where the hours to the eggs lie: before the window, in its early part, where most give, in its late part,
or after it."""


def against_window(row: RunRow) -> Against | None:
    """Where the hours to the eggs lie against the run's own window; `None` where either is not known."""
    if row.window is None or row.hours_to_strip is None:
        return None
    window, hours = row.window, row.hours_to_strip
    if hours < window.earliest:
        return "before"
    if hours < window.most_from:
        return "early"
    if hours <= window.most_to:
        return "most"
    return "late" if hours <= window.latest else "after"


# What a run of this farm usually gives --------------------------------------------------------------------

LATELY = 5
OfRow = Callable[[RunRow], float | None]


@dataclass(frozen=True, slots=True)
class Usual:
    """The mean of a figure over the newest `runs` that have it, and its ends."""

    mean: float
    low: float
    high: float
    runs: int


def usual(rows: Sequence[RunRow], species: str, figure: OfRow) -> Usual | None:
    """A figure of the newest runs of a species that have it, five at most; `None` where none has."""
    told = [row for row in rows if row.species == species and row.took_place]
    told.sort(key=lambda row: row.age, reverse=True)
    found = [value for row in told if (value := figure(row)) is not None][:LATELY]
    return Usual(fmean(found), min(found), max(found), len(found)) if found else None


def hatched_of_all(row: RunRow) -> float | None:
    """Percent of all eggs that hatched; `None` where it was told of what is not known."""
    if row.hatched_of == "all":
        return row.hatched_percent
    if row.of_all_percent is not None or row.hatched_of == "unknown":
        return row.of_all_percent
    known = row.hatched_percent is not None and row.fertilised_percent is not None
    return (row.hatched_percent or 0) * (row.fertilised_percent or 0) / 100 if known else None


def hatched_of_good(row: RunRow) -> float | None:
    """Percent of the good eggs that hatched; `None` where it was told of what is not known."""
    return row.hatched_percent if row.hatched_of == "fertilised" else row.of_fertilised_percent


def gave_percent(row: RunRow) -> float | None:
    """Percent of the injected females that gave eggs."""
    return 100 * row.ovulated / row.injected if row.ovulated is not None and row.injected else None


def grams_per_kg(row: RunRow) -> float | None:
    """Grams of dry eggs for each kg of a female that gave any."""
    return row.egg_grams / row.gave_kg if row.egg_grams is not None and row.gave_kg else None


def female_kg(row: RunRow) -> float | None:
    """What an injected female weighs."""
    return row.injected_kg / row.injected if row.injected_kg is not None and row.injected else None
