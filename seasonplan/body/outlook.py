"""What a plan lets one expect, with ranges: days on rock, good ones by chance, change of qualities.

A model, not a measurement. The range of a change comes from drawn constants of the response and
from how little is known of the start; that of good days from chance and from weather that comes in
spells. Constants: `[range]` in `shared/response.toml`. Knows no rule and no planner.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from math import sqrt

from seasonplan.body.almanac import Almanac, almanac_of
from seasonplan.body.lives import Lives, Range, quantiles, range_table
from seasonplan.body.response import QUALITIES, trainings
from seasonplan.days import Span
from seasonplan.plan import Block, Occasion, Session
from seasonplan.recipes import Recipe
from seasonplan.vocabulary import FrozenModel, Quality
from seasonplan.year import Year

NORMAL_80 = 1.2816  # standard deviations to either side that hold 80 % of a normal distribution
TOLD = (
    Quality.FINGER_STRENGTH,
    Quality.POWER,
    Quality.POWER_ENDURANCE,
    Quality.ENDURANCE,
)  # never movement (nothing measures it), never fitness (it means little to a climber)


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
    done: Mapping[date, float] | None = None,
) -> Outlook:  # fmt: skip
    """What a plan lets one expect; changes are counted from `since`, or the year's first day.

    `done` says of weeks missed in part how much of them was done, by their first day.
    Occasions that the year no longer has, as it was changed after the plan, are left out.
    """
    almanac = almanac_of(year)
    day = min(max(since or year.span.first, year.span.first), year.span.last)
    drawn = Lives(year, trainings(blocks, sessions, book, done))
    told = (_goal(one, almanac, sessions, drawn, day) for one in occasions)
    goals = tuple(goal for goal in told if goal is not None)
    known = year.before.hard_finger_sessions is not None
    return Outlook(goals=goals, start_known=known, since=day)


def _goal(
    occasion: Occasion, almanac: Almanac, sessions: Sequence[Session], drawn: Lives, since: date
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
        changes=_changes(drawn, since, max(arrives, since)),
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


def _changes(drawn: Lives, first: date, last: date) -> tuple[QualityChange, ...]:
    """Change of the told qualities between the mornings of two days."""
    found = quantiles(100 * ((1 + drawn.on(last)) / (1 + drawn.on(first)) - 1))
    return tuple(
        QualityChange(quality=quality, percent=percent)
        for quality, percent in zip(QUALITIES, found, strict=True)
        if quality in TOLD
    )
