"""What tests say on a day: who is judged, when to test next, ratings, the maximum for sessions."""

from __future__ import annotations

from itertools import pairwise
from math import log, sqrt

import pytest
from testing_stage import HANG, HURT, PULL, goal, on, tries, weights, year

from seasonplan.recipes import OwnMaximum, OwnTests, Step, session_text, standard_recipes
from seasonplan.testing import NotJudged, maximum_kg, series_of, study_of
from seasonplan.testing.level import Level
from seasonplan.testing.limiter import known_levels, rating_of
from seasonplan.testing.study import next_day
from seasonplan.vocabulary import Quality, Side
from seasonplan.year import Absence, Injury, OwnTest, Trip

# --- injuries and youth ---------------------------------------------------------------------------


def test_tests_while_hurt_are_not_judged() -> None:
    (found,) = series_of(year(PULL, injuries=(HURT,)), tries("Pull", {0: 40, 45: 20, 75: 40}),
                         day=on(80))  # fmt: skip
    assert [r.day for r in found.judged] == [on(0), on(75)]


@pytest.mark.parametrize(
    ("who", "day", "held"),
    [
        ({"birth_year": 2012}, 10, NotJudged.YOUNG),
        ({"birth_year": 1990}, 10, None),
        ({}, 45, NotJudged.HURT),
        ({}, 69, NotJudged.HURT),
        ({}, 70, None),
    ],
)
def test_nothing_is_judged_under_age_or_while_hurt(
    who: dict[str, int], day: int, held: NotJudged | None
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


def test_the_next_test_is_the_one_that_tells_most_a_minute() -> None:
    """Twice the same test of the fingers, one of them in a third of the time."""
    slow, quick = (
        OwnTest(name=name, quality="finger_strength", unit="kg", error=5, minutes=minutes,
                anchors={1: 20, 5: 60})
        for name, minutes in (("A slow one", 60), ("Quick", 20))
    )  # fmt: skip
    rows = tries("A slow one", {0: 38}) + tries("Quick", {0: 38})
    found = study_of(year(slow, quick, goals=(goal(),)), rows, day=on(200)).goals[0].next_tests
    assert [one.test.name for one in found] == ["Quick", "A slow one"]
    assert found[0].bits == found[1].bits > 0


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
    alone = (
        study_of(year(HANG), weights(70, 0) + tries("Hang", {0: 50}), day=on(1))
        .known[Quality.FINGER_STRENGTH]
        .level
    )
    assert alone.mean == pytest.approx(5.0)
    sure = 1 / alone.sd**2, 1 / 0.7**2  # the own rating stays a witness beside the test
    told = (5.0 * sure[0] + 2 * sure[1]) / sum(sure)
    assert known[Quality.FINGER_STRENGTH].level.mean == pytest.approx(told)
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


def test_the_newest_test_of_the_fingers_counts() -> None:
    rows = weights(70, 0) + tries("Hang", {0: 12.5}) + tries("Pull", {20: 40})
    found = maximum_kg(year(HANG, PULL), rows, on(30))
    assert found is not None and found.test == "Pull"


def test_the_maximum_of_a_hang_holds_the_body_too() -> None:
    found = maximum_kg(year(HANG), weights(70, 0) + tries("Hang", {0: 12.5}), on(1))
    assert found is not None and (found.kg, found.with_body) == (82.5, True)


def test_sessions_tell_shares_of_the_tested_maximum() -> None:
    found = maximum_kg(year(PULL), tries("Pull", {0: 42}), on(1))
    assert found is not None
    hard = standard_recipes()["fingerboard-long"]
    mine = OwnTests(OwnMaximum(found.kg, found.error_kg, "a test"))
    told = session_text(hard, step=Step(), light=False, minutes=hard.minutes, hangs=0, tested=mine)
    assert "% of 42 kg (" in told.this_week


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
