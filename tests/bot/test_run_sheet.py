"""The page of a run for the wall: one page, its text, its numbers, and letters that its font has."""

from __future__ import annotations

import io
import re
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pypdf
import pytest

from bot import exports, extras
from bot.exports import run_sheet
from bot.messages import Outgoing
from bot.store import Store
from core.records import EggsOf, FishWeighed, FishWeight, Injected, Opened, Planned, Strength, Stripped, Told
from tests.bot.playing import NIGHTS, STORE, at, newest, of_kind, played, script_of
from tests.bot.test_exports import founded, told
from tests.bot.wired import wired
from tests.core.saying import numbers_not_in_facts

NOW = datetime(2026, 6, 9, 21, 10, 30, tzinfo=UTC)
A4 = (595.28, 841.89)  # points: ISO 216, 210 x 297 mm


def page(path: Path, run: int = 1, now: datetime = NOW) -> pypdf.PageObject:
    """The only page."""
    out = Outgoing(1, "ada", now, "run-sheet", "", {}, document=f"run-sheet/{run}")
    made = exports.made(path, out)
    assert made is not None and made.name == f"hatchbell-run-{run}-{now + timedelta(hours=6):%Y-%m-%d}.pdf"
    (only,) = pypdf.PdfReader(io.BytesIO(made.content)).pages
    assert (float(only.mediabox.width), float(only.mediabox.height)) == pytest.approx(A4, abs=0.1)
    return only


def text_of(path: Path, run: int = 1, now: datetime = NOW) -> str:
    """All that stands on the page, on one line."""
    return " ".join(page(path, run, now).extract_text().split())


def sizes_of(only: pypdf.PageObject) -> dict[str, float]:
    """Each text of the page, and the points of its letters."""
    found: dict[str, float] = {}

    def see(text: str, _: Any, matrix: Any, __: Any, size: float) -> None:
        if text.strip():
            found[text.strip()] = max(size, found.get(text.strip(), 0.0))

    only.extract_text(visitor_text=see)
    return found


def until(night: str, clock: str) -> list[dict[str, Any]]:
    return [line for line in script_of(NIGHTS / f"{night}.jsonl") if line["at"] <= at(clock)]


# What stands on it ----------------------------------------------------------------------------------------


def test_before_it_is_what_the_talk_said(tmp_path: Path) -> None:
    said = played(until("run-sheet", "17:03"), tmp_path)
    text = text_of(tmp_path / STORE, now=datetime(2026, 6, 1, 11, 3, tzinfo=UTC))
    for fish in newest(said, "dose-sheet")["fish"]:
        kg, ml = f"{fish['kg']:g}", f"{fish['drawn_ml']:g}"
        assert re.search(rf"{fish['tag']} {re.escape(kg)} kg {re.escape(ml)} mL", text), (fish["tag"], text)
    plan = newest(said, "plan")
    for each in plan["times"]:
        assert each["at"][11:16] in text
    assert f"Phone alarm {plan['alarm_at'][11:16]}" in text
    for words in (
        "Get ready: dry bowls",
        "Wear gloves",
        "fish is a treated fish",
        "second dose",
    ):
        assert words in text
    assert "optional" in text and "Injected at" in text


def test_every_number_on_it_is_a_fact(tmp_path: Path) -> None:
    said = played(until("run-sheet", "17:03"), tmp_path)
    text = text_of(tmp_path / STORE, now=datetime(2026, 6, 1, 11, 3, tzinfo=UTC))
    facts = [line["facts"] for line in said if line["kind"] in ("dose-sheet", "plan", "run-sheet")]
    assert numbers_not_in_facts(text, [*facts, {"day": "2026-06-01"}]) == []


def test_after_the_needle_it_says_what_went_in_and_what_comes(tmp_path: Path) -> None:
    played(until("run-sheet", "20:35"), tmp_path)
    text = text_of(tmp_path / STORE, now=datetime(2026, 6, 1, 14, 35, tzinfo=UTC))
    assert "F1, shot 1: 1.2 mL" in text and "look at the females" in text
    assert "Draw" not in text and "Get ready" not in text


def test_after_it_is_the_card(tmp_path: Path) -> None:
    said = played(script_of(NIGHTS / "run-sheet.jsonl"), tmp_path)
    text = text_of(tmp_path / STORE)
    result = newest(said, "result")
    assert f"{result['hatched_percent']:g} % hatched, not told of what" in text
    assert f"Fertilised {result['fertilised_percent']:g} %" in text
    assert "F2, shot 1: 1.6 mL" in text
    assert [fact["after"] for fact in of_kind(said, "run-sheet")] == [False, False, True]


def test_it_is_read_at_two_metres(tmp_path: Path) -> None:
    """DejaVu's capitals are 0.73 of its size high; 2 m over 300 are 6.7 mm for what is seen at a glance, over
    400 are 5 mm (rules of thumb for signs: 1/200 to 1/400 of the distance)."""
    played(until("run-sheet", "17:03"), tmp_path)
    sizes = sizes_of(page(tmp_path / STORE, now=datetime(2026, 6, 1, 11, 3, tzinfo=UTC)))
    assert min(sizes["20:30"], sizes["F1"], sizes["F2"]) * 0.73 * 25.4 / 72 >= 5


# Always one page ------------------------------------------------------------------------------------------


def many(path: Path, fish: int, notes: int = 0, tag: Callable[[int], str] = "K{}".format) -> None:
    with closing(Store.open(path)) as store:
        farm = founded(store, "ada", "Ada")
        weights = tuple(FishWeight(tag(n), "m" if n % 5 == 0 else "f", 2 + n / 20) for n in range(fish))
        strength = Strength(20, 10)
        told(
            store,
            farm,
            Opened("african-catfish", "stripped", "premix", strength),
            FishWeighed(weights),
            Planned(NOW + timedelta(hours=3), agreed=True),
            *(Told("note", "a long note, " * 20) for _ in range(notes)),
        )


@pytest.mark.parametrize("fish", [1, 2, 8, 12, 30, 60])
def test_it_is_one_page_with_any_number_of_fish(fish: int, tmp_path: Path) -> None:
    many(tmp_path / "farm.db", fish)
    only = page(tmp_path / "farm.db")
    text = only.extract_text().split()
    assert [f"K{n}" for n in range(fish) if f"K{n}" not in text] == []
    lowest: list[float] = []
    only.extract_text(visitor_text=lambda text, _, m, __, ___: lowest.append(m[5]) if text.strip() else None)
    assert min(lowest) > 12, "nothing stands below the edge"


def test_a_shot_for_each_of_thirty_fish_is_one_page_too(tmp_path: Path) -> None:
    path = tmp_path / "farm.db"
    with closing(Store.open(path)) as store:
        farm = founded(store, "ada", "Ada")
        tags = tuple(f"K{n}" for n in range(30))
        told(
            store,
            farm,
            Opened("african-catfish", "stripped", "premix", Strength(20, 10)),
            FishWeighed(tuple(FishWeight(tag, "f", 2.5) for tag in tags)),
            Injected("1", tags, "priming", ml=0.1),
            Injected("1", tags, "resolving", ml=1.1),
            Stripped("1", tuple(EggsOf(tag, 200.0) for tag in tags)),
        )
    text = text_of(path)
    assert all(f"{tag}, shot 2" in text for tag in tags)


# Letters --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["মা-৭", "แม่ปลา", "मादा", "🐟", "魚"])
def test_a_name_that_the_letters_lack_is_a_neutral_one(name: str, tmp_path: Path) -> None:
    many(tmp_path / "farm.db", 3, tag=lambda n: f"{name}{n}")
    text = text_of(tmp_path / "farm.db")
    assert "fish 1 2 kg" in text and "fish 3 2.1 kg" in text
    assert not set(name) & set(text), "no sign of it, so no box"


def test_names_of_many_latin_letters_stay(tmp_path: Path) -> None:
    many(tmp_path / "farm.db", 2, tag=lambda n: f"Mẹ{n}ñçŁ")
    assert "Mẹ1ñçŁ" in text_of(tmp_path / "farm.db")


# Where it cannot be made ----------------------------------------------------------------------------------


@pytest.fixture
def bare(monkeypatch: pytest.MonkeyPatch) -> None:
    """A computer without the extra."""
    monkeypatch.setattr(extras, "MADE_BY", {"pdf": ("no_such_module",), "xlsx": ("no_such_module",)})
    extras.kinds.cache_clear()
    yield
    extras.kinds.cache_clear()


@pytest.mark.usefixtures("bare")
def test_without_the_extra_it_is_said_what_can_be_had_instead(tmp_path: Path) -> None:
    said = played(until("run-sheet", "17:03"), tmp_path)
    assert newest(said, "run-sheet")["missing"] is True
    assert "CSV" in said[-1]["text"] and said[-1]["document"] is None
    (tmp_path / "season").mkdir()
    said = played(script_of(NIGHTS / "season-table.jsonl"), tmp_path / "season")
    assert [(fact["form"], fact["missing"]) for fact in of_kind(said, "season-table")] == [
        *(("csv", False), ("csv", True)),
    ]


def test_the_same_store_gives_the_same_page(tmp_path: Path) -> None:
    many(tmp_path / "farm.db", 5)
    with closing(Store.open(tmp_path / "farm.db", read_only=True)) as store:
        out = Outgoing(1, "ada", NOW, "run-sheet", "", {}, document="run-sheet/1")
        assert run_sheet.written(store, out, 1) == run_sheet.written(store, out, 1)


async def test_over_the_wire_it_goes_out_with_its_words(tmp_path: Path) -> None:
    async with wired(tmp_path) as wire:
        await wire.says(1, "catfish f 2.4 3.1 m 1.9")
        await wire.says(1, "print the run sheet")
        (sent,) = [call.params for call in wire.api.calls("sendDocument")]
        assert sent["document"].name.endswith(".pdf") and sent["document"].content.startswith(b"%PDF")
        assert sent["caption"].startswith("One page for the wall")
