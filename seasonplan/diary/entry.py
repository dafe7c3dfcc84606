"""One thing in the diary: a session done or missed, a test, a weight, a pain, a note.

Owns what a row may say and what it must; knows no file, no plan and no day's date.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection
from datetime import time
from enum import StrEnum
from math import isfinite
from typing import Annotated, Any, Self, TypeVar

from pydantic import BeforeValidator, Field, model_validator
from pydantic_core import PydanticCustomError

from seasonplan.vocabulary import BodyPart, FrozenModel, Side
from seasonplan.year.entries import Day
from seasonplan.year.refusal import refuse, shown

LONGEST_TEXT = 10_000
DAY_MINUTES = 24 * 60
HIGHEST = 10  # effort and pain are rated from 0 to 10
# International yard and pound agreement of 1959, exact; from memory.
KILOGRAMS_A_POUND = 0.45359237

_NUMBER = re.compile(r"[+-]?\d{1,15}(?:[.,]\d{1,15})?")
_THOUSANDS = re.compile(r"[+-]?[1-9]\d{0,2},\d{3}")
_LENGTH = re.compile(r"(?:(\d+)\s*h)?\s*(?:(\d+)\s*(?:m|min)?)?")
_CLOCK = re.compile(r"(\d{1,2}):(\d\d)(?::\d\d)?")


class Did(StrEnum):
    """What a row tells of."""

    DONE = "done"
    MISSED = "missed"
    TEST = "test"
    WEIGHT = "weight"
    PAIN = "pain"
    NOTE = "note"


# What a row cannot do without; of the columns in one tuple, any will do.
NEEDED: dict[Did, tuple[tuple[str, ...], ...]] = {
    Did.DONE: (("session", "recipe", "what"),),
    Did.MISSED: (("session", "recipe", "what"),),
    Did.TEST: (("what",), ("value",)),
    Did.WEIGHT: (("value",), ("unit",)),
    Did.PAIN: (("part",), ("pain",)),
    Did.NOTE: (("note",),),
}
WEIGHT_UNITS = ("kg", "lb")

Known = TypeVar("Known", bound=StrEnum)


# --- reading one cell -----------------------------------------------------------------------


def number_of(value: Any) -> float:
    """A number, with a point or a comma before its decimals. Raises a refusal.

    "1,000" is refused: nobody can tell whether it means one or a thousand.
    """
    number = value
    if isinstance(value, str):
        told = value.strip()
        plain = _NUMBER.fullmatch(told) and not _THOUSANDS.fullmatch(told)
        number = float(told.replace(",", ".")) if plain else None
    if isinstance(number, bool) or not isinstance(number, (int, float)) or not isfinite(number):
        raise refuse(found=shown(value), wanted="a number", do="Write digits, as 7 or 71.5.")
    return float(number)


def _rated(value: Any) -> Any:
    number = None if value is None else number_of(value)
    if number is not None and not 0 <= number <= HIGHEST:
        raise refuse(
            found=f"{number:g}", wanted=f"a number from 0 to {HIGHEST}", do="Correct the rating."
        )
    return number


def minutes_of(value: Any) -> int:
    """Whole minutes from a number, or from text such as "1h30" or "45 min". Raises a refusal."""
    match = _LENGTH.fullmatch(value.strip().lower()) if isinstance(value, str) else None
    if match is not None and (match[1] or match[2]):
        minutes: float = 60 * int(match[1] or 0) + int(match[2] or 0)
    else:
        minutes = number_of(value)
    if not 0 <= minutes <= DAY_MINUTES:
        raise refuse(
            found=shown(value), wanted=f"minutes from 0 to {DAY_MINUTES}", do='Write 90 or "1h30".'
        )
    return round(minutes)


def clock_of(value: Any) -> Any:
    """A time of day from HH:MM. Raises a refusal."""
    if value is None or isinstance(value, time):
        return value
    match = _CLOCK.fullmatch(value.strip()) if isinstance(value, str) else None
    if match is None or int(match[1]) > 23 or int(match[2]) > 59:
        raise refuse(found=shown(value), wanted="a time of day", do="Write it as 18:30.")
    return time(int(match[1]), int(match[2]))


def one_of(words: type[Known]) -> Callable[[Any], Any]:
    """A reader of one of our words, in whatever case it is written."""

    def read(value: Any) -> Any:
        try:
            return words(value.strip().lower() if isinstance(value, str) else value)
        except ValueError:
            raise refuse(
                found=shown(value), wanted=", ".join(words), do="Choose one of these."
            ) from None

    return read


def _if_any(read: Callable[[Any], Any]) -> BeforeValidator:
    return BeforeValidator(lambda value: None if value is None else read(value))


def _trimmed(value: Any) -> Any:
    """Text without blanks around it. Raises a refusal for what no UTF-8 file can hold."""
    if not isinstance(value, str):
        return value
    try:
        value.encode()
    except UnicodeEncodeError:
        raise refuse(found=ascii(value), wanted="text in UTF-8", do="Type it anew.") from None
    return value.strip()


Text = Annotated[str, BeforeValidator(_trimmed), Field(max_length=LONGEST_TEXT)]
Clock = Annotated[time | None, BeforeValidator(clock_of)]
Minutes = Annotated[int | None, _if_any(minutes_of)]
Rating = Annotated[float | None, BeforeValidator(_rated)]
Number = Annotated[float | None, _if_any(number_of)]


def _refused(column: str, *, found: str, wanted: str) -> PydanticCustomError:
    """A refusal of the row as a whole that says which column it is about."""
    return PydanticCustomError(
        "refused",
        "{column}: found {found}; wanted {wanted}. {do}",
        {"column": column, "found": found, "wanted": wanted, "do": f"Correct the {column}."},
    )


class DiaryEntry(FrozenModel):
    """One row of `diary.csv`; the fields are its columns, in the order we write them.

    `what` is the name of a test, or of something done that no plan knows. Minutes are minutes.
    """

    date: Day
    time: Clock = None
    kind: Annotated[Did, BeforeValidator(one_of(Did))]
    session: Text = ""
    recipe: Text = ""
    what: Text = ""
    minutes: Minutes = None
    rpe: Rating = None
    value: Number = None
    unit: Text = ""
    part: Annotated[BodyPart | None, _if_any(one_of(BodyPart))] = None
    side: Annotated[Side, BeforeValidator(one_of(Side))] = Side.NONE
    pain: Rating = None
    note: Text = ""

    @model_validator(mode="after")
    def _whole(self) -> Self:
        filled = {name for name in COLUMNS if getattr(self, name) not in (None, "")}
        for column in lacking(self.kind, filled):
            raise _refused(column, found="nothing", wanted=f"a value for a {self.kind} row")
        if self.kind is Did.WEIGHT and self.unit not in WEIGHT_UNITS:
            raise _refused("unit", found=repr(self.unit), wanted="kg or lb")
        return self

    @property
    def kilograms(self) -> float | None:
        """The value in kilograms where its unit is one of mass."""
        if self.value is None or self.unit not in WEIGHT_UNITS:
            return None
        return self.value * (KILOGRAMS_A_POUND if self.unit == "lb" else 1.0)


COLUMNS: tuple[str, ...] = tuple(DiaryEntry.model_fields)
TEXT_COLUMNS = ("session", "recipe", "what", "unit", "note")
NUMBER_COLUMNS = ("rpe", "value", "pain")
REQUIRED = ("date", "kind")


def lacking(kind: Did, filled: Collection[str]) -> list[str]:
    """The columns that a row of this kind still needs, such as "session or recipe or what"."""
    return [" or ".join(names) for names in NEEDED[kind] if not set(names) & set(filled)]
