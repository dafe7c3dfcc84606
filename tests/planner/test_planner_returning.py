"""Weeks in which something is hurt, and those after them: load, hangs, hard uses, courses."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection
from datetime import date, time, timedelta
from functools import cache
from itertools import pairwise
from typing import Any

import pytest
from plan_maker import a_year, day, injury, trip
from planned import codes_of, judged, planned
from small_week import frame, hangs, recipe

from seasonplan import injury as care
from seasonplan.body.almanac import Almanac
from seasonplan.plan import Session
from seasonplan.planner.care import too_often
from seasonplan.planner.compose import compose
from seasonplan.planner.fill import Filled
from seasonplan.planner.fingers import FingerAsk, Hang
from seasonplan.planner.levels import Levels
from seasonplan.planner.menus import Serving
from seasonplan.planner.returning import WeekBack, weeks_back
from seasonplan.planner.standing import Standing
from seasonplan.planner.week_order import Order
from seasonplan.recipes import standard_recipes
from seasonplan.rules.statements import book_of
from seasonplan.vocabulary import BodyPart, Kind, Phase, Tissue
from seasonplan.year import Before, Year
from seasonplan.year.toml import read_year

BACK = care.back_table()
FILL = {phase: care.fill_share([(BodyPart.FINGER, phase)]) for phase in Phase}


HURT = injury(7, easy=9, building=14, full=21)


def used_hard(n: int) -> Session:
    """A session of hard hangs, known by its day."""
    return Session(
        id=str(n), block="base-1", recipe="hang", day=day(n), start=time(18), minutes=60, rpe=7.0
    )


def back(weeks: int = 20, **fields: Any) -> list[WeekBack]:
    return [week for _, week in weeks_back(Almanac(a_year(weeks, **fields)))]


def shares(*, off: int, easy: int, building: int) -> list[float]:
    """The shares of the weeks of a return whose phases are so many weeks long."""
    begins = 7 + 7 * off
    hurt = injury(7, easy=begins, building=begins + 7 * easy, full=begins + 7 * (easy + building))
    return [round(week.share, 3) for week in back(30, injuries=[hurt])]


# --- load -----------------------------------------------------------------------------------------


def test_a_return_begins_at_half_and_climbs_to_the_share_of_its_phase() -> None:
    """Shares of shared/injuries.toml: .5 first, .1 a week at most; easy .8, building .9."""
    assert shares(off=2, easy=3, building=6) == [0.5, 0.6, 0.7, 0.74, 0.78, 0.82, 0.82, 0.86, 0.9]
    assert shares(off=2, easy=1, building=1) == [0.5, 0.6]
    assert shares(off=0, easy=4, building=2) == [0.5, 0.6, 0.7, 0.8, 0.85, 0.9]


@pytest.mark.parametrize("easy", range(8))
@pytest.mark.parametrize("building", range(8))
def test_no_week_of_a_return_is_more_than_a_step_above_the_one_before(
    easy: int, building: int
) -> None:
    found = shares(off=1, easy=easy, building=building)
    assert len(found) == easy + building
    assert all(0 <= b - a <= BACK.most_step + 0.001 for a, b in pairwise(found))
    assert found[:1] in ([], [BACK.first_share])
    assert all(share <= FILL[Phase.EASY] for share in found[:easy])
    assert all(share <= FILL[Phase.BUILDING] for share in found)
    if easy + building > 8:
        assert found[-1] == FILL[Phase.BUILDING if building else Phase.EASY]


def test_of_a_long_phase_every_fourth_week_is_light_its_last_never() -> None:
    for easy, building in ((3, 6), (4, 9), (5, 4), (12, 1)):
        hurt = injury(7, easy=14, building=14 + 7 * easy, full=14 + 7 * (easy + building))
        found = [week.light for week in back(30, injuries=[hurt])]
        for phase in (found[:easy], found[easy:]):
            light = [n for n, one in enumerate(phase, 1) if one]
            assert light == list(range(4, len(phase), 4))


def test_days_before_the_first_whole_week_use_up_no_step() -> None:
    """A return from a Friday on: three days at half, and a whole week at half."""
    hurt = injury(0, easy=11, building=32, full=60)
    assert [week.share for week in back(injuries=[hurt])][:3] == [0.5, 0.5, pytest.approx(0.6)]
    assert [week.nth for week in back(injuries=[hurt])][:3] == [0, 0, 1]


def test_a_trip_while_a_part_comes_back_ends_no_climb_and_another_injury_does() -> None:
    hurt = injury(0, easy=14, building=56, full=84)
    away = [week.share for week in back(injuries=[hurt], trips=[trip(28, 7)])]
    assert away[2] > away[1] > away[0]
    again = injury(35, easy=42, building=63, full=84)
    other = {k: v for k, v in dict(again).items() if k != "id"} | {"name": "Other", "part": "wrist"}
    twice = [week.share for week in back(injuries=[hurt, other])]
    assert twice[3] == 0.5 < twice[2]


# --- a year with a sore elbow ---------------------------------------------------------------------


ELBOW = """
    schema = 1
    [year]
    first = 2027-01-04
    weeks = 42
    [climber]
    time_zone = "Europe/Vienna"
    minutes = { monday = 75, wednesday = 90, friday = 60, saturday = 180, sunday = 120 }
    rock_days = ["saturday"]
    rock_minutes = 300
    [climber.level]
    finger_strength = 3
    power = 3
    power_endurance = 2
    endurance = 3
    [before]
    weekly_load = [1700]
    hard_finger_sessions = 2
    [[goal]]
    name = "Grey flake"
    place = "Larchfold"
    discipline = "sport"
    grade = "7b"
    [[season]]
    name = "Autumn"
    place = "Larchfold"
    discipline = "sport"
    first = "09-11"
    last = "10-24"
    chance = 0.5
    [[injury]]
    name = "Sore elbow"
    part = "elbow"
    happened = 2027-03-08
    easy_from = 2027-03-22
    building_from = 2027-04-12
    full_from = 2027-05-24
    [sessions]
    has = ["hangboard", "wall", "weights", "partner"]
"""
FULL = date(2027, 5, 24)
RECIPES = standard_recipes()


@cache
def elbow() -> tuple[Year, Filled]:
    year = read_year(ELBOW, file="year.toml")
    made = planned(year)
    assert made is not None
    return year, made


def weeks_of(made: Filled, kind: Kind) -> list[Any]:
    return [week for block in made.blocks if block.kind is kind for week in block.weeks]


def inside(made: Filled, first: date) -> list[Session]:
    return [one for one in made.sessions if 0 <= (one.day - first).days < 7]


def hard_uses(made: Filled, first: date) -> int:
    used = (RECIPES[one.recipe].hard_on for one in inside(made, first))
    return sum(bool(one & {Tissue.ELBOWS, Tissue.FINGERS}) for one in used)


def after_full() -> list[date]:
    """The Mondays of the six weeks of steps after the day of full."""
    return [FULL + timedelta(weeks=n) for n in range(6)]


def test_weeks_of_a_return_rise_but_for_a_light_one() -> None:
    loads = [(week.load, week.deload) for week in weeks_of(elbow()[1], Kind.RETURN)]
    assert [light for _, light in loads] == [False] * 6 + [True] + [False] * 2
    normal = [load for load, light in loads if not light]
    usual = max(week.load for week in weeks_of(elbow()[1], Kind.BASE))
    step = BACK.most_step * usual
    assert all(0 <= after - before <= step for before, after in pairwise(normal))
    assert normal[-1] > 1.4 * normal[0]
    assert loads[6][0] < 0.75 * loads[5][0]


def test_light_holds_begin_with_three_and_end_with_those_of_a_healthy_climber() -> None:
    made = elbow()[1]
    for n, week in enumerate(weeks_of(made, Kind.RETURN)):
        some = {one.hangs for one in inside(made, week.span.first) if one.hangs}
        assert some == {min(3 + n, RECIPES["fingerboard-often"].hangs[0])}


def test_hard_uses_after_full_are_none_and_then_two_a_week() -> None:
    year, made = elbow()
    (hurt,) = year.injuries
    found = [hard_uses(made, first) for first in after_full()]
    assert found[:2] == [0, 0] and max(found) == 2
    for first, uses in zip(after_full(), found, strict=True):
        step = care.ramp(hurt, first)
        assert step is not None and uses <= step.hard_a_week


def test_hard_hangs_begin_with_one_session_and_rise() -> None:
    made = elbow()[1]
    seconds = {w.span.first: w.hard_seconds for b in made.blocks for w in b.weeks}
    before = max(s for first, s in seconds.items() if first < FULL)
    assert [seconds[first] for first in after_full()[:4]] == [0, 0, 0, 0]
    first, second, third = (seconds[FULL + timedelta(weeks=n)] for n in (4, 5, 6))
    assert first <= 56 < 0.55 * before and first < second < third < before
    assert (
        len([s for s in inside(made, FULL + timedelta(weeks=4)) if RECIPES[s.recipe].hard_hangs])
        == 1
    )


def test_a_session_of_hard_hangs_begins_at_half_of_those_of_before() -> None:
    made = elbow()[1]
    hung = [one for one in made.sessions if one.recipe == "fingerboard-long"]
    before = max(one.hangs for one in hung if one.day < FULL)
    again = [one.hangs for one in hung if one.day > FULL]
    fewest, _ = RECIPES["fingerboard-long"].hangs
    assert again[0] <= max(0.55 * before, fewest) < before
    assert all(b <= a + 2 for a, b in pairwise(again[:4]))  # one or two more from week to week


def test_without_counting_the_planner_uses_it_hard_too_often_and_the_checker_says_so(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    year, made = elbow()
    assert judged(year, made) == []
    for name, nothing in (("kept._weeks", {}), ("search._kept", [])):  # nothing is known yet
        monkeypatch.setattr(f"seasonplan.planner.{name}", nothing)
    monkeypatch.setattr(Standing, "hard_left", lambda *_: 7)
    loose = planned(year)
    assert loose is not None and max(hard_uses(loose, one) for one in after_full()) > 2
    assert codes_of(judged(year, loose)) == {"session-care"}


def test_hard_hangs_are_held_and_rise_by_steps_and_without_the_rule_as_ever() -> None:
    year = a_year(20, injuries=[injury(28, easy=42, building=56, full=70)],
                  before=Before(weekly_load=(1000.0,) * 4, hard_finger_sessions=1.0))  # fmt: skip
    almanac = Almanac(year)
    held, loose = (Levels(almanac, hurt=hurt) for hurt in (True, False))
    before = min(held.of(day(27)).hang_seconds + 56, 252)  # shared/menus.toml: a session, the most
    assert {held.of(day(n)).hang_seconds for n in range(28, 105)} == {56}  # one session
    assert {loose.of(day(n)).hang_seconds for n in range(28, 105)} != {56}
    # .07 of it a week while hard uses are few, then .15 (shared/injuries.toml)
    again = [held.of(day(n)).hang_seconds - 56 for n in (98, 105, 112, 119, 126)]
    assert again == pytest.approx([n * before for n in (0, 0.07, 0.14, 0.29, 0.44)])
    shares = [held.of(day(n)).hang_share for n in (21, 105)]
    assert shares == [1.0, pytest.approx(0.07 + 56 / before)]


@pytest.mark.parametrize(("days", "seconds"), [(27, 0.5 * 252), (28, 56)])
def test_hard_hangs_that_were_barred_for_four_weeks_begin_with_one_session(
    days: int, seconds: float
) -> None:
    """A back has no steps after full; 252 s at most were done, 56 are one session (menus.toml)."""
    back = {**dict(injury(42, easy=42, building=42, full=42 + days)), "part": "back"}
    year = a_year(16, injuries=[{k: v for k, v in back.items() if k != "id"}],
                  before=Before(weekly_load=(2000.0,) * 4, hard_finger_sessions=3.0))  # fmt: skip
    assert Levels(Almanac(year)).of(day(42 + days)).hang_seconds == pytest.approx(seconds)


@pytest.mark.parametrize("happened", range(28, 35))
def test_hard_hangs_begin_at_half_whatever_the_day_on_which_it_happened(happened: int) -> None:
    """One on a Saturday let them rise in the very week in which they were barred."""
    back = {**dict(injury(happened, easy=35, building=42, full=55)), "part": "back"}
    hurt = {k: v for k, v in back.items() if k != "id"}
    levels = Levels(Almanac(a_year(20, injuries=[hurt])))
    (share,) = {levels.of(day(n)).hang_share for n in range(35, 54)}
    assert share == pytest.approx(BACK.hangs_begin)


def test_an_injury_shorter_than_what_wants_light_hangs_first_bars_nothing() -> None:
    """Ten days (shared/blocks.toml); a back has no steps after full."""
    for days, lower in ((9, False), (10, True)):
        back = {**dict(injury(28, easy=28, building=28, full=28 + days)), "part": "back"}
        year = a_year(16, injuries=[{k: v for k, v in back.items() if k != "id"}])
        levels = Levels(Almanac(year))
        before = levels.of(day(21)).hang_seconds
        assert (levels.of(day(42)).hang_seconds < 0.8 * before) is lower


def test_a_third_hard_use_that_was_wished_is_left_out() -> None:
    wish = """
        [[session]]
        recipe = "interval-circuits"
        day = 2027-06-23
        start = "18:00"
        minutes = 60
    """
    year = read_year(ELBOW + wish, file="year.toml")
    made = planned(year)
    assert made is not None and hard_uses(made, date(2027, 6, 21)) == 2
    assert not any(one.id.startswith("own/") for one in made.sessions)
    assert judged(year, made) == []


def test_of_hard_uses_that_are_too_many_those_said_go_the_last_first() -> None:
    """Day 35 to 62: twice a calendar week (shared/injuries.toml)."""
    almanac, book = Almanac(a_year(12, injuries=[HURT])), {"hang": hangs("hang")}
    rules = book_of(almanac.year)

    def gone(*days: int, said: Collection[int] = (), without: str = "") -> set[int]:
        some = [used_hard(n) for n in days]
        book_now = rules.without(*filter(None, [without]))
        names = {str(n) for n in said}
        found = too_often(some, names, almanac, book=book, rules=book_now)
        return {int(name) for name in found}

    assert gone(42, 44, 46, said={42, 46}) == {46}
    assert gone(42, 44, 46, 48, said={42, 46}) == {42, 46}
    assert gone(42, 44, 46) == set()  # what the planner placed is not its to take away
    assert gone(42, 44, 49, said={42, 44, 49}) == set()  # two weeks
    assert gone(63, 65, 67, said={67}) == set()  # the steps are over
    assert gone(21, 23, said={21, 23}) == {21, 23}  # none yet
    for rule in ("session-care", "injury-caps"):
        assert gone(42, 44, 46, said={46}, without=rule) == set()


# --- one week -------------------------------------------------------------------------------------


def test_a_day_holds_no_more_hangs_than_the_session_may() -> None:
    """Two sessions were asked for; where one day alone is left it holds its part."""
    book = {"hang": hangs("hang", minutes=60)}
    items = compose(
        frame([0, 90, 0, 0, 0, 0, 0], book),
        Order(Kind.STRENGTH, (), 2000.0, FingerAsk((Hang("hang", 12, 2, 6),))),
        book=book,
    )
    assert [one.hangs for one in items] == [6]


@pytest.mark.parametrize(("most", "sessions"), [(0, 0), (1, 1), (2, 2), (3, 3)])
def test_hangs_taken_at_once_are_no_more_than_the_hard_uses_left(most: int, sessions: int) -> None:
    """Each of three days alone would do."""
    book = {"hang": hangs("hang")}
    week = frame([90] * 7, book, most_hard=most, spared=frozenset({Tissue.FINGERS}))
    ask = FingerAsk((Hang("hang", 18, 3),))
    items = compose(week, Order(Kind.STRENGTH, (), 2000.0, ask), book=book)
    assert len(items) == sessions


def test_a_week_while_hurt_holds_so_many_holds_and_never_more_than_a_healthy_one() -> None:
    book = {"hold": hangs("hold", share=0.4, kinds=tuple(Kind), hangs=(6, 10), minutes=60)}
    week = frame([90] * 7, book)
    for holds, wanted in ((3, 3), (5, 5), (9, 6), (None, 10)):
        order = Order(Kind.RETURN, (("hold",),), 500.0, FingerAsk(), holds=holds)
        items = compose(week, order, book=book)
        assert items and {one.hangs for one in items} == {wanted}


def test_climbing_alone_may_be_longer_than_usual_while_building() -> None:
    kinds = (Kind.RETURN,)
    climb = recipe("climb", needs=("wall",), kinds=kinds, minutes=60, most_minutes=90)
    legs = recipe("legs", kinds=kinds, minutes=30, most_minutes=60)
    book = {one.id: one for one in (climb, legs)}
    for longer in (False, True):
        order = Order(
            Kind.RETURN, (("climb",), ("legs",)), 2000.0, FingerAsk(), climb_longer=longer
        )
        items = compose(frame([120] * 7, book), order, book=book)
        most = Counter[str]()
        for one in items:
            most[one.recipe.id] = max(most[one.recipe.id], one.minutes)
        assert most == {"climb": 90 if longer else 60, "legs": 30}


# --- courses --------------------------------------------------------------------------------------


def test_only_hurt_arms_are_served_them() -> None:
    arms = [one for one in elbow()[1].sessions if one.recipe == "return-arms"]
    assert arms and {one.block.split("-")[0] for one in arms} == {"return"}
    pulled = {one.recipe for one in elbow()[1].sessions if one.block.startswith("return-")}
    assert not {"pulling-strength", "antagonists"} & pulled
    knee = read_year(ELBOW.replace('part = "elbow"', 'part = "knee"'), file="year.toml")
    serving = Serving(Almanac(knee))
    assert ("return-arms",) not in serving.courses("return", day(0))
