"""Words for larvae in cups, at swim-up and beyond."""

from __future__ import annotations

from core.replies import (
    CountNeeded,
    LarvaeInWater,
    Measure,
    PerKg,
    StockFigure,
    StockPlan,
    Survival,
    SurvivalLink,
)
from core.wording.eggs import share
from core.wording.voice import Voice, opening, yes


def larvae_in_water(v: Voice, fact: LarvaeInWater) -> list[str]:
    """The number with its doubt, what it rests on, and what is odd about it."""
    stage = fact.stage or "unknown"
    if fact.low is None or fact.high is None:
        blocks = [
            v.say("larvae-told", larvae=v.whole(fact.larvae), stage=stage, kept=yes(fact.kept)),
            *_measured(v, fact),
        ]
    else:
        span = {"low": v.whole(fact.low), "high": v.whole(fact.high)}
        blocks = [v.say("larvae-roughly", larvae=v.about(fact.larvae), stage=stage, **span), _cups(v, fact)]
    if fact.uneven:
        blocks.append(v.say("larvae-uneven"))
    elif fact.cups == 1:
        blocks.append(v.say("larvae-one-cup"))
    if fact.eggs is not None:
        blocks.append(v.say("larvae-at-odds", eggs=v.whole(fact.eggs)))
    if fact.whole is not None:
        blocks.append(v.say("larvae-whole", larvae=v.about(fact.whole)))
    if not fact.kept:
        blocks.append(v.say("larvae-not-kept"))
    return blocks


def _measured(v: Voice, fact: LarvaeInWater) -> list[str]:
    if fact.amount is None or fact.each is None:
        return []
    amount, each = v.number(fact.amount), v.number(fact.each, 1)
    return [v.coded("larvae-by", fact.measure, amount=amount, each=each)]


def measure(v: Voice, fact: Measure) -> list[str]:
    """What the farm's own measure holds, and where others lie if it is far from them."""
    blocks = [v.coded("measure", fact.of, larvae=v.number(fact.larvae, 1))]
    if fact.odd and fact.low is not None and fact.high is not None:
        blocks.append(v.say("measure-odd", low=v.whole(fact.low), high=v.whole(fact.high)))
    return blocks


def _cups(v: Voice, fact: LarvaeInWater) -> str:
    return v.say(
        "larvae-cups",
        cups=v.whole(fact.cups),
        one=yes(fact.cups == 1),
        ml=v.number(fact.cup_ml or 0.0),
        mean=v.number(fact.mean or 0.0, 1),
        litres=v.number(fact.litres or 0.0),
    )


def count_needed(v: Voice, fact: CountNeeded) -> list[str]:
    percent = v.number(fact.percent, 1)
    blocks = []
    if fact.larvae is not None:
        larvae = {"larvae": v.whole(fact.larvae), "percent": percent}
        blocks.append(v.say("count-larvae", fewest=v.whole(fact.fewest_cups or 0), **larvae))
        if fact.cups is not None and fact.mean is not None:
            blocks.append(v.say("count-cups", cups=v.whole(fact.cups), mean=v.number(fact.mean, 1)))
    if fact.eggs is not None:
        blocks.append(v.say("count-eggs", eggs=v.whole(fact.eggs), percent=percent))
        if fact.eggs_near is not None and fact.near_percent is not None:
            near = v.percent(fact.near_percent, counted=True)
            blocks.append(v.say("count-eggs-near", eggs=v.whole(fact.eggs_near), near=near))
    return blocks + ([v.say("count-assumed", percent=percent)] if fact.assumed else [])


def survival(v: Voice, fact: Survival) -> list[str]:
    """A line a stage, what came of the whole, and what nobody told."""
    named = {"species": opening(v.species(fact.species)), "date": v.iso_day(fact.date)}
    eggs = "" if fact.eggs is None else v.say("survival-eggs", eggs=v.about(fact.eggs))
    blocks = [v.say("survival-head", eggs=eggs, **named), *(_survived(v, each) for each in fact.links)]
    if fact.whole_percent is not None and len(fact.links) > 1:
        whole = share(v, fact.whole_percent, fact.whole_low, fact.whole_high)
        blocks.append(v.coded("survival-whole", fact.last, share=whole))
    for each in fact.links:
        if each.at_odds:
            blocks.append(v.say("survival-at-odds", stage=each.stage, of=each.of))
    if fact.missing:
        missing = v.names(v.coded("survival-stage", each) for each in fact.missing)
        blocks.append(v.say("survival-missing", stages=missing))
    return blocks + _uncounted(v, fact.uncounted)


def _uncounted(v: Voice, lots: tuple[str, ...]) -> list[str]:
    return [v.say("survival-uncounted", lots=v.names(lots))] if lots else []


def _survived(v: Voice, link: SurvivalLink) -> str:
    number = "" if link.number is None else v.say("survival-number", number=v.about(link.number))
    if link.percent is None:
        return v.coded("survival-alone", link.stage, number=number)
    doubt = v.doubt(link.low, link.high)
    percent = v.percent(link.percent, counted=True)
    of = v.coded("survival-of", link.of)
    return v.coded("survival", link.stage, percent=percent, of=of, doubt=doubt, number=number)


def per_kg(v: Voice, fact: PerKg) -> list[str]:
    """Larvae for each kg of female, by stage; what nobody told is named."""
    told = {"hatched": fact.hatched, "swim-up": fact.swim_up, "sold": fact.sold}
    known = [
        v.coded("per-kg", stage, number=v.about(number))
        for stage, number in told.items()
        if number is not None
    ]
    missing = v.names(v.coded("survival-stage", stage) for stage, number in told.items() if number is None)
    species, date, kg = v.species(fact.species), v.iso_day(fact.date), v.kg(fact.kg)
    if known:
        blocks = [v.say("per-kg", told=v.names(known), species=species, date=date, kg=kg)]
    else:
        blocks = [v.say("per-kg-none", species=opening(species), date=date, kg=kg)]
    return (
        blocks
        + ([v.say("survival-missing", stages=missing)] if missing else [])
        + _uncounted(v, fact.uncounted)
    )


def stock_plan(v: Voice, fact: StockPlan) -> list[str]:
    """A line a density, with what it comes to; that nobody published any."""
    named = {"species": v.species(fact.species), "young": fact.young}
    if not fact.figures:
        return [v.say("stock-none", place=fact.place or "any", **named)]
    notes = {each.note: each for each in fact.figures if each.note}
    return [
        v.say("stock-head", **{**named, "species": opening(named["species"])}),
        *(_density(v, fact, each) for each in fact.figures),
        *(v.coded("stock-note", note, litres=_size(v, each)) for note, each in notes.items()),
    ]


def _size(v: Voice, each: StockFigure) -> str:
    return "" if each.bag_litres is None else v.number(each.bag_litres)


def _density(v: Voice, fact: StockPlan, each: StockFigure) -> str:
    density = _between(v, each.low, each.high)
    best = "" if each.usual is None else " " + v.say("stock-usual", number=v.number(each.usual))
    per = v.coded("stock-per", each.per)
    place = v.coded("stock-in", each.place)
    if each.fewest is not None and each.most is not None:
        comes = v.coded("stock-wants", each.per, span=_between(v, each.fewest, each.most))
    elif each.low_larvae is not None and each.high_larvae is not None:
        span = _between(v, each.low_larvae, each.high_larvae)
        comes = v.coded("stock-comes", each.per, amount=_amount(v, fact, each.per), span=span)
    else:
        comes = ""
    return v.say("stock-density", place=place, density=density, per=per, best=best, comes=comes)


def _amount(v: Voice, fact: StockPlan, per: str) -> str:
    told = {"m2": fact.m2, "litre": fact.litres, "bag": fact.bags}
    return v.number(told[per] or 0.0)


def _between(v: Voice, low: float, high: float) -> str:
    """ "300-500", or one number where both ends are the same."""
    ends = [v.about(each) if each >= 1000 else v.number(each, 1) for each in (low, high)]
    return ends[0] if ends[0] == ends[1] else v.say("stock-span", low=ends[0], high=ends[1])
