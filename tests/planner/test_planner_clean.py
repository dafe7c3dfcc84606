"""The checker on what the planner really answers: clean, and worth what it claims."""

from __future__ import annotations

from plan_maker import a_year, absence, goal, injury, pin, season, trip
from planned import judged, planned
from year_maker import any_year, calm_year, small_year

from seasonplan.vocabulary import Kind
from seasonplan.year import Year

SHORT = [year for year in map(any_year, range(18)) if year.span.length <= 7 * 26]
PLANNED = [*map(small_year, range(10)), *SHORT, calm_year(0)]


def test_plans_of_the_planner_are_clean_and_worth_what_they_claim() -> None:
    clean, kinds = 0, set()
    for year in PLANNED:
        made = planned(year)
        if made is not None:
            assert judged(year, made) == []
            clean += 1
            kinds |= {each.kind for each in made.blocks}
    assert clean >= 15
    assert kinds >= {*(k for k in Kind if k.chosen), Kind.TRIP, Kind.ABSENCE}


def is_clean(year: Year) -> bool:
    made = planned(year)
    assert made is not None
    return judged(year, made) == []


# Each of these was once seen by the checker in a plan of the planner.


def test_a_short_trip_while_a_finger_is_off_loads_no_finger() -> None:
    hurt = injury(21, easy=35, building=36, full=42)
    year = a_year(8, injuries=[hurt], trips=[trip(24, 3)])
    assert is_clean(year)


def test_a_short_trip_inside_an_absence_is_claimed_at_its_worth() -> None:
    year = a_year(
        8, absences=[absence(21, 7)], trips=[trip(26, 3)], goals=[goal(place="Isle", priority=1)]
    )
    assert is_clean(year)


def test_a_lead_in_after_a_layoff_is_not_cut_twice() -> None:
    year = a_year(
        10,
        absences=[absence(7, 21)],
        seasons=[season(35, 28)],
        goals=[goal(priority=1)],
        pins=[pin(Kind.PERFORMANCE, 28, 35)],
    )
    assert is_clean(year)


def test_a_pin_inside_a_trip_cannot_be_kept() -> None:
    year = a_year(8, trips=[trip(21, 7)], pins=[pin(Kind.BASE, 22, 3)])
    assert planned(year) is None
