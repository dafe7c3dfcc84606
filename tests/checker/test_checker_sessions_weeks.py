"""Judges of what the sessions of weeks hold: dose, shortfalls, lead-ins, tests."""

from __future__ import annotations

from typing import Any

import pytest
from plan_maker import a_year, absence, block, day, exchanged, injury, season, span, trip
from test_checker_sessions import (
    AEROBIC,
    ASKED,
    BASE,
    FRIDAY,
    PERFORMANCE,
    REST,
    SATURDAY,
    STRENGTH,
    SUNDAY,
    THURSDAY,
    base,
    judged,
    month,
    session,
    told,
    week,
)

from seasonplan.plan import Block, Cause, Session, Shortfall
from seasonplan.year import Year


def short(n: int, missing: int, **fields: Any) -> Shortfall:
    values = {
        "block": "base-0", "span": span(n, 7), "asked_minutes": 273, "missing_minutes": missing,
        "cause": Cause.HOURS,
    } | fields  # fmt: skip
    return Shortfall(**values)


# --- load -----------------------------------------------------------------------------------------


def with_more(minutes: int) -> list[Session]:
    """A month of 1500 a week, the first week with so many minutes of easy aerobic work more."""
    return [*week(0)[:-1], session(AEROBIC, SUNDAY, "10:00", 45 + minutes), *month()[6:]]


@pytest.mark.parametrize(("more", "broken"), [(0, False), (37, False), (38, True)])
def test_a_week_holds_at_most_a_twentieth_and_a_little_more_than_its_aim(
    more: int, broken: bool
) -> None:
    """1500 aimed at; a minute is 4; 5 % and 75, the least change of one session, are let be."""
    found = judged("session-dose", *with_more(more))
    assert [(f.about, f.span) for f in found] == ([("load", span(0, 7))] if broken else [])
    assert [f.found for f in found] == ([pytest.approx(100 * 1652 / 1500)] if broken else [])
    assert [f.limit for f in found] == ([105] if broken else [])


def test_the_dose_follows_the_limit_of_its_rule() -> None:
    loose = a_year(4, rules={"session-dose": {"limit": 6}})
    assert judged("session-dose", *with_more(38), year=loose) == []


def test_days_on_rock_and_tests_are_not_asked_how_much_they_hold() -> None:
    for recipe in ("easy-rock-day", "test-day"):
        assert judged("session-dose", *month(), session(recipe, FRIDAY, "18:00", 60)) == []


def test_too_much_is_reported_in_a_season_and_a_rest_as_well() -> None:
    for kind in (PERFORMANCE, REST):
        year = a_year(4, seasons=[season(0, 28)])
        blocks = [block(kind, 0, 28, week={"aim": 300}, id="base-0")]
        found = judged("session-dose", *week(0), year=year, blocks=blocks)
        assert [f.about for f in found] == ["load"]


# --- what is missing ------------------------------------------------------------------------------


@pytest.mark.parametrize(("less", "broken"), [(56, False), (57, True)])
def test_more_than_15_percent_missing_is_reported_unless_the_plan_says_so(
    less: int, broken: bool
) -> None:
    """1275 of 1500 are enough; a minute of the drills is 4."""
    first = session("technique-drills", 1, "18:00", 60 - less)
    there = [first, *month()[1:]]
    found = judged("session-dose", *there)
    assert [(f.about, f.limit) for f in found] == ([("load", 85)] if broken else [])
    assert [f.found for f in found] == ([pytest.approx(100 * 1272 / 1500)] if broken else [])
    assert judged("session-dose", *there, shortfalls=[short(0, 41)]) == []


def test_a_week_without_sessions_is_reported_unless_the_plan_says_so() -> None:
    rest = month()[6:]
    assert [f.found for f in judged("session-dose", *rest)] == [0]
    assert judged("session-dose", *rest, shortfalls=[short(0, 273)]) == []


def test_what_is_said_to_be_missing_is_missing() -> None:
    """600 of 1500 are missing: 109 minutes at effort 5.5, a tenth and two minutes more or less."""
    there = [*week(0)[:3], session(AEROBIC, SUNDAY, "10:00", 30), *month()[6:]]
    for said in (97, 109, 121):
        assert told("session-dose", *there, shortfalls=[short(0, said)]) == []
    for said in (95, 123):
        (found,) = judged("session-dose", *there, shortfalls=[short(0, said)])
        assert (found.about, found.found) == ("shortfall", said)
        assert found.limit == pytest.approx(600 / 5.5)


def test_nothing_is_said_to_be_missing_where_enough_is_there() -> None:
    assert told("session-dose", *month(), shortfalls=[short(0, 1)]) == ["shortfall"]


def test_too_much_is_reported_whatever_is_said() -> None:
    assert "load" in told("session-dose", *with_more(90), shortfalls=[short(0, 1)])


@pytest.mark.parametrize(
    "fields", [{"block": "base-9"}, {"span": span(-1, 7)}, {"span": span(28, 7)}]
)
def test_a_shortfall_of_no_week_is_reported(fields: dict[str, Any]) -> None:
    stray = short(0, 10, **fields)
    assert told("session-dose", *month(), shortfalls=[stray]) == ["shortfall of no week"]


def test_nothing_is_owed_outside_base_and_strength() -> None:
    year = a_year(4, seasons=[season(0, 28)])
    for kind, broken in ((PERFORMANCE, 0), (REST, 0), (STRENGTH, 4)):
        blocks = [block(kind, 0, 28, week=ASKED)]
        assert len(judged("session-dose", year=year, blocks=blocks)) == broken


def test_days_on_a_trip_are_no_part_of_a_week_at_home() -> None:
    """Friday to Sunday away: Monday to Thursday hold what their own part asks."""
    year = a_year(4, trips=[trip(FRIDAY, 3)])
    home = block(BASE, 0, 4, week={"aim": 780}).weeks
    away = block(BASE, 4, 3).weeks
    blocks = [exchanged(base(), weeks=(*home, *away, *base().weeks[1:]))]
    there = [*week(0)[:3], session("redpoint-day", SATURDAY, "09:00"), *month()[6:]]
    assert judged("session-dose", *there, year=year, blocks=blocks) == []


# --- lead-in --------------------------------------------------------------------------------------


def led_in(
    *before: Block, minutes: float, days: int = 7, year: Year | None = None, **judging: Any
) -> list[tuple[float | None, float | None]]:
    """(found, limit) of what is told of a first week of lead-in with so many minutes."""
    first = sum(one.span.length for one in before)
    lead_in = block(PERFORMANCE, first, days, week={"lead_in": True, "minutes": minutes}).weeks
    whole = block(PERFORMANCE, first, days + 14)
    performing = exchanged(whole, weeks=(*lead_in, *whole.weeks[len(lead_in) :]))
    year = year or a_year(8, seasons=[season(first + days, 14)])
    found = judged("lead-in-volume", year=year, blocks=(*before, performing), **judging)
    assert all((f.strength, f.span) == ("soft", span(first, 7)) for f in found)
    return [(round(f.found or 0.0, 1), f.limit) for f in found]


USUAL = block(BASE, 0, 28, week={"minutes": 500})


@pytest.mark.parametrize(
    ("minutes", "told_of"),
    [(301, (39.8, 41)), (300, ()), (296, ()), (195, ()), (194, (61.2, 60))],
)
def test_minutes_in_a_whole_week_of_lead_in_fall_by_41_to_60_percent(
    minutes: float, told_of: tuple[float, ...]
) -> None:
    """Source: Bosquet 2007, by way of shared/rules.toml; a point more or less is let be."""
    found = led_in(USUAL, minutes=minutes)
    assert found == ([told_of] if told_of else [])


def test_a_lead_in_after_one_normal_week_or_none_is_not_compared() -> None:
    assert led_in(block(BASE, 0, 7, week={"minutes": 500}), minutes=400) == []
    assert led_in(block(BASE, 0, 14, week={"minutes": 500}), minutes=400) == [(20, 41)]
    late = (block(BASE, 0, 14, week={"minutes": 500}), block(REST, 14, 14))
    assert led_in(*late, minutes=400) == [(20, 41)]
    later = (block(BASE, 0, 14, week={"minutes": 500}), block(REST, 14, 21))
    assert led_in(*later, minutes=400) == []


def test_a_light_week_is_no_measure_for_a_lead_in() -> None:
    """42 % less than two full weeks; with the light one between, it would be 33 % less."""
    before = block(BASE, 0, 21, shares=(1.0, 1.0, 0.6))
    assert led_in(before, minutes=0.58 * before.weeks[0].minutes) == []


def test_parts_of_weeks_are_no_lead_in_to_compare() -> None:
    assert led_in(USUAL, minutes=400, days=6) == []


def test_a_lead_in_that_could_hold_neither_more_nor_less_is_not_told() -> None:
    """A week without an hour cannot hold 200 minutes, and no session is shorter than ten."""
    assert led_in(USUAL, minutes=0) == [(100, 60)]
    busy = {each: [(0, 24 * 60)] for each in span(28, 7).days()}
    assert led_in(USUAL, minutes=0, taken=busy) == []
    little = block(BASE, 0, 28, week={"minutes": 16})
    assert led_in(little, minutes=15) == []
    assert led_in(block(BASE, 0, 28, week={"minutes": 17}), minutes=15) != []


# --- test -----------------------------------------------------------------------------------------


STRONG = (block(STRENGTH, 0, 28, id="base-0"),)


def test_a_long_block_without_a_test_at_its_end_is_told_softly() -> None:
    (found,) = judged("session-test", *month(), blocks=STRONG)
    assert (found.strength, found.span, found.blocks) == ("soft", span(21, 7), ("base-0",))
    tested = session("test-day", 21 + THURSDAY, "18:00")
    assert judged("session-test", *month(), tested, blocks=STRONG) == []


def test_a_test_in_an_earlier_week_is_no_test_at_the_end() -> None:
    early = session("test-day", 14 + THURSDAY, "18:00")
    assert len(judged("session-test", early, blocks=STRONG)) == 1


@pytest.mark.parametrize(
    ("kind", "days", "asked"),
    [(BASE, 42, 1), (BASE, 41, 0), (BASE, 46, 0), (BASE, 47, 1), (STRENGTH, 21, 1),
     (STRENGTH, 20, 0), (STRENGTH, 25, 0), (STRENGTH, 26, 1), (REST, 42, 0)],
)  # fmt: skip
def test_only_long_blocks_with_five_days_at_their_end_are_tested(
    kind: Any, days: int, asked: int
) -> None:
    found = judged("session-test", year=a_year(8), blocks=[block(kind, 0, days)])
    assert len(found) == asked


@pytest.mark.parametrize(
    ("away", "left", "asked"), [(2, 0.0, 1), (3, 0.0, 0), (3, 0.4, 0), (3, 0.5, 1)]
)
def test_days_of_an_absence_that_leaves_less_than_half_are_not_days_at_home(
    away: int, left: float, asked: int
) -> None:
    year = a_year(4, absences=[absence(22, away, left=left)])  # Mondays have no time anyway
    assert len(judged("session-test", year=year, blocks=STRONG)) == asked


@pytest.mark.parametrize(("full", "asked"), [(21, 1), (22, 0)])
def test_no_test_is_asked_for_until_two_weeks_after_hard_hangs_were_barred(
    full: int, asked: int
) -> None:
    """Maximal hangs come back four weeks after full; the last week begins on day 63."""
    year = a_year(12, injuries=[injury(0, easy=1, building=3, full=full)])
    found = judged("session-test", year=year, blocks=[block(STRENGTH, 42, 28)])
    assert len(found) == asked


def test_who_does_no_hard_hangs_is_not_tested() -> None:
    off = {
        name: {"on": False} for name in ("fingerboard-short", "fingerboard-long", "season-fingers")
    }
    assert judged("session-test", year=a_year(4, recipes=off), blocks=STRONG) == []


@pytest.mark.parametrize(
    "fields",
    [
        {"sessions": {"has": ["wall"]}},
        {"recipes": {"test-day": {"on": False}}},
        {"climber": {"birth_year": 2013}},
        {"injuries": [injury(20, easy=22, building=25, full=40)]},
    ],
)
def test_who_cannot_be_tested_is_not_told_to(fields: dict[str, Any]) -> None:
    assert judged("session-test", year=a_year(4, **fields), blocks=STRONG) == []


def test_a_test_that_would_spoil_a_trip_or_a_project_is_not_told_to_be_lacking() -> None:
    """Day 27 is the last Sunday: a test loads the fingers hard, four days before is too late."""
    for first, told_of in ((28, 0), (32, 1)):
        year = a_year(6, trips=[trip(first, 9)])
        blocks = [*STRONG, *([block(REST, 28, first - 28)] if first > 28 else [])]
        only_sunday = {day(n): [(0, 24 * 60)] for n in range(21, 27)}
        found = judged("session-test", *month(), year=year, blocks=blocks, taken=only_sunday)
        assert len(found) == told_of
    careless = a_year(6, trips=[trip(28, 9)], rules={"session-fresh": {"on": False}})
    found = judged("session-test", *month(), year=careless, taken=only_sunday, blocks=STRONG)
    assert len(found) == 1


def test_a_test_is_owed_where_the_shortest_one_has_just_time() -> None:
    """Thirty minutes on the last Saturday, and no other free time in that week."""
    for until, told_of in ((10 * 60 + 30, 1), (10 * 60 + 29, 0)):
        taken = {day(n): [(0, 24 * 60)] for n in range(21, 28)}
        taken[day(21 + SATURDAY)] = [(0, 10 * 60), (until, 24 * 60)]
        assert len(judged("session-test", *month(), taken=taken, blocks=STRONG)) == told_of
