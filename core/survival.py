"""From eggs to fry: what share of each stage reaches the next, with its doubt, and how many there are per kg.

What was not told is never taken as none: it is named, and the next share is that of the stage before it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import reduce
from itertools import pairwise
from typing import Literal, get_args

from core.errors import HatchError
from core.records import CountOf
from core.units import positive

Stage = Literal["eggs", "fertilised", "hatched", "swim-up", "sold"]
STAGES: tuple[Stage, ...] = get_args(Stage)
EPSILON = 1e-9
RATIO_SOURCE = "zou-donner-2008"


@dataclass(frozen=True, slots=True)
class Reckoned:
    """A number or a share, and where it lies 19 times in 20; both ends are itself where no doubt is known."""

    value: float
    low: float
    high: float

    def times(self, factor: float) -> Reckoned:
        return Reckoned(self.value * factor, self.low * factor, self.high * factor)


@dataclass(frozen=True, slots=True)
class Told:
    """What a run tells of one stage: how many, and what share of *all eggs*."""

    number: Reckoned | None = None
    of_eggs: Reckoned | None = None


@dataclass(frozen=True, slots=True)
class Link:
    """A stage and its share (1 is all) of the last told stage before it; `None` where the two cannot be
    compared. `at_odds`: surely more than there were before, so that one of two counts is wrong."""

    stage: Stage
    number: Reckoned | None
    of: Stage
    share: Reckoned | None
    at_odds: bool


@dataclass(frozen=True, slots=True)
class Chain:
    """The links in order, the stages nobody told, and the share of the first stage that reached the last."""

    links: tuple[Link, ...]
    missing: tuple[Stage, ...]
    whole: Reckoned | None
    first: Stage
    last: Stage


EXACT = Reckoned(1.0, 1.0, 1.0)


def exact(value: float) -> Reckoned:
    return Reckoned(value, value, value)


def chain(told: Mapping[Stage, Told]) -> Chain:
    """The chain of what was told. Raises `HatchError("bad-count", good, total)` for numbers below none."""
    known = {stage: _filled(told.get(stage, Told()), told.get("eggs", Told())) for stage in STAGES}
    known["eggs"] = replace(known["eggs"], of_eggs=EXACT)
    there = [stage for stage in STAGES if _is_told(told.get(stage))]
    before: list[Stage] = there if there and there[0] == "eggs" else ["eggs", *there]
    links = tuple(_link(known, of, stage) for of, stage in pairwise(before))
    missing = tuple(stage for stage in STAGES if stage not in there)
    return Chain(links, missing, _together(links), before[0], before[-1])


def _together(links: Sequence[Link]) -> Reckoned | None:
    """The shares of all links multiplied; `None` where one is not known, or there is none."""
    shares = [link.share for link in links]
    known = [share for share in shares if share is not None]
    return reduce(product, known) if known and len(known) == len(shares) else None


def _is_told(told: Told | None) -> bool:
    return told is not None and (told.number is not None or told.of_eggs is not None)


def _filled(told: Told, eggs: Told) -> Told:
    """How many a share of the eggs comes to, where these were counted."""
    for each in (told.number, told.of_eggs):
        if each is not None and not (math.isfinite(each.value) and each.value >= 0):
            raise HatchError("bad-count", good=each.value, total=each.value)
    if told.number is None and told.of_eggs is not None and eggs.number is not None:
        return replace(told, number=product(eggs.number, told.of_eggs))
    return told


def _link(known: Mapping[Stage, Told], of: Stage, stage: Stage) -> Link:
    share = _ratio(known, stage, of)
    odd = share is not None and share.value > 1 and share.low > 1
    return Link(stage, known[stage].number, of, share, odd)


def _ratio(known: Mapping[Stage, Told], stage: Stage, of: Stage) -> Reckoned | None:
    """One stage over an earlier one: by shares of the same eggs where both are such, else by numbers."""
    one, other = known[stage], known[of]
    if one.of_eggs is not None and other.of_eggs is not None:
        return over(one.of_eggs, other.of_eggs)
    if one.number is not None and other.number is not None:
        return over(one.number, other.number)
    return None


def over(one: Reckoned, other: Reckoned) -> Reckoned | None:
    """One over the other, the doubts of both put together as ratios, as a root of squares: of two counts that
    know nothing of each other (Zou, Donner 2008). `None` over none."""
    if other.value <= 0:
        return None
    value = one.value / other.value
    if not one.value:
        return Reckoned(0.0, 0.0, one.high / other.low if other.low > 0 else one.high / other.value)
    down = _root(_span(one.value, one.low), _span(other.high, other.value))
    up = _root(_span(one.high, one.value), _span(other.value, other.low))
    return Reckoned(value, value * math.exp(-down), value * math.exp(up))


def product(one: Reckoned, other: Reckoned) -> Reckoned:
    """One times the other, the doubts put together in the same way."""
    value = one.value * other.value
    if not value:
        return Reckoned(0.0, 0.0, one.high * other.high)
    down = _root(_span(one.value, one.low), _span(other.value, other.low))
    up = _root(_span(one.high, one.value), _span(other.high, other.value))
    return Reckoned(value, value * math.exp(-down), value * math.exp(up))


def worked_out(of: CountOf, hatched: Reckoned, fertilised: Reckoned) -> tuple[int | None, int | None]:
    """The ends, in whole percents, of the hatch of the good eggs where that of all was told, or of all eggs
    where that of the good ones was."""
    found = over(hatched, fertilised) if of == "all" else product(hatched, fertilised)
    if found is None:
        return None, None
    low, high = whole_percents(found)
    return low, min(high, 100)  # no more than all of them hatch


def whole_percents(share: Reckoned) -> tuple[int, int]:
    """The ends of a share in whole percents, rounded outward."""
    return math.floor(100 * share.low + EPSILON), math.ceil(100 * share.high - EPSILON)


def _span(more: float, less: float) -> float:
    """How far apart two numbers are, as a ratio; without end where the lower one is none."""
    return math.log(more / less) if less > 0 else math.inf


def _root(one: float, other: float) -> float:
    return math.hypot(one, other)


def per_kg(number: float, kg: float) -> float:
    """Larvae or fry for each kg of female. Raises `HatchError("not-positive", value, unit)`."""
    return number / positive(kg, "kg")
