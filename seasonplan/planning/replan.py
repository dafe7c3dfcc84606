"""Composes planner and checker: a plan leaves here checked, or not at all."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from typing import TYPE_CHECKING
from uuid import UUID

from seasonplan.body.response import as_tested
from seasonplan.checker import HasPast, check, check_past, check_sessions
from seasonplan.edits.sessions import OWN, home_of
from seasonplan.errors import Misuse
from seasonplan.identity import all_ids, carried
from seasonplan.plan import OtherYear, Plan, Proof, Revision, Session
from seasonplan.planning.moot import that_matter
from seasonplan.planning.near import told_years
from seasonplan.rules.findings import Finding
from seasonplan.rules.statements import RuleBook, book_of
from seasonplan.vocabulary import Quality
from seasonplan.year import FixedSession, Year

if TYPE_CHECKING:
    from seasonplan.planner.accepted import Accepted
    from seasonplan.planner.conflict import Conflict
    from seasonplan.planner.fill import Filled
    from seasonplan.planner.rock_day import Taken
    from seasonplan.planner.run import Found, Progress


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
class Provenance:
    """Why and when a revision is made, from which text of the year; what tests say by then, and
    how far weeks were done that were missed in part (shares of their load, by first day)."""

    cause: str
    stamp: datetime
    year_digest: str
    year_text: str = ""
    ratings: Mapping[Quality, float] = field(default_factory=dict)
    done: Mapping[date, float] = field(default_factory=dict)


HURTS = "session-care"


def plan_year(
    year: Year,
    occasion: Provenance,
    *,
    previous: Plan | None,
    calendar_key: UUID,
    today: date | None = None,
    keep: float = 0.0,
    taken: Taken | None = None,
    confirm: bool = True,
    on_progress: Callable[[Progress], None] | None = None,
    stop: threading.Event | None = None,
) -> Planned | NoPlan | Stopped:
    """The best plan of a year as a new revision, with block ids carried over.

    `calendar_key` is for a first plan; `taken` is busy time of each day in minutes after midnight,
    local. With `today` and a previous plan the past stays, and each day changed from then on costs
    up to `keep` points. `confirm`: the solver is asked as well.
    """
    from seasonplan.planner.conflict import find_conflict
    from seasonplan.planner.run import Found, Impossible, Progress, best_plan

    year = as_tested(year, occasion.ratings)
    book = book_of(year)
    accepted = _accepted(previous, year, today, keep, occasion.done)
    found = best_plan(
        year, book=book, accepted=accepted, taken=taken, confirm=confirm,
        on_progress=on_progress, stop=stop,
    )  # fmt: skip
    if isinstance(found, Impossible):
        if on_progress:
            on_progress(Progress(impossible=True))
        return NoPlan(find_conflict(year, book=book, accepted=accepted, stop=stop))
    if not isinstance(found, Found):
        return Stopped()
    filled = _filled(found, previous, accepted)
    proof = _proof(found, filled.score.points)
    done = accepted.done if accepted else {}
    findings = _checked(
        year, filled, proof, book=book, taken=taken, today=today, old=previous, done=done
    )
    occasion = replace(occasion, done=done)
    revision = _revision(
        filled, proof, occasion, number=len(previous.revisions) + 1 if previous else 1,
        others=told_years(found.search, found.blocks),
    )  # fmt: skip
    return Planned(_next(previous, calendar_key, revision), findings)


def _next(previous: Plan | None, key: UUID, revision: Revision) -> Plan:
    """The plan with one more revision."""
    older = previous.revisions if previous else ()
    key = previous.calendar_key if previous else key
    return Plan(calendar_key=key, revisions=(*older, revision))


def _proof(found: Found, points: float) -> Proof:
    """That it is the best. Raises Misuse where the second method says otherwise."""
    if found.confirmed is False:
        raise Misuse("two exact methods disagree on the best plan of this year; it is not kept")
    return Proof(optimal=True, gap=0.0, bound=points, confirmed=found.confirmed is True)


def _filled(found: Found, previous: Plan | None, accepted: Accepted | None) -> Filled:
    """The blocks that were found under the ids they had, with their weeks and sessions."""
    from seasonplan.planner.fill import fill

    old = previous.current.blocks if previous else ()
    return fill(
        found.search.weeks, found.search.candidates,
        carried(found.blocks, old=old, used=all_ids(previous)), accepted=accepted,
    )  # fmt: skip


def _revision(
    filled: Filled, proof: Proof, occasion: Provenance, *, number: int,
    others: tuple[OtherYear, ...],
) -> Revision:  # fmt: skip
    return Revision(
        number=number, stamp=occasion.stamp, cause=occasion.cause,
        year_digest=occasion.year_digest, blocks=filled.blocks, score=filled.score, proof=proof,
        sessions=filled.sessions, shortfalls=filled.shortfalls, others=others,
        year_text=occasion.year_text,
        ratings=dict(occasion.ratings), done=dict(occasion.done),
    )  # fmt: skip


def _checked(
    year: Year, filled: Filled, proof: Proof, *, book: RuleBook, taken: Taken | None,
    today: date | None, old: Plan | None, done: Mapping[date, float],
) -> tuple[Finding, ...]:  # fmt: skip
    """What the checker says; raises Misuse where it finds a hard rule broken, or another past.

    A fault of one session is told instead, so that the year has its plan all the same; not so one
    that could hurt.
    """
    since = today if old else None
    findings = check(
        year, filled.blocks, sessions=filled.sessions, book=book, claimed=filled.score,
        proof=proof, today=since, done=done,
    ) + check_sessions(
        year, filled.blocks, filled.sessions, filled.shortfalls, book=book, taken=taken or {},
        today=since,
    )  # fmt: skip
    told = {rule.code for rule in book if rule.about == "sessions"} - {HURTS}
    broken = [f for f in findings if f.strength == "hard" and f.code not in told]
    if broken:
        raise Misuse(f"planner and checker disagree: {broken}")
    if old and today:
        refuse_another_past(old.current, filled, year, today=today)
    return that_matter(findings, year, filled.sessions)


def refuse_another_past(old: HasPast, new: HasPast, year: Year, *, today: date) -> None:
    """Raises Misuse where a plan changes what is over, other than the climber's own sessions."""
    wished = {wish.session or f"{OWN}{wish.id}" for wish in year.fixed_sessions}
    found = check_past(old, new, today=today, wished=wished)
    if found:
        raise Misuse(f"this plan would change what is over; it is not kept: {found}")


def _accepted(
    previous: Plan | None, year: Year, today: date | None, keep: float,
    done: Mapping[date, float],
) -> Accepted | None:  # fmt: skip
    """The accepted plan, where the past is to stay."""
    from seasonplan.planner.accepted import Accepted
    from seasonplan.planning.since import without_old_wishes

    if previous is None or today is None:
        return None
    last = previous.current
    sessions = without_old_wishes(previous, year, since=today)
    return Accepted(
        last.blocks, today, keep, sessions=sessions,
        homes=tuple(_homes(previous, sessions, year.fixed_sessions)), done=done,
        occasions=last.score.occasions, shortfalls=last.shortfalls, other_done=done != last.done,
    )  # fmt: skip


def _homes(
    plan: Plan, sessions: Sequence[Session], wishes: Sequence[FixedSession]
) -> Iterator[Session]:  # fmt: skip
    """Where the planner itself last put each session; what was moved or left out is found again
    in the revision before that. What the climber added was put nowhere by it."""
    changed = {wish.session: wish for wish in wishes if wish.session}
    yield from (
        one for one in sessions
        if one.id not in changed and not one.id.startswith(OWN)
    )  # fmt: skip
    yield from filter(None, (home_of(plan, wish) for wish in changed.values()))
