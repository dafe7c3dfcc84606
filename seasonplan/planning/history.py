"""Revisions as a history: undo and redo as an editor has them, and what differs between two.

Nothing is ever taken away: undo appends a revision that is an earlier one again. Touches no disk.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from typing import Any, Protocol

from seasonplan.days import Span, span_text
from seasonplan.edits import EditRefused, TextChange, changes
from seasonplan.plan import Block, Plan, Revision, Score, Session, Shortfall


class Step(Protocol):
    """Undo or redo."""

    def __call__(
        self, plan: Plan, *, stamp: datetime, today: date | None = None
    ) -> tuple[Plan, str]: ...


class Move(StrEnum):
    """How a block differs. Several may hold at once."""

    ADDED = "added"
    REMOVED = "removed"
    MOVED = "moved"
    LENGTHENED = "lengthened"
    SHORTENED = "shortened"
    KIND = "kind changed"
    EMPHASIS = "emphasis changed"
    FIXED = "fixed"
    FREED = "freed"


@dataclass(frozen=True, slots=True)
class BlockChange:
    """A block that differs between two plans; None is where it is not there."""

    moves: tuple[Move, ...]
    before: Block | None
    after: Block | None

    @property
    def stands(self) -> Block:
        """The block as it is now, else as it was."""
        block = self.after or self.before
        assert block is not None
        return block


@dataclass(frozen=True, slots=True)
class Comparison:
    """How a second revision differs from a first.

    Points are those of the score; good days are expected ones, over all goals. Not `comparable`:
    one of them was made by an older program, which valued plans in another way.
    """

    first: int
    second: int
    blocks: tuple[BlockChange, ...]
    year: tuple[TextChange, ...]
    points: tuple[float, float]
    good_days: tuple[float, float]
    comparable: bool = True


@dataclass(frozen=True, slots=True)
class Track:
    """Where in the history the plan is: revisions in effect, oldest first, and undone ones.

    The last of `done` is what holds; the last of `undone` is what redo brings back.
    """

    done: tuple[int, ...]
    undone: tuple[int, ...]


def track(plan: Plan) -> Track:
    """The stacks of an editor, told by the revisions."""
    done: list[int] = []
    undone: list[int] = []
    for revision in plan.revisions:
        if revision.undoes is not None and done:
            undone.append(done.pop())
        elif revision.restores is not None and undone:
            done.append(undone.pop())
        else:
            done.append(revision.number)
            undone.clear()
    return Track(tuple(done), tuple(undone))


def undo(plan: Plan, *, stamp: datetime, today: date | None = None) -> tuple[Plan, str]:
    """The plan with one more revision that is as it was before the last, and its year text.

    With `today` what is over stays: the sessions before it, and where the blocks of those days
    are others it is refused.
    """
    done = track(plan).done
    if len(done) < 2:
        raise EditRefused("There is nothing to undo: this is the first plan.", _ways(plan))
    gone, back = of_number(plan, done[-1]), of_number(plan, done[-2])
    back = _from_today(plan.current, back, today)
    return _again(plan, back, f"undo: {gone.cause}", stamp, undoes=gone.number)


def redo(plan: Plan, *, stamp: datetime, today: date | None = None) -> tuple[Plan, str]:
    """The plan with one more revision that is the last undone one again, and its year text."""
    undone = track(plan).undone
    if not undone:
        raise EditRefused("There is nothing to redo.", "Redo works after an undo.")
    back = of_number(plan, undone[-1])
    back = _from_today(plan.current, back, today)
    return _again(plan, back, f"redo: {back.cause}", stamp, undoes=None)


def _from_today(now: Revision, back: Revision, today: date | None) -> Revision:
    """A revision with what is over as it was by now."""
    if today is None:
        return back
    was, would = (
        {day: block.kind for block in one.blocks for day in block.span.days() if day < today}
        for one in (now, back)
    )
    other = sorted(day for day in was.keys() | would.keys() if was.get(day) != would.get(day))
    if other:
        span = Span.through(other[0], other[-1])
        raise EditRefused(
            f"Plan {back.number} had other blocks from {span_text(span)}, and what is over stays.",
            "Take the change out of your year, then run `seasonplan replan`.",
        )
    over = [session for session in now.sessions if session.day < today]
    ids = {session.id for session in over}
    rest = [one for one in back.sessions if one.day >= today and one.id not in ids]
    at = {day: block.id for block in back.blocks for day in block.span.days()}
    done = [Session(**{**dict(s), "block": at.get(s.day, s.block)}) for s in over]
    past = _past_of(now, back, today)
    return Revision(**{**dict(back), **past, "sessions": (*done, *rest)})


def _past_of(now: Revision, back: Revision, today: date) -> dict[str, Any]:
    """Weeks, shortfalls and what goals had of days that are over, as they are by now."""
    weeks = {w.span: w for block in now.blocks for w in block.weeks if w.span.after <= today}
    blocks = tuple(
        Block(**{**dict(block), "weeks": tuple(weeks.get(w.span, w) for w in block.weeks)})
        for block in back.blocks
    )
    had = {
        (o.goal, o.entry, o.span): o for o in now.score.occasions if o.span.after <= today
    }  # fmt: skip
    occasions = tuple(had.get((o.goal, o.entry, o.span), o) for o in back.score.occasions)
    at = {day: block.id for block in blocks for day in block.span.days()}
    short = [
        Shortfall(**{**dict(one), "block": at[one.span.first]})
        for one in now.shortfalls
        if one.span.after <= today and one.span.first in at
    ]
    short += [one for one in back.shortfalls if one.span.after > today]
    return {
        "blocks": blocks, "score": Score(**{**dict(back.score), "occasions": occasions}),
        "shortfalls": tuple(short),
    }  # fmt: skip


def refuse_if_edited(plan: Plan | None, year_text: str) -> None:
    """Refused where the year on disk says something that no revision holds."""
    if plan is None:
        raise EditRefused("There is no plan yet.", "Run `seasonplan plan` first.")
    if not plan.current.year_text:
        raise _too_old(plan.current)
    if year_text != plan.current.year_text:
        raise EditRefused(
            "year.toml was changed after the plan was made; undoing would lose that.",
            "Run `seasonplan replan` first: then it is kept. Or `seasonplan undo` takes back what "
            "was entered since.",
        )


def of_old_model(revision: Revision) -> bool:
    """Whether it was made by a program that valued plans in another way: points do not compare."""
    weeks = [week for block in revision.blocks for week in block.weeks]
    return bool(weeks) and not any(week.aim or week.free_minutes for week in weeks)


def of_number(plan: Plan, number: int) -> Revision:
    """A revision by its number; refused where there is none."""
    for revision in plan.revisions:
        if revision.number == number:
            return revision
    last = plan.current.number
    raise EditRefused(
        f"There is no plan {number}.", f"There are plans 1 to {last}: see `seasonplan history`."
    )


def compare(plan: Plan, first: int, second: int) -> Comparison:
    """How plan `second` differs from plan `first`."""
    a, b = of_number(plan, first), of_number(plan, second)
    known = a.year_text and b.year_text  # plans made before texts were kept have none
    return Comparison(
        first=first,
        second=second,
        blocks=tuple(block_changes(a.blocks, b.blocks)),
        year=changes(a.year_text, b.year_text) if known else (),
        points=(a.score.points, b.score.points),
        good_days=(a.score.good_days, b.score.good_days),
        comparable=of_old_model(a) is of_old_model(b),
    )


def block_changes(old: Sequence[Block], new: Sequence[Block]) -> Iterator[BlockChange]:
    """Every block that differs, by the days on which it stands now, else stood."""
    before = {block.id: block for block in old}
    after = {block.id: block for block in new}
    both = {**before, **after}
    for own in sorted(both, key=lambda own: (both[own].span, own)):
        was, now = before.get(own), after.get(own)
        moves = tuple(_moves(was, now))
        if moves:
            yield BlockChange(moves, was, now)


def _again(
    plan: Plan, back: Revision, cause: str, stamp: datetime, *, undoes: int | None
) -> tuple[Plan, str]:
    if not back.year_text:
        raise _too_old(back)
    fields = {name: getattr(back, name) for name in Revision.model_fields}
    fields |= {
        "number": plan.current.number + 1, "stamp": stamp, "cause": cause, "undoes": undoes,
        "restores": back.number,
    }  # fmt: skip
    revisions = (*plan.revisions, Revision(**fields))
    return Plan(calendar_key=plan.calendar_key, revisions=revisions), back.year_text


def _too_old(revision: Revision) -> EditRefused:
    return EditRefused(
        f"Plan {revision.number} was made before year texts were kept with plans.",
        "Change year.toml by hand and run `seasonplan plan`.",
    )


def _ways(plan: Plan) -> str:
    return "Redo is possible." if track(plan).undone else "Change the year and plan again."


def _moves(was: Block | None, now: Block | None) -> Iterator[Move]:
    if was is None or now is None:
        yield Move.ADDED if was is None else Move.REMOVED
        return
    if now.span.length != was.span.length:
        yield Move.LENGTHENED if now.span.length > was.span.length else Move.SHORTENED
    elif now.span != was.span:
        yield Move.MOVED
    if now.kind is not was.kind:
        yield Move.KIND
    elif was.emphasis and now.emphasis is not was.emphasis:
        yield Move.EMPHASIS
    if now.pinned is not was.pinned:
        yield Move.FIXED if now.pinned else Move.FREED
