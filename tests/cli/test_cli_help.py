"""The help of every command."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from typer.main import get_command
from typer.testing import CliRunner

from seasonplan.cli.app import app
from seasonplan.cli.exits import Exit

COMMANDS = ("new", "plan", "check", "why", "show", "today", "week", "export", "poster", "rules")


def run(*arguments: str) -> Any:
    return CliRunner().invoke(app, arguments, env={"COLUMNS": "80", "NO_COLOR": None})


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_shows_examples_in_its_help(command: str) -> None:
    ran = run(command, "--help")
    assert ran.exit_code == Exit.FINE
    assert re.search(rf"Examples:\n\n    seasonplan {command}", ran.stdout)


def test_no_line_of_any_help_is_wider_than_80_columns() -> None:
    def pages(command: Any, *path: str) -> Iterator[tuple[str, ...]]:
        yield path
        for name, one in getattr(command, "commands", {}).items():
            yield from pages(one, *path, name)

    every = list(pages(get_command(app)))
    wide = [line for path in every for line in run(*path, "--help").stdout.splitlines()]
    assert len(every) > 35 and [line for line in wide if len(line) > 80] == []


@pytest.mark.parametrize("path", [(), ("edit",), ("log",), ("busy",)])
def test_every_command_of_a_group_is_told_in_a_whole_sentence(path: tuple[str, ...]) -> None:
    """Eight of them ended in three dots."""
    listed = run(*path, "--help").stdout.partition("Commands:\n")[2].partition("\n\n")[0]
    entries = re.split(r"\n  (?=\w)", listed)
    assert len(entries) > 3 and all(re.search(r"[a-z]\.$", one) for one in entries), listed


@pytest.mark.parametrize("command", ["today", "new", "edit"])
def test_a_file_where_a_folder_is_wanted_is_told_with_its_folder(
    tmp_path: Path, command: str
) -> None:
    (tmp_path / "year.toml").write_text("")
    rest = ("set", "year.weeks", "20") if command == "edit" else ()
    ran = CliRunner().invoke(app, [command, str(tmp_path / "year.toml"), *rest])
    told = f"{tmp_path / 'year.toml'}: found a file; wanted the folder of a year. Say {tmp_path}."
    assert ran.exit_code == Exit.BAD_INPUT and told in " ".join(ran.stderr.split())


def test_without_a_command_the_help_names_all_of_them() -> None:
    ran = run()
    for command in COMMANDS:
        assert re.search(rf"^  {command} .*[a-z]\.$", ran.output, re.MULTILINE)
    assert "--install-completion" in ran.output
