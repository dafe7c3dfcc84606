"""Courses in order of need, hangs apart and days on rock, in weeks worked out by hand."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import Any

import pytest
from plan_maker import day
from small_week import BOOK, frame, item, on_rock

from seasonplan.planner.compose import compose
from seasonplan.planner.fingers import FingerAsk, Hang
from seasonplan.planner.rock_day import RockDay
from seasonplan.planner.standing import Item
from seasonplan.planner.week_order import FIT, Order
from seasonplan.planner.weeks import over_share
from seasonplan.recipes import Recipe
from seasonplan.rules.statements import standard_book
from seasonplan.rules.tables import composing, rock_day_table
from seasonplan.vocabulary import CHOSEN, Kind, RockRole


def composed(
    times: Sequence[Any], order: Order, *, book: Mapping[str, Recipe] = BOOK, **fields: Any
) -> tuple[Item, ...]:
    done = fields.pop("done", ())
    return compose(frame(times, list(book), **fields), order, book=book, done=done)


def an_order(*courses: str, **fields: Any) -> Order:
    values: dict[str, Any] = {
        "kind": Kind.BASE, "courses": tuple((one,) for one in courses), "aim": 1e6,
        "fingers": FingerAsk(), "whole": 1e6,
    }  # fmt: skip
    return Order(**(values | fields))


# --- rock -----------------------------------------------------------------------------------------

ROCK = {1: on_rock(1, RockRole.EASY, worth=0.3), 3: on_rock(3, worth=0.9),
        6: on_rock(6, RockRole.EASY, worth=0.5)}  # fmt: skip


def rock_of(
    kind: Kind, rock: Mapping[int, RockDay] = ROCK, *, from_50: bool = False, **fields: Any
) -> list[Item]:
    days = {n: {"rock": one, "away": one.away} for n, one in rock.items()}
    items = composed([0] * 7, an_order(kind=kind, **fields), days=days, from_50=from_50)
    assert all(one.role is not None for one in items)
    return list(items)


def test_a_season_uses_every_chosen_day_and_its_light_week_the_best_of_them() -> None:
    found = rock_of(Kind.PERFORMANCE)
    assert [(one.day, one.role) for one in found] == [(day(n), one.role) for n, one in ROCK.items()]
    assert [(one.start, one.minutes, one.rock) for one in found] == [(600, 240, "season")] * 3
    assert [one.day for one in rock_of(Kind.PERFORMANCE, light=True)] == [day(3)]


def test_base_and_strength_use_one_easy_day_and_rest_and_light_weeks_none() -> None:
    for kind in (Kind.BASE, Kind.STRENGTH):
        (one,) = rock_of(kind)
        assert (one.role, one.recipe.id) == (RockRole.EASY, "rock-easy")
        assert one.minutes < 240 or one.day != day(3)
        assert rock_of(kind, light=True) == []
    assert rock_of(Kind.REST) == []


def test_a_project_day_that_base_makes_easy_is_shorter_and_an_easy_one_as_it_was() -> None:
    """By hand: 0.6 of 240 minutes, on a quarter of an hour; worth what an easy day is."""
    assert rock_day_table().easy_share == 0.6
    for kind in (Kind.BASE, Kind.STRENGTH):
        assert [one.minutes for one in rock_of(kind, {3: on_rock(3)})] == [135]
        easy = rock_of(kind, {3: on_rock(3, RockRole.EASY)})
        assert [(one.minutes, one.start) for one in easy] == [(240, 600)]
        none = {3: on_rock(3, easier=None)}
        assert rock_of(kind, none) == []


def test_days_away_and_wished_days_are_gone_to_in_any_block() -> None:
    rock = {2: replace(ROCK[3], day=day(2), away=True), 5: on_rock(5, RockRole.EASY, counts=0.0)}
    for kind in CHOSEN:
        assert [one.day for one in rock_of(kind, rock)] == [day(2), day(5)]


@pytest.mark.parametrize(("from_50", "most"), [(False, 1.2), (True, 1.0)])
def test_days_at_home_are_no_more_together_than_a_share_of_a_weeks_load(
    from_50: bool, most: float
) -> None:
    """Shorter, but no shorter than a day on rock is; `rock_share` of shared/weeks.toml."""
    table = rock_day_table()
    for whole in (800.0, 2500.0, 5000.0, 1e6):
        found = rock_of(Kind.PERFORMANCE, whole=whole, from_50=from_50)
        load = sum(one.load for one in found)
        shortest = all(one.minutes <= max(table.shortest_minutes, one.recipe.least_minutes)
                       for one in found)  # fmt: skip
        assert load <= most * whole or shortest
        assert all(one.minutes <= 240 for one in found)
    assert [one.minutes for one in found] == [240] * 3


@pytest.mark.parametrize(
    ("minutes", "whole", "roles"),
    [(120, 1600, ["easy", "project"]), (120, 2000, ["project", "project"]),
     (150, 1600, ["easy", "project"]), (150, 2100, ["project", "project"]),
     (240, 3300, ["project", "project"])],
)  # fmt: skip
def test_of_two_projects_that_the_load_leaves_no_time_for_tries_one_is_an_easy_day(
    minutes: int, whole: float, roles: list[str]
) -> None:
    """An effort of 8: 120 minutes are 960, 150 are 1200; together no more than 1.2 of the week."""
    assert FIT.rock_share == 1.2 and rock_day_table().project_minutes == 150
    two = {n: on_rock(n, minutes=minutes, worth=n / 10) for n in (2, 5)}
    found = rock_of(Kind.PERFORMANCE, two, whole=whole)
    assert [str(one.role) for one in found] == roles
    assert sum(one.load for one in found) <= 1.2 * whole
    alone = rock_of(Kind.PERFORMANCE, {5: two[5]}, whole=whole)
    assert [str(one.role) for one in alone] == ["project"]


# --- courses in order of need ---------------------------------------------------------------------


def test_courses_come_in_order_of_need_until_the_aim_is_reached() -> None:
    """Two evenings of an hour: who aims at one session gets the first course."""
    for first, second in (("long", "walled"), ("walled", "long")):
        one = BOOK[first]
        items = composed([60, 0, 0, 60, 0, 0, 0], an_order(first, second, aim=one.rpe * 60))
        assert [item.recipe.id for item in items] == [first]
        both = composed([60, 0, 0, 60, 0, 0, 0], an_order(first, second))
        assert {item.recipe.id for item in both} == {first, second}


def test_nothing_is_added_once_a_week_holds_nearly_what_it_aims_at() -> None:
    """By hand: an hour at effort 6 is 360; 0.97 of 365 is less, of 372 it is more."""
    assert FIT.full == 0.97
    for aim, names in ((365.0, {"walled"}), (372.0, {"walled", "mobility"})):
        items = composed([60, 60, 0, 0, 0, 0, 0], an_order("walled", "mobility", aim=aim))
        assert {one.recipe.id for one in items} == names


def test_of_a_course_the_first_recipe_that_can_be_done_is_taken() -> None:
    order = an_order(courses=(("walled", "outside"),), aim=300.0)
    assert [one.recipe.id for one in composed([0, 60, 0, 0, 0, 0, 0], order)] == ["walled"]
    barred = composed([0, 60, 0, 0, 0, 0, 0], order, days={1: {"allowed": frozenset(["outside"])}})
    assert barred == ()  # in the evening there is no daylight
    noon = composed([[], [(720, 780)], *[[]] * 5], order,
                    days={1: {"allowed": frozenset(["outside"])}})  # fmt: skip
    assert [one.recipe.id for one in noon] == ["outside"]
    short = composed([0, 20, 0, 0, 0, 0, 0], an_order(courses=(("long", "mobility"),)))
    assert [one.recipe.id for one in short] == ["mobility"]


def test_hard_courses_are_done_once_a_week_and_easy_ones_again() -> None:
    items = composed([60] * 7, an_order("limit", "long"))
    counted = Counter(one.recipe.id for one in items)
    assert counted["limit"] == 1 and counted["long"] >= 3


def test_a_light_week_holds_the_first_of_its_hard_courses_and_no_other() -> None:
    times = [90] * 7
    for first, second in (("limit", "pull"), ("pull", "limit")):
        light = composed(times, an_order(first, second, "long", light=True))
        full = composed(times, an_order(first, second, "long"))
        assert {first, second} <= {one.recipe.id for one in full}
        assert {first, second} & {one.recipe.id for one in light} == {first}


def test_the_same_course_lies_on_days_far_apart() -> None:
    """Three hours of one course in a week of free evenings: two days between are enough."""
    days = [one.day for one in composed([60] * 7, an_order("walled", aim=3 * 6.0 * 60))]
    assert days == [day(0), day(3), day(6)]


def test_a_long_session_goes_on_a_long_day_and_a_short_one_leaves_it_free() -> None:
    times = [45, 0, 150, 0, 45, 0, 0]
    one = composed(times, an_order("long", aim=5.0 * 120, over=1.0))
    assert [(item.day, item.minutes) for item in one] == [(day(2), 120)]
    short = composed(times, an_order("pull", aim=8.0 * 45))
    assert [item.day for item in short] == [day(0)]


def test_hangs_lie_as_far_apart_as_the_week_lets_them() -> None:
    for sessions, apart in ((1, 7), (2, 3), (3, 2)):
        ask = FingerAsk((Hang("hang", 2 * sessions, sessions),))
        days = [one.day for one in composed([30] * 7, an_order(fingers=ask))]
        assert len(days) == sessions
        assert all((b - a).days >= apart for a, b in pairwise(days))


def test_hangs_of_a_week_are_shared_out_evenly_over_its_days() -> None:
    for count, shares in ((4, [2, 2]), (5, [2, 3]), (7, [3, 4]), (12, [6, 6]), (20, [6, 6])):
        ask = FingerAsk((Hang("hang", count, 2),))
        items = composed([30] * 7, an_order(fingers=ask))
        assert sorted(one.hangs for one in items) == shares
    short = composed([16, 0, 0, 0, 30, 0, 0], an_order(fingers=FingerAsk((Hang("hang", 8, 2),))))
    assert [one.hangs for one in short] == [2, 6]  # two fit into a quarter of an hour


def test_two_sorts_of_hard_hangs_keep_their_days_apart_too() -> None:
    both = (Hang("hang", 2, 1), Hang("hang", 2, 1))
    for between, sessions in ((0, 2), (1, 1)):
        ask = FingerAsk(both, between=between)
        assert len(composed([0, 0, 0, 0, 0, 60, 60], an_order(fingers=ask))) == sessions


def test_hard_hangs_that_were_done_in_these_seven_days_count() -> None:
    """The last four days of a week: the fourth day before them is more than seven days ago."""
    ask = FingerAsk((Hang("hang", 6, 3),), most_hard=3)
    for done, left in (((), 3), ((-4,), 3), ((-3,), 2), ((-3, -2), 1), ((-5, -3), 2)):
        over = [item(BOOK["hang"], n) for n in done]
        items = composed([30, 30, 30, 30], an_order(fingers=ask), done=over)
        assert len(items) == left, done


def test_a_session_of_hangs_lasts_as_long_as_its_warm_up_and_hangs() -> None:
    """Ten minutes and two for each, on a step of five; no shorter than its recipe."""
    for count, minutes in ((2, 15), (4, 20), (5, 20), (6, 25)):
        ask = FingerAsk((Hang("hang", count, 1),))
        (one,) = composed([60, 0, 0, 0, 0, 0, 0], an_order(fingers=ask))
        assert (one.hangs, one.minutes) == (count, minutes)


def test_hangs_leave_the_only_long_day_to_what_the_block_is_named_for() -> None:
    """Two hang days of which one alone could hold climbing."""
    ask = FingerAsk((Hang("hang", 6, 2),))
    times = [30, 0, 0, 60, 0, 0, 0]
    kept = composed(times, an_order("walled", fingers=ask, makes=frozenset({"walled"})))
    assert {one.recipe.id for one in kept} == {"hang", "walled"}
    assert [one.day for one in kept if one.recipe.id == "walled"] == [day(3)]


def test_the_climbers_own_limit_makes_a_week_fuller_by_no_more_than_it_says() -> None:
    book = standard_book()
    assert over_share(book) == composing().fit.over == 1.05
    assert over_share(book.with_limit("session-dose", 2)) == pytest.approx(1.02)
    assert over_share(book.with_limit("session-dose", 30)) == 1.05
    assert over_share(book.without("session-dose")) == 1.05
