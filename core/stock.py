"""The hormone shelf: bottles by lot, and what became of what was in them.

A bottle's account is the fold of what was told of it on the farm's book and of what the runs that draw from
it put into their fish: opening + in - used - wasted, and what a count found more or less, is what is left.
All of it is in exact decimals of the bottle's own unit, and nothing is kept: told later, edited or taken
back, it adds up anew.
"""

from __future__ import annotations

import calendar
import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta, tzinfo
from decimal import Decimal
from typing import Any, Literal

from core.once import by_identity
from core.records import (
    BottleCounted,
    BottleIn,
    BottleKeeps,
    BottleOpened,
    BottleTold,
    BottleWasted,
    Event,
    Mark,
    Preparation,
    RunRow,
    StockUnit,
    Strength,
)

UNITS: Mapping[Preparation, StockUnit] = {
    "premix": "mL",
    "pituitary": "mg",
    "hcg": "IU",
    "lhrha": "ug",
    "own": "mL",
}
"""What a bottle of each is counted in: what is drawn as it stands in mL, what comes dry by its substance."""
SMALLEST: Mapping[StockUnit, Decimal] = {
    "mL": Decimal("0.001"),
    "ug": Decimal("0.001"),
    "mg": Decimal("0.001"),
    "IU": Decimal(1),
}
"""To what an amount is rounded before it enters an account, as on a sheet: from then on all is exact."""
NONE = Decimal(0)
HUNDREDTH = Decimal("0.01")

USUAL_OPEN_DAYS = 28
"""How long some labels give an opened bottle in the refrigerator; no rule, the label tells."""
USUAL_CLOSED_YEARS = 3
"""How long a bottle keeps closed, dark and cool: the trade's word, no rule. Its label tells."""
USUAL_MARK: Mark = "common practice"
LATELY = 5
"""So many runs are looked back on for what one usually takes."""

What = Literal["came", "used", "wasted", "counted"]
Gone = Literal["", "empty", "broken", "thrown-away"]


def exact(amount: float, unit: StockUnit) -> Decimal:
    """An amount as it stands in an account."""
    return Decimal(repr(float(amount))).quantize(SMALLEST[unit])


# Bottles --------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Entry:
    """A line of an account. `came`, `used` and `wasted` are amounts, 0 or more; `counted` is by how much a
    count found more than the account said (below 0: less). `None` where nobody told how much."""

    at: datetime
    what: What
    amount: Decimal | None
    run: int = 0
    event: int = 0


@dataclass(frozen=True, slots=True)
class Bottle:
    """A bottle, or several of one lot, as it stands.

    `entries` are in order of happening; `reckoned`: what it held was not told, and follows from its first
    count. `opened_at` is when it was opened, by word or by its first needle; `keeps_days` what its label
    gives it from then on. `over` is by how much more was taken out of it than there was.
    """

    number: int
    preparation: Preparation
    unit: StockUnit
    strength: Strength | None
    lot: str
    expiry: str
    came_at: datetime
    told_at: datetime
    entries: tuple[Entry, ...] = ()
    opened_at: datetime | None = None
    opened_told_at: datetime | None = None
    keeps_days: float | None = None
    gone: Gone = ""
    reckoned: bool = False
    over: Decimal = NONE

    @property
    def left(self) -> Decimal | None:
        """What is left by the account; below 0 where more was drawn than it held, `None` where nobody knows
        what it held."""
        return balance(self.entries)

    @property
    def untold(self) -> int:
        """Of how many needles nobody told how much they took: there is less left than the account says."""
        return sum(1 for entry in self.entries if entry.what == "used" and entry.amount is None)


def balance(entries: Iterable[Entry]) -> Decimal | None:
    """What these lines come to; `None` where what came in is not known. What was used without an amount
    changes nothing."""
    total: Decimal | None = NONE
    for entry in entries:
        total = None if total is None else balance_after(total, entry)
    return total


def balance_after(left: Decimal, entry: Entry) -> Decimal | None:
    """What is left after a line."""
    if entry.amount is None:
        return left if entry.what == "used" else None
    return left - entry.amount if entry.what in ("used", "wasted") else left + entry.amount


@dataclass(frozen=True, slots=True)
class Shelf:
    """The farm's bottles, oldest first, and what was used `from_none`: of no bottle that was told."""

    bottles: tuple[Bottle, ...] = ()
    from_none: tuple[Use, ...] = ()


@dataclass(frozen=True, slots=True)
class Use:
    """What one needle of a run took, all its fish together; `None` where it was told of none of them.
    `unit` is that of the run's preparation."""

    run: int
    at: datetime
    preparation: Preparation
    unit: StockUnit
    amount: Decimal | None


def uses_of(row: RunRow) -> tuple[Use, ...]:
    """What the needles of a run took. Where of some of its fish it was not told, there are two: what was
    told, and one without an amount."""
    if row.preparation is None:
        return ()
    unit = UNITS[row.preparation]
    found = []
    for needle in row.needles:
        if needle.amount is not None:
            found.append(Use(row.run, needle.at, row.preparation, unit, exact(needle.amount, unit)))
        if needle.untold:
            found.append(Use(row.run, needle.at, row.preparation, unit, None))
    return tuple(found)


# The fold -------------------------------------------------------------------------------------------------


@dataclass
class _Bottle:
    """A bottle while it is being folded."""

    event: Event
    what: BottleIn
    told_at: datetime
    told: list[Event] = field(default_factory=list)
    uses: list[Use] = field(default_factory=list)

    def tell(self, more: BottleTold, at: datetime) -> None:
        """More of its label, the newest word for each part."""
        names = ("amount", "strength", "lot", "expiry")
        told = {name: value for name in names if (value := getattr(more, name)) is not None}
        self.what, self.told_at = replace(self.what, **told), max(self.told_at, at)


@by_identity
def shelf(book: Iterable[Event], rows: Iterable[RunRow]) -> Shelf:
    """The shelf that the standing events of the farm's book and the rows of its runs tell of. Any order of
    the same events and rows gives the same shelf."""
    events = sorted(book, key=lambda each: each.id)
    bottles: dict[int, _Bottle] = {}
    for event in events:
        if isinstance(event.what, BottleIn):
            bottles[event.what.bottle] = _Bottle(event, event.what, event.said_at)
    for event in events:
        if isinstance(event.what, BottleTold) and event.what.bottle in bottles:
            bottles[event.what.bottle].tell(event.what, event.said_at)
        if isinstance(event.what, _TOLD) and event.what.bottle in bottles:
            bottles[event.what.bottle].told.append(event)
    from_none: list[Use] = []
    for row in sorted(rows, key=lambda each: each.run):
        drawn = bottles.get(row.bottle) if row.bottle is not None else None
        if drawn is not None and drawn.what.preparation != row.preparation:
            drawn = None
        (from_none if drawn is None else drawn.uses).extend(uses_of(row))
    folded = [_folded(bottle) for _, bottle in sorted(bottles.items())]
    return Shelf(tuple(folded), tuple(sorted(from_none, key=lambda use: (use.at, use.run))))


_TOLD = (BottleOpened, BottleKeeps, BottleWasted, BottleCounted)


def _folded(bottle: _Bottle) -> Bottle:
    unit = UNITS[bottle.what.preparation]
    came = None if bottle.what.amount is None else exact(bottle.what.amount, unit)
    acts = sorted(_acts(bottle), key=_order)
    reckoned = None if came is not None else _reckoned(acts, unit)
    held = came if reckoned is None else reckoned
    first = min([bottle.event.at, *(act.at for act in acts)])  # what it gave, it had
    entries = [Entry(first, "came", held, event=bottle.event.id)]
    left, over = held, NONE
    for act in acts:
        entries.append(_entry(act, left, unit))
        left = None if left is None else balance_after(left, entries[-1])
        over = max(over, NONE if left is None else -left)
    opened = _opened(bottle)
    days = [event.what.days for event in bottle.told if isinstance(event.what, BottleKeeps)]
    return Bottle(
        number=bottle.what.bottle,
        preparation=bottle.what.preparation,
        unit=unit,
        strength=bottle.what.strength,
        lot=bottle.what.lot,
        expiry=bottle.what.expiry,
        came_at=first,
        told_at=bottle.told_at,
        entries=tuple(entries),
        opened_at=opened[0] if opened else None,
        opened_told_at=opened[1] if opened else None,
        keeps_days=days[-1] if days else None,
        gone=_gone(bottle),
        reckoned=reckoned is not None,
        over=over,
    )


@dataclass(frozen=True, slots=True)
class _Act:
    """Something that changes what is in a bottle: a needle, or what was told."""

    at: datetime
    use: Use | None = None
    event: Event | None = None


def _acts(bottle: _Bottle) -> Iterator[_Act]:
    yield from (_Act(use.at, use=use) for use in bottle.uses)
    yield from (
        _Act(event.at, event=event)
        for event in bottle.told
        if isinstance(event.what, BottleWasted | BottleCounted)
    )


def _order(act: _Act) -> tuple[Any, ...]:
    """By the hour; a needle of the same hour comes before what was told of the bottle after it."""
    if act.use is not None:
        return (act.at, 0, act.use.run, act.use.amount is None)
    return (act.at, 1, act.event.id if act.event else 0, False)


def _entry(act: _Act, left: Decimal | None, unit: StockUnit) -> Entry:
    if act.use is not None:
        return Entry(act.at, "used", act.use.amount, run=act.use.run)
    assert act.event is not None
    what = act.event.what
    if isinstance(what, BottleCounted):
        difference = None if left is None else exact(what.left, unit) - left
        return Entry(act.at, "counted", difference, event=act.event.id)
    assert isinstance(what, BottleWasted)
    amount = exact(what.amount, unit) if what.amount is not None else left
    return Entry(act.at, "wasted", None if amount is None else max(amount, NONE), event=act.event.id)


def _reckoned(acts: Sequence[_Act], unit: StockUnit) -> Decimal | None:
    """What a bottle must have held by its first count: what was left then, and all that had gone before."""
    gone = NONE
    for act in acts:
        if act.use is not None:
            gone += act.use.amount or NONE
        elif act.event is not None and isinstance(act.event.what, BottleCounted):
            return exact(act.event.what.left, unit) + gone
        elif act.event is not None and isinstance(act.event.what, BottleWasted):
            if act.event.what.amount is None:
                return None
            gone += exact(act.event.what.amount, unit)
    return None


def _opened(bottle: _Bottle) -> tuple[datetime, datetime] | None:
    """When it was opened and when that was said: by the newest word, else by the first needle out of it."""
    told = [event for event in bottle.told if isinstance(event.what, BottleOpened)]
    if told:
        return told[-1].at, told[-1].said_at
    first = min((use.at for use in bottle.uses), default=None)
    return None if first is None else (first, first)


def _gone(bottle: _Bottle) -> Gone:
    """Whether there is nothing left to draw from it, and why; a count of some after that says there is."""
    told = [e for e in bottle.told if isinstance(e.what, BottleWasted | BottleCounted)]
    gone: Gone = ""
    for event in sorted(told, key=lambda each: (each.at, each.id)):
        if isinstance(event.what, BottleWasted):
            gone = gone if event.what.amount is not None else _why(event.what)
        elif isinstance(event.what, BottleCounted):
            gone = "" if event.what.left > 0 else "empty"
    return gone


def _why(what: BottleWasted) -> Gone:
    return "broken" if what.why == "broken" else "thrown-away"


# The ledger -----------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Line:
    """A bottle over a period: opening + came - used - wasted + counted = closing, in its unit.

    `opening`, `came`, `wasted`, `counted` and `closing` are `None` where what it held is not known. `untold`
    needles took what nobody told.
    """

    bottle: int
    unit: StockUnit
    opening: Decimal | None
    came: Decimal | None
    used: Decimal
    wasted: Decimal | None
    counted: Decimal | None
    closing: Decimal | None
    untold: int = 0


def line(bottle: Bottle, since: datetime, until: datetime) -> Line:
    """A bottle's line of the ledger over [since, until)."""
    before = [entry for entry in bottle.entries if entry.at < since]
    within = [entry for entry in bottle.entries if since <= entry.at < until]
    return Line(
        bottle=bottle.number,
        unit=bottle.unit,
        opening=balance(before),
        came=_sum(within, "came"),
        used=sum((entry.amount or NONE for entry in within if entry.what == "used"), NONE),
        wasted=_sum(within, "wasted"),
        counted=_sum(within, "counted"),
        closing=balance([*before, *within]),
        untold=sum(1 for entry in within if entry.what == "used" and entry.amount is None),
    )


def _sum(entries: Iterable[Entry], what: What) -> Decimal | None:
    amounts = [entry.amount for entry in entries if entry.what == what]
    known = [amount for amount in amounts if amount is not None]
    return sum(known, NONE) if len(known) == len(amounts) else None


@dataclass(frozen=True, slots=True)
class Ledger:
    """The bottles of one preparation over a period, and the `whole` of those whose content is known; the
    others are `left_out`. `from_none` is what runs used of no bottle that was told, in `untold_none` needles
    nobody said how much."""

    preparation: Preparation
    unit: StockUnit
    lines: tuple[Line, ...]
    whole: Line
    left_out: tuple[int, ...]
    from_none: Decimal
    runs_of_none: tuple[int, ...]
    untold_none: int


def ledgers(all_of_it: Shelf, since: datetime, until: datetime) -> tuple[Ledger, ...]:
    """A ledger for each preparation of which there was a bottle or a needle in [since, until)."""
    return tuple(
        found for preparation in UNITS if (found := _ledger(all_of_it, preparation, since, until)) is not None
    )


def _ledger(all_of_it: Shelf, preparation: Preparation, since: datetime, until: datetime) -> Ledger | None:
    lines = [
        line(bottle, since, until)
        for bottle in all_of_it.bottles
        if bottle.preparation == preparation and bottle.came_at < until and not _was_over(bottle, since)
    ]
    uses = [use for use in all_of_it.from_none if use.preparation == preparation and since <= use.at < until]
    if not lines and not uses:
        return None
    unit = UNITS[preparation]
    known = [each for each in lines if each.closing is not None and each.opening is not None]
    return Ledger(
        preparation=preparation,
        unit=unit,
        lines=tuple(lines),
        whole=_added(known, unit),
        left_out=tuple(each.bottle for each in lines if each not in known),
        from_none=sum((use.amount or NONE for use in uses), NONE),
        runs_of_none=tuple(dict.fromkeys(use.run for use in uses)),
        untold_none=sum(1 for use in uses if use.amount is None),
    )


def _was_over(bottle: Bottle, since: datetime) -> bool:
    """Whether it was gone before the period began."""
    return bool(bottle.gone) and bottle.entries[-1].at < since


def _added(lines: Sequence[Line], unit: StockUnit) -> Line:
    def whole(part: Callable[[Line], Decimal | None]) -> Decimal:
        return sum((part(each) or NONE for each in lines), NONE)

    return Line(
        bottle=0,
        unit=unit,
        opening=whole(lambda each: each.opening),
        came=whole(lambda each: each.came),
        used=whole(lambda each: each.used),
        wasted=whole(lambda each: each.wasted),
        counted=whole(lambda each: each.counted),
        closing=whole(lambda each: each.closing),
        untold=sum(each.untold for each in lines),
    )


# How long it is good --------------------------------------------------------------------------------------

YEAR_MONTH_DAY = re.compile(r"(\d{4})-(\d{2})(?:-(\d{2}))?")
End = Literal["label", "opened"]


def last_day(expiry: str) -> date | None:
    """The last day of what a label says, "2027-05-31", or "2027-05" with the whole of its month; `None` where
    no calendar has it."""
    found = YEAR_MONTH_DAY.fullmatch(expiry)
    if found is None:
        return None
    year, month = int(found[1]), int(found[2])
    if not 1 <= month <= 12 or year < 1:
        return None
    last = calendar.monthrange(year, month)[1]
    day = int(found[3]) if found[3] else last
    return date(year, month, day) if 1 <= day <= last else None


def opened_until(bottle: Bottle, zone: tzinfo) -> date | None:
    """Its last day by what its label gives it once it is opened; `None` where either is not told."""
    if bottle.opened_at is None or bottle.keeps_days is None:
        return None
    return bottle.opened_at.astimezone(zone).date() + timedelta(days=int(bottle.keeps_days))


def good_until(bottle: Bottle, zone: tzinfo) -> tuple[date, End] | None:
    """Its last day and what says so, the sooner of the label's day and of what it gives an opened bottle."""
    label, opened = last_day(bottle.expiry), opened_until(bottle, zone)
    if opened is not None and (label is None or opened < label):
        return opened, "opened"
    return None if label is None else (label, "label")


def expired(bottle: Bottle, zone: tzinfo, at: datetime) -> bool:
    """Whether its last day is past at that hour, on the farm's clocks."""
    until = good_until(bottle, zone)
    return until is not None and until[0] < at.astimezone(zone).date()


# Which bottle, and whether it is enough -------------------------------------------------------------------


def fits(bottle: Bottle, preparation: Preparation, strength: Strength | None) -> bool:
    """Whether a run of that preparation and strength may be drawn from it. A strength that was not told, or
    only assumed (`None`), fits any."""
    return bottle.preparation == preparation and (
        strength is None or bottle.strength is None or bottle.strength == strength
    )


def holding(all_of_it: Shelf, preparation: Preparation, strength: Strength | None) -> tuple[Bottle, ...]:
    """The bottles that fit and are not known to hold nothing."""
    return tuple(
        bottle
        for bottle in all_of_it.bottles
        if fits(bottle, preparation, strength)
        and not bottle.gone
        and (bottle.left is None or bottle.left > 0)
    )


def plainly(bottles: Sequence[Bottle]) -> Bottle | None:
    """The one that is drawn from, where only one can be meant: the only open one, else the only one."""
    opened = [bottle for bottle in bottles if bottle.opened_at is not None]
    meant = opened or list(bottles)
    return meant[0] if len(meant) == 1 else None


@dataclass(frozen=True, slots=True)
class Left:
    """What is left in all of some bottles together. `unknown` are those of whom nobody knows, `expired` holds
    what is left in bottles past their day, which is not in `amount`."""

    amount: Decimal
    bottles: tuple[int, ...]
    unknown: tuple[int, ...]
    expired: Decimal


def left_in(bottles: Iterable[Bottle], zone: tzinfo, at: datetime) -> Left:
    """What is left of them, for use at that hour."""
    amount = past = NONE
    good: list[int] = []
    unknown: list[int] = []
    for bottle in bottles:
        if expired(bottle, zone, at):
            past += max(bottle.left or NONE, NONE)
        elif bottle.left is None:
            unknown.append(bottle.number)
        else:
            amount += bottle.left
            good.append(bottle.number)
    return Left(amount, tuple(good), tuple(unknown), past)


@dataclass(frozen=True, slots=True)
class Usual:
    """What one of the farm's newest runs took, on average over so many `runs`, to a hundredth."""

    mean: Decimal
    runs: int


def usual(rows: Iterable[RunRow], preparation: Preparation) -> Usual | None:
    """What a run takes, by the newest five of that preparation of which all needles are told; `None` where
    there is none."""
    newest: list[Decimal] = []
    for row in sorted(rows, key=lambda each: each.age, reverse=True):
        amounts = [use.amount for use in uses_of(row)] if row.preparation == preparation else []
        told = [amount for amount in amounts if amount is not None]
        if told and len(told) == len(amounts):
            newest.append(sum(told, NONE))
        if len(newest) == LATELY:
            break
    if not newest:
        return None
    mean = sum(newest, NONE) / len(newest)
    return Usual(mean.quantize(HUNDREDTH), len(newest))


def number_free(book: Iterable[Event]) -> int:
    """The number of a bottle that comes in now: no bottle of the book, taken back or not, has had it."""
    taken = [event.what.bottle for event in book if isinstance(event.what, BottleIn)]
    return max(taken, default=0) + 1


def called(bottle: Bottle) -> str:
    """How a bottle is spoken of: by its lot, else by its number."""
    return bottle.lot or str(bottle.number)
