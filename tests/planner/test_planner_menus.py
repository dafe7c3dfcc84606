"""Whose courses a week takes where goals differ, and what is trained before a season."""

from __future__ import annotations

from datetime import date, timedelta

from places import TESTS

from seasonplan.body.almanac import Almanac
from seasonplan.days import WEEKDAYS
from seasonplan.planner.fingers import KEPT
from seasonplan.planner.menus import Serving, finger_table, menu_name
from seasonplan.planner.run import Found, best_plan
from seasonplan.recipes import recipes, standard_recipes
from seasonplan.rules.statements import book_of
from seasonplan.vocabulary import Discipline, Emphasis, Kind, Quality
from seasonplan.year import Before, Climber, Goal, Horizon, Routine, Season, Year
from seasonplan.year.toml import read_year

AUTUMN = TESTS / "years" / "autumn.toml"
FIRST = date(2027, 3, 1)
SPORT_FIRST, ICE_FIRST = date(2027, 9, 4), date(2027, 12, 11)


def serving(**priorities: int) -> Serving:
    """Sport in September, ice in December, both all days of five weeks."""
    seasons = [("sport", SPORT_FIRST), ("ice", ICE_FIRST)]
    year = Year(
        horizon=Horizon(first=FIRST, weeks=52),
        climber=Climber(
            time_zone="Europe/Vienna", minutes=Routine(**dict.fromkeys(WEEKDAYS, "10:00-16:00"))
        ),
        goals=tuple(
            Goal(name=f"{name} goal", place=name, discipline=name, grade="6a",
                 priority=priorities.get(name, 1))
            for name, _ in seasons
        ),
        seasons=tuple(
            Season(name=name, place=name, discipline=name, chance=0.6, first=first,
                   last=first + timedelta(days=34))
            for name, first in seasons
        ),
    )  # fmt: skip
    return Serving(Almanac(year))


def test_tools_are_swung_only_in_weeks_that_serve_the_ice() -> None:
    made = serving()
    for name, day, tools in [
        ("base endurance", date(2027, 6, 7), False),  # the sport goal is next
        ("performance fingers", date(2027, 9, 6), False),
        ("base endurance", date(2027, 10, 18), True),  # it is over
        ("lead-in", date(2027, 11, 29), True),
    ]:
        assert any("tool-hangs" in course for course in made.courses(name, day)) is tools, day


def test_the_goal_that_counts_most_is_served_once_it_is_sixteen_weeks_ahead() -> None:
    made = serving(ice=1, sport=2)
    near = ICE_FIRST - timedelta(weeks=16) + timedelta(days=1)
    assert made.discipline(near, next_rock=False) is Discipline.ICE
    assert made.discipline(near - timedelta(days=1), next_rock=False) is Discipline.SPORT


def test_who_tries_a_project_now_trains_for_it_whatever_counts_more_later() -> None:
    made = serving(ice=1, sport=2)
    assert made.discipline(date(2027, 9, 6), next_rock=True) is Discipline.SPORT


def test_when_no_rock_is_ahead_the_first_goal_decides() -> None:
    assert serving(ice=1, sport=2).discipline(date(2028, 2, 1), next_rock=False) is Discipline.ICE
    assert serving(ice=2, sport=1).discipline(date(2028, 2, 1), next_rock=True) is Discipline.SPORT


def test_a_lead_in_that_keeps_endurance_holds_links_and_few_hangs() -> None:
    made, day = serving(), date(2027, 8, 23)
    kept, fingers = (
        menu_name(Kind.PERFORMANCE, emphasis, lead_in=True)
        for emphasis in (Emphasis.ENDURANCE, Emphasis.FINGERS)
    )
    assert made.courses(kept, day)[0] == ("interval-circuits",)
    assert made.courses(fingers, day)[:2] == (("interval-circuits",), ("sharpening",))
    assert ("sharpening",) not in made.courses(kept, day)[:2]
    seconds, short = finger_table().seconds, standard_recipes()["fingerboard-short"]
    assert seconds[kept] == short.hangs[0] * short.hang_seconds < seconds[fingers]
    ice = date(2027, 11, 29)  # of other disciplines the lead-in is one
    assert made.courses(kept, ice) == made.courses(fingers, ice)


def test_a_lead_in_to_mountains_or_ice_holds_hangs_for_one_short_session() -> None:
    """Whatever is kept: of other goals the seconds are their own, and base weeks keep theirs."""
    made, rock, ice = serving(), date(2027, 8, 23), date(2027, 11, 29)
    fingers = menu_name(Kind.PERFORMANCE, Emphasis.FINGERS, lead_in=True)
    seconds, one = finger_table().seconds, recipes()[KEPT]
    assert one.hangs is not None and one.hang_seconds
    assert seconds[made.hangs(fingers, ice)] <= one.hangs[1] * one.hang_seconds
    assert made.hangs(fingers, rock) == fingers
    assert made.hangs("base fingers", ice) == "base fingers"


def test_power_endurance_is_trained_longer_before_a_season_of_who_lacks_nothing_more() -> None:
    year = read_year(AUTUMN.read_text(), file="year.toml")
    even = {**dict(year.climber), "level": {}}
    after = Before(last_kind=Kind.PERFORMANCE, weekly_load=year.before.weekly_load)
    found = {}
    for level in ({}, {Quality.FINGER_STRENGTH: 1}):
        climber = Climber(**{**even, "level": level})
        of = year.with_fields(climber=climber, goals=year.goals[:1], trips=(), before=after)
        best = best_plan(of, book=book_of(of), confirm=False)
        assert isinstance(best, Found)
        before = [b for b in best.blocks if b.kind.chosen]
        season = next(n for n, b in enumerate(before) if b.kind is Kind.PERFORMANCE)
        found[bool(level)] = before[season - 2 : season]
    (_, much), (fingers, less) = found[False], found[True]
    assert much.emphasis is Emphasis.POWER_ENDURANCE
    assert fingers.emphasis is Emphasis.FINGERS
    days = less.span.length if less.emphasis is Emphasis.POWER_ENDURANCE else 0
    assert days < much.span.length


def test_one_goal_is_led_up_to_whatever_its_priority() -> None:
    """The highest priority there is counts: no rest as its season opens, a lead-in before it."""
    year = read_year(AUTUMN.read_text(), file="year.toml")
    found = []
    for priority in (1, 2):
        goals = [{**dict(goal), "priority": priority} for goal in year.goals[:1]]
        one = year.with_fields(goals=tuple(Goal(**goal) for goal in goals))
        best = best_plan(one, book=book_of(one), confirm=False)
        assert isinstance(best, Found)
        softs = best.search.softs
        found.append((softs.dear_starts, softs.openings))
    assert found[0] == found[1] != ((), ())
