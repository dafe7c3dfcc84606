"""Rows of the diary as series, tests of the year as the climber writes them, the own error."""

from __future__ import annotations

from itertools import pairwise
from math import log, sqrt

import pytest
from testing_stage import goal, on, tries, weights, year

from seasonplan.days import Span
from seasonplan.plan import Block
from seasonplan.recipes import session_text, standard_recipes
from seasonplan.testing import Held, maximum_kg, series_of, study_of
from seasonplan.testing.error import error_of, pairs
from seasonplan.testing.level import Level, levels
from seasonplan.testing.limiter import known_levels, rating_of
from seasonplan.testing.study import next_day
from seasonplan.vocabulary import Kind, Quality, Side
from seasonplan.year import Absence, Injury, OwnTest, Trip

PULL = OwnTest(name="Pull", like="edge-pull", grip="20 mm")
HANG = OwnTest(name="Hang", like="edge-hang", anchors={1: -10.0, 5: 50.0})
HURT = Injury(
    name="Finger", part="finger", happened=on(40), easy_from=on(50), building_from=on(60),
    full_from=on(70),
)  # fmt: skip


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


# --- injuries and youth ---------------------------------------------------------------------------


def test_tests_while_hurt_are_not_judged() -> None:
    (found,) = series_of(year(PULL, injuries=(HURT,)), tries("Pull", {0: 40, 45: 20, 75: 40}),
                         day=on(80))  # fmt: skip
    assert [r.day for r in found.judged] == [on(0), on(75)]


@pytest.mark.parametrize(
    ("who", "day", "held"),
    [
        ({"birth_year": 2012}, 10, Held.YOUNG),
        ({"birth_year": 1990}, 10, None),
        ({}, 45, Held.HURT),
        ({}, 69, Held.HURT),
        ({}, 70, None),
    ],
)
def test_nothing_is_judged_under_age_or_while_hurt(
    who: dict[str, int], day: int, held: Held | None
) -> None:
    found = study_of(
        year(PULL, climber=who, injuries=(HURT,), goals=(goal(),)), tries("Pull", {0: 40, 5: 41}),
        day=on(day),
    )  # fmt: skip
    assert found.held is held
    one = found.judged[0]
    judged = (one.error, one.now, one.standing, one.next_day)
    assert all(part is None for part in judged) if held else None not in judged
    assert bool(found.goals) is (held is None)


# --- the next day ---------------------------------------------------------------------------------


def test_the_next_test_waits_four_weeks_and_the_second_one_a_week() -> None:
    (one,) = series_of(year(PULL), tries("Pull", {0: 40}), day=on(1))
    (two,) = series_of(year(PULL), tries("Pull", {0: 40, 5: 41}), day=on(5))
    assert next_day(one, year(PULL), on(1)) == on(7)
    assert next_day(two, year(PULL), on(5)) == on(33)
    assert next_day(two, year(PULL), on(50)) == on(50)


def test_the_next_test_keeps_clear_of_trips_time_away_and_injuries() -> None:
    busy = year(
        PULL,
        trips=(Trip(name="Saltmere", first=on(30), last=on(36), climbing=False),),
        absences=(Absence(name="Work", first=on(37), last=on(39)),),
        injuries=(HURT,),
    )
    (two,) = series_of(busy, tries("Pull", {0: 40, 5: 41}), day=on(5))
    assert next_day(two, busy, on(5)) == on(70)


def test_with_an_injury_without_an_end_no_next_test_is_named() -> None:
    open_end = year(PULL, injuries=(Injury(name="Elbow", part="elbow", happened=on(20)),))
    (two,) = series_of(open_end, tries("Pull", {0: 40, 5: 41}), day=on(5))
    assert next_day(two, open_end, on(5)) is None


# --- levels through anchors -----------------------------------------------------------------------


def test_anchors_turn_results_into_ratings() -> None:
    """By hand, on the scale of per cent: 60, 80, 120 kg with the body are 1, ?, 5."""
    (found,) = series_of(year(HANG), weights(70, 0) + tries("Hang", {0: 10}), day=on(1))
    rating = rating_of(found, Level(found.at(found.judged[0]), 3.0))
    assert rating.mean == pytest.approx(1 + 4 * log(80 / 60) / log(120 / 60))
    assert rating.sd == pytest.approx(3.0 * 4 / (100 * log(120 / 60)))


@pytest.mark.parametrize("cells", [{"what": "Hang (18 mm)"}, {"what": "Hang", "unit": "lb"}])
def test_anchors_are_for_the_way_a_test_is_written_down(cells: dict[str, str]) -> None:
    rows = weights(70, 0) + tries(cells.pop("what"), {0: 50}, **cells)
    found = study_of(year(HANG, goals=(goal(),)), rows, day=on(1))
    assert found.known[Quality.FINGER_STRENGTH].by == ""
    assert found.goals[0].next_tests == ()


def test_an_anchor_takes_off_nearly_the_whole_body_at_most() -> None:
    heavy = OwnTest(name="Hang", like="edge-hang", anchors={1: -80.0, 5: 50.0})
    rows = weights(70, 0) + tries("Hang", {0: 50})
    known = study_of(year(heavy), rows, day=on(1)).known[Quality.FINGER_STRENGTH]
    assert known.level.mean == pytest.approx(5.0)


def test_a_rating_of_oneself_counts_where_no_test_speaks() -> None:
    who = {"level": {"finger_strength": 2, "endurance": 4}}
    known = study_of(
        year(HANG, climber=who), weights(70, 0) + tries("Hang", {0: 50}), day=on(1)
    ).known
    assert known[Quality.FINGER_STRENGTH].by == "Hang"
    assert known[Quality.FINGER_STRENGTH].level.mean == pytest.approx(5.0)
    own = known[Quality.ENDURANCE]
    assert (own.level, own.by, own.rated) == (Level(4.0, 0.7), "", True)
    assert (known[Quality.POWER].rated, known[Quality.POWER].level.sd) == (False, 1.2)


def test_two_tests_of_one_quality_count_by_their_precision() -> None:
    hill = OwnTest(name="Hill", like="uphill", anchors={1: 40, 5: 20})
    walk = OwnTest(name="Walk", quality="fitness", unit="cm", error=1, anchors={1: 0, 5: 40})
    rows = tries("Hill", {0: 30}, unit="min") + tries("Walk", {0: 40}, unit="cm")
    series = series_of(year(hill, walk), rows, day=on(1))
    both = known_levels(year(), [(s, Level(s.at(s.judged[0]), s.test.error)) for s in series])
    single = [rating_of(s, Level(s.at(s.judged[0]), s.test.error)) for s in series]
    weight = [1 / one.sd**2 for one in single]
    mean = sum(w * one.mean for w, one in zip(weight, single, strict=True)) / sum(weight)
    assert both[Quality.FITNESS].level.mean == pytest.approx(mean)
    assert both[Quality.FITNESS].level.sd == pytest.approx(1 / sqrt(sum(weight)))


# --- the maximum for sessions ---------------------------------------------------------------------


def test_the_tested_maximum_is_that_of_the_weaker_hand() -> None:
    rows = tries("Pull", {0: 40.0, 5: 40.0}, side=Side.LEFT) + tries(
        "Pull", {5: 46}, side=Side.RIGHT
    )
    found = maximum_kg(year(PULL), rows, on(5))
    assert found is not None
    assert (found.kg, found.test, found.tested, found.with_body) == (40, "Pull, left", on(5), False)
    assert 0.5 < found.error_kg < 1.2


def test_the_maximum_of_a_hang_holds_the_body_too() -> None:
    found = maximum_kg(year(HANG), weights(70, 0) + tries("Hang", {0: 12.5}), on(1))
    assert found is not None and (found.kg, found.with_body) == (82.5, True)


def test_sessions_tell_shares_of_the_tested_maximum() -> None:
    found = maximum_kg(year(PULL), tries("Pull", {0: 42}), on(1))
    assert found is not None
    hard = next(r for r in standard_recipes().values() if "{share}" in r.do)
    told = session_text(hard, week=1, light=False, minutes=hard.minutes, hangs=0,
                        maximum_kg=found.kg)  # fmt: skip
    assert "% of 42 kg (" in told.do


def test_a_maximum_in_pounds_is_told_in_kilograms() -> None:
    pull = OwnTest(name="Pull", like="edge-pull", unit="lb")
    found = maximum_kg(year(pull), tries("Pull", {0: 100}, unit="lb"), on(0))
    assert found is not None and found.kg == 45.5  # 45.36


def test_there_is_no_maximum_of_other_tests_the_young_or_after_an_injury() -> None:
    rows = tries("Pull", {0: 40})
    assert maximum_kg(year(PULL), rows, on(30)) is not None
    assert maximum_kg(year(PULL, climber={"birth_year": 2012}), rows, on(30)) is None
    assert maximum_kg(year(PULL, injuries=(HURT,)), rows, on(90)) is None
    assert maximum_kg(year(PULL), tries("Heaviest pull-up", {0: 40}), on(30)) is None
    longest = OwnTest(name="Pull", like="long-hang")
    assert maximum_kg(year(longest), tries("Pull", {0: 40}, unit="s"), on(30)) is None
    assert maximum_kg(year(PULL), [], on(30)) is None


def test_an_older_maximum_is_less_sure() -> None:
    rows = tries("Pull", {0: 40})
    errors = [maximum_kg(year(PULL), rows, on(day)).error_kg for day in (0, 30, 90)]  # type: ignore[union-attr]
    assert all(one < other for one, other in pairwise(errors))
