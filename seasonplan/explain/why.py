"""Why a block stands where it stands: by planning again with it moved, or left out."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from seasonplan.explain.noplan import party_name
from seasonplan.explain.words import (
    block_name,
    entry_name,
    join,
    length_text,
    number_text,
    span_text,
)
from seasonplan.plan import Block, Occasion, Revision, Score
from seasonplan.planner.columns import Ban
from seasonplan.planner.conflict import Party, conflict_parties
from seasonplan.planner.run import Found, Impossible, best_plan
from seasonplan.rules import RuleBook
from seasonplan.vocabulary import Kind
from seasonplan.year import Absence, Pin, Trip, Year

MOVE_DAYS = 14
WHAT_IF = "what-if"
PRICE_ONLY = "few-changes"  # that a plan has blocks is a price, nothing is bent
SMALL_STATE, SMALL_DAYS, SMALL_POINTS = 0.005, 0.05, 0.05


@dataclass(frozen=True, slots=True)
class Change:
    """What one goal at one season, window or trip wins or loses."""

    goal: str
    entry: str
    good_days: float
    state: float


@dataclass(frozen=True, slots=True)
class WhatIf:
    """The best plan with one block moved or left out, against the plan as it is.

    `conflict` is set where no such plan exists.
    """

    label: str
    conflict: tuple[Party, ...] = ()
    possible: bool = True
    points: float = 0.0
    changes: tuple[Change, ...] = ()
    costs: tuple[tuple[str, float], ...] = ()


@dataclass(frozen=True, slots=True)
class Reason:
    """One block, and what moving it or leaving it out would do."""

    block: Block
    what_ifs: tuple[WhatIf, ...]


def why(year: Year, revision: Revision, block: Block, *, book: RuleBook) -> Reason:
    """Plans again with the block two weeks earlier, two weeks later, and left out."""
    return Reason(
        block,
        tuple(
            _compare(label, case, ban, revision.score, book)
            for label, case, ban in _cases(year, block)
        ),
    )


def _cases(year: Year, block: Block) -> Iterator[tuple[str, Year | None, Ban | None]]:
    """Label, the changed year (None: impossible to even write down) and the ban."""
    for label, days in (("Two weeks earlier", -MOVE_DAYS), ("Two weeks later", MOVE_DAYS)):
        if block.kind in (Kind.INJURED, Kind.RETURN):
            continue
        yield label, _moved(year, block, days), None
    if block.kind.chosen and not block.pinned:
        yield "Left out", year, Ban(block.kind, block.span)
    elif block.entry is not None:
        yield "Left out", year.without(block.entry), None


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
    label: str, case: Year | None, ban: Ban | None, score: Score, book: RuleBook
) -> WhatIf:
    if case is None:
        return WhatIf(label, possible=False)
    found = best_plan(case, book=book, ban=ban)
    if isinstance(found, Impossible):
        parties = conflict_parties(case, book=book, ban=ban)
        kept = tuple(party for party in parties if party.name != WHAT_IF)
        return WhatIf(label, conflict=kept, possible=False)
    assert isinstance(found, Found)
    return WhatIf(
        label,
        points=found.score.points - score.points,
        changes=tuple(_changes(score, found.score)),
        costs=tuple(_costs(score, found.score)),
    )


def _changes(old: Score, new: Score) -> Iterator[Change]:
    after = {_key(occasion): occasion for occasion in new.occasions}
    before = {_key(occasion): occasion for occasion in old.occasions}
    for key, was in before.items():
        now = after.get(key)
        days = (now.good_days if now else 0.0) - was.good_days
        state = (now.state - was.state) if now else 0.0
        if abs(days) >= SMALL_DAYS or abs(state) >= SMALL_STATE:
            yield Change(was.goal, was.entry, days, state)
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


# --- told -----------------------------------------------------------------------------------


def sentences(reason: Reason, year: Year, *, book: RuleBook) -> list[str]:
    """The block, what put it there, and what each change would do."""
    block = reason.block
    head = f"{block_name(block, year)} {block.id}, {span_text(block.span)}"
    told = [f"{head} ({length_text(block.span.length)})."]
    if block.entry is not None:
        fixed = "You fixed it" if block.pinned else "The year gives it"
        told.append(f"{fixed}: {entry_name(year, block.entry)}.")
    told += _served(reason, year)
    told += [_what_if_text(what_if, year, book) for what_if in reason.what_ifs]
    return told


def _served(reason: Reason, year: Year) -> list[str]:
    """The goal that would lose most without the block, or the rules that demand it."""
    out = next((case for case in reason.what_ifs if case.label == "Left out"), None)
    if out is None or not reason.block.kind.chosen or not out.possible:
        return []
    losing = [change for change in out.changes if change.good_days < 0 or change.state < 0]
    if not losing:
        return ["No goal would lose by its absence; it fills the time at least cost."]
    most = min(losing, key=lambda change: change.good_days + change.state)
    return [f"It is there for {_goal_at(most, year)}, which would lose most without it."]


def _goal_at(change: Change, year: Year) -> str:
    return f"{entry_name(year, change.goal)} at {entry_name(year, change.entry)}"


def _what_if_text(case: WhatIf, year: Year, book: RuleBook) -> str:
    if not case.possible:
        if not case.conflict:
            return f"{case.label}: it would leave the year."
        names = [party_name(party, year, book=book) for party in case.conflict]
        return f"{case.label}: not possible because of {join(names)}."
    changes = [_change_text(change, year) for change in case.changes]
    changes += [
        f"the rule “{book[rule].title}” is {'bent more' if more > 0 else 'bent less'}"
        for rule, more in case.costs
    ]
    if not changes:
        return f"{case.label}: possible, and no goal would notice."
    verdict = "worse" if case.points < -SMALL_POINTS else "about as good"
    return f"{case.label}: possible, {verdict} — {'; '.join(changes)}."


def _change_text(change: Change, year: Year) -> str:
    parts = []
    if abs(change.good_days) >= SMALL_DAYS:
        more = "more" if change.good_days > 0 else "fewer"
        parts.append(f"{number_text(abs(change.good_days))} good days {more}")
    if abs(change.state) >= SMALL_STATE:
        higher = "higher" if change.state > 0 else "lower"
        parts.append(f"state {abs(change.state) * 100:.0f} of 100 {higher}")
    return f"{_goal_at(change, year)}: {', '.join(parts) or 'new'}"
