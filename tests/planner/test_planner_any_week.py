"""Any routine, any busy calendar: what the planner puts into weeks breaks no rule about sessions.

Years come from `year_maker` by number; the routine, what there is to train on, the spread, the
body and the busy calendar are drawn here. Cases that hold nothing do not count.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from typing import Any

from planned import judged, planned
from year_maker import any_year, small_year

from seasonplan.days import WEEKDAYS
from seasonplan.recipes import Need, RecipeChange
from seasonplan.rules.statements import standard_book
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
CASES = 32
SHORT = [n for n in range(40) if any_year(n).span.length <= 7 * 12]
SWITCHED = [rule.code for rule in standard_book() if rule.about == "sessions"]
SWITCHED += ["rest-day", "young-fingers", "injury-caps", "deload"]
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
        "fingerboard-often": RecipeChange(rpe=rng.choice((4, 5.5)), least_minutes=13),
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


AGREED = [18, 20, 28, 182, 266, 354, 566, 594, 691]  # once they did not


def case(number: int) -> tuple[Year, Taken]:
    """A varied year with a busy calendar."""
    rng = random.Random(f"week {number}")
    small = rng.random() < 0.7
    year = small_year(rng.randrange(1000)) if small else any_year(rng.choice(SHORT))
    made = varied(year, rng)
    return made, any_busy(made, rng)


def test_plans_of_any_routine_and_busy_calendar_break_no_rule() -> None:
    seen: Counter[str] = Counter()
    for number in [*range(CASES), *AGREED]:
        year, taken = case(number)
        made = planned(year, taken=taken)
        if made is None:
            continue
        assert judged(year, made, taken=taken) == [], number
        seen["weeks"] += sum(len(block.weeks) for block in made.blocks) if made.sessions else 0
        seen["sessions"] += len(made.sessions)
        seen["busy"] += bool(taken and made.sessions)
        seen["short"] += len(made.shortfalls)
        seen["hurt"] += bool(year.injuries and made.sessions)
        seen["away"] += sum(1 for session in made.sessions if session.zone)
        seen["rock"] += sum(1 for session in made.sessions if session.role)
    wanted = {
        "weeks": 200, "sessions": 800, "busy": 12, "short": 20, "hurt": 6, "away": 5, "rock": 50,
    }  # fmt: skip
    assert all(seen[what] >= least for what, least in wanted.items()), seen
