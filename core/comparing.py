"""Questions over the rows of several runs: the best, groups of runs side by side, one female's runs.

A comparison tells how many runs it rests on and from where to where they go, and never why. Of fewer than
`ENOUGH` runs there is no mean: too few to say. Runs without the figure stand in no mean and are named.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from statistics import fmean
from typing import Literal

from core import broodbook
from core.broodbook import BroodFish
from core.records import BatchRow, CountOf, FishRow, Preparation, RunRow
from core.results import commonest, hatched_of_all, hatched_of_good, substance
from core.runs import plain_tag

ENOUGH = 3
"""So many runs make a mean worth telling. A rule of our own."""
SAME_DOSE = 1.1
"""Doses no further apart than this ratio are of one group: syringes have marks. A rule of our own."""
WATER_STEP = 2.0
"""Degrees of one group of waters. A rule of our own."""

Why = Literal[
    "no-eggs", "not-reported", "no-figure", "other-eggs", "no-dose", "no-water", "no-name", "pooled"
]
"""Why a run is left out: among others its rate is of other eggs than those of most, or its females have no
name that holds in other runs, or their eggs lie in one lot."""
By = Literal["species", "female", "dose", "water", "season"]


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A run that a comparison could not take, and why."""

    row: RunRow
    why: Why


@dataclass(frozen=True, slots=True)
class Measured:
    """Runs with their hatch in percent, all of one kind of eggs; and those left out."""

    of: CountOf
    figures: Mapping[int, float]
    rows: tuple[RunRow, ...]
    left_out: tuple[LeftOut, ...]


OF: tuple[tuple[CountOf, Callable[[RunRow], float | None]], ...] = (
    ("all", hatched_of_all),
    ("fertilised", hatched_of_good),
    ("unknown", lambda row: row.hatched_percent if row.hatched_of == "unknown" else None),
)
"""What a hatch rate may be of, and that of a run; the first of equals is taken."""


def measured(rows: Iterable[RunRow]) -> Measured:
    """The runs with a hatch rate, of all eggs, of the good ones or of nobody knows what: of whichever most
    runs know, since rates of different eggs are never put side by side. Cancelled runs and drafts are not
    looked at, and open ones without a figure are not missing one yet."""
    looked_at = [row for row in rows if row.took_place]
    known = {of: {row.run: value for row in looked_at if (value := get(row)) is not None} for of, get in OF}
    of = max(known, key=lambda each: len(known[each]))
    left = [
        LeftOut(row, _why(row))
        for row in looked_at
        if row.run not in known[of] and (row.state != "open" or row.hatched_percent is not None)
    ]
    taken = tuple(row for row in looked_at if row.run in known[of])
    return Measured(of, known[of], taken, tuple(left))


def _why(row: RunRow) -> Why:
    if row.hatched_percent is not None:
        return "other-eggs"
    if row.state == "not-reported":
        return "not-reported"
    return "no-figure" if row.had_eggs else "no-eggs"


# A season -------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Several:
    """Runs of a period: how many counted, of which eggs, which are in no mean, and the plain range."""

    runs: int
    counted: int
    of: CountOf
    left_out: tuple[RunRow, ...]
    mean: float | None
    low: float | None
    high: float | None
    larvae: int | None
    sold: int | None


def over_period(
    rows: Sequence[RunRow], since: datetime, until: datetime, species: str | None = None
) -> Several:
    """The runs whose fish were injected in [since, until)."""
    chosen = [
        row
        for row in rows
        if since <= row.begun_at < until and row.took_place and species in (None, row.species)
    ]
    found = measured(chosen)
    figures = found.figures.values()
    counted_larvae = [row.larvae for row in chosen if row.larvae is not None]
    sold = [row.sold for row in chosen if row.sold is not None]
    return Several(
        runs=len(chosen),
        counted=len(figures),
        of=found.of,
        left_out=tuple(row for row in chosen if row.run not in found.figures),
        mean=round(fmean(figures), 1) if figures else None,
        low=min(figures, default=None),
        high=max(figures, default=None),
        larvae=round(sum(counted_larvae)) if counted_larvae else None,
        sold=round(sum(sold)) if sold else None,
    )


# The best -------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Best:
    """The run with the highest or lowest rate, and from where to where all go."""

    row: RunRow
    percent: float
    of: CountOf
    counted: int
    low: float
    high: float
    left_out: tuple[LeftOut, ...]


def best(rows: Iterable[RunRow], worst: bool = False) -> Best | None:
    """The best run, or the worst; of equals the newest. `None` where no run has a rate."""
    found = measured(rows)
    if not found.rows:
        return None
    sign = -1 if worst else 1
    row = max(found.rows, key=lambda each: (sign * found.figures[each.run], each.age))
    values = found.figures.values()
    return Best(
        row, found.figures[row.run], found.of, len(found.rows), min(values), max(values), found.left_out
    )


# Side by side ---------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class RunGroup:
    """Runs that share something: `name`, or a span `span_low`..`span_high` of it in `unit`. `mean` where they
    are enough, `low`..`high` are the ends of their rates."""

    name: str
    runs: int
    mean: float | None
    low: float
    high: float
    span_low: float | None = None
    span_high: float | None = None
    unit: str = ""


@dataclass(frozen=True, slots=True)
class SideBySide:
    """Groups of runs, in order, of a species or of all; how many runs are in them, and which are in none."""

    by: By
    of: CountOf
    species: str | None
    groups: tuple[RunGroup, ...]
    counted: int
    left_out: tuple[LeftOut, ...]


def _group(name: str, values: Sequence[float]) -> RunGroup:
    mean = round(fmean(values), 1) if len(values) >= ENOUGH else None
    return RunGroup(name, len(values), mean, min(values), max(values))


def by_name(rows: Iterable[RunRow], by: By, name: Callable[[RunRow], str]) -> SideBySide:
    """Runs by a name that each has, such as its species or its year; most runs first."""
    found = measured(rows)
    groups: dict[str, list[float]] = {}
    for row in found.rows:
        groups.setdefault(name(row), []).append(found.figures[row.run])
    made = [_group(each, values) for each, values in groups.items()]
    made.sort(key=lambda group: (-group.runs, group.name))
    return SideBySide(by, found.of, None, tuple(made), len(found.rows), found.left_out)


def commonest_species(rows: Iterable[RunRow]) -> str | None:
    """The species with the most rates: doses and waters of several are not put side by side."""
    found = measured(rows)
    species = [row.species for row in found.rows]
    return commonest(species, None)


def by_dose(rows: Iterable[RunRow], species: str | None) -> SideBySide:
    """Runs by what their females got for each kg, all shots together; of each preparation the least first."""
    found = measured(row for row in rows if species in (None, row.species))
    known = [(row, dose) for row in found.rows if (dose := dose_of(row)) is not None]
    known.sort(key=lambda each: (each[1].preparation, each[1].unit, each[1].per_kg))
    clusters: list[list[tuple[RunRow, Dose]]] = []
    for row, dose in known:
        first = clusters[-1][0][1] if clusters else None
        if first is not None and _same(first, dose):
            clusters[-1].append((row, dose))
        else:
            clusters.append([(row, dose)])
    groups = []
    for cluster in clusters:
        dose, per_kg = cluster[0][1], [each.per_kg for _, each in cluster]
        group = _group(dose.preparation, [found.figures[row.run] for row, _ in cluster])
        groups.append(_spanned(group, min(per_kg), max(per_kg), dose.unit))
    left = [LeftOut(row, "no-dose") for row in found.rows if dose_of(row) is None]
    return SideBySide("dose", found.of, species, tuple(groups), len(known), (*found.left_out, *left))


@dataclass(frozen=True, slots=True)
class Dose:
    """What the injected females of a run got for each kg of them, all shots together."""

    preparation: Preparation
    per_kg: float
    unit: str


def dose_of(row: RunRow) -> Dose | None:
    """`None` where it is not known of each of them, or there was none."""
    given = [fish for fish in row.fish if fish.sex == "f" and fish.first_at is not None]
    kg = sum(fish.kg for fish in given)
    told = substance(given)
    if row.preparation is None or told is None or not kg:
        return None
    return Dose(row.preparation, told[0] / kg, told[1])


def _same(first: Dose, other: Dose) -> bool:
    alike = (first.preparation, first.unit) == (other.preparation, other.unit)
    return alike and other.per_kg <= first.per_kg * SAME_DOSE


def _spanned(group: RunGroup, low: float, high: float, unit: str) -> RunGroup:
    return RunGroup(group.name, group.runs, group.mean, group.low, group.high, low, high, unit)


def by_water(rows: Iterable[RunRow], species: str | None) -> SideBySide:
    """Runs by the mean water of their eggs until they hatched, coolest first."""
    found = measured(row for row in rows if species in (None, row.species))
    groups: dict[float, list[float]] = {}
    for row in found.rows:
        if row.hatch_water is not None:
            step = math.floor(row.hatch_water.mean / WATER_STEP) * WATER_STEP
            groups.setdefault(step, []).append(found.figures[row.run])
    made = [_spanned(_group("", groups[step]), step, step + WATER_STEP, "C") for step in sorted(groups)]
    left = [LeftOut(row, "no-water") for row in found.rows if row.hatch_water is None]
    counted = sum(group.runs for group in made)
    return SideBySide("water", found.of, species, tuple(made), counted, (*found.left_out, *left))


# Females --------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class HerRun:
    """One run of a female, who she is in the brood book, and how she is told of in that run. `figure` is the
    hatch, of `of`, of the lot that her eggs are in, `others` whose eggs are in it too."""

    row: RunRow
    who: BroodFish
    fish: FishRow
    figure: float | None
    of: CountOf
    fertilised: float | None
    others: tuple[str, ...]


def runs_of(rows: Iterable[RunRow], tag: str, book: Iterable[BroodFish]) -> tuple[HerRun, ...]:
    """The runs of the female that had that tag last, newest first; `book` is the brood book of all rows."""
    known, hers = broodbook.in_runs(book), []
    for row in sorted(rows, key=lambda each: each.age, reverse=True):
        fish = next((one for one in row.fish if plain_tag(one.tag) == plain_tag(tag)), None)
        if fish is None or fish.sex == "m" or row.state == "draft":
            continue
        hers.append(_her_run(row, known[row.run, plain_tag(tag)], fish))
    return tuple(each for each in hers if each.who.number == hers[0].who.number)


def _her_run(row: RunRow, who: BroodFish, fish: FishRow) -> HerRun:
    lots = [lot for lot in row.batches if fish.tag in lot.tags]
    if lots and len({lot.tags for lot in row.batches}) > 1:
        return _of_lots(row, who, fish, lots)
    gave = tuple(one.tag for one in row.fish if one.gave_at is not None)
    if (row.batches and not lots) or (fish.gave_at is None and gave):
        return HerRun(row, who, fish, None, "unknown", None, ())
    others = tuple(tag for tag in gave if tag != fish.tag)
    if fish.gave_at is None:
        return HerRun(row, who, fish, None, "unknown", None, others)
    return HerRun(row, who, fish, row.hatched_percent, row.hatched_of, row.fertilised_percent, others)


def _of_lots(row: RunRow, who: BroodFish, fish: FishRow, lots: Sequence[BatchRow]) -> HerRun:
    """Of her lots the only one that was counted; of several none, since nobody weighed one against the
    other."""
    others = tuple(dict.fromkeys(tag for lot in lots for tag in lot.tags if tag != fish.tag))
    counted = [lot for lot in lots if lot.hatched_percent is not None]
    if len(counted) != 1:
        return HerRun(row, who, fish, None, "unknown", None, others)
    lot = counted[0]
    alone = tuple(tag for tag in lot.tags if tag != fish.tag)
    return HerRun(row, who, fish, lot.hatched_percent, lot.hatched_of, lot.fertilised_percent, alone)


def by_female(rows: Iterable[RunRow], book: Iterable[BroodFish]) -> SideBySide:
    """Females with a tag of their own, each by the lots that held her eggs alone; of the kind of rate that
    most of these have. `book` is the brood book of all rows."""
    who = broodbook.in_runs(book)
    hers: list[HerRun] = []
    left: list[LeftOut] = []
    for row in rows:
        if not row.took_place:
            continue
        gave = [fish for fish in row.fish if fish.sex == "f" and fish.gave_at is not None]
        found = [_her_run(row, who[row.run, plain_tag(fish.tag)], fish) for fish in gave]
        known = [each for each in found if each.figure is not None]
        own = [each for each in known if not each.who.run]
        alone = [each for each in own if not each.others]
        hers += alone
        if not alone and (row.state != "open" or known):
            hatched = known or row.hatched_percent is not None
            left.append(LeftOut(row, "pooled" if own else "no-name" if hatched else _why(row)))
    of = commonest([each.of for each in hers], "all")
    groups: dict[int, list[float]] = {}
    for each in hers:
        if each.of == of and each.figure is not None:
            groups.setdefault(each.who.number, []).append(each.figure)
    counted = {each.row.run for each in hers if each.of == of}
    left += [LeftOut(each.row, "other-eggs") for each in hers if each.of != of]
    names = {each.who.number: each.fish.tag for each in hers}
    made = [_group(names[number], values) for number, values in groups.items()]
    made.sort(key=lambda group: (-group.runs, group.name))
    return SideBySide("female", of, None, tuple(made), len(counted), tuple(dict.fromkeys(left)))
