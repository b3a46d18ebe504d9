"""What the people of an invented farm type in a season of forty runs, and the same as plain figures.

`season()` gives the lines of a script for `hatchbell play` and, beside them, what they tell. It imports
nothing of core or bot: `tests/year/reckoned.py` works the results out of these figures by itself. Thrown by a
die with one seed, so that every season is the same.
"""

from __future__ import annotations

import json
import random
import sys
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime, timedelta, timezone
from typing import Any

SEED = 20261130
OFFSET = timezone(timedelta(hours=6))
BEGIN = datetime(2026, 2, 2, tzinfo=OFFSET)
STRENGTH = (20.0, 10.0)
"""Of every bottle of this farm: ug and mg in a mL."""
BOTTLE_ML = 10.0
FEMALES = {
    "african-catfish": ("A21", "A22", "A23", "A24", "A25", "A26"),
    "common-carp": ("C1", "C2", "C3"),
    "rohu": ("R1", "R2", "R3"),
}
MALES = {
    "african-catfish": ("B1", "B2", "B3"),
    "common-carp": ("D1", "D2", "D3"),
    "rohu": ("S1", "S2", "S3"),
}
SILENT, NO_EGGS = 9, 6
"""The last figure of runs after which nobody told anything, and of those in which no female gave eggs."""
CALLED = {"african-catfish": "african catfish", "common-carp": "common carp", "rohu": "rohu"}
WEIGHS = {"african-catfish": (1.6, 3.4), "common-carp": (2.8, 5.2), "rohu": (1.8, 3.2)}


@dataclass
class Told:
    """One run as it was told."""

    number: int
    species: str
    begun: datetime
    injected_at: datetime | None = None
    females: dict[str, float] = field(default_factory=dict)
    males: dict[str, float] = field(default_factory=dict)
    celsius: float | None = None
    eggs_at: datetime | None = None
    grams: dict[str, float] = field(default_factory=dict)
    gave_none: tuple[str, ...] = ()
    fertilised: tuple[int, int] | None = None
    hatched: tuple[int, int] | None = None
    hatched_of: str = "unknown"
    larvae: int | None = None
    swim_up: int | None = None
    sold: list[tuple[int, float]] = field(default_factory=list)
    spent: list[tuple[str, float]] = field(default_factory=list)
    state: str = "closed"

    @property
    def day(self) -> str:
        """The day it was injected, else told of."""
        return self.begun.date().isoformat()


@dataclass
class Season:
    """The lines of the script, and what they tell."""

    lines: list[dict[str, Any]] = field(default_factory=list)
    runs: list[Told] = field(default_factory=list)
    at: datetime = BEGIN

    def says(self, at: datetime, text: str) -> None:
        """The owner types this."""
        self._line(at, text=text)

    def taps(self, at: datetime, action: str) -> None:
        """The owner presses this."""
        self._line(at, tap=action)

    def waits(self, at: datetime) -> None:
        """Nobody says anything until then."""
        self.lines.append({"at": at.isoformat(), "until": True})

    def _line(self, at: datetime, **what: str) -> None:
        self.lines.append({"at": at.isoformat(), "user": "ines", "chat": "ines", **what})


def season(runs: int = 40) -> Season:
    """So many runs, one after the other."""
    die, told, day = random.Random(SEED), Season(), BEGIN
    for number in range(1, runs + 1):
        species = "common-carp" if number % 8 == 5 else "rohu" if number % 8 == 7 else "african-catfish"
        run = Told(number, species, day)
        told.runs.append(run)
        _Night(die, told, run, day).play()
        silent = number % 10 == SILENT
        day += timedelta(days=14 if silent else 5 if species == "african-catfish" else 10)
    told.lines.sort(key=moment)
    return told


class _Night:
    """The talk of one run."""

    def __init__(self, die: random.Random, told: Season, run: Told, day: datetime) -> None:
        self.die, self.told, self.run, self.day = die, told, run, day

    def play(self) -> None:
        """From the scale to the sale."""
        if self.run.number % 2:
            self._new_bottle()
        self._weigh()
        if self.run.number == 12:
            self.told.says(self._at(0, 18), "cancel")
            self.run.state = "cancelled"
            return
        self._inject()
        if self.run.species == "african-catfish":
            self._strip()
        else:
            self._spawn()

    def _at(self, days: int, hour: int, minute: int = 0) -> datetime:
        return self.day + timedelta(days=days, hours=hour, minutes=minute)

    def _new_bottle(self) -> None:
        """Every second run draws from a fresh one; what is left of the old one is thrown away."""
        before, lot = f"K{(self.run.number - 1) // 2}", f"K{(self.run.number + 1) // 2}"
        if self.run.number > 1:
            self.told.says(self._at(0, 15), f"bottle {before} thrown away")
        ug, mg = STRENGTH
        label = f"{ug:g} ug/ml + {mg:g} mg/ml {BOTTLE_ML:g} ml"
        self.told.says(self._at(0, 15, 10), f"bottle {label} lot {lot} exp 2028-10")
        self.told.says(self._at(0, 15, 20), f"opened bottle {lot}")

    def _weigh(self) -> None:
        species, low, high = self.run.species, *WEIGHS[self.run.species]
        many = self.die.choice((1, 2, 2, 3)) if species == "african-catfish" else 1
        for tag in self.die.sample(FEMALES[species], many):
            self.run.females[tag] = round(self.die.uniform(low, high), 1)
        for tag in self.die.sample(MALES[species], 1 if species == "african-catfish" else 2):
            self.run.males[tag] = round(self.die.uniform(low, high) * 0.8, 1)
        fish = [f"f {tag} {kg}" for tag, kg in self.run.females.items()]
        fish += [f"m {tag} {kg}" for tag, kg in self.run.males.items()]
        self.told.says(self._at(0, 17), f"{CALLED[species]} {' '.join(fish)}")
        self.told.taps(self._at(0, 17, 2), "start")

    def _inject(self) -> None:
        at = self._at(0, 20, 30)
        self.run.injected_at = at
        self.told.says(at, "injected")
        if self.run.number % 9 == 4:
            self.told.says(at + timedelta(minutes=1), "no thermometer")
            return
        warm = (25.0, 28.5) if self.run.species != "common-carp" else (20.0, 23.5)
        self.run.celsius = round(self.die.uniform(*warm), 1)
        self.told.says(at + timedelta(minutes=1), f"water {self.run.celsius}")

    def _strip(self) -> None:
        run, at = self.run, self._at(1, 6, self.die.choice((0, 10, 25, 40)))
        if run.number % 10 == NO_EGGS:
            self.told.says(at, " ".join(f"{tag} none" for tag in run.females))
            run.gave_none = tuple(run.females)
            return
        run.eggs_at = at
        tags = list(run.females)
        if len(tags) == 3:
            run.gave_none = (tags.pop(),)
        for tag in tags:
            run.grams[tag] = round(run.females[tag] * self.die.uniform(70, 160))
        words = [f"{tag} {run.grams[tag]:g} g" for tag in tags] + [f"{tag} none" for tag in run.gave_none]
        self.told.says(at, " ".join(words))
        self.told.says(at + timedelta(minutes=3), "milt on")
        if run.number % 10 == SILENT:
            run.state = "not-reported"
            return
        self._count(self._at(1, 17), self._at(2, 10), self._at(4, 10))

    def _spawn(self) -> None:
        seen = "eggs on the mat" if self.run.species == "common-carp" else "eggs in the hapa"
        at = self._at(1, 8)
        self.run.eggs_at = at
        self.told.says(at, seen)
        self.told.says(at + timedelta(hours=1), "brood fish out")
        slow = self.run.species == "common-carp"
        self._count(
            self._at(2 if slow else 1, 18), self._at(5 if slow else 2, 12), self._at(8 if slow else 5, 9)
        )

    def _count(self, fertilised_at: datetime, hatched_at: datetime, fed_at: datetime) -> None:
        run, total = self.run, 200
        good = round(total * self.die.uniform(0.55, 0.94))
        run.fertilised = (good, total)
        self.told.says(fertilised_at, f"{good} of {total} good")
        hatched = round(good * self.die.uniform(0.5, 0.95))
        run.hatched, run.hatched_of = (hatched, total), "all"
        self.told.says(hatched_at, f"{hatched} of {total} hatched of all")
        if run.grams:
            run.larvae = round(sum(run.grams.values()) * 650 * hatched / total, -2).__int__()
            self.told.says(hatched_at + timedelta(minutes=5), f"hatched {run.larvae} larvae")
            run.swim_up = round(run.larvae * 0.8, -2).__int__()
            self.told.says(hatched_at + timedelta(days=1), f"swim-up {run.swim_up}")
        if run.number % 2:
            price = float(self.die.choice((500, 650, 800)))
            run.spent.append(("feed", price))
            self.told.says(hatched_at + timedelta(hours=2), f"bought feed {price:g} taka")
        self.told.says(fed_at, "fed")
        if run.swim_up and run.number % 3 == 0:
            sold, price = round(run.swim_up * 0.6, -2).__int__(), float(self.die.choice((2500, 4000)))
            run.sold.append((sold, price))
            self.told.says(fed_at + timedelta(hours=3), f"sold {sold} larvae {price:g} taka")


def moment(line: dict[str, Any]) -> datetime:
    """When a line of the script is."""
    return datetime.fromisoformat(line["at"])


def script(told: Season) -> Iterator[str]:
    """The lines as `hatchbell play` reads them."""
    return (json.dumps(line, ensure_ascii=False) for line in told.lines)


if __name__ == "__main__":
    sys.stdout.writelines(f"{line}\n" for line in script(season()))
