"""The year cut into cells, and what blocks could be laid over them: weeks, light ones, pins."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from itertools import combinations, pairwise, product
from typing import Any

import pytest
from plan_maker import a_year, absence, block, day, goal, injury, pin, season, span, trip
from year_maker import any_year, small_year

from seasonplan.body.almanac import Almanac
from seasonplan.days import WEEKDAYS, week_start
from seasonplan.planner.accepted import Accepted
from seasonplan.planner.candidates import Candidates, Variant
from seasonplan.planner.grid import Cell, Column, Grid
from seasonplan.planner.weeks import Weeks
from seasonplan.rules.statements import RuleBook, book_of
from seasonplan.rules.tables import composing
from seasonplan.vocabulary import CHOSEN, EMPHASES, Emphasis, Kind, Quality
from seasonplan.year import Pin, Year

YEARS = [*map(small_year, range(12)), *map(any_year, range(12))]


def candidates_of(
    year: Year, *, accepted: Accepted | None = None, book: RuleBook | None = None, **fields: Any
) -> Candidates:
    return Candidates(Grid(Almanac(year), accepted=accepted), book or book_of(year), **fields)


def column(one: Candidates, kind: Kind, first: int, days: int) -> Column:
    """A block of that kind on those days, whether it is a candidate or not."""
    low, high = one.grid.cells_of(span(first, days))
    assert one.grid.span(low, high) == span(first, days)
    return Column(kind, low, high, one.grid.span(low, high))


# --- cells ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("year", YEARS, ids=range(len(YEARS)))
def test_cells_are_the_days_of_the_year_each_in_one_week_and_wholly_given_or_free(
    year: Year,
) -> None:
    grid = Grid(Almanac(year))
    begins, given = year.climber.week_begins, {
        one: entry for entry in Almanac(year).givens for one in entry.span.days()
    }  # fmt: skip
    assert [d for cell in grid.cells for d in cell.span.days()] == list(year.span.days())
    first = week_start(year.span.first, begins)
    for n, cell in enumerate(grid.cells):
        assert cell.index == n
        assert {(week_start(d, begins) - first).days // 7 for d in cell.span.days()} == {cell.week}
        assert {given.get(d) for d in cell.span.days()} == {cell.given}
        assert cell.rock is bool(grid.almanac.rock_days & set(cell.span.days()))
        pins = [one.span for one in year.pins if one.span.meet(cell.span)]
        assert all(one.covers(cell.span) for one in pins)


@pytest.mark.parametrize("year", YEARS, ids=range(len(YEARS)))
def test_runs_of_free_cells_are_as_long_as_nothing_is_given(year: Year) -> None:
    grid = Grid(Almanac(year))
    free = [cell.index for cell in grid.cells if cell.given is None]
    assert [n for low, high in grid.segments for n in range(low, high + 1)] == free
    for low, high in grid.segments:
        assert low - 1 not in free and high + 1 not in free
        for n in range(low, high + 1):
            assert grid.segment(n) == (low, high)
            assert grid.cells_of(grid.span(low, n)) == (low, n)
            assert bool(grid.gap_before(n)) is (n == low and low > 0)


def test_what_lies_before_a_cell_is_told_oldest_first_and_a_trip_after_it() -> None:
    year = a_year(
        8, absences=[absence(7, 9)], trips=[trip(16, 12)],
        injuries=[injury(35, easy=42, building=44, full=46)],
    )  # fmt: skip
    grid = Grid(Almanac(year))
    at = {(cell.span.first - day(0)).days: cell.index for cell in grid.cells}
    assert [one.kind for one in grid.gap_before(at[28])] == [Kind.ABSENCE, Kind.TRIP]
    assert [one.kind for one in grid.gap_before(at[46])] == [Kind.INJURED, Kind.RETURN, Kind.RETURN]
    assert grid.gap_before(0) == () and grid.gap_before(at[46] + 1) == ()
    first = Grid(Almanac(a_year(6, absences=[absence(0, 7)])))
    assert [one.kind for one in first.gap_before(1)] == [Kind.ABSENCE]
    trips = [n for n in range(len(grid.cells)) if grid.trip_after(n)]
    assert [grid.cells[n].span.after for n in trips] == [day(16), day(21)]
    assert not grid.trip_after(len(grid.cells) - 1)


def test_today_and_further_cuts_begin_a_cell_and_days_before_today_are_over() -> None:
    accepted = Accepted((block(Kind.BASE, 0, 10),), day(17))
    grid = Grid(Almanac(a_year(5)), accepted=accepted, cuts=[day(25)])
    firsts = {(cell.span.first - day(0)).days for cell in grid.cells}
    assert firsts == {0, 7, 10, 14, 17, 21, 25, 28}
    assert [n for n in range(35) if grid.is_past(day(n))] == list(range(17))
    assert not Grid(Almanac(a_year(5))).is_past(day(0))


# --- weeks inside a block -------------------------------------------------------------------------


PLAIN = Variant(Emphasis.FITNESS)


def lights(one: Candidates, kind: Kind, first: int, days: int, light_first: int = 0) -> list[int]:
    """The numbers of the cells, from 0, that are light in such a block."""
    made = column(one, kind, first, days)
    variant = Variant(EMPHASES[kind][0], light_first)
    cells = one.grid.cells[made.first : made.last + 1]
    return [n for n, cell in enumerate(cells) if one.role(made, cell, variant).light]


@pytest.mark.parametrize("every", [2, 3, 4])
@pytest.mark.parametrize("kind", [Kind.BASE, Kind.STRENGTH])
def test_every_so_many_weeks_of_base_and_strength_are_light(every: int, kind: Kind) -> None:
    one = candidates_of(a_year(10, rules={"deload": {"limit": every}}))
    assert lights(one, kind, 0, 56) == [n for n in range(8) if (n + 1) % every == 0]
    assert lights(one, Kind.REST, 0, 14) == []
    off = candidates_of(a_year(10), book=book_of(a_year(10)).without("deload"))
    assert lights(off, kind, 0, 56) == []


def cut(name: str, *cuts: int) -> Candidates:
    year = a_year(10, climber={"first_weekday": name})
    return Candidates(Grid(Almanac(year), cuts=[day(n) for n in cuts]), book_of(year))


def test_a_first_week_of_fewer_than_four_days_is_not_counted() -> None:
    for first, name in product(range(1, 7), ("monday", "thursday", "sunday")):
        whole = 7 - first >= 4
        first += WEEKDAYS.index(name)
        one = cut(name, first)
        # cells are the piece of the first week, then whole weeks
        assert lights(one, Kind.BASE, first, 70 - first)[:2] == ([3, 7] if whole else [4, 8])
        made = column(one, Kind.BASE, first, 70 - first)
        nth = [one.nth(made.first, one.grid.cells[made.first + n]) for n in range(4)]
        assert nth == ([0, 1, 2, 3] if whole else [0, 0, 1, 2])


def test_two_pieces_of_one_week_are_one_week_of_the_block() -> None:
    one = cut("monday", 10, 24)
    made = column(one, Kind.BASE, 0, 70)
    cells = one.grid.cells[made.first : made.last + 1]
    assert [one.nth(made.first, cell) for cell in cells] == [0, 1, 1, 2, 3, 3, 4, 5, 6, 7, 8, 9]
    assert lights(one, Kind.BASE, 0, 70) == [4, 5, 9]


@pytest.mark.parametrize(
    ("share", "on", "expected"), [(0.4, True, [6]), (0.6, True, [3, 7]), (0.4, False, [3, 7])]
)
def test_weeks_of_a_block_are_counted_anew_after_one_missed_in_most(
    share: float, on: bool, expected: list[int]
) -> None:
    year = a_year(10)
    accepted = Accepted((block(Kind.BASE, 0, 70),), day(21), done={day(14): share})
    book = book_of(year) if on else book_of(year).without("missed-weeks")
    one = candidates_of(year, accepted=accepted, book=book)
    assert lights(one, Kind.BASE, 0, 56) == expected
    nth = [one.nth(0, one.grid.cells[n]) for n in range(5)]
    assert nth == ([0, 1, 2, 0, 1] if len(expected) == 1 else [0, 1, 2, 3, 4])


@pytest.mark.parametrize(("off", "back", "light"), [(4, 0, 3), (5, 1, 4), (12, 2, 5), (21, 3, 6)])
def test_weeks_of_a_block_are_counted_anew_after_those_that_lead_back(
    off: int, back: int, light: int
) -> None:
    """Days off end with a Sunday; the weeks after them are light in themselves."""
    year = a_year(14, absences=[absence(28 - off, off)])
    weeks = Weeks(Grid(Almanac(year)), book_of(year))
    one = Candidates(weeks.grid, book_of(year), back=weeks.levels.weeks_back)
    assert len(weeks.levels.weeks_back) == back
    assert lights(one, Kind.BASE, 28, 49) == [light]


def heavy(one: Candidates, kind: Kind, first: int, days: int) -> bool:
    return one.heavy_since_light(column(one, kind, first, days))


def test_heavy_weeks_stand_behind_a_block_that_does_not_end_with_a_light_one() -> None:
    one = candidates_of(a_year(10))
    for weeks in range(1, 9):
        assert heavy(one, Kind.BASE, 0, 7 * weeks) is (weeks % 4 != 0)
        assert heavy(one, Kind.STRENGTH, 7, 7 * weeks) is (weeks % 4 != 0)
        assert not heavy(one, Kind.PERFORMANCE, 0, 7 * weeks)
    assert not heavy(candidates_of(a_year(10), book=book_of(a_year(10)).without("deload")),
                     Kind.BASE, 0, 21)  # fmt: skip


def test_a_last_week_of_fewer_than_four_days_is_no_heavy_one() -> None:
    for days in range(1, 7):
        one = cut("monday", 28 + days)
        assert heavy(one, Kind.BASE, 0, 28 + days) is (days >= 4)
        few = cut("monday", 7 - days) if days < 7 else one
        short = heavy(few, Kind.BASE, 7 - days, days)
        assert short is (days >= 4)  # of a block of one piece, too


def test_a_season_has_its_first_light_week_where_the_variant_says_and_every_fourth_after() -> None:
    """Counted after the lead-in, the week in which the season opens easily."""
    year = a_year(12, seasons=[season(14, 56)], goals=[goal()])
    one = candidates_of(year)
    for light_first in (3, 4, 5):
        found = lights(one, Kind.PERFORMANCE, 14, 56, light_first)
        assert found == [n for n in (light_first, light_first + 4) if n < 7]  # never the last
    assert lights(one, Kind.PERFORMANCE, 14, 56) == []


def test_the_last_week_of_a_season_is_light_only_before_a_trip() -> None:
    """After it comes rest: a light week last gives days on rock away."""
    parts: dict[str, Any] = {"seasons": [season(14, 42)], "goals": [goal()]}
    home = candidates_of(a_year(12, **parts))
    away = candidates_of(a_year(12, **parts, trips=[trip(56, 7)]))
    assert lights(home, Kind.PERFORMANCE, 14, 42, 5) == []
    assert lights(away, Kind.PERFORMANCE, 14, 42, 5) == [5]
    assert lights(home, Kind.PERFORMANCE, 14, 42, 4) == [4]


@pytest.mark.parametrize(
    ("opens", "led"),
    [(21, [False, False, True, False, False]), (23, [False, False, True, False, False]),
     (28, [False, False, False, True, False])],
)  # fmt: skip
def test_a_lead_in_lasts_a_fortnight_until_a_season_is_there_for_whole_days(
    opens: int, led: list[bool]
) -> None:
    """Those begin on day 33 or 40, a week after the first Saturday."""
    one = candidates_of(a_year(12, seasons=[season(opens, 30)], goals=[goal()]))
    for kind, as_led in ((Kind.PERFORMANCE, led), (Kind.BASE, [False] * 5)):
        made = column(one, kind, 7, 35)
        cells = one.grid.cells[made.first : made.last + 1]
        roles = [one.role(made, cell, Variant(Emphasis.FINGERS)) for cell in cells]
        assert [role.lead_in for role in roles] == as_led
        assert not any(role.lead_in and role.light for role in roles)


# --- variants -------------------------------------------------------------------------------------


def test_a_block_may_be_of_each_emphasis_of_its_kind_and_a_season_have_other_light_weeks() -> None:
    year = a_year(14, seasons=[season(14, 56)], goals=[goal()])
    one = candidates_of(year)
    for kind in (Kind.BASE, Kind.STRENGTH, Kind.REST):
        made = column(one, kind, 0, 14)
        assert one.variants(made) == tuple(Variant(each) for each in EMPHASES[kind])
    for weeks, firsts in ((1, [0]), (4, [0]), (5, [3, 4]), (6, [3, 4, 5]), (7, [3, 4, 5])):
        found = one.variants(column(one, Kind.PERFORMANCE, 21, 7 * weeks))
        emphases = EMPHASES[Kind.PERFORMANCE]
        assert found == tuple(Variant(each, first) for each in emphases for first in firsts)
    led = one.variants(column(one, Kind.PERFORMANCE, 14, 42))
    assert {each.light_first for each in led} == {3, 4}  # the lead-in is no week of the season
    loose = candidates_of(year, book=book_of(year).without("deload"))
    assert {v.light_first for v in loose.variants(column(loose, Kind.PERFORMANCE, 14, 56))} == {0}


def test_whom_the_fingers_limit_most_keeps_them_up_in_the_season() -> None:
    for level, kept in (({}, None), ({Quality.FINGER_STRENGTH: 1}, {Emphasis.FINGERS})):
        year = a_year(8, seasons=[season(14, 21)], goals=[goal()], climber={"level": level})
        one = candidates_of(year)
        found = {v.emphasis for v in one.variants(column(one, Kind.PERFORMANCE, 14, 21))}
        assert found == (kept or set(EMPHASES[Kind.PERFORMANCE]))


def test_no_block_is_named_for_what_cannot_be_trained() -> None:
    one = candidates_of(a_year(8), usable={"aerobic", "limit-bouldering"})
    emphases = {
        kind: {v.emphasis for v in one.variants(column(one, kind, 0, 28))}
        for kind in (Kind.BASE, Kind.STRENGTH)
    }
    assert emphases[Kind.STRENGTH] == {Emphasis.FINGERS, Emphasis.POWER}
    assert emphases[Kind.BASE] == {Emphasis.ENDURANCE, Emphasis.FITNESS}
    nothing = candidates_of(a_year(8), usable={"aerobic"})
    assert not any(each.kind is Kind.STRENGTH for each in nothing.all)
    assert any(each.kind is Kind.BASE for each in nothing.all)
    pinned = candidates_of(a_year(8, pins=[pin(Kind.STRENGTH, 0, 28)]), usable={"aerobic"})
    assert [each.span for each in pinned.all if each.kind is Kind.STRENGTH] == [span(0, 28)]


def test_a_pin_says_its_emphasis_and_a_block_that_has_begun_keeps_what_it_was() -> None:
    fixed = Pin(name="Pin", kind="base", first=day(7), last=day(34), emphasis=Emphasis.MOVEMENT)
    one = candidates_of(a_year(8, pins=[fixed]))
    assert one.variants(column(one, Kind.BASE, 7, 28)) == (Variant(Emphasis.MOVEMENT),)
    assert len(one.variants(column(one, Kind.BASE, 35, 21))) == len(EMPHASES[Kind.BASE])
    season_pin = Pin(name="Pin", kind="performance", first=day(7), last=day(34), emphasis="fingers")
    one = candidates_of(a_year(8, seasons=[season(7, 28)], pins=[season_pin]))
    assert one.variants(column(one, Kind.PERFORMANCE, 7, 28)) == (Variant(Emphasis.FINGERS, 3),)
    begun = block(Kind.BASE, 0, 28, emphasis=Emphasis.FITNESS, light_first=0)
    one = candidates_of(a_year(8), accepted=Accepted((begun,), day(10)))
    assert one.variants(column(one, Kind.BASE, 0, 28)) == (Variant(Emphasis.FITNESS),)
    assert one.variants(column(one, Kind.BASE, 0, 21)) == (Variant(Emphasis.FITNESS),)
    assert len(one.variants(column(one, Kind.BASE, 28, 28))) == len(EMPHASES[Kind.BASE])


# --- which candidates -----------------------------------------------------------------------------


def spans(one: Candidates) -> set[tuple[Kind, object]]:
    return {(each.kind, each.span) for each in one.all}


def test_pins_that_are_over_fix_nothing_and_those_that_have_begun_do() -> None:
    old, now = pin(Kind.REST, 0, 7), Pin(name="Now", kind="base", first=day(7), last=day(34))
    year = a_year(8, pins=[old, now])
    stood = (block(Kind.BASE, 0, 7), block(Kind.BASE, 7, 28))
    one = candidates_of(year, accepted=Accepted(stood, day(10)))
    assert one.pins == [now]
    assert [p.id for p in candidates_of(year).pins] == [old.id, now.id]
    assert (Kind.BASE, span(0, 7)) in spans(one)
    assert (Kind.BASE, span(7, 28)) in spans(one)
    assert not any(
        s.meet(span(7, 28)) and s != span(7, 28)
        for _, s in spans(one)  # type: ignore[attr-defined]
    )


def test_a_pin_all_of_whose_days_are_given_is_lost_until_it_has_begun() -> None:
    year = a_year(8, trips=[trip(14, 10)], pins=[pin(Kind.BASE, 15, 5)])
    assert candidates_of(year).lost_pins == list(year.pins)
    half = a_year(8, trips=[trip(14, 10)], pins=[pin(Kind.BASE, 20, 5)])
    assert candidates_of(half).lost_pins == []
    accepted = Accepted((block(Kind.BASE, 0, 14),), day(16))
    assert candidates_of(year, accepted=accepted).lost_pins == []


def performing(one: Candidates) -> set[object]:
    return {days for kind, days in spans(one) if kind is Kind.PERFORMANCE}


def gaps(span_first: int, days: Sequence[int], span_after: int) -> tuple[int, int, int]:
    """Days before the first, most between two, and after the last to the end."""
    between = max((b - a for a, b in pairwise(days)), default=0)
    return days[0] - span_first, between, span_after - days[-1]


def test_performing_needs_chosen_days_on_rock_near_its_start_its_end_and_each_other() -> None:
    most = composing().block
    book = book_of(a_year()).without("rock-only", "lead-in-length", "performance-length")
    year = a_year(12)
    for size in (0, 1, 2):
        for days in combinations(range(0, 84, 9), size):
            rock = [day(n) for n in days]
            one = candidates_of(year, book=book, rock=rock)
            found = performing(one)
            for low, high in combinations(range(0, 78, 7), 2):
                inside = [n for n in days if low <= n < high]
                before, between, after = gaps(low, inside, high) if inside else (99, 99, 99)
                fits = (
                    before <= most.before_rock_days and between <= most.between_rock_days
                    and after <= most.after_rock_days
                )  # fmt: skip
                assert (span(low, high - low) in found) is fits, (days, low, high)


def test_a_trip_right_after_it_counts_as_rock_and_a_pin_needs_none() -> None:
    book = book_of(a_year()).without("rock-only", "lead-in-length", "performance-length")
    year = a_year(8, trips=[trip(28, 7)])
    found = performing(candidates_of(year, book=book, rock=[]))
    assert found == {span(n, 28 - n) for n in (14, 21)}  # at most twenty days before it
    fixed = a_year(8, pins=[pin(Kind.PERFORMANCE, 7, 28)])
    assert performing(candidates_of(fixed, book=book, rock=[])) == {span(7, 28)}


def test_the_order_of_candidates_is_that_of_their_days() -> None:
    """Nothing is drawn by lot: of equal plans the first in order is taken."""
    for year in YEARS[:12]:
        every = candidates_of(year).all
        keys = [(each.first, each.last, CHOSEN.index(each.kind)) for each in every]
        assert keys == sorted(keys) and len(set(keys)) == len(keys)


def known(cells: Sequence[Cell]) -> Mapping[date, int]:
    return {d: cell.index for cell in cells for d in cell.span.days()}


def test_a_column_has_the_days_of_its_cells() -> None:
    for year in YEARS[:12]:
        one = candidates_of(year)
        at = known(one.grid.cells)
        for each in one.all:
            assert (at[each.span.first], at[each.span.last]) == (each.first, each.last)
            assert each.days == each.span.length
