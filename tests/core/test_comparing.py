"""Runs side by side, by rows written down here; sums by hand stand beside."""

from __future__ import annotations

import dataclasses
from typing import Any

import pytest

from core import comparing
from core.broodbook import brood_book, in_runs
from core.comparing import LeftOut, best, by_dose, by_female, by_name, by_water, measured, runs_of
from core.differences import Difference, differences, others_of
from core.records import BatchRow, FishRow, LookRow, RunRow, WaterRow, WindowRow
from core.runs import plain_tag
from tests.core.cards import folder
from tests.core.events import DAY, HOUR, T0

CATFISH = folder().cards["african-catfish"]


def her(tag: str = "8", **fields: Any) -> FishRow:
    told = FishRow(tag, "f", 2.0, T0, 1.0, 20.0, "ug", "stripped", T0 + 10 * HOUR, 240.0)
    return dataclasses.replace(told, **fields)


def row(run: int, percent: float | None = None, **fields: Any) -> RunRow:
    begun = T0 + run * 10 * DAY
    told = RunRow(run, "african-catfish", begun, None, "closed", hatched_percent=percent, hatched_of="all")
    more: dict[str, Any] = {"had_eggs": True, "fish": (her(),), "preparation": "premix"}
    return dataclasses.replace(told, **(more | fields))


def lot(percent: float | None, *tags: str) -> BatchRow:
    return BatchRow(tags[0], tags, "", None, percent, "all", None)


# One kind of rate -----------------------------------------------------------------------------------------


def test_the_kind_of_rate_that_most_runs_know_is_taken() -> None:
    told = [row(1, 60.0), row(2, 50.0, hatched_of="fertilised"), row(3, 40.0, hatched_of="fertilised")]
    found = measured(told)
    assert (found.of, dict(found.figures)) == ("fertilised", {2: 50.0, 3: 40.0})
    assert found.left_out == (LeftOut(told[0], "other-eggs"),)


def test_what_can_be_worked_out_is_of_all_eggs() -> None:
    """50 % of the good ones, of which there were 80 %: 40 % of all."""
    told = [row(1, 60.0), row(2, 50.0, hatched_of="fertilised", fertilised_percent=80.0)]
    found = measured(told)
    assert (found.of, dict(found.figures)) == ("all", {1: 60.0, 2: 40.0})


def test_why_each_run_is_left_out() -> None:
    told = [
        row(1, 60.0),
        row(2, had_eggs=False),
        row(3, state="not-reported", had_eggs=False),
        row(4),
        row(5, state="open"),
        row(6, 50.0, state="cancelled"),
        row(7, 50.0, hatched_of="unknown"),
    ]
    left = [(each.row.run, each.why) for each in measured(told).left_out]
    assert left == [(2, "no-eggs"), (3, "not-reported"), (4, "no-figure"), (7, "other-eggs")]


def test_of_two_equals_the_newest_is_the_best_and_none_of_none() -> None:
    found = best([row(1, 60.0), row(2, 60.0), row(3, 20.0)])
    assert found is not None
    assert (found.row.run, found.low, found.high, found.counted) == (2, 20.0, 60.0, 3)
    assert best([row(1)]) is None
    lowest = best([row(1, 60.0), row(2, 0.0)], worst=True)
    assert lowest is not None and lowest.percent == 0.0


# Groups ---------------------------------------------------------------------------------------------------


def test_fewer_than_three_runs_have_no_mean() -> None:
    found = by_name([row(1, 60.0), row(2, 50.0)], "species", lambda each: each.species)
    assert [(each.runs, each.mean, each.low, each.high) for each in found.groups] == [(2, None, 50.0, 60.0)]
    found = by_name([row(1, 60.0), row(2, 50.0), row(3, 10.0)], "species", lambda each: each.species)
    assert found.groups[0].mean == 40.0


def test_doses_a_syringe_mark_apart_are_one_and_others_are_not() -> None:
    def given(run: int, percent: float, ug: float | None, unit: str = "ug") -> RunRow:
        return row(run, percent, fish=(her(amount=ug, unit=unit),))

    # 20, 21 and 22 ug in 2 kg are 10, 10.5 and 11 a kilo: one group; 30 are 15: another
    told = [given(1, 60.0, 20.0), given(2, 50.0, 21.0), given(3, 70.0, 22.0), given(4, 30.0, 30.0)]
    found = by_dose([*told, given(5, 80.0, None), given(6, 40.0, 20.0, "mg")], None)
    assert [(each.span_low, each.span_high, each.unit, each.runs, each.mean) for each in found.groups] == [
        (10.0, 10.0, "mg", 1, None),
        (10.0, 11.0, "ug", 3, 60.0),
        (15.0, 15.0, "ug", 1, None),
    ]
    assert [(each.row.run, each.why) for each in found.left_out] == [(5, "no-dose")]


def test_a_dose_is_over_all_females_that_were_injected() -> None:
    two = row(1, 60.0, fish=(her(), her("9", kg=3.0, amount=30.0), her("10", first_at=None, amount=None)))
    dose = comparing.dose_of(two)
    assert dose is not None and dose.per_kg == 10.0  # 20 + 30 ug in 2 + 3 kg
    assert comparing.dose_of(row(1, fish=(her(amount=None),))) is None
    assert comparing.dose_of(row(1, fish=())) is None


def test_waters_are_put_together_by_two_degrees() -> None:
    def in_water(run: int, percent: float, celsius: float | None) -> RunRow:
        return row(run, percent, hatch_water=None if celsius is None else WaterRow(celsius, 20.0, 30.0, 2))

    told = [
        in_water(1, 60.0, 26.0),
        in_water(2, 50.0, 27.9),
        in_water(3, 20.0, 28.0),
        in_water(4, 30.0, None),
    ]
    found = by_water(told, None)
    assert [(each.span_low, each.span_high, each.runs) for each in found.groups] == [(26, 28, 2), (28, 30, 1)]
    assert [(each.row.run, each.why) for each in found.left_out] == [(4, "no-water")]


def test_only_lots_of_one_female_with_a_tag_of_her_own_are_hers() -> None:
    told = [
        row(1, 60.0),
        row(2, 50.0, batches=(lot(70.0, "8"), lot(30.0, "9")), fish=(her(), her("9"))),
        row(3, 50.0, fish=(her(), her("9"))),
        row(4, 50.0, fish=(her("F1"),)),
        row(5, 50.0, fish=(her("1"), her("2"))),
    ]
    found = by_female(told, brood_book(told, ()))
    assert [(each.name, each.runs, each.low, each.high) for each in found.groups] == [
        ("8", 2, 60.0, 70.0),
        ("9", 1, 30.0, 30.0),
    ]
    left = {each.row.run: each.why for each in found.left_out}
    assert left == {3: "pooled", 4: "no-name", 5: "no-name"}


@pytest.mark.parametrize(
    ("tag", "others", "of_one_run"),
    [
        ("F1", (), True),
        ("x12", (), True),
        ("8", ("8",), False),
        ("2", ("1", "2", "3"), True),
        ("2", ("1", "2", "8"), False),
        ("tag A", (), False),
    ],
)
def test_which_names_hold_in_one_run_alone(tag: str, others: tuple[str, ...], of_one_run: bool) -> None:
    told = row(1, fish=tuple(her(each) for each in dict.fromkeys((*others, tag))))
    who = in_runs(brood_book([told], ()))
    assert bool(who[1, plain_tag(tag)].run) is of_one_run


def test_runs_of_a_female_newest_first_with_the_lot_of_her_eggs() -> None:
    told = [
        row(1, 60.0),
        row(2, 50.0, batches=(lot(70.0, "8", "9"), lot(30.0, "12")), fish=(her(), her("9"), her("12"))),
        row(3, fish=(her(state="none", gave_at=None, egg_grams=None),), had_eggs=False),
    ]
    found = runs_of(told, "#8", brood_book(told, ()))
    assert [(each.row.run, each.figure, each.others) for each in found] == [
        (3, None, ()),
        (2, 70.0, ("9",)),
        (1, 60.0, ()),
    ]
    assert runs_of(told, "77", brood_book(told, ())) == ()


def test_eggs_in_two_jars_that_were_both_counted_are_the_run_as_a_whole() -> None:
    jars = [dataclasses.replace(lot(percent, "8"), place=f"jar {percent}") for percent in (70.0, 50.0)]
    told = [row(1, 60.0, batches=tuple(jars))]
    (found,) = runs_of(told, "8", brood_book(told, ()))
    assert found.figure == 60.0


# What differed --------------------------------------------------------------------------------------------


def thing(name: str, told: RunRow, *others: RunRow) -> Difference:
    rows = [told, *others]
    found = differences(told, rows, CATFISH, brood_book(rows, ()))
    return next(each for each in found if each.thing == name)


def verdict(name: str, told: RunRow, *others: RunRow) -> tuple[str, str]:
    found = thing(name, told, *others)
    return found.verdict, found.code


def test_nothing_told_is_not_told_and_never_differs() -> None:
    bare = row(1, fish=(), preparation=None)
    assert {each.verdict for each in differences(bare, [bare], CATFISH, ())} == {"not-told"}


def test_a_dose_is_held_against_the_range_of_the_card() -> None:
    """The card: 6 to 12 ug in a kilo of a female; 2 kg each."""
    found = thing("dose", row(1))
    assert (found.verdict, found.value, found.unit) == ("same", 10.0, "ug/kg")
    assert found.low is not None and found.high is not None
    under, over = (her(amount=2 * edge) for edge in (found.low * 0.9, found.high * 1.1))
    assert verdict("dose", row(1, fish=(under,))) == ("differs", "under")
    assert verdict("dose", row(1, fish=(over,))) == ("differs", "over")
    assert verdict("dose", row(1, preparation="own")) == ("no-measure", "")


@pytest.mark.parametrize(
    ("hours", "found"),
    [
        (7.0, ("differs", "before")),
        (8.5, ("same", "")),
        (9.0, ("same", "")),
        (12.0, ("differs", "late")),
        (15.0, ("differs", "after")),
    ],
)
def test_hours_are_held_against_the_window(hours: float, found: tuple[str, str]) -> None:
    window = WindowRow(8.0, 8.75, 11.0, 13.5)
    assert verdict("hours", row(1, hours_to_strip=hours, window=window)) == found
    assert verdict("hours", row(1, hours_to_strip=hours)) == ("no-measure", "")


@pytest.mark.parametrize(
    ("water", "found"),
    [
        (WaterRow(24.0, 22.0, 26.0, 3), ("differs", "cold")),  # the card's best is 22.9 to 30.3
        (WaterRow(29.0, 27.0, 31.0, 3), ("differs", "warm")),
        (WaterRow(25.0, 24.0, 26.0, 3), ("differs", "colder")),  # the others 26 to 28
        (WaterRow(29.0, 28.5, 29.5, 3), ("differs", "warmer")),
        (WaterRow(27.0, 26.0, 28.0, 3), ("same", "")),
    ],
)
def test_water_is_held_against_the_card_and_the_other_runs(water: WaterRow, found: tuple[str, str]) -> None:
    others = [row(n, water=WaterRow(24.0 + n, 24.0, 30.0, 1)) for n in (2, 3, 4)]
    assert verdict("water", row(1, water=water), *others) == found
    assert verdict("water", row(1, water=WaterRow(25.0, 24.0, 26.0, 3)), *others[:2]) == ("same", "")


def test_eggs_that_waited_are_held_against_how_long_they_last() -> None:
    """The card's eggs last 60 to 240 min, recalled."""
    assert verdict("milt", row(1, milt_minutes=61.0)) == ("differs", "long")
    assert verdict("milt", row(1, milt_minutes=60.0)) == ("same", "")
    assert verdict("ran", row(1, ran_minutes=90.0)) == ("differs", "long")
    assert verdict("ran", row(1, ran_minutes=90.0, way="nest")) == ("no-measure", "")


def test_looks_of_eggs_that_are_not_even_differ() -> None:
    assert verdict("looks", row(1, looks=(LookRow("8", "even"),))) == ("same", "")
    found = thing("looks", row(1, looks=(LookRow("8", "even"), LookRow("9", "blood"))))
    assert (found.verdict, found.tags, found.words) == ("differs", ("9",), ("blood",))


def males(number: int, females: int = 1) -> tuple[FishRow, ...]:
    hers = tuple(her(str(20 + n)) for n in range(females))
    return (*hers, *(FishRow(f"M{n}", "m", 1.5) for n in range(number)))


def test_one_male_differs_unless_it_was_always_one() -> None:
    assert verdict("males", row(1, fish=males(1))) == ("differs", "one")
    others = [row(n, fish=males(1)) for n in (2, 3, 4)]
    assert verdict("males", row(1, fish=males(1)), *others) == ("same", "")
    assert verdict("males", row(1, fish=males(1)), *others[:2], row(4, fish=males(2))) == ("differs", "one")
    # the card: 0.2 to 1 for a female
    assert verdict("males", row(1, fish=males(2, 2))) == ("same", "")
    assert verdict("males", row(1, fish=males(2, 11))) == ("differs", "few")


def test_a_rest_is_since_her_eggs_before_and_only_of_tags_that_hold() -> None:
    """The card: 42 to 56 days."""
    later = {"begun_at": T0 + 60 * DAY}
    early = {"begun_at": T0 + 30 * DAY}
    assert verdict("rest", row(9, **later), row(1)) == ("same", "")
    found = thing("rest", row(9, **early), row(1))
    assert (found.verdict, found.code, found.tags) == ("differs", "short", ("8",))
    assert found.value == pytest.approx(29.6, abs=0.05)  # 30 days less ten hours
    of_one_run = row(9, fish=(her("F1"),), **early)
    assert verdict("rest", of_one_run, row(1, fish=(her("F1"),))) == ("not-told", "")


def test_the_fertilised_share_is_held_against_three_others_or_more() -> None:
    others = [row(n, fertilised_percent=70.0 + n) for n in (2, 3, 4)]
    assert verdict("fertilised", row(1, fertilised_percent=71.0), *others) == ("differs", "lower")
    assert verdict("fertilised", row(1, fertilised_percent=90.0), *others) == ("same", "")
    assert verdict("fertilised", row(1, fertilised_percent=10.0), *others[:2]) == ("no-measure", "")


def test_other_runs_are_of_the_same_species_and_the_same_eggs() -> None:
    told = row(1, 20.0)
    others = [
        row(2, 60.0),
        row(3, 70.0),
        row(4, 90.0, species="common-carp"),
        row(5, 99.0, hatched_of="unknown"),
    ]
    found = others_of(told, [told, *others])
    assert (found.of, found.percent, found.runs, found.low, found.high) == ("all", 20.0, 2, 60.0, 70.0)
    strange = others_of(others[3], [told, *others])
    assert (strange.percent, strange.runs) == (99.0, 0)


def test_without_a_card_nothing_is_held_against_one() -> None:
    told = row(1, 20.0, water=WaterRow(20.0, 19.0, 21.0, 1), milt_minutes=90.0)
    found = {each.thing: each.verdict for each in differences(told, [told], None, brood_book([told], ()))}
    assert (found["water"], found["milt"], found["dose"]) == ("no-measure", "no-measure", "no-measure")
