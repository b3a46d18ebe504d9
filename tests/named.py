"""Tests by their names: whether a test that a page or a patch names is there."""

from __future__ import annotations

import ast
import functools
from collections.abc import Iterable
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent


def missing(names: Iterable[str]) -> list[str]:
    """Of names as `tests/bot/test_wire.py::test_x` or `...::test_x[case]`, those that no file holds."""
    return [name for name in names if not _is_there(name)]


def _is_there(name: str) -> bool:
    path, _, test = name.partition("::")
    return test.partition("[")[0] in _tests_of(path)


@functools.cache
def _tests_of(path: str) -> frozenset[str]:
    if not (ROOT / path).is_file():
        return frozenset()
    tree = ast.parse((ROOT / path).read_text(encoding="utf-8"))
    functions = (each for each in tree.body if isinstance(each, ast.FunctionDef | ast.AsyncFunctionDef))
    return frozenset(each.name for each in functions if each.name.startswith("test_"))
