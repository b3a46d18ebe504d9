"""Ten messages that are easily misread, in five languages: each is right, or asked with buttons that name
what it may mean. The script is tests/nights/tongues.jsonl."""

from __future__ import annotations

from typing import Any

import pytest

from tests.bot.playing import night

Fish = list[tuple[str, float]]


def _answers(clock: str) -> list[dict[str, Any]]:
    """What the bot said at an hour."""
    return [line for line in night("tongues") if line["at"][11:16] == clock]


def _fish(line: dict[str, Any]) -> Fish:
    return [(fish["sex"], fish["kg"]) for fish in line["facts"]["fish"]]


@pytest.mark.parametrize(
    ("clock", "meant"),
    [
        ("18:00", [[("f", 2.4)], [("f", 2.6)]]),  # one of two weights
        ("18:02", [[("f", 2.4)] * 3]),  # three females, 2.4 kg: each, or together
        ("18:05", [[("f", 2.4)]]),  # a female of 24 kg
    ],
)
def test_what_is_doubtful_is_asked_with_its_candidates(clock: str, meant: list[Fish]) -> None:
    asked = _answers(clock)[0]
    assert asked["kind"] == "ask"
    offered = [[(fish["sex"], fish["kg"]) for fish in way["fish"]] for way in asked["facts"]["candidates"]]
    assert offered == meant
    assert [button["action"] for button in asked["buttons"]] == [f"pick:{n + 1}" for n in range(len(meant))]


@pytest.mark.parametrize(
    ("clock", "fish"),
    [
        ("18:01", [("f", 2.9), ("m", 1.5)]),  # dos novecientos, kilo y medio
        ("18:03", [("f", 2.3), ("m", 1.5)]),  # dua kilo tiga ons, sekilo setengah
        ("18:04", [("f", 2.75), ("m", 1.8)]),  # kilo tatu kasoro robo
        ("18:06", [("f", 2.25), ("m", 1.75)]),  # sava do, paune do
        ("18:07", [("f", 2.25), ("m", 1.9)]),  # 1.75 nahi, nar 1.9
        ("18:08", [("f", 6.0)]),  # f2 6 ký: a tag, and its weight behind it
        ("18:09", [("f", 6.0), ("f", 3.4), ("m", 2.5)]),  # ba ký tư, hai ký rưỡi
    ],
)
def test_what_is_plain_in_its_language_is_read(clock: str, fish: Fish) -> None:
    sheet = next(line for line in _answers(clock) if line["kind"] == "dose-sheet")
    assert _fish(sheet) == fish
