"""The Year: everything the climber enters. Derived things (blocks, loads) live elsewhere."""

from __future__ import annotations

from datetime import timedelta
from math import isfinite
from typing import Annotated, Any, Self

from pydantic import BeforeValidator, ConfigDict, Field, field_validator, model_validator

from seasonplan.days import WEEKDAYS, Span, count_text
from seasonplan.vocabulary import CHOSEN, FrozenModel, Kind, Quality
from seasonplan.year.entries import (
    Absence,
    Day,
    Entry,
    Goal,
    Injury,
    Outing,
    Pin,
    Rating,
    Season,
    Trip,
    Window,
    YesNo,
    known_zone,
)
from seasonplan.year.fixed import FixedSession
from seasonplan.year.forecast import Forecast
from seasonplan.year.own_test import OwnTest
from seasonplan.year.place import Place
from seasonplan.year.recipe import RecipeChange
from seasonplan.year.refusal import Trouble, refuse, shown
from seasonplan.year.routine import Routine
from seasonplan.year.sense import troubles
from seasonplan.year.wishes import CalendarWishes, SessionWishes

SCHEMA = 2
SHORTEST_WEEKS, LONGEST_WEEKS = 4, 104
ENTRY_FIELDS = {
    "goal": "goals",
    "season": "seasons",
    "window": "windows",
    "trip": "trips",
    "absence": "absences",
    "pin": "pins",
    "injury": "injuries",
    "outing": "outings",
    "place": "places",
    "forecast": "forecasts",
    "session": "fixed_sessions",
    "test": "tests",
}  # section of the file to field of the Year
NAMED = tuple(section for section in ENTRY_FIELDS if section != "session")  # ids come from names


Weekday = Annotated[str, Field(pattern="^(" + "|".join(WEEKDAYS) + ")$")]


Travel = Annotated[int, Field(ge=0, le=600, strict=True)]
RockMinutes = Annotated[int, Field(ge=30, le=1200, strict=True)]


class Climber(FrozenModel):
    """Who plans: zone, week, time and a rating of themselves (1 weakest, 5 strongest).

    `rock_minutes` is time at the rock on a day there, apart from the minutes at home; travel is
    one way.
    """

    name: str = Field("", max_length=1000)
    time_zone: str
    first_weekday: Weekday = "monday"
    birth_year: Annotated[int, Field(ge=1900, le=2100, strict=True)] | None = None
    minutes: Routine
    rock_days: tuple[Weekday, ...] = ()
    rock_minutes: RockMinutes | None = None
    rock_travel_minutes: Travel = 0
    wall_travel_minutes: Travel = 0
    level: dict[Quality, Rating] = Field(default_factory=dict)

    @field_validator("time_zone")
    @classmethod
    def _known_zone(cls, value: str) -> str:
        return known_zone(value)

    @property
    def week_begins(self) -> int:
        """First weekday, Monday = 0."""
        return WEEKDAYS.index(self.first_weekday)

    @property
    def rock_weekdays(self) -> frozenset[int]:
        """Weekdays on which one can go to the rock: those named, or those with minutes."""
        if self.rock_days:
            return frozenset(WEEKDAYS.index(name) for name in self.rock_days)
        return frozenset(day for day in range(7) if self.minutes.on(day) > 0)


Amount = Annotated[float, Field(ge=0, allow_inf_nan=False, strict=True)]


class Before(FrozenModel):
    """What was done before the first day of the year.

    `hard_finger_sessions` a week and `hung_daily` are of the last twelve weeks; None: not said.
    """

    weekly_load: tuple[Amount, ...] = ()
    last_kind: Kind | None = None
    days_since_rest: Annotated[int, Field(ge=0, le=3660, strict=True)] = 0
    hard_finger_sessions: Annotated[float, Field(ge=0, le=14, strict=True)] | None = None
    hung_daily: YesNo = False

    @field_validator("last_kind")
    @classmethod
    def _chosen(cls, value: Kind | None) -> Kind | None:
        if value is not None and value not in CHOSEN:
            raise refuse(
                found=repr(value.value),
                wanted="base, strength, performance or rest",
                do="Say which block came last.",
            )
        return value


class Horizon(FrozenModel):
    """The days to plan: `first`, and either `weeks` or the `last` day."""

    first: Day
    weeks: Annotated[int, Field(strict=True)] | None = None
    last: Day | None = None

    @model_validator(mode="after")
    def _one_end(self) -> Self:
        if (self.weeks is None) is (self.last is None):
            raise refuse(
                found="no end" if self.weeks is None else "both `weeks` and `last`",
                wanted="`weeks` or `last`",
                do="Write `weeks = 52`, or `last` with the last day to plan.",
            )
        days = self._days()
        if not 7 * SHORTEST_WEEKS <= days <= 7 * LONGEST_WEEKS + 3:
            raise refuse(
                found=count_text(days, "day") if self.last else count_text(self.weeks or 0, "week"),
                wanted=f"{SHORTEST_WEEKS} to {LONGEST_WEEKS} weeks",
                do=f"Change `{'last' if self.last else 'weeks'}`.",
            )
        return self

    def _days(self) -> int:
        if self.weeks is not None:
            return 7 * self.weeks
        assert self.last is not None
        return (self.last - self.first).days + 1

    @property
    def span(self) -> Span:
        if self.weeks is not None:
            return Span(self.first, self.first + timedelta(days=7 * self.weeks))
        assert self.last is not None
        return Span.through(self.first, self.last)


Number = Annotated[float, Field(allow_inf_nan=False, strict=True)]


def _limit(value: Any) -> Any:
    """One number or two; told as one fault where it is neither."""
    numbers = value if isinstance(value, (list, tuple)) and len(value) == 2 else [value]
    for number in numbers:
        if isinstance(number, bool) or not isinstance(number, (int, float)) or not isfinite(number):
            raise refuse(
                found=shown(value), wanted="a number, or lowest and highest", do="Write `[3, 6]`."
            )
    return value


RuleLimit = Annotated[Number | tuple[Number, Number], BeforeValidator(_limit)]


class RuleChange(FrozenModel):
    """What the climber changed of a rule."""

    on: YesNo | None = None
    limit: RuleLimit | None = None
    weight: Amount | None = None


class Year(FrozenModel):
    """All that the climber enters, checked."""

    model_config = ConfigDict(frozen=True, extra="forbid", validate_by_name=True)

    schema_version: int = Field(SCHEMA, alias="schema", ge=1, le=SCHEMA, strict=True)
    horizon: Horizon = Field(alias="year")
    climber: Climber
    before: Before = Before()
    goals: tuple[Goal, ...] = Field((), alias="goal")
    seasons: tuple[Season, ...] = Field((), alias="season")
    windows: tuple[Window, ...] = Field((), alias="window")
    trips: tuple[Trip, ...] = Field((), alias="trip")
    absences: tuple[Absence, ...] = Field((), alias="absence")
    pins: tuple[Pin, ...] = Field((), alias="pin")
    injuries: tuple[Injury, ...] = Field((), alias="injury")
    outings: tuple[Outing, ...] = Field((), alias="outing")
    places: tuple[Place, ...] = Field((), alias="place")
    forecasts: tuple[Forecast, ...] = Field((), alias="forecast")
    fixed_sessions: tuple[FixedSession, ...] = Field((), alias="session")
    tests: tuple[OwnTest, ...] = Field((), alias="test")
    sessions: SessionWishes = SessionWishes()
    calendar: CalendarWishes = CalendarWishes()
    recipes: dict[str, RecipeChange] = Field(default_factory=dict)
    rules: dict[str, RuleChange] = Field(default_factory=dict)

    @model_validator(mode="after")
    def _makes_sense(self) -> Self:
        found = self.troubles()
        if found:
            raise ValueError("; ".join(f"{t.found}; wanted {t.wanted}. {t.do}" for t in found))
        return self

    def troubles(self) -> list[Trouble]:
        """What does not fit together between entries, by place."""
        return troubles(self.entries_by_section(), self.horizon.span)

    def entries_by_section(self) -> dict[str, list[tuple[int, Entry]]]:
        """Every entry under its section of the file, with its place in the list."""
        return {
            section: list(enumerate(getattr(self, field)))
            for section, field in ENTRY_FIELDS.items()
        }

    @property
    def span(self) -> Span:
        return self.horizon.span

    def entry(self, entry_id: str) -> Entry | None:
        """The entry of that id, or None."""
        return next(
            (
                entry
                for entries in self.entries_by_section().values()
                for _, entry in entries
                if entry.id == entry_id
            ),
            None,
        )

    def without(self, entry_id: str) -> Year:
        """This year with one entry left out, and every mention of it."""
        lists = {
            field: tuple(entry for entry in getattr(self, field) if entry.id != entry_id)
            for field in ENTRY_FIELDS.values()
        }
        lists["goals"] = tuple(
            goal
            if entry_id not in goal.served_by
            else Goal(**{**dict(goal), "served_by": _left(goal.served_by, entry_id)})
            for goal in lists["goals"]
        )
        return self.with_fields(**lists)

    def replacing(self, entry: Entry) -> Year:
        """This year with the entry of the same id exchanged for `entry`."""
        return self.with_fields(
            **{
                field: tuple(entry if old.id == entry.id else old for old in getattr(self, field))
                for field in ENTRY_FIELDS.values()
            }
        )

    def with_fields(self, **changes: Any) -> Year:
        """This year with some fields exchanged, checked anew."""
        return Year(**{name: getattr(self, name) for name in type(self).model_fields} | changes)


def _left(names: tuple[str, ...], gone: str) -> tuple[str, ...]:
    return tuple(name for name in names if name != gone)
