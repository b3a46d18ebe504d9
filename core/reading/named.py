"""Which run an act is told of: its species is named beside it, one or several in one message."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import cast

from core.commands import (
    Act,
    Cancel,
    Collect,
    Correction,
    Death,
    EggCount,
    EggsRunning,
    Fertilised,
    Finished,
    Hatched,
    Injection,
    LeftOut,
    NotYetSaid,
    Plan,
    Reading,
    Spawned,
    StepSaid,
    Strip,
    Temperature,
    Unclear,
    Understood,
)
from core.reading import topics
from core.reading.items import Item
from core.reading.message import COMMA, Message

OfRun = (
    Injection
    | EggsRunning
    | Strip
    | EggCount
    | Fertilised
    | Hatched
    | Finished
    | StepSaid
    | NotYetSaid
    | Death
    | Spawned
    | Collect
    | Temperature
    | LeftOut
    | Plan
    | Cancel
)
FEEDING = ("first-feed", "set-live-food")


def told_of_runs(message: Message, whole: Understood, read: Callable[[Message], Understood]) -> Understood:
    """What a message says, each act with the run it names; `whole` is how it reads without heed to that.

    Acts of several runs are read apart with `read`; where one of them is unclear, all are asked about.
    """
    names = _runs(message)
    if len(names) == 1:
        return _with(whole, names[0])
    if not names or not (_is_of_a_run(whole.main) or _is_lost(whole.main)):
        return whole
    told = [_with(read(part.message), name) for part in _parts(message) for name in part.names]
    readings = [reading for one in told for reading in (one.main, *one.also)]
    if readings and all(isinstance(reading, OfRun) for reading in readings):
        return Understood(readings[0], tuple(readings[1:]))
    if _is_lost(whole.main):
        return whole
    acts = [way for reading in readings or [whole.main] for way in _ways(reading)]
    return Understood(Unclear("ambiguous_intent", tuple(acts)))


def _ways(reading: Reading) -> tuple[Act, ...]:
    if isinstance(reading, Unclear):
        return reading.candidates
    return () if isinstance(reading, Correction) else (reading,)


def _is_lost(reading: Reading) -> bool:
    return isinstance(reading, Unclear) and not reading.candidates


def _is_of_a_run(reading: Reading) -> bool:
    return any(isinstance(way, OfRun) for way in _ways(reading))


def _runs(message: Message) -> list[str]:
    """The runs it names, each once: slugs, or words of several species. "Gariepinus catfish" is one."""
    names: list[str] = []
    before: str | None = None
    if message.species is None and message.any_of("species_word") is None:
        return names
    for item in message.items:
        slug = item.one_of("species")
        kin = message.view.kin.get(item.text, ()) if item.one_of("species_word") is not None else ()
        if slug is not None and names and before == names[-1] and slug in message.view.kin.get(before, ()):
            names[-1] = slug
        elif slug is not None or (item.one_of("species_word") is not None and before not in kin):
            names.append(slug or item.text)
        before = slug or (item.text if item.one_of("species_word") is not None else None)
    return list(dict.fromkeys(names))


@dataclass(frozen=True, slots=True)
class _Part:
    names: tuple[str, ...]
    message: Message


def _parts(message: Message) -> list[_Part]:
    """The message cut where another run is named; a name that stands alone shares what is told next to it."""
    shared: list[str] = []
    found: list[tuple[list[str], list[Item]]] = []
    for clause in message.clauses():
        names = _runs(clause)
        if names and _tells_nothing(clause):
            shared += names
        elif names or not found:
            found.append(([*shared, *names], list(clause.items)))
            shared = []
        else:
            found[-1][1].extend((COMMA, *clause.items))
    if found:
        found[-1][0].extend(shared)
    return [_Part(tuple(dict.fromkeys(names)), message.part(items)) for names, items in found]


def _tells_nothing(clause: Message) -> bool:
    figures = clause.kinds("num", "clock", "ago", "span", "tag", "coded", "place")
    said = any(item.one_of("say") or item.one_of("assent") for item in clause.items)
    return not figures and not said and not topics.tellings(clause)


def _with(understood: Understood, name: str) -> Understood:
    return Understood(_of(understood.main, name), tuple(_of(each, name) for each in understood.also))


def _of(reading: Reading, name: str) -> Reading:
    if isinstance(reading, Unclear):
        return replace(reading, candidates=tuple(cast(Act, _of(way, name)) for way in reading.candidates))
    if isinstance(reading, Correction):
        return replace(reading, what=cast(Act, _of(reading.what, name)))
    if isinstance(reading, StepSaid) and reading.step in FEEDING:
        return reading  # "fed them shrimp" names what was fed
    return replace(reading, run=name) if isinstance(reading, OfRun) else reading
