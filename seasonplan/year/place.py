"""A place: where it is and how far; of rock its aspect, weather records and what is good.

What counts as good is the climber's preference. Knows no record's content and no chance.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import Annotated, Any, ClassVar, Literal, Self

from pydantic import BeforeValidator, Field, model_validator

from seasonplan.vocabulary import Discipline, FrozenModel, PlaceIs
from seasonplan.year.entries import Entry, Rock
from seasonplan.year.ids import BEFORE
from seasonplan.year.measures import Celsius, MetresASecond, Millimetres
from seasonplan.year.refusal import refuse, shown
from seasonplan.year.zones import known_zone, known_zones

_OFFSET = re.compile(r"[+-](?:0\d|1[0-4]):[0-5]\d")
USUAL_HOURS = 3.0  # good hours that make a day good, a preference like all of `Good`


def _names(value: Any) -> Any:
    """One column, or several that are read as one."""
    names = (value,) if isinstance(value, str) else value
    if (
        not isinstance(names, (list, tuple))
        or not names
        or not all(isinstance(name, str) and name for name in names)
    ):
        raise refuse(
            found=shown(value), wanted="the name of a column, or a list of names",
            do='Write `"date"`, or `["year", "month", "day"]`.',
        )  # fmt: skip
    return tuple(names)


def _plain(measures: Iterable[str]) -> str:
    return ", ".join(name.replace("_", " ") for name in measures)


def _zone(value: Any) -> Any:
    return known_zone(value) if isinstance(value, str) else value


def _zone_or_offset(value: Any) -> Any:
    """A zone by its name, or a fixed offset from UTC."""
    if not isinstance(value, str) or _OFFSET.fullmatch(value) or value in known_zones():
        return value
    raise refuse(
        found=shown(value), wanted="the zone that the hours of the file are written in",
        do='Write a zone such as `"Europe/Vienna"`; for one time all year `"UTC"`, '
        '`"Etc/GMT-1"` (an hour east of it) or `"+01:00"`.',
    )  # fmt: skip


Names = Annotated[tuple[str, ...], BeforeValidator(_names)]
Column = Annotated[str, Field(min_length=1)]
Zone = Annotated[str, BeforeValidator(_zone)]
ZoneOrOffset = Annotated[str, BeforeValidator(_zone_or_offset)]
Hours = Annotated[float, Field(ge=0, le=24, allow_inf_nan=False)]


class Columns(FrozenModel):
    """Which column of the file holds what. `day` for daily records, `time` for hourly ones.

    `highest` and `lowest` are a day's; `temperature` is an hour's, or a day's mean.
    """

    day: Names | None = None
    time: Names | None = None
    highest: Column | None = None
    lowest: Column | None = None
    temperature: Column | None = None
    dew_point: Column | None = None
    humidity: Column | None = None
    rain: Column | None = None
    wind: Column | None = None

    @model_validator(mode="after")
    def _one_clock(self) -> Self:
        if (self.day is None) is (self.time is None):
            raise refuse(
                found="neither `day` nor `time`" if self.day is None else "both `day` and `time`",
                wanted="`day`, the column of the date, or `time`, that of the hour",
                do='Write `day = "date"` for daily records, `time = "time"` for hourly ones.',
            )
        return self

    @property
    def measured(self) -> dict[str, str]:
        """Column names of the mapped measures, by measure."""
        every = {name: getattr(self, name) for name in type(self).model_fields}
        return {n: column for n, column in every.items() if column and n not in ("day", "time")}


class Units(FrozenModel):
    """Units of the file."""

    temperature: Literal["C", "F"] = "C"
    rain: Literal["mm", "in"] = "mm"
    wind: Literal["m/s", "km/h", "mph", "kn"] = "m/s"


class Records(FrozenModel):
    """A CSV file of past weather beside the year file, and how to read it.

    `only` keeps the rows of one station; `missing` are further marks of a missing value;
    `date_form` is a strptime form where dates are not ISO 8601; `time_zone` is the zone in
    which hours are written, where that is not the place's: stations often keep standard time all
    year, which is a zone such as "Etc/GMT-1", or an offset from UTC such as "+01:00".
    """

    file: str = Field(min_length=1, max_length=1000)
    columns: Columns
    units: Units = Units()
    only: dict[str, str] = Field(default_factory=dict)
    missing: tuple[str, ...] = ()
    date_form: str | None = None
    time_zone: ZoneOrOffset | None = None


class Good(FrozenModel):
    """What the climber calls a good day, for one discipline or for all.

    Daily records: `temperature` bounds the day's highest, the others its mean. Hourly records:
    a day is good with `hours` daylight hours inside all bounds, in the shade or sun if
    `shade_hours` or `sun_hours` ask for so many.
    """

    discipline: Discipline | None = None
    temperature: tuple[Celsius, Celsius] | None = None
    highest_dew_point: Celsius | None = None
    highest_humidity: Annotated[float, Field(ge=0, le=100)] | None = None
    highest_wind: MetresASecond | None = None
    rain_below: Millimetres | None = None
    dry_days_before: Annotated[int, Field(ge=0, le=14, strict=True)] = 0
    hours: Annotated[float, Field(gt=0, le=24)] = USUAL_HOURS
    shade_hours: Hours = 0.0
    sun_hours: Hours = 0.0

    @model_validator(mode="after")
    def _asks_something(self) -> Self:
        if self.temperature and self.temperature[0] > self.temperature[1]:
            raise refuse(
                found=f"temperature from {self.temperature[0]:g} to {self.temperature[1]:g}",
                wanted="the lower bound first", do="Exchange the two.",
            )  # fmt: skip
        if self.dry_days_before and self.rain_below is None:
            raise refuse(
                found=f"`dry_days_before = {self.dry_days_before}` without `rain_below`",
                wanted="how much rain still counts as dry", do="Add `rain_below = 1` (mm a day).",
            )  # fmt: skip
        if not any(True for _ in self.asks()) and not self.asks_wall:
            raise refuse(
                found="no condition", wanted="what makes a day good for you",
                do="Add for example `temperature = [2, 15]` or `rain_below = 1`.",
            )  # fmt: skip
        return self

    def asks(self) -> Iterator[str]:
        """The measures that a record must hold: temperature, dew_point, humidity, wind, rain."""
        bounds = {
            "temperature": self.temperature, "dew_point": self.highest_dew_point,
            "humidity": self.highest_humidity, "wind": self.highest_wind,
            "rain": self.rain_below,
        }  # fmt: skip
        return (name for name, bound in bounds.items() if bound is not None)

    @property
    def asks_wall(self) -> bool:
        """Whether sun or shade on the wall matters."""
        return bool(self.shade_hours or self.sun_hours)


class Place(Entry):
    """A place with rock, the wall you train on, or home. `travel_minutes` from home, one way.

    `aspect`: the way the rock looks, 0 north, 90 east, 180 south; `steepness`: 90 upright, less a
    slab, more an overhang. Degrees all. Where it lies is needed for weather records only.
    """

    before_slug: ClassVar[str] = BEFORE["place"]

    latitude: Annotated[float, Field(ge=-90, le=90)] | None = None
    longitude: Annotated[float, Field(ge=-180, le=180)] | None = None
    what: PlaceIs = PlaceIs.ROCK
    travel_minutes: Annotated[int, Field(ge=0, le=600, strict=True)] | None = None
    aspect: Annotated[float, Field(ge=0, le=360)] | None = None
    steepness: Annotated[float, Field(ge=0, le=180)] = 90.0
    time_zone: Zone | None = None
    records: Records | None = None
    good: tuple[Good, ...] = ()

    @model_validator(mode="after")
    def _lies_somewhere(self) -> Self:
        lacking = [name for name in ("latitude", "longitude") if getattr(self, name) is None]
        if len(lacking) == 1:
            raise refuse(
                found=f"a place without `{lacking[0]}`", wanted="both `latitude` and `longitude`",
                do=f"Add `{lacking[0]}` in degrees, or leave both out.",
            )  # fmt: skip
        if lacking and self.records:
            raise refuse(
                found="weather records of a place without `latitude` and `longitude`",
                wanted="where the place lies: sun, seasons and what can be believed hang on it",
                do="Add both in degrees, such as `latitude = 47.6` and `longitude = 14.2`.",
            )
        return self

    @property
    def point(self) -> tuple[float, float] | None:
        """Latitude and longitude, if they were entered."""
        if self.latitude is None or self.longitude is None:
            return None
        return self.latitude, self.longitude

    @model_validator(mode="after")
    def _can_be_judged(self) -> Self:
        for good in self.good:
            if good.asks_wall and self.aspect is None:
                raise refuse(
                    found="`shade_hours` or `sun_hours` without the wall's aspect",
                    wanted="which way the wall faces",
                    do="Add `aspect = 0` (north), 90 (east), 180 (south) or anything between.",
                )
            lacking = [name for name in good.asks() if not self._measures(name)]
            if self.records and lacking:
                raise refuse(
                    found=f"good days that depend on {_plain(lacking)}, without such a column",
                    wanted=f"a column for {_plain(lacking)} in the records",
                    do="Name the column, or leave the condition out.",
                )
        kinds = [good.discipline for good in self.good]
        if len(set(kinds)) < len(kinds):
            raise refuse(
                found="two meanings of good for one discipline",
                wanted="one for each discipline, and at most one for all others",
                do="Remove one, or give it another discipline.",
            )
        return self

    def _measures(self, name: str) -> bool:
        """Whether the records hold a measure, or what it can be worked out from."""
        columns = self.records.columns.measured if self.records else {}
        warm = "temperature" in columns or {"highest", "lowest"} <= columns.keys()
        if name == "temperature":
            return ("temperature" if self.hourly else "highest") in columns
        if name in ("dew_point", "humidity"):
            return name in columns or (warm and bool({"dew_point", "humidity"} & columns.keys()))
        return name in columns

    @property
    def hourly(self) -> bool:
        return self.records is not None and self.records.columns.time is not None

    def has(self, rock: Rock, *, discipline: Discipline | None) -> bool:
        """Whether a season or goal is here and of a discipline; None stands for any."""
        return rock.place == self.name and discipline in (rock.discipline, None)

    def good_for(self, discipline: Discipline | None) -> Good | None:
        """What is good for a discipline: its own meaning, or that for all."""
        own = [good for good in self.good if good.discipline is discipline]
        rest = [good for good in self.good if good.discipline is None]
        return next(iter((*own, *rest)), None)
