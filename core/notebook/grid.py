"""The lines and cells of a CSV, whatever stands between them."""

from __future__ import annotations

import csv
import io
import re
from dataclasses import dataclass

BETWEEN = (";", "\t", ",")
BYTE_ORDER = "\ufeff"
FORMULA = tuple("=+-@＝＋－＠")
MOST_ROWS, MOST_COLUMNS = 500, 100
"""Of one file: a season of a busy farm twice over. A rule of our own."""
TOLD_BETWEEN = re.compile(r"sep=(.)", re.IGNORECASE)
"""How a spreadsheet may say in a line before the headings what stands between cells."""


@dataclass(frozen=True, slots=True)
class Grid:
    """The headings, and each line that is not empty with its number in the file. `too_long`: there were more
    than can be taken at once; `torn`: it cannot be read as a table."""

    headings: tuple[str, ...] = ()
    lines: tuple[tuple[int, tuple[str, ...]], ...] = ()
    too_long: bool = False
    torn: bool = False


def grid_of(text: str) -> Grid:
    """The table of a file's text."""
    text = text.removeprefix(BYTE_ORDER)
    first = next((line for line in text.splitlines() if line.strip()), "")
    told = TOLD_BETWEEN.fullmatch(first.strip())
    between = told[1] if told else max(BETWEEN, key=first.count)
    rows = csv.reader(io.StringIO(text, newline=""), delimiter=between)
    if told:
        next(rows)
    found: list[tuple[int, tuple[str, ...]]] = []
    line = rows.line_num + 1
    try:
        for row in rows:
            cells = tuple(_told(cell.strip()) for cell in row)
            if any(cells):
                found.append((line, cells))
            line = rows.line_num + 1
    except csv.Error:
        return Grid(torn=True)
    if not found:
        return Grid()
    (_, headings), *lines = found
    too_long = len(lines) > MOST_ROWS or len(headings) > MOST_COLUMNS
    return Grid(headings[:MOST_COLUMNS], tuple(lines[:MOST_ROWS]), too_long)


def _told(cell: str) -> str:
    """Without the apostrophe that an export puts before what a spreadsheet could take for a formula."""
    return cell[1:] if cell.startswith("'") and cell[1:].lstrip().startswith(FORMULA) else cell
