"""Grades side by side against published comparisons, and the table against itself."""

from __future__ import annotations

import re
from itertools import pairwise
from typing import Any

import pytest
from pydantic import TypeAdapter

from seasonplan.explain.grades import grade_text, same_grade
from seasonplan.rules.tables import table
from seasonplan.vocabulary import Discipline, discipline_said
from seasonplan.year.grade import Grade, scale_of, scales

ROPE: list[dict[str, Any]] = table("grades")["rope"]
BOULDER: list[dict[str, Any]] = table("grades")["boulder"]
NUMBER = {row["french"]: row["ircra"] for row in ROPE}


@pytest.mark.parametrize(
    ("grade", "scale", "same", "wanted"),
    [
        # a published comparison chart, as others quote it (second hand); an old table that
        # conflicts (5.13c, 5.14b) is not followed
        ("8b", "French", "5.13d", "YDS"),
        ("8c+", "French", "5.14c", "YDS"),
        ("5.13d", "YDS", "8b", "French"),
        ("5.14c", "YDS", "8c+", "French"),
        # a mirror of a free encyclopaedia's table (read)
        ("9a", "French", "5.14d", "YDS"),
        ("9a", "French", "XI", "UIAA"),
        ("XI", "UIAA", "5.14d", "YDS"),
        # the chart again (second hand): its Ewbank and UIAA columns
        ("7b+", "French", "26", "Ewbank"),
        ("7c", "French", "IX", "UIAA"),
        ("8b", "French", "X", "UIAA"),
        ("35", "Ewbank", "9a", "French"),
        # from memory, not looked up
        ("7a", "French", "5.11d", "YDS"),
        ("9b+", "French", "5.15c", "YDS"),
        ("V10", "V", "7C+", "Font"),
        ("V3", "V", "6A", "Font"),
        ("V5", "V", "6C", "Font"),
        ("V6", "V", "7A", "Font"),
        ("V8", "V", "7B", "Font"),
        ("V13", "V", "8B", "Font"),
        ("V15", "V", "8C", "Font"),
        ("8A", "Font", "V11", "V"),
        ("V0", "V", "4", "Font"),
        ("9A", "Font", "V17", "V"),
    ],
)
def test_grades_agree_with_published_comparisons(
    grade: str, scale: str, same: str, wanted: str
) -> None:
    assert same_grade(grade, scale=scale, wanted=wanted) == same


def test_a_grade_that_is_not_in_the_table_has_no_equal() -> None:
    assert same_grade("9c+", scale="French", wanted="YDS") is None
    assert same_grade("7A", scale="Font", wanted="French") is None
    assert same_grade("6a", scale="French", wanted="UIAA") is None


def test_the_numbers_of_the_scale_run_without_a_gap() -> None:
    # Draper et al. 2015, Sports Technology 8(3-4):88-94 (abstract read): a scale of 1 to 32
    assert [row["ircra"] for row in ROPE] == list(range(ROPE[0]["ircra"], 33))


def order(grade: str) -> tuple[int, ...]:
    """A grade as numbers that rise with difficulty inside its scale."""
    roman = {"IX": 9, "X": 10, "XI": 11}
    if match := re.fullmatch(r"5\.(\d+)([a-d]?)", grade):
        return int(match[1]), ord(match[2] or "a")
    if match := re.fullmatch(r"(\d)([abcABC]?)(\+?)", grade):
        return int(match[1]), ord(match[2].lower() or "a") if match[2] else 0, len(match[3])
    if match := re.fullmatch(r"(IX|XI|X)([+-]?)(?:/(?:IX|XI|X)\+)?", grade):
        halves = 1 if "/" in grade else {"-": -2, "": 0, "+": 2}[match[2]]
        return roman[match[1]], halves
    return (int(grade.removeprefix("V")),)


@pytest.mark.parametrize("scale", ["yds", "french", "uiaa", "ewbank", "v", "font"])
def test_every_scale_rises_row_by_row(scale: str) -> None:
    column = [row[scale] for row in (*ROPE, *BOULDER) if scale in row]
    assert len(column) >= 10
    assert all(order(easy) < order(hard) for easy, hard in pairwise(column)), column


def test_there_and_back_gives_the_same_grade() -> None:
    pairs = 0
    for rows in (ROPE, BOULDER):
        names = ("French", "YDS", "UIAA", "Ewbank", "Font", "V")
        for row in rows:
            here = [name for name in names if name.lower() in row]
            for a in here:
                for b in here:
                    there = same_grade(row[a.lower()], scale=a, wanted=b)
                    assert there == row[b.lower()]
                    pairs += 1
    assert pairs >= 150


def test_ability_groups_hold_the_grades_that_authors_call_so() -> None:
    # groups of men: intermediate 10-17, advanced 18-23, elite 24-27, as in Vereide et al. 2022,
    # Front Sports Act Living 4:888061 (read); abstracts call "8a+/b" elite and "7c+/8a" advanced
    assert all(24 <= NUMBER[grade] <= 27 for grade in ("8a+", "8b"))
    assert all(18 <= NUMBER[grade] <= 23 for grade in ("7c+", "8a"))


@pytest.mark.parametrize(("grade", "scale"), [
    ("7b+", "French"), ("5.12c", "YDS"), ("5.9", "YDS"), ("IX-", "UIAA"), ("VI+", "UIAA"),
    ("XII", "UIAA"), ("26", "Ewbank"), ("7A", "Font"), ("V7", "V"), ("VB", "V"),
])  # fmt: skip
def test_a_grade_is_read_in_its_scale(grade: str, scale: str) -> None:
    assert scale in scales(grade)


@pytest.mark.parametrize(
    "text", ["", " ", "+", "-", "hard", "5.16a", "5.12e", "7d", "V18", "IIX", "IIII", "+7a", "7a-"]
)
def test_what_is_no_grade_is_read_in_no_scale(text: str) -> None:
    assert scales(text) == ()


def test_every_grade_of_the_table_can_be_entered() -> None:
    for row in (*ROPE, *BOULDER):
        for name in ("French", "YDS", "Ewbank", "Font", "V"):
            if name.lower() in row:
                assert name in scales(row[name.lower()])


def test_bouldering_reads_a_number_as_font_and_ropes_as_french() -> None:
    assert scale_of("5+", Discipline.BOULDER) == "Font"
    assert scale_of("5+", Discipline.SPORT) == "French"
    assert scale_of("V5", Discipline.BOULDER) == "V"
    assert scale_of("VI", Discipline.TRAD) == "UIAA"


@pytest.mark.parametrize("words", ["ice", "Winter ice", "dry tooling", "dry-tooling", "mixed"])
def test_ice_goes_by_the_names_that_climbers_give_it(words: str) -> None:
    assert discipline_said(words) is Discipline.ICE
    assert discipline_said("skating") is None


def test_ice_mixed_ground_and_dry_tooling_have_their_grades() -> None:
    scales_of = {grade: scale_of(grade, Discipline.ICE) for grade in ("WI5+", "M7", "D11")}
    assert scales_of == {"WI5+": "WI", "M7": "M", "D11": "D"}
    assert scales("D17") == ()


@pytest.mark.parametrize(
    ("grade", "discipline", "told"),
    [
        # 7b+ = 5.12c = IX- = 26, V6 = 7A: the rows of the table checked above, two of them in the
        # published comparison chart
        ("7b+", Discipline.SPORT, "7b+ (5.12c, IX-, 26)"),
        ("26", Discipline.TRAD, "26 (7b+, 5.12c, IX-)"),
        ("7A", Discipline.BOULDER, "7A (V6)"),
        ("WI4", Discipline.ICE, "WI4"),
        ("6c", Discipline.MULTIPITCH, "6c (5.11b)"),
        # UIAA in Arabic numerals, Font in small letters: common practice
        ("9-", Discipline.SPORT, "9- (7b+, 5.12c, 26)"),
        ("7a", Discipline.BOULDER, "7a (V6)"),
        # the ranges of the charts below
        ("E1 5b", Discipline.TRAD, "E1 5b (loosely French 6a to 6a+)"),
        ("E5", Discipline.MULTIPITCH, "E5 (loosely French 7a to 7b)"),
        ("HVD 4a", Discipline.TRAD, "HVD 4a"),
    ],
)
def test_a_grade_is_told_as_it_is_called_elsewhere(
    grade: str, discipline: Discipline, told: str
) -> None:
    assert grade_text(grade, discipline) == told


# Two comparison charts on web pages for climbers (read): the easiest and the hardest French grade
# beside each British adjectival one. Below E1 they write French grades in another way.
CHART_1 = {
    "E1": ("6a", "6a+"), "E2": ("6b", "6b+"), "E3": ("6c", "6c"), "E4": ("6c+", "7a"),
    "E5": ("7a+", "7b"), "E6": ("7b+", "7c"), "E7": ("7c+", "8a"), "E8": ("8a+", "8a+"),
    "E9": ("8b", "8b"), "E10": ("8b+", "8c"),
}  # fmt: skip
CHART_2 = {
    "E1": ("6a", "6a+"), "E2": ("6a+", "6b"), "E3": ("6b+", "6c"), "E4": ("6c", "7a"),
    "E5": ("7a", "7b"), "E6": ("7b+", "7c+"), "E7": ("8a", "8a+"), "E8": ("8b", "8b+"),
    "E9": ("8c", "8c+"), "E10": ("8c+", "8c+"),
}  # fmt: skip
BRITISH = {row["adjectival"]: (row["least"], row["most"]) for row in table("grades")["british"]}


def test_british_grades_span_what_two_published_charts_say() -> None:
    for name, ends in CHART_1.items():
        both = sorted((*ends, *CHART_2[name]), key=order)
        assert BRITISH[name] == (both[0], both[-1]), name
    # chart 1: VS 5a, HVS 5b and 5c; a third, by adjectival and technical grade, has VS from 4c on
    assert (BRITISH["VS"], BRITISH["HVS"]) == (("4c", "5a"), ("5a", "5c"))
    assert {*BRITISH} == {*CHART_1, "VS", "HVS"}


def test_british_grades_rise_row_by_row() -> None:
    for end in (0, 1):
        column = [ends[end] for ends in BRITISH.values()]
        assert all(order(easy) <= order(hard) for easy, hard in pairwise(column)), column


@pytest.mark.parametrize("grade", [
    "E1 5b", "HVS 5a", "VS 4c", "E11 7a", "E1/5b", "E3", "S", "HS 4b", "VDiff", "V Diff", "HVD",
    "MVS 4b", "Mod", "D", "XS 5c",
])  # fmt: skip
def test_a_british_trad_grade_is_taken(grade: str) -> None:
    assert scales(grade) == ("British",)


@pytest.mark.parametrize("grade", ["E13", "E1 8a", "E15b", "HHVS", "E1 5", "E0 5a", "VS 4c+"])
def test_what_no_british_guidebook_writes_is_refused(grade: str) -> None:
    assert scales(grade) == ()


def test_uiaa_in_arabic_numerals_is_no_french_grade() -> None:
    # the French scale has letters from 6 on: common practice, no source
    for grade in ("6+", "8-", "7+", "10-", "11+"):
        assert scales(grade) == ("UIAA",)
    assert scale_of("5+", Discipline.SPORT) == "French"


@pytest.mark.parametrize(("typed", "meant"), [
    ("e5 6a", "E5 6a"), ("hvs 5a", "HVS 5a"), ("v7", "V7"), ("ix-", "IX-"), ("wi4", "WI4"),
    (" E1 5b ", "E1 5b"), ("7a", "7a"), ("7A", "7A"),
])  # fmt: skip
def test_a_grade_in_small_letters_is_meant_as_guidebooks_write_it(typed: str, meant: str) -> None:
    assert TypeAdapter(Grade).validate_python(typed) == meant
