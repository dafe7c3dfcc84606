"""The Year: everything the climber enters. Derived things (blocks, loads) live elsewhere."""

from __future__ import annotations

import re
from datetime import timedelta
from typing import Annotated, Any, Self

from pydantic import BeforeValidator, ConfigDict, Field, field_validator, model_validator

from seasonplan.days import WEEKDAYS, Span
from seasonplan.vocabulary import CHOSEN, Kind, Quality, Word
from seasonplan.year.entries import (
    Absence,
    Day,
    Entry,
    Goal,
    Injury,
    Pin,
    Rating,
    Season,
    Trip,
    Window,
    known_zone,
)
from seasonplan.year.refusal import Trouble, refuse
from seasonplan.year.sense import troubles

SCHEMA = 1
SHORTEST_WEEKS, LONGEST_WEEKS = 4, 104
_HOURS = re.compile(r"(?:(\d+)\s*h)?\s*(?:(\d+)\s*(?:m|min)?)?")


def _minutes(value: Any) -> int:
    """Minutes from a number of minutes, or from text such as "1h30" or "45 min"."""
    if isinstance(value, int) and not isinstance(value, bool) and 0 <= value <= 1440:
        return value
    match = _HOURS.fullmatch(value.strip().lower()) if isinstance(value, str) else None
    if match is not None and (match[1] or match[2]):
        minutes = 60 * int(match[1] or 0) + int(match[2] or 0)
        if minutes <= 1440:
            return minutes
    raise refuse(
        found=repr(value), wanted="minutes from 0 to 1440", do='Write 90, "1h30" or "45 min".'
    )


Minutes = Annotated[int, BeforeValidator(_minutes)]


class Routine(Word):
    """Minutes free for training on each weekday of a usual week."""

    monday: Minutes = 0
    tuesday: Minutes = 0
    wednesday: Minutes = 0
    thursday: Minutes = 0
    friday: Minutes = 0
    saturday: Minutes = 0
    sunday: Minutes = 0

    def on(self, weekday: int) -> int:
        """Minutes on a weekday counted from Monday = 0."""
        return int(getattr(self, WEEKDAYS[weekday]))

    @property
    def week(self) -> int:
        return sum(self.on(weekday) for weekday in range(7))

    @model_validator(mode="after")
    def _some_time(self) -> Self:
        if self.week == 0:
            raise refuse(
                found="no minutes on any weekday",
                wanted="some time to train",
                do="Add for example tuesday = 90.",
            )
        return self


Weekday = Annotated[str, Field(pattern="^(" + "|".join(WEEKDAYS) + ")$")]


class Climber(Word):
    """Who plans: zone, week, time and a rating of themselves (1 weakest, 5 strongest)."""

    name: str = Field("", max_length=1000)
    time_zone: str
    first_weekday: Weekday = "monday"
    birth_year: Annotated[int, Field(ge=1900, le=2100)] | None = None
    minutes: Routine
    rock_days: tuple[Weekday, ...] = ()
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


class Before(Word):
    """What was done before the first day of the year."""

    weekly_load: tuple[Annotated[float, Field(ge=0)], ...] = ()
    last_kind: Kind | None = None
    days_since_rest: Annotated[int, Field(ge=0, le=3660)] = 0

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


class Horizon(Word):
    """The days to plan: `first`, and either `weeks` or the `last` day."""

    first: Day
    weeks: int | None = None
    last: Day | None = None

    @model_validator(mode="after")
    def _one_end(self) -> Self:
        if (self.weeks is None) is (self.last is None):
            raise refuse(
                found="both weeks and last" if self.weeks else "no end",
                wanted="weeks or last",
                do="Write weeks = 52, or last = the last day to plan.",
            )
        days = (
            7 * self.weeks
            if self.weeks is not None
            else (self.last - self.first).days + 1  # type: ignore[operator]
        )
        if not 7 * SHORTEST_WEEKS <= days <= 7 * LONGEST_WEEKS + 3:
            raise refuse(
                found=f"{days} days",
                wanted=f"{SHORTEST_WEEKS} to {LONGEST_WEEKS} weeks",
                do="Change weeks or last.",
            )
        return self

    @property
    def span(self) -> Span:
        if self.weeks is not None:
            return Span(self.first, self.first + timedelta(days=7 * self.weeks))
        assert self.last is not None
        return Span.through(self.first, self.last)


class RuleChange(Word):
    """What the climber changed of a rule."""

    on: bool | None = None
    limit: float | tuple[float, float] | None = None
    weight: Annotated[float, Field(ge=0)] | None = None


class Year(Word):
    """All that the climber enters, checked."""

    model_config = ConfigDict(frozen=True, extra="forbid", validate_by_name=True)

    schema_version: int = Field(SCHEMA, alias="schema", ge=1, le=SCHEMA)
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
        sections: dict[str, tuple[Entry, ...]] = {
            "goal": self.goals,
            "season": self.seasons,
            "window": self.windows,
            "trip": self.trips,
            "absence": self.absences,
            "pin": self.pins,
            "injury": self.injuries,
        }
        return {name: list(enumerate(entries)) for name, entries in sections.items()}

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
        values: dict[str, Any] = {name: getattr(self, name) for name in type(self).model_fields}
        for field in ("goals", "seasons", "windows", "trips", "absences", "pins", "injuries"):
            values[field] = tuple(entry for entry in values[field] if entry.id != entry_id)
        values["goals"] = tuple(
            Goal(
                **{
                    **dict(goal),
                    "served_by": tuple(name for name in goal.served_by if name != entry_id),
                }
            )
            for goal in values["goals"]
        )
        return Year(**values)
