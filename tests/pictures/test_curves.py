"""Form and load through the year: what is counted, how it is drawn, how it is asked for."""

from __future__ import annotations

import json
import re
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from folder_maker import YEAR, planned
from places import ROOT
from plan_maker import a_year, block, given, injury
from typer.testing import CliRunner
from words_apart import touching

from seasonplan.body.form import Forms
from seasonplan.cli.app import app
from seasonplan.days import Span
from seasonplan.explain.tints import PAPER_INK, TINTS
from seasonplan.pictures.fonts import OTHER_TYPE
from seasonplan.pictures.form import form_picture
from seasonplan.pictures.load import load_picture
from seasonplan.pictures.marks import Picture, Shape, Words
from seasonplan.pictures.screen import NARROW, WIDE, Screen
from seasonplan.pictures.strip import strip
from seasonplan.views import GoalForm, form_views, year_view
from seasonplan.vocabulary import Kind
from seasonplan.workspace.desk import Desk

DEMO = ROOT / "calendars_demo"
SCREENS = pytest.mark.parametrize("screen", [WIDE, NARROW], ids=["wide", "narrow"])


@pytest.fixture(scope="module")
def autumn() -> Desk:
    return Desk(DEMO / "autumn-project")


@pytest.fixture(scope="module")
def south() -> Desk:
    return Desk(DEMO / "trips-and-boulders")


def forms_of(desk: Desk) -> tuple[GoalForm, ...]:
    assert desk.plan is not None
    return form_views(desk.year, desk.plan.current)


# --- form -----------------------------------------------------------------------------------


def test_the_line_is_what_the_terminal_tells_and_lies_in_its_range(south: Desk) -> None:
    assert south.plan is not None
    current = south.plan.current
    known = Forms(south.year_as_tested, current.blocks, current.sessions, south.recipes)
    forms = forms_of(south)
    assert [one.goals for one in forms] == [(goal.name,) for goal in south.year.goals]
    for one, goal in zip(forms, south.year.goals, strict=True):
        assert {day.day: day.change.middle for day in one.days} == known.curve(goal)
        assert all(day.change.low <= day.change.middle <= day.change.high for day in one.days)
        wide = [day.change.high - day.change.low for day in one.days]
        assert wide[0] == 0 and wide[200] > wide[20] > 0, "what is far off is less known"


def test_the_change_on_the_days_of_a_goal_is_that_of_the_terminal(south: Desk) -> None:
    bench = pytest.importorskip("tui.bench")
    sheet = bench.Bench(south.folder).sheet
    told = {there.goals[0]: there for one in forms_of(south) for there in one.there}
    assert len(told) == 3
    for chance in sheet.almanac.opportunities:
        change = told[chance.goal.name].change
        assert change.middle == pytest.approx(sheet.forms.on(chance))
        assert change.low < change.middle < change.high


def test_goals_that_ask_for_the_same_share_a_curve(autumn: Desk) -> None:
    (one,) = forms_of(autumn)
    assert one.goals == ("The long traverse", "A handful of 7b onsights")
    assert [there.numbers for there in one.there] == [(2,), (1,)]
    planned_days = [there.arrives for there in one.there]
    assert planned_days == [date(2027, 3, 20), date(2027, 9, 25)]


@SCREENS
def test_a_flag_stands_over_the_first_day_planned_with_what_is_to_be_expected_below(
    autumn: Desk, screen: Screen
) -> None:
    picture = form_picture(forms_of(autumn), autumn.year.span, screen)
    words = " ".join(one.text for one in picture.marks if isinstance(one, Words))
    for there in forms_of(autumn)[0].there:
        assert there.sentence in words
        assert there.sentence in picture.told
    poles = sorted(
        one.points[0][0]
        for one in picture.marks
        if isinstance(one, Shape) and one.stroke == "#a8480c" and one.width == 0.35
    )
    lines = [one for one in picture.marks if isinstance(one, Shape) and one.width == 0.65]
    (left, _), *_, (right, _) = max(lines, key=lambda one: len(one.points)).points
    days = [(there.arrives - date(2027, 1, 4)).days for there in forms_of(autumn)[0].there
            if there.arrives]  # fmt: skip
    wanted = [left + (right - left) * day / 363 for day in days]
    assert poles == pytest.approx(wanted, abs=0.4)


@SCREENS
def test_the_flag_of_the_last_days_of_a_year_is_not_cut_off(autumn: Desk, screen: Screen) -> None:
    forms = forms_of(autumn)
    until = Span.through(autumn.year.span.first, date(2027, 9, 26))
    picture = form_picture(forms, until, screen)
    cloths = [
        one for one in picture.marks if isinstance(one, Shape) and one.fill == "#a8480c"
        and len(one.points) == 5
    ]  # fmt: skip
    assert len(cloths) >= 2 * len(forms[0].there)
    assert max(x for one in cloths for x, _ in one.points) <= screen.width


# --- load -----------------------------------------------------------------------------------


def bars(picture: Picture) -> list[Shape]:
    return [one for one in picture.marks if isinstance(one, Shape) and " planned" in one.told]


def high(bar: Shape) -> float:
    return max(y for _, y in bar.points) - min(y for _, y in bar.points)


def wide(bar: Shape) -> float:
    return max(x for x, _ in bar.points) - min(x for x, _ in bar.points)


@SCREENS
def test_bars_are_as_high_as_the_load_planned_and_light_ones_half_as_wide(
    south: Desk, screen: Screen
) -> None:
    view = south.view()
    drawn = bars(load_picture(view, screen))
    parts = [
        (part.load, week)
        for week in view.weeks
        for part in sorted(week.parts, key=lambda one: one.asked <= 0)
        if part.load > 0
    ]
    assert len(drawn) == len(parts) > 50
    heads = [bar.told.partition(": ")[0] for bar in drawn]
    assert len(set(heads)) == len(heads), "of a week of two blocks each bar says whose it is"
    for bar, (load, _) in zip(drawn, parts, strict=True):
        assert high(bar) / high(drawn[0]) == pytest.approx(load / parts[0][0])
    widths = {week.light: set[float]() for _, week in parts}
    for bar, (_, week) in zip(drawn, parts, strict=True):
        if week.span.length == 7:
            widths[week.light].add(round(wide(bar), 3))
    (whole,), (light,) = widths[False], widths[True]
    assert light == pytest.approx(whole / 2, abs=0.01)


def test_what_was_asked_for_is_a_line_across_each_week_that_asks(autumn: Desk) -> None:
    view = autumn.view()
    picture = load_picture(view)
    shapes = [one for one in picture.marks if isinstance(one, Shape)]
    lines = [one for one in shapes if one.stroke == PAPER_INK and one.width == 0.55]
    asked = [sum(part.asked for part in week.parts) for week in view.weeks]
    wanted = [value for value in asked if value > 0]
    assert len(lines) == len(wanted) + 1, "one is the key's"
    (foot,) = {max(y for _, y in bar.points) for bar in bars(picture)[:5]}
    heights = [foot - one.points[0][1] for one in lines[:-1]]
    scale = heights[0] / wanted[0]
    assert heights == pytest.approx([scale * value for value in wanted])
    # aims of the plan file, read by eye: weeks of 4 January and 22 February
    assert wanted[0] == pytest.approx(1350, abs=1) and wanted[7] == pytest.approx(1215, abs=1)


def test_loads_of_weeks_tell_of_no_injury_unless_asked() -> None:
    year = a_year(injuries=(injury(7, easy=14, building=21, full=28),))
    back = block(Kind.RETURN, 14, 7, shares=(0.5,))
    hurt = given(Kind.INJURED, 7, 7, entry=year.injuries[0].id)
    for health in (False, True):
        shown = year_view(year, None, blocks=(hurt, back), health=health)
        kinds = {part.kind for week in shown.weeks for part in week.parts}
        assert kinds == ({Kind.INJURED, Kind.RETURN} if health else {None})
        assert ("return" in shown.model_dump_json()) is health


# --- how it looks ---------------------------------------------------------------------------


@SCREENS
@pytest.mark.parametrize("name", ["autumn-project", "trips-and-boulders"])
def test_no_words_of_a_picture_touch_even_in_a_wider_type(name: str, screen: Screen) -> None:
    desk = Desk(DEMO / name)
    view = desk.view()
    for picture in (
        strip(view, screen), load_picture(view, screen),
        form_picture(forms_of(desk), view.span, screen),
    ):  # fmt: skip
        assert list(touching(picture, wider=OTHER_TYPE)) == []
        assert picture.width == screen.width


def test_words_that_touch_are_found() -> None:
    words = (Words(5, 5, "first", 3, PAPER_INK), Words(9, 6, "second", 3, PAPER_INK),
             Words(21, 5, "third", 3, PAPER_INK))  # fmt: skip
    picture = Picture(29, 10, "", "", words)
    assert list(touching(picture)) == [("first", "second")]
    assert ("third", "the edge of the paper") in touching(picture, wider=1.5)


SHORT = """
[[trip]]
name = "Two days at the end of the world with everybody"
first = 2027-01-09
last = 2027-01-10
place = "Isle"
discipline = "sport"
"""


@SCREENS
def test_no_line_of_a_box_goes_through_a_name_and_a_cut_one_stands_whole_below(
    tmp_path: Path, screen: Screen
) -> None:
    view = Desk(planned(tmp_path, year=YEAR + SHORT)).view()
    picture = strip(view, screen)
    words = [one for one in picture.marks if isinstance(one, Words)]
    name = "Two days at the end of the world with everybody"
    (shown,) = [one for one in words if one.text.startswith("Two") and one.bold]
    ink = TINTS[Kind.TRIP][1]
    box = next(one for one in picture.marks if isinstance(one, Shape) and one.stroke == ink)
    assert shown.x >= max(x for x, _ in box.points)
    whole = " ".join(one.text for one in words)
    assert (shown.text == name) or f"9 to 10 Jan 2027: {name}" in whole


# --- asked for ------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return planned(tmp_path_factory.mktemp("plan"))


def run(*arguments: object) -> Any:
    return CliRunner().invoke(app, [str(one) for one in arguments], env={"COLUMNS": "80"})


def test_show_tells_form_month_by_month_and_draws_it(folder: Path, tmp_path: Path) -> None:
    ran = run("show", folder, "--form", "--svg", tmp_path / "form.svg")
    assert ran.exit_code == 0 and "Long Crack" in ran.stdout
    assert re.search(r"^ +1 Feb +[+-±]\d+ % +[+-±]\d+ % +[+-±]\d+ %$", ran.stdout, re.MULTILINE)
    assert "no measurement" in ran.stdout
    drawn = (tmp_path / "form.svg").read_text(encoding="utf-8")
    assert ">Form on the way to the goals</text>" in drawn and ">Long Crack</text>" in drawn
    plain = run("show", folder, "--form", "--plain").stdout.splitlines()
    assert plain[0].startswith("Long Crack, ") and " on 1 Feb: " in plain[0]
    found = json.loads(run("show", folder, "--form", "--json").stdout)["plan"]["form"]
    assert found[0]["goals"] == ["Long Crack"] and len(found[0]["days"]) == 56


def test_with_load_the_picture_is_that_of_the_load(folder: Path, tmp_path: Path) -> None:
    ran = run("show", folder, "--load", "--svg", tmp_path / "load.svg")
    assert ran.exit_code == 0 and "Monotony" in ran.stdout
    drawn = (tmp_path / "load.svg").read_text(encoding="utf-8")
    assert ">Load of the weeks</text>" in drawn and "<title>4 to 10 Jan 2027: " in drawn


def test_one_picture_at_a_time_and_none_of_nothing(folder: Path, tmp_path: Path) -> None:
    ran = run("show", folder, "--load", "--form")
    assert ran.exit_code == 2 and "wanted one of them" in " ".join(ran.stderr.split())
    (tmp_path / "year.toml").write_text(YEAR, encoding="utf-8")
    for what in ("--form", "--load"):
        ran = run("show", tmp_path, what, "--svg", tmp_path / "no.svg")
        assert ran.exit_code == 2 and "seasonplan plan" in ran.stderr
    assert not (tmp_path / "no.svg").exists()
