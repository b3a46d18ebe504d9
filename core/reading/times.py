"""Clock times, spans and "ago" made of numbers and words, and what they mean at a given moment."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from core.reading.items import Item

HOUR = 60
HOURS = 12
HALF_DAY = HOURS * HOUR
DAY = 24 * HOUR
LAST_NIGHT_HOUR = 5
FEW_FISH = 9
FIRST_NOON_HOUR = 6  # "11 at noon" is before it, "1 at noon" behind
EARLIEST_OF_HOURS = 5  # "22h" and "5 heures" are on the clock, "2h" is how long
AHEAD = 20  # minutes by which a watch may be ahead of ours
SPOKEN_MINUTES = 5  # "10 to 6" is a clock time, "3 to 4" is not
MINUTES = {"min": 1.0, "h": 60.0, "s": 1 / 60}


def fold(found: Sequence[Item]) -> list[Item]:
    """The items with clock times, spans and agos put together."""
    folded: list[Item] = []
    at = 0
    while at < len(found):
        item, taken = _time_at(found, at)
        if not (item.has("time.just_now") and any(each.has("time.just_now") for each in folded)):
            folded.append(item)
        at += taken
    return _with_parts_of_day(folded)


NO_ITEM = Item("sign", "")


def _item(found: Sequence[Item], at: int) -> Item:
    return found[at] if 0 <= at < len(found) else NO_ITEM


def _time_at(found: Sequence[Item], at: int) -> tuple[Item, int]:
    item, after = found[at], _item(found, at + 1)
    named = item.one_of("clock")
    if named is not None:
        start = float({"noon": HALF_DAY}.get(named, 0))
        clock, more = _with_minutes(Item("clock", item.raw, value=start, sure=True), found, at + 1)
        return clock, 1 + more
    if item.has("time.just_now"):
        return Item("ago", item.raw, senses=item.senses, value=0.0), 1
    if item.kind == "clock":
        return _finished(item, found, at + 1, 1)
    if item.kind == "num":
        return _number_time(found, at, after)
    if item.has("time.behind_hour"):
        return _finished(Item("clock", item.raw, value=float(HOUR)), found, at, 0)
    return _behind_a_word(found, at, after) or (item, 1)


def _behind_a_word(found: Sequence[Item], at: int, after: Item) -> tuple[Item, int] | None:
    """An hour, span or ago whose word stands before its number."""
    item = found[at]
    if item.has("time.before_hour") and (told := _by_own_clock(found, at)) is not None:
        return told
    if item.has("time.minus") and (told := _minutes_first(found, at)) is not None:
        return told
    if after.kind == "num" and after.unit in MINUTES:
        if item.has("time.ago_before") and all(sense.startswith("time.") for sense in item.senses):
            return Item("ago", after.raw, value=after.value * MINUTES[after.unit]), 2
        inner, taken = _time_at(found, at + 1)
        if item.has("time.hence") and inner.kind == "span":
            return inner._replace(senses=inner.senses | {"time.hence"}), taken + 1
    if item.has("time.at") and after.kind == "num" and not _is_a_range(found, at):
        return _pointed(found, at, item)
    if item.has("time.at") and after.kind == "clock":
        inner, taken = _time_at(found, at + 1)
        return inner, taken + 1
    return None


def _minutes_first(found: Sequence[Item], at: int) -> tuple[Item, int] | None:
    """ "Kém 15 7 giờ": the minutes that are wanting stand before the hour."""
    minutes, hour = _minutes(_item(found, at + 1)), _item(found, at + 2)
    told = _item(found, at + 3).has("time.oclock") or _is_hours(hour)
    clock = as_clock(hour._replace(unit="")) if told and hour.kind == "num" else None
    if minutes is None or clock is None or clock.value % HOUR:
        return None
    return _finished(clock._replace(value=(clock.value - minutes) % DAY), found, at + 3, 3)


def _is_a_range(found: Sequence[Item], at: int) -> bool:
    """Whether a word such as French "à" stands between two numbers, neither of them a clock's."""
    low, high = _item(found, at - 1), _item(found, at + 1)
    plain = low.kind == "num" and high.kind == "num" and not low.unit and "time.oclock" not in high.senses
    later = _item(found, at + 2)
    clock = later.has("time.oclock", "time.am", "time.pm") or later.one_of("part") is not None
    return found[at].has("join.to") and plain and not clock and low.value <= high.value


def _pointed(found: Sequence[Item], at: int, word: Item) -> tuple[Item, int]:
    """A number behind "at": a clock where it is plainly one, else a number that may be an hour."""
    number = found[at + 1]
    if number.unit and not _is_hours(number):
        return word, 1
    half = _item(found, at + 2)
    if number.has("time.half_to") and half.kind == "num" and not half.unit:
        hour = as_clock(half._replace(value=half.value - number.value, text="", spoken=True))
        if hour is not None:
            told, taken = _finished(hour, found, at + 3, 0)
            return told, taken + 3
    if number.unit:
        told, taken = _hours_as_clock(found, at + 1)
        return told, taken + 1
    inner, taken = _time_at(found, at + 1)
    if inner.kind == "num" and (clock := as_clock(inner)) is not None:
        told, more = _finished(clock, found, at + 1 + taken, 0)
        if more or told != clock:
            return told, taken + 1 + more
    how = {sense for sense in ("time.at", "time.loose") if word.has(sense)}
    marked = inner if inner.kind == "clock" else inner._replace(senses=inner.senses | how)
    if inner.kind == "num" and as_clock(marked) is None:
        marked = inner
    return marked, taken + 1


def _number_time(found: Sequence[Item], at: int, after: Item) -> tuple[Item, int]:
    item = found[at]
    if item.unit in MINUTES:
        if _item(found, at - 1).has("time.ago_before"):
            return Item("ago", item.raw, value=item.value * MINUTES[item.unit]), 1
        clock = _is_hours(item) and not after.has("time.ago", "time.hence_after")
        partly = after.one_of("part") is not None or after.has("time.am", "time.pm")
        late = item.value >= EARLIEST_OF_HOURS or _item(found, at - 1).one_of("part") is not None
        return _hours_as_clock(found, at) if clock and (partly or late) else _span(item, after)
    spoken = _half_to(found, at) or _hour_and_minutes(found, at)
    if spoken is not None:
        return spoken
    maybe = as_clock(item)
    if maybe is not None and _is_told_as_hour(found, at, after):
        return _finished(maybe, found, at + 1, 1)
    if after.has("time.past", "time.to") and at + 2 < len(found):
        told = _past_or_to(item, after, found[at + 2])
        if told is not None:
            return told, 3
    return item, 1


def _half_to(found: Sequence[Item], at: int) -> tuple[Item, int] | None:
    """ "Setengah tujuh", half past six, where nothing is weighed."""
    half, hour = found[at], _item(found, at + 1)
    if not half.has("time.half_to") or hour.kind != "num" or not hour.whole or not 1 <= hour.value <= HOURS:
        return None
    if _owned(_item(found, at + 2)) or any(_is_weighed(item) for item in found):
        return None
    clock = as_clock(hour._replace(value=hour.value - half.value, text="", spoken=True))
    return _finished(clock, found, at + 2, 2) if clock is not None else None


def _is_weighed(item: Item) -> bool:
    """A weight, or a fish that may have one."""
    owner = item.one_of("sex") is not None or item.one_of("species") is not None
    return owner or item.has("cue.scale") or item.unit in {"kg", "g", "hundred_g"}


def _is_told_as_hour(found: Sequence[Item], at: int, after: Item) -> bool:
    """Whether the words beside a bare number make it an hour."""
    item = found[at]
    if item.has("time.oclock_maybe"):
        minutes = after.kind == "num" and after.unit == "min"
        minutes = minutes or (after.has("time.plus", "time.minus") and _item(found, at + 2).kind == "num")
        return minutes or _item(found, at - 1).one_of("part") is not None
    if after.has("time.am", "time.pm"):
        return item.value < 13
    return after.has("time.oclock", "time.behind_hour")


def _is_hours(item: Item) -> bool:
    """Whether its unit is hours by a word that tells the clock as well: "22h", "5 heures"."""
    return item.kind == "num" and item.unit == "h" and item.has("time.oclock")


def _hours_as_clock(found: Sequence[Item], at: int) -> tuple[Item, int]:
    item = found[at]
    clock = as_clock(item._replace(unit=""))
    return _finished(clock, found, at + 1, 1) if clock is not None else (item, 1)


def _by_own_clock(found: Sequence[Item], at: int) -> tuple[Item, int] | None:
    """An hour behind a word of its clock ("saa", "ตี"), so many hours from midnight's."""
    word, number = found[at], _item(found, at + 1)
    clock = as_clock(number)
    if clock is None:
        return None
    behind = _item(found, at + 2)
    ago = behind.has("time.ago")
    if word.has("unit.h") and (ago or _item(found, at - 1).has("time.hence")):
        hence = frozenset() if ago else frozenset({"time.hence"})
        minutes = number.value * HOUR
        return Item(
            "ago" if ago else "span", number.raw, hence, value=minutes, said=word.raw
        ), 3 if ago else 2
    halved = behind.has("time.am", "time.pm")
    late = _minutes(behind) if behind.spoken and not _owned(_item(found, at + 3)) else None
    if late is not None and late > FEW_FISH and not clock.value % HOUR:
        clock, own = clock._replace(value=clock.value + late), 3
    else:
        own = 2
    told, taken = _finished(clock if halved else _shifted(clock, word), found, at + own, own)
    part = word.one_of("part")
    told = in_part(told, part) if part is not None else told
    unheard = number.spoken and clock.value > HALF_DAY + HOUR
    marks = {"time.own_clock", "time.unheard"} if unheard else {"time.own_clock"}
    return told._replace(senses=told.senses | marks), taken


def _shifted(clock: Item, word: Item) -> Item:
    """A clock time told by a clock of its own; one that stands behind its hours counts the first of them."""
    most = LAST_NIGHT_HOUR + 1 if word.has("time.behind_hour") else 13
    if clock.value >= most * HOUR:
        return clock
    return clock._replace(value=(clock.value + word.value * HOUR) % HALF_DAY, sure=False)


def _finished(clock: Item, found: Sequence[Item], at: int, taken: int) -> tuple[Item, int]:
    """A clock time with what follows at `at`: o'clock, minutes, am or pm, a clock's own word, a part of the
    day. Also how many items it took, where `taken` are its own."""
    start = at
    if _item(found, at).has("time.oclock"):
        at += 1
    clock, more = _with_minutes(clock, found, at)
    at += more
    word = _item(found, at)
    if word.has("time.am", "time.pm"):
        clock, at = _halved(clock, word), at + 1
    elif word.has("time.behind_hour"):
        part = word.one_of("part")
        clock, at = _shifted(clock, word), at + 1
        clock, more = _with_minutes(clock, found, at)
        clock, at = (in_part(clock, part) if part is not None else clock), at + more
    elif (named := word.one_of("clock")) is not None:
        clock, at = in_part(clock, named), at + 1
    else:
        part = word.one_of("part")
        late = _item(found, at + 1)
        if part is not None and late.unit == "min" and not clock.value % HOUR:
            clock, at = clock._replace(value=clock.value + (_minutes(late) or 0)), at + 2
        clock = in_part(clock, part) if part is not None else clock
    return clock, taken + at - start


def _hour_and_minutes(found: Sequence[Item], at: int) -> tuple[Item, int] | None:
    """ "Injetei 8 e 25", where an act is told and nothing is weighed: twenty-five past eight."""
    hour, word, minutes = found[at], _item(found, at + 1), _item(found, at + 2)
    if not word.has("time.plus") or not hour.whole or not minutes.whole or len(minutes.text) != 2:
        return None
    acts = any(item.has("cue.injected", "cue.stripped") for item in found)
    fives = minutes.value % SPOKEN_MINUTES == 0 and minutes.value > FEW_FISH
    if not (acts and fives) or any(_is_weighed(item) for item in found) or _owned(_item(found, at + 3)):
        return None
    clock = as_clock(hour)
    return _finished(clock, found, at + 1, 1) if clock is not None else None


def _with_minutes(clock: Item, found: Sequence[Item], at: int) -> tuple[Item, int]:
    """Minutes told behind the hour: "y diez", "kém 10", "6 giờ 15"."""
    word, behind = _item(found, at), _item(found, at + 1)
    if clock.value % HOUR:
        return clock, 0
    if (part := _item(found, at - 1).high) is not None and _item(found, at - 1).kind == "word":
        return clock._replace(value=(clock.value + part * HOUR) % DAY), 0
    for sense, sign in (("time.plus", 1), ("time.minus", -1)):
        if word.has(sense) and (minutes := _minutes(behind)) is not None:
            return clock._replace(value=(clock.value + sign * minutes) % DAY), 2
    told = _item(found, at - 1).has(*HOUR_TOLD)
    minutes = _minutes(word) if told and not _owned(behind) else None
    if minutes is not None and (word.unit == "min" or minutes % SPOKEN_MINUTES == 0 or minutes > FEW_FISH):
        return clock._replace(value=clock.value + minutes), 1
    return clock, 0


HOUR_TOLD = ("time.oclock", "time.oclock_maybe", "time.behind_hour", "clock.noon", "clock.midnight")


def _owned(item: Item) -> bool:
    """Whether it is a fish, which the number before it counts."""
    return item.kind in {"tag", "coded"} or item.one_of("sex") is not None or item.one_of("noun") is not None


def _minutes(item: Item) -> float | None:
    """Minutes of an hour, where the item may be them."""
    if item.kind != "num" or item.unit not in {"", "min"} or item.high is not None:
        return None
    minutes = item.value * HOUR if item.value in (0.25, 0.5) else item.value
    return minutes if 0 < minutes < HOUR and minutes == int(minutes) else None


def _span(item: Item, after: Item) -> tuple[Item, int]:
    minutes = item.value * MINUTES[item.unit]
    if after.has("time.ago"):
        return Item("ago", item.raw, value=minutes), 2
    hence = {"time.hence"} | (after.senses & {"filler.more"}) if after.has("time.hence_after") else set()
    taken = 2 if hence else 1
    return Item("span", item.raw, item.senses | hence, value=minutes, said=item.said), taken


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
        minutes = round(item.value * HOUR)
        hour, dot, minute = str(minutes // HOUR), "." if minutes % HOUR else "", f"{minutes % HOUR:02d}"
        if item.value < 1 or minutes % (HOUR // 4) or item.value * HOUR != minutes:
            return None
    if not hour.isdigit() or len(hour) > 2 or int(hour) >= 24:
        return None
    if dot and (len(minute) != 2 or not minute.isdigit() or int(minute) >= HOUR):
        return None
    total = int(hour) * HOUR + int(minute or 0)
    return Item("clock", item.raw, value=float(total), sure=int(hour) > 12 or (hour[0] == "0" and bool(dot)))


def _halved(clock: Item, word: Item) -> Item:
    """The clock with am or pm said."""
    total = clock.value % HALF_DAY if clock.value < 13 * HOUR else clock.value
    return clock._replace(
        value=total + (HALF_DAY if word.has("time.pm") and total < HALF_DAY else 0), sure=True
    )


def _with_parts_of_day(found: list[Item]) -> list[Item]:
    """Each clock time in the part of the day that is told nearest to it."""
    parts = [(at, part) for at, item in enumerate(found) if (part := item.one_of("part"))]
    if not parts:
        return found
    return [
        in_part(item, min(parts, key=lambda told: abs(told[0] - at))[1]) if item.kind == "clock" else item
        for at, item in enumerate(found)
    ]


def in_part(item: Item, part: str) -> Item:
    """A clock in that part of the day: `am`, `pm`, `night`, around `noon` or `midnight`."""
    if item.kind != "clock" or item.sure:
        return item
    hour = item.value % HALF_DAY
    late = {
        "pm": True,
        "night": hour > LAST_NIGHT_HOUR * HOUR,
        "noon": hour < FIRST_NOON_HOUR * HOUR,
        "midnight": hour > LAST_NIGHT_HOUR * HOUR,
    }.get(part, False)
    return item._replace(value=hour + (HALF_DAY if late else 0), sure=True)


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
