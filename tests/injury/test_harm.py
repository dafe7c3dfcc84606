"""A session that would load what is hurt: not taken, not planned, and never told without a word.

A knee is off in the draft from 15 to 18 March; the finger of a year of twelve weeks in March.
"""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date, time
from pathlib import Path
from typing import Any

import pytest
from autumn import planned
from draft_maker import YEAR, draft, plan, revision
from folder_maker import session
from stage import bench, demo, opened
from test_edits import done, no
from test_replan_sessions import LATER, NAME, findings, replanned, text
from typer.testing import CliRunner

from seasonplan.cli.app import app
from seasonplan.days import Span
from seasonplan.edits import (
    AddEntry,
    AddSession,
    ChangeEntry,
    ChangeRule,
    Draft,
    MoveSession,
    draft_of,
    read,
    together,
)
from seasonplan.explain.left_out import lines
from seasonplan.vocabulary import Tissue
from tui.week.sessions import Stand, recipes_for, shown

OFF, EASY = date(2027, 3, 16), date(2027, 3, 19)
RUN = AddSession(recipe="aerobic", day=OFF, start=time(18))
FINGER = """[[injury]]
name = "Ring finger"
part = "finger"
side = "left"
happened = 2026-03-10
easy_from = 2026-03-24
building_from = 2026-03-27
full_from = 2026-03-29
"""
BOARD = 'recipe = "fingerboard-often"\nday = 2026-03-{day}\nstart = "12:00"\nminutes = 30'
TODAY = date(2026, 3, 10)


def said(*words: str) -> str:
    """What a command says; it must go well."""
    done = CliRunner().invoke(app, list(words))
    assert done.exit_code == 0, done.output
    return str(done.stdout)


# --- edits ----------------------------------------------------------------------------------


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


# --- plan and checker -----------------------------------------------------------------------


def test_a_session_wished_before_the_injury_is_left_out_and_that_is_said() -> None:
    wish = BOARD.format(day=14)
    before = replanned(wish)
    assert any(one.id.startswith("own/") for one in before.current.sessions)
    told = text(wish) + f"\n{FINGER}"
    after = replanned(wish + f"\n{FINGER}", before=before)
    assert not any(one.id.startswith("own/") for one in after.current.sessions)
    (line,) = lines(read(told), after.current, read(told).span)
    assert line == (
        "Sat 14 Mar 2026: Left out, though you asked for it: “Light holds”. "
        "Your left finger is off until Mon 23 Mar 2026, not back in full until Thu 26 Mar 2026; "
        "this session loads it hard."
    )


def test_what_was_done_before_today_stays_though_the_part_hurt_by_then() -> None:
    wish = BOARD.format(day=11)
    before = replanned(wish)
    after = replanned(wish + f"\n{FINGER}", before=before, today=date(2026, 3, 12))
    assert any(one.id.startswith("own/") for one in after.current.sessions)


def test_no_wish_makes_a_break_of_a_health_rule_a_mere_preference() -> None:
    wish = BOARD.format(day=13)
    hurt = read(text(wish) + f"\n{FINGER}")
    found = findings(hurt, replanned(wish), TODAY)
    mine = [one for one in found if one.sessions == ("own/fingerboard-often-2026-03-13",)]
    assert ("session-care", "hard") in {(one.code, one.strength) for one in mine}
    assert ("session-hours", "soft") in {(one.code, one.strength) for one in mine}


def test_the_one_that_was_moved_onto_such_a_day_is_left_out() -> None:
    moved = f'session = "{LATER}"\nday = 2026-03-20\nstart = "06:15"'
    after = replanned(moved + f"\n{FINGER}")
    assert LATER not in {one.id for one in after.current.sessions}


# --- faces ----------------------------------------------------------------------------------


def test_an_old_plan_is_not_told_without_the_word_beside_the_session(tmp_path: Path) -> None:
    folder = planned(tmp_path, NAME)
    year = folder / "year.toml"
    year.write_text(f"{year.read_text()}\n{FINGER}")
    plan = json.loads((folder / "plan.json").read_text())
    loading = next(
        one
        for one in plan["revisions"][-1]["sessions"]
        if one["recipe"].startswith("fingerboard") and "2026-03-10" <= one["day"] < "2026-03-24"
    )
    for command in ("today", "week"):
        told = said(command, str(folder), "--plain", "--today", loading["day"])
        assert "! Leave it out. Your left finger is off until Mon 23 Mar 2026" in told
        facts = json.loads(said(command, str(folder), "--json", "--today", loading["day"]))
        days = facts["days"] if command == "week" else [facts]
        (mine,) = [s for day in days for s in day["sessions"] if s["id"] == loading["id"]]
        assert mine["leave_out"].startswith("! Leave it out.")


async def test_the_week_marks_and_offers_nothing_that_loads_what_is_hurt(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    year = folder / "year.toml"
    hurt = FINGER.replace("2026-03-10", "2027-02-10").replace("2026-03", "2027-04")
    year.write_text(f"{year.read_text()}\n{hurt}")
    async with opened(folder, today=date(2027, 2, 10)) as pilot:
        offered = [one.id for one in recipes_for(bench(pilot), date(2027, 2, 11))]
        assert "mobility" in offered and "fingerboard-often" not in offered
        sessions = shown(bench(pilot), Span(date(2027, 2, 10), date(2027, 2, 24)))
        stands = {(one.session.recipe, one.stand is Stand.HURT) for one in sessions}
        book = bench(pilot).desk.recipes
        assert {hurts for _, hurts in stands} == {True, False}
        for recipe, hurts in stands:
            assert hurts is (book[recipe].stresses.get(Tissue.FINGERS, 0) > 0), recipe


async def test_an_added_session_is_shown_once_when_the_plan_has_it(tmp_path: Path) -> None:
    folder = str(planned(tmp_path, NAME))
    said(
        "edit", folder, "add-session", "mobility", "--day", "2026-03-14", "--start", "12:00",
        "--today", "2026-03-10",
    )  # fmt: skip
    said("replan", folder, "--accept", "--today", "2026-03-10")
    async with opened(Path(folder), today=TODAY) as pilot:
        mine = [one for one in shown(bench(pilot), bench(pilot).desk.year.span) if one.own]
        assert [(one.stand, one.wish) for one in mine] == [(Stand.ADDED, "mobility-2026-03-14")]


# --- entered when it was over -----------------------------------------------------------------


def test_sessions_of_days_that_were_taken_later_say_so_and_do_not_count(tmp_path: Path) -> None:
    """On 1 March the climber enters that the second week of February was away."""
    folder = demo(tmp_path)
    away = ["name=Late", "first=2027-02-08", "last=2027-02-14"]
    today = ["--today", "2027-03-01"]
    assert invoke("edit", folder, "add", "absence", *away, *today).exit_code == 0
    told = invoke("replan", folder, "--accept", *today)
    assert "Mon 8 Feb 2027 to Sun 14 Feb 2027 now reads as you entered it" in flat(told.stdout)
    week = flat(invoke("week", folder, "2027-02-09", *today).stdout)
    assert "It was planned before you entered “Late”." in week
    assert "No sessions." in week


def invoke(*words: object) -> Any:
    return CliRunner().invoke(app, [str(word) for word in words])


def flat(text: str) -> str:
    return " ".join(text.split())
