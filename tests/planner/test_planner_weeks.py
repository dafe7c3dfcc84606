"""What weeks hold: sessions inside the free hours, hangs by the dose, loads by the calendar."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cache, cached_property
from itertools import pairwise

import pytest
from judged_years import judged_years
from places import ROOT
from planned import codes_of, judged, planned
from random_years import Drawn
from silly_shapes import (
    Looked,
    above_best_month,
    hangs_on_rock,
    hard_fingers_on_an_eve,
    light_week_no_lighter,
    performance_without_rock,
    rock_left_out,
    seven_training_days,
    two_hangs_a_day,
)

from seasonplan.body.response import dose_of
from seasonplan.days import week_start
from seasonplan.plan import Cause, Revision, Session, Week
from seasonplan.planner.fill import Filled, fill
from seasonplan.planner.run import Found, Search, best_plan
from seasonplan.recipes import Need, recipes
from seasonplan.rules.statements import book_of
from seasonplan.vocabulary import Kind, Quality, RockRole, Tissue
from seasonplan.year import Absence, Climber, Injury, RuleChange, Trip, Year
from seasonplan.year.toml import read_year

HALF_AN_HOUR = ROOT / "calendars_demo" / "half-an-hour" / "year.toml"

BOOK = recipes()
NAMES = tuple(name for name in judged_years() if name != "two years")


@dataclass(frozen=True)
class Made:
    """A year, its search and the best plan of it with sessions."""

    year: Year
    search: Search
    filled: Filled

    @cached_property
    def seen(self) -> Looked:
        fields = {"blocks": self.filled.blocks, "sessions": self.filled.sessions}
        return Looked(
            Drawn(0, self.year), Revision.model_construct(**fields), self.search.weeks.rock
        )

    def weeks(self, *kinds: Kind) -> Iterator[Week]:
        for block in self.filled.blocks:
            if block.kind in kinds:
                yield from block.weeks

    @cached_property
    def by_day(self) -> dict[date, list[Session]]:
        found: dict[date, list[Session]] = defaultdict(list)
        for session in self.filled.sessions:
            found[session.day].append(session)
        return found


def made_of(year: Year) -> Made:
    found = best_plan(year, book=book_of(year), confirm=False)
    assert isinstance(found, Found)
    search = found.search
    return Made(year, search, fill(search.weeks, search.candidates, found.blocks))


@cache
def made(name: str) -> Made:
    return made_of(judged_years()[name])


# --- hours ------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
def test_sessions_at_home_lie_in_the_free_hours_and_apart(name: str) -> None:
    case = made(name)
    almanac = case.search.grid.almanac
    placed = 0
    for day, sessions in case.by_day.items():
        home = sorted((s for s in sessions if s.role is None), key=lambda one: one.minute)
        windows = almanac.windows(day)
        for one in home:
            placed += 1
            inside = [a <= one.minute and one.minute + one.minutes <= b for a, b in windows]
            away = any(trip.climbing and day in trip.span for trip in case.year.trips)
            assert any(inside) or away, one
        assert all(a.minute + a.minutes <= b.minute for a, b in pairwise(home))
    assert placed >= 30


@pytest.mark.parametrize("name", NAMES)
def test_the_week_of_a_plan_is_the_week_that_was_weighed(name: str) -> None:
    """Score and sessions read the same week: its dose and load are sums over what is placed."""
    case = made(name)
    search = case.search
    best = search.prices.best()
    assert best is not None
    compared = 0
    for number in best.columns:
        column, variant = search.candidates.all[number], search.best_variants[number][0]
        for cell, role in search.candidates.roles(column, variant):
            week = search.weeks.week(cell, role)
            there = [s for day in cell.span.days() for s in case.by_day.get(day, ())]
            assert dose_of(there, search.weeks.book) == pytest.approx(week.dose)
            assert sum(one.load for one in there) == pytest.approx(week.load)
            compared += 1
    assert compared >= 35


# --- shapes that no plan of these years has ---------------------------------------------------

NEVER = (
    hangs_on_rock, hard_fingers_on_an_eve, performance_without_rock, rock_left_out,
    seven_training_days, two_hangs_a_day,
)  # fmt: skip


@pytest.mark.parametrize("shape", NEVER, ids=lambda shape: shape.__name__)
@pytest.mark.parametrize("name", NAMES)
def test_no_plan_has_a_silly_shape(name: str, shape: object) -> None:
    assert list(shape(made(name).seen)) == []  # type: ignore[operator]


@pytest.mark.parametrize("name", NAMES)
def test_no_week_at_home_is_far_above_the_best_month(name: str) -> None:
    assert list(above_best_month(made(name).seen)) == []


@pytest.mark.parametrize("name", NAMES)
def test_a_light_week_is_lighter_than_the_one_before(name: str) -> None:
    assert list(light_week_no_lighter(made(name).seen)) == []


# --- fingers ----------------------------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
def test_the_last_hard_hangs_and_tries_at_the_limit_keep_four_days_from_a_season(
    name: str,
) -> None:
    case = made(name)
    used = {one.day for one in case.filled.sessions if one.role is not None}
    rock = case.search.weeks.rock.values()
    begin = {o.day for o in rock if o.counts and (o.fresh or (o.first and o.away))}
    for first in begin & used:
        for back in range(1, 5):
            for one in case.by_day.get(first - timedelta(days=back), ()):
                recipe = case.search.weeks.book[one.recipe]
                hardest = recipe.hard_hangs or recipe.stresses.get(Tissue.FINGERS, 0) == 3
                assert one.role is not None or not hardest, one


@pytest.mark.parametrize("name", ["three trips", "boulderer", "hurt", "parent", "shifts"])
def test_the_weaker_the_fingers_the_more_seconds_they_hang(name: str) -> None:
    year, found = judged_years()[name], []
    for rating in (1, 3, 5):
        level = {**year.climber.level, Quality.FINGER_STRENGTH: rating}
        climber = Climber(**{**dict(year.climber), "level": level})
        case = made_of(year.with_fields(climber=climber))
        found.append(sum(week.hard_seconds for block in case.filled.blocks for week in block.weeks))
    # by one in a hundred: weeks hold whole sessions
    assert all(low >= 0.99 * high for low, high in pairwise(found))
    same = name == "boulderer"  # all blocks are for fingers as it is
    assert found[0] > found[-1] or same


def test_the_young_do_not_hang_hard() -> None:
    case = made("young")
    assert case.filled.sessions
    assert not [w for b in case.filled.blocks for w in b.weeks if w.hard_seconds or w.max_fingers]


def test_a_hurt_finger_is_not_used_hard_before_it_is_well() -> None:
    case = made("hurt")
    (hurt,) = case.year.injuries
    used = 0
    for one in case.filled.sessions:
        if one.day < hurt.full_from:
            used += 1
            assert case.search.weeks.book[one.recipe].stresses.get(Tissue.FINGERS, 0) < 2
    assert used >= 10


@pytest.mark.parametrize(("days", "hard"), [(9, True), (10, False), (11, False), (21, False)])
def test_hangs_are_light_in_the_first_week_after_ten_days_off(days: int, hard: bool) -> None:
    """Common practice, no source: tendons follow last."""
    first = date(2027, 5, 3)
    away = Absence(name="Away", first=first, last=first + timedelta(days=days - 1), left=0)
    year = read_year(HALF_AN_HOUR.read_text(), file="year.toml").with_fields(absences=(away,))
    made = planned(year)
    assert made is not None
    back = away.last + timedelta(days=1)
    ends = back + timedelta(days=7)
    found = [s for s in made.sessions if back <= s.day < ends and s.hangs]
    book = recipes(year.recipes)
    assert any(book[s.recipe].hard_on_fingers for s in found) <= hard
    assert len({s.day for s in found}) in (1, 2)
    later = [s for s in made.sessions if ends <= s.day < ends + timedelta(days=21) and s.hangs]
    assert any(book[s.recipe].hard_on_fingers for s in later)


def test_a_young_climber_who_comes_back_hangs_on_two_days_a_week_at_most() -> None:
    """Common practice, no source."""
    hurt = Injury(
        name="Wrist", part="wrist", happened=date(2027, 5, 3), easy_from=date(2027, 5, 10),
        building_from=date(2027, 5, 24), full_from=date(2027, 6, 14),
    )  # fmt: skip
    year = read_year(HALF_AN_HOUR.read_text(), file="year.toml")
    most = {}
    for birth_year in (2013, 1990):
        climber = Climber(**{**dict(year.climber), "birth_year": birth_year})
        made = planned(year.with_fields(climber=climber, injuries=(hurt,)))
        assert made is not None
        weeks = Counter(
            s.day - timedelta(days=s.day.weekday())
            for s in made.sessions
            if hurt.easy_from <= s.day < hurt.full_from and s.hangs
        )
        most[birth_year] = max(weeks.values())
    assert 1 <= most[2013] <= 2
    assert 2 <= most[1990] <= 3


def test_weeks_of_coming_back_are_counted_over_all_phases() -> None:
    hurt = Injury(
        name="Wrist", part="wrist", happened=date(2027, 5, 3), easy_from=date(2027, 5, 10),
        building_from=date(2027, 5, 24), full_from=date(2027, 6, 14),
    )  # fmt: skip
    year = read_year(HALF_AN_HOUR.read_text(), file="year.toml").with_fields(injuries=(hurt,))
    made = planned(year)
    assert made is not None
    weeks = {s.day: s.week for s in made.sessions if hurt.easy_from <= s.day < hurt.full_from}
    assert set(weeks.values()) == {1, 2, 3, 4, 5}
    assert all(week == 1 + (day - hurt.easy_from).days // 7 for day, week in weeks.items())


def test_the_days_kept_fresh_follow_the_climbers_own_limit() -> None:
    text = (HALF_AN_HOUR.parent.parent / "trips-and-boulders" / "year.toml").read_text()
    year = read_year(text, file="year.toml").with_fields(
        rules={"session-fresh": RuleChange(limit=7)}
    )
    made = planned(year)
    assert made is not None
    assert "session-fresh" not in codes_of(judged(year, made))


@pytest.fixture(scope="module")
def shortened(years: Callable[[str], Year]) -> Filled:
    """Twelve weeks, the wall 20 min off; most of one week taken by exams, and ten days away."""
    year = years("twelve-weeks")
    climber = Climber(**{**dict(year.climber), "wall_travel_minutes": 20})
    exams = Absence(name="Exams", first=date(2026, 3, 9), last=date(2026, 3, 15), left=0.15)
    away = Trip(
        name="Long spell away", first=date(2026, 5, 2), last=date(2026, 5, 11), chance=0.7,
        place="Harrow Cleft", discipline="sport",
    )  # fmt: skip
    far = year.with_fields(
        climber=climber, absences=(*year.absences, exams), trips=(*year.trips, away)
    )
    made = planned(far)
    assert made is not None and judged(far, made) == []
    return made


def test_time_that_an_absence_takes_is_no_fault_of_the_usual_week(shortened: Filled) -> None:
    (short,) = [one for one in shortened.shortfalls if one.span.first == date(2026, 3, 9)]
    assert short.cause is Cause.BUSY


def test_texts_of_rock_go_on_from_the_season_into_a_trip_to_the_same_rock(
    shortened: Filled,
) -> None:
    weeks = {one.day: one.week for one in shortened.sessions if one.role is not None}
    first = min(weeks)
    assert any(one.block == "trip-1" and one.week > 2 for one in shortened.sessions)
    assert weeks == {
        day: 1 + (week_start(day, 0) - week_start(first, 0)).days // 7 for day in weeks
    }


def test_who_is_at_the_wall_stays_there_for_what_comes_next(shortened: Filled) -> None:
    book = recipes()
    days: dict[date, list[Session]] = defaultdict(list)
    for one in shortened.sessions:
        if one.minutes and Need.WALL in book[one.recipe].needs:
            days[one.day].append(one)
    gaps = [
        60 * later.start.hour + later.start.minute - one.minutes
        - 60 * one.start.hour - one.start.minute
        for found in days.values()
        for one, later in pairwise(sorted(found, key=lambda one: one.start))
    ]  # fmt: skip
    assert gaps and max(gaps) < 20  # the way home and back takes 40


# --- lead-ins -------------------------------------------------------------------------------------


def led_into(case: Made) -> Iterator[tuple[list[Week], list[Session]]]:
    """Of each season and window with a lead-in its weeks, and its days on rock in order."""
    for block in case.filled.blocks:
        weeks = [week for week in block.weeks if week.lead_in]
        on_rock = [one for one in case.filled.sessions if one.role and one.day in block.span]
        if block.kind is Kind.PERFORMANCE and weeks and on_rock:
            yield weeks, sorted(on_rock, key=lambda one: one.day)


@pytest.mark.parametrize("name", NAMES)
def test_the_first_tries_come_within_a_fortnight_of_the_day_on_which_less_is_done(
    name: str,
) -> None:
    # Bosquet et al. 2007 (abstract read): tapers of 8 to 14 days did best; before, a season had its
    # first project 19 days after the lead-in began, behind an easy weekend
    for weeks, on_rock in led_into(made(name)):
        tries = [one.day for one in on_rock if one.role is RockRole.PROJECT]
        assert not tries or (tries[0] - weeks[0].span.first).days <= 14


def test_a_season_opens_inside_its_lead_in_and_before_its_first_tries() -> None:
    opened, hangs_in_it = [], 0
    for name in NAMES:
        for weeks, on_rock in led_into(made(name)):
            first = on_rock[0]
            if first.role is RockRole.PROJECT or first.day not in weeks[-1].span:
                continue
            opened.append(name)
            home = [s for s in made(name).filled.sessions if not s.role and s.day in weeks[-1].span]
            hung = [one for one in home if BOOK[one.recipe].hard_hangs]
            assert len(hung) <= 1, "one session of hard hangs beside the day on rock"
            tries = next(s.day for s in on_rock if s.role is RockRole.PROJECT)
            after = [
                s for s in made(name).filled.sessions
                if BOOK[s.recipe].hard_hangs and weeks[0].span.first <= s.day < tries
            ]  # fmt: skip
            assert all((tries - one.day).days > 4 for one in after), name
            hangs_in_it += len(hung)
    assert len(set(opened)) >= 8 and hangs_in_it >= 6


def test_a_season_that_keeps_up_endurance_has_links_in_its_lead_in_where_hangs_have_no_room() -> (
    None
):
    """Common practice, no source: power endurance fades in weeks, fingers in months."""
    case = made("sixty")
    ((weeks, on_rock),) = led_into(case)
    assert on_rock[0].day in weeks[-1].span
    home = [
        one.recipe for one in case.filled.sessions if one.day in weeks[-1].span and not one.role
    ]
    assert home == ["interval-circuits"]
