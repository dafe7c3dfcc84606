"""The only place that reads the time. Dates are of the climber's zone, stamps are UTC."""

from __future__ import annotations

from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo


def today(time_zone: str) -> date:
    """Today where the climber is."""
    return datetime.now(ZoneInfo(time_zone)).date()


def stamp() -> datetime:
    """Now in UTC, to the second."""
    return datetime.now(UTC).replace(microsecond=0)
