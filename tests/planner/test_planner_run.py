"""A year searched, searched again where weeks hold too much; and what each rule costs it."""

from __future__ import annotations

import threading
from dataclasses import replace
from functools import cache
from typing import Any

import pytest
from plan_maker import a_year, absence, day, goal, injury, pin, season, span, trip

from seasonplan.planner import search as searches
from seasonplan.planner.accepted import Accepted
from seasonplan.planner.candidates import Candidates
from seasonplan.planner.fill import fill
from seasonplan.planner.path import Best, Graph, Prices
from seasonplan.planner.prices import rule_prices
from seasonplan.planner.run import (
    Found,
    Impossible,
    Progress,
    best_plan,
    is_possible,
)
from seasonplan.planner.search import CUT_PRICE, PLACING, Search
from seasonplan.planner.values import PARTS, Amount
from seasonplan.rules.statements import book_of
from seasonplan.vocabulary import Kind
from seasonplan.year import Before, Year

SMALL = a_year(
    10, seasons=[season(35, 21)], goals=[goal(priority=1)], trips=[trip(14, 6)],
    before=Before(weekly_load=(2000.0,) * 6),
)  # fmt: skip


@cache
def searched() -> Search:
    return Search(SMALL, book=book_of(SMALL))


def best_of(search: Search) -> Best:
    best = search.prices.best()
    assert best is not None
    return best


def test_a_search_that_is_done_says_so_once() -> None:
    told: list[Progress] = []
    best_plan(SMALL, book=book_of(SMALL), confirm=False, on_progress=told.append)
    assert told == [Progress(impossible=False)]


def test_an_impossible_year_says_so_without_a_search() -> None:
    year = a_year(6, pins=[pin(Kind.BASE, 7, 7)])
    assert isinstance(best_plan(year, book=book_of(year)), Impossible)
    assert not is_possible(year, book=book_of(year))
    loose = book_of(year).without("base-length")
    assert is_possible(year, book=loose)
    assert isinstance(best_plan(year, book=loose, confirm=False), Found)


def test_without_rock_that_is_gone_to_a_season_is_not_for_performing() -> None:
    """Rock is in condition on days too short to go: only the choice of days knows."""
    short = {"minutes": {"tuesday": 60, "saturday": 60}}
    year = a_year(6, climber=short, seasons=[season(14, 14)], goals=[goal()])
    search = Search(year, book=book_of(year))
    assert not any(one.kind is Kind.PERFORMANCE for one in search.candidates.all)
    free = Candidates(search.grid, book_of(year))
    assert any(one.kind is Kind.PERFORMANCE for one in free.all)
    assert is_possible(year, book=book_of(year), rock=False)


# --- what a search tells of a plan ----------------------------------------------------------------


def test_loads_of_a_placed_year_are_those_of_its_sessions_week_by_week() -> None:
    """Given weeks between blocks hold what is possible in them."""
    hurt = SMALL.with_fields(injuries=(injury(56, easy=63, building=66, full=70),))
    for search, home in ((searched(), 9), (Search(hurt, book=book_of(hurt)), 9)):
        best = best_of(search)
        filled = fill(search.weeks, search.candidates, search.blocks(best))
        placed = search.placed(best)
        assert [one.first for one in placed] == [day(7 * n) for n in range(10)]
        for first, load, *_ in placed:
            there = [one for one in filled.sessions if 0 <= (one.day - first).days < 7]
            assert load == pytest.approx(sum(one.load for one in there))
        assert all(one.load > 0 for one in placed)
        away = [one.first for one in placed if not one.home]
        assert away == [day(14)] and len(placed) - len(away) == home


def test_a_week_that_is_over_holds_what_was_done_of_it_and_is_not_asked() -> None:
    first = fill(searched().weeks, searched().candidates, searched().blocks(best_of(searched())))
    over = tuple(one for one in first.sessions if one.day < day(10))
    accepted = Accepted(first.blocks, day(10), sessions=over, done={day(0): 0.5})
    search = Search(SMALL, book=book_of(SMALL), accepted=accepted)
    placed = {one.first: (one.load, one.home) for one in search.placed(best_of(search))}
    whole = sum(one.load for one in first.sessions if one.day < day(7))
    assert placed[day(0)] == (pytest.approx(0.5 * whole), False)
    assert placed[day(7)][1] is False  # it has begun
    assert placed[day(21)][1] is True and placed[day(21)][0] > 0


def test_the_blocks_of_a_path_and_given_things_are_all_days_in_order() -> None:
    year = SMALL.with_fields(
        absences=(absence(63, 6),), injuries=(injury(20, easy=21, building=23, full=26),),
        pins=(pin(Kind.PERFORMANCE, 35, 21),),
    )  # fmt: skip
    search = Search(year, book=book_of(year))
    blocks = search.blocks(best_of(search))
    assert [d for one in blocks for d in one.span.days()] == list(year.span.days())
    given = {(one.kind, one.entry, one.phase) for one in search.grid.almanac.givens}
    assert {(b.kind, b.entry, b.phase) for b in blocks if not b.kind.chosen} == given
    pinned = [one for one in blocks if one.pinned]
    assert [(one.kind, one.span, one.entry) for one in pinned] == [
        (Kind.PERFORMANCE, span(35, 21), "pin")
    ]
    assert all(one.entry is None for one in blocks if one.kind.chosen and not one.pinned)


def test_the_days_on_rock_and_worth_of_candidates_are_sums_over_their_weeks() -> None:
    search = searched()
    for number, column in enumerate(search.candidates.all):
        variant, worth = search.best_variants[number]
        parts = list(search.candidates.roles(column, variant))
        weeks = [search.weeks.week(*part) for part in parts]
        points = sum(search.weeks.amount(*part).points for part in parts)
        rock = [item for week in weeks for item in week.items if item.role is not None]
        amount = search.amount(column, variant)
        assert amount.points == pytest.approx(points)
        assert amount.rock_days == len({item.day for item in rock})
        assert set(search.rock_days(column, variant)) == {item.day for item in rock}
        assert worth == round(PARTS * (amount.points - search.softs.points(column, variant)))
        chances = [c.chances for c in search.grid.almanac.opportunities]
        good = sum(max(c.get(item.day, 0.0) for c in chances) for item in rock if item.rock)
        assert amount.good_days == pytest.approx(good)


def test_a_change_of_an_accepted_plan_costs_what_its_days_do_and_a_cut_week_a_point() -> None:
    """Candidates of a year searched again, at two prices of changes: by their days."""
    plan = fill(searched().weeks, searched().candidates, searched().blocks(best_of(searched())))
    accepted = Accepted(plan.blocks, day(24), keep=0.5, sessions=plan.sessions, homes=plan.sessions)
    search = Search(SMALL, book=book_of(SMALL), accepted=accepted)
    dear, free = search, search.keeping(replace(accepted, keep=0.0))
    assert free.graph is dear.graph and (dear.keep, free.keep) == (0.5, 0.0)
    compared = 0
    for column in search.candidates.all:
        for variant in search.candidates.variants(column):
            cost = 0.5 * accepted.changed(column.kind, variant.emphasis, column.span)
            worths = (free.worth(column, variant), dear.worth(column, variant))
            assert worths[0] - worths[1] == pytest.approx(PARTS * cost, abs=2)
            compared += cost > 0
    assert compared > 20


@pytest.mark.parametrize("today", [24, 45])
def test_a_candidate_of_a_week_that_has_begun_is_worth_its_weeks_and_what_is_over_of_it(
    today: int,
) -> None:
    """Less a point where it cuts that week; of weeks that are over nothing is counted."""
    plan = fill(searched().weeks, searched().candidates, searched().blocks(best_of(searched())))
    accepted = Accepted(plan.blocks, day(today), sessions=plan.sessions, homes=plan.sessions)
    search = Search(SMALL, book=book_of(SMALL), accepted=accepted)
    whole = next(b for b in plan.blocks if day(today) in b.span)
    assert whole.span.first < day(today) and CUT_PRICE == 1.0
    cut = over = 0
    for column in search.candidates.all:
        for variant in search.candidates.variants(column):
            points = sum(
                search.weeks.amount(cell, role).points
                for cell, role in search.candidates.roles(column, variant)
                if cell.span.first >= day(today)
            )
            points += search.weeks.worth_over(column.last) - search.softs.points(column, variant)
            points -= CUT_PRICE * (column.span.first == day(today))
            assert search.worth(column, variant) == pytest.approx(PARTS * points, abs=2)
            cut += column.span.first == day(today)
            over += bool(search.weeks.worth_over(column.last))
    assert cut >= 5 and over >= 1


# --- rules ----------------------------------------------------------------------------------------


@cache
def prices() -> dict[str, Amount]:
    return dict(rule_prices(searched(), book=book_of(SMALL)))


def test_the_price_of_a_rule_is_the_year_searched_without_it() -> None:
    """Of those that cost something, and of two that do not."""
    search, book = searched(), book_of(SMALL)
    costly = [code for code, one in prices().items() if one.points > 0]
    assert len(costly) >= 2
    for code in (*costly, "rest-length", "order"):
        other = Search(SMALL, book=book.without(code), caps=search.caps)
        more = best_of(other).worth - best_of(search).worth
        assert prices()[code].points == pytest.approx(more / PARTS)
        days = on_rock(other) - on_rock(search)
        assert prices()[code].rock_days == days


def on_rock(search: Search) -> int:
    """Days on rock of the best year."""
    chosen = [
        (search.candidates.all[n], search.best_variants[n][0]) for n in best_of(search).columns
    ]
    return sum(len(set(search.rock_days(*one))) for one in chosen)


def test_each_rule_that_is_on_and_places_blocks_is_priced_once_in_the_order_of_the_book() -> None:
    book = book_of(SMALL)
    assert list(prices()) == [rule.code for rule in book if rule.code in PLACING]
    off = book.without("few-changes", "rest-length")
    told = [code for code, _ in rule_prices(searched().under(off), book=off)]
    assert told == [code for code in prices() if code not in ("few-changes", "rest-length")]
    assert prices()["rest-by-days-off"] == Amount(0.0, 0, 0.0)


def test_a_stop_ends_the_asking_and_a_year_without_a_plan_has_no_prices() -> None:
    stop = threading.Event()
    found = []
    for one in rule_prices(searched(), book=book_of(SMALL), stop=stop):
        found.append(one)
        stop.set()
    assert len(found) == 1
    year = a_year(6, pins=[pin(Kind.BASE, 7, 7)])
    assert list(rule_prices(Search(year, book=book_of(year)), book=book_of(year))) == []


# --- asked again ----------------------------------------------------------------------------------


def a_search(year: Year, **fields: Any) -> Search:
    return Search(year, book=book_of(year), **fields)


@pytest.fixture
def kept(monkeypatch: pytest.MonkeyPatch) -> list[Search]:
    """The searches that are kept: none as yet."""
    none: list[Search] = []
    monkeypatch.setattr(searches, "_kept", none)
    return none


@pytest.mark.parametrize(
    "other",
    [{"caps": {day(0): 100.0}}, {"accepted": Accepted((), day(0))},
     {"taken": {day(0): ((600, 700),)}}],
)  # fmt: skip
def test_a_year_of_which_anything_else_is_asked_is_searched_anew(
    kept: list[Search], other: dict[str, Any]
) -> None:
    one = a_search(SMALL)
    one.remember()
    assert a_search(SMALL).known() is one
    assert a_search(SMALL, **other).known() is None


def test_only_the_last_few_searches_are_kept_the_newest_first(kept: list[Search]) -> None:
    for n in range(searches.MOST_KEPT + 3):
        a_search(SMALL, caps={day(0): float(n)}).remember()
    newest = [float(n) for n in range(searches.MOST_KEPT + 2, 2, -1)]
    assert [one.caps[day(0)] for one in kept] == newest
    kept[2].remember()
    assert [one.caps[day(0)] for one in kept] == [newest[2], *newest[:2], *newest[3:]]


def test_rules_of_the_year_itself_are_in_the_book_and_ask_nothing_more(kept: list[Search]) -> None:
    stands = searched()
    stands.remember()
    changed = SMALL.with_fields(rules=a_year(rules={"few-changes": {"weight": 0.5}}).rules)
    found = a_search(changed).known()
    assert found is not None and found is not stands
    assert found.weeks.frames is stands.weeks.frames
    assert isinstance(found.graph, Graph) and isinstance(found.prices, Prices)
