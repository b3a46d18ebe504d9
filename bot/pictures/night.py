"""The picture of a night: the water, the windows of eggs and larvae, and what was done, by the hour."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from bot.pictures.paper import (
    BLUE,
    EDGE,
    GRID,
    INK,
    PALE_BLUE,
    PALE_RUST,
    PAPER,
    RUST,
    TALLEST,
    TITLE,
    WIDE,
    Paper,
    cut,
    label,
    lettered,
    marked,
    pixels,
    points,
    spread,
    wide,
)

LINE = 44
LEFT, RIGHT = 110, 50
ROW = 80
"""A window: its words and its bar."""
BAR = 30
WATER = (160, 340)
LABELLED = 56
"""Room for the degrees above the warmest reading and below the coldest."""
LEAST_DEGREES = 3.0
MARKERS = ("o", "s", "^", "D")
COLOURS = (BLUE, RUST, INK, BLUE)
LOOKS = {"eggs": (BLUE, PALE_BLUE, ""), "hatch": (RUST, PALE_RUST, "//")}
Facts = Mapping[str, Any]


def draw(facts: Facts, words: Facts) -> Paper:
    """The whole picture; `words` as `core.wording.pictures` writes them."""
    notes = [words[name] for name in ("assumed", "guessed", "on_hold") if words[name]]
    below = len(words["done"]) + bool(words["more"])
    signs = _places(facts, words)
    lines = signs[-1][0] + 1 if signs else 1
    rest = (
        EDGE + TITLE + 30 + LINE * (lines + len(notes)) + ROW * len(facts["windows"]) + 60 + 60 + LINE * below
    )
    water_tall = min(max(TALLEST - rest - EDGE, WATER[0]), WATER[1])
    paper = Paper(rest + water_tall + EDGE)
    paper.write(EDGE, EDGE, words["title"], tall=TITLE)
    top = EDGE + TITLE + 30
    paper.write(EDGE, top, words["water_head"])
    for line, left, number, face, said in signs:
        paper.sign(left, top + LINE * line, MARKERS[number], COLOURS[number], face)
        paper.write(left + 60, top + LINE * line, said)
    for line, note in enumerate(notes, lines):
        paper.write(EDGE, top + LINE * line, note)
    top += LINE * (lines + len(notes))
    begin, end = _span(facts)
    _water(paper, top, water_tall, facts, words)
    top += water_tall
    hours = paper.axes(LEFT, top, WIDE - LEFT - RIGHT, ROW * len(facts["windows"]) + 60)
    hours.set_xlim(begin, end)
    _windows(paper, hours, top, facts, words)
    _done_marks(hours, facts)
    _hours(hours, words)
    if facts["now_at"]:
        hours.axvline(when(facts["now_at"]), color=INK, linewidth=points(3), linestyle="--", zorder=1)
    paper.write(LEFT - 12, top + ROW * len(facts["windows"]) + 22, words["done_head"], ha="right")
    _list(paper, top + ROW * len(facts["windows"]) + 60 + 64, words)
    return paper


Sign = tuple[int, float, int, str, str]


def _places(facts: Facts, words: Facts) -> list[Sign]:
    """What stands for each of several places, with its newest water: on which line, how far to the right, the
    number of the place, what fills its sign, and the words."""
    newest = {each["place"]: n for n, each in enumerate(facts["water"])}
    names = list(dict.fromkeys(each["place"] for each in facts["water"]))[: len(MARKERS)]
    if len(names) < 2:
        return []
    line, left = 0, EDGE + wide(words["water_head"]) + 30
    found: list[Sign] = []
    for number, name in enumerate(names):
        n = newest[name]
        said = cut(f"{words['water'][n]}  {words['places'][n]}".rstrip(), WIDE - 2 * EDGE - 60)
        if left + 60 + wide(said) > WIDE - EDGE:
            line, left = line + 1, float(EDGE)
        face = PAPER if facts["water"][n]["source"] == "guessed" else COLOURS[number]
        found.append((line, left, number, face, said))
        left += 60 + wide(said) + 30
    return found


def _span(facts: Facts) -> tuple[float, float]:
    """The ends of the time that is shown, in seconds, with some room."""
    begin, end = when(facts["since"]), when(facts["until"])
    long = max(end - begin, 3600)
    return begin - long * 0.06, end + long * 0.04


def when(iso: str) -> float:
    return datetime.fromisoformat(iso).timestamp()


def _water(paper: Paper, top: float, tall: float, facts: Facts, words: Facts) -> None:
    above = 46 if facts["now_at"] else 14
    field = paper.axes(LEFT, top + above, WIDE - LEFT - RIGHT, tall - above - 20)
    field.set_xlim(*_span(facts))
    told = [each["celsius"] for each in facts["water"]]
    known = told or [facts["assumed_celsius"]]
    several = len({each["place"] for each in facts["water"]}) > 1
    free = tall - above - 20 - 2 * (20 if several else LABELLED)
    inner = (tall - above - 20) / free
    middle, half = (max(known) + min(known)) / 2, max((max(known) - min(known)) * inner, LEAST_DEGREES) / 2
    field.set_ylim(middle - half, middle + half)
    step = max(1, round(2 * half / 4))
    field.set_yticks(range(_up(middle - half), int(middle + half // 1) + 1, step))
    lettered(field.get_yticklabels())
    field.set_xticks([])
    field.yaxis.grid(visible=True, color=GRID, linewidth=points(1), linestyle=":")
    if not told:
        field.axhline(known[0], color=BLUE, linewidth=points(4), linestyle="--")
    _readings(field, facts, words)
    if facts["now_at"]:
        now = when(facts["now_at"])
        field.axvline(now, color=INK, linewidth=points(3), linestyle="--", zorder=1)
        label(field, now, field.get_ylim()[1], words["now"], xytext=(0, 18))


def _up(value: float) -> int:
    return int(-(-value // 1))


def _readings(field: Any, facts: Facts, words: Facts) -> None:
    """The water of each place, with the degrees where there is room for them."""
    water = facts["water"]
    places = list(dict.fromkeys(each["place"] for each in water))
    for number, place in enumerate(places):
        own = [n for n, each in enumerate(water) if each["place"] == place]
        at, celsius = [when(water[n]["at"]) for n in own], [water[n]["celsius"] for n in own]
        colour, marker = COLOURS[number % len(COLOURS)], MARKERS[number % len(MARKERS)]
        field.plot(at, celsius, color=colour, linewidth=points(4), zorder=2)
        for n, x, y in zip(own, at, celsius, strict=True):
            face = PAPER if water[n]["source"] == "guessed" else colour
            field.plot([x], [y], **marked(marker, colour, face, 20), zorder=3, gid=f"water-{n}")
        if len(places) == 1:
            _degrees(field, at, celsius, [words["water"][n] for n in own])


def _degrees(field: Any, at: Sequence[float], celsius: Sequence[float], said: Sequence[str]) -> None:
    """The coldest, the warmest, the last and the first reading carry their number, others standing alone."""
    moves = [-36 if each == min(celsius) < max(celsius) else 36 for each in celsius]
    lie = [(x, y + move) for (x, y), move in zip(pixels(field, at, celsius), moves, strict=True)]
    four = list(dict.fromkeys((celsius.index(min(celsius)), celsius.index(max(celsius)), len(at) - 1, 0)))
    kept = [four[n] for n in spread([lie[n] for n in four], (90, 50), ())]
    for n in kept + [n for n in range(len(at)) if n not in four]:
        alone = all(abs(lie[n][0] - x) >= 90 for other, (x, _) in enumerate(lie) if other != n)
        if n in kept or alone:
            label(field, at[n], celsius[n], said[n], xytext=(0, moves[n]))


def _windows(paper: Paper, field: Any, top: float, facts: Facts, words: Facts) -> None:
    """A row each: its words, below them the pale bar of all hours and the full one of the likeliest."""
    tall = ROW * len(facts["windows"]) + 60
    field.set_ylim(tall, 0)
    field.set_yticks([])
    field.spines["left"].set_visible(False)
    for number, (window, said) in enumerate(zip(facts["windows"], words["windows"], strict=True)):
        colour, pale, hatching = LOOKS[window["of"]]
        first, most, to, last = (
            when(window[name]) for name in ("earliest_at", "most_from_at", "most_to_at", "latest_at")
        )
        upper = ROW * number + LINE
        field.barh(
            upper + BAR / 2,
            last - first,
            left=first,
            height=BAR,
            facecolor=pale,
            edgecolor=colour,
            linewidth=points(3),
            gid=f"window-{number}",
        )
        field.barh(
            upper + BAR / 2,
            to - most,
            left=most,
            height=BAR,
            facecolor=colour,
            edgecolor=PAPER if hatching else colour,
            hatch=hatching,
            linewidth=0,
            gid=f"most-{number}",
        )
        _beside(paper, field, top, (first + last) / 2, upper, said)


def _beside(paper: Paper, field: Any, top: float, middle: float, upper: float, said: str) -> None:
    """The words of a bar above it, as near to its middle as the sheet allows."""
    centre = float(field.transData.transform((middle, 0.0))[0])
    said = cut(said, WIDE - 2 * EDGE)
    half = wide(said) / 2
    left = min(max(centre - half, EDGE), WIDE - EDGE - 2 * half)
    paper.write(left, top + upper - LINE + 8, said)


def _done_marks(field: Any, facts: Facts) -> None:
    """When something was done, upon the axis of the hours."""
    bottom = field.get_ylim()[0]
    for number, done in enumerate(facts["done"]):
        field.plot(
            [when(done["at"])],
            [bottom - 22],
            marker="|",
            markersize=points(40),
            color=INK,
            markeredgewidth=points(6),
            zorder=4,
            gid=f"done-{number}",
        )


def _hours(field: Any, words: Facts) -> None:
    ticks = [(when(at), said) for at, said in words["ticks"]]
    field.set_xticks([at for at, _ in ticks], [said for _, said in ticks])
    lettered(field.get_xticklabels())


def _list(paper: Paper, top: float, words: Facts) -> None:
    """The hours and what was done then, one under the other."""
    done: Sequence[Sequence[str]] = words["done"]
    column = max((wide(hour) for hour, _ in done), default=0.0)
    for number, (hour, said) in enumerate(done):
        paper.write(EDGE + column, top + LINE * number, hour, ha="right")
        paper.write(EDGE + column + 24, top + LINE * number, said)
    if words["more"]:
        paper.write(EDGE + column + 24, top + LINE * len(done), words["more"])
