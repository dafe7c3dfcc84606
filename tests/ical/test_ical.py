"""The calendar as other programs read it: four parsers and an expander, none of them ours."""

from __future__ import annotations

import re
import subprocess
import sys
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from typing import Any, NamedTuple
from uuid import UUID, uuid5

import icalendar
import ics
import pytest
import recurring_ical_events
import vobject
from ical.calendar_stream import IcsCalendarStream

from seasonplan.days import Span
from seasonplan.ical import ALL, Layer, calendar_bytes
from seasonplan.plan import Block, Occasion, Plan, Proof, Revision, Score
from seasonplan.vocabulary import Kind
from seasonplan.year import Year

KEY = UUID("3f1c2a6e-94a5-4c0e-8a53-1d2b7c9e0f11")
INJECTION = (
    "x\r\nEND:VEVENT\r\nBEGIN:VEVENT\r\nUID:evil\r\nSUMMARY:evil\nMETHOD:CANCEL\u2028b\x85c\x00"
)
LONG = "\N{PERSON CLIMBING} slow, steady; " * 60
YEAR = {
    "year": {"first": date(2024, 1, 1), "weeks": 52},
    "climber": {"time_zone": "Europe/Vienna", "minutes": {"tuesday": 90}},
    "goal": [
        {
            "name": "Old project", "place": "Karst", "discipline": "sport", "grade": "7b+",
            "note": "clip high", "priority": 1,
        },
        {"name": "Slab; long, thin", "place": "Karst", "discipline": "sport", "grade": "7a"},
    ],
    "season": [
        {
            "name": "Karst", "place": "Karst, north", "discipline": "sport", "first": "11-20",
            "last": "02-29", "chance": {"november": 0.2, "december": 0.3, "january": 0.1,
            "february": 0.4}, "note": INJECTION,
        },
    ],
    "window": [
        {
            "name": LONG[:900], "id": "dry", "place": "Tor", "discipline": "boulder",
            "first": "2024-05-04", "last": "2024-05-04", "chance": [0.7],
        },
        {
            "name": "Past", "place": "Tor", "discipline": "boulder",
            "first": "2023-12-30", "last": "2023-12-31",
        },
    ],
    "trip": [
        {
            "name": "Isle", "place": "West; cliffs", "discipline": "trad", "note": "boat at six",
            "first": "2024-02-26", "last": "2024-02-29",
        },
        {"name": "Far", "climbing": False, "first": "2030-01-01", "last": "2030-01-09"},
    ],
    "absence": [
        {"name": INJECTION, "id": "exams", "first": "2024-12-25", "last": "2024-12-31", "left": 0.5}
    ],
    "injury": [
        {
            "name": "Torn pulley", "part": "finger", "happened": "2024-06-03",
            "easy_from": "2024-06-10", "building_from": "2024-06-17", "full_from": "2024-06-24",
            "note": "secret",
        }
    ],
}  # fmt: skip
BLOCKS = (
    ("b1", Kind.BASE, date(2024, 1, 1), date(2024, 2, 26)),
    ("b2", Kind.TRIP, date(2024, 2, 26), date(2024, 3, 1)),
    ("b3", Kind.STRENGTH, date(2024, 3, 1), date(2024, 3, 31)),
    ("b4", Kind.REST, date(2024, 3, 31), date(2024, 4, 7)),
    ("b5", Kind.INJURED, date(2024, 6, 3), date(2024, 6, 10)),
    ("b6", Kind.PERFORMANCE, date(2024, 11, 20), date(2024, 12, 30)),
)
TEXTS = {"b1": LONG, "b2": "Two good days", "b3": INJECTION, "b5": "See a clinician."}


def year_of(**changes: Any) -> Year:
    return Year.model_validate({**YEAR, **changes})


def revision(number: int, **moved: int) -> Revision:
    """The blocks of this file, some of them moved by days."""
    blocks = tuple(
        Block(
            id=name,
            kind=kind,
            span=Span(first, after).shifted(moved.get(name, 0)),
            weeks=(),
            entry={"b2": "isle", "b5": "torn-pulley"}.get(name),
        )
        for name, kind, first, after in BLOCKS
    )
    served = Span(date(2024, 11, 20), date(2025, 3, 1))
    occasions = tuple(
        Occasion(goal=goal, entry="karst", span=served, possible=9, good_days=days)
        for goal, days in (("old-project", 4.0), ("slab-long-thin", 5.0))
    )
    return Revision(
        number=number,
        stamp=datetime(2024, 1, number, 8, tzinfo=UTC),
        cause="test",
        year_digest="same",
        blocks=blocks,
        score=Score(occasions=occasions, costs=(), points=1),
        proof=Proof(optimal=True, gap=0, bound=1),
    )


PLAN = Plan(calendar_key=KEY, revisions=(revision(1),))


def calendar_of(plan: Plan = PLAN, *, layers: frozenset[Layer] = ALL, **changes: Any) -> bytes:
    return calendar_bytes(year_of(**changes), plan, layers=layers, texts=TEXTS)


class Read(NamedTuple):
    """What a reader saw of an event; `after` is the first day that is no longer in it."""

    uid: str
    title: str
    first: date
    after: date
    description: str
    place: str


def icalendar_reads(raw: bytes) -> list[Read]:
    return [
        Read(
            str(e["UID"]), str(e["SUMMARY"]), e.decoded("DTSTART"), e.decoded("DTEND"),
            str(e.get("DESCRIPTION", "")), str(e.get("LOCATION", "")),
        )
        for e in icalendar.Calendar.from_ical(raw).walk("VEVENT")
    ]  # fmt: skip


def _vobject(raw: bytes) -> list[Read]:
    def value(event: Any, key: str) -> Any:
        return event.contents[key][0].value if key in event.contents else ""

    keys = ("uid", "summary", "dtstart", "dtend", "description", "location")
    calendar = vobject.readOne(raw.decode())
    calendar.validate(raiseException=True)
    events = calendar.contents.get("vevent", [])
    return [Read(*(value(event, key) for key in keys)) for event in events]


def _ics(raw: bytes) -> list[Read]:
    calendar = ics.Calendar(raw.decode())
    assert all(event.all_day for event in calendar.events)
    return [
        Read(
            e.uid, e.name, e.begin.date(), e.end.date(), e.description or "", e.location or ""
        )
        for e in calendar.events
    ]  # fmt: skip


def _ical(raw: bytes) -> list[Read]:
    calendar = IcsCalendarStream.calendar_from_ics(raw.decode())
    return [
        Read(
            str(e.uid), str(e.summary), e.dtstart, e.dtend, e.description or "", e.location or ""
        )
        for e in calendar.events
    ]  # fmt: skip


def _expanded(raw: bytes) -> list[Read]:
    calendar = icalendar.Calendar.from_ical(raw)
    whole = recurring_ical_events.of(calendar).between(date(2023, 1, 1), date(2026, 1, 1))
    return [
        Read(
            str(e["UID"]), str(e["SUMMARY"]), e["DTSTART"].dt, e["DTEND"].dt,
            str(e.get("DESCRIPTION", "")), str(e.get("LOCATION", "")),
        )
        for e in whole
    ]  # fmt: skip


READERS = (icalendar_reads, _vobject, _ics, _ical, _expanded)
every_reader = pytest.mark.parametrize("reader", READERS)


# RFC 5545 3.6.1, 3.8.2.2: DTEND is the first day after the event
@every_reader
def test_every_reader_sees_the_same_events(reader: Callable[[bytes], list[Read]]) -> None:
    wanted = {
        ("Base block", date(2024, 1, 1), date(2024, 2, 26)),
        ("Trip: Isle", date(2024, 2, 26), date(2024, 3, 1)),
        ("Strength block", date(2024, 3, 1), date(2024, 3, 31)),
        ("Rest block", date(2024, 3, 31), date(2024, 4, 7)),
        ("Injured", date(2024, 6, 3), date(2024, 6, 10)),
        ("Performance: Old project and 1 more", date(2024, 11, 20), date(2024, 12, 30)),
        ("Season: Karst", date(2023, 11, 20), date(2024, 3, 1)),
        ("Season: Karst", date(2024, 11, 20), date(2025, 3, 1)),
        (f"Weather window: {LONG[:900].strip()}", date(2024, 5, 4), date(2024, 5, 5)),
        (
            "Absence: x END:VEVENT BEGIN:VEVENT UID:evil SUMMARY:evil METHOD:CANCEL b c",
            date(2024, 12, 25),
            date(2025, 1, 1),
        ),
    }
    seen = reader(calendar_of())
    # the last day is 29 February in 2024 and 28 February in 2025: both end on 1 March
    assert sorted((event.title, event.first, event.after) for event in seen) == sorted(wanted)
    assert sorted(seen) == sorted(icalendar_reads(calendar_of())), (
        "texts, places and UIDs agree too"
    )


# RFC 5545 3.1: an injected line would make events or properties of its own
@every_reader
def test_typed_lines_cannot_become_lines_of_the_file(reader: Callable[[bytes], list[Read]]) -> None:
    raw = calendar_of()
    assert raw.count(b"BEGIN:VEVENT\r\n") == len(reader(raw)) == 10
    assert "evil" not in {event.uid for event in reader(raw)}
    assert not re.search(rb"^METHOD|^UID:evil", raw, re.MULTILINE)
    told = next(event.description for event in reader(raw) if event.title == "Strength block")
    assert told == "x\nEND:VEVENT\nBEGIN:VEVENT\nUID:evil\nSUMMARY:evil\nMETHOD:CANCEL\nb\nc"


# ics 0.7.3 reads an escaped backslash before n as a line break; the other three do not
@pytest.mark.parametrize("reader", [icalendar_reads, _vobject, _ical])
def test_backslashes_survive_the_way(reader: Callable[[bytes], list[Read]]) -> None:
    typed = "C:\\New\\notes, \\;"
    raw = calendar_bytes(year_of(), PLAN, texts={"b3": typed})
    assert typed in {event.description for event in reader(raw)}


# RFC 5545 3.1: CRLF ends every line, lines have at most 75 octets and whole characters
def test_lines_end_in_crlf_and_are_folded_between_characters() -> None:
    raw = calendar_of()
    assert raw.endswith(b"END:VCALENDAR\r\n") and b"\r\n\r\n" not in raw
    assert raw.count(b"\r") == raw.count(b"\n") == raw.count(b"\r\n")
    lines = raw.decode().encode().split(b"\r\n")
    assert max(map(len, lines)) == 75
    assert all(line.decode() for line in lines[:-1])
    assert any("\N{PERSON CLIMBING}" in line.decode() for line in lines)


# RFC 5545 3.4, 3.6, 3.7.2 to 3.7.4; RFC 7986 5.1, 5.3, 5.4, 5.7, 5.8, 5.9
def test_the_calendar_says_what_it_is_and_is_no_invitation() -> None:
    raw = calendar_bytes(year_of(), PLAN, name="My year, planned\r\nX-EVIL:1")
    head = raw.split(b"BEGIN:VEVENT")[0].decode().split("\r\n")
    assert head == [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        "PRODID:-//seasonplan//calendar//EN",
        r"NAME:My year\, planned X-EVIL:1",
        r"X-WR-CALNAME:My year\, planned X-EVIL:1",
        "COLOR:teal",
        "LAST-MODIFIED:20240101T080000Z",
        "REFRESH-INTERVAL;VALUE=DURATION:PT6H",
        f"UID:{uuid5(KEY, 'calendar')}",
        "X-APPLE-CALENDAR-COLOR:#008080",
        "X-PUBLISHED-TTL:PT6H",
        "X-WR-TIMEZONE:Europe/Vienna",
        "",
    ]
    for absent in (b"METHOD", b"SOURCE", b"ORGANIZER", b"BEGIN:VALARM", b"BEGIN:VTIMEZONE"):
        assert b"\r\n" + absent not in raw


# RFC 5545 3.6.1, 3.8.1.2, 3.8.2.7, 3.8.4.7, 3.8.7: the whole of a plain event
def test_a_block_is_a_free_all_day_event_with_a_bare_uuid() -> None:
    raw = calendar_bytes(year_of(), PLAN, layers=frozenset({Layer.REST}))
    assert raw.decode().split("\r\n")[12:-2] == [
        "BEGIN:VEVENT",
        "SUMMARY:Rest block",
        "DTSTART;VALUE=DATE:20240331",
        "DTEND;VALUE=DATE:20240407",
        "DTSTAMP:20240101T080000Z",
        f"UID:{uuid5(KEY, 'b4')}",
        "SEQUENCE:0",
        "CATEGORIES:Rest",
        "LAST-MODIFIED:20240101T080000Z",
        "TRANSP:TRANSPARENT",
        "X-MICROSOFT-CDO-BUSYSTATUS:FREE",
        "END:VEVENT",
    ]


# RFC 5545 3.6: a calendar holds at least one component
@every_reader
def test_an_empty_calendar_is_valid(reader: Callable[[bytes], list[Read]]) -> None:
    raw = calendar_of(layers=frozenset())
    assert reader(raw) == []
    assert raw.count(b"BEGIN:VTIMEZONE\r\nTZID:Etc/UTC\r\nBEGIN:STANDARD\r\n") == 1


def test_the_same_plan_gives_the_same_bytes_in_another_process() -> None:
    program = (
        "import sys; sys.path[:0] = sys.argv[1:]; import test_ical as t; "
        "sys.stdout.buffer.write(t.calendar_of())"
    )
    run = [sys.executable, "-c", program, *sys.path]
    other = subprocess.run(
        run, capture_output=True, check=True, env={"PYTHONHASHSEED": "7", "TZ": "Asia/Tokyo"}
    )
    assert other.stdout == calendar_of() == calendar_of()


def test_choosing_layers_does_not_load_icalendar() -> None:
    program = (
        "import sys; sys.path[:0] = sys.argv[1:]; from seasonplan.ical import Layer; "
        "print(len(Layer), 'icalendar' in sys.modules)"
    )
    run = [sys.executable, "-c", program, *sys.path]
    seen = subprocess.run(run, capture_output=True, check=True, text=True)
    assert seen.stdout.split() == [str(len(Layer)), "False"]


# Leap day and the ends of years: the span of a day ends on the next date there is
@pytest.mark.parametrize("last", ["2024-02-28", "2024-02-29", "2024-12-30", "2024-12-31"])
@every_reader
def test_a_day_away_ends_on_the_next_date(reader: Callable[[bytes], list[Read]], last: str) -> None:
    day = date.fromisoformat(last)
    away = {"name": "Away", "climbing": False, "first": day, "last": day}
    horizon = {"first": date(2024, 1, 1), "weeks": 54}
    (seen,) = reader(calendar_of(layers=frozenset({Layer.TRIPS}), trip=[away], year=horizon))
    assert (seen.first, seen.after) == (day, day + timedelta(days=1))
