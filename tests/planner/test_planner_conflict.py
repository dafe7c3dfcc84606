"""Why there is no plan: the set that cannot hold, tried in every subset, and the least ways out."""

from __future__ import annotations

import threading
from dataclasses import replace
from datetime import timedelta
from functools import cache
from itertools import combinations, pairwise, product

import pytest
from plan_maker import a_year, absence, pin, season, span, trip
from planned import planned

from seasonplan.days import Span
from seasonplan.planner.conflict import (
    BEFORE,
    CHANGE_DAYS,
    Conflict,
    Party,
    WayOut,
    _smaller_changes,
    conflict_parties,
    find_conflict,
)
from seasonplan.planner.fill import fill
from seasonplan.planner.run import Found, best_plan, is_possible
from seasonplan.rules.statements import RuleBook, book_of
from seasonplan.vocabulary import Kind
from seasonplan.year import Before, Pin, Year


def rule(code: str) -> Party:
    return Party(code, is_rule=True)


def entry(name: str) -> Party:
    return Party(name, is_rule=False)


def later_pin(kind: str, first: int, days: int) -> Pin:
    one = pin(Kind(kind), first, days)
    return Pin(name="Other", kind=one.kind, first=one.first, last=one.last)


# an impossible year, and what by its making cannot hold together
CASES: dict[str, tuple[Year, set[Party]]] = {
    "a pin too short": (
        a_year(8, pins=[pin(Kind.BASE, 21, 14)]), {rule("base-length"), entry("pin")},
    ),
    "a pin of a week": (
        a_year(8, pins=[pin(Kind.BASE, 21, 7)]), {rule("base-length"), entry("pin")},
    ),
    "two pins at odds": (
        a_year(8, pins=[pin(Kind.BASE, 14, 28), later_pin("rest", 28, 7)]),
        {entry("pin"), entry("other")},
    ),
    "a pin inside a trip": (
        a_year(8, trips=[trip(21, 10)], pins=[pin(Kind.REST, 22, 7)]),
        {entry("trip"), entry("pin")},
    ),
    "strength after performing": (
        a_year(8, pins=[pin(Kind.STRENGTH, 0, 28)], before=Before(last_kind="performance")),
        {rule("rest-before-strength"), entry(BEFORE), entry("pin")},
    ),
    "strength after a layoff": (
        a_year(10, absences=[absence(14, 21)], pins=[pin(Kind.STRENGTH, 35, 28)]),
        {rule("build-back"), entry("away"), entry("pin")},
    ),
    "strength up to a trip": (
        a_year(11, trips=[trip(56, 7)], pins=[pin(Kind.STRENGTH, 28, 28)]),
        {rule("strength-before-trip"), entry("trip"), entry("pin")},
    ),
    "performing without rock": (
        a_year(8, pins=[pin(Kind.PERFORMANCE, 21, 14)]), {rule("rock-only"), entry("pin")},
    ),
}  # fmt: skip
every_case = pytest.mark.parametrize("name", CASES)


@cache
def conflict(name: str) -> Conflict:
    year = CASES[name][0]
    return find_conflict(year, book=book_of(year))


def without(year: Year, gone: set[Party]) -> tuple[Year, RuleBook]:
    """The year and its rules without some parties."""
    book = book_of(year).without(*(one.name for one in gone if one.is_rule))
    for one in gone:
        if one.name == BEFORE:
            year = year.with_fields(before=Before())
        elif not one.is_rule:
            year = year.without(one.name)
    return year, book


def everything(year: Year) -> set[Party]:
    """All that a year could do without: hard rules on blocks, entries, what came before."""
    rules = {rule(one.code) for one in book_of(year) if one.hard and one.about == "blocks"}
    entries = {entry(one.id) for one in (*year.pins, *year.trips, *year.absences)}
    return rules | entries | ({entry(BEFORE)} if year.before.last_kind else set())


# --- what cannot hold -----------------------------------------------------------------------------


@every_case
def test_the_parties_are_those_that_were_made_to_be_at_odds(name: str) -> None:
    assert set(conflict(name).parties) == CASES[name][1]
    assert len(conflict(name).parties) == len(CASES[name][1])


@every_case
def test_all_of_them_cannot_hold_alone_and_each_fewer_can(name: str) -> None:
    """Every subset, with all else given up."""
    year = CASES[name][0]
    parties = conflict(name).parties
    assert not is_possible(year, book=book_of(year))
    for size in range(len(parties) + 1):
        for kept in combinations(parties, size):
            changed, book = without(year, everything(year) - set(kept))
            assert is_possible(changed, book=book) is (size < len(parties)), kept


def test_of_two_conflicts_one_is_named_and_giving_up_one_party_does_not_help() -> None:
    year = a_year(12, pins=[pin(Kind.BASE, 14, 14), later_pin("strength", 56, 14)])
    found = find_conflict(year, book=book_of(year))
    (code,) = [one.name for one in found.parties if one.is_rule]
    (held,) = [one.name for one in found.parties if not one.is_rule]
    assert (code, held) in {("base-length", "pin"), ("strength-length", "other")}
    assert found.ways == ()


def test_rules_that_are_off_or_soft_are_never_at_odds() -> None:
    for name in CASES:
        year = CASES[name][0]
        hard = {one.code for one in book_of(year) if one.hard and one.about == "blocks"}
        assert {one.name for one in conflict(name).parties if one.is_rule} <= hard
    short, parties = CASES["a pin too short"]
    year = short.with_fields(rules=a_year(rules={"order": {"on": False}}).rules)
    assert set(conflict_parties(year, book=book_of(year))) == parties


# --- ways out -------------------------------------------------------------------------------------


def taken(way: WayOut, year: Year) -> tuple[Year, RuleBook]:
    """The year and its rules with a way out taken."""
    if way.limit is not None:
        return year, book_of(year).with_limit(way.party.name, way.limit)
    if way.span is None:
        return without(year, {way.party})
    old = year.entry(way.party.name)
    days = {"first": way.span.first, "last": way.span.last}
    return year.replacing(type(old)(**{**dict(old), **days})), book_of(year)


@every_case
def test_every_way_out_leaves_a_plan_worth_what_is_said(name: str) -> None:
    year, ways = CASES[name][0], conflict(name).ways
    assert ways
    for way in ways:
        changed, book = taken(way, year)
        found = best_plan(changed, book=book, confirm=False)
        assert isinstance(found, Found)
        score = fill(found.search.weeks, found.search.candidates, found.blocks).score
        assert way.points == pytest.approx(score.points)
        assert way.good_days == pytest.approx(sum(one.good_days for one in score.occasions))


@every_case
def test_ways_out_are_of_parties_one_each_and_the_best_comes_first(name: str) -> None:
    found = conflict(name)
    parties = [way.party for way in found.ways]
    assert len(set(parties)) == len(parties) and set(parties) <= set(found.parties)
    points = [way.points for way in found.ways]
    assert all(a is not None and b is not None and a >= b for a, b in pairwise(points))


def ways(name: str) -> dict[str, WayOut]:
    """The ways out by their parties, without what they are worth."""
    bare = (replace(way, points=None, good_days=None) for way in conflict(name).ways)
    return {way.party.name: way for way in bare}


def test_the_least_change_is_told() -> None:
    """By hand: where rest of five days or a week can go between, and what no limit can mend."""
    short = ways("a pin too short")
    assert short["base-length"] == WayOut(rule("base-length"), limit=(2, 8))
    assert short["pin"] == WayOut(entry("pin"), span=span(14, 21))
    assert ways("a pin of a week")["base-length"] == WayOut(rule("base-length"), limit=(1, 8))
    trips = ways("strength up to a trip")
    assert trips["pin"] == WayOut(entry("pin"), span=span(28, 21))
    assert trips["trip"] == WayOut(entry("trip"), span=span(56, 4))  # so short a trip is no block
    assert trips["strength-before-trip"] == WayOut(rule("strength-before-trip"))
    before = ways("strength after performing")
    assert before[BEFORE] == WayOut(entry(BEFORE))
    assert before["rest-before-strength"] == WayOut(rule("rest-before-strength"))
    assert before["pin"] == WayOut(entry("pin"), span=span(5, 28))
    away = ways("strength after a layoff")
    assert away["build-back"] == WayOut(rule("build-back"), limit=22.0)
    assert ways("performing without rock")["rock-only"] == WayOut(rule("rock-only"))


def test_no_way_out_leads_to_days_that_are_over() -> None:
    """The user was told to move a pin to last week, and doing just that was no plan."""
    case = CASES["a pin too short"][0], book_of(CASES["a pin too short"][0])
    since, old = span(18, 1).first, case[0].entry("pin").span
    for today, over in ((None, True), (since, False)):
        found = [one.span for one in _smaller_changes(entry("pin"), case, since=today)]
        early = [s for s in found if s is not None and s.first < since and s.first != old.first]
        assert bool(early) is over and len(found) > 20


@every_case
def test_no_smaller_change_of_an_entry_would_do(name: str) -> None:
    """Moved later or earlier, longer or shorter at either end, by any smaller step there is."""
    year = CASES[name][0]
    for way in conflict(name).ways:
        if way.span is None:
            continue
        old = year.entry(way.party.name).span
        moved = max(abs((way.span.first - old.first).days), abs((way.span.after - old.after).days))
        for days in (n for n in CHANGE_DAYS if n < moved):
            for first, after in product((-days, 0, days), repeat=2):
                other = (old.first + timedelta(first), old.after + timedelta(after))
                inside = year.span.first <= other[0] < other[1] <= year.span.after
                if first == after == 0 or first == -after or not inside:
                    continue
                changed, book = taken(replace(way, span=Span(*other)), year)
                assert not is_possible(changed, book=book), other


def test_a_search_for_ways_that_is_stopped_tells_what_cannot_hold() -> None:
    year, parties = CASES["a pin too short"]
    stop = threading.Event()
    stop.set()
    found = find_conflict(year, book=book_of(year), stop=stop)
    assert set(found.parties) == parties and found.ways == ()


def test_a_year_that_gives_up_either_party_has_a_plan() -> None:
    year = a_year(8, seasons=[season(28, 21)], pins=[pin(Kind.STRENGTH, 28, 7)])
    assert planned(year) is None
    for party in conflict_parties(year, book=book_of(year)):
        changed, book = without(year, {party})
        assert is_possible(changed, book=book)
