"""How much is tried: a short run is for every change, a long one takes its time."""

from hypothesis import settings

SHORT = 5  # examples of a property that names no number of its own, in a short run


def is_long() -> bool:
    """Whether this is a long run (`tests/run --long`)."""
    return settings().max_examples > SHORT


def tries(short: int) -> int:
    """So many examples in a short run, twenty times as many in a long one."""
    return short * (20 if is_long() else 1)
