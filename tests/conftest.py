"""How many examples a property is tried with where its test names no number of its own."""

import pytest
from hypothesis import settings

settings.register_profile("short", max_examples=5, deadline=None, derandomize=True, database=None)
settings.register_profile("long", settings.get_profile("short"), max_examples=100)


def pytest_configure(config: pytest.Config) -> None:
    settings.load_profile("short" if config.option.markexpr == "not long" else "long")
