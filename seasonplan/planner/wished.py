"""What the climber moved, skipped or added of the sessions, put in after all else is placed.

Enforces `session-care` once more: what would load a hurt part is left out, whoever wished it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date

from seasonplan.edits.sessions import as_said
from seasonplan.plan import Block, Session
from seasonplan.planner.hanging import most_hangs
from seasonplan.recipes import Recipe
from seasonplan.year import FixedSession


def as_wished(
    placed: Sequence[Session],
    blocks: Sequence[Block],
    wishes: Sequence[FixedSession],
    book: Mapping[str, Recipe],
    *,
    harms: Callable[[str, date], bool],
) -> tuple[Session, ...]:
    """The sessions with the climber's own changes; a wish for a session that is gone is let be.

    `harms` says whether a recipe, by its id, must not be done on a day.
    """
    changed = {wish.session: wish for wish in wishes if wish.session}
    own = [added for wish in wishes if wish.recipe and (added := _added(wish, blocks, book))]
    again = {session.id for session in own}  # of an earlier plan, where their day is over
    sessions = [
        as_said(session, changed[session.id]) if session.id in changed else session
        for session in placed
        if session.id not in again and not (session.id in changed and changed[session.id].skip)
    ]
    sessions += own
    said = {*changed, *again}
    sessions = [s for s in sessions if s.id not in said or not harms(s.recipe, s.day)]
    return tuple(sorted(sessions, key=lambda session: (session.day, session.start, session.id)))


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
        hangs=most_hangs(recipe, wish.minutes) if recipe.hang_seconds else 0,
        role=recipe.role,
        active_share=recipe.active_share,
    )
