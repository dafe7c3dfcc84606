"""How load becomes form, and form and good days become worth.

Load raises fitness in each quality and fatigue; both fade exponentially (Morton, Fitz-Clarke &
Banister 1990). State is a concave function of fitness less fatigue, because the linear model
alone would train flat out and stop (see DEVELOPERS.md). Constants: `shared/response.toml`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from math import exp

from seasonplan.almanac import Almanac, Opportunity
from seasonplan.days import ONE_DAY, Span
from seasonplan.plan import Block, Loads, Occasion
from seasonplan.reference import profile, response_table
from seasonplan.vocabulary import CHOSEN, Kind, Quality
from seasonplan.year import Goal, Year

# --- the textbook curves ------------------------------------------------------------------


def evenings(loads: Iterable[float], *, tau_days: float, start: float = 0.0) -> list[float]:
    """Level on each evening: g <- g e^(-1/tau) + load. Source: Morton et al. 1990."""
    level, levels = start, []
    for load in loads:
        level = level * exp(-1 / tau_days) + load
        levels.append(level)
    return levels


# --- this climber -------------------------------------------------------------------------


def quality_weights(goal: Goal, year: Year) -> dict[Quality, float]:
    """How much each quality counts for a goal, adding up to 1.

    Its demand, more where the climber rates themselves below it, and for strength and power
    more for the skilled. Source: preferences in `shared/response.toml`.
    """
    constants = response_table()
    demands = {**constants.demands[goal.discipline], **goal.demands}
    level = dict.fromkeys(Quality, constants.default_level) | year.climber.level
    leverage = constants.leverage[level[Quality.MOVEMENT] - 1]
    raw = {
        quality: demands[quality]
        * (1 + constants.gap * max(0, demands[quality] - level[quality]))
        * (leverage if quality in (Quality.FINGER_STRENGTH, Quality.POWER) else 1.0)
        for quality in Quality
    }
    return {quality: value / sum(raw.values()) for quality, value in raw.items()}


def full_week_minutes(year: Year) -> float:
    """Minutes of a usual week without its weekday of least time."""
    routine = year.climber.minutes
    return float(routine.week - min(routine.on(weekday) for weekday in range(7)))


def full_week_load(year: Year) -> float:
    """Load (RPE x minutes) of a full base week."""
    base = profile(Kind.BASE)
    return full_week_minutes(year) * base.volume_in("") * base.rpe


def steady(tau_days: float) -> float:
    """Morning level of one unit of load a day for ever."""
    return 1 / (exp(1 / tau_days) - 1)


@dataclass(frozen=True, slots=True)
class Scale:
    """What relative fitness and fatigue of 1 mean for this climber, and where they start."""

    fitness: Mapping[Quality, float]
    fatigue: float
    start_fitness: Mapping[Quality, float]
    start_fatigue: float


def scale_of(year: Year) -> Scale:
    """Full fitness is the quality trained fully for ever; fatigue 1 is the hardest week for ever.

    Starting levels come from the recent weekly loads, taken as base weeks (newest last).
    """
    constants = response_table()
    day_minutes = full_week_minutes(year) / 7
    full = {
        kind: day_minutes * profile(kind).volume_in("") * profile(kind).rpe
        for kind in CHOSEN
        if kind is not Kind.REST
    }
    most = {q: max(full[kind] * profile(kind).mix.of(q) for kind in full) for q in Quality}
    before = daily_before(year)
    mix = profile(Kind.BASE).mix
    tau, slow = constants.tau_days, constants.fatigue_tau_days
    return Scale(
        fitness={q: most[q] * steady(tau[q]) for q in Quality},
        fatigue=max(full.values()) * steady(slow),
        start_fitness={
            q: evenings((load * mix.of(q) for load in before), tau_days=tau[q])[-1] for q in Quality
        },
        start_fatigue=evenings(before, tau_days=slow)[-1],
    )


def weekly_before(year: Year) -> tuple[float, ...]:
    """Weekly loads before the year, oldest first: as entered, or a share of full base weeks."""
    if year.before.weekly_load:
        return year.before.weekly_load
    constants = response_table()
    return (constants.before_share * full_week_load(year),) * constants.before_weeks


def daily_before(year: Year) -> list[float]:
    return [load / 7 for load in weekly_before(year) for _ in range(7)]


# --- a plan -------------------------------------------------------------------------------


def daily_loads(blocks: Sequence[Block]) -> dict[date, Loads]:
    """Load of each day by quality; a week's load is spread evenly over its days."""
    loads: dict[date, Loads] = {}
    for block in blocks:
        for week in block.weeks:
            share = 1 / week.span.length
            day_loads = Loads(**{q.value: week.loads.of(q) * share for q in Quality})
            for day in week.span.days():
                loads[day] = day_loads
    return loads


@dataclass(frozen=True, slots=True)
class Morning:
    """Form on one morning: relative fitness by quality and relative fatigue."""

    fitness: Mapping[Quality, float]
    fatigue: float

    def state(self, weights: Mapping[Quality, float]) -> float:
        """Predicted state for a goal: about 0 untrained, 1 best trained and fresh."""
        constants = response_table()
        return (
            sum(weights[q] * constants.gain(self.fitness[q]) for q in Quality)
            - constants.fatigue_weight * self.fatigue
        )


def mornings(year: Year, blocks: Sequence[Block]) -> dict[date, Morning]:
    """Form on every morning of the year under these blocks."""
    constants, scale, loads = response_table(), scale_of(year), daily_loads(blocks)
    fade = {q: exp(-1 / constants.tau_days[q]) for q in Quality}
    fade_fatigue = exp(-1 / constants.fatigue_tau_days)
    level, tired = dict(scale.start_fitness), scale.start_fatigue
    found = {}
    nothing = Loads()
    for day in year.span.days():
        level = {q: level[q] * fade[q] for q in Quality}
        tired *= fade_fatigue
        found[day] = Morning(
            {q: level[q] / scale.fitness[q] for q in Quality}, tired / scale.fatigue
        )
        today = loads.get(day, nothing)
        level = {q: level[q] + today.of(q) for q in Quality}
        tired += today.total
    return found


def average(forms: Mapping[date, Morning], chances: Mapping[date, float]) -> Morning:
    """Mean form over days weighted by the chance that they are good."""
    total = sum(chances.values())
    return Morning(
        {
            q: sum(forms[day].fitness[q] * chance for day, chance in chances.items()) / total
            for q in Quality
        },
        sum(forms[day].fatigue * chance for day, chance in chances.items()) / total,
    )


def performing_days(almanac: Almanac, blocks: Sequence[Block]) -> frozenset[date]:
    """Days of performance blocks and of climbing trips of any length."""
    performing = {
        day
        for block in blocks
        if block.kind in (Kind.PERFORMANCE, Kind.TRIP)
        for day in block.span.days()
    }
    short = {day for day in almanac.span.days() if almanac.short_trip(day)}
    return frozenset(performing | short)


def occasions(almanac: Almanac, blocks: Sequence[Block]) -> tuple[Occasion, ...]:
    """What the plan makes of each goal at each season spell, window or trip."""
    forms = mornings(almanac.year, blocks)
    performing = performing_days(almanac, blocks)
    return tuple(
        occasion(
            chance,
            good_days=sum(share for day, share in chance.chances.items() if day in performing),
            state=average(forms, chance.chances).state(quality_weights(chance.goal, almanac.year)),
        )
        for chance in almanac.opportunities
    )


def occasion(chance: Opportunity, *, good_days: float, state: float) -> Occasion:
    span = Span(min(chance.chances), max(chance.chances) + ONE_DAY)
    return Occasion(
        goal=chance.goal.id,
        entry=chance.spell.entry.id,
        span=span,
        possible=chance.possible,
        good_days=good_days,
        state=state,
    )


def worth(found: Occasion, *, priority: int) -> float:
    """Points of one occasion: good days, and the state on them, by priority.

    State counts on the days performed: the concave envelope of good days x state.
    """
    constants = response_table()
    cap = constants.gain.state[-1]
    form_days = min(found.possible * found.state, found.good_days * cap)
    return constants.priority_worth[priority - 1] * (
        constants.day_worth * found.good_days + constants.state_worth * form_days
    )
