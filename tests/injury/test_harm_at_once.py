"""An injury or days off forbid sessions as soon as they are entered, before the plan is made anew.

What a plan leaves free by its own rules the faces tell to be left out of the plan before it.
"""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import pytest
from autumn import KEY, STAMP, first_plan, text_of
from folder_maker import SESSIONS, YEAR, demo_copy, planned
from hurt import hurt_text
from stage import bench, opened
from test_harm import said
from test_replan_sessions import NAME

from seasonplan.days import Span
from seasonplan.edits import read
from seasonplan.explain.agenda import Agenda
from seasonplan.plan import Revision
from seasonplan.planning.replan import Planned, Provenance, plan_year
from seasonplan.recipes import recipes, standard_recipes
from seasonplan.workspace.desk import Desk
from tui.week.sessions import Stand, shown

KNEE = hurt_text("Knee", "knee", "2026-03-10", "2026-03-20", "2026-04-01", "2026-04-10")
COLD = '\n[[absence]]\nname = "A cold"\nfirst = {}\nlast = {}\n'
FIRST_DAYS = "! Leave it out. The first days of “Knee”, until {}, hold no session."
PLANNED_BEFORE = "! Leave it out. It was planned before you entered “A cold”."


def enter(folder: Path, more: str) -> None:
    year = folder / "year.toml"
    year.write_text(year.read_text() + more)


def forbidden(folder: Path, days: Span) -> list[str]:
    """What is said of each session of some days, by CLI and terminal alike."""
    desk = Desk(folder)
    assert desk.standing
    agenda = Agenda(desk.year, desk.standing, book=desk.recipes)
    return [agenda.harm_text(one) for one in desk.standing.sessions if one.day in days]


@pytest.mark.parametrize("more", [KNEE, COLD.format("2026-03-10", "2026-03-12")])
def test_what_is_said_of_the_first_days_is_what_the_next_plan_makes_of_them(more: str) -> None:
    """Three days, `first` in shared/injuries.toml (common practice, no source)."""
    free = Span.through(date(2026, 3, 10), date(2026, 3, 12))
    year, old = read(text_of(NAME) + more), first_plan(NAME).current
    agenda = Agenda(year, old, book=standard_recipes())
    there = [one for one in old.sessions if one.day in free]
    assert there and all(agenda.harm_text(one) for one in there)
    answer = plan_year(
        year, Provenance("test", STAMP, "digest", text_of(NAME) + more), previous=first_plan(NAME),
        calendar_key=KEY, today=free.first, keep=0.15,
    )  # fmt: skip
    assert isinstance(answer, Planned)
    new = answer.plan.current
    assert not [one for one in new.sessions if one.day in free]
    knows = Agenda(year, new, book=recipes(year.recipes))
    assert {knows.harm_text(one) for one in new.sessions if one.day >= free.first} == {""}


def test_what_spares_the_part_may_be_done_after_the_first_days_and_not_on_them(
    tmp_path: Path,
) -> None:
    folder = planned(tmp_path)
    knee = hurt_text("Knee", "knee", "{}", "2027-01-20", "2027-02-10", "2027-03-01")
    enter(folder, knee.format("2027-01-04"))
    on = Span.through(SESSIONS[1].day, SESSIONS[1].day)
    assert forbidden(folder, on)[0] == FIRST_DAYS.format("Wed 6 Jan 2027")
    (folder / "year.toml").write_text(YEAR + knee.format("2027-01-03"))
    assert forbidden(folder, on)[0] == ""


def test_a_session_that_you_put_on_such_a_day_yourself_is_yours_to_do(tmp_path: Path) -> None:
    folder = planned(tmp_path)
    own = f'\n[[session]]\nsession = "b"\nday = {SESSIONS[1].day}\nstart = "18:10"\n'
    enter(folder, COLD.format("2027-01-05", "2027-01-06") + own)
    held = forbidden(folder, Span.through(SESSIONS[1].day, SESSIONS[1].day))
    assert held == ["", PLANNED_BEFORE]


def test_today_and_week_say_it_and_name_next_what_may_be_done(tmp_path: Path) -> None:
    folder = demo_copy(tmp_path)
    enter(folder, COLD.format("2027-06-15", "2027-06-17"))
    day = ("--today", "2027-06-15", "--plain")
    told = said("today", str(folder), *day)
    plain = PLANNED_BEFORE.replace("“", '"').replace("”", '"')
    assert plain in told and "on the wall, up" not in told, "nobody is told how to do it"
    assert "Next: Sat 19 Jun 2027, 10:00-11:00, Limit bouldering." in told
    assert said("week", str(folder), *day).count(plain.rstrip(".")) == 4
    facts = json.loads(said("today", str(folder), "--json", "--today", "2027-06-15"))
    assert facts["next"]["day"] == "2027-06-19" and facts["sessions"][0]["leave_out"]


def test_what_was_done_before_it_hurt_is_told_as_done_alone(tmp_path: Path) -> None:
    folder = planned(tmp_path)
    enter(folder, hurt_text("Knee", "knee", "2027-01-05"))
    (folder / "diary.csv").write_text("date,kind,session\n2027-01-05,done,a\n")
    told = said("today", str(folder), "--plain", "--today", "2027-01-05")
    assert "Done" in told and "Leave it out" not in told


async def test_the_terminal_marks_them_and_counts_none(tmp_path: Path) -> None:
    folder = demo_copy(tmp_path)
    enter(folder, COLD.format("2027-06-15", "2027-06-17"))
    async with opened(folder, today=date(2027, 6, 15)) as pilot:
        week = shown(bench(pilot), Span(date(2027, 6, 15), date(2027, 6, 20)))
        stands = [(one.session.day.day, one.stand is Stand.HURT, one.counts) for one in week]
    assert stands == [*((n, True, False) for n in (15, 16, 17, 17)), (19, False, True)]


def test_no_plan_that_knows_its_year_has_anything_to_be_left_out() -> None:
    from places import ROOT

    seen = 0
    for folder in sorted((ROOT / "calendars_demo").iterdir()):
        if (folder / "plan.json").exists():
            desk = Desk(folder)
            now: Revision | None = desk.standing
            assert now is not None
            agenda = Agenda(desk.year, now, book=desk.recipes)
            assert {agenda.harm_text(one) for one in now.sessions} == {""}
            seen += len(now.sessions)
    assert seen > 500, "sessions really looked at"
