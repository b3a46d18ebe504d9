"""Words for doses, the proposed hour, the night's plan and the window."""

from __future__ import annotations

from core.dosing import DoseLine, DoseShot
from core.drawing import TOO_COARSE, Making
from core.records import WaterSource
from core.replies import (
    Course,
    CourseDoubt,
    DoseSheet,
    Hold,
    InjectPlan,
    NightPlan,
    OwnWeight,
    StripForecast,
    WaterOutside,
)
from core.wording.voice import Voice, opening, yes

SAID_IN_THE_LINES = ("male-optional", "strength-assumed")


def dose_sheet(v: Voice, fact: DoseSheet) -> list[str]:
    own = {each.tag: _own_weight(v, each) for each in fact.weights}
    lines = (dose_line(v, line, own.get(line.tag, ""), is_optional(fact, line)) for line in fact.fish)
    blocks = [_head(v, fact), *lines]
    if fact.total_ml is not None and fact.draw_ml is not None:
        blocks.append(v.say("dose-total", total=v.ml(fact.total_ml), draw=v.ml(fact.draw_ml)))
    elif fact.total is not None and fact.make is not None:
        total, make = (_amount(v, amount, fact.unit) for amount in (fact.total, fact.make))
        blocks.append(v.say("dose-total-amount", total=total, make=make))
    if fact.own is not None:
        signed = "dose-own-signed" if fact.own.reason else "dose-own"
        blocks.append(v.say(signed, reason=fact.own.reason))
    blocks += [making(v, each) for each in fact.makings]
    for name, count in (("dose-vials", fact.vials), ("dose-glands", fact.glands)):
        if count is not None:
            blocks.append(v.say(name, count=v.whole(count)))
    places = max((shot.places for line in fact.fish for shot in line.shots), default=1)
    marks = {
        "preparation": v.preparation(fact.preparation),
        "places": v.whole(places),
        "shared": yes(places > 1),
    }
    if fact.syringe_ml is not None and fact.graduation_ml is not None:
        marks |= {"syringe": v.number(fact.syringe_ml), "graduation": v.number(fact.graduation_ml)}
    told = (code for code in fact.warnings if code not in SAID_IN_THE_LINES)
    return blocks + [v.coded("warning", code, **marks) for code in told]


def _head(v: Voice, fact: DoseSheet) -> str:
    species = opening(v.species(fact.species))
    if fact.strength is None:
        preparation = v.preparation(fact.preparation)
        if fact.per_kg is None:
            return v.say("dose-head-bare", species=species, preparation=preparation)
        dose = _amount(v, fact.per_kg, fact.unit)
        return v.say("dose-head-plain", species=species, preparation=preparation, dose=dose)
    per_kg = "" if fact.ml_per_kg is None else " " + v.say("dose-per-kg", ml=v.ml(fact.ml_per_kg))
    return v.say(
        "dose-head",
        species=species,
        strength=v.strength(fact.strength),
        per_kg=per_kg,
        assumed=yes(fact.strength_assumed),
    )


def is_optional(fact: DoseSheet, line: DoseLine) -> bool:
    return line.sex == "m" and "male-optional" in fact.warnings


def _own_weight(v: Voice, weight: OwnWeight) -> str:
    return " " + v.coded("own-weight", weight.unit, value=v.number(weight.value, 2))


def dose_line(v: Voice, line: DoseLine, own: str = "", optional: bool = False) -> str:
    """The whole scheme of one fish: "F1 2.4 kg (5.3 lb): 1.2 mL"; `own` is its weight in the farm's unit."""
    dose = scheme(v, line)
    if not dose:
        return v.say("dose-line-none", tag=line.tag, kg=v.kg(line.kg), own=own)
    name = "dose-line-optional" if optional else "dose-line"
    return v.say(name, tag=line.tag, kg=v.kg(line.kg), own=own, dose=dose)


def step_line(v: Voice, line: DoseLine, priming: bool) -> str:
    """What to draw for one fish at this injection."""
    shots = tuple(shot for shot in line.shots if (shot.role == "priming") is priming)
    if not shots:
        return v.say("dose-line-none", tag=line.tag, kg=v.kg(line.kg), own="")
    return v.say("dose-line", tag=line.tag, kg=v.kg(line.kg), own="", dose=_shot(v, shots[-1]))


def scheme(v: Voice, line: DoseLine) -> str:
    """All shots of a fish: "first 0.1 mL, then 1.1 mL"."""
    shots = [_shot(v, shot) for shot in line.shots]
    if len(shots) == 2:
        return v.say("dose-two", first=shots[0], final=shots[1])
    return v.joined("plus", shots)


def _shot(v: Voice, shot: DoseShot) -> str:
    """What one shot holds: mL to draw, of the bottle or of what is mixed; else the active substance alone,
    where no strength is known."""
    if shot.off > TOO_COARSE:
        reckoned = _substance(v, shot) if shot.ml is None else v.say("dose-ml", ml=v.number(shot.ml))
        return v.say("dose-not-drawn", dose=reckoned)
    if shot.liquid_ml is not None:
        liquid = v.number(shot.liquid_ml)
        if shot.ml is not None:
            return v.say("dose-ml-thinned", ml=liquid)
        return v.say("dose-ml-dissolved", ml=liquid, dose=_substance(v, shot))
    return _ml(v, shot.ml, shot.drawn_ml) or _substance(v, shot)


def making(v: Voice, fact: Making) -> str:
    """What to mix before the injection."""
    diluent = v.number(fact.diluent_ml)
    if fact.unit == "mL":
        return v.say("making-thinned", ml=v.number(fact.amount), diluent=diluent)
    amount = _amount(v, fact.amount, fact.unit)
    if fact.blocker_mg is not None:
        amount = v.joined("plus", [amount, v.say("dose-blocker", mg=v.number(fact.blocker_mg))])
    return v.coded("making", fact.role, amount=amount, diluent=diluent)


def _substance(v: Voice, shot: DoseShot) -> str:
    if shot.amount is None:
        return ""
    known = _amount(v, shot.amount, shot.unit)
    if shot.blocker_mg is None:
        return known
    return v.joined("plus", [known, v.say("dose-blocker", mg=v.amount(shot.blocker_mg))])


def _amount(v: Voice, amount: float, unit: str) -> str:
    return v.say("amount", amount=v.amount(amount), unit=v.unit(unit))


def _ml(v: Voice, ml: float | None, drawn: float | None) -> str:
    """What to draw stands first; what was calculated beside it, where the syringe cannot show it."""
    if ml is None:
        return ""
    if drawn is None or v.ml(drawn) == v.ml(ml):
        return v.say("dose-ml", ml=v.ml(ml))
    return v.say("dose-ml-drawn", ml=v.ml(ml), drawn=v.ml(drawn))


def inject_plan(v: Voice, fact: InjectPlan) -> list[str]:
    """The hours of a line are written in the order in which they stand in it: a day is named once."""
    eggs = (fact.first_look_at,) if fact.way == "stripped" else (fact.most_from_at, fact.most_to_at)
    known = [at for at in eggs if at is not None]
    hours = v.times((*fact.primings, fact.final_at, *known))
    *primed, final = hours[: len(fact.primings) + 1]
    named = ("look",) if fact.way == "stripped" else ("most_from", "most_to")
    plan = v.say(
        f"inject-plan-{fact.way}" if known else "inject-plan-held",
        prime=v.say("inject-plan-prime", at=v.names(primed)) + " " if primed else "",
        at=final,
        **dict(zip(named, hours[len(fact.primings) + 1 :], strict=False)),
    )
    no_earlier = [v.say("inject-plan-no-earlier")] * fact.no_earlier
    return [*no_earlier, *outside(v, fact.outside), plan, *_awake(v, fact)]


def _awake(v: Voice, fact: InjectPlan) -> list[str]:
    """The hours of sleep at which somebody is needed."""
    if not fact.awake:
        return []
    hours = v.times(each.at for each in fact.awake)
    told = [
        v.say("plan-line", at=at, step=v.step(each.step)) for each, at in zip(fact.awake, hours, strict=True)
    ]
    return [v.say("inject-plan-awake", hours=v.names(told))]


def night_plan(v: Voice, fact: NightPlan) -> list[str]:
    lines = (
        v.say("plan-line-about" if each.about else "plan-line", at=at, step=v.part(each.step, each.called))
        for each, at in zip(fact.times, v.times(each.at for each in fact.times), strict=True)
    )
    alarms = v.names(v.times(fact.alarms or (fact.alarm_at,)))
    return [v.say("plan-head"), *lines, v.say("plan-alarm", at=alarms)]


def strip_forecast(v: Voice, fact: StripForecast) -> list[str]:
    blocks = []
    if fact.echo:
        who = v.who(fact.tags) if fact.rest else ""
        blocks.append(v.say("injected-echo", at=v.time(fact.final_injection_at), who=who))
    if fact.rest:
        blocks.append(v.say("injected-rest", tags=v.names(fact.rest)))
    look = fact.next_look_at or fact.first_look_at
    most = (fact.most_from_at, fact.most_to_at)
    if fact.way == "stripped":
        at, most_from, most_to, latest = v.times((look, *most, fact.latest_at))
    else:  # in the order of the line: a day is named once
        most_from, most_to, at, latest = v.times((*most, look, fact.latest_at))
    window = v.say(
        f"strip-forecast-{fact.way}",
        going=yes(fact.next_look_at),
        look=at,
        most_from=most_from,
        most_to=most_to,
        latest=latest,
    )
    blocks += [window, water(v, fact.celsius, fact.celsius_source)]
    if fact.alarm_at is not None:
        blocks.append(v.say("forecast-alarm", at=v.time(fact.alarm_at)))
    return blocks + [v.say("forecast-rough")] * fact.wide


def water(v: Voice, celsius: float, source: WaterSource) -> str:
    return v.say(f"water-{source}", celsius=v.celsius(celsius))


def course(v: Voice, fact: Course) -> list[str]:
    """All shots together: so far, with what is to come, and the range."""
    given, coming, total = (v.amount(each) for each in (fact.given, fact.coming, fact.total_per_kg))
    values = {"given": given, "coming": coming, "total": total, "unit": v.unit(fact.unit)}
    span = {"low": v.amount(fact.low), "high": v.amount(fact.high), "who": v.who(fact.tags)}
    blocks = [v.say("course-to-come" if fact.coming else "course-over", **values, **span)]
    if fact.code:
        blocks.append(v.coded("course", fact.code))
    if fact.next_at is not None:
        blocks.append(v.say("next", at=v.time(fact.next_at), step=v.step(fact.next_step), who=""))
    return blocks


def outside(v: Voice, water: WaterOutside | None) -> list[str]:
    """Before an injection: which water gives no hours, which does, and what to do."""
    if water is None:
        return []
    low, high = water.resume_when
    span = {"low": v.celsius(low), "high": v.celsius(high)}
    return [v.coded("outside", water.why, celsius=v.celsius(water.celsius), **span)]


def doubt(v: Voice, told: CourseDoubt) -> str:
    """What speaks against a shot that is due."""
    return v.coded(
        "doubt",
        told.code,
        tag=told.tag,
        unit=v.unit(told.unit),
        low=v.amount(told.low),
        high=v.amount(told.high),
        given="" if told.given is None else v.amount(told.given),
        total="" if told.total is None else v.amount(told.total),
    )


def hold(v: Voice, fact: Hold) -> list[str]:
    if fact.before:
        return outside(v, WaterOutside(fact.why, fact.celsius, fact.resume_when))
    low, high = fact.resume_when
    span = {"low": v.celsius(low), "high": v.celsius(high)}
    if fact.ask_again_at is None:
        again = v.say("hold-tell", **span)
    else:
        again = v.say("hold-again", at=v.time(fact.ask_again_at), **span)
    lethal = fact.lethal_celsius
    deadly = "" if lethal is None else " " + v.say("hold-deadly", lethal=v.celsius(lethal))
    why = v.coded("hold", fact.why, celsius=v.celsius(fact.celsius), deadly=deadly)
    return [why, v.say("hold-meanwhile"), again]
