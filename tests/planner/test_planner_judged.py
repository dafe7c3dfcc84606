"""Planner and checker agree on every block that could be: alone, in pairs, and on rest in time.

Small years with all that may be given, every candidate of theirs; no week is composed.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from functools import cache

import pytest
from plan_maker import a_year, absence, day, injury, pin, season, span, trip

from seasonplan.body.almanac import Almanac, Given
from seasonplan.checker import JUDGES
from seasonplan.checker.sheet import Sheet
from seasonplan.plan import Block
from seasonplan.planner.accepted import Accepted
from seasonplan.planner.candidates import Candidates
from seasonplan.planner.confirm import boundaries, rest_windows
from seasonplan.planner.grid import Column, Grid
from seasonplan.planner.limits import ENFORCERS, allowed, is_layoff
from seasonplan.planner.order import Ending, allowed_first, ending, may_follow
from seasonplan.rules.statements import book_of
from seasonplan.vocabulary import CHOSEN, Kind, Phase
from seasonplan.year import Before, Year

ALONE = tuple(code for rules in ENFORCERS.values() for code in rules)
IN_PAIRS = ("order", "rest-before-strength", "rest-after-performance", "build-back")
TIGHT = {
    "base-length": {"limit": [2, 4]}, "strength-length": {"limit": [2, 3]},
    "performance-length": {"limit": [1, 2]}, "rest-length": {"limit": [5, 9]},
    "rest-after-performance": {"limit": 2}, "lead-in-length": {"limit": 10},
    "build-back": {"limit": 7}, "rest-every": {"limit": 3},
}  # fmt: skip
YEARS = {
    "open": a_year(7, seasons=[season(23, 9)], before=Before(last_kind="base")),
    "mid-week": a_year(
        8, climber={"first_weekday": "thursday"},
        seasons=[season(17, 4), season(40, 12, name="Late")],
        before=Before(last_kind="performance", days_since_rest=10),
    ),
    "trips": a_year(
        9, trips=[trip(17, 8), trip(40, 7, name="Second")], seasons=[season(25, 5)],
        before=Before(last_kind="strength"),
    ),
    "days-off": a_year(
        9, absences=[absence(14, 6), absence(33, 7, name="Later")], trips=[trip(40, 7)],
        seasons=[season(50, 6)], before=Before(last_kind="performance"),
    ),
    "given-first": a_year(
        8, absences=[absence(0, 7)], injuries=[injury(20, easy=28, building=33, full=38)],
        before=Before(last_kind="strength", days_since_rest=3),
    ),
    "no-days-off": a_year(
        7, seasons=[season(10, 11)], injuries=[injury(21, easy=21, building=26, full=32)],
        before=Before(last_kind="strength"),
    ),
    "trip-first": a_year(6, trips=[trip(0, 7)], absences=[absence(28, 5)]),
    "rock-away": a_year(4, absences=[absence(17, 4)], seasons=[season(17, 4)]),
    "side-by-side": a_year(
        8, trips=[trip(14, 7)], absences=[absence(21, 6), absence(35, 3, name="Short")],
        seasons=[season(38, 5)],
    ),
}  # fmt: skip


CUT = {"trips": range(8, 17)}  # days on which a cell begins as well, so that each day counts


@cache
def candidates_of(name: str) -> Candidates:
    year, cuts = tight(name), [day(n) for n in CUT.get(name, ())]
    return Candidates(Grid(Almanac(year), cuts=cuts), book_of(year))


@cache
def tight(name: str) -> Year:
    """The year under short limits, so that each is reached and passed."""
    return YEARS[name].with_fields(rules=a_year(rules=TIGHT).rules)


def columns(grid: Grid) -> list[Column]:
    return [
        Column(kind, first, last, grid.span(first, last))
        for low, high in grid.segments
        for first in range(low, high + 1)
        for last in range(first, high + 1)
        for kind in CHOSEN
    ]


@cache
def given(name: str) -> tuple[Block, ...]:
    return tuple(
        Block(id=f"{one.kind.value}-{n}", kind=one.kind, span=one.span, weeks=(), entry=one.entry)
        for n, one in enumerate(Almanac(YEARS[name]).givens)
    )


def said(name: str, codes: Sequence[str], *chosen: Column) -> set[tuple[str, object]]:
    """Codes of the rules that the checker finds broken, with the days."""
    blocks = [
        Block(id=f"chosen-{n}", kind=one.kind, span=one.span, weeks=())
        for n, one in enumerate(chosen)
    ]
    sheet = Sheet(tight(name), [*given(name), *blocks], book=book_of(tight(name)))
    return {
        (code, finding.span) for code in codes for finding in JUDGES[code](sheet, sheet.book[code])
    }


every_year = pytest.mark.parametrize("name", YEARS)


@every_year
def test_a_block_alone_is_allowed_where_the_checker_has_nothing_against_it(name: str) -> None:
    one = candidates_of(name)
    seen = {True: 0, False: 0}
    for column in columns(one.grid):
        free = allowed(column, one.grid, one.book)
        seen[free] += 1
        broken = said(name, ALONE, column)
        assert free is not bool(broken), (column, broken)
    assert min(seen.values()) >= 10


@every_year
def test_each_rule_on_single_blocks_is_enforced_as_it_is_judged(name: str) -> None:
    one = candidates_of(name)
    for column in columns(one.grid):
        broken = {code for code, _ in said(name, ALONE, column)}
        assert broken <= set(ENFORCERS[column.kind])
        for code, enforce in ENFORCERS[column.kind].items():
            assert enforce(column, one.grid, one.book[code]) is (code not in broken), (code, column)


@every_year
def test_a_block_may_follow_another_where_the_checker_has_nothing_against_it(name: str) -> None:
    one, checked = candidates_of(name), 0
    every = columns(one.grid)
    for last, first in boundaries(one.grid):
        gap = one.grid.gap_before(first)
        for before in [c for c in every if c.last == last and c.first >= last - 2]:
            for after in [c for c in every if c.first == c.last == first]:
                mine = may_follow(ending(before, one), gap, after.kind, one.book)
                new = said(name, IN_PAIRS, before, after) - said(name, IN_PAIRS, before)
                light = ending(before, one).owes_light and not gap
                if light and after.kind in (Kind.BASE, Kind.STRENGTH):
                    continue  # whether weeks are light is not asked here
                checked += 1
                assert mine is not bool(new), (before, after, gap, new)
    assert checked >= 50


@every_year
def test_what_may_open_the_year_follows_what_came_before_it(name: str) -> None:
    one = candidates_of(name)
    low, _ = one.grid.segments[0]
    for kind in CHOSEN:
        column = Column(kind, low, low, one.grid.span(low, low))
        last = tight(name).before.last_kind
        codes = [code for code in IN_PAIRS if code != "rest-after-performance"]
        broken = bool(said(name, codes, column))
        assert (kind in allowed_first(one)) is not broken, (kind, last)


@every_year
def test_rest_comes_in_time_where_the_checker_counts_no_stretch_too_long(name: str) -> None:
    """Days of rest by lot; a window without any is a stretch that is too long."""
    one, rng, seen = candidates_of(name), random.Random(name), {True: 0, False: 0}
    windows = list(rest_windows(one))
    free = [cell for cell in one.grid.cells if cell.given is None]
    for _ in range(60):
        rests = {cell.index for cell in free if rng.random() < 0.25}
        kept = all(rests & set(range(first, last + 1)) for first, last in windows)
        chosen = [
            Column(
                Kind.REST if cell.index in rests else Kind.BASE, cell.index, cell.index, cell.span
            )
            for cell in free
        ]
        broken = said(name, ["rest-every"], *chosen)
        seen[kept] += 1
        assert kept is not bool(broken), (sorted(rests), broken)
    assert min(seen.values()) >= 3 or not windows


def test_every_block_that_the_rules_let_be_is_a_candidate() -> None:
    """The longest by the rules as delivered are performing with its lead-in: ten weeks."""
    year = a_year(13, seasons=[season(21, 70)])
    one = Candidates(Grid(Almanac(year)), book_of(year))
    free = {column for column in columns(one.grid) if allowed(column, one.grid, one.book)}
    assert set(one.all) == free and len(free) == len(one.all)
    assert max(column.days for column in free) == 70


def test_after_a_long_block_of_performing_rest_is_owed() -> None:
    one = candidates_of("open")
    for column in columns(one.grid):
        owes = column.kind is Kind.PERFORMANCE and column.days >= 14
        assert ending(column, one).owes_rest is owes
    assert ending(columns(one.grid)[0], one) != Ending(None)


# --- what is over -------------------------------------------------------------------------------

STOOD = ((Kind.BASE, 0, 10), (Kind.REST, 10, 3), (Kind.STRENGTH, 13, 29), (Kind.REST, 42, 14))


@cache
def begun(today: int) -> Candidates:
    """Eight weeks of which some days are over, with blocks that no rule would let be."""
    year = a_year(8, rules=TIGHT)
    blocks = tuple(
        Block(id=f"{kind.value}-{first}", kind=kind, span=span(first, days), weeks=())
        for kind, first, days in STOOD
    )
    return Candidates(Grid(Almanac(year), accepted=Accepted(blocks, day(today))), book_of(year))


def open_to(today: int, kind: Kind, first: int, days: int) -> bool:
    one = begun(today)
    low, high = one.grid.cells_of(span(first, days))
    column = Column(kind, low, high, one.grid.span(low, high))
    assert column.span == span(first, days)
    return allowed(column, one.grid, one.book)


def test_what_is_over_is_as_it_was_whatever_the_rules_say() -> None:
    assert open_to(20, Kind.BASE, 0, 10)  # too short
    assert open_to(20, Kind.REST, 10, 3)
    assert not open_to(20, Kind.BASE, 10, 3)
    assert not open_to(20, Kind.REST, 0, 10)
    assert not open_to(20, Kind.BASE, 0, 13)


def test_a_block_that_has_begun_may_end_early_and_not_late() -> None:
    """Strength lasts two to three weeks; it began on day 13."""
    assert open_to(20, Kind.STRENGTH, 13, 8)
    assert open_to(20, Kind.STRENGTH, 13, 15)
    assert not open_to(20, Kind.STRENGTH, 13, 22)
    assert not open_to(20, Kind.BASE, 13, 15)
    assert open_to(20, Kind.STRENGTH, 13, 7)  # it ends with yesterday


def test_the_last_day_of_a_block_counts_for_whether_it_is_over() -> None:
    """Strength lasts two to three weeks; on its last day a block is not over."""
    for today, free in ((41, False), (42, True)):
        assert open_to(today, Kind.STRENGTH, 13, 29) is free


def test_no_rule_asks_what_followed_what_before_today() -> None:
    one = begun(20)
    assert allowed_first(one) == CHOSEN
    assert begun(0).grid.accepted is not None and allowed_first(begun(0)) == CHOSEN
    year = a_year(8, before=Before(last_kind="performance"))
    fresh = Candidates(Grid(Almanac(year)), book_of(year))
    assert Kind.STRENGTH not in allowed_first(fresh)


def test_a_first_block_that_has_begun_may_be_of_any_kind() -> None:
    """What came before the year asks for no strength; today lies within the first free days."""
    year = a_year(8, before=Before(last_kind="performance"))
    stood = (Block(id="strength-0", kind=Kind.STRENGTH, span=span(0, 28), weeks=()),)
    one = Candidates(Grid(Almanac(year), accepted=Accepted(stood, day(20))), book_of(year))
    assert allowed_first(one) == CHOSEN


def test_a_layoff_as_long_as_the_rule_says_is_one_though_the_part_comes_back_slowly() -> None:
    rule = book_of(a_year()).active("build-back")
    assert rule is not None
    for days, layoff in ((13, False), (14, True)):
        off = Given(Kind.INJURED, span(0, days), "finger", Phase.OFF)
        back = Given(Kind.RETURN, span(days, 5), "finger", Phase.EASY)
        assert is_layoff([off, back], rule) is layoff


def test_rest_in_time_is_asked_of_stretches_that_reach_today() -> None:
    one = begun(20)
    cells = one.grid.cells
    found = list(rest_windows(one))
    assert found
    assert all(cells[last].span.first >= day(20) for _, last in found)
    assert any(cells[first].span.first < day(20) for first, _ in found)


def test_pins_are_kept_whole_and_touched_by_nothing() -> None:
    year = a_year(8, pins=[pin(Kind.BASE, 7, 14)])
    every = Candidates(Grid(Almanac(year)), book_of(year).without("base-length")).all
    near = {(column.kind, column.span) for column in every if column.span.meet(span(7, 14))}
    assert near == {(Kind.BASE, span(7, 14))} and len(every) > 1


def test_a_year_without_free_days_has_nothing_to_open_it() -> None:
    year = a_year(4, absences=[absence(0, 28)])
    one = Candidates(Grid(Almanac(year)), book_of(year))
    assert allowed_first(one) == () and list(boundaries(one.grid)) == []


@pytest.mark.parametrize(
    ("kind", "gap", "light"),
    [(Kind.BASE, False, True), (Kind.STRENGTH, False, True), (Kind.REST, False, False),
     (Kind.PERFORMANCE, False, False), (Kind.BASE, True, False)],
)  # fmt: skip
def test_heavy_weeks_of_a_block_before_owe_a_light_one(kind: Kind, gap: bool, light: bool) -> None:
    one = candidates_of("days-off")
    between = (one.grid.almanac.givens[0],) if gap else ()
    book = one.book.without(*(code for code in IN_PAIRS))
    assert may_follow(Ending(Kind.REST, owes_light=True), between, kind, book) is not light
    assert may_follow(Ending(Kind.REST), between, kind, book)


def test_a_rule_switched_off_asks_nothing() -> None:
    one = candidates_of("open")
    loose = one.book.without(*ALONE, *IN_PAIRS, "rest-every", "deload")
    assert all(allowed(column, one.grid, loose) for column in columns(one.grid))
    assert may_follow(Ending(Kind.BASE, True, True), (), Kind.BASE, loose)
    assert list(rest_windows(Candidates(one.grid, loose))) == []
