"""What was planned and what was done: loads by day, weeks side by side, weeks without a word.

Load is RPE x minutes (Foster 1998, Med Sci Sports Exerc 30(7):1164-1168, abstract read), as in
`load`. Where a row leaves minutes or effort out, those of the planned session or recipe stand in.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date

from seasonplan.days import Span
from seasonplan.diary.entry import DiaryEntry, Did
from seasonplan.plan import Session
from seasonplan.recipes import Recipe
from seasonplan.vocabulary import FrozenModel


class WeekDone(FrozenModel):
    """One week: load, minutes and number of sessions, planned and done.

    `unrated` counts done rows without minutes or effort, which no load includes. `silent` is a
    past week with sessions planned and nothing in the diary.
    """

    span: Span
    planned_load: float
    done_load: float
    planned_minutes: int
    done_minutes: int
    planned: int
    done: int
    missed: int
    unrated: int
    silent: bool


def outcomes(entries: Iterable[DiaryEntry]) -> tuple[DiaryEntry, ...]:
    """The rows that tell of a session done or missed; of one planned session the last row."""
    last: dict[object, DiaryEntry] = {}
    for number, entry in enumerate(entries):
        if entry.kind in (Did.DONE, Did.MISSED):
            last.pop(entry.session, None)
            last[entry.session or number] = entry
    return tuple(last.values())


def done(
    entries: Iterable[DiaryEntry], *, recipes: Mapping[str, Recipe], sessions: Iterable[Session]
) -> tuple[tuple[DiaryEntry, int | None, float | None], ...]:
    """Each done row with its minutes and effort; None where neither row nor plan says it."""
    planned = {session.id: session for session in sessions}
    return tuple(
        (entry, *_as_done(entry, planned.get(entry.session), recipes.get(entry.recipe)))
        for entry in outcomes(entries)
        if entry.kind is Did.DONE
    )


def _as_done(
    entry: DiaryEntry, session: Session | None, recipe: Recipe | None
) -> tuple[int | None, float | None]:
    stand_in = session or recipe
    minutes = entry.minutes if entry.minutes is not None or stand_in is None else stand_in.minutes
    rpe = entry.rpe if entry.rpe is not None or stand_in is None else stand_in.rpe
    return minutes, rpe


def weekly(
    entries: Sequence[DiaryEntry],
    *,
    recipes: Mapping[str, Recipe],
    sessions: Sequence[Session],
    weeks: Iterable[Span],
    today: date,
) -> tuple[WeekDone, ...]:
    """Every week that has begun by `today`, planned beside done."""
    rows = done(entries, recipes=recipes, sessions=sessions)
    return tuple(
        _week(week, entries, rows, [one for one in sessions if one.day in week], today=today)
        for week in weeks
        if week.first <= today
    )


def _week(
    week: Span,
    entries: Sequence[DiaryEntry],
    rows: Iterable[tuple[DiaryEntry, int | None, float | None]],
    planned: Sequence[Session],
    *,
    today: date,
) -> WeekDone:
    mine = [(minutes, rpe) for entry, minutes, rpe in rows if entry.date in week]
    rated = [(minutes, rpe) for minutes, rpe in mine if minutes is not None and rpe is not None]
    missed = [one for one in outcomes(entries) if one.kind is Did.MISSED and one.date in week]
    names = {session.id for session in planned}
    quiet = not any(entry.date in week or entry.session in names for entry in entries)
    return WeekDone(
        span=week,
        planned_load=sum(session.rpe * session.minutes for session in planned),
        done_load=sum(rpe * minutes for minutes, rpe in rated),
        planned_minutes=sum(session.minutes for session in planned),
        done_minutes=sum(minutes or 0 for minutes, _ in mine),
        planned=len([session for session in planned if session.minutes > 0]),
        done=len(mine),
        missed=len(missed),
        unrated=len(mine) - len(rated),
        silent=week.after <= today and quiet and any(one.minutes > 0 for one in planned),
    )


def silent_weeks(weeks: Iterable[WeekDone]) -> tuple[Span, ...]:
    """The past weeks in which sessions were planned and nothing is in the diary."""
    return tuple(week.span for week in weeks if week.silent)
