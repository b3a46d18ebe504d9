"""Words for doses, the proposed hour, the night's plan and the window."""

from __future__ import annotations

from core.dosing import DoseLine, DoseShot
from core.records import WaterSource
from core.replies import DoseSheet, Hold, InjectPlan, NightPlan, StripForecast
from core.wording.voice import Voice, opening, yes

SAID_IN_THE_LINES = ("male-optional", "strength-assumed")


def dose_sheet(v: Voice, fact: DoseSheet) -> list[str]:
    blocks = [_head(v, fact), *(dose_line(v, line, _optional(fact, line)) for line in fact.fish)]
    if fact.total_ml is not None and fact.draw_ml is not None:
        blocks.append(v.say("dose-total", total=v.number(fact.total_ml), draw=v.number(fact.draw_ml)))
    marks = {"syringe": v.number(fact.syringe_ml), "graduation": v.number(fact.graduation_ml)}
    told = (code for code in fact.warnings if code not in SAID_IN_THE_LINES)
    return blocks + [v.coded("warning", code, **marks) for code in told]


def _head(v: Voice, fact: DoseSheet) -> str:
    species = opening(v.species(fact.species))
    if fact.strength is None:
        return v.say("dose-head-plain", species=species, preparation=v.preparation(fact.preparation))
    per_kg = "" if fact.ml_per_kg is None else " " + v.say("dose-per-kg", ml=v.number(fact.ml_per_kg))
    return v.say(
        "dose-head",
        species=species,
        strength=v.strength(fact.strength),
        per_kg=per_kg,
        assumed=yes(fact.strength_assumed),
    )


def _optional(fact: DoseSheet, line: DoseLine) -> bool:
    return line.sex == "m" and "male-optional" in fact.warnings


def dose_line(v: Voice, line: DoseLine, optional: bool = False) -> str:
    """The whole scheme of one fish: "F1 2.4 kg: 1.2 mL"."""
    dose = _scheme(v, line)
    if not dose:
        return v.say("dose-line-none", tag=line.tag, kg=v.kg(line.kg))
    name = "dose-line-optional" if optional else "dose-line"
    return v.say(name, tag=line.tag, kg=v.kg(line.kg), dose=dose)


def step_line(v: Voice, line: DoseLine, priming: bool) -> str:
    """What to draw for one fish at this injection."""
    shots = tuple(shot for shot in line.shots if (shot.role == "priming") is priming)
    ml = line.priming_ml if priming else line.final_ml
    dose = " ".join(_shot_ml(v, shot) for shot in shots if shot.ml is not None) if len(shots) == 1 else ""
    dose = dose or _ml(v, ml, None) or _amounts(v, shots)
    if not dose:
        return v.say("dose-line-none", tag=line.tag, kg=v.kg(line.kg))
    return v.say("dose-line", tag=line.tag, kg=v.kg(line.kg), dose=dose)


def _scheme(v: Voice, line: DoseLine) -> str:
    """All shots of a fish: "first 0.1 mL, then 1.1 mL"."""
    shots = [shot for shot in line.shots if shot.ml is not None]
    if len(shots) > 2:
        return _plus(v, [_shot_ml(v, shot) for shot in shots])
    if len(shots) == 2:
        return v.say("dose-two", first=_shot_ml(v, shots[0]), final=_shot_ml(v, shots[1]))
    final = _ml(v, line.final_ml, line.drawn_ml if line.priming_ml is None else None)
    if final and line.priming_ml is not None:
        return v.say("dose-two", first=_ml(v, line.priming_ml, None), final=final)
    return final or _amounts(v, line.shots)


def _shot_ml(v: Voice, shot: DoseShot) -> str:
    return _ml(v, shot.ml, shot.drawn_ml)


def _ml(v: Voice, ml: float | None, drawn: float | None) -> str:
    """What to draw stands first; what was calculated beside it, where the syringe cannot show it."""
    if ml is None:
        return ""
    if drawn is None or v.number(drawn) == v.number(ml):
        return v.say("dose-ml", ml=v.number(ml))
    return v.say("dose-ml-drawn", ml=v.number(ml), drawn=v.number(drawn))


def _amounts(v: Voice, shots: tuple[DoseShot, ...]) -> str:
    """Active substance, where no millilitres are known: one number a shot."""
    known = [shot for shot in shots if shot.amount is not None]
    parts = [
        v.say("amount", amount=v.number(shot.amount), unit=v.unit(shot.unit))
        for shot in known
        if shot.amount is not None
    ]
    return _plus(v, parts)


def _plus(v: Voice, parts: list[str]) -> str:
    text = ""
    for part in parts:
        text = v.say("plus", before=text, last=part) if text else part
    return text


def inject_plan(v: Voice, fact: InjectPlan) -> list[str]:
    look, most_from, most_to = v.times((fact.first_look_at, fact.most_from_at, fact.most_to_at))
    return [
        v.say(
            f"inject-plan-{fact.way}",
            prime=""
            if fact.priming_at is None
            else v.say("inject-plan-prime", at=v.time(fact.priming_at)) + " ",
            at=v.time(fact.final_at),
            look=look,
            most_from=most_from,
            most_to=most_to,
        )
    ]


def night_plan(v: Voice, fact: NightPlan) -> list[str]:
    lines = (
        v.say("plan-line-about" if each.about else "plan-line", at=at, step=v.part(each.step, each.called))
        for each, at in zip(fact.times, v.times(each.at for each in fact.times), strict=True)
    )
    return [v.say("plan-head"), *lines, v.say("plan-alarm", at=v.time(fact.alarm_at))]


def strip_forecast(v: Voice, fact: StripForecast) -> list[str]:
    blocks = []
    if fact.echo:
        who = v.who(fact.tags) if fact.rest else ""
        blocks.append(v.say("injected-echo", at=v.time(fact.final_injection_at), who=who))
    if fact.rest:
        blocks.append(v.say("injected-rest", tags=v.names(fact.rest)))
    hours = (fact.first_look_at, fact.most_from_at, fact.most_to_at, fact.latest_at)
    look, most_from, most_to, latest = v.times(hours)
    window = v.say(
        f"strip-forecast-{fact.way}",
        look=look,
        most_from=most_from,
        most_to=most_to,
        latest=latest,
    )
    blocks += [window, water(v, fact.celsius, fact.celsius_source)]
    return blocks + [v.say("forecast-rough")] * fact.wide


def water(v: Voice, celsius: float, source: WaterSource) -> str:
    return v.say(f"water-{source}", celsius=v.celsius(celsius))


def hold(v: Voice, fact: Hold) -> list[str]:
    low, high = fact.resume_when
    return [
        v.coded("hold", fact.why, celsius=v.celsius(fact.celsius)),
        v.say("hold-meanwhile"),
        v.say("hold-again", at=v.time(fact.ask_again_at), low=v.celsius(low), high=v.celsius(high)),
    ]
