"""`seasonplan replan`: told, asked, refused or accepted; nothing is written before a yes."""

from __future__ import annotations

import json
import re
import shlex
import subprocess
import sys
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from autumn import planned, proposal, reasons, text_of, told, whole
from hurt import hurt_text
from page_lines import unbroken
from typer.testing import CliRunner

from seasonplan.cli.app import app
from seasonplan.cli.exits import Exit
from seasonplan.explain import because
from seasonplan.planner.conflict import Party
from seasonplan.rules.statements import book_of
from seasonplan.workspace.desk import Desk

SPRING = "twelve-weeks"
TODAY = ("--today", "2026-04-08")
FAIR = """
[[absence]]
name = "Fair"   # the big one
first = 2026-04-13
last = 2026-04-17
"""
UNFELT = """
[rules.young-fingers]   # the climber is of age
limit = 16
"""
KNEE = hurt_text("Knee", "knee", "2026-04-08", "2026-04-15", "2026-04-18", "2026-04-22")


def run(*arguments: object, answer: str = "", columns: int = 80) -> Any:
    environment = {"COLUMNS": str(columns), "NO_COLOR": None}
    words = [str(one) for one in arguments]
    return CliRunner().invoke(app, words, env=environment, input=answer)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Twelve weeks with their plan, after a fair was written down."""
    planned(tmp_path, SPRING)
    (tmp_path / "year.toml").write_text(text_of(SPRING) + FAIR, encoding="utf-8")
    return tmp_path


# --- answers --------------------------------------------------------------------------------


@pytest.mark.parametrize("answer", ["n\n", "\n"])
def test_a_no_changes_nothing_on_disk(folder: Path, answer: str) -> None:
    before = whole(folder)
    ran = run("replan", folder, *TODAY, answer=answer)
    assert ran.exit_code == Exit.FINE, ran.output
    assert "Accept this plan? (yes, no) [no]" in ran.stderr
    assert "Refused. Nothing was changed." in ran.stdout
    assert whole(folder) == before


def test_a_question_leaves_no_blank_among_what_is_told(folder: Path) -> None:
    """In a process of its own: where stdin is no terminal `input` writes its prompt to stdout."""
    words = [str(Path(sys.executable).with_name("seasonplan")), "replan", str(folder), *TODAY]
    ran = subprocess.run(words, input="n\n", capture_output=True, text=True, check=True)
    assert "Accept this plan?" in ran.stderr
    assert ran.stdout.endswith("\nRefused. Nothing was changed.\n")
    assert "\n " * 2 not in ran.stdout and " Refused" not in ran.stdout


def test_a_yes_keeps_the_proposal(folder: Path) -> None:
    ran = run("replan", folder, *TODAY, "--cause", "the fair", answer="y\n")
    assert ran.exit_code == Exit.FINE, ran.output
    assert "Accepted: plan 2 is kept" in unbroken(ran.stderr)
    desk = Desk(folder)
    assert desk.plan is not None and not desk.stale
    assert (desk.plan.current.number, desk.plan.current.cause) == (2, "the fair")


def test_look_asks_nothing_and_writes_nothing(folder: Path) -> None:
    before = whole(folder)
    ran = run("replan", folder, *TODAY, "--look")
    assert ran.exit_code == Exit.FINE and "Accept" not in ran.output
    assert whole(folder) == before


def test_accept_with_pins_asks_nothing_and_writes_them_into_the_year(folder: Path) -> None:
    ran = run("replan", folder, *TODAY, "--accept", "--pin", "rest-1")
    assert ran.exit_code == Exit.FINE, ran.output
    text = (folder / "year.toml").read_text(encoding="utf-8")
    assert 'id = "pin-rest-1"' in text and "# the big one" in text
    block = Desk(folder).block("rest-1")
    assert block is not None and block.pinned


def test_a_pin_on_no_block_accepts_nothing_and_says_why(folder: Path) -> None:
    before = whole(folder)
    ran = run("replan", folder, *TODAY, "--accept", "--pin", "rest-77")
    assert ran.exit_code == Exit.BAD_INPUT
    assert "rest-77" in ran.stderr and "Nothing was changed." in ran.stderr
    assert whole(folder) == before


def test_other_answers_are_numbered_and_one_is_chosen(tmp_path: Path) -> None:
    folder = told(planned(tmp_path), "trip-a-week-later")
    before, later = whole(folder), ("--today", "2027-03-20", "--others")
    ran = run("replan", folder, *later, answer="9\n0\n")
    assert ran.exit_code == Exit.FINE, ran.output
    for head in ("1  the proposal", "2  fewest changes", "3  best season"):
        assert head in ran.stderr
    assert "found '9'; wanted 0 to 3. Choose one." in ran.stderr
    assert "Proposal: fewest changes" in ran.stdout and whole(folder) == before
    run("replan", folder, *later, answer="2\n")
    plan = Desk(folder).plan
    assert plan is not None and plan.current.number == 2


def test_a_plan_that_is_the_answer_to_two_questions_is_told_once(folder: Path) -> None:
    ran = run("replan", folder, *TODAY, "--others", answer="n\n")
    assert ran.exit_code == Exit.FINE and "Accept this plan?" in ran.stderr
    assert ran.stdout.count("Week by week") == 1
    for label in ("Fewest changes", "Best season"):
        assert f"{label}: the same plan as the proposal." in ran.stdout


def test_an_illness_is_time_off_and_its_cautions_are_told_once(tmp_path: Path) -> None:
    folder = planned(tmp_path)
    year = folder / "year.toml"
    flu = hurt_text("Flu", "other", "2027-03-18", "2027-03-24", "2027-03-27", "2027-03-30")
    year.write_text(year.read_text() + flu)
    shown = run("replan", folder, "--today", "2027-03-20", "--look", "--others").stdout
    weeks = shown.split("before and after\n")[1].split("\n\n")[0]
    assert "time off" in weeks and "injured" not in weeks
    assert shown.count("Take care") == 1


def test_a_block_of_one_day_is_told_by_that_day(folder: Path) -> None:
    year = folder / "year.toml"
    year.write_text(year.read_text() + KNEE.replace("2026-04-15", "2026-04-09"))
    told = unbroken(run("replan", folder, *TODAY, "--look").stdout)
    assert "injured-1 is new: 8 Apr, for “Knee”." in told


def test_undo_takes_an_accepted_proposal_back(folder: Path) -> None:
    run("replan", folder, *TODAY, "--accept")
    ran = run("undo", folder)
    assert ran.exit_code == Exit.FINE, ran.output
    assert (folder / "year.toml").read_text(encoding="utf-8") == text_of(SPRING)


# --- what is told ---------------------------------------------------------------------------


def test_blocks_days_and_goals_are_told_before_and_after(folder: Path) -> None:
    told = unbroken(run("replan", folder, *TODAY, "--look").stdout)
    assert "absence-2 is new: 13 Apr to 17 Apr, for “Fair”." in told
    assert "Week by week, where they differ: before and after" in told
    assert "Mon 13 Apr 2026 performance absence" in told
    assert "“Slow Lightning” at “Spring in the Cleft”" in told
    assert "good days on rock less." in told


def test_weeks_that_change_alike_are_told_on_one_line(folder: Path) -> None:
    since = '\n[[injury]]\nname = "Left"\npart = "finger"\nhappened = 2026-04-13\n'
    (folder / "year.toml").write_text(text_of(SPRING) + since, encoding="utf-8")
    told = run("replan", folder, "--today", "2026-04-13", "--look").stdout
    rows = told.partition("before and after\n")[2].partition("\n\n")[0].splitlines()
    kinds = [re.split(r"  +", row, maxsplit=1)[1] for row in rows]
    assert len(rows) >= 2 and all(one != other for one, other in pairwise(kinds))
    assert any(re.match(r"Mon \d+ \w+ 2026, \d+ weeks  ", row) for row in rows)


def test_why_gives_each_change_a_reason_and_each_reason_once(folder: Path) -> None:
    ran = run("replan", folder, *TODAY, "--look", "--why")
    told = unbroken(ran.stdout.partition("Why they change")[2].partition("Week by week")[0])
    facts = json.loads(run("replan", folder, *TODAY, "--json", "--why").stdout)["proposals"][0]
    for change in facts["blocks"]:
        assert (change["after"] or change["before"]) in told
        assert change["cause"]["news"] == ["fair"]
        assert change["cause"]["how_much"] == ("itself" if change["for"] else "wholly")
    assert told.count("what you entered: “Fair”.") == 1


def test_blocks_that_share_a_reason_are_told_in_one_line() -> None:
    answer = proposal("finger-in-june")
    given = reasons("finger-in-june")
    told = because.lines(answer, given, book=book_of(answer.year))
    news = [one for one in given if one.change.by == "finger"]
    (line,) = [line for line in told if "what you entered: " in line]
    assert len(news) >= 2 and "They are what you entered: “Ring finger”." in line
    for one in given:
        (first, *_) = [line for line in told if one.change.stands.id in line.partition(":")[0]]
        assert (first == line) is (one in news)
        assert first == line or first.endswith("for “Ring finger”.")


def test_what_only_the_news_forbids_is_not_told_a_second_time() -> None:
    answer = proposal("finger-in-june")
    (one, *_) = [one for one in reasons("finger-in-june") if one.parties]
    alone = replace(one, parties=tuple(p for p in one.parties if p.name == "finger"))
    ruled = replace(one, parties=(*alone.parties, Party("rest-every", is_rule=True)))
    (line,) = because.lines(answer, [alone], book=book_of(answer.year))
    assert line.endswith("for “Ring finger”.")
    assert len(because.lines(answer, [ruled], book=book_of(answer.year))) == 2


def test_what_is_gone_from_the_year_is_told_by_its_name(folder: Path) -> None:
    run("replan", folder, *TODAY, "--accept")
    (folder / "year.toml").write_text(text_of(SPRING), encoding="utf-8")
    told = unbroken(run("replan", folder, *TODAY, "--look").stdout)
    assert "for “Fair”." in told and "“fair”" not in told


def test_an_injury_brings_its_caution_each_time(folder: Path) -> None:
    path = folder / "year.toml"
    path.write_text(text_of(SPRING) + KNEE, encoding="utf-8")
    for _ in range(2):
        ran = run("replan", folder, *TODAY, "--look")
        assert ran.exit_code == Exit.FINE, ran.output
        assert "Take care" in ran.stdout and "doctor" in ran.stdout
        assert "no days named" not in unbroken(ran.stdout)


def test_an_injury_without_days_says_that_the_answer_may_wait(folder: Path) -> None:
    """The user saw a whole year go for an elbow of whose days nobody had yet spoken."""
    path = folder / "year.toml"
    waiting = "".join(line for line in KNEE.splitlines(keepends=True) if "_from" not in line)
    path.write_text(text_of(SPRING) + waiting, encoding="utf-8")
    told = unbroken(run("replan", folder, *TODAY, "--look").stdout)
    assert "“Knee” has no days named yet" in told and "Your answer may wait" in told
    assert f"`seasonplan injury {folder} --change knee`" in told


def test_json_holds_the_proposal_and_nothing_is_asked(folder: Path) -> None:
    before = whole(folder)
    ran = run("replan", folder, *TODAY, "--json")
    (one,) = json.loads(ran.stdout)["proposals"]
    assert one["base"] == 1 and one["news"] == ["fair"]
    fair = {f"2026-04-{n}" for n in range(13, 18)}
    assert fair <= {*one["changed_days"]}
    assert {*one["outside_the_news"]} == {*one["changed_days"]} - fair
    moves = {(change["before"], change["after"]): change["move"] for change in one["blocks"]}
    assert moves[None, "absence-2"] == "new"
    assert moves["performance-1", "performance-1"] == "shorter"
    assert {goal["reachable"] for goal in one["goals"]} == {True}
    assert one["plan"]["blocks"] and whole(folder) == before
    ran = run("replan", folder, *TODAY, "--json", "--accept")
    assert ran.exit_code == Exit.FINE and json.loads(ran.stdout)["proposals"]
    assert len(json.loads((folder / "plan.json").read_text(encoding="utf-8"))["revisions"]) == 2


def test_with_nothing_new_no_block_changes(tmp_path: Path) -> None:
    ran = run("replan", planned(tmp_path, SPRING), *TODAY, "--look")
    assert "No block changes. The year is worth as much as before." in unbroken(ran.stdout)
    assert "plan 1 stands" in ran.stderr


def test_with_nothing_new_nothing_is_asked_and_no_plan_is_added(tmp_path: Path) -> None:
    folder = planned(tmp_path, SPRING)
    before = whole(folder)
    for words in ((), ("--accept",)):
        ran = run("replan", folder, *TODAY, *words)
        assert ran.exit_code == Exit.FINE and "Accept" not in ran.output
    assert whole(folder) == before


def test_what_no_plan_depends_on_is_kept_without_a_question(tmp_path: Path) -> None:
    folder = planned(tmp_path, SPRING)
    path = folder / "year.toml"
    path.write_text(path.read_text() + UNFELT, encoding="utf-8")
    ran = run("replan", folder, *TODAY)
    assert ran.exit_code == Exit.FINE and "Accept this plan?" not in ran.output
    assert run("replan", folder, *TODAY).stderr.endswith("stands.\n")


@pytest.mark.parametrize("columns", [40, 80])
def test_no_line_is_wider_than_the_screen(folder: Path, columns: int) -> None:
    ran = run("replan", folder, *TODAY, "--look", "--others", "--why", columns=columns)
    lines = ran.stdout.splitlines()
    assert len(lines) > 20
    assert max(map(len, lines)) <= columns, max(lines, key=len)


def test_plain_is_ascii(folder: Path) -> None:
    ran = run("replan", folder, *TODAY, "--look", "--plain", "--why")
    assert ran.exit_code == Exit.FINE
    assert ran.stdout.isascii() and "\x1b" not in ran.stdout
    assert "?" not in ran.stdout  # a sign without words of its own in ASCII


# --- what cannot be -------------------------------------------------------------------------


def test_without_a_plan_one_is_asked_for(tmp_path: Path) -> None:
    (tmp_path / "year.toml").write_text(text_of(SPRING), encoding="utf-8")
    ran = run("replan", tmp_path, *TODAY)
    assert (
        ran.exit_code == Exit.BAD_INPUT
        and f"Run `seasonplan plan {tmp_path}` first." in unbroken(ran.stderr)
    )


def test_an_unknown_keep_says_what_is_wanted(folder: Path) -> None:
    ran = run("replan", folder, *TODAY, "--keep", "dear")
    assert ran.exit_code == Exit.BAD_INPUT
    assert "found 'dear'; wanted high, medium or low" in ran.stderr


def test_no_plan_is_told_with_what_cannot_hold_and_ways_out(folder: Path) -> None:
    pin = 'name = "Mine"\nkind = "performance"\nfirst = 2026-04-06\nlast = 2026-05-17\n'
    path = folder / "year.toml"
    path.write_text(f"{text_of(SPRING)}\n[[pin]]\n{pin}{FAIR}", encoding="utf-8")
    before = whole(folder)
    ran = run("replan", folder, *TODAY)
    assert ran.exit_code == Exit.NO_PLAN, ran.output
    told = unbroken(ran.stderr)
    assert "these cannot all hold" in told and "“Mine”" in told and "“Fair”" in told
    facts = json.loads(run("replan", folder, *TODAY, "--json").stdout)
    assert facts["plan"] is None and {p["name"] for p in facts["conflict"]} == {"mine", "fair"}
    assert facts["ways_out"] and whole(folder) == before
    commands = [way["command"] for way in facts["ways_out"]]
    assert all(f"{folder} {one.removeprefix('seasonplan edit ')}`" in told for one in commands)
    _, edit, *words = shlex.split(commands[0])
    assert run(edit, folder, *words, *TODAY).exit_code == Exit.FINE
    assert run("replan", folder, *TODAY, "--look").exit_code == Exit.FINE
