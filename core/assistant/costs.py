"""Money: what was paid, for a run or for the farm; what a run or a season cost and brought in."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import Literal

from core import commands as say
from core import money
from core.assistant.card import uncounted
from core.assistant.counts import book
from core.assistant.periods import span_of
from core.assistant.talk import AskFirst, Talk
from core.records import BOOK, Money, Retracted, RunRow, Spent
from core.replies import Ask, Button, MoneyTold, Refused, Reply, SpentKept
from core.runs import paid, standing

MOST_RUNS = 3
"""So many open runs are offered for an expense."""


def expense(talk: Talk, said: say.Expense) -> None:
    """Money paid: of the only open run, else of the farm. A button puts it right."""
    if not said.amount or said.amount <= 0:
        raise AskFirst(Reply(Ask("expense", "no-number")))
    open_now = [run.number for run in talk.live() if run.state == "open"]
    run = open_now[0] if len(open_now) == 1 else BOOK
    event = talk.tell(run, Spent(said.amount, said.currency, said.what or ""))
    _say_kept(talk, run, event.id, event.what)


def spent_on(talk: Talk, said: say.SpentOn) -> None:
    """An expense is of another run, or of the farm."""
    told = standing(talk.events_of(said.run_number))
    old = next((event for event in told if event.id == said.event), None)
    if old is None or not isinstance(old.what, Spent):
        talk.say(Refused("nothing-to-undo"))
        return
    talk.tell(said.run_number, Retracted((old.id,)))
    event = talk.tell(said.to, old.what, old.at)
    _say_kept(talk, said.to, event.id, old.what)


def _say_kept(talk: Talk, number: int, event: int, what: object) -> None:
    assert isinstance(what, Spent)
    entries = _of_farm(talk) if number == BOOK else talk.run(number).spent
    (total,) = [each for each in money.sums(entries) if each.currency == what.currency]
    talk.say(
        SpentKept(
            run=number,
            called="" if number == BOOK else talk.called(talk.run(number)),
            of="farm" if number == BOOK else "run",
            goods=what.what,
            amount=what.amount,
            currency=what.currency,
            total=total.amount,
            entries=total.entries,
        ),
        Button("undo", say.Undo((event,)), "undo"),
        *_elsewhere(talk, number, event),
    )


def _elsewhere(talk: Talk, number: int, event: int) -> list[Button]:
    """What else it may be of: the farm, or a run that is open."""
    if number != BOOK:
        return [Button("answer:farm", say.SpentOn(number, event, BOOK), "spent-farm")]
    runs = [run for run in talk.live() if run.state == "open"][:MOST_RUNS]
    return [
        Button(
            f"pick:{n}",
            say.SpentOn(BOOK, event, run.number),
            "spent-run",
            (("called", talk.called(run) or run.species),),
        )
        for n, run in enumerate(runs, 1)
    ]


def _of_farm(talk: Talk) -> tuple[Money, ...]:
    """What was paid for the farm itself."""
    told = talk.book_events()
    return tuple(paid(event.at, event.what) for event in told if isinstance(event.what, Spent))


# Questions ------------------------------------------------------------------------------------------------


def cost(talk: Talk, said: say.Question) -> None:
    """What a run cost, or all of the farm in a period."""
    _told(talk, said, "spent")


def earned(talk: Talk, said: say.Question) -> None:
    """What was taken for larvae: in a period, by default the season."""
    _told(talk, said, "earned")


def _told(talk: Talk, said: say.Question, asked: Literal["spent", "earned"]) -> None:
    rows = [row for row in book(talk) if row.took_place]
    if said.period is None and (said.which_run or asked == "spent"):
        row = _run_asked(talk, rows, said)
        if row is not None:
            talk.say(_of_run(talk, row, asked))
            return
    talk.say(_of_period(talk, said.period or "season", rows, asked))


def _run_asked(talk: Talk, rows: Sequence[RunRow], said: say.Question) -> RunRow | None:
    """The only open run, else the newest of which money was told; `None` where there is none."""
    fitting = [row for row in rows if said.species in (None, row.species)]
    still = [row for row in fitting if row.state == "open"]
    if len(still) == 1 and said.which_run is None:
        return still[0]
    known = fitting if said.which_run else [row for row in fitting if row.spent or row.earned]
    return max(known, key=lambda row: row.age, default=None)


def _of_run(talk: Talk, row: RunRow, asked: Literal["spent", "earned"]) -> MoneyTold:
    return MoneyTold(
        about="run",
        asked=asked,
        run=row.run,
        called="",
        species=row.species,
        date=talk.day(row.begun_at),
        spent=money.sums(row.spent),
        earned=money.sums(row.earned),
        cost=money.cost_per_thousand(row, whole=not uncounted(row)),
        price=money.price_per_thousand(row.earned),
        sold=None if row.sold is None else round(row.sold),
    )


def _of_period(
    talk: Talk, period: str, rows: Sequence[RunRow], asked: Literal["spent", "earned"]
) -> MoneyTold:
    """All money of the farm and of its runs, by the day it was told of; cancelled runs cost what they did."""
    since, until = span_of(talk, period)
    every = [*book(talk)]
    spent = [*_of_farm(talk), *(each for row in every for each in row.spent)]
    sold = [row.sold for row in rows if row.sold is not None and since <= row.begun_at < until]
    earned_all = _within([each for row in rows for each in row.earned], since, until)
    return MoneyTold(
        about="last-month" if period == "last_month" else "season",
        asked=asked,
        run=0,
        called="",
        species=None,
        date=None,
        spent=money.sums(_within(spent, since, until)),
        earned=money.sums(earned_all),
        price=money.price_per_thousand(earned_all),
        sold=round(sum(sold)) if sold else None,
    )


def _within(told: Iterable[Money], since: datetime, until: datetime) -> list[Money]:
    found = [each for each in told if since <= each.at < until]
    return sorted(found, key=lambda each: each.at)
