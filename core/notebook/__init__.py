"""An old notebook from a CSV: each row understood as a whole, or said not to be, and why. Nothing is guessed.

Which column is which, and between what its figures must lie, stands in `columns.toml`. What is ambiguous by
itself (3/4/2025, 1,200) is settled by the rest of the file, or not taken.
"""

from __future__ import annotations

from core.notebook.cells import Order
from core.notebook.columns import Columns, parse_columns
from core.notebook.grid import Grid, grid_of
from core.notebook.pages import Fault, Page, Pages, pages_of, short

__all__ = [
    "Columns",
    "Fault",
    "Grid",
    "Order",
    "Page",
    "Pages",
    "grid_of",
    "pages_of",
    "parse_columns",
    "short",
]
