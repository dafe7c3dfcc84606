"""The poster to the eye: its colours, and both formats alike."""

from __future__ import annotations

import io
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from places import ROOT
from poster_stage import (
    DPI,
    SMALLER,
    drawn,
    only,
    sheet,
    south,
    south_pdf,
)

from seasonplan.explain.tints import TINTS, grey_of, lightness
from seasonplan.pictures.cells import MARGIN
from seasonplan.pictures.marks import Shape
from seasonplan.pictures.paper import PosterWish, Rows, Size
from seasonplan.pictures.pdf import pdf
from seasonplan.pictures.poster import poster
from seasonplan.pictures.svg import svg
from seasonplan.vocabulary import Kind

resvg = pytest.importorskip("resvg_py", reason="resvg draws the SVG")
TYPE = ROOT / "seasonplan" / "pictures" / "type"


def pixel(image: Any, x: float, y: float, *, dpi: int = DPI) -> str:
    at = dpi / 25.4
    return "#" + "".join(f"{part:02x}" for part in image[round(y * at), round(x * at)])


def test_blocks_have_their_fill_the_margin_is_white_and_grey_keeps_the_order() -> None:
    cells = sheet(south(), SMALLER).cells
    grey = pdf(poster(south(), PosterWish(size=Size.A4, grey=True)))
    seen: dict[str, dict[Kind, str]] = {"colour": {}, "grey": {}}
    for name, content in (("colour", south_pdf()), ("grey", grey)):
        image = drawn(content)
        margin = round(DPI * (MARGIN - 0.5) / 25.4)
        for edge in (image[:margin], image[-margin:], image[:, :margin], image[:, -margin:]):
            assert (edge == 255).all()
        if name == "grey":
            assert (image.max(axis=2) - image.min(axis=2)).max() <= 1
        for block in south().blocks:
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


def test_svg_and_pdf_look_the_same() -> None:
    """The type is handed over: this renderer reads none out of a style sheet. Means of 3 x 3
    pixels are compared, since two renderers smooth edges each in its way."""
    from PIL import Image

    whole = drawn(south_pdf())
    content = resvg.svg_to_bytes(
        svg_string=svg(only(poster(south(), SMALLER))), width=whole.shape[1], dpi=DPI,
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


def test_a_trip_is_told_from_an_absence_by_shape_too() -> None:
    """In grey both boxes are dark lines: that of a climbing trip has a filled corner."""
    for rows in Rows:
        marks = only(poster(south(), PosterWish(rows=rows, grey=True))).marks
        corners = [one for one in marks if isinstance(one, Shape) and len(one.points) == 3]
        ink = grey_of(TINTS[Kind.TRIP][1])
        filled = [one for one in corners if one.fill == ink]
        runs = sum(
            len(list(sheet(south(), PosterWish(rows=rows)).runs(one.span)))
            for one in south().away
            if one.climbing
        )
        assert len(filled) == runs + 1 and runs >= 2, "one is the key's"
