"""One cell of a weather record: a number in °C, mm, % or m/s, a missing value, or a fault."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterable

from seasonplan.conditions.complaints import Complaints
from seasonplan.conditions.settings import plausible, reading
from seasonplan.year.measures import RAINS, TEMPERATURES, WINDS
from seasonplan.year.place import Units

_NINES = re.compile(r"[+-]?0*9{2,}(?:[.,][09]*)?")  # 999.9, -9999, 99.00: how files say "none"
KINDS = {
    "highest": "temperature", "lowest": "temperature", "temperature": "temperature",
    "dew_point": "temperature", "humidity": "humidity", "rain": "rain", "wind": "wind",
}  # fmt: skip
SIGNS = {"temperature": "°C", "humidity": "%", "rain": "mm", "wind": "m/s"}


class Cells:
    """Reads the cells of one file; counts what was missing and what was a trace of rain."""

    def __init__(
        self,
        units: Units,
        *,
        missing: Iterable[str],
        decimal_comma: bool,
        complaints: Complaints,
    ) -> None:
        self.traces = 0
        self.missing: Counter[str] = Counter()
        self._missing = reading().missing | {mark.casefold() for mark in missing}
        self._comma = decimal_comma
        self._complaints = complaints
        self._units = units
        self._turn: dict[str, Callable[[float], float]] = {
            "temperature": TEMPERATURES[units.temperature],
            "rain": RAINS[units.rain],
            "wind": WINDS[units.wind],
            "humidity": lambda value: value,
        }

    def number(self, text: str, measure: str, *, column: str, line: int) -> float | None:
        """The value in °C, mm, % or m/s; None where it is missing or faulty."""
        mark = text.casefold()
        if mark in self._missing:
            self.missing[measure] += 1
            return None
        kind = KINDS[measure]
        if kind == "rain" and mark in reading().trace:
            self.traces += 1
            return 0.0
        try:
            value = self._turn[kind](float(text.replace(",", ".") if self._comma else text))
        except ValueError:
            self._complain(column, line, repr(text), "a number", "Correct it, or name the mark "
                           'under missing = ["…"] if it stands for a missing value.')  # fmt: skip
            return None
        return self._within(value, kind, text, measure, column=column, line=line)

    def _within(
        self, value: float, kind: str, text: str, measure: str, *, column: str, line: int
    ) -> float | None:
        """The value if weather can be so; humidity a little over 100 is 100."""
        low, high = plausible(kind)
        if low <= value <= high:
            return min(value, 100.0) if kind == "humidity" else value
        if _NINES.fullmatch(text):
            self.missing[measure] += 1
            return None
        unit = f" {getattr(self._units, kind)}" if kind != "humidity" else " %"
        self._complain(
            column, line, f"{text}{unit}", f"{low:g} to {high:g} {SIGNS[kind]}",
            "Correct the value or the unit, or name it under missing.",
        )  # fmt: skip
        return None

    def _complain(self, column: str, line: int, found: str, wanted: str, do: str) -> None:
        self._complaints.add(column, line, found=found, wanted=wanted, do=do)
