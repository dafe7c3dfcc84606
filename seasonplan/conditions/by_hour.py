"""Rows of an hourly record to hours of days: instants, second times, one time kept all year.

Knows rows and zones; not what weather they make.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import UTC, date, datetime, timedelta, tzinfo

from seasonplan.conditions.hours import DayHours, Reading, Readings, reading_of, together
from seasonplan.conditions.sheet import RecordSheet
from seasonplan.conditions.stamps import RowTimes, read_hour, standard_time


def hours_of(
    sheet: RecordSheet, names: Sequence[str], *, clock: RowTimes, zone: tzinfo
) -> dict[date, DayHours]:
    """The hours of each day of the place, in order. What comes a second time is complained of."""
    rows = Readings()
    for row in sheet.rows():
        stamp = sheet.stamp(row, names, read_hour)
        values = sheet.values(row)
        if stamp is not None:
            rows.add(clock.instant(stamp), reading_of(values), line=row[0])
    hours = Readings()
    for begin, readings, line in _by_hour(rows, _once(rows, sheet, clock), zone):
        hours.add(begin, together(readings), line=line)
    return _by_day(hours, zone)


def _once(rows: Readings, sheet: RecordSheet, clock: RowTimes) -> Iterator[int]:
    """The numbers of the rows in time, each instant once."""
    first: int | None = None
    left_out: list[tuple[int, int]] = []  # rows in hours that clocks leave out, and their like
    for number in rows.in_time():
        if first is None or rows.instant(number) != rows.instant(first):
            first = number
            yield number
        elif rows.at(number) == rows.at(first):
            sheet.twice += 1
        elif rows.instant(number) in clock.gaps:
            left_out.append((first, number))
        else:
            when = rows.instant(number).astimezone(clock.zone)
            sheet.second_time(
                f"{when:%Y-%m-%d %H:%M}", line=rows.line(number), first=rows.line(first)
            )
    if left_out:
        _keeps_one_time(sheet, clock, rows, left_out)


def _keeps_one_time(
    sheet: RecordSheet, clock: RowTimes, rows: Readings, pairs: Sequence[tuple[int, int]]
) -> None:
    """The file has hours that its zone never had: most likely it keeps standard time all year."""
    line, other = (rows.line(number) for number in pairs[0])
    when = rows.instant(pairs[0][0])
    more = f", and {len(pairs) - 1:,} more like it" if len(pairs) > 1 else ""
    sheet.complaints.add(
        "time_zone", other,
        found=f"an hour that {clock.zone} leaves out when its clocks go forward (line "
        f"{min(line, other)}), with other values than the hour it would be{more}",
        wanted="the zone that the hours of the file are written in",
        do="If it keeps one time all year, say which one under the place's records: "
        f'`time_zone = "{standard_time(clock.zone, when)}"`; "UTC" or an offset such as "+01:00" '
        "can stand there, too.",
    )  # fmt: skip


def _by_hour(
    rows: Readings, numbers: Iterator[int], zone: tzinfo
) -> Iterator[tuple[datetime, list[Reading], int]]:
    """The beginning of each local hour in UTC, the readings within it, the line of the first."""
    begin: datetime | None = None
    readings: list[Reading] = []
    line = 0
    for number in numbers:
        its = _hour_of(rows.instant(number), zone)
        if its != begin:
            if begin is not None:
                yield begin, readings, line
            begin, readings, line = its, [], rows.line(number)
        readings.append(rows.at(number))
    if begin is not None:
        yield begin, readings, line


def _hour_of(instant: datetime, zone: tzinfo) -> datetime:
    """The beginning, in UTC, of the local hour around an instant."""
    local = instant.astimezone(zone)
    into = timedelta(minutes=local.minute, seconds=local.second, microseconds=local.microsecond)
    return (instant - into).astimezone(UTC)


def _by_day(hours: Readings, zone: tzinfo) -> dict[date, DayHours]:
    """The hours by the local day they begin on."""
    spans: dict[date, range] = {}
    for number in range(len(hours)):
        day = hours.instant(number).astimezone(zone).date()
        span = spans.get(day, range(number, number))
        if span.stop == number:
            spans[day] = range(span.start, number + 1)
        else:  # clocks went back over midnight: the day comes a second time
            spans[day] = _copied(hours, (*span, number))
    return {day: DayHours(hours, span) for day, span in spans.items()}


def _copied(hours: Readings, numbers: Sequence[int]) -> range:
    """Some hours once more, side by side at the end."""
    start = len(hours)
    for number in numbers:
        hours.copy(number)
    return range(start, len(hours))
