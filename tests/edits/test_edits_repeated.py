"""Time away that comes again: which times are meant, and an entry for each."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise
from typing import Any

import pytest
from draft_maker import YEAR, draft, lines_changed
from plan_maker import FIRST, span
from test_edits import done, no

from seasonplan.days import Span
from seasonplan.edits import RemoveEntry
from seasonplan.edits.kinds import RepeatAbsence
from seasonplan.edits.repeated import MOST, MOST_WEEKS, Odd, entries, every, listed, meant
from seasonplan.edits.said import Now
from seasonplan.errors import BadInput

NOW = Now(FIRST)  # Monday 4 January 2027
END = date(2027, 3, 28)
UNSAID = dict.fromkeys(("first", "last", "weeks", "until", "days"))


def asked(**said: Any) -> tuple[Span, ...] | Odd:
    return meant({**UNSAID, **said}, now=NOW, end=END)


def each(*spans: tuple[str, str]) -> tuple[Span, ...]:
    return tuple(Span.through(*(date.fromisoformat(f"2027-{d}") for d in one)) for one in spans)


# --- every so many weeks --------------------------------------------------------------------


def test_every_time_is_as_long_as_the_first_and_as_far_from_the_one_before() -> None:
    found = every(span(2, 3), weeks=2, until=END)
    assert found[0] == span(2, 3) and len(found) == 6
    assert {one.length for one in found} == {3}
    assert {(after.first - before.first).days for before, after in pairwise(found)} == {14}


@pytest.mark.parametrize(("last_begin", "times"), [(14, 2), (15, 3), (16, 3), (1, 1), (0, 0)])
def test_the_last_time_begins_by_the_day_that_was_said(last_begin: int, times: int) -> None:
    """The first begins on day 1, then every week."""
    until = FIRST + timedelta(last_begin)
    assert len(every(span(1, 6), weeks=1, until=until)) == times


def test_no_more_are_made_at_once_than_anybody_means() -> None:
    assert len(every(span(0, 1), weeks=1, until=date(2037, 1, 1))) == MOST
    many = ", ".join(str(FIRST + timedelta(2 * n)) for n in range(MOST + 5))
    assert len(asked(days=many)) == MOST  # type: ignore[arg-type]


def test_without_an_end_it_comes_to_the_end_of_the_year() -> None:
    found = asked(first=FIRST, last=FIRST, weeks=4)
    assert found == (span(0, 1), span(28, 1), span(56, 1))
    assert asked(first=END, last=END, weeks=4) == (Span.through(END, END),)
    sooner = asked(first=FIRST, last=FIRST, weeks=4, until=FIRST + timedelta(28))
    assert sooner == (span(0, 1), span(28, 1))


# --- a list ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("words", "spans"),
    [
        ("13 feb", [("02-13", "02-13")]),
        ("13 feb to 21 feb, 27 mar", [("02-13", "02-21"), ("03-27", "03-27")]),
        ("13 feb until 21 feb; 27 mar till 28 mar", [("02-13", "02-21"), ("03-27", "03-28")]),
        ("13 feb - 21 feb\n1 mar – 2 mar", [("02-13", "02-21"), ("03-01", "03-02")]),  # noqa: RUF001
        ("february", [("02-01", "02-28")]),
        ("february to march,", [("02-01", "03-31")]),
        ("2027-02-13 to 2027-02-14", [("02-13", "02-14")]),
        ("tomorrow to next friday", [("01-05", "01-15")]),
    ],
)
def test_days_of_a_list_are_said_as_anywhere_else(words: str, spans: list[tuple[str, str]]) -> None:
    assert listed(words, now=NOW) == each(*spans) == asked(days=words)


def test_the_end_of_a_span_is_looked_for_after_its_beginning() -> None:
    assert listed("20 dec to 6 jan", now=NOW) == (
        Span.through(date(2027, 12, 20), date(2028, 1, 6)),
    )


@pytest.mark.parametrize(
    ("words", "part"),
    [
        ("13 feb, soon, 27 mar", "soon"), ("31 feb", "31 feb"), ("9999-12-31", "9999-12-31"),
        ("1 feb to 3 feb to 5 feb", "1 feb to 3 feb to 5 feb"), ("1 feb to soon", "1 feb to soon"),
        ("2027-02-05 to 2027-02-04", "2027-02-05 to 2027-02-04"),
    ],
)  # fmt: skip
def test_the_first_part_that_is_no_span_is_named(words: str, part: str) -> None:
    assert listed(words, now=NOW) == part
    odd = asked(days=words)
    assert isinstance(odd, Odd)
    assert (odd.key, odd.found) == ("days", repr(part))


def test_a_list_counts_before_the_weeks() -> None:
    said = {"first": FIRST, "last": FIRST, "weeks": 1}
    assert asked(days="13 feb", **said) == each(("02-13", "02-13"))
    assert isinstance(asked(days=" , ", **said), Odd)


# --- what is not clear ----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("said", "key", "found", "wanted"),
    [
        ({}, "first", "nothing", "a day"),
        ({"first": FIRST}, "last", "nothing", "a day"),
        ({"first": "soon", "last": FIRST}, "first", "'soon'", "a day"),
        ({"first": FIRST, "last": FIRST, "until": "x"}, "until", "'x'", "a day"),
        ({"first": FIRST, "last": date(2027, 1, 3)}, "last", "2027-01-03", "the first day or "),
        ({"first": FIRST, "last": FIRST}, "weeks", "nothing", "how many weeks lie between"),
        ({"first": FIRST, "last": FIRST, "weeks": 0}, "weeks", "0", "1 to 52"),
        ({"first": FIRST, "last": FIRST, "weeks": 53}, "weeks", "53", "1 to 52"),
        ({"first": FIRST, "last": FIRST, "weeks": "two"}, "weeks", "'two'", "1 to 52"),
        ({"first": FIRST, "last": date(2027, 1, 11), "weeks": 1}, "last", "2027-01-11",
         "an end before it comes again"),
        ({"first": FIRST, "last": FIRST, "weeks": 1, "until": date(2027, 1, 3)}, "until",
         "2027-01-03", "the first day or later"),
        ({"first": date(2027, 3, 29), "last": date(2027, 3, 29), "weeks": 1}, "first",
         "2027-03-29", "a day of your year, which ends on 2027-03-28"),
    ],
)  # fmt: skip
def test_what_is_not_clear_is_told_with_what_was_said_of_it(
    said: dict[str, Any], key: str, found: str, wanted: str
) -> None:
    odd = asked(**said)
    assert isinstance(odd, Odd)
    assert (odd.key, odd.found) == (key, found) and odd.wanted.startswith(wanted)
    assert odd.do.endswith(".")


@pytest.mark.parametrize(
    "said",
    [
        {"first": FIRST, "last": FIRST, "weeks": 1, "until": FIRST},
        {"first": FIRST, "last": FIRST, "weeks": MOST_WEEKS},
        {"first": FIRST, "last": date(2027, 1, 10), "weeks": 1, "until": FIRST},  # all days of it
    ],
)
def test_what_just_fits_is_one_time(said: dict[str, Any]) -> None:
    assert len(asked(**said)) == 1  # type: ignore[arg-type]


# --- the entries ----------------------------------------------------------------------------


def test_each_time_is_an_entry_named_by_its_first_day_with_all_that_was_said() -> None:
    made = list(entries((span(0, 2), span(14, 2)), {"name": "Nights", "left": 0.5}))
    assert [one.values for one in made] == [
        {"name": "Nights, 4 Jan 2027", "left": 0.5, "first": FIRST, "last": date(2027, 1, 5)},
        {"name": "Nights, 18 Jan 2027", "left": 0.5, "first": date(2027, 1, 18),
         "last": date(2027, 1, 19)},
    ]  # fmt: skip
    assert {one.section for one in made} == {"absence"}


def test_they_stand_one_after_the_other_and_nothing_else_changes() -> None:
    after = done(RepeatAbsence(name="Nights", days="1 feb, 3 feb"))
    gone, come = lines_changed(YEAR, after.text)
    assert gone == []
    assert [line for line in come if line] == [
        "[[absence]]", 'name = "Nights, 1 Feb 2027"', "first = 2027-02-01", "last = 2027-02-01",
        "[[absence]]", 'name = "Nights, 3 Feb 2027"', "first = 2027-02-03", "last = 2027-02-03",
    ]  # fmt: skip
    for entry in ("nights-3-feb-2027", "nights-1-feb-2027"):
        after = done(RemoveEntry(id=entry), after)
    assert after.text == YEAR


def test_said_a_second_time_they_get_ids_of_their_own() -> None:
    edit = RepeatAbsence(name="Nights", days="1 feb")
    after = done(edit, done(edit))
    assert [one.id for one in after.year.absences] == ["nights-1-feb-2027", "nights-1-feb-2027-2"]


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ({"days": "1 feb to soon"}, "days: found '1 feb to soon'; wanted days such as"),
        ({"first": FIRST, "last": FIRST}, "weeks: found nothing; wanted how many weeks"),
        ({"first": FIRST, "last": FIRST, "weeks": 1, "until": date(2026, 1, 1)}, "until: found"),
    ],
)
def test_what_is_not_clear_enters_nothing(said: dict[str, Any], why: str) -> None:
    assert no(RepeatAbsence(name="Nights", **said)).why.startswith(why)


def test_one_time_that_no_year_can_hold_keeps_all_of_them_out() -> None:
    before = draft()
    with pytest.raises(BadInput, match=r"absence\.1\.left: found 2\.0; wanted 1 or less"):
        done(RepeatAbsence(name="Nights", days="1 feb, 3 feb", left=2), before)
    assert before.text == YEAR
