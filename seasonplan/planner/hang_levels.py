"""How many hard hangs a week may hold by the calendar alone, and when an injury bars them.

They rise by a session a week and fall by one in a week away; after days off that want light ones
first they begin at the first share of their row. While an injury bars them for long nothing rises;
they begin at a share of what they were and rise by another until they are that. Enforces
`injury-caps` (hangs).
"""

from __future__ import annotations

from datetime import date

from seasonplan import injury
from seasonplan.body.almanac import Almanac
from seasonplan.days import Span
from seasonplan.planner.care import ramps
from seasonplan.planner.menus import finger_table
from seasonplan.rules.tables import DaysOff, light_hangs_from

MOST_OF_A_WEEK = 4  # days


class Barred:
    """The rows of days without hard hangs, each as long as days off that want light ones first."""

    def __init__(self, almanac: Almanac, *, on: bool = True) -> None:
        """`on`: whether the rule is."""
        self._almanac = almanac
        asked = almanac.span.days() if on and almanac.year.injuries else ()
        days = [day for day in asked if bars_hard_hangs(almanac, day)]
        self._rows = [row for row in _running(days) if row.length >= light_hangs_from()]

    def days(self, week: Span) -> int:
        """How many of the days of a week they are."""
        met = (row.meet(week) for row in self._rows)
        return sum(row.length for row in met if row is not None)

    def few(self, week: Span) -> bool:
        """Whether hard uses are few in a week: it lies in the steps after an injury."""
        return any(ramps(self._almanac, day) for day in week.days())

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


class HangLevel:
    """Hard seconds of a week, and `weeks` in which fingers got used to hangs, as weeks go by."""

    def __init__(self, first: float, barred: Barred) -> None:
        self.seconds, self.weeks = first, 0.0
        self._first, self._barred = first, barred
        self._before = 0.0  # what was done before it was barred, if that is not reached again

    @property
    def share(self) -> float:
        """Of a session of before, on the way back to what was barred."""
        return self.seconds / self._before if 0 < self.seconds < self._before else 1.0

    def begin(self, week: Span, row: DaysOff | None) -> None:
        """A week begins, in it training after days off."""
        if self._barred.begin(week):
            self._bar()
        elif row is not None and row.days >= light_hangs_from() and not self._barred.days(week):
            self.seconds = max(finger_table().first_seconds, row.shares[0] * self.seconds)

    def end(self, week: Span) -> None:
        """A week is over in which something may have been hurt."""
        if self._barred.begin_inside(week):
            self._bar()

    def lose(self, week: Span) -> None:
        """A week was away: less, where it is not barred."""
        self.weeks = max(0.0, self.weeks - 1)
        if not self._barred.days(week):
            less = max(self._first, self.seconds - finger_table().a_session)
            self.seconds = min(self.seconds, less)

    def gain(self, week: Span, *, light: bool, weeks: float) -> None:
        """A week was trained; `light`: its hangs were; `weeks`: what it counts for daily hangs."""
        self.weeks += weeks
        if light or self._barred.days(week) >= MOST_OF_A_WEEK:
            return
        if 0 < self.seconds < self._before:
            table = injury.back_table()
            step = table.hangs_step_few if self._barred.few(week) else table.hangs_step
            self.seconds += step * self._before
        else:
            self.seconds = min(finger_table().most_seconds, self.seconds + finger_table().a_session)

    def _bar(self) -> None:
        """What no week asks for was never done: it does not count."""
        done = min(self.seconds, max(finger_table().seconds.values()))
        if self.seconds >= self._before:
            self._before = done
        self.seconds = min(done, injury.back_table().hangs_begin * max(done, 0.0))
        self.weeks = 0.0


def _running(days: list[date]) -> list[Span]:
    """Days that follow each other, as spans."""
    rows: list[Span] = []
    for day in days:
        if rows and rows[-1].after == day:
            rows[-1] = Span.through(rows[-1].first, day)
        else:
            rows.append(Span.through(day, day))
    return rows
