"""The one palette of terminal, page and paper: a tint and an ink of each kind, by day and by night.

All tints by day are pale enough to write on with a pen: lightness (CIE 1976) of 75 or more.
"""

from __future__ import annotations

from seasonplan.vocabulary import Kind

TINTS = {
    Kind.BASE: ("#d3e2ee", "#1d4a75"),
    Kind.STRENGTH: ("#dcc6e8", "#67297a"),
    Kind.PERFORMANCE: ("#f7d588", "#6d4200"),
    Kind.REST: ("#ece5d5", "#6a6355"),
    Kind.TRIP: ("#c6e4de", "#0a574d"),
    Kind.ABSENCE: ("#dad5ca", "#544f47"),
    Kind.INJURED: ("#f4d0c4", "#93290f"),
    Kind.RETURN: ("#f9dfe2", "#93290f"),
}
PAPER_INK, QUIET, ACCENT, ROCK = "#2e2a25", "#6f6859", "#a8480c", "#7d5f33"
WEEKEND, RULE, WEEK_RULE = "#f6f3ec", "#d8d2c4", "#a9a190"
NIGHT_TINTS = {
    Kind.BASE: ("#24415a", "#b5d6f2"),
    Kind.STRENGTH: ("#48324f", "#e4c0ef"),
    Kind.PERFORMANCE: ("#5e4710", "#ffdb7d"),
    Kind.REST: ("#343b41", "#b4babc"),
    Kind.TRIP: ("#1c5249", "#a5e2d6"),
    Kind.ABSENCE: ("#3b3b3a", "#bdb8ae"),
    Kind.INJURED: ("#59291d", "#ffbba6"),
    Kind.RETURN: ("#48302a", "#ffbba6"),
}
WHITE, NIGHT = "#ffffff", "#1d1b18"  # the grounds that are drawn on
# What each colour of a picture is by night
BY_NIGHT = {
    day: night
    for kind, pair in TINTS.items()
    for day, night in zip(pair, NIGHT_TINTS[kind], strict=True)
} | {
    PAPER_INK: "#ece6d8", QUIET: "#b0a897", ACCENT: "#f0a37a", ROCK: "#d9a05c",
    WEEKEND: "#26231f", RULE: "#48433a", WEEK_RULE: "#6d6658", WHITE: NIGHT,
}  # fmt: skip
LIGHTEST, DARKEST = 96.0, 76.0  # lightness of the greys, far enough apart for a black printer


def lightness(colour: str) -> float:
    """CIE 1976 lightness of an sRGB colour, 0 to 100 (CIE 15:2004)."""
    parts = (int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5))
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    shine = sum(w * c for w, c in zip((0.2126, 0.7152, 0.0722), linear, strict=True))
    return 116 * shine ** (1 / 3) - 16 if shine > 216 / 24389 else shine * 24389 / 27


def grey_of(colour: str) -> str:
    """The grey of the same lightness; the tints of kinds lie farther apart, in the same order."""
    order = sorted({tint for tint, _ in TINTS.values()}, key=lightness, reverse=True)
    if colour in order:
        step = (LIGHTEST - DARKEST) / (len(order) - 1)
        return _grey(LIGHTEST - step * order.index(colour))
    return _grey(lightness(colour))


def _grey(wanted: float) -> str:
    shine = ((wanted + 16) / 116) ** 3 if wanted > 8 else wanted * 27 / 24389
    part = 12.92 * shine if shine <= 0.0031308 else 1.055 * shine ** (1 / 2.4) - 0.055
    return f"#{round(255 * min(1.0, max(0.0, part))):02x}" * 1 + f"{round(255 * part):02x}" * 2
