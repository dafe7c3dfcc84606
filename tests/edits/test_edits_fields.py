"""What a place of the file takes: typed words become its value, judged by the models alone."""

from __future__ import annotations

import tomllib
from datetime import date, time
from typing import Any

import pytest
from draft_maker import YEAR, draft

from seasonplan.edits import ChangeSetting, EditRefused, apply, draft_of, typed
from seasonplan.edits.fields import is_setting, natural, settings
from seasonplan.year.model import ENTRY_FIELDS


@pytest.mark.parametrize(
    ("words", "place", "value"),
    [
        ("2027", ("trip", "name"), "2027"),
        ("2027-01-04", ("trip", "name"), "2027-01-04"),
        ('"x"', ("trip", "name"), "x"),
        ("", ("trip", "name"), ""),
        ("true", ("trip", "climbing"), True),
        ("2027-01-04", ("trip", "first"), date(2027, 1, 4)),
        ("2", ("goal", "priority"), 2),
        ("7", ("goal", "grade"), "7"),
        ("a, b", ("goal", "served_by"), ["a", "b"]),
        ("a", ("goal", "served_by"), ["a"]),
        ('"a"', ("goal", "served_by"), ["a"]),
        ("{ power = 3 }", ("goal", "demands"), {"power": 3}),
        ("09-20", ("season", "first"), "09-20"),
        ("2027-09-20", ("season", "first"), date(2027, 9, 20)),
        ("0.2, 0.4", ("season", "chance"), [0.2, 0.4]),
        ("0.5", ("season", "chance"), 0.5),
        ("18:30", ("session", "start"), "18:30"),
        ("18:30:00", ("session", "start"), time(18, 30)),
        ("18:00-19:30", ("climber", "minutes", "tuesday"), "18:00-19:30"),
        ("90", ("climber", "minutes", "tuesday"), 90),
        ("4", ("climber", "level", "power"), 4),
        ("3,6", ("rules", "base-length", "limit"), [3, 6]),
        ("30", ("recipes", "mobility", "minutes"), 30),
        ("base, rest", ("recipes", "mobility", "kinds"), ["base", "rest"]),
        ("few and long", ("sessions", "spread_for", "base"), "few and long"),
        ("nonsense", ("goal", "priority"), "nonsense"),
        ("x y", ("goal", "unknown"), "x y"),
        ("3", ("goal", "unknown"), 3),
        ("3", ("nowhere", "x"), 3),
    ],
)
def test_words_become_what_their_place_takes(
    words: str, place: tuple[str, ...], value: Any
) -> None:
    assert typed(words, *place) == value
    assert type(typed(words, *place)) is type(value)


def test_a_day_is_written_as_a_date_and_a_text_stays_a_text() -> None:
    assert natural("2027-01-04", "trip", "first") == date(2027, 1, 4)
    assert natural("2027-01-04", "trip", "name") == "2027-01-04"
    assert natural("12-24", "season", "last") == "12-24"
    for odd in ("soon", 3, None, [1]):
        assert natural(odd, "trip", "first") is odd
        assert natural(odd, "trip", "nothing") is odd


# --- settings -----------------------------------------------------------------------------------


def test_settings_are_the_places_of_the_file_that_are_no_entry_rule_or_recipe() -> None:
    found = settings()
    assert len(set(found)) == len(found) > 25
    assert not {one.partition(".")[0] for one in found} & {*ENTRY_FIELDS, "rules", "recipes"}
    assert "schema" not in found
    assert {"year.weeks", "climber.minutes.sunday", "climber.level"} <= set(found)


@pytest.mark.parametrize("path", settings())
def test_every_setting_that_is_listed_can_be_asked_for(path: str) -> None:
    assert is_setting(tuple(path.split(".")))


@pytest.mark.parametrize(
    ("path", "there"),
    [
        ("climber.level.power", True), ("sessions.spread_for.base", True),
        ("climber.minutes", True), ("climber", False), ("schema", False), ("rules.order", False),
        ("rules.order.on", False), ("recipes.mobility.minutes", False), ("goal.name", False),
        ("trip", False), ("climber.nowhere", False), ("nowhere.name", False),
        ("climber.time_zone.x", False), ("year.first.x.y", False),
    ],
)  # fmt: skip
def test_a_setting_has_a_table_and_a_key_in_it(path: str, there: bool) -> None:
    assert is_setting(tuple(path.split("."))) is there


VALUES: dict[str, tuple[Any, Any]] = {
    "year.first": ("2027-01-11", date(2027, 1, 11)),
    "climber.first_weekday": ("sunday", "sunday"),
    "climber.birth_year": (1990, 1990),
    "climber.rock_days": (["saturday"], ["saturday"]),
    "climber.rock_minutes": (300, 300),
    "climber.level": ({"power": 2, "movement": 3}, {"power": 2, "movement": 3}),
    "before.last_kind": ("rest", "rest"),
    "before.hard_finger_sessions": (2.5, 2.5),
    "before.hung_daily": (True, True),
    "sessions.has": (["wall", "rock"], ["wall", "rock"]),
    "sessions.tentative_is_free": (True, True),
    "calendar.blocks": ("weeks", "weeks"),
}


@pytest.mark.parametrize("path", VALUES)
def test_a_setting_stands_in_the_file_as_it_was_meant(path: str) -> None:
    value, written = VALUES[path]
    after = apply(draft(), ChangeSetting(path=path, value=value))
    said: Any = tomllib.loads(after.text)
    for part in path.split("."):
        said = said[part]
    assert said == written and type(said) is type(written)
    assert draft_of(after.text).year == after.year != draft().year


def test_of_weeks_and_last_the_one_that_was_said_stays() -> None:
    by_day = apply(draft(), ChangeSetting(path="year.last", value="2027-03-31"))
    assert tomllib.loads(by_day.text)["year"] == {
        "first": date(2027, 1, 4), "last": date(2027, 3, 31),
    }  # fmt: skip
    by_weeks = apply(by_day, ChangeSetting(path="year.weeks", value=12))
    assert tomllib.loads(by_weeks.text) == tomllib.loads(YEAR)
    later = apply(by_weeks, ChangeSetting(path="year.first", value="2027-01-11"))
    assert later.year.horizon.weeks == 12


def test_a_setting_taken_back_leaves_no_key_and_says_the_usual() -> None:
    said = apply(draft(), ChangeSetting(path="climber.minutes.friday", value=45))
    back = apply(said, ChangeSetting(path="climber.minutes.friday"))
    assert back.text == YEAR
    with pytest.raises(EditRefused, match=r"climber\.minutes\.friday is the usual one already"):
        apply(back, ChangeSetting(path="climber.minutes.friday"))
