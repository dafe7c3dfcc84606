"""Events are written by our own lines: icalendar, given the same, writes the same."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

import pytest
from icalendar import Alarm, Event, vText
from test_clients import NASTY, PLACES

from seasonplan.days import Span
from seasonplan.ical.appointments import Appointment
from seasonplan.ical.changes import Change
from seasonplan.ical.event import UTC_NAMES, event_bytes
from seasonplan.ical.happenings import Happening
from seasonplan.ical.text import escaped, folded

CHANGE = Change(datetime(2027, 1, 2, 12, tzinfo=UTC), 3)
ONE, TWO = UUID(int=1), UUID(int=2)


class Text(vText):
    """icalendar escapes otherwise (see seasonplan/ical/text.py); the rest is its own."""

    def to_ical(self) -> bytes:
        return escaped(self).encode()


def by_icalendar(told: Any, category: str, start: Any, end: Any) -> bytes:
    """The event as icalendar orders and writes its properties; only folding is ours."""
    event = Event()
    for key, text in (
        ("summary", told.title), ("description", told.description), ("location", told.place),
    ):  # fmt: skip
        if escaped(text):
            event.add(key, Text(text))
    event.add("uid", str(told.uid))
    event.add("dtstamp", told.change.stamp)
    event.add("last-modified", told.change.stamp)
    event.add("sequence", told.change.sequence)
    event.add("dtstart", start)
    event.add("dtend", end)
    event.add("categories", [category])
    if told.point is not None:
        event.add("geo", told.point)
    if told.url:
        event.add("url", told.url)
    event.add("transp", "OPAQUE" if told.busy else "TRANSPARENT")
    event.add("x-microsoft-cdo-busystatus", "BUSY" if told.busy else "FREE")
    if isinstance(told, Appointment):
        event.add("related-to", str(told.part_of))
        if told.alarm_minutes is not None:
            alarm = Alarm()
            alarm.add("action", "DISPLAY")
            alarm.add("description", Text(told.title))
            alarm.add("trigger", -timedelta(minutes=told.alarm_minutes))
            event.add_component(alarm)
    return b"".join(folded(str(line)) for line in event.content_lines() if line)


def appointment(start: datetime, **more: Any) -> Appointment:
    values = {"title": "Routes", "change": CHANGE, "part_of": TWO} | more
    return Appointment(ONE, start, start + timedelta(minutes=90), **values)


@pytest.mark.parametrize("text", [*NASTY, "", "plain"])
def test_whole_days_are_written_as_icalendar_writes_them(text: str) -> None:
    span = Span.through(date(2028, 2, 28), date(2028, 2, 29))
    told = Happening(
        ONE, span, text, "Trip", CHANGE, description=text, place=text, busy=True,
        url=f"http://me.example:8642/{'x' * 32}/{ONE}" if text else "",
    )  # fmt: skip
    assert event_bytes(told) == by_icalendar(told, "Trip", span.first, span.after)


@pytest.mark.parametrize("point", [(45.75, -13.8), (-0.5, 179.123456)])
def test_places_are_written_as_icalendar_writes_them(point: tuple[float, float]) -> None:
    start = datetime(2027, 1, 5, 18, tzinfo=ZoneInfo("Europe/Vienna"))
    told = appointment(start, point=point, place="Karst")
    assert event_bytes(told) == by_icalendar(told, "Session", told.start, told.end)
    assert b"\r\nGEO:0;12\r\n" in event_bytes(appointment(start, point=(-2e-7, 12.0)))


@pytest.mark.parametrize("minutes", [None, 0, 1, 59, 60, 61, 90, 120, 1439, 1440])
def test_alarms_are_written_as_icalendar_writes_them(minutes: int | None) -> None:
    start = datetime(2027, 1, 5, 18, tzinfo=ZoneInfo("Europe/Vienna"))
    told = appointment(start, alarm_minutes=minutes, busy=False, description="a\\n; b")
    assert event_bytes(told) == by_icalendar(told, "Session", told.start, told.end)


@pytest.mark.parametrize(
    "zone", [*dict.fromkeys(zone for zone, _, _ in PLACES), *sorted(UTC_NAMES)]
)
def test_hours_are_written_as_icalendar_writes_them(zone: str) -> None:
    told = appointment(datetime(2027, 6, 5, 18, 30, tzinfo=ZoneInfo(zone)))
    assert event_bytes(told) == by_icalendar(told, "Session", told.start, told.end)


# 31 October 2027, from memory of EU 2000/84/EC: 03:00 summer time becomes 02:00. RFC 5545 3.3.5
# means the first of two equal times; ical.js 2.2.1 takes the second, so neither is written
@pytest.mark.parametrize("fold", [0, 1])
def test_an_hour_that_comes_twice_is_written_in_utc(fold: int) -> None:
    twice = datetime(2027, 10, 31, 2, 30, tzinfo=ZoneInfo("Europe/Vienna"), fold=fold)
    told = Appointment(ONE, twice, twice + timedelta(hours=2), "Routes", CHANGE, TWO)
    assert f"\r\nDTSTART:20271031T0{fold}3000Z\r\n".encode() in event_bytes(told)
    assert b"TZID" not in event_bytes(told)


@pytest.mark.parametrize("fold", [0, 1])
def test_an_end_in_the_hour_that_comes_twice_is_written_in_utc(fold: int) -> None:
    """The start alone is clear: half past one comes once."""
    zone = ZoneInfo("Europe/Vienna")
    start = datetime(2027, 10, 31, 1, 30, tzinfo=zone)
    end = datetime(2027, 10, 31, 2, 30, tzinfo=zone, fold=fold)
    told = event_bytes(Appointment(ONE, start, end, "Routes", CHANGE, TWO))
    assert b"\r\nDTSTART:20271030T233000Z\r\n" in told
    assert f"\r\nDTEND:20271031T0{fold}3000Z\r\n".encode() in told
    assert b"TZID" not in told
