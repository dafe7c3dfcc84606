"""Why a block stands where it stands: by planning again with it moved, or left out.

No what-if touches days that are over: with today the past is planned as it was.
"""

from __future__ import annotations

import threading
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from seasonplan.days import Span
from seasonplan.explain.words import length_text
from seasonplan.plan import Block, Occasion, Revision, Score
from seasonplan.planner.accepted import Accepted
from seasonplan.planner.candidates import Ban
from seasonplan.planner.conflict import Party, conflict_parties
from seasonplan.planner.fill import fill
from seasonplan.planner.run import Found, Impossible, best_plan
from seasonplan.rules import RuleBook
from seasonplan.vocabulary import Kind
from seasonplan.year import Absence, Pin, Trip, Year

MOVE_DAYS = 14
WHAT_IF = "what-if"
PRICE_ONLY = "few-changes"  # that a plan has blocks is a price, nothing is bent
SMALL_FORM, SMALL_DAYS, SMALL_POINTS = 0.005, 0.05, 0.05


@dataclass(frozen=True, slots=True)
class Change:
    """What one goal at one season, window or trip wins or loses."""

    goal: str
    entry: str
    good_days: float
    form: float


@dataclass(frozen=True, slots=True)
class WhatIf:
    """The best plan with one block moved or left out, against the plan as it is.

    `conflict` is set where no such plan exists; `out` says that the block is left out.
    """

    label: str
    conflict: tuple[Party, ...] = ()
    possible: bool = True
    points: float = 0.0
    changes: tuple[Change, ...] = ()
    costs: tuple[tuple[str, float], ...] = ()
    out: bool = False


@dataclass(frozen=True, slots=True)
class Reason:
    """One block, and what moving it or leaving it out would do.

    Of a block that is over nothing is asked; of one that has begun only what its days from
    `today` on could be. `stopped` says that not all was asked.
    """

    block: Block
    what_ifs: tuple[WhatIf, ...]
    today: date | None = None
    stopped: bool = False

    @property
    def over(self) -> bool:
        return self.today is not None and self.block.span.after <= self.today

    @property
    def begun(self) -> bool:
        return self.today is not None and self.block.span.first < self.today and not self.over


@dataclass(frozen=True, slots=True)
class _Case:
    """What if: the changed year (None: impossible to even write down), or the ban."""

    label: str
    year: Year | None
    ban: Ban | None = None
    out: bool = False


def why(
    year: Year,
    revision: Revision,
    block: Block,
    *,
    book: RuleBook,
    today: date | None = None,
    stop: threading.Event | None = None,
) -> Reason:
    """Plans again with the block two weeks earlier, two weeks later, and left out.

    Setting `stop` ends it with what was asked by then.
    """
    asked: list[WhatIf] = []
    accepted = Accepted(revision.blocks, today) if today else None
    for case in _cases(year, block, today):
        if stop is not None and stop.is_set():
            return Reason(block, tuple(asked), today, stopped=True)
        answer = _compare(case, revision.score, book, accepted, stop)
        if answer is None:
            return Reason(block, tuple(asked), today, stopped=True)
        asked.append(answer)
    return Reason(block, tuple(asked), today)


def _cases(year: Year, block: Block, today: date | None) -> Iterator[_Case]:
    begun = today is not None and block.span.first < today
    if today is not None and block.span.after <= today:
        return
    if not begun and block.kind not in (Kind.INJURED, Kind.RETURN):
        back = MOVE_DAYS if today is None else min(MOVE_DAYS, (block.span.first - today).days)
        if back:
            yield _Case(f"{_far(back)} earlier", _moved(year, block, -back))
        yield _Case(f"{_far(MOVE_DAYS)} later", _moved(year, block, MOVE_DAYS))
    span = Span(today, block.span.after) if begun and today else block.span
    label = "Ended today" if begun else "Left out"
    if block.kind.chosen and not block.pinned:
        yield _Case(label, year, Ban(block.kind, span), out=True)
    elif block.entry is not None and (block.pinned or not begun):
        yield _Case(label, year.without(block.entry), out=True)


def _far(days: int) -> str:
    return "Two weeks" if days == MOVE_DAYS else length_text(days)


def _moved(year: Year, block: Block, days: int) -> Year | None:
    span = block.span.shifted(days)
    if block.entry is not None:
        entry = year.entry(block.entry)
        if not isinstance(entry, (Pin, Trip, Absence)):
            return None
        span = entry.span.shifted(days)
        if not year.span.covers(span):
            return None
        dates = {"first": span.first, "last": span.last}
        return year.replacing(type(entry)(**{**dict(entry), **dates}))
    if not year.span.covers(span):
        return None
    pin = Pin(
        name="this block, moved", id=WHAT_IF, kind=block.kind, first=span.first, last=span.last
    )
    return year.with_fields(pins=(*year.pins, pin))


def _compare(
    case: _Case,
    score: Score,
    book: RuleBook,
    accepted: Accepted | None,
    stop: threading.Event | None,
) -> WhatIf | None:
    """What the best plan of a case would be; None where it was stopped before that was known."""
    if case.year is None:
        return WhatIf(case.label, possible=False)
    found = best_plan(case.year, book=book, ban=case.ban, accepted=accepted, stop=stop)
    if stop is not None and stop.is_set():
        return None
    if isinstance(found, Impossible):
        parties = conflict_parties(case.year, book=book, ban=case.ban, accepted=accepted)
        kept = tuple(party for party in parties if party.name != WHAT_IF)
        return WhatIf(case.label, conflict=kept, possible=False, out=case.out)
    assert isinstance(found, Found)
    new = fill(found.search.weeks, found.search.candidates, found.blocks, accepted=accepted).score
    return WhatIf(
        case.label,
        points=new.points - score.points,
        changes=tuple(_changes(score, new)),
        costs=tuple(_costs(score, new)),
        out=case.out,
    )


def _changes(old: Score, new: Score) -> Iterator[Change]:
    after = {_key(occasion): occasion for occasion in new.occasions}
    before = {_key(occasion): occasion for occasion in old.occasions}
    for key, was in before.items():
        now = after.get(key)
        days = (now.good_days if now else 0.0) - was.good_days
        form = (now.form - was.form) if now else 0.0
        if abs(days) >= SMALL_DAYS or abs(form) >= SMALL_FORM:
            yield Change(was.goal, was.entry, days, form)
    for key, now in after.items():
        if key not in before:
            yield Change(now.goal, now.entry, now.good_days, 0.0)


def _key(occasion: Occasion) -> tuple[str, str, int]:
    return occasion.goal, occasion.entry, occasion.span.first.year


def _costs(old: Score, new: Score) -> Iterator[tuple[str, float]]:
    before = {cost.rule: cost.points for cost in old.costs}
    for cost in new.costs:
        more = cost.points - before.get(cost.rule, 0.0)
        if abs(more) >= SMALL_POINTS and cost.rule != PRICE_ONLY:
            yield cost.rule, more
