"""Rules on one block: lengths, where it may stand.

Enforces `base-length`, `strength-length`, `performance-length`, `rest-length`,
`strength-before-trip`, `rock-only`, `lead-in-length`.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import timedelta

from seasonplan.body.almanac import Given
from seasonplan.days import Span
from seasonplan.planner.grid import Column, Grid
from seasonplan.rules.statements import Rule, RuleBook
from seasonplan.vocabulary import Kind

LONGEST_DAYS = 7 * 11  # longer than any block may be by the rules as delivered, unless pinned


def allowed(column: Column, grid: Grid, book: RuleBook) -> bool:
    """Whether every active rule on single blocks lets the candidate be; the past is as it was."""
    if grid.accepted:
        free = grid.span(*grid.segment(column.first))
        if not grid.accepted.was_so(column.kind, column.span, free=free):
            return False
    if grid.is_past(column.span.last):
        return True
    return all(
        enforce(column, grid, rule)
        for code, enforce in ENFORCERS[column.kind].items()
        if (rule := book.active(code)) is not None
    )


def is_layoff(gap: Sequence[Given], rule: Rule) -> bool:
    """Whether given things in a row end in a layoff as long as the rule says.

    A return to load after it does not end a layoff, a climbing trip does.
    """
    days = 0
    for given in gap:
        if given.kind in (Kind.ABSENCE, Kind.INJURED):
            days += given.span.length
        elif given.kind is Kind.TRIP or days < rule.number:
            days = 0
    return days >= rule.number


def _long_enough(column: Column, grid: Grid, days: float) -> bool:
    """Long enough, or cut short by the edge of the year or by life after it had begun.

    All but strength may also fill a short gap.
    """
    if column.days >= days or grid.is_past(column.span.first):
        return True
    fills = (column.first, column.last) == grid.segment(column.first)
    goes_on = column.last == len(grid.cells) - 1
    went_on = column.first == 0 and grid.almanac.year.before.last_kind is column.kind
    return goes_on or went_on or (column.kind is not Kind.STRENGTH and fills)


def _weeks_long(column: Column, grid: Grid, rule: Rule) -> bool:
    low, high = rule.range
    days = column.days
    if column.kind is Kind.PERFORMANCE:  # whole weeks, so that a season may open on a weekend
        days = _days_from_rock(column, grid) // 7 * 7
    return days <= 7 * high and _long_enough(column, grid, 7 * low)


def _days_from_rock(column: Column, grid: Grid) -> int:
    """Length without the lead-in."""
    ahead = grid.days_to_whole(column.span.first)
    return 0 if ahead is None else max(0, column.days - ahead)


def _rest_long(column: Column, grid: Grid, rule: Rule) -> bool:
    low, high = rule.range
    return column.days <= high and _long_enough(column, grid, low)


def _strength_before_trip(column: Column, grid: Grid, rule: Rule) -> bool:
    ahead = timedelta(days=rule.number)
    return all(
        Span(given.span.first - ahead, given.span.first).meet(column.span) is None
        for given in grid.almanac.givens
        if given.kind is Kind.TRIP
    )


def _rock_only(column: Column, grid: Grid, rule: Rule) -> bool:
    last = grid.cells[column.last]
    same_week = (c for c in grid.cells[column.first : column.last + 1] if c.week == last.week)
    return any(cell.rock for cell in same_week) or grid.trip_after(column.last)


def _lead_in_length(column: Column, grid: Grid, rule: Rule) -> bool:
    """No day is far ahead of rock; days after the last rock lie in the same calendar week."""
    ahead = grid.span(column.last, column.last).after if grid.trip_after(column.last) else None
    cells = grid.cells[column.first : column.last + 1]
    for cell in reversed(cells):
        rock = [day for day in cell.span.days() if day in grid.almanac.rock_days]
        if rock:
            ahead = rock[0]
        elif any(c.rock and c.week == cell.week and c.index < cell.index for c in cells):
            continue
        elif ahead is not None and (ahead - cell.span.first).days > rule.number:
            return False
    return ahead is None or (ahead - column.span.first).days <= rule.number


ENFORCERS: dict[Kind, dict[str, Callable[[Column, Grid, Rule], bool]]] = {
    Kind.BASE: {"base-length": _weeks_long},
    Kind.STRENGTH: {
        "strength-length": _weeks_long,
        "strength-before-trip": _strength_before_trip,
    },
    Kind.PERFORMANCE: {
        "rock-only": _rock_only,
        "lead-in-length": _lead_in_length,
        "performance-length": _weeks_long,
    },
    Kind.REST: {"rest-length": _rest_long},
}
