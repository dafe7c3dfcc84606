"""What every judge is, and how it says that a rule is broken. Knows no rule by name."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from seasonplan.checker.sheet import Sheet
from seasonplan.days import Span
from seasonplan.plan import Block, Session
from seasonplan.rules.findings import Finding
from seasonplan.rules.statements import Rule

Judge = Callable[[Sheet, Rule], Iterator[Finding]]


def broken(
    rule: Rule,
    span: Span,
    *blocks: Block,
    found: float | None = None,
    limit: float | None = None,
    about: str = "",
    sessions: Sequence[Session] = (),
) -> Finding:
    """A break of `rule` on the days of `span`; numbers in the unit of the rule."""
    return Finding(
        code=rule.code,
        strength=rule.strength,
        span=span,
        blocks=tuple(block.id for block in blocks),
        found=found,
        limit=limit,
        about=about,
        sessions=tuple(session.id for session in sessions),
    )
