"""Which small changes of the code no test sees: `python tests/benchmarks/mutants.py [AREA ...]`.

Changes one comparison, number, `and`, `not` or sign at a time in memory, never on the disk, and
runs the tests of that area in a process of its own; lists the changes that survived. Nothing is
asserted, and some survivors change nothing that can be told apart. `--sample N` takes N changes of
each area by lot, `--seconds` bounds each run (a run that takes longer counts as seen), `--list`
only counts.
"""

from __future__ import annotations

import argparse
import ast
import contextlib
import copy
import importlib
import os
import random
import signal
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass
from importlib.machinery import SourceFileLoader
from pathlib import Path

HERE = Path(__file__).resolve().parent
ROOT = HERE.parent.parent
JUDGED = ["test_planner_judged"]
CHECKER = [
    "test_checker", "test_checker_body", "test_checker_care", "test_checker_costs",
    "test_checker_fresh", "test_checker_lengths", "test_checker_needs", "test_checker_rock",
    "test_checker_sequence", "test_checker_sessions", "test_checker_sessions_weeks",
    "test_checker_sums", "test_planner_judged",
]  # fmt: skip
AREAS: dict[str, tuple[str, list[str]]] = {
    "limits": ("seasonplan/planner/limits.py", JUDGED),
    "spacing": ("seasonplan/planner/spacing.py", JUDGED),
    "order": ("seasonplan/planner/order.py", JUDGED),
    "checker": ("seasonplan/checker", CHECKER),
    "harm": ("seasonplan/edits/harm.py", ["test_harm", "test_edits_past"]),
    "blocks": ("seasonplan/edits/blocks.py", ["test_edits_blocks", "test_edits_past"]),
    "days": (
        "seasonplan/edits/standing.py", ["test_edits", "test_edits_past", "test_edits_sessions"],
    ),
    "disk": (
        "seasonplan/files/disk.py", ["test_store", "test_store_together", "test_files_hostile"],
    ),
    "event": ("seasonplan/ical/event.py", ["test_ical_lines", "test_ical", "test_ical_sessions"]),
    "causes": ("seasonplan/explain/causes.py", ["test_causes"]),
}  # fmt: skip
COMPARISONS: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt, ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq, ast.Is: ast.IsNot, ast.IsNot: ast.Is, ast.In: ast.NotIn, ast.NotIn: ast.In,
}  # fmt: skip
SIGNS: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Add, ast.Div: ast.Mult, ast.BitOr: ast.BitAnd,
    ast.BitAnd: ast.BitOr,
}  # fmt: skip
BELOW = ("year", "plan", "rules", "recipes", "injury", "almanac", "worth", "load", "findings")
PASSED = 0


@dataclass(frozen=True)
class Mutant:
    """One change of one file: `told` is where, what was and what is."""

    path: Path
    line: int
    told: str
    tree: ast.Module


def mutants(path: Path) -> list[Mutant]:
    """Every change of a file, in order of its lines."""
    source = ast.parse(path.read_text(encoding="utf-8"))
    count = len(list(_places(source)))
    return [_mutant(path, source, at) for at in range(count)]


def _mutant(path: Path, source: ast.Module, at: int) -> Mutant:
    tree = copy.deepcopy(source)
    node, turn = list(_places(tree))[at]
    was = ast.unparse(node)
    turn()
    line = getattr(node, "lineno", 0)
    ast.fix_missing_locations(tree)
    return Mutant(path, line, f"{was}  ->  {ast.unparse(node)}", tree)


def _places(tree: ast.Module) -> Iterator[tuple[ast.AST, object]]:
    """(what changes, how) for every place; types and what only tools read are let be."""
    for node in _code(tree):
        if isinstance(node, ast.Compare):
            for n, op in enumerate(node.ops):
                if type(op) in COMPARISONS:
                    yield (
                        node,
                        lambda node=node, n=n, op=op: _set(node.ops, n, COMPARISONS[type(op)]()),
                    )
        elif isinstance(node, ast.BoolOp):
            other = ast.Or() if isinstance(node.op, ast.And) else ast.And()
            yield node, lambda node=node, other=other: setattr(node, "op", other)
        elif isinstance(node, ast.BinOp) and type(node.op) in SIGNS:
            other_sign = SIGNS[type(node.op)]()
            yield node, lambda node=node, sign=other_sign: setattr(node, "op", sign)
        elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not):
            yield node, lambda node=node: _without_not(node)
        elif isinstance(node, ast.Constant) and isinstance(node.value, (bool, int, float)):
            yield (
                node,
                lambda node=node: setattr(
                    node,
                    "value",
                    (not node.value) if isinstance(node.value, bool) else node.value + 1,
                ),
            )


def _set(things: list[ast.cmpop], at: int, new: ast.cmpop) -> None:
    things[at] = new


def _without_not(node: ast.UnaryOp) -> None:
    """`not x` becomes `not not x`."""
    node.operand = ast.UnaryOp(ast.Not(), node.operand)


def _code(node: ast.AST) -> Iterator[ast.AST]:
    for name, value in ast.iter_fields(node):
        if name in ("annotation", "returns", "type_comment", "decorator_list"):
            continue
        for child in value if isinstance(value, list) else [value]:
            if not isinstance(child, ast.AST):
                continue
            if isinstance(child, ast.If) and ast.unparse(child.test) == "TYPE_CHECKING":
                continue
            yield child
            yield from _code(child)


def survives(mutant: Mutant, tests: list[str], *, seconds: float) -> bool:
    """Whether the tests pass with the change, run in a child of this process."""
    child = os.fork()
    if child == 0:
        _run(mutant, tests)
    ends = time.monotonic() + seconds
    while time.monotonic() < ends:
        done, status = os.waitpid(child, os.WNOHANG)
        if done:
            return os.waitstatus_to_exitcode(status) == PASSED
        time.sleep(0.05)
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    return False


def _run(mutant: Mutant, tests: list[str]) -> None:
    """In the child: import with the change and run the tests; never comes back."""
    code = compile(mutant.tree, str(mutant.path), "exec")
    before = SourceFileLoader.get_code

    def get_code(self: SourceFileLoader, fullname: str) -> object:
        same = Path(self.path) == mutant.path
        return code if same else before(self, fullname)

    SourceFileLoader.get_code = get_code  # type: ignore[method-assign, assignment]
    ended = 1
    with contextlib.suppress(BaseException), Path(os.devnull).open("w") as nowhere:
        os.dup2(nowhere.fileno(), 1)
        os.dup2(nowhere.fileno(), 2)
        ended = _pytest(tests)
    os._exit(int(ended))


def _pytest(tests: list[str]) -> int:
    import pytest

    files = [str(next((ROOT / "tests").rglob(f"{name}.py"))) for name in tests]
    return pytest.main(["-x", "-q", "-p", "no:cacheprovider", "-p", "no:xdist", *files])


def _warm() -> None:
    """What is heavy and is not changed, imported once: a change of it would not be seen."""
    import icalendar  # noqa: F401
    import pytest  # noqa: F401
    import typer.testing  # noqa: F401

    for name in BELOW:
        importlib.import_module(f"seasonplan.{name}")
    known = {getattr(module, "__file__", None) for module in sys.modules.values()}
    areas = [ROOT / where for where, _ in AREAS.values()]
    early = [name for name in known if name and any(Path(name).is_relative_to(a) for a in areas)]
    assert not early, f"imported too early: {early}"


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    asked.add_argument("areas", nargs="*", metavar="AREA", help=", ".join(AREAS))
    asked.add_argument("--sample", type=int, default=0)
    asked.add_argument("--seed", default="sample")
    asked.add_argument("--seconds", type=float, default=120.0)
    asked.add_argument("--list", action="store_true")
    said = asked.parse_args()
    sys.path[:0] = [str(ROOT), str(ROOT / "tests" / "support")]
    os.chdir(ROOT)
    _warm()
    for area in said.areas or AREAS:
        where, tests = AREAS[area]
        path = ROOT / where
        files = [path] if path.is_file() else sorted(path.rglob("*.py"))
        every = [one for file in files for one in mutants(file)]
        if said.sample:
            chosen = random.Random(said.seed).sample(every, min(said.sample, len(every)))
            every = [one for one in every if one in chosen]
        if said.list:
            print(f"{area}: {len(every)} changes")
            continue
        _tell(area, every, tests, seconds=said.seconds)


def _tell(area: str, every: list[Mutant], tests: list[str], *, seconds: float) -> None:
    began, left = time.monotonic(), 0
    sound = ast.parse(every[0].path.read_text(encoding="utf-8"))
    if not survives(Mutant(every[0].path, 0, "nothing", sound), tests, seconds=seconds):
        print(f"{area}: the tests fail, or take too long, without any change")
        return
    for one in every:
        own_first = sorted(tests, key=lambda name: one.path.stem not in name)
        if survives(one, own_first, seconds=seconds):
            left += 1
            print(f"  {one.path.relative_to(ROOT)}:{one.line}: {one.told}", flush=True)
    share = 100 * left / max(1, len(every))
    took = time.monotonic() - began
    print(f"{area}: {left} of {len(every)} survive ({share:.0f} %), {took:.0f} s", flush=True)


if __name__ == "__main__":
    main()
