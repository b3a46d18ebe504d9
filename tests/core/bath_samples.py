"""Baths as the assistant would tell them, one for each thing it may say."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from core.assistant.bathing import fact_of
from core.baths import Asked, mix, not_now
from core.commands import Bath
from core.replies import BathKept, BathMix, InScoops
from tests.core.cards import SHELF

MEASURES = ("spoon", "cup", "cap", "drop")
CARP, CATFISH, STRIPED = ("common-carp",), ("african-catfish",), ("striped-catfish",)
ASKED: dict[str, dict[str, Any]] = {
    "clove oil": {"agent": "clove-oil", "litres": 20, "species": CARP},
    "clove oil, per litre": {"agent": "clove-oil", "species": CATFISH},
    "clove oil, long": {"agent": "clove-oil", "litres": 20, "ppm": 30, "minutes": 15},
    "clove oil, weak": {"agent": "clove-oil", "litres": 20, "ppm": 10},
    "clove oil, out now": {"agent": "clove-oil", "ppm": 75, "minutes": 10},
    "clove oil, out now, strength unknown": {"agent": "clove-oil", "inside": True},
    "clove oil, kills": {"agent": "clove-oil", "ppm": 75, "litres": 20},
    "clove oil, too strong": {"agent": "clove-oil", "ppm": 60, "litres": 20},
    "clove": {"agent": "clove", "litres": 20},
    "clove extract": {"agent": "clove-extract", "litres": 20},
    "clove extract, told": {"agent": "clove-extract", "litres": 20, "ppm": 3000, "species": CARP},
    "tricaine": {"agent": "tricaine", "litres": 20},
    "tricaine, too strong": {"agent": "tricaine", "litres": 20, "ppm": 300},
    "urea": {"agent": "urea", "litres": 10},
    "fertilising": {"use": "fertilising", "litres": 10},
    "fertilising, per litre": {"use": "fertilising", "species": CARP},
    "fertilising, wrong jar": {"use": "fertilising", "agent": "urea", "litres": 10, "ppm": 20_000},
    "fertilising, other fish": {"use": "fertilising", "litres": 10, "species": CATFISH},
    "fertilising, no card": {"use": "fertilising", "litres": 10, "species": ("other",)},
    "de-sticking": {"use": "de-sticking", "litres": 10, "species": CARP},
    "de-sticking, wrong jar": {"use": "de-sticking", "agent": "urea", "litres": 10, "ppm": 3000},
    "tannin, carp": {"agent": "tannin", "litres": 5, "species": CARP},
    "tannin, striped": {"agent": "tannin", "litres": 5, "species": STRIPED},
    "peroxide, no bottle": {"agent": "peroxide", "on": "eggs", "litres": 20, "species": CATFISH},
    "peroxide": {"agent": "peroxide", "on": "eggs", "litres": 20, "species": CATFISH, "percent": 3},
    "peroxide, other eggs": {"agent": "peroxide", "on": "eggs", "litres": 20, "species": CARP},
    "peroxide, strange bottle": {"agent": "peroxide", "on": "eggs", "litres": 20, "ppm": 800, "percent": 90},
    "formalin, eggs": {"agent": "formalin", "on": "eggs", "litres": 20, "species": CATFISH},
    "formalin, kills": {"agent": "formalin", "on": "eggs", "ppm": 1000, "species": CATFISH + STRIPED},
    "formalin, other eggs": {"agent": "formalin", "on": "eggs", "ppm": 100, "species": CARP},
    "formalin, fish": {"agent": "formalin", "on": "fish", "litres": 1000, "ppm": 25},
    "salt, larvae": {"agent": "salt", "on": "larvae", "litres": 10, "ppm": 500, "species": CATFISH},
    "salt, kills larvae": {"agent": "salt", "on": "larvae", "litres": 10, "ppm": 12_000, "species": CATFISH},
    "salt, kills eggs": {"agent": "salt", "on": "eggs", "litres": 10, "ppm": 9000},
    "saline": {"agent": "saline", "litres": 0.5},
    "saline, glands": {"agent": "saline", "use": "glands", "litres": 0.5},
    "saline, milt": {"agent": "saline", "use": "milt", "litres": 0.25, "species": CATFISH},
    "saline for glands, nothing told": {"use": "glands"},
    "iodine, eggs": {"agent": "iodine", "on": "eggs", "litres": 20, "basis": "available", "species": CATFISH},
    "iodine, eggs of others": {
        "agent": "iodine",
        "on": "eggs",
        "litres": 20,
        "basis": "available",
        "species": CARP,
    },
    "iodine, larvae": {"agent": "iodine", "on": "larvae", "litres": 10},
    "iodine, bottle": {"agent": "iodine", "on": "tools", "litres": 10, "percent": 7.5},
    "iodine, strange bottle": {"agent": "iodine", "on": "tools", "litres": 10, "percent": 3},
}


def samples() -> Iterator[tuple[str, BathMix]]:
    """Each with its name."""
    for name, asked in ASKED.items():
        yield f"bath, {name}", fact_of(mix(Asked(**asked), SHELF), Bath())
    iodine = mix(Asked(agent="iodine", on="eggs", litres=20, basis="available"), SHELF)
    yield "bath, not now", fact_of(not_now(iodine), Bath())
    salt = fact_of(mix(Asked(agent="salt", litres=10, ppm=3000), SHELF), Bath())
    for of in MEASURES:
        yield f"bath, in {of}s", replace(salt, in_scoops=(InScoops("salt", of, 12.5),))
        yield f"bath, in one {of}", replace(salt, in_scoops=(InScoops("salt", of, 1.0),))
    several = (InScoops("salt", "spoon", 2.5), InScoops("urea", "spoon", 3.0))
    yield "bath, in spoons of two stuffs", replace(salt, in_scoops=several)


def kept() -> Iterator[tuple[str, BathKept]]:
    """The farm's own measures and bottles."""
    for of in MEASURES:
        yield f"kept, {of}, weighed", BathKept(of, "salt", grams=12.0)
        yield f"kept, {of}, measured", BathKept(of, "clove-oil", ml=0.05)
    yield "kept, bottle", BathKept("bottle", "peroxide", percent=35.0)
