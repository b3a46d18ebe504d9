"""Fish that spawn by themselves, in a hapa or on a mat: eggs are seen, then taken by the litre.

Hours are compared with the windows and the card's figures, whatever these are; the hapa nights want a card
whose first way is the hapa.
"""

from __future__ import annotations

from datetime import timedelta
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from bot import knowledge
from core.reminders import BROOD_OUT_AFTER, LOAD_WITHIN, eggs_firm_after
from core.species import Card
from tests.bot.playing import (
    Night,
    Transcript,
    actions,
    answers,
    at,
    bells,
    minutes_between,
    newest,
    night,
    of_kind,
    played_on,
    time_of,
)

SLUG = "rohu"
hapa = pytest.mark.skipif(SLUG not in knowledge.cards(), reason="no card of a hapa species yet")
NEVER_HERE = {"check-females", "strip", "fertilise", "swell", "disinfect", "rinse", "check-brood"}


def card() -> Card:
    return knowledge.cards()[SLUG]


def injected() -> Night:
    """A rohu, two males, the needle at 18:00."""
    return Night()("17:00", "rohu f 2.4 m 1.9 2.0")("18:00", "injected")


def spawned() -> Night:
    """Eggs seen at 02:00, the brood fish out an hour later."""
    return injected()("2 02:00", "eggs in the hapa")("2 03:05", "brood fish out")


def nest() -> Night:
    """Carp on the mat; 22 C, the needle at 19:00."""
    return Night()("17:00", "common carp f 4.2 m 3.0 2.8")("19:03", "injected 19.00")("19:05", "water 22")


def due(transcript: Transcript, step: str) -> list[str]:
    """When the bells of a step were due, once each."""
    return list(dict.fromkeys(line["reminder"]["due"] for line in bells(transcript, step)))


def asked(transcript: Transcript) -> set[str]:
    """All that was asked for, under whatever message."""
    about = {facts["about"] for facts in of_kind(transcript, "ask")}
    return about | {line["facts"].get("asks", "") for line in transcript}


def _new(folder: Path) -> Path:
    """An empty folder beside what was played before."""
    found = folder / "again"
    found.mkdir()
    return found


def hours(figure: float) -> timedelta:
    return timedelta(hours=figure)


# No hand on the fish --------------------------------------------------------------------------------------


@hapa
@pytest.mark.parametrize("name", ["five-messages-hapa", "hapa-jars"])
def test_hapa_nobody_strips_and_no_grams_are_asked(name: str) -> None:
    transcript = night(name)
    assert not NEVER_HERE & {line["reminder"]["step"] for line in bells(transcript)}
    assert not {"grams", "grams-dry", "whose-eggs"} & asked(transcript)
    assert "check-nest" in {line["reminder"]["step"] for line in bells(transcript)}


@hapa
def test_hapa_it_is_looked_at_from_outside_from_the_earliest_hour_by_the_look_rule(tmp_path: Path) -> None:
    transcript = played_on(injected().until("2 14:00").lines, tmp_path)
    view = newest(transcript, "strip-forecast")
    looks = due(transcript, "check-nest")
    assert looks[0] == view["earliest_at"] == view["first_look_at"]
    assert view["look_every_minutes"] == 60
    assert {minutes_between(one, two) for one, two in pairwise(looks[:4])} == {60}
    assert looks[-1] <= view["give_up_at"]


@hapa
def test_hapa_eggs_that_run_are_eggs_seen_at_the_hour_that_was_told(tmp_path: Path) -> None:
    transcript = played_on(injected()("2 02:00", "eggs run at 01:40").lines, tmp_path)
    noted = newest(transcript, "noted")
    assert (noted["what"], noted["at"]) == ("spawned", at("2 01:40"))
    assert newest(transcript, "hatch-forecast")["from_step"] == "check-nest"
    assert not {"strip", "fertilise"} & {facts["step"] for facts in of_kind(transcript, "step")}


@hapa
def test_hapa_eggs_collected_before_anybody_saw_them_are_reckoned_from_the_likely_hour(
    tmp_path: Path,
) -> None:
    transcript = played_on(injected()("2 08:00", "collected 3 litres").until("4 00:00").lines, tmp_path)
    view, forecast = newest(transcript, "strip-forecast"), newest(transcript, "hatch-forecast")
    assert (forecast["from_at"], forecast["reckoned"]) == (view["likely_at"], True)
    assert {forecast["likely_at"], forecast["latest_at"]} <= set(due(transcript, "check-hatch"))
    assert due(transcript, "check-fertilised")


@hapa
def test_hapa_a_reckoned_spawning_is_never_after_the_collecting(tmp_path: Path) -> None:
    lines = injected()("1 22:30", "collected 3 litres").lines
    assert newest(played_on(lines, tmp_path), "hatch-forecast")["from_at"] == at("22:30")


@hapa
def test_hapa_the_hour_of_spawning_told_later_takes_the_place_of_the_reckoned_one(tmp_path: Path) -> None:
    lines = injected()("2 08:00", "collected 3 litres")("2 08:05", "they spawned at 5").lines
    forecast = newest(played_on(lines, tmp_path), "hatch-forecast")
    assert (forecast["from_at"], forecast["reckoned"]) == (at("2 05:00"), False)


@hapa
def test_hapa_no_eggs_yet_keeps_the_looks(tmp_path: Path) -> None:
    transcript = played_on(injected()("2 02:00", "no eggs").lines, tmp_path)
    noted = newest(transcript, "noted")
    assert (noted["what"], noted["next_step"]) == ("not-yet", "check-nest")


@pytest.mark.parametrize("seen", ["150 g of eggs", "F1 150 g"])
def test_nest_grams_are_asked_about_and_nothing_is_booked(seen: str, tmp_path: Path) -> None:
    transcript = played_on(nest()("2 09:20", seen).lines, tmp_path)
    told = answers(transcript, at("2 09:20"))
    assert [(line["facts"]["about"], line["facts"]["why"]) for line in told] == [
        ("stripped-after-all", "grams-in-nest")
    ]
    assert actions(told[0]) == ["yes", "no"]
    assert of_kind(transcript, "eggs") == []


def test_nest_stripped_after_all_is_a_stripped_run(tmp_path: Path) -> None:
    said = nest()("2 09:20", "F1 150 g").tap("2 09:21", "yes").until("2 09:40")
    transcript = played_on(said.lines, tmp_path)
    eggs = newest(transcript, "eggs")
    assert (eggs["total_grams"], eggs["batch"]) == (150.0, "1")
    assert due(transcript, "fertilise") == [at("2 09:36")]


@hapa
def test_hapa_grams_may_have_been_litres(tmp_path: Path) -> None:
    said = spawned()("2 08:10", "F1 350 g").tap("2 08:11", "answer:litres")("2 08:12", "0.35")
    transcript = played_on(said.lines, tmp_path)
    (question,) = [facts for facts in of_kind(transcript, "ask") if facts["why"] == "grams-in-hapa"]
    assert question["number"] == 350
    eggs = newest(transcript, "eggs")
    assert (eggs["litres"], eggs["total_grams"], eggs["fish"]) == (0.35, None, [])


def test_nest_a_step_of_another_way_is_no_step_of_this_run(tmp_path: Path) -> None:
    transcript = played_on(nest()("2 09:20", "milt in").lines, tmp_path)
    assert newest(transcript, "refused")["why"] == "step-unknown"


# Brood fish out, firm eggs, litres ------------------------------------------------------------------------


@hapa
def test_hapa_brood_fish_out_then_collecting_once_the_eggs_are_firm(tmp_path: Path) -> None:
    transcript = played_on(injected()("2 02:00", "eggs in the hapa").until("2 09:00").lines, tmp_path)
    seen = time_of(at("2 02:00"))
    assert [time_of(each) - seen for each in due(transcript, "remove-brood")] == [BROOD_OUT_AFTER]
    (bell,) = due(transcript, "collect-eggs")
    assert time_of(bell) - seen == eggs_firm_after(card())
    facts = next(line["facts"] for line in bells(transcript, "collect-eggs"))
    figure = card().firm_hours
    assert facts["rule"] == ("our-own" if figure is None else figure.mark)
    assert hours(facts["after_hours"]) == eggs_firm_after(card())


@hapa
def test_hapa_litres_are_eggs_by_the_farms_own_count(tmp_path: Path) -> None:
    said = spawned().until("2 08:05")("2 08:10", "3.5 litres of eggs, 25 per ml").until("2 09:00")
    transcript = played_on(said.lines, tmp_path)
    eggs = newest(transcript, "eggs")
    assert (eggs["litres"], eggs["eggs_per_ml"], eggs["total_eggs"]) == (3.5, 25.0, 87_500)
    assert (eggs["total_grams"], eggs["mark"], eggs["basis"]) == (None, "the farm's own", ["farm"])
    (load,) = due(transcript, "load")
    assert time_of(load) - time_of(at("2 08:10")) == LOAD_WITHIN
    assert (eggs["next_step"], eggs["next_at"]) == ("load", load)
    rung = [line for line in bells(transcript, "collect-eggs") if line["at"] > at("2 08:10")]
    assert rung == []


@hapa
def test_hapa_litres_without_a_count_go_by_the_card(tmp_path: Path) -> None:
    eggs = newest(played_on(spawned()("2 08:10", "collected 3.5 litres").lines, tmp_path), "eggs")
    figure = card().eggs_per_ml
    if figure is None:
        assert (eggs["total_eggs"], eggs["asks"]) == (None, "eggs-per-ml")
    else:
        told = (eggs["eggs_per_ml_low"], eggs["eggs_per_ml_high"], eggs["mark"], tuple(eggs["basis"]))
        assert told == (figure.low, figure.high, figure.mark, figure.sources)
        assert eggs["total_eggs"] == round(3500 * eggs["eggs_per_ml"])


@hapa
def test_hapa_a_count_told_afterwards_beats_the_card(tmp_path: Path) -> None:
    said = spawned()("2 08:10", "collected 2 litres")("2 08:12", "26 eggs per ml")
    eggs = newest(played_on(said.lines, tmp_path), "eggs")
    assert (eggs["litres"], eggs["total_eggs"], eggs["mark"]) == (2.0, 52_000, "the farm's own")


@hapa
@pytest.mark.parametrize("said", ["2 buckets", "2 buckets of eggs", "collected 2 buckets"])
def test_hapa_a_bucket_is_no_measure(said: str, tmp_path: Path) -> None:
    lines = spawned().until("2 08:05")("2 08:10", said)("2 08:11", "3.5").lines
    transcript = played_on(lines, tmp_path)
    (question,) = [line["facts"] for line in answers(transcript, at("2 08:10"))]
    assert (question["about"], question["why"]) == ("collected", "ambiguous-unit")
    assert newest(transcript, "eggs")["litres"] == 3.5


@hapa
def test_hapa_done_is_kept_and_the_litres_are_asked_for(tmp_path: Path) -> None:
    if eggs_firm_after(card()) != hours(6):
        pytest.skip("written for eggs that are firm after six hours")
    said = spawned().until("2 08:05").tap("2 08:05", "not-yet").until("2 09:10")
    transcript = played_on(said.tap("2 09:10", "done")("2 09:12", "1.5").lines, tmp_path)
    assert due(transcript, "collect-eggs") == [at("2 08:00"), at("2 09:05")]  # asked again an hour later
    question = newest(transcript, "ask")
    assert (question["about"], question["why"]) == ("collected", "eggs-collected")
    assert newest(transcript, "eggs")["litres"] == 1.5


@hapa
def test_hapa_litres_never_told_stay_not_told(tmp_path: Path) -> None:
    transcript = played_on(spawned()("2 08:10", "collected the eggs").until("2 09:00").lines, tmp_path)
    assert of_kind(transcript, "eggs") == []
    assert due(transcript, "load") == [at("2 08:25")]


@hapa
def test_hapa_more_than_the_females_can_carry_is_asked_about(tmp_path: Path) -> None:
    if card().eggs_per_kg is None:
        pytest.skip("nobody published how many she carries")
    transcript = played_on(spawned()("2 08:10", "350 litres of eggs, 25 per ml").lines, tmp_path)
    assert newest(transcript, "ask")["why"] == "implausible-litres"
    assert of_kind(transcript, "eggs") == []


@hapa
def test_hapa_a_second_collection_adds_up_and_is_loaded_too(tmp_path: Path) -> None:
    said = spawned()("2 08:10", "collected 2 litres, 25 per ml")("2 08:20", "loaded")
    said("2 09:00", "collected 1 litre more").until("2 10:00")
    transcript = played_on(said.lines, tmp_path)
    eggs = newest(transcript, "eggs")
    assert (eggs["litres"], eggs["total_eggs"]) == (3.0, 75_000)
    assert due(transcript, "load") == [at("2 09:15")]


@hapa
def test_hapa_the_same_litres_again_are_asked_about(tmp_path: Path) -> None:
    said = spawned()("2 08:10", "collected 2 litres")("2 08:40", "collected 2 litres").tap("2 08:41", "yes")
    transcript = played_on(said.lines, tmp_path)
    assert newest(transcript, "ask")["why"] == "litres-told"
    assert newest(transcript, "eggs")["litres"] == 4.0


@hapa
def test_hapa_litres_are_mended_at_their_own_hour(tmp_path: Path) -> None:
    said = spawned()("2 08:10", "3.5 litres of eggs, 25 per ml")("2 08:20", "no, 3.2 litres")
    transcript = played_on(said.lines, tmp_path)
    mended = newest(transcript, "corrected")
    assert [each["litres"] for each in mended["before"] + mended["after"]] == [3.5, 3.2]
    eggs = newest(transcript, "eggs")
    assert (eggs["litres"], eggs["total_eggs"], eggs["at"]) == (3.2, 80_000, at("2 08:10"))


@hapa
def test_hapa_undo_takes_the_last_litres_back(tmp_path: Path) -> None:
    said = spawned()("2 08:10", "collected 2 litres")("2 08:20", "collected 1 litre more")("2 08:21", "undo")
    transcript = played_on(said.lines, tmp_path)
    assert newest(transcript, "noted")["word"] == "collected"
    assert newest(transcript, "eggs")["litres"] == 2.0


@hapa
def test_hapa_litres_taken_back_bring_the_bell_again(tmp_path: Path) -> None:
    said = spawned()("2 07:30", "collected 2 litres").tap("2 07:31", "undo").until("2 09:00")
    transcript = played_on(said.lines, tmp_path)
    assert [time_of(each) - time_of(at("2 02:00")) for each in due(transcript, "collect-eggs")] == [
        eggs_firm_after(card())
    ]
    assert due(transcript, "load") == []


@hapa
def test_hapa_litres_before_any_eggs_were_seen_ask_when(tmp_path: Path) -> None:
    said = injected()("2 08:10", "jar 1 2 L, jar 2 1.5 L")("2 08:12", "at 2 am")
    transcript = played_on(said.lines, tmp_path)
    first = of_kind(transcript, "eggs")[0]
    assert (first["litres"], first["asks"]) == (3.5, "spawned-when")
    assert newest(transcript, "noted")["at"] == at("2 02:00")
    forecast = newest(transcript, "hatch-forecast")
    assert (forecast["batch"], forecast["from_step"]) == (first["batch"], "check-nest")


# Jars -----------------------------------------------------------------------------------------------------


@hapa
def test_hapa_jars_are_places_of_one_batch() -> None:
    transcript = night("hapa-jars")
    told = answers(transcript, at("2 08:10"))
    assert [line["kind"] for line in told] == ["eggs"]  # two jars, one answer
    eggs = told[0]["facts"]
    jars = [(lot["place"], lot["litres"], lot["eggs"]) for lot in eggs["lots"]]
    assert jars == [("jar 1", 2.0, 50_000), ("jar 2", 1.0, 25_000)]
    assert {line["reminder"]["batch"] for line in bells(transcript) if line["reminder"]["batch"]} == {"1"}


@hapa
def test_hapa_each_jar_is_counted_and_the_run_goes_by_the_litres() -> None:
    transcript = night("hapa-jars")
    first, second = of_kind(transcript, "fertilised")
    assert (first["called"], first["percent"], first["whole_percent"]) == ("jar 1", 90.0, None)
    assert (second["called"], second["percent"]) == ("jar 2", 60.0)
    assert second["whole_percent"] == 80.0  # (2 x 90 + 1 x 60) / 3
    last = newest(transcript, "hatched")
    assert (last["called"], last["percent_as_told"], last["whole_percent"]) == ("jar 2", 50.0, 70.0)
    result = newest(transcript, "result")
    assert (result["fertilised_percent"], result["hatched_percent"]) == (80.0, 70.0)
    assert (result["hatched_of"], result["state"]) == ("all", "closed")


@hapa
def test_hapa_larvae_of_jars_add_up(tmp_path: Path) -> None:
    said = spawned()("2 08:10", "jar 1 2 L, jar 2 1 L")("2 21:00", "jar 1 30000 larvae")
    said("2 21:05", "jar 2 10000 larvae")("2 21:06", "how many larvae?")
    assert newest(played_on(said.lines, tmp_path), "result")["larvae"] == 40_000


@hapa
def test_jars_named_only_at_the_counts_are_kept_apart(tmp_path: Path) -> None:
    said = spawned()("2 08:10", "collected 3 litres")
    said("2 10:30", "jar 2: 80 of 100")("2 10:31", "jar 3: 70 of 100")(
        "2 10:32", "jar 3: 72 of 100 fertilised"
    )
    transcript = played_on(said.lines, tmp_path)
    told = of_kind(transcript, "fertilised")
    assert [(one["percent"], one["whole_percent"]) for one in told] == [(80, None), (70, 75), (72, 76)]
    assert [one["called"] for one in told[1:]] == ["jar 3", "jar 3"]
    said("2 20:00", "jar 2: 60 of 100 hatched")("2 20:01", "jar 3: 50 of 100 hatched")
    result = newest(played_on(said("2 20:02", "last hatch rate?").lines, _new(tmp_path)), "result")
    assert (result["fertilised_percent"], result["hatched_percent"]) == (76, 55)
    assert [
        (one["called"], one["fertilised_percent"], one["hatched_percent"]) for one in result["batches"]
    ] == [
        ("jar 2", 80, 60),
        ("jar 3", 72, 50),
    ]


def two_hapas() -> Night:
    said = Night()("17:00", "rohu hapa 1 f 2.4 m 1.9")("17:01", "hapa 2 f 3.1 m 2.2")
    return said("18:00", "injected")("18:02", f"water {card().assumed_celsius:g} in all")


@hapa
@pytest.mark.parametrize("seen", ["eggs in hapa 1", "eggs in the hapa 1 at 2.00", "hapa 1 has eggs"])
def test_two_hapas_the_number_is_of_the_hapa_and_no_hour(seen: str, tmp_path: Path) -> None:
    transcript = played_on(two_hapas()("2 02:00", seen).lines, tmp_path)
    noted = newest(transcript, "noted")
    assert (noted["what"], noted["called"], noted["at"]) == ("spawned", "hapa 1", at("2 02:00"))


@hapa
def test_two_hapas_have_eggs_of_their_own(tmp_path: Path) -> None:
    said = two_hapas()("2 02:00", "eggs in hapa 1")("2 02:30", "hapa 2 no eggs")
    said("2 08:10", "collected 2 litres from hapa 2, 25 per ml").until("2 08:30")
    transcript = played_on(said.lines, tmp_path)
    refused = [facts for facts in of_kind(transcript, "noted") if facts["what"] == "not-yet"]
    assert [facts["called"] for facts in refused] == ["hapa 2"]
    eggs = newest(transcript, "eggs")
    assert (eggs["litres"], eggs["called"], eggs["asks"]) == (2.0, "hapa 2", "spawned-when")
    seen, reckoned = of_kind(transcript, "hatch-forecast")
    assert (seen["batch"], seen["reckoned"]) == ("1", False)
    assert (reckoned["batch"], reckoned["reckoned"]) == (eggs["batch"], True) == ("2", True)
    assert reckoned["from_at"] >= at("2 02:30"), "nothing had been there at the look"


@hapa
@pytest.mark.parametrize("words", ["eggs", "eggs not firm yet"])
def test_hapa_words_of_eggs_ask_for_no_grams(words: str, tmp_path: Path) -> None:
    transcript = played_on(spawned().until("2 08:05")("2 08:10", words).lines, tmp_path)
    assert not {"grams", "grams-dry"} & asked(transcript)


# Until the first feed -------------------------------------------------------------------------------------


@hapa
def test_hapa_count_and_hatching_hang_on_the_hour_the_eggs_were_seen() -> None:
    transcript = night("hapa-jars")
    seen, figure = time_of(at("2 02:00")), card().count_hours
    window = of_kind(transcript, "hatch-forecast")[0]
    assert window["from_step"] == "check-nest"
    assert due(transcript, "check-hatch")[0] == window["earliest_at"]
    if figure is not None:
        assert time_of(window["count_at"]) - seen == hours(figure.usual_or_low)


@hapa
def test_hapa_live_food_only_where_the_card_has_a_lead() -> None:
    transcript = night("hapa-jars")
    lead, feed = card().live_food_lead_hours, card().first_feed_hours
    assert bool(bells(transcript, "set-live-food")) == (lead is not None)
    if feed is not None:
        (fed,) = due(transcript, "first-feed")
        assert time_of(fed) - time_of(at("2 22:00")) == hours(feed.usual_or_low)


@hapa
def test_five_messages_make_a_true_hapa_run() -> None:
    transcript = night("five-messages-hapa")
    facts = newest(transcript, "result")
    assert (facts["species"], facts["state"]) == (SLUG, "closed")
    assert (facts["fertilised_percent"], facts["hatched_percent"], facts["hatched_of"]) == (82, 75, "unknown")
    assert (facts["ovulated"], facts["injected"], facts["larvae"]) == (None, 1, None)
    assert of_kind(transcript, "eggs") == []  # litres were not told, and none were invented


# On hold --------------------------------------------------------------------------------------------------


def _held(said: Night, tmp_path: Path) -> Transcript:
    return played_on(said.lines, tmp_path)


def _check_hold(transcript: Transcript, cold_at: str, back_at: str) -> dict[str, Any]:
    hold = of_kind(transcript, "hold")[0]
    assert (hold["why"], minutes_between(cold_at, hold["ask_again_at"])) == ("too-cold", 240)
    assert due(transcript, "check-water")[0] == hold["ask_again_at"]
    told = [line["facts"] for line in answers(transcript, back_at)]
    (again,) = [facts for facts in told if "earliest_at" in facts]
    assert time_of(again["earliest_at"]) > time_of(of_kind(transcript, "strip-forecast")[0]["earliest_at"])
    return again


def test_nest_a_cold_front_holds_the_promise_and_keeps_the_looks(tmp_path: Path) -> None:
    said = nest()("2 01:00", "water 15").until("2 08:00")("2 08:01", "23").until("2 16:00")
    transcript = _held(said, tmp_path)
    before = of_kind(transcript, "strip-forecast")[-2]["earliest_at"]
    again = _check_hold(transcript, at("2 01:00"), at("2 08:01"))
    assert due(transcript, "check-nest")[0] == before  # by the clock they had
    assert again["earliest_at"] in due(transcript, "check-nest")


@hapa
def test_hapa_a_cold_front_holds_the_promise_and_asks_the_water(tmp_path: Path) -> None:
    cold, warm = card().tolerated_celsius.low - 4, card().assumed_celsius
    said = injected()("18:05", f"water {warm:g}")("18:30", f"water {cold:g}").until("22:40")
    said("2 00:31", f"water {warm:g}").until("2 12:00")
    transcript = _held(said, tmp_path)
    again = _check_hold(transcript, at("18:30"), at("2 00:31"))
    assert again["earliest_at"] in due(transcript, "check-nest")


# The mat stays until larvae swim free ---------------------------------------------------------------------


def _hatched_carp() -> Night:
    said = nest()("2 09:20", "eggs on the mat")("2 10:25", "brood fish out")
    return said("3 10:00", "180 of 200 fertilised")


def test_nest_a_mat_lifted_early_is_kept_and_cautioned(tmp_path: Path) -> None:
    said = _hatched_carp()("5 12:00", "150 of 180 hatched")("6 12:00", "mats out")
    (told,) = [line["facts"] for line in answers(played_on(said.lines, tmp_path), at("6 12:00"))]
    assert (told["what"], told["step"]) == ("done", "remove-substrate")
    assert told["cautions"] == ["larvae-on-material"]


def test_nest_a_mat_lifted_in_time_is_not_cautioned(tmp_path: Path) -> None:
    said = _hatched_carp()("5 12:00", "150 of 180 hatched")("8 12:10", "mats out")
    told = answers(played_on(said.lines, tmp_path), at("8 12:10"))
    assert [line["facts"].get("cautions", []) for line in told] == [[]]


def test_nest_the_mats_bell_moves_with_a_late_hatching(tmp_path: Path) -> None:
    swim_free = knowledge.cards()["common-carp"].swim_free_hours
    assert swim_free is not None
    said = _hatched_carp()("6 12:00", "150 of 180 hatched").until("9 13:00")
    transcript = played_on(said.lines, tmp_path)
    likely = time_of(newest(transcript, "hatch-forecast")["likely_at"])
    (rung,) = due(transcript, "remove-substrate")
    assert time_of(rung) - time_of(at("6 12:00")) == hours(swim_free.usual_or_low)
    assert time_of(rung) > likely + hours(swim_free.usual_or_low)


def test_nest_not_swimming_free_yet_is_asked_again_hours_later(tmp_path: Path) -> None:
    said = _hatched_carp()("5 12:00", "150 of 180 hatched").until("8 12:05").tap("8 12:05", "not-yet")
    assert due(played_on(said.until("8 19:00").lines, tmp_path), "remove-substrate") == [
        at("8 12:00"),
        at("8 18:05"),
    ]


# What is made ready ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(("fish", "jump"), [("catfish f 2.4 m 1.9", True), ("carp f 4.2 m 3.0 2.8", False)])
def test_tanks_are_covered_where_the_card_says_that_they_jump(fish: str, jump: bool, tmp_path: Path) -> None:
    said = Night()("09:00", fish).tap("09:01", "start").tap("09:02", "yes").until("2 23:00")
    ready = [line["facts"] for line in bells(played_on(said.lines, tmp_path), "get-ready")]
    assert ready and ("they-jump" in ready[0].get("cautions", ())) == jump
