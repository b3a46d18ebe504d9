"""Updates as nobody should send them, by a die. Shapes by core.telegram.org/bots/api, spoilt."""

from __future__ import annotations

import copy
import json
import random
from typing import Any

from tests.bot.botapi import ME, person, place

DEEP = "<deep>"
"""Stands for a value too deep to be written by a library: `written` puts it in."""
SIGNS = (
    "\x00", "\x07", "\x1b[31m", "\u200f", "\u202e", "\u2066", "\ufeff", "\ud800", "\U0001f41f", "\u0301" * 50,
)  # fmt: skip
TEXTS = (
    "x" * 40_000, "9" * 5_000, "catfish f " + "2.4 " * 900, "\n" * 4_000, "<b>catfish</b> f 2.4 <script>",
    "&lt;&amp;&#x202e;", "' OR 1=1; DROP TABLE farms; --", "catfish f 1e400 m nan", "f 2**70 m 0x2",
    "catfish f ٢٫٤ m १.९", "=cmd()", "/start " + "A" * 22, "/start ../../etc", "injected 99:99", "f -3 m -1",
    "undo " * 300, "{}", "%s%n%d", "catfish f 0.0000000001 m 1e-300", "ﷺ" * 500,
    "remove \u202enaS from the farm",
)  # fmt: skip
VALUES: tuple[Any, ...] = (
    None, [], {}, "", "x", 0, -1, 5, 2**31, 2**63, -(2**63) - 1, 2**70, 10**400, 1e308,
    float("inf"), float("nan"), True, [[]], {"id": 1}, "\ud800", "\x00", DEEP, "y" * 70_000, [None] * 500,
)  # fmt: skip
PRESSES = (
    "", ".", "1", "1.0", "1.99", "0.0", "-1.0", "99999999999999999999.0", "1.1e9", "1.٣", "1.0" * 40,
    "\x00.0", "<b>", "1.0\ud800", "2.0", "3.1",
)  # fmt: skip


def written(answer: Any) -> str:
    """An answer as JSON, its deep values put in."""
    return json.dumps(answer).replace(json.dumps(DEEP), "[" * 100_000 + "]" * 100_000)


class Hostile:
    """Throws updates of people from `first` on, in their own chats and a room."""

    def __init__(self, die: random.Random, first: int, people: int = 8) -> None:
        self.die, self.users, self.number = die, range(first, first + people), 1

    def update(self) -> dict[str, Any]:
        """The next one: mostly spoilt in its shape, else only in what it says."""
        made = self.die.choice((self._message, self._message, self._edit, self._press, self._member))()
        for _ in range(self.die.choice((0, 1, 1, 2, 4))):
            self._spoil(made)
        return made

    def text(self) -> str:
        """Words with signs that show nothing, or turn what follows."""
        words = list(self.die.choice(TEXTS))
        for _ in range(self.die.choice((0, 0, 1, 5))):
            words.insert(self.die.randrange(len(words) + 1), self.die.choice(SIGNS))
        return "".join(words)

    def _told(self) -> dict[str, Any]:
        self.number += 1
        user = self.die.choice(self.users)
        chat = self.die.choice((user, user, -7700))
        told = {"message_id": self.number, "from": person(user), "chat": place(chat), "date": 1780315200}
        if self.die.random() < 0.2:
            told["from"]["first_name"] = told["chat"]["title"] = self.text()
        return told

    def _message(self) -> dict[str, Any]:
        told, kind = self._told(), self.die.random()
        if kind < 0.1:
            size = {"file_id": self.text()[:99], "file_unique_id": "x", "width": 9, "height": 9}
            return {"message": {**told, "photo": [size], "caption": self.text()}}
        if kind < 0.2:
            paper = {"file_id": "none", "file_unique_id": "x", "file_name": self.text()}
            return {"message": {**told, "document": paper}}
        if kind < 0.3:
            return {"message": {**told, "text": self.text(), "reply_to_message": self._told()}}
        if kind < 0.33:
            return {"message": {**told, "migrate_to_chat_id": self.die.choice((-7701, 1, 2**70))}}
        return {"message": {**told, "text": self.text()}}

    def _edit(self) -> dict[str, Any]:
        told = {**self._told(), "edit_date": self.die.choice((1780315200, 0, 2**40))}
        told["message_id"] = self.die.randrange(1, self.number + 1)
        return {"edited_message": {**told, "text": self.text()}}

    def _press(self) -> dict[str, Any]:
        shown = self._told()
        query = {"id": f"h{self.number}", "from": shown["from"], "chat_instance": "1", "message": shown}
        return {"callback_query": {**query, "data": self.die.choice(PRESSES)}}

    def _member(self) -> dict[str, Any]:
        told = self._told()
        states = [self.die.choice(("member", "left", "kicked", "creator", "x")) for _ in range(2)]
        was, now = ({"user": dict(ME), "until_date": 0, "status": state} for state in states)
        return {"my_chat_member": {**told, "old_chat_member": was, "new_chat_member": now}}

    def _spoil(self, made: dict[str, Any]) -> None:
        """One value anywhere goes, or becomes another one."""
        holder: Any = made
        while holder:
            key = self.die.choice(list(holder) if isinstance(holder, dict) else range(len(holder)))
            inner = holder[key]
            if isinstance(inner, dict | list) and inner and self.die.random() < 0.8:
                holder = inner
                continue
            if isinstance(holder, dict) and self.die.random() < 0.3:
                del holder[key]
            else:
                holder[key] = copy.deepcopy(self.die.choice(VALUES))
            return
