"""stdout and stderr as they may be: closed, full, or a pipe whose reader has gone.

Owns the way out of the program and the code for what could not be told; knows no command.
"""

from __future__ import annotations

import errno
import io
import os
import sys
from typing import Any, TextIO

from seasonplan.cli.exits import Exit

IN, OUT, ERR = 0, 1, 2


class NotTold(Exception):
    """stdout takes nothing: there is no use in going on."""


class Outlet(io.FileIO):
    """An open end of the program. What it does not take is remembered once, then dropped."""

    def __init__(self, handle: int, *, needed: bool) -> None:
        super().__init__(handle, "wb", closefd=False)
        self.needed = needed
        self.error: OSError | None = None

    def write(self, content: Any, /) -> int:
        """Raises NotTold at the first content that a needed outlet does not take."""
        if self.error is not None:
            return len(memoryview(content))
        try:
            return super().write(content)
        except OSError as error:
            self.error = error
            if self.needed:
                raise NotTold from None
            return len(memoryview(content))


class Outlets:
    """Both ends of the program, put in place of Python's own."""

    def __init__(self) -> None:
        _fill_gaps()
        self.out, sys.stdout = _opened(OUT, sys.stdout, needed=True)
        self.err, sys.stderr = _opened(ERR, sys.stderr, needed=False)
        if sys.stdin is None:  # an end that was closed before we began
            sys.stdin = open(IN, encoding="utf-8", closefd=False)  # noqa: SIM115

    def close(self, code: int) -> int:
        """Send out what waits; the code to end with.

        What could not be told on stdout is CANNOT_WRITE; on stderr only where the code tells
        nothing itself.
        """
        for stream in (sys.stdout, sys.stderr):
            try:
                stream.flush()
            except NotTold:
                continue  # it is remembered
        self._tell()
        if self.out.error is not None or (self.err.error is not None and code == Exit.FINE):
            return Exit.CANNOT_WRITE
        return code

    def _tell(self) -> None:
        """Say on stderr that stdout took nothing; a reader who has gone knows it."""
        error = self.out.error
        if error is None or error.errno == errno.EPIPE:
            return
        why = "it is closed" if error.errno == errno.EBADF else error.strerror
        sys.stderr.write(
            f"stdout: could not be written ({why}). Whatever was changed in your folder is there. "
            "Give it room or another place, then run the command again.\n"
        )
        sys.stderr.flush()


def _fill_gaps() -> None:
    """No file of ours may open in the place of a closed end: what we say would go into it.

    Open for reading only, so that nothing can be written there.
    """
    for handle in (IN, OUT, ERR):
        try:
            os.fstat(handle)
        except OSError:
            os.open(os.devnull, os.O_RDONLY)  # takes the lowest place that is free: this one


def _opened(handle: int, old: TextIO | None, *, needed: bool) -> tuple[Outlet, TextIO]:
    """An outlet, and the text stream over it, in the encoding that was chosen."""
    outlet = Outlet(handle, needed=needed)
    stream = io.TextIOWrapper(
        io.BufferedWriter(outlet),
        encoding=getattr(old, "encoding", None) or "utf-8",
        errors=getattr(old, "errors", None) or "backslashreplace",
        line_buffering=outlet.isatty() or handle == ERR,
    )
    return outlet, stream
