"""Clock times, spans and "ago" made of numbers and words, and what they mean at a given moment."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from core.reading.items import Item

HOUR = 60
HALF_DAY = 12 * HOUR
DAY = 24 * HOUR
LAST_NIGHT_HOUR = 5
AHEAD = 20  # minutes by which a watch may be ahead of ours
SPOKEN_MINUTES = 5  # "10 to 6" is a clock time, "3 to 4" is not
MINUTES = {"min": 1.0, "h": 60.0, "s": 1 / 60}


def fold(found: Sequence[Item]) -> list[Item]:
    """The items with clock times, spans and agos put together."""
    folded: list[Item] = []
    at = 0
    while at < len(found):
        item, taken = _time_at(found, at)
        folded.append(item)
        at += taken
    return _with_parts_of_day(folded)


def _time_at(found: Sequence[Item], at: int) -> tuple[Item, int]:
    item = found[at]
    after = found[at + 1] if at + 1 < len(found) else Item("sign", "")
    named = item.one_of("clock")
    if named is not None:
        return Item("clock", item.raw, value=float({"noon": HALF_DAY}.get(named, 0)), sure=True), 1
    if item.has("time.just_now"):
        return Item("ago", item.raw, senses=item.senses, value=0.0), 1
    if item.kind == "clock":
        return (_halved(item, after), 2) if after.has("time.am", "time.pm") else (item, 1)
    if item.kind == "num":
        return _number_time(found, at, after)
    if item.has("time.hence") and after.kind == "num" and after.unit in MINUTES:
        inner, taken = _time_at(found, at + 1)
        if inner.kind == "span":
            return replace(inner, senses=inner.senses | {"time.hence"}), taken + 1
    if item.has("time.at") and after.kind == "num" and not after.unit:
        inner, taken = _time_at(found, at + 1)
        how = {sense for sense in ("time.at", "time.loose") if item.has(sense)}
        marked = inner if inner.kind == "clock" else replace(inner, senses=inner.senses | how)
        if inner.kind == "num" and as_clock(marked) is None:
            marked = inner
        return marked, taken + 1
    return item, 1


def _number_time(found: Sequence[Item], at: int, after: Item) -> tuple[Item, int]:
    item = found[at]
    if item.unit in MINUTES:
        return _span(item, after)
    clock = as_clock(item)
    if clock is not None and after.has("time.am", "time.pm") and clock.value < 13 * HOUR:
        return _halved(clock, after), 2
    if clock is not None and after.has("time.oclock"):
        more = found[at + 2] if at + 2 < len(found) else Item("sign", "")
        return (_halved(clock, more), 3) if more.has("time.am", "time.pm") else (clock, 2)
    if after.has("time.past", "time.to") and at + 2 < len(found):
        spoken = _past_or_to(item, after, found[at + 2])
        if spoken is not None:
            return spoken, 3
    return item, 1


def _span(item: Item, after: Item) -> tuple[Item, int]:
    minutes = item.value * MINUTES[item.unit]
    if after.has("time.ago"):
        return Item("ago", item.raw, value=minutes), 2
    return Item("span", item.raw, item.senses, value=minutes, said=item.said), 1


def _past_or_to(minutes: Item, word: Item, hour: Item) -> Item | None:
    """ "ten past six", "quarter to ten", "half past nine"."""
    part = minutes.value * HOUR if minutes.value in (0.25, 0.5) else minutes.value
    if hour.kind != "num" or not hour.whole or not 1 <= hour.value <= 23 or not 0 < part < HOUR:
        return None
    if minutes.unit or part != int(part) or (part % SPOKEN_MINUTES and not minutes.spoken):
        return None
    total = hour.value * HOUR + (part if word.has("time.past") else -part)
    return Item("clock", f"{minutes.raw} {word.raw} {hour.raw}", value=total % DAY, sure=hour.value > 12)


def as_clock(item: Item) -> Item | None:
    """A bare number as a clock: 9, 21, 9.40, 21.40; None if it is no such time."""
    if item.kind == "clock":
        return item
    if item.kind != "num" or item.unit or item.high is not None:
        return None
    hour, dot, minute = item.text.partition(".")
    if len(item.text) == 4 and item.text.isdigit() and item.has("time.at"):
        hour, dot, minute = item.text[:2], ".", item.text[2:]
    if item.spoken:
        hour, dot, minute = str(int(item.value)) if item.value == int(item.value) else "", "", ""
    if not hour.isdigit() or len(hour) > 2 or int(hour) >= 24:
        return None
    if dot and (len(minute) != 2 or not minute.isdigit() or int(minute) >= HOUR):
        return None
    total = int(hour) * HOUR + int(minute or 0)
    return Item("clock", item.raw, value=float(total), sure=int(hour) > 12 or (hour[0] == "0" and bool(dot)))


def _halved(clock: Item, word: Item) -> Item:
    """The clock with am or pm said."""
    total = clock.value % HALF_DAY if clock.value < 13 * HOUR else clock.value
    return replace(
        clock, value=total + (HALF_DAY if word.has("time.pm") and total < HALF_DAY else 0), sure=True
    )


def _with_parts_of_day(found: list[Item]) -> list[Item]:
    part = next((item.one_of("part") for item in found if item.one_of("part")), None)
    if part is None:
        return found
    return [in_part(item, part) for item in found]


def in_part(item: Item, part: str) -> Item:
    """A clock in that part of the day: `am`, `pm` or `night`."""
    if item.kind != "clock" or item.sure:
        return item
    hour = item.value % HALF_DAY
    late = part == "pm" or (part == "night" and hour > LAST_NIGHT_HOUR * HOUR)
    return replace(item, value=hour + (HALF_DAY if late else 0), sure=True)


def said(minutes: float) -> str:
    """Minutes after midnight as "HH:MM"."""
    total = int(minutes) % DAY
    return f"{total // HOUR:02d}:{total % HOUR:02d}"


def moment(now: str | None) -> int | None:
    """ "HH:MM" as minutes after midnight; None if it is nothing of the kind."""
    hour, _, minute = (now or "").partition(":")
    if not (hour.isascii() and hour.isdigit() and minute.isascii() and minute.isdigit()):
        return None
    total = int(hour[:4]) * HOUR + int(minute[:4])
    return total if total < DAY else None


def past(clock: Item, now: str | None) -> str:
    """The latest such time before now, or a little after it by a clock that is ahead; as it stands where
    nothing is known of now."""
    return _half(clock, now, lambda here, time: here + AHEAD - time)


def coming(clock: Item, now: str | None) -> str:
    """The next such time after now."""
    return _half(clock, now, lambda here, time: time - here)


def _half(clock: Item, now: str | None, away: Callable[[int, float], float]) -> str:
    """The half of the day that lies least `away` from now, where the clock time leaves it open."""
    here = moment(now)
    if clock.sure or here is None:
        return said(clock.value)
    times = (clock.value % HALF_DAY, clock.value % HALF_DAY + HALF_DAY)
    return said(min(times, key=lambda time: away(here, time) % DAY))
