"""Sixteen weeks with a season in late spring: the twelve weeks of the tests, and four before it."""

from __future__ import annotations

from datetime import UTC, datetime

from places import TESTS

STAMP = datetime(2026, 2, 20, 12, tzinfo=UTC)
SPRING = (
    (TESTS / "years" / "twelve-weeks.toml")
    .read_text(encoding="utf-8")
    .replace("weeks = 12", "weeks = 16")
    .replace("first = 2026-04-20", "first = 2026-05-18")
    .replace("last = 2026-05-17", "last = 2026-06-14")
)
