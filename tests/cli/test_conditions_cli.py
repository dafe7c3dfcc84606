"""`seasonplan conditions` as a climber uses it: told, drawn, taken over, narrowed."""

from __future__ import annotations

import json
import shutil
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from open_records import RECORDS, seattle_bytes
from places import ROOT, TESTS
from typer.testing import CliRunner

from seasonplan.body.almanac import Almanac
from seasonplan.cli.app import app
from seasonplan.cli.exits import Exit
from seasonplan.workspace.store import load_year

YEARS = TESTS / "years"
TODAY = ("--today", "2016-01-01")


def run(*arguments: object) -> Any:
    environment = {"COLUMNS": "80", "NO_COLOR": None}
    return CliRunner().invoke(app, ["conditions", *map(str, arguments)], env=environment)


def words(text: str) -> str:
    return " ".join(text.split())


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    shutil.copy(YEARS / "cleft-in-winter.toml", tmp_path / "year.toml")
    shutil.copy(RECORDS / "next-days.csv", tmp_path / "next-days.csv")
    (tmp_path / "cleft.csv").write_bytes(seattle_bytes())
    return tmp_path


def test_the_records_are_told_with_preference_windows_years_and_test(folder: Path) -> None:
    result = run(folder, *TODAY)
    assert result.exit_code == Exit.FINE
    told = words(result.stdout)
    for part in (
        "204 good (14 %)", "preference, not measured friction", "good days to expect",
        "in eight years of ten", "the fewest", "Tested on years left out",
        "By the chances you entered: 21.0", "--take cleft-in-winter", "Sun on the wall",
        "21 Jun: 05:11 to 09:35 and 18:34 to 21:10",
    ):  # fmt: skip
        assert part in told
    assert result.stdout.count("●") >= 60  # one for each column of the curve


def test_nothing_is_written_unless_asked(folder: Path) -> None:
    before = {path.name: path.read_bytes() for path in folder.iterdir()}
    run(folder, *TODAY, "--forecast", folder / "next-days.csv")
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == before


def test_plain_output_has_a_sentence_for_each_month_and_no_drawing(folder: Path) -> None:
    result = run(folder, *TODAY, "--plain")
    assert result.stdout.isascii() and "Good, for you: 2 to 15 C at" in result.stdout
    assert "January: 36 % of days good, 16 to 58 %." in result.stdout
    assert sum(" % of days good, " in line for line in result.stdout.splitlines()) == 12


def test_json_holds_the_year_day_by_day(folder: Path) -> None:
    (place,) = json.loads(run(folder, *TODAY, "--json", "--weeks", 4).stdout)["places"]
    assert (place["record"]["known"], place["record"]["good"]) == (1460, 204)
    assert len(place["chance"]) == len(place["low"]) == len(place["good_by_day"]) == 365
    assert sum(place["good_by_day"]) == 204
    assert [window["days"] for window in place["windows"]] == [28, 28, 28]
    assert place["test"]["brier"] < place["test"]["constant"]
    assert place["evidence"] == "preference"


def test_a_seasons_chance_is_taken_over_and_then_known_to_be_from_the_records(
    folder: Path,
) -> None:
    result = run(folder, *TODAY, "--take", "cleft-in-winter")
    assert result.exit_code == Exit.FINE and f"Run `seasonplan plan {folder}`" in words(
        result.stderr
    )
    season = load_year(folder).year.seasons[0]
    assert isinstance(season.chance, tuple) and len(season.chance) == 6
    assert season.chance_from.startswith("records cleft.csv sha256 ")
    assert "# a guess" in (folder / "year.toml").read_text(encoding="utf-8")
    assert "Its chances come from these records" in words(run(folder, *TODAY).stdout)


def test_new_records_are_noticed_and_taken_over_again(folder: Path) -> None:
    (folder / "cleft.csv").write_bytes(b"\n".join(seattle_bytes().splitlines()[:1000]))
    run(folder, *TODAY, "--take", "cleft-in-winter")
    old = load_year(folder).year.seasons[0]
    (folder / "cleft.csv").write_bytes(seattle_bytes())
    assert "taken from other records" in words(run(folder, *TODAY).stdout)
    run(folder, *TODAY, "--take", "cleft-in-winter")
    assert load_year(folder).year.seasons[0].chance != old.chance
    assert "taken from other records" not in words(run(folder, *TODAY).stdout)


def test_a_forecast_is_told_and_offers_a_new_plan(folder: Path) -> None:
    told = words(run(folder, *TODAY, "--forecast", folder / "next-days.csv").stdout)
    assert "Fri 1 Jan 2016: good, trusted 90 %; chance 93 % (records 32 %)." in told
    assert "enough of a change to plan again" in told and "add --accept" in told


def test_an_accepted_forecast_is_what_the_planner_sees(folder: Path) -> None:
    before = Almanac(load_year(folder).year)
    run(folder, "--today", "2016-01-03", "--forecast", folder / "next-days.csv", "--accept")
    after = Almanac(load_year(folder).year)
    fine, wet, later = date(2016, 1, 4), date(2016, 1, 5), date(2016, 1, 20)
    (old, *_), (new, *_) = before.spells, after.spells
    assert new.chance(fine) > 0.85 > old.chance(fine)
    assert 0 < new.chance(wet) < 0.2 < old.chance(wet)
    assert new.chance(later) == old.chance(later) == 0.5
    assert before.rock_days == after.rock_days


def test_a_calendar_of_good_days_is_a_forecast(folder: Path) -> None:
    event = "BEGIN:VEVENT\r\nUID:1\r\nDTSTAMP:20160101T000000Z\r\nDTSTART;VALUE=DATE:20160102\r\n"
    (folder / "good.ics").write_text(
        "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:x\r\n"
        f"{event}DTEND;VALUE=DATE:20160104\r\nSUMMARY:Dry\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n",
        encoding="utf-8",
    )
    told = words(run(folder, *TODAY, "--forecast", folder / "good.ics").stdout)
    assert "Fri 1 Jan 2016: not good" in told
    assert "Sat 2 Jan 2016: good" in told and "Sun 3 Jan 2016: good" in told
    assert "Mon 4 Jan 2016" not in told


def test_the_picture_is_written_over_a_picture_only(folder: Path) -> None:
    picture = folder / "chance.svg"
    for _ in range(2):
        assert run(folder, *TODAY, "--svg", picture).exit_code == Exit.FINE
    assert picture.read_text(encoding="utf-8").startswith("<svg")
    result = run(folder, *TODAY, "--svg", folder / "year.toml")
    assert result.exit_code == Exit.BAD_INPUT and "no SVG picture" in result.stderr
    assert load_year(folder).year.places


def test_a_place_with_no_good_day_says_so(folder: Path) -> None:
    text = (folder / "year.toml").read_text(encoding="utf-8")
    (folder / "year.toml").write_text(text.replace("[2, 15]", "[50, 55]"), encoding="utf-8")
    result = run(folder, *TODAY)
    assert result.exit_code == Exit.FINE
    assert "No day of 1,460 known ones was good" in words(result.stdout)
    assert "Best stretches" not in result.stdout


@pytest.mark.parametrize(
    ("arguments", "found"),
    [
        (("--place", "Nowhere"), "no place 'Nowhere'"),
        (("--take", "cleft"), "no season 'cleft'"),
        (("--forecast", "missing.csv"), "missing.csv: found no file"),
    ],
)
def test_what_is_not_there_is_told_in_a_line(
    folder: Path, arguments: tuple[str, str], found: str
) -> None:
    result = run(folder, *TODAY, *arguments)
    assert result.exit_code == Exit.BAD_INPUT and found in result.stderr
    assert result.stdout == ""


def test_a_year_file_with_faults_in_its_places_names_their_lines(folder: Path) -> None:
    text = (folder / "year.toml").read_text(encoding="utf-8")
    text = text.replace("latitude = 47.6", "latitude = 147.6").replace("[2, 15]", '["warm", 15]')
    text = text.replace('highest = "temp_max"', 'hihgest = "temp_max"')
    (folder / "year.toml").write_text(text, encoding="utf-8")
    result = run(folder, *TODAY)
    assert result.exit_code == Exit.BAD_INPUT
    lines = text.splitlines()
    for key in ("latitude = 147", "hihgest", '"warm"'):
        line = next(n for n, each in enumerate(lines, 1) if key in each)
        assert f"line {line}," in result.stderr
    assert "Did you mean 'highest'?" in result.stderr


# --- forecasts that say nothing, and why --------------------------------------------------------


def test_a_forecast_of_days_past_or_far_off_is_told_to_change_nothing(folder: Path) -> None:
    for today in ("2016-02-01", "2015-10-01"):
        ran = run(folder, "--today", today, "--forecast", folder / "next-days.csv", "--accept")
        assert ran.exit_code == Exit.FINE
        assert "next-days.csv says nothing of " in words(ran.stderr)
        assert "past or too far ahead" in words(ran.stderr)
    assert not load_year(folder).year.forecasts


def test_a_day_after_one_without_rain_says_which_day_it_hangs_on(folder: Path) -> None:
    lines = (folder / "next-days.csv").read_text(encoding="utf-8").splitlines()
    gap = [line for line in lines if not line.startswith("2016-01-03")]
    hole = [line.replace("6.1,0.0", ",0.0") for line in gap]
    (folder / "next-days.csv").write_text("\n".join(hole), encoding="utf-8")
    told = words(run(folder, *TODAY, "--forecast", folder / "next-days.csv").stdout)
    assert "Sat 2 Jan 2016: a value that good asks for is missing" in told
    assert "Sun 3 Jan 2016: no forecast" in told
    assert "Mon 4 Jan 2016: not judged, as nobody knows the rain of Sun 3 Jan 2016" in told


def test_a_date_that_cannot_be_read_is_one_fault(folder: Path) -> None:
    (folder / "next-days.csv").write_text(
        "date,temp_max,precipitation\n01/02/2016,7.2,0.0\n", encoding="utf-8"
    )
    ran = run(folder, *TODAY, "--forecast", folder / "next-days.csv")
    assert ran.exit_code == Exit.BAD_INPUT
    assert ran.stderr.count("found ") == 1 and "found '01/02/2016'" in ran.stderr


def test_a_year_without_records_says_where_to_read_of_them(folder: Path) -> None:
    text = (folder / "year.toml").read_text(encoding="utf-8")
    (folder / "year.toml").write_text(text[: text.index("[[place]]")], encoding="utf-8")
    ran = run(folder, *TODAY)
    assert ran.exit_code == Exit.BAD_INPUT and "“How likely is a good day?”" in ran.stderr
    page = ROOT / "seasonplan" / "docs" / "weather.md"
    assert page.read_text(encoding="utf-8").startswith("# How likely is a good day?")
