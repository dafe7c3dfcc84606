"""The note that a save of several files leaves while it renames, so that it can be finished.

Owns the note and what may be done by it; takes no lock: who calls holds those of the files named.
A file that somebody changed since is never written over.
"""

from __future__ import annotations

import json
import os
from collections.abc import Callable, Sequence
from contextlib import suppress
from pathlib import Path
from typing import NamedTuple

ENDING = ".unfinished-save"


class Step(NamedTuple):
    """One rename: the file's name in the folder, what lies beside it, digests before and after."""

    name: str
    part: str
    was: str | None
    will: str


def note(folder: Path, steps: Sequence[Step]) -> Path:
    """Write down which renames follow, safe on the disk before the first of them."""
    path = folder / f".{steps[0].name}{ENDING}"
    part = path.with_name(f"{path.name}.part")
    with part.open("wb") as file:
        file.write(json.dumps(steps).encode())
        file.flush()
        os.fsync(file.fileno())
    part.replace(path)
    flush_folder(folder)
    return path


def pending(folder: Path) -> list[Path]:
    """The notes of saves that are under way, or were when their program died."""
    return sorted(folder.glob(f".*{ENDING}"))


def steps_of(path: Path) -> tuple[Step, ...]:
    """What a note says; nothing where it is gone or not ours."""
    with suppress(OSError, ValueError, TypeError, RecursionError):
        steps = tuple(Step(*one) for one in json.loads(path.read_bytes()))
        if all(_is_ours(step) for step in steps):
            return steps
    return ()


def finish(path: Path, *, digest: Callable[[Path], str | None]) -> None:
    """Do the renames that are left; where none was done and a file is another by now, none is."""
    folder, steps = path.parent, steps_of(path)
    places = [((folder / step.name).resolve(), step) for step in steps]
    left = [(real, step) for real, step in places if (real.parent / step.part).exists()]
    fresh = [(real, step) for real, step in left if digest(real) == step.was]
    if len(left) < len(places) or len(fresh) == len(places):
        for real, step in fresh:
            (real.parent / step.part).replace(real)
            flush_folder(real.parent)
    for real, step in left:
        (real.parent / step.part).unlink(missing_ok=True)
    path.unlink(missing_ok=True)


def flush_folder(folder: Path) -> None:
    """Make renames in a folder safe on the disk."""
    if os.name != "posix":
        return  # only POSIX lets a folder be opened and flushed
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _is_ours(step: Step) -> bool:
    """Whether it names files in the folder only, whoever wrote the note."""
    plain = all(Path(name).name == name for name in (step.name, step.part))
    return plain and step.part.startswith(".") and step.part.endswith(".part")
