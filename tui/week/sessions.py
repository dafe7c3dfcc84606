"""The sessions of a week as they stand: planned, moved, left out, added, done or missed.

Lays what the climber said since over what was planned; draws nothing.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, time
from enum import StrEnum

from seasonplan.days import Span, day_text
from seasonplan.diary import DiaryEntry, Did
from seasonplan.edits import (
    AddSession,
    AnEdit,
    ChangeEntry,
    EditRefused,
    FreeSession,
    MoveSession,
    SkipSession,
)
from seasonplan.edits.harm import kind_on, sparing
from seasonplan.edits.room import LAST_START, clear_start
from seasonplan.edits.sessions import OWN, as_said, home_of
from seasonplan.plan import Session
from seasonplan.recipes import Recipe, usual_text
from seasonplan.year import FixedSession
from tui.ask import Choice
from tui.bench import Bench

USUAL_START = 18 * 60  # on a day without free time


class Stand(StrEnum):
    """What became of a session; the value is the word for it."""

    PLANNED = ""
    MOVED = "moved by you"
    OUT = "left out"
    HURT = "leave it out"
    ADDED = "added by you"
    DONE = "done"
    MISSED = "missed"


MARKED = (Stand.DONE, Stand.MISSED)
SIGN = {
    Stand.PLANNED: " ",
    Stand.MOVED: "→",
    Stand.OUT: "–",  # noqa: RUF001  (drawn)
    Stand.HURT: "!",
    Stand.ADDED: "+",
    Stand.DONE: "✓",
    Stand.MISSED: "×",  # noqa: RUF001  (drawn)
}
NOT_HELD = (Stand.OUT, Stand.HURT)


@dataclass(frozen=True, slots=True)
class Shown:
    """A session where it is to be shown.

    `wish` is the id of what the year says of it; `own` that the climber added it; `harm` why it
    must be left out.
    """

    session: Session
    stand: Stand
    wish: str = ""
    own: bool = False
    harm: str = ""
    entry: DiaryEntry | None = None

    @property
    def counts(self) -> bool:
        """Whether what a week holds is told with it: not to be left out, nor taken later."""
        return self.stand is Stand.DONE or not (self.harm or self.stand in NOT_HELD)

    @property
    def minute(self) -> int:
        """Minutes after midnight at which it begins."""
        return self.session.minute

    @property
    def end(self) -> int:
        """Minutes after midnight at which it ends."""
        return self.minute + self.session.minutes


def shown(bench: Bench, week: Span) -> list[Shown]:
    """The sessions of some days, by day and hour."""
    if bench.desk.standing is None:
        return []
    now, written = bench.desk.standing, _written(bench)
    wishes = {one.session or f"{OWN}{one.id}": one for one in bench.desk.year.fixed_sessions}
    found = [_stands(session, wishes.get(session.id)) for session in now.sessions]
    held = {session.id for session in now.sessions}
    asked = (_asked(wish, bench) for name, wish in wishes.items() if name not in held)
    found = [_marked(_spared(one, bench), written) for one in (*found, *filter(None, asked))]
    inside = [one for one in found if one.session.day in week and one.session.minutes]
    return sorted(inside, key=lambda one: (one.session.day, one.minute, one.session.id))


def _stands(session: Session, wish: FixedSession | None) -> Shown:
    """A session of the plan as it stands, and what became of it."""
    own = session.id.startswith(OWN)
    stand = Stand.ADDED if own else Stand.MOVED if wish else Stand.PLANNED
    return Shown(session, stand, wish.id if wish else "", own)


def _asked(wish: FixedSession, bench: Bench) -> Shown | None:
    """A session that the climber left out, or asked for and no plan holds, where it would be."""
    plan = bench.desk.plan
    if wish.session:
        session = home_of(plan, wish) if plan else None
        return Shown(as_said(session, wish), Stand.OUT, wish.id) if session else None
    if wish.day is None or wish.start is None or wish.minutes is None:
        return None
    recipe = bench.desk.recipes.get(wish.recipe)
    session = Session(
        id=f"{OWN}{wish.id}", block="", recipe=wish.recipe, day=wish.day, start=wish.start,
        minutes=wish.minutes, rpe=recipe.rpe if recipe else 5.0,
    )  # fmt: skip
    return Shown(session, Stand.ADDED, wish.id, own=True)


def _spared(one: Shown, bench: Bench) -> Shown:
    """With the word that it must be left out; what the climber wished is then out of the plan."""
    if bench.agenda is None:
        return one
    if bench.now and one.session.day < bench.now:
        return replace(one, harm=bench.agenda.late_text(one.session))
    harm = bench.agenda.harm_text(one.session)
    return one if not harm else replace(one, harm=harm, stand=Stand.OUT if one.wish else Stand.HURT)


def _marked(one: Shown, written: Mapping[str, DiaryEntry]) -> Shown:
    entry = written.get(one.session.id)
    if entry is None:
        return one
    return replace(one, stand=Stand.DONE if entry.kind is Did.DONE else Stand.MISSED, entry=entry)


def _written(bench: Bench) -> dict[str, DiaryEntry]:
    """The last word of the diary on each session; nothing where it cannot be read."""
    return {
        entry.session: entry
        for entry in bench.desk.diary_shown
        if entry.session and entry.kind in (Did.DONE, Did.MISSED)
    }


# --- changes ----------------------------------------------------------------------------------


def taken_on(bench: Bench, day: date, *, but: str = "") -> list[tuple[int, int]]:
    """From when to when sessions are held on a day; `but` is the one that looks for room."""
    return [
        (one.minute, one.end)
        for one in shown(bench, Span.through(day, day))
        if one.stand not in NOT_HELD and one.session.id != but
    ]


def pushed(bench: Bench, one: Shown, day: date, minute: int, *, toward: int = 0) -> AnEdit:
    """The edit that puts a session on a day near an hour, beside what is there already.

    Raises EditRefused where the day has no room; `toward` as for `clear_start`.
    """
    minute = max(0, min(minute, LAST_START))
    taken = taken_on(bench, day, but=one.session.id)
    start = clear_start(taken, minute, one.session.minutes, toward=toward)
    if start is None:
        raise EditRefused(
            f"{day_text(day)} has no room for {one.session.minutes} min there.",
            "Another day or hour may have.",
        )
    return moved(one, day, time(start // 60, start % 60))


def moved(one: Shown, day: date, start: time) -> AnEdit:
    """The edit that puts a session on another day or hour; one that was added is an entry.

    It keeps its id, which would else be made from its day: the diary knows it by that.
    """
    if one.own:
        said = {"id": one.wish, "day": day, "start": f"{start:%H:%M}"}
        return ChangeEntry(id=one.wish, values=said)
    return MoveSession(session=one.session.id, day=day, start=start)


def left_out(one: Shown) -> AnEdit:
    """The edit that leaves a session out; one that was added goes.

    Raises EditRefused where the diary says what became of it.
    """
    if one.stand in MARKED:
        raise EditRefused(
            f"It is marked as {one.stand.value}: that stands in your diary.",
            "u takes the mark back; d and m change it.",
        )
    return freed(one) if one.own else SkipSession(session=one.session.id)


def freed(one: Shown) -> AnEdit:
    """The edit that takes back what was said of a session."""
    return FreeSession(session=one.wish or one.session.id)


# --- one more ---------------------------------------------------------------------------------


def recipes_for(bench: Bench, day: date) -> list[Recipe]:
    """Sessions that the day may hold and that load nothing hurt, by name; none without a plan."""
    draft = bench.desk.draft()
    kind = kind_on(draft, day)
    return sparing(draft.year, day, kind=kind) if kind else []


def choices_for(bench: Bench, day: date) -> list[Choice]:
    """The same to choose from, with what is done in a sentence."""
    return [
        Choice(one.id, one.name, _first_sentence(usual_text(one).do))
        for one in recipes_for(bench, day)
    ]


def _first_sentence(text: str) -> str:
    head, dot, _ = text.partition(". ")
    return f"{head}{'.' if dot else ''}"


def added(bench: Bench, recipe: str, day: date) -> AddSession:
    """The edit that adds a session after what the day's free time holds already.

    Raises EditRefused where the day has no room.
    """
    free, taken = bench.sheet.almanac.windows(day), taken_on(bench, day)
    begins = int(free[0][0]) if free else USUAL_START
    wish = min(max([begins, *(after for _, after in taken)]), LAST_START)
    minutes = bench.desk.recipes[recipe].minutes
    start = clear_start(taken, wish, minutes)
    if start is None:
        raise EditRefused(f"{day_text(day)} has no room for {minutes} min.", "Another day may.")
    return AddSession(recipe=recipe, day=day, start=time(start // 60, start % 60))
