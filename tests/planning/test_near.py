"""Years nearly as good, as a plan keeps them: what `others` shows, told in one line."""

from __future__ import annotations

from functools import cache

import pytest
from plan_maker import a_year, day, goal, season

from seasonplan.explain.others_told import near_text
from seasonplan.plan import Block, OtherYear
from seasonplan.planner.accepted import Accepted
from seasonplan.planner.pool import near_best
from seasonplan.planner.search import Search
from seasonplan.planner.values import PARTS
from seasonplan.planning.near import near_years, told_years
from seasonplan.rules.statements import book_of
from seasonplan.rules.tables import composing
from seasonplan.year import Before

BEFORE = Before(weekly_load=(2000.0,) * 6)
YEAR = a_year(17, seasons=[season(77, 28)], goals=[goal(priority=1)], before=BEFORE)
SHORT = a_year(9, seasons=[season(42, 21)], goals=[goal(priority=1)], before=BEFORE)


@cache
def searched(*, short: bool = False) -> tuple[Search, tuple[Block, ...]]:
    """A search of a year, and its best plan."""
    year = SHORT if short else YEAR
    search = Search(year, book=book_of(year))
    best = search.prices.best()
    assert best is not None
    return search, search.blocks(best)


def test_a_plan_keeps_how_many_days_differ_and_what_the_other_year_is_worth_less() -> None:
    search, blocks = searched()
    best = search.prices.best()
    assert best is not None
    near, told = near_years(search, blocks), told_years(search, blocks)
    assert [one.days for one in told] == [one.days[0] for one in near]
    for one, other in zip(told, near, strict=True):
        kinds = {d: b.kind for b in search.blocks(other.best) for d in b.span.days()}
        differ = [d for b in blocks for d in b.span.days() if kinds[d] is not b.kind]
        assert one.days == len(differ) > 0
        assert one.points == pytest.approx((best.worth - other.best.worth) / PARTS, abs=1e-3)
        assert 0 <= one.points <= composing().new_plan.near_share * best.worth / PARTS + 1e-3


def test_a_year_so_short_that_each_other_is_worth_much_less_has_none() -> None:
    search, blocks = searched(short=True)
    best = search.prices.best()
    assert best is not None
    assert near_best(search, best, blocks, count=1, slack=abs(best.worth)) != ()
    assert told_years(search, blocks) == ()


def test_what_changing_an_accepted_plan_costs_is_not_counted() -> None:
    """Where each changed day costs half a point, the same years are told at the same worth."""
    _, blocks = searched()
    free, dear = (
        Search(YEAR, book=book_of(YEAR), accepted=Accepted(blocks, day(0), keep))
        for keep in (0.0, 0.5)
    )
    assert told_years(dear, blocks) == told_years(free, blocks) != ()
    assert [one.days for one in near_years(dear, blocks)] != [
        one.days for one in near_years(free, blocks)
    ]


# --- as told --------------------------------------------------------------------------------------


def test_one_line_tells_how_many_how_different_and_for_how_much() -> None:
    """Points are told as good days of priority 1, of which three make one."""
    two = near_text([OtherYear(days=189, points=0.9), OtherYear(days=147, points=0.6)])
    assert two == (
        "2 other years are nearly as good: 189 and 147 days are of another kind, and they cost at "
        "most 0.3 good days on rock, with form. `seasonplan others` shows them."
    )
    one = near_text([OtherYear(days=12, points=0.01)])
    assert one == (
        "1 other year is nearly as good: 12 days are of another kind, and it costs nothing. "
        "`seasonplan others` shows it."
    )
