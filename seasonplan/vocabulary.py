"""The words of the trade that every other module uses, and the base of all models."""

from __future__ import annotations

from enum import StrEnum

from pydantic import BaseModel, ConfigDict


class FrozenModel(BaseModel):
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
    ICE = "ice"


# As climbers call them, too; winter ice, mixed ground and dry tooling are done with the same tools.
_ALSO = {
    "sport climbing": Discipline.SPORT, "trad climbing": Discipline.TRAD,
    "bouldering": Discipline.BOULDER, "boulders": Discipline.BOULDER,
    "multi pitch": Discipline.MULTIPITCH, "alpine": Discipline.MOUNTAIN,
    "mountains": Discipline.MOUNTAIN, "winter ice": Discipline.ICE,
    "ice climbing": Discipline.ICE, "dry tooling": Discipline.ICE,
    "drytooling": Discipline.ICE, "mixed": Discipline.ICE, "mixed climbing": Discipline.ICE,
}  # fmt: skip


def discipline_said(words: str) -> Discipline | None:
    """The discipline that is meant by its name or another usual one; None for other words."""
    text = " ".join(words.lower().replace("-", " ").split())
    named = {one.value: one for one in Discipline}
    return named.get(text) or _ALSO.get(text)


class Style(StrEnum):
    """How a goal is to be climbed: worked until it goes, or without having been tried."""

    REDPOINT = "redpoint"
    ONSIGHT = "onsight"


class Quality(StrEnum):
    """What training changes."""

    FINGER_STRENGTH = "finger_strength"
    POWER = "power"
    POWER_ENDURANCE = "power_endurance"
    ENDURANCE = "endurance"
    FITNESS = "fitness"
    MOVEMENT = "movement"


class Tissue(StrEnum):
    """What a session loads: the parts an injury may name, and the body as a whole."""

    FINGERS = "fingers"
    WRISTS = "wrists"
    ELBOWS = "elbows"
    SHOULDERS = "shoulders"
    SKIN = "skin"
    BACK = "back"
    HIPS = "hips"
    KNEES = "knees"
    ANKLES = "ankles"
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


class PulleyGrade(StrEnum):
    """How badly a finger pulley is hurt, by the grading of Schöffl & Schöffl 2006."""

    I = "I"  # noqa: E741  (the name of the grade)
    II = "II"
    III = "III"
    IV = "IV"


class NamedBy(StrEnum):
    """Who named the days of an injury."""

    CLINICIAN = "clinician"
    TABLE = "table"
    OWN = "own"


class Emphasis(StrEnum):
    """What a block trains most. Each kind of block has its own (`EMPHASES`)."""

    ENDURANCE = "endurance"
    POWER_ENDURANCE = "power endurance"
    FINGERS = "fingers"
    MOVEMENT = "movement"
    FITNESS = "general fitness"
    POWER = "power"
    NONE = ""


# the quality that an emphasis trains
TRAINS = {
    Emphasis.FINGERS: Quality.FINGER_STRENGTH,
    Emphasis.POWER: Quality.POWER,
    Emphasis.POWER_ENDURANCE: Quality.POWER_ENDURANCE,
    Emphasis.ENDURANCE: Quality.ENDURANCE,
    Emphasis.FITNESS: Quality.FITNESS,
    Emphasis.MOVEMENT: Quality.MOVEMENT,
}
EMPHASES = {
    Kind.BASE: (
        Emphasis.ENDURANCE,
        Emphasis.POWER_ENDURANCE,
        Emphasis.FINGERS,
        Emphasis.MOVEMENT,
        Emphasis.FITNESS,
    ),
    Kind.STRENGTH: (Emphasis.FINGERS, Emphasis.POWER),
    Kind.PERFORMANCE: (Emphasis.FINGERS, Emphasis.ENDURANCE),
    Kind.REST: (Emphasis.NONE,),
}  # of performance: what is kept up midweek


def usual_emphasis(kind: Kind) -> Emphasis:
    """What a block of a kind trains where nothing is said."""
    return EMPHASES.get(kind, (Emphasis.NONE,))[0]


class RockRole(StrEnum):
    """What a day on rock is for."""

    PROJECT = "project"
    EASY = "easy"


class Spread(StrEnum):
    """How finger work is split over a week."""

    SHORT_AND_HARD = "short and hard, often"
    LIGHT = "light, often"
    FEW_AND_LONG = "few and long"


class BlocksAs(StrEnum):
    """How a calendar shows blocks: over all their days, on the first, or a line for each week."""

    WHOLE = "whole"
    FIRST_DAY = "first day"
    WEEKS = "weeks"


class PlaceIs(StrEnum):
    """What a place is to the climber."""

    ROCK = "rock"
    WALL = "wall"
    HOME = "home"


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
