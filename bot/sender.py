"""Outbox rows to the messenger: alarms first, each chat in its order, as fast as the messenger allows.

A row is marked when the messenger has taken it. Where nobody knows whether it did, it is sent again; that is
the only way a message can come twice. While marks cannot be written, their chats wait.
"""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Callable, Coroutine
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any

from telegram import Bot
from telegram.error import BadRequest, ChatMigrated, Forbidden, InvalidToken, RetryAfter, TelegramError

from bot import exports, outbox, presses, saying, service, telegram_view
from bot.house import House
from bot.messages import Outgoing
from bot.pace import Pace, backoff
from bot.pictures import carrying
from bot.presses import Press
from bot.store import StoreFault
from core.records import Person

AT_ONCE = 4
"""Requests at once, to so many chats: on a slow line more is faster, on a slow computer less."""
TRIES = 12
OLD_PRESS = timedelta(minutes=5)
IDLE = 5.0
AFTER_TOKEN = 20.0
TOGETHER, SEVERAL = 2.0, 3
"""So many chats told to wait within so many seconds: then it is meant for us as a whole."""
NOT_SENT = "Request was *not* sent"
TOO_LARGE = "entity too large"
GONE = ("chat not found", "deactivated", "bot was kicked", "not enough rights", "chat_write_forbidden")
_log = logging.getLogger(__name__)


@dataclass
class Sender:
    """Carries what waits to the messenger. `seconds` is a clock that never goes back."""

    house: House
    bot: Bot
    pace: Pace
    seconds: Callable[[], float]
    stopping: bool = False
    busy: dict[str, asyncio.Task[None]] = field(default_factory=dict)
    parked: dict[str, float] = field(default_factory=dict)
    all_parked_until: float = 0.0
    told_to_wait: dict[str, float] = field(default_factory=dict)
    fault: BaseException | None = None
    draw: Callable[[carrying.Job], carrying.Drawn | carrying.Missing] = carrying.drawn
    drawing: int = 0
    """So many of the busy wait for their picture: they hold up nobody else's message."""
    _pencil: asyncio.Lock = field(default_factory=asyncio.Lock)
    """One picture at a time: each takes memory of its own."""
    _woken: asyncio.Event = field(default_factory=asyncio.Event)
    _taken: list[tuple[Outgoing, str]] = field(default_factory=list)
    _marking: bool = False

    def wake(self) -> None:
        """Something new may wait."""
        self._woken.set()

    async def run(self) -> None:
        """Until `stopping`; then what is in the air is waited for. Raises what is no fault of the network;
        it may be run again then, and marks what it could not mark."""
        self._mark_soon()
        while not self.stopping:
            if self.fault is not None:
                fault, self.fault = self.fault, None
                raise fault
            self._woken.clear()
            pause = self.start()
            try:
                await asyncio.wait_for(self._woken.wait(), pause)
            except TimeoutError:
                continue
        await self.settle()
        self._mark()

    async def settle(self) -> None:
        """What is in the air has landed."""
        while self.busy:
            await asyncio.wait(list(self.busy.values()))

    def start(self) -> float:
        """Begin to send all that may go now; seconds until more may."""
        now, present = self.seconds(), self.house.clock.now()
        if now < self.all_parked_until:
            return self.all_parked_until - now
        self._start_quiet(present)
        self.parked = {chat: until for chat, until in self.parked.items() if until > now}
        slow = self.pace.slow(now)
        waits = [*(until - now for until in self.parked.values()), *slow.values(), IDLE]
        room = max(AT_ONCE - len(self.busy) + self.drawing, 0)
        passed = {*self.busy, *self.parked, *slow, *(out.chat for out, _ in self._taken)}
        for out in outbox.next_of_each(self.house.store, present, passed, room):
            wait = self.pace.wait(out.chat, now)
            if wait > 0:
                waits.append(wait)
                continue
            self.pace.take(out.chat, now)
            self._begin(out.chat, self._send(out))
        later = outbox.next_attempt(self.house.store, present)
        return min(*waits, IDLE if later is None else (later - present).total_seconds())

    def _begin(self, chat: str, sending: Coroutine[Any, Any, None]) -> None:
        """One request at a time in a chat: so its messages keep their order."""

        def ended(task: asyncio.Task[None]) -> None:
            self.busy.pop(chat, None)
            self._keep_fault(task.exception())
            self.wake()

        self.busy[chat] = asyncio.ensure_future(sending)
        self.busy[chat].add_done_callback(ended)

    async def _send(self, out: Outgoing) -> None:
        try:
            sent = await self._sent(out)
        except StoreFault:
            raise
        except TelegramError as fault:
            _log.warning("sendMessage, row %d: %s", out.id, type(fault).__name__)
            self._failed(out, fault)
        except Exception as fault:  # noqa: BLE001 - an outer edge: one message must not stop the others
            _log.exception("row %d could not be sent", out.id)
            self._failed(out, fault)
        else:
            if sent is not None:
                self._taken.append((out, str(sent)))
                self._mark_soon()

    def _mark_soon(self) -> None:
        if self._taken and not self._marking:
            self._marking = True
            asyncio.get_running_loop().call_soon(self._mark)

    def _mark(self) -> None:
        """What landed in the same moment is marked in one commit; it is remembered until it is."""
        self._marking = False
        if not self._taken:
            return
        try:
            with self.house.store.transaction():
                for out, message_id in self._taken:
                    outbox.mark_sent(self.house.store, out.id, self.house.clock.now(), message_id)
        except Exception as fault:  # noqa: BLE001 - said by `run`: nobody waits for a callback
            self._keep_fault(fault)
            self.wake()
        else:
            self._taken = []

    def _keep_fault(self, fault: BaseException | None) -> None:
        self.fault = self.fault or fault

    async def say_past_the_file(self, what: str) -> None:
        """A word to the operator, tried once and written down nowhere: nothing can be."""
        with suppress(TelegramError, StoreFault):
            for out in saying.operator_words(self.house, what):
                await self.bot.send_message(**telegram_view.message(out))

    async def _sent(self, out: Outgoing) -> int | None:
        """The messenger's number of the message; `None` where it is not sent now, since we stop."""
        if out.document:
            return await self._sent_file(out)
        if out.picture:
            return await self._sent_picture(out)
        return await self._sent_text(out)

    async def _sent_text(self, out: Outgoing) -> int:
        """The same of words alone; once more without markup where that was the fault."""
        try:
            return (await self.bot.send_message(**telegram_view.message(out))).message_id
        except BadRequest as fault:
            if "can't parse entities" not in str(fault).lower():
                raise
            _log.error("the markup of row %d was refused", out.id)
            return (await self.bot.send_message(**telegram_view.plain(out))).message_id

    async def _sent_file(self, out: Outgoing) -> int:
        """The same with its document, made now and in a thread of its own, since it may take a while."""
        document = await asyncio.to_thread(exports.made, self.house.store.file.path, out)
        if document is None:  # the farm is gone, and this row with it
            return 0
        told = telegram_view.caption(out)
        sent = await self.bot.send_document(document=document.content, filename=document.name, **told)
        return sent.message_id

    async def _sent_picture(self, out: Outgoing) -> int | None:
        """The same with its picture, drawn now in a process of its own; without one where it cannot be, or
        where the chat takes none. What waits for its turn when we stop is drawn after the next start."""
        job = carrying.job(self.house.store, out)
        self.drawing += 1
        self.wake()
        try:
            async with self._pencil:
                if self.stopping:
                    return None
                drawn = await asyncio.to_thread(self.draw, job)
        finally:
            self.drawing -= 1
        if isinstance(drawn, carrying.Missing):
            return await self._sent_text(carrying.without(self.house.store, out, drawn))
        try:
            told = telegram_view.caption(out)
            sent = await self.bot.send_photo(photo=drawn.content, filename=drawn.name, **told)
        except BadRequest as fault:
            _log.warning("the picture of row %d was refused: %s", out.id, fault.message)
            return await self._sent_text(carrying.without(self.house.store, out, carrying.Missing("failed")))
        return sent.message_id

    # What goes wrong --------------------------------------------------------------------------------------

    def _failed(self, out: Outgoing, fault: Exception) -> None:
        """It is kept and tried again, or its chat is gone, or nobody will ever take it."""
        with self.house.store.transaction():
            match fault:
                case RetryAfter():
                    self._park(out, telegram_view.pause_of(fault) + 0.5)
                case ChatMigrated():
                    self.house.store.rename_chat(out.chat, str(fault.new_chat_id))
                case Forbidden():
                    self._out_of_reach(out)
                case BadRequest() if any(word in str(fault).lower() for word in GONE):
                    self._out_of_reach(out)
                case BadRequest():
                    self._unsendable(out, fault.message)
                case TelegramError() if TOO_LARGE in str(fault).lower():
                    self._unsendable(out, fault.message)
                case InvalidToken():
                    self.all_parked_until = self.seconds() + AFTER_TOKEN
                case _:
                    self._try_again(out, fault)

    def _try_again(self, out: Outgoing, fault: Exception) -> None:
        """Nobody knows whether it arrived, or it certainly did not: once more, alarms for ever."""
        store, unknown = self.house.store, NOT_SENT not in str(fault)
        if out.tries + 1 >= TRIES and not out.alarm:
            self._unsendable(out, type(fault).__name__)
            return
        pause = backoff(out.tries) if unknown else 0.0
        until = self.house.clock.now() + timedelta(seconds=pause)
        outbox.put_off(store, out.id, until, maybe_sent=unknown)

    def _unsendable(self, out: Outgoing, word: str) -> None:
        """Whoever waits for a file is told that it does not come."""
        outbox.give_up(self.house.store, out.id)
        saying.tell_operator(self.house, "unsendable", number=out.id, word=word)
        if out.document:
            person = self.house.store.person(out.chat) or Person(0, "")
            saying.refuse(self.house, out.chat, person, "document")

    def _park(self, out: Outgoing, seconds: float) -> None:
        """This chat alone waits; all do where several are told so at once."""
        now = self.seconds()
        self.parked[out.chat] = now + seconds
        recent = {chat: at for chat, at in self.told_to_wait.items() if now - at < TOGETHER}
        self.told_to_wait = {**recent, out.chat: now}
        if len(self.told_to_wait) >= SEVERAL:
            self.all_parked_until = now + seconds
        outbox.put_off(self.house.store, out.id, self.house.clock.now() + timedelta(seconds=seconds))

    def _out_of_reach(self, out: Outgoing) -> None:
        outbox.give_up(self.house.store, out.id)
        chat = self.house.store.chat(out.chat)
        if chat is not None and chat.unreachable_at is None:
            service.out_of_reach(self.house, chat)
            saying.tell_operator(self.house, "out-of-reach")

    # What shows nothing in a chat -------------------------------------------------------------------------

    def _start_quiet(self, present: datetime) -> None:
        store = self.house.store
        if "" not in self.busy and (presses.waiting(store, present, 1) or outbox.spent_keyboards(store, 1)):
            self._begin("", self._quiet(present))

    async def _quiet(self, present: datetime) -> None:
        """Presses are answered, and used buttons taken off: one after the other."""
        store = self.house.store
        for press in presses.waiting(store, present):
            await self._answer(press)
        for out in outbox.spent_keyboards(store):
            off = self.bot.edit_message_reply_markup(**telegram_view.no_keyboard(out))
            if not await self._landed(off):
                return
            with store.transaction():
                outbox.keyboard_gone(store, out.id)

    async def _answer(self, press: Press) -> None:
        landed = await self._landed(self.bot.answer_callback_query(press.query))
        store, now = self.house.store, self.house.clock.now()
        with store.transaction():
            if landed or now - press.at > OLD_PRESS:
                presses.done(store, press.id)
            else:
                presses.put_off(store, press.id, now + timedelta(seconds=backoff(press.tries)))

    async def _landed(self, request: Coroutine[Any, Any, Any]) -> bool:
        """Whether the messenger took it, or never will."""
        try:
            await request
        except (BadRequest, Forbidden) as fault:
            _log.info("not taken: %s", type(fault).__name__)
        except TelegramError as fault:
            _log.info("not taken: %s", type(fault).__name__)
            return False
        return True
