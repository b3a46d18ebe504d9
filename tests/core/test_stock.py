"""The hormone shelf: its ledger adds up whatever was told, in any order, edited and taken back.

The ledger is judged by one that is written here, in whole thousandths of a millilitre and in plain sums; it
knows nothing of events.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core import stock
from core.records import (
    BOOK,
    BottleCounted,
    BottleIn,
    BottleKeeps,
    BottleOpened,
    BottleTold,
    BottleWasted,
    Event,
    Happening,
    NeedleRow,
    Preparation,
    Retracted,
    RunRow,
    Strength,
)
from core.runs import standing

T0 = datetime(2026, 5, 1, 6, 0, tzinfo=UTC)
HOUR = timedelta(hours=1)
FIRST, LAST = datetime(2000, 1, 1, tzinfo=UTC), datetime(2100, 1, 1, tzinfo=UTC)
SAVAR = ZoneInfo("Asia/Dhaka")


def event(number: int, what: Happening, hour: float = 0, said: float | None = None) -> Event:
    at = T0 + hour * HOUR
    return Event(number, 1, BOOK, T0 + (hour if said is None else said) * HOUR, at, what)


def row(run: int, *needles: tuple[float, float | None], bottle: int | None = 1, untold: int = 0) -> RunRow:
    """A run whose needles took so many mL at those hours."""
    found = tuple(NeedleRow(T0 + hour * HOUR, ml, untold or (ml is None)) for hour, ml in needles)
    begun = min((each.at for each in found), default=T0)
    preparation: Preparation = "premix"
    return RunRow(
        run, "african-catfish", begun, None, "closed", preparation=preparation, bottle=bottle, needles=found
    )


def one(book: Sequence[Event], *rows: RunRow) -> stock.Bottle:
    (bottle,) = stock.shelf(standing(book), rows).bottles
    return bottle


def d(text: str) -> Decimal:
    return Decimal(text)


# A bottle -------------------------------------------------------------------------------------------------


def test_a_bottle_gives_what_it_held() -> None:
    book = [event(1, BottleIn(1, "premix", 10.0, lot="A3")), event(2, BottleWasted(1, 0.5), 30)]
    bottle = one(book, row(1, (10, 2.4), (16, 1.1)), row(2, (40, 1.25)))
    assert bottle.left == d("4.750")
    line = stock.line(bottle, FIRST, LAST)
    assert (line.opening, line.came, line.used, line.wasted) == (0, d("10"), d("4.75"), d("0.5"))
    assert (line.counted, line.closing, line.untold) == (0, d("4.75"), 0)


def test_a_count_is_a_line_of_its_own_and_later_word_of_before_it_changes_the_difference_alone() -> None:
    book = [event(1, BottleIn(1, "premix", 10.0)), event(2, BottleCounted(1, 6.0), 20)]
    told = one(book, row(1, (10, 3.0)))
    assert (told.left, told.entries[-1].amount) == (6, -1)
    later = one(book, row(1, (10, 3.0)), row(2, (12, 0.75)))
    assert (later.left, later.entries[-1].amount) == (6, d("-0.25"))
    assert one(book, row(1, (10, 3.0)), row(2, (22, 0.75))).left == d("5.25")


def test_what_it_held_follows_from_its_first_count_where_nobody_told() -> None:
    book = [event(1, BottleIn(1, "premix"))]
    assert one(book, row(1, (10, 3.0))).left is None
    counted = one([*book, event(2, BottleCounted(1, 6.0), 20)], row(1, (10, 3.0)), row(2, (30, 1.0)))
    assert (counted.reckoned, counted.left, counted.entries[0].amount) == (True, 5, 9)


def test_more_than_it_held_is_never_silent() -> None:
    bottle = one([event(1, BottleIn(1, "premix", 2.0))], row(1, (1, 1.5)), row(2, (2, 1.7)))
    assert (bottle.left, bottle.over) == (d("-1.2"), d("1.2"))
    mended = [event(1, BottleIn(1, "premix", 2.0)), event(2, BottleTold(1, amount=10.0), 3)]
    assert one(mended, row(1, (1, 1.5)), row(2, (2, 1.7))).over == 0


def test_what_was_drawn_before_the_bottle_was_told_of_came_out_of_it() -> None:
    bottle = one([event(1, BottleIn(1, "premix", 10.0), 50)], row(1, (1, 1.5)))
    assert (bottle.left, bottle.over, bottle.came_at) == (d("8.5"), 0, T0 + HOUR)


@pytest.mark.parametrize(
    ("what", "gone", "wasted", "counted"),
    [
        (BottleCounted(1, 0.0), "empty", 0, -7),
        (BottleWasted(1, None, "broken"), "broken", 7, 0),
        (BottleWasted(1, None, "thrown-away"), "thrown-away", 7, 0),
    ],
)
def test_an_end_of_a_bottle(what: Happening, gone: str, wasted: int, counted: int) -> None:
    bottle = one([event(1, BottleIn(1, "premix", 10.0)), event(2, what, 9)], row(1, (1, 3.0)))
    line = stock.line(bottle, FIRST, LAST)
    assert (bottle.left, bottle.gone, line.wasted, line.counted) == (0, gone, wasted, counted)


def test_a_needle_nobody_told_the_amount_of_is_no_zero() -> None:
    bottle = one([event(1, BottleIn(1, "premix", 10.0))], row(1, (1, 3.0), (7, None)))
    assert (bottle.left, bottle.untold) == (7, 1)
    assert stock.line(bottle, FIRST, LAST).untold == 1


def test_a_run_without_a_bottle_has_its_own_line() -> None:
    book = standing([event(1, BottleIn(1, "premix", 10.0))])
    shelf = stock.shelf(book, [row(1, (1, 3.0)), row(2, (2, 1.5), bottle=None), row(3, (3, 2.0), bottle=9)])
    (ledger,) = stock.ledgers(shelf, FIRST, LAST)
    assert (ledger.whole.closing, ledger.from_none, ledger.runs_of_none) == (7, d("3.5"), (2, 3))


def test_another_preparation_is_never_counted_in_millilitres_of_this_one() -> None:
    book = standing([event(1, BottleIn(1, "hcg", 50_000.0)), event(2, BottleIn(2, "premix", 10.0))])
    shelf = stock.shelf(book, [row(1, (1, 3.0), bottle=1)])
    assert [bottle.left for bottle in shelf.bottles] == [50_000, 10]
    assert [use.amount for use in shelf.from_none] == [3]
    premix, hcg = stock.ledgers(shelf, FIRST, LAST)
    assert (premix.unit, premix.from_none, hcg.unit, hcg.whole.closing) == ("mL", 3, "IU", 50_000)


# Its ledger, judged by another ----------------------------------------------------------------------------


@dataclass(frozen=True)
class Act:
    """Something done with one of three bottles, in thousandths of a mL; `takes_back` an act by its place."""

    what: str
    bottle: int
    hour: int
    amount: int
    takes_back: int = 0


ACTS = st.builds(
    Act,
    what=st.sampled_from(("in", "used", "used", "used", "wasted", "counted", "gone", "undo", "undo", "move")),
    bottle=st.integers(1, 3),
    hour=st.integers(0, 12),
    amount=st.integers(0, 12_000),
    takes_back=st.integers(0, 30),
)


TELLING = {
    "in": lambda act: BottleIn(act.bottle, "premix", act.amount / 1000),
    "wasted": lambda act: BottleWasted(act.bottle, act.amount / 1000),
    "gone": lambda act: BottleWasted(act.bottle, None, "broken"),
    "counted": lambda act: BottleCounted(act.bottle, act.amount / 1000),
}


def told_of(acts: Sequence[Act]) -> tuple[list[Event], list[RunRow]]:
    """The acts as the farm's book and as rows of runs: each use is a run of its own."""
    book: list[Event] = []
    rows: dict[int, RunRow] = {}
    by_place: dict[int, int] = {}
    for place, act in enumerate(acts):
        of_a_row = act.takes_back in rows
        what: Happening | None = TELLING[act.what](act) if act.what in TELLING else None
        if act.what == "used":
            rows[place] = row(place + 1, (act.hour, act.amount / 1000), bottle=act.bottle)
        elif act.what == "move" and of_a_row:  # an edit: the same needle, told otherwise
            run = rows[act.takes_back].run
            rows[act.takes_back] = row(run, (act.hour, act.amount / 1000), bottle=act.bottle)
        elif act.what == "undo" and of_a_row:
            del rows[act.takes_back]
        elif act.what == "undo" and act.takes_back in by_place:
            what = Retracted((by_place[act.takes_back],))
        if what is not None:
            by_place[place] = len(book) + 1
            book.append(event(len(book) + 1, what, act.hour, said=place))
    return book, list(rows.values())


@dataclass
class Plain:
    """A bottle as somebody with a pencil keeps it, in whole thousandths."""

    came: int
    lines: list[tuple[int, int, int, str, int]]  # hour, needles first, place, what, amount

    def sums(self, since: int, until: int) -> tuple[int, int, int, int, int, int]:
        """Opening, in, used, wasted, counted, closing over [since, until)."""
        start = min(line[0] for line in self.lines)
        left, opening, came, used, wasted, counted = 0, 0, 0, 0, 0, 0
        rest = sorted(line for line in self.lines if line[3] != "in")
        for hour, _, _, what, amount in [(start, 0, 0, "in", self.came), *rest]:
            before = left
            if what == "in":
                left += amount
            elif what in ("used", "wasted"):
                left -= amount
            elif what == "gone":
                left = min(left, 0)
            elif what == "counted":
                left = amount
            if hour < since:
                opening = left
            elif hour < until:
                came += left - before if what == "in" else 0
                used += before - left if what == "used" else 0
                wasted += before - left if what in ("wasted", "gone") else 0
                counted += left - before if what == "counted" else 0
        return opening, came, used, wasted, counted, opening + came - used - wasted + counted


def struck_out(acts: Sequence[Act]) -> tuple[set[int], dict[int, Act]]:
    """Which acts were taken back, by their places, and what needles were told otherwise."""
    undone_by: dict[int, int] = {}
    gone: set[int] = set()
    moved: dict[int, Act] = {}
    for place, act in enumerate(acts):
        target = acts[act.takes_back].what if act.takes_back < place else ""
        if act.what == "move" and target == "used" and act.takes_back not in gone:
            moved[act.takes_back] = act
        elif act.what == "undo" and target == "used":
            gone.add(act.takes_back)
        elif act.what == "undo" and (target in TELLING or act.takes_back in undone_by):
            undone_by[place] = act.takes_back
    for place in sorted(undone_by, reverse=True):  # the newest taking back stands, and undoes older ones
        if place not in gone:
            gone.add(undone_by[place])
    return gone, moved


def pencil(acts: Sequence[Act]) -> dict[int, Plain]:
    """The acts kept by hand: what stands of them, a bottle a page; the newest "in" of a bottle counts."""
    gone, moved = struck_out(acts)
    standing_still = [(place, moved.get(place, act)) for place, act in enumerate(acts) if place not in gone]
    pages: dict[int, Plain] = {}
    for place, act in standing_still:
        if act.what == "in":
            pages[act.bottle] = Plain(act.amount, [(act.hour, 0, place, "in", act.amount)])
    for place, act in standing_still:
        what = "used" if act.what == "move" and acts[place].what == "used" else act.what
        if act.bottle in pages and what in {"used", "wasted", "gone", "counted"}:
            pages[act.bottle].lines.append((act.hour, what != "used", place, what, act.amount))
    return pages


@settings(max_examples=500, deadline=None)
@given(st.lists(ACTS, max_size=30), st.integers(0, 12), st.integers(0, 12), st.randoms())
def test_the_ledger_adds_up(acts: list[Act], first: int, second: int, shuffled: random.Random) -> None:
    """Opening + in - used - wasted (and what counts found) = closing, over all and over any period, against
    the ledger kept by hand; whatever the order in which it is read."""
    book, rows = told_of(acts)
    shuffled.shuffle(rows)
    told = list(standing(book))
    shuffled.shuffle(told)
    shelf, pages = stock.shelf(told, rows), pencil(acts)
    assert [bottle.number for bottle in shelf.bottles] == sorted(pages)
    begin, end = sorted((first, second))
    for since, until in ((0, 13), (begin, end), (0, begin), (end, 13)):
        sums = []
        for bottle in shelf.bottles:
            line = stock.line(bottle, T0 + since * HOUR, T0 + until * HOUR)
            assert None not in (line.opening, line.came, line.wasted, line.counted, line.closing)
            told_by = (line.opening, line.came, line.used, line.wasted, line.counted, line.closing)
            assert [int((each or 0) * 1000) for each in told_by] == list(
                pages[bottle.number].sums(since, until)
            )
            sums.append([each or Decimal(0) for each in told_by])
        for ledger in stock.ledgers(shelf, T0 + since * HOUR, T0 + until * HOUR):
            whole = ledger.whole
            assert (whole.opening or 0) + (whole.came or 0) - whole.used - (whole.wasted or 0) + (
                whole.counted or 0
            ) == whole.closing
            assert not ledger.left_out


@settings(max_examples=200, deadline=None)
@given(st.lists(ACTS, max_size=30), st.integers(0, 12))
def test_a_period_opens_as_the_one_before_it_closed(acts: list[Act], hour: int) -> None:
    book, rows = told_of(acts)
    for bottle in stock.shelf(standing(book), rows).bottles:
        before = stock.line(bottle, FIRST, T0 + hour * HOUR)
        after = stock.line(bottle, T0 + hour * HOUR, LAST)
        assert (after.opening, after.closing) == (before.closing, bottle.left)
        assert bottle.over >= 0
        assert bottle.left is None or bottle.over >= -bottle.left


# How long it is good --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("label", "day"),
    [
        ("2027-05-31", date(2027, 5, 31)),
        ("2027-05", date(2027, 5, 31)),
        ("2028-02", date(2028, 2, 29)),
        ("2027-02-30", None),
        ("2027-13", None),
        ("next spring", None),
        ("", None),
    ],
)
def test_the_last_day_of_a_label(label: str, day: date | None) -> None:
    assert stock.last_day(label) == day


def test_a_bottle_is_good_until_the_sooner_of_two_days() -> None:
    book = [event(1, BottleIn(1, "premix", 10.0, expiry="2026-12")), event(2, BottleOpened(1), 20)]
    opened = one(book)
    assert stock.good_until(opened, SAVAR) == (date(2026, 12, 31), "label")  # nobody told how long it keeps
    kept = one([*book, event(3, BottleKeeps(1, 28.0), 20)])
    assert stock.good_until(kept, SAVAR) == (date(2026, 5, 30), "opened")  # opened on 2 May there
    assert not stock.expired(kept, SAVAR, datetime(2026, 5, 30, 17, 59, tzinfo=UTC))
    assert stock.expired(kept, SAVAR, datetime(2026, 5, 30, 18, 1, tzinfo=UTC))
    late = [
        event(1, BottleIn(1, "premix", 10.0, expiry="2026-05-10")),
        *book[1:],
        event(3, BottleKeeps(1, 28.0)),
    ]
    assert stock.good_until(one(late), SAVAR) == (date(2026, 5, 10), "label")


def test_the_first_needle_opens_a_bottle_that_nobody_said_was_opened() -> None:
    assert one([event(1, BottleIn(1, "premix", 10.0))]).opened_at is None
    assert one([event(1, BottleIn(1, "premix", 10.0))], row(1, (7, 1.0))).opened_at == T0 + 7 * HOUR


# Which bottle ---------------------------------------------------------------------------------------------

STRONG, WEAK = Strength(20.0, 10.0), Strength(10.0, 10.0)


def shelf_of(*told: Happening, rows: Sequence[RunRow] = ()) -> stock.Shelf:
    return stock.shelf([event(n, what, n) for n, what in enumerate(told, 1)], rows)


@pytest.mark.parametrize(
    ("told", "meant"),
    [
        ([], None),
        ([BottleIn(1, "premix", 10.0, STRONG)], 1),
        ([BottleIn(1, "premix", 10.0, WEAK)], None),
        ([BottleIn(1, "premix", 10.0, STRONG), BottleIn(2, "premix", 10.0, STRONG)], None),
        ([BottleIn(1, "premix", 10.0, STRONG), BottleIn(2, "premix", 10.0, STRONG), BottleOpened(2)], 2),
        ([BottleIn(1, "premix", 10.0), BottleIn(2, "hcg", 5000.0)], 1),
        ([BottleIn(1, "premix", 10.0), BottleCounted(1, 0.0)], None),
        ([BottleIn(1, "premix", 10.0), BottleWasted(1, None, "broken")], None),
        ([BottleIn(1, "premix"), BottleIn(2, "premix", 10.0, WEAK)], 1),
    ],
)
def test_the_one_bottle_that_can_be_meant(told: list[Happening], meant: int | None) -> None:
    found = stock.plainly(stock.holding(shelf_of(*told), "premix", STRONG))
    assert (found.number if found else None) == meant


def test_what_is_left_leaves_out_what_is_past_its_day() -> None:
    shelf = shelf_of(
        BottleIn(1, "premix", 10.0, expiry="2026-04"), BottleIn(2, "premix", 4.0), BottleIn(3, "premix")
    )
    left = stock.left_in(stock.holding(shelf, "premix", None), SAVAR, T0)
    assert (left.amount, left.bottles, left.unknown, left.expired) == (4, (2,), (3,), 10)


# What a run takes -----------------------------------------------------------------------------------------


def test_what_a_run_takes_is_of_the_newest_five_that_are_told() -> None:
    assert stock.usual([], "premix") is None
    rows = [row(n, (n, float(n))) for n in range(1, 101)]
    assert stock.usual(rows[:1], "premix") == stock.Usual(Decimal(1), 1)
    assert stock.usual(rows, "premix") == stock.Usual(Decimal(98), 5)
    untold = replace(rows[-1], needles=(NeedleRow(T0, 3.0, 1),))
    assert stock.usual([*rows[:-1], untold], "premix") == stock.Usual(Decimal(97), 5)
    assert stock.usual(rows, "hcg") is None


def test_a_number_is_never_given_twice() -> None:
    book = [event(1, BottleIn(1, "premix", 10.0)), event(2, BottleIn(2, "premix", 10.0))]
    assert stock.number_free(book) == 3
    assert stock.number_free([]) == 1


def test_amounts_are_exact_from_the_scale_on() -> None:
    book = [event(1, BottleIn(1, "premix", 1.0))]
    bottle = one(book, *[row(n, (n, 0.1)) for n in range(1, 11)])  # ten tenths, which no binary fraction is
    assert bottle.left == 0
    assert stock.line(bottle, FIRST, LAST).used == 1
