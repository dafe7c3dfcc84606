"""Nothing lies about: what the package defines is used by it, and what `shared/` says is read.

By names alone, so what is named for another reason counts as used. Tests are no use.
"""

from __future__ import annotations

import ast
import tomllib
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from functools import cache
from typing import Any

from places import ROOT

PACKAGES = ("seasonplan", "tui")
NAMED_ELSEWHERE = {  # by a string, in pyproject.toml or for an import that waits
    "seasonplan.cli.main", "tui.run",
}  # fmt: skip
FOR_TESTS = {  # what only an independent answer can be held against
    "seasonplan.conditions.sun.daylight",  # sunrise and sunset as observatories tell them
    "seasonplan.planner.confirm.solver_possible",  # whether the second method finds any plan
}
PLAIN = {"Protocol", "NamedTuple", "TypedDict", "StrEnum", "Enum", "BaseModel"}  # call nothing
# Tables of `shared/` whose keys are names of ours, read as a whole: rules by code, recipes by id.
OPEN = {
    "rules", "recipes", "tests", "sources", "injuries.sources", "injuries.regions",
    "injuries.allowed", "injuries.fill", "cautions", "grades.rope", "grades.boulder",
    "grades.british",
    "menus.fingers.seconds", "menus.needs", "menus.rope", "menus.boulder", "menus.mountain",
    "menus.ice", "menus.young.in_place_of", "menus.without_weights.in_place_of",
    "menus.learning.in_place_of", "menus.learning.rope", "menus.first_week_back.in_place_of",
}  # fmt: skip

NAMING = (ast.Name, ast.Attribute, ast.Constant, ast.arg, ast.keyword, ast.ImportFrom)
Definition = ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef


@cache
def trees() -> dict[str, ast.Module]:
    """Every module by its dotted name."""
    found = {}
    for package in PACKAGES:
        for path in sorted((ROOT / package).rglob("*.py")):
            parts = path.relative_to(ROOT).with_suffix("").parts
            name = ".".join(parts[:-1] if parts[-1] == "__init__" else parts)
            found[name] = ast.parse(path.read_text(encoding="utf-8"))
    return found


@cache
def nodes(module: str) -> list[ast.AST]:
    """Every node of a module that names something, but for the list of what it hands on."""
    return [
        node
        for statement in trees()[module].body
        if not (isinstance(statement, ast.Assign) and _is_list(statement.targets[0]))
        for node in ast.walk(statement)
        if isinstance(node, NAMING)
    ]


def _is_list(target: ast.expr) -> bool:
    return isinstance(target, ast.Name) and target.id == "__all__"


@cache
def origin(module: str, name: str) -> str:
    """Where a name that is imported from a module was defined."""
    tree = trees().get(module)
    defined = {node.name for node in tree.body if isinstance(node, Definition)} if tree else set()
    for node in tree.body if tree and name not in defined else ():
        if isinstance(node, ast.ImportFrom) and node.module:
            for alias in node.names:
                if (alias.asname or alias.name) == name:
                    return origin(node.module, alias.name)
    return f"{module}.{name}"


def used_in(module: str) -> Iterator[str]:
    """Everything of the packages that a module uses, by where it was defined."""
    imported: dict[str, set[tuple[str, str]]] = defaultdict(set)
    for node in nodes(module):
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith(PACKAGES):
            for alias in node.names:
                imported[alias.asname or alias.name].add((str(node.module), alias.name))
    lines: dict[str, set[int]] = defaultdict(set)
    for node in nodes(module):
        if isinstance(node, ast.Name):
            lines[node.id].add(node.lineno)
            yield from (origin(*one) for one in imported.get(node.id, ()))
        elif isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name):
            for above, name in imported.get(node.value.id, ()):
                yield origin(f"{above}.{name}", node.attr)
    for one in definitions(trees()[module]):
        elsewhere = lines[one.name] - set(range(one.lineno, (one.end_lineno or 0) + 1))
        if elsewhere or one.decorator_list:
            yield f"{module}.{one.name}"


def definitions(tree: ast.Module) -> list[Definition]:
    return [node for node in tree.body if isinstance(node, Definition)]


def test_every_function_and_class_is_used_outside_the_tests() -> None:
    defined = {f"{name}.{one.name}" for name, tree in trees().items() for one in definitions(tree)}
    used = {one for name in trees() for one in used_in(name)}
    assert len(defined) > 2000
    assert sorted(defined - used - NAMED_ELSEWHERE - FOR_TESTS) == []
    assert not (NAMED_ELSEWHERE | FOR_TESTS) & used, "it is used by now: take it off the list"


def words_of(code: Iterable[ast.AST]) -> Iterator[str]:
    """Every name that is read in pieces of code; that a field is declared reads nothing."""
    for node in code:
        if isinstance(node, ast.Attribute):
            yield node.attr
        elif isinstance(node, ast.Name) and isinstance(node.ctx, ast.Load):
            yield node.id
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield node.value
        elif isinstance(node, (ast.arg, ast.keyword)) and node.arg:
            yield node.arg


@cache
def words() -> Counter[str]:
    return Counter(word for name in trees() for word in words_of(nodes(name)))


def our_classes() -> set[str]:
    """Classes that are built on nothing but ours: no library calls their methods by name."""
    bases = {
        one.name: {ast.unparse(base).partition("[")[0] for base in one.bases} - PLAIN
        for tree in trees().values()
        for one in definitions(tree)
        if isinstance(one, ast.ClassDef)
    }
    while foreign := {name for name, above in bases.items() if above - bases.keys()}:
        bases = {name: above for name, above in bases.items() if name not in foreign}
    return set(bases)


def test_every_method_of_ours_is_used_outside_the_tests() -> None:
    ours = our_classes()
    unused = []
    checked = 0
    for name, tree in trees().items():
        for one in definitions(tree):
            if not isinstance(one, ast.ClassDef) or one.name not in ours or name.startswith("tui"):
                continue  # in tui there are parts of widgets, which Textual calls by name
            for method in one.body:
                if isinstance(method, ast.FunctionDef) and not method.name.startswith("_"):
                    checked += 1
                    within = sum(word == method.name for word in words_of(ast.walk(method)))
                    told = "computed_field" in map(ast.unparse, method.decorator_list)
                    if words()[method.name] <= within and not told:
                        unused.append(f"{name}.{one.name}.{method.name}")
    assert checked > 400
    assert unused == []


def keys_of(table: dict[str, Any], place: str) -> Iterator[tuple[str, str]]:
    """Every key of a table and of those inside it, with the place where it stands."""
    for key, value in table.items():
        yield place, key
        for one in value if isinstance(value, list) else [value]:
            if isinstance(one, dict):
                yield from keys_of(one, f"{place}.{key}")


def test_every_key_of_the_shared_tables_is_read() -> None:
    unread, read = [], 0
    for path in sorted((ROOT / "shared").glob("*.toml")):
        table = tomllib.loads(path.read_text(encoding="utf-8"))
        for place, key in keys_of(table, path.stem):
            if place not in OPEN:
                read += 1
                unread += [] if words()[key] else [f"{place}.{key}"]
    assert read > 1000
    assert unread == []
