"""How load comes back by the calendar while a part bears something again: its share, week by week.

The load begins at a share of a usual week and climbs evenly to that of its phase; one week in
some of a long phase is light. Days on rock are few and short by it. Enforces `injury-caps` (loads).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby

from seasonplan import injury
from seasonplan.body.almanac import Almanac
from seasonplan.planner.hang_levels import MOST_OF_A_WEEK
from seasonplan.rules.statements import RuleBook
from seasonplan.vocabulary import Kind

BACK = injury.back_table()


@dataclass(frozen=True, slots=True)
class WeekBack:
    """A calendar week of a return: its share of a usual one, and which week it is, from 0."""

    share: float
    nth: int
    light: bool = False


@dataclass(frozen=True, slots=True)
class _Row:
    """A calendar week with days of a return: the share of its phase, and whether it is most of
    it; `number` of its return: a new one begins after a part bore nothing, or nothing was hurt."""

    first: date
    fill: float
    whole: bool
    number: int


class WeeksBack:
    """The weeks of a return of a year, by their first day; none where `injury-caps` is off."""

    def __init__(self, almanac: Almanac, rules: RuleBook) -> None:
        self._almanac = almanac
        self.caps = rules.active("injury-caps") is not None
        self._weeks = dict(weeks_back(almanac)) if self.caps else {}

    def of(self, day: date) -> WeekBack | None:
        """That of the calendar week of a day."""
        return self._weeks.get(self._almanac.week_of(day))

    def share(self, day: date) -> float:
        """Of a usual week, what may be filled by what is hurt on a day; 1 where nothing is."""
        if not self.caps:
            return 1.0
        fill, back = injury.fill_share(self._almanac.hurts(day)), self.of(day)
        return min(fill, back.share) if back else fill


def weeks_back(almanac: Almanac) -> Iterator[tuple[date, WeekBack]]:
    """Each calendar week with days of a return, by its first day."""
    for _, weeks in groupby(_rows(almanac), key=lambda row: row.number):
        share, nth = None, 0
        for _, phase in groupby(weeks, key=lambda row: row.fill):
            rows = list(phase)
            for row, found in zip(rows, _in_phase(rows, share), strict=True):
                share = found.share
                yield almanac.week_of(row.first), WeekBack(share, nth, found.light)
                nth += row.whole


def _rows(almanac: Almanac) -> Iterator[_Row]:
    anew, number = True, 0
    for week in almanac.weeks():
        kinds = [almanac.given_kinds.get(day) for day in week.days()]
        days = [d for d, kind in zip(week.days(), kinds, strict=True) if kind is Kind.RETURN]
        if days:
            number += anew
            yield _Row(week.first, _fill_of(almanac, days), len(days) >= MOST_OF_A_WEEK, number)
        last = week.last
        anew = kinds[-1] is Kind.INJURED or not almanac.hurts(last) or (anew and not days)


def _fill_of(almanac: Almanac, days: Sequence[date]) -> float:
    """The share of the phase that most of these days lie in; of equals the smaller."""
    fills = [injury.fill_share(almanac.hurts(day)) for day in days]
    return max(sorted(set(fills)), key=fills.count)


def _in_phase(rows: Sequence[_Row], share: float | None) -> Iterator[WeekBack]:
    """The weeks of one phase: an even climb from the share of the week before, if there was one."""
    count = sum(row.whole for row in rows)
    light = set(range(BACK.light_every - 1, count - 1, BACK.light_every))
    fill, begins = rows[0].fill, share is None
    share = min(BACK.first_share, fill) if share is None else min(share, fill)
    steps = count - len(light) - begins
    step = min(BACK.most_step, (fill - share) / max(1, steps))
    nth = 0
    for row in rows:
        if row.whole and nth not in light and not (begins and nth == 0):
            share += step
        yield WeekBack(share, nth, row.whole and nth in light)
        nth += row.whole
