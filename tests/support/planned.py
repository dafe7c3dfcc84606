"""Plans years under a rule book that may lack rules, and judges the answer under the full one."""

from __future__ import annotations

from collections.abc import Iterable

from seasonplan.checker import check, check_sessions
from seasonplan.identity import carried
from seasonplan.planner.fill import Filled, fill
from seasonplan.planner.rock_day import Taken
from seasonplan.planner.run import Found, best_plan
from seasonplan.rules.findings import Finding
from seasonplan.rules.statements import book_of
from seasonplan.year import Year


def planned(year: Year, *without: str, taken: Taken | None = None) -> Filled | None:
    """The best plan with its sessions, the rules `without` switched off; None: there is none."""
    book = book_of(year).without(*without)
    found = best_plan(year, book=book, taken=taken, confirm=False)
    if not isinstance(found, Found):
        return None
    named = carried(found.blocks, old=(), used=())
    return fill(found.search.weeks, found.search.candidates, named)


def judged(year: Year, made: Filled, *, taken: Taken | None = None) -> list[Finding]:
    """Every hard finding on a plan, its blocks, sums, claim and sessions, under the full book."""
    book = book_of(year)
    found = (
        *check(year, made.blocks, sessions=made.sessions, book=book, claimed=made.score),
        *check_sessions(
            year, made.blocks, made.sessions, made.shortfalls, book=book, taken=taken or {}
        ),
    )
    return [finding for finding in found if finding.strength == "hard"]


def codes_of(findings: Iterable[Finding]) -> set[str]:
    """The rules they break."""
    return {finding.code for finding in findings}
