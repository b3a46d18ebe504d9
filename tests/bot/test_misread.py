"""Words that farmers typed and that were once misread, each in the state of the night it was typed in."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

from tests.bot.playing import Night, Transcript, answers, at, bells, newest, of_kind, played_on, since


def sheet() -> Night:
    return Night()("17:00", "catfish f 2.4 f 2.6 m 1.8")


def injected() -> Night:
    return sheet()("20:30", "injected")("20:31", "27")


def looked() -> Night:
    return injected().until("2 04:50")


def stripped() -> Night:
    return injected()("2 05:30", "f1 300 g, f2 250 g")


def two_sheets() -> Night:
    night = Night()("17:00", "catfish f 2.4 m 1.9").tap("17:01", "start")
    return night("17:05", "common carp f 4 m 3").tap("17:06", "start")


NEVER_NEEDLED = (
    "do i even need the shot",
    "the bell will say inject, should i",
    "f2 looks bad, no injection for her",
    "i dosed nothing",
    "no dose given",
    "double dose please",
    "no not yet injected!!",
    "not injected yet",
    "do not inject",
    "did i inject?",
    "should i inject now?",
)


@pytest.mark.parametrize("words", NEVER_NEEDLED)
def test_no_needle_is_booked_that_nobody_gave(words: str, tmp_path: Path) -> None:
    said = played_on(sheet()("17:10", words)("17:20", "what did I give?").lines, tmp_path)
    assert {line["kind"] for line in said}.isdisjoint({"strip-forecast", "given"})


@pytest.mark.parametrize(
    "words",
    [
        "can i give f2 more",
        "should i inject now?",
        "can i inject twice",
        "second shot?",
        "inject again?",
        "so the bell says inject, should i",
    ],
)
def test_a_second_dose_is_refused_plainly(words: str, tmp_path: Path) -> None:
    *_, last = played_on(injected()("21:00", words).lines, tmp_path)
    assert (last["kind"], last["facts"]["why"]) == ("refused", "no-second-dose")
    assert last["buttons"] == []


@pytest.mark.parametrize(
    "words",
    [
        "how long until we can eat the females",
        "can we smoke f1",
        "fish on sale today ok?",
        "is f1 safe to eat",
        "so the F1 can go in the pot? she got nothing out",
        "can my neighbor buy the male he is dead anyway",
        "sold the male yesterday",
        "my dogs ate a fish i injected",
    ],
)
def test_no_fish_is_ever_cleared(words: str, tmp_path: Path) -> None:
    *_, last = played_on(injected()("21:00", words).lines, tmp_path)
    assert (last["kind"], last["facts"]["why"]) == ("refused", "clears-no-fish")


def test_an_amount_off_the_sheet_is_said_for_each_fish(tmp_path: Path) -> None:
    given = newest(played_on(sheet()("17:10", "all injected with 1 ml each").lines, tmp_path), "given")[
        "given"
    ]
    assert [(shot["tag"], shot["ml"], shot["sheet_ml"]) for shot in given] == [
        ("F1", 1.0, 1.2),
        ("F2", 1.0, 1.3),
        ("M1", 1.0, 0.45),
    ]


def test_an_edit_after_the_injection_says_what_truly_went_in(tmp_path: Path) -> None:
    night = sheet()("17:10", "all injected with 1 ml each").edit("17:20", 1, "catfish f 2.4 f 2.8 m 1.8")
    mended = newest(played_on(night.lines, tmp_path), "corrected")
    assert (mended["dose_before_ml"], mended["dose_after_ml"]) == (1.0, 1.4)


def test_an_edit_after_the_injection_brings_no_new_fish(tmp_path: Path) -> None:
    night = injected().edit("21:00", 1, "catfish f 2.4 f 2.6 f 3.6 m 1.8")("21:10", "what did I give?")
    said = played_on(night.lines, tmp_path)
    assert newest(said, "refused")["why"] == "edit-after-injection"
    assert [shot["tag"] for shot in newest(said, "given")["given"]] == ["F1", "F2", "M1"]


@pytest.mark.parametrize("words", ["not injected, i was wrong", "no not yet injected!!", "i did not inject"])
def test_an_injection_that_was_not_is_taken_back(words: str, tmp_path: Path) -> None:
    night = injected()("20:40", words).tap("20:41", "yes")("20:42", "what did I give?")
    said = played_on(night.until("2 07:00").lines, tmp_path)
    assert newest(said, "ask")["why"] == "injected-told"
    assert newest(said, "noted")["tags"] == ["F1", "F2", "M1"]
    assert newest(said, "refused")["why"] == "not-injected"
    assert [line for line in said if line["reminder"] and line["reminder"]["step"] == "check-females"] == []


def test_one_fish_that_was_not_injected_leaves_the_others(tmp_path: Path) -> None:
    night = injected()("20:40", "f2 not injected").tap("20:41", "yes")("20:42", "what did I give?")
    given = newest(played_on(night.lines, tmp_path), "given")["given"]
    assert [shot["tag"] for shot in given] == ["F1", "M1"]


@pytest.mark.parametrize("words", ["f1 spat some out", "f1 leaked a bit", "f1 leaked"])
def test_a_leak_that_leaked_asks_how_much_went_in(words: str, tmp_path: Path) -> None:
    *_, last = played_on(injected()("20:40", words).lines, tmp_path)
    assert (last["facts"]["about"], last["buttons"]) == ("dose", [])


@pytest.mark.parametrize("words", ["other bottle, 100 ug", "bottle 10 mg"])
def test_half_a_label_moves_no_dose(words: str, tmp_path: Path) -> None:
    night = sheet()("17:10", words)("17:11", "dose?")
    said = played_on(night.lines, tmp_path)
    assert newest(said, "ask")["why"] == "half-label"
    assert newest(said, "dose-sheet")["strength"]["ug_per_ml"] == 20.0


def test_a_label_without_units_is_shown_before_it_counts(tmp_path: Path) -> None:
    night = sheet()("17:10", "bottle 40 20").tap("17:11", "pick:1")
    *_, asked, after = played_on(night.lines, tmp_path)
    assert [button["label"] for button in asked["buttons"]] == ["bottle 40 ug + 20 mg per mL"]
    assert [line["final_ml"] for line in after["facts"]["fish"]][:2] == [0.6, 0.65]


@pytest.mark.parametrize(
    "words", ["no dose for the male", "no male dose", "male gets nothing", "skip the male dose"]
)
def test_no_dose_for_the_male_may_be_typed(words: str, tmp_path: Path) -> None:
    fish = newest(played_on(sheet()("17:10", words).lines, tmp_path), "dose-sheet")["fish"]
    assert [line["final_ml"] for line in fish] == [1.2, 1.3, None]


def test_undo_after_a_mended_hour_names_the_choice(tmp_path: Path) -> None:
    night = injected().tap("20:40", "answer:-10")("20:41", "undo")
    asked = played_on(night.lines, tmp_path)[-1]
    assert [button["action"] for button in asked["buttons"]] == ["yes", "pick:1", "no"]
    back = night.tap("20:42", "pick:1")("20:43", "what did I give?")
    (tmp_path / "all").mkdir()
    assert of_kind(played_on(back.lines, tmp_path / "all"), "given") == []


def test_a_bath_asked_after_is_not_what_undo_takes(tmp_path: Path) -> None:
    night = stripped()("2 05:37", "iodine 20 litres 100 ppm for eggs")("2 05:38", "undo")
    said = since(played_on(night.lines, tmp_path), at("2 05:37"))
    assert [(line["kind"], line["facts"].get("why")) for line in said] == [("ask", "stripped")]


@pytest.mark.parametrize(
    ("clock", "kind"), [("17:07", "ask"), ("21:30", "strip-forecast"), ("2 02:30", "ask")]
)
def test_a_bare_done_is_the_planned_needle_only_near_its_hour(clock: str, kind: str, tmp_path: Path) -> None:
    night = sheet().tap("17:01", "start")("17:02", "ok")(clock, "done")
    said = since(played_on(night.lines, tmp_path), at("17:03"))
    told = [line for line in said if not line["reminder"]]
    assert told[0]["kind"] == kind


def test_a_past_plan_asks_whether_it_was_done(tmp_path: Path) -> None:
    night = sheet().tap("17:01", "start")("17:02", "ok")("23:00", "how many hours left")
    asked = played_on(night.lines, tmp_path)[-1]
    assert (asked["facts"]["about"], asked["facts"]["why"]) == ("injected-time", "plan-past")
    assert [button["action"] for button in asked["buttons"]] == ["yes", "inject-now", "not-yet"]


def test_start_keeps_the_hour_that_was_asked_for(tmp_path: Path) -> None:
    plans = of_kind(
        played_on(sheet()("17:01", "strip at 6 tomorrow")("17:02", "start").lines, tmp_path), "inject-plan"
    )
    assert [plan["final_at"] for plan in plans] == [plans[0]["final_at"]] * 2


@pytest.mark.parametrize(
    ("words", "facts"),
    [
        ("catfish injected 17:00", {"called": "african-catfish"}),
        ("the carp was injected at 17:00", {"called": "common-carp"}),
    ],
)
def test_a_run_is_named_by_its_fish(words: str, facts: Mapping[str, Any], tmp_path: Path) -> None:
    told = newest(played_on(two_sheets()("17:10", words).lines, tmp_path), "strip-forecast")
    assert facts.items() <= told.items()


def test_a_run_to_be_cancelled_is_named_by_its_fish(tmp_path: Path) -> None:
    assert (
        newest(played_on(two_sheets()("17:10", "cancel the carp").lines, tmp_path), "cancelled")["species"]
        == "common-carp"
    )


def test_a_species_named_while_another_run_is_of_it_changes_no_sheet(tmp_path: Path) -> None:
    night = two_sheets()("17:10", "carp injected 17:09")("17:11", "the carp")(
        "17:12", "catfish injected 17:11"
    )
    said = played_on(night.lines, tmp_path)
    assert newest(said, "ask")["about"] == "change-sheet"
    assert newest(said, "strip-forecast")["called"] == "african-catfish"


def test_some_injected_and_some_not(tmp_path: Path) -> None:
    told = newest(played_on(sheet()("17:10", "f2 injected, male not").lines, tmp_path), "strip-forecast")
    assert (told["tags"], told["rest"]) == (["F2"], ["F1", "M1"])


def test_each_female_at_her_own_hour(tmp_path: Path) -> None:
    said = played_on(sheet()("23:10", "f1 injected at 21, f2 at 23").lines, tmp_path)
    told = {tuple(each["tags"]): each["final_injection_at"] for each in of_kind(said, "strip-forecast")}
    assert told == {("F1",): at("21:00"), ("F2",): at("23:00")}


@pytest.mark.parametrize("words", ["none", "nothing", "all females none", "none of them gave eggs"])
def test_none_under_an_early_look_is_asked(words: str, tmp_path: Path) -> None:
    for chat in ("ada", "pond"):
        (tmp_path / chat).mkdir()
        night = Night(chat=chat)("17:00", "catfish f 2.4 f 2.6 m 1.8")("20:30", "injected").until("2 05:00")
        asked = played_on(night("2 05:01", words).lines, tmp_path / chat)[-1]
        assert [button["action"] for button in asked["buttons"]] == ["not-yet", "yes"]


def test_no_under_a_look_is_not_yet_and_a_name_with_yes_runs(tmp_path: Path) -> None:
    said = played_on(looked()("2 04:51", "no")("2 05:31", "f1 yes").lines, tmp_path)
    assert newest(said, "noted")["what"] == "not-yet"
    assert said[-1]["facts"]["step"] == "fertilise"
    assert said[-2]["facts"]["tags"] == ["F1"]


def test_a_share_and_a_number_of_larvae_stand_together(tmp_path: Path) -> None:
    night = stripped()("2 05:40", "milt on")("3 09:00", "60 % hatched")("3 09:01", "5000 larvae")
    result = newest(played_on(night("3 09:02", "last hatch rate?").lines, tmp_path), "result")
    assert (result["hatched_percent"], result["larvae"]) == (60.0, 5000)


@pytest.mark.parametrize(("words", "of"), [("good ones", "fertilised"), ("of all", "all")])
def test_the_questions_own_words_answer_it(words: str, of: str, tmp_path: Path) -> None:
    night = stripped()("2 05:40", "milt on")("3 09:00", "60 % hatched")("3 09:01", words)
    assert newest(played_on(night.lines, tmp_path), "hatched")["of"] == of


def test_a_count_minutes_after_the_milt_is_asked_about(tmp_path: Path) -> None:
    said = played_on(stripped()("2 05:40", "milt on")("2 05:47", "45 of 50").lines, tmp_path)
    assert newest(said, "ask")["about"] == "counted-early"
    assert of_kind(said, "fertilised") == []


def test_eggs_seen_watery_leave_the_common_bowl(tmp_path: Path) -> None:
    eggs = of_kind(played_on(stripped()("2 05:37", "f2 watery eggs").lines, tmp_path), "eggs")
    assert [(fish["tag"], fish["grams"], fish["quality"]) for fish in eggs[-1]["fish"]] == [
        ("F2", 250.0, "watery")
    ]
    assert (eggs[-1]["test_lot"], eggs[-1]["at"]) == (True, at("2 05:30"))


def test_a_fish_may_be_left_out_and_put_back(tmp_path: Path) -> None:
    night = sheet()("17:10", "remove f2").tap("17:11", "undo")
    sheets = of_kind(played_on(night.lines, tmp_path), "dose-sheet")
    assert [[line["tag"] for line in each["fish"]] for each in sheets] == [
        ["F1", "F2", "M1"],
        ["F1", "M1"],
        ["F1", "F2", "M1"],
    ]


def test_an_injected_fish_is_not_left_out(tmp_path: Path) -> None:
    assert (
        played_on(injected()("21:00", "remove f2").lines, tmp_path)[-1]["facts"]["why"] == "already-injected"
    )


def test_thanks_in_the_night_names_the_next_bell(tmp_path: Path) -> None:
    last = newest(played_on(injected()("21:00", "thanks").lines, tmp_path), "noted")
    assert (last["what"], last["next_step"]) == ("greeting", "check-females")


def test_chatter_with_a_number_is_no_count(tmp_path: Path) -> None:
    night = stripped()("2 05:40", "milt on").until("3 01:00")
    said = played_on(night("3 01:01", "blah blah 7").lines, tmp_path)
    assert of_kind(said, "hatched") == []


@pytest.mark.parametrize("words", ["they gasp at the top", "fish gasping", "gulping air"])
def test_gasping_fish_are_an_alarm(words: str, tmp_path: Path) -> None:
    assert played_on(injected()("2 02:31", words).lines, tmp_path)[-1]["kind"] == "trouble"


def _said(transcript: Transcript) -> str:
    return " ".join(line["text"] for line in transcript)


def test_a_sheet_does_not_name_its_species_twice(tmp_path: Path) -> None:
    assert "Common carp: Common carp" not in _said(played_on(two_sheets().lines, tmp_path))


@pytest.mark.parametrize("words", ["i injected m1 twice", "m1 got a double dose"])
def test_a_double_dose_asks_how_much_went_in(words: str, tmp_path: Path) -> None:
    *_, last = played_on(injected()("21:00", words).lines, tmp_path)
    assert (last["facts"]["about"], last["facts"]["tags"]) == ("dose", ["m1"])


@pytest.mark.parametrize("words", ["f1 swims strange", "f1 a few drops only"])
def test_odd_words_of_a_female_book_nothing(words: str, tmp_path: Path) -> None:
    *_, last = played_on(looked()("2 04:51", words).lines, tmp_path)
    assert [button["label"] for button in last["buttons"]] == ["f1: eggs run", "f1 not yet"]


@pytest.mark.parametrize(
    ("words", "tags"),
    [("eggs come from f1 when i press", ["F1"]), ("both running", []), ("f1 not, f2 yes", ["F2"])],
)
def test_eggs_that_run_however_it_is_said(words: str, tags: list[str], tmp_path: Path) -> None:
    said = played_on(looked()("2 04:51", words).lines, tmp_path)
    strip = [line["facts"] for line in said if line["kind"] == "step" and line["facts"]["step"] == "strip"]
    assert [each["tags"] for each in strip] == [tags]


def test_mended_grams_mend_no_weight(tmp_path: Path) -> None:
    said = played_on(stripped()("2 05:37", "f1 was 330 not 300").lines, tmp_path)
    assert newest(said, "corrected")["of"] == "stripped"
    assert newest(said, "eggs")["total_grams"] == 580.0


@pytest.mark.parametrize(
    "words",
    [
        "neighbor already gave them the shot at 5 pm before he brought them",
        "already injected them at 5 before he sold them",
    ],
)
def test_an_injection_by_somebody_else_is_one_of_today(words: str, tmp_path: Path) -> None:
    night = sheet().tap("17:01", "start")("17:10", words)
    told = newest(played_on(night.lines, tmp_path), "strip-forecast")
    assert (told["tags"], told["final_injection_at"]) == (["F1", "F2", "M1"], at("17:00"))


@pytest.mark.parametrize(
    "words", ["tank B carp strip f 5 6.2 m 4 3.1", "tank B 23", "injected fem 17:10 boys not"]
)
def test_no_number_of_something_else_moves_a_plan(words: str, tmp_path: Path) -> None:
    night = sheet().tap("17:01", "start")("17:15", words)
    assert len(of_kind(played_on(night.lines, tmp_path), "inject-plan")) == 1


def test_gave_before_the_needle_may_be_the_needle(tmp_path: Path) -> None:
    asked = played_on(sheet().tap("17:01", "start")("17:10", "gave female at four").lines, tmp_path)[-1]
    assert [button["label"] for button in asked["buttons"]] == ["injected 16:00"]


def test_a_known_name_with_a_weight_is_that_fish(tmp_path: Path) -> None:
    fish = newest(
        played_on(sheet()("17:10", "scale is rubbish F1 is more like 2.45").lines, tmp_path), "dose-sheet"
    )["fish"]
    assert [(line["tag"], line["kg"]) for line in fish] == [("F1", 2.45), ("F2", 2.6), ("M1", 1.8)]


def test_almost_the_same_line_again_takes_the_place_of_the_first(tmp_path: Path) -> None:
    night = sheet()("17:10", "catfish f 2.4 f 2.8 m 1.8").tap("17:11", "pick:1")
    said = played_on(night.lines, tmp_path)
    assert newest(said, "ask")["why"] == "almost-the-same"
    assert [line["kg"] for line in newest(said, "dose-sheet")["fish"]] == [2.4, 2.8, 1.8]


def test_a_question_about_a_weight_begins_no_run(tmp_path: Path) -> None:
    assert (
        len(of_kind(played_on(injected()("21:00", "how much did f1 weigh").lines, tmp_path), "dose-sheet"))
        == 1
    )


def test_an_hour_corrected_is_no_water(tmp_path: Path) -> None:
    night = sheet()("20:30", "injected")("20:37", "no 19 not 7 in the morning")
    assert newest(played_on(night.lines, tmp_path), "strip-forecast")["final_injection_at"] == at("19:00")


@pytest.mark.parametrize("words", ["tank 1 27, tank 2 24", "tank 1 27 and tank 2 only 24"])
def test_water_told_for_two_tanks_is_kept_for_both(words: str, tmp_path: Path) -> None:
    night = Night()("17:00", "tank 1 catfish f 2.4 m 1.9")("17:01", "tank 2 f 2.6 m 2")("20:30", "injected")
    forecasts = of_kind(played_on(night("20:31", words).lines, tmp_path), "strip-forecast")
    assert {each["place"]: each["celsius"] for each in forecasts} == {"tank 1": 27.0, "tank 2": 24.0}


def test_no_female_who_is_named_is_passed_over(tmp_path: Path) -> None:
    said = played_on(looked()("2 04:51", "F1 hard, F2 dripping").lines, tmp_path)
    assert newest(said, "noted")["tags"] == ["F1"]
    assert [line["facts"]["tags"] for line in said if line["kind"] == "step"][-2] == ["F2"]


def test_grams_with_a_lost_point_are_asked_about(tmp_path: Path) -> None:
    night = looked()("2 04:51", "f1 eggs run")("2 04:55", "f1 2450 g")
    assert [button["label"] for button in played_on(night.lines, tmp_path)[-1]["buttons"]] == [
        "f1 245 g eggs"
    ]


def test_a_pricked_finger_comes_first(tmp_path: Path) -> None:
    last = newest(
        played_on(injected()("21:00", "i pricked my finger with the needle").lines, tmp_path), "noted"
    )
    assert last["what"] == "first-aid"


@pytest.mark.parametrize("words", ["when do i have to get up", "can i sleep", "bell?"])
def test_how_long_one_may_sleep(words: str, tmp_path: Path) -> None:
    last = played_on(injected()("21:00", words).lines, tmp_path)[-1]
    assert (last["kind"], last["facts"]["step"]) == ("step", "check-females")


def test_what_next_asks_of_a_needle_nobody_told(tmp_path: Path) -> None:
    night = sheet().tap("17:01", "start")("17:02", "ok")("23:00", "what next?")
    assert played_on(night.lines, tmp_path)[-1]["facts"]["why"] == "plan-past"


def test_eggs_called_bad_are_asked_about(tmp_path: Path) -> None:
    asked = played_on(looked()("2 04:51", "f2 40g bad").lines, tmp_path)[-1]
    assert [button["label"] for button in asked["buttons"]] == [
        "f2 40 g eggs, watery",
        "f2 40 g eggs, with blood",
        "f2 40 g eggs, whitish",
    ]


def test_a_late_word_of_a_female_who_gave_strips_nobody(tmp_path: Path) -> None:
    assert (
        newest(played_on(stripped()("2 05:37", "f1 runs").lines, tmp_path), "noted")["what"]
        == "settled-already"
    )


def test_an_old_bottle_is_not_made_good_by_more(tmp_path: Path) -> None:
    last = played_on(sheet()("17:10", "expired 2 years, use double?").lines, tmp_path)[-1]
    assert (last["kind"], last["facts"]["why"]) == ("refused", "no-doubling")


def test_a_thinned_bottle_has_another_label(tmp_path: Path) -> None:
    last = played_on(sheet()("17:10", "mixed the bottle 1:1 with water so its half strong").lines, tmp_path)[
        -1
    ]
    assert (last["kind"], last["facts"]["about"]) == ("ask", "label")


def test_which_run_is_answered_by_its_tank(tmp_path: Path) -> None:
    night = Night()("17:00", "tank 1 catfish f 2.4 m 1.9").tap("17:01", "start")
    night = night("17:05", "tank 2 common carp f 4 m 3").tap("17:06", "start")("17:10", "injected")(
        "17:11", "tank 2"
    )
    assert newest(played_on(night.lines, tmp_path), "strip-forecast")["called"] == "common-carp"


@pytest.mark.parametrize("words", ["F1 is 24", "F1 24", "f1 260", "F1 24, F2 31"])
def test_a_bare_figure_of_a_fish_without_needle_is_weight_or_eggs(words: str, tmp_path: Path) -> None:
    """2.4 without its point, or grams of eggs whose injection nobody told: asked, nothing booked."""
    said = played_on(sheet()("17:10", words)("17:11", "F1 is 2.7").lines, tmp_path)
    (asked,) = answers(said, at("17:10"))
    assert asked["kind"] == "ask" and any("eggs" in button["label"] for button in asked["buttons"])
    now = newest(said, "dose-sheet")
    assert (now["run"], now["fish"][0]["kg"]) == (1, 2.7)


def test_eggs_of_an_injection_nobody_told_are_one_tap_away(tmp_path: Path) -> None:
    night = sheet()("2 06:00", "F1 410").tap("2 06:01", "pick:2")
    assert newest(played_on(night.lines, tmp_path), "eggs")["total_grams"] == 410


def two_tanks() -> Night:
    night = Night()("17:00", "catfish tank 1 f1 2.2 f2 2.8 m 2.5").tap("17:01", "start")
    night = night("17:05", "tank 2 f3 2.4 f4 3.0 m 2.7")("17:06", "26 C in all tanks")
    return night("19:00", "injected tank 1")("21:00", "injected tank 2").until("2 07:20")


def test_eggs_without_a_name_are_of_the_tank_that_runs(tmp_path: Path) -> None:
    *_, last = played_on(two_tanks()("2 07:30", "tank 2 eggs run")("2 07:35", "180 g").lines, tmp_path)
    assert (last["kind"], last["facts"]["total_grams"]) == ("eggs", 180)
    labels = {button["label"] for button in last["buttons"]}
    assert {label for label in labels if "f" in label.split()[-1]} == {"Only f3", "Only f4"}


def test_the_bowls_of_two_tanks_are_two(tmp_path: Path) -> None:
    night = two_tanks()("2 07:30", "f1 200 g")("2 07:40", "f3 180 g")
    batches = [each["batch"] for each in of_kind(played_on(night.lines, tmp_path), "eggs")]
    assert len(set(batches)) == 2


@pytest.mark.parametrize(
    ("words", "why"),
    [("f1 220 g, tank 2", "other-place"), ("f3 eggs run at 20:00", "before-needle")],
)
def test_eggs_that_do_not_fit_their_tank_or_hour_are_asked(words: str, why: str, tmp_path: Path) -> None:
    *_, last = played_on(two_tanks()("2 07:30", words).lines, tmp_path)
    assert (last["kind"], last["facts"]["why"]) == ("ask", why)


# An hour alone mends the newest act it can be of ------------------------------------------------------------


@pytest.mark.parametrize("words", ["no 20:10", "no, at 20:10", "it was 20:10", "no it was ten past eight"])
def test_an_hour_alone_moves_the_injection_just_told(words: str, tmp_path: Path) -> None:
    said = played_on(injected()("20:45", words).lines, tmp_path)
    mended = newest(said, "corrected")
    assert (mended["of"], mended["after"]) == ("injected", [at("20:10")])
    assert newest(said, "strip-forecast")["final_injection_at"] == at("20:10")


@pytest.mark.parametrize(
    ("told", "words", "of", "hour"),
    [
        ("f1 eggs run", "no, that was 05:20", "eggs-run-at", "2 05:20"),
        ("f1 300 g, f2 250 g", "no, at 05:00", "stripped-at", "2 05:00"),
        ("f2 died", "it was 04:40", "died-at", "2 04:40"),
    ],
)
def test_an_hour_alone_leaves_the_injection_where_newer_acts_were_told(
    told: str, words: str, of: str, hour: str, tmp_path: Path
) -> None:
    said = played_on(
        looked()("2 05:30", told)("2 05:40", words)("2 05:41", "what did I give?").lines, tmp_path
    )
    mended = newest(said, "corrected")
    assert (mended["of"], mended["after"]) == (of, [at(hour)])
    assert {shot["at"] for shot in newest(said, "given")["given"]} == {at("20:30")}


def test_an_hour_before_the_injection_is_the_injections_own(tmp_path: Path) -> None:
    said = played_on(stripped()("2 05:40", "no, it was 20:10").lines, tmp_path)
    mended = newest(said, "corrected")
    assert (mended["of"], mended["after"]) == ("injected", [at("20:10")])


@pytest.mark.parametrize("words", ["no, injected at 05:20", "no, I injected at 05:40"])
def test_an_injection_is_not_moved_to_its_eggs_or_behind_them(words: str, tmp_path: Path) -> None:
    said = played_on(stripped()("2 05:45", words)("2 05:46", "what did I give?").lines, tmp_path)
    assert newest(said, "ask")["why"] in ("after-eggs", "soon-before-eggs")
    assert {shot["at"] for shot in newest(said, "given")["given"]} == {at("20:30")}


def test_another_hour_than_the_proposed_one_is_a_plan_and_no_needle(tmp_path: Path) -> None:
    said = played_on(sheet().tap("17:01", "start")("17:02", "no, 18:45").lines, tmp_path)
    assert newest(said, "inject-plan")["final_at"] == at("18:45")
    assert {line["kind"] for line in said}.isdisjoint({"strip-forecast", "plan"})


def test_an_hour_alone_where_nothing_was_done_yet_books_no_needle(tmp_path: Path) -> None:
    said = played_on(sheet()("17:02", "no, 16:45").lines, tmp_path)
    assert newest(said, "ask")["about"] == "candidate" or said[-1]["buttons"][0]["action"] == "pick:1"
    assert {line["kind"] for line in said}.isdisjoint({"strip-forecast", "plan"})


@pytest.mark.parametrize("words", ["milt's in", "water is on", "milt on the eggs 5:39"])
def test_milt_is_told_in_plain_words(words: str, tmp_path: Path) -> None:
    said = played_on(stripped()("2 05:37", words).lines, tmp_path)
    assert newest(said, "noted")["what"] == "fertilised"
    assert newest(said, "noted")["at"] == at("2 05:37")


@pytest.mark.parametrize(
    ("words", "why"), [("milt in at 3", "milt-before-eggs"), ("milt on 19:20", "before-needle")]
)
def test_milt_at_an_hour_that_cannot_be_is_asked_about(words: str, why: str, tmp_path: Path) -> None:
    said = played_on(stripped()("2 05:37", words).lines, tmp_path)
    assert newest(said, "ask")["why"] == why
    assert "fertilised" not in [fact["what"] for fact in of_kind(said, "noted")]


@pytest.mark.parametrize("words", ["milt is ready", "milt", "where is the milt"])
def test_milt_only_spoken_of_is_asked_about(words: str, tmp_path: Path) -> None:
    said = played_on(stripped()("2 05:37", words).lines, tmp_path)
    assert said[-1]["kind"] == "ask"


def test_water_is_on_where_no_eggs_wait_for_it_is_asked_about(tmp_path: Path) -> None:
    said = played_on(stripped()("2 05:37", "milt is on")("2 05:40", "water is on").lines, tmp_path)
    assert said[-1]["kind"] == "ask"


def test_eggs_on_the_mats_after_stripping_are_spread(tmp_path: Path) -> None:
    said = played_on(stripped()("2 05:37", "eggs on the mats").lines, tmp_path)
    assert newest(said, "noted")["step"] == "spread"


@pytest.mark.parametrize("words", ["inject now", "I inject them now", "inject now please"])
def test_inject_now_typed_is_the_injection(words: str, tmp_path: Path) -> None:
    said = played_on(sheet()("20:30", words).lines, tmp_path)
    assert newest(said, "strip-forecast")["final_injection_at"] == at("20:30")


@pytest.mark.parametrize("words", ["inject now?", "i want to inject now", "dont inject now"])
def test_inject_now_only_spoken_of_is_none(words: str, tmp_path: Path) -> None:
    said = played_on(sheet()("20:30", words).lines, tmp_path)
    assert "strip-forecast" not in {line["kind"] for line in said}


# A night that nobody answers, and a female without eggs ---------------------------------------------------


def test_a_silent_night_is_said_to_be_silent(tmp_path: Path) -> None:
    """Nobody told of eggs, and nobody of none: neither is said."""
    said = played_on(injected().until("9 20:00").lines, tmp_path)
    evenings = [line for line in bells(said, "all-well") if line["at"] > at("2 12:00")]
    assert evenings and all(line["facts"]["unanswered"] == ["check-females"] for line in evenings)
    assert not any("warm" in line["text"] for line in evenings)
    assert newest(said, "result")["state"] == "not-reported"
    assert "nobody told" in [line["text"] for line in said if line["kind"] == "result"][-1]


def test_no_eggs_of_one_beside_eggs_of_another_is_asked_of_her(tmp_path: Path) -> None:
    night = looked()("2 04:51", "F1 300 g, F2 no eggs").until("2 05:35")
    said = played_on(night.lines, tmp_path)
    assert [line["kind"] for line in answers(said, at("2 04:51"))] == ["eggs", "ask"]
    assert bells(since(said, at("2 04:52")), "check-females")[0]["facts"]["tags"] == ["F2"]


def test_none_of_one_beside_eggs_of_another_is_said(tmp_path: Path) -> None:
    said = played_on(looked()("2 04:51", "F1 300 g, F2 gave none").lines, tmp_path)
    assert (newest(said, "noted")["what"], newest(said, "noted")["tags"]) == ("none", ["F2"])


@pytest.mark.parametrize("answer", ["none at all", "yes"])
def test_eggs_told_beside_her_are_not_taken_again_with_the_answer_about_her(
    answer: str, tmp_path: Path
) -> None:
    night = looked()("2 04:51", "F1 300 g, F2 no eggs")("2 04:53", answer)("2 04:54", "how many eggs?")
    said = played_on(night.lines, tmp_path)
    assert (newest(said, "noted")["what"], newest(said, "noted")["tags"]) == ("none", ["F2"])
    assert newest(said, "eggs")["total_grams"] == 300
    assert [line["kind"] for line in answers(said, at("2 04:53"))] == ["noted"]


def test_a_lost_decimal_point_behind_a_letter_is_offered_beside_a_tag(tmp_path: Path) -> None:
    night = Night()("17:00", "african catfish f 24 3.1 m 1.9").tap("17:01", "pick:1")
    said = played_on(night.lines, tmp_path)
    assert [(fish["tag"], fish["kg"]) for fish in newest(said, "dose-sheet")["fish"]] == [
        *(("F1", 2.4), ("F2", 3.1), ("M1", 1.9))
    ]


def test_a_species_named_under_is_this_what_you_mean_says_yes(tmp_path: Path) -> None:
    night = Night()("15:01", "i have 2 carp females 4.2 and 3.8 and 3 males 2.9 3.1 2.5, what do i give")
    said = played_on(night("15:02", "common carp").lines, tmp_path)
    assert [line["kind"] for line in answers(said, at("15:01"))] == ["ask"]
    sheet_of = newest(said, "dose-sheet")
    assert (sheet_of["species"], [fish["kg"] for fish in sheet_of["fish"]]) == (
        "common-carp",
        [4.2, 3.8, 2.9, 3.1, 2.5],
    )


def test_where_eggs_are_told_nobody_is_told_to_inject(tmp_path: Path) -> None:
    """The needle was never told; whoever has eggs has given it."""
    night = sheet().tap("17:01", "start").tap("17:02", "yes")("2 05:30", "f1 300 g").until("2 20:05")
    said = played_on(night.lines, tmp_path)
    assert bells(said, "inject") and not bells(since(said, at("2 05:30")), "inject")
    assert "inject" not in newest(said, "step")["unanswered"]
