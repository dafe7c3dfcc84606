"""The guide: its pages are shipped, listed by the README, and name commands that there are."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
import typer
from typer.testing import CliRunner

from seasonplan.cli.app import app
from seasonplan.cli.exits import Exit
from seasonplan.cli.guide import DOCS, titles

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
PAGES = sorted(path.stem for path in DOCS.glob("*.md"))
COMMANDS = set(typer.main.get_command(app).commands)  # type: ignore[attr-defined]


def test_the_readme_is_short_opens_with_the_job_and_lists_every_page() -> None:
    paragraphs = README.split("\n\n")
    assert paragraphs[0] == "# seasonplan" and paragraphs[1].startswith("Turn a year of rock")
    assert README.count("\n") <= 70
    assert sorted(re.findall(r"\]\(seasonplan/docs/(\w+)\.md\)", README)) == PAGES


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
