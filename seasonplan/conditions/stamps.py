"""The date or hour of a row, from one column or several, right over clock changes.

A local hour that comes twice when clocks go back is the earlier one first. Reads no clock.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta, timezone, tzinfo
from zoneinfo import ZoneInfo


def read_date(cells: Sequence[str], form: str | None) -> date:
    """The day of a row, from ISO 8601 text, a strptime `form`, or year, month and day.

    Raises ValueError.
    """
    text = _joined(cells, form)
    if form is not None:
        return datetime.strptime(text, form).date()  # noqa: DTZ007  (a day has no zone)
    plain = text.replace("/", "-")
    return date.fromisoformat(plain) if len(plain) <= 10 else datetime.fromisoformat(plain).date()


def read_hour(cells: Sequence[str], form: str | None) -> datetime:
    """The time of a row, with a zone only where the text has one. Raises ValueError."""
    if form is None and len(cells) > 3:
        year, month, day, hour, *minute = (int(float(cell)) for cell in cells)
        start = datetime(year, month, day)  # noqa: DTZ001  (local time of the record)
        return start + timedelta(hours=hour, minutes=minute[0] if minute else 0)
    text = _joined(cells, form)
    if form is not None:
        return datetime.strptime(text, form)  # noqa: DTZ007  (local time of the record)
    return datetime.fromisoformat(text.replace("/", "-"))


def _joined(cells: Sequence[str], form: str | None) -> str:
    if len(cells) == 3 and form is None:
        year, month, day = (int(float(cell)) for cell in cells)
        return f"{year:04}-{month:02}-{day:02}"
    return " ".join(cells)


def zone_of(name: str) -> tzinfo:
    """A zone by its name, or an offset from UTC such as +01:00."""
    if name[0] not in "+-":
        return ZoneInfo(name)
    hours, minutes = int(name[1:3]), int(name[4:6])
    away = timedelta(hours=hours, minutes=minutes)
    return timezone(-away if name[0] == "-" else away)


def standard_time(zone: tzinfo, when: datetime) -> str:
    """What a file that keeps the standard time of a zone all year names as its zone."""
    offset = min(
        when.replace(month=month, day=1).astimezone(zone).utcoffset() or timedelta(0)
        for month in (1, 7)
    )
    minutes = offset // timedelta(minutes=1)
    if minutes % 60 == 0:
        return f"Etc/GMT{-minutes // 60:+d}" if minutes else "UTC"  # their signs are the other way
    return f"{'-' if minutes < 0 else '+'}{abs(minutes) // 60:02}:{abs(minutes) % 60:02}"


class RowTimes:
    """Turns the times of a file's rows, in their order, into instants."""

    def __init__(self, zone: tzinfo) -> None:
        self.zone = zone
        self.skipped = 0  # hours that no clock showed, when clocks went forward
        self.repeated = 0  # second hours when clocks went back
        self.gaps: set[datetime] = set()  # what those that no clock showed were taken for
        self._seen: Counter[datetime] = Counter()

    def instant(self, stamp: datetime) -> datetime:
        """The instant of a row in UTC."""
        if stamp.tzinfo is not None:
            return stamp.astimezone(UTC)
        early = stamp.replace(tzinfo=self.zone, fold=0)
        late = stamp.replace(tzinfo=self.zone, fold=1)
        before, after = early.utcoffset(), late.utcoffset()
        assert before is not None and after is not None
        if before == after:
            return early.astimezone(UTC)
        if before < after:
            self.skipped += 1
            self.gaps.add(early.astimezone(UTC))
            return early.astimezone(UTC)
        self._seen[stamp] += 1
        if self._seen[stamp] == 2:
            self.repeated += 1
            return late.astimezone(UTC)
        return early.astimezone(UTC)
