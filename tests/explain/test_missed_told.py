"""What is told of the weeks to come after a plan that goes by missed ones."""

from __future__ import annotations

from folder_maker import revision
from plan_maker import block, day

from seasonplan.explain.missed import by_diary
from seasonplan.plan import Revision
from seasonplan.vocabulary import Kind

USUAL = (0.88, 0.95, 1.0, 0.6)  # its fourth week is light


def plan(*shares: float, **more: object) -> Revision:
    return revision((), blocks=(block(Kind.BASE, 0, 7 * len(shares), shares=shares),), **more)


def told(*shares: float) -> list[str]:
    """What is told on the Monday of the fourth week, of the third by then missed in most."""
    return by_diary(plan(*USUAL, *USUAL), plan(*shares, done={day(14): 0.3}), today=day(21))


def test_a_light_week_that_is_none_any_more_is_told_with_both_loads() -> None:
    lines = told(0.88, 0.95, 1.0, 0.9, *USUAL)
    was, now = (one.blocks[0].weeks[3].load for one in (plan(*USUAL), plan(0.88, 0.95, 1, 0.9)))
    said = (
        f"The week from 25 Jan is no light week any more: its load is {now:.0f}, {was:.0f} before."
    )
    assert lines[1] == said
    assert len(told(*USUAL, *USUAL)) == 2  # the load of the next whole week alone


def test_a_week_that_becomes_light_is_told_with_both_loads() -> None:
    lines = told(*USUAL, 0.88, 0.6, 0.95, 1.0)
    assert any("The week from 8 Feb is a light week now: its load is " in line for line in lines)
    assert any("The week from 22 Feb is no light week any more" in line for line in lines)


def test_only_the_weeks_that_come_soon_are_told() -> None:
    assert sum("light" in line for line in told(0.88, 0.95, 1.0, 0.9, *USUAL[:3], 0.6)) == 1
    later = (*USUAL, *USUAL), (*USUAL, *USUAL[:3], 0.9)
    was, now = (plan(*shares, done={day(0): n}) for n, shares in enumerate(later))
    assert not any("light" in line for line in by_diary(was, now, today=day(7)))
    assert any("22 Feb is no light week" in line for line in by_diary(was, now, today=day(28)))
