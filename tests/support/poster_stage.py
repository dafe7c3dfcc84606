"""What the tests of the poster stand on: a southern year, small years, and how a page is read."""

from __future__ import annotations

import re
from functools import cache
from typing import Any

import numpy as np
import pytest
from places import ROOT

from seasonplan.edits import read
from seasonplan.pictures.cells import PaperSheet
from seasonplan.pictures.marks import Picture, Words
from seasonplan.pictures.paper import PosterWish, Size
from seasonplan.pictures.pdf import pdf
from seasonplan.pictures.poster import poster, sheet_of
from seasonplan.views import YearView, year_view
from seasonplan.workspace.desk import Desk

pdfium = pytest.importorskip("pypdfium2", reason="pypdfium2 reads the PDF")
pytest.importorskip("reportlab", reason="reportlab writes the PDF")

DEMO = ROOT / "calendars_demo"
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


@cache
def south() -> YearView:
    """A southern year across New Year, weeks from Sunday."""
    return Desk(DEMO / "trips-and-boulders").view()


@cache
def south_pdf() -> bytes:
    return pdf(poster(south(), SMALLER))


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


def words_of(picture: Picture) -> list[Words]:
    return [one for one in picture.marks if isinstance(one, Words)]


def texts_of(picture: Picture) -> list[str]:
    return [one.text for one in words_of(picture)]
