"""Which days were good: every condition, hours in sun and shade, and what is not known."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from open_records import place, record

from seasonplan.conditions import verdicts
from seasonplan.year.place import Good

DAY = date(2025, 9, 10)
DAILY = {
    "day": "day", "highest": "tx", "lowest": "tn", "humidity": "rh", "rain": "mm", "wind": "w",
}  # fmt: skip
HOURLY = {"time": "time", "temperature": "t", "humidity": "rh", "rain": "mm", "wind": "w"}
VIENNA = {"latitude": 47.2, "longitude": 11.4, "time_zone": "Europe/Vienna"}


def judged_by_day(rows: list[str], **good: Any) -> bool | None:
    """The verdict on DAY; `rows` are those of the days that end with it."""
    where = place(**VIENNA, records={"file": "a.csv", "columns": DAILY}, good=[good])
    days = [DAY - timedelta(days=len(rows) - 1 - n) for n in range(len(rows))]
    text = "day,tx,tn,rh,mm,w\n" + "\n".join(
        f"{d},{row}" for d, row in zip(days, rows, strict=True)
    )
    return verdicts(record(text.encode(), where), Good.model_validate(good), place=where)[DAY]


FINE = "14,6,50,0,2"


@pytest.mark.parametrize(
    ("rows", "good", "wanted"),
    [
        ([FINE], {"temperature": [2, 15]}, True),
        (["15.1,6,50,0,2"], {"temperature": [2, 15]}, False),
        ([FINE], {"highest_humidity": 50}, True),
        ([FINE], {"highest_humidity": 49}, False),
        ([FINE], {"highest_dew_point": 0.1}, True),  # 10 °C and 50 %: 0.06 °C
        ([FINE], {"highest_dew_point": 0}, False),
        ([FINE], {"highest_wind": "10 km/h"}, True),
        ([FINE], {"highest_wind": "7 km/h"}, False),
        ([FINE], {"rain_below": 1}, True),
        (["14,6,50,1,2"], {"rain_below": 1}, False),
        (["9,6,50,3,2", FINE], {"rain_below": 1}, True),
        (["9,6,50,3,2", FINE], {"rain_below": 1, "dry_days_before": 1}, False),
        (["9,6,50,3,2", FINE, FINE], {"rain_below": 1, "dry_days_before": 1}, True),
        (["9,6,50,3,2", FINE, FINE], {"rain_below": 1, "dry_days_before": 2}, False),
    ],
)
def test_a_day_is_good_when_it_keeps_every_bound(
    rows: list[str], good: dict[str, Any], wanted: bool
) -> None:
    assert judged_by_day(rows, **good) is wanted


def test_a_day_after_an_unknown_one_is_unknown_even_where_it_is_too_hot() -> None:
    """Else hot days would be counted and fine ones lost, and the chance would come out low."""
    rule = {"temperature": [2, 15], "rain_below": 1, "dry_days_before": 1}
    assert judged_by_day(["9,6,50,NA,2", FINE], **rule) is None
    assert judged_by_day(["9,6,50,NA,2", "30,6,50,0,2"], **rule) is None
    assert judged_by_day([FINE], **rule) is None


def hours_of(day: date, temperature: dict[int, float], *, missing: tuple[int, ...] = ()) -> str:
    """Hourly rows of a dry local day: `temperature` by hour, 25 °C where it says nothing."""
    zone = ZoneInfo("Europe/Vienna")
    rows = ["time,t,rh,mm,w"]
    for hour in range(24):
        if hour not in missing:
            when = datetime(day.year, day.month, day.day, hour, tzinfo=zone)
            rows.append(f"{when.isoformat()},{temperature.get(hour, 25)},40,0,1")
    return "\n".join(rows)


def judged_by_hour(text: str, day: date, *, aspect: float = 180, **good: Any) -> bool | None:
    where = place(**VIENNA, aspect=aspect, good=[good], records={"file": "a", "columns": HOURLY})
    return verdicts(record(text.encode(), where), Good.model_validate(good), place=where)[day]


def test_three_cool_hours_make_a_hot_day_good() -> None:
    text = hours_of(DAY, {8: 12, 9: 14, 10: 15})
    assert judged_by_hour(text, DAY, temperature=[2, 15]) is True
    assert judged_by_hour(text, DAY, temperature=[2, 15], hours=4) is False


def test_cool_hours_of_the_night_do_not_count() -> None:
    text = hours_of(DAY, dict.fromkeys((0, 1, 2, 3, 4, 22, 23), 10))
    assert judged_by_hour(text, DAY, temperature=[2, 15]) is False


def test_shade_counts_only_while_the_air_is_good_too() -> None:
    """In September a wall to the east is in the sun until noon, one to the west from then on."""
    afternoon = hours_of(DAY, dict.fromkeys((14, 15, 16, 17), 12))
    rule = {"temperature": [2, 15], "shade_hours": 3}
    assert judged_by_hour(afternoon, DAY, aspect=90, **rule) is True
    assert judged_by_hour(afternoon, DAY, aspect=270, **rule) is False
    assert judged_by_hour(
        afternoon, DAY, aspect=270, temperature=[2, 15], sun_hours=3
    ) is True  # fmt: skip


def test_a_day_with_many_hours_missing_is_unknown() -> None:
    text = hours_of(DAY, {8: 12, 9: 14, 10: 15}, missing=(11, 12, 13, 14, 15, 16))
    assert judged_by_hour(text, DAY, temperature=[2, 15]) is None


def test_daily_records_take_shade_from_the_sun_alone() -> None:
    """A wall to the north has shade nearly all day in September, one to the south has not."""
    rows = ["14,6,50,0,2"]
    good = {"temperature": [2, 15], "shade_hours": 8}
    for aspect, wanted in ((0, True), (180, False)):
        where = place(**VIENNA, aspect=aspect, records={"file": "a", "columns": DAILY}, good=[good])
        text = f"day,tx,tn,rh,mm,w\n{DAY},{rows[0]}\n"
        (found,) = verdicts(record(text.encode(), where), where.good[0], place=where).values()
        assert found is wanted
