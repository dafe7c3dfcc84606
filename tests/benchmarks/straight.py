"""What straight worth loses against the concave one: `python tests/benchmarks/straight.py [years]`.

For each year file of `tests/years`, each of the judged years, or those named: the plan as it is
kept, valued by the concave worth that the straight one stands for, against the best of the same
candidates by that worth, in per cent of the scale (what all form of the year is worth for one
rating step): at least and at most so much (`straight_loss`). `onward` is what a second planning
with the slopes at the plan's own form, the better of both kept, would leave of the loss. Nothing is
asserted; the goal is 0.3 %.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent / "support"))

from judged_years import judged_years
from places import TESTS
from straight_loss import Between, loss_between

from seasonplan.planner.run import Found, best_plan
from seasonplan.rules.statements import book_of
from seasonplan.year import Year
from seasonplan.year.toml import read_year

GOAL = 0.3


def years() -> Iterator[tuple[str, Year]]:
    """Year files of the tests, then the years that plans are judged on."""
    for path in sorted((TESTS / "years").glob("*.toml")):
        yield path.stem, read_year(path.read_text(encoding="utf-8"), file=path.name)
    yield from judged_years().items()


def main() -> None:
    print(f"{'per cent of the scale':32} {'lost':>16} {'onward':>8}")
    some: list[Between] = []
    for name, year in years():
        if sys.argv[1:] and name not in sys.argv[1:]:
            continue
        found = best_plan(year, book=book_of(year), confirm=False)
        if not isinstance(found, Found):
            continue
        one = loss_between(found.search)
        some.append(one)
        between = f"{one.least:.3f} to {one.most:.3f}"
        print(f"{name:32} {between:>16} {one.onward:8.3f}  ({one.seconds:.0f} s)", flush=True)
    over = sum(one.least > GOAL for one in some)
    left = sum(one.onward > GOAL for one in some)
    print(f"{len(some)} years: more than {GOAL} % lost in {over}, onward in {left}", end="")
    print(f", mean {sum(one.least for one in some) / len(some):.3f} %")


if __name__ == "__main__":
    main()
