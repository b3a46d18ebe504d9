"""Hostile input through the whole wire: nothing ends the asking, nobody else notices."""

from __future__ import annotations

import random
import unicodedata
from pathlib import Path
from typing import Any

import pytest

from tests.bot.hostile import Hostile, written
from tests.bot.test_wire import told_the_clock
from tests.bot.wired import Wire, wired
from tests.counting import Count

FIRST = 6000


async def fed(wire: Wire, updates: list[dict[str, Any]]) -> None:
    """They come in, are dealt with, and what is said to them goes out, whatever is refused on the way."""
    for update in updates:
        wire.api.raw(update)
    while wire.api.updates:
        await wire.turn()


def judge(wire: Wire, before: int) -> list[str]:
    """What is wrong now: rows that wait, signs that must not be shown, another farm that changed."""
    found = [f"{wire.left()} rows wait"] if wire.left() else []
    if len(wire.house.store.events(1, 1)) != before:
        found.append("another farm changed")
    for message in wire.api.sent():
        text = str(message.get("text", message.get("caption", "")))
        signs = {sign for sign in text if unicodedata.category(sign) in ("Cc", "Cs", "Cf") and sign != "\n"}
        if signs - {"\u200d", "\u200c"}:
            found.append(f"shows {signs!r}")
    return found


async def hostile_night(folder: Path, many: int, seed: int) -> tuple[list[str], int]:
    """So many updates a hundred at a time, and a farm that goes on talking between them."""
    die = random.Random(seed)
    async with wired(folder) as wire:
        wire.api.written = written
        await told_the_clock(wire)
        before, faults = len(wire.house.store.events(1, 1)), []
        hostile = Hostile(die, FIRST)
        for at in range(0, many, 50):
            await fed(wire, [hostile.update() for _ in range(min(50, many - at))])
            said = await wire.says(1, "dose?")
            if not said or "1.2 mL" not in said[0]:
                faults.append(f"not answered after {at}: {said}")
        faults += judge(wire, before)
        aside = wire.house.store.file.value("SELECT count(*) FROM inbox WHERE state = 'aside'")
    return faults, aside


async def test_hostile_updates_stop_nobody(tmp_path: Path) -> None:
    faults, _ = await hostile_night(tmp_path, 60, 20261201)
    assert faults == []


@pytest.mark.long
async def test_two_thousand_hostile_updates_stop_nobody(tmp_path: Path, counted: Count) -> None:
    many, seed = 2000, 20261202
    faults, aside = await hostile_night(tmp_path, many, seed)
    counted(updates=many, set_aside=aside, wrong=len(faults), seed=seed)
    assert faults == []
