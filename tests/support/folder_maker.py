"""A climber's folder with a plan made by hand, so that no planner vouches for what is told of it.

The year is eight weeks from Monday 4 January 2027, in Vienna; see `YEAR` and `SESSIONS`.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterable
from datetime import UTC, datetime, time
from pathlib import Path
from typing import Any
from uuid import UUID

from places import ROOT
from plan_maker import block, day, given, span

from seasonplan.plan import Cause, Plan, Proof, Revision, Score, Session, Shortfall
from seasonplan.vocabulary import Kind
from seasonplan.workspace import store
from seasonplan.workspace.desk import Desk

DEMO = ROOT / "calendars_demo"
KEY = UUID("3f1c2a6e-94a5-4c0e-8a53-1d2b7c9e0f11")
STAMP = datetime(2027, 1, 2, 12, tzinfo=UTC)
YEAR = """\
[year]
first = 2027-01-04
weeks = 8

[climber]
time_zone = "Europe/Vienna"
birth_year = 1990

[climber.minutes]
tuesday = "18:00-19:30"
wednesday = 60
thursday = 90
saturday = 180
sunday = 150

[[goal]]
name = "Long Crack"
place = "Karst"
discipline = "sport"
grade = "7b"

[[season]]
name = "Winter sun"
place = "Karst"
discipline = "sport"
first = 2027-02-01
last = 2027-02-07
chance = 0.4

[[trip]]
name = "Isle"
first = 2027-02-08
last = 2027-02-14
place = "Isle"
discipline = "sport"
time_zone = "Atlantic/Madeira"

[[absence]]
name = "Fair"
first = 2027-02-15
last = 2027-02-21
"""


def session(name: str, recipe: str, n: int, start: str, minutes: int, **more: Any) -> Session:
    """A session on day number `n`."""
    values = {"block": "base-1", "rpe": 6.0} | more
    return Session(
        id=name, recipe=recipe, day=day(n), start=time.fromisoformat(start), minutes=minutes,
        **values,
    )  # fmt: skip


SESSIONS = (
    session("a", "route-volume", 1, "18:00", 90),
    session("b", "fingerboard-often", 2, "18:00", 30, rpe=5.0),
    session("c", "technique-drills", 2, "18:30", 30, rpe=4.0),
    session("d", "limit-bouldering", 22, "18:00", 75, block="strength-1", rpe=8.0),
    session("e", "redpoint-day", 33, "10:00", 240, block="performance-1", rpe=7.0),
    session("f", "redpoint-day", 36, "09:00", 240, block="trip-1", rpe=7.0,
            zone="Atlantic/Madeira", rock="isle"),
)  # fmt: skip
SHORT = Shortfall(
    block="base-1", span=span(0, 7), asked_minutes=500, missing_minutes=120, cause=Cause.HOURS
)


def blocks() -> tuple[Any, ...]:
    return (
        block(Kind.BASE, 0, 21, id="base-1"),
        block(Kind.STRENGTH, 21, 7, id="strength-1", week={"deload": True}),
        block(Kind.PERFORMANCE, 28, 7, id="performance-1"),
        given(Kind.TRIP, 35, 7, entry="isle").model_copy(update={"id": "trip-1"}),
        given(Kind.ABSENCE, 42, 7, entry="fair").model_copy(update={"id": "absence-1"}),
        block(Kind.REST, 49, 7, id="rest-1"),
    )


def revision(sessions: Iterable[Session], **more: Any) -> Revision:
    """A plan of these sessions and no block."""
    values = {
        "number": 1, "stamp": STAMP, "cause": "test", "year_digest": "", "blocks": (),
        "score": Score(occasions=(), costs=(), points=1),
        "proof": Proof(optimal=True, gap=0, bound=1), "sessions": tuple(sessions),
    } | more  # fmt: skip
    return Revision(**values)


def planned(folder: Path, *, year: str = YEAR, **more: Any) -> Path:
    """A folder with that year and the plan of this file; `more` are fields of its revision."""
    (folder / "year.toml").write_text(year, encoding="utf-8")
    values = {
        "number": 1, "stamp": STAMP, "cause": "test", "year_digest": Desk(folder)._meaning,
        "blocks": blocks(), "score": Score(occasions=(), costs=(), points=1),
        "proof": Proof(optimal=True, gap=0, bound=1),
        "sessions": SESSIONS, "shortfalls": (SHORT,),
    } | more  # fmt: skip
    plan = Plan(calendar_key=KEY, revisions=(Revision(**values),))
    store.save_plan(folder, plan, based_on=None)
    return folder


def demo_copy(into: Path, name: str = "autumn-project") -> Path:
    """A copy of a demo year that a test may change, for tests that need no terminal face."""
    return Path(shutil.copytree(DEMO / name, into / name))
