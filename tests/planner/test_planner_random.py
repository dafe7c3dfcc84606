"""Plans of random years: checked, confirmed, and without the shapes that make one shake the head.

A small part of `tests/benchmarks/random_years.py`, which looks at a hundred years.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from functools import cache
from uuid import UUID

import pytest
from random_years import random_year
from silly_shapes import SHAPES, Looked

from seasonplan.body.response import body_of
from seasonplan.days import Span
from seasonplan.planner.run import Found, best_plan
from seasonplan.planning.replan import Planned, Provenance, plan_year
from seasonplan.rules.statements import book_of

KEY = UUID("5a0c7c2e-0d1f-4a53-9d0e-6a6f2f4b1c22")
ONCE = Provenance("random", datetime(2027, 1, 1, tzinfo=UTC), "-")
SHORT = (1, 6, 14, 18, 23, 24, 25, 28, 36, 38)  # of 30 to 45 weeks
LITTLE_LOAD = 520  # two sessions of hangs are much of a week back
LATE_ROCK = (322, 334)  # a season long before the first day that one can go
NEVER = (
    "rock left out", "performance without rock", "seven training days", "hard fingers on an eve",
    "two hangs a day", "hangs on rock", "rest as a season opens", "good days unused",
    "rest after days off", "links twice", "lead-in after little",
)  # fmt: skip

ONCE_SEEN = {"links twice": 1, "lead-in after little": 1}  # of a hundred drawn years


@cache
def looked(number: int) -> Looked:
    """The plan of a random year as it leaves planner and checker."""
    drawn = random_year(number)
    made = plan_year(drawn.year, ONCE, previous=None, calendar_key=KEY, taken=drawn.taken)
    assert isinstance(made, Planned)
    found = best_plan(drawn.year, book=book_of(drawn.year), taken=drawn.taken, confirm=False)
    assert isinstance(found, Found)
    return Looked(drawn, made.plan.current, found.search.weeks.rock)


@pytest.mark.parametrize("number", (*SHORT, LITTLE_LOAD))
def test_a_random_year_has_a_plan_that_the_checker_and_the_solver_confirm(number: int) -> None:
    proof = looked(number).made.proof
    assert proof is not None
    assert proof.confirmed


@pytest.mark.parametrize("shape", NEVER)
def test_no_random_plan_has_that_shape(shape: str) -> None:
    found = {number: list(SHAPES[shape](looked(number))) for number in (*SHORT, *LATE_ROCK)}
    some = {number: sights for number, sights in found.items() if sights}
    assert len(some) <= ONCE_SEEN.get(shape, 0), some


def test_the_rest_of_a_week_back_counts_what_is_over_of_it() -> None:
    """Most of the week of 18 October is done by Wednesday, the week before last was missed."""
    drawn, (wednesday, missed) = random_year(811), (date(2027, 10, 20), date(2027, 10, 4))
    first = plan_year(drawn.year, ONCE, previous=None, calendar_key=KEY, taken=drawn.taken)
    assert isinstance(first, Planned)
    news = replace(ONCE, done={missed: 0.2})
    made = plan_year(
        drawn.year, news, previous=first.plan, calendar_key=KEY, today=wednesday, keep=0.05,
        taken=drawn.taken, confirm=False,
    )  # fmt: skip
    assert isinstance(made, Planned)
    week = Span(date(2027, 10, 18), date(2027, 10, 25))
    load = sum(one.load for one in made.plan.current.sessions if one.day in week)
    assert 0 < load <= 1.1 * 0.8 * body_of(drawn.year).top  # of the most a week may hold
