"""The signs of a year and their words, as many as a line has room for."""

from __future__ import annotations

from textual.content import Content

from seasonplan.explain.curve import LINE, SPREAD
from seasonplan.explain.signs import SHADES, SIGNS
from tui.year.draw_form import FLAG
from tui.year.draw_plan import FIXED, ROCK
from tui.year.lanes import Lane, Sheet

ROCK_TOLD = ("rock, denser where likelier good", "rock, by chance")
GAPS = ("   ", "  ")  # between the signs, where there is room and where not


def signs(sheet: Sheet, *, curves: bool, room: int) -> Content:
    """Signs and words of what this year has, as many as there is room for."""
    used = {mark.kind for row in sheet.rows for mark in row.marks if mark.kind}
    parts = [f"{FLAG} goal"] if sheet.almanac.opportunities else []
    parts += [f"{ROCK} on rock"] if sheet.rock_days else []
    parts += [f"{sign.drawn} {sign.word}" for kind, sign in SIGNS.items() if kind in used]
    if any(row.lane is Lane.ROCK and row.marks for row in sheet.rows):
        full = f"{SHADES[1:].strip()} {ROCK_TOLD[0]}"
        fits = len(GAPS[-1].join([*parts, full])) <= room
        parts.append(full if fits else f"{SHADES[1:].strip()} {ROCK_TOLD[1]}")
    if any(mark.pinned for row in sheet.rows for mark in row.marks):
        parts.append(f"{FIXED} fixed")
    parts.append("▔ free time")
    if curves:
        parts += [f"{LINE[1]} chance", f"{SPREAD} eight years of ten"]
    while len(parts) > 1 and len(GAPS[-1].join(parts)) > room > 0:
        parts.pop()
    gap = next((gap for gap in GAPS if len(gap.join(parts)) <= room), GAPS[-1])
    return Content.styled(gap.join(parts), "$quiet")
