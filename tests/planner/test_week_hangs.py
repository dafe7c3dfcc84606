"""The hangs of whole weeks as a coach would read them, and what a week holds beside them."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta
from itertools import pairwise

import pytest
from coached import (
    ALPINE,
    DAILY,
    EIGHT_WEEKS,
    EVENINGS,
    NEVER_HUNG,
    OTHERS,
    RECIPES,
    ROCK,
    hangs,
    planned,
    week_of,
    year_text,
)

from seasonplan.body.almanac import Almanac
from seasonplan.planner.candidates import Role
from seasonplan.planner.climbing import climbing, hard_climbing
from seasonplan.planner.grid import Grid
from seasonplan.planner.levels import Levels
from seasonplan.planner.menus import finger_table
from seasonplan.planner.weeks import Weeks
from seasonplan.rules.statements import book_of
from seasonplan.vocabulary import Emphasis, Kind, RockRole
from seasonplan.year import Before
from seasonplan.year.toml import read_year


def test_few_days_hold_hangs_and_climbing_on_one() -> None:
    """Who is at home from Friday on hangs and climbs on the same evening."""
    away = {"friday": 150, "saturday": 240, "sunday": 180}
    for born in (1966, 1992):
        week = week_of(away, 1500, Kind.STRENGTH, Emphasis.FINGERS, born=born, nth=4)
        hung = {item.day for item in week if item.recipe.hard_hangs}
        assert hung & {item.day for item in week if hard_climbing(item.recipe)}


def test_a_base_week_holds_climbing_above_easy_where_the_hangs_leave_it_a_day() -> None:
    week = week_of(EVENINGS, 1700, Kind.BASE, Emphasis.FINGERS, nth=4)
    assert any(hard_climbing(item.recipe) for item in week) and hangs(week)


@pytest.mark.parametrize(("kind", "most"), [(Kind.BASE, 140), (Kind.STRENGTH, 196)])
def test_the_first_weeks_of_a_block_hold_fewer_hard_seconds(kind: Kind, most: int) -> None:
    text = year_text(EVENINGS, "", weeks=20, load=1700)
    year = read_year(text, file="year.toml")
    grid, weeks = Grid(Almanac(year)), Weeks(Grid(Almanac(year)), book_of(year))
    first, second, usual = (
        weeks.week(grid.cells[12], Role(kind, Emphasis.FINGERS, begun=begun)).hard_seconds
        for begun in (0, 1, None)
    )
    assert first <= most + 5 < usual and first < second <= usual


def test_days_with_hangs_rise_by_one_a_week_where_a_block_begins() -> None:
    """For who hangs often: three days, four, five."""
    split = '[sessions]\nspread = "short and hard, often"'
    text = year_text(DAILY, "", weeks=20, load=1700).replace("[sessions]", split)
    year = read_year(text, file="year.toml")
    grid, weeks = Grid(Almanac(year)), Weeks(Grid(Almanac(year)), book_of(year))
    days = []
    for begun in (0, 1, None):
        week = weeks.week(grid.cells[12], Role(Kind.BASE, Emphasis.FINGERS, begun=begun))
        days.append(sum(bool(item.hangs) for item in week.items))
    assert days == [3, 4, 5]


def test_who_did_no_hard_hangs_begins_with_light_ones_and_with_base() -> None:
    """Common practice, no source."""
    _, made = planned(NEVER_HUNG)
    weeks = [week for block in made.blocks for week in block.weeks]
    assert [week.hard_seconds for week in weeks[:3]] == [0, 0, 0]
    first = weeks[0].span
    names = {one.recipe for one in made.sessions if one.day in first}
    assert names & {name for name, one in RECIPES.items() if climbing(one)}
    assert made.blocks[0].kind is Kind.BASE and made.blocks[0].emphasis is not Emphasis.FINGERS
    season = next(b.span.first for b in made.blocks if b.kind is Kind.PERFORMANCE)
    assert any(week.hard_seconds for week in weeks if week.span.after <= season)


def test_the_last_full_hangs_lie_about_ten_days_before_the_first_tries() -> None:
    _, made = planned(EIGHT_WEEKS.replace(ROCK, f"{ROCK}\nlevel = {{ finger_strength = 1 }}"))
    rock = min(one.day for one in made.sessions if one.role is RockRole.PROJECT)
    hung = [one for one in made.sessions if RECIPES[one.recipe].hard_hangs and one.day < rock]
    (week,) = (week for block in made.blocks for week in block.weeks if week.lead_in)
    (full,) = (one for one in hung if one.day in week.span)
    assert 9 <= (rock - full.day).days <= 13 and full.hangs == finger_table().last_full_hangs


@pytest.mark.parametrize("spread", ["few and long", "short and hard, often"])
@pytest.mark.parametrize("rating", [1, 3])
def test_a_lead_in_holds_no_more_hard_seconds_than_the_weeks_before_it(
    rating: int, spread: str
) -> None:
    text = EIGHT_WEEKS.replace(ROCK, f"{ROCK}\nlevel = {{ finger_strength = {rating} }}")
    _, made = planned(text.replace("[sessions]", f'[sessions]\nspread = "{spread}"'))
    weeks = [week for block in made.blocks for week in block.weeks]
    (at,) = (n for n, week in enumerate(weeks) if week.lead_in)
    before = [week.hard_seconds for week in weeks[at - 3 : at]]
    assert 0 < weeks[at].hard_seconds < min(before)


def test_a_load_entered_low_may_rise_to_three_hours() -> None:
    """`year_least` of shared/response.toml, and no further than the free time holds."""
    low = read_year(year_text(EVENINGS, "", load=250), file="year.toml")
    assert Levels(Almanac(low)).body.top == 900
    usual = read_year(year_text(EVENINGS, "", load=1000), file="year.toml")
    assert Levels(Almanac(usual)).body.top == 1500


@pytest.mark.parametrize(
    ("loads", "top"),
    [
        ([1200, 1200, 0, 1200], 1800),
        ([1200, 600, 1200, 1200], 1575),
        ([1200, 599, 1200, 1200], 1800),
    ],
)
def test_a_holiday_before_the_year_does_not_bound_it(loads: list[int], top: float) -> None:
    """`ordinary` of shared/response.toml: half the middle of the weeks; one begins with their mean
    all the same."""
    year = read_year(year_text(EVENINGS, "", load=1200), file="year.toml")
    told = Before(weekly_load=tuple(map(float, loads)))
    body = Levels(Almanac(year.with_fields(before=told))).body
    assert (body.top, body.usual) == (top, sum(loads) / 4)


def test_few_hangs_stand_before_tries_at_the_limit() -> None:
    """Common practice, no source: at most eight, a hang of ten seconds each, then the tries."""
    away = {"friday": 150, "saturday": 240, "sunday": 180}
    for nth in range(2, 10):
        week = week_of(away, 1500, Kind.STRENGTH, Emphasis.FINGERS, born=1966, nth=nth)
        tries = {item.day for item in week if item.recipe.id == "limit-bouldering"}
        assert all(item.hangs <= 8 for item in week if item.day in tries)


@pytest.mark.parametrize("load", [400, 600, 900])
@pytest.mark.parametrize("routine", [OTHERS, {"tuesday": 90, "thursday": 60, "sunday": 90}])
def test_a_light_week_holds_climbing_too(routine: Mapping[str, int], load: float) -> None:
    for kind in (Kind.BASE, Kind.STRENGTH):
        items = week_of(routine, load, kind, Emphasis.FINGERS, light=True, nth=4)
        assert any(climbing(item.recipe) for item in items) and hangs(items)


def test_a_light_week_has_no_full_session_of_hangs() -> None:
    for kind in (Kind.BASE, Kind.STRENGTH):
        normal = week_of(EVENINGS, 1700, kind, Emphasis.FINGERS, nth=8)
        light = week_of(EVENINGS, 1700, kind, Emphasis.FINGERS, nth=8, light=True)
        assert 0 < hangs(light) <= 0.6 * hangs(normal)
        assert max(item.hangs for item in light if item.recipe.hard_hangs) <= 8


def test_who_did_no_hard_hangs_tests_nothing_and_has_no_strength_block_in_seven_weeks() -> None:
    _, made = planned(NEVER_HUNG)
    until = date(2027, 3, 1) + timedelta(weeks=7)
    assert not [one for one in made.sessions if one.recipe == "test-day" and one.day < until]
    assert not [b for b in made.blocks if b.kind is Kind.STRENGTH and b.span.first < until]


def test_a_season_is_not_broken_off_after_its_opening_weekend() -> None:
    for text in (EIGHT_WEEKS, ALPINE):
        _, made = planned(text)
        for block, after in pairwise(made.blocks):
            rock = [one for one in made.sessions if one.rock and one.day in block.span]
            if block.kind is Kind.PERFORMANCE and after.kind is Kind.REST:
                assert len({one.day.isocalendar()[:2] for one in rock}) > 1


def test_links_stand_in_the_week_before_a_season_opens_or_the_week_of_it() -> None:
    """Power endurance fades in weeks: nobody comes to the first project day without any."""
    made = planned(EIGHT_WEEKS)[1]
    first = min(one.day for one in made.sessions if one.rock)
    near = [one for one in made.sessions if 0 < (first - one.day).days <= 7 and not one.rock]
    assert any("power_endurance" in RECIPES[one.recipe].qualities for one in near)


@pytest.mark.parametrize(("before", "most"), [(0, 0.15), (1, 0.27), (None, 0.27)])
def test_who_never_hung_hard_hangs_less_of_a_week_all_year(
    before: float | None, most: float
) -> None:
    """`new_seconds_a_load` and `seconds_a_load` of shared/menus.toml, a hang more at most."""
    year = read_year(year_text(OTHERS, "", weeks=20, load=500), file="year.toml")
    told = year.with_fields(before=Before(weekly_load=(500.0,) * 4, hard_finger_sessions=before))
    assert finger_table().most_a_load(told) == most
    grid = Grid(Almanac(told))
    weeks = Weeks(grid, book_of(told))
    for cell in grid.cells[8:]:
        week = weeks.week(cell, Role(Kind.BASE, Emphasis.FINGERS))
        assert 0 < week.hard_seconds <= most * week.aim + 10


@pytest.mark.parametrize(("off", "together"), [(19, False), (0, True)])
def test_no_two_hard_finger_days_follow_each_other_in_the_weeks_back(
    off: int, together: bool
) -> None:
    """Common practice, no source: two weeks hold less after ten days off and more."""
    days = {"monday": 90, "tuesday": 90, "thursday": 90, "friday": 60}
    away = """
        [[absence]]
        name = "Away"
        first = 2027-04-14
        last = 2027-05-02
    """
    grid = Grid(Almanac(read_year(year_text(days, away if off else "", weeks=14), file="y")))
    weeks, found = Weeks(grid, book_of(grid.almanac.year)), False
    for emphasis in (Emphasis.POWER_ENDURANCE, Emphasis.FINGERS):
        for cell in grid.cells:
            if cell.given is None and date(2027, 5, 3) <= cell.span.first <= date(2027, 5, 10):
                items = weeks.week(cell, Role(Kind.BASE, emphasis)).items
                hard = sorted({one.day for one in items if one.recipe.hard_on_fingers})
                found |= any(b - a == timedelta(days=1) for a, b in pairwise(hard))
    assert found is together
