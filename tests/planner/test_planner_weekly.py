"""What a week of the year asks for: load by its kind and role, hangs, tests, what is over."""

from __future__ import annotations

from functools import cache
from itertools import product
from typing import Any

import pytest
from plan_maker import a_year, absence, block, day, exchanged, goal, injury, season, span, trip

from seasonplan.body.almanac import Almanac
from seasonplan.body.response import dose_of
from seasonplan.injury import fill_share, just_happened
from seasonplan.plan import Session
from seasonplan.planner.accepted import Accepted
from seasonplan.planner.candidates import Candidates, Role, Variant
from seasonplan.planner.fill import fill
from seasonplan.planner.grid import Column, Grid
from seasonplan.planner.menus import finger_table, making
from seasonplan.planner.run import Found, best_plan
from seasonplan.planner.standing import TEST
from seasonplan.planner.weeks import ComposedWeek, Weeks
from seasonplan.rules.statements import RuleBook, book_of
from seasonplan.rules.tables import response_table, week_shares
from seasonplan.vocabulary import CHOSEN, EMPHASES, Emphasis, Kind, RockRole
from seasonplan.year import Before, Year

DAILY = {"minutes": dict.fromkeys(
    ("monday", "tuesday", "wednesday", "thursday", "saturday", "sunday"), 180
)}  # fmt: skip
MODEST = Before(weekly_load=(1500.0,) * 6, hard_finger_sessions=2.0)


def roomy(weeks: int = 8, **fields: Any) -> Year:
    """Three hours on six days, far more than the load of before fills."""
    climber = DAILY | fields.pop("climber", {})
    return a_year(weeks, climber=climber, before=fields.pop("before", MODEST), **fields)


def weeks_of(year: Year, *, rules: RuleBook | None = None, **fields: Any) -> Weeks:
    accepted = fields.pop("accepted", None)
    grid = Grid(Almanac(year), accepted=accepted)
    return Weeks(grid, rules or book_of(year), **fields)


@cache
def free_weeks() -> Weeks:
    return weeks_of(roomy())


def week(
    weeks: Weeks, kind: Kind, number: int, *, emphasis: Emphasis | None = None, **role: bool
) -> ComposedWeek:
    """The week in which a day lies, in a block of that kind."""
    cell = next(cell for cell in weeks.grid.cells if day(number) in cell.span)
    return weeks.week(cell, Role(kind, emphasis or EMPHASES[kind][0], **role))


KINDS = (Kind.BASE, Kind.STRENGTH, Kind.REST)


# --- load -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", KINDS)
def test_a_week_aims_at_the_share_of_its_kind_and_holds_as_much(kind: Kind) -> None:
    """shared/blocks.toml: base all of the level, strength 0.95, rest 0.3 of it."""
    shares = {Kind.BASE: 1.0, Kind.STRENGTH: 0.95, Kind.REST: 0.3}
    assert getattr(week_shares(), kind.value) == shares[kind]
    weeks = free_weeks()
    for number in range(0, 56, 7):
        found = week(weeks, kind, number)
        level = weeks.levels.of(day(number)).load
        assert found.aim == round(shares[kind] * level)
        assert found.load <= 1.05 * found.aim + 75  # weeks.toml: slack_load
        if kind is not Kind.REST:
            assert found.load >= response_table().filled * found.aim


def test_the_sums_of_a_week_are_those_of_its_sessions() -> None:
    weeks = free_weeks()
    for kind, number in product(KINDS, (0, 21, 49)):
        for emphasis in EMPHASES[kind]:
            found = week(weeks, kind, number, emphasis=emphasis)
            sessions = [
                Session(
                    id=str(n), block="b", recipe=one.recipe.id, day=one.day, minutes=one.minutes,
                    start="12:00", rpe=one.recipe.rpe, hangs=one.hangs,
                    active_share=one.recipe.active_share,
                )
                for n, one in enumerate(found.items)
            ]  # fmt: skip
            assert found.load == pytest.approx(sum(one.load for one in sessions))
            assert found.dose == pytest.approx(dose_of(sessions, weeks.book))
            assert weeks.rock_points(found.items) == 0


def hard_seconds(found: ComposedWeek) -> int:
    return sum(one.hangs * one.recipe.hang_seconds for one in found.items if one.recipe.hard_hangs)


def hard_courses(found: ComposedWeek) -> int:
    """Hard sessions but hangs."""
    return sum(bool(one.recipe.hard_on and not one.recipe.hang_seconds) for one in found.items)


@pytest.mark.parametrize("kind", [Kind.BASE, Kind.STRENGTH])
def test_a_light_week_is_lighter_than_a_normal_one_really_is(kind: Kind) -> None:
    little = {"minutes": {"tuesday": 45, "friday": 45}}
    for year in (roomy(), a_year(8), a_year(8, climber=little)):
        weeks = weeks_of(year)
        for number in (0, 21, 49):
            for emphasis in EMPHASES[kind]:
                normal = week(weeks, kind, number, emphasis=emphasis)
                light = week(weeks, kind, number, emphasis=emphasis, light=True)
                assert light.aim <= week_shares().light * normal.load + 1
                assert light.load < normal.load
                assert hard_courses(light) <= hard_courses(normal)
                assert hard_seconds(light) <= 0.5 * hard_seconds(normal) + 30


def test_after_a_week_that_life_made_small_a_light_week_is_smaller_still() -> None:
    year = roomy(absences=[absence(14, 4, left=0.0)])
    weeks, plain = weeks_of(year), free_weeks()
    after, usual = (week(one, Kind.BASE, 21, light=True) for one in (weeks, plain))
    assert after.aim < usual.aim
    least = 0.4 * week(weeks, Kind.BASE, 21).load  # weeks.toml: light_least
    assert after.aim >= round(least) - 1


def test_a_lead_in_holds_less_than_half_of_a_weeks_load_where_the_rule_is_on() -> None:
    year = roomy(seasons=[season(28, 14)], goals=[goal()])
    for rules, share in ((book_of(year), 0.47), (book_of(year).without("lead-in-volume"), 0.95)):
        weeks = weeks_of(year, rules=rules)
        found = week(weeks, Kind.PERFORMANCE, 21, lead_in=True)
        assert found.aim == round(share * weeks.levels.of(day(21)).load)


def test_a_bound_on_a_week_bounds_what_it_holds() -> None:
    weeks = weeks_of(roomy(), caps={day(14): 500.0})
    assert week(weeks, Kind.BASE, 14).aim == 500
    assert week(weeks, Kind.BASE, 14).load <= 1.05 * 500 + 75
    assert week(weeks, Kind.BASE, 21).aim == week(free_weeks(), Kind.BASE, 21).aim


def test_no_menu_asks_for_more_than_the_fullest_free_week_holds_of_it() -> None:
    """Little time, a lot of load before."""
    year = a_year(6, climber={"minutes": {"tuesday": 45, "friday": 45}},
                  before=Before(weekly_load=(3000.0,) * 4))  # fmt: skip
    weeks = weeks_of(year)
    for kind in (Kind.BASE, Kind.STRENGTH):
        for emphasis in EMPHASES[kind]:
            found = [week(weeks, kind, n, emphasis=emphasis) for n in range(0, 42, 7)]
            assert all(one.aim <= 90 * 10 for one in found)  # ninety minutes at effort ten
            assert all(one.load >= 0.85 * one.aim for one in found)
    away = weeks_of(year.with_fields(trips=(trip(14, 3, chance=0.0),)))
    for emphasis in EMPHASES[Kind.BASE]:  # four days of seven at home
        cut, whole = (week(away, Kind.BASE, n, emphasis=emphasis).aim for n in (14, 21))
        assert cut <= 4 / 7 * whole + 1


def test_the_first_weeks_back_hold_their_shares() -> None:
    """shared/blocks.toml, after 21 days off: 0.5, 0.65 and 0.8 of a level that fell as well."""
    weeks = weeks_of(roomy(12, absences=[absence(21, 21)]))
    for number, share in ((42, 0.5), (49, 0.65), (56, 0.8), (63, 1.0)):
        level = weeks.levels.of(day(number)).load
        assert week(weeks, Kind.BASE, number).aim == round(share * level)
    loose = weeks_of(roomy(12, absences=[absence(21, 21)]),
                     rules=book_of(roomy()).without("build-back"))  # fmt: skip
    assert week(loose, Kind.BASE, 42).aim == round(loose.levels.of(day(42)).load)


def test_hangs_of_a_week_back_go_no_further_than_its_share_of_the_most_load() -> None:
    """A climber of whom one short session is a large part of a week."""
    for load, off in product((250.0, 320.0, 450.0), (5, 10, 21)):
        year = a_year(10, absences=[absence(42 - off, off)], before=Before(weekly_load=(load,) * 6))
        for rules in (book_of(year), book_of(year).without("build-back")):
            weeks = weeks_of(year, rules=rules)
            level = weeks.levels.of(day(42))
            for kind in (Kind.BASE, Kind.STRENGTH):
                for emphasis in EMPHASES[kind]:
                    found = week(weeks, kind, 42, emphasis=emphasis)
                    most = max(1.05 * found.aim, level.share * weeks.levels.body.top)
                    slack = 0.0 if rules.active("build-back") else 75.0
                    assert found.load <= most + slack + 1


# --- what it is named for, hangs, tests -----------------------------------------------------------


def test_a_block_holds_what_it_is_named_for_in_every_normal_week() -> None:
    weeks = free_weeks()
    for kind, number in product((Kind.BASE, Kind.STRENGTH), (0, 14, 35)):
        for emphasis in EMPHASES[kind]:
            makes = making(kind, emphasis)
            there = {one.recipe.id for one in week(weeks, kind, number, emphasis=emphasis).items}
            assert not makes or makes & there, (kind, emphasis, there)


def test_hangs_of_a_week_are_no_more_than_its_level_and_its_load_allow() -> None:
    table = finger_table()
    for year in (roomy(), a_year(8)):
        weeks = weeks_of(year)
        for kind, number in product((Kind.BASE, Kind.STRENGTH), range(0, 56, 7)):
            for emphasis in EMPHASES[kind]:
                found = week(weeks, kind, number, emphasis=emphasis)
                hung = [one for one in found.items if one.recipe.hard_hangs]
                seconds = sum(one.hangs * one.recipe.hang_seconds for one in hung)
                name = f"{kind.value} {emphasis.value}"
                most = min(
                    table.seconds.get(name, 0.0), weeks.levels.of(day(number)).hang_seconds,
                    table.bound["seconds_a_load"] * found.aim,
                )  # fmt: skip
                fewest = [one.recipe.hangs[0] * one.recipe.hang_seconds for one in hung]
                assert seconds <= max([most + 5, *fewest])


def test_a_test_is_due_in_the_last_week_of_a_long_block_if_five_days_are_at_home() -> None:
    def due(year: Year, kind: Kind, first: int, days: int, *, book: RuleBook | None = None) -> bool:
        grid = Grid(Almanac(year))
        low, high = grid.cells_of(span(first, days))
        column = Column(kind, low, high, span(first, days))
        candidates = Candidates(grid, book or book_of(year))
        roles = [role for _, role in candidates.roles(column, Variant(EMPHASES[kind][0]))]
        assert not any(role.test for role in roles[:-1])
        return roles[-1].test

    year = roomy()
    for kind, weeks in product(CHOSEN, range(2, 8)):
        asked = {Kind.BASE: 6, Kind.STRENGTH: 3}.get(kind, 99)
        assert due(year, kind, 49 - 7 * weeks, 7 * weeks) is (weeks >= asked)
    for days, tested in ((4, False), (5, True)):
        cut = roomy(trips=[trip(21 + days, 7)])
        assert due(cut, Kind.STRENGTH, 0, 21 + days) is tested
    for away, left, tested in ((2, 0.0, True), (3, 0.0, False), (3, 0.5, True)):
        at_work = roomy(absences=[absence(21, away, left=left)])
        assert due(at_work, Kind.STRENGTH, 0, 28) is tested
    assert not due(year, Kind.STRENGTH, 0, 28, book=book_of(year).without("session-test"))


def test_no_test_is_due_where_hard_hangs_were_barred_or_are_done_by_nobody() -> None:
    """Maximal hangs come back four weeks after full, a test two weeks later (shared/menus.toml)."""

    def last(**fields: Any) -> bool:
        year = a_year(12, **fields)
        grid = Grid(Almanac(year))
        column = Column(Kind.STRENGTH, *grid.cells_of(span(42, 28)), span(42, 28))
        candidates = Candidates(grid, book_of(year), usable=weeks_of(year).usable)
        *_, (_, role) = candidates.roles(column, Variant(Emphasis.FINGERS))
        return role.test

    hurt = {full: [injury(0, easy=1, building=3, full=full)] for full in (21, 22)}
    assert last(injuries=hurt[21]) and not last(injuries=hurt[22])
    assert last(injuries=hurt[22], rules={"injury-caps": {"on": False}})
    names = ("fingerboard-short", "fingerboard-long", "season-fingers")
    assert last(recipes={name: {"on": False} for name in names[:2]})
    assert not last(recipes={name: {"on": False} for name in names})


def test_a_week_in_which_a_test_is_due_holds_one_and_no_other_week_does() -> None:
    weeks = free_weeks()
    for kind in (Kind.BASE, Kind.STRENGTH):
        last = [one.recipe.id for one in week(weeks, kind, 21, test=True).items]
        assert last.count(TEST) == 1
        assert TEST not in [one.recipe.id for one in week(weeks, kind, 21).items]


def test_recipes_count_as_usable_where_some_day_is_long_enough_for_them() -> None:
    short = weeks_of(a_year(6, climber={"minutes": {"tuesday": 25, "friday": 25}}))
    for name in short.usable:
        recipe = short.book[name]
        assert recipe.least_minutes <= 25
    assert "limit-bouldering" in free_weeks().usable
    assert "limit-bouldering" not in short.usable
    far = weeks_of(a_year(6, climber={"minutes": {"tuesday": 70}, "wall_travel_minutes": 30}))
    assert "limit-bouldering" not in far.usable


# --- given weeks ----------------------------------------------------------------------------------


def test_weeks_away_hold_nothing_and_on_a_trip_only_rock() -> None:
    year = roomy(absences=[absence(14, 7)], trips=[trip(28, 7)], goals=[goal(place="Isle")])
    weeks = weeks_of(year)
    for cell in weeks.grid.cells:
        if cell.given is None:
            continue
        found = weeks.given(cell)
        assert found.aim == 0
        assert all(one.role is not None for one in found.items)
        assert bool(found.items) is (cell.given.kind is Kind.TRIP)
        rock = weeks.rock
        easy = response_table().easy_day
        points = sum(rock[one.day].counts * (1 if one.role is RockRole.PROJECT else easy)
                     for one in found.items)  # fmt: skip
        assert weeks.rock_points(found.items) == pytest.approx(points)


def test_while_a_part_is_hurt_what_is_possible_fills_a_share_of_the_week() -> None:
    year = roomy(injuries=[injury(14, easy=21, building=28, full=35)])
    weeks, day_14 = weeks_of(year), year.injuries[0].happened
    seen = 0
    for cell in weeks.grid.cells:
        if cell.given is None:
            continue
        hurts = weeks.almanac.hurts(cell.span.first)
        found, level = weeks.given(cell), weeks.levels.of(cell.span.first)
        free = {day for day in cell.span.days() if just_happened(day_14, day)}
        most = round(level.load * fill_share(hurts) * (cell.span.length - len(free)) / 7)
        assert free.isdisjoint(one.day for one in found.items)
        assert 0 < found.aim <= most
        assert found.aim == most or cell.given.kind is Kind.RETURN  # which begins at half
        assert found.load <= 1.05 * found.aim
        hangs = {one.day for one in found.items if one.recipe.hang_seconds}
        assert len(hangs) <= 3  # weeks.toml: hurt_light_sessions
        seen += 1
    assert seen == 3


# --- the part that is over ------------------------------------------------------------------------


@cache
def begun() -> tuple[Weeks, Accepted]:
    """Base in four weeks, today the Thursday of the second, which is as full as the first days."""
    year = roomy()
    found = best_plan(year, book=book_of(year), confirm=False)
    assert isinstance(found, Found)
    search = found.search
    plan = fill(search.weeks, search.candidates, found.blocks)
    accepted = Accepted(plan.blocks, day(10), sessions=plan.sessions, homes=plan.sessions)
    return weeks_of(year, accepted=accepted), accepted


def test_the_rest_of_a_week_holds_no_more_than_what_is_over_leaves_of_it() -> None:
    weeks, accepted = begun()
    spent = sum(one.load for one in accepted.sessions if day(7) <= one.day < day(10))
    assert spent > 0
    whole = weeks.levels.of(day(7)).load
    rest = next(cell for cell in weeks.grid.cells if cell.span.first == day(10))
    for kind in (Kind.BASE, Kind.STRENGTH):
        found = weeks.week(rest, Role(kind, EMPHASES[kind][-1]))
        share = getattr(week_shares(), kind.value)
        assert found.aim <= max(0.0, share * whole - spent) + 1


def test_what_is_over_of_a_week_counts_with_the_rest_in_one_block_and_apart_in_two() -> None:
    """In one block its dose draws with that of the rest, so both are worth what a whole week is."""
    weeks, accepted = begun()
    rest = next(cell for cell in weeks.grid.cells if cell.span.first == day(10))
    begins = next(cell for cell in weeks.grid.cells if cell.span.first == day(7))
    over = [one for one in accepted.sessions if one.day in begins.span]
    load = sum(one.load for one in over)
    alone = weeks.values.of(begins.span, dose_of(over, weeks.book), load)
    assert weeks.worth_over(begins.index) == pytest.approx(alone)
    assert weeks.worth_over(rest.index) == 0.0
    candidates, variant = Candidates(weeks.grid, weeks.rules), Variant(EMPHASES[Kind.BASE][0])
    one, two = (
        candidates.role(Column(Kind.BASE, first, rest.index, span(0, 14)), rest, variant)
        for first in (0, rest.index)
    )
    assert (one.goes_on, two.goes_on) == (True, False)
    found = weeks.week(rest, one)
    dose = tuple(a + b for a, b in zip(dose_of(over, weeks.book), found.dose, strict=True))
    together = weeks.values.of(span(7, 7), dose, load + found.load)
    rock = weeks.rock_points(found.items)
    assert weeks.amount(rest, one).points == pytest.approx(together + rock)
    apart = weeks.values.of(rest.span, found.dose, found.load)
    assert weeks.amount(rest, two).points == pytest.approx(apart + rock)


def test_what_was_planned_for_the_rest_of_the_week_stays() -> None:
    weeks, accepted = begun()
    rest = next(cell for cell in weeks.grid.cells if cell.span.first == day(10))
    block_there = next(b for b in accepted.blocks if day(10) in b.span)
    found = weeks.week(rest, Role(block_there.kind, block_there.emphasis))
    planned = [(s.recipe, s.day, s.minute) for s in accepted.homes if s.day in rest.span]
    assert [(one.recipe.id, one.day, one.start) for one in found.items] == planned


def test_a_share_that_was_done_is_asked_for_where_its_rule_is_on() -> None:
    year, done = roomy(), {day(0): 0.4}
    accepted = Accepted((exchanged(block(Kind.BASE, 0, 28)),), day(7), done=done)
    assert weeks_of(year, accepted=accepted).done == done
    off = book_of(year).without("missed-weeks")
    assert weeks_of(year, accepted=accepted, rules=off).done == {}
    low, full = (weeks_of(year, done=one).levels.of(day(7)).load for one in (done, {}))
    assert low < full


def test_the_same_weeks_serve_under_other_rules_on_blocks() -> None:
    weeks = free_weeks()
    other = weeks.under(weeks.rules.without("few-changes"))
    assert other.frames is weeks.frames and other.rules is not weeks.rules
    assert weeks.rules.active("few-changes") is not None
    assert isinstance(Candidates(weeks.grid, other.rules).book, RuleBook)
