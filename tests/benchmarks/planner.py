"""How fast the planner is: `python tests/benchmarks/planner.py [--exact N]`. Medians of five runs.

Each run is a process of its own, since weeks once composed may be kept. Nothing here is asserted:
the figures depend on the machine. Goals, on two cores: one year with its weeks < 0.5 s, two years
< 2 s, the search itself < 20 ms. With `--exact N` the choice of N random years is made again by
HiGHS and by CP-SAT, and prices with the block forced: of 20 blocks of each year by CP-SAT, of each
chosen block of every tenth year by HiGHS.
"""

from __future__ import annotations

import json
import random
import statistics
import subprocess
import sys
from collections import Counter
from pathlib import Path
from time import perf_counter
from typing import Any

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE.parent / "support"))
RUNS = 5
YEARS = ("one-year", "two-years", "busy")


def read(name: str) -> Any:
    from seasonplan.year.toml import read_year

    file = HERE / f"{name}.toml"
    return read_year(file.read_text(encoding="utf-8"), file=file.name)


def measured(name: str) -> dict[str, float]:
    """Seconds of each step of one year, from the year as read."""
    from seasonplan.planner.confirm import confirmed
    from seasonplan.planner.fill import fill
    from seasonplan.planner.path import Prices
    from seasonplan.planner.search import Search
    from seasonplan.rules.statements import book_of

    year = read(name)
    book = book_of(year)
    marks = [perf_counter()]
    search = Search(year, book=book)
    graph = search.graph
    marks.append(perf_counter())
    worths = [worth for _, worth in search.best_variants]
    marks.append(perf_counter())
    best = Prices(graph, worths).best()
    marks.append(perf_counter())
    assert best is not None
    _ = search.prices.through
    marks.append(perf_counter())
    confirmed(search.candidates, worths, best, softs=search.softs)
    marks.append(perf_counter())
    fill(search.weeks, search.candidates, search.blocks(best))
    marks.append(perf_counter())
    names = ("graph", "weeks and worths", "search", "all prices", "confirmation", "sessions")
    found = {n: b - a for n, a, b in zip(names, marks, marks[1:], strict=False)}
    found["whole year, not confirmed"] = sum(found.values()) - found["confirmation"]
    found["candidates"] = len(worths)
    return found


def exact(count: int) -> None:
    """Whether three methods agree on random years, and how long HiGHS takes for it."""
    from forced import solver_agrees
    from random_years import random_year
    from second_model import solve

    from seasonplan.planner.confirm import confirmed
    from seasonplan.planner.search import Search
    from seasonplan.rules.statements import book_of

    agree = asked = priced = 0
    unproven: list[int] = []
    blocks: Counter[bool | None] = Counter()
    for number in range(count):
        drawn = random_year(number)
        search = Search(drawn.year, book=book_of(drawn.year), taken=drawn.taken)
        best = search.prices.best() if search.graph.possible else None
        other = solve(search, seconds=60)
        if best is None or other is None:
            unproven.append(number) if best is not None else None
            continue
        asked += 1
        worths = [worth for _, worth in search.best_variants]
        cp = confirmed(search.candidates, worths, best, softs=search.softs)
        agree += other.worth == best.worth and cp is not False
        if cp is None:
            unproven.append(number)
        every = sorted(search.prices.through)
        some = random.Random(number).sample(every, min(20, len(every)))
        blocks.update(solver_agrees(search, n) for n in some)
        if number % 10 == 0:
            for n in best.columns:
                forced = solve(search, forced=n, seconds=60)
                priced += forced is not None and forced.worth == search.prices.through[n]
    print(f"{agree} of {asked} random years the same by three methods; {priced} prices the same;")
    print(f"{blocks[True]} blocks of them at the same price by CP-SAT, {blocks[False]} at another,")
    print(f"{blocks[None]} not proven; years not proven in the time given: {unproven}")


def main() -> None:
    if sys.argv[1:2] == ["--exact"]:
        exact(int(sys.argv[2]))
        return
    if sys.argv[1:2] == ["--one"]:
        print(json.dumps(measured(sys.argv[2])))
        return
    for name in YEARS:
        rows = [
            json.loads(
                subprocess.run(
                    [sys.executable, __file__, "--one", name],
                    check=True, capture_output=True, text=True,
                ).stdout
            )
            for _ in range(RUNS)
        ]  # fmt: skip
        print(f"{name}:")
        for key in rows[0]:
            print(f"    {key:28} {statistics.median(row[key] for row in rows):8.3f}")


if __name__ == "__main__":
    main()
