"""Answers of the messenger's server that no library expects."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from telegram.error import NetworkError

from bot.answers import DEEPEST, Answers, plain
from bot.pace import backoff
from bot.telegram_app import AFTER_FAULT, Address, address
from tests.bot.test_wire import SHEET
from tests.bot.wired import wired


@pytest.mark.parametrize("text", ["", "<html>", "[]", "null", "5", '{"ok": true}', "{"])
def test_what_is_no_answer_is_a_fault_of_the_network(text: str) -> None:
    with pytest.raises(NetworkError):
        Answers.parse_json_payload(text.encode())


def test_what_cannot_be_kept_is_left_out() -> None:
    deep = "[" * 100_000 + '"a ] b"' + "]" * 100_000
    found = plain(
        '{"a": 1e999, "b": NaN, "c": "\\ud83d\\udc1f \\ud800", "d": [' + deep + ', "kept"], "e": -0.5}'
    )
    assert (found["a"], found["b"], found["c"], found["e"]) == (None, None, "\U0001f41f ?", -0.5)
    assert found["d"][1] == "kept"
    json.dumps(found, allow_nan=False, ensure_ascii=False).encode()


def test_what_is_nested_as_answers_are_stays_whole() -> None:
    nested: Any = "x"
    for _ in range(DEEPEST):
        nested = {"a": [nested]}
    assert plain(json.dumps(nested)) == nested


@pytest.mark.parametrize(
    "raw",
    [
        {"message": "x"},
        {"message": {"message_id": 1, "chat": {"id": {}}}},
        {"message": {"message_id": 1, "chat": {"id": True}}},
        {"message": {"message_id": 1, "chat": {"id": 2**70}}},
        {"callback_query": {"id": "1", "from": {"id": []}}},
        {"callback_query": {"id": "1", "from": {"id": 1}, "message": []}},
    ],
)
def test_who_has_no_number_has_no_address(raw: dict[str, Any]) -> None:
    assert address(raw) == Address(address(raw).key, "", "")
    assert address(raw).key.startswith("x:")


async def test_updates_without_numbers_are_not_asked_for_at_once_again(tmp_path: Path) -> None:
    async with wired(tmp_path) as wire:
        wire.api.say(1, SHEET)
        (update,) = wire.api.updates
        del update["update_id"]
        wire.api._getUpdates = lambda _: [update]  # type: ignore[method-assign]
        assert await wire.poller.ask(0) == AFTER_FAULT
        assert wire.left() == 1


async def test_a_press_without_a_name_stops_nobody(tmp_path: Path) -> None:
    async with wired(tmp_path) as wire:
        wire.api.raw({"callback_query": {"id": "", "from": {"id": 1}, "data": "1.0"}})
        assert await wire.says(2, SHEET)


async def test_a_page_of_a_stranger_is_no_message_sent(tmp_path: Path) -> None:
    """A captive portal that answers everything with an object of its own: tried again, and sent once."""
    async with wired(tmp_path) as wire:
        wire.api._sendMessage = lambda _: {}  # type: ignore[method-assign]
        assert await wire.says(1, SHEET) == []
        del wire.api._sendMessage
        wire.pass_time(backoff(0))
        await wire.send()
        assert len(wire.api.sent(1)) == 1
