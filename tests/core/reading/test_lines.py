"""Worked lines by language, scored: exact, dangerous, needless."""

from __future__ import annotations

import json
from collections import Counter
from pathlib import Path

import pytest

from core.reading import Lexicon
from tests.core.reading.scoring import Mark, mark, words

HERE = Path(__file__).resolve().parent
FILES = sorted(HERE.glob("lines_*.jsonl"))


@pytest.fixture(scope="module")
def lexicon() -> Lexicon:
    return words()


def _marks(path: Path, lexicon: Lexicon) -> list[Mark]:
    lines = path.read_text(encoding="utf-8").splitlines()
    return [mark(json.loads(line), lexicon) for line in lines]


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_lines_of_a_language(path: Path, lexicon: Lexicon) -> None:
    marks = _marks(path, lexicon)
    tally = Counter(one.verdict for one in marks)
    print(f"\n{path.stem}: {len(marks)} lines, {dict(tally)}")
    for one in marks:
        if one.verdict != "exact":
            print(one.verdict, one.line["id"], one.line["text"], json.dumps(one.got, ensure_ascii=False))
    assert tally["exact"] >= 0.95 * len(marks)
    assert tally["dangerous"] == 0
    assert tally["needless"] <= 0.03 * len(marks)


def test_ids_are_their_own() -> None:
    ids = [json.loads(line)["id"] for path in FILES for line in path.read_text(encoding="utf-8").splitlines()]
    assert len(ids) == len(set(ids))
