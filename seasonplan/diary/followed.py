"""How far training weeks were done as planned, as the diary tells it, and which of them count.

A session marked as done counts by its minutes at the planned effort, one marked as missed not at
all, one without a word as planned; what was done beside the plan makes good what was missed, and
never counts as more than was planned. Plans nothing.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from math import inf

from seasonplan.days import Span
from seasonplan.diary.entry import DiaryEntry, Did
from seasonplan.diary.weeks import done, outcomes
from seasonplan.plan import Block, Session, Week
from seasonplan.recipes import Recipe
from seasonplan.rules.tables import composing
from seasonplan.vocabulary import FrozenModel, Kind

TRAINED = (Kind.BASE, Kind.STRENGTH, Kind.PERFORMANCE)
BUILDS = (Kind.BASE, Kind.STRENGTH)  # in a season rock and weather say what is done
LIMITS = composing().load
WEEK = timedelta(days=7)


class Followed(FrozenModel):
    """A calendar week of training: its share of the planned load that was done, up to 1.

    `normal`: it is neither light nor a lead-in, so what was done in it shows what load is borne;
    `builds`: it is of base or strength, so what was missed in it counts.
    """

    span: Span
    share: float
    normal: bool
    builds: bool = True

    @property
    def enough(self) -> bool:
        """Whether so much was done that the load may go on as planned."""
        return self.share >= LIMITS.held_below


def followed(
    blocks: Sequence[Block],
    sessions: Sequence[Session],
    entries: Sequence[DiaryEntry],
    *,
    weeks: Sequence[Span],
    recipes: Mapping[str, Recipe],
) -> tuple[Followed, ...]:
    """Every calendar week most of which is base, strength or performance, and holds any load."""
    told = _Told(sessions, entries, recipes)
    found = []
    for span in weeks:
        most = _most_of(span, blocks)
        planned = [one for one in sessions if one.day in span and one.load > 0]
        if most is not None and planned:
            kind, week = most
            found.append(
                Followed(
                    span=span, share=told.share(span, planned), builds=kind in BUILDS,
                    normal=not (week.deload or week.lead_in),
                )
            )  # fmt: skip
    return tuple(found)


def counted(
    weeks: Sequence[Followed], *, known: Mapping[date, float], today: date
) -> dict[date, float]:
    """The weeks that were missed in part and change the load, each with the share done of it.

    Of weeks that are over: those the plan knows already, and what was missed since the last normal
    week that was done as planned. What was borne then may be built on, whatever was missed before.
    """
    over = [week for week in weeks if week.span.after <= today]
    shown = [week.span.first for week in over if week.normal and week.enough]
    since = max(shown, default=date.min)
    return {
        week.span.first: round(week.share, 2)
        for week in over
        if week.builds and not week.enough
        and (week.span.first in known or week.span.first > since)
    }  # fmt: skip


def as_days_off(
    done: Mapping[date, float], *, below: float = LIMITS.lost_below, weeks: float = inf
) -> dict[date, int]:
    """Weeks in a row that were missed in most, as so many days off: by the day after them.

    `done` is the share of each that was done, or that there is time for, by its first day; a share
    `below` that one counts, of no more than so many `weeks` that are like the last.
    """
    found: dict[date, float] = {}
    for first in sorted(done):
        if done[first] < below:
            missed = 7 * (1 - done[first])
            found[first + WEEK] = min(found.pop(first, 0.0) + missed, weeks * missed)
    return {day: int(days) for day, days in found.items()}


class _Told:
    """What the diary tells of sessions, and of things done that no plan has."""

    def __init__(
        self,
        sessions: Sequence[Session],
        entries: Sequence[DiaryEntry],
        recipes: Mapping[str, Recipe],
    ) -> None:
        names = {session.id for session in sessions}
        rows = done(entries, recipes=recipes, sessions=sessions)
        self._minutes = {row.session: minutes for row, minutes, _ in rows if row.session in names}
        self._missed = missed_ids(entries)
        self._beside = [
            (row.date, minutes * rpe * _active(recipes.get(row.recipe)))
            for row, minutes, rpe in rows
            if row.session not in names and minutes is not None and rpe is not None
        ]

    def share(self, span: Span, planned: Sequence[Session]) -> float:
        """The share of the load of a week's sessions that was done."""
        asked = sum(one.load for one in planned)
        got = sum(self._load(one) for one in planned)
        got += sum(load for day, load in self._beside if day in span)
        return min(1.0, got / asked)

    def _load(self, session: Session) -> float:
        if session.id in self._missed:
            return 0.0
        minutes = self._minutes.get(session.id)
        if minutes is None or not session.minutes:
            return session.load
        return session.load * min(1.0, minutes / session.minutes)


def missed_ids(entries: Sequence[DiaryEntry]) -> frozenset[str]:
    """The planned sessions of which the diary says last that they were missed."""
    return frozenset(e.session for e in outcomes(entries) if e.kind is Did.MISSED and e.session)


def _active(recipe: Recipe | None) -> float:
    return recipe.active_share if recipe else 1.0


def _most_of(span: Span, blocks: Sequence[Block]) -> tuple[Kind, Week] | None:
    """Kind and week of the training block that holds most of the days; None where none does."""
    for block in blocks:
        for week in block.weeks if block.kind in TRAINED else ():
            both = week.span.meet(span)
            if both is not None and 2 * both.length > span.length:
                return block.kind, week
    return None
