"""Sessions tell kilograms by the climber's own test, and the day of the test its protocol."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from folder_maker import YEAR, blocks, planned, session
from testing_stage import on, tries, weights, year
from typer.testing import CliRunner

from seasonplan.cli.app import app
from seasonplan.feed.contents import Wish, files_by, shown_by
from seasonplan.recipes import UNTESTED
from seasonplan.testing import in_sessions
from seasonplan.vocabulary import Side
from seasonplan.workspace.desk import Desk
from seasonplan.year import Injury, OwnTest

PULL = OwnTest(name="Pull", like="edge-pull", protocol="Twenty millimetres, three tries.")
HANG = OwnTest(name="Hang", like="edge-hang")
HURT = Injury(
    name="Finger", part="finger", happened=on(40), easy_from=on(50), building_from=on(60),
    full_from=on(70),
)  # fmt: skip
HEAD = "date,kind,what,value,unit\n"
FIRST, SECOND = "2027-01-02,test,Finger pull,40,kg\n", "2027-01-04,test,Finger pull,44,kg\n"
SESSIONS = (
    session("a", "route-volume", 1, "18:00", 90),
    session("b", "fingerboard-short", 2, "18:00", 30, hangs=6),
    session("c", "test-day", 3, "18:00", 35),
    session("d", "technique-drills", 5, "10:00", 30),
)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    planned(tmp_path, sessions=SESSIONS, blocks=blocks())
    (tmp_path / "diary.csv").write_text(HEAD + FIRST, encoding="utf-8")
    return tmp_path


def told(folder: Path, *words: str) -> str:
    found = CliRunner().invoke(app, [*words[:1], str(folder), *words[1:], "--plain"])
    assert found.exit_code == 0, found.output
    return " ".join(found.output.split())


def maximum(*results: Any, of: OwnTest = PULL, **more: Any) -> Any:
    return in_sessions(year(of, **more), [row for rows in results for row in rows]).maximum


# --- what sessions are told ---------------------------------------------------------------------


def test_a_pull_with_one_hand_is_a_maximum_a_hand_with_its_error() -> None:
    found = maximum(tries("Pull", {0: 42}))
    assert (found.kg, found.a_hand, found.body_kg) == (42, True, None)
    assert found.error_kg == pytest.approx(42 * 0.03)  # a usual pull repeats to 3 %
    assert found.by == "your test Pull of Mon 4 Jan 2027"


def test_a_hang_is_a_maximum_with_the_body_of_that_day() -> None:
    found = maximum(weights(70, 0), tries("Hang", {0: 12.5}), of=HANG)
    assert (found.kg, found.a_hand, found.body_kg) == (82.5, False, 70)


def test_an_own_test_with_a_side_is_of_one_hand() -> None:
    own = OwnTest(name="Board", quality="finger_strength", unit="kg")
    assert maximum(tries("Board", {0: 30}, side=Side.LEFT), of=own).a_hand
    assert not maximum(tries("Board", {0: 30}), of=own).a_hand


def test_no_kilograms_for_the_young_nor_after_an_injury_until_the_next_test() -> None:
    rows = tries("Pull", {0: 42})
    young = in_sessions(year(PULL, climber={"birth_year": 2012}), rows)
    assert (young.maximum, young.by_effort) == (None, True)
    assert maximum(rows, injuries=(HURT,)) is None
    assert maximum(rows, tries("Pull", {80: 38}), injuries=(HURT,)).kg < 42


def test_the_day_of_the_test_tells_protocol_last_and_best() -> None:
    said = in_sessions(year(PULL), tries("Pull", {0: 42, 30: 40})).on_test_day
    assert said == (
        "Your test is Pull: Twenty millimetres, three tries. "
        "Last Pull: 40 kg on Wed 3 Feb 2027, best 42 kg on Mon 4 Jan 2027."
    )
    assert in_sessions(year(PULL), []).on_test_day.endswith("There is no result of it yet.")
    assert in_sessions(year(), []).on_test_day == ""


# --- faces --------------------------------------------------------------------------------------


def test_today_and_week_tell_the_kilograms(folder: Path) -> None:
    today = told(folder, "today", "--today", "2027-01-06")
    assert "6 hangs at 70 % of 40 kg a hand (28 kg)" in today  # new to it
    assert "The 40 kg are by your test Finger pull of Sat 2 Jan 2027, give or take 1.2 kg" in today
    week = told(folder, "week", "2027-01-06", "--today", "2027-01-06")
    assert "6 hangs at 70 % of 40 kg a hand (28 kg)" in week


def test_the_test_day_carries_protocol_and_last_result(folder: Path) -> None:
    today = told(folder, "today", "--today", "2027-01-07")
    assert "Your test is Finger pull: Pull up a load, or on a scale" in today
    assert "Last Finger pull: 40 kg on Sat 2 Jan 2027." in today
    week = told(folder, "week", "2027-01-06", "--today", "2027-01-06")
    assert "Last Finger pull: 40 kg on Sat 2 Jan 2027" in week


def test_a_new_test_changes_just_the_events_that_show_it(folder: Path) -> None:
    def files() -> dict[str, bytes]:
        desk = Desk(folder)
        assert desk.plan is not None and not desk.stale
        now = datetime(2027, 1, 2, 12, tzinfo=UTC)
        known = shown_by(desk.year, desk.plan, Wish(), before={}, now=now, diary=desk.diary)
        return files_by(desk.year, desk.plan, Wish(), known, diary=desk.diary)

    before = files()
    (folder / "diary.csv").write_text(HEAD + FIRST + SECOND, encoding="utf-8")
    after = files()
    changed = [name for name in before if before[name] != after[name]]
    texts = [after[name].decode().replace("\r\n ", "") for name in changed]
    assert len(changed) == 2
    assert any("70 % of 42 kg a hand" in text for text in texts)
    assert any("Last Finger pull: 44 kg" in text for text in texts)


def test_a_faulty_diary_or_none_leaves_the_texts_as_they_are(folder: Path) -> None:
    (folder / "diary.csv").write_text("nonsense\n", encoding="utf-8")
    assert Desk(folder).tested is UNTESTED
    (folder / "diary.csv").unlink()
    assert Desk(folder).tested is UNTESTED and "of your maximum" in told(
        folder, "today", "--today", "2027-01-06"
    )


def test_the_year_of_these_tests_has_no_test_of_its_own() -> None:
    assert "[[test]]" not in YEAR
