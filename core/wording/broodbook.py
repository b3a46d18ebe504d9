"""Words for the brood book: a fish, who is ready, mates, the season, the treated fish."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from core.replies import (
    BroodSeason,
    FishCard,
    FishKept,
    MateLine,
    Mates,
    ReadyFemales,
    RestDays,
    RestLine,
    SpawningLine,
    TreatedFish,
    TreatedLine,
    UntaggedRest,
)
from core.wording.texts import Value
from core.wording.voice import Voice, opening

Values = dict[str, Value]


def _day(v: Voice, at: datetime) -> str:
    return v.day(at.astimezone(v.zone).date())


def _named(v: Voice, names: Iterable[str], more: int) -> str:
    """Names in a row, and how many are left out."""
    said = v.names(names)
    return v.say("and-more", said=said, more=v.whole(more)) if more else said


# Who is ready ---------------------------------------------------------------------------------------------


def ready(v: Voice, fact: ReadyFemales) -> list[str]:
    """Those that rested, then who must wait, then those of whom nothing is told; at last the rule."""
    if not fact.females and not fact.untagged and not fact.busy:
        return [v.say("ready-nothing")]
    several = len(fact.rests) > 1
    lines = [*_ready_head(v, fact), *(_ready_line(v, each, several) for each in fact.ready)]
    if fact.more_ready:
        lines.append(v.say("ready-more", more=v.whole(fact.more_ready)))
    if fact.resting:
        waiting = [_resting(v, each) for each in fact.resting]
        lines.append(v.say("ready-resting", females=_named(v, waiting, fact.more_resting)))
    if fact.untold and (fact.ready or fact.resting):
        lines.append(v.say("ready-untold", tags=_named(v, fact.untold, fact.more_untold)))
    if fact.busy:
        lines.append(v.say("ready-busy", tags=_named(v, fact.busy, fact.more_busy)))
    lines += [_untagged(v, each) for each in fact.untagged]
    if fact.untagged:
        lines.append(v.say("ready-names", name=fact.untagged[0].name))
    lines += [_rule(v, each) for each in fact.rests]
    if fact.signs:
        signs = " ".join(v.coded("sign", code).removeprefix("- ") for code in fact.signs)
        lines.append(v.say("ready-look", signs=signs))
    elif fact.ready:
        lines.append(v.say("ready-look-alone"))
    return lines


def _ready_head(v: Voice, fact: ReadyFemales) -> list[str]:
    """How many rested; nothing where all are in a run, which is said besides."""
    females = v.whole(fact.females)
    if not fact.females:
        return [v.say("ready-no-tags")]
    if fact.rested:
        return [v.say("ready-head", rested=v.whole(fact.rested), females=females, are=fact.females)]
    if fact.resting:
        return [v.say("ready-none", females=females, are=fact.females)]
    if fact.untold:
        return [v.say("ready-no-eggs", tags=_named(v, fact.untold, fact.more_untold))]
    return []


def _ready_line(v: Voice, each: RestLine, several: bool) -> str:
    kg = "" if each.kg is None else v.say("fish-kg", kg=v.kg(each.kg))
    name = each.tag
    if several and each.species:
        name = v.say("fish-of", tag=name, species=v.species(each.species))
    return v.say(
        "ready-line" if each.surely else "ready-line-perhaps",
        fish=v.names([name, kg]) if kg else name,
        gave=_day(v, each.gave_at),
        rested=_day(v, each.rested_at),
    )


def _resting(v: Voice, each: RestLine) -> str:
    days: Values = {"days": v.whole(each.left_days), "left": each.left_days}
    return v.say("ready-rests", tag=each.tag, rested=_day(v, each.rested_at), **days)


def _untagged(v: Voice, each: UntaggedRest) -> str:
    values: Values = {
        "females": v.whole(each.females),
        "are": each.females,
        "species": v.species(each.species),
    }
    if each.gave_at is None:
        return v.say("ready-untagged-no-eggs", **values)
    gave = _day(v, each.gave_at)
    if each.rested_at is None:
        return v.say("ready-untagged", gave=gave, **values)
    rested = _day(v, each.rested_at)
    code = "ready-untagged-left" if each.left_days else "ready-untagged-rested"
    return v.say(code, gave=gave, rested=rested, **values)


def _rule(v: Voice, each: RestDays) -> str:
    species = opening(v.species(each.species))
    if each.low_days is None or each.high_days is None or each.mark is None:
        return v.say("rest-none", species=species)
    span = {"low": v.whole(each.low_days), "high": v.whole(each.high_days), "mark": v.mark(each.mark)}
    return v.say("ready-rule", species=species, **span)


# A fish ---------------------------------------------------------------------------------------------------


def fish_card(v: Voice, fact: FishCard) -> list[str]:
    lines = [_fish_head(v, fact)]
    if fact.lost and fact.lost_at is not None:
        lines.append(v.coded("fish-lost", fact.lost, day=_day(v, fact.lost_at)))
    if fact.weights:
        weights = [v.say("fish-weight", kg=v.kg(each.kg), day=_day(v, each.at)) for each in fact.weights]
        lines.append(v.say("fish-weights", weights=_named(v, weights, fact.more_weights)))
    if fact.spawnings:
        spawnings = [_spawning(v, fact, each) for each in fact.spawnings]
        said = _named(v, spawnings, fact.more_spawnings)
        lines.append(v.say("fish-used" if fact.sex == "m" else "fish-eggs", spawnings=said))
    elif fact.sex != "m":
        lines.append(v.say("fish-no-eggs"))
    if fact.rested_at is not None and fact.left_days is not None:
        code = "fish-resting" if fact.left_days else "fish-rested"
        days: Values = {"days": v.whole(fact.left_days), "left": fact.left_days}
        lines.append(v.say(code, rested=_day(v, fact.rested_at), **days))
    if fact.treated:
        doses = [v.say("fish-dose", day=_day(v, each.at), dose=_dose(v, each)) for each in fact.treated]
        lines.append(v.say("fish-treated", doses=_named(v, doses, fact.more_treated)))
    if fact.note:
        lines.append(fact.note)
    if fact.run and fact.begun_at is not None:
        lines.append(v.say("fish-of-run", tag=fact.tag, day=_day(v, fact.begun_at)))
    return lines


def _fish_head(v: Voice, fact: FishCard) -> str:
    parts = [v.say("fish-sex", sex=fact.sex or "unknown")]
    if fact.species:
        parts.append(v.species(fact.species))
    parts += _told(v, fact)
    if fact.inbred_percent is not None:
        parts.append(v.say("fish-inbred", percent=v.number(fact.inbred_percent, 2)))
    return v.say("fish-head", tag=fact.tag, parts=v.names(parts))


def _told(v: Voice, fact: FishCard | FishKept) -> list[str]:
    """Where a fish is from, as it was told: parts of one sentence."""
    parts = []
    if fact.hatched is not None:
        parts.append(v.say("fish-hatched", year=str(fact.hatched)))
    if fact.origin:
        parts.append(v.say("fish-origin", origin=fact.origin))
    if fact.mother and fact.father:
        parts.append(v.say("fish-parents", mother=fact.mother, father=fact.father))
    elif fact.mother:
        parts.append(v.say("fish-mother", mother=fact.mother))
    elif fact.father:
        parts.append(v.say("fish-father", father=fact.father))
    return parts


def _spawning(v: Voice, fact: FishCard, each: SpawningLine) -> str:
    day = _day(v, each.at)
    if fact.sex == "m":
        return day
    if each.grams is not None:
        return v.say("fish-grams", day=day, grams=v.number(each.grams, 1))
    code = {True: "fish-gave", False: "fish-none", None: "fish-perhaps"}[each.gave]
    return v.say(code, day=day)


def fish_kept(v: Voice, fact: FishKept) -> list[str]:
    parts = [v.say("fish-sex", sex=fact.sex)] if fact.sex else []
    parts += [v.say("fish-kg", kg=v.kg(fact.kg))] if fact.kg is not None else []
    lines = [v.say("fish-kept", tag=fact.tag, parts=v.names([*parts, *_told(v, fact)]))]
    return [*lines, v.say("fish-fresh")] if fact.fresh else lines


# Mates ----------------------------------------------------------------------------------------------------


def mates(v: Voice, fact: Mates) -> list[str]:
    lines = [_mates_head(v, fact), *(_mate(v, each) for each in fact.males)]
    if fact.more:
        lines.append(v.say("ready-more", more=v.whole(fact.more)))
    lines += [_kin(v, each) for each in fact.kin]
    if fact.untold:
        lines.append(v.say("mates-untold"))
    if fact.gone:
        lines.append(v.say("mates-gone", tags=v.names(fact.gone)))
    if fact.untagged:
        lines.append(v.say("mates-untagged", males=v.whole(fact.untagged), are=fact.untagged))
    return lines


def _mates_head(v: Voice, fact: Mates) -> str:
    species = v.species(fact.species)
    if not fact.males:
        return v.say("mates-all-kin" if fact.kin else "mates-none", species=species)
    if fact.females:
        return v.say("mates-for", females=v.names(fact.females))
    return v.say("mates-any", species=species)


def _mate(v: Voice, each: MateLine) -> str:
    kg = "" if each.kg is None else v.say("fish-kg", kg=v.kg(each.kg))
    name = v.names([each.tag, kg]) if kg else each.tag
    if not each.used:
        return v.say("mates-unused", male=name)
    return v.say("mates-used", male=name, used=v.whole(each.used), runs_are=each.used)


def _kin(v: Voice, each: MateLine) -> str:
    kin = v.coded("kin", each.relation, to=each.to)
    return v.say("mates-kin", male=each.tag, kin=kin, percent=v.number(each.inbred_percent, 2))


# The season -----------------------------------------------------------------------------------------------


def season(v: Voice, fact: BroodSeason) -> list[str]:
    fish = {"females": v.whole(fact.females), "males": v.whole(fact.males)}
    where = {"species": v.species(fact.species), "day": _day(v, fact.since), "runs": v.whole(fact.runs)}
    counted = {"females_are": fact.females, "males_are": fact.males, "runs_are": fact.runs}
    if fact.effective is None or fact.percent is None:
        lines = [v.say("season-unknown", **fish, **where, **counted)]
    else:
        effective = v.number(fact.effective, 1)
        lines = [v.say("season-effective", effective=effective, **fish, **where, **counted)]
        lines.append(
            v.say(
                "brood-percent",
                percent=v.number(fact.percent, 1),
                most=v.number(fact.most_percent, 1),
                better=v.number(fact.better_percent, 1),
            )
        )
    advised = v.whole(fact.advised)
    if fact.wanted_males is not None:
        lines.append(v.say("brood-wanted", males=v.whole(fact.wanted_males), advised=advised))
    elif fact.effective is not None and fact.effective < fact.advised:
        lines.append(v.say("brood-more-of-both", advised=advised))
    if fact.untagged:
        lines.append(v.say("season-untagged", untagged=v.whole(fact.untagged), are=fact.untagged))
    if fact.males_untold:
        lines.append(v.say("season-males-untold", runs=v.whole(fact.males_untold), are=fact.males_untold))
    return lines


# The treated fish -----------------------------------------------------------------------------------------


def treated(v: Voice, fact: TreatedFish) -> list[str]:
    """The list, and always at its end who alone can clear a fish."""
    if not fact.lines:
        head = v.say("treated-none-of", tags=fact.of) if fact.of else v.say("treated-none")
        return [head, v.say("treated-clear")]
    lines = [v.say("treated-head", total=v.whole(fact.total))]
    lines += [_treated(v, each) for each in fact.lines]
    if fact.more:
        lines.append(v.say("treated-more", more=v.whole(fact.more)))
    return [*lines, v.say("treated-clear")]


def _treated(v: Voice, each: TreatedLine) -> str:
    fate = v.coded("fate", each.fate)
    where = {"run": v.whole(each.run), "day": _day(v, each.at)}
    return v.say("treated-line", tag=each.tag, dose=_dose(v, each), fate=fate, **where)


def _dose(v: Voice, each: TreatedLine) -> str:
    """What went in, as far as it was told: mL, and the active substance with its unit."""
    parts = []
    if each.ml is not None:
        parts.append(v.say("amount", amount=v.ml(each.ml), unit=v.unit("mL")))
    if each.amount is not None and each.unit:
        parts.append(v.say("amount", amount=v.amount(each.amount), unit=v.unit(each.unit)))
    dose = " = ".join(parts) or v.say("treated-dose-unknown")
    name = v.preparation(each.preparation) if each.preparation else v.say("treated-hormone-unknown")
    return v.say("treated-dose", preparation=name, dose=dose)
