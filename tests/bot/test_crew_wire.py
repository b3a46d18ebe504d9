"""A bell for several people over the wire: who has the night, who is called after them, who hears of the answer.

The farm, its hand, its room and the night's duty stand in the store before the wire is there. Nobody waits: the
clock that is handed in is moved.
"""

from __future__ import annotations

import json
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, closing
from pathlib import Path
from typing import Any

from bot.store import moment
from tests.bot.village import MINUTE, Village
from tests.bot.wired import Wire, labels, wired

ADA, BEN, CHI, ROOM = 1, 2, 3, -100200
EVERYWHERE = (ADA, BEN, CHI, ROOM)
NOT_YET = "Not yet"
NAMES = {ADA: "Ada", BEN: "Ben", CHI: "Chi"}
APART = 120
"""Seconds between the attempts of a bell that wakes."""


def night_before(village: Village) -> None:
    """A room's farm: ada founds it, ben and chi are its hands. All have chats of their own and want bells there
    too. Fish are injected, and ben has the night."""

    def says(user: int, text: str, chat: int) -> None:
        village.says(str(user), text, str(chat), name=NAMES[user])

    says(ADA, "catfish f 2.4 3.1 m 1.9", ROOM)
    for user in (BEN, CHI):
        says(user, "water 27", ROOM)
        village.presses(str(ADA), "yes", str(ROOM))
    for user in NAMES:
        says(user, "hello", user)
        says(user, "ring me privately too", ROOM)
    says(ADA, "injected", ROOM)
    says(ADA, "Ben has the night", ROOM)


@asynccontextmanager
async def at_the_first_look(folder: Path) -> AsyncIterator[Wire]:
    """The wire over that store, at the hour of the first look; nobody has heard anything over it yet."""
    with closing(Village(folder / "farm.db")) as village:
        night_before(village)
        look = village.store.file.value("SELECT min(due_at) FROM reminders WHERE step = 'check-females'")
        village.passes(moment(look) - village.clock.now() - MINUTE)  # past the evening line
    async with wired(folder, at=moment(look)) as wire:
        yield wire


async def rings(wire: Wire, attempt: int) -> set[int]:
    """The chats where the bell rings at this attempt, the clock moved on to it."""
    before = {chat: len(wire.api.sent(chat)) for chat in EVERYWHERE}
    if attempt > 1:
        wire.pass_time(APART)
    assert wire.ring() == 1
    await wire.send()
    return {chat for chat, count in before.items() if len(wire.api.sent(chat)) > count}


def newest(wire: Wire, chat: int) -> dict[str, Any]:
    return wire.api.sent(chat)[-1]


def looks(wire: Wire) -> list[Any]:
    return wire.house.store.file.rows("SELECT * FROM events WHERE kind = 'not-yet' ORDER BY id")


def answered(wire: Wire, chat: int) -> list[dict[str, Any]]:
    """The facts of what this chat was told of who answered, if it was sent."""
    rows = wire.house.store.file.rows(
        "SELECT facts FROM outbox WHERE kind = 'answered' AND chat = ? AND state = 'sent' ORDER BY id",
        str(chat),
    )
    return [json.loads(row["facts"]) for row in rows]


async def test_a_bell_calls_the_next_until_somebody_answers_and_the_others_hear_who(tmp_path: Path) -> None:
    async with at_the_first_look(tmp_path) as wire:
        assert [await rings(wire, attempt) for attempt in (1, 2)] == [{BEN}, {BEN}]
        assert [await rings(wire, attempt) for attempt in (3, 4)] == [{BEN, CHI}, {BEN, CHI}]
        assert "Ben" in newest(wire, CHI)["text"]
        assert await rings(wire, 5) == {ADA, BEN, CHI, ROOM}
        wire.pass_time(30)
        said = await wire.presses(ADA, NOT_YET)
        assert said
        for chat in (BEN, CHI, ROOM):
            assert [(fact["by"], fact["step"]) for fact in answered(wire, chat)] == [("Ada", "check-females")]
        assert answered(wire, ADA) == []
        assert "Ada" in newest(wire, BEN)["text"]
        wire.pass_time(APART)
        assert wire.ring() == 0
        for chat in EVERYWHERE:
            assert not [each for each in wire.api.sent(chat) if NOT_YET in labels(each)], (
                "a button still hangs"
            )


async def test_a_bell_nobody_answers_rings_six_times_and_no_more(tmp_path: Path) -> None:
    async with at_the_first_look(tmp_path) as wire:
        rung = [await rings(wire, attempt) for attempt in range(1, 7)]
        assert rung[5] == set(EVERYWHERE)
        wire.pass_time(APART)
        assert wire.ring() == 0


async def test_of_two_answers_in_one_second_one_is_recorded_and_both_are_told(tmp_path: Path) -> None:
    async with at_the_first_look(tmp_path) as wire:
        for attempt in (1, 2, 3):
            await rings(wire, attempt)
        shown = {chat: dict(newest(wire, chat)) for chat in (CHI, BEN)}
        before = {chat: len(wire.api.sent(chat)) for chat in (CHI, BEN)}
        had = len(looks(wire))
        for chat in (CHI, BEN):
            wire.api.press(chat, shown[chat], NOT_YET)
        await wire.turn()
        assert len(looks(wire)) == had + 1
        assert looks(wire)[-1]["by"] == wire.house.store.person(str(CHI)).id  # type: ignore[union-attr]
        assert all(len(wire.api.sent(chat)) > before[chat] for chat in (CHI, BEN))
        assert {fact["by"] for fact in answered(wire, BEN)} == {"Chi"}
        assert answered(wire, CHI) == []
        assert len(wire.api.calls("answerCallbackQuery")) == 2


async def test_two_answers_in_words_are_one_look(tmp_path: Path) -> None:
    """Both reply to the bell, for both have a farm of their own beside."""
    async with at_the_first_look(tmp_path) as wire:
        for attempt in (1, 2, 3):
            await rings(wire, attempt)
        had = len(looks(wire))
        before = {chat: len(wire.api.sent(chat)) for chat in (CHI, BEN)}
        for user in (BEN, CHI):
            wire.api.say(user, "not yet", reply_to_message=newest(wire, user))
        await wire.turn()
        assert len(looks(wire)) == had + 1
        assert all(len(wire.api.sent(chat)) > before[chat] for chat in (CHI, BEN))
        assert {fact["by"] for fact in answered(wire, CHI)} == {"Ben"}
