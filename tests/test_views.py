"""The year as faces show it: every drawing of one year counts the same."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from typer.testing import CliRunner

from seasonplan.cli.app import app
from seasonplan.cli.screen import Screen
from seasonplan.cli.wall import Wall
from seasonplan.desk import Desk
from seasonplan.explain.tints import ROCK
from seasonplan.explain.wall import months
from seasonplan.feed.drawing import year_picture
from seasonplan.ical.layers import USUAL
from seasonplan.pictures.paper import Wish
from seasonplan.pictures.poster import poster
from seasonplan.pictures.svg import svg
from seasonplan.views import YearView, year_view
from tui.year.lanes import Lane, Sheet

DEMO = Path(__file__).parent.parent / "calendars_demo"
ON_ROCK = {
    "trips-and-boulders": 11 + 88 + 18,  # 3-13 April, 20 May - 15 August, 2-19 October
}


@pytest.fixture(scope="module")
def desk() -> Desk:
    return Desk(DEMO / "trips-and-boulders")


@pytest.fixture(scope="module")
def view(desk: Desk) -> YearView:
    assert desk.plan is not None
    return year_view(desk.year, desk.plan.current)


def test_shell_terminal_page_and_dump_show_rock_on_the_same_days(
    desk: Desk, view: YearView
) -> None:
    wanted = ON_ROCK["trips-and-boulders"]
    assert view.rock_days == wanted
    wall = Wall(Screen(plain=False, colour=False, unicode=True, width=80), view, today=None)
    drawn = [line for month in months(view.span) for line in wall.lines(month, load=False)]
    lanes = "".join(line[6:] for line in drawn if line.startswith("rock"))
    assert sum(map(lanes.count, "░▒▓█")) == 2 * wanted
    assert desk.plan is not None
    sheet = Sheet(desk.year, desk.plan.current.blocks)
    marks = [mark for row in sheet.rows if row.lane is Lane.ROCK for mark in row.marks]
    assert len({day for mark in marks for day in mark.span.days()}) == wanted
    for picture in (
        year_picture(desk.year, desk.plan.current, layers=USUAL),
        svg(poster(view, Wish())[0], lettered=False),
    ):
        edges = re.findall(rf'fill="{ROCK}" d="([^"]+)"', picture)
        assert sum(edge.count("M") for edge in edges) == wanted + 4, "four are the key's"
    ran = CliRunner().invoke(app, ["show", str(desk.folder), "--json"])
    assert json.loads(ran.stdout)["rock_days"] == wanted
