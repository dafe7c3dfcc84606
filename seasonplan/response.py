"""How sessions become form, and form and days on rock become worth.

Each week's sessions give a dose of each quality; a dose draws the level of that quality towards a
value that saturates, with a time constant. Worth is straight in the levels, so that it is a sum
over weeks. Constants and their labels: `shared/response.toml`. Knows no rule and no planner.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property
from itertools import groupby
from math import exp, log, log1p
from statistics import fmean
from typing import Protocol

from seasonplan.almanac import Almanac, Opportunity, RockSpell
from seasonplan.days import ONE_DAY, Span, week_start
from seasonplan.plan import Block, Loads, Occasion, Session
from seasonplan.recipes import Recipe
from seasonplan.reference import ResponseTable, response_table, rock_day_table
from seasonplan.vocabulary import Quality, RockRole
from seasonplan.year import Goal, Year

QUALITIES = tuple(Quality)
Dose = tuple[float, ...]  # of each quality, in the order of QUALITIES: load (RPE x minutes)
NOTHING: Dose = (0.0,) * len(QUALITIES)
SHORTEST_DAYS = 4  # the dose of a cut week of fewer days is not blown up to a whole week's
MASTERS_AGE = 50
GROWN_UP_AGE = 18

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
    dose = [load * recipe.qualities.get(quality, 0.0) for quality in QUALITIES]
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
        return tuple(
            most * given * week / (given * week + half)
            for most, half, given in zip(self.most, self.half, dose, strict=True)
        )


def body_of(year: Year) -> Body:
    """The response of the climber of a year. Source: `shared/response.toml`."""
    table = response_table()
    level = dict.fromkeys(QUALITIES, table.default_rating) | year.climber.level
    if Quality.POWER_ENDURANCE not in year.climber.level:
        level[Quality.POWER_ENDURANCE] = level[Quality.ENDURANCE]
    rating = tuple(float(level[quality]) for quality in QUALITIES)
    most = tuple(
        table.most[quality] * table.headroom[int(own) - 1]
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
    return max(fmean(weekly_before(year)[-4:]), response_table().least_load)


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
    on_rock = len(year.climber.rock_days) * rock_minutes(year) / 2 if year.climber.rock_days else 0
    fits = 5.0 * max(0.85 * minutes, 60) + 6.0 * on_rock
    return max(usual, min(ceiling * max(usual, fmean(weekly_before(year))), fits))


def rock_minutes(year: Year) -> float:
    """Minutes of a usual day on rock: as entered, else three hours."""
    return float(year.climber.rock_minutes or 180)


def from_50(year: Year, day: date) -> bool:
    """Whether the climber is 50 or older in the calendar year of a day."""
    born = year.climber.birth_year
    return born is not None and day.year - born >= MASTERS_AGE


def under_18(year: Year, day: date) -> bool:
    """Whether the climber may still be under 18 on a day; unknown birth years are adult."""
    born = year.climber.birth_year
    return born is not None and day.year - born - 1 < GROWN_UP_AGE


# --- levels over the year -------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Training:
    """What one week (or a part of it) gave: its days, dose and load (RPE x minutes)."""

    span: Span
    dose: Dose
    load: float


def trainings(
    blocks: Sequence[Block], sessions: Sequence[Session], book: Mapping[str, Recipe]
) -> tuple[Training, ...]:
    """The weeks of a plan by what their sessions give, in order."""
    by_day: dict[date, list[Session]] = {}
    for session in sessions:
        by_day.setdefault(session.day, []).append(session)
    found = []
    for block in blocks:
        for week in block.weeks:
            inside = [one for day in week.span.days() for one in by_day.get(day, ())]
            load = sum(one.load for one in inside)
            found.append(Training(week.span, dose_of(inside, book), load))
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
        table = response_table()
        gained = sum(
            weight * log((1 + now) / (1 + then))
            for weight, now, then in zip(weights, self.levels, body.start, strict=True)
        )
        tired = table.fatigue_steps * (self.tired - body.usual) / body.top
        return exp(gained - tired * log1p(table.step)) - 1


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
    for span, training in _tiled(Span(year.span.first, last), done):
        dose, load = (training.dose, training.load) if training else (NOTHING, 0.0)
        target, rate = body.drawn_to(dose, span.length), load * 7 / span.length
        begins = levels
        for passed, day in enumerate(span.days()):
            levels = _drawn(begins, target, body.tau, passed)
            found[day] = Morning(levels, _towards(tired, rate, passed))
        levels = _drawn(begins, target, body.tau, span.length)
        tired = _towards(tired, rate, span.length)
    return found


def _tiled(year: Span, done: Sequence[Training]) -> Iterator[tuple[Span, Training | None]]:
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


# --- goals ------------------------------------------------------------------------------------


def demands(goal: Goal) -> tuple[float, ...]:
    """What a goal asks of each quality, 1 to 5: as said, else as usual for its discipline."""
    asked = {**response_table().demands[goal.discipline], **goal.demands}
    if Quality.ENDURANCE in goal.demands and Quality.POWER_ENDURANCE not in goal.demands:
        asked[Quality.POWER_ENDURANCE] = goal.demands[Quality.ENDURANCE]
    return tuple(float(asked[quality]) for quality in QUALITIES)


def weights(goal: Goal) -> tuple[float, ...]:
    """The share of each quality in what a goal asks, adding up to 1."""
    asked = list(demands(goal))
    for quality in (Quality.ENDURANCE, Quality.POWER_ENDURANCE):  # one demand in two parts
        asked[QUALITIES.index(quality)] *= 0.6
    return tuple(each / sum(asked) for each in asked)


def shortfalls(year: Year) -> tuple[float, ...]:
    """How far each quality is behind what the dearest goals ask, in rating steps; none: 0."""
    if not year.goals:
        return (0.0,) * len(QUALITIES)
    dearest = min(goal.priority for goal in year.goals)
    body = body_of(year)
    asked = [demands(goal) for goal in year.goals if goal.priority == dearest]
    return tuple(max(one[n] for one in asked) - body.rating[n] for n in range(len(QUALITIES)))


def fingers_limit(year: Year) -> bool:
    """Whether finger strength is further behind than endurance of either sort."""
    behind = dict(zip(QUALITIES, shortfalls(year), strict=True))
    return behind[Quality.FINGER_STRENGTH] > max(
        0.0, behind[Quality.ENDURANCE], behind[Quality.POWER_ENDURANCE]
    )


def shortfall_worth(steps: float) -> float:
    """Worth of one more rating step where `steps` are missing: the further behind, the more."""
    return next(slope for upto, slope in response_table().shortfall if steps <= upto or upto == 9)


def shortfall_loss(steps: float) -> float:
    """Worth lost by a shortfall of so many steps: convex, 0 at four steps to spare."""
    lost, low = 0.0, -4.0
    for upto, slope in response_table().shortfall:
        if steps <= low:
            break
        lost += slope * (min(steps, upto) - low)
        low = upto
    return lost


@dataclass(frozen=True)
class Form:
    """What levels on some days are worth: `a_level` for each unit of level, straight.

    `days` are weights of the days, adding up to 1; `worth` is in points for one rating step.
    """

    days: Mapping[date, float]
    worth: float
    asked: tuple[float, ...]
    weights: tuple[float, ...]
    tires: bool = True

    def a_level(self, body: Body) -> tuple[float, ...]:
        """Points for each unit of level of each quality: the slope at the start."""
        step = log1p(response_table().step)
        return tuple(
            self.worth * weight * shortfall_worth(asked - own) / ((1 + level) * step)
            for weight, asked, own, level in zip(
                self.weights, self.asked, body.rating, body.start, strict=True
            )
        )

    def concave(self, levels: Sequence[float], body: Body) -> float:
        """Points of levels by the concave worth that the straight one stands for."""
        step = log1p(response_table().step)
        total = 0.0
        for weight, asked, own, start, level in zip(
            self.weights, self.asked, body.rating, body.start, levels, strict=True
        ):
            gained = log((1 + level) / (1 + start)) / step
            total += weight * (shortfall_loss(asked - own) - shortfall_loss(asked - own - gained))
        return self.worth * total

    def a_load(self, body: Body) -> float:
        """Points lost for each unit of weekly load of late."""
        return self.worth * response_table().fatigue_steps / body.top if self.tires else 0.0


@dataclass(frozen=True)
class Aims:
    """All that form is worth in a year, by what the climber entered alone."""

    almanac: Almanac

    @cached_property
    def body(self) -> Body:
        return body_of(self.almanac.year)

    def used(self, chance: Opportunity) -> dict[date, float]:
        """Chance x role of the days that could be used: the best two of each week, all of a trip.

        Which days are used in the end hangs on the plan; this does not.
        """
        days = chance.chances
        table = rock_day_table()
        if chance.spell.is_trip:
            share = table.in_seven_away / 7
            return {day: share * each for day, each in days.items()}
        begins = self.almanac.week_begins
        found = {}
        for _, group in groupby(sorted(days), key=lambda day: week_start(day, begins)):
            best = sorted(group, key=lambda day: (-days[day], day))[: table.in_seven]
            for day, role in zip(best, (1.0, *[response_table().easy_day] * 6), strict=False):
                found[day] = days[day] * role
        return found

    @cached_property
    def forms(self) -> tuple[Form, ...]:
        """Form on the days of each opportunity, all through the year, and beyond its end."""
        table = response_table()
        found, spells = [], []
        for chance in self.almanac.opportunities:
            used = self.used(chance)
            good = sum(used.values())
            if good > 0:
                worth = table.priority_worth[chance.goal.priority - 1] * table.step_days * good
                days = {day: share / good for day, share in used.items()}
                found.append(Form(days, worth, demands(chance.goal), weights(chance.goal)))
                spells.append(chance.spell)
        return (*found, self._all_year(found), *self._beyond(found, spells))

    def _all_year(self, found: Sequence[Form]) -> Form:
        table, span = response_table(), self.almanac.span
        total = sum(form.worth for form in found)
        if total:
            mixed = [
                tuple(sum(f.worth * getattr(f, part)[n] for f in found) / total for n in range(6))
                for part in ("asked", "weights")
            ]
        else:
            mixed = [(3.0,) * 6, (1 / 6,) * 6]
        days = dict.fromkeys(span.days(), 1 / span.length)
        return Form(days, table.all_year * max(total, 3.0), mixed[0], mixed[1], tires=False)

    def _beyond(self, found: Sequence[Form], spells: Sequence[RockSpell]) -> Iterator[Form]:
        """Form at the next spell of a season that comes again after the year."""
        seen = set()
        for form, spell in zip(found, spells, strict=True):
            later = self.almanac.next_spell(spell.entry)
            key = (spell.entry.id, form.asked)
            if later is not None and key not in seen:
                seen.add(key)
                day = later.first + (later.length // 3) * ONE_DAY
                share = response_table().beyond
                yield replace(form, days={day: 1.0}, worth=share * form.worth, tires=False)


def rock_worth(almanac: Almanac, session: Session) -> float:
    """Points of a session on rock: chance of a good day x priority x role, over all goals."""
    table = response_table()
    share = table.easy_day if session.role is RockRole.EASY else 1.0
    return share * sum(
        table.priority_worth[chance.goal.priority - 1] * chance.chances.get(session.day, 0.0)
        for chance in almanac.opportunities
        if session.rock == chance.spell.entry.id
    )


def form_worth(form: Form, found: Mapping[date, Morning], body: Body) -> float:
    """Points of a form under these mornings, which reach as far as its days."""
    slopes, tired = form.a_level(body), form.a_load(body)
    total = 0.0
    for day, share in form.days.items():
        morning = found[day]
        gained = sum(
            slope * (level - start)
            for slope, level, start in zip(slopes, morning.levels, body.start, strict=True)
        )
        total += share * (gained - tired * morning.tired)
    return total


def occasions(
    almanac: Almanac, blocks: Sequence[Block], sessions: Sequence[Session],
    book: Mapping[str, Recipe],
) -> tuple[Occasion, ...]:  # fmt: skip
    """What the plan makes of each goal at each season spell, window or trip."""
    body = body_of(almanac.year)
    found = mornings(almanac.year, trainings(blocks, sessions, book), body)
    return tuple(_occasion(chance, sessions, found, body) for chance in almanac.opportunities)


def _occasion(
    chance: Opportunity, sessions: Sequence[Session], found: Mapping[date, Morning], body: Body
) -> Occasion:
    span = Span(min(chance.chances), max(chance.chances) + ONE_DAY)
    entry = chance.spell.entry.id
    days = sorted({one.day for one in sessions if one.rock == entry and one.day in chance.chances})
    good = sum(chance.chances[day] for day in days)
    shares = {day: chance.chances[day] / good for day in days} if good else {
        day: share / chance.possible for day, share in chance.chances.items()
    }  # fmt: skip
    form = sum(
        share * found[day].form(weights(chance.goal), body)
        for day, share in sorted(shares.items()) if day in found
    )  # fmt: skip
    return Occasion(
        goal=chance.goal.id, entry=entry, span=span, possible=chance.possible,
        rock_days=len(days), good_days=good, form=form,
    )  # fmt: skip


def loads_of(sessions: Iterable[Session], book: Mapping[str, Recipe]) -> Loads:
    """Load (RPE x minutes) of sessions by quality."""
    total = dict.fromkeys(QUALITIES, 0.0)
    for one in sessions:
        shares = book[one.recipe].qualities if one.recipe in book else {Quality.FITNESS: 1.0}
        for quality, share in shares.items():
            total[quality] += one.load * share
    return Loads(**{quality.value: round(load, 1) for quality, load in total.items()})
