"""The sessions of a week as they stand: planned, moved, left out, added, done or missed.

Lays what the climber said since over what was planned; draws nothing.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, time
from enum import StrEnum

from seasonplan import diary
from seasonplan.days import Span
from seasonplan.diary import DiaryEntry, Did
from seasonplan.edits import (
    AddSession,
    AnEdit,
    ChangeEntry,
    FreeSession,
    MoveSession,
    SkipSession,
)
from seasonplan.errors import BadInput
from seasonplan.plan import Session
from seasonplan.recipes import Recipe
from tui.bench import Bench

USUAL_START = 18 * 60  # on a day without free time
LAST_START = 23 * 60 + 45


class Stand(StrEnum):
    """What became of a session; the value is the word for it."""

    PLANNED = ""
    MOVED = "moved by you"
    OUT = "left out"
    ADDED = "added by you"
    DONE = "done"
    MISSED = "missed"


SIGN = {
    Stand.PLANNED: " ",
    Stand.MOVED: "→",
    Stand.OUT: "–",  # noqa: RUF001  (drawn)
    Stand.ADDED: "+",
    Stand.DONE: "✓",
    Stand.MISSED: "×",  # noqa: RUF001  (drawn)
}


@dataclass(frozen=True, slots=True)
class Shown:
    """A session where it is to be shown. `fixed` says that the year has a wish for it."""

    session: Session
    stand: Stand
    fixed: bool = False
    entry: DiaryEntry | None = None

    @property
    def minute(self) -> int:
        """Minutes after midnight at which it begins."""
        return self.session.start.hour * 60 + self.session.start.minute

    @property
    def end(self) -> int:
        """Minutes after midnight at which it ends."""
        return self.minute + self.session.minutes


def shown(bench: Bench, week: Span) -> list[Shown]:
    """The sessions of some days, by day and hour."""
    plan = bench.desk.plan
    if plan is None:
        return []
    written = _written(bench)
    wishes = {wish.id: wish for wish in bench.desk.year.fixed_sessions}
    found = []
    for session in plan.current.sessions:
        wish = wishes.pop(session.id, None)
        stand = Stand.PLANNED
        if wish is not None:
            stand = Stand.OUT if wish.skip else Stand.MOVED
            session = _moved(session, day=wish.day, start=wish.start, minutes=wish.minutes)
        found.append(_marked(session, stand, written, fixed=wish is not None))
    for wish in wishes.values():
        if wish.recipe and wish.day and wish.start and wish.minutes:
            recipe = bench.desk.recipes.get(wish.recipe)
            session = Session(
                id=wish.id, block="", recipe=wish.recipe, day=wish.day, start=wish.start,
                minutes=wish.minutes, rpe=recipe.rpe if recipe else 5.0,
            )  # fmt: skip
            found.append(_marked(session, Stand.ADDED, written, fixed=True))
    inside = [one for one in found if one.session.day in week and one.session.minutes]
    return sorted(inside, key=lambda one: (one.session.day, one.minute, one.session.id))


def _moved(
    session: Session, *, day: date | None, start: time | None, minutes: int | None
) -> Session:
    return Session(
        **dict(session)
        | {
            "day": day or session.day,
            "start": start or session.start,
            "minutes": minutes or session.minutes,
        }
    )


def _marked(
    session: Session, stand: Stand, written: Mapping[str, DiaryEntry], *, fixed: bool
) -> Shown:
    entry = written.get(session.id)
    if entry is not None:
        stand = Stand.DONE if entry.kind is Did.DONE else Stand.MISSED
    return Shown(session, stand, fixed, entry)


def _written(bench: Bench) -> dict[str, DiaryEntry]:
    """The last word of the diary on each session; nothing where it cannot be read."""
    try:
        entries = diary.parse(bench.desk.draft().diary, file=diary.FILE)
    except BadInput:
        return {}
    return {
        entry.session: entry
        for entry in entries
        if entry.session and entry.kind in (Did.DONE, Did.MISSED)
    }


# --- changes ----------------------------------------------------------------------------------


def moved(one: Shown, day: date, start: time) -> AnEdit:
    """The edit that puts a session on another day or hour; one that was added is an entry.

    It keeps its id, which would else be made from its day: the diary knows it by that.
    """
    own = one.session.id
    if one.stand is Stand.ADDED:
        return ChangeEntry(id=own, values={"id": own, "day": day, "start": f"{start:%H:%M}"})
    return MoveSession(session=one.session.id, day=day, start=start)


def left_out(one: Shown) -> AnEdit:
    """The edit that leaves a session out; one that was added goes."""
    added_one = one.stand is Stand.ADDED
    return (FreeSession if added_one else SkipSession)(session=one.session.id)


# --- one more ---------------------------------------------------------------------------------


def recipes_for(bench: Bench, day: date) -> list[Recipe]:
    """Sessions that the block on a day may hold, by name; none where nothing is planned."""
    block = next((block for block in bench.blocks if day in block.span), None)
    if block is None:
        return []
    found = [r for r in bench.desk.recipes.values() if block.kind in r.kinds and r.minutes]
    return sorted(found, key=lambda recipe: recipe.name)


def added(bench: Bench, recipe: str, day: date) -> AddSession:
    """The edit that adds a session after what the day's free time holds already."""
    free = bench.sheet.almanac.windows(day)
    ends = [
        one.minute + one.session.minutes
        for one in shown(bench, Span.through(day, day))
        if one.stand is not Stand.OUT
    ]
    begins = free[0][0] if free else USUAL_START
    start = min(max([begins, *ends]), LAST_START)
    return AddSession(recipe=recipe, day=day, start=time(start // 60, start % 60))
