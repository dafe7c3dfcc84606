"""What a person is told about a block and a year: the words that phone and terminal share."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from functools import partial

import pytest
from autumn import first_plan
from plan_maker import block

from seasonplan.days import WEEKDAYS
from seasonplan.explain import notes
from seasonplan.explain.outside import outside_note, twice_note, unknown_note
from seasonplan.explain.words import counted_text
from seasonplan.plan import Block, Occasion, Proof
from seasonplan.rules.findings import Finding
from seasonplan.rules.statements import RuleBook, book_of
from seasonplan.rules.tables import caution
from seasonplan.vocabulary import Discipline, Emphasis, Kind, Phase
from seasonplan.year import Climber, FixedSession, Injury, Need, SessionWishes, Year

Years = Callable[[str], Year]


@pytest.fixture(scope="module")
def year(years: Years) -> Year:
    return years("twelve-weeks")


@pytest.fixture(scope="module")
def book(year: Year) -> RuleBook:
    return book_of(year)


def a_block(kind: Kind, emphasis: Emphasis = Emphasis.NONE, **weeks: object) -> Block:
    """Two weeks from the first day of the year; `weeks` are what is special of both."""
    return block(kind, 0, 14, id=f"{kind}-1", emphasis=emphasis, week=weeks)


def test_every_week_of_a_block_is_told_in_minutes(year: Year, book: RuleBook) -> None:
    base = a_block(Kind.BASE, Emphasis.ENDURANCE)
    note = notes.block_note(base, year, book=book)
    assert len(base.weeks) == 2
    for week in base.weeks:
        first = week.span.first
        assert f" {week.minutes:.0f} from {first.day} {first:%b}" in note


def test_a_goal_whose_free_days_are_all_too_short_is_told_so_and_what_to_say(year: Year) -> None:
    """A newcomer with two hours on a Saturday read that no day of the season was free."""
    climber = {"time_zone": "Europe/Vienna", "minutes": {"tuesday": 75, "saturday": 120}}
    short = year.with_fields(climber=climber)
    (text,) = notes.warnings(short)
    assert "the longest free time of its days is 2 h, and a day on rock takes 2 h 30 min" in text
    assert "`rock_days`" in text and "`rock_minutes`" in text
    named = {**climber, "rock_days": ["saturday"]}
    assert notes.warnings(year.with_fields(climber=named)) == []


@pytest.mark.parametrize(
    ("kind", "emphasis", "first", "then"),
    [
        (Kind.BASE, Emphasis.POWER_ENDURANCE, "Base block, power endurance, 2 weeks",
         "What it trains most: power endurance."),
        (Kind.STRENGTH, Emphasis.FINGERS, "Strength block, fingers, 2 weeks",
         "What it trains most: fingers."),
        (Kind.PERFORMANCE, Emphasis.FINGERS, "Performance block; fingers kept, 2 weeks",
         "What is kept up midweek: fingers."),
        (Kind.REST, Emphasis.NONE, "Rest block, 2 weeks", "Little and easy"),
    ],
)  # fmt: skip
def test_a_block_is_told_by_what_it_trains_most(
    kind: Kind, emphasis: Emphasis, first: str, then: str, year: Year, book: RuleBook
) -> None:
    note = notes.block_note(a_block(kind, emphasis), year, book=book)
    assert note.startswith(first) and then in note


def test_a_lead_in_tells_the_cut_of_the_rule(year: Year, book: RuleBook) -> None:
    lead = a_block(Kind.PERFORMANCE, Emphasis.FINGERS, lead_in=True)
    assert "fewer minutes (41 to 60 %)" in notes.block_note(lead, year, book=book)
    off = notes.block_note(lead, year, book=book.without("lead-in-volume"))
    assert "fewer minutes, effort stays" in off


def test_a_light_week_is_named(year: Year, book: RuleBook) -> None:
    light = a_block(Kind.STRENGTH, Emphasis.POWER, deload=True)
    assert "Light weeks: from Mon" in notes.block_note(light, year, book=book)


def test_hard_blocks_of_the_young_carry_their_caution(year: Year, book: RuleBook) -> None:
    young = year.with_fields(climber=Climber(**{**dict(year.climber), "birth_year": 2009}))
    strength = a_block(Kind.STRENGTH, Emphasis.FINGERS)
    assert caution("young") in notes.block_note(strength, young, book=book)
    assert caution("young") not in notes.block_note(strength, year, book=book)
    assert caution("young") in notes.cautions(young)


def test_an_injury_defers_to_clinicians_and_names_no_part(year: Year, book: RuleBook) -> None:
    back = Block(**{**dict(a_block(Kind.RETURN)), "phase": Phase.EASY})
    note = notes.block_note(back, year, book=book)
    assert caution("injury") in note and "elbow" not in note
    hurt = year.with_fields(
        injuries=(
            Injury(name="Elbow", part="elbow", happened="2026-02-01", easy_from="2026-02-10",
                   building_from="2026-02-20", full_from="2026-03-10"),
        )
    )  # fmt: skip
    assert notes.cautions(hurt)[0] == caution("injury")
    over = hurt.injuries[-1].full_from + timedelta(weeks=6)  # the steps after full: injuries.toml
    assert notes.cautions(hurt, since=over - timedelta(weeks=1))[0] == caution("injury")
    assert caution("injury") not in notes.cautions(hurt, since=over)


def test_a_year_without_goals_and_a_goal_without_rock_are_warned_of(year: Year) -> None:
    assert notes.warnings(year) == []
    assert "entered no goal" in notes.warnings(year.with_fields(goals=()))[0]
    (text,) = notes.warnings(year.without("spring-in-the-cleft"))
    assert text.startswith("Nothing serves “Slow Lightning”: no season, window")
    assert text.endswith("Enter one, or name one in served_by of the goal.")
    (goal, *others) = year.goals
    slip = goal.model_copy(update={"place": f"{goal.place}e", "served_by": ()})
    text, rock = notes.warnings(year.with_fields(goals=(slip, *others)))
    assert text.endswith(f"Did you mean “{goal.place}”?") and "serves no goal" in rock
    early = year.horizon.model_copy(update={"weeks": 4, "last": None})
    (text,) = notes.warnings(year.with_fields(horizon=early))
    assert "begins on" in text and "after the last day of the year" in text


def test_a_goal_whose_rock_wants_what_the_climber_lacks_is_warned_of(year: Year) -> None:
    goal = year.goals[0]
    roped = year.with_fields(
        goals=(goal.model_copy(update={"discipline": Discipline.SPORT}),),
        seasons=tuple(s.model_copy(update={"discipline": Discipline.SPORT}) for s in year.seasons),
        sessions=SessionWishes(has=(Need.WALL,)),
    )
    (text,) = notes.warnings(roped)
    assert text.startswith(f"“{goal.name}” gets no day on rock: sport wants a partner")
    assert notes.warnings(roped.with_fields(sessions=SessionWishes(has=(Need.PARTNER,)))) == []


def test_a_goal_whose_days_are_over_on_the_way_there_is_warned_of(year: Year) -> None:
    """Four hours at home hold no rock ninety minutes away; hours at the rock of their own do."""
    hours = {"saturday": "10:00-14:00", "sunday": "10:00-13:00"}
    climber = {"time_zone": "Europe/Vienna", "minutes": hours, "rock_travel_minutes": 90}
    far = year.with_fields(climber=climber)
    (text,) = notes.warnings(far)
    assert "longest free time of its days is 4 h, the way there and back takes 3 h" in text
    assert "needs 1 h 15 min there" in text and "`rock_minutes`" in text
    near = {**climber, "rock_travel_minutes": 60}
    assert notes.warnings(year.with_fields(climber=near)) == []
    longer = {**climber, "rock_days": ["saturday"], "rock_minutes": 240}
    assert notes.warnings(year.with_fields(climber=longer)) == []


@pytest.mark.parametrize(
    ("proof", "said"),
    [
        (Proof(optimal=True, gap=0.0, bound=10, confirmed=True), "confirmed by a second exact"),
        (Proof(optimal=True, gap=0.0, bound=10), "no second method has confirmed it"),
        (Proof(optimal=False, gap=0.0, bound=10), "made by an older program: plan again"),
    ],
)
def test_how_good_a_plan_is_is_told_with_who_confirmed_it(proof: Proof, said: str) -> None:
    assert said in notes.proof_text(proof)


def test_a_goal_is_told_in_days_on_rock_and_never_in_a_state(year: Year) -> None:
    days = year.span.through(year.span.first, year.span.first)
    occasion = Occasion(
        goal="slow-lightning", entry="spring-in-the-cleft", span=days, possible=20,
        rock_days=9, good_days=4.31, form=0.03,
    )  # fmt: skip
    told = notes.occasion_text(occasion, year)
    assert told.endswith("9 days on rock planned, 4.3 good ones to expect, of 20 if you went "
                         "every day.")  # fmt: skip
    assert "of 100" not in told and "form" not in told
    for easy, said in ((0, "9 days on rock planned, 4.3"), (4, "planned, 4 of them easy, 4.3"),
                       (9, "planned, all easy, 4.3")):  # fmt: skip
        assert said in notes.occasion_text(Occasion(**{**dict(occasion), "easy_days": easy}), year)
    assert notes.planned_text(1, 1) == "1 day on rock planned, an easy one"
    old = notes.occasion_text(Occasion(**{**dict(occasion), "rock_days": 0}), year)
    assert old.endswith("4.3 good days expected.")


def with_split(year: Year, **fields: object) -> Year:
    return year.with_fields(sessions={"spread": "short and hard, often"}, **fields)


def test_who_may_not_hang_hard_each_day_is_told_what_the_plan_does_instead(year: Year) -> None:
    assert notes.split_note(year) == notes.split_note(with_split(year)) == []
    young = Climber(**{**dict(year.climber), "birth_year": 2010})
    (text,) = notes.split_note(with_split(year, climber=young))
    assert text.endswith("is not for climbers under 18: the plan takes light holds instead.")
    hurt = Injury(name="Elbow", part="elbow", happened="2026-03-05", easy_from="2026-03-12",
                  building_from="2026-03-20", full_from="2026-04-10")  # fmt: skip
    (text,) = notes.split_note(with_split(year, injuries=(hurt,)))
    assert "until “Elbow” is back in full" in text
    knee = Injury(**{**dict(hurt), "part": "knee"})
    assert notes.split_note(with_split(year, injuries=(knee,))) == []
    assert notes.split_note(year.with_fields(injuries=(hurt,))) == []


def test_days_too_short_for_long_finger_sessions_are_told_the_split_made_for_them(
    year: Year,
) -> None:
    climber = Climber(**{**dict(year.climber), "minutes": dict.fromkeys(WEEKDAYS[:6], 30)})
    short = year.with_fields(climber=climber, sessions={"has": ["hangboard"]})
    (text,) = notes.split_note(short)
    assert text.startswith("No day has the 35 min") and "short and hard, often" in text
    assert notes.split_note(with_split(short)) == []
    assert notes.split_note(short.with_fields(sessions={"has": ["wall"]})) == []


@pytest.mark.parametrize("doubted", [449, 450])
def test_a_load_below_one_evening_at_a_wall_is_asked_back(year: Year, doubted: int) -> None:
    """An hour and a half at an effort of 5 is 450; only the last four weeks count."""
    entered = year.with_fields(before={"weekly_load": [5000, *[doubted] * 4]})
    assert bool(notes.low_load(entered)) == (doubted < 450)
    assert notes.low_load(entered) in ([], notes.load_note(entered))
    assert notes.load_note(year.with_fields(before={})) == []


def test_a_doubted_load_is_told_in_hours_with_what_the_plan_counts(year: Year) -> None:
    (text,) = notes.load_note(year.with_fields(before={"weekly_load": [170] * 4}))
    assert "says 170 a week" in text and "effort (0 to 10) x minutes" in text
    assert "34 min a week at an effort of 5" in text and "The plan counts 300" in text
    assert "`seasonplan edit set before.weekly_load`" in text
    (text,) = notes.load_note(year.with_fields(before={"weekly_load": [300]}))
    assert "The plan counts" not in text


def test_a_load_that_the_free_time_cannot_hold_is_asked_back(year: Year) -> None:
    """Five hours at an effort of 6 are 1800; hours at the rock are there in seasons alone."""
    week = {"time_zone": "Europe/Vienna", "minutes": {"saturday": 180, "sunday": 120}}
    busy = year.with_fields(climber=week, before={"weekly_load": [1801]})
    (text,) = notes.load_note(busy)
    assert "says 1801 a week" in text and "5 h at an effort of 6 are 1800" in text
    assert "`climber.minutes`" in text and "before.weekly_load" in text
    assert notes.load_note(busy.with_fields(before={"weekly_load": [1800]})) == []
    rock = {**week, "rock_days": ["saturday"], "rock_minutes": 240}
    assert notes.load_note(busy.with_fields(climber=rock)) == [text]
    assert "weeks without rock stay below" in text


def test_a_rule_bent_often_is_told_once_with_its_worst_place(year: Year, book: RuleBook) -> None:
    weeks = list(year.span.days())[:3]
    found = [
        Finding(code="load-step", strength="soft", span=type(year.span).through(day, day),
                found=1.4 + number / 10, limit=1.3)
        for number, day in enumerate(weeks)
    ]  # fmt: skip
    (text,) = notes.bent_rules(found, book=book)
    assert text.endswith(
        "is not met 3 times: most on Wed 4 Mar 2026 (1.6 times the best month before)."
    )


def test_what_the_year_gives_is_counted_in_days_and_a_block_in_weeks(year: Year) -> None:
    """Days of a trip do not follow calendar weeks: two weekends and a week are no three weeks."""
    trip = block(Kind.TRIP, 5, 9, id="trip-1", emphasis=Emphasis.NONE)
    first = trip.span.first
    wednesday, last = first + timedelta(days=4), trip.span.last
    told = partial(counted_text, year=year)
    assert told(trip, wednesday) == ", day 5 of 9"
    assert told(trip, wednesday, until=last + timedelta(days=3)) == ", days 5 to 9 of 9"
    assert told(block(Kind.TRIP, 5, 1, id="trip-1"), first) == ""
    assert told(a_block(Kind.BASE, Emphasis.ENDURANCE), first, until=last) == ", week 1 of 2"


def test_days_off_that_nobody_knows_the_end_of_are_counted_without_one(year: Year) -> None:
    hurt: dict[str, object] = {"name": "Elbow", "part": "elbow", "happened": year.span.first}
    known = {"easy_from": date(2026, 4, 1), "building_from": date(2026, 4, 8)}
    off = block(Kind.INJURED, 0, 70, id="injured-1", entry="elbow")
    third = off.span.first + timedelta(days=2)
    for days, told in (
        ({}, ", day 3"),
        (known | {"full_from": date(2026, 4, 15)}, ", day 3 of 70"),
    ):
        assert counted_text(off, third, year=year.with_fields(injuries=(hurt | days,))) == told


def test_a_season_that_outlasts_the_year_is_told(year: Year) -> None:
    short = year.with_fields(horizon={"first": year.span.first, "weeks": 10})
    (text,) = notes.cut_note(short)
    assert text.startswith("“Spring in the Cleft” goes on to Sun 17 May 2026, but your year ends")
    assert notes.cut_note(year) == []


def test_entries_of_another_year_are_told_for_a_slip_of_the_pen(year: Year) -> None:
    away = [
        {"name": f"Isle {n}", "first": date(n, 4, 1), "last": date(n, 4, 9), "climbing": False}
        for n in (2026, 2027, 2028)
    ]
    (text,) = outside_note(year.with_fields(trips=tuple(away)))
    assert text.startswith("“Isle 2027” and “Isle 2028” lie outside your year, Mon 2 Mar 2026 to")
    assert outside_note(year.with_fields(trips=tuple(away[:1]))) == []


def test_rock_that_was_entered_twice_is_told_where_it_shares_days(year: Year) -> None:
    (season, *_) = year.seasons
    again = season.model_copy(update={"id": "again", "name": "Again"})
    (text,) = twice_note(year.with_fields(seasons=(*year.seasons, again)))
    assert text.startswith(f"“{season.name}” and “Again” are the same rock")
    assert "`seasonplan edit remove again`" in text
    for other in ({"place": "Elsewhere"}, {"discipline": Discipline.ICE}):
        apart = again.model_copy(update=other)
        assert twice_note(year.with_fields(seasons=(*year.seasons, apart))) == []
    assert twice_note(year) == []


def test_a_change_of_a_session_that_no_plan_has_is_told(years: Years) -> None:
    year, revision = years("twelve-weeks"), first_plan("twelve-weeks").current
    there = next(one for one in revision.sessions if one.role is None)
    changed = [
        FixedSession(session=there.id, minutes=30), FixedSession(session="foo", minutes=30),
        FixedSession(session="bar", skip=True),
    ]  # fmt: skip
    (text,) = unknown_note(year.with_fields(fixed_sessions=tuple(changed)), revision)
    assert text.startswith("The plan has no session “foo”: nothing comes of what you changed of it")
    assert unknown_note(year.with_fields(fixed_sessions=tuple(changed[:1])), revision) == []
    assert unknown_note(year, None) == []
