"""The planner goes by what tests say of a quality, says so, and tells what a new test changes."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path

import pytest
from draft_maker import KEY
from spring import SPRING, STAMP
from testing_stage import on, tries, weights, year
from typer.testing import CliRunner

from seasonplan.body.response import QUALITIES, as_tested, body_of
from seasonplan.body.worth import shortfalls
from seasonplan.checker import check
from seasonplan.cli.app import app
from seasonplan.errors import BadInput
from seasonplan.explain.before_after import summary
from seasonplan.explain.tested import rating_lines
from seasonplan.plan import Revision
from seasonplan.planning.proposal import Keep, Proposal
from seasonplan.testing.ratings import Rated, ratings_by_tests
from seasonplan.vocabulary import Quality
from seasonplan.workspace.desk import Desk
from seasonplan.year import Injury, OwnTest

TEST = """
[[test]]
name = "Pull"
like = "edge-pull"
anchors = { 1 = 20, 5 = 60 }
"""
HEAD = "date,kind,what,value,unit\n"
WEAK = HEAD + "2026-02-16,test,Pull,24,kg\n"
STRONG = WEAK + "2026-03-05,test,Pull,66,kg\n2026-03-06,test,Pull,66,kg\n"
FINGERS = Quality.FINGER_STRENGTH
PULL = OwnTest(name="Pull", like="edge-pull", anchors={1: 20.0, 5: 60.0})


@dataclass(frozen=True)
class Spring:
    """A folder planned by weak fingers, then asked again after a strong test."""

    folder: Path
    first: Revision
    answer: Proposal


def folder(into: Path, *, diary: str | None, text: str = SPRING + TEST) -> Path:
    into.mkdir()
    (into / "year.toml").write_text(text, encoding="utf-8")
    if diary is not None:
        (into / "diary.csv").write_text(diary, encoding="utf-8")
    return into


def planned(into: Path) -> Revision:
    desk = Desk(into)
    desk.make_plan("first", stamp=STAMP, calendar_key=KEY)
    assert desk.plan is not None
    return desk.plan.current


@pytest.fixture(scope="module")
def spring(tmp_path_factory: pytest.TempPathFactory) -> Spring:
    into = folder(tmp_path_factory.mktemp("tested") / "year", diary=WEAK)
    first = planned(into)
    (into / "diary.csv").write_text(STRONG, encoding="utf-8")
    answer = Desk(into).propose("tests", stamp=STAMP, today=date(2026, 3, 7), keep=Keep.LOW)
    assert isinstance(answer, Proposal)
    return Spring(into, first, answer)


# --- what the tests say -------------------------------------------------------------------------


def test_a_rating_by_tests_is_that_of_the_test_with_the_own_one_beside_it() -> None:
    pull = OwnTest(name="Pull", like="edge-pull", anchors={1: 30.0, 5: 40.0})
    rows = tries("Pull", {0: 34.64})  # the middle of the anchors on the scale: a 3
    assert ratings_by_tests(year(pull), rows) == {FINGERS: Rated(3.0, "Pull")}
    strong = year(pull, climber={"level": {"finger_strength": 5}})
    # a test repeats to 3 %, 0.417 steps between these anchors; the own rating is worth 0.7 steps
    told = (3 / 0.417**2 + 5 / 0.7**2) / (1 / 0.417**2 + 1 / 0.7**2)
    assert ratings_by_tests(strong, rows) == {FINGERS: Rated(round(told, 1), "Pull")}


def test_qualities_without_a_test_keep_the_own_rating() -> None:
    own = year(PULL, climber={"level": {"finger_strength": 2, "power": 4}})
    rated = as_tested(own, {FINGERS: 4.4})
    now, before = (dict(zip(QUALITIES, body_of(y).rating, strict=True)) for y in (rated, own))
    assert now[FINGERS] == 4.4 and before[FINGERS] == 2
    assert {q: now[q] for q in now if q is not FINGERS} == {
        q: before[q] for q in before if q is not FINGERS
    }
    alone = as_tested(own, {Quality.ENDURANCE: 4.4})  # nobody spoke of power endurance
    assert body_of(alone).rating[QUALITIES.index(Quality.POWER_ENDURANCE)] == 3


def test_a_better_test_leaves_less_missing() -> None:
    goals = {"goals": ({"name": "Roof", "place": "Larchfold", "discipline": "sport",
                        "grade": "7b"},)}  # fmt: skip
    at = QUALITIES.index(FINGERS)
    behind = [shortfalls(as_tested(year(PULL, **goals), {FINGERS: level}))[at] for level in (2, 4)]
    assert behind[0] - behind[1] == 2


def test_no_rating_comes_from_the_young_from_before_an_injury_or_without_anchors() -> None:
    rows = tries("Pull", {0: 30})
    hurt = Injury(
        name="Finger", part="finger", happened=on(40), easy_from=on(50), building_from=on(60),
        full_from=on(70),
    )  # fmt: skip
    bare = OwnTest(name="Pull", like="edge-pull")
    for untold in (
        year(PULL, climber={"birth_year": 2012}), year(PULL, injuries=(hurt,)), year(bare),
    ):  # fmt: skip
        assert ratings_by_tests(untold, rows) == {}
    again = [*rows, *tries("Pull", {90: 30})]
    assert FINGERS in ratings_by_tests(year(PULL, injuries=(hurt,)), again)


def test_weight_is_needed_where_the_body_is_lifted_along() -> None:
    hang = OwnTest(name="Hang", like="edge-hang", anchors={1: -10.0, 5: 50.0})
    assert ratings_by_tests(year(hang), tries("Hang", {0: 20})) == {}
    assert ratings_by_tests(year(hang), weights(70, 0) + tries("Hang", {0: 20}))


# --- the plan -----------------------------------------------------------------------------------


def test_a_plan_says_which_ratings_come_from_tests(spring: Spring) -> None:
    assert spring.first.ratings == {FINGERS: 1.7}  # log(24 / 20) / log(60 / 20) x 4 + 1
    assert rating_lines(spring.first, Desk(spring.folder).year) == [
        "Finger strength counts as 1.7 of 5 by your test Pull; you had not rated it yourself.",
        "What is further behind what your goals ask is trained more.",
    ]


def test_the_checker_comes_to_the_same_worth_by_the_same_ratings(spring: Spring) -> None:
    own, first = Desk(spring.folder).year, spring.first

    def lies(ratings: dict[Quality, float]) -> bool:
        found = check(
            as_tested(own, ratings), first.blocks, sessions=first.sessions, claimed=first.score
        )
        return any(one.about == "points" for one in found)

    assert not lies(first.ratings)
    assert lies({}) and lies({FINGERS: 3.5})


def test_stronger_fingers_change_the_plan_and_the_proposal_says_why(spring: Spring) -> None:
    answer = spring.answer
    assert answer.after.ratings[FINGERS] > 4.5
    assert answer.after.sessions != answer.before.sessions
    hangs = [
        sum(one.hangs for one in revision.sessions if one.day >= answer.today)
        for revision in (answer.before, answer.after)
    ]
    assert hangs[1] < hangs[0]
    told = f"counts as {answer.after.ratings[FINGERS]:.1f} of 5, 1.7 before."
    assert told in summary(answer)


def test_a_new_result_makes_a_plan_old_until_the_proposal_is_accepted(
    spring: Spring, tmp_path: Path
) -> None:
    into = folder(tmp_path / "year", diary=WEAK)
    (into / "plan.json").write_bytes((spring.folder / "plan.json").read_bytes())
    desk = Desk(into)
    assert not desk.stale and desk.check() == Desk(into).check()
    (into / "diary.csv").write_text(STRONG, encoding="utf-8")
    after = Desk(into)
    assert after.stale
    after.accept(spring.answer)
    assert not Desk(into).stale and not after.stale
    assert not [f for f in Desk(into).check(today=date(2026, 3, 7)) if f.strength == "hard"]


def test_logging_a_test_says_what_it_means_for_the_plan(spring: Spring, tmp_path: Path) -> None:
    into = folder(tmp_path / "year", diary=WEAK)
    (into / "plan.json").write_bytes((spring.folder / "plan.json").read_bytes())
    said = ["log", str(into), "test", "Pull", "66", "kg", "--today", "2026-03-05", "--plain"]
    told = " ".join(CliRunner().invoke(app, said).output.split())
    assert "By your tests finger strength counts as 4.3 of 5, 1.7 before." in told
    assert "Run `seasonplan replan" in told


def test_the_same_year_and_diary_give_the_same_bytes(spring: Spring, tmp_path: Path) -> None:
    again = folder(tmp_path / "again", diary=WEAK)
    planned(again)
    assert (again / "plan.json").read_bytes() == (spring.folder / "plan.json").read_bytes()


def test_a_test_that_tells_nothing_new_keeps_the_plan(spring: Spring, tmp_path: Path) -> None:
    into = folder(tmp_path / "year", diary=WEAK + "2026-02-18,test,Pull,24,kg\n")
    (into / "plan.json").write_bytes((spring.folder / "plan.json").read_bytes())
    assert not Desk(into).stale


def test_a_faulty_diary_stops_planning_only_where_tests_speak(tmp_path: Path) -> None:
    faulty = folder(tmp_path / "tests", diary=HEAD + "2026-02-16,test,Pull,many,kg\n")
    desk = Desk(faulty)
    assert desk.year_as_tested == desk.year  # it can still be looked at
    with pytest.raises(BadInput, match=r"diary\.csv, line 2, value: found 'many'"):
        desk.make_plan("first", stamp=STAMP)
    bare = folder(tmp_path / "none", diary="nonsense\n", text=SPRING)
    assert Desk(bare).ratings == {}
