"""Hours of a record: one time all year, dates that are none, any order, days that come twice."""

from __future__ import annotations

import random
import tracemalloc
from datetime import UTC, date, datetime, timedelta, timezone
from typing import Any

import pytest
from open_records import new_york, new_york_bytes, place, record

from seasonplan.conditions.stamps import standard_time, zone_of
from seasonplan.edits.forms import entry_lines
from seasonplan.errors import BadInput
from seasonplan.explain.conditions import oddity_texts

COLUMNS = {"time": "time", "temperature": "temp"}


def hourly(zone: str = "Europe/Vienna", **records: Any) -> Any:
    return place(
        time_zone=zone, good=[{"temperature": [2, 15]}],
        records={"file": "hours.csv", "columns": COLUMNS, **records},
    )  # fmt: skip


def kept_all_year(first: datetime, *, days: int, hours_east: float) -> tuple[bytes, list[datetime]]:
    """A file that keeps one time all year, and the instants of its rows; no neighbours alike."""
    rows, instants = ["time,temp"], []
    for number in range(24 * days):
        local = first + timedelta(hours=number)
        rows.append(f"{local:%Y-%m-%d %H:%M},{number % 4000 / 100:.2f}")
        instants.append((local - timedelta(hours=hours_east)).replace(tzinfo=UTC))
    return "\n".join(rows).encode(), instants


def instants_of(content: bytes, where: Any) -> list[datetime]:
    return [begin for day in record(content, where).days.values() for begin, _ in day.hours]


# --- one time all year ------------------------------------------------------------------------

SPRING = datetime(2025, 3, 25)  # noqa: DTZ001  (local time of the record)


def test_standard_time_read_as_local_time_is_refused_once_with_the_way_out() -> None:
    """The user saw: an hour "a second time", and the advice to remove the row."""
    content, _ = kept_all_year(SPRING, days=10, hours_east=1)
    with pytest.raises(BadInput) as caught:
        record(content, hourly())
    (fault,) = caught.value.faults
    assert (fault.key, fault.line) == ("time_zone", 2 + 24 * 5 + 3)  # 30 March, 03:00
    assert "Europe/Vienna leaves out when its clocks go forward (line 124)" in fault.found
    assert '`time_zone = "Etc/GMT-1"`' in fault.do and '"+01:00"' in fault.do


def test_many_years_of_standard_time_are_one_fault() -> None:
    content, _ = kept_all_year(datetime(2019, 1, 1), days=2000, hours_east=1)  # noqa: DTZ001
    with pytest.raises(BadInput) as caught:
        record(content, hourly())
    (fault,) = caught.value.faults
    assert "and 5 more like it" in fault.found  # 2019 to 2024


@pytest.mark.parametrize("said", ["Etc/GMT-1", "+01:00"])
def test_the_way_out_that_is_named_gives_each_row_its_instant(said: str) -> None:
    content, instants = kept_all_year(SPRING, days=10, hours_east=1)
    assert instants_of(content, hourly(time_zone=said)) == instants


@pytest.mark.parametrize(
    ("zone", "hours_east", "said"),
    [
        ("America/Denver", -7, "Etc/GMT+7"), ("Europe/London", 0, "UTC"),
        ("America/St_Johns", -3.5, "-03:30"), ("Australia/Adelaide", 9.5, "+09:30"),
        ("Pacific/Auckland", 12, "Etc/GMT-12"),
    ],
)  # fmt: skip
def test_the_way_out_of_every_zone_is_its_own_standard_time(
    zone: str, hours_east: float, said: str
) -> None:
    first = datetime(2025, 1, 2)  # noqa: DTZ001  (local time of the record)
    content, instants = kept_all_year(first, days=362, hours_east=hours_east)
    with pytest.raises(BadInput) as caught:
        record(content, hourly(zone))
    assert f'`time_zone = "{said}"`' in caught.value.faults[0].do
    found = instants_of(content, hourly(zone, time_zone=said))
    assert len(found) == len(instants)
    if hours_east == int(hours_east):
        assert found == instants


def test_offsets_are_what_they_say() -> None:
    assert zone_of("-03:30") == timezone(-timedelta(hours=3, minutes=30))
    assert zone_of("+05:45") == timezone(timedelta(hours=5, minutes=45))
    summer = datetime(2025, 7, 1, tzinfo=UTC)
    assert standard_time(zone_of("Europe/Vienna"), summer) == "Etc/GMT-1"


@pytest.mark.parametrize("said", ["+1", "+01:00x", "01:00", "+15:00", "GMT+99", "", 5])
def test_what_is_no_zone_of_a_record_is_refused(said: object) -> None:
    with pytest.raises(ValueError, match=r"refused|string"):
        hourly(time_zone=said)


def test_hours_left_out_without_another_beside_them_are_told_with_the_way_out() -> None:
    content = b"time,temp\n2025-03-30 01:00,1\n2025-03-30 02:00,2\n2025-03-30 04:00,3\n"
    (told,) = [text for text in oddity_texts(record(content, hourly())) if "no clock" in text]
    assert "Etc/GMT-1" in told and "+01:00" in told


def test_the_zone_of_the_hours_has_a_line_in_the_form_of_a_place() -> None:
    (line,) = [line for line in entry_lines("place") if line.key == "records.time_zone"]
    assert line.label == "Zone of its hours" and "Etc/GMT-1" in line.help


# --- dates that are none ------------------------------------------------------------------------


@pytest.mark.parametrize("day", ["9999-12-31", "0001-01-01", "1699-12-31", "2200-01-01"])
@pytest.mark.parametrize("time", ["", " 23:59", " 00:00", "T23:59+14:00", "T00:00-14:00"])
def test_a_date_that_stands_for_none_is_told_with_its_line(day: str, time: str) -> None:
    """The user saw: OverflowError."""
    name = "time" if time else "day"
    where = place(
        time_zone="Europe/Vienna", good=[{"temperature": [2, 15]}],
        records={"file": "a.csv", "columns": {name: "when", "highest" if not time else
                                              "temperature": "temp"}},
    )  # fmt: skip
    good = "2025-06-01" + (" 12:00" if time else "")
    with pytest.raises(BadInput) as caught:
        record(f"when,temp\n{good},10\n{day}{time},11\n".encode(), where)
    (fault,) = caught.value.faults
    assert (fault.line, fault.key) == (3, "when")
    assert fault.found == repr(f"{day}{time}") and "1700 to 2199" in fault.wanted


@pytest.mark.parametrize(
    "cells", ["9999,12,31,24", "1e30,1,1,0", "inf,1,1,0", "nan,1,1,0", "2025,6,1,1e300"]
)
def test_numbers_that_are_no_date_are_told(cells: str) -> None:
    columns = {"time": ["y", "m", "d", "h"], "temperature": "t"}
    where = place(time_zone="Europe/Vienna", good=[{"temperature": [2, 15]}],
                  records={"file": "a.csv", "columns": columns})  # fmt: skip
    with pytest.raises(BadInput) as caught:
        record(f"y,m,d,h,t\n{cells},10\n".encode(), where)
    assert [fault.line for fault in caught.value.faults] == [2]


# --- any order ------------------------------------------------------------------------------------


def test_a_record_in_any_order_is_the_same_record() -> None:
    head, *rows = new_york_bytes().splitlines()
    mixed = rows[:]
    random.Random(7).shuffle(mixed)
    ordered = record(b"\n".join([head, *rows]), new_york(local=False))
    shuffled = record(b"\n".join([head, *mixed]), new_york(local=False))
    assert list(ordered.days) == list(shuffled.days) and len(ordered.days) > 300
    for day, found in ordered.days.items():
        other = shuffled.days[day]
        assert found.hours == other.hours and found.mean == other.mean
        assert found.highest == other.highest


def test_of_two_values_for_an_hour_both_lines_are_told_whatever_lies_between() -> None:
    content = b"time,temp\n2025-06-01 12:00,1\n2025-06-01 13:00,2\n2025-06-01 12:00,3\n"
    with pytest.raises(BadInput) as caught:
        record(content, hourly())
    (fault,) = caught.value.faults
    assert fault.line == 4 and "2025-06-01 12:00 a second time" in fault.found
    assert "(first on line 2)" in fault.found
    alike = content.replace(b",3", b",1")
    assert record(alike, hourly()).oddities.twice == 1


def test_a_day_that_comes_a_second_time_keeps_all_its_hours() -> None:
    """In 1988 Newfoundland's clocks went back two hours at 00:01, into the day before.

    By the IANA time zone database, zone America/St_Johns.
    """
    first = datetime(1988, 10, 29, 1, 30, tzinfo=UTC)  # 29 October, 00:00 there
    rows = [f"{first + timedelta(hours=n):%Y-%m-%dT%H:%M+00:00},{n}" for n in range(52)]
    found = record("\n".join(["time,temp", *rows]).encode(), hourly("America/St_Johns"))
    hours = {day: len(one.hours) for day, one in found.days.items()}
    assert hours[date(1988, 10, 29)] == 25 and sum(hours.values()) == 52
    for one in found.days.values():
        begins = [begin for begin, _ in one.hours]
        assert begins == sorted(set(begins))


def test_the_hours_of_a_day_are_a_sequence() -> None:
    content, instants = kept_all_year(SPRING, days=3, hours_east=1)
    hours = record(content, hourly()).days[date(2025, 3, 26)].hours
    assert len(hours) == 24 and hours[0][0] == instants[24] and hours[-1] == list(hours)[-1]
    assert [begin for begin, _ in hours[2:4]] == instants[26:28]


def test_a_million_hours_would_fit_into_300_megabytes() -> None:
    """Some 75 of them are the program's, so a row has 225 bytes while it is read."""
    begin, rows = datetime(2000, 1, 1, tzinfo=UTC), 4800
    lines = (
        f"{begin + timedelta(hours=n):%Y-%m-%d %H:%M},{n % 24 + n / 10_000:.4f}\n"
        for n in range(rows)
    )
    content, where = ("time,temp\n" + "".join(lines)).encode(), hourly("UTC")
    record(content[:1000].rsplit(b"\n", 1)[0] + b"\n", where)  # what is loaded once
    tracemalloc.start()
    try:
        assert len(record(content, where).days) == rows / 24
        assert tracemalloc.get_traced_memory()[1] / rows < 225
    finally:
        tracemalloc.stop()
