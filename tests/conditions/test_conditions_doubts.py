"""What in a record can hardly be weather of its place is told with its rows; nothing else is."""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from open_records import (
    auckland_bytes,
    auckland_place,
    new_york,
    new_york_bytes,
    package_file,
    place,
    record,
    seattle_bytes,
)
from typer.testing import CliRunner

from seasonplan.cli.app import app
from seasonplan.cli.exits import Exit
from seasonplan.conditions import Doubt, Record, doubts, study
from seasonplan.days import Span
from seasonplan.explain.conditions import chance_slip
from seasonplan.workspace.store import load_year

COLUMNS = {"day": "day", "highest": "high", "lowest": "low", "rain": "rain"}


def invented(
    *,
    mean: float = 8.0,
    swing: float = 9.0,
    rain: float = 2.0,
    change: Callable[[float], float] = lambda value: value,
    first: date = date(2021, 1, 1),
) -> bytes:
    """Two years, warmest in mid July, with a daily range of 8 degrees."""
    rows = ["day,high,low,rain"]
    for number in range(730):
        day = first + timedelta(days=number)
        warm = mean - swing * math.cos(2 * math.pi * (day.timetuple().tm_yday - 16) / 365)
        rows.append(f"{day},{change(warm + 4):.1f},{change(warm - 4):.1f},{rain}")
    return "\n".join(rows).encode()


def fahrenheit(celsius: float) -> float:
    """By definition."""
    return celsius * 1.8 + 32


def where(**changes: Any) -> Any:
    return place(records={"file": "records.csv", "columns": COLUMNS}, **changes)


def found(content: bytes, *, latitude: float = 47.5) -> dict[Doubt, Any]:
    return {one.doubt: one for one in doubts(record(content, where()), latitude=latitude)}


# --- weather as it is -------------------------------------------------------------------------


def brussels() -> Record:
    columns = {
        "day": ["Year", "Month", "Day"], "highest": "Tmax(C)", "lowest": "Tmin(C)",
        "rain": "Prcp(mm)",
    }  # fmt: skip
    content = package_file("aquacrop", "data/brussels_climate.txt").read_bytes()
    return record(content, place(records={"file": "brussels.txt", "columns": columns}))


@pytest.mark.parametrize(
    ("made", "latitude"),
    [
        (lambda: record(seattle_bytes(), place()), 47.5),
        (brussels, 50.8),
        (lambda: record(auckland_bytes(), auckland_place()), -37.0),
        (lambda: record(new_york_bytes(), new_york(local=True)), 40.6),
    ],
)
def test_measured_weather_is_not_doubted(made: Callable[[], Record], latitude: float) -> None:
    """Four open records, 30 years of one of them; New York's rain is not known every hour."""
    assert doubts(made(), latitude=latitude) == ()


@pytest.mark.parametrize(
    ("latitude", "mean", "swing"),
    [
        (14.2, 34.4, 4.0), (36.5, 25.0, 14.0), (33.4, 24.5, 11.0), (67.5, -1.0, 13.0),
        (0.3, 24.0, 0.5),
    ],
)  # fmt: skip
def test_the_hottest_and_coldest_places_there_are_are_not_doubted(
    latitude: float, mean: float, swing: float
) -> None:
    """Dallol, Death Valley, Phoenix, the far north, the equator: round numbers from memory."""
    assert found(invented(mean=mean, swing=swing), latitude=latitude) == {}


# --- doubts -------------------------------------------------------------------------------------


def test_a_highest_below_the_lowest_is_told_with_its_rows() -> None:
    lines = invented().decode().splitlines()
    for number in (9, 399):
        day, high, low, rain = lines[number].split(",")
        lines[number] = f"{day},{low},{high},{rain}"
    one = found("\n".join(lines).encode())[Doubt.CROSSED]
    assert (one.lines, one.number) == ((10, 400), 2)


def test_a_file_with_exchanged_columns_names_the_first_rows_only() -> None:
    one = found(invented().replace(b"day,high,low", b"day,low,high"))[Doubt.CROSSED]
    assert one.number == 730 and one.lines == (2, 3, 4, 5, 6)


def test_a_year_drier_than_a_desert_is_told_with_its_lines() -> None:
    """Inches read as millimetres: 730 mm a year become 29."""
    assert Doubt.DRY not in found(invented(rain=2.0))
    one = found(invented(rain=2.0 / 25.4))[Doubt.DRY]
    assert one.number == 2 and one.found == (2021, pytest.approx(365 * 0.0787, abs=0.1))
    assert one.lines == (2, 366)


def test_part_of_a_year_is_no_dry_year() -> None:
    rows = invented(rain=0.1).splitlines()
    assert Doubt.DRY not in found(b"\n".join(rows[:300]))


@pytest.mark.parametrize(("mean", "swing"), [(1.0, 8.0), (-3.0, 10.0), (-6.0, 9.0)])
def test_fahrenheit_read_as_celsius_is_doubted_even_where_it_is_cold(
    mean: float, swing: float
) -> None:
    """In °F their days have up to 55 degrees: values that weather in °C can have."""
    as_read = invented(mean=mean, swing=swing, change=fahrenheit)
    one = found(as_read)[Doubt.HOT]
    assert one.found[0] == pytest.approx(fahrenheit(mean), abs=0.2) and one.found[0] > one.found[1]
    assert abs(one.lines[0] - 198) < 6 or abs(one.lines[0] - 563) < 6  # mid July
    assert found(invented(mean=mean, swing=swing)) == {}


def test_seasons_upside_down_for_the_latitude_are_doubted() -> None:
    one = found(invented(), latitude=-47.5)[Doubt.TURNED]
    middle, turn = one.found
    assert middle > 14 and turn < 2
    assert Doubt.TURNED not in found(invented(), latitude=-10.0)  # between the tropics
    southern = invented(swing=-9.0)
    assert Doubt.TURNED not in found(southern, latitude=-47.5)
    assert Doubt.TURNED in found(southern, latitude=47.5)


def test_a_summer_alone_is_not_judged() -> None:
    rows = invented(mean=1.0, swing=8.0, change=fahrenheit).splitlines()
    assert found(b"\n".join([rows[0], *rows[150:250]])) == {}


def test_highs_alone_are_judged_as_half_a_daily_range_less() -> None:
    rows = invented(mean=18.0).decode().replace("high,low", "high,other")
    only = place(records={"file": "a.csv", "columns": {"day": "day", "highest": "high"}},
                 good=[{"temperature": [2, 15]}])  # fmt: skip
    assert doubts(record(rows.encode(), only), latitude=47.5) == ()


# --- told -----------------------------------------------------------------------------------


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Everything wrong at once: °F, exchanged columns, a latitude without its minus, dry."""
    content = invented(mean=1.0, swing=-8.0, rain=0.05, change=fahrenheit)
    (tmp_path / "cleft.csv").write_bytes(content.replace(b"day,high,low", b"day,low,high"))
    (tmp_path / "year.toml").write_text(
        """
        [year]
        first = 2027-01-04
        weeks = 20
        [climber]
        time_zone = "Europe/Vienna"
        [climber.minutes]
        saturday = 120
        [[place]]
        name = "Harrow Cleft"
        latitude = 47.5
        longitude = 12.0
        [place.records]
        file = "cleft.csv"
        columns = { day = "day", highest = "high", lowest = "low", rain = "rain" }
        [[place.good]]
        temperature = [2, 60]
        """
    )
    return tmp_path


def conditions(folder: Path, *more: str) -> Any:
    ran = CliRunner().invoke(app, ["conditions", str(folder), "--today", "2027-01-05", *more])
    assert ran.exit_code == Exit.FINE, ran.output
    return ran.stdout


def test_doubts_are_told_in_words_with_the_rows(folder: Path) -> None:
    told = " ".join(conditions(folder).split())
    for part in (
        "! Doubtful: 730 rows have a highest temperature below the lowest (lines 2, 3, 4, 5, 6 "
        "and more). Are the two columns exchanged?",
        "! Doubtful: 2021 and another year had less rain than a desert: 18 mm, lines 2 to 366. Is "
        "the rain of the file really in mm",
        "C is the mean over the year", "Is the file in", "the wrong way round north of the equator",
        "days and months exchanged",
    ):  # fmt: skip
        assert part in told, part
    assert "°" not in conditions(folder, "--plain").split("Doubtful", 1)[1].split("Best")[0]


def test_doubts_are_told_to_programs(folder: Path) -> None:
    (one,) = json.loads(conditions(folder, "--json"))["places"]
    assert [each["doubt"] for each in one["doubts"]] == [doubt.value for doubt in Doubt]
    assert one["doubts"][0]["lines"] == [2, 3, 4, 5, 6] and one["doubts"][0]["number"] == 730
    assert all(each["text"].startswith("Doubtful: ") for each in one["doubts"])


def test_the_slip_of_the_lane_begins_with_the_doubts(folder: Path) -> None:
    year = load_year(folder).year
    content = (folder / "cleft.csv").read_bytes()
    made = study(content, year.places[0], discipline=None, file="year.toml", time_zone="UTC")
    span = Span.through(date(2027, 2, 1), date(2027, 2, 28))
    slip = chance_slip(made, span, season=None, year=year, today=None, take="press c")
    assert [text.startswith("Doubtful: ") for text in slip.why][:5] == [True] * 4 + [False]
