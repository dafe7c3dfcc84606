"""The easy opening of a season; day 0 is a Monday, and the climber may go on every day.

That a season begins with easy days: common practice, no source. The numbers are those of
`shared/weeks.toml`: seven days, of a season of five days and more, after fourteen without rock.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import plan_maker
import pytest
from plan_maker import absence, day, goal, season, span, trip

from seasonplan.body.almanac import Almanac
from seasonplan.body.opening import opening_days, opening_of, whole_from
from seasonplan.year import Window, Year

WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")


def a_year(weeks: int, *, on: Sequence[str] = WEEKDAYS, **fields: Any) -> Year:
    return plan_maker.a_year(weeks, climber={"rock_days": [*on]}, **fields)


def opened(year: Year, number: int = 0) -> Any:
    """The opening of a spell, by its number."""
    almanac = Almanac(year)
    return opening_of(almanac, almanac.spells[number])


def test_the_first_week_on_which_one_can_go_opens_a_season() -> None:
    year = a_year(8, seasons=[season(15, 28)], goals=[goal()])
    assert opened(year) == span(15, 7)
    weekends = a_year(8, on=["saturday"], seasons=[season(15, 28)], goals=[goal()])
    assert opened(weekends) == span(15, 11)  # its first Saturday is day 19
    away = a_year(8, seasons=[season(15, 28)], goals=[goal()], absences=[absence(15, 4)])
    assert opened(away) == span(15, 11)


@pytest.mark.parametrize(("days", "opens"), [(4, False), (7, False), (8, True)])
def test_a_season_that_ends_with_its_opening_has_none(days: int, opens: bool) -> None:
    year = a_year(8, seasons=[season(14, days)], goals=[goal()])
    assert (opened(year) is not None) is opens
    if not opens:
        almanac = Almanac(year)
        assert whole_from(almanac, almanac.spells[0]) == day(14)


def test_nothing_opens_where_no_day_is_free_and_where_it_began_before_the_year() -> None:
    assert opened(a_year(8, seasons=[season(-7, 42)], goals=[goal()])) is None
    off = [absence(14, 28)]
    assert opened(a_year(8, seasons=[season(14, 28)], goals=[goal()], absences=off)) is None


@pytest.mark.parametrize(("gap", "opens"), [(13, False), (14, False), (15, True)])
def test_rock_for_a_goal_shortly_before_takes_the_opening_away(gap: int, opens: bool) -> None:
    """`gap` days lie from the last day of the one to the first of the other."""
    early = season(10, 8, name="Early")
    year = a_year(12, seasons=[early, season(17 + gap, 28)], goals=[goal()])
    assert (opened(year, 1) is not None) is opens
    elsewhere = season(10, 8, name="Other", place="Isle")
    assert opened(a_year(12, seasons=[elsewhere, season(17 + gap, 28)], goals=[goal()]), 1)


def test_trips_and_windows_begin_at_once() -> None:
    year = a_year(8, seasons=[], goals=[goal(place="Isle")], trips=[trip(20, 14, place="Isle")])
    almanac = Almanac(year)
    assert opened(year) is None
    assert whole_from(almanac, almanac.spells[0]) == day(20)
    window = Window(name="W", place="Karst", discipline="sport", first=day(14), last=day(17))
    year = a_year(8, seasons=[], windows=[window], goals=[goal()])
    assert opened(year) is None


def test_the_days_of_openings_have_rock_and_no_other_for_whole_days() -> None:
    chance = [0.0, 0.5, 0.5, 0.5]
    year = a_year(8, seasons=[season(14, 28, chance=chance)], goals=[goal()])
    assert opening_days(Almanac(year)) == {*span(21, 7).days()}
    assert whole_from(Almanac(year), Almanac(year).spells[0]) == day(28)
    both = [season(14, 28), season(14, 4, name="Short")]
    days = opening_days(Almanac(a_year(8, seasons=both, goals=[goal()])))
    assert days == {*span(18, 3).days()}
