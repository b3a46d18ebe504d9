"""Old notebooks: what is understood of a row, and what is refused rather than guessed."""

from __future__ import annotations

from datetime import date, datetime, time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot import knowledge
from core.notebook import Order, Page, Pages, cells, grid_of, pages_of
from core.notebook.pages import Share

TODAY = date(2026, 6, 1)
COLUMNS = knowledge.columns()


def read(text: str, order: Order | None = None) -> Pages:
    return pages_of(grid_of(text), COLUMNS, TODAY, order)


def page(heads: str, cells: str, between: str = ",") -> Page:
    found = read(f"date{between}species{between}{heads}\n2025-03-04{between}rohu{between}{cells}\n")
    assert not found.faults, found.faults
    return found.pages[0]


def fault(heads: str, cells: str, between: str = ",") -> tuple[str, bool]:
    """Why a row was not taken, or (`True`) what it was taken without."""
    found = read(f"date{between}species{between}{heads}\n2025-03-04{between}rohu{between}{cells}\n")
    (one,) = found.faults
    assert one.line == 2 and bool(found.pages) == one.taken
    return one.why, one.taken


# Headings -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        *(("Date", "date"), ("FISH", "species"), ("Eggs (g)", "eggs_g"), ("eggs_g", "eggs_g")),
        *(("Hatch rate %", "hatched_percent"), ("Hatched (%)", "hatched_percent")),
        *(("Total kg", "female_kg"), ("Mean weight (kg)", "mean_kg"), ("Weight (kg)", "weight")),
        *(("Éclosion", "hatched_percent"), ("Suhu", "water_c"), ("तारीख", "date"), ("জলের", None)),
        *(("Water (°C)", "water_c"), ("Water (F)", None), ("moon", None), ("Eggs (pieces)", None)),
    ],
)
def test_headings_in_plain_words(typed: str, name: str | None) -> None:
    found = COLUMNS.heading(typed)
    assert (found.column.name if found else None) == name


def test_no_heading_means_two_things() -> None:
    """Each list of words is its own: a word in two of them would be read as the later one."""
    told = [words for words, column in COLUMNS.by_words.items() if column.name != "passed_over"]
    assert len(told) == len(set(told)) > 150


def test_the_unit_of_a_heading_counts() -> None:
    assert page("females,Female kg (g)", "2,5500").weights == (2.75, 2.75)
    assert page("females,female kg (lb)", "1,5").weights == (2.267961850,)
    assert page("eggs (kg)", "0.52").eggs_g == 520
    assert page("eggs (kg)", "520 g").eggs_g == 520, "the unit of the cell goes first"


# Numbers --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "grams"),
    [
        *(("520", 520), ("520 g", 520), ("1 200", 1200), ("1.5", 1.5), ("0,25", 0.25), ("1,234,567", None)),
        *(("1.234,5", 1234.5), ("1,234.5", 1234.5), ("12'000", 12000), ("٥٢٠", 520), ("52O", None)),
        *(("about 5", None), ("5-6", None), ("1,20,000", None), ("5 pieces", None), ("-5", None)),
    ],
)
def test_numbers_as_people_write_them(text: str, grams: float | None) -> None:
    if grams is None:
        assert fault("eggs_g", text, ";")[1] is False
    else:
        assert page("eggs_g", text, ";").eggs_g == grams


def test_thousands_or_a_fraction_is_settled_by_the_file_or_not_at_all() -> None:
    heads = "date;species;eggs_g;larvae\n"
    doubtful = "2025-03-04;rohu;1,200;\n"
    (lost,) = read(heads + doubtful).faults
    assert lost.why == "thousand-or-fraction"
    assert read(heads + doubtful + "2025-03-05;rohu;0,5;\n").pages[0].eggs_g == 1.2
    assert read(heads + doubtful + "2025-03-05;rohu;0.5;\n").pages[0].eggs_g == 1200
    assert read(heads + doubtful + "2025-03-05;rohu;;1,200,000\n").pages[0].eggs_g == 1200
    both = read(heads + doubtful + "2025-03-05;rohu;0.5;\n2025-03-06;rohu;0,5;\n")
    assert [each.line for each in both.faults] == [2], "a file that writes both settles nothing"


@pytest.mark.parametrize("cell", ["", "-", "?", "n/a", "–"])
def test_an_empty_cell_is_not_told(cell: str) -> None:
    found = page("females,female_kg,eggs_g,hatched,larvae,note", ",".join([cell] * 6))
    assert (found.weights, found.eggs_g, found.hatched, found.larvae, found.note) == (
        (),
        None,
        None,
        None,
        "",
    )


@pytest.mark.parametrize(
    ("heads", "cells"),
    [
        *(("water", "60"), ("water", "0.2"), ("eggs_g", "0"), ("eggs_g", "99999999"), ("hatched", "101")),
        *(("hatched", "-3"), ("larvae", "1e9"), ("females", "0"), ("females", "2.5"), ("dose ml", "0")),
        *(("hatched", "150/100"), ("hatched", "5000/9000"), ("hatched", "0.8"), ("strength", "20")),
        *(("females", "1" * 5000), ("eggs_g", "1" * 5000), ("hatched", "1" * 5000)),
        *(("hatched_good", "5"), ("hatched of", "most"), ("way", "by magic"), ("females", "61")),
    ],
)
def test_what_cannot_be_is_refused(heads: str, cells: str) -> None:
    assert fault(heads, cells)[1] is False


# Days -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "day"),
    [
        *(("2025-03-04", (2025, 3, 4)), ("25/3/2025", (2025, 3, 25)), ("3/25/25", (2025, 3, 25))),
        *(("5.5.2025", (2025, 5, 5)), ("4 March 2025", (2025, 3, 4)), ("Mar 4, 2025", (2025, 3, 4))),
        *(("4-mar-25", (2025, 3, 4)), ("25/3/2568", (2025, 3, 25)), ("4 août 2025", (2025, 8, 4))),
        *(("30/2/2025", None), ("2025-13-01", None), ("yesterday", None), ("4 Brumaire 2025", None)),
        *(("2027-01-01", None), ("1925-01-01", None), ("3/25", None), ("2025-03-04 25:00", None)),
    ],
)
def test_days(text: str, day: tuple[int, int, int] | None) -> None:
    found = read(f'date,species\n"{text}",rohu\n')
    assert [each.day for each in found.pages] == ([date(*day)] if day else [])
    assert bool(found.faults) == (day is None)


def test_which_is_the_month_is_shown_by_the_file_told_or_asked() -> None:
    doubtful = "date,species\n3/4/2025,rohu\n"
    asked = read(doubtful)
    assert (asked.asks_order, asked.example, asked.pages) == (True, "3/4/2025", ())
    assert read(doubtful, "day-first").pages[0].day == date(2025, 4, 3)
    assert read(doubtful, "month-first").pages[0].day == date(2025, 3, 4)
    shown = read(doubtful + "25/4/2025,rohu\n")
    assert ([each.day.day for each in shown.pages], shown.order) == ([3, 25], "day-first")
    shown = read(doubtful + "4/25/2025,rohu\n", "day-first")
    assert [each.day.day for each in shown.pages] == [4, 25], "the file goes before what was said"
    assert not read("date,species\n4/4/2025,rohu\n").asks_order, "the same day either way"


def test_a_file_that_contradicts_itself_is_asked_about() -> None:
    mixed = read("date,species\n3/4/2025,rohu\n25/4/2025,rohu\n4/26/2025,rohu\n")
    assert mixed.asks_order and not mixed.pages
    told = read("date,species\n3/4/2025,rohu\n25/4/2025,rohu\n4/26/2025,rohu\n", "day-first")
    assert [each.day for each in told.pages] == [date(2025, 4, 3), date(2025, 4, 25), date(2025, 4, 26)]


@given(st.dates(date(1990, 1, 1), TODAY), st.sampled_from(["day-first", "month-first"]))
def test_every_day_comes_back(day: date, order: Order) -> None:
    pair = (day.day, day.month) if order == "day-first" else (day.month, day.day)
    for text in (day.isoformat(), f"{pair[0]}/{pair[1]}/{day.year}", f"{day.day} {day:%b} {day.year}"):
        assert cells.written(text, COLUMNS.months).on(order) == day


# Fish, needles, eggs --------------------------------------------------------------------------------------


def test_weights_of_each_or_of_all() -> None:
    assert page("weights", "2.4 3.1").weights == (2.4, 3.1)
    assert not page("weights,females,female_kg", "2.4+3.1,2,5.5").together
    of_all = page("females,female_kg", "2,5.5")
    assert (of_all.weights, of_all.together) == ((2.75, 2.75), True)
    assert page("females,mean_kg", "3,2.5").weights == (2.5, 2.5, 2.5)
    assert page("females,weight", "1,2.4").weights == (2.4,)
    assert fault("females,weight", "2,5.5") == ("all-or-each", True)
    assert fault("female_kg", "5.5") == ("how-many-females", True)
    assert fault("females", "3") == ("no-weight", True)
    assert fault("weights,females", "2.4 3.1,3") == ("not-so-many", False)
    assert fault("weights,female_kg", "2.4 3.1,7") == ("not-the-sum", False)


def test_hours_of_the_needle_and_of_the_eggs() -> None:
    night = page("females,female_kg,injected,stripped", "1,2.4,20:30,7.10")
    assert (night.hour, night.injected) == (time(20, 30), True)
    assert (night.stripped_at, night.stripped_hour) == (datetime(2025, 3, 5, 7, 10), True)  # noqa: DTZ001
    same_day = page("females,female_kg,injected,stripped", "1,2.4,06:00 am,5 pm".replace("5 pm", "5:00 pm"))
    assert same_day.stripped_at == datetime(2025, 3, 4, 17)  # noqa: DTZ001
    assert not page("females,female_kg", "1,2.4").injected, "nobody said that she was"
    assert page("females,female_kg,dose ml", "1,2.4,1.2").hour is None
    assert fault("stripped", "07:10") == ("hour-alone", True)
    assert fault("females,female_kg,injected,stripped", "1,2.4,20:30,2025-03-20 07:00") == (
        *("not-after-injection", False),
    )
    assert fault("injected", "2025-03-09 20:30") == ("other-day", False)
    assert fault("females,female_kg,injected", "1,2.4,25:30") == ("no-hour", False)


def test_shares_and_samples() -> None:
    assert page("hatched", "82 %").hatched == Share(percent=82)
    assert page("hatched", "150/200").hatched == Share(good=150, total=200)
    assert page("hatched", "150 of 200").hatched == Share(good=150, total=200)
    assert page("hatched %", "0.8").hatched == Share(percent=0.8)
    assert page("hatched,hatched_good,hatched_total", "75,150,200").hatched == Share(good=150, total=200)
    assert fault("hatched,hatched_good,hatched_total", "80,150,200") == ("not-the-sample", False)


def test_of_several_females_some_gave() -> None:
    assert page("females,female_kg,gave eggs", "2,5.5,2").gave == 2
    assert page("females,female_kg,gave eggs", "2,5.5,0").gave == 0
    assert fault("females,female_kg,gave eggs", "2,5.5,1") == ("not-all", True)
    assert fault("females,female_kg,gave eggs", "2,5.5,3") == ("not-so-many", False)
    assert fault("females,female_kg,gave eggs,eggs", "2,5.5,0,300") == ("none-gave", False)


def test_a_label() -> None:
    assert (page("strength", "20+10").ug_per_ml, page("strength", "20 ug + 10 mg").mg_per_ml) == (20, 10)
    assert page("preparation", "Pituitary").preparation == "pituitary"


# Files ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "why"),
    [
        *(("", "no-table"), ("\n\n", "no-table"), ("hello", "no-column"), ("date,eggs\n1,2", "no-column")),
        ("species,eggs\nrohu,2", "no-column"),
        ("date,species\n" + "2025-03-04,rohu\n" * 501, "too-long"),
        ("date,species," + "x," * 200 + "\n2025-03-04,rohu\n", "too-long"),
    ],
)
def test_a_file_that_is_no_notebook(text: str, why: str) -> None:
    found = read(text)
    assert [each.why for each in found.faults if not each.taken] == [why]
    assert not found.pages


def test_lines_are_those_of_the_file() -> None:
    found = read('\ufeffdate;species;note\r\n\r\n2025-03-04;rohu;"two\r\nlines"\r\n;;\r\nx;rohu;\r\n')
    assert (found.pages[0].line, found.pages[0].note, found.faults[0].line) == (3, "two\r\nlines", 6)


def test_a_line_that_says_what_stands_between_cells() -> None:
    found = read("sep=|\ndate|species|eggs\n2025-03-04|rohu|1,5\n")
    assert (found.pages[0].eggs_g, found.pages[0].line) == (1.5, 3)


def test_what_is_shown_of_a_file_is_short() -> None:
    found = read(f"date,species,{'moon ' * 50}\n2025-03-04,rohu,1\nx{'y' * 90},rohu,1\n")
    assert all(len(each.heading) <= 40 and len(each.words) <= 40 for each in found.faults)


def test_a_column_of_no_meaning_or_twice_is_said_once() -> None:
    found = read("date,species,moon,eggs,egg grams\n2025-03-04,rohu,full,200,300\n")
    assert [(each.line, each.heading, each.why) for each in found.faults] == [
        (0, "moon", "unknown-column"),
        (0, "egg grams", "column-twice"),
    ]
    assert found.pages[0].eggs_g == 200


@given(st.text(max_size=400))
def test_no_text_ends_it(text: str) -> None:
    read(text)
    read("date,species,females,female kg,injected,eggs,hatched\n" + text)
