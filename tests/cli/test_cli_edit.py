"""Edits as commands: typed, kept, told, refused, undone."""

from __future__ import annotations

import json
import shlex
from pathlib import Path
from typing import Any

import pytest
from draft_maker import SESSION, YEAR, draft
from places import TESTS
from typer.testing import CliRunner

from seasonplan.cli.app import app
from seasonplan.cli.exits import Exit
from seasonplan.edits import REGISTRY, EditForm, PinBlock
from seasonplan.edits.fields import settings
from seasonplan.errors import ChangedOnDisk
from seasonplan.plan import Plan
from seasonplan.vocabulary import Kind
from seasonplan.workspace.desk import Desk
from seasonplan.workspace.store import save_plan


def run(*arguments: object) -> Any:
    return CliRunner().invoke(app, [str(one) for one in arguments], env={"COLUMNS": "100"})


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with the year and the hand-made plan of `draft_maker`."""
    (tmp_path / "year.toml").write_text(YEAR, encoding="utf-8")
    made = draft().plan
    assert made is not None
    digest = Desk(tmp_path)._meaning
    current = made.current.model_copy(update={"year_digest": digest})
    plan = Plan(calendar_key=made.calendar_key, revisions=(current,))
    save_plan(tmp_path, plan, based_on=None)
    return tmp_path


@pytest.mark.parametrize("form", REGISTRY, ids=lambda form: form.verb)
def test_the_example_of_a_command_is_in_its_help_and_can_be_typed(
    form: EditForm, folder: Path
) -> None:
    told = run("edit", folder, form.verb, "--help")
    assert told.exit_code == Exit.FINE
    assert "Example:" in told.stdout and form.help.split(",")[0] in told.stdout
    ran = run("edit", folder, *shlex.split(form.example))
    # done, or refused because this year has no such thing; never an error of usage
    assert "Usage:" not in ran.output and "Traceback" not in ran.output
    assert ran.exit_code == Exit.FINE or "Nothing was changed" in ran.output


def test_an_edit_is_kept_and_told_as_was_and_is(folder: Path) -> None:
    ran = run("edit", folder, "change", "isle", "last=2027-01-30")
    assert ran.exit_code == Exit.FINE
    assert "last was Sun 31 Jan 2027, is Sat 30 Jan 2027." in ran.stdout
    assert f"`seasonplan replan {folder}`" in ran.stderr
    assert "last = 2027-01-30" in (folder / "year.toml").read_text()
    assert Desk(folder).stale


def test_a_removed_entry_says_what_its_goals_lose(folder: Path) -> None:
    run("edit", folder, "change", "long-crack", "served_by=isle")
    ran = run("edit", folder, "remove", "isle", "--plain")
    assert "served by was isle, is no longer said: any rock of its place" in ran.stdout
    assert 'The trip "Isle" is gone; it said ' in ran.stdout


def test_who_names_no_setting_gets_a_list_of_all(folder: Path) -> None:
    before = (folder / "year.toml").read_bytes()
    ran = run("edit", folder, "set")
    assert ran.exit_code == Exit.BAD_INPUT and "No setting is named." in ran.stderr
    named = {line.split()[0] for line in ran.stderr.splitlines() if line.startswith("  ")}
    tables = {one for one in settings() if any(key.startswith(f"{one}.") for key in named)}
    assert named >= {*settings()} - tables and tables == {"climber.level"}
    assert (folder / "year.toml").read_bytes() == before


def test_weekdays_for_the_rock_are_said_as_in_a_form(folder: Path) -> None:
    ran = run("edit", folder, "set", "climber.rock_days", "sat,sun")
    assert ran.exit_code == Exit.FINE
    assert "climber.rock_days is now saturday and sunday." in ran.stdout
    assert Desk(folder).year.climber.rock_days == ("saturday", "sunday")


def test_a_negative_number_of_days_is_no_option(folder: Path) -> None:
    ran = run("edit", folder, "move", "strength-1", "--days", "-3")
    assert ran.exit_code == Exit.FINE and "first Fri 5 Feb 2027" in ran.stdout


def test_a_refused_edit_changes_nothing_and_says_what_would_work(folder: Path) -> None:
    ran = run("edit", folder, "move", "base-1", "--days", "3")
    assert ran.exit_code == Exit.BAD_INPUT
    assert "“Isle” is in the way" in ran.stderr and "4 weeks later would work" in ran.stderr
    assert (folder / "year.toml").read_text() == YEAR


def test_the_folder_may_be_left_out(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(folder)
    assert run("edit", "pin", "base-1").exit_code == Exit.FINE
    assert 'id = "pin-base-1"' in Path("year.toml").read_text()


def test_json_of_an_edit_holds_what_was_and_is(folder: Path) -> None:
    ran = run("edit", folder, "set", "climber.minutes.tuesday", "1h", "--json")
    assert json.loads(ran.stdout) == {
        "changes": [
            {"how": "changed", "section": None, "about": "climber.minutes.tuesday", "key": None,
             "was": 90, "now": "1h"}
        ],
        "diary": False,
    }  # fmt: skip


def test_a_session_marked_done_is_in_the_diary(folder: Path) -> None:
    early = run("edit", folder, "done", SESSION, "--today", "2027-01-01")
    assert early.exit_code == Exit.BAD_INPUT and "which is still to come" in early.stderr
    assert not (folder / "diary.csv").exists()
    ran = run("edit", folder, "done", SESSION, "--effort", "3", "--today", "2027-01-05")
    assert "diary" in ran.stdout and "seasonplan replan" not in ran.stderr
    assert SESSION in (folder / "diary.csv").read_text()
    run("edit", folder, "missed", SESSION, "--today", "2027-01-05")
    assert len((folder / "diary.csv").read_text().splitlines()) == 3


def test_a_file_changed_meanwhile_is_not_written_over(folder: Path) -> None:
    desk = Desk(folder)
    (folder / "year.toml").write_text(YEAR + "# mine\n")
    with pytest.raises(ChangedOnDisk):
        desk.change(PinBlock(block="base-1"))
    assert (folder / "year.toml").read_text() == YEAR + "# mine\n"


@pytest.mark.parametrize(
    ("words", "first", "line"),
    [
        (("add", "season"), "Nothing is said of a season.", "chance       needed  40 %, or 40;"),
        (("change", "isle"), "Nothing is said of a trip.", "anything else"),
        (("add", "seson"), "There is no section 'seson'.", "Did you mean season?"),
        (("change", "ilse"), "There is no entry 'ilse'.", "Did you mean isle?"),
    ],
)
def test_who_does_not_know_what_an_entry_takes_leaves_it_out_and_is_told(
    folder: Path, words: tuple[str, ...], first: str, line: str
) -> None:
    ran = run("edit", folder, *words)
    assert ran.exit_code == Exit.BAD_INPUT
    assert ran.stderr.startswith(first) and line in ran.stderr
    assert "Nothing was changed." in ran.stderr


def test_a_session_that_is_skipped_is_not_told_as_a_new_one(folder: Path) -> None:
    skipped = run("edit", folder, "skip", SESSION).stdout
    assert " ".join(skipped.split()) == f"The session {SESSION} is left out."
    back = run("edit", folder, "free-session", SESSION).stdout
    assert f"The session {SESSION} is the plan's again" in " ".join(back.split())


def test_the_first_plan_has_none_before_it_to_compare(folder: Path) -> None:
    ran = run("compare", folder)
    assert ran.exit_code == Exit.BAD_INPUT and "no plan before the first" in ran.stderr


def test_a_refused_redo_tells_what_was_entered_since(folder: Path) -> None:
    run("edit", folder, "change", "isle", "last=2027-01-30")
    told = run("redo", folder).stderr
    assert "Since plan 1: " in told and "last was Sun 31 Jan 2027, is Sat 30 Jan 2027." in told


def test_an_edited_pin_survives_replanning_and_undo_brings_both_back(tmp_path: Path) -> None:
    (tmp_path / "year.toml").write_text((TESTS / "years" / "twelve-weeks.toml").read_text())
    assert run("plan", tmp_path).exit_code == Exit.FINE
    before = Desk(tmp_path)
    assert before.plan is not None
    block = next(b for b in before.plan.current.blocks if b.kind is Kind.BASE)
    ran = run("edit", tmp_path, "shorten", block.id, "--days", "7", "--plan", "--json")
    assert ran.exit_code == Exit.FINE, ran.output
    assert json.loads(ran.stdout)["plan"]["revision"] == 2
    after = Desk(tmp_path).block(block.id)
    assert after is not None and after.pinned
    assert (after.span.first, after.span.length) == (block.span.first, block.span.length - 7)
    assert after.emphasis is block.emphasis and Desk(tmp_path).year.pins[0].emphasis

    undone = run("undo", tmp_path, "--json")
    assert json.loads(undone.stdout)["revision"]["restores"] == 1
    now = Desk(tmp_path)
    assert now.plan is not None and not now.stale
    assert now.plan.current.blocks == before.plan.current.blocks
    assert now.year == before.year

    redone = run("redo", tmp_path)
    assert "Plan 4 is plan 2 again." in redone.stdout
    assert f"{block.id} is shortened and fixed" in redone.stdout.replace("\n  ", " ")
    assert "shortened" in run("compare", tmp_path, 1, 2, "--plain").stdout
    last, named = (run("compare", tmp_path, *numbers).stdout for numbers in ((), (3, 4)))
    assert last == named and "Plans 3 and 4" in last
    assert f"`seasonplan history {tmp_path}`" in run("compare", tmp_path, 1, 99).stderr
    told = run("history", tmp_path, "--plain").stdout.splitlines()
    assert len(told) == 4 and told[3].endswith("(in force)")
    assert len(json.loads(run("history", tmp_path, "--json").stdout)["revisions"]) == 4


FOUR_WEEKS = ("first=2027-01-11", "last=2027-02-07")


def test_undo_is_refused_where_a_hand_changed_the_year_since(folder: Path) -> None:
    (folder / "year.toml").write_text(YEAR + "# mine\n")
    for way in ("undo", "redo"):
        ran = run(way, folder)
        assert ran.exit_code == Exit.BAD_INPUT
        assert (
            "undoing would lose that" in ran.stderr
            and f"`seasonplan replan {folder}`" in ran.stderr
        )
    assert (folder / "year.toml").read_text() == YEAR + "# mine\n"


def test_undo_takes_back_what_was_entered_since_the_plan_and_redo_brings_it_back(
    folder: Path,
) -> None:
    year, plan = folder / "year.toml", (folder / "plan.json").read_bytes()
    before = year.read_text()
    run("edit", folder, "add", "pin", "name=long", "kind=performance", *FOUR_WEEKS)
    entered = year.read_text() + "# and a word of mine\n"
    year.write_text(entered)
    undone = run("undo", folder)
    assert undone.exit_code == Exit.FINE and year.read_text() == before
    assert "The pin “long” is gone" in undone.stdout and "plan 1" in undone.stdout
    assert (folder / "plan.json").read_bytes() == plan
    assert run("redo", folder).exit_code == Exit.FINE and year.read_text() == entered
    assert json.loads(run("undo", folder, "--json").stdout)["changes"]
    assert year.read_text() == before and run("undo", folder).exit_code == Exit.BAD_INPUT
    assert run("redo", folder).exit_code == Exit.FINE and year.read_text() == entered


def test_what_was_taken_back_since_another_plan_is_not_brought_back(folder: Path) -> None:
    year = folder / "year.toml"
    run("edit", folder, "add", "pin", "name=long", "kind=performance", *FOUR_WEEKS)
    run("undo", folder)
    undone = folder / "year-undone.toml"
    undone.write_text(undone.read_text().replace("since plan 1", "since plan 7"))
    before = year.read_text()
    assert run("redo", folder).exit_code == Exit.BAD_INPUT and year.read_text() == before


def test_a_number_out_of_bounds_is_refused_in_words(folder: Path) -> None:
    ran = run("edit", folder, "move", "strength-1", "--days", "900")
    assert ran.exit_code == Exit.BAD_INPUT
    assert ran.stderr == "edit move, days: found 900; wanted 800 or less. Correct it.\n"


def test_days_and_shares_are_said_in_words_on_the_command_line(folder: Path) -> None:
    values = ("name=Second crag", "place=Saltmere", "discipline=sport", "chance=60")
    ran = run(
        "edit", folder, "add", "season", *values, "first=february every year",
        "last=march every year",
    )  # fmt: skip
    assert "chance 60 %, first 1 February every year, last 31 March every year" in " ".join(
        ran.stdout.split()
    )
    assert "contradicts itself" not in ran.stderr
    ran = run("edit", folder, "add", "trip", "name=Y", "first=31 feb", "last=march", "climbing=no")
    assert ran.exit_code == Exit.BAD_INPUT and "February has 28 days" in ran.stderr
