"""For all tests: how many examples a property is tried with, and which files one worker takes together."""

import pytest
from hypothesis import settings

settings.register_profile("short", max_examples=5, deadline=None, derandomize=True, database=None)
settings.register_profile("long", settings.get_profile("short"), max_examples=100)

SHARE_NIGHTS = {"test_nights.py", "test_six_nights.py", "test_transcript_contract.py"}


def pytest_configure(config: pytest.Config) -> None:
    """A property that names no number of its own is tried as often as the kind of run says."""
    settings.load_profile("short" if config.option.markexpr == "not long" else "long")


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """A file stays on one worker, and those that look at the same played nights on the same."""
    for item in items:
        together = "nights" if item.path.name in SHARE_NIGHTS else str(item.path)
        item.add_marker(pytest.mark.xdist_group(together))
