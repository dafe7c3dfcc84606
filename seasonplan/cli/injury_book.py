"""What `seasonplan injury` and `seasonplan ill` share: the year read, an entry written to it."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from seasonplan.cli.screen import Screen
from seasonplan.cli.where import anew

if TYPE_CHECKING:
    from seasonplan.edits import AnEdit
    from seasonplan.year import Absence, Injury, Year


def year_of(folder: Path) -> Year:
    from seasonplan.workspace import store

    return store.load_year(folder).year


def is_young(year: Year, day: date) -> bool:
    from seasonplan import injury

    return injury.is_young(year, day)


def write(folder: Path, edit: AnEdit) -> None:
    """The year file with an edit done. Raises BadInput, ChangedOnDisk or CannotWrite."""
    from seasonplan.edits import EditRefused
    from seasonplan.errors import BadInput, Fault
    from seasonplan.workspace.desk import Desk
    from seasonplan.workspace.store import YEAR_FILE

    try:
        Desk(folder).change(edit)
    except EditRefused as no:
        fault = Fault(
            str(folder / YEAR_FILE), "", None, no.why, "an edit that can be done", no.would_work
        )
        raise BadInput([fault]) from None


def say_next(screen: Screen, folder: Path) -> None:
    from seasonplan.workspace.store import PLAN_FILE

    planned = (folder / PLAN_FILE).exists()
    told = "The plan does not know of it yet" if planned else "There is no plan yet"
    screen.narrate(f"{told}: run {anew(planned=planned)}.")


def facts(entry: Absence | Injury) -> dict[str, object]:
    return {"id": entry.id, **entry.model_dump(mode="json", exclude_defaults=True)}
