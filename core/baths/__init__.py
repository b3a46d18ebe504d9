"""What to mix into how much water, for whom, and when not to.

`liquids.toml` holds the figures, `shelf` reads them, `stocks` knows bottles, `iodine` and `mixing` reckon.
"""

from __future__ import annotations

from core.baths.iodine import (
    EGG_BATH_MINUTES,
    EGG_SOURCES,
    PERCENT_RANGE,
    STOCK_MG_PER_ML,
    STOCK_SOURCES,
    iodine_stock_ml,
    not_now,
)
from core.baths.mix import Amount, Asked, Choice, Mix, On, Shown, Use, Verdict, shown
from core.baths.mixing import FAMILIES, mix, salt_g
from core.baths.shelf import Limit, Liquid, Part, Shelf, Stock, parse_shelf

__all__ = [
    "EGG_BATH_MINUTES",
    "EGG_SOURCES",
    "FAMILIES",
    "PERCENT_RANGE",
    "STOCK_MG_PER_ML",
    "STOCK_SOURCES",
    "Amount",
    "Asked",
    "Choice",
    "Limit",
    "Liquid",
    "Mix",
    "On",
    "Part",
    "Shelf",
    "Shown",
    "Stock",
    "Use",
    "Verdict",
    "iodine_stock_ml",
    "mix",
    "not_now",
    "parse_shelf",
    "salt_g",
    "shown",
]
