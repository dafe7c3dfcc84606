"""Break each number of `shared/` one at a time; which does no test notice?

    python tests/benchmarks/broken_numbers.py                     # every file
    python tests/benchmarks/broken_numbers.py response injuries.ramp
    python tests/benchmarks/broken_numbers.py --preferences weeks   # those free to change too

A number is halved, doubled, and swapped with its neighbour (in a list, or the next of its table).
Numbers labelled "preference" are free to change: they are skipped and named. Each broken one is
tried in a child process, one after another; only the tests of FILES are run, the cheap ones, so a
survivor may still be noticed by the whole suite. Ends with 1 where a number survived.
"""

from __future__ import annotations

import argparse
import os
import shutil
import sys
import tempfile
import tomllib
from collections.abc import Iterator
from copy import deepcopy
from pathlib import Path
from typing import Any

import highspy
import icalendar
import numpy
import ortools.sat.python.cp_model
import pandas
import pvlib
import pydantic
import pytest
import scipy.optimize
import scipy.stats
import textual
import tomlkit
import typer.testing

ROOT = Path(__file__).parent.parent.parent
READY = (
    highspy,
    icalendar,
    numpy,
    ortools,
    pandas,
    pvlib,
    pydantic,
    scipy,
    textual,
    typer,
)  # fork once
FILES = {
    "response": "shared_outside outside_response testing_numbers",
    "blocks": "shared_outside checker_fresh checker_body week_hours",
    "weeks": "shared_outside shared_numbers checker_fresh checker_sessions_weeks",
    "menus": "shared_outside checker_sessions",
    "injuries": "shared_outside injury injury_phases injury_told injury_entry",
    "rules": "shared_outside shared_numbers checker_lengths checker_sequence checker_body",
    "recipes": "stresses recipes session_text shared_outside injury_phases",
    "effort": "stresses shared_outside session_text",
    "grades": "outside_grades",
    "conditions": "shared_outside conditions_climate conditions_doubts conditions_records",
    "tests": "shared_outside testing_protocols testing_numbers",
}
# nothing is told of what fails: no asserts rewritten, no reports, nothing kept
QUICK = ["-x", "-q", "--assert=plain", "-p", "no:cacheprovider", "-p", "no:hypothesispytest"]
Step = str | int
Place = tuple[Step, ...]


# --- what is broken, and how ------------------------------------------------------------------


def scalars(value: Any, place: Place = ()) -> Iterator[tuple[Place, Any]]:
    """Every number of a table, and every grade, by its place."""
    if isinstance(value, dict):
        for key, one in value.items():
            yield from scalars(one, (*place, key))
    elif isinstance(value, list):
        for at, one in enumerate(value):
            yield from scalars(one, (*place, at))
    elif isinstance(value, (int, float)) and not isinstance(value, bool):
        yield place, value


def halved(value: float) -> float:
    return value // 2 if isinstance(value, int) else value / 2


def broken(value: float) -> Iterator[tuple[str, float]]:
    yield "doubled", 2 * value or type(value)(1)
    if halved(value) != value:
        yield "halved", halved(value)


def held(raw: Any, place: Place) -> Any:
    for step in place:
        raw = raw[step]
    return raw


def with_value(raw: Any, place: Place, value: Any) -> Any:
    changed = deepcopy(raw)
    held(changed, place[:-1])[place[-1]] = value
    return changed


def swapped(raw: Any, place: Place) -> Any | None:
    """The table with this number and the next one of its list or table changed round."""
    around = held(raw, place[:-1])
    keys = list(range(len(around))) if isinstance(around, list) else list(around)
    for key in keys[keys.index(place[-1]) + 1 :]:
        other, own = around[key], around[place[-1]]
        if isinstance(other, (int, float)) and not isinstance(other, bool) and other != own:
            return with_value(with_value(raw, place, other), (*place[:-1], key), own)
    return None


def mutants(raw: Any, place: Place) -> Iterator[tuple[str, Any]]:
    value = held(raw, place)
    for how, other in broken(value):
        yield f"{how}: {value} to {other}", with_value(raw, place, other)
    other = swapped(raw, place)
    if other is not None:
        yield "swapped with the next", other


def grade_mutants(raw: Any) -> Iterator[tuple[str, str, Any]]:
    """Each scale of each row of grades changed round with the next row's."""
    for part in ("rope", "boulder"):
        for at in range(len(raw[part]) - 1):
            for scale in raw[part][at].keys() & raw[part][at + 1].keys():
                other = deepcopy(raw)
                one, two = other[part][at], other[part][at + 1]
                one[scale], two[scale] = two[scale], one[scale]
                yield f"grades.{part}.{at + 1}.{scale}", "swapped with the next row", other


# --- does a test notice -----------------------------------------------------------------------


def survives(name: str, changed: Any) -> bool:
    """Whether the tests of a file pass with its table changed. In a child of its own."""
    child = os.fork()
    if child == 0:
        with tempfile.TemporaryDirectory() as folder:
            code = run(name, changed, Path(folder))
        os._exit(code)
    _, status = os.waitpid(child, 0)
    return os.waitstatus_to_exitcode(status) == 0


def run(name: str, changed: Any, folder: Path) -> int:
    shutil.copytree(ROOT / "shared", folder / "shared")
    (folder / "shared" / f"{name}.toml").write_text(tomlkit.dumps(changed), encoding="utf-8")
    quiet = os.open(os.devnull, os.O_WRONLY)
    os.dup2(quiet, 1)
    os.dup2(quiet, 2)
    sys.path[:0] = [str(ROOT), str(ROOT / "tests" / "support")]
    from seasonplan.rules import tables as reference

    reference.shared_file = lambda one: folder / "shared" / one
    files = [str(next((ROOT / "tests").rglob(f"test_{one}.py"))) for one in FILES[name].split()]
    return int(pytest.main([*QUICK, f"--rootdir={ROOT}", *files]))


# --- all of them ------------------------------------------------------------------------------


def labels() -> dict[str, str]:
    sys.path.insert(0, str(ROOT))
    from seasonplan.explain.numbers import all_numbers

    return {one.name: one.label.value for one in all_numbers()}


def name_of(file: str, place: Place, known: dict[str, str]) -> str:
    """The name under which `rules --numbers` tells the number of a place."""
    steps = [str(one + 1) if isinstance(one, int) else one for one in place]
    for length in range(len(steps), 0, -1):
        name = ".".join((file, *steps[:length]))
        if name in known:
            return name
    raise LookupError(place)


def cases(file: str, known: dict[str, str]) -> Iterator[tuple[str, str, Any]]:
    """What is broken: the number, its exact place and how, and the table with it."""
    raw = tomllib.loads((ROOT / "shared" / f"{file}.toml").read_text(encoding="utf-8"))
    if file == "grades":
        for place, how, changed in grade_mutants(raw):
            yield place.rpartition(".")[0], f"{place} {how}", changed
    for place, _ in scalars(raw):
        at = ".".join(map(str, place))
        for how, changed in mutants(raw, place):
            yield name_of(file, place, known), f"{file}.{at} {how}", changed


def main() -> int:
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    asked.add_argument("names", nargs="*", default=list(FILES))
    asked.add_argument("--preferences", action="store_true")
    asked.add_argument("--one", action="store_true", help="break each number in one way only")
    said = asked.parse_args()
    child = os.fork()  # the parent imports nothing of the project that a child would keep
    if child == 0:
        os._exit(judge(said.names, preferences=said.preferences, one=said.one))
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


def judge(names: list[str], *, preferences: bool, one: bool) -> int:
    read, write = os.pipe()
    if os.fork() == 0:  # labels are read apart: what judges must not have read the tables
        os.write(write, repr(labels()).encode())
        os._exit(0)
    os.close(write)
    with os.fdopen(read, "rb") as said:
        known: dict[str, str] = eval(said.read())  # written by ourselves a moment ago
    tried, skipped, left = 0, set(), []
    last = ""
    for file in [one for one in FILES if any(n.split(".")[0] == one for n in names)]:
        whole = tomllib.loads((ROOT / "shared" / f"{file}.toml").read_text(encoding="utf-8"))
        if not survives(file, whole):
            print(f"{file}: the tests fail with nothing broken; mend them first.", flush=True)
            return 2
        for name, how, changed in cases(file, known):
            if not any(f"{name}.".startswith(f"{asked}.") for asked in names):
                continue
            if known[name] == "preference" and not preferences:
                skipped.add(name)
                continue
            place = how.split(" ")[0]
            if one and place == last:
                continue
            last, tried = place, tried + 1
            if survives(file, changed):
                left.append(f"{how} ({known[name]})")
                print(f"survives: {left[-1]}", flush=True)
    print(f"{tried} broken, {tried - len(left)} noticed, {len(left)} not.")
    print(f"{len(skipped)} free to change: {', '.join(sorted(skipped))}")
    return int(bool(left))


if __name__ == "__main__":
    sys.exit(main())
