"""Amounts of weather in their units, as numbers or text, turned into °C, mm and m/s.

Factors are exact by definition (international yard and pound of 1959, nautical mile of 1929;
from memory). Knows no file and no place.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from math import isfinite
from typing import Annotated, Any

from pydantic import BeforeValidator

from seasonplan.year.refusal import refuse, shown

TEMPERATURES: Mapping[str, Callable[[float], float]] = {
    "C": lambda value: value,
    "F": lambda value: (value - 32) / 1.8,
}
RAINS: Mapping[str, Callable[[float], float]] = {
    "mm": lambda value: value,
    "in": lambda value: value * 25.4,
}
WINDS: Mapping[str, Callable[[float], float]] = {
    "m/s": lambda value: value,
    "km/h": lambda value: value / 3.6,
    "mph": lambda value: value * 0.44704,
    "kn": lambda value: value * 1852 / 3600,
}
_AMOUNT = re.compile(r"([+-]?\d+(?:\.\d+)?)\s*°?\s*([A-Za-z/]+)")


def _reader(units: Mapping[str, Callable[[float], float]], what: str) -> Callable[[Any], float]:
    """Reads a number in the first of `units`, or text that names its unit."""
    first = next(iter(units))

    def read(value: Any) -> float:
        if isinstance(value, (int, float)) and not isinstance(value, bool) and isfinite(value):
            return float(value)
        match = _AMOUNT.fullmatch(value.strip()) if isinstance(value, str) else None
        if match is not None and match[2] in units:
            return units[match[2]](float(match[1]))
        other = list(units)[-1]
        raise refuse(
            found=shown(value),
            wanted=f"{what} in {first}, or text with one of {', '.join(units)}",
            do=f'Write 10, or `"10 {other}"` with the unit.',
        )

    return read


Celsius = Annotated[float, BeforeValidator(_reader(TEMPERATURES, "a temperature"))]
Millimetres = Annotated[float, BeforeValidator(_reader(RAINS, "an amount of rain"))]
MetresASecond = Annotated[float, BeforeValidator(_reader(WINDS, "a wind speed"))]
