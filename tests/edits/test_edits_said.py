"""What is typed on a line of a form becomes the value of the file, and comes back as typed."""

from __future__ import annotations

import tomllib
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from places import ROOT

from seasonplan.edits import draft_of
from seasonplan.edits.entries import place_of
from seasonplan.edits.filled import changing, lists_at, said_at, setting
from seasonplan.edits.form_words import SETTINGS
from seasonplan.edits.forms import Line, Takes, entry_lines, setting_lines
from seasonplan.edits.said import Now, meant, words_of

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
