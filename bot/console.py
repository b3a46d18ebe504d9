"""The same talk in this terminal, without an account: lines in, replies and bells out.

The clock is the computer's, started at the later of now and the newest row of the store; `/next` moves it on
to the next bell. A button is pressed by its number, or by its action.
"""

from __future__ import annotations

import os
import select
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from pathlib import Path
from typing import TextIO

from bot import exports, inbox, outbox, ringing
from bot.chatlog import ChatLog, zone_of
from bot.clock import Clock
from bot.house import House
from bot.messages import Incoming, Outgoing
from bot.pictures import carrying
from bot.recording import opened
from bot.store import Store
from bot.worker import work

TICK = 1.0
LANGUAGE = "en"


class MovedClock:
    """The computer's clock, ahead by what was skipped."""

    def __init__(self, clock: Clock, not_before: datetime | None) -> None:
        self._clock = clock
        self._ahead = max(timedelta(0), (not_before or clock.now()) - clock.now())

    def now(self) -> datetime:
        return self._clock.now() + self._ahead

    def skip_to(self, when: datetime) -> None:
        """It is `when` now; never back."""
        self._ahead += max(timedelta(0), when - self.now())


@dataclass
class Terminal:
    """The talk in one terminal, as one person. `buttons` are those that were shown last."""

    store: Store
    clock: MovedClock
    name: str
    offset_minutes: int
    log: ChatLog
    out: Callable[[str], None]
    papers: Path
    """The folder for what goes with a message."""
    buttons: list[tuple[int, str, str]] = field(default_factory=list)
    shown: bool = False
    """Whether this turn has shown buttons: the first ones take the place of those before."""

    @property
    def house(self) -> House:
        return House(self.store, self.clock)


def chat(database: Path, name: str | None, clock: Clock, source: TextIO, out: Callable[[str], None]) -> None:
    """Talk until the end of input. Raises `StoreFault`."""
    store = opened(database)
    try:
        moved = MovedClock(clock, store.newest_time())
        offset = moved.now().astimezone().utcoffset() or timedelta(0)
        minutes = int(offset.total_seconds() // 60)
        who = name or store.newest_private_chat() or "you"
        terminal = Terminal(store, moved, who, minutes, ChatLog(out), out, Path.cwd())
        out(f"You are {who}. Type as you would at the tank; /next jumps to the next bell, Ctrl-D ends.")
        _show_due(terminal)
        for line in _lines(source, lambda: _show_due(terminal)):
            _take(terminal, line.strip())
    finally:
        store.close()


def _lines(source: TextIO, idle: Callable[[], None]) -> Iterator[str]:
    """Lines as they come; while a person thinks, bells go on ringing."""
    if not source.isatty():
        yield from source
        return
    typed = b""
    while True:
        ready, _, _ = select.select([source], [], [], TICK)
        if not ready:
            idle()
            continue
        more = os.read(source.fileno(), 4096)  # not readline: lines pasted together must not wait for a key
        if not more:
            return
        *lines, typed = (typed + more).split(b"\n")
        yield from (line.decode("utf-8", "replace") for line in lines)


def _take(terminal: Terminal, line: str) -> None:
    if not line:
        return
    if line == "/next":
        _next(terminal)
        return
    _show_due(terminal)
    number = inbox.count(terminal.store) + 1
    pressed = _pressed(terminal, line)
    if pressed is None and _is_press(line):
        terminal.out(f"There is no button {line}.")
        return
    incoming = Incoming(
        key=f"chat-{number}",
        chat=terminal.name,
        private=True,
        user=terminal.name,
        lang=LANGUAGE,
        what="tap" if pressed else "text",
        at=terminal.clock.now(),
        offset_minutes=terminal.offset_minutes,
        text=line,
        action=pressed[1] if pressed else "",
        message=pressed[0] if pressed else 0,
        name=terminal.name,
    )
    terminal.shown = False
    with terminal.store.transaction():
        inbox.receive(terminal.store, incoming)
    work(terminal.house)
    _deliver(terminal)


def _pressed(terminal: Terminal, line: str) -> tuple[int, str] | None:
    """The button meant by "/2", "[2]" or "[start]": by its number, or by its action."""
    if not _is_press(line):
        return None
    word = line.strip("/[]")
    if word.isdecimal() and 1 <= int(word) <= len(terminal.buttons):
        message, action, _ = terminal.buttons[int(word) - 1]
        return message, action
    return next(((message, action) for message, action, _ in terminal.buttons if action == word), None)


def _is_press(line: str) -> bool:
    """ "/2" and "[2]" press; they are never read as words. "/undo" and the like are words."""
    return (line[0] == "/" and line[1:].isdecimal()) or (line[0] == "[" and line[-1] == "]")


def _next(terminal: Terminal) -> None:
    due = ringing.next_due(terminal.house)
    if due is None:
        terminal.out("No bell is waiting.")
        return
    terminal.shown = False
    terminal.clock.skip_to(due)
    _show_due(terminal)


def _show_due(terminal: Terminal) -> None:
    ringing.ring_due(terminal.house)
    _deliver(terminal)


def _deliver(terminal: Terminal) -> None:
    """Only this chat's messages: those of others wait for whoever carries them."""
    outbox.deliver(terminal.store, terminal.clock, lambda message: _show(terminal, message), terminal.name)
    sys.stdout.flush()


def _show(terminal: Terminal, message: Outgoing) -> None:
    if message.buttons and not terminal.shown:
        terminal.buttons.clear()
        terminal.shown = True
    message = _pictured(terminal, replace(message, document=_document(terminal, message)))
    terminal.log.message(
        message, message.at.astimezone(zone_of(terminal.store, message)), len(terminal.buttons)
    )
    terminal.buttons += [(message.id, button.action, button.label) for button in message.buttons]


def _document(terminal: Terminal, message: Outgoing) -> str | None:
    """The document of a message as a file in the current folder: whoever asks for one here wants it here."""
    if message.document is None:
        return None
    made = exports.made(terminal.store.file.path, message)
    return None if made is None else _put(terminal, made)


def _pictured(terminal: Terminal, message: Outgoing) -> Outgoing:
    """The message with its picture as a file in the current folder, or the word that there is none."""
    if message.picture is None:
        return message
    return carrying.filed(
        terminal.store, message, lambda name, content: _put(terminal, exports.Made(name, content))
    )


def _put(terminal: Terminal, made: exports.Made) -> str | None:
    """The name of the file that was written; where it cannot be, that is said."""
    try:
        return exports.put(made, terminal.papers).name
    except OSError as fault:
        terminal.out(f"No file could be written to {terminal.papers}: {fault.strerror}.")
        return None
