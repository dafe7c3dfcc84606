"""Busy calendars in: what counts as taken, what as free, and what is said of the rest."""

from __future__ import annotations

from datetime import UTC, date, datetime
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from places import TESTS
from read_here import read_here  # noqa: F401  (a fixture)

from seasonplan.busy.calendar import BusyReport, read_busy
from seasonplan.busy.expand import Taken
from seasonplan.busy.merge import merged
from seasonplan.days import Span
from seasonplan.errors import BadInput

CALENDARS = TESTS / "calendars"
HOME = "Europe/Vienna"
YEAR = Span(date(2026, 1, 1), date(2027, 1, 1))


def event(*lines: str) -> str:
    return "\n".join(["BEGIN:VEVENT", *lines, "END:VEVENT"])


def read(*events: str, span: Span = YEAR, zone: str = HOME) -> BusyReport:
    text = "\n".join(["BEGIN:VCALENDAR", "VERSION:2.0", *events, "END:VCALENDAR", ""])
    return read_busy(text.encode(), file="busy.ics", span=span, time_zone=zone)


def read_file(name: str) -> BusyReport:
    content = (CALENDARS / name).read_bytes()
    return read_busy(content, file=name, span=YEAR, time_zone=HOME)


def told(report: BusyReport) -> list[str]:
    """The spans in words, in the zone of the report."""
    return [f"{s.start:%m-%d %H:%M} to {s.end:%m-%d %H:%M}" for s in report.spans]


# --- recurrence ------------------------------------------------------------------------------


def test_a_series_keeps_its_hour_over_the_clock_change_and_its_exceptions() -> None:
    report = read_file("office.ics")
    assert told(report)[:6] == [
        "03-02 09:00 to 03-02 10:00",
        "03-04 09:00 to 03-04 10:00",
        "03-11 15:00 to 03-11 16:30",  # 9 March excepted, 11 March moved, 16 March cancelled
        "03-18 09:00 to 03-18 10:00",
        "03-23 09:00 to 03-23 10:00",
        "03-25 09:00 to 03-25 10:00",
    ]
    assert told(report)[6] == "03-30 09:00 to 03-30 10:00"
    assert report.spans[6].start.astimezone(UTC).hour == 7
    assert told(report)[-1] == "04-29 09:00 to 04-29 10:00"
    assert (report.skipped, report.notes) == ((), ())


def test_nothing_of_what_an_event_is_about_is_kept() -> None:
    assert "secret" not in read_file("office.ics").model_dump_json()


def test_an_until_without_a_time_includes_its_day() -> None:
    report = read(
        event(
            "UID:a",
            "DTSTART;TZID=America/Denver:20260601T200000",
            "DTEND;TZID=America/Denver:20260601T210000",
            "RRULE:FREQ=DAILY;UNTIL=20260603",
        ),
        zone="America/Denver",
    )
    assert [s.start.day for s in report.spans] == [1, 2, 3]


def test_a_series_from_long_ago_reaches_into_the_year() -> None:
    report = read(
        event("UID:a", "DTSTART;VALUE=DATE:19870504", "RRULE:FREQ=YEARLY"),
    )
    assert told(report) == ["05-04 00:00 to 05-05 00:00"]


def test_extra_dates_and_periods_are_read() -> None:
    report = read(
        event(
            "UID:a", "DTSTART:20260601T080000Z", "DTEND:20260601T090000Z",
            "RDATE:20260603T080000Z", "RDATE;VALUE=PERIOD:20260605T080000Z/PT2H",
        ),
        zone="UTC",
    )  # fmt: skip
    assert told(report) == [
        "06-01 08:00 to 06-01 09:00",
        "06-03 08:00 to 06-03 09:00",
        "06-05 08:00 to 06-05 10:00",
    ]


# --- zones, days and the clock change ---------------------------------------------------------


def test_zones_come_by_name_then_from_the_file_then_from_the_calendar() -> None:
    report = read_file("odd-zones.ics")
    utc = [f"{s.start.astimezone(UTC):%m-%d %H}" for s in report.spans]
    assert utc == [
        "03-03 06",  # the file's own zone, two hours ahead in winter
        "06-02 06",  # a Windows name
        "06-03 05",  # the file's own zone, three hours ahead in summer
        "06-04 14",  # unknown: the calendar's zone, Denver
        "06-05 14",  # its VTIMEZONE repeats every second: the calendar's zone
        "06-06 14",  # a name that is a path
        "06-07 06",  # floating: the climber's zone
        "06-08 08",
    ]
    notes = " ".join(note.reason for note in report.notes)
    for name in ("Nowhere/Land", "Hostile Zone", "../America"):
        assert f"{name}' is unknown: its times are read as America/Denver" in notes
    assert "SECONDLY" in notes
    assert report.skipped == ()


def test_spans_are_in_the_climbers_zone() -> None:
    report = read_file("odd-zones.ics")
    assert {str(s.start.tzinfo) for s in report.spans} == {HOME}


@pytest.mark.parametrize(("day", "hours"), [("20260329", 23), ("20261025", 25), ("20260601", 24)])
def test_an_all_day_event_is_as_long_as_its_day(day: str, hours: int) -> None:
    (span,) = read(event("UID:a", f"DTSTART;VALUE=DATE:{day}")).spans
    length = span.end.astimezone(UTC) - span.start.astimezone(UTC)
    assert (length.total_seconds(), span.all_day) == (hours * 3600, True)


def test_an_hour_that_comes_twice_and_one_that_never_comes_are_both_read() -> None:
    report = read(
        event("UID:a", "DTSTART:20260329T013000", "DTEND:20260329T033000"),
        event("UID:b", "DTSTART:20261025T013000", "DTEND:20261025T033000"),
    )
    lengths = [(s.end.astimezone(UTC) - s.start.astimezone(UTC)) for s in report.spans]
    assert [length.total_seconds() / 3600 for length in lengths] == [1, 3]


@pytest.mark.parametrize("end", ["DTEND;VALUE=DATE:20260604", "DTEND;VALUE=DATE:20260605"])
def test_an_all_day_end_is_the_day_after_or_the_day_itself(end: str) -> None:
    report = read(event("UID:a", "DTSTART;VALUE=DATE:20260604", end))
    assert told(report) == ["06-04 00:00 to 06-05 00:00"]


def test_a_date_without_value_date_is_still_a_day() -> None:
    assert read(event("UID:a", "DTSTART:20260604")).spans[0].all_day


def test_an_event_over_the_edge_is_cut_at_the_edge() -> None:
    span = Span(date(2026, 6, 1), date(2026, 6, 3))
    report = read(
        event("UID:a", "DTSTART;VALUE=DATE:20260525", "DTEND;VALUE=DATE:20260620"), span=span
    )
    assert told(report) == ["06-01 00:00 to 06-03 00:00"]


# --- free, cancelled, tentative ----------------------------------------------------------------


def test_transparent_days_are_free_and_transparent_hours_are_named() -> None:
    report = read(
        event("UID:birthday", "DTSTART;VALUE=DATE:20260604", "TRANSP:TRANSPARENT"),
        event("UID:leave", "DTSTART;VALUE=DATE:20260605", "TRANSP:OPAQUE"),
        event("UID:class", "DTSTART:20260606T08", "TRANSP:TRANSPARENT"),
        event(
            "UID:lesson", "DTSTART:20260607T080000", "DTEND:20260607T090000", "TRANSP:transparent"
        ),
    )
    assert told(report) == ["06-05 00:00 to 06-06 00:00"]
    assert [(s.uid, s.reason) for s in report.skipped] == [
        ("class", "its DTSTART is '20260606T08'"),
        ("lesson", "it is marked free"),
    ]


def test_cancelled_is_left_out_and_tentative_is_marked() -> None:
    report = read(
        event("UID:a", "DTSTART:20260604T080000", "DURATION:PT1H", "STATUS:CANCELLED"),
        event("UID:b", "DTSTART:20260605T080000", "DURATION:PT1H", "STATUS:TENTATIVE"),
        event("UID:c", "DTSTART:20260606T080000", "DURATION:PT1H", "STATUS:CONFIRMED"),
    )
    assert [(s.start.day, s.tentative) for s in report.spans] == [(5, True), (6, False)]
    assert report.skipped == ()


def test_tentative_time_counts_only_beside_certain_time() -> None:
    report = read(
        event("UID:a", "DTSTART:20260604T080000", "DURATION:PT4H", "STATUS:TENTATIVE"),
        event("UID:b", "DTSTART:20260604T090000", "DURATION:PT1H"),
    )
    assert [(f"{s.start:%H}-{s.end:%H}", s.tentative) for s in report.spans] == [
        ("08-09", True),
        ("09-10", False),
        ("10-12", True),
    ]


def test_hours_inside_a_whole_day_leave_it_a_whole_day() -> None:
    report = read(
        event("UID:a", "DTSTART;VALUE=DATE:20260604"),
        event("UID:b", "DTSTART:20260604T090000", "DURATION:PT1H"),
        event("UID:c", "DTSTART:20260606T090000", "DURATION:PT1H"),
    )
    assert [(told(report)[i], s.all_day) for i, s in enumerate(report.spans)] == [
        ("06-04 00:00 to 06-05 00:00", True),
        ("06-06 09:00 to 06-06 10:00", False),
    ]


ZERO = datetime(2026, 6, 1, tzinfo=ZoneInfo("UTC"))
STRETCHES = st.lists(
    st.tuples(st.integers(0, 40), st.integers(1, 12), st.booleans(), st.booleans()), max_size=8
)


@settings(max_examples=200, deadline=None)
@given(STRETCHES)
def test_merging_keeps_every_hour_once_and_certain_time_certain(
    stretches: list[tuple[int, int, bool, bool]],
) -> None:
    def hour(number: int) -> datetime:
        return ZERO.replace(day=1 + number // 24, hour=number % 24)

    taken = [Taken(hour(at), hour(at + n), day, maybe) for at, n, day, maybe in stretches]
    result = merged(taken)
    assert all(one.end <= two.start for one, two in pairwise(result))
    for number in range(60):
        before = [t.tentative for t in taken if t.start <= hour(number) < t.end]
        after = [t.tentative for t in result if t.start <= hour(number) < t.end]
        assert after == ([all(before)] if before else [])


# --- bad events ----------------------------------------------------------------------------------


def test_bad_events_are_named_with_their_line_and_the_good_ones_stay() -> None:
    report = read_file("half-broken.ics")
    assert [(s.uid, s.line) for s in report.skipped] == [
        ("no-start", 4),
        ("no-such-day", 8),
        ("backwards", 13),
        ("mixed", 18),
        ("words", 23),
        ("reminder", 27),
        ("unfinished", 31),
        ("bad-change", 44),
    ]
    assert [s.start.day for s in report.spans] == [14, 15, 16, 18, 19]
    notes = [note.reason for note in report.notes]
    assert notes == [
        "the file ends early: it may be cut off",
        "2 events share one UID: each is read as its own",
    ]


def test_every_remark_says_why() -> None:
    reasons = {s.uid: s.reason for s in read_file("half-broken.ics").skipped}
    assert reasons["no-start"] == "it has no DTSTART"
    assert reasons["backwards"] == "it ends before it begins"
    assert reasons["unfinished"] == "it has no END:VEVENT"
    assert reasons["reminder"] == "it takes no time"
    assert reasons["bad-change"] == "a change to one date: it ends before it begins"
    assert "DTSTART" in reasons["no-such-day"]


def test_broken_bytes_spoil_one_event_only() -> None:
    content = (
        b"\xef\xbb\xbfBEGIN:VCALENDAR\rBEGIN:VEVENT\rUID:\xff\xfe\rDTSTART:2026\xff0604T080000\r"
        b"END:VEVENT\rBEGIN:VEVENT\rUID:b\rSUMMARY:\xc3\x28\rDTSTART:202606\r 05T080000\r"
        b"DURATION:PT1H\rEND:VEVENT\rEND:VCALENDAR\r"
    )
    report = read_busy(content, file="b.ics", span=YEAR, time_zone=HOME)
    assert told(report) == ["06-05 08:00 to 06-05 09:00"]
    assert [s.line for s in report.skipped] == [2]


def test_a_file_without_events_is_never_busy() -> None:
    assert read().spans == ()


@pytest.mark.parametrize(
    ("content", "found"),
    [
        (b"", "an empty file"),
        (b"<!DOCTYPE html><p>Sign in", "a web page or XML"),
        (b"PK\x03\x04rest", "a packed file"),
        (b"day,hours\n1,2\n", "a file that begins 'day,hours\\n1,2\\n'"),
        (b"BEGIN:VCALENDAR\nCALSCALE:LUNAR\n", "a calendar counted as 'LUNAR'"),
    ],
)
def test_a_file_that_is_no_calendar_is_refused_in_one_sentence(content: bytes, found: str) -> None:
    with pytest.raises(BadInput) as refused:
        read_busy(content, file="work.ics", span=YEAR, time_zone=HOME)
    (fault,) = refused.value.faults
    assert (fault.file, fault.found) == ("work.ics", found)
