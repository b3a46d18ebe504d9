"""Tables, papers and notebooks: what goes out as a file, and what came in as one."""

from __future__ import annotations

from collections.abc import Sequence

from core.replies import Imported, NotTaken, SeasonTable
from core.wording.voice import Voice


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
