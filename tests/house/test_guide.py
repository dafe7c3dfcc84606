"""The guide: its pages are shipped, listed by the README, and name what there is."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from typing import Any

import pytest
import typer
from places import ROOT
from typer.testing import CliRunner

from seasonplan.cli.app import app
from seasonplan.cli.exits import Exit
from seasonplan.cli.guide import DOCS, titles

README = (ROOT / "README.md").read_text(encoding="utf-8")
PAGES = sorted(path.stem for path in DOCS.glob("*.md"))
COMMANDS = set(typer.main.get_command(app).commands)  # type: ignore[attr-defined]


def test_the_readme_is_short_opens_with_the_job_and_lists_every_page() -> None:
    paragraphs = README.split("\n\n")
    assert paragraphs[0] == "# seasonplan" and paragraphs[1].startswith("Turn a year of rock")
    assert README.count("\n") <= 70
    assert sorted(re.findall(r"^\| \[\w+\]\(seasonplan/docs/(\w+)\.md\)", README, re.M)) == PAGES


def test_the_readme_says_what_a_plan_is_worth_and_no_more_than_was_measured() -> None:
    """Each figure is one of the page that says how it was measured; the small ones are there."""
    told = " ".join(README.split("\n\n")[2].split())
    figures = re.findall(r"[\d.]+ times|[\d.]+ %(?: \(\d+ to \d+\))?", told)
    measured = " ".join((DOCS / "judged.md").read_text(encoding="utf-8").split())
    assert len(figures) == 5
    for figure in figures:
        assert figure in measured


def test_the_command_lists_the_pages_and_tells_one() -> None:
    listed = CliRunner().invoke(app, ["guide"]).stdout
    assert [line.split()[0] for line in listed.splitlines()] == PAGES
    told = CliRunner().invoke(app, ["guide", "phone", "--plain"]).stdout
    assert told.startswith("# On the phone") and "seasonplan serve" in told
    page = json.loads(CliRunner().invoke(app, ["guide", "wall", "--json"]).stdout)
    assert page["text"] == (DOCS / "wall.md").read_text(encoding="utf-8")


def test_a_page_that_is_not_there_names_the_nearest() -> None:
    ran = CliRunner().invoke(app, ["guide", "phon"])
    assert ran.exit_code == Exit.BAD_INPUT
    assert "Did you mean phone?" in " ".join(ran.stderr.split())


@pytest.mark.parametrize("page", [*PAGES, "README"])
def test_every_command_that_is_named_is_there(page: str) -> None:
    text = README if page == "README" else (DOCS / f"{page}.md").read_text(encoding="utf-8")
    quoted = re.findall(r"^seasonplan ([a-z]+)\b(?!-)|`seasonplan ([a-z]+)\b(?!-)", text, re.M)
    named = {one or other for one, other in quoted}
    assert named <= COMMANDS
    assert named or page in ("entries",)
    assert set(titles()) == set(PAGES)


def options_of(group: Any, above: tuple[str, ...] = ()) -> Iterator[tuple[str, frozenset[str]]]:
    """Every command by its words, with the options it takes."""
    for name in group.list_commands(None):
        command = group.get_command(None, name)
        taken = {
            word for option in command.params for word in (*option.opts, *option.secondary_opts)
        }
        yield " ".join((*above, name)), frozenset(taken) | {"--help"}
        if hasattr(command, "list_commands"):
            yield from options_of(command, (*above, name))


OPTIONS = dict(options_of(typer.main.get_command(app)))
SILENT = {
    "open",
    "log",
    "edit",
    "busy",
    "busy add",
    "busy drop",
}  # they tell nothing, or are groups
TEXTS = {"README": README, **{page: (DOCS / f"{page}.md").read_text("utf-8") for page in PAGES}}


def asked(words: str) -> set[str]:
    """The options in a piece of text."""
    return set(re.findall(r"(?<![\w-])--[a-z][a-z-]*|(?<=\s)-[a-z]\b", words))


def called(text: str) -> Iterator[tuple[str, set[str]]]:
    """Each command that a page calls as one writes it, with the options behind it."""
    for line in re.findall(r"^seasonplan ([^#\n]+)|`seasonplan ([^`]+)`", text, re.M):
        words = "".join(line).split()
        two = f"{words[0]} {words[1]}" if len(words) > 1 else ""
        after = f"{words[0]} {words[2]}" if len(words) > 2 else ""  # `log my-year test`
        name = next((one for one in (after, two, words[0]) if one in OPTIONS), "")
        if name:
            yield name, asked(" ".join(words))


@pytest.mark.parametrize("page", TEXTS)
def test_every_option_that_is_named_is_there(page: str) -> None:
    calls = list(called(TEXTS[page]))
    for name, options in calls:
        assert options <= OPTIONS[name], f"{name}: {options - OPTIONS[name]}"
    text = re.sub(r"^python3 .*$|`python [^`]*`|`pip [^`]*`", "", TEXTS[page], flags=re.M)
    known = frozenset().union(*(OPTIONS[name] for name, _ in calls)) | OPTIONS["show"]
    assert asked(text.replace("`", " ")) <= known


def test_the_options_of_the_pages_were_looked_at() -> None:
    assert sum(len(options) for text in TEXTS.values() for _, options in called(text)) > 12
    assert sum(len(asked(text.replace("`", " "))) for text in TEXTS.values()) > 50


def test_what_tells_something_takes_json_and_plain() -> None:
    without = {
        name
        for name, taken in OPTIONS.items()
        if not {"--json", "--plain"} <= taken and not name.startswith("edit ")
    }
    assert without == SILENT


@pytest.mark.parametrize("page", TEXTS)
def test_no_line_is_longer_than_a_hundred_columns(page: str) -> None:
    lines = [
        line for line in TEXTS[page].splitlines() if not line.startswith(("|", "!", "python3"))
    ]
    assert max(map(len, lines)) <= 100
