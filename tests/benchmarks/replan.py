"""How long an answer to news takes: `python tests/benchmarks/replan.py`. Medians of five runs.

The five cases of `tests/support/autumn.py`, each as the library proposes it, its weeks kept; the
other answers and the causes, the proposal known; the whole command from the start of the
interpreter; then the plan a hand left, arranged and judged. Nothing is asserted: the figures
depend on the machine. Targets, on two cores: a proposal < 0.3 s, arranged and judged < 100 ms.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from time import perf_counter

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE.parent / "support"))

from autumn import NEWS, first_plan, occasion, planned, told, year_of  # noqa: E402  (path first)

from seasonplan.checker import check  # noqa: E402
from seasonplan.explain.causes import Causes  # noqa: E402
from seasonplan.planner import search as searches  # noqa: E402
from seasonplan.planning.arrange import arranged_plan  # noqa: E402
from seasonplan.planning.proposal import Keep, Proposal, alternatives, propose  # noqa: E402
from seasonplan.planning.replan import NoPlan, Stopped  # noqa: E402
from seasonplan.rules.statements import book_of  # noqa: E402
from seasonplan.rules.tables import keep_points  # noqa: E402

RUNS = 5
PROGRAM = "from seasonplan.cli import main; main()"


def median(work: Callable[[], object], runs: int = RUNS) -> float:
    seconds = []
    for _ in range(runs):
        began = perf_counter()
        work()
        seconds.append(perf_counter() - began)
    return statistics.median(seconds)


def proposed(case: str) -> Proposal | NoPlan | Stopped:
    name = f"autumn-{case}"
    return propose(
        year_of(name), occasion(name), previous=first_plan(), old_year=year_of("autumn"),
        today=NEWS[case].today, keep=keep_points(Keep.MEDIUM),
    )  # fmt: skip


def others(case: str) -> object:
    name = f"autumn-{case}"
    return alternatives(
        year_of(name), occasion(name), previous=first_plan(), old_year=year_of("autumn"),
        today=NEWS[case].today,
    )  # fmt: skip


def caused(proposal: Proposal) -> object:
    causes = Causes(proposal)
    return [causes.of(change) for change in proposal.blocks]


def anew(case: str) -> object:
    searches._kept.clear()
    return proposed(case)


def command(folder: Path, case: str) -> object:
    words = ["replan", str(told(folder, case)), "--look", "--today", str(NEWS[case].today)]
    return subprocess.run(
        [sys.executable, "-c", PROGRAM, *words], cwd=HERE.parent.parent, check=True,
        capture_output=True,
    )  # fmt: skip


def by_hand(case: str) -> object:
    year = year_of(f"autumn-{case}")
    return check(year, arranged_plan(year, first_plan().current.blocks, book=book_of(year)).blocks)


def main() -> None:
    first_plan()
    with tempfile.TemporaryDirectory() as name:
        folder = planned(Path(name))
        for case in NEWS:
            made = proposed(case)  # imports and tables are read once
            assert isinstance(made, Proposal)
            print(
                f"{case:24} proposed {median(lambda case=case: anew(case)):.2f} s"
                f"  causes {median(lambda made=made: caused(made), 1):.2f} s"
                f"  other answers {median(lambda case=case: others(case), 1):.2f} s"
                f"  whole command {median(lambda case=case: command(folder, case), 3):.2f} s"
                f"  by hand {1000 * median(lambda case=case: by_hand(case)):.0f} ms"
            )


if __name__ == "__main__":
    main()
