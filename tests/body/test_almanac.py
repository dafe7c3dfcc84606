"""How much time a day has, and when: what trips and part absences leave of the free hours."""

from __future__ import annotations

from datetime import date, time

import pytest

from seasonplan.body.almanac import Almanac
from seasonplan.edits import read

YEAR = """
[year]
first = 2027-01-04
weeks = 12
[climber]
time_zone = "Europe/Vienna"
[climber.minutes]
tuesday = {hours}
"""
DAY = date(2027, 2, 2)  # a Tuesday


def almanac(hours: str, *entries: str) -> Almanac:
    """A year with hours on Tuesdays, and entries of 2 February only."""
    dated = [f"{entry}\nfirst = {DAY}\nlast = {DAY}" for entry in entries]
    return Almanac(read("\n".join([YEAR.format(hours=hours), *dated])))


def absence(left: float) -> str:
    return f'[[absence]]\nname = "Work {left}"\nleft = {left}'


def clock(found: Almanac, day: date = DAY) -> list[tuple[time, time]]:
    return [(_time(begins), _time(ends)) for begins, ends in found.windows(day)]


def _time(minutes: int) -> time:
    return time(minutes // 60, minutes % 60)


def test_a_part_absence_leaves_the_first_part_of_the_free_time() -> None:
    found = almanac('"18:00-20:00"', absence(0.5))
    assert clock(found) == [(time(18), time(19))] and found.minutes(DAY) == 60


def test_a_part_absence_leaves_the_first_part_of_each_free_time() -> None:
    found = almanac('["06:00-07:00", "18:00-20:00"]', absence(0.25))
    assert clock(found) == [(time(6), time(6, 15)), (time(18), time(18, 30))]
    assert found.minutes(DAY) == 45


def test_of_two_part_absences_the_one_that_leaves_less_counts() -> None:
    found = almanac('"18:00-20:00"', absence(0.75), absence(0.25))
    assert clock(found) == [(time(18), time(18, 30))] and found.minutes(DAY) == 30


def test_an_amount_without_hours_begins_when_it_usually_does_and_ends_earlier() -> None:
    whole, half = almanac("120"), almanac("120", absence(0.5))
    ((begins, ends),) = whole.windows(DAY)
    assert half.windows(DAY) == ((begins, begins + (ends - begins) // 2),)


@pytest.mark.parametrize(("day", "free"), [(date(2027, 1, 26), True), (DAY, False),
                                           (date(2027, 2, 9), True)])  # fmt: skip
def test_a_full_absence_leaves_nothing_of_its_days_and_all_of_the_others(
    day: date, free: bool
) -> None:
    found = almanac('"18:00-20:00"', absence(0.0))
    assert bool(found.windows(day)) is free and bool(found.minutes(day)) is free


def test_a_day_of_a_trip_inside_the_season_of_its_own_rock_counts_at_the_trip() -> None:
    rock = 'place = "Larchfold"\ndiscipline = "sport"'
    season = f'[[season]]\nname = "Home"\nid = "home"\n{rock}\nchance = 0.7'
    trip = f'[[trip]]\nname = "Week"\nid = "week"\n{rock}\nchance = 0.5'
    goal = '[[goal]]\nname = "Line"\nplace = "Larchfold"\ndiscipline = "sport"\ngrade = "7a"'
    days = {season: ("2027-01-20", "2027-03-01"), trip: ("2027-02-01", "2027-02-07")}
    dated = [f"{entry}\nfirst = {a}\nlast = {b}" for entry, (a, b) in days.items()]
    year = read("\n".join([YEAR.format(hours='"10:00-16:00"'), *dated, goal]))
    found = {one.spell.entry.id: one.chances for one in Almanac(year).opportunities}
    assert found["week"] == {date(2027, 2, n): 0.5 for n in range(1, 8)}
    assert DAY not in found["home"] and found["home"][date(2027, 2, 9)] == 0.7


def test_days_away_on_which_one_never_trains_take_nothing() -> None:
    """The user, who trains at weekends, saw 90 of 420 minutes and a cut block after a work trip
    from Monday to Friday, as after five days off."""
    away = '[[absence]]\nname = "Work"\nfirst = 2027-02-01\nlast = {}\n'
    for last, given in (("2027-02-06", True), ("2027-02-05", False)):
        year = YEAR.replace("tuesday = {hours}", "saturday = 240\nsunday = 180")
        found = Almanac(read(year + away.format(last)))
        assert bool(found.givens) is given
        assert all(map(found.at_home, found.span.days())) is not given
    rock = YEAR.replace("[climber.minutes]", 'rock_days = ["friday"]\n[climber.minutes]')
    rock = rock.replace("tuesday = {hours}", "saturday = 240")
    assert Almanac(read(rock + away.format("2027-02-05"))).givens  # a day at the rock is missed
