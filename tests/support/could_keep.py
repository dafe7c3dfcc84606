"""For a preference told as not kept: a year or a week that keeps it, as proof that one could have.

Rules on blocks: some plan of the year without that shape, whether good or not. Rules on weeks: the
same plan with another week in that place, which breaks no hard rule that the plan did not break.
What a week aims at is the plan's own number, so the dose is not asked of another week.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence, Set
from dataclasses import dataclass
from datetime import date, time, timedelta
from typing import Protocol

from random_years import Drawn

from seasonplan.body.almanac import Almanac
from seasonplan.checker import check, check_sessions
from seasonplan.checker.sessions.timetable import Timetable
from seasonplan.checker.sheet import Sheet
from seasonplan.days import Span
from seasonplan.plan import Block, Loads, Session, Shortfall, Week
from seasonplan.planner.candidates import Candidates
from seasonplan.planner.grid import Column, Grid
from seasonplan.planner.path import Graph
from seasonplan.planner.run import is_possible
from seasonplan.recipes import Recipe, recipes
from seasonplan.rules.findings import Finding
from seasonplan.rules.statements import book_of
from seasonplan.vocabulary import Kind, Quality, RockRole
from seasonplan.year import Pin

NOT_ASKED = {"session-dose", "sums", "score"}
AROUND = 4  # days beside a day on rock, or after a test, that are emptied for it
EASY_STEP = 15  # minutes


class Made(Protocol):
    """A plan: what was filled, or a revision."""

    @property
    def blocks(self) -> tuple[Block, ...]: ...
    @property
    def sessions(self) -> tuple[Session, ...]: ...
    @property
    def shortfalls(self) -> tuple[Shortfall, ...]: ...


Sessions = tuple[Session, ...]


def could_keep(drawn: Drawn, made: Made, told: Finding) -> bool:
    """Whether there is a plan, or a week, that keeps the preference in that place."""
    if told.code == "lead-in-start":
        return _leads_in(drawn, told)
    if told.code in SHAPES:
        return _another_plan(drawn, SHAPES[told.code](told))
    place = Place(drawn, made, told)
    was = {_what(one) for one in findings_of(drawn, made, made.sessions)}
    return any(_keeps(place, week, was) for week in WEEKS[told.code](place))


def findings_of(drawn: Drawn, made: Made, sessions: Sequence[Session]) -> tuple[Finding, ...]:
    """What the checker says of the plan with these sessions."""
    book, blocks = book_of(drawn.year), _summed(drawn, made.blocks, sessions)
    return (
        *check(drawn.year, blocks, book=book),
        *check_sessions(
            drawn.year, blocks, sessions, made.shortfalls, book=book, taken=drawn.taken
        ),
    )


def _summed(drawn: Drawn, blocks: Sequence[Block], sessions: Sequence[Session]) -> list[Block]:
    """The blocks with weeks that hold what these sessions add up to."""
    book = recipes(drawn.year.recipes)
    held = {one.id: tuple(_week(week, sessions, book) for week in one.weeks) for one in blocks}
    return [Block(**{**dict(one), "weeks": held[one.id]}) for one in blocks]


def _week(week: Week, sessions: Sequence[Session], book: dict[str, Recipe]) -> Week:
    inside = [one for one in sessions if one.day in week.span]
    loads = {
        quality.value: sum(one.load * book[one.recipe].qualities.get(quality, 0) for one in inside)
        for quality in Quality
    }
    sums = {
        "minutes": float(sum(one.minutes for one in inside)),
        "training_days": len({one.day for one in inside if one.minutes}),
        "loads": Loads(**loads),
    }
    return Week(**{**dict(week), **sums})


# --- another plan ---------------------------------------------------------------------------------


@dataclass(frozen=True)
class Shape:
    """What no block may be."""

    hits: Callable[[Column], bool]


def _another_plan(drawn: Drawn, shape: Shape) -> bool:
    """Without what the climber fixed: to free it is theirs."""
    year = drawn.year.with_fields(pins=())
    candidates = Candidates(Grid(Almanac(year)), book_of(year))
    candidates.all = tuple(one for one in candidates.all if not shape.hits(one))
    return Graph(candidates).possible


def _leads_in(drawn: Drawn, told: Finding) -> bool:
    """Whether some plan leads in early enough, or a block that does can be fixed."""
    opens, days = told.span.first, round(told.limit or 0)
    trip = any(given.span.first == opens for given in Almanac(drawn.year).givens)
    last = opens - timedelta(days=trip)  # of the lead-in
    late = Shape(
        lambda column: (
            last in column.span
            and (column.kind is not Kind.PERFORMANCE or (opens - column.span.first).days < days)
        )
    )
    if _another_plan(drawn, late):
        return True
    first = opens - timedelta(days=days)
    until = min(opens + timedelta(weeks=3), drawn.year.span.after)
    lasts = [last] if trip else Span(opens, until).days()
    fixed = (Pin(name="Lead", kind=Kind.PERFORMANCE, first=first, last=ends) for ends in lasts)
    years = (drawn.year.with_fields(pins=(pin,)) for pin in fixed)
    return any(is_possible(year, book=book_of(year), rock=False) for year in years)


SHAPES: dict[str, Callable[[Finding], Shape]] = {
    "short-rest": lambda told: Shape(
        lambda column: (
            column.kind is Kind.REST
            and column.days >= (told.found or 0)
            and column.span.meet(told.span) is not None
        )
    ),
    "rest-before-rock": lambda told: Shape(
        lambda column: column.kind is Kind.REST and column.span.meet(told.span) is not None
    ),
    "rest-by-days-off": lambda told: Shape(
        lambda column: column.kind is Kind.REST and column.span == told.span
    ),
    "base-first": lambda told: Shape(
        lambda column: column.kind is Kind.STRENGTH and column.span.first == told.span.first
    ),
    "work-before-lead-in": lambda told: Shape(
        lambda column: column.kind is Kind.PERFORMANCE and column.span.first == told.span.first
    ),
    "work-before-rest": lambda told: Shape(
        lambda column: column.kind is Kind.REST and column.span.first == told.span.first
    ),
    "power-endurance-late": lambda told: Shape(lambda column: False),  # trained is something else
}


# --- another week ---------------------------------------------------------------------------------


def _keeps(place: Place, sessions: Sessions, was: Set[object]) -> bool:
    found = findings_of(place.drawn, place.made, sessions)
    again = any((one.code, one.span) == (place.told.code, place.told.span) for one in found)
    asked = (one for one in found if one.strength == "hard" and one.code not in NOT_ASKED)
    return not again and all(_what(one) in was for one in asked)


def _what(finding: Finding) -> tuple[object, ...]:
    return finding.code, finding.span, finding.about


class Place:
    """The week, or the block, of which a preference is told."""

    def __init__(self, drawn: Drawn, made: Made, told: Finding) -> None:
        self.drawn, self.made, self.told = drawn, made, told
        self.book = recipes(drawn.year.recipes)
        self.sessions = made.sessions
        self.inside = [one for one in made.sessions if one.day in told.span]
        self.others = tuple(one for one in made.sessions if one.day not in told.span)
        self.blocks = [block for block in made.blocks if block.id in told.blocks]
        self.sheet = Sheet(drawn.year, made.blocks, book=book_of(drawn.year))
        self.table = Timetable(self.sheet, sessions=(), shortfalls=(), taken=drawn.taken)

    def at(self, recipe: Recipe, day: date, minute: int, minutes: int, rock: str = "") -> Session:
        return Session(
            id=f"another/{day}", block=self.blocks[0].id, recipe=recipe.id, day=day,
            start=time(*divmod(minute, 60)), minutes=minutes, rpe=recipe.rpe, role=recipe.role,
            active_share=recipe.active_share, rock=rock or None,
            hangs=recipe.hangs[0] if recipe.hang_seconds else 0,
        )  # fmt: skip


def _least(place: Place) -> Iterator[Sessions]:
    """Nothing but one of the sessions."""
    for one in place.inside:
        yield *place.others, one


def _one_day(place: Place) -> Iterator[Sessions]:
    """Nothing but the sessions of one day."""
    for day in {one.day for one in place.inside}:
        yield *place.others, *(one for one in place.inside if one.day == day)


def _tested(place: Place) -> Iterator[Sessions]:
    """Nothing but a test, somewhere from the third day on, and nothing soon after the week."""
    test = place.book["test-day"]
    soon = Span(place.told.span.after, place.told.span.after + timedelta(days=AROUND))
    others = [one for one in place.others if one.role or one.day not in soon]
    for day in [*place.told.span.days()][2:]:
        for begin, end in place.table.free(day):
            if end - begin >= test.least_minutes:
                yield *others, place.at(test, day, begin, test.least_minutes)


def _easy(place: Place) -> Iterator[Sessions]:
    """Nothing but easy sessions, as many and as long as it takes, on days of training first."""
    trained = {one.day for one in place.inside}
    days = sorted(place.told.span.days(), key=lambda day: (day not in trained, day))
    for recipe in (place.book["mobility"], place.book["aerobic"]):
        for wanted in range(recipe.least_minutes, 6 * recipe.most_minutes, EASY_STEP):
            some: list[Session] = []
            for day in days:
                left = wanted - sum(one.minutes for one in some)
                free = max((end - begin, begin) for begin, end in [*place.table.free(day), (0, 0)])
                minutes = min(recipe.most_minutes, free[0], left)
                if minutes >= recipe.least_minutes and len(some) < 6:
                    some.append(place.at(recipe, day, free[1], minutes))
            if sum(one.minutes for one in some) == wanted:
                yield *place.others, *some


def _on_rock(place: Place) -> Iterator[Sessions]:
    """A day on rock in each week that has none, and nothing else around it."""
    used = {one.day for one in place.sessions if one.role is not None}
    added: list[Session] = []
    for week in place.blocks[0].weeks:
        if not week.lead_in and not used & set(week.span.days()):
            added += [*_first_day_on_rock(place, week)]
    around = {one.day + timedelta(days=n) for one in added for n in range(-AROUND, AROUND + 1)}
    yield *(one for one in place.sessions if one.day not in around or one.role), *added


def _first_day_on_rock(place: Place, week: Week) -> Iterator[Session]:
    for chance in place.sheet.almanac.opportunities:
        entry = chance.spell.entry
        for day in sorted({*chance.chances} & {*week.span.days()}):
            for recipe in place.book.values():
                wanted = recipe.role is RockRole.EASY and entry.discipline in recipe.disciplines
                for begin, end in place.table.rock_free(day, entry) if wanted else ():
                    way = place.sheet.year.climber.rock_travel_minutes
                    minutes = min(recipe.most_minutes, end - begin - 2 * way)
                    if minutes >= recipe.least_minutes:
                        yield place.at(recipe, day, begin + way, minutes, entry.id)
                        return


WEEKS: dict[str, Callable[[Place], Iterator[Sessions]]] = {
    "load-step": _one_day,
    "missed-weeks": _one_day,
    "session-progression": _least,
    "session-test": _tested,
    "lead-in-volume": _easy,
    "session-rock": _on_rock,
}
