"""Time zones of the calendar against the IANA database, for every zone there is."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo, available_timezones

import pytest
from dateutil.rrule import rrulestr
from icalendar import Timezone

from seasonplan.ical.write import timezone
from seasonplan.ical.zones import onsets

# pairs of years as a plan of 104 weeks may touch them, and one of three
WINDOWS = ((2024, 2025), (2026, 2027), (2028, 2029), (2030, 2032))
HALF_DAY = timedelta(hours=12)
Told = list[tuple[datetime, timedelta, timedelta]]  # onset in UTC, offset before, offset after


def told_by(component: Timezone, last_year: int) -> Told:
    """Every onset a reader works out of a VTIMEZONE, by dateutil and RFC 5545 3.6.5."""
    found = []
    for part in component.subcomponents:
        before, after = part["TZOFFSETFROM"].td, part["TZOFFSETTO"].td
        first = part["DTSTART"].dt
        assert first.tzinfo is None
        locals_ = [first]
        if "RRULE" in part:
            rule = rrulestr(part["RRULE"].to_ical().decode(), dtstart=first)
            locals_ = rule.between(first, datetime(last_year + 1, 1, 2), inc=True)  # noqa: DTZ001
            assert locals_[0] == first, "DTSTART is the first instance"
        found += [((local - before).replace(tzinfo=UTC), before, after) for local in locals_]
    return sorted(found)


def half_days(first_year: int, last_year: int) -> Iterator[datetime]:
    moment = datetime(first_year, 1, 1, tzinfo=UTC) - timedelta(days=1)
    while moment < datetime(last_year + 1, 1, 1, tzinfo=UTC):
        yield moment
        moment += HALF_DAY


@pytest.mark.parametrize(("first_year", "last_year"), WINDOWS)
def test_every_zone_has_the_offsets_of_the_iana_database(first_year: int, last_year: int) -> None:
    moments = list(half_days(first_year, last_year))
    checked = {"zones": 0, "rules": 0, "single": 0}
    for name in sorted(available_timezones()):
        zone = ZoneInfo(name)
        component = timezone(name, first_year=first_year, last_year=last_year)
        told = told_by(component, last_year)
        begins = [onset for onset, _, _ in told]
        places = [bisect_left(moments, onset) for onset in begins]
        assert places[0] == 0, (name, begins[0])
        for first, end, (onset, _, offset) in zip(places, [*places[1:], None], told, strict=True):
            held = {moment.astimezone(zone).utcoffset() for moment in moments[first:end]}
            assert held <= {offset}, (name, onset)  # none is missing
        for onset, before, after in told:  # each is right to the minute
            if moments[0] < onset < moments[-1]:
                minute_before = (onset - timedelta(minutes=1)).astimezone(zone)
                assert minute_before.utcoffset() == before, (name, onset)
                assert onset.astimezone(zone).utcoffset() == after, (name, onset)
        checked["zones"] += 1
        checked["rules" if b"RRULE" in component.to_ical() else "single"] += 1
    assert checked["zones"] > 400 and checked["rules"] > 100 and checked["single"] > 100, checked


# From memory of the law: EU directive 2000/84/EC, last Sundays of March and October at 01:00 UTC
def test_a_regular_zone_is_two_yearly_rules() -> None:
    lines = timezone("Europe/Vienna", first_year=2027, last_year=2028).to_ical().decode().split()
    assert lines == [
        "BEGIN:VTIMEZONE", "TZID:Europe/Vienna",
        "BEGIN:DAYLIGHT", "DTSTART:20260329T020000", "RRULE:FREQ=YEARLY;BYDAY=-1SU;BYMONTH=3",
        "TZNAME:CEST", "TZOFFSETFROM:+0100", "TZOFFSETTO:+0200", "END:DAYLIGHT",
        "BEGIN:STANDARD", "DTSTART:20261025T030000", "RRULE:FREQ=YEARLY;BYDAY=-1SU;BYMONTH=10",
        "TZNAME:CET", "TZOFFSETFROM:+0200", "TZOFFSETTO:+0100", "END:STANDARD",
        "END:VTIMEZONE",
    ]  # fmt: skip


# From memory: US Energy Policy Act of 2005, second Sunday of March, first of November
def test_a_rule_counts_sundays_from_the_first_where_the_law_does() -> None:
    rules = [
        dict(one.rule)["byday"] for one in onsets("America/Denver", first_year=2027, last_year=2027)
    ]
    assert rules == ["2SU", "1SU"]


def test_a_zone_that_follows_the_moon_has_each_onset_alone() -> None:
    found = onsets("Africa/Casablanca", first_year=2027, last_year=2028)
    assert len(found) == 7  # what held at first, then two a year from the year before
    assert not any(one.rule for one in found)


def test_a_zone_without_summer_time_is_one_onset() -> None:
    (only,) = onsets("Asia/Kolkata", first_year=2027, last_year=2028)
    assert only.before == only.after == timedelta(hours=5, minutes=30)


# Measured: some readers take only the first date of an RDATE
@pytest.mark.parametrize("zone", ["Europe/Vienna", "Africa/Casablanca", "Asia/Gaza", "Etc/UTC"])
def test_no_onset_is_written_as_rdate(zone: str) -> None:
    assert b"RDATE" not in timezone(zone, first_year=2026, last_year=2028).to_ical()
