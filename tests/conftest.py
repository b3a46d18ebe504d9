"""For all tests: how many examples a property is tried with, and which files one worker takes together."""

import gc
from collections.abc import Callable

import pytest
from hypothesis import settings

from tests.counting import PROPERTY, Count, lines
from tests.tries import SHORT

settings.register_profile("short", max_examples=SHORT, deadline=None, derandomize=True, database=None)
settings.register_profile("long", settings.get_profile("short"), max_examples=20 * SHORT)

SHARE_NIGHTS = {"test_nights.py", "test_six_nights.py", "test_transcript_contract.py"}


def pytest_configure(config: pytest.Config) -> None:
    """A property that names no number of its own is tried as often as the kind of run says."""
    settings.load_profile("short" if config.option.markexpr == "not long" else "long")


def pytest_itemcollected(item: pytest.Item) -> None:
    """A file stays on one worker, and those that look at the same played nights on the same."""
    together = "nights" if item.path.name in SHARE_NIGHTS else str(item.path)
    item.add_marker(pytest.mark.xdist_group(together))


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
