"""Gather what a message or a bell needs, let core decide, and write it all down in one commit.

Plain functions over a `House`. Telegram, terminal, script and tests call these; whoever calls carries the
outbox rows on and asks `next_due` when to call again.
"""

from __future__ import annotations

import base64
import logging
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from typing import Any, cast

from bot import doors, inbox, knowledge, links, outbox
from bot.clock import Clock
from bot.doors import Doors
from bot.messages import ButtonRow, Incoming, Outgoing
from bot.store import ChatRow, Store, StoreFault
from core import assistant, crew, reading, reminders, results
from core.assistant import Decision, Desk, Figured, Knowledge, Notice, bells, local_zone, why
from core.commands import Awaiting, Command, Finished, Greeting, Unclear, Understood
from core.plain import from_plain, to_plain
from core.records import Advice, Event, Farm, Opened, Person, Reminder
from core.replies import Answered, Ask, JoinLink, Noted, Refused, Reply
from core.runs import NO_BELLS, fold, is_live, standing

_log = logging.getLogger(__name__)

MOST_OF_A_PHOTO = 1024 * 1024
RING_AGAIN = timedelta(minutes=10)
TYPED_WITHIN = timedelta(hours=3)
LINKS_KEPT = timedelta(days=30)
SETTLED_FOR = timedelta(hours=3)
"""So long a chat of somebody with several farms means the one of a moment ago. A rule of our own."""
READ_AS_WORDS = ("done", "not-yet", "eggs-run", "undo", "cancel", "inject-now")
LONG_AWAY = timedelta(hours=12)
LIVING = timedelta(days=30)
LOOKED_BACK = 20
"""So many messages are looked through for a figure."""
LONGEST_TEXT = 3500
"""Units of a text: under the 4096 of the messenger, with room for what it escapes."""
ANSWERED_BY = {
    "cup_ml": "larvae_count",
    "cup_litres": "larvae_count",
    "larvae_per_ml": "measure",
    "larvae_per_cup": "measure",
}
"""The intents that answer a question of another name."""
AWAITED_BY_BELL = {
    "inject": "injected",
    "prime": "injected",
    "strip": "stripped",
    "check-fertilised": "fertilised",
    "check-hatch": "hatched",
    "collect-eggs": "collected",
    "check-water": "temperature",
}


@dataclass(frozen=True, slots=True)
class House:
    """What every call needs: the store, the clock, how wide the door stands (`None`: no limit), the chat of
    whoever runs the bot ("": nobody), what stands before the code of a link to join by, what makes codes."""

    store: Store
    clock: Clock
    doors: Doors | None = None
    operator: str = ""
    link: str = ""
    code: Callable[[], str] = links.code


@dataclass(frozen=True, slots=True)
class Caller:
    """Who speaks, where, and for which farm; `answers` is the message that replies in a group hang on."""

    person: Person
    chat: ChatRow
    farm: Farm
    answers: str = ""


def known() -> Knowledge:
    """The cards, their sources and the shelf of liquids, as core wants them."""
    return Knowledge(knowledge.cards(), knowledge.sources(), knowledge.shelf())


def tidy(house: House) -> None:
    """Deleted farms whose days are over go for good; links that open nothing are forgotten."""
    store, now = house.store, house.clock.now()
    for farm in store.going(now):
        store.remove_farm(farm)
    links.prune(store, now - LINKS_KEPT)


def next_due(house: House) -> datetime | None:
    """When the next bell of any farm is due."""
    return house.store.next_due()


# A message ------------------------------------------------------------------------------------------------


def answer(house: House, incoming: Incoming) -> None:
    """Decide one incoming message and write down all it brings. To be called inside a transaction."""
    match incoming.what:
        case "joined":
            _joined(house, incoming)
        case "left":
            _left(house, incoming)
        case "migrated":
            house.store.rename_chat(incoming.chat, incoming.text)
        case _ if not _turned_away(house, incoming):
            _heard(house, incoming)


def _turned_away(house: House, incoming: Incoming) -> bool:
    """Whether the door is shut to this message; who speaks too much is told so once."""
    if house.doors is None:
        return False
    found = doors.refusal(house.doors, house.store, incoming, house.clock.now())
    if found is not None and found.said and (incoming.private or incoming.what == "tap"):
        refuse(house, incoming.chat, Person(0, "", incoming.lang), found.why)
    return found is not None


def _joined(house: House, incoming: Incoming) -> None:
    """We were taken into a group: what to say there, and what we cannot hear."""
    _say_to(house, incoming.chat, Reply(Noted("group-hello")), incoming.lang)
    if incoming.text == "privacy":
        _say_to(house, incoming.chat, Reply(Noted("group-privacy")), incoming.lang)


def tell_operator(house: House, what: str, *, number: float | None = None, word: str = "") -> None:
    """Whoever runs the bot hears of a trouble of its own."""
    _log.warning("operator: %s %s", what, "" if number is None else f"{number:g}")
    if house.operator:
        _say_to(house, house.operator, Reply(Noted(f"operator-{what}", number=number, word=word)), "en")


def tell_absence(house: House, since: datetime) -> None:
    """Every farm that lives hears from when to when nobody was there: what was sent then may be lost."""
    store, now = house.store, house.clock.now()
    for number in store.living_farms(now - LIVING):
        farm = store.farm(number)
        owner = store.owner(number)
        for chat in store.chats(number):
            reader = _reader(store, chat, owner)
            _say(house, Caller(reader, chat, farm), Reply(Noted("was-away", at=since, next_at=now)))


def _left(house: House, incoming: Incoming) -> None:
    chat = house.store.chat(incoming.chat)
    if chat is not None:
        out_of_reach(house, chat)


def out_of_reach(house: House, chat: ChatRow) -> None:
    """Nobody can be told anything in this chat: whoever else is of its farms hears it."""
    store, now = house.store, house.clock.now()
    if chat.unreachable_at is not None:
        return
    store.reach(chat.key, now)
    person = store.person(chat.key) if chat.private else None
    for number in _farms(store, person.id) if person else (chat.farm,):
        farm, owner = store.farm(number), store.owner(number)
        fact = Noted("out-of-reach", word=person.name if person else farm.name)
        for other in store.chats(number):
            if other.key != chat.key and other.unreachable_at is None:
                _say(house, Caller(_reader(store, other, owner), other, farm), Reply(fact))


def _farms(store: Store, person: int) -> tuple[int, ...]:
    """The farms that somebody belongs to."""
    return tuple(farm for farm in store.farms_of(person) if store.role(farm, person) in crew.MEMBERS)


def _reader(store: Store, chat: ChatRow, owner: Person) -> Person:
    """For whom words in a chat are: whoever it is the private chat of, in a room the owner."""
    return (store.person(chat.key) if chat.private else None) or owner


def _heard(house: House, incoming: Incoming) -> None:
    person = _person(house.store, incoming)
    if incoming.what == "open":
        _opened(house, incoming, person)
        return
    caller = _caller(house, incoming, person)
    if caller is None:
        return
    role = house.store.role(caller.farm.id, person.id)
    if role not in crew.MEMBERS:
        _stranger(house, caller, incoming, asked=role is not None)
    elif incoming.what == "tap":
        _pressed(house, caller, incoming)
    elif incoming.what == "photo":
        _photographed(house, caller, incoming)
    else:
        _said(house, caller, incoming)


def _person(store: Store, incoming: Incoming) -> Person:
    """Whoever speaks, known from their first word on."""
    person = store.person(incoming.user) or store.add_person(
        incoming.user, incoming.name or incoming.user, incoming.lang
    )
    if person.lang != incoming.lang:
        store.set_language(person.id, incoming.lang)
        person = Person(person.id, person.name, incoming.lang)
    return person


def _opened(house: House, incoming: Incoming, person: Person) -> None:
    """Somebody followed a link: it opens its farm once, or says the same whatever is wrong with it."""
    store, now = house.store, house.clock.now()
    found = links.opened(store, person.id, incoming.text, now) if incoming.private else None
    if found is None:
        refuse(house, incoming.user, person, "link-unknown")
        return
    store.set_role(found.farm, person.id, "reader")
    store.set_private_bells(found.farm, person.id, True)
    if store.chat(incoming.chat) is None:
        store.add_chat(found.farm, incoming.chat, True, incoming.offset_minutes or 0)
    store.settle(found.farm, incoming.chat, now)
    chat = cast("ChatRow", store.chat(incoming.chat))
    caller = Caller(person, chat, store.farm(found.farm))
    desk = _desk(house, caller, incoming)
    _apply(house, caller, desk, assistant.join(found.role, desk, known()))


def _caller(house: House, incoming: Incoming, person: Person) -> Caller | None:
    """The person, chat and farm; whoever speaks first in a chat founds its farm. `None` where it must be told
    first which of several farms is meant, or where a press hangs on nothing of theirs."""
    store = house.store
    chat = store.chat(incoming.chat)
    if chat is None and incoming.what == "tap":
        refuse(house, incoming.user, person, "not-member")
        return None
    if chat is None:
        name = person.name if incoming.private else incoming.chat
        farm = store.add_farm(name, incoming.offset_minutes, person.id, private_bells=incoming.private)
        store.add_chat(farm.id, incoming.chat, incoming.private, incoming.offset_minutes or 0)
        store.settle(farm.id, incoming.chat, house.clock.now())
        chat = cast("ChatRow", store.chat(incoming.chat))
    if chat.unreachable_at is not None:
        store.reach(chat.key, None)
    if incoming.private and not _settled(house, incoming, person, chat):
        return None
    chat = cast("ChatRow", store.chat(chat.key))
    written = incoming.what in ("text", "edit", "photo") and not incoming.private
    return Caller(person, chat, store.farm(chat.farm), incoming.key if written else "")


def _settled(house: House, incoming: Incoming, person: Person, chat: ChatRow) -> bool:
    """Whether it is known which farm a private chat means: that of the message a tap or reply hangs on or an
    edit mends, the only one, or the one of a moment ago; else it is asked."""
    store, now = house.store, house.clock.now()
    farms = store.farms_here(person.id)
    named = _farm_hung_on(store, incoming, farms)
    if incoming.what == "tap" and named == 0:
        refuse(house, chat.key, person, "not-member")
        return False
    if named in _farms(store, person.id) and (named != chat.farm or len(farms) > 1):
        store.settle(named, chat.key, now)
        return True
    lately = chat.settled_at is not None and now - chat.settled_at < SETTLED_FOR
    if len(farms) < 2 or incoming.what != "text":
        return True
    if lately and not outbox.others_rang(store, chat.farm, chat.key, cast("datetime", chat.settled_at)):
        store.settle(chat.farm, chat.key, now)
        return True
    said_at = (incoming.sent_at or incoming.at).astimezone(UTC)
    names = [(farm, store.farm(farm).name) for farm in farms]
    asked = assistant.which_farm(names, incoming.text, incoming.key, said_at)
    _say(house, Caller(person, chat, store.farm(chat.farm)), asked)
    return False


def _farm_hung_on(store: Store, incoming: Incoming, farms: Sequence[int]) -> int:
    """The farm of the message that this one hangs on, 0 for none."""
    if incoming.what == "tap":
        message = outbox.in_chat(store, incoming.chat, incoming.message)
        return message.farm if message else 0
    if incoming.what == "edit":
        return next((farm for farm in farms if store.events_from(farm, incoming.edits)), 0)
    hung = _hung_on(store, incoming)
    return hung.farm if hung else 0


def _hung_on(store: Store, incoming: Incoming) -> Outgoing | None:
    """The message, of whatever farm, that this one replies to in its chat."""
    if incoming.replied:
        return outbox.called_in_chat(store, incoming.chat, incoming.replied)
    return outbox.in_chat(store, incoming.chat, incoming.reply_to) if incoming.reply_to else None


def _stranger(house: House, caller: Caller, incoming: Incoming, *, asked: bool) -> None:
    """Somebody new in a group: the founder is asked once; a press is refused to them alone."""
    store, person = house.store, caller.person
    if incoming.what == "tap":
        refuse(house, incoming.user, person, "not-member")
        return
    if asked or incoming.what != "text":
        return
    store.set_role(caller.farm.id, person.id, "asked")
    desk = _desk(house, caller, incoming)
    _apply(house, caller, desk, assistant.greet_newcomer(person.id, person.name, desk, known()))


def refuse(house: House, chat: str, person: Person, why: str) -> None:
    """Not done, said in this chat alone, by whichever farm speaks there; without one, by none."""
    _say_to(house, chat, Reply(Refused(why)), person.lang)


def _say_to(house: House, chat: str, reply: Reply, lang: str) -> None:
    """Something said in a chat whoever is there, by its farm where it has one."""
    row = house.store.chat(chat)
    farm = house.store.farm(row.farm) if row else Farm(0, "")
    for out in _outgoing(farm, chat, Person(0, "", lang), reply, house.clock.now(), ""):
        outbox.put(house.store, farm.id, out)


def _pressed(house: House, caller: Caller, incoming: Incoming) -> None:
    store, now = house.store, house.clock.now()
    message = outbox.row(store, caller.farm.id, incoming.message)
    button = _button(message, incoming) if message else None
    if message is None or button is None or message.chat != caller.chat.key:
        _say(house, caller, Reply(Refused("not-member")))
        return
    if not outbox.spend(store, caller.farm.id, message.id, caller.person.name, now):
        _say(house, caller, Reply(Answered(message.spent_by, message.spent_at)))
        return
    command = cast("Command", from_plain(Command, button.command))
    if isinstance(command, crew.PickFarm):
        _picked(house, caller, incoming, command)
        return
    desk = _desk(house, caller, incoming, message)
    _apply(house, caller, desk, assistant.decide(command, desk, known()))


def _picked(house: House, caller: Caller, incoming: Incoming, command: crew.PickFarm) -> None:
    """The chat means this farm from now on; what was said before that was known is told to it."""
    store, person = house.store, caller.person
    if not caller.chat.private or command.farm not in _farms(store, person.id):
        _say(house, caller, Reply(Refused("not-member")))
        return
    store.settle(command.farm, caller.chat.key, house.clock.now())
    chat = cast("ChatRow", store.chat(caller.chat.key))
    caller = Caller(person, chat, store.farm(command.farm))
    if not command.text:
        _say(house, caller, Reply(Noted("farm-picked", word=caller.farm.name)))
        return
    waited = replace(incoming, what="text", text=command.text, key=command.key, sent_at=command.said_at)
    _said(house, caller, waited)


def _button(message: Outgoing, incoming: Incoming) -> ButtonRow | None:
    """The button that was pressed, by its place under the message or by its action."""
    if incoming.button >= 0:
        return next(iter(message.buttons[incoming.button : incoming.button + 1]), None)
    return next((button for button in message.buttons if button.action == incoming.action), None)


def _photographed(house: House, caller: Caller, incoming: Incoming) -> None:
    """A photo is kept with the run that is open; what its caption tells is told as well."""
    picture = base64.b64decode(incoming.picture)
    if not (picture or incoming.file_id) or len(picture) > MOST_OF_A_PHOTO:
        _say(house, caller, Reply(Refused("photo")))
        return
    desk = _desk(house, caller, incoming)
    decision = assistant.keep("photo", incoming.text or incoming.name, desk, known())
    run = decision.events[0].run if decision.events else 0
    house.store.add_photo(caller.farm.id, run, incoming.key, incoming.name, picture, incoming.file_id)
    _apply(house, caller, desk, decision)
    if incoming.text:
        said = reading.read(incoming.text, _context(desk), knowledge.lexicon(), knowledge.limits())
        if not isinstance(said.main, Unclear) or said.main.why != "not_ours":
            _said(house, caller, replace(incoming, what="text"))


def _typed(house: House, caller: Caller, incoming: Incoming) -> Incoming | None:
    """A button's own words, typed: the same as pressing it. What the reader understands is left to it."""
    if incoming.what != "text":
        return None
    words, since = knowledge.wording(), house.clock.now() - TYPED_WITHIN
    for message in outbox.open_buttons(house.store, caller.farm.id, caller.chat.key, since):
        for button in message.buttons:
            meant = words.presses(incoming.text, button.action, button.label, caller.person.lang)
            if button.action not in READ_AS_WORDS and meant:
                return replace(incoming, what="tap", action=button.action, message=message.id)
    return None


def _said(house: House, caller: Caller, incoming: Incoming) -> None:
    typed = _typed(house, caller, incoming)
    if typed is not None:
        _pressed(house, caller, typed)
        return
    desk = _desk(house, caller, incoming, _replied_to(house, caller, incoming))
    said = reading.read(incoming.text, _context(desk), knowledge.lexicon(), knowledge.limits())
    if not caller.chat.private and (_is_not_for_us(said) or _is_a_nod(said, desk)):
        return
    if incoming.what == "edit" and desk.edited:
        decision = assistant.decide_edit(said, desk, known())
    else:
        decision = assistant.decide(said, desk, known())
    _apply(house, caller, desk, decision, answered=said.main.kind)


def _is_not_for_us(said: Understood) -> bool:
    main = said.main
    return isinstance(main, Greeting) or (isinstance(main, Unclear) and main.why == "not_ours")


def _is_a_nod(said: Understood, desk: Desk) -> bool:
    """ "OK" among people, where the bot waits for nothing."""
    main = said.main
    ways = main.candidates if isinstance(main, Unclear) else (main,)
    waits = desk.bell or desk.ringing or desk.awaiting
    return not waits and ways == (Finished(only_ok=True),)


def _replied_to(house: House, caller: Caller, incoming: Incoming) -> Outgoing | None:
    """The message of the caller's farm that this one replies to."""
    hung = _hung_on(house.store, incoming)
    return hung if hung and hung.farm == caller.farm.id else None


# The desk -------------------------------------------------------------------------------------------------


def _desk(house: House, caller: Caller, incoming: Incoming, message: Outgoing | None = None) -> Desk:
    """What a decision may rest on. Runs that are over are read only where they are spoken of."""
    store, farm = house.store, caller.farm
    edits = incoming.edits if incoming.edits and _is_their_own(store, incoming) else ""
    edited = _edited(store, farm.id, edits) if edits else None
    spoken = {message.run} if message and message.run else set()
    spoken |= {event.run for event in (edited or ())}
    spoken |= {event.run for event in store.latest_events(farm.id, 1)}
    runs = _runs(store, farm.id, spoken)
    ringing = store.ringing(farm.id)
    farms = _farms(store, caller.person.id)
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
        rows=store.results(farm.id),
        ringing=ringing,
        bell=bell,
        awaiting=awaiting,
        advised=_advised(store, farm.id, runs),
        edited=edited,
        figure=_figure(store, caller, message),
        role=cast("crew.Role", store.role(farm.id, caller.person.id)),
        crew=store.crew(farm.id),
        has_room=store.has_room(farm.id),
        farms=tuple((number, store.farm(number).name) for number in farms)
        if caller.chat.private and len(farms) > 1
        else (),
    )


def _is_their_own(store: Store, incoming: Incoming) -> bool:
    """Whether an edit changes a message of whoever edits; of one that is no longer kept the messenger knows."""
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
    numbers = sorted({*store.active_runs(farm), *spoken} - {0})
    return {number: events for number in numbers if (events := store.events(farm, number))}


def _advised(store: Store, farm: int, runs: Iterable[int]) -> frozenset[Advice]:
    """The cautions that were given for the farm (run 0) and for each of those runs."""
    return frozenset(Advice(run, code) for run in (0, *runs) for code in store.advised(farm, run))


def _context(desk: Desk) -> reading.Context:
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


# Writing down ---------------------------------------------------------------------------------------------


def _apply(house: House, caller: Caller, desk: Desk, decision: Decision, answered: str = "") -> None:
    """The decision's events, changes, bells and messages. The caller holds the transaction."""
    opens = any(isinstance(event.what, Opened) for event in decision.events)
    if opens and house.doors is not None and doors.is_full(house.doors, house.store, caller.farm.id):
        _say(house, caller, Reply(Refused("too-many-runs")))
        return
    decision = _with_link(house, caller.farm, decision)
    leaving = [change.person for change in decision.crew if isinstance(change, crew.Gone)]
    left = {person: house.store.private_chat(person) for person in leaving}
    farm = _record(house, caller.farm, decision, caller)
    _await(house.store, caller, desk.awaiting, decision, answered)
    _show(house, replace(caller, farm=farm), decision)
    for notice in decision.notices:
        _notify(house, farm, notice, left.get(notice.person))


def _with_link(house: House, farm: Farm, decision: Decision) -> Decision:
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


def _show(house: House, caller: Caller, decision: Decision) -> None:
    for reply in decision.replies:
        _say(house, caller, reply)


def _notify(house: House, farm: Farm, notice: Notice, left: ChatRow | None) -> None:
    """Told to somebody in their own chat, else in the farm's rooms; whoever `left` it just now hears it there
    alone."""
    store = house.store
    chat = left or store.private_chat(notice.person)
    person = store.person(chat.key) if chat else None
    if chat is not None and person is not None and chat.unreachable_at is None:
        _say(house, Caller(person, chat, farm), notice.reply)
        return
    owner = store.owner(farm.id)
    for room in store.chats(farm.id):
        if not room.private:
            _say(house, Caller(owner, room, farm), notice.reply)


def _record_alone(house: House, farm: Farm, decision: Decision) -> None:
    """What is decided with nobody there."""
    house.store.add_events(farm.id, decision.events)
    for number in sorted({event.run for event in decision.events}):
        _rehang(house, farm, number)


def _record(house: House, farm: Farm, decision: Decision, caller: Caller) -> Farm:
    """The decision's events and changes, and the bells that follow; gives the farm as it is now."""
    store = house.store
    for change in decision.crew:
        match change:
            case crew.RoleGiven():
                store.set_role(farm.id, change.person, change.role)
            case crew.BellsWanted():
                store.set_private_bells(farm.id, change.person, change.wanted)
            case crew.LinksRevoked():
                links.revoke(store, farm.id)
            case crew.Gone():
                store.remove_member(farm.id, change.person)
                if change.refused:
                    store.set_role(farm.id, change.person, "refused")
    if decision.farm is not None:
        store.save_farm(decision.farm)
        farm = decision.farm
    store.add_events(farm.id, decision.events)
    for advice in decision.advice:
        store.add_advice(farm.id, advice.run, [advice.code])
    touched = {event.run for event in decision.events}
    if decision.farm is not None:
        touched |= set(store.active_runs(farm.id))
    for number in sorted(touched):
        _rehang(house, farm, number, caller)
    return farm


def _await(store: Store, caller: Caller, before: Awaiting | None, decision: Decision, answered: str) -> None:
    """What the chat waits for now: the new question, else the old one until it was answered."""
    if decision.awaiting is not None:
        store.set_awaiting(caller.farm.id, caller.chat.key, decision.awaiting)
    elif before is None or _settles(before, answered) or (before.pending and decision.events):
        store.set_awaiting(caller.farm.id, caller.chat.key, None)


def _settles(before: Awaiting, answered: str) -> bool:
    """Whether what was said, an intent of the reader, is what the chat waited for."""
    return bool(before.events) or ANSWERED_BY.get(before.about, before.about) == answered


def _rehang(house: House, farm: Farm, number: int, caller: Caller | None = None) -> None:
    """The run's row and bells follow its events. Wherever a bell rang that the caller answers, it is said."""
    store, now = house.store, house.clock.now()
    run = fold(store.events(farm.id, number))
    store.save_run(farm.id, results.row_of(run))
    card = knowledge.cards().get(run.species)
    planned = reminders.plan(run, card, farm, local_zone(farm), now) if card else {}
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
    store, farm, now = house.store, caller.farm, house.clock.now()
    owner = store.owner(farm.id)
    rang = outbox.chats_of_bell(store, farm.id, reminder)
    for chat in store.chats(farm.id):
        if chat.key in rang and chat.key != caller.chat.key:
            answered = Reply(Answered(caller.person.name, now, step, elsewhere=True))
            _say(house, Caller(_reader(store, chat, owner), chat, farm), answered)


def _say(house: House, caller: Caller, reply: Reply) -> None:
    """Said in a chat by its farm; to somebody who is of that farm no more, by none."""
    store, farm, person = house.store, caller.farm, caller.person
    if caller.chat.private and store.role(farm.id, person.id) not in crew.MEMBERS:
        farm = Farm(0, "")
    name, now = _farm_name(house, farm, person), house.clock.now()
    for out in _outgoing(farm, caller.chat.key, person, reply, now, name, answers=caller.answers):
        outbox.put(store, farm.id, out)


def _farm_name(house: House, farm: Farm, reader: Person) -> str:
    """The farm's name, for whoever belongs to several."""
    return farm.name if len(_farms(house.store, reader.id)) > 1 else ""


def _outgoing(
    farm: Farm, chat: str, person: Person, reply: Reply, now: datetime, farm_name: str, **more: Any
) -> tuple[Outgoing, ...]:
    """A reply as it is stored: facts in the farm's time, words in the reader's language. What is too long for
    one message of a messenger is cut where a block ends, buttons and document with the last."""
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
        run=int(facts.get("run") or 0),
        **more,
    )
    texts = in_parts(words.blocks(reply, lang=person.lang, zone=zone, now=now, farm_name=farm_name))
    return tuple(_part(whole, texts, place) for place in range(len(texts)))


def _part(whole: Outgoing, texts: Sequence[str], place: int) -> Outgoing:
    unique = whole.unique and f"{whole.unique}/part-{place + 1}" if place else whole.unique
    if place < len(texts) - 1:
        return replace(whole, text=texts[place], buttons=(), document=None, unique=unique)
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


# Bells ----------------------------------------------------------------------------------------------------


def ring_due(house: House, limit: int = 100) -> int:
    """Ring every bell that is due by now, each in a commit of its own; how many rang."""
    rung = 0
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
    desk = _bell_desk(house, farm, owner, number)
    if reminder.bell.key.step == "close":
        store.mark_rung(farm.id, reminder.id, 1, now, None, "answered")
        decision = bells.end_silent(number, desk, known())
        _record_alone(house, farm, decision)
        for chat in store.chats(farm.id):
            _show(house, Caller(_reader(store, chat, owner), chat, farm), decision)
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
        _rehang(house, farm, number)
        return
    coming = _coming(store, farm.id)
    called = _called(house, farm, reminder, attempt)
    decision = bells.ring(reminder, attempt, coming, called.tried, desk, known())
    for advice in decision.advice:
        store.add_advice(farm.id, advice.run, [advice.code])
    for chat in called.chats:
        for reply in decision.replies:
            _put_bell(house, farm, chat, _reader(store, chat, owner), reminder, attempt, reply)
    if reminder.bell.once:  # it has no series behind it: the next evening's is hung now
        _rehang(house, farm, number)


@dataclass(frozen=True, slots=True)
class _Called:
    """Where an attempt of a bell rings, and who was rung in vain before."""

    chats: tuple[ChatRow, ...]
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
    chats = store.chats(farm.id)
    chosen = [chat for chat in chats if (chat.key in keys if chat.private else rooms)]
    reached = tuple(chat for chat in chosen if chat.unreachable_at is None)
    reachable = tuple(chat for chat in chats if chat.unreachable_at is None)
    tried = crew.tried(members, farm.duty, attempt, now) if reminder.bell.wakes else ()
    return _Called(reached or reachable or chats, tried)


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


def _bell_desk(house: House, farm: Farm, owner: Person, number: int) -> Desk:
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
        ringing=store.ringing(farm.id),
        advised=_advised(store, farm.id, runs),
        crew=store.crew(farm.id),
    )


def _put_bell(
    house: House, farm: Farm, chat: ChatRow, owner: Person, reminder: Reminder, attempt: int, reply: Reply
) -> None:
    key = reminder.bell.key
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
    outs = _outgoing(
        farm,
        chat.key,
        owner,
        reply,
        house.clock.now(),
        _farm_name(house, farm, owner),
        reminder=dict(told),
        reminder_id=reminder.id,
        unique="/".join(map(str, parts)),
        alarm=reminder.bell.wakes,
    )
    for out in outs:
        outbox.put(house.store, farm.id, out)
