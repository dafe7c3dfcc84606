"""Blocks filled with sessions: sums, names, what is over, what was wished, what is missing."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from datetime import date, time
from functools import cache
from itertools import pairwise
from typing import Any

import pytest
from plan_maker import a_year, absence, day, goal, injury, season, trip

from seasonplan.body.response import dose_of, hard_seconds
from seasonplan.body.worth import rock_worth
from seasonplan.days import WEEKDAYS, Span, week_start
from seasonplan.identity import carried
from seasonplan.plan import Block, Cause, Occasion, Session, Shortfall
from seasonplan.planner.accepted import Accepted
from seasonplan.planner.fill import Filled, fill
from seasonplan.planner.rock_day import Taken
from seasonplan.planner.run import Found, best_plan
from seasonplan.planner.search import Search
from seasonplan.recipes import recipes
from seasonplan.rules.statements import book_of
from seasonplan.rules.tables import composing, response_table
from seasonplan.vocabulary import Kind
from seasonplan.year import FixedSession, Year

YEAR = a_year(
    9, seasons=[season(35, 14)], goals=[goal(priority=1)], absences=[absence(21, 6)],
    trips=[trip(56, 5, place="Karst", time_zone="Asia/Tokyo")],
)  # fmt: skip
HURT = a_year(7, injuries=[injury(10, easy=17, building=24, full=31)])
LONG_OFF = a_year(7, injuries=[injury(7, easy=28, building=35, full=42)])
YEARS = {"season": YEAR, "hurt": HURT, "off": LONG_OFF}
TODAY = day(17)  # a Thursday in the third week


@cache
def planned(name: str = "season") -> tuple[Search, Filled]:
    return replanned(YEARS[name])


def replanned(
    year: Year, *, accepted: Accepted | None = None, taken: Taken | None = None,
) -> tuple[Search, Filled]:  # fmt: skip
    """The best plan, its blocks named as those of an accepted one."""
    found = best_plan(year, book=book_of(year), accepted=accepted, taken=taken, confirm=False)
    assert isinstance(found, Found)
    search = found.search
    named = carried(found.blocks, old=accepted.blocks if accepted else (), used=())
    return search, fill(search.weeks, search.candidates, named, accepted=accepted)


def standing(today: date = TODAY, **fields: Any) -> Accepted:
    """The plan as it was accepted."""
    plan = planned()[1]
    return Accepted(
        plan.blocks, today, keep=0.2, sessions=plan.sessions, homes=plan.sessions, **fields
    )


every_year = pytest.mark.parametrize("name", YEARS)


# --- weeks and their sums -------------------------------------------------------------------------


@every_year
def test_weeks_are_the_days_of_their_blocks_each_in_one_calendar_week(name: str) -> None:
    for block in planned(name)[1].blocks:
        assert [d for week in block.weeks for d in week.span.days()] == list(block.span.days())
        for week in block.weeks:
            assert len({week_start(d, 0) for d in week.span.days()}) == 1
        assert all(a.span.after == b.span.first for a, b in pairwise(block.weeks))


@every_year
def test_what_a_week_tells_are_sums_over_its_sessions(name: str) -> None:
    search, plan = planned(name)
    book, told = search.weeks.book, 0
    for week in (week for block in plan.blocks for week in block.weeks):
        there = [one for one in plan.sessions if one.day in week.span]
        load = sum(one.load for one in there)
        active = sum(one.minutes * one.active_share for one in there)
        assert week.load == pytest.approx(load, abs=0.5)
        assert week.minutes == sum(one.minutes for one in there)
        assert week.training_days == len({one.day for one in there})
        assert week.rock_days == len({one.day for one in there if one.role is not None})
        assert week.hard_seconds == sum(hard_seconds(one, book[one.recipe]) for one in there)
        assert week.rpe == (round(load / active, 2) if active else 0.0)
        assert week.max_fingers is any(book[one.recipe].max_fingers for one in there)
        free = sum(search.grid.almanac.minutes(d) for d in week.span.days())
        assert week.free_minutes == pytest.approx(free, abs=0.1)
        told += bool(there)
    assert told >= 5


@every_year
def test_the_score_is_the_worth_of_all_weeks_and_days_on_rock_less_soft_rules(name: str) -> None:
    """And what the search claimed for its path, with what no block changes."""
    search, plan = planned(name)
    values, almanac = search.weeks.values, search.grid.almanac
    points = values.constant
    for week in (week for block in plan.blocks for week in block.weeks):
        there = [one for one in plan.sessions if one.day in week.span]
        dose = dose_of(there, search.weeks.book)
        points += values.of(week.span, dose, sum(one.load for one in there))
    points += sum(rock_worth(almanac, one) for one in plan.sessions)
    points -= sum(cost.points for cost in plan.score.costs)
    assert plan.score.points == pytest.approx(points)
    book = book_of(YEARS[name])
    assert all(c.points == pytest.approx(book[c.rule].weight * c.amount) for c in plan.score.costs)
    chosen = sum(block.kind.chosen for block in plan.blocks)
    assert {c.rule: c.amount for c in plan.score.costs}["few-changes"] == chosen
    best = search.prices.best()
    given = sum(
        values.of(cell.span, week.dose, week.load) + search.weeks.rock_points(week.items)
        for cell in search.grid.cells if cell.given
        for week in [search.weeks.given(cell)]
    )  # fmt: skip
    assert best is not None
    assert best.worth / 1e6 == pytest.approx(plan.score.points - values.constant - given, abs=1e-4)


# --- sessions -------------------------------------------------------------------------------------


@every_year
def test_a_session_lies_in_its_block_and_has_an_id_of_its_own_that_names_its_week(
    name: str,
) -> None:
    plan = planned(name)[1]
    blocks = {block.id: block for block in plan.blocks}
    assert len({one.id for one in plan.sessions}) == len(plan.sessions) > 15
    for one in plan.sessions:
        assert one.day in blocks[one.block].span
        block, monday, recipe = one.id.split("/")
        assert block == one.block and recipe.rpartition("-")[0] == one.recipe
        assert date.fromisoformat(monday) == week_start(one.day, 0)
    keys = [(one.day, one.start, one.id) for one in plan.sessions]
    assert keys == sorted(keys)


def test_the_number_of_a_week_is_that_of_its_block_and_on_rock_of_its_rock() -> None:
    plan = planned()[1]
    firsts: dict[str, list[int]] = defaultdict(list)
    for one in plan.sessions:
        if one.role is None:
            firsts[one.block].append(one.week)
    for block in plan.blocks:
        weeks = firsts.get(block.id, [1])
        assert weeks == sorted(weeks) and weeks[0] in (1, 2)
        assert weeks[-1] <= len(block.weeks)
    rock = [one for one in plan.sessions if one.role is not None]
    first = rock[0].day
    for one in rock:  # the trip goes to the same place a week after the season
        weeks_since = (week_start(one.day, 0) - week_start(first, 0)).days // 7
        assert one.week == 1 + weeks_since


def test_sessions_on_a_trip_are_told_by_its_clock() -> None:
    for one in planned()[1].sessions:
        away = 56 <= (one.day - day(0)).days < 61
        assert one.zone == ("Asia/Tokyo" if away else None)


def test_weeks_of_a_part_that_comes_back_are_counted_from_the_first_day_of_it() -> None:
    plan = planned("hurt")[1]
    back = {one.id for one in plan.blocks if one.kind is Kind.RETURN}
    weeks = {one.day: one.week for one in plan.sessions if one.block in back and one.role is None}
    assert weeks
    assert all(week in (1 + (on - day(17)).days // 7, 1 + (on - day(17)).days // 7 + 1)
               for on, week in weeks.items())  # fmt: skip


def test_weeks_in_which_a_part_bears_nothing_are_counted_from_the_first() -> None:
    plan = planned("off")[1]
    (off,) = [one for one in plan.blocks if one.kind is Kind.INJURED]
    weeks = {one.week: one.day for one in plan.sessions if one.block == off.id}
    assert sorted(weeks) == [1, 2, 3]
    assert all((on - day(7)).days // 7 == week - 1 for week, on in weeks.items())


# --- planned again --------------------------------------------------------------------------------


@pytest.mark.parametrize("number", [0, 7, 17, 38, 45])
def test_with_nothing_new_everything_is_as_it_was(number: int) -> None:
    before = planned()[1]
    after = replanned(YEAR, accepted=standing(day(number), shortfalls=before.shortfalls))[1]
    assert after.blocks == before.blocks
    assert after.sessions == before.sessions
    assert after.shortfalls == before.shortfalls
    assert after.score.points == pytest.approx(before.score.points)


def test_what_is_over_stays_though_the_year_is_another() -> None:
    other = YEAR.with_fields(
        climber=type(YEAR.climber)(
            **{**dict(YEAR.climber), "minutes": {"monday": 60, "thursday": 60}}
        )
    )
    before = planned()[1]
    after = replanned(other, accepted=standing())[1]
    over = [one for one in before.sessions if one.day < TODAY]
    assert [one for one in after.sessions if one.day < TODAY] == over
    assert {one.day.weekday() for one in after.sessions if one.day >= day(28) and not one.role} <= {
        0, 3,
    }  # fmt: skip
    ids = [one.id for one in after.sessions]
    assert len(set(ids)) == len(ids)


def test_a_session_put_off_from_a_week_that_is_over_is_not_lost() -> None:
    before = planned()[1]
    first = next(one for one in before.sessions if one.day < day(14))
    wish = FixedSession(session=first.id, day=day(18), start=time(12))
    year = YEAR.with_fields(fixed_sessions=(wish,))
    moved = tuple(
        Session(**{**dict(one), "day": day(18), "start": time(12)}) if one.id == first.id else one
        for one in before.sessions
    )
    accepted = replace(standing(), sessions=moved)
    (found,) = [one for one in replanned(year, accepted=accepted)[1].sessions if one.id == first.id]
    assert (found.day, found.start) == (day(18), time(12))
    late = replace(standing(day(20)), sessions=moved)
    (found,) = [one for one in replanned(year, accepted=late)[1].sessions if one.id == first.id]
    assert found.day == day(18)


def test_a_session_left_out_is_in_no_sum_and_no_shortfall() -> None:
    before = planned()[1]
    gone = next(one for one in before.sessions if day(7) <= one.day < day(14))
    year = YEAR.with_fields(fixed_sessions=(FixedSession(session=gone.id, skip=True),))
    after = replanned(year, accepted=standing(day(0)))[1]
    assert gone not in after.sessions and len(after.sessions) == len(before.sessions) - 1
    was, now = (
        next(week for block in plan.blocks for week in block.weeks if gone.day in week.span)
        for plan in (before, after)
    )
    assert now.minutes == was.minutes - gone.minutes
    assert now.aim == was.aim
    assert after.shortfalls == before.shortfalls


def test_what_a_goal_had_that_is_over_stays_as_it_was_told() -> None:
    told = planned()[1].score.occasions
    assert {one.entry for one in told} == {"season", "trip"}
    kept = tuple(Occasion(**{**dict(one), "form": 9.0}) for one in told)
    accepted = replace(standing(day(58)), occasions=kept)
    found = {one.entry: one.form for one in replanned(YEAR, accepted=accepted)[1].score.occasions}
    assert found["season"] == 9.0 and found["trip"] != 9.0


# --- what is missing ------------------------------------------------------------------------------

BUSY: Taken = {day(n): ((0, 1440),) for n in (1, 2, 3, 5)}  # most of the first week


def missing_by_hand(search: Search, plan: Filled) -> dict[Span, tuple[int, int]]:
    """Asked and missing minutes, at the usual effort, of weeks far below what they aim at."""
    fit, found = composing().fit, {}
    for block in plan.blocks:
        if block.kind not in (Kind.BASE, Kind.STRENGTH):
            continue
        for week in block.weeks:
            load = sum(one.load for one in plan.sessions if one.day in week.span)
            if load < response_table().filled * week.aim:
                asked = round(week.aim / fit.missing_rpe)
                found[week.span] = asked, max(1, round((week.aim - load) / fit.missing_rpe))
    return found


@pytest.mark.parametrize("taken", [{}, BUSY], ids=["free", "busy"])
def test_weeks_that_hold_much_less_than_they_aim_at_say_how_much_and_others_say_nothing(
    taken: Taken,
) -> None:
    search, plan = replanned(YEAR, taken=taken)
    told = {one.span: (one.asked_minutes, one.missing_minutes) for one in plan.shortfalls}
    assert told == missing_by_hand(search, plan)
    assert bool(taken) <= (Span(day(0), day(7)) in told)
    for one in plan.shortfalls:
        assert one.span.first in next(b.span for b in plan.blocks if b.id == one.block)


def test_the_week_after_one_that_has_begun_is_judged_and_what_is_left_of_that_is_not() -> None:
    """Today is the Thursday of the second week; the third is taken by a calendar."""
    taken: Taken = {day(n): ((0, 1440),) for n in range(14, 20)}
    after = replanned(YEAR, accepted=standing(day(10)), taken=taken)[1]
    told = {one.span.first for one in after.shortfalls}
    assert day(14) in told and not {day(7), day(10)} & told


def test_busy_hours_are_told_as_the_cause_where_the_usual_week_would_hold_it() -> None:
    plan = replanned(YEAR, taken=BUSY)[1]
    causes = {one.span.first: one.cause for one in plan.shortfalls}
    assert causes[day(0)] is Cause.BUSY


def test_what_an_absence_takes_is_the_cause_though_shreds_of_its_days_are_left() -> None:
    """The user was told to spread her hours over more days, in a week of exams: of each evening
    too little was left for the wall and the way there."""
    evenings = {"monday": 120, "wednesday": 120, "friday": 120, "saturday": 180}
    year = a_year(
        8, absences=[absence(28, 19, left=0.4)], before={"weekly_load": (1900.0,) * 4},
        climber={"minutes": evenings, "wall_travel_minutes": 30},
        sessions={"has": ["hangboard", "wall", "weights", "partner"]},
    )  # fmt: skip
    found = {one.cause for one in replanned(year)[1].shortfalls if one.span.first >= day(28)}
    assert found == {Cause.BUSY}


def test_free_time_that_is_left_over_is_not_told_as_too_little() -> None:
    """Who did 4,500 a week, most of it on rock, and has nothing but a hangboard at home: there is
    too little to train on."""
    rock = {"rock_days": ["wednesday", "saturday", "sunday"], "rock_minutes": 420}
    free = {"minutes": dict.fromkeys(WEEKDAYS, 130)}
    out = {"name": "Out", "discipline": "sport", "first": day(0), "last": day(69), "minutes": 300}
    few = a_year(
        10, sessions={"has": ["hangboard", "partner"]}, before={"weekly_load": (4500.0,) * 4},
        climber={**rock, **free}, outings=[{**out, "weeks": 1}],
    )  # fmt: skip
    plan = replanned(few)[1]
    assert plan.shortfalls and {one.cause for one in plan.shortfalls} == {Cause.SPACING}


def test_what_was_missing_in_days_that_are_over_is_still_told_in_the_block_that_has_them() -> None:
    before = planned()[1]
    first = next(b for b in before.blocks if b.kind in (Kind.BASE, Kind.STRENGTH))
    week = first.weeks[0].span
    old = Shortfall(block="gone", span=week, asked_minutes=90, missing_minutes=30, cause="busy")
    told = replanned(YEAR, accepted=standing(shortfalls=(old,)))[1].shortfalls
    assert Shortfall(**{**dict(old), "block": first.id}) in told
    rest = Shortfall(**{**dict(old), "span": Span(day(21), day(27))})  # no block of training has it
    assert rest not in replanned(YEAR, accepted=standing(day(28), shortfalls=(rest,)))[1].shortfalls


def test_with_the_rule_off_nothing_is_missing() -> None:
    book = book_of(YEAR).without("session-dose")
    found = best_plan(YEAR, book=book, taken=BUSY, confirm=False)
    assert isinstance(found, Found)
    search = found.search
    assert fill(search.weeks, search.candidates, found.blocks).shortfalls == ()


def test_blocks_that_came_about_otherwise_are_filled_as_well() -> None:
    """All base, whatever the rules say: cells alone must be met."""
    search, plan = planned()
    blocks = tuple(
        Block(**{**dict(b), "kind": Kind.BASE, "emphasis": "endurance", "light_first": 0})
        if b.kind.chosen else b
        for b in plan.blocks
    )  # fmt: skip
    filled = fill(search.weeks, search.candidates, blocks)
    assert [b.kind for b in filled.blocks] == [b.kind for b in blocks]
    known = recipes()
    for one in filled.sessions:
        kind = next(b.kind for b in filled.blocks if one.day in b.span)
        assert one.role is not None or kind in known[one.recipe].kinds


def test_strength_straight_after_rest_is_told_as_often_as_it_is() -> None:
    """Rest and strength in turns, and once with days off between."""
    search, _ = planned()
    grid = search.grid
    kinds = [Kind.REST, Kind.STRENGTH]
    blocks = []
    for cell in grid.cells:
        given = cell.given
        if given is not None:
            blocks.append(Block(id=f"g-{cell.index}", kind=given.kind, span=cell.span, weeks=()))
            continue
        kind = kinds[len(blocks) % 2]
        blocks.append(Block(id=f"b-{cell.index}", kind=kind, span=cell.span, weeks=()))
    straight = sum((a.kind, b.kind) == tuple(kinds) for a, b in pairwise(blocks))
    costs = {c.rule: c.amount for c in fill(search.weeks, search.candidates, blocks).score.costs}
    assert costs["base-first"] == straight >= 2
