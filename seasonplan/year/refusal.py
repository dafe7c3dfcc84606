"""How a validator says what was found, what is wanted and what to do.

What stands in backquotes is as the file writes it, a key (`first`), a value (`"09-20"`) or both
(`climbing = false`), so that a form can say it in words of its own (`edits/in_form`).
"""

from __future__ import annotations

from datetime import date, time
from typing import Any, NamedTuple

from pydantic_core import PydanticCustomError

NOTHING = "nothing"  # what is found where a value is needed and none stands


class Trouble(NamedTuple):
    """A fault by its place in the model, before a file and a line are known."""

    loc: tuple[str | int, ...]
    found: str
    wanted: str
    do: str


def shown(value: Any) -> str:
    """A value as the file has it, cut short."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, (date, time)):  # a datetime is a date too
        return value.isoformat()
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list) and any(isinstance(one, (dict, date, time)) for one in value):
        return "a list"
    text = repr(value)
    return text if len(text) <= 60 else text[:57] + "…"


def refuse(*, found: str, wanted: str, do: str) -> PydanticCustomError:
    """The error a field validator raises; `year.toml` turns it into a Fault."""
    return PydanticCustomError(
        "refused",
        "found {found}; wanted {wanted}. {do}",
        {"found": found, "wanted": wanted, "do": do},
    )
