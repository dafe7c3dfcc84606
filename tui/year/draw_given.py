"""Draws the lanes of what is given: rock, and days away."""

from __future__ import annotations

from seasonplan.explain.signs import SHADES, SIGNS
from tui.year.brush import Brush
from tui.year.lanes import Lane, Row
from tui.year.places import Place


def rock(brush: Brush, place: Place, row: Row) -> None:
    """Seasons, windows and climbing trips, darker where a good day is likelier."""
    for mark in row.marks:
        spell = next(
            s for s in brush.of.sheet.almanac.spells
            if s.entry.id == mark.key and s.span == mark.span
        )  # fmt: skip
        first, after = brush.columns_of(mark) or (0, 0)
        for column in range(first, after):
            chance = max((spell.chance(day) for day in brush.days(column)), default=0.0)
            shade = SHADES[min(4, 1 + int(chance * 4)) if chance > 0 else 0]
            brush.canvas.put(column, place.top, shade, brush.of.styles["rock"])
        brush.ends(mark, place.top, first, after)
    _named(brush, place, row)


def away(brush: Brush, place: Place, row: Row) -> None:
    """Trips, absences and injuries, each with its sign."""
    for mark in row.marks:
        assert mark.kind is not None
        first, after = brush.columns_of(mark) or (0, 0)
        sign = SIGNS[mark.kind].drawn
        style = brush.of.styles[mark.kind.value]
        brush.canvas.put(first, place.top, sign * (after - first), style)
        brush.ends(mark, place.top, first, after)
    _named(brush, place, row)


def _named(brush: Brush, place: Place, row: Row) -> None:
    """The names beside the marks; the rock that matters most is never without."""
    dearest = brush.of.sheet.dearest
    key = dearest.spell.entry.id if dearest else ""
    trips = {trip.id for trip in brush.of.sheet.year.trips} if row.lane is Lane.ROCK else ()
    named = (mark for mark in row.marks if mark.key not in trips)  # named as days away
    for mark in sorted(named, key=lambda mark: mark.key != key):
        brush.named(mark, place.top, style="rock-name", always=mark.key == key)
