"""What blocks are named for after an injury: never for what its steps bar on most of their days."""

from __future__ import annotations

from typing import Any

import pytest
from plan_maker import a_year, injury, span

from seasonplan.body.almanac import Almanac
from seasonplan.planner.candidates import Candidates
from seasonplan.planner.grid import Column, Grid
from seasonplan.rules.statements import book_of
from seasonplan.vocabulary import EMPHASES, Emphasis, Kind
from seasonplan.year import Pin

FULL = 35  # steps of two weeks each: no hard use, no maximal one, all but seldom
HURT = injury(7, easy=14, building=21, full=FULL)


def names(kind: Kind, first: int, days: int, **fields: Any) -> set[Emphasis]:
    """What a block on those days may be named for."""
    year = a_year(16, **({"injuries": [HURT]} | fields))
    grid = Grid(Almanac(year))
    column = Column(kind, *grid.cells_of(span(first, days)), span(first, days))
    return {one.emphasis for one in Candidates(grid, book_of(year)).variants(column)}


@pytest.mark.parametrize(
    ("days", "hangs", "links"),
    [(21, False, False), (28, False, True), (49, False, True), (56, True, True)],
)
def test_a_base_block_after_a_hurt_finger_is_for_it_once_most_days_allow_that(
    days: int, hangs: bool, links: bool
) -> None:
    """Hard hangs come back after four weeks, circuits after two."""
    found = names(Kind.BASE, FULL, days)
    assert (Emphasis.FINGERS in found) is hangs
    assert (Emphasis.POWER_ENDURANCE in found) is links
    assert Emphasis.ENDURANCE in found


def test_no_strength_block_stands_on_them_where_nothing_it_is_named_for_may_be_done() -> None:
    """An elbow bears no hard pull for two weeks, a finger lets one pull on a bar."""
    hurt = {key: value for key, value in dict(HURT).items() if key != "id"}
    for part, stands in (("finger", True), ("elbow", False)):
        year = a_year(16, injuries=[{**hurt, "part": part}])
        grid = Grid(Almanac(year))
        found = {one.span for one in Candidates(grid, book_of(year)).all if one.kind == "strength"}
        assert (span(FULL, 21) in found) is stands
    assert names(Kind.STRENGTH, FULL, 21) == {Emphasis.POWER}


def test_a_season_keeps_up_fingers_only_where_they_may_be_loaded() -> None:
    assert names(Kind.PERFORMANCE, FULL, 21) == {Emphasis.ENDURANCE}
    assert names(Kind.PERFORMANCE, FULL + 28, 21) == {*EMPHASES[Kind.PERFORMANCE]}


def test_what_the_climber_fixed_keeps_its_name_and_legs_bar_none() -> None:
    fixed = Pin(name="Mine", kind=Kind.BASE, first=span(FULL, 21).first, last=span(FULL, 21).last,
                emphasis=Emphasis.FINGERS)  # fmt: skip
    assert names(Kind.BASE, FULL, 21, pins=[fixed]) == {Emphasis.FINGERS}
    knee = {**{k: v for k, v in dict(HURT).items() if k != "id"}, "part": "knee"}
    every = {*EMPHASES[Kind.BASE]}
    assert names(Kind.BASE, FULL, 21, injuries=[knee]) == every
    assert names(Kind.BASE, FULL, 21, rules={"injury-caps": {"on": False}}) == every
