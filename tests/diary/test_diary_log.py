"""`seasonplan log`: what a climber types, what is written, and what is said back."""

from __future__ import annotations

import json
import shutil
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from page_lines import unbroken
from places import TESTS
from typer.testing import CliRunner

from seasonplan.cli.app import app
from seasonplan.cli.exits import Exit
from seasonplan.diary import DiaryEntry, Did, parse
from seasonplan.workspace.desk import Desk
from seasonplan.workspace.store import save_diary

YEARS = TESTS / "years"
STAMP = datetime(2026, 3, 1, 12, tzinfo=UTC)


def run(*arguments: object) -> Any:
    environment = {"COLUMNS": "80", "NO_COLOR": None}
    return CliRunner().invoke(app, [str(one) for one in arguments], env=environment)


def log(folder: Path, *arguments: object, today: str = "2026-04-22") -> Any:
    return run("log", folder, *arguments, "--today", today)


def diary(folder: Path) -> tuple[DiaryEntry, ...]:
    return parse((folder / "diary.csv").read_text(encoding="utf-8"), file="diary.csv")


@pytest.fixture(scope="module")
def planned_once(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("planned")
    shutil.copy(YEARS / "twelve-weeks.toml", folder / "year.toml")
    Desk(folder).make_plan("planned for the tests", stamp=STAMP)
    return folder


@pytest.fixture
def planned(planned_once: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(planned_once, tmp_path / "my-year"))


@pytest.fixture
def bare(tmp_path: Path) -> Path:
    """A folder with a year and no plan."""
    shutil.copy(YEARS / "twelve-weeks.toml", tmp_path / "year.toml")
    return tmp_path


def sessions_on_one_day(folder: Path, least: int) -> tuple[str, list[str]]:
    """A day of the plan with so many sessions to do, and their ids."""
    plan = Desk(folder).plan
    assert plan is not None
    days: dict[str, list[str]] = {}
    for session in plan.current.sessions:
        if session.minutes:
            days.setdefault(str(session.day), []).append(session.id)
    return next((day, names) for day, names in days.items() if len(names) >= least)


# --- sessions -------------------------------------------------------------------------------


def test_all_of_today_is_logged_with_two_words(planned: Path) -> None:
    day, names = sessions_on_one_day(planned, 2)
    ran = log(planned, "done", "today's", today=day)
    assert ran.exit_code == Exit.FINE, ran.stderr
    assert sorted(entry.session for entry in diary(planned)) == sorted(names)
    assert all(entry.minutes and entry.rpe is None for entry in diary(planned))
    again = log(planned, "done", "today", today=day)
    assert again.exit_code == Exit.BAD_INPUT and "not logged" in again.stderr


def test_one_effort_is_not_spread_over_several_sessions(planned: Path) -> None:
    day, names = sessions_on_one_day(planned, 2)
    ran = log(planned, "done", "today", "--rpe", 6, today=day)
    assert ran.exit_code == Exit.BAD_INPUT and names[0] in ran.stderr
    assert not (planned / "diary.csv").exists()


def test_a_cell_that_is_wrong_is_named_as_it_was_typed(planned: Path) -> None:
    ran = log(planned, "done", "--what", "Stairs", "--effort", 17, "--at", "25:00")
    assert "log, --effort: found 17" in ran.stderr and "log, --at: found" in ran.stderr


def test_a_session_is_logged_by_its_id_on_its_own_day(planned: Path) -> None:
    day, names = sessions_on_one_day(planned, 1)
    ran = log(planned, "done", names[0], "--minutes", "1h05", "--rpe", "6.5", "--note", "good")
    assert ran.exit_code == Exit.FINE, ran.stderr
    (entry,) = diary(planned)
    assert (str(entry.date), entry.minutes, entry.rpe, entry.note) == (day, 65, 6.5, "good")


def test_saying_it_again_counts_instead(planned: Path) -> None:
    _, names = sessions_on_one_day(planned, 1)
    log(planned, "done", names[0])
    ran = log(planned, "missed", names[0])
    assert ran.exit_code == Exit.FINE and "what you say now counts" in unbroken(ran.stderr)
    assert [entry.kind for entry in diary(planned)] == [Did.DONE, Did.MISSED]


def test_a_session_nobody_planned_is_told_with_the_nearest(planned: Path) -> None:
    _, names = sessions_on_one_day(planned, 1)
    ran = log(planned, "missed", names[0][:-1])
    assert ran.exit_code == Exit.BAD_INPUT and "Did you mean" in ran.stderr


def test_something_the_plan_does_not_have_is_logged_too(bare: Path) -> None:
    ran = log(bare, "done", "--what", "=Stairs", "--minutes", 20, "--rpe", 3)
    assert ran.exit_code == Exit.FINE, ran.stderr
    assert "Wed 22 Apr 2026: done, =Stairs, 20 minutes, effort 3 of 10." in ran.stdout
    assert "'=Stairs" in (bare / "diary.csv").read_text()


def test_a_session_of_a_coming_day_is_logged_on_the_day_it_was_done(planned: Path) -> None:
    day, names = sessions_on_one_day(planned, 1)
    before = str(date.fromisoformat(day) - timedelta(days=1))
    ran = log(planned, "done", "tomorrow", today=before)
    assert ran.exit_code == Exit.BAD_INPUT and "say when: --on today" in unbroken(ran.stderr)
    ran = log(planned, "missed", "tomorrow", today=before)
    assert ran.exit_code == Exit.BAD_INPUT and "will not take place" in unbroken(ran.stderr)
    ran = log(planned, "done", "tomorrow", "--on", "today", today=before)
    assert ran.exit_code == Exit.FINE, ran.stderr
    logged = diary(planned)
    assert {one.session for one in logged} == set(names)
    assert {str(one.date) for one in logged} == {before}


def test_nothing_to_log_and_days_to_come_are_refused(bare: Path) -> None:
    assert "session or recipe or what" in log(bare, "done").stderr
    ran = log(bare, "note", "soon", "--on", "2026-04-23")
    assert ran.exit_code == Exit.BAD_INPUT and "Wed 22 Apr 2026" in ran.stderr
    assert not (bare / "diary.csv").exists()


# --- other rows -----------------------------------------------------------------------------


def test_the_folder_may_be_left_out(bare: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(bare)
    assert run("log", "weight", "68.4", "--today", "2026-04-22").exit_code == Exit.FINE
    assert run("log", "test", "20 mm hang", "32.5", "kg", "--today", "2026-04-22").exit_code == 0
    assert [(one.kind, one.value, one.unit) for one in diary(bare)] == [
        (Did.WEIGHT, 68.4, "kg"), (Did.TEST, 32.5, "kg"),
    ]  # fmt: skip


def test_every_fault_of_what_was_typed_is_told_at_once(bare: Path) -> None:
    ran = log(bare, "pain", "toe", 14, "--side", "up")
    assert ran.exit_code == Exit.BAD_INPUT and len(ran.stderr.splitlines()) == 3


def test_pain_twice_brings_a_word_and_an_offer(bare: Path) -> None:
    assert "Take care" not in log(bare, "pain", "elbow", 3, "--on", "2026-04-12").stdout
    ran = log(bare, "pain", "Elbow", "4,5")
    told = unbroken(ran.stdout)
    assert "hurt twice from Sun 12 Apr 2026 to Wed 22 Apr 2026, at worst 4.5 of 10" in told
    assert f"`seasonplan injury {bare}`" in told and "Nothing is diagnosed" in told
    as_json = json.loads(log(bare, "pain", "elbow", 6, "--json").stdout)
    assert as_json["entries"][0]["pain"] == 6 and as_json["notices"]


def test_what_the_climber_keeps_in_the_file_stays(bare: Path) -> None:
    mine = "Mood;date;kind;note\r\nfine;2026-04-01;note;windy\r\n"
    (bare / "diary.csv").write_bytes(mine.encode())
    assert log(bare, "note", "calm").exit_code == Exit.FINE
    assert (bare / "diary.csv").read_bytes() == (mine + ";2026-04-22;note;calm\r\n").encode()


def test_a_diary_with_mistakes_is_not_written_to(bare: Path) -> None:
    (bare / "diary.csv").write_text("date,kind\n2026-04-01,jumped\n")
    ran = log(bare, "note", "calm")
    assert ran.exit_code == Exit.BAD_INPUT and "line 2, kind" in ran.stderr
    (bare / "diary.csv").write_bytes(b"date,kind\n\xff")
    assert "not UTF-8" in log(bare, "note", "calm").stderr


def elsewhere(monkeypatch: pytest.MonkeyPatch, *, times: int) -> None:
    """Another program writes so many rows, each just before ours is saved."""
    left = list(range(times))

    def changed(folder: Path, text: str, *, based_on: str | None) -> None:
        if left:
            with (folder / "diary.csv").open("a") as file:
                file.write(f"2026-04-01,note,,theirs {left.pop(0)}\n")
        save_diary(folder, text, based_on=based_on)

    monkeypatch.setattr("seasonplan.workspace.store.save_diary", changed)


def test_rows_written_meanwhile_stay_and_ours_follow(
    bare: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (bare / "diary.csv").write_text("date,kind,what,note\n2026-04-01,note,,first\n")
    elsewhere(monkeypatch, times=3)
    assert log(bare, "note", "ours").exit_code == Exit.FINE
    notes = [entry.note for entry in diary(bare)]
    assert notes == ["first", "theirs 0", "theirs 1", "theirs 2", "ours"]


def test_a_program_that_never_rests_leaves_the_diary_alone(
    bare: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (bare / "diary.csv").write_text("date,kind,what,note\n2026-04-01,note,,first\n")
    elsewhere(monkeypatch, times=1000)
    assert log(bare, "note", "ours").exit_code == Exit.CHANGED_ON_DISK
    assert "ours" not in [entry.note for entry in diary(bare)]


def test_two_imports_of_one_table_at_once_take_it_over_once(
    bare: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    table = tmp_path / "old.csv"
    table.write_text("Day,Session\n2026-04-01,Hangs\n")
    command = ("import", table, "--map", "date=Day", "--map", "what=Session", "--set", "kind=done")
    met: list[str] = []

    def meets(folder: Path, text: str, *, based_on: str | None) -> None:
        if not met:
            met.append("the other import")
            assert log(bare, *command).stdout == "1 row was taken over.\n"
        save_diary(folder, text, based_on=based_on)

    monkeypatch.setattr("seasonplan.workspace.store.save_diary", meets)
    assert log(bare, *command).stdout.startswith("0 rows were taken over.")
    assert met and [entry.what for entry in diary(bare)] == ["Hangs"]


# --- import ---------------------------------------------------------------------------------


def test_another_table_is_taken_over_once(bare: Path, tmp_path: Path) -> None:
    table = tmp_path / "old.csv"
    table.write_text("Tag;Dauer;Was\n01.04.2026;1,5;Klettern\n32.04.2026;1;Laufen\n")
    command = (
        "import", table, "--map", "date=Tag", "--map", "minutes=Dauer", "--map", "what=Was",
        "--set", "kind=done", "--dates", "DD.MM.YYYY", "--time-unit", "h",
    )  # fmt: skip
    tried = log(bare, *command, "--dry-run")
    assert tried.exit_code == Exit.FINE and not (bare / "diary.csv").exists()
    ran = log(bare, *command)
    assert ran.exit_code == Exit.FINE and ran.stdout == "1 row was taken over.\n"
    assert "1 row was left out" in ran.stderr and "line 3, date" in unbroken(ran.stderr)
    assert [(entry.what, entry.minutes) for entry in diary(bare)] == [("Klettern", 90)]
    again = log(bare, *command)
    assert again.stdout.startswith("0 rows were taken over.") and len(diary(bare)) == 1


def test_a_table_that_fits_nowhere_ends_badly(bare: Path, tmp_path: Path) -> None:
    table = tmp_path / "old.csv"
    table.write_text("date,what\nsoon,Hangs\n")
    command = ("import", table, "--map", "date=date", "--map", "what=what")
    assert log(bare, *command, "--set", "kind=done").exit_code == Exit.BAD_INPUT
    assert "--time-unit" in log(bare, *command, "--time-unit", "days").stderr
    assert "--map" in log(bare, "import", table, "--map", "date").stderr
    assert "No such file" in log(bare, "import", tmp_path / "none.csv").stderr


# --- show -----------------------------------------------------------------------------------


def test_the_diary_is_read_back(bare: Path) -> None:
    assert "empty" in log(bare, "show").stdout
    log(bare, "note", "later")
    log(bare, "note", "earlier", "--on", "2026-04-01")
    lines = log(bare, "show").stdout.splitlines()
    assert "earlier" in lines[0] and "later" in lines[1]
    assert "later" in log(bare, "show", "--last", 1).stdout.splitlines()[0]


def test_weeks_show_planned_beside_done_and_silence_is_noticed(planned: Path) -> None:
    day, _ = sessions_on_one_day(planned, 1)
    log(planned, "done", "today's", today=day)
    ran = log(planned, "show", "--weeks")
    first = unbroken(ran.stdout).split(". ")[0]
    assert first.startswith("Mon 2 Mar 2026 to Sun 8 Mar 2026: ") and " sessions, " in first
    assert "That happens" in unbroken(ran.stdout)
    facts = json.loads(log(planned, "show", "--json").stdout)
    assert any(week["silent"] for week in facts["weeks"])
    assert facts["weeks"][0]["done"] > 0 and not facts["weeks"][0]["silent"]


def test_a_diary_from_before_the_year_is_not_called_empty(planned: Path) -> None:
    assert "empty" in log(planned, "show", "--weeks", today="2026-02-20").stdout
    log(planned, "note", "New shoes", today="2026-02-20")
    told = log(planned, "show", "--weeks", today="2026-02-20").stdout
    assert "empty" not in told and "No week of the plan has begun yet." in told
    assert "New shoes" in log(planned, "show", today="2026-02-20").stdout


@pytest.mark.parametrize("command", ["done", "missed", "pain", "test", "weight", "note", "show"])
def test_every_command_explains_itself(command: str) -> None:
    assert run("log", command, "--help").exit_code == Exit.FINE
    assert "    seasonplan log my-year " in run("log", "--help").stdout
