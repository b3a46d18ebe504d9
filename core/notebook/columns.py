"""The columns a notebook may have, by their headings."""

from __future__ import annotations

import re
import tomllib
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any

BRACKET = re.compile(r"[(\[](?P<unit>[^)\]]*)[)\]]")


@dataclass(frozen=True, slots=True)
class Column:
    """A column: its name, the `kind` of its cells, their ends in the unit of the name, the factors of other
    units, and words for its values."""

    name: str
    kind: str
    low: float = 0.0
    high: float = 0.0
    units: Mapping[str, float] = field(default_factory=dict)
    values: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading as typed, and the column it names, with the factor of the unit it tells."""

    text: str
    column: Column
    factor: float = 1.0


@dataclass(frozen=True, slots=True)
class Columns:
    """Every column by the plain words of its headings; months by their names."""

    by_words: Mapping[str, Column]
    months: Mapping[str, int]

    def heading(self, text: str) -> Heading | None:
        """What a heading names; `None` where nobody knows it, or its unit."""
        column = self.by_words.get(plain(text.replace("(", " ").replace(")", " ")))
        if column is not None:
            return Heading(text, column)
        column = self.by_words.get(plain(BRACKET.sub(" ", text)))
        told = BRACKET.search(text)
        if column is None or told is None:
            return None
        unit = told["unit"].strip().casefold()
        if unit == "%":
            return Heading(text, column) if column.kind == "share" else None
        factor = column.units.get(unit)
        return Heading(text, column, factor) if factor is not None else None


def plain(text: str) -> str:
    """A heading, or a word of a cell, as it is compared: without case, accents and signs."""
    bare = "".join(
        sign for sign in unicodedata.normalize("NFKD", text.casefold()) if not 0x300 <= ord(sign) < 0x370
    )
    return " ".join(re.sub(r"[\s_\-./:;,%]+", " ", bare).split())


def parse_columns(text: str) -> Columns:
    """The columns of `columns.toml`."""
    tables: dict[str, dict[str, Any]] = tomllib.loads(text)
    months = {plain(word): int(n) for n, words in tables.pop("months")["values"].items() for word in words}
    by_words: dict[str, Column] = {}
    for name, told in tables.items():
        values = {plain(word): value for value, words in told.get("values", {}).items() for word in words}
        ends = (float(told.get("low", 0)), float(told.get("high", 0)))
        column = Column(name, told["kind"], *ends, dict(told.get("units", {})), values)
        by_words |= {plain(word): column for word in (name, *told["words"])}
    return Columns(MappingProxyType(by_words), MappingProxyType(months))
