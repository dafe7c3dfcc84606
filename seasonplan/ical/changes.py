"""When an event last changed and how often, told from the revisions alone. Reads no clock.

What is compared is what a calendar shows, whichever layers are chosen:
- a block changes with its kind, days, phase, emphasis, or what a person is told of its weeks;
- a performance block, which names the climber's goals, changes also with those;
- a session changes with its recipe, hours and effort, the kind of its block, in a performance
  block with the goals, by a recipe the climber changed with that recipe, and with what was done
  of its work before it, as its text says at which step of it one is;
- an entry of the year changes with what the year says of it, and with the blocks it gives.

Where a revision kept only a digest of its year, every change of the year counts for all of
these: a number too many does no harm, one too few leaves an old event in the phone. Busy
calendars are no part of the year here: what they change are the hours of sessions. Texts, alarms
and busyness are in no revision; `shown` compares those too.
"""

from __future__ import annotations

from collections.abc import Callable, Container, Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime
from functools import lru_cache
from typing import TypeVar

from seasonplan.edits import read
from seasonplan.errors import BadInput, Misuse
from seasonplan.ical.taken import BUSY_MARK
from seasonplan.plan import Block, Plan, Revision, Session, Week
from seasonplan.recipes import recipes
from seasonplan.rules.tables import composing
from seasonplan.vocabulary import Kind
from seasonplan.year import Year

HANGS = "hangs"
Seen = tuple[object, ...] | None
Name = TypeVar("Name", str, date)


@dataclass(frozen=True, slots=True)
class Change:
    """The newest change of an event, in UTC, and the number of changes before and with it."""

    stamp: datetime
    sequence: int


def block_change(plan: Plan, block_id: str) -> Change:
    """The change of a block of the current revision."""
    return _change(plan, lambda revision: _block(revision, block_id))


def entry_change(plan: Plan, entry_id: str) -> Change:
    """The change of an entry of the year."""
    return _change(plan, lambda revision: _entry(revision, entry_id))


def session_changes(plan: Plan, *, own_recipes: Container[str]) -> dict[str, Change]:
    """The change of each session of the current revision, by id.

    `own_recipes` are those that the climber made or changed.
    """
    return _changes((one, dict(_sessions(one, own_recipes))) for one in plan.revisions)


def day_changes(plan: Plan, *, own_recipes: Container[str]) -> dict[date, Change]:
    """The change of each day with sessions in the current revision, all its sessions together."""

    def by_day(revision: Revision) -> dict[date, list[Seen]]:
        seen = dict(_sessions(revision, own_recipes))
        told: dict[date, list[Seen]] = {}
        for session in sorted(revision.sessions, key=lambda one: one.id):
            if session.minutes > 0:
                told.setdefault(session.day, []).append(seen[session.id])
        return told

    return _changes((one, by_day(one)) for one in plan.revisions)


def _changes(told: Iterable[tuple[Revision, Mapping[Name, object]]]) -> dict[Name, Change]:
    """The change of all that the last of some revisions tells, each by its name."""
    before: Mapping[Name, object] = {}
    changes: dict[Name, Change] = {}
    for revision, now in told:
        for name, seen in now.items():
            if seen != before.get(name):
                number = changes[name].sequence + 1 if name in changes else 0
                changes[name] = Change(_utc(revision.stamp), number)
        before = now
    return {name: changes[name] for name in before}


def calendar_change(plan: Plan) -> Change:
    """The newest change of anything, deletions too."""
    return _change(plan, _everything)


def goals_of(revision: Revision, block: Block) -> tuple[str, ...]:
    """Ids of the goals with good days in that block, most good days first."""
    days: dict[str, float] = {}
    for occasion in revision.score.occasions:
        if occasion.good_days > 0 and occasion.span.meet(block.span):
            days[occasion.goal] = days.get(occasion.goal, 0.0) + occasion.good_days
    return tuple(sorted(days, key=lambda goal: (-days[goal], goal)))


def _change(plan: Plan, show: Callable[[Revision], Seen]) -> Change:
    """Walks the revisions; a thing that went and came back has changed."""
    stamp, sequence, before = plan.revisions[0].stamp, -1, None
    for revision in plan.revisions:
        now = show(revision)
        if now is not None and now != before:
            stamp, sequence = revision.stamp, sequence + 1
        before = now
    return Change(_utc(stamp), max(sequence, 0))


def _block(revision: Revision, block_id: str) -> Seen:
    block = next((block for block in revision.blocks if block.id == block_id), None)
    if block is None:
        return None
    if block.kind is Kind.PERFORMANCE:
        return (*_shown(block), _goals(revision, block))
    return _shown(block)


def _sessions(revision: Revision, own_recipes: Container[str]) -> Iterator[tuple[str, Seen]]:
    """What is shown of each session, by id."""
    blocks = {block.id: block for block in revision.blocks}
    goals = {
        block.id: _goals(revision, block)
        for block in revision.blocks
        if block.kind is Kind.PERFORMANCE
    }
    before = dict(_before(revision))
    for session in revision.sessions:
        block = blocks.get(session.block)
        own = _recipe(revision, session.recipe) if session.recipe in own_recipes else None
        yield (
            session.id,
            (*_hours(session), block and block.kind, goals.get(session.block), own,
             session.light, session.hangs, before[session.id]),
        )  # fmt: skip


def _before(revision: Revision) -> Iterator[tuple[str, Seen]]:
    """What was done of the work of each session before it: in its block, and when last; of hangs
    all that was, as their load goes on from block to block."""
    inside: dict[tuple[str, str], tuple[object, ...]] = {}
    last: dict[str, object] = {}
    for one in sorted(revision.sessions, key=lambda one: (one.day, one.start)):
        work = HANGS if one.hangs else one.recipe
        done = inside.get((one.block, work), ())
        yield one.id, (done, last.get(work))
        if not _missed(revision, one.day):
            inside[one.block, work] = (*done, (one.recipe, one.week, one.light))
            so_far = (last.get(work), one.recipe) if work == HANGS else ()
            last[work] = hash((one.day, *so_far))


def _missed(revision: Revision, day: date) -> bool:
    """Whether the diary says that the week of a day was mostly missed."""
    lost = composing().load.lost_below
    return any(0 <= (day - first).days < 7 and s < lost for first, s in revision.done.items())


def _entry(revision: Revision, entry_id: str) -> Seen:
    given = (_shown(block) for block in revision.blocks if _gives(block, entry_id))
    return (_said_of(revision, entry_id), *given)


def _gives(block: Block, entry_id: str) -> bool:
    return block.entry == entry_id and not block.kind.chosen


def _everything(revision: Revision) -> Seen:
    return (
        _year(revision),
        *(_block(revision, block.id) for block in revision.blocks),
        *(_hours(session) for session in revision.sessions),
    )


def _goals(revision: Revision, block: Block) -> Seen:
    """The goals a performance block serves, and what the year says of them."""
    goals = goals_of(revision, block)
    if _then(revision.year_text) is None:
        return (goals, _year(revision))
    return (goals, *(_said_of(revision, goal) for goal in goals))


def _said_of(revision: Revision, entry_id: str) -> object:
    """What the year says of an entry; where that was not kept, the digest of it all."""
    year = _then(revision.year_text)
    return (year.span, year.entry(entry_id)) if year else _year(revision)


def _recipe(revision: Revision, recipe_id: str) -> object:
    year = _then(revision.year_text)
    return recipes(year.recipes).get(recipe_id) if year else _year(revision)


@lru_cache(maxsize=64)
def _then(text: str) -> Year | None:
    """The year of a revision, or None where it kept none that can be read now."""
    try:
        return read(text) if text else None
    except BadInput:  # written by an older program
        return None


def _year(revision: Revision) -> str:
    """The digest of the year alone, without that of its busy calendars."""
    return revision.year_digest.partition(BUSY_MARK)[0]


def _hours(session: Session) -> tuple[object, ...]:
    return (
        session.id, session.recipe, session.day, session.start, session.minutes,
        round(session.rpe, 1), session.zone,
    )  # fmt: skip


def _shown(block: Block) -> tuple[object, ...]:
    weeks = (part for week in block.weeks for part in _week(week))
    emphasis = (block.emphasis,) if block.emphasis else ()
    return (block.id, block.kind, block.span, block.phase, block.pinned, *emphasis, *weeks)


def _week(week: Week) -> Iterator[object]:
    """What a person is told of a week: whole minutes, effort to a tenth.

    Finer, and noise in the last digits would read as a change.
    """
    yield week.span
    yield from (round(week.minutes), round(week.rpe, 1), week.training_days)
    yield from (week.deload, week.lead_in, week.max_fingers)


def _utc(stamp: datetime) -> datetime:
    if stamp.tzinfo is None:
        raise Misuse(f"found the stamp {stamp} without a zone; wanted one in UTC")
    return stamp.astimezone(UTC).replace(microsecond=0)
