"""Happenings to the bytes of an iCalendar file. All writing with icalendar is done here.

Chooses the properties; what they say was decided before, and `text` puts every text in form.
There is no METHOD (a feed is a snapshot, RFC 5545 3.7.2), an alarm only where one is asked for,
and no SOURCE (it would carry the secret address of a feed into files that people share).
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from uuid import uuid5

from icalendar import (
    Alarm,
    Calendar,
    Component,
    Event,
    Timezone,
    TimezoneDaylight,
    TimezoneStandard,
    vText,
)

from seasonplan.ical.appointments import CATEGORY, Appointment
from seasonplan.ical.changes import calendar_change
from seasonplan.ical.happenings import Happening
from seasonplan.ical.look import WHOLE, Colour
from seasonplan.ical.text import escaped, folded, one_line
from seasonplan.ical.zones import Onset, onsets
from seasonplan.plan import Plan
from seasonplan.year import Year

PRODID = "-//seasonplan//calendar//EN"
REFRESH_HOURS = 6
ORGANIZER = "mailto:nobody@seasonplan.invalid"


class _Text(vText):
    """A TEXT value in our own form."""

    def to_ical(self) -> bytes:
        return escaped(self).encode()


def written(
    year: Year,
    plan: Plan,
    happenings: Sequence[Happening],
    appointments: Sequence[Appointment],
    *,
    name: str,
    colour: Colour = Colour.TEAL,
    part: str = WHOLE,
) -> bytes:
    """The whole file: calendar properties, the zones used, then the events in the order given."""
    calendar = _calendar(year, plan, name=one_line(name), colour=colour, part=part)
    _fill(calendar, happenings, appointments)
    if not happenings and not appointments:
        calendar.add_component(_utc_zone())
    return as_bytes(calendar)


def written_alone(told: Happening | Appointment) -> bytes:
    """A file of one event, as a CalDAV collection keeps it: no name, no METHOD (RFC 4791 4.1)."""
    calendar = bare_calendar()
    if isinstance(told, Happening):
        _fill(calendar, [told], [])
    else:
        _fill(calendar, [], [told])
    return as_bytes(calendar)


def written_cancelled(
    happenings: Sequence[Happening], appointments: Sequence[Appointment]
) -> bytes:
    """A file that takes these events back where they were imported (RFC 5546 3.2.5).

    It wants an organizer, whom our events do not have: one at a host that never is (RFC 2606).
    """
    calendar = bare_calendar()
    calendar.add("method", "CANCEL")
    _fill(calendar, happenings, appointments)
    for event in calendar.walk("VEVENT"):
        event.add("status", "CANCELLED")
        event.add("organizer", ORGANIZER)
    return as_bytes(calendar)


def bare_calendar() -> Calendar:
    """What every file begins with."""
    calendar = Calendar()
    calendar.add("version", "2.0")
    _put(calendar, "prodid", PRODID)
    return calendar


def as_bytes(calendar: Calendar) -> bytes:
    return b"".join(folded(str(line)) for line in calendar.content_lines() if line)


def _fill(
    calendar: Calendar, happenings: Sequence[Happening], appointments: Sequence[Appointment]
) -> None:
    for zone in _zones(appointments):
        calendar.add_component(zone)
    for happening in happenings:
        calendar.add_component(_event(happening))
    for appointment in appointments:
        calendar.add_component(_timed(appointment))


def _calendar(year: Year, plan: Plan, *, name: str, colour: Colour, part: str) -> Calendar:
    calendar = bare_calendar()
    for key in ("name", "x-wr-calname"):
        _put(calendar, key, name)
    calendar.add("uid", str(uuid5(plan.calendar_key, part)))
    calendar.add("last-modified", calendar_change(plan).stamp)
    calendar.add(
        "refresh-interval", timedelta(hours=REFRESH_HOURS), parameters={"VALUE": "DURATION"}
    )
    calendar.add("x-published-ttl", f"PT{REFRESH_HOURS}H")
    calendar.add("color", colour.value)
    calendar.add("x-apple-calendar-color", colour.hex)
    calendar.add("x-wr-timezone", year.climber.time_zone)
    return calendar


def _event(happening: Happening) -> Event:
    """An event over whole days."""
    event = _told(happening)
    event.add("dtstart", happening.span.first)
    event.add("dtend", happening.span.after)
    event.add("categories", [happening.category])
    return event


def _timed(appointment: Appointment) -> Event:
    """An event at its hours; in UTC if it touches an hour that the wall clock shows twice.

    The second of the two no local time of RFC 5545 can say, and readers differ about the first.
    """
    event = _told(appointment)
    again = _comes_twice(appointment.start) or _comes_twice(appointment.end)
    for key, moment in (("dtstart", appointment.start), ("dtend", appointment.end)):
        event.add(key, moment.astimezone(UTC) if again else moment)
    event.add("categories", [CATEGORY])
    event.add("related-to", str(appointment.part_of))
    if appointment.alarm_minutes is not None:
        event.add_component(_alarm(appointment.title, appointment.alarm_minutes))
    return event


def _comes_twice(moment: datetime) -> bool:
    return moment.replace(fold=0).utcoffset() != moment.replace(fold=1).utcoffset()


def _told(told: Happening | Appointment) -> Event:
    """What every event has."""
    event = Event()
    event.add("uid", str(told.uid))
    for key in ("dtstamp", "last-modified"):
        event.add(key, told.change.stamp)
    event.add("sequence", told.change.sequence)
    _put(event, "summary", told.title)
    _put(event, "description", told.description)
    _put(event, "location", told.place)
    event.add("transp", "OPAQUE" if told.busy else "TRANSPARENT")
    event.add("x-microsoft-cdo-busystatus", "BUSY" if told.busy else "FREE")
    return event


def _alarm(title: str, minutes: int) -> Alarm:
    """A message some minutes before; RFC 5545 3.6.6 wants its text again."""
    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    _put(alarm, "description", title)
    alarm.add("trigger", -timedelta(minutes=minutes))
    return alarm


def _put(component: Component, key: str, text: str) -> None:
    """A text property, left out when there is nothing to say."""
    if escaped(text):
        component.add(key, _Text(text))


def _zones(appointments: Sequence[Appointment]) -> list[Timezone]:
    """Every zone that is used, by name, for the years in which it is."""
    years: dict[str, list[int]] = {}
    for one in appointments:
        years.setdefault(str(one.start.tzinfo), []).extend((one.start.year, one.end.year))
    return [
        timezone(zone, first_year=min(years[zone]), last_year=max(years[zone]))
        for zone in sorted(years)
    ]


def timezone(zone: str, *, first_year: int, last_year: int) -> Timezone:
    """A zone of the IANA database as RFC 5545 3.6.5 writes it, good for these years."""
    component = Timezone()
    component.add("tzid", zone)
    for onset in onsets(zone, first_year=first_year, last_year=last_year):
        component.add_component(_observance(onset))
    return component


def _observance(onset: Onset) -> TimezoneStandard | TimezoneDaylight:
    observance = TimezoneDaylight() if onset.summer else TimezoneStandard()
    observance.add("dtstart", onset.local)
    observance.add("tzoffsetfrom", onset.before)
    observance.add("tzoffsetto", onset.after)
    observance.add("tzname", onset.name)
    if onset.rule:
        observance.add("rrule", dict(onset.rule))
    return observance


def _utc_zone() -> Timezone:
    """What an empty calendar holds: RFC 5545 3.6 wants at least one component, and none shows."""
    return timezone("Etc/UTC", first_year=1971, last_year=1971)
