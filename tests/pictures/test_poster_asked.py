"""The poster and other pictures of a year as they are asked for."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from folder_maker import planned
from hurt import hurt_text
from typer.testing import CliRunner

from seasonplan.cli.app import app
from seasonplan.pictures.paper import PosterWish
from seasonplan.pictures.pdf import pdf
from seasonplan.pictures.poster import poster
from seasonplan.vocabulary import Kind
from seasonplan.workspace.desk import Desk


def run(*arguments: object) -> Any:
    return CliRunner().invoke(app, [str(one) for one in arguments], env={"COLUMNS": "80"})


def test_show_draws_the_year_for_a_screen_beside_its_words(tmp_path: Path) -> None:
    folder = planned(tmp_path)
    ran = run("show", folder, "--svg", folder / "year.svg")
    assert ran.exit_code == 0 and "Blocks" in ran.stdout
    drawn_year = (folder / "year.svg").read_text(encoding="utf-8")
    for day in range(1, 32):
        assert drawn_year.count(f">{day}</text>") >= 1
    for word in ("January", "February", "Isle", "Fair", "climbing trip"):
        assert f">{word}</text>" in drawn_year
    ran = run("show", folder, "--svg", folder / "year.toml")
    assert ran.exit_code == 2 and "no SVG picture" in ran.stderr


INJURY = hurt_text(
    "Left ring finger", "finger", "2027-01-05", "2027-01-12", "2027-01-19", "2027-02-02"
)


def test_the_command_writes_the_file_asked_for_and_no_other_kind_over_it(tmp_path: Path) -> None:
    folder = planned(tmp_path)
    assert run("poster", folder).exit_code == 0
    assert (folder / "poster.pdf").read_bytes().startswith(b"%PDF")
    ran = run("poster", folder, "-o", folder / "a.svg", "--rows", "weeks", "--grey", "--json")
    assert json.loads(ran.stdout) == {"files": [str(folder / "a.svg")], "sheets": 1}
    before = (folder / "year.toml").read_bytes()
    for other in ("year.toml", "mine.svg"):
        (folder / "mine.svg").write_text("my notes")
        ran = run("poster", folder, "-o", folder / other)
        assert ran.exit_code == 2 and "wanted" in ran.stderr
    assert (folder / "year.toml").read_bytes() == before
    assert (folder / "mine.svg").read_text() == "my notes"


def test_injuries_stay_out_unless_asked_for(tmp_path: Path) -> None:
    from folder_maker import YEAR, blocks
    from plan_maker import given

    hurt = given(Kind.INJURED, 1, 7, entry="left-ring-finger").model_copy(update={"id": "hurt-1"})
    folder = planned(tmp_path, year=YEAR + INJURY, blocks=(hurt, *blocks()[1:]))
    shown = {}
    for options in ((), ("--injuries",)):
        path = folder / f"{len(options)}.svg"
        assert run("poster", folder, "-o", path, *options).exit_code == 0
        shown[len(options)] = path.read_text(encoding="utf-8")
    assert "injured" in shown[1]
    for word in ("injured", "finger", ">!<"):
        assert word not in shown[0].replace("fingers", "")


def test_the_terminal_writes_the_same_poster(tmp_path: Path) -> None:
    from tui.poster_out import written

    folder = planned(tmp_path)
    told = written(Desk(folder))
    assert told.startswith(f"{folder / 'poster.pdf'}: your year as a poster, for paper of size A3")
    assert (folder / "poster.pdf").read_bytes() == pdf(poster(Desk(folder).view(), PosterWish()))
