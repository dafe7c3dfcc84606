"""The sessions of the accepted plan: those that are over stay, whole weeks that still fit stay.

Knows what was planned, not what was done of it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from seasonplan.days import Span
from seasonplan.plan import Block, Loads, Session, Shortfall, Week
from seasonplan.planner.sessions.ask import TEST, Ask
from seasonplan.planner.sessions.board import Board
from seasonplan.planner.sessions.slots import Slot
from seasonplan.planner.sessions.week import HardUse
from seasonplan.recipes import Recipe
from seasonplan.vocabulary import Quality
from seasonplan.year import FixedSession

ALWAYS = Span(date(1, 2, 1), date(9999, 11, 1))
SAME_LOAD = 0.5  # RPE x minutes: rounding
BEGUN_OFF = 0.1  # of the load of a week that has begun


@dataclass(frozen=True, slots=True)
class Earlier:
    """Blocks, sessions and shortfalls of the accepted plan, and today.

    `wishes` are the climber's own changes of sessions that it was made with, `fixed` those of now;
    `homes` is where the planner itself last put each session, moved or left out since or not.
    Weeks near the days of `anew` do not stay; `turns` counts how often some were taken out.
    """

    blocks: tuple[Block, ...]
    sessions: tuple[Session, ...]
    shortfalls: tuple[Shortfall, ...]
    today: date
    wishes: tuple[FixedSession, ...] = ()
    fixed: tuple[FixedSession, ...] = ()
    homes: tuple[Session, ...] = ()
    anew: tuple[Span, ...] = ()
    turns: int = 0

    def without(self, days: Sequence[Span], *, every: bool) -> Earlier:
        """The same, with the weeks around some days, or all, to be filled anew."""
        more = [ALWAYS] if every else days
        return replace(self, anew=(*self.anew, *more), turns=self.turns + 1)

    def stays(self, week: date) -> bool:
        """Whether what a calendar week held may stay; not if it, or one beside it, is filled anew.

        Rules on sessions compare a week with the one before.
        """
        near = timedelta(weeks=1)
        return not any(
            span.first - near < week + near and week < span.after + near for span in self.anew
        )

    def over(self, blocks: Sequence[Block], week: date) -> list[Session]:
        """Sessions of days before today, each in the block of `blocks` that now has its day.

        With them those of weeks before `week`, the one that today lies in, which the climber put
        off to a day still to come.
        """
        put_off = {wish.session for wish in self.fixed if wish.day and wish.day >= self.today}
        return [
            _in_block(session, blocks)
            for session in self.sessions
            if session.day < self.today
            or (session.id in put_off and (_home(session.id) or self.today) < week)
        ]

    def over_shortfalls(self) -> list[Shortfall]:
        return [one for one in self.shortfalls if one.span.after <= self.today]

    def of(self, block: str, week: date) -> list[Session]:
        """The sessions from today on that were planned for a block in that calendar week."""
        return [
            s for s in self.sessions if s.id.startswith(f"{block}/{week}/") and s.day >= self.today
        ]

    def moved(self, session: Session) -> bool:
        """Whether the climber put a session where it is."""
        return any(wish.session == session.id for wish in self.fixed)

    def changed(self, week: date) -> bool:
        """Whether the climber changed a session planned for that calendar week."""
        return any(_home(wish.session) == week for wish in self.fixed)

    def freed(self, block: str, week: date) -> bool:
        """Whether the climber no longer wants something they changed in that week of a block."""
        return any(
            wish.session.startswith(f"{block}/{week}/") and _said(wish) - self._said_of(wish)
            for wish in self.wishes
        )

    def _said_of(self, old: FixedSession) -> set[str]:
        return {word for wish in self.fixed if wish.session == old.session for word in _said(wish)}

    def shortfalls_of(self, block: str, span: Span) -> list[Shortfall]:
        return [one for one in self.shortfalls if one.block == block and one.span == span]

    def asked_the_same(self, ask: Ask, week: date) -> bool:
        """Whether the accepted plan asked just this in the calendar week that begins then.

        A week is cut where today is, so its pieces are added up; of one that has begun some load
        may be off, as the pieces are rounded each for themselves.
        """
        old = next((block for block in self.blocks if block.id == ask.block.id), None)
        if old is None:
            return False
        whole = Span(week, week + timedelta(weeks=1))
        was = [piece for piece in old.weeks if whole.covers(piece.span)]
        now = [piece for piece in ask.block.weeks if whole.covers(piece.span)]
        off = BEGUN_OFF * ask.loads.total if ask.span.first < self.today else SAME_LOAD
        return (
            sum(piece.span.length for piece in was) == sum(piece.span.length for piece in now)
            and _marks(was) == _marks(now)
            and all(abs(_load(was, q) - _load(now, q)) <= off for q in Quality)
        )


def _marks(weeks: Sequence[Week]) -> set[tuple[bool, bool, bool]]:
    return {(week.deload, week.lead_in, week.max_fingers) for week in weeks}


def _load(weeks: Sequence[Week], quality: Quality) -> float:
    return sum(week.loads.of(quality) for week in weeks)


def _said(wish: FixedSession) -> set[str]:
    """What a wish says of a session."""
    said = {name for name in ("day", "start", "minutes") if getattr(wish, name) is not None}
    return said | ({"skip"} if wish.skip else set())


def _home(session_id: str) -> date | None:
    """The day that a session's id names: the first of its week or, on a trip, its own."""
    try:
        return date.fromisoformat(session_id.split("/")[1])
    except (IndexError, ValueError):  # the climber's own
        return None


def _in_block(session: Session, blocks: Sequence[Block]) -> Session:
    block = next((block for block in blocks if session.day in block.span), None)
    if block is None or block.id == session.block:
        return session
    return Session(**{**dict(session), "block": block.id})


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
    minutes = ask.board.minutes - sum(had)
    count = min(ask.board.count - len(had), minutes // recipe.least_minutes)
    return Board(recipe, minutes, count) if count > 0 else None


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
    start = session.minute
    return slot.day == session.day and slot.start <= start and start + session.minutes <= slot.end


def _clear(session: Session, recipe: Recipe, span: Span, around: Sequence[HardUse]) -> bool:
    midnight = datetime.combine(span.first, datetime.min.time())
    start = (datetime.combine(session.day, session.start) - midnight) / timedelta(minutes=1)
    return all(
        abs(use.at - start) >= 60 * max(use.spacing_hours, recipe.spacing_hours)
        for use in around
        if use.tissue in recipe.hard_on
    )
