"""A job to a picture: which one it is, and the words that its letters can write."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from bot.pictures import night, season
from bot.pictures.paper import Paper, written

DRAW = {"night": night.draw, "season": season.draw}


def sheet(job: Mapping[str, Any]) -> Paper:
    """The picture `job["picture"]` of `job["facts"]`, before it is an image."""
    return DRAW[job["picture"]](job["facts"], written(job["words"], job["plain"]))


def drawn(job: Mapping[str, Any]) -> bytes:
    """The same as a PNG."""
    return sheet(job).png()
