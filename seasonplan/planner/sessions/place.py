"""Sessions for the whole plan, week after week, with what could not be fitted.

Enforces `session-hours` and, by saying what is missing, `session-dose`.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from seasonplan.almanac import Almanac
from seasonplan.days import Span, week_start
from seasonplan.plan import Block, Cause, Session, Shortfall
from seasonplan.planner.sessions.ask import Ask, asks
from seasonplan.planner.sessions.away import trip_sessions
from seasonplan.planner.sessions.fill import fill
from seasonplan.planner.sessions.slots import Slot, Taken, slots
from seasonplan.planner.sessions.week import Habit, HardUse, Use
from seasonplan.recipes import Recipe, recipes
from seasonplan.rules import RuleBook
from seasonplan.vocabulary import Kind, Tissue


@dataclass(frozen=True, slots=True)
class Placed:
    """Sessions in order, and what was asked for but not fitted."""

    sessions: tuple[Session, ...]
    shortfalls: tuple[Shortfall, ...]


def place(
    almanac: Almanac, blocks: Sequence[Block], *, book: RuleBook, taken: Taken | None = None
) -> Placed:
    """Sessions for every block at the hours that are free; `taken` is what calendars take."""
    return _Placing(almanac, book, taken or {}).all(blocks)


class _Placing:
    """Runs through the year; remembers habits, hard uses and days trained."""

    def __init__(self, almanac: Almanac, book: RuleBook, taken: Taken) -> None:
        self._almanac = almanac
        self._book = book
        self._taken = taken if book.active("session-hours") else {}
        self._recipes = recipes(almanac.year.recipes)
        rule = book.active("rest-day") if book.active("session-rest-day") else None
        self._most_days = 7 if rule is None else int(rule.number)
        self._longest = timedelta(hours=max(r.spacing_hours for r in self._recipes.values()))
        self._habits: dict[Kind, Habit] = {}
        self._hard: list[tuple[Tissue, datetime, float]] = []
        self._trained: dict[date, set[date]] = defaultdict(set)
        self._known: dict[object, list[tuple[Recipe, int, int, int]]] = {}

    def all(self, blocks: Sequence[Block]) -> Placed:
        """Days on trips first: what is done at home keeps clear of them on both sides."""
        sessions = [
            session
            for block in blocks
            for session in trip_sessions(block, self._almanac, book=self._recipes, rules=self._book)
        ]
        for session in sessions:
            self._remember(self._recipes[session.recipe], session)
        shortfalls: list[Shortfall] = []
        for block in blocks:
            if block.kind in (Kind.ABSENCE, Kind.TRIP):
                continue
            for ask in self._asks(block):
                found = self._week(ask)
                sessions += found
                shortfalls += self._missing(ask, found)
        sessions.sort(key=lambda session: (session.day, session.start, session.id))
        return Placed(tuple(sessions), tuple(shortfalls))

    def _asks(self, block: Block) -> Iterator[Ask]:
        return asks(
            block, self._almanac, book=self._recipes, rules=self._book, most_days=self._most_days
        )

    def _week(self, ask: Ask) -> list[Session]:
        monday = week_start(ask.span.first, self._almanac.week_begins)
        free = slots(self._almanac, ask.span, self._taken)
        uses = self._filled(ask, free, days_left=self._most_days - len(self._trained[monday]))
        kind = ask.block.kind
        if uses and kind not in self._habits and ask.span.length == 7:
            self._habits[kind] = frozenset(
                (use.recipe.id, use.slot.day.weekday(), use.slot.start) for use in uses
            )
        counts: Counter[str] = Counter()
        found = []
        for use in uses:
            counts[use.recipe.id] += 1
            session = Session(
                id=f"{ask.block.id}/{monday}/{use.recipe.id}-{counts[use.recipe.id]}",
                block=ask.block.id,
                recipe=use.recipe.id,
                day=use.slot.day,
                start=_time(use.start % (24 * 60)),
                minutes=use.minutes,
                rpe=use.recipe.rpe,
            )
            found.append(session)
            self._remember(use.recipe, session)
        return found

    def _filled(self, ask: Ask, free: list[Slot], *, days_left: int) -> list[Use]:
        """Sessions of a week; a week just like an earlier one gets the same."""
        around = tuple(self._around(ask.span))
        habit = self._habits.get(ask.block.kind, frozenset())
        key = (
            ask.block.kind, ask.loads, ask.board, ask.test, ask.span.length, days_left, habit,
            around, tuple(recipe.id for recipe in ask.recipes), self._rock(ask),
            tuple((s.day.weekday(), s.offset, s.start, s.end) for s in free),
        )  # fmt: skip
        if key not in self._known:
            uses = fill(ask, free, self._almanac, around=around, habit=habit, days_left=days_left)
            self._known[key] = [
                (use.recipe, free.index(use.slot), use.start, use.minutes) for use in uses
            ]
        return [
            Use(recipe, free[slot], start, minutes)
            for recipe, slot, start, minutes in self._known[key]
        ]

    def _rock(self, ask: Ask) -> tuple[object, ...]:
        """What of the rock matters for a week: the chances at each spell, day by day."""
        return tuple(
            (spell.entry.discipline, tuple(round(spell.chance(day), 2) for day in ask.span.days()))
            for spell in self._almanac.spells
            if spell.span.meet(ask.span)
        )

    def _around(self, span: Span) -> Iterator[HardUse]:
        """Hard uses near enough to a span to matter to what is put there."""
        first = datetime.combine(span.first, time())
        last = datetime.combine(span.after, time())
        for tissue, start, spacing in self._hard:
            if first - self._longest < start < last + self._longest:
                yield HardUse(tissue, int((start - first).total_seconds() // 60), spacing)

    def _remember(self, recipe: Recipe, session: Session) -> None:
        start = datetime.combine(session.day, session.start)
        self._hard += [(tissue, start, recipe.spacing_hours) for tissue in recipe.hard_on]
        self._trained[week_start(session.day, self._almanac.week_begins)].add(session.day)

    def _missing(self, ask: Ask, found: Sequence[Session]) -> Iterator[Shortfall]:
        """Minutes missing of the load, or of the finger dose where more of that is missing."""
        rule = self._book.active("session-dose")
        if rule is None or not ask.loads.total:
            return
        done = sum(session.rpe * session.minutes for session in found) / ask.loads.total
        short, on_board = ask.minutes * (1 - done), 0
        least = 1 - rule.number / 100
        enough = done >= least
        if ask.board is not None:
            on_board = sum(s.minutes for s in found if s.recipe == ask.board.recipe.id)
            enough = enough and on_board >= least * ask.board.minutes
            short = max(short, ask.board.minutes - on_board)
        if not enough:
            yield Shortfall(
                block=ask.block.id,
                span=ask.span,
                asked_minutes=ask.minutes,
                missing_minutes=max(1, round(short)),
                cause=self._cause(ask),
            )

    def _cause(self, ask: Ask) -> Cause:
        free = sum(slot.minutes for slot in slots(self._almanac, ask.span, self._taken))
        at_home = sum(slot.minutes for slot in slots(self._almanac, ask.span, {}))
        if free >= ask.minutes:
            return Cause.SPACING
        return Cause.BUSY if at_home >= ask.minutes else Cause.HOURS


def _time(minute: int) -> time:
    return time(minute // 60, minute % 60)
