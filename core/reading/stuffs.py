"""What a bath is mixed of, by the words of a message."""

from __future__ import annotations

from core.reading.message import Message

BOTTLED = ("iodine", "peroxide", "formalin")
"""Stuffs sold as solutions: a percent is what the bottle's label says, unless it is far below any label."""
RANKED = ("malachite_green", "urea", "tannin", "saline", "clove_extract", "clove_oil", "clove")
"""What a bath is called by where several stuffs are named: urea goes with salt, extract with clove."""


def stuff_named(message: Message) -> str | None:
    """The stuff a message is about."""
    named = [key for item in message.items if (key := item.one_of("agent")) is not None]
    if not named:
        return None
    chosen = next((each for each in RANKED if each in named), named[0])
    return chosen.replace("_", "-")
