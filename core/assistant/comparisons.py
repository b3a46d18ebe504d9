"""Questions over several runs: the best, side by side by what they share, one female's, and what differed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from statistics import fmean

from core import commands as say
from core import comparing, results
from core.assistant import why
from core.assistant.broodbook import book_of
from core.assistant.choosing import word_fits
from core.assistant.counts import book, no_hatch_yet
from core.assistant.periods import span_of
from core.assistant.talk import AskFirst, Talk
from core.comparing import ENOUGH, HerRun, LeftOut, SideBySide
from core.differences import differences, others_of
from core.records import CountOf, Mark, RunRow
from core.replies import Ask, BestRun, Comparison, FemaleRuns, HerRunTold, OutOfIt, Reply, WhyLow
from core.species import weakest

MOST_OF_HERS = 5
"""So many runs of a female are told one by one."""
OF_RESULTS = (
    *("result", "summary", "hatched", "fertilised", "survival", "per-kg"),
    *("best-run", "comparison", "female", "differences", "money"),
)
"""The messages after which "why so low?" is about a run and not about a figure of ours."""


def _rows(talk: Talk, said: say.Question) -> list[RunRow]:
    """The runs of the species and the time that were asked about, oldest first."""
    wanted = (said.species,) if said.species else word_fits(talk, said.species_word)
    rows = [row for row in book(talk) if not wanted or row.species in wanted]
    if said.period:
        since, until = span_of(talk, said.period)
        rows = [row for row in rows if since <= row.begun_at < until]
    return sorted(rows, key=lambda row: row.age)


def _period(said: say.Question) -> str:
    return (said.period or "all").replace("_", "-")


def _left(talk: Talk, left: Sequence[LeftOut]) -> tuple[OutOfIt, ...]:
    whys = dict.fromkeys(each.why for each in left)
    return tuple(
        OutOfIt(reason, tuple(talk.day(each.row.begun_at) for each in left if each.why == reason))
        for reason in whys
    )


# The best -------------------------------------------------------------------------------------------------


def best_run(talk: Talk, said: say.Question) -> None:
    """The run with the best hatch."""
    _best(talk, said, worst=False)


def worst_run(talk: Talk, said: say.Question) -> None:
    """The run with the lowest."""
    _best(talk, said, worst=True)


def _best(talk: Talk, said: say.Question, *, worst: bool) -> None:
    found = comparing.best(_rows(talk, said), worst)
    if found is None:
        raise no_hatch_yet(talk)
    talk.say(
        BestRun(
            worst=worst,
            run=found.row.run,
            species=found.row.species,
            date=talk.day(found.row.begun_at),
            percent=round(found.percent, 1),
            of=found.of,
            period=_period(said),
            of_species=said.species,
            counted=found.counted,
            low_percent=round(found.low, 1),
            high_percent=round(found.high, 1),
            few=found.counted < ENOUGH,
            left_out=_left(talk, found.left_out),
        )
    )


# Side by side ---------------------------------------------------------------------------------------------


def by_species(talk: Talk, said: say.Question) -> None:
    """The runs by species."""
    _say(talk, said, comparing.by_name(_rows(talk, said), "species", lambda row: row.species))


def by_season(talk: Talk, said: say.Question) -> None:
    """The runs by the year they began in, on the farm's days."""
    _say(talk, said, comparing.by_name(_rows(talk, said), "season", lambda row: talk.day(row.begun_at)[:4]))


def by_female(talk: Talk, said: say.Question) -> None:
    """The lots by their females."""
    _say(talk, said, comparing.by_female(_rows(talk, said), book_of(talk)))


def by_dose(talk: Talk, said: say.Question) -> None:
    """The runs of one species by what its females got."""
    _of_one_species(talk, said, comparing.by_dose)


def by_water(talk: Talk, said: say.Question) -> None:
    """The runs of one species by the water of their eggs."""
    _of_one_species(talk, said, comparing.by_water)


def _of_one_species(
    talk: Talk, said: say.Question, compare: Callable[[Sequence[RunRow], str | None], SideBySide]
) -> None:
    rows = _rows(talk, said)
    _say(talk, said, compare(rows, said.species or comparing.commonest_species(rows)))


def _say(talk: Talk, said: say.Question, found: SideBySide) -> None:
    if not found.counted and not found.left_out:
        raise no_hatch_yet(talk)
    talk.say(
        Comparison(
            by=found.by,
            of=found.of,
            period=_period(said),
            species=found.species or said.species,
            counted=found.counted,
            enough=ENOUGH,
            groups=found.groups,
            left_out=_left(talk, found.left_out),
        )
    )


# One female -----------------------------------------------------------------------------------------------


def female(talk: Talk, said: say.Question) -> None:
    """How one female did."""
    rows = _rows(talk, said)
    for tag in said.tags:
        hers = comparing.runs_of(rows, tag, book_of(talk))
        if not hers:
            raise AskFirst(Reply(Ask("no-run", "no-such-female", tags=(tag,))))
        talk.say(_of_her(talk, hers))


def _of_her(talk: Talk, hers: Sequence[HerRun]) -> FemaleRuns:
    known = [(each.of, each.figure) for each in hers if each.figure is not None and not each.others]
    of: CountOf = results.commonest([of for of, _ in known], "unknown")
    figures = [figure for kind, figure in known if kind == of]
    newest = hers[0]
    return FemaleRuns(
        tag=newest.fish.tag,
        runs=tuple(_her_run(talk, each) for each in hers[:MOST_OF_HERS]),
        earlier=max(len(hers) - MOST_OF_HERS, 0),
        of_one_run=bool(newest.who.run),
        of=of,
        counted=len(figures),
        mean_percent=round(fmean(figures), 1) if len(figures) >= ENOUGH else None,
        low_percent=min(figures, default=None),
        high_percent=max(figures, default=None),
    )


def _her_run(talk: Talk, each: HerRun) -> HerRunTold:
    grams = each.fish.egg_grams
    return HerRunTold(
        run=each.row.run,
        date=talk.day(each.row.begun_at),
        species=each.row.species,
        kg=each.fish.kg,
        outcome=each.fish.state,
        grams=grams,
        body_percent=None if grams is None else round(grams / each.fish.kg / 10, 1),
        fertilised_percent=each.fertilised,
        hatched_percent=each.figure,
        hatched_of=each.of,
        others=each.others,
    )


# What differed --------------------------------------------------------------------------------------------


def why_so_low(talk: Talk, said: say.Question) -> None:
    """ "Why so low?", and nothing named: of a run where one was spoken of, else of the newest figure."""
    figure = talk.desk.figure
    if figure is not None and figure.kind not in OF_RESULTS:
        why.why(talk, say.Why())
        return
    why_low(talk, said)


def why_low(talk: Talk, said: say.Question) -> None:
    """What differed in a run: the one just spoken of, else the newest with a figure."""
    rows = book(talk)
    row = _low_run(talk, rows, said)
    if row is None:
        raise no_hatch_yet(talk)
    others = others_of(row, rows)
    things = differences(row, rows, talk.knowledge.cards.get(row.species), book_of(talk))
    held = [each for each in things if each.basis]
    marks: list[Mark] = [each.mark for each in held if each.mark is not None]
    talk.say(
        WhyLow(
            run=row.run,
            species=row.species,
            date=talk.day(row.begun_at),
            percent=None if others.percent is None else round(others.percent, 1),
            of=others.of,
            others=others.runs,
            low_percent=None if others.low is None else round(others.low, 1),
            high_percent=None if others.high is None else round(others.high, 1),
            things=things,
            basis=("farm", *dict.fromkeys(source for each in held for source in each.basis)),
            mark=weakest(marks) if marks else "the farm's own",
        )
    )


def _low_run(talk: Talk, rows: Sequence[RunRow], said: say.Question) -> RunRow | None:
    figure = talk.desk.figure
    spoken = figure.run if figure is not None and figure.kind in OF_RESULTS else 0
    if spoken and not (said.which_run or said.species or said.period or said.tags):
        row = next((each for each in rows if each.run == spoken), None)
        if row is not None and row.took_place:
            return row
    if said.tags:
        hers = comparing.runs_of(_rows(talk, said), said.tags[0], book_of(talk))
        return hers[0].row if hers else None
    if said.period:
        found = comparing.best(_rows(talk, said), worst=True)
        return found.row if found else None
    newest = results.newest_hatch(rows, said.species)
    if newest is not None:
        return newest.row
    known = [
        row
        for row in rows
        if row.fertilised_percent is not None and said.species in (None, row.species) and row.took_place
    ]
    return max(known, key=lambda row: row.age, default=None)
