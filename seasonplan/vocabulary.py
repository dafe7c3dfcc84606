"""The words of the trade that every other module uses, and the base of all models."""

from __future__ import annotations

from enum import StrEnum

from pydantic import BaseModel, ConfigDict


class Word(BaseModel):
    """A frozen record that refuses fields it does not know."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class Kind(StrEnum):
    """What a block is. The first four are chosen by the planner, the others are given."""

    BASE = "base"
    STRENGTH = "strength"
    PERFORMANCE = "performance"
    REST = "rest"
    TRIP = "trip"
    ABSENCE = "absence"
    INJURED = "injured"
    RETURN = "return"

    @property
    def chosen(self) -> bool:
        return self in CHOSEN


CHOSEN = (Kind.BASE, Kind.STRENGTH, Kind.PERFORMANCE, Kind.REST)


class Discipline(StrEnum):
    SPORT = "sport"
    TRAD = "trad"
    BOULDER = "boulder"
    MULTIPITCH = "multipitch"
    MOUNTAIN = "mountain"


class Quality(StrEnum):
    """What training changes."""

    FINGER_STRENGTH = "finger_strength"
    POWER = "power"
    ENDURANCE = "endurance"
    FITNESS = "fitness"
    MOVEMENT = "movement"


class Tissue(StrEnum):
    FINGERS = "fingers"
    ELBOWS = "elbows"
    SHOULDERS = "shoulders"
    SKIN = "skin"
    WHOLE_BODY = "whole_body"


class BodyPart(StrEnum):
    FINGER = "finger"
    WRIST = "wrist"
    ELBOW = "elbow"
    SHOULDER = "shoulder"
    BACK = "back"
    HIP = "hip"
    KNEE = "knee"
    ANKLE = "ankle"
    SKIN = "skin"
    OTHER = "other"


class Side(StrEnum):
    LEFT = "left"
    RIGHT = "right"
    BOTH = "both"
    NONE = "none"


class Severity(StrEnum):
    MILD = "mild"
    MODERATE = "moderate"
    SEVERE = "severe"
    UNKNOWN = "unknown"


class Phase(StrEnum):
    """How far back to load an injury is; `full` is health."""

    OFF = "off"
    EASY = "easy"
    BUILDING = "building"
    FULL = "full"


class Spread(StrEnum):
    """How the same weekly finger dose is spread over sessions."""

    LITTLE_AND_OFTEN = "little and often"
    FEW_AND_LONG = "few and long"


class Evidence(StrEnum):
    """What kind of support a rule or recipe has, strongest first."""

    TRIAL = "trial"
    REVIEW = "review"
    MODEL = "model"
    COMMON_PRACTICE = "common practice"
    PREFERENCE = "preference"


class Verified(StrEnum):
    """How far a cited value was checked when it was written down."""

    READ = "read"
    ABSTRACT = "abstract"
    SECOND_HAND = "second hand"
    MEMORY = "memory"
    NONE = "none"
