"""Words for questions over several runs: the best, side by side, one female's, what differed."""

from __future__ import annotations

from core.comparing import ENOUGH, By, RunGroup
from core.differences import Difference
from core.records import CountOf
from core.replies import BestRun, Comparison, FemaleRuns, HerRunTold, OutOfIt, WhyLow
from core.wording.texts import Value
from core.wording.voice import Voice, opening, yes

MOST_DATES = 5
"""So many runs that are left out are named in one line; the facts hold all."""


def best_run(v: Voice, fact: BestRun) -> list[str]:
    rate = v.coded("result-batch-of", fact.of, percent=v.percent(fact.percent, counted=True))
    which = "worst" if fact.worst else "best"
    named = {"species": v.species(fact.species), "date": v.iso_day(fact.date)}
    blocks = [v.coded("best-run", which, rate=rate, **named)]
    if fact.few:
        blocks.append(v.say("best-run-few", counted=v.whole(fact.counted), one=yes(fact.counted == 1)))
    else:
        ends = {"low": v.whole(fact.low_percent), "high": v.whole(fact.high_percent)}
        blocks.append(v.say("best-run-all", counted=v.whole(fact.counted), which=_which(v, fact), **ends))
    return blocks + _left_out(v, fact.left_out)


def _which(v: Voice, fact: BestRun | Comparison) -> str:
    """Of which species and time."""
    species = fact.of_species if isinstance(fact, BestRun) else fact.species
    named = v.say("any-species") if species is None else v.species(species)
    return v.names([named, v.coded("period", fact.period)])


def comparison(v: Voice, fact: Comparison) -> list[str]:
    """A line a group, and that no cause is in it."""
    named = {"of": _of(v, fact.of), "which": _which(v, fact), "counted": v.whole(fact.counted)}
    head = v.coded("comparison", fact.by, **named)
    lines = [_group(v, fact.by, each) for each in fact.groups]
    if not lines:
        lines = [v.say("comparison-none")]
    elif len(lines) > 1:
        lines.append(v.say("comparison-no-cause"))
    return [head, *lines, *_left_out(v, fact.left_out)]


def _of(v: Voice, of: CountOf) -> str:
    """Of what a share hatched."""
    return v.coded("hatch-of", of)


def _group(v: Voice, by: By, group: RunGroup) -> str:
    name = opening(_name(v, by, group))
    runs = {"runs": v.whole(group.runs), "one": yes(group.runs == 1)}
    if group.mean is None:
        return v.say("comparison-few", name=name, **runs)
    ends = {"low": v.whole(group.low), "high": v.whole(group.high)}
    return v.say("comparison-group", name=name, mean=v.whole(group.mean), **ends, **runs)


def _name(v: Voice, by: By, group: RunGroup) -> str:
    if by == "species":
        return v.species(group.name)
    if by == "water":
        ends = {"low": v.celsius(group.span_low or 0.0), "high": v.celsius(group.span_high or 0.0)}
        return v.say("comparison-celsius", **ends)
    if by == "dose":
        dose = _span(v.amount(group.span_low or 0.0), v.amount(group.span_high or 0.0), v)
        return v.say(
            "comparison-per-kg", dose=dose, unit=v.unit(group.unit), preparation=v.preparation(group.name)
        )
    return v.say("comparison-tag", tag=group.name) if by == "female" else group.name


def _span(low: str, high: str, v: Voice) -> str:
    return low if low == high else v.say("stock-span", low=low, high=high)


def _left_out(v: Voice, left: tuple[OutOfIt, ...]) -> list[str]:
    """Runs that stand in no mean, by their dates, a line for each reason."""
    lines = []
    for each in left:
        dates = [v.iso_day(date) for date in each.dates[:MOST_DATES]]
        if len(each.dates) > MOST_DATES:
            dates.append(v.say("left-out-others"))
        lines.append(v.coded("left-out", each.why, dates=v.names(dates)))
    return lines


# One female -----------------------------------------------------------------------------------------------


def female(v: Voice, fact: FemaleRuns) -> list[str]:
    """What her runs come to, then each run on a line."""
    blocks = []
    if fact.mean_percent is not None:
        ends = {"low": v.whole(fact.low_percent or 0.0), "high": v.whole(fact.high_percent or 0.0)}
        told = {"mean": v.whole(fact.mean_percent), "counted": v.whole(fact.counted)}
        blocks.append(v.say("female-mean", tag=fact.tag, of=_of(v, fact.of), **told, **ends))
    elif fact.of_one_run:
        blocks.append(v.say("female-of-one-run", tag=fact.tag))
    else:
        counts = {0: "none", 1: "one"}.get(fact.counted, "other")
        blocks.append(v.say("female-few", tag=fact.tag, counted=v.whole(fact.counted), counts=counts))
    blocks += [_her_run(v, each) for each in fact.runs]
    if fact.earlier:
        blocks.append(v.say("female-earlier", earlier=v.whole(fact.earlier)))
    return blocks


def _her_run(v: Voice, each: HerRunTold) -> str:
    told = []
    if each.hatched_percent is not None:
        percent = v.percent(each.hatched_percent, counted=False)
        told.append(v.coded("result-batch-of", each.hatched_of, percent=percent))
    if each.fertilised_percent is not None:
        percent = v.percent(each.fertilised_percent, counted=False)
        told.append(v.say("result-batch-fertilised", percent=percent))
    if each.grams is not None and each.body_percent is not None:
        weight = {"grams": v.number(each.grams, 1), "percent": v.number(each.body_percent, 1)}
        told.append(v.say("female-grams", **weight))
    if not told:
        told.append(v.coded("female-gave", each.outcome))
    if each.others:
        told.append(v.say("female-with", others=v.names(each.others)))
    named = {"species": v.species(each.species), "date": v.iso_day(each.date), "kg": v.kg(each.kg)}
    return v.say("female-run", told=v.names(told), **named)


# What differed --------------------------------------------------------------------------------------------


def why_low(v: Voice, fact: WhyLow) -> list[str]:
    """What differed on lines of its own; what did not, and what nobody told, on one each."""
    named = {"species": opening(v.species(fact.species)), "date": v.iso_day(fact.date)}
    if fact.percent is None:
        blocks = [v.say("differences-untold", **named)]
    else:
        rate = v.coded("result-batch-of", fact.of, percent=v.percent(fact.percent, counted=True))
        blocks = [v.say("differences-head", rate=rate, **named)]
    if fact.others >= ENOUGH and fact.low_percent is not None and fact.high_percent is not None:
        ends = {"low": v.whole(fact.low_percent), "high": v.whole(fact.high_percent)}
        blocks.append(v.say("differences-others", others=v.whole(fact.others), **ends))
    elif fact.others:
        one = yes(fact.others == 1)
        blocks.append(v.say("differences-few-others", others=v.whole(fact.others), one=one))
    else:
        blocks.append(v.say("differences-no-others"))
    differing = [each for each in fact.things if each.verdict == "differs"]
    blocks += [_differs(v, each) for each in differing] or [v.say("differences-none")]
    for verdict in ("same", "not-told", "no-measure"):
        things = [v.coded("thing", each.thing) for each in fact.things if each.verdict == verdict]
        if things:
            blocks.append(v.coded("differences", verdict, things=v.names(things)))
    return [*blocks, v.say("differences-no-cause")]


def _differs(v: Voice, each: Difference) -> str:
    values: dict[str, Value] = {
        "value": _value(v, each, each.value),
        "most": _value(v, each, each.most),
        "low": _value(v, each, each.low),
        "high": _value(v, each, each.high),
        "unit": v.unit(each.unit) if each.thing == "dose" else "",
        "others": v.whole(each.others),
        "tags": v.names(each.tags),
        "who": v.who(each.tags),
        "looks": v.names(v.coded("quality", word) for word in each.words),
    }
    return v.coded(f"differs-{each.thing}", each.code, **values)


def _value(v: Voice, each: Difference, value: float | None) -> str:
    if value is None:
        return ""
    if each.thing == "dose":
        return v.amount(value)
    if each.unit == "C":
        return v.celsius(value)
    return v.number(value, 1)
