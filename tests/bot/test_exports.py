"""What goes out of one farm: right, whole, of that farm alone, and harmless in a spreadsheet."""

from __future__ import annotations

import csv
import io
import json
import shutil
import zipfile
from contextlib import closing
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path
from typing import Any

import pytest

from bot import exports, outbox
from bot.clock import HandClock
from bot.console import chat
from bot.exports import tables
from bot.messages import ButtonRow, Outgoing
from bot.play import play
from bot.service import MOST_OF_A_PHOTO
from bot.store import MOST_OF_PHOTOS, Store, StoreFault
from core.records import (
    EXPORTED,
    Counted,
    CupSample,
    Drawn,
    Event,
    FishWeighed,
    FishWeight,
    Happening,
    Injected,
    LarvaeSold,
    Opened,
    Retagged,
    Retracted,
    Told,
    WaterRead,
)
from core.results import row_of
from core.runs import fold
from tests.bot.botapi import Upload
from tests.bot.playing import NIGHTS, STORE, Night, Transcript, newest, of_kind, played, script_of
from tests.bot.wired import Wire, wired

NOW = datetime(2026, 6, 10, 6, 10, 30, tzinfo=UTC)
EVIL = ("=1+1", "@x", "-cmd", "+F1", "＝1+1", " =1", "\t=1", "\r@x", "\u202e=1", "\u200b-1")
Table = list[dict[str, str]]


class Bundle:
    """An export, opened."""

    def __init__(self, content: bytes) -> None:
        self.content = content
        with zipfile.ZipFile(io.BytesIO(content)) as papers:
            assert papers.testzip() is None
            self.dates = {each.date_time for each in papers.infolist()}
            self.files = {name: papers.read(name) for name in papers.namelist()}

    def table(self, name: str) -> Table:
        text = self.files[f"{name}.csv"].decode("utf-8")
        assert text.startswith("\ufeff")
        return list(csv.DictReader(io.StringIO(text[1:], newline="")))

    @property
    def record(self) -> dict[str, Any]:
        told: dict[str, Any] = json.loads(self.files["farm.json"])
        return told

    def everything(self) -> bytes:
        return self.content + b"".join(self.files.values())


def store_of(folder: Path) -> Path:
    return folder / STORE


def founded(store: Store, key: str, name: str, offset: int = 360) -> int:
    owner = store.add_person(key, name, "en")
    farm = store.add_farm(f"{name}'s farm", offset, owner.id).id
    store.add_chat(farm, key, True)
    return farm


def told(store: Store, farm: int, *whats: Happening, run: int = 1) -> None:
    """Events of a run, a minute apart, said by the owner."""
    first = store.next_event(farm)
    start = NOW - timedelta(hours=9)
    events = [
        Event(first + n, farm, run, start + timedelta(minutes=n), start, what, store.owner(farm).id, "m:77:5")
        for n, what in enumerate(whats)
    ]
    store.add_events(farm, events)
    store.save_run(farm, row_of(fold(store.events(farm, run))), 1)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "farm.db"


# What stands in it ----------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def catfish(tmp_path_factory: pytest.TempPathFactory) -> tuple[Transcript, Bundle]:
    folder = tmp_path_factory.mktemp("catfish")
    transcript = played(script_of(NIGHTS / "catfish-stripped.jsonl"), folder)
    return transcript, Bundle(exports.bundle(store_of(folder), 1, NOW))


def test_what_was_weighed_and_drawn_comes_back_as_it_was_said(catfish: tuple[Transcript, Bundle]) -> None:
    transcript, out = catfish
    sheet = of_kind(transcript, "dose-sheet")[-1]["fish"]
    weights = {row["fish"]: float(row["weight_kg"]) for row in out.table("weights")}
    assert weights == {fish["tag"]: fish["kg"] for fish in sheet}
    assert weights == {"F1": 2.4, "F2": 3.1, "M1": 1.9}
    drawn = {row["fish"]: float(row["volume_ml"]) for row in out.table("injections")}
    assert drawn == {fish["tag"]: fish["drawn_ml"] for fish in sheet if fish["tag"] in drawn}
    assert {"F1", "F2"} <= set(drawn)
    assert {row["injected_at"] for row in out.table("injections")} == {"2026-06-01T20:30:00+06:00"}
    assert [(row["water_c"], row["source"]) for row in out.table("water")] == [("27", "measured")]


def test_eggs_counts_and_the_run_are_those_of_the_talk(catfish: tuple[Transcript, Bundle]) -> None:
    transcript, out = catfish
    grams = {one["tag"]: one["grams"] for eggs in of_kind(transcript, "eggs") for one in eggs["fish"]}
    assert {row["fish"]: float(row["eggs_g"]) for row in out.table("eggs")} == grams == {"F1": 210, "F2": 310}
    counts = {row["stage"]: row for row in out.table("counts")}
    fertilised, result = newest(transcript, "fertilised"), newest(transcript, "result")
    assert float(counts["fertilised"]["percent"]) == fertilised["percent"] == 82.0
    assert (counts["hatched"]["good"], counts["hatched"]["total"]) == ("150", "164")
    (run,) = out.table("runs")
    for column, fact in {
        "fertilised_percent": "fertilised_percent",
        "hatched_percent": "hatched_percent",
        "hours_to_strip": "hours_to_strip",
        "females_injected": "injected",
        "females_gave_eggs": "ovulated",
    }.items():
        assert float(run[column]) == result[fact], column
    assert (run["female_kg"], run["eggs_g"], run["water_c"]) == ("5.5", "520", "27")
    assert (run["larvae"], run["sold_larvae"], run["eggs_l"]) == ("", "", "")


def test_the_record_holds_all_and_says_who_told_it(catfish: tuple[Transcript, Bundle]) -> None:
    transcript, out = catfish
    record = out.record
    assert [message["facts"] for message in record["messages"]] == [line["facts"] for line in transcript]
    assert record["people"] == [{"name": "ada", "role": "owner"}]
    assert len(record["events"]) == len(out.table("events"))
    injected = next(event for event in record["events"] if event["kind"] == "injected")
    assert (injected["by"], injected["happened_at"], injected["said_at"]) == (
        *("ada", "2026-06-01T20:30:00+06:00"),
        "2026-06-01T20:33:00+06:00",
    )
    looks = [bell for bell in record["bells"] if bell["step"] == "check-females"]
    assert looks and {bell["state"] for bell in looks} <= {"answered", "withdrawn", "rung-out"}
    assert record["water"] == [
        {"run": 1, "at": "2026-06-01T20:35:00+06:00", "celsius": 27, "source": "measured", "place": None}
    ]


def test_each_file_and_column_is_explained(catfish: tuple[Transcript, Bundle]) -> None:
    _, out = catfish
    assert tuple(out.files) == EXPORTED
    readme = out.files["README.txt"].decode("utf-8")
    for name in EXPORTED[1:]:
        assert name in readme
        if name.endswith(".csv"):
            head = out.files[name].decode("utf-8-sig").split("\r\n")[0].split(",")
            assert tuple(head) == tables.columns(name)
            assert all(f"    {column}: " in readme for column in head)


def test_a_fish_keeps_its_dose_under_its_new_name(path: Path) -> None:
    """A dose by the sheet once was lost with the name it was drawn under."""
    with closing(Store.open(path)) as store:
        farm = founded(store, "ada", "Ada")
        told(
            store,
            farm,
            Opened("african-catfish", "stripped", "premix", None),
            FishWeighed((FishWeight("F1", "f", 2.4),)),
            Injected("1", ("F1",), "only", drawn=(Drawn("F1", 1.2, 24.0, "ug"),)),
            Retagged("F1", "K7"),
        )
    out = Bundle(exports.bundle(path, farm, NOW))
    (shot,) = out.table("injections")
    assert (shot["fish"], shot["volume_ml"], shot["sheet_amount"]) == ("K7", "1.2", "24")
    assert [(row["fish"], row["weight_kg"], row["takes_part"]) for row in out.table("weights")] == [
        ("K7", "2.4", "yes")
    ]


def test_what_was_taken_back_stands_among_the_events_alone(path: Path) -> None:
    with closing(Store.open(path)) as store:
        farm = founded(store, "ada", "Ada")
        told(
            store,
            farm,
            Opened("african-catfish", "stripped", "premix", None),
            FishWeighed((FishWeight("F1", "f", 24.0),)),
            Retracted((2,)),
            FishWeighed((FishWeight("F1", "f", 2.4),)),
            WaterRead(26.5, "guessed", "tank 1"),
            Counted("1", "hatched", larvae=12000.0, sample=CupSample((12.0, 14.5), 250.0, 80.0)),
            LarvaeSold(9000.0, 3.0, 0.05, "BDT"),
        )
    out = Bundle(exports.bundle(path, farm, NOW))
    assert [row["weight_kg"] for row in out.table("weights")] == ["2.4"]
    assert [row["counts"] for row in out.table("events")] == ["yes", "no", *["yes"] * 5]
    hatched, sold = out.table("counts")
    assert (hatched["larvae"], hatched["cups"], hatched["cup_ml"], hatched["percent"]) == (
        *("12000", "12 14.5", "250"),
        "",
    )
    assert (sold["larvae"], sold["price"], sold["currency"]) == ("9000", "0.05", "BDT")
    assert out.table("runs")[0]["water_c"] == "", "a guess is no reading"


def test_the_lines_of_a_bottle_add_up_to_what_is_left(path: Path) -> None:
    night = Night()("08:00", "bottle 10 ml lot A3 exp 2027-05")("17:00", "catfish f 2.4 m 1.9")
    night = night("20:00", "injected 1 ml")("20:05", "spilled 0.5 ml of hormone")
    night = night("20:10", "7 ml left in bottle A3")
    played(night.lines, path.parent)
    rows = Bundle(exports.bundle(path.parent / STORE, 1, NOW)).table("shelf")
    assert [(row["line"], row["amount"], row["left"]) for row in rows] == [
        ("came", "10", "10"),
        ("used", "-2", "8"),
        ("wasted", "-0.5", "7.5"),
        ("counted", "-0.5", "7"),
    ]
    assert {(row["bottle"], row["lot"], row["expires"], row["unit"]) for row in rows} == {
        ("1", "A3", "2027-05-31", "mL")
    }
    assert [row["run"] for row in rows] == ["", "1", "", ""]
    assert {row["opened_at"] for row in rows} == {"2026-06-01T20:00:00+06:00"}


def test_a_farm_without_a_run_has_every_file(path: Path) -> None:
    with closing(Store.open(path)) as store:
        farm = founded(store, "ada", "Ada")
    out = Bundle(exports.bundle(path, farm, NOW))
    assert tuple(out.files) == EXPORTED
    assert all(out.table(name.removesuffix(".csv")) == [] for name in EXPORTED if name.endswith(".csv"))
    assert out.record["runs"] == out.record["messages"] == []


# Harmless -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("text", EVIL)
def test_no_text_is_a_formula(path: Path, text: str) -> None:
    """OWASP, "CSV Injection": cells that begin with = + - @ are run by spreadsheets; so are their wide forms,
    and what a spreadsheet strips in front of them does not help."""
    with closing(Store.open(path)) as store:
        farm = founded(store, "ada", text)
        told(
            store,
            farm,
            Opened("african-catfish", "stripped", "premix", None),
            FishWeighed((FishWeight(text, "f", 2.4),), place=text),
            Injected("1", (text,), "only", ml=1.2),
            Told("note", text),
        )
    out = Bundle(exports.bundle(path, farm, NOW))
    for name in ("events", "weights", "injections"):
        cells = [cell for row in out.table(name) for cell in row.values()]
        assert not [cell for cell in cells if cell.strip().startswith(tuple("=+-@＝＋－＠\t\r\u202e\u200b"))]
    assert out.table("weights")[0]["fish"].startswith("'")
    assert out.record["events"][3]["what"]["text"] == text, "the record is for programs: as it was told"


def test_numbers_stay_numbers_and_words_of_all_scripts_stay(path: Path) -> None:
    name = 'রু\u200dই, "big"\nপুকুর'
    with closing(Store.open(path)) as store:
        farm = founded(store, "ada", "Ada")
        told(
            store,
            farm,
            Opened("african-catfish", "stripped", "premix", None),
            WaterRead(-0.5, place=name),
            WaterRead(0.00001),
        )
    first, second = Bundle(exports.bundle(path, farm, NOW)).table("water")
    assert (first["water_c"], first["place"], second["water_c"]) == ("-0.5", name, "0.00001")


# Of one farm alone ----------------------------------------------------------------------------------------

OURS = ("Adalind", "3.3331", "our secret pond", "ours.jpg", "our-picture")
THEIRS = ("Zebulon", "7.7771", "their secret pond", "theirs.jpg", "their-picture")
MESSENGER = ("990011223", "880022334", "-100777888", "AgACfileid")


def furnished(store: Store, key: str, marks: tuple[str, ...]) -> int:
    """A farm with one of everything, each with a mark that can be found again."""
    name, kg, place, photo, picture = marks
    farm = founded(store, key, name)
    store.add_chat(farm, f"-100777888{farm}", False)
    told(
        store,
        farm,
        Opened("african-catfish", "stripped", "premix", None),
        FishWeighed((FishWeight("F1", "f", float(kg)),), place=place),
        Told("note", f"a note of {place}"),
    )
    store.add_photo(farm, 1, f"m:{key}:9", photo, f"\x89PNG {picture}".encode("latin-1"))
    store.add_photo(farm, 1, f"m:{key}:10", photo, b"", "AgACfileid")
    store.add_advice(farm, 1, [f"advice of {place}"])
    pressed = ButtonRow("farm:9", "Zebulon's farm", {"kind": "pick-farm", "farm": 9})
    for kind, facts in (
        ("noted", {"what": place}),
        ("join-link", {"link": "our-secret-token"}),
        ("ask", {"about": "farm", "names": ["Zebulon's farm"]}),
    ):
        out = Outgoing(farm, key, NOW, kind, f"{kind} of {place}", facts, (pressed,))
        row = outbox.put(store, farm, out)
        assert row
        outbox.mark_sent(store, row, NOW, "4711")
    return farm


def test_nothing_of_another_farm_and_no_messenger_id_is_in_it(path: Path) -> None:
    with closing(Store.open(path)) as store:
        farm = furnished(store, "990011223", OURS)
        furnished(store, "880022334", THEIRS)
    out = Bundle(exports.bundle(path, farm, NOW))
    everything = out.everything()
    for mark in OURS:
        assert mark.encode() in everything
    for mark in (*THEIRS, *MESSENGER, "our-secret-token"):
        assert mark.encode() not in everything, mark


def test_people_are_told_apart_and_an_unnamed_one_is_no_number(path: Path) -> None:
    with closing(Store.open(path)) as store:
        farm = founded(store, "1111", "Ada")
        for key, name, role in (
            ("2222", "Ben", "hand"),
            ("3333", "Ben", "reader"),
            ("4444", "4444", "asked"),
        ):
            store.set_role(farm, store.add_person(key, name, "en").id, role)  # type: ignore[arg-type]
    out = Bundle(exports.bundle(path, farm, NOW))
    assert [(each["name"], each["role"]) for each in out.record["people"]] == [
        ("Ada", "owner"),
        ("Ben", "hand"),
        ("Ben (2)", "reader"),
        ("somebody", "asked"),
    ]


# Photos ---------------------------------------------------------------------------------------------------


def test_a_photo_goes_along_as_a_file(path: Path) -> None:
    with closing(Store.open(path)) as store:
        farm = furnished(store, "990011223", OURS)
    out = Bundle(exports.bundle(path, farm, NOW))
    assert out.files["photos/run1-1.png"] == b"\x89PNG our-picture".replace(b"\x89", "\x89".encode("latin-1"))
    assert [photo["file"] for photo in out.record["photos"]] == ["photos/run1-1.png", None]
    assert len(out.files) == len(EXPORTED) + 1


def test_of_too_many_photos_the_newest_go_along(path: Path) -> None:
    many = MOST_OF_PHOTOS // MOST_OF_A_PHOTO + 1
    with closing(Store.open(path)) as store:
        farm = founded(store, "ada", "Ada")
        for number in range(many):
            store.add_photo(farm, 0, "x", f"{number}.jpg", bytes(MOST_OF_A_PHOTO))
    out = Bundle(exports.bundle(path, farm, NOW))
    files = [photo["file"] for photo in out.record["photos"]]
    assert files[0] is None and None not in files[1:]
    assert len(out.content) < 50 * 1000 * 1000  # core.telegram.org/bots/api, sendDocument


# Only read ------------------------------------------------------------------------------------------------


def test_the_store_is_as_it_was_and_the_bytes_are_the_same_again(tmp_path: Path) -> None:
    played(script_of(NIGHTS / "catfish-stripped.jsonl"), tmp_path)
    before = store_of(tmp_path).read_bytes()
    first = exports.bundle(store_of(tmp_path), 1, NOW)
    moved = tmp_path / "a copy?.db"
    shutil.copyfile(store_of(tmp_path), moved)
    assert exports.bundle(moved, 1, NOW) == first
    assert store_of(tmp_path).read_bytes() == before
    local = NOW.astimezone(timezone(timedelta(hours=6)))
    assert Bundle(first).dates == {(local.year, local.month, local.day, local.hour, local.minute, 0)}


def test_a_connection_that_reads_cannot_write(path: Path) -> None:
    with closing(Store.open(path)) as store:
        farm = founded(store, "ada", "Ada")
    with closing(Store.open(path, read_only=True)) as store, pytest.raises(StoreFault):
        store.add_person("ben", "Ben", "en")
    with pytest.raises(KeyError):
        exports.bundle(path, farm + 1, NOW)
    with pytest.raises(StoreFault):
        exports.bundle(path.with_name("none.db"), farm, NOW)
    assert not path.with_name("none.db").exists()


def test_what_is_written_meanwhile_is_not_half_in_it(path: Path) -> None:
    with closing(Store.open(path)) as writing, closing(Store.open(path, read_only=True)) as reading:
        with reading.file.moment_kept():
            assert reading.person("ada") is None
            founded(writing, "ada", "Ada")
            assert reading.person("ada") is None
        assert reading.person("ada") is not None


# On every road --------------------------------------------------------------------------------------------


def waiting(store: Store, chat: str, text: str = "9 files.") -> None:
    """An export that waits to be carried to a chat."""
    row = store.chat(chat)
    assert row is not None
    out = Outgoing(row.farm, chat, NOW, "export", text, {"files": 9, "farm": "x"}, document="export")
    with store.transaction():
        outbox.put(store, row.farm, out)


@pytest.mark.parametrize("wanted", [True, False])
def test_a_script_writes_it_where_pictures_go(tmp_path: Path, path: Path, wanted: bool) -> None:
    with closing(Store.open(path)) as store:
        founded(store, "ada", "Ada")
        waiting(store, "ada")
        waiting(store, "ada")
    script = tmp_path / "script.jsonl"
    script.write_text(
        json.dumps({"at": "2026-06-10T13:00:00+06:00", "user": "ada", "chat": "ada", "text": "hello"})
    )
    printed: list[str] = []
    papers = tmp_path / "papers"
    play(script, path, printed.append, papers=papers if wanted else None)
    shown = [json.loads(line)["document"] for line in printed]
    if not wanted:
        assert set(shown) == {None}
        assert not papers.exists()
        return
    assert shown[:2] == [str(papers / "hatchbell-2026-06-10.zip"), str(papers / "hatchbell-2026-06-10-2.zip")]
    assert set(shown[2:]) <= {None}
    assert tuple(Bundle(Path(shown[0]).read_bytes()).files) == EXPORTED


def test_at_the_terminal_it_lies_in_the_current_folder(
    tmp_path: Path, path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with closing(Store.open(path)) as store:
        founded(store, "ada", "Ada")
        waiting(store, "ada")
    here = tmp_path / "here"
    here.mkdir()
    monkeypatch.chdir(here)
    printed: list[str] = []
    chat(path, "ada", HandClock(NOW), io.StringIO(""), printed.append)
    assert any("[hatchbell-2026-06-10.zip]" in line for line in printed)
    assert tuple(Bundle((here / "hatchbell-2026-06-10.zip").read_bytes()).files) == EXPORTED


async def settled(wire: Wire, chat: str) -> None:
    await wire.says(int(chat), "catfish f 2.4 3.1 m 1.9")
    waiting(wire.house.store, chat)
    await wire.send()


async def test_over_the_wire_it_is_an_upload(tmp_path: Path) -> None:
    async with wired(tmp_path) as wire:
        await settled(wire, "1")
        (request,) = wire.api.calls("sendDocument")
        file = request.params["document"]
        assert isinstance(file, Upload)
        assert (file.name, request.params["caption"]) == ("hatchbell-2026-06-10.zip", "9 files.")
        assert [float(row["weight_kg"]) for row in Bundle(file.content).table("weights")] == [2.4, 3.1, 1.9]
        assert wire.api.sent(1)[-1]["document"]["file_size"] == len(file.content)
        assert outbox.unsent(wire.house.store) == ()


async def test_whoever_asks_for_it_gets_it(tmp_path: Path) -> None:
    async with wired(tmp_path) as wire:
        await wire.says(1, "catfish f 2.4 3.1 m 1.9")
        (said,) = await wire.says(1, "export")
        (request,) = wire.api.calls("sendDocument")
        assert request.params["caption"] == said
        assert len(Bundle(request.params["document"].content).table("weights")) == 3


async def test_a_lost_upload_is_sent_again_as_a_twin_that_says_so(tmp_path: Path) -> None:
    async with wired(tmp_path) as wire:
        wire.api.lose("sendDocument", "after")
        await settled(wire, "1")
        wire.pass_time(120)
        await wire.send()
        first, again = wire.api.calls("sendDocument")
        assert first.params["document"] == again.params["document"]
        assert again.params["caption"].startswith("9 files.\n")


@pytest.mark.parametrize(("status", "words"), [(413, "Request Entity Too Large"), (400, "Bad Request: no")])
async def test_one_that_is_refused_is_given_up_and_said(tmp_path: Path, status: int, words: str) -> None:
    async with wired(tmp_path, operator="77") as wire:
        wire.api.fail("sendDocument", status, description=words)
        await settled(wire, "1")
        assert len(wire.api.calls("sendDocument")) == 1
        assert "could not send that file" in wire.api.sent(1)[-1]["text"]
        assert len(wire.api.sent(77)) == 1


async def test_who_blocked_us_gets_no_export(tmp_path: Path) -> None:
    async with wired(tmp_path) as wire:
        await wire.says(1, "catfish f 2.4 3.1 m 1.9")
        wire.api.blocked.add(1)
        waiting(wire.house.store, "1")
        await wire.send()
        assert outbox.unsent(wire.house.store) == ()
        row = wire.house.store.chat("1")
        assert row and row.unreachable_at
