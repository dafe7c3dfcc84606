"""Sessions as timed events, as other programs read them: right hours on every change of clocks."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import UTC, date, datetime, time, timedelta
from typing import Any
from uuid import uuid5

import icalendar
import ics
import pytest
import recurring_ical_events
import vobject
from ical.calendar_stream import IcsCalendarStream
from test_ical import KEY, revision, year_of

from seasonplan.ical import ALL, USUAL, Layer, calendar_bytes, event_files
from seasonplan.plan import Plan, Revision, Session

ONLY = frozenset({Layer.SESSIONS})
Hours = dict[str, tuple[datetime, datetime]]  # UID to beginning and end in UTC


def session(name: str, day: str, start: str = "18:00", minutes: int = 90, **more: Any) -> Session:
    values = {"block": "b1", "recipe": "route-volume", "rpe": 6} | more
    return Session(
        id=name, day=date.fromisoformat(day), start=time.fromisoformat(start), minutes=minutes,
        **values,
    )  # fmt: skip


def with_sessions(*sessions: Session, number: int = 1, **more: Any) -> Revision:
    return Revision(**{**dict(revision(number)), "sessions": sessions, **more})


def plan_of(*revisions: Revision) -> Plan:
    return Plan(calendar_key=KEY, revisions=revisions)


def written(*sessions: Session, zone: str = "Europe/Vienna", **options: Any) -> bytes:
    climber = {"time_zone": zone, "minutes": {"tuesday": 90}}
    year = year_of(climber=climber, year={"first": date(2027, 1, 4), "weeks": 104})
    return calendar_bytes(year, plan_of(with_sessions(*sessions)), layers=ONLY, **options)


# --- five readers ---------------------------------------------------------------------------


def _icalendar(raw: bytes) -> Hours:
    return {
        str(e["UID"]): (e.decoded("DTSTART").astimezone(UTC), e.decoded("DTEND").astimezone(UTC))
        for e in icalendar.Calendar.from_ical(raw).walk("VEVENT")
    }


def _vobject(raw: bytes) -> Hours:
    calendar = vobject.readOne(raw.decode())
    calendar.validate(raiseException=True)
    return {
        e.uid.value: (e.dtstart.value.astimezone(UTC), e.dtend.value.astimezone(UTC))
        for e in calendar.contents["vevent"]
    }


def _ics(raw: bytes) -> Hours:
    return {
        e.uid: (e.begin.to("utc").datetime, e.end.to("utc").datetime)
        for e in ics.Calendar(raw.decode()).events
    }


def _ical(raw: bytes) -> Hours:
    return {
        str(e.uid): (e.dtstart.astimezone(UTC), e.dtend.astimezone(UTC))
        for e in IcsCalendarStream.calendar_from_ics(raw.decode()).events
    }


def _expanded(raw: bytes) -> Hours:
    calendar = icalendar.Calendar.from_ical(raw)
    whole = recurring_ical_events.of(calendar).between(date(2026, 1, 1), date(2030, 1, 1))
    return {
        str(e["UID"]): (e["DTSTART"].dt.astimezone(UTC), e["DTEND"].dt.astimezone(UTC))
        for e in whole
    }


every_reader = pytest.mark.parametrize("reader", [_icalendar, _vobject, _ics, _ical, _expanded])

# The days about both changes of the clocks in 2027 and the hour in UTC of 18:00 on each. From
# memory of the laws (EU 2000/84/EC; US 2005; New Zealand 2007; Australia; Morocco's decrees).
DAYS = {
    "Europe/Vienna": {
        "2027-03-27": "17:00", "2027-03-28": "16:00", "2027-10-30": "16:00", "2027-10-31": "17:00",
    },
    "America/New_York": {
        "2027-03-13": "23:00", "2027-03-14": "22:00", "2027-11-06": "22:00", "2027-11-07": "23:00",
    },
    "Pacific/Auckland": {
        "2027-04-03": "05:00", "2027-04-04": "06:00", "2027-09-25": "06:00", "2027-09-26": "05:00",
    },
    "Australia/Lord_Howe": {
        "2027-04-03": "07:00", "2027-04-04": "07:30", "2027-10-02": "07:30", "2027-10-03": "07:00",
    },
    "Africa/Casablanca": {
        "2027-02-06": "17:00", "2027-02-07": "18:00", "2027-03-13": "18:00", "2027-03-14": "17:00",
    },
    "Asia/Kolkata": {"2027-03-28": "12:30", "2027-10-31": "12:30"},
}  # fmt: skip


def _wanted(days: dict[str, str]) -> set[tuple[datetime, datetime]]:
    begins = {datetime.fromisoformat(f"{day}T{hour}+00:00") for day, hour in days.items()}
    return {(begin, begin + timedelta(hours=1)) for begin in begins}


@every_reader
@pytest.mark.parametrize("zone", DAYS)
def test_local_hours_are_right_on_both_changes_of_the_clocks(
    zone: str, reader: Callable[[bytes], Hours]
) -> None:
    days = DAYS[zone]
    raw = written(*(session(f"s{day}", day, minutes=60) for day in days), zone=zone)
    assert set(reader(raw).values()) == _wanted(days)
    assert raw.count(b"BEGIN:VTIMEZONE") == 1 and raw.count(f";TZID={zone}:".encode()) >= len(days)


@every_reader
def test_a_trip_keeps_the_hours_of_its_own_zone(reader: Callable[[bytes], Hours]) -> None:
    sessions = [
        session(f"s{zone}{day}", day, minutes=60, zone=zone) for zone in DAYS for day in DAYS[zone]
    ]
    raw = written(*sessions, zone="Europe/Vienna")
    assert set(reader(raw).values()) == set().union(*map(_wanted, DAYS.values()))
    assert raw.count(b"BEGIN:VTIMEZONE") == len(DAYS)


# RFC 5545 3.3.5: a local time that is left out counts by the offset before the gap
ODD = {
    "through the spring change": (("2027-03-28", "01:30", 90), "00:30", "02:00"),
    "through the autumn change": (("2027-10-31", "02:30", 120), "00:30", "02:30"),
    "ends when the hour comes again": (("2027-10-31", "02:30", 40), "00:30", "01:10"),
    "ends in the hour that will come again": (("2027-10-31", "01:30", 45), "23:30", "00:15"),
    "begins before, ends when the hour comes again": (
        ("2027-10-31", "01:30", 110),
        "23:30",
        "01:20",
    ),
    "begins in the hour left out": (("2027-03-28", "02:30", 60), "01:30", "02:30"),
}


@every_reader
@pytest.mark.parametrize("case", ODD)
def test_a_session_in_the_night_of_a_change_lasts_as_long_as_it_should(
    case: str, reader: Callable[[bytes], Hours]
) -> None:
    if reader is _expanded and case.endswith("when the hour comes again"):
        pytest.skip("recurring-ical-events 3.8.2 turns UTC to X-WR-TIMEZONE and loses the fold")
    (day, start, minutes), begins, ends = ODD[case]
    raw = written(session("odd", day, start, minutes))
    ((begin, end),) = reader(raw).values()
    assert (f"{begin:%H:%M}", f"{end:%H:%M}") == (begins, ends)
    assert (end - begin).total_seconds() == 60 * minutes


@pytest.mark.parametrize(
    ("start", "minutes", "utc"),
    [("01:30", 29, False), ("01:30", 30, True), ("01:30", 45, True), ("01:30", 110, True),
     ("02:00", 30, True), ("03:00", 30, False)],
)  # fmt: skip
def test_hours_that_touch_one_that_comes_twice_are_written_in_utc(
    start: str, minutes: int, utc: bool
) -> None:
    """Vienna's clocks show 02:00 to 03:00 twice on 31 October 2027 (IANA time zone database)."""
    event = written(session("odd", "2027-10-31", start, minutes)).split(b"BEGIN:VEVENT")[1]
    (end,) = [line for line in event.splitlines() if line.startswith(b"DTEND")]
    assert (end.endswith(b"Z"), b"TZID" in end) == (utc, not utc)


def test_a_session_may_end_after_midnight_and_after_the_year() -> None:
    raw = written(session("late", "2027-12-31", "23:30", 60))
    ((_, end),) = _vobject(raw).values()
    assert end == datetime(2027, 12, 31, 23, 30, tzinfo=UTC)


# --- what an event says ---------------------------------------------------------------------


# RFC 5545 3.6.1, 3.8.1.2, 3.8.2.7, 3.8.4.5, 3.8.4.7, 3.8.7
def test_a_session_is_a_busy_event_at_its_hours() -> None:
    raw = written(session("b1/2027-01-04/route-volume-1", "2027-01-05"), texts={
        "b1/2027-01-04/route-volume-1": "Climb; rest, climb.",
    })  # fmt: skip
    event = raw.decode().split("BEGIN:VEVENT\r\n")[1].split("\r\nEND:VEVENT")[0].split("\r\n")
    assert event == [
        "SUMMARY:Routes on the wall",
        "DTSTART;TZID=Europe/Vienna:20270105T180000",
        "DTEND;TZID=Europe/Vienna:20270105T193000",
        "DTSTAMP:20240101T080000Z",
        f"UID:{uuid5(KEY, 'b1/2027-01-04/route-volume-1')}",
        "SEQUENCE:0",
        "CATEGORIES:Session",
        r"DESCRIPTION:Climb\; rest\, climb.",
        "LAST-MODIFIED:20240101T080000Z",
        "TRANSP:OPAQUE",
        "X-MICROSOFT-CDO-BUSYSTATUS:BUSY",
    ]


def test_zones_stand_before_the_events_and_none_is_there_without_sessions() -> None:
    raw = calendar_bytes(year_of(), plan_of(with_sessions(session("s", "2024-01-02"))))
    assert 0 < raw.index(b"BEGIN:VTIMEZONE") < raw.index(b"BEGIN:VEVENT")
    without = calendar_bytes(
        year_of(), plan_of(with_sessions(session("s", "2024-01-02"))), layers=ALL - ONLY
    )
    assert b"BEGIN:VTIMEZONE" not in without and b"Routes" not in without


def test_sessions_are_shown_unless_left_out() -> None:
    assert Layer.SESSIONS in USUAL


# RFC 5545 3.6.6: DISPLAY needs ACTION, DESCRIPTION and TRIGGER
@pytest.mark.parametrize(("minutes", "trigger"), [(30, "-PT30M"), (90, "-PT1H30M"), (0, "P0D")])
def test_an_alarm_is_there_only_when_asked_for(minutes: int, trigger: str) -> None:
    one = session("s", "2027-01-05")
    assert b"VALARM" not in written(one)
    raw = written(one, alarm_minutes=minutes)
    (alarm,) = icalendar.Calendar.from_ical(raw).walk("VALARM")
    assert alarm["ACTION"] == "DISPLAY" and alarm["DESCRIPTION"] == "Routes on the wall"
    assert f"TRIGGER:{trigger}\r\n" in raw.decode()
    for reader in (_vobject, _ics, _ical):
        assert len(reader(raw)) == 1


# RFC 5545 3.8.2.7
def test_sessions_can_leave_the_climber_free() -> None:
    raw = written(session("s", "2027-01-05"), sessions_busy=False)
    assert b"TRANSP:TRANSPARENT" in raw and b"BUSYSTATUS:FREE" in raw


def test_a_session_on_a_trip_belongs_to_the_trip_and_is_at_its_place() -> None:
    there, home = session("s", "2024-02-27", rock="isle"), session("h", "2024-02-27")
    raw = calendar_bytes(
        year_of(), plan_of(with_sessions(there, home)), layers=ONLY | {Layer.TRIPS}
    )
    event, other = (_by_uid(raw)[str(uuid5(KEY, one))] for one in "sh")
    assert event["RELATED-TO"] == str(uuid5(KEY, "trip:isle"))
    assert event["LOCATION"] == "West; cliffs"
    assert other.get("LOCATION") != event["LOCATION"], "planned at home before the trip was entered"


def test_a_session_names_its_block_where_that_is_in_the_calendar_and_nothing_that_is_not() -> None:
    plan = plan_of(
        with_sessions(session("a", "2024-01-02"), session("s", "2024-02-27", rock="isle"))
    )
    related = 0
    for layers in (ONLY, ONLY | {Layer.TRIPS}, ONLY | {Layer.BLOCKS}, USUAL, ALL):
        for whole_days in (True, False):
            raw = calendar_bytes(year_of(), plan, layers=layers, whole_days=whole_days)
            events = _by_uid(raw)
            named = {str(e["RELATED-TO"]) for e in events.values() if "RELATED-TO" in e}
            assert named <= events.keys(), (layers, whole_days)
            related += len(named)
        files = event_files(year_of(), plan, layers=layers)
        for content in files.values():
            for event in _by_uid(content).values():
                assert event.get("RELATED-TO", next(iter(files))) in files
    assert related >= 4


def _by_uid(raw: bytes) -> dict[str, Any]:
    found = icalendar.Calendar.from_ical(raw).walk("VEVENT")
    return {str(event["UID"]): event for event in found}


def test_a_recipe_of_the_climber_cannot_make_lines_of_its_own() -> None:
    recipe = {
        "name": "Stairs\r\nMETHOD:CANCEL", "kinds": ["base"], "qualities": {"fitness": 1.0},
        "minutes": 30, "rpe": 5, "stresses": {"whole_body": 1},
    }  # fmt: skip
    year = year_of(recipes={"stairs": recipe})
    raw = calendar_bytes(
        year, plan_of(with_sessions(session("s", "2024-01-02", recipe="stairs"))), layers=ONLY
    )
    assert b"SUMMARY:Stairs METHOD:CANCEL\r\n" in raw and b"\r\nMETHOD" not in raw


# --- what a new revision changes ------------------------------------------------------------


def _events(raw: bytes) -> dict[str, str]:
    found = re.findall(r"BEGIN:VEVENT\r\n.*?END:VEVENT", raw.decode(), re.DOTALL)
    return {re.search(r"UID:(\S+)", event)[1]: event for event in found}  # type: ignore[index]


def _over(*revisions: Revision, **year: Any) -> dict[str, str]:
    return _events(calendar_bytes(year_of(**year), plan_of(*revisions), layers=ONLY))


HERE, THERE = session("here", "2024-01-02"), session("there", "2024-01-04")


# RFC 5545 3.8.7.2 to 3.8.7.4
def test_a_moved_session_keeps_its_uid_and_it_alone_counts_up() -> None:
    moved = session("there", "2024-01-05", "07:00")
    before = _over(with_sessions(HERE, THERE))
    after = _over(with_sessions(HERE, THERE), with_sessions(HERE, moved, number=2))
    assert before.keys() == after.keys()
    assert before[str(uuid5(KEY, "here"))] == after[str(uuid5(KEY, "here"))]
    event = after[str(uuid5(KEY, "there"))]
    assert "SEQUENCE:1\r\n" in event and "DTSTAMP:20240102T080000Z" in event
    assert "DTSTART;TZID=Europe/Vienna:20240105T070000" in event


def test_a_session_that_went_and_came_back_counts_up() -> None:
    event = _over(
        with_sessions(HERE, THERE), with_sessions(HERE, number=2),
        with_sessions(HERE, THERE, number=3),
    )[str(uuid5(KEY, "there"))]  # fmt: skip
    assert "SEQUENCE:1\r\n" in event and "DTSTAMP:20240103T080000Z" in event


def test_a_change_of_the_year_counts_where_the_year_is_told_and_nowhere_else() -> None:
    best = session("best", "2024-11-26", block="b6")
    own = session("own", "2024-01-03", recipe="aerobic")
    sessions = (HERE, own, best)
    after = _over(
        with_sessions(*sessions), with_sessions(*sessions, number=2, year_digest="other"),
        recipes={"aerobic": {"do": "Run to the lake."}},
    )  # fmt: skip
    counts = {
        name: "SEQUENCE:1\r\n" in after[str(uuid5(KEY, name))] for name in ("here", "own", "best")
    }
    assert counts == {"here": False, "own": True, "best": True}


def test_a_changed_busy_calendar_that_moves_no_session_changes_no_byte() -> None:
    sessions = (HERE, session("best", "2024-11-26", block="b6"))
    once = with_sessions(*sessions, year_digest="same")
    again = with_sessions(*sessions, number=2, year_digest="same+other")
    for layers in (ONLY, ALL):
        one, two = (
            calendar_bytes(year_of(), plan_of(*r), layers=layers) for r in ((once,), (once, again))
        )
        assert one == two


# --- size -----------------------------------------------------------------------------------


# Users of one large calendar report a limit of about 1 MB (second hand, undocumented)
def test_two_full_years_of_sessions_stay_below_a_megabyte() -> None:
    first = date(2027, 1, 4)
    sessions = [
        session(f"base-1/{first + timedelta(weeks=n)}/route-volume-{m}",
                str(first + timedelta(days=7 * n + m % 6)), f"{8 + m:02}:00", 60)
        for n in range(104) for m in range(12)
    ]  # fmt: skip
    text = "As long as most notes of sessions are, with all that has to be said. " * 4
    raw = written(*sessions, texts={one.id: text for one in sessions})
    assert raw.count(b"BEGIN:VEVENT") == 1248
    assert len(raw) < 1_000_000
