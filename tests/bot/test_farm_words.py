"""Words of a farmer who played many nights, each in the state of the night in which they went wrong."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.bot.playing import Night, actions, answers, at, bells, newest, of_kind, played_on, since


def sheet() -> Night:
    return Night()("17:00", "catfish f 2.4 f 2.6 m 1.8")


def injected() -> Night:
    return sheet()("20:30", "injected")("20:31", "27")


def looked() -> Night:
    return injected().until("2 04:50")


def stripped() -> Night:
    return injected()("2 05:30", "f1 300 g, f2 250 g")


def nest() -> Night:
    return Night()("17:00", "common carp f 4 f 5 m 3")("17:05", "injected 10:00")


@pytest.mark.parametrize("words", ["all four spawned", "both spawned", "all 3 spawned", "four have spawned"])
def test_fish_that_spawned_are_counted_and_tell_no_hour(words: str, tmp_path: Path) -> None:
    seen = newest(played_on(nest()("2 02:30", words).lines, tmp_path), "noted")
    assert (seen["what"], seen["at"]) == ("spawned", at("2 02:30"))


def test_an_hour_behind_the_spawning_is_asked(tmp_path: Path) -> None:
    *_, asked = played_on(nest()("2 05:30", "spawned 5").lines, tmp_path)
    assert actions(asked) == ["pick:1", "pick:2"]


@pytest.mark.parametrize(
    ("words", "what"),
    [
        ("needle went in my hand", "first-aid"),
        ("no, the needle went in my hand", "first-aid"),
        ("the spine stung me", "first-aid"),
        ("my hand got stung", "first-aid"),
        ("I pricked myself", "first-aid"),
        ("injected into my thumb", "first-aid"),
        ("I am pregnant, can I inject", "keep-away"),
        ("I'm pregnant, can i handle the hormone?", "keep-away"),
        ("my wife is pregnant, can she give the shot", "keep-away"),
        ("i have asthma, inject?", "keep-away"),
    ],
)
@pytest.mark.parametrize("night", [sheet, injected])
def test_people_come_before_fish_and_no_needle_is_booked(
    words: str, what: str, night: Any, tmp_path: Path
) -> None:
    lines = night()("21:10", words).lines
    before, now = played_on(lines[:-1], tmp_path), tmp_path / "now"
    now.mkdir()
    (said,) = played_on(lines, now)[len(before) :]
    assert (said["kind"], said["facts"]["what"], said["buttons"]) == ("noted", what, [])


def test_who_injected_them_himself_needs_no_doctor(tmp_path: Path) -> None:
    told = newest(
        played_on(sheet()("21:10", "i injected them myself at 21:00").lines, tmp_path), "strip-forecast"
    )
    assert told["final_injection_at"] == at("21:00")


WELL = ("she is fine", "all fine", "ok they look good", "none died", "everything is ok")


@pytest.mark.parametrize("words", WELL)
def test_that_all_is_well_fertilises_no_eggs(words: str, tmp_path: Path) -> None:
    said = played_on(stripped()("2 05:46", words).until("2 06:20").lines, tmp_path)
    (told,) = answers(said, at("2 05:46"))
    assert (told["facts"]["what"], told["facts"]["step"]) == ("well", "fertilise")
    assert [line["at"] for line in bells(said, "fertilise")] == [at("2 05:45"), at("2 06:15")]


@pytest.mark.parametrize("words", WELL)
def test_that_all_is_well_gives_no_needle(words: str, tmp_path: Path) -> None:
    night = sheet().tap("17:01", "start").tap("17:02", "yes").until("20:31")("20:31", words)
    said = played_on(night("20:32", "what did I give?").lines, tmp_path)
    assert {line["kind"] for line in said}.isdisjoint({"strip-forecast", "given"})


@pytest.mark.parametrize("words", WELL)
def test_that_all_is_well_answers_who_asks_after_it(words: str, tmp_path: Path) -> None:
    night = stripped()("2 05:46", "milt on").until("2 07:31")("2 07:32", words).until("2 08:10")
    said = played_on(night.lines, tmp_path)
    assert newest(said, "noted")["step"] == "check-brood"
    assert [line["at"] for line in bells(said, "check-brood")] == [at("2 07:30")]


def hcg() -> Night:
    return Night()("17:00", "grass carp f 5 f 6 m 4")("17:01", "hcg")("17:02", "first shot 08:02 500 iu/kg")


@pytest.mark.parametrize(
    ("words", "at_hour", "amounts"),
    [
        ("final given 2500 iu/kg", "20:46", [12500.0, 15000.0]),
        ("second shot given 2500 iu per kg at 20:30", "20:30", [12500.0, 15000.0]),
        ("final one given (early) 19:30", "19:30", [None, None]),
        ("second one given 19:30", "19:30", [None, None]),
    ],
)
def test_a_dose_for_each_kg_is_a_needle_and_no_label(
    words: str, at_hour: str, amounts: list[float | None], tmp_path: Path
) -> None:
    said = played_on(hcg()("20:46", words)("20:47", "what did I give?").lines, tmp_path)
    assert newest(said, "strip-forecast")["final_injection_at"] == at(at_hour)
    second = {shot["tag"]: shot["amount"] for shot in newest(said, "given")["given"] if shot["n"] == 2}
    assert second == dict(zip(["F1", "F2", "M1"], [*amounts, None], strict=True))
    assert [fact["what"] for fact in of_kind(said, "noted") if fact["what"] == "label"] == []


def test_a_first_shot_for_each_kg_primes(tmp_path: Path) -> None:
    noted = newest(played_on(hcg().lines, tmp_path), "noted")
    assert (noted["what"], noted["at"]) == ("priming-alone", at("08:02"))


def test_an_amount_without_per_kg_is_asked_about(tmp_path: Path) -> None:
    asked = played_on(hcg()("20:46", "second shot 1500 iu").lines, tmp_path)[-1]
    assert [button["label"] for button in asked["buttons"]] == ["injected, 1,500 IU per kg", "injected"]


@pytest.mark.parametrize(
    ("words", "preparation"), [("injected with pituitary", "pituitary"), ("injected hcg 16:50", "hcg")]
)
def test_what_was_injected_may_be_told_with_the_needle(words: str, preparation: str, tmp_path: Path) -> None:
    told = newest(played_on(sheet()("17:10", words).lines, tmp_path), "strip-forecast")
    assert told["preparation"] == preparation


def test_what_was_injected_may_be_told_after_it(tmp_path: Path) -> None:
    night = injected()("20:40", "it was pituitary")("20:41", "4 mg/kg").tap("20:42", "pick:1")
    said = played_on(night("20:43", "what did I give?").lines, tmp_path)
    assert newest(said, "strip-forecast")["preparation"] == "pituitary"
    shots = newest(said, "given")["given"]
    assert {
        shot["tag"]: (shot["ml"], shot["amount"], shot["unit"]) for shot in shots if shot["tag"] != "M1"
    } == {
        "F1": (None, 9.6, "mg"),
        "F2": (None, 10.4, "mg"),
    }


def test_a_unit_of_another_preparation_is_asked_about(tmp_path: Path) -> None:
    night = sheet()("17:10", "injected 4000 iu/kg")
    asked = played_on(night.lines, tmp_path)[-1]
    assert (asked["facts"]["about"], asked["facts"]["why"]) == ("prepared", "unit-of-another")
    (tmp_path / "then").mkdir()
    said = played_on(night.tap("17:11", "pick:1")("17:12", "what did I give?").lines, tmp_path / "then")
    assert newest(said, "strip-forecast")["preparation"] == "hcg"
    assert [shot["amount"] for shot in newest(said, "given")["given"]] == [9600.0, 10400.0, None]


def test_one_run_of_two_preparations_is_asked_about(tmp_path: Path) -> None:
    asked = played_on(sheet()("17:10", "F1 injected")("17:12", "F2 injected with pituitary").lines, tmp_path)[
        -1
    ]
    assert (asked["facts"]["why"], asked["facts"]["words"]) == ("other-before", "premix")
    assert actions(asked) == ["pick:1", "pick:2"]


@pytest.mark.parametrize(
    "words",
    ["twice", "two shots", "we inject twice", "we give two shots", "can i inject in two shots", "split dose"],
)
def test_how_many_shots_is_no_needle_and_splits_no_dose(words: str, tmp_path: Path) -> None:
    said = played_on(sheet()("17:10", words)("17:11", "what did I give?").lines, tmp_path)
    (told,) = answers(said, at("17:10"))
    assert (told["facts"]["what"], told["facts"]["word"]) == ("one-shot", "premix")
    assert {line["kind"] for line in said}.isdisjoint({"strip-forecast", "given"})


def test_twice_beside_weights_is_answered(tmp_path: Path) -> None:
    said = played_on(Night()("17:00", "catfish f 2.4 m 1.8 twice").lines, tmp_path)
    assert [line["kind"] for line in said] == ["dose-sheet", "noted"]
    assert [len(fish["shots"]) for fish in newest(said, "dose-sheet")["fish"]] == [1, 1]


def test_a_card_of_several_shots_says_so(tmp_path: Path) -> None:
    night = Night()("17:00", "common carp f 4 m 3")("17:01", "pituitary")("17:02", "twice")
    told = newest(played_on(night.lines, tmp_path), "noted")
    assert (told["what"], told["number"]) == ("shots", 2.0)


@pytest.mark.parametrize("words", ["primed at 20:00", "first shot given 20:00"])
def test_a_priming_shot_of_one_shot_says_that_no_bell_follows(words: str, tmp_path: Path) -> None:
    said = played_on(sheet()("20:10", words).until("2 12:00").lines, tmp_path)
    told = newest(said, "noted")
    assert (told["what"], told["at"], told["tags"]) == ("priming-alone", at("20:00"), ["F1", "F2", "M1"])
    assert bells(said, "inject") == []


@pytest.mark.parametrize("words", ["all three injected", "injected all 3", "injected 3 fish"])
def test_fish_that_were_injected_are_counted_and_tell_no_hour(words: str, tmp_path: Path) -> None:
    told = newest(played_on(sheet()("17:10", words).lines, tmp_path), "strip-forecast")
    assert told["final_injection_at"] == at("17:10")


def test_some_fish_that_were_injected_are_asked_about(tmp_path: Path) -> None:
    (asked,) = answers(played_on(sheet()("17:10", "2 injected").lines, tmp_path), at("17:10"))
    assert asked["kind"] == "ask"


@pytest.mark.parametrize(
    ("words", "sheets"),
    [
        ("catfish f 2.4 and carp f 4", {"african-catfish": [2.4], "common-carp": [4.0]}),
        ("catfish f 2.4 carp f 4", {"african-catfish": [2.4], "common-carp": [4.0]}),
        ("f 2.4 catfish, f 2.6 catfish, f 4 carp", {"african-catfish": [2.4, 2.6], "common-carp": [4.0]}),
        ("rohu f 2, catla f 3 m 2.5, rohu m 1.5", {"rohu": [2.0, 1.5], "catla": [3.0, 2.5]}),
    ],
)
def test_two_species_in_a_line_are_two_sheets(
    words: str, sheets: dict[str, list[float]], tmp_path: Path
) -> None:
    said = of_kind(played_on(Night()("17:00", words).lines, tmp_path), "dose-sheet")
    assert {each["species"]: [fish["kg"] for fish in each["fish"]] for each in said} == sheets
    assert len({each["run"] for each in said}) == 2


def test_carp_weighed_after_catfish_are_no_catfish(tmp_path: Path) -> None:
    night = Night()("17:00", "catfish f 2.4")("17:01", "carp f 4")("17:02", "catfish m 1.9")
    said = of_kind(played_on(night.lines, tmp_path), "dose-sheet")
    assert [(each["species"], len(each["fish"])) for each in said] == [
        ("african-catfish", 1),
        ("common-carp", 1),
        ("african-catfish", 2),
    ]


@pytest.mark.parametrize(
    ("words", "tags"),
    [("F1 none yet", ["F1"]), ("F1 no eggs so far", ["F1"]), ("no eggs yet", []), ("still no eggs", [])],
)
def test_no_eggs_yet_is_not_yet(words: str, tags: list[str], tmp_path: Path) -> None:
    noted = newest(played_on(looked()("2 04:51", words).lines, tmp_path), "noted")
    assert (noted["what"], noted["tags"], noted["next_step"]) == ("not-yet", tags, "check-females")


@pytest.mark.parametrize("words", ["F1 no eggs", "F1 nothing", "none of them gave eggs"])
def test_no_eggs_in_the_window_closes_no_night_unasked(words: str, tmp_path: Path) -> None:
    said = played_on(looked()("2 04:51", words).until("2 05:31").lines, tmp_path)
    asked = newest(said, "ask")
    assert (asked["about"], asked["why"]) == ("none-early", "eggs-may-come")
    assert bells(since(said, at("2 04:52")), "check-females")[-1]["facts"]["tags"] == ["F1", "F2"]


def test_none_of_one_beside_anothers_eggs_is_not_asked(tmp_path: Path) -> None:
    said = played_on(looked()("2 04:51", "F1 300 g, F2 none").until("2 06:00").lines, tmp_path)
    assert newest(said, "eggs")["waiting"] == []
    assert bells(since(said, at("2 04:52")), "check-females") == []


@pytest.mark.parametrize("words", ["F1 gave none", "F1 empty"])
def test_not_yet_opens_the_night_of_one_who_gave_none(words: str, tmp_path: Path) -> None:
    night = looked()("2 04:51", words).until("2 05:31")("2 05:35", "F1 not yet").until("2 06:31")
    looks = bells(since(played_on(night.lines, tmp_path), at("2 04:52")), "check-females")
    assert {line["at"]: line["facts"]["tags"] for line in looks if line["reminder"]["attempt"] == 1} == {
        at("2 05:30"): ["F2"],
        at("2 06:30"): ["F1", "F2"],
    }


@pytest.mark.parametrize(
    ("words", "on"),
    [
        ("milt is on", "05:46"),
        ("milt and water done", "05:46"),
        ("milt done", "05:46"),
        ("water on the eggs", "05:46"),
        ("poured milt and water", "05:46"),
        ("sperm added 5:40", "05:40"),
        ("milt 5:40", "05:40"),
    ],
)
def test_milt_is_told_in_many_words(words: str, on: str, tmp_path: Path) -> None:
    said = played_on(stripped()("2 05:46", words).until("2 07:00").lines, tmp_path)
    assert newest(said, "noted")["at"] == at(f"2 {on}")
    assert [line["at"] for line in bells(said, "fertilise")] == [at("2 05:45")]


@pytest.mark.parametrize("words", ["is milt on", "are the eggs fertilised", "no milt on yet"])
def test_milt_that_is_only_asked_after_is_not_on(words: str, tmp_path: Path) -> None:
    said = played_on(stripped()("2 05:46", words).until("2 07:00").lines, tmp_path)
    assert of_kind(said, "hatch-forecast") == []


@pytest.mark.parametrize("words", ["we strip them", "we will strip", "stripping by hand"])
def test_carp_weighed_for_the_nest_may_be_stripped_after_all(words: str, tmp_path: Path) -> None:
    first, second = of_kind(
        played_on(Night()("17:00", "common carp f 4.2 m 2.9")("17:01", words).lines, tmp_path), "dose-sheet"
    )
    assert (first["way"], second["way"]) == ("nest", "stripped")


def test_stripping_without_an_hour_is_asked_of_fish_that_are_stripped_anyway(tmp_path: Path) -> None:
    said = played_on(Night()("17:00", "catfish f 2.4 m 1.9")("17:01", "we strip them").lines, tmp_path)
    assert said[-1]["kind"] == "ask"
