"""Happenings to the bytes of an iCalendar file. All writing with icalendar is done here.

Chooses the properties; what they say was decided before, and `text` puts every text in form.
There is no METHOD (a feed is a snapshot, RFC 5545 3.7.2), no alarm, and no SOURCE (it would
carry the secret address of a feed into files that people share).
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from uuid import uuid5

from icalendar import Calendar, Component, Event, Timezone, TimezoneStandard, vText

from seasonplan.ical.changes import calendar_change
from seasonplan.ical.happenings import Happening
from seasonplan.ical.text import escaped, folded, one_line
from seasonplan.plan import Plan
from seasonplan.year import Year

PRODID = "-//seasonplan//calendar//EN"
COLOUR, COLOUR_HEX = "teal", "#008080"  # one colour twice: CSS3 name (RFC 7986 5.9) and RGB
REFRESH_HOURS = 6


class _Text(vText):
    """A TEXT value in our own form."""

    def to_ical(self) -> bytes:
        return escaped(self).encode()


def written(year: Year, plan: Plan, happenings: Sequence[Happening], *, name: str) -> bytes:
    """The whole file: calendar properties, then the events in the order given."""
    calendar = _calendar(year, plan, name=one_line(name))
    for happening in happenings:
        calendar.add_component(_event(happening))
    if not happenings:
        calendar.add_component(_utc_zone())
    return b"".join(folded(str(line)) for line in calendar.content_lines() if line)


def _calendar(year: Year, plan: Plan, *, name: str) -> Calendar:
    calendar = Calendar()
    calendar.add("version", "2.0")
    _put(calendar, "prodid", PRODID)
    for key in ("name", "x-wr-calname"):
        _put(calendar, key, name)
    calendar.add("uid", str(uuid5(plan.calendar_key, "calendar")))
    calendar.add("last-modified", calendar_change(plan).stamp)
    calendar.add(
        "refresh-interval", timedelta(hours=REFRESH_HOURS), parameters={"VALUE": "DURATION"}
    )
    calendar.add("x-published-ttl", f"PT{REFRESH_HOURS}H")
    calendar.add("color", COLOUR)
    calendar.add("x-apple-calendar-color", COLOUR_HEX)
    calendar.add("x-wr-timezone", year.climber.time_zone)
    return calendar


def _event(happening: Happening) -> Event:
    event = Event()
    event.add("uid", str(happening.uid))
    event.add("dtstart", happening.span.first)
    event.add("dtend", happening.span.after)
    for key in ("dtstamp", "last-modified"):
        event.add(key, happening.change.stamp)
    event.add("sequence", happening.change.sequence)
    _put(event, "summary", happening.title)
    _put(event, "description", happening.description)
    _put(event, "location", happening.place)
    event.add("categories", [happening.category])
    event.add("transp", "OPAQUE" if happening.busy else "TRANSPARENT")
    event.add("x-microsoft-cdo-busystatus", "BUSY" if happening.busy else "FREE")
    return event


def _put(component: Component, key: str, text: str) -> None:
    """A text property, left out when there is nothing to say."""
    if escaped(text):
        component.add(key, _Text(text))


def _utc_zone() -> Timezone:
    """What an empty calendar holds: RFC 5545 3.6 wants at least one component, and none shows."""
    standard = TimezoneStandard()
    standard.add("dtstart", datetime(1970, 1, 1))  # noqa: DTZ001  # local by RFC 5545 3.6.5
    standard.add("tzoffsetfrom", timedelta(0))
    standard.add("tzoffsetto", timedelta(0))
    standard.add("tzname", "UTC")
    zone = Timezone()
    zone.add("tzid", "Etc/UTC")
    zone.add_component(standard)
    return zone
