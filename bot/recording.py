"""A decision written down: events and changes, the bells that follow, and who must hear of it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from bot import knowledge, links, outbox
from bot.house import Caller, House, everywhere
from bot.saying import say
from bot.store import ChatRow, Store
from core import crew, reminders, results, stock
from core.assistant import Decision, Notice, local_zone
from core.records import BOOK, BottleIn, Farm, Run
from core.replies import Answered, JoinLink, Reply
from core.runs import fold, standing


def with_link(house: House, farm: Farm, decision: Decision) -> Decision:
    """The link that a decision promises, made: its code is known to nobody but whoever is shown it."""
    made = next((change for change in decision.crew if isinstance(change, crew.LinkMade)), None)
    if made is None:
        return decision
    code = house.code()
    links.add(house.store, farm.id, code, made.role, made.until)
    shown = tuple(
        replace(reply, fact=replace(reply.fact, link=house.link + code))
        if isinstance(reply.fact, JoinLink)
        else reply
        for reply in decision.replies
    )
    return replace(decision, replies=shown)


def record_alone(house: House, farm: Farm, decision: Decision) -> None:
    """What is decided with nobody there."""
    house.store.add_events(farm.id, decision.events)
    for number in sorted({event.run for event in decision.events}):
        hang_bells(house, farm, number)


def opened(path: Path, *, must_exist: bool = False) -> Store:
    """The store in that file, to be written in. Lines of the results book that an earlier version made are
    made anew of their runs' events. Raises `StoreFault`."""
    store = Store.open(path, must_exist=must_exist)
    with store.transaction():
        for farm, number in store.older_rows(results.ROW_VERSION):
            _save_row(store, fold(store.events(farm, number)))
    return store


def _save_row(store: Store, run: Run) -> None:
    row = results.row_of(run, knowledge.cards().get(run.species))
    store.save_run(run.farm, row, results.ROW_VERSION)


def _change(store: Store, farm: int, change: crew.CrewChange) -> None:
    """Something of the farm's people changes."""
    match change:
        case crew.RoleGiven():
            store.set_role(farm, change.person, change.role)
        case crew.BellsWanted():
            store.set_private_bells(farm, change.person, change.wanted)
        case crew.LinksRevoked():
            links.revoke(store, farm)
        case crew.Gone():
            store.remove_member(farm, change.person)
            if change.refused:
                store.set_role(farm, change.person, "refused")


def record(house: House, farm: Farm, decision: Decision, caller: Caller) -> Farm:
    """The decision's events and changes, and the bells that follow; gives the farm as it is now."""
    store = house.store
    for change in decision.crew:
        _change(store, farm.id, change)
    if decision.farm is not None:
        store.save_farm(decision.farm)
        farm = decision.farm
    store.add_events(farm.id, decision.events)
    for advice in decision.advice:
        store.add_advice(farm.id, advice.run, [advice.code])
    touched = {event.run for event in decision.events}
    if decision.farm is not None:
        touched |= set(store.active_runs(farm.id))
    for number in sorted(touched - {BOOK}):
        hang_bells(house, farm, number, caller)
    if touched or decision.farm is not None:
        hang_book(house, farm, caller)
    return farm


def hang_bells(house: House, farm: Farm, number: int, caller: Caller | None = None) -> None:
    """The run's row and bells follow its events. Wherever a bell rang that the caller answers, it is said."""
    store, now = house.store, house.clock.now()
    if number == BOOK:
        hang_book(house, farm, caller)
        return
    run = fold(store.events(farm.id, number))
    _save_row(store, run)
    card = knowledge.cards().get(run.species)
    planned = reminders.plan(run, card, farm, local_zone(farm), now) if card else {}
    _follow(house, farm, number, planned, caller)


def hang_book(house: House, farm: Farm, caller: Caller | None = None) -> None:
    """The bells of the farm's own book follow what was told of its bottles, and what its runs used."""
    store, now = house.store, house.clock.now()
    events = store.events(farm.id, BOOK)
    if not any(isinstance(event.what, BottleIn) for event in events):
        return
    book, rows = standing(events), store.results(farm.id)
    planned = reminders.plan_book(stock.shelf(book, rows), rows, book, local_zone(farm), now)
    _follow(house, farm, BOOK, planned, caller)


def _follow(house: House, farm: Farm, number: int, planned: reminders.Plan, caller: Caller | None) -> None:
    """The stored bells become the planned ones."""
    store, now = house.store, house.clock.now()
    changes = reminders.differ(store.reminders(farm.id, number), planned)
    ended = {reminder for reminder, state in changes.end if state == "answered"}
    rang = [each for each in store.ringing(farm.id) if each.id in ended] if caller and ended else []
    for reminder, state in changes.end:
        store.end_bells(farm.id, [reminder], state)
        if state == "answered":
            outbox.spend_bell(store, farm.id, reminder, caller.person.name if caller else "", now)
    for reminder, bell in changes.move:
        store.move_bell(farm.id, reminder, bell)
    store.add_bells(farm.id, changes.add)
    if caller is not None and rang:
        newest = max(rang, key=lambda each: each.last_rung_at or each.bell.due_at)
        _tell_others(house, caller, newest.id, newest.bell.key.step)


def _tell_others(house: House, caller: Caller, reminder: int, step: str) -> None:
    """In every other chat where this bell rang: who answered, and when."""
    rang = outbox.chats_of_bell(house.store, caller.farm.id, reminder)
    answered = Reply(Answered(caller.person.name, house.clock.now(), step, elsewhere=True))
    for other in everywhere(house.store, caller.farm):
        if other.chat.key in rang and other.chat.key != caller.chat.key:
            say(house, other, answered)


def notify(house: House, farm: Farm, notice: Notice, left: ChatRow | None) -> None:
    """Told to somebody in their own chat, else in the farm's rooms; whoever `left` it just now hears it there
    alone."""
    store = house.store
    chat = left or store.private_chat(notice.person)
    person = store.person(chat.key) if chat else None
    if chat is not None and person is not None and chat.unreachable_at is None:
        say(house, Caller(person, chat, farm), notice.reply)
        return
    for other in everywhere(store, farm):
        if not other.chat.private:
            say(house, other, notice.reply)


def show(house: House, caller: Caller, decision: Decision) -> None:
    for reply in decision.replies:
        say(house, caller, reply)
