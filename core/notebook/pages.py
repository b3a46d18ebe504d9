"""The rows of a notebook, each understood as a whole, and what was not understood."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from typing import Any, cast

from core.notebook import cells
from core.notebook.cells import UNTOLD, NotRead, Order, Point, Written
from core.notebook.columns import Column, Columns, Heading, plain
from core.notebook.grid import Grid
from core.records import CountOf, Preparation, Way

SAMPLE = re.compile(r"(\d+)\s*(?:/|of|out of|de|dari|sur|trên|kati ya)\s*(\d+)")
STRENGTH = re.compile(r"([\d.,]+)\s*(?:ug|µg|mcg)?\s*\+\s*([\d.,]+)\s*(?:mg)?(?:\s*(?:per|/)\s*ml)?")
LONGEST_TO_STRIP = timedelta(hours=96)
AGREE_KG, AGREE_PERCENT = 0.01, 0.1
"""How far a sum may lie from its parts: a share of it, and points of a percent."""
EARLIEST = date(1950, 1, 1)
LONGEST_NOTE = 4000
MOST_FEMALES = 60
LONGEST_WHOLE, SHOWN = 9, 40
"""Signs of a whole number, and of what is shown of a cell."""


@dataclass(frozen=True, slots=True)
class Fault:
    """What was not understood: the line of the file (0: all of it), the heading as typed, a code, and the
    cell. `taken`: the row was taken without it."""

    line: int
    heading: str
    why: str
    words: str = ""
    taken: bool = False


@dataclass(frozen=True, slots=True)
class Share:
    """A share as written: a percent, or good of total."""

    percent: float | None = None
    good: float | None = None
    total: float | None = None


@dataclass(frozen=True, slots=True)
class Page:
    """One row, understood. Times are the farm's own, without a zone; `hour` is that of the injection, and
    `stripped_hour` whether that of the eggs was told. `weights` are of each female; `together`: only their
    sum was told."""

    line: int
    day: date
    species: str
    hour: time | None = None
    injected: bool = False
    way: Way | None = None
    preparation: Preparation | None = None
    ug_per_ml: float | None = None
    mg_per_ml: float | None = None
    weights: tuple[float, ...] = ()
    together: bool = False
    dose_ml: float | None = None
    water_c: float | None = None
    stripped_at: datetime | None = None
    stripped_hour: bool = False
    gave: int | None = None
    eggs_g: float | None = None
    eggs_l: float | None = None
    fertilised: Share | None = None
    hatched: Share | None = None
    hatched_of: CountOf = "unknown"
    larvae: float | None = None
    swim_up: float | None = None
    sold: float | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class Pages:
    """What a file holds. `order` is what its days were read by, `asks_order` that this must be told first:
    nothing is taken then. `example` is a day that may be two."""

    pages: tuple[Page, ...] = ()
    faults: tuple[Fault, ...] = ()
    order: Order | None = None
    asks_order: bool = False
    example: str = ""
    rows: int = 0
    species: str = "species"
    """How the file heads the column of the species."""


@dataclass
class _Row:
    """One row while it is read."""

    line: int
    cells: Mapping[str, tuple[Heading, str]]
    columns: Columns
    order: Order | None
    point: Point | None
    aside: list[Fault] = field(default_factory=list)

    def text(self, name: str) -> str:
        _, cell = self.cells.get(name, (None, ""))
        return "" if cell.casefold() in UNTOLD else cell

    def fault(self, name: str, why: str, *, taken: bool = False) -> Fault:
        heading, cell = self.cells.get(name, (None, ""))
        return Fault(self.line, short(heading.text) if heading else name, why, short(cell), taken)

    def leave(self, name: str, why: str) -> None:
        """The row is taken without that cell."""
        self.aside.append(self.fault(name, why, taken=True))


def short(text: str) -> str:
    """As much of a cell as is shown, on one line."""
    return " ".join(text.split())[:SHOWN]


class _Refused(Exception):
    def __init__(self, fault: Fault) -> None:
        super().__init__(fault.why)
        self.fault = fault


def pages_of(grid: Grid, columns: Columns, today: date, order: Order | None = None) -> Pages:
    """The rows of a file; `order` where somebody told which number of a day is the month."""
    headings, faults = _headings(grid, columns)
    if fault := _unusable(grid, headings):
        return Pages(faults=(fault,), rows=len(grid.lines))
    rows = [(line, _by_name(headings, found)) for line, found in grid.lines]
    days = [each for _, row in rows for each in _days(row, columns)]
    shown, needed = cells.order_of(written for _, written in days)
    order = shown or order
    if needed and order is None:
        example = next(text for text, written in days if _is_doubtful(written))
        return Pages(asks_order=True, example=example, rows=len(rows), faults=tuple(faults))
    point = cells.point_of(
        text for _, row in rows for heading, text in row.values() if heading.column.kind in NUMBERS
    )
    pages = []
    for line, row in rows:
        reading = _Row(line, row, columns, order, point)
        try:
            pages.append(_page(reading, today))
        except _Refused as refused:
            faults.append(refused.fault)
        else:
            faults += reading.aside
    species = next(short(each.text) for each in headings if each and each.column.name == "species")
    return Pages(tuple(pages), tuple(faults), order if needed else None, rows=len(rows), species=species)


NUMBERS = ("number", "numbers", "share", "strength")


def _unusable(grid: Grid, headings: Sequence[Heading | None]) -> Fault | None:
    """Why nothing of a file can be taken."""
    names = {heading.column.name for heading in headings if heading}
    if grid.torn or not grid.headings:
        return Fault(0, "", "no-table")
    if grid.too_long:
        return Fault(0, "", "too-long")
    if "species" not in names:
        return Fault(0, "species", "no-column")
    if not names & {"date", "injected_at"}:
        return Fault(0, "date", "no-column")
    return None


def _headings(grid: Grid, columns: Columns) -> tuple[list[Heading | None], list[Fault]]:
    found: list[Heading | None] = []
    faults: list[Fault] = []
    for text in grid.headings:
        heading = columns.heading(text) if text else None
        twice = heading and any(each and each.column == heading.column for each in found)
        if text and heading is None:
            faults.append(Fault(0, short(text), "unknown-column", taken=True))
        if twice and heading and heading.column.kind != "none":
            faults.append(Fault(0, short(text), "column-twice", taken=True))
        found.append(None if twice else heading)
    return found, faults


def _by_name(headings: Sequence[Heading | None], row: Sequence[str]) -> dict[str, tuple[Heading, str]]:
    told = zip(headings, row, strict=False)
    return {heading.column.name: (heading, cell) for heading, cell in told if heading is not None}


def _days(row: Mapping[str, tuple[Heading, str]], columns: Columns) -> Iterator[tuple[str, Written]]:
    """The cells of a row that tell a day."""
    for heading, cell in row.values():
        if heading.column.kind in ("day", "moment") and cell.casefold() not in UNTOLD:
            with suppress(NotRead):
                yield cell, cells.written(cell, columns.months)


def _is_doubtful(written: Written) -> bool:
    return written.pair is not None and len(set(cells.days_of(written.pair).values())) > 1


# One row --------------------------------------------------------------------------------------------------


def _page(row: _Row, today: date) -> Page:
    """Raises `_Refused`."""
    species = row.text("species")
    if not species:
        raise _Refused(row.fault("species", "empty"))
    day, hour = _day_and_hour(row)
    if not EARLIEST <= day <= today:
        raise _Refused(row.fault("date" if row.text("date") else "injected_at", "not-past"))
    weights, together = _weights(row)
    dose_ml = _number(row, "dose_ml")
    if dose_ml is not None and not weights:
        row.leave("dose_ml", "no-females")
        dose_ml = None
    injected = bool(weights) and (_is_injected(row, len(weights)) or hour is not None or dose_ml is not None)
    if hour is not None and not weights:
        row.leave("injected_at", "no-females")
    stripped_at, stripped_hour = _stripped(row, day, hour)
    ug_per_ml, mg_per_ml = _strength(row)
    return Page(
        line=row.line,
        day=day,
        species=species,
        hour=hour if injected else None,
        injected=injected,
        way=cast("Way | None", _value(row, "way")),
        preparation=cast("Preparation | None", _value(row, "preparation")),
        ug_per_ml=ug_per_ml,
        mg_per_ml=mg_per_ml,
        weights=weights,
        together=together,
        dose_ml=dose_ml,
        water_c=_number(row, "water_c"),
        stripped_at=stripped_at,
        stripped_hour=stripped_hour,
        gave=_gave(row, len(weights)),
        eggs_g=_number(row, "eggs_g"),
        eggs_l=_number(row, "eggs_l"),
        fertilised=_share(row, "fertilised"),
        hatched=_share(row, "hatched"),
        hatched_of=cast("CountOf", _value(row, "hatched_of") or "unknown"),
        larvae=_number(row, "larvae"),
        swim_up=_number(row, "swim_up_larvae"),
        sold=_number(row, "sold_larvae"),
        note=row.text("note")[:LONGEST_NOTE],
    )


def _read(row: _Row, name: str) -> tuple[date | None, time | None]:
    """The day and hour of a cell."""
    text = row.text(name)
    if not text:
        return None, None
    try:
        told = cells.written(text, row.columns.months)
        return told.on(row.order), told.hour
    except NotRead as fault:
        raise _Refused(row.fault(name, fault.why)) from fault


def _day_and_hour(row: _Row) -> tuple[date, time | None]:
    """The day of the row, and the hour of its injection where that was told."""
    day, _ = _read(row, "date")
    of_needle, hour = _read(row, "injected_at")
    if day is not None and of_needle is not None and day != of_needle:
        raise _Refused(row.fault("injected_at", "other-day"))
    found = day or of_needle
    if found is None:
        raise _Refused(row.fault("date", "empty"))
    return found, hour


def _is_injected(row: _Row, females: int) -> bool:
    """Whether the row says that all its females were injected; a part of them is left aside."""
    told = _whole(row, "females_injected")
    if told and told != females:
        row.leave("females_injected", "not-all")
    return told == females or bool(row.text("injected_at"))


def _weights(row: _Row) -> tuple[tuple[float, ...], bool]:
    """Kilos of each female, and whether only their sum was told."""
    each, females = _numbers(row, "weights_kg"), _whole(row, "females")
    if each:
        _check_each(row, each, females)
        return each, False
    name, whole = _whole_weight(row, females)
    if females is None:
        if whole is not None:
            row.leave(name, "how-many-females")
        return (), False
    if whole is None:
        row.leave(name or "females", "all-or-each" if name else "no-weight")
        return (), False
    return (round(whole / females, 9),) * females, females > 1


def _check_each(row: _Row, each: tuple[float, ...], females: int | None) -> None:
    whole = _number(row, "female_kg")
    if females not in (None, len(each)):
        raise _Refused(row.fault("females", "not-so-many"))
    if whole is not None and abs(sum(each) - whole) > AGREE_KG * whole:
        raise _Refused(row.fault("female_kg", "not-the-sum"))


def _whole_weight(row: _Row, females: int | None) -> tuple[str, float | None]:
    """Kilos of all of them, and the column that tells; "" where none does. A mere "weight" is that of the
    one female, and of several nobody knows of what."""
    for name, times in (("female_kg", 1), ("mean_kg", females or 1)):
        told = _number(row, name)
        if told is not None:
            return name, told * times
    told = _number(row, "weight")
    if told is None:
        return "", None
    return "weight", told if females in (None, 1) else None


def _stripped(row: _Row, day: date, hour: time | None) -> tuple[datetime | None, bool]:
    """When eggs were taken, and whether their hour was told; an hour alone is the next one of that clock
    after the injection."""
    of_eggs, eggs_hour = _read(row, "stripped_at")
    if of_eggs is None and eggs_hour is None:
        return None, False
    needle = cells.moment_of(day, hour)
    if of_eggs is None and hour is None:
        row.leave("stripped_at", "hour-alone")
        return None, False
    at = cells.moment_of(of_eggs or day, eggs_hour)
    if of_eggs is None and at <= needle:
        at += timedelta(days=1)
    both = hour is not None and eggs_hour is not None
    first = needle if both else datetime.combine(day, time())
    if not first <= at <= needle + LONGEST_TO_STRIP:
        raise _Refused(row.fault("stripped_at", "not-after-injection"))
    if eggs_hour is None:
        row.leave("stripped_at", "no-hour-told")
    return at, eggs_hour is not None


def _gave(row: _Row, females: int) -> int | None:
    """How many gave eggs, where it is none or all of them."""
    gave = _whole(row, "females_gave_eggs")
    if gave is None:
        return None
    if not females or 0 < gave < females:
        row.leave("females_gave_eggs", "not-all" if females else "no-females")
        return None
    if gave > females:
        raise _Refused(row.fault("females_gave_eggs", "not-so-many"))
    if not gave and any(row.text(name) for name in ("eggs_g", "eggs_l", "stripped_at")):
        raise _Refused(row.fault("females_gave_eggs", "none-gave"))
    return gave


def _strength(row: _Row) -> tuple[float | None, float | None]:
    text = row.text("strength").casefold()
    if not text:
        return _number(row, "ug_per_ml"), _number(row, "mg_per_ml")
    found = STRENGTH.fullmatch(text)
    if found is None:
        raise _Refused(row.fault("strength", "no-strength"))
    try:
        ug, mg = (cells.number(part, row.point, {}) for part in found.groups())
    except NotRead as fault:
        raise _Refused(row.fault("strength", fault.why)) from fault
    return ug, mg


# Cells of a row -------------------------------------------------------------------------------------------


def _number(row: _Row, name: str) -> float | None:
    text = row.text(name)
    return _in_range(row, name, text) if text else None


def _in_range(row: _Row, name: str, text: str) -> float:
    heading, _ = row.cells[name]
    column = heading.column
    try:
        told = cells.number(text, row.point, column.units)
    except NotRead as fault:
        raise _Refused(row.fault(name, fault.why)) from fault
    if not re.search(r"[^\d.,\s\u00a0\u202f'’+-]", text):  # its unit is that of the heading
        told *= heading.factor
    _check(row, name, column, told)
    return told


def _check(row: _Row, name: str, column: Column, told: float) -> None:
    if not column.low <= told <= column.high:
        raise _Refused(row.fault(name, "out-of-range"))


def _whole(row: _Row, name: str) -> int | None:
    text = row.text(name)
    if not text:
        return None
    if not text.isdecimal() or len(text) > LONGEST_WHOLE:
        raise _Refused(row.fault(name, "no-whole-number"))
    _check(row, name, row.cells[name][0].column, int(text))
    return int(text)


def _numbers(row: _Row, name: str) -> tuple[float, ...]:
    parts = [part for part in re.split(r"[\s;+&]+", row.text(name)) if part]
    if len(parts) > MOST_FEMALES:
        raise _Refused(row.fault(name, "out-of-range"))
    return tuple(_in_range(row, name, part) for part in parts)


def _value(row: _Row, name: str) -> str | None:
    text = row.text(name)
    if not text:
        return None
    values: Mapping[str, str] = row.cells[name][0].column.values
    if plain(text) not in values:
        raise _Refused(row.fault(name, "no-such-word"))
    return values[plain(text)]


def _share(row: _Row, stage: str) -> Share | None:
    """A percent, a sample, or both where they agree; the sample counts."""
    name = f"{stage}_percent"
    good, total = _number(row, f"{stage}_good"), _number(row, f"{stage}_total")
    if (good is None) != (total is None):
        raise _Refused(row.fault(f"{stage}_good" if good is not None else f"{stage}_total", "half-a-sample"))
    told = _share_cell(row, name)
    if good is None or total is None:
        return told
    _check_sample(row, f"{stage}_good", good, total)
    sample = Share(good=good, total=total)
    if told is not None and abs(_percent(told) - _percent(sample)) > AGREE_PERCENT:
        raise _Refused(row.fault(name, "not-the-sample"))
    return sample


def _percent(share: Share) -> float:
    known: Any = share.percent
    return float(known if known is not None else 100 * (share.good or 0) / (share.total or 1))


def _share_cell(row: _Row, name: str) -> Share | None:
    text = row.text(name)
    if not text:
        return None
    if found := SAMPLE.fullmatch(text.casefold()):
        good, total = map(float, found.groups())
        _check_sample(row, name, good, total)
        return Share(good=good, total=total)
    try:
        percent = cells.number(text, row.point, {"%": 1.0, "percent": 1.0, "pct": 1.0})
    except NotRead as fault:
        raise _Refused(row.fault(name, fault.why)) from fault
    heading, _ = row.cells[name]
    said_percent = any(word in text + heading.text.casefold() for word in ("%", "percent", "pct"))
    if 0 < percent <= 1 and not said_percent:
        raise _Refused(row.fault(name, "share-or-percent"))
    if not 0 <= percent <= 100:
        raise _Refused(row.fault(name, "out-of-range"))
    return Share(percent=percent)


def _check_sample(row: _Row, name: str, good: float, total: float) -> None:
    if not 0 <= good <= total or not 1 <= total <= 5000:
        raise _Refused(row.fault(name, "no-sample"))
