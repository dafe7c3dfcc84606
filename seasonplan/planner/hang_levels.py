"""How many hard hangs a week may hold by the calendar alone, and when an injury bars them.

They rise by a session a week and fall by one in a week away; after days off that want light ones
first they begin at the first share of their row. While an injury bars them for long nothing rises;
they begin at a share of what they were, or with one session, and rise by another until they are
that. Enforces `injury-caps` (hangs).
"""

from __future__ import annotations

from datetime import date
from math import inf

from seasonplan import injury
from seasonplan.body.almanac import Almanac
from seasonplan.body.little_time import MOST_OF_A_WEEK, WEEK
from seasonplan.days import Span, runs
from seasonplan.planner.care import ramps
from seasonplan.planner.menus import finger_table
from seasonplan.rules.tables import DaysOff, light_hangs_from
from seasonplan.vocabulary import Tissue


def bars_hard_hangs(almanac: Almanac, day: date) -> bool:
    """Whether something that is hurt, or has just come back, bars them on a day."""
    steps = ramps(almanac, day)
    return not injury.max_fingers(almanac.hurts(day)) or any(not s.max_fingers for s in steps)


class HangLevel:
    """Hard seconds of a week, and `weeks` in which fingers got used to hangs, as weeks go by."""

    def __init__(self, almanac: Almanac, first: float, *, hurt: bool) -> None:
        """`first`: seconds of the first week; `hurt`: whether injuries bar hangs, as long as days
        off that want light ones first."""
        self.seconds, self.weeks = first, 0.0
        self._almanac, self._first = almanac, first
        self._before = 0.0  # what was done before it was barred, if that is not reached again
        self._begun = -inf  # with what it begins after that
        asked = almanac.span.days() if hurt and almanac.year.injuries else ()
        barred = runs(day for day in asked if bars_hard_hangs(almanac, day))
        self._barred = [span for span in barred if span.length >= light_hangs_from()]

    @property
    def share(self) -> float:
        """Of a session of before, on the way back to what was barred."""
        return self.seconds / self._before if 0 < self.seconds < self._before else 1.0

    def begin(self, week: Span, row: DaysOff | None) -> None:
        """A week begins, in it training after days off; its level is that of after what bars it
        from its first day on."""
        lowered = self.seconds <= self._begun  # just now, by the same days off
        if begun := [barred for barred in self._barred if barred.first == week.first]:
            self._bar(*begun)
        elif row is None or lowered or self._days_barred(week):
            return
        elif row.light_days > WEEK and self.seconds > 0:
            self._begin_again(finger_table().a_session)
        elif row.days >= light_hangs_from():
            less = max(finger_table().first_seconds, row.shares[0] * self.seconds)
            self.seconds = min(self.seconds, less)

    def end(self, week: Span) -> None:
        """A week is over in which something may have been hurt."""
        begun = [one for one in self._barred if one.first in week and one.first != week.first]
        if begun:
            self._bar(*begun)

    def lose(self, week: Span) -> None:
        """A week was away: less, where it is not barred."""
        self.weeks = max(0.0, self.weeks - 1)
        if not self._days_barred(week):
            less = max(self._first, self.seconds - finger_table().a_session)
            self.seconds = min(self.seconds, less)

    def gain(self, week: Span, *, light: bool, weeks: float) -> None:
        """A week was trained; `light`: its hangs were; `weeks`: what it counts for daily hangs."""
        self.weeks += weeks
        barred_now = any(barred.first in week for barred in self._barred)
        if light or barred_now or self._days_barred(week) >= MOST_OF_A_WEEK:
            return
        if 0 < self.seconds < self._before:
            table = injury.back_table()
            steps = (step for day in week.days() for step in ramps(self._almanac, day))
            few = any(Tissue.FINGERS in step.tissues for step in steps)  # hard uses
            step = table.hangs_step_few if few else table.hangs_step
            self.seconds += step * self._before
        else:
            self.seconds = min(finger_table().most_seconds, self.seconds + finger_table().a_session)

    def _days_barred(self, week: Span) -> int:
        return sum(met.length for barred in self._barred if (met := barred.meet(week)))

    def _bar(self, *begun: Span) -> None:
        """After a long bar they begin with one session."""
        back, longest = injury.back_table(), max(barred.length for barred in begun)
        self._begin_again(finger_table().a_session if longest >= back.hangs_long_days else inf)

    def _begin_again(self, most: float) -> None:
        """With so much at most, and then by steps to what was done before; what no week asks for
        was never done: it does not count."""
        done = min(self.seconds, max(finger_table().seconds.values()))
        if self.seconds >= self._before:
            self._before = done
        self.seconds = self._begun = min(
            done, most, injury.back_table().hangs_begin * max(done, 0.0)
        )
        self.weeks = 0.0
