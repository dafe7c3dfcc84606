"""How fast the planner is: `python tests/benchmarks/planner.py`. Medians of five runs.

Each run is a process of its own, so that memory is that of one run. Nothing here is asserted: the
figures depend on the machine. Targets are those of DEVELOPERS.md, for two cores.
"""

from __future__ import annotations

import json
import statistics
import subprocess
import sys
from pathlib import Path
from time import perf_counter
from typing import Any

HERE = Path(__file__).parent
RUNS = 5
YEARS = ("one-year", "two-years", "busy")
GAPS = (0.02, 0.005)
TARGETS = {
    "first valid plan": "< 0.5 s",
    "within 2 %": "two years < 15 s",
    "within 0.5 %": "one year < 3 s",
    "optimal": "one year < 10 s",
    "peak memory": "< 400 MB",
}


def read(name: str) -> Any:
    from seasonplan.year.toml import read_year

    file = HERE / f"{name}.toml"
    return read_year(file.read_text(encoding="utf-8"), file=file.name)


def run_planner(name: str) -> dict[str, float | None]:
    """Seconds from the entered year to each mark, and megabytes at the end."""
    import resource

    from seasonplan.planner.run import Found, Progress, best_plan
    from seasonplan.rules import book_of

    year = read(name)
    figures: dict[str, float | None] = {}
    began = perf_counter()

    def tell(_: Progress) -> None:
        figures.setdefault("first valid plan", perf_counter() - began)

    found = best_plan(year, book=book_of(year), on_progress=tell)
    assert isinstance(found, Found)
    figures["optimal"] = perf_counter() - began if found.proof.optimal else None
    for gap in GAPS:
        began = perf_counter()
        best_plan(year, book=book_of(year), gap=gap)
        figures[f"within {100 * gap:g} %"] = perf_counter() - began
    figures["peak memory"] = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    return figures


def run_other(name: str) -> dict[str, float | None]:
    """Seconds of both solvers to a proven optimum, models built before."""
    sys.path.insert(0, str(HERE.parent))
    from second_model import Problem, solve

    from seasonplan.planner.run import best_plan
    from seasonplan.rules import book_of

    year = read(name)
    began = perf_counter()
    best_plan(year, book=book_of(year))
    ours = perf_counter() - began
    began = perf_counter()
    other = solve(Problem(year), seconds=120)
    seconds = perf_counter() - began
    return {"CP-SAT": ours, "HiGHS": seconds if other else None}


def measured(what: str, name: str, *, runs: int) -> dict[str, float | None]:
    """Median of each figure over runs, each in a fresh interpreter."""
    rows = []
    for _ in range(runs):
        done = subprocess.run(
            [sys.executable, __file__, what, name], capture_output=True, text=True, check=True
        )
        rows.append(json.loads(done.stdout.splitlines()[-1]))
    return {key: median([row[key] for row in rows]) for key in rows[0]}


def median(values: list[float | None]) -> float | None:
    """None if any run did not get there."""
    reached = [value for value in values if value is not None]
    return statistics.median(reached) if len(reached) == len(values) else None


def told(value: float | None, unit: str) -> str:
    if value is None:
        return "not reached"
    return f"{value:.2f} s" if unit == "s" else f"{value:.0f} {unit}"


def main() -> None:
    for name in YEARS:
        print(name)
        for key, value in measured("planner", name, runs=RUNS).items():
            unit = "MB" if key == "peak memory" else "s"
            print(f"  {key:18}{told(value, unit):>14}   target {TARGETS[key]}")
        both = measured("other", name, runs=3)
        ratio = both["HiGHS"] / both["CP-SAT"] if both["HiGHS"] and both["CP-SAT"] else None
        print(f"  {'CP-SAT':18}{told(both['CP-SAT'], 's'):>14}   building the model included")
        print(f"  {'HiGHS':18}{told(both['HiGHS'], 's'):>14}   the network form, building included")
        print(f"  {'HiGHS : CP-SAT':18}{'-' if ratio is None else f'{ratio:.2f}':>14}")


if __name__ == "__main__":
    if len(sys.argv) == 3:
        run = {"planner": run_planner, "other": run_other}[sys.argv[1]]
        print(json.dumps(run(sys.argv[2])))
    else:
        main()
