"""The year as faces show it: every drawing of one year counts the same."""

from __future__ import annotations

import json
import re

import pytest
from places import ROOT
from plan_maker import a_year, given, injury
from typer.testing import CliRunner

from seasonplan.cli.app import app
from seasonplan.cli.screen import Screen
from seasonplan.cli.wall import Wall
from seasonplan.explain.tints import ROCK
from seasonplan.explain.wall import months
from seasonplan.feed import drawing
from seasonplan.ical.layers import USUAL
from seasonplan.pictures.files import svg_file
from seasonplan.pictures.paper import PosterWish
from seasonplan.pictures.poster import poster
from seasonplan.pictures.screen import NARROW
from seasonplan.pictures.strip import strip
from seasonplan.pictures.svg import svg
from seasonplan.views import YearView, year_view
from seasonplan.vocabulary import Kind
from seasonplan.workspace.desk import Desk
from tui.year.lanes import Lane, Sheet

DEMO = ROOT / "calendars_demo"
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
    assert drawing.seen(desk.year, desk.plan.current, layers=USUAL).rock_days == wanted
    for picture in (strip(view), strip(view, NARROW), *poster(view, PosterWish())):
        edges = re.findall(rf'fill="{ROCK}" d="([^"]+)"', svg(picture, lettered=False))
        assert sum(edge.count("M") for edge in edges) == wanted + 4, "four are the key's"
    ran = CliRunner().invoke(app, ["show", str(desk.folder), "--json"])
    assert json.loads(ran.stdout)["rock_days"] == wanted


def test_the_dump_has_a_version_and_the_keys_that_the_guide_names(desk: Desk) -> None:
    ran = CliRunner().invoke(app, ["show", str(desk.folder), "--json"])
    found = json.loads(ran.stdout)
    assert found["schema"] == 1
    readme = (DEMO.parent / "seasonplan" / "docs" / "commands.md").read_text(encoding="utf-8")
    told = re.search(r"`show --json` is\s.*?`schema` rises", readme, re.DOTALL)
    assert told is not None
    named = set(re.findall(r"`([a-z_]+)`", told[0])) - {"show"}
    assert named == set(found) - {"plan_number", "planned"}
    assert set(found["rock"][0]) >= {"entry", "place", "first", "last", "highest_chance", "chances"}
    assert len(found["rock"][0]["chances"]) == 11


def test_what_tells_of_an_injury_is_in_no_view_that_did_not_ask_for_it() -> None:
    year = a_year(injuries=(injury(7, easy=14, building=21, full=28),))
    hurt = given(Kind.INJURED, 7, 7, entry=year.injuries[0].id)
    for health in (False, True):
        shown = year_view(year, None, blocks=(hurt,), health=health)
        assert (hurt.id in {block.id for block in shown.blocks}) is health
        assert (year.injuries[0].name in shown.model_dump_json()) is health


def test_the_picture_of_the_readme_is_the_year_as_it_is_planned() -> None:
    folder = DEMO / "autumn-project"
    drawn = svg_file(strip(Desk(folder).view()), folder / "year.svg")
    assert drawn == (folder / "year.svg").read_bytes()
    named = "calendars_demo/autumn-project/year.svg"
    assert f"]({named})" in (DEMO.parent / "README.md").read_text(encoding="utf-8")
