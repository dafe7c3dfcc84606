"""Days and values as people say them on a line of a form."""

from __future__ import annotations

from datetime import date

import pytest
from pydantic import TypeAdapter, ValidationError
from pydantic_core import PydanticCustomError

from seasonplan.days import Span, dates_text
from seasonplan.edits.forms import Line, Takes, setting_lines
from seasonplan.edits.said import Now, all_meant, meant
from seasonplan.explain.entries import understood, value_told
from seasonplan.year.entries import Day, DayOrYearly
from seasonplan.year.spoken import day_said, end_said, no_such_day, yearly_said
from seasonplan.year.zones import known_zone, machine_zone, zone_said

TODAY = date(2027, 2, 17)  # a Wednesday
NOW = Now(TODAY)


# --- days -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("first", "last", "words"),
    [
        ("2027-01-04", "2027-01-04", "4 Jan 2027"),
        ("2027-01-04", "2027-01-10", "4 to 10 Jan 2027"),
        ("2027-03-29", "2027-04-04", "29 Mar to 4 Apr 2027"),
        ("2026-12-28", "2027-01-03", "28 Dec 2026 to 3 Jan 2027"),
        ("2026-03-04", "2027-03-10", "4 Mar 2026 to 10 Mar 2027"),
    ],
)
def test_month_and_year_that_both_ends_share_are_said_once(
    first: str, last: str, words: str
) -> None:
    span = Span.through(date.fromisoformat(first), date.fromisoformat(last))
    assert dates_text(span) == words


@pytest.mark.parametrize(
    ("words", "day"),
    [
        ("today", "2027-02-17"), ("Tomorrow", "2027-02-18"), ("yesterday", "2027-02-16"),
        ("the day after tomorrow", "2027-02-19"),
        ("friday", "2027-02-19"), ("fri", "2027-02-19"), ("this friday", "2027-02-19"),
        ("wednesday", "2027-02-24"), ("next friday", "2027-02-26"), ("last monday", "2027-02-15"),
        ("in 3 weeks", "2027-03-10"), ("in a month", "2027-03-17"), ("in two days", "2027-02-19"),
        ("2 weeks ago", "2027-02-03"), ("next week", "2027-02-22"), ("next month", "2027-03-01"),
        ("end of the month", "2027-02-28"), ("end of the year", "2027-12-31"),
        ("20 sep", "2027-09-20"), ("Sep 20", "2027-09-20"), ("20th of September", "2027-09-20"),
        ("1 feb", "2028-02-01"), ("17 feb", "2027-02-17"), ("20 september 2028", "2028-09-20"),
        ("September 20th, 2028", "2028-09-20"), ("20.9.2027", "2027-09-20"),
        ("March", "2027-03-01"), ("june 2026", "2026-06-01"), ("february", "2027-02-01"),
        ("in three weeks", "2027-03-10"), ("three weeks from now", "2027-03-10"),
        ("mid april", "2027-04-15"), ("end of may", "2027-05-31"), ("jan", "2028-01-01"),
        ("Sat 20 Feb 2027", "2027-02-20"), ("Saturday, 20 February 2027", "2027-02-20"),
        ("sat 20 feb", "2027-02-20"), ("mid february", "2028-02-15"),
        ("end of february", "2027-02-28"), ("start of feb", "2028-02-01"),
        ("29 feb", "2028-02-29"), ("2027-09-20", "2027-09-20"), (" 20270920 ", "2027-09-20"),
        ("2027-9-5", "2027-09-05"), ("sat 2027-2-20", "2027-02-20"),
    ],
)  # fmt: skip
def test_plain_words_for_a_day_are_understood(words: str, day: str) -> None:
    assert day_said(words, today=TODAY) == date.fromisoformat(day)


@pytest.mark.parametrize(
    "words",
    [
        "03/04/2027", "3/4", "3 weeks", "ma", "31 feb", "31 april 2027", "20 sep 27", "soon",
        "sun 20 feb 2027", "in 99999 years", "in 9999 years", "m 5", "", "in many weeks", "next",
        "40 may", "5",
    ],
)  # fmt: skip
def test_words_that_are_no_day_or_could_be_two_are_left_alone(words: str) -> None:
    assert day_said(words, today=TODAY) is None


def test_the_end_of_something_is_the_last_day_of_a_month() -> None:
    assert day_said("february 2028", today=TODAY, last=True) == date(2028, 2, 29)
    assert yearly_said("every october", last=True) == "10-31"
    end = Line(key="last", label="", help="", takes=Takes.DAY_OR_YEARLY)
    assert meant("october every year", end, now=NOW) == "10-31"
    assert meant("april", end, now=NOW) == date(2027, 4, 30)


@pytest.mark.parametrize(
    ("words", "why"),
    [
        ("31 feb", "February has 28 days, in a leap year 29."),
        ("30 feb 2028", "February has 29 days in 2028."), ("31 april", "April has 30 days."),
        ("2027-02-29", "February has 28 days in 2027."), ("40 may every year", "May has 31 days."),
        ("Sun 20 Feb 2027", "20 February 2027 is a Saturday."),
        ("2027-13-04", "A year has 12 months."), ("2027-00-04", "A year has 12 months."),
        ("28 feb", ""), ("sat 20 feb 2027", ""), ("soon", ""), ("march", ""),
    ],
)  # fmt: skip
def test_a_day_that_no_calendar_has_is_told_so(words: str, why: str) -> None:
    assert no_such_day(words) == why
    for asked in (Day, DayOrYearly) if why else ():
        with pytest.raises(ValidationError, match=why):
            TypeAdapter(asked).validate_python(words)


@pytest.mark.parametrize(
    ("words", "zone"),
    [
        ("vienna", "Europe/Vienna"), ("New York", "America/New_York"), ("japan", "Asia/Tokyo"),
        ("Germany", "Europe/Berlin"), ("england", "Europe/London"),
        ("america/denver", "America/Denver"), ("the united kingdom", "Europe/London"),
        ("usa", None), ("Saltmere", None),
    ],
)  # fmt: skip
def test_a_time_zone_is_said_by_city_or_country(words: str, zone: str | None) -> None:
    assert zone_said(words) == zone


def test_a_country_with_several_zones_asks_for_a_city() -> None:
    with pytest.raises(PydanticCustomError, match="Name a city of yours: New York"):
        known_zone("usa")


def test_the_machine_says_its_zone(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TZ", ":Europe/Vienna")
    assert machine_zone() == "Europe/Vienna"
    monkeypatch.setenv("TZ", "nowhere")
    assert machine_zone() == "UTC"


def test_what_has_happened_is_looked_for_in_the_past() -> None:
    assert day_said("20 mar", today=TODAY, past=True) == date(2026, 3, 20)
    assert day_said("17 feb", today=TODAY, past=True) == TODAY
    assert day_said("monday", today=TODAY, past=True) == date(2027, 2, 15)
    assert day_said("mid february", today=TODAY, past=True) == date(2027, 2, 15)
    assert day_said("end of february", today=TODAY, past=True) == date(2026, 2, 28)


@pytest.mark.parametrize(
    ("first", "words", "last"),
    [
        ("2027-09-15", "mid november", "2027-11-15"), ("2027-12-20", "5 jan", "2028-01-05"),
        ("2027-12-20", "january", "2028-01-31"), ("2027-07-10", "3 jul", "2027-07-03"),
        ("2027-07-10", "tomorrow", "2027-02-18"), ("2027-07-10", "3 jul 2027", "2027-07-03"),
        ("2027-02-01", "9 feb", "2027-02-09"), ("2026-12-20", "january", "2027-01-31"),
        ("2027-02-01", "9 jan", "2027-01-09"), ("2027-02-01", "20 feb", "2027-02-20"),
    ],
)  # fmt: skip
def test_an_end_is_looked_for_from_the_beginning_unless_that_is_a_slip(
    first: str, words: str, last: str
) -> None:
    begins, day = date.fromisoformat(first), date.fromisoformat(last)
    assert end_said(words, first=begins, today=TODAY) == day
    end = Line(key="rock.last", label="", help="", takes=Takes.DAY_OR_YEARLY)
    values = all_meant({"rock.last": (words, end)}, now=NOW, kept={"rock.first": begins})
    assert values["rock.last"] == day


def test_the_next_week_begins_on_the_climbers_own_weekday() -> None:
    sunday = date(2027, 2, 21)
    assert day_said("next sunday", today=TODAY, week_begins=6) == sunday
    assert day_said("next sunday", today=TODAY, week_begins=0) == date(2027, 2, 28)


def test_months_that_are_too_short_give_their_last_day() -> None:
    assert day_said("in 1 month", today=date(2027, 1, 31)) == date(2027, 2, 28)
    assert day_said("next month", today=date(2027, 12, 31)) == date(2028, 1, 1)


@pytest.mark.parametrize(
    ("words", "day"),
    [
        ("12 sep every year", "09-12"), ("every 12 sep", "09-12"), ("every year, Sep 12", "09-12"),
        ("29 feb every year", "02-29"), ("mid september every year", "09-15"), ("12 sep", None),
        ("every 31 feb", None),
        ("every year", None), ("12 sep 2027 every year", None),
    ],
)  # fmt: skip
def test_a_day_of_every_year_is_asked_for_in_words(words: str, day: str | None) -> None:
    assert yearly_said(words) == day


# --- values -----------------------------------------------------------------------------------


def line(takes: Takes, *choices: str) -> Line:
    return Line(key="x", label="X", help="", takes=takes, choices=choices)


@pytest.mark.parametrize(
    ("words", "takes", "told"),
    [
        ("next friday", Takes.DAY, "Fri 26 Feb 2027"), ("some day", Takes.DAY, ""),
        ("12 sep every year", Takes.DAY_OR_YEARLY, "12 September, every year"),
        ("0.4", Takes.CHANCE, "40 %"), ("40 %", Takes.CHANCE, ""), ("x", Takes.CHANCE, ""),
        ("march 0.35", Takes.CHANCE, "March 35 %"), ("1h30", Takes.FREE, "1 h 30"),
        ("18:00-19:00, 20:00-21:00", Takes.FREE, "2 h"), ("99:00", Takes.FREE, ""),
        ("43,5", Takes.RESULTS, "43.5"), ("42, 43.5", Takes.RESULTS, ""),
        ("x, 4", Takes.RESULTS, ""),
    ],
)  # fmt: skip
def test_what_was_understood_is_told_where_it_is_not_plain(
    words: str, takes: Takes, told: str
) -> None:
    value = meant(words, line(takes), now=NOW)
    assert understood(line(takes), value, typed=words) == told


def test_minutes_of_an_entry_are_told_in_hours() -> None:
    rock = next(one for one in setting_lines("climber") if one.key == "rock_minutes")
    assert (value_told(rock, 360), value_told(rock, None)) == ("6 h", "")
