"""Orders of larvae, told in the chat. The first of June is a Monday; hours are worked out by hand.

Catfish at 26.6 C, the middle of its best water: from the needle to feeding larvae 136.8 h at most, 137 to the
quarter (`tests/core/test_orders.py`), to hatched ones 41 h.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.bot.contract import breaches
from tests.bot.playing import Night, Transcript, actions, at, minutes_between, newest, of_kind, played

ASKED = "need 50000 african catfish larvae by "


def told(folder: Path, *lines: tuple[str, str]) -> Transcript:
    """The transcript of ada's messages; one that begins with "/" is a tap."""
    night = Night()
    for clock, text in lines:
        night = night.tap(clock, text[1:]) if text.startswith("/") else night(clock, text)
    sent = played(night.lines, folder)
    assert [breach for line in sent for breach in breaches(line)] == []
    return sent


def assumed(plan: dict[str, Any]) -> dict[str, tuple[float, str]]:
    return {each["what"]: (each["value"], each["origin"]) for each in plan["need"]["assumed"]}


def females(plan: dict[str, Any]) -> tuple[Any, ...]:
    """How many, their kilos, and how many males go with them."""
    found = plan["need"]["females"]
    return found["number"], found["kg"], found["males"]


def final_at(plan: dict[str, Any]) -> str:
    told: str = plan["night"]["shots"][-1]["at"]
    return told


@pytest.mark.parametrize(
    ("by", "hour"),
    [
        ("monday", "8 08:00"),
        ("monday 6 am", "8 06:00"),
        ("monday at 6", "8 06:00"),
        ("monday 14:00", "8 14:00"),
        ("monday at 5", "8 17:00"),
        ("12 june noon", "12 12:00"),
    ],
)
def test_larvae_are_wanted_by_the_hour_that_was_told(by: str, hour: str, tmp_path: Path) -> None:
    (line,) = told(tmp_path, ("10:00", ASKED + by))
    assert line["facts"]["wanted_at"] == at(hour)


def test_the_day_told_later_brings_its_hour(tmp_path: Path) -> None:
    *_, line = told(tmp_path, ("10:00", "need 50000 african catfish larvae"), ("10:01", "monday 6 am"))
    assert (line["kind"], line["facts"]["wanted_at"]) == ("order-plan", at("8 06:00"))


# In time ----------------------------------------------------------------------------------------------------


def test_an_order_in_time(tmp_path: Path) -> None:
    (line,) = told(tmp_path, ("10:00", ASKED + "monday"))
    plan = line["facts"]
    assert (plan["species"], plan["larvae"], plan["feeding"]) == ("african-catfish", 50_000, True)
    assert (plan["wanted_at"], plan["why"], plan["earliest_at"]) == (at("8 08:00"), "", None)
    assert (females(plan), plan["hormone"]["ml"]) == ((4, 5.92, 2), None)
    # 137 h before Monday 08:00 is Tuesday 15:00: eggs would come at night. Looks fall to waking hours
    # a needle of 20:12 to 08:33, so that of Tuesday 08:30 is the latest.
    assert final_at(plan) == at("2 08:30")
    # 10.15 h, then 25.02 h, then 72 h, each back to the quarter
    assert [plan["night"][hour] for hour in ("eggs_at", "hatch_at", "feed_at")] == [
        at("2 18:30"),
        at("3 19:30"),
        at("6 19:30"),
    ]
    assert not plan["asleep"]
    assert (plan["celsius"], plan["celsius_source"]) == (26.6, "assumed")
    assert plan["basis"] and plan["mark"] == "from memory"


def test_the_reply_is_short_and_books_nothing(tmp_path: Path) -> None:
    sent = told(tmp_path, ("10:00", ASKED + "monday"), ("10:01", "status"))
    main, _, rest = sent[0]["text"].partition("Nothing is booked: weights start the run.")
    assert main.startswith("About 4 females")
    assert "50,000 feeding larvae of African catfish" in main
    assert len(main.split()) < 60
    assert rest.count("\n") <= 3
    assert newest(sent, "status")["runs"] == []


def test_hatchlings_are_ready_sooner(tmp_path: Path) -> None:
    (line,) = told(tmp_path, ("10:00", "need 50000 catfish hatchlings by wednesday"))
    plan = line["facts"]
    # 41 h before Wednesday 08:00 is today 15:00: too late for an hour that lets people sleep
    assert (plan["feeding"], plan["night"]["feed_at"], final_at(plan)) == (False, None, at("15:00"))
    assert plan["asleep"]
    assert "50,000 hatchlings of African catfish" in line["text"]


def test_all_primings_of_a_scheme_are_told(tmp_path: Path) -> None:
    """Striped catfish by hCG: 23 h, 23 h and 10 h apart."""
    lines = (
        ("09:00", "striped catfish hcg f 4 m 3"),
        ("10:00", "need 50000 striped catfish larvae by 14 june"),
    )
    (line,) = told(tmp_path, *lines)[1:]
    *primings, final = line["facts"]["night"]["shots"]
    assert [shot["role"] for shot in primings] == ["priming"] * 3
    hours = [minutes_between(shot["at"], final["at"]) / 60 for shot in primings]
    assert hours == [56, 33, 10]
    told_hours = line["text"].split("Prime ")[1].split(". Inject")[0]
    assert [part[-5:] for part in told_hours.split(", ")] == [shot["at"][11:16] for shot in primings]


def test_the_word_fits_several_species(tmp_path: Path) -> None:
    sent = told(tmp_path, ("10:00", "need 50000 catfish larvae by sunday"), ("10:01", "/pick:1"))
    assert "pick:1" in actions(sent[0])
    first, then = of_kind(sent, "order-plan")
    assert first["species"] == "african-catfish" != then["species"]
    assert then["larvae"] == 50_000 and then["wanted_at"] == first["wanted_at"]


def test_a_date_and_a_number_of_days(tmp_path: Path) -> None:
    sent = told(
        tmp_path,
        ("10:00", ASKED + "9 june"),
        ("10:01", "need 50000 african catfish larvae in 8 days"),
        ("10:02", ASKED + "31 may"),
        ("10:03", ASKED + "monday"),
    )
    days = [plan["wanted_at"] for plan in of_kind(sent, "order-plan")]
    assert days[:2] == [at("9 08:00")] * 2
    assert days[2].startswith("2027-05-31")  # the next there is
    assert days[3] == at("8 08:00")  # not the Monday it is said on


def test_a_day_that_no_calendar_has_is_asked_again(tmp_path: Path) -> None:
    plan = newest(told(tmp_path, ("10:00", ASKED + "31 june")), "order-plan")
    assert (plan["why"], plan["night"]) == ("no-day", None)


def test_without_a_day_it_is_asked_for(tmp_path: Path) -> None:
    sent = told(tmp_path, ("10:00", "need 50000 african catfish larvae"), ("10:01", "monday"))
    first, then = of_kind(sent, "order-plan")
    assert (first["why"], first["asks"], females(first)[0], first["night"]) == (
        "no-day",
        "order-day",
        4,
        None,
    )
    assert (then["why"], then["larvae"], final_at(then)) == ("", 50_000, at("2 08:30"))


# Too late ---------------------------------------------------------------------------------------------------


def test_too_late_says_so_first_and_names_the_earliest_morning(tmp_path: Path) -> None:
    (line,) = told(tmp_path, ("10:00", ASKED + "friday"))
    plan = line["facts"]
    assert (plan["why"], plan["wanted_at"]) == ("too-late", at("5 08:00"))
    # the needle at 10:30, ready 137 h later: Sunday 03:30
    assert plan["earliest_at"] == at("7 08:00")
    assert plan["night"]["ready_at"] <= plan["earliest_at"]
    assert line["text"].startswith("TOO LATE")


def test_the_earliest_morning_can_be_ordered(tmp_path: Path) -> None:
    sent = told(tmp_path, ("10:00", ASKED + "friday"), ("10:01", ASKED + "sunday"))
    late, then = of_kind(sent, "order-plan")
    assert then["why"] == ""
    assert (then["wanted_at"], final_at(then)) == (late["earliest_at"], final_at(late))


# Species ----------------------------------------------------------------------------------------------------


def test_a_stranger_is_asked_for_the_species_and_the_order_waits(tmp_path: Path) -> None:
    sent = told(tmp_path, ("10:00", "50,000 larvae by sunday"), ("10:01", "common carp"))
    ask, plan = sent
    assert (ask["kind"], ask["facts"]["about"]) == ("ask", "species")
    assert len(actions(ask)) > 1
    assert (plan["kind"], plan["facts"]["species"]) == ("order-plan", "common-carp")
    assert plan["facts"]["larvae"] == 50_000


def test_the_species_may_be_tapped(tmp_path: Path) -> None:
    sent = told(tmp_path, ("10:00", "50,000 larvae by sunday"), ("10:01", "/pick:2"))
    assert newest(sent, "order-plan")["wanted_at"] == at("7 08:00")


def test_a_species_without_a_card_is_said_so(tmp_path: Path) -> None:
    (line,) = told(tmp_path, ("10:00", "need 50000 tilapia larvae by sunday"))
    assert (line["kind"], line["facts"]["why"]) == ("refused", "unknown-species")


def test_no_eggs_per_kilo_known_is_said_and_the_night_stands(tmp_path: Path) -> None:
    (line,) = told(tmp_path, ("10:00", "need 50000 walking catfish larvae by 12 june"))
    plan = line["facts"]
    assert (plan["need"]["females"], plan["hormone"]) == (None, None)
    assert plan["need"]["eggs"] == 157_000 and plan["night"] is not None
    assert "no figure known" in line["text"]


# The farm's own ---------------------------------------------------------------------------------------------

OWN_RUN = (
    ("20:00", "catfish f 2.4 3.1 m 1.9"),
    ("20:30", "injected"),
    ("20:31", "water 27"),
    ("2 06:20", "F1 210 g, F2 310 g"),
    ("3 09:00", "hatched 80 of 200"),
    ("3 09:01", "/answer:all"),
)


def test_own_rates_and_own_water_go_before_the_card(tmp_path: Path) -> None:
    lines = (*OWN_RUN, ("3 10:00", "700 eggs per gram"), ("3 10:01", "bottle 20 ug 10 mg"))
    plan = newest(told(tmp_path, *lines, ("3 10:02", "need 50000 larvae by 12 june")), "order-plan")
    assert plan["species"] == "african-catfish"  # what the farm spawned last
    # 80 of 200 is 40 %; both gave; 520 g of 5.5 kg is 94.5 g a kg, x 700 = 66,200; 5.5 kg / 2 = 2.75 kg each
    assert assumed(plan) == {
        "eggs-per-kg": (66_200, "own"),
        "gave-eggs": (100, "own"),
        "hatched": (40, "own"),
        "reared": (80, "rule"),
        "female-kg": (2.75, "own"),
        "eggs-per-gram": (700, "own"),
    }
    # 50,000 / 0.4 / 0.8 = 156,250 eggs; / 66,200 = 2.36 kg
    assert females(plan)[:2] == (1, 2.36)
    assert {plan["need"]["females"][end] for end in ("low_kg", "high_kg")} == {2.36}
    # 2.75 kg x 0.5 + 1.73 kg x 0.25 = 1.38 + 0.43 mL, and a tenth: 1.99
    assert plan["hormone"]["ml"] == 2
    assert (plan["celsius"], plan["celsius_source"]) == (27, "measured")


def test_a_run_whose_count_was_of_nobody_knows_what_is_left_out(tmp_path: Path) -> None:
    plan = newest(told(tmp_path, *OWN_RUN[:-1], ("3 10:00", "need 50000 larvae by 12 june")), "order-plan")
    assert assumed(plan)["hatched"] == (48.7, "card")


def test_a_closed_run_still_counts(tmp_path: Path) -> None:
    plan = newest(told(tmp_path, *OWN_RUN, ("20 10:00", "need 50000 larvae by 30 june")), "order-plan")
    assert assumed(plan)["hatched"] == (40, "own")
    assert plan["celsius_source"] == "assumed"  # its water is long past


def test_water_too_cold_tells_no_night(tmp_path: Path) -> None:
    lines = (*OWN_RUN[:2], ("20:31", "water 18"), ("20:40", "need 50000 larvae by 12 june"))
    plan = newest(told(tmp_path, *lines), "order-plan")
    assert (plan["why"], plan["night"], females(plan)[0]) == ("too-cold", None, 3)


# Why? -------------------------------------------------------------------------------------------------------


def test_why_names_what_the_order_leans_on(tmp_path: Path) -> None:
    sent = told(tmp_path, ("10:00", ASKED + "sunday"), ("10:01", "why?"))
    plan, source = sent[0]["facts"], sent[1]["facts"]
    assert (sent[1]["kind"], source["about"]) == ("source", "order")
    assert source["basis"] == plan["basis"]
    assert {"de-graaf-1995", "hogendoorn-vismans-1980", "order-rule"} <= set(source["basis"])
    assert source["mark"] == "from memory"
