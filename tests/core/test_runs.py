"""Folding: any order of the same events gives the same run, and nights told in examples."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.errors import BadRecord
from core.records import (
    Cancelled,
    Closed,
    Collected,
    Counted,
    Died,
    EggsCounted,
    EggsOf,
    EggsRun,
    EggsWeighed,
    Event,
    Fish,
    FishWeighed,
    FishWeight,
    Injected,
    LooksStopped,
    NoEggs,
    NotYet,
    Opened,
    Placed,
    Planned,
    Retagged,
    Retracted,
    Run,
    SetUp,
    Shot,
    SpawnSeen,
    StepDone,
    StepKey,
    StepSkipped,
    Strength,
    Stripped,
    Told,
    WaterRead,
    Way,
)
from core.runs import (
    ALWAYS,
    WAYS,
    answer_key,
    fish_of,
    fold,
    looks_open,
    next_bowl,
    standing,
    step,
    steps,
    stopped,
    unsettled,
)
from tests.core.events import HOUR, MINUTE, SPANS, T0, happening, nights, tellings, told
from tests.tries import tries

TRIED = settings(derandomize=True, deadline=None, max_examples=tries(15), database=None)
OPENED = Opened("african-catfish", "stripped", "premix", Strength(20, 10), strength_assumed=True)
PAIR = FishWeighed((FishWeight("F1", "f", 2.4), FishWeight("F2", "f", 3.1), FishWeight("M1", "m", 1.9)))
INJECTED = Injected("1", ("F1", "F2"), "only")


def after(hours: float) -> datetime:
    return T0 + hours * HOUR


def run_of(*what: Any) -> Run:
    """The fold of what was told, in this order: bare at T0, or as (hours after T0, what), or
    (hours when said, hours when it happened, what)."""
    events = []
    for number, each in enumerate(what, 1):
        *hours, body = each if isinstance(each, tuple) else (0.0, each)
        said, at = after(hours[0]), after(hours[-1])
        events.append(told(number, body, said, at))
    return fold(events)


def fish(run: Run, tag: str) -> Fish:
    found = fish_of(run, tag)
    assert found is not None
    return found


# Any order, any part --------------------------------------------------------------------------------------


@TRIED
@given(st.data())
def test_any_order_of_the_same_events_gives_the_same_run(data: st.DataObject) -> None:
    events = data.draw(st.one_of(tellings(), nights()))
    shuffled = data.draw(st.permutations(events))
    assert fold(shuffled) == fold(events)


@TRIED
@given(st.one_of(tellings(), nights()), st.data())
def test_any_part_of_the_events_folds(events: tuple[Event, ...], data: st.DataObject) -> None:
    kept = data.draw(st.lists(st.sampled_from(events), min_size=1, unique_by=lambda event: event.id))
    run = fold(kept)
    assert run.last_word_at == max(event.said_at for event in kept)
    assert run.state in ("draft", "open", "closed", "not-reported", "cancelled")
    for number in range(1, len(events)):
        fold(events[:number])
        fold(events[number:])


@TRIED
@given(st.one_of(tellings(), nights()), st.data())
def test_what_was_taken_back_stands_as_if_never_told(events: tuple[Event, ...], data: st.DataObject) -> None:
    plain = tuple(event for event in events if not isinstance(event.what, Retracted))
    if len(plain) < 2:
        return
    gone = data.draw(st.sets(st.sampled_from([event.id for event in plain[:-1]])))
    last = max(event.said_at for event in plain)
    retraction = told(len(events) + 1, Retracted(tuple(gone)), last)
    left = tuple(event for event in plain if event.id not in gone)
    assert standing((*plain, retraction)) == left
    without, never = fold((*plain, retraction)), fold(left)
    assert (without.fish, without.groups, without.batches) == (never.fish, never.groups, never.batches)
    assert (without.answered, without.postponed, without.water) == (
        never.answered,
        never.postponed,
        never.water,
    )


@TRIED
@given(st.one_of(tellings(), nights()), st.data())
def test_taking_back_a_retraction_restores_the_run(events: tuple[Event, ...], data: st.DataObject) -> None:
    last = max(event.said_at for event in events)
    number = len(events) + 1
    ids = data.draw(st.lists(st.integers(0, number + 3), max_size=4))
    undone = told(number, Retracted(tuple(ids)), last)
    restored = told(number + 1, Retracted((number,)), last)
    undone_again = told(number + 2, Retracted((number + 1,)), last)
    assert fold((*events, undone, restored)) == fold(events)
    assert fold((*events, undone, restored, undone_again)) == fold((*events, undone))


@TRIED
@given(st.one_of(tellings(), nights()), st.data())
def test_a_retraction_told_twice_has_one_effect(events: tuple[Event, ...], data: st.DataObject) -> None:
    last = max(event.said_at for event in events)
    number = len(events) + 1
    ids = tuple(data.draw(st.lists(st.integers(1, number), min_size=1, max_size=4)))
    once, twice = told(number, Retracted(ids), last), told(number + 1, Retracted(ids), last)
    assert fold((*events, once, twice)) == fold((*events, once))


@TRIED
@given(st.lists(happening(), min_size=1, max_size=4), SPANS)
def test_nothing_told_before_a_run_was_opened_opens_it(what: list[Any], span: timedelta) -> None:
    events = [told(n, each, T0 + span) for n, each in enumerate(what, 1) if not isinstance(each, Opened)]
    if events:
        assert fold(events).state == "cancelled"


def test_no_events_or_events_of_two_runs_are_no_run() -> None:
    with pytest.raises(BadRecord):
        fold(())
    other = Event(2, 1, 2, T0, T0, PAIR)
    with pytest.raises(BadRecord):
        fold((told(1, OPENED, T0), other))
    with pytest.raises(BadRecord):
        fold((told(1, OPENED, T0), Event(2, 9, 1, T0, T0, PAIR)))


# The night, told in examples ------------------------------------------------------------------------------


def test_a_run_is_a_draft_until_planned_or_injected() -> None:
    assert run_of(OPENED, PAIR).state == "draft"
    assert run_of(OPENED, PAIR, Planned(after(2), True)).state == "open"
    assert run_of(OPENED, PAIR, INJECTED).state == "open"
    assert run_of(OPENED, PAIR, SpawnSeen("", "1", "yes")).state == "open"


def test_the_newest_word_on_a_weight_counts_whenever_it_happened() -> None:
    mended = FishWeighed((FishWeight("F1", None, 2.6),))
    run = run_of(OPENED, PAIR, (1, -5, mended))
    assert (fish(run, "F1").kg, fish(run, "F1").sex) == (2.6, "f")
    assert [each.tag for each in run.fish] == ["F1", "F2", "M1"]


def test_a_late_told_injection_falls_into_its_own_hour() -> None:
    run = run_of(OPENED, PAIR, (9, EggsRun("1", ("F1",))), (10, 0, INJECTED))
    (group,) = run.groups
    assert (group.final_at, group.told_at, group.running_at) == (after(0), after(10), after(9))
    assert fish(run, "F1").state == "running"
    assert fish(run, "F1").shots == (Shot(1, "only", after(0), None, 1, 4),)


def test_two_groups_in_two_places_have_clocks_of_their_own() -> None:
    run = run_of(
        OPENED,
        PAIR,
        Placed(("F2",), "tank 2"),
        (1, Injected("1", ("F1", "M1"), "only", "tank 1")),
        (2, Injected("2", ("F2",), "only")),
        (3, WaterRead(24.5, place="tank 2")),
        (8, NotYet("2")),
        (9, EggsRun("1")),
    )
    first, second = run.groups
    assert (first.place, first.tags, first.final_at) == ("tank 1", ("F1", "M1"), after(1))
    assert (second.place, second.tags, second.final_at) == ("tank 2", ("F2",), after(2))
    assert (first.running_at, second.running_at) == (after(9), None)
    assert (first.last_look_at, second.last_look_at) == (after(9), after(8))
    assert fish(run, "F1").state == "running"
    assert fish(run, "F2").last_look_at == after(8)
    assert [fish.tag for fish in unsettled(run, "2")] == ["F2"]
    assert run.water[0].place == "tank 2"


def test_the_priming_shot_begins_the_group_and_the_resolving_one_its_clock() -> None:
    primed = run_of(OPENED, PAIR, (1, Injected("1", ("F1",), "priming")))
    assert primed.groups[0].final_at is None
    assert not looks_open(primed, primed.groups[0])
    both = run_of(
        OPENED,
        PAIR,
        (1, Injected("1", ("F1",), "priming", ml=0.1)),
        (11, Injected("1", ("F1",), "resolving", ml=1.1)),
    )
    (group,) = both.groups
    assert (group.first_at, group.final_at) == (after(1), after(11))
    assert [(shot.n, shot.which, shot.ml) for shot in fish(both, "F1").shots] == [
        (1, "priming", 0.1),
        (2, "resolving", 1.1),
    ]
    assert {key.step for key, _ in both.answered} == {"prime", "inject"}


def test_a_partial_strip_keeps_her_unsettled_until_the_rest_came() -> None:
    some = (9, Stripped("1", (EggsOf("F1", 200, partial=True),)))
    run = run_of(OPENED, PAIR, INJECTED, (8.5, EggsRun("1", ("F1",))), some)
    assert fish(run, "F1").state == "running"
    assert fish(run, "F1").running_at == after(8.5)
    assert "strip" not in {key.step for key, _ in run.answered}
    assert looks_open(run, run.groups[0])
    rest = (10, Stripped("1", (EggsOf("F1", 110),)))
    whole = run_of(OPENED, PAIR, INJECTED, (8.5, EggsRun("1", ("F1",))), some, rest)
    assert (fish(whole, "F1").state, fish(whole, "F1").settled_at) == ("stripped", after(10))
    assert [one.grams for one in whole.batches[0].eggs] == [200, 110]
    assert whole.batches[0].begun_at == after(9)
    assert [fish.tag for fish in unsettled(whole)] == ["F2"]


def test_a_test_lot_is_a_bowl_of_its_own() -> None:
    run = run_of(
        OPENED,
        PAIR,
        INJECTED,
        (9, Stripped("1", (EggsOf("F1", 310),))),
        (9.5, Stripped("2", (EggsOf("F2", 40, "watery"),), test_lot=True)),
    )
    assert [(batch.name, batch.test_lot) for batch in run.batches] == [("1", False), ("2", True)]
    assert run.batches[1].eggs[0].quality == "watery"
    assert next_bowl(run) == "3"
    assert next_bowl(run, ("3",)) == "4"


def test_eggs_without_a_name_lie_on_all_who_may_have_given_them() -> None:
    run = run_of(OPENED, PAIR, INJECTED, (9, Stripped("1", (EggsOf("", 500),), ("F1", "F2"))))
    assert run.batches[0].shared == ("F1", "F2")
    assert run.batches[0].group == "1"
    assert [fish(run, tag).state for tag in ("F1", "F2")] == ["stripped", "stripped"]
    assert not unsettled(run)


def test_none_is_final_and_not_yet_is_not() -> None:
    run = run_of(OPENED, PAIR, INJECTED, (8, NotYet("1")), (10, NoEggs(("F2",))))
    assert (fish(run, "F2").state, fish(run, "F2").settled_at) == ("none", after(10))
    assert fish(run, "F1").state == "waiting"
    assert looks_open(run, run.groups[0])


def test_a_dead_female_stays_dead_whatever_bowl_she_filled() -> None:
    run = run_of(OPENED, PAIR, INJECTED, (8, Died(("F1",))), (8.2, Stripped("1", (EggsOf("F1", 90),))))
    assert fish(run, "F1").state == "died"
    assert run.batches[0].group == "1"


def test_who_stops_looking_settles_the_rest() -> None:
    run = run_of(OPENED, PAIR, INJECTED, (9, Stripped("1", (EggsOf("F1", 310),))), (12, LooksStopped("1")))
    assert (fish(run, "F1").state, fish(run, "F2").state) == ("stripped", "stopped")
    assert not looks_open(run, run.groups[0])


def test_eggs_run_of_nobody_named_is_the_only_one_left() -> None:
    both = run_of(OPENED, PAIR, INJECTED, (9, EggsRun("1")))
    assert [fish(both, tag).state for tag in ("F1", "F2")] == ["waiting", "waiting"]
    assert both.groups[0].running_at == after(9)
    one = run_of(OPENED, PAIR, INJECTED, (8, NoEggs(("F2",))), (9, EggsRun("1")))
    assert fish(one, "F1").state == "running"


def test_milt_starts_the_clock_of_the_eggs() -> None:
    done = StepDone(StepKey("fertilise", batch="1"))
    run = run_of(OPENED, PAIR, INJECTED, (9, Stripped("1", (EggsOf("F1", 310),))), (9.5, 9.2, done))
    assert (run.batches[0].fertilised_at, run.batches[0].fertilised_told_at) == (after(9.2), after(9.5))


def test_a_renamed_fish_keeps_what_was_done_to_it_under_its_old_name() -> None:
    weighed = FishWeighed((FishWeight("X1", None, 2.4),))
    run = run_of(
        OPENED,
        weighed,
        Injected("1", ("X1",), "only"),
        (1, Retagged("X1", "F1", "f")),
        (9, EggsRun("1", ("F1",))),
    )
    assert [each.tag for each in run.fish] == ["F1"]
    assert len(fish(run, "F1").shots) == 1
    assert (fish(run, "F1").sex, fish(run, "F1").state) == ("f", "running")
    assert run.groups[0].tags == ("F1",)


def test_a_name_that_became_free_belongs_to_the_next_fish() -> None:
    run = run_of(
        OPENED,
        FishWeighed((FishWeight("X1", None, 2.4),)),
        Injected("1", ("X1",), "only"),
        (1, Retagged("X1", "F1", "f")),
        (2, FishWeighed((FishWeight("X1", None, 3.0),))),
        (3, Injected("2", ("X1",), "only")),
    )
    assert [(group.name, group.tags) for group in run.groups] == [("1", ("F1",)), ("2", ("X1",))]
    shifted = run_of(
        OPENED,
        FishWeighed((FishWeight("X1", None, 2.4),)),
        Retagged("X1", "F1", "f"),
        (1, Injected("1", ("X1",), "only")),
    )
    assert shifted.groups[0].tags == ("F1",), "an act told again still says the old name"


def test_a_wrong_sex_is_put_right_without_a_new_name() -> None:
    run = run_of(OPENED, PAIR, Retagged("M1", None, "f"))
    assert (fish(run, "M1").sex, fish(run, "M1").kg) == ("f", 1.9)


def test_the_frame_is_changed_only_where_told() -> None:
    run = run_of(OPENED, PAIR, SetUp(species="common-carp", way="nest"), SetUp(male_dose=False))
    assert (run.species, run.way, run.male_dose) == ("common-carp", "nest", False)
    assert (run.strength, run.strength_assumed) == (Strength(20, 10), True)
    own = run_of(OPENED, PAIR, SetUp(strength=Strength(10, 5)))
    assert (own.strength, own.strength_assumed) == (Strength(10, 5), False)


def test_no_thermometer_is_remembered_until_one_is_found() -> None:
    none = run_of(OPENED, PAIR, WaterRead(None, "assumed"))
    assert (none.no_thermometer, none.water) == (True, ())
    assert run_of(OPENED, WaterRead(None, "assumed"), (1, WaterRead(26, "guessed"))).no_thermometer
    assert not run_of(OPENED, WaterRead(None, "assumed"), (1, WaterRead(26))).no_thermometer


def test_a_nest_is_looked_at_until_eggs_are_seen() -> None:
    carp = Opened("common-carp", "nest", "premix", None)
    empty = run_of(carp, PAIR, INJECTED, (11, SpawnSeen("1", "1", "no")))
    assert (empty.batches, empty.groups[0].last_look_at) == ((), after(11))
    assert looks_open(empty, empty.groups[0])
    few = run_of(
        carp,
        PAIR,
        INJECTED,
        (11, SpawnSeen("1", "1", "some")),
        (12, SpawnSeen("1", "1", "yes")),
    )
    assert (few.groups[0].spawn_seen_at, few.batches[0].begun_at) == (after(11), after(11))
    assert not looks_open(few, few.groups[0])


def test_eggs_by_volume_from_a_hapa() -> None:
    run = run_of(
        Opened("common-carp", "hapa", "premix", None),
        PAIR,
        INJECTED,
        (11, SpawnSeen("1", "1", "yes")),
        (17, Collected("1", 4.5, 30, "jar 2")),
    )
    (batch,) = run.batches
    assert (batch.litres, batch.place, batch.begun_at) == (4.5, "jar 2", after(11))
    assert [(lot.litres, lot.eggs_per_ml, lot.place) for lot in batch.lots] == [(4.5, 30, "jar 2")]
    assert (StepKey("collect-eggs", batch="1"), after(17)) in run.answered


JARS = (
    Opened("common-carp", "hapa", "premix", None),
    PAIR,
    INJECTED,
    (11, SpawnSeen("1", "1", "yes")),
    (17, Collected("1", 2.0, 25, "jar 1")),
    (17, Collected("1", 1.0, 25, "jar 2")),
)


def test_eggs_collected_again_add_up_whatever_was_told_first() -> None:
    for order in (JARS, JARS[:4] + JARS[:3:-1]):
        (batch,) = run_of(*order, (18, Collected("1", 0.5, None, "jar 2"))).batches
        assert (batch.litres, set(batch.places)) == (3.5, {"jar 1", "jar 2"})
        assert batch.place == ""  # in several jars: any water that is told is theirs


def test_counts_of_jars_stand_together_by_their_litres() -> None:
    first = (24, Counted("1", "fertilised", good=180, total=200, place="jar 1"))
    second = (25, Counted("1", "fertilised", good=120, total=200, place="jar 2"))
    (batch,) = run_of(*JARS, first, second).batches
    assert batch.fertilised is not None
    assert (batch.fertilised.share, batch.fertilised.good) == (80.0, None)  # (2 x 90 + 1 x 60) / 3
    again = (26, Counted("1", "fertilised", good=150, total=200, place="jar 2"))
    (batch,) = run_of(*JARS, first, second, again).batches
    assert batch.fertilised is not None and batch.fertilised.share == 85.0  # (2 x 90 + 1 x 75) / 3
    whole = (27, Counted("1", "fertilised", good=100, total=200))
    (batch,) = run_of(*JARS, first, second, whole).batches
    assert batch.fertilised is not None and batch.fertilised.share == 50.0
    assert [count.place for count in batch.counts] == [""]


def test_larvae_of_jars_add_up_and_what_they_are_of_must_agree() -> None:
    first = (40, Counted("1", "hatched", percent=80, larvae=30_000, of="all", place="jar 1"))
    second = (41, Counted("1", "hatched", percent=50, larvae=9_000, of="fertilised", place="jar 2"))
    (batch,) = run_of(*JARS, first, second).batches
    assert batch.hatched is not None
    assert (batch.hatched.larvae, batch.hatched.of, batch.hatched.at) == (39_000, "unknown", after(40))


def test_a_share_and_larvae_of_one_jar_stand_together() -> None:
    share = (40, Counted("1", "hatched", percent=80, of="all", place="jar 1"))
    larvae = (41, Counted("1", "hatched", larvae=30_000, place="jar 1"))
    (batch,) = run_of(*JARS, share, larvae).batches
    assert batch.hatched is not None
    assert (batch.hatched.share, batch.hatched.larvae, batch.hatched.of) == (80, 30_000, "all")


def test_counts_replace_one_another_in_order_of_happening() -> None:
    bowl = (9, Stripped("1", (EggsOf("F1", 310),)))
    late = (22, 21, Counted("1", "fertilised", good=164, total=200))
    early = (23, 20, Counted("1", "fertilised", percent=70))
    run = run_of(OPENED, PAIR, INJECTED, bowl, late, early)
    count = run.batches[0].fertilised
    assert count is not None
    assert (count.good, count.total, count.at, count.told_at, count.event) == (
        164,
        200,
        after(21),
        after(22),
        5,
    )


def test_small_facts_are_kept() -> None:
    bowl = (9, Stripped("1", (EggsOf("F1", 310),)))
    run = run_of(
        OPENED, PAIR, INJECTED, bowl, EggsCounted(640), (10, EggsWeighed("1", False)), Told("note", "rain")
    )
    assert (run.eggs_per_gram, run.batches[0].dry, run.notes) == (640, False, ("rain",))
    skipped = run_of(OPENED, PAIR, StepSkipped(StepKey("get-ready")))
    assert skipped.skipped == (StepKey("get-ready"),)
    assert skipped.answered == ((StepKey("get-ready"), T0),)


def test_how_a_run_ends() -> None:
    assert run_of(OPENED, PAIR, INJECTED, (30, Cancelled())).state == "cancelled"
    closed = run_of(OPENED, PAIR, INJECTED, (30, Closed(True)))
    assert (closed.state, closed.ended_at) == ("closed", after(30))
    silent = run_of(OPENED, PAIR, INJECTED, (30, Closed(False)))
    assert silent.state == "not-reported"
    both = run_of(OPENED, PAIR, INJECTED, (30, Closed(True)), (31, Cancelled()))
    assert both.state == "cancelled"
    again = run_of(OPENED, PAIR, INJECTED, (30, Closed(True)), (31, Retracted((4,))))
    assert (again.state, again.ended_at) == ("open", None)


# The tables of steps --------------------------------------------------------------------------------------


@pytest.mark.parametrize("way", WAYS)
def test_a_step_has_one_place_in_its_way(way: Way) -> None:
    names = [each.name for each in steps(way)]
    assert len(set(names)) == len(names)
    assert {each.name for each in ALWAYS} <= set(names)


def test_steps_of_two_ways_with_one_name_agree() -> None:
    for name in {each.name for way in WAYS for each in steps(way)}:
        kinds = {step(way, name) for way in WAYS} - {None}
        assert len({(each.scope, each.wakes, each.stops, each.repeats) for each in kinds if each}) == 1, name


def test_the_bells_that_must_wake_someone() -> None:
    waking = {each.name for way in WAYS for each in steps(way) if each.wakes}
    assert waking == {"prime", "inject", "check-females", "check-nest", "rinse"}


def _stopped_steps(run: Run, batch: str) -> set[str]:
    return {each.name for each in steps(run.way) if stopped(run, each, batch=batch)}


def test_a_later_step_stops_the_earlier_ones_of_its_own_batch_only() -> None:
    bowls: Sequence[Any] = (
        (9, Stripped("1", (EggsOf("F1", 310),))),
        (9, Stripped("2", (EggsOf("F2", 40, "blood"),), test_lot=True)),
    )
    loaded = (10, StepDone(StepKey("load", batch="1")))
    run = run_of(OPENED, PAIR, INJECTED, *bowls, loaded)
    assert _stopped_steps(run, "1") == {"fertilise", "spread", "destick", "swell", "load"}
    assert _stopped_steps(run, "2") == set()


def test_care_live_food_and_spent_females_are_stopped_by_no_other_report() -> None:
    bowl = (9, Stripped("1", (EggsOf("F1", 310),)))
    counted = (21, Counted("1", "fertilised", good=164, total=200))
    run = run_of(OPENED, PAIR, INJECTED, bowl, counted)
    assert not _stopped_steps(run, "1") & {"care", "set-live-food", "check-brood", "check-fertilised-later"}
    assert "check-fertilised" in _stopped_steps(run, "1")
    fed = run_of(OPENED, PAIR, INJECTED, bowl, counted, (90, StepDone(StepKey("set-live-food", batch="1"))))
    assert "set-live-food" in _stopped_steps(fed, "1")
    assert "check-hatch" not in _stopped_steps(fed, "1"), "live food is a side step: it reports nothing else"


def test_one_check_answered_leaves_the_other_checks_of_its_series() -> None:
    bowl = (9, Stripped("1", (EggsOf("F1", 310),)))
    looked = (33, StepDone(StepKey("check-hatch", batch="1", look=1)))
    run = run_of(OPENED, PAIR, INJECTED, bowl, looked)
    assert "check-hatch" not in _stopped_steps(run, "1")
    whole = run_of(OPENED, PAIR, INJECTED, bowl, looked, (35, Counted("1", "hatched", percent=70)))
    assert "check-hatch" in _stopped_steps(whole, "1")


def test_only_repeating_steps_keep_the_number_of_the_look() -> None:
    assert answer_key("stripped", StepKey("check-hatch", batch="1", look=2)).look == 2
    assert answer_key("stripped", StepKey("check-fertilised", batch="1", look=2)).look == 0
    assert answer_key("nest", StepKey("no-such-step", look=3)).look == 0


@pytest.mark.parametrize("tag", ["#12", "12", "no 12", "No.12", " no. 12 "])
def test_a_fish_is_found_however_its_number_is_said(tag: str) -> None:
    run = run_of(OPENED, FishWeighed((FishWeight("12", "f", 2.4),)))
    assert fish_of(run, tag) == fish(run, "12")


def test_minutes_between_telling_and_happening_are_kept() -> None:
    run = run_of(OPENED, PAIR, (1, 0.5, INJECTED))
    assert run.groups[0].told_at - run.groups[0].first_at == 30 * MINUTE
