"""Words on buttons, and for readings that were not certain enough to act on."""

from __future__ import annotations

import dataclasses
import unicodedata
from datetime import datetime

from core.commands import (
    Basis,
    Bath,
    Collect,
    Correction,
    Death,
    EggCount,
    EggsRunning,
    EggsTold,
    Fertilised,
    Hatched,
    Injection,
    Label,
    LarvaeCount,
    LeftOut,
    Pick,
    Reading,
    SetMeasure,
    Snooze,
    StepSaid,
    Strip,
    Temperature,
    Weigh,
    Weighed,
    Zone,
)
from core.crew import HandOver, OnDuty, PrivateBells, Remove, SwitchFarm
from core.records import Strength
from core.replies import Button
from core.wording.texts import Value
from core.wording.voice import Tongue, Voice

LABEL = tuple(part.name for part in dataclasses.fields(Strength))


def label(v: Voice, button: Button) -> str:
    if isinstance(button.command, Pick) and button.label == "candidate":
        return describe(v, button.command.said)
    told = dict(button.args)
    if isinstance(button.command, Snooze):
        told.setdefault("minutes", button.command.minutes)
    values: dict[str, Value] = {name: _value(v, name, value) for name, value in told.items()}
    label = {name: value for name in LABEL if isinstance(value := told.get(name), int | float)}
    if label:
        values["strength"] = v.strength(Strength(**label))
    of_several = button.label == "step" and values.get("called")
    return v.coded("button", "step-of" if of_several else button.label, **values)


def _value(v: Voice, name: str, value: str | float | datetime) -> str:
    if isinstance(value, datetime):
        return v.time(value)
    if isinstance(value, str):
        return _named(v, name, value)
    return v.number(value)


def _named(v: Voice, name: str, value: str) -> str:
    if name == "species":
        return v.species(value)
    if name == "step":
        return v.step(value)
    if name == "preparation":
        return v.preparation(value)
    return v.called(value) if name == "called" else value


def describe(t: Tongue, said: Reading) -> str:
    """A reading in a few words, to be tapped: "2.6 kg", "tag F2, 6 kg"."""
    match said:
        case Correction():
            return t.say("describe-correction", what=describe(t, said.what))
        case Weigh() if said.fish:
            return t.names(_weight(t, fish) for fish in said.fish)
        case Temperature(celsius=float() | int() as celsius):
            return t.say("describe-water", celsius=t.celsius(celsius))
        case Injection():
            return _injection(t, said)
        case Strip() if said.eggs or said.not_ready or said.none:
            return _eggs(t, said)
        case EggCount():
            return t.say("describe-egg-count", number=t.whole(said.eggs_per_gram))
        case Basis():
            return t.coded("button-basis", said.basis)
        case Death(tags=(_, *_)):
            return t.say("describe-died", tags=t.names(said.tags))
        case LeftOut() | EggsRunning(tags=(_, *_)):
            return t.coded("describe", said.kind, tags=t.names(said.tags))
        case _:
            return _figure(t, said)


def _figure(t: Tongue, said: Reading) -> str:
    match said:
        case StepSaid():
            return t.say("describe-step-said", step=t.coded("step", said.step))
        case Snooze():
            return t.say("describe-snooze", minutes=t.whole(said.minutes))
        case Zone(clock=str() as clock):
            return t.say("describe-clock", clock=clock)
        case Label(ug_per_ml=float(), mg_per_ml=float()):
            return t.say("describe-label", strength=t.strength(Strength(said.ug_per_ml, said.mg_per_ml)))
        case Fertilised() | Hatched():
            return _count(t, said)
        case LarvaeCount():
            return _larvae(t, said)
        case SetMeasure(larvae=float() | int() as larvae):
            return t.coded("measure", said.of, larvae=t.number(larvae, 1))
        case Bath():
            return _bath(t, said)
        case Collect(litres=float() | int() as litres):
            return t.say("describe-collected", litres=t.number(litres))
        case _:
            return _of_crew(t, said)


def _of_crew(t: Tongue, said: Reading) -> str:
    match said:
        case Remove(name=str() as name):
            return t.say("describe-remove", name=name)
        case HandOver(name=str() as name):
            return t.say("describe-hand-over", name=name)
        case SwitchFarm(name=str() as name):
            return t.say("describe-switch-farm", name=name)
        case OnDuty(everybody=True):
            return t.say("describe-on-duty-everybody")
        case OnDuty(names=(), me=True):
            return t.say("describe-on-duty-me")
        case OnDuty(names=[_, *_]):
            people = (*said.names, t.say("describe-me")) if said.me else said.names
            return t.say("describe-on-duty", names=t.names(people))
        case PrivateBells(wanted=False):
            return t.say("describe-private-bells-off")
        case _:
            return t.coded("describe-act", said.kind)


def _larvae(t: Tongue, said: LarvaeCount) -> str:
    if said.larvae is not None:
        return t.say("describe-larvae", larvae=t.whole(said.larvae))
    if said.measured is not None:
        measured = said.measured
        each = "" if measured.each is None else " " + t.say("describe-each", each=t.whole(measured.each))
        return t.coded("describe-by", measured.of, amount=t.number(measured.amount), each=each)
    if said.counts:
        return t.say("describe-cups", counts=t.names(t.whole(each) for each in said.counts))
    return t.coded("describe-act", said.kind)


def _count(t: Tongue, said: Fertilised | Hatched) -> str:
    what = t.coded("describe-what", said.kind)
    if said.good is not None and said.total is not None:
        return t.say("describe-count", good=t.whole(said.good), total=t.whole(said.total), what=what)
    if said.percent is not None:
        return t.say("describe-percent", percent=t.number(said.percent, 1), what=what)
    if isinstance(said, Hatched) and said.larvae is not None:
        return t.say("describe-larvae", larvae=t.whole(said.larvae))
    return t.coded("describe-act", said.kind)


def _weight(t: Tongue, fish: Weighed) -> str:
    """A tag says enough of the sex, where there is a weight."""
    kg = "" if fish.kg is None else t.kg(fish.kg)
    known = [fish.tag and "tag", fish.sex and not (fish.tag and kg) and "sex", kg and "kg"]
    name = "-".join(["describe", *(part for part in known if part)]) if any(known) else "describe-fish"
    return t.say(name, tag=fish.tag or "", sex=fish.sex or "", kg=kg)


def _injection(t: Tongue, act: Injection) -> str:
    tags = t.who(act.tags)
    if act.per_kg is not None:
        dose = t.say("amount", amount=t.number(act.per_kg), unit=t.unit(act.unit or ""))
        return t.say("describe-injected-per-kg", dose=dose, who=tags)
    if act.at is not None:
        return t.say("describe-injected-at", at=act.at, who=tags)
    if act.minutes_ago is not None:
        return t.say("describe-injected-ago", minutes=t.whole(act.minutes_ago), who=tags)
    return t.say("describe-injected", who=tags)


def _eggs(t: Tongue, act: Strip) -> str:
    told = [_eggs_of(t, each) for each in act.eggs]
    told += [t.say("describe-not-ready", tag=tag or t.say("the-rest")) for tag in act.not_ready]
    told += [t.say("describe-none", tag=tag or t.say("the-rest")) for tag in act.none]
    return t.names(told)


def _eggs_of(t: Tongue, eggs: EggsTold) -> str:
    tag = "" if eggs.tag is None else eggs.tag + " "
    look = "" if eggs.quality is None else t.say("eggs-quality", quality=t.coded("quality", eggs.quality))
    if eggs.grams is None:
        return t.say("describe-eggs", tag=tag) + look
    return t.say("describe-eggs-grams", tag=tag, grams=t.number(eggs.grams, 1)) + look


def _bath(t: Tongue, act: Bath) -> str:
    parts = [t.coded("describe-act", act.kind)]
    if act.ppm is not None:
        parts.append(t.say("describe-ppm", ppm=t.number(act.ppm)))
    if act.litres is not None:
        parts.append(t.say("describe-litres", litres=t.number(act.litres)))
    return t.names(parts)


def presses(t: Tongue, text: str, action: str, label: str) -> bool:
    """The label as it stands, or a word for its action: "later" for any later, "ok" for yes."""
    typed = _plain(text)
    if not typed:
        return False
    names = {f"typed-{action.partition(':')[0]}", f"typed-{action.replace(':', '-')}"}
    words = [word for name in names if t.texts.has(name) for word in t.say(name).split(",")]
    return typed == _plain(label) or typed in map(_plain, words)


def _plain(text: str) -> str:
    """Its words without signs; where there is no word, its signs that are pictures, each once."""
    words = " ".join("".join(c if c.isalnum() else " " for c in text.casefold()).split())
    return words or "".join(dict.fromkeys(c for c in text if unicodedata.category(c) == "So"))
