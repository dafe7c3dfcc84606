"""Many drawn climbers under one plan: how far a model's answer would be another for each of them.

Their constants lie around those of the response, their start around what is known of it:
`[range]` in `shared/response.toml`. The same draws every time. Knows no goal.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cache, cached_property
from typing import TYPE_CHECKING, Any

from seasonplan.body.response import (
    NOTHING,
    QUALITIES,
    SHORTEST_DAYS,
    Body,
    Training,
    body_of,
    tiled,
)
from seasonplan.rules.tables import table
from seasonplan.vocabulary import FrozenModel
from seasonplan.year import Year

if TYPE_CHECKING:
    import numpy as np

    Array = np.ndarray[Any, np.dtype[np.float64]]

SEED = 1


class RangeTable(FrozenModel):
    """How far predictions are drawn apart: standard deviations of the logarithm, and quantiles."""

    draws: int
    most: float
    half: float
    tau: float
    start_told: float
    start_unknown: float
    low: float
    high: float
    weather_spread: float
    sources: tuple[str, ...]


@cache
def range_table() -> RangeTable:
    """The numbers of `[range]`."""
    return RangeTable(**table("response")["range"])


class Range(FrozenModel):
    """Low, middle and high: one life in ten lies below the low, one in ten above the high."""

    low: float
    middle: float
    high: float


def quantiles(values: Array) -> list[Range]:
    """The range of each column of (lives, columns)."""
    import numpy as np

    drawn = range_table()
    rows = np.quantile(values, (drawn.low, 0.5, drawn.high), axis=0)
    return [Range(low=float(low), middle=float(mid), high=float(high)) for low, mid, high in rows.T]


@dataclass(frozen=True)
class _Constants:
    """Arrays of (lives, qualities)."""

    most: Array
    half: Array
    tau: Array
    start: Array


class Lives:
    """Levels of many drawn climbers under one plan: arrays of (lives, qualities)."""

    def __init__(self, year: Year, done: Sequence[Training]) -> None:
        self._year, self._done = year, done
        self._known: dict[date, Array] = {}

    @cached_property
    def _drawn(self) -> _Constants:
        return _constants(self._year)

    @property
    def start(self) -> Array:
        """Levels on the first morning of the year."""
        return self._drawn.start

    def on(self, day: date) -> Array:
        """Levels on a morning."""
        if day not in self._known:
            levels = self.start
            for training in self._weeks():
                if training.span.first >= day:
                    break
                days = (min(day, training.span.after) - training.span.first).days
                levels = self._towards(levels, training, days)
            self._known[day] = levels
        return self._known[day]

    def mornings(self) -> Iterator[tuple[date, Array]]:
        """Levels on every morning of the year."""
        levels = self.start
        for training in self._weeks():
            for passed, day in enumerate(training.span.days()):
                yield day, self._towards(levels, training, passed)
            levels = self._towards(levels, training, training.span.length)

    def _weeks(self) -> Iterator[Training]:
        """What was done, and nothing in the days between."""
        for span, training in tiled(self._year.span, self._done):
            yield training or Training(span, NOTHING, 0.0)

    def _towards(self, levels: Array, training: Training, days: int) -> Array:
        """Levels after so many days of a week."""
        import numpy as np

        drawn = self._drawn
        week = np.array(training.dose) * 7 / max(training.span.length, SHORTEST_DAYS)
        target = drawn.most * week / (week + drawn.half)
        moved: Array = target + (levels - target) * np.exp(-days / drawn.tau)
        return moved


def _constants(year: Year) -> _Constants:
    import numpy as np

    table, body = range_table(), body_of(year)
    draw = np.random.default_rng(SEED)
    size = (table.draws, len(QUALITIES))

    def around(values: tuple[float, ...], spread: float) -> Array:
        found: Array = np.array(values) * np.exp(spread * draw.standard_normal(size))
        return found

    told = year.before.hard_finger_sessions is not None
    most, half, tau = (
        around(body.most, table.most), around(body.half, table.half), around(body.tau, table.tau)
    )  # fmt: skip
    past = around(_past(body), table.start_told if told else table.start_unknown)
    return _Constants(most, half, tau, most * past / (past + half))


def _past(body: Body) -> tuple[float, ...]:
    """The weekly dose that the start levels stand for."""
    return tuple(
        half * start / (most - start)
        for most, half, start in zip(body.most, body.half, body.start, strict=True)
    )
