"""Inbox rows to the service, in the order they came; what fails three times is set aside and said."""

from __future__ import annotations

import logging
from collections.abc import Callable
from datetime import datetime

from bot import inbox, ringing, saying, service
from bot.house import House
from bot.inbox import InboxRow
from bot.messages import Incoming
from bot.store import StoreFault
from core.records import Person

TRIES = 3
AT_ONCE = 20
Read = Callable[[InboxRow], Incoming | None]
_log = logging.getLogger(__name__)


def work(house: House, read: Read = inbox.reading) -> datetime | None:
    """Answer all that waits in the inbox, bells due before it first; gives when the next bell is due."""
    while work_some(house, read, 1):
        pass
    return ringing.next_due(house)


def work_some(house: House, read: Read, most: int = AT_ONCE) -> bool:
    """Answer what waits, at most so many rows in one commit, each for itself; whether there was any."""
    rows = inbox.waiting(house.store, most)
    if rows:
        ringing.ring_due(house)
        with house.store.transaction():
            held: set[str] = set()
            for row in rows:
                if row.chat not in held and not _answered(house, row, read):
                    held.add(row.chat)  # what was said later in this chat waits for it
    return bool(rows)


def _answered(house: House, row: InboxRow, read: Read) -> bool:
    """Whether the row is dealt with; what `read` finds nothing to answer in is as well."""
    try:
        with house.store.part():
            incoming = read(row)
            if incoming is not None:
                service.answer(house, incoming)
            inbox.done(house.store, row.id)
        return True
    except StoreFault:
        raise
    except Exception:  # noqa: BLE001 - an outer edge: one message must not stop the others
        _log.exception("inbox row %d failed", row.id)
        if inbox.tried(house.store, row.id) < TRIES:
            return False
        inbox.set_aside(house.store, row.id)
        if row.chat:
            saying.refuse(house, row.chat, Person(0, ""), "could-not-read")
        saying.tell_operator(house, "row-aside", number=row.id)
        return True
