"""What is loaded when: help answers at once, and each library has one owner."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
import tomllib
from functools import cache
from pathlib import Path

import pytest
from places import ROOT

HEAVY = (
    "ortools", "icalendar", "textual", "numpy", "pandas", "uvicorn", "starlette", "caldav", "segno",
    "reportlab",
)  # fmt: skip
OWNERS = {
    "ortools": "seasonplan/planner",
    "icalendar": ("seasonplan/ical", "seasonplan/busy"),
    "textual": "tui",
    "typer": "seasonplan/cli",
    "uvicorn": "seasonplan/feed/serve",
    "starlette": "seasonplan/feed/serve",
    "caldav": "seasonplan/feed/caldav",
    "segno": "seasonplan/feed/pages",
    "tree_sitter_toml": "seasonplan/toml_source.py",
    "tomllib": ("seasonplan/toml_source.py", "seasonplan/rules"),
    "reportlab": "seasonplan/pictures",
}


# Distributions whose module has another name; those that are no module, and modules that come with
# another distribution.
MODULES = {"python-dateutil": "dateutil", "python-bidi": "bidi"}
NOT_IMPORTED = {"tzdata", "keyring"}  # zoneinfo reads the one, the other is loaded by its name
BESIDE = {"pydantic_core"}  # pydantic's


def loaded_by(statement: str) -> set[str]:
    """The top-level modules that a fresh Python has loaded after a statement."""
    code = (
        f"import sys\n{statement}\nprint('LOADED', *{{m.partition('.')[0] for m in sys.modules}})"
    )
    ran = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True
    )
    return set(ran.stdout.partition("LOADED")[2].split())


@pytest.mark.parametrize("arguments", [["--help"], ["plan", "--help"], ["rules"]])
def test_help_and_rules_load_nothing_heavy(arguments: list[str]) -> None:
    statement = (
        f"sys.argv = ['seasonplan', *{arguments!r}]\n"
        "from seasonplan.cli import main\n"
        "try:\n    main()\nexcept SystemExit as end:\n    assert not end.code, end.code"
    )
    loaded = loaded_by(statement)
    assert "typer" in loaded
    assert not loaded & set(HEAVY)


def test_the_desk_loads_nothing_heavy_before_it_is_asked_to() -> None:
    loaded = loaded_by("import seasonplan.workspace.desk")
    assert "pydantic" in loaded
    assert not loaded & set(HEAVY)


@pytest.mark.parametrize("library", OWNERS)
def test_a_library_is_imported_by_its_owner_alone(library: str) -> None:
    owners = OWNERS[library] if isinstance(OWNERS[library], tuple) else (OWNERS[library],)
    rooms = {ROOT / owner for owner in owners}
    strangers = [
        str(path.relative_to(ROOT))
        for folder in ("seasonplan", "tui")
        for path in sorted((ROOT / folder).rglob("*.py"))
        if library in imported(path) and not rooms & {path, *path.parents}
    ]
    assert not strangers


def test_what_is_imported_is_declared_and_what_is_declared_is_imported() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    extras = project["optional-dependencies"]
    wanted = (*project["dependencies"], *extras["poster"], *extras["keyring"])
    names = {re.split(r"[<>=\[]", line)[0] for line in wanted}
    declared = {MODULES.get(name, name.replace("-", "_")) for name in names - NOT_IMPORTED}
    used = set().union(
        *(
            imported(path)
            for folder in ("seasonplan", "tui")
            for path in (ROOT / folder).rglob("*.py")
        )
    )
    own = {"seasonplan", "tui", *BESIDE, *sys.stdlib_module_names}
    assert used - own == declared


@cache
def imported(path: Path) -> set[str]:
    """The top-level packages that a file names in an import, wherever it stands."""
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name.partition(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            found.add(node.module.partition(".")[0])
    return found


def test_the_import_reader_sees_imports_inside_functions(tmp_path: Path) -> None:
    file = tmp_path / "one.py"
    file.write_text("def late():\n    from ortools.sat import python\n    import textual.app\n")
    assert imported(file) == {"ortools", "textual"}
