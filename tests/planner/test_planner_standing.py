"""Where sessions of a week may stand, hour by hour and day by day, against every other way."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations, permutations, product
from typing import Any

import pytest
from plan_maker import day
from small_week import (
    frame,
    hangs,
    hard,
    hold,
    in_order,
    item,
    may_stand,
    on_rock,
    recipe,
    standing,
    stands_clear,
)

from seasonplan.planner.rock_day import RockDay
from seasonplan.planner.standing import TEST, Standing
from seasonplan.recipes import Need, Recipe
from seasonplan.rules.tables import composing, usual_hours
from seasonplan.vocabulary import RockRole, Tissue

EASY, SOFT = recipe("easy", rpe=1.0), recipe("soft")
HARD, HANG, LIGHT = hard("hard"), hangs("hang"), hangs("light", share=0.3)
ALL = (EASY, SOFT, HARD, HANG, LIGHT)
NAMES = tuple(one.id for one in ALL)
WEEK = [120] * 7
DAWN, DUSK = (60 * usual_hours()[f"daylight_{edge}"] for edge in ("begins", "ends"))


def open_to(at: Standing, *numbers: int) -> dict[int, set[str]]:
    """The recipes that may stand on each of these days."""
    return {n: {one.id for one in ALL if may_stand(at, n, one)} for n in numbers}


# --- hours ----------------------------------------------------------------------------------------


def test_a_session_takes_the_shortest_free_time_that_holds_it() -> None:
    """So the long one stays for what needs it."""
    for times in permutations([(300, 400), (600, 640), (700, 900)]):
        at = standing(frame([sorted(times)]))
        assert at.slot(0, SOFT, 30) == (600, 40)
        assert at.slot(0, SOFT, 40) == (600, 40)
        assert at.slot(0, SOFT, 41) == (300, 100)
        assert at.slot(0, SOFT, 101) == (700, 200)
        assert at.slot(0, SOFT, 201) is None


def test_the_way_to_a_wall_is_no_time_on_it() -> None:
    wall = recipe("wall", needs=(Need.WALL,))
    at = standing(frame([[(600, 700)]], wall_travel=20))
    assert at.slot(0, wall, 60) == (600, 60)
    assert at.slot(0, wall, 61) is None
    assert at.slot(0, SOFT, 100) == (600, 100)


def test_what_needs_light_begins_between_dawn_and_dusk() -> None:
    out = recipe("out", needs=(Need.DAYLIGHT,))
    early, late = DAWN - 90, DUSK - 5
    at = standing(frame([[(early, DAWN + 60)], [(late, late + 200)], [(DUSK, DUSK + 99)]]))
    assert at.slot(0, out, 30) == (DAWN, 60)
    assert at.slot(1, out, 30) == (late, 200)
    assert at.slot(2, out, 30) is None and at.slot(2, SOFT, 30) == (DUSK, 99)


def test_what_is_put_somewhere_leaves_the_rest_of_its_free_time() -> None:
    at = standing(frame([[(600, 700), (1000, 1100)]]))
    at.put(0, item(SOFT, 0, start=600, minutes=33))
    assert at.days[0].left == [(635, 700), (1000, 1100)]  # on a step of five minutes
    at.put(0, item(SOFT, 0, start=635, minutes=56))
    assert at.days[0].left == [(1000, 1100)]  # what is left is too short for anything
    assert at.load == pytest.approx(5.0 * (33 + 56))


def test_a_day_on_rock_leaves_no_time_at_home() -> None:
    at = standing(frame([120, 120]))
    at.put(0, item(HARD, 0, role=RockRole.PROJECT))
    assert at.days[0].left == [] and at.days[1].left


def test_ways_before_and_after_a_session_are_taken_from_its_free_time() -> None:
    wall = recipe("wall", needs=(Need.WALL,))
    at = standing(frame([[(600, 800)]], wall_travel=20))
    at.put(0, item(wall, 0, start=620, minutes=60))
    assert at.days[0].left == [(700, 800)]


def test_fresh_work_comes_first_and_nothing_overlaps_in_any_order() -> None:
    """All orders of three sessions put into one free time come out as the same hours."""
    some = [recipe(name, order=order, minutes=30) for name, order in (("a", 3), ("b", 1), ("c", 2))]
    found = set()
    for row in permutations(some):
        at = standing(frame([[(600, 800)]]))
        for n, one in enumerate(row):
            at.put(0, item(one, 0, start=600 + 30 * n, minutes=30))
        items = in_order(at, at.days[0].items)
        found.add(tuple((one.recipe.id, one.start) for one in items))
    assert found == {(("b", 600), ("c", 630), ("a", 660))}


def test_a_test_comes_before_other_fresh_work_of_the_same_time() -> None:
    names = ("drills", TEST, "a-hang")
    some = [recipe(n, order=0, minutes=30, hang_seconds=7 * (n == "a-hang")) for n in names]
    at = standing(frame([[(600, 800)]]))
    items = [item(one, 0, start=600 + 30 * n, minutes=30) for n, one in enumerate(some)]
    assert [one.recipe.id for one in in_order(at, items)] == [TEST, "a-hang", "drills"]


def test_who_is_at_the_wall_does_the_next_thing_there_before_going_home() -> None:
    wall, other = (recipe(n, needs=(Need.WALL,), order=o) for n, o in (("wall", 1), ("more", 2)))
    at = standing(frame([[(600, 900)]], wall_travel=20))
    items = [item(one, 0, start=620, minutes=60) for one in (wall, other)]
    assert [one.start for one in in_order(at, items)] == [620, 680]
    mixed = [item(wall, 0, start=620), item(SOFT, 0, start=700)]
    assert [one.start for one in in_order(at, mixed)] == [620, 700]  # the way home lies between


def test_light_that_would_end_too_late_goes_before_fresh_work() -> None:
    """Fresh work first would push what needs light past the end of the free time."""
    out = recipe("out", needs=(Need.DAYLIGHT,), order=1)
    at = standing(frame([[(DAWN - 60, DAWN + 60)]]))
    items = [item(SOFT, 0, start=DAWN - 60), item(out, 0, start=DAWN)]
    starts = {one.recipe.id: one.start for one in in_order(at, items)}
    assert starts == {"soft": DAWN - 60, "out": DAWN}


def test_sessions_of_two_free_times_stay_in_their_own() -> None:
    at = standing(frame([[(600, 700), (1000, 1100)]]))
    first, last = recipe("late", order=4), recipe("early", order=0)
    items = [item(first, 0, start=600), item(last, 0, start=1000)]
    assert {one.recipe.id: one.start for one in in_order(at, items)} == {"late": 600, "early": 1000}


# --- how many on a day ----------------------------------------------------------------------------


@pytest.mark.parametrize("long", [False, True])
def test_a_day_is_full_after_two_sessions_or_three_where_it_is_long(long: bool) -> None:
    limits = composing().day
    at = standing(frame([limits.long_minutes - (not long)]))
    most = limits.most_if_long if long else limits.most
    for n in range(most):
        assert not at.days[0].full
        hold(at, 0, item(recipe(f"r{n}"), 0))
    assert at.days[0].full


def test_short_hangs_fill_no_day_and_long_ones_do() -> None:
    upto = composing().day.short_hang_minutes
    for minutes, full in ((upto, False), (upto + 1, True)):
        at = standing(frame([60]))
        hold(at, 0, item(SOFT, 0))
        hold(at, 0, item(HANG, 0, minutes=minutes))
        assert at.days[0].full is full
        assert at.days[0].hangs and at.days[0].hard


def test_a_test_counts_as_hangs() -> None:
    at = standing(frame([60, 60]))
    hold(at, 0, item(recipe(TEST), 0))
    hold(at, 1, item(SOFT, 1))
    assert [one.hangs for one in at.days] == [True, False]
    assert [one.hard for one in at.days] == [False, False]


# --- which days -----------------------------------------------------------------------------------


def test_nothing_stands_on_days_kept_free_or_away_nor_what_the_body_forbids() -> None:
    days = {0: {"rest": True}, 1: {"away": True}, 2: {"allowed": frozenset(["soft"])}}
    at = standing(frame(WEEK, NAMES, days=days))
    assert open_to(at, 0, 1, 2, 3) == {0: set(), 1: set(), 2: {"soft"}, 3: set(NAMES)}


def test_the_first_days_back_hold_nothing_above_their_effort() -> None:
    at = standing(frame(WEEK, NAMES, days={0: {"easy": True}}))
    assert open_to(at, 0)[0] == {one.id for one in ALL if one.rpe <= 6.0}  # blocks.toml: easy_rpe


def test_days_without_finger_work_hold_no_hangs_however_light() -> None:
    at = standing(frame(WEEK, NAMES, days={0: {"fingers": False}}))
    assert open_to(at, 0)[0] == {"easy", "soft"}


def project_on(*numbers: int, **fields: object) -> Standing:
    """A week with projects on these days."""
    week = frame(WEEK, NAMES, **fields)  # type: ignore[arg-type]
    return Standing(week, in_a_row=2, rock=[(n, on_rock(n)) for n in numbers])


def test_the_eve_of_a_project_and_a_day_between_two_hold_only_what_is_easy() -> None:
    at = project_on(2, 4)
    assert open_to(at, 1) == {1: {"easy"}}
    assert open_to(at, 3) == {3: {"easy"}}
    assert open_to(at, 2, 4) == {2: set(), 4: set()}  # days on rock are full
    assert open_to(at, 0, 5) == {0: set(NAMES), 5: set(NAMES)}


def test_after_two_days_on_rock_running_only_mobility() -> None:
    at = project_on(2, 3)
    assert open_to(at, 4)[4] == {"easy"}
    assert open_to(at, 5)[5] == set(NAMES)


def test_days_around_the_week_are_looked_at_too() -> None:
    """A project on the day after it makes an eve of its last day, two before it a day of rest."""
    after: tuple[RockDay, ...] = (on_rock(7),)
    assert open_to(project_on(rock_near=after), 6)[6] == {"easy"}
    before = (on_rock(-2), on_rock(-1))
    assert open_to(project_on(rock_near=before), 0)[0] == {"easy"}
    assert open_to(project_on(trips_begin=(day(7),)), 6)[6] == {"easy"}
    easy = (on_rock(7, RockRole.EASY),)
    assert open_to(project_on(rock_near=easy), 6)[6] == set(NAMES)


def test_the_last_two_days_before_a_trip_hold_nothing_hard() -> None:
    at = project_on(trips_begin=(day(7),))
    soft = {one.id for one in ALL if not one.hard_on}
    assert soft < set(NAMES)
    assert open_to(at, 4, 5) == {4: set(NAMES), 5: soft}


@pytest.mark.parametrize("first", [{"fresh": True}, {"first": True, "away": True}])
def test_before_tries_begin_the_fingers_are_kept_fresh_for_as_long_as_the_rule_says(
    first: dict[str, bool],
) -> None:
    opens = project_on(rock_near=(on_rock(7, RockRole.EASY, first=True),), fresh_days=4)
    assert all(may_stand(opens, n, HANG) for n in range(7))
    for days in range(5):
        at = project_on(rock_near=(on_rock(7, RockRole.EASY, **first),), fresh_days=days)
        kept = {n for n in range(7) if not may_stand(at, n, HANG)}
        assert kept == set(range(7 - days, 7))
        assert all(may_stand(at, n, SOFT) and may_stand(at, n, LIGHT) for n in range(7))


def test_the_day_before_a_test_holds_no_hangs_and_nothing_hard() -> None:
    at = standing(frame(WEEK, NAMES))
    at.test_day = 4
    assert open_to(at, 3)[3] == {"easy", "soft"}
    assert open_to(at, 2, 5) == {2: set(NAMES), 5: set(NAMES)}


# --- hard work keeps its distance -----------------------------------------------------------------

ELBOWS = hard("elbows", Tissue.ELBOWS)
LONG = hard("long", days=3)


def keeps_distance(some: Sequence[tuple[int, Recipe]]) -> bool:
    """By the words of the rule: whole days between two uses of one tissue, in either order, as
    the earlier one wants; and never three days running with hard use of anything."""
    for (n, one), (k, other) in combinations(sorted(some, key=lambda use: use[0]), 2):
        if one.hard_on & other.hard_on and k - n <= one.days_between:
            return False
    days = {n for n, _ in some}
    return not any({n, n + 1, n + 2} <= days for n in days)


def test_hard_sessions_are_clear_just_where_they_keep_their_distance() -> None:
    """All of two that stand, and one more, on all days of a week."""
    kinds, checked = (HARD, ELBOWS, LONG), {True: 0, False: 0}
    week = frame(WEEK)
    for n, k in combinations(range(7), 2):
        for one, other in product(kinds, repeat=2):
            stand = [(n, one), (k, other)]
            if not keeps_distance(stand):
                continue
            at = standing(week)
            for number, each in stand:
                at.put(number, item(each, number))
            for number, third in product(range(7), kinds):
                if number in (n, k):
                    continue
                wanted = keeps_distance([*stand, (number, third)])
                checked[wanted] += 1
                assert at.clear(number, third) is wanted, (stand, number, third.id)
    assert min(checked.values()) > 100


def test_hard_rock_and_sessions_that_are_over_count_over_the_edge_of_the_week() -> None:
    at = standing(frame(WEEK, rock_near=(on_rock(-1), on_rock(7))))
    assert [at.clear(n, HARD) for n in (0, 1, 5, 6)] == [False, True, True, False]
    done = standing(frame(WEEK), done=[item(LONG, -2)])
    assert [done.clear(n, HARD) for n in range(4)] == [False, False, True, True]


def test_what_is_not_hard_stands_anywhere() -> None:
    at = standing(frame(WEEK, rock_near=(on_rock(-1),)))
    at.put(3, item(HARD, 3))
    assert all(at.clear(n, SOFT) for n in range(7))


def test_hard_work_reaches_into_no_day_that_next_week_may_use() -> None:
    """`days` whole days after it must be closed at home, or lie in this week."""
    for opens in product([False, True], repeat=3):
        at = standing(frame(WEEK, ["long"], open_after=opens))
        for n in range(3, 7):
            reached = opens[: max(0, LONG.days_between - (6 - n))]
            assert stands_clear(at, n, LONG) is not any(reached), (opens, n)


def test_fingers_keep_a_day_from_next_week_where_two_days_running_are_the_most() -> None:
    daily = hangs("daily", spacing=12.0)
    for in_a_row, clear in ((2, False), (3, True)):
        at = standing(frame(WEEK, ["daily"], open_after=(True,)), in_a_row=in_a_row)
        assert stands_clear(at, 6, daily) is clear and stands_clear(at, 5, daily)


@pytest.mark.parametrize("in_a_row", [2, 3])
def test_fingers_are_used_hard_on_no_more_days_running_than_the_split_allows(in_a_row: int) -> None:
    daily = hangs("daily", spacing=12.0)
    for some in (set(c) for size in range(5) for c in combinations(range(7), size)):
        if longest_run(some) > in_a_row:
            continue
        at = standing(frame(WEEK), in_a_row=in_a_row)
        for n in some:
            at.put(n, item(daily, n))
        for n in set(range(7)) - some:
            assert at.clear(n, daily) is (longest_run(some | {n}) <= in_a_row)
        for more in combinations(sorted(set(range(7)) - some), 2):
            assert at.runs_fit(more, daily) is (longest_run(some | set(more)) <= in_a_row)


def longest_run(days: set[int]) -> int:
    return max((sum(1 for _ in _run(days, n)) for n in days), default=0)


def _run(days: set[int], n: int) -> list[int]:
    found = []
    while n in days:
        found.append(n)
        n += 1
    return found


FINGERS = frozenset({Tissue.FINGERS})


def test_from_50_hard_work_keeps_the_longer_distance() -> None:
    older = hard("older", days=1, spacing_hours_from_50=96.0)
    for from_50, days in ((False, 1), (True, 3)):
        at = standing(frame(WEEK, from_50=from_50))
        assert at.frame.fit(older).gap == days
        at.put(0, item(older, 0))
        assert [n for n in range(1, 7) if at.clear(n, older)] == list(range(days + 1, 7))


def test_a_fourth_day_since_the_last_free_one_is_kept_light_in_the_split_that_hangs_often() -> None:
    def kept_light(since: int | None, *, in_a_row: int = 3, **fields: Any) -> set[int]:
        at = standing(frame(WEEK, NAMES, since_free=since, **fields), in_a_row=in_a_row)
        return {n for n in range(7) if not may_stand(at, n, HARD)}

    for since in range(9):
        expected, row = set(), since % 4
        for n in range(7):  # three days, then a light one
            row += 1
            if row == 4:
                expected.add(n)
                row = 0
        assert kept_light(since) == expected
    assert kept_light(None) == kept_light(0, in_a_row=2) == set()
    assert kept_light(3, days={0: {"rest": True}}) == {0, 4}


LIMIT = hard("limit", stress=3)


@pytest.mark.parametrize(
    ("since", "barred"), [(0, set()), (1, {1}), (2, {0, 1}), (3, {0}), (4, set()), (None, set())]
)
def test_tries_at_the_limit_do_not_end_a_row_of_days_that_began_in_the_week_before(
    since: int | None, barred: set[int]
) -> None:
    """Free in the middle of the week: three days running from its fourth day on are its own."""
    at = standing(frame(WEEK, [LIMIT.id], since_free=since, days={2: {"rest": True}}), in_a_row=3)
    assert {0, 1, 3, 4, 5} - {*at.open(LIMIT)} == barred


@pytest.mark.parametrize(("tissue", "row"), [("wrists", 1), ("elbows", 1), ("knees", 2)])
def test_hard_use_of_fingers_is_not_on_following_days_where_hand_or_arm_has_just_come_back(
    tissue: str, row: int
) -> None:
    at = standing(frame(WEEK, NAMES, spared=frozenset({Tissue(tissue)}), most_hard=3))
    assert at.runs_fit([1], LIMIT) and at.runs_fit([1, 3], LIMIT)
    assert at.runs_fit([1, 2], LIMIT) == (row == 2)
