"""What a plan lets one expect, with ranges: days on rock, good ones by chance, change of qualities.

A model, not a measurement. The range of a change comes from drawn constants of the response and
from how little is known of the start; that of good days from chance and from weather that comes in
spells. Constants: `[range]` in `shared/response.toml`. Knows no rule and no planner.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from math import sqrt
from typing import TYPE_CHECKING, Any

from seasonplan.body.almanac import Almanac, almanac_of
from seasonplan.body.response import QUALITIES, Body, Training, body_of, trainings
from seasonplan.days import Span
from seasonplan.plan import Block, Occasion, Session
from seasonplan.recipes import Recipe
from seasonplan.rules.tables import range_table
from seasonplan.vocabulary import FrozenModel, Quality
from seasonplan.year import Year

if TYPE_CHECKING:
    import numpy as np

    Array = np.ndarray[Any, np.dtype[np.float64]]

NORMAL_80 = 1.2816  # standard deviations to either side that hold 80 % of a normal distribution
SEED = 1
TOLD = (
    Quality.FINGER_STRENGTH,
    Quality.POWER,
    Quality.POWER_ENDURANCE,
    Quality.ENDURANCE,
)  # never movement (nothing measures it), never fitness (it means little to a climber)


class Range(FrozenModel):
    """Low, middle and high: one life in ten lies below the low, one in ten above the high."""

    low: float
    middle: float
    high: float


class QualityChange(FrozenModel):
    """Predicted change of a quality's test value between two days, in per cent. A model."""

    quality: Quality
    percent: Range


class GoalOutlook(FrozenModel):
    """A goal at one season, window or trip: days on rock planned, good ones to expect, and form.

    `good_days` is None where all of it is over. `changes` are since `since`, up to the morning of
    the first day on rock.
    """

    goal: str
    entry: str
    span: Span
    rock_days: int
    good_days: Range | None
    since: date
    changes: tuple[QualityChange, ...]


class Outlook(FrozenModel):
    """What a plan lets one expect. `start_known`: hard finger sessions before were told."""

    goals: tuple[GoalOutlook, ...]
    start_known: bool
    since: date


def outlook(
    year: Year, blocks: Sequence[Block], sessions: Sequence[Session],
    occasions: Sequence[Occasion], *, book: Mapping[str, Recipe], since: date | None = None,
) -> Outlook:  # fmt: skip
    """What a plan lets one expect; changes are counted from `since`, or the year's first day.

    Occasions that the year no longer has, as it was changed after the plan, are left out.
    """
    almanac = almanac_of(year)
    day = min(max(since or year.span.first, year.span.first), year.span.last)
    drawn = _Drawn(year, trainings(blocks, sessions, book))
    told = (_goal(one, almanac, sessions, drawn, day) for one in occasions)
    goals = tuple(goal for goal in told if goal is not None)
    known = year.before.hard_finger_sessions is not None
    return Outlook(goals=goals, start_known=known, since=day)


def _goal(
    occasion: Occasion, almanac: Almanac, sessions: Sequence[Session], drawn: _Drawn, since: date
) -> GoalOutlook | None:
    found = (
        chance.chances
        for chance in almanac.opportunities
        if (chance.goal.id, chance.spell.entry.id) == (occasion.goal, occasion.entry)
        and min(chance.chances) == occasion.span.first
    )
    chances = next(found, None)
    if chances is None:
        return None
    days = sorted({s.day for s in sessions if s.rock == occasion.entry and s.day in chances})
    used = [chances[day] for day in days if day >= since]
    arrives = days[0] if days else occasion.span.first
    return GoalOutlook(
        goal=occasion.goal, entry=occasion.entry, span=occasion.span, rock_days=len(days),
        good_days=good_days(used) if used else None, since=since,
        changes=drawn.changes(since, max(arrives, since)),
    )  # fmt: skip


def good_days(chances: Sequence[float]) -> Range:
    """Good days to expect of days with these chances; weather comes in spells, so a wide range."""
    mean = sum(chances)
    spread = sqrt(range_table().weather_spread * sum(p * (1 - p) for p in chances))
    return Range(
        low=max(0.0, mean - NORMAL_80 * spread),
        middle=mean,
        high=min(float(len(chances)), mean + NORMAL_80 * spread),
    )


# --- drawn lives --------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Lives:
    """Constants of many drawn climbers: arrays of (lives, qualities)."""

    most: Array
    half: Array
    tau: Array
    start: Array


class _Drawn:
    """Levels of many drawn climbers under one plan. The same draws every time."""

    def __init__(self, year: Year, done: Sequence[Training]) -> None:
        self._year = year
        self._done = done
        self._lives = _drawn_lives(year)
        self._known: dict[date, Array] = {}

    def changes(self, first: date, last: date) -> tuple[QualityChange, ...]:
        """Change of the told qualities between the mornings of two days."""
        import numpy as np

        table = range_table()
        ratio = 100 * ((1 + self._on(last)) / (1 + self._on(first)) - 1)
        low, middle, high = np.quantile(ratio, (table.low, 0.5, table.high), axis=0)
        return tuple(
            QualityChange(
                quality=quality,
                percent=Range(low=float(low[n]), middle=float(middle[n]), high=float(high[n])),
            )
            for n, quality in enumerate(QUALITIES)
            if quality in TOLD
        )

    def _on(self, day: date) -> Array:
        """Levels on a morning, (lives, qualities)."""
        import numpy as np

        if day in self._known:
            return self._known[day]
        lives = self._lives
        levels, at = lives.start, self._year.span.first
        for training in self._done:
            if training.span.first >= day:
                break
            if training.span.first > at:
                levels = levels * np.exp(-(training.span.first - at).days / lives.tau)
            week = np.array(training.dose) * 7 / max(training.span.length, 4)
            target = lives.most * week / (week + lives.half)
            days = (min(day, training.span.after) - training.span.first).days
            levels = target + (levels - target) * np.exp(-days / lives.tau)
            at = min(day, training.span.after)
        if at < day:
            levels = levels * np.exp(-(day - at).days / lives.tau)
        self._known[day] = levels
        return levels


def _drawn_lives(year: Year) -> _Lives:
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
    return _Lives(most, half, tau, most * past / (past + half))


def _past(body: Body) -> tuple[float, ...]:
    """The weekly dose that the start levels stand for."""
    return tuple(
        half * start / (most - start)
        for most, half, start in zip(body.most, body.half, body.start, strict=True)
    )
