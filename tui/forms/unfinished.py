"""What is typed in a form and not yet written down, kept in a file so that nothing is lost.

A dead terminal, a crash or a full battery leaves it there; the form that was written down or left
takes it away. Knows forms by their keys only.
"""

from __future__ import annotations

import json
import threading
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path

from pydantic import ValidationError

from seasonplan.errors import CannotWrite
from seasonplan.files.disk import read_whole, write_output
from seasonplan.vocabulary import FrozenModel

FILE = "unfinished.json"
GIST = 60
KEY = "begin"  # of the questions of a first year


class Typed(FrozenModel):
    """The words on the lines of one form, by the keys of the lines, and the form's title."""

    title: str
    words: dict[str, str]

    @property
    def gist(self) -> str:
        """The words one after another, the first of them."""
        told = ", ".join(word for word in self.words.values() if word)
        return told if len(told) <= GIST else f"{told[: GIST - 1]}…"


@dataclass
class Unfinished:
    """The forms of a folder that were begun. Several threads may call it."""

    folder: Path
    _lock: threading.Lock = field(default_factory=threading.Lock)
    _turn: int = 0

    def all(self) -> dict[str, Typed]:
        """Every form that was begun, by its key; what cannot be read is not there."""
        try:
            found = json.loads(read_whole(self.folder / FILE))
            return {str(key): Typed.model_validate(one) for key, one in found.items()}
        except (OSError, ValueError, ValidationError, AttributeError, RecursionError):
            return {}

    def turn(self) -> int:
        """A number for `keep`, larger than all before."""
        self._turn += 1
        return self._turn

    def keep(self, key: str, typed: Typed, *, turn: int) -> None:
        """Keep what is typed by now, unless something typed later is kept already.

        Where the folder can't be written to nothing is kept: the form itself will say so.
        """
        with self._lock:
            if turn == self._turn:
                others = {name: one for name, one in self.all().items() if name != key}
                self._write(others | ({key: typed} if typed.words else {}))

    def drop(self, key: str) -> None:
        """The form is done with."""
        self.turn()
        with self._lock:
            left = self.all()
            if left.pop(key, None) is not None:
                self._write(left)

    def _write(self, forms: Mapping[str, Typed]) -> None:
        path = self.folder / FILE
        if forms:
            with suppress(OSError):  # then nothing is kept; writing the form down will say why
                self.folder.mkdir(parents=True, exist_ok=True)
        told = {key: one.model_dump() for key, one in forms.items()}
        with suppress(CannotWrite, OSError):
            if told:
                content = json.dumps(told, ensure_ascii=False, indent=1) + "\n"
                write_output(path, content.encode())
            else:
                path.unlink(missing_ok=True)  # an empty file would only be in the way
