"""Which part of a mark is dragged, and the days that a drag gives it. Draws and posts nothing."""

from __future__ import annotations

from datetime import timedelta
from enum import Enum

from seasonplan.days import Span
from tui.year.lanes import Mark
from tui.year.scale import Scale

LEAST_COLUMNS = 4  # of a mark whose ends can be told from its middle


class Grip(Enum):
    """A part of a mark."""

    START = "start"
    END = "end"
    WHOLE = "whole"


def covers(mark: Mark, column: int, scale: Scale) -> bool:
    """Whether a mark is drawn in a column."""
    columns = scale.columns(mark.span)
    return columns is not None and columns[0] <= column < columns[1]


def grip_at(mark: Mark, column: int, scale: Scale) -> Grip:
    """The part of a mark that is drawn in a column."""
    columns = scale.columns(mark.span)
    assert columns is not None
    first, after = columns
    if after - first >= LEAST_COLUMNS:
        if mark.span.first in scale.shown and column == first:
            return Grip.START
        if mark.span.last in scale.shown and column == after - 1:
            return Grip.END
    return Grip.WHOLE


def dragged(span: Span, by: timedelta, grip: Grip) -> Span | None:
    """The days after a drag; None where none would be left."""
    if grip is Grip.WHOLE:
        return span.shifted(by.days)
    first = span.first + by if grip is Grip.START else span.first
    after = span.after + by if grip is Grip.END else span.after
    return Span(first, after) if first < after else None
