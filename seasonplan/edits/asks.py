"""What fields of edits ask a person for, with the words of help and forms."""

from __future__ import annotations

from datetime import date, time
from enum import StrEnum
from typing import Annotated, Any

from pydantic import Field

from seasonplan.vocabulary import Kind
from seasonplan.year.model import ENTRY_FIELDS


class Asks(StrEnum):
    """What a field of an edit asks a person for."""

    BLOCK = "block"
    SESSION = "session"
    ENTRY = "entry"
    SECTION = "section"
    SETTING = "setting"
    RULE = "rule"
    RECIPE = "recipe"
    VALUE = "value"
    LIMIT = "limit"
    VALUES = "values"
    DAY = "day"
    TIME = "time"
    WHOLE = "whole number"
    NUMBER = "number"
    SHARE = "share"
    KIND = "kind"
    PART = "part of the body"
    SIDE = "side"
    YES_NO = "yes or no"
    TEXT = "text"


BlockId = Annotated[str, Asks.BLOCK, Field(title="Block", description="id of a block")]
SessionId = Annotated[str, Asks.SESSION, Field(title="Session", description="id of a session")]
EntryId = Annotated[str, Asks.ENTRY, Field(title="Entry", description="id of an entry")]
Section = Annotated[
    str,
    Asks.SECTION,
    Field(title="Sort", description=f"what to enter: {', '.join(ENTRY_FIELDS)}"),
]
Values = Annotated[
    dict[str, Any],
    Asks.VALUES,
    Field(
        title="Values",
        description="what it says, as first=2026-05-04; none: a list of what there is",
    ),
]
ChangedValues = Annotated[
    dict[str, Any],
    Asks.VALUES,
    Field(title="Values", description="what changes, as first=2026-05-04; first= takes it away"),
]
ADay = Annotated[date, Asks.DAY]
ATime = Annotated[time, Asks.TIME]
Whole = Annotated[int, Asks.WHOLE]
ChosenKind = Annotated[
    Kind, Asks.KIND, Field(title="Kind", description="base, strength, performance or rest")
]
