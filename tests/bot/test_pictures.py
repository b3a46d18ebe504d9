"""Pictures: made, of the size and contrast they must have, true to their facts; and no loss without them."""

from __future__ import annotations

import ast
import asyncio
import functools
import io
import itertools
import json
import struct
import sys
import threading
from collections import Counter
from contextlib import closing
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from matplotlib.colors import to_rgb
from matplotlib.text import Text
from PIL import Image

from bot.clock import HandClock
from bot.console import chat
from bot.pictures import carrying, drawing, paper
from bot.pictures import night as of_night
from bot.pictures import season as of_season
from bot.pictures.paper import PAIRS, can_write, written
from bot.play import play
from bot.sender import AT_ONCE
from bot.store import Store
from bot.telegram_app import reader
from bot.worker import work_some
from core.assistant.pictures import MOST_DONE, MOST_WINDOWS
from core.plain import to_plain
from core.replies import NightPicture, SeasonPicture
from tests import pictures_again
from tests.bot.botapi import Upload
from tests.bot.playing import NIGHTS, night
from tests.bot.wired import wired
from tests.core.saying import EVENING, PICTURED, WORDING, ZONE, numbers_not_in_facts

SCRIPT = NIGHTS / "pictures.jsonl"
HEAVIEST, LEAST, WIDE, CONTRAST = 300_000, 28, 1080, 7.0
ALIKE = 20.0
"""CIE 1976 difference of colours below which two of them may be taken for one; 2.3 is one just seen."""
PNG = b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR" + struct.pack(">II", WIDE, WIDE)
"""As much of a picture as our server looks at."""
EXTRA = ("matplotlib", "fpdf", "xlsxwriter")


def job_of(fact: NightPicture | SeasonPicture, lang: str = "en") -> dict[str, Any]:
    """The job of a picture, as the carrier makes it."""
    facts = {key: value for key, value in to_plain(fact, ZONE).items() if key != "kind"}
    words = WORDING.letters(fact, lang=lang, zone=ZONE, now=EVENING)
    return {"picture": fact.kind.removesuffix("-picture"), "facts": facts, **words}


JOBS = {name: job_of(fact) for name, fact in PICTURED.items()}


@functools.cache
def png_of(name: str) -> bytes:
    return drawing.drawn(JOBS[name])


def in_this_process(job: carrying.Job) -> carrying.Drawn:
    return carrying.Drawn(job.name, drawing.drawn(job.told))


# How it looks ---------------------------------------------------------------------------------------------


def fullest() -> dict[str, Any]:
    """A night with as much of everything as core lets be drawn."""
    fact = PICTURED["picture of a night"]
    assert isinstance(fact, NightPicture)
    places = [replace(each, place=f"tank {n}") for n, each in enumerate(fact.water * 2)]
    windows = (*fact.windows, *(replace(each, called="F3, F4, F5, F6") for each in fact.windows))
    assert len(windows) == MOST_WINDOWS
    return job_of(
        replace(fact, water=tuple(places), windows=windows, done=fact.done[-MOST_DONE:], on_hold=False)
    )


@pytest.mark.parametrize("name", [*JOBS, "fullest"])
def test_each_picture_keeps_its_sizes(name: str) -> None:
    job = fullest() if name == "fullest" else JOBS[name]
    sheet = drawing.sheet(job)
    png = sheet.png() if name == "fullest" else png_of(name)
    wide, tall = struct.unpack(">II", png[16:24])
    assert (wide, tall) == (WIDE, round(sheet.tall))
    assert tall <= paper.TALLEST or len(job["facts"].get("done", ())) > MOST_DONE
    assert len(png) < HEAVIEST
    texts = [text for text in sheet.figure.findobj(Text) if text.get_text() and text.get_visible()]
    assert min(text.get_fontsize() * sheet.figure.dpi / 72 for text in texts) >= LEAST
    for text in texts:
        box = text.get_window_extent(sheet.canvas.get_renderer())
        assert box.x0 >= 0, text.get_text()
        assert box.x1 <= WIDE, text.get_text()
        assert box.y0 >= 0, text.get_text()
        assert box.y1 <= tall, text.get_text()


def luminance(colour: str) -> float:
    """Relative luminance (WCAG 2.2, www.w3.org/TR/WCAG22/#dfn-relative-luminance)."""
    parts = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in to_rgb(colour)]
    return sum(weight * part for weight, part in zip((0.2126, 0.7152, 0.0722), parts, strict=True))


def contrast(one: str, other: str) -> float:
    """Contrast ratio (WCAG 2.2, www.w3.org/TR/WCAG22/#dfn-contrast-ratio)."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_the_formula_of_contrast_is_that_of_the_standard() -> None:
    """Black on white is 21; #767676 is the grey that just reaches 4.5 there (WebAIM's and W3C's example)."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.01)


@pytest.mark.parametrize("pair", PAIRS)
def test_each_colour_upon_another_has_its_contrast(pair: tuple[str, str]) -> None:
    assert contrast(*pair) >= CONTRAST


@pytest.mark.parametrize("name", JOBS)
def test_nothing_has_another_colour(name: str) -> None:
    """Each pixel that is there more than a few times has a colour of the palette, or lies on the edge between
    two that are drawn one upon the other."""
    image = Image.open(io.BytesIO(png_of(name))).convert("RGB")
    pixels = Counter(image.get_flattened_data())
    shown = [each for each, many in pixels.items() if many > 100]
    assert [each for each in shown if min(off(each, pair) for pair in PAIRS) > 4] == []
    assert tuple(round(255 * part) for part in to_rgb(paper.INK)) in shown


def off(pixel: tuple[int, ...], pair: tuple[str, str]) -> float:
    """How far a colour lies off the straight line between two, in steps of 255."""
    one, other = ([255 * part for part in to_rgb(colour)] for colour in pair)
    way = [b - a for a, b in zip(one, other, strict=True)]
    along = sum((p - a) * w for p, a, w in zip(pixel, one, way, strict=True)) / sum(w * w for w in way)
    return max(abs(a + min(max(along, 0), 1) * w - p) for p, a, w in zip(pixel, one, way, strict=True))


# What dichromats see, in linear RGB, severity 1: Machado, Oliveira and Fernandes (2009), "A physiologically-
# based model for simulation of color vision deficiency", IEEE TVCG 15(6), table 1.
DICHROMATS = {
    "protan": (
        (0.152286, 1.052583, -0.204868),
        (0.114503, 0.786281, 0.099216),
        (-0.003882, -0.048116, 1.051998),
    ),
    "deutan": (
        (0.367322, 0.860646, -0.227968),
        (0.280085, 0.672501, 0.047413),
        (-0.011820, 0.042940, 0.968881),
    ),
    "tritan": (
        (1.255528, -0.076749, -0.178779),
        (-0.078411, 0.930809, 0.147602),
        (0.004733, 0.691367, 0.303900),
    ),
    "typical": ((1, 0, 0), (0, 1, 0), (0, 0, 1)),
}


def lab(colour: str, eyes: str) -> tuple[float, float, float]:
    """CIE 1976 L*a*b* of a colour as these eyes see it (sRGB, D65)."""
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in to_rgb(colour)]
    seen = [min(max(sum(a * b for a, b in zip(row, linear, strict=True)), 0), 1) for row in DICHROMATS[eyes]]
    rows = ((0.4124, 0.3576, 0.1805), (0.2126, 0.7152, 0.0722), (0.0193, 0.1192, 0.9505))
    xyz = [sum(a * b for a, b in zip(row, seen, strict=True)) for row in rows]
    x, y, z = (
        part ** (1 / 3) if part > 0.008856 else 7.787 * part + 16 / 116
        for part in (value / white for value, white in zip(xyz, (0.9505, 1.0, 1.089), strict=True))
    )
    return 116 * y - 16, 500 * (x - y), 200 * (y - z)


@pytest.mark.parametrize("eyes", DICHROMATS)
def test_blue_rust_and_ink_stay_apart_for_all_eyes(eyes: str) -> None:
    for one, other in itertools.combinations((paper.BLUE, paper.RUST, paper.INK), 2):
        apart = sum((a - b) ** 2 for a, b in zip(lab(one, eyes), lab(other, eyes), strict=True)) ** 0.5
        assert apart >= ALIKE, (one, other)


def test_green_and_red_would_not() -> None:
    """The check finds a pair that red-blind and green-blind eyes take for one."""
    far = {
        eyes: sum((a - b) ** 2 for a, b in zip(lab("#8a3000", eyes), lab("#4f5a00", eyes), strict=True))
        for eyes in DICHROMATS
    }
    assert far["typical"] ** 0.5 > 2 * ALIKE
    assert min(far["protan"], far["deutan"]) ** 0.5 < ALIKE


def test_no_colour_stands_alone() -> None:
    """Each thing that has a colour has a shape or a hatching of its own."""
    assert len({marker for _, marker, _ in of_season.LOOKS.values()}) == 3
    assert len({hatching for _, _, hatching in of_night.LOOKS.values()}) == 2
    assert len(set(of_night.MARKERS)) == 4
    assert len(set(of_season.SIGNS.values())) == 3


# True to the facts ----------------------------------------------------------------------------------------


def words_of(letters: object) -> list[str]:
    if isinstance(letters, str):
        return [letters]
    parts = letters.values() if isinstance(letters, dict) else letters if isinstance(letters, list) else ()
    return [word for part in parts for word in words_of(part)]


@pytest.mark.parametrize("name", JOBS)
def test_every_number_of_a_picture_is_a_fact(name: str) -> None:
    """But for its scales: the hours and percents under and beside it."""
    job = JOBS[name]
    words = {key: each for key, each in job["words"].items() if key not in ("ticks", "percents")}
    shown = {"newest": len(job["facts"].get("shown", ())), "facts": job["facts"]}
    fish = [len(each["tags"]) for each in job["facts"].get("done", ())]
    for word in words_of(words):
        assert numbers_not_in_facts(word, (shown, fish)) == [], word


def marks(job: dict[str, Any]) -> dict[str, Any]:
    """What is drawn in the fields of a picture, by name."""
    sheet = drawing.sheet(job)
    return {each.get_gid(): each for each in sheet.figure.findobj() if each.get_gid()}


def test_a_night_is_drawn_where_its_facts_lie() -> None:
    job = JOBS["picture of a night"]
    drawn = marks(job)
    second = lambda iso: datetime.fromisoformat(iso).timestamp()  # noqa: E731
    for n, each in enumerate(job["facts"]["water"]):
        (x,), (y,) = drawn[f"water-{n}"].get_data()
        assert (x, y) == (second(each["at"]), each["celsius"])
    for n, each in enumerate(job["facts"]["windows"]):
        for gid, ends in (("window", ("earliest_at", "latest_at")), ("most", ("most_from_at", "most_to_at"))):
            box = drawn[f"{gid}-{n}"]
            assert (box.get_x(), box.get_x() + box.get_width()) == tuple(second(each[end]) for end in ends)
    for n, each in enumerate(job["facts"]["done"]):
        assert drawn[f"done-{n}"].get_data()[0] == [second(each["at"])]


def test_a_season_is_drawn_where_its_facts_lie() -> None:
    job = JOBS["picture of a season"]
    drawn = marks(job)
    for n, each in enumerate(job["facts"]["shown"]):
        if each["percent"] is None:
            assert f"run-{n}" not in drawn
            assert drawn[f"without-{n}"].axes is not drawn["run-0"].axes
            continue
        assert [list(part) for part in drawn[f"run-{n}"].get_data()] == [[n], [each["percent"]]]
        assert (f"doubt-{n}" in drawn) == (each["low"] is not None)
        if each["low"] is not None:
            ((low, high),) = ([y for _, y in line] for line in drawn[f"doubt-{n}"].get_segments())
            assert (low, high) == (each["low"], each["high"])
    assert "mean" not in drawn
    mean = marks(JOBS["picture of a season, of the newest"])["mean"]
    assert set(mean.get_ydata()) == {45.3}


def test_the_numbers_agree_with_a_recomputation_that_knows_nothing_of_core() -> None:
    told = [line for line in night("pictures") if line["kind"].endswith("-picture")]
    assert len(told) == 6
    assert list(pictures_again.differences(SCRIPT, told)) == []
    tree = ast.parse(Path(pictures_again.__file__).read_text(encoding="utf-8"))
    names = {each.name for node in ast.walk(tree) if isinstance(node, ast.Import) for each in node.names}
    names |= {node.module or "" for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)}
    assert "scipy.stats" in names
    assert not {name.partition(".")[0] for name in names} & {"core", "bot", "tests", ""}


@pytest.mark.parametrize(
    ("place", "wrong"),
    [
        (("water", 1, "celsius"), 27.5),
        (("done", 2, "number"), 211.0),
        (("windows", 0, "most_from_at"), "2026-03-03T04:15:00+03:00"),
        (("windows", 1, "latest_at"), "2026-03-04T13:15:00+03:00"),
        (("shown", 0, "low"), 71.0),
        (("shown", 1, "percent"), 83.0),
        (("shown", 2, "high"), 90.0),
        (("counted",), 5),
    ],
)
def test_the_recomputation_finds_a_wrong_number(place: tuple[Any, ...], wrong: object) -> None:
    kind = "season-picture" if place[0] in ("shown", "counted") else "night-picture"
    line = [each for each in night("pictures") if each["kind"] == kind][1]
    spoilt = json.loads(json.dumps(line))
    inner = spoilt["facts"]
    for key in place[:-1]:
        inner = inner[key]
    assert inner[place[-1]] != wrong
    inner[place[-1]] = wrong
    assert list(pictures_again.differences(SCRIPT, [spoilt]))


# Letters --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "can"),
    [("Nguyễn", True), ("tank 1", True), ("तालाब", False), ("บ่อ", False), ("পুকুর", False), ("بركة", False)],
)
def test_what_the_font_has_not_becomes_a_plain_word(name: str, can: bool) -> None:
    assert can_write(name) is can
    words, plain = {"done": [["05:40", f"stripped ({name})"]]}, {"done": [["05:40", "stripped"]]}
    assert written(words, plain) == (words if can else plain)


def test_a_name_in_letters_without_a_font_is_not_drawn() -> None:
    fact = PICTURED["picture of a night"]
    assert isinstance(fact, NightPicture)
    done = tuple(replace(each, tags=("मादा",)) for each in fact.done if each.what == "stripped")
    sheet = drawing.sheet(job_of(replace(fact, done=done, called="तालाब")))
    drawn = [text.get_text() for text in sheet.figure.findobj(Text)]
    assert "stripped, 210 g" in drawn
    assert "African catfish, Nov 25" in drawn
    assert all(can_write(each) for each in drawn)


def test_a_dollar_is_no_formula() -> None:
    fact = PICTURED["picture of a night"]
    assert isinstance(fact, NightPicture)
    sheet = drawing.sheet(job_of(replace(fact, called="a$b$", done=fact.done[:2])))
    sheet.png()
    assert "A$b$, Nov 25" in [text.get_text() for text in sheet.figure.findobj(Text)]


# Carried --------------------------------------------------------------------------------------------------


def script(tmp_path: Path) -> Path:
    """The first run of the night, up to its first picture."""
    path = tmp_path / "script.jsonl"
    lines = SCRIPT.read_text(encoding="utf-8").splitlines()
    path.write_text("\n".join(lines[:6]) + "\n", encoding="utf-8")
    return path


def test_play_draws_it_in_a_process_of_its_own(tmp_path: Path) -> None:
    printed: list[str] = []
    play(script(tmp_path), tmp_path / "a.db", printed.append, papers=tmp_path / "papers")
    line = json.loads(printed[-1])
    path = tmp_path / "papers" / "hatchbell-night-2026-03-02.png"
    assert (line["kind"], line["picture"]) == ("night-picture", str(path))
    told = Store.open(tmp_path / "a.db", read_only=True)
    with closing(told):
        out = told.file.row("SELECT text, picture FROM outbox WHERE kind = 'night-picture'")
    assert out is not None
    assert (out["text"], out["picture"]) == (line["text"], "night/1")
    assert struct.unpack(">I", path.read_bytes()[16:20]) == (WIDE,)


def test_without_a_folder_none_is_made(tmp_path: Path) -> None:
    printed: list[str] = []
    play(script(tmp_path), tmp_path / "a.db", printed.append)
    assert json.loads(printed[-1])["picture"] is None


async def started(wire: Any, user: int = 1) -> None:
    for text in ("catfish f 2.4 3.1 m 1.9", "it is 12:00 here", "injected 11:40", "water 28"):
        await wire.says(user, text)


async def test_the_messenger_gets_a_photo(tmp_path: Path) -> None:
    async with wired(tmp_path) as wire:
        wire.sender.draw = in_this_process
        await started(wire)
        said = await wire.says(1, "picture of the night")
        (request,) = wire.api.calls("sendPhoto")
        assert isinstance(request.params["photo"], Upload)
        assert [request.params["caption"]] == said[-1:]
        assert request.params["caption"].startswith("The night of Jun 1: African catfish.\nWater 28 C.")


async def test_a_chat_that_takes_no_photo_gets_the_words(tmp_path: Path) -> None:
    async with wired(tmp_path) as wire:
        wire.sender.draw = lambda job: carrying.Drawn(job.name, b"no image")
        await started(wire)
        said = await wire.says(1, "picture of the night")
        assert said[-1].endswith("\nThe picture could not be drawn this time. All else works.")
        assert said[-1].startswith("The night of Jun 1")


async def test_pictures_are_drawn_one_by_one_and_hold_nobody_else_up(tmp_path: Path) -> None:
    """More chats than are sent to at once want one; another chat's word goes out while the first is drawn."""
    users, gate, drawing, most = range(1, AT_ONCE + 3), threading.Event(), Counter[str](), 0

    def draw(job: carrying.Job) -> carrying.Drawn:
        nonlocal most
        drawing["now"] += 1
        most = max(most, drawing["now"])
        assert gate.wait(60)
        drawing["now"] -= 1
        return carrying.Drawn(job.name, PNG)

    async with wired(tmp_path) as wire:
        wire.sender.draw = draw
        for user in users:
            await started(wire, user)
        for user in users:
            wire.api.say(user, "picture of the night")
        wire.api.say(99, "hello")
        await wire.poller.ask(0)
        while work_some(wire.house, reader(wire.me)):
            pass
        try:
            async with asyncio.timeout(30):
                while not wire.api.sent(99):
                    wire.sender.start()
                    await asyncio.sleep(0)
            assert wire.api.calls("sendPhoto") == []
        finally:
            gate.set()
        await wire.send()
        assert len(wire.api.calls("sendPhoto")) == len(users)
        assert most == 1


async def test_a_stop_waits_for_no_picture_that_is_not_begun(tmp_path: Path) -> None:
    """It is drawn after the next start."""
    async with wired(tmp_path) as wire:
        wire.sender.draw = lambda job: carrying.Drawn(job.name, PNG)
        await started(wire)
        wire.sender.stopping = True
        await wire.says(1, "picture of the night")
        assert wire.api.calls("sendPhoto") == []
        wire.sender.stopping = False
        await wire.send()
        assert len(wire.api.calls("sendPhoto")) == 1


def test_a_season_is_of_one_species_and_offers_the_others(tmp_path: Path) -> None:
    """Shares of different fish do not stand side by side: that of most runs, or the one that was named."""
    lines = SCRIPT.read_text(encoding="utf-8").splitlines()
    carp = [
        ("19:00", {"text": "common carp f 4.2 m 3.0"}),
        ("19:01", {"tap": "start"}),
        ("19:31", {"text": "injected 19:30"}),
        ("23:00", {"text": "30 of 40 hatched, of all eggs"}),
        ("23:05", {"text": "show the season"}),
        ("23:06", {"tap": "species:common-carp"}),
        ("23:07", {"text": "picture of the season for the catfish"}),
    ]
    told = [
        {"at": f"2026-04-{18 if at < '20' else 22}T{at}:00+03:00", "user": "ada", "chat": "ada", **what}
        for at, what in carp
    ]
    path = tmp_path / "two.jsonl"
    path.write_text("\n".join([*lines, *map(json.dumps, told)]), encoding="utf-8")
    printed: list[str] = []
    play(path, tmp_path / "a.db", printed.append)
    said = [json.loads(line) for line in printed]
    shown = [line for line in said if line["kind"] == "season-picture"][-3:]
    assert [line["facts"]["species"] for line in shown] == [
        "african-catfish",
        "common-carp",
        "african-catfish",
    ]
    assert [line["facts"]["counted"] for line in shown] == [4, 1, 4]
    assert shown[0]["buttons"][0]["label"] == "common carp"


def test_what_cannot_be_started_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "executable", "/nowhere/python")
    assert carrying.drawn(carrying.Job("a.png", JOBS["picture of a season"])) == carrying.Missing("failed")


def blocked(monkeypatch: pytest.MonkeyPatch) -> None:
    """As on a computer without the extra: none of it can be imported."""
    for name in EXTRA:
        monkeypatch.setitem(sys.modules, name, None)


async def test_without_the_extra_the_bot_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    blocked(monkeypatch)
    async with wired(tmp_path) as wire:
        await started(wire)
        said = await wire.says(1, "picture of the night")
        assert said[-1].endswith("\nNo picture: nothing to draw with is installed here. All else works.")
        assert wire.api.calls("sendPhoto") == []
        assert (await wire.says(1, "when do we strip?"))[-1].startswith("First look")


def test_without_the_extra_every_other_answer_is_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    blocked(monkeypatch)
    papers = tmp_path / "papers"
    printed: list[str] = []
    play(SCRIPT, tmp_path / "a.db", printed.append, papers=papers)
    there, here = night("pictures"), [json.loads(line) for line in printed]
    for one, other in zip(there, here, strict=True):
        if one["kind"].endswith("-picture"):
            assert other["text"].startswith(one["text"] + "\nNo picture: ")
        else:
            assert one == other
    assert not papers.exists()


def test_at_the_terminal_too(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    blocked(monkeypatch)
    play(script(tmp_path), tmp_path / "a.db", lambda line: None)
    monkeypatch.chdir(tmp_path)
    said: list[str] = []
    clock = HandClock(datetime.fromisoformat("2026-03-02T20:00:00+03:00"))
    chat(tmp_path / "a.db", "ada", clock, io.StringIO("picture of the night\n"), said.append)
    assert any("No picture: nothing to draw with is installed here." in line for line in said)


def test_a_button_offers_it() -> None:
    offered = [line for line in night("pictures") if any(b["action"] == "picture" for b in line["buttons"])]
    assert {line["kind"] for line in offered} == {"result", "summary"}
