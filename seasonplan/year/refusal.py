"""How a validator says what was found, what is wanted and what to do."""

from __future__ import annotations

from typing import NamedTuple

from pydantic_core import PydanticCustomError


class Trouble(NamedTuple):
    """A fault by its place in the model, before a file and a line are known."""

    loc: tuple[str | int, ...]
    found: str
    wanted: str
    do: str


def refuse(*, found: str, wanted: str, do: str) -> PydanticCustomError:
    """The error a field validator raises; `year.toml` turns it into a Fault."""
    return PydanticCustomError(
        "refused",
        "found {found}; wanted {wanted}. {do}",
        {"found": found, "wanted": wanted, "do": do},
    )
