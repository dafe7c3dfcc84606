"""The sessions of the accepted plan: those that are over stay, whole weeks that still fit stay.

Knows what was planned, not what was done of it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from seasonplan.days import Span
from seasonplan.plan import Block, Loads, Session, Shortfall
from seasonplan.planner.sessions.ask import TEST, Ask
from seasonplan.planner.sessions.board import Board
from seasonplan.planner.sessions.slots import Slot
from seasonplan.planner.sessions.week import HardUse
from seasonplan.recipes import Recipe
from seasonplan.vocabulary import Quality


@dataclass(frozen=True, slots=True)
class Earlier:
    """Blocks, sessions and shortfalls of the accepted plan, and today."""

    blocks: tuple[Block, ...]
    sessions: tuple[Session, ...]
    shortfalls: tuple[Shortfall, ...]
    today: date

    def over(self) -> list[Session]:
        """Sessions of days before today."""
        return [session for session in self.sessions if session.day < self.today]

    def over_shortfalls(self) -> list[Shortfall]:
        return [one for one in self.shortfalls if one.span.after <= self.today]

    def of(self, block: str, span: Span) -> list[Session]:
        return [s for s in self.sessions if s.block == block and s.day in span]

    def shortfalls_of(self, block: str, span: Span) -> list[Shortfall]:
        return [one for one in self.shortfalls if one.block == block and one.span == span]

    def asked_the_same(self, ask: Ask) -> bool:
        """Whether the accepted plan asked just this of these days."""
        old = next((block for block in self.blocks if block.id == ask.block.id), None)
        if old is None:
            return False
        mine = [week for week in ask.block.weeks if ask.span.covers(week.span)]
        return mine == [week for week in old.weeks if ask.span.covers(week.span)]


def rest_of(ask: Ask, *, today: date, done: Sequence[Session], book: Mapping[str, Recipe]) -> Ask:
    """What is left of a week that has begun: from today on, less what its first days held."""
    held = [book[s.recipe].loads(s.minutes) for s in done if s.recipe in book]
    left = Loads(
        **{
            q.value: max(0.0, round(ask.loads.of(q) - sum(load.of(q) for load in held), 1))
            for q in Quality
        }
    )
    return replace(
        ask,
        span=Span(today, ask.span.after),
        minutes=max(0, ask.minutes - sum(session.minutes for session in done)),
        loads=left,
        board=_board_left(ask, done),
        test=ask.test and not any(session.recipe == TEST for session in done),
    )


def _board_left(ask: Ask, done: Sequence[Session]) -> Board | None:
    if ask.board is None:
        return None
    recipe = ask.board.recipe
    had = [session.minutes for session in done if session.recipe == recipe.id]
    left = Board(recipe, ask.board.minutes - sum(had), ask.board.count - len(had))
    return left if left.count > 0 and left.minutes >= recipe.least_minutes else None


def still_fits(
    sessions: Sequence[Session], ask: Ask, free: Sequence[Slot], around: Sequence[HardUse]
) -> bool:
    """Whether sessions lie in free times, are allowed, and keep clear of what is around."""
    allowed = {recipe.id: recipe for recipe in ask.recipes}
    return all(
        session.recipe in allowed
        and _inside(session, free)
        and _clear(session, allowed[session.recipe], ask.span, around)
        for session in sessions
    )


def _inside(session: Session, free: Sequence[Slot]) -> bool:
    return any(within(session, slot) for slot in free)


def within(session: Session, slot: Slot) -> bool:
    """Whether a session lies in a free time."""
    start = session.start.hour * 60 + session.start.minute
    return slot.day == session.day and slot.start <= start and start + session.minutes <= slot.end


def _clear(session: Session, recipe: Recipe, span: Span, around: Sequence[HardUse]) -> bool:
    midnight = datetime.combine(span.first, datetime.min.time())
    start = (datetime.combine(session.day, session.start) - midnight) / timedelta(minutes=1)
    return all(
        abs(use.at - start) >= 60 * max(use.spacing_hours, recipe.spacing_hours)
        for use in around
        if use.tissue in recipe.hard_on
    )
