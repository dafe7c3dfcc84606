"""Dew point and humidity from each other, by the Magnus form (°C, %).

Source: Alduchov & Eskridge 1996; constants in `shared/conditions.toml`.
"""

from __future__ import annotations

from math import exp, log

from seasonplan.conditions.settings import Magnus, over_water

DRIEST = 0.1  # humidity in %, below which a logarithm would run away


def pressure(temperature: float, magnus: Magnus) -> float:
    """Saturation vapour pressure in hPa."""
    return magnus.prefactor * exp(magnus.a * temperature / (magnus.b + temperature))


def dew_point(temperature: float, humidity: float) -> float:
    """Dew point over water in °C, also below freezing; humidity in %."""
    return _point(pressure(temperature, over_water()) * max(humidity, DRIEST) / 100, over_water())


def humidity(temperature: float, dew_point: float) -> float:
    """Relative humidity over water in %, at most 100."""
    share = pressure(dew_point, over_water()) / pressure(temperature, over_water())
    return min(100.0, 100 * share)


def point_name(value: float) -> str:
    """What to call a dew point: below 0 °C a reader may take it for the frost point."""
    return "dew point" if value >= 0 else "dew point over water (the frost point is higher)"


def _point(vapour: float, magnus: Magnus) -> float:
    """The temperature at which `vapour` hPa saturates."""
    gamma = log(vapour / magnus.prefactor)
    return magnus.b * gamma / (magnus.a - gamma)
