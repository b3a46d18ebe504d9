"""The season of a farm, counted again from the events of its file by plain sums: nothing of `core` or `bot`.

A second opinion for the numbers of every table and sheet. It knows the shapes of stored events and nothing of
how the house folds them.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable, Iterable
from datetime import datetime, timedelta, timezone
from pathlib import Path
from statistics import fmean
from typing import Any
from zoneinfo import ZoneInfo

Plain = dict[str, Any]


def season(path: Path, farm: int = 1) -> dict[int, Plain]:
    """Every run of a farm by its number: what `season.csv` should hold of it."""
    file = sqlite3.connect(f"file:{path}?mode=ro", uri=True)
    try:
        (settings,) = file.execute("SELECT settings FROM farms WHERE id = ?", (farm,)).fetchone()
        told = file.execute(
            "SELECT run, id, kind, at, body FROM events WHERE farm = ? AND run > 0 ORDER BY id", (farm,)
        ).fetchall()
    finally:
        file.close()
    runs: dict[int, list[Plain]] = {}
    zone = _zone(json.loads(settings))
    for run, number, kind, at, body in told:
        local = datetime.fromtimestamp(at / 1_000_000, zone).replace(microsecond=0)
        event = {**json.loads(body), "id": number, "at": local, "kind": kind}
        runs.setdefault(run, []).append(event)
    return {run: _row(_standing(events)) for run, events in runs.items()}


def _zone(settings: Plain) -> Any:
    name = settings.get("zone")
    return ZoneInfo(name) if name else timezone(timedelta(minutes=settings.get("offset_minutes") or 0))


def _standing(events: list[Plain]) -> list[Plain]:
    """Without what was taken back; the newest retraction is looked at first."""
    gone: set[int] = set()
    kept = []
    for event in reversed(events):
        if event["id"] in gone:
            continue
        if event["kind"] == "retracted":
            gone |= set(event["events"])
        else:
            kept.append(event)
    return kept[::-1]


def _of(events: Iterable[Plain], kind: str) -> list[Plain]:
    """The events of that kind, in order of happening."""
    return sorted(
        (each for each in events if each["kind"] == kind), key=lambda each: (each["at"], each["id"])
    )


def _row(events: list[Plain]) -> Plain:
    females = _females(events)
    needles, bowls = _of(events, "injected"), _of(events, "stripped")
    hours = [each["at"] for each in needles if each.get("hour_told", True)]
    emptied = [each["at"] for each in bowls if each.get("hour_told", True)]
    began = min([each["at"] for each in needles] or [each["at"] for each in _of(events, "opened")])
    water = [each["celsius"] for each in _of(events, "water") if each["source"] == "measured"]
    grams = [one["grams"] for each in bowls for one in each["eggs"]]
    shots = [_volume(each, tag, events) for each in needles for tag in each["tags"]]
    injected = {tag for each in needles for tag in each["tags"]} & set(females)
    injected_kg = sum(females[tag] for tag in injected)
    larvae = _larvae(events)
    given = [_volume(each, tag, events) for each in needles for tag in each["tags"] if tag in females]
    return {
        "date": began.date(),
        "females": len(females) or None,
        "female_kg": round(sum(females.values()), 6) if females else None,
        "females_injected": len(injected) or None,
        "injected_at": min(hours, default=None),
        "stripped_at": min(emptied, default=None),
        "dose_ml": round(sum(given), 6) if given and None not in given else None,
        "water_c": round(fmean(water), 2) if water else None,
        "eggs_g": round(sum(grams), 6) if grams and None not in grams else None,
        "fertilised_percent": _percent(events, "fertilised"),
        "hatched_percent": _percent(events, "hatched"),
        "larvae": larvae,
        "larvae_per_kg": round(larvae / injected_kg) if larvae is not None and injected_kg else None,
        "hormone_ml": round(sum(shots), 4) if shots and None not in shots else None,
        "sold_larvae": sum(each["larvae"] for each in _of(events, "sold")) or None,
    }


def _females(events: list[Plain]) -> dict[str, float]:
    """Kilos of each female at her newest weighing; told of a sex once is told."""
    kilos: dict[str, float] = {}
    sexes: dict[str, str | None] = {}
    for event in events:
        for fish in event.get("fish", []) if event["kind"] == "weighed" else []:
            kilos[fish["tag"]] = fish["kg"]
            sexes[fish["tag"]] = fish["sex"] or sexes.get(fish["tag"])
        for tag in event["tags"] if event["kind"] == "left-out" else []:
            kilos.pop(tag, None)
    return {tag: kg for tag, kg in kilos.items() if sexes[tag] == "f"}


def _volume(needle: Plain, tag: str, events: list[Plain]) -> float | None:
    """What one needle put into one fish: told to have gone in, else told, else drawn."""
    drawn = next((each["ml"] for each in needle["drawn"] if each["tag"] == tag), None)
    told: float | None = drawn if needle["ml"] is None else needle["ml"]
    for after in _of(events, "went-in"):
        if tag in after["tags"] and after["at"] >= needle["at"]:
            told = after["ml"] if after["share"] is None else round((drawn or told or 0) * after["share"], 4)
    return told


def _shares(events: list[Plain], stage: str) -> dict[str, tuple[float, str]]:
    """Of each bowl the share that was counted, and of what; jars of one bowl by their litres, else alike."""
    jars: dict[str, dict[str, Plain]] = {}
    for each in _of(events, "counted"):
        if each["stage"] == stage and (each["percent"] is not None or each["good"] is not None):
            of_bowl = jars.setdefault(each["batch"], {})
            if not each["place"]:
                of_bowl.clear()
            of_bowl.pop("", None)
            of_bowl[each["place"]] = each
    return {bowl: _together(events, list(counts.values())) for bowl, counts in jars.items()}


def _together(events: list[Plain], counts: list[Plain]) -> tuple[float, str]:
    litres = [_litres(events, lambda lot, jar=each["place"]: lot["place"] == jar) for each in counts]
    told = [
        each["percent"] if each["percent"] is not None else round(100 * each["good"] / each["total"], 1)
        for each in counts
    ]
    if len(told) > 1:
        told = [_mean(told, litres if all(litres) else [1.0] * len(told))]
    wholes = {each["of"] for each in counts}
    return told[0], wholes.pop() if len(wholes) == 1 else "unknown"


def _litres(events: list[Plain], wanted: Callable[[Plain], bool]) -> float:
    return sum(each["litres"] for each in _of(events, "collected") if wanted(each))


def _mean(numbers: list[float], weights: list[float]) -> float:
    return round(sum(n * w for n, w in zip(numbers, weights, strict=True)) / sum(weights), 1)


def _percent(events: list[Plain], stage: str) -> float | None:
    """Over the bowls: by their grams, or litres, where all are known, else each the same; of the commonest
    whole."""
    shares = _shares(events, stage)
    if not shares:
        return None
    wholes = [whole for _, whole in shares.values()]
    commonest = max(dict.fromkeys(wholes), key=wholes.count)
    same = {bowl: share for bowl, (share, whole) in shares.items() if whole == commonest}
    grams = [
        [one["grams"] for e in _of(events, "stripped") if e["batch"] == bowl for one in e["eggs"]]
        for bowl in same
    ]
    litres = [_litres(events, lambda lot, bowl=bowl: lot["batch"] == bowl) for bowl in same]
    weights = [1.0] * len(same)
    if all(each and all(each) for each in grams):
        weights = [sum(each) for each in grams]
    elif all(litres):
        weights = litres
    return _mean(list(same.values()), weights)


def _larvae(events: list[Plain]) -> float | None:
    told = {
        each["batch"]: each["larvae"] - (each["deformed"] or 0)
        for each in _of(events, "counted")
        if each["stage"] == "hatched" and each["larvae"] is not None
    }
    return round(sum(told.values())) if told else None
