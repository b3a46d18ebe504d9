"""One reader's language, number style and clock. Every figure of a text is made here, by Babel."""

from __future__ import annotations

import functools
import math
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta, tzinfo

from babel import Locale
from babel.dates import format_datetime, format_skeleton
from babel.numbers import format_decimal, get_currency_name

from core.records import Mark, Preparation, Strength
from core.wording.texts import Texts, Value

FIGURES = 3
MOST_OFF = 0.05
NOON = 12
DAY, NIGHT = timedelta(days=1), timedelta(hours=12)
DATE_BEYOND = timedelta(days=6)
MARKS: dict[Mark, str] = {
    "published": "published",
    "common practice": "common-practice",
    "from memory": "from-memory",
    "the farm's own": "own",
}
STRENGTHS = {
    "strength-vial-dissolved": {"iu_per_vial", "diluent_ml"},
    "strength-vial": {"iu_per_vial"},
    "strength-both": {"ug_per_ml", "mg_per_ml"},
    "strength-ug": {"ug_per_ml"},
    "strength-mg": {"mg_per_ml"},
}
"""The parts of a label that a sentence tells."""


@dataclass(frozen=True, slots=True)
class Tongue:
    """Words and numbers of one language; `lang` is one that `texts` knows."""

    texts: Texts
    lang: str

    @property
    def locale(self) -> Locale:
        return self.texts.locale(self.lang)

    def say(self, name: str, /, **values: Value) -> str:
        return self.texts.format(self.lang, name, values)

    def coded(self, family: str, code: str, /, **values: Value) -> str:
        """The text of a code; the reader's codes have underscores, ids of texts have not."""
        return self.say(f"{family}-{code.replace('_', '-')}", **values)

    # numbers

    def number(self, value: float, decimals: int = 2) -> str:
        return _number(value, decimals, self.locale)

    def whole(self, value: float) -> str:
        return self.number(value, 0)

    def about(self, value: float) -> str:
        """A number that is no finer than three figures: "about 25,800"."""
        if not value:
            return self.whole(value)
        return self.whole(round(value, FIGURES - 1 - math.floor(math.log10(abs(value)))))

    def amount(self, value: float) -> str:
        """Active substance, alone or per kg: three figures, since no scale, label or weighing knows more."""
        if not value:
            return self.number(value)
        decimals = FIGURES - 1 - math.floor(math.log10(abs(value)))
        return self.number(round(value, decimals), max(decimals, 0))

    def ml(self, value: float) -> str:
        """mL to 0.01; a small volume with as many decimals as it takes to be no more than 5 % off."""
        decimals = 2
        while value and abs(round(value, decimals) - value) > MOST_OFF * abs(value):
            decimals += 1
        return self.number(value, decimals)

    def money(self, value: float, currency: str | None, fine: bool = False) -> str:
        """An amount with the name of its money, where it was told; a `fine` one to three figures."""
        amount = self.amount(value) if fine else self.number(value)
        if currency is None:
            return amount
        name = get_currency_name(currency, count=value, locale=self.locale)
        return self.say("money", amount=amount, currency=name)

    def kg(self, value: float) -> str:
        return self.number(value, 2 if value >= 1 else 3)

    def celsius(self, value: float) -> str:
        return self.number(value, 1)

    def percent(self, value: float, counted: bool) -> str:
        """A counted share is no better than a whole percent, unless that would say all or nothing."""
        return self.number(value, 0 if counted and (1 <= value <= 99 or value > 101) else 1)

    def doubt(self, low: float | None, high: float | None) -> str:
        """An optional part of a sentence: ", roughly 76-87", or nothing where no doubt is known."""
        return (
            ""
            if low is None or high is None
            else self.say("doubt", low=self.whole(low), high=self.whole(high))
        )

    def duration(self, minutes: int) -> str:
        hours, rest = divmod(minutes, 60)
        if not hours:
            return self.say("duration-minutes", minutes=self.whole(rest))
        if not rest:
            return self.say("duration-hours", hours=self.whole(hours))
        return self.say("duration-both", hours=self.whole(hours), minutes=self.whole(rest))

    # names

    def called(self, name: str) -> str:
        """How a run or its part is named; a species in it is a slug: "rohu 3, tank 2"."""
        return self.names(self._called(part) for part in name.split(", "))

    def _called(self, part: str) -> str:
        word, blank, rest = part.partition(" ")
        return (self.species(word) if self.texts.has(f"species-{word}") else word) + blank + rest

    def species(self, slug: str) -> str:
        return self.say(f"species-{slug}")

    def is_species(self, word: str) -> bool:
        """Whether there are words for a species of that slug."""
        return bool(word) and self.texts.has(f"species-{word}")

    def step(self, step: str) -> str:
        return self.say(f"step-{step}")

    def part(self, step: str, called: str) -> str:
        """A step, with the part it is of where that has to be named."""
        return (
            self.say("part-of", step=self.step(step), called=self.called(called))
            if called
            else self.step(step)
        )

    def preparation(self, preparation: Preparation | str) -> str:
        return self.say(f"preparation-{preparation}")

    def mark(self, mark: Mark) -> str:
        return self.say(f"mark-{MARKS[mark]}")

    def strength(self, strength: Strength) -> str:
        """What a label says, by the first sentence all parts of which were told."""
        told = strength.told
        name = next((name for name, parts in STRENGTHS.items() if told.keys() >= parts), "strength-unknown")
        return self.say(name, **{part: self.number(value) for part, value in told.items()})

    def unit(self, unit: str) -> str:
        """What is measured; "per kg" of it is the sentence's."""
        return self.say(f"unit-{unit.removesuffix('/kg').lower()}")

    def names(self, names: Iterable[str]) -> str:
        """Several names on one line: "F1, F2"."""
        return self.joined("list", names)

    def joined(self, link: str, parts: Iterable[str]) -> str:
        """Several parts in a row, each joined to those before it by the sentence `link`."""
        text = ""
        for part in parts:
            text = self.say(link, before=text, last=part) if text else part
        return text

    def who(self, tags: tuple[str, ...]) -> str:
        """An optional part of a sentence, with the blank before it: " (F1, F2)", or nothing."""
        return " " + self.say("who", tags=self.names(tags)) if tags else ""


@dataclass(frozen=True, slots=True)
class Voice(Tongue):
    """A tongue with a clock: times in the farm's zone, seen from `now`."""

    zone: tzinfo
    now: datetime

    def time(self, at: datetime, seen_from: datetime | None = None) -> str:
        """HH:MM; the weekday in front where the day is not plain, the date where a weekday is not.

        Plain is the day of `seen_from` (by default: now), the morning after its afternoon, the night before.
        """
        seen = (seen_from or self.now).astimezone(self.zone)
        local = at.astimezone(self.zone)
        morning_after = local.date() == seen.date() + DAY and local.hour < NOON <= seen.hour
        if local.date() == seen.date() or morning_after or -NIGHT <= local - seen <= timedelta(0):
            return format_datetime(local, "HH:mm", locale=self.locale)
        return self.dated(at, seen)

    def dated(self, at: datetime, seen_from: datetime | None = None) -> str:
        """HH:MM with its weekday, the date where a weekday is not plain from `seen_from`."""
        local = at.astimezone(self.zone)
        if abs(at - (seen_from or self.now)) <= DATE_BEYOND:
            return format_datetime(local, "EEE HH:mm", locale=self.locale)
        return f"{self.day(local.date())} {format_datetime(local, 'HH:mm', locale=self.locale)}"

    def times(self, hours: Iterable[datetime]) -> list[str]:
        """Hours in a row: the day is named where it changes from one to the next, and once more than a day
        lies between, since the same hour comes again.

        A plain day is named too behind a named one, and where the row goes back to it.
        """
        said: list[str] = []
        listed = list(hours)
        named: set[date] = set()
        for n, at in enumerate(listed):
            day = self._date(at)
            before = self._date(listed[n - 1]) if n else day
            again = at - min(self.now, listed[0]) >= DAY and day not in named
            if day < before or (day != before and before in named):
                said.append(self.dated(at))
            else:
                said.append(self.time(at, at if n and day == before and not again else None))
            if said[-1] != self.time(at, at):
                named.add(day)
        return said

    def _date(self, at: datetime) -> date:
        return at.astimezone(self.zone).date()

    def day(self, day: date) -> str:
        this_year = day.year == self.now.astimezone(self.zone).year
        return _day("MMMd" if this_year else "yMMMd", day, self.locale)

    def iso_day(self, text: str) -> str:
        """A date of the farm, ISO 8601, as people write it."""
        return self.day(date.fromisoformat(text))

    def when(self, at: datetime | None) -> str:
        """An optional part of a sentence, with the blank before it: " at 05:40", or nothing."""
        return " " + self.say("when", at=self.time(at)) if at is not None else ""


@functools.lru_cache(maxsize=4096)
def _number(value: float, decimals: int, locale: Locale) -> str:
    return format_decimal(value, format="#,##0" + "." * bool(decimals) + "#" * decimals, locale=locale)


@functools.lru_cache(maxsize=1024)
def _day(skeleton: str, day: date, locale: Locale) -> str:
    return format_skeleton(skeleton, day, locale=locale)


def opening(text: str) -> str:
    """A name that begins a sentence."""
    return text[:1].upper() + text[1:]


def yes(flag: object) -> str:
    """A switch for the variants of a text."""
    return "yes" if flag else "no"
