"""One event to its lines, without any library: some thousand are written at a time.

icalendar writes the same lines and takes ten times as long; a test holds both against each other.
Chooses the properties; what they say was decided before, and `text` puts every text in form.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from functools import lru_cache

from seasonplan.ical.appointments import CATEGORY, Appointment
from seasonplan.ical.happenings import Happening
from seasonplan.ical.text import escaped, folded

# Names of the IANA database for UTC: such a time is written with Z and needs no zone
UTC_NAMES = frozenset(
    {
        "UTC", "UCT", "GMT", "GMT0", "GMT+0", "GMT-0", "Zulu", "Universal", "Greenwich",
        "Etc/UTC", "Etc/UCT", "Etc/GMT", "Etc/GMT0", "Etc/GMT+0", "Etc/GMT-0", "Etc/Zulu",
        "Etc/Universal", "Etc/Greenwich",
    }
)  # fmt: skip


def event_bytes(told: Happening | Appointment, *, cancelled_by: str = "") -> bytes:
    """An event as written; `cancelled_by` is the organizer who takes it back."""
    clock = _by_the_clock(told) if isinstance(told, Appointment) else ""
    return written(told, clock, cancelled_by)


def _by_the_clock(appointment: Appointment) -> str:
    start, end = appointment.start, appointment.end
    return f"{start.isoformat()} {end.isoformat()} {start.tzinfo}"


@lru_cache(maxsize=8_192)
def written(told: Happening | Appointment, by_the_clock: str, cancelled_by: str) -> bytes:
    """Kept: most events are the same after a change, and in several calendars.

    Moments are equal wherever they are the same instant; `by_the_clock` tells their zones apart.
    """
    return b"".join(map(folded, _lines(told, cancelled_by)))


def _lines(told: Happening | Appointment, cancelled_by: str) -> Iterator[str]:
    """In the order that icalendar gives them: what names and dates the event, then by name."""
    stamp = _moment(told.change.stamp)
    yield "BEGIN:VEVENT"
    yield from _text("SUMMARY", told.title)
    yield from _when(told)
    yield f"DTSTAMP:{stamp}"
    yield f"UID:{told.uid}"
    yield f"SEQUENCE:{told.change.sequence}"
    yield f"CATEGORIES:{told.category if isinstance(told, Happening) else CATEGORY}"
    yield from _text("DESCRIPTION", told.description)
    if told.point is not None:
        yield f"GEO:{_degrees(told.point[0])};{_degrees(told.point[1])}"
    yield f"LAST-MODIFIED:{stamp}"
    yield from _text("LOCATION", told.place)
    if cancelled_by:
        yield f"ORGANIZER:{cancelled_by}"
    if isinstance(told, Appointment) and told.part_of:
        yield f"RELATED-TO:{told.part_of}"
    if cancelled_by:
        yield "STATUS:CANCELLED"
    yield f"TRANSP:{'OPAQUE' if told.busy else 'TRANSPARENT'}"
    if told.url:
        yield f"URL:{told.url}"
    yield f"X-MICROSOFT-CDO-BUSYSTATUS:{'BUSY' if told.busy else 'FREE'}"
    if isinstance(told, Appointment) and told.alarm_minutes is not None:
        yield from _alarm(told.title, told.alarm_minutes)
    yield "END:VEVENT"


def _when(told: Happening | Appointment) -> Iterator[str]:
    """Whole days; or hours, in UTC if they touch an hour that the wall clock shows twice.

    The second of the two no local time of RFC 5545 can say, and readers differ about the first.
    """
    if isinstance(told, Happening):
        yield f"DTSTART;VALUE=DATE:{_day(told.span.first)}"
        yield f"DTEND;VALUE=DATE:{_day(told.span.after)}"
        return
    start, end = told.start, told.end
    zone = str(start.tzinfo)
    if zone in UTC_NAMES or _comes_twice(start) or _comes_twice(end):
        yield f"DTSTART:{_moment(start)}"
        yield f"DTEND:{_moment(end)}"
    else:
        yield f"DTSTART;TZID={zone}:{_local(start)}"
        yield f"DTEND;TZID={zone}:{_local(end)}"


def _comes_twice(moment: datetime) -> bool:
    return moment.replace(fold=0).utcoffset() != moment.replace(fold=1).utcoffset()


def _alarm(title: str, minutes: int) -> Iterator[str]:
    """A message some minutes before; RFC 5545 3.6.6 wants its text again."""
    yield "BEGIN:VALARM"
    yield "ACTION:DISPLAY"
    yield from _text("DESCRIPTION", title)
    yield f"TRIGGER:{_before(timedelta(minutes=minutes))}"
    yield "END:VALARM"


def _before(time: timedelta) -> str:
    """A duration backwards (RFC 5545 3.3.6): a day at most, in whole minutes."""
    hours, minutes = divmod(time // timedelta(minutes=1), 60)
    if hours == 24 or not time:
        return "-P1D" if time else "P0D"
    return f"-PT{f'{hours}H' if hours else ''}{f'{minutes}M' if minutes else ''}"


def _degrees(value: float) -> str:
    """Six decimals at most (RFC 5545 3.8.1.6), no exponent, no trailing zeros."""
    return f"{round(value, 6) + 0.0:.6f}".rstrip("0").rstrip(".")  # + 0.0: never "-0"


def _text(name: str, text: str) -> Iterator[str]:
    """A text property, left out when there is nothing to say."""
    value = escaped(text)
    if value:
        yield f"{name}:{value}"


def _day(day: date) -> str:
    return f"{day.year:04}{day.month:02}{day.day:02}"


def _local(moment: datetime) -> str:
    return f"{_day(moment)}T{moment.hour:02}{moment.minute:02}{moment.second:02}"


def _moment(moment: datetime) -> str:
    return f"{_local(moment.astimezone(UTC))}Z"
