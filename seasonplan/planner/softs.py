"""What bending soft rules costs, and what of it hangs on single candidates or two in a row.

Enforces `few-changes`, `lead-in-start`, `base-first`, `work-before-lead-in`, `work-before-rest`,
`short-rest`, `rest-before-rock`, `rest-by-days-off`, `power-endurance-late`, `weak-first` and
`strength-late`.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property

from seasonplan.body.almanac import Almanac
from seasonplan.body.little_time import share_left
from seasonplan.body.opening import whole_from
from seasonplan.body.response import QUALITIES, body_of
from seasonplan.body.worth import demands
from seasonplan.days import ONE_DAY, Span
from seasonplan.planner.candidates import TRAINED_IN_WAVES, Candidates, Variant
from seasonplan.planner.care import is_there, is_young
from seasonplan.planner.grid import LIGHT, Column
from seasonplan.planner.menus import can_train
from seasonplan.planner.order import Ending, ending, too_soon
from seasonplan.planner.values import PARTS
from seasonplan.recipes import recipes
from seasonplan.rules.statements import Rule
from seasonplan.rules.tables import composing
from seasonplan.vocabulary import EMPHASES, TRAINS, Emphasis, Kind

WEEK_DAYS, SHORT_PART_DAYS = 7, 4
ONE_WEEK = timedelta(weeks=1)
LITTLE_TIME = composing().load.cut_below
UNASKED = (Emphasis.NONE, Emphasis.POWER_ENDURANCE)  # by rule weak-first
PE_WEEKS = composing().block.power_endurance_weeks


@dataclass(frozen=True)
class Softs:
    """The soft rules of a year, asked of one candidate at a time."""

    candidates: Candidates

    def costs(self, column: Column, variant: Variant) -> dict[str, float]:
        """How far a candidate bends each rule, in the rule's `per`."""
        asked = self._asked[column.kind]
        found = {rule.code: measure(self, column, variant, rule) for rule, measure in asked}
        return {code: amount for code, amount in found.items() if amount}

    @cached_property
    def _asked(self) -> dict[Kind, list[tuple[Rule, Measure]]]:
        """What the rules that are on ask of each kind of block."""
        active = self.candidates.book.active
        return {
            kind: [(rule, measure) for code, measure in some.items() if (rule := active(code))]
            for kind, some in MEASURES.items()
        }

    def points(self, column: Column, variant: Variant) -> float:
        """Points that a candidate costs."""
        book = self.candidates.book
        return sum(
            book[code].weight * amount for code, amount in self.costs(column, variant).items()
        )

    def costs_of_all(self, row: Sequence[tuple[Column, Variant]]) -> dict[str, float]:
        """How far candidates that make up a year bend each rule, in the rule's `per`."""
        grid, book = self.candidates.grid, self.candidates.book
        found: dict[str, float] = defaultdict(float)
        rested = date.min
        for n, (column, variant) in enumerate(row):
            for code, amount in self.costs(column, variant).items():
                found[code] += amount
            first = column.span.first
            rested = max(rested, grid.off_until(first))
            ended = ending(row[n - 1][0], self.candidates) if n else Ending(None)
            soon = too_soon(first, rested, book)
            if bent := self.between(ended, column.kind, column.first, soon):
                found[bent.code] += 1.0
            if column.kind is Kind.REST:
                rested = column.span.after
        return found

    def between(self, before: Ending, kind: Kind, first: int, soon: bool) -> Rule | None:
        """The rule that two blocks in a row bend, by the first cell of the second one: strength
        straight after rest, a lead-in straight after rest or a light week, or rest straight after
        a light week or too `soon` after the last."""
        grid, book = self.candidates.grid, self.candidates.book
        if before.kind is None or grid.cells[first - 1].given is not None:
            return None
        rested, trained = before.kind is Kind.REST, before.kind in TRAINED_IN_WAVES
        light = trained and not before.owes_light and book.active("deload") is not None
        if kind is Kind.STRENGTH:
            return book.active("base-first") if rested else None
        if kind is Kind.REST:
            return book.active("work-before-rest") if light or (trained and soon) else None
        if kind is not Kind.PERFORMANCE or not (rested or light):
            return None
        begins = grid.cells[first].span.first
        ahead = grid.days_to_whole(begins)
        waits = ahead is None or ahead >= WEEK_DAYS
        return book.active("work-before-lead-in") if waits else None

    def parts_between(self, before: Ending, kind: Kind, first: int, soon: bool) -> int:
        """What that costs, in parts of a point."""
        rule = self.between(before, kind, first, soon)
        return round(PARTS * rule.weight) if rule else 0

    def opens_rested(self, column: Column) -> bool:
        """Whether it opens the year, and none of the blocks that ask for one after them is told to
        have come before."""
        year = self.candidates.grid.almanac.year
        return column.span.first == year.span.first and year.before.last_kind in (None, Kind.REST)

    @cached_property
    def openings(self) -> tuple[date, ...]:
        """Days on which a season, window or trip of a goal that matters most opens, or its easy
        opening is over, and a lead-in is possible.

        Not asked where days before that are given, lie outside the year, or have rock already, nor
        where the first rock is farther from them than a lead-in may last.
        """
        rule = self.candidates.book["lead-in-start"]
        almanac = self.candidates.grid.almanac
        found = set()
        for chance in almanac.opportunities:
            opens, trip = chance.spell.opens, chance.spell.is_trip
            whole = whole_from(almanac, chance.spell)
            lead = Span(whole - timedelta(days=rule.number), whole + (not trip) * ONE_DAY)
            if not almanac.matters_most(chance.goal) or not almanac.span.covers(lead):
                continue
            if trip and almanac.given_kinds.get(opens) is not Kind.TRIP:
                continue  # too short to be a block
            taken = any(given.span.meet(lead) for given in almanac.givens)
            if opens - ONE_DAY in almanac.rock_days or taken:
                continue
            if _in_reach(self.candidates, lead):
                found.add(whole)
        return tuple(sorted(found))

    @cached_property
    def dear_starts(self) -> tuple[date, ...]:
        """First days of trips, and of seasons and windows of goals that matter most."""
        almanac = self.candidates.grid.almanac
        firsts = {
            chance.spell.span.first
            for chance in (*almanac.opportunities, *almanac.later)
            if almanac.matters_most(chance.goal) or chance.spell.is_trip
        }
        return tuple(sorted(firsts))

    @cached_property
    def weak(self) -> dict[Kind, frozenset[Emphasis]]:
        """What blocks of base and strength can train that some goal asks more of than there is.

        Power endurance is asked when rock is near, not when it lacks.
        """
        almanac, rules = self.candidates.grid.almanac, self.candidates.book
        year = almanac.year
        own = body_of(year).rating
        asked = [max(each) for each in zip(*map(demands, year.goals), strict=True)]
        lacking = {q for q, a, b in zip(QUALITIES, asked, own, strict=False) if a > b}
        young = is_young(almanac, almanac.span.first, rules=rules)
        can = {
            one.id
            for one in recipes(year.recipes).values()
            if is_there(one, year) and not (young and (one.max_fingers or one.grown_up))
        }
        return {
            kind: frozenset(
                one for one in EMPHASES[kind]
                if one not in UNASKED and TRAINS[one] in lacking
                and can_train(kind, one, can)
            ) for kind in TRAINED_IN_WAVES
        }  # fmt: skip

    @cached_property
    def rock_starts(self) -> tuple[date, ...]:
        """First days of all rock that serves a goal, also of that to come after the year."""
        almanac = self.candidates.grid.almanac
        every = (*almanac.opportunities, *almanac.later)
        return tuple(sorted({chance.spell.span.first for chance in every}))


def _in_reach(candidates: Candidates, lead: Span) -> bool:
    """Whether a lead-in that begins with those days can last until the rock or trip it is for."""
    almanac = candidates.grid.almanac
    given = min((g for g in almanac.givens if g.span.first >= lead.last), default=None,
                key=lambda g: g.span.first)  # fmt: skip
    rock = min((day for day in almanac.rock_days if day >= lead.last), default=None)
    if given is not None and (rock is None or given.span.first <= rock):
        rock = given.span.first if given.kind is Kind.TRIP else None
    most = candidates.book.active("lead-in-length")
    return rock is not None and (most is None or (rock - lead.first).days <= most.number)


def leads_into(column: Column, opens: date, rule: Rule) -> bool:
    """Whether a candidate performs until that day and began early enough."""
    return (
        column.kind is Kind.PERFORMANCE
        and column.span.first <= opens <= column.span.after
        and (opens - column.span.first).days >= rule.number
    )


def _one(softs: Softs, column: Column, variant: Variant, rule: Rule) -> float:
    return 1.0


def _late_lead(softs: Softs, column: Column, variant: Variant, rule: Rule) -> float:
    """Openings of such seasons inside a candidate that it does not lead into."""
    trip = softs.candidates.grid.trip_after(column.last)
    until = column.span.after if trip else column.span.last
    inside = [opens for opens in softs.openings if column.span.first <= opens <= until]
    return float(sum(not leads_into(column, opens, rule) for opens in inside))


def _long_rest(softs: Softs, column: Column, variant: Variant, rule: Rule) -> float:
    """Days beyond, of calendar weeks but for short parts, beside given things, that hold little."""
    cells = softs.candidates.grid.cells[column.first : column.last + 1]
    whole = sum(cell.span.length for cell in cells if cell.span.length > SHORT_PART_DAYS)
    return max(0.0, whole - rule.number)


def _rest_near(softs: Softs, column: Column, variant: Variant, rule: Rule) -> float:
    """Days of rest in the last days before a trip or a season of a goal that matters most."""
    ahead = timedelta(days=rule.number)
    spans = [Span(first - ahead, first).meet(column.span) for first in softs.dear_starts]
    return float(sum(span.length for span in spans if span))


def _rest_by_days_off(softs: Softs, column: Column, variant: Variant, rule: Rule) -> float:
    """Rest that days off right before it, or right after it, are already, or weeks of little time
    before it, or that is a step back from them, or that opens a year before which no training is
    told."""
    if softs.opens_rested(column) or _after_little_time(softs.candidates.grid.almanac, column):
        return 1.0
    cells = softs.candidates.grid.cells
    beside = (
        cells[n].given if 0 <= n < len(cells) else None for n in (column.first - 1, column.last + 1)
    )
    before, after = (given.kind if given else None for given in beside)
    if before is Kind.TRIP:
        return 0.0
    leads_back = softs.candidates.leads_back(column.span.first)
    return float(leads_back or before in LIGHT or after in LIGHT)


def _after_little_time(almanac: Almanac, column: Column) -> bool:
    """Whether it begins with the first week after such."""
    first = column.span.first
    if first != almanac.week_of(first):
        return False
    return _holds_little(almanac, first - ONE_WEEK) and not _holds_little(almanac, first)


def _holds_little(almanac: Almanac, first: date) -> bool:
    week = Span(first, first + ONE_WEEK).meet(almanac.span)
    return week is not None and share_left(almanac, week) < LITTLE_TIME


def _rest_at_once(softs: Softs, column: Column, variant: Variant, rule: Rule) -> float:
    """Rest that opens a year soon after rest before it, out of training."""
    year, book = softs.candidates.grid.almanac.year, softs.candidates.book
    first = year.span.first
    rested = first - timedelta(days=year.before.days_since_rest)
    trained = column.span.first == first and year.before.last_kind in TRAINED_IN_WAVES
    return float(trained and too_soon(first, rested, book))


def _late_power_endurance(softs: Softs, column: Column, variant: Variant, rule: Rule) -> float:
    """Power endurance that is long, or far from rock."""
    if variant.emphasis is not Emphasis.POWER_ENDURANCE:
        return 0.0
    until = column.span.after + timedelta(days=rule.number)
    near = any(column.span.first < first <= until for first in softs.rock_starts)
    return float(column.days > 7 * PE_WEEKS) + float(not near)


def _opens_with_strength(softs: Softs, column: Column, variant: Variant, rule: Rule) -> float:
    """Strength that opens a year before which no training is told."""
    return float(softs.opens_rested(column))


def _not_weak(softs: Softs, column: Column, variant: Variant, rule: Rule) -> float:
    """Training of what is not lacking, where it could be of what is."""
    weak, named = softs.weak[column.kind], variant.emphasis not in UNASKED
    return float(named and bool(weak) and variant.emphasis not in weak)


def _base_for_fingers(softs: Softs, column: Column, variant: Variant, rule: Rule) -> float:
    """Base for fingers that lack shortly before the rock that matters most, or a trip."""
    last = (Kind.STRENGTH, Emphasis.FINGERS)
    if variant.emphasis is not last[1] or last[1] not in softs.weak[last[0]]:
        return 0.0
    until = column.span.after + timedelta(days=rule.number)
    return float(any(column.span.after <= first <= until for first in softs.dear_starts))


Measure = Callable[[Softs, Column, Variant, Rule], float]
OF_ALL: dict[str, Measure] = {"few-changes": _one, "lead-in-start": _late_lead}
MEASURES: dict[Kind, dict[str, Measure]] = {
    Kind.BASE: {
        **OF_ALL,
        "power-endurance-late": _late_power_endurance,
        "weak-first": _not_weak,
        "strength-late": _base_for_fingers,
    },
    Kind.STRENGTH: {**OF_ALL, "base-first": _opens_with_strength, "weak-first": _not_weak},
    Kind.PERFORMANCE: OF_ALL,
    Kind.REST: {
        **OF_ALL,
        "short-rest": _long_rest,
        "rest-before-rock": _rest_near,
        "rest-by-days-off": _rest_by_days_off,
        "work-before-rest": _rest_at_once,
    },
}
