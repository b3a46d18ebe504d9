"""Logs for whoever runs the bot: a line an event, without tokens, texts or names."""

from __future__ import annotations

import logging
import re
import sys

_SECRET = re.compile(r"\d{1,20}:[A-Za-z0-9_-]{20,}")
_NOISY = ("httpx", "httpcore", "telegram", "apscheduler")


class Discreet(logging.Formatter):
    """Writes a record whole, its exception too, with every token struck out."""

    def format(self, record: logging.LogRecord) -> str:
        return redacted(super().format(record))


def redacted(text: str) -> str:
    """The text without anything that looks like a bot's token."""
    return _SECRET.sub("<token>", text)


def set_up(level: str = "INFO") -> None:
    """One handler, to standard error; libraries that name addresses and texts only where they warn."""
    handler = logging.StreamHandler(sys.stderr)
    handler.setFormatter(Discreet("%(asctime)s %(levelname)s %(name)s %(message)s"))
    root = logging.getLogger()
    root.handlers[:] = [handler]
    root.setLevel(level)
    for name in _NOISY:
        logging.getLogger(name).setLevel(logging.WARNING)
