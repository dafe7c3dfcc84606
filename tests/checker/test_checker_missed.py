"""Loads after weeks that were missed in part, worked by hand.

Shares of the first weeks after days off are those of shared/blocks.toml, the limit of 1.1 that of
shared/rules.toml.
"""

from __future__ import annotations

from collections.abc import Mapping

import pytest
from plan_maker import day, exchanged, given, span, trip
from test_checker_costs import after, with_loads

from seasonplan.checker import check
from seasonplan.plan import Block, Week
from seasonplan.vocabulary import Kind
from seasonplan.year import Year

WEEKS = 12
LOAD = 1000.0
BEFORE = (LOAD,) * 4


def told(
    *blocks: Block, done: Mapping[int, float], year: Year | None = None
) -> dict[int, tuple[float | None, float | None]]:
    """Number of the week: times the most that was done, and the limit. `done` by such numbers."""
    shares = {day(7 * n): share for n, share in done.items()}
    found = check(year or after(*BEFORE, weeks=WEEKS), blocks, done=shares)
    return {
        (one.span.first - day(0)).days // 7: (one.found, one.limit)
        for one in found if one.code == "missed-weeks"
    }  # fmt: skip


def level(**jumps: float) -> Block:
    """Weeks of 1000, but `w3=1200` gives the week with that number another load."""
    return with_loads(*(jumps.get(f"w{n}", LOAD) for n in range(WEEKS)))


@pytest.mark.parametrize("share", [0.5, 0.74, 0.99])
def test_for_four_weeks_after_a_missed_one_loads_are_held_against_what_was_done(
    share: float,
) -> None:
    for n in range(1, WEEKS):
        found = told(level(**{f"w{n}": 1200}), done={2: share})
        assert [*found] == ([n] if 3 <= n <= 6 else [])
    assert told(level(w5=1200), done={}) == {}


def test_a_tenth_more_than_the_most_that_was_done_is_let_be() -> None:
    assert told(level(w3=1105), done={2: 0.6}) == {}
    assert told(level(w3=1106), done={2: 0.6}) == {3: (pytest.approx(1.106), 1.1)}


def test_a_week_counts_as_it_was_done() -> None:
    """The fullest week held 2000 and was done to 0.6: 1200; after it 1320 may be."""
    assert told(level(w2=2000, w3=1320), done={2: 0.6}) == {}
    found = told(level(w2=2000, w3=1500), done={2: 0.6})
    assert found == {3: (pytest.approx(1.25), 1.1)}


@pytest.mark.parametrize(
    ("done", "shares"),
    [
        ({2: 0.3}, {}),  # 4.9 days off
        ({0: 0.4}, {}),  # 4.2, and none before the year
        ({2: 0.2}, {3: 0.7}),  # 5
        ({1: 0.1, 2: 0.4}, {3: 0.5, 4: 0.75}),  # 10, in a row
        ({0: 0.2, 2: 0.4}, {1: 0.7}),  # the week between was done
        ({1: 0.3, 2: 0.5}, {}),  # half was done: no day off
    ],
)  # fmt: skip
def test_weeks_missed_in_most_count_as_days_off(
    done: dict[int, float], shares: dict[int, float]
) -> None:
    found = told(level(), done=done)
    assert found == {n: (pytest.approx(1 / share), 1.1) for n, share in shares.items()}


def test_a_week_with_a_day_on_rock_is_not_lowered() -> None:
    whole = level()
    weeks = [Week(**{**dict(week), "rock_days": n == 3}) for n, week in enumerate(whole.weeks)]
    lost = {1: 0.1, 2: 0.4}
    assert [*told(whole, done=lost)] == [3, 4]
    assert [*told(exchanged(whole, weeks=tuple(weeks)), done=lost)] == [4]
    fuller = [
        Week(**{**dict(week), "rock_days": n == 3}) for n, week in enumerate(level(w3=1200).weeks)
    ]
    found = told(exchanged(whole, weeks=tuple(fuller)), done=lost)
    assert found[3] == (pytest.approx(1.2), 1.1)  # but held


def test_nothing_is_told_where_nothing_was_done_before() -> None:
    year = after(0, 0, 0, 0, weeks=WEEKS)
    assert told(level(w0=0, w1=0, w2=0), done={1: 0.0}, year=year) == {}


def test_a_week_of_which_one_day_alone_is_too_much_is_not_told() -> None:
    whole = level(w3=2400)
    for days, count in ((1, 0), (2, 0), (3, 1)):
        weeks = tuple(Week(**{**dict(week), "training_days": days}) for week in whole.weeks)
        assert len(told(exchanged(whole, weeks=weeks), done={2: 0.6})) == count


def test_weeks_of_trips_are_not_told() -> None:
    jump = level(w3=1500)
    first = exchanged(jump, span=span(0, 21), weeks=jump.weeks[:3])
    away = exchanged(given(Kind.TRIP, 21, 7, entry="trip"), weeks=jump.weeks[3:4])
    rest = exchanged(jump, id="base-28", span=span(28, 56), weeks=jump.weeks[4:])
    long = after(*BEFORE, weeks=WEEKS, trips=[trip(21, 7)])
    assert told(first, away, rest, done={2: 0.6}, year=long) == {}
    short = after(*BEFORE, weeks=WEEKS, trips=[trip(24, 3)])
    assert told(jump, done={2: 0.6}, year=short) == {}
    assert [*told(jump, done={2: 0.6})] == [3]
