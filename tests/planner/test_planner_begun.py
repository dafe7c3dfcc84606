"""The week in which today lies: what is over of it counts, what was planned of it stays."""

from __future__ import annotations

from datetime import time
from typing import Any

import pytest
from plan_maker import a_year, absence, block, day, exchanged
from small_week import EVENING, frame, hard, item, on_rock, recipe

from seasonplan.body.almanac import Almanac
from seasonplan.plan import Block, Session
from seasonplan.planner.accepted import Accepted
from seasonplan.planner.begun import cuts_a_week, just_over, still_planned
from seasonplan.planner.candidates import Role
from seasonplan.planner.grid import Cell, Grid
from seasonplan.planner.standing import Item, item_again
from seasonplan.vocabulary import Emphasis, Kind, RockRole

SOFT, HARD = recipe("soft"), hard("hard")
BOOK = {"soft": SOFT, "hard": HARD}
BASE = exchanged(block(Kind.BASE, 0, 21), emphasis=Emphasis.ENDURANCE)


def grid(today: int | None, *, blocks: tuple[Block, ...] = (BASE,), **fields: Any) -> Grid:
    year = a_year(5, **fields.pop("year", {}))
    accepted = None if today is None else Accepted(blocks, day(today), **fields)
    return Grid(Almanac(year), accepted=accepted)


def cell_at(one: Grid, number: int) -> Cell:
    return next(cell for cell in one.cells if day(number) in cell.span)


def session(number: int, name: str = "soft", *, minute: int = EVENING) -> Session:
    return Session(
        id=f"{name}-{number}", block="base-0", recipe=name, day=day(number), minutes=60, rpe=5.0,
        start=time(minute // 60, minute % 60),
    )  # fmt: skip


# --- the cell that begins today -------------------------------------------------------------------


@pytest.mark.parametrize("begins", ["monday", "thursday"])
def test_the_rest_of_a_week_is_a_cell_that_begins_today_inside_its_week(begins: str) -> None:
    offset = {"monday": 0, "thursday": 3}[begins]
    for today in range(21):
        one = grid(today, year={"climber": {"first_weekday": begins}})
        inside = (today - offset) % 7 != 0
        rest = one.rest_of_week
        assert (rest.span.first if rest else None) == (day(today) if inside else None)
    assert grid(None).rest_of_week is None


def test_a_block_cuts_a_week_where_the_one_that_had_begun_would_have_gone_on() -> None:
    """Base stands on days 0 to 20, today a Thursday in it."""
    for today in range(1, 28):
        one = grid(today, blocks=(BASE, block(Kind.REST, 21, 3)))
        cell = cell_at(one, today)
        goes_on = today not in (21, 24) and today < 24
        assert cuts_a_week(one, cell) is (goes_on and today % 7 != 0), today
    assert not cuts_a_week(grid(None), grid(None).cells[1])


# --- what was planned for the rest ----------------------------------------------------------------


def planned(
    *homes: Session, kind: Kind = Kind.BASE, emphasis: Emphasis = Emphasis.ENDURANCE,
    today: int = 9, allowed: tuple[str, ...] = ("soft", "hard"), trip: int = 99, **fields: Any,
) -> tuple[Item, ...] | None:  # fmt: skip
    one = grid(today, homes=homes, **fields)
    cell = cell_at(one, today)
    week = frame([90] * cell.span.length, allowed, first=today, trips_begin=(day(trip),))
    return still_planned(one, cell, Role(kind, emphasis), week, BOOK)


def test_sessions_that_were_planned_for_the_rest_of_the_week_stay_while_they_can_be_done() -> None:
    homes = (session(7), session(9), session(11, "hard"), session(14))
    found = planned(*homes)
    assert found is not None
    assert [(one.recipe.id, one.day) for one in found] == [("soft", day(9)), ("hard", day(11))]
    assert planned() == ()


def test_where_one_of_them_cannot_be_done_any_more_none_stays() -> None:
    homes = (session(9), session(11, "hard"))
    assert planned(*homes, allowed=("soft",)) is None
    assert planned(session(9, minute=EVENING + 45)) is None


@pytest.mark.parametrize(("trip", "stays"), [(12, False), (13, False), (14, True)])
def test_hard_work_in_the_last_two_days_before_a_trip_does_not_stay(trip: int, stays: bool) -> None:
    """A trip that was entered today."""
    assert (planned(session(11, "hard"), trip=trip) is not None) is stays
    assert planned(session(11), trip=trip) is not None


def test_in_another_block_or_emphasis_the_week_is_filled_anew() -> None:
    home = session(9)
    assert planned(home, kind=Kind.STRENGTH) is None
    assert planned(home, emphasis=Emphasis.FINGERS) is None
    assert planned(home, blocks=()) is None
    assert planned(home, other_done=True) is None
    assert planned(home, today=7) is None  # a whole week
    assert planned(home) is not None


# --- what is over of it ---------------------------------------------------------------------------


def test_sessions_of_the_days_before_today_count_as_far_back_as_hard_work_reaches() -> None:
    homes = tuple(session(n, "hard") for n in range(21))
    one = grid(17, sessions=homes)
    for reach, back in ((0, 6), (3, 6), (9, 9)):
        week = frame([90] * 4, first=17, open_after=(True,) * reach)
        found = just_over(one, cell_at(one, 17), frame=week, book=BOOK)
        assert [item.day for item in found] == [day(n) for n in range(17 - back, 17)]
        assert all(item.recipe is HARD for item in found)
    assert just_over(one, cell_at(one, 21), frame=frame([90] * 7, first=21), book=BOOK) == ()
    assert just_over(one, cell_at(one, 17), frame=frame([90] * 4, first=17), book={}) == []


def test_without_an_accepted_plan_nothing_is_over() -> None:
    one = grid(None, year={"absences": [absence(7, 7)]})
    assert just_over(one, one.cells[0], frame=frame([90] * 7), book=BOOK) == ()
    role = Role(Kind.BASE, Emphasis.ENDURANCE)
    assert still_planned(one, one.cells[0], role, frame([90] * 7), BOOK) is None


# --- a session planned before ---------------------------------------------------------------------


def again(one: Item, **fields: object) -> Item | None:
    """The session, planned before, on a day as it is now."""
    session = Session(
        id="x", block="b", recipe=one.recipe.id, day=one.day, minutes=one.minutes, rpe=5.0,
        start=time(one.start // 60, one.start % 60), rock=one.rock, role=one.role,
    )  # fmt: skip
    week = frame([[(EVENING, EVENING + 60)]], BOOK, days={0: fields})
    return item_again(session, week.days[0], BOOK | {"rock-project": hard("rock-project")})


def test_a_planned_session_stays_where_its_hour_is_free_and_the_body_allows_it() -> None:
    assert again(item(SOFT, 0)) == item(SOFT, 0)
    assert again(item(SOFT, 0, minutes=61)) is None
    assert again(item(SOFT, 0, start=EVENING - 5)) is None
    assert again(item(SOFT, 0), allowed=frozenset(["hard"])) is None
    assert again(item(recipe("gone"), 0)) is None


def test_a_planned_day_on_rock_stays_where_the_same_rock_is_gone_to_at_the_same_hour() -> None:
    rock = on_rock(0)
    planned = item(rock.recipe, 0, start=600, rock="season", role=RockRole.PROJECT)
    assert again(planned, rock=rock) == planned
    assert again(planned) is None
    assert again(planned, rock=on_rock(0, entry="other")) is None
    assert again(planned, rock=on_rock(0, start=615)) is None
