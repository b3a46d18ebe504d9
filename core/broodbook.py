"""The brood book: a farm's own fish by their tags, folded from the rows of its runs and from what it tells.

Whose name a tag is: the farm's own tag follows its fish from run to run. Two kinds of names do not, for
nobody can know that they mean the same fish twice: F1, M1, X1 and so on, which fish without a tag get in
order of mention, and the numbers 1, 2, 3 ... of a run without a gap, which may be but the count of that
night. Such a number follows its fish once the farm told something of that tag by itself, or gave it to a fish
of that run. A tag is one fish while species and sex agree and she is not lost; weighed again after that it is
another fish that got the old tag.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from typing import Any, Literal

from core.once import by_identity
from core.records import Event, FishLost, FishRow, FishTold, Loss, Preparation, RunRow, Sex
from core.runs import plain_tag

Relation = Literal["parent", "child", "full-sibs", "half-sibs", "related", "none", "untold"]
PEDIGREE_SOURCES = ("genetics-course-kin",)
"""Those that are named plainly: parent and offspring, brothers and sisters, who share one parent."""

_NAME_OF_A_RUN = re.compile(r"[fmx][1-9]\d*")
_BUSY = ("waiting", "running")


@dataclass(frozen=True, slots=True)
class Weight:
    """`run` is 0 where it was weighed for the book alone."""

    at: datetime
    kg: float
    run: int = 0


@dataclass(frozen=True, slots=True)
class Spawning:
    """A run she took part in: whether she gave eggs, `None` where they are there and nobody told whose; grams
    of dry eggs where weighed. Of a male `gave` says whether the run had eggs."""

    run: int
    at: datetime
    gave: bool | None
    grams: float | None = None


@dataclass(frozen=True, slots=True)
class Treatment:
    """All the hormone that a fish got in a run: mL, and the active substance in `unit`, where told."""

    at: datetime
    run: int
    preparation: Preparation | None
    ml: float | None
    amount: float | None
    unit: str


@dataclass(frozen=True, slots=True)
class Lost:
    how: Loss
    at: datetime
    run: int = 0


@dataclass(frozen=True, slots=True)
class BroodFish:
    """A fish of the farm. `number` is its place in the book, `mother` and `father` are such numbers. `run` is
    0 for a tag of the farm's own, else the only run in which that name means this fish. `busy`: she takes
    part in a run that is not over."""

    number: int
    tag: str
    species: str | None = None
    sex: Sex | None = None
    run: int = 0
    origin: str = ""
    mother: int | None = None
    father: int | None = None
    hatched: int | None = None
    note: str = ""
    weights: tuple[Weight, ...] = ()
    spawnings: tuple[Spawning, ...] = ()
    treated: tuple[Treatment, ...] = ()
    lost: Lost | None = None
    busy: bool = False

    @property
    def parents(self) -> tuple[int, ...]:
        """Those that were told."""
        return tuple(each for each in (self.mother, self.father) if each is not None)

    @property
    def weight(self) -> Weight | None:
        """The newest."""
        return max(self.weights, key=lambda each: each.at, default=None)

    @property
    def gave(self) -> Spawning | None:
        """The newest spawning in which she gave eggs, or may have."""
        told = [each for each in self.spawnings if each.gave is not False]
        return max(told, key=lambda each: each.at, default=None)


def is_name_of_a_run(tag: str) -> bool:
    """F1, M2, X1: what a fish without a tag is called, within one run."""
    return _NAME_OF_A_RUN.fullmatch(plain_tag(tag)) is not None


def counted_off(tags: Iterable[str]) -> frozenset[str]:
    """The numbers among these tags of one run where they are 1, 2, 3 ... without a gap."""
    numbers = {plain_tag(tag) for tag in tags if plain_tag(tag).isdecimal()}
    gapless = {int(each) for each in numbers} == set(range(1, len(numbers) + 1))
    return frozenset(numbers) if gapless else frozenset()


# Folding --------------------------------------------------------------------------------------------------


@by_identity
def brood_book(rows: Iterable[RunRow], events: Iterable[Event]) -> tuple[BroodFish, ...]:
    """The fish of the farm in order of mention, by the rows of its runs and the standing events of its
    book."""
    told = [event for event in events if isinstance(event.what, FishTold | FishLost)]
    known = list(rows)
    named = {tag for event in told for tag in _tags_told(event.what)}
    named |= {plain_tag(fish.tag) for row in known for fish in row.fish if fish.tagged}
    now = _Folding(frozenset(named))
    steps: list[tuple[datetime, int, int, RunRow | Event]] = [
        *((row.begun_at, 0, row.run, row) for row in known),
        *((event.at, 1, event.id, event) for event in told),
    ]
    for *_, step in sorted(steps, key=lambda each: each[:3]):
        if isinstance(step, RunRow):
            _run(now, step)
        elif isinstance(step.what, FishTold):
            _told(now, step.at, step.what)
        elif isinstance(step.what, FishLost):
            _lost(now, step.at, step.what)
    return tuple(now.fish)


def _tags_told(what: Any) -> Iterator[str]:
    named = what.tags if isinstance(what, FishLost) else (what.tag, what.mother, what.father)
    yield from (plain_tag(tag) for tag in named if tag)


@dataclass(slots=True)
class _Folding:
    """The book as far as it is read. `named` are the tags that the farm told of by themselves."""

    named: frozenset[str]
    fish: list[BroodFish] = field(default_factory=list)
    by_tag: dict[str, list[int]] = field(default_factory=dict)

    def add(self, tag: str, species: str | None, sex: Sex | None, run: int = 0) -> BroodFish:
        fish = BroodFish(len(self.fish), tag, species, sex, run)
        self.fish.append(fish)
        if not run:
            self.by_tag.setdefault(plain_tag(tag), []).append(fish.number)
        return fish

    def find(
        self, tag: str, species: str | None, sex: Sex | None, *, gone_too: bool = False
    ) -> BroodFish | None:
        """The newest fish with a tag of the farm's own that may be meant."""
        for number in reversed(self.by_tag.get(plain_tag(tag), [])):
            fish = self.fish[number]
            agrees = (species is None or fish.species in (None, species)) and (
                sex is None or fish.sex in (None, sex)
            )
            if agrees and (gone_too or fish.lost is None):
                return fish
        return None

    def keep(self, fish: BroodFish) -> None:
        self.fish[fish.number] = fish


def _run(now: _Folding, row: RunRow) -> None:
    numbered = counted_off(each.tag for each in row.fish) - now.named
    for each in row.fish:
        own = not is_name_of_a_run(each.tag) and plain_tag(each.tag) not in numbered
        fish = now.find(each.tag, row.species, each.sex) if own else None
        fish = fish or now.add(each.tag, row.species, each.sex, 0 if own else row.run)
        now.keep(_with_run(fish, row, each))


def _with_run(fish: BroodFish, row: RunRow, told: FishRow) -> BroodFish:
    """What a run tells of a fish, added."""
    treated = fish.treated
    if told.first_at is not None:
        dose = Treatment(told.first_at, row.run, row.preparation, told.ml, told.amount, told.unit)
        treated = (*treated, dose)
    spawning = _spawning(row, told)
    lost = fish.lost
    if told.cut or told.state == "died":
        lost = Lost("cut" if told.cut else "died", told.died_at or row.begun_at, row.run)
    return replace(
        fish,
        species=fish.species or row.species,
        sex=fish.sex or told.sex,
        weights=(*fish.weights, Weight(told.first_at or row.begun_at, told.kg, row.run)),
        spawnings=(*fish.spawnings, spawning) if spawning else fish.spawnings,
        treated=treated,
        lost=lost,
        busy=fish.busy or (row.state in ("draft", "open") and told.state in _BUSY),
    )


def _spawning(row: RunRow, told: FishRow) -> Spawning | None:
    """What a run tells of her eggs; of a male, whether there were any."""
    at = told.first_at or row.begun_at
    if told.sex == "m":
        return Spawning(row.run, at, True) if row.had_eggs else None
    if told.gave_at is not None:
        return Spawning(row.run, told.gave_at, True, told.egg_grams)
    if told.state in ("none", "stopped"):
        return Spawning(row.run, at, False)
    whose_untold = told.state == "stripped" or (row.way != "stripped" and row.had_eggs)
    return Spawning(row.run, at, None) if whose_untold else None


def _told(now: _Folding, at: datetime, what: FishTold) -> None:
    if is_name_of_a_run(what.tag):
        return
    fish = now.find(what.tag, what.species, what.sex) or now.add(what.tag, what.species, what.sex)
    now.keep(
        replace(
            fish,
            species=fish.species or what.species,
            sex=fish.sex or what.sex,
            origin=fish.origin if what.origin is None else what.origin,
            hatched=fish.hatched if what.hatched is None else what.hatched,
            note=fish.note if what.note is None else what.note,
            weights=fish.weights if what.kg is None else (*fish.weights, Weight(at, what.kg)),
        )
    )
    _parent(now, fish.number, "mother", "f", what.mother)
    _parent(now, fish.number, "father", "m", what.father)
    for number in now.fish[fish.number].parents:  # what is known of the one parent holds for the other
        parent = now.fish[number]
        now.keep(replace(parent, species=parent.species or now.fish[fish.number].species))


def _parent(now: _Folding, child: int, role: Literal["mother", "father"], sex: Sex, tag: str | None) -> None:
    """A parent that was told, unless it would be its own ancestor or its name is of one run alone."""
    if tag is None or is_name_of_a_run(tag):
        return
    species = now.fish[child].species
    parent = now.find(tag, species, sex, gone_too=True) or now.add(tag, species, sex)
    if child in {parent.number, *ancestors(now.fish, parent.number)}:
        return
    now.keep(replace(parent, sex=parent.sex or sex, species=parent.species or species))
    kept = replace(now.fish[child], species=species or parent.species)
    number = parent.number
    now.keep(replace(kept, mother=number) if role == "mother" else replace(kept, father=number))


def _lost(now: _Folding, at: datetime, what: FishLost) -> None:
    for tag in what.tags:
        if not is_name_of_a_run(tag):
            fish = now.find(tag, what.species, None) or now.add(tag, what.species, None)
            now.keep(replace(fish, lost=Lost(what.how, at)))


# Reading the book -----------------------------------------------------------------------------------------


def named(book: Iterable[BroodFish], tag: str, species: str | None = None) -> list[BroodFish]:
    """The fish with that tag of the farm's own: those it has before those it lost, the newest first."""
    wanted = plain_tag(tag)
    found = [
        fish
        for fish in book
        if not fish.run and plain_tag(fish.tag) == wanted and species in (None, fish.species)
    ]
    return sorted(found, key=lambda fish: (fish.lost is not None, -fish.number))


def of_runs(book: Iterable[BroodFish], tag: str) -> list[BroodFish]:
    """The fish that one run or another calls by that name, the newest first."""
    wanted = plain_tag(tag)
    return [fish for fish in book if fish.run and plain_tag(fish.tag) == wanted][::-1]


def in_runs(book: Iterable[BroodFish]) -> dict[tuple[int, str], BroodFish]:
    """Which fish a tag, as it is compared, means in each run."""
    return {(each.run, plain_tag(fish.tag)): fish for fish in book for each in fish.weights if each.run}


def gave_before(fish: BroodFish, row: RunRow) -> datetime | None:
    """When she gave eggs last in a run before this one; `None` where nobody told."""
    told = [each.at for each in fish.spawnings if each.gave and each.run != row.run]
    return max((at for at in told if at < row.begun_at), default=None)


def kept(book: Iterable[BroodFish], sex: Sex, species: str | None = None) -> list[BroodFish]:
    """The fish of that sex with tags of their own that the farm has."""
    return [
        fish
        for fish in book
        if not fish.run and fish.lost is None and fish.sex == sex and species in (None, fish.species)
    ]


def used_since(fish: BroodFish, since: datetime) -> int:
    """In how many runs with eggs a male took part since then."""
    return sum(each.gave is True and each.at >= since for each in fish.spawnings)


# Kin ------------------------------------------------------------------------------------------------------


def ancestors(book: Sequence[BroodFish], number: int) -> set[int]:
    """All that a fish is told to come from."""
    found: set[int] = set()
    waiting = [*book[number].parents]
    while waiting:
        each = waiting.pop()
        if each not in found:
            found.add(each)
            waiting += book[each].parents
    return found


class Kin:
    """How near the fish of a book are to one another by the parents that were told; those untold count as
    strangers, so that the figures are the least they can be."""

    def __init__(self, book: Sequence[BroodFish]) -> None:
        self.book = book
        self._found: dict[tuple[int, int], float] = {}
        self._depths: dict[int, int] = {}

    def kinship(self, one: int, other: int) -> float:
        """The chance, 0..1, that a gene of the one and the same of the other are copies of an ancestor's: as
        much as the offspring of the two are inbred."""
        if self._depth(one) < self._depth(other):
            one, other = other, one
        pair = (min(one, other), max(one, other))
        if pair not in self._found:
            self._found[pair] = self._reckoned(one, other)
        return self._found[pair]

    def _reckoned(self, one: int, other: int) -> float:
        if one == other:
            return (1 + self.inbreeding(one)) / 2
        return sum(self.kinship(parent, other) for parent in self.book[one].parents) / 2

    def inbreeding(self, number: int) -> float:
        """How inbred a fish is, 0..1."""
        parents = self.book[number].parents
        return self.kinship(*parents) if len(parents) == 2 else 0.0

    def relation(self, one: int, other: int) -> Relation:
        """What the other is to the one."""
        first, second = self.book[one], self.book[other]
        if other in first.parents:
            return "parent"
        if one in second.parents:
            return "child"
        shared = set(first.parents) & set(second.parents)
        if shared:
            return "full-sibs" if len(shared) == 2 else "half-sibs"
        if self.kinship(one, other):
            return "related"
        return "none" if len(first.parents) == len(second.parents) == 2 else "untold"

    def _depth(self, number: int) -> int:
        """How many generations are told behind a fish."""
        if number not in self._depths:
            parents = self.book[number].parents
            self._depths[number] = 1 + max((self._depth(each) for each in parents), default=-1)
        return self._depths[number]


@dataclass(frozen=True, slots=True)
class Mate:
    """A male for some females: how often he was used since a day, the nearest he is to any of them, to whom,
    and how inbred their offspring would be, 0..1."""

    fish: BroodFish
    used: int
    relation: Relation | None
    to: int | None
    inbred: float


def mates(
    book: Sequence[BroodFish], females: Sequence[int], males: Iterable[BroodFish], since: datetime
) -> list[Mate]:
    """The males for these females: strangers before kin, then those least used, then by their tags."""
    kin = Kin(book)
    found = [_mate(kin, male, females, since) for male in males]
    return sorted(found, key=lambda each: (each.inbred, each.used, _by_tag(each.fish)))


def _mate(kin: Kin, male: BroodFish, females: Sequence[int], since: datetime) -> Mate:
    used = used_since(male, since)
    if not females:
        return Mate(male, used, None, None, 0.0)
    nearest = max(females, key=lambda each: kin.kinship(each, male.number))
    relations = {each: kin.relation(each, male.number) for each in females}
    if not kin.kinship(nearest, male.number):
        nearest = next((each for each in females if relations[each] == "untold"), nearest)
    return Mate(male, used, relations[nearest], nearest, kin.kinship(nearest, male.number))


def _by_tag(fish: BroodFish) -> tuple[int, int, str]:
    """Numbers by their size, before letters."""
    plain = plain_tag(fish.tag)
    return (0, int(plain), "") if plain.isdecimal() else (1, 0, plain)


# Rest -----------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Rest:
    """How a female has rested: the eggs it counts from, since when she is rested, and the days left, both
    `None` where no figure is known or no eggs were told."""

    fish: BroodFish
    gave: Spawning | None
    rested_at: datetime | None = None
    left: timedelta | None = None


def rest_of(fish: BroodFish, days: float | None, now: datetime) -> Rest:
    """How she has rested by a card's days."""
    gave = fish.gave
    if gave is None or days is None:
        return Rest(fish, gave)
    rested_at = gave.at + timedelta(days=days)
    return Rest(fish, gave, rested_at, max(rested_at - now, timedelta()))


def by_rest(rests: Iterable[Rest]) -> tuple[list[Rest], list[Rest], list[Rest]]:
    """Those that rested, the longest first; those that must wait, the shortest first; those of whom no eggs,
    or no figure, are known, by their tags."""
    rested: list[Rest] = []
    waiting: list[Rest] = []
    unknown: list[Rest] = []
    for each in rests:
        if each.rested_at is None or each.left is None:
            unknown.append(each)
        else:
            (waiting if each.left else rested).append(each)

    def when(each: Rest) -> tuple[datetime | None, tuple[int, int, str]]:
        return each.rested_at, _by_tag(each.fish)

    return (
        sorted(rested, key=when),
        sorted(waiting, key=when),
        sorted(unknown, key=lambda each: _by_tag(each.fish)),
    )


# The season -----------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Season:
    """The fish of a species that gave offspring since a day, each counted once. `untagged` of them have no
    tag of their own, so that one may be counted twice; `males_untold` are runs of which no male was told,
    `runs` those with offspring."""

    species: str
    runs: int
    females: int
    males: int
    untagged: int
    males_untold: int


def seasons(book: Sequence[BroodFish], rows: Iterable[RunRow], since: datetime) -> list[Season]:
    """A season of each species that gave offspring since that day, the one with most runs first."""
    fish_of: dict[int, list[BroodFish]] = {}
    for fish in book:
        for each in fish.weights:
            fish_of.setdefault(each.run, []).append(fish)
    by_species: dict[str, list[RunRow]] = {}
    for row in rows:
        if row.begun_at >= since and gave_offspring(row):
            by_species.setdefault(row.species, []).append(row)
    found = [_season(species, each, fish_of) for species, each in by_species.items()]
    return sorted(found, key=lambda each: (-each.runs, each.species))


def gave_offspring(row: RunRow) -> bool:
    """Whether larvae of a run were told, at any age, or a share of its eggs that hatched."""
    return any((row.larvae, row.swim_up, row.sold, row.hatched_percent))


def _season(species: str, rows: Sequence[RunRow], fish_of: dict[int, list[BroodFish]]) -> Season:
    females: set[int] = set()
    males: set[int] = set()
    untagged: set[int] = set()
    males_untold = 0
    for row in rows:
        here = fish_of.get(row.run, [])
        mothers = [fish for fish in here if fish.sex == "f" and _bred(fish, row)]
        fathers = [fish for fish in here if fish.sex == "m"]
        males_untold += not fathers
        females |= {fish.number for fish in mothers}
        males |= {fish.number for fish in fathers}
        untagged |= {fish.number for fish in (*mothers, *fathers) if fish.run}
    return Season(species, len(rows), len(females), len(males), len(untagged), males_untold)


def _bred(fish: BroodFish, row: RunRow) -> bool:
    """Whether a female gave eggs in a run, or may have."""
    return any(each.run == row.run and each.gave is not False for each in fish.spawnings)


# The treated fish -----------------------------------------------------------------------------------------


def treatments(book: Iterable[BroodFish]) -> list[tuple[BroodFish, Treatment]]:
    """Every fish that got hormone, run by run, the newest first."""
    found = [(fish, each) for fish in book for each in fish.treated]
    found.sort(key=lambda each: _by_tag(each[0]))
    return sorted(found, key=lambda each: each[1].at, reverse=True)
