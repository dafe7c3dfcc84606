"""The commands as a climber uses them: what they print, where, and how they end."""

from __future__ import annotations

import json
import re
import shutil
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from page_lines import unbroken
from places import TESTS
from typer.testing import CliRunner

from seasonplan.cli.app import app
from seasonplan.cli.exits import Exit
from seasonplan.errors import CannotWrite, ChangedOnDisk, Misuse
from seasonplan.workspace.desk import Desk

YEARS = TESTS / "years"
STAMP = datetime(2026, 3, 1, 12, tzinfo=UTC)
TODAY = ("--today", "2026-04-22")


def run(*arguments: object, keys: str | None = None) -> Any:
    """The command line run in this process, as a pipe would see it."""
    environment = {"COLUMNS": "80", "NO_COLOR": None}
    return CliRunner().invoke(app, [str(one) for one in arguments], input=keys, env=environment)


def folder_of(situation: str, tmp_path: Path) -> Path:
    shutil.copy(YEARS / f"{situation}.toml", tmp_path / "year.toml")
    return tmp_path


@pytest.fixture(scope="module")
def planned_once(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = folder_of("twelve-weeks", tmp_path_factory.mktemp("planned"))
    Desk(folder).make_plan("planned for the tests", stamp=STAMP)
    return folder


@pytest.fixture
def planned(planned_once: Path, tmp_path: Path) -> Path:
    """A copy of a folder with a plan, to do with as one likes."""
    return Path(shutil.copytree(planned_once, tmp_path / "my-year"))


EARLY = ("--today", "2026-03-02")


def edited(folder: Path, old: str, new: str) -> Path:
    text = (folder / "year.toml").read_text()
    assert old in text
    (folder / "year.toml").write_text(text.replace(old, new))
    return folder


def moved_in_plan(folder: Path) -> Path:
    """A plan as somebody's editor might leave it: the first block's kind exchanged."""
    plan = json.loads((folder / "plan.json").read_text())
    first = plan["revisions"][-1]["blocks"][0]
    first["kind"] = "performance" if first["kind"] != "performance" else "strength"
    (folder / "plan.json").write_text(json.dumps(plan))
    return folder


# --- plan -----------------------------------------------------------------------------------


def test_plan_keeps_a_plan_and_says_what_it_is_worth(tmp_path: Path) -> None:
    folder = folder_of("twelve-weeks", tmp_path)
    ran = run("plan", folder, *TODAY)
    assert ran.exit_code == Exit.FINE
    assert (folder / "plan.json").exists()
    assert "Plan 1 is made" in ran.stdout
    assert "“Slow Lightning” at “Spring in the Cleft”" in ran.stdout
    told = unbroken(ran.stdout)
    assert "found exactly, and confirmed by a second exact method" in told
    assert "days on rock planned" in told and "to expect" in told
    assert "no medical advice" in ran.stdout
    assert ", the first plan; " in unbroken(run("history", folder).stdout)


def test_planning_again_without_a_change_leaves_the_plan(planned: Path) -> None:
    before = (planned / "plan.json").read_bytes()
    ran = run("plan", planned)
    assert "Nothing changed since plan 1" in ran.stdout
    assert (planned / "plan.json").read_bytes() == before


def test_a_plan_that_another_version_counted_otherwise_is_made_anew(planned: Path) -> None:
    """`plan` said that no plan is worth more, and `check` that its worth is not what it says."""
    plan = json.loads((planned / "plan.json").read_text())
    kept = plan["revisions"][-1]
    kept["score"]["points"] -= 1
    kept["proof"]["bound"] -= 1
    (planned / "plan.json").write_text(json.dumps(plan))
    assert "is not what it is worth" in unbroken(run("check", planned, *EARLY).stdout)
    told = run("plan", planned, *EARLY)
    assert "made anew" in unbroken(told.output) and "plan 1 stands" in unbroken(told.stdout)
    assert "No rule is broken" in run("check", planned, *EARLY).stdout
    assert "Nothing changed since plan 1" in run("plan", planned, *EARLY).stdout


def test_plan_as_json_has_the_plan_of_the_file(planned: Path) -> None:
    found = json.loads(run("plan", planned, "--json").stdout)
    kept = Desk(planned).plan
    assert kept is not None
    assert [block["id"] for block in found["plan"]["blocks"]] == [
        block.id for block in kept.current.blocks
    ]
    assert found["plan"]["best"] is True and found["plan"]["confirmed"] is True
    assert found["changed"] is False
    assert found["warnings"] == []


def test_the_cause_is_kept_with_the_plan(tmp_path: Path) -> None:
    folder = folder_of("twelve-weeks", tmp_path)
    run("plan", folder, "--cause", "new trip")
    plan = Desk(folder).plan
    assert plan is not None and plan.current.cause == "new trip"


def test_no_plan_is_an_answer_with_ways_out(tmp_path: Path) -> None:
    ran = run("plan", folder_of("two-pins-on-the-same-days", tmp_path), "--json")
    assert ran.exit_code == Exit.NO_PLAN
    told = unbroken(ran.stderr)
    assert "Quiet week" in told and "Base I want" in told
    found = json.loads(ran.stdout)
    assert found["plan"] is None
    assert {party["name"] for party in found["conflict"]} == {"quiet-week", "base-i-want"}
    assert found["ways_out"]
    assert not (tmp_path / "plan.json").exists()


def test_a_goal_that_nothing_serves_is_pointed_out(tmp_path: Path) -> None:
    folder = edited(folder_of("twelve-weeks", tmp_path), '"7b+"', '"7b+"\nserved_by = []')
    edited(folder, 'place = "Harrow Cleft"\ndiscipline = "sport"\nfirst',
           'place = "Elsewhere"\ndiscipline = "sport"\nfirst')  # fmt: skip
    ran = run("plan", folder)
    assert ran.exit_code == Exit.FINE
    told = "Nothing serves “Slow Lightning”: no season, window or climbing trip at"
    assert told in unbroken(ran.stderr)


def test_young_and_hurt_climbers_read_their_caution(tmp_path: Path) -> None:
    folder = edited(folder_of("twelve-weeks", tmp_path), "[climber.minutes]",
                    "birth_year = 2009\n\n[climber.minutes]")  # fmt: skip
    with (folder / "year.toml").open("a") as file:
        file.write('[[injury]]\nname = "Elbow"\npart = "elbow"\nhappened = 2026-02-20\n'
                   "easy_from = 2026-03-02\nbuilding_from = 2026-03-09\n"
                   "full_from = 2026-03-16\n")  # fmt: skip
    told = json.loads(run("plan", folder, "--json").stdout)["cautions"]
    assert any("Under 18" in text for text in told)
    assert any("about the injury" in text for text in told)


# --- check ----------------------------------------------------------------------------------


def test_a_good_plan_breaks_no_rule(planned: Path) -> None:
    ran = run("check", planned)
    assert ran.exit_code == Exit.FINE
    assert ran.stdout.startswith("No rule is broken.")


def test_a_plan_changed_by_hand_is_found_out(planned: Path) -> None:
    ran = run("check", moved_in_plan(planned))
    assert ran.exit_code == Exit.RULES_BROKEN
    assert re.search(r"rules? (is|are) broken", ran.stdout)


def test_a_rule_that_many_sessions_break_is_told_once(planned: Path) -> None:
    away = ["name=Away", "first=2026-03-09", "last=2026-03-15", "climbing=no"]
    run("edit", planned, "add", "trip", *away, *EARLY)
    ran = run("check", planned, *EARLY)
    found = json.loads(run("check", planned, "--json", *EARLY).stdout)["findings"]
    hard = [one["code"] for one in found if one["strength"] == "hard"]
    assert (
        hard.count("session-hours") > 3
        and unbroken(ran.stdout).count("Every session lies in one free") == 1
    )
    head = ran.stdout.partition("\n")[0]
    assert head == f"{len(set(hard))} rules are broken, {len(hard)} times in all."
    every = unbroken(run("check", planned, "--all", *EARLY).stdout)
    assert every.count("Every session lies in one free time") == hard.count("session-hours")


def test_an_edit_tells_what_it_broke_not_what_was_broken_before(planned: Path) -> None:
    told = unbroken(run("edit", planned, "kind", "performance-1", "--kind", "rest", *EARLY).stderr)
    assert "! " in told and "As before" not in told
    far = ["name=Later", "first=2029-03-09", "last=2029-03-15", "climbing=no"]
    told = unbroken(run("edit", planned, "add", "trip", *far, *EARLY).stderr)
    assert re.search(r"As before this change, [\w ]+ broken: `seasonplan check", told)
    assert "! " not in told
    assert "“Later” lies outside your year, Mon 2 Mar 2026 to Sun 24 May 2026: nothing" in told


def test_check_as_json_counts_what_is_broken(planned: Path) -> None:
    ran = run("check", moved_in_plan(planned), "--json")
    found = json.loads(ran.stdout)
    hard = [one for one in found["findings"] if one["strength"] == "hard"]
    assert found["broken"] == len(hard) > 0
    assert all(one["sentence"] for one in found["findings"])


def test_check_says_when_the_year_was_changed_after_the_plan(planned: Path) -> None:
    ran = run("check", edited(planned, "2026-03-22", "2026-03-23"), "--json")
    assert "was changed after the plan was made" in unbroken(ran.stderr)
    assert json.loads(ran.stdout)["stale"] is True


# --- why ------------------------------------------------------------------------------------


def test_why_tells_what_each_change_of_a_block_would_cost(planned: Path) -> None:
    ran = run("why", planned, "performance-1", "--today", "2026-03-02")
    assert ran.exit_code == Exit.FINE
    assert ran.stdout.startswith("performance-1: performance block; ")
    told = unbroken(ran.stdout)
    assert re.search(r"Left out: costs [\d.]+ good days on rock, with form worth [\d.]+\.", told)
    assert re.search(r"shorter \(\d+ \w{3} to \d+ \w{3}\): costs", told)
    assert "Not possible under your rules and entries:" in told
    assert re.search(r"because of .* on rock in it, about .* good, for “Slow Lightning”", told)


def test_why_tells_the_whole_year_and_how_prices_are_counted(planned: Path) -> None:
    ran = run("why", planned, "--today", "2026-03-02")
    kept = Desk(planned).plan
    assert kept is not None
    for block in kept.current.blocks:
        assert re.search(rf"^{block.id}: ", ran.stdout, re.MULTILINE)
    assert unbroken(ran.stdout).count("“form worth” count all that changes in good days") == 1
    assert "points" not in ran.stdout


def test_why_as_json_has_every_other_year_in_numbers(planned: Path) -> None:
    ran = run("why", planned, "base-1", "--json", "--today", "2026-03-02")
    (found,) = json.loads(ran.stdout)["why"]
    ways = {one["way"] for one in found["others"]}
    assert "left out" in ways and not ways & set(found["impossible"])
    assert all(one["points"] <= 0 and one["first"] <= one["last"] for one in found["others"])


def test_why_as_json_holds_one_entry_for_each_block(planned: Path) -> None:
    ran = run("why", planned, "absence-1", "--json", "--today", "2026-03-02")
    found = json.loads(ran.stdout)["why"]
    assert [one["block"] for one in found] == ["absence-1"]
    assert "“Family week”" in found[0]["sentences"][0]


def test_an_unknown_block_gets_the_nearest_name(planned: Path) -> None:
    ran = run("why", planned, "preformance-1")
    assert ran.exit_code == Exit.BAD_INPUT
    assert "Did you mean performance-1?" in ran.stderr


def test_why_wants_a_plan_of_the_year_as_it_is(planned: Path) -> None:
    ran = run("why", edited(planned, "2026-03-22", "2026-03-23"), "base-1")
    assert ran.exit_code == Exit.BAD_INPUT
    assert f"Run `seasonplan replan {planned}` first." in unbroken(ran.stderr)


# --- export ---------------------------------------------------------------------------------


def test_export_writes_a_calendar_beside_the_year(planned: Path) -> None:
    ran = run("export", planned)
    assert ran.exit_code == Exit.FINE
    content = (planned / "seasonplan.ics").read_bytes()
    events = content.count(b"BEGIN:VEVENT")
    assert events > 4 and f"{events} events" in ran.stdout


def test_export_to_stdout_is_the_calendar_and_nothing_else(planned: Path) -> None:
    run("export", planned)
    ran = run("export", planned, "--out", "-")
    assert ran.stdout_bytes == (planned / "seasonplan.ics").read_bytes()


def test_a_layer_left_out_is_not_in_the_calendar(planned: Path) -> None:
    def names(*options: str) -> str:
        return str(run("export", planned, "--out", "-", *options).stdout)

    assert "Season: Spring in the Cleft" in names()
    assert "Season: Spring in the Cleft" not in names("--without", "seasons")


def test_export_as_json_says_what_is_left_out(planned: Path) -> None:
    found = json.loads(run("export", planned, "--json", "--without", "notes").stdout)
    assert found["left_out"] == ["injuries", "notes"]
    assert Path(found["file"]).exists()


def test_export_never_overwrites_what_is_no_calendar(planned: Path) -> None:
    before = (planned / "year.toml").read_bytes()
    ran = run("export", planned, "--out", planned / "year.toml")
    assert ran.exit_code == Exit.CHANGED_ON_DISK
    assert (planned / "year.toml").read_bytes() == before


def test_export_to_a_folder_that_is_not_there_cannot_write(planned: Path) -> None:
    ran = run("export", planned, "--out", planned / "nowhere" / "a.ics")
    assert ran.exit_code == Exit.CANNOT_WRITE
    assert "could not be written" in ran.stderr


# --- rules ----------------------------------------------------------------------------------


def test_a_rule_in_full_shows_its_reason_evidence_and_source() -> None:
    ran = run("rules", "lead-in-volume")
    assert "41-60 %" in ran.stdout and "Evidence: review" in ran.stdout
    assert "Bosquet" in ran.stdout and "(abstract read)" in unbroken(ran.stdout)


def test_rules_show_what_the_climber_changed(tmp_path: Path) -> None:
    folder = folder_of("twelve-weeks", tmp_path)
    with (folder / "year.toml").open("a") as file:
        file.write("[rules.load-step]\non = false\n")
    found = json.loads(run("rules", "--in", folder, "--json").stdout)["rules"]
    changed = {rule["code"]: rule["on"] for rule in found if rule["changed"]}
    assert changed == {"load-step": False}
    assert all(rule["sources"] for rule in found)
    assert "preference, off, changed by you" in run("rules", "--in", folder, "load-step").stdout


def test_an_unknown_rule_gets_the_nearest_code() -> None:
    ran = run("rules", "lod-step")
    assert ran.exit_code == Exit.BAD_INPUT
    assert "Did you mean load-step?" in ran.stderr


# --- errors ---------------------------------------------------------------------------------


def test_all_faults_of_a_year_file_are_told_each_on_its_line(tmp_path: Path) -> None:
    folder = edited(folder_of("twelve-weeks", tmp_path), 'grade = "7b+"', 'grade = "hard"')
    edited(folder, "priority = 1", "priority = 9")
    edited(folder, "tuesday = 90", 'tuesday = "long"')
    ran = run("plan", folder)
    assert ran.exit_code == Exit.BAD_INPUT
    lines = ran.stderr.splitlines()
    assert len(lines) == 3
    assert all(re.search(r"year\.toml, line \d+, .*: found .*; wanted", line) for line in lines)
    assert ran.stdout == ""


@pytest.mark.parametrize("command", ["plan", "check", "why", "show", "export"])
def test_a_folder_without_a_year_says_how_to_make_one(command: str, tmp_path: Path) -> None:
    ran = run(command, tmp_path)
    assert ran.exit_code == Exit.BAD_INPUT
    assert "seasonplan new" in ran.stderr


@pytest.mark.parametrize("command", ["check", "why", "export"])
def test_a_year_without_a_plan_says_how_to_make_one(command: str, tmp_path: Path) -> None:
    ran = run(command, folder_of("twelve-weeks", tmp_path))
    assert ran.exit_code == Exit.BAD_INPUT
    assert f"Run `seasonplan plan {tmp_path}` to make one." in ran.stderr


@pytest.mark.parametrize(
    ("error", "code"),
    [
        (ChangedOnDisk("plan.json"), Exit.CHANGED_ON_DISK),
        (CannotWrite("plan.json", "no room"), Exit.CANNOT_WRITE),
        (Misuse("planner and checker disagree"), Exit.OUR_MISTAKE),
        (KeyboardInterrupt(), Exit.STOPPED),
    ],
)
def test_each_error_has_an_exit_code_of_its_own(
    error: BaseException, code: Exit, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_: object, **__: object) -> None:
        raise error

    monkeypatch.setattr(Desk, "make_plan", fail)
    if isinstance(error, KeyboardInterrupt):
        monkeypatch.setattr(Desk, "__init__", fail)
    ran = run("plan", folder_of("twelve-weeks", tmp_path))
    assert ran.exit_code == code
    assert ran.stderr.strip() and "Traceback" not in ran.output


def test_a_wrong_date_is_refused_in_words(planned: Path) -> None:
    ran = run("show", planned, "--today", "soon")
    assert ran.exit_code == Exit.BAD_INPUT
    assert "found 'soon'; wanted a day such as" in unbroken(ran.stderr)
