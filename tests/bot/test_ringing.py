"""What holds between a bell, its message and the people of a farm, whatever breaks off in the middle."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from bot import inbox, outbox, ringing
from bot.clock import HandClock
from bot.house import House
from bot.messages import Incoming
from bot.store import SqliteFile, Store, moment
from bot.worker import work
from core.records import Reminder
from tests.bot.village import MINUTE, Village

LOOKS = "check-females"


class Crash(BaseException):
    """The process is gone: nothing of ours may catch it."""


class Breaking(SqliteFile):
    """A file whose process is gone at the statement of that number; 0: never. Counts those that write."""

    at: int = 0
    seen: int = 0

    def change(self, sql: str, *values: object) -> int:
        self._next(sql)
        return super().change(sql, *values)

    def change_many(self, sql: str, values: Any) -> None:
        self._next(sql)
        super().change_many(sql, values)

    def rows(self, sql: str, *values: object) -> Any:
        if not sql.startswith("SELECT"):
            self._next(sql)
        return super().rows(sql, *values)

    def _next(self, sql: str) -> None:
        self.seen += 1
        if self.seen == self.at:
            raise Crash(sql)


@contextmanager
def crashing(path: Path, at: int) -> Iterator[Store]:
    """The store, whose process ends at that writing statement; whoever looks afterwards opens it anew."""
    file = Breaking(path)
    file.at, file.seen = at, 0
    with closing(file):
        yield Store(file)


def crash_everywhere(path: Path, act: Callable[[Store], None], look: Callable[[Store], Any]) -> list[Any]:
    """What stands in the file after a crash at each statement of `act`, one after the other on the same file,
    until it goes through."""
    stood = []
    for at in range(1, 200):
        try:
            with crashing(path, at) as store:
                act(store)
            return stood
        except Crash:
            with closing(Store.open(path)) as store:
                stood.append(look(store))
    raise AssertionError("it never goes through")


@pytest.fixture
def village(tmp_path: Path) -> Iterator[Village]:
    """Ada's farm: two females injected."""
    with closing(Village(tmp_path / "village.db")) as found:
        found.says("ada", "catfish f 2.4 3.1 m 1.9")
        found.says("ada", "injected")
        yield found


def first_look(village: Village) -> Reminder:
    return next(each for each in village.store.pending(1, 1) if each.bell.key.step == LOOKS)


def to_the_first_look(village: Village, more: timedelta = timedelta(0)) -> None:
    village.passes(first_look(village).bell.due_at - village.clock.now() + more)


def rung(village: Village, chat: str) -> list[tuple[int, int]]:
    """Look and attempt of every look that rang in this chat."""
    told = [row.reminder for row in village.shown if row.chat == chat and row.reminder]
    return [(each["look"], each["attempt"]) for each in told if each["step"] == LOOKS]


# A crash at any instant -----------------------------------------------------------------------------------


def test_a_crash_at_any_statement_of_a_message_is_all_or_nothing(village: Village) -> None:
    path, now = village.path, village.clock.now()
    village.close()
    said = Incoming("m9", "ada", True, "ada", "en", "text", now, text="water 27, F1 died")

    def come(store: Store) -> None:
        if inbox.find(store, "m9") is None:
            with store.transaction():
                inbox.receive(store, said)
        work(House(store, HandClock(now)))

    def look(store: Store) -> tuple[bool, bool, bool]:
        row, told = inbox.find(store, "m9"), bool(store.events_from(1, "m9"))
        answered = any("27" in message.text for message in outbox.unsent(store))
        return bool(row) and row not in inbox.waiting(store), told, answered

    stood = crash_everywhere(path, come, look)
    assert len(stood) > 10
    assert set(stood) == {(False, False, False)}
    with closing(Store.open(path)) as store:
        assert look(store) == (True, True, True)


def test_a_crash_at_any_statement_of_a_bell_loses_nothing_and_doubles_nothing(village: Village) -> None:
    path, look = village.path, first_look(village)
    village.passes(look.bell.due_at - village.clock.now() - MINUTE)
    village.close()

    def ring(store: Store) -> None:
        ringing.ring_due(House(store, HandClock(look.bell.due_at)))

    def stands(store: Store) -> tuple[int, int]:
        (bell,) = (each for each in store.reminders(1, 1) if each.id == look.id)
        return bell.attempts, sum(1 for each in outbox.unsent(store) if each.reminder_id == look.id)

    stood = crash_everywhere(path, ring, stands)
    assert len(stood) >= 3
    assert set(stood) == {(0, 0)}
    with closing(Store.open(path)) as store:
        assert stands(store) == (1, 1)


def test_an_attempt_that_is_there_already_is_not_written_twice(village: Village) -> None:
    """Whatever sets a bell's row back, its message of that attempt stands once in each chat."""
    to_the_first_look(village)
    assert rung(village, "ada") == [(1, 1)]
    village.store.file.change("UPDATE reminders SET attempts = 0, next_at = due_at WHERE step = ?", LOOKS)
    village.passes(timedelta(0))
    assert rung(village, "ada") == [(1, 1)]


# After an absence -----------------------------------------------------------------------------------------


def test_after_a_long_absence_the_newest_missed_look_rings_alone(village: Village) -> None:
    """A day and a half away: five looks were missed, the first of them more than twelve hours ago."""
    look = first_look(village)
    village.passes(look.bell.due_at - village.clock.now() - MINUTE)
    due = [each.bell.key.look for each in village.store.pending(1, 1) if each.bell.key.step == LOOKS]
    assert len(due) > 2
    village.clock.move_to(look.bell.due_at + timedelta(hours=36))
    ringing.ring_due(village.house)
    village.goes_online()
    assert rung(village, "ada") == [(due[-1], 1)]


# Who and where --------------------------------------------------------------------------------------------


def test_a_button_of_another_chat_of_the_same_farm_changes_nothing(tmp_path: Path) -> None:
    """A look rings in a chat of ada's own too; by its number its button is pressed in the room."""
    with closing(Village(tmp_path / "village.db")) as village:
        village.says("ada", "hello")
        village.says("ada", "catfish f 2.4 m 1.9", "pondside")
        village.says("ada", "ring me privately too", "pondside")
        village.says("ada", "injected", "pondside")
        due = village.store.file.value("SELECT min(due_at) FROM reminders WHERE step = ?", LOOKS)
        village.passes(moment(due) - village.clock.now())
        looks = [row for row in village.shown if (row.reminder or {}).get("step") == LOOKS]
        (look,) = (row for row in looks if row.chat == "ada")
        stood = village.stands()
        step = village.taps("ada", look.id, "not-yet", "pondside")
        assert village.stands() == stood
        assert [row.kind for row in step.rows] == ["refused"]


def test_whoever_was_not_let_in_is_not_heard(tmp_path: Path) -> None:
    with closing(Village(tmp_path / "village.db")) as village:
        village.says("ada", "catfish f 2.4 m 1.9", "pondside")
        village.says("ben", "water 27", "pondside")
        stood = [row for row in village.stands() if row[0] in ("events", "members")]
        for words in ("injected", "F1 died", "cancel", "what did F1 get?", "what next?"):
            assert village.says("ben", words, "pondside").rows == []
        assert [row for row in village.stands() if row[0] in ("events", "members")] == stood


def test_a_reader_is_not_rung_even_where_nobody_else_can_be_reached(village: Village) -> None:
    village.opens("ben", village.invites("ada").code)
    village.presses("ada", "no")
    assert village.store.role(1, village.person("ben")) == "reader"
    to_the_first_look(village, 3 * MINUTE)
    assert rung(village, "ada") == [(1, 1), (1, 2)]
    village.blocks("ada")
    village.passes(8 * MINUTE)
    assert len(rung(village, "ada")) == 6
    assert rung(village, "ben") == []


def test_a_reader_tells_nothing(village: Village) -> None:
    village.opens("ben", village.invites("ada").code)
    village.presses("ada", "no")
    stood = [row for row in village.stands() if row[0] == "events"]
    for words in ("water 27", "F1 died", "cancel", "undo"):
        village.says("ben", words)
    assert [row for row in village.stands() if row[0] == "events"] == stood


def test_an_edit_of_somebody_elses_message_mends_nothing(village: Village) -> None:
    """A messenger lets nobody do so; a forged update may try."""
    village.opens("ben", village.invites("ada").code)
    village.presses("ada", "yes")
    _, key = village.said[0]
    stands = village.told_by(key)
    assert stands[1]
    village.edits("ben", key, "catfish f 3.9 3.1 m 1.9")
    assert village.told_by(key) == stands
    village.edits("ada", key, "catfish f 2.6 3.1 m 1.9")
    assert village.told_by(key) != stands, "else this test could not fail"
