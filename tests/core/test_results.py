"""What a run gave: missing is never 0 and never averaged in."""

from __future__ import annotations

import dataclasses
from typing import Any

import pytest

from core import results
from core.comparing import over_period
from core.records import (
    Cancelled,
    Closed,
    Collected,
    Count,
    Counted,
    CountOf,
    Died,
    EggsOf,
    EggsWeighed,
    FishRow,
    FishWeighed,
    FishWeight,
    Injected,
    NeedleRow,
    NoEggs,
    Opened,
    Run,
    RunRow,
    Span,
    SpawnSeen,
    Strength,
    Stripped,
    WentIn,
)
from core.results import (
    Rate,
    Usual,
    eggs_by_weight,
    female_kg,
    gave_percent,
    grams_per_kg,
    hatched_of_all,
    newest_hatch,
    percent_of,
    usual,
)
from tests.core.cards import folder
from tests.core.events import DAY, HOUR, T0
from tests.core.test_runs import after, run_of

CARD = folder().cards["african-catfish"]


def row_of(run: Run) -> RunRow:
    return results.row_of(run, CARD)


OPENED = Opened("african-catfish", "stripped", "premix", None)
PAIR = FishWeighed((FishWeight("F1", "f", 2.4), FishWeight("F2", "f", 3.1), FishWeight("M1", "m", 1.9)))
INJECTED = Injected("1", ("F1", "F2"), "only")


def bowl(hours: float, name: str, grams: float | None, tag: str = "F1") -> tuple[float, Stripped]:
    return hours, Stripped(name, (EggsOf(tag, grams),))


def counted(hours: float, batch: str, **figures: Any) -> tuple[float, Counted]:
    return hours, Counted(batch, "hatched", **figures)


def night(*more: Any) -> Run:
    return run_of(OPENED, PAIR, INJECTED, *more)


def row(run: int, days: float, percent: float | None = None, **fields: Any) -> RunRow:
    begun = RunRow(run, "african-catfish", T0 + days * DAY, None, "closed", hatched_percent=percent)
    return dataclasses.replace(begun, **fields)


# One count ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("figures", "percent"),
    [
        ({"good": 164.0, "total": 200.0}, 82.0),
        ({"good": 1.0, "total": 3.0}, 33.3),
        ({"good": 0.0, "total": 200.0}, 0.0),
        ({"percent": 70.0, "good": 1.0, "total": 200.0}, 70.0),
        ({"percent": 0.0}, 0.0),
        ({"good": 150.0}, None),
        ({"good": 150.0, "total": 0.0}, None),
        ({"larvae": 40_000.0}, None),
        ({}, None),
    ],
)
def test_the_percent_a_count_tells(figures: dict[str, float], percent: float | None) -> None:
    told: dict[str, Any] = dict.fromkeys(("good", "total", "percent", "larvae")) | figures
    count = Count("hatched", T0, T0, of="all", deformed=None, event=1, **told)
    assert percent_of(count) == percent


def test_no_count_tells_nothing() -> None:
    assert percent_of(None) is None


# One run --------------------------------------------------------------------------------------------------


def test_a_run_without_figures_has_none() -> None:
    told = row_of(night())
    assert (told.hatched_percent, told.fertilised_percent, told.larvae, told.hours_to_strip) == (None,) * 4
    assert (told.hatched_of, told.hatched_at, told.had_eggs) == ("unknown", None, False)


def test_batches_count_by_their_grams_where_all_were_weighed() -> None:
    run = night(
        bowl(9, "1", 300),
        bowl(9, "2", 100, "F2"),
        counted(33, "1", percent=80.0, of="all"),
        counted(34, "2", percent=40.0, of="all"),
    )
    assert results.hatched(run) == Rate(70.0, "all", after(34))


def test_batches_count_the_same_where_one_was_not_weighed() -> None:
    run = night(
        bowl(9, "1", 300),
        bowl(9, "2", None, "F2"),
        counted(33, "1", percent=80.0, of="all"),
        counted(34, "2", percent=40.0, of="all"),
    )
    assert results.hatched(run) == Rate(60.0, "all", after(34))


def test_batches_by_volume_count_by_their_litres() -> None:
    run = night(
        (9, Collected("1", 3.0)),
        (9, Collected("2", 1.0)),
        counted(33, "1", percent=80.0, of="all"),
        counted(34, "2", percent=40.0, of="all"),
    )
    assert results.hatched(run) == Rate(70.0, "all", after(34))


def test_grams_are_not_weighed_against_litres() -> None:
    run = night(
        bowl(9, "1", 300),
        (9, Collected("2", 1.0)),
        counted(33, "1", percent=80.0, of="all"),
        counted(34, "2", percent=40.0, of="all"),
    )
    assert results.hatched(run) == Rate(60.0, "all", after(34))


def test_rates_of_all_and_of_the_good_ones_are_not_mixed() -> None:
    kinds: tuple[CountOf, ...] = ("fertilised", "all", "all")
    bowls = [bowl(9, str(n), 100) for n in (1, 2, 3)]
    counts = [counted(33, str(n), percent=30.0 * n, of=kinds[n - 1]) for n in (1, 2, 3)]
    assert results.hatched(night(*bowls, *counts)) == Rate(75.0, "all", after(33))


def test_a_batch_without_a_figure_is_left_out_of_the_rate() -> None:
    run = night(bowl(9, "1", 300), bowl(9, "2", 300, "F2"), counted(33, "1", percent=80.0))
    assert results.hatched(run) == Rate(80.0, "unknown", after(33))


def test_fertilised_and_hatched_are_two_rates() -> None:
    run = night(
        bowl(9, "1", 300),
        (21, Counted("1", "fertilised", good=164, total=200)),
        counted(33, "1", good=150, total=200, of="all"),
    )
    assert results.fertilised(run) == Rate(82.0, "unknown", after(21))
    assert results.hatched(run) == Rate(75.0, "all", after(33))


def test_deformed_larvae_are_no_hatch_and_larvae_untold_are_not_zero() -> None:
    one = night(bowl(9, "1", 300), counted(33, "1", larvae=40_000, deformed=1_500))
    assert results.larvae(one) == 38_500
    two = night(
        bowl(9, "1", 300),
        bowl(9, "2", 300, "F2"),
        counted(33, "1", larvae=40_000),
        counted(33, "2", percent=70),
    )
    assert results.larvae(two) == 40_000
    assert results.larvae(night(bowl(9, "1", 300), counted(33, "1", percent=70.0))) is None


def test_hours_from_the_final_injection_to_the_first_eggs_of_its_group() -> None:
    run = run_of(
        OPENED,
        PAIR,
        Injected("1", ("F1",), "priming"),
        (6, Injected("1", ("F1",), "resolving")),
        (8, Injected("2", ("F2",), "only")),
        bowl(16.5, "1", 300),
        bowl(20, "2", 200, "F2"),
    )
    assert results.hours_to_strip(run) == 10.5


def test_who_gave_eggs_of_those_injected() -> None:
    run = night(bowl(9, "1", 300), (10, NoEggs(("F2",))))
    assert (results.ovulated(run), results.injected(run)) == (1, 2)
    assert results.ovulated(night((10, NoEggs(("F1", "F2"))))) == 0


def test_eggs_without_a_name_do_not_tell_who_gave_them() -> None:
    run = night((9, Stripped("1", (EggsOf("", 500),), ("F1", "F2"))))
    assert (results.ovulated(run), results.injected(run)) == (None, 2)


def test_before_the_needle_and_in_a_nest_nobody_is_counted() -> None:
    assert results.injected(run_of(OPENED, PAIR)) is None
    assert results.ovulated(run_of(OPENED, PAIR)) is None
    nest = run_of(
        Opened("common-carp", "nest", "premix", None), PAIR, INJECTED, (11, SpawnSeen("1", "1", "yes"))
    )
    assert results.ovulated(nest) is None


def test_nobody_is_said_to_have_given_none_where_nobody_told() -> None:
    assert results.ovulated(night((200, Closed(False)))) is None


def test_the_row_of_a_closed_run() -> None:
    run = run_of(
        OPENED,
        PAIR,
        (2.5, INJECTED),
        bowl(12, "1", 300),
        (24, Counted("1", "fertilised", good=164, total=200)),
        counted(40, "1", good=150, total=200, of="all", larvae=150_000),
        (120, Closed(True)),
    )
    told = row_of(run)
    assert told.window is not None  # its hours are tried in test_conditions
    assert dataclasses.replace(told, window=None) == RunRow(
        run=1,
        species="african-catfish",
        begun_at=after(2.5),
        ended_at=after(120),
        state="closed",
        fertilised_percent=82.0,
        hatched_percent=75.0,
        hatched_of="all",
        hatched_at=after(40),
        larvae=150_000,
        hours_to_strip=9.5,
        ovulated=1,
        injected=2,
        had_eggs=True,
        injected_kg=5.5,
        gave_kg=2.4,
        egg_grams=300.0,
        fertilised_span=Span(76, 87),
        hatched_span=Span(69, 80),
        fish=(
            FishRow("F1", "f", 2.4, after(2.5), None, None, "ug", "stripped", after(12), 300.0),
            FishRow("F2", "f", 3.1, after(2.5), None, None, "ug", "waiting"),
            FishRow("M1", "m", 1.9),
        ),
        preparation="premix",
        needles=(NeedleRow(after(2.5), None, 2),),
        of_all_percent=75.0,
        of_fertilised_percent=91.5,  # 75 / 82
    )


def test_what_went_into_a_fish_is_told_of_all_its_shots_or_of_none() -> None:
    """Two needles of 0.2 and 1.0 mL at 20 ug per mL are 24 ug; where one is not known, the sum is not."""
    opened = Opened("african-catfish", "stripped", "premix", Strength(20.0, 10.0))
    first, second = Injected("1", ("F1",), "priming", ml=0.2), Injected("1", ("F1",), "resolving", ml=1.0)
    known = row_of(run_of(opened, PAIR, first, (6, second)))
    assert (known.fish[0].ml, known.fish[0].amount, known.fish[0].unit) == (1.2, 24.0, "ug")
    assert known.used_ml == 1.2
    half_known = row_of(run_of(opened, PAIR, Injected("1", ("F1",), "priming"), (6, second)))
    assert (half_known.fish[0].ml, half_known.fish[0].amount, half_known.used_ml) == (None, None, None)
    less = row_of(run_of(opened, PAIR, first, (6, second), (6.1, WentIn(("F1",), 0.5))))
    assert (less.fish[0].ml, less.fish[0].amount, less.used_ml) == (0.7, 14.0, 0.7)


def test_a_needle_takes_of_the_bottle_what_went_into_all_its_fish() -> None:
    """In mL of a premix, told or by what it holds; of hCG in IU; what nobody told is no zero."""
    opened = Opened("african-catfish", "stripped", "premix", Strength(20.0, 10.0))
    both, one = ("F1", "F2"), Injected("1", ("F1",), "resolving", per_kg=10.0, unit="ug")
    told = row_of(run_of(opened, PAIR, (2, Injected("1", both, "priming", ml=0.25)), (6, one)))
    assert told.needles == (NeedleRow(after(2), 0.5), NeedleRow(after(6), 1.2))  # 24 ug at 20 ug a mL
    unknown = row_of(run_of(OPENED, PAIR, (2, Injected("1", both, "priming", ml=0.25)), (6, one)))
    assert unknown.needles == (NeedleRow(after(2), 0.5), NeedleRow(after(6), None, 1))
    vial = Opened("african-catfish", "stripped", "hcg", Strength(iu_per_vial=5000.0, diluent_ml=5.0))
    (needle,) = row_of(run_of(vial, PAIR, (2, Injected("1", both, "only", ml=1.5)))).needles
    assert needle == NeedleRow(after(2), 3000.0)


def test_eggs_that_are_not_surely_hers_have_no_grams_of_hers() -> None:
    """A shared bowl, and grams after water."""
    shared = row_of(
        run_of(OPENED, PAIR, INJECTED, (9, Stripped("1", (EggsOf("", 500),), ("F1", "F2"), True)))
    )
    assert [(each.gave_at, each.egg_grams) for each in shared.fish[:2]] == [(after(9), None)] * 2
    wet = row_of(run_of(OPENED, PAIR, INJECTED, (9, Stripped("1", (EggsOf("F1", 500),), dry=False))))
    assert (wet.fish[0].gave_at, wet.fish[0].egg_grams) == (after(9), None)


def test_a_cancelled_and_an_unreported_run_keep_their_state() -> None:
    assert row_of(night((1, Cancelled()))).state == "cancelled"
    assert row_of(night((200, Closed(False)))).state == "not-reported"


# Several runs ---------------------------------------------------------------------------------------------


def test_the_last_hatch_is_that_of_the_newest_run_with_a_figure() -> None:
    old, new, none = row(1, 0, 80.0), row(2, 30, 60.0), row(3, 60)
    assert newest_hatch([old, none, new]) == results.Newest(new, (none,))
    assert newest_hatch([none]) is None
    assert newest_hatch([]) is None


def test_a_hatch_of_nothing_is_a_figure() -> None:
    nothing = row(2, 30, 0.0)
    assert newest_hatch([row(1, 0, 80.0), nothing]) == results.Newest(nothing, ())


def test_cancelled_runs_drafts_and_other_species_do_not_answer_for_a_hatch() -> None:
    rows = [
        row(1, 0, 80.0),
        row(2, 10, 10.0, state="cancelled"),
        row(3, 20, state="draft"),
        row(4, 30, 55.0, species="common-carp"),
    ]
    assert newest_hatch(rows, "african-catfish") == results.Newest(rows[0], ())
    assert newest_hatch(rows) == results.Newest(rows[3], ())


def test_of_two_runs_of_one_hour_the_later_number_is_newer() -> None:
    first, second = row(1, 5, 80.0), row(2, 5, 60.0)
    assert newest_hatch([second, first]) == results.Newest(second, ())


def test_a_season_leaves_out_what_was_not_reported() -> None:
    rows = [
        row(1, 0, 80.0, larvae=40_000),
        row(2, 10, 60.0),
        row(3, 20, state="not-reported"),
        row(4, 25, 20.0, state="cancelled"),
        row(5, 26, state="draft"),
        row(6, 40, 99.0),
    ]
    season = over_period(rows, T0, T0 + 40 * DAY)
    assert (season.runs, season.counted, season.left_out) == (3, 2, (rows[2],))
    assert (season.mean, season.low, season.high, season.larvae) == (70.0, 60.0, 80.0, 40_000)


def test_a_season_begins_at_its_first_instant_and_ends_before_its_last() -> None:
    rows = [row(1, 0, 80.0), row(2, 1, 60.0)]
    assert over_period(rows, T0, T0 + DAY).runs == 1
    assert over_period(rows, T0 + HOUR, T0 + DAY + HOUR).runs == 1
    empty = over_period(rows, T0 - DAY, T0)
    assert (empty.runs, empty.mean, empty.low, empty.high, empty.larvae) == (0, None, None, None, None)


def test_a_hatch_of_nothing_is_averaged_and_a_missing_one_is_not() -> None:
    season = over_period([row(1, 0, 80.0), row(2, 1, 0.0), row(3, 2)], T0, T0 + 9 * DAY)
    assert (season.mean, season.low) == (40.0, 0.0)


def test_a_season_of_one_species() -> None:
    rows = [row(1, 0, 80.0), row(2, 1, 60.0, species="common-carp")]
    assert over_period(rows, T0, T0 + DAY * 2, "common-carp").mean == 60.0


# What a run usually gives ---------------------------------------------------------------------------------


def test_the_newest_five_runs_of_the_species_that_have_the_figure() -> None:
    rows = [row(n, n, 10.0 * n, hatched_of="all") for n in range(1, 8)]
    rows += [row(8, 8), row(9, 9, 99.0, hatched_of="all", species="common-carp")]
    rows += [row(10, 10, 1.0, hatched_of="all", state="cancelled")]
    # 30, 40, 50, 60, 70
    assert usual(rows, "african-catfish", hatched_of_all) == Usual(50.0, 30.0, 70.0, 5)
    assert usual([row(1, 1)], "african-catfish", hatched_of_all) is None


def test_a_hatch_rate_of_the_good_eggs_is_one_of_all_through_the_fertilised() -> None:
    told = row(1, 1, 50.0, hatched_of="fertilised", fertilised_percent=80.0)
    assert hatched_of_all(told) == 40.0
    assert hatched_of_all(dataclasses.replace(told, fertilised_percent=None)) is None
    assert hatched_of_all(dataclasses.replace(told, hatched_of="unknown")) is None
    assert hatched_of_all(dataclasses.replace(told, hatched_of="all")) == 50.0


def test_shares_and_grams_of_a_row() -> None:
    told = row(1, 1, ovulated=3, injected=4, injected_kg=8.0, gave_kg=5.0, egg_grams=600.0)
    assert (gave_percent(told), grams_per_kg(told), female_kg(told)) == (75.0, 120.0, 2.0)
    bare = row(1, 1, injected=4)
    assert (gave_percent(bare), grams_per_kg(bare), female_kg(bare)) == (None, None, None)


def test_eggs_by_weight_only_where_all_of_it_is_sure() -> None:
    both = night(bowl(12, "1", 300), bowl(12, "2", 250, "F2"))
    assert eggs_by_weight(both) == (550.0, 5.5)  # 2.4 + 3.1 kg
    assert eggs_by_weight(night(bowl(12, "1", 300))) == (300.0, 2.4)  # the one that gave
    assert eggs_by_weight(night(bowl(12, "1", 300), bowl(12, "2", None, "F2"))) is None
    assert eggs_by_weight(night(bowl(12, "1", 300), (13, EggsWeighed("1", dry=False)))) is None
    unnamed = Stripped("1", (EggsOf("", 300),), shared=("F1", "F2"))
    assert eggs_by_weight(night((12, unnamed))) is None
    assert eggs_by_weight(night((12, dataclasses.replace(unnamed, all_gave=True)))) == (300.0, 5.5)
    assert eggs_by_weight(night()) is None


def test_what_a_row_tells_of_the_dead_and_of_what_only_its_day_is_known() -> None:
    """A cut male is dead and cut; eggs without an hour are of their day, not of when they were told."""
    opened = dataclasses.replace(OPENED, preparation_assumed=True)
    eggs = Stripped("1", (EggsOf("F1", 200),), hour_told=False)
    told = row_of(
        run_of(opened, PAIR, INJECTED, (9, Died(("M1",), cut=True)), (10, eggs), (11, Died(("F2",))))
    )
    assert told.preparation is None
    assert [(fish.tag, fish.cut, fish.died_at, fish.gave_at) for fish in told.fish] == [
        ("F1", False, None, T0 + HOUR * 10),
        ("F2", False, T0 + HOUR * 11, None),
        ("M1", True, T0 + HOUR * 9, None),
    ]
