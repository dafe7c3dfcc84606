"""A session that would load what is hurt: not planned, and never told without a word.

The finger of a year of twelve weeks hurts in March.
"""

from __future__ import annotations

import json
import re
from datetime import date
from pathlib import Path
from typing import Any

from autumn import planned
from hurt import hurt_text
from stage import bench, demo, opened
from test_replan_sessions import LATER, NAME, findings, first_plan, replanned, text
from typer.testing import CliRunner

from seasonplan.cli.app import app
from seasonplan.days import Span
from seasonplan.edits import read
from seasonplan.explain.agenda import Agenda
from seasonplan.explain.left_out import lines
from seasonplan.explain.week import amount_text
from seasonplan.plan import Revision, Session
from seasonplan.recipes import standard_recipes
from seasonplan.vocabulary import Tissue
from tui.week.sessions import Stand, recipes_for, shown

FINGER = hurt_text(
    "Ring finger", "finger", "2026-03-10", "2026-03-24", "2026-03-27", "2026-03-29", side="left"
)
BOARD = 'recipe = "fingerboard-often"\nday = 2026-03-{day}\nstart = "12:00"\nminutes = 30'
TODAY = date(2026, 3, 10)


def said(*words: str) -> str:
    """What a command says; it must go well."""
    done = CliRunner().invoke(app, list(words))
    assert done.exit_code == 0, done.output
    return str(done.stdout)


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


def test_one_hard_use_too_many_after_the_injury_is_told_wherever_the_week_is() -> None:
    """Twice a week from 12 Apr 2026: the second of `[[ramp.steps]]` in shared/injuries.toml."""
    links = 'recipe = "interval-circuits"\nday = 2026-04-{}\nstart = "12:00"\nminutes = 30'
    year = read(text(*(links.format(day) for day in (14, 16, 18))) + f"\n{FINGER}")
    last = first_plan(NAME).current
    held = [
        Session(id=f"own/{wish.id}", block=last.blocks[0].id, recipe=wish.recipe, day=wish.day,
                start=wish.start, minutes=30, rpe=7)
        for wish in year.fixed_sessions
        if wish.day and wish.start
    ]  # fmt: skip
    two = Revision(**{**dict(last), "sessions": tuple(held[:2])})
    why = (
        "Your left finger is just back; until Sat 25 Apr 2026: hard use of the fingers at "
        "most twice a week; no limit bouldering and no maximal hangs yet."
    )
    (line,) = lines(year, two, year.span)
    assert line == f"Sat 18 Apr 2026: Left out, though you asked for it: “Links”. {why}"
    agenda = Agenda(year, two, book=standard_recipes())
    assert [agenda.harm_text(one) for one in held] == ["", "", f"! Leave it out. {why}"]
    assert list(lines(year, Revision(**{**dict(last), "sessions": tuple(held)}), year.span)) == []


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
    assert "you train" not in week, "the foot of the week counts as its head does"


async def test_a_session_done_on_a_day_that_was_taken_later_is_told_and_counts_everywhere(
    tmp_path: Path,
) -> None:
    folder, today = demo(tmp_path), ["--today", "2027-03-01"]
    assert invoke("log", folder, "done", "2027-02-09", *today).exit_code == 0
    away = ["name=Late", "first=2027-02-08", "last=2027-02-14"]
    assert invoke("edit", folder, "add", "absence", *away, *today).exit_code == 0
    assert invoke("replan", folder, "--accept", *today).exit_code == 0
    week = flat(invoke("week", folder, "2027-02-09", *today).stdout)
    assert "Done: " in week
    head = re.search(r"(\d+ sessions?, [^.]*?), load", week)
    assert head is not None
    async with opened(folder, today=date(2027, 3, 1)) as pilot:
        found = shown(bench(pilot), Span.through(date(2027, 2, 8), date(2027, 2, 14)))
        held = [one.session.minutes for one in found if one.counts]
        assert amount_text(len(held), sum(held)) == head[1]


def invoke(*words: object) -> Any:
    return CliRunner().invoke(app, [str(word) for word in words])


def flat(text: str) -> str:
    return " ".join(text.split())
