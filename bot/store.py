"""The store: rows of one SQLite file to core records and back. Every call on a farm's data takes the farm.

One connection, one thread. Changes belong into `with store.transaction():`, and nothing may be awaited inside
it. A single call outside of one is a transaction of its own.
"""

from __future__ import annotations

import errno
import functools
import json
import os
import sqlite3
from collections import Counter, OrderedDict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import AbstractContextManager, closing, contextmanager, suppress
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any, cast

from sqlite_utils import Database

from bot import migrations
from core.commands import Awaiting
from core.crew import Member, Role
from core.errors import HatchError
from core.plain import from_plain, to_plain
from core.records import (
    BOOK,
    Bell,
    BellState,
    Event,
    Farm,
    Happening,
    Person,
    Reminder,
    RunRow,
    StepKey,
)

_NOT_GOING = "farm NOT IN (SELECT id FROM farms WHERE goes_at IS NOT NULL)"
MOST_OF_PHOTOS = 40 * 1024 * 1024
"""Bytes of photos in one export: the messenger takes 50 MB (core.telegram.org/bots/api, sendDocument)."""

FARMS_AT_ONCE = 128
"""Of so many farms at most what is asked again and again is kept."""

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_MICROSECOND = timedelta(microseconds=1)
_PRAGMAS = (
    "synchronous = FULL",
    "foreign_keys = ON",
    "trusted_schema = OFF",
    "cell_size_check = ON",
    "secure_delete = ON",
)
_FAULTS = {
    sqlite3.SQLITE_BUSY: "locked",
    sqlite3.SQLITE_LOCKED: "locked",
    sqlite3.SQLITE_CORRUPT: "torn",
    sqlite3.SQLITE_NOTADB: "torn",
    sqlite3.SQLITE_FULL: "full",
    sqlite3.SQLITE_CANTOPEN: "unreadable",
    sqlite3.SQLITE_PERM: "unreadable",
    sqlite3.SQLITE_READONLY: "unreadable",
    sqlite3.SQLITE_IOERR: "unreadable",
}

_TORN = {"unsupported file format": "torn"}
"""What SQLite has no number of its own for: the head of the file names a form that there is not."""


class StoreFault(HatchError):
    """The store cannot be used: `newer-schema`, `locked`, `torn`, `full`, `unreadable`; `path` says which. Of
    copies also: `copy-torn`, `not-written`, `same-file`."""


@contextmanager
def faults_of(path: Path, code: str = "unreadable") -> Iterator[None]:
    """The one place where errors of SQLite and of the disk get our names; what is a mistake of ours stays as
    it is. `code` is for what the system refuses while there is room."""
    try:
        yield
    except sqlite3.Error as error:
        known = _FAULTS.get(getattr(error, "sqlite_errorcode", 0) & 0xFF) or _TORN.get(str(error))
        if known is None:
            raise
        raise StoreFault(known, path=str(path), detail=str(error)) from error
    except OSError as error:
        full = error.errno in (errno.ENOSPC, errno.EDQUOT)
        detail = error.strerror or type(error).__name__
        raise StoreFault("full" if full else code, path=str(path), detail=detail) from error


def stamp(when: datetime) -> int:
    """An aware time as the store writes it: whole microseconds since 1970, UTC."""
    return (when - _EPOCH) // _MICROSECOND


def moment(written: int) -> datetime:
    """The inverse of `stamp`."""
    return _EPOCH + written * _MICROSECOND


def as_json(value: object) -> str:
    """Plain values as the store writes them."""
    return json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(",", ":"))


def _stamp(when: datetime | None) -> int | None:
    return None if when is None else stamp(when)


def _moment(written: int | None) -> datetime | None:
    return None if written is None else moment(written)


# The file -------------------------------------------------------------------------------------------------

PAGES_AT_ONCE = 256


def _new_file(path: Path) -> None:
    """For its owner's eyes only. Raises `FileExistsError`."""
    os.close(os.open(path, os.O_RDWR | os.O_CREAT | os.O_EXCL, 0o600))


class SqliteFile:
    """One SQLite file behind one connection: opening, faults by name, transactions, rows."""

    def __init__(
        self,
        path: Path,
        *,
        must_exist: bool = False,
        busy_ms: int = 5000,
        read_only: bool = False,
        older: bool = False,
    ) -> None:
        self.path = path
        self._create(must_exist or read_only)
        self._may_be_used(read_only)
        mode = "?mode=ro" if read_only else ""
        with self._faults():
            connection = sqlite3.connect(f"{path.absolute().as_uri()}{mode}", isolation_level=None, uri=True)
        try:
            with self._faults():
                if read_only:
                    self._prepare_to_read(connection, busy_ms, older)
                else:
                    self._prepare(connection, busy_ms)
        except BaseException:
            connection.close()
            raise
        self._connection = connection
        self.taken_back = 0
        """How often something that was written was taken back again."""

    def close(self) -> None:
        """Close the connection; what was not committed is gone."""
        self._connection.close()

    @contextmanager
    def transaction(self) -> Iterator[None]:
        """All or nothing: `BEGIN IMMEDIATE`, then `COMMIT`, or `ROLLBACK` at any exception."""
        if self._connection.in_transaction:
            raise RuntimeError("a transaction inside a transaction")
        self.change("BEGIN IMMEDIATE")
        try:
            yield
            self.change("COMMIT")
        except BaseException:
            self.taken_back += 1
            if self._connection.in_transaction:  # a full disk may have ended it already
                self._connection.execute("ROLLBACK")
            raise

    @contextmanager
    def moment_kept(self) -> Iterator[None]:
        """What is read within is all of one moment, whatever others write meanwhile."""
        self.change("BEGIN DEFERRED")
        try:
            yield
        finally:
            self.change("ROLLBACK")

    @contextmanager
    def part(self) -> Iterator[None]:
        """A part of the open transaction that alone is taken back at an exception."""
        self.change("SAVEPOINT part")
        try:
            yield
        except BaseException:
            self.taken_back += 1
            if self._connection.in_transaction:
                self.change("ROLLBACK TO part")
                self.change("RELEASE part")
            raise
        self.change("RELEASE part")

    @contextmanager
    def together(self) -> Iterator[None]:
        """Several statements as one: part of the open transaction, or one of their own."""
        if self._connection.in_transaction:
            yield
            return
        with self.transaction():
            yield

    def rows(self, sql: str, *values: object) -> list[sqlite3.Row]:
        """All rows of a query, or of a statement that returns some."""
        with self._faults():
            return self._connection.execute(sql, values).fetchall()

    def each_row(self, sql: str, *values: object) -> Iterator[sqlite3.Row]:
        """The rows of a query one by one, never all of them at once."""
        with self._faults():
            yield from self._connection.execute(sql, values)

    def row(self, sql: str, *values: object) -> sqlite3.Row | None:
        """The first row, if any."""
        found = self.rows(sql, *values)
        return found[0] if found else None

    def value(self, sql: str, *values: object) -> Any:
        """The first column of the first row, `None` if there is none."""
        found = self.row(sql, *values)
        return found[0] if found else None

    def change(self, sql: str, *values: object) -> int:
        """Run a statement; how many rows it touched."""
        with self._faults():
            return self._connection.execute(sql, values).rowcount

    def change_many(self, sql: str, values: Iterable[Sequence[object]]) -> None:
        """Run a statement for each of `values`, all or nothing."""
        with self.together(), self._faults():
            self._connection.executemany(sql, values)

    def insert(self, table: str, row: Mapping[str, object]) -> int:
        """Insert into one of our tables; the new row's id.

        Not by sqlite-utils, whose insert and upsert let a full disk pass without a word (4.2).
        """
        columns, marks = ", ".join(row), ", ".join("?" for _ in row)
        sql = f"INSERT INTO {table} ({columns}) VALUES ({marks}) RETURNING id"
        return cast("int", self.rows(sql, *row.values())[0][0])

    def rows_of_tables(self) -> dict[str, int]:
        """How many rows each table holds."""
        names = self.rows("SELECT name FROM sqlite_master WHERE type = 'table' ORDER BY name")
        return {name: self.value(f'SELECT count(*) FROM "{name}"') for (name,) in names}

    def refuse_damaged(self) -> None:
        """Every page is looked at. Raises `StoreFault("torn")` at the first that is wrong."""
        said = self.value("PRAGMA quick_check(1)")
        if said != "ok":
            raise self._fault("torn", said)

    def refuse_unsound(self) -> None:
        """Every page, index and reference is looked at. Raises `StoreFault("torn")` at the first that is
        wrong."""
        said = self.value("PRAGMA integrity_check(1)")
        if said != "ok":
            raise self._fault("torn", said)
        lost = self.row("PRAGMA foreign_key_check")
        if lost is not None:
            raise self._fault("torn", f"a row of {lost['table']} belongs to nothing")

    def copy_to(self, target: Path, step: Callable[[], None] | None = None) -> None:
        """All that this moment holds into the new file `target`: one plain file, without a log beside it.

        `step` is called between any two handfuls of pages. Where the moment is kept (`moment_kept`, and read
        in it) whoever writes meanwhile is neither held up nor copied.
        """
        with faults_of(target, "not-written"):
            _new_file(target)
            with closing(sqlite3.connect(target, isolation_level=None)) as copy:
                self._fill(copy, step)

    def _fill(self, copy: sqlite3.Connection, step: Callable[[], None] | None) -> None:
        copy.execute("PRAGMA synchronous = OFF")  # whoever asked for the copy syncs it, once
        self._connection.backup(
            copy, pages=PAGES_AT_ONCE, progress=None if step is None else lambda *_: step()
        )
        copy.execute("PRAGMA journal_mode = DELETE")

    def alone(self) -> None:
        """The log goes into the file, which then stands alone. Raises `StoreFault("locked")` where another
        program has it open."""
        with self._faults():
            self._connection.execute("PRAGMA busy_timeout = 0")
            self._connection.execute("PRAGMA journal_mode = DELETE").fetchone()

    def _create(self, must_exist: bool) -> None:
        """A new file is for its owner's eyes only. (An existing one is never opened and closed here: that
        would drop the locks of another connection in this process.)"""
        with self._faults():
            if not must_exist:
                with suppress(FileExistsError):
                    _new_file(self.path)
            self.path.stat()

    def _may_be_used(self, read_only: bool) -> None:
        wanted = os.R_OK if read_only else os.R_OK | os.W_OK
        if not os.access(self.path, wanted, effective_ids=os.access in os.supports_effective_ids):
            raise self._fault("unreadable", "no permission")

    def _prepare(self, connection: sqlite3.Connection, busy_ms: int) -> None:
        connection.row_factory = sqlite3.Row
        connection.execute(f"PRAGMA busy_timeout = {busy_ms}")
        (mode,) = connection.execute("PRAGMA journal_mode = WAL").fetchone()
        if mode != "wal":
            raise self._fault("unreadable", f"no write-ahead log here, but {mode}")
        for pragma in _PRAGMAS:
            connection.execute(f"PRAGMA {pragma}")
        self._refuse_newer(connection)
        self._refuse_torn(connection)
        self._db = Database(connection, execute_plugins=False, strict=True)
        self._bring_up(connection)

    def _prepare_to_read(self, connection: sqlite3.Connection, busy_ms: int, older: bool) -> None:
        """Nothing can be written, and nothing is brought up: somebody else did before, or `older` will do."""
        connection.row_factory = sqlite3.Row
        for pragma in (f"busy_timeout = {busy_ms}", "query_only = ON", *_PRAGMAS):
            connection.execute(f"PRAGMA {pragma}")
        self._refuse_newer(connection)
        self._db = Database(connection, execute_plugins=False, strict=True)
        self.version = self._version(connection)
        if not self.version:
            raise self._fault("torn", "nothing is in it")
        if self.version != len(migrations.STEPS) and not older:
            raise self._fault("unreadable", "its tables are of an older release")

    def _refuse_newer(self, connection: sqlite3.Connection) -> None:
        (found,) = connection.execute("PRAGMA user_version").fetchone()
        if found > len(migrations.STEPS):
            raise StoreFault("newer-schema", path=str(self.path), found=found, known=len(migrations.STEPS))

    def _refuse_torn(self, connection: sqlite3.Connection) -> None:
        (said,) = connection.execute("PRAGMA quick_check(1)").fetchone()
        if said != "ok":
            raise self._fault("torn", said)

    def _bring_up(self, connection: sqlite3.Connection) -> None:
        if self._version(connection) == len(migrations.STEPS):
            return
        connection.execute("BEGIN IMMEDIATE")
        try:
            if self._version(connection) < len(migrations.STEPS):  # nobody else did it meanwhile
                migrations.bring_up(self._db)
            connection.execute("COMMIT")
        except BaseException:
            if connection.in_transaction:
                connection.execute("ROLLBACK")
            raise

    def _version(self, connection: sqlite3.Connection) -> int:
        """The number of the file's schema. A file with tables that are not ours is refused."""
        (version,) = connection.execute("PRAGMA user_version").fetchone()
        (tables,) = connection.execute("SELECT count(*) FROM sqlite_master").fetchone()
        steps = migrations.steps_in(self._db)
        if steps != migrations.STEPS[:version] or (tables and not steps):
            raise self._fault("torn", "not a file of hatchbell")
        return cast("int", version)

    def _faults(self) -> AbstractContextManager[None]:
        return faults_of(self.path)

    def _fault(self, code: str, detail: str) -> StoreFault:
        return StoreFault(code, path=str(self.path), detail=detail)


# The records ----------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class SentRow:
    """A photo or paper as it came in: by which message (`source`), of how many bytes."""

    farm: int
    source: str
    name: str
    size: int


@dataclass(frozen=True, slots=True)
class PhotoRow:
    """A photo without its bytes; `goes_out`: it is among the newest that one export has room for."""

    id: int
    run: int
    name: str
    size: int
    goes_out: bool


@dataclass(frozen=True, slots=True)
class ChatRow:
    """A chat and the farm that speaks in it; `offset_minutes` is that of its first message.

    The private chat of somebody with several farms speaks for one of them at a time, since `settled_at`.
    """

    key: str
    private: bool
    farm: int
    awaiting: Awaiting | None = None
    offset_minutes: int = 0
    unreachable_at: datetime | None = None
    settled_at: datetime | None = None


class Store:
    """Everything that is kept, as records. `file` is for the inbox, the outbox and this class alone."""

    def __init__(self, file: SqliteFile) -> None:
        self.file = file
        self._told: Counter[int] = Counter()
        self._looked_up: OrderedDict[tuple[str, int], tuple[tuple[int, int, int], Any]] = OrderedDict()

    @classmethod
    def open(
        cls, path: Path, *, must_exist: bool = False, busy_ms: int = 5000, read_only: bool = False
    ) -> Store:
        """Open the file, make or update its tables; `read_only` leaves it as it is. Raises `StoreFault`."""
        return cls(SqliteFile(path, must_exist=must_exist, busy_ms=busy_ms, read_only=read_only))

    def close(self) -> None:
        """Close the file; what was not committed is gone."""
        self.file.close()

    @contextmanager
    def transaction(self) -> Iterator[None]:
        """All or nothing; never inside another, never with an `await` inside."""
        with self.file.transaction():
            yield

    @contextmanager
    def part(self) -> Iterator[None]:
        """A part of a transaction that alone is taken back where it fails."""
        with self.file.part():
            yield

    # People and chats: who talks to us, before any farm is known.

    def person(self, key: str) -> Person | None:
        """The person with this identity at the messenger."""
        row = self.file.row("SELECT id, name, lang FROM people WHERE key = ?", key)
        return Person(*row) if row else None

    def add_person(self, key: str, name: str, lang: str) -> Person:
        """Somebody new."""
        return Person(self.file.insert("people", {"key": key, "name": name, "lang": lang}), name, lang)

    def set_language(self, person: int, lang: str) -> None:
        """From now on this person is spoken to in `lang`."""
        self.file.change("UPDATE people SET lang = ? WHERE id = ?", lang, person)

    def farms_of(self, person: int) -> tuple[int, ...]:
        """The farms that this person belongs to, by id."""
        return self._farms(person, "role IN ('owner', 'hand', 'reader')")

    def farms_here(self, person: int) -> tuple[int, ...]:
        """The farms of this person that speak in their private chat, by id."""
        return self._farms(person, "role IN ('owner', 'hand', 'reader') AND private_bells = 1")

    def owned_by(self, person: int) -> tuple[int, ...]:
        """The farms that are this person's own, by id."""
        return self._farms(person, "role = 'owner'")

    def _farms(self, person: int, where: str) -> tuple[int, ...]:
        sql = f"SELECT farm FROM members WHERE person = ? AND {where} ORDER BY farm"
        return tuple(row["farm"] for row in self.file.rows(sql, person))

    def chat(self, key: str) -> ChatRow | None:
        """The chat with this key."""
        row = self.file.row("SELECT * FROM chats WHERE key = ?", key)
        return _chat(row) if row else None

    def newest_private_chat(self) -> str | None:
        """The key of the private chat that was added last."""
        found = self.file.value("SELECT key FROM chats WHERE private = 1 ORDER BY id DESC LIMIT 1")
        return cast("str | None", found)

    # Farms.

    def add_farm(
        self, name: str, offset_minutes: int | None, owner: int, *, private_bells: bool = True
    ) -> Farm:
        """A new farm with its owner; without an offset its clock is still to be told."""
        with self.file.together():
            farm = self.file.insert("farms", {"name": name, "settings": "{}"})
            told = offset_minutes is not None
            founded = Farm(farm, name, offset_minutes=offset_minutes or 0, clock_told=told)
            self.save_farm(founded)
            self.set_role(farm, owner, "owner")
            self.set_private_bells(farm, owner, private_bells)
        return founded

    def farm(self, farm: int) -> Farm:
        """The farm and its habits. Raises `KeyError`."""
        row = self.file.row("SELECT * FROM farms WHERE id = ?", farm)
        if row is None:
            raise KeyError(farm)
        settings = {**json.loads(row["settings"]), "id": row["id"], "name": row["name"]}
        return cast("Farm", from_plain(Farm, settings))

    def save_farm(self, farm: Farm) -> None:
        """Write the farm's name and habits."""
        habits = {name: value for name, value in to_plain(farm).items() if name not in ("id", "name")}
        self.file.change(
            "UPDATE farms SET name = ?, settings = ?, goes_at = ? WHERE id = ?",
            *(farm.name, as_json(habits), _stamp(farm.goes_at), farm.id),
        )

    def role(self, farm: int, person: int) -> Role | None:
        """What this person is on the farm."""
        found = self.file.value("SELECT role FROM members WHERE farm = ? AND person = ?", farm, person)
        return cast("Role | None", found)

    def set_role(self, farm: int, person: int, role: Role) -> None:
        """Make this person a member, or change what they are."""
        self.file.change(
            "INSERT INTO members (farm, person, role) VALUES (?, ?, ?)"
            " ON CONFLICT (farm, person) DO UPDATE SET role = excluded.role",
            *(farm, person, role),
        )

    def set_private_bells(self, farm: int, person: int, wanted: bool) -> None:
        """Whether this member is rung in their own chat."""
        self.file.change(
            "UPDATE members SET private_bells = ? WHERE farm = ? AND person = ?", wanted, farm, person
        )

    def remove_member(self, farm: int, person: int) -> None:
        """This person has no role on the farm any more. Their chat speaks for another farm of theirs, or for
        none; what was to be said to them there is not said."""
        with self.file.together():
            self.file.change("DELETE FROM members WHERE farm = ? AND person = ?", farm, person)
            key = self.file.value("SELECT key FROM people WHERE id = ?", person)
            self.file.change(
                "DELETE FROM outbox WHERE farm = ? AND state = 'unsent'"
                " AND chat IN (SELECT key FROM chats WHERE key = ? AND private = 1)",
                *(farm, key),
            )
            other = self.file.value(
                "SELECT farm FROM members WHERE person = ? AND role IN ('owner', 'hand', 'reader')"
                " ORDER BY role <> 'owner', rowid LIMIT 1",
                person,
            )
            if other is None:
                self.file.change("DELETE FROM chats WHERE key = ? AND private = 1 AND farm = ?", key, farm)
            else:
                self.file.change(
                    "UPDATE chats SET farm = ?, awaiting = NULL, settled_at = NULL"
                    " WHERE key = ? AND private = 1 AND farm = ?",
                    *(other, key, farm),
                )

    def crew(self, farm: int) -> tuple[Member, ...]:
        """Everybody with a role on the farm, in the order they came."""
        rows = self.file.rows(
            "SELECT people.id, name, role, private_bells, EXISTS (SELECT 1 FROM chats"
            " WHERE chats.key = people.key AND private = 1 AND unreachable_at IS NULL) AS chat"
            " FROM members JOIN people ON people.id = person WHERE farm = ? ORDER BY members.rowid",
            farm,
        )
        return tuple(
            Member(row["id"], row["name"], row["role"], bool(row["private_bells"]), bool(row["chat"]))
            for row in rows
        )

    def owner(self, farm: int) -> Person:
        """Who the farm belongs to: it has an owner from its first word."""
        row = self.file.row(
            "SELECT people.id, name, lang FROM members JOIN people ON people.id = person"
            " WHERE farm = ? AND role = 'owner'",
            farm,
        )
        if row is None:
            raise KeyError(farm)
        return Person(*row)

    def has_room(self, farm: int) -> bool:
        """Whether the farm has a group chat."""
        return bool(self.file.value("SELECT count(*) FROM chats WHERE farm = ? AND private = 0", farm))

    def going(self, now: datetime) -> tuple[int, ...]:
        """The deleted farms whose days are over."""
        rows = self.file.rows("SELECT id FROM farms WHERE goes_at <= ? ORDER BY id", stamp(now))
        return tuple(row["id"] for row in rows)

    def remove_farm(self, farm: int) -> None:
        """All that is kept of the farm goes, for good: its pages are written over. People who have no other
        farm are forgotten, and what was said in chats that are nobody's now."""
        self._told[farm] += 1
        with self.file.together():
            people = [row[0] for row in self.file.rows("SELECT person FROM members WHERE farm = ?", farm)]
            chats = [row["key"] for row in self.file.rows("SELECT key FROM chats WHERE farm = ?", farm)]
            for person in people:
                self.remove_member(farm, person)
            self.file.change("DELETE FROM outbox WHERE farm = ?", farm)
            self.file.change("DELETE FROM farms WHERE id = ?", farm)
            self.file.change_many(
                "DELETE FROM inbox WHERE chat = ?1 AND state <> 'waiting'"
                " AND NOT EXISTS (SELECT 1 FROM chats WHERE key = ?1)",
                [(chat,) for chat in chats],
            )
            self.file.change_many(
                "DELETE FROM wrong_links WHERE person = ?1"
                " AND NOT EXISTS (SELECT 1 FROM members WHERE person = ?1)",
                [(person,) for person in people],
            )
            self.file.change_many(
                "DELETE FROM people WHERE id = ?1 AND NOT EXISTS (SELECT 1 FROM members WHERE person = ?1)"
                " AND NOT EXISTS (SELECT 1 FROM events WHERE by = ?1)",
                [(person,) for person in people],
            )

    def add_chat(self, farm: int, key: str, private: bool, offset_minutes: int = 0) -> ChatRow:
        """A new chat, in which this farm speaks."""
        row = {"key": key, "private": private, "farm": farm, "offset_minutes": offset_minutes}
        self.file.insert("chats", row)
        return ChatRow(key, private, farm, offset_minutes=offset_minutes)

    def settle(self, farm: int, chat: str, at: datetime) -> None:
        """The private chat of one of its people speaks for this farm from now on; what another farm awaited
        there is no more awaited."""
        self.file.change(
            "UPDATE chats SET awaiting = CASE WHEN farm = ?1 THEN awaiting END, farm = ?1, settled_at = ?2"
            " WHERE key = ?3 AND private = 1 AND EXISTS ("
            "SELECT 1 FROM members JOIN people ON people.id = person WHERE members.farm = ?1"
            " AND people.key = ?3 AND role IN ('owner', 'hand', 'reader'))",
            *(farm, stamp(at), chat),
        )

    def rename_chat(self, chat: str, new: str) -> None:
        """The messenger calls this chat otherwise now: its farm and what waits for it go with it."""
        with self.file.together():
            taken = self.file.value("SELECT count(*) FROM chats WHERE key = ?", new)
            if not taken:
                self.file.change("UPDATE chats SET key = ? WHERE key = ?", new, chat)
            self.file.change("UPDATE outbox SET chat = ? WHERE chat = ?", new, chat)

    def chats(self, farm: int) -> tuple[ChatRow, ...]:
        """Where the farm's bells ring, oldest first: its rooms, and the private chats of owner and hands who
        want to be rung there."""
        rows = self.file.rows(
            "SELECT * FROM chats WHERE (farm = ?1 AND private = 0) OR (private = 1 AND key IN ("
            "SELECT people.key FROM members JOIN people ON people.id = person"
            " WHERE members.farm = ?1 AND role IN ('owner', 'hand') AND private_bells = 1)) ORDER BY id",
            farm,
        )
        return tuple(map(_chat, rows))

    def set_awaiting(self, farm: int, chat: str, awaiting: Awaiting | None) -> None:
        """Remember what this chat of the farm was asked for."""
        written = None if awaiting is None else as_json(to_plain(awaiting))
        self.file.change("UPDATE chats SET awaiting = ? WHERE key = ? AND farm = ?", written, chat, farm)

    # Runs and what happened on them.

    def next_run(self, farm: int) -> int:
        """The number of the farm's next run. Ask inside the transaction that uses it."""
        last = self.file.value(
            "SELECT max((SELECT coalesce(max(number), 0) FROM runs WHERE farm = ?1),"
            " (SELECT coalesce(max(run), 0) FROM events WHERE farm = ?1))",
            farm,
        )
        return cast("int", last + 1)

    def next_event(self, farm: int) -> int:
        """The id of the farm's next event. Ask inside the transaction that uses it."""
        last = self.file.value("SELECT coalesce(max(id), 0) FROM events WHERE farm = ?", farm)
        return cast("int", last + 1)

    def add_events(self, farm: int, events: Iterable[Event]) -> None:
        """Write events of this farm, all or none."""
        rows = [_event_row(farm, event) for event in events]
        if not rows:
            return
        self._told[farm] += 1
        self.file.change_many("INSERT INTO events VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)", rows)

    def events(self, farm: int, run: int) -> tuple[Event, ...]:
        """What happened on a run, in the order it was said."""
        rows = self.file.rows(
            f"SELECT {_EVENT} FROM events WHERE farm = ? AND run = ? ORDER BY id", farm, run
        )
        return tuple(map(_event, rows))

    def events_from(self, farm: int, source: str) -> tuple[Event, ...]:
        """The events that a message of the farm told, and those that an edit of it told ("key#edit")."""
        rows = self.file.rows(
            f"SELECT {_EVENT} FROM events WHERE farm = ? AND (source = ? OR source GLOB ?) ORDER BY id",
            *(farm, source, f"{source}#*"),
        )
        return tuple(map(_event, rows))

    def book(self, farm: int) -> tuple[Event, ...]:
        """What was told of the farm itself, in the order it was said."""
        return cast("tuple[Event, ...]", self._once("book", farm, lambda: self.events(farm, BOOK)))

    def _once(self, name: str, farm: int, look_up: Callable[[], object]) -> object:
        """What is asked with every question of a farm, looked up anew only where something was told of it, or
        taken back, or another program wrote into the file."""
        stands = (self.file.value("PRAGMA data_version"), self.file.taken_back, self._told[farm])
        kept = self._looked_up.get((name, farm))
        if kept is None or kept[0] != stands:
            kept = self._looked_up[name, farm] = (stands, look_up())
        self._looked_up.move_to_end((name, farm))
        if len(self._looked_up) > FARMS_AT_ONCE:
            self._looked_up.popitem(last=False)
        return kept[1]

    def latest_events(self, farm: int, limit: int) -> tuple[Event, ...]:
        """The farm's last events, newest first."""
        rows = self.file.rows(
            f"SELECT {_EVENT} FROM events WHERE farm = ? ORDER BY id DESC LIMIT ?", farm, limit
        )
        return tuple(map(_event, rows))

    def active_runs(self, farm: int) -> tuple[int, ...]:
        """The runs that are drafts or open, by number."""
        rows = self.file.rows(
            "SELECT number FROM runs WHERE farm = ? AND state IN ('draft', 'open') ORDER BY number", farm
        )
        return tuple(row["number"] for row in rows)

    def run_row(self, farm: int, run: int) -> RunRow | None:
        """A run's line in the results book."""
        body = self.file.value("SELECT body FROM runs WHERE farm = ? AND number = ?", farm, run)
        return None if body is None else _run_row(body)

    def save_run(self, farm: int, row: RunRow, version: int) -> None:
        """Write a run's line in the results book, new or again; `version` is of what made it of the run."""
        self._told[farm] += 1
        self.file.change(
            "INSERT INTO runs (farm, number, state, body, version) VALUES (?, ?, ?, ?, ?) ON CONFLICT"
            " (farm, number) DO UPDATE SET state = excluded.state, body = excluded.body,"
            " version = excluded.version",
            *(farm, row.run, row.state, as_json(to_plain(row)), version),
        )

    def older_rows(self, version: int) -> tuple[tuple[int, int], ...]:
        """Farm and number of the runs whose line an earlier version made."""
        found = self.file.rows("SELECT farm, number FROM runs WHERE version < ?", version)
        return tuple((row["farm"], row["number"]) for row in found)

    def results(self, farm: int) -> tuple[RunRow, ...]:
        """The results book, newest run first, without drafts."""
        return cast("tuple[RunRow, ...]", self._once("results", farm, lambda: self._results(farm)))

    def _results(self, farm: int) -> tuple[RunRow, ...]:
        rows = self.file.rows(
            "SELECT body FROM runs WHERE farm = ? AND state <> 'draft' ORDER BY number DESC", farm
        )
        return tuple(_run_row(row["body"]) for row in rows)

    def add_photo(
        self, farm: int, run: int, source: str, name: str, picture: bytes, file_id: str = ""
    ) -> int:
        """Keep a photo with a run (0: with the farm alone), or where to fetch it from; its id."""
        row = {"farm": farm, "run": run, "source": source, "name": name, "picture": picture}
        return self.file.insert("photos", {**row, "file_id": file_id})

    def photos(self, farm: int, run: int) -> tuple[tuple[str, bytes], ...]:
        """The photos of a run, by name, in the order they came."""
        rows = self.file.rows(
            "SELECT name, picture FROM photos WHERE farm = ? AND run = ? ORDER BY id", farm, run
        )
        return tuple((row["name"], row["picture"]) for row in rows)

    def photo_rows(self, farm: int) -> tuple[PhotoRow, ...]:
        """The farm's photos in the order they came, and which of them an export takes."""
        rows = self.file.rows(
            "SELECT id, run, name, length(picture) AS size,"
            " length(picture) > 0 AND sum(length(picture)) OVER (ORDER BY id DESC) <= ? AS goes_out"
            " FROM photos WHERE farm = ? ORDER BY id",
            *(MOST_OF_PHOTOS, farm),
        )
        return tuple(
            PhotoRow(row["id"], row["run"], row["name"], row["size"], bool(row["goes_out"])) for row in rows
        )

    def photo(self, farm: int, photo: int) -> bytes:
        """One photo of the farm; empty where there is none."""
        found = self.file.value("SELECT picture FROM photos WHERE farm = ? AND id = ?", farm, photo)
        return cast("bytes", found or b"")

    def photo_sent(self, photo: int) -> SentRow | None:
        """Who sent a photo or paper; `None` where it is gone."""
        row = self.file.row(
            "SELECT farm, source, name, length(picture) AS size FROM photos WHERE id = ?", photo
        )
        return SentRow(row["farm"], row["source"], row["name"], row["size"]) if row else None

    def advised(self, farm: int, run: int) -> frozenset[str]:
        """The cautions given on this run (0: on the farm as a whole)."""
        rows = self.file.rows("SELECT code FROM advice WHERE farm = ? AND run = ?", farm, run)
        return frozenset(row["code"] for row in rows)

    def add_advice(self, farm: int, run: int, codes: Iterable[str]) -> None:
        """Remember that these cautions were given."""
        self.file.change_many(
            "INSERT INTO advice VALUES (?, ?, ?) ON CONFLICT DO NOTHING",
            [(farm, run, code) for code in codes],
        )

    # Bells.

    def reminders(self, farm: int, run: int) -> tuple[Reminder, ...]:
        """Every bell a run ever had, by the time it was or is due."""
        rows = self.file.rows(
            "SELECT * FROM reminders WHERE farm = ? AND run = ? ORDER BY due_at, id", farm, run
        )
        return tuple(map(_reminder, rows))

    def pending(self, farm: int, run: int) -> tuple[Reminder, ...]:
        """The bells of a run that have yet to ring, or to ring again, by the time they were or are due."""
        rows = self.file.rows(
            "SELECT * FROM reminders WHERE farm = ? AND run = ? AND next_at IS NOT NULL ORDER BY due_at, id",
            farm,
            run,
        )
        return tuple(map(_reminder, rows))

    def add_bells(self, farm: int, bells: Iterable[Bell]) -> None:
        """Set new bells. A withdrawn one is set again; one that waits, rang or was answered is left."""
        self.file.change_many(
            "INSERT INTO reminders"
            " (farm, run, step, grp, batch, fish, look, due_at, wakes, once, state, next_at)"
            " VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, 'waiting', ?8)"
            " ON CONFLICT (farm, run, step, grp, batch, fish, look) DO UPDATE"
            " SET due_at = excluded.due_at, wakes = excluded.wakes, once = excluded.once,"
            " state = excluded.state, next_at = excluded.next_at"
            " WHERE state = 'withdrawn'",
            [_bell_row(farm, bell) for bell in bells],
        )

    def move_bell(self, farm: int, reminder: int, bell: Bell) -> None:
        """A waiting bell becomes this one: another hour, another number of the look. One that rang stays."""
        _, *values = _bell_row(farm, bell)
        self.file.change(
            "UPDATE reminders SET run = ?1, step = ?2, grp = ?3, batch = ?4, fish = ?5, look = ?6,"
            " due_at = ?7, next_at = ?7, wakes = ?8, once = ?9"
            " WHERE farm = ?10 AND id = ?11 AND state = 'waiting'",
            *(*values, farm, reminder),
        )

    def end_bells(self, farm: int, reminders: Iterable[int], state: BellState) -> None:
        """These bells ring no more."""
        self.file.change_many(
            "UPDATE reminders SET state = ?, next_at = NULL WHERE farm = ? AND id = ?",
            [(state, farm, reminder) for reminder in reminders],
        )

    def ringing(self, farm: int) -> tuple[Reminder, ...]:
        """The bells that rang and wait for an answer, by the time they were due."""
        rows = self.file.rows(
            "SELECT * FROM reminders WHERE farm = ? AND state = 'ringing' ORDER BY due_at, id",
            farm,
        )
        return tuple(map(_reminder, rows))

    def mark_rung(
        self,
        farm: int,
        reminder: int,
        attempts: int,
        at: datetime,
        next_at: datetime | None,
        state: BellState,
    ) -> None:
        """A bell rang for the `attempts`th time; `next_at` is when it rings again."""
        self.file.change(
            "UPDATE reminders SET attempts = ?, last_rung_at = ?, next_at = ?, state = ?"
            " WHERE farm = ? AND id = ?",
            *(attempts, stamp(at), _stamp(next_at), state, farm, reminder),
        )

    # Of a chat, whatever farm it speaks for.

    def reach(self, chat: str, unreachable_at: datetime | None) -> None:
        """From when on nobody can be reached in this chat; `None`: they can."""
        self.file.change("UPDATE chats SET unreachable_at = ? WHERE key = ?", _stamp(unreachable_at), chat)

    def private_chat(self, person: int) -> ChatRow | None:
        """The chat of this person alone with us."""
        row = self.file.row(
            "SELECT chats.* FROM chats JOIN people ON people.key = chats.key"
            " WHERE people.id = ? AND private = 1",
            person,
        )
        return _chat(row) if row else None

    # Over all farms: for the alarm clock, and for whoever fetches photos and watches our pulse.

    def photos_to_fetch(self, limit: int = 10) -> tuple[tuple[int, str], ...]:
        """Photos that the messenger still keeps for us: our id and its own."""
        rows = self.file.rows("SELECT id, file_id FROM photos WHERE file_id <> '' ORDER BY id LIMIT ?", limit)
        return tuple((row["id"], row["file_id"]) for row in rows)

    def fetched(self, photo: int, picture: bytes) -> None:
        """The photo is here; empty where it cannot be had."""
        self.file.change("UPDATE photos SET picture = ?, file_id = '' WHERE id = ?", picture, photo)

    def pulse(self, name: str, at: datetime) -> None:
        """Something that should go on for ever went on at this time."""
        self.file.change(
            "INSERT INTO vitals VALUES (?, ?) ON CONFLICT (name) DO UPDATE SET at = excluded.at",
            *(name, stamp(at)),
        )

    def no_pulse(self, name: str) -> None:
        """It has been dealt with."""
        self.file.change("DELETE FROM vitals WHERE name = ?", name)

    def last_pulse(self, name: str) -> datetime | None:
        """When it last went on."""
        return _moment(self.file.value("SELECT at FROM vitals WHERE name = ?", name))

    def farms_called(self, name: str) -> tuple[int, ...]:
        """The farms of that name, whatever its case, but for deleted ones."""
        rows = self.file.rows("SELECT id, name FROM farms WHERE goes_at IS NULL ORDER BY id")
        return tuple(row["id"] for row in rows if row["name"].casefold() == name.casefold())

    def living_farms(self, since: datetime) -> tuple[int, ...]:
        """The farms with an open run, or with anything said since then."""
        rows = self.file.rows(
            "SELECT farm FROM (SELECT farm FROM runs WHERE state = 'open' UNION SELECT farm FROM outbox"
            " WHERE at > ?1 AND farm IS NOT NULL)"
            " WHERE farm NOT IN (SELECT id FROM farms WHERE goes_at IS NOT NULL) ORDER BY farm",
            stamp(since),
        )
        return tuple(row["farm"] for row in rows)

    def next_due(self) -> datetime | None:
        """When the next bell of any farm rings."""
        return _moment(
            self.file.value(
                f"SELECT next_at FROM reminders WHERE next_at IS NOT NULL AND {_NOT_GOING}"
                " ORDER BY next_at, farm, id LIMIT 1"
            )
        )

    def due(self, now: datetime, limit: int = 100) -> tuple[Reminder, ...]:
        """The bells of all farms to be rung at or before `now`, by time, farm and id."""
        rows = self.file.rows(
            f"SELECT * FROM reminders WHERE next_at <= ? AND {_NOT_GOING} ORDER BY next_at, farm, id LIMIT ?",
            *(stamp(now), limit),
        )
        return tuple(map(_reminder, rows))

    def last_written(self) -> datetime | None:
        """The time of the last message that came in or went out, or of the last pulse; cheap, unlike
        `newest_time`."""
        return _moment(
            self.file.value(
                "SELECT max(at) FROM (SELECT max(at) AS at FROM vitals"
                " UNION ALL SELECT received_at FROM inbox WHERE id = (SELECT max(id) FROM inbox)"
                " UNION ALL SELECT at FROM outbox WHERE id = (SELECT max(id) FROM outbox))"
            )
        )

    def overdue(self, now: datetime) -> int:
        """How many bells of all farms should have rung."""
        found = self.file.value(
            f"SELECT count(*) FROM reminders WHERE next_at <= ? AND {_NOT_GOING}", stamp(now)
        )
        return cast("int", found)

    def newest_time(self) -> datetime | None:
        """The time of the newest thing that came in, went out or was said."""
        return _moment(
            self.file.value(
                "SELECT max(at) FROM (SELECT max(received_at) AS at FROM inbox"
                " UNION ALL SELECT max(at) FROM outbox UNION ALL SELECT max(said_at) FROM events)"
            )
        )


def _chat(row: sqlite3.Row) -> ChatRow:
    awaiting = None if row["awaiting"] is None else from_plain(Awaiting, json.loads(row["awaiting"]))
    return ChatRow(
        row["key"],
        bool(row["private"]),
        row["farm"],
        awaiting,
        row["offset_minutes"],
        _moment(row["unreachable_at"]),
        _moment(row["settled_at"]),
    )


def _event_row(farm: int, event: Event) -> tuple[object, ...]:
    if event.farm != farm:
        raise ValueError(f"event {event.id} is one of farm {event.farm}, not of {farm}")
    times = (stamp(event.said_at), stamp(event.at))
    body = as_json(to_plain(event.what))
    return (farm, event.id, event.run, *times, event.by, event.source, event.what.kind, body)


@functools.lru_cache(maxsize=4096)
def _happening(body: str) -> Happening:
    """What an event tells. Each bell and message of a night reads the same events again."""
    return cast("Happening", from_plain(Happening, json.loads(body)))


_EVENT = "farm, id, run, said_at, at, by, source, body"


def _event(row: sqlite3.Row) -> Event:
    return _event_of(*row)


@functools.lru_cache(maxsize=8192)
def _event_of(
    farm: int, number: int, run: int, said_at: int, at: int, by: int | None, source: str | None, body: str
) -> Event:
    """The same row is the same event, as long as it is remembered (`core.once` leans on it)."""
    return Event(number, farm, run, moment(said_at), moment(at), _happening(body), by, source)


@functools.lru_cache(maxsize=2048)
def _run_row(body: str) -> RunRow:
    """A line of the results book. Each message of a farm looks at its newest fifty again."""
    return cast("RunRow", from_plain(RunRow, json.loads(body)))


def _bell_row(farm: int, bell: Bell) -> tuple[object, ...]:
    key = bell.key
    parts = (key.step, key.group, key.batch, key.fish, key.look)
    return (farm, bell.run, *parts, stamp(bell.due_at), bell.wakes, bell.once)


def _reminder(row: sqlite3.Row) -> Reminder:
    key = StepKey(row["step"], row["grp"], row["batch"], row["fish"], row["look"])
    return Reminder(
        id=row["id"],
        farm=row["farm"],
        bell=Bell(row["run"], key, moment(row["due_at"]), bool(row["wakes"]), bool(row["once"])),
        state=row["state"],
        attempts=row["attempts"],
        next_at=_moment(row["next_at"]),
        last_rung_at=_moment(row["last_rung_at"]),
    )
