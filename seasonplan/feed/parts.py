"""The calendars that one plan is offered as: what each shows, its name and its colour."""

from __future__ import annotations

from enum import StrEnum
from typing import NamedTuple

from seasonplan.ical.layers import Layer
from seasonplan.ical.look import WHOLE, Colour


class Part(StrEnum):
    """A calendar one can subscribe to on its own."""

    ALL = "all"
    BLOCKS = "blocks"
    SESSIONS = "sessions"
    ROCK = "seasons-and-trips"

    @property
    def file(self) -> str:
        return f"{self.value}.ics"

    @property
    def key(self) -> str:
        """What its identity as a calendar hangs on."""
        return WHOLE if self is Part.ALL else self.value


class Look(NamedTuple):
    """`layers` are all that it may show; what the climber leaves out is taken away from them."""

    name: str
    colour: Colour
    layers: frozenset[Layer]
    shows: str


LOOKS = {
    Part.ALL: Look(
        "Climbing year", Colour.TEAL, frozenset(Layer), "everything in one calendar"
    ),
    Part.BLOCKS: Look(
        "Training blocks", Colour.STEELBLUE,
        frozenset({Layer.BLOCKS, Layer.REST, Layer.INJURIES, Layer.NOTES}),
        "what each stretch of weeks is for",
    ),
    Part.SESSIONS: Look(
        "Climbing sessions", Colour.DARKORANGE,
        frozenset({Layer.SESSIONS, Layer.INJURIES, Layer.DIARY}),
        "what to do, at its hour",
    ),
    Part.ROCK: Look(
        "Seasons and trips", Colour.SLATEGRAY,
        frozenset({Layer.SEASONS, Layer.WINDOWS, Layer.TRIPS, Layer.ABSENCES, Layer.NOTES}),
        "when the rock is good, and when you are away",
    ),
}  # fmt: skip
