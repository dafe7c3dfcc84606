"""What a session is made of: load, warm-up, stresses, needs, cautions, source.

Knows no dates, no free hours and no plan.
"""

from __future__ import annotations

from functools import cached_property
from math import ceil

from seasonplan.plan import Loads
from seasonplan.rules.tables import Source, caution, composing, response_table, sources
from seasonplan.vocabulary import (
    Discipline,
    Evidence,
    FrozenModel,
    Kind,
    Quality,
    RockRole,
    Style,
    Tissue,
)
from seasonplan.year.recipe import SHORT, Need

JOINING = frozenset(
    ["a", "an", "and", "at", "by", "for", "from", "in", "of", "on", "or", "the", "to", "with"]
)
HARD_SHARE = response_table().hard_from  # of the own maximum: seconds above it are the dose
HARD = 2  # stress from which a use of a tissue counts as hard


class Recipe(FrozenModel):
    """One kind of session. `minutes` hold the warm-up; `order` is its place inside a day. The
    warm-up is in proportion; with `least_warm_up_minutes` not shorter, nor longer than usual.

    `disciplines` are those it is for; none named: all. Without `short` there is `short_name`.
    `spacing_hours` pass after it before the next hard use of a tissue. A finger session has
    `hangs` (least, most) of `hang_seconds` at `hang_share` of the own maximum, one in
    `hang_minutes`. `warm_up` are its steps; `progress` says what is new in step 1, 2, ...
    of the work, `light` what a light week does, `stop` when to end it, `wet` what to do instead
    where the rock is wet or too warm (`wet_without` a wall, `wet_away` on a trip). `grown_up`: not
    under 18 without a specialist.
    """

    id: str
    name: str
    short: str | None = None
    kinds: tuple[Kind, ...]
    qualities: dict[Quality, float]
    minutes: int
    warm_up_minutes: int
    least_warm_up_minutes: int = 0
    least_minutes: int
    most_minutes: int
    rpe: float
    stresses: dict[Tissue, int]
    needs: tuple[Need, ...]
    spacing_hours: float
    spacing_hours_from_50: float = 0.0
    order: int
    max_fingers: bool = False
    grown_up: bool = False
    disciplines: tuple[Discipline, ...] = ()
    role: RockRole | None = None
    style: Style | None = None
    active_share: float = 1.0
    hang_seconds: int = 0
    hang_share: tuple[float, float] = (0.0, 0.0)
    hang_minutes: float = 0.0
    hangs: tuple[int, int] = (0, 0)
    warm_up: tuple[str, ...] = ()
    do: str
    progress: tuple[str, ...] = ()
    light: str = ""
    stop: str = ""
    wet: str = ""
    wet_without: str = ""
    wet_away: str = ""
    caution: str
    evidence: Evidence
    sources: tuple[str, ...]
    changed: bool = False

    @property
    def short_name(self) -> str:
        """The name where there is little room: what `short` says, else the first words that fit."""
        if self.short and self.short.strip():
            return self.short.strip()
        words = self.name.split()
        fitting = [words[:n] for n in range(len(words), 0, -1) if len(" ".join(words[:n])) <= SHORT]
        whole = next((" ".join(some) for some in fitting if some[-1].lower() not in JOINING), "")
        return whole.rstrip(",;:") or f"{self.name.strip()[: SHORT - 1]}."

    def load(self, minutes: int | None = None) -> float:
        """RPE x minutes (foster-1998), of the usual length if none is given."""
        return self.load_a_minute * (self.minutes if minutes is None else minutes)

    @cached_property
    def load_a_minute(self) -> float:
        return self.rpe * self.active_share

    @cached_property
    def shares(self) -> tuple[float, ...]:
        """How much of it trains each quality, in their order."""
        return tuple(self.qualities.get(quality, 0.0) for quality in Quality)

    def loads(self, minutes: int | None = None) -> Loads:
        """The load by quality."""
        load = self.load(minutes)
        return Loads(**{quality.value: load * part for quality, part in self.qualities.items()})

    def working_minutes(self, minutes: int | None = None) -> float:
        """Minutes after the warm-up, which shrinks and grows with the session within its bounds."""
        if not self.minutes:
            return 0.0
        asked = self.minutes if minutes is None else minutes
        warm_up = asked * self.warm_up_minutes / self.minutes
        if self.least_warm_up_minutes:
            warm_up = min(max(warm_up, self.least_warm_up_minutes), self.warm_up_minutes, asked)
        return asked - warm_up

    @cached_property
    def hard_hangs(self) -> bool:
        """Whether its hangs are at 80 % or more of the own maximum: only such seconds count."""
        return self.hang_seconds > 0 and self.hang_share[0] >= HARD_SHARE

    @cached_property
    def days_between(self) -> int:
        """Whole days that lie between it and the next hard use of a tissue."""
        return max(0, ceil(self.spacing_hours / 24) - 1)

    @cached_property
    def _days_between_from_50(self) -> int:
        return max(self.days_between, ceil(self.spacing_hours_from_50 / 24) - 1)

    def days_after(self, *, from_50: bool) -> int:
        """The same for a climber of 50 years and more, or a younger one."""
        return self._days_between_from_50 if from_50 else self.days_between

    @cached_property
    def hard_on(self) -> frozenset[Tissue]:
        """Tissues it uses hard: between two such uses lie `spacing_hours`."""
        return frozenset(tissue for tissue, stress in self.stresses.items() if stress >= HARD)

    @cached_property
    def drains(self) -> bool:
        """Whether it is mostly power endurance: a day lies between two such sessions."""
        return self.qualities.get(Quality.POWER_ENDURANCE, 0.0) >= composing().day.drains_from

    @cached_property
    def on_hangboard(self) -> bool:
        """Whether it is a session of hangs, of whatever effort."""
        return Need.HANGBOARD in self.needs

    @cached_property
    def climbs(self) -> bool:
        """Whether it is climbing, on a wall or on rock."""
        return Need.WALL in self.needs or Need.ROCK in self.needs

    @cached_property
    def with_tools(self) -> bool:
        """Whether it is pulls and hangs on ice tools: hard on wrists and elbows off the rock."""
        at_home = not self.climbs and not self.on_hangboard
        return at_home and {Tissue.WRISTS, Tissue.ELBOWS} <= self.hard_on

    @cached_property
    def pulls(self) -> bool:
        """Whether it works what pulls, off the wall: hangs and pulls; not on ice tools, with which
        ice climbers climb."""
        pulls = self.on_hangboard or Tissue.ELBOWS in self.hard_on
        return pulls and not self.climbs and not self.with_tools

    @cached_property
    def hard_on_fingers(self) -> bool:
        """Whether it uses the fingers hard."""
        return Tissue.FINGERS in self.hard_on

    @property
    def cautions(self) -> tuple[str, ...]:
        """What to show beside it; whatever loads fingers has a word for the young."""
        fingers = self.stresses.get(Tissue.FINGERS, 0) >= HARD or Need.HANGBOARD in self.needs
        young = (caution("young"),) if fingers or self.max_fingers else ()
        return (self.caution, *young) if self.caution else young

    def cited(self) -> tuple[Source, ...]:
        return tuple(sources()[key] for key in self.sources)
