"""What each place of a block costs, years nearly as good, and what each rule costs: all exact."""

from __future__ import annotations

import random
from collections.abc import Iterator
from functools import cache

import pytest
from autumn import year_of
from every_year import paths
from forced import solver_agrees
from random_years import random_year

from seasonplan.days import Span
from seasonplan.planner import kept
from seasonplan.planner.fingers import FingerAsk, Hang
from seasonplan.planner.held import Held, Hold, Place
from seasonplan.planner.path import Best
from seasonplan.planner.pool import near_best
from seasonplan.planner.prices import PricedYear, rule_prices
from seasonplan.planner.search import PLACING, Search
from seasonplan.planner.week_order import Order
from seasonplan.rules.statements import book_of
from seasonplan.vocabulary import Kind
from seasonplan.year import Absence, Pin, Year

ALIKE = 1e-6  # points: one part
SMALL = [("twelve-weeks", 55), ("witness-rest-day", 40), ("witness-young-fingers", 8)]


@cache
def priced(name: str) -> tuple[Search, PricedYear]:
    search = Search(year_of(name), book=book_of(year_of(name)))
    return search, PricedYear(search, search.blocks(best_of(search)))


def best_of(search: Search) -> Best:
    best = search.prices.best()
    assert best is not None
    return best


def places(name: str) -> Iterator[tuple[Kind, Place]]:
    """Every place of every block of the best plan."""
    search, year = priced(name)
    for block in search.blocks(best_of(search)):
        if block.kind.chosen:
            held = Held(year, block.kind, block.span)
            yield from ((block.kind, place) for place in held.places(Hold.WHOLE))


def pinned(year: Year, kind: Kind, span: Span) -> Year:
    pin = Pin(name="so", kind=kind, first=span.first, last=span.last)
    return year.with_fields(pins=(*year.pins, pin))


def blocks_to_pin(search: Search) -> list[int]:
    """The candidates that lie on some path and are not fixed already."""
    fixed = {pin.span for pin in search.grid.almanac.year.pins}
    columns = search.candidates.all
    return sorted(n for n in search.prices.through if columns[n].span not in fixed)


# --- places -------------------------------------------------------------------------------------


@pytest.mark.parametrize(("name", "most"), [("twelve-weeks", 9), ("cleft-in-winter", 4)])
def test_a_place_costs_what_the_best_year_with_a_pin_there_is_worth_less(
    name: str, most: int
) -> None:
    search, _ = priced(name)
    every = sorted(set(places(name)), key=lambda one: one[1].number)
    compared = 0
    for kind, place in random.Random(name).sample(every, min(most, len(every))):
        year = pinned(year_of(name), kind, place.span)
        fixed = Search(year, book=book_of(year), caps=search.caps)
        points = (best_of(fixed).worth - best_of(search).worth) / 1e6
        assert points == pytest.approx(place.points, abs=ALIKE)
        compared += 1
    assert compared >= 2


@pytest.mark.parametrize(("name", "least"), SMALL)
def test_every_block_is_worth_the_best_year_in_which_it_is_pinned(name: str, least: int) -> None:
    search, _ = priced(name)
    compared = 0
    for n in blocks_to_pin(search):
        column = search.candidates.all[n]
        year = pinned(year_of(name), column.kind, column.span)
        fixed = Search(year, book=book_of(year), caps=search.caps)
        assert best_of(fixed).worth == search.prices.through[n]
        compared += 1
    assert compared >= least


@pytest.mark.parametrize(("name", "least"), SMALL)
def test_the_solver_comes_to_the_same_price_of_every_block(name: str, least: int) -> None:
    search, _ = priced(name)
    agreed = [solver_agrees(search, n) for n in search.prices.through]
    assert agreed.count(True) == len(agreed) >= least


@pytest.mark.parametrize("number", [6, 10])
def test_prices_of_drawn_years_are_those_of_the_year_with_the_block_pinned(number: int) -> None:
    """Twenty blocks by the solver, three of them by a pin in the year as well."""
    drawn = random_year(number)
    search = Search(drawn.year, book=book_of(drawn.year), taken=drawn.taken)
    some = random.Random(number).sample(blocks_to_pin(search), 20)
    assert [solver_agrees(search, n) for n in some] == [True] * 20
    for n in some[:3]:
        column = search.candidates.all[n]
        year = pinned(drawn.year, column.kind, column.span)
        fixed = Search(year, book=book_of(year), taken=drawn.taken)
        assert best_of(fixed).worth == search.prices.through[n]


def test_of_a_block_in_several_variants_only_the_best_is_on_the_paths() -> None:
    search, _ = priced("autumn")
    arcs = [(start, to, number) for start, to, number, _ in search.graph.arcs]
    assert len(set(arcs)) == len(arcs)
    several = {n for n, _ in enumerate(search.candidates.all) if len(search.variants(n)) > 1}
    assert len(several & {number for *_, number in arcs}) > 100
    for n in sorted(several)[::20]:
        assert search.best_variants[n][1] == max(worth for _, worth in search.variants(n))


def test_days_on_rock_of_a_place_are_those_of_its_year() -> None:
    search, year = priced("cleft-in-winter")
    counted = 0
    for number, *_, days, _ in year.stands(Kind.STRENGTH):
        path = search.prices.through_path(number)
        own = sum(
            search.amount(search.candidates.all[n], search.best_variants[n][0]).rock_days
            for n in path
        )
        plan = sum(
            search.amount(search.candidates.all[n], search.best_variants[n][0]).rock_days
            for n in best_of(search).columns
        )
        assert days == own - plan
        counted += 1
    assert counted >= 3


def test_the_plans_own_place_costs_nothing_and_ties_leave_it_out() -> None:
    search, year = priced("autumn")
    for block in search.blocks(best_of(search)):
        if block.kind.chosen:
            held = Held(year, block.kind, block.span)
            place = held.at(block.span, Hold.WHOLE)
            assert place is not None and place.span == block.span and place.tie
            ties = [one for one in held.places(Hold.WHOLE) if one.tie]
            assert held.ties(Hold.WHOLE) < len(ties)


def test_other_places_as_good_are_counted_and_really_cost_nothing() -> None:
    year = year_of("cleft-in-winter").with_fields(goals=())
    search = Search(year, book=book_of(year))
    best = best_of(search)
    blocks = search.blocks(best)
    known = PricedYear(search, blocks)
    block = next(block for block in blocks if block.kind is Kind.REST)
    held = Held(known, block.kind, block.span)
    stand = {one.span for one in blocks if one.kind is block.kind}
    ties = [p for p in held.places(Hold.WHOLE) if p.tie and p.span not in stand]
    assert held.ties(Hold.WHOLE) == len(ties) >= 3
    fixed = pinned(year, block.kind, ties[0].span)
    assert best_of(Search(fixed, book=book_of(fixed))).worth >= best.worth - 5000  # 0.005 points


def test_a_place_that_no_plan_allows_is_none() -> None:
    search, year = priced("autumn")
    season = next(b for b in search.blocks(best_of(search)) if b.kind is Kind.PERFORMANCE)
    held = Held(year, season.kind, season.span)
    assert held.at(season.span.shifted(-70), Hold.WHOLE) is None


# --- years nearly as good -------------------------------------------------------------------------


def distance(search: Search, one: Best, other: Best) -> int:
    def kinds(best: Best) -> dict[object, Kind]:
        columns = [search.candidates.all[n] for n in best.columns]
        return {day: column.kind for column in columns for day in column.span.days()}

    mine, theirs = kinds(one), kinds(other)
    return sum(mine[day] is not theirs[day] for day in mine)


def test_the_first_other_year_is_the_farthest_of_all_that_are_worth_enough() -> None:
    search, _ = priced("twelve-weeks")
    best = best_of(search)
    slack = best.worth // 5
    worths = [worth for _, worth in search.best_variants]
    every = [Best(*one) for one in paths(search.graph, worths) if one[1] >= best.worth - slack]
    assert len(every) > 5
    found = near_best(search, best, search.blocks(best), count=2, slack=slack)
    far = max(distance(search, best, one) for one in every)
    assert found[0].days == (far,)
    for near in found:
        assert near.best in every
        assert near.days[0] == distance(search, best, near.best)


def test_other_years_of_a_whole_year_are_worth_enough_and_differ_from_each_other() -> None:
    search, _ = priced("autumn")
    best = best_of(search)
    slack = round(0.02 * best.worth)
    one, other = near_best(search, best, search.blocks(best), count=2, slack=slack)
    for near in (one, other):
        assert best.worth - slack <= near.best.worth <= best.worth
    assert other.days[1] == distance(search, one.best, other.best)
    assert one.days[0] > 28 and min(other.days) > 28


# --- rules ----------------------------------------------------------------------------------------


def test_dropping_a_rule_never_makes_the_year_worth_less() -> None:
    search, _ = priced("autumn")
    book = book_of(year_of("autumn"))
    found = dict(rule_prices(search, book=book))
    assert set(found) == set(PLACING)
    assert all(one.points >= 0 for one in found.values())
    assert sum(one.points > 0.1 for one in found.values()) >= 3
    year = year_of("autumn")
    without = Search(year, book=book.without("rest-every"), caps=search.caps)
    more = (best_of(without).worth - best_of(search).worth) / 1e6
    assert found["rest-every"].points == pytest.approx(more, abs=ALIKE)


# --- what is kept ---------------------------------------------------------------------------------


def test_an_edit_makes_only_the_weeks_anew_that_it_touches(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    made: list[object] = []
    compose = kept.compose

    def counted(frame: object, order: object, **more: object) -> object:
        made.append(frame)
        return compose(frame, order, **more)  # type: ignore[arg-type]

    monkeypatch.setattr(kept, "compose", counted)
    monkeypatch.setattr(kept, "_weeks", {})
    year = year_of("autumn")
    counts = []
    away = Absence(name="Fair", first=year.span.last, last=year.span.last, left=0.5)
    for case in (year, year, year.with_fields(absences=(*year.absences, away))):
        made.clear()
        _ = Search(case, book=book_of(case)).best_variants
        counts.append(len(made))
    assert counts[0] > 300
    assert counts[1] == 0
    assert 0 < counts[2] < counts[0] / 10


def test_a_week_with_less_room_for_hangs_is_not_the_one_that_was_kept() -> None:
    weeks = priced("autumn")[0].weeks
    frame = next(f for f in weeks.frames if not f.has_rock and f.days_home == 7)
    shelf = kept.Kept(frame, book=weeks.book, book_key="these", done=())
    hangs = (Hang("fingerboard-short", 12, 3),)
    order = Order(Kind.STRENGTH, (), aim=1.0, fingers=FingerAsk(hangs), slack=1000.0)
    assert shelf.composed(order).items
    assert not shelf.composed(order._replace(slack=0.0)).items


@pytest.mark.parametrize(("share", "rock_stays"), [(0.9, True), (0.3, False)])
def test_a_year_bounded_afterwards_is_the_year_searched_with_these_bounds(
    share: float, *, rock_stays: bool
) -> None:
    search, _ = priced("autumn")
    levels = search.weeks.levels
    caps = {w.first: share * levels.of(w.first).load for w in search.grid.almanac.weeks()[4::9]}
    anew = Search(year_of("autumn"), book=book_of(year_of("autumn")), caps=caps)
    bounded = search.bounded(caps)
    assert (bounded.weeks.rock == search.weeks.rock) is rock_stays
    assert bounded.weeks.rock == anew.weeks.rock
    assert bounded.best_variants == anew.best_variants != search.best_variants
    assert bounded.prices.through == anew.prices.through
    more = {week: load / 2 for week, load in list(caps.items())[:2]}
    anew = Search(year_of("autumn"), book=book_of(year_of("autumn")), caps=caps | more)
    assert bounded.bounded(caps | more).best_variants == anew.best_variants


def test_what_is_kept_is_bounded(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(kept, "_weeks", {})
    monkeypatch.setattr(kept, "MOST_FRAMES", 5)
    year = year_of("twelve-weeks")
    _ = Search(year, book=book_of(year)).best_variants
    assert 0 < len(kept._weeks) <= 5
