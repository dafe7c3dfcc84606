"""A part that comes back is loaded on few days running, and more only from what was really held.

Customs of this project (`[back]` of shared/injuries.toml): common practice, no source.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta
from functools import cache
from itertools import pairwise
from typing import Any
from uuid import UUID

import pytest
from planned import judged, planned
from small_week import frame, hangs, on_rock, recipe

from seasonplan.body.response import body_of
from seasonplan.plan import Session
from seasonplan.planner.by_steps import BySteps
from seasonplan.planner.compose import compose
from seasonplan.planner.fill import Filled
from seasonplan.planner.fingers import FingerAsk
from seasonplan.planner.gently import Gently
from seasonplan.planner.standing import Item, Standing
from seasonplan.planner.week_order import Order
from seasonplan.planning.replan import Planned, Provenance, plan_year
from seasonplan.recipes import standard_recipes
from seasonplan.vocabulary import Kind, RockRole
from seasonplan.year import Year
from seasonplan.year.toml import read_year

KINDS = (Kind.RETURN,)
CLIMB = recipe("climb", needs=("wall",), kinds=KINDS, minutes=60, least_minutes=60)
HOLDS = hangs("holds", share=0.4, kinds=KINDS, spacing=0.0)
LEGS = recipe("legs", kinds=KINDS)
BOOK = {one.id: one for one in (CLIMB, HOLDS, LEGS)}
USUAL = Gently(in_a_row=1, ran=0, minutes=600, session=75, holds=True)


def week(*minutes: int, **fields: Any) -> tuple[Item, ...]:
    """A week of a return whose days are so long, with climbing, holds and work for the legs."""
    of_frame = {name: fields.pop(name) for name in ("rock_near", "days") if name in fields}
    order = Order(
        Kind.RETURN, (("holds",), ("climb",), ("legs",), ("holds",), ("climb",)), 9000.0,
        FingerAsk(), climb_longer=True, gently=USUAL._replace(**fields),
    )  # fmt: skip
    return compose(frame(list(minutes) or [120] * 7, BOOK, **of_frame), order, book=BOOK)


def loaded(items: Sequence[Item], *names: str) -> list[int]:
    """Days from Monday, 0, on with climbing or holds."""
    names = names or ("climb", "holds")
    return sorted({item.day.weekday() for item in items if item.recipe.id in names})


def climbed(items: Sequence[Item]) -> list[int]:
    return [item.minutes for item in items if item.recipe.climbs]


# --- one week -------------------------------------------------------------------------------------


def rows(days: Sequence[int]) -> int:
    """The most days running."""
    found = most = 1
    for one, other in pairwise(days):
        found = found + 1 if other == one + 1 else 1
        most = max(most, found)
    return most


@pytest.mark.parametrize("most", [1, 2, 3])
def test_no_more_days_running_load_what_comes_back_than_may(most: int) -> None:
    items = week(in_a_row=most)
    assert rows(loaded(items)) <= most and len(loaded(items)) >= 3
    assert {*range(7)} - {*loaded(items)} <= {*loaded(items, "legs")}  # which may stand on any day


def test_days_running_go_on_over_both_edges_of_a_week() -> None:
    assert 0 not in loaded(week(in_a_row=1, ran=1)) and 0 in loaded(week(120, in_a_row=1))
    assert loaded(week(120, 120, in_a_row=2, ran=1)) == [0]
    rock = dataclasses.replace(on_rock(7, RockRole.EASY), recipe=CLIMB)
    assert 6 in loaded(week(0, 0, 0, 0, 0, 0, 120, in_a_row=1))
    assert 6 not in loaded(week(0, 0, 0, 0, 0, 0, 120, in_a_row=1, rock_near=(rock,)))


def test_of_a_leg_or_back_holds_load_nothing() -> None:
    items = week(120, 120, 120, in_a_row=1, holds=False)
    assert loaded(items, "holds") == [0, 1, 2] and rows(loaded(items, "climb")) == 1


def test_holds_stand_where_climbing_does_so_that_other_days_are_without() -> None:
    items = week(in_a_row=2)
    assert {*loaded(items, "holds")} <= {*loaded(items, "climb")}


def test_a_day_holds_one_climb_no_longer_than_a_session_may_be() -> None:
    other = recipe("other", needs=("wall",), kinds=KINDS, minutes=60, least_minutes=60)
    order = Order(
        Kind.RETURN, (("climb",), ("other",)), 9000.0, FingerAsk(), climb_longer=True, gently=USUAL
    )
    book = {"climb": CLIMB, "other": other}
    items = compose(frame([0, 0, 300, 0, 0, 0, 0], book), order, book=book)
    assert [item.minutes for item in items] == [75]
    free = compose(
        frame([0, 0, 300, 0, 0, 0, 0], book), order._replace(gently=None), book=book
    )  # fmt: skip
    assert [item.minutes for item in free] == [90, 90]


@pytest.mark.parametrize(
    ("most", "sessions"),
    [(59, []), (60, [60]), (74, [70]), (150, [75, 75]), (180, [60] * 3), (225, [75] * 3)],
)
def test_a_week_holds_as_much_climbing_as_it_may_in_sessions_as_long_as_fit(
    most: int, sessions: list[int]
) -> None:
    assert climbed(week(minutes=most)) == sessions


# --- whole years ----------------------------------------------------------------------------------

SHOULDER = """
    schema = 1
    [year]
    first = 2027-01-04
    weeks = 44
    [climber]
    time_zone = "Europe/Vienna"
    [climber.minutes]
    monday = 75
    tuesday = 90
    thursday = 90
    friday = 45
    saturday = 240
    sunday = 240
    [climber.level]
    finger_strength = 3
    power = 4
    endurance = 3
    [before]
    weekly_load = [1900]
    hard_finger_sessions = 2
    [[goal]]
    name = "Long roof"
    place = "Ochre"
    discipline = "sport"
    grade = "7c"
    [[season]]
    name = "Spring"
    place = "Ochre"
    discipline = "sport"
    first = "04-17"
    last = "06-13"
    chance = 0.5
    [[injury]]
    name = "Shoulder"
    part = "PART"
    happened = 2027-03-22
    easy_from = 2027-04-08
    building_from = 2027-04-22
    full_from = 2027-05-31
"""
RECIPES = standard_recipes()
FULL = date(2027, 5, 31)
PARTS = ("shoulder", "finger", "back")


@cache
def year_of(part: str) -> tuple[Year, Filled]:
    year = read_year(SHOULDER.replace("PART", part), file="year.toml")
    made = planned(year)
    assert made is not None
    return year, made


def weeks_back(made: Filled) -> list[list[Session]]:
    """The sessions of the calendar weeks from that in which it happened to that before full."""
    mondays = [date(2027, 3, 29) + timedelta(weeks=n) for n in range(9)]
    return [[s for s in made.sessions if 0 <= (s.day - m).days < 7] for m in mondays]


def load(some: Sequence[Session]) -> float:
    return sum(RECIPES[one.recipe].load_a_minute * one.minutes for one in some)


def minutes(some: Sequence[Session]) -> int:
    return sum(one.minutes for one in some if RECIPES[one.recipe].climbs)


def light(made: Filled, some: Sequence[Session]) -> bool:
    first = min(one.day for one in some)
    weeks = [week for block in made.blocks for week in block.weeks]
    return any(week.deload for week in weeks if first in week.span)


@pytest.mark.parametrize("part", PARTS)
def test_weeks_of_a_return_rise_from_what_the_week_before_holds(part: str) -> None:
    """They rose from what it aimed at: one of 1110 was followed by one of 1755, and 135 minutes
    of climbing by 270."""
    made = year_of(part)[1]
    usual = max(week.load for block in made.blocks for week in block.weeks)
    weeks = [some for some in weeks_back(made) if not light(made, some)]
    for one, other in pairwise(weeks):
        assert load(other) <= max(0.5 * usual, load(one) + 0.1 * usual)
    for fuller, one, other in zip(weeks, weeks[1:], weeks[2:], strict=False):
        done = max(minutes(fuller), minutes(one))
        assert minutes(other) <= max(150, 1.2 * done, done + 45)
    assert load(weeks[-1]) > 1.2 * load(weeks[2]) and minutes(weeks[-1]) >= 150


def test_the_first_weeks_after_full_go_on_by_the_same_steps() -> None:
    """They went from 1815 to 2235, and from 135 minutes of climbing to 375."""
    for part in PARTS:
        made = year_of(part)[1]
        usual = max(week.load for block in made.blocks for week in block.weeks)
        last = max(weeks_back(made)[-2:], key=minutes)
        most = minutes(last)
        for n in range(4):
            first = date(2027, 5, 31) + timedelta(weeks=n)
            some = [s for s in made.sessions if 0 <= (s.day - first).days < 7]
            most = max(most + 45, 1.2 * most)
            home = any(RECIPES[s.recipe].climbs and s.role is None for s in some)
            assert minutes(some) <= most or not home
            assert load(some) <= load(weeks_back(made)[-1]) + (n + 1) * 0.1 * usual


OFF = """
    [[NAME]]
    name = "FIRST NAME"
    first = FIRST
    last = LAST
"""


def with_days_off(*names: str) -> tuple[Year, Filled]:
    """A finger that comes back in the last days of an absence and five more; days away after it."""
    more = OFF.replace("NAME", "absence").replace("FIRST", "2027-05-15")
    more = more.replace("LAST", "2027-05-30")
    for name in names:
        more += OFF.replace("NAME", name).replace("FIRST", "2027-06-14")
        more = more.replace("LAST", "2027-06-20")
        more += '    place = "Isle"\n    discipline = "sport"\n' if name == "trip" else ""
    text = SHOULDER.replace("PART", "finger").replace("06-13", "04-30") + more
    for old, new in (("04-08", "05-22"), ("04-22", "05-29"), ("05-31", "06-05")):
        text = text.replace(f"from = 2027-{old}", f"from = 2027-{new}")
    year = read_year(text.replace("[1900]", "[2400]"), file="year.toml")
    made = planned(year)
    assert made is not None
    return year, made


@pytest.mark.parametrize("names", [(), ("trip",), ("absence",)])
def test_load_goes_on_by_steps_after_full_whatever_lies_between(names: tuple[str, ...]) -> None:
    """It went from 945 to 2160 in the fifth week, over a trip from 915 to 1980."""
    year, made = with_days_off(*names)
    body, held = body_of(year), list[float]()
    for n in range(1, 10):
        first = date(2027, 5, 31) + timedelta(weeks=n)
        some = [s for s in made.sessions if 0 <= (s.day - first).days < 7]
        steps = [one + 0.1 * (n - m) * max(body.usual, body.top) for m, one in enumerate(held, 1)]
        if first != date(2027, 6, 14) or not names:
            assert not steps or load(some) <= max(steps) + 100  # sessions are whole
        held.append(load(some))
    assert max(held) > 1.8 * held[0] and judged(year, made) == []


@pytest.mark.parametrize("part", PARTS)
def test_what_comes_back_has_days_between_and_one_climb_a_day(part: str) -> None:
    year, made = year_of(part)
    back = [s for s in made.sessions if s.block.startswith("return-")]
    loads = [
        s for s in back
        if RECIPES[s.recipe].climbs or (part != "back" and RECIPES[s.recipe].on_hangboard)
    ]  # fmt: skip
    for phase, most in (("easy", 1), ("building", 2)):
        some = sorted({s.day for s in loads if (s.day >= date(2027, 4, 22)) is (phase != "easy")})
        assert rows([day.toordinal() for day in some]) == most
    climbs = [s for s in back if RECIPES[s.recipe].climbs]
    assert len({s.day for s in climbs}) == len(climbs)
    assert {s.minutes <= 75 for s in climbs if s.role is None} == {True}
    assert judged(year, made) == []


def after_full(made: Filled, weeks: int = 4) -> list[Session]:
    return [s for s in made.sessions if FULL <= s.day < FULL + timedelta(weeks=weeks)]


@pytest.mark.parametrize("part", PARTS)
def test_in_full_it_has_days_between_for_some_weeks_more(part: str) -> None:
    """Five days running with holds or climbing followed the day of full."""
    some = [
        s for s in after_full(year_of(part)[1])
        if RECIPES[s.recipe].climbs or (part != "back" and RECIPES[s.recipe].on_hangboard)
    ]  # fmt: skip
    for n in range(4):
        week = FULL + timedelta(weeks=n)
        days = sorted({(s.day - week).days for s in some} & {*range(7)})
        assert days and rows(days) <= 2


@pytest.mark.parametrize("part", PARTS)
def test_in_full_days_on_rock_grow_by_a_step_from_those_of_the_return(part: str) -> None:
    """The longest went from 180 to 300 minutes on the day of full."""
    year, made = year_of(part)
    back = [s for s in made.sessions if s.block.startswith("return-") and s.role is not None]
    longest = max(s.minutes for s in back)
    rock = [s for s in after_full(made) if s.role is not None]
    assert rock
    for one in rock:
        assert one.minutes <= max(75, longest * 1.25**2)
        longest = max(longest, one.minutes)
    assert judged(year, made) == []


@pytest.mark.parametrize("rule", ["session-return", "injury-caps"])
def test_without_the_rule_a_week_of_a_return_is_filled_as_ever(rule: str) -> None:
    year = read_year(
        SHOULDER.replace("PART", "shoulder") + f"[rules.{rule}]\non = false\n", file="year.toml"
    )
    made = planned(year)
    assert made is not None and max(map(minutes, weeks_back(made))) > 300


def test_the_checker_tells_of_weeks_that_lean_on_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    year = year_of("shoulder")[0]
    for name, nothing in (("kept._weeks", {}), ("search._kept", [])):  # nothing is known yet
        monkeypatch.setattr(f"seasonplan.planner.{name}", nothing)
    monkeypatch.setattr(
        BySteps, "order", lambda self, *asked, **more: self._returning.order(*asked, **more)
    )
    loose = planned(year)
    assert loose is not None
    found = {(one.code, one.about) for one in judged(year, loose)}
    assert {code for code, _ in found} == {"session-return"} and len(found) >= 4


def test_with_no_look_at_days_running_the_checker_tells_of_them(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    year = year_of("shoulder")[0]  # before what it knows is forgotten
    for name, nothing in (("kept._weeks", {}), ("search._kept", [])):
        monkeypatch.setattr(f"seasonplan.planner.{name}", nothing)
    monkeypatch.setattr(Standing, "_gentle", lambda *_: True)
    loose = planned(year)
    assert loose is not None
    assert "days running that load what comes back" in {f.about for f in judged(year, loose)}


def test_with_no_look_at_the_weeks_after_full_the_checker_tells_of_them(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    year = year_of("finger")[0]
    for name, nothing in (("kept._weeks", {}), ("search._kept", [])):
        monkeypatch.setattr(f"seasonplan.planner.{name}", nothing)
    monkeypatch.setattr(BySteps, "after", lambda _, order, *__: order)
    loose = planned(year)
    assert loose is not None
    told = {f.about for f in judged(year, loose) if f.span.last >= FULL}
    assert "days running that load what comes back" in told


@pytest.mark.parametrize(("more", "told"), [(0, False), (150, True)])
def test_the_checker_tells_of_a_day_on_rock_much_longer_than_those_of_the_return(
    more: int, told: bool
) -> None:
    year, made = year_of("shoulder")
    first = next(s for s in after_full(made) if s.role is not None)
    some = [
        s.model_copy(update={"minutes": s.minutes + more * (s == first)}) for s in made.sessions
    ]
    found = judged(year, dataclasses.replace(made, sessions=tuple(some)))
    assert told is ("a long day on rock while a part comes back" in {one.about for one in found})


def done_in(made: Planned) -> list[tuple[Any, ...]]:
    some = made.plan.current.sessions
    return [(one.day, one.start, one.recipe, one.minutes, one.hangs) for one in some]


def test_a_plan_made_anew_within_a_return_is_the_same_where_nothing_is_new() -> None:
    """The rest of a week that has begun was composed anew, and weeks after it lean on it."""
    year = read_year(SHOULDER.replace("PART", "shoulder"), file="year.toml")
    occasion = Provenance("test", datetime(2027, 1, 1, tzinfo=UTC), "-")
    asked: dict[str, Any] = {"calendar_key": UUID(int=5), "confirm": False}
    first = plan_year(year, occasion, previous=None, **asked)
    assert isinstance(first, Planned)
    for today in (date(2027, 4, 14), date(2027, 5, 6), date(2027, 6, 3)):
        again = plan_year(year, occasion, previous=first.plan, today=today, **asked)
        assert isinstance(again, Planned)
        assert done_in(again) == done_in(first)
