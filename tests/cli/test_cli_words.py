"""Words of the command line: days as one says them, commands with the folder as it was given."""

from __future__ import annotations

import re
import shlex
import shutil
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from page_lines import unbroken
from places import ROOT
from typer.testing import CliRunner

from seasonplan.cli.app import app
from seasonplan.cli.exits import Exit
from seasonplan.workspace.desk import Desk
from seasonplan.workspace.store import load_year

DEMO = ROOT / "calendars_demo" / "autumn-project"
WEDNESDAY = "2027-02-17"


def run(*arguments: object) -> Any:
    return CliRunner().invoke(app, [str(one) for one in arguments], env={"COLUMNS": "400"})


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A planned year."""
    return Path(shutil.copytree(DEMO, tmp_path / "my year"))


@pytest.fixture
def bare(tmp_path: Path) -> Path:
    """A year without a plan."""
    (tmp_path / "year.toml").write_bytes((DEMO / "year.toml").read_bytes())
    return tmp_path


# --- days -------------------------------------------------------------------------------------


def test_a_day_is_said_in_words_wherever_one_is_asked_for(folder: Path) -> None:
    today = ("--today", WEDNESDAY)
    week = run("week", folder, "next friday", *today)
    assert week.exit_code == Exit.FINE and "Mon 22 Feb 2027 to Sun 28 Feb 2027" in week.stdout
    shown = run("show", folder, "--from", "12 sep", "--weeks", 1, *today)
    assert shown.exit_code == Exit.FINE and "Sep 2027" in shown.stdout
    logged = run("log", folder, "note", "Slept badly", "--on", "yesterday", *today)
    assert logged.exit_code == Exit.FINE and "Tue 16 Feb 2027" in logged.stdout
    plan = Desk(folder).plan
    assert plan is not None
    now = date.fromisoformat(WEDNESDAY)
    (block,) = [one for one in plan.current.blocks if now in one.span]
    edited = run("edit", folder, "resize", block.id, "--last", "in 2 weeks", *today)
    assert edited.exit_code == Exit.FINE and "Wed 3 Mar 2027" in edited.stdout
    ill = run("ill", folder, "--from", "last monday", "--to", "tomorrow", *today)
    assert ill.exit_code == Exit.FINE and "Mon 15 Feb 2027 to Thu 18 Feb 2027" in ill.stdout
    on_that_day = run("today", folder, "--today", "17 feb 2027")
    assert "Wed 17 Feb 2027" in on_that_day.stdout


def test_the_sessions_of_a_day_are_logged_by_its_word(folder: Path) -> None:
    ran = run("log", folder, "done", "yesterday", "--today", WEDNESDAY)
    assert ran.exit_code == Exit.FINE, ran.stderr
    assert "Tue 16 Feb 2027: done" in ran.stdout
    none = run("log", folder, "missed", "yesterday", "--today", WEDNESDAY)
    assert "found nothing on Tue 16 Feb 2027 that is planned and not logged" in none.stderr
    (named,) = re.findall(r"is changed by its id \(([^,)]+)", none.stderr)
    again = run("log", folder, "missed", named, "--today", WEDNESDAY)
    assert again.exit_code == Exit.FINE and "what you say now counts" in again.stderr


def test_a_day_may_stand_where_the_folder_does(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(folder)
    ran = run("week", "tomorrow", "--today", WEDNESDAY)
    assert ran.exit_code == Exit.FINE and "Mon 15 Feb 2027" in ran.stdout


def test_what_is_no_day_is_refused_with_an_example(folder: Path) -> None:
    ran = run("show", folder, "--from", "soon")
    assert ran.exit_code == Exit.BAD_INPUT
    assert "found 'soon'; wanted a day such as 2026-09-20, 12 sep" in ran.stderr


# --- an injury to come --------------------------------------------------------------------------


def test_an_injury_has_happened_and_does_not_lie_ahead(folder: Path) -> None:
    hurt = ("injury", folder, "--part", "elbow", "--happened", "2027-09-01")
    ran = run(*hurt, "--today", WEDNESDAY)
    assert ran.exit_code == Exit.BAD_INPUT
    assert (
        "--happened: found Wed 1 Sep 2027; wanted today (Wed 17 Feb 2027) or before" in ran.stderr
    )
    assert not load_year(folder).year.injuries
    assert run(*hurt, "--today", "2027-09-02").exit_code == Exit.FINE


# --- commands ---------------------------------------------------------------------------------


def test_commands_are_named_with_the_folder_as_it_was_given(folder: Path) -> None:
    named = shlex.quote(str(folder))
    told = run("injury", folder, "--part", "elbow", "--today", WEDNESDAY)
    assert f"`seasonplan injury {named} --change elbow`" in unbroken(told.stdout)
    assert f"run `seasonplan replan {named}`" in unbroken(told.stderr)
    ill = run("ill", folder, "--from", "yesterday", "--to", "today", "--today", WEDNESDAY)
    week = run("week", folder, "--today", WEDNESDAY)
    edit = run("edit", folder, "set", "climber.minutes.tuesday", "1h", "--today", WEDNESDAY)
    check = run("check", folder, "--today", WEDNESDAY)
    for ran in (ill, week, edit, check):
        assert f"`seasonplan replan {named}`" in unbroken(ran.stderr), ran.stderr


def test_without_a_plan_the_first_one_is_advised(bare: Path) -> None:
    ran = run("edit", bare, "set", "climber.minutes.tuesday", "1h", "--today", WEDNESDAY)
    assert f"Run `seasonplan plan {bare}` to let the plan follow." in unbroken(ran.stderr)
    ran = run("injury", bare, "--part", "elbow", "--today", WEDNESDAY)
    assert f"There is no plan yet: run `seasonplan plan {bare}`." in unbroken(ran.stderr)


def test_in_this_folder_commands_need_none(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(folder)
    ran = run("edit", "set", "climber.minutes.tuesday", "1h", "--today", WEDNESDAY)
    assert "Run `seasonplan replan` to let the plan follow." in unbroken(ran.stderr)


@pytest.mark.parametrize("name", ["/nowhere/at-all", "my-yaer", "shwo"])
def test_a_name_that_is_neither_command_nor_folder_is_told_so(name: str) -> None:
    ran = run(name)
    assert ran.exit_code == Exit.BAD_INPUT
    assert f"found {name!r}, neither a command nor a folder" in ran.stderr
    assert f"`seasonplan new {name}` begins a year there" in ran.stderr
    assert ("Did you mean show?" in ran.stderr) is (name == "shwo")


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("conditions", "--weeks", "99"), "found '99'; wanted 52 or less"),
        (("conditions", "--weeks", "x"), "found 'x'; wanted a whole number"),
        (("conditions", "--discipline", "x"), "found 'x'; wanted sport, trad, boulder"),
        (("export", "--without", "x"), "found 'x'; wanted sessions, blocks"),
    ],
)
def test_what_an_option_wants_is_said_in_our_words(
    folder: Path, arguments: tuple[str, ...], says: str
) -> None:
    verb, *more = arguments
    ran = run(verb, folder, *more)
    assert ran.exit_code == Exit.BAD_INPUT and says in ran.stderr
    assert "nput should" not in ran.stderr and "Value error" not in ran.stderr


def test_what_a_verb_of_edit_wants_is_said_in_our_words(folder: Path) -> None:
    ran = run("edit", folder, "move", "strength-1", "--days", "soon")
    assert ran.exit_code == Exit.BAD_INPUT and "found 'soon'; wanted a whole number" in ran.stderr
