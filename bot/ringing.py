"""Bells that come due: whom an attempt is for, what it says, and when it comes again."""

from __future__ import annotations

import logging
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Any

from bot import outbox
from bot.gathering import gather_for_bell
from bot.hours import believed
from bot.house import Caller, House, everywhere, known
from bot.recording import hang_bells, record_alone, show
from bot.saying import farm_name_for, outgoing
from bot.store import Store, StoreFault
from core import crew, reminders
from core.assistant import bells, local_zone
from core.plain import to_plain
from core.records import Farm, Reminder
from core.replies import Reply, StepDue
from core.runs import NO_BELLS

_log = logging.getLogger(__name__)

RING_AGAIN = timedelta(minutes=10)


LONG_AWAY = timedelta(hours=12)


def next_due(house: House) -> datetime | None:
    """When the next bell of any farm is due."""
    return house.store.next_due()


def ring_due(house: House, limit: int = 100) -> int:
    """Ring every bell that is due by now, each in a commit of its own; how many rang. By a clock that is
    wrong none does."""
    rung = 0
    if not believed(house):
        return rung
    while rung < limit:
        due = house.store.due(house.clock.now(), 1)
        if not due:
            break
        _ring_guarded(house, due[0])
        rung += 1
    return rung


def _ring_guarded(house: House, reminder: Reminder) -> None:
    try:
        with house.store.transaction():
            _ring(house, reminder)
    except StoreFault:
        raise
    except Exception:  # noqa: BLE001 - an outer edge: one bell must not stop the others
        _log.exception("bell %d of farm %d failed", reminder.id, reminder.farm)
        with house.store.transaction():
            later = house.clock.now() + RING_AGAIN
            house.store.mark_rung(
                reminder.farm, reminder.id, reminder.attempts, house.clock.now(), later, reminder.state
            )


def _ring(house: House, reminder: Reminder) -> None:
    store, now = house.store, house.clock.now()
    farm = store.farm(reminder.farm)
    owner = store.owner(farm.id)
    number = reminder.bell.run
    desk = gather_for_bell(house, farm, owner, number)
    if reminder.bell.key.step == "close":
        store.mark_rung(farm.id, reminder.id, 1, now, None, "answered")
        decision = bells.end_silent(number, desk, known())
        record_alone(house, farm, decision)
        for caller in everywhere(store, farm):
            show(house, caller, decision)
        return
    if _is_overtaken(store, reminder, now):
        store.end_bells(farm.id, [reminder.id], "rung-out")
        return
    attempt = reminder.attempts + 1
    _quiet_earlier(store, reminder)
    most, apart = reminders.attempts(reminder.bell)
    again = now + apart if attempt < most else None
    store.mark_rung(farm.id, reminder.id, attempt, now, again, "ringing" if again or most > 1 else "rung-out")
    if reminder.bell.key.step == "all-well" and number != min(_open_runs(store, farm.id), default=number):
        hang_bells(house, farm, number)
        return
    coming = _coming(store, farm.id)
    called = _called(house, farm, reminder, attempt)
    decision = bells.ring(reminder, attempt, coming, called.tried, desk, known())
    for advice in decision.advice:
        store.add_advice(farm.id, advice.run, [advice.code])
    for caller in called.callers:
        for reply in decision.replies:
            _put_bell(house, caller, reminder, attempt, reply)
    if reminder.bell.once:  # it has no series behind it: the next evening's is hung now
        hang_bells(house, farm, number)


def _to_others(reply: Reply, name: str) -> Reply:
    """The words of who was rung in vain leave out whoever reads them."""
    if not isinstance(reply.fact, StepDue) or name not in reply.fact.tried:
        return reply
    others = tuple(each for each in reply.fact.tried if each != name)
    return replace(reply, fact=replace(reply.fact, tried=others))


@dataclass(frozen=True, slots=True)
class _Called:
    """Where an attempt of a bell rings, and who was rung in vain before."""

    callers: tuple[Caller, ...]
    tried: tuple[str, ...]


def _called(house: House, farm: Farm, reminder: Reminder, attempt: int) -> _Called:
    """The private chats of those whom this attempt is for; the farm's rooms too where not all of them can be
    rung alone, where it is for everybody, and when the owner is called. Everywhere, where nobody can be
    reached in any of these."""
    store, now = house.store, house.clock.now()
    members = store.crew(farm.id)
    wanted = crew.rung(members, farm.duty, reminder.bell.wakes, attempt, now)
    everybody = crew.rung(members, None, reminder.bell.wakes, attempt, now)
    alone = {member.person for member in members if member.rung_alone}
    keys = {chat.key for person in wanted if (chat := store.private_chat(person)) is not None}
    rooms = set(wanted) == set(everybody) or not set(wanted) <= alone or attempt > crew.ATTEMPTS_WITH_NEXT
    every = tuple(everywhere(store, farm))
    reachable = tuple(each for each in every if each.chat.unreachable_at is None)
    reached = tuple(each for each in reachable if (each.chat.key in keys if each.chat.private else rooms))
    tried = crew.tried(members, farm.duty, attempt, now) if reminder.bell.wakes else ()
    return _Called(reached or reachable or every, tried)


def _open_runs(store: Store, farm: int) -> list[int]:
    rows = [store.run_row(farm, number) for number in store.active_runs(farm)]
    return [row.run for row in rows if row is not None and row.state == "open"]


def _is_overtaken(store: Store, reminder: Reminder, now: datetime) -> bool:
    """After a long absence a missed look is not rung where a later one of its series was missed as well."""
    if now - reminder.bell.due_at < LONG_AWAY:
        return False
    series = reminders.series_of(reminder.bell.key)
    return any(
        each.next_at is not None and each.next_at <= now and each.bell.due_at > reminder.bell.due_at
        for each in store.pending(reminder.farm, reminder.bell.run)
        if reminders.series_of(each.bell.key) == series
    )


def _quiet_earlier(store: Store, reminder: Reminder) -> None:
    """A new look is the one to answer: the earlier ones of its series ring no more."""
    series = reminders.series_of(reminder.bell.key)
    for each in store.pending(reminder.farm, reminder.bell.run):
        key = each.bell.key
        if reminders.series_of(key) == series and key.look < reminder.bell.key.look and each.attempts:
            store.end_bells(reminder.farm, [each.id], "rung-out")


def _coming(store: Store, farm: int) -> datetime | None:
    times = [
        each.next_at
        for number in store.active_runs(farm)
        for each in store.pending(farm, number)
        if each.next_at is not None and each.bell.key.step not in NO_BELLS
    ]
    return min(times, default=None)


def _put_bell(house: House, caller: Caller, reminder: Reminder, attempt: int, reply: Reply) -> None:
    farm, chat, reader, key = caller.farm, caller.chat, caller.person, reminder.bell.key
    told: Mapping[str, Any] = {
        "step": key.step,
        "due": to_plain(reminder.bell.due_at, local_zone(farm)),
        "run": reminder.bell.run,
        "group": key.group,
        "batch": key.batch,
        "fish": key.fish,
        "look": key.look,
        "attempt": attempt,
    }
    parts = (reminder.bell.run, key.group, key.batch, key.step, key.fish, key.look, attempt, chat.key)
    outs = outgoing(
        farm,
        chat.key,
        reader,
        _to_others(reply, reader.name) if chat.private else reply,
        house.clock.now(),
        farm_name_for(house, farm, reader),
        reminder=dict(told),
        reminder_id=reminder.id,
        unique="/".join(map(str, parts)),
        alarm=reminder.bell.wakes,
    )
    tried = list(reply.fact.tried) if isinstance(reply.fact, StepDue) else []
    for out in outs:
        outbox.put(house.store, farm.id, replace(out, facts={**out.facts, "tried": tried}))
