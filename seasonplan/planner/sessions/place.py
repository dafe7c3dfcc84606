"""Sessions for the whole plan, week after week, with what could not be fitted.

Enforces `session-hours` and, by saying what is missing, `session-dose`.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import date, datetime, time, timedelta

from seasonplan.almanac import Almanac
from seasonplan.days import Span, week_start
from seasonplan.plan import Block, Cause, Session, Shortfall
from seasonplan.planner.sessions.ask import Ask, asks, harms
from seasonplan.planner.sessions.away import trip_sessions
from seasonplan.planner.sessions.earlier import Earlier, rest_of, still_fits, within
from seasonplan.planner.sessions.fill import fill
from seasonplan.planner.sessions.names import Names
from seasonplan.planner.sessions.slots import Slot, Taken, slots
from seasonplan.planner.sessions.week import Habit, HardUse, Use
from seasonplan.planner.sessions.wished import Placed, as_wished
from seasonplan.recipes import Recipe, recipes
from seasonplan.rules import RuleBook
from seasonplan.vocabulary import Kind, Tissue


def place(
    almanac: Almanac,
    blocks: Sequence[Block],
    *,
    book: RuleBook,
    taken: Taken | None = None,
    earlier: Earlier | None = None,
) -> Placed:
    """Sessions for every block at the hours that are free; `taken` is what calendars take.

    With the sessions of an `earlier` plan, days that are over keep theirs, and so do weeks of
    which nothing else is asked now. What the climber moved, skipped or added comes last, but
    for what would load a hurt part.
    """
    placing = _Placing(almanac, book, taken or {}, earlier)
    return as_wished(
        placing.all(blocks), blocks, almanac.year.fixed_sessions, placing.recipes,
        harms=placing.harms,
    )  # fmt: skip


class _Placing:
    """Runs through the year; remembers habits, hard uses and days trained."""

    def __init__(
        self, almanac: Almanac, book: RuleBook, taken: Taken, earlier: Earlier | None
    ) -> None:
        self._almanac = almanac
        self._book = book
        self._taken = taken if book.active("session-hours") else {}
        self._accepted = earlier
        self.recipes = recipes(almanac.year.recipes)
        rule = book.active("rest-day") if book.active("session-rest-day") else None
        self._most_days = 7 if rule is None else int(rule.number)
        self._longest = timedelta(hours=max(r.spacing_hours for r in self.recipes.values()))
        self._habits: dict[Kind, Habit] = {}
        self._hard: list[tuple[Tissue, datetime, float]] = []
        self._by_hand: list[tuple[Tissue, datetime, float]] = []
        self._trained: dict[date, set[date]] = defaultdict(set)
        self._ids: set[str] = set()
        self._names = Names(earlier.homes if earlier else ())
        self._known: dict[object, list[tuple[Recipe, int, int, int]]] = {}

    def all(self, blocks: Sequence[Block]) -> Placed:
        """Days on trips first: what is done at home keeps clear of them on both sides."""
        accepted = self._accepted
        sessions = accepted.over(blocks, self._week_of(accepted.today)) if accepted else []
        sessions += [
            session
            for block in blocks
            for session in trip_sessions(block, self._almanac, book=self.recipes, rules=self._book)
            if accepted is None or session.day >= accepted.today
        ]
        for session in sessions:
            self._remember(session)
        shortfalls = accepted.over_shortfalls() if accepted else []
        for block in blocks:
            if block.kind in (Kind.ABSENCE, Kind.TRIP):
                continue
            for ask in self._asks(block):
                if accepted is None or ask.span.after > accepted.today:
                    found, missing = self._kept(ask) or self._new(ask, sessions)
                    sessions += found
                    shortfalls += missing
        sessions.sort(key=lambda session: (session.day, session.start, session.id))
        return Placed(tuple(sessions), tuple(shortfalls))

    def harms(self, recipe: str, day: date) -> bool:
        """Whether a recipe must not be done on a day; what is over is done, whatever it was."""
        if self._accepted is not None and day < self._accepted.today:
            return False
        known = self.recipes.get(recipe)
        return known is not None and harms(known, self._almanac, day, rules=self._book)

    def _kept(self, ask: Ask) -> tuple[list[Session], list[Shortfall]] | None:
        """What the accepted plan had in a week, if nothing else is asked and it still fits."""
        week, accepted = self._week_of(ask.span.first), self._accepted
        if accepted is None or not (accepted.stays(week) and accepted.asked_the_same(ask, week)):
            return None
        old = [s for s in accepted.of(ask.block.id, week) if s.id not in self._ids]
        short = accepted.shortfalls_of(ask.block.id, ask.span)
        days = Span(max(ask.span.first, accepted.today), ask.span.after)
        free = slots(self._almanac, days, self._taken)
        planned = [session for session in old if not accepted.moved(session)]
        around = tuple(self._near(self._hard, days))
        if not still_fits(planned, replace(ask, span=days), free, around):
            return None
        whole = short or days != ask.span or not any(self._missing(ask, old))
        if accepted.freed(ask.block.id, week) or not (whole or accepted.changed(week)):
            return None
        for session in old:
            self._remember(session)
        self._learn(ask, [(s.recipe, slot) for s in old for slot in free if within(s, slot)])
        return old, short

    def _new(self, ask: Ask, sessions: Sequence[Session]) -> tuple[list[Session], list[Shortfall]]:
        accepted = self._accepted
        if accepted is not None and ask.span.first < accepted.today:
            done = [s for s in sessions if s.day in ask.span and s.day < accepted.today]
            ask = rest_of(ask, today=accepted.today, done=done, book=self.recipes)
        found = self._week(ask)
        return found, list(self._missing(ask, found))

    def _learn(self, ask: Ask, uses: Sequence[tuple[str, Slot]]) -> None:
        """The first whole week of a kind is the habit for the others."""
        if uses and ask.block.kind not in self._habits and ask.span.length == 7:
            self._habits[ask.block.kind] = frozenset(
                (recipe, slot.day.weekday(), slot.start) for recipe, slot in uses
            )

    def _asks(self, block: Block) -> Iterator[Ask]:
        return asks(
            block, self._almanac, book=self.recipes, rules=self._book, most_days=self._most_days
        )

    def _week(self, ask: Ask) -> list[Session]:
        monday = self._week_of(ask.span.first)
        free = slots(self._almanac, ask.span, self._taken)
        uses = self._filled(ask, free, days_left=self._most_days - len(self._trained[monday]))
        self._learn(ask, [(use.recipe.id, use.slot) for use in uses])
        names = self._names.of(f"{ask.block.id}/{monday}", uses, used=self._ids)
        found = []
        for name, use in zip(names, uses, strict=True):
            session = Session(
                id=name,
                block=ask.block.id,
                recipe=use.recipe.id,
                day=use.slot.day,
                start=_time(use.start % (24 * 60)),
                minutes=use.minutes,
                rpe=use.recipe.rpe,
            )
            found.append(session)
            self._remember(session)
        return found

    def _week_of(self, day: date) -> date:
        return week_start(day, self._almanac.week_begins)

    def _filled(self, ask: Ask, free: list[Slot], *, days_left: int) -> list[Use]:
        """Sessions of a week; a week just like an earlier one gets the same."""
        around = tuple(self._near([*self._hard, *self._by_hand], ask.span))
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

    def _near(
        self, uses: Iterable[tuple[Tissue, datetime, float]], span: Span
    ) -> Iterator[HardUse]:
        """Hard uses near enough to a span to matter to what is put there."""
        first = datetime.combine(span.first, time())
        last = datetime.combine(span.after, time())
        for tissue, start, spacing in uses:
            if first - self._longest < start < last + self._longest:
                yield HardUse(tissue, int((start - first).total_seconds() // 60), spacing)

    def _remember(self, session: Session) -> None:
        """What is new keeps clear of it; what stays need not, where the climber moved it there."""
        self._ids.add(session.id)
        recipe = self.recipes.get(session.recipe)
        if recipe is None:  # of a recipe that is gone by now
            return
        start = datetime.combine(session.day, session.start)
        moved = self._accepted is not None and self._accepted.moved(session)
        uses = self._by_hand if moved else self._hard
        uses += [(tissue, start, recipe.spacing_hours) for tissue in recipe.hard_on]
        self._trained[self._week_of(session.day)].add(session.day)

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
