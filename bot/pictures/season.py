"""The picture of a season: the hatch rate of each run with the doubt of its count."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from bot.pictures.paper import (
    BLUE,
    EDGE,
    GRID,
    INK,
    PAPER,
    RUST,
    TITLE,
    WIDE,
    Paper,
    label,
    lettered,
    marked,
    pixels,
    points,
    spread,
)

LINE = 46
LEFT, RIGHT = 146, 60
PLOT, STRIP, DATES = 560, 70, 60
MOST_NUMBERED = 12
"""With more runs, only the best, the worst and the newest carry their number."""
DATE_WIDE = 132
LOOKS = {"all": (BLUE, "o", BLUE), "fertilised": (RUST, "s", RUST), "unknown": (INK, "D", PAPER)}
"""Of what was counted: colour, marker, and what fills it."""
TOP = 112
"""Percent: room for a number above a full hundred."""
Facts = Mapping[str, Any]


def draw(facts: Facts, words: Facts) -> Paper:
    """The whole picture; `words` as `core.wording.pictures` writes them."""
    runs = facts["shown"]
    lacking = any(each["percent"] is None for each in runs)
    legend = _legend(words)
    under = [words["under"] + (f", {words['newest']}" if words["newest"] else "")]
    head = EDGE + TITLE + 24 + LINE * (len(under) + bool(words["mean"])) + 16
    tall = head + PLOT + STRIP * lacking + DATES + 24 + LINE * len(legend) + EDGE
    paper = Paper(tall)
    paper.write(EDGE, EDGE, words["title"], tall=TITLE)
    for number, line in enumerate(under):
        paper.write(EDGE, EDGE + TITLE + 24 + LINE * number, line)
    if words["mean"]:
        paper.write(EDGE + 90, EDGE + TITLE + 24 + LINE * len(under), words["mean"])
        _sample_line(paper, EDGE + TITLE + 24 + LINE * len(under))
    field = paper.axes(LEFT, head, WIDE - LEFT - RIGHT, PLOT)
    _scale(field, facts, words)
    _rates(field, facts, words)
    strip = field
    if lacking:
        strip = paper.axes(LEFT, head + PLOT, WIDE - LEFT - RIGHT, STRIP)
        _without(strip, field, facts)
        field.set_xticks([])
    _dates(strip, facts, words)
    _write_legend(paper, tall - EDGE - LINE * len(legend), legend)
    return paper


def _scale(field: Any, facts: Facts, words: Facts) -> None:
    field.set_xlim(-0.7, len(facts["shown"]) - 0.3)
    field.set_ylim(0, TOP)
    field.set_yticks([at for at, _ in words["percents"]], [said for _, said in words["percents"]])
    lettered(field.get_yticklabels())
    field.yaxis.grid(visible=True, color=GRID, linewidth=points(1), linestyle=":")
    field.set_axisbelow(True)
    if facts["mean_percent"] is not None:
        mean = facts["mean_percent"]
        field.axhline(mean, color=INK, linewidth=points(4), linestyle="--", zorder=1, gid="mean")


def _rates(field: Any, facts: Facts, words: Facts) -> None:
    """A marker a run, and a bar where the doubt of its count is known."""
    runs = facts["shown"]
    counted = [n for n, each in enumerate(runs) if each["percent"] is not None]
    size = 24 if len(runs) <= 24 else 16
    for n in counted:
        run = runs[n]
        colour, marker, face = LOOKS[run["of"]]
        if run["low"] is not None:
            field.vlines(n, run["low"], run["high"], color=colour, linewidth=points(6), gid=f"doubt-{n}")
        look = marked(marker, colour, face, size)
        field.plot([n], [run["percent"]], **look, zorder=3, gid=f"run-{n}")
    for n in _numbered(field, runs, counted):
        high = runs[n]["high"] if runs[n]["high"] is not None else runs[n]["percent"]
        high = max(high, runs[n]["percent"])
        label(field, n, high, words["runs"][n][1], xytext=(0, 32))


def _numbered(field: Any, runs: list[Facts], counted: list[int]) -> list[int]:
    """Which runs carry their number: all of a few, else the newest, the worst and the best."""
    if len(runs) <= MOST_NUMBERED:
        return counted
    worst = min(counted, key=lambda n: float(runs[n]["percent"]))
    best = max(counted, key=lambda n: float(runs[n]["percent"]))
    three = list(dict.fromkeys((counted[-1], worst, best)))
    places = pixels(field, three, [float(runs[n]["percent"]) for n in three])
    return [three[place] for place in spread(places, (62, 50), ())]


def _without(strip: Any, field: Any, facts: Facts) -> None:
    """Runs without a figure stand below the scale: they are no nought."""
    strip.set_xlim(field.get_xlim())
    strip.set_ylim(0, 1)
    strip.set_yticks([])
    strip.spines["left"].set_visible(False)
    for n, run in enumerate(facts["shown"]):
        if run["percent"] is None:
            look = marked(SIGNS[run["why"]], INK, PAPER, 24)
            strip.plot([n], [0.5], **look, linestyle="none", gid=f"without-{n}")


SIGNS = {"no-eggs": "x", "no-figure": "_", "open": "o"}


def _dates(strip: Any, facts: Facts, words: Facts) -> None:
    """The days of as many runs as there is room for, the newest among them."""
    runs = facts["shown"]
    places = pixels(strip, range(len(runs)), [0.0] * len(runs))
    kept = sorted(spread(places, (DATE_WIDE, WIDE), (len(runs) - 1, 0)))
    strip.set_xticks(kept, [words["runs"][n][0] for n in kept])
    lettered(strip.get_xticklabels())


Entry = tuple[str, str, str, str]


def _legend(words: Facts) -> list[Entry]:
    """Marker, colour, fill and words of each thing that is shown."""
    entries = [(LOOKS[kind][1], LOOKS[kind][0], LOOKS[kind][2], said) for kind, said in words["of"].items()]
    if words["doubt"]:
        entries.append(("|", INK, INK, words["doubt"]))
    return entries + [(SIGNS[why], INK, PAPER, said) for why, said in words["why"].items()]


def _write_legend(paper: Paper, top: float, entries: list[Entry]) -> None:
    for number, (marker, colour, face, said) in enumerate(entries):
        paper.sign(EDGE, top + LINE * number, marker, colour, face, size=34 if marker == "|" else 24)
        paper.write(EDGE + 76, top + LINE * number, said)


def _sample_line(paper: Paper, top: float) -> None:
    """A piece of the line that the average is."""
    field = paper.axes(EDGE, top, 76, LINE)
    field.set_axis_off()
    field.set(xlim=(0, 1), ylim=(0, 1))
    field.plot([0, 1], [0.65, 0.65], color=INK, linewidth=points(4), linestyle="--")
