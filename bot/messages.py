"""What comes in and what goes out, whatever the messenger: neutral messages."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any, ClassVar, Literal


@dataclass(frozen=True, slots=True)
class Incoming:
    """One thing somebody said or pressed. `key` is unique for ever (an update seen twice has one effect).

    `at` is when it reached us, `sent_at` the messenger's own date where that is earlier. A tap names the
    outbox row (`message`) and the `action`, or the `button` by its place; an edit names the `key` of the
    message it changes (`edits`). A reply names the outbox row (`reply_to`), or the message as the messenger
    calls it (`replied`). A `picture`, or a `file` that is a table, is written in base 64, or named by its
    `file_id` to be fetched later.
    `title` is what a group is called.
    `offset_minutes` is `None` where the messenger does not tell the clock. `joined`: we were taken into a
    group, `text` says `privacy` where we cannot read all of it; `left`: we cannot write there any more;
    `migrated`: the group is called `text` from now on.
    """

    kind: ClassVar[str] = "incoming"
    key: str
    chat: str
    private: bool
    user: str
    lang: str
    what: Literal["text", "tap", "edit", "photo", "file", "open", "joined", "left", "migrated"]
    at: datetime
    offset_minutes: int | None = 0
    sent_at: datetime | None = None
    text: str = ""
    action: str = ""
    message: int = 0
    edits: str = ""
    reply_to: int = 0
    name: str = ""
    picture: str = ""
    button: int = -1
    replied: str = ""
    file_id: str = ""
    title: str = ""


@dataclass(frozen=True, slots=True)
class ButtonRow:
    """A button as stored: `command` is the plain form of a `core.commands` command."""

    action: str
    label: str
    command: dict[str, Any]


@dataclass(frozen=True, slots=True)
class Outgoing:
    """One message to be sent; `id` 0 until stored. `to` is a person's name, `None` for the whole chat.

    `unique` keeps a bell's attempt from being written twice. `alarm` messages overtake others. `answers` is
    the key of the message it answers, in a group. `tries` counts the attempts to send it that failed, and
    `maybe_sent` says that one of them may have reached the chat nevertheless.
    """

    farm: int
    chat: str
    at: datetime
    kind: str
    text: str
    facts: dict[str, Any]
    buttons: tuple[ButtonRow, ...] = ()
    to: str | None = None
    reminder: dict[str, Any] | None = None
    reminder_id: int = 0
    unique: str | None = None
    alarm: bool = False
    run: int = 0
    picture: str | None = None
    document: str | None = None
    id: int = 0
    spent_at: datetime | None = None
    spent_by: str | None = None
    answers: str = ""
    message_id: str = ""
    tries: int = 0
    maybe_sent: bool = False
