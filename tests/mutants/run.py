"""Each mechanism that holds a promise, taken out: the tests that its patch names must turn red.

A patch is a unified diff under lines of its own: `Promise:`, a heading of deploy/PROMISES.md; `Without:`,
what is gone; `Red:`, a test that must fail then, a line each. Its lines must stand once in the file,
wherever; line numbers do not count. `python -m tests.mutants [NAME ...]` runs all, or those named.
"""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as ElementTree
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

from tests.named import ROOT

PATCHES = ROOT / "tests" / "mutants"
COPIED = ("core", "bot", "demo", "tests", "deploy", "pyproject.toml", "README.md", "DEVELOPERS.md")
AT_ONCE = 2
PATIENCE = 180.0
ASSERTED = re.compile(r"(AssertionError|assert |Failed: |TimeoutError)")
"""How pytest begins the report of a check that did not hold, or that a test waited for in vain."""


class Unfit(ValueError):
    """The patch cannot be used as it stands."""


@dataclass(frozen=True)
class Hunk:
    """Lines of a file, and what stands there in the mutant."""

    path: str
    old: str
    new: str


@dataclass(frozen=True)
class Mutant:
    """A patch, read."""

    name: str
    promise: str
    without: str
    red: tuple[str, ...]
    hunks: tuple[Hunk, ...]


def mutants(names: Sequence[str] = ()) -> list[Mutant]:
    """All patches, or those named, by name."""
    found = [read(path) for path in sorted(PATCHES.glob("*.patch"))]
    unknown = set(names) - {each.name for each in found}
    if unknown:
        raise Unfit(f"no such patch: {', '.join(sorted(unknown))}")
    return [each for each in found if not names or each.name in names]


def read(path: Path) -> Mutant:
    """One patch. Raises `Unfit`."""
    head, found, diff = path.read_text(encoding="utf-8").partition("\n--- a/")
    told: dict[str, list[str]] = {"Promise": [], "Without": [], "Red": []}
    for line in head.splitlines():
        key, _, value = line.partition(": ")
        told.setdefault(key, []).append(value)
    if not found or any(not values for values in told.values()) or len(told) > 3:
        raise Unfit(f"{path.name}: Promise, Without and Red stand before the diff, and nothing else")
    hunks = tuple(_hunks(("\n--- a/" + diff).splitlines(keepends=True)))
    return Mutant(path.stem, told["Promise"][0], told["Without"][0], tuple(told["Red"]), hunks)


def _hunks(lines: Sequence[str]) -> Iterator[Hunk]:
    path, old, new = "", "", ""
    for line in lines:
        if line.startswith(("--- ", "+++ ", "@@")):
            if old or new:
                yield Hunk(path, old, new)
            old = new = ""
            path = line.removeprefix("+++ b/").strip() if line.startswith("+++ ") else path
            continue
        if line[0] in " -" and path:
            old += line[1:]
        if line[0] in " +" and path:
            new += line[1:]
    yield Hunk(path, old, new)


def apply(mutant: Mutant, tree: Path) -> None:
    """Write the mutant into a tree. Raises `Unfit` where its lines stand nowhere, or twice."""
    for hunk in mutant.hunks:
        file = tree / hunk.path
        text = file.read_text(encoding="utf-8") if file.is_file() else ""
        found = text.count(hunk.old)
        if found != 1:
            raise Unfit(f"{mutant.name}: its lines stand {found} times in {hunk.path}")
        file.write_text(text.replace(hunk.old, hunk.new), encoding="utf-8")


def fits(mutant: Mutant) -> None:
    """Raises `Unfit` where the patch does not apply to this tree, or leaves no Python behind."""
    with tempfile.TemporaryDirectory() as folder:
        tree = Path(folder)
        for path in {hunk.path for hunk in mutant.hunks}:
            (tree / path).parent.mkdir(parents=True, exist_ok=True)
            if (ROOT / path).is_file():
                shutil.copyfile(ROOT / path, tree / path)
        apply(mutant, tree)
        for file in tree.rglob("*.py"):
            compile(file.read_text(encoding="utf-8"), str(file), "exec")


def survival(mutant: Mutant) -> str:
    """Run the mutant's tests; "" where each turned red by a check of its own, else what happened."""
    with tempfile.TemporaryDirectory(prefix="mutant-") as folder:
        tree = Path(folder) / "tree"
        for name in COPIED:
            _copy(ROOT / name, tree / name)
        try:
            apply(mutant, tree)
        except Unfit as unfit:
            return str(unfit)
        report = Path(folder) / "report.xml"
        options = ["-q", "-p", "no:cacheprovider", f"--junitxml={report}"]
        command = [sys.executable, "-m", "pytest", *options, *mutant.red]
        try:
            ended = subprocess.run(command, cwd=tree, capture_output=True, text=True, timeout=PATIENCE)
        except subprocess.TimeoutExpired:
            return "its tests did not come to an end"
        if not report.exists():
            return f"pytest ended with {ended.returncode}: {ended.stdout[-300:]}{ended.stderr[-300:]}"
        return _judged(report, len(mutant.red))


def _copy(source: Path, target: Path) -> None:
    if source.is_dir():
        shutil.copytree(source, target, ignore=shutil.ignore_patterns(".*"))
    elif source.exists():
        target.parent.mkdir(parents=True, exist_ok=True)
        shutil.copy2(source, target)


def _judged(report: Path, wanted: int) -> str:
    cases = ElementTree.parse(report).getroot().findall(".//testcase")
    red = [case for case in cases if (fault := case.find("failure")) is not None and _asserted(fault)]
    names = {case.get("name", "").partition("[")[0] for case in red}
    if len(names) >= wanted:
        return ""
    faults = [fault.get("message", "")[:200] for case in cases for fault in case.iter() if fault is not case]
    return f"{len(names)} of {wanted} tests turned red; {faults or 'all stayed green'}"


def _asserted(fault: ElementTree.Element) -> bool:
    return ASSERTED.match(fault.get("message", "")) is not None


def run(chosen: Sequence[Mutant], say: Callable[[str], None]) -> list[str]:
    """Run mutants, two at a time; what survived, and why. Says how each ended, then the count."""
    survived: list[str] = []
    with ThreadPoolExecutor(AT_ONCE) as pool:
        for mutant, why in zip(chosen, pool.map(survival, chosen), strict=True):
            say(f"{'killed' if not why else 'SURVIVED'} {mutant.name}{why and ': ' + why}")
            survived += [f"{mutant.name}: {why}"] if why else []
    say(f"killed {len(chosen) - len(survived)} of {len(chosen)}")
    return survived
