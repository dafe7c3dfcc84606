"""The year as every face shows it: rock, days away, blocks, weeks, goals, tests.

`first` and `last` are both inside. Owns the counts that faces tell; knows nothing of their making.
"""

from __future__ import annotations

from datetime import date
from functools import cached_property
from typing import Any

from pydantic import Field, computed_field

from seasonplan.days import Span
from seasonplan.vocabulary import Discipline, Emphasis, FrozenModel, Kind

SCHEMA = 1


class _Days(FrozenModel):
    first: date
    last: date

    @property
    def span(self) -> Span:
        return Span.through(self.first, self.last)


class RockView(_Days):
    """A spell of rock in condition, whole; `chances` of a good day, one for each of its days."""

    entry: str
    name: str
    place: str
    discipline: Discipline | None
    is_trip: bool
    chances: tuple[float, ...]

    @computed_field  # type: ignore[prop-decorator]
    @property
    def highest_chance(self) -> float:
        return max(self.chances)

    def chance(self, day: date) -> float:
        return self.chances[(day - self.first).days] if day in self.span else 0.0


class AwayView(_Days):
    """A trip or absence, `climbing` or not. `left` is the share of training time that stays;
    `as_block`: a block of the plan is made of it."""

    entry: str
    name: str
    kind: Kind
    climbing: bool
    left: float
    as_block: bool


class BlockView(_Days):
    """A block. `name` is kind and emphasis, or the climber's own word for what was given."""

    id: str
    kind: Kind
    emphasis: Emphasis
    name: str
    entry: str | None
    pinned: bool


class WeekPart(FrozenModel):
    """What one block gives to a week: planned load and the load asked for (effort x minutes).

    `kind` is None where that would tell of an injury.
    """

    kind: Kind | None
    load: float
    asked: float


class WeekView(_Days):
    """A calendar week: load (effort x minutes), `share` of the fullest week's, `trained` days.

    `light`: with less to do on purpose; `lead_in`: it leads in to rock; `parts`: its blocks.
    """

    load: float
    parts: tuple[WeekPart, ...]
    share: float
    light: bool
    lead_in: bool
    trained: tuple[date, ...]


class GoalDays(_Days):
    """A goal at one season, window or trip: its days, and those planned on rock; how many of them
    are good by chance, and of the good ones how many hold tries."""

    entry: str
    at: str
    possible: int
    planned: tuple[date, ...]
    good_days: float
    good_tries: float
    sentence: str


class GoalView(FrozenModel):
    id: str
    name: str
    place: str
    discipline: Discipline
    grade: str
    priority: int
    stretches: tuple[GoalDays, ...]


class TestDay(FrozenModel):
    """The first day from which a test is worth its time again."""

    __test__ = False  # no test, whatever pytest takes from its name
    day: date
    name: str


class YearView(_Days):
    """One year. `plan` is the number of its plan, made on `planned`; both None without one."""

    schema_version: int = Field(SCHEMA, alias="schema")
    climber: str
    week_begins: int
    plan_number: int | None
    planned: date | None
    stale: bool
    rock: tuple[RockView, ...]
    away: tuple[AwayView, ...]
    blocks: tuple[BlockView, ...]
    weeks: tuple[WeekView, ...]
    goals: tuple[GoalView, ...]
    tests: tuple[TestDay, ...]

    def with_fields(self, **changes: Any) -> YearView:
        """This view with some fields exchanged, checked anew."""
        own = {name: getattr(self, name) for name in YearView.model_fields}
        own["schema"] = own.pop("schema_version")
        return YearView(**own | changes)

    @computed_field  # type: ignore[prop-decorator]
    @cached_property
    def rock_days(self) -> int:
        """Days with some chance of good rock, at home or on a trip: one count for all faces."""
        return sum(self.chance(day) > 0 for day in self.span.days())

    def chance(self, day: date) -> float:
        """The best chance of a good day anywhere on that day."""
        return max((spell.chance(day) for spell in self.rock), default=0.0)

    def block_on(self, day: date) -> BlockView | None:
        return next((block for block in self.blocks if day in block.span), None)
