"""What a block is there for: a reason out of the climber and a goal, never the same empty words."""

from __future__ import annotations

import re
from datetime import date, timedelta
from functools import cache
from math import log

import pytest
from autumn import first_plan, year_of
from judged_years import DEMOS

from seasonplan.body.almanac import almanac_of
from seasonplan.body.gains import gains
from seasonplan.body.response import QUALITIES, Training, body_of, mornings, trainings
from seasonplan.body.worth import Aims, FormWorth, form_worth
from seasonplan.days import Span
from seasonplan.explain.purpose import Purposes
from seasonplan.explain.resting import rest_reason
from seasonplan.plan import Block
from seasonplan.recipes import recipes
from seasonplan.rules.statements import book_of
from seasonplan.vocabulary import Emphasis, Kind, Quality
from seasonplan.workspace.desk import Desk
from seasonplan.year import Absence, Before, Year

NAME = "twelve-weeks"
NAMES = sorted(path.parent.name for path in DEMOS.glob("*/year.toml"))
FINGERS = QUALITIES.index(Quality.FINGER_STRENGTH)


@cache
def reasons(name: str, *, shared: bool = False) -> dict[str, str]:
    """Why each chosen block of a demo year is there, by its id."""
    desk = Desk(DEMOS / name)
    assert desk.plan is not None
    now = desk.plan.current
    asked = Purposes(desk.year, now.blocks, now.sessions, desk.book, now.ratings, shared=shared)
    return {one.id: " ".join(asked.of(one)) for one in now.blocks if one.kind.chosen}


def of(block: Block, year: Year, *, ratings: dict[Quality, float] | None = None) -> str:
    """Why a block of the small year would be there."""
    now = first_plan(NAME).current
    asked = Purposes(year, now.blocks, now.sessions, book_of(year), ratings or {})
    return " ".join(asked.of(block))


def base() -> Block:
    return next(one for one in first_plan(NAME).current.blocks if one.kind is Kind.BASE)


def trains(emphasis: Emphasis) -> Block:
    return Block(**{**dict(base()), "emphasis": emphasis})


def rated(**level: int) -> Year:
    year = year_of(NAME)
    return year.with_fields(climber=type(year.climber)(**{**dict(year.climber), "level": level}))


# --- the demo years -----------------------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
def test_each_block_of_a_demo_year_has_a_reason_that_names_a_goal_a_trip_or_a_rule(
    name: str,
) -> None:
    found = reasons(name)
    assert len(found) >= 10
    for block, told in found.items():
        assert re.search(r"“.+”|the rules (ask|allow)|no rule asks", told), f"{block}: {told}"


def test_a_block_that_trains_names_the_limiter_what_is_asked_and_when_it_is_wanted() -> None:
    told = reasons("autumn-project")["base-3"]
    assert told == (
        "It is there because finger strength is furthest behind what “The long traverse” asks (5 "
        "of 5; you rate yourself 1). The rock for that begins 6 weeks after it (25 Sep 2027): "
        "about 50 % of what it builds lasts so long."
    )


def test_what_a_block_builds_most_is_told_before_what_comes_first_in_its_weeks() -> None:
    told = reasons("mountain-summer")["base-3"]
    fitness, fingers = (
        told.index(text) for text in ("because fitness is", "Finger strength comes first in its")
    )
    assert fitness < fingers and "“North pillar in a day”" in told and "“Slab project”" in told


def test_a_rest_after_long_performing_and_a_lead_in_name_what_they_are_for() -> None:
    found = reasons("trips-and-boulders")
    assert "8 weeks of performing lie before it: after 4 weeks" in found["rest-3"]
    assert "It leads into the trip “Saltmere”" in found["performance-4"]
    assert "recover from the trip “Red Fallow”" in found["rest-2"]


# --- the climber --------------------------------------------------------------------------------


def test_own_ratings_tests_and_what_was_never_rated_are_told_apart() -> None:
    block = trains(Emphasis.FINGERS)
    weak = rated(finger_strength=1, power=5, endurance=5, fitness=5, movement=5)
    assert "finger strength is furthest behind what" in of(block, weak)
    assert "you rate yourself 1)" in of(block, weak)
    tested = of(block, weak, ratings={Quality.FINGER_STRENGTH: 1.4})
    assert "your tests say 1.4)" in tested
    assert "not rated by you, so a middling 3 is taken" in of(block, year_of(NAME))


def test_a_calendar_that_others_may_read_tells_no_rating_and_no_name_of_a_trip() -> None:
    now, weak = first_plan(NAME).current, rated(finger_strength=1)
    asked = Purposes(weak, now.blocks, now.sessions, book_of(weak), {}, shared=True)
    told = " ".join(asked.of(trains(Emphasis.FINGERS)))
    assert "finger strength is" in told and not re.search(r"of 5|rate|%", told)
    trips = reasons("trips-and-boulders", shared=True)
    assert "It leads into the trip: fewer" in trips["performance-4"]
    assert "recover from the trip." in trips["rest-2"]


def test_a_block_that_trains_what_is_strong_does_not_call_it_a_weakness() -> None:
    strong = rated(finger_strength=5, power=1, endurance=1, fitness=1, movement=1)
    told = of(trains(Emphasis.FINGERS), strong)
    assert "finger strength is" not in told.lower()
    assert "no more of finger strength than you have (" in told


def test_what_is_fixed_or_given_has_no_reason_of_the_plans() -> None:
    fixed = Block(**{**dict(base()), "pinned": True, "entry": "mine"})
    assert of(fixed, year_of(NAME)) == ""


# --- rest ---------------------------------------------------------------------------------------


def block(kind: Kind, begins: int, days: int) -> Block:
    """A block of the small year, without weeks."""
    start = year_of(NAME).span.first + timedelta(days=begins)
    return Block(id=f"{kind}-1", kind=kind, span=Span(start, start + timedelta(days)), weeks=())


def test_a_rest_without_which_too_long_would_pass_says_how_long_in_exact_days() -> None:
    """rest-every of shared/rules.toml: 14 weeks."""
    year = year_of(NAME)
    since = year.before.days_since_rest
    long = 99 - since
    rest = block(Kind.REST, 40, 7)
    row = [block(Kind.BASE, 0, 40), rest, block(Kind.BASE, 47, long - 47)]
    closing = block(Kind.REST, long, 7)
    told = rest_reason(rest, year, [*row, closing], book=book_of(year))
    assert "without it 14 weeks 1 day would pass with no rest; the rules allow 14 weeks" in told
    opening = [block(Kind.REST, 0, 7), block(Kind.BASE, 7, 99), block(Kind.REST, 106, 7)]
    fresh = year.with_fields(before=Before(days_since_rest=0))
    told = rest_reason(opening[0], fresh, opening, book=book_of(fresh))
    assert told.startswith("It is there because without it ")
    shorter = [row[0], rest, block(Kind.BASE, 47, long - 48), block(Kind.REST, long - 1, 7)]
    told = rest_reason(rest, year, shorter, book=book_of(year))
    assert "recover before a base block; no rule asks for it" in told


def test_weeks_of_little_time_before_a_rest_are_told_as_such() -> None:
    """Two exam weeks with half of the time among seven; `cut_below` of shared/weeks.toml: 0.75."""
    year = year_of(NAME).with_fields(before=Before(days_since_rest=0))
    start = year.span.first
    rest = block(Kind.REST, 49, 7)
    row = [block(Kind.BASE, 0, 49), rest, block(Kind.BASE, 56, 50), block(Kind.REST, 106, 7)]

    def told(left: float, **more: bool) -> str:
        exams = Absence(
            name="Exams", first=start + timedelta(7), last=start + timedelta(20), left=left
        )
        had = year.with_fields(absences=(exams,))
        return rest_reason(rest, had, row, book=book_of(had), **more)

    few = "because 7 weeks of training, 2 of them with little time, lie before it and without it"
    assert few in told(0.5) and "because 7 weeks of training lie before it" in told(0.8)
    assert "because 7 weeks lie before it and without it" in told(0.5, shared=True)


def test_a_rest_between_a_short_time_of_performing_and_strength_names_the_rule() -> None:
    year = year_of(NAME)
    rest = block(Kind.REST, 14, 7)
    for follows, asked in ((Kind.STRENGTH, True), (Kind.BASE, False)):
        row = [block(Kind.PERFORMANCE, 0, 14), rest, block(follows, 21, 28)]
        told = rest_reason(rest, year, row, book=book_of(year))
        assert ("the rules ask for rest between performing and strength" in told) is asked
    off = book_of(year).without("rest-before-strength")
    row = [block(Kind.PERFORMANCE, 0, 14), rest, block(Kind.STRENGTH, 21, 28)]
    assert "no rule asks for it" in rest_reason(rest, year, row, book=off)


# --- the figures --------------------------------------------------------------------------------


def test_what_a_block_gives_is_what_the_year_lacks_without_its_sessions() -> None:
    """Worked out twice: from the block alone, and as the difference of two whole years."""
    year, now = year_of(NAME), first_plan(NAME).current
    aims, book = Aims(almanac_of(year)), recipes(year.recipes)
    done = trainings(now.blocks, now.sessions, book)
    own = trainings((base(),), now.sessions, book)
    rest = [one for one in done if one not in own]
    compared = 0
    for form, gain in zip(aims.forms, gains(own, aims), strict=True):
        calm = FormWorth(form.days, form.worth, form.asked, form.weights, tires=False)
        until = max(form.days)
        whole, without = (
            form_worth(calm, mornings(year, some, aims.body, until=until), aims.body)
            for some in (done, rest)
        )
        assert sum(gain.points) == pytest.approx(whole - without, rel=1e-9)
        compared += 1
    assert compared >= 2


def test_after_as_many_days_as_halve_a_level_half_of_what_was_built_is_left() -> None:
    year = year_of(NAME)
    aims = Aims(almanac_of(year))
    tau = body_of(year).tau[FINGERS]
    first = year.span.first
    last = first + timedelta(days=7)
    dose = tuple(100.0 for _ in QUALITIES)
    done = (Training(Span(first, last), dose, 600.0),)
    days = round(tau * log(2))
    form = FormWorth({last + timedelta(days=days): 1.0}, 1.0, (3.0,) * 6, (1 / 6,) * 6)
    found = gains(done, _Only(aims, form))
    assert found[0].left[FINGERS] == pytest.approx(0.5, abs=0.005)
    assert found[0].first == date.fromordinal((last + timedelta(days=days)).toordinal())


class _Only(Aims):
    """The aims of a year with one form alone."""

    def __init__(self, aims: Aims, form: FormWorth) -> None:
        super().__init__(aims.almanac)
        self.__dict__["forms"] = (form,)
