"""What the climber says of sessions shows at once, and as the next plan will have it.

The year is `twelve-weeks`; a moved, a skipped and an added session are in one plan.
"""

from __future__ import annotations

from datetime import date, time
from functools import cache

import pytest
from autumn import first_plan
from test_replan_sessions import LATER, NAME, TUESDAY, named, replanned, text

from seasonplan.edits import read
from seasonplan.plan import Plan
from seasonplan.planning.since import plan_now, revision_now

SKIPPED = next(
    one.id
    for one in first_plan(NAME).current.sessions
    if one.id.startswith("base-1/2026-03-09/") and one.day > TUESDAY and not one.hangs
)
MOVED = f'session = "{LATER}"\nday = 2026-03-20\nstart = "06:15"'
WISHES = (
    MOVED,
    f'session = "{SKIPPED}"\nskip = true',
    'recipe = "mobility"\nday = 2026-03-14\nstart = "07:00"\nminutes = 20',
)


@cache
def with_wishes() -> Plan:
    return replanned(*WISHES)


def test_what_shows_at_once_is_what_the_next_plan_holds() -> None:
    now, then = revision_now(first_plan(NAME), read(text(*WISHES))), with_wishes().current
    assert now.sessions == then.sessions != first_plan(NAME).current.sessions
    assert now.blocks == then.blocks != first_plan(NAME).current.blocks
    assert now.score.occasions == then.score.occasions
    assert now.number == 1


def test_what_is_taken_back_lies_where_it_was_at_once_and_in_the_next_plan() -> None:
    now, was = revision_now(with_wishes(), read(text())), first_plan(NAME).current
    assert now.sessions == was.sessions and now.blocks == was.blocks
    assert replanned(before=with_wishes()).current.sessions == was.sessions


def test_what_a_plan_knows_already_is_not_changed_once_more() -> None:
    assert revision_now(with_wishes(), read(text(*WISHES))) is with_wishes().current
    assert plan_now(first_plan(NAME), read(text())) is first_plan(NAME)


def test_a_wish_that_is_changed_counts_as_it_is_now() -> None:
    later = MOVED.replace("06:15", "06:45")
    moved = named(revision_now(with_wishes(), read(text(later, *WISHES[1:]))).sessions, LATER)
    assert (moved.day, moved.start) == (date(2026, 3, 20), time(6, 45))


@pytest.mark.parametrize("wish", WISHES)
def test_a_change_is_one_revision_more_for_calendars(wish: str) -> None:
    plan = first_plan(NAME)
    one_more = plan_now(plan, read(text(wish)))
    assert one_more.revisions[:-1] == plan.revisions
    assert one_more.current.number == 2 and one_more.current.stamp > plan.current.stamp
