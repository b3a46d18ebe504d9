"""All that is kept of one farm as files in a ZIP, read on a connection of its own that cannot write.

For whoever carries messages: a row of the outbox names its document, and it is made when the row is carried,
in whatever thread asks for it.
"""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable, Iterable, Mapping
from contextlib import closing, suppress
from dataclasses import dataclass
from datetime import datetime
from itertools import count
from pathlib import Path

from bot.exports import record, run_sheet, tables, workbook
from bot.exports.source import Source
from bot.messages import Outgoing
from bot.store import Store
from core.assistant import local_zone

__all__ = ["Made", "bundle", "made", "put"]

UNIX, FOR_ITS_OWNER = 3, 0o600 << 16
"""How a ZIP says who may read a file of it."""


@dataclass(frozen=True, slots=True)
class Made:
    """A document: its file's name and its bytes."""

    name: str
    content: bytes


def made(path: Path, out: Outgoing) -> Made | None:
    """The document that a row of the outbox names, of the store in that file; `None` where its farm is gone.

    Raises `StoreFault`.
    """
    what, _, number = (out.document or "").partition("/")
    if what not in _MADE:
        raise ValueError(f"no such document: {out.document}")
    called, suffix, make = _MADE[what]
    with suppress(KeyError), closing(Store.open(path, read_only=True)) as store:
        day = out.at.astimezone(local_zone(store.farm(out.farm)))
        name = "-".join(part for part in ("hatchbell", called, number, f"{day:%Y-%m-%d}") if part)
        return Made(f"{name}.{suffix}", make(store, out))
    return None


def _export(store: Store, out: Outgoing) -> bytes:
    return _bundle(store, out.farm, out.at)


def _season_csv(store: Store, out: Outgoing) -> bytes:
    with store.file.moment_kept():
        return tables.written(Source(store, out.farm), ("season.csv",))["season.csv"].encode()


def _season_xlsx(store: Store, out: Outgoing) -> bytes:
    with store.file.moment_kept():
        return workbook.written(Source(store, out.farm), out.at)


def _run_sheet(store: Store, out: Outgoing) -> bytes:
    number = int((out.document or "").partition("/")[2])
    return run_sheet.written(store, out, number)


_MADE: Mapping[str, tuple[str, str, Callable[[Store, Outgoing], bytes]]] = {
    "export": ("", "zip", _export),
    "season.csv": ("season", "csv", _season_csv),
    "season.xlsx": ("season", "xlsx", _season_xlsx),
    "run-sheet": ("run", "pdf", _run_sheet),
}
"""How each document is made, and what its file is called."""


def put(document: Made, folder: Path) -> Path:
    """Write it to a new file in that folder, beside whatever is there; which file. Raises `OSError`."""
    folder.mkdir(parents=True, exist_ok=True)
    plain = folder / document.name
    path = plain
    for number in count(2):
        with suppress(FileExistsError), path.open("xb") as file:
            file.write(document.content)
            break
        path = plain.with_stem(f"{plain.stem}-{number}")
    return path


def bundle(path: Path, farm: int, now: datetime) -> bytes:
    """The farm's ZIP: the same bytes for the same store and `now`. Raises `KeyError`, `StoreFault`."""
    with closing(Store.open(path, read_only=True)) as store:
        return _bundle(store, farm, now)


def _bundle(store: Store, farm: int, now: datetime) -> bytes:
    written = io.BytesIO()
    with store.file.moment_kept(), zipfile.ZipFile(written, "w") as papers:
        source = Source(store, farm)
        local = now.astimezone(source.zone)

        def add(name: str, pieces: Iterable[bytes], packed: int = zipfile.ZIP_DEFLATED) -> None:
            entry = zipfile.ZipInfo(name, (local.year, local.month, local.day, local.hour, local.minute, 0))
            entry.compress_type, entry.create_system, entry.external_attr = packed, UNIX, FOR_ITS_OWNER
            with papers.open(entry, "w") as file:
                file.writelines(pieces)

        add("README.txt", [tables.readme().encode()])
        add("farm.json", record.written(source))
        for name, text in tables.written(source).items():
            add(name, [text.encode()])
        for photo, name in source.photo_files().items():
            add(name, [store.photo(farm, photo)], zipfile.ZIP_STORED)
    return written.getvalue()
