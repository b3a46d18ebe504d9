"""Readings as the JSON objects of the reading contract."""

from __future__ import annotations

from dataclasses import fields

from core.commands import (
    Act,
    Bath,
    ByMeasure,
    Correction,
    EggsTold,
    Reading,
    Unclear,
    Understood,
    Weighed,
)

OF_ANY_SIZE = {"cup"}
"""Measures that hold what only the farm knows; the chat knows it, or asks."""
OWN_TO_CHAT = {"key", "run_number", "events", "about", "of_fish", "well", "perhaps_not_yet", "whole"}


def to_contract(understood: Understood) -> dict[str, object]:
    """The reading object and the list of what the message says besides."""
    return {"reading": reading(understood.main), "also": [reading(other) for other in understood.also]}


def reading(told: Reading) -> dict[str, object]:
    """One reading as the contract writes it; absent fields are null."""
    if isinstance(told, Unclear):
        return {"intent": "unclear", "why": told.why, "candidates": [reading(way) for way in told.candidates]}
    if isinstance(told, Bath) and told.scoops is not None and told.scoop in OF_ANY_SIZE:
        way = {"intent": told.kind, **_fields(told)}
        return {"intent": "unclear", "why": "ambiguous_unit", "candidates": [way]}
    if isinstance(told, Correction):
        given = {key: value for key, value in _fields(told.what).items() if value not in (None, [])}
        return {"intent": "correction", "of": told.what.kind, **given}
    return {"intent": told.kind, **_fields(told)}


def _fields(told: Act) -> dict[str, object]:
    return {
        field.name: _plain(getattr(told, field.name))
        for field in fields(told)
        if field.name not in OWN_TO_CHAT
    }


def _plain(value: object) -> object:
    if isinstance(value, tuple):
        return [_plain(one) for one in value]
    if isinstance(value, Weighed):
        return {"sex": value.sex, "kg": value.kg, "tag": value.tag}
    if isinstance(value, ByMeasure):
        return {"amount": value.amount, "of": value.of, "each": value.each}
    if isinstance(value, EggsTold):
        return {"tag": value.tag, "grams": value.grams, "quality": value.quality, "partial": value.partial}
    return value
