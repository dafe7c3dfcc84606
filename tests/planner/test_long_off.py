"""After very many days off: nothing is tested soon, hangs begin small, climbing is easy.

Common practice, no source.
"""

from __future__ import annotations

from itertools import pairwise

import pytest
from levelled import levels_of, roomy
from plan_maker import absence, day, span
from planned import judged, planned

from seasonplan.body.almanac import Almanac
from seasonplan.planner.candidates import Candidates, Role, Variant
from seasonplan.planner.grid import Column, Grid
from seasonplan.planner.menus import finger_table
from seasonplan.planner.weeks import Weeks
from seasonplan.rules.statements import book_of
from seasonplan.vocabulary import Emphasis, Kind


@pytest.mark.parametrize(("away", "after", "tested"), [(8, 6, False), (8, 8, True), (7, 6, True)])
def test_no_test_is_due_in_the_first_seven_weeks_after_eight_off(
    away: int, after: int, tested: bool
) -> None:
    """It stood in the sixth week after eighteen weeks away. Planner and checker ask the same."""
    first, days = 7 * (1 + away), 7 * after
    year = roomy(weeks=away + after + 1, absences=[absence(7, 7 * away)])
    grid = Grid(Almanac(year))
    column = Column(Kind.BASE, *grid.cells_of(span(first, days)), span(first, days))
    candidates = Candidates(grid, book_of(year), usable=Weeks(grid, book_of(year)).usable)
    *_, (_, role) = candidates.roles(column, Variant(Emphasis.FINGERS))
    assert role.test is tested
    made = planned(year)
    assert made is not None
    assert "session-test" not in {one.code for one in judged(year, made)}


@pytest.mark.parametrize("away", [8, 20])
def test_after_eight_weeks_off_hangs_begin_with_one_session_and_rise_slowly(away: int) -> None:
    """They were 0, 0, 0, 80, 140 and 200 seconds: as many as before in the sixth week."""
    found, _ = levels_of(roomy(away + 14, absences=[absence(14, 7 * away)]))
    table, back = finger_table(), [one.hang_seconds for one in found[2 + away :]]
    assert 0 < back[0] <= table.a_session
    rises = [then - one for one, then in pairwise(back) if one < table.first_seconds]
    assert all(0 <= rise <= 0.2 * table.first_seconds for rise in rises), back
    assert len([one for one in back if one < 200]) >= 3 + 6  # three light weeks, and six


def test_the_first_week_back_climbs_easily() -> None:
    """Routes at an effort of 6 were the first climbing after 147 days."""
    for days, easy in ((21, True), (7, False)):
        year = roomy(8, absences=[absence(14, days)])
        weeks, grid = Weeks(Grid(Almanac(year)), book_of(year)), Grid(Almanac(year))
        cell = next(cell for cell in grid.cells if cell.span.first == day(14 + days))
        for kind, of in ((Kind.BASE, Emphasis.ENDURANCE), (Kind.BASE, Emphasis.POWER_ENDURANCE)):
            climbs = [
                i.recipe.rpe for i in weeks.week(cell, Role(kind, of)).items if i.recipe.climbs
            ]
            assert climbs
            assert (max(climbs) <= 4) is easy, (days, of)
