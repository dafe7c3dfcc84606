"""Moves, skips, adds and frees sessions (wishes in the year), and marks them in the diary."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, time
from typing import Any

from seasonplan.days import day_text, span_text
from seasonplan.edits import paper
from seasonplan.edits.draft import Draft, EditRefused
from seasonplan.edits.entries import change, free_id, known
from seasonplan.edits.kinds import (
    AddSession,
    ChangeEntry,
    FreeSession,
    MoveSession,
    SkipSession,
)
from seasonplan.edits.past import refuse_day
from seasonplan.edits.room import clear_start, overlap
from seasonplan.plan import Plan, Session
from seasonplan.recipes import recipes
from seasonplan.year import FixedSession, slug

OWN = "own/"  # how the plan names a session that the climber added
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
    values: dict[str, Any] = {}
    values |= {"day": edit.day} if edit.day else {}
    start = _start(draft, edit, session)
    values |= {"start": f"{start:%H:%M}"} if start else {}
    values |= {"minutes": edit.minutes} if edit.minutes else {}
    own = _own(draft, session.id)
    if own:  # its entry keeps its id, which would else be made from its day
        return change(draft, ChangeEntry(id=own, values={"id": own, **values}))
    return _only(draft, session.id, {"session": session.id, **values})


def _start(draft: Draft, edit: MoveSession, session: Session) -> time | None:
    """The hour that was said; else its own, or where that is taken the next after what is there.

    Refused where the hour that was said lies in another session.
    """
    day, minutes = edit.day or _stands_on(draft, session), edit.minutes or session.minutes
    others = _others(draft, day, but=session.id)
    if edit.start is None:
        start = clear_start([(one, after) for one, after, _ in others], session.minute, minutes,
                            toward=1)  # fmt: skip
        return None if start in (None, session.minute) else clock(start or 0)
    refuse_overlap(others, edit.start, minutes)
    return edit.start


def refuse_overlap(others: Sequence[tuple[int, int, str]], start: time, minutes: int) -> None:
    """Refused where a session would lie in another, with the nearest hour that is clear."""
    wish = start.hour * 60 + start.minute
    times = [(one, after) for one, after, _ in others]
    found = overlap(times, wish, minutes)
    if found is None:
        return
    name = next(name for one, after, name in others if (one, after) == found)
    free = clear_start(times, wish, minutes)
    raise EditRefused(
        f"“{name}” is there from {clock(found[0]):%H:%M} to {ends(found[1])}.",
        "No hour of that day has room." if free is None
        else f"{clock(free):%H:%M} is the nearest hour with room for {minutes} min.",
    )  # fmt: skip


def clock(minute: int) -> time:
    """A minute of the day as a time."""
    return time(minute // 60, minute % 60)


def ends(minute: int) -> str:
    """When something ends, such as "19:30"; midnight is "24:00"."""
    return f"{minute // 60:02}:{minute % 60:02}"


def _others(draft: Draft, day: date, *, but: str) -> list[tuple[int, int, str]]:
    """From when to when sessions stand on a day now, and their names; wishes lie over the plan."""
    book, wishes = recipes(draft.year.recipes), draft.year.fixed_sessions
    said = {one.session: one for one in wishes if one.session}
    found = []
    for session in draft.sessions:
        wish = said.get(session.id)
        own = session.id.startswith(OWN)
        if session.id == but or own or not session.minutes or (wish and wish.skip):
            continue
        if ((wish and wish.day) or session.day) == day:
            start = (wish.start if wish else None) or clock(session.minute)
            minutes = (wish.minutes if wish else None) or session.minutes
            found.append((start, minutes, session.recipe))
    found += [
        (one.start, one.minutes, one.recipe)
        for one in wishes
        if one.id != but and one.recipe and one.day == day and one.start and one.minutes
    ]
    return [
        (minute := start.hour * 60 + start.minute, minute + minutes,
         book[name].name if name in book else name)
        for start, minutes, name in found
    ]  # fmt: skip


def skip(draft: Draft, edit: SkipSession) -> str:
    """The text with a session left out."""
    session = planned(draft, edit.session)
    refuse_day(draft, _stands_on(draft, session), otherwise=MARK)
    if _own(draft, session.id):
        return free(draft, FreeSession(session=session.id))
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
    refuse_overlap(_others(draft, edit.day, but=""), edit.start, edit.minutes or recipe.minutes)
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
    said = edit.session.removeprefix(OWN)
    if said not in names:
        raise EditRefused(
            f"You changed nothing of the session {edit.session}.",
            known(edit.session, names) if names else "There is nothing to take back.",
        )
    _refuse_if_over(draft, draft.year.fixed_sessions[names.index(said)])
    return paper.drop(draft.text, ("session", names.index(said)))


def _refuse_if_over(draft: Draft, wish: FixedSession) -> None:
    """Refused where a session lies, or would lie again, on a day that is over."""
    home = home_of(draft.plan, wish) if draft.plan else None
    refuse_day(draft, wish.day or (home.day if home else date.max), otherwise=MARK)
    if home is not None:
        put_off = "It was planned for that day: move it to a day to come, or leave it out."
        refuse_day(draft, home.day, otherwise=put_off)


def planned(draft: Draft, session_id: str) -> Session:
    """A session as it was planned, or added since; refused where there is none."""
    return _named(draft, session_id, later=draft.plan.current.sessions if draft.plan else ())


def standing(draft: Draft, session_id: str) -> Session:
    """A session as it stands now, moved or not; refused where there is none."""
    return _named(draft, session_id, later=draft.sessions)


def _named(draft: Draft, session_id: str, *, later: Sequence[Session]) -> Session:
    """A session by its id, as the later ones have it where both do."""
    if draft.plan is None:
        raise EditRefused("There is no plan yet, so no session.", "Run `seasonplan plan` first.")
    every = (*draft.plan.current.sessions, *draft.sessions, *later)
    sessions = {session.id: session for session in every}
    if session_id not in sessions:
        raise EditRefused(
            f"The plan has no session {session_id!r}.", _like(session_id, list(sessions))
        )
    return sessions[session_id]


def _like(session_id: str, names: list[str]) -> str:
    """The nearest names; a year has too many to list them."""
    told = known(session_id, names)
    named = "`seasonplan week --plain` names the sessions of a week."
    return told if told.startswith("Did") else named


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


def _own(draft: Draft, session_id: str) -> str:
    """The entry that added a session, by its id; empty where the planner placed it."""
    bare = session_id.removeprefix(OWN)
    added = any(one.recipe and one.id == bare for one in draft.year.fixed_sessions)
    return bare if added and bare != session_id else ""


def _stands_on(draft: Draft, session: Session) -> date:
    """The day of a session: planned, or chosen by the climber since."""
    wishes = draft.year.fixed_sessions
    named = {one.session or f"{OWN}{one.id}": one for one in wishes}
    said = named.get(session.id)
    return (said.day if said else None) or session.day


def _only(draft: Draft, session_id: str, values: dict[str, Any]) -> str:
    """The text with this and nothing else said of a session."""
    text = draft.text
    said = [entry.id for entry in draft.year.fixed_sessions]
    if session_id in said:
        text = paper.drop(text, ("session", said.index(session_id)))
    return paper.add(text, "session", values)


def home_of(plan: Plan, wish: FixedSession) -> Session | None:
    """Where the planner itself last put a session that a wish moves or leaves out."""
    name = wish.session
    ever = [one for revision in plan.revisions for one in revision.sessions if one.id == name]
    elsewhere = [one for one in ever if not _lies_as_wished(one, wish)]
    return next(iter((elsewhere or ever)[-1:]), None)


def _lies_as_wished(session: Session, wish: FixedSession) -> bool:
    """Whether a session was where the climber wants it now."""
    said = [(wish.day, session.day), (wish.start, session.start)]
    wanted = [(want, is_) for want, is_ in said if want is not None]
    return bool(wanted) and all(want == is_ for want, is_ in wanted)


def as_said(session: Session, wish: FixedSession) -> Session:
    """A session at the day and hour and of the length that a wish says."""
    said: dict[str, Any] = {
        name: value
        for name in ("day", "start", "minutes")
        if (value := getattr(wish, name)) is not None
    }
    return Session(**{**dict(session), **said})
