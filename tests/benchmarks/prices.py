"""How fast the year answers under the hand: `python tests/benchmarks/prices.py`. Medians.

All prices of a year once its candidates stand, beside HiGHS and CP-SAT on the same candidates in
the same run; a year searched again with its weeks kept; other years nearly as good; a held block
moved and drawn; `why` for the whole year from the start of the interpreter. Nothing is asserted:
the figures depend on the machine. Goals, on two cores: prices < 50 ms (two years < 200), a held
block < 60 ms median and 100 at most, `why` < 2 s, a year searched again < 300 ms.
"""

from __future__ import annotations

import asyncio
import os
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Callable
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from time import perf_counter

HERE = Path(__file__).parent
sys.path[:0] = [str(HERE.parent / "support"), str(HERE)]

from planner import read  # noqa: E402  (path first)

from seasonplan.planner import search as searches  # noqa: E402
from seasonplan.planner.confirm import confirmed  # noqa: E402
from seasonplan.planner.held import Hold, priced_year  # noqa: E402
from seasonplan.planner.path import Prices  # noqa: E402
from seasonplan.planner.pool import near_best  # noqa: E402
from seasonplan.planner.run import best_plan  # noqa: E402
from seasonplan.planner.search import Search  # noqa: E402
from seasonplan.rules.statements import RuleBook, book_of  # noqa: E402
from seasonplan.workspace.desk import Desk  # noqa: E402
from seasonplan.year import Year  # noqa: E402

RUNS = 7
YEARS = ("one-year", "two-years")
STAMP = datetime(2025, 12, 1, 8, tzinfo=UTC)
PROGRAM = "from seasonplan.cli import main; main()"
SIZES = ((80, 24), (160, 50))


def times(work: Callable[[], object], runs: int = RUNS) -> list[float]:
    """Milliseconds of some runs."""
    found = []
    for _ in range(runs):
        began = perf_counter()
        work()
        found.append(1000 * (perf_counter() - began))
    return found


def told(name: str, found: list[float]) -> None:
    print(f"    {name:44} {statistics.median(found):8.1f} ms, most {max(found):8.1f}")


def quietly(run: list[str], bytecode: Path) -> object:
    """A whole command as one that is installed: its bytecode is there from the second run on."""
    env = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    env["PYTHONPYCACHEPREFIX"] = str(bytecode)
    return subprocess.run(run, cwd=HERE.parent.parent, check=True, capture_output=True, env=env)


def all_prices(search: Search) -> object:
    """Prices of every candidate in points and days on rock, from worths that stand."""
    held = [
        search.amount(column, search.best_variants[n][0])
        for n, column in enumerate(search.candidates.all)
    ]
    prices = Prices(search.graph, [worth for _, worth in search.best_variants])
    return prices.through, prices.along(held)


def forgotten(work: Callable[..., object], year: Year, book: RuleBook) -> object:
    """A search of which only the composed weeks are known."""
    searches._kept.clear()
    return work(year, book=book, confirm=False)


def searched(name: str) -> None:
    from second_model import solve

    year = read(name)
    book = book_of(year)
    told(
        "a year searched for the first time",
        times(lambda: best_plan(year, book=book, confirm=False), 1),
    )
    told("searched again, its weeks kept", times(lambda: forgotten(best_plan, year, book)))
    told("asked again", times(lambda: best_plan(year, book=book, confirm=False)))
    search = Search(year, book=book)
    best = search.prices.best()
    assert best is not None
    told(f"all {len(search.candidates.all)} prices", times(lambda: all_prices(search)))
    slack = round(0.02 * best.worth)
    blocks = search.blocks(best)
    told("two other years", times(lambda: near_best(search, best, blocks, count=2, slack=slack), 3))
    worths = [worth for _, worth in search.best_variants]
    told("CP-SAT, the best year alone", times(
        lambda: confirmed(search.candidates, worths, best, softs=search.softs), 1
    ))  # fmt: skip
    told("HiGHS, the best year alone", times(lambda: solve(search, seconds=60), 1))


async def held(folder: Path, size: tuple[int, int]) -> list[float]:
    """A block carried over the whole width, each step priced, rearranged and drawn."""
    from tui.app import SeasonApp
    from tui.year.grip import Grip
    from tui.year.holding import Holding
    from tui.year.lanes import Lane
    from tui.year.sheet import YearSheet
    from tui.year.strip import Priced

    desk = Desk(folder)
    assert desk.plan is not None
    priced = priced_year(desk.year, desk.plan.current, book=desk.book)
    assert priced is not None
    priced.ready()
    from seasonplan.planner.held import Held

    found: list[float] = []
    app = SeasonApp(folder, today=desk.year.span.first, stamp=lambda: STAMP)
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        view = pilot.app.screen.query_one(YearSheet)
        assert view.sheet is not None
        row = next(row for row in view.sheet.rows if row.lane is Lane.PLAN)
        mark = next(m for m in row.marks if m.kind and m.kind.value == "strength")
        assert mark.kind is not None
        view.holding = Holding(mark, Grip.WHOLE, mark.span.first)
        view.price(Priced.of(Held(priced, mark.kind, mark.span), Hold.WHOLE, desk.year))
        for column in range(view.scale.width):
            began = perf_counter()
            view.holding.drag_to(view.scale.day(column))
            view.redraw()
            for line in range(view.size.height):
                view.render_line(line)
            found.append(1000 * (perf_counter() - began))
    return found


def main() -> None:
    for name in YEARS:
        print(f"{name}:")
        searched(name)
        with tempfile.TemporaryDirectory() as place:
            folder = Path(place)
            (folder / "year.toml").write_text((HERE / f"{name}.toml").read_text())
            Desk(folder).make_plan("measured", stamp=STAMP)
            for size in SIZES:
                steps = asyncio.run(held(folder, size))
                told(f"a held block moved, {size[0]} x {size[1]}", steps)
            words = ["why", str(folder), "--plain", "--today", str(read(name).span.first)]
            run = [sys.executable, "-c", PROGRAM, *words]
            whole = partial(quietly, run, folder / "bytecode")
            whole()
            told("why, whole command", times(whole, 3))


if __name__ == "__main__":
    main()
