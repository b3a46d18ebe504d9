"""Every number of a picture once more, from what was said, by a way of its own: nothing of core is imported.

`python -m tests.pictures_again SCRIPT TRANSCRIPT` compares the facts that pictures were drawn from, as `play`
printed them, with what the words of the script come to, and prints what differs. It understands the few
sentences of tests/nights/pictures.jsonl. Windows are summed minute by minute from the card's own figures.
"""

from __future__ import annotations

import functools
import json
import math
import re
import sys
import tomllib
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from scipy.stats import binomtest

CARD = Path(__file__).resolve().parent.parent / "core/data/african-catfish.toml"
QUARTER = timedelta(minutes=15)
MINUTE = timedelta(minutes=1)
Told = list[tuple[datetime, str]]


def runs_of(script: Path) -> list[Told]:
    """What was said, run by run: each begins with weights."""
    runs: list[Told] = []
    for line in map(json.loads, script.read_text("utf-8").splitlines()):
        if "text" not in line:
            continue
        if line["text"].startswith("catfish"):
            runs.append([])
        runs[-1].append((datetime.fromisoformat(line["at"]), line["text"]))
    return runs


def injected_at(run: Told) -> datetime | None:
    for at, text in run:
        if found := re.fullmatch(r"injected (\d\d):(\d\d)", text):
            return at.replace(hour=int(found[1]), minute=int(found[2]))
    return None


def water(run: Told) -> Told:
    return [(at, text.split()[1]) for at, text in run if re.fullmatch(r"water [\d.]+", text)]


def deeds(run: Told) -> Iterator[tuple[datetime, str, float | None]]:
    """Hour, kind and number of each deed, in order."""
    for at, text in run:
        count = re.match(r"(\d+) of (\d+)", text)
        if text.startswith("injected"):
            yield injected_at(run) or at, "injected", None
        elif "eggs run" in text:
            yield at, "eggs-run", None
        elif found := re.search(r"(\d+) g\b", text):
            yield at, "stripped", float(found[1])
        elif text == "milt on":
            yield at, "fertilise", None
        elif text.endswith("none"):
            yield at, "none", None
        elif count:
            kind = "fertilised" if text.endswith("fertilised") else "hatched"
            yield at, kind, round(100 * int(count[1]) / int(count[2]), 1)
        elif found := re.match(r"(\d+) percent", text):
            yield at, "hatched", float(found[1])


# Windows, minute by minute --------------------------------------------------------------------------------


def celsius(at: datetime, told: list[tuple[datetime, float]], assumed: float) -> float:
    """Straight between readings; after the last as at that hour of the day before, else as the last."""
    if not told:
        return assumed
    (first, held), (last, newest) = told[0], told[-1]
    while at > last:
        at -= timedelta(days=1)
        if at < first:
            return newest
    if at <= first:
        return held
    place = next(n for n, (when, _) in enumerate(told) if when >= at)
    (before, low), (after, high) = told[place - 1], told[place]
    return low + (high - low) * ((at - before) / (after - before))


@functools.cache
def the_card() -> dict[str, Any]:
    return tomllib.loads(CARD.read_text("utf-8"))


def number(text: str) -> float:
    return float(text.split()[0])


def window(curve: dict[str, Any], start: datetime, told: list[tuple[datetime, float]]) -> dict[str, datetime]:
    """When each factor of the curve is reached."""
    card = the_card()
    assumed = (number(card["best_celsius"]["low"]) + number(card["best_celsius"]["high"])) / 2
    zero, whole = number(curve["zero_celsius"]), number(curve["degree_hours"])
    names = ["earliest", "most_from", "likely", "most_to", "latest"]
    reached: dict[str, datetime] = {}
    at, done = start, 0.0
    while names:
        middle = celsius(at + MINUTE / 2, told, assumed)
        done += (middle - zero) / whole / 60
        at += MINUTE
        while names and done >= curve[names[0]]:
            reached[names.pop(0)] = at
    return reached


def is_quarter_of(shown: str, reached: datetime, *, late: bool) -> bool:
    """Whether an hour is the quarter before what was reached, or for `late` ones the one after."""
    at = datetime.fromisoformat(shown)
    gap = at - reached if late else reached - at
    return at.minute % 15 == 0 and -2 * MINUTE <= gap <= QUARTER + 2 * MINUTE


def curves() -> dict[str, dict[str, Any]]:
    card = the_card()
    (strip,) = [each for each in card["strip"] if (each["preparation"], each["shots"]) == ("premix", 1)]
    return {"eggs": strip, "hatch": card["hatch"]}


# Comparing ------------------------------------------------------------------------------------------------


def differences(script: Path, transcript: list[dict[str, Any]]) -> Iterator[str]:
    """What is not as it was said, a line each."""
    for line in transcript:
        if line["kind"] == "night-picture":
            yield from _night(runs_of(script), line)
        elif line["kind"] == "season-picture":
            yield from _season(runs_of(script), line)


def _night(runs: list[Told], line: dict[str, Any]) -> Iterator[str]:
    facts, asked = line["facts"], datetime.fromisoformat(line["at"])
    (run,) = [each for each in runs if (at := injected_at(each)) and at.date().isoformat() == facts["date"]]
    run = [(at, text) for at, text in run if at <= asked]
    told = [(at, float(text)) for at, text in water(run)]
    shown = [(datetime.fromisoformat(each["at"]), each["celsius"]) for each in facts["water"]]
    if shown != told:
        yield f"{asked}: water {shown}, told {told}"
    done = [(datetime.fromisoformat(each["at"]), each["what"], each["number"]) for each in facts["done"]]
    if done != list(deeds(run)):
        yield f"{asked}: done {done}, told {list(deeds(run))}"
    starts = {"eggs": injected_at(run), "hatch": next((at for at, text in run if text == "milt on"), None)}
    if [each["of"] for each in facts["windows"]] != [of for of, start in starts.items() if start]:
        yield f"{asked}: windows {facts['windows']}"
    for each in facts["windows"]:
        start = starts[each["of"]]
        assert start is not None
        for name, reached in window(curves()[each["of"]], start, told).items():
            late = name in ("most_to", "latest")
            if not is_quarter_of(each[f"{name}_at"], reached, late=late):
                yield f"{asked}: {each['of']} {name} {each[f'{name}_at']}, summed {reached}"


def _season(runs: list[Told], line: dict[str, Any]) -> Iterator[str]:
    facts, asked = line["facts"], datetime.fromisoformat(line["at"])
    known = [run for run in runs if (at := injected_at(run)) and at <= asked]
    counted = [run for run in known if any(what == "hatched" for _, what, _ in deeds(run))]
    if (facts["runs"], facts["counted"], len(facts["shown"])) != (len(known), len(counted), len(known)):
        yield f"{asked}: {facts['counted']} of {facts['runs']}, told {len(counted)} of {len(known)}"
    for run, shown in zip(known, facts["shown"], strict=True):
        yield from _run(run, shown)


def _run(run: Told, shown: dict[str, Any]) -> Iterator[str]:
    begun = injected_at(run)
    hatched = [(share, text) for _, text, what, share in _with_words(run) if what == "hatched"]
    expected = hatched[-1][0] if hatched else None
    if begun is None or shown["date"] != begun.date().isoformat() or shown["percent"] != expected:
        yield f"{shown}: told {begun} {expected}"
        return
    count = re.match(r"(\d+) of (\d+)", hatched[-1][1]) if hatched else None
    if count is None:
        if (shown["low"], shown["high"]) != (None, None):
            yield f"{shown}: a doubt that nobody can know"
        return
    doubt = binomtest(int(count[1]), int(count[2])).proportion_ci(0.95, method="wilson")
    if abs(shown["low"] - 100 * doubt.low) > 0.51 or abs(shown["high"] - 100 * doubt.high) > 0.51:
        yield f"{shown}: doubt {100 * doubt.low:.1f}-{100 * doubt.high:.1f}"
    if (shown["of"] == "fertilised") != ("good" in hatched[-1][1]) or not math.isfinite(shown["percent"]):
        yield f"{shown}: of other eggs"


def _with_words(run: Told) -> Iterator[tuple[datetime, str, str, float | None]]:
    words = dict(run)
    for at, what, share in deeds(run):
        yield at, words.get(at, ""), what, share


if __name__ == "__main__":
    _, script_name, transcript_name = sys.argv
    lines = [json.loads(line) for line in Path(transcript_name).read_text("utf-8").splitlines()]
    found = list(differences(Path(script_name), lines))
    print(*found, f"{len(found)} differences", sep="\n")
    sys.exit(bool(found))
