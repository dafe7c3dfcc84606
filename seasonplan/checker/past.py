"""What is over must be as it was: weeks, sessions and blocks of days before today."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta

from seasonplan.days import Span
from seasonplan.findings import PAST, Finding
from seasonplan.plan import Block, Session


def check_past(
    old_blocks: Sequence[Block],
    old_sessions: Sequence[Session],
    new_blocks: Sequence[Block],
    new_sessions: Sequence[Session],
    *,
    today: date,
) -> tuple[Finding, ...]:
    """Every day before `today` whose kind or sessions are others, and every week that is."""
    found = [
        *_days(old_blocks, new_blocks, today),
        *_sessions(old_sessions, new_sessions, today),
        *_weeks(old_blocks, new_blocks, today),
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


def _sessions(old: Sequence[Session], new: Sequence[Session], today: date) -> Iterator[Finding]:
    was = {one.id: _facts(one) for one in old if one.day < today}
    now = {one.id: one for one in new}
    for name, facts in was.items():
        after = now.get(name)
        if after is None or _facts(after) != facts:
            day = facts[0]
            yield _wrong(Span(day, day + timedelta(days=1)), "a session", session=name)


def _facts(session: Session) -> tuple[date, str, object, int, float, int]:
    return (
        session.day, session.recipe, session.start, session.minutes, session.rpe, session.hangs
    )  # fmt: skip


def _weeks(old: Sequence[Block], new: Sequence[Block], today: date) -> Iterator[Finding]:
    was = {week.span: week for block in old for week in block.weeks if week.span.after <= today}
    now = {week.span: week for block in new for week in block.weeks if week.span.after <= today}
    for span in sorted(was.keys() & now.keys()):
        before, after = was[span], now[span]
        if (before.minutes, before.loads, before.deload, before.lead_in) != (
            after.minutes, after.loads, after.deload, after.lead_in,
        ):  # fmt: skip
            yield _wrong(span, "a week")
