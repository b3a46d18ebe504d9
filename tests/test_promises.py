"""deploy/PROMISES.md: each promise names tests that are there, and patches that take its mechanisms out."""

from __future__ import annotations

import re
from itertools import pairwise
from pathlib import Path

import pytest

from tests.counting import Count
from tests.mutants import run
from tests.named import ROOT, missing

PAGE = (ROOT / "deploy/PROMISES.md").read_text(encoding="utf-8")
PROMISED = PAGE.partition("# What is not promised")[0]
PLACES = [(found[1], found.start()) for found in re.finditer(r"^## (.+)$", PROMISED, re.M)]
PROMISES = {name: PROMISED[at:end] for (name, at), (_, end) in pairwise([*PLACES, ("", len(PROMISED))])}
NAMES = re.compile(r"`(tests/\S+?\.py::\w+)`")
MUTANTS = run.mutants()


@pytest.mark.parametrize("promise", PROMISES)
def test_a_promise_names_its_tests_and_its_limit(promise: str) -> None:
    names = NAMES.findall(PROMISES[promise])
    assert len(names) >= 3
    assert missing(names) == []
    assert "\nLimit: " in PROMISES[promise]


@pytest.mark.parametrize("promise", PROMISES)
def test_a_promise_has_mechanisms_that_can_be_taken_out(promise: str) -> None:
    assert [mutant for mutant in MUTANTS if mutant.promise == promise]


def test_a_name_that_is_not_there_is_found_missing() -> None:
    name = "tests/test_promises.py::test_a_name_that_is_not_there_is_found_missing"
    assert missing([name]) == []
    gone = [f"{name}_at_all", "tests/test_nothing.py::test_x", "tests/named.py::missing"]
    assert missing(gone) == gone


@pytest.mark.parametrize("mutant", MUTANTS, ids=lambda each: each.name)
def test_a_mutant_applies_and_names_tests_that_are_there(mutant: run.Mutant) -> None:
    """The tests it names also stand on the page, under some promise."""
    assert mutant.promise in PROMISES
    assert missing(mutant.red) == []
    assert set(mutant.red) <= set(NAMES.findall(PROMISED))
    run.fits(mutant)


def test_a_patch_that_does_not_apply_says_so(tmp_path: Path) -> None:
    patch = tmp_path / "gone.patch"
    patch.write_text(
        "Promise: a\nWithout: b\nRed: c\n\n--- a/bot/pace.py\n+++ b/bot/pace.py\n@@ -1 +1 @@\n-no line\n+x\n",
        encoding="utf-8",
    )
    with pytest.raises(run.Unfit, match=r"gone: its lines stand 0 times in bot/pace\.py"):
        run.fits(run.read(patch))
    patch.write_text("Promise: a\nRed: c\n\n--- a/x\n+++ b/x\n", encoding="utf-8")
    with pytest.raises(run.Unfit, match="Promise, Without and Red"):
        run.read(patch)


@pytest.mark.long
def test_every_mutant_is_killed(counted: Count) -> None:
    survived = run.run(MUTANTS, lambda line: None)
    counted(mutants=len(MUTANTS), killed=len(MUTANTS) - len(survived))
    assert survived == []
