"""Playing scripts in process: what the night tests share.

A script is a list of the contract's lines, as dicts, or as raw text where a line is meant to be bad.
"""

from __future__ import annotations

import atexit
import functools
import json
import shutil
import tempfile
from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime, timedelta, timezone
from pathlib import Path
from typing import Any

from bot.play import BadLine, play
from bot.store import Store
from demo.moved import moved

ROOT = Path(__file__).parents[2]
NIGHTS = ROOT / "tests" / "nights"
DEMO = ROOT / "demo"
STORE = "store.db"
SHOWN = ("at", "chat", "kind", "text", "buttons", "facts")

Script = Sequence[Mapping[str, Any] | str]
Transcript = list[dict[str, Any]]


def played(lines: Script, folder: Path) -> Transcript:
    """What the bot sends while the script is played; another one in the folder goes on from there."""
    sent, fault = played_until_fault(lines, folder)
    if fault is not None:
        raise fault
    return sent


def played_until_fault(lines: Script, folder: Path) -> tuple[Transcript, BadLine | None]:
    """What was sent until the script's end or its first bad line, and that line's fault."""
    script, out = folder / "script.jsonl", []
    texts = [line if isinstance(line, str) else json.dumps(line) for line in lines]
    script.write_text("\n".join(texts) + "\n", encoding="utf-8")
    fault = None
    if not (folder / STORE).exists():
        shutil.copyfile(empty_store(), folder / STORE)
    try:
        play(script, folder / STORE, out.append)
    except BadLine as bad:
        fault = bad
    return [json.loads(line) for line in out], fault


@functools.cache
def _scratch() -> Path:
    """A folder that is gone with the process."""
    folder = tempfile.TemporaryDirectory()
    atexit.register(folder.cleanup)
    return Path(folder.name)


@functools.cache
def empty_store() -> Path:
    """A store as it is founded, so that not every script brings up its tables."""
    path = _scratch() / STORE
    Store.open(path).close()
    return path


def played_on(lines: Sequence[Mapping[str, Any]], folder: Path) -> Transcript:
    """As `played` in a folder of its own; a beginning that another script had is not played anew.

    Edits count the messages of their script, so that one with edits is played whole.
    """
    if any("edit" in line for line in lines):
        return played(lines, folder)
    *before, last = lines
    store, said = _begun(tuple(map(json.dumps, before)))
    shutil.copyfile(store, folder / STORE)
    return [*said, *played([last], folder)]


@functools.cache
def _begun(lines: tuple[str, ...]) -> tuple[Path, Transcript]:
    """The store after these lines, and what was sent until then."""
    if not lines:
        return empty_store(), []
    folder = Path(tempfile.mkdtemp(dir=_scratch()))
    said = played_on([json.loads(line) for line in lines], folder)
    return folder / STORE, said


def script_of(path: Path) -> list[dict[str, Any]]:
    """A script file's lines, files that lie beside it named whole. Places for a moved time, as `{t:-10}`, are
    filled with the line's own time."""
    texts = [text for text in path.read_text(encoding="utf-8").splitlines() if text.strip()]
    last = datetime.fromisoformat(json.loads(texts[-1])["at"])
    lines: list[dict[str, Any]] = [json.loads(text) for text in moved(texts, last)]
    return [
        {key: str(path.parent / value) if key in ("file", "photo") else value for key, value in line.items()}
        for line in lines
    ]


@functools.cache
def night(name: str) -> Transcript:
    """The transcript of a script under tests/nights, played once for all tests. To be looked at only."""
    return transcript_of(NIGHTS / f"{name}.jsonl")


@functools.cache
def transcript_of(path: Path) -> Transcript:
    """The transcript of a script file, played once."""
    with tempfile.TemporaryDirectory() as folder:
        return played(script_of(path), Path(folder))


def scripts() -> list[Path]:
    """Every script that the tree shows or tests with."""
    return sorted([*NIGHTS.glob("*.jsonl"), *DEMO.glob("*.jsonl")])


def with_restarts(lines: Iterable[Mapping[str, Any]]) -> list[Mapping[str, Any]]:
    """The script with everything dropped and opened anew after each of its lines."""
    return [each for line in lines for each in (line, {"at": line["at"], "restart": True})]


def shown(transcript: Transcript) -> list[tuple[Any, ...]]:
    """What must be the same however often the process was started."""
    return [tuple(line[key] for key in SHOWN) for line in transcript]


# Looking into a transcript --------------------------------------------------------------------------------


def of_kind(transcript: Transcript, kind: str) -> list[dict[str, Any]]:
    """The facts of every message of that kind, in order."""
    return [line["facts"] for line in transcript if line["kind"] == kind]


def newest(transcript: Transcript, kind: str) -> dict[str, Any]:
    """The facts of the last message of that kind."""
    return of_kind(transcript, kind)[-1]


def bells(transcript: Transcript, step: str | None = None) -> list[dict[str, Any]]:
    """The messages that are bells, of one step or of all."""
    return [line for line in transcript if line["reminder"] and step in (None, line["reminder"]["step"])]


def since(transcript: Transcript, clock: str) -> Transcript:
    """What was sent after that time, a whole ISO one."""
    start = datetime.fromisoformat(clock)
    return [line for line in transcript if datetime.fromisoformat(line["at"]) > start]


def answers(transcript: Transcript, clock: str) -> Transcript:
    """What was sent at that time and is no bell."""
    at = datetime.fromisoformat(clock)
    return [
        line for line in transcript if datetime.fromisoformat(line["at"]) == at and line["reminder"] is None
    ]


def actions(line: Mapping[str, Any]) -> list[str]:
    """The actions under a message."""
    return [button["action"] for button in line["buttons"]]


def time_of(value: str) -> datetime:
    return datetime.fromisoformat(value)


def minutes_between(first: str, then: str) -> float:
    return (datetime.fromisoformat(then) - datetime.fromisoformat(first)).total_seconds() / 60


class Night:
    """A script written down line by line: clocks of one farm at UTC+6, days from the first of June.

    `night("20:30", "injected")` is ada's message in her own chat; a day is written as "2 04:45".
    """

    def __init__(self, user: str = "ada", chat: str | None = None) -> None:
        self.user, self.chat = user, chat or user
        self.lines: list[dict[str, Any]] = []

    def __call__(self, clock: str, text: str, **more: Any) -> Night:
        return self.add(clock, text=text, **more)

    def tap(self, clock: str, action: str, **more: Any) -> Night:
        return self.add(clock, tap=action, **more)

    def edit(self, clock: str, number: int, text: str) -> Night:
        return self.add(clock, edit=number, text=text)

    def until(self, clock: str) -> Night:
        self.lines.append({"at": at(clock), "until": True})
        return self

    def add(self, clock: str, **act: Any) -> Night:
        self.lines.append({"at": at(clock), "user": self.user, "chat": self.chat, **act})
        return self


def at(clock: str) -> str:
    """ "20:30" of the first of June, or "2 04:45" of the second, as the script's time."""
    day, _, hour = clock.rpartition(" ")
    hours, minutes = map(int, hour.split(":"))
    start = datetime(2026, 6, 1, tzinfo=timezone(timedelta(hours=6)))
    return (start + timedelta(days=int(day or 1) - 1, hours=hours, minutes=minutes)).isoformat()
