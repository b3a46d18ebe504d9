"""Words for pictures: what is said with one, and the few words on it.

A picture's words stand in a plain mapping, lists in the order of those of the fact, so that whoever draws it
needs nothing else. Beside the reader's words stand the same in English without a name, for letters that a
font has not.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Mapping
from datetime import datetime, timedelta
from typing import Any

from core.replies import DoneShown, NightPicture, RunShown, SeasonPicture, WindowShown
from core.wording.voice import Voice, opening

STEPS = ((9, 2), (20, 3), (40, 6), (80, 12), (200, 24), (float("inf"), 48))
"""Up to so many hours in a picture, a word under its axis each so many hours."""
MOST_TAGS = 4
PERCENTS = (0, 25, 50, 75, 100)
OF = ("all", "fertilised", "unknown")
COUNTED = ("fertilised", "hatched")
STEPS_SHOWN = (
    *("fertilise", "spread", "destick", "swell", "load", "disinfect", "rinse"),
    *("remove-brood", "collect-eggs", "check-fertilised"),
)
NAMED = ("priming", "injected", "eggs-run", "none", "died")


# With the picture -----------------------------------------------------------------------------------------


def night(v: Voice, fact: NightPicture) -> list[str]:
    """What a night's picture shows, in short."""
    seen = _of_that_night(v, fact)
    blocks = [v.say("night-picture", species=v.species(fact.species), day=v.iso_day(fact.date))]
    if fact.assumed_celsius is not None:
        blocks.append(v.say("night-picture-assumed", celsius=v.celsius(fact.assumed_celsius)))
    else:
        told = [each.celsius for each in fact.water]
        ends = {"low": v.celsius(min(told)), "high": v.celsius(max(told))}
        name = "night-picture-water-one" if ends["low"] == ends["high"] else "night-picture-water"
        blocks.append(v.say(name, **ends))
    blocks += [opening(_window(seen, each, names=True)) + "." for each in fact.windows]
    return [*blocks, v.say("night-picture-hold")] if fact.on_hold else blocks


def season(v: Voice, fact: SeasonPicture) -> list[str]:
    """What a season's picture shows, in short."""
    told = [each.percent for each in fact.shown if each.percent is not None]
    ends = {"low": v.percent(min(told), counted=False), "high": v.percent(max(told), counted=False)}
    named = {"species": v.species(fact.species), "period": v.coded("period", fact.period)}
    runs = {"runs": v.whole(fact.runs), "counted": v.whole(fact.counted)}
    blocks = [v.say("season-picture", **named, **runs, **ends)]
    if fact.mean_percent is not None:
        blocks.append(v.say("season-picture-mean", percent=v.percent(fact.mean_percent, counted=False)))
    if any(each.low is not None for each in fact.shown):
        blocks.append(v.say("season-picture-doubt"))
    return blocks


# On the picture -------------------------------------------------------------------------------------------


def letters(v: Voice, fact: NightPicture | SeasonPicture, *, names: bool) -> Mapping[str, Any]:
    """Every word on a picture; with `names` those that people gave."""
    if isinstance(fact, NightPicture):
        return _night_letters(_of_that_night(v, fact), fact, names)
    return _season_letters(v, fact)


def _of_that_night(v: Voice, fact: NightPicture) -> Voice:
    """Hours as they are said in that night, whenever it is looked at."""
    return dataclasses.replace(v, now=fact.since)


def _night_letters(v: Voice, fact: NightPicture, names: bool) -> dict[str, Any]:
    called = v.called(fact.called) if names and fact.called else v.species(fact.species)
    hours = v.times(each.at for each in fact.done)
    assumed = fact.assumed_celsius
    return {
        "title": v.say("shown-title", called=opening(called), day=v.iso_day(fact.date)),
        "water_head": v.say("shown-water"),
        "water": [v.celsius(each.celsius) for each in fact.water],
        "places": [each.place if names else "" for each in fact.water],
        "assumed": "" if assumed is None else v.say("shown-assumed", celsius=v.celsius(assumed)),
        "guessed": v.say("shown-guessed") if any(each.source == "guessed" for each in fact.water) else "",
        "windows": [opening(_window(v, each, names=names)) for each in fact.windows],
        "on_hold": v.say("shown-hold") if fact.on_hold else "",
        "done": [[hour, _done(v, each, names)] for hour, each in zip(hours, fact.done, strict=True)],
        "done_head": v.say("shown-done"),
        "more": v.say("shown-more", number=v.whole(fact.more)) if fact.more else "",
        "now": v.say("shown-now"),
        "ticks": [[at.isoformat(), said] for at, said in _ticks(v, fact.since, fact.until)],
    }


def _window(v: Voice, window: WindowShown, *, names: bool) -> str:
    hours = v.times((window.most_from_at, window.most_to_at))
    part = f" ({window.called})" if window.called and names else ""
    return v.coded("shown-window", window.of, part=part, begin=hours[0], end=hours[1])


def _done(v: Voice, done: DoneShown, names: bool) -> str:
    number = "" if done.number is None else v.number(done.number, 1)
    if done.what in COUNTED and done.number is not None:
        number = v.percent(done.number, counted=True)
    elif done.what == "larvae" and done.number is not None:
        number = v.about(done.number)
    who = _who(v, done.tags, names) or (f" ({done.called})" if names and done.called else "")
    if done.what == "stripped":
        grams = "" if done.number is None else v.say("shown-grams", number=v.whole(done.number))
        return v.say("shown-stripped", who=who, grams=grams)
    if done.what in (*NAMED, *COUNTED, "larvae", "spawned", "collected"):
        return v.coded("shown", done.what, who=who, number=number)
    return (v.coded("shown", done.what) if done.what in STEPS_SHOWN else v.step(done.what)) + who


def _who(v: Voice, tags: tuple[str, ...], names: bool) -> str:
    """The fish by their names, or how many they are."""
    if not tags or (not names and len(tags) == 1):
        return ""
    if names and len(tags) <= MOST_TAGS:
        return v.who(tags)
    return " " + v.say("shown-fish", number=v.whole(len(tags)))


def _ticks(v: Voice, since: datetime, until: datetime) -> Iterator[tuple[datetime, str]]:
    """Whole hours of the farm's clock, the day named at midnight."""
    span = (until - since) / timedelta(hours=1)
    step = next(hours for most, hours in STEPS if span <= most)
    at = since.astimezone(v.zone).replace(hour=0, minute=0, second=0, microsecond=0)
    while at <= until:
        if at >= since:
            yield at, v.day(at.date()) if at.hour == 0 else v.time(at, at)
        at = (at + timedelta(hours=step)).replace(fold=0)


def _season_letters(v: Voice, fact: SeasonPicture) -> dict[str, Any]:
    runs = {"runs": v.whole(fact.runs), "counted": v.whole(fact.counted)}
    mean = fact.mean_percent
    shown = fact.shown
    kinds = [kind for kind in OF if any(each.of == kind and each.percent is not None for each in shown)]
    whys = list(dict.fromkeys(each.why for each in shown if each.why))
    newest = len(shown) < fact.runs
    return {
        "title": v.say("shown-season", species=v.species(fact.species)),
        "under": v.say("shown-runs", **runs),
        "newest": v.say("shown-newest", number=v.whole(len(shown))) if newest else "",
        "percents": [[each, v.say("share", percent=v.whole(each))] for each in PERCENTS],
        "runs": [[v.iso_day(each.date), _percent(v, each)] for each in shown],
        "mean": "" if mean is None else v.say("shown-mean", percent=v.percent(mean, counted=True)),
        "of": {kind: v.coded("shown-of", kind) for kind in kinds},
        "why": {why: v.coded("shown-why", why) for why in whys},
        "doubt": v.say("shown-doubt") if any(each.low is not None for each in shown) else "",
    }


def _percent(v: Voice, run: RunShown) -> str:
    return "" if run.percent is None else v.percent(run.percent, counted=True)
