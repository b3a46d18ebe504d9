"""A neutral message as a request to Telegram: here alone text is escaped and buttons are laid out."""

from __future__ import annotations

import html
from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Any

from telegram import InlineKeyboardButton, InlineKeyboardMarkup, ReplyParameters
from telegram.constants import ParseMode
from telegram.error import RetryAfter

from bot import knowledge
from bot.messages import ButtonRow, Outgoing

LONGEST_CAPTION = 900
"""Letters under a document: the messenger shows 1024 (core.telegram.org/bots/api, sendDocument)."""
WIDEST_ROW = 30
"""Letters that a row of buttons shows on a small telephone. Own judgement."""


def message(out: Outgoing) -> dict[str, Any]:
    """The values of `sendMessage` for an outbox row."""
    text = f"{out.text}\n{_again(out)}" if out.maybe_sent else out.text
    told: dict[str, Any] = {
        "chat_id": _chat(out.chat),
        "text": html.escape(text, quote=False),
        "parse_mode": ParseMode.HTML,
    }
    if out.buttons and out.spent_at is None:
        told["reply_markup"] = keyboard(out.id, out.buttons)
    if (answered := message_in(out.answers)) is not None:
        told["reply_parameters"] = ReplyParameters(answered, allow_sending_without_reply=True)
    return told


def plain(out: Outgoing) -> dict[str, Any]:
    """The same without any markup, where the messenger cannot read ours."""
    return {**message(out), "text": out.text, "parse_mode": None}


def caption(out: Outgoing) -> dict[str, Any]:
    """The values of `sendDocument` beside the document itself: the text stands under it, without markup."""
    told = {**message(out), "text": out.text[:LONGEST_CAPTION], "parse_mode": None}
    if out.maybe_sent:
        told["text"] += f"\n{_again(out)}"
    return {**{name: value for name, value in told.items() if name != "text"}, "caption": told["text"]}


def no_keyboard(out: Outgoing) -> dict[str, Any]:
    """The values of `editMessageReplyMarkup` that take the buttons off a message."""
    return {"chat_id": _chat(out.chat), "message_id": int(out.message_id), "reply_markup": None}


def keyboard(row: int, buttons: Sequence[ButtonRow]) -> InlineKeyboardMarkup:
    """The buttons, as many a row as a small telephone shows; each carries its row and place, nothing else."""
    rows: list[list[InlineKeyboardButton]] = []
    room = 0
    for place, button in enumerate(buttons):
        room -= len(button.label) + 2
        if room < 0 or not rows:
            rows.append([])
            room = WIDEST_ROW - len(button.label)
        rows[-1].append(InlineKeyboardButton(button.label, callback_data=f"{row}.{place}"))
    return InlineKeyboardMarkup(rows)


def message_in(key: str) -> int | None:
    """The messenger's own number of the message that an inbox key names."""
    kind, _, rest = key.partition(":")
    number = rest.rpartition(":")[2]
    return int(number) if kind == "m" and number.isdigit() else None


def pause_of(fault: RetryAfter) -> float:
    """How many seconds we are told to wait."""
    after: timedelta | float = fault.retry_after
    return after.total_seconds() if isinstance(after, timedelta) else float(after)


def _chat(key: str) -> int | str:
    return int(key) if key.lstrip("-").isdigit() else key


def _again(out: Outgoing) -> str:
    """What makes a twin harmless: which message it is a twin of."""
    at = datetime.fromisoformat(out.reminder["due"]) if out.reminder else out.at
    return knowledge.wording().twin(at.strftime("%H:%M"), out.run, "en")
