"""Days on which an injury bars hard hangs, and what their level is once they may be done again.

While they are barred for long nothing rises; they begin at a share of what they were and rise by
another until they are that. By the calendar alone. Enforces `injury-caps` (hangs).
"""

from __future__ import annotations

from datetime import date

from seasonplan import injury
from seasonplan.body.almanac import Almanac
from seasonplan.days import Span
from seasonplan.planner.care import ramps
from seasonplan.planner.menus import finger_table
from seasonplan.rules.tables import light_hangs_from


class Barred:
    """The rows of days without hard hangs, each as long as days off that want light ones first."""

    def __init__(self, almanac: Almanac, *, on: bool = True) -> None:
        """`on`: whether the rule is."""
        days = [day for day in almanac.span.days() if on and bars_hard_hangs(almanac, day)]
        self._rows = [row for row in _running(days) if row.length >= light_hangs_from()]

    def days(self, week: Span) -> int:
        """How many of the days of a week they are."""
        met = (row.meet(week) for row in self._rows)
        return sum(row.length for row in met if row is not None)

    def begin(self, week: Span) -> bool:
        """Whether a row begins with the week, or the year: its level is then that of after it."""
        return any(row.first == week.first for row in self._rows)

    def begin_inside(self, week: Span) -> bool:
        """Whether a row begins on another day of the week: the level falls after it."""
        return any(row.first in week and row.first != week.first for row in self._rows)


def bars_hard_hangs(almanac: Almanac, day: date) -> bool:
    """Whether something that is hurt, or has just come back, bars them on a day."""
    steps = ramps(almanac, day)
    return not injury.max_fingers(almanac.hurts(day)) or any(not s.max_fingers for s in steps)


class HangsBack:
    """Hard seconds a week on their way back to what they were before they were barred."""

    def __init__(self) -> None:
        self._before = 0.0

    def lowered(self, seconds: float) -> float:
        """What they begin at. What no week asks for was never done: it does not count."""
        done = min(seconds, max(finger_table().seconds.values()))
        self._before = done if seconds >= self._before else self._before
        return injury.back_table().hangs_begin * done

    def risen(self, seconds: float) -> float:
        """The level a week later."""
        if seconds < self._before:
            return seconds + injury.back_table().hangs_step * self._before
        return min(finger_table().most_seconds, seconds + finger_table().a_session)


def _running(days: list[date]) -> list[Span]:
    """Days that follow each other, as spans."""
    rows: list[Span] = []
    for day in days:
        if rows and rows[-1].after == day:
            rows[-1] = Span.through(rows[-1].first, day)
        else:
            rows.append(Span.through(day, day))
    return rows
