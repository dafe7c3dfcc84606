"""Which words of a picture touch, by the widths of its type."""

from __future__ import annotations

from collections.abc import Iterator

from seasonplan.pictures.fonts import font
from seasonplan.pictures.marks import Picture, Words

RISE = 0.72  # of the size of the type: capitals; what hangs below may touch


def touching(picture: Picture, *, wider: float = 1.0) -> Iterator[tuple[str, str]]:
    """Pairs of words one over the other or beyond the paper, were the type so much wider."""
    placed = sorted((_box(one, wider), one.text) for one in picture.marks if isinstance(one, Words))
    for n, ((left, top, right, bottom), text) in enumerate(placed):
        if left < 0 or right > picture.width or top < 0 or bottom > picture.height:
            yield text, "the edge of the paper"
        for (x, y, _, down), other in placed[n + 1 :]:
            if x >= right:
                break
            if y < bottom and top < down:
                yield text, other


def _box(one: Words, wider: float) -> tuple[float, float, float, float]:
    wide = font(bold=one.bold).width(one.text) * wider
    left = one.x - one.offset(wide)
    return left, one.y - RISE * one.size, left + one.size * wide, one.y
