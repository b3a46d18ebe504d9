"""Each published figure with a temperature, predicted from its card without its source.

`python -m tests.left_out [--data DIR]` prints them and ends with 1 where a goal is missed. The source is left
out of the whole card, the curves are fitted anew to what the others saw, and the card then answers as it
always does, with the nearest curve where it has none of its own. What was recalled is predicted too, apart
from the verdict, save one table that counts as a single figure (`ONE_FIGURE`).
"""

from __future__ import annotations

import argparse
import dataclasses
import math
import statistics
import sys
import tomllib
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from pathlib import Path

from core.errors import NoFigure
from core.records import Preparation
from core.species import Card, Citation, Curve, Hatching, Report
from tests.core.cards import DATA, Folder, folder

INSIDE_GOAL = 0.75  # at least this share of the figures inside its window
RATIO_GOAL = (0.8, 1.25)  # median of observed over likely
SPREAD_GOAL = 2.2  # median of latest over earliest, at most
EARLIEST, LATEST = 0.85, 1.40  # no fitted window is narrower
ALONE_EARLIEST, ALONE_LATEST = 0.72, 1.45  # nor than this, from one source alone or from water nobody told
EARLIER, LATER = 0.95, 1.05  # a little beyond what was seen
WIDEST = 2.2  # latest over earliest; wider ones are pulled in from both ends
AGREES = 0.15  # so far a card's curve may lie from what its own reports give
# Water known to be none of the usual, or a clock from another injection: no curve is fitted to these reports.
SAY_NOTHING = frozenset({"water-untold", "other-clock"})
# Recalled tables that stand for their species all the same: each is one figure, by its median line.
ONE_FIGURE = frozenset({"hogendoorn-vismans-1980"})

Key = tuple[Hatching, Preparation | None, int | None]  # which curve of a card


# A curve from reports -------------------------------------------------------------------------------------


def hours_of(report: Report) -> float:
    return (report.low_hours + report.high_hours) / 2


def water_of(report: Report, untold: float) -> float:
    """The middle of its water; of untold water `untold`."""
    if report.low_celsius is None or report.high_celsius is None:
        return untold
    return (report.low_celsius + report.high_celsius) / 2


def _best_told(reports: Sequence[Report]) -> Sequence[Report]:
    """Those with their water, where there are any."""
    return [each for each in reports if each.low_celsius is not None] or reports


def fitted(
    shape: Curve, zero: float | None, reports: Iterable[Report], widening: Collection[str], untold: float
) -> Curve | None:
    """The curve that reports give above a zero point (`None`: flat).

    Its likely hours are the geometric mean of one estimate a source, its width is their scatter. `widening`
    sources move the ends alone; `None` where no other is left. Reports of `SAY_NOTHING` set nothing, and of
    a source that told some of its water the rest moves the ends alone. `shape` gives whatever is not fitted.
    """

    def warmth(report: Report) -> float:
        return 1.0 if zero is None else water_of(report, untold) - zero

    seen = sorted((each for each in reports if each.outside not in SAY_NOTHING), key=lambda each: each.source)
    setting = [each for each in seen if each.source not in widening]
    estimates = [
        statistics.median(hours_of(each) * warmth(each) for each in _best_told(list(of_one)))
        for _, of_one in groupby(setting, key=lambda each: each.source)
    ]
    if not estimates or min(map(warmth, seen)) <= 0:
        return None
    middle = statistics.geometric_mean(estimates)
    scatter = [end * warmth(each) / middle for each in seen for end in (each.low_hours, each.high_hours)]
    alone = len(estimates) == 1 or all(each.low_celsius is None for each in seen)
    earliest = min(EARLIER * min(scatter), ALONE_EARLIEST if alone else EARLIEST)
    latest = max(LATER * max(scatter), ALONE_LATEST if alone else LATEST)
    pull = max(math.sqrt(latest / earliest / WIDEST), 1.0)
    earliest, latest = earliest * pull, latest / pull
    return dataclasses.replace(
        shape,
        degree_hours=0.0 if zero is None else middle,
        zero_celsius=0.0 if zero is None else zero,
        flat_hours=middle if zero is None else None,
        earliest=earliest,
        most_from=(1 + earliest) / 2,
        likely=1.0,
        most_to=(1 + latest) / 2,
        latest=latest,
    )


# A card without a source ----------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Known:
    """The cards of a folder, and which sources of each curve only widen it."""

    sources: Mapping[str, Citation]
    cards: Mapping[str, Card]
    widened_by: Mapping[tuple[str, Key], frozenset[str]]

    def widening(self, card: Card, key: Key) -> frozenset[str]:
        """Sources that may not set this curve: weak ones, and those its card names so."""
        weak = {name for name, source in self.sources.items() if source.weak}
        return self.widened_by.get((card.slug, key), frozenset()) | weak


def known(read: Folder) -> Known:
    """A folder of cards; `widened_by` is read off the text, since a parsed curve does not keep it apart."""
    widened: dict[tuple[str, Key], frozenset[str]] = {}
    for text in read.texts.values():
        table = tomllib.loads(text)
        for strip in table.get("strip", []):
            key: Key = ("strip", strip["preparation"], strip["shots"])
            widened[table["slug"], key] = frozenset(strip.get("widened_by", []))
        widened[table["slug"], _HATCH] = frozenset(table.get("hatch", {}).get("widened_by", []))
    return Known(read.sources, read.cards, widened)


_HATCH: Key = ("hatch", None, None)


def keyed(card: Card) -> Mapping[Key, Curve]:
    """The curves of a card that were fitted to reports."""
    found: dict[Key, Curve] = {("strip", each.preparation, each.shots): each.curve for each in card.strip}
    return found if card.hatch is None else found | {_HATCH: card.hatch}


def _key(report: Report) -> Key:
    return report.event, report.preparation, report.shots


def refitted(known: Known, card: Card, key: Key, source: str | None = None) -> Curve | None:
    """One curve of a card from its own reports, without those of `source`; `None` where that cannot be."""
    shape = keyed(card)[key]
    reports = [each for each in card.reports if _key(each) == key and each.source != source]
    widening = known.widening(card, key)
    zeros = [shape.zero_celsius]
    if shape.flat_hours is not None and _said_flat(known, card, key, source):
        return fitted(shape, None, reports, widening, card.assumed_celsius)
    if shape.flat_hours is not None or source in shape.zero_sources:
        zeros = _zeros_of_others(known, card, key, source)
    if not zeros:
        return None
    return fitted(shape, statistics.median(zeros), reports, widening, card.assumed_celsius)


def _said_flat(known: Known, card: Card, key: Key, source: str | None) -> bool:
    """Whether a source other than this one looked at several temperatures, and the flat curve leans on it."""
    leaning = set(keyed(card)[key].sources) - known.widening(card, key) - {source}
    told = [each for each in card.reports if each.event == key[0] and each.source in leaning]
    return any(each.low_celsius != each.high_celsius for each in told)


def _zeros_of_others(known: Known, card: Card, key: Key, source: str | None) -> list[float]:
    """The zero points of the other cards' curves of that event, as far as they do not lean on this source."""
    return [
        curve.zero_celsius
        for other in known.cards.values()
        for (event, _, _), curve in keyed(other).items()
        if other.slug != card.slug and event == key[0] and curve.flat_hours is None
        if source not in curve.zero_sources
    ]


def without(known: Known, card: Card, source: str) -> Card:
    """The card as it would be had nobody heard of this source."""
    curves = {key: refitted(known, card, key, source) for key in keyed(card)}
    strip = [
        dataclasses.replace(each, curve=curve)
        for each in card.strip
        if (curve := curves["strip", each.preparation, each.shots]) is not None
    ]
    return dataclasses.replace(card, strip=tuple(strip), hatch=curves.get(_HATCH))


# Curves against their own reports -------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Off:
    """A curve whose likely hours in the middle of its source are not those of its own reports.

    `relatives`: the sources that set it with what they saw in another species.
    """

    card: Card
    key: Key
    hours: float
    refitted: float
    relatives: tuple[str, ...]


def off(known: Known) -> Iterator[Off]:
    """The curves further than AGREES from what their reports give, or without any report that sets them."""
    for card in known.cards.values():
        for key, own in keyed(card).items():
            middle = (own.min_celsius + own.max_celsius) / 2
            anew = refitted(known, card, key)
            hours = own.hours(middle) * own.likely
            found = math.nan if anew is None else anew.hours(middle) * anew.likely
            if not abs(found / hours - 1) <= AGREES:
                yield Off(card, key, hours, found, _relatives(known, card, key))


def _relatives(known: Known, card: Card, key: Key) -> tuple[str, ...]:
    own = keyed(card)[key]
    reporting = {each.source for each in card.reports if each.event == key[0]}
    return tuple(sorted({*own.sources} - known.widening(card, key) - {*own.zero_sources} - reporting))


# Figures predicted ----------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Line:
    """One figure, and the hours predicted without its source."""

    card: Card
    report: Report
    mark: str
    weak: bool
    celsius: float
    earliest: float
    likely: float
    latest: float

    @property
    def inside(self) -> bool:
        """As cards are judged: by the middle of the hours, in the middle of the water."""
        return self.earliest <= hours_of(self.report) <= self.latest

    @property
    def ratio(self) -> float:
        return hours_of(self.report) / self.likely

    @property
    def spread(self) -> float:
        return self.latest / self.earliest


@dataclass(frozen=True, slots=True)
class Untestable:
    """A figure that nothing is left to predict from."""

    card: Card
    report: Report
    why: str


def predicted(known: Known, of: str | None = None) -> Iterator[Line | Untestable]:
    """Every figure of stripping and hatching that has a temperature, card by card; `of` one source alone."""
    for card in known.cards.values():
        for report in card.reports:
            told = report.event in ("strip", "hatch") and report.low_celsius is not None
            if told and of in (None, report.source):
                yield _line(known, card, report)


def _line(known: Known, card: Card, report: Report) -> Line | Untestable:
    try:
        curve = _answer(without(known, card, report.source), report)
    except NoFigure:
        return Untestable(card, report, _why(card, report))
    source, celsius = known.sources[report.source], water_of(report, card.assumed_celsius)
    hours = curve.hours(celsius)
    times = hours * curve.earliest, hours * curve.likely, hours * curve.latest
    return Line(card, report, source.mark, source.weak, celsius, *times)


def _answer(card: Card, report: Report) -> Curve:
    """The card's curve for what was reported, borrowed where it has none. Raises `NoFigure`."""
    if report.preparation is not None:
        curve, _ = card.strip_curve(report.preparation, report.shots)
        return curve
    if card.hatch is None:
        raise NoFigure("no-hatch-figure", species=card.slug)
    return card.hatch


def _why(card: Card, report: Report) -> str:
    others = {each.source for each in card.reports if each.event == report.event} - {report.source}
    return (
        f"left: {', '.join(sorted(others))}, and none of them sets a curve" if others else "the only figure"
    )


# What they come to ----------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Summary:
    """`inside` of `figures`, and the medians of observed over likely and of latest over earliest."""

    figures: int
    inside: int
    ratio: float
    spread: float

    @property
    def missed(self) -> tuple[str, ...]:
        """The goals that were not met, in words."""
        goals = {
            f"fewer than {INSIDE_GOAL:.0%} inside": self.inside >= INSIDE_GOAL * self.figures,
            f"median observed/likely not within {RATIO_GOAL[0]}-{RATIO_GOAL[1]}": (
                RATIO_GOAL[0] <= self.ratio <= RATIO_GOAL[1]
            ),
            f"median latest/earliest above {SPREAD_GOAL}": round(self.spread, 2) <= SPREAD_GOAL,
        }
        return tuple(words for words, met in goals.items() if not met)


def counts(line: Line) -> bool:
    """Whether a figure counts for the verdict: published ones, and the tables of the one recalled source."""
    return line.mark == "published" or line.report.source in ONE_FIGURE


def summary(lines: Sequence[Line]) -> Summary:
    """Over figures: each line is one, save that a source of ONE_FIGURE is one by its median line."""
    tables = [[line for line in lines if line.report.source == name] for name in sorted(ONE_FIGURE)]
    figures = [[line] for line in lines if line.report.source not in ONE_FIGURE]
    figures += [table for table in tables if table]
    if not figures:
        return Summary(0, 0, math.nan, math.nan)
    return Summary(
        len(figures),
        sum(statistics.median_low(line.inside for line in each) for each in figures),
        statistics.median(statistics.median(line.ratio for line in each) for each in figures),
        statistics.median(statistics.median(line.spread for line in each) for each in figures),
    )


# Printing -------------------------------------------------------------------------------------------------

_HEAD = (
    f"{'species':17}{'event':6}{'preparation':12}{'shots':>5} {'source':29}{'water C':>10}{'hours':>12}"
    f"{'earliest':>9}{'likely':>7}{'latest':>7}  {'in':3}{'obs/likely':>11}"
)


def _ends(low: float | None, high: float | None) -> str:
    ends = [f"{end:.1f}" for end in (low, high) if end is not None]
    return "-".join(dict.fromkeys(ends))


def _named(card: Card, report: Report, weak: bool = False) -> str:
    source = report.source + (" *" if weak else "")
    water, hours = _ends(report.low_celsius, report.high_celsius), _ends(report.low_hours, report.high_hours)
    return (
        f"{card.slug:17}{report.event:6}{report.preparation or '':12}{report.shots or '':>5} {source:29}"
        f"{water:>10}{hours:>12}"
    )


def _row(line: Line) -> str:
    return (
        f"{_named(line.card, line.report, line.weak)}{line.earliest:9.1f}{line.likely:7.1f}{line.latest:7.1f}"
        f"  {'yes' if line.inside else 'NO':3}{line.ratio:11.2f}"
    )


def _told(found: Summary) -> str:
    if not found.figures:
        return "no figures"
    return (
        f"n {found.figures}, inside {found.inside} ({found.inside / found.figures:.0%}), "
        f"median observed/likely {found.ratio:.2f}, median latest/earliest {found.spread:.2f}"
    )


def printed(known: Known) -> Iterator[str]:
    """The two lists and what they come to, line by line."""
    found = list(predicted(known))
    lines = [each for each in found if isinstance(each, Line)]
    judged, recalled = ([line for line in lines if counts(line) is wanted] for wanted in (True, False))
    strong = [line for line in judged if not line.weak]
    once = {line.report: line for line in reversed(judged)}  # what several cards say of their group
    yield "Published figures, each predicted from its card without its source (* weak: may widen, never set)"
    yield from (_HEAD, *map(_row, judged), "")
    yield "Recalled figures and common practice, predicted likewise; they count for nothing below"
    yield from (_HEAD, *map(_row, recalled), "")
    yield "Not testable"
    yield from (f"{_named(e.card, e.report)}  {e.why}" for e in found if isinstance(e, Untestable))
    yield from ("", f"Curves more than {AGREES:.0%} off their own reports, in the middle of their source")
    for each in off(known):
        name = " ".join(str(part) for part in each.key if part is not None)
        why = f", set by relatives too: {', '.join(each.relatives)}" if each.relatives else ""
        yield f"{each.card.slug:17}{name}: {each.hours:.1f} h, refitted {each.refitted:.1f} h{why}"
    yield ""
    yield f"published: {_told(summary(judged))}"
    yield f"  of them without weak sources: {_told(summary(strong))}"
    yield f"  each figure of a group once: {_told(summary(list(once.values())))}"
    yield f"  (recalled tables that count as one figure, by their median: {', '.join(sorted(ONE_FIGURE))})"
    yield f"recalled: {_told(summary(recalled))}"
    yield "; ".join(summary(judged).missed) or "goals met"


def verdict(known: Known) -> Summary:
    """What the published figures come to."""
    lines = [each for each in predicted(known) if isinstance(each, Line)]
    return summary([line for line in lines if counts(line)])


def main(words: Sequence[str]) -> int:
    """0 where the goals are met, 1 where one is missed, 2 where a card is faulty."""
    parser = argparse.ArgumentParser(prog="python -m tests.left_out", description=__doc__)
    parser.add_argument("--data", type=Path, default=DATA, help="a folder of cards with its sources*.toml")
    read = folder(parser.parse_args(words).data)
    if read.faults:
        print(*read.faults, sep="\n", file=sys.stderr)
        return 2
    cards = known(read)
    print(*printed(cards), sep="\n")
    return 1 if verdict(cards).missed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
