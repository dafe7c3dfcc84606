"""Weeks that hold too much are bounded, and the year is searched again."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from types import SimpleNamespace
from typing import Any

import pytest
from plan_maker import a_year, absence, day

from seasonplan.planner.accepted import LOOK_BACK_WEEKS
from seasonplan.planner.path import Best
from seasonplan.planner.run import (
    CAUTION,
    Found,
    best_month,
    best_plan,
    too_much,
)
from seasonplan.planner.search import PlacedWeek, Search
from seasonplan.rules.statements import book_of, standard_book
from seasonplan.year import Before


def best_of(search: Search) -> Best:
    best = search.prices.best()
    assert best is not None
    return best


def test_the_best_month_is_the_best_mean_of_four_weeks_running() -> None:
    assert best_month([1000, 2000, 3000, 4000]) == 2500
    assert best_month([9000, 1000, 1000, 1000, 1000]) == 3000
    assert best_month([0, 400, 400, 400, 400, 0]) == 400
    assert best_month([100, 100, 100]) == best_month([]) == 0.0
    assert best_month([0, 60, 100, 120]) == 300  # an hour a week at an effort of 5 hurts nobody


Placed = Sequence[PlacedWeek]


def search_with(placed: Placed, *, before: Sequence[float], missed: date | None = None,
                caps: dict[date, float] | None = None, off: Sequence[str] = (),
                level: float = 1000.0) -> Any:  # fmt: skip
    """What `too_much` asks of a search, its weeks as given."""
    year = a_year(before=Before(weekly_load=tuple(before)))
    book = book_of(year).without(*off)
    return SimpleNamespace(
        placed=lambda best: placed, caps=caps or {}, candidates=SimpleNamespace(book=book),
        grid=SimpleNamespace(almanac=SimpleNamespace(year=year)),
        weeks=SimpleNamespace(levels=SimpleNamespace(
            of=lambda week: SimpleNamespace(load=level),
            after_missed=lambda week: missed is not None and week > missed,
        )),
    )  # fmt: skip


def bounds(*loads: float, home: bool = True, **fields: Any) -> dict[int, float]:
    """The weeks that are bounded, by number, in thousands: of a level of 1000 the shares."""
    placed = [PlacedWeek(day(7 * n), load, home, load == 0) for n, load in enumerate(loads)]
    found = too_much(search_with(placed, **fields), Best((), 0))
    return {(one - day(0)).days // 7: cap / 1000.0 for one, cap in found.items()}


def test_a_week_holds_at_most_so_much_of_the_best_month_before_it() -> None:
    """Rule `load-step`: 1.4 times; a little under it, so that one more search is enough."""
    assert standard_book()["load-step"].number == 1.4
    before = [1000.0] * 12
    assert bounds(1400.0, before=before) == {}
    assert bounds(1401.3, before=before) == {}  # rounding: a thousandth
    assert bounds(1401.5, before=before) != {}
    assert bounds(1500.0, before=before) == {0: pytest.approx(CAUTION * 1400 / 1500)}
    assert bounds(1500.0, before=before, home=False) == {}  # days on trips are not asked


@pytest.mark.parametrize("level", [1000.0, 9000.0])
def test_a_bound_that_was_above_what_the_week_aims_at_is_lowered_to_what_it_may_hold(
    level: float,
) -> None:
    """A level that the free time cannot hold is no use as a measure."""
    most = CAUTION * 1400
    found = bounds(1500.0, before=[1000.0] * 12, level=level, caps={day(0): 0.99 * level})
    assert found == {0: pytest.approx(min(most / 1500 * level, most) / 1000)}


def test_a_week_that_is_bounded_counts_as_that_for_those_after_it() -> None:
    """By hand: 1.4 times months of 1000, 1100 and 1235; the fourth week stands on its own."""
    found = bounds(*[1900.0] * 4, before=[1000.0] * 12)
    by_hand = {0: 1400.0, 1: 1.4 * 1100, 2: 1.4 * (1000 + 1000 + 1400 + 1540) / 4}
    assert found == {n: pytest.approx(CAUTION * most / 1900) for n, most in by_hand.items()}


@pytest.mark.parametrize(("load", "bounded"), [(1700.0, False), (1800.0, True)])
def test_only_twelve_weeks_are_looked_back(load: float, bounded: bool) -> None:
    """By hand: of four weeks of 2000 one is still seen, so the best month is 1250."""
    assert LOOK_BACK_WEEKS == 12
    assert bool(bounds(load, before=[2000.0] * 4 + [1000.0] * 11)) is bounded


def test_weeks_off_are_none_of_the_twelve() -> None:
    """With them, twelve weeks away bound the first week back to nothing."""
    assert bounds(*[0.0] * 12, 1300.0, before=[1000.0] * 12) == {}
    found = bounds(*[0.0] * 12, 1500.0, before=[1000.0] * 12)
    assert found == {12: pytest.approx(CAUTION * 1400 / 1500)}


def test_without_the_rule_no_week_is_bounded() -> None:
    assert bounds(9000.0, before=[1000.0] * 12, off=["load-step"]) == {}


def test_with_fewer_than_four_weeks_before_nothing_is_asked() -> None:
    assert bounds(9000.0, before=[100.0] * 3) == {}


def test_after_missed_weeks_no_week_holds_a_tenth_more_than_the_fullest_that_was_done() -> None:
    before, week = [1000.0] * 12, day(-7)
    assert bounds(1100.0, before=before, missed=week) == {}
    found = bounds(1200.0, before=before, missed=week)
    assert found == {0: pytest.approx(CAUTION * 1100 / 1200)}
    assert bounds(1200.0, before=before, missed=week, off=["missed-weeks"]) == {}


def test_bounds_found_before_stay_and_nothing_new_is_none() -> None:
    caps = {day(21): 5.0}
    found = bounds(1500.0, before=[1000.0] * 12, caps=caps)
    assert set(found) == {0, 3} and found[3] == 0.005
    assert bounds(1000.0, before=[1000.0] * 12, caps=caps) == {}


def test_a_plan_holds_no_week_beyond_that_bound() -> None:
    """Of who does little the shortest sessions go beyond what the calendar lets a week hold."""
    year = a_year(17, before=Before(weekly_load=(300.0,) * 12))
    found = best_plan(year, book=book_of(year), confirm=False)
    assert isinstance(found, Found) and found.search.caps
    assert too_much(found.search, best_of(found.search)) == {}
    free = Search(year, book=book_of(year))
    assert too_much(free, best_of(free))
    for first, cap in found.search.caps.items():
        assert found.search.weeks.levels.of(first).load == cap


@pytest.mark.parametrize("weeks", [6, 9, 12, 18])
def test_after_a_long_time_away_load_comes_back_by_steps_however_long_it_was(weeks: int) -> None:
    """After nine weeks and more the best month was one of weeks away: aims of 89, 35, 2 and 0."""
    year = a_year(
        weeks + 8, absences=[absence(7, 7 * weeks)], before=Before(weekly_load=(1000.0,) * 12)
    )
    found = best_plan(year, book=book_of(year), confirm=False)
    assert isinstance(found, Found)
    back = found.search.placed(best_of(found.search))[weeks + 1 :]
    full = found.search.weeks.levels.of(back[3].first).load
    assert full >= 600.0
    for one, share in zip(back, (0.5, 0.65, 0.8, 1.0), strict=False):
        assert 0.85 * share <= one.load / full <= 1.2 * share
