"""What tests of the week ask of its sheet: where a session lies, what colour a place has."""

from __future__ import annotations

from datetime import date

from stage import bench, press, until, week
from textual.pilot import Pilot

from seasonplan.year.fixed import FixedSession
from tui.week.draw import HEAD, boxes
from tui.week.hours import Hours
from tui.week.sessions import Shown
from tui.week.sheet import WeekSheet

Point = tuple[int, int]


async def at_sheet(pilot: Pilot[int]) -> None:
    """Turn to the week and wait until it is laid out."""
    await press(pilot, "2")
    await until(pilot, lambda: view(pilot).size.height)


async def at_week(pilot: Pilot[int]) -> None:
    """Turn to the week and choose the first session from today on."""
    await press(pilot, "2", "down")
    assert week(pilot).chosen is not None


def chosen(pilot: Pilot[int]) -> Shown:
    found = week(pilot)._one
    assert found is not None
    return found


def wish(pilot: Pilot[int]) -> FixedSession:
    (found,) = bench(pilot).desk.year.fixed_sessions
    return found


def view(pilot: Pilot[int]) -> WeekSheet:
    return week(pilot).query_one(WeekSheet)


def laid_out(pilot: Pilot[int]) -> Hours:
    hours = view(pilot).hours
    assert hours is not None
    return hours


def places(pilot: Pilot[int]) -> dict[str, Point]:
    """First line of each session on the sheet, and the one after its last."""
    facts = view(pilot).facts
    assert facts is not None
    return boxes(facts, laid_out(pilot))


def point_of(pilot: Pilot[int], one: Shown) -> Point:
    """A column and line inside a session."""
    return view(pilot)._picture().left(one.session.day) + 2, places(pilot)[one.session.id][0]


def point_at(pilot: Pilot[int], day: date, minute: int) -> Point:
    """A column and line of that day and minute."""
    left = view(pilot)._picture().left(day)
    return left + 2, HEAD + laid_out(pilot).line(minute)


def tint(pilot: Pilot[int], point: Point) -> object:
    """The colour behind a place of the sheet."""
    (piece,) = view(pilot).render_line(point[1]).crop(point[0], point[0] + 1)
    assert piece.style is not None
    return piece.style.bgcolor


def line_of(pilot: Pilot[int], number: int) -> str:
    """What a line of the sheet says."""
    return view(pilot).render_line(number).text
