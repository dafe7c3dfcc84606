"""The next days: what a forecast makes of the record's chance, day by day.

A forecast is trusted less the further it looks (`shared/conditions.toml`, a preference); what
is left of the weight goes to the record. Knows no file and reads no clock.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from types import MappingProxyType

from seasonplan.conditions.climate import Climate
from seasonplan.conditions.records import Record
from seasonplan.conditions.settings import forecast_trust
from seasonplan.days import Span

NOTHING_LACKS: Mapping[date, tuple[date, ...]] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class NearDay:
    """A day ahead: the record's chance, the forecast's verdict, its weight, the chance now.

    Where the forecast has the day but no verdict, `lacking` are the days before it whose rain
    nobody knows; empty where it is a value of the day itself. None everywhere else.
    """

    day: date
    before: float
    forecast: bool | None
    weight: float
    chance: float
    lacking: tuple[date, ...] | None = None


@dataclass(frozen=True, slots=True)
class Near:
    """The days that a forecast looks at, from today on."""

    days: tuple[NearDay, ...]

    @property
    def before(self) -> float:
        """Good days to expect by the record alone."""
        return sum(each.before for each in self.days)

    @property
    def expected(self) -> float:
        """Good days to expect with the forecast."""
        return sum(each.chance for each in self.days)

    @property
    def chances(self) -> tuple[float, ...]:
        """The chance of each day to 0.01, never rounded down to none."""
        return tuple(
            max(0.01, round(each.chance, 2)) if each.chance > 0 else 0.0 for each in self.days
        )

    @property
    def matters(self) -> bool:
        """Whether the forecast changes enough to look at the plan again."""
        moved = sum(abs(each.chance - each.before) for each in self.days)
        return moved >= forecast_trust().matters_days


def narrowed(
    climate: Climate,
    forecast: Mapping[date, bool | None],
    *,
    today: date,
    lacking: Mapping[date, tuple[date, ...]] = NOTHING_LACKS,
) -> Near | None:
    """The chances of the next days, or None where the forecast says nothing of them.

    `lacking` tells of days without a verdict what `NearDay` says.
    """
    weights = forecast_trust().weight
    days = [
        _near_day(climate, today + timedelta(days=ahead), forecast, weight, lacking)
        for ahead, weight in enumerate(weights)
    ]
    while days and days[-1].forecast is None:
        days.pop()
    return Near(tuple(days)) if days else None


def _near_day(
    climate: Climate,
    day: date,
    forecast: Mapping[date, bool | None],
    weight: float,
    lacking: Mapping[date, tuple[date, ...]],
) -> NearDay:
    before, verdict = climate.chance_on(day), forecast.get(day)
    if verdict is None:
        return NearDay(day, before, None, 0.0, before, lacking.get(day))
    return NearDay(day, before, verdict, weight, weight * verdict + (1 - weight) * before)


def marked_days(spans: Iterable[Span], *, last: date, today: date) -> dict[date, bool]:
    """A calendar of good days as a forecast: each day up to `last` is in it or is not good."""
    good = {day for span in spans for day in span.days()}
    ahead = range((last - today).days + 1)
    return {day: day in good for day in (today + timedelta(days=n) for n in ahead)}


def joined(record: Record, forecast: Record) -> Record:
    """Forecast days after the record's, so that its first days know what rain came before."""
    return Record(
        forecast.file, forecast.digest, {**record.days, **forecast.days}, forecast.oddities
    )
