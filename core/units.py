"""Units as cards and labels write them, and the one place where pint is used.

The registry holds only the units this trade needs. A bare `kg` is a kilogram of *body*: so "ug/kg" is a dose
and not a pure number, and cannot be taken for "mg/L" or a share. `g`, `mg` and `ug` are substance or eggs.
IU, eggs, larvae and fish of each sex are dimensions of their own too. No free text ever reaches pint.
"""

from __future__ import annotations

import functools
import math
import re
from collections.abc import Iterable
from typing import Any

from core.errors import HatchError

# word on a card or label -> its pint definition. lb, oz and gallons: NIST Handbook 44 (2024), Appendix C.
_DEFINITIONS = {
    "g": "g = [mass]",
    "mg": "mg = 1e-3 g",
    "ug": "ug = 1e-6 g",
    "kg_eggs": "kg_eggs = 1e3 g",
    "kg": "kg = [body_mass]",
    "g_body": "g_body = 1e-3 kg",
    "lb": "lb = 0.45359237 kg",
    "oz": "oz = 0.028349523125 kg",
    "L": "L = [volume]",
    "mL": "mL = 1e-3 L",
    "uL": "uL = 1e-6 L",
    "m3": "m3 = 1e3 L",
    "m2": "m2 = [area]",
    "bag": "bag = [bag]",
    "gal_us": "gal_us = 3.785411784 L",
    "gal_imp": "gal_imp = 4.54609 L",
    "h": "h = [time]",
    "min": "min = h / 60",
    "s": "s = h / 3600",
    "day": "day = 24 h",
    "IU": "IU = [international_unit]",
    "egg": "egg = [egg]",
    "larva": "larva = [larva]",
    "female": "female = [female]",
    "male": "male = [male]",
    "K": "K = [temperature]; offset: 0",
    "degC": "degC = K; offset: 273.15",
    "degree_hour": "degree_hour = K * h",
    "percent": "percent = 0.01",
}
_SPELLINGS = {"µg": "ug", "μg": "ug", "ml": "mL", "l": "L", "%": "percent", "eggs": "egg", "days": "day"}
_QUANTITY = re.compile(r"(-?[0-9]{1,12}(?:\.[0-9]{1,9})?) ?([^\s0-9.,*+-]\S{0,30})", re.ASCII)
_SIGNIFICANT = 12  # digits kept: takes the binary dust off 0.3 day = 7.2 h, far below any scale's reading


@functools.cache
def _registry() -> Any:
    import pint

    registry: Any = pint.UnitRegistry(None, on_redefinition="raise")
    for definition in _DEFINITIONS.values():
        registry.define(definition)
    return registry


@functools.cache
def _unit(text: str) -> Any:
    """The pint unit of "word" or "word/word"; only words of the closed list."""
    words = [_SPELLINGS.get(word, word) for word in text.split("/")]
    rates_of_degrees = len(words) > 1 and "degC" in words
    if len(words) > 2 or rates_of_degrees or not all(word in _DEFINITIONS for word in words):
        raise HatchError("bad-quantity", text=text)
    top, *bottom = (_registry().Unit(word) for word in words)
    return top / bottom[0] if bottom else top


def _in(amount: Any, unit: str, text: str) -> float:
    wanted = _unit(unit)
    if not amount.is_compatible_with(wanted):
        raise HatchError("wrong-dimension", text=text, expected=unit)
    return _significant(float(amount.to(wanted).magnitude))


def _significant(value: float) -> float:
    return float(f"{value:.{_SIGNIFICANT}g}")


def quantity(text: str, unit: str) -> float:
    """The magnitude in `unit` of a quantity as a card or label writes it, e.g. "10 ug/kg", "22.9 degC".

    The number is plain digits with at most one decimal point; the unit is one or two words of a closed list,
    joined by a slash. Temperatures are thermometer readings, never differences, and alone may be below zero.
    Raises `HatchError("bad-quantity", text)`, or `HatchError("wrong-dimension", text, expected)`.
    """
    found = _QUANTITY.fullmatch(text.strip())
    if not found:
        raise HatchError("bad-quantity", text=text)
    number, words = found.groups()
    try:
        amount = _registry().Quantity(float(number), _unit(words))
    except HatchError:
        raise HatchError("bad-quantity", text=text) from None
    if number.startswith("-") and words != "degC":
        raise HatchError("bad-quantity", text=text)
    return _in(amount, unit, text)


def chain(unit: str, factors: Iterable[tuple[float, str]], per: Iterable[tuple[float, str]] = ()) -> float:
    """The product of `factors` divided by every one of `per`, in `unit`.

    A dose is `chain("mL", [(10, "ug/kg"), (2.4, "kg")], per=[(20, "ug/mL")])`, which is 1.2.
    Raises `HatchError("wrong-dimension", text, expected)` where the units do not come out as `unit`, and
    `HatchError("not-positive", value, unit)` where a divisor is not above zero.
    """
    above, below = tuple(factors), tuple((positive(value, of), of) for value, of in per)
    factor = _factor(unit, tuple(of for _, of in above), tuple(of for _, of in below))
    if factor is None:
        terms = [f"{value:g} {of}" for value, of in above] + [f"per {value:g} {of}" for value, of in below]
        raise HatchError("wrong-dimension", text=" x ".join(terms), expected=unit)
    amount = math.prod(value for value, _ in above) / math.prod(value for value, _ in below)
    return _significant(factor * amount)


@functools.cache
def _factor(unit: str, above: tuple[str, ...], below: tuple[str, ...]) -> float | None:
    """How much in `unit` one of each of `above` per one of each of `below` is; `None` where it is none."""
    registry = _registry()
    amount = registry.Quantity(1.0, "dimensionless")
    for of in above:
        amount = amount * registry.Quantity(1.0, _unit(of))
    for of in below:
        amount = amount / registry.Quantity(1.0, _unit(of))
    return float(amount.to(_unit(unit)).magnitude) if amount.is_compatible_with(_unit(unit)) else None


def positive(value: float, unit: str) -> float:
    """`value` where it is finite and above zero, else raises `HatchError("not-positive", value, unit)`."""
    if not (math.isfinite(value) and value > 0):
        raise HatchError("not-positive", value=value, unit=unit)
    return float(value)


def round_to(value: float, step: float) -> float:
    """`value` at the nearest mark of a scale divided in `step` (same unit, above zero), halves going up."""
    return _marks(math.floor(_count(value, step) + 0.5), step)


def round_up(value: float, step: float) -> float:
    """`value` at the mark of a scale divided in `step` that is not below it."""
    return _marks(math.ceil(_count(value, step)), step)


def _count(value: float, step: float) -> float:
    """How many steps, without the binary dust that would make 0.29 / 0.01 fall below 29."""
    return round(value / positive(step, "step"), 9)


def _marks(count: int, step: float) -> float:
    return float(f"{count * step:.{_SIGNIFICANT}g}")
