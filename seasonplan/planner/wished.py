"""What the climber moved, skipped or added of the sessions, put in after all else is placed.

Enforces `session-care` once more: what would load a hurt part is left out, whoever wished it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from seasonplan.plan import Block, Session, Shortfall
from seasonplan.recipes import Recipe
from seasonplan.year import FixedSession


@dataclass(frozen=True, slots=True)
class Placed:
    """Sessions in order, and what was asked for but not fitted."""

    sessions: tuple[Session, ...]
    shortfalls: tuple[Shortfall, ...] = ()


def as_wished(
    placed: Placed,
    blocks: Sequence[Block],
    wishes: Sequence[FixedSession],
    book: Mapping[str, Recipe],
    *,
    harms: Callable[[str, date], bool],
) -> Placed:
    """The sessions with the climber's own changes; a wish for a session that is gone is let be.

    `harms` says whether a recipe, by its id, must not be done on a day.
    """
    changed = {wish.session: wish for wish in wishes if wish.session}
    own = [added for wish in wishes if wish.recipe and (added := _added(wish, blocks, book))]
    again = {session.id for session in own}  # of an earlier plan, where their day is over
    sessions = [
        _changed(session, changed[session.id]) if session.id in changed else session
        for session in placed.sessions
        if session.id not in again and not (session.id in changed and changed[session.id].skip)
    ]
    sessions += own
    said = {*changed, *again}
    sessions = [s for s in sessions if s.id not in said or not harms(s.recipe, s.day)]
    sessions.sort(key=lambda session: (session.day, session.start, session.id))
    return Placed(tuple(sessions), placed.shortfalls)


def _changed(session: Session, wish: FixedSession) -> Session:
    said: dict[str, Any] = {
        name: value
        for name in ("day", "start", "minutes")
        if (value := getattr(wish, name)) is not None
    }
    return Session(**{**dict(session), **said})


def _added(
    wish: FixedSession, blocks: Sequence[Block], book: Mapping[str, Recipe]
) -> Session | None:
    recipe = book.get(wish.recipe)
    block = next((b for b in blocks if wish.day is not None and wish.day in b.span), None)
    if recipe is None or block is None or wish.start is None or wish.minutes is None:
        return None
    assert wish.day is not None
    return Session(
        id=f"own/{wish.id}",
        block=block.id,
        recipe=recipe.id,
        day=wish.day,
        start=wish.start,
        minutes=wish.minutes,
        rpe=recipe.rpe,
        hangs=hangs_in(recipe, wish.minutes),
        role=recipe.role,
        active_share=recipe.active_share,
    )


def hangs_in(recipe: Recipe, minutes: int) -> int:
    """How many hangs a finger session of so many minutes has."""
    if not recipe.hang_seconds:
        return 0
    fitting = int((minutes - recipe.warm_up_minutes) / recipe.hang_minutes)
    return max(1, min(fitting, recipe.hangs[1]))
