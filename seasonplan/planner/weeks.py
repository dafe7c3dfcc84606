"""The week of each cell for whatever block it may lie in, and what it is worth in points.

Weeks are composed once for what they are for (menu, light, lead-in, test), and kept; frames alike
get weeks alike. Worth is straight in the levels, so every week has one number. Enforces
`session-progression` and `session-test`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from copy import copy
from dataclasses import replace
from datetime import date
from functools import cached_property
from math import inf

from seasonplan.body.almanac import Almanac
from seasonplan.body.response import Dose
from seasonplan.body.worth import Aims
from seasonplan.days import Span, week_start
from seasonplan.planner.begun import just_over, over_part, still_planned
from seasonplan.planner.candidates import Role, Variant
from seasonplan.planner.care import is_young
from seasonplan.planner.compose import compose
from seasonplan.planner.fingers import FingerAsk, Splitter
from seasonplan.planner.frame import Frame
from seasonplan.planner.frames import Frames
from seasonplan.planner.grid import Cell, Column, Grid
from seasonplan.planner.kept import Composed, ComposedWeek, Kept, book_key, sums
from seasonplan.planner.levels import Levels
from seasonplan.planner.menus import LEAD_IN, Course, Serving, finger_table, making, menu_name
from seasonplan.planner.returning import Returning
from seasonplan.planner.rock import RockCalendar
from seasonplan.planner.rock_day import RockDay, Taken
from seasonplan.planner.standing import Item
from seasonplan.planner.values import Values
from seasonplan.planner.week_order import Order, over_share
from seasonplan.recipes import Recipe, recipes
from seasonplan.rules.statements import RuleBook
from seasonplan.rules.tables import composing, response_table, week_shares
from seasonplan.vocabulary import EMPHASES, Emphasis, Kind, RockRole

TEST_WEEK_DAYS = 5
NO_ROLE = Role(0, light=False, lead_in=False, last=False)


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
        self.taken = taken or {}
        self.book: Mapping[str, Recipe] = recipes(self.almanac.year.recipes)
        self.known_done: Mapping[date, float] = grid.accepted.done if grid.accepted else done or {}
        self.done = self.known_done if rules.active("missed-weeks") else {}
        borne = grid.accepted.borne(self.almanac) if grid.accepted else {}
        back = rules.active("build-back") is not None
        hurt = rules.active("injury-caps") is not None
        levels = Levels(self.almanac, done=self.done, borne=borne, back=back, hurt=hurt)
        self.levels = levels.bounded(caps) if caps else levels
        self._book_key = book_key(self.almanac.year)
        self._splitters: dict[tuple[date, Kind], Splitter] = {}
        self._worth: dict[object, float] = {}
        self._look(self._rock_days())

    def _rock_days(self) -> dict[date, RockDay]:
        """The rock calendar under the levels of now."""
        return RockCalendar(
            self.almanac, self.levels, book=self.book, rules=self.rules, taken=self.taken
        ).days

    def _look(self, rock: dict[date, RockDay]) -> None:
        """What the days allow with those days on rock; no week is known yet."""
        self.rock = rock
        made = Frames(
            self.almanac, self.levels, rock, book=self.book, rules=self.rules, taken=self.taken
        )
        self.frames: tuple[Frame, ...] = tuple(made.frame(cell) for cell in self.grid.cells)
        for name in ("_holds", "usable"):
            self.__dict__.pop(name, None)
        self._known: dict[tuple[object, ...], ComposedWeek] = {}
        self._held: dict[tuple[Kind, Emphasis], float] = {}
        self._kept: dict[int, Kept] = {}
        self._normal: dict[tuple[int, Kind, Emphasis], float] = {}
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
        rock = other._rock_days()
        if rock != self.rock:
            other._look(rock)
            return other
        levels = [other.levels.of(frame.span.first) for frame in self.frames]
        other.frames = tuple(map(Frame.on_level, self.frames, levels))
        same = {n for n, level in enumerate(levels) if level == self.frames[n].level}
        other._known = {key: week for key, week in self._known.items() if key[0] in same}
        other._normal = {key: load for key, load in self._normal.items() if key[0] in same}
        return other

    @cached_property
    def aims(self) -> Aims:
        """What form is worth this year."""
        return Aims(self.almanac)

    @cached_property
    def values(self) -> Values:
        """What doses and loads are worth, week by week."""
        return Values(self.grid, self.aims)

    @property
    def rock_that_counts(self) -> tuple[date, ...]:
        """The chosen days on rock that serve a goal, in order."""
        return tuple(day for day, one in self.rock.items() if one.counts)

    @cached_property
    def _serving(self) -> Serving:
        return Serving(self.almanac)

    @cached_property
    def _holds(self) -> float:
        """The most load that the fullest free week holds at home, whatever the emphasis."""
        return max(self._held_by(Kind.BASE, emphasis) for emphasis in EMPHASES[Kind.BASE])

    def _held_by(self, kind: Kind, emphasis: Emphasis) -> float:
        """The same for one menu."""
        key = (kind, emphasis)
        if key not in self._held:
            self._held[key] = self._most_held(kind, emphasis)
        return self._held[key]

    def _most_held(self, kind: Kind, emphasis: Emphasis) -> float:
        name = menu_name(kind, emphasis)
        whole = [c for c in self.grid.cells if c.given is None and c.span.length == 7]
        free = [cell for cell in whole if not self.frames[cell.index].level.back]
        free = [cell for cell in free if not self.frames[cell.index].has_rock] or free
        if not free:
            return inf
        fullest = max(free, key=lambda cell: (self.frames[cell.index].free_minutes, -cell.index))
        frame = self.frames[fullest.index]
        aim = 2 * self.levels.body.top
        fingers = self._fingers(frame, name, kind, light=False, aim=aim)
        courses = self._serving.courses(name, fullest.span.first)
        order = Order(kind, courses, aim, fingers, makes=making(kind, emphasis))
        items = compose(frame, order, book=self.book)
        return sum(item.load for item in items if item.role is None)

    @cached_property
    def usable(self) -> frozenset[str]:
        """Recipes that the gear, the body and some day's free time allow."""
        most: dict[frozenset[str], int] = {}
        for day in (day for frame in self.frames for day in frame.days):
            most[day.allowed] = max(day.minutes, most.get(day.allowed, 0))
        takes = {name: self.frames[0].takes(recipe) for name, recipe in self.book.items()}
        return frozenset(n for some, minutes in most.items() for n in some if takes[n] <= minutes)

    # --- one week -------------------------------------------------------------------------------

    def week(self, cell: Cell, column: Column, variant: Variant, role: Role) -> ComposedWeek:
        """The week of a cell in a candidate of that variant."""
        test = role.last and self.tests(column, cell)
        key = (cell.index, column.kind, variant.emphasis, role.light, role.lead_in, test)
        if key not in self._known:
            order = self._order(cell, column.kind, variant.emphasis, role, test=test)
            kept = still_planned(
                self.grid, cell, column, variant, frame=self.frames[cell.index], book=self.book
            )
            made = self._done(cell, order) if kept is None else self._made(kept, order, *sums(kept))
            self._known[key] = made
        return self._known[key]

    def given(self, cell: Cell) -> ComposedWeek:
        """The week of a cell that is given: rock on trips, what is allowed while hurt."""
        assert cell.given is not None
        key = (cell.index,)
        if key not in self._known:
            self._known[key] = self._done(cell, self._given_order(cell))
        return self._known[key]

    def worth(self, cell: Cell, column: Column, variant: Variant, role: Role) -> float:
        """Points of the week of a cell in a candidate.

        Of a week that has begun, what is over is counted with it where both lie in one block.
        """
        week = self.week(cell, column, variant, role)
        key = (cell.index, week.dose, week.load, week.rock, column.first < cell.index)
        if key not in self._worth:
            span, dose, load = cell.span, week.dose, week.load
            over = self._over_part
            if over is not None and over[0] == cell.index - 1 and column.first < cell.index:
                span = Span(self.grid.cells[over[0]].span.first, span.after)
                dose = tuple(a + b for a, b in zip(dose, over[1], strict=True))
                load += over[2]
            self._worth[key] = self.values.of(span, dose, load) + week.rock
        return self._worth[key]

    def worth_over(self, column: Column) -> float:
        """Points of the part of this week that is over, in a block that ended with it."""
        over = self._over_part
        if over is None or over[0] != column.last:
            return 0.0
        return self.values.of(self.grid.cells[over[0]].span, over[1], over[2])

    @cached_property
    def _over_part(self) -> tuple[int, Dose, float] | None:
        return over_part(self.grid, self.book)

    def tests(self, column: Column, cell: Cell) -> bool:
        """Whether a test is due in the last week of a block."""
        rule = self.rules.active("session-test")
        return (
            rule is not None
            and column.kind in (Kind.BASE, Kind.STRENGTH)
            and column.days >= 7 * rule.number
            and cell.span.length >= TEST_WEEK_DAYS
        )

    # --- orders -----------------------------------------------------------------------------------

    def _order(
        self, cell: Cell, kind: Kind, emphasis: Emphasis, role: Role, *, test: bool
    ) -> Order:
        frame, shares = self.frames[cell.index], week_shares()
        lead_in = role.lead_in and self.rules.active("lead-in-volume") is not None
        name = menu_name(kind, emphasis, lead_in=lead_in)
        share = getattr(shares, kind.value)
        if lead_in:
            share = shares.lead_in
        elif role.light:
            share *= shares.light
        part = frame.days_home / 7
        usual, most = frame.level.load * min(1.0, frame.level.share) * part, inf
        if not frame.has_rock:
            usual = min(usual, self._holds * part)
            if kind in (Kind.BASE, Kind.STRENGTH):
                most = self._held_by(kind, emphasis) * part
        aim = min(usual * share, most)
        if role.light:
            aim = min(aim, self._light_aim(cell, kind, emphasis))
        spent = self._spent(cell)
        week = week_start(cell.span.first, self.almanac.week_begins)
        over = 1.0 if self.levels.after_missed(week) else over_share(self.rules)
        if spent and part:
            aim = min(aim, max(0.0, aim / part - spent))
        return Order(
            kind=kind,
            courses=self._courses(name, cell),
            aim=round(aim),
            fingers=self._fingers(
                frame, self._serving.hangs(name, frame.span.first), kind, light=role.light, aim=aim
            ),
            light=role.light,
            lead_in=lead_in,
            test=test and not role.lead_in,
            course_first=emphasis is Emphasis.POWER,
            makes=frozenset() if lead_in else making(kind, emphasis),
            whole=round(usual * getattr(shares, kind.value)),
            over=over,
            slack=self._slack(frame, beyond=over * aim + spent, part=1.0 if spent else part),
        )

    def _spent(self, cell: Cell) -> float:
        """The load of the days that are over of the week in which a cell lies."""
        over = self._over_part
        return over[2] if over is not None and over[0] == cell.index - 1 else 0.0

    def _slack(self, frame: Frame, *, beyond: float, part: float) -> float:
        """How far hangs may go beyond: in weeks back no further than their share of the most."""
        level, usual = frame.level, composing().fit.slack_load
        if level.back is None or not level.by_steps:
            return usual
        return min(usual, max(0.0, level.share * self.levels.body.top * part - beyond))

    def _light_aim(self, cell: Cell, kind: Kind, emphasis: Emphasis) -> float:
        """Lighter than what a normal week really holds, and than the week before where life made
        that one small."""
        holds = self._normal_load(cell, kind, emphasis)
        if kind not in (Kind.BASE, Kind.STRENGTH):
            return week_shares().light * holds
        return self._lighter(cell, holds)

    def _lighter(self, cell: Cell, holds: float) -> float:
        fit = composing().fit
        before = fit.light_after * self.frames[cell.index].before_share
        return min(week_shares().light * holds, max(before, fit.light_least) * holds)

    def _normal_load(self, cell: Cell, kind: Kind, emphasis: Emphasis) -> float:
        """What a week of its kind that is for nothing special holds."""
        key = (cell.index, kind, emphasis)
        if key not in self._normal:
            order = self._order(cell, kind, emphasis, NO_ROLE, test=False)
            self._normal[key] = self._composed(cell, order).load
        return self._normal[key]

    def _courses(self, name: str, cell: Cell) -> tuple[Course, ...]:
        key = (name, cell.index)
        if key not in self._served:
            self._served[key] = self._serving.courses(name, cell.span.first)
        return self._served[key]

    @cached_property
    def _short_days(self) -> int:
        """Minutes of the longest usual day at home but one."""
        return sorted(self.almanac.year.climber.minutes.on(day) for day in range(7))[-2]

    def _splitter(self, frame: Frame, kind: Kind) -> Splitter:
        key = (frame.span.first, kind)
        if key not in self._splitters:
            self._splitters[key] = Splitter(
                self.book,
                self.almanac.year.sessions.spread_in("", kind.value),
                frozenset.intersection(*(day.allowed for day in frame.days)),
                short_days=self._short_days,
                young=is_young(self.almanac, frame.span.first, rules=self.rules),
                share=frame.level.hang_share,
            )
        return self._splitters[key]

    def _fingers(
        self, frame: Frame, name: str, kind: Kind, *, light: bool, aim: float
    ) -> FingerAsk:
        table = finger_table()
        if name not in table.seconds:
            return FingerAsk()
        seconds = min(table.seconds[name], frame.level.hang_seconds)
        if frame.level.back is not None:
            seconds = min(seconds, table.a_session * frame.level.back.finger_days[frame.level.nth])
        light = light and not name.startswith(LEAD_IN)
        bound = table.bound["seconds_a_load"] * aim / (table.light_week if light else 1.0)
        seconds = min(seconds, bound)
        days = frame.level.finger_days
        part = frame.days_home / 7
        return self._splitter(frame, kind).ask(
            seconds * max(part, 0.3), most_days=max(1, round(days * part)), light=light, part=part
        )

    def _given_order(self, cell: Cell) -> Order:
        order = self._returning.order(cell, self.frames[cell.index], serving=self._serving)
        if not self.light_while_hurt(cell):
            return order
        aim = self._lighter(cell, self._composed(cell, order).load)
        return replace(order, aim=round(aim), light=True, climb_longer=False)

    def light_while_hurt(self, cell: Cell) -> bool:
        """Whether it is a light week of a return from an injury."""
        return self._returning.light(cell)

    @cached_property
    def _returning(self) -> Returning:
        return Returning(self.almanac, self.rules)

    # --- composing --------------------------------------------------------------------------------

    def _done(self, cell: Cell, order: Order) -> ComposedWeek:
        found = self._composed(cell, order)
        return self._made(found.items, order, found.dose, found.load)

    def _made(self, items: tuple[Item, ...], order: Order, dose: Dose, load: float) -> ComposedWeek:
        return ComposedWeek(items, dose, load, self._rock_points(items), order.aim)

    def _composed(self, cell: Cell, order: Order) -> Composed:
        """The sessions of a cell; a frame just like another's gets the same, moved in time."""
        kept = self._kept.get(cell.index)
        if kept is None:
            frame = self.frames[cell.index]
            done = just_over(self.grid, cell, frame=frame, book=self.book)
            kept = Kept(frame, book=self.book, book_key=self._book_key, done=done)
            self._kept[cell.index] = kept
        return kept.composed(order)

    def _rock_points(self, items: Sequence[Item]) -> float:
        easy = response_table().easy_day
        return sum(
            self.rock[item.day].counts * (1.0 if item.role is RockRole.PROJECT else easy)
            for item in items
            if item.rock is not None and item.day in self.rock
        )
