"""The place section: where the wall is, how its file is read, what is good."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from open_records import RULE, place
from pydantic import ValidationError

from seasonplan.conditions import wall_of
from seasonplan.conditions.meaning import meaning
from seasonplan.vocabulary import Discipline
from seasonplan.year.forecast import Forecast
from seasonplan.year.place import Good, Place


def refused(match: str, **changes: Any) -> None:
    with pytest.raises(ValidationError, match=match):
        place(**changes)


def records(**columns: Any) -> dict[str, Any]:
    return {"file": "records.csv", "columns": {"day": "date", **columns}}


def test_a_place_has_an_id_that_takes_no_seasons_id() -> None:
    assert place(name="Harrow Cleft").id == "place-harrow-cleft"
    assert place(id="cleft").id == "cleft"


def test_bounds_may_be_written_in_the_climbers_units() -> None:
    good = Good.model_validate(
        {"temperature": ["36 F", "59 °F"], "rain_below": "0.04 in", "highest_wind": "20 mph"}
    )
    assert good.temperature == pytest.approx((2.222, 15), abs=0.001)
    assert good.rain_below == pytest.approx(1.016)
    assert good.highest_wind == pytest.approx(8.9408)


@pytest.mark.parametrize("text", ["warm", "10 mm", "10 K", True, float("nan"), None])
def test_a_bound_that_is_no_temperature_is_refused(text: object) -> None:
    with pytest.raises(ValidationError, match="a temperature in C"):
        Good.model_validate({"temperature": [text, 15]})


def test_a_discipline_may_have_its_own_meaning_of_good() -> None:
    where = place(good=[RULE, {"discipline": "boulder", "temperature": [-5, 8]}])
    own, rest = where.good_for(Discipline.BOULDER), where.good_for(Discipline.SPORT)
    assert own is not None and own.temperature == (-5, 8)
    assert rest is not None and rest.temperature == (2, 15)
    assert place(good=[]).good_for(Discipline.SPORT) is None


def test_good_without_a_condition_is_refused() -> None:
    refused("what makes a day good", good=[{"hours": 4}])


def test_conditions_that_the_records_cannot_tell_are_refused() -> None:
    refused("without such a column", records=records(highest="temp_max"))
    refused("without such a column", good=[{"highest_dew_point": 8}])
    humid = records(highest="tmax", lowest="tmin", humidity="rh")
    assert place(records=humid, good=[{"highest_dew_point": 8}]).good


def test_shade_without_an_aspect_is_refused() -> None:
    refused("which way the wall faces", aspect=None, good=[{"shade_hours": 3}])


@pytest.mark.parametrize(
    ("good", "match"),
    [
        ([{"temperature": [15, 2]}], "lower bound first"),
        ([{"temperature": [2, 15], "dry_days_before": 1}], "still counts as dry"),
        ([RULE, RULE], "one for each discipline"),
    ],
)
def test_meanings_that_contradict_themselves_are_refused(
    good: list[dict[str, Any]], match: str
) -> None:
    refused(match, good=good)


@pytest.mark.parametrize("columns", [{}, {"day": "a", "time": "b"}, {"day": []}, {"day": 3}])
def test_a_file_has_days_or_hours(columns: dict[str, Any]) -> None:
    refused("day|column", records={"file": "a.csv", "columns": columns}, good=[])


def test_a_place_reads_like_the_file_that_a_climber_writes() -> None:
    import tomllib

    text = """
    name = "Harrow Cleft"
    latitude = 47.2
    longitude = 11.4
    aspect = 10
    steepness = 100
    [records]
    file = "cleft.csv"
    columns = { time = ["day", "hour"], temperature = "t", humidity = "rh", rain = "mm" }
    units = { temperature = "F" }
    only = { station = "7" }
    missing = ["x"]
    time_zone = "UTC"
    [[good]]
    discipline = "boulder"
    temperature = [-2, 10]
    highest_dew_point = 4
    rain_below = 0.5
    dry_days_before = 2
    shade_hours = 4
    """
    where = Place.model_validate(tomllib.loads(text))
    assert where.hourly and wall_of(where).steepness == 100
    assert meaning(where.good[0], hourly=True) == (
        "-2 to 10 °C; dew point at most 4 °C; rain below 0.5 mm that day and the 2 days before; "
        "4 daylight hours or more in the shade"
    )


def test_a_forecast_has_a_chance_for_each_of_its_days() -> None:
    values = {
        "name": "Next days", "place": "Harrow Cleft", "discipline": "sport",
        "first": date(2026, 9, 20), "chances": [0.9, 0.2],
    }  # fmt: skip
    forecast = Forecast.model_validate(values)
    assert forecast.span.last == date(2026, 9, 21)
    assert forecast.chance_on(date(2026, 9, 21)) == 0.2
    assert forecast.chance_on(date(2026, 9, 22)) is None


def test_a_place_needs_no_coordinates_until_it_has_records() -> None:
    assert place(latitude=None, longitude=None, travel_minutes=50, records=None).point is None
    refused("weather records of a place without", latitude=None, longitude=None)


@pytest.mark.parametrize("lacking", ["latitude", "longitude"])
def test_one_coordinate_alone_is_refused(lacking: str) -> None:
    refused(f"a place without `{lacking}`", **{lacking: None})
