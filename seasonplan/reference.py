"""The cited tables of the project's `shared/` folder, read once. Knows no rule and no year."""

from __future__ import annotations

import tomllib
from functools import cache
from math import exp
from pathlib import Path
from typing import Any

from pydantic import Field

from seasonplan.errors import Misuse
from seasonplan.plan import Loads
from seasonplan.vocabulary import Discipline, Kind, Quality, Verified, Word


def shared_file(name: str) -> Path:
    """Where a file of `shared/` is: inside the installed package, or beside it in a checkout."""
    package = Path(__file__).parent
    for folder in (package / "_shared", package.parent / "shared"):
        if (folder / name).is_file():
            return folder / name
    raise Misuse(f"shared/{name} is not installed with seasonplan")


@cache
def table(name: str) -> dict[str, Any]:
    """The content of `shared/NAME.toml`."""
    return tomllib.loads(shared_file(f"{name}.toml").read_text(encoding="utf-8"))


class Source(Word):
    """Where a number comes from and how far that was checked."""

    cite: str
    says: str = ""
    verified: Verified

    @property
    def label(self) -> str:
        """One line; with how far it was checked, where there was something to check."""
        marks = {
            Verified.MEMORY: " (from memory, not looked up)",
            Verified.SECOND_HAND: " (quoted by others)",
            Verified.ABSTRACT: " (abstract read)",
            Verified.READ: " (text read)",
        }
        return self.cite + marks.get(self.verified, "")


@cache
def sources() -> dict[str, Source]:
    return {key: Source(**value) for key, value in table("sources").items()}


@cache
def caution(name: str) -> str:
    """The words of caution by that name."""
    return str(table("cautions")[name])


class Profile(Word):
    """What a full week of one kind of block holds. `volume` is a share of the free minutes."""

    volume: float | dict[str, float] = 1.0
    rpe: float
    mix: Loads
    progression: tuple[float, ...] = ()
    light: float = 1.0
    lead_in: float = 1.0
    minutes_a_day: float = 0.0

    def volume_in(self, phase: str) -> float:
        return self.volume[phase] if isinstance(self.volume, dict) else self.volume


@cache
def profile(kind: Kind) -> Profile:
    """The profile of a kind that is trained; absences have none."""
    return Profile(**table("blocks")[kind.value])


def layoff_shares() -> tuple[float, ...]:
    """Shares of a usual week for the first weeks after a layoff."""
    return tuple(table("blocks")["after_layoff"]["shares"])


def least_given_days() -> int:
    """Trips and absences shorter than this do not break a block."""
    return int(table("blocks")["given"]["least_days"])


class TripDays(Word):
    """How days on a climbing trip alternate, and the hour they begin."""

    climbing: int
    resting: int
    begins: int


@cache
def trip_days() -> TripDays:
    return TripDays(**table("blocks")["trip_days"])


@cache
def usual_hours() -> dict[str, int]:
    """Hours of the day between which training falls where only an amount of time is known."""
    return dict(table("blocks")["usual_hours"])


class Gain(Word):
    """Piecewise linear, concave: state of a quality by its relative fitness."""

    fitness: tuple[float, ...]
    state: tuple[float, ...]
    sources: tuple[str, ...]

    @property
    def segments(self) -> tuple[tuple[float, float], ...]:
        """(width, slope) of each straight part, slopes falling."""
        steps = zip(self.fitness, self.fitness[1:], self.state, self.state[1:], strict=False)
        return tuple((x2 - x1, (y2 - y1) / (x2 - x1)) for x1, x2, y1, y2 in steps)

    def __call__(self, fitness: float) -> float:
        total, left = self.state[0], max(0.0, fitness - self.fitness[0])
        for width, slope in self.segments:
            total += slope * min(width, left)
            left = max(0.0, left - width)
        return total


class ResponseTable(Word):
    """Constants of the response model, with units in their names."""

    tau_days: dict[Quality, float]
    fatigue_tau_days: float
    fatigue_weight: float
    gain: Gain
    day_worth: float
    state_worth: float
    priority_worth: tuple[float, float, float]
    gap: float
    leverage: tuple[float, float, float, float, float]
    default_level: int
    before_share: float
    before_weeks: int = Field(ge=1)
    demands: dict[Discipline, dict[Quality, int]]


@cache
def response_table() -> ResponseTable:
    raw = table("response")
    return ResponseTable(
        tau_days={quality: raw["tau_days"][quality.value] for quality in Quality},
        fatigue_tau_days=raw["fatigue"]["tau_days"],
        fatigue_weight=raw["fatigue"]["weight"],
        gain=Gain(**raw["gain"]),
        day_worth=raw["worth"]["day"],
        state_worth=raw["worth"]["state"],
        priority_worth=tuple(raw["worth"]["priority"]),
        gap=raw["limiter"]["gap"],
        leverage=tuple(raw["limiter"]["leverage"]),
        default_level=raw["limiter"]["default_level"],
        before_share=raw["before"]["share"],
        before_weeks=raw["before"]["weeks"],
        demands=raw["demands"],
    )


def keep_points(level: str) -> float:
    """Points that a day changed today costs: high, medium or low."""
    return float(table("response")["keep"][level])


def keep_share(days_ahead: int) -> float:
    """What a day changed so far ahead costs, as a share of one changed today."""
    keep = table("response")["keep"]
    return float(
        keep["far_share"] + (1 - keep["far_share"]) * exp(-days_ahead / keep["fading_days"])
    )


def same_grade(grade: str, *, scale: str, wanted: str) -> str | None:
    """`grade` of one scale in another, by the table of `shared/grades.toml`, or None.

    Rope scales: French, YDS, UIAA, Ewbank. Boulder scales: Font, V.
    Source: see the head of that file; most rows are from memory.
    """
    raw = table("grades")
    for rows in (raw["rope"], raw["boulder"]):
        for row in rows:
            if row.get(scale.lower()) == grade:
                found = row.get(wanted.lower())
                return None if found is None else str(found)
    return None
