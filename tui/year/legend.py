"""The signs of a year and their words: every sign on the screen, in two lines at the most."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from textual.content import Content

from seasonplan.explain.curve import LINE, SPREAD
from seasonplan.explain.held_told import legend as held_legend
from seasonplan.explain.signs import HEIGHTS, SHADES, SIGNS
from seasonplan.vocabulary import CHOSEN
from tui.words import Words
from tui.year.draw_form import FLAG
from tui.year.draw_plan import FIXED, ROCK
from tui.year.lanes import Lane, Sheet
from tui.year.narrow import LISTED, ROCK_LISTED, TODAY
from tui.year.sheet import YearSheet

MOST_LINES = 2
ROCK_TOLD = ("rock, denser where likelier good", "rock, by chance", "rock")
GAPS = ("   ", "  ", " ")  # between the signs, where there is room and where not


class Legend(Words):
    """The line or two under the year."""

    def tell(self, drawn: YearSheet, sheet: Sheet, *, today: date, listed: bool) -> None:
        """Tell the signs of a sheet as it is drawn now; `listed` where it is a list."""
        room = self.content_size.width
        tall = drawn.draws_curves, drawn.draws_form_lines
        if drawn.holding is not None and drawn.holding.strip is not None:
            told = Content.styled(held_legend(), "$quiet")
        elif listed:
            told = list_signs(sheet, today=today, room=room)
        else:
            told = signs(sheet, curves=tall[0], forms=tall[1], room=room)
        self.update(told)


def signs(sheet: Sheet, *, curves: bool, forms: bool, room: int) -> Content:
    """Signs and words of what this year shows; in one line where they fit, else in two."""
    every = [
        [*_drawn(sheet, words), *_beside(sheet, curves=curves, forms=forms)] for words in ROCK_TOLD
    ]
    return Content.styled(_laid(every, room), "$quiet")


def list_signs(sheet: Sheet, *, today: date, room: int) -> Content:
    """The same for the list: blocks name themselves there, so only what does not is told."""
    marks = [mark for row in sheet.rows if row.lane in LISTED for mark in row.marks]
    given = {mark.kind for mark in marks if mark.kind and mark.kind not in CHOSEN}
    parts = [f"{TODAY} now"] if today in sheet.year.span else []
    parts += [f"{ROCK_LISTED} rock"] if any(mark.lane is Lane.ROCK for mark in marks) else []
    parts += [f"{sign.drawn} {sign.word}" for kind, sign in SIGNS.items() if kind in given]
    parts += [f"{FIXED} fixed"] if any(mark.pinned for mark in marks) else []
    return Content.styled(_laid([parts], room), "$quiet")


def _drawn(sheet: Sheet, rock: str) -> Iterator[str]:
    """What the lanes of rock, days away and blocks hold."""
    used = {mark.kind for row in sheet.rows for mark in row.marks if mark.kind}
    if sheet.almanac.opportunities:
        yield f"{FLAG} goal"
    if sheet.rock_days:
        yield f"{ROCK} on rock"
    yield from (f"{sign.drawn} {sign.word}" for kind, sign in SIGNS.items() if kind in used)
    if any(row.lane is Lane.ROCK and row.marks for row in sheet.rows):
        yield f"{SHADES[1:].strip()} {rock}"


def _beside(sheet: Sheet, *, curves: bool, forms: bool) -> Iterator[str]:
    if any(mark.pinned for row in sheet.rows for mark in row.marks):
        yield f"{FIXED} fixed"
    yield "▔ free time"
    yield f"{HEIGHTS[4]} higher is more"
    lines = [word for word, drawn in (("chance", curves), ("form", forms)) if drawn]
    if lines:
        yield f"{LINE[1]} {', '.join(lines)}"
    if curves:
        yield f"{SPREAD} eight years of ten"


def _laid(wordings: Sequence[Sequence[str]], room: int) -> str:
    """The fullest wording that fits, in as few lines as it can be; else the shortest, cut last."""
    for lines in range(1, MOST_LINES + 1):
        for parts in wordings:
            for gap in GAPS[: lines + 1]:
                laid = _lines(parts, gap, room)
                if len(laid) <= lines:
                    return "\n".join(laid)
    return "\n".join(_lines(wordings[-1], GAPS[-1], room)[:MOST_LINES])


def _lines(parts: Sequence[str], gap: str, room: int) -> list[str]:
    """The parts in lines, none of them cut."""
    found: list[str] = []
    for part in parts:
        if found and len(found[-1]) + len(gap) + len(part) <= room:
            found[-1] += gap + part
        else:
            found.append(part)
    return found
