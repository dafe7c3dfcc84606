"""The poster: what stands on it, where, in which colours, in both formats."""

from __future__ import annotations

import io
import json
import re
from base64 import b64decode
from collections import Counter
from datetime import date
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import testing_stage
from folder_maker import planned
from places import ROOT
from typer.testing import CliRunner

from seasonplan.cli.app import app
from seasonplan.days import MONTHS, day_month_text, month_text
from seasonplan.edits import read
from seasonplan.errors import BadInput
from seasonplan.explain.tints import TINTS, grey_of, lightness
from seasonplan.pictures.cells import MARGIN, PaperSheet
from seasonplan.pictures.files import poster_files
from seasonplan.pictures.fonts import Font, font, in_order
from seasonplan.pictures.marks import Picture, Shape, Words
from seasonplan.pictures.motifs import CAPITALS
from seasonplan.pictures.paper import SIDES, PosterWish, Rows, Size
from seasonplan.pictures.pdf import pdf
from seasonplan.pictures.poster import poster, sheet_of
from seasonplan.pictures.svg import svg
from seasonplan.testing import study_of
from seasonplan.views import YearView, year_view
from seasonplan.vocabulary import Kind
from seasonplan.workspace.desk import Desk

pdfium = pytest.importorskip("pypdfium2", reason="pypdfium2 reads the PDF")
pytest.importorskip("reportlab", reason="reportlab writes the PDF")
resvg = pytest.importorskip("resvg_py", reason="resvg draws the SVG")

DEMO = ROOT / "calendars_demo"
TYPE = ROOT / "seasonplan" / "pictures" / "type"
DPI = 150
POINT = 25.4 / 72  # mm
SMALLER = PosterWish(size=Size.A4)  # draws in half the time
SMALL_YEAR = """\
[year]
first = 2026-12-14
weeks = 6

[climber]
name = "Robin"
time_zone = "Europe/Vienna"
minutes = { tuesday = 60 }
"""
NAMES = """
[[trip]]
name = "{}"
first = 2026-12-20
last = 2027-01-02
climbing = false
"""


@pytest.fixture(scope="module")
def south() -> YearView:
    """A southern year across New Year, weeks from Sunday."""
    return Desk(DEMO / "trips-and-boulders").view()


@pytest.fixture(scope="module")
def south_pdf(south: YearView) -> bytes:
    return pdf(poster(south, SMALLER))


def small(more: str = "", **year: str) -> YearView:
    text = SMALL_YEAR + more
    for key, value in year.items():
        text = re.sub(rf"^{key} = .*$", f"{key} = {value}", text, flags=re.MULTILINE)
    return year_view(read(text), None)


def only(pictures: tuple[Picture, ...]) -> Picture:
    (picture,) = pictures
    return picture


def drawn(content: bytes, *, dpi: int = DPI) -> Any:
    """The first page as red, green and blue."""
    page = pdfium.PdfDocument(content)[0]
    return np.asarray(page.render(scale=dpi / 72).to_pil().convert("RGB")).astype(int)


def text_in(page: Any, box: Any, high: float) -> str:
    """The text of a part of a page, given in millimetres from the top left."""
    edges = (box.x, high - box.bottom, box.right, high - box.y)
    left, low, right, top = (edge / POINT for edge in edges)
    return str(page.get_text_bounded(left, low, right, top)).strip()


def sheet(view: YearView, wish: PosterWish) -> PaperSheet:
    return sheet_of(view, wish, view.span)


# --- the paper ------------------------------------------------------------------------------


@pytest.mark.parametrize("rows", Rows)
@pytest.mark.parametrize("size", Size)
def test_a_year_is_one_page_of_just_the_size_asked_for(size: Size, rows: Rows) -> None:
    document = pdfium.PdfDocument(pdf(poster(small(), PosterWish(size=size, rows=rows))))
    assert len(document) == 1
    sides = SIDES[size] if rows is Rows.WEEKS else SIDES[size][::-1]
    left, low, right, high = document[0].get_mediabox()
    assert (left, low) == (0, 0)
    assert (right * POINT, high * POINT) == pytest.approx(sides, abs=0.01)


def test_a_year_of_104_weeks_takes_two_sheets_with_each_day_on_one_of_them() -> None:
    view = small(weeks="104")
    for rows in Rows:
        pictures = poster(view, PosterWish(rows=rows))
        assert len(pictures) == 2
        assert len(pdfium.PdfDocument(pdf(pictures))) == 2
        numbers = [w.text for p in pictures for w in p.marks if isinstance(w, Words)]
        wanted = Counter(str(day.day) for day in view.span.days())
        assert wanted <= Counter(numbers)
        told = " ".join(numbers)
        assert "sheet 1 of 2" in told and "sheet 2 of 2" in told
    names = list(poster_files(poster(view, PosterWish()), Path("wall.svg")))
    assert names == [Path("wall-1.svg"), Path("wall-2.svg")]


def test_the_same_year_gives_the_same_bytes(south: YearView, south_pdf: bytes) -> None:
    assert pdf(poster(south, SMALLER)) == south_pdf
    assert svg(only(poster(south, PosterWish()))) == svg(only(poster(south, PosterWish())))


def test_all_type_is_within_the_pdf(south_pdf: bytes) -> None:
    fonts = re.findall(rb"/Type /Font\b|/Subtype /TrueType /Type /Font\b", south_pdf)
    assert len(fonts) == south_pdf.count(b"/FontFile2") == 2
    assert b"/Type1" not in south_pdf


def test_no_type_is_smaller_than_seven_points_on_a3(south: YearView) -> None:
    for rows in Rows:
        marks = only(poster(south, PosterWish(rows=rows))).marks
        sizes = [one.size / POINT for one in marks if isinstance(one, Words)]
        assert len(sizes) > 400
        assert min(sizes) >= 7


# --- what stands on it ----------------------------------------------------------------------


@pytest.mark.parametrize("rows", Rows)
@pytest.mark.parametrize(("first", "days"), [("2027-01-01", 365), ("2028-01-01", 366)])
def test_every_day_stands_in_its_own_place_once(first: str, days: int, rows: Rows) -> None:
    last = f"{first[:4]}-12-31"
    view = year_view(
        read(SMALL_YEAR.replace("weeks = 6", f"last = {last}").replace("2026-12-14", first)), None
    )
    assert view.span.length == days
    wish = PosterWish(rows=rows)
    picture = only(poster(view, wish))
    page = pdfium.PdfDocument(pdf((picture,)))[0].get_textpage()
    cells = sheet(view, wish).cells
    assert len({(cell.box.x, cell.box.y) for cell in cells.values()}) == days
    for day, cell in cells.items():
        weekday = f"{day:%a}"[:2] if rows is Rows.MONTHS else ""
        told = text_in(page, cell.number, picture.height)
        assert told.split() == [*([weekday] if weekday else []), str(day.day)]


@pytest.mark.parametrize("rows", Rows)
def test_every_goal_trip_absence_and_month_is_named(south: YearView, rows: Rows) -> None:
    page = pdfium.PdfDocument(pdf(poster(south, PosterWish(rows=rows))))[0]
    told = " ".join(page.get_textpage().get_text_range().split())
    names = [*(goal.name for goal in south.goals), *(entry.name for entry in south.away)]
    assert len(names) == 6
    for name in names:
        assert name in told
    for n, month in enumerate(MONTHS, 1):
        assert (month.capitalize() if rows is Rows.MONTHS else month_text(date(2027, n, 1))) in told
    assert "plan 1 of 21 Nov 2026" in told and "Kiri" in told
    for goal in south.goals:
        for stretch in goal.stretches:
            assert f"{len(stretch.planned)} days planned" in told


def test_a_flag_stands_on_just_the_days_planned_on_rock(south: YearView) -> None:
    wish = PosterWish()
    marks = [one for one in only(poster(south, wish)).marks if isinstance(one, Words)]
    cells = sheet(south, wish).cells
    flagged = {
        day: one.text
        for day, cell in cells.items()
        for one in marks
        if one.colour == "#ffffff" and cell.room.x < one.x < cell.room.right
        and cell.box.y < one.y < cell.box.bottom
    }  # fmt: skip
    wanted = {
        day: str(number)
        for number, goal in enumerate(south.goals, 1)
        for stretch in goal.stretches
        for day in stretch.planned
    }
    assert flagged == wanted and len(wanted) == 41


def test_the_day_to_test_again_is_marked() -> None:
    climbers = testing_stage.year()
    rows = [*testing_stage.tries("Max pull-ups", {0: 12, 14: 13}, unit="reps")]
    study = study_of(climbers, rows, day=testing_stage.on(20))
    (again,) = [one.next_day for one in study.judged]
    view = year_view(climbers, None, study=study)
    assert again is not None and [one.day for one in view.tests] == [again]
    for rows_ in Rows:
        words = [
            one.text
            for one in only(poster(view, PosterWish(rows=rows_))).marks
            if isinstance(one, Words)
        ]
        assert any("test: Max" in text for text in words)
        assert f"from {day_month_text(again)}: test Max pull-ups" in " ".join(words)


def test_week_rows_begin_with_the_climbers_first_weekday(south: YearView) -> None:
    found = sheet(south, PosterWish(rows=Rows.WEEKS))
    columns = {day.weekday(): cell.box.x for day, cell in found.cells.items()}
    assert sorted(columns, key=lambda day: columns[day]) == [6, 0, 1, 2, 3, 4, 5]
    assert all(day.weekday() == 6 for day in found.notes)


# --- colours --------------------------------------------------------------------------------


def pixel(image: Any, x: float, y: float, *, dpi: int = DPI) -> str:
    at = dpi / 25.4
    return "#" + "".join(f"{part:02x}" for part in image[round(y * at), round(x * at)])


def test_blocks_have_their_fill_the_margin_is_white_and_grey_keeps_the_order(
    south: YearView, south_pdf: bytes
) -> None:
    cells = sheet(south, SMALLER).cells
    grey = pdf(poster(south, PosterWish(size=Size.A4, grey=True)))
    seen: dict[str, dict[Kind, str]] = {"colour": {}, "grey": {}}
    for name, content in (("colour", south_pdf), ("grey", grey)):
        image = drawn(content)
        margin = round(DPI * (MARGIN - 0.5) / 25.4)
        for edge in (image[:margin], image[-margin:], image[:, :margin], image[:, -margin:]):
            assert (edge == 255).all()
        if name == "grey":
            assert (image.max(axis=2) - image.min(axis=2)).max() <= 1
        for block in south.blocks:
            ribbon = cells[next(d for d in block.span.days() if d != block.first)].ribbon
            x = ribbon.x + 0.3 * ribbon.width  # beside the pattern, within that of a light week
            seen[name][block.kind] = pixel(image, x, ribbon.y + 0.85 * ribbon.height)
    assert len(seen["colour"]) == 5
    for kind, fill in seen["colour"].items():
        assert fill == TINTS[kind][0]
    by_colour, by_grey = (
        sorted(seen[name], key=lambda kind: lightness(seen[name][kind])) for name in seen
    )
    assert by_colour == by_grey


def test_tints_are_pale_enough_to_write_on_and_their_greys_differ() -> None:
    greys = sorted({lightness(grey_of(tint)) for tint, _ in TINTS.values()})
    assert len(greys) == len(TINTS)
    assert min(greys) >= 75 and min(lightness(tint) for tint, _ in TINTS.values()) >= 75
    assert all(b - a >= 2 for a, b in pairwise(greys))
    # CIE 15:2004 by hand: sRGB #777777 has a relative luminance of 0.1845, so L* 50.03
    assert lightness("#777777") == pytest.approx(50.03, abs=0.02)


def test_svg_and_pdf_look_the_same(south: YearView, south_pdf: bytes) -> None:
    """The type is handed over: this renderer reads none out of a style sheet. Means of 3 x 3
    pixels are compared, since two renderers smooth edges each in its way."""
    from PIL import Image

    whole = drawn(south_pdf)
    content = resvg.svg_to_bytes(
        svg_string=svg(only(poster(south, SMALLER))), width=whole.shape[1], dpi=DPI,
        skip_system_fonts=True,
        font_files=[str(TYPE / "sans-regular.ttf"), str(TYPE / "sans-bold.ttf")],
    )  # fmt: skip
    other = np.asarray(Image.open(io.BytesIO(bytes(content))).convert("RGB")).astype(int)
    high, wide = (min(sides) // 3 for sides in zip(whole.shape[:2], other.shape[:2], strict=True))
    one, two = (smoothed(image, high, wide) for image in (whole, other))
    assert (np.abs(one - two).max(axis=2) > 48).mean() < 0.01
    assert ((255 - two).max(axis=2) > 40).mean() > 0.05, "something is drawn"


def smoothed(image: Any, high: int, wide: int) -> Any:
    """Means of 3 x 3 pixels, so many down and across."""
    return image[: 3 * high, : 3 * wide].reshape(high, 3, wide, 3, 3).mean(axis=(1, 3))


# --- type -----------------------------------------------------------------------------------


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


# --- asked for ------------------------------------------------------------------------------


def run(*arguments: object) -> Any:
    return CliRunner().invoke(app, [str(one) for one in arguments], env={"COLUMNS": "80"})


def test_show_draws_the_year_for_a_screen_beside_its_words(tmp_path: Path) -> None:
    folder = planned(tmp_path)
    ran = run("show", folder, "--svg", folder / "year.svg")
    assert ran.exit_code == 0 and "Blocks" in ran.stdout
    drawn_year = (folder / "year.svg").read_text(encoding="utf-8")
    for day in range(1, 32):
        assert drawn_year.count(f">{day}</text>") >= 1
    for word in ("January", "February", "Isle", "Fair", "climbing trip"):
        assert f">{word}</text>" in drawn_year
    ran = run("show", folder, "--svg", folder / "year.toml")
    assert ran.exit_code == 2 and "no SVG picture" in ran.stderr


INJURY = """
[[injury]]
name = "Left ring finger"
part = "finger"
happened = 2027-01-05
easy_from = 2027-01-12
building_from = 2027-01-19
full_from = 2027-02-02
"""


def test_the_command_writes_the_file_asked_for_and_no_other_kind_over_it(tmp_path: Path) -> None:
    folder = planned(tmp_path)
    assert run("poster", folder).exit_code == 0
    assert (folder / "poster.pdf").read_bytes().startswith(b"%PDF")
    ran = run("poster", folder, "-o", folder / "a.svg", "--rows", "weeks", "--grey", "--json")
    assert json.loads(ran.stdout) == {"files": [str(folder / "a.svg")], "sheets": 1}
    before = (folder / "year.toml").read_bytes()
    for other in ("year.toml", "mine.svg"):
        (folder / "mine.svg").write_text("my notes")
        ran = run("poster", folder, "-o", folder / other)
        assert ran.exit_code == 2 and "wanted" in ran.stderr
    assert (folder / "year.toml").read_bytes() == before
    assert (folder / "mine.svg").read_text() == "my notes"


def test_injuries_stay_out_unless_asked_for(tmp_path: Path) -> None:
    from folder_maker import YEAR, blocks
    from plan_maker import given

    hurt = given(Kind.INJURED, 1, 7, entry="left-ring-finger").model_copy(update={"id": "hurt-1"})
    folder = planned(tmp_path, year=YEAR + INJURY, blocks=(hurt, *blocks()[1:]))
    shown = {}
    for options in ((), ("--injuries",)):
        path = folder / f"{len(options)}.svg"
        assert run("poster", folder, "-o", path, *options).exit_code == 0
        shown[len(options)] = path.read_text(encoding="utf-8")
    assert "injured" in shown[1]
    for word in ("injured", "finger", ">!<"):
        assert word not in shown[0].replace("fingers", "")


def test_the_terminal_writes_the_same_poster(tmp_path: Path) -> None:
    from tui.poster_out import written

    folder = planned(tmp_path)
    told = written(Desk(folder))
    assert told.startswith(f"{folder / 'poster.pdf'}: your year as a poster, for paper of size A3")
    assert (folder / "poster.pdf").read_bytes() == pdf(poster(Desk(folder).view(), PosterWish()))
