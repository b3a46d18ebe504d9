"""Messages as a chat log for people: who said what at which hour, in 80 columns."""

from __future__ import annotations

import textwrap
from collections.abc import Callable
from datetime import UTC, datetime, tzinfo

from bot.messages import Outgoing
from bot.store import Store
from core.assistant import local_zone

COLUMNS = 80

Print = Callable[[str], None]


def zone_of(store: Store, message: Outgoing, otherwise: tzinfo = UTC) -> tzinfo:
    """The local time of the farm that says it; `otherwise` for somebody without one."""
    return local_zone(store.farm(message.farm)) if message.farm else otherwise


class ChatLog:
    """The same for people: who said what at which hour, 80 columns, the day where it changes."""

    def __init__(self, out: Print) -> None:
        self._out = out
        self._day = ""
        self._chat = ""

    def said(self, at: datetime, who: str, words: str, chat: str) -> None:
        """What a person said or pressed, and where."""
        self._chat = chat
        self._entry(at, who, words)

    def message(self, message: Outgoing, at: datetime, numbered_from: int | None = None) -> None:
        """What the bot said, the chat named where it is not the one that was spoken in last. With
        `numbered_from` the buttons carry the numbers by which they are pressed."""
        elsewhere = self._chat and message.chat != self._chat
        self._entry(at, "bot", f"(to {message.chat}) {message.text}" if elsewhere else message.text)
        for paper in (message.document, message.picture):
            if paper:
                self._out(f"{' ' * 13}[{paper}]")
        buttons = []
        for place, button in enumerate(message.buttons, 1):
            number = "" if numbered_from is None else f"{numbered_from + place} "
            buttons.append(f"[{number}{button.label}]")
        if buttons:
            self._block(" ".join(buttons), " " * 13)

    def _entry(self, at: datetime, who: str, text: str) -> None:
        day = f"{at:%A %d %B %Y}"
        if day != self._day:
            self._out(f"--- {day} ".ljust(COLUMNS, "-"))
            self._day = day
        self._block(text, f"{at:%H:%M} {who[:6]:>6} ")

    def _block(self, text: str, head: str) -> None:
        hang = " " * len(head)
        for place, block in enumerate(text.split("\n")):
            first = head if place == 0 else hang
            wrapped = textwrap.wrap(block, COLUMNS, initial_indent=first, subsequent_indent=hang)
            for row in wrapped or [first.rstrip()]:
                self._out(row)
