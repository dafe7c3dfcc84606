"""Which days go to the rock: the best ones, in a rhythm a body can keep."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from functools import cache
from itertools import pairwise, product

import pytest
from judged_years import judged_years
from random_years import random_year

from seasonplan.body.almanac import Almanac
from seasonplan.days import WEEKDAYS
from seasonplan.planner.grid import Grid
from seasonplan.planner.rock_day import RockDay
from seasonplan.planner.rock_weeks import weeks_on_rock
from seasonplan.planner.weeks import Weeks
from seasonplan.rules.statements import book_of
from seasonplan.rules.tables import response_table, rock_day_table
from seasonplan.vocabulary import Discipline, RockRole
from seasonplan.year import Absence, Before, Climber, Goal, Horizon, Routine, Trip, Window, Year
from seasonplan.year.place import Place

FIRST = date(2027, 3, 1)  # a Monday
MANY = (*range(0, 40, 3),)


def day(number: int) -> date:
    return FIRST + timedelta(days=number)


def chosen(year: Year, **fields: object) -> Mapping[date, RockDay]:
    return Weeks(Grid(Almanac(year)), book_of(year), **fields).rock  # type: ignore[arg-type]


def windows(*runs: tuple[int, int, float], **fields: object) -> Year:
    """A climber free each day from ten to four, with windows of (first day, days, chance)."""
    climber = {
        "time_zone": "Europe/Vienna",
        "minutes": Routine(**dict.fromkeys(WEEKDAYS, "10:00-16:00")),
    } | fields.pop("climber", {})  # type: ignore[operator]
    return Year(
        horizon=Horizon(first=FIRST, weeks=8),
        climber=Climber(**climber),
        before=Before(weekly_load=(4000.0,) * 4),
        goals=(Goal(name="Line", place="Larchfold", discipline="sport", grade="7b", priority=1),),
        windows=tuple(
            Window(name=f"Window {n}", place="Larchfold", discipline="sport", chance=chance,
                   first=day(first), last=day(first + days - 1))
            for n, (first, days, chance) in enumerate(runs)
        ),
        **fields,
    )  # fmt: skip


# --- the rhythm -------------------------------------------------------------------------------


@cache
def years() -> tuple[tuple[Year, Mapping[date, RockDay]], ...]:
    """Years with their chosen days."""
    every = [*judged_years().values(), *(random_year(number).year for number in MANY)]
    return tuple((year, chosen(year)) for year in every)


def at_home(rock: Mapping[date, RockDay]) -> list[RockDay]:
    return [one for one in rock.values() if not one.away and one.counts]


def test_nobody_climbs_rock_three_days_running_at_home() -> None:
    seen = 0
    for _, rock in years():
        days = {one.day for one in at_home(rock)}
        seen += len(days)
        assert not [d for d in days if {d + timedelta(1), d + timedelta(2)} <= days]
    assert seen >= 300


def test_the_second_of_two_days_running_is_easier() -> None:
    pairs = 0
    for _, rock in years():
        for one in at_home(rock):
            before = rock.get(one.day - timedelta(days=1))
            if before is not None and before.counts and not before.away:
                pairs += 1
                assert one.role is RockRole.EASY
    assert pairs >= 50


def test_after_the_short_day_that_opens_a_season_the_next_are_half_as_long_again_at_most() -> None:
    """They went from 150 to 480 minutes in a week. A custom of this project, no source."""
    seen = 0
    for year, rock in years():
        opens = [one for one in at_home(rock) if one.first] if not year.injuries else ()
        for first in opens:
            for one in at_home(rock):
                if 0 < (one.day - first.day).days <= 9:
                    seen += 1
                    assert one.minutes <= 1.5 * first.minutes
    assert seen >= 30


def test_project_days_at_home_keep_their_distance() -> None:
    every, seen = rock_day_table().project_every, 0
    for _, rock in years():
        projects = sorted(one.day for one in at_home(rock) if one.role is RockRole.PROJECT)
        seen += len(projects)
        assert all((b - a).days >= every for a, b in pairwise(projects))
    assert seen >= 100


def test_no_seven_days_at_home_hold_more_than_two_or_three_of_who_names_four_and_more() -> None:
    for year, rock in years():
        most = 3 if len(year.climber.rock_days) > 3 else 2
        days = sorted(one.day for one in at_home(rock))
        for first in days:
            assert sum(first <= other < first + timedelta(days=7) for other in days) <= most


def test_trips_hold_five_days_in_seven_at_most_and_two_running() -> None:
    table, seen = rock_day_table(), 0
    for _, rock in years():
        days = sorted(one.day for one in rock.values() if one.away)
        seen += len(days)
        for first in days:
            week = sum(first <= other < first + timedelta(days=7) for other in days)
            assert week <= table.in_seven_away
            run = sum(first + timedelta(days=n) in days for n in range(3))
            assert run <= table.in_a_row
    assert seen >= 50


def test_every_chosen_day_has_some_chance_and_room_in_the_day() -> None:
    for year, rock in years():
        almanac = Almanac(year)
        for one in rock.values():
            if not one.counts:
                continue
            spells = [s for s in almanac.spells if s.entry.id == one.entry]
            assert any(s.chance(one.day) > 0 and almanac.can_go(one.day, s) for s in spells)
            assert one.minutes >= rock_day_table().shortest_minutes


# --- the best choice --------------------------------------------------------------------------


def brute(chances: Sequence[float]) -> float:
    """Most points of days in a row: every way of resting, trying and going easily, by the rhythm
    as stated: two running, the second easy, projects three days apart, two days in seven."""
    easy, best = response_table().easy_day, 0.0
    for roles in product((0.0, easy, 1.0), repeat=len(chances)):
        if _allowed(roles):
            best = max(best, sum(a * 3 * b for a, b in zip(roles, chances, strict=True)))
    return best


def _allowed(roles: Sequence[float]) -> bool:
    for n, role in enumerate(roles):
        if not role:
            continue
        if sum(bool(r) for r in roles[max(0, n - 6) : n + 1]) > 2:
            return False
        if n and roles[n - 1] and role == 1.0:
            return False
        if n > 1 and roles[n - 1] and roles[n - 2]:
            return False
        if role == 1.0 and 1.0 in roles[max(0, n - 2) : n]:
            return False
    return True


@pytest.mark.parametrize(
    ("first", "second"), [(0.8, 0.3), (0.2, 0.9), (0.5, 0.5), (0.31, 0.3), (0.9, 0.1)]
)
def test_the_choice_is_the_best_of_all_that_the_rhythm_allows(first: float, second: float) -> None:
    year = windows((8, 4, first), (13, 4, second))
    rock = chosen(year)
    chances = [first] * 4 + [0.0] + [second] * 4
    assert sum(one.worth for one in rock.values()) == pytest.approx(brute(chances))


def test_the_better_window_gets_the_project() -> None:
    rock = chosen(windows((8, 2, 0.2), (11, 2, 0.9)))
    projects = [one.day for one in rock.values() if one.role is RockRole.PROJECT]
    assert any(one in (day(11), day(12)) for one in projects)


@pytest.mark.parametrize(("named", "most"), [(0, 2), (3, 2), (4, 3), (5, 3)])
def test_who_names_four_days_a_week_for_the_rock_has_three_two_of_them_projects_at_most(
    named: int, most: int
) -> None:
    """Five were named and two used, an hour on a wall on the third (common practice, no source)."""
    year = windows((0, 35, 0.6), climber={"rock_days": WEEKDAYS[:named]})
    rock = [one for one in chosen(year).values() if one.day >= day(14)]
    weeks = [[one for one in rock if 0 <= (one.day - day(n)).days < 7] for n in (14, 21, 28)]
    assert [len(week) for week in weeks] == [most] * 3
    assert all(sum(one.role is RockRole.PROJECT for one in week) <= 2 for week in weeks)


# --- what keeps a day away --------------------------------------------------------------------


def test_a_day_too_short_is_not_for_the_rock_unless_it_is_named() -> None:
    short = {"minutes": Routine(saturday=120, sunday=120)}
    assert not chosen(windows((5, 2, 0.8), climber=short))
    named = {**short, "rock_days": ("saturday",)}
    assert {one.day.weekday() for one in chosen(windows((5, 2, 0.8), climber=named)).values()} == {
        5
    }


def test_a_busy_day_is_not_for_the_rock() -> None:
    year = windows((5, 1, 0.8))
    assert day(5) in chosen(year)
    assert day(5) not in chosen(year, taken={day(5): ((0, 1440),)})


@pytest.mark.parametrize("length", [6, 7, 8, 9, 11])
@pytest.mark.parametrize("travel", [0, 1])
def test_a_trip_begins_with_an_easy_half_day_and_tries_on_the_next(
    length: int, travel: int
) -> None:
    """Then every second day; an easy day on the last one only where one may travel on it."""
    trip = Trip(name="Away", place="Larchfold", discipline=Discipline.SPORT, first=day(10),
                last=day(9 + length + 2 * travel), travel_days=travel, chance=0.6)  # fmt: skip
    rock = chosen(windows(trips=(trip,)))
    away = [rock[d] for d in sorted(rock) if rock[d].away]
    assert (away[0].day, away[0].role) == (day(10 + travel), RockRole.EASY)
    assert away[0].first and not any(one.first for one in away[1:])
    later = [one for one in away if one.role is RockRole.EASY and not one.first]
    assert all(one.minutes > away[0].minutes for one in later)
    tries = [(one.day - away[0].day).days for one in away if one.role is RockRole.PROJECT]
    usable = length - (travel == 0)
    assert tries[0] == 1 and len(tries) >= usable // 2 - (usable > 6)
    assert all(b - a >= rock_day_table().project_every_away for a, b in pairwise(tries))
    assert (away[-1].role is RockRole.EASY) or travel


def test_a_trip_amid_days_on_rock_has_no_easy_beginning() -> None:
    trip = Trip(name="Away", place="Larchfold", discipline=Discipline.SPORT, first=day(20),
                last=day(30), chance=0.6)  # fmt: skip
    amid, alone = chosen(windows((0, 40, 0.6), trips=(trip,))), chosen(windows(trips=(trip,)))
    begins = [[one.first for one in rock.values() if one.away] for rock in (amid, alone)]
    assert begins[0] and not any(begins[0]) and begins[1][0]
    assert all(one.counts for one in amid.values() if one.away)


def test_no_project_is_tried_in_the_first_four_days_after_days_off() -> None:
    """Common practice, no source: nothing above effort 6 so soon."""
    ends, other = day(20), day(34)
    away = Absence(name="Away", first=ends - timedelta(days=6), last=ends, left=0)
    rock = chosen(windows((0, 56, 0.8), absences=(away,)))
    first, later = {}, {}
    for when, one in rock.items():
        (first if when <= ends + timedelta(days=4) else later)[when] = one.role
    soon = [role for when, role in first.items() if when > ends]
    assert soon and RockRole.PROJECT not in soon
    assert RockRole.PROJECT in {role for when, role in later.items() if when < other}


def test_the_days_on_the_way_of_a_trip_are_not_for_the_rock() -> None:
    trip = Trip(name="Away", place="Larchfold", discipline=Discipline.SPORT, first=day(10),
                last=day(20))  # fmt: skip
    way = Trip(**{**dict(trip), "travel_days": 2})
    days = [{d for d, one in chosen(windows(trips=(t,))).items() if one.away} for t in (trip, way)]
    assert days[0] & {day(10), day(11), day(19), day(20)}
    assert days[1] and days[1] <= {day(n) for n in range(12, 19)}


def test_a_day_on_rock_begins_after_the_way_to_its_own_place() -> None:
    place = Place(name="Larchfold", latitude=47.0, longitude=13.0, travel_minutes=80)
    usual = {"climber": {"rock_travel_minutes": 30}}
    near, far = chosen(windows((5, 1, 0.8), **usual)), chosen(
        windows((5, 1, 0.8), places=(place,), **usual)
    )  # fmt: skip
    assert (near[day(5)].start, far[day(5)].start) == (10 * 60 + 30, 10 * 60 + 80)
    assert far[day(5)].start + far[day(5)].minutes + 80 <= 16 * 60


# --- how long on a rock -----------------------------------------------------------------------


def weeks_on(*used: tuple[int, str | None]) -> list[int]:
    """The week of each of these days; windows 0 and 1 are at one place, the trip at another."""
    year = windows((0, 21, 0.5), (30, 10, 0.5)).with_fields(
        trips=(Trip(name="Isle", first=day(22), last=day(26), place="Saltmere",
                    discipline="sport"),),
    )  # fmt: skip
    days = [(day(number), entry) for number, entry in used]
    found = weeks_on_rock(Almanac(year), days)
    return [found[one] for one in days]


def test_the_weeks_on_a_rock_go_on_over_entries_at_one_place() -> None:
    assert weeks_on((5, "window-0"), (6, "window-0"), (12, "window-0")) == [1, 1, 2]
    assert weeks_on((19, "window-0"), (33, "window-1"), (35, "window-1")) == [1, 3, 4]


def test_a_rock_is_new_after_a_gap_and_another_place_is_another_rock() -> None:
    assert weeks_on((5, "window-0"), (20, "window-0")) == [1, 1]
    assert weeks_on((20, "window-0"), (23, "isle"), (31, "window-1")) == [1, 1, 3]
    assert weeks_on((5, None), (12, None), (13, "window-0")) == [1, 2, 1]
