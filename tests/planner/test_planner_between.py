"""Weeks of a season without rock build, where rock lies before and after them.

Common practice, no source: who climbs every second weekend trains in the weeks between.
"""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from coached import ROCK, planned, year_text

from seasonplan.plan import Week
from seasonplan.planner.fill import Filled
from seasonplan.vocabulary import Kind

AT_HOME = {"monday": 120, "tuesday": 120, "wednesday": 90, "thursday": 120, "friday": 60,
           "saturday": 240, "sunday": 240}  # fmt: skip
HARD = {"limit-bouldering", "board-power", "interval-circuits"}
FIRST = date(2027, 4, 9)


def windows(discipline: str, *, every: int) -> str:
    """A goal, and from 9 April on windows of a weekend, so many weeks apart."""
    days = [FIRST + timedelta(weeks=n) for n in range(0, 25, every)]
    found = "".join(
        f'\n[[window]]\nname = "Window {n}"\nid = "w{n}"\nplace = "Larchfold"\n'
        f'discipline = "{discipline}"\nfirst = {day}\nlast = {day + timedelta(days=3)}\n'
        "chance = 0.6\n"
        for n, day in enumerate(days)
    )
    grade = "7B" if discipline == "boulder" else "7c"
    return (
        f'[[goal]]\nname = "Grey Door"\nplace = "Larchfold"\ndiscipline = "{discipline}"\n'
        f'grade = "{grade}"\n{found}'
    )


def filled(discipline: str, *, every: int = 2) -> Filled:
    text = year_text(AT_HOME, windows(discipline, every=every), load=2000, climber=ROCK)
    return planned(text)[1]


def weeks_between(made: Filled) -> list[Week]:
    """The normal weeks of performance without rock, past the first rock of the year."""
    rock = [one.day for one in made.sessions if one.rock]
    return [
        week
        for block in made.blocks
        if block.kind is Kind.PERFORMANCE
        for week in block.weeks
        if not week.deload and not week.lead_in and not any(day in week.span for day in rock)
        and any(week.span.first - timedelta(14) <= day < week.span.first for day in rock)
        and any(week.span.after <= day < week.span.after + timedelta(14) for day in rock)
    ]  # fmt: skip


@pytest.mark.parametrize("discipline", ["sport", "boulder"])
def test_between_two_weekends_on_rock_a_week_holds_hard_moves_and_twice_the_hangs(
    discipline: str,
) -> None:
    made = filled(discipline)
    between = weeks_between(made)
    assert len(between) >= 5
    kept = [
        week.hard_seconds
        for block in made.blocks
        if block.kind is Kind.PERFORMANCE
        for week in block.weeks
        if any(one.rock and one.day in week.span for one in made.sessions)
    ]
    for week in between:
        held = {one.recipe for one in made.sessions if one.day in week.span}
        assert held & HARD, week.span
        assert week.hard_seconds >= 2 * sorted(kept)[len(kept) // 2] > 0, week.span


def test_nothing_hard_stands_in_the_two_days_before_a_project_after_such_a_week() -> None:
    made = filled("sport")
    projects = [one.day for one in made.sessions if one.role == "project"]
    hard = [one.day for one in made.sessions if one.recipe in HARD or one.hangs]
    assert projects
    assert not [
        (day, project) for project in projects for day in hard
        if timedelta() < project - day <= timedelta(days=1)
    ]  # fmt: skip


def test_where_rock_comes_each_week_no_week_is_one_between() -> None:
    assert not weeks_between(filled("sport", every=1))
