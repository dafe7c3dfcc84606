"""Places by what happens there, and how long the way to them takes. Knows no plan and no clock."""

from __future__ import annotations

from seasonplan.vocabulary import PlaceIs
from seasonplan.year.model import Year
from seasonplan.year.place import Place


def rock_place(year: Year, name: str) -> Place | None:
    """The place with rock of that name, as seasons, trips and goals name it."""
    found = (one for one in year.places if one.what is PlaceIs.ROCK and one.name == name)
    return next(found, None)


def usual_place(year: Year, what: PlaceIs) -> Place | None:
    """The first wall, or home, that the climber entered."""
    return next((one for one in year.places if one.what is what), None)


def rock_way(year: Year, name: str) -> int:
    """Minutes from home to the rock at a place, one way: its own, else the usual ones."""
    return _minutes(rock_place(year, name), year.climber.rock_travel_minutes)


def wall_way(year: Year) -> int:
    """Minutes from home to the wall, one way."""
    return _minutes(usual_place(year, PlaceIs.WALL), year.climber.wall_travel_minutes)


def _minutes(place: Place | None, usual: int) -> int:
    if place is None or place.travel_minutes is None:
        return usual
    return place.travel_minutes
