"""The tables for a spreadsheet. Which there are, and what their columns mean, stands in `tables.toml`."""

from __future__ import annotations

import csv
import functools
import io
import json
import textwrap
import tomllib
import unicodedata
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from importlib import resources
from statistics import fmean
from typing import Any

from bot.exports import record, season
from bot.exports.source import Source
from bot.house import known
from core import stock
from core.assistant import card_of
from core.records import (
    BOOK,
    Collected,
    Counted,
    Event,
    FishWeighed,
    LarvaeSold,
    Run,
    RunRow,
    Span,
    Stripped,
    SwimUpCounted,
    WaterRead,
)
from core.runs import as_called_now, batch_of, fold, unretracted

Cell = season.Cell
Row = dict[str, Cell]

FORMULA = tuple("=+-@＝＋－＠")
"""What makes a spreadsheet take a text for a formula (OWASP, "CSV Injection"), in wide letters too."""
JOINERS = "\u200c\u200d"
"""Hidden signs without which several languages cannot be written."""
BYTE_ORDER = "\ufeff"
WIDTH = 96


@dataclass(frozen=True, slots=True)
class Told:
    """A run to be written down: all its events, what of them counts, and the run they fold to."""

    source: Source
    number: int
    events: tuple[Event, ...]
    counting: tuple[Event, ...]
    run: Run

    def said(self, event: Event) -> Row:
        """Who told it, and when."""
        return {"run": self.number, "said_at": event.said_at, "by": self.source.name(event.by)}


def written(source: Source, names: Sequence[str] = ()) -> dict[str, str]:
    """Each table, or those named, as a spreadsheet reads it."""
    texts = {name: io.StringIO(newline="") for name in names or _ROWS}
    writers = {name: csv.writer(text) for name, text in texts.items()}
    for name, writer in writers.items():
        texts[name].write(BYTE_ORDER)
        writer.writerow(columns(name))
    for name, row in rows(source, tuple(texts)):
        writers[name].writerow(_cells(source, name, row))
    return {name: text.getvalue() for name, text in texts.items()}


def rows(source: Source, names: Sequence[str]) -> Iterator[tuple[str, Row]]:
    """The rows of those tables, run by run, each with the name of its table."""
    for number, events in source.runs():
        if events:
            told = Told(source, number, events, as_called_now(events), fold(events))
            for name in names:
                yield from ((name, row) for row in _ROWS[name](told))


def columns(name: str) -> tuple[str, ...]:
    """The columns of a table, in order."""
    return tuple(_layout()["files"][name]["columns"])


def explained(name: str) -> Iterator[tuple[str, str]]:
    """Each column of a table, and what it is."""
    yield from _layout()["files"][name]["columns"].items()


def readme() -> str:
    """What each file and column is, in plain lines."""
    layout = _layout()
    lines = [textwrap.fill(part, WIDTH) + "\n" for part in layout["about"].strip().split("\n\n")]
    for name, table in layout["files"].items():
        lines.append(f"{name}: {table['about']}")
        lines += [f"    {column}: {about}" for column, about in table["columns"].items()]
        lines.append("")
    lines += [textwrap.fill(f"farm.json: {layout['json']}", WIDTH), ""]
    lines.append(textwrap.fill(f"photos: {layout['photos']}", WIDTH))
    return "\r\n".join("\n".join(lines).split("\n")) + "\r\n"


@functools.cache
def _layout() -> Mapping[str, Any]:
    return tomllib.loads(resources.files(__package__).joinpath("tables.toml").read_text(encoding="utf-8"))


# Cells ----------------------------------------------------------------------------------------------------


def _cells(source: Source, name: str, row: Row) -> list[str]:
    known = columns(name)
    if strange := set(row) - set(known):
        raise ValueError(f"{name} has no column {sorted(strange)}")
    return [_cell(source, row.get(column)) for column in known]


def _cell(source: Source, value: Cell) -> str:
    match value:
        case None:
            return ""
        case bool():
            return "yes" if value else "no"
        case int():
            return str(value)
        case float():
            return format(Decimal(repr(value)).normalize(), "f")
        case datetime():
            return source.time(value) or ""
        case date():
            return value.isoformat()
    return harmless(value)


def harmless(text: str) -> str:
    """A text that no spreadsheet takes for a formula, without hidden signs."""
    shown = text if text.isprintable() else "".join(sign for sign in text if _is_shown(sign))
    return f"'{shown}" if shown.lstrip().startswith(FORMULA) else shown


def _is_shown(sign: str) -> bool:
    return sign == "\n" or sign in JOINERS or unicodedata.category(sign) not in ("Cc", "Cf", "Cs")


def _listed(parts: Sequence[str] | None) -> str | None:
    return " ".join(parts) if parts else None


# Rows -----------------------------------------------------------------------------------------------------


def _span(name: str, span: Span | None, unit: str = "") -> Row:
    return {} if span is None else {f"{name}_low{unit}": span.low, f"{name}_high{unit}": span.high}


def _season(told: Told) -> Iterator[Row]:
    row = told.source.store.run_row(told.source.number, told.number)
    if row is not None:
        card = card_of(row, told.source.farm, known()) if row.species in known().cards else None
        yield season.row(told.run, told.counting, row, card, told.source.zone)


def _run(told: Told) -> Iterator[Row]:
    row = told.source.store.run_row(told.source.number, told.number)
    if row is None:
        return
    read = [each.celsius for each in told.run.water if each.source == "measured"]
    yield {
        "run": row.run,
        "species": row.species,
        "way": row.way,
        "preparation": told.run.preparation,
        "state": row.state,
        "begun_at": row.begun_at,
        "ended_at": row.ended_at,
        "females_injected": row.injected,
        "females_gave_eggs": row.ovulated,
        "female_kg": row.injected_kg,
        "gave_kg": row.gave_kg,
        "hours_to_strip": row.hours_to_strip,
        "water_c": round(fmean(read), 2) if read else None,
        **_eggs_and_larvae(row),
    }


def _eggs_and_larvae(row: RunRow) -> Row:
    return {
        "eggs_g": row.egg_grams,
        "eggs_l": row.egg_litres,
        "eggs_per_g": row.eggs_per_gram,
        "eggs_per_ml": row.eggs_per_ml,
        "fertilised_percent": row.fertilised_percent,
        **_span("fertilised", row.fertilised_span, "_percent"),
        "hatched_percent": row.hatched_percent,
        **_span("hatched", row.hatched_span, "_percent"),
        "hatched_of": None if row.hatched_percent is None else row.hatched_of,
        "hatched_at": row.hatched_at,
        "larvae": row.larvae,
        **_span("larvae", row.larvae_span),
        "swim_up_larvae": row.swim_up,
        **_span("swim_up", row.swim_up_span),
        "sold_larvae": row.sold,
    }


def _events(told: Told) -> Iterator[Row]:
    counting = {each.id for each in unretracted(told.events)}
    for each in told.events:
        what: Any = each.what
        whole = record.event(told.source, each, each.id in counting)
        yield {
            **told.said(each),
            "event": each.id,
            "kind": what.kind,
            "happened_at": each.at,
            "counts": each.id in counting,
            "fish": _listed(_tags(what)),
            "place": getattr(what, "place", None),
            "group": getattr(what, "group", None),
            "batch": getattr(what, "batch", None),
            "text": getattr(what, "text", None),
            "details": json.dumps(whole["what"], ensure_ascii=False),
        }


def _tags(what: Any) -> list[str]:
    one = [what.tag] if hasattr(what, "tag") else []
    records = (*getattr(what, "fish", ()), *getattr(what, "eggs", ()))
    tags = (*one, *getattr(what, "tags", ()), *(each.tag for each in records), *getattr(what, "shared", ()))
    return [tag for tag in dict.fromkeys(tags) if tag]


def _weights(told: Told) -> Iterator[Row]:
    newest: dict[str, int] = {}
    for each in told.counting:
        if isinstance(each.what, FishWeighed):
            newest |= {fish.tag: max(each.id, newest.get(fish.tag, 0)) for fish in each.what.fish}
    for each in told.counting:
        if not isinstance(each.what, FishWeighed):
            continue
        for fish in each.what.fish:
            known = next((one for one in told.run.fish if one.tag == fish.tag), None)
            yield {
                **told.said(each),
                "fish": fish.tag,
                "sex": known.sex if known else fish.sex,
                "weight_kg": fish.kg,
                "takes_part": known is not None and newest[fish.tag] == each.id,
                "place": each.what.place,
                "weighed_at": each.at,
            }


def _injections(told: Told) -> Iterator[Row]:
    for fish in told.run.fish:
        for shot in fish.shots:
            yield {
                "run": told.number,
                "fish": fish.tag,
                "sex": fish.sex,
                "fish_kg": fish.kg,
                "group": fish.group,
                "injection": shot.n,
                "which": shot.which,
                "injected_at": shot.at,
                "preparation": told.run.preparation,
                "volume_ml": shot.ml,
                "sheet_ml": shot.sheet_ml,
                "share_percent": None if shot.share is None else round(100 * shot.share, 1),
                "amount": shot.amount,
                "sheet_amount": shot.sheet_amount,
                "amount_unit": shot.unit,
                "by": told.source.name(shot.by),
            }


def _water(told: Told) -> Iterator[Row]:
    for each in told.counting:
        if isinstance(each.what, WaterRead) and each.what.celsius is not None:
            yield {
                **told.said(each),
                "read_at": each.at,
                "water_c": each.what.celsius,
                "source": each.what.source,
                "place": each.what.place,
            }


def _eggs(told: Told) -> Iterator[Row]:
    for each in told.counting:
        if isinstance(each.what, Stripped):
            yield from ({**told.said(each), "taken_at": each.at, **row} for row in _bowl(told, each.what))
        elif isinstance(each.what, Collected):
            yield {
                **told.said(each),
                "batch": each.what.batch,
                "eggs_l": each.what.litres,
                "eggs_per_ml": each.what.eggs_per_ml,
                "place": each.what.place,
                "taken_at": each.at,
            }


def _bowl(told: Told, what: Stripped) -> Iterator[Row]:
    batch = batch_of(told.run, what.batch)
    dry = batch.dry if batch else what.dry
    common: Row = {
        "batch": what.batch,
        "place": what.place,
        "may_be_of": _listed(what.shared),
        "weighed": None if dry is None else "dry" if dry else "after-water",
    }
    for one in what.eggs:
        told_of = {"fish": one.tag, "eggs_g": one.grams, "quality": one.quality}
        yield {**common, **told_of, "partial": one.partial}
    if not what.eggs:
        yield common


def _counts(told: Told) -> Iterator[Row]:
    for each in told.counting:
        match each.what:
            case Counted():
                row = _count(each.what)
            case SwimUpCounted():
                row = {"stage": "swim-up", **_larvae(each.what)}
            case LarvaeSold():
                what = each.what
                row = {"stage": "sold", "larvae": what.larvae, "age_days": what.age_days}
                row |= {"price": what.price, "currency": what.currency}
            case _:
                continue
        yield {**told.said(each), "counted_at": each.at, **row}


def _count(what: Counted) -> Row:
    share = what.percent
    if share is None and what.good is not None and what.total:
        share = round(100 * what.good / what.total, 1)
    return {
        "batch": what.batch,
        "stage": what.stage,
        "good": what.good,
        "total": what.total,
        "percent": share,
        "of": None if what.stage == "fertilised" else what.of,
        "deformed": what.deformed,
        **_larvae(what),
    }


def _larvae(what: Counted | SwimUpCounted) -> Row:
    row: Row = {"larvae": what.larvae, "place": what.place}
    if what.sample is not None:
        row["cups"] = " ".join(f"{cup:g}" for cup in what.sample.counts)
        row |= {"cup_ml": what.sample.cup_ml, "water_l": what.sample.litres}
    return row


def _treated(told: Told) -> Iterator[Row]:
    """Fish that got hormone in a run, and what became of them since, as far as told."""
    for fish, dose in told.source.treated.get(told.number, ()):
        yield {
            "run": dose.run,
            "fish": fish.tag,
            "own_tag": not fish.run,
            "species": fish.species,
            "sex": fish.sex,
            "treated_at": dose.at,
            "preparation": dose.preparation,
            "volume_ml": dose.ml,
            "amount": dose.amount,
            "amount_unit": dose.unit or None,
            "gone": fish.lost.how if fish.lost else None,
            "gone_at": fish.lost.at if fish.lost else None,
        }


def _shelf(told: Told) -> Iterator[Row]:
    """The bottles stand on the farm's own book, beside what its runs used."""
    if told.number != BOOK:
        return
    for bottle in stock.shelf(told.counting, told.source.store.results(told.source.number)).bottles:
        last = stock.last_day(bottle.expiry)
        for place, entry in enumerate(bottle.entries, 1):
            left = stock.balance(bottle.entries[:place])
            gone = entry.what in ("used", "wasted")
            yield {
                "bottle": bottle.number,
                "lot": bottle.lot,
                "preparation": bottle.preparation,
                "expires": last.isoformat() if last else bottle.expiry,
                "opened_at": bottle.opened_at,
                "line": entry.what,
                "happened_at": entry.at,
                "amount": None if entry.amount is None else float(-entry.amount if gone else entry.amount),
                "left": None if left is None else float(left),
                "unit": bottle.unit,
                "run": entry.run or None,
            }


_ROWS: dict[str, Callable[[Told], Iterator[Row]]] = {
    "season.csv": _season,
    "runs.csv": _run,
    "events.csv": _events,
    "weights.csv": _weights,
    "injections.csv": _injections,
    "water.csv": _water,
    "eggs.csv": _eggs,
    "counts.csv": _counts,
    "treated.csv": _treated,
    "shelf.csv": _shelf,
}
