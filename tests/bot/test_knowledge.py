"""Package data: all of it, once, and no heavier than what was asked for."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from bot import knowledge

CORE = Path(__file__).resolve().parents[2] / "core"


def test_every_card_is_there_under_its_slug() -> None:
    files = {path.stem for path in (CORE / "data").glob("*.toml")} - {"sources"}
    assert {"african-catfish", "common-carp"} <= files
    assert set(knowledge.cards()) == files
    assert all(card.slug == slug for slug, card in knowledge.cards().items())
    assert knowledge.sources()


def test_limits_are_those_of_the_checked_cards() -> None:
    for slug, card in knowledge.cards().items():
        low = min(card.female_kg.low, card.male_kg.low)
        high = max(card.female_kg.high, card.male_kg.high)
        assert knowledge.limits()[slug] == pytest.approx((low, high))
        assert 0 < low < high
    assert knowledge.limits().keys() == knowledge.cards().keys()


def test_words_and_sentences_are_there() -> None:
    assert "en" in knowledge.lexicon().books
    assert type(knowledge.wording()).__name__ == "Wording"


@pytest.mark.parametrize("name", ["sources", "cards", "shelf", "limits", "lexicon", "wording"])
def test_each_is_read_once(name: str) -> None:
    asked = getattr(knowledge, name)
    assert asked() is asked()


@pytest.mark.parametrize("name", ["cards", "sources", "limits"])
def test_nobody_can_change_what_all_share(name: str) -> None:
    with pytest.raises(TypeError):
        getattr(knowledge, name)()["new"] = None


def test_nothing_heavy_is_loaded_before_it_is_needed() -> None:
    """Reading wants no library at all; doses, windows and species want no pint until a card is read."""
    program = """
import sys
from bot import knowledge
assert "core" not in sys.modules
knowledge.lexicon(), knowledge.limits()
heavy = [name for name in ("pint", "fluent", "babel", "sqlite3", "telegram") if name in sys.modules]
import core.dosing, core.baths, core.eggs, core.timing, core.species
print(heavy + ["pint"] * ("pint" in sys.modules))
"""
    run = subprocess.run(
        [sys.executable, "-c", program], cwd=CORE.parent, capture_output=True, text=True, check=True
    )
    assert run.stdout == "[]\n"
