"""A script in simulated time: the same conversation, store and bells as the live bot, printed as it goes.

The script's lines are `shared` by contract: `at`, who says what where; the transcript is one JSON object for
each thing the bot sends, or a chat log for people. Nothing sleeps: time jumps from bell to bell.
"""

from __future__ import annotations

import base64
import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta, tzinfo
from pathlib import Path
from typing import Any, Literal

from bot import exports, inbox, links, outbox, ringing, service
from bot.chatlog import ChatLog, Print, zone_of
from bot.clock import HandClock
from bot.house import House
from bot.messages import Incoming, Outgoing
from bot.pictures import carrying
from bot.recording import opened
from bot.store import Store
from bot.worker import work
from core.errors import HatchError

KEYS = frozenset(
    (
        "at",
        "user",
        "chat",
        "lang",
        "text",
        "tap",
        "edit",
        "sent_at",
        "open",
        "photo",
        "file",
        "caption",
        "restart",
        "until",
    )
)
LINK = "hatchbell:join:"
"""What stands before the code of a link here, where no messenger opens it. Codes are counted: a transcript is
the same each time it is played."""
LONGEST_DOWN = 60 * 24 * 3660  # minutes
_ACTS = ("edit", "text", "tap", "open", "photo", "file", "restart", "until")


class BadLine(HatchError):
    """A script line that cannot be played; `line` is its number."""

    def __init__(self, line: int, fault: str, **more: object) -> None:
        super().__init__("bad-line", line=line, fault=fault, **more)


@dataclass(frozen=True, slots=True)
class Line:
    """One script line, checked: the act it holds, that key's value, and its words."""

    number: int
    at: datetime
    act: str
    value: Any
    text: str
    user: str
    chat: str
    lang: str
    sent_at: datetime | None


@dataclass
class Stage:
    """The play while it runs: store, clock, and what the players have said so far."""

    path: Path
    folder: Path
    store: Store
    clock: HandClock
    show: Callable[[Outgoing, datetime], None]
    hear: Callable[[Line], None]
    papers: Path | None = None
    """The folder for what goes with a message; `None`: nothing of that is made."""
    zone: tzinfo = UTC
    """The offset of the newest line, for whom no farm has a time."""
    said: dict[str, list[str]] = field(default_factory=dict)
    links: dict[str, str] = field(default_factory=dict)
    """The newest link to join by that was shown in each chat: the store does not keep it."""

    @property
    def house(self) -> House:
        return House(self.store, self.clock, link=LINK, code=lambda: f"play:{links.count(self.store) + 1}")


def play(
    script: Path, database: Path, out: Print, *, pretty: bool = False, papers: Path | None = None
) -> None:
    """Play a script against a database. Raises `BadLine` after the lines before it were played and kept.

    Documents and pictures are written to the folder `papers`, if there is one.
    """
    lines = _numbered(script)
    if not lines:
        return
    first, *rest = lines
    start = parse(*first)
    stage = _stage(script, database, start, out, pretty)
    stage.papers = papers
    try:
        _play_line(stage, start)
        for number, text in rest:
            _play_line(stage, parse(number, text))
    finally:
        stage.store.close()


def _numbered(script: Path) -> list[tuple[int, str]]:
    try:
        text = script.read_text("utf-8")
    except (OSError, UnicodeDecodeError) as fault:
        raise BadLine(0, "unreadable", detail=str(fault)) from fault
    return [(number, line) for number, line in enumerate(text.splitlines(), 1) if line.strip()]


def _stage(script: Path, database: Path, first: Line, out: Print, pretty: bool) -> Stage:
    store = opened(database)
    newest = store.newest_time()
    if newest is not None and first.at < newest:
        store.close()
        raise BadLine(first.number, "before-the-store", at=first.at.isoformat())
    log = ChatLog(out)

    def as_json(message: Outgoing, at: datetime) -> None:
        out(json.dumps(transcript(message, at), ensure_ascii=False))

    show = log.message if pretty else as_json

    def hear(line: Line) -> None:
        if pretty:
            log.said(line.at, line.user, _shown(line), line.chat)

    start = newest if newest is not None else first.at
    return Stage(database, script.parent, store, HandClock(start), show, hear)


# One line -------------------------------------------------------------------------------------------------


def parse(number: int, text: str) -> Line:
    """A script line. Raises `BadLine` naming what is wrong with it."""
    try:
        found = json.loads(text)
    except ValueError as fault:
        raise BadLine(number, "not-json", detail=str(fault)) from fault
    if not isinstance(found, dict):
        raise BadLine(number, "not-an-object")
    unknown = sorted(set(found) - KEYS)
    if unknown:
        raise BadLine(number, "unknown-key", key=unknown[0])
    acts = [act for act in _ACTS if act in found]
    if acts == ["edit", "text"]:
        acts = ["edit"]
    if len(acts) != 1:
        raise BadLine(number, "one-act-wanted", found=", ".join(acts))
    act = acts[0]
    user = _word(number, found, "user", act)
    return Line(
        number=number,
        at=_time(number, found, "at"),
        act=act,
        value=found[act],
        text=_words(number, found),
        user=user,
        chat=_word(number, found, "chat", act) or user,
        lang=str(found.get("lang", "en")),
        sent_at=_time(number, found, "sent_at") if "sent_at" in found else None,
    )


def _word(number: int, found: Mapping[str, Any], key: str, act: str) -> str:
    value = found.get(key, "")
    if not isinstance(value, str) or (key == "user" and not value and act not in ("restart", "until")):
        raise BadLine(number, "missing-key", key=key)
    return value


def _words(number: int, found: Mapping[str, Any]) -> str:
    value = found.get("text", found.get("caption", ""))
    if not isinstance(value, str):
        raise BadLine(number, "text-wanted")
    return value


def _time(number: int, found: Mapping[str, Any], key: str) -> datetime:
    try:
        when = datetime.fromisoformat(found[key])
    except (KeyError, TypeError, ValueError) as fault:
        raise BadLine(number, "bad-time", key=key) from fault
    if when.tzinfo is None:
        raise BadLine(number, "no-offset", key=key)
    return when


def _play_line(stage: Stage, line: Line) -> None:
    if line.at < stage.clock.now():
        raise BadLine(line.number, "time-going-back", at=line.at.isoformat())
    if line.act == "restart":
        _restart(stage, line)
        return
    stage.zone = line.at.tzinfo or UTC
    _pass_time(stage, line.at)
    if line.act == "until":
        return
    incoming = _incoming(stage, line)
    stage.hear(line)
    with stage.store.transaction():
        inbox.receive(stage.store, incoming)
    work(stage.house)
    _deliver(stage)


def _pass_time(stage: Stage, until: datetime) -> None:
    """Every bell due at or before `until` is delivered at its own time; then it is `until`."""
    while True:
        due = ringing.next_due(stage.house)
        if due is None or due > until:
            break
        stage.clock.move_to(max(due, stage.clock.now()))
        ringing.ring_due(stage.house, 1)
        _deliver(stage)
    stage.clock.move_to(until)
    with stage.store.transaction():
        service.tidy(stage.house)


def _restart(stage: Stage, line: Line) -> None:
    """Everything is dropped and the store opened anew; a number is how many minutes nobody was there."""
    down = 0 if line.value is True else line.value
    if isinstance(down, bool) or not isinstance(down, int | float) or not 0 <= down <= LONGEST_DOWN:
        raise BadLine(line.number, "bad-restart")
    _pass_time(stage, max(stage.clock.now(), line.at - timedelta(minutes=down)))
    stage.store.close()
    stage.store = opened(stage.path, must_exist=True)
    stage.clock = HandClock(line.at)
    while ringing.ring_due(stage.house):
        _deliver(stage)


def _deliver(stage: Stage) -> None:
    def show(message: Outgoing) -> None:
        if message.kind == "join-link":
            stage.links[message.chat] = message.facts["link"]
        at = message.at.astimezone(zone_of(stage.store, message, stage.zone))
        stage.show(_pictured(stage, replace(message, document=_document(stage, message))), at)

    outbox.deliver(stage.store, stage.clock, show)


def _document(stage: Stage, message: Outgoing) -> str | None:
    """Where the document of a message was written. Raises `HatchError` where it cannot be."""
    if message.document is None or stage.papers is None:
        return None
    made = exports.made(stage.path, message)
    return None if made is None else _put(stage.papers, made)


def _pictured(stage: Stage, message: Outgoing) -> Outgoing:
    """The message with the path of its picture, or the word that there is none. Raises `HatchError`."""
    folder = stage.papers
    if message.picture is None or folder is None:
        return replace(message, picture=None)
    return carrying.filed(
        stage.store, message, lambda name, content: _put(folder, exports.Made(name, content))
    )


def _put(folder: Path, made: exports.Made) -> str:
    """Where a paper was written. Raises `HatchError` where it cannot be."""
    try:
        return str(exports.put(made, folder))
    except OSError as fault:
        detail = fault.strerror or type(fault).__name__
        raise HatchError("not-written", path=str(folder), detail=detail) from fault


def _incoming(stage: Stage, line: Line) -> Incoming:
    """The line as a message that came in. Its key tells it from every other of the store."""
    number = inbox.count(stage.store) + 1
    key = f"play-{number}"
    base: dict[str, Any] = {
        "key": key,
        "chat": line.chat,
        "private": line.chat == line.user,
        "user": line.user,
        "lang": line.lang,
        "at": line.at,
        "offset_minutes": int((line.at.utcoffset() or timedelta(0)).total_seconds() // 60),
        "sent_at": line.sent_at,
        "name": line.user,
    }
    said = stage.said.setdefault(line.user, [])
    if line.act in ("text", "photo", "file"):
        said.append(key)
    if line.act == "text":
        return Incoming(what="text", text=line.text, **base)
    if line.act in ("photo", "file"):
        name, picture = _photo(stage, line)
        what: Literal["photo", "file"] = "file" if line.act == "file" else "photo"
        return Incoming(what=what, text=line.text, picture=picture, **{**base, "name": name})
    if line.act == "open":
        link = stage.links.get(_text(line, line.value))
        if link is None:
            raise BadLine(line.number, "no-such-link", name=str(line.value))
        return Incoming(what="open", text=link.removeprefix(LINK), **base)
    if line.act == "tap":
        return _tap(stage, line, base)
    return _edit(line, said, base)


def _text(line: Line, value: object) -> str:
    if not isinstance(value, str):
        raise BadLine(line.number, "text-wanted")
    return value


def _photo(stage: Stage, line: Line) -> tuple[str, str]:
    """The photo's name, and its bytes in base 64."""
    path = stage.folder / _text(line, line.value)
    if not path.is_file():
        raise BadLine(line.number, "no-such-photo", name=path.name)
    return path.name, base64.b64encode(path.read_bytes()).decode("ascii")


def _tap(stage: Stage, line: Line, base: dict[str, Any]) -> Incoming:
    action = _text(line, line.value)
    message = outbox.newest_with(stage.store, line.chat, action)
    if message is None:
        raise BadLine(line.number, "no-such-button", action=action)
    return Incoming(what="tap", action=action, message=message.id, **base)


def _edit(line: Line, said: Sequence[str], base: dict[str, Any]) -> Incoming:
    number = line.value
    if isinstance(number, bool) or not isinstance(number, int) or not 1 <= number <= len(said):
        raise BadLine(line.number, "no-such-message")
    return Incoming(what="edit", text=line.text, edits=said[number - 1], **base)


# What is printed ------------------------------------------------------------------------------------------


def transcript(message: Outgoing, at: datetime) -> dict[str, Any]:
    """One line of the transcript; `at` is when it was said, in the farm's time."""
    return {
        "at": at.replace(microsecond=0).isoformat(),
        "chat": message.chat,
        "to": message.to,
        "kind": message.kind,
        "text": message.text,
        "buttons": [{"action": button.action, "label": button.label} for button in message.buttons],
        "facts": message.facts,
        "picture": message.picture,
        "document": message.document,
        "reminder": message.reminder,
    }


def _shown(line: Line) -> str:
    if line.act == "text":
        return line.text
    if line.act == "tap":
        return f"[{line.value}]"
    if line.act == "edit":
        return f"[edited: {line.text}]"
    return f"[{line.act}: {line.value}]"
