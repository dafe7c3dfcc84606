"""Days on rock one by one: hours, recipe, length, wished days and long days before mountains."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from itertools import combinations, pairwise, product
from typing import Any

import pytest
from plan_maker import a_year, absence, day, goal, injury, season, trip
from small_week import hard, on_rock, recipe

from seasonplan.body.almanac import Almanac
from seasonplan.body.daylight import daylight_at
from seasonplan.planner.levels import Levels
from seasonplan.planner.outings import Outings
from seasonplan.planner.returning import Returning
from seasonplan.planner.rock import RockCalendar
from seasonplan.planner.rock_day import Dates, RockDay
from seasonplan.recipes import Need, Recipe, recipes
from seasonplan.rules.statements import book_of
from seasonplan.rules.tables import composing, response_table, rock_day_table
from seasonplan.vocabulary import Discipline, RockRole, Style, Tissue
from seasonplan.year import Before, Outing, Year
from seasonplan.year.place import Place

ROCK = composing().rock
WIDE = {"minutes": dict.fromkeys(("wednesday", "saturday", "sunday"), "09:00-17:00")}
STRONG = Before(weekly_load=(3000.0,) * 6)
Taken = Mapping[date, Sequence[tuple[int, int]]]


def a_rock(name: str, role: RockRole, *disciplines: Discipline, **fields: Any) -> Recipe:
    return recipe(name, role=role, disciplines=disciplines or (Discipline.SPORT,), **fields)


def dates_of(year: Year, *book: Recipe, taken: Taken | None = None) -> Dates:
    return Dates(
        Almanac(year), book={one.id: one for one in book}, rules=book_of(year), taken=taken or {}
    )


def wide(weeks: int = 10, **fields: Any) -> Year:
    """Three days a week free from nine to five, and a load that a day on rock is little of."""
    climber = WIDE | fields.pop("climber", {})
    return a_year(weeks, climber=climber, before=fields.pop("before", STRONG), **fields)


def chosen(year: Year, *, taken: Taken | None = None) -> list[RockDay]:
    """The days that go to the rock."""
    almanac = Almanac(year)
    dates = Dates(almanac, book=recipes(), rules=book_of(year), taken=taken or {})
    return list(RockCalendar(dates, Levels(almanac)).days.values())


def numbers(days: Sequence[RockDay]) -> list[int]:
    return [(one.day - day(0)).days for one in days]


# --- hours ----------------------------------------------------------------------------------------


def longest_free(busy: Sequence[tuple[int, int]], begins: int, ends: int) -> int:
    """Minutes of the longest run of free minutes."""
    free = [not any(a <= n < b for a, b in busy) for n in range(begins, ends)]
    best = 0
    for n, open_ in enumerate(free):
        if open_ and (n == 0 or not free[n - 1]):
            run = next((k for k in range(n, len(free)) if not free[k]), len(free)) - n
            best = max(best, run)
    return best


def test_the_hours_on_rock_are_the_longest_by_daylight_that_nothing_takes() -> None:
    """All pairs of busy times around a day that is free from nine to five."""
    cuts = (500, 540, 660, 780, 900, 1020, 1100)
    pairs = list(product(combinations(cuts, 2), repeat=2))
    year = wide()
    saturday, rock = day(5), season(0, 28)
    dawn, dusk = daylight_at(year, saturday)
    for pair in pairs[::3]:
        found = dates_of(year, taken={saturday: pair}).window(saturday, rock)
        minutes = longest_free(pair, max(540, dawn), min(1020, dusk))
        assert (found[1] - found[0] if found else 0) == minutes
        if found:
            assert not any(a < found[1] and found[0] < b for a, b in pair)


def test_of_two_times_as_long_the_earlier_is_taken() -> None:
    taken = {day(5): ((720, 840),)}
    karst = Place(name="Karst", latitude=0.0, longitude=15.0)  # light from six to six
    year = wide(places=(karst,))
    assert dates_of(year, taken=taken).window(day(5), season(0, 28)) == (540, 720)


def test_the_way_home_may_be_in_the_dark_and_climbing_may_not() -> None:
    for way in (0, 30, 60):
        year = wide(climber={"minutes": {"saturday": "12:00-21:00"}, "rock_travel_minutes": way})
        _, dusk = daylight_at(year, day(5))
        assert dusk + 60 < 20 * 60
        assert dates_of(year).window(day(5), season(0, 28)) == (720, dusk + way)


def test_on_a_trip_the_day_is_as_long_as_it_is() -> None:
    year = wide(trips=[trip(14, 7)])
    found = dates_of(year).window(day(16), year.trips[0])
    assert found == (60 * rock_day_table().begins[Discipline.SPORT], daylight_at(year, day(16))[1])
    assert dates_of(year).window(day(15), season(0, 28)) is None  # nothing free at home


# --- recipes --------------------------------------------------------------------------------------


def test_the_recipe_is_one_of_the_role_and_discipline_that_does_no_harm() -> None:
    sport, boulder = Discipline.SPORT, Discipline.BOULDER
    book = (
        a_rock("b-project", RockRole.PROJECT, sport), a_rock("a-project", RockRole.PROJECT, sport),
        a_rock("easy", RockRole.EASY, sport, boulder), recipe("indoors"),
        a_rock("harsh", RockRole.PROJECT, boulder, stresses={Tissue.FINGERS: 3}),
        a_rock("board", RockRole.PROJECT, boulder, needs=(Need.BOARD,)),
    )  # fmt: skip
    dates = dates_of(wide(injuries=[injury(7, easy=14, building=15, full=16)]), *book)

    def name(role: RockRole, number: int, discipline: Discipline) -> str | None:
        found = dates.recipe(day(number), discipline, role)
        return found.id if found else None

    assert name(RockRole.PROJECT, 0, sport) == "a-project"
    assert name(RockRole.EASY, 0, boulder) == "easy"
    assert name(RockRole.PROJECT, 0, boulder) == "harsh"
    assert name(RockRole.PROJECT, 8, boulder) is None  # the finger is off
    assert name(RockRole.EASY, 0, Discipline.ICE) is None


def test_a_recipe_of_the_goals_style_goes_before_one_of_none_and_of_another() -> None:
    book = [
        a_rock("c-onsight", RockRole.PROJECT, style=Style.ONSIGHT),
        a_rock("b-any", RockRole.PROJECT), a_rock("a-redpoint", RockRole.PROJECT, style="redpoint"),
    ]  # fmt: skip
    for style, name in (
        (Style.ONSIGHT, "b-any"),
        (Style.REDPOINT, "a-redpoint"),
        (None, "a-redpoint"),
    ):
        found = dates_of(wide(), *book).recipe(
            day(0), Discipline.SPORT, RockRole.PROJECT, style=style
        )
        assert found is not None and found.id == name
    (one,) = [dates_of(wide(), book[0], book[2]).recipe(
        day(0), Discipline.SPORT, RockRole.PROJECT, style=Style.ONSIGHT)]  # fmt: skip
    assert one is not None and one.id == "c-onsight"


# --- the days chosen ------------------------------------------------------------------------------


def test_the_worth_of_a_day_is_priority_times_chance_over_all_goals_it_serves() -> None:
    """shared/response.toml: 3, 2 and 1 points; an easier day counts 0.6 of it."""
    goals = [goal(priority=1), goal(name="Other", priority=3)]
    year = wide(seasons=[season(35, 14, chance=0.5)], goals=goals)
    easy = response_table().easy_day
    assert response_table().priority_worth == (3.0, 2.0, 1.0) and easy == 0.6
    for one in chosen(year):
        share = easy if one.role is RockRole.EASY else 1.0
        assert one.counts == pytest.approx(0.5 * (3 + 1))
        assert one.worth == pytest.approx(share * one.counts)
        assert (one.entry, one.discipline) == ("season", Discipline.SPORT)


def test_a_day_on_rock_is_no_more_than_its_share_of_a_week_nor_longer_than_there_is_time() -> None:
    table = rock_day_table()
    for load in (300.0, 1000.0, 2500.0):
        year = wide(
            seasons=[season(14, 42)], goals=[goal()], before=Before(weekly_load=(load,) * 4)
        )
        almanac = Almanac(year)
        levels, days = Levels(almanac), chosen(year)
        assert len(days) >= 8
        for one in days:
            most = levels.of(one.day).load * table.load_share
            shortest = max(table.shortest_minutes, one.recipe.least_minutes)
            assert one.load <= most + 1e-6 or one.minutes <= shortest
            assert one.start >= 540 and one.start + one.minutes <= 1020
            assert one.minutes % 15 == 0 or one.minutes == one.recipe.least_minutes


def test_a_season_opens_with_a_short_easy_day_and_one_of_four_days_does_not() -> None:
    days = chosen(wide(seasons=[season(21, 35)], goals=[goal()]))
    first = [one for one in days if one.day < day(28)]
    assert all(one.first and one.role is RockRole.EASY for one in first)
    assert len(first) == 1  # one day in its first week
    assert any(one.role is RockRole.PROJECT for one in days if one.day >= day(28))
    assert not any(one.first for one in days if one.day >= day(28))
    assert ROCK.short_spell_days == 4
    short = chosen(wide(seasons=[season(24, 4)], goals=[goal()]))
    assert numbers(short) == [26, 27] and not any(one.first for one in short)


def test_a_season_that_had_begun_before_the_year_has_no_easy_opening() -> None:
    days = chosen(wide(seasons=[season(-20, 60)], goals=[goal()]))
    assert days and not any(one.first for one in days)
    assert days[0].day < day(7)


def test_the_last_day_of_a_trip_is_easy() -> None:
    days = chosen(wide(trips=[trip(14, 12)], goals=[goal(place="Isle")]))
    last = next((one for one in days if one.day == day(25)), None)
    assert last is None or last.role is RockRole.EASY
    assert any(one.role is RockRole.PROJECT for one in days)
    assert all(one.away for one in days)


# --- wished days ----------------------------------------------------------------------------------


def outing(first: int, days: int, **fields: Any) -> Outing:
    values: dict[str, Any] = {"name": "Ridge", "discipline": "mountain"} | fields
    return Outing(first=day(first), last=day(first + days - 1), **values)


def wished(year: Year, taken_days: Mapping[int, RockDay] | None = None) -> list[RockDay]:
    almanac = Almanac(year)
    dates = Dates(almanac, book=recipes(), rules=book_of(year), taken={})
    made = Outings(dates, Levels(almanac), Returning(almanac, dates.rules))
    return list(made.days({day(n): one for n, one in (taken_days or {}).items()}))


@pytest.mark.parametrize("weeks", [1, 2, 3])
def test_an_outing_is_on_one_day_in_so_many_weeks_inside_its_days(weeks: int) -> None:
    days = wished(wide(12, outings=[outing(9, 60, weeks=weeks)]))
    assert all(9 <= n < 69 for n in numbers(days))
    begun = [n // 7 for n in numbers(days)]
    assert {b - a for a, b in pairwise(begun)} == {weeks}
    assert {one.role for one in days} == {RockRole.EASY}
    assert {(one.entry, one.counts, one.worth) for one in days} == {("ridge", 0.0, 0.0)}


def test_an_outing_goes_on_the_freest_day_and_is_as_long_as_was_wished() -> None:
    climber = {"minutes": {"wednesday": "09:00-13:00", "saturday": "09:00-17:00"}}
    days = wished(wide(climber=climber, outings=[outing(0, 70, minutes=210)]))
    assert {one.day.weekday() for one in days} == {5}
    assert {one.minutes for one in days} == {210}
    named = wished(wide(climber=climber | {"rock_days": ("wednesday",)}, outings=[outing(0, 70)]))
    assert {one.day.weekday() for one in named} == {2}


def test_an_outing_keeps_clear_of_other_days_on_rock_of_trips_and_of_days_away() -> None:
    """Neither on such a day nor beside it; none on days that are given."""
    taken = {n: on_rock(n) for n in range(5, 70, 14)}
    year = wide(outings=[outing(0, 70)], trips=[trip(28, 9)], absences=[absence(49, 7)])
    days = numbers(wished(year, taken))
    assert days
    sundays = {n: on_rock(n) for n in range(6, 70, 7)}
    assert {one.day.weekday() for one in wished(wide(outings=[outing(0, 70)]), sundays)} == {2}
    few = wide(outings=[outing(0, 70)], trips=[trip(19, 2)], absences=[absence(34, 1, left=0.5)])
    assert few.trips and not Almanac(few).is_given(day(34))  # too short to be blocks
    assert not set(numbers(wished(few))) & {19, 20, 34}
    near = {n + k for n in taken for k in (-1, 0, 1)}
    assert not set(days) & (near | set(range(28, 37)) | set(range(49, 56)))


def test_an_outing_is_no_more_than_its_share_of_a_weeks_load_nor_shorter_than_its_recipe() -> None:
    table = rock_day_table()
    bound = 0
    for load in (700.0, 1000.0, 3000.0):
        before = Before(weekly_load=(load,) * 4)
        year = wide(outings=[outing(0, 70, minutes=420)], before=before)
        levels = Levels(Almanac(year))
        for one in wished(year):
            most = levels.of(one.day).load * table.load_share
            assert one.load <= most < one.recipe.load(one.minutes + 15) or one.minutes == 420
            assert one.minutes % 15 == 0
            bound += one.minutes < 420
    assert bound >= 5
    weak = wide(outings=[outing(0, 70)], before=Before(weekly_load=(200.0,) * 4))
    for one in wished(weak):
        assert one.minutes >= one.recipe.least_minutes


def test_before_a_mountain_season_a_long_day_every_other_week_leads_up_to_it() -> None:
    """In the ten weeks before it, up to three days before its first day."""
    assert (ROCK.mountain_weeks, ROCK.mountain_every_weeks) == (10, 2)
    for opens in (98, 101, 105, 110):
        mountains = season(opens, 28, name="Alps", place="Alps", discipline="mountain")
        year = wide(21, seasons=[mountains], goals=[goal(place="Alps", discipline="mountain")])
        days = chosen(year)
        first = next(one.day for one in days if one.entry == "alps")
        long_days = [one for one in days if one.entry is None]
        for one in long_days:
            assert first - timedelta(weeks=10) <= one.day <= first - timedelta(days=4)
            assert one.discipline is Discipline.MOUNTAIN
        weeks = [n // 7 for n in numbers(long_days)]
        assert all(b - a >= 2 for a, b in pairwise(weeks)) and 4 <= len(weeks) <= 5
    sport = wide(20, seasons=[season(98, 28)], goals=[goal()])
    assert not [one for one in chosen(sport) if one.entry is None]


def test_a_mountain_season_that_was_led_up_to_opens_with_a_whole_easy_day() -> None:
    mountains = season(98, 28, name="Alps", place="Alps", discipline="mountain")
    fields = {"seasons": [mountains], "goals": [goal(place="Alps", discipline="mountain")]}
    led = next(one for one in chosen(wide(20, **fields)) if one.entry == "alps")
    injured = wide(20, **fields, absences=[absence(20, 80)])
    cold = next(one for one in chosen(injured) if one.entry == "alps")
    assert led.first and cold.first and led.role is cold.role is RockRole.EASY
    assert led.minutes > cold.minutes


def test_a_hurt_part_keeps_from_an_outing_what_would_load_it() -> None:
    year = wide(outings=[outing(0, 70)], injuries=[injury(14, easy=28, building=35, full=42)])
    dates = Dates(Almanac(year), book=recipes(), rules=book_of(year), taken={})
    for one in wished(year):
        assert not dates.hurts(one.recipe, one.day)
    assert dates.hurts(hard("hard"), day(15)) and not dates.hurts(hard("hard"), day(7))
