"""The type of the poster: letters, names from right to left, long names."""

from __future__ import annotations

import io
import re
from base64 import b64decode
from datetime import date
from pathlib import Path

import pytest
from poster_stage import (
    NAMES,
    only,
    small,
)

from seasonplan.errors import BadInput
from seasonplan.explain.tints import TINTS
from seasonplan.pictures.files import poster_files
from seasonplan.pictures.fonts import Font, font, in_order
from seasonplan.pictures.marks import Shape, Words
from seasonplan.pictures.motifs import CAPITALS
from seasonplan.pictures.paper import PosterWish, Rows, Size
from seasonplan.pictures.poster import poster, sheet_of
from seasonplan.pictures.svg import svg
from seasonplan.vocabulary import Kind


def test_the_type_within_an_svg_has_the_shapes_of_its_letters_alone() -> None:
    picture = only(poster(small(NAMES.format("Žďár Ελλάδα Крым ½")), PosterWish()))
    found = re.findall(r"base64,([^)]+)\)", svg(picture))
    assert len(found) == 2
    from reportlab.pdfbase.ttfonts import TTFontFile

    for content, bold in zip(map(b64decode, found), (False, True), strict=True):
        part, whole = Font(content), font(bold=bold)
        assert len(content) < len(whole.content) / 2
        TTFontFile(io.BytesIO(content))  # another reader of TrueType takes it
        for sign in {s for one in picture.marks if isinstance(one, Words) and one.bold is bold
                     for s in one.text} - {" "}:  # fmt: skip
            glyph = whole.glyphs[ord(sign)]
            assert whole._shape(glyph) and part._shape(glyph).startswith(whole._shape(glyph))
        assert part._shape(whole.glyphs[ord("Q")]) == b""


def test_names_from_right_to_left_are_drawn_so() -> None:
    assert in_order("שלום") == "םולש"
    assert in_order("אי 12") == "12 יא"
    # joined forms of Arabic: initial, medial with final alef as one sign, final (Unicode FB50-FEFF)
    assert in_order("سلام") == "\ufee1\ufefc\ufeb3"
    view = small(NAMES.format("הר שלום"))
    shown = {one.text for one in only(poster(view, PosterWish())).marks if isinstance(one, Words)}
    assert "הר שלום" in shown
    assert ">םולש רה</text>" in svg(only(poster(view, PosterWish())))


def test_a_letter_that_the_type_has_not_is_told_and_nothing_is_drawn(tmp_path: Path) -> None:
    pictures = poster(small(NAMES.format("山 Isle")), PosterWish())
    for name in ("poster.pdf", "poster.svg"):
        with pytest.raises(BadInput) as told:
            poster_files(pictures, tmp_path / name)
        assert "“山” (U+5C71)" in str(told.value.faults[0])


def test_a_long_name_is_whole_in_the_foot() -> None:
    name = "The long weekend at the end of the old quarry road with everybody"
    marks = only(poster(small(NAMES.format(name)), PosterWish(rows=Rows.WEEKS))).marks
    words = [one.text for one in marks if isinstance(one, Words)]
    assert any(text.endswith("…") and name.startswith(text[:-1].strip()) for text in words)
    assert name in " ".join(words)


def test_a_long_name_of_a_goal_is_whole_in_the_foot_too() -> None:
    name = "The long weekend at the end of the old quarry road with everybody"
    goals = "".join(
        f"""
[[goal]]
name = "{(name + " ") * times}{times}"
place = "Karst"
discipline = "sport"
grade = "7b"
"""
        for times in (1, 2, 3)
    )
    for rows in Rows:
        marks = only(poster(small(goals), PosterWish(rows=rows))).marks
        words = [one.text for one in marks if isinstance(one, Words)]
        assert all(f"{name} {times} " in " ".join(words) for times in (1, 2, 3))
        assert words.count("7b, Karst") == 3 and not any(one.endswith("…") for one in words)


def test_a_long_name_of_the_climber_stands_whole_over_the_sheet() -> None:
    name = "Maximiliane-Alexandra von der Langenau"
    marks = only(poster(small(name=f'"{name}"'), PosterWish(rows=Rows.WEEKS))).marks
    words = [one.text for one in marks if isinstance(one, Words)]
    assert f"{name}\N{RIGHT SINGLE QUOTATION MARK}s climbing year" in words


@pytest.mark.parametrize("size", [Size.A4, Size.LETTER])
def test_a_box_in_low_rows_strikes_no_number_out(size: Size) -> None:
    view = small(NAMES.format("Fair"), weeks="54")
    wish = PosterWish(size=size, rows=Rows.WEEKS)
    sheet = sheet_of(view, wish, view.span)
    room = sheet.cells[date(2026, 12, 30)].box
    marks = only(poster(view, wish)).marks
    (number,) = (
        one for one in marks
        if isinstance(one, Words) and one.text == "30"
        and room.y < one.y < room.bottom and room.x < one.x < room.right
    )  # fmt: skip
    frames = [
        one for one in marks if isinstance(one, Shape) and one.stroke == TINTS[Kind.ABSENCE][1]
    ]
    frame = next(
        one for one in frames
        if min(y for _, y in one.points) < number.y < max(y for _, y in one.points)
    )  # fmt: skip
    top, bottom = (pick(y for _, y in frame.points) for pick in (min, max))
    half = frame.width / 2
    assert top + half + 0.1 < number.y - number.size * CAPITALS and number.y < bottom - half - 0.1
