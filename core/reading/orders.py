"""Larvae wanted, and by which day: as it was typed, and what it means on a calendar."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal, cast

from core.commands import NEXT_WEEK, Hatched, Order, Reading, Unclear
from core.reading import times
from core.reading.items import Item, count_of
from core.reading.message import Message, breaks
from core.reading.plausible import named_species

MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
DAYS_OF_MONTH = range(1, 32)
FARTHEST_DAYS = 366
EARLIEST_MORNING = 6 * times.HOUR  # of an hour said without its half of the day
WEEK = ("mon", "tue", "wed", "thu", "fri", "sat", "sun", "week", NEXT_WEEK)
MEANT = {"today", "tomorrow", "either", *WEEK}  # "kal" is tomorrow where something is wanted
ORDINAL = re.compile(r"(\d{1,2})[^\W\d]{1,2}")
BETWEEN = 3  # items at most between the day and its month: "12 th of june"


@dataclass(frozen=True, slots=True)
class Due:
    """The day of a message: `by` as typed, `day` what it means, and the items it is told with."""

    by: str
    day: str
    items: tuple[Item, ...]


def order(message: Message) -> Reading | None:
    """Larvae somebody wants: by a word that says so, or by the day they are wanted by. Larvae with a day to
    come and nothing else may be an order, or larvae that are there: asked."""
    if not message.has("noun.larvae", "noun.spawn"):
        return None
    due = due_of(message)
    rest = message.part([item for item in message.items if due is None or item not in due.items])
    if not (message.has("noun.larvae", "noun.spawn") and rest.bare()) or (
        due is None and not message.has("cue.order")
    ):
        return None
    wanted = message.has("cue.order") or (_is_by_a_day(message, due) and not _told_of_before(message))
    if not wanted and (_told_of_before(message) or (due and due.day == "today")):
        return None
    species, word, _ = named_species(message)
    stage = cast(Literal["hatched", "feeding"] | None, message.any_of("stage"))
    told = Order(count_of(rest.bare()[0]), stage=stage, species=species, species_word=word)
    told = replace(told, by=due.by, day=due.day, at=_hour(rest)) if due else told
    return told if wanted else Unclear("ambiguous_intent", (told, Hatched(larvae=told.larvae)))


def day_alone(message: Message) -> Order | None:
    """The day of an order that was told without one."""
    due = due_of(message)
    left = [item for item in message.items if due and item not in due.items and not breaks(item)]
    plain = all(
        item.has("time.at") or item.kind == "clock" or item.one_of("filler") is not None for item in left
    )
    return Order(by=due.by, day=due.day, at=_hour(message.part(left))) if due and plain else None


def _hour(message: Message) -> str | None:
    """The one hour told beside the day. A bare 6 to 11 is of the morning: ready too early is no harm."""
    pointed = [item for item in message.numbers if item.has("time.at")]
    clocks = [clock for item in [*message.kinds("clock"), *pointed] if (clock := times.as_clock(item))]
    if len(clocks) != 1:
        return None
    (clock,) = clocks
    if clock.sure:
        return times.said(clock.value)
    hour = clock.value % times.HALF_DAY
    return times.said(hour if hour >= EARLIEST_MORNING else hour + times.HALF_DAY)


def _is_by_a_day(message: Message, due: Due | None) -> bool:
    """Whether the day is the one it must be done by: "by saturday"."""
    if due is None:
        return False
    at = message.items.index(due.items[0])
    before = [item for item in message.items[max(at - 2, 0) : at] if not item.has("filler.article")]
    return due.items[0].has("time.loose") or (bool(before) and before[-1].has("time.loose"))


def _told_of_before(message: Message) -> bool:
    return message.has("cue.hatched", "cue.sold")


def due_of(message: Message) -> Due | None:
    """The first day that a message names."""
    return next((due for at in range(len(message.items)) for due in _days(message, at)), None)


def _days(message: Message, at: int) -> Iterator[Due]:
    items = message.items
    item = items[at]
    ahead = next((key for key in (item.one_of("day"), item.one_of("weekday")) if key), None)
    after = items[at + 1 : at + 2]
    if item.one_of("weekday") and after and after[0].one_of("weekday") == NEXT_WEEK:
        yield _due(message, (item, *after), f"{ahead} {NEXT_WEEK}")
    elif ahead in MEANT:
        yield Due(item.raw.casefold(), "tomorrow" if ahead == "either" else ahead, (item,))
    yield from _after_days(message, at)
    yield from _dates(message, at)
    yield from _days_of_month(message, at)


def _after_days(message: Message, at: int) -> Iterator[Due]:
    """ "In 5 days", "5 ngày nữa"."""
    items = message.items
    behind = items[at + 1] if at + 1 < len(items) else None
    if behind is None:
        return
    if items[at].has("time.hence"):
        number = behind
    elif behind.has("time.hence_after"):
        number = items[at]
    else:
        return
    days = number.kind == "num" and number.unit == "day" and number.high is None
    if days and number.value == int(number.value) and number.value <= FARTHEST_DAYS:
        yield _due(message, items[at : at + 2], f"+{int(number.value)}")


def _dates(message: Message, at: int) -> Iterator[Due]:
    """ "12 june", "june 12", "the 12th of june"."""
    items = message.items
    month = items[at].one_of("month")
    if month is None:
        return
    after = items[at + 1 : at + 2]
    before = [place for place in range(max(at - BETWEEN, 0), at) if _is_day(items[place])]
    if before:
        span = items[before[-1] : at + 1]
    elif after and _is_day(after[0]):
        span = items[at : at + 2]
    else:
        return
    day = next(item for item in span if _is_day(item))
    yield _due(message, span, f"{MONTHS.index(month) + 1:02d}-{_day_of(day):02d}")


def _days_of_month(message: Message, at: int) -> Iterator[Due]:
    """ "The 12th", "tanggal 12", "12 तारीख": a day of this month or of the next."""
    items = message.items
    item = items[at]
    if (
        not _is_day(item)
        or item.kind != "num"
        or any(near.one_of("month") for near in items[at + 1 : at + 1 + BETWEEN])
    ):
        return
    before, after = items[max(at - 1, 0) : at], items[at + 1 : at + 2]
    if item.unit == "day":
        span = items[at : at + 1] if _named_before(message, item) else ()
    elif before and before[0].has("date.word"):
        span = items[at - 1 : at + 1]
    elif after and after[0].has("date.word", "date.ending"):
        span = items[at : at + 2]
    else:
        return
    if span:
        yield _due(message, span, f"-{int(item.value):02d}")


def _named_before(message: Message, number: Item) -> bool:
    """ "Ngày 12", "día 12": the word for days that names one where it stands before the number."""
    names = any(phrase.senses & {"date.word"} for phrase in message.view.phrases(number.said.casefold()))
    return names and f"{number.said} {number.raw}".casefold() in message.text.casefold()


def _is_day(item: Item) -> bool:
    return _day_of(item) in DAYS_OF_MONTH


def _day_of(item: Item) -> int:
    """The number of a day, of "3rd" as well; 0 of anything else."""
    if item.kind == "word" and (written := ORDINAL.fullmatch(item.raw)) is not None:
        return int(written.group(1))
    plain = item.whole or (item.kind == "num" and item.unit == "day" and item.value == int(item.value))
    return int(item.value) if plain and item.high is None else 0


def _due(message: Message, items: Sequence[Item], day: str) -> Due:
    typed = "".join(" " * (not item.glued) + _as_typed(message, item) for item in items).strip()
    return Due(typed, day, tuple(items))


def _as_typed(message: Message, item: Item) -> str:
    """An item with its unit, in the order in which they were typed."""
    first = f"{item.said} {item.raw}".strip().casefold()
    return first if first in message.text.casefold() else f"{item.raw} {item.said}".strip().casefold()
