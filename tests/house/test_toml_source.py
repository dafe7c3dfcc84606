"""One reading of a TOML text: its values, and the lines and bytes where they stand."""

from __future__ import annotations

import random
from datetime import UTC, date, datetime, time
from typing import Any

import pytest
from places import ROOT

from seasonplan.errors import BadInput
from seasonplan.toml_source import NotToml, literal, source_of, value_at, value_of
from seasonplan.year.toml import read_year

DEMO = ROOT / "calendars_demo"
TEXT = """\
schema = 1
[climber]  # who
name = "Robin"
minutes = { tuesday = 90, friday = "1h" }

[[trip]]
name = "Saltmere"
days = [
  1,
  { of = 2 },
]
"a.b" = 3

[[trip]]
name = "Coast"
[trip.rest]
first.day = 4
"""


def test_every_value_is_found_at_its_place() -> None:
    source = source_of(TEXT)
    written = {
        ("climber", "name"): '"Robin"',
        ("climber", "minutes", "friday"): '"1h"',
        ("trip", 0, "days", 1, "of"): "2",
        ("trip", 0, "a.b"): "3",
        ("trip", 1, "rest", "first", "day"): "4",
    }
    for loc, words in written.items():
        pair = source.pair(loc)
        assert pair is not None, loc
        assert source.content[slice(*pair.value)].decode() == words
        assert source.at(loc) == value_of(words)


@pytest.mark.parametrize(
    ("loc", "line"),
    [
        (("climber", "minutes", "friday"), 4),
        (("climber", "minutes", "sunday"), 4),  # not there: where the table is
        (("trip", 0, "days", 1, "of"), 10),
        (("trip",), 6),
        (("trip", 1, "rest", "first", "day"), 17),
        (("goal", 0), None),
    ],
)
def test_a_place_has_its_line_or_that_of_what_is_above_it(
    loc: tuple[str | int, ...], line: int | None
) -> None:
    assert source_of(TEXT).line(loc) == line


def test_what_is_handed_out_is_the_callers_to_change() -> None:
    source_of(TEXT).values["climber"]["name"] = "somebody"
    source_of(TEXT).at(("trip",)).clear()
    assert source_of(TEXT).at(("climber", "name")) == "Robin"
    assert len(source_of(TEXT).at(("trip",))) == 2


@pytest.mark.parametrize(
    "value",
    [
        'say "hi" \\ \n\t\x01\x7f ä\U0001f9d7', "", True, 0, -12, 0.1, 1e300, [], [1, "a"], {},
        {"a b": 1, "c": {"d": [date(2027, 1, 2)]}}, time(9, 30),
        datetime(2027, 1, 2, 3, 4, tzinfo=UTC),
    ],
)  # fmt: skip
def test_a_value_comes_back_as_it_was_written(value: Any) -> None:
    assert value_of(literal(value)) == value


@pytest.mark.parametrize("words", ["", "90 min", "1\nother = 2", "[1", "09:30x", "9" * 5000])
def test_words_that_are_no_value_are_none(words: str) -> None:
    assert value_of(words) is None


def test_what_toml_cannot_hold_is_no_value() -> None:
    with pytest.raises(ValueError, match="cannot be written down"):
        literal({"a": None})


@pytest.mark.parametrize("text", ["a = 1\nb = \n", "a = 1\nb", "a = 1\nb = [1,"])
def test_a_text_that_is_no_toml_tells_the_line(text: str) -> None:
    with pytest.raises(NotToml) as caught:
        source_of(text).at(("a",))
    assert caught.value.line == 2 and "line" not in caught.value.why


def test_a_year_file_with_slips_is_read_or_refused_with_a_line() -> None:
    text = (DEMO / "autumn-project" / "year.toml").read_text(encoding="utf-8")
    rng = random.Random(1)
    refused = 0
    for _ in range(150):
        at, many = rng.randrange(len(text)), rng.choice((0, 1, 5, 40))
        slip = rng.choice(("", *"[]{}=\"'\n.,#\\x"))
        try:
            read_year(text[:at] + slip + text[at + many :], file="year.toml")
        except BadInput as error:
            first = error.faults[0]
            assert first.line is not None or "TOML" not in first.found, str(first)
            refused += 1
    assert refused > 75


def test_a_place_in_plain_values_that_is_not_there_is_nothing() -> None:
    values = {"trip": [{"name": "a"}]}
    assert value_at(values, ("trip", 0, "name")) == "a"
    for loc in [("trip", 1), ("goal",), ("trip", "x"), ("trip", 0, "name", "x")]:
        assert value_at(values, loc) is None
