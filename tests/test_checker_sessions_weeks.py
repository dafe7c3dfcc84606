"""Judges of what the sessions of weeks hold: dose, shortfalls, fingers, progression, tests."""

from __future__ import annotations

from typing import Any

import pytest
from plan_maker import a_year, block, exchanged, injury, season, span, trip
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
    TUESDAY,
    WEDNESDAY,
    base,
    judged,
    month,
    session,
    told,
    week,
)

from seasonplan.plan import Block, Cause, Loads, Session, Shortfall
from seasonplan.recipes import finger_sessions, fingerboard_load
from seasonplan.vocabulary import Spread


def short(n: int, missing: int, **fields: Any) -> Shortfall:
    values = {
        "block": "base-0", "span": span(n, 7), "asked_minutes": 375, "missing_minutes": missing,
        "cause": Cause.HOURS,
    } | fields  # fmt: skip
    return Shortfall(**values)


# --- load -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("more", "limit"), [(0, None), (18, None), (20, 105), (-18, None), (-20, 95)]
)
def test_a_week_may_be_off_its_load_by_a_twentieth(more: int, limit: float | None) -> None:
    """1500 asked; a minute of easy aerobic work is 4."""
    last = session(AEROBIC, SUNDAY, "10:00", 45 + more)
    found = judged("session-dose", *week(0)[:-1], last, *month()[6:])
    assert [f.limit for f in found] == ([] if limit is None else [limit])
    if found:
        assert found[0].found == pytest.approx(100 * (1500 + 4 * more) / 1500)
        assert (found[0].span, found[0].about) == (span(0, 7), "load")


def test_a_week_without_sessions_is_reported_unless_the_plan_says_so() -> None:
    rest = month()[6:]
    assert [f.found for f in judged("session-dose", *rest)] == [0]
    assert judged("session-dose", *rest, shortfalls=[short(0, 375)]) == []


def test_what_is_said_to_be_missing_is_missing() -> None:
    """900 of 1500 are there, so 150 of 375 minutes are missing; a tenth of 375 is 37."""
    there = [*week(0)[:3], session(AEROBIC, SUNDAY, "10:00", 30), *month()[6:]]
    for said in (114, 150, 186):
        assert told("session-dose", *there, shortfalls=[short(0, said)]) == []
    for said in (110, 190):
        (found,) = judged("session-dose", *there, shortfalls=[short(0, said)])
        assert (found.about, found.found, found.limit) == ("shortfall", said, 150)


def test_too_much_is_reported_whatever_is_said() -> None:
    more = session(AEROBIC, SUNDAY, "10:45", 90)
    assert "load" in told("session-dose", *month(), more, shortfalls=[short(0, 1)])


@pytest.mark.parametrize(
    "fields", [{"block": "base-9"}, {"span": span(1, 6)}, {"span": span(28, 7)}]
)
def test_a_shortfall_of_no_week_is_reported(fields: dict[str, Any]) -> None:
    stray = short(0, 10, **fields)
    assert told("session-dose", *month(), shortfalls=[stray]) == ["shortfall of no week"]


def test_a_shortfall_with_other_minutes_asked_is_reported() -> None:
    wrong = short(0, 1, asked_minutes=300)
    assert told("session-dose", *month(), shortfalls=[wrong]) == ["minutes asked"]


def test_days_on_a_trip_are_no_part_of_a_week_at_home() -> None:
    """Friday to Sunday away: Monday to Thursday hold what their own week asks."""
    year = a_year(4, trips=[trip(FRIDAY, 3)])
    home = block(BASE, 0, 4, week=ASKED | {"loads": Loads(endurance=780)}).weeks
    away = block(BASE, 4, 3).weeks
    blocks = [exchanged(base(), weeks=(*home, *away, *base().weeks[1:]))]
    out = session("redpoint-day", SATURDAY, "09:00")
    assert judged("session-dose", *week(0)[:3], out, *month()[6:], year=year, blocks=blocks) == []


def test_the_dose_follows_the_limit_of_its_rule() -> None:
    last = session(AEROBIC, SUNDAY, "10:00", 25)
    sessions = [*week(0)[:-1], last, *month()[6:]]
    loose = a_year(4, rules={"session-dose": {"limit": 6}})
    assert judged("session-dose", *sessions, year=loose) == []


# --- fingers --------------------------------------------------------------------------------------

FINGERS = {"loads": Loads(finger_strength=600, endurance=900)}


def on_board(spread: Spread) -> list[Session]:
    """A week's finger dose of that spread, one a day from the first day, at any hour."""
    rows = finger_sessions(fingerboard_load(600), spread=spread)
    lengths = [(row.recipe, row.minutes) for row in rows for _ in range(row.count)]
    return [session(recipe, n, "18:00", length) for n, (recipe, length) in enumerate(lengths)]


def fingers(*sessions: Session, **wishes: Any) -> list[tuple[str, float | None]]:
    year = a_year(4, sessions=wishes)
    blocks = [block(BASE, 0, 7, week=ASKED | FINGERS)]
    found = judged("session-dose", *sessions, year=year, blocks=blocks)
    return [(f.about, f.limit) for f in found if f.about == "fingers"]


@pytest.mark.parametrize("spread", list(Spread))
def test_the_finger_dose_of_the_chosen_spread_is_asked(spread: Spread) -> None:
    sessions = on_board(spread)
    assert fingers(*sessions, spread=spread) == []
    assert fingers(*sessions[1:], spread=spread) == [("fingers", 95)]
    assert fingers(*sessions, sessions[0], spread=spread) == [("fingers", 105)]


def test_climbing_is_no_fingerboard_work() -> None:
    assert fingers(session("intermittent-hangs", 1, "18:00")) == [("fingers", 95)]


def test_no_hangboard_no_finger_dose() -> None:
    assert fingers(has=["wall"]) == []


def test_missing_finger_work_may_be_said() -> None:
    year, blocks = a_year(4), [block(BASE, 0, 7, week=ASKED | FINGERS)]
    lacking = sum(s.minutes for s in on_board(Spread.LITTLE_AND_OFTEN))
    rest = week(0)
    for said, about in ((lacking, []), (lacking + 60, ["shortfall"])):
        found = told("session-dose", *rest, year=year, blocks=blocks, shortfalls=[short(0, said)])
        assert found == about


def test_the_hurt_owe_no_finger_work() -> None:
    hurt = injury(-2, easy=7, building=14, full=21)
    year, blocks = a_year(4, injuries=[hurt]), [block(BASE, 0, 7, week=ASKED | FINGERS)]
    assert told("session-dose", *week(0), year=year, blocks=blocks) == []


def test_the_young_owe_the_light_dose_whatever_spread_they_wish() -> None:
    year = a_year(4, climber={"birth_year": 2013}, sessions={"spread": "few and long"})
    blocks = [block(BASE, 0, 7, week=ASKED | FINGERS)]
    light = on_board(Spread.LITTLE_AND_OFTEN)
    assert "fingers" not in told("session-dose", *light, year=year, blocks=blocks)
    assert "fingers" in told("session-dose", year=year, blocks=blocks)


# --- progression ----------------------------------------------------------------------------------


def falling(*asked: float) -> list[Block]:
    """One base block whose weeks ask so much load each."""
    weeks = [
        each
        for n, load in enumerate(asked)
        for each in block(BASE, 7 * n, 7, week=ASKED | {"loads": Loads(endurance=load)}).weeks
    ]
    return [exchanged(base(7 * len(asked)), weeks=tuple(weeks))]


def test_a_light_week_that_is_not_light_is_reported() -> None:
    blocks = falling(1500, 900)
    same = [*week(0), *week(7)]
    (found,) = judged("session-progression", *same, blocks=blocks)
    assert (found.span, found.found, found.limit) == (span(7, 7), 1500, 1500)
    lighter = [*week(0), *week(7)[:-1]]
    assert judged("session-progression", *lighter, blocks=blocks) == []


def test_a_rise_is_judged_as_a_fall_is() -> None:
    (found,) = judged("session-progression", *week(0), *week(7), blocks=falling(900, 1500))
    assert found.span == span(0, 7)


def test_a_heavy_week_that_could_not_be_filled_is_no_measure() -> None:
    blocks, sessions = falling(1500, 900), [*week(0)[:2], *week(7)[:4]]
    assert len(judged("session-progression", *sessions, blocks=blocks)) == 1
    said = [short(0, 255)]
    assert judged("session-progression", *sessions, blocks=blocks, shortfalls=said) == []


def test_weeks_that_ask_nearly_the_same_may_lie_either_way() -> None:
    blocks = falling(1500, 1400)
    assert judged("session-progression", *week(0)[:-1], *week(7), blocks=blocks) == []


@pytest.mark.parametrize(("minutes", "reported"), [(85, False), (90, True)])
def test_a_lead_in_stays_below_a_full_week(minutes: int, reported: bool) -> None:
    """Full 300 minutes at RPE 4: with 41 % off and a twentieth in doubt at most 743."""
    lead_in = ASKED | {
        "lead_in": True, "full_minutes": 300, "rpe": 4, "loads": Loads(endurance=700),
    }  # fmt: skip
    blocks = [block(PERFORMANCE, 0, 7, week=lead_in)]
    year = a_year(4, seasons=[season(7, 21)])
    done = [
        session(AEROBIC, n, "18:00", length, block="performance-0")
        for n, length in ((TUESDAY, 60), (WEDNESDAY, 40), (THURSDAY, minutes))
    ]
    assert bool(judged("session-progression", *done, year=year, blocks=blocks)) is reported


def test_without_the_rule_on_dose_nobody_judges_progression() -> None:
    off = a_year(4, rules={"session-dose": {"on": False}})
    same = [*week(0), *week(7)]
    assert judged("session-progression", *same, year=off, blocks=falling(1500, 900)) == []


# --- test -----------------------------------------------------------------------------------------


def test_a_long_block_without_a_test_at_its_end_is_told_softly() -> None:
    (found,) = judged("session-test", *month())
    assert (found.strength, found.span, found.blocks) == ("soft", span(21, 7), ("base-0",))
    tested = session("test-day", 21 + THURSDAY, "18:00")
    assert judged("session-test", *month(), tested) == []


def test_a_test_in_an_earlier_week_is_no_test_at_the_end() -> None:
    assert len(judged("session-test", session("test-day", 14 + THURSDAY, "18:00"))) == 1


@pytest.mark.parametrize(
    ("kind", "days", "asked"),
    [(BASE, 28, 1), (STRENGTH, 21, 1), (BASE, 20, 0), (BASE, 25, 0), (REST, 28, 0)],
)
def test_only_long_blocks_with_five_days_at_their_end_are_tested(
    kind: Any, days: int, asked: int
) -> None:
    blocks = [block(kind, 0, days)]
    assert len(judged("session-test", blocks=blocks)) == asked


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
    assert judged("session-test", year=a_year(4, **fields)) == []
