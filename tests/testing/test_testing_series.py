"""Rows of the diary as series, tests of the year as the climber writes them, the own error."""

from __future__ import annotations

from math import log, sqrt

import pytest
from testing_stage import FIRST, HANG, PULL, on, tries, weights, year

from seasonplan.days import Span
from seasonplan.plan import Block
from seasonplan.testing import series_of, study_of
from seasonplan.testing.change import change_in
from seasonplan.testing.error import error_of, pairs
from seasonplan.testing.level import levels
from seasonplan.testing.plateau import Trend, standing_of
from seasonplan.vocabulary import Kind, Quality, Side
from seasonplan.year import OwnTest

# --- series ---------------------------------------------------------------------------------------


def test_several_rows_on_a_day_are_tries_of_one_test() -> None:
    (found,) = series_of(year(PULL), tries("Pull", {3: (40, 42, 41), 0: 39}), day=on(9))
    assert [(r.day, r.tries) for r in found.results] == [(on(0), (39,)), (on(3), (40, 42, 41))]
    assert found.results[1].mean == 41


@pytest.mark.parametrize(
    "other",
    [{"what": "Pull (18 mm)"}, {"unit": "lb"}, {"side": Side.LEFT}],
    ids=["another edge", "another unit", "another side"],
)
def test_done_otherwise_is_another_series(other: dict[str, str]) -> None:
    cells = {"what": "Pull", "unit": "kg", "side": Side.RIGHT, **other}
    rows = tries("Pull", {0: 40, 7: 41}, side=Side.RIGHT) + tries(
        cells.pop("what"), {9: 60}, **cells
    )
    found = series_of(year(PULL), rows, day=on(9))
    assert sorted(len(one.results) for one in found) == [1, 2]


def test_the_usual_grip_in_brackets_is_the_same_series_in_any_case() -> None:
    rows = tries("pull (20 MM)", {0: 40}) + tries("PULL", {7: 41})
    assert len(series_of(year(PULL), rows, day=on(9))) == 1


def test_both_hands_and_no_hand_are_one_series() -> None:
    rows = tries("Pull", {0: 40}, side=Side.BOTH) + tries("Pull", {7: 41})
    assert len(series_of(year(PULL), rows, day=on(9))) == 1


def test_results_from_before_a_change_are_a_series_of_their_own() -> None:
    changed = OwnTest(name="Pull", like="edge-pull", since=on(5))
    earlier, later = sorted(
        series_of(year(changed), tries("Pull", {0: 40, 4: 40, 5: 50}), day=on(9)),
        key=lambda one: not one.earlier,
    )
    assert (len(earlier.results), len(later.results)) == (2, 1)
    assert earlier.name == "Pull (as done before)"


def test_days_to_come_do_not_count() -> None:
    (found,) = series_of(year(PULL), tries("Pull", {0: 40, 8: 50}), day=on(7))
    assert len(found.results) == 1


def test_a_test_named_as_a_usual_one_needs_no_entry() -> None:
    (found,) = series_of(year(), tries("finger PULL", {0: 40}), day=on(1))
    assert found.test.usual == "edge-pull" and found.test.quality is Quality.FINGER_STRENGTH


def test_a_test_that_nobody_wrote_down_repeats_as_the_unknown() -> None:
    found = series_of(year(), tries("Odd", {0: 4}, unit="s") + tries("Span", {0: 9}, unit="cm"),
                      day=on(1))  # fmt: skip
    assert [(one.test.error, one.test.scale) for one in found] == [
        (10.0, "percent"),
        (4.0, "plain"),
    ]


def test_load_added_to_the_body_is_per_cent_of_both() -> None:
    rows = weights(70, 0) + tries("Hang", {0: -10, 10: 10})
    (found,) = series_of(year(HANG), rows, day=on(20))
    first, second = found.judged
    assert found.at(second) - found.at(first) == pytest.approx(100 * log(80 / 60))
    assert found.told(found.at(second)) == pytest.approx(80)


def test_body_weight_counts_for_the_days_around_it_only() -> None:
    rows = weights(70, 0) + tries("Hang", {14: 10, 15: 10})
    (found,) = series_of(year(HANG), rows, day=on(20))
    assert [result.day for result in found.judged] == [on(14)]


def test_body_weight_in_pounds_is_turned_into_the_unit_of_the_test() -> None:
    """The pound is 0.45359237 kg (international agreement of 1959)."""
    rows = weights(154, 0, unit="lb") + tries("Hang", {0: 10})
    assert series_of(year(HANG), rows, day=on(1))[0].judged[0].body == pytest.approx(69.85322498)
    rows = weights(70, 0) + tries("Hang", {0: 22}, unit="lb")
    assert series_of(year(HANG), rows, day=on(1))[0].judged[0].body == pytest.approx(
        70 / 0.45359237
    )


def test_where_less_is_better_less_is_a_gain() -> None:
    laps = OwnTest(name="Hill", like="uphill")
    (found,) = series_of(year(laps), tries("Hill", {0: 30, 30: 27}, unit="min"), day=on(40))
    first, second = found.judged
    assert found.gain_told(found.at(second) - found.at(first)) == pytest.approx(10.0)
    assert found.told(found.at(second)) == pytest.approx(27)


def test_lengths_in_another_unit_repeat_as_the_unknown() -> None:
    step = OwnTest(name="Step", like="high-step")
    rows = tries("Step", {0: 100}, unit="cm") + tries("Step", {0: 40}, unit="in")
    rows += tries("Step", {0: 4}, unit="bricks")
    found = {one.unit: one.test for one in series_of(year(step), rows, day=on(1))}
    assert {unit: (test.error, test.scale) for unit, test in found.items()} == {
        "cm": (3.0, "plain"), "in": (4.0, "plain"), "bricks": (10.0, "percent"),
    }  # fmt: skip


def test_a_body_weight_of_nothing_is_none() -> None:
    rows = weights(0, 0) + tries("Hang", {0: 10})
    assert series_of(year(HANG), rows, day=on(1))[0].judged == ()


# --- the own error --------------------------------------------------------------------------------


def test_own_pairs_within_ten_days_tell_the_own_error() -> None:
    """By hand: three pairs of 6 per cent; day 60 is no pair of anything."""
    step = 1.0618365465453596  # exp(0.06)
    rows = tries(
        "Pull", {0: 40, 10: 40 * step, 20: 40, 25: 40 * step, 40: 40, 41: 40 * step, 60: 90}
    )
    (found,) = series_of(year(PULL), rows, day=on(70))
    assert pairs(found) == pytest.approx([6.0] * 3)
    assert error_of(found).sd == pytest.approx(sqrt((6 * 9 + 3 * 18) / 9))


def test_two_weeks_apart_are_no_pair() -> None:
    (found,) = series_of(year(PULL), tries("Pull", {0: 40, 11: 44}), day=on(30))
    assert pairs(found) == []


def test_training_between_two_tests_makes_them_no_pair() -> None:
    (found,) = series_of(year(PULL), tries("Pull", {0: 40, 7: 44}), day=on(9))
    assert len(pairs(found, training=[Span(on(8), on(30))])) == 1
    assert pairs(found, training=[Span(on(3), on(5))]) == []


def test_rest_blocks_of_the_plan_are_no_training() -> None:
    rows = tries("Pull", {0: 40, 7: 44})
    counts = {
        kind: study_of(
            year(PULL), rows, day=on(9),
            blocks=[Block(id="b", kind=kind, span=Span(on(0), on(21)), weeks=())],
        ).judged[0].error.pairs  # type: ignore[union-attr]
        for kind in (Kind.REST, Kind.STRENGTH, Kind.BASE)
    }  # fmt: skip
    assert counts == {Kind.REST: 1, Kind.STRENGTH: 0, Kind.BASE: 0}


def test_from_fifteen_tests_on_the_wandering_is_ones_own() -> None:
    """Results that never move make the level straighter than the usual wandering does."""
    flat = {4 * n: 40 + (0.5 if n % 2 else -0.5) for n in range(15)}
    spread = []
    for results in (dict(list(flat.items())[:14]), flat):
        (found,) = series_of(year(PULL), tries("Pull", results), day=on(99))
        spread.append(levels(found, 3.0)[-1].sd)
    assert spread[1] < spread[0] / 1.5


# --- the two sides of a change --------------------------------------------------------------------


def sides(*days: int) -> tuple[list[int], list[int]] | None:
    """Days of the tests before and after that are compared."""
    (found,) = series_of(year(PULL), tries("Pull", dict.fromkeys(days, 40)), day=on(300))
    change = change_in(found, 3.0)
    if change is None:
        return None
    before, after = ([(r.day - FIRST).days for r in one] for one in (change.before, change.after))
    return before, after


@pytest.mark.parametrize(
    ("days", "compared"),
    [
        ((0, 20), None),
        ((0, 21), ([0], [21])),
        ((0, 5, 15, 30, 40, 44), ([0, 5], [30, 40, 44])),  # 15 is more than two weeks from both
        ((0, 3, 6, 9, 40, 43, 46, 49), ([0, 3, 6], [43, 46, 49])),  # three of a side at most
        ((0, 90, 95, 150, 170), ([90, 95], [170])),  # what was more than twelve weeks ago is over
        ((0, 200, 210), ([0], [200, 210])),  # but counts where there is nothing since
        ((0, 14, 21), ([0, 14], [21])),  # no test on both sides
    ],
)
def test_the_first_tests_of_the_last_months_are_compared_with_the_latest(
    days: tuple[int, ...], compared: tuple[list[int], list[int]] | None
) -> None:
    assert sides(*days) == compared


def test_only_the_last_eight_weeks_tell_whether_it_stands_still() -> None:
    """A steep rise long ago, then nothing: it does not rise."""
    steep = {7 * n: 30 + n for n in range(10)}
    flat = {70 + 5 * n: 40 + (n % 2) * 0.1 for n in range(12)}
    (found,) = series_of(year(PULL), tries("Pull", steep | flat), day=on(200))
    standing = standing_of(found, 1.0)
    assert (standing.tests, standing.trend) == (12, Trend.PLATEAU)


def test_a_slow_but_sure_rise_is_a_rise() -> None:
    """3 % in four weeks: neither a plateau of 2 % nor unknown."""
    (found,) = series_of(
        year(PULL), tries("Pull", {4 * n: 40 * 1.03 ** (n / 7) for n in range(14)}), day=on(60)
    )
    standing = standing_of(found, 1.0)
    assert standing.trend is Trend.RISING and standing.slope is not None
    assert standing.slope.low == pytest.approx(100 * log(1.03))
