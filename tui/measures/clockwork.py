"""Where in hangs and rests one is after so many seconds. Pure: reads no clock, draws nothing."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from seasonplan.testing.protocols import Rhythm

READY_SECONDS = 10  # to get to the edge after the key was pressed (preference)


class Doing(StrEnum):
    """What is done now."""

    READY = "Get ready"
    HANG = "Hang"
    REST = "Rest"
    OVER = "Done"


@dataclass(frozen=True, slots=True)
class Standing:
    """What is done, which hang it is or comes next, and seconds: left, or passed where it is open.

    `first` is when this began, in seconds from the start.
    """

    doing: Doing
    number: int
    seconds: float
    first: float


def standing(rhythm: Rhythm, elapsed: float) -> Standing:
    """Where one is `elapsed` seconds after the start."""
    if elapsed < READY_SECONDS:
        return Standing(Doing.READY, 1, READY_SECONDS - elapsed, 0.0)
    passed = elapsed - READY_SECONDS
    if not rhythm.hang_seconds:
        return Standing(Doing.HANG, 1, passed, READY_SECONDS)
    turn = rhythm.hang_seconds + rhythm.rest_seconds
    done, inside = divmod(passed, turn)
    number, begun = int(done) + 1, READY_SECONDS + done * turn
    last = rhythm.rounds and number >= rhythm.rounds
    if (rhythm.rounds and number > rhythm.rounds) or (last and inside >= rhythm.hang_seconds):
        over = READY_SECONDS + rhythm.rounds * turn - rhythm.rest_seconds
        return Standing(Doing.OVER, rhythm.rounds, 0.0, over)
    if inside < rhythm.hang_seconds:
        return Standing(Doing.HANG, number, rhythm.hang_seconds - inside, begun)
    first = begun + rhythm.hang_seconds
    return Standing(Doing.REST, number + 1, turn - inside, first)


def held(rhythm: Rhythm, elapsed: float) -> float:
    """Seconds from the first hang on: what a test until failure asks for."""
    open_end = not rhythm.rounds or not rhythm.hang_seconds
    return max(0.0, elapsed - READY_SECONDS) if open_end else 0.0
