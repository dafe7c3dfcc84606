"""The answer: blocks with their weeks, what the plan is worth, revision by revision.

Derived from a Year, never edited by hand. Knows nothing of how it was found.
"""

from __future__ import annotations

from datetime import date, time
from enum import StrEnum
from uuid import UUID

from pydantic import AwareDatetime, Field

from seasonplan.days import Span
from seasonplan.vocabulary import Kind, Phase, Quality, Word

SCHEMA = 1


class Loads(Word):
    """Load (RPE x minutes) by quality."""

    finger_strength: float = 0.0
    power: float = 0.0
    endurance: float = 0.0
    fitness: float = 0.0
    movement: float = 0.0

    def of(self, quality: Quality) -> float:
        return float(getattr(self, quality.value))

    @property
    def total(self) -> float:
        return sum(self.of(quality) for quality in Quality)


class Week(Word):
    """What one calendar week (or the part of it inside a block) asks for.

    `full_minutes` is what an undiminished training week would hold on these days.
    """

    span: Span
    minutes: float
    full_minutes: float
    training_days: int
    rpe: float
    loads: Loads
    deload: bool = False
    lead_in: bool = False
    max_fingers: bool = False

    @property
    def load(self) -> float:
        """RPE x minutes of the week."""
        return self.loads.total


class Block(Word):
    """Consecutive days of one kind. `entry` names what gave or fixed it."""

    id: str
    kind: Kind
    span: Span
    weeks: tuple[Week, ...]
    entry: str | None = None
    pinned: bool = False
    phase: Phase | None = None

    @property
    def minutes(self) -> float:
        return sum(week.minutes for week in self.weeks)

    @property
    def load(self) -> float:
        return sum(week.load for week in self.weeks)


class Session(Word):
    """One thing to do. `start` is the wall clock of `zone` (None: where the climber lives).

    `id` is made of block, calendar week and recipe, so a session moved in its week keeps it.
    """

    id: str
    block: str
    recipe: str
    day: date
    start: time
    minutes: int = Field(ge=0)
    rpe: float
    zone: str | None = None

    @property
    def minute(self) -> int:
        """When it starts, in minutes after midnight on the wall clock."""
        return 60 * self.start.hour + self.start.minute


class Cause(StrEnum):
    """Why something that a week asks for could not be fitted."""

    HOURS = "hours"  # too little free time
    BUSY = "busy"  # busy calendars or absences take it
    SPACING = "spacing"  # hours between hard uses, rest day, what there is to train on


class Shortfall(Word):
    """What part of a week could not be fitted: missing minutes of the asked ones, and why."""

    block: str
    span: Span
    asked_minutes: int
    missing_minutes: int
    cause: Cause


class Occasion(Word):
    """One goal at one season spell, window or trip, and what the plan makes of it.

    `possible` and `good_days` are expected days; `state` is 0 to 1 of the best trained state.
    """

    goal: str
    entry: str
    span: Span
    possible: float
    good_days: float
    state: float


class RuleCost(Word):
    """How far a soft rule is bent, in its own unit, and the points that costs."""

    rule: str
    amount: float
    points: float


class Score(Word):
    """What a plan is worth, in points: a good day in best state for a priority 3 goal is 1.5."""

    occasions: tuple[Occasion, ...]
    costs: tuple[RuleCost, ...]
    points: float


class Proof(Word):
    """How far the planner got: `gap` is the share by which a better plan may exist."""

    optimal: bool
    gap: float
    bound: float


class Revision(Word):
    """A plan as it was accepted at one time, for one reason.

    `year_text` is year.toml as it was planned. An undo names the revision it `undoes`; undo and
    redo name the one that they are again, which they `restores`.
    """

    number: int = Field(ge=1)
    stamp: AwareDatetime
    cause: str
    year_digest: str
    blocks: tuple[Block, ...]
    score: Score
    proof: Proof
    sessions: tuple[Session, ...] = ()
    shortfalls: tuple[Shortfall, ...] = ()
    year_text: str = ""
    undoes: int | None = None
    restores: int | None = None


class Plan(Word):
    """All revisions, oldest first. `calendar_key` is random and fixed for life."""

    schema_version: int = Field(SCHEMA, ge=1, le=SCHEMA)
    calendar_key: UUID
    revisions: tuple[Revision, ...] = Field(min_length=1)

    @property
    def current(self) -> Revision:
        return self.revisions[-1]
