"""What is told of why a block stands where it stands, and of what each change would do.

Must not know how it was found out; `explain.why` plans again.
"""

from __future__ import annotations

from seasonplan.explain.noplan import party_name
from seasonplan.explain.why import SMALL_DAYS, SMALL_FORM, SMALL_POINTS, Change, Reason, WhatIf
from seasonplan.explain.words import (
    block_name,
    entry_name,
    join,
    length_text,
    number_text,
    span_text,
)
from seasonplan.rules import RuleBook
from seasonplan.year import Year

OVER = "It is over: what was done stays as it was."
BEGUN = "It has begun: only its days from today on are asked about."
STOPPED = "You stopped it: not everything was asked."


def sentences(reason: Reason, year: Year, *, book: RuleBook) -> list[str]:
    """The block, what put it there, and what each change would do."""
    block = reason.block
    head = f"{block_name(block, year)} {block.id}, {span_text(block.span)}"
    told = [f"{head} ({length_text(block.span.length)})."]
    if block.entry is not None:
        fixed = "You fixed it" if block.pinned else "The year gives it"
        told.append(f"{fixed}: {entry_name(year, block.entry)}.")
    if reason.over:
        return [*told, OVER]
    told += [BEGUN] if reason.begun else []
    told += _served(reason, year)
    told += [_what_if_text(what_if, year, book) for what_if in reason.what_ifs]
    return [*told, STOPPED] if reason.stopped else told


def _served(reason: Reason, year: Year) -> list[str]:
    """The goal that would lose most without the block, or the rules that demand it."""
    out = next((case for case in reason.what_ifs if case.out), None)
    if out is None or not reason.block.kind.chosen or not out.possible or reason.begun:
        return []  # of a block that has begun the case itself tells it
    losing = [change for change in out.changes if change.good_days < 0 or change.form < 0]
    if not losing:
        return ["No goal would lose by its absence; it fills the time at least cost."]
    most = min(losing, key=lambda change: change.good_days + change.form)
    return [f"Without it {_goal_at(most, year)} would lose most."]


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
    if abs(change.form) >= SMALL_FORM:
        higher = "higher" if change.form > 0 else "lower"
        parts.append(f"form {abs(change.form) * 100:.0f} % {higher}")
    return f"{_goal_at(change, year)}: {', '.join(parts) or 'new'}"
