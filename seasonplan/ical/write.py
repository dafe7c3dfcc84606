"""Happenings and appointments to the bytes of an iCalendar file: the calendar and its zones.

`event` writes the events, `text` puts every text in form.
There is no METHOD (a feed is a snapshot, RFC 5545 3.7.2), an alarm only where one is asked for,
and no SOURCE (it would carry the secret address of a feed into files that people share).
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from uuid import uuid5

from icalendar import (
    Calendar,
    Component,
    Timezone,
    TimezoneDaylight,
    TimezoneStandard,
    vText,
)

from seasonplan.ical.appointments import Appointment, related
from seasonplan.ical.changes import calendar_change
from seasonplan.ical.event import event_bytes
from seasonplan.ical.happenings import Happening
from seasonplan.ical.look import WHOLE, Colour
from seasonplan.ical.text import escaped, folded, one_line
from seasonplan.ical.zones import Onset, onsets
from seasonplan.plan import Plan
from seasonplan.year import Year

PRODID = "-//seasonplan//calendar//EN"
REFRESH_HOURS = 6
_END = b"END:VCALENDAR\r\n"
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
    since: datetime | None = None,
) -> bytes:
    """The whole file: calendar properties, the zones used, then the events in the order given.

    `since` is when anything in it last changed; left out, the revisions tell.
    """
    since = since or calendar_change(plan).stamp
    calendar = _calendar(year, plan, name=one_line(name), colour=colour, part=part, since=since)
    if not happenings and not appointments:
        calendar.add_component(_utc_zone())
    return _whole(calendar, happenings, appointments)


def written_alone(told: Happening | Appointment) -> bytes:
    """A file of one event, as a CalDAV collection keeps it: no name, no METHOD (RFC 4791 4.1)."""
    zones = [] if isinstance(told, Happening) else _zones([told])
    return _with(_bare_calendar(), zones, [told])


def written_cancelled(
    happenings: Sequence[Happening], appointments: Sequence[Appointment]
) -> bytes:
    """A file that takes these events back where they were imported (RFC 5546 3.2.5).

    It wants an organizer, whom our events do not have: one at a host that never is (RFC 2606).
    """
    calendar = _bare_calendar()
    calendar.add("method", "CANCEL")
    return _whole(calendar, happenings, appointments, by=ORGANIZER)


def _whole(
    calendar: Calendar,
    happenings: Sequence[Happening],
    appointments: Sequence[Appointment],
    *,
    by: str = "",
) -> bytes:
    """A calendar with the zones its events use, and the events; taken back `by` whom."""
    shown = {one.uid for one in happenings}
    told: list[Happening | Appointment] = [*happenings, *related(appointments, shown)]
    return _with(calendar, _zones(appointments), told, by=by)


def _with(
    calendar: Calendar,
    zones: Sequence[Timezone],
    told: Sequence[Happening | Appointment],
    *,
    by: str = "",
) -> bytes:
    for zone in zones:
        calendar.add_component(zone)
    events = [event_bytes(one, cancelled_by=by) for one in told]
    return b"".join([_as_bytes(calendar).removesuffix(_END), *events, _END])


def _as_bytes(component: Component) -> bytes:
    return b"".join(folded(str(line)) for line in component.content_lines() if line)


def _bare_calendar() -> Calendar:
    """What every file begins with."""
    calendar = Calendar()
    calendar.add("version", "2.0")
    _put(calendar, "prodid", PRODID)
    return calendar


def _calendar(
    year: Year, plan: Plan, *, name: str, colour: Colour, part: str, since: datetime
) -> Calendar:
    calendar = _bare_calendar()
    for key in ("name", "x-wr-calname"):
        _put(calendar, key, name)
    calendar.add("uid", str(uuid5(plan.calendar_key, part)))
    calendar.add("last-modified", since)
    calendar.add(
        "refresh-interval", timedelta(hours=REFRESH_HOURS), parameters={"VALUE": "DURATION"}
    )
    calendar.add("x-published-ttl", f"PT{REFRESH_HOURS}H")
    calendar.add("color", colour.value)
    calendar.add("x-apple-calendar-color", colour.hex)
    calendar.add("x-wr-timezone", year.climber.time_zone)
    return calendar


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
