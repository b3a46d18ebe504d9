"""What goes out on paper or as a table: the season, one row a run."""

from __future__ import annotations

from typing import Literal

from core import commands as say
from core.assistant.talk import AskFirst, Talk
from core.replies import Button, Refused, Reply, SeasonTable


def season_table(talk: Talk, said: say.Question) -> None:
    """Every run, one row each: as a workbook, else as CSV."""
    if "xlsx" in talk.desk.extra:
        _say_table(talk, "xlsx", Button("pick:1", say.Question("season_csv"), "season-csv"))
    else:
        _say_table(talk, "csv", missing=True)


def season_csv(talk: Talk, said: say.Question) -> None:
    """The same, as CSV."""
    _say_table(talk, "csv")


def _say_table(talk: Talk, form: Literal["xlsx", "csv"], *buttons: Button, missing: bool = False) -> None:
    days = [talk.day(row.begun_at) for row in talk.desk.rows]
    if not days:
        raise AskFirst(Reply(Refused("no-season")))
    fact = SeasonTable(form, len(days), min(days), max(days), missing)
    talk.replies.append(Reply(fact, buttons, document=f"season.{form}"))
