"""What `seasonplan serve` hands to the feed, which meets neither disk nor clock: what holds now,
and where an answer from a phone goes.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from seasonplan.cli.accepted import marks

if TYPE_CHECKING:
    from seasonplan.edits import Draft, MarkDone, MarkMissed
    from seasonplan.feed.entries import Present
    from seasonplan.feed.pages.answers import Answer


def present_of(folder: Path, *, diary: bool, tell: Callable[[str], None]) -> Callable[[], Present]:
    """What holds now; read again where a file changed. Without `diary` nothing of it is told.

    What cannot be read now is told to `tell` once, and stays as it was.
    """
    from seasonplan.feed.entries import Present
    from seasonplan.workspace import clock, store

    seen: Any = None
    known: dict[str, Any] = {}
    lock = threading.Lock()

    def present() -> Present:
        nonlocal seen
        mark = marks(folder / store.YEAR_FILE, folder / store.DIARY_FILE)
        with lock:
            if mark != seen:
                seen = mark
                known.update(_known(folder, diary=diary, tell=tell))
            return Present(clock.stamp(), **known)

    return present


def _known(folder: Path, *, diary: bool, tell: Callable[[str], None]) -> dict[str, Any]:
    from seasonplan.diary import outcomes, parse
    from seasonplan.errors import BadInput
    from seasonplan.workspace import store

    known: dict[str, Any] = {}
    try:
        known["injuries"] = store.load_year(folder).year.injuries
        if diary:
            rows = parse(store.load_diary(folder).text, file=str(folder / store.DIARY_FILE))
            known["rows"] = rows
            known["diary"] = {one.session: one for one in outcomes(rows) if one.session}
    except BadInput as no:
        tell(f"It cannot be read now; what was known before stays. {no.faults[0]}")
    return known


def taker(folder: Path, tell: Callable[[str], None]) -> Callable[[Answer], None]:
    """Writes answers into the diary of a folder, each by an edit as the terminal makes it.

    Raises what the feed knows: Stale, Refused or NotNow; `tell` hears why it was not possible.
    """
    from seasonplan.edits import EditRefused
    from seasonplan.errors import BadInput, CannotWrite, ChangedOnDisk
    from seasonplan.feed.pages.answers import NotNow, Refused

    lock = threading.Lock()  # one after another here; beside other programs the store tries again

    def take(answer: Answer) -> None:
        with lock:
            try:
                _write(folder, answer)
            except EditRefused as no:
                raise Refused(422, str(no)) from None
            except (BadInput, CannotWrite, ChangedOnDisk) as no:
                tell(f"An answer could not be written. {no}")
                raise NotNow from None

    return take


def _write(folder: Path, answer: Answer) -> None:
    """The edit, if session and diary still are what was shown; raises Stale where they are not."""
    from seasonplan.diary import outcomes, parse
    from seasonplan.feed.pages.answers import Stale
    from seasonplan.workspace.desk import Desk

    session, before = answer.shown
    desk = Desk(folder)
    planned = desk.standing.sessions if desk.standing else ()
    if session not in planned:
        raise Stale

    def expecting(draft: Draft) -> None:
        rows = outcomes(parse(draft.diary, file="diary.csv"))
        if next((one for one in rows if one.session == session.id), None) != before:
            raise Stale

    desk.change_between(_edit(answer), expecting=expecting)


def _edit(answer: Answer) -> MarkDone | MarkMissed:
    from seasonplan.edits import MarkDone, MarkMissed

    session = answer.shown.session
    said: dict[str, Any] = {
        "session": session.id, "on": session.day, "part": answer.part, "side": answer.side,
        "pain": answer.pain,
    }  # fmt: skip
    return MarkDone(**said, rpe=answer.effort) if answer.done else MarkMissed(**said)
