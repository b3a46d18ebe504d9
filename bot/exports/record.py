"""The whole record as JSON, for programs: a line a thing."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import Any

from bot.exports.source import Source
from bot.store import moment
from core.plain import to_plain
from core.records import Event, WaterRead
from core.runs import standing, unretracted

Plain = dict[str, Any]
HIDDEN = ("join-link",)
"""Kinds of messages that show a secret."""


def written(source: Source) -> Iterator[bytes]:
    """The file in pieces."""
    lists = {
        "people": ({"name": each.name, "role": each.role} for each in source.people),
        "runs": _runs(source),
        "events": _events(source),
        "water": _water(source),
        "bells": _bells(source),
        "cautions": _cautions(source),
        "messages": _messages(source),
        "photos": _photos(source),
    }
    yield f'{{"farm": {_text(_farm(source))}'.encode()
    for name, things in lists.items():
        yield f',\n"{name}": '.encode()
        yield from _listed(things)
    yield b"}\n"


def _listed(things: Iterable[Plain]) -> Iterator[bytes]:
    before = "["
    for thing in things:
        yield f"{before}\n{_text(thing)}".encode()
        before = ","
    yield b"[]" if before == "[" else b"\n]"


def _text(value: Plain) -> str:
    return json.dumps(value, ensure_ascii=False, allow_nan=False)


def _farm(source: Source) -> Plain:
    told: Plain = to_plain(replace(source.farm, duty=None), source.zone)
    duty = source.farm.duty
    if duty is not None:
        names = [source.name(person) for person in duty.people]
        told["duty"] = {"people": names, "until": source.time(duty.until)}
    return {name: value for name, value in told.items() if name != "id"}


def _runs(source: Source) -> Iterator[Plain]:
    for number, _ in source.runs():
        row = source.store.run_row(source.number, number)
        if row is not None:
            yield to_plain(row, source.zone)


def event(source: Source, each: Event, counts: bool) -> Plain:
    """An event as it was told."""
    return {
        "run": each.run,
        "event": each.id,
        "kind": each.what.kind,
        "said_at": source.time(each.said_at),
        "happened_at": source.time(each.at),
        "by": source.name(each.by),
        "counts": counts,
        "what": to_plain(each.what, source.zone),
    }


def _events(source: Source) -> Iterator[Plain]:
    for _, events in source.runs():
        counting = {each.id for each in unretracted(events)}
        yield from (event(source, each, each.id in counting) for each in events)


def _water(source: Source) -> Iterator[Plain]:
    for number, events in source.runs():
        for each in standing(events):
            if isinstance(each.what, WaterRead) and each.what.celsius is not None:
                yield {
                    "run": number,
                    "at": source.time(each.at),
                    "celsius": each.what.celsius,
                    "source": each.what.source,
                    "place": each.what.place,
                }


def _bells(source: Source) -> Iterator[Plain]:
    rows = source.store.file.each_row(
        "SELECT run, step, grp, batch, fish, look, due_at, wakes, state, attempts, last_rung_at"
        " FROM reminders WHERE farm = ? ORDER BY due_at, id",
        source.number,
    )
    for row in rows:
        rung = row["last_rung_at"]
        yield {
            "run": row["run"],
            "step": row["step"],
            "group": row["grp"],
            "batch": row["batch"],
            "fish": row["fish"],
            "look": row["look"],
            "due_at": source.time(moment(row["due_at"])),
            "wakes": bool(row["wakes"]),
            "state": row["state"],
            "attempts": row["attempts"],
            "last_rung_at": None if rung is None else source.time(moment(rung)),
        }


def _cautions(source: Source) -> Iterator[Plain]:
    rows = source.store.file.each_row(
        "SELECT run, code FROM advice WHERE farm = ? ORDER BY run, code", source.number
    )
    yield from ({"run": row["run"], "code": row["code"]} for row in rows)


def _messages(source: Source) -> Iterator[Plain]:
    """What was sent, without buttons: those carry what is meant for machines."""
    rows = source.store.file.each_row(
        "SELECT chat, addressee, at, sent_at, kind, text, facts, reminder, run, spent_at, spent_by"
        " FROM outbox WHERE farm = ? AND state = 'sent' ORDER BY id",
        source.number,
    )
    for row in rows:
        facts = json.loads(row["facts"])
        if row["kind"] in HIDDEN or facts.get("about") == "farm":
            continue
        yield {
            "chat": source.chat(row["chat"]),
            "to": row["addressee"],
            "at": source.time(moment(row["at"])),
            "sent_at": source.time(moment(row["sent_at"])),
            "kind": row["kind"],
            "run": row["run"],
            "text": row["text"],
            "facts": facts,
            "bell": None if row["reminder"] is None else json.loads(row["reminder"]),
            "answered_at": None if row["spent_at"] is None else source.time(moment(row["spent_at"])),
            "answered_by": row["spent_by"],
        }


def _photos(source: Source) -> Iterator[Plain]:
    files = source.photo_files()
    for photo in source.store.photo_rows(source.number):
        told = {"run": photo.run, "name": photo.name, "bytes": photo.size}
        yield {**told, "file": files.get(photo.id)}
