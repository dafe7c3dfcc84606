"""The plan in force and the year it was made for: what a phone is shown, whatever is edited."""

from __future__ import annotations

from pathlib import Path

from seasonplan.edits import read
from seasonplan.plan import Plan
from seasonplan.workspace import store
from seasonplan.year import Year


def in_force(folder: Path) -> tuple[Year, Plan] | None:
    """Year and plan with what the year says by now of sessions, reminders, the calendar, and of
    injuries, absences and trips, which forbid sessions at once. None where there is no plan.

    All else that was changed waits for the next plan. Raises BadInput where either cannot be read.
    """
    on_disk = store.load_plan(folder)
    if on_disk is None:
        return None
    from seasonplan.planning.since import plan_now

    text = on_disk.plan.current.year_text
    year = _said_now(read(text), folder) if text else store.load_year(folder).year
    return year, plan_now(on_disk.plan, year)


def _said_now(year: Year, folder: Path) -> Year:
    """The year with the sessions, alarm, calendar, injuries, absences and trips that year.toml
    has now. Raises BadInput where it cannot be read: a moved session must not go back for that."""
    now = store.load_year(folder).year
    sessions = year.sessions.model_copy(update={"alarm_minutes": now.sessions.alarm_minutes})
    said = {
        "sessions": sessions, "calendar": now.calendar, "fixed_sessions": now.fixed_sessions,
        "injuries": now.injuries, "absences": now.absences, "trips": now.trips,
    }  # fmt: skip
    return year.model_copy(update=said)
