"""What is served and published, as six calendar programs read it: they agree on every event.

The truth they are held against is made from the plan, not from a reader. ical.js runs in node
(`npm ci` in tests/js), and believes the file's own time zones where others go by their names.
"""

from __future__ import annotations

import json
import re
import shutil
import subprocess
from collections.abc import Callable, Iterator, Mapping
from datetime import UTC, date, datetime, time
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

import icalendar
import ics
import pytest
import recurring_ical_events
import vobject
from folder_maker import planned
from ical.calendar_stream import IcsCalendarStream
from places import TESTS
from plan_maker import block, given
from served import PASSWORD, USER, client, radicale, serving

from seasonplan.cli.accepted import accepted
from seasonplan.feed.caldav.remote import Remote
from seasonplan.feed.contents import Wish, calendar_texts
from seasonplan.feed.parts import Part
from seasonplan.feed.private import Collection
from seasonplan.feed.publish.collection import publish
from seasonplan.ical import ALL, event_files
from seasonplan.ical.appointments import appointments
from seasonplan.ical.happenings import happenings
from seasonplan.ical.text import clean
from seasonplan.plan import Session
from seasonplan.vocabulary import Kind

JS = TESTS / "js"
INJECTION = (
    "x\r\nEND:VEVENT\r\nBEGIN:VEVENT\r\nUID:evil\nATTACH:http://evil.example/\u2028y\x00\x85z"
)
MARKUP = "<script>alert(1)</script>\"'><img src=x onerror=alert(2)>&amp;&lt;"
LONG = "\N{PERSON CLIMBING} slow, steady; " * 45  # more than 1,000 letters
STOPS = "commas, semicolons; backslashes \\ \\, \\; colons: \"quotes\" 'n' ^n %0A"
BREAKS = "one\ntwo\r\nthree\rfour\u2029five"
NASTY = (INJECTION, MARKUP, LONG, STOPS, BREAKS, "Ünïcödé \U0001f9d7\u200d♀️ \u202eabc e\u0301")
PLACES = (  # zone, day, hour of a session: changes of clocks, leap day, ends of years, far zones
    ("Europe/Vienna", "2027-03-28", "01:30"), ("Europe/Vienna", "2027-03-28", "02:30"),
    ("Europe/Vienna", "2027-10-31", "01:45"), ("Europe/Vienna", "2027-10-31", "02:15"),
    ("Europe/Vienna", "2028-02-29", "18:00"), ("Europe/Vienna", "2027-12-31", "23:15"),
    ("Pacific/Kiritimati", "2027-12-31", "23:30"), ("Pacific/Kiritimati", "2028-01-01", "00:00"),
    ("Etc/GMT+12", "2027-12-31", "23:30"), ("Etc/GMT+12", "2028-02-29", "12:00"),
    ("Pacific/Chatham", "2027-09-26", "02:00"), ("Asia/Kathmandu", "2027-06-01", "06:15"),
    ("America/St_Johns", "2027-11-07", "01:10"), ("Australia/Lord_Howe", "2027-04-04", "01:45"),
    ("Africa/Casablanca", "2027-02-07", "02:30"), ("America/Santiago", "2027-09-05", "00:15"),
)  # fmt: skip


def toml(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)  # is a TOML text too, but for DEL


def nasty_year() -> str:
    """A year of two years with something nasty in everything a person may write."""
    parts = [
        "[year]\nfirst = 2027-01-04\nweeks = 104\n",
        f'[climber]\nname = {toml(MARKUP + INJECTION)}\ntime_zone = "Europe/Vienna"\n',
        "[climber.minutes]\ntuesday = 90\nsaturday = 180\n",
    ]
    for n, text in enumerate(NASTY):
        name, note = toml(text[:1000]), toml(text)
        rock = f'place = {toml(text[:900])}\ndiscipline = "sport"\n'
        parts += [
            f'[[goal]]\nid = "g{n}"\nname = {name}\nnote = {note}\n{rock}grade = "7b"\n',
            f'[[season]]\nid = "s{n}"\nname = {name}\nnote = {note}\n{rock}chance = 0.4\n'
            f"chance_from = {name}\nfirst = 2027-0{n + 1}-10\nlast = 2027-0{n + 1}-28\n",
            f'[[window]]\nid = "w{n}"\nname = {name}\nnote = {note}\n{rock}'
            "first = 2028-02-29\nlast = 2028-02-29\n",
            f'[[trip]]\nid = "t{n}"\nname = {name}\nnote = {note}\n{rock}'
            f"first = 2027-1{n // 3}-{10 + 5 * (n % 3)}\n"
            f"last = 2027-1{n // 3}-{12 + 5 * (n % 3)}\n",
            f'[[absence]]\nid = "a{n}"\nname = {name}\nnote = {note}\n'
            f"first = 2027-12-{10 + n}\nlast = 2027-12-{10 + n}\n",
            f'[recipes.own-{n}]\nname = {name}\ndo = {note}\nkinds = ["base"]\nminutes = 60\n'
            "rpe = 5\nqualities = { endurance = 1.0 }\nstresses = { fingers = 1 }\n",
        ]
    return "\n".join(parts)


def nasty_sessions() -> Iterator[Session]:
    for n, (zone, on, start) in enumerate(PLACES):
        recipe = f"own-{n}" if n < len(NASTY) else "route-volume"
        yield Session(
            id=f"base-1/{on}/{recipe}-{n}", block="base-1", recipe=recipe, rpe=5.0,
            day=date.fromisoformat(on), start=time.fromisoformat(start), minutes=60, zone=zone,
        )  # fmt: skip


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("nasty")
    blocks = (
        block(Kind.BASE, 0, 280, id="base-1"),
        given(Kind.TRIP, 280, 3, entry="t0").model_copy(update={"id": "trip-1"}),
        block(Kind.STRENGTH, 283, 70, id="strength-1"),
        block(Kind.REST, 353, 9, id="rest-1"),  # over the end of 2027
        block(Kind.BASE, 362, 366, id="base-2"),
    )
    return planned(path, year=nasty_year(), blocks=blocks, sessions=tuple(nasty_sessions()))


class Read(NamedTuple):
    """An event as a program understands it: whole days are dates, moments are in UTC."""

    uid: str
    title: str
    start: date
    end: date
    description: str
    place: str


def utc(when: date) -> date:
    return when.astimezone(UTC) if isinstance(when, datetime) else when


@cache
def truth(folder: Path, layers: frozenset[Any] = ALL) -> frozenset[Read]:
    """What the plan says, without any calendar file."""
    year, plan = accepted(folder)
    texts = calendar_texts(year, plan, layers=layers)
    days = happenings(year, plan, layers=layers, texts=texts)
    timed = appointments(year, plan, layers=layers, texts=texts, busy=True, alarm_minutes=None)
    return frozenset((
        *(Read(str(e.uid), e.title, e.span.first, e.span.after, clean(e.description), e.place)
          for e in days),
        *(Read(str(e.uid), e.title, utc(e.start), utc(e.end), clean(e.description), e.place)
          for e in timed),
    ))  # fmt: skip


# --- six readers ----------------------------------------------------------------------------


def by_icalendar(raw: bytes) -> list[Read]:
    return [_plain(event) for event in icalendar.Calendar.from_ical(raw).walk("VEVENT")]


def _plain(event: Any) -> Read:
    return Read(
        str(event["UID"]), str(event["SUMMARY"]), utc(event["DTSTART"].dt),
        utc(event["DTEND"].dt), str(event.get("DESCRIPTION", "")), str(event.get("LOCATION", "")),
    )  # fmt: skip


def by_recurring_ical_events(raw: bytes) -> list[Read]:
    whole = recurring_ical_events.of(icalendar.Calendar.from_ical(raw))
    return [_plain(event) for event in whole.between(date(2026, 1, 1), date(2030, 1, 1))]


def by_vobject(raw: bytes) -> list[Read]:
    calendar = vobject.readOne(raw.decode())
    calendar.validate(raiseException=True)

    def value(event: Any, key: str) -> Any:
        return event.contents[key][0].value if key in event.contents else ""

    return [
        Read(
            value(e, "uid"), value(e, "summary"), utc(value(e, "dtstart")), utc(value(e, "dtend")),
            value(e, "description"), value(e, "location"),
        )
        for e in calendar.contents["vevent"]
    ]  # fmt: skip


def by_ics(raw: bytes) -> list[Read]:
    def when(moment: Any, *, all_day: bool) -> date:
        return moment.date() if all_day else moment.to("utc").datetime

    return [
        Read(
            e.uid, e.name, when(e.begin, all_day=e.all_day), when(e.end, all_day=e.all_day),
            e.description or "", e.location or "",
        )
        for e in ics.Calendar(raw.decode()).events
    ]  # fmt: skip


def by_ical(raw: bytes) -> list[Read]:
    return [
        Read(
            str(e.uid), str(e.summary), utc(e.dtstart), utc(e.dtend), e.description or "",
            e.location or "",
        )
        for e in IcsCalendarStream.calendar_from_ics(raw.decode()).events
    ]  # fmt: skip


def by_ical_js(raw: bytes) -> list[Read]:
    if shutil.which("node") is None or not (JS / "node_modules").is_dir():
        pytest.skip("ical.js runs in node: install node, then `npm ci` in tests/js")
    ran = subprocess.run(
        ["node", "read.js"], cwd=JS, input=raw, capture_output=True, check=True, timeout=120
    )

    def when(text: str) -> date:
        whole = len(text) == 10
        return date.fromisoformat(text) if whole else datetime.fromisoformat(text).astimezone(UTC)

    return [
        Read(e["uid"], e["title"], when(e["start"]), when(e["end"]), e["description"], e["place"])
        for e in json.loads(ran.stdout)
    ]


READERS = (
    by_icalendar, by_recurring_ical_events, by_vobject, by_ics, by_ical, by_ical_js,
)  # fmt: skip
FIRST, SECOND = (datetime(2027, 10, 31, hour, 15, tzinfo=UTC) for hour in (0, 1))
every_reader = pytest.mark.parametrize("reader", READERS)


def comparable(events: Any, reader: Callable[[bytes], list[Read]]) -> set[Read]:
    """Events without what a reader is known to get wrong.

    ics 0.7.3 reads an escaped backslash before n as a line break, and another before ; or , as
    none. recurring-ical-events 3.8.2 moves a UTC time into the zone of X-WR-TIMEZONE and loses
    which of two equal hours it was: an end at 01:15 UTC on the day the clocks go back is 00:15.
    """
    if reader is by_recurring_ical_events:
        return {e._replace(end=max(e.end, SECOND)) if e.start == FIRST else e for e in events}
    if reader is not by_ics:
        return set(events)
    return {
        Read(*(re.sub(r"[\\\n]", "", v) if isinstance(v, str) else v for v in e)) for e in events
    }


@pytest.fixture(scope="module")
def calendars(folder: Path) -> Mapping[Part, bytes]:
    """Every calendar as it is served."""
    with serving(folder, wish=Wish(layers=ALL)) as served:
        return {part: served.get(served.url(part)).content for part in Part}


@every_reader
@pytest.mark.parametrize("part", Part)
def test_every_program_reads_every_event_of_every_served_calendar_the_same(
    folder: Path,
    calendars: Mapping[Part, bytes],
    part: Part,
    reader: Callable[[bytes], list[Read]],
) -> None:
    raw, wanted = calendars[part], truth(folder)
    if part is not Part.ALL:
        served = {event.uid for event in by_icalendar(raw)}
        wanted = frozenset(event for event in wanted if event.uid in served)
    assert len(wanted) >= (2 if part is Part.BLOCKS else len(PLACES))
    seen = reader(raw)
    assert len(seen) == len(wanted)
    assert comparable(seen, reader) == comparable(wanted, reader)


def test_the_served_calendar_has_sessions_where_the_clocks_are_odd(folder: Path) -> None:
    moments = {event.start for event in truth(folder) if isinstance(event.start, datetime)}
    assert len(moments) >= len(PLACES) - 1
    # Kiritimati is 14 hours ahead of UTC, Etc/GMT+12 12 behind (IANA time zone database)
    assert datetime(2027, 12, 31, 9, 30, tzinfo=UTC) in moments
    assert datetime(2028, 1, 1, 11, 30, tzinfo=UTC) in moments


NAMES = {
    "BEGIN", "END", "VERSION", "PRODID", "NAME", "X-WR-CALNAME", "UID", "LAST-MODIFIED",
    "REFRESH-INTERVAL", "X-PUBLISHED-TTL", "COLOR", "X-APPLE-CALENDAR-COLOR", "X-WR-TIMEZONE",
    "SUMMARY", "DESCRIPTION", "LOCATION", "DTSTART", "DTEND", "DTSTAMP", "SEQUENCE", "CATEGORIES",
    "TRANSP", "X-MICROSOFT-CDO-BUSYSTATUS", "RELATED-TO", "TZID", "TZOFFSETFROM", "TZOFFSETTO",
    "TZNAME", "RRULE", "URL",
}  # fmt: skip


# RFC 5545 3.1: whatever a person writes stays inside the value of one line
def test_nothing_a_person_writes_becomes_a_line_of_its_own(folder: Path) -> None:
    with serving(folder, wish=Wish(layers=ALL)) as served:
        raw = served.get(served.url(Part.ALL)).content
    assert raw.count(b"evil") > 10, "the attempts are in there"
    assert not re.search(rb"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]|(?<!\r)\n|\r(?!\n)", raw)
    lines = raw.replace(b"\r\n ", b"").decode().split("\r\n")
    names = {re.split("[:;]", line)[0] for line in lines if line}
    assert names <= NAMES, names - NAMES
    assert raw.count(b"BEGIN:VEVENT\r\n") == len(truth(folder))
    links = [line for line in lines if line.startswith("URL:")]
    assert len(links) == len(truth(folder)), "and each link is ours"
    assert all(line.startswith(f"URL:{served.base}/") for line in links)
    assert max(map(len, raw.split(b"\r\n"))) <= 75
    assert max(map(len, lines)) > 1_000, "a line of more than 1,000 letters is in there"


def test_the_page_shows_what_a_person_wrote_as_text(folder: Path) -> None:
    from html.parser import HTMLParser

    with serving(folder) as served:
        html = served.get(served.page).content.decode()

    found: list[tuple[str, list[str]]] = []

    class Tags(HTMLParser):
        def handle_starttag(self, tag: str, attrs: Any) -> None:
            found.append((tag, [name for name, _ in attrs]))

    Tags().feed(html)
    tags = {tag for tag, _ in found}
    assert tags.isdisjoint({"script", "img", "iframe", "object", "embed", "link", "form", "base"})
    assert not [name for _, names in found for name in names if name.startswith("on")]
    assert "&lt;script&gt;" in html and "UID:evil" in html


# --- through a CalDAV server and back -------------------------------------------------------


def test_every_event_survives_the_way_through_a_caldav_server(folder: Path, tmp_path: Path) -> None:
    year, plan = accepted(folder)
    files = event_files(
        year, plan, layers=ALL, texts=calendar_texts(year, plan, layers=ALL)
    )  # fmt: skip
    with radicale(tmp_path) as url:
        remote = Remote(url, user=USER, password=PASSWORD)
        publish(
            remote, files, Collection(), home="Europe/Vienna", keep=lambda collection: None
        )  # fmt: skip
        remote.close()
        with client(url) as there:
            found = [event.data for event in there.calendar(url=url).events()]
    read = {event for content in found for event in by_icalendar(content.encode())}
    assert read == truth(folder)


@every_reader
def test_each_file_of_one_event_is_a_calendar_of_its_own(
    folder: Path, reader: Callable[[bytes], list[Read]]
) -> None:
    year, plan = accepted(folder)
    files = event_files(year, plan, layers=ALL, texts=calendar_texts(year, plan, layers=ALL))
    some = sorted(files)[::9] if reader is by_ical_js else sorted(files)
    wanted = {event.uid: event for event in truth(folder)}
    assert len(some) >= 5
    for uid in some:
        assert b"METHOD" not in files[uid] and b"NAME:" not in files[uid].partition(b"\r\nBEGIN")[0]
        assert comparable(reader(files[uid]), reader) == comparable([wanted[uid]], reader)
