"""Worked lines by language, scored: exact, dangerous, needless. And the forty examples of the contract."""

from __future__ import annotations

import json
import re
from collections import Counter
from collections.abc import Iterable
from pathlib import Path

import pytest

from core.reading import Lexicon
from tests.core.reading.scoring import Mark, mark, words

HERE = Path(__file__).resolve().parent
EXAMPLES = HERE / "examples.jsonl"
LANGUAGE = re.compile(r"lines_([a-z]+)")


def _by_language() -> dict[str, list[Path]]:
    found: dict[str, list[Path]] = {}
    for path in sorted(HERE.rglob("lines_*.jsonl")):
        told = LANGUAGE.match(path.stem)
        assert told is not None
        found.setdefault(told[1], []).append(path)
    return found


FILES = _by_language()


@pytest.fixture(scope="module")
def lexicon() -> Lexicon:
    return words()


def _marks(paths: Iterable[Path], lexicon: Lexicon) -> list[Mark]:
    texts = [text for path in paths for text in path.read_text(encoding="utf-8").splitlines()]
    return [mark(json.loads(text), lexicon) for text in texts]


def _shown(marks: Iterable[Mark]) -> None:
    for one in marks:
        if one.verdict != "exact":
            print(one.verdict, one.line["id"], one.line["text"], json.dumps(one.got, ensure_ascii=False))


@pytest.mark.parametrize("language", FILES)
def test_lines_of_a_language(language: str, lexicon: Lexicon) -> None:
    marks = _marks(FILES[language], lexicon)
    tally = Counter(one.verdict for one in marks)
    print(f"\n{language}: {len(marks)} lines, {dict(tally)}")
    _shown(marks)
    assert tally["exact"] >= 0.95 * len(marks)
    assert tally["dangerous"] == 0
    assert tally["needless"] <= 0.03 * len(marks)


def test_the_examples_of_the_contract(lexicon: Lexicon) -> None:
    marks = _marks([EXAMPLES], lexicon)
    _shown(marks)
    assert [one.verdict for one in marks] == ["exact"] * 40


def test_ten_languages() -> None:
    assert set(FILES) == {"en", "id", "es", "fr", "pt", "sw", "hi", "bn", "th", "vi"}


def test_ids_are_their_own() -> None:
    paths = [path for found in FILES.values() for path in found]
    ids = [json.loads(line)["id"] for path in paths for line in path.read_text(encoding="utf-8").splitlines()]
    assert [each for each, times in Counter(ids).items() if times > 1] == []
