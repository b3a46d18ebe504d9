"""`hatchbell forecast`: a card's window for a steady temperature or a log of the water."""

from __future__ import annotations

import csv
import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, cast, get_args

from bot import knowledge
from core import timing
from core.errors import HatchError
from core.plain import to_plain
from core.records import Preparation
from core.species import Hatching

HEADER = ["at", "celsius"]
STEADY_START = datetime(2000, 1, 1, tzinfo=UTC)  # any hour: in steady water only the span counts
DEGREES = (-5.0, 50.0)


@dataclass(frozen=True, slots=True)
class Wanted:
    """What was asked on the command line."""

    what: str
    species: str
    celsius: float | None
    temps: Path | None
    start: str | None
    preparation: str | None
    shots: int | None


def answer(wanted: Wanted) -> dict[str, Any]:
    """The JSON object of the contract. Raises `NoFigure`, or `HatchError` for bad use."""
    cards = knowledge.cards()
    if wanted.species not in cards:
        raise HatchError("unknown-species", species=wanted.species, known=", ".join(sorted(cards)))
    if wanted.preparation is not None and wanted.preparation not in get_args(Preparation):
        raise HatchError("unknown-preparation", preparation=wanted.preparation)
    card = cards[wanted.species]
    start, water = _steady(wanted.celsius) if wanted.temps is None else _logged(wanted, card.assumed_celsius)
    found = timing.forecast(
        card,
        cast("Hatching", wanted.what),
        water,
        start,
        cast("Preparation | None", wanted.preparation),
        wanted.shots,
    )
    told = to_plain(found, start.tzinfo)
    told["note"] = "; ".join(knowledge.wording().note(code, "en") for code in found.note)
    if wanted.temps is None:
        for key in ("earliest_at", "likely_at", "latest_at"):
            del told[key]
    return cast("dict[str, Any]", told)


def words(told: Mapping[str, Any]) -> str:
    """The same in two lines."""
    return knowledge.wording().forecast(told, "en")


def _steady(celsius: float | None) -> tuple[datetime, timing.Water]:
    if celsius is None:
        raise HatchError("celsius-or-temps")
    return STEADY_START, timing.Water((), _degrees(celsius, 0))


def _degrees(celsius: float, line: int) -> float:
    if not (math.isfinite(celsius) and DEGREES[0] <= celsius <= DEGREES[1]):
        raise HatchError("bad-temperature", celsius=celsius, line=line)
    return celsius


def _logged(wanted: Wanted, assumed: float) -> tuple[datetime, timing.Water]:
    if wanted.start is None:
        raise HatchError("from-wanted")
    start = _time(wanted.start, 0)
    return start, timing.Water(_samples(cast("Path", wanted.temps)), assumed)


def _samples(path: Path) -> tuple[timing.Sample, ...]:
    try:
        rows = list(csv.reader(path.read_text("utf-8-sig").splitlines()))
    except (OSError, UnicodeDecodeError, csv.Error) as fault:
        raise HatchError("bad-log", line=0, detail=str(fault)) from fault
    if not rows or [cell.strip() for cell in rows[0]] != HEADER:
        raise HatchError("bad-log", line=1, detail="header at,celsius wanted")
    samples: list[timing.Sample] = []
    for line, row in enumerate(rows[1:], 2):
        if not row:
            continue
        sample = _sample(row, line)
        if samples and sample.at <= samples[-1].at:
            raise HatchError("bad-log", line=line, detail="times must rise")
        samples.append(sample)
    if not samples:
        raise HatchError("bad-log", line=2, detail="no reading")
    return tuple(samples)


def _sample(row: list[str], line: int) -> timing.Sample:
    if len(row) != len(HEADER):
        raise HatchError("bad-log", line=line, detail="two columns wanted")
    try:
        celsius = float(row[1])
    except ValueError as fault:
        raise HatchError("bad-log", line=line, detail=row[1]) from fault
    return timing.Sample(_time(row[0], line).astimezone(UTC), _degrees(celsius, line))


def _time(text: str, line: int) -> datetime:
    try:
        when = datetime.fromisoformat(text.strip())
    except ValueError as fault:
        raise HatchError("bad-log" if line else "bad-from", line=line, detail=text) from fault
    if when.tzinfo is None:
        raise HatchError("bad-log" if line else "bad-from", line=line, detail=f"{text}: no offset")
    return when
