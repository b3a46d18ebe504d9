"""What a message is made of, once its words are known: numbers with units, tags, places, senses."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import lru_cache
from typing import Literal, NamedTuple

from core.reading.numbers import from_digits
from core.records import Sex

Kind = Literal["num", "coded", "tag", "place", "clock", "ago", "span", "word", "sign", "junk"]
NOTHING: frozenset[str] = frozenset()
MOST_FISH = 60
"""Of one message: more are no count of brood fish."""
GAP = "\x1e"
"""A space that parts clauses, in a script without spaces between words."""


@lru_cache(maxsize=4096)
def tables_of(senses: frozenset[str]) -> Mapping[str, str]:
    """The tables that senses are of, each with its first key by the alphabet."""
    return dict(reversed([(table, key) for table, _, key in (s.partition(".") for s in sorted(senses))]))


class Item(NamedTuple):
    """One piece of meaning.

    `num`: `value` in `unit` as told (`text`: its digits; `high`: end of a range). `coded`: a letter and
    digits, tag or weight is not settled yet. `clock`: `value` minutes after midnight, `sure` of the half of
    the day. `ago`, `span`: `value` minutes. `sex` on tags and coded items by their letter. `word`: `text` is
    the phrase rightly spelt. `said` is the unit as written. `high` of a word of the clock is the
    part of an hour told behind it.
    """

    kind: Kind
    raw: str
    senses: frozenset[str] = NOTHING
    text: str = ""
    value: float = 0.0
    unit: str = ""
    high: float | None = None
    sure: bool = False
    sex: Sex | None = None
    glued: bool = False
    spoken: bool = False
    said: str = ""

    def has(self, *senses: str) -> bool:
        """Whether it carries any of the senses."""
        return not self.senses.isdisjoint(senses)

    def one_of(self, table: str) -> str | None:
        """The key of a sense of that table: "f" for `sex.f` and table "sex"."""
        return tables_of(self.senses).get(table)

    @property
    def whole(self) -> bool:
        """A number without unit and without decimals."""
        return (
            self.kind == "num"
            and not self.unit
            and self.high is None
            and self.value == int(self.value)
            and not any(sign in self.text for sign in ".,")
        )


def count_of(item: Item) -> float:
    """The value of a number that counts grams of eggs, eggs or larvae: d.ddd and d,ddd are thousands."""
    value = from_digits(item.text, thousands=True) if item.text else None
    return item.value if value is None else value


def first_of_table(senses: frozenset[str], table: str) -> str | None:
    """The first key of a table among senses."""
    return tables_of(senses).get(table) if senses else None


@lru_cache(maxsize=8192)
def _marks(kind: Kind, senses: frozenset[str], unit: str) -> frozenset[str]:
    measured = {f"in.{unit}"} if kind == "num" and unit else NOTHING
    return senses | tables_of(senses).keys() | {f"is.{kind}"} | measured


def marks_of(found: Iterable[Item]) -> frozenset[str]:
    """What the items are known by: their senses ("cue.sold"), the tables these are of ("cue"), their kinds
    ("is.num"), and the units of numbers ("in.kg")."""
    return NOTHING.union(*[_marks(item.kind, item.senses, item.unit) for item in found])
