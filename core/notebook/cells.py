"""Numbers, days and hours as people write them, and what of them only the rest of a file can settle."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time
from typing import Literal

from core.notebook.columns import plain

Order = Literal["day-first", "month-first"]
Point = Literal[",", "."]

UNTOLD = frozenset({"", "-", "–", "—", "?", "n/a", "na", "nil", "none", "x"})
"""Cells that tell nothing."""
NUMBER = re.compile(r"(?P<sign>[-+]?)(?P<figure>\d[\d.,\s\u00a0\u202f'’]*)(?P<unit>[^\d]*)")
GROUPED = re.compile(r"\d{1,3}(?:[\s\u00a0\u202f'’]\d{3})+(?![\d])")
ISO = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})")
PAIR = re.compile(r"(\d{1,2})\s*[-/. ]\s*(\d{1,2})\s*[-/. ]\s*(\d{4}|\d{2})")
NAMED = re.compile(r"(?:(\d{1,2})[\s\-/.]*([^\W\d_]+)|([^\W\d_]+)[\s\-/.]*(\d{1,2}))[\s\-/.,]*(\d{4}|\d{2})")
HOUR = re.compile(r"(\d{1,2})\s*[:.hH]\s*(\d{2})(?::\d{2}(?:\.\d+)?)?\s*([ap]\.?m\.?)?", re.IGNORECASE)
OFFSET = re.compile(r"\s*(?:Z|[+-]\d{2}:?\d{2})$")
CENTURY, BUDDHIST, BUDDHIST_FROM = 2000, 543, 2400
MONTHS, NOON = 12, 12


class NotRead(Exception):
    """A cell that is not understood; `why` is a code."""

    def __init__(self, why: str) -> None:
        super().__init__(why)
        self.why = why


# Numbers --------------------------------------------------------------------------------------------------


def number(text: str, point: Point | None, units: Mapping[str, float]) -> float:
    """The number of a cell, in the unit of its column. `point` is what the file has before fractions, `None`
    where no number of it shows that. Raises `NotRead`."""
    found = NUMBER.fullmatch(text.strip())
    if found is None:
        raise NotRead("no-number")
    unit = found["unit"].strip().casefold()
    if unit and unit not in units:
        raise NotRead("unit")
    value = _value(_closed(found["figure"].strip()), point)
    return (-value if found["sign"] == "-" else value) * (units[unit] if unit else 1.0)


def _closed(figure: str) -> str:
    """Without the blanks between thousands. Raises `NotRead` for any other blank."""
    if GROUPED.match(figure):
        return re.sub(r"[\s\u00a0\u202f'’]", "", figure)
    if re.search(r"[\s\u00a0\u202f'’]", figure):
        raise NotRead("no-number")
    return figure


def _value(figure: str, point: Point | None) -> float:
    signs = {sign for sign in figure if sign in ",."}
    if len(signs) == 2:
        last = figure[max(figure.rfind(","), figure.rfind("."))]
        return _written(figure, last)
    if not signs:
        return float(figure)
    (sign,) = signs
    if figure.count(sign) > 1:
        return _written(figure, "." if sign == "," else ",")
    if not is_doubtful(figure):
        return _written(figure, sign)
    if point is None:
        raise NotRead("thousand-or-fraction")
    return _written(figure, point)


def _written(figure: str, point: str) -> float:
    """A number whose fraction stands behind `point`, thousands between the other sign. Raises `NotRead`."""
    other = "," if point == "." else "."
    whole, _, fraction = figure.partition(point)
    groups = whole.split(other)
    grouped = len(groups) == 1 or (1 <= len(groups[0]) <= 3 and all(len(each) == 3 for each in groups[1:]))
    if not grouped or other in fraction or point in fraction or not groups[0]:
        raise NotRead("no-number")
    return float("".join(groups) + ("." + fraction if fraction else ""))


def is_doubtful(figure: str) -> bool:
    """Whether a number with one sign may be thousands as well as a fraction: 1,200, not 0.250 or 1.25."""
    return re.fullmatch(r"[1-9]\d{0,2}[.,]\d{3}", figure) is not None


def point_of(cells: Iterable[str]) -> Point | None:
    """What stands before fractions in a file: what some number of it shows beyond doubt, and none denies."""
    shown: set[str] = set()
    for cell in cells:
        found = NUMBER.fullmatch(cell.strip())
        figure = found["figure"].strip() if found else ""
        signs = [sign for sign in figure if sign in ",."]
        if len(signs) == 1 and not is_doubtful(figure):
            shown.add(signs[0])
        elif len(signs) > 1:
            same = len(set(signs)) == 1
            shown.add(("." if signs[0] == "," else ",") if same else signs[-1])
    if shown == {","}:
        return ","
    return "." if shown == {"."} else None


# Days -----------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Written:
    """A cell of a day or hour, taken apart: the day if it is plain, else its two numbers and the year."""

    day: date | None = None
    pair: tuple[int, int, int] | None = None
    hour: time | None = None

    def on(self, order: Order | None) -> date | None:
        """The day by that order; `None` where none is written. Raises `NotRead`."""
        if self.pair is None:
            return self.day
        ways = days_of(self.pair)
        if len(set(ways.values())) == 1:
            return next(iter(ways.values()))
        if order is None:
            raise NotRead("which-is-the-month")
        if order not in ways:
            raise NotRead("no-day")
        return ways[order]


def days_of(pair: tuple[int, int, int]) -> dict[Order, date]:
    """The days that two numbers and a year may be. Raises `NotRead` where there is none."""
    first, second, year = pair
    ways: dict[Order, date] = {}
    orders: dict[Order, tuple[int, int]] = {"day-first": (first, second), "month-first": (second, first)}
    for order, (day, month) in orders.items():
        if month <= MONTHS:
            try:
                ways[order] = date(year, month, day)
            except ValueError:
                continue
    if not ways:
        raise NotRead("no-day")
    return ways


def written(text: str, months: Mapping[str, int]) -> Written:
    """A day, an hour, or a day with its hour. Raises `NotRead`."""
    text = text.strip()
    for shape in (ISO, PAIR, NAMED):
        found = shape.match(text)
        if found is not None:
            rest = text[found.end() :].strip().removeprefix("T").strip(" ,")
            hour = _hour(OFFSET.sub("", rest)) if rest else None
            return _with_day(shape, found, months, hour)
    return Written(hour=_hour(text))


def _with_day(
    shape: re.Pattern[str], found: re.Match[str], months: Mapping[str, int], hour: time | None
) -> Written:
    if shape is PAIR:
        first, second, year = found.groups()
        pair = (int(first), int(second), _year(year))
        days_of(pair)
        return Written(pair=pair, hour=hour)
    if shape is ISO:
        year, month, day = map(int, found.groups())
        return Written(_day(_year(str(year)), month, day), hour=hour)
    day_before, name_behind, name_before, day_behind, year = found.groups()
    named = months.get(plain(name_behind or name_before))
    if named is None:
        raise NotRead("no-day")
    return Written(_day(_year(year), named, int(day_before or day_behind)), hour=hour)


def _year(text: str) -> int:
    year = int(text)
    if len(text) == 2:
        return CENTURY + year
    return year - BUDDHIST if year >= BUDDHIST_FROM else year


def _day(year: int, month: int, day: int) -> date:
    try:
        return date(year, month, day)
    except ValueError as fault:
        raise NotRead("no-day") from fault


def _hour(text: str) -> time:
    found = HOUR.fullmatch(text)
    if found is None:
        raise NotRead("no-day")
    hour, minute, half = int(found[1]), int(found[2]), (found[3] or "").casefold()
    if half:
        if not 1 <= hour <= NOON:
            raise NotRead("no-hour")
        hour = hour % NOON + (NOON if half.startswith("p") else 0)
    if hour > 23 or minute > 59:
        raise NotRead("no-hour")
    return time(hour, minute)


def order_of(cells: Iterable[Written]) -> tuple[Order | None, bool]:
    """Which number is the day, by the days of a file that can be read in one way only; and whether any day
    of it needs to know. Where the days contradict each other nothing is known."""
    shown: set[Order] = set()
    needed = False
    for cell in cells:
        if cell.pair is None:
            continue
        ways = days_of(cell.pair)
        if len(ways) == 1:
            shown |= set(ways)
        else:
            needed = needed or len(set(ways.values())) > 1
    return (shown.pop() if len(shown) == 1 else None), needed


def moment_of(day: date, hour: time | None) -> datetime:
    """That hour of the day, noon where none was told; without a zone."""
    return datetime.combine(day, hour or time(NOON))
