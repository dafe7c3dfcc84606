"""The demo years: rebuilt from their year files, they give the plans and calendars kept there."""

from __future__ import annotations

import shutil
from datetime import UTC, datetime
from pathlib import Path

import pytest
from places import ROOT

from seasonplan.planning.replan import Planned
from seasonplan.workspace import store
from seasonplan.workspace.desk import Desk

DEMO = ROOT / "calendars_demo"
YEARS = ("autumn-project", "half-an-hour", "mountain-summer", "trips-and-boulders")


def rebuilt(name: str, folder: Path) -> Desk:
    """A demo year planned anew, with the calendar key and the stamp of the kept plan."""
    shutil.copy(DEMO / name / "year.toml", folder)
    kept = store.load_plan(DEMO / name)
    assert kept is not None
    first = kept.plan.revisions[0]
    desk = Desk(folder)
    answer = desk.make_plan(first.cause, stamp=first.stamp, calendar_key=kept.plan.calendar_key)
    assert isinstance(answer, Planned)
    return desk


@pytest.mark.parametrize("name", YEARS)
def test_a_demo_year_planned_anew_gives_the_kept_plan(name: str, tmp_path: Path) -> None:
    desk = rebuilt(name, tmp_path)
    assert (tmp_path / "plan.json").read_text() == (DEMO / name / "plan.json").read_text()
    assert desk.plan is not None and desk.plan.current.proof.optimal


@pytest.mark.parametrize("name", YEARS)
def test_a_demo_plan_breaks_no_rule(name: str) -> None:
    desk = Desk(DEMO / name)
    assert not desk.stale
    assert [f for f in desk.check() if f.strength == "hard"] == []


def test_planning_twice_adds_no_revision(tmp_path: Path) -> None:
    desk = rebuilt("autumn-project", tmp_path)
    before = (tmp_path / "plan.json").read_bytes()
    desk.make_plan("again", stamp=datetime(2027, 2, 2, 8, tzinfo=UTC))
    assert (tmp_path / "plan.json").read_bytes() == before


def test_the_demo_years_are_not_alike() -> None:
    plans = [Desk(DEMO / name).plan for name in YEARS]
    orders = {tuple(block.kind for block in plan.current.blocks) for plan in plans if plan}
    assert len(orders) == len(YEARS)
