"""What a season of `tests/year/told.py` comes to, reckoned anew from what was typed.

Imports nothing of core or bot. Of a species' card it takes the published figures alone (eggs in a gram, the
dose of a kilo, days of rest), out of the same TOML. Rates are rounded to a tenth of a per cent, as is said.
"""

from __future__ import annotations

import tomllib
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime, timedelta
from fractions import Fraction
from pathlib import Path
from typing import Any

from tests.year.told import BOTTLE_ML, STRENGTH, Told

CARDS = Path(__file__).parents[2] / "core" / "data"
Figures = dict[str, Any]


def card(species: str) -> Mapping[str, Any]:
    """A species' card as it stands in its file."""
    return tomllib.loads((CARDS / f"{species}.toml").read_text(encoding="utf-8"))


def quantity(written: str) -> Fraction:
    """The number of "650 egg/g"."""
    return Fraction(written.split()[0])


def tenth(number: Fraction) -> float:
    """Rounded half up to one decimal."""
    return float(Fraction(int(number * 10 + Fraction(1, 2)), 10))


def rate(counted: tuple[int, int] | None) -> float | None:
    """Per cent of a count, `None` where there is none."""
    return None if counted is None else tenth(Fraction(100 * counted[0], counted[1]))


def of_run(told: Told) -> Figures:
    """The figures of one run; `None` is "not told"."""
    kilos = sum(map(_exact, told.females.values()))
    gave = sum(_exact(told.females[tag]) for tag in told.grams)
    grams = sum(told.grams.values())
    figures: Figures = {
        "state": told.state,
        "species": told.species,
        "injected": len(told.females) if told.injected_at else None,
        "fertilised_percent": rate(told.fertilised),
        "hatched_percent": rate(told.hatched),
        "hatched_of": told.hatched_of,
        "larvae": told.larvae,
        "swim_up": told.swim_up,
        "sold": sum(larvae for larvae, _ in told.sold) or None,
        "hours_to_strip": None,
        "egg_grams": None,
        "body_percent": None,
        "eggs": None,
        "eggs_per_kg": None,
        "percent_of_fertilised": _of_the_good(told),
    }
    if told.species == "african-catfish":
        figures["ovulated"] = len(told.grams) if told.grams or told.gave_none else None
    if told.eggs_at and told.injected_at:
        figures["hours_to_strip"] = _hours(told.injected_at, told.eggs_at)
    if told.grams:
        per_gram = quantity(card(told.species)["eggs_per_gram"]["usual"])
        figures["egg_grams"] = float(grams)
        figures["body_percent"] = tenth(100 * _exact(grams) / (1000 * gave))
        figures["eggs"] = round(_exact(grams) * per_gram)
        figures["eggs_per_kg"] = round(_exact(grams) * per_gram / gave)
    for what in ("larvae", "swim_up", "sold"):
        number = figures[what]
        figures[f"{what}_per_kg"] = None if number is None or not kilos else round(number / kilos)
    figures["spent"] = {"BDT": sum(amount for _, amount in told.spent)} if told.spent else {}
    figures["earned"] = {"BDT": sum(price for _, price in told.sold)} if told.sold else {}
    figures["used_ml"] = used_ml(told)
    return figures


SYRINGES = ((1, "0.01"), (2, "0.1"), (5, "0.2"), (10, "0.5"))
"""mL that the usual syringes hold, and between their marks: common practice, as the farm named none."""


def used_ml(told: Told) -> float | None:
    """By the card's usual dose and the strength on this farm's bottle: for each fish what the smallest
    syringe that holds it can show, added up."""
    if told.injected_at is None:
        return None
    doses = [dose for dose in card(told.species)["doses"] if dose["preparation"] == "premix"]
    per_kg = {dose["sex"]: quantity(dose["ug_per_kg"]["usual"]) / _exact(STRENGTH[0]) for dose in doses}
    fish = [("f", kg) for kg in told.females.values()] + [("m", kg) for kg in told.males.values()]
    return round(float(sum(drawn(_exact(kg) * per_kg[sex]) for sex, kg in fish)), 4)


def drawn(ml: Fraction) -> Fraction:
    """To the nearest mark of the smallest syringe that holds it, the upper of two."""
    mark = next(Fraction(mark) for holds, mark in SYRINGES if holds >= ml)
    return int(ml / mark + Fraction(1, 2)) * mark


def of_several(runs: Iterable[Told]) -> Figures:
    """The runs of a period: cancelled ones are none; those without a figure are left out of the mean."""
    chosen = [run for run in runs if run.state != "cancelled"]
    figures = [rate(run.hatched) for run in chosen]
    known = [figure for figure in figures if figure is not None]
    return {
        "runs": len(chosen),
        "counted": len(known),
        "mean": mean(known) if known else None,
        "low": min(known, default=None),
        "high": max(known, default=None),
        "larvae": sum(run.larvae for run in chosen if run.larvae is not None),
        "sold": sum(larvae for run in chosen for larvae, _ in run.sold),
        "left_out": [run.day for run in chosen if run.hatched is None],
    }


def mean(rates: Sequence[float]) -> float:
    """Of rates as they were said."""
    return tenth(sum(map(_exact, rates), Fraction(0)) / len(rates))


def group(runs: Iterable[Told]) -> tuple[int, float | None, float, float]:
    """How many runs have a figure, their mean (of three at least), and the ends."""
    rates = [found for run in runs if (found := rate(run.hatched)) is not None]
    return len(rates), mean(rates) if len(rates) > 2 else None, min(rates), max(rates)


def by_female(runs: Iterable[Told]) -> dict[str, list[float]]:
    """The hatch rates of the lots that are of one female alone, in order."""
    found: dict[str, list[float]] = defaultdict(list)
    for run in runs:
        share = rate(run.hatched)
        if share is not None and len(run.grams) == 1:
            found[next(iter(run.grams))].append(share)
    return dict(found)


def shelf(runs: Sequence[Told], since: datetime) -> dict[str, dict[str, float]]:
    """The bottles that were on the shelf since then: two runs draw from each, and it goes when the next
    comes."""
    found: dict[str, dict[str, float]] = {}
    for number in range(0, len(runs), 2):
        first, pair = runs[number], runs[number : number + 2]
        came = first.begun.replace(hour=15, minute=10)
        last = number + 2 >= len(runs)
        gone = None if last else runs[number + 2].begun.replace(hour=15, minute=0)
        drawn = [(run.injected_at, used_ml(run) or 0.0) for run in pair if run.injected_at]
        before = BOTTLE_ML - sum(ml for at, ml in drawn if at < since) if came < since else 0.0
        if gone is not None and gone < since:
            continue
        used = sum(ml for at, ml in drawn if at >= since)
        new = 0.0 if came < since else BOTTLE_ML
        rest = before + new - used
        found[f"K{number // 2 + 1}"] = {
            "opening": before,
            "came": new,
            "used": used,
            "wasted": 0.0 if last else rest,
            "closing": rest if last else 0.0,
        }
    return found


def breeders(runs: Iterable[Told], since: datetime) -> dict[str, tuple[set[str], set[str]]]:
    """By species the females and males of the runs that gave larvae, or a hatch, since then."""
    found: dict[str, tuple[set[str], set[str]]] = {}
    for run in runs:
        if run.injected_at is None or run.injected_at < since or not run.hatched:
            continue
        females, males = found.setdefault(run.species, (set(), set()))
        females |= set(run.grams or run.females)
        males |= set(run.males)
    return found


def ready(runs: Iterable[Told], now: datetime) -> tuple[set[str], set[str]]:
    """The females whose rest by the card is over since they gave, or may have given, eggs; and all."""
    gave: dict[str, tuple[datetime, str]] = {}
    seen: dict[str, str] = {}
    for run in runs:
        seen |= dict.fromkeys(run.females, run.species)
        tags = run.grams or ({} if run.gave_none else run.females)
        if run.eggs_at is not None:
            gave |= dict.fromkeys(tags, (run.eggs_at, run.species))
    return {tag for tag in seen if tag not in gave or _rested(*gave[tag], now)}, set(seen)


def _rested(gave_at: datetime, species: str, now: datetime) -> bool:
    days = card(species)["rest_days"]
    return now - gave_at >= timedelta(days=float(quantity(days.get("usual", days["low"]))))


def _of_the_good(told: Told) -> float | None:
    if told.hatched is None or told.fertilised is None:
        return None
    return tenth(100 * Fraction(*told.hatched) / Fraction(*told.fertilised))


def _hours(since: datetime, until: datetime) -> float:
    return tenth(Fraction(int((until - since).total_seconds()), 3600))


def _exact(number: float) -> Fraction:
    return Fraction(repr(number))
