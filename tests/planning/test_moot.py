"""A lead-in matters to rock on which one goes, and is not told of any other."""

from __future__ import annotations

from datetime import time

from plan_maker import a_year, day, goal, season, span, trip

from seasonplan.plan import Session
from seasonplan.planning.moot import that_matter
from seasonplan.rules.findings import Finding
from seasonplan.vocabulary import RockRole

YEAR = a_year(goals=(goal(),), seasons=(season(28, 14),), trips=(trip(60, 7),))
# a Saturday: the easy opening, from the first Saturday on, is over
LATE = Finding(code="lead-in-start", strength="soft", span=span(40, 1), found=0, limit=7)
OTHER = Finding(code="few-changes", strength="soft", span=span(28, 1))


def on_rock(n: int, rock: str) -> Session:
    return Session(
        id=f"rock-{n}", block="performance-1", recipe="redpoint-day", day=day(n), start=time(10),
        minutes=240, rpe=7.0, rock=rock, role=RockRole.PROJECT,
    )  # fmt: skip


def test_a_season_with_no_day_on_rock_asks_for_no_lead_in() -> None:
    assert that_matter([LATE, OTHER], YEAR, ()) == (OTHER,)
    assert that_matter([LATE], YEAR, [on_rock(62, "trip")]) == ()


def test_a_season_with_a_day_on_rock_does() -> None:
    assert that_matter([LATE, OTHER], YEAR, [on_rock(33, "season")]) == (LATE, OTHER)


def test_a_trip_opens_with_the_way_there() -> None:
    away = LATE.model_copy(update={"span": span(60, 1)})
    assert that_matter([away], YEAR, [on_rock(62, "trip")]) == (away,)
