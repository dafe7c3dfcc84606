"""All judges of sessions by the code of their rule, and the whole verdict on a plan's sessions."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from datetime import date, timedelta

from seasonplan.checker.sessions import care, fresh, hours, light, needs, weeks
from seasonplan.checker.sessions.timetable import Timetable
from seasonplan.checker.sheet import Sheet
from seasonplan.days import Span, week_start
from seasonplan.plan import Block, Session, Shortfall
from seasonplan.rules.findings import Finding
from seasonplan.rules.statements import Rule, RuleBook
from seasonplan.year import Year

SessionJudge = Callable[[Timetable, Rule], Iterator[Finding]]

SESSION_JUDGES: dict[str, SessionJudge] = {
    "session-hours": hours.judge_hours,
    "session-spacing": care.judge_spacing,
    "session-order": hours.judge_order,
    "session-rest-day": hours.judge_rest_day,
    "session-dose": weeks.judge_dose,
    "session-progression": light.judge_progression,
    "lead-in-volume": weeks.judge_lead_in_volume,
    "session-needs": needs.judge_needs,
    "session-care": care.judge_care,
    "session-test": weeks.judge_test,
    "session-fresh": fresh.judge_fresh,
    "session-hangs": fresh.judge_hangs,
    "session-return": fresh.judge_return,
    "session-rock": fresh.judge_rock,
}
# Rules on whole weeks, with how many weeks on either side they compare.
WEEKLY = {"session-dose": 0, "session-progression": 1, "session-rest-day": 0, "session-test": 0}
# Rules about health: no wish softens them. How tired one gets is the climber's to choose; what is
# hurt, or still growing, is not.
HEALTH = {"session-care"}
NOTHING_TAKEN: Mapping[date, Sequence[tuple[int, int]]] = {}


def check_sessions(
    year: Year,
    blocks: Sequence[Block],
    sessions: Sequence[Session],
    shortfalls: Sequence[Shortfall],
    *,
    book: RuleBook,
    taken: Mapping[date, Sequence[tuple[int, int]]] = NOTHING_TAKEN,
    today: date | None = None,
) -> tuple[Finding, ...]:
    """Every finding on the sessions of a plan, in order of its first day, then of its code.

    `taken` is busy time of each day, (from, to) in minutes after midnight, local; rules switched
    off are not judged. Hours are those of the wall clock where the climber is. With `today`
    nothing is asked of days and weeks that had begun before it. What the climber moved, skipped
    or added is told, but as a preference not met: they know what they do. Not so where it loads
    what is hurt.
    """
    sheet = Sheet(year, blocks, book=book)
    judged = [s for s in shortfalls if today is None or not _had_begun(s, sheet, today)]
    table = Timetable(sheet, sessions=sessions, shortfalls=judged, taken=taken)
    found = [
        finding
        for rule in book
        if rule.on and rule.about == "sessions"
        for finding in SESSION_JUDGES[rule.code](table, rule)
    ]
    asked = [f for f in found if today is None or _compared(f, sheet).first >= today]
    told = [_as_wished(finding, table, year) for finding in asked]
    return tuple(sorted(told, key=lambda f: (f.span.first, f.code, f.sessions)))


def _compared(finding: Finding, sheet: Sheet) -> Span:
    """The days a finding speaks of; where weeks are compared, that before as well."""
    if finding.code != "session-progression":
        return finding.span
    before = week_start(finding.span.first, sheet.year.climber.week_begins) - timedelta(weeks=1)
    begins = min([b.span.first for b in sheet.blocks if b.id in finding.blocks], default=before)
    return Span(max(before, begins), finding.span.after)


def _had_begun(shortfall: Shortfall, sheet: Sheet, today: date) -> bool:
    """Whether the block's days of that calendar week began before today."""
    week = week_start(shortfall.span.first, sheet.year.climber.week_begins)
    begins = [b.span.first for b in sheet.blocks if b.id == shortfall.block]
    return max([week, *begins]) < today and shortfall.span.first <= today


def _as_wished(finding: Finding, table: Timetable, year: Year) -> Finding:
    """A finding on what the climber changed, by hand, of just these sessions or weeks: soft."""
    if finding.code in HEALTH:
        return finding
    wished = {wish.session or f"own/{wish.id}" for wish in year.fixed_sessions}
    by_hand = bool(wished & set(finding.sessions))
    if not by_hand and finding.code in WEEKLY:
        weeks = _weeks_of(finding, table)
        days = {s.day for s in table.sessions if s.id in wished} | {*_planned_days(wished)}
        by_hand = any(day in weeks for day in days)
    return Finding(**{**dict(finding), "strength": "soft"}) if by_hand else finding


def _planned_days(session_ids: Iterable[str]) -> Iterator[date]:
    """The days that ids of planned sessions name: of their week, on trips their own."""
    for name in session_ids:
        with suppress(IndexError, ValueError):  # whatever else the climber may have written
            yield date.fromisoformat(name.split("/")[1])


def _weeks_of(finding: Finding, table: Timetable) -> Span:
    """The calendar weeks that a finding on a week compares."""
    around = timedelta(weeks=WEEKLY[finding.code])
    begins = table.sheet.year.climber.week_begins
    last = week_start(finding.span.last, begins) + timedelta(weeks=1)
    return Span(week_start(finding.span.first, begins) - around, last + around)
