"""Water for tests, by hours after one evening."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, datetime, timedelta

from core.species import Curve
from core.timing import Sample, Water

T0 = datetime(2025, 3, 1, 20, 30, tzinfo=UTC)
MINUTE = timedelta(minutes=1)


def after(hours: float) -> datetime:
    return T0 + timedelta(hours=hours)


def hours(when: datetime) -> float:
    return (when - T0) / timedelta(hours=1)


def steady(celsius: float) -> Water:
    return Water((), celsius)


def log(*readings: tuple[float, float]) -> Water:
    """Readings as (hours after T0, degrees)."""
    return Water(tuple(Sample(after(hours), celsius) for hours, celsius in readings), 25.0)


def inside(curve: Curve, steps: Iterable[tuple[float, float]]) -> Water:
    """A log of steps (hours, share of the curve's source range), from five hours before T0."""
    at, readings = -5.0, []
    for step, share in steps:
        at += step
        celsius = curve.min_celsius + share * (curve.max_celsius - curve.min_celsius)
        readings.append((at, min(max(celsius, curve.min_celsius), curve.max_celsius)))
    return log(*readings)
