"""What a change of a session does, said at once: what it gave way to, goals, rules it breaks.

Reads a bench before and after; draws nothing.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from seasonplan.days import Span, day_text
from seasonplan.edits.room import overlap
from seasonplan.edits.sessions import clock, ends
from seasonplan.explain.against import since_lines
from seasonplan.explain.sessions import session_title
from seasonplan.rules.findings import Finding
from tui.bench import Bench
from tui.week.sessions import NOT_HELD, Shown, shown
from tui.year.lanes import Sheet
from tui.year.since import goals_since
from tui.year.slips import told

AS_BEFORE = "Days on rock and form stay as they were."


@dataclass(frozen=True, slots=True)
class Before:
    """How things stood before a change."""

    text: str
    sheet: Sheet
    broken: frozenset[str]
    sessions: tuple[Finding, ...]

    @classmethod
    def of(cls, bench: Bench) -> Before:
        codes = frozenset(found.code for found in bench.broken)
        found = bench.desk.sessions_found(bench.now)
        return cls(bench.desk.draft().text, bench.sheet, codes, found)


def since(before: Before, bench: Bench) -> str:
    """Days on rock and form of each goal that wins or loses, and the rules broken since.

    Empty where nothing was changed yet: another program wrote first, and the climber is asked.
    """
    if bench.desk.plan is None or bench.desk.draft().text == before.text:
        return ""
    goals = [f"{one}." for one in goals_since(before.sheet, bench.sheet)] or [AS_BEFORE]
    broken = [found for found in bench.broken if found.code not in before.broken]
    return " ".join([*goals, *told(broken, bench)])


def against(before: Before, bench: Bench) -> Iterator[str]:
    """The hard rules on sessions that a change goes against since."""
    desk = bench.desk
    held = desk.standing.sessions if desk.standing else ()
    yield from since_lines(
        before.sessions, desk.sessions_found(bench.now), held, book=desk.book,
        recipes=desk.recipes,
    )  # fmt: skip


def gave_way(bench: Bench, one: Shown, minute: int) -> Iterator[str]:
    """That a session, as it stands now, does not begin as wished, and what is there."""
    now = next(
        (s for s in shown(bench, bench.desk.year.span) if s.session.id == one.session.id), one
    )
    if now.minute == minute:
        return
    day = now.session.day
    there = [
        (other.minute, other.end, _title(other, bench))
        for other in shown(bench, Span.through(day, day))
        if other.stand not in NOT_HELD and other.session.id != one.session.id
    ]
    found = overlap([(first, after) for first, after, _ in there], minute, one.session.minutes)
    name = next((name for *hours, name in there if tuple(hours) == found), None)
    if found is not None and name is not None:
        yield (
            f"“{name}” is there on {day_text(day)} from {clock(found[0]):%H:%M} to "
            f"{ends(found[1])}: “{_title(one, bench)}” begins at {clock(now.minute):%H:%M}."
        )


def _title(one: Shown, bench: Bench) -> str:
    return session_title(one.session, bench.desk.recipes.get(one.session.recipe))
