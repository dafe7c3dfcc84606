"""Judges what loads a part that comes back from an injury: how often, how long, how much, and the
first hard hangs after it barred them.

Judges `session-return` where `injury-caps` is on. Weeks are compared with what the week before
them holds.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import date, timedelta
from functools import cached_property
from typing import NamedTuple

from seasonplan.body.response import body_of
from seasonplan.checker.body import bars_fingers
from seasonplan.checker.sessions.timetable import Timetable, faulty
from seasonplan.checker.sums import hard_seconds
from seasonplan.days import ONE_DAY, Span, runs
from seasonplan.injury import back_table, ramp, region
from seasonplan.plan import Session
from seasonplan.recipes import Need
from seasonplan.rules.findings import Finding
from seasonplan.rules.statements import Rule
from seasonplan.rules.tables import composing, rock_day_table
from seasonplan.rules.tables import table as table_of
from seasonplan.vocabulary import Kind, Phase

BACK = back_table()
A_SESSION = float(table_of("menus")["fingers"]["a_session"])  # seconds of hard hangs
MOST_OF_A_WEEK = 4  # days
SLACK = 1.005
LOAD, CLIMBING = "load of a week while a part comes back", "climbing while a part comes back"
HANGS = "first hard hangs after an injury"
TWICE, LONG = (
    "climbing twice a day while a part comes back",
    "long climbing while a part comes back",
)
LONG_ROCK = "a long day on rock while a part comes back"
RUNNING = "days running that load what comes back"


def judge_coming_back(table: Timetable, rule: Rule) -> Iterator[Finding]:
    """Days running, days and weeks with too much while a part comes back; hangs after it."""
    if table.sheet.book.active("injury-caps") is None or not table.sheet.year.injuries:
        return
    coming = _Coming(table)
    yield from _running(coming, rule)
    yield from _running_after(coming, rule)
    yield from _long_days(coming, rule)
    yield from _long_on_rock(coming, rule)
    yield from _weeks(coming, rule)
    yield from _first_hangs(coming, rule)


class _Coming:
    """The days of a year on which a part comes back, and what loads it."""

    def __init__(self, table: Timetable) -> None:
        self.table, self.almanac = table, table.sheet.almanac
        self.places = {one.entry.id for one in self.almanac.spells}
        self.kinds = {d: one.kind for one in self.almanac.givens for d in one.span.days()}

    @cached_property
    def days(self) -> dict[date, list[Session]]:
        """Of each day of a return its sessions that load what comes back."""
        found: dict[date, list[Session]] = {}
        for one in self.table.sessions:
            if self.kinds.get(one.day) is Kind.RETURN and self._loads(one):
                found.setdefault(one.day, []).append(one)
        return found

    def _loads(self, one: Session) -> bool:
        return self.loads(one, upper=self.upper(one.day))

    def upper(self, day: date) -> bool:
        """Whether a finger or arm is hurt on a day."""
        return any(region(part) == "upper" for part, _ in self.almanac.hurts(day))

    def loads(self, one: Session, *, upper: bool) -> bool:
        """Whether it loads what comes back, a finger or arm or another part."""
        recipe = self.table.recipe(one)
        return recipe is not None and (
            recipe.climbs or (upper and Need.HANGBOARD in recipe.needs)
        )  # fmt: skip

    def is_back(self, day: date) -> bool:
        """Whether a part comes back on a day, or has just come back."""
        steps = (ramp(entry, day) for entry in self.table.sheet.year.injuries)
        return self.kinds.get(day) is Kind.RETURN or any(step is not None for step in steps)

    def climbs(self, one: Session) -> bool:
        recipe = self.table.recipe(one)
        return recipe is not None and recipe.climbs

    def can_go(self, day: date) -> bool:
        """Whether the climber can go to some rock in condition on a day."""
        spells = (one for one in self.almanac.spells if day in one.span)
        return any(self.almanac.can_go(day, spell) for spell in spells)

    def sessions(self, span: Span) -> list[Session]:
        return [one for one in self.table.sessions if one.day in span]

    def light(self, week: Span) -> bool:
        blocks = self.table.sheet.of(Kind.RETURN)
        return any(w.deload for block in blocks for w in block.weeks if w.span.meet(week))


def _running(coming: _Coming, rule: Rule) -> Iterator[Finding]:
    """Days running with load on it, more than the phase of any of them lets be."""
    for span in runs(sorted(coming.days)):
        over = [n for n, day in enumerate(span.days(), 1) if n > _most_running(coming, day)]
        if over:
            days = [*span.days()][: over[-1]]
            found = [one for day in days for one in coming.days[day]]
            most = _most_running(coming, days[-1])
            yield faulty(rule, *found, about=RUNNING, found=len(days), limit=most)


def _running_after(coming: _Coming, rule: Rule) -> Iterator[Finding]:
    """The same inside each of the first chosen weeks after it."""
    most = BACK.days_running[Phase.FULL]
    for week in coming.almanac.weeks():
        since = _since(coming, week)
        if week.first in coming.kinds or since is None or not since.soon:
            continue
        last = max(day for day in coming.kinds if day < week.first)
        upper = coming.upper(last)
        found = [one for one in coming.sessions(week) if coming.loads(one, upper=upper)]
        for span in runs(sorted({one.day for one in found})):
            if span.length > most:
                some = [one for one in found if one.day in span]
                yield faulty(rule, *some, about=RUNNING, found=span.length, limit=most)


def _most_running(coming: _Coming, day: date) -> int:
    phases = {phase for _, phase in coming.almanac.hurts(day)}
    return min(BACK.days_running.get(phase, 7) for phase in phases)


def _long_days(coming: _Coming, rule: Rule) -> Iterator[Finding]:
    """Two climbing sessions on a day, and one at home that is too long."""
    for some in coming.days.values():
        climbs = [one for one in some if coming.climbs(one)]
        if len(climbs) > 1:
            yield faulty(rule, *climbs, about=TWICE, found=len(climbs), limit=1)
        for one in climbs:
            recipe = coming.table.recipe(one)
            most = max(BACK.climb_session, recipe.least_minutes if recipe else 0)
            if one.role is None and one.minutes > most:
                yield faulty(rule, one, about=LONG, found=one.minutes, limit=most)


def _long_on_rock(coming: _Coming, rule: Rule) -> Iterator[Finding]:
    """A day on rock much longer than the longest since the part came back, a step for each day that
    could have been one."""
    longest, before = 0, coming.almanac.span.first
    for one in coming.table.sessions:
        recipe = coming.table.recipe(one)
        if one.role is None or one.rock not in coming.places or recipe is None:
            continue
        if not coming.is_back(one.day):
            longest = 0
            continue
        could = sum(coming.can_go(day) for day in Span(before + ONE_DAY, one.day + ONE_DAY).days())
        least = max(rock_day_table().shortest_minutes, recipe.least_minutes)
        most = max(least, longest * composing().rock.led_rise ** max(1, could))
        if longest and one.minutes > most:
            yield faulty(rule, one, about=LONG_ROCK, found=one.minutes, limit=most)
        longest, before = max(longest, one.minutes), one.day


def _weeks(coming: _Coming, rule: Rule) -> Iterator[Finding]:
    """Whole weeks of a return with much more load than the week before, or that before a light one,
    or with much more climbing than the fuller of the two weeks before; so many steps more in the
    first weeks after it.

    Days on rock alone are let be, and what a single session holds; of weeks after it that have
    rock only climbing is asked, later only load, until it is what it was.
    """
    body = body_of(coming.table.sheet.year)
    usual, load = max(body.usual, body.top), coming.table.load
    for week in coming.almanac.weeks():
        since = _since(coming, week)
        if since is None:
            continue
        steps, before = since.steps, list(_before(coming, since.last))
        some = coming.sessions(week)
        loads = [sum(map(load, coming.sessions(one))) for one in before if not coming.light(one)]
        home = week.first in coming.kinds or all(one.role is None for one in some)
        if loads and home:
            least = (BACK.first_share - BACK.most_step) * usual
            most = max(least, loads[0]) + steps * BACK.most_step * usual
            yield from _above(rule, some, load, most, about=LOAD)
        climbs = [one for one in some if before and since.soon and coming.climbs(one)]
        most = max([_minutes(coming, coming.sessions(one)) for one in before], default=0)
        for _ in range(steps):
            most = max(BACK.climb_first, most + max(BACK.climb_more, BACK.climb_step * most))
        yield from _above(rule, climbs, lambda one: one.minutes, most, about=CLIMBING)


class _Since(NamedTuple):
    """The last week that was given whole up to a return, how many steps above it a week may be, and
    whether it is one of the first weeks, with no other days off or away between."""

    last: Span
    steps: int
    soon: bool


def _since(coming: _Coming, week: Span) -> _Since | None:
    """Of a whole week of a return, or a chosen one after it until its load may be all that it was;
    no step is taken in weeks off."""
    kinds = [coming.kinds.get(day) for day in week.days()]
    if week.length == 7 and all(kind is Kind.RETURN for kind in kinds):
        return _Since(_back(week, 1), 1, soon=True)
    if week.length < 7 or any(kinds):
        return None
    back = [day for day, kind in coming.kinds.items() if kind is Kind.RETURN and day < week.first]
    if not back:
        return None
    between = [kind for day, kind in coming.kinds.items() if max(back) < day < week.first]
    last = next(one for one in coming.almanac.weeks() if max(back) in one)
    if not all(day in coming.kinds for day in last.days()):
        last = _back(last, 1)
    steps = (week.first - last.first).days // 7 - between.count(Kind.ABSENCE) // 7
    if steps * BACK.most_step >= 1:
        return None
    return _Since(last, steps, soon=steps <= BACK.steps_after and not between)


def _back(week: Span, weeks: int) -> Span:
    back = timedelta(weeks=weeks)
    return Span(week.first - back, week.after - back)


def _above(
    rule: Rule, some: Sequence[Session], count: Callable[[Session], float], most: float, about: str
) -> Iterator[Finding]:
    found = sum(map(count, some))
    if found > SLACK * most + 1 and len(some) > 1 and any(one.role is None for one in some):
        yield faulty(rule, *some, about=about, found=found, limit=most)


def _before(coming: _Coming, last: Span) -> Iterator[Span]:
    """A week, and the one before it, as far as no day of them was free."""
    for week in (last, _back(last, 1)):
        if not all(day in coming.kinds for day in week.days()):
            return
        yield week


def _minutes(coming: _Coming, some: Sequence[Session]) -> int:
    return sum(one.minutes for one in some if coming.climbs(one))


def _first_hangs(coming: _Coming, rule: Rule) -> Iterator[Finding]:
    """More than one session of hard hangs, or a long one, in the first week in which most days
    allow them again, after they were barred for long."""
    barred = {day for day in coming.almanac.span.days() if _bars(coming, day)}
    for span in runs(sorted(barred)):
        if span.length < BACK.hangs_long_days:
            continue
        for week in _first_weeks(coming, span, barred):
            some = [s for s in coming.sessions(week) if s.day >= span.after and _hard(coming, s)]
            seconds = sum(_hard(coming, one) for one in some)
            fewest = all(one.hangs <= coming.table.recipes[one.recipe].hangs[0] for one in some)
            if len(some) > 1 or (seconds > A_SESSION and not fewest):
                yield faulty(rule, *some, about=HANGS, found=seconds, limit=A_SESSION)


def _bars(coming: _Coming, day: date) -> bool:
    steps = (ramp(entry, day) for entry in coming.table.sheet.year.injuries)
    barred = any(step is not None and not step.max_fingers for step in steps)
    return barred or bars_fingers(coming.almanac.hurts(day))


def _first_weeks(coming: _Coming, span: Span, barred: set[date]) -> Iterator[Span]:
    """The calendar weeks after it, up to the first in which most days allow hangs."""
    for week in coming.almanac.weeks():
        if week.after > span.after:
            yield week
            if sum(day in barred for day in week.days()) < MOST_OF_A_WEEK:
                return


def _hard(coming: _Coming, one: Session) -> int:
    recipe = coming.table.recipe(one)
    return hard_seconds(one, recipe) if recipe is not None else 0
