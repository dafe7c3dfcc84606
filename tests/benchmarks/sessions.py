"""How long sessions take: `python tests/benchmarks/sessions.py`. Medians of five runs.

The whole year of each demo is filled, then judged, under the plan that is kept beside it. Nothing
is asserted: the figures depend on the machine. Target of placing: < 3 s on two cores.
"""

from __future__ import annotations

import statistics
from pathlib import Path
from time import perf_counter

from seasonplan import store
from seasonplan.almanac import Almanac
from seasonplan.checker import check_sessions
from seasonplan.planner.sessions import place
from seasonplan.rules import book_of

DEMO = Path(__file__).parent.parent.parent / "calendars_demo"
RUNS = 5


def run(folder: Path) -> tuple[float, float, int, int]:
    """Seconds to place, seconds to judge, sessions, weeks with something missing."""
    year, plan = store.load_year(folder).year, store.load_plan(folder)
    assert plan is not None
    blocks, book = plan.plan.current.blocks, book_of(year)
    began = perf_counter()
    placed = place(Almanac(year), blocks, book=book)
    filled = perf_counter()
    check_sessions(year, blocks, placed.sessions, placed.shortfalls, book=book)
    judged = perf_counter()
    return filled - began, judged - filled, len(placed.sessions), len(placed.shortfalls)


def main() -> None:
    for folder in sorted(path.parent for path in DEMO.glob("*/year.toml")):
        rows = [run(folder) for _ in range(RUNS)]
        placing, judging = (statistics.median(row[n] for row in rows) for n in (0, 1))
        print(
            f"{folder.name:20} placed {placing:.2f} s  judged {judging:.3f} s  "
            f"{rows[0][2]} sessions, {rows[0][3]} weeks not filled"
        )


if __name__ == "__main__":
    main()
