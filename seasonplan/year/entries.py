"""What the climber enters: goals, seasons, windows, trips, absences, pins, injuries.

Dates are written as people do: `first` and `last` are both inside. `span` is half-open.
"""

from __future__ import annotations

import re
from calendar import isleap
from collections.abc import Iterator
from datetime import date, timedelta
from typing import Annotated, Any, ClassVar, Self

from pydantic import BeforeValidator, Field, field_validator, model_validator

from seasonplan.days import Span, count_text
from seasonplan.vocabulary import (
    BodyPart,
    Discipline,
    Emphasis,
    FrozenModel,
    Kind,
    NamedBy,
    Phase,
    PulleyGrade,
    Quality,
    Severity,
    Side,
    Style,
)
from seasonplan.year.chance import Chance, chance_on
from seasonplan.year.grade import Grade
from seasonplan.year.ids import slug
from seasonplan.year.refusal import refuse, shown
from seasonplan.year.spoken import no_such_day
from seasonplan.year.zones import known_zone

FIRST_YEAR, LAST_YEAR = 1900, 2199  # further out a date is a slip of the pen
# Where nobody has named days: past the end of every year, so that a part does not count as healed
# when the year is made longer. Never written, never shown.
OPEN_END = date(LAST_YEAR, 12, 31)
_MONTH_DAY = re.compile(r"(?:--)?(\d\d)-?(\d\d)")


def _dated(value: Any) -> Any:
    """A day from a TOML date or ISO 8601 text; times and other words are refused."""
    day = value
    if isinstance(value, str):
        try:
            day = date.fromisoformat(value)
        except ValueError:
            day = None
    if type(day) is not date:
        if isinstance(value, str) and (why := no_such_day(value)):
            raise refuse(found=shown(value), wanted="a day of the calendar", do=why)
        raise refuse(found=shown(value), wanted="a date", do="Write it as 2026-09-20.")
    if not FIRST_YEAR <= day.year <= LAST_YEAR:
        raise refuse(
            found=shown(value), wanted=f"a year from {FIRST_YEAR} to {LAST_YEAR}", do="Correct it."
        )
    return day


def _dated_or_yearly(value: Any) -> Any:
    """A date, or a month and day of every year (ISO 8601 `--MM-DD`, or `MM-DD`)."""
    match = _MONTH_DAY.fullmatch(value) if isinstance(value, str) else None
    if match is None:
        if isinstance(value, str) and not value[:4].isdigit() and not no_such_day(value):
            raise refuse(
                found=shown(value), wanted="a date, or a month and day of every year",
                do='Write it as 2026-09-20, or as `"09-20"` for 20 September of every year.',
            )  # fmt: skip
        return _dated(value)
    month, day = int(match[1]), int(match[2])
    try:
        date(2024, month, day)
    except ValueError:
        raise refuse(
            found=repr(value), wanted="a month and day", do='Write `"09-20"` for 20 September.'
        ) from None
    return f"{month:02}-{day:02}"


def _written(day: date | str) -> str:
    return f'"{day}"' if isinstance(day, str) else day.isoformat()


Day = Annotated[date, BeforeValidator(_dated)]
DayOrYearly = Annotated[date | str, BeforeValidator(_dated_or_yearly)]
Share = Annotated[float, Field(ge=0, le=1, strict=True)]
Rating = Annotated[int, Field(ge=1, le=5, strict=True)]
YesNo = Annotated[bool, Field(strict=True)]


class Entry(FrozenModel):
    """Anything the climber enters and other entries can name by its id."""

    before_slug: ClassVar[str] = ""  # what an id that is made from a name begins with

    name: str = Field(min_length=1, max_length=1000)
    id: str = Field("", pattern=r"^[a-z0-9][a-z0-9-]*$")
    note: str = Field("", max_length=10_000)

    @model_validator(mode="before")
    @classmethod
    def _id_from_name(cls, values: Any) -> Any:
        if (
            isinstance(values, dict)
            and not values.get("id")
            and isinstance(values.get("name"), str)
        ):
            return {**values, "id": f"{cls.before_slug}{slug(values['name'])}"}
        return values


class Dated(Entry):
    first: Day
    last: Day

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        if self.last < self.first:
            raise refuse(
                found=f"`last = {self.last}` before `first = {self.first}`",
                wanted="a last day on or after the first",
                do="Exchange or correct the dates.",
            )
        return self

    @property
    def span(self) -> Span:
        return Span.through(self.first, self.last)


class Rock(FrozenModel):
    """Where and how one climbs."""

    place: str = Field(min_length=1, max_length=1000)
    discipline: Discipline


class Goal(Rock, Entry):
    """Project or projects that one trains for; priority 1 matters most."""

    grade: Grade
    priority: Annotated[int, Field(ge=1, le=3, strict=True)] = 2
    served_by: tuple[str, ...] = ()
    demands: dict[Quality, Rating] = Field(default_factory=dict)
    style: Style = Style.REDPOINT


class Season(Rock, Entry):
    """Days on which the rock of a place is usually in condition, dated or every year."""

    first: DayOrYearly
    last: DayOrYearly
    chance: Chance
    chance_from: str = Field("", max_length=1000)

    @model_validator(mode="after")
    def _one_form(self) -> Self:
        if isinstance(self.first, str) is not isinstance(self.last, str):
            raise refuse(
                found=f"`first = {_written(self.first)}`, `last = {_written(self.last)}`",
                wanted="two dates, or two days of every year",
                do='Write both as 2026-09-20, or both as `"09-20"`.',
            )
        if isinstance(self.first, date) and isinstance(self.last, date) and self.last < self.first:
            raise refuse(
                found=f"`last = {self.last}` before `first = {self.first}`",
                wanted="a last day on or after the first",
                do="Exchange or correct the dates.",
            )
        return self

    def spells(self, horizon: Span) -> Iterator[Span]:
        """Every spell of the season that meets `horizon`, whole, in order."""
        if isinstance(self.first, date) and isinstance(self.last, date):
            whole = Span.through(self.first, self.last)
            if whole.meet(horizon):
                yield whole
            return
        for year in range(horizon.first.year - 1, horizon.after.year + 1):
            first, last = _in_year(str(self.first), year), _in_year(str(self.last), year)
            if last < first:
                last = _in_year(str(self.last), year + 1)
            whole = Span.through(first, last)
            if whole.meet(horizon):
                yield whole


def _in_year(month_day: str, year: int) -> date:
    month, day = (int(part) for part in month_day.split("-"))
    return date(year, month, min(day, 28) if month == 2 and not isleap(year) else day)


class Window(Rock, Dated):
    """A dated spell that is expected good."""

    chance: Chance = 0.8


class Trip(Dated):
    """Days away from home; with a discipline and a place where one climbs.

    On the first and the last `travel_days` one is on the way, and does not climb.
    """

    climbing: YesNo = True
    place: str = Field("", max_length=1000)
    discipline: Discipline | None = None
    chance: Chance = 0.6
    time_zone: str | None = None
    travel_days: Annotated[int, Field(ge=0, le=7, strict=True)] = 0

    @field_validator("time_zone")
    @classmethod
    def _known_zone(cls, value: str | None) -> str | None:
        return value if value is None else known_zone(value)

    @model_validator(mode="after")
    def _leaves_days(self) -> Self:
        if self.travel_days and 2 * self.travel_days >= self.span.length:
            raise refuse(
                found=f"`travel_days = {self.travel_days}` each way on a trip of "
                f"{count_text(self.span.length, 'day')}",
                wanted="a day at least that is not spent on the way",
                do="Lower it, or leave it out.",
            )
        return self

    @property
    def there(self) -> Span:
        """The days at the place, without those on the way."""
        way = timedelta(days=self.travel_days)
        return Span(self.span.first + way, self.span.after - way)

    @model_validator(mode="after")
    def _says_what(self) -> Self:
        unsaid = [key for key in ("place", "discipline") if not getattr(self, key)]
        if self.climbing and unsaid:
            raise refuse(
                found="a climbing trip without " + " and ".join(f"`{key}`" for key in unsaid),
                wanted="where and what you climb there",
                do="Say so, or that you do not climb there: `climbing = false`.",
            )
        return self


class Outing(Dated):
    """Easy days on rock or in the mountains that one wishes outside the seasons.

    One in every so many `weeks` between `first` and `last`; it serves no goal.
    """

    discipline: Discipline
    weeks: Annotated[int, Field(ge=1, le=12, strict=True)] = 1
    minutes: Annotated[int, Field(ge=30, le=1200, strict=True)] = 240


class Absence(Dated):
    """Days on which work, family or anything else takes the training time.

    `left` is the share of the usual minutes that stays: 0 none, 0.5 half.
    """

    left: Share = 0.0


class Pin(Dated):
    """A block that the climber fixed: this kind on just these days."""

    kind: Kind
    emphasis: Emphasis = Emphasis.NONE

    @field_validator("kind")
    @classmethod
    def _chosen(cls, value: Kind) -> Kind:
        if not value.chosen:
            raise refuse(
                found=repr(value.value),
                wanted="base, strength, performance or rest",
                do="Enter trips, absences and injuries as such.",
            )
        return value


class Injury(Entry):
    """A hurt part and the dates its phases begin, which the climber or clinician sets.

    Without these dates it `waits`: off, with no end yet. `grade` is that of a finger pulley.
    """

    part: BodyPart
    side: Side = Side.NONE
    severity: Severity = Severity.UNKNOWN
    grade: PulleyGrade | None = None
    happened: Day
    easy_from: Day = OPEN_END
    building_from: Day = OPEN_END
    full_from: Day = OPEN_END
    named_by: NamedBy | None = None

    @model_validator(mode="after")
    def _all_days_or_none(self) -> Self:
        steps = {key: getattr(self, key) for key in ("easy_from", "building_from", "full_from")}
        missing = [f"`{key}`" for key, day in steps.items() if day == OPEN_END]
        if 0 < len(missing) < len(steps):
            raise refuse(
                found=f"no {' and no '.join(missing)}",
                wanted="all three days, or none of them",
                do="Name the days that are missing; with none the part stays off.",
            )
        return self

    @model_validator(mode="after")
    def _graded_finger(self) -> Self:
        if self.grade is not None and self.part is not BodyPart.FINGER:
            raise refuse(
                found=f'`grade = "{self.grade.value}"` of `part = "{self.part.value}"`',
                wanted="the grade of a finger pulley",
                do="Leave the grade out, or correct the part.",
            )
        return self

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        dates = (self.happened, self.easy_from, self.building_from, self.full_from)
        if list(dates) != sorted(dates) or self.happened == self.full_from:
            raise refuse(
                found=", ".join(str(day) for day in dates),
                wanted="`happened`, `easy_from`, `building_from` and `full_from` in this order",
                do="Put the days in order; your clinician's days count before all others.",
            )
        return self

    @property
    def waits(self) -> bool:
        """Whether nobody has named days yet, so that the part stays off."""
        return self.easy_from == OPEN_END

    @property
    def phases(self) -> tuple[tuple[Phase, Span], ...]:
        """The phases that last at least a day, in order."""
        edges = (
            (Phase.OFF, self.happened, self.easy_from),
            (Phase.EASY, self.easy_from, self.building_from),
            (Phase.BUILDING, self.building_from, self.full_from),
        )
        return tuple((phase, Span(first, after)) for phase, first, after in edges if first < after)


__all__ = [
    "OPEN_END", "Absence", "Dated", "Entry", "Goal", "Injury", "Outing", "Pin", "Rating", "Rock",
    "Season", "Share", "Trip", "Window", "YesNo", "chance_on", "known_zone",
]  # fmt: skip
