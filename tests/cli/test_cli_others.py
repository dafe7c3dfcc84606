"""`seasonplan others` and `rules --cost`: shown with prices, one taken, taken back."""

from __future__ import annotations

import json
import re
from datetime import date
from pathlib import Path

import pytest
from autumn import planned
from test_cli_replan import run, unbroken

from seasonplan.cli.exits import Exit
from seasonplan.explain.others_told import none_text
from seasonplan.workspace.desk import Desk

TODAY = ("--today", "2027-01-02")


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return planned(tmp_path_factory.mktemp("autumn"))


def test_other_years_stand_under_the_plan_with_the_days_marked_that_differ(folder: Path) -> None:
    ran = run("others", folder, *TODAY)
    assert ran.exit_code == Exit.FINE, ran.output
    lines = ran.stdout.splitlines()
    at = next(n for n, line in enumerate(lines) if "as it stands" in line)
    stands, other, marked = lines[at : at + 3]
    assert len(stands) == len(other) <= 80
    differ = [n for n in range(16, len(stands)) if stands[n] != other[n]]
    assert len(differ) >= 4
    assert all(marked[n] in "▔^" for n in differ if n < len(marked))
    assert "days differ; costs" in unbroken(ran.stdout)


def test_one_is_taken_and_taken_back(folder: Path) -> None:
    told = json.loads(run("others", folder, *TODAY, "--json").stdout)["others"][0]
    before = Desk(folder)
    assert before.plan is not None
    ran = run("others", folder, *TODAY, "--take", 2)
    assert ran.exit_code == Exit.FINE, ran.output
    after = Desk(folder)
    assert after.plan is not None and not after.stale and len(after.year.pins) >= 1
    fixed = len(after.year.pins) - len(before.year.pins)
    assert f"The {fixed} blocks that differ are fixed now; `seasonplan undo" in unbroken(ran.stderr)
    today = date(2027, 1, 2)
    assert f"as {len(after.year.pins)} blocks are fixed. Free some" in none_text(after.year, today)
    assert none_text(before.year, today).endswith("the plan stands alone.")
    was = {d: b.kind for b in before.plan.current.blocks for d in b.span.days()}
    now = {d: b.kind for b in after.plan.current.blocks for d in b.span.days()}
    changed = [str(day) for day in was if was[day] is not now[day]]
    assert sorted(changed) == sorted(told["differing_days"])
    points = after.plan.current.score.points - before.plan.current.score.points
    assert points == pytest.approx(told["points"], abs=1e-3)
    assert not [one for one in after.check(today=date(2027, 1, 2)) if one.strength == "hard"]
    assert run("undo", folder).exit_code == Exit.FINE
    assert Desk(folder).year.pins == before.year.pins


def test_a_number_that_is_none_of_them_is_refused(folder: Path) -> None:
    ran = run("others", folder, *TODAY, "--take", 9)
    assert ran.exit_code == Exit.BAD_INPUT
    assert "found 9; wanted 2 or 3" in unbroken(ran.stderr)


def test_rules_tell_what_each_costs_and_which_are_not_priced(folder: Path) -> None:
    ran = run("rules", "--cost", "--in", folder, *TODAY)
    assert ran.exit_code == Exit.FINE, ran.output
    text = unbroken(ran.stdout)
    assert "order: " in text and re.search(r"with form worth [\d.]+\. A block is followed by", text)
    assert "points" not in text and "session-care" in text.split("Not priced")[1]


def test_show_names_that_other_years_are_nearly_as_good(folder: Path) -> None:
    """The same years that `others` shows; a plan that knows of none says nothing."""
    shown = json.loads(run("others", folder, *TODAY, "--json").stdout)["others"]
    days = " and ".join(str(len(one["differing_days"])) for one in shown)
    said = unbroken(run("show", folder, *TODAY).stdout)
    assert f"2 other years are nearly as good: {days} days are of another kind" in said
    assert f"`seasonplan others {folder}` shows them." in said
    plan = json.loads(run("show", folder, *TODAY, "--json").stdout)["plan"]
    assert [one["days"] for one in plan["nearly_as_good"]] == [
        len(one["differing_days"]) for one in shown
    ]
    text = (folder / "plan.json").read_text()
    (folder / "plan.json").write_text(re.sub(r'"others":\[[^]]*\],', "", text))
    assert "nearly as good" not in run("show", folder, *TODAY).stdout
    (folder / "plan.json").write_text(text)
