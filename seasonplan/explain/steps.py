"""At which step of its work each session is: the one place that counts it, for every face.

A step is a week of a block in which the recipe stands, of tries on rock a day; a light week is
none, as its own line holds nothing new. What was not done is not counted: weeks that the diary says
were mostly missed, days that days off or an injury took since. The steps begin again in a new
block, but go on through all that one injury takes; and of what loads fingers or elbows hard after a
break (`again` in `shared/weeks.toml`). What is learnt and not lost goes on: the rock of a season,
the tests of a year, light holds up to the next injury. Hard hangs are one work, whatever the
recipe: another recipe has its own steps and is no break.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, time, timedelta
from functools import cached_property

from seasonplan.body.almanac import Almanac, almanac_of
from seasonplan.days import week_start
from seasonplan.edits.harm import harm
from seasonplan.explain.hang_loads import hang_loads
from seasonplan.plan import Block, Revision, Session
from seasonplan.recipes import TEST_DAY, Recipe, Step
from seasonplan.rules.statements import book_of
from seasonplan.rules.tables import composing
from seasonplan.vocabulary import BodyPart, Kind, RockRole, Tissue
from seasonplan.year import Year

HANGS = "hard hangs"
WHOLE_YEAR = "year"
PULLING = {Tissue.FINGERS, Tissue.ELBOWS}


def steps_of(revision: Revision, book: Mapping[str, Recipe], year: Year) -> dict[str, Step]:
    """The step of each session, by its id; with the load of those of hard hangs."""
    days = _Days(year, revision.done)
    ordered = sorted(revision.sessions, key=_when)
    known = [one for one in ordered if one.recipe in book]
    steps = dict(_counted(known, book, days, stages=_Stages(revision.blocks, year)))
    loads = hang_loads(ordered, book, year, steps)
    return {name: replace(step, load=loads.get(name)) for name, step in steps.items()}


@dataclass
class _Run:
    """A work since its last break: its last day, its first week, the days of the break, which
    blocks and recipes it cut in two, and the weeks (of tries on rock days) that count, by block and
    recipe."""

    last: date
    week: date
    after: int = 0
    cut: frozenset[tuple[str, str]] = frozenset()
    weeks: dict[tuple[str, str], list[date]] = field(default_factory=dict)


class _Stages:
    """What steps are counted in: all that one injury takes, else a block; of what goes on through
    blocks the season or trip, the year, or the time since the last injury."""

    def __init__(self, blocks: Iterable[Block], year: Year) -> None:
        hurt = {one.id for one in year.injuries if one.part is not BodyPart.OTHER}
        self._stages: dict[str, str] = {}
        self._since: dict[str, str] = {}
        since = WHOLE_YEAR
        for one in sorted(blocks, key=lambda one: one.span):
            unwell = one.entry if one.kind in (Kind.INJURED, Kind.RETURN) else None
            since = unwell if unwell in hurt else since
            self._stages[one.id], self._since[one.id] = unwell or one.id, since

    def of(self, one: Session, recipe: Recipe) -> str:
        if recipe.id == TEST_DAY:
            return WHOLE_YEAR
        if one.rock:
            return one.rock
        if recipe.hang_seconds and not recipe.hard_hangs:
            return self._since.get(one.block, WHOLE_YEAR)
        return self._stages.get(one.block, one.block)


def _counted(
    sessions: list[Session], book: Mapping[str, Recipe], days: _Days, *, stages: _Stages
) -> Iterator[tuple[str, Step]]:
    runs: dict[str, _Run] = {}
    for one in sessions:
        recipe = book[one.recipe]
        work = HANGS if recipe.hard_hangs else recipe.id
        tries = one.role is RockRole.PROJECT
        run, week = runs.get(work), one.day if tries else days.week_of(one.day)
        of = stages.of(one, recipe), one.recipe
        begins = run is None or days.broken(recipe, run.last, one)
        if run is None:
            run = _Run(one.day, week)
        elif begins:
            run = _Run(one.day, week, (one.day - run.last).days, run.cut | {*run.weeks})
        weeks = list(run.weeks.get(of, ()))
        goes_on = run.week < week
        told = recipe.id == TEST_DAY or (recipe.hard_hangs and not goes_on)  # the load of these
        new = told or not one.light
        if week not in weeks and new:
            weeks.append(week)
        number = weeks.index(week) + 1 if week in weeks else len(weeks) + 1
        since = run.after if of in run.cut and not begins else 0
        yield one.id, Step(number, run.after if begins else 0, since, goes_on=goes_on)
        if days.done(recipe, one.day):
            runs[work], run.last = run, one.day
            run.weeks[of] = weeks


class _Days:
    """What became of the days of a year."""

    def __init__(self, year: Year, done: Mapping[date, float]) -> None:
        self._year, self._done, self._rules = year, done, book_of(year)
        self._again, self._lost_below = composing().again, composing().load.lost_below

    def week_of(self, day: date) -> date:
        return week_start(day, self._year.climber.week_begins)

    def done(self, recipe: Recipe, day: date) -> bool:
        """Whether a session on a day counts as done."""
        missed = self._done.get(self.week_of(day), 1.0) < self._lost_below
        away = any(day in one.span and one.left == 0 for one in self._year.absences)
        return not missed and not away and not self._barred(recipe, day)

    def broken(self, recipe: Recipe, last: date, one: Session) -> bool:
        """Whether the work was broken off between two days with it; of rock by an injury alone."""
        if recipe.id == TEST_DAY or not recipe.hard_on & PULLING:
            return False
        between = range(1, (one.day - last).days)
        if len(between) >= self._again.after_days and not one.rock:
            return True
        barred = (self._barred(recipe, last + timedelta(n)) for n in between)
        return sum(barred) >= self._again.barred_days

    def _barred(self, recipe: Recipe, day: date) -> bool:
        """Whether an injury bars a recipe on a day."""
        if not self._year.injuries:
            return False
        found = harm(recipe, day, almanac=self._almanac, book=self._rules)
        return found is not None and found.hurt is not None

    @cached_property
    def _almanac(self) -> Almanac:
        return almanac_of(self._year)


def _when(one: Session) -> tuple[date, time]:
    return one.day, one.start
