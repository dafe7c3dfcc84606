"""Marks sessions of the plan done or missed, in the diary."""

from __future__ import annotations

from dataclasses import replace

from seasonplan import diary
from seasonplan.diary import DiaryEntry, Did
from seasonplan.edits.draft import Draft
from seasonplan.edits.kinds import MarkDone, MarkMissed
from seasonplan.edits.sessions import planned


def done(draft: Draft, edit: MarkDone) -> Draft:
    """The draft with a session written down as done; what is not said is as planned."""
    session = planned(draft, edit.session)
    row = DiaryEntry(
        date=session.day,
        time=session.start,
        kind=Did.DONE,
        session=session.id,
        recipe=session.recipe,
        minutes=session.minutes if edit.minutes is None else edit.minutes,
        rpe=session.rpe if edit.rpe is None else edit.rpe,
        note=edit.note,
    )
    return replace(draft, diary=diary.append(draft.diary, row))


def missed(draft: Draft, edit: MarkMissed) -> Draft:
    """The draft with a session written down as missed."""
    session = planned(draft, edit.session)
    row = DiaryEntry(
        date=session.day,
        kind=Did.MISSED,
        session=session.id,
        recipe=session.recipe,
        note=edit.note,
    )
    return replace(draft, diary=diary.append(draft.diary, row))
