"""The farm's own syringes, glands and doses, as a farmer tells of them."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.bot.playing import Night, newest, of_kind, played


def sheet() -> Night:
    return Night()("17:00", "catfish f 2.4 f 2.6 m 1.8")


def test_sixty_grams_of_stinging_catfish_get_a_dose_that_can_be_drawn(tmp_path: Path) -> None:
    fact = newest(
        played(Night()("17:00", "stinging catfish f 60 g f 70 g m 55 g").lines, tmp_path), "dose-sheet"
    )
    first, second, _ = fact["fish"]
    assert [fish["shots"][0]["liquid_ml"] for fish in (first, second)] == [0.06, 0.07]
    (making,) = fact["makings"]
    assert making["amount"] == making["diluent_ml"]


def test_nine_kilos_of_grass_carp_get_a_dose_that_can_be_drawn(tmp_path: Path) -> None:
    fact = newest(played(Night()("17:00", "grass carp f 9 kg f 8 kg m 6 kg").lines, tmp_path), "dose-sheet")
    shot = fact["fish"][0]["shots"][0]
    assert (shot["drawn_ml"], shot["syringe_ml"], shot["places"]) == (4.0, 5.0, 2)
    assert "big-volume" in fact["warnings"]


def test_the_bell_says_how_to_thin_before_it_says_how_much(tmp_path: Path) -> None:
    night = (
        Night()("17:00", "stinging catfish f 60 g f 70 g m 55 g").tap("17:01", "start").tap("17:02", "yes")
    )
    bells = of_kind(played(night.until("2 17:00").lines, tmp_path), "step")
    inject = next(bell for bell in bells if bell["step"] == "inject")
    assert inject["makings"][0]["unit"] == "mL"
    assert inject["doses"][0]["shots"][0]["liquid_ml"] == 0.06


def test_the_sheet_follows_the_syringes_told(tmp_path: Path) -> None:
    told = played(sheet()("17:01", "i only have 5 ml syringes, marks every 0.1").lines, tmp_path)
    before, after = of_kind(told, "dose-sheet")
    assert (before["graduation_ml"], after["graduation_ml"]) == (0.1, 0.1)
    assert {shot["syringe_ml"] for fish in after["fish"] for shot in fish["shots"]} == {5.0}


def test_a_syringe_nobody_makes_is_asked_about(tmp_path: Path) -> None:
    *_, last = played(sheet()("17:01", "my syringe is 7 ml").lines, tmp_path)
    assert (last["kind"], last["facts"]["why"]) == ("ask", "unknown-syringe")


def test_glands_are_counted_once_one_is_weighed(tmp_path: Path) -> None:
    night = Night()("17:00", "rohu f 2.4 m 1.8")("17:01", "with pituitary")("17:02", "one gland is 3 mg")
    fact = newest(played(night.lines, tmp_path), "dose-sheet")
    assert fact["glands"] == -(-fact["make"] // 3)
    assert [each["role"] for each in fact["makings"]] == ["priming", "resolving"]


def test_an_own_dose_stays_with_the_farm_and_is_named(tmp_path: Path) -> None:
    night = sheet()("17:01", "we use 0.6 ml per kg").tap("17:02", "start")("17:03", "injected")
    night = night("17:10", "catfish f 2 m 2")
    fact = newest(played(night.lines, tmp_path), "dose-sheet")
    assert (fact["own"]["per_kg"], fact["own"]["unit"], fact["mark"]) == (0.6, "mL", "the farm's own")


def test_the_usual_dose_comes_back(tmp_path: Path) -> None:
    night = sheet()("17:01", "we use 0.6 ml per kg").tap("17:02", "change:usual-dose")
    fact = newest(played(night.lines, tmp_path), "dose-sheet")
    assert (fact["own"], fact["per_kg"]) == (None, 10.0)


def test_more_than_twice_needs_a_reason_that_stays_with_the_run(tmp_path: Path) -> None:
    asked = sheet()("17:01", "dose 30 ug/kg")
    *_, last = played(asked.lines, tmp_path)
    assert (last["kind"], last["facts"]["about"], last["facts"]["why"]) == (
        "ask",
        "dose-reason",
        "over-twice",
    )
    signed = tmp_path / "signed"
    signed.mkdir()
    night = asked("17:02", "our vet ordered it").tap("17:03", "start")("17:04", "injected")(
        "17:10", "catfish f 2"
    )
    sheets = of_kind(played(night.lines, signed), "dose-sheet")
    assert sheets[1]["own"]["reason"] == "our vet ordered it"
    assert sheets[-1]["own"] is None


@pytest.mark.parametrize("words", ["no", "what is the dose?", "injected"])
def test_no_such_dose_without_a_reason(words: str, tmp_path: Path) -> None:
    told = played(sheet()("17:01", "dose 30 ug/kg")("17:02", words).lines, tmp_path)
    assert all(fact["own"] is None for fact in of_kind(told, "dose-sheet"))


def test_a_bottle_of_double_strength_halves_every_volume_and_no_dose(tmp_path: Path) -> None:
    told = of_kind(played(sheet()("17:01", "label 40 ug + 20 mg per ml").lines, tmp_path), "dose-sheet")
    once, twice = ([shot for fish in fact["fish"] for shot in fish["shots"]] for fact in told)
    assert [shot["amount"] for shot in once] == [shot["amount"] for shot in twice]
    assert all(abs(half["ml"] - whole["ml"] / 2) <= 0.0076 for whole, half in zip(once, twice, strict=True))


def test_a_label_in_the_wrong_order_is_caught(tmp_path: Path) -> None:
    *_, last = played(sheet()("17:01", "label 10 ug + 20 mg per ml").lines, tmp_path)
    assert (last["kind"], last["facts"]["why"]) == ("ask", "label-swapped")


def test_a_dissolved_vial_lasts_a_day(tmp_path: Path) -> None:
    night = Night()("17:00", "vial 5000 iu in 5 ml")("17:01", "dissolved the vial at 16:50")
    night = night("17:02", "striped catfish f 4 m 3")("17:03", "with hcg")("2 17:30", "f2 5")
    told = played(night.lines, tmp_path)
    sheets = of_kind(told, "dose-sheet")
    assert ["vial-old" in fact["warnings"] for fact in sheets] == [False, False, True]
    noted = newest(told, "noted")
    assert (noted["what"], noted["at"][11:16], noted["next_at"][8:16]) == (
        "vial-dissolved",
        "16:50",
        "02T16:50",
    )


@pytest.mark.parametrize(
    ("weights", "code"),
    [("stinging catfish f 60 g m 55 g", "dose-thinned"), ("rohu f 2.4 m 1.8 with pituitary", "dose-carrier")],
)
def test_why_says_what_is_mixed(weights: str, code: str, tmp_path: Path) -> None:
    told = played(Night()("17:00", weights)("17:01", "why?").lines, tmp_path)
    assert code in newest(told, "source")["reasons"]


@pytest.mark.parametrize(
    ("unit", "words", "said", "kg"),
    [
        ("lb", "pounds", 5.3, 2.404),  # a pound is 0.45359237 kg: NIST Handbook 44 (2024), Appendix C
        ("kati", "kati", 4, 2.4),
        ("viss", "viss", 1.5, 2.449),
    ],
)
def test_the_sheet_shows_what_the_farms_scale_shows(
    unit: str, words: str, said: float, kg: float, tmp_path: Path
) -> None:
    night = Night()("17:00", f"we weigh in {words}")("17:01", f"catfish f {said} m {said}")
    transcript = played(night.lines, tmp_path)
    fact = newest(transcript, "dose-sheet")
    assert fact["weights"][0] == {"tag": "F1", "value": said, "unit": unit}
    assert fact["fish"][0]["kg"] == pytest.approx(kg, abs=0.001)
    assert f"kg ({said:g} {unit})" in transcript[-1]["text"]


def test_where_kilos_are_weighed_nothing_stands_beside_them(tmp_path: Path) -> None:
    assert newest(played(sheet().lines, tmp_path), "dose-sheet")["weights"] == []


@pytest.mark.parametrize(
    ("words", "said"), [("catfish f 2400 m 1900", True), ("catfish f 2400 g m 1.9 kg", False)]
)
def test_bare_grams_are_said_to_be_read_so(words: str, said: bool, tmp_path: Path) -> None:
    *_, last = played(Night()("17:00", words).lines, tmp_path)
    assert newest([last], "dose-sheet")["fish"][0]["kg"] == 2.4
    assert ("read as grams" in last["text"]) is said
