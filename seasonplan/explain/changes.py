"""What an edit or another plan changes, in words: what was, what is."""

from __future__ import annotations

import re
from datetime import date
from typing import Any

from seasonplan.edits import How, TextChange
from seasonplan.explain.entries import chance_told, yearly_text
from seasonplan.explain.why import SMALL_POINTS
from seasonplan.explain.words import (
    KIND_NAMES,
    a_kind,
    day_text,
    good_days_text,
    join,
    number_text,
    span_text,
)
from seasonplan.plan import Block, Plan, Revision
from seasonplan.planning.history import BlockChange, Comparison, Move

BUSY = "sessions.busy"
SHARES = ("chance", "left")
YEARLY = re.compile(r"(?:0[1-9]|1[0-2])-\d\d")
OTHERWISE = {Move.KIND: "is of another kind", Move.EMPHASIS: "has another emphasis"}
UNSAID = {"served_by": "any rock of its place and discipline"}  # what leaving it out means


def change_text(change: TextChange) -> str:
    """One sentence on one change of the year."""
    if not change.section:
        return _setting_text(change)
    if change.how is not How.CHANGED and "session" in (change.now or change.was):
        return _session_text(change)
    entry = f"{change.section} {f'“{change.name}”' if change.name else change.about}"
    if change.how is How.ADDED:
        known = f" ({change.about})" if change.name else ""
        return f"New {entry}{known}: {_facts(change.now)}."
    if change.how is How.REMOVED:
        return f"The {entry} is gone; it said {_facts(change.was)}."
    key = change.key.replace("_", " ")
    return f"The {entry}: {key} {_was_is(change)}."


def _setting_text(change: TextChange) -> str:
    """A setting by its key; busy calendars one by one, each by its file."""
    if change.about != BUSY:
        return f"{change.about} {_was_is(change)}."
    was, now = (tuple(said or ()) for said in (change.was, change.now))
    new, gone = ([one for one in a if one not in b] for a, b in ((now, was), (was, now)))
    told = [f"Busy calendar {one} is entered." for one in new]
    told += [f"Busy calendar {one} is removed." for one in gone]
    return " ".join(told) or "The busy calendars are named in another order."


def _session_text(change: TextChange) -> str:
    """What the climber says of a session of the plan, or takes back of that."""
    if change.how is How.REMOVED:
        return f"The session {change.about} is the plan's again; it said {_facts(change.was)}."
    if change.now.get("skip"):
        return f"The session {change.about} is left out."
    return f"The session {change.about} is as you say: {_facts(change.now)}."


def block_text(change: BlockChange) -> str:
    """One sentence on one block that differs between two plans."""
    was, now, block = change.before, change.after, change.stands
    if was is None or now is None:
        end = "is gone" if now is None else "is new"
        return f"{block.id}, {a_kind(block.kind)} ({span_text(block.span)}), {end}."
    text = f"{block.id} {_moves(change)}: {_days(was, now)}"
    if Move.KIND in change.moves:
        text += f", {KIND_NAMES[was.kind]} before, {KIND_NAMES[now.kind]} now"
    elif Move.EMPHASIS in change.moves:
        text += f", {was.emphasis} before, {now.emphasis or 'no emphasis'} now"
    return text + "."


def _moves(change: BlockChange) -> str:
    """Such as "is moved and lengthened", "has another emphasis"."""
    told = [move.value for move in change.moves if move not in OTHERWISE]
    other = [words for move, words in OTHERWISE.items() if move in change.moves]
    return join([*([f"is {join(told)}"] if told else []), *other])


def worth_text(comparison: Comparison) -> str:
    """What both plans are worth."""
    if not comparison.comparable:
        return (
            f"Plans {comparison.first} and {comparison.second}: one was made by an older program, "
            "so what they are worth cannot be compared."
        )
    days = " and ".join(number_text(value) for value in comparison.good_days)
    plans = f"Plans {comparison.first} and {comparison.second}: {days} good days expected"
    was, now = comparison.points
    if abs(now - was) < SMALL_POINTS:
        return f"{plans}, worth the same."
    better = comparison.second if now > was else comparison.first
    return f"{plans}; plan {better} is worth more."


def revision_text(revision: Revision, plan: Plan) -> str:
    """One line on one revision of the history."""
    good = revision.score.good_days
    text = (
        f"{revision.number}: {day_text(revision.stamp.date())} {revision.stamp:%H:%M %Z}, "
        f"{revision.cause}; {good_days_text(good)} expected"
    )
    if revision.restores is not None:
        text += f"; the same as plan {revision.restores}"
    return text + (" (in force)" if revision.number == plan.current.number else "")


def _days(was: Block, now: Block) -> str:
    days = span_text(now.span)
    return days if was.span == now.span else f"it was {span_text(was.span)}, is {days}"


def _was_is(change: TextChange) -> str:
    if change.was is None:
        return f"is now {_value(change.now, change.key)}"
    if change.now is None:
        unsaid = UNSAID.get(change.key, "as usual")
        return f"was {_value(change.was, change.key)}, is no longer said: {unsaid}"
    return f"was {_value(change.was, change.key)}, is {_value(change.now, change.key)}"


def _facts(entry: dict[str, Any]) -> str:
    return ", ".join(
        f"{key.replace('_', ' ')} {_value(value, key)}"
        for key, value in entry.items()
        if key not in ("id", "session", "name")
    )


def _value(value: Any, key: str = "") -> str:
    """A value of the file in words: days, shares of `key`, lists."""
    if key in SHARES and (told := chance_told(value)):
        return told
    if isinstance(value, str) and YEARLY.fullmatch(value):
        return f"{yearly_text(value)} every year"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, date):
        return day_text(value)
    if isinstance(value, dict):
        return join([f"{key} {_value(one)}" for key, one in value.items()]) if value else "nothing"
    if isinstance(value, (list, tuple)):
        return join([_value(one) for one in value]) if value else "nothing"
    return f"“{value}”" if isinstance(value, str) and " " in value else str(value)
