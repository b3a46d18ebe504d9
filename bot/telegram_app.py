"""Telegram's updates: kept raw before they are confirmed, read one by one, and the loop that asks for them.

Nothing of `telegram.ext`: what is asked for and when it counts as received is ours, so that nothing is lost
where the process ends at any moment.
"""

from __future__ import annotations

import asyncio
import hashlib
import json
import logging
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import timedelta
from typing import Any

from telegram import Bot, CallbackQuery, Chat, ChatMember, ChatMemberUpdated, Message, Update, User
from telegram.error import (
    BadRequest,
    Conflict,
    EndPointNotFound,
    InvalidToken,
    NetworkError,
    RetryAfter,
    TelegramError,
)

from bot import inbox, presses, saying, telegram_view
from bot.hours import believed
from bot.house import House
from bot.inbox import InboxRow
from bot.messages import Incoming
from bot.notebooks import is_table
from bot.pace import backoff
from bot.service import MOST_OF_A_PHOTO, paper_arrived

ASKED_FOR = ("message", "edited_message", "callback_query", "my_chat_member")
GROUPS = ("group", "supergroup")
CODE = re.compile(r"[A-Za-z0-9_-]{22}")
"""How `bot.links` makes one."""
LONG_POLL = 30
AFTER_FAULT, AFTER_TOKEN, AFTER_CONFLICT, AFTER_WRONG_HOUR = 1.0, 20.0, 3.0, 5.0
TURNS = 4
"""Turns of the loop that whoever answers and sends has before we ask again."""
SURELY = 3
"""So many refusals in a row are no hiccup."""
PULSE = timedelta(seconds=30)
NEVER_ASKED = "Pool timeout"
"""How the library calls it that its own connections are all in use: nothing went out."""
_log = logging.getLogger(__name__)


# Reading ----------------------------------------------------------------------------------------------------


def reader(me: User) -> Callable[[InboxRow], Incoming | None]:
    """How an inbox row is read: one of Telegram's, else one that a script or terminal wrote."""

    def read(row: InboxRow) -> Incoming | None:
        if "update_id" not in row.body:
            return inbox.reading(row)
        update = Update.de_json(row.body, None)
        return incoming(update, me, row)

    return read


def incoming(update: Update, me: User, row: InboxRow) -> Incoming | None:
    """What an update says; `None` where there is nothing to answer: channels, bots, other bots' commands."""
    if update.callback_query is not None:
        return _tap(update.callback_query, row)
    if update.my_chat_member is not None:
        return _membership(update.my_chat_member, me, row)
    message = update.message or update.edited_message
    if message is None or not _is_somebody(message):
        return None
    if message.migrate_to_chat_id:
        return _base(
            message.chat, message.from_user, row, what="migrated", text=str(message.migrate_to_chat_id)
        )
    return _message(message, me, row, edited=update.edited_message is not None)


def _is_somebody(message: Message) -> bool:
    """A person of their own name: no channel, no bot, nobody who speaks as a chat."""
    person = message.from_user
    known = message.chat.type in (Chat.PRIVATE, *GROUPS)
    return known and person is not None and not person.is_bot and message.sender_chat is None


def _number(told: object) -> str:
    """The number of a person or chat as we write it, "" for none. Raises `ValueError` for what is no such
    number: they have at most 52 bits (core.telegram.org/bots/api, Chat)."""
    if told == "":
        return ""
    if type(told) is not int or abs(told) >= 2**52:
        raise ValueError("not the number of a person or chat")
    return str(told)


def _base(chat: Chat, person: User | None, row: InboxRow, **more: Any) -> Incoming:
    told: dict[str, Any] = {
        "key": row.key,
        "chat": _number(chat.id),
        "private": chat.type == Chat.PRIVATE,
        "user": _number(person.id) if person else "",
        "lang": (person.language_code if person else None) or "en",
        "at": row.received_at,
        "offset_minutes": None,
        "name": person.first_name if person else "",
        "title": chat.title or "",
    }
    return Incoming(**{**told, **more})


def _message(message: Message, me: User, row: InboxRow, *, edited: bool) -> Incoming | None:
    text = _without_us(message.text or message.caption or "", me)
    if text is None:
        return None
    answered = message.reply_to_message
    more: dict[str, Any] = {
        "sent_at": min(message.edit_date or message.date, row.received_at),
        "text": text,
        "replied": str(answered.message_id) if answered else "",
    }
    if edited:
        edits = key_of_message(message.chat.id, message.message_id)
        return _base(message.chat, message.from_user, row, what="edit", edits=edits, **more)
    kept = _file(message)
    if kept is not None:
        more |= {"file_id": kept[0], "name": kept[1]}
        what = "file" if is_table(kept[1]) else "photo"
        return _base(message.chat, message.from_user, row, what=what, **more)
    command, _, code = text.partition(" ")
    if command == "/start" and code.strip():
        opens = code.strip() if CODE.fullmatch(code.strip()) else ""
        return _base(message.chat, message.from_user, row, what="open", **{**more, "text": opens})
    if not text and message.chat.type in GROUPS:
        return None
    return _base(message.chat, message.from_user, row, what="text", **more)


def _without_us(text: str, me: User) -> str | None:
    """The words without our own name in them; `None` for a command to another bot."""
    first, blank, rest = text.partition(" ")
    command, at, name = first.partition("@")
    if command.startswith("/") and at:
        return f"{command}{blank}{rest}" if name.casefold() == (me.username or "").casefold() else None
    if first.casefold() == f"@{me.username or ''}".casefold():
        return rest.strip()
    return text


def _file(message: Message) -> tuple[str, str] | None:
    """A picture or paper: the messenger's name of it, "" where it is too big for us, and the sender's."""
    if message.photo:
        fitting = [size for size in message.photo if (size.file_size or 0) <= MOST_OF_A_PHOTO]
        return (fitting[-1].file_id if fitting else "", "photo.jpg")
    paper = message.document
    if paper is not None:
        small = (paper.file_size or 0) <= MOST_OF_A_PHOTO
        return (paper.file_id if small else "", paper.file_name or "document")
    return None


def _tap(query: CallbackQuery, row: InboxRow) -> Incoming | None:
    if query.message is None or query.from_user.is_bot:
        return None
    message, _, place = (query.data or "").partition(".")
    named = message.isascii() and message.isdigit() and place.isascii() and place.isdigit()
    told = {"message": int(message[:15]), "button": int(place[:3])} if named else {}
    return _base(query.message.chat, query.from_user, row, what="tap", **told)


def _membership(change: ChatMemberUpdated, me: User, row: InboxRow) -> Incoming | None:
    gone = (ChatMember.BANNED, ChatMember.LEFT)
    if change.new_chat_member.status in gone:
        return _base(change.chat, change.from_user, row, what="left")
    if change.chat.type in GROUPS and change.old_chat_member.status in gone:
        privacy = "" if me.can_read_all_group_messages else "privacy"
        return _base(change.chat, change.from_user, row, what="joined", text=privacy)
    return None


def key_of_message(chat: int | str, message: int) -> str:
    """The key of a message, whatever numbers its updates bear."""
    return f"m:{chat}:{message}"


@dataclass(frozen=True, slots=True)
class Address:
    """Of an update as it came: its key, seen twice in spite of any number, and who spoke where."""

    key: str
    chat: str
    user: str


def address(raw: Mapping[str, Any]) -> Address:
    """The address of a raw update, whatever is wrong with it."""
    query, member = raw.get("callback_query"), raw.get("my_chat_member")
    message, edited = raw.get("message"), raw.get("edited_message")
    try:
        if query:
            chat = query["message"]["chat"]["id"] if "message" in query else ""
            return Address(f"c:{query['id']}", _number(chat), _number(query["from"]["id"]))
        if member:
            return Address(f"u:{raw['update_id']}", _number(member["chat"]["id"]), "")
        said = dict(message or edited or {})
        chat, user = _number(said["chat"]["id"]), _number(said.get("from", {}).get("id", ""))
        key = key_of_message(chat, said["message_id"])
        edit = f":{said.get('edit_date')}:{raw['update_id']}" if edited else ""
        return Address(("e" if edited else "") + key + edit, chat, user)
    except (KeyError, TypeError, AttributeError, ValueError):
        whole = json.dumps(raw, sort_keys=True, default=str).encode()
        return Address(f"x:{hashlib.sha256(whole).hexdigest()[:32]}", "", "")


# Asking -----------------------------------------------------------------------------------------------------


@dataclass
class Poller:
    """Asks for updates for ever. `received` is called when new ones are on disk, `asked` when a question came
    back: how many seconds until the next, and whether it was answered without a fault. One that our own
    pool of connections refused did not come back."""

    house: House
    bot: Bot
    received: Callable[[], None]
    asked: Callable[[float, bool], None] = lambda pause, well: None
    offset: int | None = None
    faults: int = 0
    refusals: int = 0
    stopping: bool = field(default=False)

    async def run(self) -> None:
        """Until `stopping`: nothing that the network does ends it."""
        while not self.stopping:
            pause = await self.ask()
            for _ in range(TURNS):
                await asyncio.sleep(0)
            if pause:
                await asyncio.sleep(pause)

    async def ask(self, timeout: int = LONG_POLL) -> float:
        """One request: what it brings is committed before the next one confirms it. Seconds to wait then.
        While our clock is wrong nothing is taken in: it stays with the messenger until it is right."""
        try:
            found = await self.bot.do_api_request(
                "getUpdates",
                api_kwargs={"offset": self.offset, "timeout": timeout, "allowed_updates": list(ASKED_FOR)},
                read_timeout=timeout + 10,
            )
        except TelegramError as fault:
            pause = self._after(fault)
            if NEVER_ASKED not in str(fault):
                self.asked(pause, False)
            return pause
        self.faults = self.refusals = 0
        self.asked(0.0, True)
        if not believed(self.house):
            return AFTER_WRONG_HOUR
        updates = [raw for raw in found if isinstance(raw, dict)] if isinstance(found, list) else []
        before = self.offset
        self._keep(updates)
        goes_on = found == [] or (updates and self.offset != before)
        return 0.0 if goes_on else AFTER_FAULT

    def _keep(self, updates: list[dict[str, Any]]) -> None:
        store, now = self.house.store, self.house.clock.now()
        last = store.last_pulse("poll")
        if updates or last is None or now - last >= PULSE:
            with store.transaction():
                store.pulse("poll", now)
                for raw in updates:
                    self._keep_one(raw)
        numbers = [raw["update_id"] for raw in updates if isinstance(raw.get("update_id"), int)]
        if numbers:
            self.offset = max(numbers) + 1
        if updates:
            self.received()

    def _keep_one(self, raw: dict[str, Any]) -> None:
        store, now, whose = self.house.store, self.house.clock.now(), address(raw)
        new = inbox.keep(store, whose.key, whose.chat, whose.user, now, raw)
        query = raw.get("callback_query")
        if new is not None and isinstance(query, dict) and query.get("id"):
            presses.put(store, str(query["id"]), now)

    def _after(self, fault: TelegramError) -> float:
        """How long to wait after a fault; the operator hears of what will not mend itself."""
        self.faults += 1
        refused = isinstance(fault, InvalidToken | EndPointNotFound)
        name = InvalidToken.__name__ if refused else type(fault).__name__
        _log.warning("getUpdates: %s (%d in a row)", name, self.faults)
        self.refusals = self.refusals + 1 if refused or isinstance(fault, Conflict) else 0
        if isinstance(fault, RetryAfter):
            return telegram_view.pause_of(fault) + 0.5
        if self.refusals:
            if self.refusals == SURELY:
                with self.house.store.transaction():
                    saying.tell_operator(self.house, "token" if refused else "conflict")
            return AFTER_TOKEN if refused else AFTER_CONFLICT
        if not isinstance(fault, NetworkError):
            return AFTER_FAULT
        return backoff(self.faults - 1)


async def fetch_photos(house: House, bot: Bot) -> None:
    """Photos and papers that Telegram still keeps for us come into the file; one that cannot be had stays
    empty. A paper is answered then."""
    for photo, file_id in house.store.photos_to_fetch():
        try:
            found = await bot.get_file(file_id)
            picture = bytes(await found.download_as_bytearray())
        except BadRequest:
            picture = b""
        except TelegramError:
            return
        except Exception:  # noqa: BLE001 - an outer edge: one photo must not stop the others
            _log.exception("photo %d could not be fetched", photo)
            picture = b""
        with house.store.transaction():
            house.store.fetched(photo, picture if len(picture) <= MOST_OF_A_PHOTO else b"")
            paper_arrived(house, photo)
