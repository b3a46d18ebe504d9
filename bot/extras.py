"""Which kinds of files can be made beside CSV: what makes them comes with the extra `files`."""

from __future__ import annotations

import functools
from importlib.util import find_spec

MADE_BY = {"pdf": ("fpdf", "matplotlib"), "xlsx": ("xlsxwriter",)}
"""What each kind is made with; matplotlib brings the letters of a PDF."""


@functools.cache
def kinds() -> frozenset[str]:
    """The kinds that can be made in this process; nothing is loaded to know it."""
    return frozenset(kind for kind, names in MADE_BY.items() if all(map(find_spec, names)))
