"""Why there is no plan: the smallest set of rules and entries that cannot all hold.

Found on models without an objective by leaving out one party after the other for good while
there is still no plan: each that is left is needed. Then the least change of each that helps.
"""

from __future__ import annotations

import threading
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import inf

from seasonplan.days import Span
from seasonplan.planner.accepted import Accepted
from seasonplan.planner.fill import fill
from seasonplan.planner.run import Found, best_plan, is_possible
from seasonplan.rules.statements import Limit, Rule, RuleBook
from seasonplan.year import Absence, Dated, Pin, Trip, Year

BEFORE = "before"  # what the climber said came before the year
LIMIT_STEPS = 8
LOOSER_ABOVE = ("rest-every", "lead-in-length", "rest-after-performance", "build-back")
CHANGE_DAYS = (1, 2, 3, 4, 5, 6, 7, 10, 14, 21, 28, 42, 56)


Case = tuple[Year, RuleBook]


@dataclass(frozen=True, slots=True)
class Party:
    """One member of a conflict: a rule by its code, or an entry by its id."""

    name: str
    is_rule: bool


@dataclass(frozen=True, slots=True)
class WayOut:
    """One change that makes a plan possible, and the points of the best plan then.

    `limit` is the new limit of a rule, `span` the new days of an entry; neither: give it up.
    """

    party: Party
    limit: Limit = None
    span: Span | None = None
    points: float | None = None
    good_days: float | None = None


@dataclass(frozen=True, slots=True)
class Conflict:
    """Parties that cannot all hold, and ways out, best first. No way: several conflicts."""

    parties: tuple[Party, ...]
    ways: tuple[WayOut, ...]


def find_conflict(
    year: Year,
    *,
    book: RuleBook,
    accepted: Accepted | None = None,
    stop: threading.Event | None = None,
) -> Conflict:
    """The smallest conflict of a year that has no plan, with the cheapest ways out.

    When `stop` is set, the ways out known by then are given.
    """
    parties, case = conflict_parties(year, book=book, accepted=accepted), (year, book)
    valued: list[WayOut] = []
    for party in parties:
        if stop is not None and stop.is_set():
            break
        ways = _smaller_changes(party, case, since=accepted.today if accepted else None)
        for way in (*ways, WayOut(party)):  # the least that helps
            if is_possible(*_taken(way, case), accepted=accepted):
                valued.append(_valued(way, case, accepted))
                break
    valued.sort(key=lambda way: inf if way.points is None else -way.points)
    return Conflict(parties, tuple(valued))


def conflict_parties(
    year: Year, *, book: RuleBook, accepted: Accepted | None = None
) -> tuple[Party, ...]:
    """A smallest set of rules and entries that cannot all hold."""
    everything = tuple(_parties(year, book))

    def impossible(kept: Sequence[Party]) -> bool:
        gone = [party for party in everything if party not in kept]
        return not is_possible(*_given_up((year, book), gone), accepted=accepted, rock=rock)

    rock = is_possible(year, book, accepted=accepted, rock=False)  # else what conflicts is not rock
    kept = list(everything)
    for party in everything:
        rest = [other for other in kept if other != party]
        if impossible(rest):
            kept = rest
    return tuple(kept)


def _parties(year: Year, book: RuleBook) -> Iterator[Party]:
    """All that can be given up; of several conflicts that of the last named remains.

    Rules on lengths come late, because without them there are many more candidates.
    """
    rules = [rule.code for rule in book if rule.hard and rule.on and rule.about == "blocks"]
    for code in sorted(rules, key=lambda code: code.endswith("-length")):
        yield Party(code, is_rule=True)
    taken = [(entry.id, entry.span) for entry in (*year.trips, *year.absences)]
    taken += [(hurt.id, Span(hurt.happened, hurt.full_from)) for hurt in year.injuries]
    for name, span in taken:
        if span.meet(year.span):
            yield Party(name, is_rule=False)
    if year.before.last_kind is not None or year.before.days_since_rest:
        yield Party(BEFORE, is_rule=False)
    for pin in year.pins:
        yield Party(pin.id, is_rule=False)


def _given_up(case: Case, gone: Sequence[Party]) -> Case:
    year, book = case
    for party in gone:
        if party.name == BEFORE:
            year = year.with_fields(before=type(year.before)())
        elif not party.is_rule:
            year = year.without(party.name)
    return year, book.without(*(party.name for party in gone if party.is_rule))


# --- ways out -------------------------------------------------------------------------------


def _smaller_changes(party: Party, case: Case, *, since: date | None) -> Iterator[WayOut]:
    """Changes of one party, the least first; none to days that are over."""
    year, book = case
    if party.is_rule:
        for limit in _looser(book[party.name]):
            yield WayOut(party, limit=limit)
        return
    entry = year.entry(party.name)
    if not isinstance(entry, (Pin, Trip, Absence)):
        return
    for days in CHANGE_DAYS:
        for span in _changed_spans(entry.span, days):
            if since is not None and span.first < since and span.first != entry.span.first:
                continue
            if not isinstance(entry, Pin) or year.span.covers(span):
                yield WayOut(party, span=span)


def _changed_spans(span: Span, days: int) -> Iterator[Span]:
    """Moved later and earlier, longer and shorter at either end, by that many days."""
    by = timedelta(days=days)
    yield span.shifted(days)
    yield span.shifted(-days)
    yield Span(span.first, span.after + by)
    yield Span(span.first - by, span.after)
    if span.length > days:
        yield Span(span.first, span.after - by)
        yield Span(span.first + by, span.after)


def _looser(rule: Rule) -> Iterator[Limit]:
    """Limits a step at a time further out; percentages and years are not stretched."""
    if rule.limit is None or rule.unit.split()[0] not in ("weeks", "days"):
        return
    for step in range(1, LIMIT_STEPS + 1):
        if isinstance(rule.limit, tuple):
            low, high = rule.limit
            yield (max(1, low - step), high)
            yield (low, high + step)
        elif rule.code in LOOSER_ABOVE:
            yield rule.limit + step
        elif rule.limit > step:
            yield rule.limit - step


def _taken(way: WayOut, case: Case) -> Case:
    """The year and book after a way out was taken."""
    year, book = case
    if way.limit is not None:
        return year, book.with_limit(way.party.name, way.limit)
    entry = year.entry(way.party.name)
    if way.span is not None and isinstance(entry, Dated):
        dates = {"first": way.span.first, "last": way.span.last}
        return year.replacing(type(entry)(**{**dict(entry), **dates})), book
    return _given_up(case, [way.party])


def _valued(way: WayOut, case: Case, accepted: Accepted | None) -> WayOut:
    changed, rules = _taken(way, case)
    found = best_plan(changed, book=rules, accepted=accepted, confirm=False)
    if not isinstance(found, Found):
        return way
    score = fill(found.search.weeks, found.search.candidates, found.blocks, accepted=accepted).score
    return replace(way, points=score.points, good_days=score.good_days)
