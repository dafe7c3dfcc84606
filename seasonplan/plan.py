"""The answer: blocks with their weeks, what the plan is worth, revision by revision.

Derived from a Year, never edited by hand. Knows nothing of how it was found.
"""

from __future__ import annotations

from datetime import date, time
from enum import StrEnum
from uuid import UUID

from pydantic import AwareDatetime, Field

from seasonplan.days import Span
from seasonplan.vocabulary import Emphasis, FrozenModel, Kind, Phase, Quality, RockRole

SCHEMA = 2


class Loads(FrozenModel):
    """Load (RPE x minutes) by quality."""

    finger_strength: float = 0.0
    power: float = 0.0
    power_endurance: float = 0.0
    endurance: float = 0.0
    fitness: float = 0.0
    movement: float = 0.0

    def of(self, quality: Quality) -> float:
        return float(getattr(self, quality.value))

    @property
    def total(self) -> float:
        return sum(self.of(quality) for quality in Quality)


class Week(FrozenModel):
    """One calendar week (or the part of it inside a block), as its sessions add up.

    `aim` is the load that was aimed at, `free_minutes` what the climber has at home on these days,
    `hard_seconds` seconds of hangs at 80 % or more of the own maximum; all else is a sum.
    """

    span: Span
    aim: float = 0.0
    free_minutes: float = 0.0
    minutes: float = 0.0
    training_days: int = 0
    rpe: float = 0.0
    loads: Loads = Loads()
    hard_seconds: int = 0
    rock_days: int = 0
    deload: bool = False
    lead_in: bool = False
    max_fingers: bool = False

    @property
    def load(self) -> float:
        """RPE x minutes of the week."""
        return self.loads.total


class Block(FrozenModel):
    """Consecutive days of one kind. `entry` names what gave or fixed it.

    `light_first` is the number of its first light week, from 1; 0: the usual one.
    """

    id: str
    kind: Kind
    span: Span
    weeks: tuple[Week, ...]
    emphasis: Emphasis = Emphasis.NONE
    light_first: int = 0
    entry: str | None = None
    pinned: bool = False
    phase: Phase | None = None

    @property
    def minutes(self) -> float:
        return sum(week.minutes for week in self.weeks)

    @property
    def load(self) -> float:
        return sum(week.load for week in self.weeks)


class Session(FrozenModel):
    """One thing to do. `start` is the wall clock of `zone` (None: where the climber lives).

    `id` is made of block, calendar week and recipe, so a session moved in its week keeps it.
    `week` is the week of its block, from 1, which its text follows; `hangs` is how many a finger
    session has; `rock` names the season, window, trip or outing that it goes to. Of its minutes
    `active_share` is load: days on rock hold waiting and walking.
    """

    id: str
    block: str
    recipe: str
    day: date
    start: time
    minutes: int = Field(ge=0)
    rpe: float
    zone: str | None = None
    week: int = 1
    light: bool = False
    hangs: int = 0
    rock: str | None = None
    role: RockRole | None = None
    active_share: float = 1.0

    @property
    def load(self) -> float:
        """RPE x minutes that count (Foster 1998; the share of a day on rock is a preference)."""
        return self.rpe * self.minutes * self.active_share

    @property
    def minute(self) -> int:
        """When it starts, in minutes after midnight on the wall clock."""
        return 60 * self.start.hour + self.start.minute


class Cause(StrEnum):
    """Why something that a week asks for could not be fitted."""

    HOURS = "hours"  # too little free time
    BUSY = "busy"  # busy calendars or absences take it
    SPACING = "spacing"  # hours between hard uses, rest day, what there is to train on


class Shortfall(FrozenModel):
    """What part of a week could not be fitted: missing minutes of the asked ones, and why."""

    block: str
    span: Span
    asked_minutes: int
    missing_minutes: int
    cause: Cause


class Occasion(FrozenModel):
    """One goal at one season spell, window or trip, and what the plan makes of it.

    `rock_days` are days with a session there, `easy_days` those of them without a hard try (None:
    of a plan that did not say); `good_days` how many of them are good by chance,
    `possible` how many could be if every day were used. `form` is the predicted share by which
    what the goal asks is better than at the start, freshness counted; a model, not a measurement.
    """

    goal: str
    entry: str
    span: Span
    possible: float
    rock_days: int = 0
    easy_days: int | None = None
    good_days: float
    form: float = 0.0


class RuleCost(FrozenModel):
    """By how much a soft rule is missed, in its own unit, and the points that costs."""

    rule: str
    amount: float
    points: float


class Score(FrozenModel):
    """What a plan is worth, in points: a project day sure to be good is 1 for a priority 3 goal."""

    occasions: tuple[Occasion, ...]
    costs: tuple[RuleCost, ...]
    points: float

    @property
    def good_days(self) -> float:
        """Good days on rock in all, those that serve several goals once."""
        found: dict[tuple[str, Span], float] = {}
        for one in self.occasions:
            at = (one.entry, one.span)
            found[at] = max(one.good_days, found.get(at, 0.0))
        return sum(found.values())


class Proof(FrozenModel):
    """How far the planner got: `gap` is the share by which a better plan may exist.

    `confirmed`: a second exact method, over the same candidates, came to the same worth.
    """

    optimal: bool
    gap: float
    bound: float
    confirmed: bool = False


class OtherYear(FrozenModel):
    """A year nearly as good: how many days are of another kind, how many points it has at most
    less."""

    days: int
    points: float


class Revision(FrozenModel):
    """A plan as it was accepted at one time, for one reason.

    `year_text` is year.toml as it was planned; `ratings` are those that tests gave, of the
    qualities of which a test spoke; `done` is the share of its planned load to which a week was
    done, by its first day, where the diary says that it was missed in part; `others` are years
    nearly as good when it was made. An undo names the
    revision it `undoes`; undo and redo name the one that they are again, which they `restores`.
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
    others: tuple[OtherYear, ...] = ()
    year_text: str = ""
    ratings: dict[Quality, float] = Field(default_factory=dict)
    done: dict[date, float] = Field(default_factory=dict)
    undoes: int | None = None
    restores: int | None = None


class Plan(FrozenModel):
    """All revisions, oldest first. `calendar_key` is random and fixed for life."""

    schema_version: int = Field(SCHEMA, ge=1, le=SCHEMA)
    calendar_key: UUID
    revisions: tuple[Revision, ...] = Field(min_length=1)

    @property
    def current(self) -> Revision:
        return self.revisions[-1]
