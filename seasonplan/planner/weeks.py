"""The week of each cell for whatever block it may lie in, and what it is worth in points.

Weeks are composed once for what they are for (menu, light, lead-in, test), and kept; frames alike
get weeks alike. Worth is straight in the levels, so every week has one number. Enforces
`session-progression`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from copy import copy
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cached_property
from math import inf
from statistics import mean

from seasonplan.body.almanac import Almanac
from seasonplan.body.newcomer import is_new
from seasonplan.body.worth import Aims
from seasonplan.days import Span
from seasonplan.planner.begun import just_over, over_part, still_planned
from seasonplan.planner.by_steps import BySteps
from seasonplan.planner.candidates import TRAINED_IN_WAVES, Role
from seasonplan.planner.compose import compose
from seasonplan.planner.finger_weeks import FingerWeeks
from seasonplan.planner.fingers import KEPT, FingerAsk
from seasonplan.planner.frame import Frame
from seasonplan.planner.frames import Frames
from seasonplan.planner.grid import Cell, Grid
from seasonplan.planner.in_season import between, in_turn
from seasonplan.planner.kept import ComposedWeek, Kept
from seasonplan.planner.lead_in import beside, opening
from seasonplan.planner.levels import Levels
from seasonplan.planner.menus import Course, Serving, finger_table, making, menu_name
from seasonplan.planner.returning import RETURN, is_return
from seasonplan.planner.rock import RockCalendar
from seasonplan.planner.rock_day import Dates, Taken, opens
from seasonplan.planner.standing import Item
from seasonplan.planner.values import Amount, Values
from seasonplan.planner.week_order import Order, over_share
from seasonplan.recipes import Recipe, recipes
from seasonplan.rules.statements import RuleBook
from seasonplan.rules.tables import composing, response_table, week_shares
from seasonplan.vocabulary import EMPHASES, Emphasis, Kind, RockRole

WEEKS_BEFORE = 4  # a lead-in: it is to be shorter than those at home
WHOLE_WEEK = 7


@dataclass(frozen=True)
class _OfCell:
    """What was asked of a cell before: weeks by their role (None: it is given), orders, amounts."""

    kept: Kept
    weeks: dict[Role | None, ComposedWeek] = field(default_factory=dict)
    orders: dict[Role, Order] = field(default_factory=dict)
    amounts: dict[Role, Amount] = field(default_factory=dict)


class Weeks:
    """Every week that the plan of a year may hold."""

    def __init__(
        self,
        grid: Grid,
        rules: RuleBook,
        *,
        taken: Taken | None = None,
        caps: Mapping[date, float] | None = None,
        done: Mapping[date, float] | None = None,
    ) -> None:
        """`caps` bound the load of single weeks, by their first day; `done` is the share to which
        weeks were done that were missed in part, where no accepted plan says it."""
        self.grid = grid
        self.almanac: Almanac = grid.almanac
        self.rules = rules
        self.book: Mapping[str, Recipe] = recipes(self.almanac.year.recipes)
        self._dates = Dates(self.almanac, book=self.book, rules=rules, taken=taken or {})
        self.known_done: Mapping[date, float] = grid.accepted.done if grid.accepted else done or {}
        self.done = self.known_done if rules.active("missed-weeks") else {}
        borne = grid.accepted.borne(self.almanac) if grid.accepted else {}
        back = rules.active("build-back") is not None
        hurt = rules.active("injury-caps") is not None
        levels = Levels(self.almanac, done=self.done, borne=borne, back=back, hurt=hurt)
        self.levels = levels.bounded(caps or {})
        self._book_key = repr(self.almanac.year.recipes)
        self._look(RockCalendar(self._dates, self.levels))

    def _look(self, calendar: RockCalendar) -> None:
        """What the days allow with those days on rock; no week is known yet."""
        self._calendar, self.rock, self.returning = calendar, calendar.days, calendar.returning
        made = Frames(self._dates, self.levels, self.rock)
        self.frames: tuple[Frame, ...] = tuple(made.frame(cell) for cell in self.grid.cells)
        for name in ("_holds", "usable", "_usable"):
            self.__dict__.pop(name, None)
        self._held: dict[str, float] = {}
        self._cells: dict[int, _OfCell] = {}
        self.rock_that_counts = tuple(day for day, one in self.rock.items() if one.counts)
        self._whole_rock = [day for day in self.rock_that_counts if not opens(self.rock[day])]
        self._over_part = over_part(self.grid, self.book)
        self._served: dict[tuple[str, int], tuple[Course, ...]] = {}

    def under(self, rules: RuleBook) -> Weeks:
        """The same weeks under a book in which only rules differ that no week asks about."""
        other = copy(self)
        other.rules = rules
        return other

    def bounded(self, caps: Mapping[date, float]) -> Weeks:
        """The same weeks where some hold no more than that, by their first day; the others stand
        as long as the days on rock do."""
        other = copy(self)
        other.levels = self.levels.bounded(caps)
        calendar = self._calendar.bounded(other.levels)
        if calendar.days != self.rock:
            other._look(calendar)
            return other
        levels = [other.levels.of(frame.span.first) for frame in self.frames]
        same = {n for n, level in enumerate(levels) if level == self.frames[n].level}
        other.frames = tuple(
            frame if n in same else replace(frame, level=levels[n])
            for n, frame in enumerate(self.frames)
        )
        same = set() if any(map(is_return, self.grid.cells)) else same  # weeks lean on others
        other._cells = {n: one for n, one in self._cells.items() if n in same}
        return other

    @cached_property
    def values(self) -> Values:
        """What doses and loads are worth, week by week."""
        return Values(self.grid, Aims(self.almanac))

    @cached_property
    def _serving(self) -> Serving:
        return Serving(self.almanac, self.rules)

    @cached_property
    def _holds(self) -> float:
        """The most load that the fullest free week holds at home, whatever the emphasis."""
        return max(self._held_by(Kind.BASE, emphasis) for emphasis in EMPHASES[Kind.BASE])

    def _held_by(self, kind: Kind, emphasis: Emphasis) -> float:
        """The same for one menu."""
        name = menu_name(kind, emphasis)
        if name not in self._held:
            self._held[name] = self._most_held(name, kind, emphasis)
        return self._held[name]

    def _most_held(self, name: str, kind: Kind, emphasis: Emphasis) -> float:
        whole = [c for c in self.grid.cells if c.given is None and c.span.length == 7]
        free = [c for c in whole if not self.frames[c.index].level.back]
        free = [c for c in free if not self.frames[c.index].has_rock] or free
        if not free:
            return inf
        cell = max(free, key=lambda one: self.frames[one.index].free_minutes)  # of equals the first
        aim = 2 * self.levels.body.top
        fingers = self._fingers(cell, name, Role(kind, emphasis), aim=aim)
        courses = self._serving.courses(name, cell.span.first)
        order = Order(kind, courses, aim, fingers, makes=making(kind, emphasis))
        items = compose(self.frames[cell.index], order, book=self.book)
        return sum(item.load for item in items if item.role is None)

    @cached_property
    def usable(self) -> frozenset[str]:
        """Recipes that the gear, the body and some day's free time allow."""
        return frozenset().union(*self._usable)

    @cached_property
    def _usable(self) -> list[frozenset[str]]:
        """The same of each frame."""
        return [frame.usable(self.book) for frame in self.frames]

    # --- one week -------------------------------------------------------------------------------

    def week(self, cell: Cell, role: Role) -> ComposedWeek:
        """The week of a cell that is for that."""
        known = self._of(cell).weeks
        if role not in known:
            order = self._in_turn(cell, role, self._order(cell, role))
            known[role] = self._composed(cell, role, order)
        return known[role]

    def given(self, cell: Cell) -> ComposedWeek:
        """The week of a cell that is given: rock on trips, what is allowed while hurt."""
        known = self._of(cell).weeks
        if None not in known:
            known[None] = self._composed(cell, None, self._given_order(cell))
        return known[None]

    def _composed(self, cell: Cell, role: Role | None, order: Order) -> ComposedWeek:
        kept = still_planned(self.grid, cell, role, self.frames[cell.index], self.book)
        if kept is None:
            return self._of(cell).kept.composed(order)
        return ComposedWeek.of(cell.span.first, kept, aim=order.aim)

    def amount(self, cell: Cell, role: Role) -> Amount:
        """What the week of a cell holds in a candidate.

        Of a week that has begun, what is over is counted with it where both lie in one block.
        """
        known = self._of(cell).amounts
        found = known.get(role)
        if found is None:
            week = self.week(cell, role)
            found = known[role] = self._counted(cell, week, goes_on=role.goes_on)
        return found

    def _counted(self, cell: Cell, week: ComposedWeek, *, goes_on: bool) -> Amount:
        span, dose, load, over = cell.span, week.dose, week.load, self._over_part
        if over is not None and goes_on:
            span = Span(self.grid.cells[over.cell].span.first, span.after)
            dose = tuple(a + b for a, b in zip(dose, over.dose, strict=True))
            load += over.load
        points = self.values.of(span, dose, load) + self.rock_points(week.on_rock)
        rock = [self.rock[item.day] for item in week.on_rock]
        return Amount(points, len(rock), sum(one.good for one in rock))

    def worth_over(self, last: int) -> float:
        """Points of the part of this week that is over, in a block that ended with that cell."""
        over = self._over_part
        if over is None or over.cell != last:
            return 0.0
        return self.values.of(self.grid.cells[over.cell].span, over.dose, over.load)

    # --- orders -----------------------------------------------------------------------------------

    def _order(self, cell: Cell, role: Role) -> Order:
        known = self._of(cell).orders
        if role not in known:
            known[role] = self._ordered(cell, role)
        return known[role]

    def _ordered(self, cell: Cell, role: Role) -> Order:
        kind, emphasis, frame = role.kind, role.emphasis, self.frames[cell.index]
        lead_in = role.lead_in and self.rules.active("lead-in-volume") is not None
        name = menu_name(kind, emphasis, lead_in=lead_in)
        if self._between(frame, role):
            name = self._serving.between(emphasis, cell.span.first)
        courses = self._courses(name, cell)
        normal = self._normal_week(cell, role) if role.light or role.test else None
        aim, part = self._aim(cell, role, lead_in=lead_in, normal=normal), frame.days_home / 7
        spent = self.spent(cell)
        week = self.almanac.week_of(cell.span.first)
        over = 1.0 if self.levels.after_missed(week) else over_share(self.rules)
        if spent and part:
            aim = min(aim, max(0.0, aim / part - spent))
        share = getattr(week_shares(), kind) if frame.has_rock else 0.0
        tested = finger_table().test_week if role.test and not role.light else 1.0
        fingers = self._fingers(
            cell, self._serving.hangs(name, frame.span.first), role, aim=aim,
            most=tested * normal.hard_seconds if normal else inf,
        )  # fmt: skip
        unhung = kind is Kind.STRENGTH and not fingers.hangs  # who has no board
        order = Order(
            kind=kind,
            courses=normal.as_hard(courses, self.book) if role.light and normal else courses,
            aim=round(aim),
            fingers=fingers,
            light=role.light,
            lead_in=lead_in,
            test=role.test,
            course_first=emphasis is Emphasis.POWER or unhung,
            hard=max(1, normal.hard_sessions - role.light - 2 * role.test) if normal else 99,
            makes=frozenset() if lead_in else making(kind, emphasis) & self._usable[cell.index],
            whole=round(frame.level.load * part * frame.level.share * share),
            over=over,
            hard_climb=not is_new(self.almanac.year, frame.span.first),
            slack=self._slack(frame, beyond=over * aim + spent, part=1.0 if spent else part),
        )
        return self._by_steps().after(self._beside_opening(cell, order, emphasis), cell, frame)

    def _beside_opening(self, cell: Cell, order: Order, emphasis: Emphasis) -> Order:
        frame = self.frames[cell.index]
        before = self._minutes_before(cell) if order.lead_in and opening(frame) else []
        return beside(order, frame, mean(before), emphasis, book=self.book) if before else order

    def _minutes_before(self, cell: Cell) -> list[int]:
        """Of the weeks at home before a cell the least minutes of a normal one that is full."""
        found = []
        for back in self.grid.cells[max(0, cell.index - WEEKS_BEFORE) : cell.index]:
            frame = self.frames[back.index]
            if back.given is None and not frame.has_rock and frame.days_home == WHOLE_WEEK:
                roles = (Role(k, one) for k in TRAINED_IN_WAVES for one in EMPHASES[k])
                weeks = [self._normal_week(back, role) for role in roles]
                full = response_table().filled * max(week.load for week in weeks)
                found.append(min(week.minutes for week in weeks if week.load >= full))
        return found

    def _between(self, frame: Frame, role: Role) -> bool:
        """Whether it is a week without rock inside a season, for nothing special."""
        if role.kind is not Kind.PERFORMANCE or role.light or role.lead_in or frame.has_rock:
            return False
        rock = [day for day, one in self.rock.items() if one.counts and not one.first]
        return between(frame.span, rock)

    def _by_steps(self) -> BySteps:
        return BySteps(self.grid, self.returning, given=self.given, rock=self.rock, book=self.book)

    def _in_turn(self, cell: Cell, role: Role, order: Order) -> Order:
        if role.kind is not Kind.PERFORMANCE:
            return order
        on_rock = sum(day in self.rock for day in cell.span.days())
        monday, kept = self.almanac.week_of(cell.span.first), self.book.get(KEPT)
        return in_turn(order, role.emphasis, monday, rock_days=on_rock, kept=kept)

    def _aim(self, cell: Cell, role: Role, *, lead_in: bool, normal: ComposedWeek | None) -> float:
        """The load of a week, as if none of its days were over."""
        kind, frame, shares = role.kind, self.frames[cell.index], week_shares()
        share = shares.lead_in if lead_in else getattr(shares, kind)
        if role.light:
            share *= shares.light
        part = frame.days_home / 7
        usual, most, back = frame.level.load * part, inf, frame.level.share
        if not frame.has_rock:
            usual = min(usual, self._holds * part)
            if kind in TRAINED_IN_WAVES:
                most = self._held_by(kind, role.emphasis) * part
        aim = min(usual * back * share, most * back)
        if normal and role.light:  # lighter than what a normal week really holds
            waves = kind in TRAINED_IN_WAVES
            light = self._lighter(cell, normal.load) if waves else shares.light * normal.load
            aim = min(aim, light)
        return aim

    def spent(self, cell: Cell) -> float:
        """The load of the days that are over of the week in which a cell lies."""
        over = self._over_part
        return over.load if over is not None and over.cell == cell.index - 1 else 0.0

    def _slack(self, frame: Frame, *, beyond: float, part: float) -> float:
        """How far hangs may go beyond: in weeks back no further than their share of the most."""
        level, usual = frame.level, composing().fit.slack_load
        if level.share == 1:
            return usual
        return min(usual, max(0.0, level.share * self.levels.body.top * part - beyond))

    def _lighter(self, cell: Cell, holds: float) -> float:
        """Than a week that holds so much, and than the one before where life made that small."""
        fit = composing().fit
        before = fit.light_after * self.frames[cell.index].before_share
        return min(week_shares().light * holds, max(before, fit.light_least) * holds)

    def _normal_week(self, cell: Cell, role: Role) -> ComposedWeek:
        """A week of its kind that is for nothing special."""
        return self._of(cell).kept.composed(self._order(cell, Role(role.kind, role.emphasis)))

    def _courses(self, name: str, cell: Cell) -> tuple[Course, ...]:
        key = (name, cell.index)
        if key not in self._served:
            frame, known = self.frames[cell.index], self._usable[cell.index]
            load = 0.0 if frame.level.share < 1 else frame.level.load  # less of the hard at first
            share = 0.0 if frame.after_little else frame.level.share
            every = self._serving.courses(name, cell.span.first, load=load, share=share)
            self._served[key] = tuple(one for one in every if not known.isdisjoint(one))
        return self._served[key]

    def _fingers(
        self, cell: Cell, name: str, role: Role, *, aim: float, most: float = inf
    ) -> FingerAsk:
        """`most`: hard seconds of a light week or one with a test."""
        frame, first = self.frames[cell.index], cell.span.first
        to_rock = next((day for day in self._whole_rock if day >= first), first) - first
        return self._finger_weeks.ask(
            frame, name, role, aim=aim, most=most, days_to_rock=to_rock.days
        )

    @cached_property
    def _finger_weeks(self) -> FingerWeeks:
        return FingerWeeks(self.almanac, self.rules, book=self.book)

    def _given_order(self, cell: Cell) -> Order:
        frame, light = self.frames[cell.index], self.returning.light(cell)
        order = self._by_steps().order(cell, frame, serving=self._serving)
        if self.returning.hangs(cell):
            role = Role(order.kind, Emphasis.NONE, light=light)
            order = order._replace(fingers=self._fingers(cell, RETURN, role, aim=order.aim))
        if light:
            aim = self._lighter(cell, self._of(cell).kept.composed(order).load)
            order = order._replace(aim=round(aim), light=True, climb_longer=False)
        return order

    def _of(self, cell: Cell) -> _OfCell:
        """What is known of a cell; frames alike have weeks alike."""
        found = self._cells.get(cell.index)
        if found is None:
            frame = self.frames[cell.index]
            done = just_over(self.grid, cell, frame=frame, book=self.book)
            kept = Kept(frame, book=self.book, book_key=self._book_key, done=done)
            found = self._cells[cell.index] = _OfCell(kept)
        return found

    def rock_points(self, items: Sequence[Item]) -> float:
        """Points of days on rock."""
        easy = response_table().easy_day
        return sum(
            self.rock[item.day].counts * (1.0 if item.role is RockRole.PROJECT else easy)
            for item in items
            if item.role is not None
        )
