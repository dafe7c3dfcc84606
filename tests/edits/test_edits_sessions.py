"""Sessions moved, skipped, added and freed: wishes in the year, and what a year says of them."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time

import pytest
from draft_maker import SESSION, YEAR, draft, lines_changed, sessions
from test_edits import done, no

from seasonplan.edits import (
    AddSession,
    AnEdit,
    ChangeEntry,
    FreeSession,
    MoveSession,
    RemoveEntry,
    SkipSession,
    read,
)
from seasonplan.edits.room import clear_start
from seasonplan.errors import BadInput
from seasonplan.plan import Session

MONDAY = date(2027, 1, 11)


def test_a_moved_session_is_an_entry_of_the_year() -> None:
    after = done(MoveSession(session=SESSION, day=MONDAY, start=time(7, 15)))
    (entry,) = after.year.fixed_sessions
    assert (entry.id, entry.session) == (SESSION, SESSION)
    assert (entry.day, entry.start, entry.skip) == (MONDAY, time(7, 15), False)
    assert 'start = "07:15"' in after.text


def test_the_last_word_on_a_session_counts() -> None:
    after = done(SkipSession(session=SESSION), done(MoveSession(session=SESSION, day=MONDAY)))
    (entry,) = after.year.fixed_sessions
    assert entry.skip and entry.day is None


def test_a_freed_session_leaves_the_text_as_it_was() -> None:
    after = done(FreeSession(session=SESSION), done(SkipSession(session=SESSION)))
    assert after.text.rstrip() == YEAR.rstrip()
    nothing = no(FreeSession(session=SESSION))
    assert nothing.why == f"You changed nothing of the session {SESSION}."
    assert nothing.would_work == "There is nothing to take back."


def test_what_is_over_is_not_taken_back() -> None:
    """Neither where the session lies by now nor where it would lie again."""
    put_off = replace(done(MoveSession(session=SESSION, day=MONDAY)), today=date(2027, 1, 8))
    assert "is over" in no(FreeSession(session=SESSION), put_off).why
    assert "It was planned for that day" in no(FreeSession(session=SESSION), put_off).would_work
    done(FreeSession(session=SESSION), replace(put_off, today=date(2027, 1, 4)))
    added = done(AddSession(recipe="mobility", day=MONDAY, start=time(18, 30)))
    late = replace(added, today=date(2027, 1, 12))
    assert "Mon 11 Jan 2027 is over." in no(FreeSession(session="mobility-2027-01-11"), late).why


def test_an_added_session_is_moved_and_taken_out_by_the_name_the_plan_has_for_it() -> None:
    added = done(AddSession(recipe="mobility", day=MONDAY, start=time(18, 30)))
    own = Session(
        id="own/mobility-2027-01-11", block="base-1", recipe="mobility", day=MONDAY,
        start=time(18, 30), minutes=20, rpe=2.0,
    )  # fmt: skip
    shown = replace(added, held=(*sessions(), own))
    moved = done(MoveSession(session=own.id, day=date(2027, 1, 12)), shown)
    (entry,) = moved.year.fixed_sessions
    assert (entry.id, entry.day, entry.recipe) == (
        "mobility-2027-01-11", date(2027, 1, 12), "mobility",
    )  # fmt: skip
    assert not done(SkipSession(session=own.id), shown).year.fixed_sessions


def test_an_added_session_has_the_usual_length_and_a_readable_id() -> None:
    edit = AddSession(recipe="mobility", day=MONDAY, start=time(18, 30))
    later = AddSession(recipe="mobility", day=MONDAY, start=time(19))
    after = done(later, done(edit))
    assert [entry.id for entry in after.year.fixed_sessions] == [
        "mobility-2027-01-11", "mobility-2027-01-11-2",
    ]  # fmt: skip
    assert after.year.fixed_sessions[0].minutes == 20
    gone = done(RemoveEntry(id="mobility-2027-01-11"), after)
    assert [entry.id for entry in gone.year.fixed_sessions] == ["mobility-2027-01-11-2"]


@pytest.mark.parametrize(
    ("edit", "why", "would_work"),
    [
        (SkipSession(session="base-1/x"), "no session", "seasonplan week"),
        (SkipSession(session=SESSION + "2"), "no session", f"Did you mean {SESSION}?"),
        (MoveSession(session=SESSION), "No day and no time", "Say a day"),
        (
            MoveSession(session=SESSION, day=date(2027, 1, 25)),
            "outside base-1",
            "A day from Mon 4 Jan 2027 to Sun 24 Jan 2027 would work",
        ),
        (
            AddSession(recipe="mobilty", day=MONDAY, start=time(18)),
            "no recipe 'mobilty'",
            "Did you mean mobility?",
        ),
        (
            AddSession(recipe="mobility", day=date(2028, 1, 1), start=time(18)),
            "outside your year",
            "A day from Mon 4 Jan 2027 to Sun 28 Mar 2027 works.",
        ),
    ],
)
def test_a_session_that_cannot_be_so_is_refused(edit: AnEdit, why: str, would_work: str) -> None:
    refused = no(edit)
    assert why in refused.why and would_work in refused.would_work


def test_without_a_plan_there_is_no_session_to_move() -> None:
    assert "no plan yet" in no(SkipSession(session=SESSION), replace(draft(), plan=None)).why


FAULTS = {
    'session = "a"\nrecipe = "mobility"': "both `session` and `recipe`; wanted one of them",
    "skip = true": "no `session` and no `recipe`",
    'session = "a"': "no change; wanted `day`, `start` or `minutes`; or `skip = true`",
    'session = "a"\nskip = true\nday = 2027-01-11': "a skipped session with another day",
    'recipe = "mobility"\nday = 2027-01-11': "no `start`, no `minutes`; wanted `day`, `start`",
    'session = "a"\nstart = "7"': "'7'; wanted a time of day",
    'session = "a"\nstart = 07:15:30': "07:15:30; wanted a time of day",
    'session = "a"\nday = 2028-01-01': "2028-01-01; wanted a day inside the year",
    'session = "isle"\nskip = true': "the id 'isle' twice",
    'recipe = "mobilty"\nday = 2027-01-11\nstart = "7:00"\nminutes = 6': "Did you mean 'mobility'",
}


@pytest.mark.parametrize("lines", FAULTS)
def test_a_fault_in_a_session_entry_is_told_by_line(lines: str) -> None:
    with pytest.raises(BadInput) as bad:
        read(f"{YEAR}\n[[session]]\n{lines}\n")
    (fault,) = bad.value.faults
    assert FAULTS[lines] in str(fault)
    assert fault.key.startswith("session.1") and fault.line is not None
    assert fault.line > YEAR.count("\n")


def test_a_time_of_day_may_be_written_in_both_ways() -> None:
    for start in ("07:15:00", '"07:15"', '"7:15"'):
        year = read(f'{YEAR}\n[[session]]\nsession = "a"\nstart = {start}\n')
        assert year.fixed_sessions[0].start == time(7, 15)


def test_only_lines_of_the_session_come() -> None:
    after = done(SkipSession(session=SESSION))
    assert lines_changed(YEAR, after.text) == (
        [],
        ["", "[[session]]", f'session = "{SESSION}"', "skip = true"],
    )


def test_a_session_moved_without_an_hour_never_lies_on_another() -> None:
    """Its own hour where that is free on the new day, else the next one after what is there."""
    other = Session(
        id="base-1/2027-01-11/legs-1", block="base-1", recipe="legs", day=MONDAY,
        start=time(17, 30), minutes=75, rpe=5,
    )  # fmt: skip
    before = draft(sessions=(*sessions(), other))
    (entry,) = done(MoveSession(session=SESSION, day=MONDAY), before).year.fixed_sessions
    assert entry.start == time(18, 45)
    (entry,) = done(MoveSession(session=SESSION, day=MONDAY)).year.fixed_sessions
    assert entry.start is None
    said = no(MoveSession(session=SESSION, day=MONDAY, start=time(18)), before)
    assert "is there from 17:30 to 18:45" in said.why and "18:45 is the nearest" in said.would_work


def test_a_session_is_added_on_no_other() -> None:
    edit = AddSession(recipe="mobility", day=MONDAY, start=time(18, 30))
    assert "“Mobility” is there from 18:30 to 18:50" in no(edit, done(edit)).why
    moved = done(ChangeEntry(id="mobility-2027-01-11", values={"start": "07:00"}), done(edit))
    assert len(done(edit, moved).year.fixed_sessions) == 2


def test_room_is_looked_for_the_way_a_session_is_pushed() -> None:
    taken = [(18 * 60, 19 * 60), (19 * 60, 20 * 60)]
    assert clear_start(taken, 18 * 60 + 45, 30) == 20 * 60
    assert clear_start(taken, 18 * 60 + 45, 30, toward=1) == 20 * 60
    assert clear_start(taken, 17 * 60 + 30, 30, toward=1) == 17 * 60 + 30
    assert clear_start([(0, 24 * 60)], 600, 30) is None
