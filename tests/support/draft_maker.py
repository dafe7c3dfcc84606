"""A draft to edit: twelve weeks in a file full of remarks, and a plan made by hand for them."""

from __future__ import annotations

from datetime import UTC, datetime, time
from typing import Any
from uuid import UUID

from plan_maker import block, day, given

from seasonplan.edits import Draft, draft_of
from seasonplan.plan import Block, Plan, Proof, Revision, Score, Session
from seasonplan.vocabulary import Kind

KEY = UUID("3f1c2a6e-94a5-4c0e-8a53-1d2b7c9e0f11")
STAMP = datetime(2027, 1, 2, 12, tzinfo=UTC)
YEAR = """\
# My twelve weeks.
schema = 1

[year]
first = 2027-01-04   # a Monday
weeks = 12

[climber]
time_zone = "Europe/Vienna"

[climber.minutes]        # after work
tuesday = 90
wednesday = 60
saturday = 180

# --- what I want ---
[[goal]]
name = "Long Crack"      # the one behind the mill
place = "Karst"
discipline = "sport"
grade = "7b"
served_by = ["winter-sun", "isle"]

[[season]]
name = "Winter sun"
place = "Karst"
discipline = "sport"
first = 2027-02-15
last = 2027-03-07
chance = 0.4

# --- away ---
[[trip]]
name = "Isle"
first = 2027-01-25       # the ferry is on Mondays
last = 2027-01-31
place = "Isle"
discipline = "sport"

# with the children
[[trip]]
name = "Lake"
first = 2027-03-08
last = 2027-03-14
climbing = false

[[injury]]
name = "Knee"
part = "knee"
happened = 2027-03-15
easy_from = 2027-03-19
building_from = 2027-03-22
full_from = 2027-03-29

# the end
"""
SESSION = "base-1/2027-01-04/mobility-1"


def blocks() -> tuple[Block, ...]:
    """Base 21 days, isle 7, rest 7, strength 7, performance 21, lake 7, knee 14."""
    return (
        block(Kind.BASE, 0, 21, id="base-1"),
        given(Kind.TRIP, 21, 7, entry="isle").model_copy(update={"id": "trip-1"}),
        block(Kind.REST, 28, 7, id="rest-1"),
        block(Kind.STRENGTH, 35, 7, id="strength-1"),
        block(Kind.PERFORMANCE, 42, 21, id="performance-1"),
        given(Kind.ABSENCE, 63, 7, entry="lake").model_copy(update={"id": "absence-1"}),
        given(Kind.INJURED, 70, 14, entry="knee").model_copy(update={"id": "injured-1"}),
    )


def sessions() -> tuple[Session, ...]:
    return (
        Session(
            id=SESSION, block="base-1", recipe="mobility", day=day(1), start=time(18), minutes=25,
            rpe=2.0,
        ),
    )  # fmt: skip


def revision(number: int = 1, **fields: Any) -> Revision:
    values = {
        "number": number, "stamp": STAMP, "cause": f"cause {number}", "year_digest": "d",
        "blocks": blocks(), "score": Score(occasions=(), costs=(), points=float(number)),
        "proof": Proof(optimal=True, gap=0, bound=1), "sessions": sessions(), "year_text": YEAR,
    }  # fmt: skip
    return Revision(**(values | fields))


def plan(*revisions: Revision) -> Plan:
    return Plan(calendar_key=KEY, revisions=revisions or (revision(),))


def draft(text: str = YEAR, **fields: Any) -> Draft:
    return draft_of(text, plan(revision(**fields)))


def lines_changed(old: str, new: str) -> tuple[list[str], list[str]]:
    """Lines that went and lines that came, where all others stand in the old order."""
    from difflib import ndiff

    found = list(ndiff(old.splitlines(), new.splitlines()))
    gone = [line[2:] for line in found if line.startswith("- ")]
    come = [line[2:] for line in found if line.startswith("+ ")]
    return gone, come
