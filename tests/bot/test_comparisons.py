"""Questions over several runs by chat: each mean and span against a sum by hand, and never a cause.

`several-runs` tells six runs of catfish: hatched of all eggs 75, 70, 78, no eggs, 72 and 25 %, of females 8,
9, 12, 9, 8 and 8, in water of 27, 26, 27, 28, 27 and 22 degrees.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.bot.contract import breaches
from tests.bot.playing import Night, newest, night, of_kind, played

SIX = "several-runs"


def compared(by: str) -> dict[str, Any]:
    return next(each for each in of_kind(night(SIX), "comparison") if each["by"] == by)


def groups(by: str) -> list[tuple[str, int, float | None, float, float]]:
    told = compared(by)["groups"]
    return [(each["name"], each["runs"], each["mean"], each["low"], each["high"]) for each in told]


# The best -------------------------------------------------------------------------------------------------


def test_the_best_and_the_worst_of_all_runs_with_a_figure() -> None:
    best, worst = of_kind(night(SIX), "best-run")
    assert (best["date"], best["percent"], best["worst"]) == ("2026-06-21", 78.0, False)
    assert (worst["date"], worst["percent"], worst["worst"]) == ("2026-07-21", 25.0, True)
    for each in (best, worst):
        assert (each["counted"], each["low_percent"], each["high_percent"]) == (5, 25.0, 78.0)
        assert each["left_out"] == [{"why": "no-eggs", "dates": ["2026-07-01"]}]
        assert not each["few"]


def test_of_one_run_the_best_is_too_few_to_say(tmp_path: Path) -> None:
    said = played(hatched("60 % hatched of all eggs")("3 06:10", "best run?").lines, tmp_path)
    told = newest(said, "best-run")
    assert (told["percent"], told["counted"], told["few"]) == (60.0, 1, True)
    assert "too few to say" in said[-1]["text"]


def test_without_a_figure_there_is_no_best(tmp_path: Path) -> None:
    said = played(Night()("17:00", "best hatch rate?").lines, tmp_path)
    assert said[-1]["kind"] == "ask"


# Side by side ---------------------------------------------------------------------------------------------


def test_species_by_their_means() -> None:
    assert groups("species") == [("african-catfish", 5, 64.0, 25.0, 78.0)]  # (75 + 70 + 78 + 72 + 25) / 5


def test_females_by_the_lots_of_their_eggs_alone() -> None:
    assert groups("female") == [
        ("8", 3, 57.3, 25.0, 75.0),  # (75 + 72 + 25) / 3
        ("12", 1, None, 78.0, 78.0),
        ("9", 1, None, 70.0, 70.0),
    ]
    assert compared("female")["left_out"] == [{"why": "no-eggs", "dates": ["2026-07-01"]}]


def test_waters_in_steps_of_two_degrees() -> None:
    told = compared("water")
    spans = [(each["span_low"], each["span_high"], each["runs"], each["mean"]) for each in told["groups"]]
    assert spans == [(22.0, 24.0, 1, None), (26.0, 28.0, 4, 73.8)]  # (75 + 70 + 78 + 72) / 4 = 73.75
    assert told["species"] == "african-catfish"


def test_doses_that_differ_by_no_more_than_the_marks_of_a_syringe_are_one() -> None:
    told = compared("dose")
    assert [(each["name"], each["unit"], each["runs"]) for each in told["groups"]] == [("premix", "ug", 5)]
    assert told["groups"][0]["span_low"] == pytest.approx(10.0, rel=0.05)


def test_years_are_of_the_farms_days() -> None:
    assert groups("season") == [("2026", 5, 64.0, 25.0, 78.0)]


def test_too_few_runs_have_no_mean_in_the_text() -> None:
    text = next(line["text"] for line in night(SIX) if line["facts"].get("by") == "water")
    assert "22-24 C: one run, too few to say." in text
    assert "25" not in text.split("\n")[1]


def test_every_comparison_of_several_says_that_it_shows_no_cause() -> None:
    several = [
        line for line in night(SIX) if line["kind"] == "comparison" and len(line["facts"]["groups"]) > 1
    ]
    assert several
    assert all("no cause" in line["text"] for line in several)


def test_rates_of_other_eggs_are_never_put_together(tmp_path: Path) -> None:
    said = hatched("60 % hatched of all eggs")
    for n, day in enumerate((11, 21)):
        said = hatched(f"{80 + n} % hatched of the good ones", day, said)
    said("30 08:00", "hatch by species")("30 08:01", "hatch rate this season?")
    told = played(said.lines, tmp_path)
    beside = newest(told, "comparison")
    assert (beside["of"], beside["groups"][0]["runs"]) == ("fertilised", 2)
    assert beside["left_out"] == [{"why": "other-eggs", "dates": ["2026-06-01"]}]
    season = newest(told, "summary")
    assert (season["hatched_of"], season["hatched_mean_percent"]) == ("fertilised", 80.5)
    assert (season["runs"], season["counted"], season["other_eggs"]) == (3, 2, ["2026-06-01"])


# One female -----------------------------------------------------------------------------------------------


def test_what_a_female_gave_run_by_run() -> None:
    her = newest(night(SIX), "female")
    assert (her["tag"], her["of_one_run"], her["earlier"]) == ("8", False, 0)
    assert [(each["date"], each["hatched_percent"], each["grams"]) for each in her["runs"]] == [
        ("2026-07-21", 25.0, 200.0),
        ("2026-07-11", 72.0, 290.0),
        ("2026-06-01", 75.0, 300.0),
    ]
    assert her["runs"][2]["body_percent"] == 12.5  # 300 g of 2.4 kg
    assert (her["counted"], her["mean_percent"]) == (3, 57.3)
    assert (her["low_percent"], her["high_percent"]) == (25.0, 75.0)


def test_a_name_of_one_run_is_of_that_run_alone(tmp_path: Path) -> None:
    said = hatched("60 % hatched of all eggs", 11, hatched("40 % hatched of all eggs"))
    her = newest(played(said("20 08:00", "how did F1 do?").lines, tmp_path), "female")
    assert [(each["date"], each["hatched_percent"]) for each in her["runs"]] == [("2026-06-11", 60.0)]
    assert (her["of_one_run"], her["mean_percent"]) == (True, None)


def test_eggs_of_two_in_one_lot_are_nobodys_rate(tmp_path: Path) -> None:
    night = Night()("17:00", "catfish tag 8 female 2.4 kg, tag 9 female 3.1 kg, male 1.9")(
        "20:30", "injected"
    )
    night("2 06:00", "tag 8 300 g, tag 9 250 g")("3 06:00", "60 % hatched of all eggs")
    her = newest(played(night("3 06:10", "how did tag 8 do?").lines, tmp_path), "female")
    assert (her["runs"][0]["hatched_percent"], her["runs"][0]["others"]) == (60.0, ["9"])
    assert (her["counted"], her["mean_percent"]) == (0, None)


def test_a_female_nobody_knows(tmp_path: Path) -> None:
    said = played(hatched("60 % hatched of all eggs")("3 06:10", "how did tag 77 do?").lines, tmp_path)
    assert (said[-1]["kind"], said[-1]["facts"]["why"]) == ("ask", "no-such-female")
    assert "77" in said[-1]["text"]


# What differed --------------------------------------------------------------------------------------------


def test_what_differed_in_the_lowest_run() -> None:
    told = newest(night(SIX), "differences")
    assert (told["date"], told["percent"], told["of"]) == ("2026-07-21", 25.0, "all")
    assert (told["others"], told["low_percent"], told["high_percent"]) == (4, 70.0, 78.0)
    things = {each["thing"]: each for each in told["things"]}
    differing = {name: each["code"] for name, each in things.items() if each["verdict"] == "differs"}
    assert differing == {
        "rest": "short",  # ten days after the run before; the card says 42 at least
        "water": "cold",  # 22 C; the best begins at 22.9
        "looks": "odd",
        "males": "one",
        "fertilised": "lower",  # 40 %; the others 80 to 88
        "hatch-water": "cold",
    }
    assert things["rest"]["value"] == pytest.approx(9.6, abs=0.1)
    assert (things["fertilised"]["low"], things["fertilised"]["high"]) == (80.0, 88.0)
    assert things["ran"]["verdict"] == "not-told"
    assert {name for name, each in things.items() if each["verdict"] == "same"} == {"dose", "hours", "milt"}


def test_differences_are_never_called_causes() -> None:
    text = next(line["text"] for line in night(SIX) if line["kind"] == "differences")
    assert text.endswith("These are differences, not causes.")
    assert "because" not in text.lower()


def test_all_of_it_keeps_to_the_contract() -> None:
    kinds = ("comparison", "best-run", "female", "differences", "summary")
    lines = [line for line in night(SIX) if line["kind"] in kinds]
    assert {line["kind"] for line in lines} == set(kinds)
    assert [fault for line in lines for fault in breaches(line)] == []


def test_the_run_just_spoken_of_is_meant(tmp_path: Path) -> None:
    said = hatched("30 % hatched of all eggs", 11, hatched("60 % hatched of all eggs"))
    said("20 08:00", "best run?")("20 08:01", "why was it low?")
    assert newest(played(said.lines, tmp_path), "differences")["date"] == "2026-06-01"
    said.lines[-2:] = []
    said("20 08:01", "why was the hatch so low?")
    assert newest(played(said.lines, _new(tmp_path)), "differences")["date"] == "2026-06-11"


def test_of_a_female_that_is_named_her_newest_run_is_meant(tmp_path: Path) -> None:
    said = hatched("30 % hatched of all eggs", 11, hatched("60 % hatched of all eggs"))
    said.lines[0]["text"] = "catfish tag 8 female 2.4 kg, male 1.9"
    said.lines[3]["text"] = "tag 8 300 g"
    said("20 08:01", "why was hatching bad with tag 8?")
    assert newest(played(said.lines, tmp_path), "differences")["date"] == "2026-06-01"


def test_larvae_of_a_season_are_summed(tmp_path: Path) -> None:
    said = hatched("30 % hatched of all eggs", 11, hatched("40000 larvae hatched"))
    told = newest(played(said("20 08:00", "how many larvae this season?").lines, tmp_path), "summary")
    assert (told["larvae"], told["runs"]) == (40_000, 2)


def test_after_a_dose_why_so_low_is_about_the_dose(tmp_path: Path) -> None:
    said = Night()("17:00", "catfish f 2.4 m 1.9")("17:01", "why so low?")
    assert played(said.lines, tmp_path)[-1]["kind"] == "source"


def test_one_male_always_is_no_difference(tmp_path: Path) -> None:
    said = Night()
    for day, percent in ((1, 60), (11, 70), (21, 65), (31, 30)):
        said = hatched(f"{percent} % hatched of all eggs", day, said)
    told = newest(played(said("40 08:00", "why was the hatch so low?").lines, tmp_path), "differences")
    things = {each["thing"]: each["verdict"] for each in told["things"]}
    assert (told["percent"], things["males"]) == (30.0, "same")
    assert things["looks"] == "not-told"


def one_female(species: str, tag: int, day: int, count: str, said: Night) -> Night:
    """A run of one tagged female of that species."""
    said(f"{day} 17:00", f"{species} tag {tag} female 2.4 kg, male 1.9")(f"{day} 20:30", "injected")
    said(f"{day} 20:31", "27")(f"{day + 1} 06:00", f"tag {tag} 200 g")(f"{day + 2} 06:00", count)
    return said


def test_a_number_that_the_farm_told_of_is_one_fish_in_all_runs(tmp_path: Path) -> None:
    """Of "tag 1" alone nobody could know; "tag 1 is from the river" says that it is a tag."""
    said = Night()("09:00", "tag 1 is from the river")
    for day in (1, 15):
        one_female("african catfish", 1, day, "60 % hatched of all eggs", said)
    told = played(said("30 08:00", "how did tag 1 do?").lines, tmp_path)
    assert (newest(told, "female")["of_one_run"], len(newest(told, "female")["runs"])) == (False, 2)
    unnamed = Night()
    for day in (1, 15):
        one_female("african catfish", 1, day, "60 % hatched of all eggs", unnamed)
    told = played(unnamed("30 08:00", "how did tag 1 do?").lines, _new(tmp_path))
    assert (newest(told, "female")["of_one_run"], len(newest(told, "female")["runs"])) == (True, 1)


def test_a_tag_of_two_species_is_two_fish(tmp_path: Path) -> None:
    """Eggs of the catfish are no eggs of the striped catfish with that tag."""
    said = one_female("african catfish", 8, 1, "60 % hatched of all eggs", Night())
    one_female("striped catfish", 8, 12, "20 % hatched of all eggs", said)
    said("30 08:00", "how did tag 8 do?")("30 08:01", "why was it low?")
    told = played(said.lines, tmp_path)
    assert [each["species"] for each in newest(told, "female")["runs"]] == ["striped-catfish"]
    rest = next(each for each in newest(told, "differences")["things"] if each["thing"] == "rest")
    assert rest["verdict"] == "not-told"


def test_a_tag_given_again_after_a_loss_is_another_fish(tmp_path: Path) -> None:
    """As in her card: what the first one gave is not the second one's."""
    said = one_female("african catfish", 8, 1, "60 % hatched of all eggs", Night())
    said("5 08:00", "fed")("6 08:00", "tag 8 died")
    one_female("african catfish", 8, 12, "20 % hatched of all eggs", said)
    told = played(said("30 08:00", "how did tag 8 do?")("30 08:01", "hatch by female").lines, tmp_path)
    assert [each["date"] for each in newest(told, "female")["runs"]] == ["2026-06-12"]
    groups_of = newest(told, "comparison")["groups"]
    assert [(each["name"], each["runs"]) for each in groups_of] == [("8", 1), ("8", 1)]


def hatched(count: str, day: int = 1, said: Night | None = None) -> Night:
    """A run of one catfish from its weights to a hatch count."""
    said = Night() if said is None else said
    said(f"{day} 17:00", "catfish f 2.4 m 1.9")(f"{day} 20:30", "injected")(f"{day} 20:31", "27")
    return said(f"{day + 1} 05:30", "f1 300 g")(f"{day + 2} 06:00", count)


def _new(folder: Path) -> Path:
    fresh = folder / "new"
    fresh.mkdir()
    return fresh
