"""The shelf as it stands in the talk: bottles with what runs drew from them, and what to warn of."""

from __future__ import annotations

from datetime import datetime

from core import dosing, stock
from core.assistant.talk import Talk
from core.records import BOOK, BottleTold, Preparation, Run, Strength
from core.replies import OnShelf


def shelf(talk: Talk) -> stock.Shelf:
    """All bottles of the farm; nothing is read where none was ever told."""
    book = talk.book_events()
    return stock.shelf(book, talk.rows_now()) if book else stock.Shelf()


def named(talk: Talk, number: int) -> stock.Bottle | None:
    """The bottle with that number."""
    return next((each for each in shelf(talk).bottles if each.number == number), None)


def strength_of(run: Run) -> Strength | None:
    """The strength a run's bottle must have; `None` where it was only assumed."""
    return None if run.strength_assumed else run.strength


def meant_for(talk: Talk, run: Run) -> tuple[stock.Bottle, ...]:
    """The bottles a run may be drawn from: its own where that is settled, else those that fit and are still
    good, else those that only fit."""
    all_of_it = shelf(talk)
    own = tuple(each for each in all_of_it.bottles if each.number == run.bottle)
    if own and own[0].preparation == run.preparation:
        return own
    fitting = stock.holding(all_of_it, run.preparation, strength_of(run))
    good = tuple(each for each in fitting if not stock.expired(each, talk.zone, talk.said_at))
    return good or fitting


def on_shelf(talk: Talk, bottle: stock.Bottle) -> OnShelf:
    """A bottle as a fact."""
    until = stock.good_until(bottle, talk.zone)
    return OnShelf(
        bottle=bottle.number,
        name=stock.called(bottle),
        preparation=bottle.preparation,
        strength=bottle.strength,
        unit=bottle.unit,
        left=None if bottle.left is None else float(bottle.left),
        over=float(bottle.over),
        untold=bottle.untold,
        opened_at=bottle.opened_at,
        keeps_days=bottle.keeps_days,
        good_until=until[0].isoformat() if until else None,
        ends=until[1] if until else "",
        expired=stock.expired(bottle, talk.zone, talk.desk.now),
        gone=bottle.gone,
        reckoned=bottle.reckoned,
    )


def cautions(talk: Talk, run: Run, need: float | None) -> tuple[str, ...]:
    """What to know of the bottle before a sheet is drawn: past its day, or less in it than `need`."""
    found = meant_for(talk, run)
    if not found:
        return ()
    said: tuple[str, ...] = ()
    at = _needle_at(talk, run)
    meant = stock.plainly(found)
    if meant is not None and stock.expired(meant, talk.zone, at):
        said += talk.once(run.number, "bottle-expired")
    left = stock.left_in(found, talk.zone, at)
    if need is not None and not left.unknown and float(left.amount + left.expired) < need:
        said += talk.once(run.number, "bottle-short")
    return said


def _needle_at(talk: Talk, run: Run) -> datetime:
    return run.planned.final_at if run.planned is not None else talk.desk.now


def usual_preparation(talk: Talk, dry: bool) -> Preparation:
    """What the farm has in its bottles, by its newest run of such: drawn as it stands, or `dry`."""
    for row in sorted(talk.rows_now(), key=lambda each: each.age, reverse=True):
        if row.preparation is not None and (stock.UNITS[row.preparation] != "mL") is dry:
            return row.preparation
    return "pituitary" if dry else "premix"


def label_told(talk: Talk) -> None:
    """The label that was told now is that of the only bottle that has none yet."""
    bare = [each for each in shelf(talk).bottles if not each.gone and each.strength is None]
    told = dosing.label_for(bare[0].preparation, talk.farm.strength) if len(bare) == 1 else None
    if told is not None:
        talk.tell(BOOK, BottleTold(bare[0].number, strength=told))
