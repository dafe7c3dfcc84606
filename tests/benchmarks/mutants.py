"""Which small changes of the code no test sees: `python tests/benchmarks/mutants.py [AREA ...]`.

Changes one comparison, number, `and`, `not` or sign at a time in memory, never on the disk, and
runs the tests of that area in a process of its own; lists the changes that survived. Tests are
collected once: a child of this process exchanges the code of the functions it changes, and programs
that its tests start import the changed file. Nothing is asserted, and some survivors change nothing
that can be told apart. `--sample N` takes N changes of each area by lot, `--seconds` bounds each
run (a run that takes longer counts as seen), `--list` only counts. Do not edit the files meanwhile.
"""

from __future__ import annotations

import argparse
import ast
import contextlib
import copy
import gc
import marshal
import os
import random
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from importlib.machinery import SourceFileLoader
from pathlib import Path
from types import CodeType, FunctionType

import pytest

HERE = Path(__file__).resolve().parent
ROOT = HERE.parent.parent
JUDGED = ["test_planner_judged"]
CHECKER = [
    "test_checker", "test_checker_body", "test_checker_care", "test_checker_costs",
    "test_checker_fresh", "test_checker_lengths", "test_checker_missed", "test_checker_needs",
    "test_checker_past", "test_checker_rock", "test_checker_sequence", "test_checker_sessions",
    "test_checker_sessions_weeks", "test_checker_sums", "test_checker_today", "test_planner_judged",
]  # fmt: skip
EDITS = [
    "test_edits", "test_edits_blocks", "test_edits_changes", "test_edits_draft",
    "test_edits_fields", "test_edits_filled", "test_edits_harm", "test_edits_kept",
    "test_edits_lines", "test_edits_marks", "test_edits_paper", "test_edits_past",
    "test_edits_registry", "test_edits_repeated", "test_edits_room", "test_edits_said",
    "test_edits_sessions", "test_edits_standing",
]  # fmt: skip
PLANNER = [
    f"test_planner_{name}"
    for name in (
        "accepted", "begun", "compose", "conflict", "courses", "every_path", "fill", "fingers",
        "frames", "grid", "judged", "kept", "levels", "menu_lists", "nearly_as_good", "others",
        "outings", "run", "standing", "values", "weekly", "wished",
    )
]  # fmt: skip
AREAS: dict[str, tuple[str, list[str]]] = {
    "planner": ("seasonplan/planner", PLANNER),
    "limits": ("seasonplan/planner/limits.py", JUDGED),
    "spacing": ("seasonplan/planner/spacing.py", JUDGED),
    "order": ("seasonplan/planner/order.py", JUDGED),
    "checker": ("seasonplan/checker", CHECKER),
    "edits": ("seasonplan/edits", EDITS),
    "harm": ("seasonplan/edits/harm.py", ["test_edits_harm", "test_edits_past"]),
    "blocks": ("seasonplan/edits/blocks.py", ["test_edits_blocks", "test_edits_past"]),
    "days": (
        "seasonplan/edits/standing.py",
        ["test_edits_standing", "test_edits", "test_edits_blocks", "test_edits_past"],
    ),
    "disk": (
        "seasonplan/files/disk.py",
        ["test_store_together", "test_store_diary", "test_files_hostile", "test_store"],
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
SEEN_BY = {  # part of the name of the tests that see a module, where it is not its own name
    "prices": "costs", "loads": "costs", "integrity": "test_checker", "judge": "test_checker",
    "hours": "checker_sessions", "timetable": "checker_sessions", "sheet": "test_checker_body",
    "worth": "checker_sums",
    "forms": "edits_lines", "form_words": "edits_lines", "in_form": "edits_lines",
    "offers": "edits_lines", "kinds": "edits_registry",
    "serving": "edits_room", "settings": "edits_fields",
    "pool": "nearly_as_good", "candidates": "planner_grid",
    "held": "planner_kept", "rock_day": "outings", "care": "planner_frames", "names": "wished",
    "order": "every_path", "limits": "every_path", "spacing": "every_path",
    "softs": "planner_values", "search": "planner_run",
    "confirm": "every_path", "weeks": "weekly", "menus": "menu_lists", "rock": "outings",
}  # fmt: skip
# What a program that a test starts imports first: the changed file stands in for its own.
STAND_IN = """
import marshal, sys
from importlib.machinery import SourceFileLoader
from pathlib import Path
real = SourceFileLoader.get_code
def get_code(self, fullname):
    if self.path == {path!r}:
        return marshal.loads(Path({code!r}).read_bytes())
    return real(self, fullname)
SourceFileLoader.get_code = get_code
"""
OPTIONS = ("-x", "-q", "-s", "-p", "no:cacheprovider", "-p", "no:xdist")
PASSED = 0


@dataclass(frozen=True)
class Mutant:
    """One change of one file: `told` is where, what was and what is.

    `inside`: the change lies in a function, so the function can be exchanged in a running process.
    """

    path: Path
    line: int
    told: str
    tree: ast.Module
    inside: bool


def mutants(path: Path) -> list[Mutant]:
    """Every change of a file, in order of its lines."""
    source = ast.parse(path.read_text(encoding="utf-8"))
    count = len(list(_places(source)))
    return [_mutant(path, source, at) for at in range(count)]


def _mutant(path: Path, source: ast.Module, at: int) -> Mutant:
    tree = copy.deepcopy(source)
    node, turn, inside = list(_places(tree))[at]
    was = ast.unparse(node)
    turn()
    line = getattr(node, "lineno", 0)
    ast.fix_missing_locations(tree)
    return Mutant(path, line, f"{was}  ->  {ast.unparse(node)}", tree, inside)


def _places(tree: ast.Module) -> Iterator[tuple[ast.AST, Callable[[], None], bool]]:
    """(what changes, how, whether in a function); types and what only tools read are let be."""
    for node, inside in _code(tree):
        for turn in _turns(node):
            yield node, turn, inside


def _turns(node: ast.AST) -> Iterator[Callable[[], None]]:
    if isinstance(node, ast.Compare):
        for n, op in enumerate(node.ops):
            if type(op) in COMPARISONS:
                yield partial(_set, node.ops, n, COMPARISONS[type(op)]())
    elif isinstance(node, ast.BoolOp):
        yield partial(setattr, node, "op", ast.Or() if isinstance(node.op, ast.And) else ast.And())
    elif isinstance(node, ast.BinOp) and type(node.op) in SIGNS:
        yield partial(setattr, node, "op", SIGNS[type(node.op)]())
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not):
        yield partial(_without_not, node)
    elif isinstance(node, ast.Constant) and isinstance(node.value, (bool, int, float)):
        other = (not node.value) if isinstance(node.value, bool) else node.value + 1
        yield partial(setattr, node, "value", other)


def _set(things: list[ast.cmpop], at: int, new: ast.cmpop) -> None:
    things[at] = new


def _without_not(node: ast.UnaryOp) -> None:
    """`not x` becomes `not not x`."""
    node.operand = ast.UnaryOp(ast.Not(), node.operand)


def _code(node: ast.AST, *, inside: bool = False) -> Iterator[tuple[ast.AST, bool]]:
    for name, value in ast.iter_fields(node):
        if name in ("annotation", "returns", "type_comment", "decorator_list"):
            continue
        body = name == "body" and isinstance(node, (ast.FunctionDef, ast.Lambda))
        for child in value if isinstance(value, list) else [value]:
            if not isinstance(child, ast.AST):
                continue
            if isinstance(child, ast.If) and ast.unparse(child.test) == "TYPE_CHECKING":
                continue
            yield child, inside or body
            yield from _code(child, inside=inside or body)


# --- one run --------------------------------------------------------------------------------------


def survives(mutant: Mutant, run: Callable[[], bool], *, seconds: float) -> bool:
    """Whether the tests pass with the change, run in a child of this process."""
    with tempfile.TemporaryDirectory() as folder:
        child = os.fork()
        if child == 0:
            _silent()
            _exchange(mutant)
            _hand_on(mutant, Path(folder))
            os._exit(PASSED if run() else 1)
        ends = time.monotonic() + seconds
        while time.monotonic() < ends:
            done, status = os.waitpid(child, os.WNOHANG)
            if done:
                return os.waitstatus_to_exitcode(status) == PASSED
            time.sleep(0.02)
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        return False


def _silent() -> None:
    with Path(os.devnull).open("w") as nowhere:
        os.dup2(nowhere.fileno(), 1)
        os.dup2(nowhere.fileno(), 2)


def _exchange(mutant: Mutant) -> None:
    """Give every function of the file that this process knows its changed code."""
    was = compile(mutant.path.read_text(encoding="utf-8"), str(mutant.path), "exec")
    now = compile(mutant.tree, str(mutant.path), "exec")
    codes = dict(_pairs(was, now))
    for known in gc.get_objects():
        if isinstance(known, FunctionType) and known.__code__.co_filename == str(mutant.path):
            known.__code__ = codes.get(known.__code__, known.__code__)


def _hand_on(mutant: Mutant, folder: Path) -> None:
    """Programs that are started as `sys.executable` import the changed code as well."""
    code, interpreter = folder / "changed", folder / "python"
    code.write_bytes(marshal.dumps(compile(mutant.tree, str(mutant.path), "exec")))
    stand_in = STAND_IN.format(path=str(mutant.path), code=str(code))
    (folder / "sitecustomize.py").write_text(stand_in)
    interpreter.write_text(
        f'#!/bin/sh\nPYTHONPATH={folder}:"$PYTHONPATH" exec {sys.executable} "$@"\n'
    )
    interpreter.chmod(0o755)
    sys.executable = str(interpreter)


def _pairs(was: CodeType, now: CodeType) -> Iterator[tuple[CodeType, CodeType]]:
    yield was, now
    old, new = ([c for c in one.co_consts if isinstance(c, CodeType)] for one in (was, now))
    for one, other in zip(old, new, strict=True):
        yield from _pairs(one, other)


def survives_import(area: str, number: int, *, seconds: float) -> bool:
    """The same for a change outside functions: it is made before anything is imported."""
    command = [sys.executable, __file__, area, "--only", str(number), "--seconds", str(seconds)]
    with contextlib.suppress(subprocess.TimeoutExpired):
        ran = subprocess.run(command, capture_output=True, timeout=seconds, check=False)
        return ran.returncode == PASSED
    return False


def import_changed(mutant: Mutant, tests: list[str]) -> int:
    """Import with the change and run the tests: the exit code of pytest."""
    code = compile(mutant.tree, str(mutant.path), "exec")
    before = SourceFileLoader.get_code
    folder = tempfile.TemporaryDirectory()
    _hand_on(mutant, Path(folder.name))

    def get_code(self: SourceFileLoader, fullname: str) -> object:
        return code if Path(self.path) == mutant.path else before(self, fullname)

    SourceFileLoader.get_code = get_code  # type: ignore[method-assign, assignment]
    return int(pytest.main([*OPTIONS, *_files(tests)]))


def _files(tests: list[str]) -> list[str]:
    return [str(next((ROOT / "tests").rglob(f"{name}.py"))) for name in tests]


# --- all of an area -------------------------------------------------------------------------------


class Judged:
    """A plugin of pytest: the tests are collected once, and run for each change in a child."""

    def __init__(self, area: str, every: list[tuple[int, Mutant]], *, seconds: float) -> None:
        self._area, self._every, self._seconds = area, every, seconds

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        items = session.items
        assert items, "no tests"

        def run(first: str) -> bool:
            own = SEEN_BY.get(first, first)
            ordered = sorted(items, key=lambda item: own not in item.path.stem)
            for number, item in enumerate(ordered):
                after = ordered[number + 1] if number + 1 < len(ordered) else None
                item.config.hook.pytest_runtest_protocol(item=item, nextitem=after)
                if session.testsfailed:
                    return False
            return True

        self._all(run)
        return True

    def _all(self, run: Callable[[str], bool]) -> None:
        began, left, (_, one) = time.monotonic(), 0, self._every[0]
        sound = Mutant(one.path, 0, "nothing", ast.parse(one.path.read_text()), True)
        if not survives(sound, partial(run, ""), seconds=self._seconds):
            print(f"{self._area}: the tests fail, or take too long, without any change")
            return
        for at, (number, one) in enumerate(self._every, 1):
            print(
                f"\r{self._area}: {at} of {len(self._every)}", end="", file=sys.stderr, flush=True
            )
            lives = (
                survives(one, partial(run, one.path.stem), seconds=self._seconds)
                if one.inside
                else survives_import(self._area, number, seconds=self._seconds)
            )
            if lives:
                left += 1
                print(f"  {one.path.relative_to(ROOT)}:{one.line}: {one.told}", flush=True)
        share, took = 100 * left / len(self._every), time.monotonic() - began
        print(file=sys.stderr)
        print(f"{self._area}: {left} of {len(self._every)} survive ({share:.0f} %), {took:.0f} s",
              flush=True)  # fmt: skip


def _asked() -> argparse.Namespace:
    asked = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    asked.add_argument("areas", nargs="*", metavar="AREA", help=", ".join(AREAS))
    asked.add_argument("--sample", type=int, default=0)
    asked.add_argument("--seed", default="sample")
    asked.add_argument("--seconds", type=float, default=120.0)
    asked.add_argument("--list", action="store_true")
    asked.add_argument("--only", type=int, help="make this one change and run the tests")
    return asked.parse_args()


def main() -> None:
    said = _asked()
    sys.path[:0] = [str(ROOT), str(ROOT / "tests" / "support")]
    os.chdir(ROOT)
    for area in said.areas or AREAS:
        where, tests = AREAS[area]
        path = ROOT / where
        files = [path] if path.is_file() else sorted(path.rglob("*.py"))
        every = list(enumerate(one for file in files for one in mutants(file)))
        if said.only is not None:
            sys.exit(import_changed(every[said.only][1], tests))
        if said.sample:
            some = random.Random(said.seed).sample(every, min(said.sample, len(every)))
            every = sorted(some, key=lambda one: one[0])
        if said.list:
            print(f"{area}: {len(every)} changes")
        elif len(said.areas or AREAS) > 1:
            command = [sys.executable, __file__, area, *_same(said)]
            subprocess.run(command, check=True)
        else:
            pytest.main(
                [*OPTIONS, *_files(tests)], plugins=[Judged(area, every, seconds=said.seconds)]
            )


def _same(said: argparse.Namespace) -> list[str]:
    return ["--sample", str(said.sample), "--seed", said.seed, "--seconds", str(said.seconds)]


if __name__ == "__main__":
    main()
