"""Silly shapes in plans of random years: `python tests/benchmarks/random_years.py [years]`.

Counts, over 100 years (or as many as said), those in which a shape of
`tests/support/silly_shapes.py` occurs, years without a plan and why, and disagreements of
planner and checker. Goal: each shape in fewer than two of a hundred, or
explained. Nothing is asserted.
"""

from __future__ import annotations

import sys
import traceback
from collections import Counter, defaultdict
from datetime import UTC, datetime
from multiprocessing import Pool
from pathlib import Path
from uuid import UUID

sys.path.insert(0, str(Path(__file__).parent.parent / "support"))

from could_keep import could_keep, findings_of
from random_years import random_year
from silly_shapes import SHAPES, Looked

from seasonplan.errors import Misuse
from seasonplan.planner.run import Found, best_plan
from seasonplan.planning.replan import NoPlan, Planned, Provenance, plan_year
from seasonplan.rules.statements import book_of

KEY = UUID("5a0c7c2e-0d1f-4a53-9d0e-6a6f2f4b1c22")
ONCE = Provenance("random", datetime(2027, 1, 1, tzinfo=UTC), "-")
SHOWN = 6  # sights of each shape that are printed

Row = tuple[int, list[tuple[str, str]]]


def looked_at(number: int) -> Row:
    """What is silly in the plan of one year: (shape, where and what)."""
    drawn = random_year(number)
    try:
        made = plan_year(drawn.year, ONCE, previous=None, calendar_key=KEY, taken=drawn.taken)
    except Misuse as fault:
        return number, [("planner and checker disagree", str(fault)[:600])]
    except Exception:  # a crash is what is counted here
        return number, [("crash", traceback.format_exc()[-500:])]
    if isinstance(made, NoPlan):
        return number, [("no plan", ", ".join(p.name for p in made.conflict.parties))]
    assert isinstance(made, Planned)
    best = best_plan(drawn.year, book=book_of(drawn.year), taken=drawn.taken, confirm=False)
    assert isinstance(best, Found)
    seen = Looked(drawn, made.plan.current, best.search.weeks.rock)
    found = [(name, f"{day} {what}") for name, shape in SHAPES.items() for day, what in shape(seen)]
    found += [
        ("a preference told that nobody could keep", f"{told.span.first} {told.code}")
        for told in findings_of(drawn, made.plan.current, made.plan.current.sessions)
        if told.strength == "soft" and not could_keep(drawn, made.plan.current, told)
    ]
    proof = made.plan.current.proof
    if proof is None or not proof.confirmed:
        found.append(("not confirmed", "the solver did not come to an end"))
    return number, found


def told(rows: list[Row]) -> None:
    years: Counter[str] = Counter()
    sights: dict[str, list[str]] = defaultdict(list)
    for number, found in rows:
        years.update({name for name, _ in found})
        for name in {name for name, _ in found}:
            of = [what for other, what in found if other == name]
            sights[name].append(f"year {number}: {len(of)} x, first {of[0]}")
    for name, count in years.most_common():
        print(f"\n{name}: {count} of {len(rows)} years")
        for line in sights[name][:SHOWN]:
            print(f"    {line}")


def main() -> None:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 100
    first = int(sys.argv[2]) if len(sys.argv) > 2 else 0
    with Pool(2) as pool:
        told(list(pool.imap(looked_at, range(first, first + count))))


if __name__ == "__main__":
    main()
