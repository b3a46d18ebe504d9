"""Time and memory of the files that are made when their message is carried, and of an old notebook taken in:
`python -m tests.bench.files`. Each in a process of its own; a table on standard output."""

from __future__ import annotations

import json
import resource
import subprocess
import sys
import tempfile
from contextlib import closing
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from time import perf_counter

from bot import exports, importing
from bot.clock import HandClock
from bot.messages import Outgoing
from bot.store import Store

NOW = datetime(2026, 6, 9, 21, 10, tzinfo=UTC)
RUNS = 200
DOCUMENTS = ("run-sheet/1", "season.csv", "season.xlsx", "export")


def founded(path: Path) -> None:
    """A farm with a notebook of so many runs."""
    with closing(Store.open(path)) as store:
        owner = store.add_person("ada", "Ada", "en")
        farm = store.add_farm("Ada", 360, owner.id)
        store.add_chat(farm.id, "ada", True)


def notebook() -> str:
    """Rows with everything a row can tell."""
    heads = (
        "date,species,females,weights,injected,dose ml,water,stripped,eggs g,fertilised,hatched,larvae,sold\n"
    )
    first = date(2024, 6, 1)
    return heads + "\n".join(
        f"{first + timedelta(days=3 * n)},african catfish,2,2.4 3.1,20:30,2.8,27,07:10,520,164/200,150/200,"
        f"{40_000 + n},{30_000 + n}"
        for n in range(RUNS)
    )


def one(path: Path, what: str) -> None:
    """Make one file, or take the notebook in, in this process; a line of JSON about it."""
    if what == "import":
        file = path.with_name("old.csv")
        file.write_text(notebook(), encoding="utf-8")
        start = perf_counter()
        size = len(importing.take(file, path, "Ada", None, HandClock(NOW)))
    else:
        out = Outgoing(1, "ada", NOW, "season-table", "", {}, document=what)
        start = perf_counter()
        made = exports.made(path, out)
        size = len(made.content) if made else 0
    seconds = perf_counter() - start
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(json.dumps({"what": what, "seconds": seconds, "peak_mb": peak, "bytes": size}))


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "farm.db"
        founded(path)
        print(f"{RUNS} runs; the first of a process, with what it loads\n")
        print("| what | seconds | peak memory, MB | bytes |\n| --- | --- | --- | --- |")
        for what in ("import", *DOCUMENTS):
            told = subprocess.run(
                [sys.executable, "-m", "tests.bench.files", str(path), what],
                check=True,
                capture_output=True,
                text=True,
            )
            found = json.loads(told.stdout)
            print(f"| {what} | {found['seconds']:.2f} | {found['peak_mb']:.0f} | {found['bytes']:,} |")


if __name__ == "__main__":
    if len(sys.argv) == 3:
        one(Path(sys.argv[1]), sys.argv[2])
    else:
        main()
