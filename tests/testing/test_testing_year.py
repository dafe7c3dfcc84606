"""Tests as the climber writes them into the year file, and every fault of them."""

from __future__ import annotations

import pytest
from pydantic import ValidationError
from test_year_file import HEAD, only
from testing_stage import year

from seasonplan.errors import BadInput
from seasonplan.testing import climbers_tests
from seasonplan.vocabulary import Quality
from seasonplan.workspace.store import YearOnDisk
from seasonplan.year import Better, OwnTest, Year
from seasonplan.year.toml import read_year

TEXT = (
    HEAD
    + """
[[test]]
name = "Left edge"
like = "edge-pull"
grip = "18 mm"
anchors = { 1 = 20, 5 = 60 }
ten_percent = [0, 1, 2.5]

[[test]]
name = "Garage board"
quality = "power"
unit = "s"
better = "less"
error = 4
anchors = { 1 = 30, 5 = 12 }
"""
)


def test_tests_are_read_from_the_year_file() -> None:
    edge, board = climbers_tests(read_year(TEXT, file="year.toml"))
    assert (edge.unit, edge.quality, edge.error, edge.fingers) == (
        "kg", Quality.FINGER_STRENGTH, 3.0, True,
    )  # fmt: skip
    assert edge.anchors == {1: 20.0, 5: 60.0} and edge.ten_percent == (0, 1, 2.5)
    assert (board.better, board.error, board.error_from) == (Better.LESS, 4.0, ("your-own",))
    assert board.scale == "percent"


def test_falling_anchors_say_that_less_is_better() -> None:
    text = TEXT.replace('better = "less"\n', "")
    assert climbers_tests(read_year(text, file="year.toml"))[1].better is Better.LESS


@pytest.mark.parametrize(
    ("line", "key", "found", "wanted"),
    [
        ("anchors = { 1 = 20 }", "anchors", "one rating alone", "two of them at least"),
        ("anchors = { 0 = 20, 5 = 60 }", "anchors", "0 = 20", "ratings 1 to 5"),
        ('anchors = { 1 = "a", 5 = 60 }', "anchors", "1 = 'a'", "ratings 1 to 5"),
        ("anchors = [1, 2]", "anchors", "[1, 2]", "ratings 1 to 5"),
        ("anchors = { 1 = 20, 3 = 10, 5 = 60 }", "", "1 = 20, 3 = 10, 5 = 60", "get better"),
        (
            'better = "more"\nanchors = { 1 = 60, 5 = 20 }',
            "",
            'with `better = "more"`',
            "get better",
        ),
        ('better = "high"', "better", "'high'", "more or less"),
        ("ten_percent = [2, 1, 0]", "ten_percent", "[2, 1, 0]", "least, likely and most"),
        ("error = 0", "error", "0", "more than 0"),
        ("minutes = 0.5", "minutes", "0.5", "a whole number"),
        ("errror = 3", "errror", "'errror'", "error"),
    ],
)
def test_a_fault_of_a_test_is_told_once_with_its_line(
    line: str, key: str, found: str, wanted: str
) -> None:
    text = HEAD + f'[[test]]\nname = "Edge"\nquality = "power"\nunit = "kg"\n{line}\n'
    fault = only(text)
    assert fault.key == f"test.1{'.' if key else ''}{key}"
    assert fault.line is not None and fault.line >= len(HEAD.splitlines())
    assert found in fault.found and wanted in fault.wanted


def test_a_test_says_what_it_tests() -> None:
    fault = only(HEAD + '[[test]]\nname = "Edge"\n')
    assert (fault.found, fault.key) == ("no `quality` and no `unit`", "test.1")


def test_an_unknown_usual_test_is_told_with_the_nearest() -> None:
    with pytest.raises(BadInput) as error:
        climbers_tests(year(OwnTest(name="A", like="edge-pul"), OwnTest(name="B", like="zzz")))
    first, second = error.value.faults
    assert first.key == "test.1.like" and first.do == "Did you mean 'edge-pull'?"
    assert second.found == "'zzz'" and second.do == "Correct or remove it."


def test_anchors_must_go_with_the_usual_test() -> None:
    with pytest.raises(BadInput) as error:
        climbers_tests(year(
            OwnTest(name="Hill", like="uphill", anchors={1: 20, 5: 40}),
            OwnTest(name="Pull", like="edge-pull", anchors={1: -5, 5: 40}),
            OwnTest(name="Hang", like="edge-hang", anchors={1: -5, 5: 40}),
        ))  # fmt: skip
    assert [str(fault) for fault in error.value.faults] == [
        "year.toml, test.1.anchors: found 1 = 20, 5 = 40; wanted better results for higher "
        "ratings, and less is better here. Exchange them, or say what is `better`.",
        "year.toml, test.2.anchors: found 1 = -5, 5 = 40; wanted results above zero. Correct them; "
        'where the body is lifted along, say `like = "edge-hang"`.',
    ]


def test_another_unit_than_usual_repeats_as_the_unknown() -> None:
    (test,) = climbers_tests(year(OwnTest(name="Reach", like="far-reach", unit="rungs")))
    assert (test.scale, test.error, test.quality) == ("percent", 10.0, Quality.POWER)


def test_tests_do_not_make_a_plan_old() -> None:
    bare = read_year(HEAD, file="year.toml")
    with_tests = read_year(TEXT, file="year.toml")
    assert YearOnDisk(bare, "", "").meaning == YearOnDisk(with_tests, "", "").meaning


def test_a_year_with_tests_survives_being_made_anew() -> None:
    before = read_year(TEXT, file="year.toml")
    assert Year(**dict(before)).tests == before.with_fields(tests=before.tests).tests
    with pytest.raises(ValidationError, match="twice"):
        before.with_fields(tests=(*before.tests, before.tests[0]))
