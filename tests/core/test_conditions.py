"""What a run lived through: water, hours against the window, eggs that waited. Sums by hand stand beside."""

from __future__ import annotations

from typing import Any

import pytest

from core import conditions, results
from core.records import (
    Collected,
    Counted,
    EggsOf,
    EggsRun,
    FishWeighed,
    FishWeight,
    Injected,
    LookRow,
    Opened,
    Placed,
    Run,
    StepDone,
    StepKey,
    Stripped,
    WaterRead,
    WaterRow,
)
from tests.core.cards import folder
from tests.core.test_runs import run_of

CATFISH = folder().cards["african-catfish"]
BEGUN = (
    Opened("african-catfish", "stripped", "premix", None),
    FishWeighed((FishWeight("F1", "f", 2.4), FishWeight("F2", "f", 3.1), FishWeight("M1", "m", 1.9))),
    (2.5, Injected("1", ("F1", "F2"), "only")),
)


def night(*more: Any) -> Run:
    return run_of(*BEGUN, *more)


def eggs(hours: float, tag: str = "F1", batch: str = "1") -> tuple[float, Stripped]:
    return hours, Stripped(batch, (EggsOf(tag, 300.0),))


# Water ----------------------------------------------------------------------------------------------------


def test_water_nobody_told_is_nobodys() -> None:
    assert conditions.water_until_eggs(night(eggs(12))) is None
    assert conditions.water_until_eggs(night((3, WaterRead(27.0)))) is None  # no eggs yet


def test_one_reading_is_the_water_of_all_hours() -> None:
    assert conditions.water_until_eggs(night((2.5, WaterRead(27.0)), eggs(12))) == WaterRow(
        27.0, 27.0, 27.0, 1
    )


def test_the_mean_is_over_the_hours_and_not_over_the_readings() -> None:
    # 27 C at the needle (2.5 h), 25 C four hours later, and 25 C till the eggs at 12.5 h:
    # 4 h at 26 on average, 6 h at 25: (104 + 150) / 10 = 25.4
    told = [(2.5, WaterRead(27.0)), (6.5, WaterRead(25.0)), (12.5, WaterRead(25.0))]
    assert conditions.water_until_eggs(night(*told, eggs(12.5))) == WaterRow(25.4, 25.0, 27.0, 3)


def test_a_guess_among_the_readings_is_said() -> None:
    row = conditions.water_until_eggs(night((2.5, WaterRead(27.0, "guessed")), eggs(12)))
    assert row is not None and row.guessed


def test_water_of_another_tank_and_of_two_days_before_does_not_count() -> None:
    other = (3, WaterRead(22.0, place="tank 2"))
    placed = Placed(("F1", "F2"), "tank 1")
    run = run_of(*BEGUN[:2], placed, BEGUN[2], other, (3, WaterRead(27.0, place="tank 1")), eggs(12))
    assert conditions.water_until_eggs(run) == WaterRow(27.0, 27.0, 27.0, 1)
    late = run_of(*BEGUN[:2], (0, WaterRead(20.0)), (48, Injected("1", ("F1",), "only")), eggs(58))
    assert conditions.water_until_eggs(late) is None


def test_the_water_of_the_eggs_is_from_these_to_the_hatching() -> None:
    # eggs at 12 h, hatched told at 36 h; 28 C told at 12 h, 24 C at 36 h: a straight line, 26 on average
    told = [(2.5, WaterRead(30.0)), (12, WaterRead(28.0)), (36, WaterRead(24.0))]
    run = night(*told, eggs(12), (36, Counted("1", "hatched", percent=60.0)))
    assert conditions.water_until_hatch(run) == WaterRow(26.0, 24.0, 28.0, 3)
    assert conditions.water_until_hatch(night(*told, eggs(12))) is None


# The window -----------------------------------------------------------------------------------------------


def test_the_hours_of_the_window_are_those_of_the_card_in_the_water_told() -> None:
    """At 27 C: 106.6 / (27 - 15.05) = 8.92 h. From 20:32, to the quarter outward: 0.90 of it is 8.03 h, 04:33
    so 04:30 (7.97 h); 0.98 is 8.74 h, 05:16, so 05:15 (8.72 h); 1.24 is 11.06 h, 07:35, so 07:45 (11.22 h);
    1.515 is 13.51 h, 10:02, so 10:15 (13.72 h)."""
    row = conditions.window_of(night((2.5, WaterRead(27.0)), eggs(12)), CATFISH)
    assert row is not None
    assert (row.earliest, row.most_from, row.most_to, row.latest) == (7.97, 8.72, 11.22, 13.72)
    assert not row.assumed
    assert "okere-2015" in row.basis


def test_a_window_of_untold_water_says_so_and_without_a_card_there_is_none() -> None:
    row = conditions.window_of(night(eggs(12)), CATFISH)
    assert row is not None and row.assumed
    assert conditions.window_of(night(eggs(12)), None) is None
    assert conditions.window_of(night(), CATFISH) is None


@pytest.mark.parametrize(
    ("hours", "against"),
    [(7.0, "before"), (8.5, "early"), (9.5, "most"), (12.0, "late"), (15.0, "after")],
)
def test_where_the_hours_lie_against_the_window(hours: float, against: str) -> None:
    row = results.row_of(night((2.5, WaterRead(27.0)), eggs(2.5 + hours)), CATFISH)
    assert (row.hours_to_strip, results.against_window(row)) == (hours, against)


# Eggs that waited -----------------------------------------------------------------------------------------


def test_the_longest_that_eggs_ran_before_they_were_taken() -> None:
    seen = [(11, EggsRun("1", ("F1",))), (11.5, EggsRun("1", ("F2",)))]
    run = night(*seen, eggs(11.25), eggs(13, "F2", "2"))
    assert conditions.ran_minutes(run) == 90  # F1 a quarter of an hour, F2 an hour and a half
    assert conditions.ran_minutes(night(eggs(12))) is None
    assert conditions.ran_minutes(night((11, EggsRun("1")), eggs(11.75))) == 45  # nobody said whose


def test_the_longest_that_eggs_lay_before_the_milt() -> None:
    milt = StepDone(StepKey("fertilise", batch="1"))
    assert conditions.milt_minutes(night(eggs(12), (12.5, milt))) == 30
    assert conditions.milt_minutes(night(eggs(12))) is None
    assert conditions.milt_minutes(night((12.5, milt), eggs(13))) is None  # a clock that went back


def test_how_eggs_looked() -> None:
    watery = Stripped("1", (EggsOf("F1", 200.0, "watery"), EggsOf("F2", 100.0)))
    assert conditions.looks(night((12, watery))) == (LookRow("F1", "watery"),)


# The two hatch rates --------------------------------------------------------------------------------------


def test_of_all_and_of_the_good_eggs_each_from_the_other() -> None:
    fert = (24, Counted("1", "fertilised", percent=80.0))
    of_all = night(eggs(12), fert, (40, Counted("1", "hatched", percent=60.0, of="all")))
    assert results.hatched_both(of_all) == results.Hatch(60.0, 75.0)  # 60 / 0.8
    of_good = night(eggs(12), fert, (40, Counted("1", "hatched", percent=60.0, of="fertilised")))
    assert results.hatched_both(of_good) == results.Hatch(48.0, 60.0)  # 60 * 0.8
    nobody_knows = night(eggs(12), fert, (40, Counted("1", "hatched", percent=60.0)))
    assert results.hatched_both(nobody_knows) == results.Hatch(None, None)


def test_over_batches_each_is_worked_out_before_they_are_put_together() -> None:
    # 300 g each: 90 of 90 % fertilised is 81 % of all; 50 of 10 % is 5 %; on average 43, and not 70 * 50 = 35
    told = [
        *(eggs(12), eggs(12, "F2", "2")),
        *((24, Counted(n, "fertilised", percent=p)) for n, p in (("1", 90.0), ("2", 10.0))),
        *((40, Counted(n, "hatched", percent=p, of="fertilised")) for n, p in (("1", 90.0), ("2", 50.0))),
    ]
    assert results.hatched_both(night(*told)) == results.Hatch(43.0, 70.0)


def test_where_one_batch_is_not_known_the_whole_is_not() -> None:
    told = [
        *(eggs(12), eggs(12, "F2", "2"), (24, Counted("1", "fertilised", percent=90.0))),
        *((40, Counted(n, "hatched", percent=60.0, of="fertilised")) for n in "12"),
    ]
    assert results.hatched_both(night(*told)) == results.Hatch(None, 60.0)


def test_more_hatched_than_were_fertilised_is_no_rate() -> None:
    fert = (24, Counted("1", "fertilised", percent=50.0))
    run = night(eggs(12), fert, (40, Counted("1", "hatched", percent=60.0, of="all")))
    assert results.hatched_both(run) == results.Hatch(60.0, None)


def test_grams_and_litres_of_each_lot() -> None:
    two = results.row_of(night(eggs(12), (12, Collected("2", 1.5))), CATFISH)
    assert [(lot.grams, lot.litres) for lot in two.batches] == [(300.0, None), (None, 1.5)]
