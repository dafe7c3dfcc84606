"""The poster: its paper, and what stands where on it."""

from __future__ import annotations

import re
from collections import Counter
from datetime import date
from pathlib import Path

import pytest
import testing_stage
from poster_stage import (
    NAMES,
    POINT,
    SMALL_YEAR,
    SMALLER,
    only,
    pdfium,
    sheet,
    small,
    south,
    south_pdf,
    text_in,
    texts_of,
    words_of,
)
from words_apart import touching

from seasonplan.days import MONTHS, day_month_text, month_text
from seasonplan.edits import read
from seasonplan.pictures.files import poster_files
from seasonplan.pictures.marks import Words
from seasonplan.pictures.paper import SIDES, PosterWish, Rows, Size
from seasonplan.pictures.pdf import pdf
from seasonplan.pictures.poster import poster
from seasonplan.pictures.svg import svg
from seasonplan.testing import study_of
from seasonplan.views import year_view

# --- the paper ---------------------------------------------------------------------------------


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


def test_the_same_year_gives_the_same_bytes() -> None:
    assert pdf(poster(south(), SMALLER)) == south_pdf()
    assert svg(only(poster(south(), PosterWish()))) == svg(only(poster(south(), PosterWish())))


def test_all_type_is_within_the_pdf() -> None:
    fonts = re.findall(rb"/Type /Font\b|/Subtype /TrueType /Type /Font\b", south_pdf())
    assert len(fonts) == south_pdf().count(b"/FontFile2") == 2
    assert b"/Type1" not in south_pdf()


def test_no_type_is_smaller_than_seven_points_on_a3() -> None:
    for rows in Rows:
        marks = only(poster(south(), PosterWish(rows=rows))).marks
        sizes = [one.size / POINT for one in marks if isinstance(one, Words)]
        assert len(sizes) > 400
        assert min(sizes) >= 7


# --- what stands on it -------------------------------------------------------------------------


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
def test_every_goal_trip_absence_and_month_is_named(rows: Rows) -> None:
    page = pdfium.PdfDocument(pdf(poster(south(), PosterWish(rows=rows))))[0]
    told = " ".join(page.get_textpage().get_text_range().split())
    names = [*(goal.name for goal in south().goals), *(entry.name for entry in south().away)]
    assert len(names) == 6
    for name in names:
        assert name in told
    for n, month in enumerate(MONTHS, 1):
        assert (month.capitalize() if rows is Rows.MONTHS else month_text(date(2027, n, 1))) in told
    assert "plan 1 of 21 Nov 2026" in told and "Kiri" in told
    for goal in south().goals:
        for stretch in goal.stretches:
            assert f"{len(stretch.planned)} days planned" in told


def test_a_flag_stands_on_just_the_days_planned_on_rock() -> None:
    wish = PosterWish()
    marks = [one for one in only(poster(south(), wish)).marks if isinstance(one, Words)]
    cells = sheet(south(), wish).cells
    flagged = {
        day: one.text
        for day, cell in cells.items()
        for one in marks
        if one.colour == "#ffffff" and cell.room.x < one.x < cell.room.right
        and cell.box.y < one.y < cell.box.bottom
    }  # fmt: skip
    wanted = {
        day: str(number)
        for number, goal in enumerate(south().goals, 1)
        for stretch in goal.stretches
        for day in stretch.planned
    }
    assert flagged == wanted and len(wanted) == 42


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


def test_week_rows_begin_with_the_climbers_first_weekday() -> None:
    found = sheet(south(), PosterWish(rows=Rows.WEEKS))
    columns = {day.weekday(): cell.box.x for day, cell in found.cells.items()}
    assert sorted(columns, key=lambda day: columns[day]) == [6, 0, 1, 2, 3, 4, 5]
    assert all(day.weekday() == 6 for day in found.notes)


def test_two_months_that_begin_in_one_week_are_both_named_and_stand_apart() -> None:
    view = small(first="2027-10-26", weeks="6")  # a Tuesday; 1 November is a Monday
    same = small(first="2026-10-26", weeks="6")  # a Monday; 1 November is the Sunday after
    for one in (view, same):
        words = words_of(only(poster(one, PosterWish(rows=Rows.WEEKS))))
        october, november = (next(w for w in words if w.text == name) for name in ("Oct", "Nov"))
        assert november.y - october.y >= november.size
        assert [w.text for w in words].count("2026" if one is same else "2027") >= 1


def test_each_of_two_sheets_tells_what_is_away_on_it() -> None:
    late = NAMES.format("Fair") + NAMES.replace("2026-12-20", "2028-10-02").replace(
        "2027-01-02", "2028-10-08"
    ).format("Wedding")
    for rows in Rows:
        first, second = poster(small(late, weeks="104"), PosterWish(rows=rows))
        told = [" ".join(texts_of(sheet)) for sheet in (first, second)]
        for n, (name, other) in enumerate((("Fair", "Wedding"), ("Wedding", "Fair"))):
            assert f": {name}" in told[n] and other not in told[n]


def test_what_the_foot_has_no_room_for_is_said() -> None:
    many = "".join(
        NAMES.replace("2026-12-20", f"2027-01-{n:02}")
        .replace("2027-01-02", f"2027-01-{n:02}")
        .format(f"Away number {n}")
        for n in range(3, 32)
    )
    texts = texts_of(only(poster(small(many, weeks="8"), PosterWish(rows=Rows.WEEKS))))
    assert "and more than there is room for here" in texts
    assert len([text for text in texts if ": Away" in text]) >= 15


@pytest.mark.parametrize("rows", Rows)
@pytest.mark.parametrize("size", [Size.A3, Size.LETTER])
def test_no_words_touch_and_none_leaves_the_paper(size: Size, rows: Rows) -> None:
    picture = only(poster(south(), PosterWish(size=size, rows=rows)))
    assert len(words_of(picture)) > 400
    assert list(touching(picture)) == []
