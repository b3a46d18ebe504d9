"""The command line in process: what it prints, and the exit statuses of the contract."""

import dataclasses
import json
import sqlite3
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from bot import knowledge, migrations
from bot.cli import cli
from bot.store import Store
from core.errors import NoFigure
from tests.bot import contract

NIGHT = [
    {"at": "2026-03-01T18:00:00+03:00", "user": "ada", "text": "catfish f 2.4 m 1.9"},
    {"at": "2026-03-01T20:30:00+03:00", "user": "ada", "text": "injected"},
]


def run(*words: str, said: str | bytes | None = None) -> Result:
    return CliRunner().invoke(cli, list(words), input=said)


def script(folder: Path, *lines: dict[str, Any] | str) -> str:
    path = folder / "night.jsonl"
    path.write_text("\n".join(line if isinstance(line, str) else json.dumps(line) for line in lines))
    return str(path)


def refused(result: Result, status: int, *words: str) -> None:
    """One line on standard error with these words, that exit status, and no trace."""
    assert result.exit_code == status
    assert len(result.stderr.strip().splitlines()) == 1
    for word in words:
        assert word in result.stderr


# play ------------------------------------------------------------------------------------------------------


def test_a_bad_line_keeps_what_was_played_before(tmp_path: Path) -> None:
    database = tmp_path / "farm.db"
    result = run("play", script(tmp_path, *NIGHT, "{not json"), "--db", str(database))
    refused(result, 2, "line 3")
    kinds = [json.loads(line)["kind"] for line in result.stdout.splitlines()]
    assert kinds == ["dose-sheet", "strip-forecast", "plan"]
    store = Store.open(database, must_exist=True)
    assert len(store.events(1, 1)) == 3
    store.close()


def test_a_script_that_is_not_there_is_bad_use(tmp_path: Path) -> None:
    refused(run("play", str(tmp_path / "none.jsonl")), 2)


def test_without_a_database_nothing_stays(tmp_path: Path) -> None:
    assert run("play", script(tmp_path, *NIGHT)).exit_code == 0
    assert [path.name for path in tmp_path.iterdir()] == ["night.jsonl"]


def test_a_torn_file_is_refused_and_left_alone(tmp_path: Path) -> None:
    torn = tmp_path / "farm.db"
    torn.write_bytes(b"this is no database, but it is long enough to look like one" * 40)
    before = torn.read_bytes()
    refused(run("play", script(tmp_path, *NIGHT), "--db", str(torn)), 4, "farm.db")
    assert torn.read_bytes() == before


def test_a_newer_file_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "farm.db"
    Store.open(path).close()
    with sqlite3.connect(path) as newer:
        newer.execute(f"PRAGMA user_version = {len(migrations.STEPS) + 1}")
    newer.close()
    refused(run("chat", "--db", str(path), said=""), 4, "farm.db")


def test_a_locked_file_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "farm.db"
    Store.open(path).close()
    opened = Store.open
    monkeypatch.setattr(Store, "open", lambda path, **more: opened(path, busy_ms=10, **more))
    holder = sqlite3.connect(path, isolation_level=None)
    holder.execute("BEGIN IMMEDIATE")
    try:
        refused(run("play", script(tmp_path, *NIGHT), "--db", str(path)), 4)
    finally:
        holder.close()


def test_a_full_disk_writes_nothing_by_halves(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """SQLite's own limit of pages stands for the full disk: the same SQLITE_FULL."""
    path = tmp_path / "farm.db"
    Store.open(path).close()
    opened = Store.open

    def small(path: Path, **more: Any) -> Store:
        store = opened(path, **more)
        store.file.value("PRAGMA max_page_count = 1")  # no page more than there are
        return store

    monkeypatch.setattr(Store, "open", small)
    long_night = [dict(NIGHT[0], text=f"catfish f {2 + n / 100:.2f} m {1 + n / 100:.2f}") for n in range(90)]
    refused(run("play", script(tmp_path, *long_night), "--db", str(path)), 4)
    monkeypatch.undo()
    store = Store.open(path, must_exist=True)
    told = store.file.rows("SELECT DISTINCT source FROM events")
    answered = store.file.rows("SELECT key FROM inbox WHERE state = 'done'")
    assert len(told) > 0
    assert {row["source"] for row in told} == {row["key"] for row in answered}
    store.close()


def test_a_folder_that_is_not_there_is_unreadable(tmp_path: Path) -> None:
    refused(run("play", script(tmp_path, *NIGHT), "--db", str(tmp_path / "none" / "farm.db")), 4)


# read ------------------------------------------------------------------------------------------------------


def read(*lines: str) -> list[dict[str, Any]]:
    result = run("read", said="\n".join(lines))
    assert result.exit_code == 0
    return [json.loads(line) for line in result.stdout.splitlines()]


def test_messages_are_read_in_order_with_their_ids() -> None:
    told = read(
        json.dumps({"id": "a", "text": "mrigal: female 1480, male 990"}),
        json.dumps({"id": 7, "text": "28", "lang": "en", "context": {"awaiting": "temperature", "odd": 1}}),
    )
    assert [line["id"] for line in told] == ["a", 7]
    assert told[0]["reading"]["intent"] == "weigh"
    assert told[0]["reading"]["species"] == "mrigal"
    assert told[1]["reading"]["celsius"] == 28
    assert [line["also"] for line in told] == [[], []]


@pytest.mark.parametrize(
    "line",
    [
        "nonsense",
        "[]",
        "7",
        '{"id": "x"}',
        '{"id": "x", "text": 5}',
        '{"text": "f 2", "context": []}',
        "[" * 3000,
    ],
)
def test_a_line_that_is_no_message_is_told_and_reading_goes_on(line: str) -> None:
    bad, good = read(line, json.dumps({"id": "next", "text": "help"}))
    assert bad["reading"] is None
    assert bad["error"]
    assert bad["also"] == []
    assert good == {"id": "next", "reading": {"intent": "help"}, "also": []}


def test_bytes_that_are_no_text_do_not_stop_the_reader() -> None:
    result = run("read", said=b'\xff\xfe{"id"\n{"id": 1, "text": "done"}\n')
    assert result.exit_code == 0
    first, second = (json.loads(line) for line in result.stdout.splitlines())
    assert first["reading"] is None
    assert second["reading"]["intent"] == "done"


# forecast --------------------------------------------------------------------------------------------------


def test_a_forecast_has_the_keys_of_the_contract() -> None:
    result = run("forecast", "strip", "--species", "african-catfish", "--celsius", "26", "--json")
    assert result.exit_code == 0
    told = json.loads(result.stdout)
    assert {
        "species",
        "what",
        "preparation",
        "celsius",
        "earliest_hours",
        "likely_hours",
        "latest_hours",
    } <= set(told)
    assert {"give_up_hours", "basis", "mark", "source_celsius", "note"} <= set(told)
    # Okere et al. 2015: 613 minutes at 26 C after a premix
    assert told["earliest_hours"] < 613 / 60 < told["latest_hours"]
    assert told["give_up_hours"] == pytest.approx(told["latest_hours"] + 2)


ANSWERING = (
    10  # of the twelve species of the contract, for each of the two; as many as there are, while fewer
)
CARDED = sorted(contract.SPECIES & knowledge.cards().keys())
EVENTS = ("strip", "hatch")


def asked(what: str, slug: str, *words: str) -> Result:
    return run("forecast", what, "--species", slug, *words)


def at_its_best(slug: str) -> str:
    return str(knowledge.cards()[slug].assumed_celsius)


@pytest.mark.parametrize("what", EVENTS)
def test_most_species_are_answered_at_their_best_temperature(what: str) -> None:
    """The others say in one line what is not known of which fish."""
    results = {slug: asked(what, slug, "--celsius", at_its_best(slug)) for slug in CARDED}
    answered = [slug for slug, result in results.items() if result.exit_code == 0]
    assert len(answered) >= min(ANSWERING, len(CARDED)), results.keys() - answered
    for slug in results.keys() - answered:
        refused(results[slug], 3, unknown(what, slug))


@pytest.mark.parametrize("what", EVENTS)
def test_a_species_without_hours_says_what_is_not_known(what: str, monkeypatch: pytest.MonkeyPatch) -> None:
    bare = dataclasses.replace(knowledge.cards()["common-carp"], strip=(), hatch=None)
    monkeypatch.setattr(knowledge, "cards", lambda: {"common-carp": bare})
    refused(asked(what, "common-carp", "--celsius", "23"), 3, unknown(what, "common-carp"))


def unknown(what: str, slug: str) -> str:
    return knowledge.wording().fault(NoFigure(f"no-{what}-figure", species=slug), "en")


def is_flat(what: str, slug: str) -> bool:
    card = knowledge.cards()[slug]
    curve = card.hatch if what == "hatch" else card.strip_curve(card.usual_preparation)[0]
    return curve is not None and curve.flat_hours is not None


@pytest.mark.parametrize("what", EVENTS)
@pytest.mark.parametrize("slug", CARDED)
def test_a_cold_night_moves_the_window_later(tmp_path: Path, slug: str, what: str) -> None:
    """Water at its best and a night at the cold end of the source; only a flat curve knows no night."""
    steady = asked(what, slug, "--celsius", at_its_best(slug), "--json")
    if steady.exit_code == 3:
        refused(steady, 3, unknown(what, slug))
        return
    (cool, warm), best = json.loads(steady.stdout)["source_celsius"], float(at_its_best(slug))
    mild = min(max(best, cool + 1), warm)

    def window(*celsius: float) -> dict[str, Any]:
        hours = ("01T20", "02T00", "02T04", "02T08", "02T12", "02T16", "02T20")
        rows = [f"2026-03-{hour}:00:00+03:00,{each}" for hour, each in zip(hours, celsius, strict=True)]
        log = tmp_path / "water.csv"
        log.write_text("\n".join(["at,celsius", *rows, ""]))
        result = asked(what, slug, "--temps", str(log), "--from", "2026-03-01T20:00:00+03:00", "--json")
        assert result.exit_code == 0
        return json.loads(result.stdout)  # type: ignore[no-any-return]

    even = window(mild, mild, mild, mild, mild, mild, mild)
    cold = window(mild, cool, cool, mild, mild, mild, mild)
    for end in ("earliest", "likely", "latest"):
        early, late = (datetime.fromisoformat(told[f"{end}_at"]) for told in (even, cold))
        fewer, more = (told[f"{end}_hours"] for told in (even, cold))
        assert (early == late and fewer == more) if is_flat(what, slug) else (early < late and fewer < more)
    assert even["earliest_at"].endswith("+03:00")


@pytest.mark.parametrize(
    ("words", "status"),
    [
        (["--species", "african-catfish", "--celsius", "12"], 3),
        (["--species", "tilapia", "--celsius", "26"], 2),
        (["--species", "african-catfish", "--celsius", "nan"], 2),
        (["--species", "african-catfish"], 2),
        (["--species", "african-catfish", "--celsius", "26", "--preparation", "magic"], 2),
        (["--species", "african-catfish", "--temps", "none.csv", "--from", "2026-03-01T20:00:00+03:00"], 2),
        (["--species", "african-catfish", "--temps", "none.csv"], 2),
    ],
)
def test_a_forecast_that_cannot_be(words: list[str], status: int) -> None:
    refused(run("forecast", "strip", *words), status)


@pytest.mark.parametrize(
    "rows",
    ["2026-03-01T20:00:00,27", "2026-03-01T20:00:00+03:00,warm", "2026-03-01T20:00:00+03:00", "x,27"],
)
def test_a_bad_row_of_the_log_is_named(tmp_path: Path, rows: str) -> None:
    log = tmp_path / "water.csv"
    log.write_text(f"at,celsius\n{rows}\n")
    words = ["forecast", "strip", "--species", "african-catfish", "--temps", str(log)]
    refused(run(*words, "--from", "2026-03-01T20:00:00+03:00"), 2, "line 2")


# chat ------------------------------------------------------------------------------------------------------


def test_a_pipe_talks_to_its_end(tmp_path: Path) -> None:
    """On a store whose newest row is of an afternoon to come: the chat's clock starts there."""
    database = tmp_path / "farm.db"
    greeted = {"at": "2126-03-01T15:00:00+03:00", "user": "ada", "text": "hello"}
    assert run("play", script(tmp_path, greeted), "--db", str(database)).exit_code == 0
    said = "catfish f 2.4 m 1.9\n/1\n\n/next\n/9\nwhat next?\n"
    result = run("chat", "--db", str(database), "--as", "ada", said=said)
    assert result.exit_code == 0
    assert "F1 2.4 kg: 1.2 mL" in result.stdout
    # /1 was Start, /next came to the first bell: which one that is, the hour of this computer's day tells
    assert "Get ready" in result.stdout or "Inject now." in result.stdout
    assert "There is no button /9." in result.stdout
    assert result.stderr == ""


def test_chat_goes_on_as_the_newest_private_chat(tmp_path: Path) -> None:
    database = tmp_path / "farm.db"
    assert run("play", script(tmp_path, *NIGHT), "--db", str(database)).exit_code == 0
    result = run("chat", "--db", str(database), said="what did I give F1?\n")
    assert "You are ada." in result.stdout
    assert "F1, shot 1" in result.stdout


def test_chat_never_starts_before_the_newest_row(tmp_path: Path) -> None:
    """A computer without a clock chip starts in the past: the night goes on where it was."""
    late = [dict(line, at=line["at"].replace("2026", "2096")) for line in NIGHT]
    database = tmp_path / "farm.db"
    assert run("play", script(tmp_path, *late), "--db", str(database)).exit_code == 0
    assert run("chat", "--db", str(database), said="27\n").exit_code == 0
    store = Store.open(database, must_exist=True)
    newest = store.newest_time()
    store.close()
    assert newest is not None
    assert newest >= datetime(2096, 3, 1, 17, 30, tzinfo=UTC)


def test_a_new_file_is_for_its_owner_alone(tmp_path: Path) -> None:
    assert run("chat", "--db", str(tmp_path / "farm.db"), said="help\n").exit_code == 0
    assert (tmp_path / "farm.db").stat().st_mode & 0o077 == 0
