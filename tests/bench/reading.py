"""How fast messages are read: `python -m tests.bench.reading`.

Every worked line of every language, read over and over on one core: messages a second, the slowest message
(best of five), and what the words take of memory. Beside it a general quantity parser, where one is
installed (`quantulum3`): it finds only quantities, and knows nothing of fish. Never part of a check.
"""

from __future__ import annotations

import importlib
import json
import time
import tracemalloc
from collections.abc import Callable
from functools import partial
from pathlib import Path

from bot import knowledge
from core.reading import Context, read
from tests.core.reading.scoring import LIMITS, context

LINES = Path(__file__).resolve().parents[1] / "core" / "reading"
ROUNDS = 5


def messages() -> list[tuple[str, Context]]:
    """Every worked line."""
    told = []
    for path in sorted(LINES.rglob("lines_*.jsonl")):
        for text in path.read_text(encoding="utf-8").splitlines():
            line = json.loads(text)
            told.append((line["text"], context(line)))
    return told


def seconds(work: Callable[[], object]) -> float:
    """The least processor time of a few rounds."""
    taken = []
    for _ in range(ROUNDS):
        begun = time.thread_time()
        work()
        taken.append(time.thread_time() - begun)
    return min(taken)


def main() -> None:
    tracemalloc.start()
    begun = time.thread_time()
    known = knowledge.lexicon()
    loaded = time.thread_time() - begun
    lines = messages()
    for text, about in lines:
        read(text, about, known, LIMITS)
    memory, _ = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    spent = seconds(lambda: [read(text, about, known, LIMITS) for text, about in lines])
    slowest, which = max((seconds(partial(read, *line, known, LIMITS)), line[0]) for line in lines)
    print(f"words loaded in {loaded:.2f} s (traced), {memory / 1e6:.0f} MB")
    print(f"{len(lines)} messages, {len(lines) / spent:.0f} a second")
    print(f"slowest {slowest * 1000:.2f} ms: {which}")
    try:
        parser = importlib.import_module("quantulum3.parser")
    except ImportError:
        print("quantulum3 is not installed: nothing to stand beside")
        return
    english = [text for text, about in lines if about.lang == "en"]
    theirs = seconds(lambda: [parser.parse(text) for text in english])
    ours = seconds(lambda: [read(text, Context(), known, LIMITS) for text in english])
    print(f"English only: ours {len(english) / ours:.0f} a second, quantulum3 {len(english) / theirs:.0f}")


if __name__ == "__main__":
    main()
