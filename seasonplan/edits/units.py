"""Amounts typed with their unit, such as 60 %, 2 weeks or 1h30: the words without it. Pure.

A unit that is not the line's stays, so that reading the year says what is wrong with it.
"""

from __future__ import annotations

import re

from seasonplan.year.routine import minutes_said
from seasonplan.year.spoken import NUMBERS

PERCENT = "percent"
_WORDS = {
    PERCENT: "%|per ?cent", "weeks": "weeks?", "days": "days?(?: a week)?", "hours": "hours?|h",
    "years": "years?", "times": "times|x",
}  # fmt: skip
_YEARS = re.compile(rf"(?P<count>\d{{1,3}}|{'|'.join(NUMBERS)}) (?P<unit>year|month)s?")
_NTH = {
    "other": 2, "second": 2, "third": 3, "fourth": 4, "fifth": 5, "sixth": 6,
    "weekly": 1, "fortnight": 2, "fortnightly": 2,
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
    if unit == "weeks" and (count := _weeks_said(text)):
        return str(count)
    words = _WORDS.get(unit.partition(" ")[0])
    if words is not None:
        text = re.sub(rf"(?<=\d)\s*(?:{words})(?![a-z%])", "", text, flags=re.IGNORECASE)
    return text


def _weeks_said(text: str) -> int | None:
    """How many weeks "every second week", "three weeks", "6 months" or "a year" are; else None."""
    if match := _YEARS.fullmatch(text.lower()):
        count = NUMBERS.get(match["count"]) or int(match["count"])
        return count * 52 if match["unit"] == "year" else round(count * 52 / 12)
    words = text.lower().split()
    if words and words[0] in ("every", "each"):
        words = words[1:]
    if words and words[-1] in ("week", "weeks"):
        words = words[:-1] or ["one"]
    return (_NTH | NUMBERS).get(words[0]) if len(words) == 1 else None
