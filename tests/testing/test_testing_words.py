"""Every sentence that tests can bring, asserted whole: in a small story, or by its exact words."""

from __future__ import annotations

import re
from typing import Any

import pytest
from testing_stage import goal, on, tries, weights, year

from seasonplan.diary import DiaryEntry
from seasonplan.rules.tables import caution
from seasonplan.testing import Judged, sentences, study_of, together, verdict
from seasonplan.testing.change import Called
from seasonplan.testing.limiter import Limiter
from seasonplan.testing.overall import limits_text
from seasonplan.testing.verdicts import tries_text
from seasonplan.vocabulary import Quality, Side
from seasonplan.year import Injury, OwnTest, Year

PULL = OwnTest(name="Pull", like="edge-pull")
ANCHORED = OwnTest(
    name="Pull", like="edge-pull", anchors={1: 20, 5: 60}, ten_percent=[0, 1, 2], worth_having=4
)
HANG = OwnTest(name="Hang", like="edge-hang")
SPREAD = (
    "What a gain in finger strength is worth no study can say for you: among climbers of one and "
    "the same strength the grades still spread 46 to 74 % of their whole spread."
)


def only(rows: list[DiaryEntry], *, day: int = 50, of: OwnTest = PULL, **entries: Any) -> Judged:
    (found,) = study_of(year(of, **entries), rows, day=on(day)).judged
    return found


def pulls(before: float, after: float) -> Judged:
    return only(tries("Pull", {0: before, 3: before * 1.01, 40: after, 44: after * 1.01}))


# --- the verdict ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("after", "said"),
    [
        (45.0, "Real gain: +12.5 % since Mon 4 Jan 2027 as measured; the best estimate is +9.2 % "
               "(4.7 to 13.8, nine times in ten)."),
        (41.6, "Probably a gain: +4.0 % since Mon 4 Jan 2027 as measured; the best estimate is "
               "+3.0 % (-1.2 to 7.3, nine times in ten)."),
        (40.4, "+1.0 % since Mon 4 Jan 2027 cannot be told apart from chance; the best estimate is "
               "+0.7 % (-3.4 to 5.0, nine times in ten)."),
        (38.6, "Probably a loss: -3.5 % since Mon 4 Jan 2027 as measured; the best estimate is "
               "-2.6 % (-6.6 to 1.5, nine times in ten)."),
        (35.0, "Real loss: -12.5 % since Mon 4 Jan 2027 as measured; the best estimate is -9.5 % "
               "(-13.2 to -5.6, nine times in ten)."),
    ],
    ids=[word.value for word in Called],
)  # fmt: skip
def test_a_change_is_called_real_probable_or_chance(after: float, said: str) -> None:
    """The first by hand: 100 ln 1.125 = 11.78 seen; error 2.62 from two pairs of 0.995 and a prior
    of 3, taken as 2.93; weight 25 / (25 + 8.56) = 0.745; 8.77 +- 1.645 x 2.52, then 100 (exp - 1).
    """
    assert verdict(pulls(40.0, after)) == said


def test_one_test_is_no_trend() -> None:
    assert verdict(only(tries("Pull", {0: 40}))) == (
        "One test is no trend: the second one begins to tell."
    )


def test_tests_too_near_each_other_tell_the_error_only() -> None:
    assert verdict(only(tries("Pull", {0: 40, 10: 41}))) == (
        "2 tests within 10 days show no change yet: they tell how exactly you test."
    )


def test_results_that_cannot_be_judged_are_said_to_be_none() -> None:
    assert sentences(only(tries("Hang", {0: 10, 30: 20}), of=HANG)) == [
        "No result that can be judged.",
        "Two days differ by 3.0 % by chance (usual 3, no pair of your own). One test before and "
        "one after tell 7.0 % apart from chance nine times in ten, 8.3 % nineteen times in "
        "twenty; for 5.0 % it takes 3 tests on separate days before and as many after.",
        "On 2 days of tests no body weight was logged within 14 days: the body is lifted along, "
        "so log it beside the test.",
        "Next test: from Tue 2 Mar 2027.",
    ]


# --- all that one series says ---------------------------------------------------------------------


def test_a_series_tells_verdict_level_error_standing_worth_and_next_day() -> None:
    rows = tries("Pull", {0: (39, 41), 3: 40.4, 40: 45, 44: 45.5})
    assert sentences(only(rows, of=ANCHORED)) == [
        "Real gain: +12.6 % since Mon 4 Jan 2027 as measured; the best estimate is +9.2 % (4.8 to "
        "13.8, nine times in ten).",
        "Now about 44.9 kg (42.8 to 47.2, nine times in ten), from 4 days of tests.",
        "Two days differ by 2.6 % by chance (usual 3, 2 pairs of your own). One test before and "
        "one after tell 6.1 % apart from chance nine times in ten, 7.3 % nineteen times in "
        "twenty; for 5.0 % it takes 3 tests on separate days before and as many after.",
        "Whether it stands still is not known yet, from 4 tests in the last eight weeks: 9, "
        "spread over them, would tell a standstill eight times in ten.",
        "By your own estimate a gain of 9.2 % is worth 0.9 grade steps (0.0 to 1.8): "
        "a preference, no measurement.",
        "Next test: from Wed 17 Mar 2027.",
    ]


def test_without_a_gain_ten_per_cent_are_told() -> None:
    rows = tries("Pull", {0: 40, 30: 40})
    assert (
        "By your own estimate ten per cent more would be worth 1.0 grade steps (0.0 to 2.0): a "
        "preference, no measurement."
    ) in sentences(only(rows, of=ANCHORED))


def test_the_body_that_is_lifted_along_is_said() -> None:
    rows = weights(70, 0) + tries("Hang", {0: 12.5})
    assert (
        "Now about 82.5 kg with your body (78.0 to 87.2, nine times in ten), from 1 day of tests."
    ) in sentences(only(rows, of=HANG, day=3))


def test_lengths_are_told_in_their_unit() -> None:
    told = sentences(only(tries("Reach", {0: 140, 30: 152}, unit="cm"),
                          of=OwnTest(name="Reach", like="far-reach")))  # fmt: skip
    assert told[0] == (
        "Probably a gain: +12.0 cm since Mon 4 Jan 2027 as measured; the best estimate is +4.4 cm "
        "(-2.1 to 11.0, nine times in ten)."
    )
    assert told[2] == (
        "Two days differ by 4.0 cm by chance (usual 4, no pair of your own). One test before and "
        "one after tell 9.3 cm apart from chance nine times in ten, 11.1 cm nineteen times in "
        "twenty; for 5.0 cm it takes 5 tests on separate days before and as many after."
    )
    assert told[3] == (
        "Whether it stands still is not known yet, from 2 tests in the last eight weeks: "
        "telling 2.0 cm in four weeks from none takes more tests than anybody does."
    )


def standing(results: dict[int, Any], of: OwnTest = ANCHORED) -> str:
    told = sentences(only(tries("Pull", results), of=of, day=60))
    return next(text for text in told if "eight weeks" in text)


def test_a_plateau_is_said_only_within_what_is_worth_having() -> None:
    flat = {4 * n: 40 + (n % 3 - 1) * 0.3 for n in range(14)}
    assert standing(flat) == (
        "A plateau in the last eight weeks: +0.0 % in four weeks, 0.0 to 0.7 nine times in ten, "
        "all within the 4.0 % that you call worth having. A slower gain than that could look the "
        "same."
    )
    assert "all within the 2.0 % taken as worth having (say yours: `worth_having`). " in standing(
        flat, of=PULL
    )


def test_rising_and_falling_are_said() -> None:
    up = {4 * n: 40 + 0.6 * n + (n % 3 - 1) * 0.2 for n in range(14)}
    down = {4 * n: 40 - 0.6 * n + (n % 3 - 1) * 0.2 for n in range(14)}
    rise = standing(up)
    assert re.fullmatch(
        r"Rising in the last eight weeks: \+10\.\d % in four weeks, 9\.\d to 10\.\d nine times in "
        r"ten\.", rise,
    ), rise  # fmt: skip
    fall = standing(down)
    assert re.fullmatch(
        r"Falling in the last eight weeks: -10\.\d % in four weeks, -11\.\d to -10\.\d nine times "
        r"in ten\.", fall,
    ), fall  # fmt: skip


def test_a_wide_slope_is_told_with_its_ends() -> None:
    unsure = {9 * n: 40 + (n % 2) * 4 for n in range(6)}
    assert re.fullmatch(
        r"Whether it stands still is not known yet, from 6 tests in the last eight weeks "
        r"\([+-]\d+\.\d % in four weeks, -?\d+\.\d to \d+\.\d nine times in ten\): (\d+, spread "
        r"over them, would tell a standstill eight times in ten|telling 4\.0 % "
        r"in four weeks from none takes more tests than anybody does)\.", standing(unsure),
    ), standing(unsure)  # fmt: skip


def test_days_left_out_are_counted_with_the_reason() -> None:
    hurt = Injury(name="Finger", part="finger", happened=on(5), easy_from=on(10),
                  building_from=on(20), full_from=on(30))  # fmt: skip
    told = sentences(only(tries("Pull", {0: 40, 6: 20, 35: 40}), injuries=(hurt,)))
    assert "1 day of tests in an injury is not judged." in told
    told = sentences(only(tries("Pull", {0: 40, 6: 20, 9: 20, 35: 40}), injuries=(hurt,)))
    assert "2 days of tests in an injury are not judged." in told
    zero = OwnTest(name="Edge", quality="finger_strength", unit="kg")
    told = sentences(only(tries("Edge", {0: -5, 6: 2}), of=zero))
    assert (
        "On 1 day of tests the result is zero or below: per cent of that mean nothing. If the "
        'body is lifted along, say so with `like = "edge-hang"`.'
    ) in told


def test_what_was_done_otherwise_before_is_not_tested_again() -> None:
    changed = OwnTest(name="Pull", like="edge-pull", since=on(20))
    rows = tries("Pull", {0: 40, 5: 40, 25: 30})
    old = next(one for one in study_of(year(changed), rows, day=on(30)).judged
               if one.series.earlier)  # fmt: skip
    assert not any(text.startswith("Next test") for text in sentences(old))


def test_tries_are_told_day_by_day_with_body_weight_and_injuries() -> None:
    hurt = Injury(name="Finger", part="finger", happened=on(5), easy_from=on(7),
                  building_from=on(8), full_from=on(9))  # fmt: skip
    rows = weights(70, 0) + tries("Hang", {0: (10, 12.5), 6: 5, 20: 10})
    assert tries_text(only(rows, of=HANG, injuries=(hurt,)).series) == [
        "4 Jan 2027: 10, 12.5 kg, body 70.0 kg",
        "10 Jan 2027: 5 kg, body 70.0 kg, in an injury",
        "24 Jan 2027: 10 kg",
    ]


def test_a_series_is_named_by_side_grip_unit_and_age() -> None:
    changed = OwnTest(name="Pull", like="edge-pull", since=on(20), grip="20 mm")
    rows = [
        *tries("Pull", {25: 40}, side=Side.LEFT), *tries("Pull (18 mm)", {25: 30}),
        *tries("Pull", {25: 90}, unit="lb"), *tries("Pull", {0: 40}),
    ]  # fmt: skip
    names = [one.series.name for one in study_of(year(changed), rows, day=on(30)).judged]
    assert names == [
        "Pull (18 mm)", "Pull (as done before)", "Pull (lb)", "Pull, left",
    ]  # fmt: skip


# --- all together ---------------------------------------------------------------------------------


def told_together(rows: list[DiaryEntry], of: Year, *, day: int = 50) -> list[str]:
    return together(study_of(of, rows, day=on(day)))


def test_mixed_ways_of_one_test_are_told() -> None:
    rows = tries("Pull", {0: 40}) + tries("Pull (18 mm)", {5: 35})
    assert told_together(rows, year(ANCHORED))[0] == (
        "Several ways of one test are mixed and judged apart: Pull; Pull (18 mm). Keep to one, or "
        "they never make a trend."
    )


def test_a_declared_change_and_two_hands_are_no_mixture() -> None:
    changed = OwnTest(name="Pull", like="edge-pull", since=on(20))
    rows = tries("Pull", {0: 40}) + tries("Pull", {25: 30})
    hands = tries("Pull", {0: 40}, side=Side.LEFT) + tries("Pull", {0: 40}, side=Side.RIGHT)
    for found in (told_together(rows, year(changed)), told_together(hands, year(PULL))):
        assert not any("mixed" in text for text in found)


def test_tests_without_anchors_are_told() -> None:
    rows = tries("Pull", {0: 40}) + tries("High step", {0: 100}, unit="cm")
    assert told_together(rows, year(PULL)) == [
        "What holds you back is not read from Pull, High step: say which result is a 1 and which "
        "a 5 for you, as `anchors` under [[test]]."
    ]


def test_what_holds_a_goal_back_is_told_with_the_test_that_tells_most() -> None:
    """Fingers tested at 1 of 5 for a goal that asks 5 of them and little else."""
    roof = goal(demands={"finger_strength": 5, "power": 1, "endurance": 1, "movement": 1})
    who = {"level": dict.fromkeys(("power", "endurance", "fitness", "movement"), 4)}
    assert told_together(tries("Pull", {0: 20}), year(ANCHORED, climber=who, goals=(roof,))) == [
        "The long roof: probably held back by finger strength (10 in 10).",
        SPREAD,
    ]


def test_a_doubtful_limit_names_the_next_test() -> None:
    roof = goal(demands={"finger_strength": 4, "power": 1, "endurance": 4, "movement": 1})
    who = {"level": dict.fromkeys(("power", "endurance", "fitness", "movement"), 3)}
    found = told_together(tries("Pull", {0: 38}), year(ANCHORED, climber=who, goals=(roof,)))
    assert re.fullmatch(
        r"The long roof: probably held back by [a-z ]+ \(\d in 10\)(, [a-z ]+ \(\d in 10\))*\.",
        found[0],
    )
    assert "The long roof: one more Pull would tell most for its time." in found


@pytest.mark.parametrize(
    ("who", "tests", "said"),
    [
        ({"level": {"movement": 1}}, (), "About movement only your own rating speaks. "
         "Usual tests of it: High step (10 min). `seasonplan tests --usual` says how."),
        ({"level": {"finger_strength": 5, "endurance": 5, "power": 5}}, (), "About movement "
         "nothing speaks, not even your own rating. Usual tests of it: High step "
         "(10 min). `seasonplan tests --usual` says how."),
        ({"level": {"movement": 1}}, (OwnTest(name="Wall step", like="high-step"),), "About "
         "movement only your own rating speaks: Wall step has no results with anchors yet."),
    ],
)  # fmt: skip
def test_a_limit_that_no_test_speaks_of_is_told(
    who: dict[str, Any], tests: tuple[OwnTest, ...], said: str
) -> None:
    roof = goal(demands={"movement": 5, "finger_strength": 1, "power": 1, "endurance": 1})
    assert said in told_together([], year(*tests, climber=who, goals=(roof,)))


def test_shares_are_told_in_tenths() -> None:
    shares = dict.fromkeys(Quality, 0.0) | {
        Quality.FINGER_STRENGTH: 0.74, Quality.ENDURANCE: 0.2, Quality.POWER: 0.06,
    }  # fmt: skip
    assert limits_text(Limiter(goal(), shares)) == (
        "finger strength (7 in 10), endurance (2 in 10), unclear (1 in 10)"
    )


@pytest.mark.parametrize(
    ("entries", "said", "beside"),
    [
        ({"climber": {"birth_year": 2012}},
         "Under 18 no test is judged here: growing comes first.", "young"),
        ({"injuries": (Injury(name="Elbow", part="elbow", happened=on(45)),)},
         "While something is hurt no test is judged, and none is due.", "injury"),
    ],
)  # fmt: skip
def test_where_nothing_may_be_judged_a_caution_stands(
    entries: dict[str, Any], said: str, beside: str
) -> None:
    rows = tries("Pull", {0: 40, 30: 50})
    study = study_of(year(ANCHORED, goals=(goal(),), **entries), rows, day=on(50))
    assert together(study) == [said, caution(beside)]
    assert [sentences(one) for one in study.judged] == [["Not judged now."]]


def test_no_sentence_advises_to_be_lighter_or_foretells_a_grade() -> None:
    """All that stories with body weight can bring, lighter and lighter."""
    rows = [
        *weights(75, 0), *weights(70, 20), *weights(64, 40),
        *tries("Hang", {0: 10, 20: 12, 40: 16}),
    ]  # fmt: skip
    hang = OwnTest(name="Hang", like="edge-hang", anchors={1: -20, 5: 50}, ten_percent=[0, 1, 2])
    study = study_of(year(hang, goals=(goal(),)), rows, day=on(50))
    told = " ".join([*sentences(study.judged[0]), *together(study)]).lower()
    assert len(told) > 500
    for word in ("lose", "lighter", "diet", "slim", "you will climb", "you can climb"):
        assert word not in told
