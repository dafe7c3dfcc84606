"""A session that would load what is hurt, or young fingers to the most, is refused as an edit.

A knee is off in the draft from 15 to 18 March 2027 and in full from 29 March.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time

import pytest
from draft_maker import YEAR, draft, plan, revision
from folder_maker import session
from test_edits import done, no

from seasonplan.edits import (
    AddEntry,
    AddSession,
    ChangeEntry,
    ChangeRule,
    Draft,
    MoveSession,
    draft_of,
    together,
)

OFF, EASY = date(2027, 3, 16), date(2027, 3, 19)
RUN = AddSession(recipe="aerobic", day=OFF, start=time(18))


def test_a_session_that_loads_a_part_that_is_off_is_refused_with_what_spares_it() -> None:
    refusal = no(RUN)
    assert refusal.why == "Your knee is off until Thu 18 Mar 2027; this session loads it."
    assert "“Seated pressing and rows”" in refusal.would_work
    assert "“Easy aerobic”" not in refusal.would_work
    assert "If your doctor or physiotherapist allows more" in refusal.would_work
    assert "“Knee”" in refusal.would_work


def test_a_session_too_hard_for_a_part_on_its_way_back_is_refused_until_it_is_back() -> None:
    full = "not back in full until Sun 28 Mar 2027; this session loads it hard."
    legs = AddSession(recipe="legs-and-trunk", day=EASY, start=time(18))
    assert no(legs).why == f"Your knee is {full}"
    assert no(replace_day(legs, OFF)).why == f"Your knee is off until Thu 18 Mar 2027, {full}"
    assert done(replace_day(RUN, EASY)).year.fixed_sessions


def test_what_spares_the_part_is_taken() -> None:
    edit = AddSession(recipe="seated-press-and-pull", day=OFF, start=time(18))
    assert done(edit).year.fixed_sessions


def test_a_session_is_neither_entered_nor_changed_nor_moved_to_such_a_day() -> None:
    values = {"recipe": "legs-and-trunk", "day": OFF, "start": "18:00", "minutes": 45}
    assert "Your knee is off" in no(AddEntry(section="session", values=values)).why
    before = done(replace_day(RUN, date(2027, 3, 14)))
    (own,) = before.year.fixed_sessions
    assert "Your knee is off" in no(ChangeEntry(id=own.id, values={"day": OFF}), before).why
    with_others = [
        ChangeEntry(id=own.id, values={"day": OFF}),
        ChangeEntry(id="knee", values={"note": "x"}),
    ]
    with pytest.raises(Exception, match="Your knee is off"):
        together(before, with_others)
    held = session("injured-1/2027-03-15/legs-and-trunk-1", "legs-and-trunk", 81, "18:00", 45)
    held = type(held)(**{**dict(held), "block": "injured-1"})
    moving = draft_of(YEAR, plan(revision(sessions=(held,))))
    move = MoveSession(session=held.id, day=OFF)
    assert "Your knee is off" in no(move, moving).why


@pytest.mark.parametrize(("day", "refused"), [(14, False), (15, True), (18, True), (19, False)])
def test_a_part_is_off_from_its_first_to_its_last_day(day: int, refused: bool) -> None:
    run = replace_day(RUN, date(2027, 3, day))
    if refused:
        assert "Your knee is off until Thu 18 Mar 2027" in no(run).why
    else:
        assert done(run).year.fixed_sessions


@pytest.mark.parametrize(("today", "refused"), [(15, True), (16, True), (17, False)])
def test_today_still_asks_what_spares_the_part_and_yesterday_does_not(
    today: int, refused: bool
) -> None:
    """Entered as it was: on 16 March, with a knee that hurt."""
    values = {"recipe": "legs-and-trunk", "day": OFF, "start": "18:00", "minutes": 45}
    entry = AddEntry(section="session", values=values)
    before: Draft = replace(draft(), today=date(2027, 3, today))
    if refused:
        assert "Your knee is off" in no(entry, before).why
    else:
        assert done(entry, before).year.fixed_sessions


def replace_day(edit: AddSession, day: date) -> AddSession:
    return AddSession(**{**dict(edit), "day": day})


def test_an_injury_is_entered_though_a_session_was_wished_before() -> None:
    """The session is the plan's to leave out; the news is never refused for it."""
    free = done(ChangeEntry(id="knee", values={"happened": "2027-03-17"}))
    wished = done(RUN, free)
    after = done(ChangeEntry(id="knee", values={"happened": "2027-03-15"}), wished)
    assert after.year.fixed_sessions == wished.year.fixed_sessions


def test_what_is_over_and_what_the_rules_do_not_ask_is_not_refused() -> None:
    values = {"recipe": "legs-and-trunk", "day": OFF, "start": "18:00", "minutes": 45}
    later: Draft = replace(draft(), today=date(2027, 3, 20))
    assert done(AddEntry(section="session", values=values), later).year.fixed_sessions
    for code in ("session-care", "injury-caps"):
        assert done(RUN, done(ChangeRule(code=code, on=False))).year.fixed_sessions


def test_young_fingers_are_not_loaded_to_the_most_by_a_wish() -> None:
    young = YEAR.replace(
        'time_zone = "Europe/Vienna"', 'time_zone = "Europe/Vienna"\nbirth_year = 2013'
    )
    edit = AddSession(recipe="fingerboard-long", day=date(2027, 1, 5), start=time(19))
    assert "not for the young" in no(edit, draft(young)).why
    assert done(edit).year.fixed_sessions
