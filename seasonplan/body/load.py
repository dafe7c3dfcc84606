"""What daily loads add up to: weekly load, monotony, strain and change of load.

Load is RPE x minutes (Foster 1998, Med Sci Sports Exerc 30(7):1164-1168, abstract read). Every
figure describes load and how it changes; none says anything about the chance of an injury
(Impellizzeri et al. 2020, Sports Med, doi 10.1007/s40279-020-01378-6, abstract read). Takes
loads and dates; knows no plan, no diary and no rule, and gives None where a figure is undefined.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from statistics import fmean, stdev
from typing import Final

from seasonplan.days import Span
from seasonplan.vocabulary import FrozenModel

# Foster 1998 does not say which SD in what was read of it; the sample SD is this project's choice.
# With the population SD, monotony and strain of seven days would be sqrt(7/6) = 1.08 times as high.
SD: Final = stdev
# Days alike but for rounding count as equal: a share of the mean far below any real difference.
EQUAL_DAYS: Final = 1e-9
# Williams et al. 2017, Br J Sports Med 51(3):209-210 (read): "typically 7 and 28 days".
ACUTE_DAYS: Final = 7
CHRONIC_DAYS: Final = 28


class LoadFigures(FrozenModel):
    """Loads of one span; `change_*` compares its last 7 days with its last 28.

    `days` counts the days of the span that are on record. Strain grows with the length of the
    span, so compare it only between spans of one length.
    """

    span: Span
    days: int
    total: float
    mean: float | None
    monotony: float | None
    strain: float | None
    change_rolling: float | None
    change_ewma: float | None


# --- one span of days ---------------------------------------------------------------------


def monotony(daily: Sequence[float]) -> float | None:
    """Daily mean over the sample SD, rest days counted; None with fewer than two or equal days.

    Source: Foster 1998 (abstract read), for the seven days of a week.
    """
    if len(daily) < 2:
        return None
    mean, spread = fmean(daily), SD(daily)
    return None if spread <= EQUAL_DAYS * mean else mean / spread


def strain(daily: Sequence[float]) -> float | None:
    """Total load x monotony; None where monotony is. Source: Foster 1998 (abstract read)."""
    sameness = monotony(daily)
    return None if sameness is None else sum(daily) * sameness


# --- change of load -----------------------------------------------------------------------


def rolling_coupled(loads: Sequence[float]) -> float | None:
    """Mean of the last 7 days over that of the last 28, those 7 among them; oldest load first.

    None with fewer than 28 days or no load in them. Source: Williams et al. 2017 (read).
    """
    return _ratio(loads[-ACUTE_DAYS:], loads[-CHRONIC_DAYS:]) if _enough(loads) else None


def ewma(loads: Sequence[float], *, days: int) -> list[float]:
    """Exponentially weighted mean on each evening, weight 2 / (days + 1), seeded with day one.

    Source: Williams et al. 2017 (read); the weight from memory, the formula's image was missing.
    """
    weight = 2 / (days + 1)
    levels = list(loads[:1])
    for load in loads[1:]:
        levels.append(weight * load + (1 - weight) * levels[-1])
    return levels


def ewma_ratio(loads: Sequence[float]) -> float | None:
    """Weighted mean of 7 days over that of 28, on the last day; oldest load first.

    None with fewer than 28 days, when the seed still decides most of it, or without any load.
    Source: Williams et al. 2017 (read).
    """
    if not _enough(loads):
        return None
    acute, chronic = (ewma(loads, days=days)[-1] for days in (ACUTE_DAYS, CHRONIC_DAYS))
    return acute / chronic if chronic > 0 else None


def _enough(loads: Sequence[float]) -> bool:
    return len(loads) >= CHRONIC_DAYS


def _ratio(acute: Sequence[float], chronic: Sequence[float]) -> float | None:
    usual = fmean(chronic)
    return fmean(acute) / usual if usual > 0 else None


# --- weeks and blocks ---------------------------------------------------------------------


def span_figures(daily: Mapping[date, float], span: Span) -> LoadFigures:
    """The figures of a week or a block.

    The record begins at the earliest day of `daily`: a later day that is missing is a day without
    load, an earlier one is unknown and left out. `change_rolling` is the coupled ratio.
    """
    record = _record(daily, span)
    inside = record[-span.length :]
    return LoadFigures(
        span=span,
        days=len(inside),
        total=sum(inside),
        mean=fmean(inside) if inside else None,
        monotony=monotony(inside),
        strain=strain(inside),
        change_rolling=rolling_coupled(record),
        change_ewma=ewma_ratio(record),
    )


def _record(daily: Mapping[date, float], span: Span) -> list[float]:
    """Loads from the first day on record to the last day of `span`, oldest first."""
    first = min(daily, default=span.after)
    if first >= span.after:
        return []
    return [daily.get(day, 0.0) for day in Span(first, span.after).days()]
