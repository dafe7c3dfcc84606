"""Busy calendars: events over a change of the clocks, and lists of busy times."""

from __future__ import annotations

import pytest
from read_here import read_here  # noqa: F401  (a fixture)
from test_busy import HOME, YEAR, event, read, told

from seasonplan.busy.calendar import read_busy
from seasonplan.ical.taken import meaning_of

# --- over the change of the clocks -----------------------------------------------------------


# 29 March 2026, from memory of EU 2000/84/EC: 02:00 becomes 03:00. RFC 5545 3.3.6: days and weeks
# of a DURATION are nominal, hours, minutes and seconds are exact time
@pytest.mark.parametrize(
    ("start", "last", "end"),
    [
        ("20260329T013000", "DURATION:PT2H", "03-29 04:30"),
        ("20260328T220000", "DURATION:PT8H", "03-29 07:00"),
        ("20260328T220000", "DURATION:PT24H", "03-29 23:00"),
        ("20260328T220000", "DURATION:P1D", "03-29 22:00"),
        ("20260328T220000", "DURATION:P1DT2H", "03-30 00:00"),
        ("20260328T013000", "DURATION:P1DT2H", "03-29 04:30"),
        ("20260325T220000", "DURATION:P1W", "04-01 22:00"),
        ("20260328T220000", "DTEND;TZID=Europe/Vienna:20260329T060000", "03-29 06:00"),
        ("20260328T220000", "DTEND:20260329T040000Z", "03-29 06:00"),
        ("20261024T220000", "DURATION:PT8H", "10-25 05:00"),
    ],
)
def test_an_event_over_a_change_of_the_clocks_ends_in_exact_time(
    start: str, last: str, end: str
) -> None:
    report = read(event("UID:a", f"DTSTART;TZID=Europe/Vienna:{start}", last))
    (span,) = report.spans
    assert f"{span.end:%m-%d %H:%M}" == end


# RFC 5545 3.8.5.3: with DTEND every instance lasts as long in exact time, with DURATION nominally
@pytest.mark.parametrize(
    ("last", "ends"),
    [
        ("DTEND;TZID=Europe/Vienna:20260328T060000", ["06:00", "07:00", "06:00"]),
        ("DURATION:PT8H", ["06:00", "07:00", "06:00"]),
        ("DURATION:P1D", ["22:00"]),
    ],
)
def test_a_nightly_series_ends_an_hour_later_by_the_clock_in_the_night_that_is_shorter(
    last: str, ends: list[str]
) -> None:
    begun = "DTSTART;TZID=Europe/Vienna:20260327T220000"
    report = read(event("UID:a", begun, last, "RRULE:FREQ=DAILY;COUNT=3"))
    assert [f"{span.end:%H:%M}" for span in report.spans] == ends


def test_a_change_to_one_date_lasts_as_long_as_it_says_itself() -> None:
    report = read(
        event(
            "UID:a", "DTSTART;TZID=Europe/Vienna:20260327T220000", "DURATION:PT8H",
            "RRULE:FREQ=DAILY;COUNT=3",
        ),
        event(
            "UID:a", "RECURRENCE-ID;TZID=Europe/Vienna:20260328T220000",
            "DTSTART;TZID=Europe/Vienna:20260328T230000", "DURATION:PT4H",
        ),
    )  # fmt: skip
    assert told(report)[1] == "03-28 23:00 to 03-29 04:00"


# --- lists of busy times ---------------------------------------------------------------------


def listed(*lines: str) -> str:
    return "\n".join(["BEGIN:VFREEBUSY", "UID:fb", "DTSTAMP:20260101T000000Z", *lines,
                      "END:VFREEBUSY"])  # fmt: skip


# RFC 5545 3.6.4, 3.8.2.6 and 3.2.9: periods in UTC, busy unless said otherwise; a kind that
# nobody knows is busy
def test_a_list_of_busy_times_is_read() -> None:
    report = read(
        listed(
            "DTSTART:20260601T000000Z", "DTEND:20260701T000000Z",
            "FREEBUSY:20260604T080000Z/20260604T090000Z,20260605T080000Z/PT30M",
            "FREEBUSY;FBTYPE=FREE:20260606T080000Z/PT8H",
            "FREEBUSY;FBTYPE=BUSY-TENTATIVE:20260607T080000Z/PT1H",
            'FREEBUSY;FBTYPE="BUSY-UNAVAILABLE":20260608T080000Z/PT1H',
            "FREEBUSY;X-A=1;FBTYPE=X-OTHER:20260609T080000Z/\n PT1H",
        )
    )  # fmt: skip
    assert told(report) == [
        "06-04 10:00 to 06-04 11:00", "06-05 10:00 to 06-05 10:30", "06-07 10:00 to 06-07 11:00",
        "06-08 10:00 to 06-08 11:00", "06-09 10:00 to 06-09 11:00",
    ]  # fmt: skip
    assert [span.tentative for span in report.spans] == [False, False, True, False, False]
    assert (report.read, report.skipped) == (1, ())


@pytest.mark.parametrize(
    "line",
    [
        "FREEBUSY:tomorrow", "FREEBUSY:20260604T080000Z", "FREEBUSY:20260604T080000Z/20269904T0",
        "FREEBUSY:20260604T080000Z/PT" + "9" * 40 + "H", "FREEBUSY:/", "FREEBUSY:",
        "FREEBUSY:" + ",".join(["20260604T080000Z/PT1H"] * 5001),
    ],
)  # fmt: skip
def test_a_list_that_cannot_be_read_is_named_and_the_rest_stays(line: str) -> None:
    good = event("UID:b", "DTSTART:20260610T080000Z", "DURATION:PT1H")
    report = read(listed(line), good)
    assert [(one.uid, one.line) for one in report.skipped] == [("fb", 3)]
    assert told(report) == ["06-10 10:00 to 06-10 11:00"] and report.read == 1


def test_a_list_that_is_cut_off_is_not_trusted() -> None:
    text = "\n".join(
        ["BEGIN:VCALENDAR", "BEGIN:VFREEBUSY", "FREEBUSY:20260604T080000Z/PT1H", "END:VCALENDAR"]
    )
    report = read_busy(text.encode(), file="x", span=YEAR, time_zone=HOME)
    assert report.spans == () and "has no END:VFREEBUSY" in report.skipped[0].reason


def test_a_new_list_of_the_same_busy_times_means_the_same() -> None:
    busy = "FREEBUSY:20260604T080000Z/PT1H"
    was, now, other = (
        meaning_of("\n".join(["BEGIN:VCALENDAR", listed(*lines), "END:VCALENDAR"]).encode())
        for lines in (
            ("DTSTART:20260601T000000Z", busy), ("DTSTART:20260602T000000Z", busy),
            ("DTSTART:20260601T000000Z", busy.replace("08", "09")),
        )
    )  # fmt: skip
    assert was == now != other
