"""`backup`, `restore` and `check`: what is copied, what comes back, what is said."""

from __future__ import annotations

import asyncio
import json
import os
import re
import signal
import sqlite3
import stat
from collections.abc import Callable, Iterator
from contextlib import ExitStack, closing
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from bot import backup, check, clock, inbox, knowledge, migrations, outbox, restore
from bot import cli as cli_module
from bot import store as store_module
from bot.alone import alone, is_served
from bot.cli import cli
from bot.clock import HandClock, SystemClock
from bot.doors import Doors
from bot.house import House
from bot.messages import Incoming, Outgoing
from bot.serve import Parts
from bot.store import SqliteFile, Store, StoreFault, stamp
from core.records import Bell, StepKey
from tests.bot.playing import played
from tests.bot.test_serve import GLANCE, now, served
from tests.counting import Count

NOW = datetime(2026, 6, 3, 4, 30, tzinfo=UTC)
HOUR, DAY = timedelta(hours=1), timedelta(days=1)
NIGHT: list[dict[str, Any]] = [
    {"at": "2026-06-01T19:00:00+03:00", "user": "ada", "text": "catfish f 2.4 m 1.9"},
    {"at": "2026-06-01T20:30:00+03:00", "user": "ada", "text": "injected"},
]


@pytest.fixture
def db(tmp_path: Path) -> Path:
    """A farm with an open run, as a script left it."""
    (tmp_path / "home").mkdir()
    played(NIGHT, tmp_path / "home")
    (tmp_path / "home" / "script.jsonl").unlink()
    path = (tmp_path / "home" / "store.db").rename(tmp_path / "home" / "farm.db")
    path.chmod(0o600)
    return path


def told(store: Store, number: int, at: datetime = NOW) -> None:
    """One more message in, in a commit of its own."""
    incoming = Incoming(
        key=f"k{number}",
        what="text",
        chat="ada",
        private=True,
        user="ada",
        lang="en",
        at=at,
        offset_minutes=180,
        text=str(number),
    )
    with store.transaction():
        inbox.receive(store, incoming)


def keys(path: Path) -> set[str]:
    with closing(sqlite3.connect(path)) as file:
        return {key for (key,) in file.execute("SELECT key FROM inbox")}


def run(*words: str) -> Result:
    return CliRunner().invoke(cli, list(words))


def refused(result: Result, status: int, *words: str) -> None:
    assert (result.exit_code, len(result.stderr.strip().splitlines())) == (status, 1)
    for word in words:
        assert word in result.stderr


def is_our_copy(path: Path) -> bool:
    return re.fullmatch(r"hatchbell-\d{8}T\d{6}Z\.db", path.name) is not None


# backup ----------------------------------------------------------------------------------------------------


def test_a_copy_made_while_somebody_writes_has_all_that_was_there_before(
    db: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A message is committed between any two pages: none waits for the copy, which is of one moment."""
    monkeypatch.setattr(store_module, "PAGES_AT_ONCE", 1)
    with closing(Store.open(db, busy_ms=0)) as serving:
        for number in range(300):
            told(serving, number)
        before = keys(db)
        written = iter(range(300, 10_000))
        kept = backup.backup(db, tmp_path / "to", 3, NOW, lambda: told(serving, next(written)))
        during = keys(db) - before
    assert len(during) > 20
    assert keys(kept.path) == before
    assert kept.path.name == "hatchbell-20260603T043000Z.db"
    assert (kept.runs, kept.newest, kept.size) == (1, NOW, kept.path.stat().st_size)
    assert stat.S_IMODE(kept.path.stat().st_mode) == 0o600
    assert [path.name for path in (tmp_path / "to").iterdir()] == [kept.path.name]  # no log beside it
    assert backup.noted(db) == backup.Noted(NOW, kept.path)


def test_a_full_disk_leaves_no_half_copy(db: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """SQLite's own limit of pages stands for the full disk: the same SQLITE_FULL."""
    older = backup.backup(db, tmp_path / "to", 1, NOW - DAY)
    fill = SqliteFile._fill

    def small(self: SqliteFile, copy: sqlite3.Connection, step: Callable[[], None] | None) -> None:
        copy.execute("PRAGMA max_page_count = 3")
        fill(self, copy, step)

    monkeypatch.setattr(SqliteFile, "_fill", small)
    refused(run("backup", "--db", str(db), "--to", str(tmp_path / "to"), "--keep", "1"), 4, "disk is full")
    assert list((tmp_path / "to").iterdir()) == [older.path]
    noted = backup.noted(db)
    assert noted is not None
    assert noted.at == NOW - DAY


def test_a_torn_database_gives_no_copy(db: Path, tmp_path: Path) -> None:
    """Pages that are no pages any more are found in the copy, and the good one of yesterday stays."""
    older = backup.backup(db, tmp_path / "to", 1, NOW - DAY)
    tear(db)
    refused(
        run("backup", "--db", str(db), "--to", str(tmp_path / "to"), "--keep", "1"), 4, "damaged", "farm.db"
    )
    assert list((tmp_path / "to").iterdir()) == [older.path]


def tear(path: Path) -> None:
    """Most of the file is noise; its first pages, with schema and version, are left."""
    with closing(sqlite3.connect(path)) as file:
        file.execute("PRAGMA journal_mode = DELETE")
    size = path.stat().st_size
    with path.open("r+b") as file_:
        file_.seek(size // 4)
        file_.write(bytes(range(256)) * ((size - size // 4) // 256))


def test_rows_missing_from_a_copy_are_found(
    db: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    fill = SqliteFile._fill

    def lossy(self: SqliteFile, copy: sqlite3.Connection, step: Callable[[], None] | None) -> None:
        fill(self, copy, step)
        copy.execute("DELETE FROM inbox")

    monkeypatch.setattr(SqliteFile, "_fill", lossy)
    refused(run("backup", "--db", str(db), "--to", str(tmp_path / "to")), 4, "not kept")
    assert list((tmp_path / "to").iterdir()) == []


def test_the_newest_copies_stay_and_nothing_else_is_touched(db: Path, tmp_path: Path) -> None:
    to = tmp_path / "to"
    to.mkdir()
    (to / "hatchbell-notes.txt").write_text("mine")
    (to / "hatchbell-20200101T000000Z.db.bak").write_text("mine")
    old_half = to / "hatchbell-20200101T000000Z.db.4711.half"
    old_half.write_text("cut off")
    os.utime(old_half, (0, 0))
    made = [backup.backup(db, to, 3, NOW + day * DAY) for day in range(5)]
    assert [kept.thrown_away for kept in made] == [0, 0, 0, 1, 1]
    assert sorted(filter(is_our_copy, to.iterdir())) == [kept.path for kept in made[2:]]
    assert {path.name for path in to.iterdir() if not is_our_copy(path)} == {
        "hatchbell-notes.txt",
        "hatchbell-20200101T000000Z.db.bak",
    }
    back = backup.backup(db, to, 1, NOW - 1000 * DAY)  # the clock stepped back: what was made just now stays
    assert list(filter(is_our_copy, to.iterdir())) == [back.path]


def test_an_older_schema_is_copied_as_it_is_and_restored_as_ours(db: Path, tmp_path: Path) -> None:
    """Before an upgrade a backup must be possible; the file itself is not brought up by it."""
    old = tmp_path / "old.db"
    oldest(old)
    kept = backup.backup(old, tmp_path / "to", 3, NOW)
    with closing(sqlite3.connect(old)) as file:
        assert file.execute("PRAGMA user_version").fetchone() == (1,)
    back = restore.restore(kept.path, db, NOW)
    assert back.brought_up
    with closing(Store.open(db, must_exist=True, read_only=True)) as store:
        assert store.farm(1).name == "Pond"


def oldest(path: Path) -> None:
    """A file as the first release wrote it, with one farm."""
    Store.open(path).close()
    for made in (path, *path.parent.glob(f"{path.name}-*")):
        made.unlink(missing_ok=True)
    with closing(sqlite3.connect(path, isolation_level=None)) as file:
        file.execute("PRAGMA journal_mode = WAL")
        database = store_module.Database(file, execute_plugins=False, strict=True)
        migrations.MIGRATIONS.apply(database, stop_before=migrations.STEPS[1])
        file.execute("PRAGMA user_version = 1")
        file.execute("INSERT INTO farms (name, settings) VALUES ('Pond', '{}')")
    path.chmod(0o600)


# restore ---------------------------------------------------------------------------------------------------


def test_a_restore_brings_back_the_copy_and_keeps_what_there_was(db: Path, tmp_path: Path) -> None:
    kept = backup.backup(db, tmp_path / "to", 3, NOW)
    with closing(Store.open(db)) as store:
        for number in range(7):
            told(store, number)
        outbox.put(store, 1, Outgoing(1, "ada", NOW, "help", "later", {}))
        last_number = store.file.value("SELECT max(id) FROM outbox")
    late = keys(db)
    result = run("restore", str(kept.path), "--db", str(db))
    assert result.exit_code == 0
    (aside,) = db.parent.glob("farm-before-restore-*.db")
    assert keys(aside) == late
    assert keys(db) == keys(kept.path)
    assert sorted(path.name for path in db.parent.iterdir()) == sorted(
        [aside.name, "farm.db", "farm.db.backup", "farm.db.lock"]
    )
    for words in ("runs: 1", "7 messages", aside.name, "one day only", "Bells overdue", "hatchbell check"):
        assert words in result.stdout
    with closing(Store.open(db, must_exist=True)) as store:
        store.file.refuse_unsound()
        written = outbox.put(store, 1, Outgoing(1, "ada", NOW, "help", "new", {}))
        assert written is not None
        assert written > last_number  # a button of a message that is forgotten presses nothing


def test_farms_hear_once_that_they_were_set_back(db: Path, tmp_path: Path) -> None:
    kept = backup.backup(db, tmp_path / "to", 3, NOW)
    restore.restore(kept.path, db, NOW)

    class Started(Parts):
        def __post_init__(self) -> None:
            pass

    def said() -> list[str]:
        with closing(Store.open(db)) as store:
            house = House(store, HandClock(NOW), Doors(None))
            Started(house, None, None, None)._greet()  # type: ignore[arg-type]
            return [out.text for out in outbox.unsent(store) if out.facts.get("what") == "restored"]

    first = said()
    assert len(first) == 1
    assert "set back to" in first[0]
    assert said() == first


@pytest.mark.parametrize("what", ["torn", "newer", "unknown", "empty", "none", "served", "open", "same"])
def test_a_restore_that_cannot_be_changes_nothing(db: Path, tmp_path: Path, what: str) -> None:
    kept = backup.backup(db, tmp_path / "to", 3, NOW)
    before = keys(db)
    with HINDRANCES[what](kept.path, db) as copy:
        refused(run("restore", str(copy), "--db", str(db)), 4)
    assert keys(db) == before
    allowed = {"farm.db", "farm.db-wal", "farm.db-shm", "farm.db.backup", "farm.db.lock"}
    assert {path.name for path in db.parent.iterdir()} <= allowed


def _torn(copy: Path, db: Path) -> Path:
    tear(copy)
    return copy


def _newer(copy: Path, db: Path) -> Path:
    with closing(sqlite3.connect(copy)) as file:
        file.execute(f"PRAGMA user_version = {len(migrations.STEPS) + 1}")
    return copy


def _unknown(copy: Path, db: Path) -> Path:
    other = copy.with_name("other.db")
    with closing(sqlite3.connect(other)) as file:
        file.execute("CREATE TABLE fish (name TEXT)")
    return other


def _empty(copy: Path, db: Path) -> Path:
    copy.write_bytes(b"")
    return copy


class Hindrance:
    """Something in the way, as long as it lasts; which file is to be restored."""

    def __init__(
        self, make: Callable[[Path, Path], Path], holds: Callable[[Path], Any] | None = None
    ) -> None:
        self.make, self.holds = make, holds

    def __call__(self, copy: Path, db: Path) -> Any:
        return self._held(copy, db)

    def _held(self, copy: Path, db: Path) -> Any:
        from contextlib import contextmanager, nullcontext

        @contextmanager
        def held() -> Iterator[Path]:
            with self.holds(db) if self.holds else nullcontext():
                yield self.make(copy, db)

        return held()


HINDRANCES = {
    "torn": Hindrance(_torn),
    "newer": Hindrance(_newer),
    "unknown": Hindrance(_unknown),
    "empty": Hindrance(_empty),
    "none": Hindrance(lambda copy, db: copy.with_name("none.db")),
    "served": Hindrance(lambda copy, db: copy, alone),
    "open": Hindrance(lambda copy, db: copy, lambda db: closing(Store.open(db))),
    "same": Hindrance(lambda copy, db: db),
}


def test_a_torn_database_is_replaced_and_kept_with_its_log(db: Path, tmp_path: Path) -> None:
    """The very case for which there are backups; the log of the old file never meets the new one."""
    kept = backup.backup(db, tmp_path / "to", 3, NOW)
    db.write_bytes(b"noise" * 5000)
    db.with_name("farm.db-wal").write_bytes(b"log")
    back = restore.restore(kept.path, db, NOW)
    assert back.lost is None
    assert back.aside is not None
    assert back.aside.read_bytes() == b"noise" * 5000
    assert back.aside.with_name(back.aside.name + "-wal").read_bytes() == b"log"
    assert not db.with_name("farm.db-wal").exists()
    assert keys(db) == keys(kept.path)


def test_where_nothing_was_a_restore_makes_the_file(db: Path, tmp_path: Path) -> None:
    kept = backup.backup(db, tmp_path / "to", 3, NOW)
    new = tmp_path / "new.db"
    back = restore.restore(kept.path, new, NOW)
    assert (back.aside, back.lost) == (None, 0)
    assert keys(new) == keys(db)
    assert stat.S_IMODE(new.stat().st_mode) == 0o600


# check -----------------------------------------------------------------------------------------------------


def well(db: Path) -> None:
    """As it is where all goes on: bells rung, messages out, just polled, a backup of an hour ago."""
    backup.backup(db, db.parent / "backups", 3, NOW - HOUR)
    with closing(Store.open(db)) as store, store.transaction():
        store.file.change("UPDATE reminders SET next_at = NULL, state = 'answered'")
        store.file.change("UPDATE outbox SET state = 'sent', sent_at = 1")
        store.file.change("UPDATE inbox SET state = 'done'")
        store.pulse("poll", NOW)


def found(db: Path, **environment: str) -> set[str]:
    """The codes of all that is wrong; each has words that end in what to do."""
    findings = check.check(db, environment, NOW)
    for each in findings:
        line = knowledge.wording().operating(each.code, each.values, "en")
        assert len(line.splitlines()) == 1
        assert "{" not in line
    return {each.code for each in findings}


def changed(db: Path, sql: str, *values: object) -> None:
    with closing(Store.open(db)) as store:
        store.file.change(sql, *values)


def test_all_is_well(db: Path) -> None:
    well(db)
    with alone(db), closing(Store.open(db)):
        before = {path.name: path.read_bytes() for path in db.parent.iterdir() if path.is_file()}
        del before["farm.db-shm"]  # where SQLite counts its readers
        assert found(db) == set()
        assert is_served(db)
        assert {name: (db.parent / name).read_bytes() for name in before} == before
    assert not is_served(db)


def _rows(sql: str, *values: object) -> Callable[[Path], None]:
    return lambda db: changed(db, sql, *values)


def _ahead(db: Path) -> None:
    with closing(Store.open(db)) as store:
        told(store, 1, NOW + HOUR)
        store.file.change("UPDATE inbox SET state = 'done'")


def _bell(db: Path) -> None:
    with closing(Store.open(db)) as store:
        store.add_bells(1, [Bell(1, StepKey("water", look=9), NOW - HOUR, wakes=False)])


def _unanswered(db: Path) -> None:
    with closing(Store.open(db)) as store:
        told(store, 1, NOW - HOUR)


def _unsent(db: Path) -> None:
    with closing(Store.open(db)) as store:
        outbox.put(store, 1, Outgoing(1, "ada", NOW - HOUR, "help", "waits", {}))


def _large_log(db: Path) -> None:
    with db.with_name("farm.db-wal").open("wb") as log:
        log.truncate(70_000_000)
    db.with_name("farm.db-wal").chmod(0o600)


def _old_note(db: Path) -> None:
    backup._note(db, backup.Noted(NOW - 3 * DAY, db))


def _gone(db: Path) -> None:
    for copy in (db.parent / "backups").iterdir():
        copy.unlink()


PLANTED: dict[str, Callable[[Path], object]] = {
    "bell-overdue": _bell,
    "unsent": _unsent,
    "unanswered": _unanswered,
    "set-aside": _rows("UPDATE inbox SET state = 'aside' WHERE id = 1"),
    "silent": _rows("UPDATE vitals SET at = ? WHERE name = 'poll'", stamp(NOW - HOUR)),
    "never-polled": _rows("DELETE FROM vitals"),
    "farm-still-there": _rows("UPDATE farms SET goes_at = ?", stamp(NOW - DAY)),
    "clock-behind": _ahead,
    "log-large": _large_log,
    "open-to-others": lambda db: db.chmod(0o640),
    "no-backup": lambda db: db.with_name("farm.db.backup").unlink(),
    "backup-old": _old_note,
    "backup-gone": _gone,
    "torn": tear,
    "newer-schema": _rows(f"PRAGMA user_version = {len(migrations.STEPS) + 1}"),
    "older-schema": lambda db: oldest(db),
    "missing": lambda db: db.unlink(),
}
ALL_ROUND = {"not-served", "disk-low", "token-open", "token-unreadable", "locked", "unreadable", "full"}
"""Shown by the tests below; `full` is SQLite's word for a disk without room even to read."""


@pytest.mark.parametrize("code", PLANTED)
def test_each_fault_is_found_alone(db: Path, code: str) -> None:
    well(db)
    PLANTED[code](db)
    with alone(db):
        assert found(db) == {code}


def test_what_hangs_on_the_machine_is_found(
    db: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    well(db)
    assert found(db) == {"not-served"}
    token = tmp_path / "token"
    with alone(db):
        assert found(db, HATCHBELL_TOKEN_FILE=str(token)) == {"token-unreadable"}
        token.write_text("secret")
        token.chmod(0o604)
        assert found(db, HATCHBELL_TOKEN_FILE=str(token)) == {"token-open"}
        token.chmod(0o440)  # as systemd hands a credential over
        assert found(db, HATCHBELL_TOKEN_FILE=str(token)) == set()
        monkeypatch.setattr(check, "ROOM", 1 << 60)
        assert found(db) == {"disk-low"}
    monkeypatch.undo()
    folder = tmp_path / "folder.db"
    folder.mkdir()
    assert "unreadable" in found(folder)


def test_a_file_that_another_program_holds_is_said_to_be(db: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    well(db)
    monkeypatch.setattr(check, "PATIENCE_MS", 0)
    holder = sqlite3.connect(db, isolation_level=None)
    holder.execute("PRAGMA locking_mode = EXCLUSIVE")
    holder.execute("BEGIN EXCLUSIVE")
    try:
        with alone(db):
            assert found(db) == {"locked"}
    finally:
        holder.close()


def test_no_finding_is_without_a_test() -> None:
    """The codes in the source, and those of a store that cannot be used."""
    source = Path(check.__file__).read_text(encoding="utf-8")
    codes = set(re.findall(r'(?:Finding\(|_oldest\(\s*store,)\s*"([\w-]+)"', source))
    assert len(codes) > 15
    assert codes | {"torn", "newer-schema", "locked", "unreadable", "full"} == PLANTED.keys() | ALL_ROUND


def test_every_line_is_said_by_somebody() -> None:
    """No sentence of the three commands without its code in them, and no code without a sentence."""
    sources = "".join(Path(module.__file__).read_text("utf-8") for module in (restore, cli_module))
    said = set(re.findall(r'(?:yield|_say\(|operating\()\s*"([\w-]+)"', sources))
    texts = (Path(knowledge.__file__).parent.parent / "core/lang/en.ftl").read_text("utf-8")
    assert said | PLANTED.keys() | ALL_ROUND == set(re.findall(r"^operating-([\w-]+) =", texts, re.M))


def test_the_exit_status_tells_how_bad_it_is(db: Path, tmp_path: Path) -> None:
    result = run("check", "--db", str(db), "--json")
    said = json.loads(result.stdout)
    assert (result.exit_code, said["status"]) == (1, 1)
    assert {each["code"] for each in said["findings"]} == {"not-served", "bell-overdue", "no-backup"}
    result = run("check", "--db", str(tmp_path / "none.db"))
    assert result.exit_code == 4
    assert "hatchbell restore" in result.stdout
    with alone(db):
        with closing(Store.open(db)) as store, store.transaction():
            store.file.change("UPDATE reminders SET next_at = NULL")
        assert run("backup", "--db", str(db)).exit_code == 0
        changed(db, "INSERT INTO vitals VALUES ('poll', ?)", stamp(datetime(2100, 1, 1, tzinfo=UTC)))
        result = run("check", "--db", str(db))
    assert (result.exit_code, result.stdout[:12]) == (0, "All is well.")


def test_what_is_over_a_moment_later_is_no_trouble(db: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """While it is started anew nobody serves: the operator is not told so by the timer, which looks twice."""
    well(db)
    changed(db, "UPDATE vitals SET at = ? WHERE name = 'poll'", stamp(datetime(2100, 1, 1, tzinfo=UTC)))
    backup.backup(db, db.parent / "backups", 3, SystemClock().now())
    pauses: list[float] = []
    with ExitStack() as served_again:
        monkeypatch.setattr(clock, "pause", pauses.append)
        assert run("check", "--db", str(db)).exit_code == 1
        assert pauses == []
        assert run("check", "--db", str(db), "--again", "20").exit_code == 1
        monkeypatch.setattr(clock, "pause", lambda seconds: served_again.enter_context(alone(db)))
        result = run("check", "--db", str(db), "--again", "20")
        assert (result.exit_code, result.stdout[:12]) == (0, "All is well.")
    assert pauses == [20]


def test_a_store_fault_has_its_name(tmp_path: Path) -> None:
    """Where a folder cannot be made the copy is not written, which is no bad use of the command."""
    with pytest.raises(StoreFault) as fault:
        backup.backup(tmp_path / "none.db", tmp_path, 1, NOW)
    assert fault.value.code == "unreadable"
    Store.open(tmp_path / "farm.db").close()
    (tmp_path / "file").write_text("")
    refused(run("backup", "--db", str(tmp_path / "farm.db"), "--to", str(tmp_path / "file")), 4, "written")


# A copy taken from a real `serve` --------------------------------------------------------------------------


@pytest.mark.long
async def test_backups_of_a_busy_serve_hold_every_acknowledged_message(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, counted: Count
) -> None:
    """Messages pour in while copies are made, of which each waits again and again until one more was taken.
    What was taken before a copy began, and so all that Telegram was told is taken, is there once it was
    restored elsewhere."""
    monkeypatch.setattr(store_module, "PAGES_AT_ONCE", 32)
    lost: list[str] = []
    copies, messages, before_all, during = 8, 1, 0, 0
    async with served(tmp_path / "farm.db") as serving:
        serving.api.say(80_000, "catfish f 1")
        await serving.start()
        await serving.until(lambda: serving.db.exists() and bool(kept_in(serving.db)))
        await serving.until(serving.is_idle)  # the words are read by now
        for turn in range(copies):
            before = kept_in(serving.db)
            at = now() + timedelta(seconds=2 * turn)
            copying = asyncio.to_thread(
                backup.backup, serving.db, tmp_path / "to", 3, at, lambda: until_more(serving.db)
            )
            made = asyncio.ensure_future(copying)
            while not made.done():
                if len(serving.api.updates) < 20:
                    serving.api.say(80_000 + messages % 40, f"catfish f {1 + messages / 1000:.3f}")
                    messages += 1
                await asyncio.sleep(GLANCE)
            during += len(kept_in(serving.db) - before)
            elsewhere = tmp_path / f"other{turn}.db"
            restore.restore(made.result().path, elsewhere, now())
            lost += sorted(before - kept_in(elsewhere))
            before_all += len(before)
            with closing(Store.open(elsewhere, must_exist=True)) as store:
                store.file.refuse_unsound()
        await serving.until(serving.is_idle)
        assert check.check(serving.db, {}, now() + timedelta(seconds=1)) == ()
        assert await serving.kill(signal.SIGTERM) == 0
    counts = {"copies": copies, "messages_in": messages, "taken_before_a_copy": before_all}
    counted(**counts, taken_while_one_was_made=during, lost=len(lost))
    assert lost == []
    assert during > copies
    assert len(kept_in(serving.db)) == messages
    assert len(list((tmp_path / "to").iterdir())) == 3


def until_more(db: Path) -> None:
    """Look until another message is on disk; not for ever, since none may come any more."""
    begun = len(kept_in(db))
    for _ in range(300):
        if len(kept_in(db)) > begun:
            return


def kept_in(path: Path) -> set[str]:
    with closing(sqlite3.connect(f"file:{path}?mode=ro", uri=True, timeout=10)) as file:
        try:
            return {key for (key,) in file.execute("SELECT key FROM inbox WHERE key GLOB 'm:*'")}
        except sqlite3.OperationalError:  # the tables are still being made
            return set()
