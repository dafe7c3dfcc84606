"""What an edit or another plan changes, in words: what was, what is."""

from __future__ import annotations

from datetime import date
from typing import Any

from seasonplan.days import Span
from seasonplan.edits import Change, How
from seasonplan.explain.words import (
    KIND_NAMES,
    day_text,
    good_days_text,
    join,
    number_text,
    span_text,
)
from seasonplan.history import BlockChange, Comparison, Move
from seasonplan.plan import Plan, Revision

UNSAID = {"served_by": "any rock of its place and discipline"}  # what leaving it out means


def change_text(change: Change) -> str:
    """One sentence on one change of the year."""
    if not change.section:
        return f"{change.about} {_was_is(change)}."
    if change.how is How.ADDED:
        return f"New {change.section} {change.about}: {_facts(change.now)}."
    if change.how is How.REMOVED:
        return f"The {change.section} {change.about} is gone; it said {_facts(change.was)}."
    key = change.key.replace("_", " ")
    return f"The {change.section} {change.about}: {key} {_was_is(change)}."


def block_text(change: BlockChange) -> str:
    """One sentence on one block that differs between two plans."""
    if change.now is None or change.was is None:
        span, kind = change.was or change.now, change.kind_was or change.kind_now
        assert span is not None and kind is not None
        end = "is gone" if change.now is None else "is new"
        return f"{change.block}, a {KIND_NAMES[kind]} ({span_text(span)}), {end}."
    moves = join([move.value for move in change.moves])
    text = f"{change.block} is {moves}: {_spans(change.was, change.now)}"
    if Move.KIND in change.moves and change.kind_was and change.kind_now:
        text += f", {KIND_NAMES[change.kind_was]} before, {KIND_NAMES[change.kind_now]} now"
    return text + "."


def worth_text(comparison: Comparison) -> str:
    """What both plans are worth."""
    days = " and ".join(number_text(value) for value in comparison.good_days)
    points = " and ".join(number_text(value) for value in comparison.points)
    return (
        f"Plans {comparison.first} and {comparison.second}: {days} good days expected, "
        f"{points} points."
    )


def revision_text(revision: Revision, plan: Plan) -> str:
    """One line on one revision of the history."""
    good = sum(occasion.good_days for occasion in revision.score.occasions)
    text = (
        f"{revision.number}: {day_text(revision.stamp.date())} {revision.stamp:%H:%M %Z}, "
        f"{revision.cause}; {good_days_text(good)} expected"
    )
    if revision.restores is not None:
        text += f"; the same as plan {revision.restores}"
    return text + (" (in force)" if revision.number == plan.current.number else "")


def _spans(was: Span, now: Span) -> str:
    return span_text(now) if was == now else f"it was {span_text(was)}, is {span_text(now)}"


def _was_is(change: Change) -> str:
    if change.was is None:
        return f"is now {_value(change.now)}"
    if change.now is None:
        unsaid = UNSAID.get(change.key, "as usual")
        return f"was {_value(change.was)}, is no longer said: {unsaid}"
    return f"was {_value(change.was)}, is {_value(change.now)}"


def _facts(entry: dict[str, Any]) -> str:
    return ", ".join(
        f"{key.replace('_', ' ')} {_value(value)}"
        for key, value in entry.items()
        if key not in ("id", "session")
    )


def _value(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, date):
        return day_text(value)
    if isinstance(value, dict):
        return join([f"{key} {_value(one)}" for key, one in value.items()]) if value else "nothing"
    if isinstance(value, (list, tuple)):
        return join([_value(one) for one in value]) if value else "nothing"
    return f"“{value}”" if isinstance(value, str) and " " in value else str(value)
