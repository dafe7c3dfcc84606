"""Pictures as PDF, a page each, the type within it. Alone knows reportlab (the extra `poster`)."""

from __future__ import annotations

from collections.abc import Sequence
from importlib.util import find_spec
from io import BytesIO
from typing import TYPE_CHECKING, Any

from seasonplan.pictures.fonts import font, in_order
from seasonplan.pictures.marks import Mark, Picture, Shape, Words

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

POINTS = 72 / 25.4  # to a millimetre
NAMES = {False: "YearSans", True: "YearSans-Bold"}


def can_write() -> bool:
    """Whether what writes PDF is installed."""
    return all(find_spec(name) for name in ("reportlab", "bidi", "arabic_reshaper"))


def pdf(pictures: Sequence[Picture]) -> bytes:
    """The pages. The same pictures give the same bytes."""
    from reportlab.pdfgen.canvas import Canvas

    _letter()
    out = BytesIO()
    paper = Canvas(out, pageCompression=1, invariant=1, initialFontName=NAMES[False])
    paper.setTitle(pictures[0].title)
    paper.setSubject(pictures[0].told)
    paper.setAuthor("")
    paper.setCreator("seasonplan")
    for picture in pictures:
        paper.setPageSize((picture.width * POINTS, picture.height * POINTS))
        paper.transform(POINTS, 0, 0, POINTS, 0, picture.height * POINTS)
        for mark in picture.marks:
            _draw(paper, mark)
        paper.showPage()
    paper.save()
    return out.getvalue()


def _letter() -> None:
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    for bold, name in NAMES.items():
        if name not in pdfmetrics.getRegisteredFontNames():
            pdfmetrics.registerFont(TTFont(name, BytesIO(font(bold=bold).content)))


def _draw(paper: Canvas, mark: Mark) -> None:
    if isinstance(mark, Shape):
        _shape(paper, mark)
    else:
        _words(paper, mark)


def _shape(paper: Any, mark: Shape) -> None:
    path = paper.beginPath()
    for number, (x, y) in enumerate(mark.points):
        (path.lineTo if number else path.moveTo)(x, -y)
    if mark.closed:
        path.close()
    if mark.fill:
        paper.setFillColor(_colour(mark.fill))
    if mark.stroke:
        paper.setStrokeColor(_colour(mark.stroke))
        paper.setLineWidth(mark.width)
    paper.setDash(list(mark.dash) if mark.dash else [])
    paper.drawPath(path, fill=int(bool(mark.fill)), stroke=int(bool(mark.stroke)))


def _words(paper: Any, mark: Words) -> None:
    shown = in_order(mark.text)
    paper.setFillColor(_colour(mark.colour))
    paper.setFont(NAMES[mark.bold], mark.size)
    left = mark.x - mark.offset(font(bold=mark.bold).width(mark.text))
    paper.drawString(left, -mark.y, shown)


def _colour(text: str) -> Any:
    from reportlab.lib.colors import HexColor

    return HexColor(text)
