"""`show --load`: the load figures of the sessions, in numbers and with what they do not say."""

from __future__ import annotations

import json
from pathlib import Path
from statistics import fmean, stdev
from typing import Any

import pytest
from folder_maker import planned, session
from typer.testing import CliRunner

from seasonplan.cli.app import app
from seasonplan.workspace.desk import Desk


def run(*arguments: object, columns: int = 80) -> Any:
    environment = {"COLUMNS": str(columns), "NO_COLOR": None}
    return CliRunner().invoke(app, [str(one) for one in arguments], env=environment)


# Loads of the example in Foster 1998 are not published; these are worked out in the test
EFFORT, MINUTES = (4, 6, 5, 7, 3), (60, 75, 90, 120, 45)
DAYS = (0, 2, 3, 5, 6)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    sessions = tuple(
        session(f"s{week}-{n}", "route-volume", 7 * week + n, "18:00", minutes, rpe=float(effort))
        for week in range(5)
        for n, effort, minutes in zip(DAYS, EFFORT, MINUTES, strict=True)
    )
    return planned(tmp_path, sessions=sessions)


def test_the_default_show_stays_calm(folder: Path) -> None:
    assert "onotony" not in run("show", folder, "--today", "2027-01-06").stdout


# Foster 1998: load = RPE x minutes; monotony = daily mean / SD (sample, our choice); strain
def test_weekly_figures_are_those_of_the_daily_loads(folder: Path) -> None:
    found = json.loads(run("show", folder, "--load", "--json").stdout)["plan"]["load"]
    week = found["weeks"][0]
    daily = [240, 0, 450, 450, 0, 840, 135]
    assert week["load"] == sum(daily) == 2115
    assert week["monotony"] == pytest.approx(fmean(daily) / stdev(daily), abs=0.0005)
    assert week["strain"] == pytest.approx(2115 * fmean(daily) / stdev(daily), abs=0.5)
    assert week["change_rolling"] is None and week["change_weighted"] is None
    assert found["weeks"][4]["change_rolling"] == 1.0
    assert found["weeks"][5] | {"load": 0, "monotony": None} == found["weeks"][5]


def test_blocks_have_figures_of_their_own(folder: Path) -> None:
    found = json.loads(run("show", folder, "--load", "--json").stdout)["plan"]["load"]["blocks"]
    assert [one["block"] for one in found][:2] == ["base-1", "strength-1"]
    assert found[0]["load"] == 3 * 2115


def test_the_daily_loads_cover_the_year(folder: Path) -> None:
    daily = Desk(folder).daily_load
    assert len(daily) == 56 and sum(daily.values()) == 5 * 2115


@pytest.mark.parametrize("columns", [40, 60, 80])
def test_the_table_fits_the_screen_and_says_what_it_is_not(folder: Path, columns: int) -> None:
    shown = run("show", folder, "--load", columns=columns).stdout
    assert max(map(len, shown.splitlines())) <= columns
    told = " ".join(shown.split())
    assert "base-1" in told and "4 Jan 2027 2115 1.00" in told
    assert "None of them tells the chance of an injury" in told


def test_plain_is_a_sentence_for_each_week_and_block(folder: Path) -> None:
    shown = run("show", folder, "--load", "--plain").stdout
    assert shown.isascii()
    lines = shown.splitlines()
    assert lines[0].startswith("Week, Mon 4 Jan 2027 to Sun 10 Jan 2027: load 2115, monotony 1.00")
    assert sum(line.startswith("Week, ") for line in lines) == 8


def test_weeks_can_be_chosen(folder: Path) -> None:
    ran = run("show", folder, "--load", "--from", "2027-01-12", "--weeks", "1", "--plain")
    assert sum(line.startswith("Week, ") for line in ran.stdout.splitlines()) == 2


def test_without_a_plan_there_are_no_figures_and_without_sessions_it_is_said_why(
    folder: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    empty = planned(tmp_path_factory.mktemp("empty"), sessions=())
    assert "no sessions yet" in run("show", empty, "--load").stderr
    (folder / "plan.json").unlink()
    ran = run("show", folder, "--load")
    assert ran.stdout == "" and "There is no plan yet" in ran.stderr
