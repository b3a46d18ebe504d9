"""`hatchbell import`: an old notebook from a file into the record of a farm."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import closing
from dataclasses import replace
from pathlib import Path
from typing import Literal

from bot import knowledge
from bot.clock import Clock
from bot.gathering import gather
from bot.house import Caller, House, known
from bot.messages import Incoming
from bot.notebooks import paper_of
from bot.recording import record
from bot.service import MOST_OF_A_PHOTO
from bot.store import ChatRow, Store
from core import assistant
from core.assistant import Decision, local_zone
from core.commands import ImportNotebook, NamedSpecies
from core.errors import HatchError
from core.replies import Ask

LANGUAGE = "en"


def take(
    file: Path,
    db: Path,
    farm: str,
    days: Literal["day-first", "month-first"] | None,
    clock: Clock,
    named: Sequence[str] = (),
) -> str:
    """What came of it, in words; `named` are words with the species they mean, "catfish=african-catfish".
    Raises `HatchError` for a file or a name that is not there, or what must be told first, `StoreFault`."""
    content = _content(file)
    with closing(Store.open(db, must_exist=True)) as store:
        house = House(store, clock)
        caller = _owner_of(store, farm)
        key = f"import-{file.name}-{clock.now().isoformat()}"
        at = clock.now()
        person = caller.person
        incoming = Incoming(key, caller.chat.key, True, person.name, person.lang, "file", at, name=file.name)
        with store.transaction():
            desk = replace(
                gather(house, caller, incoming), paper=paper_of(file.name, content, person.lang), role="owner"
            )
            decision = assistant.decide(ImportNotebook(0, days, _species(named)), desk, known())
            _check_told(decision)
            record(house, caller.farm, decision, caller)
        zone = local_zone(caller.farm)
        told = [knowledge.wording().say(each, lang=LANGUAGE, zone=zone, now=at) for each in decision.replies]
    return "\n".join(told)


def _species(named: Sequence[str]) -> tuple[NamedSpecies, ...]:
    told = [each.partition("=") for each in named]
    return tuple(NamedSpecies(word.strip(), slug.strip()) for word, _, slug in told)


def _check_told(decision: Decision) -> None:
    """Raises `HatchError` where something must be told first: which number of a day is the month, or which
    species a word means."""
    for reply in decision.replies:
        if isinstance(reply.fact, Ask) and reply.fact.about == "day-or-month":
            raise HatchError("which-is-the-month", day=reply.fact.words)
        if isinstance(reply.fact, Ask):
            known = [dict(button.args)["species"] for button in reply.buttons if button.args]
            raise HatchError("which-species", word=reply.fact.words, known=", ".join(map(str, known)))


def _content(file: Path) -> bytes:
    try:
        content = file.read_bytes()
    except OSError as fault:
        raise HatchError("not-read", path=str(file), detail=fault.strerror or "") from fault
    if len(content) > MOST_OF_A_PHOTO:
        raise HatchError("too-large", path=str(file))
    return content


def _owner_of(store: Store, name: str) -> Caller:
    """The owner of the farm of that name. Raises `HatchError` where there is none, or several."""
    found = store.farms_called(name)
    if len(found) != 1:
        raise HatchError("several-farms" if found else "no-such-farm", name=name)
    farm, owner = store.farm(found[0]), store.owner(found[0])
    chats = store.chats(farm.id)
    chat = next((each for each in chats if each.private), None) or ChatRow("", True, farm.id)
    return Caller(owner, chat, farm)
