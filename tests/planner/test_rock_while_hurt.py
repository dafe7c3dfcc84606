"""Days on rock while a part comes back: easy, few, short, and none that counts for a goal."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date, timedelta
from functools import cache
from itertools import pairwise

import pytest
from plan_maker import a_year, day, goal, season, trip
from planned import judged, planned

from seasonplan import injury as care
from seasonplan.body.almanac import Almanac
from seasonplan.days import ONE_DAY
from seasonplan.planner.grid import Grid
from seasonplan.planner.returning import Returning
from seasonplan.planner.rock_day import RockDay
from seasonplan.planner.weeks import Weeks
from seasonplan.rules.statements import book_of
from seasonplan.rules.tables import composing, rock_day_table
from seasonplan.vocabulary import BodyPart, Discipline, Kind, Phase, RockRole
from seasonplan.year import Before, Injury, Outing, Year

TABLE = rock_day_table()
RISE = composing().rock.led_rise
OFF, EASY, BUILDING, FULL = 14, 28, 49, 84  # day numbers, of Mondays
WEEKEND = {"rock_days": ["saturday", "sunday"], "rock_minutes": 300}


def hurt(part: BodyPart, *, easy: int = EASY, building: int = BUILDING, full: int = FULL) -> Injury:
    return Injury(
        name="Hurt", part=part, happened=day(OFF), easy_from=day(easy),
        building_from=day(building), full_from=day(full),
    )  # fmt: skip


@cache
def in_season(
    part: BodyPart = BodyPart.FINGER, *, discipline: Discipline = Discipline.SPORT
) -> Year:
    """Sixteen weeks of a season on whose weekends the climber can go, and a part hurt early."""
    return a_year(
        20, climber=WEEKEND, seasons=[season(0, 112, discipline=discipline)],
        goals=[goal(discipline=discipline, grade="7A" if discipline == "boulder" else "7b")],
        before={"weekly_load": (2400.0,) * 4}, injuries=[hurt(part)],
    )  # fmt: skip


def chosen(year: Year) -> Mapping[date, RockDay]:
    return Weeks(Grid(Almanac(year)), book_of(year)).rock


def between(year: Year, first: int, after: int) -> list[RockDay]:
    return [one for one in chosen(year).values() if day(first) <= one.day < day(after)]


def test_a_finger_that_comes_back_climbs_easy_rock_once_a_week_from_the_easy_phase_on() -> None:
    found = between(in_season(), EASY, FULL)
    assert [(one.day - day(EASY)).days // 7 for one in found] == list(range(8))
    assert {one.role for one in found} == {RockRole.EASY}
    assert not between(in_season(), OFF, EASY)


def test_such_days_count_for_no_goal_and_hold_no_good_day() -> None:
    found = between(in_season(), EASY, FULL)
    assert found and all(one.counts == one.good == 0 for one in found)
    assert any(one.counts for one in between(in_season(), FULL, 112))


def test_the_first_of_them_is_half_as_long_and_each_a_step_longer_than_the_longest_before() -> None:
    first, *others = between(in_season(), EASY, FULL)
    assert first.first and not any(one.first for one in others)
    most = TABLE.easy_share * WEEKEND["rock_minutes"]  # type: ignore[operator]
    assert first.minutes <= max(TABLE.first_share * most, TABLE.shortest_minutes)
    longest = first.minutes
    for one in others:
        assert one.minutes <= min(most, 1.25 * longest)
        longest = max(longest, one.minutes)
    assert longest > first.minutes


def test_none_is_longer_than_its_part_of_what_the_steps_of_load_let_a_week_hold() -> None:
    year = in_season()
    weeks = Weeks(Grid(Almanac(year)), book_of(year))
    back = Returning(weeks.almanac, book_of(year))
    for one in between(year, EASY, FULL):
        holds = weeks.levels.of(one.day).load * back.share(one.day)
        assert back.share(one.day) < 1
        assert one.load <= holds * TABLE.load_share or one.minutes == TABLE.shortest_minutes


@pytest.mark.parametrize(
    ("part", "begins"),
    [
        (BodyPart.ELBOW, EASY), (BodyPart.SHOULDER, EASY), (BodyPart.WRIST, EASY),
        (BodyPart.ANKLE, BUILDING), (BodyPart.KNEE, BUILDING), (BodyPart.BACK, BUILDING),
        (BodyPart.OTHER, BUILDING), (BodyPart.SKIN, FULL),
    ],
)  # fmt: skip
def test_a_leg_the_back_and_an_illness_wait_for_building_and_skin_for_full(
    part: BodyPart, begins: int
) -> None:
    found = [one.day for one in between(in_season(part), OFF, FULL + 14)]
    assert day(begins) <= found[0] < day(begins + 7)


def test_no_boulders_outside_on_a_leg_until_its_first_step_after_full_is_over() -> None:
    """Two weeks (shared/injuries.toml): each fall from a boulder lands on it."""
    year = in_season(BodyPart.KNEE, discipline=Discipline.BOULDER)
    assert not between(year, OFF, FULL + 14) and between(year, FULL + 14, FULL + 28)


def test_what_just_bears_no_hard_use_climbs_no_longer_than_while_it_came_back() -> None:
    """The first step after full: not from one short day a week to two whole ones."""
    before = max(one.minutes for one in between(in_season(), EASY, FULL))
    after = between(in_season(), FULL, FULL + 14)
    assert after and all(one.role is RockRole.EASY and one.minutes <= before for one in after)


def test_in_that_step_no_day_on_rock_follows_another_and_later_ones_do_again() -> None:
    rock = chosen(in_season())
    pairs = [one for one in rock if one > day(OFF) and one + ONE_DAY in rock]
    assert pairs and min(pairs) >= day(FULL + 14)


def test_projects_are_shorter_until_the_last_step_is_over() -> None:
    """Six weeks after full (shared/injuries.toml), and then longer by steps."""
    year = Year(**dict(in_season()) | {"seasons": (season(0, 140),)})
    projects = [one for one in chosen(year).values() if one.role is RockRole.PROJECT]
    after = [one for one in projects if one.day >= day(FULL)]
    assert after[0].day >= day(FULL + 14)
    for one in after:
        whole = WEEKEND["rock_minutes"]
        assert one.minutes < whole or one.day >= day(FULL + 42)  # type: ignore[operator]
    assert all(one.minutes == whole for one in after if one.day >= day(FULL + 56))
    knee = Year(**dict(year) | {"injuries": (hurt(BodyPart.KNEE),)})
    days = [one for one in chosen(knee).values() if one.counts and one.day >= day(FULL)]
    assert days[0].day < day(FULL + 7) and days[0].role is RockRole.EASY
    first = next(one for one in days if one.role is RockRole.PROJECT)
    assert day(FULL + 14) <= first.day < day(FULL + 21)  # nothing hard before, not even a fall
    soon = max(one.minutes for one in days if one.day < day(FULL + 35))
    assert soon == WEEKEND["rock_minutes"]  # by steps, not for weeks


def test_whole_days_come_by_steps_after_the_last_step_too() -> None:
    """A day of 405 minutes followed weeks of 240 as soon as nothing was held back any more."""
    fields = dict(in_season()) | {
        "seasons": (season(0, 140),), "climber": in_season().climber.model_copy(
            update={"rock_minutes": 540}), "before": Before(weekly_load=(4000.0,) * 4),
    }  # fmt: skip
    later = [one for one in chosen(Year(**fields)).values() if one.day >= day(EASY)]
    most = later[0].minutes
    for one in later:
        assert one.minutes <= max(most * RISE + 7.5, TABLE.shortest_minutes), one.day
        most = max(most, one.minutes)
    assert later[-1].day > day(FULL + 42) and most >= 300


def test_the_first_days_after_a_part_bore_nothing_hold_no_rock() -> None:
    """From a Saturday on it bears something again; the weekend is left to the wall."""
    fields = dict(in_season()) | {"injuries": (hurt(BodyPart.FINGER, easy=EASY - 2),)}
    assert (between(Year(**fields), OFF, FULL)[0].day - day(EASY)).days == 5


def test_after_weeks_without_rock_the_first_day_is_easy_short_and_alone_in_its_week() -> None:
    """Skin lets nobody on rock before full; without such weeks projects go on at once."""
    first, *later = between(in_season(BodyPart.SKIN), FULL, FULL + 14)
    assert first.role is RockRole.EASY and first.first
    assert first.minutes <= TABLE.first_share * WEEKEND["rock_minutes"]  # type: ignore[operator]
    assert later and later[0].day >= day(FULL + 7) and later[0].role is RockRole.PROJECT
    brief = Injury(
        name="Tip", part="skin", happened=day(77), easy_from=day(79), building_from=day(81),
        full_from=day(82),
    )  # fmt: skip
    year = Year(**dict(in_season()) | {"injuries": (brief,)})
    assert RockRole.PROJECT in {one.role for one in between(year, 82, 84)}


@pytest.mark.parametrize(("part", "soon"), [(BodyPart.OTHER, True), (BodyPart.FINGER, False)])
def test_after_an_illness_a_trip_begins_as_any_other_after_a_hurt_part_by_its_steps(
    part: BodyPart, soon: bool
) -> None:
    """Ten days ill before the trip of the year: one easy day while it comes back, then tries (they
    began on its tenth of twelve days). Common practice, no source."""
    away = trip(42, 14)
    ill = hurt(part, easy=24, building=34, full=44)
    year = a_year(12, climber=WEEKEND, trips=[away], goals=[goal(place="Isle")], injuries=[ill])
    rock = [one for one in chosen(year).values() if one.away]
    assert rock[0].role is RockRole.EASY and rock[0].day < day(44)
    assert any(r.role is RockRole.PROJECT and r.day < day(46) for r in rock) is soon


def test_seven_days_hold_no_more_than_the_phase_allows_and_none_follow_each_other() -> None:
    year = in_season()
    every = dict(year) | {"climber": {**dict(year.climber), "rock_days": ("tuesday", "saturday")}}
    away = dict(year) | {"trips": (trip(BUILDING, 14),), "seasons": ()}
    wished = Outing(name="Hut", discipline="sport", first=day(0), last=day(111), weeks=1)
    seen = 0
    for fields in (every, away, dict(year) | {"outings": (wished,)}):
        almanac, rock = Almanac(Year(**fields)), chosen(Year(**fields))
        held = [d for d in rock if almanac.hurts(d)]
        seen += len(held)
        for one in held:
            most = care.most_rock_days(almanac.hurts(one))
            assert most is not None
            assert sum(one - timedelta(days=n) in rock for n in range(7)) <= most
        assert all(b - a > ONE_DAY for a, b in pairwise(held))
    assert seen >= 20


def test_wished_days_stand_while_a_part_comes_back_and_not_while_it_bears_nothing() -> None:
    wished = Outing(name="Hut", discipline="sport", first=day(0), last=day(111), weeks=2)
    year = Year(**dict(in_season()) | {"outings": (wished,), "seasons": (), "goals": ()})
    assert between(year, EASY + 7, FULL) and not between(year, OFF, EASY)


def test_two_parts_allow_the_least_of_both() -> None:
    both = [(BodyPart.FINGER, Phase.BUILDING), (BodyPart.ANKLE, Phase.EASY)]
    assert care.most_rock_days(both) == 0
    assert care.most_rock_days(both[:1]) == 2
    assert care.most_rock_days([]) is None


def test_planner_and_checker_agree_on_them_and_good_days_are_those_of_health() -> None:
    year = in_season()
    made = planned(year)
    assert made is not None and judged(year, made) == []
    almanac = Almanac(year)
    rock = [one for one in made.sessions if one.role is not None]
    easy = [one for one in rock if almanac.hurts(one.day)]
    returns = {block.id for block in made.blocks if block.kind is Kind.RETURN}
    assert len(easy) == 8 and {one.block for one in easy} == returns
    assert sum(one.rock_days for one in made.score.occasions) == len(rock) - len(easy)


@pytest.mark.parametrize("part", [BodyPart.SHOULDER, BodyPart.FINGER])
def test_an_arm_that_bears_little_goes_to_no_boulders_outside(part: BodyPart) -> None:
    """The user saw easy boulders outside six days after the shoulder bore anything again."""
    year = in_season(part, discipline=Discipline.BOULDER)
    assert not between(year, EASY, BUILDING) and between(year, BUILDING, FULL)
    made = planned(year)
    assert made is not None and judged(year, made) == []
    out = next(one for one in made.sessions if one.recipe == "easy-boulder-day")
    early = out.model_copy(update={"day": day(EASY + 5)})
    found = judged(year, replace(made, sessions=(*made.sessions, early)))
    assert "what a part that comes back does not do yet" in {one.about for one in found}


def test_climbing_indoors_leaves_room_for_the_day_on_rock_of_the_same_week() -> None:
    """The user saw an hour indoors on Monday and 105 minutes on rock on Saturday, 150 allowed."""
    ill = hurt(BodyPart.OTHER, easy=21, building=25, full=28)
    year = a_year(
        12, climber=WEEKEND, seasons=[season(0, 70)], goals=[goal(grade="7b")],
        before={"weekly_load": (2400.0,) * 4}, injuries=[ill],
    )  # fmt: skip
    made = planned(year)
    assert made is not None and judged(year, made) == []
    week = [one for one in made.sessions if day(21) <= one.day < day(28)]
    assert any(one.role is not None for one in week)
