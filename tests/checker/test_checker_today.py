"""What the checker asks of a plan that has begun: nothing of what is over."""

from __future__ import annotations

import pytest
from plan_maker import a_year, absence, block, day, given, pin, season, span
from test_checker_light_weeks import waves
from test_checker_sessions import (
    AEROBIC,
    ASKED,
    BASE,
    DRILLS,
    REST,
    WEDNESDAY,
    base,
    month,
    session,
    week,
)
from test_checker_sessions_weeks import short

from seasonplan.checker import check, check_sessions
from seasonplan.days import WEEKDAYS
from seasonplan.plan import Block
from seasonplan.rules.findings import PIN, SUMS
from seasonplan.rules.statements import book_of
from seasonplan.vocabulary import Kind
from seasonplan.year import Year


def asked(year: Year, *blocks: Block, today: int) -> set[str]:
    """Codes of the hard findings on blocks, from a day on."""
    found = check(year, blocks, today=day(today))
    return {each.code for each in found if each.strength == "hard" and each.code != SUMS}


# --- blocks ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(("today", "reported"), [(27, True), (28, False)])
def test_what_ended_before_today_is_not_asked_about(today: int, reported: bool) -> None:
    """Four weeks of base without a light one, to day 27."""
    heavy = block(BASE, 0, 28, shares=(0.8, 0.85, 0.9, 0.85))
    found = asked(a_year(5), heavy, block(REST, 28, 7), today=today)
    assert ("deload" in found) is reported


@pytest.mark.parametrize(("today", "reported"), [(7, True), (8, False)])
def test_what_a_week_holds_is_not_asked_once_it_has_begun(today: int, reported: bool) -> None:
    whole = block(BASE, 0, 28)
    seven = block(BASE, 7, 7, week={"training_days": 7}).weeks
    plan = Block(**{**dict(whole), "weeks": (whole.weeks[0], *seven, *whole.weeks[2:])})
    assert ("rest-day" in asked(a_year(4), plan, today=today)) is reported


@pytest.mark.parametrize(("today", "reported"), [(21, True), (22, False)])
def test_what_a_begun_block_follows_is_not_asked(today: int, reported: bool) -> None:
    blocks = (block(BASE, 0, 21), block(BASE, 21, 21))
    assert ("order" in asked(a_year(6), *blocks, today=today)) is reported


def test_only_what_follows_what_is_let_be_in_a_begun_block() -> None:
    heavy = block(BASE, 0, 28, shares=(0.8, 0.85, 0.9, 0.85))
    assert asked(a_year(5), heavy, block(REST, 28, 7), today=20) == {"deload"}


@pytest.mark.parametrize(
    ("days", "today", "reported"), [(14, 0, True), (14, 1, False), (63, 1, True), (63, 62, True)]
)
def test_a_begun_block_may_be_cut_short_and_not_last_too_long(
    days: int, today: int, reported: bool
) -> None:
    year = a_year(12)
    then = block(REST, days, 7), block(Kind.STRENGTH, days + 7, 77 - days)
    found = check(year, (block(BASE, 0, days), *then), today=day(today))
    assert ("base-length" in {each.code for each in found}) is reported


@pytest.mark.parametrize(("today", "reported"), [(28, True), (29, False)])
def test_rest_that_has_begun_after_a_layoff_is_not_asked_about(today: int, reported: bool) -> None:
    """Such as days of a return that ended sooner: what was done on them is not known."""
    year = a_year(8, absences=[absence(7, 21)])
    off = given(Kind.ABSENCE, 7, 21, entry="away")
    blocks = (block(BASE, 0, 7), off, block(REST, 28, 7), block(BASE, 35, 21))
    assert ("build-back" in asked(year, *blocks, today=today)) is reported


@pytest.mark.parametrize(("today", "reported"), [(26, True), (27, False)])
def test_a_fixed_block_is_asked_for_until_it_is_over(today: int, reported: bool) -> None:
    year = a_year(8, pins=[pin(BASE, 0, 27)])
    blocks = (block(BASE, 0, 28), block(Kind.STRENGTH, 28, 28))
    assert (PIN in asked(year, *blocks, today=today)) is reported


def test_of_a_whole_week_back_all_the_days_count_for_how_much_it_holds() -> None:
    """The share is told in percent of the most that a week may ever hold."""
    year = a_year(4, absences=[absence(7, 5)])
    off = given(Kind.ABSENCE, 7, 5, entry="away")
    much = block(BASE, 12, 16, shares=(5.0,))
    (found,) = [one for one in check(year, (block(BASE, 0, 7), off, much))
                if one.code == "build-back"]  # fmt: skip
    assert found.limit == 70
    assert found.found is not None and found.found > 100


# --- sessions -------------------------------------------------------------------------------------


def shortfalls_asked(today: int, *, other: bool = False) -> list[str]:
    """What is said of a shortfall of the second week that is not true."""
    year = a_year(4)
    rest = [block(BASE, 28, 7, id="base-1")] if other else []
    found = check_sessions(
        year if not other else a_year(5), [base(), *rest], month(), [short(7, 500)],
        book=book_of(year), today=day(today),
    )  # fmt: skip
    return [each.about for each in found if each.code == "session-dose" and each.span == span(7, 7)]


def test_what_is_said_to_be_missing_is_asked_about_until_its_week_begins() -> None:
    assert shortfalls_asked(7) == ["shortfall"]
    assert shortfalls_asked(8) == []
    assert shortfalls_asked(7, other=True) == ["shortfall"]
    assert shortfalls_asked(8, other=True) == []


def test_a_shortfall_of_a_block_that_begins_in_its_week_is_asked_about_until_then() -> None:
    """The block begins on a Thursday, the week on the Monday before."""
    year = a_year(4)
    blocks = [block(REST, 0, 10), block(BASE, 10, 18, id="base-0", week=ASKED)]
    said = short(10, 500, span=span(10, 4))
    for today, told in ((10, ["shortfall"]), (11, [])):
        found = check_sessions(
            year, blocks, week(7)[2:], [said], book=book_of(year), today=day(today)
        )
        dose = [one for one in found if one.code == "session-dose" and one.span == said.span]
        assert [one.about for one in dose] == told


def progression(today: int, *, full: int = 1) -> int:
    """How often a light week after full ones is told to be none, from a day on."""
    year = a_year(4)
    (heavy,) = waves(*[False] * full, True)
    sessions = [one for n in range(full + 1) for one in week(7 * n)]
    found = check_sessions(year, [heavy], sessions, (), book=book_of(year), today=day(today))
    return sum(each.code == "session-progression" for each in found)


def test_a_light_week_is_asked_about_until_the_week_it_is_compared_with_begins() -> None:
    assert progression(0) == 1
    assert progression(1) == 0
    assert (progression(7, full=2), progression(8, full=2)) == (1, 0)


@pytest.mark.parametrize(("today", "reported"), [(WEDNESDAY, 1), (WEDNESDAY + 1, 0)])
def test_a_session_is_asked_about_until_its_day_is_over(today: int, reported: int) -> None:
    late = session(AEROBIC, WEDNESDAY, "23:00", 45)
    year = a_year(4)
    found = check_sessions(year, [base()], [late], (), book=book_of(year), today=day(today))
    assert sum(each.code == "session-hours" for each in found) == reported


def test_fourteen_days_without_one_off_are_two_weeks_side_by_side() -> None:
    year = a_year(4, climber={"minutes": dict.fromkeys(WEEKDAYS, 90)})
    daily = [session(DRILLS, n, "18:00", 60) for n in range(14)]
    found = check_sessions(year, [base()], daily, (), book=book_of(year))
    told = [one.span for one in found if one.code == "session-rest-day"]
    assert told == [span(0, 7), span(7, 7)]


def test_on_the_day_tries_begin_in_a_season_nothing_is_too_near_it() -> None:
    """Hard on the fingers in the evening: four days before it would be too late."""
    year = a_year(6, seasons=[season(28, 14)])
    rock = [
        session(recipe, n, "10:00", rock="season", block="performance-0")
        for recipe, n in (("easy-rock-day", 28), ("redpoint-day", 36))
    ]
    blocks = [base(), block(Kind.PERFORMANCE, 28, 14, id="performance-0")]
    for n, told in ((36, 0), (35, 1), (32, 1), (31, 0), (27, 0)):
        name = "performance-0" if n >= 28 else "base-0"
        hard = session("limit-bouldering", n, "18:00", block=name)
        found = check_sessions(year, blocks, [*rock, hard], (), book=book_of(year))
        assert sum("before a season" in one.about for one in found) == told, n
