"""Replies as rows of the outbox: in the language of whoever reads them, cut to what a messenger shows."""

from __future__ import annotations

import logging
from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import datetime
from typing import Any

from bot import knowledge, outbox
from bot.house import Caller, House
from bot.messages import ButtonRow, Outgoing
from core import crew, reading
from core.assistant import local_zone
from core.plain import to_plain
from core.records import Farm, Person
from core.replies import Ask, Noted, Refused, Reply

_log = logging.getLogger(__name__)

LONGEST_TEXT = 3500
"""Units of a text: under the 4096 of the messenger, with room for what it escapes."""


def refuse(house: House, chat: str, person: Person, why: str) -> None:
    """Not done, said in this chat alone, by whichever farm speaks there; without one, by none."""
    say_to(house, chat, Reply(Refused(why)), person.lang)


def tell_operator(house: House, what: str, **told: Any) -> None:
    """Whoever runs the bot hears of a trouble of its own; `told` as the fields of `Noted`."""
    log_for_operator(what, told.get("number", ""))
    write_to_operator(house, what, **told)


def log_for_operator(what: str, number: object = "") -> None:
    """The line of the log that goes with such a word."""
    _log.warning("operator: %s %s", what, number)


def write_to_operator(house: House, what: str, **told: Any) -> None:
    """The word alone, for where the log hears of it only once it is written down."""
    if house.operator:
        say_to(house, house.operator, Reply(Noted(f"operator-{what}", **told)), "en")


def operator_words(house: House, what: str) -> tuple[Outgoing, ...]:
    """The same, for when nothing can be written down."""
    if not house.operator:
        return ()
    reply = Reply(Noted(f"operator-{what}"))
    return outgoing(Farm(0, ""), house.operator, Person(0, ""), reply, house.clock.now(), "")


def say_to(house: House, chat: str, reply: Reply, lang: str) -> None:
    """Something said in a chat whoever is there, by its farm where it has one."""
    row = house.store.chat(chat)
    farm = house.store.farm(row.farm) if row else Farm(0, "")
    for out in outgoing(farm, chat, Person(0, "", lang), reply, house.clock.now(), ""):
        outbox.put(house.store, farm.id, out)


def say(house: House, caller: Caller, reply: Reply) -> None:
    """Said in a chat by its farm; to somebody who is of that farm no more, by none."""
    store, farm, person = house.store, caller.farm, caller.person
    if caller.chat.private and store.role(farm.id, person.id) not in crew.MEMBERS:
        farm = Farm(0, "")
    name, now = farm_name_for(house, farm, person), house.clock.now()
    for out in outgoing(farm, caller.chat.key, person, reply, now, name, answers=caller.answers):
        outbox.put(store, farm.id, out)


def farm_name_for(house: House, farm: Farm, reader: Person) -> str:
    """The farm's name, for whoever belongs to several."""
    return farm.name if len(house.store.farms_of(reader.id)) > 1 else ""


def outgoing(
    farm: Farm, chat: str, person: Person, reply: Reply, now: datetime, farm_name: str, **more: Any
) -> tuple[Outgoing, ...]:
    """A reply as it is stored: facts in the farm's time, words in the reader's language. What is too long for
    one message of a messenger is cut where a block ends, buttons, document and picture with the last."""
    words, zone = knowledge.wording(), local_zone(farm)
    facts = {key: value for key, value in to_plain(reply.fact, zone).items() if key != "kind"}
    if isinstance(reply.fact, Ask):
        facts["candidates"] = [reading.reading(one) for one in reply.fact.candidates]
    if reply.asks:
        facts["asks"] = reply.asks
    if reply.cautions:
        facts["cautions"] = list(reply.cautions)
    facts["farm"] = farm.name
    buttons = tuple(
        ButtonRow(
            button.action, words.label(button, lang=person.lang, zone=zone, now=now), to_plain(button.command)
        )
        for button in reply.buttons
    )
    whole = Outgoing(
        farm=farm.id,
        chat=chat,
        at=now,
        kind=reply.fact.kind,
        text="",
        facts=facts,
        buttons=buttons,
        document=reply.document,
        picture=reply.picture,
        run=int(facts.get("run") or 0),
        **more,
    )
    texts = in_parts(words.blocks(reply, lang=person.lang, zone=zone, now=now, farm_name=farm_name))
    return tuple(_part(whole, texts, place) for place in range(len(texts)))


def _part(whole: Outgoing, texts: Sequence[str], place: int) -> Outgoing:
    unique = whole.unique and f"{whole.unique}/part-{place + 1}" if place else whole.unique
    if place < len(texts) - 1:
        return replace(whole, text=texts[place], buttons=(), document=None, picture=None, unique=unique)
    return replace(whole, text=texts[place], unique=unique)


def in_parts(blocks: Sequence[str]) -> list[str]:
    """Blocks put together to as few texts as messengers can show, each at most `LONGEST_TEXT` long."""
    parts: list[str] = []
    for block in blocks:
        for piece in _pieces(block):
            longer = f"{parts[-1]}\n{piece}" if parts else piece
            if parts and units(longer) <= LONGEST_TEXT:
                parts[-1] = longer
            else:
                parts.append(piece)
    return parts


def _pieces(block: str) -> Iterator[str]:
    """A block that is longer than a message, cut at its lines, else anywhere."""
    for line in block.split("\n") if units(block) > LONGEST_TEXT else [block]:
        if units(line) <= LONGEST_TEXT:
            yield line
            continue
        step = LONGEST_TEXT // 2  # a sign has at most two units
        for at in range(0, len(line), step):
            yield line[at : at + step]


def units(text: str) -> int:
    """How long a messenger finds a text: UTF-16 units."""
    return len(text.encode("utf-16-le")) // 2
