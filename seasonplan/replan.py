"""Composes planner and checker: a plan leaves here checked, or not at all."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING
from uuid import UUID

from seasonplan import edits
from seasonplan.almanac import Almanac
from seasonplan.checker import check, check_sessions
from seasonplan.errors import BadInput, Misuse
from seasonplan.findings import Finding
from seasonplan.identity import all_ids, carried
from seasonplan.plan import Block, Plan, Revision, Session
from seasonplan.rules import RuleBook, book_of
from seasonplan.year import FixedSession, Year

if TYPE_CHECKING:
    from seasonplan.planner.conflict import Conflict
    from seasonplan.planner.run import Progress
    from seasonplan.planner.sessions import Earlier, Placed
    from seasonplan.planner.sessions.slots import Taken


TURNS = 2  # how often weeks that break a rule are filled anew before all are


@dataclass(frozen=True, slots=True)
class NoPlan:
    """The answer that no plan exists, and why."""

    conflict: Conflict


@dataclass(frozen=True, slots=True)
class Stopped:
    """The climber stopped the search before it had a plan."""


@dataclass(frozen=True, slots=True)
class Planned:
    """A checked plan with the soft findings that remain."""

    plan: Plan
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True)
class Occasion:
    """Why and when a revision is made, and from which text of the year."""

    cause: str
    stamp: datetime
    year_digest: str
    year_text: str = ""


def plan_year(
    year: Year,
    occasion: Occasion,
    *,
    previous: Plan | None,
    calendar_key: UUID,
    today: date | None = None,
    keep: float = 0.0,
    taken: Taken | None = None,
    gap: float = 0.0,
    on_progress: Callable[[Progress], None] | None = None,
    stop: threading.Event | None = None,
) -> Planned | NoPlan | Stopped:
    """The best plan of a year as a new revision, with block ids carried over.

    `calendar_key` is used where there is no previous plan; `taken` is busy time of each day in
    minutes after midnight, local. With `today` and a previous plan the past stays as it was, and
    each day changed from then on costs up to `keep` points.
    """
    from seasonplan.planner.accepted import Accepted
    from seasonplan.planner.conflict import find_conflict
    from seasonplan.planner.run import Found, Impossible, best_plan

    book = book_of(year)
    accepted = Accepted(previous.current.blocks, today, keep) if previous and today else None
    found = best_plan(
        year, book=book, accepted=accepted, gap=gap, on_progress=on_progress, stop=stop
    )
    if isinstance(found, Impossible):
        return NoPlan(find_conflict(year, book=book, accepted=accepted, stop=stop))
    if not isinstance(found, Found):
        return Stopped()
    blocks = carried(
        found.blocks,
        old=previous.current.blocks if previous else (),
        used=all_ids(previous),
    )
    earlier = _earlier(previous, year, today)
    placed, told = _filled(year, blocks, book, taken=taken or {}, earlier=earlier)
    findings = check(year, blocks, book=book, claimed=found.score, today=today) + told
    broken = [finding for finding in findings if finding.strength == "hard"]
    if broken:
        raise Misuse(f"planner and checker disagree: {broken}")
    revision = Revision(
        number=len(previous.revisions) + 1 if previous else 1,
        stamp=occasion.stamp,
        cause=occasion.cause,
        year_digest=occasion.year_digest,
        blocks=blocks,
        score=found.score,
        proof=found.proof,
        sessions=placed.sessions,
        shortfalls=placed.shortfalls,
        year_text=occasion.year_text,
    )
    revisions = (*previous.revisions, revision) if previous else (revision,)
    key = previous.calendar_key if previous else calendar_key
    return Planned(Plan(calendar_key=key, revisions=revisions), findings)


def _filled(
    year: Year, blocks: Sequence[Block], book: RuleBook, *, taken: Taken, earlier: Earlier | None
) -> tuple[Placed, tuple[Finding, ...]]:
    """The sessions and what the checker says of them.

    Accepted weeks that break a rule now, as a rule or recipe changed, are filled anew; where that
    leads to others again and again, every week is.
    """
    from seasonplan.planner.sessions import place

    almanac = Almanac(year)
    while True:
        placed = place(almanac, blocks, book=book, taken=taken, earlier=earlier)
        told = check_sessions(
            year, blocks, placed.sessions, placed.shortfalls, book=book, taken=taken,
            today=earlier.today if earlier else None,
        )  # fmt: skip
        broken = [finding.span for finding in told if finding.strength == "hard"]
        if not broken or earlier is None or earlier.turns > TURNS:
            return placed, told
        earlier = earlier.without(broken, every=earlier.turns == TURNS)


def _earlier(previous: Plan | None, year: Year, today: date | None) -> Earlier | None:
    """The sessions that were accepted, where the past is to stay."""
    from seasonplan.planner.sessions import Earlier

    if previous is None or today is None:
        return None
    last = previous.current
    return Earlier(
        last.blocks,
        last.sessions,
        last.shortfalls,
        today,
        wishes=_wishes(last),
        fixed=year.fixed_sessions,
        homes=tuple(_homes(previous, year.fixed_sessions)),
    )


def _homes(plan: Plan, wishes: Sequence[FixedSession]) -> Iterator[Session]:
    """Where the planner itself last put each session; what was moved or left out is found again
    in the revision before that."""
    changed = {wish.session: wish for wish in wishes if wish.session}
    yield from (one for one in plan.current.sessions if one.id not in changed)
    for name, wish in changed.items():
        ever = [one for revision in plan.revisions for one in revision.sessions if one.id == name]
        elsewhere = [one for one in ever if not _lies_as_wished(one, wish)]
        yield from (elsewhere or ever)[-1:]


def _lies_as_wished(session: Session, wish: FixedSession) -> bool:
    """Whether a session was where the climber wants it now."""
    said = [(wish.day, session.day), (wish.start, session.start)]
    wanted = [(want, is_) for want, is_ in said if want is not None]
    return bool(wanted) and all(want == is_ for want, is_ in wanted)


def _wishes(revision: Revision) -> tuple[FixedSession, ...]:
    """What the climber wanted of sessions when the plan was made, where its text can be read."""
    try:
        return edits.read(revision.year_text).fixed_sessions if revision.year_text else ()
    except BadInput:
        return ()
