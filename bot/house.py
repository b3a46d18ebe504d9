"""What every call of the talk needs, and who speaks where for which farm."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from bot import knowledge, links
from bot.clock import Clock, Dial
from bot.doors import Doors
from bot.store import ChatRow, Store
from core.assistant import Knowledge
from core.records import Farm, Person


@dataclass(frozen=True, slots=True)
class House:
    """What every call needs: the store, the clock, how wide the door stands (`None`: no limit), the chat of
    whoever runs the bot ("": nobody), what stands before the code of a link to join by, what makes codes, and
    the dial that tells whether the clock is right (`None`: it always is)."""

    store: Store
    clock: Clock
    doors: Doors | None = None
    operator: str = ""
    link: str = ""
    code: Callable[[], str] = links.code
    dial: Dial | None = None


@dataclass(frozen=True, slots=True)
class Caller:
    """Who speaks, where, and for which farm; `answers` is the message that replies in a group hang on."""

    person: Person
    chat: ChatRow
    farm: Farm
    answers: str = ""


def known() -> Knowledge:
    """The cards, their sources and the shelf of liquids, as core wants them."""
    return Knowledge(knowledge.cards(), knowledge.sources(), knowledge.shelf(), knowledge.columns())


def reader_in(store: Store, chat: ChatRow, owner: Person) -> Person:
    """For whom words in a chat are: whoever it is the private chat of, in a room the owner."""
    return (store.person(chat.key) if chat.private else None) or owner


def everywhere(store: Store, farm: Farm) -> Iterator[Caller]:
    """Each chat where the farm's bells ring, and for whom words are there."""
    owner = store.owner(farm.id)
    for chat in store.chats(farm.id):
        yield Caller(reader_in(store, chat, owner), chat, farm)
