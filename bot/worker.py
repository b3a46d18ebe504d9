"""Inbox rows to the service, one after the other; what fails three times is set aside and said."""

from __future__ import annotations

import logging
from collections.abc import Callable
from datetime import datetime

from bot import inbox, service
from bot.inbox import InboxRow
from bot.messages import Incoming
from bot.service import House
from bot.store import StoreFault
from core.records import Person

TRIES = 3
_log = logging.getLogger(__name__)


def work(house: House, read: Callable[[InboxRow], Incoming] = inbox.reading) -> datetime | None:
    """Answer all that waits in the inbox, bells due before it first; gives when the next bell is due."""
    while rows := inbox.waiting(house.store, 1):
        service.ring_due(house)
        _answer(house, rows[0], read)
    return service.next_due(house)


def _answer(house: House, row: InboxRow, read: Callable[[InboxRow], Incoming]) -> None:
    try:
        with house.store.transaction():
            service.answer(house, read(row))
            inbox.done(house.store, row.id)
    except StoreFault:
        raise
    except Exception:  # noqa: BLE001 - an outer edge: one message must not stop the others
        _log.exception("inbox row %d failed", row.id)
        with house.store.transaction():
            if inbox.tried(house.store, row.id) >= TRIES:
                inbox.set_aside(house.store, row.id)
                service.refuse(house, row.chat, Person(0, ""), "could-not-read")
