"""What a week holds while a part is hurt or comes back: its load by steps, light hangs, courses.

The steps of its load are `weeks_back`. Enforces `injury-caps` (loads).
"""

from __future__ import annotations

from seasonplan import injury
from seasonplan.body.almanac import Almanac
from seasonplan.planner.care import is_young
from seasonplan.planner.fingers import FINGERS, FingerAsk
from seasonplan.planner.frame import Frame
from seasonplan.planner.grid import Cell
from seasonplan.planner.hang_levels import bars_hard_hangs
from seasonplan.planner.menus import Course, Serving
from seasonplan.planner.week_order import Order
from seasonplan.planner.weeks_back import BACK, WeekBack, WeeksBack
from seasonplan.rules.statements import RuleBook
from seasonplan.vocabulary import Kind, Phase

RETURN = Kind.RETURN.value
LEGS = {Kind.INJURED: "injured lower", Kind.RETURN: "return lower"}
HURT, LIGHT = "return-fingers", "fingerboard-often"  # the first only where a finger is hurt


class Returning:
    """The weeks of a year in which something is hurt."""

    def __init__(self, almanac: Almanac, rules: RuleBook) -> None:
        self._almanac, self._rules = almanac, rules
        self._weeks = WeeksBack(almanac, rules)

    def light(self, cell: Cell) -> bool:
        """Whether it is a light week of a return."""
        back = self._week(cell)
        return back is not None and back.light

    def hangs(self, cell: Cell) -> bool:
        """Whether hard hangs go on, as nothing hurt bars them."""
        back = cell.given is not None and cell.given.kind is Kind.RETURN
        return back and not any(bars_hard_hangs(self._almanac, day) for day in cell.span.days())

    def order(self, cell: Cell, frame: Frame, *, serving: Serving) -> Order:
        """What its week is for; as a normal one, also where it is light."""
        assert cell.given is not None
        kind, first = cell.given.kind, cell.span.first
        if kind not in (Kind.INJURED, Kind.RETURN):
            return Order(kind, (), 0.0, FingerAsk())
        back = self._week(cell)
        days = cell.span.length - sum(day.kept_free for day in frame.days)
        aim = frame.level.load * min(self._fill(cell), frame.level.share) * days / 7
        young = is_young(self._almanac, first, rules=self._rules)
        most = FINGERS.young_light_sessions if young else FINGERS.hurt_light_sessions
        return Order(
            kind,
            self._menu(cell, serving),
            round(aim),
            FingerAsk(in_a_row=FINGERS.in_a_row),
            hang_days=max(1, round(most * cell.span.length / 7)),
            whole=round(aim),
            holds=BACK.first_holds + BACK.more_holds * back.nth if back else None,
            climb_longer=all(phase is Phase.BUILDING for _, phase in self._almanac.hurts(first)),
        )

    def _week(self, cell: Cell) -> WeekBack | None:
        if cell.given is None or cell.given.kind is not Kind.RETURN:
            return None
        return self._weeks.of(cell.span.first)

    def _fill(self, cell: Cell) -> float:
        """The share of a usual week that may be filled."""
        if self._rules.active("injury-caps") is None:
            return 1.0
        fill = injury.fill_share(self._almanac.hurts(cell.span.first))
        back = self._week(cell)
        return min(fill, back.share) if back else fill

    def _menu(self, cell: Cell, serving: Serving) -> tuple[Course, ...]:
        assert cell.given is not None
        hurts, kind = self._almanac.hurts(cell.span.first), cell.given.kind
        name = _menu_name(kind, hurts)
        named, courses = injury.finger_recipes(hurts), serving.courses(name, cell.span.first)
        if self.hangs(cell):
            return tuple(course for course in courses if course != (HURT,))
        light = (HURT,) if named is not None else (LIGHT,)
        return tuple(light if course == (HURT,) else course for course in courses)


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
