"""What it costs where rest lies, worked by hand.

Limits are those of shared/rules.toml, where each has its source.
"""

from __future__ import annotations

import pytest
from plan_maker import a_year, absence, block, given, goal, season, span
from verdicts import amounts, soft

from seasonplan.vocabulary import CHOSEN, Kind

BASE, STRENGTH, PERFORMANCE, REST = Kind.BASE, Kind.STRENGTH, Kind.PERFORMANCE, Kind.REST
ELSEWHERE = goal(name="Far line", place="Isle", priority=2)  # the highest beside priority 3


@pytest.mark.parametrize("last", [None, *CHOSEN])
@pytest.mark.parametrize("carried", [41, 42])
def test_rest_that_opens_a_year_costs_out_of_few_weeks_of_training(
    carried: int, last: Kind | None
) -> None:
    year = a_year(8, before={"last_kind": last, "days_since_rest": carried})
    found = amounts(year, block(REST, 0, 7), block(BASE, 7, 49)).get("work-before-rest")
    assert found == (1 if last in (BASE, STRENGTH) and carried < 42 else None)


@pytest.mark.parametrize("heavy", [True, False], ids=["heavy", "light"])
@pytest.mark.parametrize("carried", [0, 20, 21])
def test_rest_straight_after_a_light_week_or_before_six_weeks_of_training_costs(
    carried: int, heavy: bool
) -> None:
    """Counted from the rest before, and from before the year; light is one week in four."""
    year = a_year(8, before={"last_kind": "base", "days_since_rest": carried})
    days = 21 if heavy else 28
    first = amounts(year, block(BASE, 0, days), block(REST, days, 7)).get("work-before-rest")
    assert first == (None if heavy and carried == 21 else 1)
    year = a_year(8)
    blocks = (block(REST, 0, 7), block(STRENGTH, 7, days), block(REST, 7 + days, 7))
    assert amounts(year, *blocks).get("work-before-rest") == 1
    between = (block(BASE, 7, days), block(PERFORMANCE, 7 + days, 7), block(REST, 14 + days, 7))
    assert amounts(year, blocks[0], *between).get("work-before-rest") is None
    (told,) = [f for f in soft(year, *blocks) if f.code == "work-before-rest"]
    assert (told.found, told.limit) == (days / 7, 6)


def test_rest_after_training_since_days_off_costs_by_how_long_they_are_over() -> None:
    year = a_year(10, absences=[absence(7, 7)])
    away = given(Kind.ABSENCE, 7, 7, entry="away")
    for days, cost in ((35, 1), (42, None)):
        blocks = (block(BASE, 0, 7), away, block(BASE, 14, days), block(REST, 14 + days, 7))
        assert amounts(year, *blocks).get("work-before-rest") == cost


@pytest.mark.parametrize(
    ("rest_from", "trip", "costs"),
    [(28, False, True), (14, False, True), (35, False, False), (7, False, False),
     (14, True, False), (28, True, True)],
    ids=["after", "before", "a week after", "a week before", "after a trip", "before a trip"],
)  # fmt: skip
def test_a_rest_block_beside_days_off_costs(rest_from: int, trip: bool, costs: bool) -> None:
    year = a_year(8, absences=[absence(21, 7)])
    beside = rest_from - 7 if rest_from < 21 else rest_from + 7
    blocks = sorted(
        (
            given(Kind.ABSENCE, 21, 7, entry="away"), block(REST, rest_from, 7),
            *([given(Kind.TRIP, beside, 7, entry="isle")] if trip else []),
        ),
        key=lambda one: one.span,
    )  # fmt: skip
    assert amounts(year, *blocks).get("rest-by-days-off") == (1 if costs else None)


@pytest.mark.parametrize(
    ("rest_from", "costs"), [(7, False), (28, False), (35, True), (42, True), (49, False)]
)
def test_a_rest_block_soon_after_weeks_of_little_time_costs_and_one_in_them_does_not(
    rest_from: int, costs: bool
) -> None:
    """Three weeks with .4 miss twelve days: two weeks lead back. Rest in the second was followed by
    2.1 times the fullest week before."""
    year = a_year(9, absences=[absence(14, 21, left=0.4)])
    told = amounts(year, block(BASE, 0, rest_from), block(REST, rest_from, 7))
    assert told.get("rest-by-days-off") == (1 if costs else None)


def test_each_day_of_rest_beyond_a_week_costs_but_not_in_parts_of_weeks() -> None:
    for first, days, more in ((28, 7, None), (28, 14, 7), (28, 10, None), (24, 11, None)):
        after = first + days
        blocks = (block(BASE, 0, first), block(REST, first, days), block(BASE, after, 56 - after))
        assert amounts(a_year(8), *blocks).get("short-rest") == more
        assert len([f for f in soft(a_year(8), *blocks) if f.code == "short-rest"]) == bool(more)


@pytest.mark.parametrize(("priority", "days"), [(1, 5), (2, 5), (3, None)])
def test_days_of_rest_shortly_before_a_dear_season_cost(priority: int, days: int | None) -> None:
    """Rest from day 26 to 32; the season opens on day 38, so its last ten days begin on day 28."""
    year = a_year(8, seasons=[season(38, 14)], goals=[goal(priority=priority), ELSEWHERE])
    blocks = (block(BASE, 0, 26), block(REST, 26, 7), block(PERFORMANCE, 33, 23))
    assert amounts(year, *blocks).get("rest-before-rock") == days
    found = [f for f in soft(year, *blocks) if f.code == "rest-before-rock"]
    assert [(f.found, f.limit, f.span) for f in found] == ([(days, 0, span(26, 7))] if days else [])
