"""Where a session is, and how long the way to it takes. Knows no calendar format.

The way is the one that the planner kept free for it: to the rock of its season or window, to the
wall for what needs one; none on a trip, and none to what is done at home.
"""

from __future__ import annotations

from typing import NamedTuple

from seasonplan.ical.text import one_line
from seasonplan.plan import Session
from seasonplan.recipes import Need, Recipe
from seasonplan.vocabulary import PlaceIs
from seasonplan.year import (
    Season,
    Trip,
    Window,
    Year,
    rock_place,
    rock_way,
    usual_place,
    wall_way,
)

Point = tuple[float, float]  # latitude, longitude


class Where(NamedTuple):
    """A place by its name, "" where none was entered; how far, in minutes one way."""

    name: str = ""
    point: Point | None = None
    way: int = 0


def point_of(year: Year, name: str) -> Point | None:
    """Where a place with rock is, if the climber entered it."""
    place = rock_place(year, name)
    return place.point if place else None


def where(
    session: Session, recipe: Recipe | None, trip: Trip | None, year: Year, *, trips: bool = True
) -> Where:
    """Where a session is. Home has a name alone: who reads a calendar need not find it; nor where
    a trip goes, where trips are left out."""
    if trip is not None and not trips:
        return Where()
    if trip is not None:
        return Where(one_line(trip.place), point_of(year, trip.place))
    rock = year.entry(session.rock) if session.rock else None
    if isinstance(rock, (Season, Window)):
        return Where(one_line(rock.place), point_of(year, rock.place), rock_way(year, rock.place))
    if session.role is not None:
        return Where(way=year.climber.rock_travel_minutes)
    if recipe is not None and Need.WALL in recipe.needs and Need.HOME_WALL not in year.sessions.has:
        wall = usual_place(year, PlaceIs.WALL)
        point, name = (wall.point, wall.name) if wall else (None, "")
        return Where(one_line(name), point, wall_way(year))
    home = usual_place(year, PlaceIs.HOME)
    outside = recipe is not None and {Need.ROCK, Need.DAYLIGHT} & set(recipe.needs)
    return Where(one_line(home.name) if home and not outside else "")
