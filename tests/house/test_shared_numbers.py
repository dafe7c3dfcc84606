"""Every number of the project's shared data can be read, with what it rests on."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Iterator
from fnmatch import fnmatchcase
from pathlib import Path
from typing import Any

import pytest
from places import ROOT, TESTS
from typer.testing import CliRunner

from seasonplan.body.response import under_18
from seasonplan.cli.app import app
from seasonplan.cli.guide import DOCS
from seasonplan.cli.others import others
from seasonplan.errors import Misuse
from seasonplan.explain.numbers import (
    TABLES,
    UNSOURCED,
    Label,
    all_numbers,
    label_lines,
    line_of,
    numbers_under,
)
from seasonplan.explain.numbers import _walked as walked
from seasonplan.rules.statements import standard_book
from seasonplan.rules.tables import composing, sources
from seasonplan.vocabulary import Verified
from seasonplan.year.toml import read_year

SHARED = ROOT / "shared"
WORDS = {"cautions", "sources", "labels"}  # files that hold words only


def raw_numbers(value: Any, name: str) -> Iterator[tuple[str, float]]:
    """Every number of a file by a walk of its own, each with the key of its table."""
    if isinstance(value, dict):
        for key, one in value.items():
            yield from raw_numbers(one, f"{name}.{key}")
    elif isinstance(value, list):
        for one in value:
            yield from raw_numbers(one, name)
    elif isinstance(value, (int, float)) and not isinstance(value, bool):
        yield name, float(value)


def told_numbers(value: Any) -> list[float]:
    return [number for _, number in raw_numbers(value, "")]


@pytest.mark.parametrize("path", sorted(SHARED.glob("*.toml")), ids=lambda path: path.stem)
def test_no_number_of_a_file_is_left_out(path: Path) -> None:
    there = [number for _, number in raw_numbers(tomllib.loads(path.read_text()), path.stem)]
    if path.stem in WORDS:
        assert not there
        return
    assert path.stem in TABLES
    told = [n for one in numbers_under(path.stem) for n in told_numbers(one.value)]
    assert sorted(told) == sorted(there) and there


def test_every_number_has_a_label_words_and_a_source_that_is_there() -> None:
    assert len(all_numbers()) > 1000
    for one in all_numbers():
        assert one.label in Label and one.what and one.sources, one.name
        assert set(one.sources) <= set(sources()), one.name


def test_a_label_promises_no_more_than_its_sources() -> None:
    """What is found or printed cites somebody; custom and choice cite nobody."""
    for one in all_numbers():
        checked = {source.verified for source in one.cited()}
        if one.label is Label.PREFERENCE:
            assert one.sources == ("preference",), one.name
        elif one.label is Label.COMMON_PRACTICE:
            assert one.unsourced or checked <= {Verified.ABSTRACT}, one.name
        elif one.label is Label.MEMORY:
            said = [source.says for source in one.cited()]
            assert checked == {Verified.MEMORY} or "from memory" in str(said), one.name
        elif one.label in (Label.TRIAL, Label.REVIEW):
            assert checked <= {Verified.READ, Verified.ABSTRACT}, one.name
        else:
            assert not set(one.sources) & {"preference", "common-practice"}, one.name


def test_every_line_of_labels_decides_something() -> None:
    for line in label_lines():
        for pattern in line.of:
            decides = [
                one for one in all_numbers()
                if fnmatchcase(one.name, pattern) and line_of(one.name) is line
            ]  # fmt: skip
            assert decides, pattern


def test_a_number_that_nobody_labelled_is_refused() -> None:
    with pytest.raises(Misuse, match=r"weeks\.new\.limit"):
        list(walked("weeks", {"new": {"limit": 3}}, {}))


def test_the_limit_of_a_rule_rests_on_what_the_rule_rests_on() -> None:
    for one in numbers_under("rules"):
        rule = standard_book()[one.name.split(".")[1]]
        if one.key == "limit" and one.label is not Label.PREFERENCE:
            assert one.label.value == rule.evidence.value
            assert one.sources == UNSOURCED.get(one.label, rule.sources)


def test_the_command_prints_every_number_with_its_label() -> None:
    told = CliRunner().invoke(app, ["rules", "--numbers", "--plain"]).stdout.splitlines()
    assert len(told) == len(all_numbers())
    for line, one in zip(told, all_numbers(), strict=True):
        assert line.startswith(f"{one.name}: {one.told}. ")
        assert one.label.value in line.lower()
    facts = json.loads(CliRunner().invoke(app, ["rules", "--numbers", "--json"]).stdout)["numbers"]
    assert [(one["name"], one["value"]) for one in facts] == [
        (one.name, one.value) for one in all_numbers()
    ]
    assert all(one["label"] and one["sources"] for one in facts)


def test_the_number_of_a_rule_is_told_with_its_unit_and_the_rule() -> None:
    told = CliRunner().invoke(app, ["rules", "--numbers", "rules.base-length", "--plain"]).stdout
    assert "limit: 3, 8" in told
    assert 'in weeks ("A base block lasts 3 to 8 weeks")' in told


def test_one_table_is_told_by_its_name_and_a_wrong_name_is_told() -> None:
    told = CliRunner().invoke(app, ["rules", "--numbers", "response.tau_days"]).stdout
    assert "finger_strength 90: fitted" in told and "Mujika" in told
    assert "response.most" not in told
    wrong = CliRunner().invoke(app, ["rules", "--numbers", "respons.tau_days"])
    assert wrong.exit_code == 2 and "response.tau_days" in wrong.stderr


# --- one number in two places -----------------------------------------------------------------


def test_numbers_that_stand_in_two_places_agree() -> None:
    book = standard_book()
    assert composing().fit.over == pytest.approx(1 + book["session-dose"].number / 100)
    limit = int(book["young-fingers"].number)
    text = (TESTS / "years" / "twelve-weeks.toml").read_text()
    first = read_year(text, file="year.toml").span.first
    for age in (limit - 1, limit, limit + 1):
        born = f"[climber]\nbirth_year = {first.year - age}\n"
        young = read_year(text.replace("[climber]\n", born), file="year.toml")
        assert under_18(young, first) is (age <= limit)  # the birthday is not known
    near = f"most {100 * composing().new_plan.near_share:g} %"
    assert near in (others.__doc__ or "") and near in (DOCS / "judged.md").read_text()
