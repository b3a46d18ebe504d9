"""The tables, as append-only steps: a step that has been released is never changed, a new one goes below it.

Times are whole microseconds since 1970 in UTC, so that a time comes back exactly as it went in. Texts named
`body`, `settings`, `facts` and the like are JSON made by `core.plain`. Every table that holds something of a
farm names the farm, and goes with it when it is deleted.
"""

from __future__ import annotations

from sqlite_utils import Database, Migrations

MIGRATIONS = Migrations("hatchbell")

_FIRST = (
    """
    CREATE TABLE people (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        key TEXT NOT NULL UNIQUE CHECK (key <> ''),
        name TEXT NOT NULL,
        lang TEXT NOT NULL CHECK (lang <> '')
    ) STRICT
    """,
    """
    CREATE TABLE farms (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        name TEXT NOT NULL,
        settings TEXT NOT NULL
    ) STRICT
    """,
    """
    CREATE TABLE members (
        farm INTEGER NOT NULL REFERENCES farms (id) ON DELETE CASCADE,
        person INTEGER NOT NULL REFERENCES people (id),
        role TEXT NOT NULL CHECK (role IN ('owner', 'hand', 'reader', 'asked', 'refused')),
        PRIMARY KEY (farm, person)
    ) STRICT
    """,
    "CREATE INDEX members_by_person ON members (person)",
    """
    CREATE TABLE chats (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        key TEXT NOT NULL UNIQUE CHECK (key <> ''),
        private INTEGER NOT NULL CHECK (private IN (0, 1)),
        farm INTEGER NOT NULL REFERENCES farms (id) ON DELETE CASCADE,
        awaiting TEXT,
        offset_minutes INTEGER NOT NULL CHECK (offset_minutes BETWEEN -1440 AND 1440)
    ) STRICT
    """,
    "CREATE INDEX chats_by_farm ON chats (farm)",
    """
    CREATE TABLE runs (
        farm INTEGER NOT NULL REFERENCES farms (id) ON DELETE CASCADE,
        number INTEGER NOT NULL CHECK (number > 0),
        state TEXT NOT NULL CHECK (state IN ('draft', 'open', 'closed', 'not-reported', 'cancelled')),
        body TEXT NOT NULL,
        PRIMARY KEY (farm, number)
    ) STRICT
    """,
    "CREATE INDEX runs_active ON runs (farm, number) WHERE state IN ('draft', 'open')",
    """
    CREATE TABLE events (
        farm INTEGER NOT NULL REFERENCES farms (id) ON DELETE CASCADE,
        id INTEGER NOT NULL CHECK (id > 0),
        run INTEGER NOT NULL CHECK (run >= 0),
        said_at INTEGER NOT NULL,
        at INTEGER NOT NULL,
        by INTEGER REFERENCES people (id),
        source TEXT,
        kind TEXT NOT NULL,
        body TEXT NOT NULL,
        PRIMARY KEY (farm, id)
    ) STRICT
    """,
    "CREATE INDEX events_by_run ON events (farm, run, id)",
    "CREATE INDEX events_by_source ON events (farm, source) WHERE source IS NOT NULL",
    """
    CREATE TABLE reminders (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        farm INTEGER NOT NULL REFERENCES farms (id) ON DELETE CASCADE,
        run INTEGER NOT NULL CHECK (run >= 0),
        step TEXT NOT NULL CHECK (step <> ''),
        grp TEXT NOT NULL,
        batch TEXT NOT NULL,
        fish TEXT NOT NULL,
        look INTEGER NOT NULL,
        due_at INTEGER NOT NULL,
        wakes INTEGER NOT NULL CHECK (wakes IN (0, 1)),
        once INTEGER NOT NULL CHECK (once IN (0, 1)),
        state TEXT NOT NULL CHECK (state IN ('waiting', 'ringing', 'rung-out', 'answered', 'withdrawn')),
        attempts INTEGER NOT NULL DEFAULT 0 CHECK (attempts >= 0),
        next_at INTEGER CHECK (next_at IS NULL OR state IN ('waiting', 'ringing')),
        last_rung_at INTEGER,
        UNIQUE (farm, run, step, grp, batch, fish, look),
        UNIQUE (farm, id)
    ) STRICT
    """,
    "CREATE INDEX reminders_due ON reminders (next_at, farm, id) WHERE next_at IS NOT NULL",
    "CREATE INDEX reminders_ringing ON reminders (farm) WHERE state = 'ringing'",
    """
    CREATE TABLE inbox (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        key TEXT NOT NULL UNIQUE CHECK (key <> ''),
        chat TEXT NOT NULL,
        received_at INTEGER NOT NULL,
        body TEXT NOT NULL,
        state TEXT NOT NULL DEFAULT 'waiting' CHECK (state IN ('waiting', 'done', 'aside')),
        tries INTEGER NOT NULL DEFAULT 0 CHECK (tries >= 0)
    ) STRICT
    """,
    "CREATE INDEX inbox_waiting ON inbox (id) WHERE state = 'waiting'",
    """
    CREATE TABLE outbox (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        farm INTEGER REFERENCES farms (id) ON DELETE CASCADE,
        chat TEXT NOT NULL CHECK (chat <> ''),
        addressee TEXT,
        at INTEGER NOT NULL,
        kind TEXT NOT NULL CHECK (kind <> ''),
        text TEXT NOT NULL,
        facts TEXT NOT NULL,
        buttons TEXT NOT NULL,
        reminder TEXT,
        reminder_id INTEGER,
        unique_key TEXT,
        alarm INTEGER NOT NULL CHECK (alarm IN (0, 1)),
        run INTEGER NOT NULL CHECK (run >= 0),
        picture TEXT,
        document TEXT,
        spent_at INTEGER,
        spent_by TEXT,
        sent_at INTEGER,
        message_id TEXT,
        state TEXT NOT NULL DEFAULT 'unsent' CHECK (state IN ('unsent', 'sent', 'dead')),
        CHECK ((state = 'sent') = (sent_at IS NOT NULL)),
        UNIQUE (farm, unique_key),
        FOREIGN KEY (farm, reminder_id) REFERENCES reminders (farm, id)
    ) STRICT
    """,
    "CREATE INDEX outbox_unsent ON outbox (alarm DESC, id) WHERE state = 'unsent'",
    "CREATE INDEX outbox_by_chat ON outbox (chat, id)",
    "CREATE INDEX outbox_of_bell ON outbox (farm, reminder_id) WHERE reminder_id IS NOT NULL",
    """
    CREATE TABLE advice (
        farm INTEGER NOT NULL REFERENCES farms (id) ON DELETE CASCADE,
        run INTEGER NOT NULL CHECK (run >= 0),
        code TEXT NOT NULL CHECK (code <> ''),
        PRIMARY KEY (farm, run, code)
    ) STRICT
    """,
)


@MIGRATIONS()
def first_tables(db: Database) -> None:
    """Everything of the first release."""
    for statement in _FIRST:
        db.execute(statement)


@MIGRATIONS()
def photos(db: Database) -> None:
    """Photos are kept in the file itself, so that a copy of it holds them too."""
    db.execute("""
        CREATE TABLE photos (
            id INTEGER PRIMARY KEY AUTOINCREMENT,
            farm INTEGER NOT NULL REFERENCES farms (id) ON DELETE CASCADE,
            run INTEGER NOT NULL CHECK (run >= 0),
            source TEXT NOT NULL,
            name TEXT NOT NULL,
            picture BLOB NOT NULL CHECK (length(picture) <= 1048576)
        ) STRICT
        """)
    db.execute("CREATE INDEX photos_by_run ON photos (farm, run)")


_WIRE = (
    "ALTER TABLE outbox ADD COLUMN tries INTEGER NOT NULL DEFAULT 0 CHECK (tries >= 0)",
    "ALTER TABLE outbox ADD COLUMN not_before INTEGER NOT NULL DEFAULT 0",
    "ALTER TABLE outbox ADD COLUMN maybe_sent INTEGER NOT NULL DEFAULT 0 CHECK (maybe_sent IN (0, 1))",
    "ALTER TABLE outbox ADD COLUMN answers TEXT NOT NULL DEFAULT ''",
    "ALTER TABLE outbox ADD COLUMN keyboard INTEGER NOT NULL DEFAULT 0 CHECK (keyboard IN (0, 1))",
    "CREATE INDEX outbox_spent ON outbox (id) WHERE keyboard = 1 AND spent_at IS NOT NULL",
    "CREATE INDEX outbox_by_message ON outbox (chat, message_id) WHERE message_id IS NOT NULL",
    "CREATE INDEX outbox_sent ON outbox (sent_at) WHERE sent_at IS NOT NULL",
    "ALTER TABLE chats ADD COLUMN unreachable_at INTEGER",
    "ALTER TABLE inbox ADD COLUMN user TEXT NOT NULL DEFAULT ''",
    "CREATE INDEX inbox_by_user ON inbox (user, received_at)",
    "CREATE INDEX inbox_done ON inbox (received_at) WHERE state <> 'waiting'",
    "ALTER TABLE photos ADD COLUMN file_id TEXT NOT NULL DEFAULT ''",
    "CREATE INDEX photos_to_fetch ON photos (id) WHERE file_id <> ''",
    """
    CREATE TABLE presses (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        query TEXT NOT NULL CHECK (query <> ''),
        at INTEGER NOT NULL,
        tries INTEGER NOT NULL DEFAULT 0 CHECK (tries >= 0),
        not_before INTEGER NOT NULL DEFAULT 0
    ) STRICT
    """,
    "CREATE TABLE vitals (name TEXT PRIMARY KEY, at INTEGER NOT NULL) STRICT",
)


@MIGRATIONS()
def wire(db: Database) -> None:
    """What a network needs: tries and pauses of what goes out, chats out of reach, who spoke how often,
    presses to be answered, and when we were last alive."""
    for statement in _WIRE:
        db.execute(statement)


_CREW = (
    "ALTER TABLE members ADD COLUMN private_bells INTEGER NOT NULL DEFAULT 0 CHECK (private_bells IN (0, 1))",
    """
    UPDATE members SET private_bells = 1 WHERE EXISTS (
        SELECT 1 FROM chats JOIN people ON people.key = chats.key
        WHERE chats.farm = members.farm AND people.id = members.person AND chats.private = 1
    )
    """,
    """
    CREATE TABLE links (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        farm INTEGER NOT NULL REFERENCES farms (id) ON DELETE CASCADE,
        hash TEXT NOT NULL UNIQUE CHECK (length(hash) = 64),
        role TEXT NOT NULL CHECK (role IN ('hand', 'reader')),
        until INTEGER NOT NULL,
        state TEXT NOT NULL DEFAULT 'open' CHECK (state IN ('open', 'spent', 'revoked'))
    ) STRICT
    """,
    "CREATE INDEX links_by_farm ON links (farm)",
    "CREATE TABLE wrong_links (person INTEGER NOT NULL REFERENCES people (id), at INTEGER NOT NULL) STRICT",
    "CREATE INDEX wrong_links_by_person ON wrong_links (person, at)",
    "ALTER TABLE chats ADD COLUMN settled_at INTEGER",
    "ALTER TABLE farms ADD COLUMN goes_at INTEGER",
    "CREATE INDEX farms_going ON farms (goes_at) WHERE goes_at IS NOT NULL",
)


@MIGRATIONS()
def crew(db: Database) -> None:
    """Several people on a farm and several farms of a person: links to join by, who is rung in their own
    chat, since when a chat means its farm, and farms that are deleted but not gone yet."""
    for statement in _CREW:
        db.execute(statement)


@MIGRATIONS()
def begun(db: Database) -> None:
    """The first files tell a run's beginning by another name: they could be opened, and no result be read."""
    db.execute("""
        UPDATE runs SET body = json_set(
            json_remove(body, '$.opened_at'), '$.begun_at', json_extract(body, '$.opened_at')
        )
        WHERE json_type(body, '$.begun_at') IS NULL AND json_type(body, '$.opened_at') IS NOT NULL
        """)


@MIGRATIONS()
def row_versions(db: Database) -> None:
    """Which version of our code made a line of the results book, so that those of before are made anew."""
    db.execute("ALTER TABLE runs ADD COLUMN version INTEGER NOT NULL DEFAULT 0 CHECK (version >= 0)")
    db.execute("CREATE INDEX runs_by_version ON runs (version)")


STEPS = tuple(step.__name__ for step in (first_tables, photos, wire, crew, begun, row_versions))


def steps_in(db: Database) -> tuple[str, ...]:
    """The steps this file has been through, in order."""
    return tuple(step.name for step in MIGRATIONS.applied(db))


def bring_up(db: Database) -> None:
    """Apply every missing step and write the schema's number; the caller holds the transaction."""
    MIGRATIONS.apply(db)
    db.execute(f"PRAGMA user_version = {len(STEPS)}")
