"""Pictures, drawn from the facts of their message when it is carried, in a process that ends.

Whoever carries messages asks for the job of a row, and has it drawn in whatever thread may wait for it. The
chart library is of the extra `files`; without it, or where drawing fails, the message says so and stands.
"""

from __future__ import annotations

import json
import logging
import os
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime
from importlib.util import find_spec
from pathlib import Path
from typing import Any, Literal

import bot
from bot import knowledge
from bot.messages import Outgoing
from bot.store import Store
from core.assistant import local_zone
from core.plain import from_plain
from core.replies import NightPicture, SeasonPicture

__all__ = ["Drawn", "Job", "Missing", "drawn", "filed", "job", "without"]

SECONDS = 20.0
"""A picture that takes longer is given up: a small computer takes a few."""
SHOWN = {"night": NightPicture, "season": SeasonPicture}
KEPT = ("PATH", "HOME", "TMPDIR", "LANG", "MPLCONFIGDIR")
"""Of our environment nothing else goes along: the token stays here."""
_log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Job:
    """What is to be drawn, and the name its file gets."""

    name: str
    told: dict[str, Any]


@dataclass(frozen=True, slots=True)
class Drawn:
    """A picture: its file's name and its bytes."""

    name: str
    content: bytes


@dataclass(frozen=True, slots=True)
class Missing:
    """Why there is none: nothing to draw with, or it failed."""

    why: Literal["missing", "failed"]


def job(store: Store, out: Outgoing) -> Job:
    """The job of a row that names a picture: its facts, and the words for whoever reads there."""
    kind, _, _ = (out.picture or "").partition("/")
    fact = from_plain(SHOWN[kind], out.facts)
    zone = local_zone(store.farm(out.farm))
    words = knowledge.wording().letters(fact, lang=_lang(store, out), zone=zone, now=out.at)
    day = datetime.fromisoformat(fact.date) if isinstance(fact, NightPicture) else out.at.astimezone(zone)
    told = {"picture": kind, "facts": out.facts, **words}
    return Job(f"hatchbell-{kind}-{day:%Y-%m-%d}.png", told)


def drawn(wanted: Job) -> Drawn | Missing:
    """Draws it in a process of its own, and waits for that one."""
    if find_spec("matplotlib") is None:
        return Missing("missing")
    threads = {"OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1"}
    try:
        done = subprocess.run(
            [sys.executable, "-m", "bot.pictures"],
            input=json.dumps(wanted.told).encode(),
            capture_output=True,
            timeout=SECONDS,
            check=True,
            cwd=Path(bot.__file__).parent.parent,
            env={**{name: os.environ[name] for name in KEPT if name in os.environ}, **threads},
        )
    except (OSError, subprocess.SubprocessError) as fault:
        detail = getattr(fault, "stderr", None) or b""
        _log.error("%s: %s %s", wanted.name, type(fault).__name__, detail.decode("utf-8", "replace")[-500:])
        return Missing("failed")
    return Drawn(wanted.name, done.stdout)


def filed(store: Store, out: Outgoing, put: Callable[[str, bytes], str | None]) -> Outgoing:
    """The message with what `put` calls the file of its picture, or the word that there is none."""
    found = drawn(job(store, out))
    if isinstance(found, Missing):
        return without(store, out, found)
    return replace(out, picture=put(found.name, found.content))


def without(store: Store, out: Outgoing, missing: Missing) -> Outgoing:
    """The message without its picture, which it says."""
    word = knowledge.wording().no_picture(missing.why, _lang(store, out))
    return replace(out, text=f"{out.text}\n{word}", picture=None)


def _lang(store: Store, out: Outgoing) -> str:
    person = store.person(out.chat)
    return person.lang if person else "en"
