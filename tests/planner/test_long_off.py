"""After very many days off: nothing is tested soon. Common practice, no source."""

from __future__ import annotations

import pytest
from levelled import roomy
from plan_maker import absence, span
from planned import judged, planned

from seasonplan.body.almanac import Almanac
from seasonplan.planner.candidates import Candidates, Variant
from seasonplan.planner.grid import Column, Grid
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
