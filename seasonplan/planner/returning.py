"""Weeks while a part is hurt or comes back: the steps of their load, light hangs, courses.

Load begins at a share of a usual week and climbs evenly to that of its phase; one week in some of
a long phase is light. Days on rock are few and short by it. Enforces `injury-caps` (loads).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby

from seasonplan import injury
from seasonplan.body.almanac import Almanac
from seasonplan.body.little_time import MOST_OF_A_WEEK
from seasonplan.planner.care import is_young
from seasonplan.planner.fingers import FINGERS, FingerAsk
from seasonplan.planner.frame import Frame
from seasonplan.planner.grid import Cell
from seasonplan.planner.hang_levels import bars_hard_hangs
from seasonplan.planner.menus import Course, Serving
from seasonplan.planner.week_order import Order
from seasonplan.rules.statements import RuleBook
from seasonplan.vocabulary import Kind, Phase

BACK = injury.back_table()
RETURN = Kind.RETURN.value
LEGS = {Kind.INJURED: "injured lower", Kind.RETURN: "return lower"}
HURT, LIGHT = "return-fingers", "fingerboard-often"  # the first only where a finger is hurt


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


class Returning:
    """The weeks of a year in which something is hurt; without steps where `injury-caps` is off.

    `gently`: whether days running and minutes of climbing are held, too.
    """

    def __init__(self, almanac: Almanac, rules: RuleBook) -> None:
        self._almanac, self._rules = almanac, rules
        self.caps = rules.active("injury-caps") is not None
        self._weeks = dict(weeks_back(almanac)) if self.caps else {}
        self.gently = bool(self._weeks) and rules.active("session-return") is not None

    def of(self, day: date) -> WeekBack | None:
        """The step of the calendar week of a day."""
        return self._weeks.get(self._almanac.week_of(day))

    def share(self, day: date) -> float:
        """Of a usual week, what may be filled by what is hurt on a day; 1 where nothing is."""
        if not self.caps:
            return 1.0
        fill, back = injury.fill_share(self._almanac.hurts(day)), self.of(day)
        return min(fill, back.share) if back else fill

    def light(self, cell: Cell) -> bool:
        """Whether it is a light week of a return."""
        back = self.of(cell.span.first) if is_return(cell) else None
        return back is not None and back.light

    def hangs(self, cell: Cell) -> bool:
        """Whether hard hangs go on, as nothing hurt bars them."""
        days = cell.span.days()
        return is_return(cell) and not any(bars_hard_hangs(self._almanac, day) for day in days)

    def order(self, cell: Cell, frame: Frame, *, serving: Serving) -> Order:
        """What its week is for; as a normal one, also where it is light."""
        assert cell.given is not None
        kind, first = cell.given.kind, cell.span.first
        if kind not in (Kind.INJURED, Kind.RETURN):
            return Order(kind, (), 0.0, FingerAsk())
        back = self.of(first) if kind is Kind.RETURN else None
        fill = injury.fill_share(self._almanac.hurts(first)) if self.caps else 1.0
        fill = min(fill, back.share) if back else fill
        days = cell.span.length - sum(day.kept_free for day in frame.days)
        aim = frame.level.load * min(fill, frame.level.share) * days / 7
        young = is_young(self._almanac, first, rules=self._rules)
        most = FINGERS.young_light_sessions if young else FINGERS.hurt_light_sessions
        return Order(
            kind,
            self._courses(cell, serving),
            round(aim),
            FingerAsk(in_a_row=FINGERS.in_a_row),
            hang_days=max(1, round(most * cell.span.length / 7)),
            whole=round(aim),
            holds=BACK.first_holds + BACK.more_holds * back.nth if back else None,
            climb_longer=all(phase is Phase.BUILDING for _, phase in self._almanac.hurts(first)),
        )

    def _courses(self, cell: Cell, serving: Serving) -> tuple[Course, ...]:
        assert cell.given is not None
        hurts = self._almanac.hurts(cell.span.first)
        courses = serving.courses(_menu_name(cell.given.kind, hurts), cell.span.first)
        if self.hangs(cell):
            return tuple(course for course in courses if course != (HURT,))
        light = (LIGHT,) if injury.finger_recipes(hurts) is None else (HURT,)
        return tuple(light if course == (HURT,) else course for course in courses)


def is_return(cell: Cell) -> bool:
    """Whether a part comes back in it."""
    return cell.given is not None and cell.given.kind is Kind.RETURN


def _menu_name(kind: Kind, hurts: injury.Hurts) -> str:
    """While a leg bears nothing there is what sits or lies, while legs alone come back work for
    sound arms; arms that come back do slow work early."""
    if kind is Kind.INJURED:
        off = {injury.region(part) for part, phase in hurts if phase is Phase.OFF}
        return LEGS[kind] if "lower" in off else kind.value
    where = {injury.region(part) for part, _ in hurts}
    if where == {"lower"}:
        return LEGS[kind]
    return "return upper" if "upper" in where else kind.value


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
