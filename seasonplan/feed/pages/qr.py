"""QR codes, for a phone's camera: in the terminal and as SVG."""

from __future__ import annotations

from collections.abc import Iterator

QUIET = 4  # light modules around a code (ISO/IEC 18004, from memory)
_HALVES = {(False, False): "█", (False, True): "▀", (True, False): "▄", (True, True): " "}


def qr_lines(text: str, *, unicode: bool) -> Iterator[str]:
    """A code for a terminal with light signs on dark ground; two rows on a line with Unicode."""
    rows = _rows(text)
    if not unicode:
        yield from ("".join("  " if dark else "##" for dark in row) for row in rows)
        return
    rows += [[False] * len(rows[0])] if len(rows) % 2 else []
    for upper, lower in zip(rows[::2], rows[1::2], strict=True):
        yield "".join(_HALVES[pair] for pair in zip(upper, lower, strict=True))


def qr_svg(text: str, *, label: str) -> str:
    """A code as an SVG picture; `label` must be fit for XML."""
    rows = _rows(text)
    path = "".join(
        f"M{x} {y}h1v1h-1z" for y, row in enumerate(rows) for x, dark in enumerate(row) if dark
    )
    size = len(rows)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {size} {size}" width="{5 * size}" '
        f'height="{5 * size}" role="img" aria-label="{label}" shape-rendering="crispEdges">'
        f'<path fill="#fff" d="M0 0h{size}v{size}H0z"/><path fill="#000" d="{path}"/></svg>'
    )


def _rows(text: str) -> list[list[bool]]:
    """Dark or not, row by row, with the quiet zone."""
    import segno

    code = segno.make_qr(text, error="m")
    return [[bool(dark) for dark in row] for row in code.matrix_iter(scale=1, border=QUIET)]
