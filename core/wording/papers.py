"""Tables, papers and notebooks: what goes out as a file, and what came in as one."""

from __future__ import annotations

from core.replies import SeasonTable
from core.wording.voice import Voice


def season_table(v: Voice, fact: SeasonTable) -> list[str]:
    span = {"first": v.iso_day(fact.first), "last": v.iso_day(fact.last)}
    blocks = [v.say("season-table", runs=v.whole(fact.runs), runs_are=fact.runs, **span)]
    if fact.missing:
        blocks.append(v.say("season-table-missing"))
    return [*blocks, v.coded("season-table", fact.form)]
