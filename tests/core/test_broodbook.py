"""The brood book on facts: whose name a tag is, what follows a fish, kin, rest, mates, season, treatments."""

from __future__ import annotations

import random
from collections.abc import Iterable
from datetime import UTC, datetime, timedelta
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core import broodbook
from core.broodbook import BroodFish, Kin, brood_book, counted_off, is_name_of_a_run
from core.records import Event, FishLost, FishRow, FishTold, RunRow, Sex

DAY0 = datetime(2026, 3, 1, 20, 0, tzinfo=UTC)
CATFISH, ROHU = "african-catfish", "rohu"


def day(number: float) -> datetime:
    return DAY0 + timedelta(days=number)


def row(run: int, *fish: FishRow, species: str = CATFISH, on: float | None = None, **more: Any) -> RunRow:
    begun = day(run * 10 if on is None else on)
    told: dict[str, Any] = {"state": "closed", "preparation": "premix", "had_eggs": True, "larvae": 20_000}
    return RunRow(run, species, begun, begun, **(told | {"fish": fish} | more))


def female(tag: str, *, gave: float | None = None, kg: float = 2.4, **more: Any) -> FishRow:
    state = "stripped" if gave is not None else "none"
    told: dict[str, Any] = {"gave_at": day(gave) if gave is not None else None, "state": state}
    return FishRow(tag, "f", kg, **(told | more))


def male(tag: str, **more: Any) -> FishRow:
    return FishRow(tag, "m", 1.9, **more)


def told(number: int, what: FishTold | FishLost, on: float) -> Event:
    return Event(number, 1, 0, day(on), day(on), what)


def only(book: Iterable[BroodFish], tag: str) -> BroodFish:
    found = broodbook.named(book, tag)
    assert len(found) == 1, found
    return found[0]


# Whose name a tag is --------------------------------------------------------------------------------------


@pytest.mark.parametrize("tag", ["F1", "f12", "M1", "X3", "#F2", "no F2"])
def test_what_a_run_calls_a_fish_is_no_tag(tag: str) -> None:
    assert is_name_of_a_run(tag)


@pytest.mark.parametrize("tag", ["8", "A12", "FB1", "F", "F0", "3F", "red 4"])
def test_the_farms_own_tags_are_none_of_these(tag: str) -> None:
    assert not is_name_of_a_run(tag)


def test_f1_of_march_is_not_f1_of_may() -> None:
    book = brood_book([row(1, female("F1", gave=10)), row(2, female("F1", gave=20))], [])
    assert [(fish.tag, fish.run, len(fish.weights)) for fish in book] == [("F1", 1, 1), ("F1", 2, 1)]
    assert not broodbook.named(book, "F1")
    assert [fish.run for fish in broodbook.of_runs(book, "f1")] == [2, 1]


def test_a_tag_of_the_farms_own_follows_its_fish() -> None:
    rows = [row(1, female("8", gave=10, kg=2.4, egg_grams=210.0)), row(2, female("#8", gave=20, kg=2.6))]
    fish = only(brood_book(rows, []), "no. 8")
    assert [(each.run, each.kg) for each in fish.weights] == [(1, 2.4), (2, 2.6)]
    assert [(each.run, each.gave, each.grams) for each in fish.spawnings] == [
        (1, True, 210.0),
        (2, True, None),
    ]


@pytest.mark.parametrize(
    ("tags", "counted"),
    [
        (("1", "2", "3"), {"1", "2", "3"}),
        (("2", "1", "M1"), {"1", "2"}),
        (("1",), {"1"}),
        (("8", "9"), set()),
        (("1", "3"), set()),
        (("F1", "A1"), set()),
    ],
)
def test_numbers_without_a_gap_may_be_the_count_of_a_night(tags: tuple[str, ...], counted: set[str]) -> None:
    assert counted_off(tags) == counted


def test_such_numbers_follow_no_fish_until_the_farm_tells_of_the_tag() -> None:
    rows = [row(1, female("1", gave=10), female("2", gave=10)), row(2, female("1", gave=20))]
    assert [fish.run for fish in brood_book(rows, [])] == [1, 1, 2]
    named = brood_book(rows, [told(1, FishTold("1", origin="the river"), 30)])
    assert [(fish.tag, fish.run, len(fish.weights)) for fish in named] == [("1", 0, 2), ("2", 1, 1)]


def test_another_species_or_sex_is_another_fish() -> None:
    rows = [row(1, female("8")), row(2, female("8"), species=ROHU), row(3, male("8"))]
    book = brood_book(rows, [])
    assert [(fish.species, fish.sex) for fish in book] == [(CATFISH, "f"), (ROHU, "f"), (CATFISH, "m")]


def test_a_sex_that_was_not_told_joins() -> None:
    rows = [row(1, FishRow("8", None, 2.0)), row(2, female("8", gave=20))]
    assert only(brood_book(rows, []), "8").sex == "f"


def test_the_tag_of_a_dead_fish_goes_to_another_one() -> None:
    rows = [row(1, female("8", gave=10, state="died", died_at=day(11))), row(5, female("8", gave=50))]
    newer, older = broodbook.named(brood_book(rows, []), "8")
    assert (newer.lost, older.lost and (older.lost.how, older.lost.at)) == (None, ("died", day(11)))
    assert [each.run for each in newer.weights] == [5]


@pytest.mark.parametrize("how", ["died", "sold", "escaped", "cut"])
def test_what_is_lost_outside_of_a_run_is_lost(how: Any) -> None:
    fish = only(brood_book([row(1, female("8", gave=10))], [told(1, FishLost(("8",), how), 40)]), "8")
    assert fish.lost is not None
    assert (fish.lost.how, fish.lost.at) == (how, day(40))


def test_a_cut_male_is_dead_and_a_dead_male_was_not_cut() -> None:
    cut = male("12", state="died", cut=True, died_at=day(10.5))
    book = brood_book([row(1, cut, male("13", state="died", died_at=day(10.5)))], [])
    assert [fish.lost and fish.lost.how for fish in book] == ["cut", "died"]
    assert not broodbook.kept(book, "m")


def test_the_order_in_which_things_are_told_is_that_of_their_hours() -> None:
    """She was sold on day 40 and weighed on day 10: it does not matter what was told first."""
    rows = [row(1, female("8", gave=10), on=10)]
    fish = only(brood_book(rows, [told(1, FishLost(("8",), "sold"), 40)]), "8")
    assert fish.lost is not None and len(fish.weights) == 1


@given(st.randoms(use_true_random=False))
def test_the_order_of_what_is_read_changes_nothing(chance: random.Random) -> None:
    rows = [
        row(1, female("8", gave=10), female("F1", gave=10), male("12")),
        row(2, female("8", gave=20, state="died", died_at=day(21)), male("12", cut=True, state="died")),
        row(3, female("8", gave=30), female("1", gave=30)),
        row(4, female("1", gave=40), male("14"), species=ROHU),
    ]
    events = [
        told(1, FishTold("8", origin="the river"), 0),
        told(2, FishTold("14", mother="3", father="12"), 25),
        told(3, FishLost(("8",), "sold"), 50),
    ]
    before = brood_book(rows, events)
    chance.shuffle(rows)
    chance.shuffle(events)
    assert brood_book(rows, events) == before


# What is told of a fish -----------------------------------------------------------------------------------


def test_what_is_told_of_a_fish_adds_up() -> None:
    events = [
        told(1, FishTold("8", origin="the river"), 0),
        told(2, FishTold("8", mother="3", father="12"), 1),
        told(3, FishTold("8", hatched=2023, sex="f"), 2),
    ]
    book = brood_book([], events)
    fish = only(book, "8")
    assert (fish.origin, fish.sex, fish.hatched) == ("the river", "f", 2023)
    assert [book[each].tag for each in fish.parents] == ["3", "12"]
    assert [(only(book, tag).sex) for tag in ("3", "12")] == ["f", "m"]


def test_a_name_of_one_run_is_nobodys_parent_and_nobodys_tag() -> None:
    book = brood_book([], [told(1, FishTold("8", mother="F1"), 0), told(2, FishTold("F2", origin="x"), 1)])
    assert [(fish.tag, fish.mother) for fish in book] == [("8", None)]


def test_no_fish_is_its_own_ancestor() -> None:
    circle = [
        told(1, FishTold("8", mother="3"), 0),
        told(2, FishTold("3", mother="5"), 1),
        told(3, FishTold("5", mother="8"), 2),
        told(4, FishTold("8", father="8"), 3),
    ]
    book = brood_book([], circle)
    assert only(book, "5").mother is None
    assert only(book, "8").father is None
    assert all(fish.number not in broodbook.ancestors(book, fish.number) for fish in book)


def test_a_dead_mother_stays_the_mother() -> None:
    rows = [row(1, female("3", gave=10, state="died", died_at=day(11)))]
    book = brood_book(rows, [told(1, FishTold("8", mother="3"), 100)])
    assert only(book, "8").mother == only(book, "3").number


# Kin ------------------------------------------------------------------------------------------------------


def pedigree(*births: tuple[str, str | None, str | None]) -> tuple[tuple[BroodFish, ...], Kin]:
    """Fish with their mothers and fathers."""
    events = [told(n, FishTold(tag, mother=m, father=f), n) for n, (tag, m, f) in enumerate(births, 1)]
    book = brood_book([], events)
    return book, Kin(book)


def kinship(births: tuple[tuple[str, str | None, str | None], ...], one: str, other: str) -> float:
    book, kin = pedigree(*births)
    return kin.kinship(only(book, one).number, only(book, other).number)


FAMILY = (
    ("10", "1", "2"),
    ("11", "1", "2"),
    ("12", "1", "4"),
    ("20", "10", "30"),
    ("21", "31", "11"),
    ("22", "32", "33"),
    ("25", "10", "11"),
)


@pytest.mark.parametrize(
    ("one", "other", "relation"),
    [
        ("10", "1", "parent"),
        ("1", "10", "child"),
        ("10", "11", "full-sibs"),
        ("10", "12", "half-sibs"),
        ("20", "21", "related"),
        ("20", "22", "none"),
        ("20", "1", "related"),
        ("1", "2", "untold"),
        ("10", "33", "untold"),
    ],
)
def test_what_a_fish_is_to_another(one: str, other: str, relation: str) -> None:
    book, kin = pedigree(*FAMILY)
    assert kin.relation(only(book, one).number, only(book, other).number) == relation


def by_table(parents: list[tuple[int, ...]]) -> list[list[Fraction]]:
    """The kinship of all pairs by the table that is filled row by row, parents before their offspring:
    another way to the same numbers, in whole fractions."""
    table: list[list[Fraction]] = []
    for n, of in enumerate(parents):
        new = [sum((table[max(p, m)][min(p, m)] for p in of), Fraction(0)) / 2 for m in range(n)]
        both = table[max(of)][min(of)] if len(of) == 2 and of[0] != of[1] else Fraction(0)
        table.append([*new, (1 + both) / 2])
    return table


@given(st.integers(0, 2**32), st.integers(2, 24))
def test_kinship_is_that_of_the_table(seed: int, size: int) -> None:
    chance = random.Random(seed)
    births: list[tuple[int, ...]] = []
    book: list[BroodFish] = []
    for n in range(size):
        sex: Sex = "f" if n % 2 else "m"
        mothers = [m for m in range(n) if m % 2 and chance.random() < 0.7]
        fathers = [m for m in range(n) if not m % 2 and chance.random() < 0.7]
        mother = chance.choice(mothers) if mothers else None
        father = chance.choice(fathers) if fathers else None
        births.append(tuple(each for each in (mother, father) if each is not None))
        book.append(BroodFish(n, f"T{n}", CATFISH, sex, mother=mother, father=father))
    table, kin = by_table(births), Kin(book)
    for one in range(size):
        for other in range(one + 1):
            assert kin.kinship(one, other) == pytest.approx(float(table[one][other]), abs=1e-12)
            assert kin.kinship(one, other) == kin.kinship(other, one)


def test_a_long_line_of_brothers_and_sisters_takes_no_long_while() -> None:
    births = []
    for n in range(40):
        births += [(f"A{n + 1}", f"A{n}", f"B{n}"), (f"B{n + 1}", f"A{n}", f"B{n}")]
    book, kin = pedigree(*births[:2])
    assert kin.kinship(only(book, "A1").number, only(book, "B1").number) == 0.25
    events = []
    for n, (tag, mother, father) in enumerate(births, 1):
        events.append(
            told(n, FishTold(tag, mother=mother, father=father, sex="f" if tag[0] == "A" else "m"), n)
        )
    book = brood_book([], events)
    last = only(book, "A40").number
    assert 0.99 < Kin(book).inbreeding(last) < 1


# Mates ----------------------------------------------------------------------------------------------------


def test_males_used_least_come_first_and_kin_last() -> None:
    rows = [
        row(1, female("8", gave=10), male("12"), male("14")),
        row(2, female("9", gave=20), male("12"), male("15")),
        row(3, female("9", gave=30), male("16")),
    ]
    events = [told(1, FishTold("8", mother="3", father="16"), 1), told(2, FishTold("15", mother="3"), 2)]
    book = brood_book(rows, events)
    found = broodbook.mates(book, [only(book, "8").number], broodbook.kept(book, "m"), day(0))
    assert [(each.fish.tag, each.used, each.relation, each.inbred) for each in found] == [
        ("14", 1, "untold", 0.0),
        ("12", 2, "untold", 0.0),
        ("15", 1, "half-sibs", 0.125),
        ("16", 1, "parent", 0.25),
    ]


def test_use_before_the_season_counts_no_more() -> None:
    rows = [row(1, female("8", gave=10), male("12")), row(2, female("9", gave=20), male("14"))]
    book = brood_book(rows, [])
    found = broodbook.mates(book, [], broodbook.kept(book, "m"), day(15))
    assert [(each.fish.tag, each.used, each.relation) for each in found] == [("12", 0, None), ("14", 1, None)]


def test_a_run_without_eggs_used_no_male() -> None:
    book = brood_book([row(1, female("8"), male("12"), had_eggs=False)], [])
    assert broodbook.used_since(only(book, "12"), day(0)) == 0


# Rest -----------------------------------------------------------------------------------------------------


def test_rest_counts_from_the_newest_eggs() -> None:
    book = brood_book([row(1, female("8", gave=10)), row(2, female("8", gave=30)), row(3, female("8"))], [])
    rest = broodbook.rest_of(only(book, "8"), 42, day(60))
    assert (rest.rested_at, rest.left) == (day(72), timedelta(days=12))
    assert broodbook.rest_of(only(book, "8"), 42, day(80)).left == timedelta(0)


def test_eggs_of_nobody_knows_whom_count_for_every_female_they_may_be_of() -> None:
    """In a hapa, or a bowl of several: she may have given, so she may have to rest."""
    in_hapa = row(1, FishRow("8", "f", 2.0, first_at=day(10), state="waiting"), species=ROHU, way="hapa")
    shared = row(2, FishRow("9", "f", 2.0, first_at=day(20), state="stripped"))
    book = brood_book([in_hapa, shared], [])
    assert [(fish.gave and (fish.gave.gave, fish.gave.at)) for fish in book] == [
        (None, day(10)),
        (None, day(20)),
    ]


def test_who_gave_none_has_nothing_to_rest_from() -> None:
    fish = only(brood_book([row(1, female("8"))], []), "8")
    assert [each.gave for each in fish.spawnings] == [False]
    assert broodbook.rest_of(fish, 42, day(60)).rested_at is None


def test_rested_before_resting_before_unknown() -> None:
    rows = [
        row(1, female("8", gave=10), female("20", gave=5)),
        row(4, female("9", gave=40)),
        row(5, female("7")),
    ]
    book = brood_book(rows, [])
    rests = [broodbook.rest_of(fish, 42, day(60)) for fish in book]
    found = [[each.fish.tag for each in part] for part in broodbook.by_rest(rests)]
    assert found == [["20", "8"], ["9"], ["7"]]


# The season -----------------------------------------------------------------------------------------------


def test_a_season_counts_each_fish_once_and_only_those_of_runs_with_offspring() -> None:
    rows = [
        row(1, female("8", gave=10), female("9"), male("12")),
        row(2, female("8", gave=20), female("F1", gave=20), male("12"), male("M1")),
        row(3, female("10", gave=30), male("14"), larvae=0),
        row(4, female("11", gave=40), male("15"), on=-300),
    ]
    found = broodbook.seasons(brood_book(rows, []), rows, day(0))
    assert found == [broodbook.Season(CATFISH, runs=2, females=2, males=2, untagged=2, males_untold=0)]


def test_in_a_hapa_every_female_may_be_a_mother() -> None:
    fish = [FishRow(tag, "f", 2.0, first_at=day(10)) for tag in ("A1", "A2")]
    rows = [row(1, *fish, species=ROHU, way="hapa", larvae=None, hatched_percent=70.0)]
    found = broodbook.seasons(brood_book(rows, []), rows, day(0))
    assert [(each.females, each.males, each.males_untold) for each in found] == [(2, 0, 1)]


# The treated fish -----------------------------------------------------------------------------------------


def test_every_fish_with_hormone_is_on_the_list_and_no_other() -> None:
    rows = [
        row(1, female("8", gave=10, first_at=day(10), ml=1.2, amount=24.0, unit="ug"), male("12")),
        row(2, female("F1", first_at=day(20)), male("14", first_at=day(20), cut=True, state="died")),
        row(3, female("8", first_at=day(30), ml=1.3), state="cancelled", preparation="hcg"),
    ]
    found = broodbook.treatments(brood_book(rows, []))
    assert [(fish.tag, dose.run, dose.preparation, dose.ml, dose.amount) for fish, dose in found] == [
        ("8", 3, "hcg", 1.3, None),
        ("14", 2, "premix", None, None),
        ("F1", 2, "premix", None, None),
        ("8", 1, "premix", 1.2, 24.0),
    ]
    assert [fish.lost.how if fish.lost else "here" for fish, _ in found] == ["here", "cut", "here", "here"]
