"""The numbers of `shared/conditions.toml` under their names. Knows no record and no place."""

from __future__ import annotations

from functools import cache
from typing import Any

from seasonplan.rules.tables import table
from seasonplan.vocabulary import FrozenModel


class Smoothing(FrozenModel):
    width_days: float
    extra_width_days: float
    prior_days: float
    sources: tuple[str, ...]

    def width(self, years: float) -> float:
        """Standard deviation of the weights in days, wider for short records."""
        return self.width_days + self.extra_width_days / max(years, 1.0)


class SpreadSettings(FrozenModel):
    overdispersion: float
    prior_years: float
    low: float
    high: float
    stretch_days: int
    sources: tuple[str, ...]


class Magnus(FrozenModel):
    """e = prefactor * exp(a T / (b + T)), in hPa with T in °C."""

    a: float
    b: float
    prefactor: float
    sources: tuple[str, ...]


class ReadingSettings(FrozenModel):
    missing: frozenset[str]
    trace: frozenset[str]
    most_bytes: int
    most_faults: int
    years: tuple[int, int]
    sources: tuple[str, ...]


class Doubting(FrozenModel):
    """When a record is hard to believe; °C, mm, degrees of latitude."""

    desert_rain: float
    year_days: int
    hottest_mean: float
    hot_up_to_degrees: float
    cooler_by_degree: float
    month_days: int
    seasons_from_degrees: float
    turned_by: float
    half_daily_range: float
    most_lines: int
    sources: tuple[str, ...]


class ForecastTrust(FrozenModel):
    weight: tuple[float, ...]
    matters_days: float
    sources: tuple[str, ...]


def _section(name: str) -> dict[str, Any]:
    return dict(table("conditions")[name])


@cache
def smoothing() -> Smoothing:
    return Smoothing(**_section("smoothing"))


@cache
def spread() -> SpreadSettings:
    return SpreadSettings(**_section("spread"))


@cache
def over_water() -> Magnus:
    return Magnus(**_section("dew_point"))


@cache
def reading() -> ReadingSettings:
    return ReadingSettings(**_section("reading"))


@cache
def doubting() -> Doubting:
    return Doubting(**_section("doubts"))


@cache
def forecast_trust() -> ForecastTrust:
    return ForecastTrust(**_section("forecast"))


@cache
def plausible(measure: str) -> tuple[float, float]:
    """Lowest and highest value that weather can have; °C, mm, %, m/s."""
    low, high = _section("plausible")[measure]
    return float(low), float(high)


def few_years() -> int:
    return int(_section("years")["few"])


def least_hours_share() -> float:
    return float(_section("hours")["least_share"])


@cache
def horizon_degrees() -> float:
    return float(_section("sun")["horizon_degrees"])
