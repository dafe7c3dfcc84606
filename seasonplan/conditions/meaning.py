"""What the climber calls good, in a line: also kept in the year file as part of a provenance."""

from __future__ import annotations

from collections.abc import Iterator

from seasonplan.conditions import moisture
from seasonplan.year.place import Good


def meaning(good: Good, *, hourly: bool) -> str:
    """What the climber calls good, in a line."""
    return "; ".join(_conditions(good, hourly=hourly))


def _conditions(good: Good, *, hourly: bool) -> Iterator[str]:
    if good.temperature is not None:
        low, high = good.temperature
        yield f"{low:.4g} to {high:.4g} °C" + ("" if hourly else " at the day's highest")
    if good.highest_dew_point is not None:
        name = moisture.point_name(good.highest_dew_point)
        yield f"{name} at most {good.highest_dew_point:.4g} °C"
    if good.highest_humidity is not None:
        yield f"humidity at most {good.highest_humidity:.4g} %"
    if good.highest_wind is not None:
        yield f"wind at most {good.highest_wind:.4g} m/s"
    if good.rain_below is not None:
        before = {0: "", 1: " and the day before"}.get(
            good.dry_days_before, f" and the {good.dry_days_before} days before"
        )
        yield f"rain below {good.rain_below:.4g} mm that day{before}"
    if hourly and not good.asks_wall:
        yield f"{good.hours:g} daylight hours of that or more"
    if good.shade_hours:
        yield f"{good.shade_hours:g} daylight hours or more in the shade"
    if good.sun_hours:
        yield f"{good.sun_hours:g} hours or more in the sun"
