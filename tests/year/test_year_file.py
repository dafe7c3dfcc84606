"""Reading year.toml: every fault at once, each with file, key and line; and what is accepted."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from seasonplan import edits
from seasonplan.days import Span
from seasonplan.errors import BadInput, Fault
from seasonplan.year import Year
from seasonplan.year.chance import chance_on
from seasonplan.year.toml import read_year

HEAD = """schema = 1
[year]
first = 2026-01-05
weeks = 52
[climber]
time_zone = "Europe/Vienna"
[climber.minutes]
tuesday = 90
"""
GOAL = '[[goal]]\nname = "Roof"\nplace = "Karst"\ndiscipline = "sport"\ngrade = "7b"\n'
SEASON = (
    '[[season]]\nname = "Autumn"\nplace = "Karst"\ndiscipline = "sport"\n'
    'first = "09-20"\nlast = "11-10"\n'
)


def read(text: str) -> Year:
    return read_year(text, file="year.toml")


def faults(text: str) -> tuple[Fault, ...]:
    with pytest.raises(BadInput) as caught:
        read(text)
    return caught.value.faults


def places(text: str) -> list[tuple[str, int | None]]:
    return [(fault.key, fault.line) for fault in faults(text)]


def only(text: str) -> Fault:
    found = faults(text)
    assert len(found) == 1, [str(fault) for fault in found]
    return found[0]


# --- what is accepted -------------------------------------------------------------------------


def test_the_shortest_file_is_a_year() -> None:
    year = read(HEAD)
    assert year.span == Span(date(2026, 1, 5), date(2027, 1, 4))
    assert year.climber.minutes.week == 90


def test_the_schema_line_may_be_missing() -> None:
    assert read(HEAD.replace("schema = 1\n", "")) == read(HEAD)


@pytest.mark.parametrize(
    ("written", "minutes"),
    [
        ("0", 0), ("90", 90), ("1440", 1440), ('"1h30"', 90), ('"1h 30m"', 90), ('"2h"', 120),
        ('"45 min"', 45), ('"45m"', 45), ('" 1H30 "', 90), ('"90"', 90),
    ],
)  # fmt: skip
def test_hours_are_read_as_people_write_them(written: str, minutes: int) -> None:
    assert read(HEAD + f"wednesday = {written}\n").climber.minutes.on(2) == minutes


@pytest.mark.parametrize("written", ["2026-09-20", '"2026-09-20"'])
def test_a_day_is_a_date_or_its_text(written: str) -> None:
    year = read(HEAD + f'[[absence]]\nname = "Move"\nfirst = {written}\nlast = 2026-09-21\n')
    assert year.absences[0].span == Span(date(2026, 9, 20), date(2026, 9, 22))


def test_an_id_is_made_from_the_name() -> None:
    year = read(HEAD + '[[absence]]\nname = "Big Move!"\nfirst = 2026-09-20\nlast = 2026-09-21\n')
    assert year.absences[0].id == "big-move"


@pytest.mark.parametrize("mark", ["\r\n", "\n"])
def test_any_line_end_is_read(mark: str) -> None:
    assert read(HEAD.replace("\n", mark)) == read(HEAD)


def test_a_byte_order_mark_is_no_fault() -> None:
    assert read("\ufeff" + HEAD) == read(HEAD)


# --- seasons over the years -------------------------------------------------------------------


def spells(first: str, last: str, *, head: str = HEAD) -> list[Span]:
    text = SEASON.replace("09-20", first).replace("11-10", last) + "chance = 0.5\n"
    year = read(head + text)
    return list(year.seasons[0].spells(year.span))


def test_a_season_over_the_year_end_comes_whole_on_both_sides() -> None:
    assert spells("12-20", "01-10") == [
        Span(date(2025, 12, 20), date(2026, 1, 11)),
        Span(date(2026, 12, 20), date(2027, 1, 11)),
    ]


def test_a_season_of_the_new_year_is_not_taken_for_the_old_one() -> None:
    assert spells("01-04", "01-06") == [Span(date(2026, 1, 4), date(2026, 1, 7))]


def test_the_leap_day_is_the_last_of_february_in_other_years() -> None:
    head = HEAD.replace("2026-01-05", "2027-06-01").replace("52", "104")
    assert spells("02-10", "02-29", head=head) == [
        Span(date(2028, 2, 10), date(2028, 3, 1)),
        Span(date(2029, 2, 10), date(2029, 3, 1)),
    ]


def test_a_year_over_a_leap_day_has_its_days() -> None:
    year = read(HEAD.replace("2026-01-05\nweeks = 52", "2028-01-01\nlast = 2028-12-31"))
    assert year.span.length == 366


def test_a_dated_season_comes_once() -> None:
    assert spells("2026-09-20", "2026-11-10") == [Span(date(2026, 9, 20), date(2026, 11, 11))]


def test_chances_count_by_week_of_the_season_or_by_month() -> None:
    weeks = read(HEAD + SEASON + "chance = [0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7]\n").seasons[0]
    spell = Span(date(2026, 9, 20), date(2026, 11, 11))
    assert chance_on(weeks.chance, spell, date(2026, 9, 26)) == 0
    assert chance_on(weeks.chance, spell, date(2026, 9, 27)) == 0.1
    assert chance_on(weeks.chance, spell, date(2026, 11, 10)) == 0.7
    text = "chance = { sep = 0.1, October = 0.2, november = 0.3 }\n"
    months = read(HEAD + SEASON + text).seasons[0]
    assert chance_on(months.chance, spell, date(2026, 9, 30)) == 0.1
    assert chance_on(months.chance, spell, date(2026, 10, 1)) == 0.2


# --- every fault at once ----------------------------------------------------------------------


def test_all_faults_come_at_once_in_file_order() -> None:
    text = (
        HEAD.replace("Vienna", "Nowhere").replace("52", "2").replace("90", '"1:30"')
        + GOAL.replace("sport", "tennis") + "priority = 9\n"
        + '[[season]]\nname = "Autumn"\nfoo = 3\n'
        + '[[trip]]\nname = "Sun"\nfirst = 2026-03-09\nlast = 2026-03-01\nclimbing = false\n'
    )  # fmt: skip
    found = places(text)
    assert set(found) >= {
        ("year", 2), ("climber.time_zone", 6), ("climber.minutes.tuesday", 8),
        ("goal.1.discipline", 12), ("goal.1.priority", 14), ("season.1.foo", 17),
        ("season.1.chance", 15), ("trip.1", 18),
    }  # fmt: skip
    assert [line for _, line in found] == sorted(line or 0 for _, line in found)


def test_faults_between_entries_come_with_faults_inside_others() -> None:
    text = HEAD.replace("52", "2") + GOAL + 'served_by = ["autum"]\n' + SEASON + "chance = 0.5\n"
    assert places(text) == [("year", 2), ("goal.1.served_by", 14)]


def test_naming_an_entry_that_has_a_fault_is_no_second_fault() -> None:
    text = HEAD + GOAL + 'served_by = ["autumn"]\n' + SEASON + "chance = 7\n"
    assert only(text).key == "season.1.chance"


def test_a_fault_names_the_file_and_says_found_wanted_and_do() -> None:
    fault = only(HEAD.replace("Europe/Vienna", "Mars/Base"))
    assert fault.file == "year.toml"
    assert str(fault).startswith("year.toml, line 6, climber.time_zone: found 'Mars/Base'; wanted")
    assert fault.do


def test_two_entries_of_one_id_are_told_at_the_second() -> None:
    away = '[[absence]]\nname = "Work"\nfirst = 2026-03-01\nlast = 2026-03-04\n'
    assert places(HEAD + away * 3) == [("absence.2.id", 13), ("absence.3.id", 17)]
    trip = away.replace("absence", "trip") + "climbing = false\n"
    assert "also in trip" in only(HEAD + trip + away).found


def test_lines_count_through_comments_quoted_and_dotted_keys() -> None:
    text = HEAD.replace("[climber.minutes]\ntuesday = 90", '# a line\n\nminutes."tuesday" = "x"\n')
    assert places(text) == [("climber.minutes.tuesday", 9)]


def test_a_fault_in_a_list_over_lines_is_told_at_its_line() -> None:
    text = HEAD + "[before]\nweekly_load = [\n  100,\n  # much\n  -2,\n]\n"
    assert places(text) == [("before.weekly_load.2", 13)]


def test_a_missing_file_content_tells_what_is_needed() -> None:
    assert {key for key, _ in places("")} == {"year", "climber"}


# --- anything at all --------------------------------------------------------------------------

LINES = [line for line in (HEAD + GOAL + SEASON + "chance = 0.5\n").splitlines() if line]
VALUES = st.sampled_from(
    ["1", "-1", "nan", "true", '"x"', "[]", "{}", "2026-02-29", "1979-05-27T07:32:00Z", "[[1]]",
     "{a=1}", '"09-31"', "9" * 40, "07:32:00", "'''\n'''", "[1, 'x', {}]"]
)  # fmt: skip


@st.composite
def spoiled(draw: st.DrawFn) -> str:
    """A good file with some lines lost, doubled, or given other values."""
    lines = list(LINES)
    for _ in range(draw(st.integers(1, 3))):
        at = draw(st.integers(0, len(lines) - 1))
        what = draw(st.sampled_from(["lose", "double", "value"]))
        if what == "lose" and len(lines) > 1:
            del lines[at]
        elif what == "double":
            lines.insert(at, lines[at])
        else:
            lines[at] = lines[at].split("=")[0] + "= " + draw(VALUES)
    return "\n".join(lines) + "\n"


def test_a_spoiled_file_is_a_year_or_told_faults_and_nothing_else() -> None:
    refused = []

    @settings(max_examples=300, derandomize=True, deadline=None, database=None)
    @given(spoiled())
    def check(text: str) -> None:
        try:
            read(text)
        except BadInput as error:
            refused.append(error)
            assert error.faults
            for fault in error.faults:
                assert fault.file == "year.toml"
                assert fault.found and fault.wanted and fault.do
                assert "nput should" not in str(fault)

    check()
    assert len(refused) >= 100, "few files were really spoiled"


def test_text_that_is_not_toml_is_told_as_one_fault() -> None:
    checked = []

    @settings(max_examples=200, derandomize=True, deadline=None, database=None)
    @given(st.text(max_size=60))
    def check(text: str) -> None:
        with pytest.raises(BadInput) as caught:
            read(text)
        checked.append(caught.value.faults)

    check()
    assert len(checked) >= 100


def test_faults_of_entries_names_and_rules_are_told_at_once() -> None:
    text = (
        'schema = 1\n[year]\nfirst = 2027-01-04\nweeks = 8\n[climber]\ntime_zone = "UTC"\n'
        "[climber.minutes]\ntuesday = 90\n"
        '[[goal]]\nname = "Line"\nplace = "Karst"\ndiscipline = "sport"\ngrade = "7b"\n'
        'priority = 7\nserved_by = ["autum"]\n'
        "[rules.strenght-length]\nlimit = [3, 5]\n"
    )
    with pytest.raises(BadInput) as told:
        edits.read(text, file="year.toml")
    assert [(fault.key, fault.line) for fault in told.value.faults] == [
        ("goal.1.priority", 14),
        ("goal.1.served_by", 15),
        ("rules.strenght-length", 16),
    ]
