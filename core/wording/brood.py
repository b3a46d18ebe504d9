"""Words for brood fish by their numbers."""

from __future__ import annotations

from core.replies import BroodNumbers
from core.wording.voice import Voice


def brood_numbers(v: Voice, fact: BroodNumbers) -> list[str]:
    return _drift(v, fact) if fact.species is None else _males(v, fact, v.species(fact.species))


def _drift(v: Voice, fact: BroodNumbers) -> list[str]:
    """What was asked comes first: the effective number, or the inbreeding of several generations."""
    lines = [_effective(v, fact)]
    if fact.total_percent is not None:
        total = {"generations": v.whole(fact.generations or 0), "percent": v.number(fact.total_percent, 1)}
        lines.insert(0 if fact.about == "inbreeding" else 1, v.say("brood-total", **total))
    rate = {
        "percent": fact.percent or 0.0,
        "most": fact.most_percent or 0.0,
        "better": fact.better_percent or 0.0,
    }
    lines.append(v.say("brood-percent", **{name: v.number(value, 1) for name, value in rate.items()}))
    advised = v.whole(fact.advised or 0)
    if fact.wanted_males is not None:
        lines.append(v.say("brood-wanted", males=v.whole(fact.wanted_males), advised=advised))
    elif fact.females is not None and (fact.effective or 0.0) < (fact.advised or 0):
        lines.append(v.say("brood-more-of-both", advised=advised))
    return lines


def _effective(v: Voice, fact: BroodNumbers) -> str:
    effective = v.number(fact.effective or 0.0, 1)
    if fact.females is None or fact.males is None:
        return v.say("brood-effective-told", effective=effective)
    return v.say("brood-effective", effective=effective, **_fish(v, fact.females, fact.males))


def _fish(v: Voice, females: int, males: int) -> dict[str, str | int]:
    return {
        "females": v.whole(females),
        "females_are": females,
        "males": v.whole(males),
        "males_are": males,
    }


def _males(v: Voice, fact: BroodNumbers, species: str) -> list[str]:
    """Whether those told are enough, then how many the card wants."""
    females = fact.females or 0
    if fact.low_males is None or fact.high_males is None:
        return [v.say("brood-males-none", species=species)]
    lines = []
    if fact.enough:
        counted = {"males": v.whole(fact.males or 0), "females": v.whole(females)}
        lines.append(v.say(f"brood-{fact.enough}", **counted))
    span = {"species": species, "low": v.whole(fact.low_males), "high": v.whole(fact.high_males)}
    if fact.usual_males is None:
        told = v.say("brood-males-span", females=v.whole(females), females_are=females, **span)
    else:
        told = v.say("brood-males", **_fish(v, females, fact.usual_males), **span)
    return [*lines, told]
