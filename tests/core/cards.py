"""Cards with nothing on them but what one test is about."""

from __future__ import annotations

from typing import Any

from core.species import Card, Figure


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
