"""The contributor guide: every file it names is there, and each owner holds what is said of it."""

from __future__ import annotations

import ast
import re
import tomllib
from functools import cache
from pathlib import Path

import pytest
from places import ROOT

GUIDE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
QUOTED = re.compile(r"`([^`\n]+)`")
FILE = re.compile(r"[\w./*-]+\.(?:py|toml|md|csv|json|txt)")
OWNER = re.compile(r"`([\w/]+\.(?:py|toml))` \(((?:`[\w-]+`(?:, )?)+)\)")
# Where a path in the guide may begin: at the root, in either package, or among the tests.
BEGINS = (ROOT, ROOT / "seasonplan", ROOT / "tui", ROOT / "tests", ROOT / "shared")
OF_THE_CLIMBER = {"year.toml", "plan.json", "diary.csv"}
PLACEHOLDERS = {"tests/years/witness-CODE.toml"}


def section(title: str) -> str:
    """The text under a heading."""
    return GUIDE.partition(f"\n## {title}\n")[2].partition("\n## ")[0]


ROWS = [line for line in section("Whose change is it").splitlines() if line.startswith("| ")][1:]
OWNERS = [
    (path, name)
    for row in ROWS
    for path, names in OWNER.findall(row)
    for name in QUOTED.findall(names)
]


def there(path: str) -> bool:
    """Whether a path of the guide is a file or folder, or a module written without its ending."""
    return any(
        (begin / path).exists() or (begin / f"{path}.py").is_file() or any(begin.glob(path))
        for begin in BEGINS
    )


@cache
def held(path: Path) -> frozenset[str]:
    """What a file holds under a name: its classes, functions and constants, or tables and keys."""
    text = path.read_text(encoding="utf-8")
    if path.suffix == ".toml":
        return frozenset(tomllib.loads(text))
    found = set()
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, (ast.ClassDef, ast.FunctionDef, ast.AsyncFunctionDef)):
            found.add(node.name)
        elif isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store):
            found.add(node.id)
    return frozenset(found)


@cache
def every_word() -> frozenset[str]:
    """Every name and module of the code, the tests and `shared/`."""
    words: set[str] = set()
    for folder in ("seasonplan", "tui", "tests", "shared"):
        for path in (ROOT / folder).rglob("*"):
            words.add(path.stem)
            if path.suffix in (".py", ".toml"):
                words.update(re.findall(r"[\w-]+|\w+", path.read_text(encoding="utf-8")))
    return frozenset(words)


def test_at_least_a_dozen_changes_have_an_owner() -> None:
    assert len(ROWS) >= 12
    assert len(OWNERS) >= 2 * len(ROWS) - 10


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.split("|")[1].strip())
def test_every_change_has_a_file(row: str) -> None:
    assert OWNER.search(row), row


@pytest.mark.parametrize(("path", "name"), OWNERS, ids=lambda word: word)
def test_the_owner_holds_what_is_said_of_it(path: str, name: str) -> None:
    assert (ROOT / path).is_file(), path
    assert name in held(ROOT / path), f"{path} has no {name}"


def test_every_file_and_folder_of_the_guide_is_there() -> None:
    named = {path for path in QUOTED.findall(GUIDE) if "/" in path or FILE.fullmatch(path)}
    commands = re.findall(r"python (\S+\.py)", GUIDE)
    paths = {path for path in (*named, *commands) if re.fullmatch(r"[\w./*-]+", path)}
    assert len(paths) > 80
    gone = {path for path in paths - OF_THE_CLIMBER - PLACEHOLDERS if not there(path.rstrip("/"))}
    assert not gone


def test_every_test_and_module_that_is_named_by_one_word_is_in_the_code() -> None:
    words = {word for word in QUOTED.findall(GUIDE) if re.fullmatch(r"[a-z_]+\*?", word)}
    assert len(words) > 150
    gone = {word for word in words if "*" not in word and word not in every_word()}
    assert not gone


def test_every_name_of_a_module_that_is_named_with_it_is_there() -> None:
    pairs = {word for word in QUOTED.findall(GUIDE) if re.fullmatch(r"[a-z_]+\.[a-z_]+", word)}
    pairs = {word for word in pairs if not FILE.fullmatch(word)}
    assert len(pairs) >= 4
    for pair in pairs:
        stem, name = pair.split(".")
        assert any(name in held(path) for path in ROOT.glob(f"seasonplan/**/{stem}.py")), pair


@pytest.mark.parametrize("room", ["planner"])
def test_every_module_of_the_planner_has_a_word(room: str) -> None:
    modules = {path.stem for path in (ROOT / "seasonplan" / room).glob("*.py")} - {"__init__"}
    text = section("Who owns what")
    told = text[text.index(f"The modules of `{room}/`") :].partition("\n\n")[0]
    assert modules == set(QUOTED.findall(told)) - {f"{room}/"}


def test_every_room_has_a_row() -> None:
    rooms = {
        path.name for path in (ROOT / "seasonplan").iterdir() if (path / "__init__.py").is_file()
    }
    told = section("Who owns what")
    assert {room for room in rooms if f"`{room}/" not in told} == set()
