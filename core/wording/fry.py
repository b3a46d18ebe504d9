"""Words for larvae in cups, at swim-up and beyond."""

from __future__ import annotations

from core.replies import CountNeeded, LarvaeInWater, Measure
from core.wording.voice import Voice, yes


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
