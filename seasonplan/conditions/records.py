"""Past weather of a place, day by day: a CSV text read by the climber's mapping of its columns.

Temperatures in °C, rain in mm, wind in m/s, humidity in %. Touches no disk and knows nothing of
good days.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from seasonplan.conditions.by_hour import hours_of
from seasonplan.conditions.complaints import Complaints
from seasonplan.conditions.hours import DayHours, Reading, mean, reading_of, total
from seasonplan.conditions.settings import least_hours_share, reading
from seasonplan.conditions.sheet import RecordSheet
from seasonplan.conditions.stamps import RowTimes, read_date, zone_of
from seasonplan.conditions.table import read_table
from seasonplan.days import ONE_DAY
from seasonplan.errors import BadInput, Fault
from seasonplan.year.place import Records


@dataclass(frozen=True, slots=True)
class DayRecord:
    """One local day: its highest temperature, its mean air with the sum of rain, its hours."""

    day: date
    highest: float | None
    mean: Reading
    hours: Sequence[tuple[datetime, Reading]] = ()  # each by its beginning in UTC
    line: int = 0  # of its first row in the file


@dataclass(frozen=True, slots=True)
class Oddities:
    """What was noticed while reading, by number of rows or cells."""

    missing: Mapping[str, int] = field(default_factory=dict)
    traces: int = 0
    twice: int = 0
    repeated_hours: int = 0
    skipped_hours: int = 0
    crossed: tuple[int, ...] = ()  # lines whose highest temperature is below their lowest


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
    sheet = RecordSheet.of(read_table(content, file=file), how, complaints)
    seen: dict[str, Any] = {}
    if how.columns.day is not None:
        days, seen = _daily(sheet, how.columns.day)
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


def _daily(
    sheet: RecordSheet, names: Sequence[str]
) -> tuple[dict[date, DayRecord], dict[str, tuple[int, ...]]]:
    days: dict[date, DayRecord] = {}
    seen: dict[date, tuple[int, object]] = {}
    crossed: list[int] = []
    for row in sheet.rows():
        day = sheet.stamp(row, names, read_date)
        values = sheet.values(row)
        if day is not None and sheet.is_new(day, seen, row, values):
            days[day] = _day_of(day, values, line=row[0])
            if _is_crossed(values):
                crossed.append(row[0])
    return days, {"crossed": tuple(crossed)}


def _day_of(day: date, values: Mapping[str, float | None], *, line: int) -> DayRecord:
    highest, lowest = values.get("highest"), values.get("lowest")
    said = dict(values)
    if said.get("temperature") is None and highest is not None and lowest is not None:
        said["temperature"] = (highest + lowest) / 2
    return DayRecord(day, highest, reading_of(said), line=line)


def _is_crossed(values: Mapping[str, float | None]) -> bool:
    highest, lowest = values.get("highest"), values.get("lowest")
    return highest is not None and lowest is not None and highest < lowest


def _hourly(
    sheet: RecordSheet, names: Sequence[str], time_zone: str
) -> tuple[dict[date, DayRecord], dict[str, int]]:
    zone = ZoneInfo(time_zone)
    clock = RowTimes(zone_of(sheet.how.time_zone or time_zone))
    hours = hours_of(sheet, names, clock=clock, zone=zone)
    days = {day: _day_of_hours(day, inside, zone) for day, inside in hours.items()}
    return days, {"repeated_hours": clock.repeated, "skipped_hours": clock.skipped}


def _day_of_hours(day: date, hours: DayHours, zone: ZoneInfo) -> DayRecord:
    """A day from its hours; a measure known in too few of them is not known."""
    begin, after = (datetime(d.year, d.month, d.day, tzinfo=zone) for d in (day, day + ONE_DAY))
    length = (after.astimezone(UTC) - begin.astimezone(UTC)) / timedelta(hours=1)
    least = least_hours_share() * length

    def known(name: str) -> list[float]:
        values = hours.known(name)
        return values if len(values) >= least else []

    means = {name: mean(known(name)) for name in ("temperature", "dew_point", "humidity", "wind")}
    highest = max(known("temperature"), default=None)
    air = Reading(rain=total(known("rain")), **means)
    return DayRecord(day, highest, air, hours, hours.line)
