"""The files of a poster: their names and bytes, and faults that keep it from being made."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from seasonplan.errors import BadInput, Fault
from seasonplan.pictures.marks import Picture
from seasonplan.pictures.pdf import can_write, pdf
from seasonplan.pictures.poster import missing_letters
from seasonplan.pictures.svg import svg

FILE = "poster.pdf"
BEGINS = {".pdf": (b"%PDF",), ".svg": (b"<svg", b"<?xml")}


def poster_files(pictures: tuple[Picture, ...], path: Path) -> dict[Path, bytes]:
    """What to write where: one PDF, or an SVG for each sheet.

    Raises BadInput where the name tells no format, a letter is not in the type, what writes PDF is
    not installed, or another kind of file is there.
    """
    faults = list(_faults(pictures, path))
    if faults:
        raise BadInput(faults)
    if path.suffix.lower() == ".pdf":
        return {path: pdf(pictures)}
    names = [path] if len(pictures) == 1 else [
        path.with_stem(f"{path.stem}-{n}") for n in range(1, len(pictures) + 1)
    ]  # fmt: skip
    files = {name: svg(one).encode() for name, one in zip(names, pictures, strict=True)}
    others = [fault for name in files for fault in _another(name, ".svg")]
    if others:
        raise BadInput(others)
    return files


def svg_file(picture: Picture, path: Path) -> bytes:
    """What to write for a picture for screens; its type is left to who shows it.

    Raises BadInput where another kind of file is there.
    """
    faults = list(_another(path, ".svg"))
    if faults:
        raise BadInput(faults)
    return svg(picture, lettered=False).encode()


def _faults(pictures: tuple[Picture, ...], path: Path) -> Iterator[Fault]:
    ending = path.suffix.lower()
    if ending not in BEGINS:
        found = f"the ending “{path.suffix}”" if path.suffix else "a name without an ending"
        yield Fault(str(path), "", None, found, ".pdf or .svg", "Name the file so.")
        return
    if ending == ".pdf" and not can_write():
        yield Fault(
            str(path), "", None, "nothing that writes PDF",
            "what `pip install 'seasonplan[poster]'` installs",
            "Install it, or name the file .svg, which needs nothing.",
        )  # fmt: skip
    yield from _another(path, ending) if ending == ".pdf" else ()
    for text, letters in missing_letters(pictures).items():
        yield Fault(
            str(path), "", None, f"“{text}” with {', '.join(map(_letter, letters))}",
            "letters that the poster can draw: Latin, Greek, Cyrillic, Hebrew, Arabic",
            "Write the name in these.",
        )  # fmt: skip


def _letter(sign: str) -> str:
    return f"“{sign}” (U+{ord(sign):04X})"


def _another(path: Path, ending: str) -> Iterator[Fault]:
    """A file of another kind: `-o year.toml` must not cost a year."""
    if path.is_file():
        begins = path.read_bytes().lstrip()[:5]
        if begins and not begins.startswith(BEGINS[ending]):
            yield Fault(
                str(path), "", None, f"a file that is no {ending[1:].upper()} picture",
                "a picture or no file", "Choose another name.",
            )  # fmt: skip
