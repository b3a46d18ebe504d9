"""Tables, papers and notebooks: what goes out as a file, and what came in as one."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from core.dosing import DoseLine
from core.replies import DoseSheet, Given, Imported, NotTaken, RunPaper, RunSheet, SeasonTable
from core.wording import answers, doses
from core.wording.voice import Voice, opening, yes

Shows = Callable[[str], bool]
"""Whether a printer has every letter of a text."""


@dataclass(frozen=True, slots=True)
class Block:
    """A part of a page: a heading, and rows of cells, the last of which may be long."""

    heading: str
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Page:
    """One page for the wall: what is read from afar, what is read near by, and what is filled in by hand."""

    title: str
    under: str
    large: tuple[Block, ...]
    small: tuple[Block, ...]
    blanks: tuple[str, ...]


def season_table(v: Voice, fact: SeasonTable) -> list[str]:
    span = {"first": v.iso_day(fact.first), "last": v.iso_day(fact.last)}
    blocks = [v.say("season-table", runs=v.whole(fact.runs), runs_are=fact.runs, **span)]
    if fact.missing:
        blocks.append(v.say("season-table-missing"))
    return [*blocks, v.coded("season-table", fact.form)]


def imported(v: Voice, fact: Imported) -> list[str]:
    blocks = [_taken(v, fact)]
    if fact.order is not None and fact.taken:
        blocks.append(v.coded("imported-order", fact.order))
    if fact.known:
        blocks.append(v.say("imported-known", lines=_lines(v, fact.known)))
    left = [each for each in fact.faults if not each.taken]
    aside = [each for each in fact.faults if each.taken]
    if left:
        head = v.say("imported-left", left=v.whole(fact.left or fact.rows), left_are=fact.left or fact.rows)
        blocks.append("\n".join([head, *(_fault(v, each) for each in left)]))
    if aside:
        blocks.append("\n".join([v.say("imported-aside"), *(_fault(v, each) for each in aside)]))
    if fact.more:
        blocks.append(v.say("imported-more", more=v.whole(fact.more)))
    return blocks


def _taken(v: Voice, fact: Imported) -> str:
    rows = v.whole(fact.rows)
    if not fact.taken or fact.first is None or fact.last is None:
        return v.say("imported-none", rows=rows)
    span = {"first": v.iso_day(fact.first), "last": v.iso_day(fact.last)}
    return v.say("imported-taken", taken=v.whole(fact.taken), rows=rows, **span)


def _lines(v: Voice, lines: Sequence[int]) -> str:
    return v.names(str(line) for line in lines)


def _fault(v: Voice, each: NotTaken) -> str:
    more = v.say("imported-lines-more", more=v.whole(each.more)) if each.more else ""
    where = v.say("imported-line", lines=_lines(v, each.lines), more=more)
    return v.say(
        "imported-fault",
        where=where if each.lines else v.say("imported-file"),
        heading=v.say("imported-heading", heading=each.heading) if each.heading else "",
        why=v.coded("notebook", each.why),
        cell=v.say("imported-cell", words=each.words) if each.words else "",
    )


def run_sheet(v: Voice, fact: RunSheet) -> list[str]:
    return [v.say("run-sheet-missing")] if fact.missing else [v.say("run-sheet", after=yes(fact.after))]


# A page for the wall --------------------------------------------------------------------------------------


def page(v: Voice, paper: RunPaper, farm_name: str, shows: Shows) -> Page:
    """The page in words. A name whose letters the printer lacks is called by its place in the run."""
    farm = v.say("paper-farm", farm=farm_name) if farm_name and shows(farm_name) else ""
    return Page(
        title=v.say("paper-title", species=opening(v.species(paper.species)), run=str(paper.run)),
        under=v.say("paper-under", date=v.iso_day(paper.date), farm=farm),
        large=tuple(_large(v, paper, shows)),
        small=tuple(_small(v, paper, shows)),
        blanks=tuple(v.say(f"paper-write-{name}") for name in _blanks(paper)),
    )


def _large(v: Voice, paper: RunPaper, shows: Shows) -> Iterator[Block]:
    if paper.result is not None:
        lines = answers.result(v, paper.result)
        yield Block(v.say("paper-result"), tuple((line,) for line in lines))
    if paper.plan is not None:
        hours = v.times(each.at for each in paper.plan.times)
        steps = [
            v.say("paper-about", step=_step(v, each.step, each.called, shows))
            if each.about
            else _step(v, each.step, each.called, shows)
            for each in paper.plan.times
        ]
        alarms = v.names(v.times(paper.plan.alarms))
        rows = (*zip(hours, steps, strict=True), (v.say("paper-alarm", at=alarms),))
        yield Block(v.say("paper-plan"), rows)
    if paper.sheet is not None:
        names = _names(v, [line.tag for line in paper.sheet.fish], shows)
        rows = tuple(
            (
                names[line.tag],
                v.say("paper-kg", kg=v.kg(line.kg)),
                _dose(v, paper.sheet, line),
            )
            for line in paper.sheet.fish
        )
        yield Block(v.say("paper-doses"), rows)


def _dose(v: Voice, sheet: DoseSheet, line: DoseLine) -> str:
    dose = doses.scheme(v, line)
    if not dose:
        return v.say("paper-no-dose")
    return v.say("paper-optional", dose=dose) if doses.is_optional(sheet, line) else dose


def _step(v: Voice, step: str, called: str, shows: Shows) -> str:
    return v.part(step, called if shows(v.called(called)) else "")


def _names(v: Voice, tags: Sequence[str], shows: Shows) -> dict[str, str]:
    return {
        tag: tag if shows(tag) else v.say("paper-fish", n=str(place)) for place, tag in enumerate(tags, 1)
    }


def _small(v: Voice, paper: RunPaper, shows: Shows) -> Iterator[Block]:
    if paper.sheet is not None:
        head, *rest = doses.dose_sheet(v, paper.sheet)
        lines = [head, *rest[len(paper.sheet.fish) :]]
        yield Block("", tuple((line,) for line in lines))
    if paper.ready:
        yield Block("", ((v.say(f"bell-get-ready-{paper.way}"),),))
    if paper.given is not None:
        yield Block(v.say("paper-given"), tuple(_given(v, paper.given, shows)))
    yield Block(v.say("paper-care"), tuple((v.coded("caution", code),) for code in paper.cautions))


def _given(v: Voice, given: Given, shows: Shows) -> Iterator[tuple[str, ...]]:
    names = _names(v, list(dict.fromkeys(shot.tag for shot in given.given)), shows)
    shots = tuple(
        replace(shot, tag=names[shot.tag], by=shot.by if shot.by and shows(shot.by) else None)
        for shot in given.given
    )
    yield from ((line,) for line in answers.given(v, replace(given, given=shots)))


def _blanks(paper: RunPaper) -> tuple[str, ...]:
    if paper.ready:
        return ("injected", "water", "eggs-run", "grams")
    return () if paper.result is not None else ("eggs-run", "grams", "good", "hatched")
