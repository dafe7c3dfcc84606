"""The type on paper: widths of text, letters that are missing, the part of a font that is used.

Reads the shipped TrueType files itself, so that SVG needs no library.
"""

from __future__ import annotations

import struct
import unicodedata
from collections.abc import Iterable, Iterator
from functools import cache, cached_property
from importlib.resources import files

KEPT = ("OS/2", "cmap", "glyf", "head", "hhea", "hmtx", "loca", "maxp", "name", "post")
COMPOSITE, WORDS, MORE, SCALE, TWO_SCALES, MATRIX = -1, 1, 32, 8, 64, 128  # TrueType's flags
RIGHT_TO_LEFT = ("R", "AL", "AN")
OTHER_TYPE = 1.25  # a screen may set words in a type so much wider than ours (DejaVu Sans Bold)


class Font:
    """One weight of the shipped type."""

    def __init__(self, content: bytes) -> None:
        self.content = content
        count = struct.unpack(">H", content[4:6])[0]
        rows = (
            struct.unpack(">4sIII", content[at : at + 16]) for at in range(12, 12 + 16 * count, 16)
        )
        self._tables = {tag.decode(): (first, length) for tag, _, first, length in rows}

    def _table(self, tag: str) -> bytes:
        first, length = self._tables[tag]
        return self.content[first : first + length]

    @cached_property
    def em(self) -> int:
        """Units to the size of the type."""
        return int(struct.unpack(">H", self._table("head")[18:20])[0])

    @cached_property
    def glyphs(self) -> dict[int, int]:
        """The glyph of each letter that there is."""
        table = self._table("cmap")
        for at in range(4, 4 + 8 * struct.unpack(">H", table[2:4])[0], 8):
            first = struct.unpack(">I", table[at + 4 : at + 8])[0]
            if struct.unpack(">H", table[first : first + 2])[0] == 4:
                return dict(_mapped(table[first:]))
        raise AssertionError("the shipped type has a table of format 4")

    @cached_property
    def _widths(self) -> tuple[int, ...]:
        measures = struct.unpack(">H", self._table("hhea")[34:36])[0]
        return struct.unpack(f">{2 * measures}H", self._table("hmtx")[: 4 * measures])[::2]

    def width(self, text: str) -> float:
        """How wide a text is, as a multiple of the size of the type."""
        return sum(map(self.own_width, in_order(text)))

    def own_width(self, sign: str) -> float:
        """That of one letter in the form it is drawn in."""
        glyph = self.glyphs.get(ord(sign), 0)
        return self._widths[min(glyph, len(self._widths) - 1)] / self.em

    def missing(self, text: str) -> list[str]:
        """The letters of a text that this type has not, each once."""
        return [sign for sign in dict.fromkeys(in_order(text)) if ord(sign) not in self.glyphs]

    def part(self, texts: Iterable[str]) -> bytes:
        """The font with the shapes of these texts alone; all else keeps its number, empty."""
        signs = {ord(sign) for text in texts for sign in in_order(text)}
        wanted = {0, *(self.glyphs[sign] for sign in signs if sign in self.glyphs)}
        shapes, ends = bytearray(), [0]
        every = self._with_parts(wanted)
        for glyph in range(len(self._places) - 1):
            shapes += self._shape(glyph) if glyph in every else b""
            shapes += bytes(-len(shapes) % 4)
            ends.append(len(shapes))
        head = bytearray(self._table("head"))
        head[50:52] = b"\0\1"  # long places
        new = {
            "glyf": bytes(shapes), "loca": struct.pack(f">{len(ends)}I", *ends), "head": bytes(head)
        }  # fmt: skip
        return _bound({tag: new.get(tag) or self._table(tag) for tag in KEPT})

    @cached_property
    def _places(self) -> tuple[int, ...]:
        long = struct.unpack(">h", self._table("head")[50:52])[0]
        table = self._table("loca")
        if long:
            return struct.unpack(f">{len(table) // 4}I", table)
        return tuple(2 * one for one in struct.unpack(f">{len(table) // 2}H", table))

    def _shape(self, glyph: int) -> bytes:
        return self._table("glyf")[self._places[glyph] : self._places[glyph + 1]]

    def _with_parts(self, wanted: set[int]) -> set[int]:
        """The glyphs with those that they are put together from."""
        found, open_ = set[int](), list(wanted)
        while open_:
            glyph = open_.pop()
            if glyph not in found:
                found.add(glyph)
                open_ += _parts(self._shape(glyph))
        return found


def _parts(shape: bytes) -> Iterator[int]:
    if not shape or struct.unpack(">h", shape[:2])[0] != COMPOSITE:
        return
    at, flags = 10, MORE
    while flags & MORE:
        flags, glyph = struct.unpack(">HH", shape[at : at + 4])
        yield glyph
        at += 4 + (4 if flags & WORDS else 2)
        at += 2 if flags & SCALE else 4 if flags & TWO_SCALES else 8 if flags & MATRIX else 0


def _mapped(table: bytes) -> Iterator[tuple[int, int]]:
    """Letters and glyphs of a character map of format 4 (OpenType, cmap)."""
    double = struct.unpack(">H", table[6:8])[0]
    count = double // 2

    def column(at: int, kind: str = "H") -> tuple[int, ...]:
        return struct.unpack(f">{count}{kind}", table[at : at + double])

    ends, starts = column(14), column(16 + double)
    deltas, offsets = column(16 + 2 * double), column(16 + 3 * double)
    for n in range(count):
        for sign in range(starts[n], min(ends[n], 0xFFFE) + 1):
            glyph = sign
            if offsets[n]:
                at = 16 + 3 * double + 2 * n + offsets[n] + 2 * (sign - starts[n])
                glyph = struct.unpack(">H", table[at : at + 2])[0]
            glyph = (glyph + deltas[n]) % 65536 if glyph else 0
            if glyph:
                yield sign, glyph


def _bound(tables: dict[str, bytes]) -> bytes:
    """Tables as one file (OpenType, font file)."""
    power = 1 << (len(tables).bit_length() - 1)
    directory = struct.pack(
        ">IHHHH", 0x10000, len(tables), 16 * power, power.bit_length() - 1,
        16 * (len(tables) - power),
    )  # fmt: skip
    at, body = 12 + 16 * len(tables), b""
    for tag in sorted(tables):
        content = tables[tag] + bytes(-len(tables[tag]) % 4)
        check = sum(struct.unpack(f">{len(content) // 4}I", content)) % 2**32
        directory += struct.pack(">4sIII", tag.encode(), check, at + len(body), len(tables[tag]))
        body += content
    return directory + body


@cache
def font(*, bold: bool) -> Font:
    name = f"sans-{'bold' if bold else 'regular'}.ttf"
    return Font((files("seasonplan.pictures") / "type" / name).read_bytes())


@cache
def in_order(text: str) -> str:
    """The letters from left to right as they are drawn; Arabic ones in their joined forms.

    Where what puts them in order is not installed (the extra `poster`), as they were typed.
    """
    text = unicodedata.normalize("NFC", text)
    if not any(unicodedata.bidirectional(sign) in RIGHT_TO_LEFT for sign in text):
        return text
    try:
        from arabic_reshaper import reshape
        from bidi import get_display
    except ImportError:
        return text
    return str(get_display(reshape(text)))


def broken(text: str, room: float, size: float, *, bold: bool = False) -> list[str]:
    """The text in lines, broken between words; a word too long for a line stays whole."""
    lines: list[str] = []
    for word in text.split():
        joined = f"{lines[-1]} {word}" if lines else word
        if lines and size * font(bold=bold).width(joined) <= room:
            lines[-1] = joined
        else:
            lines.append(word)
    return lines


def fitting(text: str, room: float, size: float, *, bold: bool = False) -> str:
    """The text, or as much of it as there is room for, and then "…"; "" where none is."""
    letters, type_ = text, font(bold=bold)
    while letters:
        told = letters if letters == text else f"{letters.rstrip()}…"
        if size * type_.width(told) <= room:
            return told
        letters = letters[:-1]
    return ""
