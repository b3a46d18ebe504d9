"""Package data, read once when first asked for and handed to core as text.

What needs a heavy library is imported where it is used: who only reads messages never loads pint or Fluent.
"""

from __future__ import annotations

import functools
import gc
import tomllib
from collections.abc import Mapping
from importlib import resources
from types import MappingProxyType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from core.baths import Shelf
    from core.notebook import Columns
    from core.reading.lexicon import Lexicon
    from core.species import Card, Citation
    from core.wording import Wording

_LETTERS = "_abcdefghijklmnopqrstuvwxyz"
_KG_OF = {"kg": 1.0, "g_body": 0.001}  # the units of body mass that a card may use


@functools.cache
def sources() -> Mapping[str, Citation]:
    """Every source a card leans on, by its id."""
    from core.species import parse_sources

    return MappingProxyType(dict(parse_sources(_texts("data", ".toml")["sources"])))


@functools.cache
def cards() -> Mapping[str, Card]:
    """Every species card, by its slug."""
    from core.species import parse_card

    parsed = [parse_card(text, sources()) for text in _card_texts().values()]
    return MappingProxyType({card.slug: card for card in parsed})


@functools.cache
def shelf() -> Shelf:
    """What baths are mixed of, and what killed."""
    from core.baths import parse_shelf

    return parse_shelf(_texts("baths", ".toml")["liquids"], sources())


@functools.cache
def columns() -> Columns:
    """What the columns of an old notebook may be called."""
    from core.notebook import parse_columns

    return parse_columns(_texts("notebook", ".toml")["columns"])


@functools.cache
def limits() -> Mapping[str, tuple[float, float]]:
    """Least and greatest kg of a brood fish by species slug, read off the cards without checking them."""
    found = {}
    for text in _card_texts().values():
        card = tomllib.loads(text)
        weights = [_kg(card[sex][end]) for sex in ("female_kg", "male_kg") for end in ("low", "high")]
        found[card["slug"]] = (min(weights), max(weights))
    return MappingProxyType(found)


@functools.cache
def lexicon() -> Lexicon:
    """The words the reader knows, of every language: kept as long as the process, and never walked by the
    collector of garbage, which would else take a fifth of the reader's time."""
    from core.reading.lexicon import lexicon as made

    gc.disable()
    try:
        return made(_texts("reading/words", ".toml"))
    finally:
        gc.freeze()
        gc.enable()


@functools.cache
def wording() -> Wording:
    """The sentences, of every language."""
    from core.wording import Wording

    return Wording(_texts("lang", ".ftl"))


def _kg(quantity: str) -> float:
    number = quantity.rstrip(_LETTERS)
    unit = quantity.removeprefix(number)
    return float(number) * _KG_OF[unit]


def _card_texts() -> Mapping[str, str]:
    return {name: text for name, text in _texts("data", ".toml").items() if name != "sources"}


@functools.cache
def _texts(folder: str, suffix: str) -> Mapping[str, str]:
    """The package's files of that kind, by name without suffix."""
    found = resources.files("core").joinpath(folder).iterdir()
    files = sorted((file.name, file) for file in found if file.name.endswith(suffix))
    return {name.removesuffix(suffix): file.read_text(encoding="utf-8") for name, file in files}
