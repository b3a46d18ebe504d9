"""An order of larvae worked back: the eggs and females it takes, the hormone, and the last night to inject.

What the farm's own runs say goes first, then the card; where neither knows, a rule of our own, named as one.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Literal

from core import dosing, timing
from core.errors import NoFigure
from core.forecasts import (
    HALF_HOUR,
    ComingShot,
    earlier_quarter,
    first_final,
    half_before,
    later_quarter,
    planned_shots,
)
from core.records import FishWeight, Mark, Preparation, Strength
from core.species import Card, Figure, weakest
from core.timing import HOUR
from core.units import positive, round_to, round_up

Origin = Literal["own", "card", "rule"]
Stage = Literal["hatched", "feeding"]

# Rules of our own, for what nobody reports of a species: cautious, published nowhere. The middle of a
# reported span is one of them too.
GAVE_PERCENT = 75.0
HATCHED_PERCENT = 40.0
REARED_PERCENT = 80.0
RULE_SOURCE = "order-rule"
RULE_MARK: Mark = "from memory"

READY_HOUR = 8
"""By this hour of the wanted day the larvae are to be there: a rule of our own too."""

DAY_OF_HALVES = 48
KG_STEP, ML_STEP = 0.01, 0.1


# What is reckoned with ------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class OwnMean:
    """A figure of the farm's own last `runs`: their mean, and the ends."""

    mean: float
    low: float
    high: float
    runs: int


@dataclass(frozen=True, slots=True)
class Own:
    """What a farm knows of its own spawnings of a species; `None` where it never told."""

    hatched_percent: OwnMean | None = None
    gave_percent: OwnMean | None = None
    grams_per_kg: OwnMean | None = None
    female_kg: OwnMean | None = None
    eggs_per_gram: float | None = None


@dataclass(frozen=True, slots=True)
class Assumed:
    """A figure the plan rests on, in the unit that `what` says: `eggs-per-kg` of female, `eggs-per-gram`,
    `gave-eggs`, `hatched` (of all eggs) and `reared` (of the hatched) in percent, `female-kg`.

    `origin` says whose it is, `runs` how many own runs it is the mean of. A `rule` is nobody's,
    and has no ends but those it lies between.
    """

    what: str
    value: float
    low: float | None
    high: float | None
    origin: Origin
    sources: tuple[str, ...]
    mark: Mark
    runs: int = 0


def _digits(value: float) -> float:
    """Three of them: no figure of a plan is better than that."""
    return float(f"{value:.3g}")


def _planned_with(figure: Figure) -> float:
    """The usual number as it was told, else the mean of the span to three digits."""
    return _digits(figure.usual_or_mean) if figure.usual is None else figure.usual


def _by_rule(what: str, value: float) -> Assumed:
    return Assumed(what, value, None, None, "rule", (RULE_SOURCE,), RULE_MARK)


def _of_card(what: str, figure: Figure) -> Assumed:
    known = figure.usual is not None or figure.low == figure.high
    sources = figure.sources if known else (*figure.sources, RULE_SOURCE)
    mark = figure.mark if known else weakest((figure.mark, RULE_MARK))
    return Assumed(what, _planned_with(figure), figure.low, figure.high, "card", sources, mark)


def _of_farm(what: str, own: OwnMean, times: float = 1.0, sources: tuple[str, ...] = ()) -> Assumed:
    mean, low, high = (_digits(value * times) for value in (own.mean, own.low, own.high))
    return Assumed(what, mean, low, high, "own", sources, "the farm's own", own.runs)


def _first_known(what: str, own: OwnMean | None, figure: Figure | None, rule: float) -> Assumed:
    """The farm's own, else the card's, else the rule. Runs that gave nothing tell no share to plan by."""
    if own is not None and own.mean > 0:
        return _of_farm(what, own)
    return _by_rule(what, rule) if figure is None else _of_card(what, figure)


def _weight(card: Card) -> Assumed:
    """What a female weighs: the card's ends are what is plausible, so that their middle is a rule."""
    known = _of_card("female-kg", card.female_kg)
    return known if card.female_kg.usual is not None else replace(known, origin="rule")


def _per_gram(card: Card, own: Own) -> Assumed | None:
    if own.eggs_per_gram is not None:
        told = own.eggs_per_gram
        return Assumed("eggs-per-gram", told, told, told, "own", (), "the farm's own")
    return None if card.eggs_per_gram is None else _of_card("eggs-per-gram", card.eggs_per_gram)


def _per_kg(card: Card, own: Own, per_gram: Assumed | None) -> Assumed | None:
    """Eggs per kg of a female that gives any: the farm's grams times eggs per gram, else the card's."""
    weighed = own.grams_per_kg
    if weighed is not None and weighed.mean > 0 and per_gram is not None:
        return _of_farm("eggs-per-kg", weighed, per_gram.value, per_gram.sources)
    return None if card.eggs_per_kg is None else _of_card("eggs-per-kg", card.eggs_per_kg)


def _rounded_up(count: float) -> int:
    """A large number to three digits, never less than it is."""
    step = int(10 ** max(len(str(math.ceil(count))) - 3, 0))
    return math.ceil(round(count / step, 9)) * step


# Eggs and females -----------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Females:
    """Kilos of females to inject: `kg` to plan with, `low_kg` if all give and give much, `high_kg` if they
    give little. `number` of them at `each_kg`; `males` is `None` where nobody told how many go with them."""

    number: int
    each_kg: float
    kg: float
    low_kg: float
    high_kg: float
    males: int | None
    male_kg: float


@dataclass(frozen=True, slots=True)
class Need:
    """What so many larvae take. `females` is `None` where nobody published eggs per kg and the farm never
    weighed any; `grams` of dry eggs, `None` where nobody told eggs per gram."""

    eggs: int
    grams: float | None
    females: Females | None
    assumed: tuple[Assumed, ...]
    basis: tuple[str, ...]
    mark: Mark


def need(card: Card, larvae: float, own: Own, stage: Stage) -> Need:
    """The eggs and females that so many larvae take. Raises `HatchError("not-positive", value, unit)`.

    Eggs are larvae over the share that hatches, and over the share that lives until it feeds where feeding
    larvae are wanted. Females are eggs over eggs per kg, and over the share of females that gives any.
    """
    hatched = _first_known("hatched", own.hatched_percent, card.hatched_percent, HATCHED_PERCENT)
    shares = [hatched] if stage == "hatched" else [hatched, _by_rule("reared", REARED_PERCENT)]
    exact = positive(larvae, "larva") / math.prod(share.value / 100 for share in shares)
    per_gram = _per_gram(card, own)
    per_kg = _per_kg(card, own, per_gram)
    assumed = shares
    females = None
    males: tuple[str, ...] = ()
    if per_kg is not None:
        gave = _first_known("gave-eggs", own.gave_percent, card.gave_eggs_percent, GAVE_PERCENT)
        weighing = _of_farm("female-kg", own.female_kg) if own.female_kg else _weight(card)
        females = _females(card, exact, per_kg, gave, weighing)
        assumed = [per_kg, gave, *shares, weighing]
        males = () if card.males_per_female is None else card.males_per_female.sources
    assumed = assumed if per_gram is None else [*assumed, per_gram]
    sources = (name for each in assumed for name in each.sources)
    return Need(
        eggs=_rounded_up(exact),
        grams=None if per_gram is None else round_to(exact / per_gram.value, 1),
        females=females,
        assumed=tuple(assumed),
        basis=tuple(dict.fromkeys((*sources, *males))),
        mark=weakest(each.mark for each in assumed),
    )


def _females(card: Card, eggs: float, per_kg: Assumed, gave: Assumed, each: Assumed) -> Females:
    share = gave.value / 100
    kg = eggs / per_kg.value / share
    number = max(math.ceil(round(kg / each.value, 9)), 1)
    with_her = card.males_per_female
    males = None if with_her is None else math.ceil(round(number * _planned_with(with_her), 9))
    return Females(
        number=number,
        each_kg=round_to(each.value, KG_STEP),
        kg=round_to(kg, KG_STEP),
        low_kg=round_to(eggs / (per_kg.high or per_kg.value), KG_STEP),
        high_kg=round_to(eggs / (per_kg.low or per_kg.value) / share, KG_STEP),
        males=males,
        male_kg=round_to(_planned_with(card.male_kg), KG_STEP),
    )


# Hormone --------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Hormone:
    """What to have at hand for all fish and shots, waste included: active substance in `unit`, and `ml` of
    the bottle where the farm told its label."""

    preparation: Preparation
    amount: float
    unit: str
    ml: float | None
    basis: tuple[str, ...]
    mark: Mark


def hormone(card: Card, females: Females, preparation: Preparation, told: Strength | None) -> Hormone | None:
    """The hormone by the card's usual dose; `None` where nobody published one."""
    bottle, assumed = dosing.bottle(preparation, told)
    fish = [FishWeight("F1", "f", females.number * females.each_kg)]
    if females.males:
        fish.append(FishWeight("M1", "m", females.males * females.male_kg))
    try:
        worked = dosing.doses(fish, card, preparation, bottle)
    except NoFigure:
        return None
    if worked.make is None:
        return None
    drawn = [shot.ml for line in worked.lines for shot in line.shots if shot.ml is not None]
    ml = round_up(dosing.with_waste(math.fsum(drawn)), ML_STEP) if drawn and not assumed else None
    return Hormone(preparation, worked.make, worked.unit, ml, worked.basis, worked.mark)


# The night ------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Course:
    """From the needle to the larvae wanted: the species, what is injected, in water of how many degrees."""

    card: Card
    preparation: Preparation
    celsius: float
    stage: Stage


@dataclass(frozen=True, slots=True)
class Night:
    """The shots, the last of them final, and what follows at the likely hours; `ready_at` is when most larvae
    are ready even if all goes slowly. `feed_at` is `None` where nobody told first feed or it is not wanted;
    `strip` is the window of the eggs."""

    shots: tuple[ComingShot, ...]
    eggs_at: datetime
    hatch_at: datetime
    feed_at: datetime | None
    ready_at: datetime
    strip: timing.Window
    basis: tuple[str, ...]
    mark: Mark

    @property
    def final_at(self) -> datetime:
        return self.shots[-1].at


Trouble = Callable[[Night], int]
"""How much of a night falls into the hours of sleep: the fewer the better."""


def night_at(course: Course, final_at: datetime) -> Night:
    """What would follow a final injection at `final_at`.

    Raises `NoFigure`: `no-strip-figure`, `no-hatch-figure`, or why this water gives no forecast.
    """
    card, water = course.card, timing.Water((), course.celsius)
    curve, _ = card.strip_curve(course.preparation)
    if card.hatch is None:
        raise NoFigure("no-hatch-figure", species=card.slug)
    for known in (curve, card.hatch):
        if why := timing.hold(known, card.tolerated_celsius, course.celsius):
            raise NoFigure(why, species=card.slug, celsius=course.celsius)
    strip = timing.window(curve, final_at, water)
    hatch_at = timing.window(card.hatch, strip.likely, water).likely
    ready_at = timing.window(card.hatch, strip.most_to, water).most_to
    sources, marks = [*strip.basis, *card.hatch.sources], [strip.mark, card.hatch.mark, RULE_MARK]
    feed = card.first_feed_hours if course.stage == "feeding" else None
    if feed is not None:
        sources, marks = [*sources, *feed.sources], [*marks, feed.mark]
        ready_at += feed.high * HOUR
    return Night(
        shots=planned_shots(card, course.preparation, final_at),
        eggs_at=earlier_quarter(strip.likely),
        hatch_at=earlier_quarter(hatch_at),
        feed_at=None if feed is None else earlier_quarter(hatch_at + feed.usual_or_low * HOUR),
        ready_at=later_quarter(ready_at),
        strip=strip,
        basis=tuple(dict.fromkeys([*sources, RULE_SOURCE])),
        mark=weakest(marks),
    )


def last_night(course: Course, ready_by: datetime, now: datetime, trouble: Trouble) -> Night | None:
    """The injection that has the larvae ready by then: of the last day's half hours the one with the least
    trouble, the latest of equals. `None` where it is too late. Raises `NoFigure` as `night_at`."""
    soonest = first_final(course.card, course.preparation, now)
    latest = half_before(ready_by - _span(course, soonest))
    halves = (latest - n * HALF_HOUR for n in range(DAY_OF_HALVES))
    nights = [night_at(course, at) for at in halves if at >= soonest]
    return min(nights, key=trouble, default=None)


def earliest_ready(course: Course, now: datetime) -> datetime:
    """When larvae would be ready, were the needle as soon as can be. Raises `NoFigure` as `night_at`."""
    soonest = first_final(course.card, course.preparation, now)
    return soonest + _span(course, soonest)


def _span(course: Course, final_at: datetime) -> timedelta:
    """From the needle until larvae are ready: in steady water the same from any half hour."""
    return night_at(course, final_at).ready_at - final_at
