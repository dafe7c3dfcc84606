"""What is over must be as it was: days, sessions, weeks and what goals had, before today."""

from __future__ import annotations

from collections.abc import Iterator, Sequence, Set
from datetime import date, timedelta
from typing import Protocol

from seasonplan.days import Span
from seasonplan.plan import Block, Occasion, Score, Session, Week
from seasonplan.rules.findings import PAST, Finding

NEAR = 0.4  # rounding of a week's six loads to a tenth each


class HasPast(Protocol):
    """A plan, as far as its past is compared."""

    @property
    def blocks(self) -> tuple[Block, ...]: ...
    @property
    def sessions(self) -> tuple[Session, ...]: ...
    @property
    def score(self) -> Score: ...


def check_past(
    old: HasPast, new: HasPast, *, today: date, wished: Set[str] = frozenset()
) -> tuple[Finding, ...]:
    """Every day before `today` whose kind or sessions are others, every week and goal that is.

    `wished` are ids of sessions that the climber moved, left out or added: these may differ, and
    weeks that hold them. Days that were given, or are now, read as the climber entered them.
    """
    found = [
        *_days(old.blocks, new.blocks, today),
        *_sessions(old.sessions, new.sessions, today, wished),
        *_weeks(old, new, today, wished),
        *_occasions(old.score.occasions, new.score.occasions, today),
    ]
    return tuple(sorted(found, key=lambda finding: (finding.span.first, finding.about)))


def _wrong(span: Span, about: str, *, session: str = "") -> Finding:
    return Finding(
        code=PAST, strength="hard", span=span, about=about, sessions=(session,) if session else ()
    )


def _days(old: Sequence[Block], new: Sequence[Block], today: date) -> Iterator[Finding]:
    was = {day: block for block in old for day in block.span.days() if day < today}
    now = {day: block for block in new for day in block.span.days() if day < today}
    for day in sorted(was.keys() & now.keys()):
        before, after = was[day], now[day]
        if before.kind.chosen and after.kind.chosen and before.kind is not after.kind:
            yield _wrong(Span.through(day, day), "another kind of block")


def _sessions(
    old: Sequence[Session], new: Sequence[Session], today: date, wished: Set[str]
) -> Iterator[Finding]:
    """Sessions that are others, are gone, or are there only now."""
    was = {one.id: one for one in old if one.day < today}
    now = {one.id: one for one in new}
    put_in = [one for one in new if one.day < today and one.id not in was]
    others = [
        one for name, one in was.items()
        if name not in now or _facts(now[name]) != _facts(one)
    ]  # fmt: skip
    for one in (*others, *put_in):
        if one.id not in wished:
            span = Span(one.day, one.day + timedelta(days=1))
            yield _wrong(span, "a session", session=one.id)


def _facts(session: Session) -> tuple[date, str, object, int, float, int]:
    return (
        session.day, session.recipe, session.start, session.minutes, session.rpe, session.hangs
    )  # fmt: skip


def _weeks(old: HasPast, new: HasPast, today: date, wished: Set[str]) -> Iterator[Finding]:
    was = {week.span: week for block in old.blocks for week in block.weeks}
    now = {week.span: week for block in new.blocks for week in block.weeks}
    free = [one.day for one in (*old.sessions, *new.sessions) if one.id in wished]
    for span in sorted(was.keys() & now.keys()):
        if span.after > today or any(day in span for day in free):
            continue
        if _adds_up(was[span], old.sessions) and not _alike(was[span], now[span]):
            yield _wrong(span, "a week")


def _adds_up(week: Week, sessions: Sequence[Session]) -> bool:
    """Whether a week is what its sessions say: one that is not is mended, not kept.

    Nor are weeks of an older program, which had no aim.
    """
    inside = [one for one in sessions if one.day in week.span]
    load = sum(one.load for one in inside)
    minutes = sum(one.minutes for one in inside)
    own = bool(week.aim or week.free_minutes)
    return own and week.minutes == minutes and abs(week.load - load) < NEAR


def _alike(one: Week, other: Week) -> bool:
    same = (one.minutes, one.deload, one.lead_in) == (other.minutes, other.deload, other.lead_in)
    return same and abs(one.load - other.load) < NEAR and abs(one.aim - other.aim) < NEAR


def _as_told(old: Occasion, new: Occasion) -> bool:
    """Whether both are the same, in what the old one says."""
    return old == (new if old.easy_days is not None else new.model_copy(update={"easy_days": None}))


def _occasions(old: Sequence[Occasion], new: Sequence[Occasion], today: date) -> Iterator[Finding]:
    """What a goal had of a season that is over; a goal that is gone had nothing."""
    now = {(one.goal, one.entry, one.span): one for one in new}
    for one in old:
        other = now.get((one.goal, one.entry, one.span))
        if one.span.after <= today and other is not None and not _as_told(one, other):
            yield _wrong(one.span, f"{one.goal} at {one.entry}")
