"""Words for an order of larvae, worked back."""

from __future__ import annotations

from core.orders import Assumed, Origin
from core.records import WaterSource
from core.replies import OrderPlan
from core.wording.voice import Voice, yes


def order_plan(v: Voice, fact: OrderPlan) -> list[str]:
    blocks = [_too_late(v, fact), _females(v, fact), *_night(v, fact), *_hormone(v, fact)]
    females = fact.need.females
    blocks += [v.say("order-one-female")] * (females is not None and females.number == 1)
    blocks += [v.say("order-books-nothing"), *_assumed(v, fact)]
    return [block for block in blocks if block]


def _too_late(v: Voice, fact: OrderPlan) -> str:
    if fact.wanted_at is None or fact.earliest_at is None:
        return ""
    return v.say("order-too-late", wanted=v.time(fact.wanted_at), earliest=v.time(fact.earliest_at))


def _females(v: Voice, fact: OrderPlan) -> str:
    ready, females = fact.earliest_at or fact.wanted_at, fact.need.females
    by = "" if ready is None else " " + v.say("order-wanted", at=v.time(ready))
    grams = "" if not _weighed(fact) else " " + v.say("order-grams", grams=v.whole(fact.need.grams or 0.0))
    wanted = {
        "larvae": v.say("order-feeding" if fact.feeding else "order-hatchlings", larvae=v.whole(fact.larvae)),
        "species": v.species(fact.species),
        "by": by,
        "eggs": v.whole(fact.need.eggs),
        "grams": grams,
    }
    if females is None:
        return v.say("order-no-kilos", way=fact.way, **wanted)
    low, high = v.number(females.low_kg, 1), v.number(females.high_kg, 1)
    males = ""
    if females.males is not None:
        males = " " + v.say("order-males", males=v.whole(females.males), one=yes(females.males == 1))
    return v.say(
        "order-females",
        females=v.whole(females.number),
        one=yes(females.number == 1),
        males=males,
        kg=v.number(females.kg, 1),
        span="" if low == high else v.say("order-kilos", low=low, high=high),
        **wanted,
    )


def _weighed(fact: OrderPlan) -> bool:
    """Whether the eggs will lie on a scale."""
    return fact.way == "stripped" and fact.need.grams is not None


def _night(v: Voice, fact: OrderPlan) -> list[str]:
    night = fact.night
    if night is None:
        if fact.why == "no-day":
            return []
        return [v.coded("order-no-night", _reason(fact.why), celsius=v.celsius(fact.celsius))]
    needles = [shot.at for shot in night.shots]
    after = [night.eggs_at, night.hatch_at, *([night.feed_at] if night.feed_at else [])]
    hours = v.times((*needles, *after))
    *primings, at = hours[: len(needles)]
    eggs, hatch, *fed = hours[len(needles) :]
    told = v.say(
        "order-night",
        way=fact.way,
        prime=v.say("inject-plan-prime", at=v.names(primings)) + " " if primings else "",
        at=at,
        eggs=eggs,
        hatch=hatch,
        feed=v.say("order-feed", at=fed[0]) if fed else "",
    )
    return [told] + [v.say("order-asleep")] * fact.asleep


WATERS = ("too-cold", "too-warm", "outside-source")


def _reason(why: str) -> str:
    return "water" if why in WATERS else "hours"


def _hormone(v: Voice, fact: OrderPlan) -> list[str]:
    hormone = fact.hormone
    if hormone is None:
        return [] if fact.need.females is None else [v.say("order-no-hormone")]
    if hormone.ml is not None:
        return [v.say("order-hormone-ml", ml=v.number(hormone.ml, 1))]
    amount = {"amount": v.number(hormone.amount, 0), "unit": v.unit(hormone.unit)}
    return [v.say("order-hormone", preparation=v.preparation(hormone.preparation), **amount)]


def _assumed(v: Voice, fact: OrderPlan) -> list[str]:
    """What it rests on, a line for whose figures they are: the farm's own, reported ones, rules of ours."""
    shown = [each for each in fact.need.assumed if each.what != "eggs-per-gram" or _weighed(fact)]
    origins: tuple[Origin, ...] = ("own", "card", "rule")
    lines = []
    for origin in origins:
        figures = [_figure(v, each) for each in shown if each.origin == origin]
        if origin == WATER_IS[fact.celsius_source] and fact.night is not None:
            figures.append(v.say("order-water", celsius=v.celsius(fact.celsius)))
        lines += [v.coded("order-by", origin, what=v.names(figures))] if figures else []
    return lines


WATER_IS: dict[WaterSource, Origin] = {"measured": "own", "guessed": "own", "assumed": "rule"}


def _figure(v: Voice, each: Assumed) -> str:
    decimals = 1 if each.what == "female-kg" else 0
    return v.coded(
        "order-assumed", each.what, value=v.number(each.value, decimals), of=_of(v, each, decimals)
    )


def _of(v: Voice, each: Assumed, decimals: int) -> str:
    """The ends of what was reported, or how many runs of the farm's own it is the mean of."""
    if each.origin == "own" and each.runs > 1:
        return " " + v.say("order-runs", runs=v.whole(each.runs))
    if each.origin != "card" or each.low is None or each.high is None or each.low == each.high:
        return ""
    return " " + v.say("order-span", low=v.number(each.low, decimals), high=v.number(each.high, decimals))
