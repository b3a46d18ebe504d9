"""What tells the operator that a unit failed: the program itself, against our own Bot API server."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from importlib.machinery import SourceFileLoader
from importlib.util import module_from_spec, spec_from_loader
from pathlib import Path
from typing import Any

import pytest

from tests.bot.botapi import TOKEN, BotApi
from tests.bot.wired import NOW

PROGRAM = Path(__file__).parent.parent / "deploy/trouble"
UNIT = "hatchbell-check.service"


@pytest.fixture
def tell(monkeypatch: pytest.MonkeyPatch) -> Callable[..., str | None]:
    monkeypatch.setattr("sys.dont_write_bytecode", True)
    loader = SourceFileLoader("trouble", str(PROGRAM))
    spec = spec_from_loader("trouble", loader)
    assert spec is not None
    module: Any = module_from_spec(spec)
    loader.exec_module(module)
    told: Callable[..., str | None] = module.tell
    return told


def settings(folder: Path, **more: str) -> dict[str, str]:
    (folder / "token").write_text(TOKEN + "\n", encoding="ascii")
    return {"CREDENTIALS_DIRECTORY": str(folder), "HATCHBELL_OPERATOR": "99", **more}


async def test_the_operator_is_told_which_unit_failed(
    tell: Callable[..., str | None], tmp_path: Path
) -> None:
    async with BotApi(now=lambda: NOW, checks=False) as api:
        told = settings(tmp_path, HATCHBELL_API_URL=api.url)
        api.say(99, "hello")  # a bot cannot write to a stranger
        assert await asyncio.to_thread(tell, UNIT, told) is None
        (message,) = api.sent(99)
    assert message["text"].startswith(f"{UNIT} failed on ")


async def test_what_went_wrong_names_no_token(tell: Callable[..., str | None], tmp_path: Path) -> None:
    async with BotApi(now=lambda: NOW, checks=False) as api:
        api.fail("sendMessage", 403)
        told = settings(tmp_path, HATCHBELL_API_URL=api.url)
        said = await asyncio.to_thread(tell, UNIT, told)
    assert said == "the messenger refused: 403"
    gone = tell(UNIT, settings(tmp_path, HATCHBELL_API_URL="http://127.0.0.1:9"))
    assert gone is not None and gone.startswith("the messenger was not reached")


def test_without_an_operator_that_is_said(tell: Callable[..., str | None], tmp_path: Path) -> None:
    assert "nobody was told" in str(tell(UNIT, settings(tmp_path, HATCHBELL_OPERATOR="")))
