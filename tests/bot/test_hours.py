"""A clock that is wrong, and clocks that are changed: what rings, and what waits."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from bot import ringing
from bot.clock import FAR, Dial, HandClock, SystemClock
from bot.config import Settings
from bot.hours import believed
from bot.pace import unbounded
from bot.serve import Parts, bot_of
from bot.telegram_app import reader
from tests.bot.botapi import TOKEN, BotApi
from tests.bot.village import MINUTE, Village
from tests.bot.wired import Seconds, wired

HOUR = timedelta(hours=1)
LOOKS = "check-females"


@pytest.fixture
def village(tmp_path: Path) -> Iterator[Village]:
    """Ada's farm, its fish injected; its clock has a dial beside it, and an operator hears of it."""
    with closing(Village(tmp_path / "village.db")) as found:
        found.says("ada", "catfish f 2.4 m 1.9")
        found.says("ada", "injected")
        found.house = replace(found.house, operator="77", dial=Dial(found.clock, Seconds()))
        yield found


def first_look(village: Village) -> datetime:
    return min(each.bell.due_at for each in village.store.pending(1, 1) if each.bell.key.step == LOOKS)


def to_the_operator(village: Village) -> list[str]:
    """What the operator was told, by its code."""
    rows = village.store.file.rows(
        "SELECT json_extract(facts, '$.what') AS what FROM outbox WHERE chat = '77' ORDER BY id"
    )
    return [row["what"] for row in rows]


def heard(village: Village, at: datetime) -> None:
    assert village.house.dial
    village.house.dial.heard(at)


# A clock that is wrong ------------------------------------------------------------------------------------


def test_a_clock_far_from_the_messengers_rings_nothing_until_it_is_right(village: Village) -> None:
    true, look = village.clock.now(), first_look(village)
    heard(village, true)
    village.clock.move_to(look + HOUR)
    assert ringing.ring_due(village.house) == 0
    assert ringing.ring_due(village.house) == 0
    assert to_the_operator(village) == ["operator-clock-wrong"]
    heard(village, look + MINUTE)
    village.clock.move_to(look + MINUTE)
    assert ringing.ring_due(village.house) > 0
    assert to_the_operator(village) == ["operator-clock-wrong", "operator-clock-right"]
    assert min(each.bell.due_at for each in village.store.ringing(1)) == look


def test_a_clock_behind_the_newest_row_rings_nothing(village: Village) -> None:
    """The first start after a power cut: no network yet, and a clock that stands where it stopped."""
    newest, due = village.clock.now(), first_look(village)
    village.store.file.change("UPDATE reminders SET next_at = 0 WHERE step = ?", LOOKS)
    village.clock.move_to(newest - FAR)
    assert ringing.ring_due(village.house) == 0
    village.clock.move_to(newest)
    assert ringing.ring_due(village.house) > 0
    assert due > newest


def test_rows_of_a_clock_that_was_ahead_hold_nothing_back(village: Village) -> None:
    """Where the messenger says what hour it is, it does not matter what was written."""
    village.passes(first_look(village) - village.clock.now() - MINUTE)
    village.store.pulse("poll", village.clock.now() + timedelta(days=900))
    assert not believed(village.house)
    village.clock.move_to(first_look(village))
    heard(village, village.clock.now())
    assert ringing.ring_due(village.house) > 0


def test_the_messengers_hour_goes_on_between_its_answers() -> None:
    clock, seconds = HandClock(datetime(2026, 6, 1, tzinfo=UTC)), Seconds()
    dial = Dial(clock, seconds)
    dial.heard(clock.now())
    seconds.at += 3600
    assert dial.off(None) == HOUR
    clock.move_to(clock.now() + HOUR)
    assert dial.off(None) == timedelta(0)
    clock.move_to(clock.now() + HOUR)
    assert dial.off(None) == -HOUR


async def test_nothing_is_taken_in_or_deleted_by_a_wrong_clock(tmp_path: Path) -> None:
    async with wired(tmp_path) as wire:
        await wire.says(1, "catfish f 2.4 m 1.9")
        await wire.says(1, "delete everything")
        await wire.presses(1, "Yes, delete all")
        dial = Dial(wire.clock, wire.seconds)
        house = wire.poller.house = replace(wire.house, dial=dial)
        parts = Parts(house, wire.bot, reader(wire.me), unbounded())
        true = wire.clock.now()
        dial.heard(true)
        wire.clock.move_to(true + timedelta(days=400))
        wire.api.say(1, "undo")
        assert await wire.poller.ask(0) > 0
        parts._tidy()
        assert wire.left() == 0
        assert len(wire.api.updates) == 1, "it stays with the messenger"
        assert house.store.file.value("SELECT count(*) FROM farms WHERE goes_at IS NOT NULL") == 1
        wire.clock.move_to(true)
        assert await wire.poller.ask(0) == 0
        assert wire.left() == 1
        wire.pass_time(8 * 24 * 3600)
        parts._tidy()
        assert house.store.file.value("SELECT count(*) FROM farms") == 0


async def test_the_hour_of_an_answer_is_heard(tmp_path: Path) -> None:
    """The test server is a real one: its answers carry the hour of this computer, to the second."""
    told: list[datetime] = []
    async with BotApi(now=SystemClock().now) as api:
        settings = Settings(TOKEN, tmp_path / "farm.db", None, None, api.url)
        async with bot_of(settings, told.append):
            pass
    assert told
    assert abs(told[-1] - SystemClock().now()) < timedelta(seconds=30)


# Clocks that are changed ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("zone", "evening"),
    [
        # Europe/Berlin goes back an hour on 25 October 2026 at 01:00 UTC, and forward on 28 March 2027;
        # America/Santiago goes forward on 6 September 2026 at 04:00 UTC (tz database, 2025b).
        ("Europe/Berlin", "2026-10-24T18:00"),
        ("Europe/Berlin", "2027-03-27T18:00"),
        ("America/Santiago", "2026-09-05T22:00"),
    ],
)
def test_a_night_across_a_change_of_the_zone_rings_after_true_hours(
    zone: str, evening: str, tmp_path: Path
) -> None:
    changed = datetime.fromisoformat(f"{evening}+00:00")
    first, second = (
        rung_after(tmp_path / f"{name}.db", zone, at)
        for name, at in (("changed", changed), ("plain", changed - timedelta(days=14)))
    )
    assert len(first) > 12
    assert first == second


def rung_after(path: Path, zone: str, evening: datetime) -> list[tuple[str, int, int, timedelta]]:
    """Which looks of a night rang how long after the injection, as the messages say and by the clock."""
    with closing(Village(path)) as village:
        village.clock.move_to(evening)
        village.says("ada", "catfish f 2.4 m 1.9")
        village.says("ada", zone)
        village.says("ada", "injected")
        assert village.store.farm(1).zone == zone
        village.passes(timedelta(hours=14))
        rung = [row for row in village.shown if (row.reminder or {}).get("step") == LOOKS]
        for row in rung:
            assert row.reminder and datetime.fromisoformat(row.reminder["due"]) <= row.at
        return [
            (LOOKS, row.reminder["look"], row.reminder["attempt"], row.at - evening)
            for row in rung
            if row.reminder
        ]
