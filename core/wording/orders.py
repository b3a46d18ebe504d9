"""Words for an order of larvae, worked back."""

from __future__ import annotations

from core.orders import Assumed, Origin
from core.records import WaterSource
from core.replies import OrderPlan
from core.wording.voice import Voice, yes


def order_plan(v: Voice, fact: OrderPlan) -> list[str]:
    blocks = [_too_late(v, fact), _females(v, fact), *_night(v, fact), *_hormone(v, fact)]
    blocks += [v.say("order-one-female")] * (fact.females == 1)
    blocks += [v.say("order-books-nothing"), *_assumed(v, fact)]
    return [block for block in blocks if block]


def _too_late(v: Voice, fact: OrderPlan) -> str:
    if fact.wanted_at is None or fact.earliest_at is None:
        return ""
    return v.say("order-too-late", wanted=v.time(fact.wanted_at), earliest=v.time(fact.earliest_at))


def _females(v: Voice, fact: OrderPlan) -> str:
    ready = fact.earliest_at or fact.wanted_at
    by = "" if ready is None else " " + v.say("order-wanted", at=v.time(ready))
    grams = "" if not _weighed(fact) else " " + v.say("order-grams", grams=v.whole(fact.grams or 0.0))
    wanted = {
        "larvae": v.whole(fact.larvae),
        "species": v.species(fact.species),
        "by": by,
        "eggs": v.whole(fact.eggs),
        "grams": grams,
    }
    if fact.females is None or fact.kg is None or fact.low_kg is None or fact.high_kg is None:
        return v.say("order-no-kilos", way=fact.way, **wanted)
    low, high = v.number(fact.low_kg, 1), v.number(fact.high_kg, 1)
    males = ""
    if fact.males is not None:
        males = " " + v.say("order-males", males=v.whole(fact.males), one=yes(fact.males == 1))
    return v.say(
        "order-females",
        females=v.whole(fact.females),
        one=yes(fact.females == 1),
        males=males,
        kg=v.number(fact.kg, 1),
        span="" if low == high else v.say("order-kilos", low=low, high=high),
        **wanted,
    )


def _weighed(fact: OrderPlan) -> bool:
    """Whether the eggs will lie on a scale."""
    return fact.way == "stripped" and fact.grams is not None


def _night(v: Voice, fact: OrderPlan) -> list[str]:
    if fact.final_at is None or fact.eggs_at is None or fact.hatch_at is None:
        if fact.why == "no-day":
            return []
        return [v.coded("order-no-night", _reason(fact.why), celsius=v.celsius(fact.celsius))]
    hours = (fact.priming_at, fact.final_at, fact.eggs_at, fact.hatch_at, fact.feed_at)
    told = iter(v.times(hour for hour in hours if hour is not None))
    prime = "" if fact.priming_at is None else v.say("inject-plan-prime", at=next(told)) + " "
    at, eggs, hatch = next(told), next(told), next(told)
    feed = "" if fact.feed_at is None else v.say("order-feed", at=next(told))
    night = v.say("order-night", way=fact.way, prime=prime, at=at, eggs=eggs, hatch=hatch, feed=feed)
    return [night] + [v.say("order-asleep")] * fact.asleep


WATERS = ("too-cold", "too-warm", "outside-source")


def _reason(why: str) -> str:
    return "water" if why in WATERS else "hours"


def _hormone(v: Voice, fact: OrderPlan) -> list[str]:
    if fact.hormone_amount is None:
        return [] if fact.females is None else [v.say("order-no-hormone")]
    if fact.hormone_ml is not None:
        return [v.say("order-hormone-ml", ml=v.number(fact.hormone_ml, 1))]
    amount = {"amount": v.number(fact.hormone_amount, 0), "unit": v.unit(fact.hormone_unit)}
    return [v.say("order-hormone", preparation=v.preparation(fact.preparation), **amount)]


def _assumed(v: Voice, fact: OrderPlan) -> list[str]:
    """What it rests on, a line for whose figures they are: the farm's own, reported ones, rules of ours."""
    shown = [each for each in fact.assumed if each.what != "eggs-per-gram" or _weighed(fact)]
    origins: tuple[Origin, ...] = ("own", "card", "rule")
    lines = []
    for origin in origins:
        figures = [_figure(v, each) for each in shown if each.origin == origin]
        if origin == WATER_IS[fact.celsius_source] and fact.final_at is not None:
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
