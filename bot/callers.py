"""Who speaks, and which farm is meant: somebody with several is asked where it is not plain."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from typing import cast

from bot import knowledge, outbox
from bot.house import Caller, House
from bot.messages import Incoming, Outgoing
from bot.saying import refuse, say
from bot.store import ChatRow, Store
from core import assistant, reading
from core.commands import EggsRunning, Finished, NotYetSaid, Snooze
from core.records import Person

SETTLED_FOR = timedelta(hours=3)
"""So long a chat of somebody with several farms means the one of a moment ago. A rule of our own."""


def whoever_speaks(store: Store, incoming: Incoming) -> Person:
    """Whoever speaks, known from their first word on."""
    person = store.person(incoming.user) or store.add_person(
        incoming.user, incoming.name or incoming.user, incoming.lang
    )
    if person.lang != incoming.lang:
        store.set_language(person.id, incoming.lang)
        person = Person(person.id, person.name, incoming.lang)
    return person


def caller_of(house: House, incoming: Incoming, person: Person) -> Caller | None:
    """The person, chat and farm; whoever speaks first in a chat founds its farm. `None` where it must be told
    first which of several farms is meant, or where a press hangs on nothing of theirs."""
    store = house.store
    chat = store.chat(incoming.chat)
    if chat is None and incoming.what == "tap":
        refuse(house, incoming.user, person, "not-member")
        return None
    if chat is None:
        name = person.name if incoming.private else incoming.title or incoming.chat
        farm = store.add_farm(name, incoming.offset_minutes, person.id, private_bells=incoming.private)
        store.add_chat(farm.id, incoming.chat, incoming.private, incoming.offset_minutes or 0)
        store.settle(farm.id, incoming.chat, house.clock.now())
        chat = cast("ChatRow", store.chat(incoming.chat))
    if chat.unreachable_at is not None:
        store.reach(chat.key, None)
    if incoming.private and not _settled(house, incoming, person, chat):
        return None
    chat = cast("ChatRow", store.chat(chat.key))
    written = incoming.what in ("text", "edit", "photo", "file") and not incoming.private
    return Caller(person, chat, store.farm(chat.farm), incoming.key if written else "")


def _settled(house: House, incoming: Incoming, person: Person, chat: ChatRow) -> bool:
    """Whether it is known which farm a private chat means: that of the message a tap or reply hangs on or an
    edit mends, the only one, the one of a moment ago, or, for a bare answer, the one whose bell rings there;
    else it is asked."""
    store, now = house.store, house.clock.now()
    farms = store.farms_here(person.id)
    named = _farm_hung_on(store, incoming, farms)
    if incoming.what == "tap" and named == 0:
        refuse(house, chat.key, person, "not-member")
        return False
    if named in store.farms_of(person.id) and (named != chat.farm or len(farms) > 1):
        store.settle(named, chat.key, now)
        return True
    lately = chat.settled_at is not None and now - chat.settled_at < SETTLED_FOR
    if len(farms) < 2 or incoming.what != "text":
        return True
    if lately and not outbox.others_rang(store, chat.farm, chat.key, cast("datetime", chat.settled_at)):
        store.settle(chat.farm, chat.key, now)
        return True
    rings = [farm for farm in farms if outbox.rings_in(store, farm, chat.key)]
    if len(rings) == 1 and _answers_a_bell(incoming):
        store.settle(rings[0], chat.key, now)
        return True
    said_at = (incoming.sent_at or incoming.at).astimezone(UTC)
    names = [(farm, store.farm(farm).name) for farm in farms]
    asked = assistant.which_farm(names, incoming.text, incoming.key, said_at)
    say(house, Caller(person, chat, store.farm(chat.farm)), asked)
    return False


def _answers_a_bell(incoming: Incoming) -> bool:
    """Whether it is a bare answer, as to the one bell that rings there."""
    about = reading.Context(lang=incoming.lang)
    said = reading.read(incoming.text, about, knowledge.lexicon(), knowledge.limits())
    return not said.also and isinstance(said.main, Finished | NotYetSaid | EggsRunning | Snooze)


def _farm_hung_on(store: Store, incoming: Incoming, farms: Sequence[int]) -> int:
    """The farm of the message that this one hangs on, 0 for none."""
    if incoming.what == "tap":
        message = outbox.in_chat(store, incoming.chat, incoming.message)
        return message.farm if message else 0
    if incoming.what == "edit":
        return next((farm for farm in farms if store.events_from(farm, incoming.edits)), 0)
    hung = hung_on(store, incoming)
    return hung.farm if hung else 0


def hung_on(store: Store, incoming: Incoming) -> Outgoing | None:
    """The message, of whatever farm, that this one replies to in its chat."""
    if incoming.replied:
        return outbox.called_in_chat(store, incoming.chat, incoming.replied)
    return outbox.in_chat(store, incoming.chat, incoming.reply_to) if incoming.reply_to else None
