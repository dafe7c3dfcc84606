"""A grid of signs with styles, from which a widget takes its lines. Knows no year."""

from __future__ import annotations

from unicodedata import category

from rich.cells import cell_len, get_character_cell_size
from rich.color import Color
from rich.segment import Segment
from rich.style import Style
from textual.strip import Strip


def clean(text: str) -> str:
    """Text that cannot steer the terminal."""
    if text.isprintable():
        return text
    return "".join(" " if category(sign) == "Cc" else sign for sign in text)


def shortened(text: str, room: int) -> str:
    """As much of a text as fits, cut between words; only a first word that is too long is cut.

    A sign says that more follows, unless most of what fits would have to give way to it.
    """
    if cell_len(text) <= room:
        return text
    kept = _beginning(text, room + 1).rpartition(" ")[0].rstrip(" ,:;")
    fewer = kept.rpartition(" ")[0].rstrip(" ,:;")
    if cell_len(kept) == room and 2 * cell_len(fewer) > room:
        kept = fewer
    if kept:
        return f"{kept}…" if cell_len(kept) < room else kept
    return f"{_beginning(text, room - 1)}…" if room > 1 else ""


def padded(text: str, width: int) -> str:
    """The text with blanks up to a width in columns: signs of East Asia take two."""
    return text + " " * (width - cell_len(text))


def _beginning(text: str, width: int) -> str:
    """As many signs of it as fit in so many columns."""
    while cell_len(text) > max(0, width):
        text = text[:-1]
    return text


class Canvas:
    """Signs are put at column and line; what falls outside is left out."""

    def __init__(self, width: int, height: int, base: Style) -> None:
        self.width, self.height = width, height
        self._signs = [[" "] * width for _ in range(height)]
        self._styles = [[base] * width for _ in range(height)]

    def put(self, column: int, line: int, text: str, style: Style) -> None:
        """Write text; its style lies over what was there."""
        if not 0 <= line < self.height:
            return
        at = column
        for sign in clean(text):
            wide = get_character_cell_size(sign)
            if wide == 0:  # an accent joins the letter before it
                if 0 < at <= self.width:
                    self._signs[line][at - 1] += sign
                continue
            if at >= 0 and at + wide <= self.width:
                self._signs[line][at] = sign
                self._styles[line][at] += style
                if wide == 2:
                    self._signs[line][at + 1] = ""
                    self._styles[line][at + 1] += style
            at += wide

    def sign(self, column: int, line: int) -> str:
        """What is written there; nothing outside."""
        inside = 0 <= column < self.width and 0 <= line < self.height
        return self._signs[line][column] if inside else ""

    def ground(self, column: int, line: int) -> Color | None:
        """The colour behind what is written there; none outside."""
        inside = 0 <= column < self.width and 0 <= line < self.height
        return self._styles[line][column].bgcolor if inside else None

    def tint(self, first: int, after: int, line: int, style: Style) -> None:
        """Lay a style over what is there."""
        if not 0 <= line < self.height:
            return
        for at in range(max(first, 0), min(after, self.width)):
            self._styles[line][at] += style

    def empty(self, first: int, after: int, line: int) -> bool:
        """Whether nothing is written on these columns of a line."""
        inside = self._signs[line][max(first, 0) : max(after, 0)]
        return first >= 0 and after <= self.width and not any(sign.strip() for sign in inside)

    def strip(self, line: int) -> Strip:
        """One line, neighbours of one style together."""
        segments: list[Segment] = []
        text, style = "", self._styles[line][0] if self.width else Style()
        for sign, its in zip(self._signs[line], self._styles[line], strict=True):
            if its is not style and its != style:
                segments.append(Segment(text, style))
                text, style = "", its
            text += sign
        segments.append(Segment(text, style))
        return Strip(segments, self.width)
