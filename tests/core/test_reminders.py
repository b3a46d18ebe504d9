"""The bells a run should have: no order of telling, no restart and no late word changes them."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping, Sequence
from datetime import UTC, datetime, timedelta, tzinfo
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot import knowledge
from core import forecasts, reminders
from core.records import (
    Bell,
    Cancelled,
    Closed,
    Collected,
    Counted,
    EggsOf,
    EggsRun,
    Event,
    Farm,
    FishWeighed,
    FishWeight,
    Injected,
    LooksStopped,
    NoEggs,
    NotYet,
    Opened,
    Planned,
    Postponed,
    Reminder,
    Retracted,
    Run,
    SpawnSeen,
    StepDone,
    StepKey,
    StepSkipped,
    Stripped,
    WaterRead,
)
from core.reminders import Changes, Plan, Series, differ, plan, series_of
from core.runs import fold
from core.species import Figure
from tests.core.events import DAY, HOUR, MINUTE, SPANS, T0, nights, part_began
from tests.core.test_runs import run_of
from tests.tries import tries

TRIED = settings(derandomize=True, deadline=None, max_examples=tries(15), database=None)
FARM = Farm(1, "here", offset_minutes=180)
CATFISH = Opened("african-catfish", "stripped", "premix", None)
CARP = Opened("common-carp", "nest", "premix", None)
PAIR = FishWeighed((FishWeight("F1", "f", 2.4), FishWeight("F2", "f", 3.1), FishWeight("M1", "m", 1.9)))
INJECTED = Injected("1", ("F1", "F2"), "only")
BOWL = (9, Stripped("1", (EggsOf("F1", 310),)))
MILT = (9.25, StepDone(StepKey("fertilise", batch="1")))


def after(hours: float) -> datetime:
    return T0 + hours * HOUR


def bells_of(run: Run, now: datetime | None = None, farm: Farm = FARM, zone: tzinfo = UTC) -> Plan:
    card = knowledge.cards().get(run.species)
    return plan(run, card, farm, zone, now or run.last_word_at) if card else {}


def hours_of(planned: Plan, step: str, group: str = "", batch: str = "") -> list[float]:
    """When the bells of one step are due, in hours after T0."""
    series = planned.get(StepKey(step, group, batch), Series(()))
    return [round((bell.due_at - T0) / HOUR, 3) for bell in series.bells]


def steps_of(planned: Plan, batch: str | None = None) -> set[str]:
    return {key.step for key in planned if batch in (None, key.batch)}


# The store, in memory -------------------------------------------------------------------------------------


class Wall:
    """Bells as the store keeps them: a bell that rang stays, and no two have the same name."""

    def __init__(self) -> None:
        self.rows: dict[int, Reminder] = {}

    def stored(self) -> list[Reminder]:
        return sorted(self.rows.values(), key=lambda row: (row.bell.due_at, row.id))

    def apply(self, changes: Changes) -> None:
        for number, state in changes.end:
            self.rows[number] = dataclasses.replace(self.rows[number], state=state, next_at=None)
        for number, bell in changes.move:
            row = self.rows[number]
            assert row.state == "waiting" and row.attempts == 0, f"a bell that rang was moved: {row}"
            self.rows[number] = dataclasses.replace(row, bell=bell, next_at=bell.due_at)
            self._one_name(bell)
        for bell in changes.add:
            self._add(bell)

    def _add(self, bell: Bell) -> None:
        same = [row for row in self.rows.values() if row.bell.key == bell.key]
        assert all(row.state == "withdrawn" for row in same), f"the store would drop {bell}: {same}"
        number = same[0].id if same else len(self.rows) + 1
        self.rows[number] = Reminder(number, 1, bell, next_at=bell.due_at)

    def _one_name(self, bell: Bell) -> None:
        assert len([row for row in self.rows.values() if row.bell.key == bell.key]) == 1, bell

    def ring(self, until: datetime, most: int = 40) -> list[Reminder]:
        """Ring what is due by then, at most so many; what rang, as it was."""
        rung = []
        while len(rung) < most:
            due = [row for row in self.rows.values() if row.next_at and row.next_at <= until]
            if not due:
                break
            row = min(due, key=lambda each: (each.next_at, each.id))
            assert row.state in ("waiting", "ringing") and row.next_at is not None
            times, apart = reminders.attempts(row.bell)
            again = row.next_at + apart if row.attempts + 1 < times else None
            self.rows[row.id] = dataclasses.replace(
                row, attempts=row.attempts + 1, next_at=again, last_rung_at=row.next_at, state="ringing"
            )
            rung.append(row)
        return rung


def waiting_hours(wall: Wall, key: StepKey) -> list[datetime]:
    return [
        row.bell.due_at for row in wall.stored() if series_of(row.bell.key) == key and row.state == "waiting"
    ]


def as_planned(wall: Wall, planned: Plan) -> None:
    """The waiting bells are the planned ones that lie after the last of their series that rang."""
    keys = {series_of(row.bell.key) for row in wall.rows.values()} | set(planned)
    for key in keys:
        rung = [
            row.bell.due_at for row in wall.rows.values() if series_of(row.bell.key) == key and row.attempts
        ]
        due = [bell.due_at for bell in planned.get(key, Series(())).bells]
        found = waiting_hours(wall, key)
        if key.step == "all-well":  # one more where the computer was off on the evening before
            found = found[-len(due) :] if due else found
        assert found == [at for at in due if not rung or at > max(rung)], key
    looks: dict[StepKey, list[int]] = {}
    for row in wall.stored():
        if row.state != "withdrawn":
            looks.setdefault(series_of(row.bell.key), []).append(row.bell.key.look)
    assert all(sorted(found) == list(range(1, len(found) + 1)) for found in looks.values()), looks


# Any night ------------------------------------------------------------------------------------------------


@TRIED
@given(nights(), st.data())
def test_the_plan_depends_on_the_events_not_on_their_order(
    events: tuple[Event, ...], data: st.DataObject
) -> None:
    shuffled = data.draw(st.permutations(events))
    now = max(event.said_at for event in events)
    assert bells_of(fold(shuffled), now) == bells_of(fold(events), now)


@TRIED
@given(nights(), SPANS)
def test_no_bell_is_planned_before_its_event(events: tuple[Event, ...], later: timedelta) -> None:
    now = max(event.said_at for event in events) + later
    planned = bells_of(fold(events), now)
    for key, series in planned.items():
        began = part_began(events, key.group, key.batch)
        assert all(bell.due_at >= began for bell in series.bells), (key, began, series)
        dues = [bell.due_at for bell in series.bells]
        assert dues == sorted(set(dues)), key
        assert [bell.key for bell in series.bells] == [
            dataclasses.replace(key, look=look) for look in range(1, len(dues) + 1)
        ]
        assert series.floor is None or all(at > series.floor for at in dues), key


@TRIED
@given(nights(), st.sampled_from((Cancelled(), Closed(True), Closed(False))))
def test_an_ended_run_has_no_bells(events: tuple[Event, ...], end: Cancelled | Closed) -> None:
    last = max(event.said_at for event in events)
    ended = Event(len(events) + 1, 1, 1, last, last, end)
    assert bells_of(fold((*events, ended)), last) == {}


@TRIED
@given(nights())
def test_an_open_run_closes_after_its_last_bell(events: tuple[Event, ...]) -> None:
    run = fold(events)
    planned = bells_of(run)
    if run.state not in ("draft", "open"):
        assert planned == {}
        return
    (close,) = planned[StepKey("close")].bells
    assert close.once
    for key, series in planned.items():
        if key.step not in ("close", "all-well"):
            assert all(reminders.last_ring(bell) <= close.due_at - DAY for bell in series.bells), key


@TRIED
@given(nights())
def test_the_stored_bells_become_the_planned_ones_and_then_stay(events: tuple[Event, ...]) -> None:
    wall = Wall()
    planned = bells_of(fold(events))
    wall.apply(differ(wall.stored(), planned))
    expected = sorted(
        ((bell.due_at, bell) for series in planned.values() for bell in series.bells),
        key=lambda pair: str(pair[1].key),
    )
    found = [(row.bell.due_at, row.bell) for row in wall.stored()]
    assert sorted(found, key=lambda pair: str(pair[1].key)) == expected
    assert differ(wall.stored(), planned) == Changes()


@TRIED
@given(nights(most=9), st.lists(SPANS, min_size=14, max_size=14))
def test_through_any_night_a_bell_that_rang_stays_and_one_that_ended_is_silent(
    events: tuple[Event, ...], pauses: Sequence[timedelta]
) -> None:
    wall = Wall()
    over: dict[int, Reminder] = {}
    rung: dict[int, Bell] = {}
    for number, event in enumerate(events, 1):
        now = event.said_at
        planned = bells_of(fold(events[:number]), now)
        wall.apply(differ(wall.stored(), planned))
        as_planned(wall, planned)
        assert differ(wall.stored(), planned) == Changes(), "a second look changes nothing"
        for row in wall.stored():
            if row.id in rung:
                assert row.bell == rung[row.id], "a bell that rang was changed"
            if row.id in over:
                assert row.attempts == over[row.id].attempts
        until = min(now + pauses[number - 1], events[number].said_at if number < len(events) else now + DAY)
        for row in wall.ring(until):
            assert row.id not in over, "an answered bell rang again"
            assert row.next_at is not None and row.next_at >= row.bell.due_at
            rung[row.id] = row.bell
        over = {
            row.id: row for row in wall.stored() if row.state == "answered" or (
                row.state == "withdrawn" and row.attempts)
        }  # fmt: skip
        assert all(row.next_at is None for row in wall.stored() if row.state in ("answered", "withdrawn"))


def test_undo_brings_a_withdrawn_bell_back() -> None:
    wall = Wall()
    open_run = run_of(CATFISH, PAIR, INJECTED)
    wall.apply(differ([], bells_of(open_run)))
    before = wall.stored()
    wall.apply(differ(wall.stored(), bells_of(run_of(CATFISH, PAIR, INJECTED, (1, Cancelled())))))
    assert {row.state for row in wall.stored()} == {"withdrawn"}
    assert not wall.ring(after(1000))
    wall.apply(
        differ(wall.stored(), bells_of(run_of(CATFISH, PAIR, INJECTED, (1, Cancelled()), Retracted((4,)))))
    )
    again = [row for row in wall.stored() if row.bell.key.step == "check-females"]
    assert again == [row for row in before if row.bell.key.step == "check-females"]


def test_a_ringing_look_is_answered_by_the_word_and_later_looks_go_on_counting() -> None:
    wall = Wall()
    wall.apply(differ([], bells_of(run_of(CATFISH, PAIR, INJECTED))))
    looks = [row.bell for row in wall.stored() if row.bell.key.step == "check-females"]
    wall.ring(looks[0].due_at + 3 * MINUTE)
    first = next(row for row in wall.stored() if row.bell == looks[0])
    assert (first.state, first.attempts) == ("ringing", 2)
    told = (round((looks[0].due_at - T0) / HOUR, 3) + 0.1, NotYet("1"))
    planned = bells_of(run_of(CATFISH, PAIR, INJECTED, told))
    wall.apply(differ(wall.stored(), planned))
    first = next(row for row in wall.stored() if row.id == first.id)
    assert (first.state, first.next_at, first.bell.due_at) == ("answered", None, looks[0].due_at)
    assert [row.bell for row in wall.stored() if row.state == "waiting"
            and row.bell.key.step == "check-females"] == looks[1:]  # fmt: skip


@pytest.mark.parametrize("late", [timedelta(microseconds=1), HOUR, 23 * HOUR])
def test_an_evening_line_that_did_not_ring_yet_still_does(late: timedelta) -> None:
    """Another bell, or a message, comes first after the computer was off."""
    wall = Wall()
    run = run_of(CATFISH, PAIR, INJECTED)
    wall.apply(differ([], bells_of(run)))
    evening, next_evening = waiting_hours(wall, StepKey("all-well"))
    for _ in range(2):
        wall.apply(differ(wall.stored(), bells_of(run, evening + late)))
        assert waiting_hours(wall, StepKey("all-well")) == [evening, next_evening, next_evening + DAY]
    assert [row.bell.due_at for row in wall.ring(evening + late) if row.bell.key.step == "all-well"] == [
        evening
    ]
    wall.apply(differ(wall.stored(), bells_of(run, evening + late)))
    assert waiting_hours(wall, StepKey("all-well")) == [next_evening, next_evening + DAY]


def test_of_several_evenings_missed_only_the_newest_is_told() -> None:
    wall = Wall()
    run = run_of(CATFISH, PAIR, INJECTED)
    wall.apply(differ([], bells_of(run)))
    evening, next_evening = waiting_hours(wall, StepKey("all-well"))
    wall.apply(differ(wall.stored(), bells_of(run, next_evening + HOUR)))
    assert waiting_hours(wall, StepKey("all-well"))[0] == next_evening
    assert evening < next_evening


def test_the_evening_line_of_another_zone_takes_the_place_of_the_old_one() -> None:
    wall = Wall()
    run = run_of(CATFISH, PAIR, INJECTED)
    wall.apply(differ([], bells_of(run, zone=ZoneInfo("Asia/Kathmandu"))))
    wall.apply(differ(wall.stored(), bells_of(run, zone=ZoneInfo("Europe/Berlin"))))
    planned = bells_of(run, zone=ZoneInfo("Europe/Berlin"))[StepKey("all-well")]
    assert waiting_hours(wall, StepKey("all-well")) == [bell.due_at for bell in planned.bells]


# Looks ----------------------------------------------------------------------------------------------------


def test_looks_begin_at_the_earliest_hour_and_end_two_after_the_latest() -> None:
    run = run_of(CATFISH, PAIR, INJECTED, WaterRead(27.0))
    view = forecasts.strip(run, run.groups[0], knowledge.cards()["african-catfish"])
    series = bells_of(run)[StepKey("check-females", "1")]
    dues = [bell.due_at for bell in series.bells]
    assert dues[0] == view.window.earliest
    assert dues[-1] == view.give_up_at == view.window.latest + 2 * HOUR
    assert dues[-2] == view.window.latest + HOUR
    assert all(later - earlier == HOUR for earlier, later in pairwise(dues[:-2]))
    assert dues[-3] <= view.window.latest < dues[-3] + HOUR
    assert [bell.key.look for bell in series.bells] == list(range(1, len(dues) + 1))
    assert all(bell.wakes for bell in series.bells)
    # 106.6 / (27 - 15.05) h x 0.90 after 18:02 and the quarter before: the card's fit, from memory
    assert dues[0] == datetime(2025, 10, 26, 2, 0, tzinfo=UTC)


def test_two_groups_in_two_waters_are_looked_at_by_their_own_clocks() -> None:
    run = run_of(
        CATFISH,
        PAIR,
        Injected("1", ("F1",), "only", "tank 1"),
        Injected("2", ("F2",), "only", "tank 2"),
        WaterRead(27.0, place="tank 1"),
        WaterRead(24.5, place="tank 2"),
        (9, NoEggs(("F1",))),
    )
    planned = bells_of(run)
    assert hours_of(planned, "check-females", "1") == []
    cool = hours_of(planned, "check-females", "2")
    warm = hours_of(bells_of(run_of(CATFISH, PAIR, Injected("1", ("F1",), "only"), WaterRead(27.0))),
                    "check-females", "1")  # fmt: skip
    assert warm[0] == pytest.approx(106.6 / (27 - 15.05) * 0.9, abs=0.25)
    assert cool[0] == pytest.approx(106.6 / (24.5 - 15.05) * 0.9, abs=0.25)


def test_once_eggs_run_looks_come_every_half_hour() -> None:
    run = run_of(CATFISH, PAIR, INJECTED, (9, EggsRun("1", ("F1",))))
    dues = hours_of(bells_of(run), "check-females", "1")
    assert dues[:3] == [9.5, 10.0, 10.5]
    assert hours_of(bells_of(run), "strip", "1") == [9.5]


def test_a_partial_strip_keeps_her_looked_at_and_her_egg_clock_running() -> None:
    eggs_run = (9, EggsRun("1", ("F1",)))
    some = (9.2, Stripped("1", (EggsOf("F1", 200, partial=True),)))
    planned = bells_of(run_of(CATFISH, PAIR, INJECTED, (8, NoEggs(("F2",))), eggs_run, some))
    assert hours_of(planned, "strip", "1") == [9.5]
    assert hours_of(planned, "check-females", "1")
    rest = (9.6, Stripped("1", (EggsOf("F1", 110),)))
    whole = bells_of(run_of(CATFISH, PAIR, INJECTED, (8, NoEggs(("F2",))), eggs_run, some, rest))
    assert hours_of(whole, "strip", "1") == hours_of(whole, "check-females", "1") == []


def test_a_late_told_injection_looks_at_once_where_the_hour_is_past() -> None:
    early = bells_of(run_of(CATFISH, PAIR, INJECTED, WaterRead(27.0)))
    on_time = hours_of(early, "check-females", "1")
    late = bells_of(run_of(CATFISH, PAIR, (11.25, 0, INJECTED), (11.25, 0, WaterRead(27.0))))
    assert hours_of(late, "check-females", "1") == [11.25, *(at for at in on_time if at > 11.25)]
    much = bells_of(run_of(CATFISH, PAIR, (40, 0, INJECTED), (40, 0, WaterRead(27.0))))
    assert hours_of(much, "check-females", "1") == [40]


def test_who_stops_looking_hears_no_look_any_more() -> None:
    planned = bells_of(run_of(CATFISH, PAIR, INJECTED, (12, LooksStopped("1"))))
    assert "check-females" not in steps_of(planned)
    assert "strip" not in steps_of(planned)


def test_a_put_off_bell_comes_when_asked_and_the_rest_of_its_series_after_it() -> None:
    plain = hours_of(bells_of(run_of(CATFISH, PAIR, INJECTED, WaterRead(27.0))), "check-females", "1")
    put_off = (plain[0] + 0.1, Postponed(StepKey("check-females", "1"), after(plain[0] + 0.6)))
    run = run_of(CATFISH, PAIR, INJECTED, WaterRead(27.0), put_off)
    dues = hours_of(bells_of(run), "check-females", "1")
    assert dues == [round(plain[0] + 0.6, 3), *plain[1:]]


def test_water_out_of_bounds_asks_for_the_water_every_four_hours() -> None:
    held = run_of(CATFISH, PAIR, INJECTED, (1, WaterRead(16.0)))
    planned = bells_of(held)
    assert hours_of(planned, "check-water")[:2] == [5.0, 9.0]
    assert hours_of(planned, "check-females", "1"), "looks go on by the clock"
    back = run_of(CATFISH, PAIR, INJECTED, (1, WaterRead(16.0)), (5, WaterRead(26.0)))
    assert hours_of(bells_of(back), "check-water") == []


# Before the injection -------------------------------------------------------------------------------------


def test_a_planned_night_gets_ready_an_hour_before_and_injects() -> None:
    planned = bells_of(run_of(CATFISH, PAIR, Planned(after(3), True)))
    assert hours_of(planned, "get-ready") == [2]
    assert hours_of(planned, "inject") == [3]
    assert "prime" not in steps_of(planned)
    done = bells_of(run_of(CATFISH, PAIR, Planned(after(3), True), (3, INJECTED)))
    assert not {"get-ready", "inject"} & steps_of(done)


def test_a_carp_of_two_shots_is_primed_and_then_injected() -> None:
    gland = Opened("common-carp", "stripped", "pituitary", None)
    planned = bells_of(run_of(gland, PAIR, Planned(after(12), True)))
    assert hours_of(planned, "prime") == [2]  # the card's usual interval is 10 h, from memory
    assert hours_of(planned, "inject") == [12]
    primed = bells_of(run_of(gland, PAIR, Planned(after(12), True), (3, Injected("1", ("F1",), "priming"))))
    assert "prime" not in steps_of(primed)
    assert hours_of(primed, "inject") == [13]


def test_each_primed_group_waits_for_its_own_second_shot() -> None:
    gland = Opened("common-carp", "stripped", "pituitary", None)
    first, second = Injected("1", ("F1",), "priming"), (2, Injected("2", ("F2",), "priming"))
    both = run_of(gland, PAIR, first, second, (10, Injected("1", ("F1",), "resolving")))
    assert hours_of(bells_of(both), "inject") == [12]


def test_a_skipped_step_rings_no_more() -> None:
    run = run_of(CATFISH, PAIR, Planned(after(3), True), StepSkipped(StepKey("get-ready")))
    assert "get-ready" not in steps_of(bells_of(run))
    assert "inject" in steps_of(bells_of(run))


# Eggs -----------------------------------------------------------------------------------------------------


def test_eggs_wait_a_quarter_of_an_hour_for_milt() -> None:
    planned = bells_of(run_of(CATFISH, PAIR, INJECTED, BOWL))
    assert hours_of(planned, "fertilise", batch="1") == [9.25]
    assert hours_of(bells_of(run_of(CATFISH, PAIR, INJECTED, BOWL, MILT)), "fertilise", batch="1") == []


def test_the_count_comes_at_the_hour_of_the_card_after_the_milt() -> None:
    planned = bells_of(run_of(CATFISH, PAIR, INJECTED, BOWL, MILT))
    assert hours_of(planned, "check-fertilised", batch="1") == [21.25]  # 12 h: rurangwa-1998
    without = bells_of(run_of(CATFISH, PAIR, INJECTED, BOWL))
    assert hours_of(without, "check-fertilised", batch="1") == [21.0]


def test_the_hatch_is_checked_three_times_and_each_check_is_answered_by_itself() -> None:
    milt = (*[CATFISH, PAIR, INJECTED, BOWL, MILT],)
    run = run_of(*milt)
    view = forecasts.hatch(run, run.batches[0], knowledge.cards()["african-catfish"])
    due = hours_of(bells_of(run), "check-hatch", batch="1")
    assert due == [
        round((at - T0) / HOUR, 3) for at in (view.window.earliest, view.window.likely, view.window.latest)
    ]
    first = (due[0] + 0.2, StepDone(StepKey("check-hatch", batch="1", look=1)))
    assert hours_of(bells_of(run_of(*milt, first)), "check-hatch", batch="1") == due[1:]
    hatched = (due[0] + 0.3, Counted("1", "hatched", good=150, total=200))
    assert hours_of(bells_of(run_of(*milt, first, hatched)), "check-hatch", batch="1") == []


def test_care_ends_with_the_hatching_told_and_live_food_is_not_stopped_by_a_count() -> None:
    milt = [CATFISH, PAIR, INJECTED, BOWL, MILT]
    counted = bells_of(run_of(*milt, (21.5, Counted("1", "fertilised", good=164, total=200))))
    assert hours_of(counted, "care", batch="1") == [15.25, 21.25, 27.25]  # every 6 h until larvae may hatch
    live_food = hours_of(counted, "set-live-food", batch="1")
    assert len(live_food) == 1
    told = bells_of(run_of(*milt, (33, Counted("1", "hatched", good=150, total=200))))
    assert hours_of(told, "care", batch="1") == []
    assert hours_of(told, "first-feed", batch="1") == [33 + 72]  # 3 days: fao-ftp-362
    assert hours_of(told, "set-live-food", batch="1") == [33 + 48]
    again = bells_of(
        run_of(
            *milt,
            (33, Counted("1", "hatched", good=150, total=200)),
            (34, Counted("1", "hatched", good=151, total=200)),
        )
    )
    assert hours_of(again, "set-live-food", batch="1") == [34 + 48]
    fed = bells_of(run_of(*milt, (90, StepDone(StepKey("first-feed", batch="1")))))
    assert not {"set-live-food", "first-feed", "check-hatch"} & steps_of(fed, "1")


def test_a_later_step_silences_the_earlier_ones_of_its_own_bowl() -> None:
    second = (9, Stripped("2", (EggsOf("F2", 40, "watery"),), test_lot=True))
    counted = (21.5, Counted("1", "fertilised", good=164, total=200))
    planned = bells_of(run_of(CATFISH, PAIR, INJECTED, BOWL, second, counted))
    assert "fertilise" not in steps_of(planned, "1")
    assert hours_of(planned, "fertilise", batch="2") == [9.25]
    assert hours_of(planned, "check-fertilised", batch="2") == [21.0]


def test_the_bath_follows_the_habit_and_its_end_wakes() -> None:
    milt = [CATFISH, PAIR, INJECTED, BOWL, MILT]
    asked = bells_of(run_of(*milt))
    assert hours_of(asked, "disinfect", batch="1") == [9.5]  # swollen after a quarter of an hour
    never = bells_of(run_of(*milt), farm=dataclasses.replace(FARM, bath_habit="never"))
    assert "disinfect" not in steps_of(never)
    bathed = bells_of(run_of(*milt, (10, StepDone(StepKey("disinfect", batch="1")))))
    (rinse,) = bathed[StepKey("rinse", batch="1")].bells
    assert (rinse.due_at, rinse.wakes) == (after(10) + 10 * MINUTE, True)
    skipped = bells_of(run_of(*milt, (10, StepSkipped(StepKey("disinfect", batch="1")))))
    assert "rinse" not in steps_of(skipped)


def test_spent_females_are_looked_at_after_two_hours_and_next_morning() -> None:
    planned = bells_of(run_of(CATFISH, PAIR, INJECTED, BOWL))
    dues = [bell.due_at for bell in planned[StepKey("check-brood", batch="1")].bells]
    assert dues == [after(11), datetime(2025, 10, 26, 7, 0, tzinfo=UTC)]


def test_a_nest_from_eggs_seen_to_material_out() -> None:
    eggs = (11, SpawnSeen("1", "1", "yes"))
    planned = bells_of(run_of(CARP, PAIR, INJECTED, WaterRead(24.0), eggs))
    assert "check-nest" not in steps_of(planned)
    assert hours_of(planned, "remove-brood", batch="1") == [12]
    out = (12, StepDone(StepKey("remove-brood", batch="1")))
    hatched = (76, Counted("1", "hatched", percent=70))
    after_hatch = bells_of(run_of(CARP, PAIR, INJECTED, WaterRead(24.0), eggs, out, hatched))
    assert hours_of(after_hatch, "remove-substrate", batch="1") == [76 + 72]  # they swim free after 3 days
    assert hours_of(after_hatch, "first-feed", batch="1") == [76 + 84]
    seen_none = bells_of(run_of(CARP, PAIR, INJECTED, (11, SpawnSeen("1", "1", "no"))))
    assert hours_of(seen_none, "check-nest", "1")


# A hapa ---------------------------------------------------------------------------------------------------

HAPA = Opened("common-carp", "hapa", "premix", None)
SEEN = (HAPA, PAIR, INJECTED, WaterRead(24.0), (11, SpawnSeen("1", "1", "yes")))


def test_a_hapas_eggs_are_collected_once_firm_by_the_card_or_a_rule_of_our_own() -> None:
    run = run_of(*SEEN)
    assert hours_of(bells_of(run), "collect-eggs", batch="1") == [11 + 6]
    firm = Figure(4, 8, 5, "h", ("memory",), "from memory")
    card = dataclasses.replace(knowledge.cards()["common-carp"], firm_hours=firm)
    planned = plan(run, card, FARM, UTC, run.last_word_at)
    assert hours_of(planned, "collect-eggs", batch="1") == [11 + 5]


def test_collected_eggs_are_loaded_within_a_quarter_and_every_time_anew() -> None:
    once = (*SEEN, (17, Collected("1", 2.0)))
    assert hours_of(bells_of(run_of(*once)), "load", batch="1") == [17.25]
    assert "collect-eggs" not in steps_of(bells_of(run_of(*once)))
    loaded = (*once, (17.2, StepDone(StepKey("load", batch="1"))))
    assert "load" not in steps_of(bells_of(run_of(*loaded)))
    again = bells_of(run_of(*loaded, (18, Collected("1", 1.0))))
    assert hours_of(again, "load", batch="1") == [18.25]
    counted = run_of(*loaded, (18, Collected("1", 1.0)), (18.1, Counted("1", "fertilised", percent=80)))
    assert "load" not in steps_of(bells_of(counted))


def test_collecting_that_was_skipped_wants_no_loading() -> None:
    skipped = bells_of(run_of(*SEEN, (17, StepSkipped(StepKey("collect-eggs", batch="1")))))
    assert not {"collect-eggs", "load"} & steps_of(skipped)


def test_a_nest_or_hapa_is_looked_at_every_hour_whatever_her_egg_life() -> None:
    short = Figure(20, 40, 30, "min", ("memory",), "from memory")
    card = dataclasses.replace(knowledge.cards()["common-carp"], egg_life_minutes=short)
    for way, every in (("hapa", 60), ("nest", 60), ("stripped", 15)):
        run = run_of(dataclasses.replace(HAPA, way=way), PAIR, INJECTED)
        assert forecasts.strip(run, run.groups[0], card).look_every == every * MINUTE


# Closing --------------------------------------------------------------------------------------------------


def _close(run: Run, now: datetime | None = None) -> datetime:
    (bell,) = bells_of(run, now)[StepKey("close")].bells
    return bell.due_at


def _last(planned: Mapping[StepKey, Series]) -> datetime:
    return max(
        reminders.last_ring(bell)
        for key, series in planned.items()
        if key.step not in ("close", "all-well")
        for bell in series.bells
    )


def test_a_run_with_a_figure_closes_a_day_after_its_last_bell() -> None:
    run = run_of(CATFISH, PAIR, INJECTED, BOWL, MILT, (33, Counted("1", "hatched", percent=70)))
    assert _close(run) == _last(bells_of(run)) + DAY
    assert _last(bells_of(run)) == after(33 + 72) + 30 * MINUTE  # the first feed, and once more


def test_a_silent_run_closes_five_days_after_its_last_bell() -> None:
    run = run_of(CATFISH, PAIR, INJECTED)
    looks = bells_of(run)[StepKey("check-females", "1")].bells
    assert _close(run) == looks[-1].due_at + 10 * MINUTE + 5 * DAY
    spoke = run_of(CATFISH, PAIR, INJECTED, (100, WaterRead(26.0)))
    assert _close(spoke) == after(100) + 5 * DAY


def test_a_draft_is_forgotten_after_a_day_and_rings_nothing_else() -> None:
    run = run_of(CATFISH, PAIR)
    assert set(bells_of(run)) == {StepKey("close")}
    assert _close(run) == after(24)


# The evening line -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("zone", "now", "due", "next_due"),
    [
        # Berlin goes from +02:00 to +01:00 on 26 October 2025 at 01:00 UTC, and back on 29 March 2026
        ("Europe/Berlin", "2025-10-25T17:59:59", "2025-10-25T18:00", "2025-10-26T19:00"),
        ("Europe/Berlin", "2025-10-25T18:00:00", "2025-10-25T18:00", "2025-10-26T19:00"),
        ("Europe/Berlin", "2025-10-25T18:00:01", "2025-10-26T19:00", "2025-10-27T19:00"),
        ("Europe/Berlin", "2025-10-26T00:30:00", "2025-10-26T19:00", "2025-10-27T19:00"),
        ("Europe/Berlin", "2025-10-26T18:30:00", "2025-10-26T19:00", "2025-10-27T19:00"),
        ("Europe/Berlin", "2026-03-28T18:30:00", "2026-03-28T19:00", "2026-03-29T18:00"),
        ("Europe/Berlin", "2026-03-29T17:30:00", "2026-03-29T18:00", "2026-03-30T18:00"),
        ("Asia/Kathmandu", "2025-10-25T14:14:59", "2025-10-25T14:15", "2025-10-26T14:15"),
        ("Pacific/Kiritimati", "2025-10-25T06:30:00", "2025-10-26T06:00", "2025-10-27T06:00"),
    ],
)
def test_the_evening_line_comes_at_eight_on_the_farms_clocks(
    zone: str, now: str, due: str, next_due: str
) -> None:
    run = run_of(CATFISH, PAIR, INJECTED)
    planned = bells_of(run, datetime.fromisoformat(f"{now}+00:00"), zone=ZoneInfo(zone))
    evening, next_evening = planned[StepKey("all-well")].bells
    assert evening.due_at == datetime.fromisoformat(f"{due}+00:00")
    assert next_evening.due_at == datetime.fromisoformat(f"{next_due}+00:00")
    assert evening.once
    assert reminders.attempts(evening) == (1, timedelta(0))


def test_the_morning_look_at_spent_females_is_seven_by_the_new_clocks() -> None:
    """Stripped at 03:02 UTC on the morning when Berlin's clocks go back: seven is 06:00 UTC."""
    planned = bells_of(run_of(CATFISH, PAIR, INJECTED, BOWL), zone=ZoneInfo("Europe/Berlin"))
    assert planned[StepKey("check-brood", batch="1")].bells[-1].due_at == datetime(
        2025, 10, 26, 6, tzinfo=UTC
    )


# How often a bell rings -----------------------------------------------------------------------------------


def test_a_waking_bell_rings_six_times_two_minutes_apart_and_others_once_more() -> None:
    waking = Bell(1, StepKey("check-females", "1", look=1), T0, wakes=True)
    calm = Bell(1, StepKey("care", batch="1", look=1), T0)
    assert reminders.attempts(waking) == (6, 2 * MINUTE)
    assert reminders.last_ring(waking) == T0 + 10 * MINUTE
    assert reminders.attempts(calm) == (2, 30 * MINUTE)
    assert reminders.last_ring(calm) == T0 + 30 * MINUTE
