"""What a calendar may show or leave out. Knows nothing of how it is written."""

from __future__ import annotations

from enum import StrEnum


class Layer(StrEnum):
    """One kind of thing in the calendar. `notes` is what the climber wrote on an entry or goal,
    `diary` which sessions were done or missed."""

    SESSIONS = "sessions"
    BLOCKS = "blocks"
    REST = "rest"
    INJURIES = "injuries"
    SEASONS = "seasons"
    WINDOWS = "windows"
    TRIPS = "trips"
    ABSENCES = "absences"
    NOTES = "notes"
    DIARY = "diary"


ALL = frozenset(Layer)

# A subscribed calendar passes through the servers of whoever makes the phone's calendar, and
# CLASS is no protection (RFC 5545 3.8.1.3): health is shown only where it is asked for.
USUAL = ALL - {Layer.INJURIES}
