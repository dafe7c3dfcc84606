"""The year of chance as an SVG picture: a line with its spread, the months below.

Pure text; colours read with every kind of colour vision (Okabe and Ito's blue, from memory)
and in grey. Knows no file.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from xml.sax.saxutils import escape

from seasonplan.conditions.climate import YEAR_DAYS, Climate, date_of
from seasonplan.conditions.windows import Outlook, stretch_spread
from seasonplan.days import MONTHS

WIDE, HIGH = 800, 360
LEFT, RIGHT, TOP, BOTTOM = 60, 20, 56, 46
BLUE, INK, PALE = "#0072B2", "#222222", "#dddddd"


def chance_svg(climate: Climate, *, title: str, best: Sequence[Outlook] = ()) -> str:
    """The chance of a good day over the year; `best` windows are marked on the axis."""
    spread = stretch_spread(climate)
    top = scale_top(max(*(high for _, high in spread), *climate.chance))
    lows = [_point(n, low, top) for n, (low, _) in enumerate(spread)]
    highs = [_point(n, high, top) for n, (_, high) in enumerate(spread)]
    line = [_point(n, chance, top) for n, chance in enumerate(climate.chance)]
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDE} {HIGH}" role="img" '
        f'font-family="sans-serif" font-size="13" fill="{INK}">',
        f"<title>{escape(title)}</title>",
        f"<desc>{escape(_told(climate))}</desc>",
        f'<rect width="{WIDE}" height="{HIGH}" fill="white"/>',
        f'<text x="{LEFT}" y="22" font-size="16">{escape(title)}</text>',
        f'<text x="{LEFT}" y="42">Chance of a good day; shaded: weeks around it, '
        "eight years of ten</text>",
        *_grid(top),
        f'<polygon points="{" ".join([*highs, *reversed(lows)])}" fill="{BLUE}" opacity="0.2"/>',
        f'<polyline points="{" ".join(line)}" fill="none" stroke="{BLUE}" stroke-width="2.5"/>',
        *(mark for outlook in best for mark in _marks(outlook)),
        "</svg>",
    ]
    return "\n".join(parts) + "\n"


def _told(climate: Climate) -> str:
    """The picture in words: the mean chance of each month."""
    months: dict[int, list[float]] = {}
    for number, chance in enumerate(climate.chance):
        months.setdefault(date_of(number).month, []).append(chance)
    means = (
        f"{MONTHS[month - 1].capitalize()} {100 * sum(v) / len(v):.0f} %"
        for month, v in months.items()
    )
    return "Mean chance of a good day: " + ", ".join(means) + "."


def scale_top(highest: float) -> float:
    """The upper end of a scale of chances: the next tenth above, 1 at most."""
    return min(1.0, max(1, -(-int(1000 * highest) // 100)) / 10)


def _x(number: float) -> float:
    return LEFT + (WIDE - LEFT - RIGHT) * number / YEAR_DAYS


def _y(chance: float, top: float) -> float:
    return HIGH - BOTTOM - (HIGH - TOP - BOTTOM) * chance / top


def _point(number: int, chance: float, top: float) -> str:
    return f"{_x(number + 0.5):.1f},{_y(chance, top):.1f}"


def _grid(top: float) -> Iterator[str]:
    steps = round(10 * top)
    for tenth in range(0, steps + 1, 1 if steps <= 5 else 2):
        y = _y(tenth / 10, top)
        yield f'<path d="M{LEFT} {y:.1f}H{WIDE - RIGHT}" stroke="{PALE}"/>'
        yield f'<text x="{LEFT - 8}" y="{y + 4:.1f}" text-anchor="end">{10 * tenth} %</text>'
    firsts = [n for n in range(YEAR_DAYS) if date_of(n).day == 1]
    for month, number in enumerate(firsts):
        x = _x(number)
        yield f'<path d="M{x:.1f} {TOP}V{HIGH - BOTTOM + 5}" stroke="{PALE}"/>'
        name = MONTHS[month][:3].capitalize()
        yield f'<text x="{x + 30:.1f}" y="{HIGH - BOTTOM + 32}" text-anchor="middle">{name}</text>'


def _marks(outlook: Outlook) -> Iterator[str]:
    """A bar on the axis under a window, in two pieces where it crosses New Year."""
    after = outlook.begins + outlook.days
    for begin, end in ((outlook.begins, min(after, YEAR_DAYS)), (0, after - YEAR_DAYS)):
        if end > begin:
            x, width = _x(begin), _x(end) - _x(begin)
            yield (
                f'<rect x="{x:.1f}" y="{HIGH - BOTTOM + 8}" width="{width - 2:.1f}" height="6" '
                f'fill="{INK}"><title>{outlook.expected:.1f} good days to expect</title></rect>'
            )
