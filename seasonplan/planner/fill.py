"""Blocks of a plan with their weeks and sessions, however the blocks came about.

What is over stays as it was; what the climber moved, skipped or added comes last; weeks are sums
over what is then there.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, time, timedelta
from functools import cached_property
from itertools import groupby
from typing import Any

from seasonplan.body.almanac import Almanac
from seasonplan.body.response import dose_of, hard_seconds, loads_of
from seasonplan.body.worth import occasions, rock_worth
from seasonplan.days import Span
from seasonplan.plan import Block, Cause, Occasion, RuleCost, Score, Session, Shortfall, Week
from seasonplan.planner.accepted import Accepted
from seasonplan.planner.candidates import TRAINED_IN_WAVES, Candidates, Role, Variant
from seasonplan.planner.care import harms, too_often
from seasonplan.planner.grid import Cell, Column
from seasonplan.planner.kept import ComposedWeek
from seasonplan.planner.names import Names
from seasonplan.planner.rock_weeks import OnRock, weeks_on_rock
from seasonplan.planner.softs import Softs
from seasonplan.planner.standing import Item
from seasonplan.planner.weeks import Weeks
from seasonplan.planner.wished import as_wished
from seasonplan.recipes import Recipe
from seasonplan.rules.tables import composing, response_table
from seasonplan.vocabulary import Kind, usual_emphasis
from seasonplan.year import FixedSession

USUAL_RPE = composing().fit.missing_rpe  # what missing load is told at, in minutes


ByDay = Mapping[date, Sequence[Session]]


@dataclass(frozen=True, slots=True)
class Filled:
    """Blocks with weeks, sessions in order, what could not be fitted, and what it is worth."""

    blocks: tuple[Block, ...]
    sessions: tuple[Session, ...]
    shortfalls: tuple[Shortfall, ...]
    score: Score


def fill(
    weeks: Weeks,
    candidates: Candidates,
    blocks: Sequence[Block],
    *,
    accepted: Accepted | None = None,
) -> Filled:
    """The sessions and weeks of blocks that begin and end where the cells of the grid do.

    With `accepted`, sessions of days before its today stay.
    """
    return _Filling(weeks, candidates, blocks, accepted).filled()


def week_sums(sessions: Sequence[Session], book: Mapping[str, Recipe]) -> dict[str, Any]:
    """What a week is as the sum of its sessions, by fields of `Week`."""
    load = sum(one.load for one in sessions)
    active = sum(one.minutes * one.active_share for one in sessions)
    known = [(one, book[one.recipe]) for one in sessions if one.recipe in book]
    return {
        "minutes": sum(one.minutes for one in sessions),
        "training_days": len({one.day for one in sessions if one.minutes}),
        "rpe": round(load / active, 2) if active else 0.0,
        "loads": loads_of(sessions, book),
        "hard_seconds": sum(hard_seconds(one, recipe) for one, recipe in known),
        "rock_days": len({one.day for one in sessions if one.role is not None}),
        "max_fingers": any(recipe.max_fingers for _, recipe in known),
    }


@dataclass(frozen=True, slots=True)
class FilledCell:
    """A cell with its block, what was composed for it, its role, and which week of its block it
    lies in, from 0."""

    block: Block
    cell: Cell
    week: ComposedWeek
    role: Role
    nth: int


def _span(parts: Sequence[FilledCell]) -> Span:
    return Span(parts[0].cell.span.first, parts[-1].cell.span.after)


@dataclass(frozen=True)
class _Filling:
    weeks: Weeks
    candidates: Candidates
    blocks: Sequence[Block]
    accepted: Accepted | None

    @property
    def almanac(self) -> Almanac:
        return self.weeks.almanac

    @property
    def fixed(self) -> Sequence[FixedSession]:
        return self.almanac.year.fixed_sessions

    def filled(self) -> Filled:
        wished = as_wished(
            self._placed, self.blocks, self.fixed, self.weeks.book, harms=self._harms
        )
        wished = self._seldom(wished)
        by_day: dict[date, list[Session]] = defaultdict(list)
        for session in wished:
            by_day[session.day].append(session)
        blocks = tuple(self._with_weeks(block, by_day) for block in self.blocks)
        short = [*self._still(), *self._short()]
        return Filled(blocks, wished, tuple(short), self._score(blocks, wished, by_day))

    # --- weeks --------------------------------------------------------------------------------

    @cached_property
    def by_cell(self) -> tuple[FilledCell, ...]:
        return tuple(self._cells())

    def _cells(self) -> Iterator[FilledCell]:
        """Every cell of every block, in order."""
        for block in self.blocks:
            variant = Variant(block.emphasis or usual_emphasis(block.kind), block.light_first)
            column = self._column(block)
            for cell, role in self.candidates.roles(column, variant):
                if cell.given is not None or not block.kind.chosen:
                    light, nth = self.weeks.returning.light(cell), self._week_back(block, cell)
                    back = Role(block.kind, variant.emphasis, light=light)
                    yield FilledCell(block, cell, self.weeks.given(cell), back, nth)
                else:
                    nth = self.candidates.nth(column.first, cell)
                    yield FilledCell(block, cell, self.weeks.week(cell, role), role, nth)

    def _column(self, block: Block) -> Column:
        return Column(block.kind, *self.weeks.grid.cells_of(block.span), block.span)

    def _week_back(self, block: Block, cell: Cell) -> int:
        """Weeks since a part bore nothing, or first something again over all phases, from 0."""
        if block.kind not in (Kind.INJURED, Kind.RETURN):
            return 0
        same = (b for b in self.blocks if (b.kind, b.entry) == (block.kind, block.entry))
        return (cell.span.first - min(b.span.first for b in same)).days // 7

    def _over(self, day: date) -> bool:
        return self.accepted is not None and day < self.accepted.today

    def _with_weeks(self, block: Block, by_day: ByDay) -> Block:
        """The block with its weeks, as by the calendar: only today cuts one into cells."""
        own = [part for part in self.by_cell if part.block is block]
        weeks = [list(parts) for _, parts in groupby(own, key=lambda part: part.cell.week)]
        made = tuple(
            self._week(parts, [s for d in _span(parts).days() for s in by_day[d]])
            for parts in weeks
        )
        return Block(**{**dict(block), "weeks": made})

    def _week(self, parts: Sequence[FilledCell], sessions: Sequence[Session]) -> Week:
        span, role, accepted = _span(parts), parts[-1].role, self.accepted
        made = Week(
            span=span,
            aim=round(self._aim(parts), 1),
            free_minutes=round(sum(self.almanac.minutes(d) for d in span.days()), 1),
            deload=role.light,
            lead_in=role.lead_in,
            **week_sums(sessions, self.weeks.book),
        )
        return made if accepted is None else accepted.as_it_was(made)

    def _aim(self, parts: Sequence[FilledCell]) -> float:
        """That of its parts; of what is over no less than was spent, which the rest is held to."""
        *over, last = (part.week.aim for part in parts)
        return max(sum(over), self.weeks.spent(parts[-1].cell)) + last if over else last

    # --- sessions -----------------------------------------------------------------------------

    @cached_property
    def _placed(self) -> tuple[Session, ...]:
        return tuple(self._sessions())

    def _sessions(self) -> Iterator[Session]:
        used: set[str] = set()
        for session in self._kept():
            used.add(session.id)
            yield session
        groups: dict[str, list[tuple[FilledCell, Item]]] = defaultdict(list)
        for part in self.by_cell:
            if self._over(part.cell.span.first):
                continue
            begins = self.almanac.week_of(part.cell.span.first)
            groups[f"{part.block.id}/{begins}"] += [(part, item) for item in part.week.items]
        names = Names(self.accepted.homes if self.accepted else ())
        for name, uses in groups.items():
            ids = names.of(name, [item for _, item in uses], used=used)
            for one_id, (part, item) in zip(ids, uses, strict=True):
                used.add(one_id)
                yield self._session(one_id, part, item)

    def _session(self, one_id: str, part: FilledCell, item: Item) -> Session:
        trips = (one for one in self.almanac.year.trips if one.climbing and item.day in one.span)
        return Session(
            id=one_id,
            block=part.block.id,
            recipe=item.recipe.id,
            day=item.day,
            start=time(item.start // 60 % 24, item.start % 60),
            minutes=item.minutes,
            rpe=item.recipe.rpe,
            zone=next((trip.time_zone for trip in trips), None),
            week=self._week_of(part, item),
            light=part.role.light,
            hangs=item.hangs,
            rock=item.rock,
            role=item.role,
            active_share=item.recipe.active_share,
        )

    def _week_of(self, part: FilledCell, item: Item) -> int:
        """Number of its week: on rock since that rock was new, else of the block."""
        return 1 + part.nth if item.role is None else self._rock_weeks[item.day, item.rock]

    @cached_property
    def _rock_weeks(self) -> dict[OnRock, int]:
        used = [(one.day, one.rock) for one in self._kept() if one.role is not None]
        for part in self.by_cell:
            if not self._over(part.cell.span.first):
                used += [(i.day, i.rock) for i in part.week.items if i.role is not None]
        return weeks_on_rock(self.almanac, used)

    def _kept(self) -> Iterator[Session]:
        """Sessions of days that are over, in the block that now has their day; and those of weeks
        that are over which the climber put off to a day still to come."""
        accepted = self.accepted
        if accepted is None:
            return
        week = self.almanac.week_of(accepted.today)
        put_off = {w.session for w in self.fixed if w.day and w.day >= accepted.today}
        for session in accepted.sessions:
            late = session.id in put_off and (_home(session.id) or accepted.today) < week
            if session.day < accepted.today or late:
                yield _moved_to(session, self._block_on(session.day))

    def _block_on(self, day: date) -> Block | None:
        return next((block for block in self.blocks if day in block.span), None)

    def _harms(self, recipe: str, day: date) -> bool:
        """Whether a recipe must not be done on a day; what is over is done, whatever it was."""
        known = self.weeks.book.get(recipe)
        if known is None or self._over(day):
            return False
        return harms(known, self.almanac, day, rules=self.weeks.rules)

    def _seldom(self, sessions: tuple[Session, ...]) -> tuple[Session, ...]:
        """Without what was wished and uses what has just come back hard too often."""
        ids = {w.session or f"own/{w.id}" for w in self.fixed}
        said = {s.id for s in sessions if s.id in ids and not self._over(s.day)}
        weeks = self.weeks
        gone = {*too_often(sessions, said, self.almanac, book=weeks.book, rules=weeks.rules)}
        return tuple(s for s in sessions if s.id not in gone)

    # --- what is missing ------------------------------------------------------------------------

    def _still(self) -> Iterator[Shortfall]:
        """What was missing in days that are over, in the block that now has them.

        Nothing of days that no block of base or strength has any more.
        """
        for one in self.accepted.shortfalls if self.accepted else ():
            block = self._block_on(one.span.first)
            done = self._over(one.span.last) or one.span.first in self._as_begun
            if block is not None and block.kind in TRAINED_IN_WAVES and done:
                yield Shortfall(**{**dict(one), "block": block.id})

    def _short(self) -> Iterator[Shortfall]:
        """Weeks of base and strength that the planner filled with clearly less than they aim at.

        What the climber then left out or moved is their wish, and no shortfall.
        """
        rule = self.weeks.rules.active("session-dose")
        if rule is None:
            return
        loads: dict[date, float] = defaultdict(float)
        minutes: dict[date, int] = defaultdict(int)
        for session in self._placed:
            loads[session.day] += session.load
            if session.role is None or not self.almanac.names_rock:
                minutes[session.day] += session.minutes
        for part in self.by_cell:
            block, cell, aim = part.block, part.cell, part.week.aim
            told = self._over(cell.span.first) or cell.span.first in self._as_begun
            if block.kind not in TRAINED_IN_WAVES or told:
                continue
            if any(day.away for day in self.weeks.frames[cell.index].days):
                continue
            load = sum(loads[day] for day in cell.span.days())
            if load < response_table().filled * aim:
                yield Shortfall(
                    block=block.id,
                    span=cell.span,
                    asked_minutes=round(aim / USUAL_RPE),
                    missing_minutes=max(1, round((aim - load) / USUAL_RPE)),
                    cause=self._cause(cell, aim, sum(minutes[day] for day in cell.span.days())),
                )

    @cached_property
    def _as_begun(self) -> frozenset[date]:
        """The days of a week that had begun and goes on as accepted: what was told of it stays.

        What is left of a week is not judged by itself: most of it may be done.
        """
        accepted = self.accepted
        if accepted is None:
            return frozenset()
        first = self.almanac.week_of(accepted.today)
        week = Span(first, first + timedelta(days=7))
        ahead = [day for day in week.days() if day >= accepted.today]
        was = {one for one in accepted.sessions if one.day in ahead}
        now = {one for one in self._placed if one.day in ahead}
        return frozenset(week.days()) if first < accepted.today and was == now else frozenset()

    def _cause(self, cell: Cell, aim: float, used: int) -> Cause:
        frame = self.weeks.frames[cell.index]
        week = self.almanac.year.climber.minutes
        at_home = sum(week.on(day.weekday()) for day in cell.span.days())  # without absences
        filled, enough = response_table().filled, at_home * USUAL_RPE >= aim
        if enough and frame.free_minutes < filled * at_home:
            return Cause.BUSY
        if used < filled * frame.free_minutes or frame.free_minutes * USUAL_RPE >= aim:
            return Cause.SPACING
        return Cause.BUSY if enough else Cause.HOURS

    # --- worth ----------------------------------------------------------------------------------

    def _score(self, blocks: Sequence[Block], sessions: Sequence[Session], by_day: ByDay) -> Score:
        """What the planner says the plan is worth: sums over weeks; the checker does it anew."""
        weeks, values = self.weeks, self.weeks.values
        points = values.constant
        for span in (week.span for block in blocks for week in block.weeks):
            here = [s for day in span.days() for s in by_day[day]]
            load = sum(one.load for one in here)
            points += values.of(span, dose_of(here, weeks.book), load)
        points += sum(rock_worth(self.almanac, one) for one in sessions)
        costs = self._costs(blocks)
        found = occasions(self.almanac, blocks, sessions, weeks.book, weeks.known_done)
        return Score(
            occasions=tuple(self._as_it_was(one) for one in found),
            costs=costs,
            points=points - sum(cost.points for cost in costs),
        )

    def _as_it_was(self, occasion: Occasion) -> Occasion:
        """An occasion that is over as it was told then."""
        if not self._over(occasion.span.last) or self.accepted is None:
            return occasion
        key = (occasion.goal, occasion.entry, occasion.span)
        old = {(one.goal, one.entry, one.span): one for one in self.accepted.occasions}
        return old.get(key, occasion)

    def _costs(self, blocks: Sequence[Block]) -> tuple[RuleCost, ...]:
        row = [
            (self._column(block), Variant(block.emphasis, block.light_first))
            for block in blocks
            if block.kind.chosen
        ]
        amounts = Softs(self.candidates).costs_of_all(row)
        book = self.weeks.rules
        return tuple(
            RuleCost(rule=code, amount=amount, points=book[code].weight * amount)
            for code, amount in sorted(amounts.items())
            if amount
        )


def _home(session_id: str) -> date | None:
    """The day that a session's id names: the first of its week."""
    try:
        return date.fromisoformat(session_id.split("/")[1])
    except (IndexError, ValueError):  # the climber's own
        return None


def _moved_to(session: Session, block: Block | None) -> Session:
    if block is None or block.id == session.block:
        return session
    return Session(**{**dict(session), "block": block.id})
