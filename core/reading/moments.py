"""When an act was, or is to be: its hour, how long ago, on which day."""

from __future__ import annotations

from typing import Literal

from core.reading import times
from core.reading.items import Item
from core.reading.message import Message

Day = Literal["today", "tomorrow", "yesterday", "far", "either"]
"""`far`: two days away or more; `either`: yesterday or tomorrow, nobody knows."""

PARTS = {"am": (3, 12), "pm": (12, 20), "night": (18, 6)}
"""The first and last hour of each part of the day."""

RECENT = 30
"""Minutes within which an act is told as done just now."""

TOLD = ("topic.given", "cue.given", "cue.gave", "cue.past", "say.done", "deny.already", "time.just_now")
"""Words that tell an act as done, where its verb does not."""


def moment_of(
    message: Message, *, loose: bool = False, dotted: bool = False
) -> tuple[str | None, float | None, list[Item]]:
    """When it happened: clock, minutes ago, and the bare numbers that are neither.

    With `dotted` a number written as an hour is one, "spawned 5.40"; with `loose` any bare number that can
    be a clock: "injected 9".
    """
    now = message.context.now
    told = told_moments(message)
    ago = next((item.value for item in told if item.kind == "ago"), None)
    clock = next((item for item in told if item.kind == "clock"), None)
    left = [item for item in message.bare() if item.raw]
    if clock is None and ago is None:
        written = loose or dotted
        pointed = [item for item in left if item.has("time.at") or (written and "." in item.text)]
        for item in pointed or ([item for item in left if not counts(message, item)] if loose else []):
            made = times.as_clock(item)
            if made is not None:
                part = message.any_of("part")
                clock = times.in_part(made, part) if part else made
                left = [other for other in left if other is not item]
                break
    return (times.past(clock, now) if clock is not None else None), ago, left


def told_moments(message: Message) -> list[Item]:
    """Its clock times and agos; "just now" is none beside a closer word: "just injected, 5 min ago"."""
    told = message.kinds("clock", "ago")
    exact = [item for item in told if item.kind == "clock" or item.value > 0]
    return exact if exact and all(_recent(item, message.context.now) for item in exact) else told


def _recent(item: Item, now: str | None) -> bool:
    here = times.moment(now)
    if item.kind == "ago":
        return item.value <= RECENT
    behind = 0.0 if here is None else (here + times.AHEAD - item.value) % _round(item)
    return behind <= RECENT + times.AHEAD


def counts(message: Message, number: Item) -> bool:
    """A number of fish or of times: "injected 2 females", "all four injected", "injected 2 times"."""
    before, after = beside(message, number)
    if number.has("time.at") and not message.kinds("clock", "ago"):
        return False
    near = any(item.one_of("sex") is not None or item.has("noun.fish") for item in (before, after))
    counted = number.has("counter.fish") and not number.has("time.oclock_maybe")
    times_told = before.has("counter.times") or after.has("counter.times", "op.times")
    counted = counted or near or times_told or before.has("cue.every") or after.has("cue.injected")
    return number.whole and counted


def beside(message: Message, item: Item) -> tuple[Item, Item]:
    """The items before and behind one of a message."""
    items = (times.NO_ITEM, *message.items, times.NO_ITEM)
    at = next(at for at, each in enumerate(items) if each is item)
    return items[at - 1], items[at + 1]


def hour(message: Message) -> Item | None:
    """The clock time of the message, bare hours included."""
    clock = next(iter(message.kinds("clock")), None)
    bare = [item for item in message.bare() if not counts(message, item)] if clock is None else []
    made = [c for item in bare if (c := times.as_clock(item)) is not None]
    clock = clock or (made[0] if made else None)
    later, here = hence(message), times.moment(message.context.now)
    if clock is None and later is not None and here is not None:
        return Item("clock", later.raw, value=(here + later.value) % times.DAY, sure=True)
    part = message.any_of("part")
    return times.in_part(clock, part) if clock is not None and part else clock


def hence(message: Message) -> Item | None:
    """A span that is still to pass: "in 2 hours"."""
    return next((item for item in message.kinds("span") if item.has("time.hence")), None)


def day_of(message: Message) -> Day | None:
    """The day that is told; a word for yesterday and tomorrow ("kal") by what is said to happen then."""
    if message.has("day.far"):
        return "far"
    if message.has("day.either"):
        if message.has("cue.will") or _wanted(message):
            return "tomorrow"
        return "yesterday" if _done(message) else "either"
    days: tuple[Day, ...] = ("tomorrow", "today", "yesterday")
    return next((day for day in days if message.has(f"day.{day}")), None)


def _wanted(message: Message) -> bool:
    """Whether a verb says that an act is to be done, and no other that it is."""
    return any(
        item.has("cue.inject_plan", "cue.strip_plan") and not item.has("cue.injected", "cue.stripped")
        for item in message.items
    )


def _done(message: Message) -> bool:
    """Whether an act is told as done, by its verb or a word beside it."""
    told = ("cue.injected", "cue.stripped", "cue.died", "cue.collected")
    spoken = ("cue.injecting", "cue.injected_noun", "cue.inject_plan", "cue.strip_plan")
    return message.has(*TOLD) or any(item.has(*told) and not item.has(*spoken) for item in message.items)


def to_come(message: Message) -> bool:
    """Whether the words, or an hour that is nearer ahead than behind, speak of the future."""
    day = day_of(message)
    if day in ("tomorrow", "either") or message.has("cue.will", "say.later", "may.must"):
        return True
    if day == "far" and not _done(message):
        return True
    if hence(message) and not message.measured("mass"):
        return True
    clock, here = hour(message), times.moment(message.context.now)
    if clock is None or day == "yesterday":
        return False
    if here is not None and message.has("cue.injecting") and not _done(message):
        return not nearer_behind(clock, here)
    if day != "today":
        return False
    if here is None or not clock.sure:
        return message.has("cue.injecting")
    return 0 < _ahead(clock, here) < times.HALF_DAY


def nearer_behind(clock: Item, here: int) -> bool:
    """Whether that time of the clock is nearer behind than ahead."""
    return (here - clock.value) % _round(clock) < _ahead(clock, here)


def _ahead(clock: Item, here: int) -> float:
    """Minutes until the clock tells that time."""
    return (clock.value - here) % _round(clock)


def _round(clock: Item) -> int:
    return times.DAY if clock.sure else times.HALF_DAY


def other_clock(message: Message) -> str | None:
    """What the hour is by a clock of the country's own, where neither clock is named: "2:15 usiku" is 02:15,
    or 20:15 by the Swahili one. None where there is no doubt."""
    clock = next(iter(message.kinds("clock")), None) or next(
        (made for item in message.bare() if (made := times.as_clock(item)) is not None), None
    )
    part = next((item.one_of("part_own") for item in message.items if item.one_of("part_own")), None)
    if clock is None or part is None or clock.has("time.own_clock"):
        return None
    hours = clock.raw.partition(":")[0].partition(".")[0]
    if not hours.isdigit() or not 1 <= int(hours) <= times.HALF_DAY // times.HOUR:
        return None
    shifted = (int(hours) * times.HOUR + clock.value % times.HOUR + times.HALF_DAY // 2) % times.HALF_DAY
    told = times.in_part(Item("clock", clock.raw, value=shifted), part).value
    earliest, latest = PARTS[part]
    return times.said(told) if (told / times.HOUR - earliest) % 24 <= (latest - earliest) % 24 else None
