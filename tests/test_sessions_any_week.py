"""Any routine, any busy calendar: what the planner puts into weeks breaks no rule about sessions.

Years come from `year_maker` by number; the routine, what there is to train on, the spread, the
body and the busy calendar are drawn here. Cases that hold nothing do not count.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from functools import cache
from typing import Any

from pytest import approx
from seasonplan.planner.sessions import Placed, place
from year_maker import any_year, small_year

from seasonplan.almanac import Almanac
from seasonplan.checker import check_sessions
from seasonplan.days import WEEKDAYS, week_start
from seasonplan.findings import Finding
from seasonplan.plan import Block
from seasonplan.planner.run import Found, best_plan
from seasonplan.recipes import Need, RecipeChange
from seasonplan.rules import book_of, standard_book
from seasonplan.vocabulary import BodyPart, Kind, Spread
from seasonplan.year import (
    Climber,
    Injury,
    Routine,
    RuleChange,
    SessionWishes,
    Trip,
    Year,
)

Taken = Mapping[date, Sequence[tuple[int, int]]]
SMALL, BUSY_CALENDARS, ROOMY = 20, 2, 12
SHORT = [n for n in range(40) if any_year(n).span.length <= 7 * 12]
SWITCHED = [rule.code for rule in standard_book() if rule.about == "sessions"]
SWITCHED += ["rest-day", "young-fingers", "injury-caps", "lead-in-volume"]
ALWAYS = (Need.WALL, Need.HANGBOARD, Need.WEIGHTS, Need.PARTNER)


def clock(minute: int) -> str:
    return f"{minute // 60:02}:{minute % 60:02}"


def any_routine(rng: random.Random) -> Routine:
    """One to three free times a day, at odd minutes; some days only an amount, some nothing."""
    days: dict[str, Any] = {}
    for weekday in rng.sample(WEEKDAYS, rng.randint(2, 7)):
        if rng.random() < 0.3:
            days[weekday] = rng.choice((20, 45, 95, 240, 600))
            continue
        cuts = sorted(rng.sample(range(5 * 60, 24 * 60), 2 * rng.randint(1, 3)))
        days[weekday] = [
            f"{clock(begin)}-{clock(end)}" for begin, end in zip(cuts[::2], cuts[1::2], strict=True)
        ]
    return Routine(**days)


def any_wishes(rng: random.Random) -> SessionWishes:
    return SessionWishes(
        spread=rng.choice(list(Spread)),
        spread_for={"base": rng.choice(list(Spread))} if rng.random() < 0.3 else {},
        has=tuple(need for need in (*ALWAYS, Need.BOARD) if rng.random() < 0.8),
    )


def any_recipes(rng: random.Random) -> dict[str, RecipeChange]:
    """Changed spacing, effort and length, one switched off, one of the climber's own."""
    if rng.random() < 0.6:
        return {}
    own = RecipeChange(
        name="Stairs", kinds=tuple(Kind), qualities={"fitness": 1.0}, minutes=25, rpe=6.3,
        stresses={"whole_body": rng.randint(0, 3)}, spacing_hours=rng.choice((0, 30, 150)),
        order=rng.randint(0, 4),
    )  # fmt: skip
    return {
        "stairs": own,
        "limit-bouldering": RecipeChange(spacing_hours=rng.choice((0, 20, 100, 200))),
        "technique-drills": RecipeChange(rpe=3.7, order=rng.randint(0, 4)),
        "fingerboard-often": RecipeChange(rpe=rng.choice((4, 5.5)), least_minutes=17),
        rng.choice(("aerobic", "fingerboard-long", "test-day")): RecipeChange(on=False),
    }


def any_rules(rng: random.Random) -> dict[str, RuleChange]:
    """Now and then a rule that the climber has switched off, or a dose held less or more near."""
    changes = {}
    if rng.random() < 0.4:
        changes["session-dose"] = RuleChange(limit=rng.choice((1.0, 15.0, 40.0)))
    if rng.random() < 0.4:
        changes[rng.choice(SWITCHED)] = RuleChange(on=False)
    return changes


def any_body(rng: random.Random, year: Year) -> dict[str, Any]:
    """Sometimes an injury of some part, sometimes a short climbing trip."""
    fields: dict[str, Any] = {}
    if rng.random() < 0.3:
        day = year.span.first + timedelta(days=rng.randint(0, year.span.length - 1))
        steps = [day + timedelta(days=n) for n in sorted(rng.sample(range(1, 30), 3))]
        fields["injuries"] = (
            Injury(
                name="Hurt", part=rng.choice(list(BodyPart)).value, happened=day,
                easy_from=steps[0], building_from=steps[1], full_from=steps[2],
            ),
        )  # fmt: skip
    if rng.random() < 0.5:
        day = year.span.first + timedelta(days=rng.randint(0, year.span.length - 1))
        fields["trips"] = (
            *year.trips,
            Trip(
                name="Dash", first=day, last=day + timedelta(days=rng.randint(0, 9)), place="Isle",
                discipline=rng.choice(("sport", "boulder", "mountain")),
                time_zone=rng.choice((None, "Asia/Tokyo")),
            ),
        )  # fmt: skip
    return fields


def varied(year: Year, rng: random.Random) -> Year:
    """The year with another routine, other things to train on, and sometimes hurt or away."""
    climber = Climber(
        **{
            **dict(year.climber),
            "minutes": any_routine(rng),
            "first_weekday": rng.choice(("monday", "sunday", "saturday")),
        }
    )
    return year.with_fields(
        climber=climber,
        sessions=any_wishes(rng),
        recipes=any_recipes(rng),
        rules=any_rules(rng),
        **any_body(rng, year),
    )


def any_busy(year: Year, rng: random.Random) -> Taken:
    """Busy spans at any minute, unsorted and overlapping; whole days now and then."""
    density = rng.choice((0.0, 0.3, 0.8))
    taken: dict[date, list[tuple[int, int]]] = {}
    for day in year.span.days():
        while rng.random() < density:
            start = rng.randint(0, 24 * 60 - 1)
            length = rng.choice((10, 60, 190, 24 * 60))
            taken.setdefault(day, []).append((start, min(24 * 60, start + length)))
    return taken


@cache
def cases() -> tuple[tuple[Year, tuple[Block, ...], int], ...]:
    """Years that have a plan, their blocks, and their number."""
    found = []
    for number, year in enumerate([*map(small_year, range(SMALL)), *map(any_year, SHORT)]):
        case = varied(year, random.Random(f"varied {number}"))
        plan = best_plan(case, book=book_of(case), gap=0.01)
        if isinstance(plan, Found):
            found.append((case, plan.blocks, number))
    return tuple(found)


def judged(year: Year, blocks: Sequence[Block], taken: Taken) -> tuple[Placed, list[Finding]]:
    placed = place(Almanac(year), blocks, book=book_of(year), taken=taken)
    found = check_sessions(
        year, blocks, placed.sessions, placed.shortfalls, book=book_of(year), taken=taken
    )
    return placed, [finding for finding in found if finding.strength == "hard"]


def test_sessions_of_any_routine_and_busy_calendar_break_no_rule() -> None:
    seen: Counter[str] = Counter()
    for year, blocks, number in cases():
        for busy in range(BUSY_CALENDARS):
            taken = any_busy(year, random.Random(f"busy {number} {busy}"))
            placed, broken = judged(year, blocks, taken)
            assert broken == [], (number, busy)
            seen["weeks"] += sum(len(block.weeks) for block in blocks) if placed.sessions else 0
            seen["sessions"] += len(placed.sessions)
            seen["busy"] += bool(taken and placed.sessions)
            seen["short"] += len(placed.shortfalls)
            seen["hurt"] += bool(year.injuries and placed.sessions)
            seen["away"] += sum(1 for session in placed.sessions if session.zone)
    wanted = {"weeks": 300, "sessions": 1_500, "busy": 25, "short": 50, "hurt": 8, "away": 5}
    assert all(seen[what] >= least for what, least in wanted.items()), seen


def test_two_spreads_bring_the_same_finger_dose_in_a_roomy_routine() -> None:
    """Within 5 %, the limit of session-dose, in each week of base and strength blocks."""
    compared = alone = 0
    for number in range(ROOMY):
        year = roomy(small_year(number), random.Random(f"roomy {number}"))
        found = best_plan(year, book=book_of(year), gap=0.01)
        if not isinstance(found, Found):
            continue
        little, long = (
            weekly_finger_load(spread_wished(year, spread), found.blocks) for spread in Spread
        )
        for week in little.keys() & long.keys():
            assert little[week] == approx(long[week], rel=0.05), (number, week)
            compared += 1
        alone += len(little.keys() ^ long.keys())
    assert compared >= 20
    assert alone <= compared / 2


def roomy(year: Year, rng: random.Random) -> Year:
    """Two hours and more each evening, half the days at weekends, for a grown climber."""
    evening = rng.choice(("17:00-19:30", "18:00-20:00", "18:30-21:30"))
    days: dict[str, Any] = dict.fromkeys(WEEKDAYS, evening)
    days |= {"saturday": "09:00-14:00", "sunday": "10:00-14:00"}
    climber = Climber(**{**dict(year.climber), "minutes": Routine(**days), "birth_year": None})
    return year.with_fields(climber=climber)


def spread_wished(year: Year, spread: Spread) -> Year:
    return year.with_fields(sessions=SessionWishes(spread=spread))


def weekly_finger_load(year: Year, blocks: Sequence[Block]) -> dict[date, float]:
    """Load of fingerboard sessions by calendar week, where it is trained and nothing is missing."""
    placed = place(Almanac(year), blocks, book=book_of(year))
    short = {day for shortfall in placed.shortfalls for day in shortfall.span.days()}
    trained = {block.id for block in blocks if block.kind in (Kind.BASE, Kind.STRENGTH)}
    loads: dict[date, float] = {}
    for session in placed.sessions:
        if session.block in trained and session.recipe.startswith("fingerboard"):
            week = week_start(session.day, year.climber.week_begins)
            if not any(week + timedelta(days=n) in short for n in range(7)):
                loads[week] = loads.get(week, 0.0) + 0.9 * session.rpe * session.minutes
    return loads
