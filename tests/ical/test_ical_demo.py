"""The calendars kept beside the demo years are what `seasonplan export` writes of them."""

from __future__ import annotations

import pytest
from places import ROOT
from typer.testing import CliRunner

from seasonplan.cli.app import app

DEMO = ROOT / "calendars_demo"
YEARS = ("autumn-project", "mountain-summer", "trips-and-boulders")


@pytest.mark.parametrize("name", YEARS)
def test_a_demo_calendar_is_the_export_of_its_plan(name: str) -> None:
    ran = CliRunner().invoke(app, ["export", str(DEMO / name), "--out", "-"])
    assert ran.exit_code == 0, ran.output
    kept = (DEMO / name / "seasonplan.ics").read_bytes()
    assert ran.stdout_bytes == kept
    assert kept.count(b"CATEGORIES:Session\r\n") > 200
