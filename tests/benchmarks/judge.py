"""Plans against rules of thumb, by other equations: `python tests/benchmarks/judge.py [climbers]`.

Three hundred drawn climbers live each plan. Nothing of the planner's arithmetic is used: levels
take daily impulses that saturate in the level itself (the planner's saturate in the week), with
time constants, gains, fatigue, start levels and true ratings drawn; form is the weakest link by a
soft minimum; weather is drawn by year, spell and day; one week in ten is lost. A life is worth its
good days on rock x the chance of success on each. The same climbers, weather and lost weeks meet
every plan of a year. Shared with the planner are recipes, demands and what a session gives (its
dose): weaker evidence than trials of climbers would be.

The rules of thumb are laid out as wishes by day, made legal by the path nearest to them, and
filled with the very same weeks. Nothing is asserted. Aim: the plan on average 1.10 times the worth
of each rule of thumb, in no year below 0.99.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np

sys.path.insert(0, str(Path(__file__).parent.parent / "support"))

from judged_years import judged_years

from seasonplan.body.almanac import Almanac
from seasonplan.body.response import QUALITIES, body_of, past_dose, session_dose, usual_load
from seasonplan.body.worth import demands, weights
from seasonplan.plan import Session
from seasonplan.planner import rock
from seasonplan.planner import search as searches
from seasonplan.planner.candidates import Variant
from seasonplan.planner.fill import Filled, fill
from seasonplan.planner.grid import Column
from seasonplan.planner.path import Best, Graph, Prices
from seasonplan.planner.run import Found, Search, best_plan
from seasonplan.recipes import recipes
from seasonplan.rules.statements import book_of
from seasonplan.rules.tables import response_table
from seasonplan.vocabulary import Emphasis, Kind, RockRole
from seasonplan.year import Year

Floats = np.ndarray[Any, np.dtype[np.float64]]
CLIMBERS = 300
LOST_WEEKS = 0.1
SHARPNESS = 1.2  # of the weakest link
START_CHANCE = 0.25  # of success on a good day as one starts the year
STEP_ODDS = 2.1  # a grade of rope: Drummond & Popinga, arXiv 2111.08140

# --- climbers ---------------------------------------------------------------------------------


class Climbers:
    """Drawn climbers and their luck in one year, the same for every plan."""

    def __init__(self, year: Year, count: int, *, seed: int = 1) -> None:
        rng = np.random.default_rng(seed)
        self.count = count
        self.body = body_of(year)
        shape = (count, len(QUALITIES))

        def spread(sd: float, size: Any = shape) -> Floats:
            drawn: Floats = rng.lognormal(0.0, sd, size)
            return drawn

        self.tau = np.array(self.body.tau) * spread(0.45)
        self.most = np.array(self.body.most) * spread(0.25)
        self.half = np.array(self.body.half) / spread(0.5)
        self.bend = rng.uniform(0.5, 1.0, (count, 1))  # power of a day's dose
        self.light = rng.uniform(0.1, 1.0, count)  # what light holds give against hard ones
        past = np.array(past_dose(year)) * spread(0.5)
        self.start = self.most * past / (past + self.half)
        self.rating = np.array(self.body.rating) + rng.normal(0, 0.7, shape)
        self.fade_days = rng.uniform(6, 20, count)
        self.tires = 0.35 * spread(0.4, count)
        self.transfer = rng.uniform(0.2, 0.8, count)
        span = year.span
        weeks = span.length // 7 + 2
        self.lost = rng.random((count, weeks)) < LOST_WEEKS
        self.weather = rng.random((count, span.length + 1))
        self.by_year = rng.lognormal(0, 0.25, (count, 3))
        self.by_spell = rng.lognormal(0, 0.3, (count, 40))


@dataclass(frozen=True)
class Lived:
    """A plan by day: dose of each quality, of light holds, load, and what is used on rock."""

    dose: Floats
    light: Floats
    load: Floats
    rock: dict[date, Session]


def lived(year: Year, filled: Filled) -> Lived:
    """What each day of a plan holds."""
    book = recipes(year.recipes)
    days = year.span.length
    dose, light, load = np.zeros((days, len(QUALITIES))), np.zeros(days), np.zeros(days)
    on_rock = {}
    for session in filled.sessions:
        at = (session.day - year.span.first).days
        recipe = book[session.recipe]
        given = np.array(session_dose(session, recipe))
        if recipe.hang_seconds and not recipe.hard_hangs:
            share = sum(recipe.hang_share) / 2
            light[at] += (
                response_table().load_a_second * session.hangs * recipe.hang_seconds * share
            )
            given[0] = 0.0
        dose[at] += given
        load[at] += session.load
        if session.role is not None and session.rock is not None:
            on_rock[session.day] = session
    return Lived(dose, light, load, on_rock)


def mornings(some: Climbers, plan: Lived, year: Year) -> tuple[Floats, Floats]:
    """Levels (day, climber, quality) and fatigue (day, climber) as each day begins."""
    days = plan.dose.shape[0]
    levels = np.zeros((days, some.count, len(QUALITIES)))
    tired = np.zeros((days, some.count))
    level, weary = some.start.copy(), np.full(some.count, usual_load(year))
    keep, keep_tired = np.exp(-1 / some.tau), np.exp(-1 / some.fade_days)
    typical = some.half / 3
    for at in range(days):
        levels[at], tired[at] = level, weary
        here = ~some.lost[:, at // 7]
        dose = np.repeat(plan.dose[at][None, :], some.count, axis=0)
        dose[:, 0] += plan.light[at] * some.light
        dose = typical * (np.maximum(dose, 0.0) / typical) ** some.bend * here[:, None]
        gain = 7 * some.most / (some.half * some.tau)
        level = level * keep + gain * dose * np.maximum(0.0, 1 - level / some.most)
        weary = weary * keep_tired + plan.load[at] * 7 * here * (1 - keep_tired)
    return levels, tired


def value(some: Climbers, plan: Lived, year: Year) -> Floats:
    """Good days on rock x chance of success, for each climber."""
    levels, tired = mornings(some, plan, year)
    usual = usual_load(year)
    table = response_table()
    total = np.zeros(some.count)
    first = min((goal.priority for goal in year.goals), default=1)
    for n, chance in enumerate(Almanac(year).opportunities):
        asked, share = np.array(demands(chance.goal)), np.array(weights(chance.goal))
        priority = table.priority_worth[chance.goal.priority - first]
        entry = chance.spell.entry.id
        at_start = _weakest(asked - some.rating, share)
        for day, odds in chance.chances.items():
            session = plan.rock.get(day)
            if session is None or session.rock != entry:
                continue
            at = (day - year.span.first).days
            gained = np.log((1 + levels[at]) / (1 + some.start)) / np.log(1.2)
            now = _weakest(asked - some.rating - gained, share)
            fresh = -some.tires * (tired[at] / max(usual, 1.0) - 1)
            steps = now - at_start + fresh
            logit = np.log(START_CHANCE / (1 - START_CHANCE))
            logit = logit + steps * np.log(STEP_ODDS) * 2 * some.transfer
            luck = some.by_year[:, (day.year - year.span.first.year)] * some.by_spell[:, n % 40]
            good = some.weather[:, at] < np.minimum(1.0, odds * luck)
            here = ~some.lost[:, at // 7]
            role = 1.0 if session.role is RockRole.PROJECT else table.easy_day
            total += priority * role * good * here / (1 + np.exp(-logit))
    return total


def _weakest(short: Floats, share: Floats) -> Floats:
    """The state by the weakest link: the larger the shortfalls that count, the lower."""
    found: Floats = -np.log((share * np.exp(SHARPNESS * short)).sum(axis=1)) / SHARPNESS
    return found


# --- rules of thumb ---------------------------------------------------------------------------

Wish = tuple[Kind, Emphasis]
BASE: Wish = (Kind.BASE, Emphasis.ENDURANCE)
POWER_ENDURANCE: Wish = (Kind.BASE, Emphasis.POWER_ENDURANCE)
STRENGTH: Wish = (Kind.STRENGTH, Emphasis.FINGERS)
PERFORM: Wish = (Kind.PERFORMANCE, Emphasis.FINGERS)
REST: Wish = (Kind.REST, Emphasis.NONE)


def classic(search: Search) -> dict[date, Wish]:
    """Base 4, strength 4, then performance where there is rock, else power endurance 4, rest 1:
    counted from the first day of the year."""
    wished = {}
    for n, day in enumerate(search.grid.almanac.span.days()):
        week = n // 7 % 13
        third = PERFORM if day in search.grid.almanac.rock_days else POWER_ENDURANCE
        wished[day] = BASE if week < 4 else STRENGTH if week < 8 else third if week < 12 else REST
    return wished


def to_the_season(search: Search) -> dict[date, Wish]:
    """Performance as long as there are chosen days on rock; counted back from each opening a week
    of lead-in, four of power endurance, four of strength, then base."""
    days = sorted(day for day, one in search.weeks.rock.items() if one.counts)
    wished = {}
    for day in search.grid.almanac.span.days():
        ahead = min(((other - day).days for other in days if other >= day), default=999)
        behind = min(((day - other).days for other in days if other < day), default=999)
        wished[day] = _by_distance(ahead, behind)
    return wished


def _by_distance(ahead: int, behind: int) -> Wish:
    if ahead <= 7 or (ahead <= 14 and behind <= 7):
        return PERFORM
    if behind <= 7:
        return REST
    if ahead <= 35:
        return POWER_ENDURANCE
    return STRENGTH if ahead <= 63 else BASE


def base_all_year(search: Search) -> dict[date, Wish]:
    """Base, and performance as long as there are chosen days on rock."""
    near = to_the_season(search)
    return {day: wish if wish in (PERFORM, REST) else BASE for day, wish in near.items()}


def made_legal(search: Search, wished: dict[date, Wish]) -> Filled:
    """The legal plan with most days as wished, filled with the planner's own weeks."""
    worths, variants = [], []
    for column in search.candidates.all:
        options = search.candidates.variants(column)
        emphasis = _most_wished(column, wished)
        fitting = [one for one in options if one.emphasis is emphasis] or list(options)
        variant = fitting[len(fitting) // 2]
        variants.append(variant)
        worths.append(_agreeing(column, variant, wished))
    best = Prices(Graph(search.candidates), worths).best()
    assert best is not None
    return _filled(search, best, variants)


def _most_wished(column: Column, wished: dict[date, Wish]) -> Emphasis:
    said = [wished[day][1] for day in column.span.days() if wished[day][0] is column.kind]
    return max(set(said), key=lambda one: (said.count(one), one.value)) if said else Emphasis.NONE


def _agreeing(column: Column, variant: Variant, wished: dict[date, Wish]) -> int:
    days = [wished[day] for day in column.span.days()]
    same = sum(kind is column.kind for kind, _ in days)
    exact = sum((kind, emphasis) == (column.kind, variant.emphasis) for kind, emphasis in days)
    return 10 * same + 3 * exact - 5


def _filled(search: Search, best: Best, variants: Sequence[Variant]) -> Filled:
    by_span = {
        search.candidates.all[n].span: variants[n] for n in best.columns
    }  # fmt: skip
    blocks = [
        type(block)(
            **{
                **dict(block),
                "emphasis": by_span[block.span].emphasis,
                "light_first": by_span[block.span].light_first,
            }
        )
        if block.kind.chosen
        else block
        for block in search.blocks(best)
    ]
    return fill(search.weeks, search.candidates, blocks)


def planned(year: Year) -> Found:
    """The best plan as the program makes it."""
    found = best_plan(year, book=book_of(year), confirm=False)
    assert isinstance(found, Found)
    return found


def sessions_of(found: Found) -> Filled:
    return fill(found.search.weeks, found.search.candidates, found.blocks)


def without_emphasis(search: Search) -> Filled:
    """The planner's best plan where every block has its usual emphasis."""
    usual = [_usual(search, number) for number in range(len(search.candidates.all))]
    graph = Graph(search.candidates, search.softs.parts_between)
    best = Prices(graph, [worth for _, worth in usual]).best()
    assert best is not None
    return _filled(search, best, [variant for variant, _ in usual])


def _usual(search: Search, number: int) -> tuple[Variant, int]:
    options = search.variants(number)
    first = options[0][0].emphasis
    return max((one for one in options if one[0].emphasis is first), key=lambda one: one[1])


def one_rock_day(year: Year) -> Filled:
    """The planner's best plan where one day in seven at home goes to the rock."""
    usual = rock.rock_day_table
    seldom = usual().model_copy(update={"in_seven": (1,) * 8})
    rock.rock_day_table = lambda: seldom  # type: ignore[assignment]
    searches._kept.clear()  # searches of the same year, under the usual table
    try:
        return sessions_of(planned(year))
    finally:
        searches._kept.clear()
        rock.rock_day_table = usual


RULES: dict[str, Callable[[Search], Filled]] = {
    "classic": lambda search: made_legal(search, classic(search)),
    "to the season": lambda search: made_legal(search, to_the_season(search)),
    "base all year": lambda search: made_legal(search, base_all_year(search)),
    "no emphasis": without_emphasis,
    "one rock day": lambda search: one_rock_day(search.grid.almanac.year),
}


def ratio(plan: Floats, rule: Floats) -> tuple[float, float]:
    """Worth of the plan over that of a rule, and its standard error (paired lives)."""
    found = plan.mean() / rule.mean()
    error = np.std(plan - found * rule) / rule.mean() / np.sqrt(len(plan))
    return float(found), float(error)


def judged(year: Year, count: int) -> dict[str, tuple[float, float, int]]:
    """Plan over each rule of thumb: ratio, standard error, and days on rock of the rule."""
    found_plan = planned(year)
    search, some = found_plan.search, Climbers(year, count)
    mine = lived(year, sessions_of(found_plan))
    plan = value(some, mine, year)
    found = {"(plan)": (float(plan.mean()), 0.0, len(mine.rock))}
    for name, make in RULES.items():
        rule = lived(year, make(search))
        found[name] = (*ratio(plan, value(some, rule, year)), len(rule.rock))
    return found


def main() -> None:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else CLIMBERS
    rows = {}
    print(f"{'year':20}" + "".join(f"{name:>24}" for name in ("(plan)", *RULES)))
    for name, year in judged_years().items():
        rows[name] = judged(year, count)
        print(
            f"{name:20}"
            + "".join(f"{a:13.3f} ±{b:.3f} ({d:3})" for a, b, d in rows[name].values()),
            flush=True,
        )
    for rule in RULES:
        values = [row[rule][0] for row in rows.values()]
        least, most = min(values), max(values)
        print(f"{rule}: mean {np.mean(values):.3f}, least {least:.3f}, most {most:.3f}")


if __name__ == "__main__":
    main()
