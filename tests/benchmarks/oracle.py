"""How good could any choice of blocks be by the judge? `python tests/benchmarks/oracle.py [years]`.

The oracle knows the judge's own equations and looks for the legal sequence of blocks, filled with
the planner's own weeks, that they like best: each week is exchanged alone in the lives of drawn
climbers, the best path by those gains is laid, and what really gains is kept, from the plan and
from two rules of thumb on. It keeps no preference, only hard rules. It learns from other lives than
those it is judged by, as no planner knows whom it plans for; the figure in the lives it learnt
from, which flatters it, stands beside. A search from several starts is no proof: better may exist,
but whoever comes near it has little left to gain by placing blocks. Nothing is asserted.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

import numpy as np

sys.path.insert(0, str(Path(__file__).parent))
sys.path.insert(0, str(Path(__file__).parent.parent / "support"))

from judge import (
    CLIMBERS,
    START_CHANCE,
    STEP_ODDS,
    Climbers,
    Floats,
    _filled,
    _weakest,
    base_all_year,
    lived,
    made_legal,
    planned,
    sessions_of,
    to_the_season,
    value,
)
from judged_years import judged_years

from seasonplan.body.almanac import Almanac
from seasonplan.body.response import QUALITIES, session_dose, usual_load
from seasonplan.body.worth import demands, weights
from seasonplan.planner.candidates import Variant
from seasonplan.planner.fill import Filled
from seasonplan.planner.grid import Cell
from seasonplan.planner.kept import ComposedWeek
from seasonplan.planner.path import Best, Graph, Prices
from seasonplan.planner.run import Found, Search, best_plan
from seasonplan.planner.standing import Item
from seasonplan.rules.statements import book_of
from seasonplan.rules.tables import response_table
from seasonplan.vocabulary import RockRole, usual_emphasis
from seasonplan.year import Year

LEARNT_FROM = 150  # climbers, of another seed than those it is judged by
PRICES_OF_CHANGE = (0.0, 0.0003, 0.001, 0.003, 0.01)  # of the worth, a day that is another
TRIED = 40  # single exchanges looked at where no whole path gains
ROUNDS = 12
PARTS = 10**9
SOFT_ON_BLOCKS = (
    "base-first", "few-changes", "lead-in-start", "power-endurance-late", "rest-before-rock",
    "short-rest", "strength-late", "weak-first", "work-before-lead-in",
)  # fmt: skip

Plan = tuple[int, ...]  # the number of the week of each cell


@dataclass(frozen=True)
class Week:
    """One composed week in the lives of all climbers: what it adds to levels and fatigue each
    day, and its days on rock."""

    gain: Floats
    load: Floats
    rock: tuple[tuple[int, str, bool], ...]


@dataclass(frozen=True, slots=True)
class Chance:
    """A goal at one day on rock: what it asks, what the day counts, and whether it is good."""

    asked: Floats
    share: Floats
    counts: float
    good: Floats


class Lives:
    """The judge's climbers, who can live single weeks of a year anew."""

    def __init__(self, search: Search, count: int, *, seed: int) -> None:
        self.search = search
        self.year: Year = search.grid.almanac.year
        self.some = Climbers(self.year, count, seed=seed)
        some = self.some
        self.keep = np.exp(-1 / some.tau)
        self.keep_tired = np.exp(-1 / some.fade_days)
        self.rate = 7 * some.most / (some.half * some.tau)
        self.usual = usual_load(self.year)
        self.days = [cell.span.length for cell in search.grid.cells]

    def week(self, cell: Cell, composed: ComposedWeek) -> Week:
        """A composed week as the judge counts it."""
        some, length = self.some, cell.span.length
        dose = np.zeros((length, some.count, len(QUALITIES)))
        load = np.zeros(length)
        rock = []
        for item in composed.items:
            at = (item.day - cell.span.first).days
            dose[at] += self._dose(item)
            load[at] += item.load
            if item.role is not None and item.rock is not None:
                begins = (item.day - self.year.span.first).days
                rock.append((begins, item.rock, item.role is RockRole.PROJECT))
        first = (cell.span.first - self.year.span.first).days
        lost = some.lost[:, [(first + n) // 7 for n in range(length)]].T
        typical = some.half / 3
        given = typical * (dose / typical) ** some.bend * ~lost[:, :, None]
        tired = load[:, None] * 7 * ~lost * (1 - self.keep_tired)
        return Week(self.rate * given, tired, tuple(rock))

    def _dose(self, item: Item) -> Floats:
        some = self.some
        given = np.repeat(np.array(session_dose(item, item.recipe))[None, :], some.count, axis=0)
        if item.recipe.hang_seconds and not item.recipe.hard_hangs:
            share = sum(item.recipe.hang_share) / 2
            light = response_table().load_a_second * item.hangs * item.recipe.hang_seconds * share
            given[:, 0] = light * some.light
        return given

    @cached_property
    def chances(self) -> dict[tuple[int, str], list[Chance]]:
        """Every goal by day and by what is gone to."""
        found: dict[tuple[int, str], list[Chance]] = {}
        some, table = self.some, response_table()
        first = min(goal.priority for goal in self.year.goals)
        for n, one in enumerate(Almanac(self.year).opportunities):
            asked, share = np.array(demands(one.goal)), np.array(weights(one.goal))
            for day, odds in one.chances.items():
                at = (day - self.year.span.first).days
                nth = day.year - self.year.span.first.year
                luck = some.by_year[:, nth] * some.by_spell[:, n % 40]
                good = (some.weather[:, at] < np.minimum(1.0, odds * luck)) & ~some.lost[:, at // 7]
                worth = table.priority_worth[one.goal.priority - first]
                chance = Chance(asked, share, worth, good.astype(float))
                found.setdefault((at, one.spell.entry.id), []).append(chance)
        return found

    def on_rock(self, rock: tuple[int, str, bool], level: Floats, tired: Floats) -> Floats:
        """What a day on rock is worth, for each of some lives of each climber."""
        at, entry, project = rock
        total = np.zeros(tired.shape)
        for one in self.chances.get((at, entry), ()):
            short = one.asked - self.some.rating
            at_start = _weakest(short, one.share)
            gained = np.log((1 + level) / (1 + self.some.start)) / np.log(1.2)
            now = -np.log((one.share * np.exp(1.2 * (short - gained))).sum(axis=-1)) / 1.2
            fresh = -self.some.tires * (tired / max(self.usual, 1.0) - 1)
            logit = np.log(START_CHANCE / (1 - START_CHANCE))
            logit = logit + (now - at_start + fresh) * np.log(STEP_ODDS) * 2 * self.some.transfer
            role = 1.0 if project else response_table().easy_day
            total += one.counts * role * one.good / (1 + np.exp(-logit))
        return total

    def live(
        self, weeks: Sequence[Week], level: Floats, tired: Floats, *, first: int
    ) -> tuple[Floats, Floats, Floats]:
        """Worth, levels and fatigue after some weeks in a row, the first of cell `first`."""
        worth = np.zeros(tired.shape)
        begins = sum(self.days[:first])
        for n, week in enumerate(weeks):
            rock = {one[0]: one for one in week.rock}
            for day in range(self.days[first + n]):
                if begins + day in rock:
                    worth = worth + self.on_rock(rock[begins + day], level, tired)
                level = level * self.keep + week.gain[day] * np.maximum(
                    0.0, 1 - level / self.some.most
                )
                tired = tired * self.keep_tired + week.load[day]
            begins += self.days[first + n]
        return worth, level, tired

    @property
    def start(self) -> tuple[Floats, Floats]:
        return self.some.start.copy(), np.full(self.some.count, self.usual)


class Oracle:
    """All weeks that candidates may hold, and what they are worth in drawn lives."""

    def __init__(self, search: Search, lives: Lives) -> None:
        self.search, self.lives = search, lives
        self.graph = Graph(search.candidates)
        self._numbers: dict[tuple[int, int], int] = {}
        self._composed: list[ComposedWeek] = []  # kept, so that no id is used twice
        self.weeks: list[list[Week]] = [[] for _ in search.grid.cells]
        self.given: dict[int, int] = {
            cell.index: self._number(cell, search.weeks.given(cell))
            for cell in search.grid.cells if cell.given is not None
        }  # fmt: skip
        self.options = [self._variants(n) for n in range(len(search.candidates.all))]

    def _number(self, cell: Cell, composed: ComposedWeek) -> int:
        key = (cell.index, id(composed))
        if key not in self._numbers:
            self._composed.append(composed)
            self._numbers[key] = len(self.weeks[cell.index])
            self.weeks[cell.index].append(self.lives.week(cell, composed))
        return self._numbers[key]

    def _variants(self, number: int) -> list[tuple[Variant, Plan]]:
        """Each variant of a candidate with the weeks of its cells."""
        column = self.search.candidates.all[number]
        return [
            (variant, self._of_cells(number, variant))
            for variant in self.search.candidates.variants(column)
        ]

    def _of_cells(self, number: int, variant: Variant) -> Plan:
        column = self.search.candidates.all[number]
        roles = self.search.candidates.roles(column, variant)
        return tuple(self._number(cell, self.search.weeks.week(cell, role)) for cell, role in roles)

    # --- worth --------------------------------------------------------------------------------

    def worth(self, plan: Plan) -> float:
        """What a plan is worth on average."""
        row = [self.weeks[cell][number] for cell, number in enumerate(plan)]
        return float(self.lives.live(row, *self.lives.start, first=0)[0].mean())

    def gains(self, plan: Plan) -> list[list[float]]:
        """What each week gains if it alone stands in its cell."""
        level, tired = self.lives.start
        row = [self.weeks[cell][number] for cell, number in enumerate(plan)]
        found = []
        for cell, all_weeks in enumerate(self.weeks):
            found.append(self._gains_in(cell, all_weeks, row, level, tired))
            _, level, tired = self.lives.live([row[cell]], level, tired, first=cell)
        return [[value - gains[plan[cell]] for value in gains] for cell, gains in enumerate(found)]

    def _gains_in(
        self, cell: int, some: Sequence[Week], row: Sequence[Week], level: Floats, tired: Floats
    ) -> list[float]:
        ends = [self.lives.live([week], level, tired, first=cell) for week in some]
        worths, levels, tireds = (np.stack([end[n] for end in ends]) for n in range(3))
        rest = self.lives.live(row[cell + 1 :], levels, tireds, first=cell + 1)[0]
        total: list[float] = (worths + rest).mean(axis=1).tolist()
        return total

    # --- paths --------------------------------------------------------------------------------

    def laid(self, best: Sequence[int], chosen: Sequence[tuple[Variant, Plan]]) -> Plan:
        """A path as the weeks of all cells."""
        found = dict(self.given)
        for number in best:
            column = self.search.candidates.all[number]
            found.update(zip(range(column.first, column.last + 1), chosen[number][1], strict=True))
        return tuple(found[cell] for cell in range(len(self.weeks)))

    def priced(
        self, gains: Sequence[Sequence[float]], plan: Plan, price: float
    ) -> tuple[Prices, list[tuple[Variant, Plan]]]:
        """Best paths where each week gains as alone, less a price for each day that is another."""
        length = [cell.span.length for cell in self.search.grid.cells]
        worths, chosen = [], []
        for number, options in enumerate(self.options):
            first = self.search.candidates.all[number].first

            def sum_of(option: tuple[Variant, Plan], first: int = first) -> float:
                return sum(
                    gains[cell][week] - price * length[cell] * (plan[cell] != week)
                    for cell, week in enumerate(option[1], start=first)
                )

            best = max(options, key=sum_of)
            chosen.append(best)
            worths.append(round(PARTS * sum_of(best)))
        return Prices(self.graph, worths), chosen

    def improved(self, plan: Plan) -> Iterator[tuple[Plan, list[tuple[Variant, Plan]], Any]]:
        """Plans that may be better, the boldest first."""
        gains, now = self.gains(plan), self.worth(plan)
        for share in PRICES_OF_CHANGE:
            prices, chosen = self.priced(gains, plan, share * now)
            best = prices.best()
            assert best is not None
            yield self.laid(best.columns, chosen), chosen, best.columns
        prices, chosen = self.priced(gains, plan, PRICES_OF_CHANGE[1] * now)
        likely = sorted(prices.through, key=lambda n: -prices.through[n])[: 4 * TRIED]
        seen: set[Plan] = {plan}
        for number in likely:
            columns = prices.through_path(number)
            laid = self.laid(columns, chosen)
            if laid not in seen and len(seen) <= TRIED:
                seen.add(laid)
                yield laid, chosen, columns

    def climb(self, start: Filled) -> tuple[float, Filled]:
        """The best plan found from one on, and what it is worth in the lives it learnt from."""
        plan, filled = self.as_weeks(start), start
        best = self.worth(plan)
        for _ in range(ROUNDS):
            found = [
                (self.worth(laid), laid, c, columns) for laid, c, columns in self.improved(plan)
            ]
            top = max(found, key=lambda one: one[0])
            if top[0] <= best * 1.0002:
                break
            best, plan = top[0], top[1]
            variants = [variant for variant, _ in top[2]]
            filled = _filled(self.search, Best(tuple(top[3]), 0), variants)
        return best, filled

    def as_weeks(self, filled: Filled) -> Plan:
        """A plan as the weeks of all cells."""
        numbers = {(one.kind, one.span): n for n, one in enumerate(self.search.candidates.all)}
        found = dict(self.given)
        for block in filled.blocks:
            if block.kind.chosen:
                at = numbers[block.kind, block.span]
                column = self.search.candidates.all[at]
                variant = Variant(block.emphasis or usual_emphasis(block.kind), block.light_first)
                cells = range(column.first, column.last + 1)
                found.update(zip(cells, self._of_cells(at, variant), strict=True))
        return tuple(found[cell] for cell in range(len(self.weeks)))


def shape(filled: Filled) -> str:
    """Such as "base end 4, strength fin 4, performance 8", in weeks."""
    told = []
    for block in filled.blocks:
        weeks = f"{block.span.length / 7:.3g}"
        about = f" {block.emphasis.value[:7]}" if block.emphasis and block.kind.chosen else ""
        told.append(f"{block.kind.value}{about} {weeks}")
    return ", ".join(told)


def unpreferring(year: Year) -> Filled:
    """The best plan as the program makes it where no soft rule on blocks costs anything."""
    book = book_of(year)
    for code in SOFT_ON_BLOCKS:
        book = book.without(code)
    found = best_plan(year, book=book, confirm=False)
    assert isinstance(found, Found)
    return sessions_of(found)


def reached(year: Year) -> tuple[dict[str, float], float, str]:
    """The oracle over the plan and rules of thumb, over the plan in the lives it learnt from, and
    both years in words."""
    found = planned(year)
    search = found.search
    plans = {
        "plan": sessions_of(found),
        "to the season": made_legal(search, to_the_season(search)),
        "base all year": made_legal(search, base_all_year(search)),
    }
    unbound = unpreferring(year)
    oracle = Oracle(search, Lives(search, LEARNT_FROM, seed=2))
    learnt, best = max((oracle.climb(one) for one in plans.values()), key=lambda one: one[0])
    some = Climbers(year, CLIMBERS)

    def judge(filled: Filled) -> float:
        return float(value(some, lived(year, filled), year).mean())

    most = judge(best)
    own = learnt / oracle.worth(oracle.as_weeks(plans["plan"]))
    told = f"  plan:   {shape(plans['plan'])}\n  oracle: {shape(best)}"
    ratios = {name: most / judge(one) for name, one in plans.items()}
    return ratios | {"plan without preferences": most / judge(unbound)}, own, told


def main() -> None:
    """Every year: what the oracle reaches over the plan and over rules of thumb."""
    rows: dict[str, list[float]] = {}
    for name in sys.argv[1:] or list(judged_years()):
        ratios, own, told = reached(judged_years()[name])
        ratios["plan, in the lives learnt from"] = own
        print(f"{name}: " + ", ".join(f"over {what} {one:.3f}" for what, one in ratios.items()))
        print(told, flush=True)
        for what, one in ratios.items():
            rows.setdefault(what, []).append(one)
    for what, every in rows.items():
        least, most = min(every), max(every)
        print(f"oracle over {what}: mean {np.mean(every):.3f}, least {least:.3f}, most {most:.3f}")


if __name__ == "__main__":
    main()
