"""`seasonplan tests` as a climber uses it: told, as JSON, drawn, taken in from an older table."""

from __future__ import annotations

import json
import re
import xml.etree.ElementTree as ET
from pathlib import Path
from statistics import fmean
from typing import Any

import pytest
from page_lines import unbroken
from places import ROOT
from test_year_file import HEAD
from typer.testing import CliRunner

from seasonplan.cli.app import app
from seasonplan.cli.exits import Exit
from seasonplan.pictures.chart import BAND, INK
from seasonplan.rules.tables import caution
from seasonplan.testing import usual_tests
from seasonplan.year import Year
from seasonplan.year.toml import read_year

TESTS = """
[[test]]
name = "Hang"
like = "edge-hang"
grip = "20 mm"
anchors = { 1 = -10, 5 = 50 }
"""
ROWS = """\
date,kind,what,value,unit,side
2026-03-01,weight,,70,kg,
2026-03-01,test,Hang,10,kg,
2026-03-01,test,Hang,12,kg,
2026-03-05,test,Hang,11,kg,
2026-04-10,weight,,70,kg,
2026-04-10,test,Hang,20,kg,
2026-04-14,test,Hang,20,kg,
2026-04-14,test,High step,101,cm,left
"""


def run(*arguments: object) -> Any:
    environment = {"COLUMNS": "80", "NO_COLOR": None}
    return CliRunner().invoke(app, [str(one) for one in arguments], env=environment)


def judged(folder: Path, *arguments: object) -> Any:
    return run("tests", folder, *arguments, "--today", "2026-05-01")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "year.toml").write_text(HEAD + TESTS)
    (tmp_path / "diary.csv").write_text(ROWS)
    return tmp_path


def test_every_test_is_told_with_its_verdict(folder: Path) -> None:
    result = judged(folder)
    assert result.exit_code == Exit.FINE
    told = unbroken(result.stdout)
    assert "Hang Real gain: +11.1 % since Sun 1 Mar 2026 as measured" in told
    assert "High step, left One test is no trend" in told
    assert "it takes 3 tests on separate days before and as many after" in told
    assert "Your best day: 90 kg with your body, on Fri 10 Apr 2026." in told
    assert "Next test: from Tue 12 May 2026." in told
    assert told.endswith(unbroken(caution("general")))
    assert all(len(line) <= 80 for line in result.stdout.splitlines())


def test_one_test_is_told_with_every_try(folder: Path) -> None:
    told = unbroken(judged(folder, "--test", "hang").stdout)
    assert "1 Mar 2026: 10, 12 kg, body 70.0 kg 5 Mar 2026: 11 kg" in told
    assert "High step, left" not in told


def test_a_folder_without_tests_says_how_to_begin(folder: Path) -> None:
    (folder / "diary.csv").unlink()
    result = judged(folder)
    assert result.exit_code == Exit.FINE
    assert "No tests in the diary yet." in result.stdout


def test_json_holds_what_is_told(folder: Path) -> None:
    found = json.loads(judged(folder, "--json").stdout)
    assert (found["day"], found["held"]) == ("2026-05-01", None)
    hang, step = found["tests"]
    assert [len(result["tries"]) for result in hang["results"]] == [2, 1, 1, 1]
    assert hang["results"][0]["of_body"] == pytest.approx(81 / 70)
    assert hang["change"]["word"] == "real gain"
    assert hang["change"]["low"] < hang["change"]["believed"] < hang["change"]["seen"]
    assert hang["least_change"]["sure_90"] < hang["least_change"]["sure_95"]
    assert hang["tries_needed"] == {"change": 5.0, "each_side": 3}
    assert hang["next_day"] == "2026-05-12"
    assert step["unit"] == "cm" and "change" not in step
    assert found["levels"]["finger_strength"]["by"] == "Hang"


def test_json_judges_nothing_while_hurt(folder: Path) -> None:
    hurt = '[[injury]]\nname = "Finger"\npart = "finger"\nhappened = 2026-04-20\n'
    (folder / "year.toml").write_text(HEAD + TESTS + hurt)
    found = json.loads(judged(folder, "--json").stdout)
    assert found["held"] == "hurt" and found["levels"] == {} and found["goals"] == []
    assert not {"change", "level", "error", "trend", "next_day"} & set(found["tests"][0])
    assert caution("injury") in found["together"]


def heights_of(path: ET.Element) -> list[float]:
    """How far down the points of a drawn path lie."""
    return [float(y) for y in re.findall(r"[ML][-\d.]+ ([-\d.]+)", path.attrib["d"])]


def test_a_test_is_drawn_with_its_tries_and_its_band(folder: Path) -> None:
    picture = folder / "hang.svg"
    result = judged(folder, "--test", "Hang", "--svg", picture)
    assert result.exit_code == Exit.FINE and "written" in result.stderr
    root = ET.fromstring(picture.read_text())
    space = "{http://www.w3.org/2000/svg}"
    paths = root.findall(f"{space}path")
    dots = [one for one in paths if one.find(f"{space}title") is not None]
    (line,) = [one for one in paths if one.attrib.get("stroke") == INK]
    (band,) = [one for one in paths if one.attrib["fill"] == BAND]
    assert len(dots) == 5
    heights = heights_of(line)
    assert len(heights) == 4 and heights[0] > heights[-1]  # upwards is better
    desc = root.find(f"{space}desc")
    assert desc is not None and desc.text is not None and desc.text.startswith("Real gain")
    for dot in dots:  # tries stand with the body, as the band does
        middle = fmean(heights_of(dot))
        assert min(heights_of(band)) <= middle <= max(heights_of(band))


def test_only_one_test_can_be_drawn_and_nothing_else_overwritten(folder: Path) -> None:
    result = judged(folder, "--svg", folder / "all.svg")
    assert result.exit_code == Exit.BAD_INPUT
    assert "found 2 (Hang; High step, left); wanted one" in unbroken(result.stderr)
    result = judged(folder, "--test", "Hang", "--svg", folder / "diary.csv")
    assert result.exit_code == Exit.BAD_INPUT
    assert (folder / "diary.csv").read_text() == ROWS


def test_an_unknown_test_is_told_with_those_there_are(folder: Path) -> None:
    result = judged(folder, "--test", "Campus")
    assert result.exit_code == Exit.BAD_INPUT
    told = unbroken(result.stderr)
    assert "found 'Campus'; wanted a test of the diary (Hang; High step, left)" in told


def test_an_unknown_usual_test_is_told_with_the_folder(folder: Path) -> None:
    (folder / "year.toml").write_text(HEAD + TESTS.replace("edge-hang", "edge-hangs"))
    result = judged(folder)
    assert result.exit_code == Exit.BAD_INPUT
    told = unbroken(result.stderr)
    assert "year.toml, test.1.like: found 'edge-hangs'" in told
    assert "Did you mean 'edge-hang'?" in told


def test_the_usual_tests_are_listed_with_protocol_error_and_source() -> None:
    told = unbroken(run("tests", "--usual").stdout)
    for test in usual_tests().values():
        assert f"{test.name} ({test.id})" in told and unbroken(test.protocol) in told
    assert "Two days differ by some 3 % by chance." in told and "(abstract read)" in told
    assert unbroken(caution("young")) in told
    listed = json.loads(run("tests", "--usual", "--json").stdout)["tests"]
    assert [one["id"] for one in listed] == list(usual_tests())


def test_an_older_table_of_tests_is_taken_in_and_judged(folder: Path) -> None:
    old = folder / "old.csv"
    old.write_text("Day,Test,Result,Unit\n10.01.2026,Hang,5,kg\n11.01.2026,Hang,x,kg\n")
    taken = run(
        "log", folder, "import", old, "--set", "kind=test", "--map", "date=Day", "--map",
        "what=Test", "--map", "value=Result", "--map", "unit=Unit", "--dates", "DD.MM.YYYY",
    )  # fmt: skip
    assert taken.exit_code == Exit.FINE and "1 row was taken over." in taken.stdout
    (hang, _) = json.loads(judged(folder, "--json").stdout)["tests"]
    assert hang["results"][0]["day"] == "2026-01-10"
    assert hang["results"][0]["judged"] is False  # no body weight near it


def test_the_guide_names_what_can_be_said_of_a_test() -> None:
    readme = (ROOT / "seasonplan" / "docs" / "tests.md").read_text()
    assert "seasonplan tests my-year" in readme and "[[test]]" in readme
    block = readme.split("```toml\n[[test]]")[1].split("```")[0]
    found: Year = read_year(HEAD + "[[test]]" + block, file="guide")
    assert found.tests[0].anchors and found.tests[0].ten_percent
