"""What goes out on paper or as a table: the page of a run for the wall; the season, one row a run."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from core import commands as say
from core.assistant import doses
from core.assistant.card import result_fact
from core.assistant.cautions import CAUTIONS_AT
from core.assistant.choosing import run_for
from core.assistant.injecting import given_shot
from core.assistant.talk import AskFirst, Talk
from core.records import Run
from core.replies import Button, Given, Noted, Refused, Reply, RunPaper, RunSheet, SeasonTable


def season_table(talk: Talk, said: say.Question) -> None:
    """Every run, one row each: as a workbook, else as CSV."""
    if "xlsx" in talk.desk.extra:
        _say_table(talk, "xlsx", Button("pick:1", say.Question("season_csv"), "season-csv"))
    else:
        _say_table(talk, "csv", missing=True)


def season_csv(talk: Talk, said: say.Question) -> None:
    """The same, as CSV."""
    _say_table(talk, "csv")


def notebook(talk: Talk, said: say.Question) -> None:
    """How an old notebook is sent."""
    talk.say(Noted("notebook"))


def _say_table(talk: Talk, form: Literal["xlsx", "csv"], *buttons: Button, missing: bool = False) -> None:
    days = [talk.day(row.begun_at) for row in talk.desk.rows]
    if not days:
        raise AskFirst(Reply(Refused("no-season")))
    fact = SeasonTable(form, len(days), min(days), max(days), missing)
    talk.replies.append(Reply(fact, buttons, document=f"season.{form}"))


# A run for the wall ---------------------------------------------------------------------------------------


def run_sheet(talk: Talk, said: say.Question) -> None:
    """The run on one page; in words what is missing where such a page cannot be made."""
    run = run_for(
        talk,
        said,
        lambda each: bool(each.fish or each.batches),
        words=said.run,
        tags=said.tags,
        ended=True,
    )
    missing = "pdf" not in talk.desk.extra
    fact = RunSheet(run.number, talk.called(run), run.species, is_after(run), missing)
    document = None if missing else f"run-sheet/{run.number}"
    talk.replies.append(Reply(fact, document=document))


def is_after(run: Run) -> bool:
    """Whether there is something to tell of what came of it."""
    return bool(run.batches) or run.state not in ("draft", "open")


def run_paper(talk: Talk, number: int) -> RunPaper:
    """What stands on the page of a run."""
    run, after = talk.run(number), is_after(talk.run(number))
    row = next((each for each in talk.desk.rows if each.run == number), None)
    shots = tuple(given_shot(talk, run, fish, shot) for fish in run.fish for shot in fish.shots)
    begun = min((group.first_at for group in run.groups), default=run.opened_at)
    return RunPaper(
        run=number,
        species=run.species,
        way=run.way,
        date=talk.day(row.begun_at if row else begun),
        ready=not run.groups and not after,
        sheet=None if run.groups or after else doses.sheet(talk, run),
        given=Given(number, "", shots, None, "") if shots else None,
        plan=doses.night_fact(talk, run) if run.state in ("draft", "open") else None,
        result=result_fact(talk, row) if after and row else None,
        cautions=tuple(_cautions(talk, run, after)),
    )


def _cautions(talk: Talk, run: Run, after: bool) -> Iterator[str]:
    """What to take care of, for all to read: given on paper, none counts as said."""
    if not after:
        yield "gloves"
        if run.strength_assumed:
            yield "strength-assumed"
        males = sum(fish.sex == "m" for fish in run.fish)
        if males == 1:
            yield "one-male"
        if males and run.way == "stripped" and talk.card(run).male_cut:
            yield "cut-after-eggs"
        known = talk.card(run).cautions
        for step in ("weigh", "get-ready", "strip"):
            yield from (code for code in CAUTIONS_AT[step] if code in known)
        yield from ("no-second-dose", "phone-alarm")
    yield "treated-fish"
