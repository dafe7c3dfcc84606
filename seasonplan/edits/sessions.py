"""Moves, skips, adds and frees sessions (wishes in the year), and marks them in the diary."""

from __future__ import annotations

from datetime import date, time
from typing import Any

from seasonplan.days import day_text, span_text
from seasonplan.edits import paper
from seasonplan.edits.draft import Draft, EditRefused
from seasonplan.edits.entries import free_id, known
from seasonplan.edits.kinds import AddSession, FreeSession, MoveSession, SkipSession
from seasonplan.edits.past import refuse_day
from seasonplan.plan import Session
from seasonplan.recipes import recipes
from seasonplan.year import slug

DAY_MINUTES = 24 * 60
MARK = "Mark it done or missed; what is over stays as it was planned."


def move(draft: Draft, edit: MoveSession) -> str:
    """The text with a session at another day or time, or of another length."""
    session = planned(draft, edit.session)
    if edit.day is None and edit.start is None and edit.minutes is None:
        raise EditRefused("No day and no time was said.", "Say a day, a start, or both.")
    refuse_day(draft, _stands_on(draft, session), otherwise=MARK)
    if edit.day is not None:
        refuse_day(draft, edit.day, otherwise=_from_today(draft))
        _in_its_block(draft, session, edit.day)
    values: dict[str, Any] = {"session": session.id}
    values |= {"day": edit.day} if edit.day else {}
    start = edit.start or _free_start(draft, session, edit.day or session.day)
    values |= {"start": f"{start:%H:%M}"} if start else {}
    values |= {"minutes": edit.minutes} if edit.minutes else {}
    return _only(draft, session.id, values)


def _free_start(draft: Draft, session: Session, day: date) -> time | None:
    """Where no hour was said and its own is taken on that day: the next one after what is there."""
    assert draft.plan is not None
    others = sorted(
        (one.minute, one.minute + one.minutes)
        for one in draft.plan.current.sessions
        if one.day == day and one.id != session.id
    )
    start = session.minute
    for first, after in others:
        if first < start + session.minutes and start < after:
            start = after
    if start == session.minute or start >= DAY_MINUTES:
        return None
    return time(start // 60, start % 60)


def skip(draft: Draft, edit: SkipSession) -> str:
    """The text with a session left out."""
    session = planned(draft, edit.session)
    refuse_day(draft, _stands_on(draft, session), otherwise=MARK)
    return _only(draft, session.id, {"session": session.id, "skip": True})


def add(draft: Draft, edit: AddSession) -> str:
    """The text with one more session."""
    book = recipes(draft.year.recipes)
    recipe = book.get(edit.recipe)
    if recipe is None:
        raise EditRefused(f"There is no recipe {edit.recipe!r}.", known(edit.recipe, list(book)))
    if edit.day not in draft.year.span:
        span = draft.year.span
        raise EditRefused(
            f"{day_text(edit.day)} is outside your year.",
            f"A day from {span_text(span)} works.",
        )
    refuse_day(draft, edit.day, otherwise="What was done outside the plan goes into the diary.")
    values: dict[str, Any] = {
        "recipe": recipe.id,
        "day": edit.day,
        "start": f"{edit.start:%H:%M}",
        "minutes": edit.minutes or recipe.minutes,
    }
    wanted = slug(f"{recipe.id} {edit.day}")
    own = free_id(draft.year, wanted)
    return paper.add(draft.text, "session", values | ({} if own == wanted else {"id": own}))


def free(draft: Draft, edit: FreeSession) -> str:
    """The text without what was said of a session."""
    names = [entry.id for entry in draft.year.fixed_sessions]
    if edit.session not in names:
        raise EditRefused(
            f"You changed nothing of the session {edit.session!r}.", known(edit.session, names)
        )
    return paper.drop(draft.text, ("session", names.index(edit.session)))


def planned(draft: Draft, session_id: str) -> Session:
    """A session of the plan; refused where there is none."""
    if draft.plan is None:
        raise EditRefused("There is no plan yet, so no session.", "Run `seasonplan plan` first.")
    sessions = {session.id: session for session in draft.plan.current.sessions}
    if session_id not in sessions:
        raise EditRefused(
            f"The plan has no session {session_id!r}.", _like(session_id, list(sessions))
        )
    return sessions[session_id]


def _like(session_id: str, names: list[str]) -> str:
    """The nearest names; a year has too many to list them."""
    told = known(session_id, names)
    return told if told.startswith("Did") else "`seasonplan show` lists the sessions of a week."


def _in_its_block(draft: Draft, session: Session, day: date) -> None:
    assert draft.plan is not None
    block = next(b for b in draft.plan.current.blocks if b.id == session.block)
    if day not in block.span:
        raise EditRefused(
            f"{day_text(day)} is outside {block.id}, which the session belongs to.",
            f"A day from {span_text(block.span)} would work; or skip it and add another.",
        )


def _from_today(draft: Draft) -> str:
    return f"A day from {day_text(draft.today)} on works." if draft.today else ""


def _stands_on(draft: Draft, session: Session) -> date:
    """The day of a session: planned, or chosen by the climber since."""
    said = next((one for one in draft.year.fixed_sessions if one.session == session.id), None)
    return (said.day if said else None) or session.day


def _only(draft: Draft, session_id: str, values: dict[str, Any]) -> str:
    """The text with this and nothing else said of a session."""
    text = draft.text
    said = [entry.id for entry in draft.year.fixed_sessions]
    if session_id in said:
        text = paper.drop(text, ("session", said.index(session_id)))
    return paper.add(text, "session", values)
