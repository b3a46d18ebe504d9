"""The desk of a decision: all that it may rest on, gathered from the store; and what the reader is told."""

from __future__ import annotations

import functools
from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import UTC
from typing import TypeVar, cast, overload

from bot import extras, inbox, outbox
from bot.house import Caller, House
from bot.messages import Incoming, Outgoing
from bot.store import Store
from core import crew, reading
from core.assistant import OF_IMPORT, Desk, Figured, local_zone, why
from core.commands import UndoImport
from core.records import BOOK, Advice, Event, Farm, Person
from core.runs import fold, is_live, standing

LOOKED_BACK = 20
"""So many messages are looked through for a figure."""


AWAITED_BY_BELL = {
    "inject": "injected",
    "prime": "injected",
    "strip": "stripped",
    "check-fertilised": "fertilised",
    "check-hatch": "hatched",
    "collect-eggs": "collected",
    "check-water": "temperature",
}

T = TypeVar("T")


class Later(Sequence[T]):
    """What most messages do not ask for: read from the store when it is first looked at, and once."""

    def __init__(self, read: Callable[[], tuple[T, ...]]) -> None:
        self._read = functools.cache(read)

    def __len__(self) -> int:
        return len(self._read())

    @overload
    def __getitem__(self, place: int) -> T: ...
    @overload
    def __getitem__(self, place: slice) -> tuple[T, ...]: ...
    def __getitem__(self, place: int | slice) -> T | tuple[T, ...]:
        return self._read()[place]

    def __iter__(self) -> Iterator[T]:
        return iter(self._read())


def gather(house: House, caller: Caller, incoming: Incoming, message: Outgoing | None = None) -> Desk:
    """What a decision may rest on. Runs that are over are read only where they are spoken of."""
    store, farm = house.store, caller.farm
    edits = incoming.edits if incoming.edits and _is_their_own(store, incoming) else ""
    edited = _edited(store, farm.id, edits) if edits else None
    spoken = {message.run} if message and message.run else set()
    spoken |= {event.run for event in (edited or ())}
    spoken |= {event.run or store.next_run(farm.id) - 1 for event in store.latest_events(farm.id, 1)}
    runs = _runs(store, farm.id, spoken)
    ringing = store.ringing(farm.id)
    farms = store.farms_of(caller.person.id)
    bell = next((each for each in ringing if message and each.id == message.reminder_id), None)
    now = house.clock.now()
    awaiting = caller.chat.awaiting
    if awaiting is not None and awaiting.until is not None and awaiting.until < now:
        awaiting = None
    return Desk(
        farm=farm,
        person=caller.person,
        said_at=(incoming.sent_at or incoming.at).astimezone(UTC),
        now=now,
        source=f"{edits}#{incoming.key}" if edits else incoming.key,
        next_event=store.next_event(farm.id),
        next_run=store.next_run(farm.id),
        runs=runs,
        rows=Later(lambda: store.results(farm.id)),
        book=Later(lambda: store.book(farm.id)),
        ringing=ringing,
        bell=bell,
        awaiting=awaiting,
        advised=_advised(store, farm.id, runs),
        edited=edited,
        figure=_figure(store, caller, message),
        role=cast("crew.Role", store.role(farm.id, caller.person.id)),
        crew=store.crew(farm.id),
        has_room=store.has_room(farm.id),
        private=caller.chat.private,
        farms=tuple((number, store.farm(number).name) for number in farms)
        if caller.chat.private and len(farms) > 1
        else (),
        extra=extras.kinds(),
        imported=_imported(store, farm.id, message),
    )


def _imported(store: Store, farm: int, message: Outgoing | None) -> tuple[Event, ...]:
    """What stands of the notebook that a button of the message takes back, else of the one told last."""
    pressed = [each.command for each in message.buttons] if message else []
    source = next((str(each["source"]) for each in pressed if each["kind"] == UndoImport.kind), "")
    newest = store.latest_events(farm, 1)
    if not source and newest and (newest[0].source or "").startswith(OF_IMPORT):
        source = newest[0].source or ""
    return _edited(store, farm, source) if source else ()


def _is_their_own(store: Store, incoming: Incoming) -> bool:
    """Whether an edit is of a message of whoever edits; of one that is no longer kept the messenger knows."""
    first = inbox.find(store, incoming.edits)
    return first is None or inbox.author(store, first.id) == incoming.user


def _edited(store: Store, farm: int, key: str) -> tuple[Event, ...]:
    """What stands of all that a message and its earlier edits told."""
    told = store.events_from(farm, key)
    stands = {event.id for run in {each.run for each in told} for event in standing(store.events(farm, run))}
    return tuple(event for event in told if event.id in stands)


def _figure(store: Store, caller: Caller, message: Outgoing | None) -> Figured | None:
    """What "why?" is about: the message it replies to, else the chat's newest, that holds a figure."""
    named = (message,) if message and message.kind in why.FIGURES else ()
    for many in (1, LOOKED_BACK):  # mostly the newest holds one
        newest = outbox.newest_of(store, caller.farm.id, caller.chat.key, why.FIGURES, many)
        for each in (*named, *newest):
            figure = why.recalled(each.kind, each.run, each.facts)
            if why.holds_figure(figure):
                return figure
    return None


def _runs(store: Store, farm: int, spoken: Iterable[int] = ()) -> dict[int, tuple[Event, ...]]:
    numbers = sorted({*store.active_runs(farm), *spoken} - {BOOK})
    return {number: events for number in numbers if (events := store.events(farm, number))}


def _advised(store: Store, farm: int, runs: Iterable[int]) -> frozenset[Advice]:
    """The cautions that were given for the farm (run 0) and for each of those runs."""
    return frozenset(Advice(run, code) for run in (0, *runs) for code in store.advised(farm, run))


def told_to_reader(desk: Desk) -> reading.Context:
    """What the reader is told of the talk."""
    live = [run for run in map(fold, desk.runs.values()) if is_live(run)]
    species = {run.species for run in live}
    local = desk.said_at.astimezone(local_zone(desk.farm))
    rung = (desk.bell,) if desk.bell else desk.ringing
    return reading.Context(
        species=species.pop() if len(species) == 1 else None,
        awaiting=_awaited(desk),
        unit_system=desk.farm.unit_system,
        gallon=desk.farm.gallon,
        now=local.strftime("%H:%M"),
        lang=desk.person.lang,
        tags=tuple(fish.tag for run in live for fish in run.fish),
        waiting=tuple(fish.tag for run in live for fish in run.fish if not fish.shots),
        open_run=bool(live),
        by_volume=any(run.way == "hapa" for run in live),
        looking=any(each.bell.key.step == "check-females" for each in rung),
    )


def _awaited(desk: Desk) -> str | None:
    """What was asked for: by the chat, or by the bell that rings."""
    if desk.awaiting is not None:
        return "species" if desk.awaiting.about == "run" else desk.awaiting.about
    rung = (desk.bell,) if desk.bell else desk.ringing
    asked = {AWAITED_BY_BELL[each.bell.key.step] for each in rung if each.bell.key.step in AWAITED_BY_BELL}
    return asked.pop() if len(asked) == 1 else None


def gather_for_bell(house: House, farm: Farm, owner: Person, number: int) -> Desk:
    store, now = house.store, house.clock.now()
    runs = _runs(store, farm.id, (number,))
    return Desk(
        farm=farm,
        person=owner,
        said_at=now,
        now=now,
        source=f"bell-{farm.id}-{number}-{now.isoformat()}",
        next_event=store.next_event(farm.id),
        next_run=store.next_run(farm.id),
        runs=runs,
        rows=Later(lambda: store.results(farm.id)),
        book=Later(lambda: store.book(farm.id)),
        ringing=store.ringing(farm.id),
        advised=_advised(store, farm.id, runs),
        crew=store.crew(farm.id),
    )
