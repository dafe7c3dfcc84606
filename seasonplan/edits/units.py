"""Amounts typed with their unit, such as 60 %, 2 weeks or 1h30: the words without it. Pure.

A unit that is not the line's stays, so that reading the year says what is wrong with it.
"""

from __future__ import annotations

import re

from seasonplan.year.routine import minutes_said

PERCENT = "percent"
_WORDS = {
    PERCENT: "%|per ?cent", "weeks": "weeks?", "days": "days?(?: a week)?", "hours": "hours?|h",
    "years": "years?", "times": "times|x",
}  # fmt: skip
_PERCENT_KEYS = ("highest_humidity", "error", "worth_having")


def unit_of(key: str) -> str:
    """The unit that a line has by its key, such as "minutes" for "travel_minutes"; or nothing."""
    last = key.rpartition(".")[2]
    return PERCENT if last in _PERCENT_KEYS else last.rpartition("_")[2]


def bare_amount(text: str, unit: str) -> str:
    """The number, or the two, that are meant: "60 %" is 60 in percent, "1h30" is 90 in minutes."""
    if unit == "minutes":
        minutes = minutes_said(text)
        return text if minutes is None else str(minutes)
    words = _WORDS.get(unit.partition(" ")[0])
    if words is not None:
        text = re.sub(rf"(?<=\d)\s*(?:{words})(?![a-z%])", "", text, flags=re.IGNORECASE)
    return text
