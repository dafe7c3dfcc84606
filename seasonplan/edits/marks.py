"""Writes into the diary: sessions of the plan done or missed, and single rows."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from pydantic import ValidationError

from seasonplan import diary
from seasonplan.days import day_text
from seasonplan.diary import DiaryEntry, Did, cells_of_session
from seasonplan.edits.draft import Draft, EditRefused
from seasonplan.edits.kinds import AMark, MarkDone, MarkMissed, WriteRow
from seasonplan.edits.sessions import standing
from seasonplan.errors import BadInput, Fault
from seasonplan.year.told import told

WHEN = "If it was done already, say on which day: --on today."
NOT_YET = "If it will not take place, leave it out: skip."


def done(draft: Draft, edit: MarkDone) -> Draft:
    """The draft with a session written down as done; minutes are those planned if not said."""
    session = standing(draft, edit.session)
    cells = cells_of_session(session, Did.DONE, day=edit.on or session.day)
    said = {"minutes": edit.minutes, "rpe": edit.rpe, **_hurt(edit)}
    cells |= {name: cell for name, cell in said.items() if cell is not None}
    return _with_row(draft, edit, cells)


def missed(draft: Draft, edit: MarkMissed) -> Draft:
    """The draft with a session written down as missed."""
    session = standing(draft, edit.session)
    cells = cells_of_session(session, Did.MISSED, day=edit.on or session.day)
    return _with_row(draft, edit, cells | _hurt(edit))


def marked_by(draft: Draft, edit: MarkDone | MarkMissed, *, today: date) -> MarkDone | MarkMissed:
    """The edit with its day: where none is said, that of the session.

    Refused where that day is still to come: only the climber knows when it was done.
    """
    if edit.on is not None:
        return edit
    day = standing(draft, edit.session).day
    if day > today:
        raise EditRefused(to_come(day), WHEN if isinstance(edit, MarkDone) else NOT_YET)
    return type(edit)(**{**dict(edit), "on": day})


def _hurt(edit: AMark) -> dict[str, object]:
    """The remark, and what hurt how much; a part and a number belong together."""
    if (edit.part is None) != (edit.pain is None):
        said, lacks = ("a part", "how much") if edit.pain is None else ("pain", "where")
        raise EditRefused(f"There is {said} and not {lacks}.", "Say both, or neither.")
    return {"note": edit.note, "part": edit.part, "side": edit.side, "pain": edit.pain}


def written(draft: Draft, edit: WriteRow) -> Draft:
    """The draft with a row more in its diary."""
    return replace(draft, diary=diary.append(draft.diary, edit.row))


def to_come(day: date) -> str:
    """That a session cannot be over yet."""
    return f"It is planned for {day_text(day)}, which is still to come."


def _with_row(draft: Draft, edit: AMark, cells: dict[str, object]) -> Draft:
    try:
        row = DiaryEntry.model_validate(cells)
    except ValidationError as error:
        raise BadInput(
            Fault(f"edit {edit.do}", str(one["loc"][0]), None, *told(one)) for one in error.errors()
        ) from None
    return replace(draft, diary=diary.append(draft.diary, row))
