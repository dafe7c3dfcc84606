"""What is typed on a line of a form, turned into the value of the file, and back. Pure.

Judges nothing: what it cannot turn is handed on as it was typed, and reading the year says what
is wrong with it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date, time
from enum import Enum
from typing import Any

from seasonplan.edits.forms import Line, Takes
from seasonplan.edits.units import bare_amount, unit_of
from seasonplan.vocabulary import discipline_said
from seasonplan.year.routine import FreeTime
from seasonplan.year.spoken import NUMBERS, day_said, end_said, yearly_said
from seasonplan.year.zones import zone_said

Values = dict[str, Any]
YES, NO = ("yes", "y", "true", "on"), ("no", "n", "false", "off")
QUOTES = (('"', '"'), ("'", "'"), ("“", "”"))
DISCIPLINES = ("discipline", "disciplines")
AMOUNTS = (Takes.WHOLE, Takes.NUMBER, Takes.NUMBERS, Takes.LIMIT)
ENDS = ("last", "until")
ZONE = "time_zone"
PAST = ("happened", "date")  # lines about what is over
_PERCENT = re.compile(r"(\d+(?:[.,]\d+)?)\s*(?:%|per ?cent)")
_OF = re.compile(r"(\w+) (?:days )?(?:in|of|out of) (\w+)(?: days)?")
_NUMBER = re.compile(r"[+-]?\d+(?:[.,]\d+)?")
_BETWEEN = re.compile(r",(?!\d(?!\d))")  # a comma before a single digit begins decimals
_TO = re.compile(r"\s+to\s+|(?<=\d)\s*[-\u2013]\s*(?=\d)")
_SPLIT = re.compile(r"\b(short and hard|light), often\b", re.IGNORECASE)  # one value, with a comma
_PAIR = re.compile(r"(.+?)(?:\s*[:=]\s*|\s+)([^\s:=][^:=]*)")


@dataclass(frozen=True, slots=True)
class Now:
    """When it is said: today, the weekday on which weeks begin (Monday = 0), and of the last day
    of something the day on which that begins."""

    today: date
    week_begins: int = 0
    begins: date | None = None


def meant(words: str, line: Line, *, now: Now) -> Any:
    """The value that is meant; None for nothing. Quotes around it belong to the file."""
    text = bare(words)
    if not text:
        return None
    if line.takes in (Takes.DAY, Takes.DAY_OR_YEARLY):
        return _day(text, line, now)
    if line.key.rpartition(".")[2] == ZONE:
        return zone_said(text) or text
    if line.takes in (Takes.CHOICE, Takes.CHOICES):
        found = [_choice(part, line) for part in _listed(text)]
        return found if line.takes is Takes.CHOICES else _choice(text, line)
    if line.takes in AMOUNTS:
        text = bare_amount(text, line.unit or unit_of(line.key))
    read = _READERS.get(line.takes)
    return text if read is None else read(text)


def all_meant(said: Mapping[str, tuple[str, Line]], *, now: Now, kept: Mapping[str, Any]) -> Values:
    """The values of lines that belong together, by key; what nobody said is as it is `kept`.

    The last day of something is looked for from its first on.
    """
    values = {**kept, **{key: meant(words, line, now=now) for key, (words, line) in said.items()}}
    for key, (words, line) in said.items():
        above, _, name = key.rpartition(".")
        begins = values.get(f"{above}.first" if above else "first")
        if name in ENDS and isinstance(begins, date):
            values[key] = meant(words, line, now=replace(now, begins=begins))
    return values


def bare(words: str) -> str:
    """The words without the quotes around them, as the file has them around text."""
    text = words.strip()
    for first, last in QUOTES:
        inner = text[1:-1]
        if len(text) > 1 and text[0] == first and text[-1] == last and first not in inner:
            return inner.strip()
    return text


def words_of(value: Any) -> str:
    """A value as one would type it."""
    if value is None:
        return ""
    if isinstance(value, FreeTime):
        return words_of(value.model_dump()) if value.minutes else ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Enum):
        return str(value.value)
    if isinstance(value, float):
        return f"{value:g}"
    if isinstance(value, time):
        return f"{value:%H:%M}"
    if isinstance(value, Mapping):
        return ", ".join(f"{words_of(key)} {words_of(one)}" for key, one in value.items())
    if isinstance(value, (list, tuple)):
        return ", ".join(words_of(one) for one in value)
    return str(value)


# --- one reader for each sort of line ---------------------------------------------------------


def _day(text: str, line: Line, now: Now) -> Any:
    last = line.key.rpartition(".")[2] in ENDS  # of a month its end
    yearly = yearly_said(text, last=last) if line.takes is Takes.DAY_OR_YEARLY else None
    if yearly is not None:
        return yearly
    if last and now.begins is not None:
        until = end_said(text, first=now.begins, today=now.today, week_begins=now.week_begins)
        return text if until is None else until
    past = line.past or line.key in PAST
    found = day_said(text, today=now.today, week_begins=now.week_begins, past=past, last=last)
    return text if found is None else found


def _choice(text: str, line: Line) -> str:
    """The choice that is meant, also by its beginning alone, or by another name it goes by."""
    choices = line.choices
    if line.key.rpartition(".")[2] in DISCIPLINES and (found := discipline_said(text)):
        return found.value
    same = [one for one in choices if one.lower() == text.lower()]
    near = [one for one in choices if one.lower().startswith(text.lower())]
    return same[0] if same else near[0] if len(near) == 1 else text


def _yes_no(text: str) -> Any:
    word = text.lower()
    return True if word in YES else False if word in NO else text


def _number(text: str) -> Any:
    """A number, with a point or a comma; other words, such as "10 F", stay."""
    if not _NUMBER.fullmatch(text):
        return text
    value = text.replace(",", ".")
    return float(value) if "." in value else int(value)


def _numbers(text: str) -> list[Any]:
    """Several numbers: 3, 6 or 3 to 6 or 3-6."""
    return [_number(part) for part in _listed(_TO.sub(", ", text))]


def _results(text: str) -> list[Any]:
    """Several results, parted by a semicolon, or by a comma: "43,5" is one with decimals."""
    parts = text.split(";") if ";" in text else _BETWEEN.split(text)
    return [_number(part) for part in map(bare, parts) if part]


def limit_said(text: str) -> Any:
    """A number, or lowest and highest: 4, or 3 to 6, or 3, 6."""
    found = _numbers(text)
    if any(isinstance(one, str) for one in found):
        return text
    return found[0] if len(found) == 1 else found


def share_said(text: str) -> Any:
    """A share: 0.4, 40 %, 40 or four in ten; 1 and less are shares already."""
    if match := _OF.fullmatch(text.lower()):
        part, whole = (
            NUMBERS.get(one) or (int(one) if one.isdigit() else 0) for one in match.groups()
        )
        if 0 < part <= whole:
            return round(part / whole, 4)
    if percent := _PERCENT.fullmatch(text):
        return round(_number(percent[1]) / 100, 6)
    found = _number(text)
    return round(found / 100, 4) if type(found) is int and 2 <= found <= 100 else found


def _shares(text: str) -> list[Any]:
    return [share_said(part) for part in _listed(text)]


def _chance(text: str) -> Any:
    """One chance, one for each week, or one for each month by its name."""
    parts = _listed(text)
    found = [share_said(part) for part in parts]
    if any(
        part[0].isalpha() and isinstance(one, str) for part, one in zip(parts, found, strict=True)
    ):
        return _table(text, share_said)
    return found[0] if len(found) == 1 else found


def _table(text: str, read: Callable[[str], Any] = str) -> Any:
    """Names, each with a value: "march 35 %, april 45 %". The words as they are where one has none.

    A value may hold spaces, a name only where : or = stands after it.
    """
    pairs = [_PAIR.fullmatch(part) for part in _listed(_SPLIT.sub(r"\1", text))]
    if not all(pairs):
        return text
    return {pair[1].strip(): read(pair[2].strip()) for pair in pairs if pair}


def _free(text: str) -> Any:
    """Minutes, "1h30", or hours; several with commas."""
    parts = _listed(text)
    return parts if len(parts) > 1 else _number(text)


def _listed(text: str) -> list[str]:
    return [part for part in (bare(part) for part in text.split(",")) if part]


_READERS: Mapping[Takes, Callable[[str], Any]] = {
    Takes.YES_NO: _yes_no,
    Takes.NAMES: _listed,
    Takes.WHOLE: _number,
    Takes.NUMBER: _number,
    Takes.NUMBERS: _numbers,
    Takes.RESULTS: _results,
    Takes.LIMIT: limit_said,
    Takes.SHARE: share_said,
    Takes.SHARES: _shares,
    Takes.CHANCE: _chance,
    Takes.TABLE: _table,
    Takes.FREE: _free,
}
