"""Which years are nearly as good as the best: looked for in the search that found it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from seasonplan.plan import Block, OtherYear
from seasonplan.rules.tables import composing

if TYPE_CHECKING:
    from seasonplan.planner.pool import NearYear
    from seasonplan.planner.search import Search

COUNT = 2  # beside the plan that stands


def near_years(search: Search, standing: Sequence[Block]) -> tuple[NearYear, ...]:
    """Up to two years that bring little less than the best, farthest from those blocks first.

    What a year brings is counted from a year in which nothing is done.
    """
    from seasonplan.planner.pool import near_best

    best = search.prices.best()
    if best is None:
        return ()
    slack = round(composing().new_plan.near_share * abs(best.worth))
    return near_best(search, best, standing, count=COUNT, slack=slack)


def told_years(search: Search, standing: Sequence[Block]) -> tuple[OtherYear, ...]:
    """The same in numbers; what changing an accepted plan costs is not counted."""
    from seasonplan.planner.values import PARTS

    if search.accepted is not None and search.keep:
        search = search.keeping(replace(search.accepted, keep=0.0))
    best = search.prices.best()
    if best is None:
        return ()
    return tuple(
        OtherYear(days=near.days[0], points=round((best.worth - near.best.worth) / PARTS, 3))
        for near in near_years(search, standing)
    )
