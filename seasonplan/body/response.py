"""How sessions become form.

Each week's sessions give a dose of each quality; a dose draws the level of that quality towards a
value that saturates, with a time constant. Constants and their labels: `shared/response.toml`.
Knows no rule and no planner.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import exp, log, log1p
from statistics import fmean, median
from typing import Protocol

from seasonplan.days import ONE_DAY, Span
from seasonplan.injury import is_young
from seasonplan.plan import Block, Loads, Session
from seasonplan.recipes import Recipe
from seasonplan.rules.tables import ResponseTable, composing, response_table
from seasonplan.vocabulary import Quality
from seasonplan.year import Year

QUALITIES = tuple(Quality)
Dose = tuple[float, ...]  # of each quality, in the order of QUALITIES: load (RPE x minutes)
NOTHING: Dose = (0.0,) * len(QUALITIES)
SHORTEST_DAYS = 4  # the dose of a cut week of fewer days is not blown up to a whole week's

# --- dose -----------------------------------------------------------------------------------


class Trained(Protocol):
    """What a dose hangs on: load (RPE x minutes that count), and hangs."""

    @property
    def load(self) -> float: ...

    @property
    def hangs(self) -> int: ...


def session_dose(session: Trained, recipe: Recipe) -> Dose:
    """What one session gives to each quality; hangs by their hard seconds, never by minutes."""
    table = response_table()
    load = session.load
    dose = [load * share for share in recipe.shares]
    if recipe.hang_seconds:
        dose[0] = table.load_a_second * session.hangs * recipe.hang_seconds * _weight(recipe, table)
    return tuple(dose)


def _weight(recipe: Recipe, table: ResponseTable) -> float:
    """How much a second of a recipe's hangs counts against a second at 80 % and more."""
    return 1.0 if recipe.hard_hangs else table.light_share * fmean(recipe.hang_share)


def hard_seconds(session: Session, recipe: Recipe) -> int:
    """Seconds of hangs at 80 % or more of the own maximum."""
    return session.hangs * recipe.hang_seconds if recipe.hard_hangs else 0


def dose_of(sessions: Iterable[Session], book: Mapping[str, Recipe]) -> Dose:
    """The dose of some sessions together; those of a recipe that is gone count nothing."""
    doses = [session_dose(one, book[one.recipe]) for one in sessions if one.recipe in book]
    return tuple(map(sum, zip(*doses, strict=True))) if doses else NOTHING


# --- this climber -----------------------------------------------------------------------------


@dataclass(frozen=True)
class Body:
    """The response of one climber: `most`, `half`, `tau` and `start` level of each quality.

    `usual` is the weekly load before the year, `top` the highest weekly load it may reach.
    """

    rating: tuple[float, ...]
    most: tuple[float, ...]
    half: tuple[float, ...]
    tau: tuple[float, ...]
    start: tuple[float, ...]
    usual: float
    top: float

    def drawn_to(self, dose: Dose, days: int) -> tuple[float, ...]:
        """The level that a dose over so many days, kept up for ever, would lead to."""
        week = 7 / max(days, SHORTEST_DAYS)
        return tuple([
            most * given * week / (given * week + half)
            for most, half, given in zip(self.most, self.half, dose, strict=True)
        ])  # fmt: skip


def as_tested(year: Year, ratings: Mapping[Quality, float]) -> Year:
    """The year with these ratings in place of the climber's own.

    Power endurance that nobody spoke of stays as it was taken to be without tests.
    """
    if not ratings:
        return year
    own, table = year.climber.level, response_table()
    ability = own.get(Quality.ENDURANCE, table.default_rating)
    level = {Quality.POWER_ENDURANCE: ability} | own | dict(ratings)
    climber = year.climber.model_copy(update={"level": level})
    return year.model_copy(update={"climber": climber})


def body_of(year: Year) -> Body:
    """The response of the climber of a year. Source: `shared/response.toml`."""
    table = response_table()
    level = dict.fromkeys(QUALITIES, table.default_rating) | year.climber.level
    if Quality.POWER_ENDURANCE not in year.climber.level:
        level[Quality.POWER_ENDURANCE] = level[Quality.ENDURANCE]
    rating = tuple(float(level[quality]) for quality in QUALITIES)
    most = tuple(
        table.most[quality] * table.headroom[quality][min(max(round(own), 1), 5) - 1]
        for quality, own in zip(QUALITIES, rating, strict=True)
    )
    half = tuple(table.half[quality] for quality in QUALITIES)
    usual = usual_load(year)
    past = past_dose(year)
    return Body(
        rating=rating,
        most=most,
        half=half,
        tau=tuple(table.tau_days[quality] for quality in QUALITIES),
        start=tuple(a * d / (d + k) for a, d, k in zip(most, past, half, strict=True)),
        usual=usual,
        top=_top_load(year, usual),
    )


def weekly_before(year: Year) -> tuple[float, ...]:
    """Weekly loads before the year, oldest first: as entered, or a share of the free minutes."""
    if year.before.weekly_load:
        return year.before.weekly_load
    table = response_table()
    return (table.start_share * year.climber.minutes.week * table.start_rpe,) * table.start_weeks


def usual_load(year: Year) -> float:
    """Mean weekly load of the four weeks before the year, and never less than a little."""
    return max(told_load(year), response_table().least_load)


def told_load(year: Year) -> float:
    """Mean weekly load of the four weeks before the year, as it was entered."""
    return fmean(weekly_before(year)[-4:])


def past_dose(year: Year) -> Dose:
    """The weekly dose before the year; hard finger sessions as told, else a usual mix."""
    table = response_table()
    usual = usual_load(year)
    dose = [usual * table.start_mix[quality] for quality in QUALITIES]
    told = year.before.hard_finger_sessions
    if told is not None:
        seconds = told * table.usual_session_seconds
        dose[0] = table.load_a_second * seconds + table.fingers_from_climbing * usual
    return tuple(dose)


def _top_load(year: Year, usual: float) -> float:
    """The yearly ceiling: some way above the load before, and no more than fits the free time."""
    table = response_table()
    careful = from_50(year, year.span.first) or under_18(year, year.span.first)
    ceiling = table.year_careful if careful else table.year_rise
    minutes = year.climber.minutes.week
    load = composing().load
    on_rock = len(year.climber.rock_days) * rock_minutes(year) * load.rock_active
    fits = load.effort * max(load.used * minutes, load.least_minutes) + load.rock_effort * on_rock
    risen = max(ceiling * max(usual, fmean(_ordinary_weeks(year))), table.year_least)
    return max(usual, min(risen, fits))


def _ordinary_weeks(year: Year) -> list[float]:
    """The loads before the year without those of holidays and the like, far below the middle."""
    loads = weekly_before(year)
    return [load for load in loads if load >= response_table().ordinary * median(loads)]


def rock_minutes(year: Year) -> float:
    """Minutes of a usual day on rock: as entered, else as usual."""
    return float(year.climber.rock_minutes or composing().rock.usual_minutes)


def from_50(year: Year, day: date) -> bool:
    """Whether the climber is 50 or older in the calendar year of a day."""
    born = year.climber.birth_year
    return born is not None and day.year - born >= composing().older.from_years


def under_18(year: Year, day: date) -> bool:
    """Whether the climber may still be under 18 on a day; unknown birth years are adult."""
    return is_young(year, day)


# --- levels over the year -------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Training:
    """What one week (or a part of it) gave: its days, dose and load (RPE x minutes)."""

    span: Span
    dose: Dose
    load: float


def trainings(
    blocks: Sequence[Block], sessions: Sequence[Session], book: Mapping[str, Recipe],
    done: Mapping[date, float] | None = None,
) -> tuple[Training, ...]:  # fmt: skip
    """The weeks of a plan by what their sessions give, in order.

    `done`: to which share of their load calendar weeks were done that were missed in part, by their
    first day; so much of their dose and load counts.
    """
    shares = {first + timedelta(days=n): s for first, s in (done or {}).items() for n in range(7)}
    by_day: dict[date, list[Session]] = {}
    for session in sessions:
        by_day.setdefault(session.day, []).append(session)
    found = []
    for block in blocks:
        for week in block.weeks:
            inside = [one for day in week.span.days() for one in by_day.get(day, ())]
            load, dose = sum(one.load for one in inside), dose_of(inside, book)
            share = shares.get(week.span.first)
            if share is not None:
                load, dose = load * share, tuple(amount * share for amount in dose)
            found.append(Training(week.span, dose, load))
    return tuple(sorted(found, key=lambda one: one.span))


@dataclass(frozen=True, slots=True)
class Morning:
    """Form on one morning: level of each quality, and mean load of late (RPE x minutes a week)."""

    levels: tuple[float, ...]
    tired: float

    def value(self, quality: Quality, body: Body) -> float:
        """Test value against the start: 1.05 is five per cent better. A model."""
        at = QUALITIES.index(quality)
        return (1 + self.levels[at]) / (1 + body.start[at])

    def form(self, weights: Sequence[float], body: Body) -> float:
        """Share by which what a goal asks is better than at the start, less fatigue. A model."""
        gained = sum(
            weight * log((1 + now) / (1 + then))
            for weight, now, then in zip(weights, self.levels, body.start, strict=True)
        )
        return exp(gained - self.worn(body)) - 1

    def worn(self, body: Body) -> float:
        """What fatigue takes from the logarithm of form, against the start."""
        table = response_table()
        tired = table.fatigue_steps * (self.tired - body.usual) / body.top
        return tired * log1p(table.step)


def mornings(
    year: Year,
    done: Sequence[Training],
    body: Body | None = None,
    *,
    until: date | None = None,
) -> dict[date, Morning]:
    """Form on every morning of the year under this training; days in no week count as rest.

    With `until` also the mornings after the year up to that day, as if nothing were done then.
    """
    body = body or body_of(year)
    levels, tired = body.start, body.usual
    found: dict[date, Morning] = {}
    last = max(year.span.after, until + ONE_DAY) if until else year.span.after
    for span, training in tiled(Span(year.span.first, last), done):
        dose, load = (training.dose, training.load) if training else (NOTHING, 0.0)
        target, rate = body.drawn_to(dose, span.length), load * 7 / span.length
        begins = levels
        for passed, day in enumerate(span.days()):
            levels = _drawn(begins, target, body.tau, passed)
            found[day] = Morning(levels, _towards(tired, rate, passed))
        levels = _drawn(begins, target, body.tau, span.length)
        tired = _towards(tired, rate, span.length)
    return found


def tiled(year: Span, done: Sequence[Training]) -> Iterator[tuple[Span, Training | None]]:
    """The weeks of training and the gaps between them, in order, inside the year."""
    at = year.first
    for training in sorted(done, key=lambda one: one.span):
        if training.span.first < at or training.span.after > year.after:
            continue
        if training.span.first > at:
            yield Span(at, training.span.first), None
        yield training.span, training
        at = training.span.after
    if at < year.after:
        yield Span(at, year.after), None


def _drawn(
    levels: Sequence[float], target: Sequence[float], tau: Sequence[float], days: int
) -> tuple[float, ...]:
    return tuple(
        to + (level - to) * exp(-days / slow)
        for level, to, slow in zip(levels, target, tau, strict=True)
    )


def _towards(tired: float, rate: float, days: int) -> float:
    return rate + (tired - rate) * exp(-days / response_table().fatigue_tau_days)


def loads_of(sessions: Iterable[Session], book: Mapping[str, Recipe]) -> Loads:
    """Load (RPE x minutes) of sessions by quality."""
    total = dict.fromkeys(QUALITIES, 0.0)
    for one in sessions:
        shares = book[one.recipe].qualities if one.recipe in book else {Quality.FITNESS: 1.0}
        for quality, share in shares.items():
            total[quality] += one.load * share
    return Loads(**{quality.value: round(load, 1) for quality, load in total.items()})
