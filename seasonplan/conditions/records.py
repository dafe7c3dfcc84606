"""Past weather of a place, day by day: a CSV text read by the climber's mapping of its columns.

Temperatures in °C, rain in mm, wind in m/s, humidity in %. Touches no disk and knows nothing of
good days.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, timedelta
from statistics import fmean
from zoneinfo import ZoneInfo

from seasonplan.conditions import moisture
from seasonplan.conditions.complaints import Complaints
from seasonplan.conditions.settings import least_hours_share, reading
from seasonplan.conditions.sheet import Sheet
from seasonplan.conditions.stamps import Hours, read_date, read_hour
from seasonplan.conditions.table import decoded, read_table
from seasonplan.days import ONE_DAY
from seasonplan.errors import BadInput, Fault
from seasonplan.year.place import Records


@dataclass(frozen=True, slots=True)
class Reading:
    """The air over an hour or a day; None is not known."""

    temperature: float | None = None
    dew_point: float | None = None
    humidity: float | None = None
    rain: float | None = None
    wind: float | None = None

    def completed(self) -> Reading:
        """With dew point from humidity or humidity from dew point, where one is missing."""
        if self.temperature is None:
            return self
        if self.dew_point is None and self.humidity is not None:
            return replace(self, dew_point=moisture.dew_point(self.temperature, self.humidity))
        if self.humidity is None and self.dew_point is not None:
            return replace(self, humidity=moisture.humidity(self.temperature, self.dew_point))
        return self


@dataclass(frozen=True, slots=True)
class DayRecord:
    """One local day: its highest temperature, its mean air with the sum of rain, its hours."""

    day: date
    highest: float | None
    mean: Reading
    hours: tuple[tuple[datetime, Reading], ...] = ()  # each by its beginning in UTC


@dataclass(frozen=True, slots=True)
class Oddities:
    """What was noticed while reading, by number of rows or cells."""

    missing: Mapping[str, int] = field(default_factory=dict)
    traces: int = 0
    twice: int = 0
    repeated_hours: int = 0
    skipped_hours: int = 0


@dataclass(frozen=True, slots=True)
class Record:
    """Every day that the file has rows for, in order. `digest` is SHA-256 of the file."""

    file: str
    digest: str
    days: dict[date, DayRecord]
    oddities: Oddities

    @property
    def first(self) -> date:
        return next(iter(self.days))

    @property
    def last(self) -> date:
        return next(reversed(self.days))

    @property
    def length(self) -> int:
        """Days from the first to the last, with or without a row."""
        return (self.last - self.first).days + 1


def read_record(content: bytes, how: Records, *, file: str, time_zone: str) -> Record:
    """The record in the bytes of a CSV file. Raises BadInput with every fault in it.

    `time_zone` is the place's: days are its days, and hours without a zone are its hours
    unless `how.time_zone` says otherwise.
    """
    if len(content) > reading().most_bytes:
        found = f"{len(content):,} bytes"
        wanted = f"at most {reading().most_bytes:,}"
        raise BadInput([Fault(file, "", None, found, wanted, "Export fewer years.")])
    complaints = Complaints(file)
    sheet = Sheet.of(read_table(decoded(content, file=file), file=file), how, complaints)
    seen: dict[str, int] = {}
    if how.columns.day is not None:
        days = _daily(sheet, how.columns.day)
    else:
        days, seen = _hourly(sheet, how.columns.time or (), time_zone)
    complaints.settle()  # rows that could not be read are no second fault
    if not days:
        raise BadInput([_no_row(file, how)])
    oddities = Oddities(dict(sheet.cells.missing), sheet.cells.traces, sheet.twice, **seen)
    return Record(
        file, hashlib.sha256(content).hexdigest(), {day: days[day] for day in sorted(days)},
        oddities,
    )  # fmt: skip


def _no_row(file: str, how: Records) -> Fault:
    if not how.only:
        return Fault(file, "", None, "no row", "a row for each day or hour", "Correct the file.")
    said = ", ".join(f"{name} {value}" for name, value in how.only.items())
    do = "Correct `only` of the place's records."
    return Fault(file, "only", None, f"no row with {said}", "rows of the place", do)


def _daily(sheet: Sheet, names: Sequence[str]) -> dict[date, DayRecord]:
    days: dict[date, DayRecord] = {}
    seen: dict[date, tuple[int, object]] = {}
    for row in sheet.rows():
        day = sheet.stamp(row, names, read_date)
        values = sheet.values(row)
        if day is not None and sheet.is_new(day, seen, row, values):
            days[day] = _day_of(day, dict(values))
    return days


def _day_of(day: date, values: dict[str, float | None]) -> DayRecord:
    highest, lowest = values.pop("highest", None), values.pop("lowest", None)
    if values.get("temperature") is None and highest is not None and lowest is not None:
        values["temperature"] = (highest + lowest) / 2
    return DayRecord(day, highest, Reading(**values).completed())


def _hourly(
    sheet: Sheet, names: Sequence[str], time_zone: str
) -> tuple[dict[date, DayRecord], dict[str, int]]:
    zone = ZoneInfo(time_zone)
    clock = Hours(ZoneInfo(sheet.how.time_zone or time_zone))
    seen: dict[datetime, tuple[int, object]] = {}
    parts: dict[datetime, list[Reading]] = {}
    for row in sheet.rows():
        stamp = sheet.stamp(row, names, read_hour)
        values = sheet.values(row)
        if stamp is None:
            continue
        instant = clock.instant(stamp)
        if sheet.is_new(instant, seen, row, values):
            begin = _hour_of(instant, zone)
            parts.setdefault(begin, []).append(_air(values))
    hours: dict[date, list[tuple[datetime, Reading]]] = {}
    for begin in sorted(parts):
        day = begin.astimezone(zone).date()
        hours.setdefault(day, []).append((begin, _together(parts[begin])))
    days = {day: _day_of_hours(day, tuple(inside), zone) for day, inside in hours.items()}
    return days, {"repeated_hours": clock.repeated, "skipped_hours": clock.skipped}


def _air(values: dict[str, float | None]) -> Reading:
    names = ("temperature", "dew_point", "humidity", "rain", "wind")
    return Reading(**{name: values.get(name) for name in names}).completed()


def _hour_of(instant: datetime, zone: ZoneInfo) -> datetime:
    """The beginning, in UTC, of the local hour around an instant."""
    local = instant.astimezone(zone)
    into = timedelta(minutes=local.minute, seconds=local.second, microseconds=local.microsecond)
    return (instant - into).astimezone(UTC)


def _together(readings: Sequence[Reading]) -> Reading:
    """Means of what is known, and the sum of the rain."""
    if len(readings) == 1:
        return readings[0]
    means = {
        name: _mean(getattr(reading, name) for reading in readings)
        for name in ("temperature", "dew_point", "humidity", "wind")
    }
    return Reading(rain=_sum(reading.rain for reading in readings), **means)


def _day_of_hours(
    day: date, hours: tuple[tuple[datetime, Reading], ...], zone: ZoneInfo
) -> DayRecord:
    """A day from its hours; a measure known in too few of them is not known."""
    begin, after = (datetime(d.year, d.month, d.day, tzinfo=zone) for d in (day, day + ONE_DAY))
    length = (after.astimezone(UTC) - begin.astimezone(UTC)) / timedelta(hours=1)
    least = least_hours_share() * length

    def known(name: str) -> list[float]:
        values = [v for _, air in hours if (v := getattr(air, name)) is not None]
        return values if len(values) >= least else []

    means = {name: _mean(known(name)) for name in ("temperature", "dew_point", "humidity", "wind")}
    highest = max(known("temperature"), default=None)
    return DayRecord(day, highest, Reading(rain=_sum(known("rain")), **means), hours)


def _mean(values: Iterable[float | None]) -> float | None:
    known = [value for value in values if value is not None]
    return fmean(known) if known else None


def _sum(values: Iterable[float | None]) -> float | None:
    known = [value for value in values if value is not None]
    return sum(known) if known else None
