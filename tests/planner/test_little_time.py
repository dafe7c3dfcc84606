"""Weeks of which absences leave less: the load holds, and comes back by steps after them."""

from __future__ import annotations

from datetime import date

import pytest
from coached import planned, sport_season, year_text
from levelled import levels_of, roomy, steps
from plan_maker import a_year, absence, day, span, trip

from seasonplan.body.almanac import Almanac
from seasonplan.body.little_time import as_good_as_rest, share_left
from seasonplan.planner.candidates import Role
from seasonplan.planner.frame import at_the_limit
from seasonplan.planner.grid import Grid
from seasonplan.planner.weeks import Weeks
from seasonplan.rules.statements import book_of
from seasonplan.rules.tables import after_days_off
from seasonplan.vocabulary import Emphasis, Kind
from seasonplan.year.toml import read_year

STUDENT = {"monday": 60, "tuesday": 90, "thursday": 90, "saturday": 180, "sunday": 120}
BASE = Role(Kind.BASE, Emphasis.ENDURANCE)
STRENGTH = Role(Kind.STRENGTH, Emphasis.POWER)


@pytest.mark.parametrize(
    ("weeks", "left", "days"),
    [
        (1, 0.3, 4),
        (2, 0.3, 9),
        (3, 0.3, 14),
        (4, 0.5, 14),
        (2, 0.5, 7),
        (4, 0.6, 11),
        (4, 0.7, 8),
        (7, 0.7, 8),
        (5, 0.75, 0),
        (5, 0.9, 0),
    ],
)
def test_weeks_of_little_time_count_as_the_days_off_that_they_miss(
    weeks: int, left: float, days: int
) -> None:
    """By hand: 7 x what is missing of each, four at most; a custom of this project, as for weeks
    missed."""
    year = roomy(14, absences=[absence(21, 7 * weeks, left=left)])
    found, levels = levels_of(year)
    row = after_days_off(days) if days else None
    assert levels.off_ends == ({day(21 + 7 * weeks): row} if row else {})
    back = found[3 + weeks : 6 + weeks]
    shares = row.shares if row else ()
    assert [one.share for one in back] == [*shares, 1.0, 1.0, 1.0][:3]
    little = weeks if left < 0.75 else 0
    assert levels.weeks_back == {day(21 + 7 * n) for n in range(little + len(shares))}


@pytest.mark.parametrize(
    ("weeks", "left", "rests"),
    [(2, 0.2, True), (2, 0.3, False), (3, 0.5, True), (4, 0.6, True), (10, 0.7, False)],
)
def test_they_are_as_good_as_rest_where_they_miss_ten_days(
    weeks: int, left: float, rests: bool
) -> None:
    """Of four weeks at most: ten with most of the time are none."""
    year = roomy(14, absences=[absence(21, 7 * weeks, left=left)])
    assert as_good_as_rest(Almanac(year)) == ((span(21, 7 * weeks),) if rests else ())


def test_a_weekend_away_makes_no_week_of_little_time() -> None:
    """Two days hold most of the time of this climber; fewer than five days off are none."""
    few = {"minutes": {"tuesday": 60, "saturday": 240, "sunday": 240}}
    away = trip(19, 2, climbing=False)
    assert levels_of(a_year(6, climber=few, trips=[away]))[1].weeks_back == frozenset()
    off = absence(19, 2)
    assert levels_of(a_year(6, climber=few, absences=[off]))[1].weeks_back == frozenset()


def test_the_load_neither_rises_nor_falls_in_weeks_of_little_time() -> None:
    year = roomy(10, absences=[absence(14, 21, left=0.4)])
    assert steps(year)[:6] == [0, 1, 2, 2, 2, 2]


def test_weeks_of_little_time_that_end_in_days_off_or_a_trip_leave_the_return_to_those() -> None:
    little = absence(14, 21, left=0.3)
    away = roomy(12, absences=[little, absence(35, 12, id="off")])
    assert set(levels_of(away)[1].off_ends) == {day(47)}
    trip_after = roomy(12, absences=[little], trips=[trip(35, 6)])
    assert levels_of(trip_after)[1].off_ends == {}


EXAMS = '[[absence]]\nname = "Exams"\nfirst = 2027-04-05\nlast = 2027-04-25\nleft = 0.3\n'


def test_no_strength_block_lies_in_weeks_of_hardly_any_time() -> None:
    """A block named for power held three small weeks of exams, and one limit session."""
    text = year_text(STUDENT, EXAMS + sport_season("06-05", "07-25"), weeks=30)
    almanac = Almanac(read_year(text, file="year.toml"))
    blocks = planned(text)[1].blocks
    for block in blocks:
        weeks = [week for week in almanac.weeks() if week.first in block.span]
        little = sum(share_left(almanac, week) < 0.5 for week in weeks)
        assert block.kind is not Kind.STRENGTH or little <= max(1, len(weeks) // 3)


def test_after_two_weeks_of_hardly_any_time_nothing_is_tried_at_the_limit() -> None:
    """Limit bouldering was the first climbing after twenty days."""
    text = year_text(STUDENT, EXAMS, weeks=12)
    year = read_year(text, file="year.toml")
    grid = Grid(Almanac(year))
    weeks = Weeks(grid, book_of(year))
    cells = [c for c in grid.cells if c.span.first in (date(2027, 3, 29), date(2027, 4, 26))]
    tries = [
        any(at_the_limit(item.recipe) for item in weeks.week(cell, STRENGTH).items)
        for cell in cells
    ]
    assert tries == [True, False]
    small = next(cell for cell in grid.cells if cell.span.first == date(2027, 4, 19))
    for cell, easy in ((cells[0], False), (small, True), (cells[1], True)):
        climbs = [i.recipe for i in weeks.week(cell, BASE).items if i.recipe.climbs]
        assert all(one.rpe <= 4 for one in climbs) is easy, cell.span
