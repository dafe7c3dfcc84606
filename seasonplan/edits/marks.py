"""Marks sessions of the plan done or missed, in the diary."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from seasonplan import diary
from seasonplan.diary import DiaryEntry, Did, cells_of_session
from seasonplan.edits.draft import Draft
from seasonplan.edits.kinds import MarkDone, MarkMissed
from seasonplan.edits.sessions import planned


def done(draft: Draft, edit: MarkDone) -> Draft:
    """The draft with a session written down as done; minutes are those planned if not said."""
    session = planned(draft, edit.session)
    cells = cells_of_session(session, Did.DONE, day=edit.on or session.day)
    said = {"minutes": edit.minutes, "rpe": edit.rpe, "note": edit.note}
    return _with_row(draft, cells | {name: cell for name, cell in said.items() if cell is not None})


def missed(draft: Draft, edit: MarkMissed) -> Draft:
    """The draft with a session written down as missed."""
    session = planned(draft, edit.session)
    cells = cells_of_session(session, Did.MISSED, day=edit.on or session.day)
    return _with_row(draft, cells | {"note": edit.note})


def marked_by(draft: Draft, edit: MarkDone | MarkMissed, *, today: date) -> MarkDone | MarkMissed:
    """The edit with its day: where none is said, that of the session but none to come."""
    if edit.on is not None:
        return edit
    day = min(planned(draft, edit.session).day, today)
    return type(edit)(**{**dict(edit), "on": day})


def _with_row(draft: Draft, cells: dict[str, object]) -> Draft:
    return replace(draft, diary=diary.append(draft.diary, DiaryEntry.model_validate(cells)))
