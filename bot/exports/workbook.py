"""The season as a workbook: numbers as numbers, times as times of the farm, texts as nothing but texts.

What writes it comes with the extra `files`.
"""

from __future__ import annotations

import io
from collections.abc import Mapping
from datetime import date, datetime
from typing import Any

from bot.exports import tables
from bot.exports.source import Source

SHEETS: Mapping[str, str] = {
    "runs": "season.csv",
    "fish": "weights.csv",
    "injections": "injections.csv",
    "eggs": "eggs.csv",
    "counts": "counts.csv",
    "water": "water.csv",
}
"""The sheets, and which table stands in each."""
COLUMNS = "columns"
"""The second sheet: what each column of the others is, with its unit."""
MOST_SIGNS = 32_000  # a cell holds 32,767 (support page "Excel specifications and limits")
NARROWEST, WIDEST = 9, 40
DAY, MOMENT = "yyyy-mm-dd", "yyyy-mm-dd hh:mm"


def written(source: Source, now: datetime) -> bytes:
    """The file: the same bytes for the same store and `now`."""
    import xlsxwriter

    content = io.BytesIO()
    book = xlsxwriter.Workbook(content, {"in_memory": True, "strings_to_formulas": False})
    book.set_properties({"created": now.astimezone(source.zone).replace(tzinfo=None), "author": ""})
    head = book.add_format({"bold": True, "bottom": 1})
    formats = {"day": book.add_format({"num_format": DAY}), "moment": book.add_format({"num_format": MOMENT})}
    first, *others = SHEETS
    sheets = {name: book.add_worksheet(name) for name in (first, COLUMNS, *others)}
    for name, table in SHEETS.items():
        _head(sheets[name], tables.columns(table), head)
    _explain(sheets[COLUMNS], head)
    of_table = {table: sheets[name] for name, table in SHEETS.items()}
    filled = dict.fromkeys(of_table, 0)
    for table, row in tables.rows(source, tuple(of_table)):
        filled[table] += 1
        for place, column in enumerate(tables.columns(table)):
            _put(of_table[table], filled[table], place, row.get(column), formats, source)
    book.close()
    return content.getvalue()


def _head(sheet: Any, columns: tuple[str, ...], bold: Any) -> None:
    for place, column in enumerate(columns):
        sheet.write_string(0, place, column, bold)
        sheet.set_column(place, place, min(max(len(column) + 2, NARROWEST), WIDEST))
    sheet.freeze_panes(1, 1)


def _explain(sheet: Any, bold: Any) -> None:
    """A row for each column of the other sheets."""
    _head(sheet, ("sheet", "column", "what it is, with its unit"), bold)
    sheet.set_column(2, 2, 2 * WIDEST)
    told = [(name, *each) for name, table in SHEETS.items() for each in tables.explained(table)]
    for at, row in enumerate(told, 1):
        for place, text in enumerate(row):
            sheet.write_string(at, place, text)


def _put(
    sheet: Any, row: int, place: int, value: tables.Cell, formats: Mapping[str, Any], of: Source
) -> None:
    match value:
        case None:
            return
        case bool():
            sheet.write_string(row, place, "yes" if value else "no")
        case int() | float():
            sheet.write_number(row, place, value)
        case datetime():
            local = value.astimezone(of.zone).replace(tzinfo=None, microsecond=0)
            sheet.write_datetime(row, place, local, formats["moment"])
        case date():
            sheet.write_datetime(row, place, value, formats["day"])
        case str():
            sheet.write_string(row, place, tables.harmless(value)[:MOST_SIGNS])
