"""The year in the terminal: what the drawing says, at every width, with and without colour."""

from __future__ import annotations

import json
import re
import shutil
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import pytest
from places import TESTS
from typer.testing import CliRunner

from seasonplan.cli.app import app
from seasonplan.cli.screen import Screen, ascii_text
from seasonplan.cli.wall import Wall, draw_wall
from seasonplan.explain.signs import SIGNS
from seasonplan.explain.wall import months
from seasonplan.plan import Block
from seasonplan.vocabulary import Kind
from seasonplan.workspace.desk import Desk

YEARS = TESTS / "years"
STAMP = datetime(2026, 3, 1, 12, tzinfo=UTC)
TODAY = ("--today", "2026-04-22")


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("year")
    shutil.copy(YEARS / "twelve-weeks.toml", made / "year.toml")
    Desk(made).make_plan("planned for the tests", stamp=STAMP)
    return made


def run(*arguments: object, columns: int = 80) -> Any:
    environment = {"COLUMNS": str(columns), "NO_COLOR": None}
    return CliRunner().invoke(app, [str(one) for one in arguments], env=environment)


def blocks_of(folder: Path) -> tuple[Block, ...]:
    plan = Desk(folder).plan
    assert plan is not None
    return plan.current.blocks


def screen(*, width: int = 80, colour: bool = False, unicode: bool = True) -> Screen:
    return Screen(plain=False, colour=colour, unicode=unicode, width=width)


# --- the whole year -------------------------------------------------------------------------


@pytest.mark.parametrize("columns", [40, 60, 80, 200])
@pytest.mark.parametrize("options", [(), ("--weeks", "12")])
def test_no_line_is_wider_than_the_screen(
    folder: Path, columns: int, options: tuple[str, ...]
) -> None:
    lines = run("show", folder, *TODAY, *options, columns=columns).stdout.splitlines()
    assert len(lines) > 10
    assert max(map(len, lines)) <= columns


def test_every_block_is_drawn_and_listed(folder: Path) -> None:
    shown = run("show", folder, *TODAY).stdout
    blocks = blocks_of(folder)
    assert len(blocks) >= 4
    for block in blocks:
        assert re.search(rf"^\S {block.id} ", shown, re.MULTILINE)
    assert "“Slow Lightning” at “Spring in the Cleft”" in shown


def test_a_day_stands_in_its_column(folder: Path) -> None:
    """The first of a month is column 6; each day is two columns wide at 80."""
    wall = Wall(screen(), Desk(folder).view(), today=None)
    checked = 0
    for month in months(wall.view.span):
        strip = next(iter(wall.lines(month, load=True)))
        for block in wall.view.blocks:
            if block.span.first in month and block.span.length > 1:
                assert strip[6 + 2 * (block.span.first.day - 1)] == "["
                checked += 1
            if block.span.last in month and block.span.length > 1:
                assert strip[6 + 2 * (block.span.last.day - 1) + 1] == "]"
                checked += 1
    assert checked >= 8


def test_rock_is_shaded_on_just_the_days_it_is_in_condition(folder: Path) -> None:
    wall = Wall(screen(), Desk(folder).view(), today=None)
    (april,) = [month for month in months(wall.view.span) if month.first.month == 4]
    (rock,) = [line for line in wall.lines(april, load=False) if line.startswith("rock")]
    assert rock[6:].rstrip() == " " * 38 + "░" * 14 + "▒" * 8  # 20-26 April 0.2, then 0.4


def test_today_and_short_trips_are_marked_with_words(folder: Path) -> None:
    shown = run("show", folder, *TODAY).stdout
    (line,) = [line for line in shown.splitlines() if line.endswith(" today")]
    assert line.index("↑") == 6 + 2 * 21
    assert re.search("»»»» Weekend at the coast", shown)


def test_signs_and_words_differ_without_colour() -> None:
    for unicode in (True, False):
        assert len({sign.mark(unicode=unicode) for sign in SIGNS.values()}) == len(Kind)
    assert len({sign.word for sign in SIGNS.values()}) == len(Kind)
    assert all(sign.typed.isascii() for sign in SIGNS.values())


def test_the_drawing_is_the_same_with_colour_taken_away(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    drawn = []
    for colour in (True, False):
        draw_wall(screen(colour=colour), Desk(folder).view(), today=date(2026, 4, 22), load=True)
        drawn.append(capsys.readouterr().out)
    assert "\x1b[" in drawn[0]
    bare = re.sub(r"\x1b\[[0-9;]*m", "", drawn[0])
    assert [line.rstrip() for line in bare.splitlines()] == drawn[1].splitlines()


def test_a_year_without_a_plan_is_shown_with_its_rock(tmp_path: Path) -> None:
    shutil.copy(YEARS / "twelve-weeks.toml", tmp_path / "year.toml")
    ran = run("show", tmp_path, *TODAY)
    assert ran.exit_code == 0
    assert "There is no plan yet" in ran.stderr
    assert "Spring in the Cleft" in ran.stdout and "Family week" in ran.stdout


# --- some weeks -----------------------------------------------------------------------------


def test_weeks_are_counted_from_today(folder: Path) -> None:
    shown = run("show", folder, *TODAY, "--weeks", "2", "--plain").stdout
    weeks = [line for line in shown.splitlines() if line.startswith("Week of ")]
    assert [line[8:23] for line in weeks] == [
        "Mon 20 Apr 2026",
        "Mon 27 Apr 2026",
        "Mon 4 May 2026:",
    ]
    assert "today Wed 22 Apr 2026" in weeks[0] and "rock 40 %" in weeks[1]


def test_from_shows_the_rest_of_the_year_and_not_more(folder: Path) -> None:
    shown = run("show", folder, *TODAY, "--from", "2026-05-11", "--plain").stdout
    assert shown.count("Week of ") == 2


def test_a_day_outside_the_year_is_refused(folder: Path) -> None:
    ran = run("show", folder, *TODAY, "--from", "2027-05-11")
    assert ran.exit_code == 2
    assert "Mon 2 Mar 2026 to Sun 24 May 2026" in ran.stderr.replace("\n", " ")


# --- for programs and for screen readers ----------------------------------------------------


def test_show_as_json_has_blocks_rock_and_time_away(folder: Path) -> None:
    found = json.loads(run("show", folder, *TODAY, "--json").stdout)
    assert [block["id"] for block in found["plan"]["blocks"]] == [b.id for b in blocks_of(folder)]
    assert found["rock"][0]["highest_chance"] == 0.8
    assert {one["name"] for one in found["away"]} == {"Weekend at the coast", "Family week"}


@pytest.mark.parametrize("arguments", [("show",), ("plan",), ("check",), ("show", "--weeks", "3")])
def test_plain_is_ascii_without_colour_or_drawing(folder: Path, arguments: tuple[str, ...]) -> None:
    command, *options = arguments
    ran = run(command, folder, *options, "--plain")
    assert ran.exit_code == 0
    assert ran.output.isascii() and "\x1b" not in ran.output
    assert not re.search(r"[=\-^>x]{4}|\[", ran.stdout)


def test_plain_rules_are_one_fact_on_each_line() -> None:
    lines = run("rules", "--plain").stdout.splitlines()
    assert len(lines) > 15
    assert all(re.match(r"[a-z-]+: (always holds|preference), on\. .+\.$", line) for line in lines)


def test_no_color_and_a_dumb_terminal_are_heeded(monkeypatch: pytest.MonkeyPatch) -> None:
    import sys

    monkeypatch.setattr(sys.stdout, "isatty", lambda: True, raising=False)
    monkeypatch.setenv("TERM", "xterm-256color")
    assert Screen.here(plain=False).colour
    assert not Screen.here(plain=True).colour
    monkeypatch.setenv("NO_COLOR", "1")
    assert not Screen.here(plain=False).colour
    monkeypatch.delenv("NO_COLOR")
    monkeypatch.setenv("TERM", "dumb")
    assert not Screen.here(plain=False).colour


def test_names_cannot_steer_the_terminal() -> None:
    assert screen().clean("Grey\x1b[2JRoof\n") == "Grey [2JRoof "


def test_no_line_begins_with_the_sign_of_a_share(capsys: pytest.CaptureFixture[str]) -> None:
    for width in range(20, 40):
        replace(screen(), width=width).say("Hangs at 85 % of your maximum, a good day 60 %.")
    assert not [line for line in capsys.readouterr().out.splitlines() if line.startswith("%")]


def test_ascii_text_keeps_what_can_be_read() -> None:
    assert ascii_text("“Größe” — Høyde ≤ 5 °") == '"Grosse" - Hoyde <= 5 ?'


def test_a_goal_that_gets_no_day_on_rock_is_told_each_time_the_year_is_shown(
    tmp_path: Path,
) -> None:
    text = (YEARS / "twelve-weeks.toml").read_text(encoding="utf-8")
    far = text.replace("[climber.minutes]", "rock_travel_minutes = 110\n\n[climber.minutes]")
    (tmp_path / "year.toml").write_text(far, encoding="utf-8")
    told = run("show", tmp_path, *TODAY).stderr.replace("\n", " ")
    assert "Note: “Slow Lightning” gets no day on rock: the longest free time" in told
    (tmp_path / "year.toml").write_text(text, encoding="utf-8")
    assert "Note:" not in run("show", tmp_path, *TODAY).stderr
