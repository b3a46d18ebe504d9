"""The cards of a folder, and cards with nothing on them but what one test is about."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from core import baths, broodbook, broodstock, dosing, drawing, eggs, larvae, orders, survival, timing
from core.assistant import bath_reasons
from core.errors import CardFault
from core.species import Card, Citation, Curve, Figure, check_all, parse_card, parse_sources

DATA = Path(__file__).resolve().parent.parent.parent / "core" / "data"
SHELF = baths.parse_shelf(
    (DATA.parent / "baths" / "liquids.toml").read_text(encoding="utf-8"),
    parse_sources((DATA / "sources.toml").read_text(encoding="utf-8")),
)
# What doses, baths and counts lean on, whatever the species.
CITED_ELSEWHERE = (
    *baths.STOCK_SOURCES,
    *baths.EGG_SOURCES,
    *SHELF.cited,
    *bath_reasons.FORBIDDEN.values(),
    dosing.COMMON_STRENGTH_SOURCE,
    drawing.CARRIER_SOURCE,
    dosing.DISSOLVED_SOURCE,
    eggs.SHARE_SOURCE,
    *larvae.CUP_SOURCES,
    larvae.SIZE_SOURCE,
    larvae.SPAWN_SOURCE,
    survival.RATIO_SOURCE,
    orders.RULE_SOURCE,
    *broodstock.FORMULA_SOURCES,
    *broodstock.ADVICE_SOURCES,
    *broodbook.PEDIGREE_SOURCES,
)


@dataclass(frozen=True, slots=True)
class Folder:
    """What a folder of cards holds; `faults` of all its files together, each with its file."""

    sources: Mapping[str, Citation]
    texts: Mapping[str, str]
    cards: Mapping[str, Card]
    faults: tuple[str, ...]


def folder(path: Path = DATA) -> Folder:
    """The cards of a folder with its `sources*.toml`, sound or not; a faulty file gives no card."""
    return _tree() if path == DATA else _read(path)


@functools.cache
def _tree() -> Folder:
    return _read(DATA)


def _read(path: Path) -> Folder:
    texts = {file.stem: file.read_text(encoding="utf-8") for file in sorted(path.glob("*.toml"))}
    cited = {name: text for name, text in texts.items() if name.startswith("sources")}
    of_cards = {name: text for name, text in texts.items() if name not in cited}
    try:
        sources = parse_sources("\n".join(cited.values()))
    except CardFault as fault:
        return Folder({}, of_cards, {}, _lines("sources", fault))
    cards: dict[str, Card] = {}
    faults: list[str] = []
    for name, text in of_cards.items():
        try:
            cards[name] = parse_card(text, sources)
        except CardFault as fault:
            faults += _lines(name, fault)
    try:
        check_all(cards.values(), sources, CITED_ELSEWHERE)
    except CardFault as fault:
        faults += _lines("together", fault)
    return Folder(sources, of_cards, cards, tuple(faults))


def _lines(name: str, fault: CardFault) -> tuple[str, ...]:
    faults = fault.params["faults"]
    assert isinstance(faults, tuple)
    return tuple(f"{name}: {each}" for each in faults)


def curves(card: Card) -> Mapping[str, Curve]:
    """Every curve of a card, by what it is of."""
    found = {f"strip-{each.preparation}-{each.shots}": each.curve for each in card.strip}
    if card.hatch is not None:
        found["hatch"] = card.hatch
    if card.first_feed_hours is not None:
        found["first-feed"] = timing.first_feed_curve(card)
    return found


def bare_carp(celsius: Figure, kg: Figure, **told: Any) -> Card:
    """A common carp of which nobody published more than its water and weight; `told` adds to that."""
    known: dict[str, Any] = {
        "slug": "common-carp",
        "scientific": "Cyprinus carpio",
        "names": (),
        "words": (),
        "ways": ("nest",),
        "sticky": "de-stick",
        "male_cut": False,
        "male_optional": False,
        "female_kg": kg,
        "male_kg": kg,
        "best_celsius": celsius,
        "tolerated_celsius": celsius,
        "lethal_celsius": None,
        "usual_preparation": "premix",
        "doses": (),
        "strip": (),
        "hatch": None,
        "egg_life_minutes": None,
        "eggs_per_gram": None,
        "eggs_per_kg": None,
        "milt_ml_per_kg_eggs": None,
        "count_hours": None,
        "swell_minutes": None,
        "care_hours": None,
        "swim_free_hours": None,
        "first_feed_hours": None,
        "live_food_lead_hours": None,
        "males_per_female": None,
        "rest_days": None,
    }
    return Card(**(known | told))
