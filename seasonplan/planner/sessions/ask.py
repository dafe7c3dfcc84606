"""What one calendar week of a block asks for: load by quality, recipes allowed, finger dose.

Enforces `session-needs`, `session-care` and `session-test`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from itertools import groupby

from seasonplan import injury
from seasonplan.almanac import Almanac
from seasonplan.days import Span, week_start
from seasonplan.plan import Block, Loads
from seasonplan.planner.sessions.board import Board, board
from seasonplan.recipes import Need, Recipe
from seasonplan.rules import RuleBook
from seasonplan.vocabulary import Kind, Quality

TEST = "test-day"
REST = "rest-day"
TEST_WEEK_DAYS = 5


@dataclass(frozen=True, slots=True)
class Ask:
    """One calendar week's part of a block, and what it should hold."""

    block: Block
    span: Span
    minutes: int
    loads: Loads
    recipes: tuple[Recipe, ...]
    board: Board | None
    test: bool
    most_days: int
    rules: RuleBook


def asks(
    block: Block,
    almanac: Almanac,
    *,
    book: Mapping[str, Recipe],
    rules: RuleBook,
    most_days: int,
) -> Iterator[Ask]:
    """Every calendar week of a block that is trained at home; short trips inside left out."""
    home = [week for week in block.weeks if almanac.short_trip(week.span.first) is None]
    begins = almanac.week_begins
    groups = [
        list(group) for _, group in groupby(home, key=lambda w: week_start(w.span.first, begins))
    ]
    for weeks in groups:
        span = Span(weeks[0].span.first, weeks[-1].span.after)
        loads = Loads(**{q.value: sum(week.loads.of(q) for week in weeks) for q in Quality})
        days = [day for week in weeks for day in week.span.days()]
        allowed = tuple(
            recipe
            for recipe in book.values()
            if block.kind in recipe.kinds
            and recipe.id != REST
            and _there(recipe, almanac, rules)
            and not any(harms(recipe, almanac, day, rules=rules) for day in days)
        )
        spread = almanac.year.sessions.spread_in(block.id, block.kind.value)
        yield Ask(
            block,
            span,
            round(sum(week.minutes for week in weeks)),
            loads,
            allowed,
            board(loads.finger_strength, spread=spread, book=book, allowed=allowed),
            weeks is groups[-1] and _tested(block, span, rules),
            most_days,
            rules,
        )


def _tested(block: Block, span: Span, rules: RuleBook) -> bool:
    """Whether a test is due in this last week of a block."""
    rule = rules.active("session-test")
    return (
        rule is not None
        and block.kind in (Kind.BASE, Kind.STRENGTH)
        and block.span.length >= 7 * rule.number
        and span.length >= TEST_WEEK_DAYS
    )


def _there(recipe: Recipe, almanac: Almanac, rules: RuleBook) -> bool:
    """Whether there is all that a recipe needs; light and rock are looked at hour by hour."""
    has = {*almanac.year.sessions.has, Need.NOTHING, Need.DAYLIGHT, Need.ROCK}
    return rules.active("session-needs") is None or set(recipe.needs) <= has


def harms(recipe: Recipe, almanac: Almanac, day: date, *, rules: RuleBook) -> bool:
    """Whether it is not for the young, or loads a hurt part more than its phase allows."""
    if rules.active("session-care") is None:
        return False
    young = rules.active("young-fingers")
    if recipe.max_fingers and young is not None and almanac.under(young.number, day):
        return True
    hurts = almanac.hurts(day)
    if not hurts or rules.active("injury-caps") is None:
        return False
    most = injury.most_stress(hurts)
    too_much = any(stress > most[tissue] for tissue, stress in recipe.stresses.items())
    return too_much or (recipe.max_fingers and not injury.max_fingers(hurts))


def rock_here(recipe: Recipe, almanac: Almanac, day: date) -> float:
    """Chance of a good day at rock this recipe is for, 0 where there is none to go to."""
    return max(
        (
            spell.chance(day) * almanac.freedom(day, spell)
            for spell in almanac.spells
            if day in spell.span
            and (not recipe.disciplines or spell.entry.discipline in recipe.disciplines)
        ),
        default=0.0,
    )
