"""Bottles of hormone: what came in, was opened, spilled, counted; which one a run is drawn from; whether it
is enough for tomorrow; the ledger; the bells of the shelf."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Literal

from core import commands as say
from core import dosing, reminders, stock
from core.assistant.choosing import ECHO, run_for
from core.assistant.doses import doses_of
from core.assistant.periods import span_of
from core.assistant.shelf import (
    meant_for,
    named,
    on_shelf,
    shelf,
    strength_of,
    usual_preparation,
)
from core.assistant.talk import AskFirst, Talk
from core.errors import NoFigure
from core.records import (
    BOOK,
    BottleCounted,
    BottleIn,
    BottleKeeps,
    BottleOpened,
    BottleTold,
    BottleWasted,
    DrawsFrom,
    Postponed,
    Preparation,
    Reminder,
    Run,
    StepDone,
    StepKey,
)
from core.replies import (
    Ask,
    BottleNow,
    Button,
    HormoneEnough,
    HormoneLedger,
    LedgerLine,
    Noted,
    Reply,
    ShelfNow,
    StepDue,
)

MOST_ML = 5000.0
MOST_DAYS = 400
MOST_BUTTONS = 4
DAY = timedelta(days=1)
ASKED = ("bottle_days", "bottle_expiry", "bottle_amount", "bottle_wasted")
Verdict = Literal["yes", "no", "not-told", "no-bottle", "no-need"]
OfABottle = say.Bottle | say.BottleGone | say.BottleLeft | say.BottleDays


# Which bottle ---------------------------------------------------------------------------------------------


def _standing(talk: Talk) -> tuple[stock.Bottle, ...]:
    return tuple(each for each in shelf(talk).bottles if not each.gone)


def _of_lot(bottles: Sequence[stock.Bottle], lot: str | None) -> list[stock.Bottle]:
    wanted = (lot or "").lower()
    return [each for each in bottles if wanted and stock.called(each).lower() == wanted]


def _meant(talk: Talk, said: OfABottle, bottles: Sequence[stock.Bottle]) -> stock.Bottle:
    """The bottle that is spoken of: by its lot, else the only open one, else the only one. May raise
    `AskFirst`."""
    fitting = _of_lot(bottles, said.lot) or _of_lot(shelf(talk).bottles, said.lot)  # a gone one, if named
    if not (bottles or fitting):
        raise AskFirst(Reply(Ask("bottle", "none-told")))
    if said.lot and not fitting:
        raise AskFirst(Reply(Ask("bottle", "unknown-lot", words=said.lot), _which(said, bottles)))
    if fitting:
        return fitting[-1]
    meant = stock.plainly(bottles)
    if meant is None:
        raise AskFirst(Reply(Ask("bottle", "several"), _which(said, bottles)))
    return meant


def _which(said: OfABottle, bottles: Sequence[stock.Bottle]) -> tuple[Button, ...]:
    return tuple(
        Button(
            f"pick:{place}",
            say.OfBottle(dataclasses.replace(said, lot=None), each.number),
            "of-bottle",
            (("called", stock.called(each)),),
        )
        for place, each in enumerate(bottles[-MOST_BUTTONS:], 1)
    )


def of_bottle(talk: Talk, said: say.OfBottle) -> None:
    """What was said of a bottle, of the one that was chosen."""
    bottle = named(talk, said.bottle)
    if bottle is None:
        raise AskFirst(Reply(Ask("bottle", "none-told")))
    match said.said:
        case say.Bottle():
            _more(talk, bottle, said.said)
        case say.BottleGone():
            _gone(talk, bottle, said.said)
        case say.BottleLeft():
            _left(talk, bottle, said.said)
        case say.BottleDays():
            _days(talk, bottle, said.said)


def _say(
    talk: Talk,
    what: str,
    number: int,
    events: Sequence[int],
    asks: str = "",
    amount: float | None = None,
    difference: Decimal | None = None,
) -> None:
    """The bottle as it stands after what was told of it."""
    bottle = named(talk, number)
    assert bottle is not None
    unlabelled = bottle.opened_at is not None and bottle.keeps_days is None
    usual = stock.USUAL_OPEN_DAYS if asks == "bottle-days" and unlabelled else None
    found, missing = by_count(difference)
    years = stock.USUAL_CLOSED_YEARS if asks == "bottle-expiry" else None
    fact = BottleNow(what, on_shelf(talk, bottle), amount, found, missing, usual, years)
    if asks:
        _await(talk, asks, bottle)
    talk.say(fact, Button("undo", say.Undo(tuple(events)), "undo"), asks=asks)


def _await(talk: Talk, asks: str, bottle: stock.Bottle) -> None:
    """A bare figure or day, within a day, is the answer for this bottle."""
    lot = stock.called(bottle)
    waits = say.BottleDays(lot=lot) if asks == "bottle-days" else say.Bottle(lot=lot)
    about = asks.replace("-", "_")
    talk.awaiting = say.Awaiting(about, pending=(waits,), until=talk.desk.now + DAY)


def _lot_asked(talk: Talk, said: say.Bottle | say.BottleDays | say.BottleGone) -> str | None:
    """The lot that was told, else that of the bottle that was asked about."""
    asked = talk.desk.awaiting
    waiting = asked.pending if asked and asked.about in ASKED else ()
    return said.lot or next((each.lot for each in waiting if isinstance(each, type(said))), None)


def by_count(difference: Decimal | None) -> tuple[float, float]:
    """By how much a count found more than the ledger said, and how much was missing."""
    counted = difference or stock.NONE
    return float(max(counted, stock.NONE)), float(max(-counted, stock.NONE))


def _entry(talk: Talk, number: int, event: int) -> Decimal | None:
    """The amount of the line that an event made of a bottle."""
    bottle = named(talk, number)
    return next((each.amount for each in bottle.entries if each.event == event), None) if bottle else None


# In, opened, told -----------------------------------------------------------------------------------------


def bottle(talk: Talk, said: say.Bottle) -> None:
    """A bottle that came in, or was opened, or more of what its label says."""
    _check(said)
    bottles = _standing(talk)
    if said.opened is None and said.lot is None and not (said.ml and said.expiry):
        said = dataclasses.replace(said, lot=_lot_asked(talk, said))
    known = _of_lot(bottles, said.lot)
    if known and (not _holds(said) or known[-1].entries[0].amount is None):
        _more(talk, known[-1], said)
    elif known:
        buttons = (
            Button("yes", say.AnotherBottle(said), "another-bottle"),
            Button("pick:1", say.OfBottle(said, known[-1].number), "bottle-mended"),
            Button("no", say.Nothing("bottle"), "same-bottle"),
        )
        raise AskFirst(Reply(Ask("bottle", "same-lot", words=stock.called(known[-1])), buttons))
    elif bottles and not _holds(said) and said.lot is None and said.expiry is None:
        closed = [each for each in bottles if each.opened_at is None] or bottles
        _more(talk, _meant(talk, said, closed), said)
    else:
        _came(talk, said)


def another(talk: Talk, said: say.AnotherBottle) -> None:
    """One more of a lot that is there."""
    _came(talk, said.said)


def _holds(said: say.Bottle) -> bool:
    return any(each is not None for each in (said.ml, said.mg, said.glands))


def _check(said: say.Bottle) -> None:
    if said.expiry and stock.last_day(said.expiry) is None:
        raise AskFirst(Reply(Ask("bottle", "not-a-day", words=said.expiry)))
    amounts = [each for each in (said.ml, said.mg, said.glands, said.count) if each is not None]
    if any(not 0 < each <= MOST_ML for each in amounts):
        raise AskFirst(Reply(Ask("bottle", "implausible", number=amounts[0])))


def _came(talk: Talk, said: say.Bottle) -> None:
    dry = said.ml is None and (said.mg is not None or said.glands is not None)
    preparation = said.preparation or usual_preparation(talk, dry)
    number = _number(talk)
    what = BottleIn(
        number,
        preparation,
        _amount(talk, preparation, said),
        dosing.label_for(preparation, talk.farm.strength),
        said.lot or "",
        said.expiry or "",
    )
    told = [talk.tell(BOOK, what).id]
    if said.opened:
        told.append(talk.tell(BOOK, BottleOpened(number), _day(talk, said.opened)).id)
    asks = "bottle-amount" if what.amount is None else "" if what.expiry else "bottle-expiry"
    _say(talk, "in", number, told, asks or ("bottle-days" if said.opened else ""))


def _number(talk: Talk) -> int:
    """A free number; of a message that is edited, the number its bottle had."""
    had = [event.what.bottle for event in talk.desk.edited or () if isinstance(event.what, BottleIn)]
    return had[0] if had else stock.number_free(talk.events_of(BOOK))


def _amount(talk: Talk, preparation: Preparation, said: say.Bottle) -> float | None:
    """All that the bottles hold, in what their preparation is counted in; `None` where that was not told."""
    count = said.count or 1.0
    label, gland = talk.farm.strength, talk.farm.gland_mg
    match preparation:
        case "premix" | "own":
            return None if said.ml is None else said.ml * count
        case "hcg":
            vial = label.iu_per_vial if label else None
            return None if vial is None else vial * count
        case "lhrha":
            return None if said.mg is None else said.mg * 1000 * count
        case "pituitary":
            by_gland = said.glands * gland if said.glands is not None and gland is not None else None
            return by_gland if said.mg is None else said.mg * count


def _day(talk: Talk, day: str) -> datetime:
    return talk.said_at - DAY if day == "yesterday" else talk.said_at


def _more(talk: Talk, bottle: stock.Bottle, said: say.Bottle) -> None:
    """More of a bottle's label, or that it was opened."""
    number = bottle.number
    told: list[int] = []
    if said.expiry or _holds(said):
        amount = _amount(talk, bottle.preparation, said) if _holds(said) else None
        told.append(talk.tell(BOOK, BottleTold(number, amount, expiry=said.expiry)).id)
    opens = said.opened is not None or not told
    if opens:
        told.append(talk.tell(BOOK, BottleOpened(number), _day(talk, said.opened or "today")).id)
    asks = "bottle-days" if opens and bottle.keeps_days is None else ""
    _say(talk, "opened" if opens else "told", number, told, asks)


def days(talk: Talk, said: say.BottleDays) -> None:
    """How long a bottle is good once opened, by its label."""
    if said.days is None or not 0 < said.days <= MOST_DAYS:
        raise AskFirst(Reply(Ask("bottle", "days-asked")))
    said = dataclasses.replace(said, lot=_lot_asked(talk, said))
    _days(talk, _meant(talk, said, _standing(talk)), said)


def _days(talk: Talk, bottle: stock.Bottle, said: say.BottleDays) -> None:
    event = talk.tell(BOOK, BottleKeeps(bottle.number, said.days or 0.0))
    _say(talk, "keeps", bottle.number, [event.id])


# Spilled, gone, counted -----------------------------------------------------------------------------------


def gone(talk: Talk, said: say.BottleGone) -> None:
    """Some was spilled, or the bottle is empty, broken, thrown away."""
    said = dataclasses.replace(said, lot=_lot_asked(talk, said))
    _gone(talk, _meant(talk, said, _standing(talk)), said)


def _gone(talk: Talk, bottle: stock.Bottle, said: say.BottleGone) -> None:
    _check_volume(bottle, said.ml)
    if said.what == "empty":
        _counted(talk, bottle, 0.0)
        return
    if said.what == "wasted":
        if said.ml is None:
            waits = dataclasses.replace(said, lot=stock.called(bottle))
            awaiting = say.Awaiting("bottle_wasted", pending=(waits,), until=talk.desk.now + DAY)
            raise AskFirst(Reply(Ask("bottle", "how-much", words=stock.called(bottle))), awaiting)
        event = talk.tell(BOOK, BottleWasted(bottle.number, said.ml))
        _say(talk, "wasted", bottle.number, [event.id], amount=said.ml)
        return
    event = talk.tell(BOOK, BottleWasted(bottle.number, None, said.what))
    wasted = _entry(talk, bottle.number, event.id)
    _say(talk, said.what, bottle.number, [event.id], amount=None if wasted is None else float(wasted))


def left(talk: Talk, said: say.BottleLeft) -> None:
    """So much is left, as somebody sees: what the ledger says otherwise is a line of its own."""
    _left(talk, _meant(talk, said, _standing(talk)), said)


def _left(talk: Talk, bottle: stock.Bottle, said: say.BottleLeft) -> None:
    _check_volume(bottle, said.ml)
    if said.ml is None:
        raise AskFirst(Reply(Ask("bottle", "how-much", words=stock.called(bottle))))
    _counted(talk, bottle, said.ml)


def _counted(talk: Talk, bottle: stock.Bottle, amount: float) -> None:
    event = talk.tell(BOOK, BottleCounted(bottle.number, amount))
    what, difference = "counted" if amount else "empty", _entry(talk, bottle.number, event.id)
    _say(talk, what, bottle.number, [event.id], amount=amount, difference=difference)


def _check_volume(bottle: stock.Bottle, ml: float | None) -> None:
    if ml is not None and bottle.unit != "mL":
        raise AskFirst(Reply(Ask("bottle", "other-unit", words=stock.called(bottle))))
    if ml is not None and not 0 <= ml <= MOST_ML:
        raise AskFirst(Reply(Ask("bottle", "implausible", number=ml)))


# Which bottle a run is drawn from -------------------------------------------------------------------------


def after_needle(talk: Talk, number: int) -> None:
    """The bottle an injection was drawn from: the only one it can be; of several it is asked, and the
    injection stands."""
    run = talk.run(number)
    if not shelf(talk).bottles:
        return
    fitting = meant_for(talk, run)
    meant = stock.plainly(fitting)
    if meant is not None:
        if run.bottle != meant.number:
            talk.tell(number, DrawsFrom(meant.number))
        _say_drawn(talk, number)
    elif fitting:
        buttons = tuple(
            Button(
                f"pick:{place}",
                say.DrawFrom(number, each.number),
                "of-bottle",
                (("called", stock.called(each)),),
            )
            for place, each in enumerate(fitting[-MOST_BUTTONS:], 1)
        )
        none = Button("answer:none", say.DrawFrom(number, 0), "no-bottle")
        talk.say(Ask("bottle", "which-drawn", number, talk.called(run)), *buttons, none)


def _say_drawn(talk: Talk, number: int) -> None:
    run = talk.run(number)
    bottle = named(talk, run.bottle or 0)
    if bottle is not None:
        talk.say(BottleNow("drawn", on_shelf(talk, bottle), run=number, called=talk.called(run)))


def draw_from(talk: Talk, said: say.DrawFrom) -> None:
    """The bottle that was chosen for a run, or none."""
    run = talk.run(said.run_number)
    talk.tell(run.number, DrawsFrom(said.bottle))
    if said.bottle:
        _say_drawn(talk, run.number)
    else:
        talk.say(Noted("no-bottle", run.number, talk.called(run)))


def from_bottle(talk: Talk, said: say.FromBottle) -> None:
    """ "From bottle A3": of the run that was injected, or is made ready."""
    bottles = shelf(talk).bottles
    known = _of_lot(_standing(talk), said.lot) or _of_lot(bottles, said.lot)
    if not known:
        raise AskFirst(Reply(Ask("bottle", "unknown-lot" if bottles else "none-told", words=said.lot or "")))
    run = run_for(talk, said, lambda each: bool(each.fish), words=said.run, ended=True)
    draw_from(talk, say.DrawFrom(run.number, known[-1].number))


# Enough for tomorrow --------------------------------------------------------------------------------------


def enough(talk: Talk, said: say.Question) -> None:
    """Whether what is left lasts for what is injected until the end of tomorrow."""
    needs = dict(_needs(talk))
    for preparation in needs or [_asked_preparation(talk, said)]:
        talk.say(_enough(talk, preparation, needs.get(preparation)))


@dataclasses.dataclass(frozen=True, slots=True)
class Need:
    """What runs that are planned or made ready still take, and how many they are."""

    amount: Decimal
    runs: tuple[Run, ...]


def _needs(talk: Talk) -> Iterator[tuple[Preparation, Need]]:
    found: dict[Preparation, Need] = {}
    for run in talk.live():
        if run.batches or _is_later(talk, run):
            continue
        amount = still_needed(talk, run)
        if amount:
            before = found.get(run.preparation, Need(stock.NONE, ()))
            exact = stock.exact(amount, stock.UNITS[run.preparation])
            found[run.preparation] = Need(before.amount + exact, (*before.runs, run))
    yield from found.items()


def _is_later(talk: Talk, run: Run) -> bool:
    """Whether its needle is planned for a day after tomorrow."""
    if run.planned is None:
        return False
    day = run.planned.final_at.astimezone(talk.zone).date()
    return day > (talk.desk.now + DAY).astimezone(talk.zone).date()


def still_needed(talk: Talk, run: Run) -> float | None:
    """What the sheet of a run still takes of the bottle: all of it with waste before the first needle, then
    the shots to come; `None` where nobody published a dose."""
    try:
        worked = doses_of(talk, run)
    except NoFigure:
        return None
    in_ml = stock.UNITS[run.preparation] == "mL"
    if not any(fish.shots for fish in run.fish):
        return worked.draw_ml if in_ml else worked.make
    lines = {line.tag: line for line in worked.lines}
    total = 0.0
    for fish in run.fish:
        final = bool(fish.shots) and fish.shots[-1].which != "priming"
        line = lines.get(fish.tag)
        coming = line.shots[len(fish.shots) :] if line and fish.state == "waiting" and not final else ()
        total += sum((shot.drawn_ml if in_ml else shot.amount) or 0.0 for shot in coming)
    return total


def _asked_preparation(talk: Talk, said: say.Question) -> Preparation:
    """What the farm injects: as named, else by its only kind of bottle, else by its newest run."""
    if said.preparation is not None:
        return said.preparation
    kinds = list(dict.fromkeys(each.preparation for each in _standing(talk)))
    if len(kinds) == 1:
        return kinds[0]
    newest = max(talk.rows_now(), key=lambda row: row.age, default=None)
    live = [run.preparation for run in talk.live()]
    return live[-1] if live else (newest.preparation if newest else None) or (kinds or ["premix"])[0]


def _enough(talk: Talk, preparation: Preparation, need: Need | None) -> HormoneEnough:
    all_of_it = shelf(talk)
    strengths = {strength_of(run) for run in need.runs} if need else {None}
    strength = strengths.pop() if len(strengths) == 1 else None
    fitting = stock.holding(all_of_it, preparation, strength)
    left = stock.left_in(fitting, talk.zone, talk.desk.now + DAY)
    usual = None if need else stock.usual(talk.rows_now(), preparation)
    wanted = need.amount if need else usual.mean if usual else None
    known = [each for each in fitting if each.number in left.bottles]
    of_that = [each for each in all_of_it.bottles if each.preparation == preparation and not each.gone]
    unknown = tuple(stock.called(each) for each in fitting if each.number in left.unknown)
    short = stock.NONE if wanted is None else max(wanted - left.amount, stock.NONE)
    return HormoneEnough(
        verdict=_verdict(bool(fitting), left, wanted),
        preparation=preparation,
        unit=stock.UNITS[preparation],
        left=float(left.amount),
        need=None if wanted is None else float(wanted),
        of="planned" if need else "usual" if usual else "",
        runs=len(need.runs) if need else usual.runs if usual else 0,
        short=float(short),
        expired=float(left.expired),
        untold=sum(each.untold for each in known),
        unknown=unknown,
        others=tuple(stock.called(each) for each in of_that if each not in fitting),
    )


def _verdict(any_bottle: bool, left: stock.Left, wanted: Decimal | None) -> Verdict:
    if not any_bottle:
        return "no-bottle"
    if wanted is None:
        return "no-need"
    if left.amount >= wanted:
        return "yes"
    return "not-told" if left.unknown else "no"


# The shelf and its ledger ---------------------------------------------------------------------------------


def what_is_there(talk: Talk, said: say.Question) -> None:
    """The bottles on the shelf."""
    bottles = _standing(talk)
    if not bottles:
        raise AskFirst(Reply(Ask("bottle", "none-told")))
    unlabelled = [each for each in bottles if each.opened_at is not None and each.keeps_days is None]
    asks = "bottle-days" if len(unlabelled) == len(bottles) == 1 else ""
    if asks:
        _await(talk, asks, unlabelled[0])
    talk.say(ShelfNow(tuple(on_shelf(talk, each) for each in bottles)), asks=asks)


def ledger(talk: Talk, said: say.Question) -> None:
    """What came in, was used and is left, over this season or the last month."""
    since, until = span_of(talk, said.period or "season")
    all_of_it = stock.shelf(talk.book_events(), talk.rows_now())
    found = stock.ledgers(all_of_it, since, until)
    if not found:
        raise AskFirst(Reply(Ask("bottle", "none-told")))
    names = {each.number: stock.called(each) for each in all_of_it.bottles}
    for each in found:
        talk.say(_as_told(each, names, said.period or "season", since, until))


def _as_told(
    found: stock.Ledger, names: dict[int, str], period: str, since: datetime, until: datetime
) -> HormoneLedger:
    none = LedgerLine("", None, None, float(found.from_none), None, None, untold=found.untold_none)
    return HormoneLedger(
        preparation=found.preparation,
        unit=found.unit,
        period=period,
        since_at=since,
        until_at=until,
        lines=tuple(_line(each, names[each.bottle]) for each in found.lines),
        whole=_line(found.whole, ""),
        left_out=tuple(names[each] for each in found.left_out),
        from_none=none if found.runs_of_none else None,
        runs_of_none=len(found.runs_of_none),
    )


def _line(line: stock.Line, name: str) -> LedgerLine:
    def plain(amount: Decimal | None) -> float | None:
        return None if amount is None else float(amount)

    return LedgerLine(
        name,
        plain(line.opening),
        plain(line.came),
        float(line.used),
        plain(line.wasted),
        plain(line.closing),
        *by_count(line.counted),
        line.untold,
    )


# Bells of the shelf ---------------------------------------------------------------------------------------


def bell_fact(
    talk: Talk, reminder: Reminder, attempt: int, late_minutes: int, tried: tuple[str, ...]
) -> StepDue:
    """What a bell of the shelf says."""
    key, due = reminder.bell.key, reminder.bell.due_at
    bottle = named(talk, int(key.batch))
    usual = stock.usual(talk.rows_now(), bottle.preparation) if bottle else None
    low = key.step == "bottle-low" and bottle is not None
    left = reminders.left_beside(shelf(talk), bottle, talk.zone, talk.desk.now) if low and bottle else None
    fact = None if bottle is None else on_shelf(talk, bottle)
    if fact is not None and left is not None:
        fact = dataclasses.replace(fact, left=float(left.amount))
    return StepDue(
        step=key.step,
        due_at=due,
        run=BOOK,
        called="",
        species=None,
        way="stripped",
        group="",
        batch=key.batch,
        place="",
        late_minutes=late_minutes,
        look=key.look,
        attempt=attempt,
        tried=tried,
        bottle=fact,
        need=float(usual.mean) if usual and low else None,
        runs=usual.runs if usual and low else 0,
    )


def bell_buttons(key: StepKey) -> tuple[Button, ...]:
    """How a bell of the shelf is answered."""
    done = Button("done", say.BookBell(key), "done")
    later = Button("later", say.BookBell(key, later=True), "tomorrow-morning")
    if key.step != "bottle-expires":
        return (done, later)
    gone = say.OfBottle(say.BottleGone("thrown-away"), int(key.batch))
    return (done, Button("answer:thrown-away", gone, "thrown-away"), later)


def book_bell(talk: Talk, said: say.BookBell) -> None:
    """A bell of the shelf is seen to, or comes again the next morning."""
    key = said.key
    if not said.later:
        event = talk.tell(BOOK, StepDone(key))
        talk.say(Noted("shelf-seen", step=key.step), Button("undo", say.Undo((event.id,)), "undo"))
        return
    until = reminders.next_clock(talk.desk.now, reminders.SHELF_HOUR, talk.zone)
    talk.tell(BOOK, Postponed(dataclasses.replace(key, look=0), until))
    talk.say(Noted("postponed", at=until, step=key.step))


def _needle_is_near(talk: Talk) -> bool:
    """Whether "done" may be of an injection that is planned for about now; a bell that was replied to is
    meant itself."""
    planned = [run.planned.final_at for run in talk.live() if run.planned is not None and not run.groups]
    near = any(abs(talk.said_at - at) <= ECHO for at in planned)
    return near and talk.desk.bell is None


def answers_bell(talk: Talk, said: say.Command) -> bool:
    """ "Done" or "later" where only a bell of the shelf rings, or one was replied to: it is answered."""
    if not isinstance(said, say.Finished | say.Snooze) or said.key is not None:
        return False
    if isinstance(said, say.Finished) and (said.well or said.run or said.place or _needle_is_near(talk)):
        return False
    bell = talk.desk.bell
    rung = (bell,) if bell else talk.desk.ringing
    of_the_book = [each for each in rung if each.bell.run == BOOK and (bell or each.next_at is not None)]
    if not of_the_book or len(of_the_book) < len([each for each in rung if bell or each.next_at is not None]):
        return False
    for each in of_the_book:
        book_bell(talk, say.BookBell(each.bell.key, later=isinstance(said, say.Snooze)))
    return True
