"""What programs read of `today`, `week` and `show`."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from folder_maker import SESSIONS, planned
from typer.testing import CliRunner

from seasonplan.cli.app import app
from seasonplan.cli.exits import Exit


def run(*arguments: object) -> Any:
    return CliRunner().invoke(app, [str(one) for one in arguments])


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return planned(tmp_path)


def test_today_as_json_has_moments_with_their_offset(folder: Path) -> None:
    found = json.loads(run("today", folder, "--today", "2027-02-09", "--json").stdout)
    (only,) = found["sessions"]
    assert (only["start"], only["end"]) == (
        "2027-02-09T09:00:00+00:00",
        "2027-02-09T13:00:00+00:00",
    )
    assert only["zone"] == "Atlantic/Madeira" and only["needs"] == ["rock", "daylight", "partner"]
    assert found["inside"] is True and found["stale"] is False and found["block"] == "trip-1"
    assert found["rest"] is None and found["next"] is None
    outside = json.loads(run("today", folder, "--today", "2028-02-09", "--json").stdout)
    assert outside["inside"] is False and outside["sessions"] == []


def test_week_as_json_has_days_sum_and_shortfalls(folder: Path) -> None:
    found = json.loads(run("week", folder, "2027-01-06", "--json").stdout)
    assert (found["first"], found["last"]) == ("2027-01-04", "2027-01-10")
    assert found["minutes"] == 150 and found["load"] == 810
    assert [len(one["sessions"]) for one in found["days"]] == [0, 1, 2, 0, 0, 0, 0]
    assert found["shortfalls"][0]["missing_minutes"] == 120
    assert found["shortfalls"][0]["cause"] == "hours"


def test_show_as_json_has_the_sessions_of_the_weeks_asked_for(folder: Path) -> None:
    every = json.loads(run("show", folder, "--today", "2027-01-06", "--json").stdout)
    assert [one["id"] for one in every["plan"]["sessions"]] == [one.id for one in SESSIONS]
    some = json.loads(run("show", folder, "--from", "2027-01-06", "--weeks", "1", "--json").stdout)
    assert [one["id"] for one in some["plan"]["sessions"]] == ["b", "c"]


def test_a_zone_in_the_plan_that_does_not_exist_is_a_fault(folder: Path) -> None:
    text = (folder / "plan.json").read_text().replace("Atlantic/Madeira", "Atlantic/Nowhere")
    (folder / "plan.json").write_text(text)
    ran = run("today", folder, "--today", "2027-01-05")
    assert ran.exit_code == Exit.BAD_INPUT and "'Atlantic/Nowhere'" in ran.stderr
