"""Gather what a message or a bell needs, let core decide, and write it all down in one commit.

Plain functions over a `House`. Telegram, terminal, script and tests call these; whoever calls carries the
outbox rows on and asks `next_due` when to call again.
"""

from __future__ import annotations

import base64
from dataclasses import replace
from datetime import datetime, timedelta
from typing import cast

from bot import doors, inbox, knowledge, links, outbox
from bot.callers import caller_of, hung_on, whoever_speaks
from bot.gathering import gather, told_to_reader
from bot.house import Caller, House, everywhere, known
from bot.messages import ButtonRow, Incoming, Outgoing
from bot.notebooks import is_table, with_paper
from bot.recording import notify, record, show, with_link
from bot.saying import refuse, say, say_to
from bot.store import ChatRow, Store
from core import assistant, crew, reading
from core.assistant import Decision, Desk, people
from core.commands import Awaiting, Command, Finished, Greeting, ImportNotebook, Unclear, Understood
from core.plain import from_plain
from core.records import Opened, Person
from core.replies import Answered, Noted, Refused, Reply

MOST_OF_A_PHOTO = 1024 * 1024


TYPED_WITHIN = timedelta(hours=3)


LINKS_KEPT = timedelta(days=30)


READ_AS_WORDS = ("done", "not-yet", "eggs-run", "undo", "cancel", "inject-now")


LIVING = timedelta(days=30)


ANSWERED_BY = {
    "cup_ml": "larvae_count",
    "cup_litres": "larvae_count",
    "larvae_per_ml": "measure",
    "larvae_per_cup": "measure",
}
"""The intents that answer a question of another name."""


def tidy(house: House) -> None:
    """Deleted farms whose days are over go for good; links that open nothing are forgotten."""
    store, now = house.store, house.clock.now()
    for farm in store.going(now):
        store.remove_farm(farm)
    links.prune(store, now - LINKS_KEPT)


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
    say_to(house, incoming.chat, Reply(Noted("group-hello")), incoming.lang)
    if incoming.text == "privacy":
        say_to(house, incoming.chat, Reply(Noted("group-privacy")), incoming.lang)


def tell_absence(house: House, since: datetime, why: str = "was-away") -> None:
    """Every farm that lives hears of what may be lost: `was-away`, sent while nobody was there; `restored`,
    told between `since` and now."""
    store, now = house.store, house.clock.now()
    for number in store.living_farms(now - LIVING):
        for caller in everywhere(store, store.farm(number)):
            say(house, caller, Reply(Noted(why, at=since, next_at=now)))


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
    for farm in map(store.farm, store.farms_of(person.id) if person else (chat.farm,)):
        lost = Reply(Noted("out-of-reach", word=person.name if person else farm.name))
        for other in everywhere(store, farm):
            if other.chat.key != chat.key and other.chat.unreachable_at is None:
                say(house, other, lost)


def _heard(house: House, incoming: Incoming) -> None:
    person = whoever_speaks(house.store, incoming)
    if incoming.what == "open":
        _opened(house, incoming, person)
        return
    caller = caller_of(house, incoming, person)
    if caller is None:
        return
    role = house.store.role(caller.farm.id, person.id)
    if role not in crew.MEMBERS:
        _stranger(house, caller, incoming, asked=role is not None)
    elif incoming.what == "tap":
        _pressed(house, caller, incoming)
    elif incoming.what == "photo":
        _photographed(house, caller, incoming)
    elif incoming.what == "file":
        _filed(house, caller, incoming)
    else:
        _said(house, caller, incoming)


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
    desk = gather(house, caller, incoming)
    _apply(house, caller, desk, assistant.join(found.role, desk, known()))


def _stranger(house: House, caller: Caller, incoming: Incoming, *, asked: bool) -> None:
    """Somebody new in a group: the founder is asked once; a press is refused to them alone."""
    store, person = house.store, caller.person
    if incoming.what == "tap":
        refuse(house, incoming.user, person, "not-member")
        return
    if asked or incoming.what != "text":
        return
    store.set_role(caller.farm.id, person.id, "asked")
    desk = gather(house, caller, incoming)
    _apply(house, caller, desk, assistant.greet_newcomer(person.id, person.name, desk, known()))


def _pressed(house: House, caller: Caller, incoming: Incoming) -> None:
    store, now = house.store, house.clock.now()
    message = outbox.row(store, caller.farm.id, incoming.message)
    button = _button(message, incoming) if message else None
    if message is None or button is None or message.chat != caller.chat.key:
        say(house, caller, Reply(Refused("not-member")))
        return
    if message.spent_at is not None:
        say(house, caller, Reply(Answered(message.spent_by, message.spent_at)))
        return
    command = cast("Command", from_plain(Command, button.command))
    if isinstance(command, crew.PickFarm):
        outbox.spend(store, caller.farm.id, message.id, caller.person.name, now)
        _picked(house, caller, incoming, command)
        return
    desk = with_paper(gather(house, caller, incoming, message), store, command)
    decision = assistant.decide(command, desk, known())
    if not _is_not_theirs(decision):
        outbox.spend(store, caller.farm.id, message.id, caller.person.name, now)
    _apply(house, caller, desk, decision)


def _is_not_theirs(decision: Decision) -> bool:
    """Whether somebody pressed what is another's to press, who shall find it as it was."""
    facts = [reply.fact for reply in decision.replies]
    return any(isinstance(fact, Refused) and fact.why in people.NOT_THEIRS for fact in facts)


def _picked(house: House, caller: Caller, incoming: Incoming, command: crew.PickFarm) -> None:
    """The chat means this farm from now on; what was said before that was known is told to it."""
    store, person = house.store, caller.person
    if not caller.chat.private or command.farm not in store.farms_of(person.id):
        say(house, caller, Reply(Refused("not-member")))
        return
    store.settle(command.farm, caller.chat.key, house.clock.now())
    chat = cast("ChatRow", store.chat(caller.chat.key))
    caller = Caller(person, chat, store.farm(command.farm))
    if not command.text:
        say(house, caller, Reply(Noted("farm-picked", word=caller.farm.name)))
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
        say(house, caller, Reply(Refused("photo")))
        return
    desk = gather(house, caller, incoming)
    decision = assistant.keep("photo", incoming.text or incoming.name, desk, known())
    if desk.role == "reader":
        _apply(house, caller, desk, decision)
        return
    run = decision.events[0].run if decision.events else 0
    house.store.add_photo(caller.farm.id, run, incoming.key, incoming.name, picture, incoming.file_id)
    _apply(house, caller, desk, decision)
    if incoming.text:
        said = reading.read(incoming.text, told_to_reader(desk), knowledge.lexicon(), knowledge.limits())
        if not isinstance(said.main, Unclear) or said.main.why != "not_ours":
            _said(house, caller, replace(incoming, what="text"))


def _filed(house: House, caller: Caller, incoming: Incoming) -> None:
    """A table that was sent is an old notebook: it is kept, and read once it is here."""
    content = base64.b64decode(incoming.picture)
    if not (content or incoming.file_id) or len(content) > MOST_OF_A_PHOTO:
        say(house, caller, Reply(Refused("paper")))
        return
    store, farm = house.store, caller.farm.id
    if store.role(farm, caller.person.id) == "reader" or caller.farm.goes_at is not None:
        desk = gather(house, caller, incoming)
        _apply(house, caller, desk, assistant.decide(ImportNotebook(0), desk, known()))
        return
    paper = store.add_photo(farm, 0, incoming.key, incoming.name, content, incoming.file_id)
    if content:
        _read_notebook(house, caller, incoming, paper)


def _read_notebook(house: House, caller: Caller, incoming: Incoming, paper: int) -> None:
    command = ImportNotebook(paper)
    desk = with_paper(gather(house, caller, incoming), house.store, command)
    _apply(house, caller, desk, assistant.decide(command, desk, known()))


def paper_arrived(house: House, paper: int) -> None:
    """A file that the messenger kept for us is here, or cannot be had: whoever sent it is answered. To be
    called inside a transaction; photos are answered already."""
    store = house.store
    sent = store.photo_sent(paper)
    row = inbox.find(store, sent.source) if sent and is_table(sent.name) else None
    if sent is None or row is None:
        return
    chat, person = store.chat(row.chat), store.person(inbox.author(store, row.id))
    if chat is None or person is None or store.role(sent.farm, person.id) not in crew.MEMBERS:
        return
    caller = Caller(person, chat, store.farm(sent.farm))
    if not sent.size:
        say(house, caller, Reply(Refused("paper")))
        return
    incoming = Incoming(
        key=sent.source,
        chat=chat.key,
        private=chat.private,
        user=inbox.author(store, row.id),
        lang=person.lang,
        what="file",
        at=row.received_at,
        name=sent.name,
    )
    _read_notebook(house, caller, incoming, paper)


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
    desk = gather(house, caller, incoming, _replied_to(house, caller, incoming))
    said = reading.read(incoming.text, told_to_reader(desk), knowledge.lexicon(), knowledge.limits())
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
    hung = hung_on(house.store, incoming)
    return hung if hung and hung.farm == caller.farm.id else None


def _apply(house: House, caller: Caller, desk: Desk, decision: Decision, answered: str = "") -> None:
    """The decision's events, changes, bells and messages. The caller holds the transaction."""
    opens = any(isinstance(event.what, Opened) for event in decision.events)
    if opens and house.doors is not None and doors.is_full(house.doors, house.store, caller.farm.id):
        say(house, caller, Reply(Refused("too-many-runs")))
        return
    decision = with_link(house, caller.farm, decision)
    leaving = [change.person for change in decision.crew if isinstance(change, crew.Gone)]
    left = {person: house.store.private_chat(person) for person in leaving}
    farm = record(house, caller.farm, decision, caller)
    _await(house.store, caller, desk.awaiting, decision, answered)
    show(house, replace(caller, farm=farm), decision)
    for notice in decision.notices:
        notify(house, farm, notice, left.get(notice.person))


def _await(store: Store, caller: Caller, before: Awaiting | None, decision: Decision, answered: str) -> None:
    """What the chat waits for now: the new question, else the old one until it was answered."""
    if decision.awaiting is not None:
        store.set_awaiting(caller.farm.id, caller.chat.key, decision.awaiting)
    elif before is None or _settles(before, answered) or (before.pending and decision.events):
        store.set_awaiting(caller.farm.id, caller.chat.key, None)


def _settles(before: Awaiting, answered: str) -> bool:
    """Whether what was said, an intent of the reader, is what the chat waited for."""
    return bool(before.events) or ANSWERED_BY.get(before.about, before.about) == answered
