"""When a week with more climbing may stand in place of the usual one."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from small_week import frame, item, recipe, standing

from seasonplan.planner.climbing import TWICE, leaves_enough
from seasonplan.planner.fingers import FingerAsk
from seasonplan.planner.standing import Standing
from seasonplan.planner.week_order import FIT, Order
from seasonplan.recipes import Need, Recipe
from seasonplan.vocabulary import Kind

WALL, LEGS = recipe("climb", needs=(Need.WALL,)), recipe(min(TWICE))
AIM = 600  # two hours at the effort of 5
ORDER = Order(Kind.BASE, (), AIM, FingerAsk())


def week(*recipes: tuple[Recipe, int], from_50: bool = False) -> Standing:
    """So many minutes of each, a day each."""
    made = standing(frame([120] * 7, from_50=from_50))
    for n, (one, minutes) in enumerate(recipes):
        made.put(n, item(one, n, minutes=minutes))
    return made


def leaves(more: Sequence[tuple[Recipe, int]], usual: Sequence[tuple[Recipe, int]], *,
           from_50: bool = False) -> bool:  # fmt: skip
    return leaves_enough(week(*more, from_50=from_50), week(*usual, from_50=from_50), ORDER)


def test_a_week_with_more_climbing_goes_no_further_beyond_its_aim_than_hangs_may() -> None:
    usual, most = [(LEGS, 120)], AIM * ORDER.over + FIT.slack_load
    for minutes in range(60, 190, 5):
        assert leaves([(WALL, minutes)], usual) is (AIM * 0.85 <= 5 * minutes <= most)
    assert leaves([(WALL, 180)], [(LEGS, 180)])  # as the usual one does


@pytest.mark.parametrize(("from_50", "stands"), [(False, True), (True, False)])
def test_from_50_legs_and_pressing_stay_once_each_at_least(from_50: bool, stands: bool) -> None:
    usual = [(WALL, 60), (LEGS, 30), (LEGS, 30)]
    assert leaves([(WALL, 120)], usual, from_50=from_50) is stands
    assert leaves([(WALL, 90), (LEGS, 30)], usual, from_50=from_50)
