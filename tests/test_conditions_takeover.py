"""Chances written into a year file: comments and order stay, provenance is kept and compared."""

from __future__ import annotations

from datetime import date

import pytest
import tomlkit
from open_records import place, record, seattle_bytes

from seasonplan.conditions import (
    is_from_records,
    is_outdated,
    provenance,
    with_forecast,
    with_season_chance,
    without_forecast,
)
from seasonplan.errors import BadInput
from seasonplan.vocabulary import Discipline
from seasonplan.year.forecast import Forecast

YEAR = """\
# My year, with words of my own.
schema = 1

[[season]]          # the good one
name = "Cleft in autumn"
place = "Harrow Cleft"   # home
discipline = "sport"
first = "09-20"
last = "10-17"
chance = 0.5        # my guess
note = "Ask Mira"

# When I am away.
[[trip]]
name = "Isle of Orrin"
first = 2027-01-10   # Sunday
last = 2027-01-17
climbing = false

[[season]]
name = "Cleft in spring"
first = "04-01"
last = "04-14"
[season.chance]
april = 0.3

# The end.
"""


def taken(season: str = "cleft-in-autumn", text: str = YEAR, source: str = "records x") -> str:
    return with_season_chance(
        text, season, chances=(0.31, 0.4, 0.42, 0.38), chance_from=source, file="year.toml"
    )


def test_a_seasons_chance_is_replaced_and_nothing_else() -> None:
    lines = taken().splitlines()
    assert lines[9:11] == [
        "chance = [0.31, 0.4, 0.42, 0.38]        # my guess",
        'chance_from = "records x"',
    ]
    assert [*lines[:9], *lines[11:]] == [*YEAR.splitlines()[:9], *YEAR.splitlines()[10:]]


def test_taking_over_twice_changes_the_numbers_and_adds_no_line() -> None:
    again = taken(text=taken(), source="records y")
    assert again == taken(source="records y")


def test_a_chance_by_month_becomes_one_by_week() -> None:
    text = taken("cleft-in-spring")
    season = tomlkit.parse(text).unwrap()["season"][1]
    assert season["chance"] == [0.31, 0.4, 0.42, 0.38]
    assert season["chance_from"] == "records x"
    assert text.startswith(YEAR[: YEAR.index("[season.chance]")]) and text.endswith("# The end.\n")


def test_seasons_written_on_one_line_are_kept_on_one_line() -> None:
    text = 'season = [{ name = "A", chance = 0.5 }]\n'
    assert taken("a", text) == (
        'season = [{ name = "A", chance = [0.31, 0.4, 0.42, 0.38], chance_from = "records x" }]\n'
    )


def test_a_byte_order_mark_and_other_line_ends_do_no_harm() -> None:
    text = taken(text="\ufeff" + YEAR.replace("\n", "\r\n"))
    assert text.startswith("# My year") and "# my guess\nchance_from" in text


def test_an_unknown_season_is_refused_with_those_there_are() -> None:
    with pytest.raises(BadInput, match="cleft-in-autumn, cleft-in-spring"):
        taken("summer")
    with pytest.raises(BadInput, match="none yet"):
        taken("summer", "schema = 1\n")


def test_provenance_tells_when_records_or_preference_have_changed() -> None:
    where = place()
    old, new = record(seattle_bytes()[:30_000], where), record(seattle_bytes(), where)
    source = provenance(old, known=900, good=100, meaning="2 to 15 °C")
    assert is_from_records(source) and not is_from_records("my own guess")
    assert "records.csv" in source and old.digest[:12] in source
    assert not is_outdated(source, old, meaning="2 to 15 °C")
    assert is_outdated(source, new, meaning="2 to 15 °C")
    assert is_outdated(source, old, meaning="0 to 15 °C")
    assert not is_outdated("my own guess", new, meaning="2 to 15 °C")


def forecast(text: str, *chances: float) -> str:
    return with_forecast(
        text, place="Harrow Cleft", discipline=Discipline.SPORT, first=date(2026, 9, 20),
        chances=chances, chance_from="next.csv",
    )  # fmt: skip


def test_a_forecast_comes_after_everything_and_a_new_one_takes_its_place() -> None:
    once = forecast(YEAR, 0.9, 0.234)
    assert once.startswith(YEAR)
    entry = tomlkit.parse(once).unwrap()["forecast"][0]
    assert Forecast.model_validate(entry).chances == (0.9, 0.23)
    again = tomlkit.parse(forecast(once, 0.1, 0.2, 0.3)).unwrap()["forecast"]
    assert [each["chances"] for each in again] == [[0.1, 0.2, 0.3]]


def test_forecasts_of_two_disciplines_live_side_by_side() -> None:
    both = with_forecast(
        forecast(YEAR, 0.5), place="Harrow Cleft", discipline=Discipline.BOULDER,
        first=date(2026, 9, 20), chances=(0.7,), chance_from="next.csv",
    )  # fmt: skip
    assert len(tomlkit.parse(both).unwrap()["forecast"]) == 2
    left = without_forecast(both, place="Harrow Cleft", discipline=Discipline.SPORT)
    assert [e["discipline"] for e in tomlkit.parse(left).unwrap()["forecast"]] == ["boulder"]


def test_a_forecast_taken_away_leaves_the_entries_as_they_were() -> None:
    left = without_forecast(
        forecast(YEAR, 0.5), place="Harrow Cleft", discipline=Discipline.SPORT
    )  # fmt: skip
    assert tomlkit.parse(left).unwrap() == tomlkit.parse(YEAR).unwrap()
    assert left == YEAR
