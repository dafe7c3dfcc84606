"""Cut the type of the poster anew: `python tests/remake_type.py FOLDER-OF-NOTO-FONTS`.

Needs fonttools. Not a test; run it where a script or sign is to be added.
"""

from __future__ import annotations

import sys
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from fontTools import merge, subset
from fontTools.ttLib import TTFont

TYPE = Path(__file__).parent.parent / "seasonplan" / "pictures" / "type"
FAMILY = "Year Sans"
LATIN_GREEK_CYRILLIC = (
    (0x20, 0x7E), (0xA0, 0x17F), (0x18F, 0x18F), (0x192, 0x192), (0x1A0, 0x1A1), (0x1AF, 0x1B0),
    (0x1CD, 0x1DC), (0x1E6, 0x1E7), (0x1FA, 0x21B), (0x259, 0x259), (0x2BB, 0x2BC),
    (0x2C6, 0x2C7), (0x2D8, 0x2DD), (0x300, 0x30C), (0x323, 0x331), (0x370, 0x3FF),
    (0x400, 0x45F), (0x490, 0x4FF), (0x1E80, 0x1E85), (0x1E9E, 0x1E9E), (0x1EA0, 0x1EF9),
    (0x2010, 0x2026), (0x2030, 0x203A), (0x2044, 0x2044), (0x2070, 0x2079), (0x20A0, 0x20BF),
    (0x2116, 0x2116), (0x2122, 0x2122), (0x2150, 0x215E), (0x2190, 0x2193), (0x2212, 0x2212),
    (0x2248, 0x2248), (0x2260, 0x2265),
)  # fmt: skip
HEBREW = ((0x5BE, 0x5BE), (0x5D0, 0x5EA), (0x5F0, 0x5F4))
ARABIC = (
    (0x60C, 0x60C), (0x61B, 0x61B), (0x61F, 0x61F), (0x621, 0x652), (0x660, 0x66C),
    (0x66E, 0x671), (0x679, 0x679), (0x67E, 0x67E), (0x686, 0x686), (0x688, 0x688),
    (0x691, 0x691), (0x698, 0x698), (0x6A9, 0x6A9), (0x6AF, 0x6AF), (0x6BA, 0x6BA),
    (0x6BE, 0x6BE), (0x6C1, 0x6C1), (0x6CC, 0x6CC), (0x6D2, 0x6D2), (0x6F0, 0x6F9),
    (0xFB50, 0xFBFF), (0xFE70, 0xFEFC),
)  # fmt: skip
PARTS = {"": LATIN_GREEK_CYRILLIC, "Hebrew": HEBREW, "Arabic": ARABIC}


def cut(source: Path, ranges: tuple[tuple[int, int], ...], out: Path) -> str:
    """Some letters of a font, without hints and layout tables."""
    options = subset.Options(hinting=False, notdef_outline=True, layout_features=[])
    options.drop_tables += ["GSUB", "GPOS", "GDEF", "kern", "DSIG", "meta", "MATH"]
    whole = subset.load_font(str(source), options)
    letters = subset.Subsetter(options)
    letters.populate(unicodes=[code for low, high in ranges for code in range(low, high + 1)])
    letters.subset(whole)
    whole.save(out)
    return str(out)


def called(font: TTFont, style: str) -> None:
    """Gives the font our own name, of normal width, and keeps copyright and licence."""
    names: Any = font["name"]
    for number in (16, 17, 21, 22, 25):
        names.removeNames(nameID=number)
    whole = f"{FAMILY} {style}"
    for number, text in ((1, FAMILY), (2, style), (3, whole), (4, whole), (6, f"YearSans-{style}")):
        names.removeNames(nameID=number)
        names.setName(text, number, 3, 1, 0x409)
    font["OS/2"].usWidthClass = 5
    font["post"].formatType = 3.0


def remake(fonts: Path, style: str) -> None:
    weight = "" if style == "Regular" else style
    with TemporaryDirectory() as folder:
        cuts = [
            cut(fonts / f"NotoSans{part}-SemiCondensed{weight}.ttf", ranges,
                Path(folder) / f"{part}.ttf")
            for part, ranges in PARTS.items()
        ]  # fmt: skip
        made = merge.Merger().merge(cuts)
    called(made, style)
    made.save(TYPE / f"sans-{style.lower()}.ttf")


if __name__ == "__main__":
    for one in ("Regular", "Bold"):
        remake(Path(sys.argv[1]), one)
