"""An old notebook that was sent as a file: its text, and what its species are called."""

from __future__ import annotations

import codecs
from collections.abc import Iterable
from dataclasses import replace
from pathlib import PurePath

from bot import knowledge
from bot.store import Store
from core import reading
from core.assistant import Desk, Paper
from core.commands import Command, ImportNotebook, Unclear, Weigh
from core.notebook import grid_of

ENDINGS = (".csv", ".tsv", ".txt")
LONGEST_NAME = 60
"""Signs of a name of a species."""
WIDE = (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)


def is_table(name: str) -> bool:
    """Whether a file of that name may be an old notebook."""
    return PurePath(name).suffix.casefold() in ENDINGS


def with_paper(desk: Desk, store: Store, command: Command) -> Desk:
    """The desk with the file that a command speaks of."""
    if not isinstance(command, ImportNotebook):
        return desk
    name = next((row.name for row in store.photo_rows(desk.farm.id) if row.id == command.paper), "")
    return replace(desk, paper=paper_of(name, store.photo(desk.farm.id, command.paper), desk.person.lang))


def paper_of(name: str, content: bytes, lang: str) -> Paper:
    """A file as core wants it."""
    text = text_of(content)
    return Paper(name, text, meanings(_species_cells(text), lang))


def text_of(content: bytes) -> str:
    """The letters of a file: UTF-8, UTF-16 where it says so, else those of western Windows."""
    if content.startswith(WIDE):
        return content.decode("utf-16", "replace")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        return content.decode("cp1252", "replace")


def _species_cells(text: str) -> set[str]:
    grid, columns = grid_of(text), knowledge.columns()
    found = [columns.heading(heading) for heading in grid.headings]
    places = [place for place, each in enumerate(found) if each and each.column.name == "species"]
    return {line[place] for _, line in grid.lines for place in places[:1] if place < len(line)}


def meanings(cells: Iterable[str], lang: str) -> dict[str, tuple[str | None, str | None]]:
    """Of each cell the species it names, or the word that may fit several."""
    about = reading.Context(lang=lang)
    told = {}
    for cell in (each for each in cells if len(each) <= LONGEST_NAME):
        main = reading.read(cell, about, knowledge.lexicon(), knowledge.limits()).main
        ways = main.candidates if isinstance(main, Unclear) else (main,)
        if len(ways) == 1 and isinstance(ways[0], Weigh) and not ways[0].fish:
            told[cell] = (ways[0].species, ways[0].species_word)
    return told
