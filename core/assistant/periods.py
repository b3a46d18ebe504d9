"""The stretches of time that a question may be about, on the farm's own days."""

from __future__ import annotations

from datetime import datetime, timedelta

from core.assistant.talk import Talk

SEASON = timedelta(days=182)
"""Half a year: no farm told its own."""


def span_of(talk: Talk, period: str) -> tuple[datetime, datetime]:
    """From when to when: the season is the half year up to now, the last month that of the calendar."""
    now = talk.desk.now
    if period == "season":
        return now - SEASON, now + timedelta(days=1)
    this_month = now.astimezone(talk.zone).replace(day=1, hour=0, minute=0, second=0, microsecond=0)
    return (this_month - timedelta(days=1)).replace(day=1), this_month
