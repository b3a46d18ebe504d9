"""Words for eggs, counts and larvae."""

from __future__ import annotations

from core.eggs import InVessels
from core.replies import (
    EggsInPlace,
    EggsOfFish,
    EggsTaken,
    FertilisedShare,
    HatchedShare,
    HatchForecast,
    MiltNeed,
    OwnCounted,
    VesselPlan,
)
from core.wording.doses import water
from core.wording.voice import Voice, opening, yes

# Eggs -----------------------------------------------------------------------------------------------------


def eggs_taken(v: Voice, fact: EggsTaken) -> list[str]:
    if fact.litres is not None:
        return _collected(v, fact)
    blocks = [_taken(v, fact)]
    if len(fact.fish) > 1 or any(each.partial or each.quality not in (None, "even") for each in fact.fish):
        blocks += [_of_fish(v, each) for each in fact.fish]
    if fact.total_eggs is not None and fact.eggs_per_gram is not None:
        blocks.append(_per_gram(v, fact))
    blocks += [v.say("eggs-wet")] * fact.wet
    if fact.kept_for:
        blocks.append(v.say("own-count-kept", species=v.species(fact.kept_for)))
    if fact.milt_ml is not None:
        blocks.append(v.say("eggs-milt", ml=v.number(fact.milt_ml, 1)))
    blocks += [v.say("eggs-test-lot")] * fact.test_lot
    return blocks + ([v.say("eggs-waiting", tags=v.names(fact.waiting))] if fact.waiting else [])


def _taken(v: Voice, fact: EggsTaken) -> str:
    at = v.time(fact.at)
    grams = "" if fact.total_grams is None else v.number(fact.total_grams, 1)
    count = "" if fact.total_eggs is None else v.whole(fact.total_eggs)
    known = ("grams-" if grams else "") + ("count" if count else "")
    if not known:
        return v.say("eggs-unweighed", at=at)
    return v.say(f"eggs-{known.rstrip('-')}", at=at, grams=grams, count=count)


def _collected(v: Voice, fact: EggsTaken) -> list[str]:
    """Litres first; each jar where there are several."""
    count = "" if fact.total_eggs is None else v.whole(fact.total_eggs)
    name = "eggs-litres-count" if count else "eggs-litres"
    blocks = [v.say(name, litres=v.number(fact.litres or 0), count=count, at=v.time(fact.at))]
    if len({lot.place for lot in fact.lots}) > 1:
        blocks += [_in_place(v, lot) for lot in fact.lots]
    if fact.eggs_per_ml is not None:
        blocks.append(_per_ml(v, fact))
    if fact.next_step and fact.next_at is not None:
        blocks.append(v.say("next", at=v.time(fact.next_at), step=v.step(fact.next_step), who=""))
    return blocks


def _in_place(v: Voice, lot: EggsInPlace) -> str:
    count = "" if lot.eggs is None else " " + v.say("eggs-about", count=v.whole(lot.eggs))
    place = lot.place or v.say("the-rest")
    return v.say("eggs-in-place", place=place, litres=v.number(lot.litres), count=count)


def _per_ml(v: Voice, fact: EggsTaken) -> str:
    per_ml = v.whole(fact.eggs_per_ml or 0)
    if fact.mark == "the farm's own":
        return v.say("eggs-per-ml-own", per_ml=per_ml)
    low, high = v.whole(fact.eggs_per_ml_low or 0), v.whole(fact.eggs_per_ml_high or 0)
    return v.say("eggs-per-ml", per_ml=per_ml, low=low, high=high, mark=fact.mark.replace(" ", "-"))


def own_count(v: Voice, fact: OwnCounted) -> list[str]:
    name, eggs = f"own-count-{fact.counted_in}", v.whole(fact.eggs)
    blocks = [v.say(name, species=opening(v.species(fact.species)), eggs=eggs)]
    if fact.before is not None:
        blocks.append(v.say("own-count-before", eggs=v.whole(fact.before)))
    if fact.low is not None and fact.high is not None:
        ends = {"low": v.whole(fact.low), "high": v.whole(fact.high)}
        blocks.append(v.say("own-count-reported", far=yes(fact.far), **ends))
    return [*blocks, v.say("own-count-from-now")]


def _of_fish(v: Voice, fish: EggsOfFish) -> str:
    parts = {
        "tag": fish.tag + " " if fish.tag else "",
        "quality": ""
        if fish.quality is None
        else v.say("eggs-quality", quality=v.say(f"quality-{fish.quality}")),
        "partial": v.say("eggs-partial") if fish.partial else "",
    }
    if fish.grams is None:
        return v.say("eggs-of-unweighed", **parts)
    return v.say("eggs-of", grams=v.number(fish.grams, 1), **parts)


def _per_gram(v: Voice, fact: EggsTaken) -> str:
    per_gram = v.whole(fact.eggs_per_gram or 0)
    low, high = fact.eggs_per_gram_low, fact.eggs_per_gram_high
    if fact.mark == "the farm's own":
        return v.say("eggs-per-gram-own", per_gram=per_gram)
    if low is None or high is None:
        return v.say("eggs-per-gram", per_gram=per_gram)
    return v.say("eggs-per-gram-range", per_gram=per_gram, low=v.whole(low), high=v.whole(high))


# On the way to the jars -------------------------------------------------------------------------------------


def vessels(v: Voice, fact: VesselPlan) -> list[str]:
    if fact.species is None:
        return [v.say("vessels-spread")]
    species = v.species(fact.species)
    if not fact.vessels:
        return [v.say("vessels-none", species=species)]
    blocks = []
    for each in fact.vessels:
        held, flow = _loaded(v, fact, each), _flow(v, each)
        blocks += [*flow, *held] if fact.about == "flow" else [*held, *flow]
    if fact.litres is not None and fact.eggs_per_ml is not None:
        told = {"litres": v.number(fact.litres), "per_ml": v.whole(fact.eggs_per_ml)}
        blocks.append(v.say("vessels-litres", **told))
    elif fact.grams is not None and fact.eggs_per_gram is not None:
        told = {"grams": v.number(fact.grams), "per_gram": v.whole(fact.eggs_per_gram)}
        blocks.append(v.say("vessels-grams", **told))
    elif fact.litres is not None:
        blocks.append(v.say("vessels-no-per-ml", species=species))
    elif fact.grams is not None:
        blocks.append(v.say("vessels-no-per-gram", species=species))
    if fact.sticky and fact.about == "jars" and any(each.vessel == "jar" for each in fact.vessels):
        blocks.append(v.coded("vessels-sticky", fact.sticky))
    return blocks


def _loaded(v: Voice, fact: VesselPlan, each: InVessels) -> list[str]:
    size = {"vessel": each.vessel, "litres": v.number(each.litres)}
    held = v.whole(each.low)
    if each.high > each.low:
        held = v.say("vessels-span", low=held, high=v.whole(each.high))
    if each.count is None or fact.eggs is None:
        return [v.say("vessels-each", held=held, **size)]
    told = [
        v.say("vessels-count", count=each.count, number=v.whole(each.count), eggs=v.whole(fact.eggs), **size)
    ]
    if each.high > each.low:
        return [*told, v.say("vessels-by-low", held=held)]
    return [*told, v.say("vessels-held", held=held)]


def _flow(v: Voice, each: InVessels) -> list[str]:
    """Litres a minute in each, and in all of several."""
    if each.flow_low is None or each.flow_high is None:
        return [v.say("vessels-no-flow")]
    told = [v.say("vessels-flow", flow=_between(v, each.flow_low, each.flow_high), vessel=each.vessel)]
    if each.count is not None and each.count > 1 and each.all_low is not None and each.all_high is not None:
        told.append(v.say("vessels-flow-all", flow=_between(v, each.all_low, each.all_high)))
    return told


def _between(v: Voice, low: float, high: float) -> str:
    """One number, or from where to where."""
    if low == high:
        return v.number(low)
    return v.say("vessels-span", low=v.number(low), high=v.number(high))


def milt(v: Voice, fact: MiltNeed) -> list[str]:
    known = [_milt_ml(v, fact)]
    if fact.parts is not None and fact.saline_g_per_l is not None:
        mix = {"parts": v.number(fact.parts), "grams": v.number(fact.saline_g_per_l)}
        known.insert(0 if fact.thinned else 1, v.say("milt-thinned", **mix))
    elif fact.thinned:
        known.insert(0, v.say("milt-thinning-unknown", species=v.species(fact.species)))
    return [*known, v.say("milt-from", cut=yes(fact.male_cut))]


def _milt_ml(v: Voice, fact: MiltNeed) -> str:
    if fact.low_ml is None or fact.high_ml is None:
        return v.say("milt-none", species=v.species(fact.species))
    of = {"grams": v.number(fact.grams or 0.0, 1), "told": yes(fact.grams)}
    span = _between(v, fact.low_ml, fact.high_ml)
    if fact.ml is None:
        return v.say("milt-span", span=span, **of)
    return v.say("milt-for", ml=v.number(fact.ml, 1), span=span, **of)


# Counts ---------------------------------------------------------------------------------------------------


def share(v: Voice, percent: float, low: float | None, high: float | None) -> str:
    """ "82 %, roughly 73-88": the doubt is shown wherever it is known."""
    if low is None or high is None:
        return v.say("share", percent=v.percent(percent, counted=False))
    counted = {"percent": v.percent(percent, counted=True), "low": v.whole(low), "high": v.whole(high)}
    return v.say("share-roughly", **counted)


def fertilised(v: Voice, fact: FertilisedShare) -> list[str]:
    said = share(v, fact.percent, fact.low_percent, fact.high_percent)
    if fact.good is None or fact.total is None:
        told = v.say("fertilised", share=said)
    else:
        told = v.say("fertilised-counted", share=said, good=v.whole(fact.good), total=v.whole(fact.total))
    return [told, *_whole(v, fact.whole_percent)]


def _whole(v: Voice, percent: float | None) -> list[str]:
    """The share over all jars, under the count of one of them."""
    return [] if percent is None else [v.say("share-of-all-jars", percent=v.percent(percent, counted=True))]


def hatch_forecast(v: Voice, fact: HatchForecast) -> list[str]:
    earliest, likely, latest = v.times((fact.earliest_at, fact.likely_at, fact.latest_at))
    blocks = [v.say("hatch-forecast", earliest=earliest, likely=likely, latest=latest)]
    blocks.append(water(v, fact.celsius, fact.celsius_source))
    if fact.reckoned and fact.from_at is not None:
        blocks.append(v.say("hatch-from-reckoned", at=v.time(fact.from_at)))
    elif fact.from_step != "fertilise":
        blocks.append(v.say(f"hatch-from-{fact.from_step}"))
    if fact.count_at is not None:
        blocks.append(v.say("hatch-count-at", at=v.time(fact.count_at)))
    return blocks


def hatched(v: Voice, fact: HatchedShare) -> list[str]:
    blocks = [*_hatched_shares(v, fact), *_whole(v, fact.whole_percent)]
    if fact.larvae is not None:
        blocks.append(v.say("hatched-larvae", larvae=v.whole(fact.larvae)))
    if fact.deformed is not None:
        blocks.append(v.say("hatched-deformed", deformed=v.whole(fact.deformed)))
    if fact.swim_up_at is not None:
        blocks.append(v.say("hatched-swim-up", at=v.time(fact.swim_up_at)))
    if fact.first_feed_at is not None:
        blocks.append(v.say("hatched-first-feed", at=v.time(fact.first_feed_at)))
    return blocks or [v.say("hatched-no-figure")]


def _hatched_shares(v: Voice, fact: HatchedShare) -> list[str]:
    shares = {"all": fact.percent_of_eggs, "fertilised": fact.percent_of_fertilised}
    told = fact.percent_as_told if fact.percent_as_told is not None else shares.get(fact.of)
    known = [(of, percent) for of, percent in shares.items() if percent is not None]
    if told is None:
        return [v.say(f"hatched-of-{of}", share=share(v, percent, None, None)) for of, percent in known]
    said = v.say(f"hatched-of-{fact.of}", share=share(v, told, fact.low_percent, fact.high_percent))
    doubt = v.doubt(fact.also_low, fact.also_high)
    also = [(of, v.say("share", percent=v.percent(percent, counted=True))) for of, percent in known]
    return [
        said,
        *(v.say(f"hatched-also-{of}", share=each, doubt=doubt) for of, each in also if of != fact.of),
    ]
