"""What stands on each lane of the year: rock, chances, away, plan, hours, each goal.

Reads a year and its blocks; draws nothing and decides nothing.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from enum import StrEnum
from functools import cached_property

from seasonplan.body.almanac import Almanac, Opportunity, RockSpell, almanac_of
from seasonplan.body.form import Forms
from seasonplan.days import ONE_DAY, Span
from seasonplan.explain.wall import week_load
from seasonplan.plan import Block, Session
from seasonplan.recipes import Recipe
from seasonplan.vocabulary import Kind
from seasonplan.year import Goal, Season, Year
from tui.year.named import block_title
from tui.year.weather import Weather

NO_DAY = "no day for it in this year"
WORKED_OUT = ("almanac", "times", "time_of", "forms", "rock_days", "_by_day", "_chances")


class Lane(StrEnum):
    """The sorts of lane, from the top of the sheet."""

    ROCK = "rock"
    CHANCE = "chance"
    AWAY = "away"
    PLAN = "plan"
    HOURS = "hours"
    GOAL = "goal"


@dataclass(frozen=True, slots=True)
class Mark:
    """One thing that can be pointed at. `key` is an id of its lane: block, entry or week.

    `kind` says how it is drawn; it is None for rock, weeks and goals. `rock` are the days of a
    block with a session on rock.
    """

    lane: Lane
    key: str
    span: Span
    name: str
    kind: Kind | None = None
    pinned: bool = False
    dated: bool = True  # whether its days can be changed by hand
    rock: frozenset[date] = frozenset()


@dataclass(frozen=True, slots=True)
class Row:
    """One line of things that do not overlap."""

    lane: Lane
    label: str
    marks: tuple[Mark, ...]
    goal: Goal | None = None
    weather: Weather | None = None


@dataclass(frozen=True, slots=True)
class WeekTime:
    """A calendar week: minutes planned, free at home, and of these unused; load (effort x minutes).

    `light`: a light week, or one that leads in to rock.
    """

    span: Span
    planned: float
    free: float
    unused: float
    load: float
    light: bool = False


@dataclass(frozen=True)
class Sheet:
    """A year with the blocks and sessions that stand in it, as rows."""

    year: Year
    blocks: tuple[Block, ...]
    sessions: tuple[Session, ...] = field(default=(), kw_only=True)
    book: Mapping[str, Recipe] = field(default_factory=dict, kw_only=True)
    weather: tuple[Weather, ...] = field(default=(), kw_only=True)
    done: Mapping[date, float] = field(default_factory=dict, kw_only=True)

    def with_weather(self, weather: tuple[Weather, ...]) -> Sheet:
        """The same year and blocks with other weather; what was worked out is kept."""
        other = replace(self, weather=weather)
        other.__dict__.update({n: v for n, v in self.__dict__.items() if n in WORKED_OUT})
        return other

    @cached_property
    def almanac(self) -> Almanac:
        return almanac_of(self.year)

    @cached_property
    def rows(self) -> tuple[Row, ...]:
        """Every row from the top; the plan's is there even without a plan."""
        return (
            *_rows(Lane.ROCK, self._rock()),
            *self._chance_rows(),
            *_rows(Lane.AWAY, self._away()),
            Row(Lane.PLAN, "plan", tuple(self._plan())),
            Row(Lane.HOURS, "hours", tuple(self._weeks())),
            *self._goals(),
        )

    @cached_property
    def times(self) -> tuple[WeekTime, ...]:
        """The calendar weeks with what is planned and what is free at home."""
        return tuple(self._time(week) for week in self.almanac.weeks())

    @cached_property
    def time_of(self) -> Mapping[date, WeekTime]:
        """The calendar week of each day."""
        return {day: week for week in self.times for day in week.span.days()}

    def _time(self, week: Span) -> WeekTime:
        pieces = [
            (piece, meet.length / piece.span.length)
            for block in self.blocks
            for piece in block.weeks
            if (meet := piece.span.meet(week))
        ]
        return WeekTime(
            week,
            planned=sum(piece.minutes * share for piece, share in pieces),
            free=sum(self.almanac.minutes(day) for day in week.days()),
            unused=sum(self._unused(day) for day in week.days()),
            load=week_load(week, self.blocks),
            light=any(piece.deload or piece.lead_in for piece, _ in pieces),
        )

    def _unused(self, day: date) -> float:
        """Minutes of free time at home in which no session lies."""
        held = self._by_day.get(day, ())
        return sum(
            end - start
            - sum(
                max(0, min(end, one.minute + one.minutes) - max(start, one.minute)) for one in held
            )
            for start, end in self.almanac.windows(day)
        )  # fmt: skip

    @cached_property
    def _by_day(self) -> Mapping[date, list[Session]]:
        found: dict[date, list[Session]] = {}
        for session in self.sessions:
            found.setdefault(session.day, []).append(session)
        return found

    @cached_property
    def forms(self) -> Forms:
        """The form of every goal, morning by morning."""
        return Forms(self.year, self.blocks, self.sessions, self.book, self.done)

    @cached_property
    def rock_days(self) -> frozenset[date]:
        """Days with a session on rock."""
        return frozenset(one.day for one in self.sessions if one.rock and one.minutes)

    def on_rock(self, chance: Opportunity) -> tuple[date, ...]:
        """The days of a goal's rock on which a session there is planned."""
        entry = chance.spell.entry.id
        days = {one.day for one in self.sessions if one.rock == entry and one.minutes}
        return tuple(sorted(day for day in days if day in chance.chances))

    @property
    def dearest(self) -> Opportunity | None:
        """The rock that matters most: of the highest priority, with the most possible good days."""
        return min(
            self.almanac.opportunities,
            key=lambda one: (one.goal.priority, -one.possible),
            default=None,
        )

    @cached_property
    def _chances(self) -> dict[str, dict[date, float]]:
        found: dict[str, dict[date, float]] = {goal.id: {} for goal in self.year.goals}
        for chance in self.almanac.opportunities:
            found[chance.goal.id] |= chance.chances
        return found

    def chances(self, goal: Goal) -> Mapping[date, float]:
        """The chance of a good day for a goal, on days with one."""
        return self._chances[goal.id]

    def block(self, key: str) -> Block | None:
        return next((block for block in self.blocks if block.id == key), None)

    def block_of(self, mark: Mark) -> Block | None:
        """The block that a mark stands for."""
        return self.block(mark.key)

    # --- rows ---------------------------------------------------------------------------------

    def _rock(self) -> Iterator[Mark]:
        for spell in self.almanac.spells:
            yield Mark(Lane.ROCK, spell.entry.id, spell.span, spell.entry.name, dated=False)

    def _chance_rows(self) -> Iterator[Row]:
        """A row for each place and discipline with weather records."""
        places = [one.subject.place.name for one in self.weather]
        for one in self.weather:
            alone = places.count(one.subject.place.name) == 1
            label = one.subject.place.name if alone else one.short_name
            yield Row(Lane.CHANCE, label, tuple(self._chance_marks(one)), weather=one)

    def _chance_marks(self, one: Weather) -> Iterator[Mark]:
        """The seasons of the place, and what lies between them."""
        free = self.year.span.first
        for spell in self.almanac.spells:
            if not isinstance(spell.entry, Season) or not one.subject.is_of(spell.entry):
                continue
            if free < spell.span.first:
                yield _between(one, Span(free, spell.span.first))
            yield Mark(Lane.CHANCE, chance_key(spell), spell.span, spell.entry.name, dated=False)
            free = max(free, spell.span.after)
        if free < self.year.span.after:
            yield _between(one, Span(free, self.year.span.after))

    def _away(self) -> Iterator[Mark]:
        for trip in self.year.trips:
            kind = Kind.TRIP if trip.climbing else Kind.ABSENCE
            yield Mark(Lane.AWAY, trip.id, trip.span, trip.name, kind)
        for absence in self.year.absences:
            yield Mark(Lane.AWAY, absence.id, absence.span, absence.name, Kind.ABSENCE)
        for hurt in self.year.injuries:
            span = Span(hurt.happened, hurt.full_from)
            yield Mark(Lane.AWAY, hurt.id, span, hurt.name, Kind.INJURED, dated=False)

    def _plan(self) -> Iterator[Mark]:
        for block in self.blocks:
            name = block_title(block, self.year)
            hurt = block.kind in (Kind.INJURED, Kind.RETURN)
            yield Mark(
                Lane.PLAN, block.id, block.span, name, block.kind, block.pinned,
                dated=not hurt,
                rock=frozenset(day for day in self.rock_days if day in block.span),
            )  # fmt: skip

    def _weeks(self) -> Iterator[Mark]:
        for number, week in enumerate(self.almanac.weeks(), start=1):
            yield Mark(Lane.HOURS, f"week-{number}", week, f"Week {number}", dated=False)

    def _goals(self) -> Iterator[Row]:
        for goal in self.year.goals:
            marks = tuple(
                Mark(
                    Lane.GOAL,
                    goal_key(chance),
                    goal_days(chance),
                    chance.spell.entry.name,
                    dated=False,
                )
                for chance in self.almanac.opportunities
                if chance.goal.id == goal.id
            )
            whole = Mark(Lane.GOAL, goal.id, self.year.span, NO_DAY, dated=False)
            label = goal.name if marks else f"! {goal.name}"
            yield Row(Lane.GOAL, label, marks or (whole,), goal)


def chance_key(spell: RockSpell) -> str:
    """The key of a season's mark on the lane of its weather."""
    return f"chance {spell.entry.id} {spell.span.first}"


def goal_key(chance: Opportunity) -> str:
    """The key of a goal's mark at one spell of rock."""
    return f"{chance.goal.id} {chance.spell.entry.id} {min(chance.chances)}"


def goal_days(chance: Opportunity) -> Span:
    """From the first day of a goal at one spell of rock to the last."""
    return Span(min(chance.chances), max(chance.chances) + ONE_DAY)


def _between(one: Weather, span: Span) -> Mark:
    key = f"chance {one.name} {span.first}"
    return Mark(Lane.CHANCE, key, span, "outside your seasons", dated=False)


def _rows(lane: Lane, marks: Iterator[Mark]) -> list[Row]:
    """Marks in as few rows as keep them apart; one empty row where there is none."""
    packed: list[list[Mark]] = []
    for mark in sorted(marks, key=lambda mark: (mark.span, mark.key)):
        for row in packed:
            if row[-1].span.after <= mark.span.first:
                row.append(mark)
                break
        else:
            packed.append([mark])
    return [
        Row(lane, lane.value if number == 0 else "", tuple(row))
        for number, row in enumerate(packed or [[]])
    ]


def nearest(marks: Sequence[Mark], day: date) -> Mark | None:
    """The mark that holds a day, or the one nearest to it."""

    def far(mark: Mark) -> int:
        if day in mark.span:
            return 0
        return min(abs((day - mark.span.first).days), abs((day - mark.span.last).days))

    return min(marks, key=far, default=None)
