"""Breaks planted in the sessions of a planned year: the checker reports every one of them.

Before each it finds nothing hard. What the planner enforces by a rule that can be switched off is
switched off as well: the planner then breaks it, and the checker sees that.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import date, time, timedelta
from functools import cache
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from places import TESTS
from planned import codes_of, judged, planned

from seasonplan.checker import check_sessions
from seasonplan.injury import ramp_steps
from seasonplan.plan import Session
from seasonplan.planner.fill import Filled
from seasonplan.recipes import recipes
from seasonplan.rules.findings import Finding
from seasonplan.rules.statements import book_of, standard_book
from seasonplan.vocabulary import Kind, RockRole, Tissue
from seasonplan.year import Year
from seasonplan.year.toml import read_year

YEARS = TESTS / "years"
BOOK = recipes()
DAY = timedelta(days=1)
FEW = settings(max_examples=5, deadline=None, derandomize=True)


@cache
def planned_year(name: str) -> tuple[Year, Filled]:
    file = YEARS / f"{name}.toml"
    year = read_year(file.read_text(encoding="utf-8"), file=file.name)
    made = planned(year)
    assert made is not None
    return year, made


def findings(name: str, sessions: Sequence[Session]) -> list[Finding]:
    year, made = planned_year(name)
    return [*check_sessions(year, made.blocks, sessions, made.shortfalls, book=book_of(year))]


def hard(name: str, sessions: Sequence[Session]) -> set[str]:
    return codes_of(f for f in findings(name, sessions) if f.strength == "hard")


def changed(old: Session, **changes: Any) -> Session:
    return Session(**{**dict(old), **changes})


def copied(old: Session, **changes: Any) -> Session:
    """The same again, under an id of its own."""
    return changed(old, **{"id": f"{old.id}-again", **changes})


def as_recipe(old: Session, name: str, **changes: Any) -> Session:
    """A session of another recipe in the same place, as that recipe says."""
    recipe = BOOK[name]
    hangs = recipe.hangs[0] if recipe.hang_seconds else 0
    return changed(
        old, recipe=name, minutes=recipe.minutes, rpe=recipe.rpe, hangs=hangs, role=recipe.role,
        active_share=recipe.active_share, **changes,
    )  # fmt: skip


Plant = tuple[Session, ...]  # what is there after a break has been planted
Breaks = Iterator[Callable[[], Plant]]


class Case:
    """The sessions of a planned year, and places in them to plant a break."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.year, made = planned_year(name)
        self.blocks = {block.id: block for block in made.blocks}
        self.all = made.sessions

    def away(self, day: date) -> bool:
        return any(day in trip.span for trip in self.year.trips)

    @property
    def home(self) -> list[Session]:
        return [one for one in self.all if one.role is None and not self.away(one.day)]

    @property
    def rock(self) -> list[Session]:
        return [one for one in self.all if one.role is not None and not self.away(one.day)]

    def on(self, day: date) -> list[Session]:
        return [one for one in self.all if one.day == day]

    def instead(self, old: Session, new: Session) -> Plant:
        return tuple(new if one is old else one for one in self.all)


def _each(targets: Callable[[Case], list[Session]], **changes: Any) -> Callable[[Case], Breaks]:
    """A break that changes one session."""

    def breaks(case: Case) -> Breaks:
        for one in targets(case):
            yield lambda one=one: case.instead(one, changed(one, **changes))

    return breaks


def _home(case: Case) -> list[Session]:
    return [one for one in case.home if one.minutes]


def _hanging(case: Case) -> list[Session]:
    return [one for one in case.home if one.hangs]


def _overlapping(case: Case) -> Breaks:
    """Two sessions of a day at one hour."""
    for one, other in pairwise(case.home):
        if one.day == other.day and one.minutes and other.minutes:
            yield lambda a=one, b=other: case.instead(b, changed(b, start=a.start))


def _turned_round(case: Case) -> Breaks:
    """Two sessions one after the other, the one that wants a fresher climber last."""
    for one, other in pairwise(case.home):
        joined = one.day == other.day and one.minute + one.minutes == other.minute
        if joined and BOOK[one.recipe].order < BOOK[other.recipe].order:
            yield lambda a=one, b=other: _swapped(case, a, b)


def _swapped(case: Case, one: Session, other: Session) -> Plant:
    at = one.minute + other.minutes
    late = changed(one, start=time(at // 60, at % 60))
    return tuple(
        late if s is one else changed(other, start=one.start) if s is other else s for s in case.all
    )


def _hard_next_day(case: Case) -> Breaks:
    """Hard finger work that wants days after it, and the same again on the next day."""
    for one in case.home:
        recipe = BOOK[one.recipe]
        fingers = recipe.stresses.get(Tissue.FINGERS, 0) >= 2
        if fingers and recipe.days_between and not case.away(one.day + DAY):
            yield lambda one=one: (*case.all, copied(one, day=one.day + DAY))


def _seven_days(case: Case) -> Breaks:
    """A session on each of seven days running."""
    for one in _home(case)[::7]:
        days = [one.day + n * DAY for n in range(7)]
        if all(day in case.year.span and not case.away(day) for day in days):
            more = tuple(changed(one, id=f"more-{day}", day=day) for day in days)
            yield lambda more=more: (*case.all, *more)


def _weeks_of(case: Case, *kinds: Kind) -> Iterator[list[Session]]:
    for block in case.blocks.values():
        if block.kind in kinds:
            for week in block.weeks:
                inside = [one for one in case.all if one.day in week.span]
                if inside and not any(case.away(day) for day in week.span.days()):
                    yield inside


def _empty_weeks(case: Case) -> Breaks:
    for inside in _weeks_of(case, Kind.BASE, Kind.STRENGTH):
        yield lambda gone=inside: tuple(s for s in case.all if s not in gone)


def _double_weeks(case: Case) -> Breaks:
    for inside in _weeks_of(case, Kind.BASE, Kind.STRENGTH):
        more = tuple(copied(one) for one in inside)
        yield lambda more=more: (*case.all, *more)


def _on_the_eve(case: Case) -> Breaks:
    for one in case.rock:
        if one.role is RockRole.PROJECT and not case.away(one.day - DAY):
            new = as_recipe(copied(one), "legs-and-trunk", day=one.day - DAY, rock=None)
            yield lambda new=new: (*case.all, new)


def _hangs_on_rock(case: Case) -> Breaks:
    for one in case.rock:
        new = as_recipe(copied(one), "season-fingers", rock=None)
        yield lambda new=new: (*case.all, new)


def _twice_a_day(case: Case) -> Breaks:
    for one in _hanging(case):
        yield lambda one=one: (*case.all, copied(one))


def _hard_hangs_each_day(case: Case) -> Breaks:
    for one in _hanging(case)[::5]:
        days = [one.day + n * DAY for n in range(3)]
        if not any(case.away(day) for day in days) and BOOK[one.recipe].max_fingers:
            more = tuple(changed(one, id=f"more-{day}", day=day) for day in days)
            yield lambda more=more: (*case.all, *more)


def _hard_when_back(case: Case) -> Breaks:
    """An effort above 6 in the first four days after an absence."""
    model = _home(case)[0]
    for entry in case.year.absences:
        for n in range(4):
            new = as_recipe(copied(model), "interval-circuits", day=entry.span.after + n * DAY)
            yield lambda new=new: (*case.all, new)


def _hurt_part_loaded(case: Case) -> Breaks:
    for one in case.home:
        if any(hurt.happened <= one.day < hurt.full_from for hurt in case.year.injuries):
            yield lambda one=one: case.instead(one, as_recipe(one, "uphill-intervals"))


def _used_hard_once_more(case: Case) -> Breaks:
    """In the weeks after an injury that allow hard work of the fingers twice, a third time."""
    (hurt,) = case.year.injuries
    steps = [step for step in ramp_steps(hurt) if step.hard_a_week]
    for week in (week for block in case.blocks.values() for week in block.weeks):
        if steps[0].from_day <= week.span.first and week.span.last <= steps[-1].until_day:
            one = next(s for s in case.home if s.day in week.span)
            more = (copied(one, id=f"more-{n}") for n in range(3))
            hard = tuple(as_recipe(s, "interval-circuits") for s in more)
            yield lambda hard=hard: (*case.all, *hard)


def _grown_up_work(case: Case) -> Breaks:
    for one in case.home:
        yield lambda one=one: case.instead(one, as_recipe(one, "fingerboard-long"))


PLANTED: Mapping[str, tuple[str, str, Callable[[Case], Breaks]]] = {
    "at night": ("autumn", "session-hours", _each(_home, start=time(23, 30))),
    "by another clock": ("autumn", "session-hours", _each(_home, zone="Asia/Tokyo")),
    "in no block": ("autumn", "session-hours", _each(_home, block="base-99")),
    "rock at night": ("autumn", "session-hours", _each(lambda c: c.rock, start=time(20, 1))),
    "overlapping": ("autumn", "session-hours", _overlapping),
    "turned round": ("autumn", "session-order", _turned_round),
    "hard next day": ("autumn", "session-spacing", _hard_next_day),
    "seven days": ("autumn", "session-rest-day", _seven_days),
    "an empty week": ("autumn", "session-dose", _empty_weeks),
    "a double week": ("autumn", "session-dose", _double_weeks),
    "no recipe": ("autumn", "session-needs", _each(_home, recipe="made-up")),
    "another effort": ("autumn", "session-needs", _each(_home, rpe=9.9)),
    "too long": ("autumn", "session-needs", _each(_home, minutes=400)),
    "no hangs": ("autumn", "session-needs", _each(_hanging, hangs=0)),
    "too many hangs": ("autumn", "session-needs", _each(_hanging, hangs=99)),
    "no rock": ("autumn", "session-needs", _each(lambda c: c.rock, rock="nowhere")),
    "no day on rock": ("autumn", "session-needs", _each(lambda c: c.rock, role=None)),
    "on the eve": ("autumn", "session-fresh", _on_the_eve),
    "hangs on rock": ("autumn", "session-fresh", _hangs_on_rock),
    "hangs twice a day": ("autumn", "session-hangs", _twice_a_day),
    "hard hangs each day": ("autumn", "session-hangs", _hard_hangs_each_day),
    "hard when back": ("twelve-weeks", "session-return", _hard_when_back),
    "a hurt knee loaded": ("sessions-few-things-to-train-on", "session-care", _hurt_part_loaded),
    "hard once more": ("autumn-finger-in-june", "session-care", _used_hard_once_more),
    "too young": ("sessions-few-things-to-train-on", "session-care", _grown_up_work),
}
HARD = {rule.code for rule in standard_book() if rule.about == "sessions" and rule.hard}
TRIED: Counter[str] = Counter()


@cache
def plants(name: str) -> tuple[Callable[[], Plant], ...]:
    year, _, breaks = PLANTED[name]
    return tuple(breaks(Case(year)))


def test_every_hard_rule_about_sessions_has_a_break_to_be_planted() -> None:
    assert {code for _, code, _ in PLANTED.values()} == HARD


@pytest.mark.parametrize("name", sorted({year for year, _, _ in PLANTED.values()}))
def test_before_anything_is_planted_no_rule_about_sessions_is_broken(name: str) -> None:
    assert hard(name, planned_year(name)[1].sessions) == set()


@pytest.mark.parametrize("name", PLANTED)
@FEW
@given(data=st.data())
def test_a_planted_break_is_reported_wherever_it_is(name: str, data: st.DataObject) -> None:
    year, code, _ = PLANTED[name]
    plant = data.draw(st.sampled_from(plants(name)))
    assert code in hard(year, plant())
    TRIED[name] += 1


def test_enough_breaks_were_planted() -> None:
    """Runs after them: each was tried more than once, in places that differ."""
    assert all(len(plants(name)) >= 3 for name in PLANTED)
    if len(TRIED) == len(PLANTED):  # all of them in this process
        assert min(TRIED.values()) >= 3


# --- what is told softly --------------------------------------------------------------------------


def told(name: str, sessions: Sequence[Session]) -> Counter[str]:
    return Counter(f.code for f in findings(name, sessions))


def test_a_test_taken_out_is_missed() -> None:
    case = Case("autumn")
    without = [one for one in case.all if one.recipe != "test-day"]
    assert told("autumn", without)["session-test"] > told("autumn", case.all)["session-test"]


def test_days_on_rock_taken_out_are_missed() -> None:
    case = Case("autumn")
    assert told("autumn", case.all)["session-rock"] == 0
    assert told("autumn", case.home)["session-rock"] >= 1


def test_light_weeks_filled_up_are_told() -> None:
    case = Case("autumn")
    light = [one for one in case.home if one.light]
    more = [copied(one, id=f"{one.id}-{n}") for one in light for n in range(3)]
    assert told("autumn", case.all)["session-progression"] == 0
    assert told("autumn", [*case.all, *more])["session-progression"] >= 3


def test_hard_work_put_into_light_weeks_is_told_by_what_it_is() -> None:
    case = Case("autumn")
    light = [one for one in case.home if one.light]
    more = [as_recipe(one, "board-power", id=f"{one.id}-{n}") for one in light for n in range(2)]
    longer = [
        changed(one, hangs=10 * one.hangs) if one.light and one.hangs else one for one in case.all
    ]
    assert _about_light_weeks([*case.all, *more])["hard sessions"] >= 3
    assert _about_light_weeks(longer) == {"hard hangs": _about_light_weeks(longer)["hard hangs"]}
    assert _about_light_weeks(longer)["hard hangs"] >= 3


def _about_light_weeks(sessions: Sequence[Session]) -> Counter[str]:
    return Counter(
        one.about for one in findings("autumn", sessions) if one.code == "session-progression"
    )


# --- rules taken out --------------------------------------------------------------------------


FEW_THINGS = "sessions-few-things-to-train-on"


@pytest.mark.parametrize(
    ("rule", "name", "broken"),
    [
        ("young-fingers", FEW_THINGS, {"young-fingers", "session-care"}),
        ("injury-caps", FEW_THINGS, {"injury-caps", "session-care", "session-return"}),
        ("session-return", FEW_THINGS, {"session-return"}),
        ("rest-day", FEW_THINGS, {"rest-day", "session-rest-day"}),
        ("session-dose", "autumn-finger-in-june", {"session-dose"}),
    ],
)
def test_without_a_rule_the_sessions_break_it_and_the_checker_says_so(
    rule: str, name: str, broken: set[str]
) -> None:
    year, _ = planned_year(name)
    made = planned(year, rule)
    assert made is not None
    assert codes_of(judged(year, made)) == broken
