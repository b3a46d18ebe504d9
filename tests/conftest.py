"""For all tests: how many examples a property is tried with, and which files one worker takes together."""

import gc
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import settings
from xdist.scheduler.loadscope import LoadScopeScheduling

from tests.counting import PROPERTY, Count, lines
from tests.tries import SHORT

settings.register_profile("short", max_examples=SHORT, deadline=None, derandomize=True, database=None)
settings.register_profile("long", settings.get_profile("short"), max_examples=20 * SHORT)

SHARE_NIGHTS = {"test_nights.py", "test_six_nights.py", "test_transcript_contract.py"}


def pytest_configure(config: pytest.Config) -> None:
    """A property that names no number of its own is tried as often as the kind of run says."""
    settings.load_profile("short" if config.option.markexpr == "not long" else "long")


class ByFile(LoadScopeScheduling):
    """A file stays on one worker, and those that look at the same played nights on the same.

    Not by markers: pytest-xdist 3.8 writes groups into names, and pytest 9.2 takes no other name any more.
    """

    def _split_scope(self, nodeid: str) -> str:
        file = nodeid.partition("::")[0]
        return "nights" if Path(file).name in SHARE_NIGHTS else file


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: Any) -> ByFile:
    """Whatever `--dist` says."""
    return ByFile(config, log)


def pytest_collection_finish() -> None:
    """What collecting has made stays to the end: the garbage collector need not look through it again."""
    gc.freeze()


@pytest.fixture
def counted(record_property: Callable[[str, object], None]) -> Count:
    """Keeps what a test counted for the end of the run."""

    def count(words: str = "", **figures: float) -> None:
        record_property(PROPERTY, (words, figures))

    return count


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """What was counted is the last thing to be read but for how many passed."""
    told = [
        (report.nodeid.rpartition("::")[2], value)
        for report in terminalreporter.getreports("passed")
        for name, value in report.user_properties
        if name == PROPERTY and report.when == "call"
    ]
    for line in lines(told):
        terminalreporter.line(line)
