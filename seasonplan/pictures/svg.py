"""A picture as SVG: no script, nothing fetched; the type within it, or that of who shows it."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Iterator, Sequence
from html import escape
from itertools import groupby

from seasonplan.pictures.fonts import font, in_order
from seasonplan.pictures.marks import Align, Mark, Picture, Shape, Words

FAMILY = "Year Sans"
ON_PAGE = "drawn"  # the class of all pictures in a page


def on_page(picture: Picture, look: str = "") -> str:
    """The picture as part of a page: on its ground and in its type, with the classes of `look`.

    Its colours are plain attributes, so that the page can give each another by night.
    """
    wide, high = _number(picture.width), _number(picture.height)
    return "".join(
        [
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide} {high}" '
            f'width="{wide}mm" height="{high}mm" role="img" class="{ON_PAGE} {look}" '
            f'font-family="sans-serif" aria-label="{escape(picture.told)}">',
            *_marks(picture.marks, lettered=False),
            "</svg>",
        ]
    )


def svg(picture: Picture, *, lettered: bool = True) -> str:
    """The picture; not `lettered` it leaves the type to who shows it, and is small."""
    wide, high = _number(picture.width), _number(picture.height)
    family = f"'{FAMILY}', sans-serif" if lettered else "sans-serif"
    return "".join(
        [
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide} {high}" '
            f'width="{wide}mm" height="{high}mm" role="img" font-family="{family}">',
            f"<title>{escape(picture.title)}</title><desc>{escape(picture.told)}</desc>",
            *(_type(picture) if lettered else ()),
            f'<path fill="#ffffff" d="M0 0H{wide}V{high}H0z"/>',
            *_marks(picture.marks, lettered=lettered),
            "</svg>\n",
        ]
    )


def _type(picture: Picture) -> Iterator[str]:
    yield "<style>"
    for bold in (False, True):
        texts = [one.text for one in picture.marks if isinstance(one, Words) and one.bold is bold]
        if texts:
            content = b64encode(font(bold=bold).part(texts)).decode()
            weight = "bold" if bold else "normal"
            yield (
                f"@font-face{{font-family:'{FAMILY}';font-weight:{weight};"
                f"src:url(data:font/ttf;base64,{content})}}"
            )
    yield "</style>"


def _marks(marks: Sequence[Mark], *, lettered: bool) -> Iterator[str]:
    """Every mark; shapes that follow one another and look the same are one path."""
    for (look, told), alike in groupby(marks, key=_look):
        if look:
            shapes = (one for one in alike if isinstance(one, Shape))
            path = f'<path {look} d="{"".join(map(_path, shapes))}"'
            yield f"{path}><title>{escape(told)}</title></path>" if told else f"{path}/>"
        else:
            words = (one for one in alike if isinstance(one, Words))
            yield from (_words(one, lettered=lettered) for one in words)


def _look(mark: Mark) -> tuple[str, str]:
    """The attributes of a shape, and what is told of it; "" of words."""
    if isinstance(mark, Words):
        return "", ""
    look = f'fill="{mark.fill or "none"}"'
    if mark.stroke:
        look += f' stroke="{mark.stroke}" stroke-width="{_number(mark.width)}"'
    if mark.dash:
        look += f' stroke-dasharray="{" ".join(map(_number, mark.dash))}"'
    return look, mark.told


def _path(mark: Shape) -> str:
    (x, y), *rest = mark.points
    end = "z" if mark.closed else ""
    if len(rest) == 3 and mark.closed and _is_upright(mark):
        (right, _), (_, bottom), _ = rest
        way = f"H{_number(right)}V{_number(bottom)}H{_number(x)}"
    elif len(rest) == 1 and rest[0][0] == x:
        way = f"V{_number(rest[0][1])}"
    elif len(rest) == 1 and rest[0][1] == y:
        way = f"H{_number(rest[0][0])}"
    else:
        way = "".join(f"L{_number(right)} {_number(down)}" for right, down in rest)
    return f"M{_number(x)} {_number(y)}{way}{end}"


def _is_upright(mark: Shape) -> bool:
    """Whether four points are a box, from its upper left corner over the right one."""
    (x, y), (x1, y1), (x2, y2), (x3, y3) = mark.points
    return (y, x1, y2, x3) == (y1, x2, y3, x)


def _words(mark: Words, *, lettered: bool) -> str:
    look = f'fill="{mark.colour}" font-size="{_number(mark.size)}"'
    look += ' font-weight="bold"' if mark.bold else ""
    shown = in_order(mark.text) if lettered else mark.text
    x = _number(mark.x)
    if shown != mark.text:
        x = " ".join(_places(mark))
        look += ' direction="ltr" unicode-bidi="bidi-override"'
    elif mark.align is not Align.START:
        look += f' text-anchor="{mark.align}"'
    return f'<text x="{x}" y="{_number(mark.y)}" {look}>{escape(shown)}</text>'


def _places(mark: Words) -> Iterator[str]:
    """Where each letter stands: a viewer that orders them itself cannot turn them round again."""
    type_, done = font(bold=mark.bold), mark.x - mark.offset(font(bold=mark.bold).width(mark.text))
    for sign in in_order(mark.text):
        yield _number(done)
        done += mark.size * type_.own_width(sign)


def _number(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".")
