"""What bending soft rules costs, and what of it hangs on single candidates.

Gives `model` and `seed` what they need to enforce `few-changes`, `lead-in-start`, `load-step` and
`base-first`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from seasonplan.days import ONE_DAY, Span
from seasonplan.planner.columns import Column, Columns
from seasonplan.planner.order import boundaries
from seasonplan.response import weekly_before
from seasonplan.rules import Rule
from seasonplan.vocabulary import Kind


def openings(columns: Columns, rule: Rule) -> list[date]:
    """Days on which a season or window of a dear goal opens and a lead-in could be had.

    Not asked where days before it are given, lie outside the year, or have rock already.
    """
    almanac = columns.grid.almanac
    found = set()
    for chance in almanac.opportunities:
        opens = chance.spell.span.first
        lead = Span(opens - timedelta(days=rule.number), opens + ONE_DAY)
        if chance.goal.priority != 1 or chance.spell.is_trip or not almanac.span.covers(lead):
            continue
        if opens - ONE_DAY in almanac.rock_days or any(g.span.meet(lead) for g in almanac.givens):
            continue
        found.add(opens)
    return sorted(found)


def leads_into(column: Column, opens: date, rule: Rule) -> bool:
    """Whether a candidate performs on that day and began early enough."""
    return (
        column.kind is Kind.PERFORMANCE
        and opens in column.span
        and (opens - column.span.first).days >= rule.number
    )


@dataclass(frozen=True, slots=True)
class Step:
    """A calendar week whose load is held against `limit` x the mean of the weeks before it.

    `week` and `before` are calendar week numbers; `known` is load of weeks before the year.
    """

    week: int
    before: tuple[int, ...]
    known: float


LOOK_BACK_WEEKS = 4


def steps(columns: Columns) -> Iterator[Step]:
    """Whole weeks of chosen days; weeks with given days or a short trip are not judged."""
    grid = columns.grid
    history = weekly_before(grid.almanac.year)
    days: dict[int, int] = {}
    taken: set[int] = set()
    for cell in grid.cells:
        days[cell.week] = days.get(cell.week, 0) + cell.span.length
        if cell.given is not None or grid.almanac.short_trip(cell.span.first):
            taken.add(cell.week)
    first = 0 if days[0] == 7 else 1  # a short first week is no measure
    for week, length in days.items():
        if length < 7 or week in taken:
            continue
        back = range(week - LOOK_BACK_WEEKS, week)
        inside = tuple(w for w in back if w >= first)
        missing = LOOK_BACK_WEEKS - len(inside)
        if missing > len(history):
            continue
        known = sum(history[len(history) - missing :]) if missing else 0.0
        yield Step(week, inside, known)


def rest_then_strength(columns: Columns) -> Iterator[tuple[list[int], list[int]]]:
    """Candidates (rest ends, strength begins) at each boundary with nothing given between."""
    for boundary in boundaries(columns):
        if boundary.gap:
            continue
        ends = [
            n for n, c in enumerate(columns.all) if c.kind is Kind.REST and c.last == boundary.last
        ]
        begins = [
            n
            for n, c in enumerate(columns.all)
            if c.kind is Kind.STRENGTH and c.first == boundary.first
        ]
        if ends and begins:
            yield ends, begins
