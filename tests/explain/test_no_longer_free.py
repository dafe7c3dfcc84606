"""Busy time that is new, and a trip that is taken out, mark sessions at once, on every face.

The demo year of `test_taken_since`: on Thursday 17 June 2027 fingers from 18:00 to 18:50, then
pulls to 19:30.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from folder_maker import demo_copy
from hurt import hurt_text
from stage import opened, slip
from test_harm import said
from test_taken_since import DAY, ISLE, NOW, TODAY, agenda_of, entered, events, page_of, told
from week_stage import at_week

from seasonplan.cli.accepted import accepted, mark_of
from seasonplan.explain.sessions import ANEW
from seasonplan.feed.contents import Wish, calendar_texts, contents_of
from seasonplan.ical import ALL, USUAL, Layer
from seasonplan.workspace.busy_time import taken_now

BUSY = "! Leave it out. You are busy then: it was planned before your busy calendar said so."
GONE = "! Leave it out. “Isle” is no longer in your year: the next plan takes that up."
WORK = """\
BEGIN:VCALENDAR
VERSION:2.0
PRODID:-//a//b//EN
BEGIN:VEVENT
UID:one@work
DTSTAMP:20270101T000000Z
DTSTART:20270617T{from_}00Z
DTEND:20270617T210000Z
SUMMARY:Secret dinner
END:VEVENT
END:VCALENDAR
"""


def busy(into: Path, from_: str, more: str = "") -> Path:
    """The demo year with work from an hour of 17 June on, in UTC: two hours behind the climber."""
    folder = demo_copy(into)
    (folder / "work.ics").write_text(WORK.format(from_=from_).replace("\n", "\r\n"))
    year = (folder / "year.toml").read_text()
    assert "[sessions]\n" not in year
    (folder / "year.toml").write_text(f'{year}\n[sessions]\nbusy = ["work.ics"]\n{more}')
    return folder


HANGS, PULLS = "fingerboard-long", "pulling-strength"


@pytest.mark.parametrize(
    ("from_", "more", "out"),
    [
        ("1649", "", {HANGS, PULLS}),
        ("1650", "", {PULLS}),
        ("1730", "", set()),
        ("1730", "busy_margin_minutes = 15", {PULLS}),
    ],
)
def test_only_what_collides_with_busy_time_is_to_be_left_out(
    tmp_path: Path, from_: str, more: str, out: set[str]
) -> None:
    found = told(agenda_of(busy(tmp_path, from_, more)))
    assert {key for key, text in found.items() if text} == {(17, recipe) for recipe in out}
    assert {text for text in found.values() if text} <= {BUSY}


def test_the_way_to_the_wall_must_be_free_too(tmp_path: Path) -> None:
    """Long easy climbing on Tuesday 15 June from 18:00, with 20 minutes of way."""
    for until, is_free in (("174000", True), ("174100", False)):
        folder = busy(tmp_path / until, "0000")
        year, work = folder / "year.toml", folder / "work.ics"
        text = year.read_text().replace("[climber]\n", "[climber]\nwall_travel_minutes = 20\n")
        year.write_text(text)
        at = f"DTSTART:20270615T050000Z\nDTEND;TZID=Europe/Vienna:20270615T{until}"
        work.write_text(re.sub(r"DTSTART.*\n+DTEND.*", at, work.read_text()))
        assert (told(agenda_of(folder))[15, "long-easy-climbing"] == "") is is_free


def test_what_the_climber_put_there_and_a_rule_that_is_off_are_not_asked(tmp_path: Path) -> None:
    wish = '[[session]]\nsession = "strength-2/2027-06-14/pulling-strength-1"\nday = 2027-06-17\n'
    found = told(agenda_of(busy(tmp_path / "own", "1649", wish)))
    assert found[17, HANGS] == BUSY and found[17, PULLS] == ""
    off = "[rules.session-hours]\non = false\n"
    assert set(told(agenda_of(busy(tmp_path / "off", "1649", off))).values()) == {""}


def test_the_next_plan_keeps_clear_of_it_and_nothing_is_marked(tmp_path: Path) -> None:
    folder = busy(tmp_path, "1649")
    said("replan", str(folder), "--accept", *DAY)
    agenda = agenda_of(folder)
    assert {agenda.harm_text(one) for one in agenda.revision.sessions} == {""}


def test_a_calendar_that_cannot_be_read_marks_nothing_and_stops_nothing(tmp_path: Path) -> None:
    folder = busy(tmp_path, "1649")
    (folder / "work.ics").write_text("no calendar")
    assert "Leave it out" not in said("week", str(folder), "--plain", *DAY)
    assert taken_now(folder) == {}


async def test_every_face_says_it(tmp_path: Path) -> None:
    folder = busy(tmp_path, "1649")
    week = said("week", str(folder), "--plain", *DAY)
    assert week.count(BUSY.rstrip(".")) == 2 and "5 sessions" in week
    async with opened(folder, today=TODAY, size=(160, 50)) as pilot:
        await at_week(pilot)
        await pilot.press("right")
        assert BUSY in " ".join(slip(pilot).split())
    wish = Wish(layers=USUAL)
    made = contents_of(*accepted(folder), wish=wish, now=NOW, seen={}, taken=taken_now(folder))
    text = b"".join(part.content for part in made.parts.values())
    assert b"SUMMARY:Leave out: Hangs" in text and b"Secret dinner" not in text


def test_what_is_served_is_made_anew_when_a_busy_calendar_changes(tmp_path: Path) -> None:
    folder = busy(tmp_path, "1649")
    mark = mark_of(folder)
    before = mark()
    assert mark() == before
    (folder / "work.ics").write_text("BEGIN:VCALENDAR")
    assert mark() != before


def test_a_trip_that_is_gone_marks_its_sessions_and_days(tmp_path: Path) -> None:
    folder = entered(tmp_path, ISLE.format(last="2027-06-24"))
    said("replan", str(folder), "--accept", *DAY)
    year = folder / "year.toml"
    year.write_text(year.read_text().replace(ISLE.format(last="2027-06-24"), ""))
    agenda = agenda_of(folder)
    there = [one for one in agenda.revision.sessions if one.rock == "isle"]
    assert there and {agenda.harm_text(one) for one in there} == {GONE}
    assert {agenda.harm_text(one) for one in agenda.revision.sessions} == {GONE, ""}
    block = next(one for one in agenda.revision.blocks if one.entry == "isle")
    free = {*block.span.days()} - {one.day for one in there}
    assert agenda.standing(block, min(free)).startswith(f"{block.id}: trip “Isle”, day ")
    assert agenda.on(min(free)).rest == GONE.removeprefix("! Leave it out. ")
    out = [one for one in events(folder, USUAL) if one.title.startswith("Leave out: ")]
    assert out and all(one.description.startswith(GONE) for one in out)
    quiet = list(events(folder, USUAL - {Layer.TRIPS}))
    assert not any("Isle" in one.description for one in quiet)
    assert {one.title for one in out} <= {one.title for one in quiet}
    assert GONE in page_of(folder)


# --- blocks, and what to mind ---------------------------------------------------------------------


def test_a_block_says_how_many_of_its_sessions_are_taken(tmp_path: Path) -> None:
    """Its own event in a calendar, until the next plan."""
    folder = busy(tmp_path, "1649")
    year, plan = accepted(folder)
    wish, taken = Wish(layers=ALL), taken_now(folder)
    was = calendar_texts(year, plan, layers=ALL)
    now = calendar_texts(year, plan, layers=ALL, manner=wish.manner(year, plan=plan, taken=taken))
    of = sum(one.block == "strength-2" and one.minutes > 0 for one in plan.current.sessions)
    first = f"! What you entered since takes 2 of its {of} sessions. {ANEW}\n"
    blocks = [one.id for one in plan.current.blocks]
    assert {one for one in blocks if was[one] != now[one]} == {"strength-2"}
    assert now["strength-2"] == first + was["strength-2"]


def test_today_says_nothing_more_of_what_is_to_be_left_out(tmp_path: Path) -> None:
    """Seen: how to hang, beside hangs that a hurt finger forbids."""
    day = ("--today", "2027-06-17")
    before = said("today", str(demo_copy(tmp_path / "before")), "--plain", *day)
    hurt = hurt_text("Finger", "finger", "2027-06-12", "2027-07-01", "2027-07-20", "2027-08-10")
    after = said("today", str(entered(tmp_path, hurt)), "--plain", *day)
    of_hangs = "Trials back the load"
    assert "Leave it out" in after and of_hangs in before and of_hangs not in after
    assert "Take care" in after or "doctor" in after, "what is hurt is minded"
