"""Amounts as people type them, with their unit, in any form."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from seasonplan.edits import draft_of
from seasonplan.edits.forms import Line, Takes
from seasonplan.edits.kinds import ChangeRule
from seasonplan.edits.registry import edit_from_words
from seasonplan.edits.said import Now, meant
from seasonplan.explain.entries import understood
from seasonplan.year.fresh import Answers, year_text

DRAFT = draft_of(year_text(Answers("Europe/Vienna", date(2027, 1, 4))))
NOW = Now(date(2027, 3, 10))


@pytest.mark.parametrize(
    ("words", "unit", "limit"),
    [
        ("60", "percent", 60), ("60 %", "percent", 60), ("60%", "percent", 60),
        ("60 percent", "percent", 60), ("40 to 60 %", "percent", [40, 60]),
        ("40 % to 60 %", "percent", [40, 60]), ("40-60", "percent", [40, 60]),
        ("3 to 8 weeks", "weeks", [3, 8]), ("6 days a week", "days a week", 6),
        ("21 days", "weeks", "21 days"), ("in three weeks", "weeks", "in three weeks"),
    ],
)  # fmt: skip
def test_a_limit_takes_its_own_unit_and_no_other(words: str, unit: str, limit: object) -> None:
    line = Line(key="limit", label="Limit", help="", takes=Takes.LIMIT, unit=unit)
    assert meant(words, line, now=NOW) == limit


@pytest.mark.parametrize(
    ("key", "words", "number"),
    [
        ("travel_minutes", "1h30", 90), ("rock_minutes", "5 hours", 300), ("minutes", "90 min", 90),
        ("weeks", "every second week", 2), ("weeks", "fortnightly", 2), ("weeks", "a year", 52),
        ("weeks", "6 months", 26), ("weeks", "week", 1),
        ("weeks", "three weeks", 3), ("weeks", "every now and then", "every now and then"),
        ("rock_minutes", "2.5h", 150), ("weeks", "52 weeks", 52), ("spacing_hours", "48 h", 48),
        ("good.0.highest_humidity", "60 %", 60), ("travel_minutes", "not far", "not far"),
        ("highest_wind", "30 km/h", "30 km/h"),
    ],
)  # fmt: skip
def test_a_number_may_stand_with_its_unit(key: str, words: str, number: object) -> None:
    line = Line(key=key, label="", help="", takes=Takes.WHOLE)
    assert meant(words, line, now=NOW) == number


@pytest.mark.parametrize(
    ("code", "words", "limit"),
    [("session-dose", "10 %", 10), ("base-length", "3 to 6 weeks", (3, 6)),
     ("base-length", "[3, 7]", (3, 7)), ("base-length", "3, 7", (3, 7))],
)  # fmt: skip
def test_the_command_line_takes_a_limit_as_a_form_does(code: str, words: str, limit: Any) -> None:
    edit = edit_from_words(DRAFT, "rule", {"code": code, "limit": words})
    assert isinstance(edit, ChangeRule) and edit.limit == limit


@pytest.mark.parametrize("words", ["0.4", "40 %", "40", "40 percent", "four in ten", "2 of 5"])
def test_a_chance_is_said_as_people_say_it(words: str) -> None:
    line = Line(key="chance", label="", help="", takes=Takes.CHANCE)
    assert meant(words, line, now=NOW) == 0.4
    for months in ("march 0.4, may four in ten", "march 40 %, may 40"):
        assert meant(months, line, now=NOW) == {"march": 0.4, "may": 0.4}
    assert meant("often", line, now=NOW) == "often"


def test_what_a_limit_was_taken_for_names_its_unit() -> None:
    line = Line(key="limit", label="Limit", help="", takes=Takes.LIMIT, unit="percent")
    assert understood(line, [40, 60], typed="40-60") == "40 to 60 percent"
    assert understood(line, "much", typed="much") == ""


def test_whole_hours_of_a_day_need_no_minutes() -> None:
    line = Line(key="monday", label="Monday", help="", takes=Takes.FREE)
    assert understood(line, "18-20", typed="18-20") == "2 h"
    assert understood(line, "20-18", typed="20-18") == ""
