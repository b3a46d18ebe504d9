"""A run on one page for the wall, as a PDF: as large as it fits, and never on two pages.

What draws it, and its letters, come with the extra `files`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

from bot import knowledge
from bot.clock import HandClock
from bot.gathering import gather_for_bell
from bot.house import House, known, reader_in
from bot.messages import Outgoing
from bot.store import Store
from core.assistant import local_zone, run_paper
from core.wording import Block, Page

if TYPE_CHECKING:
    from fpdf import FPDF

WIDTH, HEIGHT, EDGE = 210.0, 297.0, 12.0  # mm of an A4 page (ISO 216)
FAMILY = "DejaVu"
LETTERS = {"": "DejaVuSans.ttf", "B": "DejaVuSans-Bold.ttf"}
MM_OF_POINT = 25.4 / 72
LINE = 1.25
"""A line's height in sizes of its letters."""
LARGE, SMALL, TITLE, UNDER = 34.0, 11.0, 28.0, 13.0
"""Points of what is read from afar and from near, where all of it fits; of the title and what is under it."""
LEAST = 5.0
"""No letter is smaller, whatever has to go in."""
SHRINK = 0.95
BLANK_MM = 11.0
GAP = 3.0
MANY = 8
"""From so many short rows on they stand in columns."""


@dataclass(frozen=True, slots=True)
class Piece:
    """A text on the page, its left upper corner in mm, the size of its letters in points."""

    x: float
    y: float
    text: str
    size: float
    bold: bool = False


def written(store: Store, out: Outgoing, number: int) -> bytes:
    """The page of a run, as of the message that it goes with. Raises `KeyError`, `StoreFault`."""
    farm, owner = store.farm(out.farm), store.owner(out.farm)
    chat = store.chat(out.chat)
    lang = reader_in(store, chat, owner).lang if chat else owner.lang
    desk = gather_for_bell(House(store, HandClock(out.at)), farm, owner, number)
    paper = run_paper(number, desk, known())
    pdf = _blank()
    pdf.set_creation_date(out.at)
    page = knowledge.wording().page(
        paper,
        lang=lang,
        zone=local_zone(farm),
        now=out.at,
        farm_name=farm.name,
        shows=lambda text: _shows(pdf, text),
    )
    _draw(pdf, page)
    return bytes(pdf.output())


def _blank() -> FPDF:
    from fpdf import FPDF

    pdf = FPDF(format="A4")
    pdf.set_auto_page_break(False)
    pdf.set_margin(0)
    for style, name in LETTERS.items():
        pdf.add_font(FAMILY, style, letters() / name)
    pdf.add_page()
    return pdf


def letters() -> Path:
    """The folder of the letters. Raises `ModuleNotFoundError` where they are not installed."""
    found = find_spec("matplotlib")
    if found is None or not found.submodule_search_locations:
        raise ModuleNotFoundError("matplotlib")
    return Path(found.submodule_search_locations[0]) / "mpl-data" / "fonts" / "ttf"


def _shows(pdf: FPDF, text: str) -> bool:
    """Whether the letters have every sign of a text."""
    known: Mapping[int, object] = getattr(pdf.fonts[FAMILY.lower()], "cmap", {})
    return all(ord(sign) in known or sign.isspace() for sign in text)


# Laying out -----------------------------------------------------------------------------------------------


def _draw(pdf: FPDF, page: Page) -> None:
    """Everything as large as it goes on the page."""
    for piece in _pieces(pdf, page):
        _write(pdf, piece)
    _draw_blanks(pdf, page.blanks, HEIGHT - EDGE - _blanks_mm(page))


def _pieces(pdf: FPDF, page: Page) -> Iterator[Piece]:
    y = EDGE
    for text, size in ((page.title, TITLE), (page.under, UNDER)):
        for line in _lines(pdf, text, WIDTH - 2 * EDGE, size, bold=size == TITLE):
            yield Piece(EDGE, y, line, size, bold=size == TITLE)
            y += _high(size)
    blocks = (*page.large, *page.small)
    room = HEIGHT - EDGE - _blanks_mm(page) - y - GAP * len(blocks)
    for block, size in zip(blocks, _sizes(pdf, page, room), strict=True):
        y += GAP
        yield from _block(pdf, block, y, size)
        y += _height(pdf, block, size)


def _sizes(pdf: FPDF, page: Page, room: float) -> list[float]:
    """The size of each block's letters. Of what is large the block shrinks that is highest with the largest
    letters, until all have room; then any."""
    blocks = (*page.large, *page.small)
    many = len(page.large)
    sizes = [LARGE] * many + [SMALL] * len(page.small)
    heights = [_height(pdf, block, size) for block, size in zip(blocks, sizes, strict=True)]
    while sum(heights) > room:
        able = [n for n in range(many) if sizes[n] > SMALL] or [
            n for n in range(len(blocks)) if sizes[n] > LEAST
        ]
        if not able:
            break
        highest = max(able, key=lambda n: heights[n] * sizes[n])
        sizes[highest] *= SHRINK
        heights[highest] = _height(pdf, blocks[highest], sizes[highest])
    return sizes


def _height(pdf: FPDF, block: Block, size: float) -> float:
    return max((piece.y + _high(piece.size) for piece in _block(pdf, block, 0.0, size)), default=0.0)


def _block(pdf: FPDF, block: Block, y: float, size: float) -> Iterator[Piece]:
    if block.heading:
        small = max(size * 0.5, min(size, SMALL))
        yield Piece(EDGE, y, block.heading, small, bold=True)
        y += _high(small)
    columns = _columns(pdf, block, size)
    rows = -(-len(block.rows) // columns)
    width = (WIDTH - 2 * EDGE) / columns
    for column in range(columns):
        at = y
        for row in block.rows[column * rows : (column + 1) * rows]:
            bottom = at
            for piece in _row(pdf, block, row, EDGE + column * width, at, width, size):
                yield piece
                bottom = max(bottom, piece.y + _high(piece.size))
            at = bottom


def _columns(pdf: FPDF, block: Block, size: float) -> int:
    """As many columns as short rows fit beside each other."""
    if len(block.rows) < MANY:
        return 1
    widest = max(sum(_starts(pdf, block, size)) + _wide(pdf, row[-1], size) for row in block.rows)
    return max(1, min(3, int((WIDTH - 2 * EDGE) // (widest + GAP))))


def _starts(pdf: FPDF, block: Block, size: float) -> list[float]:
    """The widths of all cells of a row but the last."""
    most = max(len(row) for row in block.rows)
    cells = [[row[n] for row in block.rows if len(row) > n + 1] for n in range(most - 1)]
    return [
        max(_wide(pdf, cell, size, bold=not n) for cell in column) + size * MM_OF_POINT * 0.6
        for n, column in enumerate(cells)
    ]


def _row(
    pdf: FPDF, block: Block, row: Sequence[str], x: float, y: float, width: float, size: float
) -> Iterator[Piece]:
    """The cells of a row; the last one goes on over several lines where it is long."""
    right = x + width
    starts = _starts(pdf, block, size)
    for n, cell in enumerate(row[:-1]):
        yield Piece(x, y, cell, size, bold=not n)
        x += starts[n]
    bold = len(row) == 1 and len(starts) > 0
    for line in _lines(pdf, row[-1], right - x - GAP / 2, size, bold=bold):
        yield Piece(x, y, line, size, bold)
        y += _high(size)


def _lines(pdf: FPDF, text: str, width: float, size: float, *, bold: bool = False) -> Iterator[str]:
    """A text in lines that are no wider than that; a word is cut where it must be."""
    for part in text.split("\n"):
        line = ""
        for word in part.split():
            longer = f"{line} {word}" if line else word
            if _wide(pdf, longer, size, bold=bold) <= width:
                line = longer
                continue
            if line:
                yield line
            line = word
            while _wide(pdf, line, size, bold=bold) > width and len(line) > 1:
                cut = max(1, int(len(line) * width / _wide(pdf, line, size, bold=bold)))
                yield line[:cut]
                line = line[cut:]
        yield line


def _wide(pdf: FPDF, text: str, size: float, *, bold: bool = False) -> float:
    pdf.set_font(FAMILY, "B" if bold else "", size)
    return float(pdf.get_string_width(text))


def _high(size: float) -> float:
    return size * MM_OF_POINT * LINE


def _write(pdf: FPDF, piece: Piece) -> None:
    """Signs that the letters lack are left out: no boxes."""
    pdf.set_font(FAMILY, "B" if piece.bold else "", piece.size)
    shown = "".join(sign for sign in piece.text if _shows(pdf, sign))
    pdf.text(piece.x, piece.y + piece.size * MM_OF_POINT, shown)


# Lines to be filled in by hand ----------------------------------------------------------------------------


def _blanks_mm(page: Page) -> float:
    return -(-len(page.blanks) // 2) * BLANK_MM


def _draw_blanks(pdf: FPDF, blanks: Sequence[str], y: float) -> None:
    """A label and a line behind it, two beside each other."""
    half = (WIDTH - 2 * EDGE) / 2
    for n, label in enumerate(blanks):
        x, at = EDGE + n % 2 * half, y + (n // 2 + 1) * BLANK_MM - 2
        pdf.set_font(FAMILY, "", SMALL)
        pdf.text(x, at, label)
        pdf.line(x + _wide(pdf, label, SMALL) + 2, at + 0.8, x + half - 4, at + 0.8)
