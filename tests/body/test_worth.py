"""What goals are worth, and form beyond the last day of a year: at rock that is still to come."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from plan_maker import FIRST, a_year, absence, day, goal, injury, season, trip

from seasonplan.body.almanac import Almanac
from seasonplan.body.worth import Aims, FormWorth, goal_worth
from seasonplan.planner.run import Found, best_plan
from seasonplan.rules.statements import book_of
from seasonplan.rules.tables import response_table
from seasonplan.year import Season, Year

HALF = response_table().beyond


def every_year(first: str, last: str) -> Season:
    return Season(
        name="Each", place="Karst", discipline="sport", chance=0.5, first=first, last=last
    )


def beyond(year: Year) -> list[FormWorth]:
    """What form is worth after the last day of a year."""
    return [form for form in Aims(Almanac(year)).forms if min(form.days) >= year.span.after]


def inside(year: Year) -> list[FormWorth]:
    """What form is worth at rock in the year."""
    return [f for f in Aims(Almanac(year)).forms if f.chance and max(f.days) < year.span.after]


@pytest.mark.parametrize(
    "entries",
    [
        {"seasons": [every_year("03-27", "05-02")]},
        {"seasons": [season(82, 37)]},
        {"trips": [trip(82, 10, place="Karst")]},
    ],
    ids=["each year", "season", "trip"],
)
def test_rock_that_begins_after_the_year_is_worth_half_of_what_it_were_in_it(
    entries: dict[str, list[object]],
) -> None:
    short, long = (a_year(weeks, goals=[goal()], **entries) for weeks in (11, 30))
    assert inside(short) == [] and len(beyond(short)) == 1
    (then,), (now,) = beyond(short), inside(long)
    assert then.worth == pytest.approx(HALF * now.worth) and then.first == now.first
    assert (then.asked, then.weights, then.tires) == (now.asked, now.weights, False)


def test_a_season_is_looked_for_a_third_into_it() -> None:
    year = a_year(11, goals=[goal()], seasons=[season(82, 36)])
    assert [form.days for form in beyond(year)] == [{day(82 + 12): 1.0}]


def test_a_season_that_was_whole_in_the_year_counts_by_what_the_year_had_of_it() -> None:
    """The next one has absences in it that nobody thinks of yet."""
    long = timedelta(days=365)
    away = absence(0, 20).model_copy(update={"first": day(28) + long, "last": day(40) + long})
    year = a_year(20, goals=[goal()], seasons=[every_year("02-01", "02-25")], absences=[away])
    (had,), (then,) = inside(year), beyond(year)
    assert then.worth == pytest.approx(HALF * had.worth)
    assert then.days == {date(2028, 2, 1) + timedelta(days=25 // 3): 1.0}


def test_what_is_left_of_a_season_counts_by_its_own_days() -> None:
    """The year ends in its third week of seven, or begins in its last."""
    entries = {"goals": [goal()], "seasons": [every_year("03-22", "05-09")]}
    cut, whole = a_year(14, **entries), a_year(30, **entries)
    (had,), (left,), (all_of_it,) = inside(cut), beyond(cut), inside(whole)
    assert had.worth + left.worth / HALF == pytest.approx(all_of_it.worth)
    after = cut.span.after
    assert left.first == after + timedelta(days=5)  # Saturday, the first long enough
    assert left.days == {after + timedelta(days=(date(2027, 5, 10) - after).days // 3): 1.0}
    opened = a_year(20, goals=[goal()], seasons=[every_year("11-20", "01-10")])
    (end,), (then,) = inside(opened), beyond(opened)
    assert then.worth > 3 * end.worth and then.first.year == FIRST.year


def test_all_the_year_form_is_what_the_rock_to_come_asks() -> None:
    year = a_year(11, goals=[goal(demands={"power": 5})], seasons=[season(82, 30)])
    forms = Aims(Almanac(year)).forms
    (always,) = (form for form in forms if form.chance is None)
    assert always.asked == beyond(year)[0].asked


@pytest.mark.parametrize(
    "entries",
    [
        {"seasons": [season(82, 30, discipline="ice")]},
        {"seasons": [season(82 + 500, 30)]},
        {"seasons": [season(82, 30)], "injuries": [injury(60, easy=70, building=90, full=120)]},
        {"seasons": [season(82, 30)], "absences": [absence(80, 40)]},
        {"trips": [trip(82, 10, climbing=False, place="", discipline=None)]},
    ],
    ids=["serves nothing", "far", "hurt", "away", "no climbing"],
)
def test_rock_that_cannot_be_used_is_worth_nothing(entries: dict[str, list[object]]) -> None:
    assert beyond(a_year(11, goals=[goal()], **entries)) == []


@pytest.mark.parametrize(
    ("given", "points"),
    [
        ((1, 2, 3), (3.0, 2.0, 1.0)),
        ((2, 3), (3.0, 2.0)),
        ((3, 3), (3.0, 3.0)),
        ((1, 3), (3.0, 1.0)),
    ],
)
def test_the_highest_priority_that_was_given_counts_as_the_first(
    given: tuple[int, ...], points: tuple[float, ...]
) -> None:
    """Goals are held against each other: an only goal of priority 3 is what the year is for, and
    its season of five weeks was divided by a rest that cost it two good days."""
    year = a_year(12, goals=[goal(name=f"Line {n}", priority=one) for n, one in enumerate(given)])
    assert tuple(goal_worth(one, year) for one in year.goals) == points


@pytest.mark.parametrize("priority", [2, 3])
def test_the_plan_of_an_only_goal_does_not_hang_on_the_number_of_its_priority(
    priority: int,
) -> None:
    years = [
        a_year(20, climber=WEEKENDS, seasons=[season(70, 35)], goals=[goal(priority=one)])
        for one in (1, priority)
    ]
    first, other = (best_plan(year, book=book_of(year), confirm=False) for year in years)
    assert isinstance(first, Found) and isinstance(other, Found)
    told = [(block.kind, block.span) for block in first.blocks]
    assert told == [(block.kind, block.span) for block in other.blocks]
    assert first.search.weeks.rock == other.search.weeks.rock


WEEKENDS = {"rock_days": ["saturday", "sunday"], "rock_minutes": 240}
