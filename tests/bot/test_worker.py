"""The worker: a row that fails takes back what it began, and holds up nobody but its own chat."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest

from bot import inbox, outbox
from bot.clock import HandClock
from bot.house import House
from bot.inbox import InboxRow
from bot.messages import Incoming
from bot.store import Store, StoreFault
from bot.worker import TRIES, work_some

NOW = datetime(2026, 6, 1, 12, 0, tzinfo=UTC)


@pytest.fixture
def house(tmp_path: Path) -> Iterator[House]:
    with closing(Store.open(tmp_path / "farm.db")) as store:
        yield House(store, HandClock(NOW))


def comes(house: House, key: str, chat: str, text: str = "catfish f 2.4 m 1.9") -> None:
    said = Incoming(key, chat, True, chat, "en", "text", NOW, 360, text=text, name=chat)
    assert inbox.receive(house.store, said)


def test_a_message_that_fails_half_way_leaves_nothing_behind(house: House) -> None:
    """The row of ada fails after its first word was written; ben's, in the same commit, does not."""

    def half_way(row: InboxRow) -> Incoming:
        if row.chat == "ada":
            house.store.add_person("half", "half", "en")
            raise RuntimeError("planted")
        return inbox.reading(row)

    comes(house, "m1", "ada")
    comes(house, "m2", "ben")
    assert work_some(house, half_way)
    assert house.store.person("half") is None
    assert [row.key for row in inbox.waiting(house.store)] == ["m1"]
    assert {out.chat for out in outbox.unsent(house.store)} == {"ben"}


def test_a_fault_of_the_store_is_no_fault_of_the_message(house: House) -> None:
    """It ends the process; at the next start the message is there, as if nobody had tried."""

    def full(row: InboxRow) -> Incoming:
        raise StoreFault("full", path="farm.db", detail="")

    comes(house, "m1", "ada")
    with pytest.raises(StoreFault):
        for _ in range(TRIES):
            work_some(house, full)
    assert [(row.key, row.tries) for row in inbox.waiting(house.store)] == [("m1", 0)]
    assert outbox.unsent(house.store) == ()


def test_what_was_said_later_in_a_chat_waits_for_what_failed_before_it(house: House) -> None:
    order: list[str] = []

    def failing_at_first(row: InboxRow) -> Incoming:
        order.append(row.key)
        if row.key == "m1" and row.tries < TRIES - 1:
            raise RuntimeError("planted")
        return inbox.reading(row)

    for key, chat in (("m1", "ada"), ("m2", "ada"), ("m3", "ben")):
        comes(house, key, chat)
    while work_some(house, failing_at_first):
        pass
    assert order == ["m1", "m3", "m1", "m1", "m2"]
