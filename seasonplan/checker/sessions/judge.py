"""All judges of sessions by the code of their rule, and the whole verdict on a plan's sessions."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import date

from seasonplan.checker.sessions import care, hours, needs, shape, weeks
from seasonplan.checker.sessions.timetable import Timetable
from seasonplan.checker.sheet import Sheet
from seasonplan.findings import Finding
from seasonplan.plan import Block, Session, Shortfall
from seasonplan.rules import Rule, RuleBook
from seasonplan.year import Year

SessionJudge = Callable[[Timetable, Rule], Iterator[Finding]]

SESSION_JUDGES: dict[str, SessionJudge] = {
    "session-hours": hours.judge_hours,
    "session-spacing": care.judge_spacing,
    "session-order": hours.judge_order,
    "session-rest-day": hours.judge_rest_day,
    "session-dose": weeks.judge_dose,
    "session-progression": shape.judge_progression,
    "session-needs": needs.judge_needs,
    "session-care": care.judge_care,
    "session-test": shape.judge_test,
}
NOTHING_TAKEN: Mapping[date, Sequence[tuple[int, int]]] = {}


def check_sessions(
    year: Year,
    blocks: Sequence[Block],
    sessions: Sequence[Session],
    shortfalls: Sequence[Shortfall],
    *,
    book: RuleBook,
    taken: Mapping[date, Sequence[tuple[int, int]]] = NOTHING_TAKEN,
) -> tuple[Finding, ...]:
    """Every finding on the sessions of a plan, in order of its first day, then of its code.

    `taken` is busy time of each day, (from, to) in minutes after midnight, local; rules switched
    off are not judged. Hours are those of the wall clock where the climber is.
    """
    table = Timetable(
        Sheet(year, blocks, book=book), sessions=sessions, shortfalls=shortfalls, taken=taken
    )
    found = [
        finding
        for rule in book
        if rule.on and rule.about == "sessions"
        for finding in SESSION_JUDGES[rule.code](table, rule)
    ]
    return tuple(sorted(found, key=lambda f: (f.span.first, f.code, f.sessions)))
