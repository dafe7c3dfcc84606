"""Planned sessions in the diary: which are not in it yet, and what a row about one begins with."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any

from seasonplan.diary.entry import DiaryEntry, Did
from seasonplan.diary.weeks import outcomes
from seasonplan.plan import Session


def unlogged(
    sessions: Iterable[Session], entries: Iterable[DiaryEntry], *, day: date
) -> tuple[Session, ...]:
    """What was planned for a day and is not in the diary yet, in order of the day."""
    told = {entry.session for entry in outcomes(entries)}
    open_ = [one for one in sessions if one.day == day and one.minutes > 0 and one.id not in told]
    return tuple(sorted(open_, key=lambda session: (session.start, session.id)))


def cells_of_session(session: Session, did: Did, *, day: date) -> dict[str, Any]:
    """The fields of a row about a planned session, before what the climber says of it.

    Minutes are those planned. Effort is not: it is felt, and where nobody says it the planned
    one stands in when loads are added up, so that no guess is kept as if it had been rated.
    """
    cells: dict[str, Any] = {
        "date": day, "kind": did, "session": session.id, "recipe": session.recipe,
    }  # fmt: skip
    return cells | ({"minutes": session.minutes} if did is Did.DONE else {})
