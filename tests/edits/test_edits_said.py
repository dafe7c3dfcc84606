"""What is typed on a line of a form becomes the value of the file, and comes back as typed."""

from __future__ import annotations

import tomllib
from datetime import date, time
from pathlib import Path
from typing import Any

import pytest
from places import ROOT

from seasonplan.edits import draft_of
from seasonplan.edits.entries import place_of
from seasonplan.edits.filled import changing, lists_at, said_at, setting
from seasonplan.edits.form_words import SETTINGS
from seasonplan.edits.forms import Line, Takes, entry_lines, setting_lines
from seasonplan.edits.said import Now, bare, limit_said, meant, share_said, words_of
from seasonplan.vocabulary import Side
from seasonplan.year.routine import FreeTime

TODAY = date(2027, 2, 17)  # a Wednesday
NOW = Now(TODAY)
YEARS = sorted([*(ROOT / "calendars_demo").glob("*/year.toml"), *ROOT.glob("tests/years/*.toml")])


def line(takes: Takes, *choices: str) -> Line:
    return Line(key="x", label="X", help="", takes=takes, choices=choices)


@pytest.mark.parametrize(
    ("words", "takes", "value"),
    [
        ("60", Takes.SHARE, 0.6), ("60 per cent", Takes.CHANCE, 0.6), ("1", Takes.SHARE, 1),
        ("40 %", Takes.SHARE, 0.4), ("0,4", Takes.SHARE, 0.4), ("0.4", Takes.CHANCE, 0.4),
        ("30 %, 45%, 0.5", Takes.CHANCE, [0.3, 0.45, 0.5]),
        ("march 35 %, april: 0.45", Takes.CHANCE, {"march": 0.35, "april": 0.45}),
        ("yes", Takes.YES_NO, True), ("No", Takes.YES_NO, False), ("maybe", Takes.YES_NO, "maybe"),
        ("3 to 6", Takes.LIMIT, [3, 6]), ("7", Takes.LIMIT, 7), ("2, 15", Takes.NUMBERS, [2, 15]),
        ("42, 43.5, 42", Takes.RESULTS, [42, 43.5, 42]), ("43,5", Takes.RESULTS, [43.5]),
        ("42, 43,5, 42", Takes.RESULTS, [42, 43.5, 42]), ("7,5; 8", Takes.RESULTS, [7.5, 8]),
        ("42,43,5", Takes.RESULTS, [42, 43.5]), ("4,5,6", Takes.RESULTS, ["4,5,6"]),
        ("50 F", Takes.NUMBER, "50 F"), ("-2.5", Takes.NUMBER, -2.5),
        ("90", Takes.FREE, 90), ("1h30", Takes.FREE, "1h30"),
        ("18:00-19:30, 20:00-21:00", Takes.FREE, ["18:00-19:30", "20:00-21:00"]),
        ("strength few and long", Takes.TABLE, {"strength": "few and long"}),
        ("base short and hard, often, strength few and long", Takes.TABLE,
         {"base": "short and hard", "strength": "few and long"}),
        ("base light, often", Takes.TABLE, {"base": "light"}),
        ("station: A 12", Takes.TABLE, {"station": "A 12"}), ("nothing", Takes.TABLE, "nothing"),
        ("123", Takes.TEXT, "123"), ("a, b ,", Takes.NAMES, ["a", "b"]),
        ("tomorrow", Takes.DAY, date(2027, 2, 18)), ("some day", Takes.DAY, "some day"),
        ("12 sep every year", Takes.DAY_OR_YEARLY, "09-12"), ("  ", Takes.TEXT, None),
        ('"7b+"', Takes.TEXT, "7b+"), ("'a', \"b\"", Takes.NAMES, ["a", "b"]),
        ('"Roof" and "Nose"', Takes.TEXT, '"Roof" and "Nose"'),
        ("“next friday”", Takes.DAY, date(2027, 2, 26)),
    ],
)  # fmt: skip
def test_words_become_the_value_of_the_file(words: str, takes: Takes, value: Any) -> None:
    assert meant(words, line(takes), now=NOW) == value


def test_the_beginning_of_a_choice_is_enough_where_it_is_plain() -> None:
    one = line(Takes.CHOICE, "sport", "trad", "boulder", "multipitch", "mountain")
    assert meant("Sp", one, now=NOW) == "sport"
    assert meant("m", one, now=NOW) == "m"
    several = line(Takes.CHOICES, *one.choices)
    assert meant("tr, mult", several, now=NOW) == ["trad", "multipitch"]


# --- whole years ------------------------------------------------------------------------------


@pytest.mark.parametrize("path", YEARS, ids=lambda path: f"{path.parent.name}-{path.stem}")
def test_everything_said_in_a_year_can_be_typed_again(path: Path) -> None:
    draft = draft_of(path.read_text(encoding="utf-8"))
    places = [(tuple(part.split(".")), setting_lines(part)) for part in SETTINGS]
    for entries in draft.year.entries_by_section().values():
        for _, entry in entries:
            place = place_of(draft.year, entry.id)
            places.append((place, entry_lines(place[0], lists=lists_at(draft, place))))  # type: ignore[arg-type]
    checked = 0
    for place, lines in places:
        for one in lines:
            value = said_at(draft, place, lines)[one.key]
            if value is None:
                continue
            checked += 1
            again = meant(words_of(value), one, now=NOW)
            assert again == value or [again] == value or again == [value], (place, one.key)
    assert checked >= 10


@pytest.mark.parametrize("path", YEARS[:3], ids=lambda path: path.parent.name)
def test_every_line_of_a_year_is_in_a_form(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    draft, raw = draft_of(text), tomllib.loads(text)
    for entries in draft.year.entries_by_section().values():
        for _, entry in entries:
            section, index = place_of(draft.year, entry.id)
            lines = entry_lines(section, lists=lists_at(draft, (section, index)))
            tops = {one.key.partition(".")[0] for one in lines}
            assert set(raw[section][index]) <= tops


def test_a_form_in_which_nothing_is_changed_means_no_edit() -> None:
    draft = draft_of(YEARS[0].read_text(encoding="utf-8"))
    lines = entry_lines("goal")
    before = said_at(draft, ("goal", 0), lines)
    assert changing(draft.year.goals[0].id, before, dict(before)) == []
    lines = setting_lines("climber")
    before = said_at(draft, ("climber",), lines)
    assert setting("climber", before, dict(before)) == []


# --- single values ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("words", "inner"),
    [
        ("  x ", "x"), ('"x"', "x"), ("' x '", "x"), ("“x”", "x"), ('"', '"'), ('""', ""),
        ("\"x'", "\"x'"), ('"a" b "c"', '"a" b "c"'), ("''x''", "''x''"),
    ],
)  # fmt: skip
def test_quotes_around_words_belong_to_the_file(words: str, inner: str) -> None:
    assert bare(words) == inner


@pytest.mark.parametrize(
    ("value", "words"),
    [
        (None, ""), (True, "yes"), (False, "no"), (0.5, "0.5"), (3.0, "3"), (0.35, "0.35"),
        (time(7, 5), "07:05"), (date(2027, 1, 4), "2027-01-04"), (Side.LEFT, "left"),
        ([1, 2.5, "x"], "1, 2.5, x"), ((), ""),
        ({"march": 0.4, "april": 0.5}, "march 0.4, april 0.5"),
        ({Side.LEFT: True}, "left yes"), (FreeTime(), ""), (FreeTime(minutes=90), "90"),
        (FreeTime(minutes=90, hours=((1080, 1170),)), "18:00-19:30"),
    ],
)  # fmt: skip
def test_a_value_is_told_as_one_types_it(value: Any, words: str) -> None:
    assert words_of(value) == words


@pytest.mark.parametrize(
    ("words", "share"),
    [
        ("0", 0), ("1", 1), ("2", 0.02), ("100", 1.0), ("101", 101), ("0.5", 0.5), ("1.5", 1.5),
        ("33,3 %", 0.333), ("33.3 %", 0.333), ("100%", 1.0), ("2 per cent", 0.02),
        ("2 percent", 0.02), ("-5", -5), ("half", "half"), ("about 40 %", "about 40 %"),
    ],
)  # fmt: skip
def test_a_share_is_a_whole_number_of_per_cent_from_2_to_100_else_as_it_is(
    words: str, share: Any
) -> None:
    """1 is all of it; what no share can be is handed on, for the year to refuse."""
    assert share_said(words) == share


@pytest.mark.parametrize(
    ("words", "limit"),
    [
        ("4", 4), ("4.5", 4.5), ("4,5", [4, 5]), ("3 to 6", [3, 6]), ("3  to  6.5", [3, 6.5]),
        ("3 to six", "3 to six"), ("x", "x"), ("3, 4, 5", [3, 4, 5]),
    ],
)  # fmt: skip
def test_a_limit_is_one_number_or_several_and_else_the_words(words: str, limit: Any) -> None:
    assert limit_said(words) == limit
    assert meant(words, line(Takes.LIMIT), now=NOW) == limit


def test_a_choice_by_its_beginning_goes_before_none_and_behind_its_whole_name() -> None:
    words = ("on", "one", "two")
    for said, found in (("on", "on"), ("ONE", "one"), ("t", "two"), ("o", "o"), ("three", "three")):
        assert meant(said, line(Takes.CHOICE, *words), now=NOW) == found


def test_days_of_what_has_happened_lie_behind_and_all_others_ahead() -> None:
    for key, year in (("happened", 2026), ("date", 2026), ("first", 2027), ("x.date", 2027)):
        day = Line(key=key, label="", help="", takes=Takes.DAY)
        assert meant("20 mar", day, now=NOW) == date(year, 3, 20), key


def test_a_zone_is_said_by_its_city_on_every_line_that_asks_for_one() -> None:
    for key in ("time_zone", "records.time_zone"):
        zone = Line(key=key, label="", help="", takes=Takes.TEXT)
        assert meant("vienna", zone, now=NOW) == "Europe/Vienna"
        assert meant("Saltmere", zone, now=NOW) == "Saltmere"


def test_what_a_line_takes_as_text_or_as_an_hour_is_handed_on() -> None:
    for takes in (Takes.TEXT, Takes.TIME):
        assert meant(" 18:30 ", line(takes), now=NOW) == "18:30"


@pytest.mark.parametrize(
    ("words", "value"),
    [
        ("a 1", {"a": "1"}), ("a: 1, b = 2", {"a": "1", "b": "2"}), ("a b: c d", {"a b": "c d"}),
        ("a 1, b", "a 1, b"), ("1 20, 5 60", {"1": "20", "5": "60"}),
    ],
)  # fmt: skip
def test_a_table_is_names_each_with_a_value(words: str, value: Any) -> None:
    assert meant(words, line(Takes.TABLE), now=NOW) == value
